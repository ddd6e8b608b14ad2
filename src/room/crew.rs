//! Operators: a roster row of three becomes three of them.

use crate::room::money::Wage;
use crate::room::plan::Spot;
use crate::room::time::Hours;
use crate::room::time::Time;
use crate::scenario::model::{Duty, DutyEntry, Scenario};

/// One operator.
#[derive(Debug, Clone)]
pub struct Operator {
    /// Role, with a number if there are several: `loader`, `dishwasher 2`.
    pub name: String,
    /// Row of the roster.
    pub row: usize,
    /// Start of the shift.
    pub from: Time,
    /// End of the shift.
    pub to: Time,
    /// Whether they stay while the dish room is not finished.
    pub stays: bool,
    /// Breaks: when due and how long, in order.
    pub breaks: Vec<(Time, Time)>,
    /// Work rate: at 1.1, work of 11 minutes takes 10.
    pub pace: f64,
    /// What their time costs, if the scenario has prices.
    pub wage: Option<Wage>,
    /// Where they first stand.
    pub home: Spot,
    /// Duties, most preferred first.
    pub duties: Vec<DutyEntry>,
    /// The same as a set, a bit each.
    pub duty_bits: u16,
}

/// The crew of a scenario, in roster order.
#[must_use]
pub fn operators(scenario: &Scenario, hours: &Hours) -> Vec<Operator> {
    let mut crew = Vec::new();
    for (index, row) in scenario.roster.iter().enumerate() {
        let duties = &row.duties;
        let first = duties.first().map_or(Duty::Scrape, |entry| entry.duty);
        for number in 1..=row.count {
            let name = if row.count == 1 {
                row.name.clone()
            } else {
                format!("{} {number}", row.name)
            };
            crew.push(Operator {
                name,
                row: index,
                from: hours.moment(row.from_s),
                to: hours.moment(row.to_s),
                stays: row.stays,
                breaks: row
                    .breaks
                    .iter()
                    .map(|pause| {
                        (
                            hours.moment(pause.from_s),
                            Time::from_s(pause.to_s - pause.from_s),
                        )
                    })
                    .collect(),
                pace: row.pace,
                wage: Wage::of(row, scenario),
                home: Spot::of_duty(row.home.unwrap_or(first)),
                duties: duties.clone(),
                duty_bits: duties.iter().fold(0, |bits, entry| bits | entry.duty.bit()),
            });
        }
    }
    crew
}
