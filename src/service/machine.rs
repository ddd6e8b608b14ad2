//! Dish machines: what conveyor and hood share. Racks come from the lane (or, where there is none,
//! straight from a loading station), are washed, and go to the landing.

use std::collections::VecDeque;

use super::common::Common;
use super::diary::Happening;
use super::events::Event;
use super::faults::FaultState;
use super::line::RackLine;
use super::loading::{Place, Racking};
use super::tanks::WaterState;
use crate::room::Room;
use crate::room::stations::{Kind, Machine};
use crate::room::time::Time;
use crate::scenario::model::Duty;

/// What a machine is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Phase {
    /// The belt moves; a hood stands open and empty.
    #[default]
    Running,
    /// A finished rack cannot leave, for the landing is full: everything inside stands.
    Stopped,
    /// A hood holds a finished rack until somebody comes to change racks.
    Finished,
    /// The belt is held until the booster is hot again.
    Held,
    /// The water of a conveyor is being changed.
    Refilling,
    /// Pumps off.
    Idle,
    /// Pumps starting again.
    Starting,
    /// A hood washes.
    Washing,
    /// An operator changes racks at a hood.
    Changing,
    /// A fault, or its mending, keeps it standing.
    Down,
    /// Not set up yet, or closed down.
    Off,
}

/// Time spent, for the measures.
#[derive(Debug, Clone, Copy, Default)]
pub struct MachineTime {
    /// A rack inside, washed or being changed.
    pub running: Time,
    /// A conveyor runs or starts with nothing inside.
    pub empty: Time,
    /// A finished rack cannot leave: the landing is full.
    pub stopped: Time,
    /// The belt is held: the final rinse is too cold.
    pub held: Time,
    /// The water is being changed.
    pub refilling: Time,
    /// A finished rack waits for somebody.
    pub waiting: Time,
    /// Pumps off; a hood without a rack.
    pub idle: Time,
    /// A fault, or its mending, keeps it standing.
    pub down: Time,
    /// Not set up yet, or closed down.
    pub off: Time,
}

impl MachineTime {
    /// Time with the pumps on.
    #[must_use]
    pub fn pumps(&self) -> Time {
        self.running + self.empty + self.stopped + self.held + self.waiting
    }
}

/// What a machine's time is spent on: one clock and one series each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Use {
    Running,
    Empty,
    Stopped,
    Held,
    Refilling,
    Waiting,
    Idle,
    Down,
    Off,
}

/// One machine during a service.
#[derive(Debug, Default)]
pub struct MachineState {
    /// What it does.
    pub phase: Phase,
    is_hood: bool,
    /// Racks before it.
    pub(super) lane: RackLine,
    /// Racks in it, first in first out.
    pub(super) inside: VecDeque<u32>,
    /// Racks on its landing that nobody has taken up.
    pub(super) landing: RackLine,
    /// Racks on its landing being unloaded, and room kept there.
    pub(super) landing_taken: u32,
    /// Belt time at `belt_at`; it stands still while the belt does.
    pub(super) belt: Time,
    pub(super) belt_at: Time,
    /// Belt time at which the entry is free of the last rack.
    pub(super) entry_free: Time,
    /// Cycles of a hood so far.
    pub(super) cycles: u64,
    /// Time spent up to `counted`.
    pub time: MachineTime,
    pub(super) counted: Time,
    /// Clock of running hours, up to `worn_at`.
    pub(super) worn: Time,
    worn_at: Time,
    /// Factor of the wash by what is wrong with it.
    pub(super) harm: f64,
    /// Something is wrong with its wash or its heat.
    pub(super) amiss: bool,
    /// Its water, if the scenario says so.
    pub water: Option<WaterState>,
}

impl MachineState {
    /// Empty; a conveyor with an idle timer waits with its pumps off for the first rack.
    pub(super) fn begin(&mut self, machine: &Machine) {
        self.lane.begin(machine.is_attended().then_some(Duty::Hood));
        self.inside.clear();
        self.landing.begin(Some(Duty::Unload));
        let phase = match (machine.start.ready, machine.idles()) {
            (false, _) => Phase::Off,
            (true, true) => Phase::Idle,
            (true, false) => Phase::Running,
        };
        *self = Self {
            phase,
            harm: 1.0,
            is_hood: machine.is_hood(),
            lane: std::mem::take(&mut self.lane),
            inside: std::mem::take(&mut self.inside),
            landing: std::mem::take(&mut self.landing),
            water: self.water.take(),
            ..Self::default()
        };
        if let Some(water) = &machine.water {
            self.water
                .get_or_insert_default()
                .begin(water, machine.start);
        }
    }

    /// Racks on the landing.
    #[must_use]
    pub fn on_landing(&self) -> u32 {
        self.landing.len() + self.landing_taken
    }

    /// Racks inside.
    #[must_use]
    pub fn racks_inside(&self) -> u32 {
        self.inside.len() as u32
    }

    /// Racks in the lane.
    #[must_use]
    pub fn racks_in_lane(&self) -> u32 {
        self.lane.len()
    }

    /// What its time is spent on now.
    pub(super) fn used(&self) -> Use {
        match self.phase {
            Phase::Stopped => Use::Stopped,
            Phase::Held => Use::Held,
            Phase::Refilling => Use::Refilling,
            Phase::Finished => Use::Waiting,
            Phase::Idle => Use::Idle,
            Phase::Down => Use::Down,
            Phase::Off => Use::Off,
            _ if !self.inside.is_empty() => Use::Running,
            _ if self.is_hood => Use::Idle,
            _ => Use::Empty,
        }
    }

    /// Adds the time since the last change to what it was spent on.
    pub(super) fn count_time(&mut self, now: Time) {
        let passed = now - self.counted;
        self.counted = now;
        match self.used() {
            Use::Running => self.time.running += passed,
            Use::Empty => self.time.empty += passed,
            Use::Stopped => self.time.stopped += passed,
            Use::Held => self.time.held += passed,
            Use::Refilling => self.time.refilling += passed,
            Use::Waiting => self.time.waiting += passed,
            Use::Idle => self.time.idle += passed,
            Use::Down => self.time.down += passed,
            Use::Off => self.time.off += passed,
        }
    }

    /// Whether its clock of running hours runs.
    pub(super) const fn clock_runs(&self) -> bool {
        if self.is_hood {
            matches!(self.phase, Phase::Washing)
        } else {
            matches!(self.phase, Phase::Running | Phase::Starting)
        }
    }

    /// Moves its clock of running hours up to now.
    pub(super) fn settle_clock(&mut self, now: Time) {
        if self.clock_runs() {
            self.worn += now - self.worn_at;
        }
        self.worn_at = now;
    }
}

/// All machines, and what goes wrong with them.
#[derive(Debug)]
pub(super) struct Machines {
    /// In the scenario's order.
    pub states: Vec<MachineState>,
    /// In the order of the room's.
    pub faults: Vec<FaultState>,
}

impl Machines {
    pub fn new(room: &Room) -> Self {
        let states = room.machines.iter().map(|_| MachineState::default());
        Self {
            states: states.collect(),
            faults: Vec::new(),
        }
    }

    pub fn begin(&mut self, room: &Room) {
        for (state, machine) in self.states.iter_mut().zip(&room.machines) {
            state.begin(machine);
        }
    }

    /// Full racks on stations move into lanes while there is room: before a machine that takes one at
    /// once, or else into the shortest; of equal ones the first.
    pub(super) fn move_filled_racks(&mut self, common: &mut Common<'_>, racking: &mut Racking) {
        while let Some(&rack) = racking.filled.front() {
            let Some(machine) = self.shortest_lane(common) else {
                break;
            };
            racking.filled.pop_front();
            racking.stations_used -= 1;
            self.enter_lane(common, racking, machine, rack);
            self.advance(common, racking, machine);
        }
        for machine in 0..self.states.len() {
            if common.room.machines[machine].lane == 0 && !racking.filled.is_empty() {
                self.advance(common, racking, machine);
            }
        }
    }

    fn shortest_lane(&self, common: &Common<'_>) -> Option<usize> {
        let has_room = |machine: &usize| {
            self.states[*machine].racks_in_lane() < common.room.machines[*machine].lane
        };
        (0..self.states.len())
            .filter(has_room)
            .min_by_key(|&machine| {
                let lane = self.states[machine].racks_in_lane();
                (!self.takes_at_once(common, machine), lane)
            })
    }

    /// Whether a rack put before a machine would enter it now.
    fn takes_at_once(&self, common: &Common<'_>, machine: usize) -> bool {
        let state = &self.states[machine];
        let open = state.phase == Phase::Running
            && state.lane.is_empty()
            && !self.water_change_is_ordered(machine);
        match common.room.machines[machine].kind {
            Kind::Hood { .. } => open,
            Kind::Conveyor { .. } => {
                open && state.entry_free <= state.belt + (common.now - state.belt_at)
            }
        }
    }

    fn enter_lane(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: usize,
        rack: u32,
    ) {
        let place = Place::Lane(machine as u32);
        let (flow, racks) = (&mut common.flow, &mut racking.racks);
        let lane = &mut self.states[machine].lane;
        lane.join(flow, racks, rack, place, common.now);
    }

    /// Whether a rack could enter the machine now, as far as racks go.
    pub(super) fn has_next_rack(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        machine: usize,
    ) -> bool {
        if common.room.machines[machine].lane == 0 {
            !racking.filled.is_empty()
        } else {
            !self.states[machine].lane.is_empty()
        }
    }

    /// Takes the next rack for a machine; full racks on stations move up behind it.
    pub(super) fn next_rack(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: usize,
    ) -> Option<u32> {
        if common.room.machines[machine].lane == 0 {
            let rack = racking.filled.pop_front()?;
            racking.stations_used -= 1;
            return Some(rack);
        }
        let (flow, racks) = (&mut common.flow, &racking.racks);
        let rack = self.states[machine].lane.take(flow, racks, common.now)?;
        if let Some(next) = racking.filled.pop_front() {
            racking.stations_used -= 1;
            self.enter_lane(common, racking, machine, next);
        }
        Some(rack)
    }

    /// The clocks of its belt and its idle timer stop.
    pub(super) fn stop_clocks(&self, common: &mut Common<'_>, machine: usize) {
        common.events.unset(Event::Conveyor(machine as u32));
        common.events.unset(Event::Idle(machine as u32));
    }

    /// Lets everything happen at a machine that can happen now.
    pub(super) fn advance(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: usize,
    ) {
        match common.room.machines[machine].kind {
            Kind::Conveyor { .. } => self.advance_conveyor(common, racking, machine),
            Kind::Hood { .. } => self.advance_hood(common, racking, machine),
        }
    }

    /// A machine does something else from now on.
    pub(super) fn change_phase(&mut self, common: &mut Common<'_>, machine: usize, phase: Phase) {
        if self.states[machine].phase != phase {
            self.settle_water(common, machine);
            self.states[machine].count_time(common.now);
            self.states[machine].settle_clock(common.now);
            self.states[machine].phase = phase;
            self.plan_fault(common, machine);
            common.note(Happening::Phase {
                machine: machine as u32,
                phase,
            });
        }
    }

    /// The evening is over: the books are closed, and after a finished one the pumps stop.
    pub(super) fn switch_off(&mut self, common: &mut Common<'_>, finished: bool) {
        for machine in 0..self.states.len() {
            self.settle_water(common, machine);
            self.states[machine].count_time(common.now);
            if finished {
                self.finish_water(common, machine);
            }
            self.count_change(common, machine);
            if finished && self.states[machine].phase != Phase::Off {
                self.states[machine].phase = Phase::Idle;
            }
        }
    }

    /// A rack is in the machine: its pieces are washed, and their luck is drawn.
    pub(super) fn rack_enters(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: usize,
        rack: u32,
    ) {
        self.states[machine].count_time(common.now);
        self.states[machine].inside.push_back(rack);
        let entering = &mut racking.racks[rack as usize];
        entering.moves(&mut common.flow, Place::Machine(machine as u32), common.now);
        entering.entered = common.now;
        let fullness = entering.fullness();
        self.settle_water(common, machine);
        let factor = common.room.machines[machine].wash_factor
            * crate::physics::washing::loading_factor(fullness)
            * self.tank_factor(common, machine)
            * self.states[machine].harm;
        common.tally.racks_amiss += u64::from(self.states[machine].amiss);
        self.rack_soils_and_cools(common, racking, machine, rack);
        let mut next = racking.racks[rack as usize].pile.head();
        while let Some(piece) = next {
            common.wash(piece, factor);
            let pile = &racking.racks[rack as usize].pile;
            next = pile.after(piece, &common.flow);
        }
        common.tally.rack_enters(common.now);
        common.note(Happening::Enters {
            machine: machine as u32,
            rack,
            pieces: racking.racks[rack as usize].pile.len(),
        });
    }

    /// The first rack inside leaves to the landing.
    pub(super) fn rack_leaves(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: usize,
    ) {
        self.states[machine].count_time(common.now);
        let Some(rack) = self.states[machine].inside.pop_front() else {
            return;
        };
        self.rinsed_rack_left(machine);
        let pieces = racking.racks[rack as usize].pile.len();
        common.tally.last_exit = common.now;
        common.note(Happening::Leaves {
            machine: machine as u32,
            rack,
            pieces,
        });
        self.arrive_on_landing(common, racking, machine, rack);
    }

    /// Whether the landing has room for one more rack.
    pub(super) fn landing_has_room(&self, common: &Common<'_>, machine: usize) -> bool {
        self.states[machine].on_landing() < common.room.machines[machine].landing
    }
}
