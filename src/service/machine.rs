//! Dish machines: what conveyor and hood share. Racks come from the lane (or, where there is none,
//! straight from a loading station), are washed, and go to the landing.

use super::index::{FaultId, MachineId, RackId, indexes};
use std::collections::VecDeque;

use super::belt::Belt;
use super::line::racks::{Dollies, RackLine};
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
    /// The belt is held until the wash, or the booster, is hot again.
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

/// What a machine's time is spent on: a sum and a series each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Use {
    /// A rack inside, washed or being changed.
    Running,
    /// A conveyor runs or starts with nothing inside.
    Empty,
    /// A finished rack cannot leave: the landing is full.
    Stopped,
    /// The belt is held: the final rinse is too cold.
    Held,
    /// The water is being changed.
    Refilling,
    /// A finished rack waits for somebody.
    Waiting,
    /// Pumps off; a hood without a rack.
    Idle,
    /// A fault, or its mending, keeps it standing.
    Down,
    /// Not set up yet, or closed down.
    Off,
}

impl Use {
    /// How many there are.
    pub const COUNT: usize = Self::Off as usize + 1;
}

/// Time spent, by use.
#[derive(Debug, Clone, Copy, Default)]
pub struct MachineTime([Time; Use::COUNT]);

impl MachineTime {
    /// Spent on one use.
    #[must_use]
    pub const fn of(&self, what: Use) -> Time {
        self.0[what as usize]
    }

    /// From the start to the end of the evening.
    #[must_use]
    pub fn whole(&self) -> Time {
        self.0.into_iter().sum()
    }

    /// Time with the pumps on.
    #[must_use]
    pub fn pumps(&self) -> Time {
        let on = [
            Use::Running,
            Use::Empty,
            Use::Stopped,
            Use::Held,
            Use::Waiting,
        ];
        on.into_iter().map(|what| self.of(what)).sum()
    }
}

/// What takes racks through a machine.
#[derive(Debug, Clone, Copy)]
pub(super) enum Drive {
    /// A conveyor's.
    Belt(Belt),
    /// A hood washes one rack a cycle.
    Hood {
        /// Cycles so far.
        cycles: u64,
        /// What is left of a cycle that a fault has stopped.
        left: Option<CycleLeft>,
    },
}

/// What is left of a cycle that stands still.
#[derive(Debug, Clone, Copy)]
pub(super) struct CycleLeft {
    /// Until its next event: its end, or where it may wait for heat its rinse.
    pub lasts: Time,
    /// Whether that is its rinse.
    pub to_rinse: bool,
    /// Until its rinse begins; `None` if it has begun, or there is none.
    pub rinses: Option<Time>,
    /// Whether it went on washing until wash and booster were hot.
    pub waits_for_heat: bool,
}

impl Default for Drive {
    fn default() -> Self {
        Self::Belt(Belt::NEW)
    }
}

impl Drive {
    /// At the start of an evening.
    const fn of(machine: &Machine) -> Self {
        match machine.kind {
            Kind::Conveyor { .. } => Self::Belt(Belt::NEW),
            Kind::Hood { .. } => Self::Hood {
                cycles: 0,
                left: None,
            },
        }
    }
}

/// One machine during a service.
#[derive(Debug, Default)]
pub struct MachineState {
    /// What it does.
    pub phase: Phase,
    pub(super) drive: Drive,
    /// Racks before it.
    pub(super) lane: RackLine,
    /// Racks in it, first in first out.
    pub(super) inside: VecDeque<RackId>,
    /// Racks on its landing that nobody has taken up.
    pub(super) landing: RackLine,
    /// Racks on its landing being unloaded, and room kept there.
    pub(super) landing_taken: u32,
    /// Time spent up to `counted`.
    pub time: MachineTime,
    pub(super) counted: Time,
    /// Clock of running hours, up to `worn_at`.
    pub(super) worn: Time,
    worn_at: Time,
    /// Factor of the wash by what is wrong with it.
    pub(super) harm: f64,
    /// Something is wrong with its wash or its heat.
    pub(super) in_fault: bool,
    /// Its water, if the scenario says so.
    pub water: Option<WaterState>,
}

indexes!(MachineId => MachineState);

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
            drive: Drive::of(machine),
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

    /// Its belt, if it is a conveyor.
    pub(super) const fn belt(&self) -> Option<&Belt> {
        match &self.drive {
            Drive::Belt(belt) => Some(belt),
            Drive::Hood { .. } => None,
        }
    }

    /// Moves the clock of its belt up to now, if it has one.
    pub(super) fn settle_belt(&mut self, now: Time) {
        if let Drive::Belt(belt) = &mut self.drive {
            belt.settle(self.phase == Phase::Running, now);
        }
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
            _ => match self.drive {
                Drive::Hood { .. } => Use::Idle,
                Drive::Belt(_) => Use::Empty,
            },
        }
    }

    /// Adds the time since the last change to what it was spent on.
    pub(super) fn count_time(&mut self, now: Time) {
        let passed = now - self.counted;
        self.counted = now;
        self.time.0[self.used() as usize] += passed;
    }

    /// Whether its clock of running hours runs.
    pub(super) const fn clock_runs(&self) -> bool {
        match self.drive {
            Drive::Hood { .. } => matches!(self.phase, Phase::Washing),
            Drive::Belt(_) => matches!(self.phase, Phase::Running | Phase::Starting),
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
    /// Where racks are parked.
    pub dollies: Dollies,
}

impl Machines {
    pub fn new(room: &Room) -> Self {
        let states = room.machines.iter().map(|_| MachineState::default());
        Self {
            states: states.collect(),
            faults: Vec::new(),
            dollies: Dollies::default(),
        }
    }

    pub fn begin(&mut self, room: &Room) {
        for (state, machine) in self.states.iter_mut().zip(&room.machines) {
            state.begin(machine);
        }
        self.dollies.begin();
    }
}

/// A fault during a service.
#[derive(Debug, Clone, Copy, Default)]
pub struct FaultState {
    /// Reading of the machine's clock of running hours at which it strikes next.
    pub(super) due: Time,
    /// How often it has struck.
    pub strikes: u32,
    /// Since when it has been there.
    pub struck: Option<Time>,
    /// When it was noticed.
    pub(super) noticed: Option<Time>,
    /// Somebody is mending it, or on the way.
    pub(super) mending: bool,
    /// Somebody from outside is on the way, or at it.
    pub(super) outside: bool,
    /// Since when somebody is to look for it.
    pub(super) look: Option<Time>,
}

impl FaultState {
    /// Whether it waits for somebody.
    pub(super) fn waits(&self) -> bool {
        self.noticed.is_some() && !self.mending && !self.outside
    }
}

indexes!(FaultId => FaultState);

/// What the faults of a machine do to it together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Harm {
    /// Factor of the wash.
    pub wash: f64,
    /// Share left of the detergent.
    pub detergent: f64,
    /// Share left of the power of heaters and booster.
    pub heat: f64,
    /// Share left of the water of the tanks.
    pub level: f64,
}

impl Default for Harm {
    fn default() -> Self {
        Self {
            wash: 1.0,
            detergent: 1.0,
            heat: 1.0,
            level: 1.0,
        }
    }
}
