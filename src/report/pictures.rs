//! The formats of pictures. What draws them, `charts`, is there only with the feature of that name.

use super::ReportError;
use super::out::OutputFolder;
use crate::service::measure::Measure;
use crate::study::compare::Comparison;
use std::path::PathBuf;

/// The formats in which charts are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Pictures {
    /// SVG alone.
    #[cfg(feature = "charts")]
    Svg,
    /// PNG alone.
    #[cfg(feature = "charts")]
    Png,
    /// Both, from the same drawing.
    #[cfg(feature = "charts")]
    Both,
    /// No charts at all.
    None,
}

#[cfg(feature = "charts")]
impl Pictures {
    pub(super) const fn has_svg(self) -> bool {
        matches!(self, Self::Svg | Self::Both)
    }

    pub(super) const fn has_png(self) -> bool {
        matches!(self, Self::Png | Self::Both)
    }
}

/// Endings of the files of a chart.
pub(super) const ENDINGS: [&str; 2] = ["svg", "png"];
/// Stems of all charts that an evening may have.
pub(super) const EVENING: [&str; 9] = [
    "queues",
    "dried-on",
    "crew",
    "clean-stock",
    "machine",
    "water",
    "faults",
    "cost",
    COVER,
];
/// Stem of the chart of a hand sheet.
pub(super) const COVER: &str = "cover";
/// What is drawn of each alternative of a comparison.
pub(super) const PAIR: [&str; 2] = ["evenings", "difference"];
/// The stem of the chart of all alternatives of a comparison. Those of one alternative end with what they show.
pub(super) const ALTERNATIVES: &str = "alternatives";
/// What may be drawn of each measure of a study.
pub(super) const SWEEP: [&str; 5] = ["curve", "heat-map", "panels", "factors", "tornado"];

/// Stems of all charts of a comparison.
pub(super) fn stems_of_comparison(comparison: &Comparison) -> Vec<String> {
    let alternatives = comparison.alternatives.iter();
    let stems = alternatives.flat_map(|one| PAIR.map(|what| format!("{}-{what}", one.side.name)));
    std::iter::once(ALTERNATIVES.to_owned())
        .chain(stems)
        .collect()
}

/// Stems of all charts that any study may have.
pub(super) fn stems_of_sweep() -> Vec<String> {
    let measures = Measure::ALL
        .iter()
        .map(|measure| measure.info().name.replace('_', "-"));
    let stems = measures.flat_map(|stem| SWEEP.map(|what| format!("charts/{stem}-{what}")));
    stems.collect()
}

/// Removes the charts that an earlier run left in `charts/` of `folder`, and nothing else there. A program that draws
/// none removes them too: they would show what is no longer true.
///
/// # Errors
/// [`ReportError::File`]: the disk would not.
pub fn throw_away(folder: &OutputFolder) -> Result<(), ReportError> {
    let charts = folder.path().join("charts");
    let Ok(entries) = std::fs::read_dir(charts) else {
        return Ok(());
    };
    let is_chart = |path: &PathBuf| path.extension().is_some_and(|e| e == "svg" || e == "png");
    let paths = entries.flatten().map(|entry| entry.path());
    for path in paths.filter(is_chart) {
        std::fs::remove_file(&path).map_err(|cause| ReportError::File { path, cause })?;
    }
    Ok(())
}
