//! Clean ware is carried to the store, batch by batch; only there is it clean stock again.

use super::common::Common;
use super::diary::Happening;
use super::events::LongestWait;
use super::job::{Job, Next};
use super::line::{Batch, Line};
use super::pieces::{Pile, Zone};
use super::stock::Stock;
use crate::room::Room;
use crate::scenario::model::Duty;

/// What is on its way to the store, and what is in it.
#[derive(Debug)]
pub(super) struct CleanSide {
    pub to_put_away: Line,
    pub stock: Stock,
}

impl CleanSide {
    pub fn new(room: &Room) -> Self {
        let batch = room.put_away.as_ref().map(|put_away| Batch {
            clock: LongestWait::CARRY,
            enough: u64::from(put_away.batch),
            wait_at_most: put_away.wait_at_most,
        });
        Self {
            to_put_away: Line::new(Duty::PutAway, Zone::ToPutAway, batch),
            stock: Stock::new(room),
        }
    }

    pub fn begin(&mut self, common: &mut Common<'_>) {
        self.to_put_away.begin();
        self.stock.begin(common);
    }

    /// Clean pieces wait to be put away; where nobody puts away they are in the store at once.
    pub(super) fn join_clean(&mut self, common: &mut Common<'_>, pile: Pile) {
        if common.room.put_away.is_none() {
            return self.store(common, pile);
        }
        let (flow, events) = (&mut common.flow, &mut common.events);
        self.to_put_away.join(flow, events, pile, common.now);
    }

    fn store(&mut self, common: &mut Common<'_>, mut pile: Pile) {
        common.flow.leave(&pile);
        while let Some(run) = pile.take_run(&mut common.flow) {
            let Some(first) = run.head() else {
                return;
            };
            let at = &common.flow[first];
            let (ware, lot) = (at.ware as usize, at.lot);
            // Ware of other streams than the guests' (and what stood there) was never in the stock.
            if common.flow.lots[lot].from_stock {
                self.stock.restock(common, ware, run.len());
            }
        }
    }

    pub(super) fn next_to_store(&self, common: &Common<'_>) -> Next {
        if self.to_put_away.is_due(&common.flow, common.now) {
            Next::Ready
        } else {
            Next::Nothing
        }
    }

    /// Takes up a batch.
    pub(super) fn take_to_store(&mut self, common: &mut Common<'_>) -> Job {
        let put_away = common.room.put_away.as_ref();
        let batch = put_away.map_or(1, |put_away| put_away.batch);
        let (flow, events) = (&mut common.flow, &mut common.events);
        let line = &mut self.to_put_away;
        let hand = line.take_up(flow, events, batch, common.now);
        let hand = hand.moved_to(flow, Zone::PuttingAway);
        let wares = &common.room.wares;
        let more_s = hand.sum(flow, |run| wares[run.ware as usize].put_away_s);
        Job {
            hand,
            more_s,
            ..Job::default()
        }
    }

    /// A batch is in the store.
    pub(super) fn stored(&mut self, common: &mut Common<'_>, job: Job) {
        common.note(Happening::Stored {
            pieces: job.hand.len(),
        });
        self.store(common, job.hand);
    }
}
