//! Findings of a choice.

use super::{Said, said};

/// A figure that rests on a few evenings.
pub fn rests_on_few(measure: &str, few: usize, of: usize, rarest: f64) -> Said {
    let (evenings, hold) = if few == 1 {
        ("‹evening›", "holds")
    } else {
        ("‹evenings›", "hold")
    };
    said(
        format!(
            "{few} {evenings} of {of} {hold} half of the spread of the {measure}, and move its mean by an amount \
             that matters"
        ),
        format!(
            "the confidence holds for what happens in at least {} % of the ‹evenings›; for rarer events set \
             `rarest` lower, or look at those ‹evenings›",
            100.0 * rarest
        ),
    )
}
