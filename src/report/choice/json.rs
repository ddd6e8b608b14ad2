//! One JSON document of a choice. What does not exist is `null`; so is what is not finite.

use serde::Serialize;

use super::super::ReportError;
use super::super::json::{FindingFields, finding, pretty};
use super::super::number::finite;
use super::super::units::Units;
use super::{Choice, Chosen, End, Rival, Shown, fate, guarantee, label, lacks, sentence};
use crate::scenario::wording::Wording;
use crate::statistics::selection::Fate;
use crate::study::choose::Design;
use crate::study::design::wanted::{Limit, Target};
use crate::study::swept::Cell;
use crate::version;
use crate::words::tables::CAREFUL;

#[derive(Serialize)]
struct Document<'a> {
    version: &'static str,
    commit: Option<&'static str>,
    study: &'a str,
    title: &'a str,
    digest: String,
    seed: u64,
    /// `chosen`, `none-meets`, `undecided` or `interrupted`.
    verdict: &'static str,
    sentence: String,
    currency: Option<&'a str>,
    guarantee: String,
    measure: &'static str,
    seeks: &'static str,
    rarest: f64,
    evenings_to_see: u64,
    indifference: f64,
    confidence: f64,
    error_each: f64,
    evenings: u64,
    equal_allocation: Option<u64>,
    equal_allocation_each: Option<u64>,
    chosen: Option<u64>,
    runner_up: Option<Other>,
    closest_cheaper: Option<Other>,
    closest: Option<Other>,
    targets: Vec<Wanted<'a>>,
    designs: Vec<One<'a>>,
    findings: Vec<FindingFields<'a>>,
    cautions: &'static [&'static str],
}

#[derive(Serialize)]
struct Other {
    point: u64,
    lacks: String,
    difference: Option<f64>,
    difference_half_width: Option<f64>,
    misses: Vec<Missed>,
}

#[derive(Serialize)]
struct Missed {
    target: usize,
    by: Option<f64>,
}

#[derive(Serialize)]
struct Wanted<'a> {
    measure: &'static str,
    unit: &'a str,
    at_most: Option<f64>,
    at_least: Option<f64>,
    #[serde(rename = "in")]
    in_share: Option<f64>,
    tolerance: Option<f64>,
}

#[derive(Serialize)]
struct One<'a> {
    point: u64,
    label: String,
    settings: Vec<&'a str>,
    fate: &'static str,
    missed_target: Option<usize>,
    beaten_by: Option<u64>,
    evenings: u64,
    unfinished: u64,
    difference: Option<f64>,
    difference_half_width: Option<f64>,
    measures: std::collections::BTreeMap<&'static str, Figures<'a>>,
    targets: Vec<Found>,
}

#[derive(Serialize)]
struct Figures<'a> {
    unit: &'a str,
    mean: Option<f64>,
    half_width: Option<f64>,
    n: u64,
}

#[derive(Serialize)]
struct Found {
    value: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
}

/// The document, indented, with a newline at its end.
///
/// # Errors
/// [`ReportError::Json`], which no choice should cause.
pub fn document(chosen: &Chosen<'_>) -> Result<String, ReportError> {
    pretty(&fields(chosen))
}

/// Documents keep the units of the measures.
pub(super) const fn in_own_units(choice: &Choice) -> Shown<'_> {
    Shown {
        choice,
        units: Units::Metric,
    }
}

fn fields<'a>(of: &Chosen<'a>) -> Document<'a> {
    let choice = of.choice;
    let shown = in_own_units(choice);
    let rival = |rival: &Option<Rival>| rival.as_ref().map(|rival| other(choice, rival));
    let (verdict, chosen, runner_up, closest_cheaper, closest) = match &choice.end {
        End::Chosen {
            design,
            runner_up,
            cheaper,
        } => {
            let point = choice.designs[*design].point;
            (
                "chosen",
                Some(point),
                rival(runner_up),
                rival(cheaper),
                None,
            )
        }
        End::NoneMeets(closest) => ("none-meets", None, None, None, rival(closest)),
        End::Undecided { .. } => ("undecided", None, None, None, None),
        End::Interrupted { .. } => ("interrupted", None, None, None, None),
    };
    let designs = choice.designs.iter().enumerate();
    Document {
        version: version::NUMBER,
        commit: version::COMMIT,
        study: &choice.name,
        title: &choice.title,
        digest: of.study.digest(),
        seed: choice.seed,
        verdict,
        sentence: sentence(&shown),
        currency: choice.wording.currency(),
        guarantee: guarantee(&shown),
        measure: super::sought(&shown).name,
        seeks: choice.rule.seeks.name(),
        rarest: choice.rule.rarest,
        evenings_to_see: choice.to_see,
        indifference: choice.rule.indifference,
        confidence: choice.rule.confidence,
        error_each: choice.error_each,
        evenings: choice.spent,
        equal_allocation: choice.equal_spent(),
        equal_allocation_each: choice.equal_each,
        chosen,
        runner_up,
        closest_cheaper,
        closest,
        targets: choice
            .targets
            .iter()
            .map(|target| wanted(target, &choice.wording))
            .collect(),
        findings: choice.findings.iter().map(finding).collect(),
        cautions: CAREFUL,
        designs: designs
            .map(|(index, design)| one(choice, index, design))
            .collect(),
    }
}

fn other(choice: &Choice, rival: &Rival) -> Other {
    let difference = choice.designs[rival.design].dearer;
    let missed = rival.misses.iter().map(|miss| Missed {
        target: miss.target,
        by: finite(Some(miss.by)),
    });
    Other {
        point: choice.designs[rival.design].point,
        lacks: choice
            .wording
            .said(&lacks(&in_own_units(choice), rival))
            .into_owned(),
        difference: finite(difference.and_then(|cell| cell.mean)),
        difference_half_width: finite(difference.and_then(|cell| cell.half_width)),
        misses: missed.collect(),
    }
}

fn wanted<'a>(target: &Target, wording: &'a Wording) -> Wanted<'a> {
    let (at_most, at_least) = match target.limit {
        Limit::AtMost(limit) => (Some(limit), None),
        Limit::AtLeast(limit) => (None, Some(limit)),
    };
    Wanted {
        measure: target.measure.info().name,
        unit: wording.unit(target.measure.info().unit),
        at_most,
        at_least,
        in_share: target.in_share,
        tolerance: target.tolerance,
    }
}

fn one<'a>(choice: &'a Choice, index: usize, design: &'a Design) -> One<'a> {
    let (missed_target, beaten_by) = match design.fate {
        Fate::Misses(target) => (Some(target), None),
        Fate::Beaten(by) => (None, Some(choice.designs[by].point)),
        Fate::Close(_) => (None, None),
        Fate::Contends => (None, None),
    };
    let measures = choice.measures.iter().zip(&design.measures);
    let figures = |cell: &Cell, unit| Figures {
        unit: choice.wording.unit(unit),
        mean: finite(cell.mean),
        half_width: finite(cell.half_width),
        n: cell.n,
    };
    let found = design.targets.iter().map(|seen| Found {
        value: finite(seen.value),
        low: finite(seen.low),
        high: finite(seen.high),
    });
    One {
        point: design.point,
        label: label(&in_own_units(choice), index),
        settings: design.settings.iter().map(|s| s.text.as_str()).collect(),
        fate: fate(&in_own_units(choice), index),
        missed_target,
        beaten_by,
        evenings: design.evenings,
        unfinished: design.unfinished,
        difference: finite(design.dearer.and_then(|cell| cell.mean)),
        difference_half_width: finite(design.dearer.and_then(|cell| cell.half_width)),
        measures: measures
            .map(|(measure, cell)| (measure.info().name, figures(cell, measure.info().unit)))
            .collect(),
        targets: found.collect(),
    }
}
