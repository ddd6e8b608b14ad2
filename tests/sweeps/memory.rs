//! A hundred thousand design points fit in 300 MB: from the growth between a small study and a larger one,
//! charts and all.

#![cfg(target_os = "linux")]

use std::fs;
use std::process::Command;
use std::thread::sleep;
use std::time::Duration;

use crate::program::{PATH, folder};
use crate::running::Running;

/// Peak of the resident memory of a sweep of so many points of the plain line, kB.
fn peak_kb(points: u64) -> u64 {
    let place = folder();
    let base = fs::canonicalize("tests/plain-line.toml").unwrap();
    let text = format!(
        "base = {:?}\nreplications = 2\ndesign = \"latin-hypercube\"\npoints = {points}\n\
         measures = [\"wait_mean_min\", \"racks\", \"crew_busy_share\", \"labour_h\", \"soiled_waiting_max\"]\n\
         [[factor]]\nname = \"pace\"\npath = \"roster[loader].pace\"\nrange = {{ from = 0.8, to = 1.2 }}\n\
         [[factor]]\nname = \"fleet\"\npath = \"rack[peg].fleet\"\nrange = {{ from = 10, to = 30 }}\n",
        base.display().to_string()
    );
    let study = place.path().join("study.toml");
    fs::write(&study, text).unwrap();
    let mut command = Command::new(PATH);
    command.args(["sweep", "--quiet", "--threads", "2", "--out"]);
    let mut run = Running::start(command.args([place.path().join("out"), study]));
    let status = format!("/proc/{}/status", run.id());
    let mut peak = 0;
    // The peak only grows, so the last look before the end is as good as all the others.
    let code = loop {
        let text = fs::read_to_string(&status).unwrap_or_default();
        let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let kb = line.and_then(|rest| rest.split_whitespace().next()?.parse().ok());
        peak = kb.unwrap_or(peak).max(peak);
        if let Some(status) = run.ended() {
            break status.code();
        }
        sleep(Duration::from_millis(2));
    };
    assert_eq!(code, Some(0));
    assert!(place.path().join("out/points.csv").exists());
    peak
}

#[test]
fn a_hundred_thousand_points_fit_in_300_mb() {
    let (small, large) = (peak_kb(1_000), peak_kb(6_000));
    let growth = large.saturating_sub(small) as f64 / 5_000.0;
    let at_100_000 = large as f64 + 94_000.0 * growth;
    assert!(
        growth > 0.0,
        "{small} kB and {large} kB: the larger study needs no more"
    );
    assert!(
        at_100_000 < 300_000.0,
        "{small} kB for 1,000 points and {large} kB for 6,000 are {at_100_000} kB for 100,000"
    );
    eprintln!("{small} kB for 1,000 points, {large} kB for 6,000, {at_100_000:.0} kB for 100,000");
}
