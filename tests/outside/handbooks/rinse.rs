//! Rinse water and its heat, by the front door: racks of 20 in back to back at 6 ft/min behind 0.70 gal a
//! rack, 2.52 gal/min.

use super::evening;
use super::sheet::sheet;
use crate::ledger::{self, Row};
use crate::played::Played;

const GALLON_L: f64 = 3.785_411_784;

pub fn rows() -> Vec<Row> {
    let mut rows = water().to_vec();
    rows.extend(heat());
    rows.push(hood());
    rows
}

#[test]
fn the_rinse_takes_what_the_trade_says() {
    ledger::holds(&rows());
}

/// So many racks and a final rinse; `more` stands among the keys of the machine, `keys` in its final rinse.
fn rinsed(racks: u32, keys: &str, more: &str) -> String {
    format!(
        "[[backlog]]\nname = \"racks\"\npieces = {racks}\n[[machine]]\nname = \"conveyor\"\n{more}\n\
         zones = [{{ name = \"rinse\", kind = \"final-rinse\", length = \"20 in\", flow = \"2.52 gal/min\"{keys} }}]\n"
    )
}

fn figure(played: &Played, name: &str) -> f64 {
    played.figure(&format!("measures/{name}")).mean
}

fn water() -> [Row; 2] {
    let source = "EPA WaterSense at Work 2012, p. 143, and the calculation note of the NSF/ANSI 3 listings, worked out";
    let gallons = |changes: &str| figure(&evening("belt.toml", changes), "water_l") / GALLON_L;
    let with_rack = gallons(&rinsed(100, "", ""));
    let always = gallons(&rinsed(100, "", "rinse_runs = \"always\""));
    [
        Row::is(
            "played: 100 racks, rinse with a rack present, gal",
            with_rack,
            1e-6,
            70.0,
            source,
        ),
        Row::is(
            "played: four hours, rinse always on, gal",
            always,
            1e-6,
            4.0 * 151.2,
            source,
        ),
    ]
}

/// A door machine with the label: 0.89 gal per rack, whatever fills its tank.
fn hood() -> Row {
    let water = "[[machine]]\nname = \"hood\"\nrinse = { water = \"0.89 gal\" }\n";
    let gallons = figure(&evening("hood.toml", water), "water_l") / GALLON_L;
    let source = "ENERGY STAR 2.0, a public copy of its calculator: 0.89 gal per rack of a door machine, worked out";
    Row::is(
        "played: 200 racks of a hood of 0.89 gal, gal",
        gallons,
        1e-6,
        178.0,
        source,
    )
}

/// 140 °F in, 180 °F out. Of the energy of 100 racks, one fill of the booster at its start is none of theirs.
fn heat() -> [Row; 5] {
    let boosted = |kw: u32, set_f: u32| {
        let booster =
            format!("supply = \"140 °F\"\nbooster = {{ power = \"{kw} kW\", holds = \"20 L\" }}");
        rinsed(
            100,
            &format!(", temperature = \"{set_f} °F\", minimum = \"180 °F\""),
            &booster,
        )
    };
    let played = evening("belt.toml", &boosted(400, 180));
    let fill_kwh = 20.0 * 4186.0 * 40.0 / 1.8 / 3.6e6;
    let a_rack = (figure(&played, "energy_kwh") - fill_kwh) / 100.0;
    let by_gallon = "0.70 gal per rack lifted by 40 °F (8.33 lb/gal, 1 Btu/(lb °F)), recomputed; within 0.17 % for 1 kg/L and 4186 J/(kg K)";
    let needed_kw = sheet("belt.toml", &boosted(15, 180)).figure("/water/0/booster/needed_w") / 1e3;
    let lifted =
        "2.52 gal/min lifted by 40 °F, recomputed; within 0.17 % for 1 kg/L and 4186 J/(kg K)";
    // 85 °C are 185 °F.
    let weak = figure(
        &evening("belt.toml", &boosted(9, 185)),
        "under_temperature_racks",
    );
    let falls = "9 kW on 20 L at 85 °C fall through 180 °F after 34.86 s of rinse (worked out): the first two racks of 16.67 s have passed";
    let strong = figure(
        &evening("belt.toml", &boosted(400, 185)),
        "under_temperature_racks",
    );
    [
        Row::is(
            "played: heat per rack, kWh",
            a_rack,
            0.0017 * 0.0684 + 5e-5,
            0.0684,
            by_gallon,
        ),
        Row::is(
            "played: booster at 40 °F, kWh a gallon",
            figure(&played, "booster_kwh") / 70.0 - fill_kwh / 70.0,
            0.0017 * 0.0977 + 5e-5,
            0.0977,
            "8.33 lb/gal × 40 °F/3412, recomputed; within 0.17 %, the weight of a gallon",
        ),
        Row::is(
            "`check`: booster without a gap, kW",
            needed_kw,
            0.0017 * 14.765 + 5e-4,
            14.765,
            lifted,
        ),
        Row::is(
            "played: of 100 racks under 180 °F with 9 kW",
            weak,
            0.0,
            98.0,
            falls,
        ),
        Row::is("played: the same with 400 kW", strong, 0.0, 0.0, falls),
    ]
}
