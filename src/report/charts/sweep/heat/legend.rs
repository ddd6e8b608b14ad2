//! What the colours of a heat map stand for, and its signs.

use super::{LEGEND_WIDTH, Map, hatched};
use crate::report::charts::axis::Scale;
use crate::report::charts::font::fitted;
use crate::report::charts::frame::right_edge;
use crate::report::charts::scene::{Anchor, Scene, Type};
use crate::report::charts::style::{AXIS, GREY, HEADING, INK, LEAST, NOTE, WHITE};
use crate::report::charts::sweep::page::TOP;
use crate::report::charts::sweep::ramp;
use crate::words::charts::study as words;

impl Map<'_> {
    pub(super) fn legend(&self, scene: &mut Scene, scale: &Scale) {
        let left = right_edge() - LEGEND_WIDTH + 34.0;
        let (top, bottom) = (TOP, TOP + 250.0);
        let unit = fitted(self.view.unit(), HEADING.em, true, 150.0);
        scene.text((left, TOP - 15.0), &unit, HEADING, Anchor::Start);
        let y = |part: f64| bottom - part * (bottom - top);
        let strips = 50;
        for i in 0..strips {
            let part = f64::from(i) / f64::from(strips);
            let next = part + 1.0 / f64::from(strips);
            let color = ramp::color(part + 0.5 / f64::from(strips));
            scene.rect((left, y(next)), (left + 26.0, y(part)), color);
        }
        let corners = [
            (left, top),
            (left + 26.0, top),
            (left + 26.0, bottom),
            (left, bottom),
        ];
        scene.line(
            corners.into_iter().chain([corners[0]]).collect(),
            AXIS,
            0.75,
        );
        for tick in scale.ticks() {
            let y = y(scale.part(tick));
            scene.line(vec![(left + 26.0, y), (left + 32.0, y)], GREY, 1.0);
            let at = (left + 38.0, y + 6.5);
            scene.text(at, &scale.label(tick), NOTE, Anchor::Start);
        }
        for bound in self.view.bounds() {
            if (scale.base..=scale.top).contains(&bound.value) {
                let y = y(scale.part(bound.value));
                scene.line(vec![(left - 3.0, y), (left + 26.0, y)], WHITE, 5.0);
                scene.line(vec![(left - 8.0, y), (left + 26.0, y)], LEAST, 2.5);
            }
        }
        self.signs(scene, left, bottom + 34.0);
    }

    /// What outline, corner and hatching are, as far as they are in the picture.
    fn signs(&self, scene: &mut Scene, left: f64, top: f64) {
        let side = 20.0;
        let mut y = top;
        let mut sign = |scene: &mut Scene, text: &str, draw: &dyn Fn(&mut Scene, f64)| {
            draw(scene, y);
            let face = Type { color: INK, ..NOTE };
            let at = (left + side + 10.0, y + 16.5);
            let text = fitted(text, NOTE.em, false, right_edge() - at.0);
            scene.text(at, &text, face, Anchor::Start);
            y += 32.0;
        };
        if self.all().any(|(p, c, l)| self.keeps(p, c, l)) {
            let text = words::met(self.view.has_own_mean());
            sign(scene, text, &|scene, y| {
                let corners = [
                    (0.0, 0.0),
                    (side, 0.0),
                    (side, side),
                    (0.0, side),
                    (0.0, 0.0),
                ];
                let around = corners.map(|(dx, dy)| (left + dx, y + dy));
                scene.line(around.to_vec(), LEAST, 3.0);
            });
        }
        if self.is_marked() && self.any_unsure() {
            sign(scene, words::SIGN_OF_LUCK, &|scene, y| {
                let at = (left + side, y + 2.0);
                scene.area(vec![(at.0 - 11.0, at.1), at, (at.0, at.1 + 11.0)], INK);
            });
        }
        if self.all().any(|(p, c, l)| self.value(p, c, l).is_none()) {
            sign(scene, words::SIGN_OF_NONE, &|scene, y| {
                hatched(scene, (left, y), (left + side, y + side));
            });
        }
    }
}
