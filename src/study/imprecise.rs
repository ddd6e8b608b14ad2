//! The finding that a run reached its cap before the precision asked for.

use super::evening::{Evening, Finding, Severity};
use super::plan::{Plan, Stop};

/// What is to be said of a plan that was to stop at a precision; nothing if it did, or was interrupted.
#[must_use]
pub fn find(plan: &Plan, evening: &Evening) -> Option<Finding> {
    let Stop::Precise {
        measure, relative, ..
    } = plan.stop
    else {
        return None;
    };
    let name = measure.info().name;
    let estimate = &evening.measures[measure as usize];
    let asked = 100.0 * relative;
    let (evidence, advice) = match (estimate.mean, estimate.half_width) {
        (Some(mean), Some(half_width)) if half_width > relative * mean.abs() => (
            format!(
                "the half-width of `{name}` is {} of its mean after {} evenings, not {asked} %",
                share(half_width, mean),
                evening.replications
            ),
            "allow more evenings with -n, or ask for less precision",
        ),
        (Some(_), Some(_)) => return None,
        _ => (
            format!(
                "`{name}` had a value in {} of {} evenings, too few for an interval",
                estimate.n, evening.replications
            ),
            "choose a measure of a part that the scenario has with --on",
        ),
    };
    (!evening.interrupted).then(|| Finding {
        code: "precision-not-met",
        severity: Severity::Warning,
        evidence,
        advice: advice.into(),
    })
}

/// A half-width as a percentage of the mean; of a mean of 0 there is none.
fn share(half_width: f64, mean: f64) -> String {
    let share = 100.0 * half_width / mean.abs();
    if share.is_finite() {
        format!("{share:.2} %")
    } else {
        "no share".into()
    }
}
