//! Money: the parts of the cost, and an operator's pay.
//!
//! To add a part of the cost: a `CostPart` here, its price in `Prices` of the model; its quantity in
//! `Service::cost_of` (`service/cost.rs`); its word in `cost_part` (`words/names.rs`). The cost is worked out last,
//! from measures that have their values by then. Energy is one part: heat, pumps and dryer have one price, and their shares
//! are those of `tank_heat_kwh`, `booster_kwh`, `pumps_kwh` and `dryer_kwh`.

use super::time::Time;
use crate::scenario::model::{RosterRow, Scenario};

/// A part of the cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CostPart {
    /// The crew's time.
    Labour,
    /// Fresh water.
    Water,
    /// Used water.
    Sewer,
    /// Energy.
    Energy,
    /// Detergent.
    Detergent,
    /// Rinse aid.
    RinseAid,
}

impl CostPart {
    /// All of them, in the order of every output.
    pub const ALL: [Self; 6] = [
        Self::Labour,
        Self::Water,
        Self::Sewer,
        Self::Energy,
        Self::Detergent,
        Self::RinseAid,
    ];

    /// How many there are.
    pub const COUNT: usize = Self::ALL.len();

    /// Its name in every output.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Labour => "labour",
            Self::Water => "water",
            Self::Sewer => "sewer",
            Self::Energy => "energy",
            Self::Detergent => "detergent",
            Self::RinseAid => "rinse-aid",
        }
    }
}

/// What an operator's time costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wage {
    /// An hour, money.
    pub per_h: f64,
    /// How many times that an hour after the end of the shift costs.
    pub overtime_factor: f64,
}

impl Wage {
    /// The wage of a roster row; none where there are no prices or none of labour.
    #[must_use]
    pub fn of(row: &RosterRow, scenario: &Scenario) -> Option<Self> {
        let prices = scenario.prices.as_ref()?;
        Some(Self {
            per_h: row.wage_per_h.or(prices.labour_per_h)?,
            overtime_factor: prices.overtime_factor,
        })
    }

    /// What somebody costs who was there that long, so much of it after the end of the shift.
    #[must_use]
    pub fn pay(&self, present: Time, overtime: Time) -> f64 {
        let within = present - overtime;
        self.per_h * (within.h() + self.overtime_factor * overtime.h())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn overtime_costs_half_as_much_again() {
        let wage = Wage {
            per_h: 12.0,
            overtime_factor: 1.5,
        };
        // Seven hours, one of them after the shift: 6 × 12 + 1 × 18.
        assert_eq!(wage.pay(Time::HOUR * 7, Time::HOUR), 90.0);
        assert_eq!(wage.pay(Time::ZERO, Time::ZERO), 0.0);
    }
}
