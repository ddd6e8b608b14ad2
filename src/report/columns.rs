//! What a CSV file of ours has in it: columns with name, type, unit and meaning, and cells of those types.
//!
//! The head of a file, the form of its cells and its part of the data dictionary
//! ([`datapackage`](super::datapackage)) all come from its [`Column`]s, so that none can say anything else.
//!
//! A program that guesses types from the text sees the same type whatever was measured: a decimal always has
//! a point or an exponent (`266.0`), a whole number never. A column that is empty throughout has its type in
//! the dictionary alone: CSV cannot say it.

use std::io::{self, Write};

use super::number::finite;
use crate::scenario::cells::Table;
use crate::service::measure::MeasureInfo;

/// What the cells of a column are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holds {
    /// Words.
    Text,
    /// Whole numbers.
    Whole,
    /// Numbers that may have decimals.
    Decimal,
    /// `true` or `false`.
    Flag,
}

/// A column of a CSV file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its head; of a measure or a factor with the unit in brackets.
    pub head: String,
    /// What its cells are.
    pub holds: Holds,
    /// Unit of its numbers, `1` for shares; empty where there is none, or where each row has its own.
    pub unit: String,
    /// What it says.
    pub meaning: String,
}

impl Column {
    /// A column without a unit.
    pub fn new(head: impl Into<String>, holds: Holds, meaning: impl Into<String>) -> Self {
        Self {
            head: head.into(),
            holds,
            unit: String::new(),
            meaning: meaning.into(),
        }
    }

    /// Decimals in a unit, which stands in the head too.
    pub fn decimal(name: &str, unit: &str, meaning: impl Into<String>) -> Self {
        Self::new(head(name, unit), Holds::Decimal, meaning).in_unit(unit)
    }

    /// The values of a measure.
    #[must_use]
    pub fn measure(info: &MeasureInfo) -> Self {
        Self::decimal(info.name, info.unit, info.meaning)
    }

    /// The same in that unit; the head stays.
    #[must_use]
    pub fn in_unit(self, unit: &str) -> Self {
        let unit = unit.to_owned();
        Self { unit, ..self }
    }
}

/// A name with its unit, if there is one.
#[must_use]
pub fn head(name: &str, unit: &str) -> String {
    match unit {
        "" => name.to_owned(),
        unit => format!("{name} [{unit}]"),
    }
}

/// The columns of a fixed table: head, what it holds, meaning.
#[must_use]
pub fn fixed(rows: &[(&str, Holds, &str)]) -> Vec<Column> {
    let column = |&(head, holds, meaning): &(&str, Holds, &str)| Column::new(head, holds, meaning);
    rows.iter().map(column).collect()
}

/// Gives columns of the same head numbers: whoever reads a table by its heads must find one of each.
#[must_use]
pub fn distinct(mut columns: Vec<Column>) -> Vec<Column> {
    for at in 1..columns.len() {
        let (before, rest) = columns.split_at_mut(at);
        let Some(column) = rest.first_mut() else {
            continue;
        };
        let plain = column.head.clone();
        let mut number = 1;
        while before.iter().any(|other| other.head == column.head) {
            number += 1;
            column.head = format!("{plain} ({number})");
        }
    }
    columns
}

/// A value in a table.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// What does not exist.
    Empty,
    /// Words.
    Text(String),
    /// A whole number.
    Whole(i128),
    /// A number that may have decimals.
    Decimal(f64),
    /// The same, with so many places after the point, at least one.
    Places(f64, usize),
    /// Yes or no.
    Flag(bool),
}

impl Cell {
    /// As it is written. What is not finite does not exist.
    #[must_use]
    pub fn text(&self) -> String {
        match self {
            Self::Empty => String::new(),
            Self::Text(text) => text.clone(),
            Self::Whole(number) => number.to_string(),
            // The shortest text that reads back as the same number, with a point or an exponent.
            Self::Decimal(number) => {
                finite(Some(*number)).map_or_else(String::new, |number| format!("{number:?}"))
            }
            Self::Places(number, places) => {
                let text = |number| format!("{number:.*}", (*places).max(1));
                finite(Some(*number)).map_or_else(String::new, text)
            }
            Self::Flag(flag) => flag.to_string(),
        }
    }

    /// Whether it may stand in a column of that type.
    #[must_use]
    pub const fn fits(&self, holds: Holds) -> bool {
        matches!(
            (self, holds),
            (Self::Empty, _)
                | (Self::Text(_), Holds::Text)
                | (Self::Whole(_), Holds::Whole)
                | (Self::Decimal(_) | Self::Places(..), Holds::Decimal)
                | (Self::Flag(_), Holds::Flag)
        )
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<u64> for Cell {
    fn from(count: u64) -> Self {
        Self::Whole(count.into())
    }
}

impl From<usize> for Cell {
    fn from(count: usize) -> Self {
        Self::Whole(count as i128)
    }
}

impl From<Option<f64>> for Cell {
    fn from(value: Option<f64>) -> Self {
        value.map_or(Self::Empty, Self::Decimal)
    }
}

impl From<bool> for Cell {
    fn from(flag: bool) -> Self {
        Self::Flag(flag)
    }
}

/// A row as it is written; the columns say what may stand where.
#[must_use]
pub fn written(columns: &[Column], cells: &[Cell]) -> Vec<String> {
    debug_assert_eq!(columns.len(), cells.len());
    for (column, cell) in columns.iter().zip(cells) {
        debug_assert!(cell.fits(column.holds), "{cell:?} in {column:?}");
    }
    cells.iter().map(Cell::text).collect()
}

/// A CSV file that is being written, head first.
pub struct Rows<'a> {
    columns: &'a [Column],
    table: Table<&'a mut dyn Write>,
}

impl<'a> Rows<'a> {
    /// Writes the head.
    ///
    /// # Errors
    /// Those of `to`.
    pub fn new(columns: &'a [Column], to: &'a mut dyn Write) -> io::Result<Self> {
        let mut table = Table::new(to);
        table.row(columns.iter().map(|column| &column.head))?;
        Ok(Self { columns, table })
    }

    /// Adds a row.
    ///
    /// # Errors
    /// Those of the writer.
    pub fn row(&mut self, cells: &[Cell]) -> io::Result<()> {
        self.table.row(written(self.columns, cells))
    }

    /// Writes what is left.
    ///
    /// # Errors
    /// Those of the writer.
    pub fn end(mut self) -> io::Result<()> {
        self.table.flush()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_decimal_is_never_taken_for_a_whole_number() {
        for (value, text) in [
            (266.0, "266.0"),
            (-3.0, "-3.0"),
            (0.1 + 0.2, "0.30000000000000004"),
            (1e16, "1e16"),
            (1e-7, "1e-7"),
        ] {
            let written = Cell::Decimal(value).text();
            assert_eq!(written, text);
            assert_eq!(written.parse::<f64>().ok(), Some(value));
            assert!(written.parse::<i64>().is_err());
        }
        assert_eq!(Cell::Decimal(f64::NAN).text(), "");
        assert_eq!(Cell::from(None).text(), "");
        assert_eq!(Cell::from(u64::MAX).text(), u64::MAX.to_string());
    }

    #[test]
    fn heads_that_are_the_same_get_numbers() {
        let columns = ["a", "b", "a", "a (2)", "a"].map(|head| Column::new(head, Holds::Text, ""));
        let heads: Vec<String> = distinct(columns.into())
            .into_iter()
            .map(|column| column.head)
            .collect();
        assert_eq!(heads, ["a", "b", "a (2)", "a (2) (2)", "a (3)"]);
    }
}
