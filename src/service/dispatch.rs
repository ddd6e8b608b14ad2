//! Who does what next: one rule, written down once.
//!
//! **A free operator takes the first duty in their list that has work and a place; of several free
//! operators the one that prefers the duty most, then the nearest, then the first in the roster.**
//!
//! In full: every free operator proposes the first duty of their list that is ready (work is there, a
//! place is free, what it needs is there, and its own condition, `once_waiting` or `once_short`, is met). Of all
//! proposals the one ranked highest by its operator is carried out; of equals that of the operator with
//! the shortest walk; of equals that of the first in the roster. Then all propose again.
//!
//! Whoever looks after some machines only proposes work at these, and is asked by themselves; all others share one
//! answer.

use super::index::OperatorId;
use super::job::Next;
use super::{Service, stations};
use crate::room::own::Whose;
use crate::room::plan::Spot;
use crate::room::time::Time;
use crate::scenario::model::Duty;

/// What a free operator proposes to do.
#[derive(Clone, Copy)]
struct Proposal {
    operator: OperatorId,
    duty: Duty,
    /// Place of the duty in their list.
    rank: usize,
}

/// Duties that have been asked about while nothing changed, and those found ready, a bit each.
#[derive(Clone, Copy, Default)]
struct Known {
    asked: u16,
    ready: u16,
}

impl Service<'_> {
    /// Everybody who is free looks around for work.
    pub(super) fn dispatch(&mut self) {
        while self.crew.free != 0 {
            let Some((operator, duty)) = self.next_to_start() else {
                return;
            };
            self.start_work(operator, duty);
            self.settle();
        }
    }

    fn next_to_start(&self) -> Option<(OperatorId, Duty)> {
        let wanted = self.common.flow.lines.wanted();
        let mut known = Known::default();
        let mut best: Option<Proposal> = None;
        let mut free = self.crew.free;
        while free != 0 {
            let operator = OperatorId::new(free.trailing_zeros() as usize);
            free &= free - 1;
            if self.common.room.crew[operator].duty_bits & wanted == 0 {
                continue;
            }
            let Some((rank, duty)) = self.first_ready(operator, &mut known) else {
                continue;
            };
            let proposal = Proposal {
                operator,
                duty,
                rank,
            };
            if best.is_none_or(|best| self.comes_before(proposal, best)) {
                best = Some(proposal);
            }
        }
        best.map(|best| (best.operator, best.duty))
    }

    /// Whether a proposal is carried out rather than one of somebody before them in the roster. Walks
    /// are looked up only where ranks are equal.
    fn comes_before(&self, later: Proposal, earlier: Proposal) -> bool {
        later.rank < earlier.rank
            || later.rank == earlier.rank && self.walk_to(later) < self.walk_to(earlier)
    }

    fn walk_to(&self, proposal: Proposal) -> Time {
        let from = self.crew.operators[proposal.operator].spot;
        let limited = self.common.room.crew[proposal.operator].own.is_some();
        let asks = limited && stations::of(proposal.duty).of_own.is_some();
        let to = match self.next(proposal.duty, asks.then_some(proposal.operator)) {
            Next::ReadyAt(spot) => spot,
            Next::Ready | Next::Waits(_) | Next::Nothing => Spot::of_duty(proposal.duty),
        };
        self.common.room.plan.walk(from, to)
    }

    /// The first duty of an operator's list that is ready, with its rank.
    fn first_ready(&self, operator: OperatorId, known: &mut Known) -> Option<(usize, Duty)> {
        let of = &self.common.room.crew[operator];
        let alone = stations::ASKED_ALONE[usize::from(of.own.is_some())];
        for (rank, entry) in of.duties.iter().enumerate() {
            if entry.once_waiting > 0
                && self.waiting_at(entry.duty, of.whose()) < entry.once_waiting
            {
                continue;
            }
            if entry.once_short {
                if self.may_run(entry.duty, of.whose()) {
                    return Some((rank, entry.duty));
                }
                continue;
            }
            let bit = entry.duty.bit();
            if alone & bit != 0 {
                if self.is_ready(entry.duty, Some(operator)) {
                    return Some((rank, entry.duty));
                }
                continue;
            }
            if known.asked & bit == 0 {
                known.asked |= bit;
                known.ready |= if self.is_ready(entry.duty, None) {
                    bit
                } else {
                    0
                };
            }
            if known.ready & bit != 0 {
                return Some((rank, entry.duty));
            }
        }
        None
    }

    /// Whether guests wait for ware that somebody could unload, or carry to the store, now.
    fn may_run(&self, duty: Duty, whose: Whose<'_>) -> bool {
        let places = stations::work(duty).places.people(self.common.room);
        let is_place = places.is_none_or(|places| self.crew.at_work(duty) < places);
        is_place
            && match duty {
                Duty::Unload => {
                    let racking = &self.soiled.racking;
                    let wanted = (self.machines).wanted(&self.common, racking, &self.clean, whose);
                    wanted.is_some()
                }
                _ => self.clean.is_wanted(whose),
            }
    }

    /// What waits at a duty for somebody's condition to count: the line, and what lies ready in a sink or under
    /// a hood.
    fn waiting_at(&self, duty: Duty, whose: Whose<'_>) -> u32 {
        let station = stations::of(duty);
        match station.of_own {
            Some(of_own) if !whose.is_anybody() => of_own(self, whose),
            _ => self.common.flow.lines.len(duty) + (station.besides)(self),
        }
    }

    /// Whether a unit of work of a duty could start now if somebody, or that operator, were free.
    fn is_ready(&self, duty: Duty, operator: Option<OperatorId>) -> bool {
        matches!(self.next(duty, operator), Next::Ready | Next::ReadyAt(_))
    }

    /// Starts a unit of work that is ready.
    fn start_work(&mut self, operator: OperatorId, duty: Duty) {
        let station = stations::of(duty);
        let job = (station.take)(self, operator);
        let per_unit = job.unit_time(self.common.room, station.work.unit_time);
        self.crew
            .take_up(&mut self.common, operator, duty, job, per_unit);
    }

    /// A unit of work ends: its pieces go on, and the operator is free, unless a trip must wait.
    pub(super) fn work_ends(&mut self, operator: OperatorId) {
        let (duty, job) = self.crew.hand_over(&mut self.common, operator);
        let station = stations::of(duty);
        if station.frees {
            self.crew.release(&mut self.common, operator);
        }
        (station.done)(self, operator, job);
    }
}
