//! The soiled landing: tubs in a row, and what comes when the row is full.
//!
//! Tubs beyond the places of the drop-off stand on the floor; they move up as tubs are emptied. With
//! `when_full = "wait"` nothing is stood on the floor: the trip keeps what does not fit. A crew trip
//! then starts only once there is a place for its tub, and keeps that place: an operator who stood
//! with a tub before a full drop-off might be the only one who could empty it.
//!
//! Where tubs are counted, each that stands here is one less for the tables; it is free again when it is emptied.

use super::index::{LotId, OperatorId, TubId};
use std::collections::VecDeque;

use super::common::Common;
use super::crew::Crew;
use super::diary::Happening;
use super::line::Line;
use super::loading::Racking;
use super::pieces::{Pile, Run, Zone};
use crate::room::Room;
use crate::room::stations::ClearDown;
use crate::scenario::model::Duty;

/// A tub on the drop-off or the floor.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tub {
    /// Pieces in it.
    pub left: u32,
    /// Pieces that may still be added.
    pub room: u32,
}

/// A trip that waits with its pieces.
#[derive(Debug)]
pub(super) struct Trip {
    /// What it carries.
    pub hand: Pile,
    /// Who, if one of the crew.
    pub by: Option<OperatorId>,
    /// Whether it is a tub of its own; other ware tops up the last one that stands there.
    pub in_tub: bool,
}

/// The soiled landing.
#[derive(Debug)]
pub struct DropOff {
    /// Pieces, first come first.
    pub(super) line: Line,
    /// Dirty pieces that came back; taken first.
    pub(super) again: Line,
    /// The pieces of `line` by tub.
    pub(super) tubs: VecDeque<Tub>,
    /// Trips that wait for room.
    pub(super) trips: VecDeque<Trip>,
    /// What floor staff carry, tub by tub: empty where nobody does.
    pub(super) carried: Vec<Pile>,
}

impl DropOff {
    pub(super) fn new(room: &Room) -> Self {
        Self {
            line: Line::new(Duty::Scrape, Zone::DropOff, None),
            again: Line::new(Duty::Scrape, Zone::DropOff, None),
            tubs: VecDeque::new(),
            trips: VecDeque::new(),
            carried: {
                let clear = room.clear_down.as_ref();
                let most = clear.map_or(0, ClearDown::carried_at_most);
                (0..most).map(|_| Pile::default()).collect()
            },
        }
    }

    pub(super) fn begin(&mut self) {
        self.line.begin();
        self.again.begin();
        self.tubs.clear();
        self.trips.clear();
        self.carried.fill_with(Pile::default);
    }

    /// A lot reaches the drop-off.
    pub(super) fn delivered(
        &mut self,
        common: &mut Common<'_>,
        crew: &Crew,
        racking: &mut Racking,
        lot: LotId,
    ) {
        let hand = common.flow.take_lot(lot);
        let hand = hand.moved_to(&mut common.flow, Zone::OnTrip);
        common.dries_at(&hand, common.room.dries.in_tubs);
        let trip = Trip {
            hand,
            by: None,
            in_tub: false,
        };
        self.arrive(common, crew, racking, trip);
    }

    /// Floor staff walk with a tub: which of those on their way it is.
    pub(super) fn carry(&mut self, hand: Pile) -> TubId {
        let tub = self.carried.iter().position(Pile::is_empty).unwrap_or(0);
        self.carried[tub] = hand;
        TubId::new(tub)
    }

    /// It reaches the drop-off.
    pub(super) fn tub_comes(
        &mut self,
        common: &mut Common<'_>,
        crew: &Crew,
        racking: &mut Racking,
        tub: TubId,
    ) {
        let trip = Trip {
            hand: std::mem::take(&mut self.carried[tub.at()]),
            by: None,
            in_tub: true,
        };
        self.arrive(common, crew, racking, trip);
    }

    /// A trip stands before the drop-off. Whether it could put down all. What goes into decoy racks is sorted first.
    pub(super) fn arrive(
        &mut self,
        common: &mut Common<'_>,
        crew: &Crew,
        racking: &mut Racking,
        mut trip: Trip,
    ) -> bool {
        common.tally.last_ware = Some(common.now);
        racking.sort_into_decoys(common, &mut trip.hand);
        if self.trips.is_empty() || trip.by.is_some() {
            self.put_down(common, crew, &mut trip);
        }
        let is_done = trip.hand.is_empty();
        if !is_done {
            self.trips.push_back(trip);
            common.tally.trips_wait(self.waiting_in_trips());
        }
        is_done
    }

    /// Pieces in the hands of trips that wait for room.
    pub(super) fn waiting_in_trips(&self) -> u32 {
        self.trips.iter().map(|trip| trip.hand.len()).sum()
    }

    /// Puts down what fits.
    fn put_down(&mut self, common: &mut Common<'_>, crew: &Crew, trip: &mut Trip) {
        let mut left = trip.hand.len();
        let tub_holds = common
            .room
            .clear_down
            .as_ref()
            .map_or(u32::MAX, |clear| clear.tub);
        let mut may_top_up = !trip.in_tub;
        while left > 0 {
            let tops_up = may_top_up && self.tubs.back().is_some_and(|tub| tub.room > 0);
            if !tops_up {
                if trip.by.is_none() && !self.has_room_for_tub(common, crew) {
                    break;
                }
                self.tubs.push_back(Tub {
                    left: 0,
                    room: tub_holds,
                });
                may_top_up = true;
            }
            if let Some(tub) = self.tubs.back_mut() {
                let put = left.min(tub.room);
                tub.left += put;
                tub.room -= put;
                left -= put;
            }
        }
        let put = trip.hand.len() - left;
        let (flow, events) = (&mut common.flow, &mut common.events);
        let standing = trip.hand.take(flow, put);
        flow.reach_room(&standing, common.now);
        self.line.join(flow, events, standing, common.now);
        common.tally.floor_tubs(self.floor_tubs(common));
        if put > 0 {
            common.note(Happening::PutDown { pieces: put });
        }
    }

    /// Whether one more tub may come, besides those that the crew is carrying.
    pub(super) fn has_room_for_tub(&self, common: &Common<'_>, crew: &Crew) -> bool {
        let waits = common
            .room
            .clear_down
            .as_ref()
            .is_some_and(|clear| clear.waits);
        let taken = self.tubs.len() as u32 + crew.at_work(Duty::ClearDown);
        let full = common
            .room
            .drop_off_tubs
            .is_some_and(|places| taken >= places);
        !(waits && full)
    }

    /// Whether a tub of the house's is free: not standing here, in somebody's hands, or waiting with a trip.
    pub(super) fn has_free_tub(&self, common: &Common<'_>, crew: &Crew) -> bool {
        let clear = common.room.clear_down.as_ref();
        let Some(fleet) = clear.and_then(|clear| clear.fleet) else {
            return true;
        };
        let of_floor = |trip: &&Trip| trip.in_tub && trip.by.is_none();
        let waiting = self.trips.iter().filter(of_floor).count();
        let carried = self.carried.iter().filter(|pile| !pile.is_empty()).count();
        let taken = self.tubs.len() + waiting + carried;
        taken as u32 + crew.at_work(Duty::ClearDown) < fleet
    }

    /// Tubs that stand on the floor.
    pub(super) fn floor_tubs(&self, common: &Common<'_>) -> u32 {
        let tubs = self.tubs.len() as u32;
        common
            .room
            .drop_off_tubs
            .map_or(0, |places| tubs.saturating_sub(places))
    }

    /// Takes pieces from the front for as long as they are wanted, with each tub that they leave empty.
    pub(super) fn take_while(
        &mut self,
        common: &mut Common<'_>,
        mut wanted: impl FnMut(&Run) -> u32,
    ) -> Pile {
        let (flow, events) = (&mut common.flow, &mut common.events);
        let mut wanted = |run: &Run| (wanted(run), 1);
        let mut taken = self.again.take_while(flow, events, common.now, &mut wanted);
        if self.again.len() > 0 {
            return taken;
        }
        let first = self.line.take_while(flow, events, common.now, wanted);
        let mut left = first.len();
        while let Some(tub) = self.tubs.front_mut().filter(|_| left > 0) {
            let from_it = left.min(tub.left);
            tub.left -= from_it;
            left -= from_it;
            if tub.left == 0 {
                self.tubs.pop_front();
            }
        }
        taken.put(flow, first);
        taken
    }

    /// After tubs were emptied: trips that waited put down what now fits.
    pub(super) fn let_trips_in(&mut self, common: &mut Common<'_>, crew: &mut Crew) {
        while let Some(mut trip) = self.trips.pop_front() {
            self.put_down(common, crew, &mut trip);
            if !trip.hand.is_empty() {
                self.trips.push_front(trip);
                return;
            }
            if let Some(operator) = trip.by {
                crew.release(common, operator);
            }
        }
    }
}
