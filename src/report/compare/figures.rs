//! What both tables of a comparison print of a measure: its words, means and differences.

use crate::report::number::{decimals, half_width_text, text};
use crate::report::units::Shown;
use crate::service::measure::Measure;
use crate::study::compare::difference::Mean;
use crate::words::measures::SECTIONS;
use crate::words::tables::comparison as say;

/// The words of a measure.
pub(super) fn words(measure: Measure) -> &'static str {
    let mut rows = SECTIONS.iter().flat_map(|(_, rows)| *rows);
    rows.find(|(m, _)| *m == measure)
        .map_or("", |(_, words)| words)
}

/// A difference of percentages is in points.
pub(super) fn points(unit: &'static str) -> &'static str {
    if unit == "%" { say::POINTS } else { unit }
}

/// A mean to the digits that its half-width supports.
pub(super) fn mean_text(mean: &Mean, measure: Measure, shown: Shown) -> String {
    let places = places(measure, mean.half_width, shown);
    text(mean.mean.map(|v| v * shown.factor + shown.offset), places)
}

/// Decimals that a half-width supports in the unit shown.
fn places(measure: Measure, half_width: Option<f64>, shown: Shown) -> i32 {
    let most = (measure.info().decimals as i32 + shown.decimals).max(0);
    decimals(half_width.map(|h| h * shown.factor), most)
}

/// A difference as it is printed: with its sign, and ± its half-width.
pub(super) struct Signed {
    pub mean: String,
    pub half_width: String,
}

impl Signed {
    pub fn of(measure: Measure, mean: Option<f64>, half_width: Option<f64>, shown: Shown) -> Self {
        let places = places(measure, half_width, shown);
        // An offset of a temperature takes no part in a difference.
        let plain = text(mean.map(|v| v * shown.factor), places);
        let is_more = plain.contains(|c| ('1'..='9').contains(&c)) && !plain.starts_with('-');
        let half_width = half_width_text(half_width.map(|h| h * shown.factor), places);
        Self {
            mean: if is_more { format!("+{plain}") } else { plain },
            half_width: half_width.map_or_else(String::new, |h| format!("± {h}")),
        }
    }
}
