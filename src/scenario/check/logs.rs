//! CSV files named in a scenario: the till's parties, soiled ware, observed times.

use csv::{ReaderBuilder, StringRecord, Trim};
use serde_json::{Value as Json, json};

use super::Checker;
use super::hours::Hours;
use crate::scenario::cells;
use crate::scenario::chain;
use crate::scenario::fields::{Field, Log};
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::sources::{Format, Place};
use crate::scenario::tree::Node;
use crate::scenario::units;

/// The most rows of a log.
const MOST_ROWS: usize = 200_000;
/// Mistakes reported of one file.
const MOST_MISTAKES: usize = 20;
/// The longest observed time, s.
const LONGEST_S: f64 = 86_400.0;

/// Nobody sits down later than this after closing, s.
const SEATED_AFTER_S: f64 = 3_600.0;
/// Nobody leaves, and no ware comes back, later than this after closing, s.
const BACK_AFTER_S: f64 = 4.0 * 3_600.0;

/// What is wrong with a row, and the cure.
type Bad = (String, String);

/// A row of a CSV file.
struct Row<'a> {
    cells: &'a StringRecord,
    columns: &'static [&'static str],
}

impl Row<'_> {
    fn cell(&self, at: usize) -> &str {
        cells::read(self.cells.get(at).unwrap_or(""))
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

    /// A time of day that is at most so long after closing.
    fn clock(&self, at: usize, hours: Hours, most_s: f64) -> Result<f64, Bad> {
        let Some(clock) = units::clock(self.cell(at)) else {
            let title = format!("`{}` is \"{}\"", self.columns[at], self.cell(at));
            return Err((
                title,
                "give a time of day like 18:30 or 18:30:15".to_string(),
            ));
        };
        let time_s = hours.end(clock);
        match hours.after_closing(time_s) {
            Some((after_s, closes_s)) if after_s > most_s => {
                Err(self.too_late(at, (after_s, closes_s), most_s))
            }
            _ => Ok(time_s),
        }
    }

    fn too_late(&self, at: usize, (after_s, closes_s): (f64, f64), most_s: f64) -> Bad {
        let (column, cell) = (self.columns[at], self.cell(at));
        let minutes = libm::floor(after_s / 60.0);
        let (hours, minutes) = (libm::floor(minutes / 60.0), minutes % 60.0);
        let title = format!("`{column}` is {cell}, {hours} h {minutes} min after closing");
        let closing = units::clock_text(closes_s);
        let help = format!(
            "the service closes at {closing}, and this is at most {} h later: mend the row, or \
             `service.closes`; a day of a log starts 6 h before the opening",
            most_s / 3_600.0
        );
        (title, help)
    }
}

/// What has been read of a file.
#[derive(Default)]
struct Found {
    rows: Vec<Json>,
    last: Option<(f64, Place)>,
    mistakes: Vec<Mistake>,
}

impl Found {
    /// Takes a row, or notes what is wrong with it.
    fn take(&mut self, read: Result<(f64, Json), Bad>, place: Place) {
        match (read, &self.last) {
            (Err(bad), _) => self.mistakes.push(bad_row(bad, &place)),
            (Ok((time_s, _)), Some(last)) if time_s < last.0 => {
                self.mistakes.push(backward(time_s, &place, last));
            }
            (Ok(_), _) if self.rows.len() >= MOST_ROWS => {
                let help = format!("a file has at most {MOST_ROWS} rows");
                self.mistakes
                    .push(bad_row(("too many rows".to_string(), help), &place));
            }
            (Ok((time_s, json)), _) => {
                self.last = Some((time_s, place));
                self.rows.push(json);
            }
        }
    }

    /// Whether reading on would tell nothing new.
    fn is_enough(&self) -> bool {
        self.mistakes.len() >= MOST_MISTAKES
            || self.rows.len() >= MOST_ROWS && !self.mistakes.is_empty()
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
        let file = match self.sources.read(&shown, Format::Csv) {
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
        let place = |byte| Place {
            file,
            span: line_at(&text, byte),
        };
        let mut builder = ReaderBuilder::new();
        let mut reader = builder
            .flexible(true)
            .trim(Trim::All)
            .from_reader(text.as_bytes());
        let header = reader.headers().cloned().unwrap_or_default();
        let Some(width) = width(log, &header) else {
            self.mistakes.push(bad_header(log, &place(0)));
            self.sources.hide(file);
            return Vec::new();
        };
        let mut found = Found::default();
        for cells in reader.records().map_while(Result::ok) {
            let byte = cells.position().map_or(0, csv::Position::byte) as usize;
            let columns = columns(log).0;
            found.take(
                self.row(
                    log,
                    &Row {
                        cells: &cells,
                        columns,
                    },
                    width,
                ),
                place(byte),
            );
            if found.is_enough() {
                break;
            }
        }
        self.mistakes.append(&mut found.mistakes);
        found.rows
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
                let time_s = row.clock(0, self.hours, BACK_AFTER_S)?;
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
        let seated_at_s = row.clock(0, self.hours, SEATED_AFTER_S)?;
        let covers = row.count(1)?;
        let left_at_s = match row.cell(2) {
            "" => None,
            _ => Some(row.clock(2, self.hours, BACK_AFTER_S)?),
        };
        if left_at_s.is_some_and(|left| left < seated_at_s) {
            let title = "a party leaves before it is seated".to_string();
            return Err((title, "`left_at` is at or after `seated_at`".to_string()));
        }
        let json = json!({ "seated_at_s": seated_at_s, "covers": covers, "left_at_s": left_at_s });
        Ok((seated_at_s, json))
    }
}

/// How many columns a header has, if they are those of the log.
fn width(log: Log, header: &StringRecord) -> Option<usize> {
    let (names, needed) = columns(log);
    let given: Vec<&str> = header
        .iter()
        .map(|h| h.trim_start_matches('\u{feff}'))
        .collect();
    let fits = (needed..=names.len()).contains(&given.len()) && given[..] == names[..given.len()];
    fits.then_some(given.len())
}

fn bad_header(log: Log, place: &Place) -> Mistake {
    let (names, needed) = columns(log);
    let mut help = format!("the first line is {}", names[..needed].join(","));
    if names.len() > needed {
        help.push_str(&format!(" or {}", names.join(",")));
    }
    let title = "the first line of this file must name its columns";
    Mistake::new(Sort::Syntax, title)
        .at(place, "not those")
        .help(help)
}

/// The mistake of a row.
fn bad_row((title, help): Bad, place: &Place) -> Mistake {
    Mistake::new(Sort::Value, title)
        .at(place, "this row")
        .help(help)
}

/// The mistake of a row that happens before the one above it.
fn backward(time_s: f64, place: &Place, (before_s, before): &(f64, Place)) -> Mistake {
    let (now, then) = (units::clock_text(time_s), units::clock_text(*before_s));
    let title = format!("time runs backward in this file: {now} comes after {then}");
    bad_row(
        (title, "put the rows in the order of time".to_string()),
        place,
    )
    .also(before, "the row before")
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
