//! The statistics against printed tables and worked examples.
//!
//! Each check names its source; "from memory" means that the source itself was not at hand, and
//! "recomputed" that the figures were worked out with an independent library.

use scullery::statistics::equal_allocation::{of_share, rinott_h, student_h};
use scullery::statistics::interval::{Sample, normal, student_t, wilson};
use scullery::statistics::paired::{holm, paired, welch};
use scullery::statistics::precision::{met, relative_half_width};
use scullery::statistics::quantile::{
    nearest_rank, order_statistic_interval, order_statistic_interval_with_coverage, quantile,
};

use scullery::statistics::sequential::{ShareTest, Side};

/// Fails unless `ours` is within `tolerance` of `printed`.
#[track_caller]
fn agrees(ours: f64, printed: f64, tolerance: f64) {
    assert!(
        (ours - printed).abs() <= tolerance,
        "ours {ours}, printed {printed} ± {tolerance}"
    );
}

// Student's t ----------------------------------------------------------------------------------------

/// Student's t at 0.90, 0.95, 0.975, 0.99 and 0.995 (recomputed; the usual printed table).
const STUDENT: [(f64, [f64; 5]); 16] = [
    (1.0, [3.0777, 6.3138, 12.7062, 31.8205, 63.6567]),
    (2.0, [1.8856, 2.9200, 4.3027, 6.9646, 9.9248]),
    (3.0, [1.6377, 2.3534, 3.1824, 4.5407, 5.8409]),
    (4.0, [1.5332, 2.1318, 2.7764, 3.7469, 4.6041]),
    (5.0, [1.4759, 2.0150, 2.5706, 3.3649, 4.0321]),
    (9.0, [1.3830, 1.8331, 2.2622, 2.8214, 3.2498]),
    (14.0, [1.3450, 1.7613, 2.1448, 2.6245, 2.9768]),
    (19.0, [1.3277, 1.7291, 2.0930, 2.5395, 2.8609]),
    (24.0, [1.3178, 1.7109, 2.0639, 2.4922, 2.7969]),
    (29.0, [1.3114, 1.6991, 2.0452, 2.4620, 2.7564]),
    (39.0, [1.3036, 1.6849, 2.0227, 2.4258, 2.7079]),
    (49.0, [1.2991, 1.6766, 2.0096, 2.4049, 2.6800]),
    (99.0, [1.2902, 1.6604, 1.9842, 2.3646, 2.6264]),
    (199.0, [1.2858, 1.6525, 1.9720, 2.3452, 2.6008]),
    (499.0, [1.2833, 1.6479, 1.9647, 2.3338, 2.5857]),
    (999.0, [1.2824, 1.6464, 1.9623, 2.3301, 2.5808]),
];
const PROBABILITIES: [f64; 5] = [0.90, 0.95, 0.975, 0.99, 0.995];
const NORMAL: [f64; 5] = [1.281_552, 1.644_854, 1.959_964, 2.326_348, 2.575_829];

#[test]
fn student_quantiles_on_both_halves() {
    for (df, row) in STUDENT {
        for (probability, printed) in PROBABILITIES.into_iter().zip(row) {
            agrees(student_t(df, probability).unwrap(), printed, 0.000_051);
            agrees(
                student_t(df, 1.0 - probability).unwrap(),
                -printed,
                0.000_051,
            );
        }
    }
}

/// One degree of freedom is Cauchy's distribution, two have a closed form: t = tan(π(p − ½)) and
/// t = (2p − 1)/√(2p(1 − p)).
#[test]
fn student_quantiles_in_closed_form() {
    for probability in [0.5001, 0.51, 0.6, 0.75, 0.9, 0.975, 0.995, 0.9999] {
        let cauchy = libm::tan(std::f64::consts::PI * (probability - 0.5));
        let two = (2.0 * probability - 1.0) / libm::sqrt(2.0 * probability * (1.0 - probability));
        agrees(student_t(1.0, probability).unwrap() / cauchy, 1.0, 1e-9);
        agrees(student_t(2.0, probability).unwrap() / two, 1.0, 1e-9);
    }
}

#[test]
fn student_quantiles_become_normal_ones_without_a_step() {
    for (probability, printed) in PROBABILITIES.into_iter().zip(NORMAL) {
        agrees(normal(probability).unwrap(), printed, 5e-7);
        agrees(student_t(1e9, probability).unwrap(), printed, 6e-7);
        // From 1000 degrees of freedom on the method is another one.
        let (below, above) = (
            student_t(1000.0, probability),
            student_t(1000.0 + 1e-9, probability),
        );
        agrees(above.unwrap(), below.unwrap(), 1e-12);
        for df in [1.0, 2.0, 5.0, 50.0, 500.0, 999.0, 5000.0, 50_000.0] {
            assert!(
                student_t(df, probability) > student_t(df + 1.0, probability),
                "{df}"
            );
        }
    }
}

// Wilson ---------------------------------------------------------------------------------------------

/// Wilson intervals at 95 %: the first four are the examples of Newcombe, *Statistics in Medicine* 17,
/// 1998 (from memory; there to four places), all recomputed.
const WILSON: [(u64, u64, f64, f64); 9] = [
    (81, 263, 0.255_289, 0.366_210),
    (15, 148, 0.062_386, 0.160_487),
    (0, 20, 0.0, 0.161_125),
    (1, 29, 0.006_113, 0.171_755),
    (29, 29, 0.883_030, 1.0),
    (5, 10, 0.236_593, 0.763_407),
    (0, 100, 0.0, 0.036_993),
    (3, 400, 0.002_554, 0.021_816),
    (95, 100, 0.888_250, 0.978_456),
];

#[test]
fn wilson_intervals() {
    for (successes, n, low, high) in WILSON {
        let ours = wilson(successes, n, 0.95);
        agrees(ours.0, low, 6e-7);
        agrees(ours.1, high, 6e-7);
    }
    assert_eq!(wilson(0, 20, 0.95).0, 0.0);
    assert_eq!(wilson(29, 29, 0.95).1, 1.0);
}

// Quantiles ------------------------------------------------------------------------------------------

/// Ranks and exact coverage of an interval, or none.
type Ranks = Option<(usize, usize, f64)>;

/// Order-statistic intervals at 95 % of the median, the 0.9 and the 0.95 quantile: fewest ranks, then
/// highest coverage, by exact binomials (recomputed).
const ORDER_STATISTICS: [(usize, [Ranks; 3]); 8] = [
    (10, [Some((2, 9, 0.9785)), None, None]),
    (20, [Some((6, 15, 0.9586)), None, None]),
    (29, [Some((9, 20, 0.9572)), Some((21, 29, 0.9513)), None]),
    (30, [Some((10, 21, 0.9572)), Some((22, 30, 0.9556)), None]),
    (50, [Some((18, 32, 0.9511)), Some((41, 50, 0.9703)), None]),
    (
        59,
        [
            Some((22, 38, 0.9637)),
            Some((49, 58, 0.9543)),
            Some((50, 59, 0.9509)),
        ],
    ),
    (
        100,
        [
            Some((40, 60, 0.9540)),
            Some((84, 96, 0.9557)),
            Some((91, 100, 0.9659)),
        ],
    ),
    (
        200,
        [
            Some((86, 114, 0.9520)),
            Some((172, 189, 0.9561)),
            Some((184, 197, 0.9672)),
        ],
    ),
];

#[test]
fn order_statistic_ranks_and_coverage() {
    for (n, row) in ORDER_STATISTICS {
        for (p, printed) in [0.5, 0.9, 0.95].into_iter().zip(row) {
            let ours = order_statistic_interval_with_coverage(n, p, 0.95);
            let ranks = ours.map(|(ranks, _)| ranks);
            assert_eq!(
                ranks,
                printed.map(|(low, high, _)| (low, high)),
                "n {n}, p {p}"
            );
            if let (Some((_, coverage)), Some((_, _, printed))) = (ours, printed) {
                agrees(coverage, printed, 0.000_051);
            }
        }
    }
}

/// No two-sided interval below n = 29 for 0.9 (0.9^29 = 0.0471) and below n = 59 for 0.95
/// (0.95^59 = 0.0485).
#[test]
fn order_statistic_intervals_begin_where_they_can() {
    for (p, least) in [(0.9, 29), (0.95, 59)] {
        for n in 1..200 {
            assert_eq!(
                order_statistic_interval(n, p, 0.95).is_some(),
                n >= least,
                "n {n}, p {p}"
            );
        }
    }
}

/// Every window of every length, with the binomial probabilities added up one by one.
fn by_exhaustion(n: usize, p: f64, level: f64) -> Option<(usize, f64)> {
    let mut pmf = vec![libm::pow(1.0 - p, n as f64)];
    for k in 0..n {
        pmf.push(pmf[k] * (n - k) as f64 / (k + 1) as f64 * p / (1.0 - p));
    }
    let best = |length: usize| {
        (1..=n - length)
            .map(|low| pmf[low..low + length].iter().sum::<f64>())
            .fold(0.0, f64::max)
    };
    (1..n)
        .map(|length| (length, best(length)))
        .find(|(_, coverage)| *coverage >= level)
}

#[test]
fn order_statistic_intervals_are_the_shortest_there_are() {
    for n in 2..120 {
        for p in [0.1, 0.25, 0.5, 0.9, 0.95, 0.99] {
            let ours = order_statistic_interval_with_coverage(n, p, 0.95);
            let exhaustive = by_exhaustion(n, p, 0.95);
            assert_eq!(
                ours.map(|((low, high), _)| high - low),
                exhaustive.map(|e| e.0),
                "n {n}, p {p}"
            );
            if let (Some((_, coverage)), Some((_, best))) = (ours, exhaustive) {
                agrees(coverage, best, 1e-12);
            }
        }
    }
}

/// With very many values the ranks are those of the normal approximation, n p ± z √(n p (1 − p)), and
/// one rank less would not cover.
#[test]
fn order_statistic_ranks_of_many_values() {
    for n in [20_000, 1_000_000] {
        for p in [0.1, 0.5, 0.9, 0.99] {
            let ((low, high), coverage) =
                order_statistic_interval_with_coverage(n, p, 0.95).unwrap();
            let (middle, sd) = (n as f64 * p, libm::sqrt(n as f64 * p * (1.0 - p)));
            agrees(low as f64, middle + 0.5 - 1.96 * sd, 3.0);
            agrees(high as f64, middle + 0.5 + 1.96 * sd, 3.0);
            let one_rank = 2.0 * 0.0585 / sd;
            assert!(
                (0.95..0.95 + one_rank).contains(&coverage),
                "{n} {p}: {coverage}"
            );
        }
    }
}

#[test]
fn the_quantile_lies_within_its_interval() {
    for n in 2..400 {
        for p in [0.1, 0.5, 0.9] {
            if let Some((low, high)) = order_statistic_interval(n, p, 0.95) {
                assert!(
                    (low..=high).contains(&nearest_rank(n, p).unwrap()),
                    "n {n}, p {p}"
                );
            }
        }
    }
    assert_eq!(quantile(&[], 0.5), None);
}

// Means ----------------------------------------------------------------------------------------------

/// Law, *Simulation Modeling and Analysis*, Ex. 4.27 and the bank of ch. 9 (from memory, recomputed):
/// mean, variance, half-width at 90 %.
#[test]
fn laws_examples_of_a_mean() {
    let ten = [1.20, 1.50, 1.68, 1.89, 0.95, 1.49, 1.58, 1.55, 0.50, 1.09];
    let bank = [1.53, 1.66, 1.24, 2.34, 2.00, 1.69, 2.69, 2.86, 1.70, 2.60];
    for (values, mean, variance, half_width) in
        [(ten, 1.343, 0.1675, 0.2373), (bank, 2.031, 0.3091, 0.3223)]
    {
        let sample = Sample::of(&values).unwrap();
        agrees(sample.mean, mean, 1e-9);
        agrees(sample.sd.unwrap() * sample.sd.unwrap(), variance, 0.000_051);
        agrees(sample.half_width(0.90).unwrap(), half_width, 0.000_051);
    }
    // 0.3223/2.031 = 15.87 %.
    let bank = Sample::of(&bank).unwrap();
    agrees(relative_half_width(bank, 0.90).unwrap(), 0.1587, 0.000_051);
    assert!(met(bank, 0.16, 0.90) && !met(bank, 0.15, 0.90));
}

/// Made-up stopwatch data in seconds (recomputed): mean 4.015, sd 1.525321.
#[test]
fn stopwatch_mean_and_deviation() {
    let seconds = [
        3.1, 2.4, 4.0, 5.2, 2.9, 3.6, 6.8, 3.3, 2.7, 4.5, 3.9, 8.1, 2.2, 3.0, 4.8, 3.4, 5.9, 2.6,
        3.7, 4.2,
    ];
    let sample = Sample::of(&seconds).unwrap();
    agrees(sample.mean, 4.015, 1e-9);
    agrees(sample.sd.unwrap(), 1.525_321, 5e-7);
}

// Differences ----------------------------------------------------------------------------------------

/// Two inventory policies, five replications each: Law, *Simulation Modeling and Analysis*, Ex. 10.5
/// (from memory, recomputed).
#[test]
fn laws_inventory_paired_and_by_welch() {
    let first = [126.97, 124.31, 126.68, 122.66, 127.23];
    let second = [118.21, 120.22, 122.45, 122.68, 119.40];

    let pairs = paired(&first, &second).unwrap();
    agrees(pairs.mean_difference, 4.978, 1e-9);
    agrees(pairs.sd.unwrap() * pairs.sd.unwrap() / 5.0, 2.438, 0.0005);
    let half_width = pairs.half_width(0.90).unwrap();
    agrees(pairs.mean_difference - half_width, 1.649, 0.0006);
    agrees(pairs.mean_difference + half_width, 8.307, 0.0006);

    let apart = welch(Sample::of(&first).unwrap(), Sample::of(&second).unwrap()).unwrap();
    agrees(apart.df, 7.992, 0.0005);
    let half_width = apart.half_width(0.90).unwrap();
    agrees(apart.mean_difference - half_width, 2.661, 0.0006);
    agrees(apart.mean_difference + half_width, 7.295, 0.0006);
}

/// Four designs under common random numbers, ten replications: data of a public simulation library,
/// after Banks and others, *Discrete-Event System Simulation*; statistics recomputed.
const DESIGNS: [[f64; 10]; 4] = [
    [
        63.72, 32.24, 40.28, 36.94, 36.29, 56.94, 34.10, 63.36, 49.29, 87.20,
    ],
    [
        63.06, 31.78, 40.32, 37.71, 36.79, 57.93, 33.39, 62.92, 47.67, 80.79,
    ],
    [
        57.74, 29.65, 36.52, 35.71, 33.81, 51.54, 31.39, 57.24, 42.63, 67.27,
    ],
    [
        62.63, 31.56, 39.87, 37.35, 36.65, 57.15, 33.30, 62.21, 47.46, 79.60,
    ],
];

#[test]
fn four_designs_under_common_random_numbers() {
    for (design, mean) in DESIGNS.iter().zip([50.036, 49.236, 44.350, 48.778]) {
        agrees(Sample::of(design).unwrap().mean, mean, 1e-9);
    }
    // Against the first: other design, mean difference, variance, ends of the 95 % interval.
    for (other, mean, variance, low, high) in [
        (1, 0.800, 4.498, -0.717, 2.317),
        (2, 5.686, 28.498, 1.867, 9.505),
        (3, 1.258, 5.490, -0.418, 2.934),
    ] {
        let pairs = paired(&DESIGNS[0], &DESIGNS[other]).unwrap();
        agrees(pairs.mean_difference, mean, 1e-9);
        agrees(pairs.sd.unwrap() * pairs.sd.unwrap(), variance, 0.0006);
        let half_width = pairs.half_width(0.95).unwrap();
        agrees(mean - half_width, low, 0.0006);
        agrees(mean + half_width, high, 0.0006);
    }
}

#[test]
fn four_designs_bonferroni_and_what_pairing_saves() {
    // Three comparisons at 5 % in all: t 2.9333.
    let level = 1.0 - 0.05 / 3.0;
    agrees(
        student_t(9.0, 0.5 + 0.5 * level).unwrap(),
        2.9333,
        0.000_051,
    );
    let against_third = paired(&DESIGNS[0], &DESIGNS[2]).unwrap();
    let half_width = against_third.half_width(level).unwrap();
    agrees(against_third.mean_difference - half_width, 0.734, 0.0006);
    agrees(against_third.mean_difference + half_width, 10.638, 0.0006);

    // Correlation 0.9959; unpaired, the half-width would be 15.97 in place of 1.517.
    let (first, second) = (
        Sample::of(&DESIGNS[0]).unwrap(),
        Sample::of(&DESIGNS[1]).unwrap(),
    );
    agrees(
        welch(first, second).unwrap().half_width(0.95).unwrap(),
        15.97,
        0.006,
    );
    let (s1, s2) = (first.sd.unwrap(), second.sd.unwrap());
    let pairs = paired(&DESIGNS[0], &DESIGNS[1]).unwrap();
    let independent = s1 * s1 + s2 * s2;
    let correlation = (independent - pairs.sd.unwrap() * pairs.sd.unwrap()) / (2.0 * s1 * s2);
    agrees(correlation, 0.9959, 0.000_051);
    let saved = pairs.variance_saved_share.unwrap();
    agrees(saved, 2.0 * 0.9959 * s1 * s2 / independent, 0.0001);
    assert!(saved > 0.99);
}

/// A p-value is the level at which the interval just touches zero.
#[test]
fn p_values_and_intervals_say_the_same() {
    for other in &DESIGNS[1..] {
        let pairs = paired(&DESIGNS[0], other).unwrap();
        let level = 1.0 - pairs.p_value().unwrap();
        agrees(
            pairs.half_width(level).unwrap(),
            pairs.mean_difference,
            1e-9,
        );
    }
}

/// Holm (*Scandinavian Journal of Statistics* 6, 1979; from memory, recomputed).
#[test]
fn holm_adjusts_four_p_values() {
    let adjusted = holm(&[0.01, 0.04, 0.03, 0.005]);
    for (ours, printed) in adjusted.into_iter().zip([0.03, 0.06, 0.06, 0.02]) {
        agrees(ours, printed, 1e-12);
    }
}

// Selection ------------------------------------------------------------------------------------------

/// Rinott's h: confidence, first stage n₀, then 2, 3, 4, 5 and 10 systems (recomputed with an independent
/// library; the values that Wilcox tabulated in 1984, not at hand).
const RINOTT: [(f64, usize, [f64; 5]); 5] = [
    (0.90, 20, [1.896, 2.431, 2.720, 2.916, 3.437]),
    (0.95, 10, [2.614, 3.166, 3.476, 3.693, 4.290]),
    (0.95, 20, [2.452, 2.937, 3.203, 3.385, 3.875]),
    (0.95, 30, [2.407, 2.874, 3.129, 3.303, 3.766]),
    (0.99, 20, [3.540, 3.955, 4.188, 4.350, 4.794]),
];

#[test]
fn rinotts_constants() {
    for (confidence, first_stage, row) in RINOTT {
        for (systems, printed) in [2, 3, 4, 5, 10].into_iter().zip(row) {
            let ours = rinott_h(systems, confidence, first_stage - 1).unwrap();
            agrees(ours, printed, 0.000_51);
        }
    }
    // A test value of a public simulation library: ten systems, 0.975, 50 degrees of freedom.
    agrees(rinott_h(10, 0.975, 50).unwrap(), 4.045, 0.000_51);
}

/// Sampling inspection for defectives, 1 % against 10 %: the line rises by log₁₀(0.99/0.90)/log₁₀ 11 =
/// 0.0398 defectives an item (an engineering handbook's example of Wald's test, from memory). With both
/// errors 5 % and limits ±ln 20 its intercepts are ln 20/ln 11 = 1.2493.
#[test]
fn walds_lines() {
    let (rise, intercept) = (0.039_747_4, 1.249_317);
    let decided = |n: usize, cases: usize| {
        let mut test = ShareTest::new(0.055, 0.045, 0.05);
        (0..n).map(|i| test.take(i >= n - cases)).last().unwrap()
    };
    for cases in 2..6_usize {
        // The last item at which this many cases are still above the upper line.
        let last = ((cases as f64 - intercept) / rise).floor() as usize;
        assert_eq!(decided(last, cases), Some(Side::Above), "{cases}");
        assert_eq!(decided(last + 1, cases), None, "{cases}");
    }
    // The first item at which no case at all is below the lower line.
    let first = (intercept / rise).ceil() as usize;
    assert_eq!(decided(first, 0), Some(Side::Below));
    assert_eq!(decided(first - 1, 0), None);
}

/// Equal allocation: Bonferroni's t of Clark and Yang is Student's (three comparisons, 5 %, n₀ 10: 2.9333
/// is the two-sided one of the same table), and two binomials as Fleiss has them.
#[test]
fn constants_of_equal_allocation() {
    agrees(student_h(0.05 / 6.0, 10).unwrap(), 2.9333, 0.000_051);
    agrees(student_h(0.05, 20).unwrap(), 1.7291, 0.000_051);
    // (1.644854 (√(0.02 × 0.98) + √(0.08 × 0.92))/0.06)² = 127.1.
    assert_eq!(of_share(0.05, 0.03, 0.05), Some(128));
}
