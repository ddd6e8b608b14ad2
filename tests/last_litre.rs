//! Water, heat and money to the last litre: single cases worked out by hand, each of which the program once got wrong.

mod common;

use common::*;
use scullery::room::Room;
use scullery::scenario::model::*;
use scullery::service::Service;
use scullery::service::diary::{Entry, Happening};
use scullery::service::machine::Phase;
use scullery::service::measure::Measure;
use scullery::study::sheet::Sheet;

/// Heats 1 kg of water by 1 K, J.
const WATER_J: f64 = 4186.0;

#[track_caller]
fn near(found: f64, by_hand: f64) {
    let hair = 1e-6 * (1.0 + by_hand.abs());
    assert!((found - by_hand).abs() < hair, "{found}, by hand {by_hand}");
}

fn get(scenario: &Scenario, measure: Measure) -> f64 {
    measures(scenario).get(measure).expect("it is measured")
}

fn zones_of(machine: &mut Machine) -> &mut Vec<Zone> {
    let MachineKind::RackConveyor { zones, .. } = &mut machine.kind else {
        panic!("a conveyor")
    };
    zones
}

fn change_of(machine: &mut Machine, change: WaterChange) {
    let MachineKind::RackConveyor { water_change, .. } = &mut machine.kind else {
        panic!("a conveyor")
    };
    *water_change = Some(change);
}

fn supply(machine: &mut Machine, at_c: f64) {
    match &mut machine.kind {
        MachineKind::RackConveyor { supply_c, .. } => *supply_c = at_c,
        MachineKind::Hood { water, .. } => water.as_mut().expect("water").supply_c = at_c,
    }
}

/// A minute to drain, 0.4 L/s to fill, nobody needed.
const BY_ITSELF: WaterChange = WaterChange {
    every_s: None,
    at_soil_g_per_l: None,
    by_hand: None,
    drain_s: 60.0,
    flow_l_per_s: 0.4,
};

fn begins(diary: &[Entry], wanted: Phase) -> Vec<f64> {
    times(
        diary,
        |what| matches!(what, Happening::Phase { phase, .. } if *phase == wanted),
    )
}

fn enters(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::Enters { .. }))
}

/// Racks after which 70 L have the limit: 5 g per rack every 10 s, and 0.375 L/s of rinse from 40 s on.
fn racks_to(limit_g_per_l: f64) -> u32 {
    let soil_g = |racks: u32| -> f64 {
        let last_s = 10.0 * f64::from(racks - 1);
        let each = (0..racks).map(|rack| {
            let since_s = (10.0 * f64::from(rack)).max(40.0);
            5.0 * libm::exp(-0.375 * (last_s - since_s).max(0.0) / 70.0)
        });
        each.sum()
    };
    (1..)
        .find(|&racks| soil_g(racks) / 70.0 >= limit_g_per_l)
        .expect("some")
}

/// 200 racks of 5 g and 3.75 L at once, 70 L that are changed at 1.25 g/L. The limit is met when the soil of a rack has
/// gone in; that rack is the last until the water is new. Each change costs 60 s until it is out, 60 s to drain, 175 s to
/// fill and 70 × 4186 × 6/15,000 s to heat. So there are four changes: 5 × 70 L and 200 × 3.75 L.
#[test]
fn a_change_by_soil_is_ordered_when_the_limit_is_met() {
    let mut machine = washer();
    zones_of(&mut machine)[0].tank_l = Some(70.0);
    zones_of(&mut machine)[2].flow_l_per_s = Some(0.375);
    let at_soil_g_per_l = Some(1.25);
    change_of(
        &mut machine,
        WaterChange {
            at_soil_g_per_l,
            ..BY_ITSELF
        },
    );
    let scenario = racks_at(machine, &[0.0; 200]);
    let racks = racks_to(1.25);
    assert!((41..50).contains(&racks), "{racks}");
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    let stands_s = 60.0 + 70.0 / 0.4 + 70.0 * WATER_J * 6.0 / 15_000.0;
    let last_s = 10.0 * f64::from(racks - 1);
    let changed = begins(&diary, Phase::Refilling);
    assert_eq!(changed.len(), 4, "{changed:?}");
    for (number, at_s) in changed.iter().enumerate() {
        let turn_s = last_s + 60.0 + stands_s;
        near(*at_s, turn_s * number as f64 + last_s + 60.0);
    }
    near(get(&scenario, Measure::Water), 5.0 * 70.0 + 200.0 * 3.75);
    // Racks are kept out while those inside run out, too.
    near(
        get(&scenario, Measure::WaterChange),
        4.0 * (60.0 + stands_s) / 60.0,
    );
}

/// One rack of 5 g into 80 L that are changed by hand at 0.05 g/L: somebody comes at once, for 120 s.
#[test]
fn somebody_is_called_with_the_rack_that_meets_the_limit() {
    let mut machine = washer();
    let by_hand = Some(fixed(120.0));
    let at_soil_g_per_l = Some(0.05);
    change_of(
        &mut machine,
        WaterChange {
            at_soil_g_per_l,
            by_hand,
            ..BY_ITSELF
        },
    );
    let mut scenario = racks_at(machine, &[100.0, 3_000.0]);
    scenario.roster.push(person("porter", &[Duty::Tend]));
    let (diary, _) = diary_of(&scenario);
    assert_eq!(begins(&diary, Phase::Refilling), [220.0, 3_120.0]);
}

/// Changed every 600 s, with racks at 0 and at 1,000 s: the lull between them is long enough for the change, which takes
/// 60 s to drain, 200 s to fill and 133.952 s to heat. The last change that is due before closing is the seventh.
#[test]
fn a_change_by_the_clock_takes_the_lull() {
    let mut machine = washer();
    change_of(
        &mut machine,
        WaterChange {
            every_s: Some(600.0),
            ..BY_ITSELF
        },
    );
    let scenario = racks_at(machine, &[0.0, 1_000.0]);
    let (diary, _) = diary_of(&scenario);
    assert_eq!(enters(&diary), [0.0, 1_000.0]);
    let changed = begins(&diary, Phase::Refilling);
    assert_eq!(changed.len(), 7, "{changed:?}");
    for (number, at_s) in changed.iter().enumerate() {
        near(*at_s, 600.0 + 993.952 * number as f64);
    }
    near(get(&scenario, Measure::Water), 8.0 * 80.0 + 2.0 * 2.0);
}

/// A pump that stops between racks is no reason to wait. After closing, only a rack that wants to enter is.
#[test]
fn an_idle_machine_is_changed_by_the_clock_and_a_closed_one_for_a_rack() {
    let mut machine = washer();
    change_of(
        &mut machine,
        WaterChange {
            every_s: Some(3_550.0),
            ..BY_ITSELF
        },
    );
    if let MachineKind::RackConveyor { idle_after_s, .. } = &mut machine.kind {
        *idle_after_s = Some(10.0);
    }
    // Due at 3,550 and, filled at 3,943.952, at 7,493.952: after closing, with the rack of 7,190 long out.
    let scenario = racks_at(machine.clone(), &[0.0, 7_190.0]);
    let (diary, _) = diary_of(&scenario);
    assert_eq!(begins(&diary, Phase::Refilling), [3_550.0]);
    // Racks without end until 7,600 s: one of them asks for it.
    let moments_s: Vec<f64> = (0..760).map(|rack| 10.0 * f64::from(rack)).collect();
    let (diary, _) = diary_of(&racks_at(machine, &moments_s));
    assert_eq!(begins(&diary, Phase::Refilling).len(), 2);
}

/// Cycles of 12 s on average that vary as much, and a rinse of 10 s: a cycle lasts at least as long. 40 L and 200 × 3 L, and as
/// much rinse aid; every rack is seen to the end of its rinse.
#[test]
fn a_cycle_is_not_shorter_than_its_rinse() {
    let mut machine = wet_hood();
    if let MachineKind::Hood { cycle, .. } = &mut machine.kind {
        *cycle = varying(12.0, 1.0, Shape::Exponential);
    }
    let scenario = racks_at(machine, &[0.0; 200]);
    near(get(&scenario, Measure::Water), 40.0 + 200.0 * 3.0);
    near(get(&scenario, Measure::RinseAid), 0.0003 * 600.0);
}

/// Racks of 1 m under a final rinse of half a metre at the end of the tunnel: they are 10 s under it and leave the tunnel after 5.
fn short_zone() -> Machine {
    let mut machine = washer();
    let zones = zones_of(&mut machine);
    zones[1].length_m = 3.5;
    zones[2].length_m = 0.5;
    zones[2].minimum_c = Some(84.999);
    let MachineKind::RackConveyor { booster, .. } = &mut machine.kind else {
        panic!("a conveyor")
    };
    booster.as_mut().expect("one").power_w = 1.0;
    machine
}

/// Ten racks of 2 L, all of them cold, whether the evening ends with the last one, the pumps stop behind it, or the
/// water is changed.
#[test]
fn the_last_rack_is_rinsed_to_its_end() {
    let plain = short_zone();
    let mut idles = short_zone();
    if let MachineKind::RackConveyor { idle_after_s, .. } = &mut idles.kind {
        *idle_after_s = Some(0.0);
    }
    let mut changes = short_zone();
    change_of(
        &mut changes,
        WaterChange {
            every_s: Some(7_140.0),
            ..BY_ITSELF
        },
    );
    for (machine, from_s, fills) in [
        (plain.clone(), 7_190.0, 1.0),
        (plain, 0.0, 1.0),
        (idles.clone(), 7_190.0, 1.0),
        (idles, 0.0, 1.0),
        (changes, 7_020.0, 2.0),
    ] {
        let moments_s: Vec<f64> = (0..10).map(|rack| from_s + 3.0 * f64::from(rack)).collect();
        let scenario = racks_at(machine, &moments_s);
        near(get(&scenario, Measure::Water), fills * 80.0 + 10.0 * 2.0);
        near(get(&scenario, Measure::UnderTemperatureRacks), 10.0);
    }
}

/// Pumps that stop 2 s behind a rack stop behind its rinse, which is 5 s after its exit.
#[test]
fn pumps_stop_behind_the_rinse() {
    let mut machine = short_zone();
    if let MachineKind::RackConveyor { idle_after_s, .. } = &mut machine.kind {
        *idle_after_s = Some(2.0);
    }
    let (diary, _) = diary_of(&racks_at(machine, &[0.0, 1_000.0]));
    assert_eq!(begins(&diary, Phase::Idle), [65.0, 1_065.0]);
}

/// Without a heater a tank starts as it is supplied, and nothing is billed for it; one that is set below its supply
/// starts at its supply, and so does a booster.
#[test]
fn a_tank_starts_at_what_flows_in() {
    let begun = |machine: &Machine| {
        let scenario = racks_at(machine.clone(), &[]);
        let room = Room::of(&scenario);
        let mut service = Service::new(&room);
        service.begin(1, 0);
        let at = service.machines()[0].water.as_ref().expect("water");
        let kwh = [Measure::TankHeat, Measure::BoosterHeat].map(|part| get(&scenario, part));
        (at.tanks[0].temperature_c, at.rinse_c, kwh)
    };
    let mut cold = washer();
    supply(&mut cold, 40.0);
    zones_of(&mut cold)[0].heater_w = None;
    zones_of(&mut cold)[0].idle_loss_w = 0.0;
    let (tank_c, rinse_c, [tank_kwh, booster_kwh]) = begun(&cold);
    assert_eq!((tank_c, rinse_c, tank_kwh), (40.0, 85.0, 0.0));
    near(booster_kwh, 20.0 * WATER_J * 45.0 / 3.6e6);
    let mut low = washer();
    supply(&mut low, 90.0);
    zones_of(&mut low)[0].idle_loss_w = 0.0;
    assert_eq!(begun(&low), (90.0, 90.0, [0.0, 0.0]));
    let mut hood = wet_hood();
    if let MachineKind::Hood {
        water: Some(water), ..
    } = &mut hood.kind
    {
        let tank = water.tank.as_mut().expect("a tank");
        (tank.heater_w, tank.idle_loss_w) = (None, 0.0);
    }
    let (tank_c, _, [tank_kwh, _]) = begun(&hood);
    assert_eq!((tank_c, tank_kwh), (60.0, 0.0));
    // The sheet fills it as cold.
    let scenario = racks_at(hood, &[]);
    let sheet = Sheet::of(&scenario, &Room::of(&scenario));
    near(sheet.spent.tank_heat_kwh.expect("a tank"), 0.0);
}

/// Somebody of pace 0.8 sprays for 1/0.8 of the time: the sheet's water is that of the evening. 200 plates of 2 s and 0.1 L/s:
/// 50 L.
#[test]
fn the_spray_of_the_sheet_goes_with_the_pace() {
    let mut scenario = racks_at(washer(), &[0.0; 200]);
    scenario.ware[0].pre_rinse_s = 2.0;
    scenario.pre_rinse = Some(PreRinse {
        places: 1,
        per_unit: fixed(0.0),
        batch: 1,
        table: None,
        wets: 0.0,
        removes: 0.0,
        flow_l_per_s: Some(0.1),
        position: Position::default(),
    });
    let mut slow = person("sprayer", &[Duty::PreRinse]);
    slow.pace = 0.8;
    scenario.roster.push(slow);
    let sheet = Sheet::of(&scenario, &Room::of(&scenario));
    near(sheet.spent.pre_rinse_l.expect("a spray"), 50.0);
    near(get(&scenario, Measure::Water), 80.0 + 400.0 + 50.0);
}

/// A rack of 40 plates of 0.5 kg comes at 24 °C to a pre-wash of 40 L and a wash of 80 L, both at 60 °C without a heater. It
/// takes heat from the pre-wash until it is as warm, and from the wash only what it is then short of.
#[test]
fn ware_meets_the_pre_wash_first() {
    let mut machine = washer();
    let zones = zones_of(&mut machine);
    let tank = |volume_l| Zone {
        tank_l: Some(volume_l),
        idle_loss_w: 0.0,
        catches: 0.7,
        ..zone("", ZoneKind::Wash, 1.0)
    };
    zones[0] = Zone {
        name: "wash".into(),
        length_m: 2.0,
        ..tank(80.0)
    };
    zones[1].length_m = 1.0;
    zones[2].flow_l_per_s = Some(0.0);
    let pre_wash = Zone {
        name: "pre-wash".into(),
        kind: ZoneKind::PreWash,
        ..tank(40.0)
    };
    zones.insert(0, pre_wash);
    let mut scenario = racks_at(machine, &[0.0]);
    scenario.ware[0].weight_kg = 20.0;
    scenario.rack[0].weight_kg = 2.0;
    let rack_j = 20.0 * 900.0 + 2.0 * 1900.0;
    let mixed = |tank_l: f64, rack_c: f64| {
        let tank_j = tank_l * WATER_J;
        (tank_j * 60.0 + rack_j * rack_c) / (tank_j + rack_j)
    };
    let pre_wash_c = mixed(40.0, 24.0);
    let wash_c = mixed(80.0, pre_wash_c);
    played(&scenario, |_, state, _| {
        near(state.tanks[1].temperature_c, pre_wash_c);
        near(state.tanks[0].temperature_c, wash_c);
        near(state.books.ware_j, rack_j * (wash_c - 24.0));
    });
}

/// A final rinse and no tank: what it takes goes straight to the drain, and nothing is given detergent.
#[test]
fn a_rinse_without_a_tank_takes_no_detergent() {
    let mut machine = washer();
    zones_of(&mut machine)[0].tank_l = None;
    zones_of(&mut machine)[0].heater_w = None;
    let scenario = racks_at(machine, &[0.0; 10]);
    assert_eq!(get(&scenario, Measure::Detergent), 0.0);
    near(get(&scenario, Measure::RinseAid), 0.0003 * 20.0);
    let sheet = Sheet::of(&scenario, &Room::of(&scenario));
    assert_eq!(sheet.spent.detergent_kg, Some(0.0));
}

/// Racks that enter at 0, 20, 40, 60 and 80 min, and water that may be 30 min old: three enter too late. Changed every
/// 35 min, in a lull, it is 20, 5, 25 and 10 min old when the later ones enter.
#[test]
fn racks_in_old_water_are_counted() {
    let minutes = [0.0, 20.0, 40.0, 60.0, 80.0].map(|min| 60.0 * min);
    let within = |within_s: f64| {
        let mut machine = washer();
        let MachineKind::RackConveyor {
            change_water_within_s,
            ..
        } = &mut machine.kind
        else {
            panic!("a conveyor")
        };
        *change_water_within_s = Some(within_s);
        machine
    };
    let mut changed = within(1800.0);
    let every = WaterChange {
        every_s: Some(2100.0),
        ..BY_ITSELF
    };
    change_of(&mut changed, every);
    let old = |machine| measures(&racks_at(machine, &minutes)).get(Measure::OldWaterRacks);
    assert_eq!(old(washer()), None);
    assert_eq!(old(within(1800.0)), Some(3.0));
    assert_eq!(old(within(4800.0)), Some(0.0));
    assert_eq!(old(changed), Some(0.0));
}
