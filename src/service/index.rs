//! Numbers of things, a type for each kind of thing: a rack's number cannot be taken for a machine's.
//!
//! Things lie in vectors, and a number indexes only vectors of its own things: whoever owns such a vector says so with
//! `indexes!`, beside the thing.

use crate::room::crew::Operator;
use crate::room::faults::Fault;
use crate::room::stations::Machine;
use crate::room::tasks::Task;

macro_rules! numbers {
    ($($(#[$doc:meta])* $name:ident)*) => { $(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(u32);

        impl $name {
            /// Of the thing that lies there.
            #[must_use]
            pub const fn new(at: usize) -> Self {
                Self(at as u32)
            }

            /// The numbers of so many things.
            pub fn all(count: usize) -> impl DoubleEndedIterator<Item = Self> {
                (0..count as u32).map(Self)
            }

            /// The number itself.
            #[must_use]
            pub const fn number(self) -> u32 {
                self.0
            }

            /// Where the thing lies.
            #[must_use]
            pub const fn at(self) -> usize {
                self.0 as usize
            }
        }

        /// As the number itself: whoever prints one says what it is the number of.
        impl std::fmt::Debug for $name {
            fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                self.0.fmt(to)
            }
        }
    )* };
}

numbers! {
    /// A lot, of all of the evening.
    LotId
    /// A piece of ware, of all of the evening.
    PieceId
    /// A run of pieces, of all of the evening.
    RunId
    /// A rack, of all that are owned.
    RackId
    /// A soak sink.
    SinkId
    /// A tub on its way, of those that floor staff may carry.
    TubId
    /// A machine, in the scenario's order.
    MachineId
    /// A fault, in the order of the room's.
    FaultId
    /// A task, in the order of its list: of the set-up or of the close-down.
    TaskId
    /// An operator, in roster order.
    OperatorId
    /// Something that may fill: the change of water of each machine, then each machine of each task that fills.
    TapId
}

/// Vectors of these things are indexed by these numbers.
macro_rules! indexes {
    ($($number:ty => $thing:ty),* $(,)?) => { $(
        $crate::service::index::indexes!(@of $number, $thing, Vec<$thing>);
        $crate::service::index::indexes!(@of $number, $thing, [$thing]);
    )* };
    (@of $number:ty, $thing:ty, $things:ty) => {
        impl std::ops::Index<$number> for $things {
            type Output = $thing;

            #[inline]
            fn index(&self, number: $number) -> &$thing {
                &self[number.at()]
            }
        }

        impl std::ops::IndexMut<$number> for $things {
            #[inline]
            fn index_mut(&mut self, number: $number) -> &mut $thing {
                &mut self[number.at()]
            }
        }
    };
}

pub(super) use indexes;

indexes!(MachineId => Machine, OperatorId => Operator, FaultId => Fault, TaskId => Task);
