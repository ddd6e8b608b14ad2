//! Replications of design points: of each only the values of the measures wanted.
//!
//! In: a room and a range of replications for each of several points. Out: a [`Replication`] each, in order. The
//! same values come out whatever the range they are played in and whatever the number of threads, so a study can
//! be cut anywhere.

use super::player::{Done, Fold};
use crate::service::Service;
use crate::service::measure::Measure;
use crate::service::outcome::Outcome;

/// Evenings between two looks, per thread: enough that a thread that is done first does not wait for long.
const EVENINGS_PER_THREAD: usize = 64;

/// What one replication gave.
#[derive(Debug, Clone, PartialEq)]
pub struct Replication {
    /// Its number, from 0: `--replication` plays it again.
    pub number: u64,
    /// Values, columns as the measures asked for.
    pub values: Vec<Option<f64>>,
    /// Whether it ended by itself rather than at the limit.
    pub finished: bool,
}

/// Evenings that are worth playing in one go.
pub(super) const fn in_one_go(threads: usize) -> u64 {
    (threads * EVENINGS_PER_THREAD) as u64
}

/// Collects the replications of several assignments, of one room each.
pub(super) struct Collect<'m> {
    measures: &'m [Measure],
    block: u64,
    /// The replications of each assignment, in order. If it was cancelled, some may be missing between others.
    pub of: Vec<Vec<Replication>>,
}

/// What is kept of an evening.
#[derive(Debug, Default)]
pub(super) struct Values {
    values: Vec<Option<f64>>,
    finished: bool,
}

impl<'m> Collect<'m> {
    /// These measures of so many assignments, played by so many threads.
    pub fn new(measures: &'m [Measure], assignments: usize, threads: usize) -> Self {
        Self {
            measures,
            block: in_one_go(threads),
            of: vec![Vec::new(); assignments],
        }
    }
}

impl Fold for Collect<'_> {
    type Kept = Values;

    fn slot(&self) -> Values {
        Values::default()
    }

    fn slot_bytes(&self) -> usize {
        self.measures.len() * size_of::<Option<f64>>()
    }

    fn block(&self) -> u64 {
        self.block
    }

    fn keep(&self, _: usize, _: &Service<'_>, outcome: &mut Outcome, kept: &mut Values) {
        let values = self.measures.iter().map(|measure| outcome.get(*measure));
        kept.values.clear();
        kept.values.extend(values);
        kept.finished = outcome.finished;
    }

    fn add(&mut self, evenings: &[Done<'_, Values>]) {
        for one in evenings {
            self.of[one.assignment].push(Replication {
                number: one.replication,
                values: one.kept.values.clone(),
                finished: one.kept.finished,
            });
        }
    }
}
