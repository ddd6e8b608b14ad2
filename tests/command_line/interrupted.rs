//! INT, TERM and HUP: what is finished is kept, whole; a second signal, later, ends the program at once.

#![cfg(target_os = "linux")]

use std::io::Write;
use std::path::Path;
use std::process::{Command, Output};
use std::thread::sleep;
use std::time::{Duration, Instant};

use nix::sys::signal::Signal::{SIGHUP, SIGINT, SIGTERM};

use crate::program::{FILES, OF_COST, OF_WATER, PATH, RUSH, contents, csv, folder};
use crate::running::{Running, send};

/// Starts a run of many minutes and waits until it is playing.
fn long_run(out: &Path, more: &[&str]) -> Running {
    long_run_of(Command::new(PATH), &["simulate", RUSH], out, more)
}

fn long_run_of(mut program: Command, command: &[&str], out: &Path, more: &[&str]) -> Running {
    let command = program.args(command).args(["-n", "100000", "--out"]);
    let mut run = Running::start_piped(command.arg(out).args(more));
    // Reading the scenario takes a few milliseconds of processor time; far more is playing.
    run.wait_until_busy(50);
    run
}

/// The program as if whoever runs the tests had never asked for signals to be ignored, or with HUP ignored.
fn with_signals(option: &str) -> Command {
    let mut command = Command::new("env");
    command.args([option, PATH]);
    command
}

fn text(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

#[test]
fn what_is_finished_is_kept() {
    let out = folder();
    let run = long_run(out.path(), &[]);
    run.send(SIGINT);
    what_was_finished_is_there(run, out.path());
}

/// A batch scheduler sends TERM, a terminal that closes HUP.
#[test]
fn what_is_finished_is_kept_for_term_and_hup_too() {
    for signal in [SIGTERM, SIGHUP] {
        let out = folder();
        let program = with_signals("--default-signal=TERM,HUP");
        let run = long_run_of(program, &["simulate", RUSH], out.path(), &[]);
        run.send(signal);
        what_was_finished_is_there(run, out.path());
    }
}

/// A terminal and the shell in it, or a scheduler and its script, both pass a signal on.
#[test]
fn two_signals_within_a_second_are_one_request() {
    for (first, second, apart) in [
        (SIGINT, SIGINT, 0),
        (SIGINT, SIGINT, 30),
        (SIGTERM, SIGINT, 100),
    ] {
        let out = folder();
        let run = long_run(out.path(), &[]);
        run.send(first);
        sleep(Duration::from_millis(apart));
        // It may be writing its last file by now, or be gone.
        let _ = send(run.id(), second);
        what_was_finished_is_there(run, out.path());
    }
}

/// `nohup` is for runs that outlive the terminal.
#[test]
fn a_hang_up_that_is_ignored_stays_so() {
    let out = folder();
    let program = with_signals("--ignore-signal=HUP");
    let mut run = long_run_of(program, &["simulate", RUSH], out.path(), &[]);
    run.send(SIGHUP);
    let ticks = run.processor_ticks();
    run.wait_until_busy(ticks + 100);
    run.send(SIGTERM);
    what_was_finished_is_there(run, out.path());
}

fn what_was_finished_is_there(run: Running, out: &Path) {
    let output = run.output();
    assert_eq!(output.status.code(), Some(130), "{output:?}");
    let rows = csv(&out.join("replications.csv")).1;
    let heading = format!("INTERRUPTED after {} of 100000 evenings", rows.len());
    assert!(
        !rows.is_empty() && text(&output).contains(&heading),
        "{heading}: {}",
        text(&output)
    );
    assert_eq!(
        contents(out).len(),
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
    let run = long_run(out.path(), &["--json"]);
    run.send(SIGINT);
    let output = run.output();
    assert_eq!(output.status.code(), Some(130));
    let document: serde_json::Value = serde_json::from_str(&text(&output)).unwrap();
    assert_eq!(document["interrupted"], true);
    assert_eq!(document["wanted"], 100_000);
    let rows = csv(&out.path().join("replications.csv")).1;
    assert_eq!(document["replications"], rows.len());
}

#[test]
fn a_signal_more_than_a_second_later_ends_it_at_once() {
    let out = folder();
    // Nobody reads what it prints, and the pipe is nearly full: it cannot end in good order.
    let (_reader, mut writer) = std::io::pipe().unwrap();
    writer.write_all(&[b' '; 60_000]).unwrap();
    let mut command = Command::new(PATH);
    command.args(["simulate", RUSH, "--json", "-n", "100000", "--out"]);
    let mut run = Running::start(command.arg(out.path()).stdout(writer));
    run.wait_until_busy(50);
    run.send(SIGINT);
    let first = Instant::now();
    while !all_are_there(out.path()) || first.elapsed() < Duration::from_millis(1200) {
        assert!(first.elapsed() < Duration::from_secs(240), "no results");
        sleep(Duration::from_millis(20));
    }
    assert_eq!(run.ended(), None, "it waits for its reader");
    run.send(SIGINT);
    assert_eq!(run.wait().code(), Some(130));
    assert!(all_are_there(out.path()));
}

fn all_are_there(out: &Path) -> bool {
    let files = contents(out);
    let all = [FILES.as_slice(), &OF_COST, &OF_WATER].concat();
    all.iter().all(|name| files.contains_key(*name))
}

/// A replication is kept when all scenarios have played it.
#[test]
fn a_comparison_keeps_whole_pairs() {
    let out = folder();
    let command = ["compare", RUSH, "scenarios/second-loader.toml"];
    let run = long_run_of(Command::new(PATH), &command, out.path(), &["--json"]);
    run.send(SIGINT);
    let output = run.output();
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
