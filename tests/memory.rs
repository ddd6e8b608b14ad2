//! 20,000 replications of the shipped evening must fit in 200 MB.
//!
//! That run takes too long for every day, so two shorter ones are measured and the growth between them
//! is carried on: what a run keeps of each replication is the same for the first and for the last.
//! `cargo bench` measures the long run itself.

#![cfg(target_os = "linux")]

#[path = "common/memory.rs"]
mod memory;

use memory::{peak_kb, peak_kb_of};

const WANTED: u64 = 20_000;
const ALLOWED_KB: u64 = 200_000;

#[test]
fn twenty_thousand_evenings_fit_in_two_hundred_megabytes() {
    check(peak_kb);
}

/// So must as many pairs of evenings.
#[test]
fn twenty_thousand_pairs_fit_in_two_hundred_megabytes() {
    let command = [
        "compare",
        "scenarios/friday-rush.toml",
        "scenarios/second-loader.toml",
    ];
    check(|replications, threads| peak_kb_of(&command, replications, threads));
}

fn check(peak_kb: impl Fn(u64, u64) -> u64) {
    let (few, many) = (400, 2_000);
    let (at_few, at_many) = (peak_kb(few, 2), peak_kb(many, 2));
    let of_each = at_many.saturating_sub(at_few) as f64 / (many - few) as f64;
    let expected = at_many as f64 + of_each * (WANTED - many) as f64;
    println!(
        "{at_few} kB at {few}, {at_many} kB at {many}: {of_each:.2} kB for each evening, {:.0} MB for {WANTED}",
        expected / 1e3
    );
    assert!(
        expected <= ALLOWED_KB as f64,
        "{expected:.0} kB for {WANTED} evenings"
    );
    assert!(at_few < ALLOWED_KB / 2, "{at_few} kB for {few} evenings");
}
