//! CSV files named in a scenario: the till's parties, soiled ware, observed times.

use csv::{ReaderBuilder, StringRecord, Trim};

use super::Checker;
use crate::scenario::cells;
use crate::scenario::field::Field;
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::reach;
use crate::scenario::sources::{Format, Place};
use crate::scenario::tree::Node;
use crate::scenario::units;

/// The most rows of a log.
const MAX_ROWS: usize = 200_000;
/// Mistakes reported of one file.
const MAX_MISTAKES: usize = 20;

/// What is wrong with a row, and the cure.
pub type WrongRow = (String, String);

/// A row of a CSV file, as the model has it.
pub trait LogRow: Sized {
    /// The names of its columns.
    const COLUMNS: &'static [&'static str];
    /// How many of them must be there.
    const NEEDED: usize;

    /// When it happens, and what it says.
    fn read(cells: &Cells<'_>, check: &Checker<'_>) -> Result<(f64, Self), WrongRow>;
}

/// The cells of a row of a CSV file.
pub struct Cells<'a> {
    cells: &'a StringRecord,
    columns: &'static [&'static str],
}

impl Cells<'_> {
    /// What stands in a column; nothing where it is left out.
    pub fn text(&self, at: usize) -> &str {
        cells::read(self.cells.get(at).unwrap_or(""))
    }

    /// A whole number from 1 to 100 000.
    pub fn count(&self, at: usize) -> Result<u32, WrongRow> {
        let number = self
            .text(at)
            .parse::<u32>()
            .ok()
            .filter(|n| (1..=100_000).contains(n));
        number.ok_or_else(|| {
            let title = format!("`{}` is \"{}\"", self.columns[at], self.text(at));
            let help = "give a whole number, at least 1 and at most 100000";
            (title, self.or_a_point(at, help))
        })
    }

    /// How to mend a number: where it has a decimal comma, by a point.
    pub fn or_a_point(&self, at: usize, help: &str) -> String {
        let point = cells::with_a_point(self.text(at));
        point.map_or_else(
            || help.to_owned(),
            |number| format!("write a point, not a comma, before decimals: {number}"),
        )
    }

    /// A time of day that is at most so long after closing.
    pub fn clock(&self, at: usize, check: &Checker<'_>, most_s: f64) -> Result<f64, WrongRow> {
        let Some(clock) = units::clock(self.text(at)) else {
            let title = format!("`{}` is \"{}\"", self.columns[at], self.text(at));
            return Err((
                title,
                "give a time of day like 18:30 or 18:30:15".to_string(),
            ));
        };
        let time_s = check.hours.end(clock);
        match check.hours.after_closing(time_s) {
            Some((after_s, closes_s)) if after_s > most_s => {
                Err(self.too_late(at, (after_s, closes_s), most_s))
            }
            _ => Ok(time_s),
        }
    }

    fn too_late(&self, at: usize, (after_s, closes_s): (f64, f64), most_s: f64) -> WrongRow {
        let (column, cell) = (self.columns[at], self.text(at));
        let minutes = libm::floor(after_s / 60.0);
        let (hours, minutes) = (libm::floor(minutes / 60.0), minutes % 60.0);
        let title = format!("`{column}` is {cell}, {hours} h {minutes} min after closing");
        let closing = units::clock_text(closes_s);
        let help = format!(
            "the service closes at {closing}, and this is at most {} h later: correct the row, or \
             `service.closes`; a day of a log starts 6 h before the opening",
            most_s / 3_600.0
        );
        (title, help)
    }
}

/// What has been read of a file.
struct Found<T> {
    rows: Vec<T>,
    last: Option<(f64, Place)>,
    mistakes: Vec<Mistake>,
}

impl<T> Found<T> {
    /// Takes a row, or notes what is wrong with it.
    fn take(&mut self, read: Result<(f64, T), WrongRow>, place: Place) {
        match (read, &self.last) {
            (Err(bad), _) => self.mistakes.push(bad_row(bad, &place)),
            (Ok((time_s, _)), Some(last)) if time_s < last.0 => {
                self.mistakes.push(backward(time_s, &place, last));
            }
            (Ok(_), _) if self.rows.len() >= MAX_ROWS => {
                let help = format!("a file has at most {MAX_ROWS} rows");
                self.mistakes
                    .push(bad_row(("too many rows".to_string(), help), &place));
            }
            (Ok((time_s, row)), _) => {
                self.last = Some((time_s, place));
                self.rows.push(row);
            }
        }
    }

    /// Whether reading on would find nothing new.
    fn is_enough(&self) -> bool {
        self.mistakes.len() >= MAX_MISTAKES
            || self.rows.len() >= MAX_ROWS && !self.mistakes.is_empty()
    }
}

impl Checker<'_> {
    /// The rows of a CSV file.
    pub fn lines<T: LogRow>(&mut self, field: &Field, node: &Node, path: &str) -> Option<Vec<T>> {
        let Some(name) = node.text() else {
            self.not_a("the name of a CSV file", "\"file.csv\"", node, path);
            return None;
        };
        let named_in = self.sources.get(node.place.file)?.path.clone();
        let shown = reach::beside(&named_in, name);
        let file = match self.sources.read(&shown, Format::Csv) {
            Ok(file) => file,
            Err(problem) => {
                let mistake = reach::unreadable("the file", &shown, problem, Some(&node.place));
                self.wrong(path, mistake);
                return None;
            }
        };
        let before = self.mistakes.len();
        let rows = self.read_rows(file);
        if rows.is_empty() && self.mistakes.len() == before {
            let title = format!("`{}` has no rows", shown.display());
            let mistake = Mistake::new(Sort::Value, title)
                .at(&node.place, "named here")
                .help(format!("it is {}", field.what));
            self.wrong(path, mistake);
        }
        (self.mistakes.len() == before).then_some(rows)
    }

    fn read_rows<T: LogRow>(&mut self, file: usize) -> Vec<T> {
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
        let Some(width) = width::<T>(&header) else {
            self.mistakes.push(bad_header::<T>(&header, &place(0)));
            self.sources.hide(file);
            return Vec::new();
        };
        let mut found = Found {
            rows: Vec::new(),
            last: None,
            mistakes: Vec::new(),
        };
        for cells in reader.records().map_while(Result::ok) {
            let byte = cells.position().map_or(0, csv::Position::byte) as usize;
            let cells = Cells {
                cells: &cells,
                columns: T::COLUMNS,
            };
            found.take(self.line(&cells, width), place(byte));
            if found.is_enough() {
                break;
            }
        }
        self.mistakes.append(&mut found.mistakes);
        found.rows
    }

    /// When a row happens, and what it says.
    fn line<T: LogRow>(&self, cells: &Cells<'_>, width: usize) -> Result<(f64, T), WrongRow> {
        if cells.cells.len() != width {
            let title = format!("{} cells where there should be {width}", cells.cells.len());
            let mut help = format!("the columns are {}", cells.columns[..width].join(","));
            if cells.cells.len() > width {
                help.push_str("; ");
                help.push_str(cells::DECIMAL_COMMA);
            }
            return Err((title, help));
        }
        T::read(cells, self)
    }
}

/// How many columns a header has, if they are those of the log.
fn width<T: LogRow>(header: &StringRecord) -> Option<usize> {
    let (names, needed) = (T::COLUMNS, T::NEEDED);
    let given: Vec<&str> = header
        .iter()
        .map(|h| h.trim_start_matches('\u{feff}'))
        .collect();
    let fits = (needed..=names.len()).contains(&given.len()) && given[..] == names[..given.len()];
    fits.then_some(given.len())
}

fn bad_header<T: LogRow>(head: &StringRecord, place: &Place) -> Mistake {
    let (names, needed) = (T::COLUMNS, T::NEEDED);
    let mut help = format!("the first line is {}", names[..needed].join(","));
    if names.len() > needed {
        help.push_str(&format!(" or {}", names.join(",")));
    }
    cells::bad_header(head, place).help(help)
}

/// The mistake of a row.
fn bad_row((title, help): WrongRow, place: &Place) -> Mistake {
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
