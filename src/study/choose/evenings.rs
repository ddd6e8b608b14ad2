//! Plays the evenings that the procedure wants, on all cores, and keeps what came of them.
//!
//! Evenings are cut into small ranges, so that all cores have work when one design alone is left, and
//! handed over in the order in which they were asked for: the same bits whatever the number of threads.

use std::collections::{BTreeMap, VecDeque};
use std::ops::Range;
use std::sync::atomic::Ordering;

use super::{Ended, count};
use crate::room::Room;
use crate::scenario::Mistakes;
use crate::scenario::sources::Sources;
use crate::statistics::selection::Wanted;
use crate::study::design::Study;
use crate::study::play::{self, Job, Replication};
use crate::study::replicate::Watch;

/// Evenings of one range.
const RANGE: usize = 5;
/// Designs whose evenings are played at once, and lost when they are interrupted.
const AT_ONCE: usize = 8;
/// Rooms kept for later rounds.
const MOST_ROOMS: usize = 256;

/// What was played of each design.
#[derive(Debug)]
pub struct Evenings<'s> {
    /// What an earlier run has played of each design and this one has not come to, in order.
    earlier: Vec<VecDeque<Replication>>,
    study: &'s Study,
    sources: Sources,
    threads: usize,
    rooms: BTreeMap<usize, Room>,
    /// Replications of each design, in order.
    pub played: Vec<Vec<Replication>>,
}

impl<'s> Evenings<'s> {
    /// Nothing yet, but for what an earlier run has played.
    #[must_use]
    pub fn new(study: &'s Study, threads: usize, earlier: Vec<Vec<Replication>>) -> Self {
        let mut earlier: Vec<VecDeque<Replication>> =
            earlier.into_iter().map(VecDeque::from).collect();
        earlier.resize(study.points() as usize, VecDeque::new());
        Self {
            earlier,
            study,
            sources: study.sources(),
            threads,
            rooms: BTreeMap::new(),
            played: vec![Vec::new(); study.points() as usize],
        }
    }

    /// Plays what is wanted and an earlier run has not played; hands each evening to `take`, in order, and what
    /// is new to `keep` before. Whether it was played to the end; if not, it was interrupted.
    ///
    /// # Errors
    /// If a design is no scenario, or `take` or `keep` refuses.
    pub fn play<E>(
        &mut self,
        wanted: &[Wanted],
        watch: &Watch,
        mut keep: impl FnMut(usize, &[Replication]) -> Result<(), E>,
        mut take: impl FnMut(usize, &Replication) -> Result<(), Ended<E>>,
    ) -> Result<bool, Ended<E>> {
        for group in wanted.chunks(AT_ONCE) {
            let Some(mut new) = self.new_ones(group, watch)? else {
                return Ok(false);
            };
            for wanted in group {
                let system = wanted.system;
                let fresh = new.remove(&system).unwrap_or_default();
                if !fresh.is_empty() {
                    keep(system, &fresh).map_err(Ended::Refused)?;
                }
                let there = self.there(wanted);
                let mut all: Vec<Replication> = self.earlier[system].drain(..there).collect();
                all.extend(fresh);
                count(watch, all.len() as u64);
                for replication in &all {
                    take(system, replication)?;
                }
                self.played[system].extend(all);
            }
        }
        Ok(true)
    }

    /// How many of these an earlier run has played.
    fn there(&self, wanted: &Wanted) -> usize {
        self.earlier[wanted.system].len().min(wanted.count)
    }

    /// Plays what no earlier run has, by design. Nothing if it was interrupted.
    fn new_ones<E>(
        &mut self,
        group: &[Wanted],
        watch: &Watch,
    ) -> Result<Option<BTreeMap<usize, Vec<Replication>>>, Ended<E>> {
        let left = |wanted: &Wanted| {
            let there = self.there(wanted);
            Wanted {
                from: wanted.from + there,
                count: wanted.count - there,
                ..*wanted
            }
        };
        let left: Vec<Wanted> = group.iter().map(left).filter(|one| one.count > 0).collect();
        self.open_rooms(&left)?;
        let rooms = &self.rooms;
        let ranges = left.iter().flat_map(ranges);
        let (systems, jobs): (Vec<usize>, Vec<Job<'_>>) = ranges
            .filter_map(|(system, range)| Some((system, (rooms.get(&system)?, range))))
            .unzip();
        let (seed, measures) = (self.study.seed, &self.study.measures);
        let all = play::all(&jobs, seed, measures, self.threads, &watch.interrupted);
        let all = all.filter(|_| !watch.interrupted.load(Ordering::Relaxed));
        Ok(all.map(|all| {
            let mut new: BTreeMap<usize, Vec<Replication>> = BTreeMap::new();
            for (system, replications) in systems.into_iter().zip(all) {
                new.entry(system).or_default().extend(replications);
            }
            new
        }))
    }

    fn open_rooms<E>(&mut self, group: &[Wanted]) -> Result<(), Ended<E>> {
        if self.rooms.len() + group.len() > MOST_ROOMS {
            self.rooms.clear();
        }
        for wanted in group {
            if !self.rooms.contains_key(&wanted.system) {
                let room = self.study.room(wanted.system as u64, &mut self.sources);
                let room = room.map_err(|mistakes| {
                    Ended::Wrong(Box::new(Mistakes::new(mistakes, self.sources.clone())))
                })?;
                self.rooms.insert(wanted.system, room);
            }
        }
        Ok(())
    }

    /// Lets go of a room that is not needed any more.
    pub fn forget_room(&mut self, system: usize) {
        self.rooms.remove(&system);
    }
}

/// Small ranges of what is wanted of a design.
fn ranges(wanted: &Wanted) -> impl Iterator<Item = (usize, Range<u64>)> + use<> {
    let Wanted {
        system,
        from,
        count,
    } = *wanted;
    let end = from + count;
    let range = move |first: usize| (system, first as u64..(first + RANGE).min(end) as u64);
    (from..end).step_by(RANGE).map(range)
}
