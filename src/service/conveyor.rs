//! The rack conveyor: racks ride a belt, one pitch apart, and stand when the belt stands.
//!
//! Positions are belt times: the belt's own clock, which runs only while the belt moves. A rack that
//! enters at belt time b reaches the exit at b + transit. When it finds the landing full the belt
//! stops, every rack inside with it, until a place is free. It may also be held until the booster of the
//! final rinse is hot again.

use super::Service;
use super::events::Event;
use super::machine::Phase;
use crate::room::stations::Kind;
use crate::room::time::Time;

impl Service<'_> {
    /// Moves the belt's clock up to now.
    pub(super) fn settle_belt(&mut self, machine: usize) {
        let state = &mut self.machines[machine];
        if state.phase == Phase::Running {
            state.belt += self.now - state.belt_at;
        }
        state.belt_at = self.now;
    }

    /// Exits and entries that are due now, then the next one is planned.
    pub(super) fn advance_conveyor(&mut self, machine: usize) {
        self.settle_belt(machine);
        match self.machines[machine].phase {
            Phase::Starting | Phase::Held | Phase::Refilling | Phase::Down | Phase::Off => return,
            Phase::Idle => {
                if self.water_change_begins(machine) {
                    self.start_water_change(machine);
                } else if self.has_next_rack(machine) {
                    self.start_again(machine);
                }
                return;
            }
            _ => {}
        }
        if let Some(hot) = self.rinse_due(machine) {
            self.change_phase(machine, Phase::Held);
            self.set_belt(machine, self.now + hot);
            return;
        }
        let was_empty = self.machines[machine].inside.is_empty();
        while self.exit_due(machine) {
            if !self.landing_has_room(machine) {
                self.change_phase(machine, Phase::Stopped);
                self.events.unset(Event::Conveyor(machine as u32));
                return;
            }
            self.change_phase(machine, Phase::Running);
            self.rack_leaves(machine);
        }
        self.change_phase(machine, Phase::Running);
        self.call_for_water(machine);
        if self.water_change_begins(machine) {
            return self.start_water_change(machine);
        }
        self.enter_racks(machine);
        if self.machines[machine].inside.is_empty() && !was_empty {
            self.set_idle_timer(machine);
        }
        self.plan_next(machine);
    }

    fn exit_due(&self, machine: usize) -> bool {
        let state = &self.machines[machine];
        let front = state.inside.front();
        front.is_some_and(|&rack| self.racking.racks[rack as usize].exit <= state.belt)
    }

    /// Racks enter while there is room behind the last one; none does before water whose change is ordered.
    fn enter_racks(&mut self, machine: usize) {
        let Kind::Conveyor {
            transit, headway, ..
        } = &self.room.machines[machine].kind
        else {
            return;
        };
        while self.machines[machine].entry_free <= self.machines[machine].belt
            && !self.water_change_is_ordered(machine)
        {
            let Some(rack) = self.next_rack(machine) else {
                return;
            };
            let belt = self.machines[machine].belt;
            let kind = self.racking.racks[rack as usize].kind;
            self.racking.racks[rack as usize].exit = belt + *transit;
            self.machines[machine].entry_free = belt + headway[kind];
            self.events.unset(Event::Idle(machine as u32));
            self.rack_enters(machine, rack);
            self.call_for_water(machine);
        }
    }

    /// Plans the next exit or entry while the belt moves, if it is not planned already.
    fn plan_next(&mut self, machine: usize) {
        let state = &self.machines[machine];
        let exit = state
            .inside
            .front()
            .map(|&rack| self.racking.racks[rack as usize].exit);
        let may_enter = self.has_next_rack(machine) && !self.water_change_is_ordered(machine);
        let entry = may_enter.then_some(state.entry_free);
        let rinse = self.next_at_rinse(machine);
        let dues = [exit, entry, rinse].into_iter().flatten();
        let Some(due) = dues.reduce(Time::min_of) else {
            return;
        };
        let due = self.now + (due - state.belt);
        if self.events.due(Event::Conveyor(machine as u32)) != Some(due) {
            self.set_belt(machine, due);
        }
    }

    /// Sets the clock of a belt.
    fn set_belt(&mut self, machine: usize, due: Time) {
        self.events.set(due, Event::Conveyor(machine as u32));
    }

    /// The next exit or entry is due, or the belt runs again.
    pub(super) fn conveyor_due(&mut self, machine: usize) {
        if self.machines[machine].phase == Phase::Starting {
            self.settle_belt(machine);
            self.change_phase(machine, Phase::Running);
            // The rack it started for may have gone to another machine meanwhile.
            self.set_idle_timer(machine);
        }
        if self.machines[machine].phase == Phase::Refilling {
            self.settle_belt(machine);
            self.change_phase(machine, Phase::Running);
            self.refill(machine);
            self.set_idle_timer(machine);
        }
        if self.machines[machine].phase == Phase::Held {
            self.settle_belt(machine);
            self.change_phase(machine, Phase::Running);
        }
        self.advance_conveyor(machine);
    }

    /// The tanks are drained, filled and heated; then the belt runs again.
    fn start_water_change(&mut self, machine: usize) {
        let water = self.room.machines[machine].water.as_ref();
        let Some(takes) = water.and_then(|water| Some(water.change.as_ref()?.takes)) else {
            return;
        };
        self.keep_racks_out(machine);
        self.change_phase(machine, Phase::Refilling);
        self.drain(machine);
        self.set_belt(machine, self.now + takes);
    }

    pub(super) fn set_idle_timer(&mut self, machine: usize) {
        let Kind::Conveyor {
            idle_after: Some(wait),
            ..
        } = self.room.machines[machine].kind
        else {
            return;
        };
        self.events
            .set(self.now + wait, Event::Idle(machine as u32));
    }

    /// The idle timer runs out: pumps off, unless a rack stands before it. One that has left the tunnel is rinsed to
    /// its end.
    pub(super) fn idle_due(&mut self, machine: usize) {
        if self.machines[machine].phase != Phase::Running || self.has_next_rack(machine) {
            return;
        }
        if let Some(left) = self.rinses_for(machine) {
            self.events
                .set(self.now + left, Event::Idle(machine as u32));
        } else {
            self.settle_belt(machine);
            self.change_phase(machine, Phase::Idle);
        }
    }

    /// A rack waits before an idle machine: the pumps start again.
    fn start_again(&mut self, machine: usize) {
        let Kind::Conveyor { restart, .. } = self.room.machines[machine].kind else {
            return;
        };
        self.change_phase(machine, Phase::Starting);
        self.set_belt(machine, self.now + restart);
    }
}
