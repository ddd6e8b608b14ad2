//! Rules of working hours that contradict each other.

use super::{Clash, Sums};
use crate::scenario::units::DAY_S;

/// Reports rules that cannot be kept together, or say nothing.
pub fn check(sums: &mut Sums<'_>) {
    let Some(rules) = sums.scenario.rules.clone() else {
        return;
    };
    if let (Some(least), None) = (rules.break_at_least_s, rules.stretch_at_most_s) {
        let title = format!(
            "a least break of {} says nothing without a longest stretch",
            minutes(least)
        );
        sums.wrong(
            Clash::new(title, "rules.break_at_least", "no stretch for it to end")
                .help("write how long a stretch without a break may be, such as stretch_at_most = \"6 h\""),
        );
    }
    if let (Some(least), Some(most)) = (rules.break_at_least_s, rules.shift_at_most_s)
        && least >= most
    {
        sums.wrong(
            Clash::new(
                "the least break is as long as the longest shift",
                "rules.break_at_least",
                minutes(least),
            )
            .with("rules.shift_at_most", hours(most))
            .help("let the break be shorter than the shift"),
        );
    }
    if let (Some(shift), Some(rest)) = (rules.shift_at_most_s, rules.rest_at_least_s)
        && shift + rest > DAY_S
    {
        let title = format!(
            "a shift of {} leaves no rest of {} before the next day's",
            hours(shift),
            hours(rest)
        );
        sums.wrong(
            Clash::new(title, "rules.rest_at_least", "the rest")
                .with("rules.shift_at_most", "the longest shift")
                .help(format!(
                    "both lie within 24 h: let the shift be at most {}, or the rest {}",
                    hours(DAY_S - rest),
                    hours(DAY_S - shift)
                )),
        );
    }
}

fn hours(s: f64) -> String {
    format!("{} h", (s / 36.0).round() / 100.0)
}

fn minutes(s: f64) -> String {
    format!("{} min", (s / 0.6).round() / 100.0)
}
