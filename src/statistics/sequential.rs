//! Sequential test of a share: which side of a limit it lies on, looking after every observation.
//!
//! In: observation after observation, whether it is a case. Out: [`Side`] as soon as the data say so. The
//! test errs with at most the probability β it was made with, at or beyond the tolerance it was made for;
//! nearer to the limit either answer is allowed.
//!
//! Wald, *Sequential Analysis*, 1947 (from memory), with the limits ±ln(1/β), which by Ville's inequality
//! bound the error strictly, for any n: no normality, no batches.

/// Where a share or a mean lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Below the limit.
    Below,
    /// Above it.
    Above,
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
    /// Whether a share is above `limit`; trusted from `tolerance` on either side. Where that goes beyond 0 or 1,
    /// nine tenths of the way there: otherwise one case, or none, would decide. Further out the errors are
    /// smaller still.
    #[must_use]
    pub fn new(limit: f64, tolerance: f64, beta: f64) -> Self {
        let low = (limit - tolerance).max(0.1 * limit);
        let high = (limit + tolerance).min(1.0 - 0.1 * (1.0 - limit));
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
    fn a_share_of_nothing_or_all_has_no_nan() {
        // No case is allowed at all: the first one decides.
        let mut strict = ShareTest::new(0.0, 0.05, 0.01);
        assert_eq!(strict.take(true), Some(Side::Above));
        let mut strict = ShareTest::new(0.0, 0.05, 0.01);
        let first = (1..=1000).find(|_| strict.take(false).is_some());
        // ln 0.01/ln 0.95 = 89.8.
        assert_eq!(first, Some(90));
        // A tolerance as wide as the limit: one case alone does not decide, nor does one that is none.
        let mut wide = ShareTest::new(0.05, 0.05, 0.01);
        assert_eq!(wide.take(true), None);
        let mut loose = ShareTest::new(0.98, 0.05, 0.01);
        assert_eq!(loose.take(false), None);
    }
}
