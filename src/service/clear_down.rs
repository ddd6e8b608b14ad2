//! Clear-down by the crew: soiled ware is carried from the tables, a tub a trip.

use super::Service;
use super::crew::{Doing, Job};
use super::drop_off::Trip;
use super::obstacle::Obstacle;
use super::pieces::Zone;
use super::station::{Next, Station, Unit};
use crate::room::plan::Spot;
use crate::scenario::model::Duty;

pub(super) const STATION: Station = Station {
    unit_time: |room| room.clear_down.as_ref().map(|clear| &clear.trip),
    // Who finds the drop-off full waits there.
    frees: false,
    ..Station::new(
        Duty::ClearDown,
        Unit::Pieces,
        |service, _| service.next_trip(),
        |service, _| service.take_from_tables(),
        |service, operator, job| service.trip_arrives(operator, job),
    )
};

impl Service<'_> {
    fn next_trip(&self) -> Next {
        if !self.dining.on_tables.is_due(&self.flow, self.now) {
            Next::Nothing
        } else if self.has_room_for_tub() {
            Next::Ready(Spot::of_duty(Duty::ClearDown))
        } else {
            Next::Waits(Obstacle::Room)
        }
    }

    /// An operator takes a tub from the tables.
    fn take_from_tables(&mut self) -> Job {
        let tub = self.room.clear_down.as_ref().map_or(1, |clear| clear.tub);
        let (flow, events) = (&mut self.flow, &mut self.events);
        let tables = &mut self.dining.on_tables;
        Job {
            hand: tables.take_up(flow, events, tub, Zone::OnTrip, self.now),
            spot: Spot::of_duty(Duty::ClearDown),
            ..Job::default()
        }
    }

    fn trip_arrives(&mut self, operator: usize, job: Job) {
        self.crew.set_doing(operator, Doing::Waiting);
        self.arrive(Trip {
            hand: job.hand,
            by: Some(operator),
        });
    }
}
