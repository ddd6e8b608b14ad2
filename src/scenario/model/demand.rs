//! Opening hours, guests and soiled ware.

use super::TimeDistribution;
use serde::{Deserialize, Serialize};

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
