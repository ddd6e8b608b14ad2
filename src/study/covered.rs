//! People needed beside people there, as plain values: worked out by the [sheet](super::sheet), shown with an evening too.

use serde::Serialize;

use crate::scenario::model::Duty;

/// People needed and there.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cover {
    /// By half hour of the clock, from the first ware to the last.
    pub half_hours: Vec<HalfHour>,
    /// Stretches in which ware comes for a duty that nobody there has.
    pub gaps: Vec<Gap>,
    /// The duties that bind in the peak, all the day, if they are several: people may share them.
    pub tightest: Option<Together>,
}

/// Some duties together, by half hour.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Together {
    /// The duties.
    pub duties: Vec<Duty>,
    /// People needed for them, by half hour.
    pub people_needed: Vec<f64>,
    /// People there who hold any of them, breaks off, times pace.
    pub people_there: Vec<f64>,
}

/// Half an hour.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HalfHour {
    /// Time of day, s.
    pub from_s: f64,
    /// Time of day, s.
    pub to_s: f64,
    /// By duty, in the order ware meets them.
    pub duties: Vec<DutyWork>,
    /// People needed for all of them.
    pub people_needed: f64,
    /// People there, breaks off, times pace.
    pub people_there: f64,
    /// Racks an hour as they are sent.
    pub racks_per_hour: f64,
}

/// Nobody there for a duty.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Gap {
    /// The duty.
    pub duty: Duty,
    /// Time of day, s.
    pub from_s: f64,
    /// Time of day, s.
    pub to_s: f64,
    /// People needed meanwhile, on average.
    pub people_needed: f64,
}

/// The work of one duty in the peak.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DutyWork {
    /// The duty.
    pub duty: Duty,
    /// Hours of work in an hour: people needed at pace 1.
    pub people_needed: f64,
    /// Share of all the work.
    pub share: f64,
    /// People on duty in the peak, on average, who hold it.
    pub people_there: f64,
}
