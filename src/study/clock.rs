//! The times of an evening that its charts need.

use super::evening::Clock;
use super::sheet;
use crate::room::Room;
use crate::scenario::Loaded;
use crate::statistics::quantile::quantile;

/// Charts end at the quarter of an hour by which this share of the evenings was over.
const SHOWN: f64 = 0.99;

/// The times of a scenario, with the ends of its evenings, min after the start.
pub(super) fn clock(loaded: &Loaded, room: &Room, ends_min: Vec<f64>) -> Clock {
    let service = &loaded.scenario.service;
    let (peak_from_s, peak_to_s) = sheet::peak(room);
    Clock {
        start_s: room.hours.start_s,
        opens_s: service.opens_s,
        closes_s: service.closes_s,
        peak_from_s,
        peak_to_s,
        shown_to_s: shown_to_s(room.hours.start_s, ends_min),
    }
}

fn shown_to_s(start_s: f64, mut ends_min: Vec<f64>) -> f64 {
    ends_min.sort_by(f64::total_cmp);
    let end_s = start_s + 60.0 * quantile(&ends_min, SHOWN).unwrap_or(0.0);
    900.0 * libm::ceil(end_s / 900.0)
}
