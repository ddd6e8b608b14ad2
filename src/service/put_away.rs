//! Clean ware is carried to the store, batch by batch; only there is it clean stock again.

use super::common::Common;
use super::diary::Happening;
use super::events::LongestWait;
use super::index::{LotId, RackId};
use super::job::{Job, Next};
use super::line::{Batch, Line};
use super::loading::Racking;
use super::pieces::{Pile, Run, Zone};
use super::stock::Stock;
use super::work::{Comes, Full, PartFull, Places, Seconds, Work};
use crate::room::Room;
use crate::room::ware::Ware;
use crate::scenario::model::Duty;

pub(super) const WORK: Work = Work {
    places: Places::People(|room| room.put_away.as_ref().map_or(0, |put_away| put_away.places)),
    full: Full::Pieces(|room| room.put_away.as_ref().map_or(1, |put_away| put_away.batch)),
    part_full: |room| {
        room.put_away.as_ref().map(|put_away| PartFull {
            enough: put_away.batch,
            wait_at_most: put_away.wait_at_most,
        })
    },
    unit_time: |room| room.put_away.as_ref().map(|put_away| &put_away.per_unit),
    seconds: &[Seconds::OfWare(piece_s)],
    ..Work::new(Comes::Clean)
};

const fn piece_s(ware: &Ware) -> f64 {
    ware.put_away_s
}

/// What is on its way to the store, and what is in it.
#[derive(Debug)]
pub(super) struct CleanSide {
    pub to_put_away: Line,
    pub stock: Stock,
    /// Pieces that wait to be put away, by ware.
    lying: Vec<u32>,
    /// Those of them that wait on the drainboard of the pot sink.
    pub on_drainboard: u32,
}

impl CleanSide {
    pub fn new(room: &Room) -> Self {
        let batch = (WORK.part_full)(room).map(|part| Batch {
            clock: LongestWait::CARRY,
            enough: u64::from(part.enough),
            wait_at_most: part.wait_at_most,
        });
        Self {
            to_put_away: Line::new(Duty::PutAway, Zone::ToPutAway, batch),
            stock: Stock::new(room),
            lying: vec![0; room.wares.len()],
            on_drainboard: 0,
        }
    }

    pub fn begin(&mut self, common: &mut Common<'_>) {
        self.to_put_away.begin();
        self.lying.fill(0);
        self.on_drainboard = 0;
        self.stock.begin(common);
    }

    /// A lot wants its ware. Where there is too little, what lies clean but not put away is counted with the covers that
    /// wait.
    pub(super) fn laid(&mut self, common: &mut Common<'_>, lot: LotId) {
        let ware = common.flow.lots[lot].ware;
        let before = common.tally.wares[ware].short_covers;
        self.stock.laid(common, lot);
        let tally = &mut common.tally.wares[ware];
        tally.lying_when_short += u64::from(self.lying[ware]) * (tally.short_covers - before);
    }

    /// Clean ware is brought: it is put away like what was washed.
    pub(super) fn brought(&mut self, common: &mut Common<'_>, lot: LotId) {
        let pile = common.flow.take_lot(lot);
        common.note(Happening::Brought { pieces: pile.len() });
        self.join_clean(common, pile);
    }

    /// Clean pieces wait to be put away; where nobody puts away they are in the store at once.
    pub(super) fn join_clean(&mut self, common: &mut Common<'_>, pile: Pile) {
        if common.room.put_away.is_none() {
            return self.store(common, pile);
        }
        let (flow, events) = (&mut common.flow, &mut common.events);
        pile.each(flow, |run, _| {
            self.lying[run.ware as usize] += run.count;
            self.on_drainboard += if run.by_hand { run.count } else { 0 };
        });
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

    /// A rack stands in the store with these clean pieces. Whether it stays until guests have used them: those that were
    /// never in the stock go on without it.
    pub(super) fn store_in_rack(
        &mut self,
        common: &mut Common<'_>,
        rack: RackId,
        pile: Pile,
    ) -> bool {
        common.flow.leave(&pile);
        let mut stays = false;
        for run in pile.runs(&common.flow) {
            if common.flow.lots[run.lot].from_stock {
                let ware = run.ware as usize;
                stays |= self.stock.put_rack(ware, rack, run.count);
            }
        }
        let mut pile = pile;
        while let Some(run) = pile.take_run(&mut common.flow) {
            let Some(first) = run.head() else {
                break;
            };
            let at = &common.flow[first];
            let (ware, lot) = (at.ware as usize, at.lot);
            if common.flow.lots[lot].from_stock {
                self.stock.restock(common, ware, run.len());
            }
        }
        stays
    }

    /// As the dish room starts, what is owned stands in racks of those kinds that are stored so, as far as they go.
    pub(super) fn stand_in_racks(&mut self, common: &mut Common<'_>, racking: &mut Racking) {
        for (ware, of) in common.room.wares.iter().enumerate() {
            if !of.stored_in_rack {
                continue;
            }
            let mut left = self.stock.clean[ware].unwrap_or(0);
            while left > 0 {
                let Some((rack, fits)) = racking.to_stand_in_store(common, ware) else {
                    break;
                };
                let pieces = fits.min(left);
                self.stock.put_rack(ware, rack, pieces);
                left -= pieces;
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

    /// Whether guests wait for ware that lies here.
    pub(super) fn is_wanted(&self) -> bool {
        let mut wares = self.stock.short.iter().zip(&self.lying);
        wares.any(|(short, lying)| !short.is_empty() && *lying > 0)
    }

    /// Whether guests wait for more of a ware than lies clean already.
    pub(super) fn is_missing(&self, ware: usize) -> bool {
        self.stock.missing[ware] > self.lying[ware]
    }

    /// Whether they do of any.
    pub(super) fn any_missing(&self) -> bool {
        (0..self.lying.len()).any(|ware| self.is_missing(ware))
    }

    /// Takes up a batch: where somebody looks at what is short, that first.
    pub(super) fn take_to_store(&mut self, common: &mut Common<'_>) -> Job {
        let batch = WORK.full.pieces(common.room);
        let short_first = common.room.is_short_first(Duty::PutAway) && self.is_wanted();
        let (flow, events) = (&mut common.flow, &mut common.events);
        let line = &mut self.to_put_away;
        let hand = if short_first {
            let short = &self.stock.short;
            let is_short = |run: &Run| !short[run.ware as usize].is_empty();
            line.take_first(flow, events, batch, common.now, is_short)
        } else {
            line.take_up(flow, events, batch, common.now)
        };
        let hand = hand.moved_to(flow, Zone::PuttingAway);
        hand.each(flow, |run, _| {
            self.lying[run.ware as usize] -= run.count;
            self.on_drainboard -= if run.by_hand { run.count } else { 0 };
        });
        let wares = &common.room.wares;
        let more_s = hand.sum(flow, |run| piece_s(&wares[run.ware as usize]));
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
