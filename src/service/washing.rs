//! Washing: what a pass through a machine does to a piece, and how long it had waited, dried on or not.

use super::common::Common;
use super::index::PieceId;
use super::pieces::Flow;
use super::streams::Purpose;
use crate::physics::drying;
use crate::room::time::Time;

impl Common<'_> {
    /// A piece is washed once, in a rack that washes by `factor`.
    pub(super) fn wash(&mut self, piece: PieceId, factor: f64) {
        self.first_wash_or_none(piece);
        let now = self.now;
        let Flow { pieces, lots, .. } = &mut self.flow;
        let at = &mut pieces[piece];
        let soil = &self.room.soils[at.soil as usize];
        at.theta = at.theta_at(now);
        at.since = now;
        let dryness = drying::dryness(at.theta, soil.critical_moisture);
        let chance = soil.wash.dirty_probability(dryness, factor);
        let lot = &lots[at.lot];
        let number = u64::from(lot.place_of(piece)) << 16 | u64::from(at.washes);
        let drawn = self.streams.uniform(Purpose::Luck, lot.key, number);
        at.dirty = drawn < chance;
        at.washes = at.washes.saturating_add(1);
        self.tally.chance_of_rewash(now, chance);
    }

    /// Counts a piece that enters a machine for the first time, or, where there is no machine, leaves
    /// the soiled side.
    pub(super) fn first_wash_or_none(&mut self, piece: PieceId) {
        let Some(waited) = self.flow.first_wash(piece, self.now) else {
            return;
        };
        self.count_dried_until(piece, self.now);
        let at = &self.flow[piece];
        let critical = self.room.soils[at.soil as usize].critical_moisture;
        let dried = drying::is_dried_on(at.theta_at(self.now), critical);
        self.tally.first_entry(at.ware as usize, waited, dried);
    }

    /// Adds to the minutes in which a piece waited dried on for the first time, up to `until`.
    pub(super) fn count_dried_until(&mut self, piece: PieceId, until: Time) {
        let at = &self.flow[piece];
        if at.washes > 0 || at.drying_per_s <= 0.0 {
            return;
        }
        let critical = self.room.soils[at.soil as usize].critical_moisture;
        let left = 1.0 - critical - at.theta;
        let after_s = left / at.drying_per_s;
        // Most are washed long before; a second more is beyond any rounding.
        if after_s > (until - at.since).s() + 1.0 {
            return;
        }
        let dried = at.since + Time::from_s(after_s);
        self.tally
            .dried_between(dried.max(at.since).max(at.reached), until);
    }
}
