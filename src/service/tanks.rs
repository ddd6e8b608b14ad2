//! Tanks, booster and books of one machine: what time, rinse, racks, faults and changes of water do to them.
//!
//! Nothing here knows of events: [`super::water`] and [`super::water_change`] say when. Between two moments
//! nothing changes, and the closed forms of [`crate::physics::heat`] and [`crate::physics::dilution`] say how
//! things stand. The rinse overflows through the tanks one after the other; each gets what the one before it
//! gives, at its mean temperature over the stretch, so heat is neither lost nor made. Heat is counted from the
//! supply of fresh water upwards.

use crate::physics::dilution;
use crate::physics::heat::{
    Held, Load, Lump, Thermostat, WATER_J_PER_KG_K, WATER_KG_PER_L, mixed_c,
};
use crate::room::tasks::Start;
use crate::room::time::Time;
use crate::room::water::{HAIR_K, Water};

/// One tank during a service.
#[derive(Debug, Clone, Copy, Default)]
pub struct TankState {
    /// Temperature, °C.
    pub temperature_c: f64,
    /// Soil in it, g.
    pub soil_g: f64,
}

/// What went in and out of a machine, for the measures and the balances.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct WaterBooks {
    /// Fresh water: the fill, and the final rinse, L.
    pub fresh_l: f64,
    /// Of that, what was given no detergent, L.
    pub undosed_l: f64,
    /// Of that, the final rinse, L.
    pub rinse_l: f64,
    /// Heat of the fill of tanks and booster above that of the supply, J.
    pub fill_j: f64,
    /// Heat given by booster and heaters, J.
    pub heaters_j: f64,
    /// Of fill and heaters, what heated the booster, J; a fill colder than its supply took none.
    pub booster_j: f64,
    /// Of fill, refill and heaters, what heated tanks, J; the same.
    pub tanks_j: f64,
    /// Heat lost to the room, J.
    pub lost_j: f64,
    /// Heat that went down the drain above that of the supply, J.
    pub drained_j: f64,
    /// Heat taken by ware and racks, J.
    pub ware_j: f64,
    /// Soil that came with the ware, g.
    pub soil_in_g: f64,
    /// Soil that went down the drain, g.
    pub soil_out_g: f64,
    /// Changes of water.
    pub changes: u64,
    /// How long they kept racks from entering.
    pub changing: Time,
    /// Time for which the cycles of a hood went on until wash and rinse were hot.
    pub held: Time,
    /// Cycles of a hood: how long its pump ran.
    pub cycles: Time,
    /// Racks rinsed.
    pub rinsed: u64,
    /// Racks whose final rinse fell below its minimum.
    pub cold_rinses: u64,
    /// Racks that came to a tank below its minimum, or left one.
    pub cold_washes: u64,
    /// Racks of one or the other.
    pub under_temperature: u64,
    /// Racks that entered in water older than it may be.
    pub old_water: u64,
}

/// Water of one machine during a service.
#[derive(Debug, Default)]
pub struct WaterState {
    /// Up to when everything below is true.
    pub(super) settled: Time,
    /// When the tanks were filled last.
    pub(super) filled: Time,
    /// What the final rinse comes at, °C.
    pub rinse_c: f64,
    /// Tanks, in the way of the water.
    pub tanks: Vec<TankState>,
    /// Belt time at which the rack under the final rinse has passed it.
    pub(super) passes: Option<Time>,
    /// Racks inside that have met the final rinse, the first of them.
    pub(super) met: usize,
    /// When the rinse of a hood's cycle begins.
    pub(super) hood_rinses: Option<Time>,
    /// Since when the wash of a hood goes on until wash and booster are hot.
    pub(super) waits_for_heat: Option<Time>,
    /// Lowest temperature of the final rinse of the rack under it, °C.
    pub(super) lowest_c: f64,
    /// Whether the rack that is in the final rinse, or was last, came to a cold wash or left one.
    pub(super) washed_cold: bool,
    /// The tanks are full, as far as their level goes.
    pub(super) full: bool,
    /// Heaters and booster are on.
    pub(super) heats: bool,
    /// Share of their power that is left.
    pub(super) heat: f64,
    /// Share of the water of the tanks that is left.
    pub(super) level: f64,
    /// Share of the detergent that the dispenser gives.
    pub(super) dose: f64,
    /// The level is too low for the heat of the tanks.
    pub(super) is_low: bool,
    /// Since when a change of water has waited for somebody.
    pub(super) asked: Option<Time>,
    /// Somebody has its hands in it.
    pub(super) in_hand: bool,
    /// A change of water is ordered: no rack enters, and it begins once those inside are out. Where it takes hands, they
    /// are done.
    pub(super) ordered: bool,
    /// Its tanks run out, and share the supply when they fill.
    pub(super) to_fill: bool,
    /// Since when that has kept racks from entering.
    pub(super) keeps_out: Option<Time>,
    /// What went in and out.
    pub books: WaterBooks,
}

impl WaterState {
    /// Full, warm and clean, but for what the set-up has still to do.
    pub(super) fn begin(&mut self, water: &Water, start: Start) {
        let mut tanks = std::mem::take(&mut self.tanks);
        tanks.clear();
        let supply_c = water.rinse.supply_c;
        let filled = water.tanks.iter().map(|tank| TankState {
            temperature_c: if start.hot {
                tank.ready_c(supply_c)
            } else {
                supply_c
            },
            ..TankState::default()
        });
        tanks.extend(filled);
        let booster = water.rinse.booster.filter(|_| start.hot);
        *self = Self {
            rinse_c: booster.map_or(supply_c, |(_, of)| of.set_c.max(supply_c)),
            tanks,
            full: start.full,
            heats: start.heats,
            heat: 1.0,
            level: 1.0,
            dose: 1.0,
            ..Self::default()
        };
        if start.full {
            self.books.fresh_l = self.volume_l(water);
        }
        self.books.fill_j = self.stored_j(water);
        let (booster_j, tanks_j) = self.fill_heat_j(water);
        (self.books.booster_j, self.books.tanks_j) = (booster_j, tanks_j);
    }

    /// Water that the tanks hold when they are full, as far as their level goes, L.
    pub(super) fn volume_l(&self, water: &Water) -> f64 {
        // From 0.0: the sum of no floats is -0.0.
        let volumes_l = water.tanks.iter().map(|tank| tank.volume_l * self.level);
        volumes_l.fold(0.0, |sum, l| sum + l)
    }

    /// Soil in the water that racks meet first, g/L.
    #[must_use]
    pub fn first_soil_g_per_l(&self, water: &Water) -> Option<f64> {
        let first = self.tanks.last().zip(water.tanks.last());
        first.map(|(at, tank)| at.soil_g / (tank.volume_l * self.level))
    }

    /// Whether heaters and booster are on.
    #[must_use]
    pub const fn is_heated(&self) -> bool {
        self.heats
    }

    /// Whether there is water in the tanks.
    #[must_use]
    pub const fn is_full(&self) -> bool {
        self.full
    }

    /// Heat in booster and tanks above that of the supply, J.
    #[must_use]
    pub fn stored_j(&self, water: &Water) -> f64 {
        self.in_booster_j(water) + self.in_tanks_j(water).sum::<f64>()
    }

    pub(super) fn in_booster_j(&self, water: &Water) -> f64 {
        let booster = water.rinse.booster.as_ref();
        booster.map_or(0.0, |(lump, _)| {
            lump.stored_j(water.rinse.supply_c, self.rinse_c)
        })
    }

    pub(super) fn in_tanks_j(&self, water: &Water) -> impl Iterator<Item = f64> {
        let supply_c = water.rinse.supply_c;
        let pairs = water.tanks.iter().zip(&self.tanks);
        let level = self.level;
        pairs.map(move |(tank, at)| {
            let lump = tank.lump.filled_to(level);
            lump.stored_j(supply_c, at.temperature_c)
        })
    }

    /// Heat that the fill of booster and tanks took, J. What is colder than the supply took cold water.
    pub(super) fn fill_heat_j(&self, water: &Water) -> (f64, f64) {
        let of_tanks = self.in_tanks_j(water).fold(0.0, |sum, j| sum + j.max(0.0));
        (self.in_booster_j(water).max(0.0), of_tanks)
    }

    /// Lets time pass with the rinse on or off.
    pub(super) fn pass(&mut self, water: &Water, rinses: bool, to: Time) {
        let dt_s = (to - self.settled).s();
        self.settled = to;
        let flow_kg_per_s = if rinses {
            water.rinse.flow_kg_per_s
        } else {
            0.0
        };
        let (room_c, supply_c) = (water.room_c, water.rinse.supply_c);
        let mut load = Load {
            room_c,
            flow_kg_per_s,
            inlet_c: supply_c,
        };
        let fresh_l = flow_kg_per_s * dt_s / WATER_KG_PER_L;
        let mut carried_j = 0.0;
        let heat = if self.heats { self.heat } else { 0.0 };
        if let Some((lump, thermostat)) = water.rinse.booster {
            let thermostat = thermostat.at_share(heat);
            let held = water.rinse.hold(lump, load, thermostat, self.rinse_c, dt_s);
            self.rinse_c = held.temperature_c;
            self.lowest_c = self.lowest_c.min(held.lowest_c);
            carried_j += self.books.count(&held, &mut load, dt_s);
            self.books.booster_j += held.energy_j;
        }
        let (full, level) = (self.full, self.level);
        let heat = if self.is_low { 0.0 } else { heat };
        for (tank, at) in water.tanks.iter().zip(&mut self.tanks).filter(|_| full) {
            let lump = tank.lump.filled_to(level);
            let thermostat = tank.thermostat.at_share(heat);
            let held = lump.hold(load, thermostat, at.temperature_c, dt_s);
            at.temperature_c = held.temperature_c;
            carried_j += self.books.count(&held, &mut load, dt_s);
            self.books.tanks_j += held.energy_j;
        }
        self.books.drained_j += carried_j;
        self.take_in(fresh_l);
        self.books.rinse_l += fresh_l;
        // Soil goes the way of the water: what overflows from one tank comes evenly into the next.
        let mut comes_g = 0.0;
        for (tank, at) in water.tanks.iter().zip(&mut self.tanks) {
            let tank_l = tank.volume_l * level;
            let diluted = dilution::after_inflow(at.soil_g, comes_g, fresh_l, tank_l);
            at.soil_g = diluted.left_g;
            comes_g = diluted.carried_off_g;
        }
        self.books.soil_out_g += comes_g;
    }
}

/// The next nanosecond after so many seconds, so that it is hot then; without heat, until something changes.
fn after_s(hot_s: Option<f64>) -> Time {
    hot_s.map_or(Time::HOUR * 720, |s| Time::from_s(s) + Time::from_ns(1))
}

impl WaterBooks {
    /// Books a stretch; what flows on has its mean temperature. Gives the heat it carried on.
    fn count(&mut self, held: &Held, load: &mut Load, dt_s: f64) -> f64 {
        self.heaters_j += held.energy_j;
        self.lost_j += held.lost_j;
        let water_j_per_k = load.flow_kg_per_s * dt_s * WATER_J_PER_KG_K;
        if water_j_per_k > 0.0 {
            load.inlet_c += held.carried_j / water_j_per_k;
        }
        held.carried_j
    }
}

impl WaterState {
    /// Fresh water comes in, with as much of its detergent as the dispenser gives.
    pub(super) fn take_in(&mut self, fresh_l: f64) {
        self.books.fresh_l += fresh_l;
        self.books.undosed_l += fresh_l * (1.0 - self.dose);
    }

    /// How long it takes from a final rinse below its minimum to its set point, where the belt is held.
    pub(super) fn too_cold_for_s(&self, water: &Water) -> Option<Time> {
        let rinse = &water.rinse;
        let least_c = rinse.minimum_c.filter(|_| water.holds)?;
        let (lump, thermostat) = rinse.booster?;
        let still = Load {
            room_c: water.room_c,
            flow_kg_per_s: 0.0,
            inlet_c: rinse.supply_c,
        };
        let heat = if self.heats { self.heat } else { 0.0 };
        let (power_w, set_c) = (thermostat.heater_w * heat, thermostat.set_c);
        // Who waits for what the booster is not set to waits for ever: the check refuses it.
        let is_cold = rinse.comes_c(self.rinse_c) < least_c.min(set_c) - HAIR_K;
        let hot_s = is_cold.then(|| lump.time_to_s(still, power_w, self.rinse_c, set_c))?;
        Some(after_s(hot_s))
    }

    /// Whether any tank is below its minimum.
    pub(super) fn is_wash_cold(&self, water: &Water) -> bool {
        let mut tanks = water.tanks.iter().zip(&self.tanks);
        tanks.any(|(tank, at)| tank.is_cold(at.temperature_c))
    }

    /// The wash of a hood has gone on for heat until now, if it has.
    pub(super) fn count_wait_for_heat(&mut self, now: Time) {
        if let Some(since) = self.waits_for_heat.take() {
            self.books.held += now - since;
            self.books.cycles += now - since;
        }
    }

    /// How long it takes until every tank that is below its minimum is at its set point, where the belt is held.
    pub(super) fn wash_cold_for_s(&self, water: &Water) -> Option<Time> {
        if !water.holds || !self.full {
            return None;
        }
        let still = Load {
            room_c: water.room_c,
            flow_kg_per_s: 0.0,
            inlet_c: water.rinse.supply_c,
        };
        let heat = if self.heats && !self.is_low {
            self.heat
        } else {
            0.0
        };
        let tanks = water.tanks.iter().zip(&self.tanks);
        // What nothing heats is as warm as it is.
        let cold = tanks
            .filter(|(tank, at)| tank.thermostat.heater_w > 0.0 && tank.is_cold(at.temperature_c));
        let hot = cold.map(|(tank, at)| {
            let lump = tank.lump.filled_to(self.level);
            let Thermostat { heater_w, set_c } = tank.thermostat.at_share(heat);
            after_s(lump.time_to_s(still, heater_w, at.temperature_c, set_c))
        });
        hot.max()
    }

    /// What is in the tanks goes down the drain; they stand empty, which counts as at the supply.
    pub(super) fn drain(&mut self, water: &Water) {
        let supply_c = water.rinse.supply_c;
        if !std::mem::take(&mut self.full) {
            return;
        }
        for (tank, at) in water.tanks.iter().zip(&mut self.tanks) {
            let lump = tank.lump.filled_to(self.level);
            self.books.drained_j += lump.stored_j(supply_c, at.temperature_c);
            self.books.soil_out_g += at.soil_g;
            at.temperature_c = supply_c;
            at.soil_g = 0.0;
        }
    }

    pub(super) fn refill(&mut self, water: &Water) {
        let supply_c = water.rinse.supply_c;
        // With less than its heat it is filled cold, and warms as far as it can.
        let heated = self.heats && self.heat >= 1.0 && !self.is_low;
        let mut filled_l = 0.0;
        for (tank, at) in water.tanks.iter().zip(&mut self.tanks) {
            let lump = tank.lump.filled_to(self.level);
            at.temperature_c = if heated {
                tank.ready_c(supply_c)
            } else {
                supply_c
            };
            let heat_j = lump.stored_j(supply_c, at.temperature_c);
            self.books.heaters_j += heat_j;
            self.books.tanks_j += heat_j;
            filled_l += tank.volume_l * self.level;
        }
        self.take_in(filled_l);
        self.full = true;
        self.asked = None;
        self.ordered = false;
        self.books.changes += 1;
    }

    /// Water runs off to a lower level, with its heat and soil, or is filled up as it is supplied.
    pub(super) fn change_level(&mut self, water: &Water, level: f64) {
        let (before, supply_c) = (
            std::mem::replace(&mut self.level, level),
            water.rinse.supply_c,
        );
        if !self.full || before == level {
            return;
        }
        let mut filled_l = 0.0;
        for (tank, at) in water.tanks.iter().zip(&mut self.tanks) {
            if level < before {
                let lost = tank.lump.filled_to(before - level);
                self.books.drained_j += lost.stored_j(supply_c, at.temperature_c);
                let soil_g = at.soil_g * (before - level) / before;
                self.books.soil_out_g += soil_g;
                at.soil_g -= soil_g;
            } else {
                let (old, new) = (
                    tank.lump.filled_to(before),
                    tank.lump.filled_to(level - before),
                );
                let (old, new) = (old.capacity_j_per_k, new.capacity_j_per_k);
                at.temperature_c = mixed_c(old, at.temperature_c, new, supply_c, 1.0);
                filled_l += tank.volume_l * (level - before);
            }
        }
        self.take_in(filled_l);
    }

    /// Time until tanks and booster are at their set points, those that come there.
    pub(super) fn hot_after(&self, water: &Water) -> Time {
        let still = Load {
            room_c: water.room_c,
            flow_kg_per_s: 0.0,
            inlet_c: water.rinse.supply_c,
        };
        let hot_s = |lump: Lump, thermostat: Thermostat, at_c: f64| {
            let power_w = thermostat.heater_w * self.heat;
            let is_cold = at_c < thermostat.set_c;
            let time_s = lump.time_to_s(still, power_w, at_c, thermostat.set_c);
            time_s.filter(|_| is_cold).unwrap_or(0.0)
        };
        let booster = water.rinse.booster;
        let booster_s = booster.map_or(0.0, |(lump, of)| hot_s(lump, of, self.rinse_c));
        let tanks = water.tanks.iter().zip(&self.tanks);
        let tanks_s = tanks.map(|(tank, at)| hot_s(tank.lump, tank.thermostat, at.temperature_c));
        Time::from_s(tanks_s.fold(booster_s, f64::max))
    }

    /// The rack under the final rinse has passed it.
    pub(super) fn passed(&mut self, water: &Water) {
        let is_under = |least_c: f64| self.lowest_c < least_c - HAIR_K;
        let rinse = water.rinse.minimum_c.is_some_and(is_under);
        let wash = self.washed_cold;
        self.books.rinsed += 1;
        self.books.cold_rinses += u64::from(rinse);
        self.books.cold_washes += u64::from(wash);
        self.books.under_temperature += u64::from(rinse || wash);
    }

    /// A rack comes in from the room. In each zone with a tank, in its order, it becomes as warm as the water of
    /// that tank.
    pub(super) fn soil_and_cool(&mut self, water: &Water, soil_g: f64, heat_j_per_k: f64) {
        let (first_g, wash_g) = (soil_g * water.catches, soil_g * (1.0 - water.catches));
        if let Some(first) = self.tanks.last_mut() {
            first.soil_g += first_g;
            self.books.soil_in_g += soil_g;
        }
        if let Some(wash) = water.wash.filter(|_| wash_g > 0.0) {
            self.tanks[wash].soil_g += wash_g;
        }
        let mut ware_c = water.room_c;
        let pairs = water.tanks.iter().zip(&mut self.tanks);
        for (tank, at) in pairs.rev() {
            let lump = tank.lump.filled_to(self.level);
            let before_c = at.temperature_c;
            let tank_j_per_k = lump.capacity_j_per_k;
            at.temperature_c = mixed_c(tank_j_per_k, before_c, heat_j_per_k, ware_c, 1.0);
            self.books.ware_j += lump.stored_j(at.temperature_c, before_c);
            ware_c = at.temperature_c;
        }
    }
}
