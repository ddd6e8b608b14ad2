//! Heat by hand, against stepping through time, and as what must hold of every case.

use super::*;

/// A lump and its surroundings, a thermostat, and where it starts.
type Case = (Lump, Load, Thermostat, f64);

const STRETCHES_S: [f64; 6] = [0.0, 1e-3, 1.0, 35.0, 600.0, 86_400.0];

/// Every combination of small and large, none and some, colder and hotter.
fn cases() -> Vec<Case> {
    let mut cases = Vec::new();
    for (kg, loss) in [(20.0, 0.0), (20.0, 7.0), (83.0, 60.0), (83.0, 1e-9)] {
        for (flow, inlet_c) in [(0.0, 60.0), (0.03, 15.0), (0.159, 60.0), (0.159, 75.0)] {
            for heater_w in [0.0, 2_000.0, 9_000.0, 15_000.0] {
                for (set_c, room_c) in [(60.0, 24.0), (71.0, 10.0), (82.2, 30.0)] {
                    for start_c in [15.0, 60.0, 70.999_999, 82.2, 85.0] {
                        let lump = Lump::of_water(kg, loss);
                        let load = Load {
                            room_c,
                            flow_kg_per_s: flow,
                            inlet_c,
                        };
                        let thermostat = Thermostat { heater_w, set_c };
                        cases.push((lump, load, thermostat, start_c));
                    }
                }
            }
        }
    }
    cases
}

/// Every case for every length of time.
fn each(mut check: impl FnMut(Case, f64, Held)) {
    for case in cases() {
        let (lump, load, thermostat, start_c) = case;
        for dt_s in STRETCHES_S {
            check(case, dt_s, lump.hold(load, thermostat, start_c, dt_s));
        }
    }
}

#[test]
fn heat_given_is_stored_lost_or_carried_off() {
    each(|(lump, load, thermostat, start_c), dt_s, held| {
        let stored = lump.stored_j(start_c, held.temperature_c);
        let parts = [held.energy_j, stored, held.lost_j, held.carried_j];
        let size: f64 = parts.iter().map(|j| j.abs()).sum();
        let left = held.energy_j - stored - held.lost_j - held.carried_j;
        // A temperature near 100 has its last bit at 1e-14.
        let per_k = lump.capacity_j_per_k + lump.draw_w_per_k(load) * dt_s;
        let rounding = 1e-13 * per_k;
        assert!(
            left.abs() <= 1e-9 * size + rounding,
            "{left} of {size}: {lump:?} {load:?} {thermostat:?} {start_c} {dt_s}"
        );
    });
}

#[test]
fn the_temperature_stays_between_what_is_around_it() {
    each(|(_, load, thermostat, start_c), _, held| {
        let around = [load.room_c, load.inlet_c, thermostat.set_c, start_c];
        let least = around.iter().copied().fold(f64::INFINITY, f64::min) - 1e-9;
        let most = around.iter().copied().fold(f64::NEG_INFINITY, f64::max) + 1e-9;
        assert!((least..=most).contains(&held.temperature_c), "{held:?}");
        assert!((least..=held.temperature_c).contains(&held.lowest_c));
        let heater_most = thermostat.heater_w * 86_400.0;
        assert!((0.0..=heater_most).contains(&held.energy_j));
        assert!(held.lost_j.is_finite() && held.carried_j.is_finite());
    });
}

/// 12 L at 85 °C, 0.3 L/s at 60 °C, 9 kW: 31,395 W are carried off, so that 25 K of 50,232 J/K last 1,255,800/22,395 =
/// 56.07 s. Behind them 9 kW warm what flows through to 60 + 9000/1255.8 = 67.167 °C.
#[test]
fn hot_water_that_is_pushed_out_is_hot_until_it_is_used_up() {
    let (lump, flow_kg_per_s) = (Lump::of_water(12.0, 0.0), 0.3);
    let load = Load {
        room_c: 24.0,
        flow_kg_per_s,
        inlet_c: 60.0,
    };
    let of = Thermostat {
        heater_w: 9_000.0,
        set_c: 85.0,
    };
    let rack = lump.displace(load, of, 85.0, 10.0);
    assert!((rack.temperature_c - (85.0 - 223_950.0 / 50_232.0)).abs() < 1e-9);
    assert_eq!(rack.lowest_c, 85.0);
    let all = lump.displace(load, of, 85.0, 100.0);
    assert_eq!(all.temperature_c, 60.0);
    assert!((all.lowest_c - (60.0 + 9_000.0 / 1255.8)).abs() < 1e-9);
    assert!((all.energy_j - 900_000.0).abs() < 1e-6);
    let strong = Thermostat {
        heater_w: 40_000.0,
        ..of
    };
    let held = lump.displace(load, strong, 85.0, 100.0);
    assert_eq!((held.temperature_c, held.lowest_c), (85.0, 85.0));
    assert!((held.energy_j - 3_139_500.0).abs() < 1e-6);
}

/// Where it pushes water out, too, heat is neither made nor lost, and two stretches are one of both.
#[test]
fn pushed_out_or_not_heat_is_accounted_for() {
    for (lump, load, of, start_c) in cases() {
        for dt_s in STRETCHES_S {
            let held = lump.displace(load, of, start_c, dt_s);
            let stored = lump.stored_j(start_c, held.temperature_c);
            let left = held.energy_j - stored - held.lost_j - held.carried_j;
            let size = 1e-9 * (1e6 + 1e5 * dt_s);
            assert!(
                left.abs() <= size,
                "{left}: {lump:?} {load:?} {of:?} {start_c} {dt_s}"
            );
            assert!(
                held.energy_j >= -1e-6,
                "{held:?}: {lump:?} {load:?} {of:?} {start_c} {dt_s}"
            );
            let second = lump.displace(load, of, held.temperature_c, 35.0);
            let one = lump.displace(load, of, start_c, dt_s + 35.0);
            let two = held.then(second);
            assert!(
                (two.temperature_c - one.temperature_c).abs() <= 1e-6,
                "{two:?} {one:?}: {lump:?} {load:?} {of:?} {start_c} {dt_s}"
            );
            assert!(
                (two.energy_j - one.energy_j).abs() <= 1e3 * size,
                "{two:?} {one:?}"
            );
        }
    }
}

#[test]
fn two_stretches_are_one_of_both_lengths() {
    let near = |a: f64, b: f64, size: f64| (a - b).abs() <= 1e-9 * size.max(1.0);
    each(|(lump, load, thermostat, start_c), dt_s, first| {
        for more_s in STRETCHES_S {
            let second = lump.hold(load, thermostat, first.temperature_c, more_s);
            let one = lump.hold(load, thermostat, start_c, dt_s + more_s);
            let two = first.then(second);
            let size = 1e5 * (dt_s + more_s);
            assert!(near(two.temperature_c, one.temperature_c, 1.0));
            assert!(near(two.lowest_c, one.lowest_c, 1.0));
            assert!(near(two.energy_j, one.energy_j, size), "{two:?} {one:?}");
            assert!(near(two.lost_j, one.lost_j, size), "{two:?} {one:?}");
            assert!(near(two.carried_j, one.carried_j, size), "{two:?} {one:?}");
        }
    });
}

#[test]
fn it_goes_one_way_only() {
    for (lump, load, thermostat, start_c) in cases() {
        let on_the_way = STRETCHES_S.map(|dt_s| {
            let held = lump.hold(load, thermostat, start_c, dt_s);
            held.temperature_c
        });
        let rises = on_the_way.windows(2).all(|two| two[1] >= two[0] - 1e-9);
        let falls = on_the_way.windows(2).all(|two| two[1] <= two[0] + 1e-9);
        assert!(rises || falls, "{on_the_way:?}");
    }
}

#[test]
fn more_heat_and_a_warmer_start_never_make_it_colder() {
    each(|(lump, load, thermostat, start_c), dt_s, held| {
        let stronger = Thermostat {
            heater_w: thermostat.heater_w + 500.0,
            ..thermostat
        };
        let hotter = Load {
            inlet_c: load.inlet_c + 3.0,
            ..load
        };
        for other in [
            lump.hold(load, stronger, start_c, dt_s),
            lump.hold(load, thermostat, start_c + 0.5, dt_s),
            lump.hold(hotter, thermostat, start_c, dt_s),
        ] {
            assert!(other.temperature_c >= held.temperature_c - 1e-9);
        }
    });
}

#[test]
fn the_time_to_a_temperature_is_when_it_is_there() {
    let mut met = 0;
    for (lump, load, Thermostat { heater_w, set_c }, start_c) in cases() {
        let Some(time_s) = lump.time_to_s(load, heater_w, start_c, set_c) else {
            let away = lump.slope_k_per_s(load, heater_w, start_c) * (set_c - start_c) <= 0.0;
            let short = lump
                .limit_c(load, heater_w)
                .is_some_and(|limit_c| (limit_c - start_c).abs() <= (set_c - start_c).abs() + 1e-9);
            assert!(away || short);
            continue;
        };
        met += 1;
        let there_c = lump.after_c(load, heater_w, start_c, time_s);
        assert!((there_c - set_c).abs() < 1e-9, "{there_c} {set_c}");
    }
    assert!(met > 200, "{met}");
}

#[test]
fn a_hundred_time_constants_are_the_limit() {
    for (lump, load, Thermostat { heater_w, .. }, start_c) in cases() {
        match (lump.limit_c(load, heater_w), lump.time_constant_s(load)) {
            (Some(limit_c), Some(constant_s)) => {
                let end_c = lump.after_c(load, heater_w, start_c, 100.0 * constant_s);
                assert!((end_c - limit_c).abs() <= 1e-12 * limit_c.abs().max(100.0));
                let needed_w = lump.needed_w(load, limit_c);
                assert!((needed_w - heater_w).abs() < 1e-6);
            }
            (None, None) => assert_eq!((lump.loss_w_per_k, load.flow_kg_per_s), (0.0, 0.0)),
            other => panic!("{other:?}"),
        }
    }
}

/// The same thermostat, switched on and off by the hundredth of a second.
#[test]
fn stepping_through_time_comes_to_the_same() {
    let lump = Lump::of_water(20.0, 7.0);
    let load = Load {
        room_c: 24.0,
        flow_kg_per_s: 0.1,
        inlet_c: 60.0,
    };
    for (heater_w, start_c) in [
        (15_000.0, 70.0),
        (15_000.0, 95.0),
        (6_000.0, 95.0),
        (6_000.0, 60.0),
    ] {
        let thermostat = Thermostat {
            heater_w,
            set_c: 85.0,
        };
        let (mut t_c, mut energy_j) = (start_c, 0.0);
        for _ in 0..30_000 {
            let power_w = if t_c < 85.0 { heater_w } else { 0.0 };
            energy_j += 0.01 * power_w;
            t_c += 0.01 * lump.slope_k_per_s(load, power_w, t_c);
        }
        let held = lump.hold(load, thermostat, start_c, 300.0);
        assert!((held.temperature_c - t_c).abs() < 0.01, "{held:?} {t_c}");
        assert!((held.energy_j / energy_j - 1.0).abs() < 1e-3, "{energy_j}");
    }
}

#[test]
fn nothing_that_cools_is_a_straight_line() {
    let (lump, still) = (
        Lump::of_water(83.0, 0.0),
        Load {
            room_c: 24.0,
            flow_kg_per_s: 0.0,
            inlet_c: 60.0,
        },
    );
    let risen_c = lump.after_c(still, 15_000.0, 20.0, 60.0);
    assert!((risen_c - 20.0 - 15_000.0 * 60.0 / (83.0 * 4186.0)).abs() < 1e-12);
    assert_eq!(lump.after_c(still, 0.0, 20.0, 1e9), 20.0);
    assert_eq!(lump.time_to_s(still, 0.0, 20.0, 20.0), Some(0.0));
    assert_eq!(lump.time_to_s(still, 15_000.0, 20.0, 19.0), None);
    // So little loss makes no difference, and no jump.
    let leaky = Lump::of_water(83.0, 1e-12).after_c(still, 15_000.0, 20.0, 60.0);
    assert!((leaky - risen_c).abs() < 1e-12);
}

#[test]
fn water_that_comes_in_too_hot_lets_it_rise_above() {
    let load = Load {
        room_c: 24.0,
        flow_kg_per_s: 0.1,
        inlet_c: 70.0,
    };
    let thermostat = Thermostat {
        heater_w: 9_000.0,
        set_c: 60.0,
    };
    let tank = Lump::of_water(20.0, 7.0);
    let met_s = tank.time_to_s(load, 9_000.0, 50.0, 60.0).expect("met");
    let held = tank.hold(load, thermostat, 50.0, 3_600.0);
    assert!(held.temperature_c > 69.0);
    assert!((held.energy_j - 9_000.0 * met_s).abs() < 1e-6);
}

#[test]
fn the_series_meets_its_function() {
    let (below, above) = (mean_of_means(1e-3 - 1e-15), mean_of_means(1e-3));
    assert!((below - above).abs() < 1e-12, "{below} {above}");
    assert_eq!((mean_decay(0.0), log_stretch(0.0)), (1.0, 1.0));
    assert_eq!((mean_decay(5e-324), log_stretch(5e-324)), (1.0, 1.0));
}

#[test]
fn what_one_body_loses_the_other_gains() {
    for share in [0.0, 0.3, 1.0] {
        let (a, b) = (347_000.0, 6_500.0);
        let cooled_c = mixed_c(a, 66.0, b, 21.0, share);
        let warmed_c = mixed_c(b, 21.0, a, 66.0, share);
        let (lost, gained) = (a * (66.0 - cooled_c), b * (warmed_c - 21.0));
        assert!((lost - gained).abs() < 1e-6, "{lost} {gained}");
        assert_eq!(share == 1.0, (cooled_c - warmed_c).abs() < 1e-9);
    }
}

#[test]
fn what_is_full_and_warm_takes_no_time() {
    assert_eq!(heat_up_s(83.0, 70.0, 66.0, 0.0), Some(0.0));
    assert_eq!(heat_up_s(83.0, 60.0, 66.0, 0.0), None);
    assert_eq!(fill_s(83.0, 0.5), Some(166.0));
    assert_eq!((fill_s(83.0, 0.0), fill_s(0.0, 0.0)), (None, Some(0.0)));
}
