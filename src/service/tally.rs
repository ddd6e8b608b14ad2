//! What is counted while a service is played, beside what waits (see [`line`](super::line)).

use super::obstacle::{OBSTACLES, Obstacle};
use crate::room::Room;
use crate::room::time::Time;
use crate::scenario::model::Duty;

/// Counts of one ware.
#[derive(Debug, Clone, Copy, Default)]
pub struct WareTally {
    /// First entries into a machine.
    pub first: u64,
    /// Of those, dried on.
    pub dried: u64,
    /// Sum of waits of first entries, soak apart, ns.
    pub waited_ns: i128,
    /// Pieces that left inspection.
    pub inspected: u64,
    /// Of those, sent back.
    pub caught: u64,
    /// Of those sent on, dirty.
    pub sent_out_dirty: u64,
    /// Covers that waited for it.
    pub short_covers: u64,
    /// Pieces of it that waited to be put away when those covers wanted it, summed over the covers.
    pub lying_when_short: u64,
    /// Least clean stock.
    pub least_clean: u32,
}

/// Chances of pieces to come out dirty.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Chances {
    /// Their sum.
    pub sum: f64,
    /// How many.
    pub count: u32,
}

impl Chances {
    pub fn add(&mut self, chance: f64) {
        self.sum += chance;
        self.count += 1;
    }
}

/// Pieces of one run that enter a machine for the first time.
#[derive(Debug, Clone, Copy)]
pub(super) struct FirstEntries {
    /// How many.
    pub count: u32,
    /// From the drop-off until now, soak apart.
    pub wait: Time,
    /// Time in a soak.
    pub soak: Time,
    /// How many have dried on.
    pub dried: u64,
}

/// Everything counted in one service.
#[derive(Debug, Default)]
pub struct Tally {
    /// Events played.
    pub events: u64,
    /// Covers seated.
    pub covers: u64,
    /// Covers that found no seats and went away.
    pub turned_away: u64,
    /// Sum over the covers that sat down of how long they waited for seats, ns.
    seats_waited_ns: i128,
    /// By ware.
    pub wares: Vec<WareTally>,
    /// Pieces taken from a rack of which it is known how long they take to dry.
    pub unloaded: u64,
    /// Of those, still wet.
    pub unloaded_wet: u64,
    /// Waits of first entries, soak apart, minutes, in order of entry.
    pub waits_min: Vec<f32>,
    /// Sum of the time that pieces of first entries lay in a soak, ns.
    pub soaked_ns: i128,
    /// Their 95th percentile, once the evening has ended; then their order is lost.
    pub wait_p95_min: Option<f64>,
    /// How often a soak sink was filled.
    pub sinks_filled: u64,
    /// Pieces sorted into decoy racks as they came.
    pub sorted: u64,
    /// How often the pot sink was filled.
    pub pot_sink_filled: u64,
    /// Most tubs on the floor.
    pub floor_tubs_most: u32,
    /// Time for which ware due for a trip stayed on the tables because no tub was free, and since when it does.
    pub no_tub: Time,
    no_tub_since: Option<Time>,
    /// Most pieces in hand before a full drop-off.
    pub trips_waiting_most: u32,
    /// Covers served after a wait, and the sum of their waits.
    pub short_served: u64,
    short_waited_ns: i128,
    /// Units of work done by duty.
    pub units: [u64; Duty::COUNT],
    /// Working time by duty.
    pub work: [Time; Duty::COUNT],
    /// Minutes at whose mark work waited, by duty and obstacle.
    pub obstacles: [[u32; OBSTACLES]; Duty::COUNT],
    /// When racks entered machines.
    pub entries: Vec<Time>,
    /// How often a fault struck.
    pub faults: u64,
    /// Racks that entered while a fault spoiled the wash.
    pub racks_in_fault: u64,
    /// When the last machine became ready that had to be set up.
    pub ready: Option<Time>,
    /// When the last guests leave.
    pub last_guest: Option<Time>,
    /// When soiled ware last came to the drop-off for the first time.
    pub last_ware: Option<Time>,
    /// When a rack last left a machine.
    pub last_exit: Time,
    /// By minute: change of the number of pieces that wait dried on.
    pub(super) dried: Vec<i32>,
    /// By minute: sum and number of chances of pieces entering to come out dirty.
    pub(super) chances: Vec<Chances>,
    /// End of the evening.
    pub end: Time,
}

impl Tally {
    pub(super) fn new(room: &Room) -> Self {
        Self {
            wares: vec![WareTally::default(); room.wares.len()],
            ..Self::default()
        }
    }

    pub(super) fn begin(&mut self, room: &Room) {
        let minutes = room.hours.minutes() + 1;
        let mut wares = std::mem::take(&mut self.wares);
        let mut waits_min = std::mem::take(&mut self.waits_min);
        let mut entries = std::mem::take(&mut self.entries);
        let mut dried = std::mem::take(&mut self.dried);
        let mut chances = std::mem::take(&mut self.chances);
        waits_min.clear();
        entries.clear();
        dried.clear();
        dried.resize(minutes, 0);
        chances.clear();
        chances.resize(minutes, Chances::default());
        wares.fill(WareTally::default());
        *self = Self {
            wares,
            waits_min,
            entries,
            dried,
            chances,
            ..Self::default()
        };
    }

    pub(super) fn end(&mut self, now: Time) {
        self.end = now;
        self.lacks_tub(false, now);
        self.wait_p95_min = nearest_rank(&mut self.waits_min, 0.95);
    }

    pub(super) fn unit_done(&mut self, duty: Duty) {
        self.units[duty as usize] += 1;
    }

    pub(super) fn worked(&mut self, duty: Duty, time: Time) {
        self.work[duty as usize] += time;
    }

    pub(super) fn obstacle(&mut self, duty: Duty, obstacle: Obstacle) {
        self.obstacles[duty as usize][obstacle as usize] += 1;
    }

    pub(super) fn floor_tubs(&mut self, tubs: u32) {
        self.floor_tubs_most = self.floor_tubs_most.max(tubs);
    }

    /// From now on ware stays on the tables because no tub is free, or no longer does.
    pub(super) fn lacks_tub(&mut self, lacks: bool, now: Time) {
        if lacks {
            self.no_tub_since.get_or_insert(now);
        } else if let Some(since) = self.no_tub_since.take() {
            self.no_tub += now - since;
        }
    }

    pub(super) fn trips_wait(&mut self, pieces: u32) {
        self.trips_waiting_most = self.trips_waiting_most.max(pieces);
    }

    pub(super) fn served_short(&mut self, covers: u32, waited: Time) {
        self.short_served += u64::from(covers);
        self.short_waited_ns += i128::from(covers) * i128::from(waited.ns());
    }

    /// Mean wait of covers that were short, min.
    #[must_use]
    pub fn short_wait_mean_min(&self) -> Option<f64> {
        (self.short_served > 0)
            .then(|| self.short_waited_ns as f64 / self.short_served as f64 / 60e9)
    }

    pub(super) fn waits_for_seats(&mut self, covers: u32, waited: Time) {
        self.seats_waited_ns += i128::from(covers) * i128::from(waited.ns());
    }

    /// Mean wait for seats of the covers that sat down, min.
    #[must_use]
    pub fn seat_wait_mean_min(&self) -> Option<f64> {
        (self.covers > 0).then(|| self.seats_waited_ns as f64 / self.covers as f64 / 60e9)
    }

    pub(super) fn guest_leaves(&mut self, at: Time) {
        self.last_guest = self.last_guest.max(Some(at));
    }

    pub(super) fn rack_enters(&mut self, now: Time) {
        self.entries.push(now);
    }

    #[allow(clippy::cast_possible_truncation)] // minutes need no more digits
    pub(super) fn first_entries(&mut self, ware: usize, entered: FirstEntries) {
        let tally = &mut self.wares[ware];
        let count = entered.count;
        tally.first += u64::from(count);
        tally.dried += entered.dried;
        tally.waited_ns += i128::from(entered.wait.ns()) * i128::from(count);
        self.soaked_ns += i128::from(entered.soak.ns()) * i128::from(count);
        let waits = std::iter::repeat_n(entered.wait.min() as f32, count as usize);
        self.waits_min.extend(waits);
    }

    /// Counts pieces taken from a rack, wet or dry.
    pub(super) const fn unloaded(&mut self, pieces: u64, is_wet: bool) {
        self.unloaded += pieces;
        if is_wet {
            self.unloaded_wet += pieces;
        }
    }

    pub(super) fn inspected(&mut self, ware: usize, dirty: bool, caught: bool) {
        let tally = &mut self.wares[ware];
        tally.inspected += 1;
        tally.caught += u64::from(caught);
        tally.sent_out_dirty += u64::from(dirty && !caught);
    }

    /// Chances of pieces that entered in the minute up to a moment.
    pub(super) fn chances_at(&self, now: Time) -> Chances {
        let minute = self.chances.get(now.minute_after());
        minute.copied().unwrap_or_default()
    }

    pub(super) fn set_chances_at(&mut self, now: Time, chances: Chances) {
        if let Some(minute) = self.chances.get_mut(now.minute_after()) {
            *minute = chances;
        }
    }

    /// A piece waited dried on from one moment to another: it counts at every minute mark between.
    pub(super) fn dried_between(&mut self, from: Time, to: Time) {
        let last = self.dried.len().saturating_sub(1);
        let (from, to) = (from.minute_after().min(last), to.minute_after().min(last));
        if from < to {
            self.dried[from] += 1;
            self.dried[to] -= 1;
        }
    }
}

/// The smallest value that a share of the values does not exceed; the order of the values is lost.
fn nearest_rank(values: &mut [f32], share: f64) -> Option<f64> {
    if values.is_empty() {
        return None;
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 1 to the length
    let rank = libm::ceil(share * values.len() as f64).max(1.0) as usize;
    let (_, value, _) = values.select_nth_unstable_by(rank - 1, f32::total_cmp);
    Some(f64::from(*value))
}
