//! The air of the room, and how fast it takes water from a wet surface.
//!
//! In: temperatures in °C, relative humidity from 0 to 1, air speed in m/s. Out: pressures in Pa,
//! the wet-bulb temperature in °C, the evaporation rate in kg of water a second and square metre.
//!
//! Sources: saturation pressure by Buck (1996), from memory, within 0.06 % of IAPWS-IF97 from 10 to
//! 82 °C; wet bulb by the psychrometric equation of the ASHRAE Handbook, Fundamentals (from memory);
//! evaporation by the equation of the ASHRAE Handbook, HVAC Applications, for pools, after Carrier.
//!
//! Published rates for the film of a piece of ware in a room differ threefold, 0.06 to
//! 0.21 kg/(h m²), mostly between a film at air temperature and one at wet bulb. That is why the
//! surface temperature is an input here and a multiplier is one in the scenario.

/// Pressure of the air, Pa: the standard atmosphere at sea level.
pub const STANDARD_PRESSURE_PA: f64 = 101_325.0;

/// Ratio of the molar masses of water and dry air.
const MOLAR_MASS_RATIO: f64 = 0.621_945;

/// Saturation pressure of water vapour over water, Pa (Buck 1996).
///
/// Meant for 0 to 100 °C.
///
/// ```
/// # use scullery::physics::air::saturation_pressure_pa;
/// assert!((saturation_pressure_pa(20.0) - 2338.34).abs() < 0.005);
/// ```
#[inline]
#[must_use]
pub fn saturation_pressure_pa(t_c: f64) -> f64 {
    611.21 * libm::exp((18.678 - t_c / 234.5) * t_c / (257.14 + t_c))
}

/// Latent heat of evaporation of water, kJ/kg.
///
/// A cubic through the steam tables (from memory), within 0.5 kJ/kg of them from 0 to 90 °C.
#[inline]
#[must_use]
pub fn latent_heat_kj_per_kg(t_c: f64) -> f64 {
    2500.9 - 2.366 * t_c - 7.0e-6 * t_c * t_c * t_c
}

/// Wet-bulb temperature at sea level, °C.
///
/// Solves the psychrometric equation (ASHRAE Handbook, Fundamentals, from memory) by bisection with a
/// fixed number of steps, so the answer has the same bits everywhere. Saturated air gives its own
/// temperature.
#[must_use]
pub fn wet_bulb_c(t_c: f64, relative_humidity: f64) -> f64 {
    if relative_humidity >= 1.0 {
        return t_c;
    }
    let ratio = humidity_ratio(relative_humidity.max(0.0) * saturation_pressure_pa(t_c));
    let (mut low_c, mut high_c) = (t_c - 80.0, t_c);
    for _ in 0..64 {
        let middle_c = 0.5 * (low_c + high_c);
        if humidity_ratio_at_wet_bulb(t_c, middle_c) < ratio {
            low_c = middle_c;
        } else {
            high_c = middle_c;
        }
    }
    0.5 * (low_c + high_c)
}

/// Water carried by a kilogram of dry air, kg, at this vapour pressure.
fn humidity_ratio(vapour_pressure_pa: f64) -> f64 {
    MOLAR_MASS_RATIO * vapour_pressure_pa / (STANDARD_PRESSURE_PA - vapour_pressure_pa)
}

/// Water carried by a kilogram of dry air whose wet bulb reads `wet_c`, kg.
fn humidity_ratio_at_wet_bulb(t_c: f64, wet_c: f64) -> f64 {
    let saturated = humidity_ratio(saturation_pressure_pa(wet_c));
    ((2501.0 - 2.326 * wet_c) * saturated - 1.006 * (t_c - wet_c))
        / (2501.0 + 1.86 * t_c - 4.186 * wet_c)
}

/// The two constants of Carrier's equation in SI units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carrier {
    /// In still air, kW/(m² kPa).
    pub still: f64,
    /// Added for each m/s of air speed, kW/(m² kPa).
    pub per_m_per_s: f64,
}

impl Carrier {
    /// As the ASHRAE Handbook, HVAC Applications, prints them (from memory): what the simulation uses.
    pub const HANDBOOK: Self = Self {
        still: 0.089,
        per_m_per_s: 0.0782,
    };
    /// As an engineer's worksheet carries them, one more digit.
    pub const WORKSHEET: Self = Self {
        still: 0.0887,
        per_m_per_s: 0.07815,
    };

    /// Evaporation in kg/(s m²) that a difference of vapour pressures in kPa drives.
    ///
    /// `latent_heat_kj_per_kg` is that of water at the temperature of the surface. Zero, never negative,
    /// when the difference is not positive.
    #[inline]
    #[must_use]
    pub fn rate_kg_per_s_m2(
        self,
        pressure_difference_kpa: f64,
        air_speed_m_per_s: f64,
        latent_heat_kj_per_kg: f64,
    ) -> f64 {
        let coefficient = self.still + self.per_m_per_s * air_speed_m_per_s.max(0.0);
        coefficient * pressure_difference_kpa.max(0.0) / latent_heat_kj_per_kg
    }
}

/// Evaporation from a wet surface at `surface_c` into the air of the room, kg/(s m²).
///
/// ASHRAE Handbook, HVAC Applications, evaporation from pools, after Carrier. Zero when the air holds
/// at least as much vapour as the surface would give it. Measured still pools give 74 % of it
/// (Smith et al., ASHRAE Transactions 104(1A), 1998).
///
/// ```
/// # use scullery::physics::air::evaporation_kg_per_s_m2;
/// let kg_per_h_m2 = 3600.0 * evaporation_kg_per_s_m2(24.0, 24.0, 0.5, 0.1);
/// assert!((kg_per_h_m2 - 0.213).abs() < 0.0005);
/// ```
#[must_use]
pub fn evaporation_kg_per_s_m2(
    surface_c: f64,
    air_c: f64,
    relative_humidity: f64,
    air_speed_m_per_s: f64,
) -> f64 {
    let surface_pa = saturation_pressure_pa(surface_c);
    let air_pa = relative_humidity * saturation_pressure_pa(air_c);
    let difference_kpa = (surface_pa - air_pa) / 1000.0;
    Carrier::HANDBOOK.rate_kg_per_s_m2(
        difference_kpa,
        air_speed_m_per_s,
        latent_heat_kj_per_kg(surface_c),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn water_boils_at_a_hundred_degrees() {
        let error = saturation_pressure_pa(100.0) / STANDARD_PRESSURE_PA - 1.0;
        assert!(error.abs() < 0.001, "{error}");
    }

    #[test]
    fn saturated_air_has_the_same_wet_bulb_and_takes_nothing() {
        assert_eq!(wet_bulb_c(24.0, 1.0), 24.0);
        assert_eq!(evaporation_kg_per_s_m2(24.0, 24.0, 1.0, 0.5), 0.0);
    }

    #[test]
    fn a_cold_surface_in_damp_air_loses_nothing() {
        assert_eq!(evaporation_kg_per_s_m2(10.0, 26.0, 0.6, 0.1), 0.0);
    }
}
