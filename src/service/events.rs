//! What comes next, and the one table that orders simultaneous events.
//!
//! Whoever has at most one thing coming owns one **clock**, which is set, set again or cleared: an operator, a belt or a
//! hood, a sink, a fault, a line that waits for a fuller load. So no event is ever out of date, and nobody has to know
//! an old one from the current one. What is known before the evening (guests, shifts) lies sorted in a timetable. Lots
//! on their way, of which there are hundreds, lie in a heap; each of them comes.
//!
//! An event's key is (time, class, insertion number): of two events of the same moment the lower
//! class comes first, and within a class first in is first out, whichever list it lies in.
//! People look around for work only when all events of a moment are done, so their choice does not
//! hang on the order within it.

use super::index::{FaultId, LotId, MachineId, OperatorId, SinkId, TaskId};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::room::Room;
use crate::room::time::Time;

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
    /// An alarm reports a fault.
    Noticed(FaultId),
    /// Somebody would look for a fault.
    Looked(FaultId),
    /// What a machine does by itself for a task of the set-up is done.
    SetUpDone(TaskId),
    /// The same for a task of the close-down.
    CloseDownDone(TaskId),
    /// The first of a line has waited long enough to go in a part load: which line.
    WaitedLongest(LongestWait),
    /// A lot that ran short is soiled, later than planned.
    SoiledLate(LotId),
    /// A lot reaches the drop-off.
    Delivered(LotId),
    /// A lot of ware is taken from the clean stock.
    Laid(LotId),
    /// A lot is soiled, as planned before the evening.
    Soiled(LotId),
    /// An operator comes.
    ShiftBegins(OperatorId),
    /// An operator's break is due.
    BreakDue(OperatorId, u32),
    /// A shift is over.
    ShiftEnds(OperatorId),
    /// The service closes.
    Closes,
}

/// Classes of simultaneous events, first to last.
///
/// | class | events | why there |
/// |---|---|---|
/// | 0 | work ends | frees people, places and room before anything asks for them |
/// | 1 | hood ends, drained, soaked, task done | machines and timers hand over what is ready |
/// | 2 | conveyor | exits after unloading of the same moment: a stop of zero length is no stop |
/// | 3 | soiled, delivered | new work comes before people choose |
/// | 4 | laid | the table is laid from what was put away in the same moment |
/// | 5 | shifts and breaks | who finishes at the end of a shift has finished in it |
/// | 6 | idle timer, fault, noticed or looked for, water due | a rack of the same moment keeps the pumps on, and gets through before a fault |
/// | 7 | closing, longest wait | nothing changes but what people may do |
const fn class(event: Event) -> u8 {
    match event {
        Event::WorkEnds(_) => 0,
        Event::HoodEnds(_)
        | Event::Drained(_)
        | Event::Soaked(_)
        | Event::SetUpDone(_)
        | Event::CloseDownDone(_) => 1,
        Event::Conveyor(_) => 2,
        Event::Soiled(_) | Event::SoiledLate(_) | Event::Delivered(_) => 3,
        Event::Laid(_) => 4,
        Event::ShiftBegins(_) | Event::BreakDue(..) | Event::BreakEnds(_) | Event::ShiftEnds(_) => {
            5
        }
        Event::Idle(_)
        | Event::Fault(_)
        | Event::Noticed(_)
        | Event::Looked(_)
        | Event::WaterDue(_) => 6,
        Event::Closes | Event::WaitedLongest(_) => 7,
    }
}

/// An event's place in the order: time above class above insertion number. The lowest 32 bits say what it is about and
/// decide nothing, for no two have the same number.
type Key = u128;

/// Bits of the insertion number: a hundred thousand million events are more than any evening has.
const NUMBER_BITS: u32 = 37;
const CLASS_BITS: u32 = 3;
const TIME_AT: u32 = 32 + NUMBER_BITS + CLASS_BITS;

/// Which line a clock of the longest wait belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LongestWait(u32);

impl LongestWait {
    /// Ware on the tables, for a tub.
    pub(super) const TUB: Self = Self(0);
    /// Before the soak, for a sink.
    pub(super) const SINK: Self = Self(1);
    /// Clean, for a carry to the store.
    pub(super) const CARRY: Self = Self(2);

    /// Of one kind of rack, for a rack.
    pub(super) const fn rack(kind: usize) -> Self {
        Self(3 + kind as u32)
    }

    /// How many such clocks a room has at most.
    const fn count(room: &Room) -> u32 {
        Self::rack(room.rack_kinds.len()).0
    }
}

/// Later than any event.
const NEVER: Key = Key::MAX;

/// A place in the order of insertion, for a clock that is set later on.
#[derive(Debug, Clone, Copy, Default)]
pub struct Number(u64);

#[allow(clippy::cast_sign_loss)] // times are not negative
fn key(at: Time, class: u8, number: Number, about: u32) -> Key {
    let at = (at.ns().max(0) as u64).min((1 << (128 - TIME_AT)) - 1);
    let order = u64::from(class) << NUMBER_BITS | number.0;
    Key::from(at) << TIME_AT | Key::from(order) << 32 | Key::from(about)
}

#[allow(clippy::cast_possible_truncation, clippy::cast_possible_wrap)] // the time as it was put in
const fn time_of(key: Key) -> Time {
    Time::from_ns((key >> TIME_AT) as i64)
}

#[allow(clippy::cast_possible_truncation)] // the lowest bits
const fn about(key: Key) -> u32 {
    key as u32
}

/// Where the clocks of each kind begin in the row of all.
#[derive(Debug, Clone, Copy)]
struct Places {
    machines: u32,
    sinks: u32,
    faults: u32,
    set_up: u32,
    close_down: u32,
    lines: u32,
    end: u32,
}

/// Clocks of one machine: belt or hood, landing, idle timer, fault, water.
const OF_A_MACHINE: u32 = 5;
/// Clocks of one fault: its alarm, and the next look for it.
const OF_A_FAULT: u32 = 2;

impl Places {
    fn of(room: &Room) -> Self {
        let machines = room.crew.len() as u32;
        let sinks = machines + OF_A_MACHINE * room.machines.len() as u32;
        let faults = sinks + room.soak.as_ref().map_or(0, |soak| soak.sinks);
        let set_up = faults + OF_A_FAULT * room.faults.len() as u32;
        let close_down = set_up + room.set_up.len() as u32;
        let lines = close_down + room.close_down.len() as u32;
        let end = lines + LongestWait::count(room);
        Self {
            machines,
            sinks,
            faults,
            set_up,
            close_down,
            lines,
            end,
        }
    }

    /// Whose clock an event is; the timetable and the heap have none.
    const fn clock(&self, event: Event) -> Option<u32> {
        Some(match event {
            Event::WorkEnds(operator) | Event::BreakEnds(operator) => operator.number(),
            Event::Conveyor(machine) | Event::HoodEnds(machine) => {
                self.machines + OF_A_MACHINE * machine.number()
            }
            Event::Drained(machine) => self.machines + OF_A_MACHINE * machine.number() + 1,
            Event::Idle(machine) => self.machines + OF_A_MACHINE * machine.number() + 2,
            Event::Fault(machine) => self.machines + OF_A_MACHINE * machine.number() + 3,
            Event::WaterDue(machine) => self.machines + OF_A_MACHINE * machine.number() + 4,
            Event::Soaked(sink) => self.sinks + sink.number(),
            Event::Noticed(fault) => self.faults + OF_A_FAULT * fault.number(),
            Event::Looked(fault) => self.faults + OF_A_FAULT * fault.number() + 1,
            Event::SetUpDone(task) => self.set_up + task.number(),
            Event::CloseDownDone(task) => self.close_down + task.number(),
            Event::WaitedLongest(line) => self.lines + line.0,
            Event::SoiledLate(_)
            | Event::Delivered(_)
            | Event::Laid(_)
            | Event::Soiled(_)
            | Event::ShiftBegins(_)
            | Event::BreakDue(..)
            | Event::ShiftEnds(_)
            | Event::Closes => return None,
        })
    }
}

/// The clocks that are set: a binary heap that knows where in it each stands, so that one may be moved or taken out.
/// What an event costs grows with the logarithm of the clocks that are set, not with the size of crew and room.
#[derive(Debug, Default)]
struct Clocks {
    heap: Vec<Key>,
    /// By clock: where it stands in the heap, [`UNSET`] if it is not set.
    stands: Vec<u32>,
    /// By clock: what happens then.
    event: Vec<Event>,
}

const UNSET: u32 = u32::MAX;

impl Clocks {
    fn begin(&mut self, count: usize) {
        self.heap.clear();
        self.heap.reserve(count);
        self.stands.clear();
        self.stands.resize(count, UNSET);
        self.event.clear();
        self.event.resize(count, Event::Closes);
    }

    fn soonest(&self) -> Key {
        self.heap.first().copied().unwrap_or(NEVER)
    }

    fn set(&mut self, key: Key, event: Event) {
        let clock = about(key) as usize;
        self.event[clock] = event;
        let stands = self.stands[clock];
        if stands == UNSET {
            self.heap.push(key);
            self.rise(self.heap.len() - 1, key);
        } else {
            self.settle(stands as usize, key);
        }
    }

    fn clear(&mut self, clock: u32) {
        let stands = std::mem::replace(&mut self.stands[clock as usize], UNSET);
        if stands == UNSET {
            return;
        }
        if let Some(last) = self.heap.pop()
            && (stands as usize) < self.heap.len()
        {
            self.settle(stands as usize, last);
        }
    }

    /// Puts a key where it belongs, from a place whose own key has gone.
    fn settle(&mut self, place: usize, key: Key) {
        if place > 0 && key < self.heap[(place - 1) / 2] {
            self.rise(place, key);
        } else {
            self.sink(place, key);
        }
    }

    fn rise(&mut self, mut place: usize, key: Key) {
        while place > 0 {
            let above = (place - 1) / 2;
            if self.heap[above] < key {
                break;
            }
            self.put(place, self.heap[above]);
            place = above;
        }
        self.put(place, key);
    }

    fn sink(&mut self, mut place: usize, key: Key) {
        loop {
            let mut below = 2 * place + 1;
            if below >= self.heap.len() {
                break;
            }
            if below + 1 < self.heap.len() && self.heap[below + 1] < self.heap[below] {
                below += 1;
            }
            if key < self.heap[below] {
                break;
            }
            self.put(place, self.heap[below]);
            place = below;
        }
        self.put(place, key);
    }

    fn put(&mut self, place: usize, key: Key) {
        self.heap[place] = key;
        self.stands[about(key) as usize] = place as u32;
    }
}

/// Stretches of the timetable; what comes after twenty hours lies in the last.
const STRETCHES: usize = 2_048;

/// Pending events.
#[derive(Debug)]
pub struct EventList {
    places: Places,
    clocks: Clocks,
    /// Planned events in their order, about the index of the event; behind them [`NEVER`].
    timetable: Vec<Key>,
    planned: Vec<Event>,
    next: usize,
    /// Memory for sorting them.
    sorted: Vec<Key>,
    ends: Vec<u32>,
    /// Lots on their way, about the lot and whether it is soiled then, rather than delivered.
    lots: BinaryHeap<Reverse<Key>>,
    inserted: u64,
}

impl EventList {
    /// Nothing pending, with the clocks that a room needs.
    #[must_use]
    pub fn new(room: &Room) -> Self {
        let mut list = Self {
            places: Places::of(room),
            clocks: Clocks::default(),
            timetable: Vec::new(),
            planned: Vec::new(),
            next: 0,
            sorted: Vec::new(),
            ends: Vec::new(),
            lots: BinaryHeap::new(),
            inserted: 0,
        };
        list.clear();
        list
    }

    /// Forgets everything, keeping its memory.
    pub fn clear(&mut self) {
        self.clocks.begin(self.places.end as usize);
        self.timetable.clear();
        self.planned.clear();
        self.next = 0;
        self.lots.clear();
        self.inserted = 0;
    }

    /// The next place in the order of insertion.
    pub const fn number(&mut self) -> Number {
        self.inserted += 1;
        Number(self.inserted)
    }

    /// Writes an event into the timetable, before [`Self::open`].
    pub fn plan(&mut self, at: Time, event: Event) {
        let number = self.number();
        let key = key(at, class(event), number, self.planned.len() as u32);
        self.timetable.push(key);
        self.planned.push(event);
    }

    /// Closes the timetable.
    pub fn open(&mut self) {
        self.sort_timetable();
        self.timetable.push(NEVER);
    }

    /// First by stretches of half a minute, which leaves but a few events to be compared with each other.
    fn sort_timetable(&mut self) {
        #[allow(clippy::cast_possible_truncation)] // the highest bits of the time, then cut
        let stretch = |key: Key| ((key >> (TIME_AT + 35)) as usize).min(STRETCHES - 1);
        let ends = &mut self.ends;
        ends.clear();
        ends.resize(STRETCHES, 0);
        for &key in &self.timetable {
            ends[stretch(key)] += 1;
        }
        let mut sum = 0;
        for end in ends.iter_mut() {
            sum += *end;
            *end = sum;
        }
        self.sorted.clear();
        self.sorted.resize(self.timetable.len(), NEVER);
        for &key in &self.timetable {
            // From the end of its stretch down: afterwards each stands at its beginning.
            let place = &mut ends[stretch(key)];
            *place -= 1;
            self.sorted[*place as usize] = key;
        }
        for at in 0..STRETCHES {
            let end = ends
                .get(at + 1)
                .map_or(self.sorted.len(), |&end| end as usize);
            let stretch = &mut self.sorted[ends[at] as usize..end];
            if stretch.len() > 1 {
                stretch.sort_unstable();
            }
        }
        std::mem::swap(&mut self.timetable, &mut self.sorted);
    }

    /// Sets the clock of whom an event is about; what it was set to before is forgotten. A lot has no clock: it comes.
    pub fn set(&mut self, at: Time, event: Event) {
        let number = self.number();
        self.set_as(at, event, number);
    }

    /// The same with a place in the order of insertion that was taken before.
    pub fn set_as(&mut self, at: Time, event: Event, number: Number) {
        if let Some(clock) = self.places.clock(event) {
            self.clocks.set(key(at, class(event), number, clock), event);
            return;
        }
        let about = match event {
            Event::SoiledLate(lot) => lot.number() << 1 | 1,
            Event::Delivered(lot) => lot.number() << 1,
            _ => return,
        };
        self.lots
            .push(Reverse(key(at, class(event), number, about)));
    }

    /// Stops the clock of whom an event is about.
    pub fn unset(&mut self, event: Event) {
        if let Some(clock) = self.places.clock(event) {
            self.clocks.clear(clock);
        }
    }

    /// Whether the clock of whom an event is about is set.
    #[must_use]
    pub fn is_set(&self, event: Event) -> bool {
        let clock = self.places.clock(event);
        clock.is_some_and(|clock| self.clocks.stands[clock as usize] != UNSET)
    }

    /// When the clock of whom an event is about is due, if it is set.
    #[must_use]
    pub fn due(&self, event: Event) -> Option<Time> {
        let stands = self.clocks.stands[self.places.clock(event)? as usize];
        let key = self.clocks.heap.get(stands as usize)?;
        Some(time_of(*key))
    }

    /// The soonest of the timetable, the clocks and the lots.
    fn soonest(&self) -> [Key; 3] {
        let planned = self.timetable.get(self.next).copied().unwrap_or(NEVER);
        let lot = self.lots.peek().map_or(NEVER, |lot| lot.0);
        [planned, self.clocks.soonest(), lot]
    }

    /// When the next event is due.
    #[must_use]
    pub fn next_at(&self) -> Option<Time> {
        let [planned, clock, lot] = self.soonest();
        let soonest = planned.min(clock).min(lot);
        (soonest != NEVER).then(|| time_of(soonest))
    }

    /// Takes the next event.
    pub fn pop(&mut self) -> Option<(Time, Event)> {
        let [planned, clock, lot] = self.soonest();
        let soonest = planned.min(clock).min(lot);
        if soonest == NEVER {
            return None;
        }
        let of = about(soonest);
        let event = if soonest == clock {
            self.clocks.clear(of);
            self.clocks.event[of as usize]
        } else if soonest == planned {
            self.next += 1;
            self.planned[of as usize]
        } else {
            self.lots.pop();
            let lot = LotId::new((of >> 1) as usize);
            if of & 1 == 1 {
                Event::SoiledLate(lot)
            } else {
                Event::Delivered(lot)
            }
        };
        Some((time_of(soonest), event))
    }
}

#[cfg(test)]
mod tests {
    use super::{Event, EventList, LongestWait};
    use crate::room::Room;
    use crate::room::time::Time;
    use crate::service::index::{LotId, MachineId, OperatorId, SinkId};

    const MACHINE: MachineId = MachineId::new(0);

    fn room() -> Room {
        let file =
            std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/friday-rush.toml");
        Room::of(&crate::scenario::load(&file).unwrap().scenario)
    }

    fn all(list: &mut EventList) -> Vec<Event> {
        std::iter::from_fn(|| list.pop())
            .map(|(_, event)| event)
            .collect()
    }

    #[test]
    fn time_then_class_then_first_in() {
        let mut list = EventList::new(&room());
        let at = Time::from_s(5.0);
        list.plan(at, Event::Laid(LotId::new(1)));
        list.plan(Time::from_s(4.0), Event::Closes);
        list.open();
        list.set(at, Event::WaitedLongest(LongestWait::TUB));
        list.set(at, Event::Delivered(LotId::new(9)));
        list.set(at, Event::Drained(MACHINE));
        let early = list.number();
        list.set(at, Event::SoiledLate(LotId::new(7)));
        list.set(at, Event::Soaked(SinkId::new(0)));
        list.set(at, Event::WorkEnds(OperatorId::new(1)));
        list.set_as(at, Event::HoodEnds(MACHINE), early);
        let expected = [
            Event::Closes,
            Event::WorkEnds(OperatorId::new(1)),
            Event::Drained(MACHINE),
            Event::HoodEnds(MACHINE),
            Event::Soaked(SinkId::new(0)),
            Event::Delivered(LotId::new(9)),
            Event::SoiledLate(LotId::new(7)),
            Event::Laid(LotId::new(1)),
            Event::WaitedLongest(LongestWait::TUB),
        ];
        assert_eq!(all(&mut list), expected);
        assert_eq!(list.next_at(), None);
    }

    #[test]
    fn a_clock_set_again_forgets_what_it_was_set_to() {
        let mut list = EventList::new(&room());
        list.open();
        let s = Time::from_s;
        list.set(s(5.0), Event::WorkEnds(OperatorId::new(0)));
        list.set(s(3.0), Event::BreakEnds(OperatorId::new(0)));
        list.set(s(4.0), Event::WorkEnds(OperatorId::new(1)));
        list.set(s(1.0), Event::Conveyor(MACHINE));
        list.set(s(6.0), Event::Conveyor(MACHINE));
        list.set(s(2.0), Event::Idle(MACHINE));
        list.unset(Event::Idle(MACHINE));
        list.unset(Event::Drained(MACHINE));
        assert_eq!(list.due(Event::Conveyor(MACHINE)), Some(s(6.0)));
        assert_eq!(list.due(Event::Idle(MACHINE)), None);
        let expected = [
            Event::BreakEnds(OperatorId::new(0)),
            Event::WorkEnds(OperatorId::new(1)),
            Event::Conveyor(MACHINE),
        ];
        assert_eq!(all(&mut list), expected);
    }

    /// Against a plain list that is searched for the soonest, over clocks that are set and stopped at random.
    #[test]
    fn the_soonest_comes_first_whatever_was_set_and_stopped() {
        use rand::{RngExt, SeedableRng};
        let mut stream = rand_xoshiro::Xoshiro256PlusPlus::seed_from_u64(3);
        let mut room = room();
        let more = room.crew.clone();
        while room.crew.len() < 60 {
            room.crew.extend(more.iter().cloned());
        }
        let mut list = EventList::new(&room);
        list.open();
        let mut plain = [None::<(Time, u32)>; 60];
        for number in 0..20_000 {
            let operator = OperatorId::new(stream.random_range(0..60));
            let at = Time::from_ns(stream.random_range(0..1_000));
            match stream.random_range(0..4) {
                0 => {
                    list.unset(Event::WorkEnds(operator));
                    plain[operator.at()] = None;
                }
                1 => {
                    let soonest = plain.iter_mut().filter(|clock| clock.is_some()).min();
                    let expected = soonest.and_then(Option::take).map(|(at, _)| at);
                    assert_eq!(list.next_at(), expected);
                    let Some((found, Event::WorkEnds(who))) = list.pop() else {
                        assert_eq!(expected, None);
                        continue;
                    };
                    assert_eq!(Some(found), expected);
                    assert_eq!(list.due(Event::WorkEnds(who)), None);
                }
                _ => {
                    list.set(at, Event::WorkEnds(operator));
                    plain[operator.at()] = Some((at, number));
                }
            }
        }
    }
}
