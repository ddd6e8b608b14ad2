//! Drying in two periods, films that stand in a room, the soak and the wash.

use scullery::physics::drying::{
    constant_rate_s, dryness, falling_rate_s, film_rate_per_s, is_dried_on, theta_of,
};
use scullery::physics::washing::Wash;
use scullery::physics::wetting::soaked;

use super::air::{ROOM_FILM, ROOM_FILM_SOURCE};
use super::sheet::sheet;
use super::{HOUR_S, evening, farthest};
use crate::ledger::{self, Row};

pub fn rows() -> Vec<Row> {
    let mut rows = geankoplis();
    rows.extend(treybal());
    rows.extend(coulson_and_richardson());
    rows.extend(berk());
    rows.push(film_is_the_textbook_curve());
    rows.extend(film_table());
    rows.extend(films_on_the_sheet());
    rows.extend(films_left_to_stand());
    rows.push(soak_table());
    rows.extend(wash_table());
    rows
}

#[test]
fn what_stands_dries_as_in_the_textbooks() {
    ledger::holds(&rows());
}

/// Hours, kg/(h m²): 0.38 to 0.25 at the constant rate, and 0.38 through 0.195 to 0.04.
fn geankoplis() -> Vec<Row> {
    let solid = 399.0 / 18.58;
    let short_h = constant_rate_s(21.5, 0.38, 0.25, 1.51);
    let constant_h = constant_rate_s(solid, 0.38, 0.195, 1.51);
    let falling_h = falling_rate_s(solid, 0.195, 0.04, 0.0, 1.51);
    let book = "Geankoplis, Transport Processes and Separation Process Principles";
    let row = |what: &str, ours, within, theirs, example: &str| {
        Row::is(what, ours, within, theirs, &format!("{book}, {example}"))
    };
    vec![
        row(
            "drying from 0.38 to 0.25, constant rate, h",
            short_h,
            5e-3,
            1.85,
            "Ex. 9.6-2",
        ),
        row(
            "drying from 0.38 to 0.195, constant rate, h",
            constant_h,
            5e-4,
            2.631,
            "Ex. 9.7-2, recomputed",
        ),
        row(
            "on to 0.04, falling rate, h",
            falling_h,
            5e-3,
            4.39,
            "Ex. 9.7-2",
        ),
        row(
            "both parts, h",
            constant_h + falling_h,
            5e-3,
            7.02,
            "Ex. 9.7-2, recomputed",
        ),
    ]
}

/// 25 % to 6 % wet basis. The falling part there is an area read off a curve (1060), not a straight
/// line to an equilibrium, so only the constant part is ours.
fn treybal() -> [Row; 2] {
    let constant = constant_rate_s(40.0, 0.25 / 0.75, 0.20, 0.3e-3);
    let both_h = (constant + 40.0 * 1060.0) / HOUR_S;
    let source = "Treybal, Mass-Transfer Operations, Ill. 12.3, p. 671";
    [
        Row::is(
            "drying from 25 % to 0.20, constant rate, s",
            constant,
            0.5,
            17_778.0,
            source,
        ),
        Row::is(
            "both parts, the falling one by the area in the book, h",
            both_h,
            5e-3,
            16.72,
            source,
        ),
    ]
}

/// A run from 25 to 10 % in 15 ks (critical 15 %, equilibrium 5 %) gives mA; then 30 to 8 %. With dry
/// solid 1 and free critical moisture fc, the constant rate is mA fc.
fn coulson_and_richardson() -> [Row; 3] {
    let (critical, equilibrium) = (0.15, 0.05);
    let time = |from: f64, to: f64, ma: f64| {
        let rate = ma * (critical - equilibrium);
        constant_rate_s(1.0, from, critical, rate)
            + falling_rate_s(1.0, critical, to, equilibrium, rate)
    };
    let ma = time(0.25, 0.10, 1.0) / 15.0;
    let second_ks = time(0.30, 0.08, ma);
    let source = "Coulson and Richardson, Chemical Engineering vol. 2, Ex. 16.1";
    [
        Row::is(
            "mA of a run from 25 to 10 %, 1/ks",
            ma,
            5e-5,
            0.1129,
            source,
        ),
        Row::is(
            "a second run from 30 to 8 %, ks",
            second_ks,
            5e-3,
            23.96,
            source,
        ),
        Row::is(
            "the same, h",
            second_ks * 1000.0 / HOUR_S,
            5e-3,
            6.65,
            source,
        ),
    ]
}

/// Dates from 75 to 20 % wet basis, falling rate throughout; the equilibrium is 8 % wet basis.
fn berk() -> [Row; 2] {
    let source = "Berk, Food Process Engineering and Technology, Ex. 22.4 (eqs 22.17 to 22.19), \
                  recomputed";
    let row = |what, equilibrium, within, theirs| {
        let ours = falling_rate_s(1.0, 3.0, 0.25, equilibrium, 0.5);
        Row::is(what, ours, within, theirs, source)
    };
    [
        row("drying dates, equilibrium 0.087, h", 0.087, 5e-3, 16.80),
        row(
            "drying dates, equilibrium 8/92, h",
            8.0 / 92.0,
            5e-4,
            16.796,
        ),
    ]
}

/// The film is the same two periods with no equilibrium; 5 % is left of it, critical moisture 0.4.
fn film_is_the_textbook_curve() -> Row {
    let (critical, left) = (0.4, 0.05);
    let textbook = (1.0 - critical) + critical * libm::log(critical / left);
    let source = "Geankoplis, secs 9.6 and 9.7, worked out";
    farthest(&[
        Row::is(
            "time to 95 % dry",
            theta_of(1.0 - left, critical),
            1e-12,
            textbook,
            source,
        ),
        Row::is(
            "dryness then",
            dryness(textbook, critical),
            1e-12,
            1.0 - left,
            source,
        ),
    ])
}

/// Films at 0.213 kg/(h m²), critical moisture 0.4.
/// Film µm; end of the constant part min; dryness at 5, 10, 15, 20, 30, 45, 60, 90 min; min to 0.9.
const FILM_TABLE: [(f64, f64, &[f64], f64); 3] = [
    (
        50.0,
        8.4507,
        &[0.3550, 0.6962, 0.8749, 0.9485, 0.9913, 0.9994],
        16.2608,
    ),
    (
        100.0,
        16.9014,
        &[
            0.1775, 0.3550, 0.5325, 0.6962, 0.8749, 0.9670, 0.9913, 0.9994,
        ],
        32.5216,
    ),
    (
        200.0,
        33.8028,
        &[
            0.0887, 0.1775, 0.2663, 0.3550, 0.5325, 0.7566, 0.8749, 0.9670,
        ],
        65.0433,
    ),
];
const FILM_SOURCE: &str = "two periods of a textbook, worked out for 0.213 kg/(h m²), critical 0.4";

fn film_table() -> [Row; 3] {
    let minutes = [5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0];
    let (mut times, mut drynesses, mut dried_on) = (Vec::new(), Vec::new(), Vec::new());
    for (film_um, constant_min, by_minute, ninety_min) in FILM_TABLE {
        let per_min = 60.0 * film_rate_per_s(0.213 / HOUR_S, film_um * 1e-6);
        for (dry, theirs) in [(0.6, constant_min), (0.9, ninety_min)] {
            let what = format!("film of {film_um} µm, min to {dry} dry");
            let ours = theta_of(dry, 0.4) / per_min;
            times.push(Row::is(what, ours, 5e-5, theirs, FILM_SOURCE));
        }
        for (minute, printed) in minutes.into_iter().zip(by_minute) {
            let what = format!("film of {film_um} µm after {minute} min");
            let theta = per_min * minute;
            let ours = f64::from(is_dried_on(theta, 0.4));
            let theirs = f64::from(minute > constant_min);
            let of_two = format!("{what}, dried on or not");
            dried_on.push(Row::is(of_two, ours, 0.0, theirs, FILM_SOURCE));
            // Half a unit and a hair: 0.08875 is printed 0.0887.
            let dryness = dryness(theta, 0.4);
            drynesses.push(Row::is(what, dryness, 5.01e-5, *printed, FILM_SOURCE));
        }
    }
    [farthest(&times), farthest(&drynesses), farthest(&dried_on)]
}

/// The program works the rate out from the air, where the tables round it: what that moves is allowed.
fn films_on_the_sheet() -> [Row; 2] {
    let dries = "/drying/soils/0/dries_in_min";
    let films = FILM_TABLE.map(|(film_um, constant_min, ..)| {
        let changes = format!("[[soil]]\nname = \"film\"\nfilm = \"{film_um} um\"");
        let ours = sheet("standing.toml", &changes).figure(dries);
        let what = format!("`check`: film of {film_um} µm is dried on after, min");
        let rounding = constant_min * 0.0005 / 0.213;
        let source = &format!("{FILM_SOURCE}; within what the rounding of 0.213 makes");
        Row::is(what, ours, rounding, constant_min, source)
    });
    let rooms = ROOM_FILM.map(|(air_c, humidity, _, air_min, _, _, bulb_min)| {
        let changes = format!("[air]\ntemperature = \"{air_c} °C\"\nhumidity = {humidity}");
        let sheet = sheet("standing.toml", &changes);
        let row = |surface: &str, path: &str, theirs: f64| {
            let what = format!(
                "`check`: film of 0.1 mm in {air_c} °C, {} %, {surface}, min",
                100.0 * humidity
            );
            // On the sheet is the time to the critical moisture, 0.6 of all.
            Row::is(
                what,
                sheet.figure(path) / 0.6,
                0.5,
                theirs,
                ROOM_FILM_SOURCE,
            )
        };
        [
            row("at air temperature", dries, air_min),
            row("at wet bulb", "/drying/soils/0/wet_bulb_min", bulb_min),
        ]
    });
    [farthest(&films), farthest(rooms.as_flattened())]
}

/// Plates of the same film are taken up a little before the end of the constant part, and a little
/// after it: none is dried on, and all are.
const STANDING: [(f64, [&str; 2]); 3] = [
    (100.0, ["12:16:30", "12:17:18"]),
    (50.0, ["12:08:15", "12:08:39"]),
    (200.0, ["12:33:00", "12:34:36"]),
];

fn films_left_to_stand() -> [Row; 2] {
    [("before", 0, 0.0), ("after", 1, 1.0)].map(|(when, which, theirs)| {
        farthest(&STANDING.map(|(film_um, taken_up)| {
            let clock = taken_up[which];
            let what =
                format!("played: film of {film_um} µm, from noon to {clock}, share dried on");
            let source = &format!("{FILM_SOURCE}; {when} the end of the constant part");
            Row::is(what, dried_on_share(film_um, clock), 0.0, theirs, source)
        }))
    })
}

fn dried_on_share(film_um: f64, taken_up: &str) -> f64 {
    let changes = format!(
        "[[soil]]\nname = \"film\"\nfilm = \"{film_um} um\"\n\
         [[roster]]\nname = \"loader\"\nfrom = \"{taken_up}\""
    );
    let share = evening("standing.toml", &changes).figure("measures/dried_on_share");
    share.mean
}

/// Time constant 5 min, from 0.9.
fn soak_table() -> Row {
    let table = [
        (1.0, 0.7369),
        (2.0, 0.6033),
        (5.0, 0.3311),
        (10.0, 0.1218),
        (15.0, 0.0448),
    ];
    farthest(&table.map(|(minutes, left)| {
        let ours = soaked(0.9, minutes * 60.0, 300.0);
        let what = format!("0.9 dry, soaked for {minutes} min");
        Row::is(
            what,
            ours,
            5e-5,
            left,
            "exponential, worked out; no source of the law",
        )
    }))
}

/// Soils with 2 and 50, and with 1 and 40 dirty in a hundred. (k half dry is √(3.912023 × 0.693147)
/// = 1.646696; a printed 1.646697 is one off in its last digit.)
fn wash_table() -> [Row; 2] {
    let source = "exponential in washes, geometric in dryness, worked out; no source of the law";
    let wash = Wash::new(0.02, 0.50);
    let k = |dry: f64| -libm::log(wash.dirty_probability(dry, 1.0));
    let ks = [
        (0.0, 3.912_023),
        (0.5, 1.646_696),
        (1.0, std::f64::consts::LN_2),
    ];
    let ks = ks.map(|(dry, theirs)| Row::is(format!("k, {dry} dry"), k(dry), 5e-7, theirs, source));
    let row = |what, ours, within, theirs| Row::is(what, ours, within, theirs, source);
    let harder = Wash::new(0.01, 0.40).dirty_probability(0.5, 1.0);
    let dirty = [
        row(
            "dirty, half dry",
            wash.dirty_probability(0.5, 1.0),
            5e-7,
            0.192_685,
        ),
        row(
            "dirty, dried on, washed twice",
            wash.dirty_probability(1.0, 2.0),
            1e-12,
            0.25,
        ),
        row(
            "dirty, fresh, half a wash",
            wash.dirty_probability(0.0, 0.5),
            5e-7,
            0.141_421,
        ),
        row("dirty, half dry, 1 and 40 %", harder, 5e-7, 0.128_197),
    ];
    [farthest(&ks), farthest(&dirty)]
}
