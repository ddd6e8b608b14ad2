//! When the racks of an evening come to the machines, and when it is over.
//!
//! Ware comes from the first pulse to the last, or until the backlog of what binds is gone. Ahead of it
//! lies the way through the room; behind the last piece nothing more comes, so it waits for no fuller load.
//! An evening ends when all is put away, and not before closing.

use serde::Serialize;

use super::arrivals::Pulse;
use super::path::Path;
use super::peak::Load;
use crate::room::Room;

/// Moments of an evening, s after the start of the room's hours.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Milestones {
    /// The first rack comes to a machine.
    pub from_s: f64,
    /// The last one.
    pub to_s: f64,
    /// All is done, and the room is closed.
    pub ends_s: f64,
}

impl Milestones {
    /// Of an evening with this load, whose backlog is gone at a moment, s after the start, if it has any.
    #[must_use]
    pub fn of(room: &Room, pulses: &[Pulse], load: &Load, backlog_gone_s: Option<f64>) -> Self {
        let closes_s = room.hours.closes.s();
        let first_s = pulses.iter().map(|pulse| pulse.from_s + pulse.gap_s / 2.0);
        let last_s = pulses.iter().map(|pulse| pulse.to_s - pulse.gap_s / 2.0);
        let (Some(first_s), Some(last_s)) = (first_s.reduce(f64::min), last_s.reduce(f64::max))
        else {
            return Self {
                from_s: 0.0,
                to_s: 0.0,
                ends_s: closes_s,
            };
        };
        let gone_s = backlog_gone_s.map_or(last_s, |gone_s| gone_s.max(last_s));
        let path = Path::of_the_last(room, load);
        let longest = |figure: &dyn Fn(usize) -> f64| {
            let there = (0..room.wares.len()).filter(|ware| load.pieces[*ware] > 0.0);
            there.map(figure).fold(0.0, f64::max)
        };
        let way_s = longest(&|ware| path.to_machine_s[ware]);
        let through_s = longest(&|ware| path.through_s(ware, 1.0));
        Self {
            from_s: first_s + way_s,
            to_s: gone_s + way_s,
            ends_s: closes_s.max(gone_s + through_s),
        }
    }

    /// How long so many racks come, each with the gap behind it: no shorter than fed without any.
    #[must_use]
    pub fn racks_s(&self, racks: f64, headway_s: f64) -> f64 {
        let fed_s = racks * headway_s;
        if racks <= 1.0 {
            return fed_s;
        }
        let spread_s = (self.to_s - self.from_s) * racks / (racks - 1.0);
        spread_s.max(fed_s)
    }
}
