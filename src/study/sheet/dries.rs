//! Drying on: how long a mean film stays moist in this air, and the wait that leaves.
//!
//! Published evaporation rates of a film in a room differ about threefold between a film at air
//! temperature and one at wet bulb; the scenario takes one of them, and the other stands beside it.

use serde::Serialize;

use super::arrivals::Pulse;
use super::path::Path;
use crate::physics::drying::film_rate_per_s;
use crate::room::Room;
use crate::room::ware::evaporation_kg_per_s_m2;
use crate::scenario::model::{Air, Scenario, SoakPolicy, Surface};

/// One soil in the air of the room.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Dries {
    /// Name.
    pub soil: String,
    /// Until a mean film has dried on, as the scenario takes its surface, min; `None` if it never does.
    pub dries_in_min: Option<f64>,
    /// The same at the slow end of the published rates, a film at wet bulb, min.
    pub wet_bulb_min: Option<f64>,
    /// The same at their fast end, a film at air temperature, min.
    pub air_min: Option<f64>,
    /// From soiled to the machine (or the soak, for ware always soaked) if nothing queues, min; the
    /// longest of its uses, `None` if it has none.
    pub quickest_min: Option<f64>,
    /// Wait that the room may add before a mean film has dried on, min; below 0 it dries on anyway.
    pub wait_allowed_min: Option<f64>,
}

/// Drying of every soil.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Drying {
    /// What the scenario takes as the temperature of the film.
    pub surface: Surface,
    /// And how many times the published rate.
    pub multiplier: f64,
    /// By soil.
    pub soils: Vec<Dries>,
}

impl Drying {
    /// In this room.
    #[must_use]
    pub fn of(scenario: &Scenario, room: &Room, pulses: &[Pulse], path: &Path) -> Self {
        // The ends of what is published are each a rate of its own: a multiplier of the scenario is no part of them.
        let published = |surface| {
            evaporation_kg_per_s_m2(&Air {
                surface,
                drying_multiplier: 1.0,
                ..scenario.air.clone()
            })
        };
        let (slow, fast) = (published(Surface::WetBulb), published(Surface::Air));
        let soils = room.soils.iter().enumerate().map(|(index, soil)| {
            let theta = 1.0 - soil.critical_moisture;
            let dries_in_min = minutes_to(theta, soil.drying_per_s);
            let film_m = scenario.soil.get(index).map_or(0.0, |soil| soil.film_m);
            let at_rate = |rate| minutes_to(theta, film_rate_per_s(rate, film_m));
            let quickest_min = quickest_min(room, pulses, path, index);
            Dries {
                soil: soil.name.clone(),
                dries_in_min,
                wet_bulb_min: at_rate(slow),
                air_min: at_rate(fast),
                quickest_min,
                wait_allowed_min: dries_in_min.zip(quickest_min).map(|(dry, go)| dry - go),
            }
        });
        Self {
            surface: scenario.air.surface,
            multiplier: scenario.air.drying_multiplier,
            soils: soils.collect(),
        }
    }
}

fn minutes_to(theta: f64, per_s: f64) -> Option<f64> {
    (per_s > 0.0).then(|| theta / per_s / 60.0)
}

/// The longest way of the soil's uses from soiled to the machine or the soak.
fn quickest_min(room: &Room, pulses: &[Pulse], path: &Path, soil: usize) -> Option<f64> {
    let of_soil = pulses.iter().filter(|pulse| pulse.soil == soil);
    let ways = of_soil.map(|pulse| {
        let soaks = room.soak.is_some() && room.wares[pulse.ware].soak == SoakPolicy::Always;
        let in_room_s = if soaks {
            path.to_soak_s
        } else {
            path.to_machine_s[pulse.ware]
        };
        (pulse.soiled_s + in_room_s) / 60.0
    });
    ways.reduce(f64::max)
}
