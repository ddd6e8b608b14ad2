//! An alternative beside the base: both evenings on the same axes, and the difference between them.
//!
//! The same panels in both pictures, on the same clock: what waits, what of it has dried on, and the
//! ware that runs lowest. Lines of the evenings are medians with bands from the 10th to the 90th
//! percentile; the difference is a mean with its 95 % interval.

use super::absence::Absences;
use super::axis::Scale;
use super::font::{SUBSTITUTE, fitted, width};
use super::frame::{
    BOTTOM, EDGE, SUBTITLE_BASELINE, TOP, TimeAxis, nothing, right_edge, shrunk, small_print,
    subtitle, titled,
};
use super::panels::{
    Curves, HEADING_HEIGHT, ROW_GAP, grid, has_any, heading, middle, tick_width, ticks, y,
};
use super::scene::{Anchor, Point, Scene};
use super::style::{BASE_LINE, GREY, INK, LINE, NOTE, SUBTITLE};
use super::subjects::{flips, least_part, ware_name};
use crate::report::number::finite;
use crate::service::series::SeriesKind;
use crate::study::compare::curve::Curve;
use crate::study::compare::{Alternative, Comparison, Side};
use crate::study::evening::{Band, Clock};
use crate::words::charts::comparison as words;
use crate::words::charts::{NO_VALUES, NOTHING_DRIED_ON, mean_in, provenance};
use plotters::style::RGBColor;

/// How much a band hides of what lies below it.
const COVER: f64 = 0.22;
/// Length of a line in the legend, px.
const KEY: f64 = 34.0;
/// Between it and its title,
const KEY_GAP: f64 = 10.0;
/// and between that and the next, px.
const TITLE_GAP: f64 = 30.0;

/// One panel: the same series in both, and the difference.
struct Panel<'a> {
    heading: String,
    unit: String,
    /// Of the difference.
    points: &'static str,
    base: &'a Band,
    other: &'a Band,
    /// The difference, if they have a minute in common.
    curve: Option<&'a Curve>,
}

impl Panel<'_> {
    /// Values are multiplied by this to be shown.
    fn factor(&self) -> f64 {
        if self.is_share() { 100.0 } else { 1.0 }
    }

    /// Whether means are shown side by side, and no bands: the values flip between neighbours.
    fn by_mean(&self) -> bool {
        flips(self.base) && flips(self.other)
    }

    /// Whether nothing dried on, in either, in any evening: there would be nothing on the axis.
    fn is_nothing(&self) -> bool {
        let is_none = |band: &Band| {
            let mut all = [&band.mean, &band.p10, &band.p50, &band.p90]
                .into_iter()
                .flatten();
            all.all(|v| finite(*v).is_none_or(|v| v == 0.0))
        };
        self.base.info.kind == SeriesKind::DriedOnShare && is_none(self.base) && is_none(self.other)
    }

    fn is_share(&self) -> bool {
        self.base.info.unit == "1"
    }
}

/// Both evenings on the same axes.
pub fn evenings(comparison: &Comparison, alternative: &Alternative) -> Scene {
    let hours_differ = differ(&comparison.base.clock, &alternative.side.clock);
    let mut caption = words::of_both(comparison.replications, hours_differ);
    caption += of_absences(comparison, alternative);
    let [base, other] = titles(comparison, alternative);
    let of = format!("{base}; {other}");
    let mut scene = titled(words::SIDE_BY_SIDE, &of, &caption, &comparison.wording);
    legend(&mut scene, [(&base, BASE_LINE), (&other, LINE)]);
    from(&mut scene, comparison, alternative);
    let mut page = Page::of(comparison, alternative);
    let means = page.panels.iter_mut().filter(|panel| panel.by_mean());
    means.for_each(|panel| panel.unit = mean_in(&panel.unit));
    let scales = |panel: &Panel<'_>, count: usize| {
        let bands = [panel.base, panel.other];
        if panel.by_mean() {
            let means = bands.into_iter().flat_map(|band| &band.mean);
            let most = means.filter_map(|v| finite(*v)).fold(0.0, f64::max);
            return Scale::new(most, count, false);
        }
        let most = bands.into_iter().map(most).fold(0.0, f64::max);
        Scale::new(panel.factor() * most, count, !panel.is_share())
    };
    page.draw(&mut scene, scales, |scene, panel, curves| {
        let sides = [
            (&comparison.base, panel.base, BASE_LINE),
            (&alternative.side, panel.other, LINE),
        ];
        let banded = sides.into_iter().filter(|_| !panel.by_mean());
        for (side, band, color) in banded {
            let ends = (band.p10.as_slice(), band.p90.as_slice());
            for outline in curves.outlines(side.clock.start_s, ends, panel.factor()) {
                scene.veil(outline, color, COVER);
            }
        }
        for (side, band, color) in sides {
            let line = if panel.by_mean() {
                &band.mean
            } else {
                middle(band)
            };
            let values = (side.clock.start_s, line, panel.factor());
            curves.line(scene, values, color);
        }
    });
    scene
}

/// The difference, minute by minute.
pub fn difference(comparison: &Comparison, alternative: &Alternative) -> Scene {
    let hours_differ = differ(&comparison.base.clock, &alternative.side.clock);
    let mut caption = words::of_difference(comparison.replications, hours_differ);
    caption += of_absences(comparison, alternative);
    let [base, other] = titles(comparison, alternative);
    let mut scene = titled(
        words::DIFFERENCE,
        &words::less(&other, &base),
        &caption,
        &comparison.wording,
    );
    subtitle(&mut scene, &words::less_below(&other, &base));
    from(&mut scene, comparison, alternative);
    let mut page = Page::of(comparison, alternative);
    page.panels.retain(|panel| {
        let mut values = panel.curve.iter().flat_map(|curve| &curve.mean);
        values.any(|v| finite(*v).is_some())
    });
    if page.panels.is_empty() {
        nothing(&mut scene, words::NOTHING_IN_COMMON);
        return scene;
    }
    page.panels
        .iter_mut()
        .for_each(|panel| panel.unit = panel.points.to_owned());
    let scales = |panel: &Panel<'_>, count: usize| {
        let (low, high) = panel.curve.map(ends).unwrap_or_default();
        let values = || low.iter().chain(&high).filter_map(|v| finite(*v));
        let factor = panel.factor();
        let (low, high) = (values().fold(0.0, f64::min), values().fold(0.0, f64::max));
        // Two shares differ by all of them at most, however little is known.
        let (low, high) = match panel.is_share() {
            true => (low.max(-1.0), high.min(1.0)),
            false => (low, high),
        };
        Scale::signed(factor * low, factor * high, count)
    };
    page.draw(&mut scene, scales, |scene, panel, curves| {
        let Some(curve) = panel.curve else { return };
        let (low, high) = ends(curve);
        let (start_s, factor) = (curve.start_s, panel.factor());
        for outline in curves.outlines(start_s, (&low, &high), factor) {
            scene.veil(outline, LINE, 2.0 * COVER);
        }
        let nought = y(curves.scale, curves.bounds, 0.0);
        let line = vec![(curves.axis.left, nought), (curves.axis.right, nought)];
        scene.line(line, INK, 1.5);
        curves.line(scene, (start_s, &curve.mean, factor), LINE);
    });
    scene
}

/// Where both are from.
fn from(scene: &mut Scene, comparison: &Comparison, alternative: &Alternative) {
    let files = format!("{}, {}", comparison.base.name, alternative.side.name);
    let from = provenance(&files, comparison.seed, comparison.replications);
    small_print(scene, &from);
}

/// Whether opening or closing differ.
fn differ(base: &Clock, other: &Clock) -> bool {
    base.opens_s != other.opens_s || base.closes_s != other.closes_s
}

/// Most of a band.
fn most(band: &Band) -> f64 {
    let values = band.p90.iter().chain(middle(band));
    values.filter_map(|v| finite(*v)).fold(0.0, f64::max)
}

type Values = Vec<Option<f64>>;

/// Lower and upper end of the interval.
fn ends(curve: &Curve) -> (Values, Values) {
    let both = curve.mean.iter().zip(&curve.half_width);
    both.map(|(mean, half)| {
        let (mean, half) = (finite(*mean), finite(*half));
        let ends = mean
            .zip(half)
            .map(|(mean, half)| (mean - half, mean + half));
        ends.unzip()
    })
    .unzip()
}

/// What both are called: their titles, with the names of the files if those are the same.
fn titles(comparison: &Comparison, alternative: &Alternative) -> [String; 2] {
    let sides = [&comparison.base, &alternative.side];
    let same = sides[0].title == sides[1].title;
    let title = |side: &Side| match same {
        true => format!("{} ({})", side.title, side.name),
        false => side.title.clone(),
    };
    sides.map(title)
}

/// Whose lines are whose, where the subtitle of other charts stands. Both are set smaller before one is cut; then a title
/// gets the room that the other leaves, and half of it at least.
fn legend(scene: &mut Scene, keys: [(&str, RGBColor); 2]) {
    let room = right_edge() - EDGE - 2.0 * (KEY + KEY_GAP) - TITLE_GAP;
    let both = format!("{}{}", keys[0].0, keys[1].0);
    let (_, face) = shrunk(&both, SUBTITLE, room);
    let wide = |title: &str| SUBSTITUTE * width(title, face.em, false);
    let [first, second] = keys.map(|(title, _)| wide(title));
    let rooms = [second, first].map(|other| (room - other).max(0.5 * room));
    let mut left = EDGE;
    for ((title, color), room) in keys.into_iter().zip(rooms) {
        let y = SUBTITLE_BASELINE - 7.0;
        let (from, to) = ((left, y - 9.0), (left + KEY, y + 9.0));
        let band = vec![from, (to.0, from.1), to, (from.0, to.1)];
        scene.veil(band, color, COVER);
        scene.line(vec![(left, y), (left + KEY, y)], color, 2.75);
        let title = fitted(title, face.em, false, room);
        let at = (left + KEY + KEY_GAP, SUBTITLE_BASELINE);
        scene.text(at, &title, face, Anchor::Start);
        left = at.0 + wide(&title) + TITLE_GAP;
    }
}

/// The panels of both pictures, and their clock.
struct Page<'a> {
    panels: Vec<Panel<'a>>,
    /// From the earlier start to the later end; opening, closing and busiest hour are the base's.
    clock: Clock,
    /// Opening and closing of the alternative, where they differ.
    other: Option<Clock>,
    /// Breaks and ends of shifts, of both in grey, or of each in its colour where they differ.
    absences: Vec<(Absences, RGBColor)>,
}

impl<'a> Page<'a> {
    fn of(comparison: &'a Comparison, alternative: &'a Alternative) -> Self {
        let (base, other) = (comparison.base.clock, alternative.side.clock);
        Self {
            panels: panels(comparison, alternative),
            clock: Clock {
                start_s: base.start_s.min(other.start_s),
                shown_to_s: base.shown_to_s.max(other.shown_to_s),
                ..base
            },
            other: differ(&base, &other).then_some(other),
            absences: absences(comparison, alternative),
        }
    }

    /// Draws the panels in one column.
    fn draw(
        &self,
        scene: &mut Scene,
        scale_of: impl Fn(&Panel<'_>, usize) -> Scale,
        mut paint: impl FnMut(&mut Scene, &Panel<'_>, &Curves<'_>),
    ) {
        if self.panels.is_empty() {
            return nothing(scene, NO_VALUES);
        }
        let row_height = (BOTTOM - TOP + ROW_GAP) / self.panels.len() as f64;
        let scales: Vec<Scale> = (self.panels.iter())
            .map(|panel| scale_of(panel, ticks(row_height)))
            .collect();
        let gutter = scales.iter().map(tick_width).fold(0.0, f64::max) + 14.0;
        let axis = TimeAxis::new(EDGE + gutter, right_edge(), &self.clock, usize::MAX);
        for (i, (panel, scale)) in self.panels.iter().zip(&scales).enumerate() {
            let top = TOP + i as f64 * row_height;
            let bounds = (top + HEADING_HEIGHT, top + row_height - ROW_GAP);
            let curves = Curves {
                axis,
                bounds,
                scale,
                specks: false,
            };
            self.panel(scene, panel, &curves, &mut paint);
        }
        axis.labels(scene, BOTTOM);
        axis.marks(scene, &self.clock);
    }

    fn panel(
        &self,
        scene: &mut Scene,
        panel: &Panel<'_>,
        curves: &Curves<'_>,
        paint: &mut impl FnMut(&mut Scene, &Panel<'_>, &Curves<'_>),
    ) {
        let (axis, (top, bottom)) = (curves.axis, curves.bounds);
        let at: Point = (axis.left, top - 9.0);
        heading(scene, at, axis.right, &panel.heading, &panel.unit);
        axis.ground(scene, &self.clock, top, bottom);
        if panel.is_nothing() {
            let at = (0.5 * (axis.left + axis.right), 0.5 * (top + bottom) + 6.0);
            scene.text(at, NOTHING_DRIED_ON, NOTE, Anchor::Middle);
        } else {
            grid(scene, &axis, curves.scale, curves.bounds);
            paint(scene, panel, curves);
        }
        axis.service(scene, &self.clock, top, bottom);
        if let Some(other) = &self.other {
            axis.service(scene, other, top, bottom);
        }
        for (row, (absences, color)) in self.absences.iter().enumerate() {
            absences.draw_in(scene, &axis, top + row as f64 * ROW_OF_MARKS, *color);
        }
    }
}

/// Between the marks of the base and those below, px.
const ROW_OF_MARKS: f64 = 10.0;

/// When both are short of hands by their plans.
fn absences(comparison: &Comparison, alternative: &Alternative) -> Vec<(Absences, RGBColor)> {
    let sides = [&comparison.base, &alternative.side];
    let from_s = sides[0].clock.start_s.min(sides[1].clock.start_s);
    let [base, other] = sides.map(|side| Absences::planned(&side.away, from_s));
    if base == other {
        vec![(base, GREY)]
    } else {
        vec![(base, BASE_LINE), (other, LINE)]
    }
}

/// What the marks are, after a caption.
fn of_absences(comparison: &Comparison, alternative: &Alternative) -> &'static str {
    let all = absences(comparison, alternative);
    let any = all.iter().map(|(absences, _)| absences.any());
    let any = any.fold((false, false), |a, b| (a.0 || b.0, a.1 || b.1));
    words::of_absences(any)
}

/// Fewer racks that wait are no queue.
const FEW_RACKS: f64 = 2.0;

/// What waits, what of it has dried on, racks if many wait, and the ware that is nearest to nothing in any of the
/// scenarios; as far as both have it.
fn panels<'a>(comparison: &'a Comparison, alternative: &'a Alternative) -> Vec<Panel<'a>> {
    let base = &comparison.base;
    let [waiting, dried, racks] =
        words::PANELS.map(|(name, heading)| panel(base, alternative, name, heading));
    let is_queue = |panel: &Panel<'_>| most(panel.base).max(most(panel.other)) > FEW_RACKS;
    let mut panels = vec![waiting, dried, racks.filter(is_queue)];
    let is_stock =
        |band: &&Band| matches!(band.info.kind, SeriesKind::CleanStock(_)) && has_any(band);
    let least = |name: &str| {
        let others = comparison.alternatives.iter().map(|other| &other.side);
        let bands = std::iter::once(base).chain(others);
        let bands = bands.flat_map(|side| side.series.iter().filter(is_stock));
        let of_ware = bands.filter(|band| band.info.name == name);
        of_ware.map(least_part).fold(f64::INFINITY, f64::min)
    };
    let mut stocks: Vec<(f64, &Band)> = (base.series.iter().filter(is_stock))
        .map(|band| (least(&band.info.name), band))
        .collect();
    stocks.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut stocks = stocks.into_iter().filter_map(|(_, band)| {
        let heading = words::left_in_store(&ware_name(&band.info.name));
        panel(base, alternative, &band.info.name, &heading)
    });
    panels.push(stocks.next());
    let mut panels: Vec<_> = panels.into_iter().flatten().collect();
    panels.retain(|panel| has_any(panel.base) || has_any(panel.other));
    panels
}

fn panel<'a>(
    base: &'a Side,
    alternative: &'a Alternative,
    name: &str,
    heading: &str,
) -> Option<Panel<'a>> {
    let of = |side: &'a Side| side.series.iter().find(|band| band.info.name == name);
    let mut curves = alternative.curves.iter();
    let base = of(base)?;
    let (unit, points) = match base.info.unit {
        "1" => ("%", words::POINTS),
        unit => (unit, unit),
    };
    Some(Panel {
        heading: heading.to_owned(),
        unit: unit.to_owned(),
        points,
        base,
        other: of(&alternative.side)?,
        curve: curves.find(|curve| curve.info.name == name),
    })
}
