//! What all charts share: title, scenario, caption, the time axis, and the marks of the service.

use super::axis;
use super::font::{SUBSTITUTE, fitted, width};
use super::scene::{Anchor, Point, Scene, Type, WIDTH};
use super::style::{AXIS, GREY, GRID, INK, NOTE, PEAK, SMALL, SUBTITLE, TITLE, WHITE};
use crate::report::tables_csv::clock;
use crate::scenario::wording::Wording;
use crate::study::evening::{Clock, Evening};
use crate::words::charts as words;

/// Left and right edge of all text.
pub const EDGE: f64 = 30.0;
/// Where panels may begin, below the labels of the service.
pub const TOP: f64 = 128.0;
/// Where panels must end, above the clock.
pub const BOTTOM: f64 = 588.0;

/// Where the line below the title stands.
pub const SUBTITLE_BASELINE: f64 = 77.0;
const MARKS_BASELINE: f64 = 113.0;
const CAPTION_BASELINE: f64 = 655.0;
const SMALL_PRINT_BASELINE: f64 = 671.0;
/// How much the busiest hour darkens areas that hide its ground.
const PEAK_COVER: f64 = 0.07;
/// What is too long for its size is set in a part of it, before it is cut.
pub const SMALLER: [f64; 4] = [1.0, 0.9, 0.8, 0.7];
/// Between two labels of an axis.
const BETWEEN: f64 = 8.0;

/// Right edge of all text.
pub fn right_edge() -> f64 {
    f64::from(WIDTH) - EDGE
}

/// A scene with its title, the scenario's title below and a caption at the foot.
pub fn scene(evening: &Evening, title: &str, caption: &str) -> Scene {
    let mut scene = titled(title, &evening.title, caption, &evening.wording);
    subtitle(&mut scene, &evening.title);
    small_print(
        &mut scene,
        &words::provenance(&evening.name, evening.seed, evening.replications),
    );
    scene
}

/// Where a chart is from, in small print in the lower right corner.
pub fn small_print(scene: &mut Scene, from: &str) {
    let from = fitted(&scene.said(from), SMALL.em, false, right_edge() - EDGE);
    let at = (right_edge(), SMALL_PRINT_BASELINE);
    scene.text(at, &from, SMALL, Anchor::End);
}

/// What a chart is of, below its title.
pub fn subtitle(scene: &mut Scene, of: &str) {
    let (of, face) = shrunk(of, SUBTITLE, right_edge() - EDGE);
    scene.text((EDGE, SUBTITLE_BASELINE), &of, face, Anchor::Start);
}

/// A text that finds room: smaller before it is cut.
pub fn shrunk(text: &str, face: Type, room: f64) -> (String, Type) {
    let sizes = SMALLER.map(|part| Type {
        em: part * face.em,
        ..face
    });
    let fits = |face: &&Type| SUBSTITUTE * width(text, face.em, face.bold) <= room;
    let face = sizes.iter().find(fits).unwrap_or(&sizes[SMALLER.len() - 1]);
    (fitted(text, face.em, face.bold, room), *face)
}

/// A scene with its title and a caption at the foot; `of` is what a screen reader says it is of.
pub fn titled(title: &str, of: &str, caption: &str, wording: &Wording) -> Scene {
    let mut scene = Scene::new(&format!("{title}: {of}"), wording);
    scene.text((EDGE, 46.0), title, TITLE, Anchor::Start);
    let (caption, face) = shrunk(&wording.said(caption), NOTE, right_edge() - EDGE);
    scene.text((EDGE, CAPTION_BASELINE), &caption, face, Anchor::Start);
    scene
}

/// Says in the middle why there is nothing to draw.
pub fn nothing(scene: &mut Scene, why: &str) {
    let middle = (f64::from(WIDTH) / 2.0, 0.5 * (TOP + BOTTOM));
    scene.text(middle, why, SUBTITLE, Anchor::Middle);
}

/// Evenings played, and how many of them were not finished.
pub const fn evenings(evening: &Evening) -> words::Evenings {
    (evening.replications, evening.unfinished)
}

/// The time axis of a column of panels.
#[derive(Debug, Clone, Copy)]
pub struct TimeAxis {
    /// Left end, px.
    pub left: f64,
    /// Right end, px.
    pub right: f64,
    /// Time of minute 0, s.
    pub from_s: f64,
    /// Time of the right end, s.
    pub to_s: f64,
    /// Values from minute 0 to the right end.
    pub minutes: usize,
}

/// Values in a stretch of time; all of them if it is none.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // checked
fn shown(stretch_s: f64) -> usize {
    if stretch_s > 0.0 && stretch_s.is_finite() {
        (stretch_s / 60.0) as usize + 1
    } else {
        usize::MAX
    }
}

impl TimeAxis {
    /// An axis for `minutes` values from the start of `clock`, no further than where charts end.
    pub fn new(left: f64, right: f64, clock: &Clock, minutes: usize) -> Self {
        let from_s = if clock.start_s.is_finite() {
            clock.start_s
        } else {
            0.0
        };
        let minutes = minutes.min(shown(clock.shown_to_s - from_s));
        let to_s = from_s + 60.0 * minutes.saturating_sub(1).max(1) as f64;
        Self {
            left,
            right,
            from_s,
            to_s,
            minutes,
        }
    }

    /// Where a time of day is, px.
    pub fn at(&self, time_s: f64) -> f64 {
        let part = (time_s - self.from_s) / (self.to_s - self.from_s);
        self.left + part * (self.right - self.left)
    }

    /// Where a minute is, px.
    pub fn minute(&self, minute: usize) -> f64 {
        self.at(self.from_s + 60.0 * minute as f64)
    }

    fn holds(&self, time_s: f64) -> bool {
        (self.from_s..=self.to_s).contains(&time_s)
    }

    /// Labelled times.
    fn times(&self) -> Vec<f64> {
        axis::times(self.from_s, self.to_s, (self.right - self.left) / 64.0)
    }

    /// The ground of a panel from `top` to `bottom`: the busiest hour, then upright grid lines.
    pub fn ground(&self, scene: &mut Scene, clock: &Clock, top: f64, bottom: f64) {
        if let Some((from, to)) = self.peak(clock) {
            scene.rect((from, top), (to, bottom), PEAK);
        }
        for time in self.times() {
            let x = self.at(time);
            scene.line(vec![(x, top), (x, bottom)], GRID, 1.0);
        }
    }

    /// Opening and closing, over the data of a panel.
    pub fn service(&self, scene: &mut Scene, clock: &Clock, top: f64, bottom: f64) {
        for time in [clock.opens_s, clock.closes_s] {
            if self.holds(time) {
                let x = self.at(time);
                // White between the dashes keeps them in sight over dark areas.
                let foot = bottom - 1.0;
                scene.line(vec![(x, top), (x, foot)], WHITE, 1.5);
                scene.dashes((x, top), (x, foot), GREY, 1.5);
            }
        }
    }

    /// The busiest hour over areas that hide its ground: a band that darkens them.
    pub fn peak_veil(&self, scene: &mut Scene, clock: &Clock, top: f64, bottom: f64) {
        if let Some((from, to)) = self.peak(clock) {
            let band = vec![(from, top), (to, top), (to, bottom), (from, bottom)];
            scene.veil(band, INK, PEAK_COVER);
        }
    }

    /// The busiest hour, as far as it is on the axis, px.
    fn peak(&self, clock: &Clock) -> Option<(f64, f64)> {
        let from = clock.peak_from_s.max(self.from_s);
        let to = clock.peak_to_s.min(self.to_s);
        (from < to).then(|| (self.at(from), self.at(to)))
    }

    /// Clock times under a panel that ends at `bottom`.
    pub fn labels(&self, scene: &mut Scene, bottom: f64) {
        let mut taken_to = 0.0;
        for time in self.times() {
            let x = self.at(time);
            scene.line(vec![(x, bottom), (x, bottom + 6.0)], AXIS, 1.0);
            let text = clock(time);
            let half = 0.5 * SUBSTITUTE * width(&text, NOTE.em, false);
            // The last stays within the edge of all text, or is left out.
            let middle = x.min(right_edge() - half);
            if middle == x || middle - half > taken_to + BETWEEN {
                scene.text((middle, bottom + 25.0), &text, NOTE, Anchor::Middle);
                taken_to = middle + half;
            }
        }
    }

    /// Labels of opening, closing and the busiest hour above the panels; one that finds no room is
    /// left out, the busiest hour first.
    pub fn marks(&self, scene: &mut Scene, service: &Clock) {
        let mut taken: Vec<Point> = Vec::new();
        for (word, time) in [
            (words::OPENS, service.opens_s),
            (words::CLOSES, service.closes_s),
        ] {
            if self.holds(time) {
                let text = format!("{word} {}", clock(time));
                self.mark(scene, &mut taken, &text, self.at(time));
            }
        }
        if let Some((from, to)) = self.peak(service) {
            self.mark(scene, &mut taken, words::BUSIEST_HOUR, 0.5 * (from + to));
            let y = MARKS_BASELINE + 6.0;
            scene.line(vec![(from, y), (to, y)], AXIS, 2.0);
        }
    }

    fn mark(&self, scene: &mut Scene, taken: &mut Vec<Point>, text: &str, x: f64) {
        let half = 0.5 * SUBSTITUTE * width(text, NOTE.em, false);
        // Within the edge of all text, wherever the axis ends.
        let (least, most) = (
            (self.left - 40.0).max(EDGE) + half,
            (self.right + EDGE - 4.0).min(right_edge()) - half,
        );
        let x = x.clamp(least.min(most), most);
        let span = (x - half, x + half);
        if taken
            .iter()
            .all(|t| span.1 + 8.0 < t.0 || t.1 + 8.0 < span.0)
        {
            taken.push(span);
            let face = Type {
                color: GREY,
                ..NOTE
            };
            scene.text((x, MARKS_BASELINE), text, face, Anchor::Middle);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::examples;

    /// Every caption of an evening and of a comparison, as long as it may become.
    fn captions() -> Vec<String> {
        let mut all = Vec::new();
        for evenings in [(1, 0), (1_000, 0), (10_000, 9_999)] {
            let (bands, means) = (words::of_bands(evenings), words::of_means(evenings));
            let beside = [
                String::new(),
                words::SHADED_PEAK.to_owned(),
                words::lowest_wares(8, 200),
            ];
            for beside in &beside {
                for absences in [(true, true), (true, false), (false, true)] {
                    let absences = words::of_absences(absences);
                    all.push(format!("{bands}{beside}{absences}"));
                    all.push(format!("{means}{absences}"));
                }
            }
            all.push(format!("{means}{}", words::shades_of("under 0.1 %")));
            all.push(format!(
                "{bands}{}{}",
                words::ORANGE_MINIMUM,
                words::GREEN_CHANGED
            ));
            all.push(words::of_bars(evenings));
            all.push(words::comparison::of_both(evenings.0, true));
            all.push(words::comparison::of_difference(evenings.0, true));
            all.push(words::comparison::of_all(evenings.0, 12, 100));
        }
        all.push(words::OF_COVER.to_owned());
        all
    }

    /// "Triangle: a shift e…" says nothing.
    #[test]
    fn every_caption_is_whole() {
        for caption in captions() {
            let said = Wording::default().said(&caption).into_owned();
            let (text, face) = shrunk(&said, NOTE, right_edge() - EDGE);
            assert_eq!(text, said);
            assert!(face.em >= 0.8 * NOTE.em, "{}: {said}", face.em);
        }
    }

    #[test]
    fn marks_stay_within_the_edge_of_all_text() {
        let evening = examples::friday();
        let mut clock = evening.clock;
        clock.closes_s = clock.shown_to_s;
        let mut scene = Scene::new("", &Wording::default());
        TimeAxis::new(EDGE, right_edge(), &clock, usize::MAX).marks(&mut scene, &clock);
        let boxes = scene.boxes();
        assert!(boxes.iter().any(|(text, _)| text.starts_with("closes")));
        for (text, [left, _, right, _]) in boxes {
            let is_in = left >= EDGE - 1e-6 && right <= right_edge() + 1e-6;
            assert!(is_in, "{text}: {left} to {right}");
        }
    }
}
