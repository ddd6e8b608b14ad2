//! Clean stock: ware leaves it when it is laid and is back when it is stored.
//!
//! A lot that finds too little clean ware takes what there is and waits for the rest, first come
//! first served; everything after it in its own course shifts by that wait.

use super::index::{LotId, RackId};
use std::collections::VecDeque;

use super::common::Common;
use super::diary::Happening;
use super::events::Event;
use crate::room::Room;
use crate::room::ware::Ware;

/// What is clean and in the store.
#[derive(Debug)]
pub(super) struct Stock {
    /// Clean pieces by ware; `None` if it never runs out.
    pub clean: Vec<Option<u32>>,
    /// Lots that wait for clean ware, by ware.
    pub short: Vec<VecDeque<LotId>>,
    /// Pieces that they wait for, by ware.
    pub missing: Vec<u32>,
    /// Of what is clean, what stands in racks, by ware: the rack that came first before the others.
    pub in_racks: Vec<VecDeque<(RackId, u32)>>,
    /// Pieces left in each rack in the store.
    pub left: Vec<u32>,
    /// Racks that have been emptied, and stand there still.
    pub emptied: Vec<RackId>,
}

impl Stock {
    pub fn new(room: &Room) -> Self {
        let racks: u32 = room.rack_kinds.iter().map(|kind| kind.fleet).sum();
        let stores = room.rack_kinds.iter().any(|kind| kind.stored.is_some());
        let in_racks = |ware: &Ware| {
            let fleet = room
                .rack_kinds
                .get(ware.rack_kind)
                .map_or(0, |kind| kind.fleet);
            let most = if ware.stored_in_rack { fleet } else { 0 };
            VecDeque::with_capacity(most as usize)
        };
        Self {
            clean: vec![None; room.wares.len()],
            short: room.wares.iter().map(|_| VecDeque::new()).collect(),
            missing: vec![0; room.wares.len()],
            in_racks: room.wares.iter().map(in_racks).collect(),
            left: vec![0; racks as usize],
            emptied: Vec::with_capacity(if stores { racks as usize } else { 0 }),
        }
    }

    /// What is owned, less what stands soiled from the start.
    pub fn begin(&mut self, common: &mut Common<'_>) {
        let room = common.room;
        for (ware, clean) in self.clean.iter_mut().enumerate() {
            let backlog = room.demand.backlog.iter();
            let soiled: u32 = backlog
                .filter(|backlog| backlog.ware == ware)
                .map(|backlog| backlog.pieces)
                .sum();
            *clean = room.wares[ware]
                .owned
                .map(|owned| owned.saturating_sub(soiled));
            common.tally.wares[ware].least_clean = clean.unwrap_or(0);
        }
        self.short.iter_mut().for_each(VecDeque::clear);
        self.missing.fill(0);
        self.in_racks.iter_mut().for_each(VecDeque::clear);
        self.left.fill(0);
        self.emptied.clear();
    }

    /// A lot wants its ware.
    pub fn laid(&mut self, common: &mut Common<'_>, lot: LotId) {
        let ware = common.flow.lots[lot].ware;
        let Some(stock) = self.clean[ware] else {
            return;
        };
        let waits_behind = !self.short[ware].is_empty();
        let wanted = common.flow.lots[lot].count;
        let taken = if waits_behind { 0 } else { stock.min(wanted) };
        self.clean[ware] = Some(stock - taken);
        self.take_from_racks(ware, taken);
        common.tally.wares[ware].least_clean =
            common.tally.wares[ware].least_clean.min(stock - taken);
        if taken < wanted {
            self.run_short(common, lot, wanted - taken);
        }
    }

    fn run_short(&mut self, common: &mut Common<'_>, lot: LotId, missing: u32) {
        let waiting = &mut common.flow.lots[lot];
        waiting.missing = missing;
        waiting.asked = common.now;
        waiting.short = short_covers(missing, waiting.pieces_per_cover);
        let (ware, short) = (waiting.ware, waiting.short);
        self.short[ware].push_back(lot);
        self.missing[ware] += missing;
        common.tally.wares[ware].short_covers += u64::from(short);
        common.note(Happening::Short {
            ware,
            pieces: missing,
        });
    }

    /// A rack stands in the store with so many clean pieces of a ware, which the stock is still to be given. Whether it
    /// will ever be emptied: not of ware that never runs out.
    pub fn put_rack(&mut self, ware: usize, rack: RackId, pieces: u32) -> bool {
        if self.clean[ware].is_none() || pieces == 0 {
            return false;
        }
        let racks = &mut self.in_racks[ware];
        match racks.back_mut() {
            Some((last, more)) if *last == rack => *more += pieces,
            _ => racks.push_back((rack, pieces)),
        }
        self.left[rack.at()] += pieces;
        true
    }

    /// Pieces are taken: from racks first, so that they come free, and then from the shelves.
    fn take_from_racks(&mut self, ware: usize, mut pieces: u32) {
        while pieces > 0 {
            let Some((rack, there)) = self.in_racks[ware].front_mut() else {
                return;
            };
            let taken = pieces.min(*there);
            pieces -= taken;
            *there -= taken;
            let left = &mut self.left[rack.at()];
            *left -= taken;
            if *left == 0 {
                self.emptied.push(*rack);
            }
            if *there == 0 {
                self.in_racks[ware].pop_front();
            }
        }
    }

    /// Clean pieces reach the store: who waits is served first.
    pub fn restock(&mut self, common: &mut Common<'_>, ware: usize, pieces: u32) {
        let Some(mut stock) = self.clean[ware] else {
            return;
        };
        stock += pieces;
        while let Some(&lot) = self.short[ware].front() {
            let given = stock.min(common.flow.lots[lot].missing);
            stock -= given;
            self.missing[ware] -= given;
            self.take_from_racks(ware, given);
            common.flow.lots[lot].missing -= given;
            if common.flow.lots[lot].missing > 0 {
                break;
            }
            self.short[ware].pop_front();
            let waited = common.now - common.flow.lots[lot].asked;
            common
                .tally
                .served_short(common.flow.lots[lot].short, waited);
            let soiled = common.now + common.flow.lots[lot].eats;
            common.events.set(soiled, Event::SoiledLate(lot));
        }
        self.clean[ware] = Some(stock);
    }
}

/// Covers that a number of missing pieces leaves waiting.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most `missing`
fn short_covers(missing: u32, pieces_per_cover: f64) -> u32 {
    libm::ceil(f64::from(missing) / pieces_per_cover) as u32
}
