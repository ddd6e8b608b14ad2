//! Water of the machines on the sheet.

use super::{number, row, table_heads};
use crate::report::layout::{Page, bold, line, printable, wrapped};
use crate::report::units::Units;
use crate::study::sheet::cools::Cooling;
use crate::study::sheet::taken::TankHeat;
use crate::study::sheet::water::{BoosterFigures, WaterFigures};
use crate::words::sheet::cooling;
use crate::words::sheet::water::{self as words, Booster, Heat};

/// A smaller fall is not seen in a temperature as it is printed, K.
const SHOWN_K: f64 = 0.05;
/// Litres in a US gallon.
const GALLON_L: f64 = 3.785_411_784;

pub(super) fn water(out: &mut Page, machines: &[WaterFigures], units: Units) {
    if machines.is_empty() {
        return;
    }
    line(out, "");
    line(out, &bold(words::HEADING));
    for machine in machines {
        wrapped(out, &printable(&sentence(machine, units)), "  ", "  ");
    }
    cools(out, machines, units);
}

/// How far racks cool what they meet. Where nothing has to be kept and nothing is heated there is nothing to see.
fn cools(out: &mut Page, machines: &[WaterFigures], units: Units) {
    let looked_at = |of: &&WaterFigures| of.heaviest_rack.is_some() && !of.cooling.is_empty();
    let machines: Vec<&WaterFigures> = machines.iter().filter(looked_at).collect();
    let Some(first) = machines.first().and_then(|of| of.heaviest_rack.as_ref()) else {
        return;
    };
    table_heads(out, &cooling::TABLE);
    for machine in &machines {
        for cools in &machine.cooling {
            let zone = cools.zone.as_deref().unwrap_or(cooling::FINAL_RINSE);
            row(
                out,
                &format!("{} {zone}", machine.machine),
                &cells(cools, units),
            );
        }
    }
    let note = cooling::note(&number(first.pieces, 0), &first.ware);
    wrapped(out, &printable(&note), "  ", "  ");
}

fn cells(cools: &Cooling, units: Units) -> [String; 4] {
    let at_least = cools.minimum_c.map(|c| temperature(c, units));
    [
        temperature(cools.set_c, units),
        at_least.unwrap_or_else(|| "-".to_owned()),
        temperature(cools.one_rack_c, units),
        temperature(cools.no_gap_c, units),
    ]
}

fn sentence(water: &WaterFigures, units: Units) -> String {
    let rack = volume(water.rack_l, 2, units);
    let mut text = words::per_rack(&water.machine, &rack, water.evening.is_some());
    if let Some(evening) = &water.evening {
        let (fresh, fill) = (
            volume(evening.fresh_l, 0, units),
            volume(water.fill_l, 0, units),
        );
        let detergent = mass(evening.detergent_kg, 1, units);
        text += &words::in_evening(&fresh, &fill, evening.changes, &detergent);
    }
    text += ".";
    if let Some(booster) = &water.booster {
        let kwh = water
            .evening
            .as_ref()
            .and_then(|evening| evening.booster_kwh);
        text += &of_booster(booster, kwh, units);
    }
    if let Some(tanks) = water.evening.as_ref().and_then(|evening| evening.tanks) {
        text += &of_tanks(&tanks);
    }
    if let Some(heat_up_min) = water.heat_up_min {
        text += &words::heat_up(&number(heat_up_min, 0));
    }
    if let Some(change_min) = water.change_min {
        text += &words::change(&number(change_min, 0));
    }
    if let Some(soil) = water.soil_g_per_l {
        text += &words::soil(&concentration(soil, units));
    }
    text
}

fn of_tanks(tanks: &TankHeat) -> String {
    let kwh = |value: f64| number(value, 1);
    let heat = |value: f64, to: Heat| words::heat(&kwh(value), to);
    let mut parts = vec![heat(tanks.fill_kwh, Heat::Fill)];
    if tanks.changes_kwh > 0.0 {
        parts.push(heat(tanks.changes_kwh, Heat::Refill));
    }
    parts.push(heat(tanks.lost_kwh, Heat::Lost));
    parts.push(heat(tanks.ware_kwh, Heat::Ware));
    parts.push(if tanks.rinse_kwh < 0.0 {
        heat(-tanks.rinse_kwh, Heat::ColderRinse)
    } else {
        heat(tanks.rinse_kwh, Heat::Rinse)
    });
    words::tanks(&kwh(tanks.takes_kwh), &parts)
}

fn of_booster(booster: &BoosterFigures, kwh: Option<f64>, units: Units) -> String {
    let kw = |w: f64| format!("{:.1}", w / 1e3);
    let kwh = kwh.map(|kwh| number(kwh, 1));
    let how = if booster.comes_to_c > booster.set_c - SHOWN_K {
        Booster::Holds
    } else if booster.is_weak() {
        Booster::Weak
    } else {
        Booster::Stirred
    };
    words::booster(
        [&kw(booster.needed_w), &temperature(booster.set_c, units)],
        [
            &kw(booster.power_w),
            &temperature(booster.comes_to_c, units),
        ],
        how,
        kwh.as_deref(),
    )
}

/// Detergent.
pub(super) fn mass(kg: f64, decimals: i32, units: Units) -> String {
    let shown = units.shown("kg");
    format!("{} {}", number(kg * shown.factor, decimals), shown.unit)
}

pub(super) fn volume(l: f64, decimals: i32, units: Units) -> String {
    match units {
        Units::Metric => format!("{} L", number(l, decimals)),
        Units::Us => format!("{} gal", number(l / GALLON_L, decimals)),
    }
}

fn concentration(g_per_l: f64, units: Units) -> String {
    let shown = units.shown("g/L");
    let decimals = if units == Units::Us { 2 } else { 1 };
    format!(
        "{} {}",
        number(g_per_l * shown.factor, decimals),
        shown.unit
    )
}

fn temperature(c: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{c:.1} °C"),
        Units::Us => format!("{:.1} °F", c * 1.8 + 32.0),
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::super::sheet;
    use crate::report::units::Units;
    use crate::report::width::Width;
    use crate::room::Room;
    use crate::scenario::load_changed;
    use crate::study::sheet::Sheet;

    /// The sheet of the café with changes, in one line, and the same in lines.
    fn cafe(changes: &str) -> (String, String) {
        let path = Path::new("scenarios/corner-cafe.toml");
        let loaded = load_changed(path, changes).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let text = sheet(
            &Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario)),
            Units::Metric,
            Width::of_terminal(92),
        );
        let words: Vec<&str> = text.split_whitespace().collect();
        (words.join(" "), text)
    }

    /// 12 kW where 5.7 would do, and still colder than its set point: the sheet says why.
    #[test]
    fn a_booster_that_has_enough_is_not_called_too_weak() {
        let (stirred, _) = cafe("");
        assert!(
            stirred.contains(
                "to hold 85.0 °C, and has 12.0. The end of a rinse is still at 82.7 °C: the cold"
            ),
            "{stirred}"
        );
        let booster = |power: &str| {
            format!(
                "[[machine]]\nname = \"hood\"\nbooster = {{ power = \"{power}\", hot_water = \"displaced\" }}\n"
            )
        };
        let (displaced, _) = cafe(&booster("12 kW"));
        assert!(
            displaced.contains("to hold 85.0 °C; it has 12.0. It takes"),
            "{displaced}"
        );
        let (weak, _) = cafe(&booster("4 kW"));
        assert!(
            weak.contains("to hold 85.0 °C; it has 4.0, which holds "),
            "{weak}"
        );
    }

    #[test]
    fn no_table_has_an_empty_line_below_its_head() {
        let (_, text) = cafe("");
        let lines: Vec<&str> = text.lines().collect();
        let head = lines
            .iter()
            .position(|line| line.contains("What racks cool"))
            .unwrap();
        assert!(lines[head + 1].contains("hood tank"), "{text}");
    }
}
