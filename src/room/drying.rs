//! How long rinsed ware takes to dry on the landing of a machine: from what it is made of, how hot the last water was, and
//! the air.
//!
//! Worked out once, from set points: what the water really is on an evening does not change it. All of it is assumption
//! where [`hot_ware`](crate::physics::hot_ware) needs to know more of a piece than what it is made of.

use crate::physics::air::saturation_pressure_pa;
use crate::physics::hot_ware::{Around, Wet};
use crate::room::time::Time;
use crate::scenario::model::{
    Air, Machine, MachineKind, Material, PotSink, Scenario, Ware, ZoneKind,
};

/// Nobody waits for longer, s: what is not dry by then is taken as dry.
const LONGEST_S: f64 = 14_400.0;
/// Water that a rinse with rinse aid leaves, kg/m²: 0.05 mm. Assumption, no source.
const LEFT_WITH_AID_KG_PER_M2: f64 = 0.05;
/// And without.
const LEFT_KG_PER_M2: f64 = 0.1;
/// Air of a blow-dry zone, m/s. Assumption, no source.
const BLOWN_M_PER_S: f64 = 10.0;
/// Last water of a hood that says nothing of its water, °C: 180 °F, the least of a hot-water rinse.
const HOOD_C: f64 = 82.2;

/// A wall of a material, wet on both sides.
struct Wall {
    /// kg/m³, from memory.
    density: f64,
    /// Thickness, m: assumption, no source.
    thickness_m: f64,
    /// kJ/(kg K), from memory.
    heat_kj_per_kg_k: f64,
}

const fn wall(material: Material) -> Wall {
    let (density, thickness_m, heat_kj_per_kg_k) = match material {
        Material::China => (2_400.0, 0.005, 0.8),
        Material::Glass => (2_500.0, 0.003, 0.84),
        Material::Metal => (7_900.0, 0.0015, 0.5),
        Material::Plastic => (905.0, 0.002, 1.9),
    };
    Wall {
        density,
        thickness_m,
        heat_kj_per_kg_k,
    }
}

impl Wall {
    /// Heat of a square metre of wet surface, J/(m² K).
    fn heat_j_per_m2_k(&self) -> f64 {
        1_000.0 * self.heat_kj_per_kg_k * self.density * self.thickness_m / 2.0
    }
}

/// The last water of a machine and the air behind it.
struct Leaves {
    wet: Wet,
    /// The air of a blow-dry zone, and how long a rack is in it, s.
    blown: Option<(Around, f64)>,
    room: Around,
}

impl Leaves {
    fn of(machine: &Machine, air: &Air) -> Self {
        let room = around(air);
        let (temperature_c, has_aid, blown) = match &machine.kind {
            MachineKind::Hood { water, .. } => {
                let rinse = water.and_then(|water| {
                    let set = water.rinse.and_then(|rinse| rinse.temperature_c);
                    set.or_else(|| water.rinse.map(|_| water.supply_c))
                        .or_else(|| water.tank.map(|tank| tank.temperature_c))
                });
                let has_aid = water.is_none_or(|water| water.rinse_aid_l_per_l > 0.0);
                (rinse.unwrap_or(HOOD_C), has_aid, None)
            }
            MachineKind::RackConveyor {
                zones,
                speed_m_per_s,
                supply_c,
                booster,
                rinse_aid_l_per_l,
                ..
            } => {
                let last = zones.iter().rfind(|zone| zone.kind.is_wet());
                let is_heated = |kind| kind != ZoneKind::FinalRinse || booster.is_some();
                let set = last.filter(|zone| is_heated(zone.kind));
                let set = set.and_then(|zone| zone.temperature_c);
                let dry = zones.iter().filter(|zone| zone.kind == ZoneKind::BlowDry);
                let blown_m: f64 = dry.clone().map(|zone| zone.length_m).sum();
                let hot_c = dry.filter_map(|zone| zone.temperature_c).reduce(f64::max);
                let blown = (blown_m > 0.0).then(|| (blown(room, hot_c), blown_m / speed_m_per_s));
                (set.unwrap_or(*supply_c), *rinse_aid_l_per_l > 0.0, blown)
            }
        };
        let water_kg_per_m2 = if has_aid {
            LEFT_WITH_AID_KG_PER_M2
        } else {
            LEFT_KG_PER_M2
        };
        let wet = Wet {
            temperature_c,
            water_kg_per_m2,
        };
        Self { wet, blown, room }
    }

    /// Time on the landing until it is dry, s.
    fn dries_s(&self, material: Material) -> f64 {
        let heat = wall(material).heat_j_per_m2_k();
        let landed = self
            .blown
            .map_or(self.wet, |(around, s)| self.wet.dry(heat, around, s).left);
        landed.dry(heat, self.room, LONGEST_S).took_s
    }
}

/// The air of the room, blown and as hot as its zone makes it; it holds as much water as before.
fn blown(room: Around, hot_c: Option<f64>) -> Around {
    let air_c = hot_c.unwrap_or(room.air_c);
    let held = room.humidity * saturation_pressure_pa(room.air_c);
    Around {
        air_c,
        humidity: held / saturation_pressure_pa(air_c),
        speed_m_per_s: BLOWN_M_PER_S,
    }
}

/// Time until it is dry on the drainboard of a pot sink, by ware. Nothing is known of a rinse aid there.
pub(super) fn on_drainboard(sink: &PotSink, scenario: &Scenario) -> Vec<Time> {
    let leaves = Leaves {
        wet: Wet {
            temperature_c: sink.sanitises_at_c(),
            water_kg_per_m2: LEFT_KG_PER_M2,
        },
        blown: None,
        room: around(&scenario.air),
    };
    let of = |ware: &Ware| {
        let worked_out = || ware.material.map(|material| leaves.dries_s(material));
        Time::from_s((ware.dries_in_s.or_else(worked_out)).unwrap_or(sink.dries_in_s))
    };
    scenario.ware.iter().map(of).collect()
}

const fn around(air: &Air) -> Around {
    Around {
        air_c: air.temperature_c,
        humidity: air.humidity,
        speed_m_per_s: air.speed_m_per_s,
    }
}

/// Time until it is dry on a landing, by ware; none of what nothing is known of, and no list if that is all.
pub(super) fn dry_after(machine: &Machine, scenario: &Scenario) -> Vec<Option<Time>> {
    let is_known = |ware: &Ware| ware.material.is_some() || ware.dries_in_s.is_some();
    if !scenario.ware.iter().any(is_known) {
        return Vec::new();
    }
    let leaves = Leaves::of(machine, &scenario.air);
    let of = |ware: &Ware| {
        let worked_out = || ware.material.map(|material| leaves.dries_s(material));
        ware.dries_in_s.or_else(worked_out).map(Time::from_s)
    };
    scenario.ware.iter().map(of).collect()
}
