//! Level bars, one a row: a mean, with a line from the 10th to the 90th percentile, and what it comes
//! to in words. A row without a value has words alone.

use super::axis::Scale;
use super::font::{SUBSTITUTE, width};
use super::frame::{BOTTOM, EDGE, TOP, right_edge};
use super::scene::{Anchor, Point, Scene, Type};
use super::style::{AXIS, BAND, GREY, GRID, INK, LINE, NOTE, WHITE};

/// Where rows begin, below the heading.
const ROWS_TOP: f64 = TOP + 14.0;
/// Thickness of a bar, px at most.
const THICKEST: f64 = 46.0;
/// A narrower spread would only be a blot on the end of the bar, px.
const MIN_SPREAD: f64 = 6.0;
/// Between a bar and its words.
const GAP: f64 = 14.0;

/// What a row with a value shows.
pub struct Value {
    /// The mean, where the bar ends.
    pub mean: f64,
    /// 10th and 90th percentile.
    pub spread: Option<Point>,
}

/// One row.
pub struct Bar {
    /// Its name, left of the bar.
    pub name: &'static str,
    /// What is drawn, if there is a value.
    pub value: Option<Value>,
    /// What it comes to, right of the bar.
    pub words: String,
}

impl Bar {
    /// How far it goes.
    fn most(&self) -> f64 {
        self.value.as_ref().map_or(0.0, |value| {
            value
                .spread
                .map_or(value.mean, |(_, high)| high.max(value.mean))
        })
    }
}

/// Where values lie.
struct Span {
    left: f64,
    right: f64,
    scale: Scale,
}

impl Span {
    fn x(&self, value: f64) -> f64 {
        let part = self.scale.part(value);
        self.left + part * (self.right - self.left)
    }
}

/// Draws the bars, the first uppermost; words find room to the right of the longest.
pub fn draw(scene: &mut Scene, bars: &[Bar]) {
    let room = |texts: &mut dyn Iterator<Item = &str>| {
        let widths = texts.map(|text| SUBSTITUTE * width(text, NOTE.em, false));
        widths.fold(0.0, f64::max) + GAP
    };
    let names = room(&mut bars.iter().map(|bar| bar.name));
    let valued = || bars.iter().filter(|bar| bar.value.is_some());
    let words = room(&mut valued().map(|bar| bar.words.as_str()));
    let most = bars.iter().map(Bar::most).fold(0.0, f64::max);
    let span = Span {
        left: EDGE + names,
        right: right_edge() - words,
        scale: Scale::new(most, 6, false),
    };
    grid(scene, &span);
    let height = (BOTTOM - ROWS_TOP) / bars.len().max(1) as f64;
    for (index, bar) in bars.iter().enumerate() {
        row(
            scene,
            &span,
            bar,
            ROWS_TOP + (index as f64 + 0.5) * height,
            height,
        );
    }
    scene.line(vec![(span.left, ROWS_TOP), (span.left, BOTTOM)], AXIS, 1.0);
}

/// Upright grid lines, with their labels below.
fn grid(scene: &mut Scene, span: &Span) {
    for tick in span.scale.ticks() {
        let x = span.x(tick);
        scene.line(vec![(x, ROWS_TOP), (x, BOTTOM)], GRID, 1.0);
        let label = span.scale.label(tick);
        scene.text((x, BOTTOM + 25.0), &label, NOTE, Anchor::Middle);
    }
}

/// A row around its middle `y`.
fn row(scene: &mut Scene, span: &Span, bar: &Bar, y: f64, height: f64) {
    let named = Type { color: INK, ..NOTE };
    let baseline = y + 6.5;
    let at = (span.left - GAP, baseline);
    scene.text(at, bar.name, named, Anchor::End);
    let Some(value) = &bar.value else {
        let at = (span.left + GAP, baseline);
        let room = SUBSTITUTE * width(&bar.words, NOTE.em, false);
        scene.rect((at.0, y - 12.0), (at.0 + room, y + 12.0), WHITE);
        let faint = Type {
            color: GREY,
            ..NOTE
        };
        return scene.text(at, &bar.words, faint, Anchor::Start);
    };
    let half = (0.5 * THICKEST).min(0.35 * height);
    let end = span.x(value.mean);
    scene.rect((span.left, y - half), (end, y + half), BAND);
    scene.line(vec![(end, y - half), (end, y + half)], LINE, 4.0);
    let spread = value.spread.map(|(low, high)| (span.x(low), span.x(high)));
    if let Some(ends) = spread.filter(|(low, high)| high - low > MIN_SPREAD) {
        whisker(scene, ends, y, 0.4 * half);
    }
    let at = (span.x(bar.most()) + GAP, baseline);
    scene.text(at, &bar.words, named, Anchor::Start);
}

/// A line between two ends with a stroke across each.
fn whisker(scene: &mut Scene, (low, high): Point, y: f64, half: f64) {
    scene.line(vec![(low, y), (high, y)], INK, 2.0);
    for x in [low, high] {
        scene.line(vec![(x, y - half), (x, y + half)], INK, 2.0);
    }
}
