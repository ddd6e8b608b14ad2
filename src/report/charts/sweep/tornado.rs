//! Which factor moves a measure most: each from the base to its low and its high level, the others left
//! alone, the largest swing uppermost. The line at the end of a bar is the 95 % interval of the paired
//! difference from the base; a bar whose interval reaches the base is pale, for it could be luck.

use super::super::axis::Scale;
use super::super::font::fitted;
use super::super::frame::{EDGE, nothing, right_edge};
use super::super::scene::{Anchor, Scene, Type};
use super::super::style::{AXIS, GREY, GRID, HEADING, INK, LEAST, NOTE, WHITE};
use super::axes::{Axis, clean, with_unit};
use super::page::{BOTTOM, LABELS_BELOW, TITLE_BELOW, TOP, captions, page, room_for, shared};
use super::view::{Value, View};
use crate::study::swept::{Cell, Level, Swing};
use crate::words::charts::study as words;
use plotters::style::RGBColor;

/// Factors that are shown at most.
const MAX_ROWS: usize = 9;
/// Names take no more than this,
const MAX_NAMES: f64 = 260.0;
/// and what stands at the end of a bar no more than this.
const MAX_WORDS: f64 = 270.0;
const GAP: f64 = 10.0;
const ROWS_TOP: f64 = TOP + 26.0;
/// Thickness of a bar at most.
const THICKEST: f64 = 36.0;

/// Bars to the low level, to the high level, and their pale kin.
const LOW: [RGBColor; 2] = [RGBColor(0xE6, 0x9F, 0x00), RGBColor(0xF8, 0xE6, 0xBE)];
const HIGH: [RGBColor; 2] = [RGBColor(0x35, 0x8E, 0xBF), RGBColor(0xCF, 0xE3, 0xEF)];

/// One end of a swing.
struct End {
    /// The level in words.
    level: String,
    /// What sets it apart from the other level, where there is no room for all of it.
    tail: String,
    /// Difference from the base.
    moved: f64,
    half: Option<f64>,
}

impl End {
    fn new(
        view: &View<'_>,
        base: Value,
        level: String,
        cell: &Cell,
        half: Option<f64>,
    ) -> Option<Self> {
        Some(Self {
            tail: level.clone(),
            level,
            moved: view.value(cell)?.mean - base.mean,
            half: view.spread(half),
        })
    }

    fn is_luck(&self) -> bool {
        self.half.is_some_and(|half| self.moved.abs() <= half)
    }

    /// Least and largest difference that the interval holds, of values that there can be.
    fn interval(&self, view: &View<'_>, base: f64) -> (f64, f64) {
        let half = self.half.unwrap_or(0.0);
        let (low, high) = (base + self.moved - half, base + self.moved + half);
        let (low, high) = view.within((low, high));
        (low - base, high - base)
    }

    /// The same with the base.
    fn reach(&self, view: &View<'_>, base: f64) -> (f64, f64) {
        let (low, high) = self.interval(view, base);
        (low.min(0.0), high.max(0.0))
    }

    fn words(&self, view: &View<'_>) -> String {
        let number = view.number(self.moved, self.half);
        let sign = if self.moved > 0.0 && number.contains(|c| ('1'..='9').contains(&c)) {
            "+"
        } else {
            ""
        };
        let spread = view.plus_minus(self.half);
        let spread = spread.map_or_else(String::new, |s| format!(" {s}"));
        let figures = format!(": {sign}{number}{spread}");
        let room = MAX_WORDS - room_for([figures.as_str()], NOTE.em);
        let room = room.max(40.0);
        let is_whole = room_for([self.level.as_str()], NOTE.em) <= room;
        let level = if is_whole { &self.level } else { &self.tail };
        fitted(level, NOTE.em, false, room) + &figures
    }
}

/// One factor.
struct Row {
    name: String,
    /// Whether its levels are numbers, low and high, and not names.
    is_numeric: bool,
    ends: [Option<End>; 2],
}

impl Row {
    fn new(view: &View<'_>, swing: &Swing) -> Option<Self> {
        let base = view.value(&swing.at_base)?;
        let factor = view.swept.factors.get(swing.factor);
        let label = |level: &Level| {
            factor.map_or_else(|| clean(&level.text), |factor| with_unit(factor, level))
        };
        let mut low = End::new(
            view,
            base,
            label(&swing.low),
            &swing.at_low,
            swing.low_half_width,
        );
        let mut high = End::new(
            view,
            base,
            label(&swing.high),
            &swing.at_high,
            swing.high_half_width,
        );
        if let (Some(low), Some(high)) = (&mut low, &mut high) {
            let begins = shared(&low.level, &high.level);
            if begins > 0 {
                low.tail = format!("…{}", &low.level[begins..]);
                high.tail = format!("…{}", &high.level[begins..]);
            }
        }
        let name = Axis::new(view.swept, swing.factor).map_or_else(String::new, |axis| axis.name);
        (low.is_some() || high.is_some()).then_some(Self {
            name,
            is_numeric: swing.low.number.is_some() && swing.high.number.is_some(),
            ends: [low, high],
        })
    }

    fn ends(&self) -> impl Iterator<Item = &End> {
        self.ends.iter().flatten()
    }

    /// From the lowest to the highest of base and ends.
    fn swing(&self) -> f64 {
        let moved = self.ends().map(|end| end.moved);
        let (low, high) = moved.fold((0.0_f64, 0.0_f64), |(a, b), m| (a.min(m), b.max(m)));
        high - low
    }
}

/// Draws the swings of a measure; none if it has none.
pub fn draw(view: &View<'_>) -> Option<Scene> {
    let swings = || {
        view.swept
            .swings
            .iter()
            .filter(|s| s.measure == view.measure)
    };
    let base = swings().find_map(|swing| view.value(&swing.at_base))?;
    let mut rows: Vec<Row> = swings().filter_map(|swing| Row::new(view, swing)).collect();
    rows.sort_by(|a, b| b.swing().total_cmp(&a.swing()));
    let all = rows.len();
    rows.truncate(MAX_ROWS);
    if rows.is_empty() {
        return None;
    }
    let mut scene = page(view);
    let all_equal = rows.iter().flat_map(Row::ends);
    let mut all_equal = all_equal.map(|end| end.moved.abs() + end.half.unwrap_or(0.0));
    if all_equal.all(|moved| moved == 0.0) {
        let number = view.number(base.mean, base.half);
        nothing(&mut scene, &words::nothing_moves(&number, view.unit()));
        captions(&mut scene, view, vec![words::seed(view.swept.seed)]);
        return Some(scene);
    }
    let bars = Bars::new(view, &rows, base);
    bars.ground(&mut scene, base);
    let height = (BOTTOM - ROWS_TOP) / rows.len() as f64;
    for (i, row) in rows.iter().enumerate() {
        bars.row(
            &mut scene,
            row,
            ROWS_TOP + (i as f64 + 0.5) * height,
            height,
        );
    }
    bars.lines(&mut scene, base);
    for (i, row) in rows.iter().enumerate() {
        bars.words(
            &mut scene,
            row,
            ROWS_TOP + (i as f64 + 0.5) * height,
            height,
        );
    }
    let silent = swings().count() - all;
    let mut said = sentences(view, &rows, all, silent);
    if bars.targets().next().is_some() {
        said.push(words::target_line(&view.bounds_text().unwrap_or_default()));
    }
    captions(&mut scene, view, said);
    Some(scene)
}

struct Bars<'a> {
    view: &'a View<'a>,
    left: f64,
    right: f64,
    names: f64,
    scale: Scale,
    base: f64,
}

impl<'a> Bars<'a> {
    fn new(view: &'a View<'a>, rows: &[Row], base: Value) -> Self {
        let names = room_for(rows.iter().map(|r| r.name.as_str()), NOTE.em).min(MAX_NAMES);
        let ends = || rows.iter().flat_map(Row::ends);
        let reach = ends().map(|end| end.reach(view, base.mean));
        let (low, high) = reach.fold((0.0_f64, 0.0_f64), |(a, b), r| (a.min(r.0), b.max(r.1)));
        let (low, high) = (base.mean + low, base.mean + high);
        // Targets that are near are in sight.
        let span = high - low;
        let near = |bound: &f64| *bound >= low - 0.5 * span && *bound <= high + 0.5 * span;
        let bounds = view.bounds().into_iter().map(|bound| bound.value);
        let (low, high) = (bounds.filter(near)).fold((low, high), |(a, b), v| (a.min(v), b.max(v)));
        let scale = Scale::around(low, high, 5);
        let words = |is_left: bool| {
            let side = ends().filter(|end| (end.moved < 0.0) == is_left);
            let words: Vec<_> = side.map(|end| end.words(view)).collect();
            room_for(words.iter().map(String::as_str), NOTE.em)
        };
        Self {
            view,
            left: EDGE + names + GAP + words(true) + GAP,
            right: right_edge() - words(false) - GAP,
            names,
            scale,
            base: base.mean,
        }
    }

    fn x(&self, moved: f64) -> f64 {
        self.left + self.scale.part(self.base + moved) * (self.right - self.left)
    }

    /// Bounds of targets that are in sight.
    fn targets(&self) -> impl Iterator<Item = f64> {
        let bounds = self.view.bounds().into_iter().map(|bound| bound.value);
        let (least, most) = (self.scale.base, self.scale.top);
        bounds.filter(move |bound| (least..=most).contains(bound))
    }

    fn ground(&self, scene: &mut Scene, base: Value) {
        for tick in self.scale.ticks() {
            let x = self.x(tick - base.mean);
            scene.line(vec![(x, ROWS_TOP), (x, BOTTOM)], GRID, 1.0);
        }
        let places: Vec<f64> = self
            .scale
            .ticks()
            .iter()
            .map(|t| self.x(t - base.mean))
            .collect();
        let labels: Vec<String> = self
            .scale
            .ticks()
            .iter()
            .map(|t| self.scale.label(*t))
            .collect();
        super::page::labels_along(scene, &places, &labels, BOTTOM + LABELS_BELOW);
        let title = words::per_evening(self.view.unit());
        let middle = 0.5 * (self.left + self.right);
        let at = (middle, BOTTOM + TITLE_BELOW);
        scene.text(at, &title, HEADING, Anchor::Middle);
    }

    /// A row around its middle `y`: the low level above, the high level below.
    fn row(&self, scene: &mut Scene, row: &Row, y: f64, height: f64) {
        let named = Type { color: INK, ..NOTE };
        let name = fitted(&row.name, NOTE.em, false, self.names.max(40.0));
        let at = (EDGE, y + 6.5);
        scene.text(at, &name, named, Anchor::Start);
        for (i, end, top, thick) in placed(row, y, height) {
            let color = [LOW, HIGH][i][usize::from(end.is_luck())];
            self.bar(scene, end, top, thick, color);
        }
    }

    /// What stands at the ends of a row's bars, on white so that no line runs through it.
    fn words(&self, scene: &mut Scene, row: &Row, y: f64, height: f64) {
        let face = Type { color: INK, ..NOTE };
        for (_, end, top, thick) in placed(row, y, height) {
            let (low, high) = end.reach(self.view, self.base);
            let baseline = top + 0.5 * thick + 6.5;
            let words = end.words(self.view);
            let room = room_for([words.as_str()], NOTE.em);
            let (at, anchor) = if end.moved < 0.0 {
                (self.x(low) - GAP, Anchor::End)
            } else {
                (self.x(high) + GAP, Anchor::Start)
            };
            let left = if end.moved < 0.0 { at - room } else { at };
            let ground = (
                (left - 2.0, baseline - 15.0),
                (left + room + 2.0, baseline + 5.0),
            );
            scene.rect(ground.0, ground.1, WHITE);
            scene.text((at, baseline), &words, face, anchor);
        }
    }

    fn bar(&self, scene: &mut Scene, end: &End, top: f64, thick: f64, color: RGBColor) {
        let (zero, tip) = (self.x(0.0), self.x(end.moved));
        let (from, to) = (zero.min(tip), zero.max(tip));
        scene.rect((from, top), (to, top + thick), color);
        let middle = top + 0.5 * thick;
        if end.half.is_some_and(|half| half > 0.0) {
            let (low, high) = end.interval(self.view, self.base);
            let (low, high) = (self.x(low), self.x(high));
            scene.line(vec![(low, middle), (high, middle)], INK, 1.75);
            for x in [low, high] {
                let reach = 0.25 * thick;
                scene.line(vec![(x, middle - reach), (x, middle + reach)], INK, 1.75);
            }
        }
    }

    /// The lines of targets, and the base line with its name and value above.
    fn lines(&self, scene: &mut Scene, base: Value) {
        for bound in self.targets() {
            let x = self.x(bound - base.mean);
            scene.line(vec![(x, ROWS_TOP), (x, BOTTOM)], LEAST, 2.0);
        }
        let x = self.x(0.0);
        scene.line(vec![(x, ROWS_TOP - 4.0), (x, BOTTOM)], GREY, 2.0);
        scene.line(vec![(self.left, BOTTOM), (self.right, BOTTOM)], AXIS, 1.0);
        let number = self.view.number(base.mean, base.half);
        let words = words::base(&number, self.view.unit());
        let half = 0.5 * room_for([words.as_str()], NOTE.em);
        let at = x.clamp(EDGE + half, right_edge() - half);
        let face = Type { color: INK, ..NOTE };
        scene.text((at, ROWS_TOP - 12.0), &words, face, Anchor::Middle);
    }
}

/// The ends of a row around its middle `y`, each with the top and the thickness of its bar.
fn placed(row: &Row, y: f64, height: f64) -> impl Iterator<Item = (usize, &End, f64, f64)> {
    let thick = THICKEST.min(0.4 * height);
    let ends = row.ends.iter().enumerate();
    ends.filter_map(move |(i, end)| {
        let top = y + if i == 0 { -thick - 1.0 } else { 1.0 };
        Some((i, end.as_ref()?, top, thick))
    })
}

fn sentences(view: &View<'_>, rows: &[Row], all: usize, silent: usize) -> Vec<String> {
    let shown = rows.len();
    let (numbers, names) = (
        rows.iter().any(|r| r.is_numeric),
        rows.iter().any(|r| !r.is_numeric),
    );
    let mut sentences = words::swings(numbers, names);
    if shown < all {
        sentences.push(words::move_most(shown, all));
    }
    if silent > 0 {
        sentences.push(words::without(silent));
    }
    sentences.push(words::seed(view.swept.seed));
    sentences
}
