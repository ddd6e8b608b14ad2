//! The peak and the whole evening: pieces by ware, racks by kind, passes through the machine.

use serde::Serialize;

use super::arrivals::{PEAK_MIN, Pulse};
use super::sent::{self, Expected};
use crate::room::Room;

/// Something an hour in the peak, and in the whole evening.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Amount {
    /// Of what.
    pub name: String,
    /// In the 60 minutes of the peak.
    pub peak: f64,
    /// In the whole evening.
    pub evening: f64,
}

/// The busiest 60 minutes of expected soiled ware at the dish room, from means.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Peak {
    /// Time of day, s.
    pub from_s: f64,
    /// Time of day, s.
    pub to_s: f64,
    /// Covers whose ware it is: guests' pieces over pieces per cover. `None` where nobody counts covers.
    pub covers: Option<f64>,
    /// Covers of the whole evening.
    pub covers_evening: Option<f64>,
    /// Pieces by ware, each counted once.
    pub wares: Vec<Amount>,
    /// Pieces of all ware.
    pub pieces: f64,
    /// Pieces of all ware in the whole evening.
    pub pieces_evening: f64,
    /// Racks by kind as they are sent, part-full ones included, pieces that go through twice counted twice.
    pub racks: Vec<Amount>,
    /// What makes them so many, by kind.
    pub rack_steps: Vec<RackStep>,
    /// Racks of all kinds.
    pub racks_all: f64,
    /// Racks of all kinds in the whole evening.
    pub racks_all_evening: f64,
    /// Racks of all kinds in the peak if each were full.
    pub racks_if_full: f64,
    /// Racks of all kinds in the whole evening if each were full.
    pub racks_if_full_evening: f64,
    /// Mean passes through the machine a piece: 1/(1 − p·c), p the share dirty after one wash, as dry as
    /// it is by then, c the share of those that inspection catches.
    pub passes: f64,
    /// Pieces in the busiest 15 minutes.
    pub pieces_in_15_min: f64,
}

/// Racks of a kind: when they leave, and how many if each were full.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RackStep {
    /// Name of the kind.
    pub name: String,
    /// Fill from which one leaves.
    pub full_enough: f64,
    /// Or after this long, min.
    pub wait_at_most_min: f64,
    /// In the peak and in the evening, if each were full.
    pub if_full: Amount,
}

/// What each ware and rack kind asks of the room in the peak; the sums behind [`Peak`].
#[derive(Debug, Clone)]
pub struct Load {
    /// Pieces an hour by ware, first time.
    pub pieces: Vec<f64>,
    /// The same with those that come back.
    pub washed: Vec<f64>,
    /// Racks an hour by kind as they are sent, with those that come back.
    pub racks: Vec<f64>,
    /// The same if each were full.
    pub full_racks: Vec<f64>,
    /// Passes a piece by ware.
    pub passes: Vec<f64>,
    /// Whether it goes to machines, by ware, rather than to the pot sink.
    pub to_machines: Vec<bool>,
}

impl Load {
    /// Of the peak.
    #[must_use]
    pub fn of(expected: &Expected<'_>) -> Self {
        let first = expected.first;
        Self::between(
            expected,
            first as f64 * 60.0,
            (first + PEAK_MIN) as f64 * 60.0,
        )
    }

    /// An hour's worth of what comes between two moments, s after the start; both are whole minutes.
    #[must_use]
    pub fn an_hour(expected: &Expected<'_>, from_s: f64, to_s: f64) -> Self {
        let mut load = Self::between(expected, from_s, to_s);
        let hours = (to_s - from_s) / 3600.0;
        for all in [
            &mut load.pieces,
            &mut load.washed,
            &mut load.racks,
            &mut load.full_racks,
        ] {
            all.iter_mut().for_each(|some| *some /= hours);
        }
        load
    }

    /// A mean hour of those in which ware comes.
    #[must_use]
    pub fn typical(expected: &Expected<'_>) -> Self {
        let total = expected.arrivals.total();
        let comes = |minute: &usize| total[*minute] > 0.0;
        let first = (0..total.len()).find(comes).unwrap_or(0);
        let last = (0..total.len()).rev().find(comes).unwrap_or(PEAK_MIN);
        Self::an_hour(expected, 60.0 * first as f64, 60.0 * (last + 1) as f64)
    }

    /// Of the whole evening, all its pieces and racks, in stretches that the peak is one of.
    #[must_use]
    pub fn evening(expected: &Expected<'_>) -> Self {
        let stretch_s = 60.0 * sent::STRETCH_MIN as f64;
        let first_s = 60.0 * (expected.first % sent::STRETCH_MIN) as f64 - stretch_s;
        Self::between(expected, first_s, 60.0 * expected.arrivals.minutes as f64)
    }

    fn between(expected: &Expected<'_>, from_s: f64, to_s: f64) -> Self {
        let room = expected.room;
        let minute = |at_s: f64| (at_s / 60.0).max(0.0) as usize;
        let mut pieces = vec![0.0; room.wares.len()];
        let mut washed = pieces.clone();
        for (&(ware, soil), bins) in &expected.arrivals.by_kind {
            let some = &bins[minute(from_s).min(bins.len())..minute(to_s).min(bins.len())];
            let some: f64 = some.iter().sum();
            pieces[ware] += some;
            washed[ware] += some * expected.passes.of(ware, soil);
        }
        let mut full_racks = vec![0.0; room.rack_kinds.len()];
        for (ware, washed) in room.wares.iter().zip(&washed) {
            let kind = room.rack_kinds.get(ware.rack_kind);
            if let Some(kind) = kind.filter(|_| room.loading.is_some()) {
                full_racks[ware.rack_kind] += washed * ware.rack_share / kind.fill;
            }
        }
        let passes = pieces.iter().zip(&washed);
        Self {
            passes: passes
                .map(|(some, washed)| if *some > 0.0 { washed / some } else { 1.0 })
                .collect(),
            to_machines: room.wares.iter().map(|ware| !ware.at_pot_sink).collect(),
            racks: sent::racks(expected, from_s, to_s),
            full_racks,
            pieces,
            washed,
        }
    }

    /// Pieces an hour with those that come back.
    #[must_use]
    pub fn washed_all(&self) -> f64 {
        self.washed.iter().sum()
    }

    /// Racks an hour of all kinds.
    #[must_use]
    pub fn racks_all(&self) -> f64 {
        // From 0.0: the sum of no floats is -0.0.
        self.racks.iter().fold(0.0, |sum, racks| sum + racks)
    }

    /// Sum over wares of washed pieces per hour times a figure of the ware.
    #[must_use]
    pub fn washed_times(&self, figure: impl Fn(usize) -> f64) -> f64 {
        let washed = self.washed.iter().enumerate();
        washed.map(|(ware, washed)| washed * figure(ware)).sum()
    }
}

impl Peak {
    pub(super) fn of(expected: &Expected<'_>, load: &Load, evening: &Load) -> Self {
        let Expected {
            room,
            pulses,
            arrivals,
            first,
            ..
        } = *expected;
        let from_s = room.hours.start_s + first as f64 * 60.0;
        let pieces: f64 = load.pieces.iter().sum();
        let washed = load.washed_all();
        let guests = room.demand.guests.is_some();
        Self {
            from_s,
            to_s: from_s + PEAK_MIN as f64 * 60.0,
            covers: guests.then(|| covers_in(room, pulses, first)).flatten(),
            covers_evening: covers_of_evening(room),
            wares: amounts(
                room.wares.iter().map(|w| &w.name),
                &load.pieces,
                &evening.pieces,
            ),
            pieces,
            pieces_evening: evening.pieces.iter().sum(),
            racks: amounts(
                room.rack_kinds.iter().map(|k| &k.name),
                &load.racks,
                &evening.racks,
            ),
            rack_steps: rack_steps(room, load, evening),
            racks_all: load.racks_all(),
            racks_all_evening: evening.racks_all(),
            racks_if_full: load.full_racks.iter().sum(),
            racks_if_full_evening: evening.full_racks.iter().sum(),
            passes: if pieces > 0.0 { washed / pieces } else { 1.0 },
            pieces_in_15_min: arrivals.busiest(15).1,
        }
    }
}

fn rack_steps(room: &Room, load: &Load, evening: &Load) -> Vec<RackStep> {
    let names = room.rack_kinds.iter().map(|kind| &kind.name);
    let if_full = amounts(names, &load.full_racks, &evening.full_racks);
    let kinds = room.rack_kinds.iter().zip(if_full);
    kinds
        .map(|(kind, if_full)| RackStep {
            name: kind.name.clone(),
            full_enough: kind.enough,
            wait_at_most_min: kind.wait_at_most.min(),
            if_full,
        })
        .collect()
}

fn amounts<'a>(
    names: impl Iterator<Item = &'a String>,
    peak: &[f64],
    evening: &[f64],
) -> Vec<Amount> {
    let figures = peak.iter().zip(evening);
    names
        .zip(figures)
        .map(|(name, (peak, evening))| Amount {
            name: name.clone(),
            peak: *peak,
            evening: *evening,
        })
        .collect()
}

fn covers_of_evening(room: &Room) -> Option<f64> {
    let guests = room.demand.guests.as_ref()?;
    let seated: f64 = guests.seatings.iter().map(|seating| seating.covers).sum();
    let logged: f64 = guests.log.iter().map(|party| f64::from(party.covers)).sum();
    let booked = guests.booked.iter().map(|party| f64::from(party.covers));
    Some(seated + logged + booked.sum::<f64>())
}

/// Guests' pieces in the hour over pieces per cover.
fn covers_in(room: &Room, pulses: &[Pulse], first: usize) -> Option<f64> {
    let a_cover: f64 = room.demand.menu.iter().map(|row| row.per_cover).sum();
    let (from_s, to_s) = (first as f64 * 60.0, (first + PEAK_MIN) as f64 * 60.0);
    // What stood there at the start belongs to no cover of this evening.
    let guests = pulses
        .iter()
        .filter(|pulse| pulse.out_s.is_some_and(|out_s| out_s > 0.0));
    let pieces: f64 = guests
        .map(|pulse| pulse.pieces * (pulse.come(to_s, 0.0) - pulse.come(from_s, 0.0)))
        .sum();
    (a_cover > 0.0).then(|| pieces / a_cover)
}
