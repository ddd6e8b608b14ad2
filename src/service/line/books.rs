//! The books of what waits. Only the lines of [`line`](super) can write them.

use crate::room::Room;
use crate::room::time::Time;
use crate::scenario::model::Duty;

/// The books of what waits at one place.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Books {
    /// What waits now.
    pub len: u32,
    /// Most that waited at once.
    pub most: u32,
    /// Units waiting times nanoseconds, up to `counted`.
    pub area_ns: i128,
    counted: Time,
    /// Units taken up.
    pub taken: u64,
    /// Sum of their waits.
    pub waited_ns: i128,
}

impl Books {
    fn count_to(&mut self, now: Time) {
        if self.counted != now {
            self.area_ns += i128::from(self.len) * i128::from((now - self.counted).ns());
            self.counted = now;
        }
    }

    pub(super) fn grows(&mut self, by: u32, now: Time) {
        self.count_to(now);
        self.len += by;
        self.most = self.most.max(self.len);
    }

    pub(super) fn shrinks(&mut self, by: u32, waited_ns: i128, now: Time) {
        self.count_to(now);
        self.len -= by;
        self.taken += u64::from(by);
        self.waited_ns += waited_ns;
    }
}

/// The books of all lines.
#[derive(Debug, Default)]
pub struct Lines {
    by_duty: [Books; Duty::COUNT],
    pub(super) soiled: Books,
    pub(super) racks_waiting: Books,
    /// Duties at which something waits, a bit each.
    waiting: u16,
    /// Those that may be ready although nothing waits before them: the soak and the hoods.
    always: u16,
}

impl Lines {
    pub(in crate::service) fn begin(&mut self, room: &Room) {
        let special = [Duty::Soak, Duty::Hood].into_iter();
        let there = special.filter(|duty| room.has(*duty));
        *self = Self {
            always: there.fold(0, |bits, duty| bits | duty.bit()),
            ..Self::default()
        };
    }

    /// The evening is over: the books count to its end.
    pub(in crate::service) fn end(&mut self, now: Time) {
        let lines = self.by_duty.iter_mut();
        let all = lines.chain([&mut self.soiled, &mut self.racks_waiting]);
        all.for_each(|books| books.count_to(now));
    }

    /// What waits for a duty.
    #[must_use]
    pub const fn at(&self, duty: Duty) -> &Books {
        &self.by_duty[duty as usize]
    }

    /// Soiled pieces waiting for the first time, from the drop-off to the machine.
    #[must_use]
    pub const fn soiled(&self) -> &Books {
        &self.soiled
    }

    /// Full racks on stations and in lanes.
    #[must_use]
    pub const fn racks_waiting(&self) -> &Books {
        &self.racks_waiting
    }

    /// How many wait for a duty.
    pub(in crate::service) const fn len(&self, duty: Duty) -> u32 {
        self.at(duty).len
    }

    /// Duties that may want somebody, a bit each.
    pub(in crate::service) const fn wanted(&self) -> u16 {
        self.waiting | self.always
    }

    pub(super) fn join(&mut self, duty: Duty, by: u32, now: Time) {
        if by > 0 {
            self.by_duty[duty as usize].grows(by, now);
            self.waiting |= duty.bit();
        }
    }

    pub(super) fn leave(&mut self, duty: Duty, by: u32, waited_ns: i128, now: Time) {
        let books = &mut self.by_duty[duty as usize];
        books.shrinks(by, waited_ns, now);
        if books.len == 0 {
            self.waiting &= !duty.bit();
        }
    }
}
