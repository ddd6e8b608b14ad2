//! Water of a machine on the sheet: what a rack takes, what the evening takes, what the booster can do.
//!
//! Racks are as they are sent, part-full ones too. The booster is looked at fed without a gap: what holds the rinse at its set point
//! then, and what the rinse comes to if it has less. Machines that are alike take as many
//! racks each. Where unlike ones share the racks, the evening of each is not worked out: which of them a rack finds
//! free is for the simulation.

use serde::Serialize;

use super::arrivals::Arrivals;
use super::cools::{Cooling, HeaviestRack, cooling, heaviest};
use super::machines::MachineFigures;
use super::milestones::Milestones;
use super::peak::Load as Racks;
use super::taken::{Day, Taken, fill_l, under_rinse_s};
use crate::physics::heat::{Load, WATER_KG_PER_L, heat_up_s};
use crate::room::Room;
use crate::room::stations::Machine;
use crate::room::water::{Tank, Water};

/// Water of one machine.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WaterFigures {
    /// Name of the machine.
    pub machine: String,
    /// Fresh water per rack, L; with a rinse that always runs, with no gap between racks.
    pub rack_l: f64,
    /// Water that fills the tanks, L.
    pub fill_l: f64,
    /// What the evening takes; `None` where unlike machines share the racks.
    pub evening: Option<Taken>,
    /// Longest time to heat a tank from the supply to its set point, without losses, min.
    pub heat_up_min: Option<f64>,
    /// Time that a change of water takes, min, if it is ever changed.
    pub change_min: Option<f64>,
    /// Temperature at which the final rinse comes without a booster, °C; `None` with one.
    pub supply_c: Option<f64>,
    /// What the final rinse has to keep, °C.
    pub minimum_c: Option<f64>,
    /// Booster.
    pub booster: Option<BoosterFigures>,
    /// Soil in the first tank by the end of the evening, if its water is never changed, g/L.
    pub soil_g_per_l: Option<f64>,
    /// The heaviest rack that it washes.
    pub heaviest_rack: Option<HeaviestRack>,
    /// How far racks cool what they meet, in that order.
    pub cooling: Vec<Cooling>,
    /// Whether belt or cycle is held until it is hot.
    pub holds: bool,
}

/// A booster fed without a gap.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BoosterFigures {
    /// Set point, °C.
    pub set_c: f64,
    /// Power, W.
    pub power_w: f64,
    /// Power that holds the set point, W.
    pub needed_w: f64,
    /// What the rinse comes to, °C.
    pub comes_to_c: f64,
    /// What it has to keep, °C.
    pub minimum_c: Option<f64>,
}

impl BoosterFigures {
    /// Whether its heater is too small for its set point; a rinse may come colder all the same, where what flows in is
    /// stirred with what is hot.
    #[must_use]
    pub fn is_weak(&self) -> bool {
        self.power_w < self.needed_w
    }
}

/// Water of all machines that have any, in an evening of so many racks.
#[must_use]
pub fn water(
    room: &Room,
    arrivals: &Arrivals,
    machines: &[MachineFigures],
    milestones: &Milestones,
    evening: &Racks,
) -> Vec<WaterFigures> {
    let pairs = room.machines.iter().zip(machines);
    let share = are_alike(room, machines).then(|| 1.0 / machines.len() as f64);
    let all = pairs.filter_map(|(machine, on_sheet)| {
        let water = machine.water.as_ref()?;
        let mut figures = figures(machine, water, on_sheet, evening);
        figures.heaviest_rack = heaviest(room, water);
        if let Some(rack) = &figures.heaviest_rack {
            figures.cooling = cooling(room, water, on_sheet, rack, evening);
        }
        if let Some(share) = share {
            let how = (room.hours.closes.s(), share);
            let day = Day::of(machine, water, milestones, evening, arrivals, how);
            figures.soil_g_per_l = day.soil_g_per_l(water);
            figures.evening = Some(day.taken(machine, water));
        }
        Some(figures)
    });
    all.collect()
}

/// Whether racks are as well taken by one machine as by any other, so that each takes as many.
fn are_alike(room: &Room, machines: &[MachineFigures]) -> bool {
    type Tanks = Vec<(f64, f64, f64)>;
    let of = |(machine, on_sheet): (&Machine, &MachineFigures)| {
        let water = machine.water.as_ref()?;
        let tank = |tank: &Tank| {
            let of = tank.thermostat;
            (tank.volume_l, of.heater_w, of.set_c)
        };
        let tanks: Tanks = water.tanks.iter().map(tank).collect();
        let booster = water.rinse.booster.map(|(_, of)| (of.heater_w, of.set_c));
        let speed = (on_sheet.headway_s, on_sheet.transit_s);
        let (takes, flow) = (machine.takes.clone(), water.rinse.flow_kg_per_s);
        Some((takes, speed, flow, booster, tanks))
    };
    let mut all = room.machines.iter().zip(machines).map(of);
    let first = all.next();
    all.all(|other| Some(other) == first)
}

fn figures(
    machine: &Machine,
    water: &Water,
    on_sheet: &MachineFigures,
    evening: &Racks,
) -> WaterFigures {
    let rinse = &water.rinse;
    // Fed without a gap a conveyor rinses all the time, a hood once a turn.
    let rinses_s = if machine.is_hood() {
        under_rinse_s(water, evening)
    } else {
        on_sheet.headway_s
    };
    let flow_kg_per_s = rinse.flow_kg_per_s * rinses_s / on_sheet.headway_s;
    WaterFigures {
        machine: machine.name.clone(),
        rack_l: rinse.flow_kg_per_s / WATER_KG_PER_L * rinses_s,
        fill_l: fill_l(water),
        evening: None,
        heat_up_min: heat_up_min(water),
        change_min: water.change.as_ref().map(|change| change.takes.min()),
        supply_c: rinse.booster.is_none().then_some(rinse.supply_c),
        minimum_c: rinse.minimum_c,
        booster: booster(water, flow_kg_per_s, machine.is_hood().then_some(rinses_s)),
        soil_g_per_l: None,
        heaviest_rack: None,
        cooling: Vec::new(),
        holds: water.holds,
    }
}

fn heat_up_min(water: &Water) -> Option<f64> {
    let heated = water
        .tanks
        .iter()
        .filter(|tank| tank.thermostat.heater_w > 0.0);
    let each_min = heated.filter_map(|tank| {
        let (kg, of) = (tank.volume_l * WATER_KG_PER_L, tank.thermostat);
        heat_up_s(kg, water.rinse.supply_c, of.set_c, of.heater_w).map(|s| s / 60.0)
    });
    each_min.reduce(f64::max)
}

/// Of a hood it is looked at by the end of a rinse, which takes more than the mean.
fn booster(
    water: &Water,
    flow_kg_per_s: f64,
    hood_rinses_s: Option<f64>,
) -> Option<BoosterFigures> {
    let rinse = &water.rinse;
    let (lump, thermostat) = rinse.booster?;
    let load = Load {
        room_c: water.room_c,
        flow_kg_per_s,
        inlet_c: rinse.supply_c,
    };
    let at_full_power_c = lump.limit_c(load, thermostat.heater_w)?;
    let full = Load {
        flow_kg_per_s: rinse.flow_kg_per_s,
        ..load
    };
    let after_c = hood_rinses_s.map_or(thermostat.set_c, |s| {
        let held = rinse.hold(lump, full, thermostat, thermostat.set_c, s);
        held.lowest_c
    });
    Some(BoosterFigures {
        set_c: thermostat.set_c,
        power_w: thermostat.heater_w,
        needed_w: lump.needed_w(load, thermostat.set_c).max(0.0),
        comes_to_c: at_full_power_c.min(thermostat.set_c).min(after_c),
        minimum_c: rinse.minimum_c,
    })
}
