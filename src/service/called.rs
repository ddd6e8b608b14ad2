//! Calling help in: who comes once much waits, stays a while, and goes when little does.
//!
//! From the start of the shift to its end they may be called. Whoever is called comes, whatever waits by then.

use super::common::Common;
use super::crew::{Crew, Doing};
use super::diary::Happening;
use super::events::Event;
use super::index::OperatorId;
use crate::room::Room;
use crate::room::crew::Call;

fn call(room: &Room, operator: OperatorId) -> Option<&Call> {
    room.crew[operator].call.as_ref()
}

/// The operators of these bits.
fn each(mut bits: u64) -> impl Iterator<Item = OperatorId> {
    std::iter::from_fn(move || {
        let lowest = bits.trailing_zeros();
        bits &= bits.wrapping_sub(1);
        (lowest < u64::BITS).then(|| OperatorId::new(lowest as usize))
    })
}

impl Crew {
    /// Calls those who are wanted now, and sends those home who are wanted no more.
    pub(super) fn look_for_help(&mut self, common: &mut Common<'_>) {
        let waiting = common.flow.lines.soiled().len;
        for operator in each(self.help.may_be_called) {
            let called = call(common.room, operator).filter(|call| waiting >= call.once_waiting);
            let Some(call) = called else { continue };
            self.help.may_be_called &= !(1 << operator.number());
            common.note(Happening::Called { operator });
            let comes = common.now + call.comes_after;
            common.events.set(comes, Event::HelpComes(operator));
        }
        for operator in each(self.help.may_go) {
            if call(common.room, operator).is_some_and(|call| waiting < call.goes_below) {
                self.help.may_go &= !(1 << operator.number());
                self.goes_when_free(common, operator);
            }
        }
    }

    /// Somebody who was called comes.
    pub(super) fn help_comes(&mut self, common: &mut Common<'_>, operator: OperatorId) {
        let Some(call) = call(common.room, operator) else {
            return;
        };
        self.comes(common, operator);
        let enough = common.now + call.stays_at_least;
        let shift_end = common.room.crew[operator].to;
        self.operators[operator].ends = shift_end.max(enough);
        common.events.set(enough, Event::HelpMayGo(operator));
    }

    /// They have been there for as long as was said.
    pub(super) fn help_may_go(&mut self, common: &mut Common<'_>, operator: OperatorId) {
        if self.operators[operator].doing == Doing::Away {
            return;
        }
        if common.room.crew[operator].to <= common.now {
            self.shift_ends(common, operator);
        } else if call(common.room, operator).is_some_and(|call| call.goes_below > 0) {
            self.help.may_go |= 1 << operator.number();
        }
    }
}
