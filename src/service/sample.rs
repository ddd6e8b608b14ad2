//! The state of the room at a minute mark, after everything of that moment.

use super::Service;
use super::crew::Doing;
use super::index::MachineId;
use super::machine::{Phase, Use};
use super::pieces::Zone;
use super::series::{MISSING, SeriesKind};
use crate::room::time::Time;
use crate::scenario::model::Duty;

/// What crew and machines are doing, counted.
#[derive(Default)]
pub(super) struct Counts {
    at: [u32; Duty::COUNT],
    walking: u32,
    free: u32,
    on_break: u32,
    /// Shares of all machines.
    machines: [f32; Use::COUNT],
}

impl Counts {
    /// The share of all machines.
    fn share_of(&self, what: Use) -> f32 {
        self.machines[what as usize]
    }
}

impl Service<'_> {
    pub(super) fn counts_at(&self, mark: Time) -> Counts {
        let mut counts = Counts::default();
        for operator in &self.crew.operators {
            match operator.doing {
                Doing::Away => {}
                Doing::Free => counts.free += 1,
                Doing::OnBreak => counts.on_break += 1,
                Doing::Working if operator.arrives > mark => counts.walking += 1,
                Doing::Working | Doing::Waiting => counts.at[operator.duty as usize] += 1,
            }
        }
        for machine in &self.machines.states {
            counts.machines[machine.used() as usize] += 1.0;
        }
        let all = self.machines.states.len().max(1) as f32;
        for share in &mut counts.machines {
            *share /= all;
        }
        counts
    }

    #[allow(clippy::cast_precision_loss)] // counts far below 2^24
    pub(super) fn value(&self, kind: SeriesKind, counts: &Counts) -> f32 {
        let zone = |zone| self.common.flow.census.of(zone);
        let count = match kind {
            SeriesKind::OnTables => zone(Zone::OnTables) + zone(Zone::OnTrip),
            SeriesKind::AtDropOff => zone(Zone::DropOff) + zone(Zone::InDecoy),
            SeriesKind::InSoak => zone(Zone::ToSoak) + zone(Zone::Soaking),
            SeriesKind::AtPotSink => {
                let wet = zone(Zone::ToPotSink) + zone(Zone::Scrubbing) + zone(Zone::Sanitising);
                wet + self.soiled.pots.on_drainboard(&self.clean)
            }
            SeriesKind::ToRack => zone(Zone::ToPreRinse) + zone(Zone::ToRack),
            SeriesKind::RacksWaiting => self.common.flow.lines.racks_waiting().len,
            SeriesKind::OnLanding => self.machines.states.iter().map(|m| m.on_landing()).sum(),
            SeriesKind::RacksParked => self.machines.dollies.taken(),
            SeriesKind::RacksStored => self.soiled.racking.in_store(),
            SeriesKind::ToPutAway => zone(Zone::ToPutAway) + zone(Zone::PuttingAway),
            SeriesKind::SoiledWaiting => self.common.flow.lines.soiled().len,
            SeriesKind::FloorTubs => self.soiled.drop_off.floor_tubs(&self.common),
            SeriesKind::CleanStock(ware) => self.clean.stock.clean[ware].unwrap_or(0),
            SeriesKind::AtDuty(duty) => counts.at[duty as usize],
            SeriesKind::Walking => counts.walking,
            SeriesKind::Free => counts.free,
            SeriesKind::OnBreak => counts.on_break,
            SeriesKind::MachinesRunning => return counts.share_of(Use::Running),
            SeriesKind::MachinesEmpty => return counts.share_of(Use::Empty),
            SeriesKind::MachinesStopped => return counts.share_of(Use::Stopped),
            SeriesKind::MachinesHeld => return counts.share_of(Use::Held),
            SeriesKind::MachinesRefilling => return counts.share_of(Use::Refilling),
            SeriesKind::MachinesWaiting => return counts.share_of(Use::Waiting),
            SeriesKind::MachinesDown => return counts.share_of(Use::Down),
            SeriesKind::MachinesOff => return counts.share_of(Use::Off),
            SeriesKind::MachinesIdle => return counts.share_of(Use::Idle),
            SeriesKind::FinalRinse(machine)
            | SeriesKind::Wash(machine)
            | SeriesKind::TankSoil(machine) => {
                return self.water_value(MachineId::new(machine), kind);
            }
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
    fn water_value(&self, machine: MachineId, kind: SeriesKind) -> f32 {
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
            _ => Some(water.rinse.comes_c(state.rinse_c)),
        };
        value.map_or(MISSING, |value| value as f32)
    }
}
