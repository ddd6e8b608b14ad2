//! Whether a mean is known well enough to stop.
//!
//! In: the sample so far and the target, a half-width as a share of the mean. Out: met or not. The
//! relative-precision rule of sequential sampling (Law, *Simulation Modeling and Analysis*, ch. 9, from
//! memory); since it looks at the interval again and again, the cover it gives is a little below the
//! level, the less so the more replications it starts from.

use super::interval::Sample;

/// Half-width as a share of the mean; `None` of a single value or a mean of 0 that varies.
#[must_use]
pub fn relative_half_width(sample: Sample, level: f64) -> Option<f64> {
    let half_width = sample.half_width(level)?;
    if half_width == 0.0 {
        return Some(0.0);
    }
    let share = half_width / sample.mean.abs();
    share.is_finite().then_some(share)
}

/// Whether the half-width is at most the share `relative` of the mean.
///
/// What never varies has met every target; a single value none.
///
/// ```
/// # use scullery::statistics::{interval::Sample, precision::met};
/// let sample = Sample::of(&[9.0, 10.0, 11.0, 10.0]).unwrap();
/// assert!(met(sample, 0.15, 0.95));
/// assert!(!met(sample, 0.05, 0.95));
/// ```
#[must_use]
pub fn met(sample: Sample, relative: f64, level: f64) -> bool {
    relative_half_width(sample, level).is_some_and(|share| share <= relative)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_value_meets_nothing_and_equal_ones_everything() {
        assert!(!met(Sample::of(&[5.0]).unwrap(), 10.0, 0.95));
        assert!(met(Sample::of(&[5.0, 5.0]).unwrap(), 0.0, 0.95));
        assert!(met(Sample::of(&[0.0, 0.0]).unwrap(), 0.05, 0.95));
    }

    #[test]
    fn a_mean_of_zero_that_varies_has_no_relative_width() {
        let around_zero = Sample::of(&[-1.0, 1.0]).unwrap();
        assert_eq!(relative_half_width(around_zero, 0.95), None);
        assert!(!met(around_zero, 1e6, 0.95));
    }

    #[test]
    fn the_sign_of_the_mean_does_not_matter() {
        let (gain, loss) = (
            Sample::of(&[9.0, 11.0]).unwrap(),
            Sample::of(&[-9.0, -11.0]).unwrap(),
        );
        assert_eq!(
            relative_half_width(gain, 0.95),
            relative_half_width(loss, 0.95)
        );
    }
}
