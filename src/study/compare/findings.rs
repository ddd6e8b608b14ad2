//! What to be careful with when reading a comparison.

use super::comparison::{Alternative, Comparison};
use crate::scenario::Loaded;
use crate::service::measure::Measure;
use crate::study::evening::{Finding, Severity};
use crate::study::plan::Stop;
use crate::study::published;
use crate::words::findings::comparison as words;

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
        .map(|side| words::cut_off(side.unfinished, &side.name))
        .collect();
    let said = words::unfinished(comparison.replications, &cut);
    (!cut.is_empty()).then(|| Finding::new("unfinished", Severity::Problem, said))
}

fn imprecise(comparison: &Comparison, stop: Stop) -> Option<Finding> {
    let Stop::Precise {
        measure, relative, ..
    } = stop
    else {
        return None;
    };
    let wide: Vec<&str> = comparison
        .alternatives
        .iter()
        .filter(|other| !other.differences[measure as usize].is_known_to(relative))
        .map(|other| other.side.name.as_str())
        .collect();
    let said = words::not_precise(comparison.replications, measure, 100.0 * relative, &wide);
    (!wide.is_empty() && !comparison.interrupted)
        .then(|| Finding::new("precision-not-met", Severity::Warning, said))
}

/// Without the same guests the evenings are not the same evenings.
fn other_guests(comparison: &Comparison, alternative: &Alternative) -> Option<Finding> {
    let mut changed: Vec<&str> = alternative
        .changes
        .iter()
        .filter_map(|change| change.path.split(['.', '[', ' ']).next())
        .filter(|top| words::DEMAND.iter().any(|(table, _)| table == top))
        .collect();
    changed.dedup();
    let said = words::other_guests(&comparison.base.name, &alternative.side.name, &changed);
    (!changed.is_empty()).then(|| Finding::new("other-guests", Severity::Note, said))
}

/// Where pairing saves little, more evenings are needed for the same precision.
fn saves_little(comparison: &Comparison, alternative: &Alternative) -> Option<Finding> {
    let saved_little = |measure: &Measure| {
        let difference = &alternative.differences[*measure as usize];
        let (saved, most) = (difference.saved?, difference.saved_at_most?);
        let is_little = saved < LITTLE && difference.sd? > 0.0;
        is_little.then(|| words::saved(*measure, saved, most))
    };
    let little: Vec<String> = comparison
        .headline
        .iter()
        .filter_map(saved_little)
        .collect();
    let said = words::pairing_saves_little(&alternative.side.name, &little);
    (!little.is_empty()).then(|| Finding::new("pairing-saves-little", Severity::Note, said))
}
