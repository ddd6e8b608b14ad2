//! The best design of a study that meets all its targets: least in a measure, or largest.
//!
//! In: a [`Study`]. Out: a [`Choice`]: which design, what the choice rests on, which came second and what
//! it lacks; or that none meets the targets, and which comes closest. The procedure and its guarantee are
//! those of [`crate::statistics::selection`]; all designs have the same guests, soil and luck.
//!
//! | file | does |
//! |---|---|
//! | [`choice`] | all of it, as `report` reads it |
//! | [`error`] | why nothing can be chosen |
//! | [`rules`] | a study to rules of selection, or what is wrong with it |
//! | `few_evenings` | a warning where the figures of the design chosen rest on a few evenings |
//! | [`evenings`] | plays the evenings that are wanted, on all cores |
//! | [`assemble`] | what was seen of each design, and its rivals |
//!
//! An evening that was given up counts as it was then: a target of the study bounds how many may be. Every evening is handed over as soon as its group is played
//! (`report/parts/journal.rs` keeps it), so an interrupted choice goes on. Sites cannot be chosen among, a choice is
//! not cut into parts, and all evenings of all designs stay in memory.

pub mod assemble;
pub mod choice;
pub mod error;
pub mod evenings;
mod few_evenings;
pub mod rules;

use std::convert::Infallible;

use super::design::Study;
use super::replications::Replication;
use super::watch::Watch;
use crate::statistics::selection::Selection;
use error::ChooseError;
use evenings::Evenings;

pub use choice::{Choice, Design, End, Miss, Rival, Seen};

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
    Ok(assemble::choice(
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
    // Measures are finite or absent, so nothing is refused here.
    taken.map_err(|_| absent(rules.column))
}
