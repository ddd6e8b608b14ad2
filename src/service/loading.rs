//! Racking: pieces wait by rack kind, a loading station fills one rack at a time, and a filled rack
//! keeps its station until it has moved on.

use super::index::RackId;
use std::collections::VecDeque;

use super::common::Common;
use super::decoys::{self, Decoys};
use super::diary::Happening;
use super::events::LongestWait;
use super::job::{Job, Next, Thing};
use super::line::racks::{FULL, Place, Rack};
use super::line::{Batch, Line, Table};
use super::obstacle::Obstacle;
use super::pieces::{Pile, Zone, add_each};
use super::work::{Comes, Full, Places, Seconds, Work};
use crate::room::Room;
use crate::room::stations::Machine;
use crate::room::time::Time;
use crate::room::ware::{RackKind, Ware};
use crate::scenario::model::Duty;

pub(super) const WORK: Work = Work {
    places: Places::Racks(|room| room.loading.as_ref().map_or(0, |loading| loading.stations)),
    full: Full::Rack,
    unit_time: |room| room.loading.as_ref().map(|loading| &loading.per_unit),
    seconds: &[Seconds::OfWare(sheet_piece_s)],
    takes: |ware| !ware.at_pot_sink,
    ..Work::new(Comes::Soiled)
};

const fn piece_s(ware: &Ware) -> f64 {
    ware.load_s
}

/// On the sheet all decoy racks have room.
const fn sheet_piece_s(ware: &Ware) -> f64 {
    if ware.is_sorted {
        ware.decoy_s
    } else {
        ware.load_s
    }
}

/// Rounding of shares never keeps the last piece out.
pub(super) const HAIR: u64 = 4096;

/// What waits for racks of one kind.
#[derive(Debug)]
pub(super) struct KindLine {
    /// Pieces weigh their share of a rack, in units of [`FULL`].
    pub line: Line,
    /// Racks of this kind that stand open at the drop-off, if they do.
    pub decoys: Option<Decoys>,
    pub free: Vec<RackId>,
}

/// Racks, stations and what waits for them.
#[derive(Debug)]
pub struct Racking {
    pub(super) kinds: Vec<KindLine>,
    /// All racks owned.
    pub racks: Vec<Rack>,
    /// The table before the stations.
    pub(super) table: Table,
    /// Stations being filled or holding a full rack.
    pub(super) stations_used: u32,
    /// Full racks on stations, first come first.
    pub(super) filled: VecDeque<RackId>,
    pub(super) share: Vec<u64>,
    pub(super) fill: Vec<u64>,
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // positive, far below 2^64
fn units(share: f64) -> u64 {
    (share * FULL) as u64
}

impl Racking {
    pub(super) fn new(room: &Room) -> Self {
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
            let least = here.filter(|(ware, _)| ware.rack_kind == index && !ware.at_pot_sink);
            let least = least.map(|(_, &share)| share).min().unwrap_or(0);
            let full = (units(kind.fill) + 2 * HAIR + 1).saturating_sub(least);
            units(kind.enough).min(full).saturating_sub(HAIR)
        };
        let sorted = |index| {
            let mut wares = room.wares.iter();
            wares.any(|ware| ware.is_sorted && ware.rack_kind == index)
        };
        let kind = |(index, kind): (usize, &RackKind)| KindLine {
            line: Line::new(
                Duty::Load,
                Zone::ToRack,
                Some(Batch {
                    clock: LongestWait::rack(index),
                    enough: enough((index, kind)),
                    wait_at_most: kind.wait_at_most,
                }),
            ),
            decoys: sorted(index).then(|| {
                let enough = enough((index, kind));
                Decoys::new(room.rack_kinds.len(), index, enough, kind.wait_at_most)
            }),
            free: Vec::new(),
        };
        let table = room.loading.as_ref().and_then(|loading| loading.table);
        Self {
            kinds: room.rack_kinds.iter().enumerate().map(kind).collect(),
            racks,
            table: Table::new(Zone::ToRack, table),
            stations_used: 0,
            filled: VecDeque::new(),
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
            kind.line.begin();
            kind.decoys.iter_mut().for_each(Decoys::begin);
            kind.free.clear();
        }
        for rack in RackId::all(self.racks.len()).rev() {
            let kind = self.racks[rack].kind;
            self.racks[rack] = Rack::free(kind);
            self.kinds[kind].free.push(rack);
        }
        debug_assert_eq!(self.kinds.len(), room.rack_kinds.len());
        self.table.begin();
        self.stations_used = 0;
        self.filled.clear();
    }
}

/// Whether what waits in a decoy rack has waited for as long as what waits for a rack, or longer.
fn is_first(decoy: Option<(Time, usize)>, to_fill: Option<(Time, usize)>) -> bool {
    match (decoy, to_fill) {
        (Some((decoy, _)), Some((waits, _))) => decoy <= waits,
        (Some(_), None) => true,
        (None, _) => false,
    }
}

impl Racking {
    /// Which of the full racks on stations a machine takes next: the first of a kind that it takes.
    pub(super) fn first_for(&self, machine: &Machine) -> Option<usize> {
        let mut filled = self.filled.iter();
        filled.position(|&rack| machine.takes[self.racks[rack].kind])
    }

    /// A full rack leaves its station.
    pub(super) fn leaves_station(&mut self, at: usize) -> Option<RackId> {
        let rack = self.filled.remove(at)?;
        self.stations_used -= 1;
        Some(rack)
    }

    /// A rack that stands in the store as the dish room starts, and how many pieces of a ware it holds. One stays free.
    pub(super) fn to_stand_in_store(
        &mut self,
        common: &mut Common<'_>,
        ware: usize,
    ) -> Option<(RackId, u32)> {
        let kind = common.room.wares[ware].rack_kind;
        let free = &mut self.kinds[kind].free;
        if free.len() < 2 {
            return None;
        }
        let rack = free.pop()?;
        self.racks[rack].moves(&mut common.flow, Place::Stored, common.now);
        let fits = (self.fill[kind] + HAIR) / self.share[ware].max(1);
        Some((rack, u32::try_from(fits).unwrap_or(u32::MAX).max(1)))
    }

    /// Racks that guests have emptied are free again.
    pub(super) fn take_back(&mut self, common: &mut Common<'_>, emptied: &mut Vec<RackId>) {
        for rack in emptied.drain(..) {
            let freed = &mut self.racks[rack];
            if freed.place != Place::Stored {
                continue;
            }
            freed.moves(&mut common.flow, Place::Free, common.now);
            self.kinds[freed.kind].free.push(rack);
            common.note(Happening::RackEmpty { rack });
        }
    }

    /// Racks that stand in the store.
    pub(super) fn in_store(&self) -> u32 {
        let stored = self.racks.iter().filter(|rack| rack.place == Place::Stored);
        stored.count() as u32
    }

    /// Pieces of one ware wait to be racked.
    pub(super) fn join_racking(&mut self, common: &mut Common<'_>, pile: Pile) {
        let Some(first) = pile.head() else {
            return;
        };
        let ware = common.flow[first].ware as usize;
        let kind = common.room.wares[ware].rack_kind;
        let (flow, events) = (&mut common.flow, &mut common.events);
        let line = &mut self.kinds[kind].line;
        line.join_weighing(flow, events, pile, self.share[ware], common.now);
    }

    /// The kind to fill next: of those worth filling and with a free rack, the one whose first piece
    /// has waited longest. And whether any is worth filling.
    fn kind_to_rack(&self, common: &Common<'_>) -> (Option<(Time, usize)>, bool) {
        let is_full = self.table.room(&common.flow) == 0;
        let (mut best, mut any) = (None, false);
        for (kind, of) in self.kinds.iter().enumerate() {
            let Some(head) = of.line.head() else {
                continue;
            };
            if !is_full && !of.line.is_due(&common.flow, common.now) {
                continue;
            }
            any = true;
            let joined = common.flow[head].joined;
            let is_first = best.is_none_or(|(earliest, _)| joined < earliest);
            if is_first && !of.free.is_empty() {
                best = Some((joined, kind));
            }
        }
        (best, any)
    }

    pub(super) fn next_to_rack(&self, common: &Common<'_>) -> Next {
        let has_station = self.stations_used < WORK.places.count(common.room);
        let (to_fill, any) = self.kind_to_rack(common);
        let decoy = self.decoy_to_carry(common);
        if has_station && decoy.is_some() && is_first(decoy, to_fill) {
            return Next::ReadyAt(decoys::SPOT);
        }
        match (to_fill, any || decoy.is_some()) {
            (_, false) => Next::Nothing,
            (Some(_), true) if has_station => Next::Ready,
            (None, true) if has_station => Next::Waits(Obstacle::Rack),
            _ if self.filled.is_empty() => Next::Waits(Obstacle::Place),
            // Stations that hold full racks wait for room further on.
            _ => Next::Waits(Obstacle::Room),
        }
    }

    /// Takes an empty rack and the pieces that fill it.
    pub(super) fn take_to_rack(&mut self, common: &mut Common<'_>) -> Job {
        let mut job = Job { ..Job::default() };
        let (to_fill, _) = self.kind_to_rack(common);
        let decoy = self.decoy_to_carry(common);
        if let Some((_, kind)) = decoy.filter(|_| is_first(decoy, to_fill)) {
            return self.take_decoy(common, kind);
        }
        let Some((_, kind)) = to_fill else {
            return job;
        };
        let Some(rack) = self.kinds[kind].free.pop() else {
            return job;
        };
        job.thing = Thing::Rack(rack);
        let mut load = 0;
        let (share, wares) = (&self.share, &common.room.wares);
        let full = self.fill[kind] + HAIR;
        let (flow, events) = (&mut common.flow, &mut common.events);
        let line = &mut self.kinds[kind].line;
        let hand = line.take_while(flow, events, common.now, |run| {
            let ware = run.ware as usize;
            // One fits in at least, however large.
            let fit = full.saturating_sub(load) / share[ware].max(1);
            let fit = fit.max(u64::from(load == 0));
            let count = u64::from(run.count).min(fit) as u32;
            load += share[ware] * u64::from(count);
            job.more_s = add_each(job.more_s, piece_s(&wares[ware]), count);
            (count, share[ware])
        });
        job.hand = hand.moved_to(flow, Zone::Racking);
        self.stations_used += 1;
        let filling = &mut self.racks[rack];
        filling.load = load;
        filling.moves(flow, Place::Filling, common.now);
        job
    }

    /// A rack is full: it stands on its station until it can move on.
    pub(super) fn racked(&mut self, common: &mut Common<'_>, job: Job) {
        let Thing::Rack(rack) = job.thing else {
            return;
        };
        common.dries_at(&job.hand, common.room.dries.in_racks);
        let filled = &mut self.racks[rack];
        let pieces = job.hand.len();
        filled.pile = job.hand;
        filled.moves(&mut common.flow, Place::Filled, common.now);
        self.filled.push_back(rack);
        common.note(Happening::Racked { rack, pieces });
    }
}
