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

/// What the factors of a sample do to a measure: sampled ones along straight lines, each level of the others by an amount
/// of its own. A point of a sample has its own value of every factor, so that what the others do stands in the way of
/// what one does.
pub struct Others {
    /// What is added, with the mean over the points and the slope.
    parts: Vec<(Part, f64, f64)>,
}

/// What adds to a measure.
#[derive(Clone, Copy)]
enum Part {
    /// The number of a factor.
    Line(usize),
    /// A level of a factor.
    Level(usize, usize),
}

impl Part {
    const fn factor(self) -> usize {
        match self {
            Self::Line(factor) | Self::Level(factor, _) => factor,
        }
    }

    /// Its number at a point: that of the factor, or 1 where the factor has the level.
    fn at(self, view: &View<'_>, point: usize) -> Option<f64> {
        let level = *view.swept.points.get(point)?.get(self.factor())?;
        match self {
            Self::Line(factor) => {
                let level = view.swept.factors.get(factor)?.levels.get(level)?;
                level.number.filter(|number| number.is_finite())
            }
            Self::Level(_, of) => Some(f64::from(level == of)),
        }
    }
}

impl Others {
    /// Those of a measure.
    pub fn of(view: &View<'_>, factors: &[usize]) -> Self {
        let points = &view.swept.points;
        let is_drawn = |factor: usize| {
            let axis = Axis::new(view.swept, factor);
            axis.is_some_and(|axis| is_sampled(&axis, points.len()))
        };
        let parts_of = |factor: &usize| -> Vec<Part> {
            let levels = view
                .swept
                .factors
                .get(*factor)
                .map_or(0, |of| of.levels.len());
            if is_drawn(*factor) {
                vec![Part::Line(*factor)]
            } else {
                (1..levels)
                    .map(|level| Part::Level(*factor, level))
                    .collect()
            }
        };
        let none = Self { parts: Vec::new() };
        if !factors.iter().any(|factor| is_drawn(*factor)) {
            return none;
        }
        let all: Vec<Part> = factors.iter().flat_map(parts_of).collect();
        let numbers = |point: usize| -> Option<Vec<f64>> {
            all.iter().map(|part| part.at(view, point)).collect()
        };
        let known = (0..points.len()).filter_map(|p| Some((numbers(p)?, view.at(p)?.mean)));
        let (known, values): (Vec<Vec<f64>>, Vec<f64>) = known.unzip();
        // A line through hardly more points than there are lines fits anything.
        if all.len() < 2 || values.len() < 3 * all.len() {
            return none;
        }
        let slopes = slopes(&known, &values);
        let mean = |at: usize| known.iter().map(|p| p[at]).sum::<f64>() / known.len() as f64;
        let parts = all.iter().zip(slopes).enumerate();
        Self {
            parts: parts
                .map(|(at, (part, slope))| (*part, mean(at), slope))
                .collect(),
        }
    }

    /// Whether anything is taken out.
    pub fn is_any(&self) -> bool {
        !self.parts.is_empty()
    }

    /// What all factors but one add to the value at a point.
    pub fn add(&self, view: &View<'_>, point: usize, but: usize) -> f64 {
        let others = self.parts.iter().filter(|(part, ..)| part.factor() != but);
        let part = |(part, mean, slope): &(Part, f64, f64)| {
            part.at(view, point)
                .map_or(0.0, |number| slope * (number - mean))
        };
        others.map(part).sum()
    }
}
