//! Racks that go to the store as they are, worked out by hand: two glasses fill a rack, a rack takes 10 s to fill and 60 s
//! to wash, 15 s to unpack or 20 s to carry to the store. Moments are seconds after noon.

mod common;

use std::path::Path;

use common::*;
use scullery::room::Room;
use scullery::scenario::load_changed;
use scullery::scenario::model::*;
use scullery::service::Service;
use scullery::service::diary::{Entry, Happening};
use scullery::service::measure::Measure;
use scullery::study::sheet::Sheet;
use scullery::study::{Plan, Watch, simulate};

/// So many racks, glasses owned and of those soiled; parties with a glass each.
fn bar(fleet: u32, owned: u32, soiled: u32, rows: &[(f64, u32, f64)]) -> Scenario {
    let mut room = empty();
    room.ware = vec![Ware {
        owned: Some(owned),
        ..ware("glass", "glass rack", 2)
    }];
    room.rack = vec![Rack {
        stored_in_rack: true,
        full_enough: 0.5,
        ..rack("glass rack", fleet)
    }];
    if soiled > 0 {
        room.backlog = vec![backlog("glass", soiled)];
    }
    room.guests = Some(parties(Style::Table, rows));
    room.menu = vec![course("glass", 1.0, 0.0, 1.0)];
    room.loading = Some(loading(1, 10.0));
    room.machine = vec![conveyor(4, 4, 6.0)];
    room.unload = Some(unload(1, 15.0));
    room.put_away = Some(PutAway {
        places: 1,
        per_unit: fixed(1.0),
        batch: 1,
        wait_at_most_s: 0.0,
        position: at(0.0, 0.0),
    });
    room.roster = vec![
        person("loader", &[Duty::Load]),
        person("unloader", &[Duty::Unload, Duty::PutAway]),
    ];
    room
}

fn seen<T>(diary: &[Entry], what: impl Fn(&Happening) -> Option<T>) -> Vec<(f64, T)> {
    let seen = |line: &Entry| what(&line.what).map(|it| (line.at.s(), it));
    diary.iter().filter_map(seen).collect()
}

fn stored(diary: &[Entry]) -> Vec<(f64, (u32, u32))> {
    seen(diary, |what| match *what {
        Happening::RackStored { rack, pieces } => Some((rack.number() + 1, pieces)),
        _ => None,
    })
}

fn emptied(diary: &[Entry]) -> Vec<(f64, u32)> {
    seen(diary, |what| match *what {
        Happening::RackEmpty { rack } => Some(rack.number() + 1),
        _ => None,
    })
}

fn unpacked(diary: &[Entry]) -> Vec<(f64, u32)> {
    seen(diary, |what| match *what {
        Happening::Unloaded { rack, .. } => Some(rack.number() + 1),
        _ => None,
    })
}

/// By hand. Six glasses stand in three of four racks. Three guests empty the first and take one from the second at noon.
/// At 100 s their glasses are soiled: racks 1 and 4 are filled by 110 and 120 s, and are out at 170 and 180 s. No rack is
/// free then, so 1 is unpacked by hand by 185 s and its glasses go on the shelf. 4 goes to the store with its one glass by
/// 205 s, for 1 is free now. Four guests at 300 s take what is left in 2, then 3 and 4, and no glass from the shelf.
#[test]
fn racks_stay_in_the_store_until_their_ware_is_used() {
    let (diary, finished) = diary_of(&bar(4, 6, 0, &[(0.0, 3, 100.0), (300.0, 4, 400.0)]));
    assert!(finished);
    assert_eq!(enters(&diary)[..2], [110.0, 120.0]);
    assert_eq!(unpacked(&diary)[0], (185.0, 1));
    assert_eq!(stored(&diary)[0], (205.0, (4, 1)));
    let expected = [(0.0, 1), (300.0, 2), (300.0, 3), (300.0, 4)];
    assert_eq!(emptied(&diary), expected);
    // Carried in its rack, a glass is in the store at once: only the two on the shelf were put away before 300 s.
    let put_away = times(&diary, |what| matches!(what, Happening::Stored { .. }));
    assert_eq!(put_away.iter().filter(|at| **at < 300.0).count(), 2);
}

/// One rack of two stands in the store, and the other is filled by 10 s. More glasses wait, and there is no rack: two
/// guests at 30 s empty the one in the store, and it is filled by 40 s. Without them it waits for the first to be
/// unpacked, from 70 to 85 s.
#[test]
fn who_takes_the_last_glass_frees_a_rack() {
    let (diary, _) = diary_of(&bar(2, 6, 4, &[(30.0, 2, 4_000.0)]));
    assert_eq!(emptied(&diary)[0], (30.0, 1));
    assert_eq!(enters(&diary)[..2], [10.0, 40.0]);
    let (diary, _) = diary_of(&bar(2, 6, 4, &[(2_000.0, 2, 4_000.0)]));
    assert_eq!(enters(&diary)[..2], [10.0, 95.0]);
}

/// Guests who wait are served from the rack as it is carried in: it is empty at once, and never counted twice.
#[test]
fn guests_who_wait_empty_a_rack_at_once() {
    let room = bar(3, 2, 2, &[(0.0, 2, 4_000.0)]);
    let (diary, finished) = diary_of(&room);
    assert!(finished);
    // Washed by 70 s, carried by 90 s.
    assert_eq!(stored(&diary)[0], (90.0, (1, 2)));
    assert_eq!(emptied(&diary)[0], (90.0, 1));
    let waited = 60.0 * outcome(&room).get(Measure::ShortWaitMean).unwrap();
    assert!((waited - 90.0).abs() < 1e-6, "{waited}");
}

/// A house that owns more glasses than its racks hold goes on washing with the one that never stays in the store.
#[test]
fn too_few_racks_never_hold_up_an_evening_for_ever() {
    let rows: Vec<_> = (0..40)
        .map(|party| (60.0 * f64::from(party), 3, 60.0 * f64::from(party) + 500.0))
        .collect();
    for fleet in 1..5 {
        let room = Room::of(&bar(fleet, 60, 10, &rows));
        let mut service = Service::new(&room);
        service.begin(1, 0);
        while service.step() {
            service.audit().expect("the books agree");
        }
        assert!(service.finished(), "{fleet} racks");
    }
}

/// What is looked through takes its seconds for each piece, carried or not: 3 s a glass on 20 s a rack.
#[test]
fn what_is_carried_is_looked_through() {
    let mut room = bar(3, 2, 2, &[]);
    room.inspect = Some(Inspect { catches: 0.0 });
    (room.ware[0].inspect_s, room.ware[0].unload_s) = (3.0, 50.0);
    assert_eq!(stored(&diary_of(&room).0)[0], (96.0, (1, 2)));
}

/// Ten glasses fill five racks: of four, one is always unpacked, and `check` says so; six are enough.
#[test]
fn a_fleet_too_small_for_its_ware_is_pointed_out() {
    let codes = |fleet| {
        let scenario = bar(fleet, 10, 0, &[(0.0, 3, 100.0)]);
        let sheet = Sheet::of(&scenario, &Room::of(&scenario));
        let found = sheet.findings().into_iter();
        found
            .filter(|one| one.code == "racks-too-few-to-store")
            .count()
    };
    assert_eq!([4, 5, 6].map(codes), [1, 1, 0]);
}

/// Carried racks take 20 s each on the sheet, and are not put away: five racks of two glasses an hour.
#[test]
fn the_sheet_counts_what_is_carried() {
    let mut scenario = bar(8, 10, 10, &[]);
    (scenario.guests, scenario.menu) = (None, Vec::new());
    let sheet = |scenario: &Scenario| Sheet::of(scenario, &Room::of(scenario));
    let each = |sheet: &Sheet, name: &str| {
        let mut rows = sheet.stations.iter();
        rows.find(|row| row.name == name)
            .map(|row| row.seconds_per_unit)
    };
    assert_eq!(each(&sheet(&scenario), "unload"), Some(20.0));
    scenario.rack[0].stored_in_rack = false;
    assert_eq!(each(&sheet(&scenario), "unload"), Some(15.0));
}

/// A house with few racks and plenty of plates: seven of eight racks stand in the store, and ware waits for the other. An
/// evening says so.
#[test]
fn racks_that_stand_in_the_store_are_named() {
    let found = |fleet: u32| {
        let changes = format!(
            "[[rack]]\nname = \"rack\"\nfleet = {fleet}\nstored_in_rack = true\n\
             [[ware]]\nname = \"plate\"\nowned = 2000\n"
        );
        let file = Path::new("tests/outside/lines/tubs-and-help.toml");
        let loaded = load_changed(file, &changes);
        let loaded = loaded.unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let evening = simulate(&loaded, &Plan::new(10), &Watch::default()).expect("threads");
        let mut found = evening.findings.into_iter();
        found.find(|one| one.code == "racks-in-store")
    };
    let few = found(8).expect("ware waits for racks").evidence;
    assert!(few.contains("up to 7 of 8 stood in the store"), "{few}");
    assert!(found(260).is_none());
}
