//! A warning where figures of the design chosen rest on a few evenings.
//!
//! The procedure takes data of any shape, but it cannot know more of rare evenings than it has seen of them.
//! Where a handful hold half of the spread of a figure, and move it by an amount that matters, its user should
//! know.

use super::rules::Chosen;
use crate::service::measure::Measure;
use crate::statistics::likelihood::hold_half_of_spread;
use crate::study::evening::{Finding, Severity};
use crate::study::replications::Replication;
use crate::words::findings::choice::rests_on_few;
use crate::words::measures::label;

/// Fewer evenings than this that hold half of the spread are few.
const FEW: usize = 10;
/// They matter when they move the mean by this share of the indifference or the tolerance.
const MATTERS: f64 = 0.25;

/// Of the measure that is sought, and of every target in the mean.
pub(super) fn find(chosen: &Chosen, played: &[Replication]) -> Vec<Finding> {
    let sought = (chosen.column, chosen.rule.measure, chosen.rule.indifference);
    let means = chosen.targets.iter().filter_map(|(column, target)| {
        let in_the_mean = target.in_share.is_none();
        in_the_mean.then_some((*column, target.measure, target.tolerance?))
    });
    let all = std::iter::once(sought).chain(means);
    let found = all.filter_map(|(column, measure, amount)| {
        let value = |one: &Replication| one.values.get(column).copied().flatten();
        let values: Vec<f64> = played.iter().filter_map(value).collect();
        few(&values, amount).map(|few| warning(measure, few, values.len(), chosen.rule.rarest))
    });
    found.collect()
}

/// How many evenings hold half of the spread, if they are few and move the mean by enough to matter.
fn few(values: &[f64], amount: f64) -> Option<usize> {
    let few = hold_half_of_spread(values);
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let mut farthest: Vec<f64> = values.iter().map(|value| value - mean).collect();
    farthest.sort_by(|a, b| b.abs().total_cmp(&a.abs()));
    let moved = farthest.iter().take(few).sum::<f64>().abs() / n;
    ((1..FEW).contains(&few) && moved >= MATTERS * amount).then_some(few)
}

fn warning(measure: Measure, few: usize, of: usize, rarest: f64) -> Finding {
    let said = rests_on_few(&label(measure.info()), few, of, rarest);
    Finding::new("rests-on-few-evenings", Severity::Warning, said)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_dear_evenings_are_few_and_many_are_not() {
        let with = |dear: usize| -> Vec<f64> {
            (0..400)
                .map(|i| if i < dear { 140.0 } else { 20.0 })
                .collect()
        };
        // Four evenings hold a little less than all of it.
        assert_eq!(few(&with(4), 1.0), Some(3));
        assert_eq!(few(&with(40), 1.0), None);
        assert_eq!(few(&with(0), 1.0), None);
        // They move the mean by 0.9: nothing to somebody who does not care about 5.
        assert_eq!(few(&with(4), 5.0), None);
        assert_eq!(few(&[], 1.0), None);
    }
}
