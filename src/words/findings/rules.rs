//! Findings of working hours held against the rules of the scenario.

use super::{Often, Said, often, said};
use crate::scenario::units::clock_text;

/// Stands beside every such finding.
const NO_ADVICE: &str = "the rules are the scenario's own: the law and the contract come first";

/// A stretch of a shift as planned that is too long: from when to when, s, and how long it may be.
pub struct TooLong {
    /// From, s.
    pub from_s: f64,
    /// To, s.
    pub to_s: f64,
    /// The most there may be, s.
    pub at_most_s: f64,
}

/// A stretch without a break, and the break that would end it.
pub fn stretch(row: &str, stretch: &TooLong, least_s: f64, cure: &[(f64, f64)]) -> Said {
    let breaks: Vec<String> = cure.iter().map(|(from, to)| pause(*from, *to)).collect();
    said(
        format!(
            "the roster has {row} at work from {} without a break{}: {}, and {} is the longest by [rules]",
            span(stretch),
            of_at_least(least_s),
            hours(stretch.to_s - stretch.from_s),
            hours(stretch.at_most_s)
        ),
        format!("give them `breaks = [{}]`; {NO_ADVICE}", breaks.join(", ")),
    )
}

/// A whole shift.
pub fn shift(row: &str, shift: &TooLong) -> Said {
    said(
        format!(
            "the roster has {row} there from {}: {}, and {} is the longest shift by [rules]",
            span(shift),
            hours(shift.to_s - shift.from_s),
            hours(shift.at_most_s)
        ),
        format!(
            "let `to` be {} at the latest, or share the hours between two; {NO_ADVICE}",
            clock_text(shift.from_s + shift.at_most_s)
        ),
    )
}

/// Too little rest before the same shift of the next day.
pub fn rest(row: &str, from_s: f64, to_s: f64, rest_s: f64) -> Said {
    let day_s = 86_400.0;
    said(
        format!(
            "{row} goes at {} and comes again at {} the next day: {} of rest, and [rules] asks for {}",
            clock_text(to_s),
            clock_text(from_s),
            hours(from_s + day_s - to_s),
            hours(rest_s)
        ),
        format!(
            "let `to` be {} at the latest, or let somebody else come the next day; {NO_ADVICE}",
            clock_text(from_s + day_s - rest_s)
        ),
    )
}

/// What an evening made of somebody's hours.
pub struct Worked {
    /// Longest stretch on average, h, and the most by the rules.
    pub stretch_h: Option<(f64, f64)>,
    /// Hours there on average, breaks included.
    pub present_h: f64,
}

/// Evenings in which somebody's hours broke a rule that the roster keeps.
pub fn broken(operator: &str, count: Often, worked: &Worked) -> Said {
    let stretch = worked.stretch_h.map_or_else(String::new, |(mean, most)| {
        format!(", the longest stretch without a break was {mean:.1} h ({most:.1} h by the rules)")
    });
    said(
        format!(
            "the hours of {operator} broke a rule of [rules] {}: on average {operator} was there for {:.1} h{stretch}",
            often(count),
            worked.present_h
        ),
        format!(
            "a later or a second break, fewer who stay to the end, or more hands before closing; {NO_ADVICE}"
        ),
    )
}

fn pause(from_s: f64, to_s: f64) -> String {
    format!(
        "{{ from = \"{}\", to = \"{}\" }}",
        clock_text(from_s),
        clock_text(to_s)
    )
}

fn of_at_least(least_s: f64) -> String {
    if least_s > 0.0 {
        format!(" of at least {:.0} min", least_s / 60.0)
    } else {
        String::new()
    }
}

fn span(of: &TooLong) -> String {
    format!("{} to {}", clock_text(of.from_s), clock_text(of.to_s))
}

/// To the minute: "6 h", "6 h 30 min".
fn hours(s: f64) -> String {
    let minutes = libm::round(s / 60.0);
    let (whole, rest) = (libm::floor(minutes / 60.0), minutes % 60.0);
    match (whole, rest) {
        (_, 0.0) => format!("{whole} h"),
        (0.0, _) => format!("{rest} min"),
        _ => format!("{whole} h {rest} min"),
    }
}
