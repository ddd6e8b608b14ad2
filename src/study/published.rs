//! Zones of a machine, and a pot sink, against the published limits of warewashing, and in an order that makes sense.
//!
//! A set point or a minimum outside a limit is allowed: the data plate of the machine and the local code
//! decide. It is said, with the figure and where it is printed.

use super::evening::{Finding, Severity};
use crate::physics::limits::{self, Breach};
use crate::scenario::model::{
    Duty, HoodWater, Machine, MachineKind, PotSink, RosterRow, Sanitising, Scenario, SinkSanitiser,
    Zone, ZoneKind,
};
use crate::words::findings::limits::{self as words, MINIMUM, SET_POINT};

/// Water hotter than this sets starch and protein on the ware, °C (two trade pages).
const PRE_WASH_MOST_C: f64 = 45.0;

/// What is outside a published limit, machine by machine and zone by zone.
#[must_use]
pub fn find(scenario: &Scenario) -> Vec<Finding> {
    let mut all: Vec<Finding> = scenario.machine.iter().flat_map(of_machine).collect();
    all.extend(scenario.pot_sink.iter().flat_map(of_pot_sink));
    all
}

/// The wash and the sanitising compartment of a pot sink.
fn of_pot_sink(sink: &PotSink) -> Vec<Finding> {
    let by = match sink.sanitises_by {
        SinkSanitiser::HotWater => limits::SinkSanitiser::HotWater,
        SinkSanitiser::Chlorine => limits::SinkSanitiser::Chlorine,
        SinkSanitiser::Iodine => limits::SinkSanitiser::Iodine,
        SinkSanitiser::Quat => limits::SinkSanitiser::Quat,
    };
    let at_c = sink.sanitises_at_c();
    let wash = limits::SINK_WASH_LEAST.breach_as_least(sink.wash_c);
    let sanitising = limits::sink_least(by).breach_as_least(at_c);
    let contact = limits::sink_contact(by, at_c).breach_as_least(sink.contact_s);
    let said = [
        wash.map(|breach| words::sink_cold("wash", sink.wash_c, &breach.to_string())),
        sanitising.map(|breach| words::sink_cold("sanitising", at_c, &breach.to_string())),
        contact.map(|breach| words::sink_contact(sink.contact_s, &breach.to_string())),
    ];
    let warning = |said| Finding::new("outside-published-limit", Severity::Warning, said);
    said.into_iter().flatten().map(warning).collect()
}

/// What the code asks of people and of closing, for the sheet.
#[must_use]
pub fn practice(scenario: &Scenario) -> Vec<Finding> {
    let mut all = Vec::new();
    let note = |code, said| Finding::new(code, Severity::Note, said);
    let people: Vec<&str> = scenario
        .roster
        .iter()
        .filter(|row| works_on_both_sides(row))
        .map(|row| row.name.as_str())
        .collect();
    if !people.is_empty() && scenario.hands.wash_s <= 0.0 {
        all.push(note("hands-between", words::hands_between(&people)));
    }
    if !scenario.machine.is_empty() && scenario.close_down.is_empty() {
        all.push(note("machine-not-cleaned", words::not_cleaned()));
    }
    all
}

/// Whether somebody handles soiled ware and clean ware.
fn works_on_both_sides(row: &RosterRow) -> bool {
    let duties = row.duties.iter().fold(0, |bits, of| bits | of.duty.bit());
    duties & Duty::SOILED != 0 && duties & Duty::CLEAN != 0
}

fn of_machine(machine: &Machine) -> Vec<Finding> {
    let zones = match &machine.kind {
        MachineKind::RackConveyor { zones, .. } => zones,
        MachineKind::Hood { water, .. } => {
            return water
                .as_ref()
                .map_or_else(Vec::new, |water| hood(machine, water));
        }
    };
    let kind = conveyor(zones);
    let of_zone = |zone: &Zone| of_zone(machine, kind, zone);
    let mut all: Vec<Finding> = zones.iter().flat_map(of_zone).collect();
    all.extend(behind_the_final_rinse(machine, zones));
    all
}

/// A hood: of a single temperature if its rinse comes no hotter than its tank is, of two otherwise.
fn hood(machine: &Machine, water: &HoodWater) -> Vec<Finding> {
    let sanitising = published(machine.sanitising);
    let rinse = water
        .rinse
        .map(|rinse| (rinse.temperature_c, rinse.minimum_c));
    let rinse_c = rinse.and_then(|(set, _)| set).unwrap_or(water.supply_c);
    let one = water.tank.is_some_and(|tank| rinse_c <= tank.temperature_c);
    let kind = if one {
        limits::Machine::StationarySingleTemperature
    } else {
        limits::Machine::StationaryDualTemperature
    };
    let mut all = Vec::new();
    if let Some(tank) = water.tank {
        let limit = limits::wash_least(kind, sanitising);
        let temperatures = [
            (SET_POINT, Some(tank.temperature_c)),
            (MINIMUM, tank.minimum_c),
        ];
        all.extend(outside_limits(machine, "tank", &temperatures, |c| {
            limit.breach_as_least(c)
        }));
    }
    if let (Some((set, least)), Some(range)) = (rinse, limits::final_rinse(kind, sanitising)) {
        let temperatures = [(SET_POINT, set), (MINIMUM, least)];
        all.extend(outside_limits(machine, "rinse", &temperatures, |c| {
            range.breach(c)
        }));
    }
    all
}

const fn published(sanitising: Sanitising) -> limits::Sanitising {
    match sanitising {
        Sanitising::HotWater => limits::Sanitising::HotWater,
        Sanitising::Chemical => limits::Sanitising::Chemical,
    }
}

/// Racks come out of the last water on the ware: what washes behind it undoes it.
fn behind_the_final_rinse(machine: &Machine, zones: &[Zone]) -> Option<Finding> {
    let last = zones
        .iter()
        .position(|zone| zone.kind == ZoneKind::FinalRinse)?;
    let is_wash = |zone: &&Zone| zone.kind.is_wet() && zone.kind != ZoneKind::FinalRinse;
    let behind = zones[last..].iter().find(is_wash)?;
    let said = words::zones_out_of_order(&machine.name, behind.kind.name(), &behind.name);
    Some(Finding::new("zones-out-of-order", Severity::Warning, said))
}

/// Several tanks: a second wash, or a pumped rinse behind it.
#[must_use]
pub fn conveyor(zones: &[Zone]) -> limits::Machine {
    let is_pumped = |zone: &&Zone| matches!(zone.kind, ZoneKind::Wash | ZoneKind::Rinse);
    if zones.iter().filter(is_pumped).count() > 1 {
        limits::Machine::MultiTankConveyor
    } else {
        limits::Machine::SingleTankConveyor
    }
}

fn of_zone(machine: &Machine, kind: limits::Machine, zone: &Zone) -> Vec<Finding> {
    let sanitising = published(machine.sanitising);
    let set = (SET_POINT, zone.temperature_c);
    let least = (MINIMUM, zone.minimum_c);
    match zone.kind {
        ZoneKind::Wash => {
            let limit = limits::wash_least(kind, sanitising);
            let breach = |c| limit.breach_as_least(c);
            outside_limits(machine, &zone.name, &[set, least], breach)
        }
        ZoneKind::FinalRinse => {
            let Some(range) = limits::final_rinse(kind, sanitising) else {
                return Vec::new();
            };
            outside_limits(machine, &zone.name, &[set, least], |c| range.breach(c))
        }
        ZoneKind::PreWash => too_hot_for_a_pre_wash(machine, zone).into_iter().collect(),
        ZoneKind::Rinse | ZoneKind::BlowDry => Vec::new(),
    }
}

/// A finding for each of these temperatures that breaks a limit.
fn outside_limits(
    machine: &Machine,
    name: &str,
    temperatures: &[(&'static str, Option<f64>)],
    breach: impl Fn(f64) -> Option<Breach>,
) -> Vec<Finding> {
    let broken = |&(what, c): &(&'static str, Option<f64>)| Some((what, c?, breach(c?)?));
    let finding = |(what, c, breach): (&str, f64, Breach)| {
        let said = words::outside_limit(&machine.name, what, name, c, &breach.to_string());
        Finding::new("outside-published-limit", Severity::Warning, said)
    };
    temperatures
        .iter()
        .filter_map(broken)
        .map(finding)
        .collect()
}

fn too_hot_for_a_pre_wash(machine: &Machine, zone: &Zone) -> Option<Finding> {
    let c = zone.temperature_c.filter(|c| *c > PRE_WASH_MOST_C)?;
    let said = words::pre_wash_hot(&machine.name, &zone.name, c);
    Some(Finding::new("pre-wash-hot", Severity::Note, said))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::load_changed;
    use std::path::Path;

    /// Codes of what is said of the shipped conveyor with these zones.
    fn said(zones: &str) -> Vec<&'static str> {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad/base");
        let changes = format!("[[machine]]\nname = \"conveyor\"\nzones = [{zones}]\n");
        let changed = load_changed(&folder.join("good.toml"), &changes);
        let scenario = changed
            .unwrap_or_else(|mistakes| panic!("{mistakes}"))
            .scenario;
        find(&scenario).iter().map(|finding| finding.code).collect()
    }

    #[test]
    fn hot_pre_washes_and_washes_behind_the_rinse_are_named() {
        let pre_wash = |c: u32| {
            format!(
                "{{ name = \"a\", kind = \"pre-wash\", length = \"0.2 m\", temperature = \"{c} °C\" }}"
            )
        };
        assert!(said(&pre_wash(45)).is_empty());
        assert_eq!(said(&pre_wash(46)), ["pre-wash-hot"]);
        let rinse = "{ name = \"b\", kind = \"final-rinse\", length = \"0.2 m\" }";
        let dry = "{ name = \"c\", kind = \"blow-dry\", length = \"0.2 m\" }";
        let cool = pre_wash(40);
        assert!(said(&format!("{cool}, {rinse}, {dry}")).is_empty());
        assert_eq!(said(&format!("{rinse}, {cool}")), ["zones-out-of-order"]);
    }

    /// A hood with a booster or a rinse hotter than its tank is one of two temperatures.
    #[test]
    fn hoods_keep_the_limits_of_stationary_racks() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad/base");
        let said = |tank_f: u32, rinse_f: u32| {
            let changes = format!(
                "[[machine]]\nname = \"hood\"\nkind = \"hood\"\ncycle = \"57 s\"\n\
                 rinse = {{ water = \"0.89 gal\", temperature = \"{rinse_f} °F\" }}\n\
                 tank = {{ holds = \"40 L\", temperature = \"{tank_f} °F\" }}\n"
            );
            let changed = load_changed(&folder.join("good.toml"), &changes);
            let scenario = changed
                .unwrap_or_else(|mistakes| panic!("{mistakes}"))
                .scenario;
            find(&scenario).len()
        };
        // Two temperatures: 150 °F in the tank, 180 to 194 °F in the rinse.
        assert_eq!(
            [
                said(150, 180),
                said(149, 180),
                said(150, 179),
                said(150, 195)
            ],
            [0, 1, 1, 1]
        );
        // One: 165 °F in both.
        assert_eq!([said(165, 165), said(164, 164), said(180, 165)], [0, 2, 0]);
    }

    /// Least temperature and time of each sanitiser, and of the wash, to the degree and the second.
    #[test]
    fn a_pot_sink_keeps_the_limits_of_washing_by_hand() {
        let said = |keys: &str| {
            let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/rooms");
            let changed = load_changed(&folder.join("pots.toml"), &format!("[pot_sink]\n{keys}"));
            let scenario = changed
                .unwrap_or_else(|mistakes| panic!("{mistakes}"))
                .scenario;
            let found = find(&scenario);
            assert!(
                found
                    .iter()
                    .all(|finding| finding.severity == Severity::Warning)
            );
            found.len()
        };
        let by = |what: &str, f: u32, s: u32| {
            said(&format!(
                "sanitises_by = \"{what}\"\nsanitise_temperature = \"{f} °F\"\ncontact = \"{s} s\""
            ))
        };
        assert_eq!(
            [
                by("hot-water", 171, 30),
                by("hot-water", 170, 30),
                by("hot-water", 170, 29)
            ],
            [0, 1, 2]
        );
        assert_eq!(
            [by("quat", 75, 30), by("quat", 74, 30), by("quat", 75, 29)],
            [0, 1, 1]
        );
        assert_eq!([by("iodine", 68, 30), by("iodine", 67, 30)], [0, 1]);
        assert_eq!(
            [
                by("chlorine", 75, 7),
                by("chlorine", 74, 9),
                by("chlorine", 54, 10)
            ],
            [0, 1, 1]
        );
        assert_eq!(
            [
                said("wash_temperature = \"110 °F\""),
                said("wash_temperature = \"109 °F\"")
            ],
            [0, 1]
        );
    }

    #[test]
    fn set_point_and_minimum_are_both_looked_at() {
        let wash = |set: u32, least: u32| {
            said(&format!(
                "{{ name = \"a\", kind = \"wash\", length = \"0.2 m\", temperature = \"{set} °F\", minimum = \"{least} °F\" }}"
            ))
            .len()
        };
        assert_eq!([wash(160, 160), wash(165, 159), wash(159, 158)], [0, 1, 2]);
    }

    /// A café with one person for everything and no close-down; a Friday whose sides are kept apart, cleaned at its end.
    #[test]
    fn what_the_code_asks_of_people_and_of_closing() {
        let codes = |file: &str| {
            let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
            let loaded = load_changed(&path, "").unwrap_or_else(|mistakes| panic!("{mistakes}"));
            let found = practice(&loaded.scenario);
            let all: Vec<&str> = found.iter().map(|finding| finding.code).collect();
            (all, found)
        };
        let (cafe, _) = codes("scenarios/corner-cafe.toml");
        assert_eq!(cafe, ["machine-not-cleaned"]);
        let (one, found) = codes("tests/rooms/one-person.toml");
        assert_eq!(one[0], "hands-between");
        assert!(found[0].evidence.contains("2-301.14"), "{found:?}");
        assert!(codes("scenarios/friday-as-it-runs.toml").0.is_empty());
    }
}
