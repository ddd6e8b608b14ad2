//! Charts of an alternative beside the base.

/// Title of both on the same axes.
pub const SIDE_BY_SIDE: &str = "Both ‹evenings›, side by side";
/// Title of their difference.
pub const DIFFERENCE: &str = "The difference, minute by minute";
/// Where their hours do not meet.
pub const NOTHING_IN_COMMON: &str = "Nothing to show: the two have no minute in common.";
/// Unit of a difference of percentages.
pub const POINTS: &str = "points";

/// Caption of both on the same axes.
#[must_use]
pub fn of_both(evenings: u64, hours_differ: bool) -> String {
    format!(
        "Lines: medians. Bands: 10th–90th percentiles of the same {evenings} ‹evenings›.{}",
        hours(hours_differ)
    )
}

/// Caption of their difference.
#[must_use]
pub fn of_difference(pairs: u64, hours_differ: bool) -> String {
    format!(
        "Line: mean difference. Band: its 95 % interval, each minute alone, from {pairs} pairs.{}",
        hours(hours_differ)
    )
}

const fn hours(differ: bool) -> &'static str {
    if differ {
        " Dashed: the hours of both."
    } else {
        ""
    }
}

/// What the difference is of, for a screen reader.
#[must_use]
pub fn less(other: &str, base: &str) -> String {
    format!("{other} less {base}")
}

/// The same below the title.
#[must_use]
pub fn less_below(other: &str, base: &str) -> String {
    format!("{other}, less {base}")
}

/// Panels by the name of their series, with what is counted.
pub const PANELS: [(&str, &str); 3] = [
    ("soiled_waiting", "Soiled, waiting for the machine"),
    ("dried_on_share", "Dried on, of the pieces waiting"),
    ("racks_waiting", "Filled racks waiting for the machine"),
];

/// Heading of a panel of a ware.
#[must_use]
pub fn left_in_store(ware: &str) -> String {
    format!("{ware} left in the store")
}
