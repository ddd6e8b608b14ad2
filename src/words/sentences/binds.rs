//! What binds first in the peak, on the sheet.

use crate::words::text::{capital, listed};

/// What the sentence of what binds ends with where all is well.
pub const NOTHING_OVER: &str = " Over the hour nothing is over capacity.";

/// The unit of what people can do.
pub const HOURS: &str = "hours of work";

/// What can do so much.
#[derive(Debug, Clone, Copy)]
pub enum Capacity {
    /// Places where people work.
    Places(u32),
    /// Soak sinks.
    Sinks(u32),
    /// Places where ware lies.
    Lying(u32),
    /// Machines.
    Machines(u32),
    /// Places of a landing.
    Landing(u32),
    /// Racks of a kind.
    Racks(u32),
}

/// A station, a machine or racks: units per hour needed and possible, and the share of the one in the other.
pub fn by_station(
    name: &str,
    unit: &str,
    [needed, can]: [f64; 2],
    capacity: Capacity,
    share: Option<f64>,
) -> String {
    let (of, several) = match capacity {
        Capacity::Places(1) => ("its one place".to_owned(), false),
        Capacity::Lying(places) => (format!("its {places} places"), false),
        Capacity::Places(places) => (format!("its {places} places"), false),
        Capacity::Sinks(sinks) => (format!("{sinks} sinks"), true),
        Capacity::Machines(machines) => ("rated speed".to_owned(), machines > 1),
        Capacity::Landing(places) => (format!("its {places} rack places"), false),
        Capacity::Racks(racks) => (format!("a fleet of {racks}"), true),
    };
    format!(
        "{} {}: {needed:.0} {unit} per hour are needed, and {of} can do {can:.0} ({}).{}",
        capital(name),
        head(share, several),
        percent(share),
        tail(share)
    )
}

/// People: how many these duties need, and the work of how many those who are there can do.
pub fn by_people(
    duties: &[&str],
    operators: &[&str],
    [needed, there]: [f64; 2],
    share: Option<f64>,
) -> String {
    let duties = listed(duties);
    if share.is_none() {
        return format!(
            "Nobody who is there in the peak has the duty {duties}, which needs {needed:.1} people."
        );
    }
    format!(
        "The work of {duties} {}: it needs {needed:.2} people, and {} can do the work of {there:.2} ({}).{}",
        head(share, false),
        listed(operators),
        percent(share),
        tail(share)
    )
}

/// What it does: of one, of several.
fn head(share: Option<f64>, several: bool) -> &'static str {
    match (is_over(share), several) {
        (true, false) => "binds first in the peak",
        (true, true) => "bind first in the peak",
        (false, false) => "is the fullest part of the peak",
        (false, true) => "are the fullest part of the peak",
    }
}

/// `63 %`, or what no capacity reads like.
fn percent(share: Option<f64>) -> String {
    share.map_or_else(
        || "nothing is there to do it".to_owned(),
        |share| format!("{:.0} %", 100.0 * share),
    )
}

fn tail(share: Option<f64>) -> &'static str {
    if is_over(share) { "" } else { NOTHING_OVER }
}

/// More than all of it, or something where nothing can be done.
fn is_over(share: Option<f64>) -> bool {
    share.is_none_or(|share| share > 1.0)
}
