//! Where a piece goes on the soiled side: what its stations share.

use super::common::Common;
use super::crew::Crew;
use super::drop_off::DropOff;
use super::line::{Line, Table};
use super::loading::Racking;
use super::pieces::{Loose, Zone};
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
    pub racking: Racking,
}

impl SoiledSide {
    pub fn new(room: &Room) -> Self {
        let table = room.pre_rinse.as_ref().and_then(|bench| bench.table);
        Self {
            drop_off: DropOff::new(),
            to_pre_rinse: Line::new(Duty::PreRinse, Zone::ToPreRinse, None),
            pre_rinse_table: Table::new(Duty::PreRinse, table),
            soak: Sinks::new(room),
            racking: Racking::new(room),
        }
    }

    pub fn begin(&mut self, room: &Room) {
        self.drop_off.begin();
        self.to_pre_rinse.begin();
        self.pre_rinse_table.begin();
        self.soak.begin();
        self.racking.begin(room);
    }

    /// Whether the first piece at the drop-off can go on.
    pub(super) fn first_soiled_has_room(&self, common: &Common<'_>) -> bool {
        self.peek_soiled().is_some_and(|piece| {
            !common.needs_table(piece, Zone::Scraping) || self.room_after_scrape(common) > 0
        })
    }

    pub(super) fn peek_soiled(&self) -> Option<u32> {
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

impl Common<'_> {
    /// Whether a piece will need a place on the next table, rather than going to the soak.
    pub(super) fn needs_table(&self, piece: u32, after: Zone) -> bool {
        if after == Zone::Scraping && self.room.pre_rinse.is_some() {
            return true;
        }
        let piece = &self.flow[piece];
        let soaks = self.room.wares[piece.ware as usize].soak == SoakPolicy::Always;
        !(soaks && self.room.soak.is_some() && !piece.soaked)
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
        if common.room.scrape.is_some() {
            return;
        }
        while self.first_soiled_has_room(common) {
            let Some(piece) = self.drop_off.next_soiled(common) else {
                return;
            };
            self.send_on(common, clean, piece);
            self.drop_off.let_trips_in(common, crew);
        }
    }

    /// Sends a piece from one stage of the soiled side to the next that there is.
    pub(super) fn send_on(&mut self, common: &mut Common<'_>, clean: &mut CleanSide, piece: Loose) {
        let from = piece.zone();
        if from < Zone::ToPreRinse && common.room.pre_rinse.is_some() {
            let (flow, events) = (&mut common.flow, &mut common.events);
            self.to_pre_rinse.join(flow, events, piece, common.now);
        } else if from < Zone::ToSoak && common.wants_soak(piece.piece()) {
            let (flow, events) = (&mut common.flow, &mut common.events);
            self.soak.line.join(flow, events, piece, common.now);
        } else if common.room.loading.is_some() {
            self.racking.join_racking(common, piece);
        } else {
            // A line without a machine ends here.
            common.first_wash_or_none(piece.piece());
            common.flow[piece.piece()].washes = 1;
            clean.join_clean(common, piece);
        }
    }
}

impl Common<'_> {
    fn wants_soak(&self, piece: u32) -> bool {
        let at = &self.flow[piece];
        if self.room.soak.is_none() || at.soaked {
            return false;
        }
        match self.room.wares[at.ware as usize].soak {
            SoakPolicy::Never => false,
            SoakPolicy::Always => true,
            SoakPolicy::WhenDried => {
                let critical = self.room.soils[at.soil as usize].critical_moisture;
                drying::is_dried_on(at.theta_at(self.now), critical)
            }
        }
    }
}
