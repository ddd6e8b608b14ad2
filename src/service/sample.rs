//! The state of the room at a minute mark, after everything of that moment.

use super::Service;
use super::crew::Doing;
use super::machine::{Phase, Use};
use super::pieces::Zone;
use super::series::{MISSING, SeriesKind};
use crate::room::time::Time;
use crate::scenario::model::Duty;

/// What the crew is doing, counted.
#[derive(Default)]
pub(super) struct People {
    at: [u32; Duty::COUNT],
    walking: u32,
    free: u32,
    on_break: u32,
}

impl Service<'_> {
    pub(super) fn people_at(&self, mark: Time) -> People {
        let mut people = People::default();
        for operator in &self.crew.operators {
            match operator.doing {
                Doing::Away => {}
                Doing::Free => people.free += 1,
                Doing::OnBreak => people.on_break += 1,
                Doing::Working if operator.arrives > mark => people.walking += 1,
                Doing::Working | Doing::Waiting => people.at[operator.duty as usize] += 1,
            }
        }
        people
    }

    #[allow(clippy::cast_precision_loss)] // counts far below 2^24
    pub(super) fn value(&self, kind: SeriesKind, people: &People) -> f32 {
        let zone = |zone| self.common.flow.census.of(zone);
        let count = match kind {
            SeriesKind::OnTables => zone(Zone::OnTables) + zone(Zone::OnTrip),
            SeriesKind::AtDropOff => zone(Zone::DropOff),
            SeriesKind::InSoak => zone(Zone::ToSoak) + zone(Zone::Soaking),
            SeriesKind::ToRack => zone(Zone::ToPreRinse) + zone(Zone::ToRack),
            SeriesKind::RacksWaiting => self.common.flow.lines.racks_waiting().len,
            SeriesKind::OnLanding => self.machines.states.iter().map(|m| m.on_landing()).sum(),
            SeriesKind::ToPutAway => zone(Zone::ToPutAway) + zone(Zone::PuttingAway),
            SeriesKind::SoiledWaiting => self.common.flow.lines.soiled().len,
            SeriesKind::FloorTubs => self.soiled.drop_off.floor_tubs(&self.common),
            SeriesKind::CleanStock(ware) => self.clean.stock.clean[ware].unwrap_or(0),
            SeriesKind::AtDuty(duty) => people.at[duty as usize],
            SeriesKind::Walking => people.walking,
            SeriesKind::Free => people.free,
            SeriesKind::OnBreak => people.on_break,
            SeriesKind::MachinesRunning
            | SeriesKind::MachinesEmpty
            | SeriesKind::MachinesStopped
            | SeriesKind::MachinesHeld
            | SeriesKind::MachinesRefilling
            | SeriesKind::MachinesWaiting
            | SeriesKind::MachinesDown
            | SeriesKind::MachinesOff
            | SeriesKind::MachinesIdle => return self.machines_share(kind),
            SeriesKind::FinalRinse(machine)
            | SeriesKind::Wash(machine)
            | SeriesKind::TankSoil(machine) => return self.water_value(machine, kind),
            // Nothing is wrong with a machine once the evening is over.
            SeriesKind::Fault(fault) => {
                let over = self.common.tally.end > Time::ZERO;
                u32::from(!over && self.machines.faults[fault].struck.is_some())
            }
            // These two are known only when the pieces have entered: see `finish_samples`.
            SeriesKind::DriedOnShare | SeriesKind::ExpectedRewash => return MISSING,
        };
        count as f32
    }

    /// Temperatures and soil of a machine, settled.
    #[allow(clippy::cast_possible_truncation)] // a sample needs no more digits
    fn water_value(&self, machine: usize, kind: SeriesKind) -> f32 {
        let water = self.common.room.machines[machine].water.as_ref();
        let state = self.machines.states[machine].water.as_ref();
        let (Some(water), Some(state)) = (water, state) else {
            return MISSING;
        };
        let stands_empty = !state.is_full();
        let is_off = self.machines.states[machine].phase == Phase::Off;
        let value = match kind {
            SeriesKind::Wash(_) | SeriesKind::TankSoil(_) if stands_empty => None,
            // A booster that is off keeps its heat, but nobody rinses with it any more.
            SeriesKind::FinalRinse(_) if is_off && !state.is_heated() => None,
            SeriesKind::Wash(_) => water.wash.map(|wash| state.tanks[wash].temperature_c),
            SeriesKind::TankSoil(_) => state.first_soil_g_per_l(water),
            _ => Some(state.rinse_c),
        };
        value.map_or(MISSING, |value| value as f32)
    }

    #[allow(clippy::cast_precision_loss)] // a handful of machines
    fn machines_share(&self, kind: SeriesKind) -> f32 {
        let is = |machine: &&super::machine::MachineState| match machine.used() {
            Use::Running => kind == SeriesKind::MachinesRunning,
            Use::Empty => kind == SeriesKind::MachinesEmpty,
            Use::Stopped => kind == SeriesKind::MachinesStopped,
            Use::Held => kind == SeriesKind::MachinesHeld,
            Use::Refilling => kind == SeriesKind::MachinesRefilling,
            Use::Waiting => kind == SeriesKind::MachinesWaiting,
            Use::Idle => kind == SeriesKind::MachinesIdle,
            Use::Down => kind == SeriesKind::MachinesDown,
            Use::Off => kind == SeriesKind::MachinesOff,
        };
        self.machines.states.iter().filter(is).count() as f32 / self.machines.states.len() as f32
    }
}
