//! Plays every replication with all scenarios, one after the other, on all cores.
//!
//! As in [`replicate`](crate::study::replicate), work comes in blocks: any thread plays any replication
//! of a block, with all scenarios, into its own slot; then the slots are folded in index order. So a
//! replication is there with all scenarios or not at all, and the bits do not depend on threads. Of
//! each replication only the measures of the evening are kept; series go into histograms and sums, so
//! memory is some 30 MB a scenario, and 0.6 kB a replication of each.

use std::sync::Mutex;
use std::sync::atomic::Ordering;

use super::Plan;
use super::course::{Course, Folding};
use super::{Side, course, difference};
use crate::room::Room;
use crate::scenario::Loaded;
use crate::service::Service;
use crate::service::outcome::Outcome;
use crate::study::bands::Bands;
use crate::study::evening::Row;
use crate::study::replicate::{self, BLOCK, Watch, fill_slots, slots};

/// All scenarios as played.
pub struct Played {
    /// In the order given, the base first.
    pub sides: Vec<SidePlayed>,
    /// Differences minute by minute, of each alternative.
    pub courses: Vec<Vec<Course>>,
    /// Whether it was interrupted.
    pub interrupted: bool,
}

/// One scenario as played.
pub struct SidePlayed {
    rows: Vec<Row>,
    ends_min: Vec<f64>,
    bands: Bands,
}

/// What one scenario makes of one replication.
struct Part {
    outcome: Outcome,
    /// The series that are compared, one after the other.
    samples: Vec<f32>,
}

/// Room for one replication of a block.
struct Slot {
    parts: Vec<Part>,
    done: bool,
}

/// Which rows of a scenario's samples are compared.
struct Wanted {
    rows: Vec<usize>,
    minutes: usize,
}

/// Plays until the plan says stop.
pub fn play(rooms: &[Room], plan: &Plan, watch: &Watch) -> Played {
    let wanted: Vec<Wanted> = rooms.iter().map(Wanted::of).collect();
    let services: Vec<Mutex<Vec<Service<'_>>>> = (0..rayon::current_num_threads())
        .map(|_| Mutex::new(rooms.iter().map(Service::new).collect()))
        .collect();
    let samples = wanted.iter().map(Wanted::samples).sum();
    let mut slots: Vec<Slot> = (0..slots(plan.replications, samples))
        .map(|_| Slot::new(rooms, &wanted))
        .collect();
    let mut folding = Folding::new(rooms);
    let mut sides: Vec<SidePlayed> = rooms.iter().map(SidePlayed::new).collect();
    let mut interrupted = false;
    let mut next = 0;
    while next < plan.replications && !interrupted {
        let end = (next + BLOCK).min(plan.replications);
        while next < end && !interrupted {
            let count = (end - next).min(slots.len() as u64);
            let block = &mut slots[..count as usize];
            play_block(plan.seed, next, block, &services, &wanted, watch);
            fold(next, block, &mut sides, &mut folding);
            interrupted = block.iter().any(|slot| !slot.done);
            next += count;
        }
        if is_precise(plan, &sides) {
            break;
        }
    }
    Played {
        sides,
        courses: folding.finish(),
        interrupted,
    }
}

/// Plays one block, any thread any slot.
fn play_block(
    seed: u64,
    first: u64,
    block: &mut [Slot],
    services: &[Mutex<Vec<Service<'_>>>],
    wanted: &[Wanted],
    watch: &Watch,
) {
    block.iter_mut().for_each(|slot| slot.done = false);
    fill_slots(block, services, |services, index, slot| {
        let parts = slot.parts.iter_mut().zip(wanted);
        for (service, (part, wanted)) in services.iter_mut().zip(parts) {
            if watch.interrupted.load(Ordering::Relaxed) {
                return;
            }
            service.play(seed, first + index);
            service.outcome(&mut part.outcome);
            wanted.copy(service.samples().values(), &mut part.samples);
        }
        slot.done = true;
        watch.done.fetch_add(1, Ordering::Relaxed);
    });
}

/// Adds the finished slots of a block, in index order.
fn fold(first: u64, block: &[Slot], sides: &mut [SidePlayed], folding: &mut Folding) {
    let done: Vec<(u64, &Slot)> = (first..).zip(block).filter(|(_, slot)| slot.done).collect();
    let samples: Vec<Vec<&[f32]>> = (0..sides.len())
        .map(|side| {
            let of_side = done.iter().map(|(_, slot)| &slot.parts[side].samples[..]);
            of_side.collect()
        })
        .collect();
    for (side, played) in sides.iter_mut().enumerate() {
        played.bands.fold(&samples[side]);
        for (replication, slot) in &done {
            played.add(*replication, &slot.parts[side].outcome);
        }
    }
    folding.fold(&samples);
}

/// Whether the difference asked for is known well enough for every alternative.
fn is_precise(plan: &Plan, sides: &[SidePlayed]) -> bool {
    let (Some((measure, relative)), Some((base, others))) = (plan.precision, sides.split_first())
    else {
        return false;
    };
    others
        .iter()
        .all(|other| difference::of(measure, &base.rows, &other.rows).is_known_to(relative))
}

impl Wanted {
    fn of(room: &Room) -> Self {
        Self {
            rows: course::compared(room)
                .into_iter()
                .map(|(row, _)| row)
                .collect(),
            minutes: room.hours.minutes(),
        }
    }

    /// Samples of a replication that are kept.
    fn samples(&self) -> usize {
        self.rows.len() * self.minutes
    }

    fn copy(&self, from: &[f32], into: &mut [f32]) {
        for (row, into) in self.rows.iter().zip(into.chunks_exact_mut(self.minutes)) {
            into.copy_from_slice(&from[row * self.minutes..(row + 1) * self.minutes]);
        }
    }
}

impl Slot {
    fn new(rooms: &[Room], wanted: &[Wanted]) -> Self {
        let parts = rooms.iter().zip(wanted).map(|(room, wanted)| Part {
            outcome: Outcome::new(room),
            samples: vec![0.0; wanted.samples()],
        });
        Self {
            parts: parts.collect(),
            done: false,
        }
    }
}

impl Played {
    /// Replications finished.
    pub fn replications(&self) -> u64 {
        self.sides.first().map_or(0, |side| side.rows.len() as u64)
    }
}

impl SidePlayed {
    fn new(room: &Room) -> Self {
        let series = course::compared(room).into_iter().map(|(_, info)| info);
        Self {
            rows: Vec::new(),
            ends_min: Vec::new(),
            bands: Bands::of(series.collect(), room.hours.minutes()),
        }
    }

    fn add(&mut self, replication: u64, outcome: &Outcome) {
        self.ends_min.push(outcome.end_min);
        self.rows.push(Row {
            replication,
            values: outcome.measures.to_vec(),
            finished: outcome.finished,
        });
    }

    /// As `report` reads it.
    pub fn told(self, loaded: &Loaded, room: &Room) -> Side {
        let last_min = self.ends_min.iter().copied().fold(0.0, f64::max);
        Side {
            name: loaded.name.clone(),
            title: loaded.scenario.title.clone(),
            unfinished: self.rows.iter().filter(|row| !row.finished).count() as u64,
            clock: replicate::clock(loaded, room, self.ends_min),
            series: self.bands.finish(last_min),
            rows: self.rows,
        }
    }
}
