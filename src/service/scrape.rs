//! Scraping: ware goes on from the drop-off, as much at once as the table behind has room for.

use super::common::Common;
use super::job::{Job, Next};
use super::obstacle::Obstacle;
use super::pieces::{Pile, Run, Zone};
use super::put_away::CleanSide;
use super::soiled_side::{BenchLoad, SoiledSide};
use super::work::{Comes, Full, Places, Seconds, Work};
use crate::physics::drying;
use crate::room::ware::{Dries, Ware};

pub(super) const WORK: Work = Work {
    places: Places::People(|room| room.scrape.as_ref().map_or(0, |bench| bench.places)),
    full: Full::Pieces(|room| room.scrape.as_ref().map_or(1, |bench| bench.batch)),
    unit_time: |room| room.scrape.as_ref().map(|bench| &bench.per_unit),
    seconds: &[Seconds::OfWare(piece_s)],
    takes: |ware| !ware.is_sorted,
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
        let mut job = load.job(hand.moved_to(&mut common.flow, Zone::Scraping));
        common.dries_at(&job.hand, Dries::IN_THE_OPEN);
        job.more_s += common.dried_scraping_s(&job.hand);
        self.table_after_scrape(common).keep(job.kept);
        job
    }

    /// Scraped pieces go on.
    pub(super) fn scraped(&mut self, common: &mut Common<'_>, clean: &mut CleanSide, job: Job) {
        self.table_after_scrape(common).give_back(job.kept);
        common.thin(&job.hand);
        self.send_on(common, clean, job.hand);
    }
}

impl Common<'_> {
    /// How much longer scraping takes than of fresh ware, s: each piece by its dryness.
    fn dried_scraping_s(&self, pile: &Pile) -> f64 {
        let slower = self
            .room
            .scrape
            .as_ref()
            .map_or(0.0, |bench| bench.dried_takes - 1.0);
        if slower <= 0.0 {
            return 0.0;
        }
        let more_s = |run: &Run| {
            let critical = self.room.soils[run.soil as usize].critical_moisture;
            let each_s = slower * piece_s(&self.room.wares[run.ware as usize]);
            let dried_s = run.dried_s(self.now);
            let pieces = self.flow.pieces[run.range()].iter();
            let dryness = pieces.map(|piece| drying::dryness(piece.theta_after(dried_s), critical));
            dryness.fold(0.0, |sum, dryness| sum + each_s * dryness)
        };
        pile.runs(&self.flow)
            .fold(0.0, |sum, run| sum + more_s(run))
    }

    /// The scraper leaves a thinner film, as dry as it was: it dries the faster from now on.
    fn thin(&mut self, pile: &Pile) {
        let left = self
            .room
            .scrape
            .as_ref()
            .map_or(1.0, |bench| 1.0 - bench.thins);
        if left >= 1.0 {
            return;
        }
        let now = self.now;
        self.count_dried_until(pile, now);
        pile.each(&mut self.flow, |run, pieces| {
            let dried_s = run.dried_s(now);
            run.since = now;
            for piece in pieces {
                piece.theta = piece.theta_after(dried_s);
                piece.drying_per_s /= left;
            }
        });
    }
}
