//! Clean ware is carried to the store, batch by batch; only there is it clean stock again.

use super::Service;
use super::crew::Job;
use super::diary::Happening;
use super::pieces::{Loose, Zone};
use crate::room::plan::Spot;
use crate::scenario::model::Duty;

impl Service<'_> {
    /// A clean piece waits to be put away; where nobody puts away it is in the store at once.
    pub(super) fn join_clean(&mut self, piece: Loose) {
        if self.room.put_away.is_none() {
            self.store(&piece);
            return;
        }
        let (flow, events) = (&mut self.flow, &mut self.events);
        self.to_put_away.join(flow, events, piece, self.now);
    }

    fn store(&mut self, piece: &Loose) {
        let at = &self.flow[piece.piece()];
        let (ware, lot) = (at.ware as usize, at.lot as usize);
        self.flow.leaves(piece);
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
        self.to_put_away.is_due(&self.flow, self.now)
    }

    /// Takes up a batch.
    pub(super) fn take_to_store(&mut self) -> Job {
        let put_away = self.room.put_away.as_ref();
        let batch = put_away.map_or(1, |put_away| put_away.batch);
        let (flow, events) = (&mut self.flow, &mut self.events);
        let line = &mut self.to_put_away;
        let hand = line.take_up(flow, events, batch, Zone::PuttingAway, self.now);
        let wares = hand.iter(&self.flow).map(|piece| self.flow[piece].ware);
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
        while let Some(piece) = job.hand.take(&self.flow) {
            self.store(&piece);
        }
    }
}
