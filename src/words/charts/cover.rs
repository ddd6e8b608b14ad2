//! Words of the picture of people needed beside people there.

use crate::version::NUMBER;

/// Its title.
pub const TITLE: &str = "People needed and people there, by the half hour";
/// What its areas and lines are.
pub const CAPTION: &str =
    "Blue: people needed. Orange: more than are there. Line: people there who have the duty.";
/// What is counted.
pub const PEOPLE: &str = "people";
/// The panel of duties that people share.
#[must_use]
pub fn together(duties: &[&str]) -> String {
    duties.join(" + ")
}
/// The panel of all duties together.
pub const ALL: &str = "all duties";

/// Where it is from: no evening was played for it.
#[must_use]
pub fn provenance(file: &str) -> String {
    format!("{file}, scullery {NUMBER}, worked out from means")
}
