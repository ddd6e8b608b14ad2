//! How large a difference in a measure must be to matter.
//!
//! A difference may be beyond chance and still be no reason to change anything. Each measure has a threshold: an amount,
//! or a share of what the base has. The defaults are ours (common sense, no source), and each may be changed. What is
//! counted for safety, racks too cool or in old water, ware sent out dirty and work left undone, has a threshold of next to nothing.

use crate::service::measure::{MEASURE_COUNT, Measure, MeasureInfo};

/// A threshold: a difference up to it is too small to matter.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Threshold {
    /// So much, in the measure's unit.
    Amount(f64),
    /// This share of the base's mean.
    OfBase(f64),
}

impl Threshold {
    /// In the measure's unit, beside a base with this mean.
    #[must_use]
    pub fn amount(self, base: f64) -> f64 {
        match self {
            Self::Amount(amount) => amount,
            Self::OfBase(share) => share * base.abs(),
        }
    }
}

/// The thresholds of all measures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TooSmall {
    of: [Threshold; MEASURE_COUNT],
}

impl Default for TooSmall {
    fn default() -> Self {
        Self {
            of: Measure::ALL.map(usual),
        }
    }
}

impl TooSmall {
    /// That of a measure.
    #[must_use]
    pub const fn of(&self, measure: Measure) -> Threshold {
        self.of[measure as usize]
    }

    /// Another for a measure.
    pub const fn set(&mut self, measure: Measure, threshold: Threshold) {
        self.of[measure as usize] = threshold;
    }

    /// That of any value: of a measure of the evening its own, of one ware or station that of its unit.
    #[must_use]
    pub fn of_info(&self, info: &MeasureInfo) -> Threshold {
        let known = Measure::ALL.into_iter().find(|m| m.info() == info);
        known.map_or_else(|| of_unit(info.unit), |measure| self.of(measure))
    }
}

/// Of a measure, unless another is given.
fn usual(measure: Measure) -> Threshold {
    match measure {
        Measure::UnderTemperatureRacks
        | Measure::ColdWashRacks
        | Measure::ColdRinseRacks
        | Measure::OldWaterRacks => Threshold::Amount(0.05),
        Measure::SentOutSoiledShare | Measure::FinishedShare => Threshold::Amount(0.0005),
        Measure::ShortCovers
        | Measure::TurnedAway
        | Measure::FloorTubsMax
        | Measure::RacksWaitingMax => Threshold::Amount(0.5),
        Measure::Overtime => Threshold::Amount(5.0),
        Measure::CrewOutAfterClose | Measure::LastRackAfterClose => Threshold::Amount(2.0),
        Measure::LabourHours => Threshold::Amount(0.1),
        _ => of_unit(measure.info().unit),
    }
}

/// Of what has this unit.
fn of_unit(unit: &str) -> Threshold {
    match unit {
        "1" => Threshold::Amount(0.005),
        "min" => Threshold::Amount(1.0),
        "faults" => Threshold::Amount(0.1),
        "L" | "kWh" | "kg" => Threshold::OfBase(0.02),
        _ => Threshold::OfBase(0.01),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::service::measure::{StationMeasure, WareMeasure};

    #[test]
    fn values_of_a_ware_or_a_station_take_the_threshold_of_their_unit() {
        let mut too_small = TooSmall::default();
        assert_eq!(
            too_small.of(Measure::Cost).amount(250.0),
            2.5,
            "1 % of the base"
        );
        too_small.set(Measure::WaitMean, Threshold::Amount(7.0));
        let of = |info| too_small.of_info(info).amount(10.0);
        assert_eq!(of(Measure::WaitMean.info()), 7.0);
        assert_eq!(of(StationMeasure::QueueWaitMean.info()), 1.0);
        assert_eq!(of(WareMeasure::DriedOnShare.info()), 0.005);
        assert_eq!(of(WareMeasure::CleanLeast.info()), 0.1);
    }

    #[test]
    fn what_is_unsafe_hardly_needs_to_matter() {
        let of = |measure| TooSmall::default().of(measure).amount(1e6);
        assert!(of(Measure::OldWaterRacks) < 0.1);
        assert!(of(Measure::UnderTemperatureRacks) < 0.1);
        assert!(of(Measure::SentOutSoiledShare) < of(Measure::DriedOnShare));
    }
}
