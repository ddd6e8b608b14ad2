//! Evenings of changed scenarios, as columns of values beside those of the scenario itself.

use std::ops::Range;

use super::aim::Aim;
use crate::room::Room;
use crate::service::Service;
use crate::service::measure::{MEASURE_COUNT, Measure};
use crate::service::outcome::Outcome;
use crate::study::player::{Assignment, Done, Ended, Fold, Player};
use crate::study::watch::Watch;

/// The values of an evening: its measures, whether it was not finished, then what each finding is about.
pub(super) type Values = Vec<Option<f64>>;

/// The column of a measure.
pub(super) const fn column(measure: Measure) -> usize {
    measure as usize
}

/// The column of evenings that were not finished.
pub(super) const UNFINISHED: usize = MEASURE_COUNT;

/// The column of what a finding is about, by its place in the list of aims.
pub(super) const fn of_aim(aim: usize) -> usize {
    MEASURE_COUNT + 1 + aim
}

/// The values of an outcome.
pub(super) fn values(outcome: &Outcome, aims: &[Aim]) -> Values {
    let mut all = Vec::with_capacity(of_aim(aims.len()));
    read(outcome, aims, &mut all);
    all
}

fn read(outcome: &Outcome, aims: &[Aim], into: &mut Values) {
    into.clear();
    into.extend(outcome.measures);
    into.push(Some(f64::from(u8::from(!outcome.finished))));
    into.extend(aims.iter().map(|aim| aim.value(outcome)));
}

/// Plays each of some rooms on these evenings; nothing if it was cancelled. A row of values for each evening, room by
/// room.
pub(super) fn play(
    player: &Player,
    rooms: &[&Room],
    evenings: &[u64],
    (seed, watch): (u64, &Watch),
    aims: &[Aim],
) -> Option<Vec<Vec<Values>>> {
    let ranges = ranges(evenings);
    let each = rooms
        .iter()
        .flat_map(|room| ranges.iter().map(move |range| (*room, range)));
    let assignments: Vec<Assignment<'_>> = each
        .map(|(room, replications)| Assignment {
            rooms: std::slice::from_ref(room),
            replications: replications.clone(),
        })
        .collect();
    let mut fold = Collect {
        aims,
        ranges: ranges.len(),
        of: vec![Vec::new(); rooms.len()],
    };
    let ended = player.play(&assignments, seed, watch, &mut fold);
    (ended == Ended::Complete).then_some(fold.of)
}

/// Numbers as ranges, in their order.
fn ranges(numbers: &[u64]) -> Vec<Range<u64>> {
    let mut all: Vec<Range<u64>> = Vec::new();
    for number in numbers {
        match all.last_mut().filter(|range| range.end == *number) {
            Some(range) => range.end += 1,
            None => all.push(*number..number + 1),
        }
    }
    all
}

/// Collects the values of the evenings of each room.
struct Collect<'a> {
    aims: &'a [Aim],
    /// Assignments of each room.
    ranges: usize,
    of: Vec<Vec<Values>>,
}

impl Fold for Collect<'_> {
    type Kept = Values;

    fn slot(&self) -> Values {
        Vec::with_capacity(of_aim(self.aims.len()))
    }

    fn slot_bytes(&self) -> usize {
        of_aim(self.aims.len()) * size_of::<Option<f64>>()
    }

    fn keep(&self, _: usize, _: &Service<'_>, outcome: &mut Outcome, kept: &mut Values) {
        read(outcome, self.aims, kept);
    }

    fn add(&mut self, evenings: &[Done<'_, Values>]) {
        for one in evenings {
            self.of[one.assignment / self.ranges].push(one.kept.clone());
        }
    }
}
