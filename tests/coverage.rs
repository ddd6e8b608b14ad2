//! Intervals of 95 % cover the known answer in 95 of 100: over 2,000 macro-replications each, as often as
//! the exact probability says, within what so many can show. And Holm keeps its family-wise error.
//!
//! Two problems go through the simulator itself, where the answer is known for an evening of any length:
//! guests in the house (M/G/∞, Poisson), and one person at work on a heap (a sum of exponential times).
//! The rest are synthetic. Each check is also made with an interval that is wrong, which must be found
//! out.

mod common;

use common::{backlog, bench, empty, person, varying, ware};
use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;
use rayon::prelude::*;
use scullery::room::Room;
use scullery::scenario::model::{Duty, Scenario, Shape};
use scullery::service::Service;
use scullery::service::measure::Measure;
use scullery::service::outcome::Outcome;
use scullery::service::series::series_of;
use scullery::statistics::interval::{Sample, normal, student_two_sided_p, wilson};
use scullery::statistics::paired::{holm, paired, welch};
use scullery::statistics::precision;
use scullery::statistics::quantile::order_statistic_interval_with_coverage;

const MACRO_REPLICATIONS: usize = 2_000;
const LEVEL: f64 = 0.95;

type Stream = Xoshiro256PlusPlus;

/// Share of the macro-replications for which this holds; each has a stream of its own.
fn share_of(holds: impl Fn(&mut Stream) -> bool + Sync) -> f64 {
    let one = |seed: usize| holds(&mut Stream::seed_from_u64(seed as u64));
    let count = (0..MACRO_REPLICATIONS)
        .into_par_iter()
        .map(one)
        .filter(|yes| *yes)
        .count();
    count as f64 / MACRO_REPLICATIONS as f64
}

/// Whether 2,000 macro-replications may show this share where the probability is that one: within 3.29
/// standard errors, 1 in 1,000 outside.
fn may_be(share: f64, probability: f64) -> bool {
    let error = libm::sqrt(probability * (1.0 - probability) / MACRO_REPLICATIONS as f64);
    println!("{share} against {probability} ± {:.4}", 3.29 * error);
    (share - probability).abs() <= 3.29 * error
}

fn normals(stream: &mut Stream, n: usize) -> Vec<f64> {
    (0..n).map(|_| StandardNormal.sample(stream)).collect()
}

fn exponential(stream: &mut Stream) -> f64 {
    -libm::log(1.0 - stream.random::<f64>())
}

/// Whether mean ± half-width covers.
fn covers(mean: f64, half_width: f64, answer: f64) -> bool {
    (mean - answer).abs() <= half_width
}

// Means ----------------------------------------------------------------------------------------------

#[test]
fn means() {
    for n in [2, 5, 20, 100] {
        let covered = share_of(|stream| {
            let sample = Sample::of(&normals(stream, n)).unwrap();
            covers(sample.mean, sample.half_width(LEVEL).unwrap(), 0.0)
        });
        assert!(may_be(covered, LEVEL), "n {n}: {covered}");
    }
    // The normal quantile in place of Student's is found out.
    let wrong = share_of(|stream| {
        let sample = Sample::of(&normals(stream, 10)).unwrap();
        let half_width = normal(0.5 + 0.5 * LEVEL).unwrap() * sample.standard_error().unwrap();
        covers(sample.mean, half_width, 0.0)
    });
    assert!(!may_be(wrong, LEVEL), "{wrong}");
}

/// Evenings are skewed; at 200 of them Student's interval of exponential values covers as it should.
#[test]
fn means_of_skewed_values() {
    let covered = share_of(|stream| {
        let values: Vec<f64> = (0..200).map(|_| exponential(stream)).collect();
        let sample = Sample::of(&values).unwrap();
        covers(sample.mean, sample.half_width(LEVEL).unwrap(), 1.0)
    });
    assert!(may_be(covered, LEVEL), "{covered}");
}

/// Stopping at a precision looks again and again: it covers a little less, as its page says, but no less
/// than 93 in 100 from blocks of 128.
#[test]
fn means_at_a_precision() {
    let covered = share_of(|stream| {
        let mut values = Vec::new();
        loop {
            values.extend((0..128).map(|_| 1.0 + exponential(stream)));
            let sample = Sample::of(&values).unwrap();
            if precision::met(sample, 0.05, LEVEL) {
                return covers(sample.mean, sample.half_width(LEVEL).unwrap(), 2.0);
            }
        }
    });
    assert!((0.93 - 0.018..=0.97).contains(&covered), "{covered}");
}

// Shares ---------------------------------------------------------------------------------------------

/// Exact probability that Wilson's interval covers a share: binomial probabilities of the counts that do.
fn wilson_covers(n: u64, share: f64, interval: impl Fn(u64) -> (f64, f64)) -> f64 {
    let mut probability = libm::pow(1.0 - share, n as f64);
    let mut covered = 0.0;
    for count in 0..=n {
        let (low, high) = interval(count);
        if low <= share && share <= high {
            covered += probability;
        }
        probability *= (n - count) as f64 / (count + 1) as f64 * share / (1.0 - share);
    }
    covered
}

#[test]
fn shares() {
    for (n, share) in [(20, 0.5), (50, 0.3), (100, 0.05), (400, 0.03), (200, 0.9)] {
        let covered = share_of(|stream| {
            let count = (0..n).filter(|_| stream.random::<f64>() < share).count() as u64;
            let (low, high) = wilson(count, n, LEVEL);
            low <= share && share <= high
        });
        let exact = wilson_covers(n, share, |count| wilson(count, n, LEVEL));
        assert!(may_be(covered, exact), "{n} {share}: {covered}, {exact}");
        assert!((0.93..0.975).contains(&exact), "{n} {share}: {exact}");
    }
}

/// Over shares of any size it covers in 95 of 100 on average; the interval share ± z √(share (1 − share)/n)
/// does not, and is found out.
#[test]
fn shares_of_any_size() {
    let n = 40;
    let draw = |stream: &mut Stream| {
        let share = stream.random::<f64>();
        let count = (0..n).filter(|_| stream.random::<f64>() < share).count() as u64;
        (share, count)
    };
    let covered = share_of(|stream| {
        let (share, count) = draw(stream);
        let (low, high) = wilson(count, n, LEVEL);
        low <= share && share <= high
    });
    assert!(may_be(covered, LEVEL), "{covered}");
    let wrong = share_of(|stream| {
        let (share, count) = draw(stream);
        let seen = count as f64 / n as f64;
        let half_width = 1.96 * libm::sqrt(seen * (1.0 - seen) / n as f64);
        covers(seen, half_width, share)
    });
    assert!(!may_be(wrong, LEVEL), "{wrong}");
}

// Quantiles ------------------------------------------------------------------------------------------

#[test]
fn quantiles() {
    for (n, p) in [
        (20, 0.5),
        (50, 0.9),
        (128, 0.5),
        (128, 0.9),
        (200, 0.95),
        (300, 0.1),
    ] {
        let ((low, high), exact) = order_statistic_interval_with_coverage(n, p, LEVEL).unwrap();
        let answer = -libm::log(1.0 - p);
        let between = |stream: &mut Stream, low: usize, high: usize| {
            let mut values: Vec<f64> = (0..n).map(|_| exponential(stream)).collect();
            values.sort_by(f64::total_cmp);
            values[low - 1] <= answer && answer <= values[high - 1]
        };
        let covered = share_of(|stream| between(stream, low, high));
        assert!(
            exact >= LEVEL && may_be(covered, exact),
            "{n} {p}: {covered}"
        );
        // Two ranks fewer on one side are found out.
        let wrong = share_of(|stream| between(stream, low + 2, high));
        assert!(!may_be(wrong, exact), "{n} {p}: {wrong}");
    }
}

// Differences ----------------------------------------------------------------------------------------

/// Two evenings that share most of their luck; the first is longer by 0.3 and varies more.
fn pair(stream: &mut Stream, n: usize) -> (Vec<f64>, Vec<f64>) {
    let common = normals(stream, n);
    let own = normals(stream, n);
    let first = common.iter().map(|c| 5.3 + 1.2 * c).collect();
    let second = common
        .iter()
        .zip(own)
        .map(|(c, o)| 5.0 + c + 0.3 * o)
        .collect();
    (first, second)
}

#[test]
fn paired_differences() {
    for n in [5, 20, 128] {
        let covered = share_of(|stream| {
            let (first, second) = pair(stream, n);
            let difference = paired(&first, &second).unwrap();
            covers(
                difference.mean_difference,
                difference.half_width(LEVEL).unwrap(),
                0.3,
            )
        });
        assert!(may_be(covered, LEVEL), "n {n}: {covered}");
        // As if they were not pairs: far too wide, and found out.
        let wrong = share_of(|stream| {
            let (first, second) = pair(stream, n);
            let apart = welch(Sample::of(&first).unwrap(), Sample::of(&second).unwrap()).unwrap();
            covers(apart.mean_difference, apart.half_width(LEVEL).unwrap(), 0.3)
        });
        assert!(!may_be(wrong, LEVEL), "n {n}: {wrong}");
    }
}

/// Independent samples of different size and spread, by Welch; with the spread pooled it is found out.
#[test]
fn differences_of_independent_samples() {
    let draw = |stream: &mut Stream| {
        let first: Vec<f64> = normals(stream, 8).iter().map(|x| 3.0 * x).collect();
        let second = normals(stream, 24);
        (Sample::of(&first).unwrap(), Sample::of(&second).unwrap())
    };
    let covered = share_of(|stream| {
        let (first, second) = draw(stream);
        let apart = welch(first, second).unwrap();
        covers(apart.mean_difference, apart.half_width(LEVEL).unwrap(), 0.0)
    });
    assert!(may_be(covered, LEVEL), "{covered}");
    let wrong = share_of(|stream| {
        let (first, second) = draw(stream);
        let squares = |s: Sample| (s.n as f64 - 1.0) * s.sd.unwrap() * s.sd.unwrap();
        let variance = (squares(first) + squares(second)) / 30.0;
        let error = libm::sqrt(variance * (1.0 / 8.0 + 1.0 / 24.0));
        let t = (first.mean - second.mean) / error;
        student_two_sided_p(30.0, t).unwrap() > 1.0 - LEVEL
    });
    assert!(!may_be(wrong, LEVEL), "{wrong}");
}

// Several at once ------------------------------------------------------------------------------------

/// Alternatives against one base in pairs; these are no different from it, the others are.
fn p_values(stream: &mut Stream, alike: usize, different: usize) -> Vec<f64> {
    let n = 20;
    let base = normals(stream, n);
    let mut p_of = |shift: f64| {
        let other: Vec<f64> = normals(stream, n).iter().map(|x| x + shift).collect();
        paired(&base, &other).unwrap().p_value().unwrap()
    };
    let mut all: Vec<f64> = (0..alike).map(|_| p_of(0.0)).collect();
    all.extend((0..different).map(|_| p_of(3.0)));
    all
}

/// Any false rejection among the first `alike` at 5 %.
fn any_false(adjusted: &[f64], alike: usize) -> bool {
    adjusted[..alike].iter().any(|p| *p <= 0.05)
}

#[test]
fn holm_keeps_its_family_wise_error() {
    for (alike, different) in [(1, 0), (5, 0), (3, 4), (10, 2)] {
        let wrong_once =
            share_of(|stream| any_false(&holm(&p_values(stream, alike, different)), alike));
        // At most 5 %, within 3.29 standard errors of 2,000.
        assert!(
            wrong_once <= 0.05 + 0.016,
            "{alike} {different}: {wrong_once}"
        );
    }
    // Independent p-values with nothing to be found: 1 − (1 − 0.05/5)^5 exactly.
    let independent = share_of(|stream| {
        let p: Vec<f64> = (0..5).map(|_| stream.random()).collect();
        any_false(&holm(&p), 5)
    });
    assert!(
        may_be(independent, 1.0 - libm::pow(0.99, 5.0)),
        "{independent}"
    );
    // Not adjusted at all, and adjusted only for those that are alike after all: found out.
    let unadjusted = share_of(|stream| any_false(&p_values(stream, 5, 0), 5));
    assert!(unadjusted > 0.05 + 0.016, "{unadjusted}");
}

/// Holm rejects at least whatever Bonferroni does, and more where most are different.
#[test]
fn holm_finds_more_than_bonferroni() {
    let found = |adjust: fn(&[f64]) -> Vec<f64>| {
        share_of(|stream| {
            let mut p: Vec<f64> = (0..4).map(|_| stream.random::<f64>() * 1e-4).collect();
            p.push(stream.random::<f64>() * 0.06);
            adjust(&p)[4] <= 0.05
        })
    };
    assert!(may_be(found(holm), 0.05 / 0.06));
    let bonferroni = found(|p| p.iter().map(|one| one * p.len() as f64).collect());
    assert!(may_be(bonferroni, 0.01 / 0.06));
}

// Through the simulator ------------------------------------------------------------------------------

/// Plays replications `from` to `to`; what `read` finds in each.
fn play<T>(
    scenario: &Scenario,
    seed: u64,
    n: usize,
    read: impl Fn(&Service<'_>, &Outcome) -> T,
) -> Vec<T> {
    let room = Room::of(scenario);
    let mut service = Service::new(&room);
    let mut outcome = Outcome::new(&room);
    let one = |replication| {
        service.play(seed, replication);
        service.outcome(&mut outcome);
        read(&service, &outcome)
    };
    (0..n as u64).map(one).collect()
}

/// A heap of 20 single pieces, one person, 30 s each on average with exponential variation, `pace` times
/// as fast. The k-th piece is done after a sum of k times: the mean wait is 30 s × 21/2, the time when all
/// are done is gamma of shape 20.
fn heap(pace: f64) -> Scenario {
    let mut scenario = empty();
    scenario.ware = vec![ware("plate", "peg", 1)];
    scenario.backlog = vec![backlog("plate", 20)];
    scenario.scrape = Some(bench(1, 0.0, 1));
    if let Some(bench) = &mut scenario.scrape {
        bench.per_unit = varying(30.0, 1.0, Shape::Exponential);
    }
    scenario.roster = vec![person("scraper", &[Duty::Scrape])];
    scenario.roster[0].pace = pace;
    scenario
}

fn mean_waits(scenario: &Scenario, seed: u64, n: usize) -> Vec<f64> {
    play(scenario, seed, n, |_, outcome| {
        outcome.get(Measure::WaitMean).unwrap()
    })
}

const HEAP_WAIT_MIN: f64 = 0.5 * 21.0 / 2.0;

#[test]
fn one_person_at_a_heap() {
    let covered = share_of(|stream| {
        let values = mean_waits(&heap(1.0), stream.random(), 30);
        let sample = Sample::of(&values).unwrap();
        covers(
            sample.mean,
            sample.half_width(LEVEL).unwrap(),
            HEAP_WAIT_MIN,
        )
    });
    assert!(may_be(covered, LEVEL), "{covered}");
    // Somebody 5 % faster is found out.
    let wrong = share_of(|stream| {
        let values = mean_waits(&heap(1.05), stream.random(), 30);
        let sample = Sample::of(&values).unwrap();
        covers(
            sample.mean,
            sample.half_width(LEVEL).unwrap(),
            HEAP_WAIT_MIN,
        )
    });
    assert!(!may_be(wrong, LEVEL), "{wrong}");
}

/// Somebody a quarter faster, with the same luck: the difference is a fifth of the wait.
#[test]
fn two_paces_at_a_heap_in_pairs() {
    let difference = |stream: &mut Stream, pace: f64| {
        let seed = stream.random();
        let (slow, fast) = (
            mean_waits(&heap(1.0), seed, 30),
            mean_waits(&heap(pace), seed, 30),
        );
        paired(&slow, &fast).unwrap()
    };
    let covered = share_of(|stream| {
        let pairs = difference(stream, 1.25);
        assert!(pairs.variance_saved_share.unwrap() > 0.9);
        covers(
            pairs.mean_difference,
            pairs.half_width(LEVEL).unwrap(),
            HEAP_WAIT_MIN / 5.0,
        )
    });
    assert!(may_be(covered, LEVEL), "{covered}");
    let wrong = share_of(|stream| {
        let pairs = difference(stream, 1.27);
        covers(
            pairs.mean_difference,
            pairs.half_width(LEVEL).unwrap(),
            HEAP_WAIT_MIN / 5.0,
        )
    });
    assert!(!may_be(wrong, LEVEL), "{wrong}");
}

/// Guests in the house at two: five a minute come at random from noon and stay 40 min on average, so their
/// number is Poisson with mean 200 (1 − e⁻³) (a textbook's restaurant; the room of `outside/queues`).
const HOUSE: f64 = 190.042_586;
const HOUSE_FILE: &str = "tests/outside/queues/lunch.toml";
const EVENINGS: usize = 12;

/// Guests in the house at two, evening by evening, each staying `dwell_min` on average: as many sets of
/// evenings as macro-replications.
fn houses(dwell_min: f64) -> Vec<Vec<f64>> {
    let loaded = scullery::scenario::load(std::path::Path::new(HOUSE_FILE)).unwrap();
    let mut scenario = loaded.scenario;
    scenario.guests.as_mut().unwrap().dwell.mean_s = 60.0 * dwell_min;
    let room = Room::of(&scenario);
    let minutes = room.hours.minutes();
    let stock = series_of(&room)
        .iter()
        .position(|series| series.name == "clean_stock:setting")
        .unwrap();
    let evenings = |seed| {
        play(&scenario, seed, EVENINGS, |service, _| {
            230.0 - f64::from(service.samples().values()[stock * minutes + 120])
        })
    };
    (0..MACRO_REPLICATIONS as u64)
        .into_par_iter()
        .map(evenings)
        .collect()
}

#[test]
fn guests_in_the_house() {
    let share = |sets: &[Vec<f64>], holds: &dyn Fn(&[f64]) -> bool| {
        sets.iter().filter(|set| holds(set)).count() as f64 / sets.len() as f64
    };
    let mean = |set: &[f64]| {
        let sample = Sample::of(set).unwrap();
        covers(sample.mean, sample.half_width(LEVEL).unwrap(), HOUSE)
    };
    let at_two = houses(40.0);
    assert!(may_be(share(&at_two, &mean), LEVEL));
    // Guests who stay a minute longer are found out.
    assert!(!may_be(share(&houses(41.0), &mean), LEVEL));

    // 200 or fewer are there in 77.8 evenings of 100.
    let few = poisson(HOUSE, 200);
    let all = EVENINGS as u64;
    let of_few = |set: &[f64]| {
        let count = set.iter().filter(|n| **n <= 200.0).count() as u64;
        let (low, high) = wilson(count, all, LEVEL);
        low <= few && few <= high
    };
    let exact = wilson_covers(all, few, |count| wilson(count, all, LEVEL));
    assert!(may_be(share(&at_two, &of_few), exact));

    // The median is 190. Numbers are whole, so its interval covers at least as often as it says.
    assert!(poisson(HOUSE, 189) < 0.5 && poisson(HOUSE, 190) > 0.5);
    let ((low, high), least) =
        order_statistic_interval_with_coverage(EVENINGS, 0.5, LEVEL).unwrap();
    let of_median = |set: &[f64]| {
        let mut set = set.to_vec();
        set.sort_by(f64::total_cmp);
        set[low - 1] <= 190.0 && 190.0 <= set[high - 1]
    };
    assert!(share(&at_two, &of_median) >= least - 0.016);
}

/// Probability that a Poisson number is at most `most`.
fn poisson(mean: f64, most: u64) -> f64 {
    let mut term = libm::exp(-mean);
    let mut sum = term;
    for k in 1..=most {
        term *= mean / k as f64;
        sum += term;
    }
    sum
}
