//! What may fill from the supply of water, where that is limited.

use crate::room::stations::Machine;
use crate::room::tasks::Task;
use crate::scenario::model::{Scenario, TaskDoes};

/// The supply, and all that may fill from it.
#[derive(Debug, Clone)]
pub struct Supply {
    /// The water that all that fills at once shares, L/s.
    pub flow_l_per_s: f64,
    /// The change of water of each machine, then each machine of each task that fills.
    pub taps: Vec<Fills>,
}

/// What a tap fills.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fills {
    /// The tanks of a machine, after a change of their water.
    Change(usize),
    /// The tanks of one machine of a task of the set-up.
    Task(usize),
}

impl Supply {
    pub(super) fn of(scenario: &Scenario, machines: &[Machine], set_up: &[Task]) -> Option<Self> {
        let supply = scenario.supply.as_ref()?;
        let filling = set_up.iter().enumerate();
        let filling = filling.filter(|(_, task)| task.does == Some(TaskDoes::Fill));
        let of_tasks =
            filling.flat_map(|(task, of)| of.machines.iter().map(move |_| Fills::Task(task)));
        let changes = (0..machines.len()).map(Fills::Change);
        Some(Self {
            flow_l_per_s: supply.flow_l_per_s,
            taps: changes.chain(of_tasks).collect(),
        })
    }

    /// The taps of a task, one for each of its machines.
    pub fn of_task(&self, task: usize) -> impl Iterator<Item = usize> {
        let taps = self.taps.iter().enumerate();
        let own = taps.filter(move |(_, fills)| **fills == Fills::Task(task));
        own.map(|(tap, _)| tap)
    }
}
