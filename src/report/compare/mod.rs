//! A comparison as people and programs read it.
//!
//! | file | makes |
//! |---|---|
//! | [`table`] | what the terminal shows |
//! | [`json`] | one JSON document |
//! | [`tables_csv`] | `comparison.csv`, `series.csv`, `replications.csv` |
//!
//! The pictures are drawn by `charts`. A difference is always the alternative less
//! the base; one of shares is in points.

pub mod json;
pub mod table;
pub mod tables_csv;
