//! Plays a range of replications of one design point, and many such ranges on all cores.
//!
//! In: a room, a seed, replications by number. Out: the values of the measures wanted, a
//! [`Replication`] each, in order. The same numbers come out whatever the range they are played in and
//! whatever the number of threads, so that a study can be cut anywhere.

use std::ops::Range;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use crate::room::Room;
use crate::service::Service;
use crate::service::measure::Measure;
use crate::service::outcome::Outcome;

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

/// Plays replications of one room. Nothing if it was interrupted meanwhile.
#[must_use]
pub fn range(
    room: &Room,
    seed: u64,
    replications: Range<u64>,
    measures: &[Measure],
    interrupted: &AtomicBool,
) -> Option<Vec<Replication>> {
    let mut service = Service::new(room);
    let mut outcome = Outcome::new(room);
    let play = |number| {
        if interrupted.load(Ordering::Relaxed) {
            return None;
        }
        service.play(seed, number);
        service.outcome(&mut outcome);
        Some(Replication {
            number,
            values: measures
                .iter()
                .map(|measure| outcome.get(*measure))
                .collect(),
            finished: outcome.finished,
        })
    };
    replications.map(play).collect()
}

/// A room, and which replications of it are wanted.
pub type Job<'r> = (&'r Room, Range<u64>);

/// Plays many ranges with so many threads, 0 for one a core; what each gave, in the order of the jobs.
/// Nothing if it was interrupted meanwhile.
#[must_use]
pub fn all(
    jobs: &[Job<'_>],
    seed: u64,
    measures: &[Measure],
    threads: usize,
    interrupted: &AtomicBool,
) -> Option<Vec<Vec<Replication>>> {
    let slots: Vec<Mutex<Option<Vec<Replication>>>> =
        jobs.iter().map(|_| Mutex::default()).collect();
    let next = AtomicUsize::new(0);
    std::thread::scope(|scope| {
        for _ in 0..self::threads(threads) {
            scope.spawn(|| {
                loop {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    let (Some((room, wanted)), Some(slot)) = (jobs.get(index), slots.get(index))
                    else {
                        return;
                    };
                    let played = range(room, seed, wanted.clone(), measures, interrupted);
                    *slot.lock().unwrap_or_else(PoisonError::into_inner) = played;
                }
            });
        }
    });
    let taken = |slot: Mutex<_>| slot.into_inner().unwrap_or_else(PoisonError::into_inner);
    slots.into_iter().map(taken).collect()
}

/// How many threads: those asked for, or one a core.
#[must_use]
pub fn threads(asked: usize) -> usize {
    let cores = || std::thread::available_parallelism().map_or(1, usize::from);
    if asked == 0 { cores() } else { asked }
}
