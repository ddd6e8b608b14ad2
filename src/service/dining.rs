//! Guests, seen from the dish room: ware leaves the clean stock when it is laid and waits on the
//! tables when it is soiled.
//!
//! A lot that finds too little clean ware takes what there is and waits for the rest, first come
//! first served; everything after it in its own course shifts by that wait.

use std::collections::VecDeque;

use super::Service;
use super::diary::Happening;
use super::events::Event;
use super::line::{Batch, Line};
use super::pieces::{Run, Zone};
use super::streams::Purpose;
use crate::room::Room;
use crate::room::time::Time;
use crate::scenario::model::{Duty, Style};

/// Pieces of one ware that are used together.
#[derive(Debug, Clone)]
pub struct Lot {
    /// Index of the ware.
    pub ware: usize,
    /// Its first piece; the others follow.
    pub first: u32,
    /// Pieces.
    pub count: u32,
    /// Those of its pieces that lie in no pile yet.
    pub(super) run: Run,
    /// Names it to the random streams.
    pub key: u64,
    /// From laid to soiled.
    pub eats: Time,
    /// Whether guests soil it; otherwise it comes to the drop-off by itself.
    pub by_guests: bool,
    /// Whether it belongs to the clean stock: guests' ware, and what stood there at the start.
    pub from_stock: bool,
    /// When its party leaves.
    pub departs: Time,
    /// Pieces still to be laid.
    pub missing: u32,
    /// Pieces that make one cover short.
    pub pieces_per_cover: f64,
    /// When it asked for ware that was not there.
    pub asked: Time,
    /// Covers that wait.
    pub short: u32,
}

impl Lot {
    pub(super) const fn new(ware: usize, first: u32, count: u32, key: u64, eats: Time) -> Self {
        Self {
            ware,
            first,
            count,
            run: Run::coming(first, count),
            key,
            eats,
            by_guests: false,
            from_stock: false,
            departs: Time::ZERO,
            missing: 0,
            pieces_per_cover: 1.0,
            asked: Time::ZERO,
            short: 0,
        }
    }
}

/// Lots, clean stock and soiled tables.
#[derive(Debug)]
pub struct Dining {
    /// All lots of the evening.
    pub lots: Vec<Lot>,
    /// Clean stock by ware; `None` if it never runs out.
    pub stock: Vec<Option<u32>>,
    /// Lots that wait for clean ware, by ware.
    pub(super) short: Vec<VecDeque<u32>>,
    /// Soiled pieces that wait for a crew trip.
    pub(super) on_tables: Line,
}

impl Dining {
    pub(super) fn new(room: &Room) -> Self {
        let by_crew = room.clear_down.as_ref().filter(|clear| clear.by_crew);
        let tub = by_crew.map(|clear| Batch {
            clock: Batch::TUB,
            enough: u64::from(clear.tub),
            wait_at_most: clear.wait_at_most,
        });
        Self {
            lots: Vec::new(),
            stock: vec![None; room.wares.len()],
            short: room.wares.iter().map(|_| VecDeque::new()).collect(),
            on_tables: Line::new(Duty::ClearDown, Zone::OnTables, tub),
        }
    }

    pub(super) fn begin(&mut self, room: &Room) {
        self.lots.clear();
        for (ware, stock) in self.stock.iter_mut().enumerate() {
            let backlog: u32 = room
                .demand
                .backlog
                .iter()
                .filter(|backlog| backlog.ware == ware)
                .map(|backlog| backlog.pieces)
                .sum();
            *stock = room.wares[ware]
                .owned
                .map(|owned| owned.saturating_sub(backlog));
        }
        self.short.iter_mut().for_each(VecDeque::clear);
        self.on_tables.begin();
    }
}

impl Service<'_> {
    /// A lot wants its ware.
    pub(super) fn laid(&mut self, lot: usize) {
        let ware = self.dining.lots[lot].ware;
        let Some(stock) = self.dining.stock[ware] else {
            return;
        };
        let waits_behind = !self.dining.short[ware].is_empty();
        let wanted = self.dining.lots[lot].count;
        let taken = if waits_behind { 0 } else { stock.min(wanted) };
        self.dining.stock[ware] = Some(stock - taken);
        self.tally.wares[ware].least_clean = self.tally.wares[ware].least_clean.min(stock - taken);
        if taken < wanted {
            self.run_short(lot, wanted - taken);
        }
    }

    fn run_short(&mut self, lot: usize, missing: u32) {
        let waiting = &mut self.dining.lots[lot];
        waiting.missing = missing;
        waiting.asked = self.now;
        waiting.short = short_covers(missing, waiting.pieces_per_cover);
        let (ware, short) = (waiting.ware, waiting.short);
        self.dining.short[ware].push_back(lot as u32);
        self.tally.wares[ware].short_covers += u64::from(short);
        self.note(Happening::Short {
            ware,
            pieces: missing,
        });
    }

    /// Clean pieces reach the store: who waits is served first.
    pub(super) fn restock(&mut self, ware: usize, pieces: u32) {
        let Some(mut stock) = self.dining.stock[ware] else {
            return;
        };
        stock += pieces;
        while let Some(&lot) = self.dining.short[ware].front() {
            let lot = lot as usize;
            let given = stock.min(self.dining.lots[lot].missing);
            stock -= given;
            self.dining.lots[lot].missing -= given;
            if self.dining.lots[lot].missing > 0 {
                break;
            }
            self.dining.short[ware].pop_front();
            let waited = self.now - self.dining.lots[lot].asked;
            self.tally.served_short(self.dining.lots[lot].short, waited);
            let soiled = self.now + self.dining.lots[lot].eats;
            self.events.set(soiled, Event::SoiledLate(lot as u32));
        }
        self.dining.stock[ware] = Some(stock);
    }

    /// A lot is soiled as planned, unless it ran short and is late.
    pub(super) fn soiled_in_time(&mut self, lot: usize) {
        if self.dining.lots[lot].short == 0 {
            self.soiled(lot);
        }
    }

    /// A lot is soiled: its drying clock starts, on the table.
    pub(super) fn soiled(&mut self, lot: usize) {
        let now = self.now;
        let (first, count) = (self.dining.lots[lot].first, self.dining.lots[lot].count);
        for piece in &mut self.flow.pieces[first as usize..(first + count) as usize] {
            piece.since = now;
        }
        let carried_by_guests = self
            .room
            .demand
            .guests
            .as_ref()
            .is_some_and(|guests| guests.style == Style::Cafeteria);
        let run = &mut self.dining.lots[lot].run;
        run.carry(&mut self.flow, Zone::OnTables);
        self.note(Happening::Soiled {
            ware: self.dining.lots[lot].ware,
            pieces: count,
        });
        match &self.room.clear_down {
            _ if carried_by_guests => {
                let departs = self.dining.lots[lot].departs.max(now);
                self.events.set(departs, Event::Delivered(lot as u32));
            }
            Some(clear) if clear.by_crew => self.wait_on_tables(lot),
            Some(clear) => {
                let key = self.dining.lots[lot].key;
                let trip = clear
                    .trip
                    .draw(&mut self.streams.stream(Purpose::Trip, key, 0));
                self.events.set(now + trip, Event::Delivered(lot as u32));
            }
            None => self.delivered(lot),
        }
    }

    /// Soiled pieces wait for a crew trip.
    fn wait_on_tables(&mut self, lot: usize) {
        let (flow, events) = (&mut self.flow, &mut self.events);
        while let Some(piece) = self.dining.lots[lot].run.take() {
            let tables = &mut self.dining.on_tables;
            tables.join(flow, events, piece, self.now);
        }
    }
}

/// Covers that a number of missing pieces leaves waiting.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most `missing`
fn short_covers(missing: u32, pieces_per_cover: f64) -> u32 {
    libm::ceil(f64::from(missing) / pieces_per_cover) as u32
}
