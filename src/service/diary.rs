//! Everything that happened in one replication, in order: one clock, one list, kept only when asked
//! for. A replay reads this; it never simulates a second time.

use super::index::{FaultId, MachineId, OperatorId, RackId, TaskId};
use super::machine::Phase;
use crate::room::time::Time;
use crate::scenario::model::Duty;

/// A line of the diary.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Entry {
    /// When.
    pub at: Time,
    /// What.
    pub what: Happening,
}

/// Something that happened. Numbers are indices into the room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)] // fields say themselves: indices and counts
pub enum Happening {
    /// A guest's ware was not there.
    Short { ware: usize, pieces: u32 },
    /// Ware was soiled at a table.
    Soiled { ware: usize, pieces: u32 },
    /// Ware was put down at the drop-off.
    PutDown { pieces: u32 },
    /// A sink began to soak.
    SoakStarts { pieces: u32 },
    /// Ware was taken from a sink.
    SoakEnds { pieces: u32 },
    /// The pot sink is filled for the piece that is next.
    SinkFilled,
    /// Ware was sanitised and lies on the drainboard of the pot sink.
    Sanitised { pieces: u32 },
    /// Ware on that drainboard is dry.
    Dry { pieces: u32 },
    /// Ware was sorted into a decoy rack.
    Sorted { rack: RackId, pieces: u32 },
    /// A rack was filled.
    Racked { rack: RackId, pieces: u32 },
    /// A rack entered a machine.
    Enters {
        machine: MachineId,
        rack: RackId,
        pieces: u32,
    },
    /// A rack left a machine.
    Leaves {
        machine: MachineId,
        rack: RackId,
        pieces: u32,
    },
    /// A machine changed what it does.
    Phase { machine: MachineId, phase: Phase },
    /// A rack was carried to the store as it is.
    RackStored { rack: RackId, pieces: u32 },
    /// A rack in the store is empty.
    RackEmpty { rack: RackId },
    /// A rack was parked on a dolly.
    Parked { rack: RackId, pieces: u32 },
    /// A rack was unloaded.
    Unloaded { rack: RackId, pieces: u32 },
    /// Some of its pieces were caught dirty and go back.
    Caught { rack: RackId, pieces: u32 },
    /// Clean ware was brought.
    Brought { pieces: u32 },
    /// Clean ware reached the store.
    Stored { pieces: u32 },
    /// An operator came.
    Comes { operator: OperatorId },
    /// An operator did not come.
    Absent { operator: OperatorId },
    /// An operator was called in.
    Called { operator: OperatorId },
    /// An operator went home.
    Goes { operator: OperatorId },
    /// An operator went on a break.
    Break { operator: OperatorId },
    /// An operator goes to wash their hands before the unit of work that is next.
    WashesHands { operator: OperatorId },
    /// An operator took up a unit of work.
    Starts {
        operator: OperatorId,
        duty: Duty,
        pieces: u32,
    },
    /// A fault struck.
    Strikes { fault: FaultId },
    /// A fault was noticed.
    Noticed { fault: FaultId },
    /// A fault was mended.
    Mended { fault: FaultId },
    /// A fault was over by itself.
    Passes { fault: FaultId },
    /// A task of the set-up or the close-down was done.
    TaskDone { duty: Duty, task: TaskId },
    /// A machine was set up.
    Ready { machine: MachineId },
    /// An operator finished a unit of work.
    Ends {
        operator: OperatorId,
        duty: Duty,
        pieces: u32,
    },
}
