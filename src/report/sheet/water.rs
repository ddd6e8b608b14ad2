//! Water of the machines on the sheet.

use super::number;
use crate::report::layout::{Page, bold, line, printable, wrapped};
use crate::report::units::Units;
use crate::study::sheet::taken::TankHeat;
use crate::study::sheet::water::{BoosterFigures, WaterFigures};

/// Litres in a US gallon.
const GALLON_L: f64 = 3.785_411_784;

pub(super) fn water(out: &mut Page, machines: &[WaterFigures], units: Units) {
    if machines.is_empty() {
        return;
    }
    line(out, "");
    line(out, &bold("Water"));
    for machine in machines {
        wrapped(out, &printable(&sentence(machine, units)), "  ", "  ");
    }
}

fn sentence(water: &WaterFigures, units: Units) -> String {
    let gap = if water.evening.is_some() {
        ""
    } else {
        ", with no gap between racks"
    };
    let rack = volume(water.rack_l, 2, units);
    let mut text = format!("{}: {rack} per rack{gap}", water.machine);
    if let Some(evening) = &water.evening {
        let fills = match evening.changes {
            1.0 => " and refill it once".to_owned(),
            changes if changes > 1.0 => format!(" and refill it {changes:.0} times"),
            _ => String::new(),
        };
        text += &format!(
            ", {} in the evening with the {} that fill it{fills}, {} kg of detergent",
            volume(evening.fresh_l, 0, units),
            volume(water.fill_l, 0, units),
            number(evening.detergent_kg, 1)
        );
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
        text += &format!(" Its tanks are hot after {} min.", number(heat_up_min, 0));
    }
    if let Some(change_min) = water.change_min {
        text += &format!(" A change of water takes {} min.", number(change_min, 0));
    }
    if let Some(soil) = water.soil_g_per_l {
        text += &format!(" By the end of the evening there are {soil:.1} g/L of soil in it.");
    }
    text
}

fn of_tanks(tanks: &TankHeat) -> String {
    let kwh = |value: f64| number(value, 1);
    let mut wants = vec![format!("{} to fill them", kwh(tanks.fill_kwh))];
    if tanks.changes_kwh > 0.0 {
        wants.push(format!("{} to refill them", kwh(tanks.changes_kwh)));
    }
    wants.push(format!("{} lost to the room", kwh(tanks.lost_kwh)));
    wants.push(format!("{} into ware and racks", kwh(tanks.ware_kwh)));
    let rinse = if tanks.rinse_kwh < 0.0 {
        format!("and {} into colder rinse", kwh(-tanks.rinse_kwh))
    } else {
        format!("less {} that the rinse brings", kwh(tanks.rinse_kwh))
    };
    format!(
        " Its tanks take {} kWh: {}, {rinse}.",
        kwh(tanks.takes_kwh),
        wants.join(", ")
    )
}

fn of_booster(booster: &BoosterFigures, kwh: Option<f64>, units: Units) -> String {
    let kw = |w: f64| format!("{:.1}", w / 1e3);
    let gives = kwh.map_or_else(String::new, |kwh| {
        format!(", and takes {} kWh in the evening", number(kwh, 1))
    });
    format!(
        " With no gap between racks the booster needs {} kW to hold {}; it has {}, which holds {}{gives}.",
        kw(booster.needed_w),
        temperature(booster.set_c, units),
        kw(booster.power_w),
        temperature(booster.comes_to_c, units)
    )
}

pub(super) fn volume(l: f64, decimals: i32, units: Units) -> String {
    match units {
        Units::Metric => format!("{} L", number(l, decimals)),
        Units::Us => format!("{} gal", number(l / GALLON_L, decimals)),
    }
}

fn temperature(c: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{c:.1} °C"),
        Units::Us => format!("{:.1} °F", c * 1.8 + 32.0),
    }
}
