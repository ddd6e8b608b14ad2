//! Series by minute: the state of the room at each whole minute, after everything of that moment.

use super::Service;
use super::crew::{DUTIES, Doing};
use super::machine::{Phase, Use};
use super::pieces::Zone;
use super::series::{SeriesInfo, SeriesKind};
use crate::room::Room;
use crate::room::stations::Machine;
use crate::room::time::Time;
use crate::scenario::model::Duty;

/// Stands where a series has no value; every true value is 0 or more.
pub const MISSING: f32 = -1.0;

/// The series of a room, in the order in which they are sampled and written.
#[must_use]
pub fn series_of(room: &Room) -> Vec<SeriesInfo> {
    use SeriesKind::{
        AtDropOff, AtDuty, CleanStock, DriedOnShare, ExpectedRewash, Fault, FinalRinse, FloorTubs,
        Free, InSoak, MachinesDown, MachinesEmpty, MachinesHeld, MachinesIdle, MachinesOff,
        MachinesRefilling, MachinesRunning, MachinesStopped, MachinesWaiting, OnBreak, OnLanding,
        OnTables, RacksWaiting, SoiledWaiting, TankSoil, ToPutAway, ToRack, Walking, Wash,
    };
    let mut list = Vec::new();
    let mut add = |wanted: bool, kind, name: &str, unit| {
        if wanted {
            list.push(SeriesInfo {
                kind,
                name: name.to_owned(),
                unit,
                least: least_of(room, kind),
            });
        }
    };
    let washes = !room.machines.is_empty();
    add(
        room.demand.guests.is_some(),
        OnTables,
        "on_tables",
        "pieces",
    );
    add(true, AtDropOff, "at_drop_off", "pieces");
    add(room.soak.is_some(), InSoak, "in_soak", "pieces");
    add(room.loading.is_some(), ToRack, "to_rack", "pieces");
    add(washes, RacksWaiting, "racks_waiting", "racks");
    add(washes, OnLanding, "on_landing", "racks");
    add(room.put_away.is_some(), ToPutAway, "to_put_away", "pieces");
    add(true, SoiledWaiting, "soiled_waiting", "pieces");
    add(
        room.drop_off_tubs.is_some(),
        FloorTubs,
        "floor_tubs",
        "tubs",
    );
    add(true, DriedOnShare, "dried_on_share", "1");
    add(washes, ExpectedRewash, "expected_rewash", "1");
    for (index, ware) in room.wares.iter().enumerate() {
        let name = format!("clean_stock:{}", ware.name);
        add(ware.owned.is_some(), CleanStock(index), &name, "pieces");
    }
    for duty in Duty::ALL {
        let name = format!("at_duty:{}", duty.name());
        add(
            room.has(duty) && !room.crew.is_empty(),
            AtDuty(duty),
            &name,
            "people",
        );
    }
    let crew = !room.crew.is_empty();
    add(crew, Walking, "walking", "people");
    add(crew, Free, "free", "people");
    add(crew, OnBreak, "on_break", "people");
    add(washes, MachinesRunning, "machines_running", "1");
    add(washes, MachinesEmpty, "machines_empty", "1");
    add(washes, MachinesStopped, "machines_stopped", "1");
    let holds = room.machines.iter().any(Machine::may_be_held);
    add(holds, MachinesHeld, "machines_held", "1");
    let changes = room.machines.iter().any(Machine::changes_water);
    add(changes, MachinesRefilling, "machines_refilling", "1");
    add(washes, MachinesWaiting, "machines_waiting", "1");
    add(washes, MachinesIdle, "machines_idle", "1");
    let faults = !room.faults.is_empty();
    add(faults, MachinesDown, "machines_down", "1");
    add(room.may_be_off(), MachinesOff, "machines_off", "1");
    for (index, fault) in room.faults.iter().enumerate() {
        add(
            true,
            Fault(index),
            &format!("fault:{}", room.fault_name(fault)),
            "1",
        );
    }
    for (index, machine) in room.machines.iter().enumerate() {
        let water = machine.water.as_ref();
        let mut of = |there: bool, kind, what: &str, unit| {
            add(there, kind, &format!("{what}:{}", machine.name), unit);
        };
        let has_tank = water.is_some_and(|water| !water.tanks.is_empty());
        let has_wash = water.is_some_and(|water| water.wash.is_some());
        of(
            water.is_some(),
            FinalRinse(index),
            "final_rinse_temperature",
            "°C",
        );
        of(has_wash, Wash(index), "wash_temperature", "°C");
        of(has_tank, TankSoil(index), "tank_soil", "g/L");
    }
    list
}

/// What a series has to keep.
fn least_of(room: &Room, kind: SeriesKind) -> Option<f64> {
    match kind {
        SeriesKind::FinalRinse(machine) => room.machines[machine].water.as_ref()?.rinse.minimum_c,
        SeriesKind::Wash(machine) => {
            let water = room.machines[machine].water.as_ref()?;
            water.tanks[water.wash?].minimum_c
        }
        _ => None,
    }
}

/// Samples of one service: a row of minutes for each series.
#[derive(Debug, Default)]
pub struct Samples {
    list: Vec<SeriesInfo>,
    minutes: usize,
    values: Vec<f32>,
    next: usize,
    /// The moment of `next`, or never.
    due: Time,
}

/// What the crew is doing, counted.
#[derive(Default)]
struct People {
    at: [u32; DUTIES],
    walking: u32,
    free: u32,
    on_break: u32,
}

impl Samples {
    pub(super) fn new(room: &Room) -> Self {
        let list = series_of(room);
        let minutes = room.hours.minutes();
        let values = vec![MISSING; list.len() * minutes];
        Self {
            list,
            minutes,
            values,
            next: 0,
            due: Time::ZERO,
        }
    }

    pub(super) fn begin(&mut self) {
        self.next = 0;
        self.due = Time::ZERO;
    }

    /// Values, series by series, a minute each; [`MISSING`] where there is none.
    #[must_use]
    pub fn values(&self) -> &[f32] {
        &self.values
    }
}

impl Service<'_> {
    /// Samples every minute mark before `at` that has not been sampled yet.
    #[inline]
    pub(super) fn sample_until(&mut self, at: Time) {
        if self.samples.due < at {
            self.sample_marks_before(at);
        }
    }

    #[cold]
    fn sample_marks_before(&mut self, at: Time) {
        while self.samples.due < at {
            self.sample(self.samples.next);
            self.samples.next += 1;
            self.samples.due = if self.samples.next < self.samples.minutes {
                self.samples.due + Time::MINUTE
            } else {
                Time::NEVER
            };
        }
    }

    fn sample(&mut self, minute: usize) {
        for duty in Duty::ALL {
            if duty.bit() & self.common.flow.lines.wanted() == 0 {
                continue;
            }
            if let Some(obstacle) = self.obstacle(duty) {
                self.common.tally.obstacle(duty, obstacle);
            }
        }
        // After the evening nothing is used any more.
        let over = self.common.tally.end > Time::ZERO;
        let mark = if over {
            self.common.tally.end
        } else {
            self.samples.due
        };
        for machine in 0..self.machines.states.len() {
            self.machines.settle_water_to(&self.common, machine, mark);
        }
        let people = self.people_at(self.samples.due);
        for index in 0..self.samples.list.len() {
            let value = self.value(self.samples.list[index].kind, &people);
            self.samples.values[index * self.samples.minutes + minute] = value;
        }
    }

    fn people_at(&self, mark: Time) -> People {
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
    fn value(&self, kind: SeriesKind, people: &People) -> f32 {
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

    /// The state after the evening's end holds to the last minute.
    fn hold_last_sample(&mut self) {
        let Samples {
            minutes,
            next,
            ref mut values,
            ..
        } = self.samples;
        if next > 0 {
            for row in values.chunks_exact_mut(minutes) {
                let last = row[next - 1];
                row[next..].fill(last);
            }
        }
        self.samples.next = minutes;
        self.samples.due = Time::NEVER;
    }

    /// After the evening: its state holds to the last minute, and what was known late is filled in.
    #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation)] // shares
    pub(super) fn finish_samples(&mut self) {
        let minutes = self.samples.minutes;
        self.sample_until(self.common.now + Time::MINUTE);
        self.hold_last_sample();
        let row = |kind| self.samples.list.iter().position(|info| info.kind == kind);
        let (dried, rewash) = (
            row(SeriesKind::DriedOnShare),
            row(SeriesKind::ExpectedRewash),
        );
        let waiting = row(SeriesKind::SoiledWaiting).unwrap_or(0) * minutes;
        let mut dried_now = 0;
        for minute in 0..minutes {
            dried_now += self.common.tally.dried[minute];
            let waits = self.samples.values[waiting + minute];
            if let Some(row) = dried.filter(|_| waits > 0.0) {
                self.samples.values[row * minutes + minute] = dried_now as f32 / waits;
            }
            let (sum, count) = self.common.tally.chances[minute];
            if let Some(row) = rewash.filter(|_| count > 0) {
                self.samples.values[row * minutes + minute] = (sum / f64::from(count)) as f32;
            }
        }
    }

    /// The samples of the service just played.
    #[must_use]
    pub const fn samples(&self) -> &Samples {
        &self.samples
    }
}
