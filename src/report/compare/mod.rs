//! A comparison as people and programs read it.
//!
//! | file | makes |
//! |---|---|
//! | [`table`] | what the terminal shows |
//! | `beside` | its table of all alternatives, where there are several |
//! | `figures` | what both print of a measure |
//! | [`json`] | one JSON document |
//! | [`tables_csv`] | `comparison.csv`, `series.csv`, `replications.csv` |
//!
//! The pictures are drawn by `charts`. A difference is always the alternative less
//! the base; one of shares is in points.

mod beside;
mod figures;
pub mod json;
pub mod table;
pub mod tables_csv;

use crate::study::compare::difference::Verdict;
use crate::words::tables::comparison::verdict as say;

/// A verdict in words, in tables and charts.
#[must_use]
pub const fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Absent => "-",
        Verdict::Same => say::SAME,
        Verdict::Luck => say::LUCK,
        Verdict::NoMatter => say::NO_MATTER,
        Verdict::Small => say::SMALL,
        Verdict::Less => say::LESS,
        Verdict::More => say::MORE,
    }
}
