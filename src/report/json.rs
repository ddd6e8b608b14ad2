//! One JSON document of an evening.
//!
//! Measures come in the order of the table, under their names, in their own units and at full
//! precision. What does not exist is `null`; so is what is not finite.

use super::ReportError;
use super::json_lists::{self, ByMinute, ByReplication, Named};
use super::number::finite;
use crate::scenario::wording::Wording;
use crate::study::evening::{Effect, Estimate, Evening, Finding, GroupKind, Severity, Tried};
use crate::version;
use crate::words::tables::CAREFUL;
use serde::Serialize;

#[derive(Serialize)]
struct Document<'a> {
    version: &'static str,
    commit: Option<&'static str>,
    scenario: &'a str,
    title: &'a str,
    digest: &'a str,
    seed: u64,
    replications: u64,
    wanted: u64,
    interrupted: bool,
    unfinished: u64,
    sentence: &'a str,
    currency: Option<&'a str>,
    measures: Named<'a, Figures<'a>>,
    by_ware: Named<'a, Named<'a, Figures<'a>>>,
    by_operator: Named<'a, Named<'a, Figures<'a>>>,
    by_station: Named<'a, Named<'a, Figures<'a>>>,
    by_cost: Named<'a, Named<'a, Figures<'a>>>,
    findings: Vec<TriedFinding<'a>>,
    advice: Option<TrialFields>,
    by_minute: ByMinute<'a>,
    by_replication: ByReplication<'a>,
    cautions: &'static [&'static str],
}

/// How advice was tried; `null` if it was not asked for.
#[derive(Serialize)]
struct TrialFields {
    changes: u64,
    evenings: u64,
    screened_on: u64,
    estimated_on: u64,
    picked: u64,
    too_few_evenings: bool,
}

/// A finding with what was tried against it, the change that is advised first.
#[derive(Serialize)]
struct TriedFinding<'a> {
    #[serde(flatten)]
    finding: FindingFields<'a>,
    tried: Vec<TriedFields<'a>>,
}

#[derive(Serialize)]
struct TriedFields<'a> {
    change: &'a str,
    fate: &'static str,
    variant: &'a str,
    evenings: u64,
    p_value: Option<f64>,
    effects: Vec<EffectFields<'a>>,
}

/// With the change less without, over the evenings with a value in both.
#[derive(Serialize)]
struct EffectFields<'a> {
    measure: String,
    unit: &'a str,
    without: Option<f64>,
    difference: Option<f64>,
    half_width: Option<f64>,
    n: u64,
}

#[derive(Serialize)]
struct Figures<'a> {
    unit: &'a str,
    mean: Option<f64>,
    half_width: Option<f64>,
    sd: Option<f64>,
    p10: Option<f64>,
    p10_low: Option<f64>,
    p10_high: Option<f64>,
    p50: Option<f64>,
    p50_low: Option<f64>,
    p50_high: Option<f64>,
    p90: Option<f64>,
    p90_low: Option<f64>,
    p90_high: Option<f64>,
    n: u64,
}

#[derive(Serialize)]
pub(super) struct FindingFields<'a> {
    code: &'static str,
    severity: &'static str,
    evidence: &'a str,
    advice: &'a str,
}

/// The document, indented, with a newline at its end.
///
/// # Errors
/// [`ReportError::Json`], which no evening should cause.
pub fn document(evening: &Evening) -> Result<String, ReportError> {
    pretty(&fields(evening))
}

/// A document, indented, with a newline at its end.
///
/// # Errors
/// [`ReportError::Json`].
pub(super) fn pretty(document: &impl Serialize) -> Result<String, ReportError> {
    let text = serde_json::to_string_pretty(document).map_err(ReportError::Json)?;
    Ok(text + "\n")
}

fn fields(evening: &Evening) -> Document<'_> {
    Document {
        version: version::NUMBER,
        commit: version::COMMIT,
        scenario: &evening.name,
        title: &evening.title,
        digest: &evening.digest,
        seed: evening.seed,
        replications: evening.replications,
        wanted: evening.wanted,
        interrupted: evening.interrupted,
        unfinished: evening.unfinished,
        sentence: &evening.sentence,
        currency: evening.wording.currency(),
        measures: measures(&evening.measures, &evening.wording),
        by_ware: groups(evening, GroupKind::Ware),
        by_operator: groups(evening, GroupKind::Operator),
        by_station: groups(evening, GroupKind::Station),
        by_cost: groups(evening, GroupKind::Cost),
        findings: tried_findings(evening),
        advice: evening.trial.map(|trial| TrialFields {
            changes: trial.changes,
            evenings: trial.evenings,
            screened_on: trial.screened,
            estimated_on: trial.estimated,
            picked: trial.picked,
            too_few_evenings: trial.too_few,
        }),
        by_minute: json_lists::by_minute(evening.clock.start_s, &evening.series, &evening.wording),
        by_replication: json_lists::by_replication(
            &evening.rows,
            evening.measures.iter().map(|measure| measure.info),
        ),
        cautions: if evening.has_machine() { CAREFUL } else { &[] },
    }
}

fn tried_findings(evening: &Evening) -> Vec<TriedFinding<'_>> {
    let all = evening.findings.iter();
    all.map(|one| TriedFinding {
        finding: finding(one),
        tried: (one.tried.iter())
            .map(|one| tried(one, &evening.wording))
            .collect(),
    })
    .collect()
}

fn tried<'a>(tried: &'a Tried, wording: &'a Wording) -> TriedFields<'a> {
    let effect = |effect: &'a Effect| EffectFields {
        measure: effect.name(),
        unit: wording.unit(effect.info.unit),
        without: finite(Some(effect.without)),
        difference: finite(Some(effect.difference)),
        half_width: finite(effect.half_width),
        n: effect.n,
    };
    TriedFields {
        change: &tried.change,
        fate: tried.fate.word(),
        variant: &tried.variant,
        evenings: tried.evenings,
        p_value: finite(tried.p_value),
        effects: tried.effects.iter().map(effect).collect(),
    }
}

fn groups(evening: &Evening, kind: GroupKind) -> Named<'_, Named<'_, Figures<'_>>> {
    let of_kind = evening.groups.iter().filter(|group| group.kind == kind);
    Named(
        of_kind
            .map(|group| {
                (
                    group.name.as_str(),
                    measures(&group.measures, &evening.wording),
                )
            })
            .collect(),
    )
}

fn measures<'a>(estimates: &'a [Estimate], wording: &'a Wording) -> Named<'a, Figures<'a>> {
    Named(
        estimates
            .iter()
            .map(|e| (e.info.name, figures(e, wording)))
            .collect(),
    )
}

fn figures<'a>(e: &'a Estimate, wording: &'a Wording) -> Figures<'a> {
    Figures {
        unit: wording.unit(e.info.unit),
        mean: finite(e.mean),
        half_width: finite(e.half_width),
        sd: finite(e.sd),
        p10: finite(e.p10.value),
        p10_low: finite(e.p10.low),
        p10_high: finite(e.p10.high),
        p50: finite(e.p50.value),
        p50_low: finite(e.p50.low),
        p50_high: finite(e.p50.high),
        p90: finite(e.p90.value),
        p90_low: finite(e.p90.low),
        p90_high: finite(e.p90.high),
        n: e.n,
    }
}

pub(super) fn finding(f: &Finding) -> FindingFields<'_> {
    FindingFields {
        code: f.code,
        severity: severity(f.severity),
        evidence: &f.evidence,
        advice: &f.advice,
    }
}

/// The word for it in every output.
pub(super) const fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Problem => "problem",
        Severity::Warning => "warning",
        Severity::Note => "note",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::examples;
    use serde::Deserialize;
    use std::collections::BTreeMap;

    /// What a reader may rely on: no other keys, and none missing.
    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    #[allow(dead_code)]
    struct Read {
        version: String,
        commit: Option<String>,
        scenario: String,
        title: String,
        digest: String,
        seed: u64,
        replications: u64,
        wanted: u64,
        interrupted: bool,
        unfinished: u64,
        sentence: String,
        currency: Option<String>,
        measures: BTreeMap<String, ReadFigures>,
        by_ware: BTreeMap<String, BTreeMap<String, ReadFigures>>,
        by_operator: BTreeMap<String, BTreeMap<String, ReadFigures>>,
        by_station: BTreeMap<String, BTreeMap<String, ReadFigures>>,
        by_cost: BTreeMap<String, BTreeMap<String, ReadFigures>>,
        findings: Vec<ReadFinding>,
        advice: Option<serde_json::Value>,
        by_minute: ReadMinutes,
        by_replication: ReadReplications,
        cautions: Vec<String>,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    #[allow(dead_code)]
    struct ReadFigures {
        unit: String,
        mean: Option<f64>,
        half_width: Option<f64>,
        sd: Option<f64>,
        p10: Option<f64>,
        p10_low: Option<f64>,
        p10_high: Option<f64>,
        p50: Option<f64>,
        p50_low: Option<f64>,
        p50_high: Option<f64>,
        p90: Option<f64>,
        p90_low: Option<f64>,
        p90_high: Option<f64>,
        n: u64,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    #[allow(dead_code)]
    struct ReadFinding {
        code: String,
        severity: String,
        evidence: String,
        advice: String,
        tried: Vec<serde_json::Value>,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    struct ReadMinutes {
        start: String,
        series: BTreeMap<String, ReadSeries>,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    #[allow(dead_code)]
    struct ReadSeries {
        unit: String,
        mean: Vec<Option<f64>>,
        p10: Vec<Option<f64>>,
        p50: Vec<Option<f64>>,
        p90: Vec<Option<f64>>,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    struct ReadReplications {
        replication: Vec<u64>,
        finished: Vec<bool>,
        measures: BTreeMap<String, Vec<Option<f64>>>,
    }

    #[test]
    fn minutes_and_replications_are_those_of_the_csv() {
        let evening = examples::friday();
        let read: Read = serde_json::from_str(&document(&evening).unwrap()).unwrap();
        assert_eq!(read.by_minute.start, "16:30");
        assert_eq!(read.by_minute.series.len(), evening.series.len());
        for band in &evening.series {
            let series = &read.by_minute.series[&band.info.name];
            assert_eq!((&series.mean, &series.p50), (&band.mean, &band.p50));
        }
        let of = &read.by_replication;
        let numbers: Vec<u64> = evening.rows.iter().map(|row| row.replication).collect();
        let finished: Vec<bool> = evening.rows.iter().map(|row| row.finished).collect();
        assert_eq!((&of.replication, &of.finished), (&numbers, &finished));
        for (at, measure) in evening.measures.iter().enumerate() {
            let values: Vec<_> = evening.rows.iter().map(|row| row.values[at]).collect();
            assert_eq!(
                of.measures[measure.info.name], values,
                "{}",
                measure.info.name
            );
        }
    }

    #[test]
    fn the_keys_are_these_and_no_others() {
        let evening = examples::friday();
        let read: Read = serde_json::from_str(&document(&evening).unwrap()).unwrap();
        assert_eq!(read.scenario, "friday-rush");
        assert_eq!(read.measures.len(), evening.measures.len());
        assert_eq!(read.by_ware.len(), 5);
        assert!(read.by_cost.is_empty(), "no prices");
        assert_eq!(read.measures["water_l"].mean, None);
        assert_eq!(read.measures["covers"].mean, evening.measures[0].mean);
    }

    #[test]
    fn what_is_not_finite_is_null() {
        let mut evening = examples::friday();
        evening.measures[0].mean = Some(f64::NAN);
        evening.measures[0].half_width = Some(f64::INFINITY);
        evening.measures[0].p90.value = Some(f64::NEG_INFINITY);
        let text = document(&evening).unwrap();
        let value: serde_json::Value = serde_json::from_str(&text).unwrap();
        for key in ["mean", "half_width", "p90"] {
            assert!(value["measures"]["covers"][key].is_null(), "{key}");
        }
        assert!(!text.contains("NaN") && !text.contains("inf\""));
    }

    #[test]
    fn one_document_as_it_reads() {
        let mut evening = examples::friday();
        evening.measures.truncate(2);
        evening.groups.truncate(1);
        evening.groups[0].measures.truncate(1);
        evening.findings.truncate(1);
        evening.rows.truncate(2);
        evening.series.truncate(1);
        let band = &mut evening.series[0];
        for values in [&mut band.mean, &mut band.p10, &mut band.p50, &mut band.p90] {
            values.truncate(3);
        }
        insta::assert_snapshot!(of_any_build(&document(&evening).unwrap()));
    }

    /// The document as it would be of a build without a name.
    fn of_any_build(text: &str) -> String {
        let commit = serde_json::to_string(&version::COMMIT).unwrap();
        let own = format!(
            "\"version\": \"{}\",\n  \"commit\": {commit},",
            version::NUMBER
        );
        assert!(text.contains(&own), "{text}");
        text.replace(&own, "\"version\": …,\n  \"commit\": …,")
    }
}
