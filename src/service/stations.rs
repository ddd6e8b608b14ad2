//! Stations: where each duty is done, a row each, in one table.
//!
//! A station is a file with three functions and its [`Work`], and its row here, which says what parts of the evening they
//! are given. Dispatch, what binds, what is stuck, who works and the hand sheet ask the row; none of them knows the
//! stations by name.

#[cfg(test)]
pub(crate) mod tests;

use super::index::OperatorId;
use super::job::{Job, Next};
use super::obstacle::Obstacle;
use super::pieces::Zone;
use super::work::{Comes, Work};
use super::{
    Service, clear_down, hood, landing, loading, pot_sink, pre_rinse, put_away, scrape, soak,
};
use crate::room::own::Whose;
use crate::scenario::model::Duty;

/// A row of the table.
#[derive(Clone, Copy)]
pub(super) struct Station {
    pub duty: Duty,
    /// What its work is, for whoever goes by means alone.
    pub work: Work,
    /// What could be done now and where, or what it waits for; for one operator, or for anybody.
    pub next: fn(&Service<'_>, Option<OperatorId>) -> Next,
    /// An operator takes up what is ready.
    pub take: fn(&mut Service<'_>, OperatorId) -> Job,
    /// The operator has done it.
    pub done: fn(&mut Service<'_>, OperatorId, Job),
    /// Whether they are free then; otherwise `done` sees to it.
    pub frees: bool,
    /// Whether some of its units are somebody's own: then everybody has to be asked.
    pub personal: bool,
    /// What waits besides the line, in a sink or under a hood, for a duty's `once_waiting`.
    pub besides: fn(&Service<'_>) -> u32,
    /// What waits for somebody who looks after some machines only; `None` if their machines do not matter here.
    pub of_own: Option<fn(&Service<'_>, Whose<'_>) -> u32>,
    /// Where pieces are that only somebody's hands, or a sink, hold.
    pub in_hand: Option<Zone>,
}

impl Station {
    /// A row that has only what it must have.
    pub const fn new(
        duty: Duty,
        work: Work,
        next: fn(&Service<'_>, Option<OperatorId>) -> Next,
        take: fn(&mut Service<'_>, OperatorId) -> Job,
        done: fn(&mut Service<'_>, OperatorId, Job),
    ) -> Self {
        Self {
            duty,
            work,
            next,
            take,
            done,
            frees: true,
            personal: false,
            besides: |_| 0,
            of_own: None,
            in_hand: None,
        }
    }
}

/// All stations, in the order of the duties.
const ROWS: [Station; Duty::COUNT] = [
    Station {
        // Who finds the drop-off full waits there.
        frees: false,
        ..Station::new(
            Duty::ClearDown,
            clear_down::WORK,
            |at, _| clear_down::next_trip(&at.common, &at.tables, &at.soiled.drop_off, &at.crew),
            |at, _| clear_down::take_from_tables(&mut at.common, &mut at.tables),
            |at, operator, job| {
                let to = (&mut at.soiled.drop_off, &mut at.soiled.racking);
                clear_down::trip_arrives(&mut at.common, to, &mut at.crew, operator, job);
            },
        )
    },
    Station {
        in_hand: Some(Zone::Scraping),
        ..Station::new(
            Duty::Scrape,
            scrape::WORK,
            |at, _| at.soiled.next_to_scrape(&at.common),
            |at, _| at.soiled.take_to_scrape(&mut at.common),
            |at, _, job| at.soiled.scraped(&mut at.common, &mut at.clean, job),
        )
    },
    Station {
        in_hand: Some(Zone::PreRinsing),
        ..Station::new(
            Duty::PreRinse,
            pre_rinse::WORK,
            |at, _| at.soiled.next_to_pre_rinse(&at.common),
            |at, _| at.soiled.take_to_pre_rinse(&mut at.common),
            |at, _, job| at.soiled.pre_rinsed(&mut at.common, &mut at.clean, job),
        )
    },
    Station {
        besides: |at| at.soiled.soak.pieces_ready(),
        in_hand: Some(Zone::Soaking),
        ..Station::new(
            Duty::Soak,
            soak::WORK,
            |at, _| at.soiled.next_at_sinks(&at.common),
            |at, _| at.soiled.take_to_soak(&mut at.common),
            |at, _, job| at.soiled.soak_handled(&mut at.common, &mut at.clean, job),
        )
    },
    Station {
        in_hand: Some(Zone::Scrubbing),
        ..Station::new(
            Duty::WashPots,
            pot_sink::WORK,
            |at, _| at.soiled.pots.next_pot(&at.common),
            |at, _| at.soiled.pots.take_pot(&mut at.common),
            |at, _, job| at.soiled.pots.scrubbed(&mut at.common, job),
        )
    },
    Station {
        in_hand: Some(Zone::Racking),
        of_own: Some(|at, whose| at.soiled.racking.waiting(whose)),
        ..Station::new(
            Duty::Load,
            loading::WORK,
            |at, operator| {
                let whose = at.whose(operator);
                at.soiled.racking.next_to_rack(&at.common, whose)
            },
            |at, operator| {
                let whose = at.whose(Some(operator));
                at.soiled.racking.take_to_rack(&mut at.common, whose)
            },
            |at, _, job| {
                let racking = &mut at.soiled.racking;
                racking.racked(&mut at.common, job);
                at.machines.move_filled_racks(&mut at.common, racking);
            },
        )
    },
    Station {
        besides: |at| {
            let whose = Whose::ANYBODY;
            at.machines.finished_under_hoods(&at.common, whose)
        },
        of_own: Some(|at, whose| at.machines.at_hoods(&at.common, whose)),
        ..Station::new(
            Duty::Hood,
            hood::WORK,
            |at, operator| {
                let (racking, whose) = (&at.soiled.racking, at.whose(operator));
                at.machines.next_hood(&at.common, racking, whose)
            },
            |at, operator| {
                let whose = at.whose(Some(operator));
                let racking = &at.soiled.racking;
                at.machines.take_hood(&mut at.common, racking, whose)
            },
            |at, _, job| {
                let racking = &mut at.soiled.racking;
                at.machines.hood_changed(&mut at.common, racking, &job);
            },
        )
    },
    Station {
        of_own: Some(|at, whose| at.machines.to_unload(&at.soiled.racking, whose)),
        ..Station::new(
            Duty::Unload,
            landing::WORK,
            |at, operator| {
                let (racking, whose) = (&at.soiled.racking, at.whose(operator));
                (at.machines).next_to_unload(&at.common, racking, &at.clean, whose)
            },
            |at, operator| {
                let whose = at.whose(Some(operator));
                let racking = &mut at.soiled.racking;
                (at.machines).take_to_unload(&mut at.common, racking, &at.clean, whose)
            },
            |at, _, job| {
                at.machines
                    .unloaded(&mut at.common, &mut at.soiled, &mut at.clean, job);
            },
        )
    },
    Station {
        in_hand: Some(Zone::PuttingAway),
        of_own: Some(|at, whose| at.clean.waiting(whose)),
        ..Station::new(
            Duty::PutAway,
            put_away::WORK,
            |at, operator| at.clean.next_to_store(&at.common, at.whose(operator)),
            |at, operator| {
                let whose = at.whose(Some(operator));
                at.clean.take_to_store(&mut at.common, whose)
            },
            |at, _, job| at.clean.stored(&mut at.common, job),
        )
    },
    Station {
        personal: true,
        ..Station::new(
            Duty::SetUp,
            Work::new(Comes::Tasks),
            |at, operator| at.tasks.next_task_of(&at.common, Duty::SetUp, operator),
            |at, operator| at.tasks.take_task(&mut at.common, Duty::SetUp, operator),
            |at, _, job| {
                let (tasks, racking) = (&mut at.tasks, &mut at.soiled.racking);
                tasks.task_handled(&mut at.common, racking, &mut at.machines, Duty::SetUp, &job);
            },
        )
    },
    Station {
        of_own: Some(|at, whose| at.machines.waits_to_be_tended(&at.common, whose)),
        ..Station::new(
            Duty::Tend,
            Work::new(Comes::Troubles),
            |at, operator| at.machines.next_trouble(&at.common, at.whose(operator)),
            |at, operator| {
                let whose = at.whose(Some(operator));
                let racking = &mut at.soiled.racking;
                at.machines.take_to_tend(&mut at.common, racking, whose)
            },
            |at, _, job| {
                let racking = &mut at.soiled.racking;
                at.machines.tended(&mut at.common, racking, &job);
            },
        )
    },
    Station {
        personal: true,
        ..Station::new(
            Duty::CloseDown,
            Work::new(Comes::Tasks),
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

/// Duties that everybody has to be asked about, a bit each; and those that whoever looks after some machines has to be
/// asked about.
pub(super) const ASKED_ALONE: [u16; 2] = {
    let (mut personal, mut own, mut row) = (0, 0, 0);
    while row < Duty::COUNT {
        let station = &ROWS[row];
        personal |= if station.personal {
            station.duty.bit()
        } else {
            0
        };
        own |= if station.of_own.is_some() {
            station.duty.bit()
        } else {
            0
        };
        row += 1;
    }
    assert!(own == Duty::AT_MACHINES);
    [personal, personal | own]
};

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

/// The work of a duty's station.
#[must_use]
pub fn work(duty: Duty) -> &'static Work {
    &of(duty).work
}

impl<'r> Service<'r> {
    /// Whose work that of an operator is, or anybody's.
    fn whose(&self, operator: Option<OperatorId>) -> Whose<'r> {
        operator.map_or(Whose::ANYBODY, |one| self.common.room.crew[one].whose())
    }

    /// What there is to do for a duty; for one operator, or for anybody.
    pub(super) fn next(&self, duty: Duty, operator: Option<OperatorId>) -> Next {
        if duty.bit() & self.common.flow.lines.wanted() == 0 {
            return Next::Nothing;
        }
        let station = of(duty);
        let next = (station.next)(self, operator);
        let places = station.work.places.people(self.common.room);
        if next != Next::Nothing && places.is_some_and(|places| self.crew.at_work(duty) >= places) {
            return Next::Waits(Obstacle::Place);
        }
        next
    }
}
