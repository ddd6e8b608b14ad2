//! Scraping: ware goes on from the drop-off, as much at once as the table behind has room for.

use super::common::Common;
use super::job::{Job, Next};
use super::obstacle::Obstacle;
use super::pieces::Zone;
use super::put_away::CleanSide;
use super::soiled_side::{BenchLoad, SoiledSide};
use super::work::{Comes, Full, Places, Seconds, Work};
use crate::room::ware::Ware;

pub(super) const WORK: Work = Work {
    places: Places::People(|room| room.scrape.as_ref().map_or(0, |bench| bench.places)),
    full: Full::Pieces(|room| room.scrape.as_ref().map_or(1, |bench| bench.batch)),
    unit_time: |room| room.scrape.as_ref().map(|bench| &bench.per_unit),
    seconds: &[Seconds::OfWare(piece_s)],
    ..Work::new(Comes::Soiled)
};

const fn piece_s(ware: &Ware) -> f64 {
    ware.scrape_s
}

impl SoiledSide {
    pub(super) fn next_to_scrape(&self, common: &Common<'_>) -> Next {
        if self.first_soiled_has_room(common) {
            Next::Ready
        } else {
            Next::Waits(Obstacle::Room)
        }
    }

    /// Takes pieces to scrape, as many as fit on the table behind.
    pub(super) fn take_to_scrape(&mut self, common: &mut Common<'_>) -> Job {
        let batch = WORK.full.pieces(common.room);
        let room = common.room;
        let mut load = BenchLoad::new(room, batch, self.room_after_scrape(common));
        let hand = self.drop_off.take_while(common, |run| {
            let work_s = piece_s(&room.wares[run.ware as usize]);
            load.takes(run, Zone::Scraping, work_s)
        });
        let job = load.job(hand.moved_to(&mut common.flow, Zone::Scraping));
        self.table_after_scrape(common).keep(job.kept);
        job
    }

    /// Scraped pieces go on.
    pub(super) fn scraped(&mut self, common: &mut Common<'_>, clean: &mut CleanSide, job: Job) {
        self.table_after_scrape(common).give_back(job.kept);
        self.send_on(common, clean, job.hand);
    }
}
