//! What a comparison knows in the end: everything `report` prints.

use super::changes::Change;
use super::curve::Curve;
use super::difference::Difference;
use crate::scenario::wording::Wording;
use crate::service::measure::Measure;
use crate::statistics::interval::Sample;
use crate::study::evening::{Band, Clock, Finding, Row};

/// The measures that are judged together unless others are chosen.
pub const HEADLINE: [Measure; 5] = [
    Measure::DriedOnShare,
    Measure::WaitP95,
    Measure::ShortCovers,
    Measure::CrewOutAfterClose,
    Measure::Cost,
];

/// Scenarios compared.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Comparison {
    /// What the scenarios call their service and their money; general words where they differ.
    pub wording: Wording,
    /// Base seed.
    pub seed: u64,
    /// Replications finished, of each scenario.
    pub replications: u64,
    /// Replications wanted.
    pub wanted: u64,
    /// Whether it was interrupted before `wanted`.
    pub interrupted: bool,
    /// The measures that are judged together, in the order asked for.
    pub headline: Vec<Measure>,
    /// How many differences are judged together: those of the headline that have a p-value, over all
    /// alternatives.
    pub judged: usize,
    /// What the others are compared with.
    pub base: Side,
    /// The others.
    pub alternatives: Vec<Alternative>,
    /// What to be careful with, gravest first.
    pub findings: Vec<Finding>,
}

/// One of the scenarios.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Side {
    /// File stem of the scenario.
    pub name: String,
    /// Title of the scenario.
    pub title: String,
    /// Digest of all that was read for it.
    pub digest: String,
    /// Replications that reached the limit unfinished.
    pub unfinished: u64,
    /// What the clock of the charts needs.
    pub clock: Clock,
    /// Series by minute, those that are compared.
    pub series: Vec<Band>,
    /// One row for each replication, in order; columns as [`Measure::ALL`].
    pub rows: Vec<Row>,
}

/// A scenario that is compared with the base.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Alternative {
    /// The scenario.
    pub side: Side,
    /// What differs from the base.
    pub changes: Vec<Change>,
    /// Differences, by [`Measure::ALL`].
    pub differences: Vec<Difference>,
    /// Differences minute by minute, of the series that both have.
    pub curves: Vec<Curve>,
    /// What it buys and what it costs.
    pub sentence: String,
}

impl Comparison {
    /// An alternative by the name of its scenario.
    #[must_use]
    pub fn alternative(&self, name: &str) -> Option<&Alternative> {
        let mut all = self.alternatives.iter();
        all.find(|alternative| alternative.side.name == name)
    }
}

impl Alternative {
    /// The paired difference in a measure, by the measure's name, such as `wait_p95_min`.
    #[must_use]
    pub fn difference(&self, measure: &str) -> Option<&Difference> {
        let mut all = self.differences.iter();
        all.find(|difference| difference.measure.info().name == measure)
    }
}

/// Fewer racks per evening than this below a minimum, or in old water, are no more than studies allow: none in 95
/// evenings of 100.
const FEW_RACKS: f64 = 0.05;
/// A larger share of evenings that are not finished is more than studies allow.
const FEW_UNFINISHED: f64 = 0.01;

impl Side {
    /// Racks per evening that were washed or rinsed below a minimum; nothing where there is none.
    #[must_use]
    pub fn cold_racks(&self) -> Option<f64> {
        self.mean(Measure::UnderTemperatureRacks)
    }

    /// Racks per evening that were washed in water older than the scenario allows; nothing where it does not say.
    #[must_use]
    pub fn old_water_racks(&self) -> Option<f64> {
        self.mean(Measure::OldWaterRacks)
    }

    fn mean(&self, measure: Measure) -> Option<f64> {
        let column = measure as usize;
        let values: Vec<f64> = (self.rows.iter())
            .filter_map(|row| row.values.get(column).copied().flatten())
            .collect();
        Sample::of(&values).map(|sample| sample.mean)
    }

    /// Whether it washes cold, or in old water, or leaves work undone, in more evenings than studies allow: such a scenario
    /// is unsafe, whatever it saves.
    #[must_use]
    pub fn is_unsafe(&self) -> bool {
        self.washes_cold() || self.washes_in_old_water() || self.is_left_undone()
    }

    /// Whether racks are too cold in more evenings than studies allow.
    #[must_use]
    pub fn washes_cold(&self) -> bool {
        self.cold_racks().is_some_and(|racks| racks >= FEW_RACKS)
    }

    /// Whether water is too old in more evenings than studies allow.
    #[must_use]
    pub fn washes_in_old_water(&self) -> bool {
        let racks = self.old_water_racks();
        racks.is_some_and(|racks| racks >= FEW_RACKS)
    }

    /// Whether more evenings are not finished than studies allow.
    #[must_use]
    pub fn is_left_undone(&self) -> bool {
        self.unfinished as f64 > FEW_UNFINISHED * self.rows.len() as f64
    }

    /// Time of day of the last minute of its series, s.
    pub(super) fn last_s(&self) -> f64 {
        let minutes = self.series.iter().map(|band| band.mean.len()).max();
        self.clock.start_s + 60.0 * minutes.unwrap_or(0).saturating_sub(1) as f64
    }
}
