//! Water, heat and soil of conveyors and hoods: balances that close, racks worked out by hand, and a machine rich in
//! heat that is the plain one.
//!
//! Mutations tried on the engine, and what turned red: the rinse runs while the belt stands
//! (`a_stopped_belt_stops_the_rinse`); a tank gets supply water rather than what overflows into it
//! (`hot_rinse_warms_the_tank_it_overflows_into`); cold racks are never counted (both boosters); racks that
//! left are not taken off those that met the rinse (the sheet's water); soil lost at a change of water, heat
//! into ware not booked (the balances); rewashed ware brings soil again
//! (`only_ware_that_was_never_washed_brings_soil`); an entry planned while a change is due (hangs);
//! a hood rinses all its cycle (its balances), its pump runs while racks are changed (`a_hood_rinses_at_the_end_of_each_cycle`).

mod common;

use common::*;
use proptest::prelude::*;
use scullery::room::Room;
use scullery::scenario::model::*;
use scullery::service::Service;
use scullery::service::diary::Happening;
use scullery::service::measure::Measure;
use scullery::service::outcome::Outcome;
use scullery::study::sheet::Sheet;

/// How long the pumps of the first machine run, h.
fn hours_of_pumps(scenario: &Scenario) -> f64 {
    let room = Room::of(scenario);
    let mut service = Service::new(&room);
    service.play(1, 0);
    let times = service.machine_times().next().expect("a machine");
    times.pumps().h()
}

/// One after the other, 100 racks of 10 s at 0.2 L/s: 2 L each, and the fill of 80 L. Far apart, the same.
/// With the rinse always on, 0.2 L/s for the whole two hours.
#[test]
fn a_rack_takes_its_water_and_an_open_valve_takes_more() {
    let water_l = |scenario: &Scenario| measures(scenario).get(Measure::Water).expect("water");
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a}, not {b}");
    near(water_l(&racks_at(washer(), &[0.0; 100])), 80.0 + 200.0);
    let apart: Vec<f64> = (0..100).map(|number| 30.0 * f64::from(number)).collect();
    near(water_l(&racks_at(washer(), &apart)), 80.0 + 200.0);
    let mut open = washer();
    if let MachineKind::RackConveyor { rinse_runs, .. } = &mut open.kind {
        *rinse_runs = RinseRuns::Always;
    }
    near(water_l(&racks_at(open, &apart)), 80.0 + 0.2 * 7_200.0);
}

/// Detergent: 2 g for each of the 280 L. Rinse aid: 0.3 mL for each of the 200 L of rinse.
#[test]
fn detergent_goes_with_fresh_water() {
    let outcome = measures(&racks_at(washer(), &[0.0; 100]));
    let detergent_kg = outcome.get(Measure::Detergent).expect("detergent");
    assert!((detergent_kg - 0.56).abs() < 1e-12, "{detergent_kg}");
    let rinse_aid_l = outcome.get(Measure::RinseAid).expect("rinse aid");
    assert!((rinse_aid_l - 0.06).abs() < 1e-12, "{rinse_aid_l}");
}

/// 50 racks, 3 L each and 40 L that fill the tank; a pump of 800 W that runs in 50 cycles of 50 s. The booster of 12 L
/// and 12 kW falls to 60 + 12000/1255.8 + (25 - 9.556) exp(-10 × 1255.8/50,232) = 81.58 °C in 10 s at 0.3 L/s and has 45 s to
/// recover: all are under 82 °C. With 15 kW it falls to 60 + 11.944 + 13.056 × 0.7788 = 82.11 °C: none is.
#[test]
fn a_hood_rinses_at_the_end_of_each_cycle() {
    let of = |kw: f64| {
        let mut machine = wet_hood();
        if let MachineKind::Hood {
            water: Some(water), ..
        } = &mut machine.kind
        {
            water.booster.as_mut().expect("one").power_w = 1000.0 * kw;
        }
        measures(&racks_at(machine, &[0.0; 50]))
    };
    let outcome = of(12.0);
    let near = |measure, by_hand: f64| {
        let found = outcome.get(measure).expect("it is measured");
        assert!(
            (found - by_hand).abs() < 1e-9,
            "{measure:?}: {found}, not {by_hand}"
        );
    };
    near(Measure::Water, 40.0 + 150.0);
    near(Measure::Detergent, 0.38);
    near(Measure::RinseAid, 0.045);
    near(Measure::Pumps, 0.8 * 50.0 * 50.0 / 3600.0);
    near(Measure::UnderTemperatureRacks, 50.0);
    assert_eq!(of(15.0).get(Measure::UnderTemperatureRacks), Some(0.0));
}

/// Hoods of all sorts, and racks at random moments.
fn any_hood() -> impl Strategy<Value = Scenario> {
    let rinse = (0.5..10.0, 1.0..40.0, 60.0..90.0, 5.0..70.0);
    let tank = prop::option::of((
        5.0..100.0,
        15.0..80.0,
        prop::option::of(100.0..20_000.0),
        0.0..3_000.0,
    ));
    let booster = prop::option::of(100.0..30_000.0);
    let racks = prop::collection::vec(0.0..6_000.0, 0..100);
    (rinse, tank, booster, any::<bool>(), racks).prop_map(
        |(rinse, tank, boosts, attended, mut moments_s)| {
            moments_s.sort_by(f64::total_cmp);
            let mut machine = wet_hood();
            if let MachineKind::Hood {
                water: Some(water),
                attended: needs_one,
                ..
            } = &mut machine.kind
            {
                let (water_l, time_s, set_c, supply_c) = rinse;
                water.rinse = Some(HoodRinse {
                    water_l,
                    time_s,
                    temperature_c: Some(set_c),
                    minimum_c: Some(set_c - 3.0),
                });
                water.tank = tank.map(|(holds_l, temperature_c, heater_w, idle_loss_w)| HoodTank {
                    holds_l,
                    temperature_c,
                    minimum_c: None,
                    heater_w,
                    idle_loss_w,
                    pump_w: Some(500.0),
                });
                water.booster = boosts.map(|power_w| Booster {
                    power_w,
                    holds_l: 8.0,
                    hot_water: HotWater::Stirred,
                    idle_loss_w: 0.0,
                });
                water.supply_c = supply_c;
                *needs_one = attended;
            }
            let mut scenario = racks_at(machine, &moments_s);
            if attended {
                scenario.roster.push(person("washer", &[Duty::Hood]));
            }
            scenario
        },
    )
}

/// A booster of 20 L and 9 kW set to 85 °C, 60 °C water at 0.2 L/s without a gap. By hand: it tends to
/// 60 + 9000/837.2 = 70.750 °C with a time constant of 100 s, and is at 82 °C after
/// 100 ln(14.250/11.250) = 23.64 s. The racks pass in 10 s each: two stay above, all others do not.
#[test]
fn a_weak_booster_leaves_all_but_two_racks_too_cold() {
    let mut weak = washer();
    if let MachineKind::RackConveyor {
        booster: Some(booster),
        ..
    } = &mut weak.kind
    {
        booster.power_w = 9_000.0;
    }
    let outcome = measures(&racks_at(weak.clone(), &[0.0; 30]));
    assert_eq!(outcome.get(Measure::UnderTemperatureRacks), Some(28.0));
    // Two minutes apart it has 110 s at 9 kW to make up for 10 s: never below.
    let apart: Vec<f64> = (0..30).map(|number| 120.0 * f64::from(number)).collect();
    let outcome = measures(&racks_at(weak, &apart));
    assert_eq!(outcome.get(Measure::UnderTemperatureRacks), Some(0.0));
}

/// A rack cools the wash as it enters, 80 L at 66 °C, and 40 s later it meets the rinse. By then 15 kW have brought it
/// from 66 - f to 444 - (378 + f) exp(-40 × 35.714/334,880) °C, 65 °C for f = 2.620 K: with a minimum of 65 °C no rack is
/// cold that takes 2.6 K, and each that takes 2.64 K, however hot its rinse. Ten minutes later the next one finds it at its
/// set point. 8 L that 1 kW heats fall through 82 °C in every rinse; each rack counts once.
#[test]
fn a_rack_in_a_wash_below_its_minimum_counts_as_cold() {
    let cold = |falls_k: f64, booster_w: f64| {
        let mut machine = washer();
        if let MachineKind::RackConveyor { zones, booster, .. } = &mut machine.kind {
            zones[0].minimum_c = Some(65.0);
            let booster = booster.as_mut().expect("one");
            (booster.power_w, booster.holds_l) = (booster_w, 8.0);
        }
        let apart: Vec<f64> = (0..10).map(|number| 600.0 * f64::from(number)).collect();
        let mut scenario = racks_at(machine, &apart);
        scenario.air.temperature_c = 24.0;
        cools_by(&mut scenario, falls_k, 80.0);
        let outcome = measures(&scenario);
        let of = |measure| outcome.get(measure).expect("it is measured");
        [
            of(Measure::ColdWashRacks),
            of(Measure::ColdRinseRacks),
            of(Measure::UnderTemperatureRacks),
        ]
    };
    assert_eq!(cold(2.6, 30_000.0), [0.0, 0.0, 0.0]);
    assert_eq!(cold(2.64, 30_000.0), [10.0, 0.0, 10.0]);
    assert_eq!(cold(2.6, 1_000.0), [0.0, 10.0, 10.0]);
    assert_eq!(cold(2.64, 1_000.0), [10.0, 10.0, 10.0]);
}

/// Ware and rack together as heavy as cools a tank of so many litres at 66 °C by so much as they enter.
fn cools_by(scenario: &mut Scenario, falls_k: f64, holds_l: f64) {
    let room_c = scenario.air.temperature_c;
    let rack_j_per_k = holds_l * 4186.0 * falls_k / (66.0 - falls_k - room_c);
    scenario.ware[0].weight_kg = rack_j_per_k / 900.0;
    scenario.rack[0].weight_kg = 0.0;
}

/// Seconds from 63 to 66 °C, with what is lost at 66 °C to a room of 24 °C.
fn lifts_3_k_s(holds_l: f64, heater_w: f64, loss_w: f64) -> f64 {
    let loss_w_per_k = loss_w / (66.0 - 24.0);
    let limit_c = 24.0 + heater_w / loss_w_per_k;
    holds_l * 4186.0 / loss_w_per_k * libm::log((limit_c - 63.0) / (limit_c - 66.0))
}

/// Ten racks before a belt that is held for its wash, heated by 15 kW: each takes 3 K from 80 L.
fn held_for_its_wash() -> Scenario {
    let mut machine = washer();
    if let MachineKind::RackConveyor {
        zones,
        booster,
        when_cold,
        ..
    } = &mut machine.kind
    {
        zones[0].minimum_c = Some(65.0);
        // So little that it changes nothing.
        zones[2].flow_l_per_s = Some(1e-9);
        (*booster, zones[2].minimum_c) = (None, None);
        *when_cold = WhenCold::Hold;
    }
    let mut scenario = racks_at(machine, &[0.0; 10]);
    scenario.air.temperature_c = 24.0;
    cools_by(&mut scenario, 3.0, 80.0);
    scenario
}

/// A belt that is held for its wash: each rack takes 3 K from 80 L, and the next one, 10 s behind it, is held until
/// 15 kW have made up for them.
#[test]
fn a_held_belt_waits_for_a_hot_wash() {
    let outcome = measures(&held_for_its_wash());
    let by_hand_min = 9.0 * (lifts_3_k_s(80.0, 15_000.0, 1_500.0) - 10.0) / 60.0;
    let found = outcome.get(Measure::MachineHeld).expect("it may be held");
    assert!(
        (found - by_hand_min).abs() < 1e-6,
        "{found}, by hand {by_hand_min}"
    );
    assert_eq!(outcome.get(Measure::Racks), Some(10.0));
}

/// The heat goes after 5 s, or so much water that it is cut. Nobody looks for that, and no rack comes out dirty: the second
/// rack, held at 10 s, would stand for ever. A minute later somebody sees why, and a minute after that it is mended.
#[test]
fn what_keeps_a_held_belt_cold_is_seen() {
    for (heat, level) in [(0.0, 1.0), (1.0, 0.5), (0.1, 0.8)] {
        let mut scenario = held_for_its_wash();
        scenario.fault = vec![Fault {
            alarm_after_s: None,
            stops: false,
            mend_stops: false,
            heat,
            level,
            ..stops("heat", 5.0, 60.0)
        }];
        scenario.fault[0].every_s = None;
        scenario.fault[0].at_s = Some(NOON + 5.0);
        scenario.roster.push(person("porter", &[Duty::Tend]));
        let (diary, finished) = diary_of(&scenario);
        assert!(finished, "heat {heat}, level {level}");
        let seen = times(&diary, |what| matches!(what, Happening::Noticed { .. }));
        let mended = times(&diary, |what| matches!(what, Happening::Mended { .. }));
        assert_eq!((seen, mended), (vec![70.0], vec![130.0]));
    }
}

/// The same where the heat comes back by itself after five minutes: nobody need see it, and it is over at its time.
#[test]
fn heat_that_comes_back_by_itself_is_seen_by_nobody() {
    let mut scenario = held_for_its_wash();
    scenario.fault = vec![Fault {
        stops: false,
        mend_stops: false,
        heat: 0.0,
        ..passes("heat", 5.0, 300.0)
    }];
    scenario.roster.push(person("porter", &[Duty::Tend]));
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    let seen = times(&diary, |what| matches!(what, Happening::Noticed { .. }));
    let over = times(&diary, |what| matches!(what, Happening::Passes { .. }));
    assert_eq!((seen, over), (vec![], vec![305.0]));
}

/// A hood that waits for its wash: each rack takes 3 K from 40 L, and the cycle goes on until they are made up for, 5 s
/// to change and 40 s of wash after it came. Counted as it is, every rack is cold; held, none.
#[test]
fn a_held_hood_washes_on_until_it_is_hot() {
    let of = |hold: WhenCold| {
        let mut machine = wet_hood();
        let mut heats = (0.0, 0.0);
        if let MachineKind::Hood {
            water: Some(water), ..
        } = &mut machine.kind
        {
            water.when_cold = hold;
            let rinse = water.rinse.as_mut().expect("one");
            (rinse.water_l, rinse.minimum_c) = (1e-9, None);
            let tank = water.tank.as_mut().expect("one");
            tank.minimum_c = Some(65.0);
            heats = (tank.heater_w.expect("one"), tank.idle_loss_w);
        }
        let mut scenario = racks_at(machine, &[0.0; 10]);
        scenario.air.temperature_c = 24.0;
        cools_by(&mut scenario, 3.0, 40.0);
        let outcome = measures(&scenario);
        let held_min = outcome.get(Measure::MachineHeld);
        (held_min, outcome.get(Measure::ColdWashRacks), heats)
    };
    let (held_min, cold, (heater_w, loss_w)) = of(WhenCold::Hold);
    let by_hand_min = 10.0 * (lifts_3_k_s(40.0, heater_w, loss_w) - 45.0) / 60.0;
    let held_min = held_min.expect("it may be held");
    assert!(by_hand_min > 0.0, "{by_hand_min}");
    assert!(
        (held_min - by_hand_min).abs() < 1e-6,
        "{held_min}, by hand {by_hand_min}"
    );
    assert_eq!(cold, Some(0.0));
    let (held_min, cold, _) = of(WhenCold::Count);
    assert_eq!((held_min, cold), (None, Some(10.0)));
}

/// The hood of 3 L a rack whose booster of 12 L and 12 kW is below 82 °C in every rinse, stirred: displaced, those 3 L are
/// the ones that were hot, and it has 45 s to heat as many. With 1 kW, which heats 0.43 L meanwhile, 12 L are enough for four
/// racks and the fifth runs out of hot water.
#[test]
fn a_booster_that_pushes_its_hot_water_out_serves_a_rack() {
    let cold = |hot_water: HotWater, power_w: f64| {
        let mut machine = wet_hood();
        if let MachineKind::Hood {
            water: Some(water), ..
        } = &mut machine.kind
        {
            let booster = water.booster.as_mut().expect("one");
            (booster.hot_water, booster.power_w) = (hot_water, power_w);
        }
        let outcome = measures(&racks_at(machine, &[0.0; 50]));
        outcome.get(Measure::ColdRinseRacks)
    };
    assert_eq!(cold(HotWater::Stirred, 12_000.0), Some(50.0));
    assert_eq!(cold(HotWater::Displaced, 12_000.0), Some(0.0));
    assert_eq!(cold(HotWater::Displaced, 1_000.0), Some(46.0));
}

/// The same booster, and the belt is held. After three racks it is down to 70.750 + 14.250 exp(-0.3) =
/// 81.307 °C: the third fell below 82 °C while it passed, the fourth is held until 9 kW have lifted 20 L by
/// 3.693 K, 34.36 s. Of thirty racks ten are the third, and nine are held.
#[test]
fn a_held_belt_waits_for_a_hot_booster() {
    let mut weak = washer();
    if let MachineKind::RackConveyor {
        booster: Some(booster),
        when_cold,
        ..
    } = &mut weak.kind
    {
        booster.power_w = 9_000.0;
        *when_cold = WhenCold::Hold;
    }
    let outcome = measures(&racks_at(weak, &[0.0; 30]));
    assert_eq!(outcome.get(Measure::UnderTemperatureRacks), Some(10.0));
    let fallen_k = 85.0 - (60.0 + 9_000.0 / 837.2 + (25.0 - 9_000.0 / 837.2) * libm::exp(-0.3));
    let held_min = 9.0 * 83_720.0 * fallen_k / 9_000.0 / 60.0;
    let found = outcome.get(Measure::MachineHeld).expect("it may be held");
    assert!(
        (found - held_min).abs() < 1e-6,
        "{found}, by hand {held_min}"
    );
    // Thirty racks of 10 s, 60 s in the tunnel, and the time held.
    let last_min = outcome.get(Measure::LastRackAfterClose).expect("a machine");
    let by_hand = (290.0 + 60.0) / 60.0 + held_min - 120.0;
    assert!(
        (last_min - by_hand).abs() < 1e-6,
        "{last_min}, by hand {by_hand}"
    );
}

/// Its water is changed every five minutes. Racks enter at 0, 10, ... 290; the one at 300 has to wait until
/// the last is out at 350 and the tank is drained (180 s), filled (80 L at 0.5 L/s: 160 s) and heated
/// (80 L by 6 K with 15 kW: 133.952 s). So the 31st enters at 823.952, and 30 more before the next change.
#[test]
fn a_change_of_water_costs_its_time_and_its_water() {
    let mut machine = washer();
    if let MachineKind::RackConveyor { water_change, .. } = &mut machine.kind {
        *water_change = Some(WaterChange {
            by_hand: None,
            every_s: Some(300.0),
            at_soil_g_per_l: None,
            drain_s: 180.0,
            flow_l_per_s: 0.5,
        });
    }
    let scenario = racks_at(machine, &[0.0; 40]);
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    let enters = times(&diary, |what| matches!(what, Happening::Enters { .. }));
    assert_eq!(enters.len(), 40);
    assert_eq!(enters[29], 290.0);
    assert!((enters[30] - 823.952).abs() < 1e-6, "{}", enters[30]);
    assert!((enters[39] - 913.952).abs() < 1e-6, "{}", enters[39]);
    // In the lull after the last rack it is changed so long after each fill, until closing: first at 823.952 + 300 s, the
    // eighth and last seven times 773.952 s later.
    let outcome = measures(&scenario);
    let stood_min = outcome.get(Measure::WaterChange).expect("it is changed");
    let by_hand_min = (50.0 + 9.0 * 473.952) / 60.0;
    assert!((stood_min - by_hand_min).abs() < 1e-6, "{stood_min}");
    let water_l = outcome.get(Measure::Water).expect("water");
    assert!(
        (water_l - (80.0 + 9.0 * 80.0 + 40.0 * 2.0)).abs() < 1e-6,
        "{water_l}"
    );
}

/// While a full landing stops the belt, no rack passes the final rinse and no water runs.
#[test]
fn a_stopped_belt_stops_the_rinse() {
    let mut scenario = racks_at(washer(), &[0.0; 30]);
    scenario.unload = Some(unload(1, 25.0));
    scenario.roster.push(person("unloader", &[Duty::Unload]));
    let outcome = measures(&scenario);
    assert!(outcome.get(Measure::MachineStopped).expect("a machine") > 5.0);
    let water_l = outcome.get(Measure::Water).expect("water");
    assert!((water_l - 140.0).abs() < 1e-9, "{water_l}");
}

/// 100 racks of 5 g, for nobody scrapes here, and 2 L into 80 L: between the closed forms for soil that comes evenly and rack by rack,
/// 2.5 (1 - exp(-100 2/80)) = 2.2948 and 2.5 (1 - (1 - 2/80)^100) = 2.3013 g/L.
#[test]
fn soil_in_the_tank_is_that_of_the_closed_forms() {
    // The last rack passes the rinse some 50 s after its soil came in: 10 L, no more than an eighth.
    played(&racks_at(washer(), &[0.0; 100]), |water, state, _| {
        let soil_g = state.tanks[0].soil_g;
        let books = state.books;
        assert!((books.soil_in_g - 500.0).abs() < 1e-9);
        assert!((books.soil_in_g - books.soil_out_g - soil_g).abs() < 1e-9);
        let last_l = 2.0 * 5.0;
        let after_last = |g_per_l: f64| g_per_l * libm::exp(-last_l / 80.0);
        let found = soil_g / water.tanks[0].volume_l;
        assert!(found > after_last(2.2948) && found < 2.3013, "{found}");
    });
}

/// 100 racks of 2 L at 85 °C, held by a rich booster, into 80 L that nothing else heats or cools, from 60 °C:
/// 85 - 25 exp(-200/80) = 82.948 °C.
#[test]
fn hot_rinse_warms_the_tank_it_overflows_into() {
    let mut machine = washer();
    if let MachineKind::RackConveyor { zones, booster, .. } = &mut machine.kind {
        (zones[0].heater_w, zones[0].temperature_c) = (None, None);
        zones[0].idle_loss_w = 0.0;
        *booster = Some(Booster {
            power_w: 1e7,
            holds_l: 20.0,
            hot_water: HotWater::Stirred,
            idle_loss_w: 0.0,
        });
    }
    let mut scenario = racks_at(machine, &[0.0; 100]);
    (scenario.ware[0].weight_kg, scenario.rack[0].weight_kg) = (0.0, 0.0);
    played(&scenario, |_, state, _| {
        let by_hand = 85.0 - 25.0 * libm::exp(-2.5);
        let found = state.tanks[0].temperature_c;
        assert!((found - by_hand).abs() < 1e-6, "{found}, by hand {by_hand}");
    });
}

/// Dirty ware that goes round again brings no soil a second time: 5 g per piece, however often it is washed.
#[test]
fn only_ware_that_was_never_washed_brings_soil() {
    let mut scenario = racks_at(washer(), &[0.0; 100]);
    (
        scenario.soil[0].dirty_when_fresh,
        scenario.soil[0].dirty_when_dried,
    ) = (0.4, 0.4);
    scenario.unload = Some(unload(1, 1.0));
    scenario.inspect = Some(Inspect { catches: 1.0 });
    scenario.roster.push(person("unloader", &[Duty::Unload]));
    played(&scenario, |_, state, outcome| {
        assert!(
            outcome.get(Measure::Racks) > Some(120.0),
            "many go round again"
        );
        assert!((state.books.soil_in_g - 500.0).abs() < 1e-9);
    });
}

/// Ten racks of one piece of 5 g at once: a pre-wash tank catches 70 % of it, the rest goes on to the wash, and what
/// overflows from the wash comes to the pre-wash. Nothing is lost; nothing is caught where `catches` is 0.
#[test]
fn a_pre_wash_catches_its_share_of_the_soil() {
    let soil = |catches: f64| {
        let mut machine = washer();
        if let MachineKind::RackConveyor { zones, .. } = &mut machine.kind {
            let pre = Zone {
                tank_l: Some(40.0),
                catches,
                ..zone("pre-wash", ZoneKind::PreWash, 1.0)
            };
            zones[1].length_m = 1.0;
            zones.insert(0, pre);
        }
        let mut found = Vec::new();
        played(&racks_at(machine, &[0.0; 10]), |water, state, _| {
            assert_eq!(water.wash, Some(0));
            let left: f64 = state.tanks.iter().map(|tank| tank.soil_g).sum();
            assert!((state.books.soil_in_g - left - state.books.soil_out_g).abs() < 1e-9);
            assert!((state.books.soil_in_g - 50.0).abs() < 1e-9);
            found = state.tanks.iter().map(|tank| tank.soil_g).collect();
        });
        found
    };
    let (some, none, all) = (soil(0.7), soil(0.0), soil(1.0));
    assert_eq!(all[0], 0.0);
    assert!((some[0] - 0.3 * none[0]).abs() < 1e-9, "{some:?} {none:?}");
    assert!(none[0] > 20.0 && none[1] > 0.0, "{none:?}");
}

/// Soil that halves the wash at its own concentration makes more dirty ware, and none where it is far off.
#[test]
fn dirty_water_washes_worse() {
    let dirty = |halves| {
        let mut scenario = racks_at(washer(), &[0.0; 300]);
        if let MachineKind::RackConveyor {
            soil_halves_wash_g_per_l,
            ..
        } = &mut scenario.machine[0].kind
        {
            *soil_halves_wash_g_per_l = halves;
        }
        measures(&scenario).get(Measure::SentOutSoiledShare)
    };
    assert_eq!(dirty(None), dirty(Some(1e9)));
    assert!(dirty(Some(1.0)) > dirty(None));
}

/// Heavy cold racks cool a wash without a heater; the fewer degrees halve it, the more comes out dirty, and with a
/// thousand million of them all evenings are those in which temperature does not matter, bit for bit.
#[test]
fn a_colder_wash_washes_worse_by_its_halves() {
    let cold = |halves_k| {
        let mut scenario = racks_at(washer(), &[0.0; 300]);
        scenario.soil[0].dirty_when_fresh = 0.25;
        scenario.soil[0].dirty_when_dried = 0.25;
        scenario.ware[0].weight_kg = 5.0;
        if let MachineKind::RackConveyor {
            zones,
            cold_halves_wash_k,
            supply_c,
            ..
        } = &mut scenario.machine[0].kind
        {
            zones[0].heater_w = None;
            *supply_c = 5.0;
            *cold_halves_wash_k = halves_k;
        }
        measures(&scenario)
    };
    let dirty = |halves_k| {
        cold(halves_k)
            .get(Measure::SentOutSoiledShare)
            .expect("ware")
    };
    assert_eq!(cold(None), cold(Some(1e9)));
    assert!(dirty(Some(10.0)) > dirty(Some(30.0)));
    assert!(dirty(Some(30.0)) > dirty(None));
}

/// Zones alone, and with so much heat that nothing ever cools, wash as the plain tunnel does, bit for bit.
#[test]
fn a_machine_rich_in_heat_is_the_plain_machine() {
    let evening = |machine: Machine| {
        let mut scenario = racks_at(machine, &[]);
        scenario.soiled_log = None;
        scenario.soiled = vec![SoiledRow {
            arrivals: Arrivals::Random,
            ..stream("plate", 0.0, 6_000.0, 500.0)
        }];
        scenario.unload = Some(unload(1, 0.0));
        scenario.unload.as_mut().expect("unloading").per_unit = varying(9.0, 0.8, Shape::Lognormal);
        scenario.inspect = Some(Inspect { catches: 0.9 });
        scenario.soil[0].dirty_when_fresh = 0.2;
        scenario.roster.push(person("unloader", &[Duty::Unload]));
        scenario
    };
    let plain = conveyor(400, 4, 6.0);
    let mut bare = washer();
    let mut rich = washer();
    if let MachineKind::RackConveyor { zones, booster, .. } = &mut bare.kind {
        zones.iter_mut().for_each(|zone| zone.flow_l_per_s = None);
        *booster = None;
    }
    if let MachineKind::RackConveyor { zones, booster, .. } = &mut rich.kind {
        zones[0].heater_w = Some(1e6);
        *booster = Some(Booster {
            power_w: 1e6,
            holds_l: 20.0,
            hot_water: HotWater::Stirred,
            idle_loss_w: 0.0,
        });
    }
    let outcomes = |machine: Machine| -> Vec<Outcome> {
        let scenario = evening(machine);
        let room = Room::of(&scenario);
        let mut service = Service::new(&room);
        let mut outcome = Outcome::new(&room);
        (0..20)
            .map(|replication| {
                service.play(3, replication);
                service.outcome(&mut outcome);
                for measure in [
                    Measure::Water,
                    Measure::Energy,
                    Measure::TankHeat,
                    Measure::BoosterHeat,
                    Measure::Pumps,
                    Measure::Dryer,
                    Measure::HeatLost,
                    Measure::Detergent,
                    Measure::RinseAid,
                    Measure::UnderTemperatureRacks,
                    Measure::ColdWashRacks,
                    Measure::ColdRinseRacks,
                ] {
                    outcome.measures[measure as usize] = None;
                }
                outcome.clone()
            })
            .collect()
    };
    let expected = outcomes(plain);
    assert!(outcomes(bare) == expected, "zones alone");
    assert!(outcomes(rich) == expected, "rich in heat");
}

/// Tanks filled with supply water, then heated.
fn filled_and_heated() -> Vec<Task> {
    let fill = Task {
        does: Some(TaskDoes::Fill),
        ..task("fill", 60.0)
    };
    let heat = Task {
        does: Some(TaskDoes::Heat),
        after: vec!["fill".into()],
        ..task("heat", 30.0)
    };
    vec![fill, heat]
}

/// Heat off, then the tanks run out.
fn drained() -> Vec<Task> {
    let off = Task {
        does: Some(TaskDoes::HeatOff),
        ..task("heat off", 15.0)
    };
    let drain = Task {
        does: Some(TaskDoes::Drain),
        after: vec!["heat off".into()],
        ..task("drain", 120.0)
    };
    vec![off, drain]
}

prop_compose! {
    /// Faults that take heat and water.
    fn any_harm()(every_s in 50.0..3_000.0, mend_s in 1.0..900.0, heat in 0.0..=1.0, level in 0.1..=1.0, stops_it in any::<bool>()) -> Fault {
        Fault { heat, level, stops: stops_it, ..stops(&format!("harm {every_s}"), every_s, mend_s) }
    }
}

/// Machines of all sorts, and racks at random moments.
fn any_evening() -> impl Strategy<Value = Scenario> {
    let powers = (
        1.0..40_000.0,
        0.0..40_000.0,
        any::<bool>(),
        any::<bool>(),
        (any::<bool>(), any::<bool>()),
    );
    let tanks = (10.0..300.0, 0.0..5_000.0, 15.0..75.0, 60.0..90.0);
    let fan = prop::option::of(1.0..3_000.0);
    let water = (0.01..0.5, 5.0..70.0, any::<bool>(), 0.0..5.0, fan);
    let racks = prop::collection::vec(0.0..6_000.0, 0..150);
    let trouble = (
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        prop::collection::vec(any_harm(), 0..3),
    );
    let parts = (powers, tanks, water, racks, trouble);
    parts.prop_map(|(powers, tanks, water, mut moments_s, trouble)| {
        let (sets_up, closes_down, by_hand, faults) = trouble;
        moments_s.sort_by(f64::total_cmp);
        let (booster_w, heater_w, boosts, two_tanks, (holds, changes)) = powers;
        let (tank_l, idle_loss_w, wash_c, rinse_c) = tanks;
        let (flow_l_per_s, cold_c, always, weight_kg, fan_w) = water;
        let mut machine = washer();
        if let MachineKind::RackConveyor {
            zones,
            booster,
            rinse_runs,
            when_cold,
            water_change,
            supply_c,
            ..
        } = &mut machine.kind
        {
            zones[0].tank_l = Some(tank_l);
            zones[0].heater_w = Some(heater_w);
            zones[0].idle_loss_w = idle_loss_w;
            zones[0].temperature_c = Some(wash_c);
            zones[1].tank_l = two_tanks.then_some(tank_l / 2.0);
            zones[2].temperature_c = Some(rinse_c);
            zones[2].minimum_c = Some(rinse_c - 3.0);
            zones[2].flow_l_per_s = Some(flow_l_per_s);
            *booster = boosts.then_some(Booster {
                power_w: booster_w,
                holds_l: 20.0,
                hot_water: HotWater::Stirred,
                idle_loss_w: 0.0,
            });
            zones[1].pump_w = two_tanks.then_some(700.0);
            if fan_w.is_some() {
                zones[2].length_m = 1.0;
                zones.push(Zone {
                    pump_w: fan_w,
                    ..zone("dryer", ZoneKind::BlowDry, 1.0)
                });
            }
            *supply_c = cold_c;
            if always {
                *rinse_runs = RinseRuns::Always;
            }
            if holds {
                *when_cold = WhenCold::Hold;
            }
            *water_change = changes.then_some(WaterChange {
                by_hand: by_hand.then(|| fixed(90.0)),
                every_s: Some(40.0 * tank_l),
                at_soil_g_per_l: Some(1.0),
                drain_s: 60.0,
                flow_l_per_s,
            });
        }
        let mut scenario = racks_at(machine, &moments_s);
        scenario.ware[0].weight_kg = weight_kg;
        // Of one machine alone the supply takes time, and no water.
        let flow_l_per_s = flow_l_per_s / 2.0;
        scenario.supply = two_tanks.then_some(Supply { flow_l_per_s });
        if sets_up {
            scenario.set_up = filled_and_heated();
        }
        if closes_down {
            scenario.close_down = drained();
        }
        scenario.fault = faults;
        let hands = [Duty::SetUp, Duty::Tend, Duty::CloseDown];
        scenario.roster.push(person("porter", &hands));
        scenario
    })
}

proptest! {
    /// Heat given is heat stored, lost, carried off and taken by ware; soil is neither made nor lost; no
    /// temperature is outside what inlets, room and heaters allow.
    #[test]
    fn balances_close_and_temperatures_stay_within_reach(scenario in any_evening()) {
        let MachineKind::RackConveyor { zones, supply_c, .. } = &scenario.machine[0].kind else {
            panic!("a conveyor")
        };
        let set = zones.iter().filter_map(|zone| zone.temperature_c);
        let all: Vec<f64> = set.chain([*supply_c, scenario.air.temperature_c]).collect();
        let coldest = all.iter().copied().fold(f64::INFINITY, f64::min);
        let hottest = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        played(&scenario, |water, state, outcome| {
            let books = &state.books;
            let left_j =
                books.fill_j + books.heaters_j - books.lost_j - books.drained_j - books.ware_j;
            let flows_j = [books.fill_j, books.heaters_j, books.lost_j, books.drained_j, books.ware_j];
            let scale = flows_j.iter().map(|j| j.abs()).sum::<f64>() + 1.0;
            let stored_j = state.stored_j(water);
            assert!((left_j - stored_j).abs() <= 1e-9 * scale, "{left_j} left, {stored_j} stored");
            let in_tanks_g: f64 = state.tanks.iter().map(|tank| tank.soil_g).sum();
            let missing_g = books.soil_in_g - books.soil_out_g - in_tanks_g;
            assert!(missing_g.abs() <= 1e-9 * (1.0 + books.soil_in_g), "{missing_g} g");
            for c in state.tanks.iter().map(|tank| tank.temperature_c).chain([state.rinse_c]) {
                assert!((coldest - 1e-9..=hottest + 1e-9).contains(&c), "{c} °C");
            }
            assert!(state.tanks.iter().all(|tank| tank.soil_g >= 0.0));
            let racks = outcome.get(Measure::Racks).expect("a machine");
            // A belt that is held to the end of the evening keeps some inside.
            let all = books.rinsed as f64 == racks;
            assert!(all || !outcome.finished && (books.rinsed as f64) < racks);
            assert!(books.fresh_l >= 0.0 && books.under_temperature <= books.rinsed);
            // And so at every moment of the evening.
            let room = Room::of(&scenario);
            let mut service = Service::new(&room);
            service.begin(1, 0);
            while service.step() {
                let at = service.machines()[0].water.as_ref().expect("water");
                for c in at.tanks.iter().map(|tank| tank.temperature_c).chain([at.rinse_c]) {
                    assert!((coldest - 1e-9..=hottest + 1e-9).contains(&c), "{c} °C at {}", service.now().s());
                }
                assert!(at.tanks.iter().all(|tank| tank.soil_g >= 0.0));
                let litres = [at.books.fresh_l, at.books.rinse_l, at.books.fresh_l - at.books.rinse_l];
                assert!(litres.iter().all(|litres| *litres >= -1e-9), "{litres:?}");
            }
            // What was filled in is the fill, and one more for each change, where no level ever sank.
            let filled_l = books.fresh_l - books.rinse_l;
            let tanks_l: f64 = water.tanks.iter().map(|tank| tank.volume_l).sum();
            let fills_l = tanks_l * (1.0 + books.changes as f64);
            if scenario.fault.iter().all(|fault| fault.level == 1.0) {
                // A slow supply may not fill the tanks before the evening is given up.
                let never = filled_l == 0.0 && !state.is_full() && !outcome.finished;
                let is_all = (filled_l - fills_l).abs() <= 1e-9 * (1.0 + books.fresh_l);
                assert!(never || is_all, "{filled_l} {fills_l}");
            }
            let detergent_kg = outcome.get(Measure::Detergent).expect("a dose");
            let by_hand_kg = water.detergent_g_per_l * books.fresh_l / 1e3;
            assert!((detergent_kg - by_hand_kg).abs() <= 1e-12 * (1.0 + by_hand_kg));
        });
    }

    /// The same of hoods: heat and soil are accounted for, every rack is rinsed with its water, parts of the energy are
    /// all of it.
    #[test]
    fn balances_of_hoods_close(scenario in any_hood()) {
        let MachineKind::Hood { water: Some(said), .. } = &scenario.machine[0].kind else {
            panic!("a hood")
        };
        played(&scenario, |water, state, outcome| {
            let books = &state.books;
            let left_j =
                books.fill_j + books.heaters_j - books.lost_j - books.drained_j - books.ware_j;
            let scale = books.fill_j.abs() + books.heaters_j + books.lost_j.abs() + books.drained_j.abs() + 1.0;
            let stored_j = state.stored_j(water);
            assert!((left_j - stored_j).abs() <= 1e-9 * scale, "{left_j} left, {stored_j} stored");
            let in_tanks_g: f64 = state.tanks.iter().map(|tank| tank.soil_g).sum();
            let missing_g = books.soil_in_g - books.soil_out_g - in_tanks_g;
            assert!(missing_g.abs() <= 1e-9 * (1.0 + books.soil_in_g), "{missing_g} g");
            let racks = outcome.get(Measure::Racks).expect("a machine");
            assert!(outcome.finished && books.rinsed as f64 == racks);
            let holds_l = said.tank.map_or(0.0, |tank| tank.holds_l);
            let by_hand_l = holds_l + racks * said.rinse.expect("a rinse").water_l;
            let water_l = outcome.get(Measure::Water).expect("water");
            assert!((water_l - by_hand_l).abs() <= 1e-6 * (1.0 + by_hand_l), "{water_l} {by_hand_l}");
            let parts = [Measure::TankHeat, Measure::BoosterHeat, Measure::Pumps, Measure::Dryer, Measure::PotSinkHeat];
            let sum: f64 = parts.iter().filter_map(|part| outcome.get(*part)).sum();
            let whole = outcome.get(Measure::Energy).unwrap_or(0.0);
            assert!((sum - whole).abs() <= 1e-12 * (1.0 + whole), "{sum} {whole}");
        });
    }

    /// Tanks, booster, pumps and dryer are all the energy; what a machine does not have has no part in it. Pumps and
    /// fans run as long as the books of time say, and heat is that of the balance.
    #[test]
    fn the_parts_of_the_energy_are_all_of_it(scenario in any_evening()) {
        let MachineKind::RackConveyor { zones, booster, .. } = &scenario.machine[0].kind else {
            panic!("a conveyor")
        };
        let outcome = measures(&scenario);
        let kwh = |measure| outcome.get(measure);
        let parts = [Measure::TankHeat, Measure::BoosterHeat, Measure::Pumps, Measure::Dryer].map(kwh);
        let whole = kwh(Measure::Energy).expect("energy");
        let sum: f64 = parts.iter().flatten().sum();
        assert!((sum - whole).abs() <= 1e-12 * whole, "{parts:?}, together {sum}, not {whole}");
        let dries = zones.last().is_some_and(|zone| zone.kind == ZoneKind::BlowDry);
        assert_eq!(parts.map(|part| part.is_some()), [true, booster.is_some(), true, dries]);
        assert!(parts.iter().flatten().all(|part| *part >= 0.0), "{parts:?}");
        let runs_h = hours_of_pumps(&scenario);
        let watts = |wet| zones.iter().filter(|z| z.kind.is_wet() == wet).filter_map(|z| z.pump_w).sum::<f64>();
        for (part, wet) in [(Measure::Pumps, true), (Measure::Dryer, false)] {
            let by_hand = watts(wet) * runs_h / 1e3;
            assert!((kwh(part).unwrap_or(0.0) - by_hand).abs() <= 1e-9 * (1.0 + by_hand), "{part:?}");
        }
        played(&scenario, |_, state, _| {
            let books = &state.books;
            let balance_j = books.fill_j + books.heaters_j;
            let heat_j = books.booster_j + books.tanks_j;
            assert!((heat_j - balance_j).abs() <= 1e-9 * (1.0 + heat_j), "{heat_j} {balance_j}");
            let lost_kwh = kwh(Measure::HeatLost).expect("tanks");
            assert!((lost_kwh - books.lost_j / 3.6e6).abs() <= 1e-12 * (1.0 + lost_kwh.abs()));
        });
    }
}

/// Every shipped scenario with water, twenty evenings each: what heaters gave is what is stored, lost, drained and taken
/// by ware, and with pumps it is the energy, to one part in a thousand.
#[test]
fn the_heat_of_whole_services_is_accounted_for() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let mut with_water = 0;
    for file in std::fs::read_dir(folder).expect("scenarios") {
        let path = file.expect("a file").path();
        if path.extension().is_none_or(|ending| ending != "toml") {
            continue;
        }
        let loaded = scullery::scenario::load(&path).expect("a shipped scenario");
        let room = Room::of(&loaded.scenario);
        let mut service = Service::new(&room);
        let mut outcome = Outcome::new(&room);
        for replication in 0..20 {
            service.play(1, replication);
            service.outcome(&mut outcome);
            let machines = room.machines.iter().zip(service.machines());
            let (mut given_j, mut gone_j, mut pumps_j) = (0.0, 0.0, 0.0);
            for (machine, state) in machines {
                let (Some(water), Some(at)) = (&machine.water, &state.water) else {
                    continue;
                };
                let books = &at.books;
                given_j += books.tanks_j + books.booster_j;
                gone_j += at.stored_j(water) + books.lost_j + books.drained_j + books.ware_j;
                // The pump of a hood runs as long as its cycles do.
                let ran = if machine.is_hood() {
                    books.cycles
                } else {
                    state.time.pumps()
                };
                pumps_j += (water.pumps_w + water.dryer_w) * ran.s();
                with_water += 1;
            }
            let apart_j = (given_j - gone_j).abs();
            assert!(
                apart_j <= 1e-3 * given_j,
                "{}: {given_j} {gone_j}",
                path.display()
            );
            let energy_j = outcome.get(Measure::Energy).map_or(0.0, |kwh| kwh * 3.6e6);
            assert!(
                (energy_j - gone_j - pumps_j).abs() <= 1e-3 * energy_j,
                "{}",
                path.display()
            );
        }
    }
    assert!(
        with_water >= 60,
        "Friday and its variants: {with_water} evenings"
    );
}

/// Sets what wash and final rinse have to keep, °C.
fn keeps(machine: &mut Machine, wash_c: f64, rinse_c: f64) {
    match &mut machine.kind {
        MachineKind::RackConveyor { zones, .. } => {
            zones[0].minimum_c = Some(wash_c);
            zones[2].minimum_c = Some(rinse_c);
        }
        MachineKind::Hood { water, .. } => {
            let water = water.as_mut().expect("water");
            water.tank.as_mut().expect("a tank").minimum_c = Some(wash_c);
            water.rinse.as_mut().expect("a rinse").minimum_c = Some(rinse_c);
        }
    }
}

/// With weak heaters, the sheet's lowest temperatures of one rack alone, and of racks with no gap, are those below which
/// the simulation counts none and above which it counts some.
#[test]
fn the_sheet_knows_how_far_racks_cool() {
    let mut weak_conveyor = washer();
    if let MachineKind::RackConveyor { zones, booster, .. } = &mut weak_conveyor.kind {
        zones[0].heater_w = Some(500.0);
        booster.as_mut().expect("a booster").power_w = 12_000.0;
    }
    let mut weak_hood = wet_hood();
    if let MachineKind::Hood { water, .. } = &mut weak_hood.kind {
        let water = water.as_mut().expect("water");
        water.tank.as_mut().expect("a tank").heater_w = Some(300.0);
        water.booster.as_mut().expect("a booster").power_w = 5_000.0;
    }
    for machine in [weak_conveyor, weak_hood] {
        let (alone, close) = ([0.0], [0.0; 390]);
        let sheet_of = |moments_s: &[f64]| {
            let scenario = racks_at(machine.clone(), moments_s);
            Sheet::of(&scenario, &Room::of(&scenario)).water.remove(0)
        };
        let counted = |moments_s: &[f64], [wash_c, rinse_c]: [f64; 2]| {
            let mut machine = machine.clone();
            keeps(&mut machine, wash_c, rinse_c);
            let outcome = measures(&racks_at(machine, moments_s));
            let of = |measure| outcome.get(measure).expect("it is counted");
            [Measure::ColdWashRacks, Measure::ColdRinseRacks].map(of)
        };
        let cooling = sheet_of(&close).cooling;
        let (wash, rinse) = (&cooling[0], &cooling[cooling.len() - 1]);
        let name = &machine.name;
        assert!(
            rinse.no_gap_c < rinse.one_rack_c - 0.1,
            "{name}: {cooling:?}"
        );
        let (one, many) = (
            [wash.one_rack_c, rinse.one_rack_c],
            [wash.no_gap_c, rinse.no_gap_c],
        );
        let moved = |[wash_c, rinse_c]: [f64; 2], by_k: f64| [wash_c + by_k, rinse_c + by_k];
        assert_eq!(counted(&alone, moved(one, -0.001)), [0.0, 0.0], "{name}");
        assert_eq!(counted(&alone, moved(one, 0.001)), [1.0, 1.0], "{name}");
        assert_eq!(counted(&close, moved(many, -0.01)), [0.0, 0.0], "{name}");
        let [cold_washes, cold_rinses] = counted(&close, moved(many, 0.01));
        assert!(
            cold_washes > 0.0 && cold_rinses > 0.0,
            "{name}: {cold_washes} {cold_rinses}"
        );
    }
}
