//! The CSV tables of a comparison, long and tidy: a row a value, with who it is of.
//!
//! Units are those of the measures, at full precision; an empty cell is a value that does not exist.

use std::io::{self, Write};
use std::path::PathBuf;

use crate::report::ReportError;
use crate::report::out::OutputFolder;
use crate::report::tables_csv::{cell, clock, heading, length};
use crate::scenario::cells::Table;
use crate::service::measure::Measure;
use crate::study::compare::difference::Difference;
use crate::study::compare::{Alternative, Comparison, Side};
use crate::study::evening::Band;

/// Columns of `comparison.csv`.
pub const COMPARISON_COLUMNS: [&str; 22] = [
    "base",
    "alternative",
    "measure",
    "unit",
    "base_n",
    "base_mean",
    "base_half_width_95",
    "alternative_n",
    "alternative_mean",
    "alternative_half_width_95",
    "pairs",
    "difference",
    "difference_half_width_95",
    "difference_sd",
    "p_value",
    "headline",
    "p_value_holm",
    "difference_half_width_95_together",
    "verdict",
    "variance_saved_share",
    "variance_saved_share_at_most",
    "meaning",
];

/// Columns of `series.csv`.
pub const SERIES_COLUMNS: [&str; 11] = [
    "scenario",
    "clock",
    "series",
    "unit",
    "mean",
    "p10",
    "p50",
    "p90",
    "difference",
    "difference_half_width_95",
    "pairs",
];

/// Writes the three tables; gives their paths.
///
/// # Errors
/// [`ReportError::File`].
pub fn write_all(
    comparison: &Comparison,
    folder: &OutputFolder,
) -> Result<Vec<PathBuf>, ReportError> {
    Ok(vec![
        folder.write("comparison.csv", |to| measures(comparison, to))?,
        folder.write("series.csv", |to| series(comparison, to))?,
        folder.write("replications.csv", |to| replications(comparison, to))?,
    ])
}

/// One row for each alternative and measure.
///
/// # Errors
/// Those of `to`.
pub fn measures(comparison: &Comparison, to: &mut dyn Write) -> io::Result<()> {
    let mut table = Table::new(to);
    table.row(COMPARISON_COLUMNS)?;
    for alternative in &comparison.alternatives {
        for difference in &alternative.differences {
            let names = [&comparison.base.name, &alternative.side.name];
            table.row(measure_row(names, difference))?;
        }
    }
    table.flush()
}

fn measure_row(names: [&String; 2], d: &Difference) -> [String; 22] {
    let info = d.measure.info();
    let judged = d.judged;
    [
        names[0].clone(),
        names[1].clone(),
        info.name.to_owned(),
        info.unit.to_owned(),
        d.base.n.to_string(),
        cell(d.base.mean),
        cell(d.base.half_width),
        d.other.n.to_string(),
        cell(d.other.mean),
        cell(d.other.half_width),
        d.pairs.to_string(),
        cell(d.mean),
        cell(d.half_width),
        cell(d.sd),
        cell(d.p_value),
        judged.is_some().to_string(),
        cell(judged.and_then(|judged| judged.p_value)),
        cell(judged.and_then(|judged| judged.half_width)),
        judged.map_or_else(String::new, |judged| judged.verdict.word().to_owned()),
        cell(d.saved),
        cell(d.saved_at_most),
        info.meaning.to_owned(),
    ]
}

/// The series of every scenario, minute by minute; those of an alternative with their difference to
/// the base, where both have the minute.
///
/// # Errors
/// Those of `to`.
pub fn series(comparison: &Comparison, to: &mut dyn Write) -> io::Result<()> {
    let mut table = Table::new(to);
    table.row(SERIES_COLUMNS)?;
    for band in &comparison.base.series {
        for minute in 0..length(band) {
            let row = series_row(&comparison.base, band, minute);
            table.row(
                row.into_iter()
                    .chain([String::new(), String::new(), String::new()]),
            )?;
        }
    }
    for alternative in &comparison.alternatives {
        for band in &alternative.side.series {
            for minute in 0..length(band) {
                let row = series_row(&alternative.side, band, minute);
                table.row(row.into_iter().chain(difference(alternative, band, minute)))?;
            }
        }
    }
    table.flush()
}

fn series_row(side: &Side, band: &Band, minute: usize) -> [String; 8] {
    let at = |values: &[Option<f64>]| cell(values.get(minute).copied().flatten());
    [
        side.name.clone(),
        clock(side.clock.start_s + 60.0 * minute as f64),
        band.info.name.clone(),
        band.info.unit.to_owned(),
        at(&band.mean),
        at(&band.p10),
        at(&band.p50),
        at(&band.p90),
    ]
}

/// Mean, half-width and pairs of the difference in a minute of the alternative.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // checked
fn difference(alternative: &Alternative, band: &Band, minute: usize) -> [String; 3] {
    let same = alternative
        .courses
        .iter()
        .find(|c| c.info.name == band.info.name);
    let found = same.and_then(|course| {
        // Starts may be apart by less than a minute's half.
        let since_s = alternative.side.clock.start_s + 60.0 * minute as f64 - course.start_s;
        let at = libm::round(since_s / 60.0);
        let at = (at >= 0.0)
            .then_some(at as usize)
            .filter(|at| *at < course.pairs.len())?;
        Some([
            cell(course.mean[at]),
            cell(course.half_width[at]),
            course.pairs[at].to_string(),
        ])
    });
    found.unwrap_or_default()
}

/// One row for each replication and scenario, one column for each measure.
///
/// # Errors
/// Those of `to`.
pub fn replications(comparison: &Comparison, to: &mut dyn Write) -> io::Result<()> {
    let mut table = Table::new(to);
    let measures = Measure::ALL.map(|m| heading(m.info().name, m.info().unit));
    let fixed = ["replication", "scenario", "finished"].map(str::to_owned);
    table.row(fixed.into_iter().chain(measures))?;
    let others = comparison.alternatives.iter().map(|other| &other.side);
    let sides: Vec<&Side> = std::iter::once(&comparison.base).chain(others).collect();
    for place in 0..comparison.base.rows.len() {
        for side in &sides {
            let row = &side.rows[place];
            let fixed = [
                row.replication.to_string(),
                side.name.clone(),
                row.finished.to_string(),
            ];
            table.row(fixed.into_iter().chain(row.values.iter().map(|v| cell(*v))))?;
        }
    }
    table.flush()
}
