//! Soil, ware, racks, and the air they dry in.

use serde::{Deserialize, Serialize};

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
