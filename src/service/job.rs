//! Units of work: what there is to do, and what somebody has in hand.

use super::index::{FaultId, MachineId, RackId, SinkId, TaskId};
use super::obstacle::Obstacle;
use super::pieces::Pile;
use crate::room::Room;
use crate::room::law::RandomTime;
use crate::room::plan::Spot;

/// What there is to do at a station.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Next {
    /// A unit of work that could start now, if somebody were free.
    Ready,
    /// The same, away from where the duty is done otherwise.
    ReadyAt(Spot),
    /// Work that waits for that.
    Waits(Obstacle),
    /// Nothing, or what waits only for more of it, or for a machine.
    Nothing,
}

/// What a unit of work is about, besides the pieces in hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Thing {
    /// Its pieces alone.
    #[default]
    Pieces,
    Sink(SinkId),
    Rack(RackId),
    /// Its racks are changed, or its water.
    Machine(MachineId),
    Task(TaskId),
    Fault(FaultId),
    /// It is looked for.
    Look(FaultId),
    /// It is moved to a dolly.
    ToDolly(RackId),
    /// It is carried to the store, a rack of that kind.
    ToStore(RackId, usize),
}

/// A unit of work in somebody's hands.
#[derive(Debug, Default)]
pub(super) struct Job {
    /// Pieces in hand.
    pub hand: Pile,
    /// What it is about.
    pub thing: Thing,
    /// Seconds it takes on average, beside those of its station.
    pub more_s: f64,
    /// Places kept for it on the next table.
    pub kept: u32,
    /// Where it is done, if not where its duty is done otherwise.
    pub spot: Option<Spot>,
}

impl Job {
    /// The random time of this unit: that of its station's, unless it is about something else.
    pub fn unit_time<'r>(
        &self,
        room: &'r Room,
        of_station: fn(&Room) -> Option<&RandomTime>,
    ) -> Option<&'r RandomTime> {
        match self.thing {
            Thing::ToDolly(_) => room.dollies.as_ref().map(|dollies| &dollies.takes),
            Thing::ToStore(_, kind) => room.rack_kinds[kind].stored.as_ref(),
            _ => of_station(room),
        }
    }
}
