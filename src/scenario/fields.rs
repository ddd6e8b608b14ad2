//! One table of every key that a scenario file may have, and one of those of a study.
//!
//! The rows stand in [`super::model`]. The check, the error text, the defaults and the JSON Schema are all read
//! from them; nothing about a key is written down twice.

use super::check::Keys;
pub use super::field::{Bounds, Field, Kind, Quantity, Unset};
use super::model::Scenario;
pub use super::model::study;

/// The keys at the top of a scenario.
#[must_use]
pub fn of_scenario() -> Vec<&'static Field> {
    Scenario::ROWS.iter().collect()
}

/// The keys at the top of a study.
#[must_use]
pub fn of_study() -> Vec<&'static Field> {
    study::StudyFile::ROWS.iter().collect()
}

/// Every row of a scenario, each with those below it.
pub fn all() -> impl Iterator<Item = &'static Field> {
    let mut rows = Vec::new();
    gather(Scenario::ROWS, &mut rows);
    rows.into_iter()
}

fn gather(fields: &'static [Field], rows: &mut Vec<&'static Field>) {
    for field in fields {
        rows.push(field);
        // What stands at many paths has rows of its own, which name none.
        if matches!(field.kind, Kind::Table | Kind::Rows(..)) {
            gather(field.below, rows);
        }
    }
}

/// The row of that path.
#[must_use]
pub fn find(path: &str) -> Option<&'static Field> {
    all().find(|field| field.path == path)
}
