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
use crate::room::own::Whose;
use crate::room::stations::Machine;
use crate::room::time::Time;
use crate::room::ware::{RackKind, Ware};
use crate::scenario::model::Duty;

pub(super) const WORK: Work = Work {
    places: Places::Racks(|room| stations(room) * room.stations.spots.len() as u32),
    full: Full::Rack,
    unit_time: |room| room.loading.as_ref().map(|loading| &loading.per_unit),
    seconds: &[Seconds::OfWare(sheet_piece_s)],
    takes: |ware| !ware.at_pot_sink,
    ..Work::new(Comes::Soiled)
};

/// Loading stations at each place.
pub(super) fn stations(room: &Room) -> u32 {
    room.loading.as_ref().map_or(0, |loading| loading.stations)
}

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

/// What somebody could fill.
#[derive(Debug, Clone, Copy, Default)]
struct ToRack {
    /// Since when the first piece waits, its kind, and the place where that is filled.
    next: Option<(Time, usize, usize)>,
    /// Something is worth filling,
    is_any: bool,
    /// and there is a station for it.
    has_station: bool,
}

/// Racks, stations and what waits for them.
#[derive(Debug)]
pub struct Racking {
    pub(super) kinds: Vec<KindLine>,
    /// All racks owned.
    pub racks: Vec<Rack>,
    /// The table before the stations.
    pub(super) table: Table,
    /// Stations being filled or holding a full rack, by place.
    pub(super) stations_used: Vec<u32>,
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
            stations_used: vec![0; room.stations.spots.len()],
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
        self.stations_used.fill(0);
        self.filled.clear();
    }
}

/// Whether what waits in a decoy rack has waited for as long as what waits for a rack, or longer.
fn is_first(decoy: Option<(Time, usize)>, to_fill: Option<(Time, usize, usize)>) -> bool {
    match (decoy, to_fill) {
        (Some((decoy, _)), Some((waits, ..))) => decoy <= waits,
        (Some(_), None) => true,
        (None, _) => false,
    }
}

impl Racking {
    /// Which of the full racks on stations a machine takes next: the first of a kind that it takes.
    pub(super) fn first_for(&self, machine: &Machine) -> Option<usize> {
        let mut filled = self.filled.iter();
        filled.position(|&rack| self.is_for(rack, machine))
    }

    /// Whether a machine takes a full rack from its station.
    pub(super) fn is_for(&self, rack: RackId, machine: &Machine) -> bool {
        let rack = &self.racks[rack];
        machine.takes[rack.kind] && rack.filled_at == machine.filled_at
    }

    /// A full rack leaves its station.
    pub(super) fn leaves_station(&mut self, at: usize) -> Option<RackId> {
        let rack = self.filled.remove(at)?;
        self.stations_used[self.racks[rack].filled_at] -= 1;
        Some(rack)
    }

    /// A rack that stands in the store as the dish room starts, and how many pieces of a ware it holds. One stays free.
    pub(super) fn stands_in_store(
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

    /// What somebody could fill next: of the kinds worth filling, with a free station and a free rack, the one whose
    /// first piece has waited longest.
    fn kind_to_rack(&self, common: &Common<'_>, whose: Whose<'_>) -> ToRack {
        let (is_full, room) = (self.table.room(&common.flow) == 0, common.room);
        let stations = stations(room);
        let mut found = ToRack::default();
        let mut earliest = None;
        for (kind, of) in self.kinds.iter().enumerate() {
            let Some(head) = of.line.head() else {
                continue;
            };
            if !is_full && !of.line.is_due(&common.flow, common.now) {
                continue;
            }
            let Some(place) = room.stations.of_kind(kind, whose) else {
                continue;
            };
            found.is_any = true;
            if self.stations_used[place] >= stations {
                continue;
            }
            found.has_station = true;
            let joined = common.flow[head].joined;
            let is_first = earliest.is_none_or(|earliest| joined < earliest);
            if is_first && !of.free.is_empty() {
                earliest = Some(joined);
                found.next = Some((joined, kind, place));
            }
        }
        found
    }

    pub(super) fn next_to_rack(&self, common: &Common<'_>, whose: Whose<'_>) -> Next {
        let found = self.kind_to_rack(common, whose);
        let (decoy, any_decoy) = self.decoy_to_carry(common, whose);
        if is_first(decoy, found.next) {
            return Next::ReadyAt(decoys::SPOT);
        }
        match found.next {
            _ if !(found.is_any || any_decoy) => Next::Nothing,
            Some((_, _, place)) => Next::ReadyAt(common.room.stations.spots[place]),
            None if found.has_station => Next::Waits(Obstacle::Rack),
            None if self.filled.is_empty() => Next::Waits(Obstacle::Place),
            // Stations that hold full racks wait for room further on.
            None => Next::Waits(Obstacle::Room),
        }
    }

    /// How many pieces wait for somebody to rack them.
    pub(super) fn waiting(&self, whose: Whose<'_>) -> u32 {
        let kinds = self.kinds.iter().enumerate();
        let own = kinds.filter(|(kind, _)| whose.fills(*kind));
        let decoys = |of: &KindLine| of.decoys.as_ref().map_or(0, |decoys| decoys.line.len());
        own.map(|(_, of)| of.line.len() + decoys(of)).sum()
    }

    /// Takes an empty rack and the pieces that fill it.
    pub(super) fn take_to_rack(&mut self, common: &mut Common<'_>, whose: Whose<'_>) -> Job {
        let mut job = Job { ..Job::default() };
        let found = self.kind_to_rack(common, whose);
        let (decoy, _) = self.decoy_to_carry(common, whose);
        if let Some((_, kind)) = decoy.filter(|_| is_first(decoy, found.next)) {
            return self.take_decoy(common, kind, whose);
        }
        let Some((_, kind, place)) = found.next else {
            return job;
        };
        let Some(rack) = self.kinds[kind].free.pop() else {
            return job;
        };
        job.thing = Thing::Rack(rack);
        job.spot = Some(common.room.stations.spots[place]);
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
        self.stations_used[place] += 1;
        let filling = &mut self.racks[rack];
        filling.filled_at = place;
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
