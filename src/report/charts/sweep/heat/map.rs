//! Where the cells of a heat map lie, which design point each is, and their colours.

use super::labels::Labels;
use crate::report::charts::axis::Scale;
use crate::report::charts::frame::{EDGE, right_edge};
use crate::report::charts::scene::{Point, Scene};
use crate::report::charts::style::{FREE, NOTE, ON_BREAK};
use crate::report::charts::sweep::mesh::Mesh;
use crate::report::charts::sweep::page::{Area, BOTTOM, HEADING_HEIGHT, Panels, TOP, room_for};
use crate::report::charts::sweep::ramp;
use crate::report::charts::sweep::view::{Value, View};

/// Room for the legend.
pub(super) const LEGEND_WIDTH: f64 = 210.0;
/// Names of rows take no more than this.
pub(super) const MAX_GUTTER: f64 = 250.0;
/// Cells of a heat map are no smaller, px.
pub(super) const MIN_CELL: f64 = 6.0;
/// Smaller cells have no corner to mark.
pub(super) const MIN_MARKED: f64 = 24.0;

pub(super) struct Map<'a> {
    pub(super) view: &'a View<'a>,
    pub(super) mesh: &'a Mesh,
    pub(super) area: Area,
    pub(super) panels: Panels,
    pub(super) labels: Labels,
}

impl<'a> Map<'a> {
    pub(super) fn new(view: &'a View<'a>, mesh: &'a Mesh) -> Option<Self> {
        let names = room_for(mesh.rows.labels.iter().map(String::as_str), NOTE.em);
        let mut area = Area {
            left: libm::ceil(EDGE + names.min(MAX_GUTTER) + 12.0),
            top: TOP,
            right: right_edge() - LEGEND_WIDTH,
            bottom: BOTTOM,
        };
        let count = mesh.shown.len();
        let above = mesh.panels.as_ref().map_or(0.0, |_| HEADING_HEIGHT);
        let width = Panels::new(count, area, above, 0.0).areas.first()?.width();
        let labels = Labels::new(mesh, width / mesh.columns.len() as f64);
        area.bottom -= labels.more();
        let map = Self {
            view,
            mesh,
            area,
            labels,
            panels: Panels::new(count, area, above, 0.0),
        };
        let (width, height) = map.cell_size();
        (width >= MIN_CELL && height >= MIN_CELL).then_some(map)
    }

    /// Width and height of a cell, px.
    pub(super) fn cell_size(&self) -> Point {
        let area = self.panels.areas.first().copied().unwrap_or(self.area);
        let (columns, rows) = (self.mesh.columns.len(), self.mesh.rows.len());
        (
            area.width() / columns.max(1) as f64,
            area.height() / rows.max(1) as f64,
        )
    }

    /// Edge of a column, on a whole pixel, so that no seam shows.
    pub(super) fn x(&self, panel: usize, column: usize) -> f64 {
        let area = self.panels.areas[panel];
        let part = column as f64 / self.mesh.columns.len() as f64;
        libm::round(area.left + part * area.width())
    }

    /// Upper edge of the `line`th line of cells, likewise.
    pub(super) fn y(&self, panel: usize, line: usize) -> f64 {
        let area = self.panels.areas[panel];
        let part = line as f64 / self.mesh.rows.len() as f64;
        libm::round(area.top + part * area.height())
    }

    /// The row in a line: numbers rise upwards, words are read downwards.
    pub(super) fn row(&self, line: usize) -> usize {
        if self.mesh.rows.is_numeric() {
            self.mesh.rows.len() - 1 - line
        } else {
            line
        }
    }

    /// The design point of a cell.
    pub(super) fn point(&self, panel: usize, column: usize, line: usize) -> Option<usize> {
        let shown = *self.mesh.shown.get(panel)?;
        self.mesh.point(column, self.row(line), shown)
    }

    pub(super) fn value(&self, panel: usize, column: usize, line: usize) -> Option<Value> {
        self.view.at(self.point(panel, column, line)?)
    }

    pub(super) fn keeps(&self, panel: usize, column: usize, line: usize) -> bool {
        let point = self.point(panel, column, line);
        point.is_some_and(|point| self.view.keeps(point))
    }

    /// Every cell, as panel, column and line.
    pub(super) fn all(&self) -> impl Iterator<Item = (usize, usize, usize)> {
        let (columns, lines) = (self.mesh.columns.len(), self.mesh.rows.len());
        (0..self.mesh.shown.len()).flat_map(move |panel| {
            (0..columns).flat_map(move |column| (0..lines).map(move |line| (panel, column, line)))
        })
    }

    pub(super) fn cells(&self, scene: &mut Scene, panel: usize, scale: &Scale) {
        let (width, height) = self.cell_size();
        let seam = if width.min(height) >= 14.0 { 1.0 } else { 0.0 };
        for (_, column, line) in self.all().filter(|(p, ..)| *p == panel) {
            let from = (self.x(panel, column), self.y(panel, line));
            let to = (
                self.x(panel, column + 1) - seam,
                self.y(panel, line + 1) - seam,
            );
            match self.value(panel, column, line) {
                Some(value) => scene.rect(from, to, ramp::color(scale.part(value.mean))),
                None => hatched(scene, from, to),
            }
        }
    }

    pub(super) fn is_marked(&self) -> bool {
        let (width, height) = self.cell_size();
        width.min(height) >= MIN_MARKED
    }

    pub(super) fn any_unsure(&self) -> bool {
        let mut points = self.all().filter_map(|(p, c, l)| self.point(p, c, l));
        points.any(|point| self.view.is_unsure(point))
    }
}

/// A cell without a value.
pub(super) fn hatched(scene: &mut Scene, from: Point, to: Point) {
    scene.rect(from, to, FREE.color);
    let (width, height) = (to.0 - from.0, to.1 - from.1);
    let distance = 8.0;
    let count = ((width + height) / distance) as usize;
    for i in 1..=count.min(200) {
        // The line x + y = c within the cell.
        let c = distance * i as f64;
        let start = (from.0 + (c - height).max(0.0), from.1 + c.min(height));
        let end = (from.0 + c.min(width), from.1 + (c - width).max(0.0));
        scene.line(vec![start, end], ON_BREAK.color, 1.25);
    }
}
