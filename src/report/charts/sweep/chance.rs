//! Whether what a factor seems to do is more than chance: a sampled factor has few points to a stretch of its
//! values, all of them moved by the other factors too, and a line through their medians has peaks in any case.

use crate::statistics::interval::normal;

/// How sure it has to be that a factor moves a measure, over all factors of a picture.
const ERROR: f64 = 0.05;

/// Whether groups of values differ by no more than chance would have it, by the ranks of their values (the test of
/// Kruskal and Wallis, ties taken into account), as one of `tests` that are made together.
pub fn is_chance(groups: &[Vec<f64>], tests: usize) -> bool {
    let mut all: Vec<(f64, usize)> = (groups.iter().enumerate())
        .flat_map(|(group, values)| values.iter().map(move |value| (*value, group)))
        .collect();
    let (n, k) = (all.len() as f64, groups.len() as f64 - 1.0);
    if k < 1.0 || n <= k + 1.0 {
        return true;
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut sums = vec![0.0; groups.len()];
    let (mut first, mut ties) = (0.0, 0.0);
    for equal in all.chunk_by(|a, b| a.0 == b.0) {
        let count = equal.len() as f64;
        let rank = first + 0.5 * (count + 1.0);
        equal.iter().for_each(|(_, group)| sums[*group] += rank);
        ties += count * (count * count - 1.0);
        first += count;
    }
    let spread = 1.0 - ties / (n * (n * n - 1.0));
    if spread <= 0.0 {
        return true;
    }
    let squares = groups
        .iter()
        .zip(&sums)
        .filter(|(group, _)| !group.is_empty());
    let squares: f64 = squares
        .map(|(group, sum)| sum * sum / group.len() as f64)
        .sum();
    let h = (12.0 / (n * (n + 1.0)) * squares - 3.0 * (n + 1.0)) / spread;
    // Chi-square of k degrees of freedom as a normal value (Wilson and Hilferty).
    let width = 2.0 / (9.0 * k);
    let z = (libm::cbrt(h.max(0.0) / k) - (1.0 - width)) / libm::sqrt(width);
    let limit = normal(1.0 - ERROR / tests.max(1) as f64);
    limit.is_none_or(|limit| z < limit)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Groups of `each` values by a rule of thumb for luck that has no trend.
    fn groups(count: usize, each: usize, trend: f64) -> Vec<Vec<f64>> {
        let value = |group: usize, i: usize| {
            let at = group * each + i;
            ((at * 37 + 11) % 101) as f64 + trend * group as f64
        };
        let of = |group| (0..each).map(|i| value(group, i)).collect();
        (0..count).map(of).collect()
    }

    #[test]
    fn luck_is_chance_and_a_trend_is_not() {
        assert!(is_chance(&groups(5, 6, 0.0), 3));
        assert!(!is_chance(&groups(5, 6, 60.0), 3));
        assert!(is_chance(&[], 1) && is_chance(&[vec![1.0], vec![2.0]], 1));
        assert!(is_chance(&vec![vec![0.0; 9]; 4], 1));
    }

    /// H of 1, 2, 3 and 4, 5, 6 is 3.857, p 0.0495 by the chi-square of one degree.
    #[test]
    fn the_limit_is_where_tables_have_it() {
        let apart = [vec![1.0, 2.0, 3.0], vec![4.0, 5.0, 6.0]];
        assert!(!is_chance(&apart, 1) && is_chance(&apart, 2));
    }
}
