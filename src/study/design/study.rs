//! A study that was read: what varies, what is measured, what is asked.

use super::coordinate::{Coordinate, Points};
use super::factor::Factor;
use super::wanted::{Choose, Target};
use crate::scenario::sources::{Place, Sources};
use crate::scenario::tree::Node;
use crate::scenario::wording::Wording;
use crate::service::measure::Measure;

/// A study that was read without a mistake. Its design points may still be wrong: see [`checked`](super::checked).
#[derive(Debug, Clone)]
pub struct Study {
    /// One line that says what is asked.
    pub title: String,
    /// Anything worth saying about it.
    pub note: String,
    /// The name of its file, without ending.
    pub name: String,
    /// Base seed of every design point.
    pub seed: u64,
    /// How often each point is played.
    pub replications: Replications,
    /// The measures wanted, then those that targets and choice need besides.
    pub measures: Vec<Measure>,
    /// How many of `measures` were asked for by name.
    pub asked: usize,
    /// What a design must meet.
    pub targets: Vec<Target>,
    /// How to choose.
    pub choose: Option<Choose>,
    /// What varies. A table of sites is the first.
    pub factors: Vec<Factor>,
    /// Which design points.
    pub(super) points: Points,
    /// Points beside them, for the tornado: the base, then one factor moved.
    pub(super) alone: Vec<(usize, Coordinate)>,
    /// The base scenario, merged.
    pub(super) base: Node,
    /// Its title.
    pub base_title: String,
    /// What it calls its service and its money.
    pub wording: Wording,
    /// Every file that was read.
    pub(super) sources: Sources,
    /// Where things stand that are only wrong when something is to be chosen.
    pub places: Places,
}

/// Places in the study file, for messages.
#[derive(Debug, Clone)]
pub struct Places {
    /// The file as a whole.
    pub file: Place,
    /// Each target.
    pub targets: Vec<Place>,
    /// The table `choose`.
    pub choose: Option<Place>,
}

/// How often a design point is played.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Replications {
    /// So often.
    Fixed(u64),
    /// In rounds, until the half-width of the 95 % interval of a measure's mean is at most a share of it.
    Precise {
        /// Replications of a round.
        round: u64,
        /// The measure.
        measure: Measure,
        /// Half-width over mean.
        within: f64,
        /// Cap.
        most: u64,
    },
}

impl Replications {
    /// The most there can be.
    #[must_use]
    pub const fn most(self) -> u64 {
        match self {
            Self::Fixed(count) => count,
            Self::Precise { most, .. } => most,
        }
    }
}
