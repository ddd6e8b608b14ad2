//! Tanks, booster and final rinse of a machine, ready to run.
//!
//! Fresh water enters with the final rinse, through the booster if there is one, and overflows through
//! the tanks against the way of the racks: from the last tank to the first, and there to the drain. A hood
//! has one tank at most, and its rinse at the end of each cycle.
//!
//! Tanks start full and hot where no task fills or heats them, those without a heater as warm as their supply. What heated
//! them is counted. The pump of a hood runs as long as its cycles do.

use crate::physics::heat::{Held, Load, Lump, Thermostat, WATER_KG_PER_L, fill_s, heat_up_s};
use crate::room::law::RandomTime;
use crate::room::time::Time;
use crate::scenario::model::{
    Booster, HoodTank, HoodWater, HotWater, MachineKind, RinseRuns, Scenario, Ware, WaterChange,
    WhenCold, Zone, ZoneKind,
};

/// Specific heat of china and glass, J/(kg K) (a round figure, from memory).
const WARE_J_PER_KG_K: f64 = 900.0;
/// Specific heat of a plastic rack, J/(kg K) (a round figure, from memory).
const RACK_J_PER_KG_K: f64 = 1900.0;
const GRAMS: f64 = 1000.0;

/// Water of a machine.
#[derive(Debug, Clone)]
pub struct Water {
    /// The final rinse.
    pub rinse: Rinse,
    /// Tanks in the way of the water: the first gets the rinse, the last, which racks meet first, their
    /// soil, and overflows to the drain.
    pub tanks: Vec<Tank>,
    /// The tank of the wash, if it has one.
    pub wash: Option<usize>,
    /// Share of the soil of a rack that stays in the first tank it meets; the rest goes on to the wash. All of it
    /// where that is the wash.
    pub catches: f64,
    /// Whether a belt, or a cycle, is held for a wash or a final rinse below its minimum.
    pub holds: bool,
    /// When the water of the tanks is changed.
    pub change: Option<Change>,
    /// Time within which it is to be changed: racks that enter in older water are counted.
    pub change_within: Option<Time>,
    /// Temperature of the room, °C.
    pub room_c: f64,
    /// All pumps, W.
    pub pumps_w: f64,
    /// Fans of all blow-dry zones, W.
    pub dryer_w: f64,
    /// Detergent a litre of fresh water, g/L.
    pub detergent_g_per_l: f64,
    /// Rinse aid a litre of final rinse, L/L.
    pub rinse_aid_l_per_l: f64,
    /// Soil in the wash at which it washes half as well, g/L; `None` if it does not matter.
    pub soil_halves_wash_g_per_l: Option<f64>,
    /// How much colder than its set point the wash is where it washes half as well, K; `None` if that
    /// does not matter.
    pub cold_halves_wash_k: Option<f64>,
    /// Heat that a piece takes to become one degree warmer, J/K, by ware.
    pub ware_j_per_k: Vec<f64>,
    /// Heat that an empty rack takes, J/K, by rack kind.
    pub rack_j_per_k: Vec<f64>,
    /// Soil that a piece brings into the machine, g, by soil.
    pub soil_g: Vec<f64>,
}

/// A change of the water in the tanks.
#[derive(Debug, Clone)]
pub struct Change {
    /// So long after the last one.
    pub every: Option<Time>,
    /// When the first water has so much soil, g/L.
    pub at_soil_g_per_l: Option<f64>,
    /// Hands on before the water runs out, if it takes somebody.
    pub by_hand: Option<RandomTime>,
    /// To drain, fill and heat: no rack enters meanwhile. The fill has the supply to itself.
    pub takes: Time,
    /// Of that, to drain.
    pub drain: Time,
    /// Of that, to heat.
    pub heat: Time,
    /// Water of the fill, L.
    pub fill_l: f64,
    /// What the fill would take, L/s.
    pub flow_l_per_s: f64,
}

/// The final rinse.
#[derive(Debug, Clone)]
pub struct Rinse {
    /// Belt time from entry until a rack reaches it.
    pub from: Time,
    /// Belt time that a rack takes to pass, by rack kind; of a hood, how long it runs.
    pub lasts: Vec<Time>,
    /// Fresh water, kg/s.
    pub flow_kg_per_s: f64,
    /// Whether it runs with the pumps rather than with the racks.
    pub always: bool,
    /// What heats it, with its thermostat.
    pub booster: Option<(Lump, Thermostat)>,
    /// Whether the booster pushes its hot water out ahead of the cold, rather than mixing them.
    pub displaced: bool,
    /// Temperature of the supply, °C.
    pub supply_c: f64,
    /// Temperature that it has to keep, °C.
    pub minimum_c: Option<f64>,
}

/// A tank.
#[derive(Debug, Clone)]
pub struct Tank {
    /// Name of its zone.
    pub name: String,
    /// What it holds, L.
    pub volume_l: f64,
    /// Its water, as one well-mixed lump.
    pub lump: Lump,
    /// Its heater, on below the set point.
    pub thermostat: Thermostat,
    /// Temperature that it has to keep, °C.
    pub minimum_c: Option<f64>,
}

impl Rinse {
    /// The booster over some time: at a mean temperature of its water, °C, that is where it begins.
    #[must_use]
    pub fn hold(&self, lump: Lump, load: Load, of: Thermostat, mean_c: f64, dt_s: f64) -> Held {
        if self.displaced {
            lump.displace(load, of, mean_c, dt_s)
        } else {
            lump.hold(load, of, mean_c, dt_s)
        }
    }

    /// At which temperature its water comes, when that of the booster is so warm in the mean, °C.
    #[must_use]
    pub fn comes_c(&self, mean_c: f64) -> f64 {
        match self.booster {
            Some((_, of)) if self.displaced && mean_c > self.supply_c + HAIR_K => {
                of.set_c.max(mean_c)
            }
            _ => mean_c,
        }
    }
}

/// What is under its minimum by less is not, K.
pub const HAIR_K: f64 = 1e-6;

impl Tank {
    /// Whether so many °C are below its minimum.
    #[must_use]
    pub fn is_cold(&self, c: f64) -> bool {
        self.minimum_c.is_some_and(|least_c| c < least_c - HAIR_K)
    }
}

impl Water {
    /// Whether a tank or the final rinse has a minimum to keep.
    #[must_use]
    pub fn has_minimum(&self) -> bool {
        let mut tanks = self.tanks.iter();
        self.rinse.minimum_c.is_some() || tanks.any(|tank| tank.minimum_c.is_some())
    }

    /// Of a machine whose final rinse says how much water it takes; others have none.
    pub(super) fn of(kind: &MachineKind, headway: &[Time], scenario: &Scenario) -> Option<Self> {
        match kind {
            MachineKind::RackConveyor { .. } => Self::of_conveyor(kind, headway, scenario),
            MachineKind::Hood {
                water,
                water_change,
                change_water_within_s,
                ..
            } => {
                let change = (water_change.as_ref(), *change_water_within_s);
                Self::of_hood(water.as_ref()?, change, scenario)
            }
        }
    }

    /// Of a hood: one tank at most, and a rinse at the end of each cycle.
    fn of_hood(
        said: &HoodWater,
        (change, within_s): (Option<&WaterChange>, Option<f64>),
        scenario: &Scenario,
    ) -> Option<Self> {
        let final_rinse = said.rinse?;
        let room_c = scenario.air.temperature_c;
        let lasts = Time::from_s(final_rinse.time_s);
        let tanks: Vec<Tank> = said
            .tank
            .iter()
            .map(|tank| Tank::of(&as_zone(tank), said.supply_c, room_c))
            .collect();
        Some(Self {
            rinse: Rinse {
                from: Time::ZERO,
                lasts: vec![lasts; scenario.rack.len()],
                flow_kg_per_s: final_rinse.water_l * WATER_KG_PER_L / final_rinse.time_s,
                always: false,
                booster: heated(
                    said.booster,
                    final_rinse.temperature_c,
                    said.supply_c,
                    room_c,
                ),
                displaced: is_displaced(said.booster),
                supply_c: said.supply_c,
                minimum_c: final_rinse.minimum_c,
            },
            holds: said.when_cold == WhenCold::Hold,
            wash: tanks.len().checked_sub(1),
            catches: 1.0,
            change: change.map(|change| Change::of(change, &tanks, said.supply_c, scenario)),
            change_within: within_s.map(Time::from_s),
            tanks,
            room_c,
            pumps_w: said.tank.and_then(|tank| tank.pump_w).unwrap_or(0.0),
            dryer_w: 0.0,
            detergent_g_per_l: said.detergent_g_per_l,
            rinse_aid_l_per_l: said.rinse_aid_l_per_l,
            soil_halves_wash_g_per_l: said.soil_halves_wash_g_per_l,
            cold_halves_wash_k: said.cold_halves_wash_k,
            ware_j_per_k: ware_j_per_k(scenario),
            rack_j_per_k: rack_j_per_k(scenario),
            soil_g: soil_g(scenario),
        })
    }

    fn of_conveyor(kind: &MachineKind, headway: &[Time], scenario: &Scenario) -> Option<Self> {
        let MachineKind::RackConveyor {
            zones,
            speed_m_per_s,
            rinse_runs,
            when_cold,
            booster,
            supply_c,
            detergent_g_per_l,
            rinse_aid_l_per_l,
            soil_halves_wash_g_per_l,
            cold_halves_wash_k,
            water_change,
            change_water_within_s,
            ..
        } = kind
        else {
            return None;
        };
        let at = zones.iter().position(|zone| zone.flow_l_per_s.is_some())?;
        let final_rinse = &zones[at];
        let before_m: f64 = zones[..at].iter().map(|zone| zone.length_m).sum();
        let room_c = scenario.air.temperature_c;
        let rinse = Rinse {
            from: Time::from_s(before_m / speed_m_per_s),
            lasts: headway.to_vec(),
            flow_kg_per_s: final_rinse.flow_l_per_s.unwrap_or(0.0) * WATER_KG_PER_L,
            always: *rinse_runs == RinseRuns::Always,
            booster: heated(*booster, final_rinse.temperature_c, *supply_c, room_c),
            displaced: is_displaced(*booster),
            supply_c: *supply_c,
            minimum_c: final_rinse.minimum_c,
        };
        let with_tank: Vec<&Zone> = zones.iter().rev().filter(|z| z.tank_l.is_some()).collect();
        let tanks: Vec<Tank> = with_tank
            .iter()
            .map(|zone| Tank::of(zone, *supply_c, room_c))
            .collect();
        let is_wash = |zone: &&Zone| zone.kind == ZoneKind::Wash;
        Some(Self {
            rinse,
            holds: *when_cold == WhenCold::Hold,
            wash: with_tank.iter().position(is_wash),
            catches: catches(&with_tank),
            change: water_change
                .as_ref()
                .map(|change| Change::of(change, &tanks, *supply_c, scenario)),
            change_within: change_water_within_s.map(Time::from_s),
            tanks,
            room_c,
            pumps_w: power_w(zones, true),
            dryer_w: power_w(zones, false),
            // Detergent is for the water that is used again; a rinse without a tank goes down the drain.
            detergent_g_per_l: if with_tank.is_empty() {
                0.0
            } else {
                *detergent_g_per_l
            },
            rinse_aid_l_per_l: *rinse_aid_l_per_l,
            soil_halves_wash_g_per_l: *soil_halves_wash_g_per_l,
            cold_halves_wash_k: *cold_halves_wash_k,
            ware_j_per_k: ware_j_per_k(scenario),
            rack_j_per_k: rack_j_per_k(scenario),
            soil_g: soil_g(scenario),
        })
    }
}

/// Share of the soil that stays in the first tank: of a pre-wash as the scenario says, if there is a wash behind.
fn catches(with_tank: &[&Zone]) -> f64 {
    let washes = with_tank.iter().any(|zone| zone.kind == ZoneKind::Wash);
    let first = with_tank
        .last()
        .filter(|zone| zone.kind == ZoneKind::PreWash);
    first.filter(|_| washes).map_or(1.0, |zone| zone.catches)
}

/// Of what loses so much at its set point; what is not warmer than the room then loses nothing.
fn loss_w_per_k(idle_loss_w: f64, set_c: f64, room_c: f64) -> f64 {
    let above_room_k = set_c - room_c;
    if above_room_k > 0.0 {
        idle_loss_w / above_room_k
    } else {
        0.0
    }
}

/// What heats the final rinse to its set point, with its thermostat.
fn heated(
    booster: Option<Booster>,
    set_c: Option<f64>,
    supply_c: f64,
    room_c: f64,
) -> Option<(Lump, Thermostat)> {
    let booster = booster?;
    let set_c = set_c.unwrap_or(supply_c);
    let thermostat = Thermostat {
        heater_w: booster.power_w,
        set_c,
    };
    let loss = loss_w_per_k(booster.idle_loss_w, set_c, room_c);
    let lump = Lump::of_water(booster.holds_l * WATER_KG_PER_L, loss);
    Some((lump, thermostat))
}

fn is_displaced(booster: Option<Booster>) -> bool {
    booster.is_some_and(|booster| booster.hot_water == HotWater::Displaced)
}

/// The tank of a hood is that of a wash.
fn as_zone(tank: &HoodTank) -> Zone {
    Zone {
        name: "tank".into(),
        kind: ZoneKind::Wash,
        length_m: 0.0,
        contact_time_s: None,
        temperature_c: Some(tank.temperature_c),
        minimum_c: tank.minimum_c,
        catches: 1.0,
        tank_l: Some(tank.holds_l),
        heater_w: tank.heater_w,
        idle_loss_w: tank.idle_loss_w,
        pump_w: tank.pump_w,
        flow_l_per_s: None,
    }
}

/// Heat that a piece takes to become one degree warmer, J/K, by ware.
fn ware_j_per_k(scenario: &Scenario) -> Vec<f64> {
    let wares = scenario.ware.iter();
    let of = |ware: &Ware| {
        // What is washed at the pot sink never comes to a machine.
        let weight_kg = if ware.is_for_pot_sink() {
            0.0
        } else {
            ware.weight_kg
        };
        weight_kg * WARE_J_PER_KG_K
    };
    wares.map(of).collect()
}

/// Heat that an empty rack takes, J/K, by rack kind.
fn rack_j_per_k(scenario: &Scenario) -> Vec<f64> {
    let racks = scenario.rack.iter();
    racks.map(|rack| rack.weight_kg * RACK_J_PER_KG_K).collect()
}

/// Of all pumps, or of all fans, W.
fn power_w(zones: &[Zone], wet: bool) -> f64 {
    let of_kind = zones.iter().filter(|zone| zone.kind.is_wet() == wet);
    // From 0.0: the sum of no floats is -0.0.
    of_kind
        .filter_map(|zone| zone.pump_w)
        .fold(0.0, |sum, w| sum + w)
}

impl Change {
    /// Tanks are filled one after the other, and heated at the same time.
    fn of(change: &WaterChange, tanks: &[Tank], supply_c: f64, scenario: &Scenario) -> Self {
        let volume_l: f64 = tanks.iter().map(|tank| tank.volume_l).sum();
        let supply = scenario.supply.as_ref();
        let most_l_per_s = supply.map_or(f64::INFINITY, |supply| supply.flow_l_per_s);
        let filled_s = fill_s(volume_l, change.flow_l_per_s.min(most_l_per_s)).unwrap_or(0.0);
        let hot_s = |tank: &Tank| {
            let Thermostat { heater_w, set_c } = tank.thermostat;
            heat_up_s(tank.volume_l * WATER_KG_PER_L, supply_c, set_c, heater_w)
        };
        let hot_s = tanks.iter().filter_map(hot_s).fold(0.0, f64::max);
        Self {
            every: change.every_s.map(Time::from_s),
            at_soil_g_per_l: change.at_soil_g_per_l,
            by_hand: change.by_hand.as_ref().map(RandomTime::of),
            takes: Time::from_s(change.drain_s + filled_s + hot_s),
            drain: Time::from_s(change.drain_s),
            heat: Time::from_s(hot_s),
            fill_l: volume_l,
            flow_l_per_s: change.flow_l_per_s,
        }
    }
}

impl Tank {
    /// Temperature to which it is filled and heated, °C: no lower than its supply, and without a heater no higher.
    #[must_use]
    pub fn ready_c(&self, supply_c: f64) -> f64 {
        if self.thermostat.heater_w > 0.0 {
            self.thermostat.set_c.max(supply_c)
        } else {
            supply_c
        }
    }

    fn of(zone: &Zone, supply_c: f64, room_c: f64) -> Self {
        let volume_l = zone.tank_l.unwrap_or(1.0);
        let set_c = zone.temperature_c.unwrap_or(supply_c);
        let loss_w_per_k = loss_w_per_k(zone.idle_loss_w, set_c, room_c);
        Self {
            name: zone.name.clone(),
            volume_l,
            lump: Lump::of_water(volume_l * WATER_KG_PER_L, loss_w_per_k),
            thermostat: Thermostat {
                heater_w: zone.heater_w.unwrap_or(0.0),
                set_c,
            },
            minimum_c: zone.minimum_c,
        }
    }
}

/// Soil that a piece still has when it is racked, g, by soil.
fn soil_g(scenario: &Scenario) -> Vec<f64> {
    let scraped = scenario.scrape.as_ref().map_or(0.0, |bench| bench.removes);
    let rinsed = scenario
        .pre_rinse
        .as_ref()
        .map_or(0.0, |bench| bench.removes);
    let left = (1.0 - scraped) * (1.0 - rinsed);
    let soils = scenario.soil.iter();
    soils.map(|soil| soil.amount_kg * GRAMS * left).collect()
}
