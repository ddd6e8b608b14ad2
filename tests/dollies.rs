//! Washed racks that are parked on dollies, worked out by hand. A rack enters each ten seconds and is inside for a minute;
//! moments are seconds after noon.

mod common;

use common::*;
use scullery::scenario::model::*;
use scullery::service::diary::{Entry, Happening};
use scullery::service::machine::Phase;
use scullery::service::measure::Measure;

/// Racks that wait at noon, a piece each, 15 s to unload; a landing for two, and dollies for two, 4 s away.
fn racks_ready(racks: u32) -> Scenario {
    let mut room = empty();
    room.ware = vec![ware("plate", "peg", 1)];
    room.rack = vec![rack("peg", racks)];
    room.backlog = vec![backlog("plate", racks)];
    room.loading = Some(loading(racks, 0.0));
    room.machine = vec![conveyor(racks, 2, 6.0)];
    room.unload = Some(unload(1, 15.0));
    room.dollies = Some(dollies(2, 4.0));
    room.roster = vec![
        person("loader", &[Duty::Load]),
        person("unloader", &[Duty::Unload]),
    ];
    room
}

/// When racks were unloaded, and which.
fn unloaded(diary: &[Entry]) -> Vec<(f64, u32)> {
    let racks = diary.iter().filter_map(|line| match line.what {
        Happening::Unloaded { rack, .. } => Some((line.at.s(), rack.number() + 1)),
        _ => None,
    });
    racks.collect()
}

/// When racks stood on their dollies, and which.
fn parked(diary: &[Entry]) -> Vec<(f64, u32)> {
    let racks = diary.iter().filter_map(|line| match line.what {
        Happening::Parked { rack, .. } => Some((line.at.s(), rack.number() + 1)),
        _ => None,
    });
    racks.collect()
}

fn stops(diary: &[Entry]) -> Vec<f64> {
    times(
        diary,
        |what| matches!(what, Happening::Phase { phase, .. } if *phase == Phase::Stopped),
    )
}

/// By hand. Racks 1 and 2 are unloaded as they come, by 75 and 90 s. Then 3 and 4 fill the landing, and 3 is parked by
/// 94 s. 4 and 5 are unloaded by 109 and 124 s; from 120 to 124 s the belt stands, for 5 and 6 fill the landing. Then 7
/// comes, and 6 is parked by 128 s. 7 and 8 are unloaded, and at last what is parked, 3 before 6.
///
/// Without dollies the belt stops four times, and the last rack leaves at 150 s.
#[test]
fn racks_are_parked_when_the_landing_is_full() {
    let (diary, finished) = diary_of(&racks_ready(8));
    assert!(finished);
    assert_eq!(parked(&diary), [(94.0, 3), (128.0, 6)]);
    assert_eq!(
        leaves(&diary),
        [60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 124.0, 134.0]
    );
    assert_eq!(stops(&diary), [120.0]);
    let expected = [
        (75.0, 1),
        (90.0, 2),
        (109.0, 4),
        (124.0, 5),
        (143.0, 7),
        (158.0, 8),
        (173.0, 3),
        (188.0, 6),
    ];
    assert_eq!(unloaded(&diary), expected);
}

/// With `once_on_landing = 1` a rack is moved as soon as one stands there and another is inside: 1 by 64 s. Then the
/// landing is empty, and 1 is unloaded from its dolly by 79 s; 2 has come meanwhile, and is parked by 83 s.
#[test]
fn racks_may_be_parked_before_the_landing_is_full() {
    let mut room = racks_ready(8);
    room.dollies.as_mut().unwrap().once_on_landing = Some(1);
    let (diary, _) = diary_of(&room);
    assert_eq!(parked(&diary)[..2], [(64.0, 1), (83.0, 2)]);
    assert_eq!(unloaded(&diary)[0], (79.0, 1));
}

/// Racks drain for 100 s from when they leave the machine, on a dolly too. Racks 1 and 2 are parked by 74 and 84 s; 3 and
/// 4 fill the landing, and the belt stands from 100 s. Rack 1 is unloaded from 160 s, when it has drained; then 3 is
/// parked, so that 5 comes to the landing at 179 s. From then 2, and after it 4 and 3, which have drained, the one on the
/// landing first; 5 has drained at 279 s.
#[test]
fn parked_racks_go_on_draining() {
    let mut room = racks_ready(5);
    room.machine[0].drain_s = 100.0;
    let (diary, finished) = diary_of(&room);
    assert!(finished);
    assert_eq!(parked(&diary), [(74.0, 1), (84.0, 2), (179.0, 3)]);
    assert_eq!(leaves(&diary), [60.0, 70.0, 80.0, 90.0, 179.0]);
    let expected = [(175.0, 1), (194.0, 2), (209.0, 4), (224.0, 3), (294.0, 5)];
    assert_eq!(unloaded(&diary), expected);
    // A guest waits for what is in the third rack: it goes before the fourth, from its dolly.
    for (looks, waited) in [(false, 224.0), (true, 209.0)] {
        let mut room = room.clone();
        room.ware.push(Ware {
            owned: Some(1),
            ..ware("cup", "peg", 1)
        });
        room.backlog = vec![
            backlog("plate", 2),
            backlog("cup", 1),
            BacklogRow {
                name: "others".into(),
                ..backlog("plate", 2)
            },
        ];
        room.guests = Some(parties(Style::Table, &[(0.0, 1, 3_600.0)]));
        room.menu = vec![course("cup", 1.0, 0.0, 1.0)];
        let first = DutyEntry {
            once_short: true,
            ..always(Duty::Unload)
        };
        if looks {
            room.roster[1].duties.insert(0, first);
        }
        let found = 60.0 * outcome(&room).get(Measure::ShortWaitMean).unwrap();
        assert!((found - waited).abs() < 1e-6, "{found}, not {waited}");
    }
}

/// A dolly takes its own kinds alone.
#[test]
fn other_racks_stay_on_the_landing() {
    let mut room = racks_ready(8);
    room.rack.push(rack("tray", 4));
    room.dollies.as_mut().unwrap().racks = vec!["tray".into()];
    let (diary, _) = diary_of(&room);
    assert!(parked(&diary).is_empty());
    assert_eq!(stops(&diary), [100.0, 115.0, 130.0, 145.0]);
}

/// A rack dries from when it left the machine. As in the first evening: 3 left at 80 s and is taken from its dolly at
/// 158 s, after 78 s; 6 after 63 s, the others sooner.
#[test]
fn parked_racks_go_on_drying() {
    let mut room = racks_ready(8);
    room.ware[0].dries_in_s = Some(70.0);
    let wet = outcome(&room).get(Measure::WetWhenUnloadedShare);
    assert_eq!(wet, Some(7.0 / 8.0));
}

/// A closed loop of N racks with room and hands enough for all: each is filled for 10 s, inside for 60 s, drains for
/// 100 s and is unloaded for 20 s, so N racks enter every 190 s. The landing holds one: without dollies a rack leaves it
/// after 120 s at best, however many racks there are.
#[test]
fn a_loop_of_racks_turns_once_a_cycle() {
    let between = |racks: u32, dollies: Option<Dollies>| {
        let mut room = racks_ready(racks);
        room.backlog = vec![backlog("plate", 60)];
        room.loading = Some(loading(1, 10.0));
        room.machine = vec![conveyor(1, 1, 6.0)];
        room.machine[0].drain_s = 100.0;
        room.unload = Some(unload(4, 20.0));
        room.roster[1].count = 4;
        room.dollies = dollies;
        let entered = enters(&diary_of(&room).0);
        // In the middle of the evening, N entries on.
        entered[30 + racks as usize] - entered[30]
    };
    for racks in 2..=6 {
        let found = between(racks, Some(dollies(8, 2.0)));
        assert_eq!(found, 190.0, "{racks} racks");
        let without = between(racks, None);
        assert!(without >= 120.0 * f64::from(racks), "{without}");
    }
}

/// People walk to the dollies: 12 m from the landing at 1 m/s. Rack 3 is parked from the landing, and unloaded at last
/// after a walk from there.
#[test]
fn dollies_have_a_place_on_the_plan() {
    let mut room = racks_ready(8);
    room.walking = Some(Walking { speed_m_per_s: 1.0 });
    room.dollies.as_mut().unwrap().position = at(12.0, 0.0);
    let (diary, _) = diary_of(&room);
    let unloaded = unloaded(&diary);
    assert_eq!(unloaded[6..], [(185.0, 3), (200.0, 6)]);
}

/// Parking draws from a stream of its own: the n-th rack takes as long to unload as without dollies, and the same guests
/// come.
#[test]
fn parking_leaves_the_unloading_as_it_was() {
    let lasted = |dollies: Option<Dollies>| {
        let mut room = racks_ready(40);
        room.unload.as_mut().unwrap().per_unit = varying(15.0, 0.8, Shape::Lognormal);
        room.dollies = dollies;
        let (diary, _) = diary_of(&room);
        let parks = parked(&diary).len();
        let mut since = 0.0;
        let mut lasted = Vec::new();
        for line in &diary {
            match line.what {
                Happening::Starts {
                    duty: Duty::Unload, ..
                } => since = line.at.s(),
                Happening::Unloaded { .. } => lasted.push(line.at.s() - since),
                _ => {}
            }
        }
        (parks, lasted)
    };
    let (none, plain) = lasted(None);
    let (some, with) = lasted(Some(Dollies {
        takes: varying(4.0, 0.5, Shape::Lognormal),
        ..dollies(2, 4.0)
    }));
    assert!(none == 0 && some > 3, "{some}");
    assert_eq!((plain.len(), with.len()), (40, 40));
    let apart = plain
        .iter()
        .zip(&with)
        .map(|(one, other)| (one - other).abs());
    assert!(apart.fold(0.0, f64::max) < 1e-6);
}
