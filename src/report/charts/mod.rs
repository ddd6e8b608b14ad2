//! Charts of an evening, each as SVG and as PNG from the same drawing, or as one of them.
//!
//! | file | shows |
//! |---|---|
//! | `queues` | what waits at each stage |
//! | `dried-on` | what dries on while it waits |
//! | `crew` | operators at each duty, walking, free, on a break |
//! | `clean-stock` | clean stock by ware; only where ware is drawn from it |
//! | `machine` | running, empty, stopped, idle; only where there is a machine |
//! | `water` | temperatures and soil of the water, with the machine's state and faults; only where the scenario says what takes water |
//! | `faults` | which faults are there when; only where the scenario has any |
//! | `cover` | people needed beside people there, by the half hour, from the hand sheet; `check` draws it, too |
//! | `cost` | what a service costs, part by part; only where there are prices |
//!
//! of a sheet, `cover`: people needed and there, duty by duty; and, of a comparison, `NAME-evenings` and
//! `NAME-difference` for each alternative, and `alternatives` where there are several.
//!
//! Lines are medians with a band from the 10th to the 90th percentile over evenings; stacked areas are
//! means, and so are lines of a few racks; bars are means with a line over the same percentiles. A series
//! without values says so in its chart rather than leave a hole in the folder.
//!
//! To add one: a function from [`Evening`] to a scene in `subjects.rs`, made of
//! `panels::draw` (median and band), `stack::draw` (means) or `bars::draw` (a mean with its spread); a row in `CHARTS` and
//! in the table above. The tests count files: `charts/tests.rs` and `FILES` of `tests/command_line/program.rs`. Of a
//! comparison: a function in `compared.rs`, and its row in [`of_comparison`].

mod absence;
mod alternatives;
mod axis;
mod bars;
mod compared;
mod cover;
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
use super::sheet::CheckedSheet;
use super::units::Units;
use crate::service::series::SeriesKind;
use crate::study::compare::{Alternative, Comparison};
use crate::study::evening::{Evening, GroupKind};
use cover::Covered;
use rayon::prelude::*;
use scene::Scene;
use std::path::PathBuf;

pub use super::pictures::Pictures;
use super::pictures::{COVER, EVENING};
pub use sweep::of_sweep;

/// A chart, or several drawn from the same values, not drawn yet.
pub struct Chart<'a> {
    /// What an error calls it.
    name: &'static str,
    draw: Box<dyn Fn() -> Vec<Drawn> + Send + Sync + 'a>,
}

/// A drawing, with the stem of its files.
type Drawn = (String, Scene);

impl<'a> Chart<'a> {
    fn one(name: &'static str, stem: String, draw: impl Fn() -> Scene + Send + Sync + 'a) -> Self {
        Self {
            name,
            draw: Box::new(move || vec![(stem.clone(), draw())]),
        }
    }

    /// Draws it and writes its files.
    fn put(&self, pictures: Pictures, folder: &OutputFolder) -> Result<Vec<PathBuf>, ReportError> {
        let mut paths = Vec::new();
        for (stem, scene) in (self.draw)() {
            paths.extend(put(&scene, pictures, folder, self.name, &stem)?);
        }
        Ok(paths)
    }
}

/// Draws charts into `folder`, on the threads of the pool it is called in; gives the paths, chart by chart.
///
/// # Errors
/// [`ReportError::Chart`] or [`ReportError::File`]; the charts before it are complete.
pub fn draw(
    charts: &[Chart<'_>],
    pictures: Pictures,
    folder: &OutputFolder,
) -> Result<Vec<PathBuf>, ReportError> {
    if pictures == Pictures::None {
        return Ok(Vec::new());
    }
    let paths: Result<Vec<_>, _> = charts
        .par_iter()
        .map(|chart| chart.put(pictures, folder))
        .collect();
    Ok(paths?.into_iter().flatten().collect())
}

/// The stem of a chart's files, and what draws it.
type OfEvening = (&'static str, fn(&Evening, Units) -> Scene);

/// Only where any ware is drawn from a stock.
const STOCK: &str = "clean-stock";
/// Only where there is a machine.
const MACHINE: &str = "machine";
/// The charts of every evening, but for those two.
const CHARTS: [OfEvening; 5] = [
    ("queues", |evening, _| subjects::queues(evening)),
    ("dried-on", |evening, _| subjects::dried_on(evening)),
    ("crew", |evening, _| subjects::crew(evening)),
    (STOCK, |evening, _| subjects::clean_stock(evening)),
    (MACHINE, |evening, _| machines::machine(evening)),
];

/// The chart of an evening with water.
const WATER: OfEvening = ("water", machines::water);
/// The chart of an evening with faults.
const FAULTS: OfEvening = ("faults", |evening, _| machines::faults(evening));
/// The chart of an evening with prices.
const COST: OfEvening = ("cost", |evening, _| subjects::cost(evening));

/// The charts of an evening, temperatures and soil in `units`.
#[must_use]
pub fn of_evening(evening: &Evening, units: Units) -> Vec<Chart<'_>> {
    let mut costs = evening.groups.iter().filter(|g| g.kind == GroupKind::Cost);
    let has_prices = costs.any(|part| part.measures.iter().any(|m| m.mean.is_some()));
    let any = |is: fn(SeriesKind) -> bool| evening.series.iter().any(|band| is(band.info.kind));
    let has_water = any(subjects::is_of_water);
    let has_faults = any(machines::is_of_faults);
    let has_machines = any(|kind| kind == SeriesKind::MachinesRunning);
    let has_stock = subjects::has_stock(evening);
    let is_any = |(name, _): &OfEvening| match *name {
        MACHINE => has_machines,
        STOCK => has_stock,
        _ => true,
    };
    let charts = CHARTS
        .into_iter()
        .filter(is_any)
        .chain(has_water.then_some(WATER))
        .chain(has_faults.then_some(FAULTS))
        .chain(has_prices.then_some(COST));
    charts
        .inspect(|(name, _)| debug_assert!(EVENING.contains(name)))
        .map(|(name, draw)| Chart::one(name, name.to_owned(), move || draw(evening, units)))
        .chain(of_cover(Covered {
            name: &evening.name,
            title: &evening.title,
            wording: &evening.wording,
            clock: evening.clock,
            cover: &evening.cover,
        }))
        .collect()
}

/// The chart of a hand sheet.
#[must_use]
pub fn of_sheet<'a>(sheet: &CheckedSheet<'a>) -> Vec<Chart<'a>> {
    let of = Covered {
        name: sheet.name,
        title: &sheet.sheet.title,
        wording: &sheet.sheet.wording,
        clock: sheet.sheet.clock,
        cover: &sheet.sheet.cover,
    };
    of_cover(of).into_iter().collect()
}

/// None where nobody is needed for anything.
fn of_cover(of: Covered<'_>) -> Option<Chart<'_>> {
    let draw = move || cover::draw(of);
    of.is_any()
        .then(|| Chart::one(COVER, COVER.to_owned(), draw))
}

/// What is drawn of each alternative.
const PAIR: [OfPair; 2] = [
    ("evenings", compared::evenings),
    ("difference", compared::difference),
];

type OfPair = (&'static str, fn(&Comparison, &Alternative) -> Scene);

/// The chart of all alternatives at once, where there are several; then those of each beside the base: `NAME-evenings`,
/// `NAME-difference`.
#[must_use]
pub fn of_comparison(comparison: &Comparison, units: Units) -> Vec<Chart<'_>> {
    let alternatives = comparison.alternatives.iter();
    let all = (comparison.alternatives.len() > 1).then(|| {
        let stem = super::pictures::ALTERNATIVES;
        Chart::one(stem, stem.to_owned(), move || {
            alternatives::alternatives(comparison, units)
        })
    });
    let charts = alternatives.flat_map(|alternative| {
        PAIR.map(|(name, draw)| {
            debug_assert!(super::pictures::PAIR.contains(&name));
            let stem = format!("{}-{name}", alternative.side.name);
            Chart::one(name, stem, move || draw(comparison, alternative))
        })
    });
    all.into_iter().chain(charts).collect()
}

/// Writes a drawing under this stem of its files.
fn put(
    scene: &Scene,
    pictures: Pictures,
    folder: &OutputFolder,
    name: &'static str,
    stem: &str,
) -> Result<Vec<PathBuf>, ReportError> {
    let failed = |cause| ReportError::Chart { name, cause };
    let (svg, png) = rayon::join(
        || pictures.has_svg().then(|| scene.svg()).transpose(),
        || pictures.has_png().then(|| scene.png()).transpose(),
    );
    let svg = svg.map_err(failed)?.map(|svg| ("svg", svg.into_bytes()));
    let png = png.map_err(failed)?.map(|png| ("png", png));
    let files = svg.into_iter().chain(png);
    files
        .map(|(ending, bytes)| folder.write(&format!("{stem}.{ending}"), |to| to.write_all(&bytes)))
        .collect()
}
