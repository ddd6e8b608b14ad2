//! Whether a piece comes out of the machine dirty.
//!
//! A piece comes out dirty with probability p = exp(−k(D) M). M says how much of a wash it had: 1 is a
//! normal wash, and it is the product of the factors below (contact time, loading, temperature and soil of
//! the water) and of the machine's own. k says how easily the soil comes off; it goes geometrically from k
//! of fresh soil to k of dried-on soil as the dryness D goes from 0 to 1. Two passes multiply, as they
//! should: exp(−k·2) = exp(−k)².
//!
//! Inside, k counts halvings, p = 2^(−k M): powers of two are what `libm` works out fastest, and every
//! piece asks for two.
//!
//! The two figures behind k can be estimated by anyone in the trade: how many in a hundred come out
//! dirty when fresh, and when dried on, in a normal wash. No published curve links minutes of drying to
//! washing: this form is an assumption, and reports say so.

/// The least probability, and the least distance from certainty, that the interpolation between fresh
/// and dried works with, so that k stays finite between its ends.
const MIN_PROBABILITY: f64 = f64::EPSILON / 4.0;

/// One soil in a normal wash, made once and asked for every piece.
///
/// ```
/// # use scullery::physics::washing::Wash;
/// let wash = Wash::new(0.02, 0.50);
/// assert!((wash.dirty_probability(0.0, 1.0) - 0.02).abs() < 1e-12);
/// assert!((wash.dirty_probability(1.0, 1.0) - 0.50).abs() < 1e-12);
/// // Half dry, and two passes of a dried-on piece.
/// assert!((wash.dirty_probability(0.5, 1.0) - 0.192685).abs() < 5e-7);
/// assert!((wash.dirty_probability(1.0, 2.0) - 0.25).abs() < 1e-12);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wash {
    /// k at a dryness of 0; infinite if fresh soil always comes off.
    fresh: f64,
    /// k at a dryness of 1; zero if dried soil never comes off.
    dried: f64,
    /// log2 k at a dryness of 0, kept finite unless both ends are the same.
    log_fresh: f64,
    /// log2 k gained from fresh to dried.
    log_slope: f64,
}

impl Wash {
    /// From the share still dirty after one normal wash when fresh, and when dried on.
    ///
    /// Shares of exactly 0 and 1 hold exactly at their end of the curve; between the ends they count as
    /// 1 in 2⁵⁴ short of certain.
    #[must_use]
    pub fn new(dirty_when_fresh: f64, dirty_when_dried: f64) -> Self {
        let (fresh, dried) = (removal(dirty_when_fresh), removal(dirty_when_dried));
        if fresh == dried {
            return Self {
                fresh,
                dried,
                log_fresh: libm::log2(fresh),
                log_slope: 0.0,
            };
        }
        let (log_fresh, log_dried) = (log_finite(fresh), log_finite(dried));
        Self {
            fresh,
            dried,
            log_fresh,
            log_slope: log_dried - log_fresh,
        }
    }

    /// How easily soil of this dryness comes off: k.
    #[inline]
    fn k(self, dryness: f64) -> f64 {
        if dryness <= 0.0 {
            self.fresh
        } else if dryness >= 1.0 {
            self.dried
        } else {
            libm::exp2(self.log_fresh + dryness * self.log_slope)
        }
    }

    /// Probability that a piece of this dryness comes out dirty; `factor` is M, 1 in a normal wash.
    ///
    /// No wash at all (`factor` 0) leaves every piece dirty.
    #[inline]
    #[must_use]
    pub fn dirty_probability(self, dryness: f64, factor: f64) -> f64 {
        if factor <= 0.0 {
            return 1.0;
        }
        libm::exp2(-self.k(dryness) * factor)
    }
}

/// k of a share dirty after one normal wash: −log2 p, between 0 and infinity.
fn removal(dirty: f64) -> f64 {
    (-libm::log2(dirty.clamp(0.0, 1.0))).abs()
}

/// log2 k, with k kept between those of a nearly certain and a nearly impossible dirty piece.
fn log_finite(k: f64) -> f64 {
    libm::log2(k.clamp(MIN_PROBABILITY, -libm::log2(MIN_PROBABILITY)))
}

/// Factor of the contact time: proportional, 1 at the time a normal wash needs.
///
/// ```
/// # use scullery::physics::washing::contact_factor;
/// assert_eq!(contact_factor(60.0, 120.0), 0.5);
/// ```
#[inline]
#[must_use]
pub fn contact_factor(contact_s: f64, needed_s: f64) -> f64 {
    if needed_s <= 0.0 {
        return 1.0;
    }
    contact_s / needed_s
}

/// Factor of the loading of the rack: 1 up to rated (`fill` 1), above it fill⁻².
///
/// That an overloaded rack washes worse is common practice; the power has no source.
///
/// ```
/// # use scullery::physics::washing::loading_factor;
/// assert_eq!(loading_factor(0.8), 1.0);
/// assert_eq!(loading_factor(2.0), 0.25);
/// ```
#[inline]
#[must_use]
pub fn loading_factor(fill: f64) -> f64 {
    let over = fill.max(1.0);
    1.0 / (over * over)
}

/// Factor of the temperature of the wash: 1 at its set point or above, and half as much each time it is
/// `halves_k` colder, 0.5^((set − T)/`halves_k`).
///
/// That warmer water washes better is common practice (the cleaning circle: time, mechanics, chemistry,
/// temperature); that each so many degrees halve it is an assumption, without a source.
///
/// ```
/// # use scullery::physics::washing::temperature_factor;
/// assert_eq!(temperature_factor(71.0, 71.0, 10.0), 1.0);
/// assert_eq!(temperature_factor(61.0, 71.0, 10.0), 0.5);
/// assert_eq!(temperature_factor(51.0, 71.0, 10.0), 0.25);
/// assert_eq!(temperature_factor(80.0, 71.0, 10.0), 1.0);
/// ```
#[inline]
#[must_use]
pub fn temperature_factor(temperature_c: f64, set_c: f64, halves_k: f64) -> f64 {
    let below_k = (set_c - temperature_c).max(0.0);
    libm::exp2(-below_k / halves_k)
}

/// Factor of the soil in the water of the wash: 1 when it is clean, a half at `halves_g_per_l`.
///
/// That dirty water washes worse is common practice; the form is an assumption, without a source.
///
/// ```
/// # use scullery::physics::washing::soil_factor;
/// assert_eq!(soil_factor(0.0, 10.0), 1.0);
/// assert_eq!(soil_factor(10.0, 10.0), 0.5);
/// ```
#[inline]
#[must_use]
pub fn soil_factor(g_per_l: f64, halves_g_per_l: f64) -> f64 {
    1.0 / (1.0 + g_per_l / halves_g_per_l)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn never_and_always_dirty_are_exact() {
        assert_eq!(Wash::new(0.0, 0.4).dirty_probability(0.0, 0.1), 0.0);
        assert_eq!(Wash::new(0.1, 1.0).dirty_probability(1.0, 3.0), 1.0);
        for dryness in [0.0, 0.3, 1.0] {
            assert_eq!(Wash::new(0.0, 0.0).dirty_probability(dryness, 0.1), 0.0);
            assert_eq!(Wash::new(1.0, 1.0).dirty_probability(dryness, 3.0), 1.0);
        }
    }

    #[test]
    fn between_never_and_always_the_curve_still_rises() {
        let wash = Wash::new(0.0, 1.0);
        let risks: Vec<f64> = (0..=10)
            .map(|i| wash.dirty_probability(f64::from(i) / 10.0, 1.0))
            .collect();
        assert!(risks.is_sorted(), "{risks:?}");
    }

    #[test]
    fn only_an_overloaded_rack_washes_worse() {
        assert_eq!(
            (
                loading_factor(0.0),
                loading_factor(1.0),
                loading_factor(2.0)
            ),
            (1.0, 1.0, 0.25)
        );
    }

    #[test]
    fn no_wash_leaves_it_dirty() {
        assert_eq!(Wash::new(0.0, 0.0).dirty_probability(0.0, 0.0), 1.0);
    }
}
