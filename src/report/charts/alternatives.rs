//! All alternatives of a comparison at once: a row for each scenario, the base first, and a column for each headline
//! measure with an axis of its own.
//!
//! A dot is a mean, and the line through it runs from the 10th to the 90th percentile of the evenings. The base's mean
//! goes on as a dashed line down the column. A dot is filled where a difference is beyond chance and matters.

use super::axis::Scale;
use super::font::{SUBSTITUTE, fitted, width};
use super::frame::{BOTTOM, EDGE, right_edge, small_print, subtitle, titled};
use super::scene::{Anchor, Point, Scene, Type};
use super::style::{AXIS, BASE_LINE, GRID, INK, LINE, NOTE, WHITE};
use crate::report::compare::verdict;
use crate::report::number::{decimals, finite, text};
use crate::report::units::Units;
use crate::service::measure::Measure;
use crate::statistics::interval::Sample;
use crate::statistics::quantile::quantile;
use crate::study::compare::difference::{Judged, Verdict};
use crate::study::compare::{Comparison, Side};
use crate::study::plan::LEVEL;
use crate::words::charts::comparison as words;
use crate::words::charts::provenance;
use crate::words::measures::heading;

/// Where rows begin, below the heads of the columns.
const ROWS_TOP: f64 = 156.0;
/// First line of a head, and from one to the next.
const HEAD: f64 = 104.0;
const HEAD_LINE: f64 = 19.0;
const HEAD_LINES: usize = 3;
/// Columns that find room.
const MOST: usize = 6;
/// Room of the names: the longest, but no more than this.
const NAMES: f64 = 270.0;
/// Between two columns, px.
const BETWEEN: f64 = 26.0;
/// Lower rows have no room for words below the dot.
const WORDY: f64 = 44.0;
/// Radius of a dot.
const DOT: f64 = 7.0;

const SMALLER: Type = Type { em: 15.0, ..NOTE };
const HEADS: Type = Type {
    em: 15.0,
    bold: true,
    color: INK,
};

/// What a scenario has of a measure, as it is shown.
struct Value {
    mean: f64,
    half_width: Option<f64>,
    /// 10th and 90th percentile.
    spread: Option<Point>,
}

/// A measure of all scenarios.
struct Column {
    measure: Measure,
    /// The base, then the alternatives.
    values: Vec<Option<Value>>,
    unit: &'static str,
}

/// All scenarios and the headline.
pub fn alternatives(comparison: &Comparison, units: Units) -> Scene {
    let sides: Vec<&Side> = std::iter::once(&comparison.base)
        .chain(comparison.alternatives.iter().map(|one| &one.side))
        .collect();
    let all: Vec<Column> = (comparison.headline.iter())
        .map(|measure| column(*measure, &sides, units))
        .filter(|column| column.values.iter().any(Option::is_some))
        .collect();
    let shown = &all[..all.len().min(MOST)];
    let caption = words::of_all(comparison.replications, shown.len(), all.len());
    let of = words::all_of(&comparison.base.title, comparison.alternatives.len());
    let mut scene = titled(words::ALL, &of, &caption, &comparison.wording);
    subtitle(&mut scene, &of);
    let files: Vec<&str> = sides.iter().map(|side| side.name.as_str()).collect();
    let files = words::files(&files);
    let from = provenance(&files, comparison.seed, comparison.replications);
    small_print(&mut scene, &from);
    let height = (BOTTOM - ROWS_TOP) / sides.len() as f64;
    let room = names(&mut scene, &sides, comparison.replications, height);
    let left = EDGE + room + BETWEEN;
    let each = (right_edge() - left) / shown.len().max(1) as f64;
    for (place, column) in shown.iter().enumerate() {
        let from = left + place as f64 * each;
        let ends = (from, from + each - BETWEEN);
        draw(&mut scene, comparison, column, ends, height);
    }
    scene
}

fn column(measure: Measure, sides: &[&Side], units: Units) -> Column {
    let shown = units.shown(measure.info().unit);
    let value = |side: &&Side| {
        let values = side.rows.iter();
        let values = values.filter_map(|row| finite(row.values.get(measure as usize).copied()?));
        let mut values: Vec<f64> = values.map(|v| v * shown.factor + shown.offset).collect();
        let sample = Sample::of(&values)?;
        values.sort_by(f64::total_cmp);
        Some(Value {
            mean: sample.mean,
            half_width: sample.half_width(LEVEL),
            spread: quantile(&values, 0.1).zip(quantile(&values, 0.9)),
        })
    };
    Column {
        measure,
        values: sides.iter().map(value).collect(),
        unit: shown.unit,
    }
}

/// What the rows are called, and what is unsafe or unfinished about them; how much room that takes.
fn names(scene: &mut Scene, sides: &[&Side], evenings: u64, height: f64) -> f64 {
    let wordy = height >= WORDY;
    let rows: Vec<(String, String)> = (sides.iter().enumerate())
        .map(|(place, side)| {
            let wrong = words::wrong_with(side.is_unsafe(), side.unfinished, evenings);
            let name = match place {
                0 => words::base(&side.name),
                _ => side.name.clone(),
            };
            match (wrong.is_empty(), wordy) {
                (true, _) | (false, true) => (name, wrong),
                (false, false) => (words::wrong_name(&wrong, &name), String::new()),
            }
        })
        .collect();
    let wide = |text: &str, face: Type| SUBSTITUTE * width(text, face.em, face.bold);
    let longest = rows
        .iter()
        .map(|(name, wrong)| wide(name, SMALLER).max(wide(wrong, HEADS)));
    let room = longest.fold(0.0, f64::max).min(NAMES);
    for (place, (name, wrong)) in rows.iter().enumerate() {
        let middle = ROWS_TOP + (place as f64 + 0.5) * height;
        let color = if place == 0 { BASE_LINE } else { INK };
        let face = Type { color, ..SMALLER };
        let name = fitted(name, face.em, false, room);
        let wrong = fitted(wrong, HEADS.em, true, room);
        let up = if wrong.is_empty() { 5.0 } else { -4.0 };
        scene.text((EDGE, middle + up), &name, face, Anchor::Start);
        scene.text((EDGE, middle + up + 19.0), &wrong, HEADS, Anchor::Start);
    }
    room
}

/// One measure between its `ends`.
fn draw(scene: &mut Scene, comparison: &Comparison, column: &Column, ends: Point, height: f64) {
    head(scene, column, ends);
    let scale = scale(column, ends);
    let x = |value: f64| ends.0 + scale.part(value) * (ends.1 - ends.0);
    let mut taken = f64::NEG_INFINITY;
    for tick in scale.ticks() {
        scene.line(vec![(x(tick), ROWS_TOP), (x(tick), BOTTOM)], GRID, 1.0);
        let label = scale.label(tick);
        let half = 0.5 * SUBSTITUTE * width(&label, SMALLER.em, false);
        let middle = x(tick).min(right_edge() - half);
        if middle - half > taken {
            scene.text((middle, BOTTOM + 22.0), &label, SMALLER, Anchor::Middle);
            taken = middle + half + 6.0;
        }
    }
    scene.line(vec![(ends.0, BOTTOM), (ends.1, BOTTOM)], AXIS, 1.0);
    if let Some(Some(base)) = column.values.first() {
        let at = x(base.mean);
        scene.dashes((at, ROWS_TOP), (at, BOTTOM), BASE_LINE, 1.5);
    }
    for (place, value) in column.values.iter().enumerate() {
        let judged = place.checked_sub(1).and_then(|at| {
            let difference = &comparison.alternatives[at].differences[column.measure as usize];
            difference.judged
        });
        let middle = ROWS_TOP + (place as f64 + 0.5) * height;
        let row = Row {
            middle,
            height,
            is_base: place == 0,
            judged,
        };
        row.draw(scene, value.as_ref(), ends, x);
    }
}

/// From 0, or from below where a measure can be there.
fn scale(column: &Column, ends: Point) -> Scale {
    let values = column.values.iter().flatten();
    let all: Vec<f64> = values
        .flat_map(|value| {
            let spread = value.spread.unwrap_or((value.mean, value.mean));
            [value.mean, spread.0, spread.1]
        })
        .collect();
    let (low, high) = (
        all.iter().copied().fold(0.0, f64::min),
        all.iter().copied().fold(0.0, f64::max),
    );
    let ticks = ((ends.1 - ends.0) / 60.0).clamp(1.0, 4.0) as usize;
    if low < 0.0 {
        Scale::signed(low, high, ticks)
    } else {
        Scale::new(high, ticks, false)
    }
}

/// What is measured, and in what, in lines that find room.
fn head(scene: &mut Scene, column: &Column, (left, right): Point) {
    let room = right - left + 0.5 * BETWEEN;
    let text = format!("{} ({})", heading(column.measure.info()), column.unit);
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let last = lines.len() - 1;
        let longer = format!("{} {word}", lines[last]).trim().to_owned();
        let fits = SUBSTITUTE * width(&longer, HEADS.em, true) <= room;
        if fits || lines[last].is_empty() || lines.len() == HEAD_LINES {
            lines[last] = longer;
        } else {
            lines.push(word.to_owned());
        }
    }
    for (place, line) in lines.iter().enumerate() {
        let at = (left, HEAD + place as f64 * HEAD_LINE);
        let line = fitted(line, HEADS.em, true, room);
        scene.text(at, &line, HEADS, Anchor::Start);
    }
}

/// One scenario of a column.
struct Row {
    middle: f64,
    height: f64,
    is_base: bool,
    judged: Option<Judged>,
}

impl Row {
    fn draw(&self, scene: &mut Scene, value: Option<&Value>, ends: Point, x: impl Fn(f64) -> f64) {
        let is_wordy = self.height >= WORDY;
        let at = self.middle - if is_wordy { 9.0 } else { 0.0 };
        let Some(value) = value else {
            scene.text((ends.0 + 4.0, at + 5.0), "-", SMALLER, Anchor::Start);
            return;
        };
        let color = if self.is_base { BASE_LINE } else { LINE };
        if let Some((low, high)) = value.spread {
            scene.line(vec![(x(low), at), (x(high), at)], color, 2.5);
        }
        dot(
            scene,
            (x(value.mean), at),
            DOT.min(0.4 * self.height),
            color,
        );
        if !self.is_certain() {
            let within = DOT.min(0.4 * self.height) - 2.5;
            dot(scene, (x(value.mean), at), within, WHITE);
        }
        if is_wordy {
            let said = self.words(value);
            let said = fitted(&said, SMALLER.em, false, ends.1 - ends.0 + 0.8 * BETWEEN);
            // The base's line does not cross it.
            let room = SUBSTITUTE * width(&said, SMALLER.em, false);
            let (top, bottom) = (self.middle + 3.0, self.middle + 22.0);
            scene.rect((ends.0 + 1.0, top), (ends.0 + room, bottom), WHITE);
            scene.text(
                (ends.0 + 2.0, self.middle + 17.0),
                &said,
                SMALLER,
                Anchor::Start,
            );
        }
    }

    /// Whether it is the base, or differs from it beyond chance and by what matters.
    fn is_certain(&self) -> bool {
        let verdict = self.judged.map(|judged| judged.verdict);
        self.is_base || matches!(verdict, Some(Verdict::Less | Verdict::More))
    }

    fn words(&self, value: &Value) -> String {
        let mean = text(Some(value.mean), decimals(value.half_width, 2));
        match self.judged {
            Some(judged) => words::judged(&mean, verdict(judged.verdict)),
            None => mean,
        }
    }
}

/// A filled circle.
fn dot(scene: &mut Scene, (x, y): Point, radius: f64, color: plotters::style::RGBColor) {
    const CORNERS: usize = 24;
    let corner = |i: usize| {
        let angle = std::f64::consts::TAU * i as f64 / CORNERS as f64;
        (x + radius * libm::cos(angle), y + radius * libm::sin(angle))
    };
    scene.area((0..CORNERS).map(corner).collect(), color);
}
