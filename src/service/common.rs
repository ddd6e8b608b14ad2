//! What every part of the room uses: the clock, the streams, the ware with its books, what is counted, the diary.
//!
//! A handler gets this and the parts it may move, and no more: its signature says what it can touch.

use super::diary::{Entry, Happening};
use super::events::EventList;
use super::pieces::Flow;
use super::seats::Seats;
use super::streams::Streams;
use super::tally::Tally;
use super::taps::Taps;
use crate::room::Room;
use crate::room::time::Time;

/// What is everybody's during an evening.
#[derive(Debug)]
pub(super) struct Common<'r> {
    /// The room it is played in, which nothing changes.
    pub room: &'r Room,
    /// The moment of the event being played.
    pub now: Time,
    /// What comes next.
    pub events: EventList,
    /// Where chance comes from.
    pub streams: Streams,
    /// All ware, where it is, and the books of what waits.
    pub flow: Flow,
    /// Who sits when, where seats are counted.
    pub seats: Seats,
    /// The water that fills tanks, where it is limited.
    pub taps: Taps,
    /// What is counted.
    pub tally: Tally,
    /// What happened, where somebody wants to read it.
    pub diary: Option<Vec<Entry>>,
}

impl<'r> Common<'r> {
    pub fn new(room: &'r Room) -> Self {
        Self {
            room,
            now: Time::ZERO,
            events: EventList::new(room),
            streams: Streams::new(0, 0),
            flow: Flow::default(),
            seats: Seats::default(),
            taps: Taps::default(),
            tally: Tally::new(room),
            diary: None,
        }
    }

    pub fn begin(&mut self, seed: u64, replication: u64) {
        self.now = Time::ZERO;
        self.events.clear();
        self.streams = Streams::new(seed, replication);
        self.flow.begin(self.room);
        self.taps.begin(self.room);
        self.tally.begin(self.room);
        if let Some(diary) = &mut self.diary {
            diary.clear();
        }
    }

    /// Writes a line, if a diary is kept.
    pub(super) fn note(&mut self, what: Happening) {
        if let Some(diary) = &mut self.diary {
            diary.push(Entry { at: self.now, what });
        }
    }
}
