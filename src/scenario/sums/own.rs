//! Machines with people and places of their own: work there that nobody may do, places that nothing comes to.

use super::crew::{holds, stage, verb};
use super::{Clash, Sums};
use crate::scenario::model::{Duty, Machine, MachineKind, Rack, RosterRow, Scenario};

/// What is done at a machine by whoever looks after it, racks filled for it aside.
const AT_A_MACHINE: [Duty; 4] = [Duty::Hood, Duty::Unload, Duty::PutAway, Duty::Tend];

/// Reports machines that nobody may look after, and people whose machines say nothing.
pub fn check(sums: &mut Sums<'_>) {
    let scenario = sums.scenario;
    for machine in &scenario.machine {
        store(sums, machine);
        never_filled(sums, machine);
    }
    let limited = |row: &&RosterRow| row.count > 0 && !row.machines.is_empty();
    if !scenario.roster.iter().any(|row| limited(&row)) || sums.is_bad_inside("roster") {
        return;
    }
    for row in scenario.roster.iter().filter(limited) {
        nothing_to_do(sums, row);
    }
    for rack in &scenario.rack {
        filled(sums, rack);
    }
    for machine in &scenario.machine {
        for duty in AT_A_MACHINE {
            attended(sums, machine, duty);
        }
    }
}

/// A store that nobody carries anything to.
fn store(sums: &mut Sums<'_>, machine: &Machine) {
    if machine.store.is_none() || sums.scenario.put_away.is_some() || sums.is_bad("put_away") {
        return;
    }
    let title = format!("nobody puts away what \"{}\" washes", machine.name);
    let at = format!("machine[{}].store", machine.name);
    sums.wrong(
        Clash::new(title, at, "nobody walks there").help("add [put_away], or leave `store` out"),
    );
}

/// A machine for which no rack is filled: each loader fills them for a machine that stands before it in the file.
fn never_filled(sums: &mut Sums<'_>, machine: &Machine) {
    let scenario = sums.scenario;
    let machines = &scenario.machine;
    let with_place = machines.iter().any(|one| one.loading.is_some());
    if !with_place || sums.is_bad_inside("roster") || sums.is_bad_inside("machine") {
        return;
    }
    let first = |row: &RosterRow, rack: &Rack| {
        let own = |one: &&Machine| row.machines.is_empty() || row.machines.contains(&one.name);
        machines
            .iter()
            .filter(own)
            .find(|one| one.takes(&rack.name))
    };
    let is_for = |row: &RosterRow, rack: &Rack| {
        let feeds = first(row, rack).is_some_and(|first| first.loading == machine.loading);
        feeds && machine.takes(&rack.name)
    };
    let mut loaders = scenario
        .roster
        .iter()
        .filter(|row| holds(row, Duty::Load))
        .peekable();
    let nobody = loaders.peek().is_none();
    if nobody || loaders.any(|row| scenario.rack.iter().any(|rack| is_for(row, rack))) {
        return;
    }
    let title = format!("no rack is ever filled for \"{}\"", machine.name);
    let at = format!("machine[{}]", machine.name);
    let label = "machines before it, loaded elsewhere, take the same racks";
    sums.wrong(Clash::new(title, at, label).help(
        "give those machines their `racks`, or this one a loader of its own: machines = [its name]",
    ));
}

/// Somebody who looks after a machine and has no duty there.
fn nothing_to_do(sums: &mut Sums<'_>, row: &RosterRow) {
    let is_there = |duty: Duty| duty == Duty::Load || AT_A_MACHINE.contains(&duty);
    if row.duties.iter().any(|entry| is_there(entry.duty)) {
        return;
    }
    let title = format!("\"{}\" have machines and no duty at them", row.name);
    let path = format!("roster[{}].machines", row.name);
    sums.wrong(
        Clash::new(title, path, "their duties are done elsewhere").help(
            "leave `machines` out, or add \"load\", \"hood\", \"unload\", \"put-away\" or \"tend\"",
        ),
    );
}

/// Racks of a kind that ware needs, and that nobody may fill.
fn filled(sums: &mut Sums<'_>, rack: &Rack) {
    let scenario = sums.scenario;
    let needed = scenario.ware.iter().any(|ware| ware.rack_kind == rack.name);
    let takes = |name: &String| {
        let mut machines = scenario.machine.iter();
        machines.any(|machine| machine.name == *name && machine.takes(&rack.name))
    };
    let fills = |row: &RosterRow| row.machines.iter().any(takes);
    let Some(row) = only_others(scenario, Duty::Load, fills).filter(|_| needed) else {
        return;
    };
    let title = format!("nobody may fill racks of the kind \"{}\"", rack.name);
    let at = format!("roster[{}].machines", row.name);
    sums.wrong(
        Clash::new(title, at, "these do not take them")
            .with(format!("rack[{}]", rack.name), "the racks")
            .help("add a machine that takes them to the `machines` of a row with the duty `load`"),
    );
}

/// A machine at which nobody may do what has to be done.
fn attended(sums: &mut Sums<'_>, machine: &Machine, duty: Duty) {
    let name = &machine.name;
    let looks_after = |row: &RosterRow| row.machines.contains(name);
    let needed = needs(sums, machine, duty);
    let Some(row) = only_others(sums.scenario, duty, looks_after).filter(|_| needed) else {
        return;
    };
    let does = match duty {
        Duty::PutAway => format!("put away what \"{name}\" washes"),
        Duty::Hood => format!("change the racks of \"{name}\""),
        _ => format!("{} \"{name}\"", verb(duty)),
    };
    let at = format!("roster[{}].machines", row.name);
    sums.wrong(
        Clash::new(format!("nobody may {does}"), at, "others")
            .with(format!("machine[{name}]"), "this machine")
            .help(format!(
                "add \"{name}\" to the `machines` of a row with the duty `{0}`, or the duty `{0}` to a row that has it",
                duty.name()
            )),
    );
}

/// The first row with a duty, where all such rows look after machines and none of them does what is asked about.
fn only_others(
    scenario: &Scenario,
    duty: Duty,
    does: impl Fn(&RosterRow) -> bool,
) -> Option<&RosterRow> {
    let mut holders = scenario.roster.iter().filter(|row| holds(row, duty));
    let is_free = |row: &RosterRow| row.machines.is_empty() || does(row);
    let first = holders.clone().next()?;
    let nobody = stage(scenario, duty) && !holders.any(is_free);
    nobody.then_some(first)
}

/// Whether a duty is needed at a machine.
fn needs(sums: &Sums<'_>, machine: &Machine, duty: Duty) -> bool {
    match (duty, &machine.kind) {
        (Duty::Hood, kind) => matches!(kind, MachineKind::Hood { attended: true, .. }),
        (
            Duty::Tend,
            MachineKind::RackConveyor { water_change, .. } | MachineKind::Hood { water_change, .. },
        ) => {
            let by_hand = water_change
                .as_ref()
                .is_some_and(|change| change.by_hand.is_some());
            let mut faults = sums.scenario.fault.iter();
            let of_it =
                |name: &Option<String>| name.as_ref().is_none_or(|name| *name == machine.name);
            by_hand || faults.any(|fault| fault.lasts_s.is_none() && of_it(&fault.machine))
        }
        _ => true,
    }
}
