//! What a scenario says, after reading, merging and checking: plain values in SI units.
//!
//! Every field here is a row of the table in [`super::fields`] (what it is, unit, least, most,
//! default, source); the names in the file are the `serde` names below. Times of day are seconds after
//! midnight of the opening day (so 01:30 after a 23:00 closing is 91 800). A part that the scenario
//! leaves out is `None` or an empty list: that stage does not exist in the room. The stations stand here;
//! the rest in a file each.

mod crew;
mod demand;
mod machine;
mod task;
mod ware;

pub use crew::*;
pub use demand::*;
pub use machine::*;
pub use task::*;
pub use ware::*;

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
    /// What is done before the machines may wash, in the order in which it is taken up.
    pub set_up: Vec<Task>,
    /// What is done after the last rack, in the order in which it is taken up.
    pub close_down: Vec<Task>,
    /// What goes wrong with the machines.
    pub fault: Vec<Fault>,
    /// The crew.
    pub roster: Vec<RosterRow>,
    /// What things cost; without it nothing is reckoned in money.
    pub prices: Option<Prices>,
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
