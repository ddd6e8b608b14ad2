//! The rack conveyor: racks ride a belt, one pitch apart, and stand when the belt stands.
//!
//! Positions are belt times: the belt's own clock, which runs only while the belt moves. A rack that
//! enters at belt time b reaches the exit at b + transit. When it finds the landing full the belt
//! stops, every rack inside with it, until a place is free. It may also be held: for a rack that comes to a final rinse
//! below its minimum until the booster is hot again, and for one that would enter a wash below its own until that is.

use super::common::Common;
use super::events::Event;
use super::index::MachineId;
use super::loading::Racking;
use super::machine::{Drive, Machines, Phase};
use crate::room::stations::Kind;
use crate::room::time::Time;

impl Machines {
    /// Exits and entries that are due now, then the next one is planned.
    pub(super) fn advance_conveyor(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) {
        self.states[machine].settle_belt(common.now);
        match self.states[machine].phase {
            Phase::Starting | Phase::Held | Phase::Refilling | Phase::Down | Phase::Off => return,
            Phase::Idle => {
                if self.water_change_begins(common, racking, machine) {
                    self.start_water_change(common, machine);
                } else if self.has_next_rack(common, racking, machine) {
                    self.start_again(common, machine);
                }
                return;
            }
            _ => {}
        }
        if let Some(hot) = self.rinse_due(common, racking, machine) {
            return self.hold_belt(common, machine, hot);
        }
        let was_empty = self.states[machine].inside.is_empty();
        while self.exit_due(racking, machine) {
            if !self.landing_has_room(common, machine) {
                self.change_phase(common, machine, Phase::Stopped);
                common.events.unset(Event::Conveyor(machine));
                return;
            }
            self.change_phase(common, machine, Phase::Running);
            self.rack_leaves(common, racking, machine);
        }
        self.change_phase(common, machine, Phase::Running);
        self.call_for_water(common, machine);
        if self.water_change_begins(common, racking, machine) {
            return self.start_water_change(common, machine);
        }
        if let Some(hot) = self.enter_racks(common, racking, machine) {
            common.events.unset(Event::Idle(machine));
            return self.hold_belt(common, machine, hot);
        }
        if self.states[machine].inside.is_empty() && !was_empty {
            self.set_idle_timer(common, machine);
        }
        self.plan_next(common, racking, machine);
    }

    fn exit_due(&self, racking: &Racking, machine: MachineId) -> bool {
        let state = &self.states[machine];
        let front = state.inside.front().zip(state.belt());
        front.is_some_and(|(&rack, belt)| racking.racks[rack].exit <= belt.time())
    }

    /// Racks enter while there is room behind the last one; none does before water whose change is ordered. How long
    /// the belt is held for a wash that is too cold for the next one, if it is.
    fn enter_racks(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) -> Option<Time> {
        let Kind::Conveyor {
            transit, headway, ..
        } = &common.room.machines[machine].kind
        else {
            return None;
        };
        while !self.water_change_is_ordered(machine) {
            let belt = self.states[machine].belt();
            if belt.is_none_or(|belt| belt.entry_free() > belt.time()) {
                return None;
            }
            if !self.has_next_rack(common, racking, machine) {
                return None;
            }
            if let Some(hot) = self.wash_is_cold_for(common, machine) {
                return Some(hot);
            }
            let rack = self.next_rack(common, racking, machine)?;
            if let Drive::Belt(belt) = &mut self.states[machine].drive {
                let entering = &mut racking.racks[rack];
                entering.exit = belt.time() + *transit;
                belt.enter(headway[entering.kind]);
            }
            common.events.unset(Event::Idle(machine));
            self.rack_enters(common, racking, machine, rack);
            self.call_for_water(common, machine);
        }
        None
    }

    /// How long the belt is held until its wash is hot enough for a rack, if it is not.
    fn wash_is_cold_for(&mut self, common: &Common<'_>, machine: MachineId) -> Option<Time> {
        let water = common.room.machines[machine].water.as_ref();
        let water = water.filter(|water| water.holds)?;
        self.settle_water(common, machine);
        self.states[machine].water.as_ref()?.wash_cold_for_s(water)
    }

    /// Plans the next exit or entry while the belt moves, if it is not planned already.
    fn plan_next(&self, common: &mut Common<'_>, racking: &Racking, machine: MachineId) {
        let state = &self.states[machine];
        let Some(belt) = state.belt() else {
            return;
        };
        let exit = state.inside.front().map(|&rack| racking.racks[rack].exit);
        let may_enter =
            self.has_next_rack(common, racking, machine) && !self.water_change_is_ordered(machine);
        let entry = may_enter.then(|| belt.entry_free());
        let rinse = self.next_at_rinse(common, racking, machine);
        let dues = [exit, entry, rinse].into_iter().flatten();
        let Some(due) = dues.reduce(Time::min_of) else {
            return;
        };
        let due = common.now + (due - belt.time());
        if common.events.due(Event::Conveyor(machine)) != Some(due) {
            self.set_belt(common, machine, due);
        }
    }

    /// The belt stands until it is hot enough.
    fn hold_belt(&mut self, common: &mut Common<'_>, machine: MachineId, hot: Time) {
        self.change_phase(common, machine, Phase::Held);
        self.set_belt(common, machine, common.now + hot);
        self.is_held_for(common, machine, hot);
    }

    /// Sets the clock of a belt.
    fn set_belt(&self, common: &mut Common<'_>, machine: MachineId, due: Time) {
        common.events.set(due, Event::Conveyor(machine));
    }

    /// The next exit or entry is due, or the belt runs again; or the water of a hood has been changed.
    pub(super) fn conveyor_due(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) {
        if self.states[machine].phase == Phase::Starting {
            self.states[machine].settle_belt(common.now);
            self.change_phase(common, machine, Phase::Running);
            // The rack it started for may have gone to another machine meanwhile.
            self.set_idle_timer(common, machine);
        }
        if self.states[machine].phase == Phase::Refilling {
            if self.begins_to_fill(common, machine) {
                return;
            }
            self.states[machine].settle_belt(common.now);
            self.change_phase(common, machine, Phase::Running);
            self.refill(common, machine);
            if self.stands_at_once(common, machine) {
                return;
            }
            self.set_idle_timer(common, machine);
        }
        if self.states[machine].phase == Phase::Held {
            self.states[machine].settle_belt(common.now);
            self.change_phase(common, machine, Phase::Running);
        }
        self.advance(common, racking, machine);
    }

    /// The tanks are drained, filled and heated; then the belt runs again, or a hood takes its next rack.
    pub(super) fn start_water_change(&mut self, common: &mut Common<'_>, machine: MachineId) {
        let water = common.room.machines[machine].water.as_ref();
        let Some(change) = water.and_then(|water| water.change.as_ref()) else {
            return;
        };
        let shares = common.room.supply.is_some() && change.fill_l > 0.0;
        let takes = if shares { change.drain } else { change.takes };
        self.keep_racks_out(common, machine);
        self.change_phase(common, machine, Phase::Refilling);
        self.drain(common, machine);
        if let Some(at) = &mut self.states[machine].water {
            at.to_fill = shares;
        }
        self.set_belt(common, machine, common.now + takes);
    }

    pub(super) fn set_idle_timer(&self, common: &mut Common<'_>, machine: MachineId) {
        let Kind::Conveyor {
            idle_after: Some(wait),
            ..
        } = common.room.machines[machine].kind
        else {
            return;
        };
        common.events.set(common.now + wait, Event::Idle(machine));
    }

    /// The idle timer runs out: pumps off, unless a rack stands before it. One that has left the tunnel is rinsed to
    /// its end.
    pub(super) fn idle_due(
        &mut self,
        common: &mut Common<'_>,
        racking: &Racking,
        machine: MachineId,
    ) {
        if self.states[machine].phase != Phase::Running
            || self.has_next_rack(common, racking, machine)
        {
            return;
        }
        if let Some(left) = self.rinses_for(common, machine) {
            common.events.set(common.now + left, Event::Idle(machine));
        } else {
            self.states[machine].settle_belt(common.now);
            self.change_phase(common, machine, Phase::Idle);
        }
    }

    /// A rack waits before an idle machine: the pumps start again.
    fn start_again(&mut self, common: &mut Common<'_>, machine: MachineId) {
        let Kind::Conveyor { restart, .. } = common.room.machines[machine].kind else {
            return;
        };
        self.change_phase(common, machine, Phase::Starting);
        self.set_belt(common, machine, common.now + restart);
    }
}
