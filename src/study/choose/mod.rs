//! The best design of a study that keeps all its targets: least in a measure, or largest.
//!
//! In: a [`Study`]. Out: a [`Choice`]: which design, what the choice rests on, which came second and what
//! it lacks; or that none keeps the targets, and which comes closest. The procedure and its guarantee are
//! those of [`crate::statistics::selection`]; all designs have the same guests, soil and luck.
//!
//! | file | does |
//! |---|---|
//! | [`error`] | why nothing can be chosen |
//! | [`rules`] | a study to rules of selection, or what is wrong with it |
//! | `few_evenings` | a warning where the figures of the design chosen rest on a few evenings |
//! | [`evenings`] | plays the evenings that are wanted, on all cores |
//! | [`told`] | what was seen of each design, and its rivals |
//!
//! A design of which an evening is never finished is out. Every evening is handed over as soon as its group is played
//! (`report/parts/journal.rs` keeps it), so an interrupted choice goes on. Sites cannot be chosen among, a choice is
//! not cut into parts, and all evenings of all designs stay in memory.

pub mod error;
pub mod evenings;
mod few_evenings;
pub mod rules;
pub mod told;

use std::convert::Infallible;

use super::design::Study;
use super::design::points::Setting;
use super::design::wanted::{Choose, Target};
use super::evening::Finding;
use super::replications::Replication;
use super::swept::Cell;
use super::watch::Watch;
use crate::service::measure::Measure;
use crate::statistics::selection::{Fate, Selection};
use error::ChooseError;
use evenings::Evenings;

/// How it ended.
#[derive(Debug, Clone, PartialEq)]
pub enum End {
    /// This design.
    Chosen {
        /// Index into [`Choice::designs`].
        design: usize,
        /// The cheapest of the others that keep the targets, as far as was seen.
        runner_up: Option<Rival>,
        /// Of the designs that are cheaper and miss a target, the one that comes closest.
        cheaper: Option<Rival>,
    },
    /// None keeps all targets; this one comes closest.
    NoneMeets(Option<Rival>),
    /// A design would need more evenings than allowed.
    Undecided {
        /// The designs that are left.
        left: Vec<usize>,
    },
    /// From outside.
    Interrupted {
        /// The designs that are left.
        left: Vec<usize>,
    },
}

/// A design that was not chosen, and what it lacks.
#[derive(Debug, Clone, PartialEq)]
pub struct Rival {
    /// Index into [`Choice::designs`].
    pub design: usize,
    /// Targets it misses by what was seen of it.
    pub misses: Vec<Miss>,
}

/// A target that is missed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Miss {
    /// Index into [`Choice::targets`].
    pub target: usize,
    /// By how much, in the unit of the measure; of a target in a share of the evenings, of that share.
    pub by: f64,
}

/// A design, and what was seen of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    /// Its number among the design points.
    pub point: u64,
    /// The value of each factor.
    pub settings: Vec<Setting>,
    /// What has become of it.
    pub fate: Fate,
    /// Whether it is known to keep all targets.
    pub keeps: bool,
    /// Evenings played.
    pub evenings: u64,
    /// Of these, never finished.
    pub unfinished: u64,
    /// An estimate of each measure, as [`Choice::measures`].
    pub measures: Vec<Cell>,
    /// What it has more of the sought measure than the design chosen, or than the one that comes closest, on
    /// the same evenings. Means of designs with different numbers of evenings do not compare.
    pub dearer: Option<Cell>,
    /// What was seen of each target.
    pub targets: Vec<Seen>,
}

/// What was seen of a target at a design.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// The mean of the measure, or the share of the evenings that kept the limit.
    pub value: Option<f64>,
    /// Lower end of its 95 % interval.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
    /// By how many tolerances it is missed; below 0 if it is kept.
    pub missed: Option<f64>,
}

/// What came of a study that was to choose.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// One line that says what is asked.
    pub title: String,
    /// File stem of the study.
    pub name: String,
    /// Base seed.
    pub seed: u64,
    /// Names of the factors.
    pub factors: Vec<String>,
    /// What is chosen by.
    pub rule: Choose,
    /// What a design must keep.
    pub targets: Vec<Target>,
    /// Measures of the designs; the one that is to be least or largest is at [`Choice::sought`].
    pub measures: Vec<Measure>,
    /// Index of the measure that is to be least or largest.
    pub sought: usize,
    /// Probability with which each single test may err.
    pub error_each: f64,
    /// All designs, in the order of the study.
    pub designs: Vec<Design>,
    /// Evenings that a design has before it is chosen, so that rare events have been seen.
    pub to_see: u64,
    /// Evenings played.
    pub spent: u64,
    /// Evenings of each design that equal allocation would have needed for the same guarantee.
    pub equal_each: Option<u64>,
    /// How it ended.
    pub end: End,
    /// What of the design told first is outside a published limit, and what its figures rest on.
    pub findings: Vec<Finding>,
}

/// Chooses.
///
/// # Errors
/// If the study cannot be chosen from; see [`ChooseError`].
pub fn choose(
    study: &Study,
    threads: usize,
    watch: &Watch,
) -> Result<Choice, ChooseError<Infallible>> {
    go_on(study, threads, watch, Vec::new(), |_, _| Ok(()))
}

/// Chooses, and goes on where an earlier run was interrupted: with what that one has played of each design.
/// What is new is handed to `keep`, a design at a time, before it counts. The choice is the same, to the last
/// bit, as that of a run that was not interrupted.
///
/// # Errors
/// If the study cannot be chosen from, or `keep` could not; see [`ChooseError`].
pub fn go_on<E>(
    study: &Study,
    threads: usize,
    watch: &Watch,
    earlier: Vec<Vec<Replication>>,
    mut keep: impl FnMut(usize, &[Replication]) -> Result<(), E>,
) -> Result<Choice, ChooseError<E>> {
    let rules = rules::of(study).map_err(ChooseError::Wrong)?;
    let mut selection = rules::selection(study, &rules).map_err(ChooseError::Wrong)?;
    let mut evenings = Evenings::new(study, threads, earlier).map_err(ChooseError::NotPlayed)?;
    let mut interrupted = false;
    while !interrupted {
        let wanted = selection.wanted();
        if wanted.is_empty() {
            break;
        }
        let take = |system: usize, played: &Replication| {
            observe(study, &rules, &mut selection, system, played)
        };
        interrupted = !evenings.play(&wanted, watch, &mut keep, take)?;
        for &system in selection.out() {
            evenings.forget_room(system);
        }
    }
    Ok(told::choice(
        study,
        &rules,
        &selection,
        evenings,
        interrupted,
    ))
}

/// Hands one evening over to the procedure.
fn observe<E>(
    study: &Study,
    rules: &rules::Chosen,
    selection: &mut Selection,
    system: usize,
    played: &Replication,
) -> Result<(), ChooseError<E>> {
    let absent = |measure: usize| ChooseError::Absent {
        design: study.label(system as u64),
        measure: study.measures[measure],
        replication: played.number,
    };
    let value = |column: usize| played.values.get(column).copied().flatten();
    let cost = value(rules.column).ok_or_else(|| absent(rules.column))?;
    let cost = rules.rule.seeks.turned(cost);
    let mut values = Vec::with_capacity(rules.targets.len());
    for (column, target) in &rules.targets {
        let value = value(*column).ok_or_else(|| absent(*column))?;
        values.push(rules::turned(target, value, played.finished));
    }
    let taken = selection.observe(system, cost, &values);
    if !played.finished {
        // Its waits and its cost are too small by what was left: nothing of it can be compared.
        selection.bar(system);
    }
    // Measures are finite or absent, so nothing is refused here.
    taken.map_err(|_| absent(rules.column))
}

impl Choice {
    /// What equal allocation would have spent in all.
    #[must_use]
    pub fn equal_spent(&self) -> Option<u64> {
        Some(self.equal_each? * self.designs.len() as u64)
    }
}
