//! Small multiples: a panel per series, median and band, all on the same clock.

use super::absence::Absences;
use super::axis::Scale;
use super::font::{SUBSTITUTE, fitted, width};
use super::frame::{BOTTOM, EDGE, TOP, TimeAxis, nothing, right_edge};
use super::scene::{Anchor, Point, Scene};
use super::style::{AXIS, BAND, GRID, HEADING, LEAST, LINE, NOTE};
use crate::report::number::finite;
use crate::report::tables_csv::length;
use crate::study::evening::{Band, Evening};
use crate::words::charts::{NO_VALUES, mean_in};
use plotters::style::RGBColor;

pub const HEADING_HEIGHT: f64 = 27.0;
pub const ROW_GAP: f64 = 14.0;
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
    /// Whether the mean is shown and no band: the values flip between neighbours.
    pub by_mean: bool,
    /// What is said instead of an axis where all values are 0.
    pub none: Option<&'static str>,
}

impl Panel<'_> {
    fn scale(&self, with_band: bool, ticks: usize) -> Scale {
        let with_band = with_band && !self.by_mean;
        let least = self.band.info.least;
        let most = self.most(with_band);
        if !self.near {
            return Scale::new(most, ticks, self.whole && !self.by_mean);
        }
        let lower: &[Option<f64>] = if with_band { &self.band.p10 } else { &[] };
        let all = self.line().iter().chain(lower);
        let low = all.filter_map(|v| finite(*v)).fold(f64::INFINITY, f64::min);
        let (low, high) = least.map_or((low, most), |least| (low.min(least), most.max(least)));
        Scale::between(low, high, ticks)
    }

    /// What the line goes through.
    fn line(&self) -> &[Option<f64>] {
        if self.by_mean {
            &self.band.mean
        } else {
            middle(self.band)
        }
    }

    /// What is said where there is nothing of it in any evening.
    fn nothing(&self) -> Option<&'static str> {
        let band = self.band;
        let mut all = band.mean.iter().chain(&band.p50).chain(&band.p90);
        let is_nothing = all.all(|v| finite(*v).is_none_or(|v| v == 0.0));
        self.none.filter(|_| is_nothing)
    }

    fn most(&self, with_band: bool) -> f64 {
        let upper: &[Option<f64>] = if with_band { &self.band.p90 } else { &[] };
        let all = self.line().iter().chain(upper);
        self.factor * all.filter_map(|v| finite(*v)).fold(0.0, f64::max)
    }
}

/// The median; the mean where no median was taken.
pub fn middle(band: &Band) -> &[Option<f64>] {
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

/// Values between two gaps that are drawn at least, min: less is a speck, and no curve of anything.
const MIN_RUN_MIN: usize = 5;

/// Draws the panels in one column, or in two if there are more than `in_a_column`, with breaks and ends of
/// shifts above each.
pub fn draw(scene: &mut Scene, evening: &Evening, panels: &[Panel<'_>], in_a_column: usize) {
    let absences = Absences::of(evening);
    draw_with(scene, evening, panels, in_a_column, (TOP, &absences));
}

/// The same from `from` down; gives the axis of the first column.
pub fn draw_below(
    scene: &mut Scene,
    evening: &Evening,
    panels: &[Panel<'_>],
    in_a_column: usize,
    from: f64,
) -> Option<TimeAxis> {
    let none = Absences::default();
    draw_with(scene, evening, panels, in_a_column, (from, &none))
}

fn draw_with(
    scene: &mut Scene,
    evening: &Evening,
    panels: &[Panel<'_>],
    in_a_column: usize,
    (from, absences): (f64, &Absences),
) -> Option<TimeAxis> {
    if panels.is_empty() {
        nothing(scene, NO_VALUES);
        return None;
    }
    let columns = if panels.len() > in_a_column { 2 } else { 1 };
    let rows = panels.len().div_ceil(columns);
    let minutes = panels.iter().map(|p| length(p.band)).max().unwrap_or(0);
    let row_height = (BOTTOM - from + ROW_GAP) / rows as f64;
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
        let top = from + row as f64 * row_height;
        let bounds = (top + HEADING_HEIGHT, top + row_height - ROW_GAP);
        Plot {
            scene,
            evening,
            axis,
            bounds,
            scale: &scales[i],
        }
        .panel(panel);
        absences.draw(scene, &axis, bounds.0);
        if i + columns >= panels.len() {
            axis.labels(scene, bounds.1);
        }
        if row == 0 {
            axis.marks(scene, &evening.clock);
        }
    }
    Some(axis_of(0))
}

pub fn ticks(row_height: f64) -> usize {
    ((row_height - HEADING_HEIGHT - ROW_GAP) / 25.0).clamp(1.0, 6.0) as usize
}

pub fn tick_width(scale: &Scale) -> f64 {
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

impl<'a> Plot<'a> {
    fn panel(&mut self, panel: &Panel<'_>) {
        self.heading(panel);
        let (top, bottom) = self.bounds;
        self.axis
            .ground(self.scene, &self.evening.clock, top, bottom);
        if let Some(words) = panel.nothing() {
            return self.none(words);
        }
        grid(self.scene, &self.axis, self.scale, self.bounds);
        let (start_s, band, curves) = (self.axis.from_s, panel.band, self.curves());
        if self.evening.replications > 1 && !panel.by_mean {
            let ends = (band.p10.as_slice(), band.p90.as_slice());
            for outline in curves.outlines(start_s, ends, panel.factor) {
                self.scene.area(outline, BAND);
            }
        }
        if let Some(least) = panel.band.info.least {
            let at = y(self.scale, self.bounds, least);
            let ends = vec![(self.axis.left, at), (self.axis.right, at)];
            self.scene.line(ends, LEAST, 2.0);
        }
        curves.line(self.scene, (start_s, panel.line(), panel.factor), LINE);
        self.axis
            .service(self.scene, &self.evening.clock, top, bottom);
    }

    fn heading(&mut self, panel: &Panel<'_>) {
        let at = (self.axis.left, self.bounds.0 - 9.0);
        let mean = panel.by_mean.then(|| mean_in(panel.unit));
        let unit = mean.as_deref().unwrap_or(panel.unit);
        heading(self.scene, at, self.axis.right, &panel.heading, unit);
    }

    /// A panel without values: the foot of the axis, and words.
    fn none(&mut self, words: &str) {
        let (axis, (top, bottom)) = (self.axis, self.bounds);
        let foot = vec![(axis.left, bottom), (axis.right, bottom)];
        self.scene.line(foot, AXIS, 1.0);
        let at = (0.5 * (axis.left + axis.right), 0.5 * (top + bottom) + 6.5);
        self.scene.text(at, words, NOTE, Anchor::Middle);
        axis.service(self.scene, &self.evening.clock, top, bottom);
    }

    fn curves(&self) -> Curves<'a> {
        Curves {
            axis: self.axis,
            bounds: self.bounds,
            scale: self.scale,
            specks: self.evening.replications == 1,
        }
    }
}

/// Where and how values over time are drawn.
pub struct Curves<'a> {
    /// Time.
    pub axis: TimeAxis,
    /// Upper and lower edge, px.
    pub bounds: Point,
    /// Values.
    pub scale: &'a Scale,
    /// Whether even single minutes are drawn.
    pub specks: bool,
}

impl Curves<'_> {
    /// A line through values, a minute each from `start_s` on; a speck for one alone.
    pub fn line(
        &self,
        scene: &mut Scene,
        (start_s, values, factor): (f64, &[Option<f64>], f64),
        color: RGBColor,
    ) {
        for run in self.runs(start_s, values, factor) {
            if let [(x, y)] = run[..] {
                scene.rect((x - 2.5, y - 2.5), (x + 2.5, y + 2.5), color);
            } else {
                scene.line(run, color, 2.75);
            }
        }
    }

    /// Outlines of the band between two curves, where both have values.
    pub fn outlines(
        &self,
        start_s: f64,
        (low, high): (&[Option<f64>], &[Option<f64>]),
        factor: f64,
    ) -> Vec<Vec<Point>> {
        let (low, high): (Vec<_>, Vec<_>) = low
            .iter()
            .zip(high)
            .map(|(low, high)| finite(*low).zip(finite(*high)).unzip())
            .unzip();
        let lower = self.runs(start_s, &low, factor);
        let upper = self.runs(start_s, &high, factor);
        let pairs = lower.into_iter().zip(upper);
        pairs
            .map(|(low, high)| high.into_iter().chain(low.into_iter().rev()).collect())
            .collect()
    }

    /// Points of `values` in runs without gaps, at most one to a pixel; of several evenings without
    /// specks, unless there is nothing else.
    fn runs(&self, start_s: f64, values: &[Option<f64>], factor: f64) -> Vec<Vec<Point>> {
        let on_axis = (values.iter().enumerate())
            .take_while(|(minute, _)| start_s + 60.0 * *minute as f64 <= self.axis.to_s)
            .count();
        let runs: Vec<_> = values[..on_axis]
            .split(|value| finite(*value).is_none())
            .scan(0, |next, run| {
                let first = *next;
                *next += run.len() + 1;
                Some((first, run))
            })
            .filter(|(_, run)| !run.is_empty())
            .collect();
        let is_long = |run: &[Option<f64>]| run.len() >= MIN_RUN_MIN;
        let all = self.specks || !runs.iter().any(|(_, run)| is_long(run));
        runs.into_iter()
            .filter(|(_, run)| all || is_long(run))
            .map(|(first, run)| self.points(start_s + 60.0 * first as f64, run, factor))
            .collect()
    }

    fn points(&self, start_s: f64, run: &[Option<f64>], factor: f64) -> Vec<Point> {
        let mut points: Vec<Point> = Vec::new();
        for (minute, value) in run.iter().enumerate() {
            let x = self.axis.at(start_s + 60.0 * minute as f64);
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
