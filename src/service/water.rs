//! Water, heat and soil of a machine between two events.
//!
//! Everything is settled when something changes: a rack enters, meets or leaves the final rinse, or the
//! machine does something else. Between, nothing does: see [`super::tanks`].
//!
//! Each minute mark settles too.
//!
//! - **Soil**: a pre-wash tank catches a given share of the soil of a rack, the wash the rest. From there it goes the way of
//!   the water, evenly between two settlings.
//! - **Heat**: with its entry a rack becomes as warm as each tank that it meets, one after the other. What the final rinse
//!   gives it is not counted.
//! - **The last rack**: one that leaves the tunnel under the final rinse is rinsed to its end. Pumps, a change of water and
//!   the end of the evening wait for it, seconds at most.

use super::common::Common;
use super::index::{MachineId, RackId};
use super::line::racks::Rack;
use super::loading::Racking;
use super::machine::{CycleLeft, Machines, Phase};
use super::pieces::add_each;
use crate::physics::washing::{soil_factor, temperature_factor};
use crate::room::time::Time;

impl Machines {
    /// Lets the water of a machine pass from when it was last settled up to now.
    pub(super) fn settle_water(&mut self, common: &Common<'_>, machine: MachineId) {
        self.settle_water_to(common, machine, common.now);
    }

    /// Lets the water of all machines pass up to a moment before which nothing changes.
    pub(super) fn settle_all_to(&mut self, common: &Common<'_>, to: Time) {
        for machine in MachineId::all(self.states.len()) {
            self.settle_water_to(common, machine, to);
        }
    }

    /// The same for one.
    pub(super) fn settle_water_to(&mut self, common: &Common<'_>, machine: MachineId, to: Time) {
        let Some(water) = &common.room.machines[machine].water else {
            return;
        };
        let state = &mut self.states[machine];
        let phase = state.phase;
        let Some(at) = &mut state.water else {
            return;
        };
        if let Some(begins) = at.hood_rinses.filter(|begins| at.settled <= *begins) {
            // Before the rinse of the cycle; what is left of the stretch is rinsed.
            at.pass(water, false, to.min_of(begins).max(at.settled));
            at.lowest_c = water.rinse.comes_c(at.rinse_c);
            at.washed_cold |= at.is_wash_cold(water);
        }
        if to <= at.settled {
            return;
        }
        let rinses = if water.rinse.always {
            !matches!(
                phase,
                Phase::Idle | Phase::Held | Phase::Refilling | Phase::Down | Phase::Off
            )
        } else {
            phase == Phase::Running && at.passes.is_some()
                || phase != Phase::Down && at.hood_rinses.is_some()
        };
        at.pass(water, rinses, to);
    }

    /// A rack that has passed the final rinse, and one that meets it now. The belt's clock is up to now.
    /// Gives the time for which the belt has to be held, if that rinse is too cold.
    pub(super) fn rinse_due(
        &mut self,
        common: &Common<'_>,
        racking: &Racking,
        machine: MachineId,
    ) -> Option<Time> {
        let belt = self.states[machine].belt()?.time();
        while self
            .next_at_rinse(common, racking, machine)
            .is_some_and(|due| due <= belt)
        {
            self.settle_water(common, machine);
            let water = common.room.machines[machine].water.as_ref()?;
            let next = self.next_to_rinse(common, racking, machine);
            let next = next.map(|(meets, rack)| (meets + water.rinse.lasts[rack.kind], rack));
            let at = self.states[machine].water.as_mut()?;
            if at.passes.take().is_some() {
                at.passed(water);
            } else if let Some(hot) = at.too_cold_for_s(water) {
                return Some(hot);
            } else if let Some((passes, rack)) = next {
                at.passes = Some(passes);
                at.washed_cold = rack.cold || at.is_wash_cold(water);
                at.met += 1;
                at.lowest_c = water.rinse.comes_c(at.rinse_c);
            }
        }
        None
    }

    /// Belt time at which a rack passes or meets the final rinse next.
    pub(super) fn next_at_rinse(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        machine: MachineId,
    ) -> Option<Time> {
        let at = self.states[machine].water.as_ref()?;
        at.passes.or_else(|| {
            self.next_to_rinse(common, racking, machine)
                .map(|(meets, _)| meets)
        })
    }

    /// The first rack that has not met the final rinse: when it does, and how long it takes to pass.
    fn next_to_rinse<'k>(
        &self,
        common: &Common<'_>,
        racking: &'k Racking,
        machine: MachineId,
    ) -> Option<(Time, &'k Rack)> {
        let state = &self.states[machine];
        let (water, at) = (&common.room.machines[machine].water, &state.water);
        let (water, at) = (water.as_ref()?, at.as_ref()?);
        let &rack = state.inside.get(at.met)?;
        let rack = &racking.racks[rack];
        let entered = rack.exit - common.room.machines[machine].transit();
        Some((entered + water.rinse.from, rack))
    }

    /// Whether a rack is under the final rinse; it may have left the tunnel.
    pub(super) fn has_rack_under_rinse(&self, machine: MachineId) -> bool {
        let state = self.states[machine].water.as_ref();
        state.is_some_and(|at| at.passes.is_some())
    }

    /// Time until the rack under the final rinse has passed it, if the belt moves.
    pub(super) fn rinses_for(&self, common: &Common<'_>, machine: MachineId) -> Option<Time> {
        let state = &self.states[machine];
        let passes = state.water.as_ref()?.passes?;
        let belt = state.belt()?;
        (state.phase == Phase::Running).then(|| passes - belt.time_moving(common.now))
    }

    /// Whether a rack is under the final rinse of any machine whose belt moves.
    pub(super) fn any_rinses(&self, common: &Common<'_>) -> bool {
        MachineId::all(self.states.len()).any(|machine| self.rinses_for(common, machine).is_some())
    }

    /// The evening is over, and what has begun is brought to its end: water that was let out is filled in again, and a
    /// rack that a fault has stopped under the final rinse is counted.
    pub(super) fn finish_water(&mut self, common: &mut Common<'_>, machine: MachineId) {
        if self.states[machine].phase == Phase::Refilling {
            self.refill(common, machine);
        }
        let water = &common.room.machines[machine].water;
        let state = &mut self.states[machine].water;
        if let (Some(water), Some(at)) = (water, state)
            && at.passes.take().is_some()
        {
            at.passed(water);
        }
    }

    /// How long the rinse of a hood lasts, and so its cycle at least.
    pub(super) fn hood_rinse_lasts(&self, common: &Common<'_>, machine: MachineId) -> Time {
        let water = common.room.machines[machine].water.as_ref();
        let lasts = water.and_then(|water| water.rinse.lasts.first().copied());
        lasts.unwrap_or_default()
    }

    /// A hood begins a cycle that ends at a moment: it rinses before.
    pub(super) fn hood_cycle_begins(
        &mut self,
        common: &Common<'_>,
        machine: MachineId,
        washing: Time,
        ends: Time,
    ) {
        let begins = ends - self.hood_rinse_lasts(common, machine);
        if let Some(at) = &mut self.states[machine].water {
            at.hood_rinses = Some(begins);
            at.books.cycles += washing;
        }
    }

    /// A fault stops a cycle: how long it still was until its rinse, if that had not begun, and whether it went on
    /// washing until it was hot.
    pub(super) fn stop_rinse(
        &mut self,
        common: &Common<'_>,
        machine: MachineId,
    ) -> (Option<Time>, bool) {
        let now = common.now;
        let Some(at) = &mut self.states[machine].water else {
            return (None, false);
        };
        let waits = at.waits_for_heat.is_some();
        at.count_wait_for_heat(now);
        let begins = at.hood_rinses.take_if(|begins| *begins >= now);
        (begins.map(|begins| begins - now), waits)
    }

    /// The cycle goes on: its rinse begins so long from now, if it had not begun.
    pub(super) fn resume_rinse(
        &mut self,
        common: &Common<'_>,
        machine: MachineId,
        left: CycleLeft,
    ) {
        let now = common.now;
        let Some(at) = &mut self.states[machine].water else {
            return;
        };
        if let Some(rinses) = left.rinses {
            at.hood_rinses = Some(now + rinses);
        }
        at.waits_for_heat = left.waits_for_heat.then_some(now);
    }

    /// How long a hood that would rinse now goes on washing until wash and booster are hot, if it does.
    pub(super) fn hood_is_cold_for(
        &mut self,
        common: &Common<'_>,
        machine: MachineId,
    ) -> Option<Time> {
        self.settle_water(common, machine);
        let now = common.now;
        let water = common.room.machines[machine].water.as_ref()?;
        let at = self.states[machine].water.as_mut()?;
        at.count_wait_for_heat(now);
        let hot = at.too_cold_for_s(water).max(at.wash_cold_for_s(water));
        at.hood_rinses = Some(now + hot.unwrap_or_default());
        if hot.is_some() {
            at.waits_for_heat = Some(now);
        } else {
            // By now it has been washed in what is hot.
            at.washed_cold = false;
        }
        hot
    }

    /// Whether the wash of a hood goes on until wash and booster are hot.
    pub(super) fn hood_waits_for_heat(&self, machine: MachineId) -> bool {
        let water = self.states[machine].water.as_ref();
        water.is_some_and(|at| at.waits_for_heat.is_some())
    }

    /// Its cycle is over, settled up to now.
    pub(super) fn hood_has_rinsed(&mut self, common: &Common<'_>, machine: MachineId) {
        self.settle_water(common, machine);
        let water = &common.room.machines[machine].water;
        let state = &mut self.states[machine].water;
        if let (Some(water), Some(at)) = (water, state)
            && at.hood_rinses.take().is_some()
        {
            at.passed(water);
        }
    }

    /// Factor of the wash by soil and temperature of its water; 1 where they do not matter.
    pub(super) fn tank_factor(&self, common: &Common<'_>, machine: MachineId) -> f64 {
        let water = common.room.machines[machine].water.as_ref();
        let state = self.states[machine].water.as_ref();
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

    /// A rack enters: it brings its soil and takes its heat. Only ware that has not been washed yet brings soil.
    pub(super) fn rack_soils_and_cools(
        &mut self,
        common: &Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
        rack: RackId,
    ) {
        let Some(water) = &common.room.machines[machine].water else {
            return;
        };
        let is_hood = common.room.machines[machine].is_hood();
        if let Some(at) = &mut self.states[machine].water {
            let is_old = |within: Time| common.now - at.filled > within;
            at.books.old_water += u64::from(water.change_within.is_some_and(is_old));
            let cold = at.is_wash_cold(water);
            racking.racks[rack].cold = cold;
            if is_hood {
                at.washed_cold = cold;
            }
        }
        let entering = &racking.racks[rack];
        let (mut heat_j_per_k, mut soil_g) = (water.rack_j_per_k[entering.kind], 0.0);
        for run in entering.pile.runs(&common.flow) {
            let of_ware = water.ware_j_per_k[run.ware as usize];
            heat_j_per_k = add_each(heat_j_per_k, of_ware, run.count);
            if !run.washed {
                soil_g = add_each(soil_g, water.soil_g[run.soil as usize], run.count);
            }
        }
        if let Some(at) = &mut self.states[machine].water {
            at.soil_and_cool(water, soil_g, heat_j_per_k);
        }
    }

    /// A rack has left: of those inside that met the final rinse there is one less.
    pub(super) fn rinsed_rack_left(&mut self, machine: MachineId) {
        if let Some(at) = &mut self.states[machine].water {
            at.met = at.met.saturating_sub(1);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::room::Room;
    use crate::service::Service;
    use crate::service::index::MachineId;
    use crate::service::tanks::TankState;

    /// A wash set to 70 °C, 10 K to the half and 2 g/L to the half: at 60 °C with 2 g/L a quarter of a wash.
    #[test]
    fn a_wash_ten_degrees_too_cold_is_half_a_wash() {
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/rooms/water.toml");
        let mut room = Room::of(&crate::scenario::load(&file).unwrap().scenario);
        let factor = |room: &Room, temperature_c: f64| {
            let mut service = Service::new(room);
            service.begin(1, 0);
            let at = &mut service.machines.states[0].water.as_mut().unwrap().tanks[0];
            *at = TankState {
                temperature_c,
                soil_g: 160.0,
            };
            service
                .machines
                .tank_factor(&service.common, MachineId::new(0))
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
