//! The changes that are tried: each once, whatever findings it is for, with the evenings played with it.

use std::collections::BTreeMap;

use super::change::Change;
use super::rows::Values;
use crate::room::Room;
use crate::scenario::Loaded;
use crate::scenario::model::Scenario;
use crate::study::evening::Severity;
use crate::study::sheet::Sheet;

/// A change that is tried.
pub(super) struct Candidate {
    /// What it is.
    pub change: Change,
    /// The changed room; nothing if the checks find fault with it.
    room: Option<Room>,
    /// Whether it is to be played: some trouble that it is for strikes often enough.
    is_wanted: bool,
    /// Evenings on which it was screened.
    pub screened: Vec<Values>,
    /// Evenings on which it was estimated.
    pub estimated: Vec<Values>,
}

impl Candidate {
    /// Whether the checks find no fault with it.
    pub const fn is_sound(&self) -> bool {
        self.room.is_some()
    }

    /// Whether it may be played, and is to be.
    const fn is_playable(&self) -> bool {
        self.is_sound() && self.is_wanted
    }
}

/// All of them.
pub(super) struct Pool<'a> {
    loaded: &'a Loaded,
    /// What the checks say of the scenario as it is.
    checks: Checks,
    all: Vec<Candidate>,
    by_text: BTreeMap<String, usize>,
    /// By aim: the places of the changes that were made for it. Any other may better it all the same.
    pub of_aim: Vec<Vec<usize>>,
}

/// What the checks say of the fullest of all, from bad to worse.
const CAPACITY: [&str; 3] = ["peak-near-capacity", "peak-over-capacity", "nobody-on-duty"];

/// What the checks remind of that forbids no change: hands are washed between soiled and clean work, which is said below
/// all that was tried.
const REMINDER: &str = "hands-between";

/// How often the checks say what, and how gravely.
type Checks = BTreeMap<&'static str, (usize, Severity)>;

impl<'a> Pool<'a> {
    /// Nothing yet.
    pub fn new(loaded: &'a Loaded, room: &Room) -> Self {
        Self {
            loaded,
            checks: checks(&loaded.scenario, room),
            all: Vec::new(),
            by_text: BTreeMap::new(),
            of_aim: Vec::new(),
        }
    }

    /// Takes the changes wanted for each aim, the first of each before the second of any, and whether they are played for
    /// it.
    pub fn take(&mut self, wanted: &[(bool, Vec<Change>)]) {
        self.of_aim = vec![Vec::new(); wanted.len()];
        let longest = wanted.iter().map(|(_, changes)| changes.len()).max();
        for place in 0..longest.unwrap_or(0) {
            for (aim, (is_played, changes)) in wanted.iter().enumerate() {
                if let Some(at) = changes.get(place).and_then(|change| self.entry(change)) {
                    self.all[at].is_wanted |= is_played;
                    self.want(aim, at);
                }
            }
        }
    }

    fn want(&mut self, aim: usize, at: usize) {
        if let Some(list) = self.of_aim.get_mut(aim).filter(|list| !list.contains(&at)) {
            list.push(at);
        }
    }

    /// The place of a change; nothing if the scenario cannot be changed so.
    fn entry(&mut self, change: &Change) -> Option<usize> {
        let text = change.text();
        if let Some(at) = self.by_text.get(&text) {
            return Some(*at);
        }
        let changed = self.loaded.changed(&text).ok()?;
        if changed.scenario == self.loaded.scenario {
            return None;
        }
        let room = Room::of(&changed.scenario);
        let is_sound = is_no_worse(&self.checks, &checks(&changed.scenario, &room));
        self.by_text.insert(text, self.all.len());
        self.all.push(Candidate {
            change: change.clone(),
            room: is_sound.then_some(room),
            is_wanted: false,
            screened: Vec::new(),
            estimated: Vec::new(),
        });
        Some(self.all.len() - 1)
    }

    /// How many there are.
    pub const fn len(&self) -> usize {
        self.all.len()
    }

    /// How many of them may be played.
    pub fn playable(&self) -> u64 {
        self.all.iter().filter(|one| one.is_playable()).count() as u64
    }

    /// How many were played.
    pub fn played(&self) -> u64 {
        self.of_played().count() as u64
    }

    /// Forgets all but the first so many that may be played.
    pub fn keep(&mut self, most: usize) {
        let playable = self
            .all
            .iter()
            .enumerate()
            .filter(|(_, one)| one.is_playable());
        let first_out = playable
            .map(|(at, _)| at)
            .nth(most)
            .unwrap_or(self.all.len());
        self.all.truncate(first_out);
        self.by_text.retain(|_, at| *at < first_out);
        for list in &mut self.of_aim {
            list.retain(|at| *at < first_out);
        }
    }

    /// Takes pairs of changes for aims, up to so many that may be played; the places of the new ones.
    pub fn pair(&mut self, wanted: &[(usize, [usize; 2])], most: usize) -> Vec<usize> {
        let before = self.all.len();
        let mut new = Vec::new();
        for (aim, [first, second]) in wanted {
            if new.len() >= most {
                break;
            }
            let both = self.all[*first].change.and(&self.all[*second].change);
            let Some(at) = both.and_then(|both| self.entry(&both)) else {
                continue;
            };
            self.all[at].is_wanted = true;
            self.want(*aim, at);
            // What may help against one finding may help against others that its first half is for.
            let others = (0..self.of_aim.len()).filter(|other| self.of_aim[*other].contains(first));
            for other in others.collect::<Vec<_>>() {
                self.want(other, at);
            }
            if at >= before && !new.contains(&at) && self.room(at).is_some() {
                new.push(at);
            }
        }
        new
    }

    /// A change.
    pub fn get(&self, at: usize) -> &Candidate {
        &self.all[at]
    }

    /// Its room, if it may be played.
    pub fn room(&self, at: usize) -> Option<&Room> {
        let one = &self.all[at];
        one.room.as_ref().filter(|_| one.is_wanted)
    }

    /// The changes that were played.
    pub fn of_played(&self) -> impl Iterator<Item = usize> {
        let all = self.all.iter().enumerate();
        all.filter(|(_, one)| !one.screened.is_empty())
            .map(|(at, _)| at)
    }

    /// Notes evenings played with it.
    pub fn add(&mut self, at: usize, is_estimate: bool, values: Vec<Values>) {
        let one = &mut self.all[at];
        if is_estimate {
            one.estimated = values;
        } else {
            one.screened = values;
        }
    }
}

/// What the checks say of a scenario, published limits among them.
fn checks(scenario: &Scenario, room: &Room) -> Checks {
    let mut all = Checks::new();
    let found = Sheet::of(scenario, room).findings();
    for finding in found.iter().filter(|one| one.code != REMINDER) {
        // How full the fullest is: one thing, whatever it is called when it is less or more.
        let code = if CAPACITY.contains(&finding.code) {
            CAPACITY[0]
        } else {
            finding.code
        };
        let (count, severity) = all.entry(code).or_insert((0, Severity::Note));
        *count += 1;
        *severity = (*severity).min(finding.severity);
    }
    all
}

/// Whether nothing new, and nothing graver, is said of the changed scenario.
fn is_no_worse(before: &Checks, after: &Checks) -> bool {
    after.iter().all(|(code, (count, severity))| {
        let known = before.get(code);
        known.is_some_and(|(had, grave)| count <= had && severity >= grave)
    })
}
