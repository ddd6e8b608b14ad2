//! The roster held against the rules of working hours: as planned, and as evenings were.
//!
//! Both are about rules that the scenario names. Which ones hold for a crew is not known here.

use super::evening::{Evening, Finding, GroupKind, Severity};
use super::plan::LEVEL;
use crate::room::Room;
use crate::scenario::model::{RosterRow, Rules, Scenario};
use crate::scenario::units::DAY_S;
use crate::service::measure::OperatorMeasure;
use crate::service::outcome::Outcome;
use crate::statistics::interval::wilson;
use crate::words::findings::Often;
use crate::words::findings::rules::{self as words, TooLong, Worked};

/// The code of a roster that cannot keep the rules.
pub(super) const PLANNED: &str = "rules-roster";
/// And of evenings that broke them.
pub(super) const BROKEN: &str = "rules-broken";
/// A break that has no least is taken to be as long as this where one is proposed, s.
const USUAL_BREAK_S: f64 = 900.0;
/// Breaks are proposed at the quarter of an hour, s.
const QUARTER_S: f64 = 900.0;
/// Broken in fewer evenings than this is a warning, not a problem.
const OFTEN: f64 = 0.05;

/// What of the roster breaks a rule though everybody goes in time.
#[must_use]
pub fn planned(scenario: &Scenario) -> Vec<Finding> {
    let Some(rules) = &scenario.rules else {
        return Vec::new();
    };
    // How long help will be there nobody knows.
    let there = |row: &&RosterRow| row.count > 0 && row.called.is_none();
    let rows = scenario.roster.iter().filter(there);
    rows.flat_map(|row| of_row(rules, row)).collect()
}

fn of_row(rules: &Rules, row: &RosterRow) -> Vec<Finding> {
    let finding = |said, key: &str| {
        Finding::new(PLANNED, Severity::Warning, said)
            .of(&row.name)
            .at(format!("roster[{}]{key}", row.name))
    };
    let mut all = Vec::new();
    if let Some(at_most_s) = rules.stretch_at_most_s {
        let too_long = stretches(rules, row)
            .into_iter()
            .find(|(from, to)| to - from > at_most_s);
        all.extend(too_long.map(|(from_s, to_s)| {
            let stretch = TooLong {
                from_s,
                to_s,
                at_most_s,
            };
            let cure = breaks_to_keep(rules, row.from_s, row.to_s);
            let least_s = rules.break_at_least_s.unwrap_or(0.0);
            let said = words::stretch(&row.name, &stretch, least_s, &cure);
            finding(said, ".breaks")
        }));
    }
    let length_s = row.to_s - row.from_s;
    if let Some(at_most_s) = rules.shift_at_most_s.filter(|most| length_s > *most) {
        let shift = TooLong {
            from_s: row.from_s,
            to_s: row.to_s,
            at_most_s,
        };
        all.push(finding(words::shift(&row.name, &shift), ".to"));
    }
    if let Some(rest_s) = rules
        .rest_at_least_s
        .filter(|rest| DAY_S - length_s < *rest)
    {
        let said = words::rest(&row.name, row.from_s, row.to_s, rest_s);
        all.push(finding(said, ".to"));
    }
    all
}

/// The stretches of a shift between breaks that count.
fn stretches(rules: &Rules, row: &RosterRow) -> Vec<(f64, f64)> {
    let least_s = rules.break_at_least_s.unwrap_or(0.0);
    let counts = row
        .breaks
        .iter()
        .filter(|pause| pause.to_s - pause.from_s >= least_s);
    let mut all = Vec::new();
    let mut from_s = row.from_s;
    for pause in counts {
        all.push((from_s, pause.from_s));
        from_s = pause.to_s;
    }
    all.push((from_s, row.to_s));
    all
}

/// The fewest breaks, at even distances, with which a shift keeps the rules: from when to when, s.
#[must_use]
pub fn breaks_to_keep(rules: &Rules, from_s: f64, to_s: f64) -> Vec<(f64, f64)> {
    let Some(at_most_s) = rules.stretch_at_most_s else {
        return Vec::new();
    };
    let length_s = rules.break_at_least_s.unwrap_or(USUAL_BREAK_S);
    let shift_s = to_s - from_s;
    let wanted = (shift_s - at_most_s) / (at_most_s + length_s);
    // A day has few; a rule of minutes is no rule to propose breaks for.
    let count = libm::ceil(wanted).clamp(0.0, 20.0);
    let stretch_s = (shift_s - count * length_s) / (count + 1.0);
    if stretch_s <= 0.0 {
        return Vec::new();
    }
    let mut all = Vec::new();
    let mut at = from_s;
    while (all.len() as f64) < count {
        let exact = at + stretch_s;
        let quarter = QUARTER_S * libm::floor(exact / QUARTER_S);
        let begins = if quarter > at { quarter } else { exact };
        all.push((begins, begins + length_s));
        at = begins + length_s;
    }
    // Rounded down each time, the last stretch may have become too long.
    if to_s - at > at_most_s {
        let even = |n: usize| from_s + (n as f64 + 1.0) * stretch_s + n as f64 * length_s;
        return (0..all.len())
            .map(|n| (even(n), even(n) + length_s))
            .collect();
    }
    all
}

/// Evenings in which the hours of somebody broke a rule that their row of the roster keeps.
#[must_use]
pub fn broken(
    scenario: &Scenario,
    room: &Room,
    evening: &Evening,
    outcomes: &[(u64, Outcome)],
) -> Vec<Finding> {
    let Some(rules) = &scenario.rules else {
        return Vec::new();
    };
    let groups = evening.groups.iter();
    let crew = groups.filter(|group| group.kind == GroupKind::Operator);
    let mut found = Vec::new();
    for (index, (operator, group)) in room.crew.iter().zip(crew).enumerate() {
        let row = &scenario.roster[operator.row];
        let measure = |of: OperatorMeasure| group.measures[of as usize].mean;
        let share = measure(OperatorMeasure::RulesBroken).unwrap_or(0.0);
        if share <= 0.0 || !of_row(rules, row).is_empty() {
            continue;
        }
        let broke = |(_, outcome): &&(u64, Outcome)| {
            outcome.operators[index][OperatorMeasure::RulesBroken as usize] == Some(1.0)
        };
        let (count, n) = (
            outcomes.iter().filter(broke).count() as u64,
            outcomes.len() as u64,
        );
        let often = Often {
            count,
            n,
            interval: wilson(count, n, LEVEL),
        };
        let worked = Worked {
            stretch_h: measure(OperatorMeasure::Stretch)
                .zip(rules.stretch_at_most_s.map(|s| s / 3600.0)),
            present_h: measure(OperatorMeasure::Present).unwrap_or(0.0),
        };
        let severity = if share < OFTEN {
            Severity::Warning
        } else {
            Severity::Problem
        };
        let said = words::broken(&operator.name, often, &worked);
        let found_here = Finding::new(BROKEN, severity, said)
            .of(&operator.name)
            .at(format!("roster[{}].to", row.name));
        found.push(found_here);
    }
    found
}
