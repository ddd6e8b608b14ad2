//! Charts of an evening (to come).

use super::ReportError;
use super::out::OutputFolder;
use crate::study::evening::Evening;
use std::path::PathBuf;

/// Draws every chart as SVG and PNG into `folder`; gives the paths.
///
/// # Errors
/// [`ReportError`], if a chart cannot be drawn or written.
pub fn draw_all(_evening: &Evening, _folder: &OutputFolder) -> Result<Vec<PathBuf>, ReportError> {
    Ok(Vec::new())
}
