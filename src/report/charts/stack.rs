//! Stacked areas of means, each with its own colour, lightness and hatching, and a legend beside them.

use super::axis::Scale;
use super::font::{SUBSTITUTE, fitted, width};
use super::frame::{BOTTOM, EDGE, TOP, TimeAxis, nothing, right_edge};
use super::panels::{grid, heading, y};
use super::scene::{Anchor, Point, Scene};
use super::style::{Fill, Hatch, INK, NOTE, WHITE};
use crate::report::number::finite;
use crate::study::evening::{Band, Evening};
use crate::words::charts::NO_VALUES;

const LEGEND_WIDTH: f64 = 222.0;
const PLOT_TOP: f64 = TOP + 27.0;

/// One layer.
pub struct Layer<'a> {
    /// Its name in the legend.
    pub name: String,
    /// Its values; the mean is stacked.
    pub band: &'a Band,
    /// Its look.
    pub fill: Fill,
}

/// What the layers add up to.
pub struct Sum {
    /// What the axis says it is.
    pub heading: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// Values are multiplied by this to be shown.
    pub factor: f64,
    /// Upper end of the axis where it is known, as shown.
    pub top: Option<f64>,
}

/// Draws the layers, the first lowest.
pub fn draw(scene: &mut Scene, evening: &Evening, layers: &[Layer<'_>], sum: &Sum) {
    let totals = totals(layers, sum.factor);
    let Some(all) = totals.last().filter(|all| all.iter().any(|v| *v > 0.0)) else {
        return nothing(scene, NO_VALUES);
    };
    let most = sum
        .top
        .unwrap_or_else(|| all.iter().copied().fold(0.0, f64::max));
    let scale = Scale::new(most, 8, sum.top.is_none());
    let gutter = SUBSTITUTE * width(&scale.label(scale.top), NOTE.em, false) + 14.0;
    let right = right_edge() - LEGEND_WIDTH;
    let axis = TimeAxis::new(EDGE + gutter, right, &evening.clock, all.len());
    let bounds = (PLOT_TOP, BOTTOM);
    let at = (axis.left, PLOT_TOP - 9.0);
    heading(scene, at, right, sum.heading, sum.unit);
    axis.ground(scene, &evening.clock, bounds.0, bounds.1);
    grid(scene, &axis, &scale, bounds);
    let edges: Vec<_> = totals
        .iter()
        .map(|t| edge(&axis, &scale, bounds, t))
        .collect();
    stacked(scene, evening, layers, edges, (axis.right, BOTTOM));
    axis.peak_veil(scene, &evening.clock, bounds.0, bounds.1);
    axis.service(scene, &evening.clock, bounds.0, bounds.1);
    axis.labels(scene, BOTTOM);
    axis.marks(scene, &evening.clock);
    legend(scene, layers, right + 26.0);
}

/// The layers alone between two edges, as parts of 1.
pub fn areas(
    scene: &mut Scene,
    evening: &Evening,
    axis: &TimeAxis,
    layers: &[Layer<'_>],
    bounds: Point,
) {
    let scale = Scale::new(1.0, 1, false);
    let totals = totals(layers, 1.0);
    let edges: Vec<_> = totals
        .iter()
        .map(|totals| edge(axis, &scale, bounds, totals))
        .collect();
    stacked(scene, evening, layers, edges, (axis.right, bounds.1));
}

/// A patch of a fill, for legends.
pub fn patch(scene: &mut Scene, fill: &Fill, (left, top): Point, (width, height): Point) {
    let columns = libm::floor(width) as u32;
    let edge = |y: f64| {
        (0..=columns)
            .map(|x| (left + f64::from(x), y))
            .collect::<Vec<_>>()
    };
    let foot = top + height;
    scene.rect((left, top), (left + width, foot), fill.color);
    hatch(scene, fill, &edge(top), Some(&edge(foot)), foot);
}

/// Running sums, layer upon layer; a missing value adds nothing.
fn totals(layers: &[Layer<'_>], factor: f64) -> Vec<Vec<f64>> {
    let minutes = layers.iter().map(|l| l.band.mean.len()).max().unwrap_or(0);
    let mut sum = vec![0.0; minutes];
    let mut totals = Vec::new();
    for layer in layers {
        for (total, value) in sum.iter_mut().zip(&layer.band.mean) {
            *total += factor * finite(*value).unwrap_or(0.0).max(0.0);
        }
        totals.push(sum.clone());
    }
    totals
}

/// The upper edge of a layer, at most one point to a pixel.
fn edge(axis: &TimeAxis, scale: &Scale, bounds: Point, totals: &[f64]) -> Vec<Point> {
    let mut points: Vec<Point> = Vec::new();
    for (minute, total) in totals.iter().take(axis.minutes).enumerate() {
        let x = axis.minute(minute);
        if points.last().is_none_or(|last| x - last.0 >= 0.999) {
            points.push((x, y(scale, bounds, *total)));
        }
    }
    if let [(_, y)] = points[..] {
        points.push((axis.right, y));
    }
    points
}

/// The layers below their upper edges, as far as the `right` edge and down to `base`.
fn stacked(
    scene: &mut Scene,
    evening: &Evening,
    layers: &[Layer<'_>],
    edges: Vec<Vec<Point>>,
    (right, base): Point,
) {
    if evening.replications == 1 {
        let edges: Vec<_> = edges.iter().map(|edge| stepped(edge, right)).collect();
        columns(scene, layers, &edges, base);
    } else {
        layers_down(scene, layers, &edges, base);
    }
}

/// An edge in steps: a value holds until the next. Sides stand on whole pixels, so that none shows through another.
fn stepped(edge: &[Point], right: f64) -> Vec<Point> {
    let ends = edge.iter().skip(1).map(|next| next.0).chain([right]);
    let steps = edge.iter().zip(ends).flat_map(|((from, y), to)| {
        let sides = [*from, to].map(libm::round);
        sides.map(|x| (x, *y))
    });
    steps.collect()
}

/// What one evening is in each minute is in one state or another, with no slope between two of them.
fn columns(scene: &mut Scene, layers: &[Layer<'_>], edges: &[Vec<Point>], base: f64) {
    for (i, layer) in layers.iter().enumerate() {
        let upper = &edges[i];
        let lower = i.checked_sub(1).map(|below| edges[below].as_slice());
        let low = |at: usize| lower.and_then(|l| l.get(at)).map_or(base, |point| point.1);
        let sides = upper.chunks_exact(2).enumerate();
        let boxes = sides.map(|(minute, side)| (side[0], (side[1].0, low(2 * minute))));
        let mut runs: Vec<(Point, Point)> = Vec::new();
        for (from, to) in boxes.filter(|(from, to)| to.1 - from.1 > 0.0) {
            match runs.last_mut() {
                Some((first, last)) if last.0 == from.0 && (first.1, last.1) == (from.1, to.1) => {
                    last.0 = to.0;
                }
                _ => runs.push((from, to)),
            }
        }
        for (from, to) in &runs {
            scene.rect(*from, *to, layer.fill.color);
        }
        hatch(scene, &layer.fill, upper, lower, base);
        for (from, to) in runs {
            scene.line(vec![from, (to.0, from.1)], WHITE, 1.25);
        }
    }
}

/// From the uppermost layer down, each to the base: no seam of the ground shows between two.
fn layers_down(scene: &mut Scene, layers: &[Layer<'_>], edges: &[Vec<Point>], base: f64) {
    for (i, layer) in layers.iter().enumerate().rev() {
        let upper = &edges[i];
        let (Some(first), Some(last)) = (upper.first(), upper.last()) else {
            continue;
        };
        let foot = [(last.0, base), (first.0, base)];
        scene.area(
            upper.iter().copied().chain(foot).collect(),
            layer.fill.color,
        );
        let lower = i.checked_sub(1).map(|below| edges[below].as_slice());
        hatch(scene, &layer.fill, upper, lower, base);
    }
    for edge in edges {
        scene.line(edge.clone(), WHITE, 1.25);
    }
}

/// Lines of the texture between two edges.
fn hatch(scene: &mut Scene, fill: &Fill, upper: &[Point], lower: Option<&[Point]>, base: f64) {
    let column = |i: usize| {
        let low = lower.and_then(|l| l.get(i)).map_or(base, |p| p.1);
        (upper[i].0, upper[i].1, low)
    };
    let columns: Vec<_> = (0..upper.len()).map(column).collect();
    match fill.hatch {
        Hatch::Plain => {}
        Hatch::Upright => upright(scene, fill, &columns),
        Hatch::Level => slanting(scene, fill, &columns, 0.0, 7.0),
        Hatch::Slant => slanting(scene, fill, &columns, 1.0, 12.0),
    }
}

/// x, upper y and lower y.
type Column = (f64, f64, f64);

fn upright(scene: &mut Scene, fill: &Fill, columns: &[Column]) {
    let mut next = f64::NEG_INFINITY;
    for (x, high, low) in columns.iter().copied() {
        if x < next {
            continue;
        }
        next = 8.0 * (libm::floor(x / 8.0) + 1.0);
        if low - high > 1.0 {
            scene.line(vec![(x, high), (x, low)], fill.lines, 1.5);
        }
    }
}

/// Lines `y = c - slope x`, a `distance` apart, where they are inside.
fn slanting(scene: &mut Scene, fill: &Fill, columns: &[Column], slope: f64, distance: f64) {
    let heights = columns
        .iter()
        .flat_map(|c| [c.1 + slope * c.0, c.2 + slope * c.0]);
    let (least, most) = heights.fold((f64::MAX, f64::MIN), |(a, b), h| (a.min(h), b.max(h)));
    let first = libm::ceil(least / distance);
    let count = ((most - least) / distance).clamp(0.0, 400.0) as usize;
    for i in 0..=count {
        let c = distance * (first + i as f64);
        let mut run: Option<(Point, Point)> = None;
        for (x, high, low) in columns.iter().copied() {
            let here = (x, c - slope * x);
            if high < here.1 && here.1 < low {
                run = Some((run.map_or(here, |r| r.0), here));
            } else if let Some((from, to)) = run.take() {
                scene.line(vec![from, to], fill.lines, 1.5);
            }
        }
        if let Some((from, to)) = run {
            scene.line(vec![from, to], fill.lines, 1.5);
        }
    }
}

/// Names in the order of the stack, the uppermost first.
fn legend(scene: &mut Scene, layers: &[Layer<'_>], left: f64) {
    for (i, layer) in layers.iter().rev().enumerate() {
        let top = PLOT_TOP + 32.0 * i as f64;
        let (width, height) = (34.0, 22.0);
        patch(scene, &layer.fill, (left, top), (width, height));
        let x = left + width + 10.0;
        let name = fitted(&layer.name, NOTE.em, false, right_edge() - x);
        let face = super::scene::Type { color: INK, ..NOTE };
        scene.text((x, top + 17.5), &name, face, Anchor::Start);
    }
}

#[cfg(test)]
mod tests {
    use crate::report::charts::subjects;
    use crate::report::examples;

    /// Corners of every filled shape of a picture.
    fn shapes(svg: &str) -> Vec<Vec<(i32, i32)>> {
        let document = roxmltree::Document::parse(svg).unwrap();
        let all = document.descendants();
        let shapes = all.filter(|node| node.has_tag_name("polygon"));
        let corner = |text: &str| {
            let (x, y) = text.split_once(',').unwrap();
            (x.parse().unwrap(), y.parse().unwrap())
        };
        let corners = shapes.map(|shape| shape.attribute("points").unwrap().split_whitespace());
        corners.map(|texts| texts.map(corner).collect()).collect()
    }

    fn is_upright(shape: &[(i32, i32)]) -> bool {
        let next = shape.iter().cycle().skip(1);
        shape
            .iter()
            .zip(next)
            .all(|(a, b)| a.0 == b.0 || a.1 == b.1)
    }

    /// Nobody is half at one duty and half at the next: there is no slope between two minutes of one evening.
    #[test]
    fn one_evening_stands_in_columns_and_a_mean_does_not() {
        let mut evening = examples::friday();
        let many = shapes(&subjects::crew(&evening).svg().unwrap());
        assert!(many.iter().any(|shape| !is_upright(shape)));
        evening.replications = 1;
        let one = shapes(&subjects::crew(&evening).svg().unwrap());
        assert!(one.len() > 20 && one.iter().all(|shape| is_upright(shape)));
    }
}
