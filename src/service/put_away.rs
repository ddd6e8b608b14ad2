//! Clean ware is carried to the store, batch by batch; only there is it clean stock again.

use super::Service;
use super::crew::Job;
use super::diary::Happening;
use super::part_loads::PartLoad;
use super::pieces::Zone;
use crate::room::plan::Spot;
use crate::scenario::model::Duty;

impl Service<'_> {
    /// A clean piece waits to be put away; where nobody puts away it is in the store at once.
    pub(super) fn join_clean(&mut self, piece: u32) {
        if self.room.put_away.is_none() {
            self.store(piece, Zone::ToPutAway);
            return;
        }
        self.pieces[piece as usize].joined = self.now;
        self.to_put_away.push(&mut self.pieces, piece);
        self.tally.line_grows(Duty::PutAway, 1, self.now);
        self.part_load_joined(PartLoad::Carry, 1);
    }

    fn store(&mut self, piece: u32, from: Zone) {
        let at = &self.pieces[piece as usize];
        let (ware, lot) = (at.ware as usize, at.lot as usize);
        self.census.moved(1, from, Zone::Out);
        // Ware of other streams than the guests' (and what stood there) was never in the stock.
        if self.dining.lots[lot].from_stock {
            self.restock(ware, 1);
        }
    }

    /// Whether a batch can be carried now, people apart.
    pub(super) fn put_away_ready(&self) -> bool {
        let places = self.room.put_away.as_ref().map_or(0, |bench| bench.places);
        self.crew.at_work(Duty::PutAway) < places && self.put_away_due()
    }

    /// Whether a carry's load waits, or what waits has waited long enough.
    pub(super) fn put_away_due(&self) -> bool {
        let waiting = &self.to_put_away;
        self.room.put_away.as_ref().is_some_and(|put_away| {
            waiting.len() >= put_away.batch
                || self.head_waited(waiting, put_away.wait_at_most)
                || (!waiting.is_empty() && self.census.before(Zone::ToPutAway) == 0)
        })
    }

    /// Takes up a batch.
    pub(super) fn take_to_store(&mut self) -> Job {
        let put_away = self.room.put_away.as_ref();
        let batch = put_away.map_or(1, |put_away| put_away.batch);
        let mut waiting = self.to_put_away;
        let hand = self.take_up(&mut waiting, batch, Duty::PutAway);
        self.to_put_away = waiting;
        self.census
            .moved(hand.len(), Zone::ToPutAway, Zone::PuttingAway);
        self.part_load_taken(PartLoad::Carry);
        let wares = hand
            .iter(&self.pieces)
            .map(|piece| self.pieces[piece as usize].ware);
        let more_s = wares
            .map(|ware| self.room.wares[ware as usize].put_away_s)
            .sum();
        Job {
            hand,
            more_s,
            spot: Spot::of_duty(Duty::PutAway),
            ..Job::default()
        }
    }

    /// A batch is in the store.
    pub(super) fn stored(&mut self, mut job: Job) {
        self.note(Happening::Stored {
            pieces: job.hand.len(),
        });
        while let Some(piece) = job.hand.pop(&self.pieces) {
            self.store(piece, Zone::PuttingAway);
        }
    }
}
