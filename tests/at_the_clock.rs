//! What happens at a time of day, worked out by hand: moments against the diary.
//!
//! Unless a test says otherwise: times do not vary, a piece fills a rack, a rack is a metre long, the belt
//! runs a metre in ten seconds and six metres in all. Moments are seconds after the start, which is noon.

mod common;

use common::*;
use scullery::room::Room;
use scullery::scenario::model::*;
use scullery::service::diary::{Entry, Happening};
use scullery::service::machine::Phase;
use scullery::service::measure::Measure;

/// Racks that wait at noon before a conveyor of six metres; nobody is needed to unload.
fn racks_ready(racks: u32, hands: &[Duty]) -> Scenario {
    let mut room = empty();
    room.ware = vec![ware("plate", "peg", 1)];
    room.rack = vec![rack("peg", racks)];
    room.backlog = vec![backlog("plate", racks)];
    room.loading = Some(loading(racks, 0.0));
    room.machine = vec![conveyor(racks, racks, 6.0)];
    room.roster = vec![person("loader", &[Duty::Load]), person("porter", hands)];
    room
}

fn enters(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::Enters { .. }))
}

fn leaves(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::Leaves { .. }))
}

fn strikes(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::Strikes { .. }))
}

fn begins(diary: &[Entry], begun: Phase) -> Vec<f64> {
    times(
        diary,
        |what| matches!(what, Happening::Phase { phase, .. } if *phase == begun),
    )
}

/// It strikes at 25 and is mended in 7 s: three racks are inside, and all that follows is 7 s later.
#[test]
fn a_fault_strikes_at_its_time_and_is_mended() {
    let mut room = racks_ready(5, &[Duty::Tend]);
    room.fault = vec![Fault {
        every_s: None,
        at_s: Some(NOON + 25.0),
        ..stops("jam", 1.0, 7.0)
    }];
    let (diary, finished) = diary_of(&room);
    assert!(finished);
    assert_eq!(strikes(&diary), [25.0], "once");
    assert_eq!(enters(&diary), [0.0, 10.0, 20.0, 37.0, 47.0]);
    assert_eq!(leaves(&diary), [67.0, 77.0, 87.0, 97.0, 107.0]);
    assert_eq!(outcome(&room).get(Measure::MachineDown), Some(7.0 / 60.0));
    assert_eq!(outcome(&room).get(Measure::Faults), Some(1.0));
}

/// A machine is down from 25 to 55, and nobody is needed to get it going again.
#[test]
fn a_machine_is_down_from_then_to_then() {
    let mut room = racks_ready(5, &[Duty::Unload]);
    room.fault = vec![passes("power cut", 25.0, 30.0)];
    assert!(!Room::of(&room).has(Duty::Tend));
    let (diary, finished) = diary_of(&room);
    assert!(finished);
    let over = times(&diary, |what| matches!(what, Happening::Passes { .. }));
    assert_eq!(over, [55.0]);
    assert_eq!(enters(&diary), [0.0, 10.0, 20.0, 60.0, 70.0]);
    assert_eq!(outcome(&room).get(Measure::MachineDown), Some(0.5));
}

/// Two power cuts overlap, 25 to 55 and 40 to 70: it runs again when the last is over.
#[test]
fn of_two_that_overlap_the_last_counts() {
    let mut room = racks_ready(4, &[Duty::Unload]);
    room.fault = vec![passes("first", 25.0, 30.0), passes("second", 40.0, 30.0)];
    assert_eq!(enters(&diary_of(&room).0), [0.0, 10.0, 20.0, 75.0]);
}

/// The clock of running hours stands meanwhile. The jam is due after 25 s of running and again after 50: 32 to 40 are 8
/// of the second 25 s, the power cut takes 40 to 50, and the other 17 end at 67.
#[test]
fn the_clock_of_running_hours_stands_meanwhile() {
    let mut room = racks_ready(8, &[Duty::Tend]);
    room.fault = vec![stops("jam", 25.0, 7.0), passes("power cut", 40.0, 10.0)];
    assert_eq!(strikes(&diary_of(&room).0)[..3], [25.0, 40.0, 67.0]);
}

/// Common random numbers: a power cut of 500 s moves every jam after it by 500 s and changes nothing before.
#[test]
fn random_faults_are_the_same_in_running_time() {
    let mut room = racks_ready(1, &[Duty::Unload]);
    room.fault = vec![Fault {
        every_s: Some(300.0),
        at_s: None,
        strikes: Strikes::AtRandom,
        ..passes("jam", 0.0, 5.0)
    }];
    let plain = strikes(&diary_of(&room).0);
    let (before, after): (Vec<f64>, Vec<f64>) = plain.iter().partition(|at| **at < 1_000.0);
    assert!(before.len() > 2 && after.len() > 5, "{plain:?}");
    room.fault.push(passes("power cut", 1_000.0, 500.0));
    let cut = strikes(&diary_of(&room).0);
    let later = after.iter().map(|at| at + 500.0);
    let expected: Vec<f64> = before.into_iter().chain([1_000.0]).chain(later).collect();
    for (at, expected) in cut.iter().zip(&expected) {
        assert!((at - expected).abs() < 1e-6, "{cut:?} {expected:?}");
    }
    assert!(cut.len() > 8);
}

/// The set-up takes 100 s and the power fails from 50 to 150: no rack before that. Where it fails from 20 to 60 the
/// set-up is what counts.
#[test]
fn a_machine_that_is_set_up_in_a_power_cut_stands_until_it_is_over() {
    let mut room = racks_ready(2, &[Duty::SetUp]);
    room.set_up = vec![task("switch", 100.0)];
    room.fault = vec![passes("power cut", 50.0, 100.0)];
    let (diary, _) = diary_of(&room);
    assert_eq!(begins(&diary, Phase::Down), [100.0]);
    assert_eq!(enters(&diary), [150.0, 160.0]);
    room.fault = vec![passes("power cut", 20.0, 40.0)];
    let (diary, _) = diary_of(&room);
    assert!(begins(&diary, Phase::Down).is_empty());
    assert_eq!(enters(&diary), [100.0, 110.0]);
}

/// A change of water goes on to its end, whatever strikes: with a fault that is over before, racks enter as without it;
/// with one that lasts longer, when it is over.
#[test]
fn a_change_of_water_goes_on() {
    let mut room = racks_ready(60, &[Duty::Tend]);
    room.machine = vec![washer()];
    room.fault = Vec::new();
    changed_by_hand(&mut room.machine[0], 300.0, 20.0);
    let (diary, _) = diary_of(&room);
    let changing = begins(&diary, Phase::Refilling)[0];
    let first_after = |diary: &[Entry]| enters(diary).into_iter().find(|at| *at > changing);
    let again = first_after(&diary).unwrap();
    assert!(again > changing + 60.0);
    room.fault = vec![passes("short", changing + 5.0, 10.0)];
    assert_eq!(first_after(&diary_of(&room).0), Some(again));
    let lasts_s = again - changing + 20.0;
    room.fault = vec![passes("long", changing + 5.0, lasts_s)];
    let (diary, _) = diary_of(&room);
    assert_eq!(begins(&diary, Phase::Refilling)[0], changing);
    let late = first_after(&diary).unwrap();
    assert!((late - (changing + 5.0 + lasts_s)).abs() < 1e-6);
}

/// Spray that is down to a half from 25 to 55: the racks of 30, 40 and 50 are washed in the fault. That of 20 is inside
/// already, and nothing stands.
#[test]
fn what_only_spoils_spoils_for_so_long() {
    let mut room = racks_ready(8, &[Duty::Unload]);
    room.fault = vec![Fault {
        stops: false,
        spray: 0.5,
        ..passes("low pressure", 25.0, 30.0)
    }];
    let outcome = outcome(&room);
    assert_eq!(outcome.get(Measure::RacksInFault), Some(3.0));
    assert_eq!(outcome.get(Measure::MachineDown), Some(0.0));
}
