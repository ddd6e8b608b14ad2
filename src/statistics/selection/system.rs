//! One system: its costs, its targets, what has become of it.

use super::Fate;
use super::rules::{Kind, Target};
use crate::statistics::sequential::{MeanTest, ShareTest, Side};

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
}

impl Check {
    pub(super) fn new(target: &Target, beta: f64, h_squared: f64, first_stage: usize) -> Self {
        let Target {
            at_most, tolerance, ..
        } = *target;
        let test = match target.kind {
            Kind::Mean => Test::Mean(MeanTest::new(at_most, tolerance, h_squared, first_stage)),
            Kind::Share => Test::Share(ShareTest::new(at_most, tolerance, beta)),
        };
        Self { test, side: None }
    }

    pub(super) fn take(&mut self, value: f64) {
        if self.side.is_none() {
            self.side = match &mut self.test {
                Test::Mean(test) => test.take(value),
                Test::Share(test) => test.take(value != 0.0),
            };
        }
    }
}

impl System {
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
}
