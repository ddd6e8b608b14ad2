//! The heap of clocks that are set.

use super::order::{Event, Key, NEVER, about};

/// The clocks that are set: a binary heap that knows where in it each stands, so that one may be moved or taken out.
/// What an event costs grows with the logarithm of the clocks that are set, not with the size of crew and room.
#[derive(Debug, Default)]
pub(super) struct Clocks {
    pub(super) heap: Vec<Key>,
    /// By clock: where it stands in the heap, [`UNSET`] if it is not set.
    pub(super) stands: Vec<u32>,
    /// By clock: what happens then.
    pub(super) event: Vec<Event>,
}

pub(super) const UNSET: u32 = u32::MAX;

impl Clocks {
    pub(super) fn begin(&mut self, count: usize) {
        self.heap.clear();
        self.heap.reserve(count);
        self.stands.clear();
        self.stands.resize(count, UNSET);
        self.event.clear();
        self.event.resize(count, Event::Closes);
    }

    pub(super) fn soonest(&self) -> Key {
        self.heap.first().copied().unwrap_or(NEVER)
    }

    pub(super) fn set(&mut self, key: Key, event: Event) {
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

    pub(super) fn clear(&mut self, clock: u32) {
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
