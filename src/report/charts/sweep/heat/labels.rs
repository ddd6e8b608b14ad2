//! Labels of the columns of a heat map.

use crate::report::charts::font::fitted;
use crate::report::charts::style::NOTE;
use crate::report::charts::sweep::mesh::Mesh;
use crate::report::charts::sweep::page::{LINE_HEIGHT, apart, two_lines};

/// Names of rows take no more than this.
pub(super) const MAX_GUTTER: f64 = 250.0;
/// A label that has no room to be broken takes no more than this.
const MAX_LABEL: f64 = 130.0;
/// Narrower columns have their labels in one line, every so many.
pub(super) const MIN_BROKEN: f64 = 60.0;

/// Labels of the columns: numbers as they are, words over two lines where one has no room.
pub(super) struct Labels {
    pub(super) first: Vec<String>,
    pub(super) second: Vec<String>,
}

impl Labels {
    /// The labels of columns of a `width`.
    pub(super) fn new(mesh: &Mesh, width: f64) -> Self {
        let is_broken = !mesh.columns.is_numeric() && width >= MIN_BROKEN;
        let of = |label: &str| {
            if is_broken {
                two_lines(label, width - 12.0)
            } else {
                (fitted(label, NOTE.em, false, MAX_LABEL), String::new())
            }
        };
        let (first, second) = apart(&mesh.columns.labels, of).into_iter().unzip();
        Self { first, second }
    }

    /// Room that a second line takes.
    pub(super) fn more(&self) -> f64 {
        if self.second.iter().all(String::is_empty) {
            0.0
        } else {
            LINE_HEIGHT
        }
    }
}
