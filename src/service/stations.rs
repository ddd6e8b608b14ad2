//! Stations: where each duty is done, a row each, in one table.
//!
//! A station is a file with three functions, and its row here, which says what parts of the evening they are given.
//! Dispatch, what binds, what is stuck and who works all ask the row; none of them knows the stations by name.

#[cfg(test)]
mod tests;

use super::index::OperatorId;
use super::job::{Job, Next};
use super::obstacle::Obstacle;
use super::pieces::Zone;
use super::{Service, clear_down};
use crate::room::Room;
use crate::room::law::RandomTime;
use crate::scenario::model::Duty;

/// What a unit of work is, for those who read of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Pieces of ware.
    Pieces,
    /// Racks.
    Racks,
    /// Tasks of set-up or close-down.
    Tasks,
    /// Faults and changes of water.
    Troubles,
}

/// A row of the table.
#[derive(Clone, Copy)]
pub(super) struct Station {
    pub duty: Duty,
    pub unit: Unit,
    /// What could be done now and where, or what it waits for; for one operator, or for anybody.
    pub next: fn(&Service<'_>, Option<OperatorId>) -> Next,
    /// An operator takes up what is ready.
    pub take: fn(&mut Service<'_>, OperatorId) -> Job,
    /// The operator has done it.
    pub done: fn(&mut Service<'_>, OperatorId, Job),
    /// How many may be at it at once; `None` where sinks, racks or machines say so.
    pub places: fn(&Room) -> Option<u32>,
    /// Whether they are free then; otherwise `done` sees to it.
    pub frees: bool,
    /// Whether some of its units are somebody's own: then everybody has to be asked.
    pub personal: bool,
    /// The random time of a unit, besides what the job takes.
    pub unit_time: fn(&Room) -> Option<&RandomTime>,
    /// What waits besides the line, in a sink or under a hood, for a duty's `once_waiting`.
    pub besides: fn(&Service<'_>) -> u32,
    /// Where pieces are that only somebody's hands, or a sink, hold.
    pub in_hand: Option<Zone>,
}

impl Station {
    /// A row that has only what it must have.
    pub const fn new(
        duty: Duty,
        unit: Unit,
        next: fn(&Service<'_>, Option<OperatorId>) -> Next,
        take: fn(&mut Service<'_>, OperatorId) -> Job,
        done: fn(&mut Service<'_>, OperatorId, Job),
    ) -> Self {
        Self {
            duty,
            unit,
            next,
            take,
            done,
            places: |_| None,
            frees: true,
            personal: false,
            unit_time: |_| None,
            besides: |_| 0,
            in_hand: None,
        }
    }
}

/// All stations, in the order of the duties.
const ROWS: [Station; Duty::COUNT] = [
    Station {
        unit_time: |room| room.clear_down.as_ref().map(|clear| &clear.trip),
        // Who finds the drop-off full waits there.
        frees: false,
        ..Station::new(
            Duty::ClearDown,
            Unit::Pieces,
            |at, _| clear_down::next_trip(&at.common, &at.tables, &at.soiled.drop_off, &at.crew),
            |at, _| clear_down::take_from_tables(&mut at.common, &mut at.tables),
            |at, operator, job| {
                let drop_off = &mut at.soiled.drop_off;
                clear_down::trip_arrives(&mut at.common, drop_off, &mut at.crew, operator, job);
            },
        )
    },
    Station {
        places: |room| room.scrape.as_ref().map(|at| at.places),
        unit_time: |room| room.scrape.as_ref().map(|bench| &bench.per_unit),
        in_hand: Some(Zone::Scraping),
        ..Station::new(
            Duty::Scrape,
            Unit::Pieces,
            |at, _| at.soiled.next_to_scrape(&at.common),
            |at, _| at.soiled.take_to_scrape(&mut at.common),
            |at, _, job| at.soiled.scraped(&mut at.common, &mut at.clean, job),
        )
    },
    Station {
        places: |room| room.pre_rinse.as_ref().map(|at| at.places),
        unit_time: |room| room.pre_rinse.as_ref().map(|bench| &bench.per_unit),
        in_hand: Some(Zone::PreRinsing),
        ..Station::new(
            Duty::PreRinse,
            Unit::Pieces,
            |at, _| at.soiled.next_to_pre_rinse(&at.common),
            |at, _| at.soiled.take_to_pre_rinse(&mut at.common),
            |at, _, job| at.soiled.pre_rinsed(&mut at.common, &mut at.clean, job),
        )
    },
    Station {
        unit_time: |room| room.soak.as_ref().map(|soak| &soak.per_unit),
        besides: |at| at.soiled.soak.pieces_ready(),
        in_hand: Some(Zone::Soaking),
        ..Station::new(
            Duty::Soak,
            Unit::Pieces,
            |at, _| at.soiled.next_at_sinks(&at.common),
            |at, _| at.soiled.take_to_soak(&mut at.common),
            |at, _, job| at.soiled.soak_handled(&mut at.common, &mut at.clean, job),
        )
    },
    Station {
        unit_time: |room| room.loading.as_ref().map(|loading| &loading.per_unit),
        in_hand: Some(Zone::Racking),
        ..Station::new(
            Duty::Load,
            Unit::Pieces,
            |at, _| at.soiled.racking.next_to_rack(&at.common),
            |at, _| at.soiled.racking.take_to_rack(&mut at.common),
            |at, _, job| {
                let racking = &mut at.soiled.racking;
                racking.racked(&mut at.common, job);
                at.machines.move_filled_racks(&mut at.common, racking);
            },
        )
    },
    Station {
        besides: |at| at.machines.finished_under_hoods(&at.common),
        ..Station::new(
            Duty::Hood,
            Unit::Racks,
            |at, _| at.machines.next_hood(&at.common, &at.soiled.racking),
            |at, _| at.machines.take_hood(&mut at.common, &at.soiled.racking),
            |at, _, job| {
                let racking = &mut at.soiled.racking;
                at.machines.hood_changed(&mut at.common, racking, &job);
            },
        )
    },
    Station {
        places: |room| room.unload.as_ref().map(|at| at.places),
        unit_time: |room| room.unload.as_ref().map(|bench| &bench.per_unit),
        ..Station::new(
            Duty::Unload,
            Unit::Racks,
            |at, _| {
                let racking = &at.soiled.racking;
                at.machines.next_to_unload(&at.common, racking)
            },
            |at, _| {
                let racking = &mut at.soiled.racking;
                at.machines.take_to_unload(&mut at.common, racking)
            },
            |at, _, job| {
                at.machines
                    .unloaded(&mut at.common, &mut at.soiled, &mut at.clean, job);
            },
        )
    },
    Station {
        places: |room| room.put_away.as_ref().map(|at| at.places),
        unit_time: |room| room.put_away.as_ref().map(|put_away| &put_away.per_unit),
        in_hand: Some(Zone::PuttingAway),
        ..Station::new(
            Duty::PutAway,
            Unit::Pieces,
            |at, _| at.clean.next_to_store(&at.common),
            |at, _| at.clean.take_to_store(&mut at.common),
            |at, _, job| at.clean.stored(&mut at.common, job),
        )
    },
    Station {
        personal: true,
        ..Station::new(
            Duty::SetUp,
            Unit::Tasks,
            |at, operator| at.tasks.next_task_of(&at.common, Duty::SetUp, operator),
            |at, operator| at.tasks.take_task(&mut at.common, Duty::SetUp, operator),
            |at, _, job| {
                let (tasks, racking) = (&mut at.tasks, &mut at.soiled.racking);
                tasks.task_handled(&mut at.common, racking, &mut at.machines, Duty::SetUp, &job);
            },
        )
    },
    Station::new(
        Duty::Tend,
        Unit::Troubles,
        |at, _| at.machines.next_trouble(&at.common),
        |at, _| {
            let racking = &mut at.soiled.racking;
            at.machines.take_to_tend(&mut at.common, racking)
        },
        |at, _, job| {
            let racking = &mut at.soiled.racking;
            at.machines.tended(&mut at.common, racking, &job);
        },
    ),
    Station {
        personal: true,
        ..Station::new(
            Duty::CloseDown,
            Unit::Tasks,
            |at, operator| at.tasks.next_task_of(&at.common, Duty::CloseDown, operator),
            |at, operator| {
                at.tasks
                    .take_task(&mut at.common, Duty::CloseDown, operator)
            },
            |at, _, job| {
                let (tasks, racking) = (&mut at.tasks, &mut at.soiled.racking);
                tasks.task_handled(
                    &mut at.common,
                    racking,
                    &mut at.machines,
                    Duty::CloseDown,
                    &job,
                );
            },
        )
    },
];

static STATIONS: [Station; Duty::COUNT] = ROWS;

// A row in the wrong place does not compile.
const _: () = {
    let mut row = 0;
    while row < Duty::COUNT {
        assert!(ROWS[row].duty as usize == row);
        row += 1;
    }
};

/// The station of a duty.
#[cfg(not(test))]
pub(super) fn of(duty: Duty) -> &'static Station {
    &STATIONS[duty as usize]
}

/// Of the table that the test at hand plays with.
#[cfg(test)]
pub(super) fn of(duty: Duty) -> &'static Station {
    &tests::TABLE.get()[duty as usize]
}

impl Service<'_> {
    /// What there is to do for a duty; for one operator, or for anybody.
    pub(super) fn next(&self, duty: Duty, operator: Option<OperatorId>) -> Next {
        if duty.bit() & self.common.flow.lines.wanted() == 0 {
            return Next::Nothing;
        }
        let station = of(duty);
        let next = (station.next)(self, operator);
        let places = (station.places)(self.common.room);
        if next != Next::Nothing && places.is_some_and(|places| self.crew.at_work(duty) >= places) {
            return Next::Waits(Obstacle::Place);
        }
        next
    }
}
