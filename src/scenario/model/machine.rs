//! Dish machines: what conveyor and hood share, zones, water.

use super::keys::{keys, words};
use super::{Places, Position, TimeDistribution};
use crate::scenario::field::{
    COMMON, CORNER, FLOW, INVENTED, Kind, Unset, above, length, may, minutes, need, places,
    quantity, row, seconds, varying_s, within,
};
use crate::scenario::units::Dimension;

const LANDING: &str = "Minnesota Department of Health, plan-review letters 2000 to 2014: 3 racks (60 in) behind hot-water machines, 5 (100 in) behind chemical ones";
const DRAIN: &str = "common practice, no source; cooler ware dries slower, in the proportion of the landings that plan review asks for";
const LANE: &str = "an equipment dealer's guide: a feed area of at least one rack";
const LOAD_TIME: &str =
    "calculation note of the NSF/ANSI 3 listings: 5 s for a straight-through door machine";
const CONTACT: &str = "a conveyor without `speed`: 90 s, single-tank practice after DIN 10511 and 10512 (a trade lexicon, 2023)";

const FILL: &str =
    "common practice, no source: a machine of this class fills in four to five minutes";
const LEVEL: &str =
    "common practice, no source: a wash tank under two-thirds full does not wash properly";
const IDLE: &str = "ENERGY STAR 2.0 for a conveyor with one tank, from memory: 1.5 kW idle";
const HOOD_IDLE: &str = "ENERGY STAR 2.0 for a door machine, from memory: 0.7 kW idle";
const RINSE: &str = "EPA WaterSense at Work 2012, p. 143: rinse only with a rack present";
const SUPPLY: &str = "ASTM F1696-96, definition of a booster: 140 °F to 180 °F";
/// Heaters, pumps, boosters.
const POWER: Kind = Kind::Quantity(quantity(Dimension::Power, "kW", above(0.0, 500.0)));
/// Detergent and the like.
const DOSE: Kind = Kind::Quantity(quantity(Dimension::Dose, "g/L", within(0.0, 50.0)));
/// Water in a machine.
const WATER: Kind = Kind::Quantity(quantity(Dimension::Temperature, "°C", within(5.0, 99.0)));

/// A dish machine.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Machine {
    /// Name.
    pub name: String,
    /// Room for filled racks before it.
    pub lane: Places,
    /// Kinds of racks that it takes; empty: all.
    pub racks: Vec<String>,
    /// Room for washed racks after it; at least one.
    pub landing: Places,
    /// Time a rack drains on the landing before it may be unloaded, s.
    #[serde(rename = "drain")]
    pub drain_s: f64,
    /// Where it is unloaded.
    pub position: Position,
    /// Where racks for it are filled, if it has a place of its own.
    pub loading: Option<Position>,
    /// Where what it washed is put away, if it has a place of its own.
    pub store: Option<Position>,
    /// Contact time of a normal wash, s: longer washes better, shorter worse.
    #[serde(rename = "contact_time")]
    pub contact_time_s: f64,
    /// Further multiplier of the wash (1 = normal).
    pub wash_factor: f64,
    /// What makes the ware safe.
    pub sanitising: Sanitising,
    /// What it is.
    pub kind: MachineKind,
}

words! {
    /// What makes the ware safe.
    pub enum Sanitising {
        /// The heat of the final rinse.
        HotWater = "hot-water",
        /// A chemical in the final rinse.
        Chemical = "chemical",
    }
}

words! {
    /// What a zone of a tunnel does.
    pub enum ZoneKind {
        /// Rinses coarse soil off before the wash.
        PreWash = "pre-wash",
        /// Washes with detergent.
        Wash = "wash",
        /// Rinses with pumped water.
        Rinse = "rinse",
        /// Rinses with fresh water: the last water on the ware.
        FinalRinse = "final-rinse",
        /// Dries with air.
        BlowDry = "blow-dry",
    }
}

impl ZoneKind {
    /// Whether water washes the ware there.
    #[must_use]
    pub const fn is_wet(self) -> bool {
        !matches!(self, Self::BlowDry)
    }
}

keys! {
    /// A zone of a tunnel.
    pub struct Zone at "machine[].zones[]." {
        name: String = need("name", "name of the zone", Kind::Name),
        kind: ZoneKind = need("kind", "what it does", Kind::Choice(ZoneKind::WORDS)),
        length_m: f64 = need("length", "its length", length("m", 0.05, 30.0)),
        contact_time_s: Option<f64> = may("contact_time", "contact time that it has to keep", seconds(1.0, 3_600.0)),
        temperature_c: Option<f64> = may("temperature", "set point of its water", WATER),
        minimum_c: Option<f64> = may("minimum", "temperature that its water has to keep", WATER),
        tank_l: Option<f64> = may("tank", "water in its tank; left out, it has none", Kind::Quantity(quantity(Dimension::Volume, "L", above(0.0, 2_000.0)))),
        catches: f64 = row("catches", "share of the soil of the racks that stays in the tank of a pre-wash; the rest is carried on to the wash", Kind::Share(within(0.0, 1.0)), Unset::Number(0.7), "assumption, no source"),
        heater_w: Option<f64> = may("heater", "power that heats its tank; left out, only what flows in does, and it starts as warm as its supply", POWER),
        idle_loss_w: f64 = row("idle_loss", "heat that its tank loses to the room at its set point", Kind::Quantity(quantity(Dimension::Power, "kW", within(0.0, 50.0))), Unset::Text("1.5 kW"), IDLE),
        pump_w: Option<f64> = may("pump", "power of its pump, or of its fan; left out, it is not counted", POWER),
        flow_l_per_s: Option<f64> = may("flow", "fresh water of a final rinse; it overflows through the tanks before it", FLOW),
    }
}

words! {
    /// When the final rinse runs.
    pub enum RinseRuns {
        /// Only while a rack passes.
        WithRack = "with-rack",
        /// Always with the pumps.
        Always = "always",
    }
}

words! {
    /// What happens when a rack comes to a wash or a final rinse below its minimum.
    pub enum WhenCold {
        /// It is washed and rinsed all the same, and counted.
        Count = "count",
        /// The belt is held until tank or booster is back at its set point; the cycle of a hood goes on that long.
        Hold = "hold",
    }
}

keys! {
    /// When the water of the tanks is changed, and how long that takes.
    pub struct WaterChange at "machine[].water_change." {
        every_s: Option<f64> = may("every", "time from the last change, or from the start, to the next, whether racks come or not", minutes(1.0, 1_440.0)),
        at_soil_g_per_l: Option<f64> = may("at_soil", "when the water that racks meet first has so much soil, that of the last rack included", Kind::Quantity(quantity(Dimension::Dose, "g/L", above(0.0, 1_000.0)))),
        by_hand: Option<TimeDistribution> = may("by_hand", "hands-on time before the tanks are drained, by somebody with the duty `tend`. Racks are washed until it is over, and nobody begins after closing. Left out, it takes nobody", varying_s(0.0, 7_200.0)),
        drain_s: f64 = row("drain", "time to drain the tanks", minutes(0.0, 120.0), Unset::Text("3 min"), COMMON),
        flow_l_per_s: f64 = row("flow", "of the water that fills it", FLOW, Unset::Text("18 L/min"), FILL),
    }
}

words! {
    /// How the hot water of a booster comes.
    pub enum HotWater {
        /// Mixed with the cold water that flows in.
        Stirred = "stirred",
        /// Pushed out ahead of it.
        Displaced = "displaced",
    }
}

keys! {
    /// What heats the final rinse.
    #[derive(Copy)]
    pub struct Booster at "machine[].booster." {
        power_w: f64 = need("power", "its power", POWER),
        holds_l: f64 = row("holds", "water in it", Kind::Quantity(quantity(Dimension::Volume, "L", above(0.0, 500.0))), Unset::Text("20 L"), INVENTED),
        hot_water: HotWater = row("hot_water", "how its hot water comes: stirred with the cold water that flows in, or displaced by it, so that all of it is hot", Kind::Choice(HotWater::WORDS), Unset::Text("stirred"), "the colder of the two"),
        idle_loss_w: f64 = row("idle_loss", "heat that it loses to the room at its set point", Kind::Quantity(quantity(Dimension::Power, "kW", within(0.0, 50.0))), Unset::Text("0 kW"), "nothing: it is metered apart (ASTM F1920, scope), and no figure was at hand"),
    }
}

keys! {
    /// The final rinse of a hood, at the end of each cycle.
    #[derive(Copy)]
    pub struct HoodRinse at "machine[].rinse." {
        water_l: f64 = need("water", "fresh water per cycle", Kind::Quantity(quantity(Dimension::Volume, "L", above(0.0, 50.0)))),
        time_s: f64 = row("time", "how long it runs, at the end of the cycle", seconds(1.0, 600.0), Unset::Text("10 s"), COMMON),
        temperature_c: Option<f64> = may("temperature", "set point of its water", WATER),
        minimum_c: Option<f64> = may("minimum", "temperature that its water has to keep", WATER),
    }
}

keys! {
    /// The tank of a hood.
    #[derive(Copy)]
    pub struct HoodTank at "machine[].tank." {
        holds_l: f64 = need("holds", "water in it", Kind::Quantity(quantity(Dimension::Volume, "L", above(0.0, 500.0)))),
        temperature_c: f64 = need("temperature", "set point of its water", WATER),
        minimum_c: Option<f64> = may("minimum", "temperature that its water has to keep", WATER),
        heater_w: Option<f64> = may("heater", "power that heats it; left out, only the rinse does, and it starts as warm as its supply", POWER),
        idle_loss_w: f64 = row("idle_loss", "heat that it loses to the room at its set point", Kind::Quantity(quantity(Dimension::Power, "kW", within(0.0, 50.0))), Unset::Text("700 W"), HOOD_IDLE),
        pump_w: Option<f64> = may("pump", "power of its pump, which runs as long as the cycle; left out, it is not counted", POWER),
    }
}

/// Water of a hood.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct HoodWater {
    /// Its final rinse: without it a scenario is refused.
    pub rinse: Option<HoodRinse>,
    /// Its tank.
    pub tank: Option<HoodTank>,
    /// What heats the final rinse.
    pub booster: Option<Booster>,
    /// Temperature of the fresh water, °C.
    #[serde(rename = "supply")]
    pub supply_c: f64,
    /// Detergent that a litre of fresh water is given, g/L.
    #[serde(rename = "detergent")]
    pub detergent_g_per_l: f64,
    /// Rinse aid that a litre of final rinse is given, L/L.
    #[serde(rename = "rinse_aid")]
    pub rinse_aid_l_per_l: f64,
    /// Soil in its water at which it washes half as well, g/L.
    #[serde(rename = "soil_halves_wash")]
    pub soil_halves_wash_g_per_l: Option<f64>,
    /// How much colder than its set point its water is where it washes half as well, K.
    #[serde(rename = "cold_halves_wash")]
    pub cold_halves_wash_k: Option<f64>,
    /// What happens when wash or final rinse is too cold.
    pub when_cold: WhenCold,
}

/// The two kinds of machine.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MachineKind {
    /// Racks ride a conveyor through a tunnel.
    RackConveyor {
        /// Length of the tunnel, all zones together, m.
        #[serde(rename = "tunnel")]
        tunnel_m: f64,
        /// Its zones, in the order in which racks meet them; without any, all of it is one wash.
        zones: Vec<Zone>,
        /// Belt speed, m/s; if the file left it out, the fastest that keeps every contact time.
        #[serde(rename = "speed")]
        speed_m_per_s: f64,
        /// Pumps stop after this long without a rack, s.
        #[serde(rename = "idle_after")]
        idle_after_s: Option<f64>,
        /// Time to start again from idle, s.
        #[serde(rename = "restart")]
        restart_s: f64,
        /// When the final rinse runs.
        rinse_runs: RinseRuns,
        /// What happens when wash or final rinse is too cold.
        when_cold: WhenCold,
        /// What heats the final rinse; without it, it comes as it is supplied.
        booster: Option<Booster>,
        /// Temperature of the fresh water, °C.
        #[serde(rename = "supply")]
        supply_c: f64,
        /// Detergent that a litre of fresh water is given, g/L.
        #[serde(rename = "detergent")]
        detergent_g_per_l: f64,
        /// Rinse aid that a litre of final rinse is given, L/L.
        #[serde(rename = "rinse_aid")]
        rinse_aid_l_per_l: f64,
        /// Soil in the water of the wash at which it washes half as well, g/L.
        #[serde(rename = "soil_halves_wash")]
        soil_halves_wash_g_per_l: Option<f64>,
        /// How much colder than its set point the wash is where it washes half as well, K.
        #[serde(rename = "cold_halves_wash")]
        cold_halves_wash_k: Option<f64>,
        /// When its water is changed.
        water_change: Option<WaterChange>,
        /// Time within which its water is to be changed, s.
        #[serde(rename = "change_water_within")]
        change_water_within_s: Option<f64>,
        /// Share of the water of its tanks below which their heat is cut and the wash is poor.
        least_level: f64,
    },
    /// One rack per cycle under a hood.
    Hood {
        /// Washing and rinsing, hood shut.
        cycle: TimeDistribution,
        /// To change racks and shut the hood, s.
        #[serde(rename = "load_time")]
        load_time_s: f64,
        /// Whether changing racks needs an operator with the duty `hood`.
        attended: bool,
        /// Where the operator stands.
        position: Position,
        /// Its water, as far as the file says.
        water: Option<HoodWater>,
        /// When that of its tank is changed.
        water_change: Option<WaterChange>,
        /// Time within which it is to be changed, s.
        change_water_within_s: Option<f64>,
    },
}

words! {
    /// The word for the kind of a machine.
    pub(super) enum Word {
        /// Racks ride a conveyor through a tunnel.
        RackConveyor = "rack-conveyor",
        /// One rack per cycle under a hood.
        Hood = "hood",
    }
}

keys! {
    /// A machine as a file has it: the keys of both kinds side by side.
    pub(super) struct Written at "machine[]." {
        name: String = need("name", "name of the machine", Kind::Name),
        kind: Word = need("kind", "what it is: racks ride through a tunnel, or one rack a cycle under a hood", Kind::Choice(Word::WORDS)),
        lane: Places = row("lane", "room for filled racks before it: how many, or a length", places(0, 1_000), Unset::Whole(1), LANE),
        racks: Vec<String> = row("racks", "kinds of racks that it takes, such as those of a glass washer or of a second machine for pots", Kind::References("rack"), Unset::Empty, "all"),
        landing: Option<Places> = row("landing", "room for washed racks after it: how many, or a length", places(1, 1_000), Unset::Worked("60 in after hot water, 100 in after a chemical"), LANDING),
        drain_s: Option<f64> = row("drain", "time a rack drains on the landing before it may be unloaded", seconds(0.0, 3_600.0), Unset::Worked("30 s after hot water, 50 s after a chemical"), DRAIN),
        position: Position = row("position", "where it is unloaded", Kind::Position, Unset::Empty, CORNER),
        loading: Option<Position> = may("loading", "where racks for it are filled, at as many stations as [loading] has, and they go to it alone; left out, they are filled at the position of [loading]. Of several machines that take a kind of rack, it is filled for the first that the loader looks after", Kind::Position),
        store: Option<Position> = may("store", "where what it washed is put away, such as the shelf of a bar; left out, at the position of [put_away]. It is the same stock", Kind::Position),
        contact_time_s: Option<f64> = row("contact_time", "contact time of a normal wash: longer washes better, shorter worse", seconds(1.0, 3_600.0), Unset::Worked("the contact times of its zones together; without any, time in the wet zones; of a hood, its mean cycle; of a conveyor without `speed`, 90 s"), CONTACT),
        wash_factor: f64 = row("wash_factor", "further multiplier of the wash, 1 = normal", Kind::Number(above(0.0, 10.0)), Unset::Number(1.0), "a normal wash"),
        sanitising: Sanitising = row("sanitising", "what makes the ware safe: the heat of the final rinse, or a chemical in it", Kind::Choice(Sanitising::WORDS), Unset::Text("hot-water"), COMMON),
        tunnel_m: f64 = need("tunnel", "length of the tunnel, all zones together", length("m", 0.1, 30.0)).only("rack-conveyor"),
        speed_m_per_s: Option<f64> = row("speed", "belt speed", Kind::Quantity(quantity(Dimension::Speed, "m/min", within(0.05, 5.0))), Unset::Worked("the fastest that keeps every contact time"), "most: EN 14957 is for conveyors up to 5 m/min").only("rack-conveyor"),
        idle_after_s: Option<f64> = may("idle_after", "pumps stop after this long without a rack; left out, they run on", seconds(0.0, 86_400.0)).only("rack-conveyor"),
        restart_s: f64 = row("restart", "time to start again from idle", seconds(0.0, 3_600.0), Unset::Text("5 s"), INVENTED).only("rack-conveyor"),
        zones: Vec<Zone> = row("zones", "zones of the tunnel, in the order in which racks meet them (a variant adds new ones at the end); left out, all of it is one wash", Kind::Rows(true, 12), Unset::Empty, "one wash").only("rack-conveyor"),
        rinse_runs: RinseRuns = row("rinse_runs", "when the final rinse runs: only while a rack passes, or always with the pumps", Kind::Choice(RinseRuns::WORDS), Unset::Text("with-rack"), RINSE).only("rack-conveyor"),
        when_cold: WhenCold = row("when_cold", "what happens when a rack comes to a wash or a final rinse below its minimum: it is counted, or the belt is held until tank or booster is back at its set point. A hood goes on washing that long. Either may still fall below while a rack is inside. A fault that keeps it cold is seen a minute later, an assumption", Kind::Choice(WhenCold::WORDS), Unset::Text("count"), COMMON),
        booster: Option<Booster> = may("booster", "what heats the final rinse to its set point; left out, it comes as it is supplied", Kind::Table),
        supply_c: f64 = row("supply", "temperature of the fresh water that it is supplied with", WATER, Unset::Text("140 °F"), SUPPLY),
        detergent_g_per_l: f64 = row("detergent", "detergent that a litre of fresh water is given; a conveyor without a tank takes none", DOSE, Unset::Text("2 g/L"), COMMON),
        rinse_aid_l_per_l: f64 = row("rinse_aid", "rinse aid that a litre of final rinse is given", Kind::Quantity(quantity(Dimension::Part, "mL/L", within(0.0, 10.0))), Unset::Text("0.3 mL/L"), COMMON),
        soil_halves_wash_g_per_l: Option<f64> = may("soil_halves_wash", "soil in the water of the wash at which it washes half as well; left out, dirty water washes as clean water", Kind::Quantity(quantity(Dimension::Dose, "g/L", above(0.0, 1_000.0)))),
        cold_halves_wash_k: Option<f64> = may("cold_halves_wash", "how much colder than its set point the water of the wash is where it washes half as well; left out, its temperature does not matter", Kind::Quantity(quantity(Dimension::Warmth, "K", above(0.0, 100.0)))),
        water_change: Option<WaterChange> = may("water_change", "when its tanks are emptied and refilled. From when it is due no rack enters, and it begins once those inside are out, or at once in a lull. After closing it is done only for a rack that wants to enter", Kind::Table),
        change_water_within_s: Option<f64> = may("change_water_within", "time within which its water is to be changed, as the code, the data plate or the house asks: racks that enter in older water are counted, and a study has a target of its own. It changes nothing itself", minutes(1.0, 1_440.0)),
        least_level: f64 = row("least_level", "share of the water of its tanks below which their heat is cut and the wash is poor, in proportion", Kind::Number(above(0.0, 1.0)), Unset::Number(0.67), LEVEL).only("rack-conveyor"),
        cycle: TimeDistribution = need("cycle", "washing and rinsing, hood shut; it lasts at least as long as the rinse", varying_s(1.0, 3_600.0)).only("hood"),
        load_time_s: f64 = row("load_time", "to change racks and shut the hood", seconds(0.0, 600.0), Unset::Text("5 s"), LOAD_TIME).only("hood"),
        rinse: Option<HoodRinse> = may("rinse", "final rinse of a hood, at the end of each cycle; left out, its water is not counted", Kind::Table).only("hood"),
        tank: Option<HoodTank> = may("tank", "tank of a hood; left out, each cycle has only its fresh water", Kind::Table).only("hood"),
        attended: bool = row("attended", "whether changing racks needs an operator with the duty `hood`", Kind::Flag, Unset::Flag(true), COMMON).only("hood"),
        operator_position: Position = row("operator_position", "where the operator of the hood stands", Kind::Position, Unset::Empty, CORNER).only("hood"),
    }
}

/// Contact time of a conveyor that gives neither speed nor contact time, s.
const CONTACT_S: f64 = 90.0;
/// Landing and drain of a machine that rinses with hot water, m and s.
const AFTER_HOT_WATER: (f64, f64) = (1.524, 30.0);
/// The same after a chemical: the ware is cooler and dries slower.
const AFTER_A_CHEMICAL: (f64, f64) = (2.54, 50.0);

impl Machine {
    /// Whether it takes racks of a kind.
    #[must_use]
    pub fn takes(&self, rack: &str) -> bool {
        self.racks.is_empty() || self.racks.iter().any(|name| name == rack)
    }
}

impl From<Written> for Machine {
    fn from(written: Written) -> Self {
        let (landing_m, drain_s) = match written.sanitising {
            Sanitising::HotWater => AFTER_HOT_WATER,
            Sanitising::Chemical => AFTER_A_CHEMICAL,
        };
        let (contact_time_s, kind) = match written.kind {
            Word::RackConveyor => written.conveyor(),
            Word::Hood => written.hood(),
        };
        Self {
            name: written.name,
            lane: written.lane,
            racks: written.racks,
            landing: written.landing.unwrap_or(Places::LengthM(landing_m)),
            drain_s: written.drain_s.unwrap_or(drain_s),
            position: written.position,
            loading: written.loading,
            store: written.store,
            contact_time_s,
            wash_factor: written.wash_factor,
            sanitising: written.sanitising,
            kind,
        }
    }
}

impl Written {
    fn conveyor(&self) -> (f64, MachineKind) {
        let (speed_m_per_s, contact_s) = self.speed_and_contact();
        let kind = MachineKind::RackConveyor {
            tunnel_m: self.tunnel_m,
            zones: self.zones.clone(),
            speed_m_per_s,
            idle_after_s: self.idle_after_s,
            restart_s: self.restart_s,
            rinse_runs: self.rinse_runs,
            when_cold: self.when_cold,
            booster: self.booster,
            supply_c: self.supply_c,
            detergent_g_per_l: self.detergent_g_per_l,
            rinse_aid_l_per_l: self.rinse_aid_l_per_l,
            soil_halves_wash_g_per_l: self.soil_halves_wash_g_per_l,
            cold_halves_wash_k: self.cold_halves_wash_k,
            water_change: self.water_change.clone(),
            change_water_within_s: self.change_water_within_s,
            least_level: self.least_level,
        };
        (contact_s, kind)
    }

    fn hood(&self) -> (f64, MachineKind) {
        let has_water = self.rinse.is_some() || self.tank.is_some() || self.booster.is_some();
        let water = HoodWater {
            rinse: self.rinse,
            tank: self.tank,
            booster: self.booster,
            supply_c: self.supply_c,
            detergent_g_per_l: self.detergent_g_per_l,
            rinse_aid_l_per_l: self.rinse_aid_l_per_l,
            soil_halves_wash_g_per_l: self.soil_halves_wash_g_per_l,
            cold_halves_wash_k: self.cold_halves_wash_k,
            when_cold: self.when_cold,
        };
        let kind = MachineKind::Hood {
            cycle: self.cycle.clone(),
            load_time_s: self.load_time_s,
            attended: self.attended,
            position: self.operator_position,
            water: has_water.then_some(water),
            water_change: self.water_change.clone(),
            change_water_within_s: self.change_water_within_s,
        };
        (self.contact_time_s.unwrap_or(self.cycle.mean_s), kind)
    }

    /// Belt speed, m/s, and contact time of a normal wash, s. What is given stands; the speed is otherwise
    /// the fastest that keeps the contact time of every zone and that of the whole.
    fn speed_and_contact(&self) -> (f64, f64) {
        let wet_m = if self.zones.is_empty() {
            self.tunnel_m
        } else {
            let wet = self.zones.iter().filter(|zone| zone.kind.is_wet());
            wet.map(|zone| zone.length_m).sum()
        };
        let needed = self.zones.iter().filter_map(|zone| zone.contact_time_s);
        let together = (needed.clone().count() > 0).then(|| needed.sum::<f64>());
        let contact_s = self.contact_time_s.or(together);
        let speed_m_per_s = self.speed_m_per_s.unwrap_or_else(|| {
            let whole = wet_m / contact_s.unwrap_or(CONTACT_S);
            let of_zone = |zone: &Zone| Some(zone.length_m / zone.contact_time_s?);
            self.zones.iter().filter_map(of_zone).fold(whole, f64::min)
        });
        (speed_m_per_s, contact_s.unwrap_or(wet_m / speed_m_per_s))
    }
}
