//! How pre-rinse and soak make a dried film wet again.
//!
//! In: the dryness before, 0 fresh to 1 fully dry. Out: the dryness after, never higher. To go on
//! drying from there, take [`theta_of`](super::drying::theta_of) it.
//!
//! Neither law has a published constant: that soaking eases removal, warm water most, is published
//! (Lee and Mok, *Food Engineering Progress* 17(1), 2013); the exponential form and the share are
//! common practice, no source.

/// Dryness after a pre-rinse that takes the share `wets` of it away.
///
/// ```
/// # use scullery::physics::wetting::pre_rinsed;
/// assert_eq!(pre_rinsed(0.8, 0.5), 0.4);
/// ```
#[inline]
#[must_use]
pub fn pre_rinsed(dryness: f64, wets: f64) -> f64 {
    dryness * (1.0 - wets)
}

/// Dryness after `time_s` in the soak: it falls as exp(−t/tau).
///
/// A time constant of 0 wets at once; no time in the soak changes nothing.
///
/// ```
/// # use scullery::physics::wetting::soaked;
/// assert!((soaked(0.9, 300.0, 300.0) - 0.3311).abs() < 5e-5);
/// ```
#[inline]
#[must_use]
pub fn soaked(dryness: f64, time_s: f64, time_constant_s: f64) -> f64 {
    if time_s <= 0.0 {
        return dryness;
    }
    dryness * libm::exp(-time_s / time_constant_s.max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_full_pre_rinse_makes_fresh_and_none_changes_nothing() {
        assert_eq!(pre_rinsed(0.9, 1.0), 0.0);
        assert_eq!(pre_rinsed(0.9, 0.0), 0.9);
    }

    #[test]
    fn the_ends_of_the_soak() {
        assert_eq!(soaked(0.9, 0.0, 300.0), 0.9);
        assert_eq!(soaked(0.9, 0.0, 0.0), 0.9);
        assert_eq!(soaked(0.9, 10.0, 0.0), 0.0);
    }
}
