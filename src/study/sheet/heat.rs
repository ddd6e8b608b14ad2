//! Heat of an evening on the sheet: what fills, refills and holds the tanks, and what the rinse brings.
//!
//! Racks come evenly, from the first to the last, each with its water and its ware; before and after
//! them the tanks stand. A rack of heat capacity R takes R C/(R + C) for each degree that a tank of
//! capacity C is warmer than it, so racks coming evenly are one more loss. They come to the first tank at the
//! temperature of the room, and to each other one as the tank before it leaves them. Over each of
//! the three stretches the closed form of [`crate::physics::heat`] then says what a heater gives, what the
//! room gets, and what rinse that is hotter than its tank saves. What a stretch cannot see is the saw-tooth of
//! single racks; a booster that falls below its set point within a rack is worked out per rack.
//!
//! In: a machine's water, its racks and times. Out: joules.

use crate::physics::heat::{Held, Load, Lump, WATER_J_PER_KG_K, mixed_c};
use crate::room::water::{Tank, Water};

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
            sums.booster = lump.stored_j(supply_c, of.set_c.max(supply_c));
        }
        for tank in &water.tanks {
            let fill_j = tank.lump.stored_j(supply_c, tank.ready_c(supply_c));
            sums.fill += fill_j;
            sums.refill += used.changes * fill_j;
        }
        Self {
            water,
            used,
            rinse_c: booster.map_or(supply_c, |(_, of)| of.set_c.max(supply_c)),
            tanks_c: water
                .tanks
                .iter()
                .map(|tank| tank.ready_c(supply_c))
                .collect(),
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
            each * rinse
                .hold(lump, full, thermostat, thermostat.set_c, under_s)
                .carried_j
        });
        // Each rack finds it at its set point, unless they come too soon for its power.
        let carried_j = if let Some(w) = rack_w.filter(|w| *w <= thermostat.heater_w) {
            self.sums.booster += w.max(0.0) * dt_s;
            w * dt_s
        } else {
            let held = rinse.hold(lump, load, thermostat, self.rinse_c, dt_s);
            self.rinse_c = held.temperature_c;
            self.sums.booster += held.energy_j;
            held.carried_j
        };
        if flows_j_per_k > 0.0 {
            load.inlet_c += carried_j / flows_j_per_k;
        }
        load
    }

    /// The tanks over a stretch. Water goes through them one way and racks the other, so temperatures are worked out over
    /// and over until they fit each other; each time brings them many times nearer.
    fn warm(&mut self, load: Load, dt_s: f64, racks_per_s: f64) {
        const TIMES: usize = 20;
        let mut racks = Racks {
            per_s: racks_per_s,
            each_j_per_k: self.used.rack_j_per_k,
            leave_c: self.tanks_c.clone(),
        };
        for _ in 0..TIMES {
            let stretches = self.stretches(load, dt_s, &racks);
            racks.leave_c = stretches.map(|of| of.racks_leave_c).collect();
        }
        let stretches: Vec<Stretch> = self.stretches(load, dt_s, &racks).collect();
        for (at_c, stretch) in self.tanks_c.iter_mut().zip(stretches) {
            *at_c = stretch.held.temperature_c;
            self.sums.heaters += stretch.held.energy_j;
            self.sums.lost += stretch.lost_j;
            self.sums.ware += stretch.ware_j;
            self.sums.rinse -= stretch.held.carried_j;
        }
    }

    /// Each tank over a stretch, in the order of the water.
    fn stretches(&self, mut load: Load, dt_s: f64, racks: &Racks) -> impl Iterator<Item = Stretch> {
        let flows_j_per_k = load.flow_kg_per_s * dt_s * WATER_J_PER_KG_K;
        let tanks = self.water.tanks.iter().zip(&self.tanks_c).enumerate();
        tanks.map(move |(number, (tank, start_c))| {
            let stretch = Stretch::of(tank, *start_c, load, dt_s, racks, number);
            if flows_j_per_k > 0.0 {
                load.inlet_c += stretch.held.carried_j / flows_j_per_k;
            }
            stretch
        })
    }
}

/// Racks that come evenly.
struct Racks {
    per_s: f64,
    /// Heat that one with its ware takes, J/K.
    each_j_per_k: f64,
    /// Temperature at which they leave each tank, °C.
    leave_c: Vec<f64>,
}

/// One tank over a stretch of the evening.
struct Stretch {
    held: Held,
    racks_leave_c: f64,
    lost_j: f64,
    ware_j: f64,
}

impl Stretch {
    fn of(tank: &Tank, start_c: f64, load: Load, dt_s: f64, racks: &Racks, number: usize) -> Self {
        let own_w_per_k = tank.lump.loss_w_per_k;
        let (tank_j, rack_j) = (tank.lump.capacity_j_per_k, racks.each_j_per_k);
        let racks_w_per_k = racks.per_s * tank_j * rack_j / (tank_j + rack_j);
        let racks_c = racks
            .leave_c
            .get(number + 1)
            .copied()
            .unwrap_or(load.room_c);
        let lump = Lump {
            loss_w_per_k: own_w_per_k + racks_w_per_k,
            ..tank.lump
        };
        // Two losses are one to what lies between them.
        let around_c = if lump.loss_w_per_k > 0.0 {
            (own_w_per_k * load.room_c + racks_w_per_k * racks_c) / lump.loss_w_per_k
        } else {
            load.room_c
        };
        let around = Load {
            room_c: around_c,
            ..load
        };
        let held = lump.hold(around, tank.thermostat, start_c, dt_s);
        let mean_c = if lump.loss_w_per_k > 0.0 {
            around_c + held.lost_j / (lump.loss_w_per_k * dt_s)
        } else {
            f64::midpoint(start_c, held.temperature_c)
        };
        Self {
            held,
            racks_leave_c: mixed_c(tank_j, mean_c, rack_j, racks_c, 1.0),
            lost_j: own_w_per_k * (mean_c - load.room_c) * dt_s,
            ware_j: racks_w_per_k * (mean_c - racks_c) * dt_s,
        }
    }
}
