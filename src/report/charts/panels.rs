//! Small multiples: a panel a series, median and band, all on the same clock.

use super::axis::Scale;
use super::font::{SUBSTITUTE, fitted, width};
use super::frame::{BOTTOM, EDGE, TOP, TimeAxis, nothing, right_edge};
use super::scene::{Anchor, Point, Scene};
use super::style::{AXIS, BAND, GRID, HEADING, LEAST, LINE, NOTE};
use crate::report::number::finite;
use crate::report::tables_csv::length;
use crate::study::evening::{Band, Evening};

const HEADING_HEIGHT: f64 = 27.0;
const ROW_GAP: f64 = 14.0;
const COLUMN_GAP: f64 = 34.0;

/// One panel.
pub struct Panel<'a> {
    /// What it shows.
    pub heading: String,
    /// In which unit.
    pub unit: &'static str,
    /// The values.
    pub band: &'a Band,
    /// Values are multiplied by this to be shown.
    pub factor: f64,
    /// Whether ticks are whole numbers.
    pub whole: bool,
    /// Whether the axis starts near the values rather than at 0.
    pub near: bool,
}

impl Panel<'_> {
    fn scale(&self, with_band: bool, ticks: usize) -> Scale {
        let least = self.band.info.least;
        let most = self.most(with_band);
        if !self.near {
            return Scale::new(most, ticks, self.whole);
        }
        let lower: &[Option<f64>] = if with_band { &self.band.p10 } else { &[] };
        let all = middle(self.band).iter().chain(lower);
        let low = all.filter_map(|v| finite(*v)).fold(f64::INFINITY, f64::min);
        let (low, high) = least.map_or((low, most), |least| (low.min(least), most.max(least)));
        Scale::between(low, high, ticks)
    }

    fn most(&self, with_band: bool) -> f64 {
        let upper: &[Option<f64>] = if with_band { &self.band.p90 } else { &[] };
        let all = middle(self.band).iter().chain(upper);
        self.factor * all.filter_map(|v| finite(*v)).fold(0.0, f64::max)
    }
}

/// The median; the mean where no median was taken.
fn middle(band: &Band) -> &[Option<f64>] {
    if has_values(&band.p50) {
        &band.p50
    } else {
        &band.mean
    }
}

fn has_values(values: &[Option<f64>]) -> bool {
    values.iter().any(|v| finite(*v).is_some())
}

/// Whether a band has anything to draw.
pub fn has_any(band: &Band) -> bool {
    has_values(middle(band))
}

/// Values between two gaps that are drawn at least, min: less is a speck, and no course of anything.
const LEAST_RUN_MIN: usize = 5;

/// Draws the panels in one column, or in two if there are more than `in_a_column`.
pub fn draw(scene: &mut Scene, evening: &Evening, panels: &[Panel<'_>], in_a_column: usize) {
    if panels.is_empty() {
        return nothing(scene);
    }
    let columns = if panels.len() > in_a_column { 2 } else { 1 };
    let rows = panels.len().div_ceil(columns);
    let minutes = panels.iter().map(|p| length(p.band)).max().unwrap_or(0);
    let row_height = (BOTTOM - TOP + ROW_GAP) / rows as f64;
    let with_band = evening.replications > 1;
    let scales: Vec<_> = panels
        .iter()
        .map(|panel| panel.scale(with_band, ticks(row_height)))
        .collect();
    let gutter = scales.iter().map(tick_width).fold(0.0, f64::max) + 14.0;
    let axis_of = |column: usize| {
        let width = (right_edge() - EDGE + COLUMN_GAP) / columns as f64;
        let left = EDGE + width * column as f64;
        TimeAxis::new(
            left + gutter,
            left + width - COLUMN_GAP,
            &evening.clock,
            minutes,
        )
    };
    for (i, panel) in panels.iter().enumerate() {
        let (column, row) = (i % columns, i / columns);
        let axis = axis_of(column);
        let top = TOP + row as f64 * row_height;
        let bounds = (top + HEADING_HEIGHT, top + row_height - ROW_GAP);
        Plot {
            scene,
            evening,
            axis,
            bounds,
            scale: &scales[i],
        }
        .panel(panel);
        if i + columns >= panels.len() {
            axis.labels(scene, bounds.1);
        }
        if row == 0 {
            axis.marks(scene, &evening.clock);
        }
    }
}

fn ticks(row_height: f64) -> usize {
    ((row_height - HEADING_HEIGHT - ROW_GAP) / 25.0).clamp(1.0, 6.0) as usize
}

fn tick_width(scale: &Scale) -> f64 {
    let widths = scale
        .ticks()
        .into_iter()
        .map(|t| width(&scale.label(t), NOTE.em, false));
    SUBSTITUTE * widths.fold(0.0, f64::max)
}

/// The plot of one panel.
struct Plot<'a> {
    scene: &'a mut Scene,
    evening: &'a Evening,
    axis: TimeAxis,
    /// Upper and lower edge, px.
    bounds: Point,
    scale: &'a Scale,
}

impl Plot<'_> {
    fn panel(&mut self, panel: &Panel<'_>) {
        self.heading(panel);
        let (top, bottom) = self.bounds;
        self.axis
            .ground(self.scene, &self.evening.clock, top, bottom);
        grid(self.scene, &self.axis, self.scale, self.bounds);
        if self.evening.replications > 1 {
            self.band(panel);
        }
        if let Some(least) = panel.band.info.least {
            let at = y(self.scale, self.bounds, least);
            let ends = vec![(self.axis.left, at), (self.axis.right, at)];
            self.scene.line(ends, LEAST, 2.0);
        }
        for run in self.runs(middle(panel.band), panel.factor) {
            self.line(run);
        }
        self.axis
            .service(self.scene, &self.evening.clock, top, bottom);
    }

    fn heading(&mut self, panel: &Panel<'_>) {
        let at = (self.axis.left, self.bounds.0 - 9.0);
        heading(self.scene, at, self.axis.right, &panel.heading, panel.unit);
    }

    fn line(&mut self, run: Vec<Point>) {
        if let [(x, y)] = run[..] {
            self.scene
                .rect((x - 2.5, y - 2.5), (x + 2.5, y + 2.5), LINE);
        } else {
            self.scene.line(run, LINE, 2.75);
        }
    }

    fn band(&mut self, panel: &Panel<'_>) {
        let (low, high): (Vec<_>, Vec<_>) = panel
            .band
            .p10
            .iter()
            .zip(&panel.band.p90)
            .map(|(low, high)| finite(*low).zip(finite(*high)).unzip())
            .unzip();
        let lower = self.runs(&low, panel.factor);
        let upper = self.runs(&high, panel.factor);
        for (low, high) in lower.into_iter().zip(upper) {
            self.scene.area(
                high.into_iter().chain(low.into_iter().rev()).collect(),
                BAND,
            );
        }
    }

    /// Points of `values` in runs without gaps, at most one to a pixel; of several evenings without
    /// specks, unless there is nothing else.
    fn runs(&self, values: &[Option<f64>], factor: f64) -> Vec<Vec<Point>> {
        let shown = &values[..values.len().min(self.axis.minutes)];
        let runs: Vec<_> = shown
            .split(|value| finite(*value).is_none())
            .scan(0, |next, run| {
                let first = *next;
                *next += run.len() + 1;
                Some((first, run))
            })
            .filter(|(_, run)| !run.is_empty())
            .collect();
        let is_long = |run: &[Option<f64>]| run.len() >= LEAST_RUN_MIN;
        let all = self.evening.replications == 1 || !runs.iter().any(|(_, run)| is_long(run));
        runs.into_iter()
            .filter(|(_, run)| all || is_long(run))
            .map(|(first, run)| self.points(first, run, factor))
            .collect()
    }

    fn points(&self, first: usize, run: &[Option<f64>], factor: f64) -> Vec<Point> {
        let mut points: Vec<Point> = Vec::new();
        for (minute, value) in run.iter().enumerate() {
            let x = self.axis.minute(first + minute);
            if points.last().is_none_or(|last| x - last.0 >= 0.999) {
                let value = finite(*value).unwrap_or(0.0);
                points.push((x, y(self.scale, self.bounds, value * factor)));
            }
        }
        points
    }
}

/// What a plot shows, with its unit: one run of text, so that no font can push one into the other.
pub fn heading(scene: &mut Scene, at: Point, right: f64, words: &str, unit: &str) {
    let unit = format!(" ({unit})");
    let room = right - at.0 - SUBSTITUTE * width(&unit, HEADING.em, true);
    let words = fitted(words, HEADING.em, true, room) + &unit;
    scene.text(at, words.trim_start(), HEADING, Anchor::Start);
}

/// Where a value is, px; never outside the plot.
pub fn y(scale: &Scale, (top, bottom): Point, value: f64) -> f64 {
    bottom - scale.part(value) * (bottom - top)
}

/// Level grid lines with their labels, and the base line.
pub fn grid(scene: &mut Scene, axis: &TimeAxis, scale: &Scale, bounds: Point) {
    for tick in scale.ticks() {
        let y = y(scale, bounds, tick);
        let color = if tick == scale.base { AXIS } else { GRID };
        scene.line(vec![(axis.left, y), (axis.right, y)], color, 1.0);
        scene.text(
            (axis.left - 10.0, y + 6.5),
            &scale.label(tick),
            NOTE,
            Anchor::End,
        );
    }
}
