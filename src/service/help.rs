//! Help that is called in: who may be called, and who may go again.

use super::index::OperatorId;
use crate::room::Room;

/// Those who may be called, and those who may go again, a bit each.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Help {
    pub may_be_called: u64,
    pub may_go: u64,
}

impl Help {
    /// Whether anybody has to look at what waits.
    pub const fn looks(self) -> bool {
        self.may_be_called | self.may_go != 0
    }

    /// From now on somebody may be called; nothing if they come without a call.
    pub fn waits(&mut self, room: &Room, operator: OperatorId) -> bool {
        let waits = room.crew[operator].call.is_some();
        if waits {
            self.may_be_called |= 1 << operator.number();
        }
        waits
    }

    /// Who was not called is not called any more.
    pub fn is_over(&mut self, operator: OperatorId) {
        self.may_be_called &= !(1 << operator.number());
    }
}
