//! Soil and detergent in the water of a tank, and the rinse that overflows through it.
//!
//! A well-mixed tank of V litres: soil comes in with every rack, and every litre of rinse carries a
//! litre of tank water over the edge. While o litres overflow, what is in the tank falls as exp(−o/V),
//! whatever the pace. Racks that bring s grams and w litres each take it to s/w grams a litre in the
//! end, 63 % of that after V/w racks.
//!
//! In: litres, grams, racks. Out: grams, grams a litre. Tanks are larger than zero, and nothing is
//! negative. What never comes is `None`.
//!
//! Source: the mass balance of a stirred tank, in any textbook. How the soil of a rack divides
//! between a pre-wash and the wash is an assumption.

use super::heat::{log_stretch, mean_decay};

/// Seconds in an hour.
const HOUR_S: f64 = 3600.0;

/// What overflow made of something in a tank. Both together are what was there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Diluted {
    /// Still in the tank, g.
    pub left_g: f64,
    /// Carried over the edge, g.
    pub carried_off_g: f64,
}

/// What is left of something in a tank after so much has overflowed: it falls as exp(−overflow/tank).
///
/// ```
/// # use scullery::physics::dilution::after;
/// let soil = after(300.0, 83.0, 83.0);
/// assert!((soil.left_g - 110.364).abs() < 5e-4);
/// assert_eq!(soil.left_g + soil.carried_off_g, 300.0);
/// ```
#[inline]
#[must_use]
pub fn after(in_tank_g: f64, overflow_l: f64, tank_l: f64) -> Diluted {
    let left_g = in_tank_g * libm::exp(-overflow_l / tank_l);
    Diluted {
        left_g,
        carried_off_g: in_tank_g - left_g,
    }
}

/// The same while so much comes in evenly with what overflows, as from the tank before it.
///
/// ```
/// # use scullery::physics::dilution::{after, after_inflow};
/// assert_eq!(after_inflow(300.0, 0.0, 83.0, 83.0), after(300.0, 83.0, 83.0));
/// // 100 g that come while one tankful overflows: 1 − 1/e of them stay.
/// let soil = after_inflow(0.0, 100.0, 83.0, 83.0);
/// assert!((soil.left_g - 63.212).abs() < 5e-4);
/// ```
#[inline]
#[must_use]
pub fn after_inflow(in_tank_g: f64, comes_g: f64, overflow_l: f64, tank_l: f64) -> Diluted {
    let tanks = overflow_l / tank_l;
    let left_g = in_tank_g * libm::exp(-tanks) + comes_g * mean_decay(tanks);
    Diluted {
        left_g,
        carried_off_g: in_tank_g + comes_g - left_g,
    }
}

/// Soil that a tank comes to in the end, g/L: soil per rack over rinse per rack. `None` without rinse.
///
/// ```
/// # use scullery::physics::dilution::steady_g_per_l;
/// assert!((steady_g_per_l(10.0, 2.65).unwrap() - 3.7736).abs() < 5e-5);
/// ```
#[must_use]
pub fn steady_g_per_l(soil_per_rack_g: f64, rinse_per_rack_l: f64) -> Option<f64> {
    (rinse_per_rack_l > 0.0).then(|| soil_per_rack_g / rinse_per_rack_l)
}

/// Racks after which a fresh tank has 63 % of what it comes to in the end. `None` without rinse.
#[must_use]
pub fn memory_racks(rinse_per_rack_l: f64, tank_l: f64) -> Option<f64> {
    (rinse_per_rack_l > 0.0).then(|| tank_l / rinse_per_rack_l)
}

/// Soil in a tank that was fresh, g/L, where soil and rinse come evenly.
///
/// s/w (1 − exp(−n w/V)) after n racks; without rinse n s/V.
#[must_use]
pub fn even_g_per_l(racks: f64, soil_per_rack_g: f64, rinse_per_rack_l: f64, tank_l: f64) -> f64 {
    let changes = racks * rinse_per_rack_l / tank_l;
    racks * soil_per_rack_g / tank_l * mean_decay(changes)
}

/// Soil in a tank that was fresh, g/L, where each rack's rinse first takes its own volume of tank water
/// away and its soil then comes at once.
///
/// s/w (1 − (1 − w/V)^n) after n racks; without rinse n s/V. A rinse as large as the tank leaves the
/// soil of the last rack alone.
#[must_use]
pub fn stepwise_g_per_l(
    racks: u32,
    soil_per_rack_g: f64,
    rinse_per_rack_l: f64,
    tank_l: f64,
) -> f64 {
    let racks = f64::from(racks);
    let changed = rinse_per_rack_l / tank_l;
    if changed >= 1.0 {
        return racks.min(1.0) * soil_per_rack_g / tank_l;
    }
    let stretch = log_stretch(changed);
    racks * soil_per_rack_g / tank_l * stretch * mean_decay(racks * changed * stretch)
}

/// Detergent that keeps a tank at its dose, g: dose × fresh water, for a fill as for the rinse that
/// comes in later. What overflows carries as much away.
///
/// Common practice, no source.
///
/// ```
/// # use scullery::physics::dilution::detergent_g;
/// // 2 g/L: the fill of 83 L, and 100 racks of 2.65 L.
/// assert_eq!(detergent_g(2.0, 83.0) + detergent_g(2.0, 265.0), 696.0);
/// ```
#[inline]
#[must_use]
pub fn detergent_g(dose_g_per_l: f64, fresh_l: f64) -> f64 {
    dose_g_per_l * fresh_l
}

/// Flow of a final rinse that gives a rack so much water at the rated racks per hour, L/s.
///
/// GPM × 60 = gallons per rack × racks per hour: the calculation note of the official listings for
/// NSF/ANSI 3, and the water limits that are printed by the rack.
///
/// ```
/// # use scullery::physics::dilution::rinse_l_per_s;
/// // 0.70 gal per rack at 216 racks per hour is 2.52 gal per minute.
/// assert!((rinse_l_per_s(0.70, 216.0) * 60.0 - 2.52).abs() < 1e-12);
/// ```
#[inline]
#[must_use]
pub fn rinse_l_per_s(rinse_per_rack_l: f64, rated_racks_per_hour: f64) -> f64 {
    rinse_per_rack_l * rated_racks_per_hour / HOUR_S
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Soil per rack in g, rinse per rack and tank in L.
    const TANKS: [(f64, f64, f64); 6] = [
        (10.0, 2.65, 83.0),
        (10.0, 0.0, 83.0),
        (3.0, 1e-12, 40.0),
        (0.0, 2.65, 83.0),
        (10.0, 83.0, 83.0),
        (10.0, 90.0, 83.0),
    ];

    #[test]
    fn soil_that_came_in_is_in_the_tank_or_carried_off() {
        for (soil_g, rinse_l, tank_l) in TANKS {
            let (mut in_tank_g, mut carried_off_g) = (0.0, 0.0);
            for rack in 1..=1000_u32 {
                let Diluted {
                    left_g,
                    carried_off_g: off_g,
                } = after(in_tank_g + soil_g, rinse_l, tank_l);
                in_tank_g = left_g;
                carried_off_g += off_g;
                let came_g = f64::from(rack) * soil_g;
                assert!((in_tank_g + carried_off_g - came_g).abs() <= 1e-12 * came_g);
                assert!(off_g >= 0.0);
                // Soil first and rinse after it is less than both evenly, by half a rack at most.
                let even_g = tank_l * even_g_per_l(f64::from(rack), soil_g, rinse_l, tank_l);
                let behind_g = even_g - in_tank_g;
                assert!(
                    (-1e-9..=0.5 * soil_g + 1e-9).contains(&behind_g),
                    "{behind_g}"
                );
            }
        }
    }

    #[test]
    fn the_pace_of_the_overflow_is_nothing_to_it() {
        let at_once = after(300.0, 120.0, 83.0).left_g;
        let by_the_litre = (0..120).fold(300.0, |g, _| after(g, 1.0, 83.0).left_g);
        assert!((at_once - by_the_litre).abs() < 1e-10);
        assert_eq!(after(300.0, 0.0, 83.0).left_g, 300.0);
        assert_eq!(after(300.0, 1e9, 83.0).carried_off_g, 300.0);
    }

    #[test]
    fn one_rack_after_the_other_is_the_stepwise_formula() {
        for (soil_g, rinse_l, tank_l) in TANKS {
            let mut g_per_l = 0.0;
            for racks in 0..=300 {
                let formula = stepwise_g_per_l(racks, soil_g, rinse_l, tank_l);
                assert!(
                    (formula - g_per_l).abs() <= 1e-12 * (1.0 + g_per_l),
                    "{racks}"
                );
                let stays = (1.0 - rinse_l / tank_l).max(0.0);
                g_per_l = g_per_l * stays + soil_g / tank_l;
            }
        }
    }

    #[test]
    fn both_rise_to_the_same_end() {
        let steady = steady_g_per_l(10.0, 2.65).expect("rinse");
        let even = even_g_per_l(1e5, 10.0, 2.65, 83.0);
        let stepwise = stepwise_g_per_l(100_000, 10.0, 2.65, 83.0);
        assert!((even - steady).abs() < 1e-12 && (stepwise - steady).abs() < 1e-12);
        assert_eq!(steady_g_per_l(10.0, 0.0), None);
        assert_eq!(memory_racks(0.0, 83.0), None);
    }

    #[test]
    fn dosed_by_fresh_water_a_tank_keeps_its_dose() {
        let mut in_tank_g = detergent_g(2.0, 83.0);
        for _ in 0..1000 {
            in_tank_g = after(in_tank_g, 1e-3, 83.0).left_g + detergent_g(2.0, 1e-3);
        }
        assert!((in_tank_g / 83.0 - 2.0).abs() < 1e-6);
    }
}
