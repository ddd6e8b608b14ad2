//! What happens, and the order of what happens at once.

use crate::room::Room;
use crate::room::time::Time;
use crate::service::index::{FaultId, LotId, MachineId, OperatorId, SinkId, TapId, TaskId, TubId};

/// Something that happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Event {
    /// An operator finishes a unit of work.
    WorkEnds(OperatorId),
    /// An operator's break is over.
    BreakEnds(OperatorId),
    /// A conveyor reaches its next entry or exit, or runs again.
    Conveyor(MachineId),
    /// A hood finishes a cycle.
    HoodEnds(MachineId),
    /// A hood that waits for heat would rinse.
    HoodRinses(MachineId),
    /// The first rack of a landing has drained.
    Drained(MachineId),
    /// A machine's idle timer runs out.
    Idle(MachineId),
    /// A fault strikes a machine.
    Fault(MachineId),
    /// The water of a machine may be due for a change by hand.
    WaterDue(MachineId),
    /// A sink has soaked long enough.
    Soaked(SinkId),
    /// The first piece in the sanitising compartment of the pot sink has lain there long enough.
    Sanitised,
    /// A piece on its drainboard is dry.
    PotsDry,
    /// An alarm reports a fault.
    Noticed(FaultId),
    /// A fault that nobody mends is over.
    Passes(FaultId),
    /// Somebody would look for a fault.
    Looked(FaultId),
    /// What a machine does by itself for a task of the set-up is done.
    SetUpDone(TaskId),
    /// The same for a task of the close-down.
    CloseDownDone(TaskId),
    /// What shares the supply is full.
    Filled(TapId),
    /// The first of a line has waited long enough to go in a part load: which line.
    WaitedLongest(LongestWait),
    /// A lot that ran short is soiled, later than planned.
    SoiledLate(LotId),
    /// A lot reaches the drop-off.
    Delivered(LotId),
    /// A tub that floor staff carry reaches the drop-off.
    TubComes(TubId),
    /// Clean ware is brought.
    CleanComes(LotId),
    /// A lot of ware is taken from the clean stock.
    Laid(LotId),
    /// A lot is soiled, as planned before the evening.
    Soiled(LotId),
    /// A fault strikes at its time of day.
    FaultAt(FaultId),
    /// An operator comes.
    ShiftBegins(OperatorId),
    /// An operator's break is due.
    BreakDue(OperatorId, u32),
    /// A shift is over.
    ShiftEnds(OperatorId),
    /// An operator who was called comes.
    HelpComes(OperatorId),
    /// An operator who was called has been there long enough.
    HelpMayGo(OperatorId),
    /// The service closes.
    Closes,
}

/// Which line a clock of the longest wait belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LongestWait(pub(super) u32);

impl LongestWait {
    /// Ware on the tables, for a tub.
    pub(in crate::service) const TUB: Self = Self(0);
    /// Before the soak, for a sink.
    pub(in crate::service) const SINK: Self = Self(1);

    /// Of one kind of rack, for a rack.
    pub(in crate::service) const fn rack(kind: usize) -> Self {
        Self(2 + kind as u32)
    }

    /// Clean, for a carry to a store.
    pub(in crate::service) const fn carry(room: &Room, store: usize) -> Self {
        Self::rack(2 * room.rack_kinds.len() + store)
    }

    /// Of one kind, of so many, for a decoy rack.
    pub(in crate::service) const fn decoy(kinds: usize, kind: usize) -> Self {
        Self::rack(kinds + kind)
    }

    /// How many such clocks a room has at most.
    pub(super) const fn count(room: &Room) -> u32 {
        Self::carry(room, room.stores.spots.len()).0
    }
}

/// Classes of simultaneous events, first to last.
///
/// | class | events | why there |
/// |---|---|---|
/// | 0 | work ends | frees people, places and room before anything asks for them |
/// | 1 | hood ends, drained, soaked, sanitised, dry, task done, filled | machines and timers hand over what is ready |
/// | 2 | conveyor | exits after unloading of the same moment: a stop of zero length is no stop |
/// | 3 | soiled, delivered, clean ware brought | new work comes before people choose |
/// | 4 | laid | the table is laid from what was put away in the same moment |
/// | 5 | shifts and breaks | who finishes at the end of a shift has finished in it |
/// | 6 | idle timer, fault, noticed, looked for or over, water due | a rack of the same moment keeps the pumps on, and gets through before a fault |
/// | 7 | closing, longest wait | nothing changes but what people may do |
pub(super) const fn class(event: Event) -> u8 {
    match event {
        Event::WorkEnds(_) => 0,
        Event::HoodEnds(_)
        | Event::HoodRinses(_)
        | Event::Drained(_)
        | Event::Soaked(_)
        | Event::Sanitised
        | Event::PotsDry
        | Event::SetUpDone(_)
        | Event::CloseDownDone(_)
        | Event::Filled(_) => 1,
        Event::Conveyor(_) => 2,
        Event::Soiled(_)
        | Event::SoiledLate(_)
        | Event::Delivered(_)
        | Event::TubComes(_)
        | Event::CleanComes(_) => 3,
        Event::Laid(_) => 4,
        Event::ShiftBegins(_)
        | Event::BreakDue(..)
        | Event::BreakEnds(_)
        | Event::ShiftEnds(_)
        | Event::HelpComes(_)
        | Event::HelpMayGo(_) => 5,
        Event::Idle(_)
        | Event::Fault(_)
        | Event::FaultAt(_)
        | Event::Passes(_)
        | Event::Noticed(_)
        | Event::Looked(_)
        | Event::WaterDue(_) => 6,
        Event::Closes | Event::WaitedLongest(_) => 7,
    }
}

/// An event's place in the order: time above class above insertion number. The lowest 32 bits say what it is about and
/// decide nothing, for no two have the same number.
pub(super) type Key = u128;

/// Bits of the insertion number: a hundred thousand million events are more than any evening has.
pub(super) const NUMBER_BITS: u32 = 37;
pub(super) const CLASS_BITS: u32 = 3;
pub(super) const TIME_AT: u32 = 32 + NUMBER_BITS + CLASS_BITS;

/// Later than any event.
pub(super) const NEVER: Key = Key::MAX;

/// A place in the order of insertion, for a clock that is set later on.
#[derive(Debug, Clone, Copy, Default)]
pub struct Number(pub(super) u64);

#[allow(clippy::cast_sign_loss)] // times are not negative
pub(super) fn key(at: Time, class: u8, number: Number, about: u32) -> Key {
    let at = (at.ns().max(0) as u64).min((1 << (128 - TIME_AT)) - 1);
    let order = u64::from(class) << NUMBER_BITS | number.0;
    Key::from(at) << TIME_AT | Key::from(order) << 32 | Key::from(about)
}

#[allow(clippy::cast_possible_truncation, clippy::cast_possible_wrap)] // the time as it was put in
pub(super) const fn time_of(key: Key) -> Time {
    Time::from_ns((key >> TIME_AT) as i64)
}

#[allow(clippy::cast_possible_truncation)] // the lowest bits
pub(super) const fn about(key: Key) -> u32 {
    key as u32
}
