//! Heating of tanks and boosters, soil in a tank, water of the final rinse.

use scullery::physics::conveyor::{contact_s, rated_racks_per_hour};
use scullery::physics::dilution::{
    even_g_per_l, memory_racks, rinse_l_per_s, steady_g_per_l, stepwise_g_per_l,
};
use scullery::physics::heat::{
    Held, Load, Lump, Thermostat, WATER_KG_PER_L, heat_to_raise_j, heat_up_s,
};
use scullery::physics::limits::{
    BOOSTER_OUTLET_C, BOOSTER_SUPPLY_C, LITRES_PER_GALLON, Rated, Sanitising, booster_j,
    rinse_water_most,
};

use super::{FOOT_M, HOUR_S, INCH_M, farthest};
use crate::ledger::{self, Row, Theirs};

pub fn rows() -> Vec<Row> {
    let mut rows = heat_of_water().to_vec();
    rows.extend(booster_power());
    rows.extend(booster_by_the_gallon());
    rows.extend(heater_sizing());
    rows.extend(heat_up());
    rows.extend(lumped_booster());
    rows.extend(tank_soil());
    rows.extend(rinse_water());
    rows
}

#[test]
fn heat_and_water_are_those_of_the_trade() {
    ledger::holds(&rows());
}

const POUND_KG: f64 = 0.453_592_37;
const BTU_J: f64 = 1_055.056;
const FAHRENHEIT_K: f64 = 1.0 / 1.8;
const KWH_J: f64 = 3.6e6;

/// 4186 J/(kg K) is 0.02 % less than a Btu a pound and °F.
const SPECIFIC_HEAT: f64 = 0.0002;
/// A gallon of 1 kg/L and 4186 J/(kg K) takes 0.17 % more than one of 8.33 lb and 1 Btu/(lb °F).
const WATER_OF_8_33: f64 = 0.0017;
/// And 0.05 % more than one of 8.34 lb.
const WATER_OF_8_34: f64 = 0.0005;

/// Heat for so many gallons of so many pounds each, risen by so many °F, J.
fn pounds_j(gallons: f64, pounds: f64, rise_f: f64) -> f64 {
    heat_to_raise_j(gallons * pounds * POUND_KG, 0.0, rise_f * FAHRENHEIT_K)
}

/// Heat for so many gallons of ours, J.
fn gallons_j(gallons: f64, rise_f: f64) -> f64 {
    let kg = gallons * LITRES_PER_GALLON * WATER_KG_PER_L;
    heat_to_raise_j(kg, 0.0, rise_f * FAHRENHEIT_K)
}

fn heat_of_water() -> [Row; 1] {
    let ours = heat_to_raise_j(WATER_KG_PER_L, 60.0, 61.0) / HOUR_S;
    let source = "4186.8 J/(kg K), 1 kg/L, recomputed";
    [Row::is(
        "heat of water, Wh/(L K)",
        ours,
        5e-4,
        1.163,
        source,
    )]
}

/// 40 °F at the flow of a single-tank conveyor and of one with several tanks; gallons per minute, kW.
fn booster_power() -> [Row; 3] {
    let source = "8.33 lb/gal × 40 °F × 60/3412, recomputed";
    let (mut pounds, mut litres) = (Vec::new(), Vec::new());
    for (gpm, kw) in [(2.52, 14.765), (1.944, 11.390)] {
        let what = format!("booster for {gpm} gal/min, 40 °F, kW");
        let ours = pounds_j(gpm / 60.0, 8.33, 40.0) / 1000.0;
        let within = SPECIFIC_HEAT * kw + 5e-4;
        let why = format!("{source}; within 0.02 %, the specific heat");
        pounds.push(Row::is(
            format!("{what}, 8.33 lb/gal"),
            ours,
            within,
            kw,
            &why,
        ));
        let supply = Load {
            room_c: 24.0,
            flow_kg_per_s: gpm * LITRES_PER_GALLON * WATER_KG_PER_L / 60.0,
            inlet_c: BOOSTER_SUPPLY_C,
        };
        let ours = Lump::of_water(20.0, 0.0).needed_w(supply, BOOSTER_OUTLET_C) / 1000.0;
        let within = WATER_OF_8_33 * kw + 5e-4;
        let why = format!("{source}; within 0.17 %, the weight of a gallon");
        litres.push(Row::is(format!("{what}, 1 kg/L"), ours, within, kw, &why));
    }
    let door = gallons_j(1.16, 40.0) * 60.0 / BTU_J;
    let door_source = "a public worked example: 1.16 × 40 × 500.4; within 0.05 %, the weight of a \
                       gallon";
    let within = WATER_OF_8_34 * 23_219.0 + 0.5;
    [
        farthest(&pounds),
        farthest(&litres),
        Row::is(
            "door machine of 1.16 gal/min, 40 °F, Btu/h",
            door,
            within,
            23_219.0,
            door_source,
        ),
    ]
}

/// kWh a gallon and a rack at 40 °F, and a gallon at 70 and 110 °F with an efficiency of 0.98.
fn booster_by_the_gallon() -> [Row; 3] {
    let gallon = booster_j(LITRES_PER_GALLON) / KWH_J;
    let rack = |rated| {
        let litres = rinse_water_most(rated, Sanitising::HotWater).exact;
        booster_j(litres) / KWH_J
    };
    let source = "8.33 lb/gal × 40 °F/3412, recomputed; within 0.17 %, the weight of a gallon";
    let row = |what: &str, ours, kwh| {
        let within = WATER_OF_8_33 * kwh + 5e-5;
        Row::is(
            format!("booster at 40 °F, kWh {what}"),
            ours,
            within,
            kwh,
            source,
        )
    };
    let calculator = [(70.0, 0.1716), (110.0, 0.2697)].map(|(rise_f, kwh)| {
        let ours = pounds_j(1.0, 8.2, rise_f) / 0.98 / KWH_J;
        let what = format!("water heater at {rise_f} °F, 8.2 lb/gal, efficiency 0.98, kWh/gal");
        let source = "a public copy of the ENERGY STAR calculator";
        Row::is(what, ours, 5e-5, kwh, source)
    });
    let [single, multi] = [Rated::SingleTankConveyor, Rated::MultiTankConveyor].map(rack);
    [
        row("per gallon", gallon, 0.0977),
        farthest(&[
            row("per rack of 0.70 gal", single, 0.0684),
            row("per rack of 0.54 gal", multi, 0.0527),
        ]),
        farthest(&calculator),
    ]
}

/// kW = gal/h × 0.149 at a rise of 60 °F, which has an efficiency in it; and 6.8 kW of a door machine.
fn heater_sizing() -> [Row; 2] {
    let efficiency = pounds_j(1.0 / HOUR_S, 8.33, 60.0) / 1000.0 / 0.149;
    let door_kw = gallons_j(1.16 / 60.0, 40.0) / 1000.0;
    [
        Row::is(
            "efficiency in kW = gal/h × 0.149 at 60 °F",
            efficiency,
            5e-4,
            0.983,
            "environmental health directors' guide to sizing water heaters (California); 8.33 lb/gal",
        ),
        Row::is(
            "door machine of 1.16 gal/min, 40 °F, kW",
            door_kw,
            0.05,
            6.8,
            "a public worked example",
        ),
    ]
}

/// A tank of 83 L and 15 kW that loses nothing: from, to, minutes. By the function, and held by a
/// thermostat that gets there in that time and no sooner.
fn heat_up() -> [Row; 2] {
    let source = "83 L × 4.186 kJ/(kg K)/15 kW, worked out";
    let (mut formula, mut held) = (Vec::new(), Vec::new());
    for (from_c, to_c, minutes) in [
        (60.0, 71.0, 4.246),
        (43.0, 66.0, 8.879),
        (15.0, 66.0, 19.688),
    ] {
        let ours = heat_up_s(83.0 * WATER_KG_PER_L, from_c, to_c, 15_000.0);
        let what = format!("83 L, 15 kW, {from_c} to {to_c} °C, min");
        let min = ours.unwrap_or(f64::NAN) / 60.0;
        formula.push(Row::is(what.clone(), min, 5e-4, minutes, source));
        let still = Load {
            room_c: 24.0,
            flow_kg_per_s: 0.0,
            inlet_c: from_c,
        };
        let thermostat = Thermostat {
            heater_w: 15_000.0,
            set_c: to_c,
        };
        let tank = Lump::of_water(83.0 * WATER_KG_PER_L, 0.0);
        let day = tank.hold(still, thermostat, from_c, 24.0 * HOUR_S);
        let min = day.energy_j / thermostat.heater_w / 60.0;
        let what = format!("{what}, at full power in a day");
        held.push(Row::is(what, min, 5e-4, minutes, source));
    }
    [farthest(&formula), farthest(&held)]
}

/// 20 L, started at its set point of 85 °C, while 2.52 gal per minute of 60 °C run through.
const BOOSTER: Lump = Lump::of_water(20.0, 0.0);
const RINSE: Load = Load {
    room_c: 24.0,
    flow_kg_per_s: 2.52 * LITRES_PER_GALLON * WATER_KG_PER_L / 60.0,
    inlet_c: 60.0,
};

/// So many seconds of rinse.
fn rinsed(kw: f64, dt_s: f64) -> Held {
    let thermostat = Thermostat {
        heater_w: 1000.0 * kw,
        set_c: 85.0,
    };
    BOOSTER.hold(RINSE, thermostat, 85.0, dt_s)
}

/// With 15 kW it is never under 82.2 °C; with 9 kW it is under 180 °F after half a minute.
fn lumped_booster() -> [Row; 5] {
    let source = "energy balance of a stirred tank, worked out";
    let limits = [(15.0, 82.539), (9.0, 73.523)].map(|(kw, theirs)| {
        let ours = BOOSTER.limit_c(RINSE, 1000.0 * kw).unwrap_or(f64::NAN);
        let what = format!("booster of 20 L, {kw} kW, 2.52 gal/min, limit, °C");
        Row::is(what, ours, 5e-4, theirs, source)
    });
    let constant_s = BOOSTER.time_constant_s(RINSE).unwrap_or(f64::NAN);
    let later = [(60.0, 84.066), (300.0, 82.765)].map(|(dt_s, theirs)| {
        let what = format!("the same, 15 kW, {dt_s} s after 85 °C, °C");
        Row::is(what, rinsed(15.0, dt_s).temperature_c, 5e-4, theirs, source)
    });
    let lowest = rinsed(15.0, 24.0 * HOUR_S).lowest_c;
    let falls_s = BOOSTER.time_to_s(RINSE, 9_000.0, 85.0, BOOSTER_OUTLET_C);
    let falls_s = falls_s.unwrap_or(f64::NAN);
    [
        farthest(&limits),
        Row::is(
            "the same, time constant, s",
            constant_s,
            5e-3,
            125.80,
            source,
        ),
        farthest(&later),
        Row {
            theirs: Theirs::Above(82.2),
            ..Row::is(
                "the same, 15 kW, lowest of a day, °C",
                lowest,
                0.0,
                0.0,
                source,
            )
        },
        Row::is(
            "the same, 9 kW, falls through 180 °F after, s",
            falls_s,
            5e-3,
            34.86,
            source,
        ),
    ]
}

/// Racks; g/L where soil and rinse come evenly, and rack by rack.
const SOIL: [(u32, f64, f64); 4] = [
    (10, 1.0314, 1.0457),
    (50, 3.0090, 3.0286),
    (100, 3.6186, 3.6265),
    (200, 3.7672, 3.7679),
];

/// 83 L, 10 g of soil and 2.65 L of rinse per rack.
fn tank_soil() -> [Row; 5] {
    let source = "mass balance of a stirred tank, worked out";
    let what = |racks: u32, how: &str| format!("tank soil after {racks} racks, {how}, g/L");
    let even = SOIL.map(|(racks, theirs, _)| {
        let ours = even_g_per_l(f64::from(racks), 10.0, 2.65, 83.0);
        Row::is(what(racks, "evenly"), ours, 5e-5, theirs, source)
    });
    let stepwise = SOIL.map(|(racks, _, theirs)| {
        let ours = stepwise_g_per_l(racks, 10.0, 2.65, 83.0);
        Row::is(what(racks, "rack by rack"), ours, 5e-5, theirs, source)
    });
    let steady = steady_g_per_l(10.0, 2.65).unwrap_or(f64::NAN);
    let racks = memory_racks(2.65, 83.0).unwrap_or(f64::NAN);
    let share = even_g_per_l(racks, 10.0, 2.65, 83.0) / steady;
    [
        farthest(&even),
        farthest(&stepwise),
        Row::is("tank soil in the end, g/L", steady, 5e-5, 3.7736, source),
        Row::is("racks to 63 % of it", racks, 0.05, 31.3, source),
        Row::is("share of it by then", share, 5e-3, 0.63, source),
    ]
}

/// 0.70 gal per rack at 216 racks per hour; 40 racks of 1.2 gal; and 100 racks in an hour of a rinse that
/// runs with a rack under it, and of one that always runs.
fn rinse_water() -> [Row; 5] {
    let source = "gal/min × 60 = gal per rack × racks/h (calculation note of the official listings for \
                  NSF/ANSI 3)";
    let row = |what: &str, ours, theirs| Row::is(what, ours, 1e-9, theirs, source);
    let (speed, rack_m) = (0.1 * FOOT_M, 20.0 * INCH_M);
    let a_rack = rinse_water_most(Rated::SingleTankConveyor, Sanitising::HotWater).exact;
    let flow = rinse_l_per_s(a_rack, rated_racks_per_hour(speed, rack_m)) / LITRES_PER_GALLON;
    let door = rinse_l_per_s(1.2, 40.0) * HOUR_S;
    let under_racks_s = 100.0 * contact_s(rack_m, speed);
    [
        farthest(&[
            row(
                "rinse of 0.70 gal per rack, 216 racks/h, gal/min",
                flow * 60.0,
                2.52,
            ),
            row("the same, gal/h", flow * HOUR_S, 151.2),
        ]),
        row("rinse of 1.2 gal per rack, 40 racks/h, gal/h", door, 48.0),
        row(
            "2.52 gal/min with a rack under it, 100 racks, gal",
            flow * under_racks_s,
            70.0,
        ),
        row(
            "2.52 gal/min always on, 100 racks/h, gal per rack",
            flow * HOUR_S / 100.0,
            1.512,
        ),
        Row::is("times as much", HOUR_S / under_racks_s, 5e-3, 2.16, source),
    ]
}
