//! The second half of the sheet: machines, ware away from the store, lengths, drying.

use super::{heads, number, row, table_heads};
use crate::report::layout::{Page, bold, line, printable, wrapped};
use crate::report::number::text;
use crate::report::units::Units;
use crate::scenario::model::Surface;
use crate::study::sheet::Sheet;
use crate::study::sheet::lengths::LANE_GUIDE_RACKS;
use crate::study::sheet::machines::{MachineFigures, ZoneFigures, landing_guide};
use crate::words::sheet::{self as words, drying};

/// A length for the terminal: centimetres or inches.
fn length(metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{:.0} cm", metres * 100.0),
        Units::Us => format!("{:.0} in", metres / 0.0254),
    }
}

fn speed(m_per_s: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{:.2} m/min", m_per_s * 60.0),
        Units::Us => format!("{:.1} ft/min", m_per_s * 60.0 / 0.3048),
    }
}

pub(super) fn machines(out: &mut Page, machines: &[MachineFigures], units: Units) {
    if machines.is_empty() {
        return;
    }
    table_heads(out, &words::MACHINES);
    for machine in machines {
        let cells = [
            number(machine.rated_racks_per_hour, 0),
            machine
                .speed_m_per_s
                .map_or_else(|| "-".to_owned(), |v| speed(v, units)),
            number(machine.headway_s, 1),
            number(machine.transit_s, 1),
            number(machine.contact_s, 1),
            number(machine.contact_needed_s, 1),
        ];
        row(out, &machine.name, &cells);
    }
    wrapped(out, words::MACHINES_NOTE, "  ", "  ");
    zones(out, machines, units);
}

fn temperature(c: Option<f64>, units: Units) -> String {
    match (c, units) {
        (None, _) => "-".to_owned(),
        (Some(c), Units::Metric) => format!("{c:.0} °C"),
        (Some(c), Units::Us) => format!("{:.0} °F", c * 1.8 + 32.0),
    }
}

fn zones(out: &mut Page, machines: &[MachineFigures], units: Units) {
    let of_machine = |machine: &'_ MachineFigures| -> Vec<(String, ZoneFigures)> {
        let named = |zone: &ZoneFigures| (format!("{} {}", machine.name, zone.name), zone.clone());
        machine.zones.iter().map(named).collect()
    };
    let all: Vec<(String, ZoneFigures)> = machines.iter().flat_map(of_machine).collect();
    if all.is_empty() {
        return;
    }
    table_heads(out, &words::ZONES);
    for (name, zone) in &all {
        let cells = [
            zone.kind.name().to_owned(),
            length(zone.length_m, units),
            number(zone.contact_s, 1),
            text(zone.contact_needed_s, 1),
            temperature(zone.temperature_c, units),
            temperature(zone.minimum_c, units),
        ];
        row(out, name, &cells);
    }
}

pub(super) fn pars(out: &mut Page, sheet: &Sheet) {
    if sheet.pars.is_empty() {
        return;
    }
    table_heads(out, &words::PARS);
    for par in &sheet.pars {
        let cells = [
            number(par.used_per_hour, 0),
            number(par.away_min, 0),
            number(par.in_room_min, 0),
            text(par.away_mean, 0),
            number(par.away_most, 0),
            par.owned.to_string(),
        ];
        row(out, &par.ware, &cells);
    }
    wrapped(out, words::PARS_NOTE, "  ", "  ");
}

pub(super) fn lengths(out: &mut Page, sheet: &Sheet, units: Units) {
    let lengths = &sheet.lengths;
    let mut rows = Vec::new();
    if let (Some(tubs), Some(minutes)) = (lengths.drop_off_tubs, lengths.holds_min) {
        let coming = text(lengths.tubs_in_15_min, 0);
        let length = in_brackets(lengths.drop_off_m, units);
        rows.push(words::lengths::drop_off(&length, tubs, &coming, minutes));
    }
    for machine in &sheet.machines {
        let through = text(machine.landing_racks_per_hour, 0);
        let (guide, guide_m) = landing_guide(machine.sanitising);
        let landing = in_brackets(machine.landing_m, units);
        rows.push(words::lengths::landing(
            &machine.name,
            (machine.lane, LANE_GUIDE_RACKS),
            (&landing, (machine.landing, guide), &length(guide_m, units)),
            machine.sanitising,
            (machine.landing_s, &through),
        ));
    }
    if rows.is_empty() {
        return;
    }
    line(out, "");
    line(out, &bold(words::lengths::HEADING));
    for sentence in rows {
        wrapped(out, &printable(&sentence), "  ", "  ");
    }
}

fn in_brackets(metres: Option<f64>, units: Units) -> String {
    metres.map_or_else(String::new, |metres| {
        format!(" ({})", length(metres, units))
    })
}

pub(super) fn drying(out: &mut Page, sheet: &Sheet) {
    if sheet.drying.soils.is_empty() {
        return;
    }
    heads(out, drying::HEADING, &drying::HEADS, &[]);
    for soil in &sheet.drying.soils {
        let cells = [
            text(soil.dries_in_min, 0),
            text(soil.wet_bulb_min, 0),
            text(soil.air_min, 0),
            text(soil.quickest_min, 0),
            text(soil.wait_allowed_min, 0),
        ];
        row(out, &soil.soil, &cells);
    }
    let at_wet_bulb = sheet.drying.surface == Surface::WetBulb;
    let note = drying::note(at_wet_bulb, sheet.drying.multiplier);
    wrapped(out, &note, "  ", "  ");
}
