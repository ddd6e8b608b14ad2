//! Who did not come, and who came late.

use super::evening::{Finding, Severity};
use super::plan::LEVEL;
use crate::room::Room;
use crate::service::outcome::Outcome;
use crate::statistics::interval::wilson;
use crate::words::findings::Often;
use crate::words::findings::coming as words;

/// How often somebody did not come or was late, if the roster says that anybody may.
#[must_use]
pub fn find(room: &Room, outcomes: &[(u64, Outcome)]) -> Option<Finding> {
    let mut crew = room.crew.iter();
    if !crew.any(|one| one.coming.is_some() && one.call.is_none()) || outcomes.is_empty() {
        return None;
    }
    let n = outcomes.len() as u64;
    let often = |happened: fn(&Outcome) -> bool| {
        let count = outcomes.iter().filter(|(_, one)| happened(one)).count() as u64;
        let interval = wilson(count, n, LEVEL);
        Often { count, n, interval }
    };
    let mean = |of: fn(&Outcome) -> f64| {
        let sum = outcomes.iter().fold(0.0, |sum, (_, one)| sum + of(one));
        sum / n as f64
    };
    let absent = (
        often(|one| one.absences > 0),
        mean(|one| f64::from(one.absences)),
    );
    let late = (often(|one| one.late_min > 0.0), mean(|one| one.late_min));
    let said = words::missing(absent, late);
    Some(Finding::new("crew-missing", Severity::Note, said).at("roster".to_owned()))
}
