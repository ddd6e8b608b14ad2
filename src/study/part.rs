//! What is kept of one evening in one room until it is folded: its outcome, and the series that are wanted.

use crate::room::Room;
use crate::service::Service;
use crate::service::outcome::Outcome;
use crate::service::series::series_of;
use crate::words::stuck;

/// One evening in one room.
#[derive(Debug)]
pub(super) struct Part {
    /// Its measures.
    pub outcome: Outcome,
    /// Series, one after the other, a value per minute.
    pub samples: Vec<f32>,
    /// What was still waiting and for what, if it was not finished.
    pub stuck: Vec<String>,
}

/// Which series of a room are kept.
#[derive(Debug)]
pub(super) struct Rows {
    rows: Vec<usize>,
    minutes: usize,
}

impl Rows {
    /// All of them.
    pub fn all(room: &Room) -> Self {
        Self::of(room, (0..series_of(room).len()).collect())
    }

    /// Those in these rows of the samples.
    pub fn of(room: &Room, rows: Vec<usize>) -> Self {
        Self {
            rows,
            minutes: room.hours.minutes(),
        }
    }

    /// Bytes of the samples of an evening.
    pub fn bytes(&self) -> usize {
        self.len() * size_of::<f32>()
    }

    /// Memory for one evening.
    pub fn part(&self, room: &Room) -> Part {
        Part {
            outcome: Outcome::new(room),
            samples: vec![0.0; self.len()],
            stuck: Vec::new(),
        }
    }

    fn len(&self) -> usize {
        self.rows.len() * self.minutes
    }

    /// Keeps an evening just played.
    pub fn keep(&self, service: &Service<'_>, outcome: &mut Outcome, part: &mut Part) {
        std::mem::swap(&mut part.outcome, outcome);
        part.stuck = if part.outcome.finished {
            Vec::new()
        } else {
            stuck::lines(&service.stuck())
        };
        let from = service.samples().values();
        let into = part.samples.chunks_exact_mut(self.minutes);
        for (row, into) in self.rows.iter().zip(into) {
            into.copy_from_slice(&from[row * self.minutes..(row + 1) * self.minutes]);
        }
    }
}
