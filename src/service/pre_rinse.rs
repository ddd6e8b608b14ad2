//! Pre-rinsing: soil is wetted, and ware goes on to the soak or the racks.

use super::common::Common;
use super::crew::Crew;
use super::job::{Job, Next};
use super::obstacle::Obstacle;
use super::pieces::{Pile, Zone};
use super::put_away::CleanSide;
use super::soiled_side::SoiledSide;
use crate::physics::{drying, wetting};
use crate::room::plan::Spot;
use crate::scenario::model::Duty;

impl SoiledSide {
    pub(super) fn next_to_pre_rinse(&self, common: &Common<'_>, crew: &Crew) -> Next {
        let places = common
            .room
            .pre_rinse
            .as_ref()
            .map_or(0, |bench| bench.places);
        if !crew.has_place(Duty::PreRinse, places) {
            return Next::Waits(Obstacle::Place);
        }
        let has_room = |piece| {
            !common.needs_table(piece, Zone::PreRinsing)
                || self.racking.table.room(&common.flow) > 0
        };
        if self.to_pre_rinse.head().is_some_and(has_room) {
            Next::Ready(Spot::of_duty(Duty::PreRinse))
        } else {
            Next::Waits(Obstacle::Room)
        }
    }

    /// Takes pieces to pre-rinse.
    pub(super) fn take_to_pre_rinse(&mut self, common: &mut Common<'_>) -> Job {
        let batch = common
            .room
            .pre_rinse
            .as_ref()
            .map_or(1, |bench| bench.batch);
        let mut room_left = self.racking.table.room(&common.flow);
        let mut job = Job {
            hand: Pile::new(Zone::PreRinsing),
            spot: Spot::of_duty(Duty::PreRinse),
            ..Job::default()
        };
        while job.hand.len() < batch {
            let Some(piece) = self.to_pre_rinse.head() else {
                break;
            };
            if common.needs_table(piece, Zone::PreRinsing) {
                if room_left == 0 {
                    break;
                }
                room_left -= 1;
                job.kept += 1;
            }
            let Some(piece) = self.to_pre_rinse.take(&mut common.flow, common.now) else {
                break;
            };
            let ware = common.flow[piece.piece()].ware;
            job.more_s += common.room.wares[ware as usize].pre_rinse_s;
            job.hand.put(&mut common.flow, piece);
        }
        self.racking.table.keep(job.kept);
        job
    }

    /// Pre-rinsed pieces are wetter and go on.
    pub(super) fn pre_rinsed(
        &mut self,
        common: &mut Common<'_>,
        clean: &mut CleanSide,
        mut job: Job,
    ) {
        let wets = common
            .room
            .pre_rinse
            .as_ref()
            .map_or(0.0, |bench| bench.wets);
        self.racking.table.give_back(job.kept);
        while let Some(piece) = job.hand.take(&common.flow) {
            common.wet(piece.piece(), wets);
            self.send_on(common, clean, piece);
        }
    }
}

impl Common<'_> {
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
