//! How fast: `cargo bench`, or `cargo bench -- PART OF A NAME`.
//!
//! | name | one item is |
//! |---|---|
//! | `an_event_of_a_plain_line` | an event: one ware, no soak, nobody walks, one thread |
//! | `a_replication_of_friday_rush` | a replication, one thread |
//! | `simulate_a_thousand` | a replication of the shipped evening with its estimates, 1 and 2 threads |
//! | `load_friday_rush` | the file read, checked and converted |
//! | `write_tables`, `write_charts` | the files of a run of 1,000 |
//!
//! Without a name it ends with the speed-up of two threads and the memory of 20,000 replications.

#[cfg(target_os = "linux")]
#[path = "../common/memory.rs"]
mod memory;

use std::path::Path;
use std::time::{Duration, Instant};

use divan::Bencher;
use divan::counter::ItemsCount;
use scullery::report::charts::{Pictures, draw, of_evening};
use scullery::report::out::OutputFolder;
use scullery::report::tables_csv;
use scullery::report::units::Units;
use scullery::room::Room;
use scullery::scenario::{self, Loaded};
use scullery::service::Service;
use scullery::study::evening::Evening;
use scullery::study::{Plan, Stop, Watch, simulate};

/// Racks of one piece: scrape, load, unload. Most events of a service are of this kind.
const THREE_STATIONS: &str = "tests/bench/three-stations.toml";
/// Racks of eighteen plates: an event there washes, inspects and stores eighteen pieces.
const PLATES: &str = "tests/plain-line.toml";
const RUSH: &str = "scenarios/friday-rush.toml";
const THOUSAND: u64 = 1_000;

fn main() {
    divan::main();
    let named = std::env::args().skip(1).any(|word| !word.starts_with("--"));
    if !named && !std::env::args().any(|word| word == "--test" || word == "--list") {
        print_events();
        print_speed_up();
        print_memory();
    }
}

fn load(path: &str) -> Loaded {
    scenario::load(Path::new(path)).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

fn a_thousand(loaded: &Loaded, threads: usize) -> Evening {
    let plan = Plan {
        seed: 1,
        stop: Stop::After(THOUSAND),
        threads,
    };
    simulate(loaded, &plan, &Watch::default()).expect("threads")
}

/// Nanoseconds an event, over a thousand replications on one thread.
fn print_events() {
    for line in [THREE_STATIONS, PLATES, RUSH] {
        let loaded = load(line);
        let room = Room::of(&loaded.scenario);
        let mut service = Service::new(&room);
        service.play(1, 0);
        let mut events = 0;
        let started = std::time::Instant::now();
        for replication in 0..THOUSAND {
            service.play(1, replication);
            events += service.events();
        }
        let each = started.elapsed() / THOUSAND as u32;
        let ns = started.elapsed().as_secs_f64() * 1e9 / events as f64;
        println!("{line}: {ns:.0} ns an event, {each:?} a replication, one thread");
    }
}

#[divan::bench(args = [THREE_STATIONS, PLATES])]
fn an_event_of_a_plain_line(bencher: Bencher, line: &str) {
    let loaded = load(line);
    let room = Room::of(&loaded.scenario);
    let mut service = Service::new(&room);
    service.play(1, 0);
    bencher
        .counter(ItemsCount::new(service.events()))
        .bench_local(|| service.play(1, 0));
}

#[divan::bench]
fn a_replication_of_friday_rush(bencher: Bencher) {
    let loaded = load(RUSH);
    let room = Room::of(&loaded.scenario);
    let mut service = Service::new(&room);
    let mut replication = 0;
    bencher.counter(ItemsCount::new(1_u64)).bench_local(|| {
        service.play(1, replication);
        replication += 1;
    });
}

#[divan::bench(args = [1, 2], sample_count = 3, sample_size = 1)]
fn simulate_a_thousand(bencher: Bencher, threads: usize) {
    let loaded = load(RUSH);
    bencher
        .counter(ItemsCount::new(THOUSAND))
        .bench_local(|| a_thousand(&loaded, threads));
}

#[divan::bench]
fn load_friday_rush() -> Loaded {
    load(RUSH)
}

#[divan::bench(sample_count = 10)]
fn write_tables(bencher: Bencher) {
    let evening = a_thousand(&load(RUSH), 0);
    let place = tempfile::tempdir().expect("a folder");
    let folder = OutputFolder::open(place.path()).expect("it can be written");
    bencher.bench_local(|| {
        tables_csv::files(&evening).write(&folder).expect("written");
        folder.keep().expect("kept")
    });
}

#[divan::bench(sample_count = 10)]
fn write_charts(bencher: Bencher) {
    let evening = a_thousand(&load(RUSH), 0);
    let place = tempfile::tempdir().expect("a folder");
    let folder = OutputFolder::open(place.path()).expect("it can be written");
    bencher.bench_local(|| {
        draw(
            &of_evening(&evening, Units::Metric),
            Pictures::Both,
            &folder,
        )
        .expect("drawn");
        folder.keep().expect("kept")
    });
}

/// The best of three runs with one thread, over the best of three with two.
fn print_speed_up() {
    let loaded = load(RUSH);
    let best = |threads| -> Duration {
        let timed = |_| {
            let start = Instant::now();
            divan::black_box(a_thousand(&loaded, threads));
            start.elapsed()
        };
        (0..3).map(timed).min().unwrap_or_default()
    };
    let (one, two) = (best(1), best(2));
    println!(
        "\n1,000 replications: {:.2} s with one thread, {:.2} s with two, {:.2} times as fast",
        one.as_secs_f64(),
        two.as_secs_f64(),
        one.as_secs_f64() / two.as_secs_f64()
    );
}

#[cfg(target_os = "linux")]
fn print_memory() {
    let replications = 20_000;
    let peak = memory::peak_kb(replications, 2);
    println!(
        "{replications} replications: {:.0} MB at most",
        peak as f64 / 1e3
    );
}

#[cfg(not(target_os = "linux"))]
fn print_memory() {}
