//! The water that the room's supply gives: what fills at the same time shares it.
//!
//! Each gets what it would take, or an equal share of what is left (see [`sharing`]). Who gets how much is worked out
//! again whenever one begins or ends, and the end of every other moves accordingly. Rinses, the spray and soak sinks take
//! nothing from it: an assumption. Where the supply is not limited nothing of this is asked.

use super::common::Common;
use super::events::Event;
use super::index::{MachineId, TapId, TaskId};
use super::taps::Tap;
use crate::physics::sharing;
use crate::room::taps::{Fills, Supply};
use crate::room::time::Time;

/// The tap for the change of water of a machine.
pub(super) const fn of_change(machine: MachineId) -> TapId {
    TapId::new(machine.at())
}

/// The taps of a task, one for each of its machines.
pub(super) fn of_task(supply: &Supply, task: TaskId) -> impl Iterator<Item = TapId> {
    supply.of_task(task.at()).map(TapId::new)
}

impl Common<'_> {
    /// What a tap fills.
    pub(super) fn fills(&self, tap: TapId) -> Option<Fills> {
        let supply = self.room.supply.as_ref()?;
        supply.taps.get(tap.at()).copied()
    }

    /// So much is to be filled from now on.
    pub(super) fn open_tap(&mut self, tap: TapId, litres: f64, most_l_per_s: f64) {
        self.taps.settle(self.now);
        self.taps.asked_l += litres;
        self.taps.all[tap] = Tap {
            is_open: true,
            most_l_per_s,
            gets_l_per_s: 0.0,
            left_l: litres,
        };
        self.share_supply();
    }

    /// It is full, or is not wanted any more.
    pub(super) fn close_tap(&mut self, tap: TapId) {
        let is_open = self.taps.all.get(tap.at()).is_some_and(|tap| tap.is_open);
        if !is_open {
            return;
        }
        self.taps.settle(self.now);
        let closed = &mut self.taps.all[tap];
        closed.is_open = false;
        self.taps.asked_l -= closed.left_l;
        self.events.unset(Event::Filled(tap));
        self.share_supply();
    }

    /// Who gets how much from now on, and when each is full.
    fn share_supply(&mut self) {
        let Some(supply) = &self.room.supply else {
            return;
        };
        let wanted = self.taps.open().map(|tap| tap.most_l_per_s);
        let share = sharing::fair_share(supply.flow_l_per_s, wanted);
        for tap in TapId::all(self.taps.all.len()) {
            let of = &mut self.taps.all[tap];
            if of.is_open {
                of.gets_l_per_s = of.most_l_per_s.min(share);
                let left_s = of.left_l.max(0.0) / of.gets_l_per_s;
                let full = self.now + Time::from_s(left_s);
                self.events.set(full, Event::Filled(tap));
            }
        }
    }
}
