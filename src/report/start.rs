//! The file of a start: what differs from house to house, written out with a comment above each table.

use std::fmt::Write;

use super::layout::{Page, wrapped};
use super::width::Width;
use crate::room::Room;
use crate::scenario::load_text;
use crate::scenario::model::{DutyEntry, RosterRow};
use crate::scenario::shipped;
use crate::scenario::start::{Start, WrongAnswer};
use crate::scenario::units::clock_text;
use crate::study::evening::Severity;
use crate::study::sheet::Sheet;
use crate::words::start as words;

/// Moments that were moved are on the five minutes.
const STEP_S: f64 = 300.0;
/// Ware is owned in tens.
const TEN: f64 = 10.0;

/// A moment of the shipped service, moved, as a time of day.
fn moved(start: &Start, at_s: f64) -> String {
    clock_text((start.moved_s(at_s) / STEP_S).round() * STEP_S)
}

/// A text in the quotes of TOML.
fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// The text of the file; `name` is what it is called, for the commands that its head names.
#[must_use]
pub fn text(start: &Start, name: &str) -> String {
    let body = body(start);
    let mut out = String::new();
    comment(&mut out, &words::head(name, start.kind.base));
    out + &warnings(&body) + &body
}

/// What `check` warns of in the file as it stands, a sentence each; empty if it warns of nothing.
fn warnings(body: &str) -> String {
    let Ok(loaded) = load_text("start.toml", body, None) else {
        return String::new();
    };
    let sheet = Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario));
    let mut out = Page::new(Width::FIXED, &sheet.wording);
    for one in sheet.findings() {
        if one.severity != Severity::Note {
            wrapped(&mut out, &first_sentence(&one.evidence), "# - ", "#   ");
        }
    }
    let warned = out.into_text();
    if warned.is_empty() {
        return warned;
    }
    let mut head = String::new();
    comment(&mut head, words::WARNED);
    head + &warned
}

fn first_sentence(text: &str) -> String {
    let end = text.find(". ").map_or(text.len(), |at| at + 1);
    text[..end].to_owned()
}

fn body(start: &Start) -> String {
    let mut out = String::new();
    let base = start.kind.base;
    let _ = writeln!(out, "version = 1\nbased_on = \"library:{base}\"");
    let _ = writeln!(out, "title = {}", quoted(&start.title));
    let _ = writeln!(out, "note = {}", quoted(words::NOTE));
    if start.covers.is_some() {
        hours_and_guests(&mut out, start);
    }
    ware(&mut out, start);
    machines(&mut out, start);
    roster(&mut out, start);
    prices(&mut out, start);
    out
}

/// Whether the file would be a scenario.
///
/// # Errors
/// Its first mistake.
pub fn checked(start: &Start) -> Result<(), WrongAnswer> {
    let read = load_text("start.toml", &text(start, "start"), None);
    read.map(|_| ()).map_err(|mistakes| {
        let first = mistakes.iter().next();
        WrongAnswer::Impossible(first.map(|one| one.title.clone()).unwrap_or_default())
    })
}

fn comment(out: &mut String, lines: &str) {
    for line in lines.lines() {
        let _ = writeln!(out, "{}", format!("# {line}").trim_end());
    }
}

fn hours_and_guests(out: &mut String, start: &Start) {
    out.push('\n');
    comment(out, words::HOURS);
    let (opens, closes) = (clock_text(start.opens_s), clock_text(start.closes_s));
    let _ = writeln!(
        out,
        "[service]\nopens = \"{opens}\"\ncloses = \"{closes}\"\n"
    );
    let Some(guests) = &start.base.guests else {
        return;
    };
    comment(out, words::GUESTS);
    out.push_str("[guests]\nseating = [\n");
    let scale = start.scale();
    for row in &guests.seating {
        let (from, to) = (moved(start, row.from_s), moved(start, row.to_s));
        let covers = (row.covers * scale).round();
        let _ = writeln!(
            out,
            "    {{ from = \"{from}\", to = \"{to}\", covers = {covers} }},"
        );
    }
    out.push_str("]\n");
}

fn ware(out: &mut String, start: &Start) {
    let owned = start.base.ware.iter();
    let mut owned = owned
        .filter_map(|ware| Some((&ware.name, ware.owned?)))
        .peekable();
    if owned.peek().is_none() {
        return;
    }
    out.push('\n');
    comment(out, words::WARE);
    for (name, pieces) in owned {
        let pieces = (f64::from(pieces) * start.scale() / TEN).ceil() * TEN;
        let _ = writeln!(out, "[[ware]]\nname = {}\nowned = {pieces}\n", quoted(name));
    }
    out.pop();
}

/// Keys of a machine that a house knows of its own.
const MACHINE: [&str; 6] = ["tunnel", "speed", "cycle", "lane", "landing", "drain"];

fn machines(out: &mut String, start: &Start) {
    out.push('\n');
    comment(out, words::MACHINE);
    for (name, keys) in written_rows(start.kind.base, "machine", &MACHINE) {
        let _ = writeln!(out, "[[machine]]\nname = {}\n{keys}", quoted(&name));
    }
    out.pop();
}

fn roster(out: &mut String, start: &Start) {
    out.push('\n');
    comment(out, words::ROSTER);
    for (row, people) in start.base.roster.iter().zip(&start.people) {
        person(out, start, row, *people);
    }
    out.pop();
}

fn person(out: &mut String, start: &Start, row: &RosterRow, people: u32) {
    let _ = writeln!(
        out,
        "[[roster]]\nname = {}\ncount = {people}",
        quoted(&row.name)
    );
    let (from, to) = (moved(start, row.from_s), moved(start, row.to_s));
    let _ = writeln!(out, "from = \"{from}\"\nto = \"{to}\"");
    let breaks = row.breaks.iter().map(|of| {
        // A break is moved, and stays as long as it is.
        let lasts_s = of.to_s - of.from_s;
        let from_s = (start.moved_s(of.from_s) / STEP_S).round() * STEP_S;
        let (from, to) = (clock_text(from_s), clock_text(from_s + lasts_s));
        format!("{{ from = \"{from}\", to = \"{to}\" }}")
    });
    let breaks: Vec<String> = breaks.collect();
    let duties: Vec<String> = row.duties.iter().map(duty).collect();
    let _ = writeln!(out, "breaks = [{}]", breaks.join(", "));
    let _ = writeln!(out, "duties = [{}]\n", duties.join(", "));
}

fn duty(entry: &DutyEntry) -> String {
    let name = quoted(entry.duty.name());
    let mut conditions = String::new();
    if entry.once_waiting > 0 {
        let _ = write!(conditions, ", once_waiting = {}", entry.once_waiting);
    }
    if entry.once_short {
        conditions += ", once_short = true";
    }
    if conditions.is_empty() {
        return name;
    }
    format!("{{ duty = {name}{conditions} }}")
}

/// Prices that a house knows.
const PRICES: [&str; 5] = ["labour", "water", "sewer", "energy", "detergent"];

fn prices(out: &mut String, start: &Start) {
    let lines = written_table(start.kind.base, "prices", &PRICES);
    if lines.is_empty() {
        return;
    }
    out.push('\n');
    comment(out, words::PRICES);
    let _ = write!(out, "[prices]\n{lines}");
}

/// Keys of a table as a shipped scenario writes them, a line each.
fn written_table(base: &str, table: &str, keys: &[&str]) -> String {
    let text = shipped::text(&shipped::path(base));
    let parsed = text.and_then(|text| text.parse::<toml::Table>().ok());
    let table = parsed.as_ref().and_then(|all| all.get(table)?.as_table());
    table.map_or_else(String::new, |table| lines(table, keys))
}

/// The same of each row of a list, with its name.
fn written_rows(base: &str, list: &str, keys: &[&str]) -> Vec<(String, String)> {
    let text = shipped::text(&shipped::path(base));
    let parsed = text.and_then(|text| text.parse::<toml::Table>().ok());
    let rows = parsed.as_ref().and_then(|all| all.get(list)?.as_array());
    let rows = rows.into_iter().flatten().filter_map(toml::Value::as_table);
    let named = |row: &toml::Table| Some((row.get("name")?.as_str()?.to_owned(), lines(row, keys)));
    rows.filter_map(named).collect()
}

fn lines(table: &toml::Table, keys: &[&str]) -> String {
    let mut out = String::new();
    for key in keys {
        if let Some(value) = table.get(*key) {
            let _ = writeln!(out, "{key} = {value}");
        }
    }
    out
}
