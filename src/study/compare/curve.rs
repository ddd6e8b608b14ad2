//! The difference minute by minute: its mean with a 95 % interval, paired.
//!
//! In: the samples of the base and of an alternative, replication by replication. Out: a [`Curve`] for
//! each series that both have. Evenings are laid side by side by time of day, to the nearest minute;
//! what lies before the later start or after the earlier horizon is not compared. A minute in which
//! fewer than one pair in ten has a value in both evenings gets none.
//!
//! Only what waits, what dries on and the clean stock is compared, so that memory stays some 30 MB per scenario.

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::room::Room;
use crate::service::series::{MISSING, series_of};
use crate::service::series::{SeriesInfo, SeriesKind};
use crate::statistics::interval::Sample;
use crate::study::plan::LEVEL;

/// A minute has a value if one pair in this many has one.
const ONE_IN: u64 = 10;

/// The difference in one series: the alternative less the base.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Curve {
    /// Name and unit.
    pub info: SeriesInfo,
    /// Time of day of its first minute, s.
    pub start_s: f64,
    /// Mean, an element per minute.
    pub mean: Vec<Option<f64>>,
    /// Half-width of its 95 % interval, of that minute alone.
    pub half_width: Vec<Option<f64>>,
    /// Pairs with a value in both evenings.
    pub pairs: Vec<u64>,
}

/// The series of a room that are compared, with their rows among its samples: what waits at each
/// stage, what has dried on, the clean stock. What people and machines are doing is left out.
#[must_use]
pub fn compared(room: &Room) -> Vec<(usize, SeriesInfo)> {
    let all = series_of(room).into_iter().enumerate();
    all.filter(|(_, info)| is_compared(info.kind)).collect()
}

const fn is_compared(kind: SeriesKind) -> bool {
    matches!(
        kind,
        SeriesKind::OnTables
            | SeriesKind::AtDropOff
            | SeriesKind::InSoak
            | SeriesKind::AtPotSink
            | SeriesKind::ToRack
            | SeriesKind::RacksWaiting
            | SeriesKind::OnLanding
            | SeriesKind::RacksParked
            | SeriesKind::RacksStored
            | SeriesKind::ToPutAway
            | SeriesKind::SoiledWaiting
            | SeriesKind::FloorTubs
            | SeriesKind::DriedOnShare
            | SeriesKind::ExpectedRewash
            | SeriesKind::CleanStock(_)
    )
}

/// Differences of all alternatives being folded.
pub struct Folding {
    replications: u64,
    /// By alternative, then series.
    pairs: Vec<Vec<PairOfSeries>>,
}

/// One series in the base and in an alternative.
struct PairOfSeries {
    info: SeriesInfo,
    start_s: f64,
    /// Where the first minute compared stands in the samples of the base, and of the alternative.
    first: [usize; 2],
    sums: Vec<Sum>,
}

/// Mean and squares of differences as they come (Welford 1962, from memory): differences that do not
/// vary have squares of exactly 0.
#[derive(Clone, Copy, Default)]
struct Sum {
    n: u64,
    mean: f64,
    squares: f64,
}

impl Folding {
    /// Nothing folded yet; the first room is the base's.
    pub fn new(rooms: &[Room]) -> Self {
        let pairs = rooms
            .iter()
            .skip(1)
            .map(|other| series_of_both(&rooms[0], other));
        Self {
            replications: 0,
            pairs: pairs.collect(),
        }
    }

    /// Adds replications: by scenario, then replication, the compared samples, series by series. Each
    /// series is folded by one thread in the order of the replications.
    pub fn fold(&mut self, samples: &[Vec<&[f32]>]) {
        let Some((base, others)) = samples.split_first() else {
            return;
        };
        self.replications += base.len() as u64;
        for (pairs, other) in self.pairs.iter_mut().zip(others) {
            pairs.par_iter_mut().for_each(|pair| {
                for (base, other) in base.iter().zip(other) {
                    pair.add(base, other);
                }
            });
        }
    }

    /// The curves of each alternative.
    pub fn finish(self) -> Vec<Vec<Curve>> {
        let replications = self.replications;
        let of_one = |pairs: Vec<PairOfSeries>| {
            pairs
                .into_iter()
                .map(|pair| pair.curve(replications))
                .collect()
        };
        self.pairs.into_iter().map(of_one).collect()
    }
}

/// The series that both rooms have, by name, laid side by side.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // minutes of a day
fn series_of_both(base: &Room, other: &Room) -> Vec<PairOfSeries> {
    let later_min = libm::round((other.hours.start_s - base.hours.start_s) / 60.0);
    let skipped = [later_min.max(0.0) as usize, (-later_min).max(0.0) as usize];
    let [in_base, in_other] = [base, other].map(|room| room.hours.minutes());
    let minutes = in_base
        .saturating_sub(skipped[0])
        .min(in_other.saturating_sub(skipped[1]));
    if minutes == 0 {
        return Vec::new();
    }
    let others = compared(other);
    let both = compared(base)
        .into_iter()
        .enumerate()
        .filter_map(|(row, (_, info))| {
            let same = |(_, other): &(usize, SeriesInfo)| other.name == info.name;
            let row_of_other = others.iter().position(same)?;
            Some(PairOfSeries {
                info,
                start_s: base.hours.start_s + 60.0 * skipped[0] as f64,
                first: [
                    row * in_base + skipped[0],
                    row_of_other * in_other + skipped[1],
                ],
                sums: vec![Sum::default(); minutes],
            })
        });
    both.collect()
}

impl PairOfSeries {
    fn add(&mut self, base: &[f32], other: &[f32]) {
        let [base, other] = [&base[self.first[0]..], &other[self.first[1]..]];
        for (sum, (base, other)) in self.sums.iter_mut().zip(base.iter().zip(other)) {
            if *base != MISSING && *other != MISSING {
                sum.add(f64::from(*other) - f64::from(*base));
            }
        }
    }

    fn curve(self, replications: u64) -> Curve {
        let enough = |sum: &&Sum| sum.n > 0 && sum.n * ONE_IN >= replications;
        // Most minutes have a value on every evening, and so the same Student quantile.
        let mut of_one: BTreeMap<u64, Option<f64>> = BTreeMap::new();
        let mut half_width = |sum: &Sum| {
            let factor = of_one
                .entry(sum.n)
                .or_insert_with(|| half_width_of_one(sum.n));
            Some((*factor)? * sum.sd()?)
        };
        let sums = || self.sums.iter().map(|sum| Some(sum).filter(enough));
        Curve {
            mean: sums().map(|sum| sum.map(|sum| sum.mean)).collect(),
            half_width: sums().map(|sum| half_width(sum?)).collect(),
            pairs: self.sums.iter().map(|sum| sum.n).collect(),
            info: self.info,
            start_s: self.start_s,
        }
    }
}

impl Sum {
    fn add(&mut self, value: f64) {
        self.n += 1;
        let from_mean = value - self.mean;
        self.mean += from_mean / self.n as f64;
        self.squares += from_mean * (value - self.mean);
    }

    fn sd(&self) -> Option<f64> {
        (self.n > 1).then(|| libm::sqrt(self.squares / (self.n as f64 - 1.0)))
    }
}

/// Half-width of the interval of a mean of so many values whose standard deviation is 1.
fn half_width_of_one(n: u64) -> Option<f64> {
    let sample = Sample {
        n: usize::try_from(n).ok()?,
        mean: 0.0,
        sd: Some(1.0),
    };
    sample.half_width(LEVEL)
}

impl Curve {
    /// Without the minutes after this time of day, s.
    pub fn end_at(&mut self, end_s: f64) {
        let in_time = |minute: usize| self.start_s + 60.0 * minute as f64 <= end_s;
        let count = (0..self.pairs.len()).take_while(|m| in_time(*m)).count();
        self.mean.truncate(count);
        self.half_width.truncate(count);
        self.pairs.truncate(count);
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::scenario::{Loaded, load, load_changed};
    use crate::study::compare::{Comparison, HEADLINE, compare};
    use crate::study::{Plan, Watch};

    const SUPPER: &str = "tests/late-supper.toml";

    fn loaded(file: &str) -> Loaded {
        load(Path::new(file)).unwrap_or_else(|mistakes| panic!("{mistakes}"))
    }

    fn changed(text: &str) -> Loaded {
        load_changed(Path::new(SUPPER), text).unwrap_or_else(|mistakes| panic!("{mistakes}"))
    }

    fn compared(base: Loaded, other: Loaded) -> Comparison {
        let plan = Plan::new(12);
        compare(&[base, other], &plan, &HEADLINE, &Watch::default()).unwrap()
    }

    fn of<'c>(comparison: &'c Comparison, name: &str) -> &'c Curve {
        let mut curves = comparison.alternatives[0].curves.iter();
        curves.find(|curve| curve.info.name == name).unwrap()
    }

    /// A door that opens twenty minutes sooner, with nobody to come in: every minute of the clock is the
    /// same, whichever of the two is the base.
    #[test]
    fn evenings_are_laid_side_by_side_by_the_clock() {
        let sooner = || changed("[service]\nopens = \"21:40\"\n");
        for (base, other) in [(loaded(SUPPER), sooner()), (sooner(), loaded(SUPPER))] {
            let comparison = compared(base, other);
            assert_ne!(
                comparison.base.clock.start_s,
                comparison.alternatives[0].side.clock.start_s
            );
            let curve = of(&comparison, "soiled_waiting");
            assert_eq!(curve.start_s, 22.0 * 3600.0);
            assert!(curve.mean.len() > 120, "{}", curve.mean.len());
            assert!(curve.mean.iter().all(|mean| *mean == Some(0.0)));
            assert!(curve.half_width.iter().all(|half| *half == Some(0.0)));
            assert!(curve.pairs.iter().all(|pairs| *pairs == 12));
        }
    }

    #[test]
    fn evenings_without_a_minute_in_common_have_no_course() {
        let comparison = compared(loaded("tests/plain-line.toml"), loaded(SUPPER));
        assert!(comparison.alternatives[0].curves.is_empty());
        let comparison = compared(loaded(SUPPER), loaded("tests/plain-line.toml"));
        assert!(comparison.alternatives[0].curves.is_empty());
    }

    /// Shares exist only while something waits; nothing is reported for a minute that few pairs have in both.
    #[test]
    fn a_share_is_compared_where_both_have_it() {
        let comparison = compared(loaded(SUPPER), loaded("tests/late-supper-helped.toml"));
        let curve = of(&comparison, "dried_on_share");
        for (minute, pairs) in curve.pairs.iter().enumerate() {
            assert_eq!(curve.mean[minute].is_some(), *pairs >= 2, "{minute}");
            assert_eq!(curve.half_width[minute].is_some(), *pairs >= 2);
        }
        assert!(curve.pairs.contains(&0) && curve.pairs.iter().any(|pairs| *pairs > 6));
    }

    /// 1, 2, 4 and 9: mean 4, squares 9 + 4 + 0 + 25, standard deviation √(38/3).
    #[test]
    fn sums_are_those_of_the_textbook() {
        let mut sum = Sum::default();
        [1.0, 2.0, 4.0, 9.0]
            .into_iter()
            .for_each(|value| sum.add(value));
        assert_eq!((sum.n, sum.mean), (4, 4.0));
        assert!((sum.sd().unwrap() - libm::sqrt(38.0 / 3.0)).abs() < 1e-12);
        let mut same = Sum::default();
        (0..7).for_each(|_| same.add(0.1));
        assert_eq!(same.sd(), Some(0.0));
    }
}
