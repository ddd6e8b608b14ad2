//! What still waits, and for what: sampled each minute, and read after an evening that never ended.

use super::job::Next;
use super::obstacle::Obstacle;
use super::pieces::Zone;
use super::{Service, stations};
use crate::scenario::model::Duty;

/// Something that is still in the room. `words/stuck.rs` puts it in a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Left {
    /// Units of work wait at a duty; for what, if it is known.
    Work(Duty, u32, Option<Obstacle>),
    /// Tasks of set-up or close-down that are not done.
    Tasks(Duty, Vec<String>),
    /// Full racks on their loading stations.
    FullRacks(u32),
    /// Racks in a machine, and what they wait for.
    Inside(String, u32, Inside),
    /// Racks on the landing of a machine.
    OnLanding(String, u32),
    /// Racks, of all that there are, in the store with clean ware, while ware waits for one.
    Stored(u32, u32),
    /// Racks on dollies.
    Parked(u32),
    /// Pieces of trips that wait for room at the drop-off.
    InTrips(u32),
    /// Pieces of a ware that guests wait for.
    Missing(String, u32),
    /// Pieces that are not soiled yet.
    ToCome(u32),
    /// Pieces on the way to the drop-off.
    OnTheWay(u32),
    /// Pieces at the drop-off of a room that does not scrape.
    AtDropOff(u32),
    /// Pieces in the hands of a duty, or in its sinks.
    InHand(Duty, u32, bool),
}

/// What racks in a machine wait for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Inside {
    /// Room on the landing.
    Landing,
    /// Somebody to change racks.
    Person,
    /// A fault to be mended.
    Mending,
    /// The end of the wash.
    Wash,
}

impl Service<'_> {
    /// What the work waiting at a duty waits for now; `None` if nothing waits, or only for a fuller
    /// load.
    #[must_use]
    pub fn obstacle(&self, duty: Duty) -> Option<Obstacle> {
        if !self.common.room.has(duty) {
            return None;
        }
        // Nothing is held up by a look that waits.
        if duty == Duty::Tend && self.machines.only_looks_wait(&self.common) {
            return None;
        }
        match self.next(duty, None) {
            Next::Ready | Next::ReadyAt(_) => Some(Obstacle::Person),
            Next::Waits(obstacle) => Some(obstacle),
            Next::Nothing => None,
        }
    }

    /// What is still in the room of an evening that did not end by itself, place by place.
    #[must_use]
    pub fn stuck(&self) -> Vec<Left> {
        let mut lines = Vec::new();
        if self.finished {
            return lines;
        }
        for duty in Duty::ALL {
            let waiting = self.common.flow.lines.len(duty);
            if waiting == 0 || !self.common.room.has(duty) {
                continue;
            }
            lines.push(Left::Work(duty, waiting, self.obstacle(duty)));
        }
        self.stuck_elsewhere(&mut lines);
        lines
    }

    fn stuck_elsewhere(&self, lines: &mut Vec<Left>) {
        for duty in [Duty::SetUp, Duty::CloseDown] {
            let left = self.tasks.tasks_left(&self.common, duty);
            let left: Vec<String> = left.map(str::to_owned).collect();
            if !left.is_empty() {
                lines.push(Left::Tasks(duty, left));
            }
        }
        self.stuck_with_guests(lines);
        self.stuck_in_hand(lines);
        let held = self.soiled.racking.filled.len();
        if held > 0 {
            lines.push(Left::FullRacks(held as u32));
        }
        for (state, machine) in self.machines.states.iter().zip(&self.common.room.machines) {
            let inside = state.racks_inside();
            if inside > 0 {
                let why = if state.on_landing() >= machine.landing {
                    Inside::Landing
                } else if state.phase == super::machine::Phase::Finished {
                    Inside::Person
                } else if state.phase == super::machine::Phase::Down {
                    Inside::Mending
                } else {
                    Inside::Wash
                };
                lines.push(Left::Inside(machine.name.clone(), inside, why));
            }
            let on_landing = state.on_landing();
            if on_landing > 0 {
                lines.push(Left::OnLanding(machine.name.clone(), on_landing));
            }
        }
        let stored = self.soiled.racking.in_store();
        if stored > 0 && self.obstacle(Duty::Load) == Some(Obstacle::Rack) {
            let all = self.soiled.racking.racks.len() as u32;
            lines.push(Left::Stored(stored, all));
        }
        let parked = self.machines.dollies.taken();
        if parked > 0 {
            lines.push(Left::Parked(parked));
        }
        let carried = self.soiled.drop_off.waiting_in_trips();
        if carried > 0 {
            lines.push(Left::InTrips(carried));
        }
        for (ware, short) in self.common.room.wares.iter().zip(&self.clean.stock.short) {
            let missing: u32 = short
                .iter()
                .map(|&lot| self.common.flow.lots[lot].missing)
                .sum();
            if missing > 0 {
                lines.push(Left::Missing(ware.name.clone(), missing));
            }
        }
    }
}

impl Service<'_> {
    /// What has not come to the drop-off yet.
    fn stuck_with_guests(&self, lines: &mut Vec<Left>) {
        let coming = self.common.flow.census.of(Zone::Coming);
        if coming > 0 {
            lines.push(Left::ToCome(coming));
        }
        let carried =
            self.common.flow.census.of(Zone::OnTrip) - self.soiled.drop_off.waiting_in_trips();
        let mut waiting = self.common.flow.census.of(Zone::OnTables);
        if self.common.room.has(Duty::ClearDown) {
            waiting -= self.common.flow.lines.len(Duty::ClearDown);
        }
        if carried + waiting > 0 {
            lines.push(Left::OnTheWay(carried + waiting));
        }
        let standing = self.common.flow.census.of(Zone::DropOff);
        if standing > 0 && self.common.room.scrape.is_none() {
            lines.push(Left::AtDropOff(standing));
        }
    }

    /// What somebody had in hand, or what lies in a sink.
    fn stuck_in_hand(&self, lines: &mut Vec<Left>) {
        for duty in Duty::ALL {
            let Some(zone) = stations::of(duty).in_hand else {
                continue;
            };
            let pieces = self.common.flow.census.of(zone);
            if pieces > 0 {
                lines.push(Left::InHand(duty, pieces, zone == Zone::Soaking));
            }
        }
    }
}
