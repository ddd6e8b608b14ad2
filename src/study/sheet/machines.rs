//! Machines on the sheet: rated racks an hour, contact time, headway, landing and lane.
//!
//! Rates after the calculation note of the NSF/ANSI 3 listings (see [`crate::physics::conveyor`]), for
//! the mix of rack kinds of the peak. A rack keeps a place of the landing from the exit until it is
//! unloaded, so a landing of n places lets through n/(drain + unload) racks at most, whoever unloads:
//! when it is full the machine stands.

use serde::Serialize;

use super::peak::Load;
use crate::room::Room;
use crate::room::stations::{Kind, Machine};
use crate::scenario::model::{self, MachineKind, Places, Scenario};

/// Racks a clean landing should hold behind a hot-water machine: 60 in, Minnesota Department of
/// Health, plan-review letters 2000 to 2014 (5 racks, 100 in, behind a chemical one).
pub const LANDING_GUIDE_RACKS: u32 = 3;

/// Contact time that German practice regards as sufficient in a single-tank machine, s: DIN 10511 and
/// 10512, as a trade lexicon of 2023 quotes them; a multi-tank conveyor 120 s after DIN 10510.
pub const CONTACT_GUIDE_S: f64 = 90.0;

/// A machine on the sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MachineFigures {
    /// Name.
    pub name: String,
    /// Whether racks ride a conveyor through it.
    pub conveyor: bool,
    /// Racks an hour, fed without a gap, with the rack kinds of the peak.
    pub rated_racks_per_hour: f64,
    /// Belt speed, m/s, of a conveyor.
    pub speed_m_per_s: Option<f64>,
    /// From one rack to the next, s; of a hood the cycle with the load time.
    pub headway_s: f64,
    /// From entry to exit, s.
    pub transit_s: f64,
    /// Time a rack is washed, s.
    pub contact_s: f64,
    /// Time that a normal wash needs, s.
    pub contact_needed_s: f64,
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
    let (speed_m_per_s, contact_s) = match &written.kind {
        MachineKind::RackConveyor {
            tunnel_m,
            speed_m_per_s,
            ..
        } => (Some(*speed_m_per_s), tunnel_m / speed_m_per_s),
        MachineKind::Hood { cycle, .. } => (None, cycle.mean_s),
    };
    MachineFigures {
        name: machine.name.clone(),
        conveyor: speed_m_per_s.is_some(),
        rated_racks_per_hour: 3600.0 / headway_s,
        speed_m_per_s,
        headway_s,
        transit_s: transit_s(machine),
        contact_s,
        contact_needed_s: written.contact_time_s,
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
fn headway_s(machine: &Machine, load: &Load) -> f64 {
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

/// A rack on the landing, s: it drains, then it is unloaded; at an attended hood its place is kept
/// while racks are changed.
fn landing_s(machine: &Machine, room: &Room, load: &Load) -> f64 {
    let change = match machine.kind {
        Kind::Hood {
            change,
            attended: true,
            ..
        } => change.s(),
        _ => 0.0,
    };
    change + machine.drain.s() + unload_s(room, load)
}

/// Work of unloading a mean rack of the peak, s; 0 where unloading takes nobody.
pub(super) fn unload_s(room: &Room, load: &Load) -> f64 {
    let racks = load.racks_all();
    let Some(unload) = room.unload.as_ref().filter(|_| racks > 0.0) else {
        return 0.0;
    };
    unload.per_unit.mean_s + load.washed_times(|ware| room.wares[ware].unload_s) / racks
}

/// Racks an hour of all machines together.
pub(super) fn rated_all(machines: &[MachineFigures]) -> f64 {
    machines.iter().map(|m| m.rated_racks_per_hour).sum()
}
