//! Tunnels that cannot be: zones, tanks, water.

use super::{Clash, Sums, metres};
use crate::scenario::model::{
    Booster, HoodRinse, HotWater, Machine, MachineKind, WaterChange, WhenCold, Zone, ZoneKind,
};

/// Reports what is impossible inside the machines.
pub fn check(sums: &mut Sums<'_>) {
    for machine in &sums.scenario.machine {
        zones(sums, machine);
        hood(sums, machine);
        hood_change(sums, machine);
    }
}

/// Zones that do not fit into their tunnel, and water that is colder than it has to be.
fn zones(sums: &mut Sums<'_>, machine: &Machine) {
    let MachineKind::RackConveyor {
        tunnel_m,
        ref zones,
        ..
    } = machine.kind
    else {
        return;
    };
    let path = format!("machine[{}].zones", machine.name);
    if sums.is_bad_inside(&path) {
        return;
    }
    let together_m: f64 = zones.iter().map(|zone| zone.length_m).sum();
    // A hair of tolerance: lengths of both systems may add up to the tunnel.
    if together_m > tunnel_m * (1.0 + 1e-9) {
        let title = format!(
            "the zones of \"{}\" are longer than its tunnel",
            machine.name
        );
        let label = format!("{} together", metres(together_m));
        sums.wrong(
            Clash::new(title, &path, label)
                .with(
                    format!("machine[{}].tunnel", machine.name),
                    metres(tunnel_m),
                )
                .help("make the tunnel longer, or zones shorter"),
        );
    }
    for zone in zones {
        let path = format!("{path}[{}]", zone.name);
        colder_than_it_has_to_be(sums, &path, zone);
        tank(sums, &path, zone);
    }
    water(sums, machine, zones);
}

/// A hood whose water never comes, is colder than it has to be, or runs longer than its cycle.
fn hood(sums: &mut Sums<'_>, machine: &Machine) {
    let MachineKind::Hood {
        water: Some(water),
        cycle,
        ..
    } = &machine.kind
    else {
        return;
    };
    let at = |key: &str| format!("machine[{}].{key}", machine.name);
    let name = &machine.name;
    let Some(rinse) = water.rinse else {
        let key = if water.tank.is_some() {
            "tank"
        } else {
            "booster"
        };
        let title = format!("\"{name}\" has a {key} and no fresh water");
        sums.wrong(
            Clash::new(title, at(key), "nothing flows in")
                .help("give the hood its `rinse`: rinse = { water = \"3.4 L\" }"),
        );
        return;
    };
    if rinse.time_s > cycle.mean_s {
        let title = format!("the rinse of \"{name}\" is longer than its cycle");
        let (rinses, washes) = (format!("{} s", rinse.time_s), format!("{} s", cycle.mean_s));
        sums.wrong(
            Clash::new(title, at("rinse.time"), rinses)
                .with(at("cycle"), washes)
                .help("the rinse is the end of the cycle: make it shorter"),
        );
    }
    if water.booster.is_some() && rinse.temperature_c.is_none() {
        let title = format!("\"{name}\" has a booster and no set point");
        sums.wrong(
            Clash::new(title, at("booster"), "how hot?")
                .with(at("rinse"), "its rinse")
                .help("give the rinse its `temperature`: temperature = \"185 °F\""),
        );
    }
    let tank = water
        .tank
        .map(|tank| ("tank", Some(tank.temperature_c), tank.minimum_c));
    let parts = [Some(("rinse", rinse.temperature_c, rinse.minimum_c)), tank];
    for (key, set_c, least_c) in parts.into_iter().flatten() {
        if let (Some(set_c), Some(least_c)) = (set_c, least_c)
            && least_c > set_c
        {
            let title = format!("the minimum of the {key} of \"{name}\" is above its set point");
            let minimum = at(&format!("{key}.minimum"));
            sums.wrong(
                Clash::new(title, minimum, celsius(least_c))
                    .with(at(&format!("{key}.temperature")), celsius(set_c))
                    .help("set it at least as hot as it has to be"),
            );
        }
    }
    if water.when_cold == WhenCold::Hold {
        let washes = water.tank.filter(|tank| tank.minimum_c.is_some());
        let washes = washes.and_then(|tank| {
            let heater_w = tank.heater_w?;
            Some((at("tank.heater"), heater_w, tank.idle_loss_w))
        });
        let washes: Vec<_> = washes.into_iter().collect();
        let has_minimum = rinse.minimum_c.is_some();
        let heated = water.tank.is_some_and(|tank| tank.heater_w.is_some());
        let heats = water.booster.is_some() || heated;
        let boosted = water.booster.is_some() && has_minimum;
        holds_for_nothing(sums, machine, heats, boosted, &washes);
        if let Some(booster) = water.booster {
            one_rinse_is_too_much(sums, name, (water.supply_c, &rinse, &booster));
        }
    }
    if water.cold_halves_wash_k.is_some() && water.tank.is_none() {
        let title = format!("the wash of \"{name}\" has no set point");
        sums.wrong(
            Clash::new(title, at("cold_halves_wash"), "colder than what?").help(
                "give the hood its `tank`: tank = { holds = \"40 L\", temperature = \"150 °F\" }",
            ),
        );
    }
}

fn colder_than_it_has_to_be(sums: &mut Sums<'_>, path: &str, zone: &Zone) {
    let (Some(set_c), Some(least_c)) = (zone.temperature_c, zone.minimum_c) else {
        return;
    };
    if least_c > set_c {
        let title = format!(
            "the minimum of zone \"{}\" is above its set point",
            zone.name
        );
        sums.wrong(
            Clash::new(title, format!("{path}.minimum"), celsius(least_c))
                .with(format!("{path}.temperature"), celsius(set_c))
                .help("set it at least as hot as it has to be"),
        );
    }
}

/// A temperature as people say it.
fn celsius(c: f64) -> String {
    format!("{:.1} °C ({:.0} °F)", c, c * 1.8 + 32.0)
}

/// A heater without water, and water that is heated to nothing in particular.
fn tank(sums: &mut Sums<'_>, path: &str, zone: &Zone) {
    if zone.heater_w.is_some() && zone.tank_l.is_none() {
        let title = format!("zone \"{}\" has a heater and no tank", zone.name);
        sums.wrong(
            Clash::new(title, format!("{path}.heater"), "it would heat nothing")
                .help("give `tank`, the water it holds: tank = \"80 L\""),
        );
    }
    if zone.heater_w.is_some() && zone.temperature_c.is_none() {
        let title = format!("zone \"{}\" has a heater and no set point", zone.name);
        sums.wrong(
            Clash::new(title, format!("{path}.heater"), "how hot?")
                .help("give `temperature`: temperature = \"160 °F\""),
        );
    }
    if zone.flow_l_per_s.is_some() && zone.kind != ZoneKind::FinalRinse {
        let title = format!(
            "fresh water in zone \"{}\", which is no final rinse",
            zone.name
        );
        let is = format!("it is a {}", zone.kind.name());
        sums.wrong(
            Clash::new(title, format!("{path}.flow"), "fresh water")
                .with(format!("{path}.kind"), is)
                .help("give `flow` to the final rinse: it overflows through the tanks before it"),
        );
    }
}

/// Tanks and a booster need the fresh water of one final rinse.
fn water(sums: &mut Sums<'_>, machine: &Machine, zones: &[Zone]) {
    let MachineKind::RackConveyor {
        booster,
        when_cold,
        water_change,
        cold_halves_wash_k,
        ..
    } = &machine.kind
    else {
        return;
    };
    if cold_halves_wash_k.is_some() {
        colder_than_what(sums, machine, zones);
    }
    if let Some(change) = water_change {
        let has_tank = zones.iter().any(|zone| zone.tank_l.is_some());
        let cure = "give a zone its `tank`: tank = \"80 L\"; or leave `water_change` out";
        never_due(sums, machine, change, (has_tank, cure));
    }
    let path =
        |zone: &Zone, key: &str| format!("machine[{}].zones[{}].{key}", machine.name, zone.name);
    let fresh: Vec<&Zone> = zones.iter().filter(|z| z.flow_l_per_s.is_some()).collect();
    if let [first, second, ..] = fresh[..] {
        let title = format!("two zones of \"{}\" take fresh water", machine.name);
        sums.wrong(
            Clash::new(title, path(second, "flow"), "the second")
                .with(path(first, "flow"), "the first")
                .help("make them one final rinse"),
        );
    }
    let needs_water =
        "let a zone of the kind \"final-rinse\" give its `flow`: flow = \"2.5 gal/min\"";
    let with_tank = zones.iter().find(|zone| zone.tank_l.is_some());
    if let (Some(zone), true) = (with_tank, fresh.is_empty()) {
        let title = format!("\"{}\" has a tank and no fresh water", machine.name);
        sums.wrong(Clash::new(title, path(zone, "tank"), "nothing flows in").help(needs_water));
    }
    if *when_cold == WhenCold::Hold {
        let rinse = fresh.iter().any(|zone| zone.minimum_c.is_some());
        let washes: Vec<(String, f64, f64)> = zones
            .iter()
            .filter(|zone| zone.tank_l.is_some() && zone.minimum_c.is_some())
            .filter_map(|zone| Some((path(zone, "heater"), zone.heater_w?, zone.idle_loss_w)))
            .collect();
        let heated = |zone: &Zone| zone.tank_l.is_some() && zone.heater_w.is_some();
        let heats = booster.is_some() || zones.iter().any(heated);
        let boosted = booster.is_some() && rinse;
        holds_for_nothing(sums, machine, heats, boosted, &washes);
    }
    let Some(boosts) = booster else {
        return;
    };
    let at = format!("machine[{}].booster", machine.name);
    too_weak(sums, &machine.name, &at, boosts);
    match fresh.first() {
        None => {
            let title = format!("\"{}\" has a booster and no fresh water", machine.name);
            sums.wrong(Clash::new(title, at, "it would heat nothing").help(needs_water));
        }
        Some(rinse) if rinse.temperature_c.is_none() => {
            let title = format!("\"{}\" has a booster and no set point", machine.name);
            sums.wrong(
                Clash::new(title, at, "how hot?")
                    .with(path(rinse, "name"), "its final rinse")
                    .help("give the final rinse its `temperature`: temperature = \"185 °F\""),
            );
        }
        Some(_) => {}
    }
}

/// A booster that loses what it is given never comes to its set point.
fn too_weak(sums: &mut Sums<'_>, name: &str, at: &str, booster: &Booster) {
    if booster.power_w > booster.idle_loss_w {
        return;
    }
    let title = format!("the booster of \"{name}\" never gets hot");
    let kw = |w: f64| format!("{} kW", w / 1e3);
    sums.wrong(
        Clash::new(title, format!("{at}.power"), kw(booster.power_w))
            .with(format!("{at}.idle_loss"), kw(booster.idle_loss_w))
            .help("give it more power than it loses to the room"),
    );
}

/// A machine that is held for what nothing makes hotter, or for what is never too cold; or for a wash that loses what
/// its heater gives it. `heats` if anything is heated, `boosted` if that is a rinse with a minimum; `washes` are the heaters of the tanks that have a minimum, with their place, power and loss.
fn holds_for_nothing(
    sums: &mut Sums<'_>,
    machine: &Machine,
    heats: bool,
    boosted: bool,
    washes: &[(String, f64, f64)],
) {
    for (at, heater_w, loss_w) in washes {
        if heater_w <= loss_w {
            let title = format!("the wash of \"{}\" never gets hot", machine.name);
            sums.wrong(
                Clash::new(title, at.clone(), format!("{} kW", heater_w / 1e3))
                    .help("give it more power than it loses to the room"),
            );
        }
    }
    if boosted || !washes.is_empty() {
        return;
    }
    let (label, help) = if heats {
        (
            "too cold when?",
            "give the final rinse, or a tank, its `minimum`: minimum = \"180 °F\"",
        )
    } else {
        (
            "nothing makes it hotter",
            "give the machine a `booster`, booster = { power = \"15 kW\" }, or a tank a `heater` and its `minimum`",
        )
    };
    let title = format!("\"{}\" is held for nothing", machine.name);
    let at = format!("machine[{}].when_cold", machine.name);
    sums.wrong(
        Clash::new(title, at, label)
            .help(help)
            .help("or let the racks be counted: when_cold = \"count\""),
    );
}

/// A hood that waits until its booster is hot, and rinses cold all the same: one rinse takes more than is hot.
///
/// Stirred, what comes is warmed towards the temperature that the power holds; displaced, all that is hot is used up, and
/// what the heater adds meanwhile. Losses are left out.
fn one_rinse_is_too_much(
    sums: &mut Sums<'_>,
    name: &str,
    (supply_c, rinse, booster): (f64, &HoodRinse, &Booster),
) {
    /// Heats a litre by a degree, J.
    const LITRE_J: f64 = 4186.0;
    let (Some(set_c), Some(least_c)) = (rinse.temperature_c, rinse.minimum_c) else {
        return;
    };
    let added_k = booster.power_w * rinse.time_s / (LITRE_J * rinse.water_l);
    let lowest_c = match booster.hot_water {
        HotWater::Stirred => {
            let limit_c = supply_c + added_k;
            limit_c + (set_c - limit_c) * libm::exp(-rinse.water_l / booster.holds_l)
        }
        HotWater::Displaced => {
            let needed_k = (set_c - supply_c) * (rinse.water_l - booster.holds_l);
            let is_enough = needed_k <= added_k * rinse.water_l;
            if is_enough { set_c } else { supply_c }
        }
    };
    // A least above the set point is a mistake of its own.
    if lowest_c >= least_c || least_c > set_c {
        return;
    }
    let title = format!("\"{name}\" is held, and rinses cold all the same");
    let at = |key: &str| format!("machine[{name}].{key}");
    sums.wrong(
        Clash::new(
            title,
            at("booster"),
            "one rinse alone takes it below the minimum",
        )
        .with(at("rinse.minimum"), celsius(least_c))
        .help("a larger or stronger booster, hot_water = \"displaced\", or less water per rinse")
        .help("or let the racks be counted: when_cold = \"count\""),
    );
}

/// A wash that is worse when it is colder than it is set, where nothing sets it.
fn colder_than_what(sums: &mut Sums<'_>, machine: &Machine, zones: &[Zone]) {
    let is_set = |zone: &&Zone| zone.kind == ZoneKind::Wash && zone.temperature_c.is_some();
    if zones
        .iter()
        .any(|zone| is_set(&zone) && zone.tank_l.is_some())
    {
        return;
    }
    let title = format!("the wash of \"{}\" has no set point", machine.name);
    let at = format!("machine[{}].cold_halves_wash", machine.name);
    sums.wrong(
        Clash::new(title, at, "colder than what?").help(
            "give a zone of the kind \"wash\" its `tank` and `temperature`: tank = \"80 L\", temperature = \"160 °F\"",
        ),
    );
}

/// The same of a hood, which may have no water at all.
fn hood_change(sums: &mut Sums<'_>, machine: &Machine) {
    let MachineKind::Hood {
        water,
        water_change: Some(change),
        ..
    } = &machine.kind
    else {
        return;
    };
    let has_tank = water.is_some_and(|water| water.tank.is_some());
    let cure = "give the hood its `rinse` and `tank`: tank = { holds = \"40 L\", temperature = \"150 °F\" }; \
                or leave `water_change` out";
    never_due(sums, machine, change, (has_tank, cure));
}

/// A change of water that never comes, or changes nothing.
fn never_due(
    sums: &mut Sums<'_>,
    machine: &Machine,
    change: &WaterChange,
    (has_tank, cure): (bool, &str),
) {
    let at = format!("machine[{}].water_change", machine.name);
    if change.every_s.is_none() && change.at_soil_g_per_l.is_none() {
        let title = format!(
            "the water of \"{}\" is never due for a change",
            machine.name
        );
        sums.wrong(
            Clash::new(title, &at, "when?")
                .help("give `every`, `at_soil` or both: every = \"2 h\""),
        );
    }
    if !has_tank {
        let title = format!("\"{}\" has no tank to change the water of", machine.name);
        sums.wrong(Clash::new(title, &at, "of what?").help(cure));
    }
}
