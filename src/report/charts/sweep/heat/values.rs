//! The values printed in the cells of a heat map, where there is room, and the marked corners.

use super::Map;
use crate::report::charts::axis::Scale;
use crate::report::charts::scene::{Anchor, Point, Scene, Type};
use crate::report::charts::sweep::page::room_for;
use crate::report::charts::sweep::ramp;
use plotters::style::RGBColor;

/// Sizes of the values, px; smaller is not read.
const SIZES: [f64; 4] = [20.0, 18.0, 16.0, 14.0];
/// A half-width is set smaller by this, px.
const SMALLER: f64 = 3.0;
/// Between a value and the edges of its cell, both together, px.
const MARGIN: f64 = 10.0;

/// What is printed in one cell.
pub(super) struct Printed {
    panel: usize,
    column: usize,
    line: usize,
    mean: f64,
    number: String,
    spread: String,
}

/// How values are printed: all of a heat map alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Print {
    /// Size, px.
    em: f64,
    /// Whether the half-width stands below.
    pub(super) has_spread: bool,
}

impl Map<'_> {
    /// What every cell with a value would say.
    pub(super) fn printed(&self) -> Vec<Printed> {
        let entry = |(panel, column, line)| {
            let value = self.value(panel, column, line)?;
            Some(Printed {
                panel,
                column,
                line,
                mean: value.mean,
                number: self.view.number(value.mean, value.half),
                spread: self.view.plus_minus(value.half).unwrap_or_default(),
            })
        };
        self.all().filter_map(entry).collect()
    }

    /// The largest size in which all values find room, with half-widths if those do, too; none if there
    /// is no such size.
    pub(super) fn print(&self, printed: &[Printed]) -> Option<Print> {
        let (width, height) = self.cell_size();
        let room = width - MARGIN;
        let numbers = |em| room_for(printed.iter().map(|p| p.number.as_str()), em);
        let spreads = |em| room_for(printed.iter().map(|p| p.spread.as_str()), em);
        let fits = |em: &f64| numbers(*em) <= room && em + 4.0 <= height;
        let em = SIZES.into_iter().find(fits)?;
        let spread = spreads(em - SMALLER);
        Some(Print {
            em,
            has_spread: spread > 0.0 && spread <= room && 2.3 * em <= height,
        })
    }

    /// Prints the values, and marks the corners of cells whose interval reaches across the target.
    pub(super) fn values(&self, scene: &mut Scene, scale: &Scale) {
        let printed = self.printed();
        let print = self.print(&printed);
        for cell in &printed {
            let color = ramp::on(ramp::color(scale.part(cell.mean)));
            let from = (
                self.x(cell.panel, cell.column),
                self.y(cell.panel, cell.line),
            );
            let to = (
                self.x(cell.panel, cell.column + 1),
                self.y(cell.panel, cell.line + 1),
            );
            let point = self.point(cell.panel, cell.column, cell.line);
            if self.is_marked() && point.is_some_and(|point| self.view.is_unsure(point)) {
                corner(scene, from, to, color);
            }
            if let Some(print) = print {
                let middle = (0.5 * (from.0 + to.0), 0.5 * (from.1 + to.1));
                print.put(scene, middle, cell, color);
            }
        }
    }
}

impl Print {
    fn put(self, scene: &mut Scene, middle: Point, cell: &Printed, color: RGBColor) {
        let face = |em| Type {
            em,
            bold: false,
            color,
        };
        let em = self.em;
        let down = if self.has_spread { -0.12 } else { 0.36 };
        let at = (middle.0, middle.1 + down * em);
        scene.text(at, &cell.number, face(em), Anchor::Middle);
        if self.has_spread {
            let at = (middle.0, middle.1 + 0.95 * em);
            scene.text(at, &cell.spread, face(em - SMALLER), Anchor::Middle);
        }
    }
}

/// A small triangle in the upper right corner of a cell.
fn corner(scene: &mut Scene, from: Point, to: Point, color: RGBColor) {
    let side = 0.28 * (to.0 - from.0).min(to.1 - from.1).min(40.0);
    let (x, y) = (to.0 - 5.0, from.1 + 4.0);
    scene.area(vec![(x - side, y), (x, y), (x, y + side)], color);
}
