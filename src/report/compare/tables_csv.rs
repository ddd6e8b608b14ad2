//! The CSV tables of a comparison, long and tidy: a row a value, with who it is of.
//!
//! Units are those of the measures, at full precision; an empty cell is a value that does not exist.

use std::io;

use crate::report::columns::{self, Cell, Column, Holds, Rows};
use crate::report::csv_files::{CsvFile, CsvFiles};
use crate::report::datapackage::Described;
use crate::report::tables_csv::{SERIES_COLUMNS, UNIT, finished, length, replication, series_row};
use crate::scenario::wording::Wording;
use crate::service::measure::Measure;
use crate::study::compare::difference::Difference;
use crate::study::compare::{Alternative, Comparison, Side};
use crate::study::evening::Band;

/// Columns of `comparison.csv`.
const COMPARISON_COLUMNS: [(&str, Holds, &str); 23] = [
    ("base", Holds::Text, "the scenario compared with"),
    ("alternative", Holds::Text, "the scenario compared"),
    ("measure", Holds::Text, "name of the measure"),
    ("unit", Holds::Text, UNIT),
    (
        "base_n",
        Holds::Whole,
        "replications of the base that had a value",
    ),
    ("base_mean", Holds::Decimal, "mean of the base over these"),
    ("base_half_width_95", Holds::Decimal, HALF_WIDTH),
    (
        "alternative_n",
        Holds::Whole,
        "replications of the alternative that had a value",
    ),
    (
        "alternative_mean",
        Holds::Decimal,
        "mean of the alternative over these",
    ),
    ("alternative_half_width_95", Holds::Decimal, HALF_WIDTH),
    (
        "pairs",
        Holds::Whole,
        "replications in which both had a value",
    ),
    (
        "difference",
        Holds::Decimal,
        "mean over pairs of the alternative less the base",
    ),
    ("difference_half_width_95", Holds::Decimal, HALF_WIDTH),
    (
        "difference_sd",
        Holds::Decimal,
        "standard deviation of the difference over pairs",
    ),
    (
        "p_value",
        Holds::Decimal,
        "p-value of the paired t-test of no difference",
    ),
    (
        "headline",
        Holds::Flag,
        "whether the measure is one of those judged together",
    ),
    (
        "p_value_holm",
        Holds::Decimal,
        "p-value after Holm's correction for the measures judged together",
    ),
    (
        "difference_half_width_95_together",
        Holds::Decimal,
        "half-width of an interval that holds for all measures judged together with 95 % confidence",
    ),
    (
        "too_small",
        Holds::Decimal,
        "a difference up to this is too small to matter; empty where it is not judged",
    ),
    (
        "verdict",
        Holds::Text,
        "what that says of the difference; empty where it is not judged",
    ),
    (
        "variance_saved_share",
        Holds::Decimal,
        "share of the variance of the difference that common random numbers save",
    ),
    (
        "variance_saved_share_at_most",
        Holds::Decimal,
        "upper end of what is known of that share",
    ),
    ("meaning", Holds::Text, "what the measure is"),
];
/// Of a column after that of a mean.
const HALF_WIDTH: &str = "half-width of the 95 % confidence interval of that mean";

/// Columns of `series.csv` after those of an evening.
const DIFFERENCE_COLUMNS: [(&str, Holds, &str); 3] = [
    (
        "difference",
        Holds::Decimal,
        "mean over pairs of the alternative less the base; empty for the base",
    ),
    ("difference_half_width_95", Holds::Decimal, HALF_WIDTH),
    (
        "pairs",
        Holds::Whole,
        "replications in which both had a value",
    ),
];

/// The three tables.
#[must_use]
pub fn files(comparison: &Comparison) -> CsvFiles<'_> {
    let wording = &comparison.wording;
    let files = vec![
        CsvFile::made(comparison_described().said(wording), |rows| {
            measures(comparison, rows)
        }),
        CsvFile::made(series_described().said(wording), |rows| {
            series(comparison, rows)
        }),
        CsvFile::made(replications_described().said(wording), |rows| {
            replications(comparison, rows)
        }),
    ];
    CsvFiles {
        title: title(comparison),
        seed: comparison.seed,
        files,
        without: Vec::new(),
    }
}

fn title(comparison: &Comparison) -> String {
    let others = comparison.alternatives.iter();
    let others: Vec<&str> = others.map(|other| other.side.name.as_str()).collect();
    format!("{} against {}", others.join(", "), comparison.base.name)
}

fn comparison_described() -> Described {
    Described {
        name: "comparison",
        about: "a row for each alternative and measure".into(),
        columns: columns::fixed(&COMPARISON_COLUMNS),
        key: &["alternative", "measure"],
    }
}

fn scenario() -> Column {
    Column::new("scenario", Holds::Text, "name of the scenario")
}

fn series_described() -> Described {
    let fixed = [&SERIES_COLUMNS[..], &DIFFERENCE_COLUMNS].concat();
    Described {
        name: "series",
        about: "a row for each scenario, series and minute, from the start of its ‹evening›".into(),
        columns: [vec![scenario()], columns::fixed(&fixed)].concat(),
        key: &[],
    }
}

fn replications_described() -> Described {
    let measures = Measure::ALL.map(|measure| Column::measure(measure.info()));
    Described {
        name: "replications",
        about: "a row for each replication and scenario".into(),
        columns: [replication(), scenario(), finished()]
            .into_iter()
            .chain(measures)
            .collect(),
        key: &["replication", "scenario"],
    }
}

/// One row for each alternative and measure.
fn measures(comparison: &Comparison, rows: &mut Rows<'_>) -> io::Result<()> {
    for alternative in &comparison.alternatives {
        for difference in &alternative.differences {
            let names = [&comparison.base.name, &alternative.side.name];
            rows.row(&measure_row(names, difference, &comparison.wording))?;
        }
    }
    Ok(())
}

fn measure_row(names: [&String; 2], d: &Difference, wording: &Wording) -> [Cell; 23] {
    let info = d.measure.info();
    let judged = d.judged;
    [
        names[0].clone().into(),
        names[1].clone().into(),
        info.name.into(),
        wording.unit(info.unit).into(),
        d.base.n.into(),
        d.base.mean.into(),
        d.base.half_width.into(),
        d.other.n.into(),
        d.other.mean.into(),
        d.other.half_width.into(),
        d.pairs.into(),
        d.mean.into(),
        d.half_width.into(),
        d.sd.into(),
        d.p_value.into(),
        judged.is_some().into(),
        judged.and_then(|judged| judged.p_value).into(),
        judged.and_then(|judged| judged.half_width).into(),
        judged.map(|judged| judged.too_small).into(),
        judged.map_or(Cell::Empty, |judged| judged.verdict.word().into()),
        d.saved.into(),
        d.saved_at_most.into(),
        wording.said(info.meaning).into_owned().into(),
    ]
}

/// The series of every scenario, minute by minute; those of an alternative with their difference to
/// the base, where both have the minute.
fn series(comparison: &Comparison, rows: &mut Rows<'_>) -> io::Result<()> {
    for band in &comparison.base.series {
        for minute in 0..length(band) {
            let apart = [Cell::Empty, Cell::Empty, Cell::Empty];
            rows.row(&side_row(&comparison.base, band, minute, &apart))?;
        }
    }
    for alternative in &comparison.alternatives {
        for band in &alternative.side.series {
            for minute in 0..length(band) {
                let apart = difference(alternative, band, minute);
                rows.row(&side_row(&alternative.side, band, minute, &apart))?;
            }
        }
    }
    Ok(())
}

fn side_row(side: &Side, band: &Band, minute: usize, apart: &[Cell; 3]) -> Vec<Cell> {
    let name = [side.name.clone().into()];
    let at = series_row(side.clock.start_s, band, minute);
    [&name[..], &at, apart].concat()
}

fn difference(alternative: &Alternative, band: &Band, minute: usize) -> [Cell; 3] {
    match difference_at(alternative, band, minute) {
        Some((mean, half_width, pairs)) => [mean.into(), half_width.into(), pairs.into()],
        None => [Cell::Empty, Cell::Empty, Cell::Empty],
    }
}

/// Mean, half-width and pairs of the difference in a minute of the alternative.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // checked
pub(in crate::report) fn difference_at(
    alternative: &Alternative,
    band: &Band,
    minute: usize,
) -> Option<(Option<f64>, Option<f64>, u64)> {
    let same = alternative
        .curves
        .iter()
        .find(|c| c.info.name == band.info.name);
    same.and_then(|curve| {
        // Starts may be apart by less than a minute's half.
        let since_s = alternative.side.clock.start_s + 60.0 * minute as f64 - curve.start_s;
        let at = libm::round(since_s / 60.0);
        let at = (at >= 0.0)
            .then_some(at as usize)
            .filter(|at| *at < curve.pairs.len())?;
        Some((curve.mean[at], curve.half_width[at], curve.pairs[at]))
    })
}

/// One row for each replication and scenario, one column for each measure.
fn replications(comparison: &Comparison, rows: &mut Rows<'_>) -> io::Result<()> {
    let others = comparison.alternatives.iter().map(|other| &other.side);
    let sides: Vec<&Side> = std::iter::once(&comparison.base).chain(others).collect();
    for place in 0..comparison.base.rows.len() {
        for side in &sides {
            let row = &side.rows[place];
            let fixed = [
                row.replication.into(),
                side.name.clone().into(),
                row.finished.into(),
            ];
            let values = row.values.iter().map(|value| Cell::from(*value));
            rows.row(&fixed.into_iter().chain(values).collect::<Vec<_>>())?;
        }
    }
    Ok(())
}
