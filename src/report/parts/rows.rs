//! Heads and rows of the tables of a study: `points.csv`, a row a design point; `replications.csv`, a row a
//! replication; `one-at-a-time.csv`, a row for each measure wherever one factor is moved alone.
//!
//! Units stand in the heads, values are at full precision, an empty cell is a value that does not exist.

use crate::report::number::finite;
use crate::scenario::cells::Table;
use crate::service::measure::MeasureInfo;
use crate::study::design::Study;
use crate::study::design::points::Setting;
use crate::study::play::Replication;
use crate::study::summary;
use crate::study::sweep::Played;
use crate::study::swept::Cell;

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

fn cell(value: Option<f64>) -> String {
    finite(value).map_or_else(String::new, |value| value.to_string())
}

fn head(info: &MeasureInfo) -> String {
    format!("{} [{}]", info.name, info.unit)
}

/// Heads of the factors.
fn factors(study: &Study) -> impl Iterator<Item = String> + '_ {
    study.factors.iter().map(|factor| match factor.unit {
        "" => factor.name.clone(),
        unit => format!("{} [{unit}]", factor.name),
    })
}

/// The cell of a setting: the number, if its head has the unit.
fn setting(setting: &Setting, unit: &str) -> String {
    match setting.number {
        Some(number) if !unit.is_empty() => number.to_string(),
        _ => setting.text.clone(),
    }
}

/// The cells of a point's settings.
fn settings(study: &Study, point: u64) -> Vec<String> {
    let settings = study.settings(point);
    let pairs = settings.iter().zip(&study.factors);
    pairs.map(|(of, factor)| setting(of, factor.unit)).collect()
}

/// Heads of `points.csv`.
#[must_use]
pub fn point_heads(study: &Study) -> Vec<String> {
    let mut heads = vec!["point".to_string()];
    heads.extend(factors(study));
    heads.extend(["replications".to_string(), "unfinished".to_string()]);
    for measure in &study.measures {
        let info = measure.info();
        heads.extend([
            head(info),
            format!("{} half_width_95 [{}]", info.name, info.unit),
            format!("{} n", info.name),
        ]);
    }
    for target in &study.targets {
        let info = target.measure.info();
        let kept = format!(
            "share of evenings with {} {}",
            info.name,
            target.limit.words(info)
        );
        heads.extend([
            format!("{kept} [1]"),
            format!("{kept} low_95 [1]"),
            format!("{kept} high_95 [1]"),
        ]);
    }
    heads
}

/// A row of `points.csv`.
#[must_use]
pub fn point_row(study: &Study, played: &Played) -> Vec<String> {
    let replications = &played.replications;
    let unfinished = replications
        .iter()
        .filter(|played| !played.finished)
        .count();
    let mut row = vec![played.point.to_string()];
    row.extend(settings(study, played.point));
    row.extend([replications.len().to_string(), unfinished.to_string()]);
    for measure in 0..study.measures.len() {
        let estimate = summary::estimate(replications, measure);
        row.extend([
            cell(estimate.mean),
            cell(estimate.half_width),
            estimate.n.to_string(),
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
            cell(share),
            cell(interval.map(|ends| ends.0)),
            cell(interval.map(|ends| ends.1)),
        ]);
    }
    row
}

/// The estimates in a row of `points.csv`.
#[must_use]
pub fn estimates(study: &Study, row: &[String]) -> Vec<Cell> {
    let first = study.factors.len() + 3;
    let text = |at: usize| row.get(at).map_or("", String::as_str);
    let of = |measure: usize| {
        let at = first + 3 * measure;
        Cell {
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

/// Whether a row of `points.csv` keeps every target, by its estimates. Evenings that were not finished leave
/// out what was not done: such a point keeps none.
#[must_use]
pub fn keeps(study: &Study, row: &[String]) -> bool {
    let number = |at: usize| row.get(at).and_then(|text| text.parse::<f64>().ok());
    let first = study.factors.len() + 3;
    let shares = first + 3 * study.measures.len();
    let finished = unfinished(study, row) == 0;
    let mut targets = study.targets.iter().enumerate();
    finished
        && targets.all(|(index, target)| match target.in_share {
            Some(least) => number(shares + 3 * index).is_some_and(|share| share >= least),
            None => {
                let column = study.measures.iter().position(|m| *m == target.measure);
                let mean = column.and_then(|column| number(first + 3 * column));
                mean.is_some_and(|mean| target.limit.holds(mean))
            }
        })
}

/// Heads of `replications.csv`.
#[must_use]
pub fn replication_heads(study: &Study) -> Vec<String> {
    let mut heads = vec!["point".to_string()];
    heads.extend(factors(study));
    heads.extend(["replication".to_string(), "finished".to_string()]);
    heads.extend(study.measures.iter().map(|measure| head(measure.info())));
    heads
}

/// Rows of `replications.csv`.
#[must_use]
pub fn replication_rows(study: &Study, played: &Played) -> Vec<Vec<String>> {
    let settings = settings(study, played.point);
    let row = |replication: &Replication| {
        let mut row = vec![played.point.to_string()];
        row.extend(settings.iter().cloned());
        row.extend([
            replication.number.to_string(),
            replication.finished.to_string(),
        ]);
        row.extend(replication.values.iter().map(|value| cell(*value)));
        row
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

/// Heads of `one-at-a-time.csv`.
pub const ALONE_HEADS: [&str; 10] = [
    "factor",
    "setting",
    "measure",
    "unit",
    "n",
    "mean",
    "half_width_95",
    "difference_from_base",
    "difference_half_width_95",
    "meaning",
];

/// Rows of `one-at-a-time.csv`, from the replications of the points of the tornado, in order.
#[must_use]
pub fn alone_rows(study: &Study, alone: &[Vec<Replication>]) -> Vec<Vec<String>> {
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
                name.to_string(),
                level
                    .as_ref()
                    .map_or_else(String::new, |level| level.text.clone()),
                info.name.to_string(),
                info.unit.to_string(),
                estimate.n.to_string(),
                cell(estimate.mean),
                cell(estimate.half_width),
                cell(difference),
                cell(half_width),
                info.meaning.to_string(),
            ]);
        }
    }
    rows
}
