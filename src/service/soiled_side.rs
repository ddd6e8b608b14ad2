//! Where a piece goes on the soiled side: what its stations share.

use super::Service;
use super::line::Table;
use super::pieces::{Loose, Zone};
use crate::physics::drying;
use crate::scenario::model::SoakPolicy;

impl Service<'_> {
    /// Whether the first piece at the drop-off can go on.
    pub(super) fn first_soiled_has_room(&self) -> bool {
        self.peek_soiled().is_some_and(|piece| {
            !self.needs_table(piece, Zone::Scraping) || self.room_after_scrape() > 0
        })
    }

    pub(super) fn peek_soiled(&self) -> Option<u32> {
        self.drop_off.again.head().or(self.drop_off.line.head())
    }

    /// Free places on the table behind scraping.
    pub(super) fn room_after_scrape(&self) -> u32 {
        let table = if self.room.pre_rinse.is_some() {
            &self.pre_rinse_table
        } else {
            &self.racking.table
        };
        table.room(&self.flow)
    }

    pub(super) const fn table_after_scrape(&mut self) -> &mut Table {
        if self.room.pre_rinse.is_some() {
            &mut self.pre_rinse_table
        } else {
            &mut self.racking.table
        }
    }

    /// Whether a piece will need a place on the next table, rather than going to the soak.
    pub(super) fn needs_table(&self, piece: u32, after: Zone) -> bool {
        if after == Zone::Scraping && self.room.pre_rinse.is_some() {
            return true;
        }
        let piece = &self.flow[piece];
        let soaks = self.room.wares[piece.ware as usize].soak == SoakPolicy::Always;
        !(soaks && self.room.soak.is_some() && !piece.soaked)
    }

    /// Without scraping, ware goes on from the drop-off by itself while there is room.
    pub(super) fn draw_down(&mut self) {
        if self.room.scrape.is_some() {
            return;
        }
        while self.first_soiled_has_room() {
            let Some(piece) = self.next_soiled() else {
                return;
            };
            self.send_on(piece);
            self.let_trips_in();
        }
    }

    /// Sends a piece from one stage of the soiled side to the next that there is.
    pub(super) fn send_on(&mut self, piece: Loose) {
        let from = piece.zone();
        if from < Zone::ToPreRinse && self.room.pre_rinse.is_some() {
            let (flow, events) = (&mut self.flow, &mut self.events);
            self.to_pre_rinse.join(flow, events, piece, self.now);
        } else if from < Zone::ToSoak && self.wants_soak(piece.piece()) {
            let (flow, events) = (&mut self.flow, &mut self.events);
            self.soak.line.join(flow, events, piece, self.now);
        } else if self.room.loading.is_some() {
            self.join_racking(piece);
        } else {
            // A line without a machine ends here.
            self.first_wash_or_none(piece.piece());
            self.flow[piece.piece()].washes = 1;
            self.join_clean(piece);
        }
    }

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
