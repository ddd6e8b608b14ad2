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
            self.plan_turn(machine, self.now + hot);
            return;
        }
        let was_empty = self.machines[machine].inside.is_empty();
        while self.exit_due(machine) {
            if !self.landing_has_room(machine) {
                self.change_phase(machine, Phase::Stopped);
                self.machines[machine].planned = None;
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
        if state.planned != Some(due) {
            self.plan_turn(machine, due);
        }
    }

    /// Plans the machine's next turn; what was planned before is stale.
    fn plan_turn(&mut self, machine: usize, due: Time) {
        let state = &mut self.machines[machine];
        state.turn = state.turn.wrapping_add(1);
        state.planned = Some(due);
        let turn = state.turn;
        self.events.push(due, Event::Conveyor(machine as u32, turn));
    }

    /// The planned exit or entry is due, unless the plan has changed since.
    pub(super) fn conveyor_due(&mut self, machine: usize, turn: u32) {
        if self.machines[machine].turn != turn {
            return;
        }
        self.machines[machine].planned = None;
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
        self.plan_turn(machine, self.now + takes);
    }

    pub(super) fn set_idle_timer(&mut self, machine: usize) {
        let Kind::Conveyor {
            idle_after: Some(wait),
            ..
        } = self.room.machines[machine].kind
        else {
            return;
        };
        let state = &mut self.machines[machine];
        state.idle_turn = state.idle_turn.wrapping_add(1);
        let turn = state.idle_turn;
        self.events
            .push(self.now + wait, Event::Idle(machine as u32, turn));
    }

    /// The idle timer runs out: pumps off, unless a rack has come meanwhile. One that has left the tunnel is rinsed to
    /// its end.
    pub(super) fn idle_due(&mut self, machine: usize, turn: u32) {
        let state = &self.machines[machine];
        let nothing_inside = state.inside.is_empty() && state.phase == Phase::Running;
        if state.idle_turn != turn || !nothing_inside || self.has_next_rack(machine) {
            return;
        }
        if let Some(left) = self.rinses_for(machine) {
            self.events
                .push(self.now + left, Event::Idle(machine as u32, turn));
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
        self.plan_turn(machine, self.now + restart);
    }
}
