//! Ctrl-C: what is finished is kept, whole; a second one ends the program at once.

#![cfg(target_os = "linux")]

use std::fs;
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::thread::sleep;
use std::time::Duration;

use crate::program::{FILES, OF_COST, OF_WATER, PATH, RUSH, contents, csv, folder};

/// Starts a run of many minutes and waits until it is playing.
fn long_run(out: &Path, more: &[&str]) -> Child {
    long_run_of(&["simulate", RUSH], out, more)
}

fn long_run_of(command: &[&str], out: &Path, more: &[&str]) -> Child {
    let mut child = Command::new(PATH)
        .args(command)
        .args(["-n", "100000", "--out"])
        .arg(out)
        .args(more)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // Reading the scenario takes a few milliseconds of processor time; far more is playing.
    while processor_ticks(&child) < 50 {
        assert_eq!(child.try_wait().unwrap(), None, "it ended by itself");
        sleep(Duration::from_millis(20));
    }
    child
}

/// Processor time so far, in hundredths of a second.
pub fn processor_ticks(child: &Child) -> u64 {
    let stat = fs::read_to_string(format!("/proc/{}/stat", child.id())).unwrap();
    let after_name = stat.rsplit_once(')').unwrap().1;
    after_name
        .split_whitespace()
        .nth(11)
        .unwrap()
        .parse()
        .unwrap()
}

pub fn interrupt(child: &Child) {
    let sent = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(sent.unwrap().success());
}

fn text(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

#[test]
fn what_is_finished_is_kept() {
    let out = folder();
    let child = long_run(out.path(), &[]);
    interrupt(&child);
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(130));
    let rows = csv(&out.path().join("replications.csv")).1;
    let told = format!("INTERRUPTED after {} of 100000 evenings", rows.len());
    assert!(
        !rows.is_empty() && text(&output).contains(&told),
        "{told}: {}",
        text(&output)
    );
    assert_eq!(
        contents(out.path()).len(),
        FILES.len() + OF_COST.len() + OF_WATER.len()
    );
    // What was in hand on the other threads may be missing in the middle, never doubled.
    let numbers: Vec<u64> = rows
        .iter()
        .map(|row| row["replication"].parse().unwrap())
        .collect();
    assert!(numbers.is_sorted_by(|a, b| a < b));
}

#[test]
fn json_says_so_too() {
    let out = folder();
    let child = long_run(out.path(), &["--json"]);
    interrupt(&child);
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(130));
    let document: serde_json::Value = serde_json::from_str(&text(&output)).unwrap();
    assert_eq!(document["interrupted"], true);
    assert_eq!(document["wanted"], 100_000);
    let rows = csv(&out.path().join("replications.csv")).1;
    assert_eq!(document["replications"], rows.len());
}

#[test]
fn twice_ends_at_once_and_keeps_earlier_results() {
    let out = folder();
    let child = long_run(out.path(), &[]);
    interrupt(&child);
    interrupt(&child);
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(130));
    let files = contents(out.path());
    let all = [FILES.as_slice(), &OF_COST, &OF_WATER].concat();
    let whole = files.keys().filter(|name| all.contains(&name.as_str()));
    assert!(
        [0, all.len()].contains(&whole.count()),
        "{:?}",
        files.keys()
    );
}

/// A replication is kept when all scenarios have played it.
#[test]
fn a_comparison_keeps_whole_pairs() {
    let out = folder();
    let command = ["compare", RUSH, "scenarios/second-loader.toml"];
    let child = long_run_of(&command, out.path(), &["--json"]);
    interrupt(&child);
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(130));
    let document: serde_json::Value = serde_json::from_str(&text(&output)).unwrap();
    assert_eq!(document["interrupted"], true);
    let rows = csv(&out.path().join("replications.csv")).1;
    assert_eq!(
        document["replications"].as_u64().unwrap() as usize * 2,
        rows.len()
    );
    for pair in rows.chunks(2) {
        assert_eq!(pair[0]["replication"], pair[1]["replication"]);
        let names = [&pair[0]["scenario"], &pair[1]["scenario"]];
        assert_eq!(names, ["friday-rush", "second-loader"]);
    }
}
