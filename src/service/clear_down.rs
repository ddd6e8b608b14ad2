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
use crate::room::Room;
use crate::scenario::model::Duty;

/// Where soiled ware waits for a trip, if the crew clears the tables.
pub(super) fn tables(room: &Room) -> Line {
    let by_crew = room.clear_down.as_ref().filter(|clear| clear.by_crew);
    let tub = by_crew.map(|clear| Batch {
        clock: LongestWait::TUB,
        enough: u64::from(clear.tub),
        wait_at_most: clear.wait_at_most,
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
    let clear_down = common.room.clear_down.as_ref();
    let tub = clear_down.map_or(1, |clear| clear.tub);
    let (flow, events) = (&mut common.flow, &mut common.events);
    Job {
        hand: tables
            .take_up(flow, events, tub, common.now)
            .moved_to(flow, Zone::OnTrip),
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
