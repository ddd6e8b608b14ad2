//! Design points as a mesh: columns, rows and panels, and which point is in which cell.

use super::axes::{Axis, varying};
use super::page::room_for;
use crate::report::charts::style::NOTE;
use crate::study::swept::Swept;
use std::collections::BTreeMap;

/// Panels that are shown at most.
pub const MAX_PANELS: usize = 12;
/// More rows than this are many.
const MANY_ROWS: usize = 12;
/// A design that fills less of its mesh than this is no grid.
const MIN_FILLED: f64 = 0.3;

/// Two or three factors as columns, rows and panels.
#[derive(Debug)]
pub struct Mesh {
    /// From left to right.
    pub columns: Axis,
    /// Downwards; upwards if they are numbers.
    pub rows: Axis,
    /// A panel per level.
    pub panels: Option<Axis>,
    /// The panels that are shown, as places on their axis.
    pub shown: Vec<usize>,
    points: BTreeMap<[usize; 3], usize>,
}

impl Mesh {
    /// The mesh of a study in which two or three factors vary; none of any other, and none of a design
    /// that is no grid.
    pub fn of(swept: &Swept) -> Option<Self> {
        let (first, second, third) = match varying(swept)[..] {
            [a, b] => (a, b, None),
            [a, b, c] => by_panels(swept, [a, b, c]),
            _ => return None,
        };
        let (columns, rows) = across(Axis::new(swept, first)?, Axis::new(swept, second)?);
        let panels = third.and_then(|factor| Axis::new(swept, factor));
        let points = cells(swept, &columns, &rows, panels.as_ref());
        let count = panels.as_ref().map_or(1, Axis::len);
        let all = columns.len() as f64 * rows.len() as f64 * count as f64;
        let is_grid = points.len() as f64 >= MIN_FILLED * all;
        is_grid.then(|| Self {
            columns,
            rows,
            panels,
            shown: spread(count),
            points,
        })
    }

    /// The design point in a cell.
    pub fn point(&self, column: usize, row: usize, panel: usize) -> Option<usize> {
        self.points.get(&[column, row, panel]).copied()
    }
}

/// Which factor has a panel per level: the third, or the one with fewest levels if those are too many.
fn by_panels(swept: &Swept, [a, b, c]: [usize; 3]) -> (usize, usize, Option<usize>) {
    let count = |factor: usize| swept.factors[factor].levels.len();
    let fewest = if count(c) <= MAX_PANELS {
        c
    } else {
        [c, b, a].into_iter().min_by_key(|f| count(*f)).unwrap_or(c)
    };
    match fewest {
        fewest if fewest == a => (b, c, Some(a)),
        fewest if fewest == b => (a, c, Some(b)),
        _ => (a, b, Some(c)),
    }
}

/// The first goes across and the second down; but words stand in rows, the longer ones of two, and of many
/// numbers there is more room across.
fn across(first: Axis, second: Axis) -> (Axis, Axis) {
    let width = |axis: &Axis| room_for(axis.labels.iter().map(String::as_str), NOTE.em);
    let turned = match (first.is_numeric(), second.is_numeric()) {
        (false, true) => true,
        (false, false) => width(&first) > width(&second),
        (true, true) => second.len() > MANY_ROWS && second.len() > first.len(),
        (true, false) => false,
    };
    if turned {
        (second, first)
    } else {
        (first, second)
    }
}

/// The point of each cell; of several the first.
fn cells(
    swept: &Swept,
    columns: &Axis,
    rows: &Axis,
    panels: Option<&Axis>,
) -> BTreeMap<[usize; 3], usize> {
    let places =
        [Some(columns), Some(rows), panels].map(|axis| axis.map(|a| (a.factor, a.places())));
    let mut cells = BTreeMap::new();
    for (point, levels) in swept.points.iter().enumerate() {
        let place = |axis: &Option<(usize, Vec<usize>)>| match axis {
            None => Some(0),
            Some((factor, places)) => places.get(*levels.get(*factor)?).copied(),
        };
        if let [Some(column), Some(row), Some(panel)] = places.each_ref().map(place) {
            cells.entry([column, row, panel]).or_insert(point);
        }
    }
    cells
}

/// At most [`MAX_PANELS`] of `count`, spread over all of them, with the first and the last.
fn spread(count: usize) -> Vec<usize> {
    if count <= MAX_PANELS {
        return (0..count).collect();
    }
    let last = MAX_PANELS - 1;
    (0..MAX_PANELS)
        .map(|i| (i * (count - 1) + last / 2) / last)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn panels_shown_are_spread_over_all() {
        assert_eq!(spread(3), [0, 1, 2]);
        let shown = spread(60);
        assert_eq!((shown.len(), shown[0], shown[11]), (12, 0, 59));
        assert!(shown.windows(2).all(|w| w[0] < w[1]), "{shown:?}");
        let shown = spread(13);
        assert!(shown.windows(2).all(|w| w[0] < w[1]), "{shown:?}");
    }
}
