//! Charts of an alternative beside the base.

/// Title of both on the same axes.
pub const SIDE_BY_SIDE: &str = "Both ‹evenings›, side by side";
/// Title of their difference.
pub const DIFFERENCE: &str = "The difference, minute by minute";
/// Title of all alternatives at once.
pub const ALL: &str = "All alternatives, side by side";
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

/// What marks above a panel are, of planned breaks and of shifts that end.
#[must_use]
pub const fn of_absences(any: (bool, bool)) -> &'static str {
    match any {
        (true, true) => " Bar above: a break. Triangle: a shift ends.",
        (true, false) => " Bar above: a break.",
        (false, true) => " Triangle: a shift ends.",
        (false, false) => "",
    }
}

/// Caption of their difference.
#[must_use]
pub fn of_difference(pairs: u64, hours_differ: bool) -> String {
    format!(
        "Line: mean difference. Band: its 95 % interval, each minute alone, from {pairs} pairs.{}",
        hours(hours_differ)
    )
}

/// What all alternatives are of.
#[must_use]
pub fn all_of(base: &str, alternatives: usize) -> String {
    format!("{base}, and {alternatives} alternatives")
}

/// Caption of all alternatives at once.
#[must_use]
pub fn of_all(evenings: u64, shown: usize, all: usize) -> String {
    let first = if shown < all {
        format!(" The first {shown} of {all} measures.")
    } else {
        String::new()
    };
    format!(
        "Dot: mean; filled: differs from the base. Line: 10th–90th percentile of {evenings} ‹evenings›.{first}"
    )
}

/// The base's row.
#[must_use]
pub fn base(name: &str) -> String {
    format!("{name} (base)")
}

/// What is wrong with a scenario, whatever it saves.
#[must_use]
pub fn wrong_with(is_cold: bool, unfinished: u64, evenings: u64) -> String {
    match (is_cold, unfinished) {
        (false, 0) => String::new(),
        (true, 0) => "Unsafe".to_owned(),
        (false, n) => format!("{n} of {evenings} unfinished"),
        (true, n) => format!("Unsafe, {n} unfinished"),
    }
}

/// The same with the scenario's name, where there is one line for both.
#[must_use]
pub fn wrong_name(wrong: &str, name: &str) -> String {
    format!("{wrong}: {name}")
}

/// Files that are named, at most.
const FILES: usize = 4;

/// The files of a comparison, the base first, for small print: all of a few, else the base and how many others.
#[must_use]
pub fn files(names: &[&str]) -> String {
    match names {
        [base, others @ ..] if names.len() > FILES => {
            format!("{base} and {} others", others.len())
        }
        _ => names.join(", "),
    }
}

/// A mean and what may be claimed of its difference from the base.
#[must_use]
pub fn judged(mean: &str, verdict: &str) -> String {
    format!("{mean}, {verdict}")
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
