//! Findings of temperatures outside published limits, and the caution that goes with all temperatures.

use super::{Said, said};
use crate::words::text::{fahrenheit, listed};

/// Stands wherever temperatures are set or reported.
pub const CAUTION: &str = "Planning figures are no proof of sanitation: the data plate of the machine, \
    the local code and licensed practice come first.";

/// A set point.
pub const SET_POINT: &str = "set point";
/// A minimum.
pub const MINIMUM: &str = "minimum";

/// Water on the ware behind the last water.
pub fn zones_out_of_order(machine: &str, kind: &str, zone: &str) -> Said {
    said(
        format!("{machine}: racks meet the {kind} \"{zone}\" behind the final rinse."),
        "give zones in the order in which racks meet them; a variant adds new ones at the end",
    )
}

/// A temperature outside a published limit.
pub fn outside_limit(machine: &str, what: &str, zone: &str, c: f64, breach: &str) -> Said {
    said(
        format!(
            "{machine}: the {what} of \"{zone}\", {}, is {breach}.",
            in_words(c)
        ),
        "check the data plate of the machine and the local code: they come first",
    )
}

/// A compartment of the pot sink that is too cold.
pub fn sink_cold(compartment: &str, c: f64, breach: &str) -> Said {
    said(
        format!(
            "pot sink: the {compartment} compartment, at {}, is {breach}.",
            in_words(c)
        ),
        "check the label of the chemical and the local code: they come first",
    )
}

/// Too short a time in the sanitising compartment.
pub fn sink_contact(s: f64, breach: &str) -> Said {
    said(
        format!("pot sink: {s} s in the sanitising compartment are {breach}."),
        "check the label of the chemical and the local code: they come first",
    )
}

/// A pre-wash that sets soil on the ware.
pub fn pre_wash_hot(machine: &str, zone: &str, c: f64) -> Said {
    said(
        format!(
            "{machine}: \"{zone}\" pre-washes at {}; water above 45 °C (113 °F) sets starch and protein on the \
             ware (two trade pages).",
            in_words(c)
        ),
        "35 to 40 °C (95 to 104 °F) is common practice",
    )
}

/// People with duties on both sides, by their rows of the roster.
pub fn hands_between(people: &[&str]) -> Said {
    let verb = if people.len() == 1 { "has" } else { "have" };
    said(
        format!(
            "{} {verb} duties on the soiled and on the clean side. Hands are washed in between (Food Code 2-301.14), \
             for 20 s (2-301.12, from memory). That time is in no figure here.",
            listed(people)
        ),
        "write `[hands]` with the time and the place of the sink, or give one side to each",
    )
}

/// A machine that nobody cleans at the end.
pub fn not_cleaned() -> Said {
    said(
        "nobody cleans the machine: there is no close-down. The Food Code (4-501.14) asks for it before use, during \
         the day as needed, and at least every 24 hours"
            .to_owned(),
        "write the tasks under `[[close_down]]`, or include library/daily-routine.toml",
    )
}

/// A temperature in both units, to a tenth.
fn in_words(c: f64) -> String {
    format!("{c:.1} °C ({:.1} °F)", fahrenheit(c))
}
