//! Plays the design points of a study on all cores and hands them over one by one, in their order.
//!
//! In: a study, the points wanted, how many threads. Out: each [`Played`] point, as soon as it and all
//! before it are finished. Work is taken in chunks of replications, of the earliest point that has any
//! left, so that all threads are busy to the end and little is lost when the run is killed. What comes
//! out has the same bits whatever the number of threads: values are put in the order of their
//! replications, and precision is looked at after whole rounds only.

use std::collections::{BTreeMap, VecDeque};
use std::ops::Range;
use std::sync::atomic::Ordering;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};

use super::design::{Replications, Study};
use super::play::{self, Replication};
use super::replicate::{LEVEL, Watch};
use crate::room::Room;
use crate::scenario::Mistakes;
use crate::statistics::interval::Sample;
use crate::statistics::precision;

/// Replications of a chunk.
const CHUNK: u64 = 20;
/// Points that may be finished or begun beyond the one that is handed over next.
const AHEAD: u64 = 4096;

/// A design point, played.
#[derive(Debug, Clone, PartialEq)]
pub struct Played {
    /// Its number.
    pub point: u64,
    /// Its replications, in order; values as [`Study::measures`].
    pub replications: Vec<Replication>,
}

/// Why a sweep ended before its last point.
#[derive(Debug)]
pub enum Ended<E> {
    /// From outside.
    Interrupted,
    /// A point is no scenario; [`super::design::checked`] would have said so.
    Wrong(Box<Mistakes>),
    /// Who takes the points could not.
    Refused(E),
}

/// Plays these points.
///
/// # Errors
/// If it ended before the last of them; what was handed over stands.
pub fn sweep<E: Send>(
    study: &Study,
    points: impl Iterator<Item = u64> + Send,
    threads: usize,
    watch: &Watch,
    take: impl FnMut(Played) -> Result<(), E> + Send,
) -> Result<(), Ended<E>> {
    let floor = Floor {
        study,
        watch,
        state: Mutex::new(State {
            points,
            begun: 0,
            open: VecDeque::new(),
            finished: BTreeMap::new(),
            next: 0,
            ended: None,
        }),
        changed: Condvar::new(),
        take: Mutex::new(take),
    };
    std::thread::scope(|scope| {
        for _ in 0..play::threads(threads) {
            scope.spawn(|| floor.work());
        }
    });
    let state = floor.state.into_inner();
    match state.unwrap_or_else(PoisonError::into_inner).ended {
        Some(ended) => Err(ended),
        None => Ok(()),
    }
}

/// Where the threads work.
struct Floor<'s, I, E, T> {
    study: &'s Study,
    watch: &'s Watch,
    state: Mutex<State<I, E>>,
    changed: Condvar,
    take: Mutex<T>,
}

struct State<I, E> {
    points: I,
    /// How many points have been begun.
    begun: u64,
    /// Points in work, in their order.
    open: VecDeque<Open>,
    /// Points that wait for one before them, by their turn.
    finished: BTreeMap<u64, Played>,
    /// The turn of the point to be handed over next.
    next: u64,
    ended: Option<Ended<E>>,
}

/// A point in work.
struct Open {
    turn: u64,
    point: u64,
    room: Arc<Room>,
    /// Replications wanted so far, and how many of them are given out.
    wanted: u64,
    given: u64,
    /// What came back, by the first replication of the chunk.
    back: BTreeMap<u64, Vec<Replication>>,
}

/// What a thread does next.
enum Task {
    /// Play a chunk.
    Chunk(u64, Arc<Room>, Range<u64>),
    /// Begin a point.
    Begin(u64, u64),
    /// Nothing is left.
    Leave,
}

impl<I, E, T> Floor<'_, I, E, T>
where
    I: Iterator<Item = u64>,
    T: FnMut(Played) -> Result<(), E>,
{
    fn work(&self) {
        let mut sources = self.study.sources();
        loop {
            match self.next() {
                Task::Leave => return,
                Task::Begin(turn, point) => match self.study.room(point, &mut sources) {
                    Ok(room) => self.begin(turn, point, room),
                    Err(mistakes) => {
                        let mistakes = Mistakes::new(mistakes, sources.clone());
                        self.end(Ended::Wrong(Box::new(mistakes)));
                    }
                },
                Task::Chunk(turn, room, wanted) => {
                    let (seed, measures) = (self.study.seed, &self.study.measures);
                    let count = wanted.end - wanted.start;
                    match play::range(&room, seed, wanted, measures, &self.watch.interrupted) {
                        Some(played) => {
                            self.watch.done.fetch_add(count, Ordering::Relaxed);
                            self.back(turn, played);
                        }
                        None => self.end(Ended::Interrupted),
                    }
                }
            }
        }
    }

    fn state(&self) -> MutexGuard<'_, State<I, E>> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn next(&self) -> Task {
        let mut state = self.state();
        loop {
            if state.ended.is_some() {
                return Task::Leave;
            }
            if self.watch.interrupted.load(Ordering::Relaxed) {
                state.ended = Some(Ended::Interrupted);
                return Task::Leave;
            }
            if let Some(task) = state.open.iter_mut().find_map(Open::give) {
                return task;
            }
            let room_ahead = state.begun - state.next < AHEAD;
            if room_ahead && let Some(point) = state.points.next() {
                let turn = state.begun;
                state.begun += 1;
                return Task::Begin(turn, point);
            }
            // Somebody may still begin a point or want another round of one.
            if room_ahead && state.next + state.finished.len() as u64 == state.begun {
                return Task::Leave;
            }
            let waited = self.changed.wait(state);
            state = waited.unwrap_or_else(PoisonError::into_inner);
        }
    }

    fn begin(&self, turn: u64, point: u64, room: Room) {
        let wanted = match self.study.replications {
            Replications::Fixed(count) => count,
            Replications::Precise { round, most, .. } => round.min(most),
        };
        let open = Open {
            turn,
            point,
            room: Arc::new(room),
            wanted,
            given: 0,
            back: BTreeMap::new(),
        };
        let mut state = self.state();
        let at = state.open.partition_point(|other| other.turn < turn);
        state.open.insert(at, open);
        drop(state);
        self.changed.notify_all();
    }

    /// Takes a chunk back; a point that is complete is handed over in its turn.
    fn back(&self, turn: u64, played: Vec<Replication>) {
        let mut state = self.state();
        let Some(at) = state.open.iter().position(|open| open.turn == turn) else {
            return;
        };
        let open = &mut state.open[at];
        if let Some(first) = played.first() {
            open.back.insert(first.number, played);
        }
        let count: usize = open.back.values().map(Vec::len).sum();
        if (count as u64) < open.wanted || open.wants_more(self.study) {
            drop(state);
            self.changed.notify_all();
            return;
        }
        if let Some(open) = state.open.remove(at) {
            let played = Played {
                point: open.point,
                replications: open.back.into_values().flatten().collect(),
            };
            state.finished.insert(turn, played);
        }
        drop(state);
        self.hand_over();
        self.changed.notify_all();
    }

    /// Hands over what is finished, in order; one thread at a time.
    fn hand_over(&self) {
        let mut take = self.take.lock().unwrap_or_else(PoisonError::into_inner);
        loop {
            let mut state = self.state();
            let next = state.next;
            if state.ended.is_some() {
                return;
            }
            let Some(played) = state.finished.remove(&next) else {
                return;
            };
            state.next += 1;
            drop(state);
            if let Err(refused) = take(played) {
                self.end(Ended::Refused(refused));
            }
        }
    }

    /// Ends the sweep; the first reason stands.
    fn end(&self, ended: Ended<E>) {
        self.state().ended.get_or_insert(ended);
        self.changed.notify_all();
    }
}

impl Open {
    /// A chunk that nobody has yet.
    fn give(&mut self) -> Option<Task> {
        if self.given >= self.wanted {
            return None;
        }
        let first = self.given;
        self.given = (first + CHUNK).min(self.wanted);
        let room = Arc::clone(&self.room);
        Some(Task::Chunk(self.turn, room, first..self.given))
    }

    /// Whether a whole round was not enough; then another is wanted.
    fn wants_more(&mut self, study: &Study) -> bool {
        let Replications::Precise {
            round,
            measure,
            within,
            most,
        } = study.replications
        else {
            return false;
        };
        let column = study.measures.iter().position(|other| *other == measure);
        let value = |played: &Replication| *played.values.get(column?)?;
        let values: Vec<f64> = self.back.values().flatten().filter_map(value).collect();
        let met = Sample::of(&values).is_some_and(|s| precision::met(s, within, LEVEL));
        if met || self.wanted >= most {
            return false;
        }
        self.wanted = (self.wanted + round).min(most);
        true
    }
}
