//! Charts of the dish machines: what they do, their water, what goes wrong with them.

use super::frame::{BOTTOM, TOP, TimeAxis, evenings, nothing, scene};
use super::panels::{self, Panel, has_any};
use super::scene::Scene;
use super::stack::{self, Layer, Sum};
use super::strip::{self, Row};
use super::style::{DOWN, EMPTY, HELD, IDLE, OFF, REFILLING, RUNNING, STOPPED, WAITING};
use super::subjects::{find, in_units, is_of_water, layers, ware_name};
use crate::report::number::finite;
use crate::report::units::Units;
use crate::service::measure::Measure;
use crate::service::series::SeriesKind;
use crate::study::evening::{Band, Evening};
use crate::words::charts::{self as words, titles};

/// Panels of water at most.
const MAX_PANELS: usize = 8;
/// More have two columns.
const IN_A_COLUMN: usize = 3;
/// In so many evenings the water is being changed in a minute that is marked.
const CHANGED: f64 = 0.25;

/// What the machines do.
pub fn machine(evening: &Evening) -> Scene {
    let mut scene = scene(
        evening,
        titles::MACHINE,
        &words::of_means(evenings(evening)),
    );
    let sum = Sum {
        heading: words::SHARE_OF_MACHINES,
        unit: "%",
        factor: 100.0,
        top: Some(100.0),
    };
    stack::draw(&mut scene, evening, &states(evening), &sum);
    scene
}

fn states(evening: &Evening) -> Vec<Layer<'_>> {
    let fills = [
        RUNNING, EMPTY, STOPPED, HELD, REFILLING, DOWN, WAITING, IDLE, OFF,
    ];
    let states = words::STATES.into_iter().zip(fills);
    layers(
        evening,
        states.map(|((kind, name), fill)| (kind, name.to_owned(), fill)),
    )
}

/// Temperatures and soil of the water, machine by machine; of one machine with its state and its faults
/// above them, and the changes of its water marked.
pub fn water(evening: &Evening, units: Units) -> Scene {
    let mut bands: Vec<Band> = evening
        .series
        .iter()
        .filter(|band| is_of_water(band.info.kind) && has_any(band))
        .map(|band| in_units(band, units))
        .collect();
    // Of two machines each has a column.
    bands.sort_by_key(|band| match band.info.kind {
        SeriesKind::FinalRinse(_) => 0,
        SeriesKind::Wash(_) => 1,
        _ => 2,
    });
    let is_rinse = |band: &&Band| matches!(band.info.kind, SeriesKind::FinalRinse(_));
    let several = bands.iter().filter(is_rinse).count() > 1;
    let changes = if several {
        Vec::new()
    } else {
        changes(evening)
    };
    let mut caption = words::of_bands(evenings(evening)) + words::ORANGE_MINIMUM;
    if !changes.is_empty() {
        caption += words::GREEN_CHANGED;
    }
    let mut scene = scene(evening, titles::WATER, &caption);
    let panels: Vec<_> = bands
        .iter()
        .map(|band| panel(band, several))
        .take(MAX_PANELS)
        .collect();
    let faults = faults_there(evening);
    let strips = if several || panels.is_empty() || panels.len() > IN_A_COLUMN {
        0
    } else {
        1 + usize::from(!faults.is_empty())
    };
    let top = TOP + strip::WITH_HEADING * strips as f64;
    let axis = panels::draw_below(&mut scene, evening, &panels, IN_A_COLUMN, top);
    if let Some(axis) = axis.filter(|_| strips > 0) {
        strip::states(&mut scene, evening, &states(evening), &axis, TOP);
        if strips > 1 {
            let below = TOP + strip::WITH_HEADING;
            strip::share(&mut scene, evening, &faults, &axis, below);
        }
        mark(&mut scene, &axis, &changes, top);
    }
    scene
}

fn panel(band: &Band, several: bool) -> Panel<'_> {
    let kind = band.info.kind;
    let whose = several.then(|| ware_name(&band.info.name));
    Panel {
        heading: words::water(kind, whose.as_deref()),
        unit: band.info.unit,
        band,
        factor: 1.0,
        whole: false,
        near: !matches!(kind, SeriesKind::TankSoil(_)),
        by_mean: false,
        none: None,
    }
}

/// Minutes in the middle of each stretch in which the water is being changed in many evenings.
fn changes(evening: &Evening) -> Vec<usize> {
    let Some(band) = find(evening, SeriesKind::MachinesRefilling) else {
        return Vec::new();
    };
    let changed = |minute: usize| {
        let share = band.mean.get(minute).and_then(|v| finite(*v));
        share.is_some_and(|share| share >= CHANGED)
    };
    let mut middles = Vec::new();
    let mut from = None;
    for minute in 0..=band.mean.len() {
        match (from, changed(minute)) {
            (None, true) => from = Some(minute),
            (Some(first), false) => {
                middles.push((first + minute) / 2);
                from = None;
            }
            _ => {}
        }
    }
    middles
}

/// An upright line through the panels for each change of water.
fn mark(scene: &mut Scene, axis: &TimeAxis, changes: &[usize], top: f64) {
    for &minute in changes.iter().filter(|minute| **minute < axis.minutes) {
        let x = axis.minute(minute);
        scene.dashes((x, top + 8.0), (x, BOTTOM - 1.0), REFILLING.color, 2.5);
    }
}

fn faults_there(evening: &Evening) -> Vec<&Band> {
    let faults = evening.series.iter();
    let faults = faults.filter(|band| matches!(band.info.kind, SeriesKind::Fault(_)));
    faults.filter(|band| strip::most(&[band]) > 0.0).collect()
}

/// Minutes an evening in which a fault is there, or in which machines stand for one, all together.
fn minutes_note(evening: &Evening, band: &Band) -> String {
    let there = band.mean.iter().flatten().sum::<f64>();
    let stood = evening.measures.iter();
    let stood = stood.filter(|_| band.info.kind == SeriesKind::MachinesDown);
    let stood = stood.filter(|e| e.info == Measure::MachineDown.info());
    let minutes = stood.filter_map(|e| finite(e.mean)).next();
    format!("{:.1}", minutes.unwrap_or(there))
}

/// Whether anything may go wrong in a series.
pub const fn is_of_faults(kind: SeriesKind) -> bool {
    matches!(kind, SeriesKind::Fault(_))
}

/// Which faults are there when, the longest first.
pub fn faults(evening: &Evening) -> Scene {
    let mut bands = faults_there(evening);
    let minutes = |band: &Band| band.mean.iter().flatten().sum::<f64>();
    bands.sort_by(|a, b| minutes(b).total_cmp(&minutes(a)));
    let stands = find(evening, SeriesKind::MachinesDown).filter(|band| strip::most(&[band]) > 0.0);
    let all: Vec<&Band> = stands.into_iter().chain(bands.iter().copied()).collect();
    let mut caption = words::of_means(evenings(evening));
    if evening.replications > 1 {
        let darkest = strip::percent(strip::most(&all));
        caption += &words::shades_of(&darkest);
    } else {
        caption += words::SHADES_OF_ONE;
    }
    let mut scene = scene(evening, titles::FAULTS, &caption);
    if all.is_empty() {
        nothing(&mut scene, words::NO_VALUES);
        return scene;
    }
    let rows: Vec<Row> = all
        .iter()
        .map(|band| Row {
            name: match band.info.kind {
                SeriesKind::MachinesDown => words::STANDS.to_owned(),
                _ => ware_name(&band.info.name),
            },
            band,
            note: minutes_note(evening, band),
        })
        .collect();
    strip::rows(&mut scene, evening, &rows, (TOP, BOTTOM));
    scene
}
