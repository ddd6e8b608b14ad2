//! Par stock and racks: how much ware is away from the store in the peak if nothing queues.
//!
//! By Little's law what is away on average is the rate of use times the time away: from laid to
//! cleared, the trip, the stages of [`Path`] and the waits for fuller loads. The peak is not steady, so
//! the same is also added up minute by minute along the curve, and the most of it counts against what
//! is owned. Guests who wait for ware, and everything that queues, need more.

use serde::Serialize;

use super::arrivals::{PEAK_MIN, Pulse};
use super::path::Path;
use super::peak::Load;
use crate::room::Room;

/// One ware that is owned in number.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Par {
    /// Name.
    pub ware: String,
    /// Pieces owned.
    pub owned: u32,
    /// Pieces used an hour in the peak.
    pub used_per_hour: f64,
    /// From leaving the store to being back in it, mean, min.
    pub away_min: f64,
    /// Of that, in the dish room, min.
    pub in_room_min: f64,
    /// Away in the peak by Little's law: used an hour times hours away. `None` where nothing is steady:
    /// none is used in the peak, it is away for longer than the peak lasts, or, where a whole room
    /// clears at once, more than is ever away.
    pub away_mean: Option<f64>,
    /// Most away at once, added up along the curve.
    pub away_most: f64,
    /// When, time of day, s.
    pub away_most_at_s: f64,
}

/// Every ware that is owned in number and used by guests.
#[must_use]
pub fn pars(room: &Room, pulses: &[Pulse], load: &Load, path: &Path) -> Vec<Par> {
    let wares = room.wares.iter().enumerate();
    wares
        .filter_map(|(index, ware)| par(room, pulses, load, path, index, ware.owned?))
        .collect()
}

fn par(
    room: &Room,
    pulses: &[Pulse],
    load: &Load,
    path: &Path,
    ware: usize,
    owned: u32,
) -> Option<Par> {
    let through_s = path.through_s(ware, load.passes[ware]);
    let of_stock: Vec<(Pulse, f64)> = pulses
        .iter()
        .filter(|pulse| pulse.ware == ware)
        .filter_map(|pulse| Some((*pulse, pulse.out_s?)))
        .collect();
    let pieces: f64 = of_stock.iter().map(|(pulse, _)| pulse.pieces).sum();
    if pieces <= 0.0 {
        return None;
    }
    let tables_s = of_stock
        .iter()
        .map(|(pulse, out)| pulse.pieces * out)
        .sum::<f64>()
        / pieces;
    // What the kitchen or a stream brings was never in this stock.
    let all: f64 = pulses
        .iter()
        .filter(|p| p.ware == ware)
        .map(|p| p.pieces)
        .sum();
    let used = load.pieces[ware] * pieces / all;
    let away_s = tables_s + through_s;
    let (away_most, at_s) = most_away(&of_stock, through_s);
    let away_mean = used * away_s / 3600.0;
    let is_steady = used > 0.0 && away_s <= PEAK_MIN as f64 * 60.0 && away_mean <= away_most + 1.0;
    Some(Par {
        ware: room.wares[ware].name.clone(),
        owned,
        used_per_hour: used,
        away_min: away_s / 60.0,
        in_room_min: through_s / 60.0,
        away_mean: is_steady.then_some(away_mean),
        away_most,
        away_most_at_s: room.hours.start_s + at_s,
    })
}

/// Most pieces away at any whole minute, and when, s after the start.
fn most_away(of_stock: &[(Pulse, f64)], through_s: f64) -> (f64, f64) {
    let last_s = of_stock
        .iter()
        .map(|(pulse, _)| pulse.to_s)
        .fold(0.0, f64::max);
    let mut most = (0.0, 0.0);
    let mut at_s = 0.0;
    while at_s <= last_s + 60.0 {
        let away: f64 = of_stock
            .iter()
            .map(|(pulse, out_s)| {
                pulse.pieces * (pulse.come(at_s, -out_s) - pulse.come(at_s, through_s))
            })
            .sum();
        if away > most.0 + 1e-9 {
            most = (away, at_s);
        }
        at_s += 60.0;
    }
    most
}

#[cfg(test)]
mod tests {
    use super::*;

    fn even(out_s: f64) -> (Pulse, f64) {
        let pulse = Pulse {
            ware: 0,
            soil: 0,
            from_s: 3600.0,
            to_s: 10_800.0,
            pieces: 240.0,
            lots: 1.0,
            gap_s: 0.0,
            out_s: Some(out_s),
            soiled_s: 0.0,
        };
        (pulse, out_s)
    }

    #[test]
    fn a_steady_use_has_littles_law_out() {
        // 120 an hour for two hours, away 30 + 10 min: 80 pieces.
        let (most, _) = most_away(&[even(1800.0)], 600.0);
        assert!((most - 80.0).abs() < 1e-9);
    }

    #[test]
    fn no_more_can_be_away_than_was_used() {
        let (most, at_s) = most_away(&[even(9000.0)], 3600.0);
        assert!((most - 240.0).abs() < 1e-9);
        // All are laid two hours after the first, and none is back yet.
        assert!((at_s - (3600.0 - 9000.0 + 7200.0)).abs() < 60.1);
    }
}
