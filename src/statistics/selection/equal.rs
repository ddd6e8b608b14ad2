//! What the same guarantee would have taken with as many observations of each system.

use super::Selection;
use super::rules::Target;
use super::system::{Check, System, Test};
use crate::statistics::equal_allocation::{of_share, of_spread, rinott_h, student_h};
use crate::statistics::interval::Sample;

/// Most systems of which all pairs are looked at.
const MAX_PAIRED: usize = 200;

impl Selection {
    /// The error of one test where all of α is for tests.
    fn error_of_a_choice(&self) -> f64 {
        2.0 * self.shares.test
    }

    /// Observations of each system that a two-stage procedure with equal allocation would have needed for
    /// the same guarantee, from the spreads of the first stage; `None` before it is over.
    ///
    /// Targets: a test of fixed size for each. Costs: Rinott's rule for independent systems, or Clark and
    /// Yang's for pairs, whichever needs fewer (of many systems Rinott's alone). In all the most that any system or pair needs.
    #[must_use]
    pub fn equal_allocation(&self) -> Option<u64> {
        let first = self.rules.first_stage;
        if self.systems.iter().any(|system| system.costs.len() < first) {
            return None;
        }
        let t = student_h(self.error_of_a_choice(), first)?;
        let targets = self.systems.iter().flat_map(|system| &system.checks);
        let of_target = |(check, target): (&Check, &Target)| match &check.test {
            Test::Mean(test) => {
                let sd = Sample::of(test.values.get(..first)?)?.sd?;
                Some(of_spread(t, sd, target.tolerance))
            }
            Test::Share(_) => of_share(target.at_most, target.tolerance, self.error_of_a_choice()),
        };
        let most = targets
            .zip(self.rules.targets.iter().cycle())
            .filter_map(of_target)
            .max();
        let mut costs = self.equal_by_rinott();
        if self.systems.len() <= MAX_PAIRED {
            costs = costs.min(self.equal_by_pairs(t));
        }
        Some(most.unwrap_or(0).max(costs).max(first as u64))
    }

    fn equal_by_pairs(&self, t: f64) -> u64 {
        let first = self.rules.first_stage;
        let mut most = 0.0_f64;
        let mut differences = vec![0.0; first];
        for (l, system) in self.systems.iter().enumerate() {
            for other in &self.systems[..l] {
                for (place, (a, b)) in differences
                    .iter_mut()
                    .zip(system.costs.iter().zip(&other.costs))
                {
                    *place = a - b;
                }
                let sd = Sample::of(&differences).and_then(|sample| sample.sd);
                most = most.max(sd.unwrap_or(0.0));
            }
        }
        of_spread(t, most, self.rules.indifference)
    }

    fn equal_by_rinott(&self) -> u64 {
        let first = self.rules.first_stage;
        let systems = self.systems.len();
        let error = self.error_of_a_choice() * (systems as f64 - 1.0);
        let Some(h) = rinott_h(systems, 1.0 - error, first - 1) else {
            return 0;
        };
        let sd = |system: &System| Sample::of(&system.costs[..first])?.sd;
        let most = self.systems.iter().filter_map(sd).fold(0.0, f64::max);
        of_spread(h, most, self.rules.indifference)
    }
}
