//! What a person wrote: fields, units, `based_on`, checks.
//!
//! | file | does |
//! |---|---|
//! | [`units`] | `"20 in"` and `"18:30"` as numbers |
//! | `sources`, `tree`, `reach` | read files, parse TOML with places, name files in files |
//! | [`field`] | what there is to say of a key: what, kind, limits, default, source |
//! | `check` | hold a tree against its keys and read it |
//! | [`model`] | every key with its member: plain values in SI, each type reading itself |
//! | [`fields`] | the table of all keys, from the model |
//! | `version` | the version that a file is written in, and what changed since |
//! | `include`, `chain` | merge libraries and `based_on` |
//! | `origins` | where every value stands |
//! | `sums` | impossible sums: values that cannot be true together |
//! | [`amount`] | a value as a number in its unit, and back, for studies |
//! | [`path`] | a value of a scenario by its path, for studies |
//! | [`mistakes`], `suggest` | what is wrong, shown with line, caret and cure; "did you mean" |
//! | `load` | all of it, one after the other |
//! | [`visible`] | texts of files as a terminal may have them |
//! | [`cells`] | cells of CSV files as a spreadsheet may have them |
//! | [`wording`] | what a service and money are called |
//! | `schema` | the same table as JSON Schema |
//! | [`start`] | a scenario of one's own, from a handful of answers |
//! | [`explain`], [`shipped`] | one key, with an example; the files that come with the program |
//!
//! In: the path of a TOML file. Out: a [`Loaded`] scenario, or all [`Mistakes`] at once.

pub mod amount;
pub mod cells;
pub(crate) mod chain;
pub(crate) mod check;
pub mod explain;
pub mod field;
pub mod fields;
pub(crate) mod include;
pub(crate) mod load;
pub mod mistakes;
pub mod model;
mod origins;
pub mod path;
pub(crate) mod reach;
pub mod regular;
mod schema;
pub mod shipped;
pub mod sources;
pub mod start;
pub(crate) mod suggest;
mod sums;
pub(crate) mod tree;
pub mod units;
pub(crate) mod version;
pub mod visible;
pub mod wording;

pub use load::{Loaded, load, load_changed, load_from, load_text};
pub use mistakes::{Location, Mistake, Mistakes};
pub use origins::Origins;
pub use schema::{schema, study_schema};
