//! Hands are washed between soiled and clean work, worked out by hand.

mod common;

use common::*;
use scullery::room::Room;
use scullery::scenario::load_changed;
use scullery::scenario::model::*;
use scullery::service::diary::{Entry, Happening};
use scullery::study::sheet::Sheet;

/// Three pieces, 100 s each to scrape and 100 s each to put away, one by one, by one person who puts away first. The
/// store is 3 m from the bench, the sink for hands 5 m from the bench and 4 m from the store; a metre takes a second.
fn room(hands: bool) -> Scenario {
    let mut room = empty();
    room.ware = vec![ware("plate", "", 1)];
    room.backlog = vec![backlog("plate", 3)];
    room.scrape = Some(bench(1, 100.0, 1));
    room.put_away = Some(PutAway {
        places: 1,
        per_unit: fixed(100.0),
        batch: 1,
        wait_at_most_s: 0.0,
        position: at(3.0, 0.0),
    });
    room.walking = Some(Walking { speed_m_per_s: 1.0 });
    if hands {
        room.hands = Hands {
            wash_s: 20.0,
            position: Some(at(3.0, 4.0)),
        };
    }
    room.roster = vec![person("one", &[Duty::PutAway, Duty::Scrape])];
    room
}

fn stored(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::Stored { .. }))
}

fn washed(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::WashesHands { .. }))
}

/// By hand. Scraped at 3 + 100 = 103 s; then 5 + 4 s of way, 20 s of washing and 100 s: 232 s. Back 3 s, 100 s, and so on:
/// 103 + 129 s each. Without, 103 + 103 s each.
#[test]
fn hands_are_washed_on_the_way_from_soiled_to_clean() {
    let (diary, _) = diary_of(&room(true));
    assert_eq!(stored(&diary), [232.0, 464.0, 696.0]);
    assert_eq!(washed(&diary), [103.0, 335.0, 567.0]);
    let (diary, _) = diary_of(&room(false));
    assert_eq!(stored(&diary), [206.0, 412.0, 618.0]);
    assert!(washed(&diary).is_empty());
    // At a sink on the way, the way is as long as without: 3 m.
    let mut on_the_way = room(true);
    on_the_way.hands.position = None;
    let (diary, _) = diary_of(&on_the_way);
    assert_eq!(stored(&diary), [226.0, 452.0, 678.0]);
}

/// A file that says nothing of hands has them washed for 20 s, on the way, by whoever does both.
#[test]
fn hands_are_washed_by_default() {
    let file = std::path::Path::new("tests/plain-line.toml");
    let loaded = load_changed(file, "").unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let hands = &loaded.scenario.hands;
    assert_eq!((hands.wash_s, hands.position), (20.0, None));
}

/// All is scraped first: hands are washed once. Who never touches what is soiled never washes them here.
#[test]
fn hands_that_are_clean_are_not_washed_again() {
    let mut once = room(true);
    once.roster = vec![person("one", &[Duty::Scrape, Duty::PutAway])];
    assert_eq!(washed(&diary_of(&once).0).len(), 1);
    once.roster = vec![
        person("soiled", &[Duty::Scrape]),
        person("clean", &[Duty::PutAway]),
    ];
    assert!(washed(&diary_of(&once).0).is_empty());
}

/// Work at 1.0 and at half the pace: washing hands takes as long for everybody.
#[test]
fn pace_does_not_hurry_hands() {
    let mut slow = room(true);
    slow.walking = None;
    slow.roster[0].pace = 0.5;
    // 200 s of scraping, 20 s, 200 s of carrying.
    assert_eq!(stored(&diary_of(&slow).0), [420.0, 840.0, 1_260.0]);
}

/// The sheet says who should wash their hands as long as that takes no time, and no longer.
#[test]
fn the_reminder_goes_when_hands_are_washed() {
    let reminded = |changes: &str| {
        let file = std::path::Path::new("tests/rooms/one-person.toml");
        let loaded = load_changed(file, changes).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let findings = Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario)).findings();
        findings.iter().any(|one| one.code == "hands-between")
    };
    assert!(reminded("[hands]\nwash = \"0 s\"\n"));
    assert!(!reminded("[hands]\nwash = \"20 s\"\n"));
}
