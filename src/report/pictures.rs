//! The formats of pictures. What draws them, `charts`, is there only with the feature of that name.

use super::ReportError;
use super::out::OutputFolder;
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
