//! Heat maps: a cell for each pair of levels, coloured by the mean, its value printed where there is
//! room; of three factors a panel for each level of one. All panels share one scale of colours.
//!
//! Cells that meet the target are outlined; a corner is marked where the interval reaches across it.
//! Cells without a value are hatched.

mod axes;
mod labels;
mod legend;
mod outline;
mod values;

use super::super::axis::Scale;
use super::super::frame::{EDGE, nothing, right_edge};
use super::super::scene::{Point, Scene};
use super::super::style::{FREE, NOTE, ON_BREAK};
use super::mesh::Mesh;
use super::page::{
    Area, BOTTOM, HEADING_HEIGHT, Panels, TOP, captions, cross, marks, page, room_for,
};
use super::ramp;
use super::view::{Value, View};
use crate::words::charts::study as words;
use labels::{Labels, MAX_GUTTER};

/// Room for the legend.
const LEGEND_WIDTH: f64 = 210.0;
/// Cells of a heat map are no smaller, px.
const MIN_CELL: f64 = 6.0;
/// Smaller cells have no corner to mark.
const MIN_MARKED: f64 = 24.0;

/// Draws a measure on a mesh; none if its cells would be too small.
pub fn draw(view: &View<'_>, mesh: &Mesh) -> Option<Scene> {
    let map = Map::new(view, mesh)?;
    let mut scene = page(view);
    let Some((low, high)) = view.range() else {
        nothing(&mut scene, words::NO_POINT);
        captions(&mut scene, view, Vec::new());
        return Some(scene);
    };
    let scale = Scale::around(low, high, 5);
    map.axes(&mut scene);
    for panel in 0..mesh.shown.len() {
        map.cells(&mut scene, panel, &scale);
        map.outline(&mut scene, panel);
    }
    map.values(&mut scene, &scale);
    map.cut_off(&mut scene);
    map.legend(&mut scene, &scale);
    let mut said = map.sentences();
    said.extend(marks(view, map.is_base_marked()));
    captions(&mut scene, view, said);
    Some(scene)
}

struct Map<'a> {
    view: &'a View<'a>,
    mesh: &'a Mesh,
    area: Area,
    panels: Panels,
    labels: Labels,
}

impl<'a> Map<'a> {
    fn new(view: &'a View<'a>, mesh: &'a Mesh) -> Option<Self> {
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
    fn cell_size(&self) -> Point {
        let area = self.panels.areas.first().copied().unwrap_or(self.area);
        let (columns, rows) = (self.mesh.columns.len(), self.mesh.rows.len());
        (
            area.width() / columns.max(1) as f64,
            area.height() / rows.max(1) as f64,
        )
    }

    /// Edge of a column, on a whole pixel, so that no seam shows.
    fn x(&self, panel: usize, column: usize) -> f64 {
        let area = self.panels.areas[panel];
        let part = column as f64 / self.mesh.columns.len() as f64;
        libm::round(area.left + part * area.width())
    }

    /// Upper edge of the `line`th line of cells, likewise.
    fn y(&self, panel: usize, line: usize) -> f64 {
        let area = self.panels.areas[panel];
        let part = line as f64 / self.mesh.rows.len() as f64;
        libm::round(area.top + part * area.height())
    }

    /// The row in a line: numbers rise upwards, words are read downwards.
    fn row(&self, line: usize) -> usize {
        if self.mesh.rows.is_numeric() {
            self.mesh.rows.len() - 1 - line
        } else {
            line
        }
    }

    /// The design point of a cell.
    fn point(&self, panel: usize, column: usize, line: usize) -> Option<usize> {
        let shown = *self.mesh.shown.get(panel)?;
        self.mesh.point(column, self.row(line), shown)
    }

    fn value(&self, panel: usize, column: usize, line: usize) -> Option<Value> {
        self.view.at(self.point(panel, column, line)?)
    }

    fn keeps(&self, panel: usize, column: usize, line: usize) -> bool {
        let point = self.point(panel, column, line);
        point.is_some_and(|point| self.view.keeps(point))
    }

    /// Every cell, as panel, column and line.
    fn all(&self) -> impl Iterator<Item = (usize, usize, usize)> {
        let (columns, lines) = (self.mesh.columns.len(), self.mesh.rows.len());
        (0..self.mesh.shown.len()).flat_map(move |panel| {
            (0..columns).flat_map(move |column| (0..lines).map(move |line| (panel, column, line)))
        })
    }

    fn cells(&self, scene: &mut Scene, panel: usize, scale: &Scale) {
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

    /// Crosses in the lower left corners of cells some of whose evenings were cut off.
    fn cut_off(&self, scene: &mut Scene) {
        let (width, height) = self.cell_size();
        let inset = 10.0_f64.min(0.5 * width).min(0.5 * height);
        for (panel, column, line) in self.all() {
            let point = self.point(panel, column, line);
            if point.is_some_and(|point| self.view.is_unsafe(point)) {
                let corner = (self.x(panel, column), self.y(panel, line + 1));
                cross(scene, (corner.0 + inset, corner.1 - inset));
            }
        }
    }

    fn is_base_marked(&self) -> bool {
        let Mesh { columns, rows, .. } = self.mesh;
        columns.base_place().or(rows.base_place()).is_some()
    }

    fn is_marked(&self) -> bool {
        let (width, height) = self.cell_size();
        width.min(height) >= MIN_MARKED
    }

    fn any_unsure(&self) -> bool {
        let mut points = self.all().filter_map(|(p, c, l)| self.point(p, c, l));
        points.any(|point| self.view.is_unsure(point))
    }

    fn sentences(&self) -> Vec<String> {
        let view = self.view;
        let print = self.print(&self.printed());
        let (evenings, seed) = (view.evenings(), view.swept.seed);
        let mut sentences = vec![words::cells(&evenings, seed)];
        if print.is_some_and(|print| print.has_spread) {
            sentences.push(words::PLUS_MINUS.to_owned());
        }
        if let Some(name) = self.headless() {
            sentences.push(words::panels_of(name));
        }
        if let Some(axis) = &self.mesh.panels {
            let (shown, all) = (self.mesh.shown.len(), axis.len());
            if shown < all {
                sentences.push(words::levels_shown(shown, all, &axis.name));
            }
        }
        let own = view.bounds_text().filter(|_| view.has_own_mean());
        let target = match own {
            Some(text) => Some(words::the_target(&text)),
            None if view.swept.targets.is_empty() && view.swept.keeping.is_empty() => None,
            None => Some(words::ALL_TARGETS.to_owned()),
        };
        if let Some(target) = target {
            let any = self.all().any(|(p, c, l)| self.keeps(p, c, l));
            let by_mean = view.has_own_mean() || view.swept.keeping.is_empty();
            sentences.push(words::outlined(&target, any, by_mean));
        }
        if self.is_marked() && self.any_unsure() {
            sentences.push(words::COULD_BE_LUCK.to_owned());
        }
        sentences
    }
}

/// A cell without a value.
fn hatched(scene: &mut Scene, from: Point, to: Point) {
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
