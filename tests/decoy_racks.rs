//! Decoy racks at the drop-off, moment by moment.
//!
//! Moments are seconds after noon, and nothing varies. A rack holds four glasses, takes 8 s to carry on, and enters a machine
//! at once.

mod common;

use common::*;
use scullery::room::Room;
use scullery::scenario::load_changed;
use scullery::scenario::model::*;
use scullery::service::Service;
use scullery::service::diary::{Entry, Happening};
use scullery::service::measure::Measure;
use scullery::study::sheet::Sheet;

/// Glasses that come as logged, with so many racks for them, and one person who loads, scrapes and unloads.
fn glasses(rows: &[(f64, u32)], racks: u32) -> Scenario {
    let mut room = empty();
    room.ware = vec![Ware {
        scrape_s: 5.0,
        load_s: 3.0,
        ..ware("glass", "glass rack", 4)
    }];
    room.rack = vec![rack("glass rack", racks)];
    room.soiled_log = Some(logged("glass", rows));
    room.drop_off.decoy_racks = vec!["glass rack".into()];
    room.drop_off.decoy_takes_s = 8.0;
    room.scrape = Some(bench(1, 0.0, 4));
    room.loading = Some(loading(2, 2.0));
    room.machine = vec![conveyor(4, 4, 1.0)];
    room.unload = Some(unload(1, 0.0));
    room.roster = vec![
        person("porter", &[Duty::Load, Duty::Scrape]),
        person("unloader", &[Duty::Unload]),
    ];
    room
}

fn sorted(diary: &[Entry]) -> Vec<(f64, u32, u32)> {
    let lines = diary.iter().filter_map(|line| match line.what {
        Happening::Sorted { rack, pieces } => Some((line.at.s(), rack.number(), pieces)),
        _ => None,
    });
    lines.collect()
}

fn starts(diary: &[Entry], wanted: Duty) -> Vec<(f64, u32)> {
    let lines = diary.iter().filter_map(|line| match line.what {
        Happening::Starts { duty, pieces, .. } if duty == wanted => Some((line.at.s(), pieces)),
        _ => None,
    });
    lines.collect()
}

/// Three glasses at 10 s and three at 20: four fill the first rack at 20, two open the second. The first is carried from 20
/// to 28 and enters then. The second waits for its ten minutes, to 620, and enters at 628. Nobody scrapes or loads a piece.
#[test]
fn glasses_are_sorted_as_they_come_and_carried_when_a_rack_is_full() {
    let mut scenario = glasses(&[(10.0, 3), (20.0, 3)], 4);
    // Somebody is still to come, so that the last rack waits for its time.
    scenario.ware.push(ware("plate", "peg", 1));
    scenario.rack.push(rack("peg", 1));
    scenario.soiled = vec![stream("plate", 3_000.0, 3_000.0, 1.0)];
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(sorted(&diary), [(10.0, 0, 3), (20.0, 0, 1), (20.0, 1, 2)]);
    let carried = starts(&diary, Duty::Load);
    assert_eq!(carried[..2], [(20.0, 4), (620.0, 2)]);
    assert_eq!(enters(&diary)[..2], [28.0, 628.0]);
    // The plate alone is scraped.
    assert_eq!(starts(&diary, Duty::Scrape), [(3_000.0, 1)]);
}

/// From half full on a rack may leave at once: two glasses do, one waits.
#[test]
fn a_rack_leaves_part_full_by_the_rule_of_its_kind() {
    let mut scenario = glasses(&[(10.0, 2), (30.0, 1), (1_000.0, 4)], 4);
    scenario.rack[0].full_enough = 0.5;
    let (diary, _) = diary_of(&scenario);
    let carried = starts(&diary, Duty::Load);
    // The one of 30 s waits until 630; the last are a full rack, and then come no more.
    assert_eq!(carried, [(10.0, 2), (630.0, 1), (1_000.0, 4)]);
}

/// With a single rack the fifth glass finds none: it is scraped for 5 s, waits to be racked, and is loaded for 2 + 3 s when
/// the rack is free again: in at 28, out at 38, unloaded at once.
#[test]
fn without_a_free_rack_ware_comes_as_all_other_does() {
    let (diary, finished) = diary_of(&glasses(&[(20.0, 5)], 1));
    assert!(finished);
    assert_eq!(sorted(&diary), [(20.0, 0, 4)]);
    assert_eq!(starts(&diary, Duty::Load), [(20.0, 4), (38.0, 1)]);
    assert_eq!(starts(&diary, Duty::Scrape), [(28.0, 1)]);
    assert_eq!(enters(&diary), [28.0, 43.0]);
}

/// Tubs are counted, and there is one; nobody scrapes before 2 000 s. A tub of glasses alone is empty when it has been
/// sorted, and the next trip starts at once. Without decoy racks the second waits for the scraper.
#[test]
fn a_tub_that_was_sorted_is_free_again() {
    let trips = |sorts: bool| {
        let mut scenario = glasses(&[], 9);
        scenario.soiled_log = None;
        scenario.guests = Some(parties(Style::Table, &[(0.0, 8, 600.0)]));
        scenario.menu = vec![course("glass", 1.0, 0.0, 1.0)];
        scenario.clear_down = Some(ClearDown {
            by: Carrier::FloorStaff,
            tub: 4,
            trip: fixed(30.0),
            wait_at_most_s: 0.0,
            fleet: Some(1),
            when_full: WhenFull::Floor,
        });
        scenario.roster[0].from_s = NOON + 2_000.0;
        if !sorts {
            scenario.drop_off.decoy_racks.clear();
        }
        let (diary, _) = diary_of(&scenario);
        let down =
            |what: &Happening| matches!(what, Happening::PutDown { .. } | Happening::Sorted { .. });
        times(&diary, down)
    };
    assert_eq!(trips(true), [630.0, 660.0]);
    assert_eq!(trips(false), [630.0, 2_030.0]);
}

/// The loader walks to the drop-off, 3 m at 1 m/s from the loading station where they stood, and carries from there.
#[test]
fn whoever_carries_walks_to_the_drop_off() {
    let mut scenario = glasses(&[(20.0, 4)], 4);
    scenario.walking = Some(Walking { speed_m_per_s: 1.0 });
    scenario.drop_off.position = at(3.0, 0.0);
    let (diary, _) = diary_of(&scenario);
    assert_eq!(enters(&diary), [31.0]);
}

/// Waiting and dryness count from when they come; the measures know each glass once.
#[test]
fn sorted_ware_waits_from_when_it_comes() {
    let outcome = outcome(&glasses(&[(20.0, 4)], 4));
    assert_eq!(outcome.get(Measure::Pieces), Some(4.0));
    let wait_s = 60.0 * outcome.get(Measure::WaitMean).unwrap();
    assert!((wait_s - 8.0).abs() < 1e-6, "{wait_s}");
}

/// The books after every event, and the sheet: 180 glasses an hour are 45 racks of 8 s, nobody scrapes, and what is played is
/// within a tenth of it.
#[test]
fn the_sheet_carries_what_is_sorted() {
    let mut scenario = glasses(&[], 9);
    scenario.soiled_log = None;
    scenario.soiled = vec![stream("glass", 0.0, 7_200.0, 360.0)];
    let room = Room::of(&scenario);
    let sheet = Sheet::of(&scenario, &room);
    let needed = |duty: Duty| {
        let mut rows = sheet.labour.duties.iter();
        rows.find(|row| row.duty == duty).unwrap().people_needed
    };
    assert!((needed(Duty::Load) - 45.0 * 8.0 / 3_600.0).abs() < 1e-9);
    assert_eq!(needed(Duty::Scrape), 0.0);
    let mut service = Service::new(&room);
    service.begin(1, 0);
    while service.step() {
        service.audit().unwrap();
    }
    assert!(service.finished(), "{:?}", service.stuck());
    let worked_h = service.tally().work[Duty::Load as usize].h();
    assert!(
        (worked_h - 2.0 * needed(Duty::Load)).abs() < 0.1 * worked_h,
        "{worked_h}"
    );
}

/// A scenario that names no decoy racks and one that takes them out again play the same moments.
#[test]
fn an_empty_list_is_none() {
    let mut without = glasses(&[(10.0, 3), (20.0, 3)], 4);
    without.drop_off.decoy_racks.clear();
    let moments = |scenario: &Scenario| format!("{:?}", diary_of(scenario).0);
    let mut slower = without.clone();
    slower.drop_off.decoy_takes_s = 500.0;
    assert_eq!(moments(&without), moments(&slower));
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let changes = "[drop_off]\ndecoy_racks = []\n";
    let file = folder.join("scenarios/friday-rush.toml");
    let changed = load_changed(&file, changes).unwrap_or_else(|wrong| panic!("{wrong}"));
    assert!(changed.scenario.drop_off.decoy_racks.is_empty());
}
