//! Pre-rinsing: soil is wetted, and ware goes on to the soak or the racks.

use super::common::Common;
use super::job::{Job, Next};
use super::obstacle::Obstacle;
use super::pieces::{Pile, Zone};
use super::put_away::CleanSide;
use super::soiled_side::{BenchLoad, SoiledSide, needs_table};
use super::work::{Comes, Full, Places, Seconds, Work};
use crate::physics::{drying, wetting};
use crate::room::ware::Ware;

pub(super) const WORK: Work = Work {
    places: Places::People(|room| room.pre_rinse.as_ref().map_or(0, |bench| bench.places)),
    full: Full::Pieces(|room| room.pre_rinse.as_ref().map_or(1, |bench| bench.batch)),
    unit_time: |room| room.pre_rinse.as_ref().map(|bench| &bench.per_unit),
    seconds: &[Seconds::OfWare(piece_s)],
    takes: |ware| !ware.at_pot_sink && !ware.is_sorted,
    ..Work::new(Comes::Soiled)
};

const fn piece_s(ware: &Ware) -> f64 {
    ware.pre_rinse_s
}

impl SoiledSide {
    pub(super) fn next_to_pre_rinse(&self, common: &Common<'_>) -> Next {
        let has_room = |run| {
            !needs_table(common.room, &common.flow[run], Zone::PreRinsing)
                || self.racking.table.room(&common.flow) > 0
        };
        if self.to_pre_rinse.head().is_some_and(has_room) {
            Next::Ready
        } else {
            Next::Waits(Obstacle::Room)
        }
    }

    /// Takes pieces to pre-rinse.
    pub(super) fn take_to_pre_rinse(&mut self, common: &mut Common<'_>) -> Job {
        let batch = WORK.full.pieces(common.room);
        let room = common.room;
        let mut load = BenchLoad::new(room, batch, self.racking.table.room(&common.flow));
        let (flow, events) = (&mut common.flow, &mut common.events);
        let line = &mut self.to_pre_rinse;
        let hand = line.take_while(flow, events, common.now, |run| {
            let work_s = piece_s(&room.wares[run.ware as usize]);
            (load.takes(run, Zone::PreRinsing, work_s), 1)
        });
        let job = load.job(hand.moved_to(flow, Zone::PreRinsing));
        self.racking.table.keep(job.kept);
        job
    }

    /// Pre-rinsed pieces are wetter and go on.
    pub(super) fn pre_rinsed(&mut self, common: &mut Common<'_>, clean: &mut CleanSide, job: Job) {
        let wets = common
            .room
            .pre_rinse
            .as_ref()
            .map_or(0.0, |bench| bench.wets);
        self.racking.table.give_back(job.kept);
        common.wet(&job.hand, wets);
        self.send_on(common, clean, job.hand);
    }
}

impl Common<'_> {
    /// Takes the share `wets` away from the dryness that a piece has reached by now.
    fn wet(&mut self, pile: &Pile, wets: f64) {
        let (now, soils) = (self.now, &self.room.soils);
        self.count_dried_until(pile, now);
        pile.each(&mut self.flow, |run, pieces| {
            let critical = soils[run.soil as usize].critical_moisture;
            let dried_s = run.dried_s(now);
            run.since = now;
            for at in pieces {
                let dryness = drying::dryness(at.theta_after(dried_s), critical);
                at.theta = drying::theta_of(wetting::pre_rinsed(dryness, wets), critical);
            }
        });
    }
}
