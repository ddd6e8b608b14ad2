//! How a film of soil dries.
//!
//! A wet film loses water at the rate of a free water surface until its moisture has fallen to the
//! critical moisture, then ever more slowly as the moisture left (textbooks' constant-rate and
//! falling-rate periods, for instance Geankoplis, *Transport Processes*, ch. 9). Both periods have a
//! closed form, so nothing is stepped through time.
//!
//! In: *theta*, the dimensionless drying time E·t/m, with E the evaporation rate in kg/(s m²), t the
//! time in s and m the water of the fresh film in kg/m²; and the critical moisture Xc as a share of the
//! moisture at the start. Out: the dryness D, 0 when fresh, 1 when no water is left; D = 1 − moisture
//! over moisture at the start. Because theta adds up, a piece that dries in two places needs only the
//! sum, and one curve serves every film thickness.

/// Density of the film, kg/m³: that of water.
pub const FILM_DENSITY_KG_PER_M3: f64 = 1000.0;

/// Films are never taken thinner than this, m, so that a rate stays finite.
pub const MIN_FILM_M: f64 = 1e-9;

/// Moisture that [`theta_of`] takes for none, as a share of the start: half the last bit of a dryness
/// of 1. It caps theta at about 37.
pub const MIN_MOISTURE: f64 = f64::EPSILON / 4.0;

/// Theta that a film of this thickness gains in a second, 1/s.
///
/// ```
/// # use scullery::physics::drying::film_rate_per_s;
/// // 0.213 kg per hour and square metre takes 0.1 mm in 28 minutes.
/// let minutes = 1.0 / film_rate_per_s(0.213 / 3600.0, 1e-4) / 60.0;
/// assert!((minutes - 28.2).abs() < 0.05);
/// ```
#[inline]
#[must_use]
pub fn film_rate_per_s(evaporation_kg_per_s_m2: f64, film_m: f64) -> f64 {
    evaporation_kg_per_s_m2 / (film_m.max(MIN_FILM_M) * FILM_DENSITY_KG_PER_M3)
}

/// Dryness after the dimensionless time `theta`, 0 to 1.
///
/// D = theta up to 1 − Xc, then 1 − Xc exp(−(theta − (1 − Xc))/Xc): the slope does not break at the
/// joint. A critical moisture of 0 dries at the constant rate to the end.
///
/// ```
/// # use scullery::physics::drying::dryness;
/// assert_eq!(dryness(0.3, 0.4), 0.3);
/// assert!((dryness(1.065, 0.4) - 0.8749).abs() < 5e-5);
/// ```
#[inline]
#[must_use]
pub fn dryness(theta: f64, critical_moisture: f64) -> f64 {
    let joint = 1.0 - critical_moisture;
    if theta <= joint {
        theta.max(0.0)
    } else {
        1.0 - critical_moisture
            * libm::exp2((joint - theta) * std::f64::consts::LOG2_E / critical_moisture)
    }
}

/// The theta at which a film has this dryness: the inverse of [`dryness`].
///
/// A dryness of 1 would take for ever; it gives the theta at which [`MIN_MOISTURE`] is left, which is
/// finite, never above 38, and gives a dryness of 1 back.
///
/// ```
/// # use scullery::physics::drying::{dryness, theta_of};
/// let fully_dry = theta_of(1.0, 0.4);
/// assert!(fully_dry < 38.0);
/// assert_eq!(dryness(fully_dry, 0.4), 1.0);
/// ```
#[inline]
#[must_use]
pub fn theta_of(dryness: f64, critical_moisture: f64) -> f64 {
    let joint = 1.0 - critical_moisture;
    if dryness <= joint {
        return dryness.max(0.0);
    }
    let moisture = (1.0 - dryness).max(MIN_MOISTURE);
    joint - critical_moisture * libm::log(moisture / critical_moisture)
}

/// Whether the film has less than its critical moisture, so that its soil sticks: dried on.
#[inline]
#[must_use]
pub fn is_dried_on(theta: f64, critical_moisture: f64) -> bool {
    theta > 1.0 - critical_moisture
}

/// Time of the constant-rate period, s: t = Ls (X1 − X2)/R.
///
/// `solid_kg_per_m2` is dry solid Ls over drying area, moistures X are in kg of water a kg of dry
/// solid, R is the constant rate. Textbook form (Geankoplis, *Transport Processes*, sec. 9.6).
#[must_use]
pub fn constant_rate_s(
    solid_kg_per_m2: f64,
    from_moisture: f64,
    to_moisture: f64,
    rate_kg_per_s_m2: f64,
) -> f64 {
    solid_kg_per_m2 * (from_moisture - to_moisture).max(0.0) / rate_kg_per_s_m2
}

/// Time of the falling-rate period, s: t = Ls (Xc − Xe)/R ln((Xc − Xe)/(X2 − Xe)).
///
/// The rate falls in a straight line from R at the critical moisture Xc to nothing at the equilibrium
/// moisture Xe; X − Xe stands in place of X everywhere (Berk, *Food Process Engineering and
/// Technology*, eqs 22.17 to 22.19). Zero when nothing is to be lost; infinite when the moisture asked
/// for is not above the equilibrium, which is never reached.
#[must_use]
pub fn falling_rate_s(
    solid_kg_per_m2: f64,
    critical_moisture: f64,
    to_moisture: f64,
    equilibrium_moisture: f64,
    rate_kg_per_s_m2: f64,
) -> f64 {
    if to_moisture >= critical_moisture {
        return 0.0;
    }
    if to_moisture <= equilibrium_moisture {
        return f64::INFINITY;
    }
    let free = critical_moisture - equilibrium_moisture;
    solid_kg_per_m2 * free / rate_kg_per_s_m2
        * libm::log(free / (to_moisture - equilibrium_moisture))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_periods_meet_without_a_break() {
        let (below, above) = (dryness(0.6 - 1e-9, 0.4), dryness(0.6 + 1e-9, 0.4));
        assert!((above - below - 2e-9).abs() < 1e-12);
    }

    #[test]
    fn no_critical_moisture_dries_at_the_constant_rate_to_the_end() {
        assert_eq!(dryness(0.7, 0.0), 0.7);
        assert_eq!(dryness(1.0, 0.0), 1.0);
        assert_eq!(dryness(3.0, 0.0), 1.0);
        assert_eq!(theta_of(1.0, 0.0), 1.0);
    }

    #[test]
    fn dried_on_begins_just_below_the_critical_moisture() {
        assert!(!is_dried_on(0.6, 0.4));
        assert!(is_dried_on(0.6001, 0.4));
        assert!(!is_dried_on(0.0, 1.0));
    }

    #[test]
    fn the_equilibrium_is_never_reached() {
        assert_eq!(falling_rate_s(1.0, 0.2, 0.05, 0.05, 1.0), f64::INFINITY);
        assert_eq!(falling_rate_s(1.0, 0.2, 0.25, 0.05, 1.0), 0.0);
    }
}
