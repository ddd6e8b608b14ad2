//! Charts of an evening, each as SVG and as PNG from the same drawing.
//!
//! | file | shows |
//! |---|---|
//! | `queues` | what waits at each stage |
//! | `dried-on` | what dries on while it waits |
//! | `crew` | operators at each duty, walking, free, on a break |
//! | `clean-stock` | clean stock by ware |
//! | `machine` | running, empty, stopped, idle |
//! | `water` | temperatures and soil of the water, with the machine's state and faults; only where the scenario says what takes water |
//! | `faults` | which faults are there when; only where the scenario has any |
//! | `cost` | what a service costs, part by part; only where there are prices |
//!
//! and, of a comparison, `NAME-evenings` and `NAME-difference` for each alternative.
//!
//! Lines are medians with a band from the 10th to the 90th percentile over evenings; stacked areas are
//! means; bars are means with a line over the same percentiles. A series without values says so in its
//! chart rather than leave a hole in the folder.
//!
//! To add one: a function from [`Evening`] to a scene in `subjects.rs`, made of
//! `panels::draw` (median and band), `stack::draw` (means) or `bars::draw` (a mean with its spread); a row in `CHARTS` and
//! in the table above. The tests count files: `charts/tests.rs` and `FILES` of `tests/command_line/program.rs`. Of a
//! comparison: a function in `compared.rs`, and its row in [`draw_compared`].

mod axis;
mod bars;
mod compared;
mod font;
mod frame;
mod machines;
mod panels;
mod png;
mod raster;
mod scene;
mod stack;
mod strip;
mod style;
mod subjects;
mod sweep;
#[cfg(test)]
mod tests;

use super::ReportError;
use super::out::OutputFolder;
use super::units::Units;
use crate::service::series::SeriesKind;
use crate::study::compare::{Alternative, Comparison};
use crate::study::evening::{Evening, GroupKind};
use rayon::prelude::*;
use scene::Scene;
use std::path::PathBuf;

pub use sweep::{draw_sweep, throw_away};

/// A chart: the stem of its files, and what draws it.
type Chart = (&'static str, fn(&Evening, Units) -> Scene);

/// The charts of every evening.
const CHARTS: [Chart; 5] = [
    ("queues", |evening, _| subjects::queues(evening)),
    ("dried-on", |evening, _| subjects::dried_on(evening)),
    ("crew", |evening, _| subjects::crew(evening)),
    ("clean-stock", |evening, _| subjects::clean_stock(evening)),
    ("machine", |evening, _| machines::machine(evening)),
];

/// The chart of an evening with water.
const WATER: Chart = ("water", machines::water);
/// The chart of an evening with faults.
const FAULTS: Chart = ("faults", |evening, _| machines::faults(evening));
/// The chart of an evening with prices.
const COST: Chart = ("cost", |evening, _| subjects::cost(evening));

/// Draws every chart as SVG and PNG into `folder`, temperatures and soil in `units`, on the threads of the
/// pool it is called in; gives the paths, chart by chart.
///
/// # Errors
/// [`ReportError::Chart`] or [`ReportError::File`]; the charts before it are complete.
pub fn draw_all(
    evening: &Evening,
    units: Units,
    folder: &OutputFolder,
) -> Result<Vec<PathBuf>, ReportError> {
    let mut costs = evening.groups.iter().filter(|g| g.kind == GroupKind::Cost);
    let has_prices = costs.any(|part| part.measures.iter().any(|m| m.mean.is_some()));
    let any = |is: fn(SeriesKind) -> bool| evening.series.iter().any(|band| is(band.info.kind));
    let has_water = any(subjects::is_of_water);
    let has_faults = any(machines::is_of_faults);
    let charts: Vec<Chart> = CHARTS
        .into_iter()
        .chain(has_water.then_some(WATER))
        .chain(has_faults.then_some(FAULTS))
        .chain(has_prices.then_some(COST))
        .collect();
    let paths: Result<Vec<_>, _> = charts
        .par_iter()
        .map(|(name, chart)| put(&chart(evening, units), folder, name, name))
        .collect();
    Ok(paths?.into_iter().flatten().collect())
}

/// Draws each alternative beside the base, as SVG and PNG, into `folder`: `NAME-evenings`,
/// `NAME-difference`; gives the paths.
///
/// # Errors
/// As [`draw_all`].
pub fn draw_compared(
    comparison: &Comparison,
    folder: &OutputFolder,
) -> Result<Vec<PathBuf>, ReportError> {
    type Picture = (&'static str, fn(&Comparison, &Alternative) -> Scene);
    const PICTURES: [Picture; 2] = [
        ("evenings", compared::evenings),
        ("difference", compared::difference),
    ];
    let all: Vec<(&Alternative, Picture)> = (comparison.alternatives.iter())
        .flat_map(|alternative| PICTURES.map(|picture| (alternative, picture)))
        .collect();
    let paths: Result<Vec<_>, _> = all
        .par_iter()
        .map(|(alternative, (stem, picture))| {
            let name = format!("{}-{stem}", alternative.side.name);
            put(&picture(comparison, alternative), folder, stem, &name)
        })
        .collect();
    Ok(paths?.into_iter().flatten().collect())
}

/// Writes a drawing in both formats under this stem of its files.
fn put(
    scene: &Scene,
    folder: &OutputFolder,
    name: &'static str,
    stem: &str,
) -> Result<[PathBuf; 2], ReportError> {
    let failed = |cause| ReportError::Chart { name, cause };
    let (svg, png) = rayon::join(|| scene.svg(), || scene.png());
    let (svg, png) = (svg.map_err(failed)?, png.map_err(failed)?);
    Ok([
        folder.write(&format!("{stem}.svg"), |to| to.write_all(svg.as_bytes()))?,
        folder.write(&format!("{stem}.png"), |to| to.write_all(&png))?,
    ])
}
