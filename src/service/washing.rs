//! Washing: what a pass through a machine does to a piece, and how long it had waited, dried on or not.

use super::common::Common;
use super::index::PieceId;
use super::pieces::{Flow, Pile};
use super::streams::Purpose;
use crate::physics::drying;
use crate::room::time::Time;

impl Common<'_> {
    /// The pieces of a rack are washed once, each by its dryness and its luck; the rack washes by `factor`.
    pub(super) fn wash_rack(&mut self, pile: &Pile, factor: f64) {
        let now = self.now;
        let mut chances = self.tally.chances_at(now);
        self.count_first_entries(pile);
        let (room, streams) = (self.room, &self.streams);
        let Flow { pieces, lots, .. } = &mut self.flow;
        let mut next = pile.head();
        while let Some(piece) = next {
            let at = &mut pieces[piece];
            let soil = &room.soils[at.soil as usize];
            at.theta = at.theta_at(now);
            at.since = now;
            let dryness = drying::dryness(at.theta, soil.critical_moisture);
            let chance = soil.wash.dirty_probability(dryness, factor);
            let lot = &lots[at.lot];
            let number = u64::from(lot.place_of(piece)) << 16 | u64::from(at.washes);
            at.dirty = streams.uniform(Purpose::Luck, lot.key, number) < chance;
            at.washes = at.washes.saturating_add(1);
            chances.add(chance);
            next = pile.behind(piece, at);
        }
        self.tally.set_chances_at(now, chances);
    }

    /// A line without a machine ends here.
    pub(super) fn pass_unwashed(&mut self, pile: &Pile) {
        self.count_first_entries(pile);
        pile.each(&mut self.flow, |piece| piece.washes = 1);
    }

    /// Counts the pieces that enter a machine for the first time, or, where there is no machine, leave
    /// the soiled side.
    fn count_first_entries(&mut self, pile: &Pile) {
        let (mut first, mut waited_ns) = (0, 0);
        let mut next = pile.head();
        while let Some(piece) = next {
            let at = &self.flow[piece];
            if at.washes == 0 {
                let waited = self.now - at.reached;
                first += 1;
                waited_ns += i128::from(waited.ns());
                let critical = self.room.soils[at.soil as usize].critical_moisture;
                let dried = drying::is_dried_on(at.theta_at(self.now), critical);
                self.tally.first_entry(at.ware as usize, waited, dried);
                self.count_dried_until(piece, self.now);
            }
            next = pile.after(piece, &self.flow);
        }
        self.flow.washed_first(first, waited_ns, self.now);
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
