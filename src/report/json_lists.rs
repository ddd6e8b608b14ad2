//! Objects and lists of JSON documents: keys in our order, and lists each on a line of its own with what `replications.csv` and `series.csv` have, by column.
//!
//! The entries of all lists of one object belong together: the n-th of each are of the same replication, or of the same
//! minute.

use serde::ser::Error;
use serde::{Serialize, Serializer};

use super::compare::tables_csv::difference_at;
use super::number::finite;
use super::tables_csv::{clock, length};
use crate::scenario::wording::Wording;
use crate::service::measure::MeasureInfo;
use crate::study::compare::Alternative;
use crate::study::evening::{Band, Row};

/// A JSON object that keeps the order of its keys.
pub(super) struct Named<'a, T>(pub(super) Vec<(&'a str, T)>);

impl<T: Serialize> Serialize for Named<'_, T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}

/// A list that takes one line, however the rest is indented.
pub(super) struct List<T>(Vec<T>);

impl<T: Serialize> Serialize for List<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let line = serde_json::value::to_raw_value(&self.0).map_err(S::Error::custom)?;
        line.serialize(serializer)
    }
}

fn numbers(values: impl IntoIterator<Item = Option<f64>>) -> List<Option<f64>> {
    List(values.into_iter().map(finite).collect())
}

/// Every finished replication: its number, whether it came to its end, its measures.
#[derive(Serialize)]
pub(super) struct ByReplication<'a> {
    replication: List<u64>,
    finished: List<bool>,
    measures: Named<'a, List<Option<f64>>>,
}

/// Rows of replications as columns, named as the measures are.
pub(super) fn by_replication<'a>(
    rows: &[Row],
    infos: impl Iterator<Item = &'a MeasureInfo>,
) -> ByReplication<'a> {
    let column = |at: usize| {
        rows.iter()
            .map(move |row| row.values.get(at).copied().flatten())
    };
    ByReplication {
        replication: List(rows.iter().map(|row| row.replication).collect()),
        finished: List(rows.iter().map(|row| row.finished).collect()),
        measures: Named(
            infos
                .enumerate()
                .map(|(at, info)| (info.name, numbers(column(at))))
                .collect(),
        ),
    }
}

/// What is counted each minute, from the start on.
#[derive(Serialize)]
pub(super) struct ByMinute<'a> {
    start: String,
    series: Named<'a, Series<'a>>,
}

/// One series over the replications; in an alternative of a comparison with its difference to the base.
#[derive(Serialize)]
struct Series<'a> {
    unit: &'a str,
    mean: List<Option<f64>>,
    p10: List<Option<f64>>,
    p50: List<Option<f64>>,
    p90: List<Option<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    difference: Option<Difference>,
}

#[derive(Serialize)]
struct Difference {
    mean: List<Option<f64>>,
    half_width: List<Option<f64>>,
    pairs: List<Option<u64>>,
}

/// Series from a time of day, s.
pub(super) fn by_minute<'a>(start_s: f64, bands: &'a [Band], wording: &'a Wording) -> ByMinute<'a> {
    minutes(start_s, bands, wording, |_| None)
}

/// Those of an alternative.
pub(super) fn by_minute_against<'a>(
    alternative: &'a Alternative,
    wording: &'a Wording,
) -> ByMinute<'a> {
    let side = &alternative.side;
    minutes(side.clock.start_s, &side.series, wording, |band| {
        let at = |minute| difference_at(alternative, band, minute);
        let all: Vec<_> = (0..length(band)).map(at).collect();
        Some(Difference {
            mean: numbers(all.iter().map(|at| at.as_ref()?.0)),
            half_width: numbers(all.iter().map(|at| at.as_ref()?.1)),
            pairs: List(all.iter().map(|at| Some(at.as_ref()?.2)).collect()),
        })
    })
}

fn minutes<'a>(
    start_s: f64,
    bands: &'a [Band],
    wording: &'a Wording,
    difference: impl Fn(&Band) -> Option<Difference>,
) -> ByMinute<'a> {
    let series = |band: &'a Band| {
        let series = Series {
            unit: wording.unit(band.info.unit),
            mean: numbers(band.mean.iter().copied()),
            p10: numbers(band.p10.iter().copied()),
            p50: numbers(band.p50.iter().copied()),
            p90: numbers(band.p90.iter().copied()),
            difference: difference(band),
        };
        (band.info.name.as_str(), series)
    };
    ByMinute {
        start: clock(start_s),
        series: Named(bands.iter().map(series).collect()),
    }
}
