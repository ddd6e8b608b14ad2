//! No more threads than `--threads` says, whatever the environment of the thread pool says.

#![cfg(target_os = "linux")]

use std::fs;
use std::process::{Command, Stdio};
use std::time::Duration;

use crate::program::{HELPED, PATH, SUPPER, folder};

/// The main thread, one that waits for the end of the pool's work, one for signals, and some to spare.
const OTHERS: usize = 6;

/// Most threads that a run had, looked at every millisecond.
fn most_threads(arguments: &[&str], threads: &str) -> usize {
    let out = folder();
    let mut child = Command::new(PATH)
        .args(arguments)
        .args(["-q", "--threads", threads, "--out"])
        .arg(out.path())
        .env("RAYON_NUM_THREADS", "200")
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .spawn()
        .unwrap();
    let mut most = 0;
    loop {
        let tasks = fs::read_dir(format!("/proc/{}/task", child.id()));
        most = most.max(tasks.map_or(0, Iterator::count));
        if let Some(status) = child.try_wait().unwrap() {
            assert!(status.success());
            return most;
        }
        std::thread::sleep(Duration::from_millis(1));
    }
}

#[test]
fn the_environment_does_not_start_more_threads_than_asked_for() {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let simulate = ["simulate", SUPPER, "-n", "10"];
    let compare = ["compare", SUPPER, HELPED, "-n", "10"];
    let sweep = ["sweep", "tests/sweeps/supper.toml", "-n", "2"];
    let runs = [
        (&simulate[..], "1", 1),
        (&simulate, "3", 3),
        (&simulate, "0", cores),
        (&compare, "1", 1),
        (&sweep, "1", 1),
    ];
    for (arguments, threads, asked) in runs {
        let most = most_threads(arguments, threads);
        // While they start, those of one stage may overlap with the last of the one before.
        let bound = 2 * asked + OTHERS;
        assert!(most <= bound, "{arguments:?} --threads {threads}: {most}");
    }
}
