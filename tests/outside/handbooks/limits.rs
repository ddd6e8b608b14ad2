//! Limits of the Food Code and their neighbours: what is flagged and what passes.

use scullery::physics::conveyor::contact_s;
use scullery::physics::limits::{
    Breach, Machine, RINSE_PRESSURE, Rated, Sanitising, UTENSIL_SURFACE, chlorine_breach,
    contact_guide, final_rinse, rinse_water_most, wash_least,
};
use scullery::scenario::units;

use super::sheet::sheet;
use super::{FOOT_M, farthest};
use crate::ledger::{self, Row};

pub fn rows() -> Vec<Row> {
    let mut rows = final_rinses();
    rows.extend(washes());
    rows.extend(chlorines());
    rows.push(pressures_and_surface());
    rows.push(contact());
    rows.extend(energy_star());
    rows.extend(through_the_front_door());
    rows
}

/// Temperatures written into a scenario: what `check` says of them.
fn through_the_front_door() -> Vec<Row> {
    let rinse = "Food Code 4-501.112, as adopted in WAC 246-215-04555";
    let wash = "Food Code 4-501.110, as adopted in WAC 246-215-04545";
    let hot = "hot-water";
    let tries = [
        ("final-rinse", 179, "", hot, true, rinse),
        ("final-rinse", 180, "", hot, false, rinse),
        ("final-rinse", 194, "", hot, false, rinse),
        ("final-rinse", 195, "", hot, true, rinse),
        ("final-rinse", 140, "", "chemical", false, rinse),
        ("wash", 159, "", hot, true, wash),
        ("wash", 160, "", hot, false, wash),
        ("wash", 159, PUMPED, hot, false, wash),
        ("wash", 149, PUMPED, hot, true, wash),
        ("wash", 119, "", "chemical", true, wash),
        ("wash", 120, "", "chemical", false, wash),
    ];
    tries
        .map(|(kind, t_f, more, sanitising, flagged, source)| {
            let zones = format!(
                "[[machine]]\nname = \"conveyor\"\nsanitising = \"{sanitising}\"\nzones = [{more} \
                 {{ name = \"zone\", kind = \"{kind}\", length = \"20 in\", minimum = \"{t_f} °F\" }}]"
            );
            let said = sheet("belt.toml", &zones).said("outside-published-limit");
            let tanks = if more.is_empty() { "one tank" } else { "two tanks" };
            let what = format!("`check`: {kind} at {t_f} °F, {tanks}, {sanitising}, flagged");
            Row::is(what, said as f64, 0.0, f64::from(u8::from(flagged)), source)
        })
        .to_vec()
}

/// A pumped rinse makes a machine of several tanks.
const PUMPED: &str = "{ name = \"rinse\", kind = \"rinse\", length = \"20 in\" },";

#[test]
fn what_the_code_flags_is_flagged() {
    ledger::holds(&rows());
}

/// °C, as a scenario would take it.
fn celsius(fahrenheit: f64) -> f64 {
    units::find("°F", units::Dimension::Temperature)
        .expect("the unit")
        .to_si(fahrenheit)
}

/// 1 if it is flagged, 0 if it passes.
fn row(what: String, breach: Option<Breach>, flagged: bool, source: &str) -> Row {
    let as_number = |flagged| if flagged { 1.0 } else { 0.0 };
    let what = format!("{what}, flagged");
    let ours = as_number(breach.is_some());
    Row::is(what, ours, 0.0, as_number(flagged), source)
}

const MACHINES: [(Machine, &str); 4] = [
    (
        Machine::StationarySingleTemperature,
        "stationary, single temperature",
    ),
    (
        Machine::StationaryDualTemperature,
        "stationary, dual temperature",
    ),
    (Machine::SingleTankConveyor, "single-tank conveyor"),
    (Machine::MultiTankConveyor, "multi-tank conveyor"),
];

/// Of any machine: what passes is printed, in °F or in °C; a degree beyond is flagged.
fn final_rinses() -> Vec<Row> {
    let source = "Food Code 4-501.112, as adopted in WAC 246-215-04555";
    let flags = |machine, t_c| final_rinse(machine, Sanitising::HotWater)?.breach(t_c);
    let conveyor = [(179.0, true), (180.0, false), (194.0, false), (195.0, true)];
    let mut rows = conveyor
        .map(|(t_f, flagged)| {
            let breach = flags(Machine::SingleTankConveyor, celsius(t_f));
            let what = format!("final rinse of a conveyor at {t_f} °F");
            row(what, breach, flagged, source)
        })
        .to_vec();
    let mut others = Vec::new();
    for (machine, name) in MACHINES {
        let (least_f, printed_c) = match machine {
            Machine::StationarySingleTemperature => (165.0, 74.0),
            _ => (180.0, 82.0),
        };
        let tries = [
            (celsius(least_f - 1.0), true),
            (celsius(least_f), false),
            (printed_c, false),
            (90.0, false),
            (celsius(194.0), false),
            (celsius(195.0), true),
        ];
        others.extend(tries.map(|(t_c, flagged)| {
            let what = format!("final rinse at {t_c:.2} °C, {name}");
            row(what, flags(machine, t_c), flagged, source)
        }));
    }
    rows.push(farthest(&others));
    rows
}

/// 159 °F is too cold for one tank and enough for several.
fn washes() -> Vec<Row> {
    let source = "Food Code 4-501.110, as adopted in WAC 246-215-04545";
    let hot = [165.0, 150.0, 160.0, 150.0];
    let mut all = Vec::new();
    for ((machine, name), least_f) in MACHINES.into_iter().zip(hot) {
        let modes = [
            (Sanitising::HotWater, "hot water", least_f),
            (Sanitising::Chemical, "chemical", 120.0),
        ];
        for (sanitising, how, least_f) in modes {
            for (t_f, flagged) in [(least_f - 1.0, true), (least_f, false)] {
                let breach = wash_least(machine, sanitising).breach_as_least(celsius(t_f));
                let what = format!("wash at {t_f} °F, {name}, {how}");
                all.push(row(what, breach, flagged, source));
            }
        }
    }
    let at_159 = |(machine, name), flagged| {
        let least = wash_least(machine, Sanitising::HotWater);
        let breach = least.breach_as_least(celsius(159.0));
        row(format!("wash at 159 °F, {name}"), breach, flagged, source)
    };
    let [_, _, single, multi] = MACHINES;
    vec![at_159(single, true), at_159(multi, false), farthest(&all)]
}

/// mg/L, pH, °F, and whether it is flagged: the ends of every range that is printed.
const CHLORINE: [(f64, f64, f64, bool); 20] = [
    (50.0, 9.0, 99.0, true),
    (50.0, 9.0, 100.0, false),
    (50.0, 8.0, 75.0, false),
    (50.0, 8.0, 74.0, true),
    (25.0, 7.0, 119.0, true),
    (25.0, 8.0, 119.0, true),
    (25.0, 10.0, 119.0, true),
    (25.0, 8.0, 120.0, false),
    (25.0, 10.0, 120.0, false),
    (49.0, 8.0, 119.0, true),
    (49.0, 10.0, 120.0, false),
    (99.0, 10.0, 99.0, true),
    (99.0, 10.0, 100.0, false),
    (99.0, 8.0, 74.0, true),
    (99.0, 8.0, 75.0, false),
    (100.0, 8.0, 54.0, true),
    (100.0, 8.0, 55.0, false),
    (100.0, 10.0, 54.0, true),
    (100.0, 10.0, 55.0, false),
    (24.0, 8.0, 140.0, true),
];

fn chlorines() -> Vec<Row> {
    let source = "Food Code 4-501.114(A), as adopted in Louisiana, Washington, Indiana; in ranges, \
                  Wisconsin";
    let solutions = CHLORINE.map(|(mg_per_l, ph, t_f, flagged)| {
        let breach = chlorine_breach(mg_per_l, ph, celsius(t_f), 10.0);
        let what = format!("chlorine {mg_per_l} mg/L, pH {ph}, {t_f} °F");
        row(what, breach, flagged, source)
    });
    let mut rows = vec![
        solutions[0].clone(),
        solutions[2].clone(),
        solutions[4].clone(),
    ];
    rows.push(farthest(&solutions));
    let seconds = "Food Code 4-703.11(C), as adopted in Maine, chapter 200";
    let contact = [
        (50.0, 8.0, 75.0, 7.0, false),
        (50.0, 8.0, 75.0, 6.0, true),
        (50.0, 10.0, 100.0, 7.0, false),
        (25.0, 8.0, 120.0, 7.0, true),
        (25.0, 8.0, 120.0, 10.0, false),
        (100.0, 8.0, 75.0, 9.0, true),
        (100.0, 8.0, 75.0, 10.0, false),
    ];
    let contact = contact.map(|(mg_per_l, ph, t_f, contact_s, flagged)| {
        let breach = chlorine_breach(mg_per_l, ph, celsius(t_f), contact_s);
        let what = format!("chlorine {mg_per_l} mg/L, pH {ph}, {t_f} °F, {contact_s} s");
        row(what, breach, flagged, seconds)
    });
    rows.push(contact[0].clone());
    rows.push(farthest(&contact));
    rows
}

/// Both printed figures of each end pass; a psi or a °F beyond is flagged.
fn pressures_and_surface() -> Row {
    let source =
        "Food Code 4-501.113 and 4-703.11(B), as adopted in WAC 246-215-04560 and in Maine";
    let psi_kpa = 6.894_757;
    let pressures = [
        (4.0 * psi_kpa, true),
        (5.0 * psi_kpa, false),
        (35.0, false),
        (200.0, false),
        (30.0 * psi_kpa, false),
        (31.0 * psi_kpa, true),
    ];
    let mut rows = pressures
        .map(|(kpa, flagged)| {
            let what = format!("rinse pressure of {kpa:.1} kPa");
            row(what, RINSE_PRESSURE.breach(kpa), flagged, source)
        })
        .to_vec();
    rows.extend([(159.0, true), (160.0, false)].map(|(t_f, flagged)| {
        let breach = UTENSIL_SURFACE.breach_as_least(celsius(t_f));
        row(
            format!("surface of the ware at {t_f} °F"),
            breach,
            flagged,
            source,
        )
    }));
    farthest(&rows)
}

/// Zones that a belt of 6 ft/min needs for the guide of its machine.
fn contact() -> Row {
    let source = "DIN 10510 and 10512 in a trade lexicon, and zone length over belt speed";
    let [_, _, single, multi] = MACHINES;
    let tries = [
        (multi, 11.9, true),
        (multi, 12.0, false),
        (single, 8.9, true),
        (single, 9.0, false),
    ];
    let rows = tries.map(|((machine, name), feet, flagged)| {
        let seconds = contact_s(feet * FOOT_M, 0.1 * FOOT_M);
        let breach = contact_guide(machine).breach_as_least(seconds);
        let what = format!("{feet} ft of zones at 6 ft/min, {name}");
        row(what, breach, flagged, source)
    });
    farthest(&rows)
}

/// What the limit makes of 80 racks a day for 364 days, gal; and a rack of it in litres.
fn energy_star() -> [Row; 2] {
    let racks = 80.0 * 364.0;
    let kinds = [
        (
            Rated::SingleTankConveyor,
            "single-tank conveyor",
            20_384.0,
            2.650,
        ),
        (
            Rated::MultiTankConveyor,
            "multi-tank conveyor",
            15_725.0,
            2.044,
        ),
    ];
    let hot = |rated| rinse_water_most(rated, Sanitising::HotWater);
    let year = kinds.map(|(rated, name, gallons, _)| {
        let what = format!("gal a year for 29,120 racks, {name}");
        let source = "a public copy of the ENERGY STAR calculator";
        Row::is(what, hot(rated).customary * racks, 0.5, gallons, source)
    });
    let litres = kinds.map(|(rated, name, _, litres)| {
        let what = format!("L per rack, {name}");
        let source = "0.70 and 0.54 US gal, recomputed";
        Row::is(what, hot(rated).exact, 5e-4, litres, source)
    });
    [farthest(&year), farthest(&litres)]
}
