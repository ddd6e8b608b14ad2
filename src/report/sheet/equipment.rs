//! The second half of the sheet: machines, ware away from the store, lengths, drying.

use super::{heads, number, row};
use crate::report::layout::{Page, bold, line, printable, wrapped};
use crate::report::number::text;
use crate::report::units::Units;
use crate::scenario::model::{Sanitising, Surface};
use crate::study::sheet::Sheet;
use crate::study::sheet::lengths::LANE_GUIDE_RACKS;
use crate::study::sheet::machines::{MachineFigures, ZoneFigures, landing_guide};

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
    heads(
        out,
        "Machines",
        &["rated", "speed", "headway", "inside", "washed", "needs"],
        &["racks/h", "", "s", "s", "s", "s"],
    );
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
    let more = "Rated after the NSF/ANSI 3 calculation. German practice (DIN 10510 to 10512): 90 s in a \
                single-tank machine, 120 s in a multi-tank conveyor.";
    wrapped(out, more, "  ", "  ");
    zones(out, machines, units);
}

fn behind(sanitising: Sanitising) -> &'static str {
    match sanitising {
        Sanitising::HotWater => "a hot-water machine",
        Sanitising::Chemical => "a chemical rinse",
    }
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
    heads(
        out,
        "Zones",
        &["kind", "length", "inside", "needs", "set to", "at least"],
        &["", "", "s", "s", "", ""],
    );
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
    heads(
        out,
        "Ware away from store",
        &["used", "away", "in room", "steady", "most", "owned"],
        &["per hour", "min", "min", "pieces", "pieces", "pieces"],
    );
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
    let more = "If nothing queues. Steady: used per hour times hours away (Little's law), if it is \
                back within the hour. Most: added up along the evening.";
    wrapped(out, more, "  ", "  ");
}

pub(super) fn lengths(out: &mut Page, sheet: &Sheet, units: Units) {
    let lengths = &sheet.lengths;
    let mut rows = Vec::new();
    if let (Some(tubs), Some(minutes)) = (lengths.drop_off_tubs, lengths.holds_min) {
        let coming = text(lengths.tubs_in_15_min, 0);
        rows.push(format!(
            "Drop-off{}: {}. The busiest 15 minutes bring {coming}: it holds {minutes:.0} minutes of that \
             if nobody scrapes.",
            in_brackets(lengths.drop_off_m, units),
            counted(tubs, "tub")
        ));
    }
    for machine in &sheet.machines {
        let through = text(machine.landing_racks_per_hour, 0);
        let (guide, guide_m) = landing_guide(machine.sanitising);
        rows.push(format!(
            "{}: the lane holds {} (guide: {LANE_GUIDE_RACKS}). The landing{} holds {} (guide: \
             {guide}, {}, behind {}); each stays {:.0} s, so {through} per hour can pass over it.",
            machine.name,
            counted(machine.lane, "rack"),
            in_brackets(machine.landing_m, units),
            machine.landing,
            length(guide_m, units),
            behind(machine.sanitising),
            machine.landing_s
        ));
    }
    if rows.is_empty() {
        return;
    }
    line(out, "");
    line(out, &bold("Lengths"));
    for sentence in rows {
        wrapped(out, &printable(&sentence), "  ", "  ");
    }
}

/// `1 rack`, `3 racks`.
fn counted(count: u32, thing: &str) -> String {
    match count {
        1 => format!("1 {thing}"),
        _ => format!("{count} {thing}s"),
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
    let (here, there) = match sheet.drying.surface {
        Surface::Air => ("air temp.", "wet bulb"),
        Surface::WetBulb => ("wet bulb", "air temp."),
    };
    heads(
        out,
        "Dried on after, min",
        &[here, there, "on its way", "may wait"],
        &[],
    );
    for soil in &sheet.drying.soils {
        let cells = [
            text(soil.dries_in_min, 0),
            text(soil.otherwise_min, 0),
            text(soil.quickest_min, 0),
            text(soil.wait_allowed_min, 0),
        ];
        row(out, &soil.soil, &cells);
    }
    let more = "A film of mean thickness. Published rates differ threefold between the two columns; \
                the scenario uses the first. May wait: what is left when nothing queues.";
    wrapped(out, more, "  ", "  ");
}
