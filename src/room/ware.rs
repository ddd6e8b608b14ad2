//! Ware, soil and racks, ready to run.

use crate::physics::air;
use crate::physics::drying;
use crate::physics::washing::Wash;
use crate::room::law::{Law, RandomTime};
use crate::scenario::model::{self, Air, Scenario, SoakPolicy, Surface};

/// Steps of the table of film thicknesses: enough that no measure differs from the law.
const FILM_STEPS: u32 = 1024;

/// A kind of ware.
#[derive(Debug, Clone)]
pub struct Ware {
    /// Name.
    pub name: String,
    /// Index of its rack kind.
    pub rack_kind: usize,
    /// Whether it is washed by hand, at the pot sink, and needs no rack.
    pub at_pot_sink: bool,
    /// Whether it is sorted into decoy racks as it comes.
    pub is_sorted: bool,
    /// Share of a rack that one piece takes; 0 at the pot sink.
    pub rack_share: f64,
    /// Pieces owned; `None` if the stock never runs out.
    pub owned: Option<u32>,
    /// Whether it is soaked.
    pub soak: SoakPolicy,
    /// Seconds a piece: scrape.
    pub scrape_s: f64,
    /// Pre-rinse.
    pub pre_rinse_s: f64,
    /// Seconds to scrub a piece at the pot sink.
    pub scrub_s: f64,
    /// Seconds to put a piece into a rack.
    pub load_s: f64,
    /// Of a piece in a decoy rack: its part of the carrying, beyond what a rack takes that is filled here.
    pub decoy_s: f64,
    /// Unload and inspect by hand.
    pub unload_s: f64,
    /// Inspect.
    pub inspect_s: f64,
    /// Whether it goes to the store in its rack.
    pub stored_in_rack: bool,
    /// What a piece adds to the unloading of a rack as it is as a rule: a rack that is carried to the store takes its
    /// own time instead of that of the station.
    pub leaves_rack_s: f64,
    /// Seconds to put a piece into its place in the store.
    pub put_away_s: f64,
}

/// A kind of soil, in the air of this room.
#[derive(Debug, Clone)]
pub struct Soil {
    /// Name.
    pub name: String,
    /// Dimensionless drying time a second, for the mean film.
    pub drying_per_s: f64,
    /// Variation of the film from piece to piece.
    pub film: Law,
    /// Critical moisture, share of the start.
    pub critical_moisture: f64,
    /// Time constant of soaking, s.
    pub soak_time_constant_s: f64,
    /// How it washes.
    pub wash: Wash,
}

/// How fast a film dries on where ware stands, over a film in the open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dries {
    /// On the tables.
    pub on_tables: f64,
    /// On a trip and in the tubs of the drop-off.
    pub in_tubs: f64,
    /// In a full rack.
    pub in_racks: f64,
}

impl Dries {
    /// In the open: at a bench, and on the tables between them.
    pub const IN_THE_OPEN: f64 = 1.0;

    pub(super) const fn of(air: &Air) -> Self {
        Self {
            on_tables: air.on_tables,
            in_tubs: air.in_tubs,
            in_racks: air.in_racks,
        }
    }
}

/// A kind of rack.
#[derive(Debug, Clone)]
pub struct RackKind {
    /// Name.
    pub name: String,
    /// Racks of this kind that are owned.
    pub fleet: u32,
    /// Length along the conveyor, m.
    pub footprint_m: f64,
    /// How full it is loaded, 1 = as rated.
    pub fill: f64,
    /// Fill from which it may leave without waiting for more.
    pub enough: f64,
    /// Part-full when its oldest piece has waited this long.
    pub wait_at_most: crate::room::time::Time,
    /// To carry one to the store, where it stays there with its ware.
    pub stored: Option<RandomTime>,
}

/// Wares of a scenario, in its order.
#[must_use]
pub fn wares(scenario: &Scenario) -> Vec<Ware> {
    let kind_of = |name: &str| scenario.rack.iter().position(|rack| rack.name == name);
    let inspected = scenario.inspect.is_some();
    let loading = scenario.loading.as_ref();
    let decoys = &scenario.drop_off.decoy_racks;
    let is_sorted = |ware: &model::Ware| {
        loading.is_some() && !ware.is_for_pot_sink() && decoys.contains(&ware.rack_kind)
    };
    let carry_s =
        scenario.drop_off.decoy_takes_s - loading.map_or(0.0, |loading| loading.per_unit.mean_s);
    let per_unit_s = (scenario.unload.as_ref()).map_or(0.0, |unload| unload.per_unit.mean_s);
    let wares = scenario.ware.iter().map(|ware| {
        let kind = kind_of(&ware.rack_kind);
        let share = 1.0 / f64::from(ware.per_rack.max(1));
        let inspect_s = if inspected { ware.inspect_s } else { 0.0 };
        let unload_s = ware.unload_s + inspect_s;
        let stored = kind.map(|kind| &scenario.rack[kind]);
        let stored = stored.filter(|rack| rack.stored_in_rack && !ware.is_for_pot_sink());
        Ware {
            name: ware.name.clone(),
            rack_kind: kind.unwrap_or(0),
            at_pot_sink: ware.is_for_pot_sink() && scenario.pot_sink.is_some(),
            is_sorted: is_sorted(ware),
            decoy_s: carry_s * share,
            rack_share: if ware.is_for_pot_sink() { 0.0 } else { share },
            owned: ware.owned,
            soak: ware.soak,
            scrape_s: ware.scrape_s,
            pre_rinse_s: ware.pre_rinse_s,
            scrub_s: ware.scrub_s,
            load_s: ware.load_s,
            unload_s,
            inspect_s,
            stored_in_rack: stored.is_some(),
            leaves_rack_s: stored.map_or(unload_s, |rack| {
                inspect_s + (rack.carry.mean_s - per_unit_s) * share / rack.fill
            }),
            put_away_s: ware.put_away_s,
        }
    });
    wares.collect()
}

/// Soils of a scenario, in its order.
#[must_use]
pub fn soils(scenario: &Scenario) -> Vec<Soil> {
    let rate = evaporation_kg_per_s_m2(&scenario.air);
    scenario
        .soil
        .iter()
        .map(|soil| Soil {
            name: soil.name.clone(),
            drying_per_s: drying::film_rate_per_s(rate, soil.film_m),
            film: Law::lognormal_table(soil.film_cv, FILM_STEPS),
            critical_moisture: soil.critical_moisture,
            soak_time_constant_s: soil.soak_time_constant_s,
            wash: Wash::new(soil.dirty_when_fresh, soil.dirty_when_dried),
        })
        .collect()
}

/// Racks of a scenario, in its order.
#[must_use]
pub fn rack_kinds(scenario: &Scenario) -> Vec<RackKind> {
    scenario
        .rack
        .iter()
        .map(|rack| RackKind {
            name: rack.name.clone(),
            fleet: rack.fleet,
            footprint_m: rack.footprint_m,
            fill: rack.fill,
            enough: rack.fill * rack.full_enough,
            wait_at_most: crate::room::time::Time::from_s(rack.wait_at_most_s),
            stored: rack.stored_in_rack.then(|| RandomTime::of(&rack.carry)),
        })
        .collect()
}

/// Evaporation from a wet film in this air, kg/s m2.
#[must_use]
pub fn evaporation_kg_per_s_m2(air: &Air) -> f64 {
    let surface_c = match air.surface {
        Surface::Air => air.temperature_c,
        Surface::WetBulb => air::wet_bulb_c(air.temperature_c, air.humidity),
    };
    let rate = air::evaporation_kg_per_s_m2(
        surface_c,
        air.temperature_c,
        air.humidity,
        air.speed_m_per_s,
    );
    rate * air.drying_multiplier
}
