//! Drying on: how long a mean film stays moist in this air, and the wait that leaves.
//!
//! Published evaporation rates of a film in a room differ about threefold between a film at air
//! temperature and one at wet bulb; the scenario takes one of them, and the other stands beside it.

use serde::Serialize;

use super::arrivals::Pulse;
use super::path::Path;
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
    /// The same with the other surface temperature, min.
    pub otherwise_min: Option<f64>,
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
    /// By soil.
    pub soils: Vec<Dries>,
}

impl Drying {
    /// In this room.
    #[must_use]
    pub fn of(scenario: &Scenario, room: &Room, pulses: &[Pulse], path: &Path) -> Self {
        let other = Air {
            surface: match scenario.air.surface {
                Surface::Air => Surface::WetBulb,
                Surface::WetBulb => Surface::Air,
            },
            ..scenario.air.clone()
        };
        let (here, there) = (
            evaporation_kg_per_s_m2(&scenario.air),
            evaporation_kg_per_s_m2(&other),
        );
        let soils = room.soils.iter().enumerate().map(|(index, soil)| {
            let dries_in_min = minutes_to(1.0 - soil.critical_moisture, soil.drying_per_s);
            let quickest_min = quickest_min(room, pulses, path, index);
            Dries {
                soil: soil.name.clone(),
                dries_in_min,
                otherwise_min: dries_in_min
                    .filter(|_| there > 0.0)
                    .map(|minutes| minutes * here / there),
                quickest_min,
                wait_allowed_min: dries_in_min.zip(quickest_min).map(|(dry, go)| dry - go),
            }
        });
        Self {
            surface: scenario.air.surface,
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
