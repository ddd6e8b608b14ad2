//! What the service cost, part by part: the crew's time at their wages, what was used at its price.
//!
//! A part whose quantity is not measured, or whose price is not given, does not exist, and the whole
//! is the sum of those that do. So a scenario without prices has no cost at all.

use super::Service;
use super::measure::{COST_MEASURE_COUNT, CostMeasure, Measure};
use super::outcome::{Outcome, share};
use crate::room::money::{CostPart, Prices};

/// Parts of the cost.
pub(super) const PARTS: usize = CostPart::ALL.len();

impl Service<'_> {
    /// Adds the cost to an outcome that has all its quantities.
    pub(super) fn cost_measures(&self, into: &mut Outcome) {
        into.costs = [[None; COST_MEASURE_COUNT]; PARTS];
        let Some(prices) = &self.room.prices else {
            return;
        };
        let parts = CostPart::ALL.map(|part| self.cost_of(part, prices, into));
        let parts = parts.map(|cost| cost.filter(|cost| cost.is_finite()));
        let whole = parts.iter().flatten().copied().reduce(|a, b| a + b);
        let whole = whole.filter(|whole| whole.is_finite());
        let each = |cost: Option<f64>, of: Measure| share(cost?, into.get(of)?);
        let [per_cover, per_rack] = [Measure::Covers, Measure::Racks].map(|of| each(whole, of));
        let of_parts = parts.map(|cost| {
            let mut values = [None; COST_MEASURE_COUNT];
            let mut set = |measure: CostMeasure, value| values[measure as usize] = value;
            set(CostMeasure::Cost, cost);
            set(
                CostMeasure::Share,
                cost.zip(whole).and_then(|(part, whole)| share(part, whole)),
            );
            set(CostMeasure::CostPerCover, each(cost, Measure::Covers));
            set(CostMeasure::CostPerRack, each(cost, Measure::Racks));
            values
        });
        into.costs = of_parts;
        into.measures[Measure::Cost as usize] = whole;
        into.measures[Measure::CostPerCover as usize] = per_cover;
        into.measures[Measure::CostPerRack as usize] = per_rack;
    }

    fn cost_of(&self, part: CostPart, prices: &Prices, outcome: &Outcome) -> Option<f64> {
        let used = |measure: Measure, price: Option<f64>| Some(outcome.get(measure)? * price?);
        match part {
            CostPart::Labour => self.labour_cost(),
            CostPart::Water => used(Measure::Water, prices.water_per_l),
            CostPart::Sewer => used(Measure::Water, prices.sewer_per_l),
            CostPart::Energy => used(Measure::Energy, prices.energy_per_kwh),
            CostPart::Detergent => used(Measure::Detergent, prices.detergent_per_kg),
            // Nobody measures it yet.
            CostPart::RinseAid => None,
        }
    }

    /// Of the whole crew; none without a crew, or if an hour of one of them has no price.
    fn labour_cost(&self) -> Option<f64> {
        let crew = 0..self.crew.operators.len();
        let mut costs = crew.map(|operator| self.pay_of(operator));
        let first = costs.next()?;
        costs.fold(first, |sum, cost| Some(sum? + cost?))
    }

    /// What an operator's time cost.
    pub(super) fn pay_of(&self, operator: usize) -> Option<f64> {
        let wage = self.room.crew[operator].wage?;
        let state = &self.crew.operators[operator];
        Some(wage.pay(state.present, state.overtime))
    }
}
