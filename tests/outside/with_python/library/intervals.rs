//! Intervals: of quantiles, of shares, of differences.

use std::sync::LazyLock;

use rand::SeedableRng;
use rand_xoshiro::Xoshiro256PlusPlus;
use scullery::room::draws;
use scullery::statistics::interval::{Sample, wilson};
use scullery::statistics::likelihood::is_below;
use scullery::statistics::paired;
use scullery::statistics::quantile::order_statistic_interval_with_coverage;
use serde_json::{Value, json};

use super::{Asked, answered, column, farthest, number, numbers};
use crate::ledger::{Row, holds};

const LEVELS: [f64; 4] = [0.90, 0.95, 0.99, 0.999];
const SIZES: [usize; 11] = [10, 20, 29, 30, 59, 100, 200, 500, 1000, 5000, 20_000];
/// Successes and n: none, all, few, many, and the examples of the printed tables.
const SHARES: [(u64, u64); 13] = [
    (0, 1),
    (1, 1),
    (0, 20),
    (1, 29),
    (29, 29),
    (5, 10),
    (15, 148),
    (81, 263),
    (3, 400),
    (95, 100),
    (1, 20_000),
    (19_999, 20_000),
    (10_000, 20_000),
];

/// The exact coverage is a sum of binomial probabilities, and tails of a binomial are F probabilities.
fn coverage() -> Asked {
    let wanted = |n| [0.1, 0.5, 0.9, 0.95].map(|p| LEVELS.map(|level| (n, p, level)));
    // n, the quantile, both ranks, and the coverage, wherever there is such an interval.
    let cases: Vec<[f64; 5]> = SIZES
        .into_iter()
        .flat_map(wanted)
        .flatten()
        .filter_map(|(n, p, level)| {
            let ((low, high), coverage) = order_statistic_interval_with_coverage(n, p, level)?;
            Some([n as f64, p, low as f64, high as f64, coverage])
        })
        .collect();
    let [n, p, low, high, ours] = [0, 1, 2, 3, 4].map(|place| column(&cases, place));
    let question = json!({"ask": "coverage_by_f", "n": n, "p": p, "low": low, "high": high});
    let what = "coverage of order-statistic intervals, n from 10 to 20,000";
    let source = "binomial tails by `scipy.stats.f.cdf`";
    Asked::farthest(question, what, ours, 1e-9, source)
}

/// Both ends of Wilson's interval.
fn shares() -> Asked {
    let with_levels = |(successes, n)| LEVELS.map(|level| (successes, n, level));
    let cases: Vec<(u64, u64, f64)> = SHARES.into_iter().flat_map(with_levels).collect();
    let ends_of = |&(successes, n, level): &(u64, u64, f64)| {
        let (low, high) = wilson(successes, n, level);
        [low, high]
    };
    let ours: Vec<f64> = cases.iter().flat_map(ends_of).collect();
    let question = json!({"ask": "wilson", "cases": cases});
    Asked::new(question, move |answer| {
        let source = "`scipy.stats.binomtest`, `proportion_ci(method=\"wilson\")`";
        let theirs = ends(answer);
        vec![farthest("Wilson, both ends", &ours, &theirs, 1e-9, source)]
    })
}

/// Both ends of each interval, one after the other.
fn ends(intervals: &Value) -> Vec<f64> {
    let list = intervals.as_array().expect("a list");
    list.iter().flat_map(numbers).collect()
}

/// Times of two scenarios, the second a little longer.
fn times(n: usize, m: usize) -> [Vec<f64>; 2] {
    let stream = &mut Xoshiro256PlusPlus::seed_from_u64((1000 * n + m) as u64);
    let mut draw = |shape, count| (0..count).map(|_| draws::gamma(shape, stream)).collect();
    [draw(20.0, n), draw(23.0, m)]
}

fn sample(values: &[f64]) -> Sample {
    Sample::of(values).expect("finite values")
}

/// What a comparison of two means says: degrees of freedom, p-value, both ends at each level.
fn figures(df: f64, p: Option<f64>, mean: f64, half: impl Fn(f64) -> Option<f64>) -> Vec<f64> {
    let around = |level| {
        let half = half(level).expect("a half-width");
        [mean - half, mean + half]
    };
    let mut figures = vec![df, p.expect("a p-value")];
    figures.extend(LEVELS.into_iter().flat_map(around));
    figures
}

fn their_figures(answer: &Value) -> Vec<f64> {
    let mut figures = vec![number(&answer["df"]), number(&answer["p"])];
    figures.extend(ends(&answer["ends"]));
    figures
}

fn of_welch(first: &[f64], second: &[f64]) -> Vec<f64> {
    let ours = paired::welch(sample(first), sample(second)).expect("two samples");
    let half = |level| ours.half_width(level);
    figures(ours.df, ours.p_value(), ours.mean_difference, half)
}

fn of_pairs(first: &[f64], second: &[f64]) -> Vec<f64> {
    let ours = paired::paired(first, second).expect("pairs");
    let (df, half) = (ours.n as f64 - 1.0, |level| ours.half_width(level));
    figures(df, ours.p_value(), ours.mean_difference, half)
}

/// A comparison of two means on data of these sizes.
fn differences(
    test: &str,
    sizes: [(usize, usize); 6],
    of: fn(&[f64], &[f64]) -> Vec<f64>,
    what: &'static str,
    source: &'static str,
) -> Asked {
    let data = sizes.map(|(n, m)| times(n, m));
    let question = json!({"ask": "means", "test": test, "data": data, "levels": LEVELS});
    Asked::new(question, move |answer| {
        let ours: Vec<f64> = data.iter().flat_map(|[a, b]| of(a, b)).collect();
        let answers = answer.as_array().expect("a list");
        let theirs: Vec<f64> = answers.iter().flat_map(their_figures).collect();
        vec![farthest(what, &ours, &theirs, 1e-9, source)]
    })
}

fn welch() -> Asked {
    let sizes = [(2, 3), (5, 4), (10, 10), (30, 12), (200, 150), (1500, 900)];
    let what = "Welch on 6 data sets: degrees of freedom, p, both ends";
    let source = "`scipy.stats.ttest_ind(equal_var=False)`";
    differences("welch", sizes, of_welch, what, source)
}

fn pairs() -> Asked {
    let sizes = [2, 3, 10, 40, 200, 1500].map(|n| (n, n));
    let what = "pairs in 6 data sets: degrees of freedom, p, both ends";
    let source = "`scipy.stats.ttest_rel`";
    differences("paired", sizes, of_pairs, what, source)
}

/// The limit below which a mean is just shown to be, by halving.
fn upper(values: &[f64], error: f64) -> f64 {
    let (mut low, mut high) = (
        sample(values).mean,
        values.iter().copied().fold(f64::MIN, f64::max),
    );
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if is_below(values.iter().copied(), middle, error) {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}

/// Skewed to either side, nearly normal, and rare events.
fn bounds() -> Asked {
    let stream = &mut Xoshiro256PlusPlus::seed_from_u64(7);
    let mut draw = |shape, count: usize, sign: f64| -> Vec<f64> {
        (0..count)
            .map(|_| sign * draws::gamma(shape, stream))
            .collect()
    };
    let mut data = vec![
        draw(1.0, 100, 1.0),
        draw(1.0, 150, -1.0),
        draw(30.0, 225, 1.0),
        draw(0.3, 500, 1.0),
    ];
    data.push(
        (0..200)
            .map(|i| if i % 100 == 0 { 100.0 } else { 0.5 })
            .collect(),
    );
    let cases: Vec<(Vec<f64>, f64)> = data
        .into_iter()
        .flat_map(|values| [0.05, 0.001, 1e-6].map(|error| (values.clone(), error)))
        .collect();
    let ours = cases
        .iter()
        .map(|(values, error)| upper(values, *error))
        .collect();
    let question = json!({"ask": "empirical_likelihood", "cases": cases});
    let what = "upper ends of means by empirical likelihood, 5 data sets";
    let source = "Owen's equations, solved by `scipy.optimize.brentq`";
    Asked::farthest(question, what, ours, 1e-8, source)
}

pub fn rows() -> &'static [Row] {
    static ROWS: LazyLock<Vec<Row>> =
        LazyLock::new(|| answered(vec![coverage(), shares(), welch(), pairs(), bounds()]));
    &ROWS
}

#[test]
fn intervals_agree() {
    holds(rows());
}
