//! The belt of a conveyor: a clock of its own, which stands while the belt does.
//!
//! Positions of racks are belt times, so nothing has to be moved when the belt stops and runs again.

use crate::room::time::Time;

/// A belt during a service.
#[derive(Debug, Clone, Copy)]
pub(super) struct Belt {
    /// Belt time at `settled`.
    time: Time,
    settled: Time,
    /// Belt time at which the entry is free of the last rack.
    entry_free: Time,
}

impl Belt {
    /// At the start of an evening.
    pub const NEW: Self = Self {
        time: Time::ZERO,
        settled: Time::ZERO,
        entry_free: Time::ZERO,
    };

    /// Moves the belt's clock up to now; it has moved since it was settled, or stood.
    pub fn settle(&mut self, moved: bool, now: Time) {
        if moved {
            self.time += now - self.settled;
        }
        self.settled = now;
    }

    /// Belt time when it was last settled.
    pub const fn time(&self) -> Time {
        self.time
    }

    /// Belt time now, if it has moved since it was settled.
    pub fn time_moving(&self, now: Time) -> Time {
        self.time + (now - self.settled)
    }

    /// Belt time at which the entry is free of the last rack.
    pub const fn entry_free(&self) -> Time {
        self.entry_free
    }

    /// A rack enters and keeps the entry for so much belt time.
    pub fn enter(&mut self, headway: Time) {
        self.entry_free = self.time + headway;
    }
}
