//! Sequential tests: which side of a limit a mean lies on, looking after every observation.
//!
//! In: the first stage (its spread), then observation after observation. Out: [`Side`] as soon as the
//! data say so. Each test errs with at most the probability β it was made with, at or beyond the drift
//! it was made for; nearer to the limit either answer is allowed.
//!
//! - [`Triangle`]: normal data of unknown variance. The sum of the distances to the limit walks within a
//!   triangle that closes; the side it leaves by is the answer. Fabian, *The Annals of Statistics* 2,
//!   1974, as used by Kim and Nelson, *ACM TOMACS* 11(3), 2001 (KN: differences of two systems) and by
//!   Batur and Kim, *ACM TOMACS* 20(3), article 13, 2010 (F_B: a system against a constraint), with
//!   their c = 1. From memory; constants recomputed.
//! - [`ShareTest`]: data of 0 and 1. Wald, *Sequential Analysis*, 1947 (from memory), with the limits
//!   ±ln(1/β), which by Ville's inequality bound the error strictly, for any n: no normality, no batches.

use super::interval::Sample;

/// Where a mean lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Below the limit.
    Below,
    /// Above it.
    Above,
}

/// η of KN and F_B: the root of ½ (1 + 2η)^(−(n₀ − 1)/2) = β, with n₀ observations in the first stage.
///
/// `None` unless n₀ ≥ 2 and 0 < β < ½.
///
/// ```
/// # use scullery::statistics::sequential::eta;
/// // Two systems, 95 %, ten observations: ((0.1)^(-2/9) - 1)/2.
/// assert!((eta(0.05, 10).unwrap() - 0.33405).abs() < 5e-6);
/// ```
#[must_use]
pub fn eta(beta: f64, first_stage: usize) -> Option<f64> {
    if first_stage < 2 || !(beta > 0.0 && beta < 0.5) {
        return None;
    }
    let df = first_stage as f64 - 1.0;
    Some(0.5 * libm::expm1(-2.0 / df * libm::log(2.0 * beta)))
}

/// h² = 2 η (n₀ − 1) of KN.
#[must_use]
pub fn h_squared(beta: f64, first_stage: usize) -> Option<f64> {
    Some(2.0 * eta(beta, first_stage)? * (first_stage as f64 - 1.0))
}

/// The region in which a sum of distances goes on walking: |sum| < height − slope × n.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Triangle {
    height: f64,
    slope: f64,
}

impl Triangle {
    /// For a walk of variance `variance` (estimated from the first stage, h² to match) whose mean step is
    /// at least `drift` from 0.
    #[must_use]
    pub fn new(h_squared: f64, variance: f64, drift: f64) -> Self {
        Self {
            height: h_squared * variance / (2.0 * drift),
            slope: 0.5 * drift,
        }
    }

    /// On which side the walk has left by its `n`th step, if it has. A sum of exactly 0 in the end counts
    /// as below.
    #[must_use]
    pub fn side(&self, n: usize, sum: f64) -> Option<Side> {
        let open = (self.height - self.slope * n as f64).max(0.0);
        if sum <= -open {
            Some(Side::Below)
        } else if sum >= open {
            Some(Side::Above)
        } else {
            None
        }
    }
}

/// First stages this many times as long are awaited where nothing varied in the first.
const PATIENCE: usize = 4;

/// What is done about a first stage whose values are all alike. Of normal values there is none, so nothing
/// is lost of what the tests promise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Alike {
    /// A stage four times as long is awaited: of values that are nearly always the same, such as guests
    /// short of ware, a decision by a lucky start becomes less likely.
    Wait,
    /// The same where they are all 0, but any other constant counts as known: two crews whose wages differ
    /// differ so every evening.
    WaitAtZero,
}

/// Whether [`first_variance`] can become known with this many values.
#[must_use]
pub const fn ends_a_stage(n: usize, first_stage: usize) -> bool {
    n == first_stage || n == PATIENCE * first_stage
}

/// Variance of the first stage among these values, in the order they came; `None` while it is too early.
#[must_use]
pub fn first_variance(values: &[f64], first_stage: usize, alike: Alike) -> Option<f64> {
    let variance = |n: usize| {
        let sd = Sample::of(values.get(..n)?)?.sd?;
        Some(sd * sd)
    };
    let is_known = alike == Alike::WaitAtZero && values.first().is_some_and(|first| *first != 0.0);
    match variance(first_stage)? {
        0.0 if !is_known => variance(PATIENCE * first_stage),
        variance => Some(variance),
    }
}

/// A mean against a limit, value by value.
#[derive(Debug, Clone)]
pub struct MeanTest {
    limit: f64,
    tolerance: f64,
    h_squared: f64,
    first_stage: usize,
    /// Distances to the limit, until the variance is known.
    first: Vec<f64>,
    variance: Option<f64>,
    triangle: Option<Triangle>,
    sum: f64,
    n: usize,
}

impl MeanTest {
    /// Whether a mean is above `limit`; trusted from `tolerance` on either side of it.
    #[must_use]
    pub fn new(limit: f64, tolerance: f64, h_squared: f64, first_stage: usize) -> Self {
        Self {
            limit,
            tolerance,
            h_squared,
            first_stage,
            first: Vec::new(),
            variance: None,
            triangle: None,
            sum: 0.0,
            n: 0,
        }
    }

    /// Takes the next value.
    pub fn take(&mut self, value: f64) -> Option<Side> {
        let distance = value - self.limit;
        self.sum += distance;
        self.n += 1;
        if self.triangle.is_none() {
            self.first.push(distance);
            if !ends_a_stage(self.n, self.first_stage) {
                return None;
            }
            let variance = first_variance(&self.first, self.first_stage, Alike::Wait)?;
            self.variance = Some(variance);
            self.triangle = Some(Triangle::new(self.h_squared, variance, self.tolerance));
            self.first = Vec::new();
        }
        self.triangle?.side(self.n, self.sum)
    }

    /// Variance of the first stage, once it is known.
    #[must_use]
    pub fn variance(&self) -> Option<f64> {
        self.variance
    }
}

/// A mean difference against 0, pair by pair. It keeps no values: there may be millions of such walks.
#[derive(Debug, Clone, Copy, Default)]
pub struct DifferenceTest {
    triangle: Option<Triangle>,
    sum: f64,
    n: usize,
}

impl DifferenceTest {
    /// Goes on as far as there are pairs: whether the first are less than the second, trusted from
    /// `indifference` on either side. Values are those of the earlier calls, and more.
    pub fn walk(
        &mut self,
        first: &[f64],
        second: &[f64],
        indifference: f64,
        h_squared: f64,
        first_stage: usize,
    ) -> Option<Side> {
        let difference = |(a, b): (&f64, &f64)| a - b;
        let pairs = || first.iter().zip(second);
        for step in pairs().skip(self.n).map(difference) {
            self.sum += step;
            self.n += 1;
            if self.triangle.is_none() && ends_a_stage(self.n, first_stage) {
                let so_far: Vec<f64> = pairs().take(self.n).map(difference).collect();
                let variance = first_variance(&so_far, first_stage, Alike::WaitAtZero);
                self.triangle = variance.map(|v| Triangle::new(h_squared, v, indifference));
            }
            let side = self.triangle.and_then(|t| t.side(self.n, self.sum));
            if side.is_some() {
                return side;
            }
        }
        None
    }
}

/// A share against a limit: Wald's test between the limit less and the limit plus the tolerance.
#[derive(Debug, Clone, Copy)]
pub struct ShareTest {
    /// What a case, and what none, adds to the logarithm of the likelihood ratio.
    case: f64,
    none: f64,
    bound: f64,
    log_ratio: f64,
}

impl ShareTest {
    /// Whether a share is above `limit`; trusted from `tolerance` on either side, cut to 0 and 1.
    #[must_use]
    pub fn new(limit: f64, tolerance: f64, beta: f64) -> Self {
        let low = (limit - tolerance).max(0.0);
        let high = (limit + tolerance).min(1.0);
        Self {
            case: libm::log(high / low),
            none: libm::log((1.0 - high) / (1.0 - low)),
            bound: -libm::log(beta),
            log_ratio: 0.0,
        }
    }

    /// Takes the next observation: whether it is a case.
    pub fn take(&mut self, is_case: bool) -> Option<Side> {
        self.log_ratio += if is_case { self.case } else { self.none };
        if self.log_ratio <= -self.bound {
            Some(Side::Below)
        } else if self.log_ratio >= self.bound {
            Some(Side::Above)
        } else {
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn eta_is_the_root_of_its_equation_and_none_where_there_is_none() {
        for beta in [0.4, 0.05, 0.01, 1e-6] {
            for first_stage in [2, 10, 50, 1000] {
                let eta = eta(beta, first_stage).unwrap();
                let half = -(first_stage as f64 - 1.0) / 2.0;
                let back = 0.5 * libm::pow(1.0 + 2.0 * eta, half);
                assert!((back / beta - 1.0).abs() < 1e-9, "{beta} {first_stage}");
            }
        }
        assert_eq!(eta(0.5, 10), None);
        assert_eq!(eta(0.05, 1), None);
        assert_eq!(eta(f64::NAN, 10), None);
    }

    #[test]
    fn the_triangle_closes_and_then_the_sign_decides() {
        // Height 4 x 1/(2 x 0.5) = 4, slope 0.25: closed from 16 on.
        let triangle = Triangle::new(4.0, 1.0, 0.5);
        assert_eq!(triangle.side(4, -2.9), None);
        assert_eq!(triangle.side(4, -3.0), Some(Side::Below));
        assert_eq!(triangle.side(4, 3.0), Some(Side::Above));
        assert_eq!(triangle.side(16, 0.001), Some(Side::Above));
        assert_eq!(triangle.side(16, 0.0), Some(Side::Below));
    }

    #[test]
    fn nothing_is_said_within_the_first_stage() {
        let mut test = MeanTest::new(0.0, 1.0, 3.0, 5);
        let steps = [100.0, 99.0, 101.0, 100.0];
        assert!(steps.iter().all(|step| test.take(*step).is_none()));
        assert_eq!(test.take(100.0), Some(Side::Above));
    }

    #[test]
    fn values_all_alike_are_looked_at_longer() {
        let mut test = MeanTest::new(0.5, 0.1, 3.0, 5);
        let first = (1..=100).find(|_| test.take(0.0).is_some());
        assert_eq!(first, Some(5 * PATIENCE));
        let mut late = vec![0.0; 19];
        late.push(20.0);
        let variance = |values| first_variance(values, 5, Alike::Wait);
        assert!((variance(&late).unwrap() - 20.0).abs() < 1e-9);
        assert_eq!(variance(&late[..19]), None);
    }

    #[test]
    fn a_constant_difference_is_known_at_once_but_a_tie_is_not() {
        let steps = |value: f64| {
            let mut test = DifferenceTest::default();
            let (first, second) = ([value; 100], [0.0; 100]);
            (1..=100).find(|n| {
                test.walk(&first[..*n], &second[..*n], 1.0, 3.0, 5)
                    .is_some()
            })
        };
        assert_eq!((steps(7.0), steps(-0.1)), (Some(5), Some(5)));
        assert_eq!(steps(0.0), Some(5 * PATIENCE));
    }

    #[test]
    fn a_share_of_nothing_or_all_has_no_nan() {
        // No case is allowed at all: the first one decides.
        let mut strict = ShareTest::new(0.0, 0.05, 0.01);
        assert_eq!(strict.take(true), Some(Side::Above));
        let mut strict = ShareTest::new(0.0, 0.05, 0.01);
        let first = (1..=1000).find(|_| strict.take(false).is_some());
        // ln 0.01/ln 0.95 = 89.8.
        assert_eq!(first, Some(90));
        let mut loose = ShareTest::new(0.98, 0.05, 0.01);
        assert_eq!(loose.take(false), Some(Side::Below));
    }
}
