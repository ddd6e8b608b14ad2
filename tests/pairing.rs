//! What pairing on common random numbers saves, between the shipped Fridays.
//!
//! The variance of a paired difference is never below (σ₁ − σ₂)², so where one of two scenarios hardly
//! varies in a measure no pairing can save much; the second loader abolishes the queue and what dries
//! on, and with them what varies. So the saving is held against half where it can be reached, and
//! against what can be reached everywhere.

use std::path::Path;

use scullery::scenario;
use scullery::service::measure::Measure;
use scullery::study::compare::difference::Difference;
use scullery::study::compare::{Comparison, HEADLINE, Plan, compare};
use scullery::study::replicate::Watch;

/// The shipped Friday against three others, 300 evenings each.
fn fridays() -> Comparison {
    let files = [
        "scenarios/friday-rush.toml",
        "scenarios/second-loader.toml",
        "scenarios/longer-conveyor.toml",
        "tests/second-loader-from-nine.toml",
    ];
    let load = |file| scenario::load(Path::new(file)).unwrap_or_else(|e| panic!("{e}"));
    let plan = Plan {
        seed: 1,
        replications: 300,
        precision: None,
        threads: 0,
        headline: HEADLINE.to_vec(),
    };
    compare(&files.map(load), &plan, &Watch::default()).expect("threads")
}

/// What is meant by the queue, and by what dries on.
const QUEUE_AND_DRIED: [Measure; 4] = [
    Measure::SoiledWaitingMean,
    Measure::SoiledWaitingMax,
    Measure::WaitMean,
    Measure::DriedOnShare,
];

fn of<'c>(comparison: &'c Comparison, name: &str, measure: Measure) -> &'c Difference {
    let mut others = comparison.alternatives.iter();
    let other = others.find(|other| other.side.name == name).expect(name);
    &other.differences[measure as usize]
}

#[test]
fn pairing_saves_what_can_be_saved() {
    let comparison = fridays();
    let saved = |name: &str, measure: Measure| {
        let difference = of(&comparison, name, measure);
        let [saved, most] = [difference.saved, difference.saved_at_most].map(Option::unwrap);
        println!("{name} {}: {saved:.3} of {most:.3}", measure.info().name);
        assert!(saved <= most + 1e-9, "{name}: {saved} of {most}");
        (saved, most)
    };
    for measure in QUEUE_AND_DRIED {
        // A change of the machine leaves queue and drying almost as they were.
        assert!(saved("longer-conveyor", measure).0 >= 0.95);
        // A loader who comes late takes away half of it; what is left varies with the guests.
        assert!(saved("second-loader-from-nine", measure).0 >= 0.5);
        // One who comes in time leaves nothing that could pair: not even a perfect pairing saves half.
        let (found, most) = saved("second-loader", measure);
        assert!(most < 0.5 && found >= -0.1, "{found} of {most}");
    }
    // What does not turn on the queue pairs there, too.
    for measure in [Measure::Pieces, Measure::Racks, Measure::Energy] {
        assert!(saved("second-loader", measure).0 >= 0.75);
    }
}

/// The same guests come, whatever the crew and the machine: their numbers pair up exactly.
#[test]
fn guests_and_their_ware_are_the_same_in_every_pair() {
    let comparison = fridays();
    for other in &comparison.alternatives {
        for measure in [Measure::Covers, Measure::Pieces] {
            let difference = &other.differences[measure as usize];
            assert_eq!((difference.mean, difference.sd), (Some(0.0), Some(0.0)));
        }
    }
}

/// How times of work were drawn is not what keeps the second loader's evenings from pairing up: where no
/// unit of work varies, the saving is the same to a few hundredths.
#[test]
fn times_of_work_do_not_spoil_the_pairing() {
    let still = "[scrape.per_unit]\ncv = 0\n[loading.per_unit]\ncv = 0\n[unload.per_unit]\ncv = 0\n\
                 [put_away.per_unit]\ncv = 0\n";
    let load = |file: &str| {
        scenario::load_changed(Path::new(file), still).unwrap_or_else(|e| panic!("{e}"))
    };
    let files = ["scenarios/friday-rush.toml", "scenarios/second-loader.toml"];
    let plan = Plan {
        seed: 1,
        replications: 300,
        precision: None,
        threads: 0,
        headline: HEADLINE.to_vec(),
    };
    let still = compare(&files.map(load), &plan, &Watch::default()).expect("threads");
    let varying = fridays();
    for measure in [Measure::CrewOutAfterClose, Measure::SoiledWaitingMax] {
        let saved = |comparison| of(comparison, "second-loader", measure).saved.unwrap();
        let (still, varying) = (saved(&still), saved(&varying));
        println!("{}: {still:.3} and {varying:.3}", measure.info().name);
        assert!((still - varying).abs() < 0.08, "{still} and {varying}");
    }
}
