//! What a scenario says, after reading, merging and checking: plain values in SI units.
//!
//! Every field here is a row of the table in [`super::fields`] (what it is, unit, least, most,
//! default, source); the names in the file are the `serde` names below. Times of day are seconds after
//! midnight of the opening day (so 01:30 after a 23:00 closing is 91 800). A part that the scenario
//! leaves out is `None` or an empty list: that stage does not exist in the room.

use serde::{Deserialize, Serialize};

/// A checked scenario.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scenario {
    /// One line that says what this evening is.
    pub title: String,
    /// Anything worth saying about it, for whoever reads the file; `check` prints it.
    pub note: String,
    /// Opening and closing.
    pub service: ServiceHours,
    /// Guests, if covers are counted.
    pub guests: Option<Guests>,
    /// What each cover uses, course by course.
    pub menu: Vec<MenuRow>,
    /// Soiled ware that reaches the drop-off by itself: kitchen pots, or a line where nobody counts covers.
    pub soiled: Vec<SoiledRow>,
    /// Soiled ware that reaches the drop-off as logged.
    pub soiled_log: Option<SoiledLog>,
    /// Soiled ware already standing at the drop-off when the dish room starts.
    pub backlog: Vec<BacklogRow>,
    /// Kinds of soil.
    pub soil: Vec<Soil>,
    /// Kinds of ware.
    pub ware: Vec<Ware>,
    /// Kinds of rack.
    pub rack: Vec<Rack>,
    /// Air of the room, for drying.
    pub air: Air,
    /// How soiled ware comes from the tables.
    pub clear_down: Option<ClearDown>,
    /// The soiled landing.
    pub drop_off: DropOff,
    /// Scraping.
    pub scrape: Option<Bench>,
    /// Pre-rinsing.
    pub pre_rinse: Option<PreRinse>,
    /// Soak sinks.
    pub soak: Option<Soak>,
    /// Racking: stations, and the table before them.
    pub loading: Option<Loading>,
    /// Dish machines, side by side.
    pub machine: Vec<Machine>,
    /// Unloading of the clean landings.
    pub unload: Option<Unload>,
    /// Inspection while unloading.
    pub inspect: Option<Inspect>,
    /// Carrying clean ware to the store.
    pub put_away: Option<PutAway>,
    /// Walking between stations; without it nobody walks.
    pub walking: Option<Walking>,
    /// The crew.
    pub roster: Vec<RosterRow>,
    /// What things cost; without it nothing is reckoned in money.
    pub prices: Option<Prices>,
}

/// Opening and closing of the service.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ServiceHours {
    /// Time of day, s.
    #[serde(rename = "opens")]
    pub opens_s: f64,
    /// Time of day, s; later than `opens_s`, past midnight if need be.
    #[serde(rename = "closes")]
    pub closes_s: f64,
    /// A simulated evening that is not finished this long after closing ends there, s.
    #[serde(rename = "give_up_after")]
    pub give_up_after_s: f64,
}

/// How things reach the room in time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Arrivals {
    /// A Poisson process.
    Random,
    /// Evenly spaced, the expected number rounded: nothing varies.
    Even,
}

/// How ware leaves the guests.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Style {
    /// Each course is cleared as it ends.
    Table,
    /// Everyone seated in one seating eats in step, and the whole room clears in one wave.
    Banquet,
    /// Guests keep their ware to the end of the meal and carry it to the drop-off themselves.
    Cafeteria,
}

/// Guests: a seating curve, or a till log.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Guests {
    /// Service style.
    pub style: Style,
    /// How parties arrive within a seating.
    pub arrivals: Arrivals,
    /// Expected covers by interval; empty with a log.
    pub seating: Vec<Seating>,
    /// Parties as the till logged them; empty with a seating curve.
    pub log: Vec<LoggedParty>,
    /// Party sizes and their weights.
    pub party_sizes: Vec<PartySize>,
    /// Time at the table of a party of one or two.
    pub dwell: TimeDistribution,
    /// Added to the mean dwell for each cover above two, s.
    #[serde(rename = "dwell_per_extra_cover")]
    pub dwell_per_extra_cover_s: f64,
}

/// Expected covers of one interval of the seating curve.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seating {
    /// Time of day, s.
    #[serde(rename = "from")]
    pub from_s: f64,
    /// Time of day, s; equal to `from_s` seats everyone at once.
    #[serde(rename = "to")]
    pub to_s: f64,
    /// Expected covers in the interval.
    pub covers: f64,
}

/// A party of the till log.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LoggedParty {
    /// Time of day, s.
    pub seated_at_s: f64,
    /// Covers of the party.
    pub covers: u32,
    /// Time of day, s, if logged; otherwise the dwell is drawn.
    pub left_at_s: Option<f64>,
}

/// A party size with its weight.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartySize {
    /// Covers of the party.
    pub covers: u32,
    /// Relative frequency; weights need not sum to one.
    pub weight: f64,
}

/// Named shape of a time with a given mean and coefficient of variation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// Always the mean.
    Fixed,
    /// Lognormal.
    Lognormal,
    /// Gamma.
    Gamma,
    /// Exponential; its coefficient of variation is 1.
    Exponential,
    /// Symmetric triangular; coefficient of variation up to 1/sqrt 6.
    Triangular,
    /// Uniform; coefficient of variation up to 1/sqrt 3.
    Uniform,
    /// Drawn from observations.
    Empirical,
}

/// A time with its variation.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TimeDistribution {
    /// Mean, s.
    #[serde(rename = "mean")]
    pub mean_s: f64,
    /// Coefficient of variation.
    pub cv: f64,
    /// Named shape.
    #[serde(rename = "distribution")]
    pub shape: Shape,
    /// Observed times, s, for [`Shape::Empirical`]; `mean_s` and `cv` are then theirs.
    #[serde(rename = "observations")]
    pub observations_s: Vec<f64>,
}

/// One use of ware by the guests.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MenuRow {
    /// Name of the row.
    pub name: String,
    /// Name of a ware.
    pub ware: String,
    /// Pieces per cover; a fraction is a share of the covers.
    pub per_cover: f64,
    /// Name of a soil.
    pub soil: String,
    /// Fraction of the dwell at which it is taken from the clean stock.
    pub laid: f64,
    /// Fraction of the dwell at which it is soiled and waits to be cleared.
    pub cleared: f64,
}

/// A stream of soiled ware.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoiledRow {
    /// Name of the row.
    pub name: String,
    /// Name of a ware.
    pub ware: String,
    /// Name of a soil.
    pub soil: String,
    /// Time of day, s.
    #[serde(rename = "from")]
    pub from_s: f64,
    /// Time of day, s.
    #[serde(rename = "to")]
    pub to_s: f64,
    /// Expected pieces in the interval.
    pub pieces: f64,
    /// Pieces that arrive together.
    pub at_a_time: u32,
    /// How they arrive.
    pub arrivals: Arrivals,
}

/// Soiled ware as logged at the drop-off.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoiledLog {
    /// Name of a soil.
    pub soil: String,
    /// Rows of the log, in time.
    pub rows: Vec<SoiledLogRow>,
}

/// A row of the soiled log.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoiledLogRow {
    /// Time of day, s.
    pub time_s: f64,
    /// Name of a ware.
    pub ware: String,
    /// Pieces that arrive together.
    pub pieces: u32,
}

/// Soiled ware that already stands there.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BacklogRow {
    /// Name of the row.
    pub name: String,
    /// Name of a ware.
    pub ware: String,
    /// Name of a soil.
    pub soil: String,
    /// Pieces.
    pub pieces: u32,
    /// How long ago it was soiled, s.
    #[serde(rename = "age")]
    pub age_s: f64,
}

/// A kind of soil.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Soil {
    /// Name.
    pub name: String,
    /// Mean thickness of the wet film, m.
    #[serde(rename = "film")]
    pub film_m: f64,
    /// Coefficient of variation of the film from piece to piece (lognormal).
    pub film_cv: f64,
    /// Moisture, as a share of the start, at which the constant rate ends: below it a piece is dried on.
    pub critical_moisture: f64,
    /// Time constant of soaking, s.
    #[serde(rename = "soak_time_constant")]
    pub soak_time_constant_s: f64,
    /// Soil on a piece as it is cleared, kg.
    #[serde(rename = "amount")]
    pub amount_kg: f64,
    /// Share still dirty after one normal wash when fresh.
    pub dirty_when_fresh: f64,
    /// Share still dirty after one normal wash when dried on.
    pub dirty_when_dried: f64,
}

/// Which ware is soaked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SoakPolicy {
    /// Never.
    Never,
    /// Always.
    Always,
    /// Only what has dried on when it is scraped.
    WhenDried,
}

/// A kind of ware.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ware {
    /// Name.
    pub name: String,
    /// Name of the rack kind it is washed in.
    #[serde(rename = "rack")]
    pub rack_kind: String,
    /// Pieces that fill one rack.
    pub per_rack: u32,
    /// Pieces owned (par); without it the stock never runs out and is not measured.
    pub owned: Option<u32>,
    /// Whether it is soaked.
    pub soak: SoakPolicy,
    /// Weight of a piece, kg.
    #[serde(rename = "weight")]
    pub weight_kg: f64,
    /// Seconds per piece to scrape, s.
    #[serde(rename = "scrape")]
    pub scrape_s: f64,
    /// To pre-rinse, s a piece.
    #[serde(rename = "pre_rinse")]
    pub pre_rinse_s: f64,
    /// To put into a rack, s a piece.
    #[serde(rename = "load")]
    pub load_s: f64,
    /// To take from a rack and stack, s a piece.
    #[serde(rename = "unload")]
    pub unload_s: f64,
    /// To inspect, s a piece.
    #[serde(rename = "inspect")]
    pub inspect_s: f64,
    /// To put into its place in the store, s a piece.
    #[serde(rename = "put_away")]
    pub put_away_s: f64,
}

/// A kind of rack.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rack {
    /// Name.
    pub name: String,
    /// Racks owned.
    pub fleet: u32,
    /// Length along the conveyor, m.
    #[serde(rename = "footprint")]
    pub footprint_m: f64,
    /// Weight of an empty rack, kg.
    #[serde(rename = "weight")]
    pub weight_kg: f64,
    /// How full it is loaded, 1 = as rated; above 1 is overloaded and washes worse.
    pub fill: f64,
    /// Share of `fill` from which a rack may leave without waiting for more.
    pub full_enough: f64,
    /// A rack leaves part-full when its oldest piece has waited this long, s.
    #[serde(rename = "wait_at_most")]
    pub wait_at_most_s: f64,
}

/// What temperature the wet film has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Surface {
    /// Air temperature: the fast end of the published range.
    Air,
    /// Wet-bulb temperature: the slow end.
    WetBulb,
}

/// Air around the waiting ware.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Air {
    /// Dry-bulb temperature, °C.
    #[serde(rename = "temperature")]
    pub temperature_c: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
    /// Air speed over the ware, m/s.
    #[serde(rename = "speed")]
    pub speed_m_per_s: f64,
    /// Surface temperature of the film.
    pub surface: Surface,
    /// Multiplier of the evaporation rate.
    pub drying_multiplier: f64,
}

/// Who brings soiled ware to the drop-off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Carrier {
    /// Operators of the roster with the duty `clear-down`.
    Crew,
    /// Floor staff outside the roster: each cleared course comes by itself after one trip.
    FloorStaff,
}

/// What a trip does when the drop-off is full.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WhenFull {
    /// Tubs are stood on the floor, and counted.
    Floor,
    /// The trip waits with its tubs.
    Wait,
}

/// Clear-down.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClearDown {
    /// Who carries.
    pub by: Carrier,
    /// Pieces a tub or cart holds.
    pub tub: u32,
    /// One trip from the tables to the drop-off; for the crew, there and back.
    pub trip: TimeDistribution,
    /// A crew trip starts when a tub is full or its oldest piece has waited this long, s.
    #[serde(rename = "wait_at_most")]
    pub wait_at_most_s: f64,
    /// What happens when the drop-off is full.
    pub when_full: WhenFull,
}

/// A place on the plan, m; walking is along the straight line between two.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Position {
    /// East, m.
    #[serde(rename = "x")]
    pub x_m: f64,
    /// North, m.
    #[serde(rename = "y")]
    pub y_m: f64,
}

/// Room for racks or tubs: counted, or as a length of table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Places {
    /// That many.
    Count(u32),
    /// As many as fit on this length, m.
    LengthM(f64),
}

/// The soiled landing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DropOff {
    /// Room for tubs; without it there is room for all.
    pub tubs: Option<Places>,
    /// Length one tub takes, m.
    #[serde(rename = "tub_length")]
    pub tub_length_m: f64,
    /// Where it stands.
    pub position: Position,
}

/// A bench where people scrape.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bench {
    /// How many may work there at once.
    pub places: u32,
    /// Time for each unit of work, besides the seconds per piece; its variation is that of the whole unit.
    pub per_unit: TimeDistribution,
    /// Pieces taken up at once, at most.
    pub batch: u32,
    /// Share of the soil that it takes away, 0 to 1.
    pub removes: f64,
    /// Where it stands.
    pub position: Position,
}

/// Unloading, at the landing of each machine; the unit is a rack.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unload {
    /// How many may do it at once.
    pub places: u32,
    /// As of [`Bench`].
    pub per_unit: TimeDistribution,
}

/// Pre-rinsing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PreRinse {
    /// How many may work there at once.
    pub places: u32,
    /// As of [`Bench`].
    pub per_unit: TimeDistribution,
    /// Pieces taken up at once, at most.
    pub batch: u32,
    /// Pieces the table before it holds; without it there is room for all.
    pub table: Option<u32>,
    /// Share of the dryness taken away, 0 to 1.
    pub wets: f64,
    /// Share of the soil that it takes away, 0 to 1.
    pub removes: f64,
    /// Water of the spray while somebody pre-rinses, L/s.
    #[serde(rename = "flow")]
    pub flow_l_per_s: Option<f64>,
    /// Where it stands.
    pub position: Position,
}

/// Soak sinks.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Soak {
    /// How many sinks.
    pub sinks: u32,
    /// Pieces one sink holds.
    pub holds: u32,
    /// Soak time, s.
    #[serde(rename = "time")]
    pub time_s: f64,
    /// Water that fills a sink each time, L.
    #[serde(rename = "water")]
    pub water_l: Option<f64>,
    /// To put in, s a piece.
    #[serde(rename = "put_in")]
    pub put_in_s: f64,
    /// To take out, s a piece.
    #[serde(rename = "take_out")]
    pub take_out_s: f64,
    /// As of [`Bench`].
    pub per_unit: TimeDistribution,
    /// Share of `holds` from which a sink is started.
    pub full_enough: f64,
    /// A sink is started part-full when its oldest piece has waited this long, s.
    #[serde(rename = "wait_at_most")]
    pub wait_at_most_s: f64,
    /// Where they stand.
    pub position: Position,
}

/// Racking.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Loading {
    /// Loading stations; each fills one rack at a time and keeps it until it has moved on.
    pub stations: u32,
    /// As of [`Bench`]; the unit is a rack.
    pub per_unit: TimeDistribution,
    /// Pieces the table before the stations holds; without it there is room for all.
    pub table: Option<u32>,
    /// Where they stand.
    pub position: Position,
}

/// A dish machine.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Machine {
    /// Name.
    pub name: String,
    /// Room for filled racks before it.
    pub lane: Places,
    /// Room for washed racks after it; at least one.
    pub landing: Places,
    /// Time a rack drains on the landing before it may be unloaded, s.
    #[serde(rename = "drain")]
    pub drain_s: f64,
    /// Where it is unloaded.
    pub position: Position,
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

/// What makes the ware safe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sanitising {
    /// The heat of the final rinse.
    HotWater,
    /// A chemical in the final rinse.
    Chemical,
}

/// What a zone of a tunnel does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ZoneKind {
    /// Rinses coarse soil off before the wash.
    PreWash,
    /// Washes with detergent.
    Wash,
    /// Rinses with pumped water.
    Rinse,
    /// Rinses with fresh water: the last water on the ware.
    FinalRinse,
    /// Dries with air.
    BlowDry,
}

impl ZoneKind {
    /// Whether water washes the ware there.
    #[must_use]
    pub const fn is_wet(self) -> bool {
        !matches!(self, Self::BlowDry)
    }

    /// The word of scenario files and reports.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::PreWash => "pre-wash",
            Self::Wash => "wash",
            Self::Rinse => "rinse",
            Self::FinalRinse => "final-rinse",
            Self::BlowDry => "blow-dry",
        }
    }
}

/// A zone of a tunnel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Zone {
    /// Name.
    pub name: String,
    /// What it does.
    pub kind: ZoneKind,
    /// Its length, m.
    #[serde(rename = "length")]
    pub length_m: f64,
    /// Contact time that it has to keep, s.
    #[serde(rename = "contact_time")]
    pub contact_time_s: Option<f64>,
    /// Set point of its water, °C.
    #[serde(rename = "temperature")]
    pub temperature_c: Option<f64>,
    /// Temperature that its water has to keep, °C.
    #[serde(rename = "minimum")]
    pub minimum_c: Option<f64>,
    /// Water in its tank, L.
    #[serde(rename = "tank")]
    pub tank_l: Option<f64>,
    /// Power that heats its tank, W.
    #[serde(rename = "heater")]
    pub heater_w: Option<f64>,
    /// Heat that its tank loses to the room at its set point, W.
    #[serde(rename = "idle_loss")]
    pub idle_loss_w: f64,
    /// Power of its pump or fan, W.
    #[serde(rename = "pump")]
    pub pump_w: Option<f64>,
    /// Fresh water of a final rinse, L/s.
    #[serde(rename = "flow")]
    pub flow_l_per_s: Option<f64>,
}

/// When the final rinse runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RinseRuns {
    /// Only while a rack passes.
    WithRack,
    /// Always with the pumps.
    Always,
}

/// What happens when a rack comes to a final rinse below its minimum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WhenCold {
    /// It is rinsed all the same, and counted.
    Count,
    /// The belt is held until the booster is back at its set point.
    Hold,
}

/// When the water of the tanks is changed, and how long that takes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WaterChange {
    /// So long after the last change, s.
    #[serde(rename = "every")]
    pub every_s: Option<f64>,
    /// When the first water has so much soil, g/L.
    #[serde(rename = "at_soil")]
    pub at_soil_g_per_l: Option<f64>,
    /// To let it run out, s.
    #[serde(rename = "drain")]
    pub drain_s: f64,
    /// Of the water that fills it, L/s.
    #[serde(rename = "flow")]
    pub flow_l_per_s: f64,
}

/// What heats the final rinse.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Booster {
    /// Its power, W.
    #[serde(rename = "power")]
    pub power_w: f64,
    /// Water in it, L.
    #[serde(rename = "holds")]
    pub holds_l: f64,
}

/// The two kinds of machine.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
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
        /// What happens when the final rinse is too cold.
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
        /// When its water is changed.
        water_change: Option<WaterChange>,
    },
    /// One rack a cycle under a hood.
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
    },
}

/// Inspection, by whoever unloads.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Inspect {
    /// Share of the dirty pieces that is caught and goes back.
    pub catches: f64,
}

/// Putting clean ware away.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PutAway {
    /// How many may do it at once.
    pub places: u32,
    /// As of [`Bench`]: the carrying, there and back.
    pub per_unit: TimeDistribution,
    /// Pieces carried at once, at most.
    pub batch: u32,
    /// A part batch is carried when its oldest piece has waited this long, s.
    #[serde(rename = "wait_at_most")]
    pub wait_at_most_s: f64,
    /// Where it starts.
    pub position: Position,
}

/// Walking.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Walking {
    /// Speed, m/s.
    #[serde(rename = "speed")]
    pub speed_m_per_s: f64,
}

/// A duty of the crew.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Duty {
    /// Carry soiled ware from the tables to the drop-off.
    ClearDown,
    /// Scrape.
    Scrape,
    /// Pre-rinse.
    PreRinse,
    /// Put into and take out of the soak.
    Soak,
    /// Fill racks.
    Load,
    /// Change racks at an attended hood.
    Hood,
    /// Unload and inspect.
    Unload,
    /// Carry clean ware to the store.
    PutAway,
}

impl Duty {
    /// All duties, in the order ware meets them.
    pub const ALL: [Self; 8] = [
        Self::ClearDown,
        Self::Scrape,
        Self::PreRinse,
        Self::Soak,
        Self::Load,
        Self::Hood,
        Self::Unload,
        Self::PutAway,
    ];

    /// Its bit in a set of duties.
    #[must_use]
    pub const fn bit(self) -> u8 {
        1 << self as u8
    }

    /// The word of scenario files and reports.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::ClearDown => "clear-down",
            Self::Scrape => "scrape",
            Self::PreRinse => "pre-rinse",
            Self::Soak => "soak",
            Self::Load => "load",
            Self::Hood => "hood",
            Self::Unload => "unload",
            Self::PutAway => "put-away",
        }
    }
}

/// A duty in somebody's list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DutyEntry {
    /// The duty.
    pub duty: Duty,
    /// Only once this much waits: racks to unload or for a hood, pieces of everything else (0: always).
    pub once_waiting: u32,
}

/// A break.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Break {
    /// Time of day, s.
    #[serde(rename = "from")]
    pub from_s: f64,
    /// Time of day, s.
    #[serde(rename = "to")]
    pub to_s: f64,
}

/// A row of the roster.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RosterRow {
    /// Role.
    pub name: String,
    /// How many.
    pub count: u32,
    /// Start of the shift, time of day, s.
    #[serde(rename = "from")]
    pub from_s: f64,
    /// End of the shift, time of day, s.
    #[serde(rename = "to")]
    pub to_s: f64,
    /// Whether they stay after the shift while the dish room is not finished (overtime).
    pub stays: bool,
    /// Breaks, in order; the people of a row take them together.
    pub breaks: Vec<Break>,
    /// Work rate: 1.1 does in 10 minutes what takes 11.
    pub pace: f64,
    /// Where they stand at first; without it, at the station of their first duty.
    pub home: Option<Duty>,
    /// What an hour of one of them costs, money; without it [`Prices::labour_per_h`].
    #[serde(rename = "wage")]
    pub wage_per_h: Option<f64>,
    /// Duties, the most preferred first.
    pub duties: Vec<DutyEntry>,
}

/// Prices, in money without a currency. What has none takes no part in the cost.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Prices {
    /// An hour paid, of whoever has no wage of their own.
    #[serde(rename = "labour")]
    pub labour_per_h: Option<f64>,
    /// How many times the wage an hour after the end of a shift costs.
    #[serde(rename = "overtime")]
    pub overtime_factor: f64,
    /// Fresh water.
    #[serde(rename = "water")]
    pub water_per_m3: Option<f64>,
    /// Used water.
    #[serde(rename = "sewer")]
    pub sewer_per_m3: Option<f64>,
    /// Energy.
    #[serde(rename = "energy")]
    pub energy_per_kwh: Option<f64>,
    /// Detergent.
    #[serde(rename = "detergent")]
    pub detergent_per_kg: Option<f64>,
    /// Rinse aid.
    #[serde(rename = "rinse_aid")]
    pub rinse_aid_per_l: Option<f64>,
}
