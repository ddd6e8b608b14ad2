//! A factor along the lower edge of a plot: on a scale if its levels are numbers, evenly spaced if they
//! are words.

use super::super::axis::Scale;
use super::super::font::fitted;
use super::super::scene::Scene;
use super::super::style::{AXIS, GRID, NOTE};
use super::axes::Axis;
use super::page::{
    Area, LABELS_BELOW, LINE_HEIGHT, apart, base_mark, labels_along, room_for, two_lines,
};

/// Of the width, left free at either end of a scale.
const MARGIN: f64 = 0.04;
/// Labels of words take no more than this.
const MAX_LABEL: f64 = 130.0;
/// Narrower places have their labels in one line, every so many.
const MIN_BROKEN: f64 = 60.0;
/// More places than this have no strokes.
const MAX_TICKS: usize = 60;

/// Where the levels of a factor are.
pub struct Across<'a> {
    axis: &'a Axis,
    left: f64,
    right: f64,
    scale: Scale,
}

impl<'a> Across<'a> {
    /// The factor from `left` to `right`, px.
    pub fn new(axis: &'a Axis, area: Area) -> Self {
        let least = axis.numbers.first().copied().unwrap_or(0.0);
        let most = axis.numbers.last().copied().unwrap_or(1.0);
        let mut scale = Scale::around(least, most, 6);
        if most > least {
            (scale.base, scale.top) = (least, most);
        }
        let margin = if axis.is_numeric() {
            MARGIN * area.width()
        } else {
            0.0
        };
        Self {
            axis,
            left: area.left + margin,
            right: area.right - margin,
            scale,
        }
    }

    /// Where the level at a place of the axis is, px.
    pub fn x(&self, place: usize) -> f64 {
        match self.axis.numbers.get(place) {
            Some(number) => self.number(*number),
            None => {
                let part = (place as f64 + 0.5) / self.axis.len().max(1) as f64;
                self.left + part * (self.right - self.left)
            }
        }
    }

    /// Where a number is, px.
    pub fn number(&self, number: f64) -> f64 {
        self.left + self.scale.part(number) * (self.right - self.left)
    }

    /// Where the base is, if that is on the axis.
    pub fn base(&self) -> Option<f64> {
        let base = self.axis.base?;
        if !self.axis.is_numeric() {
            return self.axis.base_place().map(|place| self.x(place));
        }
        let is_on = (self.scale.base..=self.scale.top).contains(&base);
        is_on.then(|| self.number(base))
    }

    /// Upright grid lines from `area`'s top to its bottom, and the labels below: of the levels, if all of
    /// them find room, else round numbers, or every so many words.
    pub fn ground(&self, scene: &mut Scene, area: Area) {
        let ticks = self.ticks();
        for (x, _) in &ticks {
            if self.axis.is_numeric() {
                scene.line(vec![(*x, area.top), (*x, area.bottom)], GRID, 1.0);
            }
            if ticks.len() <= MAX_TICKS {
                let foot = area.bottom;
                scene.line(vec![(*x, foot), (*x, foot + 6.0)], AXIS, 1.0);
            }
        }
        if let Some(x) = self.base() {
            base_mark(scene, (x, area.bottom));
        }
        let (places, labels): (Vec<f64>, Vec<(String, String)>) = ticks.into_iter().unzip();
        let (first, second): (Vec<_>, Vec<_>) = labels.into_iter().unzip();
        let y = area.bottom + LABELS_BELOW;
        labels_along(scene, &places, &first, y);
        labels_along(scene, &places, &second, y + LINE_HEIGHT);
    }

    /// Room that a second line of labels takes.
    pub fn more(&self) -> f64 {
        let is_broken = |tick: &(f64, (String, String))| !tick.1.1.is_empty();
        if self.ticks().iter().any(is_broken) {
            LINE_HEIGHT
        } else {
            0.0
        }
    }

    fn ticks(&self) -> Vec<(f64, (String, String))> {
        let room = (self.right - self.left) / self.axis.len().max(1) as f64 - 12.0;
        let is_broken = !self.axis.is_numeric() && room >= MIN_BROKEN;
        let short = |label: &str| {
            if is_broken {
                two_lines(label, room)
            } else {
                (fitted(label, NOTE.em, false, MAX_LABEL), String::new())
            }
        };
        if !self.axis.is_numeric() || self.has_room() {
            let labels = apart(&self.axis.labels, short).into_iter().enumerate();
            return labels
                .map(|(place, label)| (self.x(place), label))
                .collect();
        }
        // Round numbers lie on the same scale, between its ends.
        let (least, most) = (self.scale.base, self.scale.top);
        let round = Scale::around(least, most, 5);
        let hair = 1e-9 * (most - least);
        let ticks = round.ticks().into_iter();
        ticks
            .filter(|tick| (least - hair..=most + hair).contains(tick))
            .map(|tick| (self.number(tick), (round.label(tick), String::new())))
            .collect()
    }

    /// Whether the texts of all levels stand clear of each other.
    fn has_room(&self) -> bool {
        if self.axis.len() > MAX_TICKS {
            return false;
        }
        let half = |place: usize| 0.5 * room_for([self.axis.labels[place].as_str()], NOTE.em);
        (1..self.axis.len())
            .all(|place| self.x(place - 1) + half(place - 1) + 12.0 <= self.x(place) - half(place))
    }
}
