//! Scraping and pre-rinsing, and where a piece goes from the soiled side.

use super::Service;
use super::crew::Job;
use super::line::Table;
use super::pieces::{Loose, Pile, Zone};
use crate::physics::{drying, wetting};
use crate::room::plan::Spot;
use crate::scenario::model::{Duty, SoakPolicy};

impl Service<'_> {
    /// Whether something can be scraped now, people apart.
    pub(super) fn scrape_ready(&self) -> bool {
        let has_place = self
            .room
            .scrape
            .as_ref()
            .is_some_and(|bench| self.crew.at_work(Duty::Scrape) < bench.places);
        has_place && self.first_soiled_has_room()
    }

    /// Whether the first piece at the drop-off can go on.
    fn first_soiled_has_room(&self) -> bool {
        self.peek_soiled().is_some_and(|piece| {
            !self.needs_table(piece, Zone::Scraping) || self.room_after_scrape() > 0
        })
    }

    fn peek_soiled(&self) -> Option<u32> {
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

    const fn table_after_scrape(&mut self) -> &mut Table {
        if self.room.pre_rinse.is_some() {
            &mut self.pre_rinse_table
        } else {
            &mut self.racking.table
        }
    }

    /// Whether a piece will need a place on the next table, rather than going to the soak.
    fn needs_table(&self, piece: u32, after: Zone) -> bool {
        if after == Zone::Scraping && self.room.pre_rinse.is_some() {
            return true;
        }
        let piece = &self.flow[piece];
        let soaks = self.room.wares[piece.ware as usize].soak == SoakPolicy::Always;
        !(soaks && self.room.soak.is_some() && !piece.soaked)
    }

    /// Takes pieces to scrape, as many as fit on the table behind.
    pub(super) fn take_to_scrape(&mut self) -> Job {
        let batch = self.room.scrape.as_ref().map_or(1, |bench| bench.batch);
        let mut room_left = self.room_after_scrape();
        let mut job = Job {
            hand: Pile::new(Zone::Scraping),
            spot: Spot::of_duty(Duty::Scrape),
            ..Job::default()
        };
        while job.hand.len() < batch {
            let Some(piece) = self.peek_soiled() else {
                break;
            };
            if self.needs_table(piece, Zone::Scraping) {
                if room_left == 0 {
                    break;
                }
                room_left -= 1;
                job.kept += 1;
            }
            let Some(piece) = self.next_soiled() else {
                break;
            };
            let ware = self.flow[piece.piece()].ware;
            job.more_s += self.room.wares[ware as usize].scrape_s;
            job.hand.put(&mut self.flow, piece);
        }
        self.table_after_scrape().keep(job.kept);
        self.let_trips_in();
        job
    }

    /// Scraped pieces go on.
    pub(super) fn scraped(&mut self, mut job: Job) {
        self.table_after_scrape().give_back(job.kept);
        while let Some(piece) = job.hand.take(&self.flow) {
            self.send_on(piece);
        }
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

    /// Whether something can be pre-rinsed now, people apart.
    pub(super) fn pre_rinse_ready(&self) -> bool {
        let has_place = self
            .room
            .pre_rinse
            .as_ref()
            .is_some_and(|bench| self.crew.at_work(Duty::PreRinse) < bench.places);
        has_place
            && self.to_pre_rinse.head().is_some_and(|piece| {
                !self.needs_table(piece, Zone::PreRinsing)
                    || self.racking.table.room(&self.flow) > 0
            })
    }

    /// Takes pieces to pre-rinse.
    pub(super) fn take_to_pre_rinse(&mut self) -> Job {
        let batch = self.room.pre_rinse.as_ref().map_or(1, |bench| bench.batch);
        let mut room_left = self.racking.table.room(&self.flow);
        let mut job = Job {
            hand: Pile::new(Zone::PreRinsing),
            spot: Spot::of_duty(Duty::PreRinse),
            ..Job::default()
        };
        while job.hand.len() < batch {
            let Some(piece) = self.to_pre_rinse.head() else {
                break;
            };
            if self.needs_table(piece, Zone::PreRinsing) {
                if room_left == 0 {
                    break;
                }
                room_left -= 1;
                job.kept += 1;
            }
            let Some(piece) = self.to_pre_rinse.take(&mut self.flow, self.now) else {
                break;
            };
            let ware = self.flow[piece.piece()].ware;
            job.more_s += self.room.wares[ware as usize].pre_rinse_s;
            job.hand.put(&mut self.flow, piece);
        }
        self.racking.table.keep(job.kept);
        self.draw_down();
        job
    }

    /// Pre-rinsed pieces are wetter and go on.
    pub(super) fn pre_rinsed(&mut self, mut job: Job) {
        let wets = self.room.pre_rinse.as_ref().map_or(0.0, |bench| bench.wets);
        self.racking.table.give_back(job.kept);
        while let Some(piece) = job.hand.take(&self.flow) {
            self.wet(piece.piece(), wets);
            self.send_on(piece);
        }
    }

    /// Takes the share `wets` away from the dryness that a piece has reached by now.
    fn wet(&mut self, piece: u32, wets: f64) {
        let now = self.now;
        self.count_dried_until(piece, now);
        let at = &mut self.flow[piece];
        let soil = &self.room.soils[at.soil as usize];
        let dryness = drying::dryness(at.theta_at(now), soil.critical_moisture);
        let wetted = wetting::pre_rinsed(dryness, wets);
        at.theta = drying::theta_of(wetted, soil.critical_moisture);
        at.since = now;
    }
}
