//! The crew, its duties, and what things cost.

use serde::{Deserialize, Serialize};

/// Walking.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Walking {
    /// Speed, m/s.
    #[serde(rename = "speed")]
    pub speed_m_per_s: f64,
}

/// A duty of the crew.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Duty {
    /// Carry soiled ware from the tables to the drop-off.
    ClearDown,
    /// Scrape.
    Scrape,
    /// Pre-rinse.
    PreRinse,
    /// Put into and take out of the soak.
    Soak,
    /// Fill racks.
    Load,
    /// Change racks at an attended hood.
    Hood,
    /// Unload and inspect.
    Unload,
    /// Carry clean ware to the store.
    PutAway,
    /// Set the machines up before the service.
    SetUp,
    /// Mend faults of the machines, and change their water where that is done by hand.
    Tend,
    /// Close the machines down after the service.
    CloseDown,
}

impl Duty {
    /// All duties: those that handle ware, in the order it meets them, then those of the machines.
    pub const ALL: [Self; 11] = [
        Self::ClearDown,
        Self::Scrape,
        Self::PreRinse,
        Self::Soak,
        Self::Load,
        Self::Hood,
        Self::Unload,
        Self::PutAway,
        Self::SetUp,
        Self::Tend,
        Self::CloseDown,
    ];

    /// The duties that handle ware: all before the set-up.
    pub const OF_WARE: &[Self] = Self::ALL.split_at(Self::SetUp as usize).0;

    /// Its bit in a set of duties.
    #[must_use]
    pub const fn bit(self) -> u16 {
        1 << self as u8
    }

    /// The word of scenario files and reports.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::ClearDown => "clear-down",
            Self::Scrape => "scrape",
            Self::PreRinse => "pre-rinse",
            Self::Soak => "soak",
            Self::Load => "load",
            Self::Hood => "hood",
            Self::Unload => "unload",
            Self::PutAway => "put-away",
            Self::SetUp => "set-up",
            Self::Tend => "tend",
            Self::CloseDown => "close-down",
        }
    }
}

/// A duty in somebody's list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DutyEntry {
    /// The duty.
    pub duty: Duty,
    /// Only once this much waits: racks to unload or for a hood, tasks and faults, pieces of everything
    /// else (0: always).
    pub once_waiting: u32,
}

/// A break.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Break {
    /// Time of day, s.
    #[serde(rename = "from")]
    pub from_s: f64,
    /// Time of day, s.
    #[serde(rename = "to")]
    pub to_s: f64,
}

/// A row of the roster.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RosterRow {
    /// Role.
    pub name: String,
    /// How many.
    pub count: u32,
    /// Start of the shift, time of day, s.
    #[serde(rename = "from")]
    pub from_s: f64,
    /// End of the shift, time of day, s.
    #[serde(rename = "to")]
    pub to_s: f64,
    /// Whether they stay after the shift while the dish room is not finished (overtime).
    pub stays: bool,
    /// Breaks, in order; the people of a row take them together.
    pub breaks: Vec<Break>,
    /// Work rate: 1.1 does in 10 minutes what takes 11.
    pub pace: f64,
    /// Where they stand at first; without it, at the station of their first duty.
    pub home: Option<Duty>,
    /// What an hour of one of them costs, money; without it [`Prices::labour_per_h`].
    #[serde(rename = "wage")]
    pub wage_per_h: Option<f64>,
    /// Duties, the most preferred first.
    pub duties: Vec<DutyEntry>,
}

/// Prices, in money without a currency. What has none takes no part in the cost.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Prices {
    /// An hour paid, of whoever has no wage of their own.
    #[serde(rename = "labour")]
    pub labour_per_h: Option<f64>,
    /// How many times the wage an hour after the end of a shift costs.
    #[serde(rename = "overtime")]
    pub overtime_factor: f64,
    /// Fresh water.
    #[serde(rename = "water")]
    pub water_per_m3: Option<f64>,
    /// Used water.
    #[serde(rename = "sewer")]
    pub sewer_per_m3: Option<f64>,
    /// Energy.
    #[serde(rename = "energy")]
    pub energy_per_kwh: Option<f64>,
    /// Detergent.
    #[serde(rename = "detergent")]
    pub detergent_per_kg: Option<f64>,
    /// Rinse aid.
    #[serde(rename = "rinse_aid")]
    pub rinse_aid_per_l: Option<f64>,
}
