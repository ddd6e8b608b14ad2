//! Cells of CSV files as a spreadsheet may have them.
//!
//! A spreadsheet takes a cell that begins with `=`, `+`, `-` or `@` for a formula, and runs it. A text like
//! that is written with an apostrophe before it, and so is one that has such apostrophes already; a number
//! is a number and stays. Read back, the one apostrophe goes. `-5 °C` is a text: a spreadsheet would make
//! `=-5 °C` of it, and an error of that. Every CSV table is written by [`Table`]; our own readers use [`read`].

use std::borrow::Cow;
use std::io::{self, Write};

use super::mistakes::{Mistake, Sort};
use super::sources::Place;

/// The apostrophe that makes a text of what follows.
const AS_TEXT: char = '\'';

/// Whether a spreadsheet would run a cell; full-width signs count where letters are as wide.
fn is_run(cell: &str) -> bool {
    let begins = cell.starts_with(['\t', '\r', '\n']);
    let text = cell.trim();
    let signs = ['=', '+', '-', '@', '＝', '＋', '－', '＠'];
    (begins || text.starts_with(signs)) && !is_number(text)
}

/// Whether a cell is written like a number; `-inf` is not.
fn is_number(cell: &str) -> bool {
    let signs = |b: u8| b.is_ascii_digit() || matches!(b, b'+' | b'-' | b'.' | b'e' | b'E');
    cell.bytes().all(signs) && cell.parse::<f64>().is_ok()
}

/// A cell as it is written.
#[must_use]
pub fn harmless(cell: &str) -> Cow<'_, str> {
    if is_run(cell.trim_start_matches(AS_TEXT)) {
        Cow::Owned(format!("{AS_TEXT}{cell}"))
    } else {
        Cow::Borrowed(cell)
    }
}

/// What was written by [`harmless`]; any other cell as it is.
#[must_use]
pub fn read(cell: &str) -> &str {
    match cell.strip_prefix(AS_TEXT) {
        Some(text) if is_run(text.trim_start_matches(AS_TEXT)) => text,
        _ => cell,
    }
}

/// What to do about a table whose columns are set apart by semicolons, as spreadsheets do where a comma stands before
/// decimals.
const SEMICOLONS: &str = "save it with commas between the columns, and a point before decimals";
/// A first line that does not name the columns, or sets them apart by semicolons.
#[must_use]
pub fn bad_header(head: &csv::StringRecord, place: &Place) -> Mistake {
    let semicolons = has_semicolons(head);
    let (title, label) = if semicolons {
        (
            "the columns of this file are set apart by semicolons",
            "semicolons",
        )
    } else {
        (
            "the first line of this file must name its columns",
            "not those",
        )
    };
    Mistake::new(Sort::Syntax, title)
        .at(place, label)
        .help_if(semicolons.then(|| SEMICOLONS.to_owned()))
}

/// What to add where a row has more cells than its table has columns.
pub const DECIMAL_COMMA: &str = "a decimal comma makes two cells of a number: write a point";

/// Whether the first line of a table has semicolons for commas.
#[must_use]
fn has_semicolons(head: &csv::StringRecord) -> bool {
    head.len() == 1 && head.get(0).is_some_and(|cell| cell.contains(';'))
}

/// A number with a decimal comma, `4,5 min` or `0,3`, as it should be written; nothing of any other text.
#[must_use]
pub fn with_a_point(text: &str) -> Option<String> {
    let (whole, rest) = text.trim().split_once(',')?;
    let is_number = |digits: &str| !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit());
    let decimals = rest.bytes().take_while(u8::is_ascii_digit).count();
    let sign = whole.strip_prefix(['-', '+']).unwrap_or(whole);
    let is_one = is_number(sign) && decimals > 0 && !rest[decimals..].contains(',');
    is_one.then(|| format!("{whole}.{rest}"))
}

/// A CSV table that is being written; every one of ours is.
pub struct Table<W: Write> {
    csv: csv::Writer<W>,
}

impl<W: Write> Table<W> {
    /// Writes to `to`.
    pub fn new(to: W) -> Self {
        let csv = csv::Writer::from_writer(to);
        Self { csv }
    }

    /// Adds a row.
    ///
    /// # Errors
    /// Those of the writer; [`csv::Error`] inside.
    pub fn row(&mut self, cells: impl IntoIterator<Item = impl AsRef<str>>) -> io::Result<()> {
        for cell in cells {
            self.csv.write_field(harmless(cell.as_ref()).as_bytes())?;
        }
        Ok(self.csv.write_record(None::<&[u8]>)?)
    }

    /// Writes what is left.
    ///
    /// # Errors
    /// Those of the writer.
    pub fn flush(&mut self) -> io::Result<()> {
        self.csv.flush()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_are_made_texts_and_numbers_stay() {
        for formula in [
            "=1+1",
            "+cmd",
            "-cmd|' /C calc'!A0",
            "@SUM(A1)",
            " =1",
            "\t=1",
            "\tx",
            "\rx",
            "-5 °C",
            "-inf",
            "＝1",
            "'=1",
            "''-x",
            "-",
            "--1",
            "+1+1",
        ] {
            assert_eq!(harmless(formula), format!("'{formula}"));
            assert_eq!(read(&harmless(formula)), formula);
        }
        for plain in [
            "-3.2", "+5", "1e-7", "-1E+5", "", "plate", "a=b", "it's", "'s-plate", "'-3", "5 °C",
            "é",
        ] {
            assert_eq!(harmless(plain), plain);
            assert_eq!(read(plain), plain);
        }
    }

    #[test]
    fn whatever_is_written_reads_the_same() {
        let letters = ['\'', '=', '-', '3', ' ', 'a', '\t'];
        let count = letters.len();
        for number in 0..count.pow(4) {
            let letter = |place: u32| letters[number / count.pow(place) % count];
            let text: String = (0..4).map(letter).collect();
            assert_eq!(read(&harmless(&text)), text, "{text:?}");
        }
    }
}
