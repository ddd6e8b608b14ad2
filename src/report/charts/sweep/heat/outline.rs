//! The outline of the cells that meet the target.

use super::Map;
use crate::report::charts::scene::{Point, Scene};
use crate::report::charts::style::{LEAST, WHITE};

impl Map<'_> {
    /// Around the cells that meet the target: first white, so that the line stands out of any colour.
    pub(super) fn outline(&self, scene: &mut Scene, panel: usize) {
        let (width, height) = self.cell_size();
        let thick = (0.2 * width.min(height)).clamp(1.5, 3.0);
        let lines: Vec<_> = self
            .level_edges(panel)
            .chain(self.upright_edges(panel))
            .collect();
        for (color, thick) in [(WHITE, thick + 3.0), (LEAST, thick)] {
            for ends in &lines {
                let (from, to) = reaching(*ends, 0.5 * thick);
                scene.line(vec![from, to], color, thick);
            }
        }
    }

    fn level_edges(&self, panel: usize) -> impl Iterator<Item = (Point, Point)> {
        let (columns, lines) = (self.mesh.columns.len(), self.mesh.rows.len());
        (0..=lines).flat_map(move |line| {
            let differs = |column: usize| {
                let above = line > 0 && self.keeps(panel, column, line - 1);
                let below = line < lines && self.keeps(panel, column, line);
                above != below
            };
            let y = self.y(panel, line) - 0.5;
            runs(columns, differs)
                .into_iter()
                .map(move |(from, to)| ((self.x(panel, from), y), (self.x(panel, to) - 1.0, y)))
        })
    }

    fn upright_edges(&self, panel: usize) -> impl Iterator<Item = (Point, Point)> {
        let (columns, lines) = (self.mesh.columns.len(), self.mesh.rows.len());
        (0..=columns).flat_map(move |column| {
            let differs = |line: usize| {
                let left = column > 0 && self.keeps(panel, column - 1, line);
                let right = column < columns && self.keeps(panel, column, line);
                left != right
            };
            let x = self.x(panel, column) - 0.5;
            runs(lines, differs)
                .into_iter()
                .map(move |(from, to)| ((x, self.y(panel, from)), (x, self.y(panel, to) - 1.0)))
        })
    }
}

/// Stretches of neighbours that all hold, as from and past.
fn runs(count: usize, holds: impl Fn(usize) -> bool) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for i in (0..count).filter(|i| holds(*i)) {
        match runs.last_mut() {
            Some(run) if run.1 == i => run.1 = i + 1,
            _ => runs.push((i, i + 1)),
        }
    }
    runs
}

/// A level or upright line made longer at both ends, so that corners close.
fn reaching((from, to): (Point, Point), by: f64) -> (Point, Point) {
    if from.1 == to.1 {
        ((from.0 - by, from.1), (to.0 + by, to.1))
    } else {
        ((from.0, from.1 - by), (to.0, to.1 + by))
    }
}
