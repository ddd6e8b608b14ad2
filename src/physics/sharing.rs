//! One flow for several who would take some of it.

/// How much each gets at most, where `flow` is shared max-min fairly: nobody gets more than they would take, and nobody
/// could get more but at the cost of somebody who gets no more. Infinite where there is enough for all.
///
/// ```
/// use scullery::physics::sharing::fair_share;
///
/// // 15 L/min for two who would take 10 each: 7.5 each. For 4 and 18: 4, and the 11 that are left.
/// assert_eq!(fair_share(15.0, [10.0, 10.0].into_iter()), 7.5);
/// assert_eq!(fair_share(15.0, [4.0, 18.0].into_iter()), 11.0);
/// assert_eq!(fair_share(30.0, [4.0, 18.0].into_iter()), f64::INFINITY);
/// ```
#[must_use]
pub fn fair_share(flow: f64, wanted: impl Iterator<Item = f64> + Clone) -> f64 {
    let all = wanted.clone().fold(0.0, |sum, wants| sum + wants);
    if all <= flow {
        return f64::INFINITY;
    }
    let (mut share, mut sharing) = (0.0, usize::MAX);
    loop {
        // Who would take less than the share leaves more for the others, and the share grows.
        let sated = wanted.clone().filter(|wants| *wants <= share);
        let taken = sated.fold(0.0, |sum, wants| sum + wants);
        let others = wanted.clone().filter(|wants| *wants > share).count();
        if others == sharing || others == 0 {
            return share;
        }
        sharing = others;
        share = (flow - taken) / others as f64;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// All of it is given, and whoever gets less than they would take gets as much as anybody.
        #[test]
        fn all_is_given_and_nobody_is_passed_over(flow in 0.1..50.0, wanted in prop::collection::vec(0.01..20.0, 1..9)) {
            let share = fair_share(flow, wanted.iter().copied());
            let given: f64 = wanted.iter().map(|wants| wants.min(share)).sum();
            let all: f64 = wanted.iter().sum();
            prop_assert!((given - all.min(flow)).abs() < 1e-9 * all, "{given} of {flow}");
        }
    }
}
