//! Each station against the peak: units wanted per hour, seconds per unit, places, and what they can do.
//!
//! Seconds a unit are a person's mean work at pace 1 with full loads: a full batch at a bench, a full
//! sink, a full rack, a full carry. Walking, waiting for a fuller load and variation are left out, so a
//! station that is full here will be over-full in the evening.

use serde::Serialize;

use super::machines::{MachineFigures, groups, rated_all, transit_s};
use super::means::{coming, coming_all, piece_s, rack_s, units_s};
use super::path::Path;
use super::peak::Load;
use super::stages::{guests_carry, on_the_way};
use crate::room::Room;
use crate::room::stations::Machine;
use crate::room::time::Time;
use crate::scenario::model::Duty;
use crate::service::work::{Comes, Full, Places, Work};

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
    /// Places at the pot sink where ware lies: in the sanitising compartment, on the drainboard.
    Lying,
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

/// The work of a station in an hour.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked {
    /// What is counted.
    pub unit: &'static str,
    /// Units per hour.
    pub units: f64,
    /// Seconds per unit, for full loads.
    pub each_s: f64,
}

impl Asked {
    /// Of a station, by the row of its work.
    pub fn of(room: &Room, load: &Load, work: &Work) -> Self {
        let full = f64::from(work.full.pieces(room));
        let (unit, units, each_s) = match (work.comes, work.full) {
            (Comes::FromTables, _) if guests_carry(room) => ("trips", 0.0, 0.0),
            (Comes::AtMachines(by_hand), _) => changes(room, load, by_hand),
            // Nothing to carry: no carry either.
            (Comes::Clean, Full::Pieces(_)) if coming_all(room, load, work) <= 0.0 => {
                ("pieces", 0.0, 0.0)
            }
            (_, Full::Rack) => ("racks", load.racks_all(), rack_s(room, load, work)),
            (_, Full::Pieces(_)) => {
                let each_s = units_s(room, work) / full + piece_s(room, load, work);
                ("pieces", coming_all(room, load, work), each_s)
            }
            (_, Full::Trip(_)) => {
                let each_s = units_s(room, work) + full * piece_s(room, load, work);
                ("trips", coming_all(room, load, work) / full, each_s)
            }
            // Not of the peak: see the tasks and the faults of the sheet.
            (_, Full::One) => ("tasks", 0.0, 0.0),
        };
        Self {
            unit,
            units,
            each_s,
        }
    }
}

/// Racks change where somebody has to do it; every machine takes its share of the racks.
fn changes(
    room: &Room,
    load: &Load,
    by_hand: fn(&Machine) -> Option<Time>,
) -> (&'static str, f64, f64) {
    let rate = |machine: &Machine| 1.0 / transit_s(machine);
    let all: f64 = room.machines.iter().map(rate).sum();
    let (mut share, mut change_s) = (0.0, 0.0);
    for machine in &room.machines {
        if let Some(change) = by_hand(machine) {
            let part = rate(machine) / all;
            share += part;
            change_s += part * change.s();
        }
    }
    let each_s = if share > 0.0 { change_s / share } else { 0.0 };
    ("racks", load.racks_all() * share, each_s)
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
    let mut with_machines = false;
    for (duty, work) in on_the_way(room) {
        if matches!(work.comes, Comes::Washed) && !with_machines {
            rows.extend(machine_rows(room, load, machines));
            with_machines = true;
        }
        let asked = Asked::of(room, load, work);
        rows.extend(match work.places {
            Places::Sinks(sinks, time) => {
                let holds = f64::from(work.full.pieces(room));
                let (sinks, rests_s) = (sinks(room), time(room).s());
                Some(sinks_row(duty, asked, sinks, holds, rests_s))
            }
            // They have rows of their own.
            Places::Machines(_) => None,
            Places::Anybody | Places::People(_) | Places::Racks(_) => {
                let places = work.places.count(room);
                Some(places_row(duty, asked, places, on_duty(duty)))
            }
        });
        if matches!(work.comes, Comes::ToPotSink) {
            rows.extend(lying_rows(room, load, asked, work, path));
        }
    }
    if !with_machines {
        rows.extend(machine_rows(room, load, machines));
    }
    rows.extend(rack_rows(room, load, path));
    rows
}

fn places_row(duty: Duty, asked: Asked, places: u32, on_duty: f64) -> Station {
    let Asked {
        unit,
        units,
        each_s,
    } = asked;
    let row = Station::new(duty.name(), Thing::Places, unit, units, each_s);
    Station {
        duty: Some(duty),
        on_duty: Some(on_duty),
        ..row.with_places(places)
    }
}

/// A sink is filled, rests and is emptied: holds ÷ (time + handling).
fn sinks_row(duty: Duty, asked: Asked, sinks: u32, holds: f64, rests_s: f64) -> Station {
    let name = format!("{} sinks", duty.name());
    let cycle_s = rests_s + holds * asked.each_s;
    let each_s = cycle_s / holds;
    Station::new(&name, Thing::Sinks, asked.unit, asked.units, each_s).with_places(sinks)
}

/// At the pot sink: a place to sanitise is kept while its piece is scrubbed, one on the drainboard until it is carried.
fn lying_rows(
    room: &Room,
    load: &Load,
    asked: Asked,
    work: &Work,
    path: &Path,
) -> impl Iterator<Item = Station> {
    let row = |name: &str, each_s: f64, places: u32| {
        Station::new(name, Thing::Lying, asked.unit, asked.units, each_s).with_places(places)
    };
    let sink = room.pot_sink.as_ref();
    let rows = sink.map(|sink| {
        let cycle_s = asked.each_s + sink.contact.s();
        let pieces = coming(room, load, work);
        let lies_s = pieces
            .iter()
            .enumerate()
            .map(|(ware, some)| some * (sink.dry_after[ware].s() + path.to_store_s[ware]));
        let lies_s = lies_s.sum::<f64>() / asked.units.max(f64::MIN_POSITIVE);
        let board = sink.drainboard;
        [
            Some(row("sanitising", cycle_s, sink.holds)),
            board.map(|places| row("drainboard", lies_s, places)),
        ]
    });
    rows.into_iter().flatten().flatten()
}

/// The machines and their landings, those together that take the same racks.
fn machine_rows(room: &Room, load: &Load, machines: &[MachineFigures]) -> Vec<Station> {
    let groups = groups(room, load, machines);
    let several = groups.len() > 1;
    let rows = groups.iter().flat_map(|(group, racks)| {
        let machine = machine_row(*racks, group);
        let mut landing = landing_row(*racks, group);
        if let Some(landing) = landing.as_mut().filter(|_| several) {
            landing.name = format!("{} of {}", landing.name, machine.name);
        }
        std::iter::once(machine).chain(landing)
    });
    rows.collect()
}

fn machine_row(racks: f64, machines: &[&MachineFigures]) -> Station {
    let rated = rated_all(machines);
    let name = match machines {
        [one] => one.name.clone(),
        several => format!("{} machines", several.len()),
    };
    let places = machines.len() as u32;
    let each_s = 3600.0 * f64::from(places) / rated;
    Station::new(&name, Thing::Machines, "racks", racks, each_s).with_places(places)
}

/// The landings, each with the share of racks of its machine.
fn landing_row(racks: f64, machines: &[&MachineFigures]) -> Option<Station> {
    let places: u32 = machines.iter().map(|machine| machine.landing).sum();
    let through: Option<f64> = machines.iter().map(|m| m.landing_racks_per_hour).sum();
    let each_s = 3600.0 * f64::from(places) / through?;
    Some(Station::new("clean landing", Thing::Landing, "racks", racks, each_s).with_places(places))
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
