//! Drying, wetting, washing and conveying: pure functions.
//!
//! What goes in: numbers in SI units, named with their unit. What comes out: a number. Nothing here
//! reads a file, a clock or a random stream, so every function can be checked by hand against its
//! source, which its own docstring names. Transcendental functions come from `libm`, so that the same
//! inputs give the same bits on every platform.
//!
//! The life of a piece, in the order of the modules: the [`air`] takes water from its film, the film
//! [dries](drying), pre-rinse and soak [wet](wetting) it again, the machine [washes](washing) it while
//! the [`conveyor`] carries it through; [hot and rinsed](hot_ware) it dries on the landing. Tanks that fill at once share
//! [one flow](sharing).
//!
//! ```
//! use scullery::physics::{air, drying, washing::Wash};
//!
//! // A plate soiled 25 minutes ago, in a room at 24 °C and half saturated, with a film of 0.1 mm.
//! let rate = air::evaporation_kg_per_s_m2(24.0, 24.0, 0.5, 0.1);
//! let theta = 25.0 * 60.0 * drying::film_rate_per_s(rate, 1e-4);
//! assert!(drying::is_dried_on(theta, 0.4));
//!
//! // 2 in 100 come out dirty when fresh, 50 in 100 when dried on.
//! let risk = Wash::new(0.02, 0.5).dirty_probability(drying::dryness(theta, 0.4), 1.0);
//! assert!(risk > 0.3 && risk < 0.5);
//! ```

pub mod air;
pub mod conveyor;
pub mod dilution;
pub mod drying;
pub mod heat;
pub mod hot_ware;
pub mod limits;
pub mod sharing;
pub mod washing;
pub mod wetting;
