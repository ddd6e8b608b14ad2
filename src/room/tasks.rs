//! Tasks of the set-up and the close-down, ready to run: names become indices.

use super::keys::name_key;
use super::law::RandomTime;
use crate::scenario::model::{self, Machine, MachineKind, Scenario, TaskDoes};

/// A task.
#[derive(Debug, Clone)]
pub struct Task {
    /// Name, as messages give it.
    pub name: String,
    /// Key to its random stream.
    pub key: u64,
    /// Hands-on time of somebody with the duty.
    pub takes: RandomTime,
    /// The only row of the roster that may do it.
    pub by: Option<usize>,
    /// Tasks of the same list that have to be done before.
    pub after: Vec<usize>,
    /// The machines that it is about.
    pub machines: Vec<usize>,
    /// What they do then by themselves.
    pub does: Option<TaskDoes>,
    /// Of the water that fills their tanks, L/s.
    pub flow_l_per_s: f64,
    /// Whether their racks wait until it is done.
    pub racks_wait: bool,
}

/// The tasks of a list.
#[must_use]
pub fn tasks(list: &[model::Task], scenario: &Scenario) -> Vec<Task> {
    let of = |task: &model::Task| Task {
        name: task.name.clone(),
        key: name_key(&task.name),
        takes: RandomTime::of(&task.takes),
        by: task
            .by
            .as_ref()
            .and_then(|name| scenario.roster.iter().position(|row| row.name == *name)),
        after: list
            .iter()
            .enumerate()
            .filter(|(_, other)| task.after.contains(&other.name))
            .map(|(index, _)| index)
            .collect(),
        machines: machines(task, scenario),
        does: task.does,
        flow_l_per_s: task.flow_l_per_s,
        racks_wait: task.racks_wait,
    };
    list.iter().map(of).collect()
}

/// The machine that a task names, or else every rack conveyor, or where there is none every machine.
fn machines(task: &model::Task, scenario: &Scenario) -> Vec<usize> {
    let is_conveyor = |machine: &Machine| matches!(machine.kind, MachineKind::RackConveyor { .. });
    let conveyors = scenario.machine.iter().any(is_conveyor);
    let is_meant = |machine: &Machine| match &task.machine {
        Some(name) => machine.name == *name,
        None => is_conveyor(machine) || !conveyors,
    };
    let all = scenario.machine.iter().enumerate();
    all.filter(|(_, machine)| is_meant(machine))
        .map(|(index, _)| index)
        .collect()
}

/// How a machine stands at the start of the evening.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Start {
    /// Its tanks are full.
    pub full: bool,
    /// Its water is hot.
    pub hot: bool,
    /// Its heaters and booster are on.
    pub heats: bool,
    /// Racks may enter.
    pub ready: bool,
}

impl Start {
    /// Of a machine, by what the set-up still has to do to it.
    #[must_use]
    pub fn of(machine: usize, set_up: &[Task]) -> Self {
        let of_it = || {
            set_up
                .iter()
                .filter(|task| task.machines.contains(&machine))
        };
        let has = |does| of_it().any(|task| task.does == Some(does));
        let (fills, heats) = (has(TaskDoes::Fill), has(TaskDoes::Heat));
        Self {
            full: !fills,
            hot: !fills && !heats,
            heats: !heats,
            ready: !of_it().any(|task| task.racks_wait),
        }
    }
}
