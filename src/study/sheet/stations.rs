//! Each station against the peak: units wanted per hour, seconds per unit, places, and what they can do.
//!
//! Seconds a unit are a person's mean work at pace 1 with full loads: a full batch at a bench, a full
//! sink, a full rack, a full carry. Walking, waiting for a fuller load and variation are left out, so a
//! station that is full here will be over-full in the evening.

use serde::Serialize;

use super::machines::{MachineFigures, rated_all, unload_s};
use super::path::Path;
use super::peak::{Load, soaked};
use crate::room::Room;
use crate::room::stations::{ClearDown, Kind};
use crate::scenario::model::{Duty, Style};

/// Need over capacity; `None` if something is needed and nothing can be done.
#[must_use]
pub(super) fn utilisation(need: f64, capacity: f64) -> Option<f64> {
    if need <= 0.0 {
        return Some(0.0);
    }
    (capacity > 0.0).then(|| need / capacity)
}

/// What a row of the table is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Thing {
    /// Places where people work.
    Places,
    /// Soak sinks.
    Sinks,
    /// Machines.
    Machines,
    /// Places of the clean landings.
    Landing,
    /// Racks of one kind.
    Racks,
}

/// A station, or something else that only so much can go through.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Station {
    /// Name.
    pub name: String,
    /// What its places are.
    pub thing: Thing,
    /// The duty done there, of [`Thing::Places`].
    pub duty: Option<Duty>,
    /// What is counted.
    pub unit: &'static str,
    /// Units wanted per hour in the peak.
    pub units_per_hour: f64,
    /// Seconds a unit keeps one place.
    pub seconds_per_unit: f64,
    /// Units an hour of one place.
    pub each_per_hour: Option<f64>,
    /// Places.
    pub places: u32,
    /// People on duty in the peak, on average, who hold the duty.
    pub on_duty: Option<f64>,
    /// Units an hour with every place staffed at pace 1.
    pub capacity_per_hour: f64,
    /// Wanted over capacity; `None` if there is no capacity at all.
    pub utilisation: Option<f64>,
}

impl Station {
    fn new(name: &str, thing: Thing, unit: &'static str, units: f64, each_s: f64) -> Self {
        Self {
            name: name.to_owned(),
            thing,
            duty: None,
            unit,
            units_per_hour: units,
            seconds_per_unit: each_s,
            each_per_hour: (each_s > 0.0).then(|| 3600.0 / each_s),
            places: 0,
            on_duty: None,
            capacity_per_hour: 0.0,
            utilisation: Some(0.0),
        }
    }

    fn with_places(mut self, places: u32) -> Self {
        self.places = places;
        // Work that takes no time is never short of places.
        if let Some(each) = self.each_per_hour {
            self.capacity_per_hour = each * f64::from(places);
            self.utilisation = utilisation(self.units_per_hour, self.capacity_per_hour);
        }
        self
    }
}

/// Units per hour and seconds per unit of a duty, for full loads.
pub(super) fn work(room: &Room, load: &Load, duty: Duty) -> (&'static str, f64, f64) {
    let pieces = load.washed_all();
    let a_piece = |figure: &dyn Fn(usize) -> f64| {
        if pieces > 0.0 {
            load.washed_times(figure) / pieces
        } else {
            0.0
        }
    };
    match duty {
        Duty::ClearDown => clear_down(room, load),
        Duty::Scrape => {
            let unit_s = room
                .scrape
                .as_ref()
                .map_or(0.0, |b| b.per_unit.mean_s / f64::from(b.batch));
            (
                "pieces",
                pieces,
                unit_s + a_piece(&|w| room.wares[w].scrape_s),
            )
        }
        Duty::PreRinse => {
            let bench = room.pre_rinse.as_ref();
            let unit_s = bench.map_or(0.0, |b| b.per_unit.mean_s / f64::from(b.batch));
            (
                "pieces",
                pieces,
                unit_s + a_piece(&|w| room.wares[w].pre_rinse_s),
            )
        }
        Duty::Soak => ("pieces", soaked(room, load), soak_work_s(room)),
        Duty::Load => ("racks", load.racks_all(), load_s(room, load)),
        Duty::Hood => hood(room, load),
        Duty::Unload => ("racks", load.racks_all(), unload_s(room, load)),
        Duty::PutAway => put_away(room, load),
        // Not of the peak: see the tasks and the faults of the sheet.
        Duty::SetUp | Duty::Tend | Duty::CloseDown => ("tasks", 0.0, 0.0),
    }
}

fn clear_down(room: &Room, load: &Load) -> (&'static str, f64, f64) {
    let guests_carry = room
        .demand
        .guests
        .as_ref()
        .is_some_and(|guests| guests.style == Style::Cafeteria);
    let by_crew = |clear: &&ClearDown| clear.by_crew && !guests_carry;
    let Some(clear) = room.clear_down.as_ref().filter(by_crew) else {
        return ("trips", 0.0, 0.0);
    };
    // Kitchen ware comes to the drop-off by itself; only what the menu uses is carried.
    let menu = &room.demand.menu;
    let carried = load.pieces.iter().enumerate();
    let carried = carried.filter(|(ware, _)| menu.iter().any(|row| row.ware == *ware));
    let pieces: f64 = carried.map(|(_, pieces)| pieces).sum();
    ("trips", pieces / f64::from(clear.tub), clear.trip.mean_s)
}

/// Work of putting a piece in and taking it out, s.
fn soak_work_s(room: &Room) -> f64 {
    room.soak.as_ref().map_or(0.0, |soak| {
        soak.put_in_s + soak.take_out_s + 2.0 * soak.per_unit.mean_s / f64::from(soak.holds)
    })
}

/// Work of filling a mean rack of the peak, s.
pub(super) fn load_s(room: &Room, load: &Load) -> f64 {
    let racks = load.racks_all();
    let Some(loading) = room.loading.as_ref().filter(|_| racks > 0.0) else {
        return 0.0;
    };
    loading.per_unit.mean_s + load.washed_times(|ware| room.wares[ware].load_s) / racks
}

/// Racks change at attended hoods; every machine takes its share of the racks.
fn hood(room: &Room, load: &Load) -> (&'static str, f64, f64) {
    let rate = |machine: &crate::room::stations::Machine| 1.0 / super::machines::transit_s(machine);
    let all: f64 = room.machines.iter().map(rate).sum();
    let attended = room.machines.iter().filter(|machine| machine.is_attended());
    let (mut share, mut change_s) = (0.0, 0.0);
    for machine in attended {
        let part = rate(machine) / all;
        share += part;
        if let Kind::Hood { change, .. } = machine.kind {
            change_s += part * change.s();
        }
    }
    let each_s = if share > 0.0 { change_s / share } else { 0.0 };
    ("racks", load.racks_all() * share, each_s)
}

fn put_away(room: &Room, load: &Load) -> (&'static str, f64, f64) {
    let pieces: f64 = load.pieces.iter().sum();
    let Some(put_away) = room.put_away.as_ref().filter(|_| pieces > 0.0) else {
        return ("pieces", 0.0, 0.0);
    };
    let wares = room.wares.iter().zip(&load.pieces);
    let all_s: f64 = wares.map(|(ware, some)| ware.put_away_s * some).sum();
    let unit_s = put_away.per_unit.mean_s / f64::from(put_away.batch);
    ("pieces", pieces, unit_s + all_s / pieces)
}

/// Every row, in the order ware meets them.
#[must_use]
pub fn stations(
    room: &Room,
    load: &Load,
    machines: &[MachineFigures],
    path: &Path,
    on_duty: impl Fn(Duty) -> f64,
) -> Vec<Station> {
    let mut rows = Vec::new();
    for duty in Duty::OF_WARE.iter().copied().filter(|duty| room.has(*duty)) {
        let (unit, units, each_s) = work(room, load, duty);
        if duty == Duty::Unload {
            rows.push(machine_row(load, machines));
            rows.extend(landing_row(load, machines));
        }
        if duty == Duty::Soak {
            rows.extend(sinks_row(room, load));
            continue;
        }
        if duty != Duty::Hood {
            let mut row = Station::new(duty.name(), Thing::Places, unit, units, each_s)
                .with_places(room.places(duty));
            row.duty = Some(duty);
            row.on_duty = Some(on_duty(duty));
            rows.push(row);
        }
    }
    if !room.has(Duty::Unload) && !machines.is_empty() {
        rows.push(machine_row(load, machines));
        rows.extend(landing_row(load, machines));
    }
    rows.extend(rack_rows(room, load, path));
    rows
}

fn machine_row(load: &Load, machines: &[MachineFigures]) -> Station {
    let rated = rated_all(machines);
    let name = match machines {
        [one] => one.name.clone(),
        several => format!("{} machines", several.len()),
    };
    let places = machines.len() as u32;
    let each_s = 3600.0 * f64::from(places) / rated;
    Station::new(&name, Thing::Machines, "racks", load.racks_all(), each_s).with_places(places)
}

/// The landings, each with the share of racks of its machine.
fn landing_row(load: &Load, machines: &[MachineFigures]) -> Option<Station> {
    let places: u32 = machines.iter().map(|machine| machine.landing).sum();
    let through: Option<f64> = machines.iter().map(|m| m.landing_racks_per_hour).sum();
    let each_s = 3600.0 * f64::from(places) / through?;
    let racks = load.racks_all();
    Some(Station::new("clean landing", Thing::Landing, "racks", racks, each_s).with_places(places))
}

/// A sink is filled, soaks and is emptied: holds ÷ (time + handling).
fn sinks_row(room: &Room, load: &Load) -> Option<Station> {
    let soak = room.soak.as_ref()?;
    let holds = f64::from(soak.holds);
    let cycle_s = soak.time.s() + holds * soak_work_s(room);
    let row = Station::new(
        "soak sinks",
        Thing::Sinks,
        "pieces",
        soaked(room, load),
        cycle_s / holds,
    );
    Some(row.with_places(soak.sinks))
}

/// The fleet of each rack kind: racks ÷ the time a rack is away from its stack if nothing queues.
fn rack_rows(room: &Room, load: &Load, path: &Path) -> Vec<Station> {
    let kinds = room.rack_kinds.iter().zip(&load.racks).enumerate();
    kinds
        .filter(|(_, (_, racks))| **racks > 0.0)
        .map(|(index, (kind, racks))| {
            let away_s = path.rack_away_s(index);
            let name = format!("{} racks", kind.name);
            Station::new(&name, Thing::Racks, "racks", *racks, away_s).with_places(kind.fleet)
        })
        .collect()
}
