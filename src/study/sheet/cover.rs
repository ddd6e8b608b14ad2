//! People needed beside people there, duty by duty and half hour by half hour.
//!
//! What is needed is the work of the ware that comes in that half hour, at once and at pace 1; what waits is
//! not in it. What is left over goes into [`Cover::left`]: work of the duties that bind, less what all who hold
//! them can do meanwhile, minute by minute. Whoever has several of them also walks.

use super::labour::{Labour, can_do_h};
use super::peak::Load;
use super::sent::Expected;
use crate::room::Room;
use crate::room::crew::Operator;
use crate::room::plan::Spot;
use crate::scenario::model::Duty;

pub use crate::study::covered::{Cover, Gap, HalfHour, Together};

/// Minutes of a row.
const ROW_MIN: usize = 30;

/// Minutes after which nobody waits any more for work to be done.
const LONGEST_MIN: usize = 36 * 60;

/// Work of some duties that nobody has got to.
#[derive(Debug, Clone, PartialEq)]
pub struct Left {
    /// By minute from the start of the room's hours, at its end, h.
    pub hours: Vec<f64>,
    /// How long what comes has to wait for it, on average, s.
    pub wait_s: f64,
}

impl Cover {
    /// Of a room.
    #[must_use]
    pub fn of(expected: &Expected<'_>, binding: Option<&[Duty]>) -> Self {
        let total = expected.arrivals.total();
        let comes = |minute: &usize| total[*minute] > 0.0;
        let first = (0..total.len()).find(comes);
        let last = (0..total.len()).rev().find(comes);
        let half_hours = first
            .zip(last)
            .map_or_else(Vec::new, |(first, last)| rows(expected, first, last + 1));
        let gaps = gaps(&half_hours);
        let several = binding.filter(|duties| duties.len() > 1);
        let tightest = several.map(|duties| together(expected.room, &half_hours, duties));
        Self {
            half_hours,
            gaps,
            tightest,
        }
    }

    /// What is left over of some duties.
    #[must_use]
    pub fn left(&self, room: &Room, duties: &[Duty]) -> Left {
        let mut hours = Vec::new();
        let (mut left_h, mut come_h, mut waited_h2) = (0.0_f64, 0.0, 0.0);
        let way_s = way_s(room, duties);
        let ends_s = self.half_hours.last().map_or(0.0, |row| row.to_s);
        for minute in 0..LONGEST_MIN {
            let from_s = minute as f64 * 60.0;
            let at_s = room.hours.start_s + from_s;
            if at_s >= ends_s && left_h <= 0.0 {
                break;
            }
            let more_h = self.needed_h(duties, way_s, at_s);
            let can_h = can_do_h(room, duties, from_s, from_s + 60.0);
            left_h = (left_h + more_h - can_h).max(0.0);
            come_h += more_h;
            // With nobody there it is as if one came.
            let hands = if can_h > 0.0 { 60.0 * can_h } else { 1.0 };
            waited_h2 += more_h * left_h / hands;
            hours.push(left_h);
        }
        let wait_s = if come_h > 0.0 {
            3600.0 * waited_h2 / come_h
        } else {
            0.0
        };
        Left { hours, wait_s }
    }

    /// Work of some duties that comes in the minute from a time of day on, h, with a way for each rack.
    fn needed_h(&self, duties: &[Duty], way_s: f64, at_s: f64) -> f64 {
        let mut rows = self.half_hours.iter();
        let row = rows.find(|row| row.from_s <= at_s && at_s < row.to_s);
        row.map_or(0.0, |row| {
            let these = row.duties.iter().filter(|work| duties.contains(&work.duty));
            let people = these.fold(0.0, |sum, work| sum + work.people_needed);
            (people + row.racks_per_hour * way_s / 3600.0) / 60.0
        })
    }
}

fn together(room: &Room, rows: &[HalfHour], duties: &[Duty]) -> Together {
    let needed = |row: &HalfHour| {
        let these = row.duties.iter().filter(|work| duties.contains(&work.duty));
        these.fold(0.0, |sum, work| sum + work.people_needed)
    };
    let there = |row: &HalfHour| {
        let start_s = room.hours.start_s;
        let hours = can_do_h(room, duties, row.from_s - start_s, row.to_s - start_s);
        3600.0 * hours / (row.to_s - row.from_s)
    };
    Together {
        duties: duties.to_vec(),
        people_needed: rows.iter().map(needed).collect(),
        people_there: rows.iter().map(there).collect(),
    }
}

/// Whoever has several of some duties goes once to another place and back for each rack: the mean way, s.
fn way_s(room: &Room, duties: &[Duty]) -> f64 {
    let shared = |operator: &Operator| {
        let of_them = operator
            .duties
            .iter()
            .filter(|entry| duties.contains(&entry.duty));
        of_them.count() > 1
    };
    if !room.crew.iter().any(shared) {
        return 0.0;
    }
    let pairs = duties
        .iter()
        .flat_map(|from| duties.iter().map(move |to| (*from, *to)));
    let ways = pairs.filter(|(from, to)| from != to);
    let (count, sum_s) = ways.fold((0.0, 0.0), |(count, sum_s), (from, to)| {
        let way = room.plan.walk(Spot::of_duty(from), Spot::of_duty(to));
        (count + 1.0, sum_s + way.s())
    });
    2.0 * sum_s / f64::max(count, 1.0)
}

/// From the half hour of the clock that a minute lies in.
fn rows(expected: &Expected<'_>, first: usize, end: usize) -> Vec<HalfHour> {
    let room = expected.room;
    let row_s = ROW_MIN as f64 * 60.0;
    let start_s = room.hours.start_s;
    let clock_s = libm::floor((start_s + first as f64 * 60.0) / row_s) * row_s;
    let mut rows = Vec::new();
    let mut from_s = clock_s - start_s;
    while from_s < end as f64 * 60.0 {
        let to_s = from_s + row_s;
        let load = Load::an_hour(expected, from_s, to_s);
        let labour = Labour::of(room, &load, from_s, to_s);
        rows.push(HalfHour {
            from_s: start_s + from_s,
            to_s: start_s + to_s,
            people_needed: labour.people_needed,
            people_there: labour.people_there,
            racks_per_hour: load.racks_all(),
            duties: labour.duties,
        });
        from_s = to_s;
    }
    rows
}

/// Neighbouring half hours without anybody for a duty are one gap.
fn gaps(rows: &[HalfHour]) -> Vec<Gap> {
    let mut all: Vec<Gap> = Vec::new();
    for row in rows {
        let without = row
            .duties
            .iter()
            .filter(|work| work.people_needed > 0.0 && work.people_there <= 0.0);
        for work in without {
            let before = all
                .iter_mut()
                .find(|gap| gap.duty == work.duty && gap.to_s == row.from_s);
            if let Some(gap) = before {
                let lasted_s = gap.to_s - gap.from_s;
                let sum =
                    gap.people_needed * lasted_s + work.people_needed * (row.to_s - row.from_s);
                gap.to_s = row.to_s;
                gap.people_needed = sum / (gap.to_s - gap.from_s);
            } else {
                all.push(Gap {
                    duty: work.duty,
                    from_s: row.from_s,
                    to_s: row.to_s,
                    people_needed: work.people_needed,
                });
            }
        }
    }
    all
}
