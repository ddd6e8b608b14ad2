//! Part loads: ware that waits for a fuller load goes part-full once its first piece has waited long enough.
//!
//! Nothing else happens at that moment, so somebody has to be called to look. Each such line owns a clock for it, and
//! this file alone sets and stops it: it runs while something waits that is not a load and whose time is still to come.

use super::Service;
use super::events::Event;
use super::pieces::Queue;
use crate::room::Room;
use crate::room::time::Time;

/// A line that waits for a fuller load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PartLoad {
    /// Ware on the tables, for a tub.
    Tub,
    /// Ware before the soak, for a sink.
    Sink,
    /// Clean ware, for a carry to the store.
    Carry,
    /// Ware of one kind of rack, for a rack.
    Rack(usize),
}

/// How many such lines a room may have.
pub(super) const fn lines(room: &Room) -> u32 {
    3 + room.rack_kinds.len() as u32
}

impl PartLoad {
    const fn line(self) -> u32 {
        match self {
            Self::Tub => 0,
            Self::Sink => 1,
            Self::Carry => 2,
            Self::Rack(kind) => 3 + kind as u32,
        }
    }
}

impl Service<'_> {
    /// So many pieces have joined such a line: its clock starts with the first and stops at a load.
    #[inline]
    pub(super) fn part_load_joined(&mut self, load: PartLoad, pieces: u32) {
        let clock = Event::WaitedLongest(load.line());
        let runs = self.events.due(clock).is_some();
        let Some((queue, wait)) = self.part_load(load) else {
            return;
        };
        if runs || queue.len() == pieces {
            if self.is_load(load, &queue) {
                self.events.unset(clock);
            } else if !runs {
                self.events.set(self.now + wait, clock);
            }
        }
    }

    /// Something has been taken from such a line: its clock is that of the piece that is first now.
    pub(super) fn part_load_taken(&mut self, load: PartLoad) {
        let clock = Event::WaitedLongest(load.line());
        let Some((queue, wait)) = self.part_load(load) else {
            return;
        };
        let due = queue
            .head()
            .map(|head| self.pieces[head as usize].joined + wait)
            .filter(|due| *due > self.now && !self.is_load(load, &queue));
        match due {
            Some(due) => self.events.set(due, clock),
            None => self.events.unset(clock),
        }
    }

    /// What waits there, and how long it does at most.
    fn part_load(&self, load: PartLoad) -> Option<(Queue, Time)> {
        let room = self.room;
        Some(match load {
            PartLoad::Tub => (
                self.dining.on_tables,
                room.clear_down.as_ref()?.wait_at_most,
            ),
            PartLoad::Sink => (self.soak.waiting, room.soak.as_ref()?.wait_at_most),
            PartLoad::Carry => (self.to_put_away, room.put_away.as_ref()?.wait_at_most),
            PartLoad::Rack(kind) => (
                self.racking.kinds[kind].queue,
                room.rack_kinds[kind].wait_at_most,
            ),
        })
    }

    /// Whether a whole load waits, which needs no clock.
    fn is_load(&self, load: PartLoad, queue: &Queue) -> bool {
        let room = self.room;
        let most = |most: Option<u32>| most.is_some_and(|most| queue.len() >= most);
        match load {
            PartLoad::Tub => most(room.clear_down.as_ref().map(|clear| clear.tub)),
            PartLoad::Sink => most(room.soak.as_ref().map(|soak| soak.enough)),
            PartLoad::Carry => most(room.put_away.as_ref().map(|put_away| put_away.batch)),
            PartLoad::Rack(kind) => self.racking.is_rack_load(kind),
        }
    }
}
