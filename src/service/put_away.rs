//! Clean ware is carried to the store, batch by batch; only there is it clean stock again.

use super::common::Common;
use super::diary::Happening;
use super::events::LongestWait;
use super::index::{LotId, MachineId, RackId};
use super::job::{Job, Next};
use super::line::{Batch, Line};
use super::loading::Racking;
use super::pieces::{Pile, Run, Zone};
use super::stock::Stock;
use super::work::{Comes, Full, PartFull, Places, Seconds, Work};
use crate::room::Room;
use crate::room::own::Whose;
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
    pub stores: Vec<Store>,
    pub stock: Stock,
    /// The drainboard has no room: what is dry on it is carried at once, in whatever load.
    pub drainboard_is_full: bool,
}

/// What waits to be put away at one place, by the same people.
#[derive(Debug)]
pub(super) struct Store {
    pub line: Line,
    /// Its pieces, by ware.
    lying: Vec<u32>,
    /// Those of them on the drainboard of the pot sink.
    on_drainboard: u32,
}

impl Store {
    fn new(room: &Room, store: usize) -> Self {
        let batch = (WORK.part_full)(room).map(|part| Batch {
            clock: LongestWait::carry(room, store),
            enough: u64::from(part.enough),
            wait_at_most: part.wait_at_most,
        });
        Self {
            line: Line::new(Duty::PutAway, Zone::ToPutAway, batch),
            lying: vec![0; room.wares.len()],
            on_drainboard: 0,
        }
    }

    /// Whether guests wait for ware that lies here.
    fn is_wanted(&self, stock: &Stock) -> bool {
        let mut wares = stock.short.iter().zip(&self.lying);
        wares.any(|(short, lying)| !short.is_empty() && *lying > 0)
    }
}

impl CleanSide {
    pub fn new(room: &Room) -> Self {
        let stores = 0..room.stores.spots.len();
        Self {
            stores: stores.map(|store| Store::new(room, store)).collect(),
            stock: Stock::new(room),
            drainboard_is_full: false,
        }
    }

    pub fn begin(&mut self, common: &mut Common<'_>) {
        for store in &mut self.stores {
            store.line.begin();
            store.lying.fill(0);
            store.on_drainboard = 0;
        }
        self.drainboard_is_full = false;
        self.stock.begin(common);
    }

    /// A lot wants its ware. Where there is too little, what lies clean but not put away is counted with the covers that
    /// wait.
    pub(super) fn laid(&mut self, common: &mut Common<'_>, lot: LotId) {
        let ware = common.flow.lots[lot].ware;
        let before = common.tally.wares[ware].short_covers;
        self.stock.laid(common, lot);
        let lying = self.lying(ware);
        let tally = &mut common.tally.wares[ware];
        tally.lying_when_short += u64::from(lying) * (tally.short_covers - before);
    }

    /// Pieces that wait to be put away on the drainboard of the pot sink.
    pub(super) fn on_drainboard(&self) -> u32 {
        self.stores.iter().map(|store| store.on_drainboard).sum()
    }

    /// Pieces of a ware that wait to be put away.
    fn lying(&self, ware: usize) -> u32 {
        self.stores.iter().map(|store| store.lying[ware]).sum()
    }

    /// Clean ware is brought: it is put away like what was washed.
    pub(super) fn brought(&mut self, common: &mut Common<'_>, lot: LotId) {
        let pile = common.flow.take_lot(lot);
        common.note(Happening::Brought { pieces: pile.len() });
        self.join_clean(common, pile);
    }

    /// Clean pieces that no machine here has washed wait to be put away.
    pub(super) fn join_clean(&mut self, common: &mut Common<'_>, mut pile: Pile) {
        if self.stores.len() == 1 {
            return self.join_store(common, 0, pile);
        }
        while let Some(run) = pile.take_run(&mut common.flow) {
            let ware = run.head().map_or(0, |head| common.flow[head].ware as usize);
            self.join_store(common, common.room.stores.of_ware(ware), run);
        }
    }

    /// The same of what a machine has washed.
    pub(super) fn join_washed(&mut self, common: &mut Common<'_>, pile: Pile, by: MachineId) {
        self.join_store(common, common.room.stores.of_machine(by.at()), pile);
    }

    /// Where nobody puts away, pieces are in the store at once.
    fn join_store(&mut self, common: &mut Common<'_>, store: usize, pile: Pile) {
        if common.room.put_away.is_none() {
            return self.store(common, pile);
        }
        let (flow, events) = (&mut common.flow, &mut common.events);
        let Store {
            line,
            lying,
            on_drainboard,
        } = &mut self.stores[store];
        pile.each(flow, |run, _| {
            lying[run.ware as usize] += run.count;
            *on_drainboard += if run.by_hand { run.count } else { 0 };
        });
        line.join(flow, events, pile, common.now);
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
                let Some((rack, fits)) = racking.stands_in_store(common, ware) else {
                    break;
                };
                let pieces = fits.min(left);
                self.stock.put_rack(ware, rack, pieces);
                left -= pieces;
            }
        }
    }

    /// The stores that somebody puts away into.
    fn stores_of(&self, whose: Whose<'_>) -> impl Iterator<Item = (usize, &Store)> {
        let stores = self.stores.iter().enumerate();
        stores.filter(move |(at, _)| whose.puts_into(*at))
    }

    /// The store with a load for it, and of several that whose first piece has waited longest.
    #[inline]
    fn due_store(&self, common: &Common<'_>, whose: Whose<'_>) -> Option<usize> {
        let is_due = |store: &Store| {
            let makes_room = self.drainboard_is_full && store.on_drainboard > 0;
            makes_room || store.line.is_due(&common.flow, common.now)
        };
        // Most rooms have one.
        if let [only] = &self.stores[..] {
            return (is_due(only) && whose.puts_into(0)).then_some(0);
        }
        let due = self.stores_of(whose).filter(|(_, store)| is_due(store));
        let since = |store: &Store| store.line.head().map(|head| common.flow[head].joined);
        due.min_by_key(|(_, store)| since(store)).map(|(at, _)| at)
    }

    /// The first store that guests wait for something from.
    fn wanted_store(&self, whose: Whose<'_>) -> Option<usize> {
        let mut stores = self.stores_of(whose);
        let wanted = stores.find(|(_, store)| store.is_wanted(&self.stock));
        wanted.map(|(at, _)| at)
    }

    /// The same, where somebody looks at what is short.
    fn short_first(&self, common: &Common<'_>, whose: Whose<'_>) -> Option<usize> {
        let looks = common.room.is_short_first(Duty::PutAway);
        looks.then(|| self.wanted_store(whose)).flatten()
    }

    pub(super) fn next_to_store(&self, common: &Common<'_>, whose: Whose<'_>) -> Next {
        let spots = &common.room.stores.spots;
        match self.due_store(common, whose) {
            Some(due) => Next::ReadyAt(spots[self.short_first(common, whose).unwrap_or(due)]),
            None => Next::Nothing,
        }
    }

    /// Whether guests wait for ware that lies here, and somebody may put away.
    pub(super) fn is_wanted(&self, whose: Whose<'_>) -> bool {
        self.wanted_store(whose).is_some()
    }

    /// How many pieces wait for somebody.
    pub(super) fn waiting(&self, whose: Whose<'_>) -> u32 {
        self.stores_of(whose)
            .map(|(_, store)| store.line.len())
            .sum()
    }

    /// Whether guests wait for more of a ware than lies clean already.
    pub(super) fn is_missing(&self, ware: usize) -> bool {
        self.stock.missing[ware] > self.lying(ware)
    }

    /// Whether they do of any.
    pub(super) fn any_missing(&self) -> bool {
        (0..self.stock.missing.len()).any(|ware| self.is_missing(ware))
    }

    /// Takes up a batch: where somebody looks at what is short, that first.
    pub(super) fn take_to_store(&mut self, common: &mut Common<'_>, whose: Whose<'_>) -> Job {
        let batch = WORK.full.pieces(common.room);
        let wanted = self.short_first(common, whose);
        let Some(store) = wanted.or_else(|| self.due_store(common, whose)) else {
            return Job::default();
        };
        let (flow, events) = (&mut common.flow, &mut common.events);
        let Store {
            line,
            lying,
            on_drainboard,
        } = &mut self.stores[store];
        let hand = if wanted.is_some() {
            let short = &self.stock.short;
            let is_short = |run: &Run| !short[run.ware as usize].is_empty();
            line.take_first(flow, events, batch, common.now, is_short)
        } else {
            line.take_up(flow, events, batch, common.now)
        };
        let hand = hand.moved_to(flow, Zone::PuttingAway);
        hand.each(flow, |run, _| {
            lying[run.ware as usize] -= run.count;
            *on_drainboard -= if run.by_hand { run.count } else { 0 };
        });
        let wares = &common.room.wares;
        let more_s = hand.sum(flow, |run| piece_s(&wares[run.ware as usize]));
        Job {
            hand,
            more_s,
            spot: Some(common.room.stores.spots[store]),
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
