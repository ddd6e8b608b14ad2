//! Sample quantiles, and intervals for them between two order statistics.
//!
//! In: values sorted upwards, or only how many there are. Out: a value, or the ranks, counted from 1,
//! between which the quantile lies.
//!
//! The quantile is the smallest value at or below which lies at least the share p of the sample
//! (nearest rank; type 1 of Hyndman and Fan, *The American Statistician* 50(4), 1996, from memory). It
//! is always a value that occurred, and it inverts the same distribution function that the interval is
//! about.
//!
//! The interval holds for any distribution: the number of values below the quantile is binomial
//! (David and Nagaraja, *Order Statistics*, from memory). Of all intervals with both ends in the sample
//! and coverage of at least the level, the one with the fewest ranks is taken, then the one with the
//! highest coverage, then the lowest.

/// The sample quantile of values sorted upwards; `None` of no values or unless 0 ≤ `p` ≤ 1.
///
/// ```
/// # use scullery::statistics::quantile::quantile;
/// let waits_min = [1.0, 2.0, 3.0, 5.0, 8.0, 13.0, 21.0, 34.0, 55.0, 89.0];
/// assert_eq!(quantile(&waits_min, 0.5), Some(8.0));
/// assert_eq!(quantile(&waits_min, 0.9), Some(55.0));
/// ```
#[must_use]
pub fn quantile(sorted: &[f64], p: f64) -> Option<f64> {
    sorted.get(nearest_rank(sorted.len(), p)? - 1).copied()
}

/// Rank of the sample quantile among `n` values, counted from 1: the smallest k with k/n ≥ p.
///
/// `None` of no values or unless 0 ≤ `p` ≤ 1. A product n·p that misses a whole number by rounding only
/// counts as that number.
#[must_use]
pub fn nearest_rank(n: usize, p: f64) -> Option<usize> {
    if n == 0 || !(0.0..=1.0).contains(&p) {
        return None;
    }
    let exact = n as f64 * p;
    let rank = (exact - exact * 4.0 * f64::EPSILON).ceil() as usize;
    Some(rank.clamp(1, n))
}

/// Ranks, counted from 1, of the two values between which the quantile lies with at least this level.
///
/// Among 1 to `n`, both ends finite; `None` where no such interval exists: at 95 % none for the 0.9
/// quantile below n = 29. It depends on `n` alone, so one call serves all measures of a study; the work
/// is of the order of √n.
///
/// ```
/// # use scullery::statistics::quantile::order_statistic_interval;
/// assert_eq!(order_statistic_interval(100, 0.5, 0.95), Some((40, 60)));
/// assert_eq!(order_statistic_interval(28, 0.9, 0.95), None);
/// ```
#[must_use]
pub fn order_statistic_interval(n: usize, p: f64, level: f64) -> Option<(usize, usize)> {
    Some(order_statistic_interval_with_coverage(n, p, level)?.0)
}

/// As [`order_statistic_interval`], with the exact coverage.
#[must_use]
pub fn order_statistic_interval_with_coverage(
    n: usize,
    p: f64,
    level: f64,
) -> Option<((usize, usize), f64)> {
    if n < 2 || !(p > 0.0 && p < 1.0) || !(level > 0.0 && level < 1.0) {
        return None;
    }
    let mut window = Window::at_mode(n, p);
    while window.coverage() < level {
        window.widen()?;
    }
    // The interval from rank l to rank u covers when l to u - 1 values lie below the quantile.
    Some(((window.low.count, window.high.count + 1), window.coverage()))
}

/// Number of values below the quantile, with its probability in units of that of the mode.
#[derive(Clone, Copy)]
struct Term {
    count: usize,
    weight: f64,
}

/// The most probable run of counts below the quantile: it starts at the mode and takes in the more
/// probable neighbour, which is the best run of every length since the probabilities fall away from the
/// mode on both sides.
///
/// Weights come from the ratio of neighbours and are divided by their sum: no factorial, no logarithm,
/// nothing that underflows before it has ceased to matter.
struct Window {
    n: usize,
    odds: f64,
    low: Term,
    high: Term,
    inside: f64,
    total: f64,
}

impl Window {
    /// The run of the mode alone, or of the nearest count to it from 1 to n − 1.
    fn at_mode(n: usize, p: f64) -> Self {
        let odds = p / (1.0 - p);
        let count = ((n as f64 + 1.0) * p) as usize;
        let mode = Term {
            count: count.min(n),
            weight: 1.0,
        };
        let up = |term| above(n, odds, term);
        let down = |term| below(n, odds, term);
        let total = 1.0 + tail(mode, up) + tail(mode, down);
        let inward = match mode.count {
            0 => up(mode),
            count if count == n => down(mode),
            _ => None,
        };
        let start = inward.unwrap_or(mode);
        Self {
            n,
            odds,
            low: start,
            high: start,
            inside: start.weight,
            total,
        }
    }

    /// Exact probability of the run.
    fn coverage(&self) -> f64 {
        self.inside / self.total
    }

    /// Takes in the more probable neighbour, the lower of two alike; `None` when there is none left.
    fn widen(&mut self) -> Option<()> {
        let below = below(self.n, self.odds, self.low).filter(|term| term.count >= 1);
        let above = above(self.n, self.odds, self.high).filter(|term| term.count < self.n);
        match (below, above) {
            (Some(low), Some(high)) if low.weight >= high.weight => self.take_below(low),
            (_, Some(high)) => self.take_above(high),
            (Some(low), None) => self.take_below(low),
            (None, None) => return None,
        }
        Some(())
    }

    fn take_below(&mut self, term: Term) {
        self.low = term;
        self.inside += term.weight;
    }

    fn take_above(&mut self, term: Term) {
        self.high = term;
        self.inside += term.weight;
    }
}

/// The next count up, with its weight.
fn above(n: usize, odds: f64, term: Term) -> Option<Term> {
    let count = term.count + 1;
    let ratio = (n - term.count) as f64 / count as f64 * odds;
    (count <= n).then_some(Term {
        count,
        weight: term.weight * ratio,
    })
}

/// The next count down, with its weight.
fn below(n: usize, odds: f64, term: Term) -> Option<Term> {
    let count = term.count.checked_sub(1)?;
    let ratio = term.count as f64 / (n - count) as f64 / odds;
    Some(Term {
        count,
        weight: term.weight * ratio,
    })
}

/// Sum of the weights on one side of the mode, as far as they count.
fn tail(mode: Term, next: impl Fn(Term) -> Option<Term>) -> f64 {
    std::iter::successors(next(mode), |term| next(*term))
        .map(|term| term.weight)
        .take_while(|weight| *weight > 1e-20)
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_rank_is_not_misled_by_rounding() {
        assert_eq!(nearest_rank(10, 0.9), Some(9));
        assert_eq!(nearest_rank(30, 0.1), Some(3));
        assert_eq!(nearest_rank(70, 0.9), Some(63));
        assert_eq!(nearest_rank(1000, 0.001), Some(1));
        assert_eq!(nearest_rank(5, 0.0), Some(1));
        assert_eq!(nearest_rank(5, 1.0), Some(5));
        assert_eq!(nearest_rank(0, 0.5), None);
        assert_eq!(nearest_rank(5, f64::NAN), None);
    }

    #[test]
    fn whole_percentages_give_exact_ranks() {
        for n in 1..=2000_usize {
            for percent in 1..100_usize {
                let exact = (n * percent).div_ceil(100);
                assert_eq!(
                    nearest_rank(n, percent as f64 / 100.0),
                    Some(exact),
                    "{n} {percent}"
                );
            }
        }
    }

    #[test]
    fn low_quantiles_mirror_high_ones() {
        for n in [29, 50, 100, 1000] {
            let (low, high) = order_statistic_interval(n, 0.9, 0.95).unwrap();
            assert_eq!(
                order_statistic_interval(n, 0.1, 0.95),
                Some((n + 1 - high, n + 1 - low))
            );
        }
    }

    #[test]
    fn a_coverage_of_just_the_level_is_enough() {
        // Two values enclose the median once in two.
        assert_eq!(
            order_statistic_interval_with_coverage(2, 0.5, 0.5),
            Some(((1, 2), 0.5))
        );
    }

    #[test]
    fn extremes_have_no_interval() {
        assert_eq!(order_statistic_interval(1, 0.5, 0.5), None);
        assert_eq!(order_statistic_interval(100, 0.0001, 0.95), None);
        assert_eq!(order_statistic_interval(100, 0.9999, 0.95), None);
        assert_eq!(order_statistic_interval(100, 1.0, 0.95), None);
        assert_eq!(order_statistic_interval(100, 0.5, 1.0), None);
    }
}
