//! Water, heat and soil of a conveyor between two events.
//!
//! Everything is settled when something changes: a rack enters, meets or leaves the final rinse, or the
//! machine does something else. Between, nothing does, and the closed forms of [`crate::physics::heat`]
//! and [`crate::physics::dilution`] say how things stand. The rinse overflows through the tanks one after
//! the other; each gets what the one before it gives, at its mean temperature over the stretch, so heat
//! is neither lost nor made. Heat is counted from the supply of fresh water upwards.

use super::Service;
use super::events::Event;
use super::faults::Harm;
use super::machine::Phase;
use super::streams::Purpose;
use crate::physics::dilution;
use crate::physics::heat::{
    Held, Load, Lump, Thermostat, WATER_J_PER_KG_K, WATER_KG_PER_L, fill_s, mixed_c,
};
use crate::physics::washing::{soil_factor, temperature_factor};
use crate::room::name_key;
use crate::room::tasks::Start;
use crate::room::time::Time;
use crate::room::water::Water;
use crate::scenario::model::Duty;

/// A rinse that is under its minimum by less is not.
const HAIR_K: f64 = 1e-6;

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
    /// Racks rinsed.
    pub rinsed: u64,
    /// Racks whose final rinse fell below its minimum.
    pub under_temperature: u64,
}

/// Water of one machine during a service.
#[derive(Debug, Default)]
pub struct WaterState {
    /// Up to when everything below is true.
    settled: Time,
    /// When the tanks were filled last.
    filled: Time,
    /// What the final rinse comes at, °C.
    pub rinse_c: f64,
    /// Tanks, in the way of the water.
    pub tanks: Vec<TankState>,
    /// Belt time at which the rack under the final rinse has passed it.
    passes: Option<Time>,
    /// Racks inside that have met the final rinse, the first of them.
    met: usize,
    /// Lowest temperature of the final rinse of the rack under it, °C.
    lowest_c: f64,
    /// The tanks are full, as far as their level goes.
    full: bool,
    /// Heaters and booster are on.
    heats: bool,
    /// Share of their power that is left.
    heat: f64,
    /// Share of the water of the tanks that is left.
    level: f64,
    /// The level is too low for the heat of the tanks.
    is_low: bool,
    /// Since when a change of water has waited for somebody.
    asked: Option<Time>,
    /// Somebody has its hands in it.
    in_hand: bool,
    /// The hands are done: the water is changed once the racks inside are out.
    ordered: bool,
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
            temperature_c: if start.hot { tank.start_c } else { supply_c },
            soil_g: 0.0,
        });
        tanks.extend(filled);
        let booster = water.rinse.booster.filter(|_| start.hot);
        *self = Self {
            rinse_c: booster.map_or(supply_c, |(_, of)| of.set_c),
            tanks,
            full: start.full,
            heats: start.heats,
            heat: 1.0,
            level: 1.0,
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
    fn volume_l(&self, water: &Water) -> f64 {
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

    fn in_booster_j(&self, water: &Water) -> f64 {
        let booster = water.rinse.booster.as_ref();
        booster.map_or(0.0, |(lump, _)| {
            lump.stored_j(water.rinse.supply_c, self.rinse_c)
        })
    }

    fn in_tanks_j(&self, water: &Water) -> impl Iterator<Item = f64> {
        let supply_c = water.rinse.supply_c;
        let pairs = water.tanks.iter().zip(&self.tanks);
        let level = self.level;
        pairs.map(move |(tank, at)| {
            let lump = tank.lump.filled_to(level);
            lump.stored_j(supply_c, at.temperature_c)
        })
    }

    /// Heat that the fill of booster and tanks took, J. What is colder than the supply took cold water.
    fn fill_heat_j(&self, water: &Water) -> (f64, f64) {
        let of_tanks = self.in_tanks_j(water).fold(0.0, |sum, j| sum + j.max(0.0));
        (self.in_booster_j(water).max(0.0), of_tanks)
    }

    /// Lets time pass with the rinse on or off.
    fn pass(&mut self, water: &Water, rinses: bool, dt_s: f64) {
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
            let held = lump.hold(load, thermostat, self.rinse_c, dt_s);
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
        self.books.fresh_l += fresh_l;
        self.books.rinse_l += fresh_l;
        if let (Some(tank), Some(at)) = (water.tanks.last(), self.tanks.last_mut()) {
            let diluted = dilution::after(at.soil_g, fresh_l, tank.volume_l * level);
            at.soil_g = diluted.left_g;
            self.books.soil_out_g += diluted.carried_off_g;
        }
    }
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

impl Service<'_> {
    /// Lets the water of a machine pass from when it was last settled up to now.
    pub(super) fn settle_water(&mut self, machine: usize) {
        self.settle_water_to(machine, self.now);
    }

    /// The same up to a moment before which nothing changes.
    pub(super) fn settle_water_to(&mut self, machine: usize, to: Time) {
        let Some(water) = &self.room.machines[machine].water else {
            return;
        };
        let state = &mut self.machines[machine];
        let phase = state.phase;
        let Some(at) = &mut state.water else {
            return;
        };
        let dt_s = (to - at.settled).s();
        at.settled = at.settled.max(to);
        if dt_s <= 0.0 {
            return;
        }
        let rinses = if water.rinse.always {
            !matches!(
                phase,
                Phase::Idle | Phase::Held | Phase::Refilling | Phase::Down | Phase::Off
            )
        } else {
            phase == Phase::Running && at.passes.is_some()
        };
        at.pass(water, rinses, dt_s);
    }

    /// Whether the water of a machine has to be changed before another rack enters; where that is done
    /// by hand, when the hands are done.
    pub(super) fn water_change_is_due(&self, machine: usize) -> bool {
        if self.room.machines[machine].by_hand() {
            return self.water_change_is_ordered(machine);
        }
        self.water_is_old(machine)
    }

    /// Whether the hands of a change of water are done.
    pub(super) fn water_change_is_ordered(&self, machine: usize) -> bool {
        let state = self.machines[machine].water.as_ref();
        state.is_some_and(|state| state.ordered)
    }

    /// Whether the water of a machine wants changing, by the clock or by its soil.
    fn water_is_old(&self, machine: usize) -> bool {
        let water = self.room.machines[machine].water.as_ref();
        let state = self.machines[machine].water.as_ref();
        let (Some(water), Some(state)) = (water, state) else {
            return false;
        };
        let Some(change) = &water.change else {
            return false;
        };
        let is_old = |every: Time| self.now - state.filled >= every;
        let soil_g_per_l = state.first_soil_g_per_l(water).unwrap_or(0.0);
        change.every.is_some_and(is_old)
            || change
                .at_soil_g_per_l
                .is_some_and(|limit| soil_g_per_l >= limit)
    }

    /// All tanks run out.
    pub(super) fn drain(&mut self, machine: usize) {
        let water = &self.room.machines[machine].water;
        let state = &mut self.machines[machine].water;
        if let (Some(water), Some(at)) = (water, state) {
            at.drain(water);
        }
    }

    /// All tanks are full, warm and clean again.
    pub(super) fn refill(&mut self, machine: usize) {
        let now = self.now;
        let water = &self.room.machines[machine].water;
        let state = &mut self.machines[machine].water;
        if let (Some(water), Some(at)) = (water, state) {
            at.refill(water);
            at.filled = now;
        }
        self.plan_water_due(machine);
    }

    /// What is changed by hand asks for somebody in time.
    pub(super) fn begin_water_changes(&mut self) {
        for machine in 0..self.machines.len() {
            self.plan_water_due(machine);
        }
    }

    fn plan_water_due(&mut self, machine: usize) {
        let water = self.room.machines[machine].water.as_ref();
        let change = water.and_then(|water| water.change.as_ref());
        let every = change.filter(|change| change.by_hand.is_some());
        if let Some(every) = every.and_then(|change| change.every) {
            self.events
                .push(self.now + every, Event::WaterDue(machine as u32));
        }
    }

    /// Water that is changed by hand may have become too old.
    pub(super) fn water_due(&mut self, machine: usize) {
        self.settle_water(machine);
        self.ask_for_water(machine);
    }

    /// Calls for somebody to change the water, if it is old and that takes somebody; not after closing.
    pub(super) fn ask_for_water(&mut self, machine: usize) {
        let closed = self.now >= self.room.hours.closes;
        if closed || !self.room.machines[machine].by_hand() || !self.water_is_old(machine) {
            return;
        }
        let now = self.now;
        let Some(at) = &mut self.machines[machine].water else {
            return;
        };
        if at.full && at.asked.is_none() {
            at.asked = Some(now);
            self.tally.line_grows(Duty::Tend, 1, now);
        }
    }

    /// Whether a change of water waits for somebody.
    pub(super) fn asks_for_water(&self, machine: usize) -> bool {
        let state = self.machines[machine].water.as_ref();
        state.is_some_and(|at| at.asked.is_some() && !at.in_hand && !at.ordered)
    }

    /// Somebody takes up a change of water: how long the hands take, s, and since when it has waited.
    pub(super) fn take_to_change_water(&mut self, machine: usize) -> (f64, Time) {
        let room = &self.room.machines[machine];
        let change = room.water.as_ref().and_then(|water| water.change.as_ref());
        let hands = change.and_then(|change| change.by_hand.as_ref());
        let Some(at) = &mut self.machines[machine].water else {
            return (0.0, self.now);
        };
        at.in_hand = true;
        let key = name_key(&room.name);
        let mut stream = self.streams.stream(Purpose::Change, key, at.books.changes);
        let hands_s = hands.map_or(0.0, |hands| hands.draw(&mut stream).s());
        (hands_s, at.asked.unwrap_or(self.now))
    }

    /// The hands are done: racks inside run out, then the water does.
    pub(super) fn order_water_change(&mut self, machine: usize) {
        if let Some(at) = &mut self.machines[machine].water {
            at.in_hand = false;
            at.ordered = true;
        }
        self.advance(machine);
    }

    /// How long it takes to fill the tanks.
    pub(super) fn fill_time(&self, machine: usize, flow_l_per_s: f64) -> Time {
        let water = self.room.machines[machine].water.as_ref();
        let state = self.machines[machine].water.as_ref();
        let empty = water.zip(state).filter(|(_, at)| !at.full);
        let volume_l = empty.map_or(0.0, |(water, at)| at.volume_l(water));
        Time::from_s(fill_s(volume_l, flow_l_per_s).unwrap_or(0.0))
    }

    /// The tanks are full, of water as it is supplied.
    pub(super) fn fill(&mut self, machine: usize) {
        self.settle_water(machine);
        let now = self.now;
        let water = &self.room.machines[machine].water;
        let state = &mut self.machines[machine].water;
        if let (Some(water), Some(at)) = (water, state)
            && !at.full
        {
            at.full = true;
            at.filled = now;
            at.books.fresh_l += at.volume_l(water);
        }
    }

    /// Heaters and booster are on; how long they take to their set points. What they cannot reach is
    /// not waited for.
    pub(super) fn heat_on(&mut self, machine: usize) -> Time {
        self.settle_water(machine);
        let water = &self.room.machines[machine].water;
        let state = &mut self.machines[machine].water;
        let (Some(water), Some(at)) = (water, state) else {
            return Time::ZERO;
        };
        at.heats = true;
        at.hot_after(water)
    }

    /// Heaters and booster are off.
    pub(super) fn heat_off(&mut self, machine: usize) -> Time {
        self.settle_water(machine);
        if let Some(at) = &mut self.machines[machine].water {
            at.heats = false;
        }
        Time::ZERO
    }

    /// The tanks run out and stay empty.
    pub(super) fn drain_for_good(&mut self, machine: usize) -> Time {
        self.settle_water(machine);
        self.drain(machine);
        Time::ZERO
    }

    /// Faults leave so much heat and water from now on; settled up to now.
    pub(super) fn harm_water(&mut self, machine: usize, harm: Harm, least_level: f64) {
        let water = &self.room.machines[machine].water;
        let state = &mut self.machines[machine].water;
        if let (Some(water), Some(at)) = (water, state) {
            at.heat = harm.heat;
            at.is_low = harm.level < least_level;
            at.change_level(water, harm.level);
        }
    }

    /// A rack that has passed the final rinse, and one that meets it now. The belt's clock is up to now.
    /// Gives the time for which the belt has to be held, if that rinse is too cold.
    pub(super) fn rinse_due(&mut self, machine: usize) -> Option<Time> {
        while self
            .next_at_rinse(machine)
            .is_some_and(|due| due <= self.machines[machine].belt)
        {
            self.settle_water(machine);
            let water = self.room.machines[machine].water.as_ref()?;
            let next = self.next_to_rinse(machine);
            let at = self.machines[machine].water.as_mut()?;
            if at.passes.take().is_some() {
                at.passed(water);
            } else if let Some(hot) = at.too_cold_for_s(water) {
                return Some(hot);
            } else if let Some((meets, lasts)) = next {
                at.passes = Some(meets + lasts);
                at.met += 1;
                at.lowest_c = at.rinse_c;
            }
        }
        None
    }

    /// Belt time at which a rack passes or meets the final rinse next.
    pub(super) fn next_at_rinse(&self, machine: usize) -> Option<Time> {
        let at = self.machines[machine].water.as_ref()?;
        at.passes
            .or_else(|| self.next_to_rinse(machine).map(|(meets, _)| meets))
    }

    /// The first rack that has not met the final rinse: when it does, and how long it takes to pass.
    fn next_to_rinse(&self, machine: usize) -> Option<(Time, Time)> {
        let state = &self.machines[machine];
        let (water, at) = (&self.room.machines[machine].water, &state.water);
        let (water, at) = (water.as_ref()?, at.as_ref()?);
        let &rack = state.inside.get(at.met)?;
        let rack = &self.racking.racks[rack as usize];
        let entered = rack.exit - self.room.machines[machine].transit();
        Some((entered + water.rinse.from, water.rinse.lasts[rack.kind]))
    }

    /// Factor of the wash by soil and temperature of its water; 1 where they do not matter.
    pub(super) fn tank_factor(&self, machine: usize) -> f64 {
        let water = self.room.machines[machine].water.as_ref();
        let state = self.machines[machine].water.as_ref();
        let (Some(water), Some(state)) = (water, state) else {
            return 1.0;
        };
        let Some((tank, at)) = water
            .wash
            .map(|wash| (&water.tanks[wash], &state.tanks[wash]))
        else {
            return 1.0;
        };
        let soil_g_per_l = at.soil_g / (tank.volume_l * state.level);
        let of_soil = |halves| soil_factor(soil_g_per_l, halves);
        let set_c = tank.thermostat.set_c;
        let of_cold = |halves_k| temperature_factor(at.temperature_c, set_c, halves_k);
        water.soil_halves_wash_g_per_l.map_or(1.0, of_soil)
            * water.cold_halves_wash_k.map_or(1.0, of_cold)
    }

    /// A rack enters: its soil goes into the first tank it meets, and it cools the wash, or that tank.
    /// Only ware that has not been washed yet brings soil.
    pub(super) fn rack_soils_and_cools(&mut self, machine: usize, rack: u32) {
        let Some(water) = &self.room.machines[machine].water else {
            return;
        };
        let entering = &self.racking.racks[rack as usize];
        let (mut heat_j_per_k, mut soil_g) = (water.rack_j_per_k[entering.kind], 0.0);
        for piece in entering.queue.iter(&self.pieces) {
            let piece = &self.pieces[piece as usize];
            heat_j_per_k += water.ware_j_per_k[piece.ware as usize];
            if piece.washes == 0 {
                soil_g += water.soil_g[piece.soil as usize];
            }
        }
        if let Some(at) = &mut self.machines[machine].water {
            at.soil_and_cool(water, soil_g, heat_j_per_k);
        }
    }

    /// A rack has left: of those inside that met the final rinse there is one less.
    pub(super) fn rinsed_rack_left(&mut self, machine: usize) {
        if let Some(at) = &mut self.machines[machine].water {
            at.met = at.met.saturating_sub(1);
        }
    }
}

impl WaterState {
    /// How long it takes from a final rinse below its minimum to its set point, where the belt is held.
    fn too_cold_for_s(&self, water: &Water) -> Option<Time> {
        let rinse = &water.rinse;
        let least_c = rinse.minimum_c.filter(|_| rinse.holds)?;
        let (lump, thermostat) = rinse.booster?;
        let still = Load {
            room_c: water.room_c,
            flow_kg_per_s: 0.0,
            inlet_c: rinse.supply_c,
        };
        let heat = if self.heats { self.heat } else { 0.0 };
        let (power_w, set_c) = (thermostat.heater_w * heat, thermostat.set_c);
        // Who waits for what the booster is not set to waits for ever: the check refuses it.
        let is_cold = self.rinse_c < least_c.min(set_c) - HAIR_K;
        let hot_s = is_cold.then(|| lump.time_to_s(still, power_w, self.rinse_c, set_c))?;
        // To the next nanosecond, so that it is hot then.
        hot_s.map(|s| Time::from_s(s) + Time::from_ns(1))
    }

    /// What is in the tanks goes down the drain; they stand empty, which counts as at the supply.
    fn drain(&mut self, water: &Water) {
        let supply_c = water.rinse.supply_c;
        if !std::mem::take(&mut self.full) {
            return;
        }
        for (tank, at) in water.tanks.iter().zip(&mut self.tanks) {
            let lump = tank.lump.filled_to(self.level);
            self.books.drained_j += lump.stored_j(supply_c, at.temperature_c);
            self.books.soil_out_g += at.soil_g;
            *at = TankState {
                temperature_c: supply_c,
                soil_g: 0.0,
            };
        }
    }

    fn refill(&mut self, water: &Water) {
        let supply_c = water.rinse.supply_c;
        let heated = self.heats && self.heat > 0.0 && !self.is_low;
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
            self.books.fresh_l += tank.volume_l * self.level;
        }
        self.full = true;
        self.asked = None;
        self.ordered = false;
        self.books.changes += 1;
    }

    /// Water runs off to a lower level, with its heat and soil, or is filled up as it is supplied.
    fn change_level(&mut self, water: &Water, level: f64) {
        let (before, supply_c) = (
            std::mem::replace(&mut self.level, level),
            water.rinse.supply_c,
        );
        if !self.full || before == level {
            return;
        }
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
                self.books.fresh_l += tank.volume_l * (level - before);
            }
        }
    }

    /// Time until tanks and booster are at their set points, those that come there.
    fn hot_after(&self, water: &Water) -> Time {
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
    fn passed(&mut self, water: &Water) {
        self.books.rinsed += 1;
        let is_under = |least_c: f64| self.lowest_c < least_c - HAIR_K;
        self.books.under_temperature += u64::from(water.rinse.minimum_c.is_some_and(is_under));
    }

    fn soil_and_cool(&mut self, water: &Water, soil_g: f64, heat_j_per_k: f64) {
        if let Some(first) = self.tanks.last_mut() {
            first.soil_g += soil_g;
            self.books.soil_in_g += soil_g;
        }
        let cooled = water.wash.or_else(|| self.tanks.len().checked_sub(1));
        let Some(cooled) = cooled else {
            return;
        };
        let (tank, at) = (&water.tanks[cooled], &mut self.tanks[cooled]);
        let lump = tank.lump.filled_to(self.level);
        let before_c = at.temperature_c;
        at.temperature_c = mixed_c(
            lump.capacity_j_per_k,
            before_c,
            heat_j_per_k,
            water.room_c,
            1.0,
        );
        self.books.ware_j += lump.stored_j(at.temperature_c, before_c);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::room::Room;

    /// A wash set to 70 °C, 10 K to the half and 2 g/L to the half: at 60 °C with 2 g/L a quarter of a wash.
    #[test]
    fn a_wash_ten_degrees_too_cold_is_half_a_wash() {
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/rooms/water.toml");
        let mut room = Room::of(&crate::scenario::load(&file).unwrap().scenario);
        let factor = |room: &Room, temperature_c: f64| {
            let mut service = Service::new(room);
            service.begin(1, 0);
            let at = &mut service.machines[0].water.as_mut().unwrap().tanks[0];
            *at = TankState {
                temperature_c,
                soil_g: 160.0,
            };
            service.tank_factor(0)
        };
        assert_eq!(factor(&room, 60.0), 1.0);
        let water = room.machines[0].water.as_mut().unwrap();
        assert_eq!(
            (water.tanks[0].volume_l, water.tanks[0].thermostat.set_c),
            (80.0, 70.0)
        );
        water.cold_halves_wash_k = Some(10.0);
        let by_temperature = [80.0, 70.0, 60.0, 40.0].map(|c| factor(&room, c));
        assert_eq!(by_temperature, [1.0, 1.0, 0.5, 0.125]);
        room.machines[0]
            .water
            .as_mut()
            .unwrap()
            .soil_halves_wash_g_per_l = Some(2.0);
        assert_eq!(factor(&room, 60.0), 0.25);
    }
}
