//! Many services: replicate, estimate, find.
//!
//! | file | does |
//! |---|---|
//! | [`replicate`] | plays replications on all cores, folded in index order |
//! | [`bands`] | series over replications in bounded memory |
//! | [`estimate`] | means, intervals and quantiles of the measures |
//! | [`compare`] | scenarios on the same evenings: what differs, and what that changes |
//! | [`findings`] | what ran short, dried on, stood full, came late |
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
//! | [`play`] | a range of replications of one design point |
//! | [`choose`] | the cheapest design that keeps its targets |
//! | [`swept`] | a study of many designs as played, as `report` draws it |
//! | [`evening`] | all of it, as `report` reads it |

pub mod bands;
pub mod binding;
pub mod choose;
pub mod compare;
pub mod design;
pub mod estimate;
pub mod evening;
pub mod findings;
pub mod imprecise;
pub mod no_effect;
pub mod play;
pub mod published;
pub mod replicate;
pub mod sentence;
pub mod sheet;
pub mod summary;
pub mod sweep;
pub mod swept;
pub mod trouble;

pub use replicate::{Plan, Stop, simulate};
