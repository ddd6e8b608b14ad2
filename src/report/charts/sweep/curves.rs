//! One factor: the mean along its levels with a band of the 95 % interval; dots with the interval as a
//! line where the levels are words. Targets are lines.

use super::super::frame::{EDGE, nothing, right_edge};
use super::super::panels::heading;
use super::super::scene::{Anchor, Point, Scene, Type};
use super::super::style::{BAND, LEAST, LINE, NOTE, WHITE};
use super::across::Across;
use super::axes::Axis;
use super::page::{
    Area, BOTTOM, Plot, TITLE_BELOW, TOP, captions, cross, lower_title, marks, page, room_for,
    says_nothing, scale_with, tick_room,
};
use super::view::{Bound, Value, View};
use crate::words::charts::study as words;

const PLOT_TOP: f64 = TOP + 14.0;
/// Between labels of two targets.
const LABEL_HEIGHT: f64 = 24.0;
/// More points are too close for dots.
const MAX_DOTS: usize = 80;

/// A level and its value.
type Dot = (usize, Option<Value>);
/// Places of design points some of whose evenings were cut off.
type CutOff = Vec<usize>;

/// Draws a measure along one factor.
pub fn draw(view: &View<'_>, axis: &Axis) -> Scene {
    let mut scene = page(view);
    let (dots, cut_off) = dots(view, axis);
    let values = || dots.iter().filter_map(|(_, value)| *value);
    let ends = values().map(|v| interval(view, v));
    let Some((low, high)) = ends.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))) else {
        nothing(&mut scene, words::NO_POINT);
        captions(&mut scene, view, Vec::new());
        return scene;
    };
    if says_nothing(&mut scene, view) {
        captions(&mut scene, view, Vec::new());
        return scene;
    }
    let bounds = view.bounds();
    let scale = scale_with(low, high, &bounds, 7);
    let held = |b: &&Bound| (scale.base..=scale.top).contains(&b.value);
    let texts: Vec<String> = bounds
        .iter()
        .filter(held)
        .map(|b| view.bound_label(*b))
        .collect();
    let right = right_edge() - room_for(texts.iter().map(String::as_str), NOTE.em);
    let mut area = Area {
        left: EDGE + tick_room(&scale),
        top: PLOT_TOP,
        right: if texts.is_empty() {
            right
        } else {
            right - 12.0
        },
        bottom: BOTTOM,
    };
    let across = Across::new(axis, area);
    area.bottom -= across.more();
    let plot = Plot {
        area,
        scale: &scale,
    };
    let at = (area.left, PLOT_TOP - 14.0);
    heading(&mut scene, at, area.right, words::PER_EVENING, view.unit());
    across.ground(&mut scene, area);
    lower_title(&mut scene, area, TITLE_BELOW + across.more(), &axis.title);
    plot.grid(&mut scene, true);
    let curve = Curve {
        view,
        plot: &plot,
        across: &across,
        dots: &dots,
    };
    if axis.is_numeric() {
        curve.bands(&mut scene);
    }
    plot.bounds(&mut scene, &bounds);
    curve.draw(&mut scene, axis.is_numeric());
    for place in cut_off {
        if let Some(value) = dots[place].1 {
            cross(&mut scene, curve.at(place, value.mean));
        }
    }
    bound_labels(&mut scene, view, &plot, &bounds);
    let mut said = sentences(view, axis, &plot, &dots);
    said.extend(marks(view, across.base().is_some()));
    captions(&mut scene, view, said);
    scene
}

/// Both ends of what the mean may be; the mean itself where nothing is known of that.
fn interval(view: &View<'_>, value: Value) -> (f64, f64) {
    let half = value.half.unwrap_or(0.0);
    view.within((value.mean - half, value.mean + half))
}

/// The value at each level, in the order of the axis; of several design points the first.
fn dots(view: &View<'_>, axis: &Axis) -> (Vec<Dot>, CutOff) {
    let mut cut_off = Vec::new();
    let places = axis.places();
    let mut found: Vec<Dot> = (0..axis.len()).map(|place| (place, None)).collect();
    let mut is_taken = vec![false; axis.len()];
    for (point, levels) in view.swept.points.iter().enumerate() {
        let place = levels.get(axis.factor).and_then(|level| places.get(*level));
        if let Some(place) = place.filter(|place| !is_taken[**place]) {
            is_taken[*place] = true;
            found[*place].1 = view.at(point);
            cut_off.extend(view.is_unsafe(point).then_some(*place));
        }
    }
    (found, cut_off)
}

struct Curve<'a> {
    view: &'a View<'a>,
    plot: &'a Plot<'a>,
    across: &'a Across<'a>,
    dots: &'a [Dot],
}

impl Curve<'_> {
    fn at(&self, place: usize, value: f64) -> Point {
        (self.across.x(place), self.plot.y(value))
    }

    /// Neighbours that all have what `of` takes from them.
    fn runs<T>(&self, of: impl Fn(Value) -> Option<T>) -> Vec<Vec<(usize, T)>> {
        let mut runs = vec![Vec::new()];
        for (place, value) in self.dots {
            match value.and_then(&of) {
                Some(found) => {
                    if let Some(run) = runs.last_mut() {
                        run.push((*place, found));
                    }
                }
                None => runs.push(Vec::new()),
            }
        }
        runs.retain(|run| !run.is_empty());
        runs
    }

    fn bands(&self, scene: &mut Scene) {
        for run in self.runs(|v| v.half.map(|_| interval(self.view, v))) {
            let upper = run.iter().map(|(place, ends)| self.at(*place, ends.1));
            let lower = run
                .iter()
                .rev()
                .map(|(place, ends)| self.at(*place, ends.0));
            scene.area(upper.chain(lower).collect(), BAND);
        }
    }

    fn draw(&self, scene: &mut Scene, is_line: bool) {
        if is_line {
            for run in self.runs(|v| Some(v.mean)) {
                let points = run.iter().map(|(place, mean)| self.at(*place, *mean));
                scene.line(points.collect(), LINE, 2.75);
            }
        }
        if is_line && self.dots.len() > MAX_DOTS {
            return;
        }
        for (place, value) in self.dots {
            let Some(value) = value else { continue };
            let alone = self.dots.len() == 1 || !is_line;
            if value.half.is_some() && alone {
                let (low, high) = interval(self.view, *value);
                scene.line(vec![self.at(*place, low), self.at(*place, high)], LINE, 3.0);
            }
            dot(
                scene,
                self.at(*place, value.mean),
                if alone { 7.0 } else { 4.5 },
            );
        }
    }
}

/// A round dot with a white rim.
fn dot(scene: &mut Scene, (x, y): Point, radius: f64) {
    for (radius, color) in [(radius + 1.5, WHITE), (radius, LINE)] {
        let corner = |i: u32| {
            let angle = std::f64::consts::TAU * f64::from(i) / 20.0;
            (x + radius * libm::cos(angle), y + radius * libm::sin(angle))
        };
        scene.area((0..20).map(corner).collect(), color);
    }
}

/// The targets in words at the right of their lines, clear of each other.
fn bound_labels(scene: &mut Scene, view: &View<'_>, plot: &Plot<'_>, bounds: &[Bound]) {
    let mut held: Vec<&Bound> = bounds.iter().filter(|b| plot.holds(b.value)).collect();
    held.sort_by(|a, b| b.value.total_cmp(&a.value));
    let face = Type {
        color: LEAST,
        ..NOTE
    };
    let lowest = plot.area.bottom - LABEL_HEIGHT * held.len() as f64;
    let mut next = f64::NEG_INFINITY;
    for (i, bound) in held.into_iter().enumerate() {
        let y = plot
            .y(bound.value)
            .min(lowest + LABEL_HEIGHT * (i + 1) as f64);
        let y = y.max(next);
        next = y + LABEL_HEIGHT;
        let at = (plot.area.right + 12.0, y + 6.5);
        scene.text(at, &view.bound_label(*bound), face, Anchor::Start);
    }
}

fn sentences(view: &View<'_>, axis: &Axis, plot: &Plot<'_>, dots: &[Dot]) -> Vec<String> {
    let is_band = axis.is_numeric() && dots.len() > 1;
    let has_spread = dots
        .iter()
        .any(|(_, v)| v.is_some_and(|v| v.half.is_some()));
    let seed = view.swept.seed;
    let is_line = dots.len() > MAX_DOTS && axis.is_numeric();
    let mut sentences = vec![words::means(is_line, &view.evenings(), seed)];
    if has_spread {
        sentences.push(words::intervals(is_band));
    }
    let bounds = view.bounds();
    if bounds.iter().any(|b| plot.holds(b.value)) {
        sentences.push(words::ORANGE_TARGET.to_owned());
    }
    let of_evenings = bounds.iter().filter(|b| b.in_share.is_some());
    for bound in of_evenings.filter(|b| plot.holds(b.value)) {
        sentences.push(words::the_target_is(&view.bound_text(*bound)));
    }
    for bound in bounds.iter().filter(|b| !plot.holds(b.value)) {
        let is_above = bound.value > plot.scale.top;
        sentences.push(words::out_of_sight(&view.bound_text(*bound), is_above));
    }
    let missing = dots.iter().filter(|(_, v)| v.is_none()).count();
    sentences.extend((missing > 0).then(|| words::levels_without(missing)));
    sentences
}
