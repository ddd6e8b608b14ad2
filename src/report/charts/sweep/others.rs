//! The factors of a sample, and what all but one of them do to a measure.

use super::axes::Axis;
use super::chance::slopes;
use super::view::View;

/// Fewer levels are no sample of a range.
const MIN_SAMPLED: usize = 8;

/// Whether levels are drawn from a range: hardly a point has the same as another.
pub fn is_sampled(axis: &Axis, points: usize) -> bool {
    axis.is_numeric() && axis.len() >= MIN_SAMPLED && points < 2 * axis.len()
}

/// What the sampled factors of a study do to a measure along straight lines. A point of a sample has its own value of
/// every factor, so that what the others do stands in the way of what one does.
pub struct Others {
    /// Factors with the mean of their numbers and their slope.
    lines: Vec<(usize, f64, f64)>,
}

impl Others {
    /// Those of a measure.
    pub fn of(view: &View<'_>, factors: &[usize]) -> Self {
        let points = &view.swept.points;
        let all = factors.iter().filter(|factor| {
            let axis = Axis::new(view.swept, **factor);
            axis.is_some_and(|axis| is_sampled(&axis, points.len()))
        });
        let all: Vec<usize> = all.copied().collect();
        let numbers = |point: usize| -> Option<Vec<f64>> {
            let number = |factor: &usize| Self::number(view, point, *factor);
            all.iter().map(number).collect()
        };
        let known = (0..points.len()).filter_map(|p| Some((numbers(p)?, view.at(p)?.mean)));
        let (known, values): (Vec<Vec<f64>>, Vec<f64>) = known.unzip();
        // A line through hardly more points than there are lines fits anything.
        if all.len() < 2 || values.len() < 3 * all.len() {
            return Self { lines: Vec::new() };
        }
        let slopes = slopes(&known, &values);
        let mean = |at: usize| known.iter().map(|p| p[at]).sum::<f64>() / known.len() as f64;
        let lines = all.iter().zip(slopes).enumerate();
        Self {
            lines: lines
                .map(|(at, (factor, slope))| (*factor, mean(at), slope))
                .collect(),
        }
    }

    fn number(view: &View<'_>, point: usize, factor: usize) -> Option<f64> {
        let level = *view.swept.points.get(point)?.get(factor)?;
        let level = view.swept.factors.get(factor)?.levels.get(level)?;
        level.number.filter(|number| number.is_finite())
    }

    /// Whether anything is taken out.
    pub fn is_any(&self) -> bool {
        !self.lines.is_empty()
    }

    /// What all factors but one add to the value at a point.
    pub fn add(&self, view: &View<'_>, point: usize, but: usize) -> f64 {
        let others = self.lines.iter().filter(|(factor, ..)| *factor != but);
        let part = |(factor, mean, slope): &(usize, f64, f64)| {
            Self::number(view, point, *factor).map_or(0.0, |number| slope * (number - mean))
        };
        others.map(part).sum()
    }
}
