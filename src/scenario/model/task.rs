//! What is done to the machines before and after the service, and what goes wrong with them.

use super::TimeDistribution;
use serde::{Deserialize, Serialize};

/// What a task makes a machine do, once the hands are done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TaskDoes {
    /// The tanks fill; until then they stand empty.
    Fill,
    /// Heaters and booster heat up to their set points.
    Heat,
    /// Heaters and booster are off from now on.
    HeatOff,
    /// Pumps and belt are off from now on.
    PumpsOff,
    /// The tanks run out.
    Drain,
}

/// A task of the set-up or the close-down.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Task {
    /// Name.
    pub name: String,
    /// Hands on.
    pub takes: TimeDistribution,
    /// The only row of the roster that may do it; without it, whoever has the duty.
    pub by: Option<String>,
    /// Tasks of the same list that have to be done before.
    pub after: Vec<String>,
    /// The machine; without it, every rack conveyor, or where there is none every machine.
    pub machine: Option<String>,
    /// What the machine does then, without hands; the task is done when that is.
    pub does: Option<TaskDoes>,
    /// Of the water that fills its tanks, L/s.
    #[serde(rename = "flow", default)]
    pub flow_l_per_s: f64,
    /// Whether no rack may enter before a task of the set-up is done.
    #[serde(default)]
    pub racks_wait: bool,
}

/// When a fault strikes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Strikes {
    /// As likely in any running hour.
    AtRandom,
    /// After exactly so many running hours.
    Regularly,
}

/// Something that goes wrong with a machine.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fault {
    /// Name.
    pub name: String,
    /// The machine; without it, every rack conveyor, or where there is none every machine.
    pub machine: Option<String>,
    /// Mean time between, of running, s.
    #[serde(rename = "every")]
    pub every_s: f64,
    /// When it strikes.
    pub strikes: Strikes,
    /// Something tells it so long after it struck, s.
    #[serde(rename = "alarm_after")]
    pub alarm_after_s: Option<f64>,
    /// Somebody looks for it so often, s.
    #[serde(rename = "check_every")]
    pub check_every_s: Option<f64>,
    /// So many pieces of one rack caught dirty tell it.
    pub dirty_in_rack: Option<u32>,
    /// To mend it, by somebody with the duty `tend`.
    pub mend: TimeDistribution,
    /// Whether the machine stands from the moment it strikes.
    pub stops: bool,
    /// Whether the machine stands while it is mended.
    pub mend_stops: bool,
    /// Factor of the wash by the spray, until it is mended.
    pub spray: f64,
    /// Factor of the wash by the detergent, until it is mended.
    pub detergent: f64,
    /// Share of the power of heaters and booster that is left, until it is mended.
    pub heat: f64,
    /// Share of the water of the tanks that is left, until it is mended.
    pub level: f64,
}
