//! Findings of a comparison.

use super::{Said, said};

/// One side of a comparison, with how many of its evenings were cut off.
pub fn cut_off(count: u64, side: &str) -> String {
    format!("{count} of `{side}`")
}

/// Evenings that were cut off, side by side.
pub fn unfinished(evenings: u64, cut: &[String]) -> Said {
    said(
        format!(
            "of {evenings} ‹evenings› these were cut off at the give-up limit with work left to do: {}; \
             differences may come from that",
            cut.join(", ")
        ),
        "raise `service.give_up_after`, or compare scenarios that end",
    )
}

/// A run that reached its cap before the precision asked for, for these alternatives.
pub fn not_precise(evenings: u64, measure: &str, asked: f64, alternatives: &[&str]) -> Said {
    let names: Vec<String> = alternatives
        .iter()
        .map(|name| format!("`{name}`"))
        .collect();
    said(
        format!(
            "after {evenings} ‹evenings› the difference in `{measure}` is not known to {asked} % of the base's \
             mean for {}",
            names.join(", ")
        ),
        "allow more ‹evenings› with -n, or ask for less precision; a measure without a value in the base cannot \
         be used",
    )
}

/// Scenarios whose guests differ.
pub fn other_guests(base: &str, other: &str, tables: &[String]) -> Said {
    said(
        format!(
            "`{base}` and `{other}` differ in who comes and what they use ({}): differences between them are \
             not due to the dish room alone",
            tables.join(", ")
        ),
        "give both the same guests to see what a change of the dish room does",
    )
}

/// A share of the variance that pairing saved, and how much it could be at most.
pub fn saved(measure: &str, share: f64, most: f64) -> String {
    format!(
        "`{measure}` {:.0} % (at most {:.0} % could be)",
        100.0 * share,
        100.0 * most
    )
}

/// Pairing that saves little, measure by measure.
pub fn pairing_saves_little(other: &str, little: &[String]) -> Said {
    said(
        format!(
            "of the variance of the difference to `{other}` pairing saved less than half in {}",
            little.join(", ")
        ),
        "a scenario that hardly varies in a measure leaves nothing to pair; the intervals are right all the \
         same",
    )
}
