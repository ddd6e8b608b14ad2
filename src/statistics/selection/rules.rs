//! What is to be chosen, and how surely.

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
    /// Limit.
    pub at_most: f64,
    /// How far from the limit a system must be for the test to be trusted; above 0.
    pub tolerance: f64,
}

/// What is to be chosen, and how surely.
#[derive(Debug, Clone, PartialEq)]
pub struct Rules {
    /// Probability of the right choice, 1 − α.
    pub confidence: f64,
    /// Difference in cost that is worth finding, above 0, in the unit of the costs.
    pub indifference: f64,
    /// Observations of each system before anything is decided; at least 2, better 20 or more.
    pub first_stage: usize,
    /// Observations of one system at most; then the procedure gives up.
    pub most: usize,
    /// Targets.
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
    /// The tolerance of this target is not above 0, or its limit no number or no share.
    Target(usize),
}

/// β = α/(s + k − 1); with one system and no target there is nothing to be wrong about.
pub(super) fn share_of_error(systems: usize, rules: &Rules) -> Result<f64, Flaw> {
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
    Ok((1.0 - rules.confidence) / tests as f64)
}
