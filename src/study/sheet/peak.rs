//! The peak and the whole evening: pieces by ware, racks by kind, passes through the machine.

use serde::Serialize;

use super::arrivals::{Arrivals, PEAK_MIN, Pulse};
use crate::physics::washing;
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
    /// Racks by kind, filled as loaded, pieces that go through twice counted twice.
    pub racks: Vec<Amount>,
    /// Racks of all kinds.
    pub racks_all: f64,
    /// Racks of all kinds in the whole evening.
    pub racks_all_evening: f64,
    /// Racks of all kinds in the peak if each leaves as soon as it may, part-full.
    pub racks_part_full: f64,
    /// Mean passes through the machine a piece: 1/(1 − p·c), p the share dirty after one wash while
    /// fresh, c the share of those that inspection catches.
    pub passes: f64,
    /// Pieces in the busiest 15 minutes.
    pub pieces_in_15_min: f64,
}

/// What each ware and rack kind asks of the room in the peak; the sums behind [`Peak`].
#[derive(Debug, Clone)]
pub struct Load {
    /// Pieces an hour by ware, first time.
    pub pieces: Vec<f64>,
    /// The same with those that come back.
    pub washed: Vec<f64>,
    /// Racks an hour by kind, with those that come back.
    pub racks: Vec<f64>,
    /// Passes a piece by ware.
    pub passes: Vec<f64>,
}

impl Load {
    /// Of the 60 minutes from a minute on.
    #[must_use]
    pub fn of(room: &Room, arrivals: &Arrivals, first: usize) -> Self {
        let sum = |bins: &Vec<f64>| bins[first..first + PEAK_MIN].iter().sum();
        Self::summed(room, arrivals, sum)
    }

    /// Of the whole evening, all its pieces and racks.
    #[must_use]
    pub fn evening(room: &Room, arrivals: &Arrivals) -> Self {
        Self::summed(room, arrivals, |bins| bins.iter().sum())
    }

    fn summed(room: &Room, arrivals: &Arrivals, sum: impl Fn(&Vec<f64>) -> f64) -> Self {
        let mut pieces = vec![0.0; room.wares.len()];
        let mut washed = pieces.clone();
        for (&(ware, soil), bins) in &arrivals.by_kind {
            let some = sum(bins);
            pieces[ware] += some;
            washed[ware] += some * passes(room, ware, soil);
        }
        let mut racks = vec![0.0; room.rack_kinds.len()];
        for (ware, washed) in room.wares.iter().zip(&washed) {
            if let Some(kind) = room.rack_kinds.get(ware.rack_kind).filter(|_| racked(room)) {
                racks[ware.rack_kind] += washed * ware.rack_share / kind.fill;
            }
        }
        let passes = pieces.iter().zip(&washed);
        Self {
            passes: passes
                .map(|(some, washed)| if *some > 0.0 { washed / some } else { 1.0 })
                .collect(),
            pieces,
            washed,
            racks,
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

    /// Washed pieces per hour of a rack kind.
    #[must_use]
    pub fn washed_in(&self, room: &Room, kind: usize) -> f64 {
        let wares = room.wares.iter().zip(&self.washed);
        wares
            .filter(|(ware, _)| ware.rack_kind == kind)
            .map(|(_, washed)| washed)
            .sum()
    }

    /// Sum over wares of washed pieces per hour times a figure of the ware.
    #[must_use]
    pub fn washed_times(&self, figure: impl Fn(usize) -> f64) -> f64 {
        let washed = self.washed.iter().enumerate();
        washed.map(|(ware, washed)| washed * figure(ware)).sum()
    }
}

fn racked(room: &Room) -> bool {
    room.loading.is_some()
}

/// Mean passes of a piece through the machine while its soil is fresh.
#[must_use]
pub fn passes(room: &Room, ware: usize, soil: usize) -> f64 {
    let Some(catches) = room.inspect_catches.filter(|_| !room.machines.is_empty()) else {
        return 1.0;
    };
    let fill = room
        .rack_kinds
        .get(room.wares[ware].rack_kind)
        .map_or(1.0, |kind| kind.fill);
    let factors = room.machines.iter().map(|machine| machine.wash_factor);
    let factor = factors.sum::<f64>() / room.machines.len() as f64;
    let dirty = room.soils[soil]
        .wash
        .dirty_probability(0.0, factor * washing::loading_factor(fill));
    // A piece that is never clean would go round for ever: the figure stops at a thousand.
    1.0 / (1.0 - dirty * catches).max(1e-3)
}

impl Peak {
    pub(super) fn of(
        room: &Room,
        pulses: &[Pulse],
        arrivals: &Arrivals,
        first: usize,
        load: &Load,
    ) -> Self {
        let evening = Load::evening(room, arrivals);
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
            racks_all: load.racks_all(),
            racks_all_evening: evening.racks_all(),
            racks_part_full: racks_part_full(room, load),
            passes: if pieces > 0.0 { washed / pieces } else { 1.0 },
            pieces_in_15_min: arrivals.busiest(15).1,
        }
    }
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
    Some(seated + logged)
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

/// Racks an hour if each leaves as soon as it may: at `full_enough`, or after `wait_at_most` with what
/// came by then, but never with less than a piece.
fn racks_part_full(room: &Room, load: &Load) -> f64 {
    let kinds = room.rack_kinds.iter().zip(&load.racks).enumerate();
    kinds
        .map(|(index, (kind, full_racks))| {
            let rated_full = full_racks * kind.fill;
            let piece = rated_full / load.washed_in(room, index).max(f64::MIN_POSITIVE);
            let by_wait = rated_full * kind.wait_at_most.h();
            rated_full / kind.enough.min(by_wait).max(piece).max(1e-6)
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::washing::Wash;
    use crate::scenario::load;

    #[test]
    fn passes_are_those_of_a_loop() {
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        let loaded = load(&file.join("tests/rooms/line.toml")).unwrap();
        let mut room = Room::of(&loaded.scenario);
        assert_eq!(passes(&room, 0, 0), 1.0);
        // Share dirty after a wash, share of it caught, washes a piece: 1/(1 − p·c).
        for (dirty, catches, by_hand) in [
            (0.05, 0.9, 1.047_120),
            (0.2, 0.9, 1.219_512),
            (0.5, 0.95, 1.904_762),
        ] {
            room.inspect_catches = Some(catches);
            room.soils[0].wash = Wash::new(dirty, 0.6);
            assert!((passes(&room, 0, 0) - by_hand).abs() < 1e-6);
        }
    }
}
