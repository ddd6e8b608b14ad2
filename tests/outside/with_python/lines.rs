//! A second simulator: the same dish lines, written apart in Python from a description in words
//! (`python/second_simulator.py`), on a general library for discrete events, with its own random numbers.
//!
//! Both sides are played; the difference of each pair of means lies in its 99.9 % interval (Welch). Beside
//! every line stands a wrong one, a little different on our side alone, which the comparison finds out.

use std::sync::OnceLock;
use std::thread::available_parallelism;

use scullery::statistics::interval::Sample;
use scullery::statistics::paired::welch;
use serde_json::Value;

use super::python;
use crate::ledger::{self, Row};
use crate::played::{LEVEL, Played, play, play_changed};

/// Evenings there, where one takes some fifteen milliseconds.
const THEIR_EVENINGS: u64 = 1_500;
/// Evenings here.
const OUR_EVENINGS: u64 = 15_000;
/// What the lines are compared by on the page. All other measures that both know are compared as well.
const SHOWN: [&str; 5] = [
    "soiled_waiting_mean",
    "wait_mean_min",
    "wait_p95_min",
    "machine_stopped_min",
    "crew_out_min_after_close",
];
/// Queue and waits are known this well at least; a stopped belt is rare on some lines.
const NARROW: f64 = 0.05;
const SOURCE: &str = "second simulator";

/// A line, and changes that make it a wrong one.
const LINES: [(&str, &str); 5] = [
    ("plain-line", "[[ware]]\nname = \"plate\"\nload = \"1.9 s\""),
    (
        "short-table",
        "[[machine]]\nname = \"conveyor\"\nlanding = 3",
    ),
    (
        "shared-crew",
        "[[roster]]\nname = \"scraper\"\nduties = [\"load\", \"scrape\", \"unload\"]",
    ),
    ("few-racks", "[[rack]]\nname = \"rack\"\nfleet = 8"),
    ("rewash", "[inspect]\ncatches = 0.75"),
];

/// What the other simulator said of all lines.
fn theirs() -> &'static Value {
    static THEIRS: OnceLock<Value> = OnceLock::new();
    THEIRS.get_or_init(|| {
        let evenings = THEIR_EVENINGS.to_string();
        let processes = available_parallelism().map_or(1, usize::from).to_string();
        let mut arguments: Vec<&str> = LINES.iter().map(|(line, _)| *line).collect();
        arguments.extend(["--replications", &evenings, "--seed", "1"]);
        arguments.extend(["--processes", &processes]);
        python::run("second_simulator.py", &arguments, "")
    })
}

/// Every measure that the other side knows of a line, against ours.
fn compare(line: &str, ours: &Played) -> Vec<(String, Row)> {
    let known = theirs()[line].as_object().expect("a line");
    assert!(known.len() >= 11, "{line}: {known:?}");
    let row = |(measure, reported): (&String, &Value)| {
        let ours = ours.figure(&format!("measures/{measure}"));
        let theirs = sample(reported);
        let difference = welch(ours, theirs).expect("more than one evening each");
        let within = difference.half_width(LEVEL).expect("an interval");
        let what = format!("{line}: {measure}");
        let row = Row::is(what, ours.mean, within, theirs.mean, SOURCE);
        (measure.clone(), row)
    };
    known.iter().map(row).collect()
}

fn sample(reported: &Value) -> Sample {
    assert_eq!(reported["n"].as_u64(), Some(THEIR_EVENINGS));
    Sample {
        n: usize::try_from(THEIR_EVENINGS).expect("a small number"),
        mean: reported["mean"].as_f64().expect("a mean"),
        sd: reported["sd"].as_f64(),
    }
}

fn rows() -> &'static [(String, Row)] {
    static ROWS: OnceLock<Vec<(String, Row)>> = OnceLock::new();
    ROWS.get_or_init(|| {
        // Asked first: where there is no Python, nothing is played in vain.
        theirs();
        let of_line = |(line, _): &(&str, &str)| {
            compare(line, &play(&format!("lines/{line}.toml"), OUR_EVENINGS))
        };
        LINES.iter().flat_map(of_line).collect()
    })
}

#[test]
fn both_simulators_agree() {
    let all: Vec<Row> = rows().iter().map(|(_, row)| row.clone()).collect();
    ledger::holds(&all);
}

#[test]
fn queues_and_waits_are_known_well() {
    for (measure, row) in rows() {
        if SHOWN[..3].contains(&measure.as_str()) {
            assert!(row.within < NARROW * row.ours, "{row:?}");
        }
    }
}

#[test]
fn a_wrong_line_is_found_out() {
    for (line, wrong) in LINES {
        let played = play_changed(&format!("lines/{line}.toml"), wrong, OUR_EVENINGS / 3);
        let rows = compare(line, &played);
        assert!(rows.iter().any(|(_, row)| !row.agrees()), "{line}");
    }
}

#[test]
fn the_page() {
    let shown = rows()
        .iter()
        .filter(|(measure, _)| SHOWN.contains(&measure.as_str()));
    let shown: Vec<Row> = shown.map(|(_, row)| row.clone()).collect();
    ledger::on_the_page("lines", "± 99.9 %", &shown);
}
