//! Rooms that reduce to queues with known answers, read and played as a user's would be.
//!
//! Load 2/3 at one server, 120 arrivals an hour, 20 s each. Mean number waiting and mean wait:
//! M/M/1 Lq = rho^2/(1 - rho) = 4/3; M/D/1 half of it (Pollaczek-Khinchine); M/M/2 (Erlang C = 1/6)
//! Lq = 1/12. The ratios are those of the emergency room of Hillier and Lieberman, *Introduction to
//! Operations Research* (from memory), recomputed. Each answer must lie in the 99.9 % Student interval
//! of the simulated mean, and the interval must be narrower than 2.5 % of it either way.

use std::path::Path;

use scullery::room::Room;
use scullery::scenario;
use scullery::scenario::model::Duty;
use scullery::service::measure::StationMeasure;
use scullery::statistics::interval::Sample;
use scullery::study::replicate::{Watch, play};
use scullery::study::{Plan, Stop};

const LEVEL: f64 = 0.999;

/// Mean number waiting and mean wait, min, over replications.
fn played(name: &str) -> [Sample; 2] {
    let path = Path::new("tests/theory").join(format!("{name}.toml"));
    let loaded = scenario::load(&path).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let room = Room::of(&loaded.scenario);
    let plan = Plan {
        seed: 1,
        stop: Stop::After(2000),
        threads: 0,
    };
    let played = play(&room, &plan, &Watch::default()).expect("threads");
    [StationMeasure::QueueMean, StationMeasure::QueueWaitMean].map(|measure| {
        let of = |outcome: &scullery::service::outcome::Outcome| {
            outcome.stations[Duty::Scrape as usize][measure as usize]
        };
        let values: Vec<f64> = played.outcomes.iter().filter_map(|(_, o)| of(o)).collect();
        Sample::of(&values).expect("values")
    })
}

fn agrees(sample: &Sample, expected: f64, narrow: f64) -> bool {
    let half = sample.half_width(LEVEL).expect("more than one");
    assert!(half < narrow * expected, "half-width {half} of {expected}");
    (sample.mean - expected).abs() <= half
}

fn check(name: &str, waiting: f64, narrow: f64) {
    let [number, wait] = played(name);
    assert!(
        agrees(&number, waiting, narrow),
        "{name}: {} waiting, not {waiting}",
        number.mean
    );
    // Little's law: two arrivals a minute.
    let expected = waiting / 2.0;
    assert!(
        agrees(&wait, expected, narrow),
        "{name}: {} min, not {expected}",
        wait.mean
    );
}

#[test]
fn one_server() {
    check("m-m-1", 4.0 / 3.0, 0.02);
}

#[test]
fn fixed_times_wait_half_as_long() {
    check("m-d-1", 2.0 / 3.0, 0.02);
}

#[test]
fn two_servers() {
    check("m-m-2", 1.0 / 12.0, 0.025);
}

/// A test of the test: the wrong model is told apart.
#[test]
fn another_queue_does_not_agree() {
    let [number, _] = played("m-d-1");
    assert!(!agrees(&number, 0.95 * 2.0 / 3.0, 0.02));
    assert!(!agrees(&number, 1.05 * 2.0 / 3.0, 0.02));
}
