//! Ware, soil and racks that cannot be.

use std::collections::BTreeSet;

use super::{Clash, Sums};
use crate::scenario::model::{LeftUntil, MenuRow, Scenario, SoakPolicy, Ware};

/// Reports what is impossible about ware and soil.
pub fn check(sums: &mut Sums<'_>) {
    soil(sums);
    let used = used(sums.scenario);
    for ware in &sums.scenario.ware {
        soak(sums, ware);
        pot_sink(sums, ware);
        if used.contains(ware.name.as_str()) {
            rack(sums, ware);
            machine(sums, ware);
            table(sums, ware);
            stock(sums, ware);
            stored(sums, ware);
            backlog(sums, ware);
        }
    }
    idle_machines(sums, &used);
    idle_pot_sink(sums, &used);
    decoys(sums, &used);
    dries(sums);
}

/// Reports racks that are left until dry where nothing is known to dry.
fn dries(sums: &mut Sums<'_>) {
    let scenario = sums.scenario;
    let waits =
        (scenario.unload.as_ref()).is_some_and(|unload| unload.left_until == LeftUntil::Dry);
    let is_known = |ware: &Ware| ware.material.is_some() || ware.dries_in_s.is_some();
    if waits && !scenario.ware.iter().any(is_known) && !sums.is_bad_inside("ware") {
        sums.wrong(
            Clash::new(
                "racks are left until dry, and nothing is known to dry",
                "unload.left_until",
                "waits for nothing",
            )
            .help("say what the ware is made of: material = \"china\"")
            .help("or how long it takes on your landing: dries_in = \"3 min\""),
        );
    }
}

/// Reports ware whose racks no machine takes.
fn machine(sums: &mut Sums<'_>, ware: &Ware) {
    let machines = &sums.scenario.machine;
    if machines.is_empty()
        || ware.is_for_pot_sink()
        || ware.rack_kind.is_empty()
        || machines
            .iter()
            .any(|machine| machine.takes(&ware.rack_kind))
        || sums.is_bad_inside("machine")
    {
        return;
    }
    let title = format!("no machine takes \"{}\"", ware.name);
    let label = format!("goes into the rack \"{}\"", ware.rack_kind);
    sums.wrong(
        Clash::new(title, format!("ware[{}].rack", ware.name), label).help(
            "name that rack in `racks` of a machine, or leave `racks` out: it takes all then",
        ),
    );
}

/// Reports machines that no rack ever enters.
fn idle_machines(sums: &mut Sums<'_>, used: &BTreeSet<&str>) {
    let scenario = sums.scenario;
    for machine in &scenario.machine {
        let mut comes = scenario
            .ware
            .iter()
            .filter(|ware| used.contains(ware.name.as_str()));
        if !used.is_empty()
            && !comes.any(|ware| !ware.is_for_pot_sink() && machine.takes(&ware.rack_kind))
        {
            let title = format!("no rack ever enters \"{}\"", machine.name);
            let path = format!("machine[{}].racks", machine.name);
            sums.wrong(
                Clash::new(title, path, "no ware that comes goes into these")
                    .help("name the rack of a ware that is used, or take the machine out"),
            );
        }
    }
}

/// Names of the ware that something uses.
fn used(scenario: &Scenario) -> BTreeSet<&str> {
    let menu = scenario.menu.iter().map(|row| row.ware.as_str());
    let soiled = scenario.soiled.iter().map(|row| row.ware.as_str());
    let backlog = scenario.backlog.iter().map(|row| row.ware.as_str());
    let logged = scenario
        .soiled_log
        .iter()
        .flat_map(|log| &log.rows)
        .map(|row| row.ware.as_str());
    menu.chain(soiled).chain(backlog).chain(logged).collect()
}

fn soil(sums: &mut Sums<'_>) {
    for soil in &sums.scenario.soil {
        let path = |key: &str| format!("soil[{}].{key}", soil.name);
        if soil.dirty_when_dried < soil.dirty_when_fresh {
            let title = format!("\"{}\" washes better dried on than fresh", soil.name);
            sums.wrong(
                Clash::new(title, path("dirty_when_dried"), "dried on")
                    .with(path("dirty_when_fresh"), "fresh")
                    .help("let `dirty_when_dried` be at least `dirty_when_fresh`"),
            );
        }
    }
}

fn soak(sums: &mut Sums<'_>, ware: &Ware) {
    if ware.soak != SoakPolicy::Never && sums.scenario.soak.is_none() && !sums.is_bad_inside("soak")
    {
        let title = format!("\"{}\" is soaked, but there is no soak", ware.name);
        sums.wrong(
            Clash::new(title, format!("ware[{}].soak", ware.name), "soaked")
                .help("add [soak], or write `soak = \"never\"`"),
        );
    }
}

/// Reports ware that is sent to a sink that is not there.
fn pot_sink(sums: &mut Sums<'_>, ware: &Ware) {
    if ware.is_for_pot_sink() && sums.scenario.pot_sink.is_none() && !sums.is_bad_inside("pot_sink")
    {
        let title = format!("\"{}\" goes to a pot sink, and there is none", ware.name);
        let path = format!("ware[{}].washed_at", ware.name);
        sums.wrong(
            Clash::new(title, path, "washed by hand")
                .help("add [pot_sink], or write `washed_at = \"machine\"` and give it a rack"),
        );
    }
}

/// Reports a pot sink that no ware comes to.
fn idle_pot_sink(sums: &mut Sums<'_>, used: &BTreeSet<&str>) {
    let scenario = sums.scenario;
    let mut comes = (scenario.ware.iter()).filter(|ware| used.contains(ware.name.as_str()));
    if scenario.pot_sink.is_none() || used.is_empty() || comes.any(Ware::is_for_pot_sink) {
        return;
    }
    if !sums.is_bad_inside("ware") {
        sums.wrong(
            Clash::new(
                "no ware ever comes to the pot sink",
                "pot_sink",
                "nothing to wash here",
            )
            .help("write `washed_at = \"pot-sink\"` for a ware that is used")
            .help("or take the sink out, and the duty `wash-pots` with it"),
        );
    }
}

/// Reports decoy racks that nothing is sorted into, that nobody could carry on, and ware that they keep from its soak.
fn decoys(sums: &mut Sums<'_>, used: &BTreeSet<&str>) {
    let scenario = sums.scenario;
    let path = "drop_off.decoy_racks";
    let kinds = &scenario.drop_off.decoy_racks;
    let parts = ["ware", "loading", path];
    if kinds.is_empty() || parts.iter().any(|part| sums.is_bad_inside(part)) {
        return;
    }
    if scenario.loading.is_none() {
        sums.wrong(
            Clash::new(
                "decoy racks, and no racks are loaded",
                path,
                "where do they go?",
            )
            .help("add [loading] and a machine, or leave `decoy_racks` out"),
        );
        return;
    }
    for kind in kinds {
        let mut sorted = scenario.ware.iter().filter(|ware| {
            used.contains(ware.name.as_str()) && !ware.is_for_pot_sink() && ware.rack_kind == *kind
        });
        let Some(first) = sorted.next() else {
            let title = format!("nothing is sorted into the decoy rack \"{kind}\"");
            sums.wrong(
                Clash::new(title, path, "no ware that comes goes into it")
                    .help("name the rack of a ware that is used, or take it out of the list"),
            );
            continue;
        };
        let mut all = std::iter::once(first).chain(sorted);
        if let Some(ware) = all.find(|ware| ware.soak == SoakPolicy::Always) {
            let title = format!(
                "\"{}\" is soaked, and sorted into racks as it comes",
                ware.name
            );
            sums.wrong(
                Clash::new(
                    title,
                    path,
                    format!("\"{kind}\" stands open at the drop-off"),
                )
                .with(format!("ware[{}].soak", ware.name), "soaked")
                .help("write `soak = \"never\"`, or take the rack out of the list"),
            );
        }
    }
}

fn rack(sums: &mut Sums<'_>, ware: &Ware) {
    if ware.is_for_pot_sink() {
        return;
    }
    if ware.rack_kind.is_empty() && !sums.scenario.machine.is_empty() {
        let title = format!("no rack for \"{}\"", ware.name);
        sums.wrong(
            Clash::new(
                title,
                format!("ware[{}].rack", ware.name),
                "used, but without a rack kind",
            )
            .help("add `rack = \"the name of a rack\"` to it")
            .help("or let it be washed by hand: `washed_at = \"pot-sink\"`"),
        );
    }
}

/// A rack that is stored as it is comes free when what is in it is used, which is counted of ware that is owned.
fn stored(sums: &mut Sums<'_>, ware: &Ware) {
    let racks = &sums.scenario.rack;
    let rack = racks.iter().find(|rack| rack.name == ware.rack_kind);
    let Some(rack) =
        rack.filter(|rack| rack.stored_in_rack && ware.owned.is_none() && !ware.is_for_pot_sink())
    else {
        return;
    };
    let title = format!("nobody ever empties a rack of \"{}\"", ware.name);
    let label = "stored with its ware until that is used";
    sums.wrong(
        Clash::new(title, format!("rack[{}].stored_in_rack", rack.name), label)
            .with(
                format!("ware[{}].rack", ware.name),
                "nobody counts this ware",
            )
            .help("say how many pieces are `owned`: what guests take is counted then")
            .help("or take `stored_in_rack` out"),
    );
}

/// A table smaller than one rack's worth never fills a rack.
fn table(sums: &mut Sums<'_>, ware: &Ware) {
    let table = sums
        .scenario
        .loading
        .as_ref()
        .and_then(|loading| loading.table);
    let rack = sums
        .scenario
        .rack
        .iter()
        .find(|rack| rack.name == ware.rack_kind);
    let (Some(table), Some(rack), false) = (table, rack, ware.is_for_pot_sink()) else {
        return;
    };
    let pieces = (f64::from(ware.per_rack) * rack.fill).ceil();
    if f64::from(table) < pieces {
        let title = format!(
            "the table before loading never holds a rack of \"{}\"",
            ware.name
        );
        sums.wrong(
            Clash::new(title, "loading.table", format!("room for {table} pieces"))
                .with(
                    format!("ware[{}].per_rack", ware.name),
                    format!("{pieces} pieces fill a rack"),
                )
                .help(format!("let it hold at least {pieces}")),
        );
    }
}

/// A party that needs more than is owned can never be served.
fn stock(sums: &mut Sums<'_>, ware: &Ware) {
    let (Some(owned), Some(party)) = (ware.owned, largest_party(sums.scenario)) else {
        return;
    };
    let uses: Vec<&MenuRow> = sums
        .scenario
        .menu
        .iter()
        .filter(|row| row.ware == ware.name)
        .collect();
    let pieces = |row: &MenuRow| (row.per_cover * f64::from(party)).ceil();
    let at_once = |now: &MenuRow| -> f64 {
        let on_table = |row: &&&MenuRow| row.laid <= now.laid && now.laid < row.cleared;
        uses.iter().filter(on_table).map(|row| pieces(row)).sum()
    };
    let Some((row, need)) = uses
        .iter()
        .map(|row| (row, at_once(row)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
    else {
        return;
    };
    if f64::from(owned) < need {
        let title = format!(
            "a party of {party} can never be served with \"{}\"",
            ware.name
        );
        sums.wrong(
            Clash::new(
                title,
                format!("ware[{}].owned", ware.name),
                format!("{owned} owned"),
            )
            .with(
                format!("menu[{}].per_cover", row.name),
                format!("{need} on the table at once"),
            )
            .help(format!(
                "own at least {need}, or leave `owned` out: then it never runs out"
            )),
        );
    }
}

/// What stands soiled at the drop-off is part of what is owned.
fn backlog(sums: &mut Sums<'_>, ware: &Ware) {
    let rows = sums.scenario.backlog.iter();
    let rows: Vec<_> = rows.filter(|row| row.ware == ware.name).collect();
    let pieces: u64 = rows.iter().map(|row| u64::from(row.pieces)).sum();
    let (Some(owned), Some(largest)) = (ware.owned, rows.iter().max_by_key(|row| row.pieces))
    else {
        return;
    };
    if pieces <= u64::from(owned) {
        return;
    }
    let label = if rows.len() > 1 {
        format!("with the other rows {pieces} stand there soiled")
    } else {
        format!("{pieces} stand there soiled")
    };
    let title = format!("more of \"{}\" is soiled than is owned", ware.name);
    sums.wrong(
        Clash::new(title, format!("backlog[{}].pieces", largest.name), label)
            .with(
                format!("ware[{}].owned", ware.name),
                format!("{owned} owned"),
            )
            .help(format!(
                "own at least {pieces}, or leave `owned` out: then it never runs out"
            )),
    );
}

/// Covers of the largest party that may come.
fn largest_party(scenario: &Scenario) -> Option<u32> {
    let guests = scenario.guests.as_ref()?;
    let sizes = guests
        .party_sizes
        .iter()
        .filter(|size| size.weight > 0.0)
        .map(|size| size.covers);
    let booked = scenario.party.iter().map(|party| party.covers);
    if guests.log.is_empty() {
        sizes.chain(booked).max()
    } else {
        guests.log.iter().map(|p| p.covers).chain(booked).max()
    }
}
