//! How far racks cool the wash and the final rinse: one alone, and one after the other with no gap.
//!
//! The rack alone is the heaviest that the scenario has, full of one ware, and finds everything at its set point. Racks
//! with no gap are full ones in the mix of the evening, so many that each finds the same in the end. A tank is
//! looked at when the simulation looks at it, as a rack comes to it and as it leaves for the final rinse, and the
//! final rinse while the rack passes it. Nothing spoils the heat, and tanks are full.
//!
//! In: a machine's water, its headway and transit, and the racks of the evening. Out: °C.

use serde::Serialize;

use super::machines::MachineFigures;
use super::peak::Load as Racks;
use super::taken::under_rinse_s;
use crate::physics::heat::{Load, WATER_J_PER_KG_K, mixed_c};
use crate::room::Room;
use crate::room::water::{Tank, Water};

/// Racks until each finds what the one before it found: many time constants of any tank.
const RACKS: usize = 2_000;

/// What racks leave of the heat of a tank or of the final rinse.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cooling {
    /// Name of the zone; of the final rinse, none.
    pub zone: Option<String>,
    /// Set point, °C; what it comes at where nothing heats it.
    pub set_c: f64,
    /// What it has to keep, °C.
    pub minimum_c: Option<f64>,
    /// Lowest with one full rack alone, °C.
    pub one_rack_c: f64,
    /// Lowest with no gap between racks, °C.
    pub no_gap_c: f64,
}

impl Cooling {
    /// Whether so many °C are below what it has to keep.
    #[must_use]
    pub fn is_cold(&self, c: f64) -> bool {
        self.minimum_c.is_some_and(|least_c| c < least_c - 1e-6)
    }
}

/// The heaviest full rack: its ware, how many pieces, and the heat that it takes, J/K.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HeaviestRack {
    /// Name of its ware.
    pub ware: String,
    /// Pieces on it.
    pub pieces: f64,
    /// Heat to make rack and ware one degree warmer, J/K.
    pub heat_j_per_k: f64,
}

/// The heaviest full rack; none without ware.
pub(super) fn heaviest(room: &Room, water: &Water) -> Option<HeaviestRack> {
    let wares = room.wares.iter().zip(&water.ware_j_per_k);
    let of = |(ware, each_j_per_k): (&crate::room::ware::Ware, &f64)| {
        let pieces = libm::round(1.0 / ware.rack_share);
        HeaviestRack {
            ware: ware.name.clone(),
            pieces,
            heat_j_per_k: water.rack_j_per_k[ware.rack_kind] + pieces * each_j_per_k,
        }
    };
    wares
        .filter(|(ware, _)| !ware.at_pot_sink)
        .map(of)
        .max_by(|a, b| a.heat_j_per_k.total_cmp(&b.heat_j_per_k))
}

/// All that racks cool, in the order in which they meet it.
pub(super) fn cooling(
    room: &Room,
    water: &Water,
    on_sheet: &MachineFigures,
    heaviest: &HeaviestRack,
    evening: &Racks,
) -> Vec<Cooling> {
    let full = evening.washed_times(|ware| room.wares[ware].rack_share);
    let all_j_per_k = evening.washed_times(|ware| {
        let of = &room.wares[ware];
        water.ware_j_per_k[ware] + of.rack_share * water.rack_j_per_k[of.rack_kind]
    });
    let turn = Turn::of(water, on_sheet, under_rinse_s(water, evening));
    let alone = turn.lowest(heaviest.heat_j_per_k, Gap::Long);
    // An evening without ware has no racks to come one after the other.
    let each_j_per_k = if full > 0.0 { all_j_per_k / full } else { 0.0 };
    let close = turn.lowest(each_j_per_k, Gap::None);
    let tanks = water
        .tanks
        .iter()
        .enumerate()
        .map(|(number, tank)| Cooling {
            zone: Some(tank.name.clone()),
            set_c: tank.ready_c(water.rinse.supply_c),
            minimum_c: tank.minimum_c,
            one_rack_c: alone.tanks_c[number],
            no_gap_c: close.tanks_c[number],
        });
    let rinse = Cooling {
        zone: None,
        set_c: turn.rinse_set_c(),
        minimum_c: water.rinse.minimum_c,
        one_rack_c: alone.rinse_c,
        no_gap_c: close.rinse_c,
    };
    tanks.rev().chain([rinse]).collect()
}

/// What is between two racks.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Gap {
    /// Time enough to be hot again.
    Long,
    /// Nothing but the headway.
    None,
}

/// From one rack to the next, in a machine fed without a gap.
struct Turn<'a> {
    water: &'a Water,
    /// From one rack to the next, s.
    headway_s: f64,
    /// From its entry until a rack leaves for the final rinse, s.
    washes_s: f64,
    /// Final rinse in a turn, s: from `washes_s` on in a hood, all the time in a conveyor.
    rinses_s: f64,
}

/// The lowest temperatures, °C.
#[derive(Clone)]
struct Lowest {
    /// In the order of the water.
    tanks_c: Vec<f64>,
    rinse_c: f64,
}

impl<'a> Turn<'a> {
    fn of(water: &'a Water, on_sheet: &MachineFigures, under_rinse_s: f64) -> Self {
        let headway_s = on_sheet.headway_s;
        let (washes_s, rinses_s) = if on_sheet.conveyor {
            (water.rinse.from.s(), headway_s)
        } else {
            let rinses_s = under_rinse_s.min(on_sheet.transit_s);
            (on_sheet.transit_s - rinses_s, rinses_s)
        };
        Self {
            water,
            headway_s,
            washes_s,
            rinses_s,
        }
    }

    fn rinse_set_c(&self) -> f64 {
        let rinse = &self.water.rinse;
        let booster = rinse.booster;
        booster.map_or(rinse.supply_c, |(_, of)| of.set_c.max(rinse.supply_c))
    }

    /// The lowest of each while a rack of so much heat is inside.
    fn lowest(&self, rack_j_per_k: f64, gap: Gap) -> Lowest {
        let set_c: Vec<f64> = self
            .water
            .tanks
            .iter()
            .map(|tank| self.ready_c(tank))
            .collect();
        let mut now = Lowest {
            rinse_c: self.rinse_set_c(),
            tanks_c: set_c.clone(),
        };
        let mut mean_c = now.rinse_c;
        let turns = if gap == Gap::None { RACKS } else { 1 };
        let mut found = now.clone();
        for _ in 0..turns {
            let came_c = now.tanks_c.clone();
            self.cool(&mut now.tanks_c, rack_j_per_k);
            // A rack looks at each tank as it comes and as it leaves it; with no gap others have come meanwhile.
            let since_s = match gap {
                Gap::Long => self.washes_s,
                Gap::None => self.since_the_last_s(),
            };
            let rinse = self.rinse(gap, &mut mean_c);
            let left_c = self.after(&now.tanks_c, since_s, gap, rinse);
            now.tanks_c = self.after(&now.tanks_c, self.headway_s, gap, rinse);
            let looked_at = came_c.into_iter().zip(left_c);
            for (found_c, (came_c, left_c)) in found.tanks_c.iter_mut().zip(looked_at) {
                *found_c = found_c.min(came_c).min(left_c);
            }
            found.rinse_c = found.rinse_c.min(rinse.lowest_c);
        }
        found
    }

    /// How long ago another rack came in when one leaves its wash, with no gap. At the same moment it leaves first.
    fn since_the_last_s(&self) -> f64 {
        const SAME_MOMENT_S: f64 = 1e-6;
        let since_s = self.washes_s % self.headway_s;
        if since_s < SAME_MOMENT_S || self.headway_s - since_s < SAME_MOMENT_S {
            self.headway_s
        } else {
            since_s
        }
    }

    fn ready_c(&self, tank: &Tank) -> f64 {
        tank.ready_c(self.water.rinse.supply_c)
    }

    /// A rack becomes as warm as each tank that it meets, one after the other.
    fn cool(&self, tanks_c: &mut [f64], rack_j_per_k: f64) {
        let mut ware_c = self.water.room_c;
        let pairs = self.water.tanks.iter().zip(tanks_c);
        for (tank, at_c) in pairs.rev() {
            *at_c = mixed_c(tank.lump.capacity_j_per_k, *at_c, rack_j_per_k, ware_c, 1.0);
            ware_c = *at_c;
        }
    }

    /// The final rinse of a rack, from a booster whose water is so warm in the mean.
    fn rinse(&self, gap: Gap, mean_c: &mut f64) -> Rinsed {
        let rinse = &self.water.rinse;
        let Some((lump, thermostat)) = rinse.booster else {
            return Rinsed {
                lowest_c: rinse.supply_c,
                mean_c: rinse.supply_c,
            };
        };
        let load = |flow_kg_per_s| Load {
            room_c: self.water.room_c,
            flow_kg_per_s,
            inlet_c: rinse.supply_c,
        };
        let held = rinse.hold(
            lump,
            load(rinse.flow_kg_per_s),
            thermostat,
            *mean_c,
            self.rinses_s,
        );
        let flowed_j_per_k = rinse.flow_kg_per_s * self.rinses_s * WATER_J_PER_KG_K;
        let warmed_k = if flowed_j_per_k > 0.0 {
            held.carried_j / flowed_j_per_k
        } else {
            0.0
        };
        let still_s = self.headway_s - self.rinses_s;
        if gap == Gap::None {
            let heated = rinse.hold(lump, load(0.0), thermostat, held.temperature_c, still_s);
            *mean_c = heated.temperature_c;
        }
        Rinsed {
            lowest_c: held.lowest_c,
            mean_c: rinse.supply_c + warmed_k,
        }
    }

    /// Tanks some time after a rack came in, fed by the final rinse.
    fn after(&self, tanks_c: &[f64], dt_s: f64, gap: Gap, rinse: Rinsed) -> Vec<f64> {
        let water = self.water;
        // Alone, a rack is not under the rinse before it has left; a hood rinses after its wash.
        let is_conveyor = self.rinses_s == self.headway_s;
        let (wet_from_s, flow_kg_per_s) = match gap {
            _ if water.rinse.always => (0.0, water.rinse.flow_kg_per_s),
            Gap::Long => (f64::INFINITY, 0.0),
            Gap::None if is_conveyor => (0.0, water.rinse.flow_kg_per_s),
            Gap::None => (self.washes_s, water.rinse.flow_kg_per_s),
        };
        let dry_s = dt_s.min(wet_from_s);
        let wet_s = (dt_s - dry_s).min(self.rinses_s);
        let still_s = dt_s - dry_s - wet_s;
        let mut now_c = tanks_c.to_vec();
        for (lasts_s, flow_kg_per_s) in [(dry_s, 0.0), (wet_s, flow_kg_per_s), (still_s, 0.0)] {
            if lasts_s <= 0.0 {
                continue;
            }
            let mut inlet_c = rinse.mean_c;
            for (tank, at_c) in water.tanks.iter().zip(&mut now_c) {
                let load = Load {
                    room_c: water.room_c,
                    flow_kg_per_s,
                    inlet_c,
                };
                let held = tank.lump.hold(load, tank.thermostat, *at_c, lasts_s);
                *at_c = held.temperature_c;
                if flow_kg_per_s > 0.0 {
                    inlet_c += held.carried_j / (flow_kg_per_s * lasts_s * WATER_J_PER_KG_K);
                }
            }
        }
        now_c
    }
}

/// The final rinse of one rack, °C.
#[derive(Clone, Copy)]
struct Rinsed {
    lowest_c: f64,
    mean_c: f64,
}
