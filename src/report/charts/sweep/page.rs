//! What the charts of a study share: title, captions, where panels stand, and the plot of values.

use super::super::axis::Scale;
use super::super::font::{SUBSTITUTE, fitted, width};
use super::super::frame::{EDGE, SMALLER, nothing, right_edge, small_print, subtitle, titled};
use super::super::scene::{Anchor, Point, Scene, Type};
use super::super::style::{AXIS, DOWN, GRID, HEADING, INK, LEAST, NOTE, WHITE};
use super::axes::{clean, fixed};
use super::view::{Bound, View};
use crate::words::charts::{from_file, study as words};

/// Where panels may begin.
pub const TOP: f64 = 128.0;
/// Where panels must end, above the labels of the lower axis, its name and two lines of caption.
pub const BOTTOM: f64 = 548.0;
/// The name of the lower axis stands this far below the panels,
pub const TITLE_BELOW: f64 = 52.0;
/// and its labels this far.
pub const LABELS_BELOW: f64 = 25.0;
/// A line of text, px.
pub const LINE_HEIGHT: f64 = 21.0;
/// Height of the heading of a panel.
pub const HEADING_HEIGHT: f64 = 28.0;
/// Baselines of the two lines of caption.
const CAPTIONS: [f64; 2] = [630.0, 655.0];
/// Half of a cross, px.
const CROSS: f64 = 5.0;
/// Between panels.
const GAPS: Point = (26.0, 16.0);

/// A scene with the words of the measure and the title of the study.
pub fn page(view: &View<'_>) -> Scene {
    let of = clean(&view.swept.title);
    let mut scene = titled(&view.words(), &of, "", &view.swept.wording);
    subtitle(&mut scene, &of);
    let file = clean(&view.swept.name);
    let from = from_file(&file, view.swept.seed, &view.evenings());
    small_print(&mut scene, &from);
    scene
}

/// Sentences at the foot, over two lines, then what does not vary.
pub fn captions(scene: &mut Scene, view: &View<'_>, sentences: Vec<String>) {
    let sentences = sentences.into_iter().chain(fixed(view.swept));
    let text = sentences.collect::<Vec<_>>().join(" ");
    let text = view.swept.wording.said(&text);
    let room = right_edge() - EDGE;
    let (lines, face) = two_lines_of_caption(&text, room);
    for (line, y) in lines.iter().zip(CAPTIONS) {
        let line = fitted(line, face.em, false, room);
        scene.text((EDGE, y), &line, face, Anchor::Start);
    }
}

/// A text over two lines, smaller where it would have to be cut.
fn two_lines_of_caption(text: &str, room: f64) -> ([String; 2], Type) {
    let sizes = SMALLER.map(|part| Type {
        em: part * NOTE.em,
        ..NOTE
    });
    let of = |face: Type| {
        let (first, rest) = broken(text, face.em, room);
        ([first, rest], face)
    };
    let fits = |(lines, face): &([String; 2], Type)| {
        let all = |line: &String| SUBSTITUTE * width(line, face.em, false) <= room;
        lines.iter().all(all)
    };
    let smallest = sizes[SMALLER.len() - 1];
    let mut all = sizes.into_iter().map(of);
    all.find(fits).unwrap_or_else(|| of(smallest))
}

/// As many words of `text` as fit into `room`, and the rest.
pub fn broken(text: &str, em: f64, room: f64) -> (String, String) {
    let mut first = String::new();
    let mut words = text.split(' ');
    while let Some(word) = words.next() {
        let longer = if first.is_empty() {
            word.to_owned()
        } else {
            format!("{first} {word}")
        };
        if !first.is_empty() && SUBSTITUTE * width(&longer, em, false) > room {
            let rest: Vec<&str> = std::iter::once(word).chain(words).collect();
            return (first, rest.join(" "));
        }
        first = longer;
    }
    (first, String::new())
}

/// A label over at most two lines of `room`, the second cut short if need be; one line if it fits.
pub fn two_lines(label: &str, room: f64) -> (String, String) {
    let (first, rest) = broken(label, NOTE.em, room);
    let short = |line: &str| fitted(line, NOTE.em, false, room);
    (short(&first), short(&rest))
}

/// A triangle that points from below at where the base is on an axis.
pub fn base_mark(scene: &mut Scene, (x, y): Point) {
    scene.area(vec![(x - 6.0, y + 9.0), (x, y), (x + 6.0, y + 9.0)], INK);
}

/// A cross over a design point some of whose evenings were cut off unfinished.
pub fn cross(scene: &mut Scene, (x, y): Point) {
    for (color, width) in [(WHITE, 5.0), (DOWN.color, 2.5)] {
        for rise in [CROSS, -CROSS] {
            scene.line(
                vec![(x - CROSS, y - rise), (x + CROSS, y + rise)],
                color,
                width,
            );
        }
    }
}

/// What marks are: of the base on `axes`, and of unfinished design points.
pub fn marks(view: &View<'_>, is_base_marked: bool) -> Vec<String> {
    let base = is_base_marked.then(|| words::BASE_MARKED.to_owned());
    let points = 0..view.swept.points.len();
    let crossed = points.filter(|point| view.is_unsafe(*point)).count();
    let crossed = (crossed > 0).then(|| words::crossed(crossed));
    base.into_iter().chain(crossed).collect()
}

/// Texts cut to their room by `cut`; where cutting would make different ones alike, what these have in common at
/// their beginning is left out instead.
pub fn apart<T: PartialEq + Clone>(labels: &[String], cut: impl Fn(&str) -> T) -> Vec<T> {
    let plain: Vec<T> = labels.iter().map(|label| cut(label)).collect();
    let one = |(label, own): (&String, &T)| {
        let others = labels.iter().zip(&plain);
        let alike = others.filter(|(other, text)| *text == own && *other != label);
        let shared = alike.map(|(other, _)| shared(label, other)).min();
        match shared.filter(|shared| *shared > 0) {
            Some(shared) => cut(&format!("…{}", &label[shared..])),
            None => own.clone(),
        }
    };
    labels.iter().zip(&plain).map(one).collect()
}

/// Bytes at the beginning of `label` that `other` has too: whole words, or letters of a word that never ends.
pub fn shared(label: &str, other: &str) -> usize {
    let pairs = label.char_indices().zip(other.chars());
    let same = pairs.take_while(|((_, a), b)| a == b);
    let end = same.last().map_or(0, |((at, c), _)| at + c.len_utf8());
    match label[..end].rfind(' ') {
        Some(space) => space + 1,
        None if end < label.len() => end,
        None => 0,
    }
}

/// Room that the widest of `texts` takes, px.
pub fn room_for<'a>(texts: impl IntoIterator<Item = &'a str>, em: f64) -> f64 {
    let widths = texts
        .into_iter()
        .map(|text| SUBSTITUTE * width(text, em, false));
    widths.fold(0.0, f64::max)
}

/// A rectangle, px.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Area {
    /// Width, px.
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Height, px.
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }
}

/// Panels side by side and below each other.
#[derive(Debug, Clone)]
pub struct Panels {
    /// How many stand side by side.
    pub columns: usize,
    /// Where their plots are, row by row.
    pub areas: Vec<Area>,
}

impl Panels {
    /// `count` panels within `area`, each plot with `above` px for its heading and, if `each_labelled`,
    /// with room below for labels of its own.
    pub fn new(count: usize, area: Area, above: f64, below: f64) -> Self {
        let columns = match count {
            0..=3 => count.max(1),
            4 => 2,
            5 | 6 | 9 => 3,
            _ => 4,
        };
        let rows = count.div_ceil(columns).max(1);
        let width = (area.width() + GAPS.0) / columns as f64;
        let height = (area.height() + GAPS.1 + below) / rows as f64;
        let areas = (0..count).map(|i| {
            let left = area.left + width * (i % columns) as f64;
            let top = area.top + height * (i / columns) as f64;
            Area {
                left,
                top: top + above,
                right: left + width - GAPS.0,
                bottom: top + height - GAPS.1 - below,
            }
        });
        Self {
            columns,
            areas: areas.collect(),
        }
    }

    /// Whether a panel stands at the left.
    pub fn is_leftmost(&self, panel: usize) -> bool {
        panel.is_multiple_of(self.columns)
    }

    /// Whether no panel stands below.
    pub fn is_lowest(&self, panel: usize) -> bool {
        panel + self.columns >= self.areas.len()
    }

    /// The heading of a panel.
    pub fn heading(&self, scene: &mut Scene, panel: usize, text: &str) {
        if let Some(area) = self.areas.get(panel) {
            let text = fitted(text, HEADING.em, true, area.width());
            scene.text((area.left, area.top - 9.0), &text, HEADING, Anchor::Start);
        }
    }
}

/// The name of the lower axis, in the middle under `area`.
pub fn lower_title(scene: &mut Scene, area: Area, below: f64, title: &str) {
    let middle = 0.5 * (area.left + area.right);
    let room = 2.0 * (middle - EDGE).min(right_edge() - middle);
    let title = fitted(title, HEADING.em, true, room);
    scene.text(
        (middle, area.bottom + below),
        &title,
        HEADING,
        Anchor::Middle,
    );
}

/// A plot with values upwards.
pub struct Plot<'a> {
    /// Where it is.
    pub area: Area,
    /// Its values.
    pub scale: &'a Scale,
}

impl Plot<'_> {
    /// Where a value is, px; never outside.
    pub fn y(&self, value: f64) -> f64 {
        self.area.bottom - self.scale.part(value) * self.area.height()
    }

    /// Level grid lines, labelled on request; 0 and the lower edge are darker.
    pub fn grid(&self, scene: &mut Scene, is_labelled: bool) {
        for tick in self.scale.ticks() {
            let y = self.y(tick);
            let is_base = tick == 0.0 || y >= self.area.bottom - 0.5;
            let color = if is_base { AXIS } else { GRID };
            scene.line(vec![(self.area.left, y), (self.area.right, y)], color, 1.0);
            if is_labelled {
                let at = (self.area.left - 10.0, y + 6.5);
                scene.text(at, &self.scale.label(tick), NOTE, Anchor::End);
            }
        }
    }

    /// The bounds of targets that are in sight.
    pub fn bounds(&self, scene: &mut Scene, bounds: &[Bound]) {
        for bound in bounds.iter().filter(|b| self.holds(b.value)) {
            let y = self.y(bound.value);
            scene.line(vec![(self.area.left, y), (self.area.right, y)], LEAST, 2.0);
        }
    }

    /// Whether a value is on the scale.
    pub fn holds(&self, value: f64) -> bool {
        (self.scale.base..=self.scale.top).contains(&value)
    }
}

/// Says that there is nothing of the measure anywhere; whether that is so.
pub fn says_nothing(scene: &mut Scene, view: &View<'_>) -> bool {
    let is_nothing = view.is_nothing();
    if is_nothing {
        nothing(scene, words::none_of(view.info.name));
    }
    is_nothing
}

/// A scale for values from `low` to `high` with the bounds of targets near them; from 0 where that is near.
pub fn scale_with(low: f64, high: f64, bounds: &[Bound], ticks: usize) -> Scale {
    let span = (high - low).max(0.05 * high.abs().max(low.abs()));
    let near = bounds.iter().map(|b| b.value);
    let near = near.filter(|v| *v >= low - 2.0 * span && *v <= high + 2.0 * span);
    let (mut low, mut high) = near.fold((low, high), |(a, b), v| (a.min(v), b.max(v)));
    if low > 0.0 && low < 0.6 * high {
        low = 0.0;
    }
    if high < 0.0 && high > 0.6 * low {
        high = 0.0;
    }
    Scale::around(low, high, ticks)
}

/// Room for the labels of a scale, px.
pub fn tick_room(scale: &Scale) -> f64 {
    let labels: Vec<_> = scale.ticks().iter().map(|t| scale.label(*t)).collect();
    room_for(labels.iter().map(String::as_str), NOTE.em) + 14.0
}

/// Texts in a row under `y`, each in the middle of its place; of numbers only every so many if not all
/// find room, the first always. `places` rise.
pub fn labels_along(scene: &mut Scene, places: &[f64], labels: &[String], y: f64) {
    let centred = |(x, label): (&f64, &String)| {
        let half = 0.5 * room_for([label.as_str()], NOTE.em);
        x.clamp(half + 4.0, (right_edge() - half).max(half + 4.0))
    };
    let places: Vec<f64> = places.iter().zip(labels).map(centred).collect();
    let stride = (1..=labels.len().max(1))
        .find(|stride| fits(&places, labels, *stride))
        .unwrap_or(labels.len().max(1));
    let labelled = places.iter().zip(labels).step_by(stride);
    for (x, label) in labelled.filter(|(_, label)| !label.is_empty()) {
        scene.text((*x, y), label, NOTE, Anchor::Middle);
    }
}

/// Whether every `stride`th label is clear of the next.
fn fits(places: &[f64], labels: &[String], stride: usize) -> bool {
    let labelled: Vec<_> = places.iter().zip(labels).step_by(stride).collect();
    labelled.windows(2).all(|pair| {
        let half = |label: &String| 0.5 * room_for([label.as_str()], NOTE.em);
        pair[0].0 + half(pair[0].1) + 10.0 <= pair[1].0 - half(pair[1].1)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::wording::Wording;

    /// All that may be said of a sample, of a map and of swings, with the target of the shipped studies.
    #[test]
    fn every_caption_of_a_study_is_whole() {
        let evenings = words::evenings(20, 400);
        let target = "at most 12.5 min in 95 of 100 evenings";
        let factors = vec![
            words::points_of(400, &evenings),
            words::DARK_AND_LIGHT.to_owned(),
            words::DOTS.to_owned(),
            words::DASHED_CHANCE.to_owned(),
            words::differ_most(6, 12),
            words::orange_target(target),
            words::OTHERS_TAKEN_OUT.to_owned(),
            words::BASE_MARKED.to_owned(),
            words::crossed(400),
        ];
        let curve = vec![
            words::means(true, &evenings, 123_456),
            words::intervals(true),
            words::orange_target(target),
            words::levels_without(12),
            words::BASE_MARKED.to_owned(),
            words::crossed(1_000),
        ];
        let map = vec![
            words::cells(&evenings, 123_456),
            words::PLUS_MINUS.to_owned(),
            words::outlined(words::ALL_TARGETS, true, false),
            words::COULD_BE_LUCK.to_owned(),
            words::BASE_MARKED.to_owned(),
            words::crossed(1_000),
        ];
        let mut swings = words::swings(true, true);
        swings.extend([
            words::move_most(8, 12),
            words::without(3),
            words::seed(123_456),
            words::target_line(target),
        ]);
        for sentences in [factors, curve, map, swings] {
            let said = Wording::default().said(&sentences.join(" ")).into_owned();
            let room = right_edge() - EDGE;
            let (lines, face) = two_lines_of_caption(&said, room);
            for line in &lines {
                assert_eq!(&fitted(line, face.em, false, room), line, "{said}");
            }
            assert!(face.em >= 0.7 * NOTE.em, "{}: {said}", face.em);
        }
    }
}
