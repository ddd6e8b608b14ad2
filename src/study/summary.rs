//! What the replications of a design point say of each measure and target, and of a factor moved alone.
//!
//! In: replications, columns as [`Study::measures`]. Out: estimates ([`Cell`]), shares of evenings with
//! Wilson's interval ([`Kept`]), swings for the tornado, and all of a study as [`Swept`].

use std::collections::BTreeMap;

use super::design::Study;
use super::design::coordinate::Coordinate;
use super::design::factor::{Factor as Varied, Varies};
use super::design::wanted::{Limit, Target as Wanted};
use super::plan::LEVEL;
use super::replications::Replication;
use super::swept::{Cell, Factor, Level, Swept, Swing, Target, Verdict};
use crate::statistics::interval::{Sample, wilson};
use crate::statistics::paired::paired;

/// In how many evenings a target was met.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kept {
    /// Share of the evenings; `None` if the measure had a value in none.
    pub share: Option<f64>,
    /// Ends of its 95 % interval.
    pub interval: (f64, f64),
}

/// The values of a column, in order, where there are any.
fn column(replications: &[Replication], measure: usize) -> Vec<f64> {
    let value = |played: &Replication| played.values.get(measure).copied().flatten();
    replications.iter().filter_map(value).collect()
}

/// The estimate of a column.
#[must_use]
pub fn estimate(replications: &[Replication], measure: usize) -> Cell {
    let sample = Sample::of(&column(replications, measure));
    Cell {
        mean: sample.map(|sample| sample.mean),
        half_width: sample.and_then(|sample| sample.half_width(LEVEL)),
        n: sample.map_or(0, |sample| sample.n as u64),
    }
}

/// In how many evenings a target was met whose measure is that column. One that was not finished leaves out what was
/// not done, and meets none.
#[must_use]
pub fn kept(replications: &[Replication], measure: usize, target: &Wanted) -> Kept {
    let value = |played: &Replication| played.values.get(measure).copied().flatten();
    let all = || {
        replications
            .iter()
            .filter_map(|played| Some((value(played)?, played.finished)))
    };
    let n = all().count() as u64;
    let good = all().filter(|(value, finished)| *finished && target.limit.holds(*value));
    let good = good.count() as u64;
    Kept {
        share: (n > 0).then(|| good as f64 / n as f64),
        interval: wilson(good, n, LEVEL),
    }
}

/// How the other differs from the first in a measure, pair by pair, and the half-width of that.
#[must_use]
pub fn difference(
    other: &[Replication],
    first: &[Replication],
    measure: usize,
) -> (Option<f64>, Option<f64>) {
    let value = |played: &Replication| played.values.get(measure).copied().flatten();
    let pairs = other.iter().zip(first);
    let pairs = pairs.filter(|(a, b)| a.number == b.number);
    let both = pairs.filter_map(|(a, b)| Some((value(a)?, value(b)?)));
    let (a, b): (Vec<f64>, Vec<f64>) = both.unzip();
    match paired(&a, &b) {
        Some(paired) => (Some(paired.mean_difference), paired.half_width(LEVEL)),
        None => (None, None),
    }
}

/// How far each factor alone moves each measure. `alone` holds the replications of the points of the
/// tornado, in their order.
#[must_use]
pub fn swings(study: &Study, alone: &[Vec<Replication>]) -> Vec<Swing> {
    let Some(base) = alone.first() else {
        return Vec::new();
    };
    let mut swings = Vec::new();
    for (index, factor) in study.factors.iter().enumerate() {
        let moved = study.one_at_a_time().iter().zip(alone).skip(1);
        let moved = moved.filter(|((of, _), _)| *of == index);
        let moved: Vec<(Level, &Vec<Replication>)> = moved
            .filter_map(|((_, at), played)| Some((level(factor, *at)?, played)))
            .collect();
        for measure in 0..study.measures.len() {
            swings.extend(swing(index, measure, base, &moved));
        }
    }
    swings
}

fn level(factor: &Varied, at: Coordinate) -> Option<Level> {
    let level = factor.level(at)?;
    Some(Level {
        text: level.text.clone(),
        number: level.number,
    })
}

fn swing(
    factor: usize,
    measure: usize,
    base: &[Replication],
    moved: &[(Level, &Vec<Replication>)],
) -> Option<Swing> {
    let mean = |(_, played): &(Level, &Vec<Replication>)| estimate(played, measure).mean;
    let words = moved.iter().any(|(level, _)| level.number.is_none());
    let key = |moved: &(Level, &Vec<Replication>)| match moved.0.number {
        Some(number) if !words => Some(number),
        _ => mean(moved),
    };
    let with_key = || moved.iter().filter_map(|moved| Some((key(moved)?, moved)));
    let (_, low) = with_key().min_by(|a, b| a.0.total_cmp(&b.0))?;
    let (_, high) = with_key().max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(Swing {
        factor,
        measure,
        low: low.0.clone(),
        high: high.0.clone(),
        at_base: estimate(base, measure),
        at_low: estimate(low.1, measure),
        at_high: estimate(high.1, measure),
        low_half_width: difference(low.1, base, measure).1,
        high_half_width: difference(high.1, base, measure).1,
    })
}

/// A study as played, from the estimates of its design points.
#[must_use]
pub fn swept(
    study: &Study,
    cells: Vec<Vec<Cell>>,
    verdicts: Vec<Verdict>,
    swings: Vec<Swing>,
) -> Swept {
    let mut points = vec![vec![0; study.factors.len()]; cells.len()];
    let factors = study.factors.iter().enumerate();
    let factors = factors
        .map(|(index, factor)| {
            let coordinates = (0..cells.len()).map(|at| study.coordinates(at as u64)[index]);
            let (levels, which) = levels_of(factor, coordinates);
            for (point, which) in points.iter_mut().zip(which) {
                point[index] = which;
            }
            Factor {
                name: factor.name.clone(),
                unit: factor.unit.to_string(),
                levels,
                base: study.base_of(factor).map(|level| Level {
                    text: level.text,
                    number: level.number,
                }),
            }
        })
        .collect();
    Swept {
        title: study.title.clone(),
        name: study.name.clone(),
        wording: study.wording.clone(),
        seed: study.seed,
        factors,
        measures: study
            .measures
            .iter()
            .map(|measure| measure.info())
            .collect(),
        points,
        cells,
        keeping: if study.targets.is_empty() {
            Vec::new()
        } else {
            verdicts.iter().map(|point| point.keeps).collect()
        },
        dangerous: verdicts.iter().map(|point| point.is_unsafe).collect(),
        unfinished: verdicts.into_iter().map(|point| point.is_cut_off).collect(),
        targets: study
            .targets
            .iter()
            .filter_map(|t| limit(study, t))
            .collect(),
        swings,
    }
}

/// The limit of a mean, or of a share of the evenings.
fn limit(study: &Study, target: &Wanted) -> Option<Target> {
    let column = study.measures.iter().position(|m| *m == target.measure);
    let measure = column?;
    let (at_most, at_least) = match target.limit {
        Limit::AtMost(limit) => (Some(limit), None),
        Limit::AtLeast(limit) => (None, Some(limit)),
    };
    Some(Target {
        measure,
        at_most,
        at_least,
        in_share: target.in_share,
    })
}

/// The levels of a factor, and which of them each point has. What varies along a range has the values that
/// came up, in the order of size.
fn levels_of(
    factor: &Varied,
    coordinates: impl Iterator<Item = Coordinate>,
) -> (Vec<Level>, Vec<usize>) {
    match &factor.varies {
        Varies::Levels(list) => {
            let of = |level: &super::design::factor::Level| Level {
                text: level.text.clone(),
                number: level.number,
            };
            let index = |at| match at {
                Coordinate::Level(index) => index,
                Coordinate::At(u) => (u * list.len() as f64) as usize,
                Coordinate::Base => 0,
            };
            (
                list.iter().map(of).collect(),
                coordinates.map(index).collect(),
            )
        }
        Varies::Span(_) => {
            let levels: Vec<Level> = coordinates.filter_map(|at| level(factor, at)).collect();
            let key = |level: &Level| ordered(level.number.unwrap_or(0.0));
            let mut all: BTreeMap<(i64, String), Level> = BTreeMap::new();
            for level in &levels {
                all.insert((key(level), level.text.clone()), level.clone());
            }
            let places: BTreeMap<_, _> = all.keys().cloned().zip(0_usize..).collect();
            let place = |level: &Level| places.get(&(key(level), level.text.clone())).copied();
            let which = levels
                .iter()
                .map(|level| place(level).unwrap_or(0))
                .collect();
            (all.into_values().collect(), which)
        }
    }
}

/// A number as an integer of the same order.
fn ordered(number: f64) -> i64 {
    let bits = number.to_bits() as i64;
    bits ^ (((bits >> 63) as u64) >> 1) as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn played(values: &[Option<f64>]) -> Vec<Replication> {
        let of = |(number, value): (u64, &Option<f64>)| Replication {
            number,
            values: vec![*value],
            finished: true,
        };
        (0..).zip(values).map(of).collect()
    }

    #[test]
    fn what_has_no_value_is_not_counted() {
        let cell = estimate(&played(&[Some(1.0), None, Some(3.0)]), 0);
        assert_eq!((cell.n, cell.mean), (2, Some(2.0)));
        assert_eq!(
            estimate(&played(&[None]), 0),
            Cell {
                mean: None,
                half_width: None,
                n: 0
            }
        );
    }

    #[test]
    fn pairs_are_those_of_the_same_replication() {
        let (a, b) = (
            played(&[Some(2.0), Some(4.0), None]),
            played(&[Some(1.0), Some(2.0), Some(9.0)]),
        );
        // Differences 1 and 2: mean 1.5, and t(1 df, 97.5 %) = 12.7062 (a printed table of Student's t)
        // times 0.5.
        let (mean, half_width) = difference(&a, &b, 0);
        assert_eq!(mean, Some(1.5));
        assert!((half_width.unwrap() - 6.3531).abs() < 1e-4);
    }

    #[test]
    fn numbers_keep_their_order_as_integers() {
        let numbers = [-2.0, -1.5, -0.0, 0.0, 1e-9, 3.0];
        assert!(
            numbers
                .windows(2)
                .all(|two| ordered(two[0]) <= ordered(two[1]))
        );
    }
}
