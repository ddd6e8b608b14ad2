//! Water of a machine on the sheet: what a rack takes, what the evening takes, what the booster can do.
//!
//! Racks are full ones. The booster is looked at fed without a gap: what holds the rinse at its set point
//! then, and what the rinse comes to if it has less.

use serde::Serialize;

use super::arrivals::Arrivals;
use super::machines::MachineFigures;
use super::peak::Peak;
use crate::physics::dilution::{detergent_g, even_g_per_l};
use crate::physics::heat::{Load, WATER_KG_PER_L, heat_to_raise_j, heat_up_s};
use crate::room::Room;
use crate::room::stations::Machine;
use crate::room::water::Water;

/// A booster that sags by less, K, holds its set point over an evening of gaps.
const HOLDS_K: f64 = 5.0;

/// Water of one machine.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WaterFigures {
    /// Name of the machine.
    pub machine: String,
    /// Fresh water a rack, L; with a rinse that always runs, fed without a gap.
    pub rack_l: f64,
    /// Water that fills the tanks, L.
    pub fill_l: f64,
    /// Fresh water of the evening, L; `None` where the rinse always runs, or machines share the racks.
    pub evening_l: Option<f64>,
    /// Detergent of the evening, kg.
    pub detergent_kg: Option<f64>,
    /// Heat that the booster gives in the evening, kWh; `None` where it cannot hold its set point.
    pub booster_kwh: Option<f64>,
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

/// Water of all machines that have any.
#[must_use]
pub fn water(
    room: &Room,
    arrivals: &Arrivals,
    machines: &[MachineFigures],
    peak: &Peak,
) -> Vec<WaterFigures> {
    let pairs = room.machines.iter().zip(machines);
    pairs
        .filter_map(|(machine, on_sheet)| {
            let mut figures = figures(room, machine, on_sheet, peak)?;
            let soil_g = soil_per_rack_g(machine.water.as_ref()?, arrivals, peak);
            let volume_l = machine
                .water
                .as_ref()?
                .tanks
                .last()
                .map(|tank| tank.volume_l);
            let racks = figures.evening_l.map(|_| peak.racks_all_evening);
            let by_then =
                |((g, l), racks): ((f64, f64), f64)| even_g_per_l(racks, g, figures.rack_l, l);
            figures.soil_g_per_l = soil_g.zip(volume_l).zip(racks).map(by_then);
            Some(figures)
        })
        .collect()
}

fn figures(
    room: &Room,
    machine: &Machine,
    on_sheet: &MachineFigures,
    peak: &Peak,
) -> Option<WaterFigures> {
    let water = machine.water.as_ref()?;
    let rinse = &water.rinse;
    let rack_l = rinse.flow_kg_per_s / WATER_KG_PER_L * on_sheet.headway_s;
    let fill_l = water
        .tanks
        .iter()
        .fold(0.0, |sum, tank| sum + tank.volume_l);
    let alone = room.machines.len() == 1 && !rinse.always;
    let rinse_l = alone.then_some(peak.racks_all_evening * rack_l);
    let evening_l = rinse_l.map(|l| fill_l + l);
    let lifted = |l: f64| {
        let (_, thermostat) = rinse.booster?;
        let j = heat_to_raise_j(l * WATER_KG_PER_L, rinse.supply_c, thermostat.set_c);
        let holds = booster(water)?.comes_to_c >= thermostat.set_c - HOLDS_K;
        holds.then(|| j.max(0.0) / 3.6e6)
    };
    Some(WaterFigures {
        machine: machine.name.clone(),
        rack_l,
        fill_l,
        evening_l,
        detergent_kg: evening_l.map(|l| detergent_g(water.detergent_g_per_l, l) / 1e3),
        booster_kwh: rinse_l.and_then(lifted),
        heat_up_min: heat_up_min(water),
        change_min: water.change.as_ref().map(|change| change.takes.min()),
        supply_c: rinse.booster.is_none().then_some(rinse.supply_c),
        minimum_c: rinse.minimum_c,
        booster: booster(water),
        soil_g_per_l: None,
    })
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

fn booster(water: &Water) -> Option<BoosterFigures> {
    let rinse = &water.rinse;
    let (lump, thermostat) = rinse.booster?;
    let load = Load {
        room_c: water.room_c,
        flow_kg_per_s: rinse.flow_kg_per_s,
        inlet_c: rinse.supply_c,
    };
    let at_full_power_c = lump.limit_c(load, thermostat.heater_w)?;
    Some(BoosterFigures {
        set_c: thermostat.set_c,
        power_w: thermostat.heater_w,
        needed_w: lump.needed_w(load, thermostat.set_c).max(0.0),
        comes_to_c: at_full_power_c.min(thermostat.set_c),
        minimum_c: rinse.minimum_c,
    })
}

/// Soil that a rack of the evening brings, g, if there is a tank it comes into.
fn soil_per_rack_g(water: &Water, arrivals: &Arrivals, peak: &Peak) -> Option<f64> {
    let racks = Some(peak.racks_all_evening).filter(|racks| *racks > 0.0)?;
    water.tanks.last()?;
    let of_kind = |(&(_, soil), bins): (&(usize, usize), &Vec<f64>)| {
        bins.iter().sum::<f64>() * water.soil_g[soil]
    };
    Some(arrivals.by_kind.iter().map(of_kind).sum::<f64>() / racks)
}
