//! What fills from the supply of water, and what has been filled.

use super::index::{TapId, indexes};
use crate::room::Room;
use crate::room::time::Time;

/// Something that may fill.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Tap {
    pub is_open: bool,
    /// What it would take, L/s.
    pub most_l_per_s: f64,
    /// What it gets, L/s.
    pub gets_l_per_s: f64,
    /// What is to be filled yet, L.
    pub left_l: f64,
}

indexes!(TapId => Tap);

/// All of them; none where the supply is not limited.
#[derive(Debug, Default)]
pub(super) struct Taps {
    pub all: Vec<Tap>,
    /// Up to when it is counted.
    settled: Time,
    /// Given so far, L.
    pub given_l: f64,
    /// Asked for so far, less what was not wanted any more, L.
    pub asked_l: f64,
}

impl Taps {
    pub fn begin(&mut self, room: &Room) {
        let count = room.supply.as_ref().map_or(0, |supply| supply.taps.len());
        self.all.clear();
        self.all.resize(count, Tap::default());
        (self.settled, self.given_l, self.asked_l) = (Time::ZERO, 0.0, 0.0);
    }

    /// Lets water run up to now.
    pub fn settle(&mut self, now: Time) {
        let passed_s = (now - self.settled).s();
        self.settled = now;
        for tap in self.all.iter_mut().filter(|tap| tap.is_open) {
            let runs_l = tap.gets_l_per_s * passed_s;
            tap.left_l -= runs_l;
            self.given_l += runs_l;
        }
    }

    /// Those that are open.
    pub fn open(&self) -> impl Iterator<Item = &Tap> + Clone {
        self.all.iter().filter(|tap| tap.is_open)
    }
}
