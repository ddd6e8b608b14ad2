//! The CSV tables of an evening: measures, series by minute, and every replication.
//!
//! Units are those of the measures, at full precision; an empty cell is a value that does not exist. What
//! each column is stands in the data dictionary beside them.

use super::columns::{self, Cell, Column, Holds, Rows};
use super::csv_files::{CsvFile, CsvFiles};
use super::datapackage::Described;
use crate::scenario::wording::Wording;
use crate::study::evening::{Band, Estimate, Evening, GroupKind, Quantile, Row};
use std::io;

/// Columns of `measures.csv`.
const MEASURE_COLUMNS: [(&str, Holds, &str); 18] = [
    (
        "of",
        Holds::Text,
        "what the row is about: service, ware, operator, station or cost",
    ),
    (
        "name",
        Holds::Text,
        "which ware, operator, station or part of the cost; empty for the service as a whole",
    ),
    ("measure", Holds::Text, "name of the measure"),
    ("unit", Holds::Text, UNIT),
    ("n", Holds::Whole, "replications in which it had a value"),
    ("mean", Holds::Decimal, "mean over these replications"),
    (
        "half_width_95",
        Holds::Decimal,
        "half-width of the 95 % confidence interval of the mean",
    ),
    (
        "sd",
        Holds::Decimal,
        "standard deviation over these replications",
    ),
    ("p10", Holds::Decimal, "10th percentile of the replications"),
    ("p10_low", Holds::Decimal, "lower end of its 95 % interval"),
    ("p10_high", Holds::Decimal, "upper end of its 95 % interval"),
    ("p50", Holds::Decimal, "50th percentile of the replications"),
    ("p50_low", Holds::Decimal, "lower end of its 95 % interval"),
    ("p50_high", Holds::Decimal, "upper end of its 95 % interval"),
    ("p90", Holds::Decimal, "90th percentile of the replications"),
    ("p90_low", Holds::Decimal, "lower end of its 95 % interval"),
    ("p90_high", Holds::Decimal, "upper end of its 95 % interval"),
    ("meaning", Holds::Text, "what the measure is"),
];
/// Of a column of units.
pub(super) const UNIT: &str = "unit of the numbers in the row; 1 for shares";

/// Columns of `series.csv` after the minute, here and of a comparison.
pub(super) const SERIES_COLUMNS: [(&str, Holds, &str); 7] = [
    (
        "clock",
        Holds::Text,
        "time of day at which the minute begins; past midnight from 00:00 again",
    ),
    ("series", Holds::Text, "what is counted"),
    ("unit", Holds::Text, UNIT),
    ("mean", Holds::Decimal, "mean over replications"),
    ("p10", Holds::Decimal, "10th percentile of the replications"),
    ("p50", Holds::Decimal, "50th percentile of the replications"),
    ("p90", Holds::Decimal, "90th percentile of the replications"),
];

/// The columns of a replication: its number.
pub(super) fn replication() -> Column {
    Column::new(
        "replication",
        Holds::Whole,
        "number of the replication, counted from 0",
    )
}

/// The column that says whether an evening came to its end.
pub(super) fn finished() -> Column {
    Column::new(
        "finished",
        Holds::Flag,
        "whether everything was done in the end; false for ‹an evening› that was cut off",
    )
}

/// `measures.csv`, `series.csv`, `replications.csv`.
#[must_use]
pub fn files(evening: &Evening) -> CsvFiles<'_> {
    let wording = &evening.wording;
    let files = vec![
        CsvFile::made(measures_described().said(wording), |rows| {
            measures(evening, rows)
        }),
        CsvFile::made(series_described().said(wording), |rows| {
            series(evening, rows)
        }),
        CsvFile::made(replications_described(evening).said(wording), |rows| {
            replications(evening, rows)
        }),
    ];
    CsvFiles {
        title: evening.title.clone(),
        seed: evening.seed,
        files,
        without: Vec::new(),
    }
}

fn measures_described() -> Described {
    Described {
        name: "measures",
        about: "a row for each measure of the ‹evening›, then of each ware, operator, station and part of the cost".into(),
        columns: columns::fixed(&MEASURE_COLUMNS),
        key: &[],
    }
}

fn series_described() -> Described {
    let minute = "minutes since the start of the ‹evening›";
    let minute = Column::new("minute", Holds::Whole, minute).in_unit("min");
    Described {
        name: "series",
        about: "a row for each series and minute; a minute that fewer than one ‹evening› in ten has is empty".into(),
        columns: [vec![minute], columns::fixed(&SERIES_COLUMNS)].concat(),
        key: &["minute", "series"],
    }
}

fn replications_described(evening: &Evening) -> Described {
    let measures = evening.measures.iter().map(|e| Column::measure(e.info));
    Described {
        name: "replications",
        about: "a row for each replication".into(),
        columns: [replication(), finished()]
            .into_iter()
            .chain(measures)
            .collect(),
        key: &["replication"],
    }
}

/// One row for each measure of the evening, then of each ware, operator, station and part of the cost.
fn measures(evening: &Evening, rows: &mut Rows<'_>) -> io::Result<()> {
    for estimate in &evening.measures {
        rows.row(&measure_row("service", "", estimate, &evening.wording))?;
    }
    for group in &evening.groups {
        for estimate in &group.measures {
            rows.row(&measure_row(
                kind(group.kind),
                &group.name,
                estimate,
                &evening.wording,
            ))?;
        }
    }
    Ok(())
}

fn measure_row(of: &str, name: &str, e: &Estimate, wording: &Wording) -> Vec<Cell> {
    let mut row: Vec<Cell> = vec![
        of.into(),
        name.into(),
        e.info.name.into(),
        wording.unit(e.info.unit).into(),
        e.n.into(),
        e.mean.into(),
        e.half_width.into(),
        e.sd.into(),
    ];
    for Quantile { value, low, high } in [e.p10, e.p50, e.p90] {
        row.extend([value, low, high].map(Cell::from));
    }
    row.push(wording.said(e.info.meaning).into_owned().into());
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
fn series(evening: &Evening, rows: &mut Rows<'_>) -> io::Result<()> {
    for band in &evening.series {
        for minute in 0..length(band) {
            let at = series_row(evening.clock.start_s, band, minute);
            rows.row(&[&[minute.into()], &at[..]].concat())?;
        }
    }
    Ok(())
}

/// The cells of a minute from its clock on.
pub(super) fn series_row(start_s: f64, band: &Band, minute: usize) -> [Cell; 7] {
    let at = |values: &[Option<f64>]| values.get(minute).copied().flatten().into();
    [
        clock(start_s + 60.0 * minute as f64).into(),
        band.info.name.clone().into(),
        band.info.unit.into(),
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
fn replications(evening: &Evening, rows: &mut Rows<'_>) -> io::Result<()> {
    for row in &evening.rows {
        rows.row(&replication_row(row, evening.measures.len()))?;
    }
    Ok(())
}

fn replication_row(row: &Row, measures: usize) -> Vec<Cell> {
    let values = (0..measures).map(|i| row.values.get(i).copied().flatten().into());
    [row.replication.into(), row.finished.into()]
        .into_iter()
        .chain(values)
        .collect()
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
    use crate::report::examples;

    fn rows(
        described: &Described,
        fill: impl FnOnce(&mut Rows<'_>) -> io::Result<()>,
    ) -> Vec<csv::StringRecord> {
        let mut bytes = Vec::new();
        let mut rows = Rows::new(&described.columns, &mut bytes).unwrap();
        fill(&mut rows).unwrap();
        rows.end().unwrap();
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(bytes.as_slice());
        reader.records().map(Result::unwrap).collect()
    }

    #[test]
    fn measures_have_a_row_each_and_empty_cells_where_nothing_exists() {
        let evening = examples::friday();
        let rows = rows(&measures_described(), |rows| measures(&evening, rows));
        let in_groups: usize = evening.groups.iter().map(|g| g.measures.len()).sum();
        assert_eq!(rows.len(), 1 + evening.measures.len() + in_groups);
        assert_eq!(
            &rows[0],
            &csv::StringRecord::from(MEASURE_COLUMNS.map(|row| row.0).to_vec())
        );
        let water = rows.iter().find(|row| &row[2] == "water_l").unwrap();
        assert_eq!((&water[4], &water[5], &water[8]), ("0", "", ""));
    }

    #[test]
    fn series_have_a_clock_that_passes_midnight() {
        let evening = examples::friday();
        let rows = rows(&series_described(), |rows| series(&evening, rows));
        assert_eq!(&rows[1][1], "16:30");
        assert!(rows.iter().any(|row| &row[1] == "00:05"));
        assert_eq!(clock(16.5 * 3600.0 + 59.0), "16:30");
        assert_eq!(clock(25.0 * 3600.0), "01:00");
    }

    #[test]
    fn replications_have_units_in_their_heads() {
        let evening = examples::friday();
        let rows = rows(&replications_described(&evening), |rows| {
            replications(&evening, rows)
        });
        assert_eq!(rows.len(), 1 + evening.rows.len());
        assert!(rows[0].iter().any(|cell| cell == "wait_mean_min [min]"));
        assert_eq!((&rows[1][0], &rows[1][1]), ("0", "true"));
    }

    #[test]
    fn nothing_that_is_not_finite_is_written() {
        let mut evening = examples::friday();
        evening.series[0].mean[3] = Some(f64::NAN);
        let rows = rows(&series_described(), |rows| series(&evening, rows));
        assert_eq!(&rows[4][4], "");
    }
}
