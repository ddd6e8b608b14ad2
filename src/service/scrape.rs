//! Scraping: ware goes on from the drop-off, as much at once as the table behind has room for.

use super::common::Common;
use super::crew::Crew;
use super::job::{Job, Next};
use super::obstacle::Obstacle;
use super::pieces::{Pile, Zone};
use super::put_away::CleanSide;
use super::soiled_side::SoiledSide;
use crate::room::plan::Spot;
use crate::scenario::model::Duty;

impl SoiledSide {
    pub(super) fn next_to_scrape(&self, common: &Common<'_>, crew: &Crew) -> Next {
        let places = common.room.scrape.as_ref().map_or(0, |bench| bench.places);
        if !crew.has_place(Duty::Scrape, places) {
            Next::Waits(Obstacle::Place)
        } else if self.first_soiled_has_room(common) {
            Next::Ready(Spot::of_duty(Duty::Scrape))
        } else {
            Next::Waits(Obstacle::Room)
        }
    }

    /// Takes pieces to scrape, as many as fit on the table behind.
    pub(super) fn take_to_scrape(&mut self, common: &mut Common<'_>) -> Job {
        let batch = common.room.scrape.as_ref().map_or(1, |bench| bench.batch);
        let mut room_left = self.room_after_scrape(common);
        let mut job = Job {
            hand: Pile::new(Zone::Scraping),
            spot: Spot::of_duty(Duty::Scrape),
            ..Job::default()
        };
        while job.hand.len() < batch {
            let Some(piece) = self.peek_soiled() else {
                break;
            };
            if common.needs_table(piece, Zone::Scraping) {
                if room_left == 0 {
                    break;
                }
                room_left -= 1;
                job.kept += 1;
            }
            let Some(piece) = self.drop_off.next_soiled(common) else {
                break;
            };
            let ware = common.flow[piece.piece()].ware;
            job.more_s += common.room.wares[ware as usize].scrape_s;
            job.hand.put(&mut common.flow, piece);
        }
        self.table_after_scrape(common).keep(job.kept);
        job
    }

    /// Scraped pieces go on.
    pub(super) fn scraped(&mut self, common: &mut Common<'_>, clean: &mut CleanSide, mut job: Job) {
        self.table_after_scrape(common).give_back(job.kept);
        while let Some(piece) = job.hand.take(&common.flow) {
            self.send_on(common, clean, piece);
        }
    }
}
