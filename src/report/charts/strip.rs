//! Thin strips on the clock: what the machines are doing, and which faults are there.
//!
//! A strip of states is a stack of means pressed flat. A strip of a share is the darker the more evenings
//! have it at that minute; the darkest is the most of all strips.

use super::font::{SUBSTITUTE, fitted, width};
use super::frame::{TimeAxis, right_edge};
use super::panels::heading;
use super::scene::{Anchor, Point, Scene, Type};
use super::stack::{self, Layer};
use super::style::{AXIS, DOWN, INK, NOTE, WHITE};
use crate::report::number::finite;
use crate::study::evening::{Band, Evening};
use crate::words::charts as words;
use plotters::style::RGBColor;

/// Shades of a strip of a share.
const SHADES: u8 = 16;
/// Height of a strip with its heading and the gap below, px.
pub const WITH_HEADING: f64 = 58.0;
/// Height of a strip alone, px.
const HEIGHT: f64 = 20.0;

/// A row of the chart of faults.
pub struct Row<'a> {
    /// Its name, left of the strip.
    pub name: String,
    /// Shares, minute by minute.
    pub band: &'a Band,
    /// What stands right of the strip.
    pub note: String,
}

/// States pressed flat, with their names beside the heading.
pub fn states(
    scene: &mut Scene,
    evening: &Evening,
    layers: &[Layer<'_>],
    axis: &TimeAxis,
    top: f64,
) {
    let unit = if evening.replications > 1 {
        words::MEAN
    } else {
        words::BY_MINUTE
    };
    let name = words::ONE_MACHINE;
    heading(scene, (axis.left, top + 18.0), axis.right, name, unit);
    let bounds = (top + 25.0, top + 25.0 + HEIGHT);
    stack::areas(scene, evening, axis, layers, bounds);
    axis.peak_veil(scene, &evening.clock, bounds.0, bounds.1);
    axis.service(scene, &evening.clock, bounds.0, bounds.1);
    let after = SUBSTITUTE * width(&format!("{name} ({unit})"), 18.0, true);
    names(scene, layers, (axis.left + after + 22.0, top + 18.0));
}

/// The names of the layers in a row, each after a patch of its colour, as far as there is room.
fn names(scene: &mut Scene, layers: &[Layer<'_>], (mut left, baseline): Point) {
    let face = Type { color: INK, ..NOTE };
    for layer in layers {
        let room = SUBSTITUTE * width(&layer.name, NOTE.em, false);
        if left + 22.0 + room > right_edge() {
            return;
        }
        stack::patch(scene, &layer.fill, (left, baseline - 13.0), (16.0, 14.0));
        scene.text((left + 22.0, baseline), &layer.name, face, Anchor::Start);
        left += 22.0 + room + 13.0;
    }
}

/// How often a fault was there, minute by minute.
pub fn share(scene: &mut Scene, evening: &Evening, bands: &[&Band], axis: &TimeAxis, top: f64) {
    let darkest = (evening.replications > 1).then(|| percent(most(bands)));
    let heads = words::faults_there(darkest.as_deref());
    heading(
        scene,
        (axis.left, top + 18.0),
        axis.right,
        &heads,
        words::COMMONEST,
    );
    let bounds = (top + 25.0, top + 25.0 + HEIGHT);
    axis.ground(scene, &evening.clock, bounds.0, bounds.1);
    shades(scene, axis, bounds, bands, most(bands));
    axis.service(scene, &evening.clock, bounds.0, bounds.1);
}

/// One strip per row, names on the left, notes on the right; gives the axis.
pub fn rows(scene: &mut Scene, evening: &Evening, rows: &[Row<'_>], (top, bottom): Point) {
    let names = rows.iter().map(|row| width(&row.name, NOTE.em, false));
    let left = 30.0 + (SUBSTITUTE * names.fold(0.0, f64::max)).min(360.0) + 14.0;
    let right = right_edge() - 70.0;
    let minutes = rows.iter().map(|row| row.band.mean.len()).max();
    let axis = TimeAxis::new(left, right, &evening.clock, minutes.unwrap_or(0));
    let bands: Vec<&Band> = rows.iter().map(|row| row.band).collect();
    let most = most(&bands);
    let each = ((bottom - top) / rows.len().max(1) as f64).min(44.0);
    let face = Type { color: INK, ..NOTE };
    let foot = top + each * rows.len() as f64;
    axis.ground(scene, &evening.clock, top, foot);
    for (index, row) in rows.iter().enumerate() {
        let upper = top + each * index as f64 + 3.0;
        let bounds = (upper, upper + each - 6.0);
        let baseline = 0.5 * (bounds.0 + bounds.1) + 6.0;
        let name = fitted(&row.name, NOTE.em, false, left - 14.0 - 30.0);
        scene.text((left - 14.0, baseline), &name, face, Anchor::End);
        shades(scene, &axis, bounds, &[row.band], most);
        scene.text((right_edge(), baseline), &row.note, face, Anchor::End);
    }
    scene.line(vec![(left, foot), (right, foot)], AXIS, 1.0);
    axis.service(scene, &evening.clock, top, foot);
    axis.labels(scene, foot);
    axis.marks(scene, &evening.clock);
}

/// The most of all the shares.
pub fn most(bands: &[&Band]) -> f64 {
    let all = bands.iter().flat_map(|band| &band.mean);
    all.filter_map(|v| finite(*v)).fold(0.0, f64::max)
}

/// A share as a percentage.
pub fn percent(share: f64) -> String {
    match 100.0 * share {
        percent if percent >= 9.95 => format!("{percent:.0} %"),
        percent => format!("{percent:.1} %"),
    }
}

/// Stretches of one shade, at most one to a pixel; of several bands the most of each minute.
fn shades(scene: &mut Scene, axis: &TimeAxis, bounds: Point, bands: &[&Band], most: f64) {
    if most <= 0.0 {
        return;
    }
    let of = |minute: usize| {
        let values = bands
            .iter()
            .filter_map(|band| finite(*band.mean.get(minute)?));
        let share = values.fold(0.0, f64::max) / most;
        // A shade for whatever is there at all.
        libm::ceil(share * f64::from(SHADES)).clamp(0.0, f64::from(SHADES)) as u8
    };
    let mut from = 0;
    for minute in 1..=axis.minutes {
        let shade = of(from);
        if minute < axis.minutes && of(minute) == shade {
            continue;
        }
        if shade > 0 {
            let end = axis
                .minute(minute)
                .min(axis.right)
                .max(axis.minute(from) + 1.0);
            let color = mixed(DOWN.color, f64::from(shade) / f64::from(SHADES));
            scene.rect((axis.minute(from), bounds.0), (end, bounds.1), color);
        }
        from = minute;
    }
}

/// So much of a colour over white.
fn mixed(color: RGBColor, part: f64) -> RGBColor {
    let part = 0.12 + 0.88 * part;
    let of = |own: u8, white: u8| (f64::from(own) * part + f64::from(white) * (1.0 - part)) as u8;
    RGBColor(
        of(color.0, WHITE.0),
        of(color.1, WHITE.1),
        of(color.2, WHITE.2),
    )
}
