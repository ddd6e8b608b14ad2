//! Findings of a comparison.

use super::{Said, said};
use crate::service::measure::Measure;
use crate::words::measures::label;

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
pub fn not_precise(evenings: u64, measure: Measure, asked: f64, alternatives: &[&str]) -> Said {
    let names: Vec<String> = alternatives
        .iter()
        .map(|name| format!("`{name}`"))
        .collect();
    said(
        format!(
            "after {evenings} ‹evenings› the difference in {} is not known to {asked} % of the base's mean \
             for {}",
            label(measure.info()),
            names.join(", ")
        ),
        "allow more ‹evenings› with -n, or ask for less precision; a measure without a value in the base cannot \
         be used",
    )
}

/// The tables of what comes, by name, in words.
pub const DEMAND: [(&str, &str); 5] = [
    ("guests", "guests"),
    ("menu", "the menu"),
    ("soiled", "soiled ware that comes by itself"),
    ("soiled_log", "the log of soiled ware"),
    ("backlog", "what waits at the start"),
];

/// Scenarios whose guests differ.
pub fn other_guests(base: &str, other: &str, tables: &[&str]) -> Said {
    let is_changed = |(table, _): &&(&str, &'static str)| tables.contains(table);
    let words: Vec<&str> = DEMAND.iter().filter(is_changed).map(|row| row.1).collect();
    said(
        format!(
            "`{base}` and `{other}` differ in who comes and what they use ({}): differences between them are \
             not due to the dish room alone",
            words.join(", ")
        ),
        "give both the same guests to see what a change of the dish room does",
    )
}

/// A share of the variance that pairing saved, and how much it could be at most.
pub fn saved(measure: Measure, share: f64, most: f64) -> String {
    // Nothing has no sign.
    let percent = |share: f64| libm::round(100.0 * share) + 0.0;
    format!(
        "{} ({:.0} % of at most {:.0} %)",
        label(measure.info()),
        percent(share),
        percent(most)
    )
}

/// Pairing that saves little, measure by measure.
pub fn pairing_saves_little(other: &str, little: &[String]) -> Said {
    said(
        format!(
            "of the variance of the difference to `{other}` pairing saved less than half in {}",
            little.join("; ")
        ),
        "a scenario that hardly varies in a measure leaves nothing to pair; the intervals are right all the \
         same",
    )
}
