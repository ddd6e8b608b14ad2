//! Looking for faults takes time, and some are mended by somebody from outside: worked out by hand.
//!
//! Times do not vary, a piece fills a rack, the belt runs a metre in ten seconds and six metres in all.

mod common;

use common::*;
use scullery::scenario::model::*;
use scullery::service::diary::{Entry, Happening};
use scullery::service::measure::{OperatorMeasure, StationMeasure};

/// Racks that wait at noon before a conveyor of six metres, and a porter who tends it; nobody is needed to unload.
fn room(racks: u32, fault: Fault) -> Scenario {
    let mut room = racks_and_porter(racks, &[Duty::Tend]);
    room.fault = vec![fault];
    room
}

/// Somebody looks for it every ten minutes, 30 s each time; it spoils the wash and stops nothing.
fn looked_for(every_s: f64) -> Fault {
    Fault {
        alarm_after_s: None,
        check_every_s: Some(600.0),
        check_takes_s: 30.0,
        mend: fixed(60.0),
        stops: false,
        mend_stops: false,
        spray: 0.5,
        ..stops("nozzle", every_s, 0.0)
    }
}

fn of_tend(diary: &[Entry]) -> Vec<f64> {
    times(
        diary,
        |what| matches!(what, Happening::Starts { duty, .. } if *duty == Duty::Tend),
    )
}

fn happened(diary: &[Entry], wanted: impl Fn(&Happening) -> bool) -> Vec<f64> {
    times(diary, wanted)
}

/// By hand: with nothing to find, the porter looks at 600, 1 200, ... 6 600 s, and at 7 200 s, when the room closes, goes
/// home: eleven looks of 30 s.
#[test]
fn looks_are_work_though_there_is_nothing_to_find() {
    let room = room(4, looked_for(1e6));
    let (diary, finished) = diary_of(&room);
    assert!(finished);
    let looks: Vec<f64> = (1..12).map(|at| 600.0 * f64::from(at)).collect();
    assert_eq!(of_tend(&diary), looks);
    let outcome = outcome(&room);
    let tend = &outcome.stations[Duty::Tend as usize];
    assert_eq!(tend[StationMeasure::Units as usize], Some(11.0));
    let busy = outcome.operators[1][OperatorMeasure::BusyShare as usize].unwrap();
    assert!((busy - 11.0 * 30.0 / 7_200.0).abs() < 1e-9, "{busy}");
}

/// By hand: it strikes after 20 s of running. The look at 600 s finds it when it is done, at 630 s; it is mended from then
/// to 690 s. In passing it would have been found at 600 s.
#[test]
fn a_fault_is_found_when_the_look_is_done() {
    let (diary, _) = diary_of(&room(4, looked_for(20.0)));
    assert_eq!(
        happened(&diary, |what| matches!(what, Happening::Noticed { .. }))[0],
        630.0
    );
    assert_eq!(
        happened(&diary, |what| matches!(what, Happening::Mended { .. }))[0],
        690.0
    );
    assert_eq!(of_tend(&diary)[..3], [600.0, 630.0, 1_200.0]);
    let passing = Fault {
        check_takes_s: 0.0,
        ..looked_for(20.0)
    };
    let (diary, _) = diary_of(&room(4, passing));
    assert_eq!(
        happened(&diary, |what| matches!(what, Happening::Noticed { .. }))[0],
        600.0
    );
}

/// A porter on a break looks for nothing: from 590 to 1 300 s two looks are left out.
#[test]
fn nobody_looks_on_a_break() {
    let mut room = room(4, looked_for(1e6));
    room.roster[1].breaks = vec![Break {
        from_s: NOON + 590.0,
        to_s: NOON + 1_300.0,
    }];
    let (diary, _) = diary_of(&room);
    assert_eq!(of_tend(&diary)[..2], [1_800.0, 2_400.0]);
}

/// By hand: a breaker goes after 25 s of running and is seen at once. The porter calls, 10 s, and is free; the electrician
/// is done 1 000 s later, at 1 035 s. The belt stands all that time: the racks that would have entered at 30 and 40 s do so
/// at 1 040 s and later, and it goes again after 25 s more of running.
#[test]
fn somebody_from_outside_takes_nobody_of_the_crew() {
    let breaker = Fault {
        outside: Some(fixed(1_000.0)),
        mend: fixed(10.0),
        ..stops("breaker", 25.0, 0.0)
    };
    let (diary, finished) = diary_of(&room(5, breaker));
    assert!(finished);
    let mended = happened(&diary, |what| matches!(what, Happening::Mended { .. }));
    assert_eq!(mended[..2], [1_035.0, 2_070.0]);
    assert_eq!(of_tend(&diary)[..2], [25.0, 1_060.0]);
    let enters = happened(&diary, |what| matches!(what, Happening::Enters { .. }));
    assert_eq!(enters[..4], [0.0, 10.0, 20.0, 1_040.0]);
}
