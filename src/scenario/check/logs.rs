//! CSV files named in a scenario: the till's parties, soiled ware, observed times.

use csv::{ReaderBuilder, StringRecord, Trim};
use serde_json::{Value as Json, json};

use super::Checker;
use crate::scenario::chain;
use crate::scenario::fields::{Field, Log};
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::sources::Place;
use crate::scenario::tree::Node;
use crate::scenario::units;

/// The most rows of a log.
const MOST_ROWS: usize = 200_000;
/// Mistakes reported of one file.
const MOST_MISTAKES: usize = 20;
/// The longest observed time, s.
const LONGEST_S: f64 = 86_400.0;

/// What is wrong with a row, and the cure.
type Bad = (String, String);

/// A row of a CSV file.
struct Row<'a> {
    cells: &'a StringRecord,
    columns: &'static [&'static str],
}

impl Row<'_> {
    fn cell(&self, at: usize) -> &str {
        self.cells.get(at).unwrap_or("")
    }

    fn count(&self, at: usize) -> Result<u32, Bad> {
        let number = self
            .cell(at)
            .parse::<u32>()
            .ok()
            .filter(|n| (1..=100_000).contains(n));
        number.ok_or_else(|| {
            let title = format!("`{}` is \"{}\"", self.columns[at], self.cell(at));
            (
                title,
                "give a whole number, at least 1 and at most 100000".to_string(),
            )
        })
    }

    fn clock(&self, at: usize, opens_s: f64) -> Result<f64, Bad> {
        let clock = units::clock(self.cell(at)).map(|clock| units::in_window(clock, opens_s));
        clock.ok_or_else(|| {
            let title = format!("`{}` is \"{}\"", self.columns[at], self.cell(at));
            (
                title,
                "give a time of day like 18:30 or 18:30:15".to_string(),
            )
        })
    }
}

/// Columns of a log, and how many of them must be there.
const fn columns(log: Log) -> (&'static [&'static str], usize) {
    match log {
        Log::Till => (&["seated_at", "covers", "left_at"], 2),
        Log::Soiled => (&["time", "ware", "pieces"], 3),
        Log::Observations => (&["seconds"], 1),
    }
}

impl Checker<'_> {
    /// The rows of a CSV file, in the shape of the model.
    pub(super) fn log(&mut self, log: Log, field: &Field, node: &Node, path: &str) -> Option<Json> {
        let Some(name) = node.text() else {
            self.not_a("the name of a CSV file", "\"file.csv\"", node, path);
            return None;
        };
        let named_in = self.sources.get(node.place.file)?.path.clone();
        let shown = chain::beside(&named_in, name);
        let file = match self.sources.read(&shown) {
            Ok(file) => file,
            Err(problem) => {
                let mistake = chain::unreadable("the file", &shown, problem, Some(&node.place));
                self.wrong(path, mistake);
                return None;
            }
        };
        let before = self.mistakes.len();
        let rows = self.read_rows(log, file);
        if rows.is_empty() && self.mistakes.len() == before {
            let title = format!("`{}` has no rows", shown.display());
            let mistake = Mistake::new(Sort::Value, title)
                .at(&node.place, "named here")
                .help(format!("it is {}", field.what));
            self.wrong(path, mistake);
        }
        (self.mistakes.len() == before).then_some(Json::Array(rows))
    }

    fn read_rows(&mut self, log: Log, file: usize) -> Vec<Json> {
        let text = self.sources.text(file).to_string();
        let (names, needed) = columns(log);
        let mut reader = ReaderBuilder::new()
            .flexible(true)
            .trim(Trim::All)
            .from_reader(text.as_bytes());
        let header = reader.headers().cloned().unwrap_or_default();
        let given: Vec<&str> = header
            .iter()
            .map(|h| h.trim_start_matches('\u{feff}'))
            .collect();
        let fits = given.len() >= needed && given.len() <= names.len();
        if !fits || given[..] != names[..given.len()] {
            self.bad_header(&text, file, names, needed);
            return Vec::new();
        }
        let mut rows = Vec::new();
        let mut last: Option<(f64, Place)> = None;
        let mut wrong = 0;
        for record in reader.records() {
            let Ok(cells) = record else { break };
            let at = line_at(
                &text,
                cells.position().map_or(0, csv::Position::byte) as usize,
            );
            let place = Place { file, span: at };
            let row = Row {
                cells: &cells,
                columns: names,
            };
            let read = self.row(log, &row, given.len()).and_then(|(time_s, json)| {
                in_order(time_s, last.as_ref()).map(|()| (time_s, json))
            });
            match read {
                Ok((time_s, json)) => {
                    last = Some((time_s, place));
                    rows.push(json);
                }
                Err((title, help)) => {
                    wrong += 1;
                    let mut mistake = Mistake::new(Sort::Value, title)
                        .at(&place, "this row")
                        .help(help);
                    if let Some((_, before)) =
                        last.as_ref().filter(|_| mistake.title.contains(BACKWARD))
                    {
                        mistake = mistake.also(before, "the row before");
                    }
                    self.mistakes.push(mistake);
                }
            }
            if wrong >= MOST_MISTAKES || rows.len() > MOST_ROWS {
                break;
            }
        }
        if rows.len() > MOST_ROWS {
            let place = Place {
                file,
                span: line_at(&text, 0),
            };
            let title = format!("more than {MOST_ROWS} rows");
            self.mistakes
                .push(Mistake::new(Sort::Value, title).at(&place, "in this file"));
        }
        rows
    }

    fn bad_header(&mut self, text: &str, file: usize, names: &[&str], needed: usize) {
        let place = Place {
            file,
            span: line_at(text, 0),
        };
        let mut help = format!("the first line is {}", names[..needed].join(","));
        if names.len() > needed {
            help.push_str(&format!(" or {}", names.join(",")));
        }
        let title = "the first line of this file must name its columns";
        self.mistakes.push(
            Mistake::new(Sort::Syntax, title)
                .at(&place, "not those")
                .help(help),
        );
    }

    /// When a row happens, and what it says.
    fn row(&self, log: Log, row: &Row<'_>, width: usize) -> Result<(f64, Json), Bad> {
        if row.cells.len() != width {
            let title = format!("{} cells where there should be {width}", row.cells.len());
            return Err((
                title,
                format!("the columns are {}", row.columns[..width].join(",")),
            ));
        }
        match log {
            Log::Till => self.party(row),
            Log::Soiled => {
                let time_s = row.clock(0, self.opens_s)?;
                let ware = row.cell(1);
                if !self
                    .names
                    .get("ware")
                    .is_some_and(|names| names.iter().any(|n| n == ware))
                {
                    let title = format!("there is no ware \"{ware}\"");
                    return Err((title, self.known_names("ware", ware)));
                }
                let pieces = row.count(2)?;
                Ok((
                    time_s,
                    json!({ "time_s": time_s, "ware": ware, "pieces": pieces }),
                ))
            }
            Log::Observations => {
                let seconds = row.cell(0).parse::<f64>().ok();
                let seconds = seconds.filter(|s| (0.0..=LONGEST_S).contains(s));
                let title = || format!("`seconds` is \"{}\"", row.cell(0));
                let help = "give seconds as a number, at least 0 and at most 86400";
                let seconds = seconds.ok_or_else(|| (title(), help.to_string()))?;
                Ok((0.0, json!(seconds)))
            }
        }
    }

    fn party(&self, row: &Row<'_>) -> Result<(f64, Json), Bad> {
        let seated_at_s = row.clock(0, self.opens_s)?;
        let covers = row.count(1)?;
        let left_at_s = match row.cell(2) {
            "" => None,
            _ => Some(row.clock(2, self.opens_s)?),
        };
        if left_at_s.is_some_and(|left| left < seated_at_s) {
            let title = "a party leaves before it is seated".to_string();
            return Err((title, "`left_at` is at or after `seated_at`".to_string()));
        }
        let json = json!({ "seated_at_s": seated_at_s, "covers": covers, "left_at_s": left_at_s });
        Ok((seated_at_s, json))
    }
}

/// How the mistake of a row that runs backward begins.
const BACKWARD: &str = "time runs backward";

fn in_order(time_s: f64, last: Option<&(f64, Place)>) -> Result<(), Bad> {
    match last {
        Some((before, _)) if time_s < *before => {
            let (now, before) = (units::clock_text(time_s), units::clock_text(*before));
            let title = format!("{BACKWARD} in this file: {now} comes after {before}");
            Err((title, "put the rows in the order of time".to_string()))
        }
        _ => Ok(()),
    }
}

/// The line that starts at or after a byte, without its end.
fn line_at(text: &str, byte: usize) -> std::ops::Range<usize> {
    let bytes = text.as_bytes();
    let mut start = byte.min(bytes.len());
    while bytes.get(start).is_some_and(|b| matches!(b, b'\n' | b'\r')) {
        start += 1;
    }
    let length = bytes[start..]
        .iter()
        .position(|b| matches!(b, b'\n' | b'\r'));
    start..length.map_or(bytes.len(), |length| start + length)
}
