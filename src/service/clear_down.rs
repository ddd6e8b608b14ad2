//! Clear-down, where ware is gathered in tubs: it is carried from the tables, a tub a trip, by the crew or by floor staff
//! outside the roster. Where no tub is free it waits on the tables, and dries.

use super::common::Common;
use super::crew::{Crew, Doing};
use super::drop_off::{DropOff, Trip};
use super::events::{Event, LongestWait};
use super::index::OperatorId;
use super::job::{Job, Next};
use super::line::{Batch, Line};
use super::loading::Racking;
use super::obstacle::Obstacle;
use super::pieces::{Pile, Zone};
use super::streams::Purpose;
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

/// Where soiled ware waits for a trip, if it is gathered in tubs.
pub(super) fn tables(room: &Room) -> Line {
    let gathers = room.clear_down.as_ref().filter(|clear| clear.gathers());
    let tub = gathers.map(|clear| Batch {
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
    } else if drop_off.has_room_for_tub(common, crew) && drop_off.has_free_tub(common, crew) {
        Next::Ready
    } else {
        Next::Waits(Obstacle::Room)
    }
}

/// An operator takes a tub from the tables.
pub(super) fn take_from_tables(common: &mut Common<'_>, tables: &mut Line) -> Job {
    Job {
        hand: fill_tub(common, tables),
        ..Job::default()
    }
}

fn fill_tub(common: &mut Common<'_>, tables: &mut Line) -> Pile {
    let tub = WORK.full.pieces(common.room);
    let (flow, events) = (&mut common.flow, &mut common.events);
    let hand = tables
        .take_up(flow, events, tub, common.now)
        .moved_to(flow, Zone::OnTrip);
    common.dries_at(&hand, common.room.dries.in_tubs);
    hand
}

/// Whether ware that is due stays on the tables for want of a tub, from now on.
pub(super) fn look_for_tubs(
    common: &mut Common<'_>,
    tables: &Line,
    drop_off: &DropOff,
    crew: &Crew,
) {
    let clear = common.room.clear_down.as_ref();
    if clear.is_some_and(|clear| clear.fleet.is_some()) {
        let is_due = tables.is_due(&common.flow, common.now);
        let lacks = is_due && !drop_off.has_free_tub(common, crew);
        common.tally.lacks_tub(lacks, common.now);
    }
}

/// Floor staff walk with every tub that is full, or has waited long enough, while one is free.
pub(super) fn send_tubs(
    common: &mut Common<'_>,
    tables: &mut Line,
    drop_off: &mut DropOff,
    crew: &Crew,
) {
    let Some(clear) = common
        .room
        .clear_down
        .as_ref()
        .filter(|c| c.by_floor_in_tubs())
    else {
        return;
    };
    while tables.is_due(&common.flow, common.now) && drop_off.has_free_tub(common, crew) {
        let hand = fill_tub(common, tables);
        let Some(first) = hand.head().map(|run| common.flow[run]) else {
            return;
        };
        // A lot of several tubs is several trips.
        let lot = &common.flow.lots[first.lot];
        let (key, part) = (lot.key, u64::from(lot.place_of(first.first)));
        let mut stream = common.streams.stream(Purpose::Trip, key, part);
        let comes = common.now + clear.trip.draw(&mut stream);
        let tub = drop_off.carry(hand);
        common.events.set(comes, Event::TubComes(tub));
    }
}

pub(super) fn trip_arrives(
    common: &mut Common<'_>,
    (drop_off, racking): (&mut DropOff, &mut Racking),
    crew: &mut Crew,
    operator: OperatorId,
    job: Job,
) {
    crew.set_doing(operator, Doing::Waiting);
    let hand = job.hand;
    let trip = Trip {
        hand,
        by: Some(operator),
        in_tub: true,
    };
    if drop_off.arrive(common, crew, racking, trip) {
        crew.release(common, operator);
    }
}
