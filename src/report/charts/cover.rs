//! The cover of duties on the sheet: people needed beside people there, half hour by half hour, a panel a duty.
//!
//! Steps are half hours. What is needed is an area, who is there a line over it; where work comes and nobody there has
//! the duty, the area is orange.

use super::axis::Scale;
use super::font::{SUBSTITUTE, width as text_width};
use super::frame::{
    BOTTOM, EDGE, TOP, TimeAxis, nothing, right_edge, small_print, subtitle, titled,
};
use super::panels::{HEADING_HEIGHT, ROW_GAP, grid, heading, tick_width, ticks, y};
use super::scene::{Anchor, Point, Scene};
use super::style::{AXIS, BAND, GRID, LEAST, LINE, NOTE, UNCOVERED};
use crate::scenario::model::Duty;
use crate::study::sheet::Sheet;
use crate::study::sheet::cover::HalfHour;
use crate::words::charts::{self as words, titles};
use crate::words::names::doing;
use crate::words::text::capital;

/// Panels of one column.
const IN_A_COLUMN: usize = 4;
const COLUMN_GAP: f64 = 34.0;
/// No axis ends below one person.
const MIN_PEOPLE: f64 = 1.0;

/// People needed and there in half an hour.
type People = (f64, f64);

/// One panel.
struct Duties {
    heading: String,
    people: Vec<People>,
}

/// The picture of a sheet; `name` is the file's, without ending.
pub fn cover(name: &str, sheet: &Sheet) -> Scene {
    let mut scene = titled(titles::COVER, &sheet.title, words::OF_COVER, &sheet.wording);
    subtitle(&mut scene, &sheet.title);
    small_print(&mut scene, &words::from_sheet(name));
    let rows = &sheet.cover.half_hours;
    let panels = panels(rows);
    let Some((first, last)) = rows.first().zip(rows.last()).filter(|_| !panels.is_empty()) else {
        nothing(&mut scene, words::NO_VALUES);
        return scene;
    };
    let columns = if panels.len() > IN_A_COLUMN { 2 } else { 1 };
    let in_a_column = panels.len().div_ceil(columns);
    let row_height = (BOTTOM - TOP + ROW_GAP) / in_a_column as f64;
    let scales: Vec<Scale> = panels
        .iter()
        .map(|of| scale(of, ticks(row_height)))
        .collect();
    let gutter = scales.iter().map(tick_width).fold(0.0, f64::max) + 14.0;
    let width = (right_edge() - EDGE + COLUMN_GAP) / columns as f64;
    for (number, (panel, scale)) in panels.iter().zip(&scales).enumerate() {
        let (column, row) = (number % columns, number / columns);
        let left = EDGE + width * column as f64;
        let axis = TimeAxis {
            left: left + gutter,
            right: left + width - COLUMN_GAP,
            from_s: first.from_s,
            to_s: last.to_s,
            minutes: 0,
        };
        let top = TOP + row as f64 * row_height;
        let bounds = (top + HEADING_HEIGHT, top + row_height - ROW_GAP);
        draw(&mut scene, &axis, (scale, bounds), panel, rows);
        if number + columns >= panels.len() {
            axis.labels(&mut scene, bounds.1);
        }
    }
    scene
}

/// All duties together, then each that has any work.
fn panels(rows: &[HalfHour]) -> Vec<Duties> {
    let all = Duties {
        heading: words::ALL_DUTIES.to_owned(),
        people: rows
            .iter()
            .map(|row| (row.people_needed, row.people_there))
            .collect(),
    };
    let of = |duty: Duty| {
        let people = rows.iter().filter_map(|row| {
            let mut works = row.duties.iter();
            let work = works.find(|work| work.duty == duty)?;
            Some((work.people_needed, work.people_there))
        });
        let people: Vec<People> = people.collect();
        let has_work = people.len() == rows.len() && people.iter().any(|(needed, _)| *needed > 0.0);
        has_work.then(|| Duties {
            heading: capital(doing(duty)),
            people,
        })
    };
    let duties: Vec<Duties> = Duty::ALL.into_iter().filter_map(of).collect();
    if duties.is_empty() {
        return duties;
    }
    [all].into_iter().chain(duties).collect()
}

fn scale(panel: &Duties, ticks: usize) -> Scale {
    let most = panel
        .people
        .iter()
        .map(|(needed, there)| needed.max(*there));
    Scale::new(most.fold(MIN_PEOPLE, f64::max), ticks, false)
}

fn draw(
    scene: &mut Scene,
    axis: &TimeAxis,
    (scale, bounds): (&Scale, Point),
    panel: &Duties,
    rows: &[HalfHour],
) {
    let at = (axis.left, bounds.0 - 9.0);
    heading(scene, at, axis.right, &panel.heading, words::PEOPLE);
    for row in rows {
        let x = axis.at(row.from_s);
        scene.line(vec![(x, bounds.0), (x, bounds.1)], GRID, 1.0);
    }
    grid(scene, axis, scale, bounds);
    let steps = |row: &HalfHour| (axis.at(row.from_s), axis.at(row.to_s));
    let mut there = Vec::new();
    for (row, (needed, present)) in rows.iter().zip(&panel.people) {
        let (from, to) = steps(row);
        let top = y(scale, bounds, *needed);
        let is_gap = *needed > 0.0 && *present <= 0.0;
        let color = if is_gap { UNCOVERED } else { BAND };
        scene.area(
            vec![(from, top), (to, top), (to, bounds.1), (from, bounds.1)],
            color,
        );
        let edge = if is_gap { LEAST } else { LINE };
        scene.line(vec![(from, top), (to, top)], edge, 2.5);
        let level = y(scale, bounds, *present);
        there.extend([(from, level), (to, level)]);
    }
    scene.line(there, LEAST, 2.5);
    let foot = vec![(axis.left, bounds.1), (axis.right, bounds.1)];
    scene.line(foot, AXIS, 1.0);
    let room = SUBSTITUTE * text_width(words::NOBODY, NOTE.em, false) + 8.0;
    for gap in gaps(rows, &panel.people) {
        let (from, to) = (axis.at(gap.from_s), axis.at(gap.to_s));
        if to - from > room {
            let at = y(scale, bounds, gap.needed) - 7.0;
            let middle = (0.5 * (from + to), at.max(bounds.0 + 16.0));
            scene.text(middle, words::NOBODY, NOTE, Anchor::Middle);
        }
    }
}

/// A stretch in which there is work and nobody there has the duty.
struct Gap {
    /// Time of day, s.
    from_s: f64,
    /// Time of day, s.
    to_s: f64,
    /// People needed, at most.
    needed: f64,
}

fn gaps(rows: &[HalfHour], people: &[People]) -> Vec<Gap> {
    let mut found: Vec<Gap> = Vec::new();
    for (row, (needed, present)) in rows.iter().zip(people) {
        if *needed <= 0.0 || *present > 0.0 {
            continue;
        }
        match found.last_mut() {
            Some(last) if last.to_s == row.from_s => {
                last.to_s = row.to_s;
                last.needed = last.needed.max(*needed);
            }
            _ => found.push(Gap {
                from_s: row.from_s,
                to_s: row.to_s,
                needed: *needed,
            }),
        }
    }
    found
}
