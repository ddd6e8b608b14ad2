//! Many services: play, estimate, find.
//!
//! | file | does |
//! |---|---|
//! | [`player`] | plays services on all cores and folds them in order: the only place that does |
//! | [`plan`], [`watch`] | what to play; how a run is watched and cancelled |
//! | [`mod@simulate`] | one scenario played and estimated: the fold of a single room |
//! | [`replications`] | the fold of a sweep and of a choice: values of some measures |
//! | `part`, `clock` | what is kept of one evening; times that charts need |
//! | [`bands`] | series over replications in bounded memory |
//! | [`estimate`] | means, intervals and quantiles of the measures |
//! | [`compare`] | scenarios on the same evenings: what differs, and what that changes |
//! | [`findings`] | what ran short, dried on, stood full, came late |
//! | [`advice`] | what might help against a finding, tried on the same evenings |
//! | [`binding`] | what held up the line |
//! | [`no_effect`] | settings that never mattered |
//! | [`imprecise`] | that the precision asked for was not met |
//! | [`trouble`] | machines set up late, and faults |
//! | [`published`] | temperatures against the published limits |
//! | [`sentence`] | the evening in one plain sentence |
//! | [`summary`] | estimates of a design point, and of a factor moved alone |
//! | [`sweep`] | design points on all cores, in order |
//! | [`sheet`] | what a pencil would work out before anything is played |
//! | [`design`] | study files: what varies, and the design points |
//! | [`choose`] | the cheapest design that meets its targets |
//! | [`swept`] | a study of many designs as played, as `report` draws it |
//! | [`covered`] | people needed and there by the half hour, as plain values |
//! | [`evening`] | all of it, as `report` reads it |
//! | [`error`] | why nothing could be played |

pub mod advice;
pub mod bands;
pub mod binding;
pub mod choose;
mod clock;
mod coming;
pub mod compare;
pub mod covered;
pub mod design;
pub mod error;
pub mod estimate;
pub mod evening;
pub mod findings;
mod help;
pub mod imprecise;
pub mod matters;
pub mod no_effect;
mod part;
pub mod plan;
pub mod player;
pub mod published;
pub mod replications;
mod rules;
pub mod sentence;
pub mod sheet;
pub mod simulate;
mod store;
pub mod summary;
mod supply;
pub mod sweep;
pub mod swept;
pub mod trouble;
pub mod watch;

pub use error::PlayError;
pub use plan::{Plan, Stop};
pub use simulate::{simulate, simulate_and_advise, simulate_and_advise_with};
pub use watch::Watch;
