//! The evening before it happens: every party, lot and piece of a replication, drawn at once.
//!
//! Parties of an interval are a Poisson number at uniform moments: a Poisson process with piecewise
//! constant rate, without thinning. Everything here depends on guests, menu, soil and streams alone,
//! so no change of crew, racks or machines can alter it.

use super::common::Common;
use super::events::Event;
use super::index::{LotId, PieceId};
use super::pieces::{Lot, Piece};
use super::seats::Party;
use super::streams::{Purpose, Stream};
use rand::{Rng, RngExt};

use crate::room::demand::{GuestDemand, Seating};
use crate::room::draws::poisson;
use crate::room::time::Time;
use crate::scenario::model::Style;

/// What a lot is made of.
struct Ware {
    ware: usize,
    soil: usize,
    count: u32,
    key: u64,
}

/// Pieces and lots are numbered in 32 bits, and memory has an end: the check keeps expected pieces
/// far below this; a draw beyond it is cut.
const MAX_PIECES: usize = 4_000_000;

impl Common<'_> {
    pub(super) fn generate_demand(&mut self) {
        let room = self.room;
        let busy = self.busyness();
        for backlog in &room.demand.backlog {
            let key = self.streams.key(Purpose::Arrivals, backlog.key, 0);
            let (ware, soil, count) = (backlog.ware, backlog.soil, backlog.pieces);
            let lot = self.add_lot(
                &Ware {
                    ware,
                    soil,
                    count,
                    key,
                },
                Time::ZERO,
                Time::ZERO,
            );
            if let Some(lot) = lot {
                self.flow.lots[lot].from_stock = true;
                self.flow.dries_from(lot, Time::ZERO - backlog.age);
                self.events.plan(Time::ZERO, Event::Delivered(lot));
            }
        }
        if let Some(guests) = &room.demand.guests {
            self.generate_booked(guests);
            for seating in &guests.seatings {
                self.generate_seating(guests, seating, busy);
            }
            self.generate_logged_parties(guests);
            self.seat_parties(guests);
        }
        self.generate_streams(busy);
        self.generate_soiled_log();
        self.generate_deliveries();
    }

    /// Parties that are booked sit down at their hour.
    fn generate_booked(&mut self, guests: &GuestDemand) {
        self.seats.begin();
        for booked in &guests.booked {
            let key = self.streams.key(Purpose::Booking, booked.key, 0);
            let stays = &booked.stays;
            let dwell = stays.draw(&mut self.streams.stream(Purpose::Booking, key, 0));
            let party = Party::new(key, booked.covers, booked.at, dwell);
            self.seats.book(&party);
            self.add_party(&party);
        }
    }

    /// A party comes: it sits down at once, unless seats are counted.
    fn party_comes(&mut self, guests: &GuestDemand, party: Party) {
        if guests.seats.is_none() {
            return self.add_party(&party);
        }
        self.seats.comes(party);
    }

    /// Where seats are counted: who sits when, and who does not.
    fn seat_parties(&mut self, guests: &GuestDemand) {
        let Some(seats) = guests.seats else { return };
        let mut all = std::mem::take(&mut self.seats);
        for (mut party, sits) in all.seat(seats, guests.seat_wait) {
            let Some(sits) = sits else {
                self.tally.turned_away += u64::from(party.covers);
                continue;
            };
            self.tally
                .waits_for_seats(party.covers, sits - party.seated);
            party.seated = sits;
            self.add_party(&party);
        }
        self.seats = all;
    }

    /// How busy the evening is beyond chance: the same factor for all that is expected. What does not vary draws nothing.
    fn busyness(&self) -> f64 {
        let law = &self.room.demand.busyness;
        if law.varies() {
            law.draw(&mut self.streams.stream(Purpose::Busyness, 0, 0))
        } else {
            1.0
        }
    }

    fn generate_seating(&mut self, guests: &GuestDemand, seating: &Seating, busy: f64) {
        let expected = busy * seating.covers / guests.mean_size;
        let count = if guests.even {
            whole(libm::round(expected))
        } else {
            poisson(
                expected,
                &mut self.streams.stream(Purpose::PartyCount, seating.key, 0),
            )
        };
        let mut wave = self.streams.stream(Purpose::Wave, seating.key, 0);
        let in_step = guests.dwell.draw(&mut wave);
        for number in 0..count {
            let key = self.streams.key(Purpose::Party, seating.key, number);
            let mut stream = self.streams.stream(Purpose::Party, key, 0);
            let place = place(&mut stream, guests.even, number, count);
            let covers = draw_size(&guests.sizes, &mut stream);
            let seated = seating.from + part(seating.to - seating.from, place);
            let dwell = if guests.style == Style::Banquet {
                in_step
            } else {
                draw_dwell(guests, covers, &mut stream)
            };
            self.party_comes(guests, Party::new(key, covers, seated, dwell));
        }
    }

    fn generate_logged_parties(&mut self, guests: &GuestDemand) {
        for (number, party) in guests.log.iter().enumerate() {
            let key = self.streams.key(Purpose::Party, u64::MAX, number as u64);
            let mut stream = self.streams.stream(Purpose::Party, key, 0);
            let (covers, seated) = (party.covers, party.seated);
            let dwell = party
                .dwell
                .unwrap_or_else(|| draw_dwell(guests, covers, &mut stream));
            self.party_comes(guests, Party::new(key, covers, seated, dwell));
        }
    }

    /// A lot for each use of ware by a party.
    fn add_party(&mut self, party: &Party) {
        self.tally.covers += u64::from(party.covers);
        self.tally.guest_leaves(party.seated + party.dwell);
        for row in &self.room.demand.menu {
            let key = self.streams.key(Purpose::Use, party.key, row.key);
            let expected = f64::from(party.covers) * row.per_cover;
            let certain = libm::floor(expected);
            let one_more = expected > certain
                && self.streams.uniform(Purpose::Use, key, 0) < expected - certain;
            let count = whole(certain) as u32 + u32::from(one_more);
            let laid = party.seated + part(party.dwell, row.laid);
            // At least an instant: what is laid comes before what is soiled.
            let eats = part(party.dwell, row.cleared - row.laid).max(Time::from_ns(1));
            let ware = Ware {
                ware: row.ware,
                soil: row.soil,
                count,
                key,
            };
            if let Some(lot) = self.add_lot(&ware, laid, eats) {
                let lot_of = &mut self.flow.lots[lot];
                lot_of.by_guests = true;
                lot_of.from_stock = true;
                lot_of.departs = party.seated + party.dwell;
                lot_of.pieces_per_cover = row.per_cover.max(1.0);
                // Ware that never runs out need not be asked for.
                if self.room.wares[row.ware].owned.is_some() {
                    self.events.plan(laid, Event::Laid(lot));
                }
                self.events.plan(laid + eats, Event::Soiled(lot));
            }
        }
    }

    fn generate_streams(&mut self, busy: f64) {
        for stream in &self.room.demand.streams {
            let expected = busy * stream.pieces / f64::from(stream.at_a_time);
            let mut draws = self.streams.stream(Purpose::Arrivals, stream.key, 0);
            let count = if stream.even {
                whole(libm::round(expected))
            } else {
                poisson(expected, &mut draws)
            };
            for number in 0..count {
                let place = place(&mut draws, stream.even, number, count);
                let at = stream.from + part(stream.to - stream.from, place);
                // Its own draw of this stream is as good a key as a hash of its number.
                let key = draws.next_u64();
                let count = stream.at_a_time;
                self.add_arrival(
                    &Ware {
                        ware: stream.ware,
                        soil: stream.soil,
                        count,
                        key,
                    },
                    at,
                );
            }
        }
    }

    fn generate_soiled_log(&mut self) {
        for (number, logged) in self.room.demand.log.iter().enumerate() {
            let key = self.streams.key(Purpose::Use, u64::MAX, number as u64);
            let (ware, soil, count) = (logged.ware, logged.soil, logged.pieces);
            self.add_arrival(
                &Ware {
                    ware,
                    soil,
                    count,
                    key,
                },
                logged.at,
            );
        }
    }

    /// Clean ware that is brought: nothing of it is drawn.
    fn generate_deliveries(&mut self) {
        for delivery in &self.room.demand.deliveries {
            let first = PieceId::new(self.flow.pieces.len());
            let count = delivery.pieces;
            if first.at() + count as usize > MAX_PIECES {
                return;
            }
            let lot = LotId::new(self.flow.lots.len());
            let piece = Piece {
                dirty: false,
                ..Piece::new(lot, 0.0)
            };
            let pieces = std::iter::repeat_n(piece, count as usize);
            self.flow.pieces.extend(pieces);
            let lot = Lot {
                from_stock: true,
                ..Lot::new(delivery.ware, first, count, 0, Time::ZERO)
            };
            let lot = self.flow.add_clean_lot(lot, delivery.at);
            self.events.plan(delivery.at, Event::CleanComes(lot));
        }
    }

    /// Soiled ware that reaches the drop-off by itself.
    fn add_arrival(&mut self, ware: &Ware, at: Time) {
        if let Some(lot) = self.add_lot(ware, at, Time::ZERO) {
            self.events.plan(at, Event::Delivered(lot));
        }
    }

    /// A lot and its pieces, each with its film; none for no pieces.
    fn add_lot(&mut self, ware: &Ware, laid: Time, eats: Time) -> Option<LotId> {
        let first = PieceId::new(self.flow.pieces.len());
        if ware.count == 0 || self.flow.pieces.len() + ware.count as usize > MAX_PIECES {
            return None;
        }
        let soil = &self.room.soils[ware.soil];
        // Where the film does not vary no stream is needed.
        let mut films = soil
            .film
            .varies()
            .then(|| self.streams.stream(Purpose::Film, ware.key, 0));
        let lot = LotId::new(self.flow.lots.len());
        for _ in 0..ware.count {
            // A film a hundredth of the mean is dry at once: thinner ones change nothing.
            let film = films
                .as_mut()
                .map_or(1.0, |films| soil.film.draw(films).max(0.01));
            let drying_per_s = soil.drying_per_s / film;
            self.flow.pieces.push(Piece::new(lot, drying_per_s));
        }
        let lot = Lot::new(ware.ware, first, ware.count, ware.key, eats);
        Some(self.flow.add_lot(lot, ware.soil as u16, laid))
    }
}

/// Where in its interval, 0 to 1.
fn place(stream: &mut Stream, even: bool, number: u64, count: u64) -> f64 {
    // Drawn even when not used, so that the draws behind it stay the same.
    let drawn: f64 = stream.random();
    if even {
        (number as f64 + 0.5) / count as f64
    } else {
        drawn
    }
}

fn draw_size(sizes: &[(u32, f64)], stream: &mut Stream) -> u32 {
    let drawn: f64 = stream.random();
    let found = sizes.iter().find(|(_, sum)| drawn < *sum).or(sizes.last());
    found.map_or(1, |(covers, _)| *covers)
}

/// The law's factor applies to the mean of this party's size.
fn draw_dwell(guests: &GuestDemand, covers: u32, stream: &mut Stream) -> Time {
    let extra = f64::from(covers.saturating_sub(2)) * guests.dwell_per_extra_cover_s;
    guests.dwell.draw_unit(extra, stream)
}

fn part(of: Time, share: f64) -> Time {
    Time::from_s(of.s() * share)
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturates; never negative
fn whole(number: f64) -> u64 {
    number as u64
}
