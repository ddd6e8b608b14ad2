//! Folds evenings that were played with all scenarios.
//!
//! Of each replication only the measures of the evening are kept; series go into histograms and sums, so memory is
//! some 30 MB per scenario, and 0.6 kB per replication of each.

use super::curve::{Curve, Folding};
use super::{curve, difference};
use crate::room::Room;
use crate::service::Service;
use crate::service::measure::Measure;
use crate::service::outcome::Outcome;
use crate::study::bands::Bands;
use crate::study::evening::Row;
use crate::study::part::{Part, Rows};
use crate::study::plan::Stop;
use crate::study::player::{Done, Fold};
use crate::study::watch::Columns;

/// All scenarios, being folded.
pub(super) struct SideBySide<'r> {
    /// What is played.
    pub rooms: &'r [Room],
    stop: Stop,
    /// The series that are compared, by scenario.
    rows: Vec<Rows>,
    /// In the order given, the base first.
    sides: Vec<Folded>,
    folding: Folding,
}

/// One scenario, folded.
pub(super) struct Folded {
    /// One for each replication, in order.
    pub rows: Vec<Row>,
    /// When each evening ended, min after the start.
    pub ends_min: Vec<f64>,
    /// Series that are compared.
    pub bands: Bands,
}

impl<'r> SideBySide<'r> {
    /// Nothing yet.
    pub fn new(rooms: &'r [Room], stop: Stop) -> Self {
        let rows = |room: &Room| {
            let compared = curve::compared(room).into_iter();
            Rows::of(room, compared.map(|(row, _)| row).collect())
        };
        Self {
            rooms,
            stop,
            rows: rooms.iter().map(rows).collect(),
            sides: rooms.iter().map(Folded::new).collect(),
            folding: Folding::new(rooms),
        }
    }

    /// The scenarios, and the differences minute by minute of each alternative.
    pub fn finish(self) -> (Vec<Folded>, Vec<Vec<Curve>>) {
        (self.sides, self.folding.finish())
    }
}

impl Fold for SideBySide<'_> {
    type Kept = Vec<Part>;

    fn slot(&self) -> Vec<Part> {
        let rooms = self.rooms.iter().zip(&self.rows);
        rooms.map(|(room, rows)| rows.part(room)).collect()
    }

    fn slot_bytes(&self) -> usize {
        self.rows.iter().map(Rows::bytes).sum()
    }

    fn keep(
        &self,
        side: usize,
        service: &Service<'_>,
        outcome: &mut Outcome,
        kept: &mut Vec<Part>,
    ) {
        self.rows[side].keep(service, outcome, &mut kept[side]);
    }

    fn add(&mut self, evenings: &[Done<'_, Vec<Part>>]) {
        let samples: Vec<Vec<&[f32]>> = (0..self.sides.len())
            .map(|side| {
                let of_side = evenings.iter().map(|one| &one.kept[side].samples[..]);
                of_side.collect()
            })
            .collect();
        for (side, folded) in self.sides.iter_mut().enumerate() {
            folded.bands.fold(&samples[side]);
            for one in evenings {
                folded.add(one.replication, &one.kept[side].outcome);
            }
        }
        self.folding.fold(&samples);
    }

    /// Whether the difference asked for is known well enough for every alternative.
    fn is_enough(&self) -> bool {
        let (
            Stop::Precise {
                measure, relative, ..
            },
            Some((base, others)),
        ) = (self.stop, self.sides.split_first())
        else {
            return false;
        };
        others
            .iter()
            .all(|other| difference::of(measure, &base.rows, &other.rows).is_known_to(relative))
    }

    fn so_far(&self) -> Option<&dyn Columns> {
        Some(self)
    }
}

impl Columns for SideBySide<'_> {
    fn sides(&self) -> usize {
        self.sides.len()
    }

    fn column(&self, side: usize, measure: Measure) -> Vec<(u64, Option<f64>)> {
        let rows = self.sides[side].rows.iter();
        rows.map(|row| (row.replication, row.values[measure as usize]))
            .collect()
    }
}

impl Folded {
    fn new(room: &Room) -> Self {
        let series = curve::compared(room).into_iter().map(|(_, info)| info);
        Self {
            rows: Vec::new(),
            ends_min: Vec::new(),
            bands: Bands::of(series.collect(), room.hours.minutes()),
        }
    }

    fn add(&mut self, replication: u64, outcome: &Outcome) {
        self.ends_min.push(outcome.end_min);
        self.rows.push(Row {
            replication,
            values: outcome.measures.to_vec(),
            finished: outcome.finished,
        });
    }
}
