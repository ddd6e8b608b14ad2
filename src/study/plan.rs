//! What to play, how often, and with which random numbers.

use std::ops::Range;

use crate::service::measure::Measure;

/// Confidence level of all intervals.
pub const LEVEL: f64 = 0.95;

/// When to stop.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Stop {
    /// After this many replications.
    After(u64),
    /// When the half-width of the 95 % interval of a measure's mean is at most this share of the mean, or after
    /// `most` replications. Of a comparison: the half-width of every difference to the base, and the base's mean.
    Precise {
        /// The measure.
        measure: Measure,
        /// Half-width over mean.
        relative: f64,
        /// Cap.
        most: u64,
    },
    /// This one replication alone.
    Only(u64),
}

impl Stop {
    /// The numbers of the replications that are played at most.
    #[must_use]
    pub const fn replications(self) -> Range<u64> {
        match self {
            Self::After(count) | Self::Precise { most: count, .. } => 0..count,
            Self::Only(replication) => replication..replication.saturating_add(1),
        }
    }

    /// How many replications are played at most.
    #[must_use]
    pub const fn most(self) -> u64 {
        let Range { start, end } = self.replications();
        end - start
    }
}

/// What to play.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plan {
    /// Base seed.
    pub seed: u64,
    /// When to stop.
    pub stop: Stop,
    /// Threads; 0 for one per core. Does not affect results.
    pub threads: usize,
}

impl Plan {
    /// So many replications from seed 1, on all cores.
    #[must_use]
    pub const fn new(replications: u64) -> Self {
        Self {
            seed: 1,
            stop: Stop::After(replications),
            threads: 0,
        }
    }
}
