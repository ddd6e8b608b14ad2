//! Stations: where each duty is done, a row each, in one table.
//!
//! A station is a file with three functions and its row. Dispatch, what binds, what is stuck and who works all ask the
//! row; none of them knows the stations by name.

use super::Service;
use super::crew::{Crew, DUTIES, Job};
use super::obstacle::Obstacle;
use super::pieces::Zone;
use super::{clear_down, faults, hood, landing, loading, pre_rinse, put_away, scrape, soak, tasks};
use crate::room::Room;
use crate::room::law::RandomTime;
use crate::room::plan::Spot;
use crate::scenario::model::Duty;

/// What there is to do at a station.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Next {
    /// A unit of work that could start now, there, if somebody were free.
    Ready(Spot),
    /// Work that waits for that.
    Waits(Obstacle),
    /// Nothing, or what waits only for more of it, or for a machine.
    Nothing,
}

/// What a unit of work is, for those who read of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    Pieces,
    Racks,
    Tasks,
    Troubles,
}

/// A row of the table.
pub(super) struct Station {
    pub duty: Duty,
    pub unit: Unit,
    /// What could be done now and where, or what it waits for; for one operator, or for anybody.
    pub next: fn(&Service<'_>, Option<usize>) -> Next,
    /// An operator takes up what is ready.
    pub take: fn(&mut Service<'_>, usize) -> Job,
    /// The operator has done it.
    pub done: fn(&mut Service<'_>, usize, Job),
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
        next: fn(&Service<'_>, Option<usize>) -> Next,
        take: fn(&mut Service<'_>, usize) -> Job,
        done: fn(&mut Service<'_>, usize, Job),
    ) -> Self {
        Self {
            duty,
            unit,
            next,
            take,
            done,
            frees: true,
            personal: false,
            unit_time: |_| None,
            besides: |_| 0,
            in_hand: None,
        }
    }
}

/// All stations, in the order of the duties.
const ROWS: [Station; DUTIES] = [
    clear_down::STATION,
    scrape::STATION,
    pre_rinse::STATION,
    soak::STATION,
    loading::STATION,
    hood::STATION,
    landing::STATION,
    put_away::STATION,
    tasks::SET_UP,
    faults::STATION,
    tasks::CLOSE_DOWN,
];

static STATIONS: [Station; DUTIES] = ROWS;

// A row in the wrong place does not compile.
const _: () = {
    let mut row = 0;
    while row < DUTIES {
        assert!(ROWS[row].duty as usize == row);
        row += 1;
    }
};

/// The station of a duty.
pub(super) fn of(duty: Duty) -> &'static Station {
    &STATIONS[duty as usize]
}

impl Service<'_> {
    /// What there is to do for a duty; for one operator, or for anybody.
    pub(super) fn next(&self, duty: Duty, operator: Option<usize>) -> Next {
        if duty.bit() & self.common.flow.lines.wanted() == 0 {
            return Next::Nothing;
        }
        (of(duty).next)(self, operator)
    }
}

impl Crew {
    /// Whether fewer are at a duty than it has places.
    pub(super) const fn has_place(&self, duty: Duty, places: u32) -> bool {
        self.at_work(duty) < places
    }
}
