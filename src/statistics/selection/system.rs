//! One system: its costs, its targets, what has become of it.

use super::fate::Fate;
use super::looks::{Look, Looks};
use super::rules::{Kind, Rules, Shares, Target};
use crate::statistics::interval::Sample;
use crate::statistics::likelihood::is_below;
use crate::statistics::sequential::{ShareTest, Side};

/// A mean and its limit, looked at now and then.
#[derive(Debug, Clone)]
pub(super) struct MeanTest {
    target: Target,
    pub(super) values: Vec<f64>,
}

#[derive(Debug, Clone)]
pub(super) enum Test {
    Mean(MeanTest),
    Share(ShareTest),
}

/// A system against one target.
#[derive(Debug, Clone)]
pub(super) struct Check {
    pub(super) test: Test,
    /// On which side of the limit, once it is known.
    side: Option<Side>,
}

#[derive(Debug, Clone)]
pub(super) struct System {
    pub(super) costs: Vec<f64>,
    pub(super) checks: Vec<Check>,
    pub(super) fate: Fate,
    /// The leader that was shown not to be dearer by the indifference, and on how many observations.
    pub(super) covered: Option<(usize, usize)>,
}

impl MeanTest {
    /// At a look. That it meets its limit is believed only once rare events have been seen.
    fn side(&self, look: Look, shares: Shares) -> Option<Side> {
        let Target {
            at_most, tolerance, ..
        } = self.target;
        let values = || self.values.iter().copied();
        let error = look.share_of(shares.test);
        let mean = values().sum::<f64>() / self.values.len() as f64;
        // Nor that it misses it, where events that were not seen could make up for what is missing.
        let is_far = mean - at_most >= tolerance + range(&self.values) * shares.unseen(look.size);
        let has_seen = look.size >= shares.to_see;
        let keeps = || has_seen && is_below(values(), at_most + tolerance, error);
        let misses =
            || (has_seen || is_far) && is_below(values().map(|v| -v), tolerance - at_most, error);
        if mean <= at_most {
            keeps().then_some(Side::Below)
        } else {
            misses().then_some(Side::Above)
        }
    }
}

impl Check {
    pub(super) fn new(target: &Target, error: f64) -> Self {
        let Target {
            at_most, tolerance, ..
        } = *target;
        let test = match target.kind {
            Kind::Mean => Test::Mean(MeanTest {
                target: *target,
                values: Vec::new(),
            }),
            Kind::Share => Test::Share(ShareTest::new(at_most, tolerance, error)),
        };
        Self { test, side: None }
    }

    pub(super) fn take(&mut self, value: f64, looks: Looks, shares: Shares) {
        if self.side.is_some() {
            return;
        }
        self.side = match &mut self.test {
            Test::Share(test) => test.take(value != 0.0),
            Test::Mean(test) => {
                test.values.push(value);
                let n = test.values.len();
                let look = looks.last_within(n).filter(|look| look.size == n);
                look.and_then(|look| test.side(look, shares))
            }
        };
    }
}

impl System {
    pub(super) fn new(rules: &Rules, shares: Shares) -> Self {
        let check = |target: &Target| Check::new(target, shares.test);
        Self {
            costs: Vec::new(),
            checks: rules.targets.iter().map(check).collect(),
            fate: Fate::Contends,
            covered: None,
        }
    }

    pub(super) fn contends(&self) -> bool {
        self.fate == Fate::Contends
    }

    pub(super) fn meets(&self) -> bool {
        self.checks
            .iter()
            .all(|check| check.side == Some(Side::Below))
    }

    pub(super) fn missed(&self) -> Option<usize> {
        self.checks
            .iter()
            .position(|check| check.side == Some(Side::Above))
    }

    /// From the least to the most of its costs.
    pub(super) fn range(&self) -> f64 {
        range(&self.costs)
    }

    /// Variance of the first so many costs.
    pub(super) fn variance(&self, of: usize) -> f64 {
        let sample = self.costs.get(..of).and_then(Sample::of);
        let sd = sample.and_then(|sample| sample.sd).unwrap_or(0.0);
        sd * sd
    }
}

fn range(values: &[f64]) -> f64 {
    let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
    (most - least).max(0.0)
}
