//! Differences between two scenarios where replications of some kinds were taken more often than they come.
//!
//! In: for each stratum its share of all replications, and pairs drawn from it. Out: the mean difference over all
//! replications. Each stratum counts for its share, however many pairs it has, so the estimate is as true as a
//! plain mean of unselected pairs. With one stratum it is [`paired`](super::paired::paired), to the last bit.
//!
//! Sources: stratified sampling as in Cochran, *Sampling Techniques*, ch. 5, degrees of freedom by Satterthwaite (from
//! memory).

use super::interval::{Sample, student_two_sided_p, two_sided_t};

/// Pairs from one stratum.
#[derive(Debug, Clone)]
pub struct Stratum {
    /// Its share of all replications.
    pub weight: f64,
    /// Values of one side.
    pub first: Vec<f64>,
    /// The same replications on the other.
    pub second: Vec<f64>,
}

/// The first side less the second, over all replications.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stratified {
    /// Pairs of all strata.
    pub n: usize,
    /// Mean difference.
    pub mean_difference: f64,
    /// Mean of the second side.
    pub second_mean: f64,
    /// Standard error of the mean difference; none if a stratum has a single pair.
    pub standard_error: Option<f64>,
    /// Degrees of freedom, not whole as a rule.
    pub df: f64,
}

/// Compares both sides; nothing unless every stratum has pairs of finite values.
///
/// ```
/// # use scullery::statistics::stratified::{stratified, Stratum};
/// // One replication in ten has trouble, and half of the pairs are of those.
/// let of = |weight, first: [f64; 2], second: [f64; 2]| Stratum {
///     weight,
///     first: first.to_vec(),
///     second: second.to_vec(),
/// };
/// let found = stratified(&[of(0.9, [1.0, 1.0], [1.0, 1.0]), of(0.1, [1.0, 2.0], [6.0, 8.0])]);
/// assert!((found.unwrap().mean_difference + 0.55).abs() < 1e-12);
/// ```
#[must_use]
pub fn stratified(strata: &[Stratum]) -> Option<Stratified> {
    let mut all = Stratified {
        n: 0,
        mean_difference: 0.0,
        second_mean: 0.0,
        standard_error: Some(0.0),
        df: 0.0,
    };
    let (mut variance, mut spread, mut pairs) = (0.0, 0.0, 0.0);
    for stratum in strata {
        let both = stratum.first.iter().zip(&stratum.second);
        let differences: Vec<f64> = both.map(|(a, b)| a - b).collect();
        let difference = Sample::of(&differences)?;
        let share = if strata.len() == 1 {
            1.0
        } else {
            stratum.weight
        };
        all.n += difference.n;
        all.mean_difference += share * difference.mean;
        all.second_mean += share * Sample::of(&stratum.second)?.mean;
        let error = difference.standard_error().map(|error| share * error);
        all.standard_error = all.standard_error.and(error);
        let own = error.unwrap_or(0.0) * error.unwrap_or(0.0);
        variance += own;
        pairs += difference.n as f64 - 1.0;
        spread += own * own / (difference.n as f64 - 1.0).max(1.0);
    }
    if let ([only], Some(_)) = (strata, all.standard_error) {
        let both = only.first.iter().zip(&only.second);
        let differences: Vec<f64> = both.map(|(a, b)| a - b).collect();
        all.standard_error = Sample::of(&differences)?.standard_error();
        all.df = pairs;
    } else {
        all.standard_error = all.standard_error.map(|_| libm::sqrt(variance));
        all.df = if spread > 0.0 {
            variance * variance / spread
        } else {
            pairs
        };
    }
    (all.n > 0).then_some(all)
}

impl Stratified {
    /// Half-width of the interval of the mean difference.
    #[must_use]
    pub fn half_width(self, level: f64) -> Option<f64> {
        Some(two_sided_t(self.df, level)? * self.standard_error?)
    }

    /// Two-sided p-value of no difference; a mean that does not vary is certain, one way or the other.
    #[must_use]
    pub fn p_value(self) -> Option<f64> {
        let error = self.standard_error?;
        if error > 0.0 {
            return student_two_sided_p(self.df, self.mean_difference / error);
        }
        Some(if self.mean_difference == 0.0 {
            1.0
        } else {
            0.0
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::paired::paired;
    use super::*;

    const FIRST: [f64; 5] = [3.0, 5.5, 1.0, 8.0, 2.5];
    const SECOND: [f64; 5] = [2.0, 7.0, 1.5, 5.0, 0.1];

    fn stratum(weight: f64, at: std::ops::Range<usize>) -> Stratum {
        let [first, second] = [FIRST, SECOND].map(|side| side[at.clone()].to_vec());
        Stratum {
            weight,
            first,
            second,
        }
    }

    #[test]
    fn one_stratum_is_paired_to_the_last_bit() {
        let (one, plain) = (
            stratified(&[stratum(0.3, 0..5)]).unwrap(),
            paired(&FIRST, &SECOND).unwrap(),
        );
        assert_eq!(one.mean_difference, plain.mean_difference);
        assert_eq!(one.half_width(0.95), plain.half_width(0.95));
        assert_eq!(one.p_value(), plain.p_value());
    }

    /// By hand: differences 1, −1.5 and −0.5, 3, 2.4; variances of their means 25/16 and 1.1633.
    #[test]
    fn strata_count_for_their_shares() {
        let two = stratified(&[stratum(0.8, 0..2), stratum(0.2, 2..5)]).unwrap();
        let mean = 0.8 * -0.25 + 0.2 * (4.9 / 3.0);
        assert!((two.mean_difference - mean).abs() < 1e-12);
        let of_last = [-0.5_f64, 3.0, 2.4].map(|d| (d - 4.9 / 3.0) * (d - 4.9 / 3.0));
        let (a, b) = (0.64 * 1.5625, 0.04 * of_last.iter().sum::<f64>() / 6.0);
        assert!((two.standard_error.unwrap() - libm::sqrt(a + b)).abs() < 1e-12);
        assert!((two.df - (a + b) * (a + b) / (a * a + b * b / 2.0)).abs() < 1e-9);
    }

    #[test]
    fn a_stratum_without_pairs_is_nothing_and_a_single_pair_has_no_error() {
        assert_eq!(stratified(&[stratum(0.8, 0..3), stratum(0.2, 3..3)]), None);
        assert_eq!(stratified(&[]), None);
        let single = stratified(&[stratum(0.8, 0..3), stratum(0.2, 3..4)]).unwrap();
        assert_eq!((single.half_width(0.95), single.p_value()), (None, None));
    }
}
