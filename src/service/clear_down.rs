//! Clear-down by the crew: soiled ware is carried from the tables, a tub a trip.

use super::common::Common;
use super::crew::{Crew, Doing};
use super::drop_off::{DropOff, Trip};
use super::events::LongestWait;
use super::index::OperatorId;
use super::job::{Job, Next};
use super::line::{Batch, Line};
use super::obstacle::Obstacle;
use super::pieces::Zone;
use super::work::{Comes, Full, PartFull, Seconds, Work};
use crate::room::Room;
use crate::scenario::model::Duty;

/// A trip takes its time, whatever is in the tub.
pub(super) const WORK: Work = Work {
    full: Full::Trip(|room| room.clear_down.as_ref().map_or(1, |clear| clear.tub)),
    part_full: |room| {
        let by_crew = room.clear_down.as_ref().filter(|clear| clear.by_crew);
        by_crew.map(|clear| PartFull {
            enough: clear.tub,
            wait_at_most: clear.wait_at_most,
        })
    },
    unit_time: |room| room.clear_down.as_ref().map(|clear| &clear.trip),
    seconds: &[Seconds::Same(|_| 0.0)],
    ..Work::new(Comes::FromTables)
};

/// Where soiled ware waits for a trip, if the crew clears the tables.
pub(super) fn tables(room: &Room) -> Line {
    let tub = (WORK.part_full)(room).map(|part| Batch {
        clock: LongestWait::TUB,
        enough: u64::from(part.enough),
        wait_at_most: part.wait_at_most,
    });
    Line::new(Duty::ClearDown, Zone::OnTables, tub)
}

pub(super) fn next_trip(
    common: &Common<'_>,
    tables: &Line,
    drop_off: &DropOff,
    crew: &Crew,
) -> Next {
    if !tables.is_due(&common.flow, common.now) {
        Next::Nothing
    } else if drop_off.has_room_for_tub(common, crew) {
        Next::Ready
    } else {
        Next::Waits(Obstacle::Room)
    }
}

/// An operator takes a tub from the tables.
pub(super) fn take_from_tables(common: &mut Common<'_>, tables: &mut Line) -> Job {
    let tub = WORK.full.pieces(common.room);
    let (flow, events) = (&mut common.flow, &mut common.events);
    let hand = tables
        .take_up(flow, events, tub, common.now)
        .moved_to(flow, Zone::OnTrip);
    common.dries_at(&hand, common.room.dries.in_tubs);
    Job {
        hand,
        ..Job::default()
    }
}

pub(super) fn trip_arrives(
    common: &mut Common<'_>,
    drop_off: &mut DropOff,
    crew: &mut Crew,
    operator: OperatorId,
    job: Job,
) {
    crew.set_doing(operator, Doing::Waiting);
    let hand = job.hand;
    let by = Some(operator);
    if drop_off.arrive(common, crew, Trip { hand, by }) {
        crew.release(common, operator);
    }
}
