//! Soiled ware that is expected at the dish room, minute by minute, from means alone.
//!
//! The seating curve (or the log of parties) is shifted by the mean dwell of each party size times the
//! menu row's `cleared`, and by the mean trip; streams, the soiled log and what stands there at the
//! start come on top. The spread of the dwell is ignored, which makes the peak a little sharper than
//! it will be; so are waits for a full tub and for clean ware.
//!
//! In: a [`Room`]. Out: pieces by minute. Moments are seconds after the start of the room's hours.

use std::collections::BTreeMap;

use crate::room::Room;
use crate::room::demand::{GuestDemand, MenuUse, Party};
use crate::room::time::Time;
use crate::scenario::model::Style;

/// Minutes of the peak window.
pub const PEAK_MIN: usize = 60;

/// Pieces of one ware and soil that are expected evenly over a stretch of time, or all at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pulse {
    /// Index of the ware.
    pub ware: usize,
    /// Index of the soil.
    pub soil: usize,
    /// The first reach the drop-off, s.
    pub from_s: f64,
    /// The last, s.
    pub to_s: f64,
    /// Pieces.
    pub pieces: f64,
    /// Lots that they come in.
    pub lots: f64,
    /// From one lot to the next, s, where they come by the clock: the first after half of it; or 0.
    pub gap_s: f64,
    /// From leaving the clean stock to reaching the drop-off, s; `None` if never taken from it.
    pub out_s: Option<f64>,
    /// How long it has been on its way from where it was soiled by then, s; the age of what stands there
    /// at the start is not counted.
    pub soiled_s: f64,
}

impl Pulse {
    /// Share of the pulse that has come before a moment, if all of it is moved by `shift_s`.
    #[must_use]
    pub fn come(&self, at_s: f64, shift_s: f64) -> f64 {
        let (from, to) = (self.from_s + shift_s, self.to_s + shift_s);
        if at_s > to {
            1.0
        } else if from < to {
            ((at_s - from) / (to - from)).max(0.0)
        } else {
            0.0
        }
    }
}

/// All that is expected in an evening.
#[must_use]
pub fn pulses(room: &Room) -> Vec<Pulse> {
    let mut all = Vec::new();
    if let Some(guests) = &room.demand.guests {
        seated(room, guests, &mut all);
        for booked in &guests.booked {
            let party = Party {
                seated: booked.at,
                covers: booked.covers,
                dwell: Some(Time::from_s(booked.stays.mean_s)),
            };
            logged_party(room, guests, &party, &mut all);
        }
        for party in &guests.log {
            logged_party(room, guests, party, &mut all);
        }
    }
    let others = &room.demand;
    all.extend(others.streams.iter().map(|stream| Pulse {
        ware: stream.ware,
        soil: stream.soil,
        from_s: stream.from.s(),
        to_s: stream.to.s(),
        pieces: stream.pieces,
        lots: stream.pieces / f64::from(stream.at_a_time),
        gap_s: if stream.even {
            (stream.to - stream.from).s() * f64::from(stream.at_a_time) / stream.pieces
        } else {
            0.0
        },
        out_s: None,
        soiled_s: 0.0,
    }));
    let at = |ware, soil, at_s, pieces, out_s, soiled_s| Pulse {
        ware,
        soil,
        from_s: at_s,
        to_s: at_s,
        pieces: f64::from(pieces),
        lots: 1.0,
        gap_s: 0.0,
        out_s,
        soiled_s,
    };
    let logged = others.log.iter();
    all.extend(logged.map(|row| at(row.ware, row.soil, row.at.s(), row.pieces, None, 0.0)));
    let backlog = others.backlog.iter();
    all.extend(backlog.map(|row| at(row.ware, row.soil, 0.0, row.pieces, Some(0.0), 0.0)));
    all.retain(|pulse| pulse.pieces > 0.0);
    all
}

fn seated(room: &Room, guests: &GuestDemand, all: &mut Vec<Pulse>) {
    let dwells = dwells(guests);
    for seating in &guests.seatings {
        for row in &room.demand.menu {
            for &(dwell_s, share) in &dwells {
                let way = Way::of(room, guests, row, dwell_s);
                all.push(Pulse {
                    ware: row.ware,
                    soil: row.soil,
                    from_s: seating.from.s() + way.seated_s,
                    to_s: seating.to.s() + way.seated_s,
                    pieces: seating.covers * share * row.per_cover,
                    lots: seating.covers * share / guests.mean_size * any_of(row, guests.mean_size),
                    gap_s: 0.0,
                    out_s: Some(way.seated_s - dwell_s * row.laid),
                    soiled_s: way.soiled_s,
                });
            }
        }
    }
}

fn logged_party(room: &Room, guests: &GuestDemand, party: &Party, all: &mut Vec<Pulse>) {
    let dwell_s = party
        .dwell
        .map_or_else(|| mean_dwell_s(guests, party.covers), |dwell| dwell.s());
    for row in &room.demand.menu {
        let way = Way::of(room, guests, row, dwell_s);
        let at_s = party.seated.s() + way.seated_s;
        all.push(Pulse {
            ware: row.ware,
            soil: row.soil,
            from_s: at_s,
            to_s: at_s,
            pieces: f64::from(party.covers) * row.per_cover,
            lots: any_of(row, f64::from(party.covers)),
            gap_s: 0.0,
            out_s: Some(way.seated_s - dwell_s * row.laid),
            soiled_s: way.soiled_s,
        });
    }
}

/// Share of parties of so many covers that have any of a row of the menu.
fn any_of(row: &MenuUse, covers: f64) -> f64 {
    1.0 - libm::pow(1.0 - row.per_cover.min(1.0), covers)
}

/// When a use of ware reaches the drop-off.
struct Way {
    /// After its party sat down, s.
    seated_s: f64,
    /// After it was soiled, s.
    soiled_s: f64,
}

impl Way {
    fn of(room: &Room, guests: &GuestDemand, row: &MenuUse, dwell_s: f64) -> Self {
        let soiled_at_s = dwell_s * row.cleared;
        let seated_s = if guests.style == Style::Cafeteria {
            dwell_s
        } else {
            soiled_at_s + trip_s(room)
        };
        Self {
            seated_s,
            soiled_s: seated_s - soiled_at_s,
        }
    }
}

/// Mean trip from the tables, s.
fn trip_s(room: &Room) -> f64 {
    room.clear_down
        .as_ref()
        .map_or(0.0, |clear| clear.trip.mean_s)
}

/// Mean dwell of a party, s; in a banquet all sit as long as a party of two.
fn mean_dwell_s(guests: &GuestDemand, covers: u32) -> f64 {
    let extra = match guests.style {
        Style::Banquet => 0,
        Style::Table | Style::Cafeteria => covers.saturating_sub(2),
    };
    guests.dwell.mean_s + f64::from(extra) * guests.dwell_per_extra_cover_s
}

/// Mean dwells by party size, s, each with its share of the covers; equal ones together.
#[must_use]
pub fn dwells(guests: &GuestDemand) -> Vec<(f64, f64)> {
    let mut found: Vec<(f64, f64)> = Vec::new();
    let mut below = 0.0;
    for &(covers, up_to) in &guests.sizes {
        let share = f64::from(covers) * (up_to - below) / guests.mean_size;
        below = up_to;
        let dwell_s = mean_dwell_s(guests, covers);
        match found.iter_mut().find(|(known, _)| *known == dwell_s) {
            Some((_, sum)) => *sum += share,
            None => found.push((dwell_s, share)),
        }
    }
    found
}

/// Expected pieces by minute, for each ware and soil.
#[derive(Debug, Clone)]
pub struct Arrivals {
    /// Keys are indices of ware and soil; element m holds the minute that starts m minutes after the
    /// start.
    pub by_kind: BTreeMap<(usize, usize), Vec<f64>>,
    /// Minutes of every element of `by_kind`, at least [`PEAK_MIN`].
    pub minutes: usize,
}

impl Arrivals {
    /// Counts pulses by minute.
    #[must_use]
    pub fn of(pulses: &[Pulse]) -> Self {
        let last_s = pulses.iter().map(|pulse| pulse.to_s).fold(0.0, f64::max);
        let minutes = (minute_of(last_s) + 1).max(PEAK_MIN);
        let mut by_kind = BTreeMap::new();
        for pulse in pulses {
            let bins: &mut Vec<f64> = by_kind
                .entry((pulse.ware, pulse.soil))
                .or_insert_with(|| vec![0.0; minutes]);
            add(bins, pulse);
        }
        Self { by_kind, minutes }
    }

    /// Pieces of all kinds by minute.
    #[must_use]
    pub fn total(&self) -> Vec<f64> {
        let mut total = vec![0.0; self.minutes];
        for bins in self.by_kind.values() {
            for (sum, pieces) in total.iter_mut().zip(bins) {
                *sum += pieces;
            }
        }
        total
    }

    /// The first minute of the busiest stretch of that many minutes (of equal ones the earliest), and
    /// the pieces in it.
    #[must_use]
    pub fn busiest(&self, length: usize) -> (usize, f64) {
        let total = self.total();
        let mut best = (0, 0.0);
        for (first, window) in total.windows(length.clamp(1, self.minutes)).enumerate() {
            let pieces: f64 = window.iter().sum();
            // Sums that differ by rounding alone are equal.
            if pieces > best.1 * (1.0 + 1e-9) {
                best = (first, pieces);
            }
        }
        best
    }
}

/// The minute that a moment lies in.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // not negative, saturates
fn minute_of(at_s: f64) -> usize {
    libm::floor(at_s.max(0.0) / 60.0 + 1e-9) as usize
}

fn add(bins: &mut [f64], pulse: &Pulse) {
    let (first, last) = (minute_of(pulse.from_s), minute_of(pulse.to_s));
    if first == last {
        bins[first] += pulse.pieces;
        return;
    }
    let mut before = 0.0;
    for (minute, bin) in bins.iter_mut().enumerate().take(last + 1).skip(first) {
        let come = if minute == last {
            1.0
        } else {
            pulse.come((minute + 1) as f64 * 60.0, 0.0)
        };
        *bin += pulse.pieces * (come - before);
        before = come;
    }
}

/// The busiest 60 minutes of expected soiled ware: from and to, seconds after midnight of the opening
/// day.
#[must_use]
pub fn peak(room: &Room) -> (f64, f64) {
    let (first, _) = Arrivals::of(&pulses(room)).busiest(PEAK_MIN);
    let from_s = room.hours.start_s + first as f64 * 60.0;
    (from_s, from_s + PEAK_MIN as f64 * 60.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pulse(from_min: f64, to_min: f64, pieces: f64) -> Pulse {
        Pulse {
            ware: 0,
            soil: 0,
            from_s: from_min * 60.0,
            to_s: to_min * 60.0,
            pieces,
            lots: 1.0,
            gap_s: 0.0,
            out_s: None,
            soiled_s: 0.0,
        }
    }

    #[test]
    fn a_step_in_the_rate_puts_the_peak_where_it_is_high() {
        // 2 a minute for two hours, 3 a minute from minute 30 to 90.
        let arrivals = Arrivals::of(&[pulse(0.0, 120.0, 240.0), pulse(30.0, 90.0, 60.0)]);
        let (first, pieces) = arrivals.busiest(60);
        assert_eq!(first, 30);
        assert!((pieces - 180.0).abs() < 1e-9);
    }

    #[test]
    fn of_equal_hours_the_earliest_is_the_peak() {
        let (first, pieces) = Arrivals::of(&[pulse(10.0, 310.0, 300.0)]).busiest(60);
        assert_eq!(first, 10);
        assert!((pieces - 60.0).abs() < 1e-9);
    }

    #[test]
    fn what_comes_at_once_is_in_its_minute_and_nothing_is_lost() {
        let arrivals = Arrivals::of(&[pulse(7.5, 7.5, 12.0), pulse(0.25, 3.75, 7.0)]);
        let total = arrivals.total();
        assert_eq!(total[7], 12.0);
        assert!((total[0] - 1.5).abs() < 1e-9);
        assert!((total[3] - 1.5).abs() < 1e-9);
        assert!((total.iter().sum::<f64>() - 19.0).abs() < 1e-9);
    }
}
