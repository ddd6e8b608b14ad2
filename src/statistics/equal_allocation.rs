//! What it would take to choose with as many replications of every design: two-stage procedures.
//!
//! In: the spread of a first stage, the confidence, the indifference amount or tolerance. Out: how many
//! replications each design would need. Only for comparison with what a sequential choice has spent.
//!
//! Sources: Rinott, *Communications in Statistics A* 7, 1978 (independent systems); Clark and Yang,
//! *Winter Simulation Conference*, 1986 (common random numbers: Bonferroni on pairs); a share against a
//! limit by the normal approximation to two binomials (Fleiss). All from memory.

use super::interval::{normal, student_t};

/// Points of the trapezoidal rule over the logarithm of a chi-square variable. The integrand falls off
/// at both ends faster than any power, so the rule converges faster than any power too.
const POINTS: usize = 160;

/// Rinott's constant h: the probability of correct selection of the best of `systems` is `confidence` in
/// the least favourable case when each gets max(n₀, (h S/δ)²) replications, with `df` = n₀ − 1.
///
/// `None` unless there are at least two systems, `df` ≥ 1 and 1/`systems` < `confidence` < 1.
#[must_use]
pub fn rinott_h(systems: usize, confidence: f64, df: usize) -> Option<f64> {
    if systems < 2 || df < 1 || !(confidence < 1.0 && confidence * systems as f64 > 1.0) {
        return None;
    }
    let law = ChiSquare::of(df as f64);
    let (mut low, mut high) = (0.0, 1.0);
    while correct(&law, systems, high) < confidence && high < 1e6 {
        low = high;
        high *= 2.0;
    }
    while high - low > 1e-8 * high {
        let middle = 0.5 * (low + high);
        if correct(&law, systems, middle) < confidence {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(high)
}

/// A chi-square variable over its degrees of freedom, as points with their probabilities.
struct ChiSquare {
    /// df/x at each point.
    inverse: Vec<f64>,
    weight: Vec<f64>,
}

impl ChiSquare {
    /// In u = ln(x/df) the density is as exp(df/2 (u − e^u)).
    fn of(df: f64) -> Self {
        let half = 0.5 * df;
        let log_density = |u: f64| half * (u - libm::exp(u) + 1.0);
        // Where it has fallen to e⁻⁴⁰ of the peak on either side.
        let edge = |sign: f64| {
            let mut u = 0.0;
            while log_density(u) > -40.0 {
                u += sign * 0.05;
            }
            u
        };
        let (from, to) = (edge(-1.0), edge(1.0));
        let step = (to - from) / (POINTS - 1) as f64;
        let points = (0..POINTS).map(|i| from + step * i as f64);
        let (inverse, mut weight): (Vec<f64>, Vec<f64>) = points
            .map(|u| (libm::exp(-u), libm::exp(log_density(u))))
            .unzip();
        let total: f64 = weight.iter().sum();
        weight.iter_mut().for_each(|w| *w /= total);
        Self { inverse, weight }
    }
}

/// Probability of correct selection at this h: the mean over y of [the mean over x of
/// Φ(h/√(ν/x + ν/y))]^(k − 1).
fn correct(law: &ChiSquare, systems: usize, h: f64) -> f64 {
    let beaten = |y: f64| -> f64 {
        let one = |(x, w): (&f64, &f64)| w * phi(h / libm::sqrt(x + y));
        law.inverse.iter().zip(&law.weight).map(one).sum()
    };
    let all = |(y, w): (&f64, &f64)| w * libm::pow(beaten(*y), systems as f64 - 1.0);
    law.inverse.iter().zip(&law.weight).map(all).sum()
}

/// The standard normal distribution function.
fn phi(z: f64) -> f64 {
    0.5 * libm::erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// Replications of each by Rinott: (h S/δ)², rounded up.
#[must_use]
pub fn of_spread(h: f64, sd: f64, indifference: f64) -> u64 {
    let root = h * sd / indifference;
    (root * root).ceil() as u64
}

/// Student's quantile in place of h: of a difference of pairs (Clark and Yang), or of a mean against a
/// limit. `None` unless 0 < β < 1 and there are at least two observations.
#[must_use]
pub fn student_h(beta: f64, first_stage: usize) -> Option<f64> {
    student_t(first_stage as f64 - 1.0, 1.0 - beta)
}

/// Observations to distinguish a share of `limit` − `tolerance` from one of `limit` + `tolerance` (cut to 0 and
/// 1), with errors of at most β each, about. `None` unless 0 < β < 1.
#[must_use]
pub fn of_share(limit: f64, tolerance: f64, beta: f64) -> Option<u64> {
    let z = normal(1.0 - beta)?;
    let (low, high) = ((limit - tolerance).max(0.0), (limit + tolerance).min(1.0));
    let sd = |share: f64| libm::sqrt(share * (1.0 - share));
    let root = z * (sd(low) + sd(high)) / (high - low);
    Some((root * root).ceil() as u64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_systems_of_known_variance_are_a_normal_quantile() {
        // With very many degrees of freedom Φ(h/√2) = P*.
        let h = rinott_h(2, 0.95, 1_000_000).unwrap();
        assert!(
            (h - 1.644_854 * std::f64::consts::SQRT_2).abs() < 1e-4,
            "{h}"
        );
    }

    #[test]
    fn what_is_no_problem_has_no_constant() {
        assert_eq!(rinott_h(1, 0.95, 9), None);
        assert_eq!(rinott_h(4, 0.25, 9), None);
        assert_eq!(rinott_h(4, 1.0, 9), None);
        assert_eq!(rinott_h(4, f64::NAN, 9), None);
        assert_eq!(of_share(0.1, 0.05, 0.0), None);
    }

    #[test]
    fn a_share_needs_what_fleiss_says() {
        // 0.05 and 0.15, β 0.05: (1.644854 (0.217945 + 0.357071)/0.1)² = 89.46.
        assert_eq!(of_share(0.10, 0.05, 0.05), Some(90));
    }
}
