//! The finding that a run reached its cap before the precision asked for.

use super::evening::{Evening, Finding, Severity};
use super::plan::{Plan, Stop};
use crate::words::findings::evening as words;
use crate::words::measures::label;

/// What is to be said of a plan that was to stop at a precision; nothing if it did, or was interrupted.
#[must_use]
pub fn find(plan: &Plan, evening: &Evening) -> Option<Finding> {
    let Stop::Precise {
        measure, relative, ..
    } = plan.stop
    else {
        return None;
    };
    let name = &label(measure.info());
    let estimate = &evening.measures[measure as usize];
    let asked = 100.0 * relative;
    let said = match (estimate.mean, estimate.half_width) {
        (Some(mean), Some(half_width)) if half_width > relative * mean.abs() => {
            words::not_precise(name, [half_width, mean], evening.replications, asked)
        }
        (Some(_), Some(_)) => return None,
        _ => words::no_interval(name, estimate.n, evening.replications),
    };
    let finding = Finding::new("precision-not-met", Severity::Warning, said);
    (!evening.interrupted).then_some(finding)
}
