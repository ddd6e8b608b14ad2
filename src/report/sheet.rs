//! The hand-calculation sheet: as `check` prints it, and as one JSON document.
//!
//! The sentence of what binds comes first, then the peak, the stations, the people, machines, ware,
//! lengths, drying, findings, and at the end what is assumed and what to be careful about. What does
//! not exist is `-` in the text and `null` in JSON.

use super::ReportError;
use super::json::{Told, finding};
use super::number::{finite, text};
use super::table::{bold, findings, line, printable, shortened, wrapped};
use super::tables_csv::clock;
use super::units::Units;
use crate::scenario::model::Surface;
use crate::study::sheet::labour::Labour;
use crate::study::sheet::machines::{CONTACT_GUIDE_S, LANDING_GUIDE_RACKS, MachineFigures};
use crate::study::sheet::peak::{Amount, Peak};
use crate::study::sheet::stations::{Station, Thing};
use crate::study::sheet::{ASSUMPTIONS, CAUTIONS, Sheet};
use serde::Serialize;

/// The sheet as text. Bold is marked with escapes, as in [`table`](super::table::table).
#[must_use]
pub fn sheet(sheet: &Sheet, units: Units) -> String {
    let mut out = String::new();
    line(&mut out, &bold(&printable(&sheet.title)));
    line(
        &mut out,
        "Worked out from means, before anything is played.",
    );
    if let Some(binds) = &sheet.binds {
        line(&mut out, "");
        wrapped(&mut out, &printable(&binds.sentence), "", "");
    }
    peak(&mut out, &sheet.peak);
    stations(&mut out, &sheet.stations);
    people(&mut out, &sheet.labour);
    backlog(&mut out, sheet);
    machines(&mut out, &sheet.machines, units);
    pars(&mut out, sheet);
    lengths(&mut out, sheet, units);
    drying(&mut out, sheet);
    findings(&mut out, &sheet.findings());
    notes(&mut out, "What is assumed", ASSUMPTIONS);
    notes(&mut out, "Be careful", CAUTIONS);
    out
}

fn number(value: f64, decimals: i32) -> String {
    text(Some(value), decimals)
}

/// A share as a percentage; more is asked of nothing: `none`.
fn share(value: Option<f64>) -> String {
    finite(value).map_or_else(|| "none".to_owned(), |v| format!("{:.0} %", 100.0 * v))
}

/// A row of a table: the name, then cells of eleven columns each.
fn row(out: &mut String, name: &str, cells: &[String]) {
    let cells: String = cells.iter().map(|cell| format!(" {cell:>10}")).collect();
    line(
        out,
        &format!("  {:<20}{cells}", shortened(&printable(name), 20)),
    );
}

fn heads(out: &mut String, heading: &str, upper: &[&str], lower: &[&str]) {
    let cells = |words: &[&str]| -> String { words.iter().map(|w| format!(" {w:>10}")).collect() };
    line(out, "");
    line(out, &bold(&format!("{heading:<22}{}", cells(upper))));
    if !lower.is_empty() {
        line(out, &format!("{:<22}{}", "", cells(lower)));
    }
}

fn peak(out: &mut String, peak: &Peak) {
    let (from, to) = (clock(peak.from_s), clock(peak.to_s));
    let heading = format!("The peak {from}–{to}");
    heads(out, &heading, &["in the hour", "evening"], &[]);
    if let (Some(covers), Some(evening)) = (peak.covers, peak.covers_evening) {
        row(out, "covers", &[number(covers, 0), number(evening, 0)]);
    }
    amounts(out, &peak.wares);
    total(out, "pieces in all", peak.pieces, peak.pieces_evening);
    if peak.racks_all_evening > 0.0 {
        let of_kind = |a: &Amount| Amount {
            name: format!("{} racks", a.name),
            ..a.clone()
        };
        let racks: Vec<Amount> = peak.racks.iter().map(of_kind).collect();
        amounts(out, &racks);
        total(out, "racks in all", peak.racks_all, peak.racks_all_evening);
        let more = format!(
            "Racks are full ones; if each leaves as soon as it may, {:.0} an hour. A piece is washed \
             {:.3} times on average while its soil is fresh.",
            peak.racks_part_full, peak.passes
        );
        wrapped(out, &more, "  ", "  ");
    }
}

fn amounts(out: &mut String, amounts: &[Amount]) {
    for amount in amounts.iter().filter(|amount| amount.evening > 0.0) {
        row(
            out,
            &amount.name,
            &[number(amount.peak, 0), number(amount.evening, 0)],
        );
    }
}

fn total(out: &mut String, name: &str, peak: f64, evening: f64) {
    row(out, name, &[number(peak, 0), number(evening, 0)]);
}

fn stations(out: &mut String, stations: &[Station]) {
    if stations.is_empty() {
        return;
    }
    heads(
        out,
        "Stations in the peak",
        &[
            "wanted", "unit", "a unit", "places", "people", "can do", "used",
        ],
        &["an hour", "", "s", "", "there", "an hour", ""],
    );
    for station in stations {
        let there = text(station.on_duty, 1);
        let can = station.each_per_hour.map(|_| station.capacity_per_hour);
        let places = match station.thing {
            Thing::Places if station.duty.is_some() => station.places.to_string(),
            _ => format!("({})", station.places),
        };
        row(
            out,
            &station.name,
            &[
                number(station.units_per_hour, 0),
                station.unit.to_owned(),
                number(station.seconds_per_unit, 1),
                places,
                there,
                text(can, 0),
                share(station.utilisation),
            ],
        );
    }
    let more = "Can do: every place staffed at pace 1. Places in brackets are machines, landing \
                places, sinks or racks owned; a unit keeps one of them that long.";
    wrapped(out, more, "  ", "  ");
}

fn people(out: &mut String, labour: &Labour) {
    if labour.operators.is_empty() {
        return;
    }
    heads(
        out,
        "People in the peak",
        &["needed", "share", "hold duty"],
        &["people", "", "people"],
    );
    for duty in &labour.duties {
        let cells = [
            number(duty.people_needed, 2),
            share(Some(duty.share)),
            number(duty.people_there, 1),
        ];
        row(out, duty.duty.name(), &cells);
    }
    row(out, "all duties", &[number(labour.people_needed, 2)]);
    let there = labour.operators.iter();
    let there: Vec<String> = there
        .map(|operator| format!("{} {:.2}", operator.name, operator.hours))
        .collect();
    let there = format!(
        "Hours each can work in the hour, without breaks, times pace: {}; all {:.2}.",
        there.join(", "),
        labour.people_there
    );
    wrapped(out, &printable(&there), "  ", "  ");
    if let Some(set) = &labour.binds {
        let duties: Vec<&str> = set.duties.iter().map(|duty| duty.name()).collect();
        let told = format!(
            "Tightest: {}, {:.2} people's work for the {:.2} who may do it ({}).",
            duties.join(" + "),
            set.people_needed,
            set.people_there,
            share(set.utilisation)
        );
        wrapped(out, &told, "  ", "  ");
    }
}

fn backlog(out: &mut String, sheet: &Sheet) {
    let backlog = sheet.binds.as_ref().and_then(|binds| binds.backlog_pieces);
    let Some(backlog) = backlog.filter(|backlog| backlog.most >= 1.0) else {
        return;
    };
    let told = format!(
        "Behind what binds wait about {:.0} pieces when the peak ends, {:.0} at most ({}), none from {} \
         on.",
        backlog.at_end_of_peak,
        backlog.most,
        clock(backlog.most_at_s),
        clock(backlog.gone_at_s)
    );
    line(out, "");
    wrapped(out, &told, "", "");
}

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

fn machines(out: &mut String, machines: &[MachineFigures], units: Units) {
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
    let more = format!(
        "Rated after the NSF/ANSI 3 calculation. German practice (DIN 10510 to 10512): {CONTACT_GUIDE_S:.0} s \
         in a single-tank machine, 120 s in a multi-tank conveyor."
    );
    wrapped(out, &more, "  ", "  ");
}

fn pars(out: &mut String, sheet: &Sheet) {
    if sheet.pars.is_empty() {
        return;
    }
    heads(
        out,
        "Ware away from store",
        &["used", "away", "in room", "steady", "most", "owned"],
        &["an hour", "min", "min", "pieces", "pieces", "pieces"],
    );
    for par in &sheet.pars {
        let cells = [
            number(par.used_per_hour, 0),
            number(par.away_min, 0),
            number(par.in_room_min, 0),
            number(par.away_mean, 0),
            number(par.away_most, 0),
            par.owned.to_string(),
        ];
        row(out, &par.ware, &cells);
    }
    let more = "If nothing queues. Steady: used an hour times hours away (Little's law); most: added \
                up along the evening.";
    wrapped(out, more, "  ", "  ");
}

fn lengths(out: &mut String, sheet: &Sheet, units: Units) {
    let lengths = &sheet.lengths;
    let mut rows = Vec::new();
    if let (Some(tubs), Some(minutes)) = (lengths.drop_off_tubs, lengths.holds_min) {
        let coming = text(lengths.tubs_in_15_min, 0);
        rows.push(format!(
            "Drop-off{}: {tubs} tubs. The busiest 15 minutes bring {coming}: it holds {minutes:.0} minutes \
             of that if nobody scrapes.",
            in_brackets(lengths.drop_off_m, units)
        ));
    }
    for machine in &sheet.machines {
        let through = text(machine.landing_racks_per_hour, 0);
        rows.push(format!(
            "{}: the lane holds {} racks (guide: 1). The landing{} holds {} (guide: {LANDING_GUIDE_RACKS}, \
             60 in, behind a hot-water machine); each stays {:.0} s, so {through} an hour can go over it.",
            machine.name,
            machine.lane,
            in_brackets(machine.landing_m, units),
            machine.landing,
            machine.landing_s
        ));
    }
    if rows.is_empty() {
        return;
    }
    line(out, "");
    line(out, &bold("Lengths"));
    for told in rows {
        wrapped(out, &printable(&told), "  ", "  ");
    }
}

fn in_brackets(metres: Option<f64>, units: Units) -> String {
    metres.map_or_else(String::new, |metres| {
        format!(" ({})", length(metres, units))
    })
}

fn drying(out: &mut String, sheet: &Sheet) {
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
                the scenario reckons with the first. May wait: what is left when nothing queues.";
    wrapped(out, more, "  ", "  ");
}

fn notes(out: &mut String, heading: &str, notes: &[&str]) {
    line(out, "");
    line(out, &bold(heading));
    for note in notes {
        wrapped(out, note, "  - ", "    ");
    }
}

#[derive(Serialize)]
struct Document<'a> {
    scenario: &'a str,
    sheet: &'a Sheet,
    findings: Vec<Told<'a>>,
    assumptions: &'static [&'static str],
    cautions: &'static [&'static str],
}

/// The sheet as one JSON document, indented, with a newline at its end. `name` is the file's name
/// without ending. Times are in seconds after midnight of the opening day where a name ends in `_s`.
///
/// # Errors
/// [`ReportError::Json`], which no sheet should cause.
pub fn document(name: &str, sheet: &Sheet) -> Result<String, ReportError> {
    let told = sheet.findings();
    let document = Document {
        scenario: name,
        sheet,
        findings: told.iter().map(finding).collect(),
        assumptions: ASSUMPTIONS,
        cautions: CAUTIONS,
    };
    let mut text = serde_json::to_string_pretty(&document).map_err(ReportError::Json)?;
    text.push('\n');
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::room::Room;
    use crate::scenario;
    use std::path::Path;

    fn friday() -> Sheet {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/friday-rush.toml");
        let loaded = scenario::load(&file).unwrap();
        Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario))
    }

    #[test]
    fn the_sheet_fits_a_terminal_in_either_system_of_units() {
        for units in [Units::Metric, Units::Us] {
            let text = anstream::adapter::strip_str(&sheet(&friday(), units)).to_string();
            let widest = text.lines().map(|l| l.chars().count()).max().unwrap();
            assert!(widest <= 100, "{widest}\n{text}");
        }
    }

    #[test]
    fn the_document_is_json_with_everything_a_program_needs() {
        let text = document("friday-rush", &friday()).unwrap();
        let value: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(value["scenario"], "friday-rush");
        assert!(value["sheet"]["peak"]["pieces"].as_f64().unwrap() > 0.0);
        assert!(value["sheet"]["binds"]["sentence"].is_string());
        assert!(value["findings"].is_array());
    }
}
