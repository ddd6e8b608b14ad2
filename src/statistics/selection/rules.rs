//! What is to be chosen, and how surely.

use crate::statistics::likelihood::values_to_see;

/// What a target is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The mean of the values.
    Mean,
    /// The share of the values that are not 0.
    Share,
}

/// A mean or share that must be at most so much. Turn "at least" round before: −value, or 1 − share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// Mean or share.
    pub kind: Kind,
    /// The most that the mean or the share may be.
    pub at_most: f64,
    /// How far from the limit a system must be for the test to be trusted; above 0.
    pub tolerance: f64,
}

/// What is to be chosen, and how surely.
#[derive(Debug, Clone, PartialEq)]
pub struct Rules {
    /// Probability of a good choice, 1 − α.
    pub confidence: f64,
    /// A choice that costs at most this much more than the cheapest is good; above 0, in the unit of the costs.
    pub indifference: f64,
    /// Observations of each system before anything is decided; at least 2, better 100.
    pub first_stage: usize,
    /// The rarest event that is looked for, as a share of the observations, above 0 and at most 1. What
    /// happens less often, and makes a system dearer, may not have been seen when it is chosen.
    pub rarest: f64,
    /// Observations of one system at most; then the procedure gives up.
    pub most: usize,
    /// What a system must meet to be chosen.
    pub targets: Vec<Target>,
}

/// Why rules cannot be followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flaw {
    /// No system.
    NoSystem,
    /// The confidence is not between 0.5 and 1.
    Confidence,
    /// The indifference amount is not above 0.
    Indifference,
    /// The first stage has fewer than two observations, or more than are allowed in all.
    FirstStage,
    /// The rarest event is not above 0 and at most 1.
    Rarest,
    /// Seeing the rarest event takes this many observations, more than are allowed.
    TooRare(usize),
    /// The tolerance of this target is not above 0, or its limit no number or no share.
    Target(usize),
}

/// What the confidence and the number of tests come to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shares {
    /// Probability with which each single test may err, over all its looks.
    pub(super) test: f64,
    /// Observations of a system before it may be chosen.
    pub(super) to_see: usize,
}

impl Shares {
    /// The share of observations in which something may happen that so many of them do not show.
    pub(super) fn unseen(self, observations: usize) -> f64 {
        -libm::log(self.test) / observations.max(1) as f64
    }
}

/// Half of α is for the tests and half for events that were not seen. Either half is split evenly among
/// the s tests of the best system and one for each of the k − 1 others; with one system and no target there
/// is nothing to be wrong about.
pub(super) fn shares(systems: usize, rules: &Rules) -> Result<Shares, Flaw> {
    if systems == 0 {
        return Err(Flaw::NoSystem);
    }
    if !(rules.confidence > 0.5 && rules.confidence < 1.0) {
        return Err(Flaw::Confidence);
    }
    if !(rules.indifference > 0.0 && rules.indifference.is_finite()) {
        return Err(Flaw::Indifference);
    }
    if rules.first_stage < 2 || rules.first_stage > rules.most {
        return Err(Flaw::FirstStage);
    }
    if !(rules.rarest > 0.0 && rules.rarest <= 1.0) {
        return Err(Flaw::Rarest);
    }
    let sound = |target: &Target| {
        let is_limit = match target.kind {
            Kind::Mean => target.at_most.is_finite(),
            Kind::Share => (0.0..=1.0).contains(&target.at_most),
        };
        is_limit && target.tolerance > 0.0 && target.tolerance.is_finite()
    };
    if let Some(flawed) = rules.targets.iter().position(|target| !sound(target)) {
        return Err(Flaw::Target(flawed));
    }
    let tests = (rules.targets.len() + systems - 1).max(1);
    let test = 0.5 * (1.0 - rules.confidence) / tests as f64;
    let to_see = values_to_see(rules.rarest, test);
    if to_see > rules.most {
        return Err(Flaw::TooRare(to_see));
    }
    Ok(Shares { test, to_see })
}
