//! 20,000 replications of the shipped evening must fit in 200 MB.
//!
//! That run takes too long for every day, so two shorter ones are measured and the growth between them
//! is carried on: what a run keeps of each replication is the same for the first and for the last. The two are far
//! apart, for the allocator's own few megabytes are carried on as well. Advice is played when all that is done, and is
//! held to its own bound.
//! `cargo bench` measures the long run itself.

#![cfg(target_os = "linux")]

#[path = "common/memory.rs"]
mod memory;

use memory::{peak_kb, peak_kb_of};

const WANTED: u64 = 20_000;
const ALLOWED_KB: u64 = 200_000;
const PLAIN: [&str; 3] = ["simulate", "scenarios/friday-rush.toml", "--no-advice"];

#[test]
fn twenty_thousand_evenings_fit_in_two_hundred_megabytes() {
    check(|replications, threads| peak_kb_of(&PLAIN, replications, threads));
}

/// What is tried of them is thrown away: it keeps no more than the run itself.
#[test]
fn advice_takes_little_memory_besides() {
    let (with, without) = (peak_kb(800, 2), peak_kb_of(&PLAIN, 800, 2));
    println!("{with} kB, {without} kB without advice");
    assert!(
        with < without + 40_000,
        "{with} kB, {without} without advice"
    );
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
    let (few, many) = (1_000, 4_000);
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

/// Nearly as many kinds of ware as a scenario may have, over the longest service and the longest time before
/// an evening is given up. The unloader leaves early, so that no evening ends before.
#[test]
fn many_wares_over_a_long_evening_fit_in_half_a_gigabyte() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("many-wares.toml");
    std::fs::write(&path, many_wares()).expect("a scenario");
    let command = ["simulate", path.to_str().expect("a name")];
    let peak = peak_kb_of(&command, 130, 2);
    println!("{peak} kB");
    assert!(peak < 500_000, "{peak} kB");
}

fn many_wares() -> String {
    let base = std::fs::canonicalize("tests/plain-line.toml").expect("its path");
    let mut text = format!(
        "based_on = {base:?}\nsoiled = []\n[service]\nopens = \"06:00\"\ncloses = \"23:59\"\ngive_up_after = \"48 h\"\n\
         [guests]\nseating = [{{ from = \"06:00\", to = \"23:00\", covers = 60 }}]\n\
         party_sizes = [{{ covers = 2, weight = 1 }}, {{ covers = 4, weight = 1 }}]\n\
         [[roster]]\nname = \"loader\"\nfrom = \"06:00\"\nto = \"23:00\"\n\
         [[roster]]\nname = \"unloader\"\nfrom = \"06:00\"\nto = \"07:00\"\nbreaks = []\nstays = false\n"
    );
    for ware in 0..190 {
        text.push_str(&format!(
            "[[ware]]\nname = \"ware {ware}\"\nrack = \"peg\"\nowned = 600\n\
             [[menu]]\nname = \"course {ware}\"\nware = \"ware {ware}\"\nper_cover = 1\nsoil = \"sauce\"\n"
        ));
    }
    text
}
