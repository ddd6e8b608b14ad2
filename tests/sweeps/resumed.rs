//! A run that is interrupted or killed resumes with the same command, and writes the same files.

#![cfg(target_os = "linux")]

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use nix::sys::signal::Signal;

use crate::program::{PATH, folder};
use crate::running::Running;
use crate::{SUPPERS, part, sweep, swept, tables};

fn size(path: &Path) -> u64 {
    fs::metadata(path).map_or(0, |about| about.len())
}

fn start(out: &Path, more: &[&str]) -> Running {
    let mut command = Command::new(PATH);
    command.args(["sweep", SUPPERS, "--quiet", "--out"]);
    let command = command.arg(out).args(more);
    Running::start(command.stdout(Stdio::null()).stderr(Stdio::null()))
}

/// Waits until a file has grown beyond so many bytes, or the run is over.
fn wait_for(run: &mut Running, path: &Path, bytes: u64) -> bool {
    let begun = Instant::now();
    while size(path) <= bytes {
        if run.ended().is_some() {
            return false;
        }
        assert!(
            begun.elapsed() < Duration::from_secs(240),
            "nothing is written"
        );
        sleep(Duration::from_millis(2));
    }
    true
}

/// `kill -9` five times on the way, each time after more has been written.
#[test]
fn a_run_that_is_killed_goes_on_where_it_was() {
    let (whole, killed) = (folder(), folder());
    let more = ["--per-replication", "-n", "200"];
    swept(SUPPERS, whole.path(), &more);
    let file = part(killed.path(), 1, 1);
    let mut killings = 0;
    for _ in 0..5 {
        let before = size(&file);
        let mut run = start(killed.path(), &more);
        if wait_for(&mut run, &file, before + 30_000) {
            run.kill();
            killings += 1;
        }
        run.wait();
        assert!(size(&file) >= before, "what was finished stays");
        if before > 0 {
            assert!(!killed.path().join("points.csv").exists());
        }
    }
    assert!(killings >= 3, "it was over after {killings} killings");
    let ran = swept(SUPPERS, killed.path(), &more);
    assert!(ran.err.contains("points finished before"), "{}", ran.err);
    assert_eq!(tables(whole.path()), tables(killed.path()));
    assert_eq!(
        fs::read(part(whole.path(), 1, 1)).unwrap(),
        fs::read(&file).unwrap(),
        "and the part is the same too"
    );
}

/// A write that stops anywhere leaves a file that can be gone on with.
#[test]
fn wherever_the_file_was_cut_off_it_is_gone_on_with() {
    let (whole, cut) = (folder(), folder());
    swept(SUPPERS, whole.path(), &[]);
    let bytes = fs::read(part(whole.path(), 1, 1)).unwrap();
    let file = part(cut.path(), 1, 1);
    swept(SUPPERS, cut.path(), &[]);
    for at in 0..24 {
        let end = bytes.len() * at / 24 + at % 3;
        fs::write(&file, &bytes[..end]).unwrap();
        fs::remove_file(cut.path().join("points.csv")).unwrap();
        swept(SUPPERS, cut.path(), &["--quiet"]);
        assert_eq!(fs::read(&file).unwrap(), bytes, "cut after {end} bytes");
        assert_eq!(tables(whole.path()), tables(cut.path()));
    }
}

/// No file may grow past a few kilobytes, as on a disk that fills up.
#[test]
fn a_disk_that_fills_up_loses_nothing_that_was_finished() {
    let (whole, full) = (folder(), folder());
    swept(SUPPERS, whole.path(), &[]);
    let small = "trap '' XFSZ; ulimit -f 8; exec \"$0\" \"$@\"";
    let output = Command::new("sh")
        .args(["-c", small, PATH, "sweep", SUPPERS, "--out"])
        .arg(full.path())
        .output()
        .unwrap();
    let message = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{message}");
    assert!(
        message.contains("cannot write") && message.contains("help: "),
        "{message}"
    );
    assert!(
        size(&part(full.path(), 1, 1)) > 2_000,
        "something was finished"
    );
    let ran = swept(SUPPERS, full.path(), &[]);
    assert!(ran.err.contains("finished before"), "{}", ran.err);
    assert_eq!(tables(whole.path()), tables(full.path()));
}

/// The lock is the system's: a killed run leaves none behind.
#[test]
fn two_runs_into_one_folder_are_refused_and_a_dead_one_is_not_in_the_way() {
    let out = folder();
    let more = ["-n", "5000"];
    let file = part(out.path(), 1, 1);
    let mut first = start(out.path(), &more);
    assert!(wait_for(&mut first, &file, 0));
    for second in [&["-n", "5000"][..], &["-n", "5000", "--restart"]] {
        let ran = sweep(SUPPERS, out.path(), second);
        assert_eq!(ran.code, 2, "{ran:?}");
        assert!(ran.err.contains("another run is writing"), "{}", ran.err);
        assert!(ran.err.contains("--out"), "{}", ran.err);
    }
    assert_eq!(first.ended(), None, "the first goes on");
    first.kill();
    let mut third = start(out.path(), &more);
    let before = size(&file);
    assert!(wait_for(&mut third, &file, before), "it goes on");
}

#[test]
fn an_interrupt_keeps_what_is_finished() {
    let out = folder();
    let mut run = start(out.path(), &["-n", "400"]);
    assert!(wait_for(&mut run, &part(out.path(), 1, 1), 2_000));
    run.send(Signal::SIGINT);
    assert_eq!(run.wait().code(), Some(130));
    assert!(!out.path().join("points.csv").exists());
}

#[test]
fn what_is_of_another_study_is_refused_and_thrown_away_on_request() {
    let out = folder();
    swept(SUPPERS, out.path(), &[]);
    let before = tables(out.path());
    for more in [
        &["--seed", "2"][..],
        &["-n", "3"],
        &["--per-replication"],
        &["--part", "1/2"],
    ] {
        let ran = sweep(SUPPERS, out.path(), more);
        assert_eq!(ran.code, 2, "{ran:?}");
        assert!(
            ran.err.contains("holds results") && ran.err.contains("--restart"),
            "{}",
            ran.err
        );
        assert_eq!(tables(out.path()), before, "nothing is lost");
    }
    swept(SUPPERS, out.path(), &["--seed", "2", "--restart"]);
    assert_ne!(tables(out.path()), before);
}
