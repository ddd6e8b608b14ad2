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

/// How many evenings are played.
#[derive(Clone, Copy)]
struct Evenings {
    /// There, where one takes some twenty milliseconds.
    theirs: u64,
    ours: u64,
}

/// As few as leave every queue and wait as well known as [`NARROW`] asks.
const FEW: Evenings = Evenings {
    theirs: 600,
    ours: 5_000,
};
/// With few racks waits are the longest, and differ most from evening to evening.
const MANY: Evenings = Evenings {
    theirs: 1_200,
    ours: 6_000,
};
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
const LINES: [(&str, Evenings, &str); 7] = [
    (
        "plain-line",
        FEW,
        "[[ware]]\nname = \"plate\"\nload = \"1.9 s\"",
    ),
    (
        "short-table",
        FEW,
        "[[machine]]\nname = \"conveyor\"\nlanding = 3",
    ),
    (
        "shared-crew",
        FEW,
        "[[roster]]\nname = \"scraper\"\nduties = [\"load\", \"scrape\", \"unload\"]",
    ),
    ("few-racks", MANY, "[[rack]]\nname = \"rack\"\nfleet = 8"),
    ("rewash", FEW, "[inspect]\ncatches = 0.75"),
    ("parked-racks", FEW, "[dollies]\nplaces = 2"),
    (
        "tubs-and-help",
        FEW,
        "[[roster]]\nname = \"helper\"\ncalled = { once_waiting = 60, comes_after = \"10 min\", stays_at_least = \"60 min\", goes_below = 20 }",
    ),
];

/// What the other simulator said of each line.
fn theirs() -> &'static [Value] {
    static THEIRS: OnceLock<Vec<Value>> = OnceLock::new();
    THEIRS.get_or_init(|| {
        LINES
            .iter()
            .map(|(line, evenings, _)| they_said(line, evenings.theirs))
            .collect()
    })
}

fn they_said(line: &str, evenings: u64) -> Value {
    let evenings = evenings.to_string();
    let processes = available_parallelism().map_or(1, usize::from).to_string();
    let arguments = [
        line,
        "--replications",
        &evenings,
        "--seed",
        "1",
        "--processes",
        &processes,
    ];
    python::run("second_simulator.py", &arguments, "")[line].take()
}

/// Every measure that the other side knows of a line, against ours.
fn compare(which: usize, ours: &Played) -> Vec<(String, Row)> {
    let (line, evenings, _) = LINES[which];
    let known = theirs()[which].as_object().expect("a line");
    assert!(known.len() >= 11, "{line}: {known:?}");
    let row = |(measure, reported): (&String, &Value)| {
        let ours = ours.figure(&format!("measures/{measure}"));
        let theirs = sample(reported, evenings.theirs);
        let difference = welch(ours, theirs).expect("more than one evening each");
        let within = difference.half_width(LEVEL).expect("an interval");
        let what = format!("{line}: {measure}");
        let row = Row::is(what, ours.mean, within, theirs.mean, SOURCE);
        (measure.clone(), row)
    };
    known.iter().map(row).collect()
}

fn sample(reported: &Value, evenings: u64) -> Sample {
    assert_eq!(reported["n"].as_u64(), Some(evenings));
    Sample {
        n: usize::try_from(evenings).expect("a small number"),
        mean: reported["mean"].as_f64().expect("a mean"),
        sd: reported["sd"].as_f64(),
    }
}

fn rows() -> &'static [(String, Row)] {
    static ROWS: OnceLock<Vec<(String, Row)>> = OnceLock::new();
    ROWS.get_or_init(|| {
        // Asked first: where there is no Python, nothing is played in vain.
        theirs();
        let of_line = |which: usize| {
            let (line, evenings, _) = LINES[which];
            compare(which, &play(&format!("lines/{line}.toml"), evenings.ours))
        };
        (0..LINES.len()).flat_map(of_line).collect()
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
    for (which, (line, evenings, wrong)) in LINES.into_iter().enumerate() {
        let played = play_changed(&format!("lines/{line}.toml"), wrong, evenings.ours / 3);
        let rows = compare(which, &played);
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
