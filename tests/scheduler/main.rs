//! A study as a job array of a real batch scheduler: a controller and three workers on this machine's
//! loopback, one of them killed in the middle, its task requeued, the parts gathered, the bytes compared.
//!
//! `tests/run` fetches the scheduler. Where there is none the test fails and says so.

#![cfg(target_os = "linux")]

#[path = "../command_line/program.rs"]
#[allow(dead_code)] // each binary uses its own part of it
mod program;

#[path = "../common/outside.rs"]
mod outside;
#[path = "../common/running.rs"]
#[allow(dead_code)]
mod running;

mod cluster;

use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use cluster::Cluster;
use program::{contents, folder, program, run_command};

const STUDY: &str = "tests/sweeps/supper.toml";
const SCRIPT: &str = "scenarios/batch/slurm-array.sh";
/// Parts; two for each worker, so that some are waiting when one worker dies.
const PARTS: u64 = 6;
/// Long enough that a part takes a few seconds.
const REPLICATIONS: &str = "3000";

fn sweep(out: &Path, more: &[&str]) {
    let mut command = program();
    command.args(["sweep", STUDY, "-n", REPLICATIONS, "--quiet", "--out"]);
    let ran = run_command(command.arg(out).args(more));
    assert_eq!(ran.code, 0, "{ran:?}");
}

/// Waits until something is so; the time it may take is for a machine that is busy with other things.
fn wait_until(what: &str, cluster: &Cluster, is_so: impl Fn() -> bool) {
    let begun = Instant::now();
    while !is_so() {
        let message = || format!("{what} did not happen\n{}", cluster.logs());
        assert!(begun.elapsed() < Duration::from_secs(120), "{}", message());
        std::thread::sleep(Duration::from_millis(100));
    }
}

/// `tests/run` leaves this test out by its first words where there is no scheduler.
#[test]
fn with_scheduler_a_job_array_that_loses_a_worker_makes_the_bytes_of_one_machine() {
    let (whole, parts) = (folder(), folder());
    let cluster = Cluster::start();
    let job = cluster.submit(SCRIPT, PARTS, STUDY, REPLICATIONS, parts.path());
    // The first worker has the first part, and has written some of it.
    let first = parts.path().join(format!("parts/part-1-of-{PARTS}.txt"));
    let size = || fs::metadata(&first).map_or(0, |about| about.len());
    wait_until("part 1 was begun", &cluster, || size() > 0);
    wait_until("a point of part 1 was finished", &cluster, || {
        size() > 1_000
    });
    cluster.kill_the_worker_of(job, 1);
    let when_killed = size();
    sweep(whole.path(), &[]);
    wait_until("the array was finished", &cluster, || {
        cluster.is_finished(job)
    });
    assert_eq!(
        cluster.restarts(job, 1),
        1,
        "its task was requeued\n{}",
        cluster.logs()
    );
    assert!(size() > when_killed, "and went on");
    sweep(parts.path(), &["--gather"]);
    let tables = |folder: &Path| {
        let mut files = contents(folder);
        files.retain(|name, _| name.ends_with(".csv"));
        files
    };
    assert_eq!(tables(whole.path()).len(), 2);
    assert_eq!(tables(whole.path()), tables(parts.path()));
}
