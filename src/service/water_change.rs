//! Water is filled in, heated, changed, lost and let out: what tasks, faults and changes of water do.
//!
//! A change of water is ordered when its limit is first met, and no rack enters from then on. After closing it begins only
//! for a rack that waits. Two machines that fill at once share the `supply`, if it is limited.

use super::common::Common;
use super::events::Event;
use super::index::{MachineId, TapId};
use super::line::Calls;
use super::loading::Racking;
use super::machine::{Harm, Machines};
use super::streams::Purpose;
use super::supply;
use crate::physics::heat::fill_s;
use crate::room::name_key;
use crate::room::time::Time;
use crate::scenario::model::Duty;

impl Machines {
    /// Whether a change of water is ordered: it is not taken back, and no rack enters before it.
    pub(super) fn water_change_is_ordered(&self, machine: MachineId) -> bool {
        let state = self.states[machine].water.as_ref();
        state.is_some_and(|state| state.ordered)
    }

    /// Whether an ordered change begins now: racks are out and rinsed. After closing it waits for a rack that wants to
    /// enter, unless somebody has had hands in it.
    pub(super) fn water_change_begins(
        &mut self,
        common: &Common<'_>,
        racking: &Racking,
        machine: MachineId,
    ) -> bool {
        let is_out = self.states[machine].inside.is_empty() && !self.has_rack_under_rinse(machine);
        if !self.water_change_is_ordered(machine) || !is_out {
            return false;
        }
        let begins = common.now < common.room.hours.closes
            || common.room.machines[machine].by_hand()
            || self.has_next_rack(common, racking, machine);
        if !begins {
            self.count_change(common, machine);
        }
        begins
    }

    /// A change of water keeps racks from entering from now on, if it does not already.
    pub(super) fn keep_racks_out(&mut self, common: &Common<'_>, machine: MachineId) {
        let now = common.now;
        if let Some(at) = &mut self.states[machine].water {
            at.ordered = true;
            at.keeps_out.get_or_insert(now);
        }
    }

    /// Whether the water of a machine wants changing, by the clock or by its soil.
    fn water_is_old(&self, common: &Common<'_>, machine: MachineId) -> bool {
        let water = common.room.machines[machine].water.as_ref();
        let state = self.states[machine].water.as_ref();
        let (Some(water), Some(state)) = (water, state) else {
            return false;
        };
        let Some(change) = &water.change else {
            return false;
        };
        let is_old = |every: Time| common.now - state.filled >= every;
        let soil_g_per_l = state.first_soil_g_per_l(water).unwrap_or(0.0);
        change.every.is_some_and(is_old)
            || change
                .at_soil_g_per_l
                .is_some_and(|limit| soil_g_per_l >= limit)
    }

    /// All tanks run out.
    pub(super) fn drain(&mut self, common: &Common<'_>, machine: MachineId) {
        let water = &common.room.machines[machine].water;
        let state = &mut self.states[machine].water;
        if let (Some(water), Some(at)) = (water, state) {
            at.drain(water);
        }
    }

    /// All tanks are full, warm and clean again.
    pub(super) fn refill(&mut self, common: &mut Common<'_>, machine: MachineId) {
        let now = common.now;
        let water = &common.room.machines[machine].water;
        let state = &mut self.states[machine].water;
        if let (Some(water), Some(at)) = (water, state) {
            at.refill(water);
            at.filled = now;
        }
        self.count_change(common, machine);
        self.plan_water_due(common, machine);
    }

    /// A change of water no longer keeps racks from entering.
    pub(super) fn count_change(&mut self, common: &Common<'_>, machine: MachineId) {
        let now = common.now;
        if let Some(at) = &mut self.states[machine].water
            && let Some(since) = at.keeps_out.take()
        {
            at.books.changing += now - since;
        }
    }

    /// What is changed by the clock is due in time, whether racks come or not.
    pub(super) fn begin_water_changes(&self, common: &mut Common<'_>) {
        for machine in MachineId::all(self.states.len()) {
            // What has to be filled first is due so long after that.
            if common.room.machines[machine].start.full {
                self.plan_water_due(common, machine);
            }
        }
    }

    fn plan_water_due(&self, common: &mut Common<'_>, machine: MachineId) {
        let water = common.room.machines[machine].water.as_ref();
        let change = water.and_then(|water| water.change.as_ref());
        if let Some(every) = change.and_then(|change| change.every) {
            common
                .events
                .set(common.now + every, Event::WaterDue(machine));
        }
    }

    /// Water may have become too old by the clock.
    pub(super) fn water_due(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) {
        self.call_for_water(common, machine);
        if self.water_change_is_ordered(machine) {
            self.advance(common, racking, machine);
        }
    }

    /// Orders a change of the water if it is old; where that takes somebody, calls for him, but not after closing.
    pub(super) fn call_for_water(&mut self, common: &mut Common<'_>, machine: MachineId) {
        if !common.room.machines[machine].changes_water() {
            return;
        }
        self.settle_water(common, machine);
        if !self.water_is_old(common, machine) {
            return;
        }
        let (now, closed) = (common.now, common.now >= common.room.hours.closes);
        let by_hand = common.room.machines[machine].by_hand();
        let Some(at) = self.states[machine].water.as_mut().filter(|at| at.full) else {
            return;
        };
        if by_hand && !closed && at.asked.is_none() {
            at.asked = Some(now);
            Calls(Duty::Tend).join(&mut common.flow, 1, now);
        } else if !by_hand && !at.ordered {
            self.keep_racks_out(common, machine);
        }
    }

    /// Whether a change of water waits for somebody.
    pub(super) fn asks_for_water(&self, machine: MachineId) -> bool {
        let state = self.states[machine].water.as_ref();
        state.is_some_and(|at| at.asked.is_some() && !at.in_hand && !at.ordered)
    }

    /// Somebody takes up a change of water: how long the hands take, s, and since when it has waited.
    pub(super) fn take_to_change_water(
        &mut self,
        common: &Common<'_>,
        machine: MachineId,
    ) -> (f64, Time) {
        let room = &common.room.machines[machine];
        let change = room.water.as_ref().and_then(|water| water.change.as_ref());
        let hands = change.and_then(|change| change.by_hand.as_ref());
        let Some(at) = &mut self.states[machine].water else {
            return (0.0, common.now);
        };
        at.in_hand = true;
        let key = name_key(&room.name);
        let mut stream = common
            .streams
            .stream(Purpose::Change, key, at.books.changes);
        let hands_s = hands.map_or(0.0, |hands| hands.draw(&mut stream).s());
        (hands_s, at.asked.unwrap_or(common.now))
    }

    /// The hands are done: racks inside run out, then the water does.
    pub(super) fn order_water_change(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) {
        if let Some(at) = &mut self.states[machine].water {
            at.in_hand = false;
            if !at.full {
                // Let out for good while the hands were at it.
                at.asked = None;
                return;
            }
        }
        self.keep_racks_out(common, machine);
        self.advance(common, racking, machine);
    }

    /// How long it takes to fill the tanks.
    pub(super) fn fill_time(
        &self,
        common: &Common<'_>,
        machine: MachineId,
        flow_l_per_s: f64,
    ) -> Time {
        let volume_l = self.empty_l(common, machine);
        Time::from_s(fill_s(volume_l, flow_l_per_s).unwrap_or(0.0))
    }

    /// The water that empty tanks take, L.
    pub(super) fn empty_l(&self, common: &Common<'_>, machine: MachineId) -> f64 {
        let water = common.room.machines[machine].water.as_ref();
        let state = self.states[machine].water.as_ref();
        let empty = water.zip(state).filter(|(_, at)| !at.full);
        empty.map_or(0.0, |(water, at)| at.volume_l(water))
    }

    /// Empty tanks begin to fill from a tap, and share the supply.
    pub(super) fn fill_from(
        &self,
        common: &mut Common<'_>,
        tap: TapId,
        machine: MachineId,
        most_l_per_s: f64,
    ) {
        let litres = self.empty_l(common, machine);
        if litres > 0.0 {
            common.open_tap(tap, litres, most_l_per_s);
        }
    }

    /// Where the supply is limited, the tanks have run out and begin to fill; how long they still take is for it to say.
    /// Whether they do.
    pub(super) fn begins_to_fill(&mut self, common: &mut Common<'_>, machine: MachineId) -> bool {
        let water = common.room.machines[machine].water.as_ref();
        let change = water.and_then(|water| water.change.as_ref());
        let drained = self.states[machine].water.as_mut().filter(|at| at.to_fill);
        let (Some(change), Some(at)) = (change, drained) else {
            return false;
        };
        at.to_fill = false;
        common.open_tap(
            supply::of_change(machine),
            change.fill_l,
            change.flow_l_per_s,
        );
        true
    }

    /// The tanks are full again: now they are heated.
    pub(super) fn change_is_filled(&self, common: &mut Common<'_>, machine: MachineId) {
        common.close_tap(supply::of_change(machine));
        let water = common.room.machines[machine].water.as_ref();
        if let Some(change) = water.and_then(|water| water.change.as_ref()) {
            common
                .events
                .set(common.now + change.heat, Event::Conveyor(machine));
        }
    }

    /// The tanks are full, of water as it is supplied.
    pub(super) fn fill(&mut self, common: &mut Common<'_>, machine: MachineId) {
        self.settle_water(common, machine);
        let now = common.now;
        let water = &common.room.machines[machine].water;
        let state = &mut self.states[machine].water;
        if let (Some(water), Some(at)) = (water, state)
            && !at.full
        {
            at.full = true;
            at.filled = now;
            at.take_in(at.volume_l(water));
            self.plan_water_due(common, machine);
        }
    }

    /// Heaters and booster are on; how long they take to their set points. What they cannot reach is
    /// not waited for.
    pub(super) fn heat_on(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) -> Time {
        self.settle_water(common, machine);
        let water = &common.room.machines[machine].water;
        let state = &mut self.states[machine].water;
        let (Some(water), Some(at)) = (water, state) else {
            return Time::ZERO;
        };
        at.heats = true;
        let hot = at.hot_after(water);
        self.hold_again(common, racking, machine);
        hot
    }

    /// Heaters and booster are off.
    pub(super) fn heat_off(&mut self, common: &Common<'_>, machine: MachineId) -> Time {
        self.settle_water(common, machine);
        if let Some(at) = &mut self.states[machine].water {
            at.heats = false;
        }
        Time::ZERO
    }

    /// The tanks run out and stay empty.
    pub(super) fn drain_for_good(&mut self, common: &Common<'_>, machine: MachineId) -> Time {
        self.settle_water(common, machine);
        self.drain(common, machine);
        // What stands empty for good is not filled again.
        self.count_change(common, machine);
        if let Some(at) = &mut self.states[machine].water
            && at.ordered
        {
            // Somebody has had hands in it: nobody is called for it again.
            at.ordered = false;
            at.asked = None;
        }
        Time::ZERO
    }

    /// Faults leave so much heat and water from now on; settled up to now.
    pub(super) fn harm_water(
        &mut self,
        common: &Common<'_>,
        machine: MachineId,
        harm: Harm,
        least_level: f64,
    ) {
        let water = &common.room.machines[machine].water;
        let state = &mut self.states[machine].water;
        if let (Some(water), Some(at)) = (water, state) {
            at.heat = harm.heat;
            at.dose = harm.detergent;
            at.is_low = harm.level < least_level;
            at.change_level(water, harm.level);
        }
    }
}
