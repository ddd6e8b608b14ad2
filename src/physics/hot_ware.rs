//! How rinsed ware dries: by its own heat at first, then as slowly as the air of the room takes water.
//!
//! A piece leaves the rinse hot and wet. Its water evaporates as from a free surface and takes its latent heat out of the
//! piece, which cools; the air warms or cools it besides. China, glass and metal hold enough heat to dry in minutes. Plastic
//! holds little: it comes to the wet bulb of the room wet, and stays wet for long.
//!
//! In: temperatures in °C, relative humidity from 0 to 1, air speed in m/s, heat capacities in J/K and water in kg, both for
//! each square metre of wet surface. Out: seconds, and what is left.
//!
//! Sources: evaporation as in [`air`](super::air), after Carrier. The same coefficient carries heat, by the psychrometric
//! constant, 66.5 Pa/K at sea level (from memory), so ware that waits long enough comes to the wet bulb. Radiation is left
//! out: a rack of ware sees like ware.

use super::air::{Carrier, latent_heat_kj_per_kg, saturation_pressure_pa};

/// The psychrometric constant at sea level, kPa/K.
const PSYCHROMETRIC_KPA_PER_K: f64 = 0.0665;
/// A step is this share of the time in which a surface follows the air, and at most
const STEP_SHARE: f64 = 0.1;
/// so long, s.
const LONGEST_STEP_S: f64 = 1.0;

/// Air around ware that dries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Around {
    /// Its temperature, °C.
    pub air_c: f64,
    /// Relative humidity.
    pub humidity: f64,
    /// How fast it passes, m/s.
    pub speed_m_per_s: f64,
}

/// A piece with water on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wet {
    /// Its temperature, °C.
    pub temperature_c: f64,
    /// Water on a square metre, kg: as many as millimetres.
    pub water_kg_per_m2: f64,
}

/// A stretch of drying.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dried {
    /// What is left.
    pub left: Wet,
    /// How long it took, s.
    pub took_s: f64,
    /// Heat that the water took with it, J/m².
    pub latent_j_per_m2: f64,
    /// Heat that the air gave, J/m²; below 0 where it took some.
    pub from_air_j_per_m2: f64,
}

impl Dried {
    /// Whether no water is left.
    #[must_use]
    pub const fn is_dry(&self) -> bool {
        self.left.water_kg_per_m2 <= 0.0
    }
}

impl Wet {
    /// Dries a piece of so much heat capacity until no water is left, or for so long at most.
    ///
    /// ```
    /// # use scullery::physics::hot_ware::{Around, Wet};
    /// // China of 4.8 kJ/(m² K) behind a rinse of 82 °C, with 0.1 mm of water: some 5 minutes.
    /// let room = Around { air_c: 24.0, humidity: 0.5, speed_m_per_s: 0.1 };
    /// let plate = Wet { temperature_c: 82.0, water_kg_per_m2: 0.1 };
    /// let dried = plate.dry(4_800.0, room, 3_600.0);
    /// assert!(dried.is_dry() && (dried.took_s / 60.0 - 5.0).abs() < 0.5);
    /// ```
    #[must_use]
    pub fn dry(self, heat_j_per_m2_k: f64, around: Around, at_most_s: f64) -> Dried {
        let heat = heat_j_per_m2_k.max(1.0);
        let carries =
            Carrier::HANDBOOK.still + Carrier::HANDBOOK.per_m_per_s * around.speed_m_per_s.max(0.0);
        let air_kpa = around.humidity * kpa(around.air_c);
        let mut done = Dried {
            left: self,
            took_s: 0.0,
            latent_j_per_m2: 0.0,
            from_air_j_per_m2: 0.0,
        };
        while !done.is_dry() && done.took_s < at_most_s {
            let at_c = done.left.temperature_c;
            let steeper = kpa(at_c + 0.5) - kpa(at_c - 0.5);
            let follows_s = heat / (1_000.0 * carries * (steeper + PSYCHROMETRIC_KPA_PER_K));
            let mut step_s = (STEP_SHARE * follows_s).min(LONGEST_STEP_S);
            step_s = step_s.min(at_most_s - done.took_s);
            let latent_j_per_kg = 1_000.0 * latent_heat_kj_per_kg(at_c);
            let given_w = 1_000.0 * carries * (kpa(at_c) - air_kpa).max(0.0);
            let water = done.left.water_kg_per_m2;
            let whole_s = water * latent_j_per_kg / given_w;
            let is_last = whole_s <= step_s;
            if is_last {
                step_s = whole_s;
            }
            let from_air = 1_000.0 * carries * PSYCHROMETRIC_KPA_PER_K * (around.air_c - at_c);
            let (latent, from_air) = (given_w * step_s, from_air * step_s);
            done.left.water_kg_per_m2 = if is_last {
                0.0
            } else {
                water - latent / latent_j_per_kg
            };
            done.left.temperature_c += (from_air - latent) / heat;
            done.took_s += step_s;
            done.latent_j_per_m2 += latent;
            done.from_air_j_per_m2 += from_air;
        }
        done
    }
}

/// Saturation pressure of water vapour, kPa.
fn kpa(c: f64) -> f64 {
    saturation_pressure_pa(c) / 1_000.0
}

#[cfg(test)]
mod tests {
    use super::super::air::wet_bulb_c;
    use super::*;

    const ROOM: Around = Around {
        air_c: 24.0,
        humidity: 0.5,
        speed_m_per_s: 0.1,
    };
    const CHINA: f64 = 4_800.0;
    const PLASTIC: f64 = 1_700.0;

    fn wet(temperature_c: f64, mm: f64) -> Wet {
        Wet {
            temperature_c,
            water_kg_per_m2: mm,
        }
    }

    /// A surface that stays at 71 °C in air of 26 °C and 60 % loses 4.6 kg/(h m²), so 0.1 mm in 1.3 min: Carrier's
    /// equation by hand.
    #[test]
    fn with_heat_without_end_it_dries_at_the_rate_of_its_temperature() {
        let room = Around {
            air_c: 26.0,
            humidity: 0.6,
            ..ROOM
        };
        let dried = wet(71.0, 0.1).dry(1e12, room, 3_600.0);
        assert!((dried.took_s / 60.0 - 1.3).abs() < 0.05, "{dried:?}");
        assert!(
            (0.1 / dried.took_s * 3_600.0 - 4.6).abs() < 0.05,
            "{dried:?}"
        );
    }

    /// "A few minutes" until hot ware is dry (MIL-HDBK-740, p. 45); some five for hot racks.
    #[test]
    fn hot_china_is_dry_in_minutes_and_plastic_is_not() {
        let minutes = |heat, mm| wet(82.0, mm).dry(heat, ROOM, 14_400.0).took_s / 60.0;
        assert!((0.5..2.0).contains(&minutes(CHINA, 0.05)));
        assert!((4.0..6.0).contains(&minutes(CHINA, 0.1)));
        assert!(minutes(PLASTIC, 0.1) > 5.0 * minutes(CHINA, 0.1));
    }

    /// What is wet for long comes to the wet bulb, and heat is neither made nor lost on the way.
    #[test]
    fn in_the_end_it_is_at_the_wet_bulb_and_the_books_of_heat_balance() {
        let dried = wet(60.0, 5.0).dry(PLASTIC, ROOM, 7_200.0);
        assert!(!dried.is_dry() && dried.took_s == 7_200.0);
        let bulb = wet_bulb_c(24.0, 0.5);
        assert!((dried.left.temperature_c - bulb).abs() < 0.5, "{dried:?}");
        let stored = PLASTIC * (dried.left.temperature_c - 60.0);
        let books = dried.from_air_j_per_m2 - dried.latent_j_per_m2;
        assert!((stored - books).abs() < 1e-6 * dried.latent_j_per_m2);
        // All water that is gone took its heat along.
        let gone = 5.0 - dried.left.water_kg_per_m2;
        assert!((dried.latent_j_per_m2 / gone / 2.45e6 - 1.0).abs() < 0.02);
    }

    #[test]
    fn hotter_drier_and_faster_air_dries_sooner_and_saturated_air_never() {
        let took = |wet: Wet, room| wet.dry(CHINA, room, 14_400.0).took_s;
        let plate = wet(70.0, 0.1);
        assert!(took(wet(82.0, 0.1), ROOM) < took(plate, ROOM));
        assert!(took(wet(70.0, 0.05), ROOM) < took(plate, ROOM));
        let fan = Around {
            speed_m_per_s: 10.0,
            ..ROOM
        };
        assert!(took(plate, fan) < 0.5 * took(plate, ROOM));
        let damp = Around {
            humidity: 1.0,
            ..ROOM
        };
        let cold = wet(20.0, 0.1).dry(CHINA, damp, 600.0);
        assert!(!cold.is_dry() && cold.left.water_kg_per_m2 == 0.1);
    }

    #[test]
    fn half_the_step_says_the_same() {
        // Two stretches are one: where the first ends the second goes on.
        let whole = wet(75.0, 0.08).dry(CHINA, ROOM, 3_600.0);
        let first = wet(75.0, 0.08).dry(CHINA, ROOM, 20.3);
        let second = first.left.dry(CHINA, ROOM, 3_600.0);
        let sum = first.took_s + second.took_s;
        assert!((sum / whole.took_s - 1.0).abs() < 0.01, "{sum} {whole:?}");
    }
}
