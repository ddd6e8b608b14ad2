//! Washing: what a pass through a machine does to a piece, and how long it had waited, dried on or not.

use super::common::Common;
use super::index::RunId;
use super::pieces::{Flow, Piece, Pile};
use super::streams::Purpose;
use super::tally::FirstEntries;
use crate::physics::drying;
use crate::room::time::Time;

impl Common<'_> {
    /// The pieces of a rack are washed once, each by its dryness and its luck; the rack washes by `factor`.
    pub(super) fn wash_rack(&mut self, pile: &Pile, factor: f64) {
        self.count_first_entries(pile);
        let (now, room, streams) = (self.now, self.room, &self.streams);
        let mut chances = self.tally.chances_at(now);
        let Flow {
            pieces, runs, lots, ..
        } = &mut self.flow;
        let mut next = pile.head();
        while let Some(run) = next {
            let at = &mut runs[run];
            next = pile.behind(run, at);
            let (soil, lot) = (&room.soils[at.soil as usize], &lots[at.lot]);
            let (dried_s, first) = (at.dried_s(now), lot.place_of(at.first));
            at.since = now;
            at.washed = true;
            for (place, piece) in (first..).zip(&mut pieces[at.range()]) {
                piece.theta = piece.theta_after(dried_s);
                let dryness = drying::dryness(piece.theta, soil.critical_moisture);
                let chance = soil.wash.dirty_probability(dryness, factor);
                let number = u64::from(place) << 16 | u64::from(piece.washes);
                piece.dirty = streams.uniform(Purpose::Luck, lot.key, number) < chance;
                piece.washes = piece.washes.saturating_add(1);
                chances.add(chance);
            }
        }
        self.tally.set_chances_at(now, chances);
    }

    /// A line without a machine ends here.
    pub(super) fn pass_unwashed(&mut self, pile: &Pile) {
        self.count_first_entries(pile);
        pile.each(&mut self.flow, |run, pieces| {
            run.washed = true;
            pieces.iter_mut().for_each(|piece| piece.washes = 1);
        });
    }

    /// Pieces are scrubbed at the pot sink until they are clean.
    pub(super) fn wash_by_hand(&mut self, pile: &Pile) {
        self.count_first_entries(pile);
        pile.each(&mut self.flow, |run, pieces| {
            (run.washed, run.by_hand) = (true, true);
            for piece in pieces {
                (piece.dirty, piece.washes) = (false, 1);
            }
        });
    }

    /// Counts the pieces that enter a machine for the first time, are taken up at the pot sink, or, where there is no machine, leave
    /// the soiled side.
    fn count_first_entries(&mut self, pile: &Pile) {
        self.count_dried_until(pile, self.now);
        let (mut first, mut waited_ns) = (0, 0);
        for run in pile.runs(&self.flow).filter(|run| !run.washed) {
            let waited = self.now - run.reached;
            first += run.count;
            waited_ns += i128::from(waited.ns()) * i128::from(run.count);
            let critical = self.room.soils[run.soil as usize].critical_moisture;
            let dried_s = run.dried_s(self.now);
            let pieces = &self.flow.pieces[run.range()];
            let is_dried = |at: &&Piece| drying::is_dried_on(at.theta_after(dried_s), critical);
            let entered = FirstEntries {
                count: run.count,
                wait: waited - run.soaked_for,
                soak: run.soaked_for,
                dried: pieces.iter().filter(is_dried).count() as u64,
            };
            self.tally.first_entries(run.ware as usize, entered);
        }
        self.flow.washed_first(first, waited_ns, self.now);
    }

    /// Ware is put where a film dries so much faster or slower than in the open: how dry it is by now is worked out.
    pub(super) fn dries_at(&mut self, pile: &Pile, drying: f64) {
        let mut next = pile.head();
        while let Some(run) = next {
            next = pile.behind(run, &self.flow[run]);
            if self.flow[run].drying != drying {
                self.count_run_dried_until(run, self.now);
                let Flow { pieces, runs, .. } = &mut self.flow;
                let at = &mut runs[run];
                let dried_s = at.dried_s(self.now);
                for piece in &mut pieces[at.range()] {
                    piece.theta = piece.theta_after(dried_s);
                }
                (at.since, at.drying) = (self.now, drying);
            }
        }
    }

    /// Adds to the minutes in which pieces waited dried on for the first time, up to `until`.
    pub(super) fn count_dried_until(&mut self, pile: &Pile, until: Time) {
        let mut next = pile.head();
        while let Some(run) = next {
            self.count_run_dried_until(run, until);
            next = pile.behind(run, &self.flow[run]);
        }
    }

    /// The same for the pieces of a run.
    pub(super) fn count_run_dried_until(&mut self, run: RunId, until: Time) {
        let at = &self.flow.runs[run];
        if at.washed {
            return;
        }
        let joint = 1.0 - self.room.soils[at.soil as usize].critical_moisture;
        // Most are washed long before they dry on; a second more is beyond any rounding.
        let at_most_s = (until - at.since).s() + 1.0;
        for piece in &self.flow.pieces[at.range()] {
            let left = joint - piece.theta;
            let rate_per_s = piece.drying_per_s * at.drying;
            if left > at_most_s * rate_per_s || rate_per_s <= 0.0 {
                continue;
            }
            let dried = at.since + Time::from_s(left / rate_per_s);
            self.tally
                .dried_between(dried.max(at.since).max(at.reached), until);
        }
    }
}
