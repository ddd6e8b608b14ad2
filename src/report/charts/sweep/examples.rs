//! Made-up studies for the tests of the charts.

use crate::service::measure::{Measure, MeasureInfo};
use crate::study::swept::{Cell, Factor, Level, Swept, Swing, Target};

/// A factor of numbers.
pub fn numbers(name: &str, unit: &str, levels: &[f64]) -> Factor {
    let level = |number: &f64| Level {
        text: ((number * 1e4).round() / 1e4).to_string(),
        number: Some(*number),
    };
    Factor {
        name: name.to_owned(),
        unit: unit.to_owned(),
        levels: levels.iter().map(level).collect(),
        base: None,
    }
}

/// A factor of words.
pub fn words(name: &str, levels: &[&str]) -> Factor {
    let level = |text: &&str| Level {
        text: (*text).to_owned(),
        number: None,
    };
    Factor {
        name: name.to_owned(),
        unit: String::new(),
        levels: levels.iter().map(level).collect(),
        base: None,
    }
}

/// The levels' numbers, or their places, of a design point.
fn settings(factors: &[Factor], point: &[usize]) -> Vec<f64> {
    let of =
        |(factor, level): (&Factor, &usize)| factor.levels[*level].number.unwrap_or(*level as f64);
    factors.iter().zip(point).map(of).collect()
}

/// Every combination of levels, the last factor fastest.
pub fn grid(factors: &[Factor]) -> Vec<Vec<usize>> {
    factors.iter().fold(vec![Vec::new()], |points, factor| {
        let longer = |point: &Vec<usize>, level| [point.as_slice(), &[level]].concat();
        let levels = 0..factor.levels.len();
        let of = |point: Vec<usize>| -> Vec<Vec<usize>> {
            levels.clone().map(|level| longer(&point, level)).collect()
        };
        points.into_iter().flat_map(of).collect()
    })
}

/// A study of `points` whose estimates are `mean` of measure and settings, with some 5 % on either side.
pub fn study(
    factors: Vec<Factor>,
    points: Vec<Vec<usize>>,
    measures: &[Measure],
    mean: impl Fn(Measure, &[f64]) -> Option<f64>,
) -> Swept {
    let cells = points.iter().enumerate().map(|(i, point)| {
        let settings = settings(&factors, point);
        let cell = |m: &Measure| {
            let luck = ((i * 37 + *m as usize * 11) % 17) as f64 / 8.0 - 1.0;
            let mean = mean(*m, &settings).map(|v| v * (1.0 + 0.03 * luck));
            Cell {
                mean,
                half_width: mean.map(|v| 0.05 * v.abs()),
                n: if mean.is_some() { 100 } else { 0 },
            }
        };
        measures.iter().map(cell).collect()
    });
    Swept {
        title: "Crew and conveyor on a Friday at the Tin Lantern, Wrackmouth".to_owned(),
        name: "crew-and-conveyor".to_owned(),
        wording: crate::scenario::wording::Wording::default(),
        seed: 1,
        cells: cells.collect(),
        measures: measures
            .iter()
            .map(|m| m.info())
            .collect::<Vec<&'static MeasureInfo>>(),
        points,
        factors,
        targets: Vec::new(),
        unfinished: Vec::new(),
        dangerous: Vec::new(),
        keeping: Vec::new(),
        swings: Vec::new(),
    }
}

/// What loaders, tunnel and landing do to an evening.
pub fn evening(measure: Measure, settings: &[f64]) -> Option<f64> {
    let of = |i: usize, otherwise: f64| settings.get(i).copied().unwrap_or(otherwise);
    let (loaders, tunnel, landing) = (of(0, 2.0), of(1, 2.4), of(2, 2.0));
    let strength = (34.0 * loaders)
        .min(30.0 * tunnel)
        .min(44.0 + 14.0 * landing);
    let late = libm::exp((66.0 - strength) / 16.0);
    Some(match measure {
        Measure::DriedOnShare => (0.025 * late + 0.004).min(0.6),
        Measure::WaitMean => 4.5 * late + 1.2,
        Measure::MachineStopped => (70.0 - 22.0 * landing + 3.0 * tunnel).max(0.0),
        Measure::CrewOutAfterClose => 38.0 * late - 12.0,
        Measure::Cost => 360.0 + 74.0 * loaders + 18.0 * tunnel + 6.0 * landing + 20.0 * late,
        _ => return None,
    })
}

/// What the made-up studies measure.
pub const MEASURES: [Measure; 5] = [
    Measure::DriedOnShare,
    Measure::WaitMean,
    Measure::MachineStopped,
    Measure::CrewOutAfterClose,
    Measure::Cost,
];

const TUNNELS: [f64; 6] = [1.2, 1.8, 2.4, 3.0, 3.6, 4.2];
const LANDINGS: [f64; 5] = [1.0, 1.5, 2.0, 2.5, 3.0];

/// A factor is called as a person would call it.
pub fn loaders() -> Factor {
    numbers("loaders", "", &[1.0, 2.0, 3.0, 4.0])
}

/// The length of the tunnel.
pub fn tunnel() -> Factor {
    numbers("tunnel length", "m", &TUNNELS)
}

/// The length of the landing.
pub fn landing() -> Factor {
    numbers("landing length", "m", &LANDINGS)
}

/// A full grid of these factors, with targets for what dries on and when the crew is out.
pub fn of(factors: Vec<Factor>) -> Swept {
    let points = grid(&factors);
    let mut swept = study(factors, points, &MEASURES, evening);
    swept.targets = vec![
        Target {
            measure: 0,
            at_most: Some(0.03),
            at_least: None,
            in_share: None,
        },
        Target {
            measure: 3,
            at_most: Some(45.0),
            at_least: None,
            in_share: None,
        },
    ];
    swept
}

/// The same with a pass of one factor at a time from the middle of each.
pub fn with_swings(mut swept: Swept) -> Swept {
    let middle: Vec<usize> = swept.factors.iter().map(|f| f.levels.len() / 2).collect();
    let base = settings(&swept.factors, &middle);
    for factor in 0..swept.factors.len() {
        let levels = &swept.factors[factor].levels;
        let last = levels.len() - 1;
        for (measure, of) in MEASURES.into_iter().enumerate() {
            let at = |level: usize| {
                let mut here = base.clone();
                here[factor] = levels[level].number.unwrap_or(level as f64);
                let mean = evening(of, &here);
                Cell {
                    mean,
                    half_width: mean.map(|v| 0.05 * v),
                    n: 100,
                }
            };
            let half = |level: usize| {
                let moved = at(level).mean? - at(middle[factor]).mean?;
                Some(0.12 * moved.abs() + 0.004 * at(level).mean?.abs())
            };
            swept.swings.push(Swing {
                factor,
                measure,
                low: levels[0].clone(),
                high: levels[last].clone(),
                at_base: at(middle[factor]),
                at_low: at(0),
                at_high: at(last),
                low_half_width: half(0),
                high_half_width: half(last),
            });
        }
    }
    swept
}
