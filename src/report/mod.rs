//! Everything that turns an [`Evening`](crate::study::evening::Evening) into something a person or a
//! program reads.
//!
//! | file | makes |
//! |---|---|
//! | [`table`] | what the terminal shows |
//! | `tried` | below a finding: what its advice buys and costs, what was tried in vain |
//! | [`json`] | one JSON document |
//! | `layout` | lines, columns, wrapping, bold, findings: text as a terminal shows it |
//! | [`tables_csv`] | `measures.csv`, `series.csv`, `replications.csv` |
//! | [`columns`], [`datapackage`] | columns and cells of all CSV files; the data dictionary beside them |
//! | [`csv_files`] | the CSV files of a result as values, and the place that writes them |
//! | [`diary`] | the diary of one replication, as CSV |
//! | [`sheet`] | the hand-calculation sheet, in both |
//! | [`parts`] | the parts of a study, and its tables |
//! | [`choice`] | what came of a choice: terminal, JSON, CSV |
//! | [`points`], `points_table`, [`points_json`] | what the terminal shows of a study, its design points in a table; one JSON document |
//! | `charts` | charts of an evening, a comparison and a study, each as SVG and PNG; with the feature `charts` |
//! | [`pictures`] | their formats |
//! | [`compare`] | table, JSON and CSV of a comparison |
//! | [`output`] | one shape for all of these results, and the place that hands them over |
//! | [`out`] | the folder they go to, and standard output |
//!
//! Measures are printed under the names of [`measure`](crate::service::measure); only the table puts
//! them in words ([`words`](crate::words)) and, on request, in US units ([`units`]). What does not exist is `-` in the
//! table, `null` in JSON, an empty cell in CSV and a gap in a chart; it is never 0 and never NaN.

#[cfg(feature = "charts")]
pub mod charts;
pub mod choice;
pub mod columns;
pub mod compare;
pub mod csv_files;
pub mod datapackage;
pub mod diary;
mod error;
#[cfg(test)]
pub(crate) mod examples;
pub mod explain;
pub mod json;
mod json_lists;
mod layout;
mod number;
pub mod out;
pub mod output;
pub mod parts;
pub mod pictures;
pub mod points;
pub mod points_json;
mod points_table;
pub mod sheet;
pub mod start;
pub mod table;
pub mod tables_csv;
mod tried;
pub mod units;
pub mod width;

pub use error::ReportError;
