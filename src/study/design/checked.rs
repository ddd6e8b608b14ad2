//! Every design point held against the rules of a scenario, before any is run.
//!
//! In: a study and the points to check. Out: nothing, or all that is wrong, the design points named. What
//! is wrong at many points in the same way is reported once, with the first of them and how many there are.

use std::collections::BTreeMap;
use std::sync::Mutex;
use std::sync::PoisonError;
use std::sync::atomic::{AtomicU64, Ordering};

use super::study::Study;
use crate::scenario::Mistakes;
use crate::scenario::mistakes::Mistake;
use crate::scenario::sources::Place;

/// Different mistakes kept; what comes on top of them is only counted.
const MAX_KINDS: usize = 200;

/// What makes two mistakes the same.
type Key = (String, Option<(usize, usize)>);

/// A mistake, the first point that has it, and how many have.
struct Seen {
    mistake: Mistake,
    first: u64,
    points: u64,
}

/// Checks these points with so many threads.
///
/// # Errors
/// All mistakes, the design points named.
pub fn check(
    study: &Study,
    points: impl Iterator<Item = u64> + Clone + Send + Sync,
    threads: usize,
) -> Result<(), Box<Mistakes>> {
    let seen: Mutex<BTreeMap<Key, Seen>> = Mutex::default();
    let bad = AtomicU64::new(0);
    let queue = Mutex::new(points);
    std::thread::scope(|scope| {
        for _ in 0..threads.max(1) {
            scope.spawn(|| {
                let mut sources = study.sources();
                loop {
                    let next = queue.lock().unwrap_or_else(PoisonError::into_inner).next();
                    let Some(point) = next else { return };
                    if let Err(mistakes) = study.scenario(point, &mut sources) {
                        bad.fetch_add(1, Ordering::Relaxed);
                        note(point, mistakes, &seen);
                    }
                }
            });
        }
    });
    let seen = seen.into_inner().unwrap_or_else(PoisonError::into_inner);
    if seen.is_empty() {
        return Ok(());
    }
    let mistakes = seen
        .into_values()
        .map(|seen| mistake(study, seen))
        .collect();
    Err(Box::new(Mistakes::new(mistakes, study.sources())))
}

fn note(point: u64, mistakes: Vec<Mistake>, seen: &Mutex<BTreeMap<Key, Seen>>) {
    let mut seen = seen.lock().unwrap_or_else(PoisonError::into_inner);
    for mistake in mistakes {
        let place = |(place, _): &(Place, String)| (place.file, place.span.start);
        let key = (mistake.title.clone(), mistake.at.as_ref().map(place));
        let full = seen.len() >= MAX_KINDS;
        match seen.get_mut(&key) {
            Some(known) => {
                known.points += 1;
                if point < known.first {
                    known.first = point;
                    known.mistake = mistake;
                }
            }
            // The lowest points are kept, so that the message does not depend on the threads.
            None if !full => {
                let points = 1;
                let first = point;
                seen.insert(
                    key,
                    Seen {
                        mistake,
                        first,
                        points,
                    },
                );
            }
            None => {}
        }
    }
}

fn mistake(study: &Study, seen: Seen) -> Mistake {
    let mut label = format!("at {}", study.label(seen.first));
    match seen.points {
        1 => {}
        2 => label.push_str(", and at one more"),
        points => label.push_str(&format!(", and at {} more", points - 1)),
    }
    // A study whose own points are all well may have one beside them that is not.
    let beside = seen.first >= study.points();
    let cure = "or leave the points beside the design out: one_at_a_time = false";
    seen.mistake
        .help(label)
        .help_if(beside.then(|| cure.to_string()))
}
