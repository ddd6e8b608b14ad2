//! Decoy racks: open racks at the drop-off, into which ware of their kind is sorted as it comes.
//!
//! How ware gets in and out of them is in `sorting`. They stand beside the drop-off and take none of its table. Whoever brings such ware puts it straight into the open rack
//! of its kind: it is not scraped, and nobody loads it piece by piece. Whoever has the duty `load` carries a rack on to a
//! loading station, as soon as it may leave by the rule of all racks; from there it is a filled rack like any other. Ware
//! for which no rack is free comes as all other does. What stands there at the start is sorted like what comes.

use std::collections::VecDeque;

use super::events::LongestWait;
use super::index::RackId;
use super::line::{Batch, Line};
use super::pieces::Zone;
use crate::room::plan::Spot;
use crate::room::time::Time;
use crate::scenario::model::Duty;

/// Where they stand.
pub(super) const SPOT: Spot = Spot::of_duty(Duty::ClearDown);

/// The open racks of a kind.
#[derive(Debug)]
pub(super) struct Decoys {
    /// What is in them, first come first: one is full before the next is begun.
    pub line: Line,
    /// They themselves.
    pub racks: VecDeque<RackId>,
    /// How full the last of them is.
    pub load: u64,
}

impl Decoys {
    /// None yet; one may leave with so much in it, or after so long.
    pub fn new(kinds: usize, kind: usize, enough: u64, wait_at_most: Time) -> Self {
        let batch = Batch {
            clock: LongestWait::decoy(kinds, kind),
            enough,
            wait_at_most,
        };
        Self {
            line: Line::new(Duty::Load, Zone::InDecoy, Some(batch)),
            racks: VecDeque::new(),
            load: 0,
        }
    }

    pub fn begin(&mut self) {
        self.line.begin();
        self.racks.clear();
        self.load = 0;
    }
}
