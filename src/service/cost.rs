//! What the service cost, part by part: the crew's time at their wages, what was used at its price.
//!
//! A part whose quantity is not measured, or whose price is not given, does not exist, and the whole
//! is the sum of those that do. So a scenario without prices has no cost at all.

use super::Service;
use super::index::OperatorId;
use super::measure::{COST_MEASURE_COUNT, CostMeasure, Measure};
use super::outcome::{Outcome, share};
use crate::room::money::CostPart;
use crate::scenario::model::Prices;

impl Service<'_> {
    /// Adds the cost to an outcome that has all its quantities.
    pub(super) fn cost_measures(&self, into: &mut Outcome) {
        into.costs = [[None; COST_MEASURE_COUNT]; CostPart::COUNT];
        let Some(prices) = &self.common.room.prices else {
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
            CostPart::Water => used(Measure::Water, prices.water_per_l()),
            CostPart::Sewer => used(Measure::Water, prices.sewer_per_l()),
            CostPart::Energy => used(Measure::Energy, prices.energy_per_kwh),
            CostPart::Detergent => used(Measure::Detergent, prices.detergent_per_kg),
            CostPart::RinseAid => used(Measure::RinseAid, prices.rinse_aid_per_l),
        }
    }

    /// Of the whole crew; none without a crew, or if an hour of one of them has no price.
    fn labour_cost(&self) -> Option<f64> {
        let crew = OperatorId::all(self.crew.operators.len());
        let mut costs = crew.map(|operator| self.pay_of(operator));
        let first = costs.next()?;
        costs.fold(first, |sum, cost| Some(sum? + cost?))
    }

    /// What an operator's time cost.
    pub(super) fn pay_of(&self, operator: OperatorId) -> Option<f64> {
        let wage = self.common.room.crew[operator].wage?;
        let state = &self.crew.operators[operator];
        Some(wage.pay(state.present, state.overtime))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::room::Room;
    use crate::scenario::load;

    const NOTHING: Prices = Prices {
        currency: None,
        labour_per_h: None,
        overtime_factor: 1.5,
        water_per_m3: None,
        sewer_per_m3: None,
        energy_per_kwh: None,
        detergent_per_kg: None,
        rinse_aid_per_l: None,
    };

    /// The cost of an evening without a crew that used 500 L, 40 kWh and 1.5 kg for 100 covers and 50 racks.
    fn cost_of(prices: Prices) -> Outcome {
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        let loaded = load(&file.join("tests/two-people.toml")).unwrap();
        let mut room = Room::of(&loaded.scenario);
        room.crew.clear();
        room.prices = Some(prices);
        let mut outcome = Outcome::new(&room);
        for (measure, value) in [
            (Measure::Covers, 100.0),
            (Measure::Racks, 50.0),
            (Measure::Water, 500.0),
            (Measure::Energy, 40.0),
            (Measure::Detergent, 1.5),
        ] {
            outcome.measures[measure as usize] = Some(value);
        }
        Service::new(&room).cost_measures(&mut outcome);
        outcome
    }

    fn column(outcome: &Outcome, measure: CostMeasure) -> [Option<f64>; CostPart::COUNT] {
        outcome.costs.map(|values| values[measure as usize])
    }

    #[test]
    fn what_is_used_is_paid_at_its_price() {
        let outcome = cost_of(Prices {
            water_per_m3: Some(4.0),
            sewer_per_m3: Some(2.0),
            energy_per_kwh: Some(0.25),
            detergent_per_kg: Some(8.0),
            rinse_aid_per_l: Some(5.0),
            ..NOTHING
        });
        let parts = [None, Some(2.0), Some(1.0), Some(10.0), Some(12.0), None];
        assert_eq!(column(&outcome, CostMeasure::Cost), parts);
        let of_25 = |by: f64| parts.map(|part| part.map(|part| part / by));
        assert_eq!(column(&outcome, CostMeasure::Share), of_25(25.0));
        assert_eq!(column(&outcome, CostMeasure::CostPerCover), of_25(100.0));
        assert_eq!(column(&outcome, CostMeasure::CostPerRack), of_25(50.0));
        assert_eq!(outcome.get(Measure::Cost), Some(25.0));
        assert_eq!(outcome.get(Measure::CostPerCover), Some(0.25));
        assert_eq!(outcome.get(Measure::CostPerRack), Some(0.5));
    }

    #[test]
    fn what_is_free_costs_nothing_and_has_no_share() {
        let outcome = cost_of(Prices {
            water_per_m3: Some(0.0),
            ..NOTHING
        });
        assert_eq!(outcome.get(Measure::Cost), Some(0.0));
        assert_eq!(outcome.get(Measure::CostPerCover), Some(0.0));
        let water = outcome.costs[CostPart::Water as usize];
        assert_eq!(water, [Some(0.0), None, Some(0.0), Some(0.0)]);
        assert_eq!(column(&outcome, CostMeasure::Cost)[2..], [None; 4]);
    }
}
