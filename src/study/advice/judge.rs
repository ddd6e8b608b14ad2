//! What a change did, evening by evening: pure functions of values with and without it.
//!
//! Nothing helps that does harm: racks washed or rinsed too cool, or in old water, ware sent out dirty or dried on, covers
//! short, rules of working hours broken, each beyond chance, or one evening more that does not end.

use super::rows::{UNFINISHED, Values, column};
use crate::service::measure::Measure;
use crate::statistics::stratified::{Stratified, Stratum, stratified};
use crate::study::matters::{Threshold, TooSmall};
use crate::study::plan::LEVEL;

/// What no change may have more of, beyond chance.
const GUARDED: [Measure; 6] = [
    Measure::UnderTemperatureRacks,
    Measure::OldWaterRacks,
    Measure::RulesBroken,
    Measure::SentOutSoiledShare,
    Measure::DriedOnShare,
    Measure::ShortCovers,
];
/// What of these is about safe ware. Soil that is seen is not: it is washed again.
const SAFETY: [Measure; 2] = [Measure::UnderTemperatureRacks, Measure::OldWaterRacks];
/// Whatever may better so large a share of a trouble, for all that is known, is not in vain.
const MAY_BE_MUCH: f64 = 0.5;
/// What was made for another trouble mends this one too if it takes away so large a share of it. Less is a by-product: a
/// faster crew lets the machine run for a shorter time, in which it breaks down less.
const MENDS: f64 = 0.5;
/// A gain is a promise, on the few evenings of the screening, from so many standard errors,
pub(super) const PROMISING: f64 = 1.0;
/// and of a change that was made for another trouble from so many: there are many of them.
pub(super) const PROMISING_ELSEWHERE: f64 = 2.0;
/// A smaller share of what it is about is not worth a change, and neither is what is too small to matter.
const WORTH_SHARE: f64 = 0.05;

/// Evenings without a change, and the same with it.
#[derive(Clone, Copy)]
pub(super) struct Pair<'v> {
    /// The stratum of each.
    pub stratum: &'v [usize],
    /// What each stratum counts for.
    pub weights: &'v [f64],
    /// Without.
    pub without: &'v [Values],
    /// With.
    pub with: &'v [Values],
}

/// What a change does to one column.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shift {
    /// With less without.
    pub paired: Stratified,
    /// Mean without.
    pub without: f64,
}

impl Pair<'_> {
    /// What it does to a column; nothing unless evenings of every stratum have a value in both.
    pub fn shift(self, column: usize) -> Option<Shift> {
        let mut strata: Vec<Stratum> = (self.weights.iter())
            .map(|weight| Stratum {
                weight: *weight,
                first: Vec::new(),
                second: Vec::new(),
            })
            .collect();
        let pairs = self.without.iter().zip(self.with).zip(self.stratum);
        for ((without, with), of) in pairs {
            if let Some((without, with)) = without[column].zip(with[column]) {
                strata[*of].first.push(with);
                strata[*of].second.push(without);
            }
        }
        let paired = stratified(&strata)?;
        Some(Shift {
            paired,
            without: paired.second_mean,
        })
    }

    /// Whether it does harm.
    pub fn harms(self) -> bool {
        self.is_unfinished_more_often() || self.has_more_of_any(&GUARDED)
    }

    /// Whether it makes ware less safe. Beside evenings that were cut off nothing else may be held against it: waits and
    /// ware of an evening that was given up are too small.
    pub fn is_less_safe(self) -> bool {
        self.is_unfinished_more_often() || self.has_more_of_any(&SAFETY)
    }

    fn is_unfinished_more_often(self) -> bool {
        let unfinished = self.shift(UNFINISHED);
        unfinished.is_some_and(|shift| shift.paired.mean_difference > 0.0)
    }

    fn has_more_of_any(self, measures: &[Measure]) -> bool {
        measures.iter().any(|measure| self.has_more_of(*measure))
    }

    /// Whether more racks are too cool with it, beyond chance.
    pub fn cools(self) -> bool {
        self.has_more_of(Measure::UnderTemperatureRacks)
    }

    /// Whether there is more of a measure, beyond chance and by more than is too small to matter.
    fn has_more_of(self, measure: Measure) -> bool {
        let Some(shift) = self.shift(column(measure)) else {
            return false;
        };
        let too_small = TooSmall::default().of_info(measure.info());
        -shift.gain(false) > too_small.amount(shift.without) && shift.is_beyond_chance()
    }

    /// Whether it takes no larger a share of labour than it takes off the trouble in a column. Asked only where there are
    /// no prices: otherwise the cost says it.
    pub fn is_worth_its_labour(self, column_of: usize, more_is_better: bool) -> bool {
        if self.shift(column(Measure::Cost)).is_some() {
            return true;
        }
        let share = |shift: Shift, amount: f64| amount / shift.without.abs();
        let labour = self.shift(column(Measure::LabourHours));
        let labour = labour.map_or(0.0, |shift| share(shift, shift.paired.mean_difference));
        let gained = self.shift(column_of);
        gained.is_some_and(|shift| {
            shift.without == 0.0 || share(shift, shift.gain(more_is_better)) >= labour
        })
    }

    /// What it costs more, and what the evening costs without it: in money; without prices in hours of work.
    pub fn costs(self) -> (f64, f64) {
        let of = |measure| {
            let shift = self.shift(column(measure))?;
            Some((shift.paired.mean_difference, shift.without))
        };
        of(Measure::Cost)
            .or_else(|| of(Measure::LabourHours))
            .unwrap_or_default()
    }
}

impl Shift {
    /// How much better it is; below 0 if it is worse.
    pub fn gain(self, more_is_better: bool) -> f64 {
        if more_is_better {
            self.paired.mean_difference
        } else {
            -self.paired.mean_difference
        }
    }

    /// The mean with the change.
    pub fn with(self) -> f64 {
        self.without + self.paired.mean_difference
    }

    /// Whether it may help, as far as few evenings show: by so many standard errors.
    pub fn is_promising(self, errors: f64, more_is_better: bool, too_small: Threshold) -> bool {
        let error = self.paired.standard_error.unwrap_or(0.0);
        self.gain(more_is_better) > errors * error && self.is_worth_it(more_is_better, too_small)
    }

    /// Whether it takes away much of what it is about.
    pub fn mends(self, more_is_better: bool) -> bool {
        self.gain(more_is_better) >= MENDS * self.without.abs()
    }

    /// Whether it is better by more than chance, were it all that was tried.
    pub fn is_better(self, more_is_better: bool) -> bool {
        self.gain(more_is_better) > 0.0 && self.is_beyond_chance()
    }

    /// Whether it may help much, for all that is known: its interval holds a gain of half of what it is about.
    pub fn may_be_much(self, more_is_better: bool) -> bool {
        let gain = self.gain(more_is_better);
        let half_width = self.paired.half_width(LEVEL).unwrap_or(f64::INFINITY);
        gain > 0.0 && gain + half_width >= MAY_BE_MUCH * self.without.abs()
    }

    /// Whether it is worse by more than chance, and by so much that it matters.
    pub fn is_worse(self, more_is_better: bool, too_small: Threshold) -> bool {
        let loss = -self.gain(more_is_better);
        let least = WORTH_SHARE * self.without.abs();
        loss > too_small.amount(self.without) && loss >= least && self.is_beyond_chance()
    }

    /// Whether it is more than chance.
    fn is_beyond_chance(self) -> bool {
        let p_value = self.paired.p_value();
        p_value.is_some_and(|p| p < 1.0 - LEVEL)
    }

    /// Whether what is gained is worth a change.
    pub fn is_worth_it(self, more_is_better: bool, too_small: Threshold) -> bool {
        let gain = self.gain(more_is_better);
        let least = WORTH_SHARE * self.without.abs();
        gain > too_small.amount(self.without) && gain >= least && gain > 0.0
    }
}

#[cfg(test)]
mod tests {
    use super::super::rows::of_aim;
    use super::*;

    fn evening(cold: f64, unfinished: f64, aim: f64) -> Values {
        let mut values = vec![None; of_aim(1)];
        values[column(Measure::UnderTemperatureRacks)] = Some(cold);
        values[UNFINISHED] = Some(unfinished);
        values[of_aim(0)] = Some(aim);
        values
    }

    fn evenings(cold: [f64; 6], unfinished: f64, aim: f64) -> Vec<Values> {
        let all = cold.iter().enumerate();
        all.map(|(at, cold)| evening(*cold, unfinished, aim + at as f64))
            .collect()
    }

    #[test]
    fn a_gain_is_the_way_that_is_better() {
        let (without, with) = (evenings([0.0; 6], 0.0, 30.0), evenings([0.0; 6], 0.0, 20.0));
        let shift = Pair {
            stratum: &[0; 6],
            weights: &[1.0],
            without: &without,
            with: &with,
        }
        .shift(of_aim(0))
        .unwrap();
        assert_eq!((shift.gain(false), shift.gain(true)), (10.0, -10.0));
        assert_eq!((shift.without, shift.with()), (32.5, 22.5));
        let nothing = Threshold::Amount(0.0);
        let promises = |more, too_small| shift.is_promising(PROMISING, more, too_small);
        assert!(promises(false, nothing) && !promises(true, nothing));
        // Ten are too few where eleven are too small to matter, and a third of the base is.
        assert!(!promises(false, Threshold::Amount(11.0)));
        assert!(!shift.is_worth_it(false, Threshold::OfBase(0.33)));
        assert!(shift.is_worth_it(false, Threshold::OfBase(0.3)));
    }

    /// A gain of a thirtieth is real and not worth a change.
    #[test]
    fn small_gains_are_not_worth_it() {
        let (without, with) = (evenings([0.0; 6], 0.0, 30.0), evenings([0.0; 6], 0.0, 29.0));
        let shift = Pair {
            stratum: &[0; 6],
            weights: &[1.0],
            without: &without,
            with: &with,
        }
        .shift(of_aim(0))
        .unwrap();
        let nothing = Threshold::Amount(0.0);
        assert!(shift.gain(false) == 1.0 && !shift.is_promising(PROMISING, false, nothing));
    }

    #[test]
    fn colder_beyond_chance_and_one_evening_without_an_end_are_harm() {
        let without = evenings([0.0; 6], 0.0, 30.0);
        let harms = |cold: [f64; 6], unfinished: f64| {
            let with = evenings(cold, unfinished, 0.0);
            Pair {
                stratum: &[0; 6],
                weights: &[1.0],
                without: &without,
                with: &with,
            }
            .harms()
        };
        assert!(!harms([0.0; 6], 0.0));
        assert!(harms([3.0, 4.0, 5.0, 3.0, 4.0, 6.0], 0.0));
        // Once in six evenings may be chance.
        assert!(!harms([0.0, 0.0, 2.0, 0.0, 0.0, 0.0], 0.0));
        assert!(harms([0.0; 6], 1.0));
    }
}
