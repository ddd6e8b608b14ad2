//! The hood machine: one rack a cycle.
//!
//! Unattended, racks change by themselves in the change time; attended, an operator with the duty
//! `hood` changes them, and a finished rack stays under the hood until somebody comes. Only a full
//! landing stops a hood: its room does not shrink while the rack waits for somebody.

use super::Service;
use super::crew::{Job, Thing};
use super::events::Event;
use super::machine::Phase;
use super::obstacle::Obstacle;
use super::station::{Next, Station, Unit};
use super::streams::Purpose;
use crate::room::name_key;
use crate::room::plan::Spot;
use crate::room::stations::Kind;
use crate::room::time::Time;
use crate::scenario::model::Duty;

pub(super) const STATION: Station = Station {
    besides: |service| service.finished_under_hoods(),
    ..Station::new(
        Duty::Hood,
        Unit::Racks,
        |service, _| service.next_hood(),
        |service, _| service.take_hood(),
        |service, _, job| service.hood_changed(&job),
    )
};

impl Service<'_> {
    /// The finished rack may leave when the landing has room: attended, with somebody's help;
    /// unattended, by itself, and the next one follows.
    pub(super) fn advance_hood(&mut self, machine: usize) {
        let may_leave =
            self.machines[machine].phase == Phase::Stopped && self.landing_has_room(machine);
        if self.room.machines[machine].is_attended() {
            if may_leave {
                self.change_phase(machine, Phase::Finished);
            }
            return;
        }
        if may_leave {
            self.open_hood(machine);
            self.rack_leaves(machine);
        }
        if self.machines[machine].phase == Phase::Running {
            let change = self.hood_change(machine);
            self.start_cycle(machine, change);
        }
    }

    fn hood_change(&self, machine: usize) -> Time {
        match self.room.machines[machine].kind {
            Kind::Hood { change, .. } => change,
            Kind::Conveyor { .. } => Time::ZERO,
        }
    }

    /// Takes the next rack, if there is one, and washes it after `change`.
    fn start_cycle(&mut self, machine: usize, change: Time) {
        let Some(rack) = self.next_rack(machine) else {
            return;
        };
        let Kind::Hood { cycle, .. } = &self.room.machines[machine].kind else {
            return;
        };
        let name = name_key(&self.room.machines[machine].name);
        let number = self.machines[machine].cycles;
        let drawn = cycle.draw(&mut self.streams.stream(Purpose::Cycle, name, number));
        let washing = drawn.max(self.hood_rinse_lasts(machine));
        self.machines[machine].cycles += 1;
        self.change_phase(machine, Phase::Washing);
        self.rack_enters(machine, rack);
        let ends = self.now + change + washing;
        self.hood_cycle_begins(machine, washing, ends);
        self.events.set(ends, Event::HoodEnds(machine as u32));
    }

    /// A cycle ends.
    pub(super) fn hood_ends(&mut self, machine: usize) {
        self.hood_has_rinsed(machine);
        if self.room.machines[machine].is_attended() && self.landing_has_room(machine) {
            return self.change_phase(machine, Phase::Finished);
        }
        self.change_phase(machine, Phase::Stopped);
        self.advance_hood(machine);
    }

    fn next_hood(&self) -> Next {
        if let Some(machine) = self.hood_to_change() {
            return Next::Ready(Spot::of_hood(machine));
        }
        let mut hoods = self.room.machines.iter().zip(&self.machines);
        if hoods.any(|(machine, at)| machine.is_attended() && at.phase == Phase::Stopped) {
            Next::Waits(Obstacle::Room)
        } else if self.flow.lines.len(Duty::Hood) > 0 {
            Next::Waits(Obstacle::Place)
        } else {
            Next::Nothing
        }
    }

    /// The first attended hood at which racks can be changed now, people apart.
    fn hood_to_change(&self) -> Option<usize> {
        (0..self.machines.len()).find(|&machine| {
            self.room.machines[machine].is_attended()
                && !self.is_down(machine)
                && match self.machines[machine].phase {
                    Phase::Finished => true,
                    Phase::Running => self.has_next_rack(machine) && !self.is_promised(machine),
                    _ => false,
                }
        })
    }

    /// Finished racks that wait under attended hoods.
    fn finished_under_hoods(&self) -> u32 {
        let machines = self.room.machines.iter().zip(&self.machines);
        let finished = machines.filter(|(machine, state)| {
            machine.is_attended() && matches!(state.phase, Phase::Stopped | Phase::Finished)
        });
        finished.count() as u32
    }

    /// Whether every full rack on the stations is already being put into another hood without a lane.
    fn is_promised(&self, machine: usize) -> bool {
        let without_lane = |machine: &usize| self.room.machines[*machine].lane == 0;
        let changing = (0..self.machines.len())
            .filter(without_lane)
            .filter(|&machine| self.machines[machine].phase == Phase::Changing)
            .count();
        without_lane(&machine) && changing >= self.racking.filled.len()
    }

    /// An operator goes to change racks; room on the landing is kept for the finished one.
    fn take_hood(&mut self) -> Job {
        let Some(machine) = self.hood_to_change() else {
            return Job::default();
        };
        if !self.machines[machine].inside.is_empty() {
            self.machines[machine].landing_taken += 1;
        }
        self.change_phase(machine, Phase::Changing);
        let more_s = self.hood_change(machine).s();
        Job {
            thing: Thing::Machine(machine),
            spot: Spot::of_hood(machine),
            more_s,
            ..Job::default()
        }
    }

    /// Racks have been changed and the hood shut.
    fn hood_changed(&mut self, job: &Job) {
        let Thing::Machine(machine) = job.thing else {
            return;
        };
        if !self.machines[machine].inside.is_empty() {
            self.machines[machine].landing_taken -= 1;
            self.rack_leaves(machine);
        }
        self.open_hood(machine);
        if self.machines[machine].phase == Phase::Running {
            self.start_cycle(machine, Time::ZERO);
        }
    }

    /// It stands open and empty, or a fault keeps it standing.
    fn open_hood(&mut self, machine: usize) {
        let is_down = self.is_down(machine);
        let phase = if is_down { Phase::Down } else { Phase::Running };
        self.change_phase(machine, phase);
    }
}
