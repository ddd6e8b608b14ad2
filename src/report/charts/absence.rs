//! When the crew is short of hands by its plan: breaks, and ends of shifts while others stay. They make many of
//! the peaks of what waits, so they are marked above it.
//!
//! Of one evening both are read from the series of the crew: a break is where somebody is on one in most evenings, a shift ends
//! where in most evenings one fewer is there from one minute to the next. A comparison keeps no such series, and takes them
//! from the rosters.

use super::frame::TimeAxis;
use super::scene::Scene;
use super::style::GREY;
use crate::report::number::finite;
use crate::scenario::model::Duty;
use crate::service::series::SeriesKind;
use crate::study::compare::Away;
use crate::study::evening::{Band, Evening};
use plotters::style::RGBColor;

/// In most evenings.
const MOST: f64 = 0.5;
/// No plan goes on for so long, min.
const MAX_MIN: f64 = 10_000.0;
/// Height of the bar of a break, px.
const BAR: f64 = 5.0;
/// Half the width, and the height, of the triangle of a shift that ends, px.
const TRIANGLE: (f64, f64) = (6.0, 9.0);

/// Breaks and ends of shifts.
#[derive(Debug, Default, PartialEq)]
pub struct Absences {
    /// From the first minute of a break to the first after it.
    breaks: Vec<(usize, usize)>,
    /// The first minute with one fewer.
    ends: Vec<usize>,
}

impl Absences {
    /// Those of an evening.
    pub fn of(evening: &Evening) -> Self {
        let on_break = find(evening, SeriesKind::OnBreak);
        let on_break = on_break.map_or(&[][..], |band| band.mean.as_slice());
        let is_break = |v: &Option<f64>| finite(*v).is_some_and(|v| v >= MOST);
        let there = there(evening);
        let pairs = there.windows(2).zip(1..);
        let ends = pairs.filter(|(pair, _)| pair[0] - pair[1] >= MOST && pair[1] >= MOST);
        Self {
            breaks: runs(on_break.iter().map(is_break)),
            ends: ends.map(|(_, minute)| minute).collect(),
        }
    }

    /// Whether there are any, of either.
    pub fn any(&self) -> (bool, bool) {
        (!self.breaks.is_empty(), !self.ends.is_empty())
    }

    /// Those of a plan, on an axis from `from_s` on.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // checked
    pub fn planned(away: &Away, from_s: f64) -> Self {
        let minute =
            |time_s: f64| libm::round(((time_s - from_s) / 60.0).clamp(0.0, MAX_MIN)) as usize;
        let later = |time_s: &f64| *time_s > from_s;
        Self {
            breaks: (away.breaks_s.iter().filter(|(_, to)| later(to)))
                .map(|(from, to)| (minute(*from), minute(*to)))
                .collect(),
            ends: away
                .ends_s
                .iter()
                .filter(|end| later(end))
                .map(|end| minute(*end))
                .collect(),
        }
    }

    /// Along the upper edge of a panel: a bar for each break, a triangle for each shift that ends.
    pub fn draw(&self, scene: &mut Scene, axis: &TimeAxis, top: f64) {
        self.draw_in(scene, axis, top, GREY);
    }

    /// The same in a colour.
    pub fn draw_in(&self, scene: &mut Scene, axis: &TimeAxis, top: f64, color: RGBColor) {
        for (from, to) in self.breaks.iter().filter(|(from, _)| *from < axis.minutes) {
            let ends = (axis.minute(*from), axis.minute(*to).min(axis.right));
            scene.rect((ends.0, top), (ends.1, top + BAR), color);
        }
        for minute in self.ends.iter().filter(|minute| **minute < axis.minutes) {
            let (x, (half, height)) = (axis.minute(*minute), TRIANGLE);
            scene.area(
                vec![(x - half, top), (x + half, top), (x, top + height)],
                color,
            );
        }
    }
}

fn find(evening: &Evening, kind: SeriesKind) -> Option<&Band> {
    evening.series.iter().find(|band| band.info.kind == kind)
}

/// People there, minute by minute.
fn there(evening: &Evening) -> Vec<f64> {
    let at_duty = Duty::ALL.into_iter().map(SeriesKind::AtDuty);
    let others = [SeriesKind::Walking, SeriesKind::Free, SeriesKind::OnBreak];
    let mut sum: Vec<f64> = Vec::new();
    let bands = at_duty.chain(others).filter_map(|kind| find(evening, kind));
    for Band { mean, .. } in bands {
        sum.resize(sum.len().max(mean.len()), 0.0);
        for (sum, value) in sum.iter_mut().zip(mean) {
            *sum += finite(*value).unwrap_or(0.0);
        }
    }
    sum
}

/// Stretches of what is true.
fn runs(values: impl Iterator<Item = bool>) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (at, _) in values.enumerate().filter(|(_, is_so)| *is_so) {
        match runs.last_mut() {
            Some((_, end)) if *end == at => *end = at + 1,
            _ => runs.push((at, at + 1)),
        }
    }
    runs
}
