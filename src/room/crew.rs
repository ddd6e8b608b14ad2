//! Operators: a roster row of three becomes three of them.

use rand::{Rng, RngExt};

use crate::room::keys::name_key;
use crate::room::law::{Law, RandomTime};
use crate::room::money::Wage;
use crate::room::own::{Own, Stations, Stores, Whose};
use crate::room::plan::Spot;
use crate::room::time::Hours;
use crate::room::time::Time;
use crate::scenario::model::{Called, Duty, DutyEntry, RosterRow, Scenario};

/// Whether somebody comes, and when: drawn for each evening.
#[derive(Debug, Clone)]
pub struct Coming {
    /// Key to the random stream of their row.
    pub key: u64,
    /// Their number in it.
    pub number: u64,
    /// Chance that they do not come.
    pub absent: f64,
    /// Chance that they are late.
    pub late: f64,
    /// How late they come then.
    pub late_by: RandomTime,
}

impl Coming {
    /// Of one of a row; `None` if they come at the start of their shift for sure.
    fn of(row: &RosterRow, number: u32) -> Option<Self> {
        if row.absent == 0.0 && row.late_by.is_none() {
            return None;
        }
        let late_by = row.late_by.as_ref();
        Some(Self {
            key: name_key(&row.name),
            number: u64::from(number),
            absent: row.absent,
            late: late_by.map_or(0.0, |_| row.late.unwrap_or(1.0)),
            late_by: late_by.map_or(
                RandomTime {
                    mean_s: 0.0,
                    law: Law::Fixed,
                },
                RandomTime::of,
            ),
        })
    }

    /// How long after the start of the shift they come; `None` if they do not. The same draws whatever the chances.
    #[must_use]
    pub fn draw<R: Rng>(&self, stream: &mut R) -> Option<Time> {
        let [absent, late]: [f64; 2] = stream.random();
        let late_by = self.late_by.draw(stream);
        if absent < self.absent {
            None
        } else if late < self.late {
            Some(late_by)
        } else {
            Some(Time::ZERO)
        }
    }
}

/// When somebody is called in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Call {
    /// From so many soiled pieces on.
    pub once_waiting: u32,
    /// From the call until they are there.
    pub comes_after: Time,
    /// They stay for so long at least.
    pub stays_at_least: Time,
    /// Then they go when fewer wait; 0: they do not.
    pub goes_below: u32,
}

impl Call {
    fn of(called: &Called) -> Self {
        Self {
            once_waiting: called.once_waiting,
            comes_after: Time::from_s(called.comes_after_s),
            stays_at_least: Time::from_s(called.stays_at_least_s),
            goes_below: called.goes_below,
        }
    }
}

/// How somebody's pace varies, from day to day and within one.
#[derive(Debug, Clone)]
pub struct Tempo {
    /// Key to the random stream of their row.
    pub key: u64,
    /// Their number in it.
    pub number: u64,
    /// Factor of a day on the time of all work.
    pub day: Law,
    /// How much longer work takes after each hour there.
    pub slower_per_h: f64,
}

impl Tempo {
    fn of(row: &RosterRow, number: u32) -> Self {
        Self {
            key: name_key(&row.name),
            number: u64::from(number),
            day: Law::lognormal(row.pace_cv),
            slower_per_h: row.slower_per_h,
        }
    }
}

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
    /// When they are called in, if they are not there otherwise.
    pub call: Option<Call>,
    /// Whether they come, if that is not sure.
    pub coming: Option<Coming>,
    /// Whether they stay while the dish room is not finished.
    pub stays: bool,
    /// Breaks: when due and how long, in order.
    pub breaks: Vec<(Time, Time)>,
    /// Work rate: at 1.1, work of 11 minutes takes 10.
    pub pace: f64,
    /// How their pace varies.
    pub tempo: Tempo,
    /// What their time costs, if the scenario has prices.
    pub wage: Option<Wage>,
    /// Where they first stand.
    pub home: Spot,
    /// Duties, most preferred first.
    pub duties: Vec<DutyEntry>,
    /// The same as a set, a bit each.
    pub duty_bits: u16,
    /// The machines that they look after, if not all.
    pub own: Option<Own>,
}

impl Operator {
    /// Whose work theirs is.
    #[must_use]
    pub const fn whose(&self) -> Whose<'_> {
        Whose::of(self.own.as_ref())
    }
}

/// The crew of a scenario, in roster order.
#[must_use]
pub fn operators(
    scenario: &Scenario,
    hours: &Hours,
    stores: &Stores,
    stations: &Stations,
) -> Vec<Operator> {
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
                call: row.called.as_ref().map(Call::of),
                coming: Coming::of(row, number),
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
                tempo: Tempo::of(row, number),
                wage: Wage::of(row, scenario),
                home: Spot::of_duty(row.home.unwrap_or(first)),
                duties: duties.clone(),
                duty_bits: duties.iter().fold(0, |bits, entry| bits | entry.duty.bit()),
                own: Own::of(row, scenario, stores, stations),
            });
        }
    }
    crew
}
