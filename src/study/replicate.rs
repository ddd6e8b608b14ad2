//! Plays replications on all cores.
//!
//! Work comes in blocks of a fixed number of replications. Within a block any thread plays any of
//! them, each into its own slot; then the slots are folded in index order. So the result has the same
//! bits whatever the number of threads, and stopping rules, asked between blocks, stop at the same
//! replication.
//!
//! Outcomes of all replications stay in memory until the end.

use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use rayon::prelude::*;

use super::bands::Bands;
use super::estimate::Estimator;
use super::evening::{Clock, Evening, Row};
use super::{findings, sentence, sheet};
use crate::room::Room;
use crate::scenario::Loaded;
use crate::service::Service;
use crate::service::measure::Measure;
use crate::service::outcome::Outcome;
use crate::statistics::interval::Sample;
use crate::statistics::precision;
use crate::statistics::quantile::quantile;

/// Replications between two looks at the stopping rules.
pub const BLOCK: u64 = 128;
/// Bytes of samples that the slots of a block may hold together; a larger block is played in parts.
const SLOT_BYTES: usize = 64 << 20;
/// Slots at least, however large they are.
const FEWEST_SLOTS: usize = 16;

/// How many replications have a slot at a time, where one has so many samples. It changes no result:
/// what is folded is folded in the order of the replications, in one go or in several.
pub(super) fn slots(replications: u64, samples: usize) -> usize {
    let fit = SLOT_BYTES / (samples.max(1) * size_of::<f32>());
    let fewest = FEWEST_SLOTS.max(rayon::current_num_threads());
    fit.max(fewest).min(replications.min(BLOCK) as usize)
}

/// Confidence level of all intervals.
pub const LEVEL: f64 = 0.95;

/// When to stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stop {
    /// After this many replications.
    After(u64),
    /// When the half-width of the 95 % interval of a measure's mean is at most this share of the mean,
    /// or after `most` replications.
    Precise {
        /// The measure.
        measure: Measure,
        /// Half-width over mean.
        relative: f64,
        /// Cap.
        most: u64,
    },
    /// This one replication alone.
    Only(u64),
}

/// What to play.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plan {
    /// Base seed.
    pub seed: u64,
    /// When to stop.
    pub stop: Stop,
    /// Threads; 0 for one a core.
    pub threads: usize,
}

/// How a run can be watched and ended from outside.
#[derive(Debug, Default)]
pub struct Watch {
    /// Set it to stop: what is finished is kept.
    pub interrupted: AtomicBool,
    /// Replications finished so far.
    pub done: AtomicU64,
}

/// Replications as played.
#[derive(Debug)]
pub struct Played {
    /// Number and outcome of each, in order.
    pub outcomes: Vec<(u64, Outcome)>,
    /// Series.
    pub bands: Bands,
    /// How many were wanted.
    pub wanted: u64,
    /// Whether it was interrupted.
    pub interrupted: bool,
}

/// Room for one replication of a block.
struct Slot {
    outcome: Outcome,
    samples: Vec<f32>,
    done: bool,
}

/// Plays a scenario and makes an [`Evening`] of it.
///
/// # Errors
/// If the threads cannot be started.
pub fn simulate(loaded: &Loaded, plan: &Plan, watch: &Watch) -> Result<Evening, String> {
    let room = Room::of(&loaded.scenario);
    let played = play(&room, plan, watch)?;
    Ok(evening(loaded, &room, plan, played))
}

/// Plays replications until the plan says stop.
///
/// # Errors
/// If the threads cannot be started.
pub fn play(room: &Room, plan: &Plan, watch: &Watch) -> Result<Played, String> {
    Ok(pool(plan.threads)?.install(|| play_blocks(room, plan, watch)))
}

/// So many threads; 0 for one a core, whatever the environment says of that.
///
/// # Errors
/// If they cannot be started.
pub fn pool(threads: usize) -> Result<rayon::ThreadPool, String> {
    let threads = super::play::threads(threads);
    rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .map_err(|error| format!("cannot start {threads} threads: {error}"))
}

fn play_blocks(room: &Room, plan: &Plan, watch: &Watch) -> Played {
    let (first, wanted) = match plan.stop {
        Stop::After(count) => (0, count),
        Stop::Precise { most, .. } => (0, most),
        Stop::Only(replication) => (replication, 1),
    };
    let threads = rayon::current_num_threads();
    let services: Vec<_> = (0..threads)
        .map(|_| Mutex::new(Service::new(room)))
        .collect();
    let samples = Slot::new(room).samples.len();
    let mut slots: Vec<Slot> = (0..slots(wanted, samples))
        .map(|_| Slot::new(room))
        .collect();
    let mut played = Played {
        outcomes: Vec::new(),
        bands: Bands::new(room),
        wanted,
        interrupted: false,
    };
    let mut next = 0;
    while next < wanted && !played.interrupted {
        let end = (next + BLOCK).min(wanted);
        while next < end && !played.interrupted {
            let count = (end - next).min(slots.len() as u64);
            let block = &mut slots[..count as usize];
            play_block(plan.seed, first + next, block, &services, watch);
            played.fold(first + next, block);
            played.interrupted = block.iter().any(|slot| !slot.done);
            next += count;
        }
        if plan.stop.is_reached(&played.outcomes) {
            break;
        }
    }
    played
}

/// Plays one block, any thread any slot.
fn play_block(
    seed: u64,
    first: u64,
    block: &mut [Slot],
    services: &[Mutex<Service<'_>>],
    watch: &Watch,
) {
    block.iter_mut().for_each(|slot| slot.done = false);
    fill_slots(block, services, |service, index, slot| {
        if watch.interrupted.load(Ordering::Relaxed) {
            return;
        }
        service.play(seed, first + index);
        service.outcome(&mut slot.outcome);
        slot.samples.copy_from_slice(service.samples().values());
        slot.done = true;
        watch.done.fetch_add(1, Ordering::Relaxed);
    });
}

/// Fills every slot of a block, any thread any slot, each thread with the worker that is its own.
pub(super) fn fill_slots<S: Send, W: Send>(
    block: &mut [S],
    workers: &[Mutex<W>],
    fill: impl Fn(&mut W, u64, &mut S) + Sync,
) {
    block
        .par_iter_mut()
        .enumerate()
        .with_max_len(1)
        .for_each(|(index, slot)| {
            let thread = rayon::current_thread_index().unwrap_or(0);
            // A panic elsewhere cannot have left a thread's own half-used.
            let mut worker = match workers[thread].lock() {
                Ok(worker) => worker,
                Err(poisoned) => poisoned.into_inner(),
            };
            fill(&mut worker, index as u64, slot);
        });
}

impl Slot {
    fn new(room: &Room) -> Self {
        let series = crate::service::sample::series_of(room).len();
        Self {
            outcome: Outcome::new(room),
            samples: vec![0.0; series * room.hours.minutes()],
            done: false,
        }
    }
}

impl Played {
    /// Adds the finished slots of a block, in index order.
    fn fold(&mut self, first: u64, block: &[Slot]) {
        let done: Vec<&Slot> = block.iter().filter(|slot| slot.done).collect();
        let samples: Vec<&[f32]> = done.iter().map(|slot| slot.samples.as_slice()).collect();
        self.bands.fold(&samples);
        for (index, slot) in block.iter().enumerate().filter(|(_, slot)| slot.done) {
            self.outcomes
                .push((first + index as u64, slot.outcome.clone()));
        }
    }
}

impl Stop {
    /// Whether what has been played is enough.
    fn is_reached(&self, outcomes: &[(u64, Outcome)]) -> bool {
        let Self::Precise {
            measure, relative, ..
        } = *self
        else {
            return false;
        };
        let values: Vec<f64> = outcomes
            .iter()
            .filter_map(|(_, outcome)| outcome.get(measure))
            .collect();
        Sample::of(&values).is_some_and(|sample| precision::met(sample, relative, LEVEL))
    }
}

/// Estimates everything that `report` prints.
fn evening(loaded: &Loaded, room: &Room, plan: &Plan, played: Played) -> Evening {
    let outcomes = &played.outcomes;
    let last_min = outcomes
        .iter()
        .map(|(_, outcome)| outcome.end_min)
        .fold(0.0, f64::max);
    let mut estimator = Estimator::new(outcomes);
    let mut evening = Evening {
        name: loaded.name.clone(),
        title: loaded.scenario.title.clone(),
        seed: plan.seed,
        replications: outcomes.len() as u64,
        wanted: played.wanted,
        interrupted: played.interrupted,
        unfinished: outcomes
            .iter()
            .filter(|(_, outcome)| !outcome.finished)
            .count() as u64,
        clock: clock(
            loaded,
            room,
            outcomes.iter().map(|(_, o)| o.end_min).collect(),
        ),
        measures: estimator.measures(),
        groups: estimator.groups(room),
        rows: Vec::new(),
        series: played.bands.finish(last_min),
        findings: Vec::new(),
        sentence: String::new(),
    };
    evening.findings = findings::find(loaded, room, plan, &evening, outcomes);
    evening.sentence = sentence::of(&evening);
    let rows = played
        .outcomes
        .into_iter()
        .map(|(replication, outcome)| Row {
            replication,
            values: outcome.measures.to_vec(),
            finished: outcome.finished,
        });
    evening.rows = rows.collect();
    evening
}

/// Charts end at the quarter of an hour by which this share of the evenings was over.
const SHOWN: f64 = 0.99;

/// What the charts of a scenario need of its times, with the ends of its evenings, min after the start.
pub(super) fn clock(loaded: &Loaded, room: &Room, ends_min: Vec<f64>) -> Clock {
    let service = &loaded.scenario.service;
    let (peak_from_s, peak_to_s) = sheet::peak(room);
    Clock {
        start_s: room.hours.start_s,
        opens_s: service.opens_s,
        closes_s: service.closes_s,
        peak_from_s,
        peak_to_s,
        shown_to_s: shown_to_s(room.hours.start_s, ends_min),
    }
}

fn shown_to_s(start_s: f64, mut ends_min: Vec<f64>) -> f64 {
    ends_min.sort_by(f64::total_cmp);
    let end_s = start_s + 60.0 * quantile(&ends_min, SHOWN).unwrap_or(0.0);
    900.0 * libm::ceil(end_s / 900.0)
}
