//! Scraping and pre-rinsing, and where a piece goes from the soiled side.

use super::Service;
use super::crew::Job;
use super::pieces::Zone;
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
        self.drop_off.again.head().or(self.drop_off.queue.head())
    }

    /// Free places on the table behind scraping.
    pub(super) fn room_after_scrape(&self) -> u32 {
        let Some(pre_rinse) = &self.room.pre_rinse else {
            return self.racking.table_room();
        };
        let taken = self.to_pre_rinse.len() + self.kept_at_pre_rinse;
        pre_rinse
            .table
            .map_or(u32::MAX, |table| table.saturating_sub(taken))
    }

    /// Whether a piece will need a place on the next table, rather than going to the soak.
    fn needs_table(&self, piece: u32, after: Zone) -> bool {
        if after == Zone::Scraping && self.room.pre_rinse.is_some() {
            return true;
        }
        let piece = &self.pieces[piece as usize];
        let soaks = self.room.wares[piece.ware as usize].soak == SoakPolicy::Always;
        !(soaks && self.room.soak.is_some() && !piece.soaked)
    }

    /// Takes pieces to scrape, as many as fit on the table behind.
    pub(super) fn take_to_scrape(&mut self) -> Job {
        let batch = self.room.scrape.as_ref().map_or(1, |bench| bench.batch);
        let mut room_left = self.room_after_scrape();
        let mut job = Job {
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
            let at = &self.pieces[piece as usize];
            self.tally.line_waited(Duty::Scrape, self.now - at.joined);
            job.more_s += self.room.wares[at.ware as usize].scrape_s;
            job.hand.push(&mut self.pieces, piece);
        }
        self.keep_after_scrape(job.kept);
        self.tally
            .line_shrinks(Duty::Scrape, job.hand.len(), self.now);
        self.census
            .moved(job.hand.len(), Zone::DropOff, Zone::Scraping);
        self.let_trips_in();
        job
    }

    fn keep_after_scrape(&mut self, places: u32) {
        if self.room.pre_rinse.is_some() {
            self.kept_at_pre_rinse += places;
        } else {
            self.racking.kept += places;
        }
    }

    /// Scraped pieces go on.
    pub(super) fn scraped(&mut self, mut job: Job) {
        if self.room.pre_rinse.is_some() {
            self.kept_at_pre_rinse -= job.kept;
        } else {
            self.racking.kept -= job.kept;
        }
        while let Some(piece) = job.hand.pop(&self.pieces) {
            self.send_on(piece, Zone::Scraping);
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
            let waited = self.now - self.pieces[piece as usize].joined;
            self.tally.line_waited(Duty::Scrape, waited);
            self.tally.line_shrinks(Duty::Scrape, 1, self.now);
            self.send_on(piece, Zone::DropOff);
            self.let_trips_in();
        }
    }

    /// Sends a piece from one stage of the soiled side to the next that there is.
    pub(super) fn send_on(&mut self, piece: u32, from: Zone) {
        self.pieces[piece as usize].joined = self.now;
        if from < Zone::ToPreRinse && self.room.pre_rinse.is_some() {
            self.census.moved(1, from, Zone::ToPreRinse);
            self.to_pre_rinse.push(&mut self.pieces, piece);
            self.tally.line_grows(Duty::PreRinse, 1, self.now);
        } else if from < Zone::ToSoak && self.wants_soak(piece) {
            self.census.moved(1, from, Zone::ToSoak);
            self.join_soak(piece);
        } else if self.room.loading.is_some() {
            self.census.moved(1, from, Zone::ToRack);
            self.join_racking(piece);
        } else {
            // A line without a machine ends here.
            self.first_wash_or_none(piece);
            self.pieces[piece as usize].washes = 1;
            self.census.moved(1, from, Zone::ToPutAway);
            self.join_clean(piece);
        }
    }

    fn wants_soak(&self, piece: u32) -> bool {
        let at = &self.pieces[piece as usize];
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
                !self.needs_table(piece, Zone::PreRinsing) || self.racking.table_room() > 0
            })
    }

    /// Takes pieces to pre-rinse.
    pub(super) fn take_to_pre_rinse(&mut self) -> Job {
        let batch = self.room.pre_rinse.as_ref().map_or(1, |bench| bench.batch);
        let mut room_left = self.racking.table_room();
        let mut job = Job {
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
            let mut queue = self.to_pre_rinse;
            let mut one = self.take_up(&mut queue, 1, Duty::PreRinse);
            self.to_pre_rinse = queue;
            let Some(piece) = one.pop(&self.pieces) else {
                break;
            };
            job.more_s += self.room.wares[self.pieces[piece as usize].ware as usize].pre_rinse_s;
            job.hand.push(&mut self.pieces, piece);
        }
        self.racking.kept += job.kept;
        self.census
            .moved(job.hand.len(), Zone::ToPreRinse, Zone::PreRinsing);
        self.draw_down();
        job
    }

    /// Pre-rinsed pieces are wetter and go on.
    pub(super) fn pre_rinsed(&mut self, mut job: Job) {
        let wets = self.room.pre_rinse.as_ref().map_or(0.0, |bench| bench.wets);
        self.racking.kept -= job.kept;
        while let Some(piece) = job.hand.pop(&self.pieces) {
            self.wet(piece, wets);
            self.send_on(piece, Zone::PreRinsing);
        }
    }

    /// Takes the share `wets` away from the dryness that a piece has reached by now.
    fn wet(&mut self, piece: u32, wets: f64) {
        let now = self.now;
        self.count_dried_until(piece, now);
        let at = &mut self.pieces[piece as usize];
        let soil = &self.room.soils[at.soil as usize];
        let dryness = drying::dryness(at.theta_at(now), soil.critical_moisture);
        let wetted = wetting::pre_rinsed(dryness, wets);
        at.theta = drying::theta_of(wetted, soil.critical_moisture);
        at.since = now;
    }
}
