//! Estimates of the measures over replications: Student intervals of means, order-statistic intervals
//! of quantiles.

use std::collections::BTreeMap;

use super::evening::{Estimate, Group, GroupKind, Quantile};
use super::plan::LEVEL;
use crate::room::Room;
use crate::room::money::CostPart;
use crate::scenario::model::Duty;
use crate::service::measure::{
    COST_MEASURES, Measure, MeasureInfo, OPERATOR_MEASURES, STATION_MEASURES, WARE_MEASURES,
};
use crate::service::outcome::Outcome;
use crate::statistics::interval::Sample;
use crate::statistics::quantile::{order_statistic_interval, quantile};

type Ranks = [Option<(usize, usize)>; 3];
const PERCENTILES: [f64; 3] = [0.1, 0.5, 0.9];

/// Estimates columns of outcomes.
#[derive(Debug)]
pub struct Estimator<'o> {
    outcomes: &'o [(u64, Outcome)],
    values: Vec<f64>,
    /// Ranks depend on the number of values alone.
    ranks: BTreeMap<usize, Ranks>,
}

impl<'o> Estimator<'o> {
    /// Over these outcomes.
    #[must_use]
    pub fn new(outcomes: &'o [(u64, Outcome)]) -> Self {
        Self {
            outcomes,
            values: Vec::new(),
            ranks: BTreeMap::new(),
        }
    }

    /// Measures of the evening.
    pub fn measures(&mut self) -> Vec<Estimate> {
        let of = |measure: Measure| {
            self.estimate(measure.info(), |outcome| outcome.measures[measure as usize])
        };
        Measure::ALL.into_iter().map(of).collect()
    }

    /// Measures by ware, by operator, by station, by part of the cost if there are prices.
    pub fn groups(&mut self, room: &Room) -> Vec<Group> {
        let mut groups = Vec::new();
        for (index, ware) in room.wares.iter().enumerate() {
            let measures = self.table(WARE_MEASURES, |outcome| &outcome.wares[index]);
            groups.push(Group {
                kind: GroupKind::Ware,
                name: ware.name.clone(),
                measures,
            });
        }
        for (index, operator) in room.crew.iter().enumerate() {
            let measures = self.table(OPERATOR_MEASURES, |outcome| &outcome.operators[index]);
            groups.push(Group {
                kind: GroupKind::Operator,
                name: operator.name.clone(),
                measures,
            });
        }
        for duty in Duty::ALL.into_iter().filter(|duty| room.has(*duty)) {
            let measures = self.table(STATION_MEASURES, |outcome| &outcome.stations[duty as usize]);
            groups.push(Group {
                kind: GroupKind::Station,
                name: duty.name().into(),
                measures,
            });
        }
        for part in CostPart::ALL.into_iter().filter(|_| room.prices.is_some()) {
            let measures = self.table(COST_MEASURES, |outcome| &outcome.costs[part as usize]);
            groups.push(Group {
                kind: GroupKind::Cost,
                name: part.name().into(),
                measures,
            });
        }
        groups
    }

    fn table(
        &mut self,
        infos: &'static [MeasureInfo],
        row: impl Fn(&Outcome) -> &[Option<f64>],
    ) -> Vec<Estimate> {
        let columns = infos.iter().enumerate();
        columns
            .map(|(column, info)| self.estimate(info, |outcome| row(outcome)[column]))
            .collect()
    }

    fn estimate(
        &mut self,
        info: &'static MeasureInfo,
        value: impl Fn(&Outcome) -> Option<f64>,
    ) -> Estimate {
        self.values.clear();
        self.values.extend(
            self.outcomes
                .iter()
                .filter_map(|(_, outcome)| value(outcome)),
        );
        let sample = Sample::of(&self.values);
        self.values.sort_unstable_by(f64::total_cmp);
        let n = self.values.len();
        let ranks = *self
            .ranks
            .entry(n)
            .or_insert_with(|| PERCENTILES.map(|p| order_statistic_interval(n, p, LEVEL)));
        let sorted = &self.values;
        let percentile = |index: usize| Quantile {
            value: quantile(sorted, PERCENTILES[index]),
            low: ranks[index].map(|(low, _)| sorted[low - 1]),
            high: ranks[index].map(|(_, high)| sorted[high - 1]),
        };
        Estimate {
            info,
            n: n as u64,
            mean: sample.map(|sample| sample.mean),
            half_width: sample.and_then(|sample| sample.half_width(LEVEL)),
            sd: sample.and_then(|sample| sample.sd),
            p10: percentile(0),
            p50: percentile(1),
            p90: percentile(2),
        }
    }
}
