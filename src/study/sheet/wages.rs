//! The roster in hours and money: shifts as written, before anybody stays late or goes home early.

use serde::Serialize;

use crate::room::Room;
use crate::room::crew::Operator;
use crate::room::time::Time;
use crate::scenario::model::{RosterRow, Scenario};

/// The shift of a roster row.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shift {
    /// Name of the row.
    pub name: String,
    /// How many have it.
    pub people: u32,
    /// Its length, breaks included, h.
    pub hours_each: f64,
    /// Of all of them, h.
    pub hours: f64,
    /// Pay per hour of one of them, money; `None` where there are no prices.
    pub wage: Option<f64>,
    /// Of all of them, money.
    pub cost: Option<f64>,
}

/// The roster as planned.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wages {
    /// By row of the roster that anybody has, in its order.
    pub shifts: Vec<Shift>,
    /// Hours of all, breaks included.
    pub hours: f64,
    /// Cost of all, money; `None` without a crew, or if an hour of one of them has no price.
    pub cost: Option<f64>,
}

impl Wages {
    /// Of a crew.
    #[must_use]
    pub fn of(scenario: &Scenario, room: &Room) -> Self {
        let mut rest = room.crew.as_slice();
        let mut shifts = Vec::new();
        let there = |row: &&RosterRow| row.count > 0 && row.called.is_none();
        for row in scenario.roster.iter().filter(there) {
            let (these, others) = rest.split_at(rest.len().min(row.count as usize));
            rest = others;
            let Some(first) = these.first() else { break };
            shifts.push(Shift {
                name: row.name.clone(),
                people: row.count,
                hours_each: length(first).h(),
                hours: hours(these),
                wage: first.wage.map(|wage| wage.per_h),
                cost: cost(these),
            });
        }
        Self {
            shifts,
            hours: hours(&room.crew),
            cost: cost(&room.crew),
        }
    }
}

fn length(operator: &Operator) -> Time {
    operator.to - operator.from
}

fn hours(crew: &[Operator]) -> f64 {
    crew.iter().map(length).sum::<Time>().h()
}

/// Added up operator by operator, as the simulation does, so that equal hours cost the same.
fn cost(crew: &[Operator]) -> Option<f64> {
    let pay = |operator: &Operator| Some(operator.wage?.pay(length(operator), Time::ZERO));
    let mut costs = crew.iter().map(pay);
    let first = costs.next()?;
    costs.fold(first, |sum, cost| Some(sum? + cost?))
}
