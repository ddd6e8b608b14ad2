//! Machines on the sheet: rated racks per hour, contact time, headway, landing and lane.
//!
//! Rates after the calculation note of the NSF/ANSI 3 listings (see [`crate::physics::conveyor`]), for
//! the mix of rack kinds of the peak. A rack keeps a place of the landing from the exit until it is
//! unloaded, so a landing of n places lets through n/(drain + unload) racks at most, whoever unloads:
//! when it is full the machine stands.

use serde::Serialize;

use super::means::rack_s;
use super::peak::Load;
use super::stages::on_the_way;
use crate::physics::{conveyor, limits};
use crate::room::Room;
use crate::room::stations::{Kind, Machine, contact_s};
use crate::room::time::Time;
use crate::scenario::model::{self, MachineKind, Places, Sanitising, Scenario, Zone, ZoneKind};
use crate::service::work::Comes;
use crate::study::published;

/// Racks that a clean landing should hold, and its length, m: 60 in behind a hot-water machine, 100 in
/// behind a chemical one (Minnesota Department of Health, plan-review letters 2000 to 2014).
#[must_use]
pub const fn landing_guide(sanitising: Sanitising) -> (u32, f64) {
    match sanitising {
        Sanitising::HotWater => (3, 1.524),
        Sanitising::Chemical => (5, 2.54),
    }
}

/// Contact time that German practice regards as sufficient, s: in a machine with these zones.
#[must_use]
pub fn contact_guide_s(zones: &[Zone]) -> f64 {
    limits::contact_guide(published::conveyor(zones)).printed
}

/// A machine on the sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MachineFigures {
    /// Name.
    pub name: String,
    /// Whether racks ride a conveyor through it.
    pub conveyor: bool,
    /// Racks an hour, with no gap between racks, with the rack kinds of the peak.
    pub rated_racks_per_hour: f64,
    /// Belt speed, m/s, of a conveyor.
    pub speed_m_per_s: Option<f64>,
    /// From one rack to the next, s; of a hood the cycle with the load time.
    pub headway_s: f64,
    /// From entry to exit, s.
    pub transit_s: f64,
    /// What makes the ware safe.
    pub sanitising: Sanitising,
    /// Zones of its tunnel, as far as they are given.
    pub zones: Vec<ZoneFigures>,
    /// Time a rack is washed, s.
    pub contact_s: f64,
    /// Time that a normal wash needs, s.
    pub contact_needed_s: f64,
    /// Time that German practice regards as sufficient, s.
    pub contact_guide_s: f64,
    /// Racks the entry lane holds.
    pub lane: u32,
    /// Racks the landing holds.
    pub landing: u32,
    /// Length of the landing, m, if given as one.
    pub landing_m: Option<f64>,
    /// A rack on the landing: drained and unloaded, s.
    pub landing_s: f64,
    /// Racks an hour that the landing lets through.
    pub landing_racks_per_hour: Option<f64>,
}

/// A zone on the sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ZoneFigures {
    /// Name.
    pub name: String,
    /// What it does.
    pub kind: ZoneKind,
    /// Its length, m.
    pub length_m: f64,
    /// Time a rack is in it, s.
    pub contact_s: f64,
    /// Time it has to be, s.
    pub contact_needed_s: Option<f64>,
    /// Set point of its water, °C.
    pub temperature_c: Option<f64>,
    /// Temperature that its water has to keep, °C.
    pub minimum_c: Option<f64>,
}

impl ZoneFigures {
    fn of(zone: &Zone, speed_m_per_s: f64) -> Self {
        Self {
            name: zone.name.clone(),
            kind: zone.kind,
            length_m: zone.length_m,
            contact_s: conveyor::contact_s(zone.length_m, speed_m_per_s),
            contact_needed_s: zone.contact_time_s,
            temperature_c: zone.temperature_c,
            minimum_c: zone.minimum_c,
        }
    }
}

/// All machines.
#[must_use]
pub fn machines(scenario: &Scenario, room: &Room, load: &Load) -> Vec<MachineFigures> {
    let pairs = scenario.machine.iter().zip(&room.machines);
    pairs
        .map(|(written, machine)| figures(written, machine, room, load))
        .collect()
}

fn figures(
    written: &model::Machine,
    machine: &Machine,
    room: &Room,
    load: &Load,
) -> MachineFigures {
    let headway_s = headway_s(machine, load);
    let landing_s = landing_s(machine, room, load);
    let (speed_m_per_s, zones) = match &written.kind {
        MachineKind::RackConveyor {
            zones,
            speed_m_per_s,
            ..
        } => (Some(*speed_m_per_s), zones.as_slice()),
        MachineKind::Hood { .. } => (None, [].as_slice()),
    };
    let of_zone = |zone| Some(ZoneFigures::of(zone, speed_m_per_s?));
    MachineFigures {
        name: machine.name.clone(),
        conveyor: speed_m_per_s.is_some(),
        rated_racks_per_hour: 3600.0 / headway_s,
        speed_m_per_s,
        headway_s,
        transit_s: transit_s(machine),
        sanitising: written.sanitising,
        zones: zones.iter().filter_map(of_zone).collect(),
        contact_s: contact_s(&written.kind),
        contact_needed_s: written.contact_time_s,
        contact_guide_s: contact_guide_s(zones),
        lane: machine.lane,
        landing: machine.landing,
        landing_m: match written.landing {
            Places::LengthM(metres) => Some(metres),
            Places::Count(_) => None,
        },
        landing_s,
        landing_racks_per_hour: (landing_s > 0.0)
            .then(|| 3600.0 * f64::from(machine.landing) / landing_s),
    }
}

/// From one rack to the next, s: the mean over the rack kinds of the peak.
pub(super) fn headway_s(machine: &Machine, load: &Load) -> f64 {
    match &machine.kind {
        Kind::Hood { cycle, change, .. } => cycle.mean_s + change.s(),
        Kind::Conveyor { headway, .. } => {
            let all = load.racks_all();
            if all > 0.0 {
                let kinds = headway.iter().zip(&load.racks);
                kinds.map(|(time, racks)| time.s() * racks / all).sum()
            } else {
                headway.first().map_or(f64::INFINITY, |time| time.s())
            }
        }
    }
}

/// From entry to exit, s.
pub(super) fn transit_s(machine: &Machine) -> f64 {
    match &machine.kind {
        Kind::Hood { cycle, change, .. } => cycle.mean_s + change.s(),
        Kind::Conveyor { transit, .. } => transit.s(),
    }
}

/// A rack on the landing, s: it drains, then it is unloaded; where racks are changed by hand its place is kept meanwhile.
fn landing_s(machine: &Machine, room: &Room, load: &Load) -> f64 {
    let (mut changed_s, mut unloaded_s) = (0.0, 0.0);
    for (_, work) in on_the_way(room) {
        match work.comes {
            Comes::AtMachines(by_hand) => changed_s += by_hand(machine).map_or(0.0, Time::s),
            Comes::Washed => unloaded_s += rack_s(room, load, work),
            _ => {}
        }
    }
    changed_s + left_s(machine, room, load) + unloaded_s
}

/// A rack drains, and dries where that is waited for, s: the mean over the racks of a load.
fn left_s(machine: &Machine, room: &Room, load: &Load) -> f64 {
    let racks: f64 = load.racks.iter().sum();
    if !machine.until_dry || racks <= 0.0 {
        return machine.drain.s();
    }
    let kinds = load.racks.iter().enumerate();
    let sum: f64 = kinds
        .map(|(kind, racks)| racks * machine.rack_left_for(&room.wares, kind).s())
        .sum();
    sum / racks
}

/// Machines that take the same racks, each group with the racks of a load that it takes. A kind that several groups take
/// is shared by what they are rated for.
pub(super) fn groups<'m>(
    room: &Room,
    load: &Load,
    machines: &'m [MachineFigures],
) -> Vec<(Vec<&'m MachineFigures>, f64)> {
    let mut groups: Vec<(&[bool], Vec<&MachineFigures>)> = Vec::new();
    for (machine, figures) in room.machines.iter().zip(machines) {
        match groups.iter_mut().find(|(takes, _)| *takes == machine.takes) {
            Some((_, group)) => group.push(figures),
            None => groups.push((&machine.takes, vec![figures])),
        }
    }
    if let [(_, all)] = &mut groups[..] {
        return vec![(std::mem::take(all), load.racks_all())];
    }
    let rated: Vec<f64> = (groups.iter())
        .map(|(_, group)| group.iter().map(|m| m.rated_racks_per_hour).sum())
        .collect();
    let share = |takes: &[bool], own: f64| {
        let kinds = load
            .racks
            .iter()
            .enumerate()
            .filter(|(kind, _)| takes[*kind]);
        let part = |kind: usize| {
            let with = groups
                .iter()
                .zip(&rated)
                .filter(|((takes, _), _)| takes[kind]);
            own / with.map(|(_, rated)| rated).sum::<f64>()
        };
        kinds.map(|(kind, racks)| racks * part(kind)).sum::<f64>()
    };
    let shares: Vec<f64> = (groups.iter().zip(&rated))
        .map(|((takes, _), own)| share(takes, *own))
        .collect();
    groups
        .into_iter()
        .map(|(_, group)| group)
        .zip(shares)
        .collect()
}

/// Racks an hour of machines together.
pub(super) fn rated_all(machines: &[&MachineFigures]) -> f64 {
    machines.iter().map(|m| m.rated_racks_per_hour).sum()
}
