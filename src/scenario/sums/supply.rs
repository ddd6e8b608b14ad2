//! A supply of water that is not enough for what is asked of it.

use super::{Clash, Sums};
use crate::scenario::model::{Machine, MachineKind, WaterChange};

/// Reports changes of water that would never be over before the next is due.
pub fn check(sums: &mut Sums<'_>) {
    let Some(supply) = &sums.scenario.supply else {
        return;
    };
    for machine in &sums.scenario.machine {
        changed_without_end(sums, machine, supply.flow_l_per_s);
    }
}

fn changed_without_end(sums: &mut Sums<'_>, machine: &Machine, supply_l_per_s: f64) {
    let (volume_l, change) = tanks(machine);
    let every_s = change.and_then(|change| change.every_s);
    let (Some(change), Some(every_s)) = (change, every_s) else {
        return;
    };
    let takes_s = change.drain_s + volume_l / change.flow_l_per_s.min(supply_l_per_s);
    if takes_s < every_s || change.flow_l_per_s <= supply_l_per_s {
        return;
    }
    let minutes = |s: f64| format!("{:.0} min", s / 60.0);
    let name = &machine.name;
    let title = format!("the water of \"{name}\" would be changed without end");
    let label = format!(
        "draining and filling {volume_l:.0} L takes {}",
        minutes(takes_s)
    );
    sums.wrong(
        Clash::new(title, "supply.flow", label)
            .with(
                format!("machine[{name}].water_change.every"),
                format!("due every {}", minutes(every_s)),
            )
            .help("change it less often, or let the supply give more"),
    );
}

/// The water in the tanks of a machine, L, and when it is changed.
fn tanks(machine: &Machine) -> (f64, Option<&WaterChange>) {
    match &machine.kind {
        MachineKind::RackConveyor {
            zones,
            water_change,
            ..
        } => {
            let tanks = zones.iter().filter_map(|zone| zone.tank_l);
            (tanks.fold(0.0, |sum, l| sum + l), water_change.as_ref())
        }
        MachineKind::Hood {
            water,
            water_change,
            ..
        } => {
            let tank = water.as_ref().and_then(|water| water.tank);
            (tank.map_or(0.0, |tank| tank.holds_l), water_change.as_ref())
        }
    }
}
