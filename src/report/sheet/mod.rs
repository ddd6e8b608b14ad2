//! The hand-calculation sheet: as `check` prints it, and as one JSON document.
//!
//! The sentence of what binds comes first, then the peak, the stations, the people, the roster, machines,
//! water, ware,
//! lengths, drying, findings, and at the end what is assumed and what to be careful about. What does
//! not exist is `-` in the text and `null` in JSON.

mod equipment;
mod routine;
mod spent;
mod water;

use super::ReportError;
use super::json::{FindingFields, finding, pretty};
use super::layout::{
    self, Column, Page, bold, findings, left, line, printable, right, shortened, squeezed, wrapped,
};
use super::number::{finite, planned, text};
use super::tables_csv::clock;
use super::units::Units;
use super::width::Width;
use crate::study::sheet::Sheet;
use crate::study::sheet::cover::Cover;
use crate::study::sheet::labour::{DutyWork, Labour};
use crate::study::sheet::peak::{Amount, Peak};
use crate::study::sheet::stations::{Station, Thing};
use crate::study::sheet::wages::Wages;
use crate::version;
use crate::words::sheet::cover as covers;
use crate::words::sheet::peak as peaks;
use crate::words::sheet::{self as words, ASSUMPTIONS, CAUTIONS, Heads};
use crate::words::text::rounded;
use serde::Serialize;
use std::borrow::Cow;

/// A sheet with the name of its scenario.
#[derive(Debug)]
pub struct CheckedSheet<'a> {
    /// The file's name without ending.
    pub name: &'a str,
    /// Digest of all that was read for it.
    pub digest: String,
    /// What was worked out.
    pub sheet: &'a Sheet,
}

/// The sheet as text. Bold is marked with escapes, as in [`table`](super::table::table).
#[must_use]
pub fn sheet(sheet: &Sheet, units: Units, width: Width) -> String {
    let mut out = Page::new(width, &sheet.wording);
    line(&mut out, &bold(&printable(&sheet.title)));
    if !sheet.note.is_empty() {
        line(&mut out, &printable(&sheet.note));
    }
    line(&mut out, words::FROM_MEANS);
    if let Some(binds) = &sheet.binds {
        line(&mut out, "");
        wrapped(&mut out, &printable(&binds.sentence), "", "");
    }
    peak(&mut out, sheet);
    stations(&mut out, &sheet.stations);
    people(&mut out, &sheet.labour);
    cover(&mut out, &sheet.cover);
    backlog(&mut out, sheet);
    wages(&mut out, &sheet.wages);
    spent::spent(&mut out, &sheet.spent, units);
    equipment::machines(&mut out, &sheet.machines, units);
    water::water(&mut out, &sheet.water, units);
    routine::routine(&mut out, &sheet.routine);
    equipment::pars(&mut out, sheet);
    equipment::lengths(&mut out, sheet, units);
    equipment::drying(&mut out, sheet);
    findings(&mut out, &sheet.findings());
    notes(&mut out, words::ASSUMED, ASSUMPTIONS);
    notes(&mut out, words::BE_CAREFUL, CAUTIONS);
    out.into_text()
}

/// A figure that was worked out: to the digits that such a sheet can know.
fn number(value: f64, decimals: i32) -> String {
    planned(Some(value), decimals)
}

/// A share as a percentage; more is asked of nothing: `none`.
fn share(value: Option<f64>) -> String {
    finite(value).map_or_else(|| words::NONE.to_owned(), |v| format!("{:.0} %", 100.0 * v))
}

/// Columns of a table whose names take `name`, and figures as many as there are.
fn columns(name: usize, figures: usize) -> Vec<Column> {
    let figures = std::iter::repeat_n(right(10).after(1), figures);
    std::iter::once(left(name)).chain(figures).collect()
}

/// The name, then its figures, in columns that the page has room for.
fn row_text(out: &Page, columns: &[Column], name: &str, cells: &[&str]) -> String {
    let cells: Vec<_> = std::iter::once(&name)
        .chain(cells)
        .map(|cell| out.said(cell))
        .collect();
    let cells: Vec<&str> = cells.iter().map(|cell| &**cell).collect();
    layout::row(&squeezed(columns.to_vec(), out), &cells)
}

/// A row of a table of these columns: the name, then its figures.
fn row_of(out: &mut Page, columns: &[Column], name: &str, cells: &[&str]) {
    let text = row_text(out, columns, name, cells);
    line(out, &text);
}

/// The name, then cells of eleven columns each. A name too long for its column has a line of its own above them.
fn row(out: &mut Page, name: &str, cells: &[String]) {
    let mut name = printable(name);
    if name.chars().count() > NAME - 2 {
        line(out, &format!("  {}", shortened(&name, out.width() - 2)));
        name.clear();
    }
    let cells: Vec<&str> = cells.iter().map(String::as_str).collect();
    row_of(
        out,
        &columns(NAME, cells.len()),
        &format!("  {name}"),
        &cells,
    );
}

/// Width of the names of rows.
const NAME: usize = 22;

fn heads(out: &mut Page, heading: &str, upper: &[&str], lower: &[&str]) {
    heads_of(out, &columns(NAME, upper.len()), heading, upper, lower);
}

/// Heading and heads of a table.
fn table_heads<const N: usize>(out: &mut Page, all: &Heads<N>) {
    heads(out, all.heading, &all.upper, &all.lower);
}

/// A heading with the heads of the figures after it, and a second line of heads if there are any.
fn heads_of(out: &mut Page, columns: &[Column], heading: &str, upper: &[&str], lower: &[&str]) {
    let heads = row_text(out, columns, heading, upper);
    line(out, "");
    line(out, &bold(heads.trim_end()));
    if lower.iter().any(|head| !head.is_empty()) {
        row_of(out, columns, "", lower);
    }
}

fn peak(out: &mut Page, sheet: &Sheet) {
    let peak = &sheet.peak;
    let (from, to) = (clock(peak.from_s), clock(peak.to_s));
    heads(out, &peaks::heading(&from, &to), &peaks::HEADS, &[]);
    if let (Some(covers), Some(evening)) = (peak.covers, peak.covers_evening) {
        row(
            out,
            peaks::COVERS,
            &[text(Some(covers), 0), text(Some(evening), 0)],
        );
    }
    amounts(out, &peak.wares);
    total(out, peaks::PIECES, peak.pieces, peak.pieces_evening);
    if peak.racks_all_evening > 0.0 {
        let of_kind = |a: &Amount| Amount {
            name: peaks::racks(&a.name),
            ..a.clone()
        };
        let racks: Vec<Amount> = peak.racks.iter().map(of_kind).collect();
        amounts(out, &racks);
        total(out, peaks::RACKS, peak.racks_all, peak.racks_all_evening);
        let more = peaks::note(
            [peak.racks_if_full, peak.racks_if_full_evening],
            peak.passes,
        );
        wrapped(out, &more, "  ", "  ");
        rack_steps(out, peak);
    }
}

/// From full racks to those that are sent.
fn rack_steps(out: &mut Page, peak: &Peak) {
    table_heads(out, &peaks::STEPS);
    let rows = peak.rack_steps.iter().zip(&peak.racks);
    for (step, sent) in rows.filter(|(_, sent)| sent.evening > 0.0) {
        let cells = [
            share(Some(step.full_enough)),
            number(step.wait_at_most_min, 0),
            number(step.if_full.peak, 0),
            number(sent.peak, 0),
            number(step.if_full.evening, 0),
            number(sent.evening, 0),
        ];
        row(out, &peaks::racks(&step.name), &cells);
    }
    wrapped(out, peaks::STEPS_NOTE, "  ", "  ");
}

fn amounts(out: &mut Page, amounts: &[Amount]) {
    for amount in amounts.iter().filter(|amount| amount.evening > 0.0) {
        row(
            out,
            &amount.name,
            &[number(amount.peak, 0), number(amount.evening, 0)],
        );
    }
}

fn total(out: &mut Page, name: &str, peak: f64, evening: f64) {
    row(out, name, &[number(peak, 0), number(evening, 0)]);
}

fn stations(out: &mut Page, stations: &[Station]) {
    if stations.is_empty() {
        return;
    }
    table_heads(out, &words::STATIONS);
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
                planned(can, 0),
                share(station.utilisation),
            ],
        );
    }
    wrapped(out, words::STATIONS_NOTE, "  ", "  ");
}

/// People needed over people there, by half hour and duty.
fn cover(out: &mut Page, cover: &Cover) {
    let Some(first) = cover.half_hours.first() else {
        return;
    };
    let heads: Vec<&str> = first.duties.iter().map(|work| work.duty.name()).collect();
    if heads.is_empty() {
        return;
    }
    let columns = columns(covers::WIDTH, heads.len());
    heads_of(out, &columns, covers::HEADING, &heads, &[]);
    for row in &cover.half_hours {
        let cells: Vec<String> = row.duties.iter().map(covered).collect();
        let cells: Vec<&str> = cells.iter().map(String::as_str).collect();
        row_of(
            out,
            &columns,
            &covers::hours(&clock(row.from_s), &clock(row.to_s)),
            &cells,
        );
    }
    wrapped(out, covers::NOTE, "  ", "  ");
}

fn covered(work: &DutyWork) -> String {
    let needed = number(work.people_needed, 2);
    if work.people_there > 0.0 {
        covers::of(&needed, &number(work.people_there, 1))
    } else if work.people_needed > 0.0 {
        covers::of(&needed, words::NONE)
    } else {
        "-".to_owned()
    }
}

fn people(out: &mut Page, labour: &Labour) {
    if labour.operators.is_empty() {
        return;
    }
    table_heads(out, &words::PEOPLE);
    for duty in &labour.duties {
        let cells = [
            number(duty.people_needed, 2),
            share(Some(duty.share)),
            number(duty.people_there, 1),
        ];
        row(out, duty.duty.name(), &cells);
    }
    row(out, words::ALL_DUTIES, &[number(labour.people_needed, 2)]);
    let there = labour.operators.iter();
    let there: Vec<String> = there
        .map(|operator| format!("{} {:.2}", operator.name, operator.hours))
        .collect();
    let there = words::hours_each(&there, labour.people_there);
    wrapped(out, &printable(&there), "  ", "  ");
    if let Some(set) = &labour.binds {
        let duties = set.names();
        let share = share(set.utilisation);
        let sentence = words::tightest(&duties, set.people_needed, set.people_there, &share);
        wrapped(out, &sentence, "  ", "  ");
    }
}

/// The roster in hours; in money too, if there are prices.
fn wages(out: &mut Page, wages: &Wages) {
    if wages.shifts.is_empty() {
        return;
    }
    let is_paid = wages.shifts.iter().any(|shift| shift.wage.is_some());
    let columns = if is_paid { 5 } else { 3 };
    let Heads {
        heading,
        upper,
        lower,
    } = words::ROSTER;
    let lower = if is_paid { &lower[..] } else { &[] };
    heads(out, heading, &upper[..columns], lower);
    for shift in &wages.shifts {
        let cells = [
            shift.people.to_string(),
            text(Some(shift.hours_each), 2),
            text(Some(shift.hours), 2),
            text(shift.wage, 2),
            text(shift.cost, 2),
        ];
        row(out, &shift.name, &cells[..columns]);
    }
    let people: u32 = wages.shifts.iter().map(|shift| shift.people).sum();
    let (hours, cost) = (text(Some(wages.hours), 2), text(wages.cost, 2));
    let cells = [
        people.to_string(),
        String::new(),
        hours,
        String::new(),
        cost,
    ];
    row(out, words::ALL, &cells[..columns]);
}

fn backlog(out: &mut Page, sheet: &Sheet) {
    let binds = sheet.binds.as_ref();
    let backlog = binds.and_then(|binds| Some((&binds.name, binds.backlog_pieces?)));
    let Some((name, backlog)) = backlog.filter(|(_, backlog)| backlog.most >= 1.0) else {
        return;
    };
    let end = rounded(backlog.at_end_of_peak);
    let (most, most_at) = (rounded(backlog.most), clock(backlog.most_at_s));
    let gone_at = clock(backlog.gone_at_s);
    let sentence = words::backlog(name, &end, [&most, &most_at], &gone_at);
    line(out, "");
    wrapped(out, &printable(&sentence), "", "");
}

fn notes(out: &mut Page, heading: &str, notes: &[&str]) {
    line(out, "");
    line(out, &bold(heading));
    for note in notes {
        wrapped(out, note, "  - ", "    ");
    }
}

#[derive(Serialize)]
struct Document<'a> {
    version: &'static str,
    commit: Option<&'static str>,
    scenario: &'a str,
    title: &'a str,
    digest: &'a str,
    currency: Option<&'a str>,
    sheet: &'a Sheet,
    findings: Vec<FindingFields<'a>>,
    assumptions: Vec<Cow<'static, str>>,
    cautions: &'static [&'static str],
}

/// The sheet as one JSON document, indented, with a newline at its end. Times are in seconds after midnight of the opening day where a name ends in `_s`.
///
/// # Errors
/// [`ReportError::Json`], which no sheet should cause.
pub fn document(checked: &CheckedSheet<'_>) -> Result<String, ReportError> {
    let sheet = checked.sheet;
    let findings = sheet.findings();
    let document = Document {
        version: version::NUMBER,
        commit: version::COMMIT,
        scenario: checked.name,
        title: &sheet.title,
        digest: &checked.digest,
        currency: sheet.wording.currency(),
        sheet,
        findings: findings.iter().map(finding).collect(),
        assumptions: ASSUMPTIONS
            .iter()
            .map(|text| sheet.wording.said(text))
            .collect(),
        cautions: CAUTIONS,
    };
    pretty(&document)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::room::Room;
    use crate::scenario;
    use std::path::Path;

    fn friday() -> Sheet {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/two-people.toml");
        let loaded = scenario::load(&file).unwrap();
        Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario))
    }

    #[test]
    fn the_sheet_fits_a_terminal_in_either_system_of_units() {
        for units in [Units::Metric, Units::Us] {
            let text =
                anstream::adapter::strip_str(&sheet(&friday(), units, Width::FIXED)).to_string();
            let widest = text.lines().map(|l| l.chars().count()).max().unwrap();
            assert!(widest <= 100, "{widest}\n{text}");
        }
    }

    #[test]
    fn the_sheet_is_as_wide_as_the_terminal() {
        let widest = |columns| {
            let text = sheet(&friday(), Units::Metric, Width::of_terminal(columns));
            let text = anstream::adapter::strip_str(&text).to_string();
            text.lines().map(|line| line.chars().count()).max().unwrap()
        };
        let widths = [60, 80, 140].map(widest);
        assert!(
            widths[1] <= 82 && (93..=140).contains(&widths[2]),
            "{widths:?}"
        );
        // Seven figures of eight characters and a name have no room in 60.
        assert!(widths[0] <= 80, "{widths:?}");
    }

    /// Of zones, machines, stations, people and wares alike.
    #[test]
    fn long_names_stand_whole_above_their_figures() {
        let mut out = Page::new(Width::FIXED, &crate::scenario::wording::Wording::default());
        let cells = ["3".to_owned(), "4.5".to_owned()];
        row(&mut out, "conveyor", &cells);
        row(&mut out, "the long conveyor final rinse", &cells);
        row(&mut out, &"x".repeat(200), &cells);
        let text = out.into_text();
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines[0], "  conveyor                      3        4.5");
        assert_eq!(lines[1], "  the long conveyor final rinse");
        assert_eq!(lines[2], "                                3        4.5");
        assert!(
            lines
                .iter()
                .all(|line| line.chars().count() <= Width::FIXED.get())
        );
    }

    #[test]
    fn the_roster_is_in_money_where_there_are_prices() {
        let roster = |file: &str| {
            let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
            let loaded = scenario::load(&file).unwrap();
            let made = Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario));
            let text = anstream::adapter::strip_str(&sheet(&made, Units::Metric, Width::FIXED))
                .to_string();
            let (_, after) = text.split_once("\nThe roster").unwrap();
            let rows = after.lines().take_while(|line| !line.is_empty());
            rows.map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "))
                .collect::<Vec<_>>()
        };
        let priced = [
            "people h each h total per hour cost",
            "money money",
            "scraper 2 1.67 3.33 11.70 39.00",
            "unloader 1 2.00 2.00 13.00 26.00",
            "all 3 5.33 65.00",
        ];
        assert_eq!(roster("tests/rooms/shifts.toml"), priced);
        let unpriced = roster("tests/rooms/one-person.toml");
        assert_eq!(unpriced[0], "people h each h total");
        assert_eq!(unpriced.len(), 3, "{unpriced:?}");
    }

    #[test]
    fn the_document_is_json_with_everything_a_program_needs() {
        let text = document(&CheckedSheet {
            name: "two-people",
            digest: "0".to_owned(),
            sheet: &friday(),
        })
        .unwrap();
        let value: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(value["scenario"], "two-people");
        assert!(value["sheet"]["peak"]["pieces"].as_f64().unwrap() > 0.0);
        assert!(value["sheet"]["binds"]["sentence"].is_string());
        assert!(value["findings"].is_array());
    }
}
