//! The hood machine: one rack a cycle.
//!
//! Water that is old is changed once the hood is empty, before the next rack. A fault that stops it in a cycle stops the cycle, which goes on from there when it is mended.
//! Unattended, racks change by themselves in the change time; attended, an operator with the duty
//! `hood` changes them, and a finished rack stays under the hood until somebody comes. Only a full
//! landing stops a hood: its room does not shrink while the rack waits for somebody.

use super::common::Common;
use super::events::Event;
use super::index::MachineId;
use super::job::{Job, Next, Thing};
use super::loading::Racking;
use super::machine::{CycleLeft, Drive, MachineState, Machines, Phase};
use super::obstacle::Obstacle;
use super::streams::Purpose;
use super::work::{Comes, Full, Places, Work};
use crate::room::name_key;
use crate::room::own::Whose;
use crate::room::plan::Spot;
use crate::room::stations::{Kind, Machine};
use crate::room::time::Time;
use crate::scenario::model::Duty;

pub(super) const WORK: Work = Work {
    places: Places::Machines(|room| {
        let attended = room.machines.iter().filter(|machine| machine.is_attended());
        attended.count() as u32
    }),
    full: Full::Rack,
    takes: |ware| !ware.at_pot_sink,
    ..Work::new(Comes::AtMachines(|machine| {
        machine.is_attended().then(|| change(machine))
    }))
};

/// How long it takes to change racks.
const fn change(machine: &Machine) -> Time {
    match machine.kind {
        Kind::Hood { change, .. } => change,
        Kind::Conveyor { .. } => Time::ZERO,
    }
}

impl Machines {
    /// The finished rack may leave when the landing has room: attended, with somebody's help;
    /// unattended, by itself, and the next one follows.
    pub(super) fn advance_hood(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) {
        let may_leave =
            self.states[machine].phase == Phase::Stopped && self.landing_has_room(common, machine);
        if common.room.machines[machine].is_attended() {
            if may_leave {
                self.change_phase(common, machine, Phase::Finished);
            }
            self.waits_for_water(common, racking, machine);
            return;
        }
        if may_leave {
            self.open_hood(common, machine);
            self.rack_leaves(common, racking, machine);
        }
        if self.states[machine].phase == Phase::Running
            && !self.waits_for_water(common, racking, machine)
        {
            let change = change(&common.room.machines[machine]);
            self.start_cycle(common, racking, machine, change);
        }
    }

    /// Whether racks wait for a change of water. It begins now if the hood is empty and nothing else keeps it.
    fn waits_for_water(
        &mut self,
        common: &mut Common<'_>,
        racking: &Racking,
        machine: MachineId,
    ) -> bool {
        if !common.room.machines[machine].changes_water() {
            return false;
        }
        if self.states[machine].phase == Phase::Running {
            self.call_for_water(common, machine);
            if self.water_change_begins(common, racking, machine) {
                self.start_water_change(common, machine);
            }
        }
        self.water_change_is_ordered(machine)
    }

    /// Takes the next rack, if there is one, and washes it after `change`.
    fn start_cycle(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
        change: Time,
    ) {
        let Some(rack) = self.next_rack(common, racking, machine) else {
            return;
        };
        let Kind::Hood { cycle, .. } = &common.room.machines[machine].kind else {
            return;
        };
        let name = name_key(&common.room.machines[machine].name);
        let Drive::Hood { cycles, .. } = &mut self.states[machine].drive else {
            return;
        };
        let number = *cycles;
        *cycles += 1;
        let drawn = cycle.draw(&mut common.streams.stream(Purpose::Cycle, name, number));
        let washing = drawn.max(self.hood_rinse_lasts(common, machine));
        self.change_phase(common, machine, Phase::Washing);
        self.rack_enters(common, racking, machine, rack);
        let ends = common.now + change + washing;
        self.hood_cycle_begins(common, machine, washing, ends);
        if common.room.machines[machine].may_be_held() {
            let rinses = ends - self.hood_rinse_lasts(common, machine);
            common.events.set(rinses, Event::HoodRinses(machine));
        } else {
            common.events.set(ends, Event::HoodEnds(machine));
        }
    }

    /// The rinse of a cycle begins, unless wash or booster are too cold: then the wash goes on until they are hot.
    pub(super) fn hood_rinses(&mut self, common: &mut Common<'_>, machine: MachineId) {
        if let Some(hot) = self.hood_is_cold_for(common, machine) {
            let rinses = common.now + hot;
            common.events.set(rinses, Event::HoodRinses(machine));
            return self.is_held_for(common, machine, hot);
        }
        let ends = common.now + self.hood_rinse_lasts(common, machine);
        common.events.set(ends, Event::HoodEnds(machine));
    }

    /// A fault stops a cycle: it stands still, and its rinse with it.
    pub(super) fn stop_cycle(&mut self, common: &mut Common<'_>, machine: MachineId) {
        let (ends, rinses) = (Event::HoodEnds(machine), Event::HoodRinses(machine));
        let to_rinse = common.events.is_next(rinses);
        let due = common.events.due(ends).unwrap_or(common.now);
        common.events.unset(ends);
        let lasts = due - common.now;
        let (rinses, waits_for_heat) = self.stop_rinse(common, machine);
        if let Drive::Hood { left, .. } = &mut self.states[machine].drive {
            *left = Some(CycleLeft {
                lasts,
                to_rinse,
                rinses,
                waits_for_heat,
            });
        }
    }

    /// A cycle that stood still goes on. Whether there was one.
    pub(super) fn resume_cycle(&mut self, common: &mut Common<'_>, machine: MachineId) -> bool {
        let Drive::Hood { left, .. } = &mut self.states[machine].drive else {
            return false;
        };
        let Some(left) = left.take() else {
            return false;
        };
        self.change_phase(common, machine, Phase::Washing);
        self.resume_rinse(common, machine, left);
        let event = if left.to_rinse {
            Event::HoodRinses(machine)
        } else {
            Event::HoodEnds(machine)
        };
        common.events.set(common.now + left.lasts, event);
        true
    }

    /// The same again, where a hood has more or less heat than before while its wash goes on.
    pub(super) fn hood_rinses_again(&mut self, common: &mut Common<'_>, machine: MachineId) {
        if self.hood_waits_for_heat(machine) {
            self.hood_rinses(common, machine);
        }
    }

    /// A cycle ends.
    pub(super) fn hood_ends(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) {
        self.hood_has_rinsed(common, machine);
        if common.room.machines[machine].is_attended() && self.landing_has_room(common, machine) {
            return self.change_phase(common, machine, Phase::Finished);
        }
        self.change_phase(common, machine, Phase::Stopped);
        self.advance_hood(common, racking, machine);
    }

    pub(super) fn next_hood(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        whose: Whose<'_>,
    ) -> Next {
        if let Some(machine) = self.hood_to_change(common, racking, whose) {
            return Next::ReadyAt(Spot::of_hood(machine.at()));
        }
        let mut hoods = common.room.machines.iter().zip(&self.states);
        if hoods.any(|(machine, at)| machine.is_attended() && at.phase == Phase::Stopped) {
            Next::Waits(Obstacle::Room)
        } else if common.flow.lines.len(Duty::Hood) > 0 {
            Next::Waits(Obstacle::Place)
        } else {
            Next::Nothing
        }
    }

    /// The first attended hood at which racks can be changed now, people apart.
    fn hood_to_change(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        whose: Whose<'_>,
    ) -> Option<MachineId> {
        MachineId::all(self.states.len()).find(|&machine| {
            whose.has_machine(machine.at())
                && common.room.machines[machine].is_attended()
                && !self.is_down(common, machine)
                && match self.states[machine].phase {
                    Phase::Finished => true,
                    Phase::Running => {
                        !self.water_change_is_ordered(machine)
                            && self.has_next_rack(common, racking, machine)
                            && !self.is_promised(common, racking, machine)
                    }
                    _ => false,
                }
        })
    }

    /// Finished racks that wait under attended hoods.
    pub(super) fn finished_under_hoods(&self, common: &Common<'_>, whose: Whose<'_>) -> u32 {
        let finished = self
            .attended(common, whose)
            .filter(|state| matches!(state.phase, Phase::Stopped | Phase::Finished));
        finished.count() as u32
    }

    /// Racks before attended hoods, and finished ones under them.
    pub(super) fn at_hoods(&self, common: &Common<'_>, whose: Whose<'_>) -> u32 {
        let before = self.attended(common, whose);
        let before: u32 = before.map(MachineState::racks_in_lane).sum();
        before + self.finished_under_hoods(common, whose)
    }

    /// Hoods that need somebody.
    fn attended(
        &self,
        common: &Common<'_>,
        whose: Whose<'_>,
    ) -> impl Iterator<Item = &MachineState> {
        let states = self.states.iter().zip(&common.room.machines).enumerate();
        let own = states.filter(move |(at, (_, of))| of.is_attended() && whose.has_machine(*at));
        own.map(|(_, (state, _))| state)
    }

    /// Whether every full rack on the stations is already being put into another hood without a lane.
    fn is_promised(&self, common: &Common<'_>, racking: &Racking, machine: MachineId) -> bool {
        let of = &common.room.machines[machine];
        let racks = racking.filled.iter().copied();
        let own = racks.filter(|&rack| racking.is_for(rack, of));
        let takes_one = |other: &Machine| own.clone().any(|rack| racking.is_for(rack, other));
        let changing = MachineId::all(self.states.len())
            .filter(|&machine| self.states[machine].phase == Phase::Changing)
            .map(|machine| &common.room.machines[machine])
            .filter(|other| other.lane == 0 && takes_one(other))
            .count();
        of.lane == 0 && changing >= own.clone().count()
    }

    /// An operator goes to change racks; room on the landing is kept for the finished one.
    pub(super) fn take_hood(
        &mut self,
        common: &mut Common<'_>,
        racking: &Racking,
        whose: Whose<'_>,
    ) -> Job {
        let Some(machine) = self.hood_to_change(common, racking, whose) else {
            return Job::default();
        };
        if !self.states[machine].inside.is_empty() {
            self.states[machine].landing_taken += 1;
        }
        self.change_phase(common, machine, Phase::Changing);
        let more_s = change(&common.room.machines[machine]).s();
        Job {
            thing: Thing::Machine(machine),
            spot: Some(Spot::of_hood(machine.at())),
            more_s,
            ..Job::default()
        }
    }

    /// Racks have been changed and the hood shut.
    pub(super) fn hood_changed(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        job: &Job,
    ) {
        let Thing::Machine(machine) = job.thing else {
            return;
        };
        if !self.states[machine].inside.is_empty() {
            self.states[machine].landing_taken -= 1;
            self.rack_leaves(common, racking, machine);
        }
        self.open_hood(common, machine);
        if self.states[machine].phase == Phase::Running
            && !self.waits_for_water(common, racking, machine)
        {
            self.start_cycle(common, racking, machine, Time::ZERO);
        }
    }

    /// It stands open and empty, or a fault keeps it standing.
    fn open_hood(&mut self, common: &mut Common<'_>, machine: MachineId) {
        let is_down = self.is_down(common, machine);
        let phase = if is_down { Phase::Down } else { Phase::Running };
        self.change_phase(common, machine, phase);
    }
}
