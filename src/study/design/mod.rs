//! A study: a base scenario, what varies, and the design points that come of it.
//!
//! | file | does |
//! |---|---|
//! | [`read`](mod@read) | a study file to a [`Study`], or all its mistakes at once |
//! | [`factor`] | what varies, and what each of its values changes |
//! | [`reader`], [`range`], [`link`], [`bundle`] | rows of the factors: lists, ranges, linked values, bundles |
//! | `columns` | names of factors that the tables of a study need for columns of their own |
//! | [`sites`] | a table of sites as one more factor |
//! | [`sample`], [`sobol`] | points of a latin hypercube and of Sobol's sequence |
//! | [`points`] | which point has which settings, and its scenario |
//! | [`wanted`] | measures, targets, and how to choose |
//! | [`checked`] | every design point held against the scenario's rules before any is run |
//!
//! In: the path of a TOML file. Out: a [`Study`] whose points become rooms one by one. Files are read
//! once: a point is the merged tree of the base with a few values changed, and that is checked.
//!
//! Every part checks all levels alone before it plays, so a table of 100,000 sites makes each part slow to start. Sites
//! share their guests' random numbers: differences between sites are sharp, but a sum over sites has no interval in the
//! tables. A factor may only name rows that the base has; what a bundle adds, the bundle sets.

pub mod bundle;
pub mod checked;
mod columns;
pub mod factor;
pub mod link;
pub mod points;
pub mod range;
pub mod read;
pub mod reader;
pub mod sample;
pub mod sites;
pub mod sobol;
pub mod wanted;

use crate::scenario::sources::{Place, Sources};
use crate::scenario::tree::Node;
use crate::service::measure::Measure;
use factor::Factor;
use points::Coordinate;
use wanted::{Choose, Target};

/// A study that was read without a mistake. Its design points may still be wrong: see [`checked`].
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
    /// What a design must keep.
    pub targets: Vec<Target>,
    /// How to choose.
    pub choose: Option<Choose>,
    /// What varies. A table of sites is the first.
    pub factors: Vec<Factor>,
    /// Which design points.
    points: points::Points,
    /// Points beside them, for the tornado: the base, then one factor moved.
    alone: Vec<(usize, Coordinate)>,
    /// The base scenario, merged.
    base: Node,
    /// Its title.
    pub base_title: String,
    /// Every file that was read.
    sources: Sources,
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
