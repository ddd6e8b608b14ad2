//! Looking for faults: at every multiple of a fault's interval somebody with the duty `tend` looks for it.
//!
//! A look that takes no time is made in passing, by whoever is there, once the fault has struck. One that takes time is
//! work: it waits for somebody all through the evening, whether there is anything to find or not.

use super::common::Common;
use super::crew::{Crew, Doing};
use super::events::Event;
use super::index::{FaultId, MachineId};
use super::job::{Job, Thing};
use super::line::Calls;
use super::machine::{Machines, Phase};
use super::pieces::Zone;
use crate::room::faults::{Effect, Fault};
use crate::room::plan::Spot;
use crate::room::time::Time;
use crate::scenario::model::Duty;

/// A belt that stands for so long with racks before it, or a cycle that goes on, makes somebody look why (an assumption).
const STANDS: Time = Time::MINUTE;

/// Whether looking for a fault is work.
fn takes_time(fault: &Fault) -> bool {
    fault.check_every.is_some() && fault.check_takes > Time::ZERO
}

impl Machines {
    /// Looks that take time begin with the evening.
    pub(super) fn begin_looks(&self, common: &mut Common<'_>) {
        for fault in FaultId::all(common.room.faults.len()) {
            if takes_time(&common.room.faults[fault]) {
                self.plan_look(common, fault);
            }
        }
    }

    /// A fault has struck: whoever looks in passing may find it next time.
    pub(super) fn looks_from_now(&self, common: &mut Common<'_>, fault: FaultId) {
        if !takes_time(&common.room.faults[fault]) {
            self.plan_look(common, fault);
        }
    }

    /// It is known: nobody looks for it in passing any more.
    pub(super) fn looks_no_more(&self, common: &mut Common<'_>, fault: FaultId) {
        if !takes_time(&common.room.faults[fault]) {
            common.events.unset(Event::Looked(fault));
        }
    }

    /// Plans the next moment at which somebody would look for a fault.
    fn plan_look(&self, common: &mut Common<'_>, fault: FaultId) {
        if let Some(every) = common.room.faults[fault].check_every {
            let at = next_multiple(every, common.now);
            common.events.set(at, Event::Looked(fault));
        }
    }

    /// Somebody with the duty `tend` looks, if one is there; else it is left to the next time.
    pub(super) fn look_due(&mut self, common: &mut Common<'_>, crew: &Crew, fault: FaultId) {
        if takes_time(&common.room.faults[fault]) {
            self.look_is_wanted(common, crew, fault);
        } else if somebody_tends(common, crew, fault) {
            self.notice(common, fault);
        } else {
            self.plan_look(common, fault);
        }
    }

    /// A look becomes work, unless one still waits, the fault is known, the machine is off, or nothing more is washed.
    fn look_is_wanted(&mut self, common: &mut Common<'_>, crew: &Crew, fault: FaultId) {
        self.plan_look(common, fault);
        let machine = MachineId::new(common.room.faults[fault].machine);
        let census = &common.flow.census;
        let is_over =
            common.now >= common.room.hours.closes && census.of(Zone::Out) == census.total();
        let is_off = self.states[machine].phase == Phase::Off || is_over;
        let at = &mut self.faults[fault];
        if is_off
            || at.look.is_some()
            || at.noticed.is_some()
            || !somebody_tends(common, crew, fault)
        {
            return;
        }
        at.look = Some(common.now);
        Calls(Duty::Tend).join(&mut common.flow, 1, common.now);
    }

    /// A belt or a cycle is held for so long. If that is much, what keeps it cold is seen: nothing comes out of a machine
    /// that stands, so no dirty ware would show it.
    pub(super) fn is_held_for(&self, common: &mut Common<'_>, machine: MachineId, lasts: Time) {
        if !common.room.machines[machine].has_faults || lasts <= STANDS {
            return;
        }
        let least = common.room.machines[machine].least_level;
        let cools = |of: &Effect| of.heat < 1.0 || of.level < least;
        for fault in FaultId::all(self.faults.len()) {
            let (of, at) = (&common.room.faults[fault], &self.faults[fault]);
            // What passes by itself needs nobody to see it, and its clock is set to its end.
            let is_unseen = of.lasts.is_none() && at.struck.is_some() && at.noticed.is_none();
            if of.machine == machine.at() && is_unseen && cools(&of.effect) {
                let (seen, clock) = (common.now + STANDS, Event::Noticed(fault));
                let due = common.events.due(clock);
                common.events.set(due.unwrap_or(seen).min_of(seen), clock);
            }
        }
    }

    /// The first of some faults that is to be looked for.
    pub(super) fn next_look(&self, is_one: impl Fn(FaultId) -> bool) -> Option<FaultId> {
        let mut faults = FaultId::all(self.faults.len());
        faults.find(|&fault| self.faults[fault].look.is_some() && is_one(fault))
    }

    /// Takes the look up.
    pub(super) fn take_to_look(&mut self, common: &mut Common<'_>, fault: FaultId) -> Job {
        let of = &common.room.faults[fault];
        let asked = self.faults[fault].look.take().unwrap_or(common.now);
        Calls(Duty::Tend).take(&mut common.flow, asked, common.now);
        Job {
            thing: Thing::Look(fault),
            more_s: of.check_takes.s(),
            spot: Some(Spot::of_landing(of.machine)),
            ..Job::default()
        }
    }
}

/// Whether an operator with the duty `tend` for that machine is there, and not on a break.
fn somebody_tends(common: &Common<'_>, crew: &Crew, fault: FaultId) -> bool {
    let machine = common.room.faults[fault].machine;
    let crew = common.room.crew.iter().zip(&crew.operators);
    let mut tending = crew
        .filter(|(of, _)| of.duty_bits & Duty::Tend.bit() != 0 && of.whose().has_machine(machine));
    tending.any(|(_, at)| !matches!(at.doing, Doing::Away | Doing::OnBreak))
}

/// The first multiple of `every` after a moment.
fn next_multiple(every: Time, now: Time) -> Time {
    let every_ns = every.ns().max(1);
    Time::from_ns((now.ns() / every_ns + 1) * every_ns)
}
