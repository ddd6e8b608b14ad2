//! One shape for every result, and the one place that hands it over.
//!
//! A result has a table for the terminal and one JSON document. If it was played it has CSV files, with a data dictionary
//! beside them, and charts. A command makes its result, and calls [`write()`] and `print`.
//!
//! | result | of | CSV files, charts |
//! |---|---|---|
//! | [`Evening`] | `simulate` | both |
//! | [`Comparison`] | `compare` | both |
//! | [`Swept`] | `sweep` | charts; its rows went through [`CsvFiles`] as they were gathered, once |
//! | [`Chosen`] | `choose` | CSV files |
//! | [`CheckedSheet`] | `check` | a chart |
//!
//! To add a result: [`Output`] for it.

#[cfg(feature = "charts")]
use super::charts::{self, Chart};
use super::choice::{self, Chosen};
use super::compare;
use super::csv_files::CsvFiles;
use super::out::OutputFolder;
use super::pictures::{self, Pictures};
use super::points::Swept;
use super::sheet::{self, CheckedSheet};
use super::units::Units;
use super::width::Width;
use super::{ReportError, json, points_json, points_table, table, tables_csv};
use crate::study::compare::Comparison;
use crate::study::evening::Evening;

/// A result, in every form in which people and programs read it.
pub trait Output: Sync {
    /// What the terminal shows, for so wide a one. Bold is marked with escapes, which `out::print` keeps from anything but a
    /// terminal.
    fn table_of_width(&self, units: Units, width: Width) -> String;

    /// The same, as wide as in files.
    fn table(&self, units: Units) -> String {
        self.table_of_width(units, Width::FIXED)
    }

    /// One JSON document, indented, with a newline at its end.
    ///
    /// # Errors
    /// [`ReportError::Json`], which no result should cause.
    fn json(&self) -> Result<String, ReportError>;

    /// Its CSV files, not written yet.
    #[cfg_attr(not(rooms), doc(hidden))]
    fn csv(&self) -> Option<CsvFiles<'_>> {
        None
    }

    /// Stems of all charts that such a result may have: what is not drawn now and lies there from an earlier run
    /// would be of other numbers, and goes.
    fn stems(&self) -> Vec<String> {
        Vec::new()
    }

    /// Its charts, not drawn yet.
    #[cfg_attr(not(rooms), doc(hidden))]
    #[cfg(feature = "charts")]
    fn charts(&self, _units: Units) -> Vec<Chart<'_>> {
        Vec::new()
    }
}

/// How a result is to be handed over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Handing {
    /// Units of the table and the charts.
    pub units: Units,
    /// Formats of the charts.
    pub pictures: Pictures,
    /// What goes to standard output.
    pub printed: Printed,
}

/// What goes to standard output.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Printed {
    /// The table, for a terminal or a file of this width.
    Table(Width),
    /// The JSON document.
    Json,
    /// Nothing.
    Nothing,
}

/// Writes all files of a result, on the threads of the pool it is called in, and puts them in their places together;
/// how many there are.
///
/// # Errors
/// As [`OutputFolder::keep`], or a chart that cannot be drawn; all earlier files are then as they were.
pub fn write(
    result: &impl Output,
    handing: &Handing,
    folder: &OutputFolder,
) -> Result<usize, ReportError> {
    let (tables, drawn) = rayon::join(
        || result.csv().map_or(Ok(()), |files| files.write(folder)),
        || draw(result, handing, folder),
    );
    tables?;
    drawn?;
    for stem in result.stems() {
        for ending in pictures::ENDINGS {
            folder.remove(&format!("{stem}.{ending}"));
        }
    }
    folder.keep()
}

#[cfg(feature = "charts")]
fn draw(result: &impl Output, handing: &Handing, folder: &OutputFolder) -> Result<(), ReportError> {
    charts::draw(&result.charts(handing.units), handing.pictures, folder).map(drop)
}

/// There is nothing to draw with.
#[cfg(not(feature = "charts"))]
fn draw(_: &impl Output, handing: &Handing, _: &OutputFolder) -> Result<(), ReportError> {
    match handing.pictures {
        Pictures::None => Ok(()),
    }
}

/// Prints a result.
///
/// # Errors
/// [`ReportError::Json`] or [`ReportError::Stdout`].
#[cfg(feature = "cli")]
pub fn print(result: &impl Output, handing: &Handing) -> Result<(), ReportError> {
    match handing.printed {
        Printed::Table(width) => super::out::print(&result.table_of_width(handing.units, width)),
        Printed::Json => super::out::print(&result.json()?),
        Printed::Nothing => Ok(()),
    }
}

impl Output for Evening {
    fn table_of_width(&self, units: Units, width: Width) -> String {
        table::table(self, units, width)
    }

    fn json(&self) -> Result<String, ReportError> {
        json::document(self)
    }

    fn csv(&self) -> Option<CsvFiles<'_>> {
        Some(tables_csv::files(self))
    }

    fn stems(&self) -> Vec<String> {
        pictures::EVENING.map(str::to_owned).to_vec()
    }

    #[cfg(feature = "charts")]
    fn charts(&self, units: Units) -> Vec<Chart<'_>> {
        charts::of_evening(self, units)
    }
}

impl Output for Comparison {
    fn table_of_width(&self, units: Units, width: Width) -> String {
        compare::table::table(self, units, width)
    }

    fn json(&self) -> Result<String, ReportError> {
        compare::json::document(self)
    }

    fn csv(&self) -> Option<CsvFiles<'_>> {
        Some(compare::tables_csv::files(self))
    }

    fn stems(&self) -> Vec<String> {
        pictures::stems_of_comparison(self)
    }

    #[cfg(feature = "charts")]
    fn charts(&self, units: Units) -> Vec<Chart<'_>> {
        charts::of_comparison(self, units)
    }
}

impl Output for Swept<'_> {
    fn table_of_width(&self, units: Units, width: Width) -> String {
        points_table::table(self, units, width)
    }

    fn json(&self) -> Result<String, ReportError> {
        points_json::document(self.study, self.written)
    }

    fn stems(&self) -> Vec<String> {
        pictures::stems_of_sweep()
    }

    #[cfg(feature = "charts")]
    fn charts(&self, units: Units) -> Vec<Chart<'_>> {
        let swept = self.written.swept.iter();
        swept
            .flat_map(|swept| charts::of_sweep(swept, units))
            .collect()
    }
}

impl Output for Chosen<'_> {
    fn table_of_width(&self, units: Units, width: Width) -> String {
        let choice = self.choice;
        choice::table::table(&choice::Shown { choice, units }, width)
    }

    fn json(&self) -> Result<String, ReportError> {
        choice::json::document(self)
    }

    fn csv(&self) -> Option<CsvFiles<'_>> {
        Some(choice::csv::files(self.choice, self.study))
    }
}

impl Output for CheckedSheet<'_> {
    fn table_of_width(&self, units: Units, width: Width) -> String {
        sheet::sheet(self.sheet, units, width)
    }

    fn json(&self) -> Result<String, ReportError> {
        sheet::document(self)
    }

    fn stems(&self) -> Vec<String> {
        vec![pictures::COVER.to_owned()]
    }

    #[cfg(feature = "charts")]
    fn charts(&self, _: Units) -> Vec<Chart<'_>> {
        charts::of_sheet(self)
    }
}
