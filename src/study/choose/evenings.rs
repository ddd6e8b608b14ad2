//! Plays the evenings that the procedure wants, on all cores, and keeps what came of them.
//!
//! They are handed over in the order in which they were asked for: the same bits whatever the number of threads.

use std::collections::{BTreeMap, VecDeque};

use super::error::ChooseError;
use crate::room::Room;
use crate::scenario::Mistakes;
use crate::scenario::sources::Sources;
use crate::service::measure::Measure;
use crate::statistics::selection::Wanted;
use crate::study::design::Study;
use crate::study::error::PlayError;
use crate::study::player::{self, Assignment, Player};
use crate::study::replications::{Collect, Replication};
use crate::study::watch::{Columns, Watch};

/// Designs whose evenings are played at once.
const AT_ONCE: usize = 8;
/// Rooms kept for later rounds.
const MAX_ROOMS: usize = 256;

/// Evenings by design.
type ByDesign = BTreeMap<usize, Vec<Replication>>;

/// What was played of each design.
#[derive(Debug)]
pub struct Evenings<'s> {
    /// What an earlier run has played of each design and this one has not come to, in order.
    earlier: Vec<VecDeque<Replication>>,
    study: &'s Study,
    sources: Sources,
    player: Player,
    rooms: BTreeMap<usize, Room>,
    /// Replications of each design, in order.
    pub played: Vec<Vec<Replication>>,
}

impl<'s> Evenings<'s> {
    /// Nothing yet, but for what an earlier run has played.
    ///
    /// # Errors
    /// [`PlayError::Threads`].
    pub fn new(
        study: &'s Study,
        threads: usize,
        earlier: Vec<Vec<Replication>>,
    ) -> Result<Self, PlayError> {
        let mut earlier: Vec<VecDeque<Replication>> =
            earlier.into_iter().map(VecDeque::from).collect();
        earlier.resize(study.points() as usize, VecDeque::new());
        Ok(Self {
            earlier,
            study,
            sources: study.sources(),
            player: Player::new(threads)?,
            rooms: BTreeMap::new(),
            played: vec![Vec::new(); study.points() as usize],
        })
    }

    /// Plays what is wanted and an earlier run has not played; hands each evening to `take`, in order, and what
    /// is new to `keep` before. Whether it was played to the end; if not, it was interrupted, and what is
    /// finished of the last group went to `keep` alone.
    ///
    /// # Errors
    /// If a design is no scenario, or `take` or `keep` refuses.
    pub fn play<E>(
        &mut self,
        wanted: &[Wanted],
        watch: &Watch,
        mut keep: impl FnMut(usize, &[Replication]) -> Result<(), E>,
        mut take: impl FnMut(usize, &Replication) -> Result<(), ChooseError<E>>,
    ) -> Result<bool, ChooseError<E>> {
        for group in wanted.chunks(AT_ONCE) {
            let (mut new, ended) = self.new_ones(group, watch)?;
            for (system, fresh) in &new {
                if !fresh.is_empty() {
                    keep(*system, fresh).map_err(ChooseError::Refused)?;
                }
            }
            if ended == player::Ended::Cancelled {
                return Ok(false);
            }
            for wanted in group {
                let system = wanted.system;
                let there = self.there(wanted);
                watch.count(there as u64);
                let mut all: Vec<Replication> = self.earlier[system].drain(..there).collect();
                all.extend(new.remove(&system).unwrap_or_default());
                for replication in &all {
                    take(system, replication)?;
                }
                self.played[system].extend(all);
            }
            watch.show(None, self);
        }
        Ok(true)
    }

    /// How many of these an earlier run has played.
    fn there(&self, wanted: &Wanted) -> usize {
        self.earlier[wanted.system].len().min(wanted.count)
    }

    /// Plays what no earlier run has, by design, in order and without gaps.
    fn new_ones<E>(
        &mut self,
        group: &[Wanted],
        watch: &Watch,
    ) -> Result<(ByDesign, player::Ended), ChooseError<E>> {
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
        let assignment = |wanted: &Wanted| {
            let first = wanted.from as u64;
            Some(Assignment {
                rooms: std::slice::from_ref(self.rooms.get(&wanted.system)?),
                replications: first..first + wanted.count as u64,
            })
        };
        let assignments: Vec<Assignment<'_>> = left.iter().filter_map(assignment).collect();
        let (seed, measures) = (self.study.seed, &self.study.measures);
        let mut collect = Collect::new(measures, assignments.len(), self.player.threads());
        let ended = self.player.play(&assignments, seed, watch, &mut collect);
        let new = left.iter().zip(&assignments).zip(collect.of);
        let new = new.map(|((wanted, assignment), mut played)| {
            let numbers = assignment.replications.clone();
            let whole = numbers.zip(&played).take_while(|(n, one)| *n == one.number);
            played.truncate(whole.count());
            (wanted.system, played)
        });
        Ok((new.collect(), ended))
    }

    fn open_rooms<E>(&mut self, group: &[Wanted]) -> Result<(), ChooseError<E>> {
        if self.rooms.len() + group.len() > MAX_ROOMS {
            self.rooms.clear();
        }
        for wanted in group {
            if !self.rooms.contains_key(&wanted.system) {
                let room = self.study.room(wanted.system as u64, &mut self.sources);
                let room = room.map_err(|mistakes| {
                    ChooseError::Wrong(Box::new(Mistakes::new(mistakes, self.sources.clone())))
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

impl Columns for Evenings<'_> {
    fn sides(&self) -> usize {
        self.played.len()
    }

    fn column(&self, side: usize, measure: Measure) -> Vec<(u64, Option<f64>)> {
        let measures = &self.study.measures;
        let column = measures.iter().position(|other| *other == measure);
        let value = |one: &Replication| one.values.get(column?).copied().flatten();
        (self.played[side].iter())
            .map(|one| (one.number, value(one)))
            .collect()
    }
}
