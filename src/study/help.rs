//! Help that is called in: whether it can come, and how often it did.

use super::evening::{Evening, Finding, GroupKind, Severity};
use super::plan::LEVEL;
use crate::room::Room;
use crate::scenario::model::Scenario;
use crate::service::measure::{Measure, OperatorMeasure};
use crate::service::outcome::Outcome;
use crate::statistics::interval::wilson;
use crate::words::findings::Often;
use crate::words::findings::help as words;

/// Help that can never come, of an evening with so many pieces.
#[must_use]
pub fn planned(scenario: &Scenario, pieces: f64) -> Vec<Finding> {
    let rows = scenario.roster.iter().filter(|row| row.count > 0);
    let never = rows.filter_map(|row| {
        let called = row.called.as_ref()?;
        (f64::from(called.once_waiting) > pieces).then(|| {
            let said = words::never_comes(&row.name, called.once_waiting, pieces);
            Finding::new("help-never-comes", Severity::Warning, said)
                .of(&row.name)
                .at(format!("roster[{}].called.once_waiting", row.name))
        })
    });
    never.collect()
}

/// How often help came.
#[must_use]
pub fn called(
    scenario: &Scenario,
    room: &Room,
    evening: &Evening,
    outcomes: &[(u64, Outcome)],
) -> Vec<Finding> {
    let groups = evening.groups.iter();
    let crew = groups.filter(|group| group.kind == GroupKind::Operator);
    let mut found = Vec::new();
    for (index, (operator, group)) in room.crew.iter().zip(crew).enumerate() {
        let row = &scenario.roster[operator.row];
        let Some(of) = &row.called else { continue };
        let present = OperatorMeasure::Present as usize;
        let was_there = |(_, one): &&(u64, Outcome)| one.operators[index][present] > Some(0.0);
        let (count, n) = (outcomes.iter().filter(was_there).count(), outcomes.len());
        let (count, n) = (count as u64, n as u64);
        let said = if count == 0 {
            let most = evening.measures[Measure::SoiledWaitingMax as usize].mean;
            let most = most.unwrap_or(0.0);
            words::never_called(&operator.name, n, of.once_waiting, most)
        } else {
            let interval = wilson(count, n, LEVEL);
            let often = Often { count, n, interval };
            let hours = group.measures[present].mean.unwrap_or(0.0);
            words::called(&operator.name, often, hours)
        };
        let path = format!("roster[{}].called", row.name);
        found.push(
            Finding::new("help-called", Severity::Note, said)
                .of(&operator.name)
                .at(path),
        );
    }
    found
}
