//! The event list, and the one table that orders simultaneous events.
//!
//! An event's key is (time, class, insertion number): of two events of the same moment the lower
//! class comes first, and within a class first in is first out. What is known before the evening
//! starts (guests, shifts) lies sorted in a timetable. What comes up meanwhile goes to one of two
//! lists: people and machines have few events pending, kept in a short sorted row; guests and timers
//! have hundreds, kept in a binary heap. The order of events does not depend on which.
//! People look around for work only when all events of a moment are done, so their choice does not
//! hang on the order within it.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use crate::room::time::Time;

/// Something that happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Event {
    /// An operator finishes a unit of work.
    WorkEnds(u32),
    /// A conveyor reaches its next entry or exit; the second number tells a stale one.
    Conveyor(u32, u32),
    /// A hood finishes a cycle.
    HoodEnds(u32),
    /// The first undrained rack of a landing has drained.
    Drained(u32),
    /// A sink has soaked long enough.
    Soaked(u32),
    /// A lot of ware is taken from the clean stock.
    Laid(u32),
    /// A lot is soiled, as planned before the evening.
    Soiled(u32),
    /// A lot that ran short is soiled, later than planned.
    SoiledLate(u32),
    /// A lot reaches the drop-off.
    Delivered(u32),
    /// Something has waited long enough to go part-full.
    LookAgain,
    /// A machine's idle timer runs out; the second number tells a stale one.
    Idle(u32, u32),
    /// An operator comes.
    ShiftBegins(u32),
    /// An operator's break is due.
    BreakDue(u32, u32),
    /// A break is over.
    BreakEnds(u32),
    /// A shift is over.
    ShiftEnds(u32),
    /// The service closes.
    Closes,
    /// A fault strikes a machine; the second number tells a stale one.
    Fault(u32, u32),
    /// A fault is noticed; the second number says which of its strikes.
    Noticed(u32, u32),
    /// Somebody would look for a fault; the second number as above.
    Looked(u32, u32),
    /// What a machine does by itself is done: of the close-down or the set-up, and which task.
    TaskDone(bool, u32),
    /// The water of a machine may be due for a change by hand.
    WaterDue(u32),
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
/// | 7 | closing, look again | nothing changes but what people may do |
const fn class(event: Event) -> u8 {
    match event {
        Event::WorkEnds(_) => 0,
        Event::HoodEnds(_) | Event::Drained(_) | Event::Soaked(_) | Event::TaskDone(..) => 1,
        Event::Conveyor(..) => 2,
        Event::Soiled(_) | Event::SoiledLate(_) | Event::Delivered(_) => 3,
        Event::Laid(_) => 4,
        Event::ShiftBegins(_) | Event::BreakDue(..) | Event::BreakEnds(_) | Event::ShiftEnds(_) => {
            5
        }
        Event::Idle(..)
        | Event::Fault(..)
        | Event::Noticed(..)
        | Event::Looked(..)
        | Event::WaterDue(_) => 6,
        Event::Closes | Event::LookAgain => 7,
    }
}

/// An event with its place in the order.
#[derive(Debug, Clone, Copy)]
struct Entry {
    key: Key,
    event: Event,
}

impl PartialEq for Entry {
    fn eq(&self, other: &Self) -> bool {
        self.key == other.key
    }
}

impl Eq for Entry {}

impl PartialOrd for Entry {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Entry {
    /// Reversed, because the heap gives its greatest first.
    fn cmp(&self, other: &Self) -> Ordering {
        other.key.cmp(&self.key)
    }
}

/// An event's place in the order: time above class above insertion number. Times are not negative.
type Key = u128;

/// Where a pending event lies.
#[derive(Debug, Clone, Copy, Default)]
enum List {
    #[default]
    Timetable,
    Row,
    Heap,
}

/// Pending events.
#[derive(Debug, Default)]
pub struct EventList {
    timetable: Vec<Entry>,
    next: usize,
    /// Soonest last.
    row: Vec<Entry>,
    heap: BinaryHeap<Entry>,
    inserted: u64,
    /// The soonest of all, and its list; [`NONE`] if there is none.
    soonest: Key,
    list: List,
}

/// Later than any event.
const NONE: Key = Key::MAX;

#[allow(clippy::cast_possible_truncation, clippy::cast_possible_wrap)] // the time as it was put in
const fn time_of(key: Key) -> Time {
    Time::from_ns((key >> 64) as i64)
}

/// Whether few events of this kind are ever pending: at most one a person, machine or sink.
const fn is_few(event: Event) -> bool {
    matches!(
        event,
        Event::WorkEnds(_) | Event::Conveyor(..) | Event::HoodEnds(_) | Event::Soaked(_)
    )
}

impl EventList {
    /// Forgets everything, keeping its memory.
    pub fn clear(&mut self) {
        self.timetable.clear();
        self.next = 0;
        self.row.clear();
        self.heap.clear();
        self.inserted = 0;
        self.soonest = NONE;
    }

    #[allow(clippy::cast_sign_loss)] // times are not negative
    fn entry(&mut self, at: Time, event: Event) -> Entry {
        self.inserted += 1;
        let order = u64::from(class(event)) << 56 | self.inserted;
        Entry {
            key: (at.ns().max(0) as Key) << 64 | Key::from(order),
            event,
        }
    }

    /// Writes an event into the timetable, before [`Self::open`].
    pub fn plan(&mut self, at: Time, event: Event) {
        let entry = self.entry(at, event);
        self.timetable.push(entry);
    }

    /// Closes the timetable: from now on events are pushed.
    pub fn open(&mut self) {
        self.timetable.sort_unstable_by_key(|entry| entry.key);
        self.find_soonest();
    }

    /// Adds an event.
    pub fn push(&mut self, at: Time, event: Event) {
        let entry = self.entry(at, event);
        let list = if is_few(event) {
            self.insert_in_row(entry);
            List::Row
        } else {
            self.heap.push(entry);
            List::Heap
        };
        if entry.key < self.soonest {
            (self.soonest, self.list) = (entry.key, list);
        }
    }

    /// Puts an entry before those of the row that come sooner.
    fn insert_in_row(&mut self, entry: Entry) {
        self.row.push(entry);
        let mut place = self.row.len() - 1;
        while place > 0 && self.row[place - 1].key < entry.key {
            self.row[place] = self.row[place - 1];
            place -= 1;
        }
        self.row[place] = entry;
    }

    /// When the next event is due.
    #[must_use]
    pub fn next_at(&self) -> Option<Time> {
        (self.soonest != NONE).then(|| time_of(self.soonest))
    }

    /// Takes the next event.
    pub fn pop(&mut self) -> Option<(Time, Event)> {
        if self.soonest == NONE {
            return None;
        }
        let entry = match self.list {
            List::Timetable => {
                self.next += 1;
                self.timetable.get(self.next - 1).copied()
            }
            List::Row => self.row.pop(),
            List::Heap => self.heap.pop(),
        }?;
        self.find_soonest();
        Some((time_of(entry.key), entry.event))
    }

    fn find_soonest(&mut self) {
        let key = |entry: Option<&Entry>| entry.map_or(NONE, |entry| entry.key);
        (self.soonest, self.list) = (key(self.timetable.get(self.next)), List::Timetable);
        let row = key(self.row.last());
        if row < self.soonest {
            (self.soonest, self.list) = (row, List::Row);
        }
        let heap = key(self.heap.peek());
        if heap < self.soonest {
            (self.soonest, self.list) = (heap, List::Heap);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Event, EventList};
    use crate::room::time::Time;

    #[test]
    fn time_then_class_then_first_in() {
        let mut list = EventList::default();
        let at = Time::from_s(5.0);
        list.plan(at, Event::Laid(1));
        list.plan(Time::from_s(4.0), Event::Closes);
        list.open();
        list.push(at, Event::LookAgain);
        list.push(at, Event::Drained(0));
        list.push(at, Event::Soaked(7));
        list.push(at, Event::WorkEnds(3));
        let order: Vec<Event> = std::iter::from_fn(|| list.pop())
            .map(|(_, event)| event)
            .collect();
        let expected = [
            Event::Closes,
            Event::WorkEnds(3),
            Event::Drained(0),
            Event::Soaked(7),
            Event::Laid(1),
            Event::LookAgain,
        ];
        assert_eq!(order, expected);
    }
}
