//! Clean ware is carried to the store, batch by batch; only there is it clean stock again.

use super::Service;
use super::crew::Job;
use super::diary::Happening;
use super::obstacle::Obstacle;
use super::pieces::{Loose, Zone};
use super::station::{Next, Station, Unit};
use crate::room::plan::Spot;
use crate::scenario::model::Duty;

pub(super) const STATION: Station = Station {
    unit_time: |room| room.put_away.as_ref().map(|put_away| &put_away.per_unit),
    in_hand: Some(Zone::PuttingAway),
    ..Station::new(
        Duty::PutAway,
        Unit::Pieces,
        |service, _| service.next_to_store(),
        |service, _| service.take_to_store(),
        |service, _, job| service.stored(job),
    )
};

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

    fn next_to_store(&self) -> Next {
        let places = self.room.put_away.as_ref().map_or(0, |bench| bench.places);
        if !self.to_put_away.is_due(&self.flow, self.now) {
            Next::Nothing
        } else if self.has_place(Duty::PutAway, places) {
            Next::Ready(Spot::of_duty(Duty::PutAway))
        } else {
            Next::Waits(Obstacle::Place)
        }
    }

    /// Takes up a batch.
    fn take_to_store(&mut self) -> Job {
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
    fn stored(&mut self, mut job: Job) {
        self.note(Happening::Stored {
            pieces: job.hand.len(),
        });
        while let Some(piece) = job.hand.take(&self.flow) {
            self.store(&piece);
        }
    }
}
