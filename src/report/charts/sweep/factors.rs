//! Many factors, or a design that is no grid: a panel per factor, with the design points along its levels,
//! their median and their spread. The factor whose levels differ most comes first.
//!
//! What a sampled factor does is shown only where it is more than chance: else there is a level dashed line.
//! Numbers of more than 24 levels are taken together in stretches of equal length; words of more than 24
//! levels stand in the order of their medians, the first and the last with their names.

use super::super::font::fitted;
use super::super::frame::{EDGE, nothing, right_edge};
use super::super::scene::{Anchor, Point, Scene};
use super::super::style::{BAND, HEADING, LINE, NOTE};
use super::across::Across;
use super::axes::{Axis, varying};
use super::chance::is_chance;
use super::mesh::MAX_PANELS;
use super::others::{Others, is_sampled};
use super::page::{
    Area, BOTTOM, HEADING_HEIGHT, LABELS_BELOW, Panels, Plot, TOP, apart, captions, cross, marks,
    page, says_nothing, scale_with, tick_room,
};
use super::view::View;
use crate::words::charts::study as words;
use plotters::style::RGBColor;

/// Levels that are shown one by one at most.
const MAX_LEVELS: usize = 24;
/// Design points that are shown one by one at most.
const MAX_DOTS: usize = 400;
/// Design points, behind the median.
const DOT: RGBColor = RGBColor(0x35, 0x8E, 0xBF);
/// Room for the labels under each panel.
const LABELS: f64 = 34.0;

/// Draws a measure along every factor.
pub fn draw(view: &View<'_>) -> Scene {
    let mut scene = page(view);
    let factors = varying(view.swept);
    let count = factors.len();
    let others = Others::of(view, &factors);
    let mut sides: Vec<Side> = factors
        .into_iter()
        .filter_map(|factor| Side::new(view, factor, (&others, count)))
        .collect();
    sides.sort_by(|a, b| b.moved.total_cmp(&a.moved));
    let all = sides.len();
    sides.truncate(MAX_PANELS);
    // With the other factors taken out values may lie elsewhere, but nowhere where there can be none.
    let values = sides.iter().flat_map(|side| &side.points).map(|p| p.1);
    let range = values.fold(None, |range, v| {
        let (low, high) = range.unwrap_or((v, v));
        Some((v.min(low), v.max(high)))
    });
    let range = range.map(|range| view.within(range));
    let Some((low, high)) = range else {
        nothing(&mut scene, words::NO_POINT);
        captions(&mut scene, view, Vec::new());
        return scene;
    };
    if says_nothing(&mut scene, view) {
        captions(&mut scene, view, Vec::new());
        return scene;
    }
    let bounds = view.bounds();
    let ticks = if sides.len() > 8 { 3 } else { 5 };
    let scale = scale_with(low, high, &bounds, ticks);
    let area = Area {
        left: EDGE + tick_room(&scale),
        top: TOP - 4.0,
        right: right_edge(),
        bottom: BOTTOM + 24.0,
    };
    let panels = Panels::new(sides.len(), area, HEADING_HEIGHT, LABELS);
    let more = |(side, area): (&Side, &Area)| Across::new(&side.axis, *area).more();
    let more = sides
        .iter()
        .zip(&panels.areas)
        .map(more)
        .fold(0.0, f64::max);
    let area = Area {
        bottom: area.bottom - more,
        ..area
    };
    let panels = Panels::new(sides.len(), area, HEADING_HEIGHT, LABELS + more);
    scene.text(
        (EDGE, TOP - 18.0),
        &words::per_evening(view.unit()),
        HEADING,
        Anchor::Start,
    );
    let mut is_base_marked = false;
    for (i, side) in sides.iter().enumerate() {
        let Some(area) = panels.areas.get(i).copied() else {
            continue;
        };
        panels.heading(&mut scene, i, &side.axis.title);
        let plot = Plot {
            area,
            scale: &scale,
        };
        let across = Across::new(&side.axis, area);
        across.ground(&mut scene, area);
        plot.grid(&mut scene, panels.is_leftmost(i));
        side.draw(&mut scene, &plot, &across);
        side.name_ends(&mut scene, area);
        plot.bounds(&mut scene, &bounds);
        side.line(&mut scene, &plot, &across);
        is_base_marked |= across.base().is_some();
        for (at, value) in side.cut_off.iter().take(MAX_DOTS) {
            cross(&mut scene, (side.x(&across, *at), plot.y(*value)));
        }
    }
    let mut said = sentences(view, &sides, all);
    said.extend(others.is_any().then(|| words::OTHERS_TAKEN_OUT.to_owned()));
    said.extend(marks(view, is_base_marked));
    captions(&mut scene, view, said);
    scene
}

/// Points at a level or in a stretch of levels.
struct Group {
    /// Where it is, as a part of the axis: a place, or a number.
    at: f64,
    p10: f64,
    p50: f64,
    p90: f64,
}

/// One factor.
struct Side {
    axis: Axis,
    /// Number or place, and mean, of each point.
    points: Vec<Point>,
    /// Those of them some of whose evenings were cut off.
    cut_off: Vec<Point>,
    groups: Vec<Group>,
    /// By how much the medians differ.
    moved: f64,
    /// Whether they differ by no more than chance.
    is_chance: bool,
    /// Names of the first and the last of many words.
    ends: Option<[String; 2]>,
}

impl Side {
    fn new(view: &View<'_>, factor: usize, (others, tests): (&Others, usize)) -> Option<Self> {
        let mut axis = Axis::new(view.swept, factor)?;
        let places = axis.places();
        let mut found: Vec<(usize, f64)> = Vec::new();
        let mut cut_off: Vec<(usize, f64)> = Vec::new();
        for (point, levels) in view.swept.points.iter().enumerate() {
            let place = levels.get(factor).and_then(|level| places.get(*level));
            if let (Some(place), Some(value)) = (place, view.at(point)) {
                let mean = value.mean - others.add(view, point, factor);
                found.push((*place, mean));
                cut_off.extend(view.is_unsafe(point).then_some((*place, mean)));
            }
        }
        let mut ends = None;
        if !axis.is_numeric() && axis.len() > MAX_LEVELS {
            ends = by_median(&mut axis, &mut found, &mut cut_off);
        }
        let at = |place: usize| axis.numbers.get(place).copied().unwrap_or(place as f64);
        let points: Vec<Point> = found.iter().map(|(place, v)| (at(*place), *v)).collect();
        let cut_off: Vec<Point> = cut_off.iter().map(|(place, v)| (at(*place), *v)).collect();
        let parts = parts(&axis, &points);
        let groups: Vec<Group> = parts.iter().map(group).collect();
        let values = |part: &Part| part.points.iter().map(|p| p.1).collect();
        let values: Vec<Vec<f64>> = parts.iter().map(values).collect();
        let is_chance = is_sampled(&axis, points.len()) && is_chance(&values, tests);
        let medians = groups.iter().map(|group| group.p50);
        let span = medians.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| {
            (v.min(a), v.max(b))
        });
        Some(Self {
            axis,
            cut_off,
            points,
            groups,
            moved: if is_chance {
                0.0
            } else {
                (span.1 - span.0).max(0.0)
            },
            is_chance,
            ends,
        })
    }

    fn x(&self, across: &Across<'_>, at: f64) -> f64 {
        if self.axis.is_numeric() {
            across.number(at)
        } else {
            across.x(at as usize)
        }
    }

    /// All points as one group.
    fn whole(&self) -> Group {
        group(&Part {
            at: 0.0,
            points: self.points.clone(),
        })
    }

    /// The names of the first and the last of many words, under the ends of the panel.
    fn name_ends(&self, scene: &mut Scene, area: Area) {
        let Some(ends) = &self.ends else { return };
        let cut = |name: &str| fitted(name, NOTE.em, false, 0.5 * area.width() - 8.0);
        let y = area.bottom + LABELS_BELOW;
        let sides = [(area.left, Anchor::Start), (area.right, Anchor::End)];
        for (name, (x, anchor)) in apart(ends, cut).iter().zip(sides) {
            scene.text((x, y), name, NOTE, anchor);
        }
    }

    /// Points and spread.
    fn draw(&self, scene: &mut Scene, plot: &Plot<'_>, across: &Across<'_>) {
        if self.is_chance {
            let (all, ends) = (
                self.whole(),
                self.axis.numbers.first().zip(self.axis.numbers.last()),
            );
            if let Some((least, most)) = ends {
                let (left, right) = (across.number(*least), across.number(*most));
                scene.rect((left, plot.y(all.p90)), (right, plot.y(all.p10)), BAND);
            }
        } else if self.axis.is_numeric() {
            let side = |of: fn(&Group) -> f64| {
                let points = self.groups.iter();
                points.map(move |g| (self.x(across, g.at), plot.y(of(g))))
            };
            let upper: Vec<Point> = side(|g| g.p90).collect();
            let lower: Vec<Point> = side(|g| g.p10).collect();
            scene.area(
                upper.into_iter().chain(lower.into_iter().rev()).collect(),
                BAND,
            );
        } else {
            let place = plot.area.width() / self.axis.len().max(1) as f64;
            // Narrow bars touch, so that they make an area rather than stripes.
            let half = if place < 8.0 {
                0.5 * place
            } else {
                0.3 * place
            };
            let half = half.min(16.0);
            for group in &self.groups {
                let x = self.x(across, group.at);
                let (top, bottom) = (plot.y(group.p90), plot.y(group.p10));
                scene.rect((x - half, top - 0.5), (x + half, bottom + 0.5), BAND);
            }
        }
        if self.points.len() <= MAX_DOTS {
            for (at, value) in &self.points {
                let (x, y) = (self.x(across, *at), plot.y(*value));
                scene.rect((x - 2.25, y - 2.25), (x + 2.25, y + 2.25), DOT);
            }
        }
    }

    /// Medians: a line along numbers, a stroke at each word.
    fn line(&self, scene: &mut Scene, plot: &Plot<'_>, across: &Across<'_>) {
        if self.is_chance {
            let (y, ends) = (
                plot.y(self.whole().p50),
                self.axis.numbers.first().zip(self.axis.numbers.last()),
            );
            let Some((least, most)) = ends else { return };
            let (left, right) = (across.number(*least), across.number(*most));
            return scene.dashes((left, y), (right, y), LINE, 2.75);
        }
        if self.axis.is_numeric() && self.groups.len() > 1 {
            let at = |g: &Group| (self.x(across, g.at), plot.y(g.p50));
            return scene.line(self.groups.iter().map(at).collect(), LINE, 2.75);
        }
        let half = (0.36 * plot.area.width() / self.axis.len().max(1) as f64).clamp(1.0, 20.0);
        for group in &self.groups {
            let (x, y) = (self.x(across, group.at), plot.y(group.p50));
            scene.rect((x - half, y - 1.5), (x + half, y + 1.5), LINE);
        }
    }
}

/// Puts the levels of many words in the order of their medians; those without a value are left out. Gives the names
/// of the first and the last.
fn by_median(
    axis: &mut Axis,
    found: &mut [(usize, f64)],
    cut_off: &mut [(usize, f64)],
) -> Option<[String; 2]> {
    found.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut levels: Vec<(usize, f64)> = found
        .chunk_by(|a, b| a.0 == b.0)
        .map(|points| (points[0].0, points[points.len() / 2].1))
        .collect();
    levels.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
    let mut places = vec![0; axis.len()];
    for (place, (level, _)) in levels.iter().enumerate() {
        places[*level] = place;
    }
    axis.base = None;
    for point in found.iter_mut().chain(cut_off) {
        point.0 = places[point.0];
    }
    let name = |level: &(usize, f64)| axis.labels.get(level.0).cloned();
    let ends = levels
        .first()
        .and_then(name)
        .zip(levels.last().and_then(name));
    // So many names have no room.
    axis.labels = vec![String::new(); levels.len()];
    axis.title = words::by_medians(&axis.title, levels.len());
    axis.order = levels.iter().map(|(l, _)| axis.order[*l]).collect();
    ends.map(|(first, last)| [first, last])
}

/// Points at a level, or in a stretch of levels, and where that is.
struct Part {
    at: f64,
    points: Vec<Point>,
}

/// The points at each level; of many numbers, and of a sample of them, in stretches of equal length.
fn parts(axis: &Axis, points: &[Point]) -> Vec<Part> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let ends = axis.numbers.first().zip(axis.numbers.last());
    let is_many = axis.len() > MAX_LEVELS || is_sampled(axis, points.len());
    let stretch = match ends {
        Some((least, most)) if is_many && most > least => {
            let count = libm::sqrt(points.len() as f64).clamp(4.0, MAX_LEVELS as f64);
            Some((*least, (most - least) / libm::floor(count)))
        }
        _ => None,
    };
    let key = |at: f64| match stretch {
        Some((least, length)) => libm::floor((at - least) / length * (1.0 - 1e-12)),
        None => at,
    };
    let of = |points: &[Point]| {
        let middle = points.iter().map(|p| p.0).sum::<f64>() / points.len() as f64;
        Part {
            at: if stretch.is_some() {
                middle
            } else {
                points[0].0
            },
            points: points.to_vec(),
        }
    };
    sorted
        .chunk_by(|a, b| key(a.0) == key(b.0))
        .map(of)
        .collect()
}

/// What the points of a part have in the middle, and how far they spread.
fn group(part: &Part) -> Group {
    let mut values: Vec<f64> = part.points.iter().map(|p| p.1).collect();
    values.sort_by(f64::total_cmp);
    let quantile = |share: f64| {
        let place = libm::round(share * values.len().saturating_sub(1) as f64) as usize;
        values.get(place).copied().unwrap_or(0.0)
    };
    Group {
        at: part.at,
        p10: quantile(0.1),
        p50: quantile(0.5),
        p90: quantile(0.9),
    }
}

fn sentences(view: &View<'_>, sides: &[Side], all: usize) -> Vec<String> {
    let shown = sides.len();
    let points = view.swept.points.len();
    let evenings = view.evenings();
    let mut sentences = vec![
        words::points_of(points, &evenings),
        words::DARK_AND_LIGHT.to_owned(),
    ];
    if points <= MAX_DOTS {
        sentences.push(words::DOTS.to_owned());
    }
    if sides.iter().any(|side| side.is_chance) {
        sentences.push(words::DASHED_CHANCE.to_owned());
    }
    if shown < all {
        sentences.push(words::differ_most(shown, all));
    }
    if !view.bounds().is_empty() {
        let text = view.bounds_text().unwrap_or_default();
        sentences.push(words::orange_target(&text));
    }
    sentences
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(count: u32) -> Axis {
        let levels: Vec<f64> = (0..count).map(f64::from).collect();
        let factor = super::super::examples::numbers("tunnel", "m", &levels);
        Axis::new(&super::super::examples::of(vec![factor]), 0).unwrap()
    }

    #[test]
    fn few_levels_have_a_group_each_and_many_are_taken_together() {
        let points =
            |count: u32| -> Vec<Point> { (0..count).map(|i| (f64::from(i), 1.0)).collect() };
        let groups = |axis: &Axis, points: &[Point]| parts(axis, points);
        assert_eq!(groups(&numbers(5), &points(5)).len(), 5);
        assert_eq!(groups(&numbers(100), &points(100)).len(), 10);
        assert_eq!(groups(&numbers(5000), &points(5000)).len(), MAX_LEVELS);
    }

    #[test]
    fn medians_and_percentiles_are_of_the_points_at_a_level() {
        let points: Vec<Point> = (0..=10).map(|i| (2.0, f64::from(i))).collect();
        let group = group(&parts(&numbers(5), &points)[0]);
        assert_eq!(
            [group.at, group.p10, group.p50, group.p90],
            [2.0, 1.0, 5.0, 9.0]
        );
    }
}
