//! The CSV tables of an evening: measures, series by minute, and every replication.
//!
//! Units are those of the measures, at full precision; an empty cell is a value that does not exist.

use super::ReportError;
use super::number::finite;
use super::out::OutputFolder;
use crate::scenario::cells::Table;
use crate::study::evening::{Band, Estimate, Evening, GroupKind, Quantile, Row};
use std::io::{self, Write};
use std::path::PathBuf;

/// Columns of `measures.csv`.
pub const MEASURE_COLUMNS: [&str; 18] = [
    "of",
    "name",
    "measure",
    "unit",
    "n",
    "mean",
    "half_width_95",
    "sd",
    "p10",
    "p10_low",
    "p10_high",
    "p50",
    "p50_low",
    "p50_high",
    "p90",
    "p90_low",
    "p90_high",
    "meaning",
];

/// Columns of `series.csv`.
pub const SERIES_COLUMNS: [&str; 8] = [
    "minute", "clock", "series", "unit", "mean", "p10", "p50", "p90",
];

/// Writes `measures.csv`, `series.csv` and `replications.csv`; gives their paths.
///
/// # Errors
/// [`ReportError::File`].
pub fn write_all(evening: &Evening, folder: &OutputFolder) -> Result<Vec<PathBuf>, ReportError> {
    Ok(vec![
        folder.write("measures.csv", |to| measures(evening, to))?,
        folder.write("series.csv", |to| series(evening, to))?,
        folder.write("replications.csv", |to| replications(evening, to))?,
    ])
}

/// One row for each measure of the evening, then of each ware, operator, station and part of the cost.
///
/// # Errors
/// Those of `to`.
pub fn measures(evening: &Evening, to: &mut dyn Write) -> io::Result<()> {
    let mut table = Table::new(to);
    table.row(MEASURE_COLUMNS)?;
    for estimate in &evening.measures {
        table.row(measure_row("evening", "", estimate))?;
    }
    for group in &evening.groups {
        for estimate in &group.measures {
            table.row(measure_row(kind(group.kind), &group.name, estimate))?;
        }
    }
    table.flush()
}

fn measure_row(of: &str, name: &str, e: &Estimate) -> Vec<String> {
    let mut row = vec![
        of.to_owned(),
        name.to_owned(),
        e.info.name.to_owned(),
        e.info.unit.to_owned(),
        e.n.to_string(),
        cell(e.mean),
        cell(e.half_width),
        cell(e.sd),
    ];
    for Quantile { value, low, high } in [e.p10, e.p50, e.p90] {
        row.extend([cell(value), cell(low), cell(high)]);
    }
    row.push(e.info.meaning.to_owned());
    row
}

const fn kind(kind: GroupKind) -> &'static str {
    match kind {
        GroupKind::Ware => "ware",
        GroupKind::Operator => "operator",
        GroupKind::Station => "station",
        GroupKind::Cost => "cost",
    }
}

/// Every series, minute by minute, one value of it a row, to the end of the last evening. A minute in
/// which fewer than one evening in ten has a value has empty cells.
///
/// # Errors
/// Those of `to`.
pub fn series(evening: &Evening, to: &mut dyn Write) -> io::Result<()> {
    let mut table = Table::new(to);
    table.row(SERIES_COLUMNS)?;
    for band in &evening.series {
        for minute in 0..length(band) {
            table.row(series_row(evening.clock.start_s, band, minute))?;
        }
    }
    table.flush()
}

fn series_row(start_s: f64, band: &Band, minute: usize) -> [String; 8] {
    let at = |values: &[Option<f64>]| cell(values.get(minute).copied().flatten());
    [
        minute.to_string(),
        clock(start_s + 60.0 * minute as f64),
        band.info.name.clone(),
        band.info.unit.to_owned(),
        at(&band.mean),
        at(&band.p10),
        at(&band.p50),
        at(&band.p90),
    ]
}

/// Minutes of the longest of the four.
pub(super) fn length(band: &Band) -> usize {
    [&band.mean, &band.p10, &band.p50, &band.p90]
        .map(Vec::len)
        .into_iter()
        .max()
        .unwrap_or(0)
}

/// One row for each replication, one column for each measure.
///
/// # Errors
/// Those of `to`.
pub fn replications(evening: &Evening, to: &mut dyn Write) -> io::Result<()> {
    let mut table = Table::new(to);
    let names = evening
        .measures
        .iter()
        .map(|e| heading(e.info.name, e.info.unit));
    let fixed = ["replication", "finished"].map(str::to_owned);
    table.row(fixed.into_iter().chain(names))?;
    for row in &evening.rows {
        table.row(replication_row(row, evening.measures.len()))?;
    }
    table.flush()
}

fn replication_row(row: &Row, columns: usize) -> Vec<String> {
    let values = (0..columns).map(|i| cell(row.values.get(i).copied().flatten()));
    [row.replication.to_string(), row.finished.to_string()]
        .into_iter()
        .chain(values)
        .collect()
}

pub(super) fn heading(name: &str, unit: &str) -> String {
    format!("{name} [{unit}]")
}

pub(super) fn cell(value: Option<f64>) -> String {
    finite(value).map_or_else(String::new, |v| v.to_string())
}

/// Time of day as `HH:MM`, past midnight from 00:00 again.
#[must_use]
pub fn clock(seconds: f64) -> String {
    let minutes = libm::floor(seconds / 60.0 + 1e-6).rem_euclid(1440.0) as u32;
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample;

    fn rows(fill: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Vec<csv::StringRecord> {
        let mut bytes = Vec::new();
        fill(&mut bytes).unwrap();
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(bytes.as_slice());
        reader.records().map(Result::unwrap).collect()
    }

    #[test]
    fn measures_have_a_row_each_and_empty_cells_where_nothing_exists() {
        let evening = sample::friday();
        let rows = rows(|to| measures(&evening, to));
        let in_groups: usize = evening.groups.iter().map(|g| g.measures.len()).sum();
        assert_eq!(rows.len(), 1 + evening.measures.len() + in_groups);
        assert_eq!(&rows[0], &csv::StringRecord::from(MEASURE_COLUMNS.to_vec()));
        let water = rows.iter().find(|row| &row[2] == "water_l").unwrap();
        assert_eq!((&water[4], &water[5], &water[8]), ("0", "", ""));
    }

    #[test]
    fn series_have_a_clock_that_passes_midnight() {
        let evening = sample::friday();
        let rows = rows(|to| series(&evening, to));
        assert_eq!(&rows[1][1], "16:30");
        assert!(rows.iter().any(|row| &row[1] == "00:05"));
        assert_eq!(clock(16.5 * 3600.0 + 59.0), "16:30");
        assert_eq!(clock(25.0 * 3600.0), "01:00");
    }

    #[test]
    fn replications_have_units_in_their_heads() {
        let evening = sample::friday();
        let rows = rows(|to| replications(&evening, to));
        assert_eq!(rows.len(), 1 + evening.rows.len());
        assert!(rows[0].iter().any(|cell| cell == "wait_mean_min [min]"));
        assert_eq!((&rows[1][0], &rows[1][1]), ("0", "true"));
    }

    #[test]
    fn nothing_that_is_not_finite_is_written() {
        let mut evening = sample::friday();
        evening.series[0].mean[3] = Some(f64::NAN);
        let rows = rows(|to| series(&evening, to));
        assert_eq!(&rows[4][4], "");
    }
}
