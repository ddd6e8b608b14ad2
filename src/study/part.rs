//! What is kept of one evening in one room until it is folded: its outcome, and the series that are wanted.

use crate::room::Room;
use crate::scenario::model::Duty;
use crate::service::Service;
use crate::service::obstacle::Obstacle;
use crate::service::outcome::Outcome;
use crate::service::series::series_of;
use crate::service::stuck::{Inside, Left};
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
    /// The duty that was missing.
    pub stuck_at: Option<Duty>,
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
            stuck_at: None,
        }
    }

    fn len(&self) -> usize {
        self.rows.len() * self.minutes
    }

    /// Keeps an evening just played.
    pub fn keep(&self, service: &Service<'_>, outcome: &mut Outcome, part: &mut Part) {
        std::mem::swap(&mut part.outcome, outcome);
        (part.stuck, part.stuck_at) = if part.outcome.finished {
            (Vec::new(), None)
        } else {
            let left = service.stuck();
            (stuck::lines(&left), missing(&left))
        };
        let from = service.samples().values();
        let into = part.samples.chunks_exact_mut(self.minutes);
        for (row, into) in self.rows.iter().zip(into) {
            into.copy_from_slice(&from[row * self.minutes..(row + 1) * self.minutes]);
        }
    }
}

/// The duty without which nothing went on: who unloads where the landing is full, or else the one nearest to the end of
/// the line that waits for a person.
fn missing(left: &[Left]) -> Option<Duty> {
    let is_full = |one: &Left| matches!(one, Left::Inside(_, _, Inside::Landing));
    let for_person = |one: &Left| match one {
        Left::Work(duty, _, Some(Obstacle::Person)) | Left::Tasks(duty, _) => Some(*duty),
        _ => None,
    };
    if left.iter().any(is_full) {
        return Some(Duty::Unload);
    }
    left.iter().filter_map(for_person).next_back()
}
