//! What the evening takes and costs on the sheet.

use super::water::{mass, volume};
use super::{heads, number, row};
use crate::report::layout::Page;
use crate::report::number::planned;
use crate::report::tables_csv::clock;
use crate::report::units::Units;
use crate::room::money::CostPart;
use crate::study::sheet::spent::Spent;
use crate::words::sheet::{ALL, spent as words};

/// A row: its name, what it takes, and the part of the cost that it is, if it is one.
type SpentRow = (&'static str, Option<String>, Option<CostPart>);

pub(super) fn spent(out: &mut Page, spent: &Spent, units: Units) {
    let lines: Vec<SpentRow> = lines(spent, units)
        .into_iter()
        .filter(|(_, takes, _)| takes.is_some())
        .collect();
    if lines.is_empty() {
        return;
    }
    let heading = words::heading(&clock(spent.ends_s));
    let columns = if spent.cost.is_some() { 2 } else { 1 };
    let lower = if spent.cost.is_some() {
        &words::LOWER[..]
    } else {
        &[]
    };
    heads(out, &heading, &words::UPPER[..columns], lower);
    for (name, takes, part) in lines {
        let cost = part.and_then(|part| spent.of_part(part));
        let cost = cost.map_or_else(String::new, |cost| number(cost, 2));
        row(out, name, &[takes.unwrap_or_default(), cost][..columns]);
    }
    if spent.cost.is_some() {
        row(out, ALL, &[String::new(), planned(spent.cost, 2)]);
    }
}

fn lines(spent: &Spent, units: Units) -> Vec<SpentRow> {
    let hours = |value: Option<f64>| value.map(|v| format!("{} h", number(v, 2)));
    let kwh = |value: Option<f64>| value.map(|v| format!("{} kWh", number(v, 1)));
    let water = spent.water_l.map(|l| volume(l, 0, units));
    let used = water
        .clone()
        .filter(|_| spent.of_part(CostPart::Sewer).is_some());
    vec![
        (words::LABOUR, hours(spent.labour_h), Some(CostPart::Labour)),
        (words::OVERTIME, hours(spent.overtime_h), None),
        (words::WATER, water, Some(CostPart::Water)),
        (words::SEWER, used, Some(CostPart::Sewer)),
        (words::ENERGY, kwh(spent.energy_kwh), Some(CostPart::Energy)),
        (words::TANKS, kwh(spent.tank_heat_kwh), None),
        (words::BOOSTER, kwh(spent.booster_kwh), None),
        (words::PUMPS, kwh(spent.pumps_kwh), None),
        (words::POT_SINK, kwh(spent.pot_sink_kwh), None),
        (words::DRYER, kwh(spent.dryer_kwh), None),
        (
            words::DETERGENT,
            spent.detergent_kg.map(|kg| mass(kg, 2, units)),
            Some(CostPart::Detergent),
        ),
        (
            words::RINSE_AID,
            spent.rinse_aid_l.map(|l| volume(l, 2, units)),
            Some(CostPart::RinseAid),
        ),
    ]
}
