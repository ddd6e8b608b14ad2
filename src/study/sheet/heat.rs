//! Heat of an evening on the sheet: what fills, refills and holds the tanks, and what the rinse brings.
//!
//! Racks come evenly, from the first to the last, each with its water and its ware; before and after
//! them the tanks stand. A rack of heat capacity R takes R C/(R + C) for each degree that a tank of
//! capacity C is above the room, so racks coming evenly are one more loss. Over each of the three
//! stretches the closed form of [`crate::physics::heat`] then says what a heater gives, what the room
//! gets, and what rinse that is hotter than its tank saves. What a stretch cannot see is the saw-tooth of
//! single racks; a booster that falls below its set point within a rack is reckoned by the rack.
//!
//! In: a machine's water, its racks and times. Out: joules.

use crate::physics::heat::{Load, Lump, WATER_J_PER_KG_K};
use crate::room::water::Water;

/// How a machine is used in an evening.
#[derive(Debug, Clone, Copy)]
pub(super) struct Use {
    /// Racks.
    pub racks: f64,
    /// Heat that a rack with its ware takes, J/K.
    pub rack_j_per_k: f64,
    /// Time that a rack is under the rinse, s.
    pub under_rinse_s: f64,
    /// Before the first rack, with racks and after them, s. Changes of water are taken off.
    pub stretches_s: [f64; 3],
    /// Final rinse in each, kg/s.
    pub flows_kg_per_s: [f64; 3],
    /// Changes of water.
    pub changes: f64,
}

/// Heat of an evening, J.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Joules {
    /// That heated the booster, its fill included.
    pub booster: f64,
    /// That heated the fill of the tanks.
    pub fill: f64,
    /// That heated what filled them again.
    pub refill: f64,
    /// That the heaters of the tanks gave.
    pub heaters: f64,
    /// Lost to the room.
    pub lost: f64,
    /// Taken by ware and racks.
    pub ware: f64,
    /// That the rinse brought the tanks beyond what it carried off.
    pub rinse: f64,
}

/// What an evening's heat comes to.
pub(super) fn joules(water: &Water, used: &Use) -> Joules {
    let mut evening = Evening::of(water, used);
    for (number, dt_s) in used.stretches_s.into_iter().enumerate() {
        if dt_s > 0.0 {
            let load = Load {
                room_c: water.room_c,
                flow_kg_per_s: used.flows_kg_per_s[number],
                inlet_c: water.rinse.supply_c,
            };
            let racks_per_s = if number == 1 { used.racks / dt_s } else { 0.0 };
            let load = evening.boost(load, dt_s, racks_per_s);
            evening.warm(load, dt_s, racks_per_s);
        }
    }
    evening.sums
}

/// Temperatures as they are, and the sums so far.
struct Evening<'a> {
    water: &'a Water,
    used: &'a Use,
    rinse_c: f64,
    tanks_c: Vec<f64>,
    sums: Joules,
}

impl<'a> Evening<'a> {
    /// Everything full and at its set point.
    fn of(water: &'a Water, used: &'a Use) -> Self {
        let supply_c = water.rinse.supply_c;
        let mut sums = Joules::default();
        let booster = water.rinse.booster;
        if let Some((lump, of)) = booster {
            sums.booster = lump.stored_j(supply_c, of.set_c).max(0.0);
        }
        for tank in &water.tanks {
            sums.fill += tank.lump.stored_j(supply_c, tank.start_c).max(0.0);
            let refilled_j = tank.lump.stored_j(supply_c, tank.ready_c(supply_c));
            sums.refill += used.changes * refilled_j;
        }
        Self {
            water,
            used,
            rinse_c: booster.map_or(supply_c, |(_, of)| of.set_c),
            tanks_c: water.tanks.iter().map(|tank| tank.start_c).collect(),
            sums,
        }
    }

    /// The booster over a stretch; gives what the tanks get.
    fn boost(&mut self, mut load: Load, dt_s: f64, racks_per_s: f64) -> Load {
        let rinse = &self.water.rinse;
        let Some((lump, thermostat)) = rinse.booster else {
            return load;
        };
        let flows_j_per_k = load.flow_kg_per_s * dt_s * WATER_J_PER_KG_K;
        let by_the_rack = Some(racks_per_s).filter(|each| *each > 0.0 && !rinse.always);
        let rack_w = by_the_rack.map(|each| {
            let full = Load {
                flow_kg_per_s: rinse.flow_kg_per_s,
                ..load
            };
            let under_s = self.used.under_rinse_s;
            each * lump
                .hold(full, thermostat, thermostat.set_c, under_s)
                .carried_j
        });
        // Each rack finds it at its set point, unless they come too soon for its power.
        let carried_j = if let Some(w) = rack_w.filter(|w| *w <= thermostat.heater_w) {
            self.sums.booster += w.max(0.0) * dt_s;
            w * dt_s
        } else {
            let held = lump.hold(load, thermostat, self.rinse_c, dt_s);
            self.rinse_c = held.temperature_c;
            self.sums.booster += held.energy_j;
            held.carried_j
        };
        if flows_j_per_k > 0.0 {
            load.inlet_c += carried_j / flows_j_per_k;
        }
        load
    }

    /// The tanks over a stretch, one after the other.
    fn warm(&mut self, mut load: Load, dt_s: f64, racks_per_s: f64) {
        let flows_j_per_k = load.flow_kg_per_s * dt_s * WATER_J_PER_KG_K;
        let last = self.water.tanks.len().checked_sub(1);
        let cooled = self.water.wash.or(last);
        let tanks = self.water.tanks.iter().zip(&mut self.tanks_c);
        for (number, (tank, at_c)) in tanks.enumerate() {
            let own_w_per_k = tank.lump.loss_w_per_k;
            let racks_w_per_k = if Some(number) == cooled {
                let (tank_j, rack_j) = (tank.lump.capacity_j_per_k, self.used.rack_j_per_k);
                racks_per_s * tank_j * rack_j / (tank_j + rack_j)
            } else {
                0.0
            };
            let lump = Lump {
                loss_w_per_k: own_w_per_k + racks_w_per_k,
                ..tank.lump
            };
            let held = lump.hold(load, tank.thermostat, *at_c, dt_s);
            *at_c = held.temperature_c;
            self.sums.heaters += held.energy_j;
            if lump.loss_w_per_k > 0.0 {
                self.sums.lost += held.lost_j * own_w_per_k / lump.loss_w_per_k;
                self.sums.ware += held.lost_j * racks_w_per_k / lump.loss_w_per_k;
            }
            self.sums.rinse -= held.carried_j;
            if flows_j_per_k > 0.0 {
                load.inlet_c += held.carried_j / flows_j_per_k;
            }
        }
    }
}
