//! Starting a scenario of one's own: what is asked, and the file that comes of the answers.
//!
//! The file is based on a shipped scenario of that kind and says again only what differs from house to house: hours,
//! covers, ware, the machine, the crew. What was not asked is scaled with the covers and moved with the hours.

mod kinds;

pub use kinds::{KINDS, StartKind, find};

use super::mistakes::Mistakes;
use super::model::Scenario;
use super::shipped;
use super::units::{clock, clock_text};
use std::path::Path;

const DAY_S: f64 = 86_400.0;

/// The answers, at first those of the shipped scenario.
#[derive(Debug, Clone)]
pub struct Start {
    /// What it starts from.
    pub kind: &'static StartKind,
    /// The shipped scenario of that kind.
    pub base: Scenario,
    /// What the room is called.
    pub title: String,
    /// When it opens, s after midnight.
    pub opens_s: f64,
    /// When it closes, s after that midnight.
    pub closes_s: f64,
    /// Expected covers, where guests come.
    pub covers: Option<u32>,
    /// People of each row of the roster.
    pub people: Vec<u32>,
}

/// Something that is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Question {
    /// What the room is called.
    Title,
    /// When the house opens.
    Opens,
    /// When it closes.
    Closes,
    /// How many covers are expected.
    Covers,
    /// How many people a row of the roster has.
    People(usize),
}

/// Why an answer does not do.
#[derive(Debug, Clone)]
pub enum WrongAnswer {
    /// It is no time of day.
    NoTime,
    /// It is no whole number within these limits.
    NoNumber(u32, u32),
    /// With it the scenario has a mistake, the first of which is this.
    Impossible(String),
}

/// The most covers that are taken for an answer.
const MOST_COVERS: u32 = 20_000;
/// The most people of a row of the roster.
const MOST_PEOPLE: u32 = 20;

impl Start {
    /// Of a kind, with the answers of the shipped scenario.
    ///
    /// # Errors
    /// If that cannot be read, which the tests rule out.
    pub fn of(kind: &'static StartKind, title: String) -> Result<Self, Mistakes> {
        let path = shipped::path(kind.base);
        let base = super::load::load(&path)?.scenario;
        let covers = base.guests.as_ref().map(|guests| {
            let covers: f64 = guests.seating.iter().map(|row| row.covers).sum();
            whole(covers)
        });
        Ok(Self {
            kind,
            title,
            opens_s: base.service.opens_s,
            closes_s: base.service.closes_s,
            covers,
            people: base.roster.iter().map(|row| row.count).collect(),
            base,
        })
    }

    /// What is asked, in order.
    #[must_use]
    pub fn questions(&self) -> Vec<Question> {
        let mut all = vec![Question::Title];
        if self.covers.is_some() {
            all.extend([Question::Opens, Question::Closes, Question::Covers]);
        }
        all.extend((0..self.people.len()).map(Question::People));
        all
    }

    /// The name of a row of the roster.
    #[must_use]
    pub fn role(&self, row: usize) -> &str {
        self.base.roster.get(row).map_or("", |row| &row.name)
    }

    /// The answer that stands now, as one would type it.
    #[must_use]
    pub fn answer(&self, question: Question) -> String {
        match question {
            Question::Title => self.title.clone(),
            Question::Opens => clock_text(self.opens_s),
            Question::Closes => clock_text(self.closes_s),
            Question::Covers => self.covers.unwrap_or(0).to_string(),
            Question::People(row) => self.people.get(row).copied().unwrap_or(0).to_string(),
        }
    }

    /// The same with an answer.
    ///
    /// # Errors
    /// Why the answer does not do.
    pub fn with(&self, question: Question, answer: &str) -> Result<Self, WrongAnswer> {
        let mut taken = self.clone();
        let answer = answer.trim();
        match question {
            Question::Title => answer.clone_into(&mut taken.title),
            Question::Opens => {
                let open_s = self.closes_s - self.opens_s;
                taken.opens_s = clock(answer).ok_or(WrongAnswer::NoTime)?;
                taken.closes_s = taken.opens_s + open_s;
            }
            Question::Closes => {
                let closes_s = clock(answer).ok_or(WrongAnswer::NoTime)?;
                let next_day = closes_s <= self.opens_s;
                taken.closes_s = closes_s + if next_day { DAY_S } else { 0.0 };
            }
            Question::Covers => taken.covers = Some(number(answer, 1, MOST_COVERS)?),
            Question::People(row) => {
                let people = number(answer, 0, MOST_PEOPLE)?;
                if let Some(of_row) = taken.people.get_mut(row) {
                    *of_row = people;
                }
            }
        }
        Ok(taken)
    }

    /// How many times the covers of the shipped scenario.
    #[must_use]
    pub fn scale(&self) -> f64 {
        let base = self.base.guests.as_ref();
        let covers = base.map(|guests| guests.seating.iter().map(|row| row.covers).sum::<f64>());
        match (self.covers, covers) {
            (Some(ours), Some(base)) if base > 0.0 => f64::from(ours) / base,
            _ => 1.0,
        }
    }

    /// A moment of the shipped service in this one, s: as far between opening and closing, or as long before or after.
    #[must_use]
    pub fn moved_s(&self, at_s: f64) -> f64 {
        let (opens_s, closes_s) = (self.base.service.opens_s, self.base.service.closes_s);
        if at_s <= opens_s {
            return at_s - opens_s + self.opens_s;
        }
        if at_s >= closes_s {
            return at_s - closes_s + self.closes_s;
        }
        let share = (at_s - opens_s) / (closes_s - opens_s);
        self.opens_s + share * (self.closes_s - self.opens_s)
    }
}

fn number(answer: &str, least: u32, most: u32) -> Result<u32, WrongAnswer> {
    let number = answer.parse().ok();
    number
        .filter(|number| (least..=most).contains(number))
        .ok_or(WrongAnswer::NoNumber(least, most))
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // positive, and saturating
fn whole(of: f64) -> u32 {
    of.round() as u32
}

/// The file of a name that was typed: it ends in `.toml`.
#[must_use]
pub fn file_of(name: &Path) -> std::path::PathBuf {
    match name.extension() {
        Some(ending) if ending == "toml" => name.to_path_buf(),
        _ => {
            let mut with_ending = name.as_os_str().to_owned();
            with_ending.push(".toml");
            with_ending.into()
        }
    }
}
