//! Where a piece goes on the soiled side: what its stations share.

use super::common::Common;
use super::crew::Crew;
use super::drop_off::DropOff;
use super::index::RunId;
use super::job::Job;
use super::line::{Line, Table};
use super::loading::Racking;
use super::pieces::{Piece, Pile, Run, Zone, add_each};
use super::pot_sink::Pots;
use super::put_away::CleanSide;
use super::sinks::Sinks;
use crate::physics::drying;
use crate::room::Room;
use crate::scenario::model::{Duty, SoakPolicy};

/// What stands on the soiled side: from the drop-off to the loading stations.
#[derive(Debug)]
pub(super) struct SoiledSide {
    pub drop_off: DropOff,
    /// Scraped pieces before the pre-rinse.
    pub to_pre_rinse: Line,
    pub pre_rinse_table: Table,
    pub soak: Sinks,
    pub pots: Pots,
    pub racking: Racking,
}

impl SoiledSide {
    pub fn new(room: &Room) -> Self {
        let table = room.pre_rinse.as_ref().and_then(|bench| bench.table);
        Self {
            drop_off: DropOff::new(room),
            to_pre_rinse: Line::new(Duty::PreRinse, Zone::ToPreRinse, None),
            pre_rinse_table: Table::new(Zone::ToPreRinse, table),
            soak: Sinks::new(room),
            pots: Pots::new(room),
            racking: Racking::new(room),
        }
    }

    pub fn begin(&mut self, room: &Room) {
        self.drop_off.begin();
        self.to_pre_rinse.begin();
        self.pre_rinse_table.begin();
        self.soak.begin();
        self.pots.begin();
        self.racking.begin(room);
    }

    /// Whether the first piece at the drop-off can go on.
    pub(super) fn first_soiled_has_room(&self, common: &Common<'_>) -> bool {
        self.peek_soiled().is_some_and(|run| {
            !needs_table(common.room, &common.flow[run], Zone::Scraping)
                || self.room_after_scrape(common) > 0
        })
    }

    pub(super) fn peek_soiled(&self) -> Option<RunId> {
        self.drop_off.again.head().or(self.drop_off.line.head())
    }

    /// Free places on the table behind scraping.
    pub(super) fn room_after_scrape(&self, common: &Common<'_>) -> u32 {
        let table = if common.room.pre_rinse.is_some() {
            &self.pre_rinse_table
        } else {
            &self.racking.table
        };
        table.room(&common.flow)
    }

    pub(super) const fn table_after_scrape(&mut self, common: &Common<'_>) -> &mut Table {
        if common.room.pre_rinse.is_some() {
            &mut self.pre_rinse_table
        } else {
            &mut self.racking.table
        }
    }
}

impl SoiledSide {
    /// Without scraping, ware goes on from the drop-off by itself while there is room.
    pub(super) fn draw_down(
        &mut self,
        common: &mut Common<'_>,
        clean: &mut CleanSide,
        crew: &mut Crew,
    ) {
        while self.first_soiled_has_room(common) {
            let mut left = 1;
            let first = self
                .drop_off
                .take_while(common, |_| std::mem::take(&mut left));
            self.send_on(common, clean, first);
            self.drop_off.let_trips_in(common, crew);
        }
    }

    /// Sends pieces from one stage of the soiled side to the next that there is.
    pub(super) fn send_on(
        &mut self,
        common: &mut Common<'_>,
        clean: &mut CleanSide,
        mut pile: Pile,
    ) {
        let rinses = pile.zone() < Zone::ToPreRinse && common.room.pre_rinse.is_some();
        if rinses && common.room.pot_sink.is_none() {
            let (flow, events) = (&mut common.flow, &mut common.events);
            return self.to_pre_rinse.join(flow, events, pile, common.now);
        }
        let may_soak = pile.zone() < Zone::ToSoak;
        while let Some(mut run) = pile.take_run(&mut common.flow) {
            let (flow, events) = (&mut common.flow, &mut common.events);
            if rinses
                && let Some(head) = run.head()
                && !common.room.wares[flow[head].ware as usize].at_pot_sink
            {
                self.to_pre_rinse.join(flow, events, run, common.now);
                continue;
            }
            while let Some(head) = run.head() {
                let (soaks, count) = common.soaks(head, may_soak);
                let alike = run.take(&mut common.flow, count);
                self.send_alike_on(common, clean, alike, soaks);
            }
        }
    }

    /// Pieces of one lot go to the soak, to the pot sink, to be racked, or out of a line without a machine.
    fn send_alike_on(
        &mut self,
        common: &mut Common<'_>,
        clean: &mut CleanSide,
        pile: Pile,
        soaks: bool,
    ) {
        let (flow, events) = (&mut common.flow, &mut common.events);
        let at_pot_sink = |head| common.room.wares[flow[head].ware as usize].at_pot_sink;
        if soaks {
            self.soak.line.join(flow, events, pile, common.now);
        } else if pile.head().is_some_and(at_pot_sink) {
            self.pots.line.join(flow, events, pile, common.now);
        } else if common.room.loading.is_some() {
            self.racking.join_racking(common, pile);
        } else {
            common.pass_unwashed(&pile);
            clean.join_clean(common, pile);
        }
    }
}

impl Common<'_> {
    /// Whether the first piece of a run goes to the soak, if it may at all, and how many at its front go with it.
    fn soaks(&self, run: RunId, may: bool) -> (bool, u32) {
        let run = &self.flow[run];
        let ware = &self.room.wares[run.ware as usize];
        if !may || self.room.soak.is_none() || run.soaked || ware.soak == SoakPolicy::Never {
            return (false, run.count);
        }
        if ware.soak == SoakPolicy::Always {
            return (true, run.count);
        }
        // These differ in how dry each is.
        let critical = self.room.soils[run.soil as usize].critical_moisture;
        let dried_s = run.dried_s(self.now);
        let pieces = &self.flow.pieces[run.range()];
        let is_dried = |at: &Piece| drying::is_dried_on(at.theta_after(dried_s), critical);
        let first = pieces.first().is_some_and(is_dried);
        let alike = pieces.iter().take_while(|at| is_dried(at) == first);
        (first, alike.count() as u32)
    }
}

/// Whether a piece will need a place on the next table, rather than going to the soak.
pub(super) fn needs_table(room: &Room, run: &Run, after: Zone) -> bool {
    let ware = &room.wares[run.ware as usize];
    if ware.at_pot_sink {
        return false;
    }
    if after == Zone::Scraping && room.pre_rinse.is_some() {
        return true;
    }
    let soaks = ware.soak == SoakPolicy::Always;
    !(soaks && room.soak.is_some() && !run.soaked)
}

/// What one unit of work at a bench takes: at most a batch, and no more than there is room for on the next table.
pub(super) struct BenchLoad<'r> {
    room: &'r Room,
    pieces_left: u32,
    places_left: u32,
    kept: u32,
    work_s: f64,
}

impl<'r> BenchLoad<'r> {
    /// Nothing yet, with so many places free on the next table.
    pub const fn new(room: &'r Room, batch: u32, places: u32) -> Self {
        Self {
            room,
            pieces_left: batch,
            places_left: places,
            kept: 0,
            work_s: 0.0,
        }
    }

    /// How many pieces of a run it takes, each of which is `work_s` of work.
    pub fn takes(&mut self, run: &Run, bench: Zone, work_s: f64) -> u32 {
        let mut count = run.count.min(self.pieces_left);
        if needs_table(self.room, run, bench) {
            count = count.min(self.places_left);
            self.places_left -= count;
            self.kept += count;
        }
        self.pieces_left -= count;
        self.work_s = add_each(self.work_s, work_s, count);
        count
    }

    /// The unit of work, with the pieces it took.
    pub fn job(self, hand: Pile) -> Job {
        Job {
            hand,
            kept: self.kept,
            more_s: self.work_s,
            ..Job::default()
        }
    }
}
