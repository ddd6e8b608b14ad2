//! What to be careful with when reading a comparison.

use super::comparison::{Alternative, Comparison};
use crate::scenario::Loaded;
use crate::service::measure::Measure;
use crate::study::evening::{Finding, Severity};
use crate::study::plan::Stop;
use crate::study::published;

/// Pairing that saves less than this share of the variance is not worth much.
const LITTLE: f64 = 0.5;

/// Gravest first.
#[must_use]
pub fn find(comparison: &Comparison, stop: Stop) -> Vec<Finding> {
    let mut found = Vec::new();
    found.extend(unfinished(comparison));
    found.extend(imprecise(comparison, stop));
    for alternative in &comparison.alternatives {
        found.extend(other_guests(comparison, alternative));
        found.extend(saves_little(comparison, alternative));
    }
    found.sort_by_key(|finding| finding.severity);
    found
}

/// Temperatures outside a published limit, each said of the first scenario that has it.
#[must_use]
pub fn outside_limits(scenarios: &[Loaded]) -> Vec<Finding> {
    let mut found: Vec<Finding> = Vec::new();
    for loaded in scenarios {
        for mut finding in published::find(&loaded.scenario) {
            let said = |other: &Finding| other.evidence.ends_with(&finding.evidence);
            if !found.iter().any(said) {
                finding.evidence = format!("{}: {}", loaded.name, finding.evidence);
                found.push(finding);
            }
        }
    }
    found
}

/// Evenings that were cut off make every figure of them too small.
fn unfinished(comparison: &Comparison) -> Option<Finding> {
    let others = comparison.alternatives.iter().map(|other| &other.side);
    let cut: Vec<String> = std::iter::once(&comparison.base)
        .chain(others)
        .filter(|side| side.unfinished > 0)
        .map(|side| format!("{} of `{}`", side.unfinished, side.name))
        .collect();
    (!cut.is_empty()).then(|| Finding {
        code: "unfinished",
        severity: Severity::Problem,
        evidence: format!(
            "of {} evenings these were cut off at the give-up limit with work left to do: {}; \
             differences may come from that",
            comparison.replications,
            cut.join(", ")
        ),
        advice: "raise `service.give_up_after`, or compare scenarios that end".into(),
    })
}

fn imprecise(comparison: &Comparison, stop: Stop) -> Option<Finding> {
    let Stop::Precise {
        measure, relative, ..
    } = stop
    else {
        return None;
    };
    let name = measure.info().name;
    let wide: Vec<String> = comparison
        .alternatives
        .iter()
        .filter(|other| !other.differences[measure as usize].is_known_to(relative))
        .map(|other| format!("`{}`", other.side.name))
        .collect();
    (!wide.is_empty() && !comparison.interrupted).then(|| Finding {
        code: "precision-not-met",
        severity: Severity::Warning,
        evidence: format!(
            "after {} evenings the difference in `{name}` is not known to {} % of the base's mean for {}",
            comparison.replications,
            100.0 * relative,
            wide.join(", ")
        ),
        advice: "allow more evenings with -n, or ask for less precision; a measure without a value in \
                 the base cannot be used"
            .into(),
    })
}

/// Without the same guests the evenings are not the same evenings.
fn other_guests(comparison: &Comparison, alternative: &Alternative) -> Option<Finding> {
    let of_demand = ["guests", "menu", "soiled", "soiled_log", "backlog"];
    let top = |path: &str| {
        let end = path.find(['.', '[', ' ']).unwrap_or(path.len());
        path[..end].to_owned()
    };
    let mut changed: Vec<String> = alternative
        .changes
        .iter()
        .map(|change| top(&change.path))
        .filter(|top| of_demand.contains(&top.as_str()))
        .collect();
    changed.dedup();
    (!changed.is_empty()).then(|| Finding {
        code: "other-guests",
        severity: Severity::Note,
        evidence: format!(
            "`{}` and `{}` differ in who comes and what they use ({}): differences between them are \
             not due to the dish room alone",
            comparison.base.name,
            alternative.side.name,
            changed.join(", ")
        ),
        advice: "give both the same guests to see what a change of the dish room does".into(),
    })
}

/// Where pairing saves little, more evenings are needed for the same precision.
fn saves_little(comparison: &Comparison, alternative: &Alternative) -> Option<Finding> {
    let saved_little = |measure: &Measure| {
        let difference = &alternative.differences[*measure as usize];
        let (saved, most) = (difference.saved?, difference.saved_at_most?);
        (saved < LITTLE && difference.sd? > 0.0).then(|| {
            format!(
                "`{}` {:.0} % (at most {:.0} % could be)",
                measure.info().name,
                100.0 * saved,
                100.0 * most
            )
        })
    };
    let little: Vec<String> = comparison
        .headline
        .iter()
        .filter_map(saved_little)
        .collect();
    (!little.is_empty()).then(|| Finding {
        code: "pairing-saves-little",
        severity: Severity::Note,
        evidence: format!(
            "of the variance of the difference to `{}` pairing saved less than half in {}",
            alternative.side.name,
            little.join(", ")
        ),
        advice:
            "a scenario that hardly varies in a measure leaves nothing to pair; the intervals are \
                 right all the same"
                .into(),
    })
}
