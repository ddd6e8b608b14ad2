//! What must hold of the physics whatever the scenario: directions, inverses, and no NaN.

use proptest::prelude::*;
use scullery::physics::air::{evaporation_kg_per_s_m2, saturation_pressure_pa, wet_bulb_c};
use scullery::physics::drying::{dryness, film_rate_per_s, is_dried_on, theta_of};
use scullery::physics::washing::{Wash, contact_factor, loading_factor};
use scullery::physics::wetting::{pre_rinsed, soaked};

/// Air of any dish room: °C, humidity, m/s.
fn air() -> impl Strategy<Value = (f64, f64, f64)> {
    (0.0..60.0_f64, 0.0..=1.0_f64, 0.0..5.0_f64)
}

/// A theta of anything from a moment to a week.
fn theta() -> impl Strategy<Value = f64> {
    prop_oneof![0.0..3.0_f64, 0.0..1e6_f64]
}

/// A share, its ends included.
fn share() -> impl Strategy<Value = f64> {
    prop_oneof![8 => 0.0..=1.0_f64, 1 => Just(0.0), 1 => Just(1.0)]
}

/// Shares still dirty when fresh and when dried on, in that order.
fn dirty() -> impl Strategy<Value = (f64, f64)> {
    (share(), share()).prop_map(|(a, b)| (a.min(b), a.max(b)))
}

proptest! {
    #[test]
    fn longer_lag_never_lowers_the_risk(
        theta in theta(), more in theta(), critical in share(), (fresh, dried) in dirty(), factor in 0.0..10.0_f64,
    ) {
        let wash = Wash::new(fresh, dried);
        let (before, after) = (dryness(theta, critical), dryness(theta + more, critical));
        prop_assert!(after >= before);
        // To the rounding of an exponential.
        let (before, after) = (wash.dirty_probability(before, factor), wash.dirty_probability(after, factor));
        prop_assert!(after >= before * (1.0 - 1e-14), "{before} {after}");
    }

    #[test]
    fn risk_is_a_probability(
        dryness in share(), (fresh, dried) in (share(), share()), factor in prop_oneof![0.0..100.0_f64, Just(0.0)],
    ) {
        let risk = Wash::new(fresh, dried).dirty_probability(dryness, factor);
        prop_assert!((0.0..=1.0).contains(&risk), "{risk}");
    }

    #[test]
    fn a_better_wash_never_raises_the_risk(
        dryness in share(), (fresh, dried) in (share(), share()), factor in 0.0..10.0_f64, more in 0.0..10.0_f64,
    ) {
        let wash = Wash::new(fresh, dried);
        prop_assert!(wash.dirty_probability(dryness, factor + more) <= wash.dirty_probability(dryness, factor));
    }

    #[test]
    fn two_passes_multiply(dryness in share(), fresh in 0.001..0.9_f64, dried in 0.001..0.999_f64) {
        let wash = Wash::new(fresh, dried);
        let once = wash.dirty_probability(dryness, 1.0);
        let twice = wash.dirty_probability(dryness, 2.0);
        prop_assert!((twice - once * once).abs() < 1e-12);
    }

    #[test]
    fn the_two_figures_of_a_soil_come_back(fresh in share(), dried in share()) {
        let wash = Wash::new(fresh, dried);
        prop_assert!((wash.dirty_probability(0.0, 1.0) - fresh).abs() < 1e-12);
        prop_assert!((wash.dirty_probability(1.0, 1.0) - dried).abs() < 1e-12);
    }

    #[test]
    fn wetting_never_raises_dryness(
        dryness in share(), wets in share(), time_s in 0.0..1e5_f64, tau_s in prop_oneof![0.0..1e5_f64, Just(0.0)],
    ) {
        for after in [pre_rinsed(dryness, wets), soaked(dryness, time_s, tau_s)] {
            prop_assert!((0.0..=dryness).contains(&after), "{after}");
        }
    }

    #[test]
    fn theta_comes_back_from_dryness(dry in share(), critical in share()) {
        let theta = theta_of(dry, critical);
        prop_assert!((0.0..=38.0).contains(&theta), "{theta}");
        prop_assert!((dryness(theta, critical) - dry).abs() < 1e-14);
    }

    #[test]
    fn dryness_comes_back_from_theta(theta in 0.0..3.0_f64, critical in 0.2..1.0_f64) {
        let back = theta_of(dryness(theta, critical), critical);
        prop_assert!((back - theta).abs() < 1e-8, "{back}");
    }

    #[test]
    fn dried_on_is_moisture_below_the_critical(theta in theta(), critical in share()) {
        let moisture = 1.0 - dryness(theta, critical);
        if (moisture - critical).abs() > 1e-12 {
            prop_assert_eq!(is_dried_on(theta, critical), moisture < critical);
        }
    }

    #[test]
    fn drying_stops_in_saturated_air((t_c, _, speed) in air(), theta in theta(), critical in share()) {
        let e = evaporation_kg_per_s_m2(t_c, t_c, 1.0, speed);
        prop_assert_eq!(e, 0.0);
        prop_assert_eq!(evaporation_kg_per_s_m2(wet_bulb_c(t_c, 1.0), t_c, 1.0, speed), 0.0);
        prop_assert_eq!(dryness(theta + 1e6 * film_rate_per_s(e, 1e-4), critical), dryness(theta, critical));
    }

    #[test]
    fn evaporation_rises_with_speed_and_falls_with_humidity(
        (t_c, humidity, speed) in air(), faster in 0.0..5.0_f64, damper in share(),
    ) {
        let e = evaporation_kg_per_s_m2(t_c, t_c, humidity, speed);
        let damper = humidity + damper * (1.0 - humidity);
        prop_assert!(evaporation_kg_per_s_m2(t_c, t_c, humidity, speed + faster) >= e);
        prop_assert!(evaporation_kg_per_s_m2(t_c, t_c, damper, speed) <= e);
    }

    #[test]
    fn a_film_at_wet_bulb_dries_slower_but_dries((t_c, humidity, speed) in air()) {
        let wet_c = wet_bulb_c(t_c, humidity);
        let at_air = evaporation_kg_per_s_m2(t_c, t_c, humidity, speed);
        let at_wet_bulb = evaporation_kg_per_s_m2(wet_c, t_c, humidity, speed);
        prop_assert!(wet_c <= t_c);
        prop_assert!(at_wet_bulb <= at_air);
        prop_assert!(at_wet_bulb > 0.0 || humidity > 0.999);
    }

    #[test]
    fn half_the_film_takes_half_the_time(
        (t_c, humidity, speed) in air(), film_m in 1e-6..1e-2_f64, critical in share(),
    ) {
        let e = evaporation_kg_per_s_m2(t_c, t_c, humidity.min(0.99), speed);
        let to_critical_s = |film| theta_of(1.0 - critical, critical) / film_rate_per_s(e, film);
        let (whole, half) = (to_critical_s(film_m), to_critical_s(0.5 * film_m));
        prop_assert!((whole - 2.0 * half).abs() <= 1e-12 * whole);
    }

    #[test]
    fn nothing_is_ever_nan(
        (t_c, humidity, speed) in air(), film_m in 0.0..1e-2_f64, time_s in 0.0..1e6_f64,
        critical in share(), (fresh, dried) in dirty(), contact_s in 0.0..1e4_f64, fill in 0.0..3.0_f64,
    ) {
        let e = evaporation_kg_per_s_m2(t_c, t_c, humidity, speed);
        let theta = time_s * film_rate_per_s(e, film_m);
        let dry = dryness(theta, critical);
        let factor = contact_factor(contact_s, 120.0) * loading_factor(fill);
        let risk = Wash::new(fresh, dried).dirty_probability(dry, factor);
        let again = theta_of(soaked(dry, time_s, 300.0), critical);
        for value in [saturation_pressure_pa(t_c), wet_bulb_c(t_c, humidity), e, theta, dry, factor, risk, again] {
            prop_assert!(value.is_finite(), "{value}");
        }
    }

    #[test]
    fn a_fuller_rack_never_washes_better(fill in 0.0..3.0_f64, more in 0.0..3.0_f64) {
        prop_assert!(loading_factor(fill + more) <= loading_factor(fill));
        prop_assert!(loading_factor(fill) <= 1.0);
    }
}
