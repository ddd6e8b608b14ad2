//! The most memory a run of the program holds at any moment, from its beginning to its last word.

use std::fs;
use std::io::{Read, Write, pipe};
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

use running::Running;

#[path = "running.rs"]
#[allow(dead_code)] // each binary uses its own part of it
mod running;

/// What a pipe holds before a writer must wait.
const PIPE: usize = 65_536;

/// Plays `replications` of the shipped evening; gives the peak of its resident memory, kB.
#[allow(dead_code)] // not every test that shares this file
pub fn peak_kb(replications: u64, threads: u64) -> u64 {
    peak_kb_of(
        &["simulate", "scenarios/friday-rush.toml"],
        replications,
        threads,
    )
}

/// Runs a command with so many replications; gives the peak of its resident memory, kB.
///
/// The program prints its table when all else is done. Its standard output is a pipe that is full
/// already, so it waits there, and its peak can be read without a race against its end.
pub fn peak_kb_of(command: &[&str], replications: u64, threads: u64) -> u64 {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut reader, mut writer) = pipe().expect("a pipe");
    writer
        .write_all(&[b'\n'; PIPE])
        .expect("as much as it holds");
    let mut program = Command::new(env!("CARGO_BIN_EXE_scullery"));
    program
        .args(command)
        .args(["-n", &replications.to_string()])
        .args(["--threads", &threads.to_string(), "--out"])
        .arg(folder.path());
    let mut run = Running::start(program.stdout(writer).stderr(Stdio::null()));
    // It holds the end of the pipe that only the run may hold.
    drop(program);
    wait_until_written(&mut run, folder.path());
    let peak = high_water_kb(&run);
    let mut printed = String::new();
    reader.read_to_string(&mut printed).expect("the table");
    assert!(
        printed.contains(&format!("{replications} evenings")),
        "{printed}"
    );
    assert!(run.wait().success());
    peak
}

/// Files are put in their places all together when the last is whole; the table comes after.
fn wait_until_written(run: &mut Running, folder: &Path) {
    while !folder.join("series.csv").exists() {
        assert_eq!(run.ended(), None, "it ended early");
        sleep(Duration::from_millis(20));
    }
    sleep(Duration::from_millis(200));
}

fn high_water_kb(run: &Running) -> u64 {
    let status = fs::read_to_string(format!("/proc/{}/status", run.id())).expect("its status");
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let figure = line.and_then(|rest| rest.split_whitespace().next());
    figure
        .and_then(|figure| figure.parse().ok())
        .expect("a figure in kB")
}
