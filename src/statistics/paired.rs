//! Differences between two scenarios, and what several comparisons at once may claim.
//!
//! In: values of one measure under both, in index order; the difference is always the first less the
//! second. With common random numbers the replications pair up: guests, soil and luck are the same, and
//! what varies is what the change does. Out: mean difference, intervals, p-values.
//!
//! Sources: paired and Welch intervals as in Law, *Simulation Modeling and Analysis*, ch. 10 (from
//! memory); Holm, *Scandinavian Journal of Statistics* 6, 1979 (from memory).

use super::interval::{Sample, student_two_sided_p, two_sided_t};

/// Replication by replication, the first scenario less the second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paired {
    /// Number of pairs.
    pub n: usize,
    /// Mean of the differences.
    pub mean_difference: f64,
    /// Standard deviation of the differences; a single pair has none.
    pub sd: Option<f64>,
    /// Share of the variance of the difference that pairing saves, against independent replications: 0
    /// none, 1 all, below 0 if it does harm. `None` of a single pair or if neither scenario varies.
    pub variance_saved_share: Option<f64>,
}

/// Compares two scenarios pair by pair; `None` unless both have the same number of finite values.
///
/// ```
/// # use scullery::statistics::paired::paired;
/// let quicker = paired(&[12.0, 15.0, 11.0], &[10.0, 14.0, 9.0]).unwrap();
/// assert!((quicker.mean_difference - 5.0 / 3.0).abs() < 1e-12);
/// assert!(quicker.variance_saved_share.unwrap() > 0.9);
/// ```
#[must_use]
pub fn paired(first: &[f64], second: &[f64]) -> Option<Paired> {
    if first.len() != second.len() {
        return None;
    }
    let differences: Vec<f64> = first.iter().zip(second).map(|(a, b)| a - b).collect();
    let (a, b, d) = (
        Sample::of(first)?,
        Sample::of(second)?,
        Sample::of(&differences)?,
    );
    let variance_saved_share = variance_saved(a.sd, b.sd, d.sd);
    Some(Paired {
        n: d.n,
        mean_difference: d.mean,
        sd: d.sd,
        variance_saved_share,
    })
}

/// 1 − Var(A − B)/(Var A + Var B).
fn variance_saved(a_sd: Option<f64>, b_sd: Option<f64>, difference_sd: Option<f64>) -> Option<f64> {
    let (a, b, d) = (a_sd?, b_sd?, difference_sd?);
    let independent = a * a + b * b;
    (independent > 0.0).then(|| 1.0 - d * d / independent)
}

impl Paired {
    /// The differences as a sample of their own.
    fn differences(self) -> Sample {
        Sample {
            n: self.n,
            mean: self.mean_difference,
            sd: self.sd,
        }
    }

    /// Half-width of the interval of the mean difference; `None` of a single pair.
    #[must_use]
    pub fn half_width(self, level: f64) -> Option<f64> {
        self.differences().half_width(level)
    }

    /// Two-sided p-value of no difference; `None` of a single pair.
    #[must_use]
    pub fn p_value(self) -> Option<f64> {
        p_value(
            self.mean_difference,
            self.differences().standard_error()?,
            self.n as f64 - 1.0,
        )
    }
}

/// Two-sided p-value of a mean; one that does not vary is certain, one way or the other.
fn p_value(mean: f64, standard_error: f64, df: f64) -> Option<f64> {
    if standard_error > 0.0 {
        return student_two_sided_p(df, mean / standard_error);
    }
    Some(if mean == 0.0 { 1.0 } else { 0.0 })
}

/// Two scenarios whose replications do not pair up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Welch {
    /// Mean of the first less mean of the second.
    pub mean_difference: f64,
    /// Standard error of it.
    pub standard_error: f64,
    /// Welch's degrees of freedom, not whole as a rule.
    pub df: f64,
}

/// Compares two independent samples of any sizes; `None` if either has fewer than two values.
///
/// If neither varies the standard error is 0 and the degrees of freedom are those of both together.
#[must_use]
pub fn welch(first: Sample, second: Sample) -> Option<Welch> {
    let (a, b) = (first.standard_error()?, second.standard_error()?);
    let (a, b) = (a * a, b * b);
    let (a_df, b_df) = (first.n as f64 - 1.0, second.n as f64 - 1.0);
    let df = if a + b > 0.0 {
        // Shares of the variance, so that nothing under- or overflows.
        let share = a / (a + b);
        1.0 / (share * share / a_df + (1.0 - share) * (1.0 - share) / b_df)
    } else {
        a_df + b_df
    };
    Some(Welch {
        mean_difference: first.mean - second.mean,
        standard_error: libm::sqrt(a + b),
        df,
    })
}

impl Welch {
    /// Half-width of the interval of the difference.
    #[must_use]
    pub fn half_width(self, level: f64) -> Option<f64> {
        Some(two_sided_t(self.df, level)? * self.standard_error)
    }

    /// Two-sided p-value of no difference.
    #[must_use]
    pub fn p_value(self) -> Option<f64> {
        p_value(self.mean_difference, self.standard_error, self.df)
    }
}

/// Holm's adjusted p-values, in the order given: those at or below α are rejected together, and the
/// chance of any false one among them is at most α.
///
/// ```
/// # use scullery::statistics::paired::holm;
/// assert_eq!(holm(&[0.01, 0.04, 0.03, 0.005]), [0.03, 0.06, 0.06, 0.02]);
/// ```
#[must_use]
pub fn holm(p_values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..p_values.len()).collect();
    order.sort_by(|&i, &j| p_values[i].total_cmp(&p_values[j]));
    let mut adjusted = vec![0.0; p_values.len()];
    let mut least = 0.0_f64;
    for (place, &i) in order.iter().enumerate() {
        let still_open = (p_values.len() - place) as f64;
        least = least.max((p_values[i] * still_open).min(1.0));
        adjusted[i] = least;
    }
    adjusted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unequal_lengths_do_not_pair() {
        assert_eq!(paired(&[1.0, 2.0], &[1.0]), None);
        assert_eq!(paired(&[], &[]), None);
    }

    #[test]
    fn a_scenario_against_itself_has_no_difference() {
        let same = paired(&[3.0, 5.0, 4.0], &[3.0, 5.0, 4.0]).unwrap();
        assert_eq!(
            (same.mean_difference, same.half_width(0.95)),
            (0.0, Some(0.0))
        );
        assert_eq!(same.variance_saved_share, Some(1.0));
        assert_eq!(same.p_value(), Some(1.0));
    }

    #[test]
    fn a_constant_difference_is_certain() {
        let shifted = paired(&[3.0, 5.0, 4.0], &[2.0, 4.0, 3.0]).unwrap();
        assert_eq!(
            (shifted.half_width(0.95), shifted.p_value()),
            (Some(0.0), Some(0.0))
        );
    }

    #[test]
    fn a_single_pair_claims_nothing() {
        let one = paired(&[3.0], &[2.0]).unwrap();
        assert_eq!(
            (one.mean_difference, one.half_width(0.95), one.p_value()),
            (1.0, None, None)
        );
        assert_eq!(one.variance_saved_share, None);
    }

    #[test]
    fn samples_that_do_not_vary_have_no_nan() {
        let (a, b) = (
            Sample::of(&[2.0, 2.0]).unwrap(),
            Sample::of(&[1.0, 1.0, 1.0]).unwrap(),
        );
        let welch = welch(a, b).unwrap();
        assert_eq!(
            (welch.half_width(0.95), welch.p_value(), welch.df),
            (Some(0.0), Some(0.0), 3.0)
        );
    }

    #[test]
    fn holm_of_nothing_is_nothing_and_never_above_one() {
        assert!(holm(&[]).is_empty());
        assert_eq!(holm(&[0.7, 0.8]), [1.0, 1.0]);
    }
}
