//! Faults of the machines, ready to run: a row that strikes several machines becomes one of each.

use super::keys::name_key;
use super::law::{Law, RandomTime};
use super::time::{Hours, Time};
use crate::scenario::model::{self, Machine, MachineKind, Scenario, Strikes};

/// A fault of one machine.
#[derive(Debug, Clone)]
pub struct Fault {
    /// Name, as messages give it.
    pub name: String,
    /// The machine it strikes.
    pub machine: usize,
    /// Key to its random streams.
    pub key: u64,
    /// When it strikes.
    pub when: When,
    /// It passes by itself after so long, and nobody mends it.
    pub lasts: Option<Time>,
    /// Time from when it strikes until something shows it.
    pub alarm_after: Option<Time>,
    /// Somebody looks for it so often.
    pub check_every: Option<Time>,
    /// Hands on for each look; none: in passing.
    pub check_takes: Time,
    /// So many pieces of one rack caught dirty show it.
    pub dirty_in_rack: Option<u32>,
    /// Hands on to mend it.
    pub mend: RandomTime,
    /// Somebody from outside mends it, so long after the crew has called.
    pub outside: Option<RandomTime>,
    /// What it does meanwhile.
    pub effect: Effect,
}

/// When a fault strikes.
#[derive(Debug, Clone)]
pub enum When {
    /// After so much running time, again and again.
    Every(RandomTime),
    /// Once, at a moment of the evening.
    At(Time),
}

impl When {
    /// Mean running time between, if it strikes by that.
    #[must_use]
    pub const fn every_s(&self) -> Option<f64> {
        match self {
            Self::Every(every) => Some(every.mean_s),
            Self::At(_) => None,
        }
    }
}

/// What a fault does until it is mended or passes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effect {
    /// The machine stands from the moment it strikes.
    pub stops: bool,
    /// The machine stands while it is mended.
    pub mend_stops: bool,
    /// Factor of the wash, by spray and detergent.
    pub wash: f64,
    /// Share left of the detergent.
    pub detergent: f64,
    /// Share left of the power of heaters and booster.
    pub heat: f64,
    /// Share left of the water of the tanks.
    pub level: f64,
}

/// The faults of a scenario: row by row, machine by machine.
#[must_use]
pub fn faults(scenario: &Scenario, hours: &Hours) -> Vec<Fault> {
    let conveyors = scenario.machine.iter().any(is_conveyor);
    let of_row = |row| {
        let machines = scenario.machine.iter().enumerate();
        let struck = machines.filter(move |(_, machine)| strikes(row, machine, conveyors));
        struck.map(move |(index, machine)| Fault::of(row, index, &machine.name, hours))
    };
    scenario.fault.iter().flat_map(of_row).collect()
}

const fn is_conveyor(machine: &Machine) -> bool {
    matches!(machine.kind, MachineKind::RackConveyor { .. })
}

/// Whether a row strikes a machine: the one it names, or else every rack conveyor, or where there is none
/// every machine.
fn strikes(row: &model::Fault, machine: &Machine, conveyors: bool) -> bool {
    match &row.machine {
        Some(name) => *name == machine.name,
        None => is_conveyor(machine) || !conveyors,
    }
}

impl Fault {
    fn of(row: &model::Fault, machine: usize, machine_name: &str, hours: &Hours) -> Self {
        let mended = row.lasts_s.is_none();
        let law = match row.strikes {
            Strikes::AtRandom => Law::Exponential,
            Strikes::Regularly => Law::Fixed,
        };
        Self {
            name: row.name.clone(),
            machine,
            key: name_key(&row.name) ^ name_key(machine_name).rotate_left(1),
            when: match row.at_s {
                Some(at_s) => When::At(hours.moment(at_s)),
                None => When::Every(RandomTime {
                    // The check refuses a row without either.
                    mean_s: row.every_s.unwrap_or(f64::MAX),
                    law,
                }),
            },
            lasts: row.lasts_s.map(Time::from_s),
            alarm_after: mended
                .then_some(row.alarm_after_s)
                .flatten()
                .map(Time::from_s),
            check_every: mended
                .then_some(row.check_every_s)
                .flatten()
                .map(Time::from_s),
            check_takes: Time::from_s(row.check_takes_s),
            dirty_in_rack: mended.then_some(row.dirty_in_rack).flatten(),
            mend: RandomTime::of(&row.mend),
            outside: row.outside.as_ref().map(RandomTime::of),
            effect: Effect {
                stops: row.stops,
                mend_stops: mended && row.mend_stops,
                wash: row.spray * row.detergent,
                detergent: row.detergent,
                heat: row.heat,
                level: row.level,
            },
        }
    }
}
