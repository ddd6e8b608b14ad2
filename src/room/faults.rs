//! Faults of the machines, ready to run: a row that strikes several machines becomes one of each.

use super::keys::name_key;
use super::law::{Law, RandomTime};
use super::time::Time;
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
    /// Running time between.
    pub every: RandomTime,
    /// Time from when it strikes until something shows it.
    pub alarm_after: Option<Time>,
    /// Somebody looks for it so often.
    pub check_every: Option<Time>,
    /// So many pieces of one rack caught dirty show it.
    pub dirty_in_rack: Option<u32>,
    /// Hands on to mend it.
    pub mend: RandomTime,
    /// What it does meanwhile.
    pub effect: Effect,
}

/// What a fault does until it is mended.
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
pub fn faults(scenario: &Scenario) -> Vec<Fault> {
    let conveyors = scenario.machine.iter().any(is_conveyor);
    let of_row = |row| {
        let machines = scenario.machine.iter().enumerate();
        let struck = machines.filter(move |(_, machine)| strikes(row, machine, conveyors));
        struck.map(move |(index, machine)| Fault::of(row, index, &machine.name))
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
    fn of(row: &model::Fault, machine: usize, machine_name: &str) -> Self {
        let law = match row.strikes {
            Strikes::AtRandom => Law::Exponential,
            Strikes::Regularly => Law::Fixed,
        };
        Self {
            name: row.name.clone(),
            machine,
            key: name_key(&row.name) ^ name_key(machine_name).rotate_left(1),
            every: RandomTime {
                mean_s: row.every_s,
                law,
            },
            alarm_after: row.alarm_after_s.map(Time::from_s),
            check_every: row.check_every_s.map(Time::from_s),
            dirty_in_rack: row.dirty_in_rack,
            mend: RandomTime::of(&row.mend),
            effect: Effect {
                stops: row.stops,
                mend_stops: row.mend_stops,
                wash: row.spray * row.detergent,
                detergent: row.detergent,
                heat: row.heat,
                level: row.level,
            },
        }
    }
}
