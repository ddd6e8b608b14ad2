//! Machines with a crew of their own, worked out by hand.
//!
//! Unless a test says otherwise: times do not vary, a piece fills a rack, nobody walks. Moments are seconds after the
//! start, which is noon.

mod common;

use std::path::Path;

use common::*;
use scullery::scenario;
use scullery::scenario::model::*;
use scullery::service::diary::{Entry, Happening};
use scullery::study::{Plan, Watch, simulate};

/// What starts, for one operator and duty, with its pieces: (s, pieces).
fn starts(diary: &[Entry], who: u32, wanted: Duty) -> Vec<(f64, u32)> {
    let entries = diary.iter().filter_map(|entry| match entry.what {
        Happening::Starts {
            operator,
            duty,
            pieces,
        } if operator.number() == who && duty == wanted => Some((entry.at.s(), pieces)),
        _ => None,
    });
    entries.collect()
}

/// When they start.
fn starts_at(diary: &[Entry], who: u32, wanted: Duty) -> Vec<f64> {
    let all = starts(diary, who, wanted);
    all.into_iter().map(|(at, _)| at).collect()
}

fn put_away(per_unit_s: f64, batch: u32) -> PutAway {
    PutAway {
        places: 9,
        per_unit: fixed(per_unit_s),
        batch,
        wait_at_most_s: 600.0,
        position: Position::default(),
    }
}

/// A belt of ten seconds for plates and a hood of thirty for glasses; each has somebody who looks after it alone. A rack
/// is filled in 10 s, unloaded in 5 s, and carried away in 3 s.
fn bar_and_kitchen(plates: u32, glasses: u32) -> Scenario {
    let mut room = empty();
    room.ware = vec![ware("plate", "peg", 1), ware("glass", "grid", 1)];
    room.rack = vec![rack("peg", 20), rack("grid", 20)];
    room.backlog = vec![backlog("plate", plates), backlog("glass", glasses)];
    room.backlog.retain(|row| row.pieces > 0);
    room.loading = Some(loading(9, 10.0));
    room.unload = Some(unload(9, 5.0));
    room.put_away = Some(put_away(3.0, 1));
    room.machine = vec![
        Machine {
            racks: vec!["peg".into()],
            ..conveyor(9, 9, 1.0)
        },
        Machine {
            name: "bar".into(),
            racks: vec!["grid".into()],
            ..hood(9, 9, 30.0, 0.0, false)
        },
    ];
    let duties = [Duty::PutAway, Duty::Unload, Duty::Tend, Duty::Load];
    let of = |name: &str, machine: &str| RosterRow {
        machines: vec![machine.into()],
        ..person(name, &duties)
    };
    room.roster = vec![of("porter", "conveyor"), of("bar back", "bar")];
    room
}

/// | | porter | bar back |
/// |---|---|---|
/// | racks filled | 0-10, 10-20 | 0-10, 10-20 |
/// | out of the machine | 20 and 30 | 40 and 70 |
/// | unloaded | 20-25, 30-35 | 40-45, 70-75 |
/// | put away | 25-28, 35-38 | 45-48, 75-78 |
///
/// Without `machines` both fill plates first, the hood has its glasses at 20 and 50, and the porter, who is first in the
/// roster, unloads all four.
#[test]
fn each_does_the_work_of_the_own_machine() {
    let room = bar_and_kitchen(2, 2);
    let (diary, finished) = diary_of(&room);
    assert!(finished);
    for (duty, wanted) in [
        (Duty::Load, [[0.0, 10.0], [0.0, 10.0]]),
        (Duty::Unload, [[20.0, 30.0], [40.0, 70.0]]),
        (Duty::PutAway, [[25.0, 35.0], [45.0, 75.0]]),
    ] {
        let at = [0, 1].map(|who| starts_at(&diary, who, duty));
        assert_eq!(at, wanted, "{duty:?}");
    }
    let mut shared = room;
    shared
        .roster
        .iter_mut()
        .for_each(|row| row.machines.clear());
    let (diary, _) = diary_of(&shared);
    assert_eq!(starts_at(&diary, 0, Duty::Unload), [20.0, 30.0, 50.0, 80.0]);
}

/// The bar back has nothing to do and stands, with five racks of plates to fill: 10 s each, one after the other.
#[test]
fn nobody_helps_out_at_a_machine_of_others() {
    let (diary, finished) = diary_of(&bar_and_kitchen(5, 0));
    assert!(finished);
    let filled = starts_at(&diary, 0, Duty::Load);
    assert_eq!(filled.len(), 5);
    for duty in Duty::ALL {
        assert_eq!(starts(&diary, 1, duty), [], "{duty:?}");
    }
}

/// Both machines take racks of glasses, so both fill them: four racks in 20 s.
#[test]
fn racks_that_several_machines_take_are_filled_by_the_crew_of_each() {
    let mut room = bar_and_kitchen(0, 4);
    room.machine[0].racks = vec!["peg".into(), "grid".into()];
    let (diary, finished) = diary_of(&room);
    assert!(finished);
    for who in [0, 1] {
        assert_eq!(starts_at(&diary, who, Duty::Load), [0.0, 10.0]);
    }
}

/// Two pieces are a load, or what has waited for ten minutes. A plate and a glass are no load for anybody: the porter
/// waits for a second plate, which is out at 120, the bar back for ten minutes from 45 on.
#[test]
fn what_each_puts_away_is_gathered_by_itself() {
    let mut room = bar_and_kitchen(0, 1);
    room.put_away = Some(put_away(3.0, 2));
    // The last one comes so late that more may still come until then.
    room.soiled_log = Some(logged("plate", &[(0.0, 1), (100.0, 1), (7_000.0, 1)]));
    let (diary, finished) = diary_of(&room);
    assert!(finished);
    assert_eq!(starts(&diary, 0, Duty::PutAway), [(125.0, 2), (7_025.0, 1)]);
    assert_eq!(starts(&diary, 1, Duty::PutAway), [(645.0, 1)]);
}

/// Who unloads "once two wait" counts the racks of the own landing: glasses are out at 40, 70 and 100. Two wait at 70, and
/// again at 100; the last waits for ever. Plates that wait on the other landing, from 20 on, are none of theirs.
#[test]
fn a_condition_counts_what_waits_at_the_own_machine() {
    let mut room = bar_and_kitchen(3, 3);
    room.roster[0].duties = vec![always(Duty::Load)];
    room.roster[1].duties = vec![once(Duty::Unload, 2), always(Duty::Load)];
    let (diary, _) = diary_of(&room);
    assert_eq!(starts_at(&diary, 1, Duty::Unload), [70.0, 100.0]);
}

/// A fault of the belt waits for the porter, who comes at 500, though the bar back is there and tends.
#[test]
fn a_fault_waits_for_the_crew_of_its_machine() {
    let mut room = bar_and_kitchen(0, 1);
    room.roster[0].from_s = NOON + 500.0;
    room.fault = vec![Fault {
        machine: Some("conveyor".into()),
        every_s: None,
        at_s: Some(NOON + 60.0),
        ..stops("jam", 1.0, 40.0)
    }];
    let (diary, _) = diary_of(&room);
    assert_eq!(starts_at(&diary, 0, Duty::Tend), [500.0]);
    assert_eq!(starts_at(&diary, 1, Duty::Tend), [0.0; 0]);
}

/// Whoever looks after all machines helps out: the third rack of glasses is filled by the helper, not the porter.
#[test]
fn who_has_no_machines_looks_after_all() {
    let mut room = bar_and_kitchen(0, 3);
    room.roster.push(person("helper", &[Duty::Load]));
    let (diary, finished) = diary_of(&room);
    assert!(finished);
    let filled = [0, 1, 2].map(|who| starts_at(&diary, who, Duty::Load));
    // Of equals the first in the roster; the helper likes loading best.
    assert_eq!(filled, [vec![], vec![0.0], vec![0.0, 10.0]]);
}

/// A metre takes a second. The bar has its own racking and its own shelf, ten metres from the drop-off where the bar back
/// stands; the kitchen's are there.
///
/// | | bar back | porter |
/// |---|---|---|
/// | walks to the bar, fills | 0-10, 10-20 | 0-10 |
/// | unloads at the bar | 50-55 | at the belt, 20-25 |
/// | carries to the shelf, four metres on | 55-59, 59-62 | 25-28 |
#[test]
fn racks_are_filled_at_the_machine_and_ware_goes_to_its_shelf() {
    let mut room = bar_and_kitchen(1, 1);
    room.walking = Some(Walking { speed_m_per_s: 1.0 });
    room.machine[1].loading = Some(at(10.0, 0.0));
    room.machine[1].position = at(10.0, 0.0);
    room.machine[1].store = Some(at(14.0, 0.0));
    room.roster[1].home = Some(Duty::Load);
    let (diary, finished) = diary_of(&room);
    assert!(finished);
    let ends = |who: u32| {
        times(
            &diary,
            |what| matches!(what, Happening::Ends { operator, .. } if operator.number() == who),
        )
    };
    assert_eq!(ends(0), [10.0, 25.0, 28.0]);
    assert_eq!(ends(1), [20.0, 55.0, 62.0]);
}

/// Of two hoods that take glasses the first has its own racking place, so whoever looks after both fills all racks there,
/// and they go to it alone: one rack each 30 s, though the other stands empty.
#[test]
fn what_is_filled_at_a_machine_goes_to_it_alone() {
    let mut room = bar_and_kitchen(0, 3);
    room.machine[0] = Machine {
        name: "first".into(),
        racks: vec!["grid".into()],
        loading: Some(at(1.0, 0.0)),
        ..hood(0, 9, 30.0, 0.0, false)
    };
    room.roster = vec![person("all", &[Duty::PutAway, Duty::Unload, Duty::Load])];
    room.roster[0].count = 3;
    let entered = |room: &Scenario, number: usize| {
        let (diary, finished) = diary_of(room);
        assert!(finished);
        times(
            &diary,
            |what| matches!(what, Happening::Enters { machine, .. } if machine.at() == number),
        )
    };
    assert_eq!(entered(&room, 0), [10.0, 40.0, 70.0]);
    assert_eq!(entered(&room, 1), [0.0; 0]);
    // Where both are loaded at one place, the second takes every other rack.
    room.machine[1].loading = room.machine[0].loading;
    assert_eq!(entered(&room, 0).len() + entered(&room, 1).len(), 3);
    assert!(!entered(&room, 1).is_empty());
}

/// One station at each place. The hood takes a rack each 30 s; the second one that the bar back fills waits for it on its
/// station until 40, where both have one station keeps the porter from filling his until then.
#[test]
fn each_place_has_its_own_stations() {
    let mut room = bar_and_kitchen(3, 3);
    room.loading = Some(loading(1, 10.0));
    room.machine[1].lane = Places::Count(0);
    for row in &mut room.roster {
        row.duties = vec![always(Duty::Load)];
    }
    room.roster.swap(0, 1);
    let loaded = |room: &Scenario, who: u32| starts_at(&diary_of(room).0, who, Duty::Load);
    assert_eq!(loaded(&room, 0), [0.0, 10.0, 40.0]);
    assert_eq!(loaded(&room, 1)[0], 70.0);
    room.machine[1].loading = Some(at(10.0, 0.0));
    assert_eq!(loaded(&room, 0), [0.0, 10.0, 40.0]);
    assert_eq!(loaded(&room, 1), [0.0, 10.0, 20.0]);
}

/// The loader at the left cannot keep up, and the bar back is there: not without the duty, but for the other hood. So that is
/// said.
#[test]
fn hands_that_look_after_other_machines_are_named() {
    let loaded = scenario::load(Path::new("tests/rooms/own-crews.toml")).unwrap();
    let evening = simulate(&loaded, &Plan::new(5), &Watch::default()).unwrap();
    let mut findings = evening.findings.iter();
    let binds = findings.find(|found| found.code == "binds").unwrap();
    let evidence = "bar back, who only does it at some machines";
    assert!(binds.evidence.contains(evidence), "{}", binds.evidence);
    let cure = "let bar back look after all machines";
    assert!(binds.advice.contains(cure), "{}", binds.advice);
}
