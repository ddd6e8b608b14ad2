//! Plays the design points of a study on all cores and hands them over one by one, in their order.
//!
//! In: a study, the points wanted, how many threads. Out: each [`Played`] point, as soon as it and all before it
//! are finished. Evenings are taken in rounds, of the earliest points that have any left, so that all threads are
//! busy and little is lost when the run is killed. What comes out has the same bits whatever the number of threads:
//! values are in the order of their replications, and precision is looked at after whole rounds of a point only.

use std::collections::VecDeque;
use std::ops::Range;
use std::sync::{Mutex, PoisonError};

use rayon::prelude::*;
use thiserror::Error;

use super::design::{Replications, Study};
use super::error::PlayError;
use super::plan::LEVEL;
use super::player::{Assignment, Ended, Player};
use super::replications::{Collect, Replication, in_one_go};
use super::watch::{Columns, Watch};
use crate::room::Room;
use crate::scenario::Mistakes;
use crate::scenario::sources::Sources;
use crate::service::measure::Measure;
use crate::statistics::interval::Sample;
use crate::statistics::precision;

/// Points that may be finished or begun beyond the one that is handed over next.
const MAX_AHEAD: usize = 4096;

/// A design point, played.
#[derive(Debug, Clone, PartialEq)]
pub struct Played {
    /// Its number.
    pub point: u64,
    /// Its replications, in order; values as [`Study::measures`].
    pub replications: Vec<Replication>,
}

/// Why a sweep ended before its last point.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum SweepError<E> {
    /// It was cancelled.
    #[error("interrupted")]
    Interrupted,
    /// A point is no scenario; [`super::design::checked`] would have said so.
    #[error("{0}")]
    Wrong(Box<Mistakes>),
    /// Whoever takes the points could not.
    #[error("{0}")]
    Refused(E),
    /// Nothing could be played.
    #[error("{0}")]
    NotPlayed(#[source] PlayError),
}

impl<E> SweepError<E> {
    /// What to do about it, where that is not said already.
    #[must_use]
    pub const fn help(&self) -> Option<&'static str> {
        match self {
            Self::Interrupted => Some("the same command resumes"),
            Self::Wrong(_) | Self::Refused(_) => None,
            Self::NotPlayed(error) => Some(error.help()),
        }
    }
}

/// Plays these points.
///
/// # Errors
/// If it ended before the last of them; what was handed over stands.
pub fn sweep<E>(
    study: &Study,
    points: impl Iterator<Item = u64>,
    threads: usize,
    watch: &Watch,
    mut take: impl FnMut(Played) -> Result<(), E>,
) -> Result<(), SweepError<E>> {
    let mut bench = Bench::new(study, threads).map_err(SweepError::NotPlayed)?;
    let mut points = points.fuse();
    loop {
        bench.begin(&mut points).map_err(SweepError::Wrong)?;
        if bench.open.is_empty() {
            return Ok(());
        }
        let ended = bench.play(watch);
        while let Some(played) = bench.next_finished() {
            take(played).map_err(SweepError::Refused)?;
        }
        watch.show(None, &NoSides);
        if ended == Ended::Cancelled {
            return Err(SweepError::Interrupted);
        }
    }
}

/// The points in work.
struct Bench<'s> {
    study: &'s Study,
    player: Player,
    /// The files of the study, for each thread.
    sources: Vec<Mutex<Sources>>,
    /// In their order; those that are finished wait for one before them.
    open: VecDeque<Open>,
}

/// A point in work.
struct Open {
    point: u64,
    room: Room,
    /// Replications wanted so far.
    wanted: u64,
    played: Vec<Replication>,
}

impl<'s> Bench<'s> {
    fn new(study: &'s Study, threads: usize) -> Result<Self, PlayError> {
        let player = Player::new(threads)?;
        let sources = (0..player.threads()).map(|_| Mutex::new(study.sources()));
        Ok(Self {
            study,
            sources: sources.collect(),
            player,
            open: VecDeque::new(),
        })
    }

    /// Begins as many points as it takes to keep all threads busy for a round.
    fn begin(&mut self, points: &mut impl Iterator<Item = u64>) -> Result<(), Box<Mistakes>> {
        let wanted = first_round(self.study.replications);
        let in_work: u64 = self.open.iter().map(Open::left).sum();
        let lacking = in_one_go(self.player.threads()).saturating_sub(in_work);
        let count = usize::try_from(lacking.div_ceil(wanted.max(1))).unwrap_or(MAX_AHEAD);
        let count = count.min(MAX_AHEAD.saturating_sub(self.open.len()));
        let new: Vec<u64> = points.take(count).collect();
        let open = |point: u64| {
            let thread = rayon::current_thread_index().unwrap_or(0);
            let mut sources = self.sources[thread]
                .lock()
                .unwrap_or_else(PoisonError::into_inner);
            match self.study.room(point, &mut sources) {
                Ok(room) => Ok(Open {
                    point,
                    room,
                    wanted,
                    played: Vec::new(),
                }),
                Err(mistakes) => Err(Box::new(Mistakes::new(mistakes, sources.clone()))),
            }
        };
        let new: Result<Vec<Open>, Box<Mistakes>> =
            (self.player).run(|| new.into_par_iter().map(open).collect());
        self.open.extend(new?);
        Ok(())
    }

    /// Plays a round.
    fn play(&mut self, watch: &Watch) -> Ended {
        let mut budget = in_one_go(self.player.threads());
        let (which, assignments): (Vec<usize>, Vec<Assignment<'_>>) =
            (self.open.iter().enumerate())
                .filter_map(|(at, open)| {
                    let replications = open.next(budget)?;
                    budget -= replications.end - replications.start;
                    let rooms = std::slice::from_ref(&open.room);
                    Some((
                        at,
                        Assignment {
                            rooms,
                            replications,
                        },
                    ))
                })
                .unzip();
        let (seed, measures) = (self.study.seed, &self.study.measures);
        let mut collect = Collect::new(measures, assignments.len(), self.player.threads());
        let ended = self.player.play(&assignments, seed, watch, &mut collect);
        for (at, played) in which.into_iter().zip(collect.of) {
            let open = &mut self.open[at];
            open.played.extend(played);
            open.want_more(self.study);
        }
        ended
    }

    /// The next point, if it is finished.
    fn next_finished(&mut self) -> Option<Played> {
        if self.open.front()?.left() > 0 {
            return None;
        }
        self.open.pop_front().map(|open| Played {
            point: open.point,
            replications: open.played,
        })
    }
}

/// Replications wanted of a point at first.
fn first_round(replications: Replications) -> u64 {
    match replications {
        Replications::Fixed(count) => count,
        Replications::Precise { round, most, .. } => round.min(most),
    }
}

impl Open {
    /// Replications that are still to be played.
    fn left(&self) -> u64 {
        self.wanted.saturating_sub(self.played.len() as u64)
    }

    /// The next of them, at most so many.
    fn next(&self, budget: u64) -> Option<Range<u64>> {
        let count = self.left().min(budget);
        let first = self.played.len() as u64;
        (count > 0).then(|| first..first + count)
    }

    /// Wants another round if a whole one was not enough.
    fn want_more(&mut self, study: &Study) {
        let Replications::Precise {
            round,
            measure,
            within,
            most,
        } = study.replications
        else {
            return;
        };
        if self.left() > 0 || self.wanted >= most {
            return;
        }
        let column = study.measures.iter().position(|other| *other == measure);
        let value = |played: &Replication| *played.values.get(column?)?;
        let values: Vec<f64> = self.played.iter().filter_map(value).collect();
        if !Sample::of(&values).is_some_and(|s| precision::met(s, within, LEVEL)) {
            self.wanted = (self.wanted + round).min(most);
        }
    }
}

/// Nothing is played side by side.
struct NoSides;

impl Columns for NoSides {
    fn sides(&self) -> usize {
        0
    }

    fn column(&self, _: usize, _: Measure) -> Vec<(u64, Option<f64>)> {
        Vec::new()
    }
}
