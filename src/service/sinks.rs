//! Soak sinks, what is in them, and what waits for them.

use super::events::LongestWait;
use super::index::{SinkId, indexes};
use super::line::{Batch, Line};
use super::pieces::{Pile, Zone};
use crate::room::Room;
use crate::scenario::model::Duty;

/// What a sink is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Does {
    Empty,
    /// Somebody is putting ware in.
    Filling,
    Soaking,
    Ready,
    /// Somebody is taking ware out.
    Emptying,
}

#[derive(Debug)]
pub(super) struct Sink {
    pub does: Does,
    pub pile: Pile,
}

indexes!(SinkId => Sink);

const EMPTY: Sink = Sink {
    does: Does::Empty,
    pile: Pile::new(Zone::Soaking),
};

/// The sinks and what waits for them.
#[derive(Debug)]
pub(super) struct Sinks {
    pub(super) line: Line,
    pub(super) sinks: Vec<Sink>,
}

impl Sinks {
    pub(super) fn new(room: &Room) -> Self {
        let sinks = room.soak.as_ref().map_or(0, |soak| soak.sinks);
        let load = room.soak.as_ref().map(|soak| Batch {
            clock: LongestWait::SINK,
            enough: u64::from(soak.enough),
            wait_at_most: soak.wait_at_most,
        });
        Self {
            line: Line::new(Duty::Soak, Zone::ToSoak, load),
            sinks: (0..sinks).map(|_| EMPTY).collect(),
        }
    }

    pub(super) fn begin(&mut self) {
        self.line.begin();
        self.sinks.fill_with(|| EMPTY);
    }

    pub fn sink_in(&self, does: Does) -> Option<SinkId> {
        let mut sinks = SinkId::all(self.sinks.len());
        sinks.find(|&sink| self.sinks[sink].does == does)
    }

    /// A sink's time is up.
    pub(super) fn soaked(&mut self, sink: SinkId) {
        self.sinks[sink].does = Does::Ready;
    }

    /// Pieces in sinks whose time is up.
    pub(super) fn pieces_ready(&self) -> u32 {
        let ready = self.sinks.iter().filter(|sink| sink.does == Does::Ready);
        ready.map(|sink| sink.pile.len()).sum()
    }
}
