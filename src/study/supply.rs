//! A supply of water that gives less than something that fills would take.

use super::evening::{Finding, Severity};
use crate::room::Room;
use crate::scenario::model::TaskDoes;
use crate::words::findings::supply as words;

/// What would fill faster than the supply allows, even alone.
#[must_use]
pub fn planned(room: &Room) -> Vec<Finding> {
    let Some(supply) = &room.supply else {
        return Vec::new();
    };
    let filling = room.set_up.iter();
    let filling = filling.filter(|task| task.does == Some(TaskDoes::Fill));
    let tasks = filling.map(|task| (task.name.as_str(), task.flow_l_per_s));
    let changes = room.machines.iter().filter_map(|machine| {
        let change = machine.water.as_ref()?.change.as_ref()?;
        (change.fill_l > 0.0).then_some((machine.name.as_str(), change.flow_l_per_s))
    });
    let slow = tasks.chain(changes);
    let slow = slow.filter(|(_, wants)| *wants > supply.flow_l_per_s * (1.0 + 1e-9));
    let found = slow.map(|(name, wants)| {
        let said = words::slow(name, [wants, supply.flow_l_per_s].map(|flow| 60.0 * flow));
        Finding::new("supply-slow", Severity::Note, said)
            .of(name)
            .at("supply.flow".to_owned())
    });
    found.collect()
}
