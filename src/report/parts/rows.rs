//! Columns and rows of the tables of a study: `points.csv`, a row per design point; `replications.csv`, a row per
//! replication; `one-at-a-time.csv`, a row for each measure wherever one factor is moved alone.
//!
//! Units stand in the heads, values are at full precision, an empty cell is a value that does not exist.

use crate::report::columns::{self, Cell, Column, Holds};
use crate::report::datapackage::Described;
use crate::report::points::{Found, PointPlayed};
use crate::report::tables_csv::{UNIT, finished, replication as number};
use crate::scenario::cells::Table;
use crate::study::design::Study;
use crate::study::design::factor::{Factor, Sort};
use crate::study::design::points::Setting;
use crate::study::design::wanted::Target;
use crate::study::replications::Replication;
use crate::study::summary;
use crate::study::sweep::Played;
use crate::study::swept;

/// A row as CSV, without the end of the line.
#[must_use]
pub fn csv_line(cells: &[String]) -> String {
    let mut bytes = Vec::new();
    // Writing into memory does not fail.
    let mut table = Table::new(&mut bytes);
    let _ = table.row(cells).and_then(|()| table.flush());
    drop(table);
    bytes.pop();
    String::from_utf8(bytes).unwrap_or_default()
}

/// A CSV line as its cells.
#[must_use]
pub fn cells(line: &str) -> Vec<String> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(line.as_bytes());
    let record = reader.records().next().and_then(Result::ok);
    record.map_or_else(Vec::new, |record| {
        record.iter().map(str::to_string).collect()
    })
}

/// The columns of the factors.
#[must_use]
pub fn factors(study: &Study) -> Vec<Column> {
    let column = |factor: &Factor| {
        let meaning = if factor.is_site {
            "name of the site".to_string()
        } else {
            format!("setting of the factor \"{}\"", factor.name)
        };
        let holds = match factor.sort() {
            Sort::Words => Holds::Text,
            Sort::Whole => Holds::Whole,
            Sort::Decimal => Holds::Decimal,
            Sort::Flags => Holds::Flag,
        };
        Column::new(columns::head(&factor.name, factor.unit), holds, meaning).in_unit(factor.unit)
    };
    study.factors.iter().map(column).collect()
}

/// The cell of a factor's setting; empty where it is left as the base has it.
fn setting(factor: &Factor, setting: &Setting) -> Cell {
    if setting.text.is_empty() {
        return Cell::Empty;
    }
    match factor.sort() {
        Sort::Words => setting.text.clone().into(),
        Sort::Whole => setting
            .number
            .map_or(Cell::Empty, |number| Cell::Whole(number as i128)),
        Sort::Decimal => setting.number.into(),
        Sort::Flags => (setting.text == "true").into(),
    }
}

/// The cells of settings, one for each factor.
pub fn settings<'a>(study: &'a Study, settings: &'a [Setting]) -> impl Iterator<Item = Cell> + 'a {
    let pairs = study.factors.iter().zip(settings);
    pairs.map(|(factor, of)| setting(factor, of))
}

/// The column of the numbers of design points.
#[must_use]
pub fn point() -> Column {
    let meaning = "number of the design point, counted from 0";
    Column::new("point", Holds::Whole, meaning)
}

/// `points.csv`.
#[must_use]
pub fn points_described(study: &Study) -> Described {
    Described {
        name: "points",
        about: "a row for each design point".into(),
        columns: columns::distinct(point_columns(study)),
        key: &["point"],
    }
    .said(&study.wording)
}

fn point_columns(study: &Study) -> Vec<Column> {
    let whole = |head: &str, meaning: &str| Column::new(head, Holds::Whole, meaning);
    let mut columns = vec![point()];
    columns.extend(factors(study));
    columns.extend([
        whole("replications", "‹evenings› played"),
        whole(
            "unfinished",
            "how many of these ‹evenings› were cut off with work left to do",
        ),
    ]);
    for measure in &study.measures {
        let info = measure.info();
        let half_width = "half-width of the 95 % confidence interval of the mean of";
        let (name, unit) = (info.name, info.unit);
        columns.extend([
            Column::decimal(
                name,
                unit,
                format!("mean over ‹evenings›: {}", info.meaning),
            ),
            Column::decimal(
                &format!("{name} half_width_95"),
                unit,
                format!("{half_width} {name}"),
            ),
            whole(
                &format!("{name} n"),
                &format!("‹evenings› in which {name} had a value"),
            ),
        ]);
    }
    for target in &study.targets {
        let info = target.measure.info();
        let kept = format!(
            "share of ‹evenings› with {} {}",
            info.name,
            target.limit.words(info)
        );
        let end = |end: &str| format!("{end} end of the 95 % interval of that share");
        columns.extend([
            Column::decimal(
                &kept,
                "1",
                "share of ‹evenings›, of those in which it had a value",
            ),
            Column::decimal(&format!("{kept} low_95"), "1", end("lower")),
            Column::decimal(&format!("{kept} high_95"), "1", end("upper")),
        ]);
    }
    if !study.targets.is_empty() {
        let meaning = "whether it meets every target by its estimates; none with an unfinished ‹evening› does";
        columns.push(Column::new("meets_targets", Holds::Flag, meaning));
    }
    columns
}

/// A row of `points.csv`.
#[must_use]
pub fn point_row(study: &Study, played: &Played) -> Vec<String> {
    let replications = &played.replications;
    let unfinished = replications
        .iter()
        .filter(|played| !played.finished)
        .count();
    let mut row: Vec<Cell> = vec![played.point.into()];
    row.extend(settings(study, &study.settings(played.point)));
    row.extend([replications.len().into(), unfinished.into()]);
    for measure in 0..study.measures.len() {
        let estimate = summary::estimate(replications, measure);
        row.extend([
            estimate.mean.into(),
            estimate.half_width.into(),
            estimate.n.into(),
        ]);
    }
    for target in &study.targets {
        let column = study.measures.iter().position(|m| *m == target.measure);
        let kept = column.map(|column| summary::kept(replications, column, target));
        let share = kept.and_then(|kept| kept.share);
        let interval = kept
            .filter(|kept| kept.share.is_some())
            .map(|kept| kept.interval);
        row.extend([
            share.into(),
            interval.map(|ends| ends.0).into(),
            interval.map(|ends| ends.1).into(),
        ]);
    }
    let mut columns = point_columns(study);
    if study.targets.is_empty() {
        return columns::written(&columns, &row);
    }
    let last = columns.split_off(row.len());
    let mut written = columns::written(&columns, &row);
    let keeps = keeps(study, &written);
    written.extend(columns::written(&last, &[keeps.into()]));
    written
}

/// The estimates in a row of `points.csv`.
#[must_use]
pub fn estimates(study: &Study, row: &[String]) -> Vec<swept::Cell> {
    let first = study.factors.len() + 3;
    let text = |at: usize| row.get(at).map_or("", String::as_str);
    let of = |measure: usize| {
        let at = first + 3 * measure;
        swept::Cell {
            mean: text(at).parse().ok(),
            half_width: text(at + 1).parse().ok(),
            n: text(at + 2).parse().unwrap_or(0),
        }
    };
    (0..study.measures.len()).map(of).collect()
}

/// How many evenings of a row of `points.csv` were not finished.
#[must_use]
pub fn unfinished(study: &Study, row: &[String]) -> u64 {
    let cell = row.get(study.factors.len() + 2);
    cell.and_then(|text| text.parse().ok()).unwrap_or(0)
}

/// Whether a row of `points.csv` meets every target, by its estimates.
#[must_use]
pub fn keeps(study: &Study, row: &[String]) -> bool {
    found(study, row).iter().all(|found| found.is_met)
}

/// What a row of `points.csv` says of each target.
#[must_use]
pub fn found(study: &Study, row: &[String]) -> Vec<Found> {
    let number = |at: usize| row.get(at).and_then(|text| text.parse::<f64>().ok());
    let first = study.factors.len() + 3;
    let shares = first + 3 * study.measures.len();
    let of = |(index, target): (usize, &Target)| {
        let at = shares + 3 * index;
        let share = number(at);
        let is_met = match target.in_share {
            Some(least) => share.is_some_and(|share| share >= least),
            None => {
                let column = study.measures.iter().position(|m| *m == target.measure);
                let mean = column.and_then(|column| number(first + 3 * column));
                mean.is_some_and(|mean| target.limit.holds(mean))
            }
        };
        Found {
            share,
            low: number(at + 1),
            high: number(at + 2),
            is_met,
            is_safety: target.is_safety(),
        }
    };
    study.targets.iter().enumerate().map(of).collect()
}

/// What a row of `points.csv` says of its evenings.
#[must_use]
pub fn played(study: &Study, row: &[String]) -> PointPlayed {
    let evenings = row.get(study.factors.len() + 1);
    PointPlayed {
        evenings: evenings.and_then(|text| text.parse().ok()).unwrap_or(0),
        unfinished: unfinished(study, row),
        targets: found(study, row),
    }
}

/// `replications.csv`.
#[must_use]
pub fn replications_described(study: &Study) -> Described {
    Described {
        name: "replications",
        about: "a row for each replication of each design point".into(),
        columns: columns::distinct(replication_columns(study)),
        key: &["point", "replication"],
    }
    .said(&study.wording)
}

fn replication_columns(study: &Study) -> Vec<Column> {
    let mut columns = vec![point()];
    columns.extend(factors(study));
    columns.extend([number(), finished()]);
    let measures = study.measures.iter();
    columns.extend(measures.map(|measure| Column::measure(measure.info())));
    columns
}

/// Rows of `replications.csv`.
#[must_use]
pub fn replication_rows(study: &Study, played: &Played) -> Vec<Vec<String>> {
    let columns = replication_columns(study);
    let settings: Vec<Cell> = settings(study, &study.settings(played.point)).collect();
    let row = |replication: &Replication| {
        let mut row: Vec<Cell> = vec![played.point.into()];
        row.extend(settings.iter().cloned());
        row.extend([replication.number.into(), replication.finished.into()]);
        row.extend(replication.values.iter().map(|value| Cell::from(*value)));
        columns::written(&columns, &row)
    };
    played.replications.iter().map(row).collect()
}

/// The replication in a row of `replications.csv`.
#[must_use]
pub fn replication(study: &Study, row: &[String]) -> Option<Replication> {
    let first = study.factors.len() + 1;
    let values = row.get(first + 2..)?;
    Some(Replication {
        number: row.get(first)?.parse().ok()?,
        finished: row.get(first + 1)? == "true",
        values: values.iter().map(|value| value.parse().ok()).collect(),
    })
}

/// Columns of `one-at-a-time.csv`.
const ALONE_COLUMNS: [(&str, Holds, &str); 10] = [
    (
        "factor",
        Holds::Text,
        "the factor that is moved; base where none is",
    ),
    (
        "setting",
        Holds::Text,
        "where it is moved to; empty for the base",
    ),
    ("measure", Holds::Text, "name of the measure"),
    ("unit", Holds::Text, UNIT),
    ("n", Holds::Whole, "‹evenings› in which it had a value"),
    ("mean", Holds::Decimal, "mean over these ‹evenings›"),
    (
        "half_width_95",
        Holds::Decimal,
        "half-width of the 95 % confidence interval of the mean",
    ),
    (
        "difference_from_base",
        Holds::Decimal,
        "mean over ‹evenings› of the difference to the base, ‹evening› by ‹evening›; empty for the base",
    ),
    (
        "difference_half_width_95",
        Holds::Decimal,
        "half-width of the 95 % confidence interval of the difference",
    ),
    ("meaning", Holds::Text, "what the measure is"),
];

/// `one-at-a-time.csv`.
#[must_use]
pub fn alone_described(study: &Study) -> Described {
    Described {
        name: "one-at-a-time",
        about: "a row for each measure of the base, and wherever one factor is moved alone".into(),
        columns: columns::fixed(&ALONE_COLUMNS),
        key: &[],
    }
    .said(&study.wording)
}

/// Rows of `one-at-a-time.csv`, from the replications of the points of the tornado, in order.
#[must_use]
pub fn alone_rows(study: &Study, alone: &[Vec<Replication>]) -> Vec<Vec<Cell>> {
    let mut rows = Vec::new();
    let Some(base) = alone.first() else {
        return rows;
    };
    for (at, ((factor, moved), played)) in study.one_at_a_time().iter().zip(alone).enumerate() {
        let factor = study.factors.get(*factor).filter(|_| at > 0);
        let level = factor.and_then(|factor| factor.level(*moved));
        let name = factor.map_or("base", |factor| factor.name.as_str());
        for (column, measure) in study.measures.iter().enumerate() {
            let info = measure.info();
            let estimate = summary::estimate(played, column);
            let (difference, half_width) = match at {
                0 => (None, None),
                _ => summary::difference(played, base, column),
            };
            rows.push(vec![
                name.into(),
                level
                    .as_ref()
                    .map_or(Cell::Empty, |level| level.text.clone().into()),
                info.name.into(),
                study.wording.unit(info.unit).into(),
                estimate.n.into(),
                estimate.mean.into(),
                estimate.half_width.into(),
                difference.into(),
                half_width.into(),
                study.wording.said(info.meaning).into_owned().into(),
            ]);
        }
    }
    rows
}
