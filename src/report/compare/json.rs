//! One JSON document of a comparison.
//!
//! Measures come in the order of the table, under their names, in their own units and at full
//! precision. What does not exist is `null`; so is what is not finite.

use serde::Serialize;

use crate::report::ReportError;
use crate::report::json::{FindingFields, finding, pretty};
use crate::report::json_lists::{self, ByMinute, ByReplication, Named};
use crate::report::number::finite;
use crate::scenario::wording::Wording;
use crate::service::measure::Measure;
use crate::study::compare::difference::{Difference, Judged, Mean};
use crate::study::compare::{Alternative, Comparison, Side};
use crate::study::plan::LEVEL;
use crate::version;
use crate::words::tables::CAREFUL;

#[derive(Serialize)]
struct Document<'a> {
    version: &'static str,
    commit: Option<&'static str>,
    seed: u64,
    replications: u64,
    wanted: u64,
    interrupted: bool,
    currency: Option<&'a str>,
    level: f64,
    headline: Vec<&'static str>,
    judged_together: usize,
    base: Scenario<'a>,
    alternatives: Vec<Against<'a>>,
    findings: Vec<FindingFields<'a>>,
    cautions: &'static [&'static str],
}

#[derive(Serialize)]
struct Scenario<'a> {
    scenario: &'a str,
    title: &'a str,
    digest: &'a str,
    r#unsafe: bool,
    unfinished: u64,
    by_minute: ByMinute<'a>,
    by_replication: ByReplication<'a>,
}

#[derive(Serialize)]
struct Against<'a> {
    scenario: &'a str,
    title: &'a str,
    digest: &'a str,
    r#unsafe: bool,
    unfinished: u64,
    sentence: &'a str,
    changes: Vec<Changed<'a>>,
    measures: Named<'a, Figures<'a>>,
    by_minute: ByMinute<'a>,
    by_replication: ByReplication<'a>,
}

#[derive(Serialize)]
struct Changed<'a> {
    path: &'a str,
    label: &'a str,
    base: Option<&'a str>,
    alternative: Option<&'a str>,
}

#[derive(Serialize)]
struct Figures<'a> {
    unit: &'a str,
    base: OfMean,
    alternative: OfMean,
    difference: OfDifference,
    variance_saved_share: Option<f64>,
    variance_saved_share_at_most: Option<f64>,
    headline: Option<OfHeadline>,
}

#[derive(Serialize)]
struct OfMean {
    mean: Option<f64>,
    half_width: Option<f64>,
    n: u64,
}

#[derive(Serialize)]
struct OfDifference {
    mean: Option<f64>,
    half_width: Option<f64>,
    sd: Option<f64>,
    p_value: Option<f64>,
    pairs: u64,
}

#[derive(Serialize)]
struct OfHeadline {
    p_value_holm: Option<f64>,
    half_width_together: Option<f64>,
    too_small: Option<f64>,
    verdict: &'static str,
}

/// The document, indented, with a newline at its end.
///
/// # Errors
/// [`ReportError::Json`], which no comparison should cause.
pub fn document(comparison: &Comparison) -> Result<String, ReportError> {
    pretty(&fields(comparison))
}

fn fields(comparison: &Comparison) -> Document<'_> {
    Document {
        version: version::NUMBER,
        commit: version::COMMIT,
        seed: comparison.seed,
        replications: comparison.replications,
        wanted: comparison.wanted,
        interrupted: comparison.interrupted,
        currency: comparison.wording.currency(),
        level: LEVEL,
        headline: comparison.headline.iter().map(|m| m.info().name).collect(),
        judged_together: comparison.judged,
        base: scenario(&comparison.base, &comparison.wording),
        alternatives: comparison
            .alternatives
            .iter()
            .map(|one| against(one, &comparison.wording))
            .collect(),
        findings: comparison.findings.iter().map(finding).collect(),
        cautions: CAREFUL,
    }
}

fn scenario<'a>(side: &'a Side, wording: &'a Wording) -> Scenario<'a> {
    Scenario {
        scenario: &side.name,
        title: &side.title,
        digest: &side.digest,
        r#unsafe: side.is_unsafe(),
        unfinished: side.unfinished,
        by_minute: json_lists::by_minute(side.clock.start_s, &side.series, wording),
        by_replication: by_replication(side),
    }
}

fn against<'a>(alternative: &'a Alternative, wording: &'a Wording) -> Against<'a> {
    let changes = alternative.changes.iter().map(|change| Changed {
        path: &change.path,
        label: &change.label,
        base: change.base.as_deref(),
        alternative: change.other.as_deref(),
    });
    let measures = alternative.differences.iter();
    Against {
        scenario: &alternative.side.name,
        title: &alternative.side.title,
        digest: &alternative.side.digest,
        r#unsafe: alternative.side.is_unsafe(),
        unfinished: alternative.side.unfinished,
        sentence: &alternative.sentence,
        changes: changes.collect(),
        measures: Named(
            measures
                .map(|d| (d.measure.info().name, figures(d, wording)))
                .collect(),
        ),
        by_minute: json_lists::by_minute_against(alternative, wording),
        by_replication: by_replication(&alternative.side),
    }
}

fn by_replication(side: &Side) -> ByReplication<'_> {
    json_lists::by_replication(&side.rows, Measure::ALL.iter().map(|one| one.info()))
}

fn figures<'a>(d: &Difference, wording: &'a Wording) -> Figures<'a> {
    Figures {
        unit: wording.unit(d.measure.info().unit),
        base: mean(&d.base),
        alternative: mean(&d.other),
        difference: OfDifference {
            mean: finite(d.mean),
            half_width: finite(d.half_width),
            sd: finite(d.sd),
            p_value: finite(d.p_value),
            pairs: d.pairs,
        },
        variance_saved_share: finite(d.saved),
        variance_saved_share_at_most: finite(d.saved_at_most),
        headline: d.judged.as_ref().map(headline),
    }
}

fn mean(mean: &Mean) -> OfMean {
    OfMean {
        mean: finite(mean.mean),
        half_width: finite(mean.half_width),
        n: mean.n,
    }
}

fn headline(judged: &Judged) -> OfHeadline {
    OfHeadline {
        p_value_holm: finite(judged.p_value),
        half_width_together: finite(judged.half_width),
        too_small: finite(Some(judged.too_small)),
        verdict: judged.verdict.word(),
    }
}
