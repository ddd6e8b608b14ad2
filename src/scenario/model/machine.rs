//! Dish machines: what conveyor and hood share, zones, water.

use super::{Places, Position, TimeDistribution};
use serde::{Deserialize, Serialize};

/// A dish machine.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Machine {
    /// Name.
    pub name: String,
    /// Room for filled racks before it.
    pub lane: Places,
    /// Room for washed racks after it; at least one.
    pub landing: Places,
    /// Time a rack drains on the landing before it may be unloaded, s.
    #[serde(rename = "drain")]
    pub drain_s: f64,
    /// Where it is unloaded.
    pub position: Position,
    /// Contact time of a normal wash, s: longer washes better, shorter worse.
    #[serde(rename = "contact_time")]
    pub contact_time_s: f64,
    /// Further multiplier of the wash (1 = normal).
    pub wash_factor: f64,
    /// What makes the ware safe.
    pub sanitising: Sanitising,
    /// What it is.
    pub kind: MachineKind,
}

/// What makes the ware safe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sanitising {
    /// The heat of the final rinse.
    HotWater,
    /// A chemical in the final rinse.
    Chemical,
}

/// What a zone of a tunnel does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ZoneKind {
    /// Rinses coarse soil off before the wash.
    PreWash,
    /// Washes with detergent.
    Wash,
    /// Rinses with pumped water.
    Rinse,
    /// Rinses with fresh water: the last water on the ware.
    FinalRinse,
    /// Dries with air.
    BlowDry,
}

impl ZoneKind {
    /// Whether water washes the ware there.
    #[must_use]
    pub const fn is_wet(self) -> bool {
        !matches!(self, Self::BlowDry)
    }

    /// The word of scenario files and reports.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::PreWash => "pre-wash",
            Self::Wash => "wash",
            Self::Rinse => "rinse",
            Self::FinalRinse => "final-rinse",
            Self::BlowDry => "blow-dry",
        }
    }
}

/// A zone of a tunnel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Zone {
    /// Name.
    pub name: String,
    /// What it does.
    pub kind: ZoneKind,
    /// Its length, m.
    #[serde(rename = "length")]
    pub length_m: f64,
    /// Contact time that it has to keep, s.
    #[serde(rename = "contact_time")]
    pub contact_time_s: Option<f64>,
    /// Set point of its water, °C.
    #[serde(rename = "temperature")]
    pub temperature_c: Option<f64>,
    /// Temperature that its water has to keep, °C.
    #[serde(rename = "minimum")]
    pub minimum_c: Option<f64>,
    /// Water in its tank, L.
    #[serde(rename = "tank")]
    pub tank_l: Option<f64>,
    /// Share of the soil of the racks that stays in the tank of a pre-wash.
    pub catches: f64,
    /// Power that heats its tank, W.
    #[serde(rename = "heater")]
    pub heater_w: Option<f64>,
    /// Heat that its tank loses to the room at its set point, W.
    #[serde(rename = "idle_loss")]
    pub idle_loss_w: f64,
    /// Power of its pump or fan, W.
    #[serde(rename = "pump")]
    pub pump_w: Option<f64>,
    /// Fresh water of a final rinse, L/s.
    #[serde(rename = "flow")]
    pub flow_l_per_s: Option<f64>,
}

/// When the final rinse runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RinseRuns {
    /// Only while a rack passes.
    WithRack,
    /// Always with the pumps.
    Always,
}

/// What happens when a rack comes to a final rinse below its minimum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WhenCold {
    /// It is rinsed all the same, and counted.
    Count,
    /// The belt is held until the booster is back at its set point.
    Hold,
}

/// When the water of the tanks is changed, and how long that takes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WaterChange {
    /// So long after the last change, s.
    #[serde(rename = "every")]
    pub every_s: Option<f64>,
    /// When the first water has so much soil, g/L.
    #[serde(rename = "at_soil")]
    pub at_soil_g_per_l: Option<f64>,
    /// Hands on, by somebody with the duty `tend`, before the water runs out; without it, nobody's.
    pub by_hand: Option<TimeDistribution>,
    /// To let it run out, s.
    #[serde(rename = "drain")]
    pub drain_s: f64,
    /// Of the water that fills it, L/s.
    #[serde(rename = "flow")]
    pub flow_l_per_s: f64,
}

/// What heats the final rinse.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Booster {
    /// Its power, W.
    #[serde(rename = "power")]
    pub power_w: f64,
    /// Water in it, L.
    #[serde(rename = "holds")]
    pub holds_l: f64,
    /// Heat that it loses to the room at its set point, W.
    #[serde(rename = "idle_loss")]
    pub idle_loss_w: f64,
}

/// The final rinse of a hood, at the end of each cycle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HoodRinse {
    /// Fresh water a cycle, L.
    #[serde(rename = "water")]
    pub water_l: f64,
    /// How long it runs, s.
    #[serde(rename = "time")]
    pub time_s: f64,
    /// Set point of its water, °C.
    #[serde(rename = "temperature")]
    pub temperature_c: Option<f64>,
    /// Temperature that its water has to keep, °C.
    #[serde(rename = "minimum")]
    pub minimum_c: Option<f64>,
}

/// The tank of a hood.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HoodTank {
    /// Water in it, L.
    #[serde(rename = "holds")]
    pub holds_l: f64,
    /// Set point of its water, °C.
    #[serde(rename = "temperature")]
    pub temperature_c: f64,
    /// Temperature that its water has to keep, °C.
    #[serde(rename = "minimum")]
    pub minimum_c: Option<f64>,
    /// Power that heats it, W.
    #[serde(rename = "heater")]
    pub heater_w: Option<f64>,
    /// Heat that it loses to the room at its set point, W.
    #[serde(rename = "idle_loss")]
    pub idle_loss_w: f64,
    /// Power of its pump, W.
    #[serde(rename = "pump")]
    pub pump_w: Option<f64>,
}

/// Water of a hood.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HoodWater {
    /// Its final rinse: without it a scenario is refused.
    pub rinse: Option<HoodRinse>,
    /// Its tank.
    pub tank: Option<HoodTank>,
    /// What heats the final rinse.
    pub booster: Option<Booster>,
    /// Temperature of the fresh water, °C.
    #[serde(rename = "supply")]
    pub supply_c: f64,
    /// Detergent that a litre of fresh water is given, g/L.
    #[serde(rename = "detergent")]
    pub detergent_g_per_l: f64,
    /// Rinse aid that a litre of final rinse is given, L/L.
    #[serde(rename = "rinse_aid")]
    pub rinse_aid_l_per_l: f64,
    /// Soil in its water at which it washes half as well, g/L.
    #[serde(rename = "soil_halves_wash")]
    pub soil_halves_wash_g_per_l: Option<f64>,
    /// How much colder than its set point its water is where it washes half as well, K.
    #[serde(rename = "cold_halves_wash")]
    pub cold_halves_wash_k: Option<f64>,
}

/// The two kinds of machine.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum MachineKind {
    /// Racks ride a conveyor through a tunnel.
    RackConveyor {
        /// Length of the tunnel, all zones together, m.
        #[serde(rename = "tunnel")]
        tunnel_m: f64,
        /// Its zones, in the order in which racks meet them; without any, all of it is one wash.
        zones: Vec<Zone>,
        /// Belt speed, m/s; if the file left it out, the fastest that keeps every contact time.
        #[serde(rename = "speed")]
        speed_m_per_s: f64,
        /// Pumps stop after this long without a rack, s.
        #[serde(rename = "idle_after")]
        idle_after_s: Option<f64>,
        /// Time to start again from idle, s.
        #[serde(rename = "restart")]
        restart_s: f64,
        /// When the final rinse runs.
        rinse_runs: RinseRuns,
        /// What happens when the final rinse is too cold.
        when_cold: WhenCold,
        /// What heats the final rinse; without it, it comes as it is supplied.
        booster: Option<Booster>,
        /// Temperature of the fresh water, °C.
        #[serde(rename = "supply")]
        supply_c: f64,
        /// Detergent that a litre of fresh water is given, g/L.
        #[serde(rename = "detergent")]
        detergent_g_per_l: f64,
        /// Rinse aid that a litre of final rinse is given, L/L.
        #[serde(rename = "rinse_aid")]
        rinse_aid_l_per_l: f64,
        /// Soil in the water of the wash at which it washes half as well, g/L.
        #[serde(rename = "soil_halves_wash")]
        soil_halves_wash_g_per_l: Option<f64>,
        /// How much colder than its set point the wash is where it washes half as well, K.
        #[serde(rename = "cold_halves_wash")]
        cold_halves_wash_k: Option<f64>,
        /// When its water is changed.
        water_change: Option<WaterChange>,
        /// Share of the water of its tanks below which their heat is cut and the wash is poor.
        least_level: f64,
    },
    /// One rack a cycle under a hood.
    Hood {
        /// Washing and rinsing, hood shut.
        cycle: TimeDistribution,
        /// To change racks and shut the hood, s.
        #[serde(rename = "load_time")]
        load_time_s: f64,
        /// Whether changing racks needs an operator with the duty `hood`.
        attended: bool,
        /// Where the operator stands.
        position: Position,
        /// Its water, as far as the file says.
        water: Option<HoodWater>,
    },
}
