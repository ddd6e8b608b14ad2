//! Once warm, a replication allocates nothing: all memory of an evening is kept for the next.
//!
//! The counting allocator is in this test binary only.

use std::path::Path;

use scullery::room::Room;
use scullery::scenario;
use scullery::service::Service;
use scullery::service::outcome::Outcome;

/// Allocations of twelve replications, all played before.
fn allocations_when_warm(file: &str) -> u64 {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    let scenario = scenario::load(&path).expect("a good file").scenario;
    let room = Room::of(&scenario);
    let mut service = Service::new(&room);
    let mut outcome = Outcome::new(&room);
    let mut play_all = || {
        for replication in 0..12 {
            service.play(1, replication);
            service.outcome(&mut outcome);
        }
    };
    play_all();
    allocation_counter::measure(play_all).count_total
}

#[test]
fn a_warm_replication_allocates_nothing() {
    for file in [
        "scenarios/friday-rush.toml",
        "scenarios/friday-as-it-runs.toml",
        "tests/friday-as-people-run-it.toml",
        "tests/plain-line.toml",
        "tests/everything.toml",
        "tests/at-the-clock.toml",
        "tests/rooms/pots.toml",
    ] {
        assert_eq!(allocations_when_warm(file), 0, "{file}");
    }
}

/// The counter counts: a cold one does allocate.
#[test]
fn a_cold_replication_allocates() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/plain-line.toml");
    let scenario = scenario::load(&file).expect("a good file").scenario;
    let room = Room::of(&scenario);
    let counted = allocation_counter::measure(|| Service::new(&room).play(1, 0));
    assert!(counted.count_total > 0);
}
