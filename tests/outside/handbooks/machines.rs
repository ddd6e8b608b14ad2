//! Racks an hour, contact time and landings of dish machines.

use scullery::physics::conveyor::{
    contact_s, hood_racks_per_hour, length_for_contact_m, rated_racks_per_hour,
    speed_for_contact_m_per_s,
};

use super::sheet::sheet;
use super::{FOOT_M, INCH_M, evening, farthest};
use crate::ledger::{self, Row};

pub fn rows() -> Vec<Row> {
    let mut rows = conveyor_formula();
    rows.extend(conveyors());
    rows.extend(hoods());
    rows.extend(exposure());
    rows.extend(two_minutes());
    rows.extend(landings());
    rows
}

#[test]
fn machines_do_what_they_are_rated_for() {
    ledger::holds(&rows());
}

const NSF: &str = "calculation note of the official listings for NSF/ANSI 3";
const RECOMPUTED: &str = "the same note, recomputed";

/// Belt in ft/min, racks of 20 in; racks per hour.
const FEET: [(f64, f64); 6] = [
    (4.0, 144.0),
    (5.0, 180.0),
    (5.8, 208.8),
    (6.0, 216.0),
    (7.0, 252.0),
    (8.0, 288.0),
];
/// Belt in m/min, racks of 0.5 m; racks per hour.
const METRES: [(f64, f64); 3] = [(1.0, 120.0), (1.5, 180.0), (1.7, 204.0)];

/// The function. EN 14957 is for belts up to 5 m/min: the most any conveyor can do.
fn conveyor_formula() -> Vec<Row> {
    let feet = FEET.map(|(ft_per_min, racks)| {
        let ours = rated_racks_per_hour(ft_per_min * FOOT_M / 60.0, 20.0 * INCH_M);
        let what = format!("racks/h at {ft_per_min} ft/min, 20 in");
        Row::is(what, ours, 1e-9, racks, NSF)
    });
    let metres = METRES.map(|(m_per_min, racks)| {
        let ours = rated_racks_per_hour(m_per_min / 60.0, 0.5);
        let what = format!("racks/h at {m_per_min} m/min, 0.5 m");
        Row::is(what, ours, 1e-9, racks, RECOMPUTED)
    });
    let gaps = rated_racks_per_hour(0.1 * FOOT_M, 24.0 * INCH_M);
    let fastest = rated_racks_per_hour(5.0 / 60.0, 20.0 * INCH_M);
    let en = "scope of EN 14957 and the same note, recomputed";
    vec![
        farthest(&feet),
        Row::is(
            "racks/h at 6 ft/min, racks 4 in apart",
            gaps,
            1e-9,
            180.0,
            RECOMPUTED,
        ),
        farthest(&metres),
        Row::is("racks/h at 5 m/min, 20 in", fastest, 5e-3, 590.55, en),
    ]
}

/// A belt and the length its racks take.
fn belt(speed: &str, rack: &str) -> String {
    format!(
        "[[machine]]\nname = \"conveyor\"\nspeed = \"{speed}\"\n\
         [[rack]]\nname = \"rack\"\nfootprint = \"{rack}\""
    )
}

/// The same belts through the program: as `check` rates them (a headway is rounded to a nanosecond), and
/// as an evening counts whole racks in its busiest hour.
fn conveyors() -> Vec<Row> {
    let feet = FEET.map(|(speed, racks)| (format!("{speed} ft/min"), "20 in", racks));
    let metres = METRES.map(|(speed, racks)| (format!("{speed} m/min"), "0.5 m", racks));
    let gaps = [("6 ft/min".to_owned(), "24 in", 180.0)];
    let (mut rated, mut busiest) = (Vec::new(), Vec::new());
    for (speed, rack, racks) in feet.into_iter().chain(metres).chain(gaps) {
        let changes = belt(&speed, rack);
        let ours = sheet("belt.toml", &changes).figure("/machines/0/rated_racks_per_hour");
        let what = format!("`check`: racks/h at {speed}, {rack}");
        rated.push(Row::is(what, ours, 1e-6, racks, NSF));
        if racks.fract() == 0.0 {
            let what = format!("played: racks in the busiest hour at {speed}, {rack}");
            busiest.push(Row::is(what, busiest_hour(&changes), 0.0, racks, NSF));
        }
    }
    let on_its_own = |speed: &str| {
        let of = |row: &&Row| row.what.contains(speed);
        busiest.iter().find(of).expect("that belt").clone()
    };
    vec![
        farthest(&rated),
        on_its_own("6 ft/min, 20 in"),
        on_its_own("6 ft/min, 24 in"),
        farthest(&busiest),
    ]
}

fn busiest_hour(changes: &str) -> f64 {
    let peak = evening("belt.toml", changes).figure("measures/racks_per_hour_peak");
    peak.mean
}

/// Cycle and load time, s; racks per hour.
const HOODS: [(f64, f64, f64); 3] = [(57.0, 5.0, 58.06), (90.0, 30.0, 30.0), (120.0, 30.0, 24.0)];

/// A hood hand changes the racks.
const BY_HAND: &str = r#"attended = true
[[roster]]
name = "hood hand"
from = "12:00"
to = "22:00"
duties = ["hood"]"#;

/// The function, what `check` says, and 200 racks one after the other, changed by themselves and by a
/// hood hand: one rack over the evening is allowed.
fn hoods() -> Vec<Row> {
    let source = "the same note; 120 + 30 s: a trade magazine, 24 and not 30";
    let (mut formula, mut checked, mut played) = (Vec::new(), Vec::new(), Vec::new());
    for (cycle_s, load_s, racks) in HOODS {
        let what = format!("racks/h of a hood, {cycle_s} + {load_s} s");
        let ours = hood_racks_per_hour(1.0, cycle_s + load_s);
        formula.push(Row::is(what.clone(), ours, 5e-3, racks, source));
        for (how, changed) in [("unattended", ""), ("changed by hand", BY_HAND)] {
            let changes = format!(
                "[[machine]]\nname = \"hood\"\ncycle = \"{cycle_s} s\"\n\
                 load_time = \"{load_s} s\"\n{changed}"
            );
            let rated = sheet("hood.toml", &changes).figure("/machines/0/rated_racks_per_hour");
            let what_checked = format!("`check`: {what}, {how}");
            checked.push(Row::is(what_checked, rated, 5e-3, racks, source));
            let (washed, hours) = hood_evening(&changes);
            let what_played = format!("played: {what}, {how}");
            let one_rack = &format!("{source}; within one rack of the evening");
            let rate = washed / hours;
            played.push(Row::is(what_played, rate, 1.0 / hours, racks, one_rack));
        }
    }
    vec![farthest(&formula), farthest(&checked), farthest(&played)]
}

/// Racks washed, and hours from opening until the last one is out.
fn hood_evening(changes: &str) -> (f64, f64) {
    let evening = evening("hood.toml", changes);
    let open_h = 10.0;
    let after_close_min = evening.figure("measures/last_rack_min_after_close").mean;
    let racks = evening.figure("measures/racks").mean;
    (racks, open_h + after_close_min / 60.0)
}

/// Exposure is zone length over speed; on the sheet, from entry to exit.
fn exposure() -> [Row; 2] {
    let zones = [(66.0, 55.0), (44.0, 36.7), (80.0, 66.7)];
    let source = "zone length over belt speed, recomputed";
    let formula = zones.map(|(inches, seconds)| {
        let ours = contact_s(inches * INCH_M, 0.1 * FOOT_M);
        let what = format!("s in a zone of {inches} in at 6 ft/min");
        Row::is(what, ours, 0.05, seconds, source)
    });
    let checked = zones.map(|(inches, seconds)| {
        let changes = format!("[[machine]]\nname = \"conveyor\"\ntunnel = \"{inches} in\"");
        let ours = sheet("belt.toml", &changes).figure("/machines/0/transit_s");
        let what = format!("`check`: s in a tunnel of {inches} in at 6 ft/min");
        Row::is(what, ours, 0.05, seconds, source)
    });
    [farthest(&formula), farthest(&checked)]
}

const DIN: &str = "DIN 10510 in a trade lexicon: at least two minutes of contact; recomputed";

/// Zones in which a belt keeps two minutes: words for the file, m, m/s.
fn zones() -> [(&'static str, f64, f64); 4] {
    [
        ("2.00 m", 2.00, 1.0 / 60.0),
        ("3.40 m", 3.40, 1.7 / 60.0),
        ("12 ft", 12.0 * FOOT_M, 0.1 * FOOT_M),
        ("1.8 m", 1.8, 0.9 / 60.0),
    ]
}

/// So 216 racks per hour take 12 ft of zones.
fn two_minutes() -> [Row; 5] {
    let lengths = zones().map(|(zone, metres, m_per_s)| {
        let ours = length_for_contact_m(m_per_s, 120.0);
        let what = format!("m of zones for 120 s, {zone}");
        Row::is(what, ours, 1e-9, metres, DIN)
    });
    let slow = |zone: &str| {
        let changes = format!("tunnel = \"{zone}\"\ncontact_time = \"120 s\"");
        sheet(
            "no-speed.toml",
            &format!("[[machine]]\nname = \"slow\"\n{changes}"),
        )
    };
    let speeds = zones().map(|(zone, _, m_per_s)| {
        let ours = 60.0 * slow(zone).figure("/machines/0/speed_m_per_s");
        let what = format!("`check`: m/min of a belt for 120 s in {zone}");
        Row::is(what, ours, 1e-9, 60.0 * m_per_s, DIN)
    });
    let speed = speed_for_contact_m_per_s(12.0 * FOOT_M, 120.0);
    let racks = rated_racks_per_hour(speed, 20.0 * INCH_M);
    let checked = slow("12 ft").figure("/machines/0/rated_racks_per_hour");
    let unsaid = sheet("no-speed.toml", "").figure("/machines/0/contact_s");
    let ninety =
        "DIN 10511 and 10512 in a trade lexicon: 90 s are sufficient in a single-tank machine";
    [
        farthest(&lengths),
        Row::is(
            "racks/h of 20 in for 120 s in 12 ft",
            racks,
            1e-9,
            216.0,
            DIN,
        ),
        farthest(&speeds),
        Row::is(
            "`check`: racks/h of 20 in for 120 s in 12 ft",
            checked,
            1e-6,
            216.0,
            DIN,
        ),
        Row::is(
            "`check`: s of contact if nothing is said",
            unsaid,
            1e-9,
            90.0,
            ninety,
        ),
    ]
}

/// Length of the landing; racks of 20 in.
const LANDINGS: [(&str, f64); 2] = [("60 in", 3.0), ("100 in", 5.0)];

/// On the sheet; and played, with nobody to unload: the belt stands, and so many are on the landing.
fn landings() -> [Row; 3] {
    let source = "plan-review letters, Minnesota Department of Health, 2000 to 2014: 3 racks in 60 in \
                  behind hot water, 5 in 100 in behind chemicals";
    let changes =
        |length: &str| format!("[[machine]]\nname = \"conveyor\"\nlanding = \"{length}\"");
    let checked = LANDINGS.map(|(length, racks)| {
        let ours = sheet("landing.toml", &changes(length)).figure("/machines/0/landing");
        Row::is(
            format!("`check`: racks on {length}"),
            ours,
            0.0,
            racks,
            source,
        )
    });
    let (mut most, mut stopped) = (Vec::new(), Vec::new());
    for (length, racks) in LANDINGS {
        let evening = evening("landing.toml", &changes(length));
        let [on_landing, ..] = evening.at("on_landing", "12:59");
        let [standing, ..] = evening.at("machines_stopped", "12:59");
        let what = format!("played: racks on {length} when nobody unloads");
        most.push(Row::is(what, on_landing, 0.0, racks, source));
        let what = format!("played: share of the belts that stand behind {length}");
        stopped.push(Row::is(what, standing, 0.0, 1.0, source));
    }
    [farthest(&checked), farthest(&most), farthest(&stopped)]
}
