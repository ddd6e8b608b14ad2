//! Plays the evenings that the procedure wants, on all cores, and keeps what came of them.
//!
//! Evenings are cut into small ranges, so that all cores have work when one design alone is left, and
//! handed over in the order in which they were asked for: the same bits whatever the number of threads.

use std::collections::BTreeMap;
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
/// Designs whose evenings are played at once.
const AT_ONCE: usize = 32;
/// Rooms kept for later rounds.
const MOST_ROOMS: usize = 256;

/// What was played of each design.
#[derive(Debug)]
pub struct Evenings<'s> {
    study: &'s Study,
    sources: Sources,
    threads: usize,
    rooms: BTreeMap<usize, Room>,
    /// Replications of each design, in order.
    pub played: Vec<Vec<Replication>>,
}

impl<'s> Evenings<'s> {
    /// Nothing yet.
    #[must_use]
    pub fn new(study: &'s Study, threads: usize) -> Self {
        Self {
            study,
            sources: study.sources(),
            threads,
            rooms: BTreeMap::new(),
            played: vec![Vec::new(); study.points() as usize],
        }
    }

    /// Plays what is wanted and hands each evening to `take`, in order. Whether it was played to the end;
    /// if not, it was interrupted.
    ///
    /// # Errors
    /// If a design is no scenario, or `take` refuses.
    pub fn play(
        &mut self,
        wanted: &[Wanted],
        watch: &Watch,
        mut take: impl FnMut(usize, &Replication) -> Result<(), Ended>,
    ) -> Result<bool, Ended> {
        for group in wanted.chunks(AT_ONCE) {
            self.open_rooms(group)?;
            let rooms = &self.rooms;
            let ranges = group.iter().flat_map(ranges);
            let jobs: Vec<(usize, Job<'_>)> = ranges
                .filter_map(|(system, range)| Some((system, (rooms.get(&system)?, range))))
                .collect();
            let systems: Vec<usize> = jobs.iter().map(|(system, _)| *system).collect();
            let jobs: Vec<Job<'_>> = jobs.into_iter().map(|(_, job)| job).collect();
            let (seed, measures) = (self.study.seed, &self.study.measures);
            let all = play::all(&jobs, seed, measures, self.threads, &watch.interrupted);
            let Some(all) = all.filter(|_| !watch.interrupted.load(Ordering::Relaxed)) else {
                return Ok(false);
            };
            for (system, replications) in systems.into_iter().zip(all) {
                count(watch, replications.len() as u64);
                for replication in &replications {
                    take(system, replication)?;
                }
                self.played[system].extend(replications);
            }
        }
        Ok(true)
    }

    fn open_rooms(&mut self, group: &[Wanted]) -> Result<(), Ended> {
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
