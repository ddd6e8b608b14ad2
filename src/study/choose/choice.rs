//! What came of a choice: everything `report` prints.

use crate::scenario::wording::Wording;
use crate::service::measure::Measure;
use crate::statistics::selection::Fate;
use crate::study::design::points::Setting;
use crate::study::design::wanted::{Choose, Target};
use crate::study::evening::Finding;
use crate::study::swept::Cell;

/// How it ended.
#[derive(Debug, Clone, PartialEq)]
pub enum End {
    /// This design.
    Chosen {
        /// Index into [`Choice::designs`].
        design: usize,
        /// The cheapest of the others that meet the targets, as far as was seen.
        runner_up: Option<Rival>,
        /// Of the designs that are cheaper and miss a target, the one that comes closest.
        cheaper: Option<Rival>,
    },
    /// None meets all targets; this one comes closest.
    NoneMeets(Option<Rival>),
    /// A design would need more evenings than allowed.
    Undecided {
        /// The designs that are left.
        left: Vec<usize>,
    },
    /// From outside.
    Interrupted {
        /// The designs that are left.
        left: Vec<usize>,
    },
}

/// A design that was not chosen, and what it lacks.
#[derive(Debug, Clone, PartialEq)]
pub struct Rival {
    /// Index into [`Choice::designs`].
    pub design: usize,
    /// Targets it misses by what was seen of it.
    pub misses: Vec<Miss>,
}

/// A target that is missed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Miss {
    /// Index into [`Choice::targets`].
    pub target: usize,
    /// By how much, in the unit of the measure; of a target in a share of the evenings, of that share.
    pub by: f64,
}

/// A design, and what was seen of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    /// Its number among the design points.
    pub point: u64,
    /// The value of each factor.
    pub settings: Vec<Setting>,
    /// What has become of it.
    pub fate: Fate,
    /// Whether it is known to meet all targets.
    pub keeps: bool,
    /// Evenings played.
    pub evenings: u64,
    /// Of these, never finished.
    pub unfinished: u64,
    /// An estimate of each measure, as [`Choice::measures`].
    pub measures: Vec<Cell>,
    /// What it has more of the sought measure than the design chosen, or than the one that comes closest, on
    /// the same evenings. Means of designs with different numbers of evenings do not compare.
    pub dearer: Option<Cell>,
    /// What was seen of each target.
    pub targets: Vec<Seen>,
}

/// What was seen of a target at a design.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// The mean of the measure, or the share of the evenings that met the limit.
    pub value: Option<f64>,
    /// Lower end of its 95 % interval.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
    /// By how many tolerances it is missed; below 0 if it is kept.
    pub missed: Option<f64>,
}

/// What came of a study that was to choose.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// One line that says what is asked.
    pub title: String,
    /// File stem of the study.
    pub name: String,
    /// What the base calls its service and its money.
    pub wording: Wording,
    /// When the service closes, s, if it is the same time in every design.
    pub closes_s: Option<f64>,
    /// Base seed.
    pub seed: u64,
    /// Names of the factors.
    pub factors: Vec<String>,
    /// What is chosen by.
    pub rule: Choose,
    /// What a design must meet.
    pub targets: Vec<Target>,
    /// Measures of the designs; the one that is to be least or largest is at [`Choice::sought`].
    pub measures: Vec<Measure>,
    /// Index of the measure that is to be least or largest.
    pub sought: usize,
    /// Probability with which each single test may err.
    pub error_each: f64,
    /// All designs, in the order of the study.
    pub designs: Vec<Design>,
    /// Evenings that a design has before it is chosen, so that rare events have been seen.
    pub to_see: u64,
    /// Evenings played.
    pub spent: u64,
    /// Evenings of each design that equal allocation would have needed for the same guarantee.
    pub equal_each: Option<u64>,
    /// How it ended.
    pub end: End,
    /// What of the design shown first is outside a published limit, and what its figures rest on.
    pub findings: Vec<Finding>,
}

impl Choice {
    /// What equal allocation would have spent in all.
    #[must_use]
    pub fn equal_spent(&self) -> Option<u64> {
        Some(self.equal_each? * self.designs.len() as u64)
    }
}
