//! What comes next, and the one table that orders simultaneous events.
//!
//! Whoever has at most one thing coming owns one **clock**, which is set, set again or cleared: an operator, a belt or a
//! hood, a sink, a tub, a fault, a line that waits for a fuller load. So no event is ever out of date, and nobody has to know
//! an old one from the current one. What is known before the evening (guests, shifts, what happens at the clock) lies sorted in a timetable. Lots
//! on their way, of which there are hundreds, lie in a heap; each of them comes.
//!
//! An event's key is (time, class, insertion number): of two events of the same moment the lower
//! class comes first, and within a class first in is first out, whichever list it lies in.
//! People look around for work only when all events of a moment are done, so their choice does not
//! hang on the order within it. The table is in `order`.

mod clocks;
mod order;

use std::cmp::Reverse;
use std::collections::BinaryHeap;

pub use order::{Event, LongestWait, Number};

use clocks::{Clocks, UNSET};
use order::{Key, NEVER, TIME_AT, about, class, key, time_of};

use super::index::LotId;
use crate::room::Room;
use crate::room::stations::ClearDown;
use crate::room::time::Time;

/// Where the clocks of each kind begin in the row of all.
#[derive(Debug, Clone, Copy)]
struct Places {
    machines: u32,
    sinks: u32,
    faults: u32,
    set_up: u32,
    close_down: u32,
    lines: u32,
    help: u32,
    tubs: u32,
    taps: u32,
    pots: u32,
    end: u32,
}

/// Clocks of one machine: belt or hood, landing, idle timer, fault, water.
const OF_A_MACHINE: u32 = 5;
/// Clocks of one fault: its alarm, or where it has none its end, and the next look for it.
const OF_A_FAULT: u32 = 2;

impl Places {
    fn of(room: &Room) -> Self {
        let machines = room.crew.len() as u32;
        let sinks = machines + OF_A_MACHINE * room.machines.len() as u32;
        let faults = sinks + room.soak.as_ref().map_or(0, |soak| soak.sinks);
        let set_up = faults + OF_A_FAULT * room.faults.len() as u32;
        let close_down = set_up + room.set_up.len() as u32;
        let lines = close_down + room.close_down.len() as u32;
        let help = lines + LongestWait::count(room);
        let is_called = room.crew.iter().any(|operator| operator.call.is_some());
        let tubs = help + if is_called { machines } else { 0 };
        let clear = room.clear_down.as_ref();
        let taps = tubs + clear.map_or(0, ClearDown::carried_at_most);
        let supply = room.supply.as_ref();
        let pots = taps + supply.map_or(0, |supply| supply.taps.len() as u32);
        let end = pots + if room.pot_sink.is_some() { 2 } else { 0 };
        Self {
            machines,
            sinks,
            faults,
            set_up,
            close_down,
            lines,
            help,
            tubs,
            taps,
            pots,
            end,
        }
    }

    /// Whose clock an event is; the timetable and the heap have none.
    const fn clock(&self, event: Event) -> Option<u32> {
        Some(match event {
            Event::WorkEnds(operator) | Event::BreakEnds(operator) => operator.number(),
            Event::Conveyor(machine) | Event::HoodEnds(machine) | Event::HoodRinses(machine) => {
                self.machines + OF_A_MACHINE * machine.number()
            }
            Event::Drained(machine) => self.machines + OF_A_MACHINE * machine.number() + 1,
            Event::Idle(machine) => self.machines + OF_A_MACHINE * machine.number() + 2,
            Event::Fault(machine) => self.machines + OF_A_MACHINE * machine.number() + 3,
            Event::WaterDue(machine) => self.machines + OF_A_MACHINE * machine.number() + 4,
            Event::Soaked(sink) => self.sinks + sink.number(),
            Event::Noticed(fault) | Event::Passes(fault) => {
                self.faults + OF_A_FAULT * fault.number()
            }
            Event::Looked(fault) => self.faults + OF_A_FAULT * fault.number() + 1,
            Event::SetUpDone(task) => self.set_up + task.number(),
            Event::CloseDownDone(task) => self.close_down + task.number(),
            Event::WaitedLongest(line) => self.lines + line.0,
            Event::Sanitised => self.pots,
            Event::PotsDry => self.pots + 1,
            Event::TubComes(tub) => self.tubs + tub.number(),
            Event::Filled(tap) => self.taps + tap.number(),
            Event::HelpComes(operator) | Event::HelpMayGo(operator) => {
                self.help + operator.number()
            }
            Event::SoiledLate(_)
            | Event::Delivered(_)
            | Event::CleanComes(_)
            | Event::Laid(_)
            | Event::Soiled(_)
            | Event::FaultAt(_)
            | Event::ShiftBegins(_)
            | Event::BreakDue(..)
            | Event::ShiftEnds(_)
            | Event::Closes => return None,
        })
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

    /// Whether an event is what the clock of whom it is about is set to.
    #[must_use]
    pub fn is_next(&self, event: Event) -> bool {
        self.is_set(event)
            && self
                .places
                .clock(event)
                .is_some_and(|clock| self.clocks.event[clock as usize] == event)
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
