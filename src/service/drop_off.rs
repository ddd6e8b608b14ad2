//! The soiled landing: tubs in a row, and what comes when the row is full.
//!
//! Tubs beyond the places of the drop-off stand on the floor; they move up as tubs are emptied. With
//! `when_full = "wait"` nothing is stood on the floor: the trip keeps what does not fit. A crew trip
//! then starts only once there is a place for its tub, and keeps that place: an operator who stood
//! with a tub before a full drop-off might be the only one who could empty it.

use std::collections::VecDeque;

use super::Service;
use super::crew::Job;
use super::diary::Happening;
use super::part_loads::PartLoad;
use super::pieces::{Queue, Zone};
use crate::room::plan::Spot;
use crate::room::time::Time;
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
#[derive(Debug, Clone, Copy)]
pub(super) struct Trip {
    /// What it carries.
    pub hand: Queue,
    /// Who, if one of the crew.
    pub by: Option<usize>,
}

/// The soiled landing.
#[derive(Debug, Default)]
pub struct DropOff {
    /// Pieces, first come first.
    pub(super) queue: Queue,
    /// Dirty pieces that came back; taken first.
    pub(super) again: Queue,
    /// The same pieces by tub.
    pub(super) tubs: VecDeque<Tub>,
    /// Trips that wait for room.
    pub(super) trips: VecDeque<Trip>,
}

impl DropOff {
    pub(super) fn begin(&mut self) {
        self.queue = Queue::default();
        self.again = Queue::default();
        self.tubs.clear();
        self.trips.clear();
    }
}

impl Service<'_> {
    /// A lot reaches the drop-off.
    pub(super) fn delivered(&mut self, lot: usize) {
        let (first, count) = (self.dining.lots[lot].first, self.dining.lots[lot].count);
        // Guests' ware was counted when it was soiled; everything else appears here.
        let by_guests = self.dining.lots[lot].by_guests;
        let from = if by_guests {
            Zone::OnTables
        } else {
            Zone::Coming
        };
        self.census.moved(count, from, Zone::OnTrip);
        let mut hand = Queue::default();
        for piece in first..first + count {
            hand.push(&mut self.pieces, piece);
        }
        self.arrive(Trip { hand, by: None });
    }

    /// Whether a crew trip is due.
    pub(super) fn clear_down_ready(&self) -> bool {
        self.clear_down_due() && self.has_room_for_tub()
    }

    /// Whether enough waits on the tables for a crew trip.
    pub(super) fn clear_down_due(&self) -> bool {
        let Some(clear) = self.room.clear_down.as_ref().filter(|clear| clear.by_crew) else {
            return false;
        };
        let waiting = &self.dining.on_tables;
        waiting.len() >= clear.tub
            || self.head_waited(waiting, clear.wait_at_most)
            || (!waiting.is_empty() && self.census.before(Zone::OnTables) == 0)
    }

    /// Whether the first of a queue has waited that long.
    pub(super) fn head_waited(&self, queue: &Queue, wait: Time) -> bool {
        queue
            .head()
            .is_some_and(|head| self.now - self.pieces[head as usize].joined >= wait)
    }

    /// An operator takes a tub from the tables.
    pub(super) fn take_from_tables(&mut self) -> Job {
        let clear = self.room.clear_down.as_ref();
        let tub = clear.map_or(1, |clear| clear.tub);
        let mut waiting = self.dining.on_tables;
        let hand = self.take_up(&mut waiting, tub, Duty::ClearDown);
        self.dining.on_tables = waiting;
        self.census.moved(hand.len(), Zone::OnTables, Zone::OnTrip);
        self.part_load_taken(PartLoad::Tub);
        Job {
            hand,
            spot: Spot::of_duty(Duty::ClearDown),
            ..Job::default()
        }
    }

    /// Takes pieces from the front of a line of work.
    pub(super) fn take_up(&mut self, queue: &mut Queue, most: u32, duty: Duty) -> Queue {
        let mut hand = Queue::default();
        while hand.len() < most {
            let Some(piece) = queue.pop(&self.pieces) else {
                break;
            };
            self.tally
                .line_waited(duty, self.now - self.pieces[piece as usize].joined);
            hand.push(&mut self.pieces, piece);
        }
        self.tally.line_shrinks(duty, hand.len(), self.now);
        hand
    }

    /// A trip stands before the drop-off.
    pub(super) fn arrive(&mut self, mut trip: Trip) {
        if self.drop_off.trips.is_empty() || trip.by.is_some() {
            self.put_down(&mut trip);
        }
        if trip.hand.is_empty() {
            self.trip_done(trip.by);
        } else {
            self.drop_off.trips.push_back(trip);
            self.tally.trips_wait(self.waiting_in_trips());
        }
        self.draw_down();
    }

    /// Pieces in the hands of trips that wait for room.
    pub(super) fn waiting_in_trips(&self) -> u32 {
        self.drop_off.trips.iter().map(|trip| trip.hand.len()).sum()
    }

    fn trip_done(&mut self, by: Option<usize>) {
        if let Some(operator) = by {
            self.release(operator);
        }
    }

    /// Puts down what fits.
    fn put_down(&mut self, trip: &mut Trip) {
        let before = trip.hand.len();
        let tub_holds = self
            .room
            .clear_down
            .as_ref()
            .map_or(u32::MAX, |clear| clear.tub);
        // A tub that the crew brings is theirs; other ware tops up the last tub that stands there.
        let mut may_top_up = trip.by.is_none();
        while !trip.hand.is_empty() {
            let tops_up = may_top_up && self.drop_off.tubs.back().is_some_and(|tub| tub.room > 0);
            if !tops_up {
                if trip.by.is_none() && !self.has_room_for_tub() {
                    break;
                }
                self.drop_off.tubs.push_back(Tub {
                    left: 0,
                    room: tub_holds,
                });
                may_top_up = true;
            }
            self.put_one_down(trip);
        }
        let put = before - trip.hand.len();
        self.census.moved(put, Zone::OnTrip, Zone::DropOff);
        self.tally.line_grows(Duty::Scrape, put, self.now);
        self.tally.soiled_arrive(put, self.now);
        self.tally.floor_tubs(self.floor_tubs());
        if put > 0 {
            self.note(Happening::PutDown { pieces: put });
        }
    }

    fn put_one_down(&mut self, trip: &mut Trip) {
        let Some(piece) = trip.hand.pop(&self.pieces) else {
            return;
        };
        if let Some(tub) = self.drop_off.tubs.back_mut() {
            tub.left += 1;
            tub.room -= 1;
        }
        let at = &mut self.pieces[piece as usize];
        at.reached = self.now;
        at.joined = self.now;
        self.drop_off.queue.push(&mut self.pieces, piece);
    }

    /// Whether one more tub may come, besides those that the crew is carrying.
    fn has_room_for_tub(&self) -> bool {
        let waits = self
            .room
            .clear_down
            .as_ref()
            .is_some_and(|clear| clear.waits);
        let taken = self.drop_off.tubs.len() as u32 + self.crew.at_work(Duty::ClearDown);
        let full = self
            .room
            .drop_off_tubs
            .is_some_and(|places| taken >= places);
        !(waits && full)
    }

    /// Tubs that stand on the floor.
    pub(super) fn floor_tubs(&self) -> u32 {
        let tubs = self.drop_off.tubs.len() as u32;
        self.room
            .drop_off_tubs
            .map_or(0, |places| tubs.saturating_sub(places))
    }

    /// Takes the next piece from the drop-off, its tub with it if it was the last.
    pub(super) fn next_soiled(&mut self) -> Option<u32> {
        if let Some(piece) = self.drop_off.again.pop(&self.pieces) {
            return Some(piece);
        }
        let piece = self.drop_off.queue.pop(&self.pieces)?;
        if let Some(tub) = self.drop_off.tubs.front_mut() {
            tub.left -= 1;
            if tub.left == 0 {
                self.drop_off.tubs.pop_front();
            }
        }
        Some(piece)
    }

    /// After tubs were emptied: trips that waited put down what now fits.
    pub(super) fn let_trips_in(&mut self) {
        while let Some(mut trip) = self.drop_off.trips.pop_front() {
            self.put_down(&mut trip);
            if !trip.hand.is_empty() {
                self.drop_off.trips.push_front(trip);
                return;
            }
            self.trip_done(trip.by);
        }
    }
}
