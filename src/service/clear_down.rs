//! Clear-down by the crew: soiled ware is carried from the tables, a tub a trip.

use super::common::Common;
use super::crew::{Crew, Doing, Job};
use super::drop_off::{DropOff, Trip};
use super::line::{Batch, Line};
use super::obstacle::Obstacle;
use super::pieces::Zone;
use super::station::{Next, Station, Unit};
use crate::room::Room;
use crate::room::plan::Spot;
use crate::scenario::model::Duty;

pub(super) const STATION: Station = Station {
    unit_time: |room| room.clear_down.as_ref().map(|clear| &clear.trip),
    // Who finds the drop-off full waits there.
    frees: false,
    ..Station::new(
        Duty::ClearDown,
        Unit::Pieces,
        |at, _| next_trip(&at.common, &at.tables, &at.soiled.drop_off, &at.crew),
        |at, _| take_from_tables(&mut at.common, &mut at.tables),
        |at, operator, job| {
            let drop_off = &mut at.soiled.drop_off;
            trip_arrives(&mut at.common, drop_off, &mut at.crew, operator, job);
        },
    )
};

/// Where soiled ware waits for a trip, if the crew clears the tables.
pub(super) fn tables(room: &Room) -> Line {
    let by_crew = room.clear_down.as_ref().filter(|clear| clear.by_crew);
    let tub = by_crew.map(|clear| Batch {
        clock: Batch::TUB,
        enough: u64::from(clear.tub),
        wait_at_most: clear.wait_at_most,
    });
    Line::new(Duty::ClearDown, Zone::OnTables, tub)
}

fn next_trip(common: &Common<'_>, tables: &Line, drop_off: &DropOff, crew: &Crew) -> Next {
    if !tables.is_due(&common.flow, common.now) {
        Next::Nothing
    } else if drop_off.has_room_for_tub(common, crew) {
        Next::Ready(Spot::of_duty(Duty::ClearDown))
    } else {
        Next::Waits(Obstacle::Room)
    }
}

/// An operator takes a tub from the tables.
fn take_from_tables(common: &mut Common<'_>, tables: &mut Line) -> Job {
    let clear_down = common.room.clear_down.as_ref();
    let tub = clear_down.map_or(1, |clear| clear.tub);
    let (flow, events) = (&mut common.flow, &mut common.events);
    Job {
        hand: tables.take_up(flow, events, tub, Zone::OnTrip, common.now),
        spot: Spot::of_duty(Duty::ClearDown),
        ..Job::default()
    }
}

fn trip_arrives(
    common: &mut Common<'_>,
    drop_off: &mut DropOff,
    crew: &mut Crew,
    operator: usize,
    job: Job,
) {
    crew.set_doing(operator, Doing::Waiting);
    let hand = job.hand;
    let by = Some(operator);
    if drop_off.arrive(common, crew, Trip { hand, by }) {
        crew.release(common, operator);
    }
}
