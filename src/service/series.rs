//! What is sampled each minute of a service, and under which name it leaves the program.
//!
//! To add one: a `SeriesKind` here; its name and unit in `series_of`, its value in `Service::value` (`sample.rs`). Shares
//! have the unit `"1"`, by which `study/bands.rs` bins them.

use super::tally::{Chances, Tally};
use crate::room::Room;
use crate::room::stations::Machine;
use crate::room::time::Time;
use crate::scenario::model::Duty;

/// What one series counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SeriesKind {
    /// Soiled pieces between the tables and the drop-off.
    OnTables,
    /// Pieces at the drop-off and on the floor beside it.
    AtDropOff,
    /// Pieces waiting for or in the soak.
    InSoak,
    /// Pieces waiting for the pot sink, in it, and on its drainboard.
    AtPotSink,
    /// Scraped pieces waiting to be racked (pre-rinsed ones too).
    ToRack,
    /// Filled racks on stations and in lanes.
    RacksWaiting,
    /// Washed racks on landings.
    OnLanding,
    /// Washed racks on dollies.
    RacksParked,
    /// Racks in the store with clean ware.
    RacksStored,
    /// Clean pieces not yet put away.
    ToPutAway,
    /// All soiled pieces waiting, first time (drop-off to machine).
    SoiledWaiting,
    /// Tubs on the floor.
    FloorTubs,
    /// Of the pieces waiting for the first time, the share that is dried on.
    DriedOnShare,
    /// Mean probability, of pieces entering a machine within the minute, to come out dirty.
    ExpectedRewash,
    /// Clean stock of a ware (index into the room's wares).
    CleanStock(usize),
    /// Operators at a duty.
    AtDuty(Duty),
    /// Operators walking to their next work.
    Walking,
    /// Operators free.
    Free,
    /// Operators on a break.
    OnBreak,
    /// Share of machines running with a rack inside.
    MachinesRunning,
    /// Share of machines running empty (a conveyor, its starting again included).
    MachinesEmpty,
    /// Share of machines stopped by a full landing.
    MachinesStopped,
    /// Share of machines held because the final rinse is too cold.
    MachinesHeld,
    /// Share of machines whose water is being changed.
    MachinesRefilling,
    /// Share of machines holding a finished rack until somebody comes.
    MachinesWaiting,
    /// Share of machines idle: pumps off, or a hood without a rack.
    MachinesIdle,
    /// Share of machines that a fault, or its mending, keeps standing.
    MachinesDown,
    /// Share of machines that are not set up yet, or closed down.
    MachinesOff,
    /// Whether a fault (by index) is there.
    Fault(usize),
    /// What the final rinse of a machine (by index) would come at, or comes at.
    FinalRinse(usize),
    /// Temperature of the wash of a machine.
    Wash(usize),
    /// Soil in the water that racks of a machine meet first.
    TankSoil(usize),
}

/// Name and unit of a series.
#[derive(Debug, Clone, PartialEq)]
pub struct SeriesInfo {
    /// What it counts.
    pub kind: SeriesKind,
    /// As in `series.csv`, for example `soiled_waiting` or `clean_stock:plate`.
    pub name: String,
    /// Unit; `"1"` for shares.
    pub unit: &'static str,
    /// What it has to keep, if anything: the minimum of a temperature.
    pub least: Option<f64>,
}

/// Stands where a series has no value; every true value is 0 or more.
pub const MISSING: f32 = -1.0;

/// The series of a room, in the order in which they are sampled and written.
#[must_use]
pub fn series_of(room: &Room) -> Vec<SeriesInfo> {
    use SeriesKind::{
        AtDropOff, AtDuty, AtPotSink, CleanStock, DriedOnShare, ExpectedRewash, Fault, FinalRinse,
        FloorTubs, Free, InSoak, MachinesDown, MachinesEmpty, MachinesHeld, MachinesIdle,
        MachinesOff, MachinesRefilling, MachinesRunning, MachinesStopped, MachinesWaiting, OnBreak,
        OnLanding, OnTables, RacksParked, RacksStored, RacksWaiting, SoiledWaiting, TankSoil,
        ToPutAway, ToRack, Walking, Wash,
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
    let pots = room.pot_sink.is_some();
    add(pots, AtPotSink, "at_pot_sink", "pieces");
    add(room.loading.is_some(), ToRack, "to_rack", "pieces");
    add(washes, RacksWaiting, "racks_waiting", "racks");
    add(washes, OnLanding, "on_landing", "racks");
    add(room.dollies.is_some(), RacksParked, "racks_parked", "racks");
    let stores = room.rack_kinds.iter().any(|kind| kind.stored.is_some());
    add(stores, RacksStored, "racks_stored", "racks");
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

    /// The next minute mark, or never.
    #[inline]
    pub(super) const fn due(&self) -> Time {
        self.due
    }

    /// Samples the mark that is due.
    pub(super) fn mark(&mut self, value: impl Fn(SeriesKind) -> f32) {
        for (index, info) in self.list.iter().enumerate() {
            self.values[index * self.minutes + self.next] = value(info.kind);
        }
        self.next += 1;
        self.due = if self.next < self.minutes {
            self.due + Time::MINUTE
        } else {
            Time::NEVER
        };
    }

    /// The state after the evening's end holds to the last minute.
    fn hold_last_sample(&mut self) {
        let Samples {
            minutes,
            next,
            ref mut values,
            ..
        } = *self;
        if next > 0 {
            for row in values.chunks_exact_mut(minutes) {
                let last = row[next - 1];
                row[next..].fill(last);
            }
        }
        self.next = minutes;
        self.due = Time::NEVER;
    }

    /// After the evening: its state holds to the last minute, and what was known late is filled in.
    #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation)] // shares
    pub(super) fn finish(&mut self, tally: &Tally) {
        let minutes = self.minutes;
        self.hold_last_sample();
        let row = |kind| self.list.iter().position(|info| info.kind == kind);
        let (dried, rewash) = (
            row(SeriesKind::DriedOnShare),
            row(SeriesKind::ExpectedRewash),
        );
        let waiting = row(SeriesKind::SoiledWaiting).unwrap_or(0) * minutes;
        let mut dried_now = 0;
        for minute in 0..minutes {
            dried_now += tally.dried[minute];
            let waits = self.values[waiting + minute];
            if let Some(row) = dried.filter(|_| waits > 0.0) {
                self.values[row * minutes + minute] = dried_now as f32 / waits;
            }
            let Chances { sum, count } = tally.chances[minute];
            if let Some(row) = rewash.filter(|_| count > 0) {
                self.values[row * minutes + minute] = (sum / f64::from(count)) as f32;
            }
        }
    }
}
