//! The player: the only place of a study where services are played.
//!
//! In: [`Assignment`]s (rooms, and which replications to play with all of them) and a `Fold`, which says what to keep
//! of an evening and what to make of many. A simulation has one assignment of one room; a comparison one assignment of several
//! rooms; a sweep and a choice many assignments of a room each.
//!
//! Evenings are taken in the order of the assignments, in blocks. Within a block any thread plays any evening, each into
//! a slot of its own; then the slots are folded in that order. So the result has the same bits whatever the number
//! of threads, and a fold that has enough after a block stops at the same evening. An evening is there with all its
//! rooms or not at all.
//!
//! A thread keeps its services from one evening to the next as long as the rooms are the same, so a warm
//! evening allocates nothing.

use std::ops::Range;
use std::sync::{Mutex, PoisonError};

use rayon::prelude::*;

use super::error::PlayError;
use super::watch::{Columns, Watch};
use crate::room::Room;
use crate::service::Service;
use crate::service::outcome::Outcome;

/// Evenings between two looks at the stopping rules.
pub const BLOCK: u64 = 128;
/// Bytes that the slots of a block may hold together; a larger block is played in parts.
const SLOT_BYTES: usize = 64 << 20;
/// Slots at least, however large they are.
const MIN_SLOTS: usize = 16;

/// Evenings to play: each of these replications with all of these rooms.
#[derive(Debug, Clone)]
pub struct Assignment<'r> {
    /// Rooms that are played side by side.
    pub rooms: &'r [Room],
    /// Numbers of the replications.
    pub replications: Range<u64>,
}

/// What a study keeps of each evening, and what it makes of many.
pub(super) trait Fold: Send + Sync {
    /// What is kept of one evening until it is folded; its memory is used again.
    type Kept: Send;

    /// Memory for one evening.
    fn slot(&self) -> Self::Kept;

    /// Bytes of such a slot, roughly.
    fn slot_bytes(&self) -> usize;

    /// Evenings from one look at [`Self::is_enough`] to the next.
    fn block(&self) -> u64 {
        BLOCK
    }

    /// Keeps what is wanted of an evening just played in one of the rooms. The outcome may be swapped for another
    /// of the same room. Any thread calls this.
    fn keep(
        &self,
        side: usize,
        service: &Service<'_>,
        outcome: &mut Outcome,
        kept: &mut Self::Kept,
    );

    /// Folds evenings in order.
    fn add(&mut self, evenings: &[Done<'_, Self::Kept>]);

    /// Whether no more are needed.
    fn is_enough(&self) -> bool {
        false
    }

    /// What a watch may show of it.
    fn so_far(&self) -> Option<&dyn Columns> {
        None
    }
}

/// An evening that has been played.
pub(super) struct Done<'k, K> {
    /// Which of the assignments it belongs to.
    pub assignment: usize,
    /// Its number.
    pub replication: u64,
    /// What was kept of it.
    pub kept: &'k K,
}

/// How playing ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// All evenings are played, or the fold has enough.
    Complete,
    /// It was cancelled; what was finished is folded.
    Cancelled,
}

/// Memory for one evening of a block.
struct Slot<K> {
    assignment: usize,
    replication: u64,
    kept: K,
    is_done: bool,
}

/// The services of one thread, all for the same rooms.
#[derive(Default)]
struct Worker<'r> {
    rooms: &'r [Room],
    services: Vec<(Service<'r>, Outcome)>,
}

/// Threads that play services.
#[derive(Debug)]
pub struct Player {
    pool: rayon::ThreadPool,
}

impl Player {
    /// With so many threads; 0 for one per core, whatever the environment says of that.
    ///
    /// # Errors
    /// [`PlayError::Threads`].
    pub fn new(threads: usize) -> Result<Self, PlayError> {
        Ok(Self {
            pool: pool(threads)?,
        })
    }

    /// How many threads there are.
    pub(super) fn threads(&self) -> usize {
        self.pool.current_num_threads()
    }

    /// Does other work on the same threads.
    pub(super) fn run<T: Send>(&self, work: impl FnOnce() -> T + Send) -> T {
        if rayon::current_thread_index().is_none() {
            return self.pool.install(work);
        }
        // A thread of another pool would take up other work of that pool while it waits here, which may wait here
        // in its turn, and so on until its stack is full.
        std::thread::scope(
            |scope| match scope.spawn(|| self.pool.install(work)).join() {
                Ok(done) => done,
                Err(panic) => std::panic::resume_unwind(panic),
            },
        )
    }

    /// Plays evenings and folds them in order.
    pub(super) fn play<F: Fold>(
        &self,
        assignments: &[Assignment<'_>],
        seed: u64,
        watch: &Watch,
        fold: &mut F,
    ) -> Ended {
        self.run(|| play_blocks(assignments, seed, watch, fold))
    }
}

/// A pool of so many threads; 0 for one per core, whatever the environment says of that.
///
/// # Errors
/// [`PlayError::Threads`].
pub fn pool(threads: usize) -> Result<rayon::ThreadPool, PlayError> {
    let threads = self::threads(threads);
    rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .map_err(|cause| PlayError::Threads { threads, cause })
}

/// How many threads: those asked for, or one per core.
#[must_use]
pub fn threads(asked: usize) -> usize {
    let cores = || std::thread::available_parallelism().map_or(1, usize::from);
    if asked == 0 { cores() } else { asked }
}

/// How many evenings have a slot at a time. It changes no result: what is folded is folded in the same order, in
/// one go or in several.
fn slots(block: u64, bytes: usize) -> usize {
    let fit = SLOT_BYTES / bytes.max(1);
    let fewest = MIN_SLOTS.max(rayon::current_num_threads());
    usize::try_from(block).map_or(fit.max(fewest), |block| fit.max(fewest).min(block))
}

fn play_blocks<F: Fold>(
    assignments: &[Assignment<'_>],
    seed: u64,
    watch: &Watch,
    fold: &mut F,
) -> Ended {
    let mut evenings = (assignments.iter().enumerate())
        .flat_map(|(assignment, of)| {
            of.replications
                .clone()
                .map(move |number| (assignment, number))
        })
        .peekable();
    let wanted = (assignments.iter())
        .map(|assignment| {
            assignment
                .replications
                .end
                .saturating_sub(assignment.replications.start)
        })
        .sum::<u64>();
    let block = fold.block().min(wanted);
    let count = slots(block, fold.slot_bytes());
    let mut slots: Vec<Slot<F::Kept>> = (0..count).map(|_| Slot::new(fold.slot())).collect();
    let workers: Vec<Mutex<Worker<'_>>> = (0..rayon::current_num_threads())
        .map(|_| Mutex::default())
        .collect();
    while evenings.peek().is_some() {
        let mut left = block as usize;
        while left > 0 && evenings.peek().is_some() {
            let of_part = slots.iter_mut().take(left).zip(&mut evenings);
            let filled = of_part.map(|(slot, evening)| slot.begin(evening)).count();
            let part = &mut slots[..filled];
            play_part(part, &workers, assignments, seed, watch, fold);
            fold_part(part, fold);
            if part.iter().any(|slot| !slot.is_done) {
                return Ended::Cancelled;
            }
            left -= filled;
        }
        if let Some(so_far) = fold.so_far() {
            watch.show(Some(wanted), so_far);
        }
        if fold.is_enough() {
            break;
        }
    }
    Ended::Complete
}

/// Plays the evenings of some slots, any thread any of them.
fn play_part<'r, F: Fold>(
    slots: &mut [Slot<F::Kept>],
    workers: &[Mutex<Worker<'r>>],
    assignments: &[Assignment<'r>],
    seed: u64,
    watch: &Watch,
    fold: &F,
) {
    slots.par_iter_mut().with_max_len(1).for_each(|slot| {
        let thread = rayon::current_thread_index().unwrap_or(0);
        // Only this thread uses its worker, so nobody else can have left it half-used.
        let mut worker = workers[thread]
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        let services = worker.services(assignments[slot.assignment].rooms);
        for (side, (service, outcome)) in services.iter_mut().enumerate() {
            if watch.is_cancelled() {
                return;
            }
            service.play(seed, slot.replication);
            service.outcome(outcome);
            fold.keep(side, service, outcome, &mut slot.kept);
        }
        slot.is_done = true;
        watch.count(1);
    });
}

fn fold_part<F: Fold>(slots: &[Slot<F::Kept>], fold: &mut F) {
    let done: Vec<Done<'_, F::Kept>> = (slots.iter().filter(|slot| slot.is_done))
        .map(|slot| Done {
            assignment: slot.assignment,
            replication: slot.replication,
            kept: &slot.kept,
        })
        .collect();
    fold.add(&done);
}

impl<K> Slot<K> {
    const fn new(kept: K) -> Self {
        Self {
            assignment: 0,
            replication: 0,
            kept,
            is_done: false,
        }
    }

    const fn begin(&mut self, (assignment, replication): (usize, u64)) {
        self.assignment = assignment;
        self.replication = replication;
        self.is_done = false;
    }
}

impl<'r> Worker<'r> {
    /// A service for each of these rooms.
    fn services(&mut self, rooms: &'r [Room]) -> &mut [(Service<'r>, Outcome)] {
        if !std::ptr::eq(self.rooms, rooms) {
            self.rooms = rooms;
            self.services = (rooms.iter())
                .map(|room| (Service::new(room), Outcome::new(room)))
                .collect();
        }
        &mut self.services
    }
}
