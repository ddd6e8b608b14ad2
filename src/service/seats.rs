//! Seats: who finds some, who waits for them, and who is turned away.
//!
//! Everything here is settled before the evening, from arrivals and times at the table as they were drawn: nothing that
//! happens in the dish room changes who sits when. So alternatives are compared over the same guests. **What that leaves
//! out**: guests who wait for ware and leave later than they meant to keep nobody else from their seats meanwhile.
//!
//! First come, first served: nobody overtakes a larger party that waits before them. Seats that a booked party will want
//! are given to nobody who would still sit on them, for the house knows how long its guests stay: an assumption.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::room::time::Time;

/// A party, drawn.
#[derive(Debug, Clone, Copy)]
pub(super) struct Party {
    pub key: u64,
    pub covers: u32,
    /// When it sits down; where seats are counted, when it comes.
    pub seated: Time,
    pub dwell: Time,
    /// Which of those who ask for seats it is, as they were drawn.
    pub number: u32,
    /// When it sits down on counted seats, if it does.
    pub sits: Option<Time>,
}

impl Party {
    pub const fn new(key: u64, covers: u32, seated: Time, dwell: Time) -> Self {
        Self {
            key,
            covers,
            seated,
            dwell,
            number: 0,
            sits: None,
        }
    }

    /// The same, of those who ask for seats the one of that number.
    pub const fn numbered(self, number: u32) -> Self {
        Self { number, ..self }
    }
}

/// Seats taken from one moment to another.
#[derive(Debug, Clone, Copy)]
struct Taken {
    from: Time,
    until: Time,
    covers: u32,
}

/// The seats of a house during an evening, and who comes for them.
#[derive(Debug, Default)]
pub(super) struct Seats {
    /// Who comes without a booking, in the order in which they were drawn.
    parties: Vec<Party>,
    booked: Vec<Taken>,
    /// Who sits, by when they leave.
    sitting: BinaryHeap<Reverse<(Time, u32)>>,
    /// Covers of those.
    covers: u32,
    /// The first in line was seated or went away at this moment: nobody behind him before.
    moved_up: Time,
}

impl Seats {
    pub fn begin(&mut self) {
        self.parties.clear();
        self.booked.clear();
        self.sitting.clear();
        self.covers = 0;
        self.moved_up = Time::ZERO;
    }

    /// Seats that are kept for a party.
    pub fn book(&mut self, party: &Party) {
        self.booked.push(Taken {
            from: party.seated,
            until: party.seated + party.dwell,
            covers: party.covers,
        });
    }

    /// A party will come and ask for seats.
    pub fn comes(&mut self, party: Party) {
        let number = self.parties.len() as u32;
        self.parties.push(party.numbered(number));
    }

    /// Those who came, with the moment at which each sits down if it does, in the order in which they were drawn.
    pub fn seat(
        &mut self,
        seats: u32,
        wait_at_most: Option<Time>,
    ) -> impl Iterator<Item = (Party, Option<Time>)> {
        let mut parties = std::mem::take(&mut self.parties);
        parties.sort_unstable_by_key(|party| (party.seated, party.number));
        for party in &mut parties {
            party.sits = self.sits_at(party, seats, wait_at_most);
        }
        parties.sort_unstable_by_key(|party| party.number);
        self.parties = parties;
        self.parties.iter().map(|party| (*party, party.sits))
    }

    /// When the next party sits down, if it does.
    fn sits_at(&mut self, party: &Party, seats: u32, wait_at_most: Option<Time>) -> Option<Time> {
        let gives_up = wait_at_most.map_or(Time::NEVER, |wait| party.seated + wait);
        let mut at = party.seated.max(self.moved_up);
        loop {
            self.leave_until(at);
            let stay = Taken {
                from: at,
                until: at + party.dwell,
                covers: party.covers,
            };
            if self.fits(stay, seats) {
                self.sitting.push(Reverse((stay.until, stay.covers)));
                self.covers += stay.covers;
                self.moved_up = at;
                return Some(at);
            }
            match self.next_leaves(at).filter(|next| *next <= gives_up) {
                Some(next) => at = next,
                None => break,
            }
        }
        // Who would wait for ever, before a house without enough seats, does not.
        self.moved_up = if gives_up == Time::NEVER {
            at
        } else {
            gives_up
        };
        None
    }

    /// Whoever leaves up to a moment is gone: seats are free again before somebody asks for them.
    fn leave_until(&mut self, at: Time) {
        while let Some(&Reverse((until, covers))) = self.sitting.peek()
            && until <= at
        {
            self.sitting.pop();
            self.covers -= covers;
        }
    }

    /// Whether there are seats for a stay, now and whenever a booked party comes during it.
    fn fits(&self, stay: Taken, seats: u32) -> bool {
        let now = self.covers + self.booked_at(stay.from) + stay.covers;
        let mut meets = self.booked.iter().map(|booked| booked.from);
        now <= seats
            && meets.all(|at| {
                let is_later = at > stay.from && at < stay.until;
                !is_later || self.sitting_at(at) + self.booked_at(at) + stay.covers <= seats
            })
    }

    /// Covers of booked parties that sit at a moment.
    fn booked_at(&self, at: Time) -> u32 {
        let booked = self.booked.iter();
        let there = booked.filter(|taken| taken.from <= at && at < taken.until);
        there.map(|taken| taken.covers).sum()
    }

    /// Covers of those who sit now and will at a later moment.
    fn sitting_at(&self, at: Time) -> u32 {
        let sitting = self.sitting.iter();
        let stay = sitting.filter(|Reverse((until, _))| *until > at);
        stay.map(|Reverse((_, covers))| covers).sum()
    }

    /// When somebody leaves next, booked or not.
    fn next_leaves(&self, now: Time) -> Option<Time> {
        let booked = self.booked.iter().map(|taken| taken.until);
        let sitting = self.sitting.peek().map(|Reverse((until, _))| *until);
        let all = booked.chain(sitting);
        all.filter(|until| *until > now).reduce(Time::min_of)
    }
}
