//! Racking: pieces wait by rack kind, a loading station fills one rack at a time, and a filled rack
//! keeps its station until it has moved on.

use std::collections::VecDeque;

use super::Service;
use super::crew::Job;
use super::diary::Happening;
use super::events::Number;
use super::part_loads::PartLoad;
use super::pieces::{Queue, Zone};
use crate::room::Room;
use crate::room::plan::Spot;
use crate::room::time::Time;
use crate::room::ware::RackKind;
use crate::scenario::model::Duty;

/// A rack being full, in the fixed-point units in which pieces take their share.
const FULL: f64 = 4_294_967_296.0;
/// Rounding of shares never keeps the last piece out.
const HAIR: u64 = 4096;

/// Where a rack is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// In its stack, empty.
    Free,
    /// On a loading station, being filled.
    Filling,
    /// On a loading station, full.
    Filled,
    /// In the entry lane of a machine.
    Lane(u32),
    /// In a machine.
    Machine(u32),
    /// On the landing of a machine.
    Landing(u32),
    /// On the landing, being unloaded.
    Unloading(u32),
}

/// One rack.
#[derive(Debug, Clone)]
pub struct Rack {
    /// Index of its kind.
    pub kind: usize,
    /// What is in it.
    pub(super) queue: Queue,
    /// How full, in units of [`FULL`].
    pub(super) load: u64,
    /// Where it is.
    pub place: Place,
    /// When it got there.
    pub(super) joined: Time,
    /// Its place among what happens at once, from when it came to its landing.
    pub(super) number: Number,
    /// When it last entered a machine.
    pub(super) entered: Time,
    /// Belt time at which it reaches the exit.
    pub(super) exit: Time,
}

/// What waits for racks of one kind.
#[derive(Debug, Clone)]
pub(super) struct KindLine {
    pub queue: Queue,
    /// Racks' worth waiting, in units of [`FULL`].
    pub load: u64,
    pub free: Vec<u32>,
}

/// Racks, stations and what waits for them.
#[derive(Debug)]
pub struct Racking {
    pub(super) kinds: Vec<KindLine>,
    /// All racks owned.
    pub racks: Vec<Rack>,
    /// Places kept on the table for pieces in hand.
    pub(super) kept: u32,
    table: Option<u32>,
    /// Pieces waiting, of all kinds.
    pub(super) waiting: u32,
    /// Stations being filled or holding a full rack.
    pub(super) stations_used: u32,
    /// Full racks on stations, first come first.
    pub(super) filled: VecDeque<u32>,
    share: Vec<u64>,
    enough: Vec<u64>,
    fill: Vec<u64>,
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // positive, far below 2^64
fn units(share: f64) -> u64 {
    (share * FULL) as u64
}

impl Racking {
    pub(super) fn new(room: &Room) -> Self {
        let kind = || KindLine {
            queue: Queue::default(),
            load: 0,
            free: Vec::new(),
        };
        let mut racks = Vec::new();
        for (index, rack_kind) in room.rack_kinds.iter().enumerate() {
            racks.extend((0..rack_kind.fleet).map(|_| Rack::free(index)));
        }
        let share: Vec<u64> = room
            .wares
            .iter()
            .map(|ware| units(ware.rack_share))
            .collect();
        let enough = |(index, kind): (usize, &RackKind)| {
            // From where not even its smallest piece would fit in besides, there is enough.
            let here = room.wares.iter().zip(&share);
            let least = here.filter(|(ware, _)| ware.rack_kind == index);
            let least = least.map(|(_, &share)| share).min().unwrap_or(0);
            units(kind.enough).min((units(kind.fill) + 2 * HAIR + 1).saturating_sub(least))
        };
        Self {
            kinds: room.rack_kinds.iter().map(|_| kind()).collect(),
            racks,
            kept: 0,
            table: room.loading.as_ref().and_then(|loading| loading.table),
            waiting: 0,
            stations_used: 0,
            filled: VecDeque::new(),
            enough: room.rack_kinds.iter().enumerate().map(enough).collect(),
            share,
            fill: room
                .rack_kinds
                .iter()
                .map(|kind| units(kind.fill))
                .collect(),
        }
    }

    pub(super) fn begin(&mut self, room: &Room) {
        for kind in &mut self.kinds {
            kind.queue = Queue::default();
            kind.load = 0;
            kind.free.clear();
        }
        for (index, rack) in self.racks.iter_mut().enumerate().rev() {
            *rack = Rack::free(rack.kind);
            self.kinds[rack.kind].free.push(index as u32);
        }
        debug_assert_eq!(self.kinds.len(), room.rack_kinds.len());
        self.kept = 0;
        self.waiting = 0;
        self.stations_used = 0;
        self.filled.clear();
    }

    /// Whether a rack's worth of a kind waits.
    pub(super) fn is_rack_load(&self, kind: usize) -> bool {
        self.kinds[kind].load + HAIR >= self.enough[kind]
    }

    /// Free places on the table before the stations.
    pub(super) fn table_room(&self) -> u32 {
        self.table.map_or(u32::MAX, |table| {
            table.saturating_sub(self.waiting + self.kept)
        })
    }
}

impl Rack {
    fn free(kind: usize) -> Self {
        Self {
            kind,
            queue: Queue::default(),
            load: 0,
            place: Place::Free,
            joined: Time::ZERO,
            number: Number::default(),
            entered: Time::ZERO,
            exit: Time::ZERO,
        }
    }

    /// How full it is, 1 = as rated.
    pub(super) fn fullness(&self) -> f64 {
        self.load as f64 / FULL
    }
}

impl Service<'_> {
    /// Index of a rack's kind.
    #[must_use]
    pub fn rack_kind(&self, rack: u32) -> usize {
        self.racking.racks[rack as usize].kind
    }

    /// A piece waits to be racked.
    pub(super) fn join_racking(&mut self, piece: u32) {
        let ware = self.pieces[piece as usize].ware as usize;
        let kind = self.room.wares[ware].rack_kind;
        let line = &mut self.racking.kinds[kind];
        line.queue.push(&mut self.pieces, piece);
        line.load += self.racking.share[ware];
        self.racking.waiting += 1;
        self.tally.line_grows(Duty::Load, 1, self.now);
        self.part_load_joined(PartLoad::Rack(kind), 1);
    }

    /// Whether a rack of this kind is worth filling.
    pub(super) fn enough_to_rack(&self, kind: usize) -> bool {
        let line = &self.racking.kinds[kind];
        if line.queue.is_empty() {
            return false;
        }
        self.racking.is_rack_load(kind)
            || self.head_waited(&line.queue, self.room.rack_kinds[kind].wait_at_most)
            || self.census.before(Zone::ToRack) == 0
            || self.racking.table_room() == 0
    }

    /// The kind to fill next: of those worth filling and with a free rack, the one whose first piece
    /// has waited longest.
    fn kind_to_rack(&self) -> Option<usize> {
        let mut best = None;
        for (kind, line) in self.racking.kinds.iter().enumerate() {
            let Some(head) = line.queue.head() else {
                continue;
            };
            if line.free.is_empty() || !self.enough_to_rack(kind) {
                continue;
            }
            let joined = self.pieces[head as usize].joined;
            if best.is_none_or(|(earliest, _)| joined < earliest) {
                best = Some((joined, kind));
            }
        }
        best.map(|(_, kind)| kind)
    }

    pub(super) fn has_free_station(&self) -> bool {
        let stations = self
            .room
            .loading
            .as_ref()
            .map_or(0, |loading| loading.stations);
        self.racking.stations_used < stations
    }

    /// Whether a rack can be filled now, people apart.
    pub(super) fn load_ready(&self) -> bool {
        self.has_free_station() && self.kind_to_rack().is_some()
    }

    /// Takes an empty rack and the pieces that fill it.
    pub(super) fn take_to_rack(&mut self) -> Job {
        let mut job = Job {
            spot: Spot::of_duty(Duty::Load),
            ..Job::default()
        };
        let Some(kind) = self.kind_to_rack() else {
            return job;
        };
        let Some(rack) = self.racking.kinds[kind].free.pop() else {
            return job;
        };
        job.thing = rack as usize;
        let mut load = 0;
        while let Some(head) = self.racking.kinds[kind].queue.head() {
            let ware = self.pieces[head as usize].ware as usize;
            let share = self.racking.share[ware];
            if load > 0 && load + share > self.racking.fill[kind] + HAIR {
                break;
            }
            self.racking.kinds[kind].queue.pop(&self.pieces);
            self.racking.kinds[kind].load -= share;
            load += share;
            self.tally
                .line_waited(Duty::Load, self.now - self.pieces[head as usize].joined);
            job.more_s += self.room.wares[ware].load_s;
            job.hand.push(&mut self.pieces, head);
        }
        let pieces = job.hand.len();
        self.tally.line_shrinks(Duty::Load, pieces, self.now);
        self.racking.waiting -= pieces;
        self.racking.stations_used += 1;
        self.racking.racks[rack as usize].load = load;
        self.racking.racks[rack as usize].place = Place::Filling;
        self.census.moved(pieces, Zone::ToRack, Zone::Racking);
        self.part_load_taken(PartLoad::Rack(kind));
        self.draw_down();
        job
    }

    /// A rack is full: it stands on its station until it can move on.
    pub(super) fn racked(&mut self, job: Job) {
        let rack = &mut self.racking.racks[job.thing];
        rack.queue = job.hand;
        rack.place = Place::Filled;
        rack.joined = self.now;
        self.racking.filled.push_back(job.thing as u32);
        self.census
            .moved(job.hand.len(), Zone::Racking, Zone::RackWaiting);
        let (rack, pieces) = (job.thing as u32, job.hand.len());
        self.note(Happening::Racked { rack, pieces });
        self.tally.rack_waits(1, self.now);
        self.move_filled_racks();
    }
}
