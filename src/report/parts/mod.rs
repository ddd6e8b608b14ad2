//! The parts of a study: what is written while design points are played, and how parts become one table.
//!
//! | file | does |
//! |---|---|
//! | [`share`] | which points belong to which part |
//! | [`seal`] | lines with a running checksum |
//! | [`stamp`] | what makes two parts those of the same study |
//! | [`part`] | the file of a part: locked, resumed where it stopped, appended to |
//! | [`rows`] | heads and rows of the tables |
//! | [`journal`] | the evenings of a choice that is under way |
//! | [`gather`] | all parts checked and put together |
//!
//! A part holds the very rows of the tables, as text, so that gathering only sorts them: the tables of a
//! study are the same bytes on one machine and on a thousand. Parts lie in the folder `parts` below the
//! output folder.

pub mod gather;
pub mod journal;
pub mod part;
pub mod rows;
pub mod seal;
pub mod share;
pub mod stamp;

use super::ReportError;

/// Name of the folder of the parts.
pub const FOLDER: &str = "parts";

/// Why parts could not be written or gathered.
#[derive(Debug)]
pub enum Problem {
    /// The disk would not.
    Report(ReportError),
    /// What lies there does not fit; what is wrong, and the cure.
    Refused(Vec<String>, String),
}

impl From<ReportError> for Problem {
    fn from(error: ReportError) -> Self {
        Self::Report(error)
    }
}

impl Problem {
    /// One thing that does not fit, and the cure.
    fn refused(what: impl Into<String>, cure: impl Into<String>) -> Self {
        Self::Refused(vec![what.into()], cure.into())
    }
}
