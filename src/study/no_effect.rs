//! Settings of a scenario that never mattered in any evening seen.

use super::evening::{Evening, Finding, Severity};
use crate::room::Room;
use crate::scenario::model::Duty;
use crate::service::measure::{Measure, StationMeasure};
use crate::service::outcome::Outcome;
use crate::words::findings::evening::{Idle, no_effect};

/// One finding for each.
#[must_use]
pub fn find(room: &Room, evening: &Evening, outcomes: &[(u64, Outcome)]) -> Vec<Finding> {
    let seen = Seen { room, outcomes };
    let soaks = room.has(Duty::Soak);
    let lands = evening.measures[Measure::MachineStopped as usize].n > 0;
    let rows = [
        (seen.racks_were_there(), Idle::Racks),
        (
            soaks && seen.never(Duty::Soak, StationMeasure::NoPlace),
            Idle::Sinks,
        ),
        (seen.drop_off_had_room(), Idle::DropOff),
        (
            lands && seen.stays_zero(Measure::MachineStopped),
            Idle::Landing,
        ),
        (seen.table_had_room(), Idle::Table),
    ];
    rows.into_iter()
        .filter(|(without_effect, _)| *without_effect)
        .map(|(_, idle)| Finding::new("no-effect", Severity::Note, no_effect(idle)))
        .collect()
}

struct Seen<'a> {
    room: &'a Room,
    outcomes: &'a [(u64, Outcome)],
}

impl Seen<'_> {
    /// Whether work at a duty never waited for this reason.
    fn never(&self, duty: Duty, reason: StationMeasure) -> bool {
        let minutes = |outcome: &Outcome| outcome.stations[duty as usize][reason as usize];
        let mut outcomes = self.outcomes.iter();
        outcomes.all(|(_, outcome)| minutes(outcome).unwrap_or(0.0) == 0.0)
    }

    fn stays_zero(&self, measure: Measure) -> bool {
        let mut outcomes = self.outcomes.iter();
        outcomes.all(|(_, outcome)| outcome.get(measure).unwrap_or(0.0) <= 0.0)
    }

    fn racks_were_there(&self) -> bool {
        self.room.has(Duty::Load) && self.never(Duty::Load, StationMeasure::NoRack)
    }

    /// Trips of floor staff that wait for room are not measured: nothing can be said then.
    fn drop_off_had_room(&self) -> bool {
        let clear_down = self.room.clear_down.as_ref();
        let waits_unseen = clear_down.is_some_and(|clear| clear.waits && !clear.by_crew);
        self.room.drop_off_tubs.is_some()
            && !waits_unseen
            && self.never(Duty::ClearDown, StationMeasure::NoRoom)
            && self.stays_zero(Measure::FloorTubsMax)
    }

    fn table_had_room(&self) -> bool {
        let loading = self.room.loading.as_ref();
        loading.is_some_and(|loading| loading.table.is_some())
            && self.never(Duty::Scrape, StationMeasure::NoRoom)
            && self.never(Duty::Soak, StationMeasure::NoRoom)
    }
}
