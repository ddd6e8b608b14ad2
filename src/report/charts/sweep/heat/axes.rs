//! What stands around a heat map: names of the factors, their levels, headings of the panels.

use super::Map;
use super::labels::MAX_GUTTER;
use crate::report::charts::font::{SUBSTITUTE, fitted, width};
use crate::report::charts::frame::EDGE;
use crate::report::charts::scene::{Anchor, Scene};
use crate::report::charts::style::{HEADING, INK, NOTE};
use crate::report::charts::sweep::page::{
    LABELS_BELOW, LINE_HEIGHT, TITLE_BELOW, TOP, apart, base_mark, labels_along, lower_title,
    two_lines,
};

impl Map<'_> {
    pub(super) fn axes(&self, scene: &mut Scene) {
        let title = fitted(&self.mesh.rows.title, HEADING.em, true, 600.0);
        scene.text((EDGE, TOP - 15.0), &title, HEADING, Anchor::Start);
        let below = TITLE_BELOW + self.labels.more();
        lower_title(scene, self.area, below, &self.mesh.columns.title);
        for panel in 0..self.mesh.shown.len() {
            if let Some(heading) = self.heading(panel, self.headless().is_none()) {
                self.panels.heading(scene, panel, &heading);
            }
            if self.panels.is_leftmost(panel) {
                self.row_labels(scene, panel);
            }
            if self.panels.is_lowest(panel) {
                self.column_labels(scene, panel);
            }
        }
    }

    /// The level of a panel, after the name of the factor if it `is_named`.
    fn heading(&self, panel: usize, is_named: bool) -> Option<String> {
        let axis = self.mesh.panels.as_ref()?;
        let label = axis.label_with_unit(*self.mesh.shown.get(panel)?)?;
        Some(if is_named {
            format!("{}: {label}", axis.name)
        } else {
            label
        })
    }

    /// The factor of the panels, if its name has no room above each.
    pub(super) fn headless(&self) -> Option<&str> {
        let axis = self.mesh.panels.as_ref()?;
        let room = self.panels.areas.first()?.width();
        let fits = |panel| {
            let heading = self.heading(panel, true).unwrap_or_default();
            SUBSTITUTE * width(&heading, HEADING.em, true) <= room
        };
        let all_fit = (0..self.mesh.shown.len()).all(fits);
        (!all_fit).then_some(axis.name.as_str())
    }

    fn row_labels(&self, scene: &mut Scene, panel: usize) {
        let (_, height) = self.cell_size();
        let stride = libm::ceil(LINE_HEIGHT / height).max(1.0) as usize;
        let cut = |label: &str| {
            if height >= 2.2 * LINE_HEIGHT {
                two_lines(label, MAX_GUTTER)
            } else {
                (fitted(label, NOTE.em, false, MAX_GUTTER), String::new())
            }
        };
        let labels = apart(&self.mesh.rows.labels, cut);
        for line in 0..self.mesh.rows.len() {
            let row = self.row(line);
            if self.mesh.rows.base_place() == Some(row) {
                let (x, y) = (
                    self.area.left,
                    0.5 * (self.y(panel, line) + self.y(panel, line + 1)),
                );
                scene.area(
                    vec![(x - 8.0, y - 5.0), (x - 1.0, y), (x - 8.0, y + 5.0)],
                    INK,
                );
            }
            if !row.is_multiple_of(stride) {
                continue;
            }
            let middle = 0.5 * (self.y(panel, line) + self.y(panel, line + 1));
            let lines = labels[row].clone();
            let rise = if lines.1.is_empty() {
                0.0
            } else {
                0.5 * LINE_HEIGHT
            };
            for (text, down) in [(lines.0, -rise), (lines.1, rise)] {
                let at = (self.area.left - 10.0, middle + 6.5 + down);
                scene.text(at, &text, NOTE, Anchor::End);
            }
        }
    }

    fn column_labels(&self, scene: &mut Scene, panel: usize) {
        let middle = |column| 0.5 * (self.x(panel, column) + self.x(panel, column + 1));
        let places: Vec<f64> = (0..self.mesh.columns.len()).map(middle).collect();
        if let Some(x) = self.mesh.columns.base_place().and_then(|at| places.get(at)) {
            base_mark(scene, (*x, self.panels.areas[panel].bottom + 1.0));
        }
        let y = self.panels.areas[panel].bottom + LABELS_BELOW;
        labels_along(scene, &places, &self.labels.first, y);
        if self.labels.more() > 0.0 {
            labels_along(scene, &places, &self.labels.second, y + LINE_HEIGHT);
        }
    }
}
