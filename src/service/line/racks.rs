//! Racks, and the lines in which they wait before and behind a machine.

use crate::service::index::{MachineId, RackId, indexes};
use std::collections::VecDeque;

use crate::room::time::Time;
use crate::scenario::model::Duty;
use crate::service::events::Number;
use crate::service::pieces::{Flow, Pile, Zone};

/// A rack being full, in the fixed-point units in which pieces take their share.
pub(in crate::service) const FULL: f64 = 4_294_967_296.0;

/// Where a rack is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// In its stack, empty.
    Free,
    /// Open beside the drop-off; what is in it waits in a line of its own.
    Decoy,
    /// On a loading station, being filled.
    Filling,
    /// On a loading station, full.
    Filled,
    /// In the entry lane of a machine.
    Lane(MachineId),
    /// In a machine.
    Machine(MachineId),
    /// On the landing of a machine.
    Landing(MachineId),
    /// On the landing, being unloaded.
    Unloading(MachineId),
    /// On its way from the landing to a dolly.
    Moving(MachineId),
    /// On a dolly; washed by that machine.
    Parked(MachineId),
    /// On a dolly, being unloaded.
    UnloadingParked(MachineId),
    /// In the store, with clean ware in it.
    Stored,
}

impl Place {
    /// Whether a rack there is full and waits for a machine.
    const fn waits(self) -> bool {
        matches!(self, Self::Filled | Self::Lane(_))
    }

    /// Where its pieces are; those of a rack being filled are in somebody's hands.
    const fn zone(self) -> Option<Zone> {
        match self {
            Self::Free | Self::Decoy | Self::Filling | Self::Stored => None,
            Self::Filled | Self::Lane(_) => Some(Zone::RackWaiting),
            Self::Machine(_) => Some(Zone::InMachine),
            Self::Landing(_)
            | Self::Unloading(_)
            | Self::Moving(_)
            | Self::Parked(_)
            | Self::UnloadingParked(_) => Some(Zone::OnLanding),
        }
    }
}

/// One rack.
#[derive(Debug)]
pub struct Rack {
    /// Index of its kind.
    pub kind: usize,
    /// What is in it.
    pub(in crate::service) pile: Pile,
    /// How full, in units of [`FULL`].
    pub(in crate::service) load: u64,
    /// Where it is.
    pub place: Place,
    /// Where it was filled last.
    pub(in crate::service) filled_at: usize,
    /// When it got there.
    pub(in crate::service) joined: Time,
    /// When it came to its landing.
    pub(in crate::service) landed: Time,
    /// When it may be unloaded, from when it came to its landing.
    pub(in crate::service) ready: Time,
    /// Its place among what happens at once, from when it came to its landing.
    pub(in crate::service) number: Number,
    /// When it last entered a machine.
    pub(in crate::service) entered: Time,
    /// Whether a tank was below its minimum when it came.
    pub(in crate::service) cold: bool,
    /// Belt time at which it reaches the exit.
    pub(in crate::service) exit: Time,
}

indexes!(RackId => Rack);

impl Rack {
    pub(in crate::service) fn free(kind: usize) -> Self {
        Self {
            kind,
            pile: Pile::default(),
            load: 0,
            place: Place::Free,
            filled_at: 0,
            joined: Time::ZERO,
            landed: Time::ZERO,
            ready: Time::ZERO,
            number: Number::default(),
            entered: Time::ZERO,
            cold: false,
            exit: Time::ZERO,
        }
    }

    /// It is somewhere else from now on, and its pieces with it.
    pub(in crate::service) fn moves(&mut self, flow: &mut Flow, place: Place, now: Time) {
        rack_waits(flow, self.place.waits(), place.waits(), now);
        if let Some(zone) = place.zone() {
            self.pile.carry(&mut flow.census, zone);
        }
        self.place = place;
        self.joined = now;
    }

    /// How full it is, 1 = as rated.
    pub(in crate::service) fn fullness(&self) -> f64 {
        self.load as f64 / FULL
    }
}

/// Racks in line before or behind a machine, first come first.
#[derive(Debug, Default)]
pub(in crate::service) struct RackLine {
    /// Whose line it is; `None` where racks move on by themselves.
    duty: Option<Duty>,
    racks: VecDeque<RackId>,
}

impl RackLine {
    pub fn begin(&mut self, duty: Option<Duty>) {
        self.duty = duty;
        self.racks.clear();
    }

    /// How many wait.
    pub fn len(&self) -> u32 {
        self.racks.len() as u32
    }

    /// Whether none does.
    pub fn is_empty(&self) -> bool {
        self.racks.is_empty()
    }

    /// The first.
    pub fn front(&self) -> Option<RackId> {
        self.racks.front().copied()
    }

    /// A rack joins; `place` is that of the line.
    pub fn join(
        &mut self,
        flow: &mut Flow,
        racks: &mut [Rack],
        rack: RackId,
        place: Place,
        now: Time,
    ) {
        racks[rack].moves(flow, place, now);
        self.racks.push_back(rack);
        if let Some(duty) = self.duty {
            flow.lines.join(duty, 1, now);
        }
    }

    /// All of them, first come first.
    pub fn iter(&self) -> impl Iterator<Item = RackId> {
        self.racks.iter().copied()
    }

    /// Takes the first.
    pub fn take(&mut self, flow: &mut Flow, racks: &[Rack], now: Time) -> Option<RackId> {
        let first = self.front()?;
        self.take_out(flow, racks, first, now)
    }

    /// Takes this one, wherever it stands.
    pub fn take_out(
        &mut self,
        flow: &mut Flow,
        racks: &[Rack],
        rack: RackId,
        now: Time,
    ) -> Option<RackId> {
        if self.racks.front() == Some(&rack) {
            self.racks.pop_front();
        } else {
            let at = self.racks.iter().position(|one| *one == rack)?;
            self.racks.remove(at);
        }
        if let Some(duty) = self.duty {
            let waited = now - racks[rack].joined;
            flow.lines.leave(duty, 1, i128::from(waited.ns()), now);
        }
        Some(rack)
    }
}

/// Racks on dollies.
#[derive(Debug, Default)]
pub(in crate::service) struct Dollies {
    /// Racks on them that nobody has taken up.
    pub racks: RackLine,
    /// Places kept: for racks on their way, and for those being unloaded.
    pub kept: u32,
}

impl Dollies {
    pub fn begin(&mut self) {
        self.racks.begin(Some(Duty::Unload));
        self.kept = 0;
    }

    /// Racks on them, on their way or being unloaded.
    pub fn taken(&self) -> u32 {
        self.racks.len() + self.kept
    }
}

/// A full rack begins to wait for a machine, or no longer does.
pub(in crate::service) fn rack_waits(flow: &mut Flow, waited: bool, waits: bool, now: Time) {
    match (waited, waits) {
        (false, true) => flow.lines.racks_waiting.grows(1, now),
        (true, false) => flow.lines.racks_waiting.shrinks(1, 0, now),
        _ => {}
    }
}
