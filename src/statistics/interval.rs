//! Means with Student intervals, and shares with Wilson intervals.
//!
//! In: values in index order, or a count of successes. Out: mean, standard deviation, half-width, the
//! ends of an interval, in the unit of the values.
//!
//! Sources: Student's distribution through `statrs` up to 1000 degrees of freedom; above, where its
//! continued fraction may stop before it has converged, the expansion in the normal quantile
//! (Abramowitz and Stegun 26.7.5, from memory) and Hill's normal deviate (Algorithm 395, 1970, from
//! memory). Wilson's score interval as in Newcombe (*Statistics in Medicine* 17, 1998; from memory).

use std::f64::consts::{FRAC_1_SQRT_2, SQRT_2};

use statrs::distribution::{ContinuousCDF, StudentsT};
use statrs::function::{beta::beta_reg, erf::erfc_inv};

/// Above this many degrees of freedom Student's distribution is taken from expansions around the normal.
const MANY_DEGREES_OF_FREEDOM: f64 = 1000.0;

/// Quantile of the standard normal distribution; `None` unless 0 < `probability` < 1.
#[must_use]
pub fn normal(probability: f64) -> Option<f64> {
    (probability > 0.0 && probability < 1.0).then(|| SQRT_2 * erfc_inv(2.0 * (1.0 - probability)))
}

/// Quantile of Student's distribution with `df` degrees of freedom, which need not be whole.
///
/// `None` unless `df` > 0 and 0 < `probability` < 1.
///
/// ```
/// # use scullery::statistics::interval::student_t;
/// assert!((student_t(9.0, 0.975).unwrap() - 2.2622).abs() < 5e-5);
/// assert!(student_t(0.0, 0.975).is_none());
/// ```
#[must_use]
pub fn student_t(df: f64, probability: f64) -> Option<f64> {
    let z = normal(probability)?;
    if df > MANY_DEGREES_OF_FREEDOM {
        return Some(student_from_normal(df, z));
    }
    let distribution = StudentsT::new(0.0, 1.0, df).ok()?;
    // The upper half, mirrored, so that both halves are the same to the last bit.
    let upper = distribution.inverse_cdf(probability.max(1.0 - probability));
    Some(if probability < 0.5 { -upper } else { upper })
}

/// Student's quantile from the normal one, for many degrees of freedom (Abramowitz and Stegun 26.7.5,
/// from memory). Its error is of the order of `df`⁻⁵.
fn student_from_normal(df: f64, z: f64) -> f64 {
    let s = z * z;
    let first = (s + 1.0) / 4.0;
    let second = ((5.0 * s + 16.0) * s + 3.0) / 96.0;
    let third = (((3.0 * s + 19.0) * s + 17.0) * s - 15.0) / 384.0;
    let fourth = ((((79.0 * s + 776.0) * s + 1482.0) * s - 1920.0) * s - 945.0) / 92_160.0;
    z * (1.0 + (first + (second + (third + fourth / df) / df) / df) / df)
}

/// Probability that a Student variable is at least as far from zero as `t`: the two-sided p-value.
///
/// `None` unless `df` > 0 and `t` is a number.
#[must_use]
pub fn student_two_sided_p(df: f64, t: f64) -> Option<f64> {
    if df.is_nan() || df <= 0.0 || t.is_nan() {
        return None;
    }
    if df > MANY_DEGREES_OF_FREEDOM {
        return Some(libm::erfc(hill_deviate(df, t) * FRAC_1_SQRT_2));
    }
    Some(beta_reg(0.5 * df, 0.5, df / (df + t * t)))
}

/// Normal deviate with the same two-sided probability as `t` (Hill, Algorithm 395, 1970, from memory).
fn hill_deviate(df: f64, t: f64) -> f64 {
    let a = df - 0.5;
    let b = 48.0 * a * a;
    let y = a * libm::log1p(t * t / df);
    let tail = (((-0.4 * y - 3.3) * y - 24.0) * y - 85.5) / (0.8 * y * y + 100.0 + b);
    libm::sqrt(y) * ((tail + y + 3.0) / b + 1.0)
}

/// The t of a two-sided interval of this level.
pub(super) fn two_sided_t(df: f64, level: f64) -> Option<f64> {
    student_t(df, 0.5 + 0.5 * level)
}

/// What a set of values says about its mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// How many values.
    pub n: usize,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation (n − 1 below); a single value has none.
    pub sd: Option<f64>,
}

impl Sample {
    /// Of these values, added up in their order; `None` if there are none or one is not finite.
    ///
    /// Two passes around the first value, so that a large common offset costs no digits and equal values
    /// have a standard deviation of exactly 0.
    #[must_use]
    pub fn of(values: &[f64]) -> Option<Self> {
        let first = *values.first()?;
        let n = values.len() as f64;
        let mean = first + values.iter().map(|x| x - first).sum::<f64>() / n;
        let squares: f64 = values.iter().map(|x| (x - mean) * (x - mean)).sum();
        let sd = (values.len() > 1).then(|| libm::sqrt(squares / (n - 1.0)));
        (mean + squares).is_finite().then_some(Self {
            n: values.len(),
            mean,
            sd,
        })
    }

    /// Standard error of the mean; `None` for a single value.
    #[must_use]
    pub fn standard_error(self) -> Option<f64> {
        Some(self.sd? / libm::sqrt(self.n as f64))
    }

    /// Half-width of Student's interval of the mean; `None` for a single value, 0 if nothing varies.
    #[must_use]
    pub fn half_width(self, level: f64) -> Option<f64> {
        let error = self.standard_error()?;
        Some(two_sided_t(self.n as f64 - 1.0, level)? * error)
    }
}

/// Wilson's score interval of a share: `successes` out of `n`.
///
/// Always within 0 and 1, and of some width even when all or none succeed. With nothing observed, or a
/// level that is none, it is all of 0 to 1.
///
/// ```
/// # use scullery::statistics::interval::wilson;
/// let (low, high) = wilson(0, 20, 0.95);
/// assert_eq!(low, 0.0);
/// assert!((high - 0.161125).abs() < 5e-7);
/// ```
#[must_use]
pub fn wilson(successes: u64, n: u64, level: f64) -> (f64, f64) {
    let Some(z) = normal(0.5 + 0.5 * level).filter(|_| n > 0) else {
        return (0.0, 1.0);
    };
    let (n_f, share) = (n as f64, successes as f64 / n as f64);
    let spread = z * libm::sqrt(share * (1.0 - share) / n_f + z * z / (4.0 * n_f * n_f));
    let middle = share + z * z / (2.0 * n_f);
    let scale = 1.0 + z * z / n_f;
    let low = if successes == 0 {
        0.0
    } else {
        (middle - spread) / scale
    };
    let high = if successes >= n {
        1.0
    } else {
        (middle + spread) / scale
    };
    (low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_single_value_has_a_mean_and_no_interval() {
        let one = Sample::of(&[3.5]).unwrap();
        assert_eq!(
            (one.n, one.mean, one.sd, one.half_width(0.95)),
            (1, 3.5, None, None)
        );
        assert_eq!(Sample::of(&[]), None);
        assert_eq!(Sample::of(&[1.0, f64::NAN]), None);
        assert_eq!(Sample::of(&[1.0, f64::INFINITY]), None);
    }

    #[test]
    fn equal_values_do_not_vary_at_all() {
        let same = Sample::of(&[0.1; 7]).unwrap();
        assert_eq!(same.sd, Some(0.0));
        assert_eq!(same.half_width(0.95), Some(0.0));
    }

    #[test]
    fn a_large_offset_costs_no_digits() {
        let sample = Sample::of(&[1e9 + 4.0, 1e9 + 7.0, 1e9 + 13.0, 1e9 + 16.0]).unwrap();
        assert_eq!(
            sample.sd.map(|sd| sd * sd),
            Some(30.0).map(|v: f64| v.sqrt() * v.sqrt())
        );
    }

    #[test]
    fn the_quantile_is_odd_around_a_half() {
        for df in [1.0, 7.992, 999.0, 50_000.0] {
            assert_eq!(
                student_t(df, 0.025).unwrap(),
                -student_t(df, 0.975).unwrap()
            );
            assert_eq!(student_t(df, 0.5).unwrap(), 0.0);
        }
    }

    #[test]
    fn quantile_and_p_value_agree_across_the_change_of_method() {
        for df in [2.0, 7.992, 30.0, 999.0, 1000.0, 1001.0, 20_000.0, 1e7] {
            for level in [0.5, 0.9, 0.95, 0.99, 0.999] {
                let p = student_two_sided_p(df, two_sided_t(df, level).unwrap()).unwrap();
                assert!((p - (1.0 - level)).abs() < 1e-10, "{df} {level}: {p}");
            }
        }
    }

    #[test]
    fn hill_and_the_incomplete_beta_function_agree() {
        for df in [100.0, 400.0, 1000.0] {
            for t in [0.1, 1.0, 2.0, 4.0] {
                let exact = student_two_sided_p(df, t).unwrap();
                let hill = libm::erfc(hill_deviate(df, t) * FRAC_1_SQRT_2);
                assert!(
                    (hill / exact - 1.0).abs() < 1e-9,
                    "{df} {t}: {hill} {exact}"
                );
            }
        }
    }

    #[test]
    fn what_is_no_level_gives_no_interval() {
        let sample = Sample::of(&[1.0, 2.0]).unwrap();
        assert_eq!(sample.half_width(1.0), None);
        assert_eq!(sample.half_width(f64::NAN), None);
        assert_eq!(wilson(0, 0, 0.95), (0.0, 1.0));
        assert_eq!(student_two_sided_p(0.0, 1.0), None);
    }
}
