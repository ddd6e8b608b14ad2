//! What still waits, and for what: sampled each minute, and read after an evening that never ended.

use super::job::Next;
use super::obstacle::Obstacle;
use super::pieces::Zone;
use super::work::Comes;
use super::{Service, stations};
use crate::scenario::model::Duty;

impl Service<'_> {
    /// What the work waiting at a duty waits for now; `None` if nothing waits, or only for a fuller
    /// load.
    #[must_use]
    pub fn obstacle(&self, duty: Duty) -> Option<Obstacle> {
        if !self.common.room.has(duty) {
            return None;
        }
        match self.next(duty, None) {
            Next::Ready | Next::ReadyAt(_) => Some(Obstacle::Person),
            Next::Waits(obstacle) => Some(obstacle),
            Next::Nothing => None,
        }
    }

    /// What is still in the room of an evening that did not end by itself, in words: one line for each
    /// place where something waits.
    #[must_use]
    pub fn stuck(&self) -> Vec<String> {
        let mut lines = Vec::new();
        if self.finished {
            return lines;
        }
        for duty in Duty::ALL {
            let waiting = self.common.flow.lines.len(duty);
            if waiting == 0 || !self.common.room.has(duty) {
                continue;
            }
            let (what, otherwise) = match stations::work(duty).comes {
                Comes::FromTables | Comes::Soiled | Comes::ToSoak | Comes::Clean => {
                    ("pieces", "a fuller load")
                }
                Comes::AtMachines(_) | Comes::Washed => ("racks", "a fuller load"),
                Comes::Tasks => ("tasks", "other tasks"),
                Comes::Troubles => ("faults or changes of water", "the machine"),
            };
            let why = self.obstacle(duty).map_or(otherwise, Obstacle::words);
            lines.push(format!("{}: {waiting} {what} wait for {why}", duty.name()));
        }
        self.stuck_elsewhere(&mut lines);
        lines
    }

    fn stuck_elsewhere(&self, lines: &mut Vec<String>) {
        for duty in [Duty::SetUp, Duty::CloseDown] {
            let left: Vec<&str> = self.tasks.tasks_left(&self.common, duty).collect();
            if !left.is_empty() {
                lines.push(format!("{}: not done: {}", duty.name(), left.join(", ")));
            }
        }
        self.stuck_with_guests(lines);
        self.stuck_in_hand(lines);
        let held = self.soiled.racking.filled.len();
        if held > 0 {
            lines.push(format!(
                "loading stations: {held} full racks wait for room in a lane"
            ));
        }
        for (state, machine) in self.machines.states.iter().zip(&self.common.room.machines) {
            let inside = state.racks_inside();
            if inside > 0 {
                let why = if state.on_landing() >= machine.landing {
                    "room on the landing"
                } else if state.phase == super::machine::Phase::Finished {
                    "somebody to change racks"
                } else if state.phase == super::machine::Phase::Down {
                    "a fault to be mended"
                } else {
                    "the end of the wash"
                };
                lines.push(format!(
                    "{}: {inside} racks inside wait for {why}",
                    machine.name
                ));
            }
            let on_landing = state.on_landing();
            if on_landing > 0 {
                lines.push(format!(
                    "{}: {on_landing} racks stand on the landing",
                    machine.name
                ));
            }
        }
        let carried = self.soiled.drop_off.waiting_in_trips();
        if carried > 0 {
            lines.push(format!("drop-off: {carried} pieces in hand wait for room"));
        }
        for (ware, short) in self.common.room.wares.iter().zip(&self.clean.stock.short) {
            let missing: u32 = short
                .iter()
                .map(|&lot| self.common.flow.lots[lot].missing)
                .sum();
            if missing > 0 {
                lines.push(format!(
                    "tables: guests wait for {missing} clean pieces of {}",
                    ware.name
                ));
            }
        }
    }
}

impl Service<'_> {
    /// What has not come to the drop-off yet.
    fn stuck_with_guests(&self, lines: &mut Vec<String>) {
        let coming = self.common.flow.census.of(Zone::Coming);
        if coming > 0 {
            lines.push(format!("tables: {coming} pieces are not soiled yet"));
        }
        let carried =
            self.common.flow.census.of(Zone::OnTrip) - self.soiled.drop_off.waiting_in_trips();
        let waiting = self.common.flow.census.of(Zone::OnTables)
            - self.common.flow.lines.len(Duty::ClearDown);
        if carried + waiting > 0 {
            let pieces = carried + waiting;
            lines.push(format!(
                "tables: {pieces} pieces are on the way to the drop-off"
            ));
        }
        let standing = self.common.flow.census.of(Zone::DropOff);
        if standing > 0 && self.common.room.scrape.is_none() {
            lines.push(format!(
                "drop-off: {standing} pieces wait for room further on"
            ));
        }
    }

    /// What somebody had in hand, or what lies in a sink.
    fn stuck_in_hand(&self, lines: &mut Vec<String>) {
        for duty in Duty::ALL {
            let Some(zone) = stations::of(duty).in_hand else {
                continue;
            };
            let pieces = self.common.flow.census.of(zone);
            if pieces > 0 {
                let doing = if zone == Zone::Soaking {
                    "in the sinks"
                } else {
                    "in hand"
                };
                lines.push(format!("{}: {pieces} pieces {doing}", duty.name()));
            }
        }
    }
}
