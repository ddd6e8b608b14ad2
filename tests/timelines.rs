//! Evenings worked out by hand, moment by moment, and compared with the diary.
//!
//! Unless a test says otherwise: times do not vary, a piece fills a rack, a rack is a metre long, the
//! belt runs a metre in ten seconds, so a rack enters each ten seconds. Moments are seconds after the
//! start, which is noon.

mod common;

use common::*;
use scullery::room::Room;
use scullery::scenario::model::*;
use scullery::service::Service;
use scullery::service::diary::{Entry, Happening};
use scullery::service::machine::{Phase, Use};
use scullery::service::measure::{Measure, WareMeasure};

/// Racks that wait at noon before a machine, a piece each, and somebody who unloads.
fn racks_ready(racks: u32, machine: Machine, unload_s: f64) -> Scenario {
    let mut room = empty();
    room.ware = vec![ware("plate", "peg", 1)];
    room.rack = vec![rack("peg", racks)];
    room.backlog = vec![backlog("plate", racks)];
    room.loading = Some(loading(racks, 0.0));
    room.machine = vec![machine];
    room.unload = Some(unload(1, unload_s));
    room.roster = vec![
        person("loader", &[Duty::Load]),
        person("unloader", &[Duty::Unload]),
    ];
    room
}

fn unloaded(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::Unloaded { .. }))
}

fn put_down(diary: &[Entry]) -> Vec<(f64, u32)> {
    let lines = diary.iter().filter_map(|line| match line.what {
        Happening::PutDown { pieces } => Some((line.at.s(), pieces)),
        _ => None,
    });
    lines.collect()
}

fn stored(diary: &[Entry]) -> Vec<(f64, u32)> {
    let lines = diary.iter().filter_map(|line| match line.what {
        Happening::Stored { pieces } => Some((line.at.s(), pieces)),
        _ => None,
    });
    lines.collect()
}

fn starts(diary: &[Entry], who: u32, wanted: Duty) -> Vec<f64> {
    times(
        diary,
        |what| matches!(what, Happening::Starts { operator, duty, .. } if (operator.number(), *duty) == (who, wanted)),
    )
}

fn phases(diary: &[Entry], wanted: Phase) -> Vec<f64> {
    times(
        diary,
        |what| matches!(what, Happening::Phase { phase, .. } if *phase == wanted),
    )
}

/// Time the first machine spent running, empty, stopped, waiting for somebody and idle, s.
fn machine_time(scenario: &Scenario) -> [f64; 5] {
    let room = Room::of(scenario);
    let mut service = Service::new(&room);
    service.play(1, 0);
    let time = service.machine_times().next().expect("a machine");
    [
        time.of(Use::Running),
        time.of(Use::Empty),
        time.of(Use::Stopped),
        time.of(Use::Waiting),
        time.of(Use::Idle),
    ]
    .map(|time| time.s())
}

/// Worked by hand, and checked apart by a small program. Pitch 10 s, transit 60 s, unload 15 s, a rack
/// leaves the landing when unloaded.
///
/// | landing holds 2 | 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 |
/// |---|---|---|---|---|---|---|---|---|
/// | enters | 0 | 10 | 20 | 30 | 40 | 50 | 60 | 70 |
/// | leaves | 60 | 70 | 80 | 90 | 105 | 120 | 135 | 150 |
/// | unloaded | 75 | 90 | 105 | 120 | 135 | 150 | 165 | 180 |
///
/// Stops: 100-105, 115-120, 130-135, 145-150. At 90 the unloading of rack 2 and the arrival of rack 4
/// at the exit coincide: no stop.
#[test]
fn a_conveyor_stops_when_its_landing_of_two_is_full() {
    let scenario = racks_ready(8, conveyor(8, 2, 6.0), 15.0);
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(
        enters(&diary),
        [0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0]
    );
    assert_eq!(
        leaves(&diary),
        [60.0, 70.0, 80.0, 90.0, 105.0, 120.0, 135.0, 150.0]
    );
    assert_eq!(
        unloaded(&diary),
        [75.0, 90.0, 105.0, 120.0, 135.0, 150.0, 165.0, 180.0]
    );
    assert_eq!(phases(&diary, Phase::Stopped), [100.0, 115.0, 130.0, 145.0]);
    assert_eq!(phases(&diary, Phase::Running), [105.0, 120.0, 135.0, 150.0]);
    // Inside from 0 to 150, of which 20 s stopped; the evening is two hours.
    assert_eq!(machine_time(&scenario), [130.0, 7_050.0, 20.0, 0.0, 0.0]);
}

/// The same with a landing of four: exits each 10 s from 60, unloaded as before, no stop.
#[test]
fn a_landing_of_four_never_stops_eight_racks() {
    let scenario = racks_ready(8, conveyor(8, 4, 6.0), 15.0);
    let (diary, _) = diary_of(&scenario);
    assert_eq!(
        leaves(&diary),
        [60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 120.0, 130.0]
    );
    assert_eq!(
        unloaded(&diary),
        [75.0, 90.0, 105.0, 120.0, 135.0, 150.0, 165.0, 180.0]
    );
    assert!(phases(&diary, Phase::Stopped).is_empty());
}

/// Unload 10 s, landing 2: exits each 10 s, unloaded at 70, 80, ... 140, no stop.
#[test]
fn an_unloader_as_fast_as_the_belt_never_stops_it() {
    let (diary, _) = diary_of(&racks_ready(8, conveyor(8, 2, 6.0), 10.0));
    assert_eq!(
        leaves(&diary),
        [60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 120.0, 130.0]
    );
    assert_eq!(
        unloaded(&diary),
        [70.0, 80.0, 90.0, 100.0, 110.0, 120.0, 130.0, 140.0]
    );
    assert!(phases(&diary, Phase::Stopped).is_empty());
}

/// 200 racks, landing 2, unload 15 s: last unloaded at 60 + 200 x 15 = 3060 s. The first four exits
/// are on time (60 to 90), each later one 15 s apart where the belt needs 10: stopped 196 x 5 = 980 s.
#[test]
fn two_hundred_racks_go_at_the_rate_of_the_unloader() {
    let scenario = racks_ready(200, conveyor(200, 2, 6.0), 15.0);
    let (diary, _) = diary_of(&scenario);
    assert_eq!(unloaded(&diary).last(), Some(&3_060.0));
    assert_eq!(machine_time(&scenario)[2], 980.0);
    assert_eq!(
        outcome(&scenario).get(Measure::MachineStopped),
        Some(980.0 / 60.0)
    );
}

/// A rack drains 30 s before it may be taken up.
///
/// | | 1 | 2 | 3 |
/// |---|---|---|---|
/// | leaves | 60 | 70 | 80 |
/// | drained | 90 | 100 | 110 |
/// | unloaded | 105 | 120 | 135 |
#[test]
fn racks_drain_before_they_are_unloaded() {
    let mut scenario = racks_ready(3, conveyor(3, 4, 6.0), 15.0);
    scenario.machine[0].drain_s = 30.0;
    let (diary, _) = diary_of(&scenario);
    assert_eq!(leaves(&diary), [60.0, 70.0, 80.0]);
    assert_eq!(unloaded(&diary), [105.0, 120.0, 135.0]);
}

/// A rack of trays that dry in 200 s comes before two of plates that dry in 40 s; draining takes 10 s, unloading 15 s.
///
/// | | tray | plate | plate |
/// |---|---|---|---|
/// | leaves | 60 | 70 | 80 |
/// | dry | 260 | 110 | 120 |
/// | left until dry: unloaded | 275 | 125 | 140 |
/// | left until drained: taken up | 70 | 85 | 100 |
///
/// So plates overtake the tray where all is left until dry, and nothing is wet. Where it is not, all three are: the plates
/// have stood for 15 and 20 s. If plates dry in 15 s, only the tray is.
#[test]
fn what_is_dry_is_unloaded_first_and_what_is_wet_is_counted() {
    let room = |left_until: LeftUntil, plates_s: f64| {
        let mut room = racks_ready(2, conveyor(3, 4, 6.0), 15.0);
        room.ware[0].dries_in_s = Some(plates_s);
        let tray = Ware {
            dries_in_s: Some(200.0),
            ..ware("tray", "open", 1)
        };
        room.ware.push(tray);
        // The first kind of rack is filled first.
        room.rack.insert(0, rack("open", 1));
        room.backlog.insert(0, backlog("tray", 1));
        room.loading = Some(loading(3, 0.0));
        room.machine[0].drain_s = 10.0;
        if let Some(unload) = &mut room.unload {
            unload.left_until = left_until;
        }
        room
    };
    let wet = |scenario: &Scenario| outcome(scenario).get(Measure::WetWhenUnloadedShare);
    let dry = room(LeftUntil::Dry, 40.0);
    let (diary, finished) = diary_of(&dry);
    assert!(finished);
    assert_eq!(leaves(&diary), [60.0, 70.0, 80.0]);
    assert_eq!(unloaded(&diary), [125.0, 140.0, 275.0]);
    assert_eq!(wet(&dry), Some(0.0));
    let drained = room(LeftUntil::Drained, 40.0);
    assert_eq!(unloaded(&diary_of(&drained).0), [85.0, 100.0, 115.0]);
    assert_eq!(wet(&drained), Some(1.0));
    assert_eq!(wet(&room(LeftUntil::Drained, 15.0)), Some(1.0 / 3.0));
    // Of ware of which nothing is known nothing is counted.
    let mut unknown = room(LeftUntil::Drained, 40.0);
    unknown
        .ware
        .iter_mut()
        .for_each(|ware| ware.dries_in_s = None);
    assert_eq!(wet(&unknown), None);
}

/// Nobody unloads: a rack is off the landing when it has drained. Landing 1, drain 25 s, so each rack
/// holds the landing 25 s where the belt brings one each 10 s: exits 60, 85, 110.
#[test]
fn where_nobody_unloads_drained_racks_go_by_themselves() {
    let mut scenario = racks_ready(3, conveyor(3, 1, 6.0), 0.0);
    scenario.unload = None;
    scenario.machine[0].drain_s = 25.0;
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(leaves(&diary), [60.0, 85.0, 110.0]);
    assert_eq!(unloaded(&diary), [85.0, 110.0, 135.0]);
    assert_eq!(phases(&diary, Phase::Stopped), [70.0, 95.0]);
}

/// A rack of two metres keeps the entry twice as long: one each 20 s.
#[test]
fn a_longer_rack_keeps_the_entry_longer() {
    let mut scenario = racks_ready(3, conveyor(3, 4, 6.0), 1.0);
    scenario.rack[0].footprint_m = 2.0;
    let (diary, _) = diary_of(&scenario);
    assert_eq!(enters(&diary), [0.0, 20.0, 40.0]);
}

/// Unattended hood: change 5 s, cycle 60 s, landing 1, unload 100 s.
///
/// | | 1 | 2 | 3 |
/// |---|---|---|---|
/// | enters | 0 | 65 | 165 |
/// | washed | 65 | 130 | 230 |
/// | leaves | 65 | 165 | 265 |
/// | unloaded | 165 | 265 | 365 |
///
/// Rack 2 stands under the hood from 130 until the landing is free at 165, rack 3 from 230 to 265. From
/// 265 on the hood stands open and empty: idle, not running empty.
#[test]
fn an_unattended_hood_changes_racks_by_itself() {
    let scenario = racks_ready(3, hood(3, 1, 60.0, 5.0, false), 100.0);
    let (diary, _) = diary_of(&scenario);
    assert_eq!(enters(&diary), [0.0, 65.0, 165.0]);
    assert_eq!(leaves(&diary), [65.0, 165.0, 265.0]);
    assert_eq!(unloaded(&diary), [165.0, 265.0, 365.0]);
    assert_eq!(machine_time(&scenario), [195.0, 0.0, 70.0, 0.0, 6_935.0]);
}

/// Attended hood: one operator changes racks (5 s) and unloads (20 s), the hood first; cycle 60 s.
///
/// | rack | put in | washed | taken out, next put in | unloaded |
/// |---|---|---|---|---|
/// | 1 | 0-5 | 65 | 65-70 | 70-90 |
/// | 2 | 65-70 | 130 | 130-135 | 135-155 |
/// | 3 | 130-135 | 195 | 195-200 | 200-220 |
///
/// A rack enters when the hood is shut on it: 5, 70, 135.
#[test]
fn an_attended_hood_waits_for_its_operator() {
    let mut scenario = racks_ready(3, hood(3, 1, 60.0, 5.0, true), 20.0);
    scenario.roster[1] = person("hood", &[Duty::Hood, Duty::Unload]);
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(enters(&diary), [5.0, 70.0, 135.0]);
    assert_eq!(leaves(&diary), [70.0, 135.0, 200.0]);
    assert_eq!(unloaded(&diary), [90.0, 155.0, 220.0]);
    assert_eq!(starts(&diary, 1, Duty::Hood), [0.0, 65.0, 130.0, 195.0]);
}

/// The same operator prefers unloading: with 100 s of it the finished rack waits under the hood.
///
/// Rack 1 is put in by 5, washed at 65, changed 65-70, unloaded 70-170; rack 2, washed at 130, waits
/// under the hood until 170, is changed 170-175 and unloaded 175-275. The landing has room all the time:
/// waiting 130-170, stopped never, a rack inside 5-130 and 170-175.
#[test]
fn a_finished_rack_waits_under_the_hood_for_somebody() {
    let mut scenario = racks_ready(2, hood(2, 2, 60.0, 5.0, true), 100.0);
    scenario.roster[1] = person("hood", &[Duty::Unload, Duty::Hood]);
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(leaves(&diary), [70.0, 175.0]);
    assert_eq!(unloaded(&diary), [170.0, 275.0]);
    assert_eq!(phases(&diary, Phase::Finished), [65.0, 130.0]);
    assert!(phases(&diary, Phase::Stopped).is_empty());
    assert_eq!(machine_time(&scenario), [130.0, 0.0, 0.0, 40.0, 7_030.0]);
    assert_eq!(outcome(&scenario).get(Measure::MachineStopped), Some(0.0));
}

/// Somebody at the hood, somebody else to unload, but a landing of one: rack 2, washed at 130, is held
/// by rack 1 on the landing until 170. That is a full landing, not a wait for somebody; at 170 somebody
/// is there at once.
#[test]
fn a_full_landing_stops_an_attended_hood() {
    let mut scenario = racks_ready(2, hood(2, 1, 60.0, 5.0, true), 100.0);
    scenario.roster.push(person("hood", &[Duty::Hood]));
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(leaves(&diary), [70.0, 175.0]);
    assert_eq!(phases(&diary, Phase::Stopped), [130.0]);
    assert_eq!(phases(&diary, Phase::Finished), [65.0, 170.0]);
    assert_eq!(machine_time(&scenario), [130.0, 0.0, 40.0, 0.0, 7_030.0]);
    let stopped = outcome(&scenario).get(Measure::MachineStopped);
    assert_eq!(stopped, Some(40.0 / 60.0));
}

/// Two attended hoods without lanes and two operators, but one full rack: only one of them goes.
#[test]
fn two_operators_do_not_change_one_rack_at_two_hoods() {
    let mut scenario = racks_ready(1, hood(0, 2, 60.0, 5.0, true), 10.0);
    scenario.machine.push(scenario.machine[0].clone());
    scenario.roster = vec![
        person("loader", &[Duty::Load]),
        RosterRow {
            count: 2,
            ..person("hood", &[Duty::Hood, Duty::Unload])
        },
    ];
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(starts(&diary, 1, Duty::Hood), [0.0, 65.0]);
    assert!(starts(&diary, 2, Duty::Hood).is_empty());
}

/// Idle timer 120 s, restart 5 s; racks come to the drop-off at 0 and at 300. The machine waits with
/// its pumps off from the start.
///
/// | | starts | enters | leaves | idle from |
/// |---|---|---|---|---|
/// | rack 1 | 0 | 5 | 65 | 185 |
/// | rack 2 | 300 | 305 | 365 | 485 |
///
/// Idle 185-300 and 485-7200: 6830 s. Starting counts as running empty.
#[test]
fn pumps_stop_after_a_while_and_a_rack_starts_them() {
    let mut scenario = racks_ready(2, with_idle(conveyor(2, 4, 6.0)), 1.0);
    scenario.backlog.clear();
    scenario.soiled_log = Some(logged("plate", &[(0.0, 1), (300.0, 1)]));
    scenario.rack[0].full_enough = 0.5;
    let (diary, _) = diary_of(&scenario);
    assert_eq!(enters(&diary), [5.0, 305.0]);
    assert_eq!(leaves(&diary), [65.0, 365.0]);
    assert_eq!(phases(&diary, Phase::Idle), [185.0, 485.0]);
    assert_eq!(phases(&diary, Phase::Starting), [0.0, 300.0]);
    assert_eq!(machine_time(&scenario), [120.0, 250.0, 0.0, 0.0, 6_830.0]);
}

fn with_idle(mut machine: Machine) -> Machine {
    if let MachineKind::RackConveyor {
        idle_after_s,
        restart_s,
        ..
    } = &mut machine.kind
    {
        (*idle_after_s, *restart_s) = (Some(120.0), 5.0);
    }
    machine
}

/// A rack within the idle time keeps the pumps on: at 100 and 184 (the timer of the first would run
/// out at 280; that of the second starts again at 244 and runs out at 364).
#[test]
fn a_rack_in_time_keeps_the_pumps_on() {
    let mut scenario = racks_ready(2, with_idle(conveyor(2, 4, 6.0)), 1.0);
    scenario.backlog.clear();
    scenario.soiled_log = Some(logged("plate", &[(95.0, 1), (184.0, 1)]));
    let (diary, _) = diary_of(&scenario);
    assert_eq!(enters(&diary), [100.0, 184.0]);
    assert_eq!(phases(&diary, Phase::Idle), [364.0]);
}

/// The pumps stop exactly when a rack comes: the rack keeps them on (a rack of the same moment comes
/// first). Rack 1 enters at 5, leaves at 65; timer out at 185; rack 2 comes at 185.
#[test]
fn a_rack_at_the_last_moment_keeps_the_pumps_on() {
    let mut scenario = racks_ready(2, with_idle(conveyor(2, 4, 6.0)), 1.0);
    scenario.backlog.clear();
    scenario.soiled_log = Some(logged("plate", &[(0.0, 1), (184.0, 1)]));
    scenario.loading = Some(loading(2, 1.0));
    let (diary, _) = diary_of(&scenario);
    // Loading takes 1 s: rack 1 is full at 1, enters at 6, leaves at 66; timer out at 186.
    assert_eq!(enters(&diary), [6.0, 185.0]);
    scenario.soiled_log = Some(logged("plate", &[(0.0, 1), (185.0, 1)]));
    let (diary, _) = diary_of(&scenario);
    assert_eq!(enters(&diary), [6.0, 186.0]);
    assert_eq!(phases(&diary, Phase::Idle), [306.0 + 60.0]);
}

/// Two conveyors without lanes: while the idle one starts again for a rack, the other takes it; its
/// pumps stop again after the idle time.
///
/// Rack 1 (0 s): machine 1 is idle and starts, enters at 5, leaves at 65. Machine 2, too, starts at 0
/// for it, finds nothing at 5, and goes idle at 125; machine 1 at 185.
#[test]
fn a_machine_that_started_for_nothing_goes_idle_again() {
    let mut scenario = racks_ready(1, with_idle(conveyor(0, 4, 6.0)), 1.0);
    scenario.machine.push(scenario.machine[0].clone());
    let (diary, _) = diary_of(&scenario);
    assert_eq!(enters(&diary), [5.0]);
    assert_eq!(phases(&diary, Phase::Idle), [125.0, 185.0]);
}

/// No lane: a full rack keeps its station until the machine takes it. One station, loading 4 s, hood
/// without change time, cycle 60 s, landing 4, unload 1 s.
///
/// | rack | filled | enters | leaves |
/// |---|---|---|---|
/// | 1 | 0-4 | 4 | 64 |
/// | 2 | 4-8 | 64 | 124 |
/// | 3 | 64-68 | 124 | 184 |
#[test]
fn without_a_lane_a_full_rack_keeps_its_station() {
    let mut scenario = racks_ready(3, hood(0, 4, 60.0, 0.0, false), 1.0);
    scenario.loading = Some(loading(1, 4.0));
    let (diary, _) = diary_of(&scenario);
    assert_eq!(starts(&diary, 0, Duty::Load), [0.0, 4.0, 64.0]);
    assert_eq!(enters(&diary), [4.0, 64.0, 124.0]);
    assert_eq!(leaves(&diary), [64.0, 124.0, 184.0]);
}

/// With a lane of one the station is free as soon as the lane is: the third rack is filled at 8-12.
#[test]
fn a_lane_frees_the_station() {
    let mut scenario = racks_ready(4, hood(1, 4, 60.0, 0.0, false), 1.0);
    scenario.loading = Some(loading(1, 4.0));
    let (diary, _) = diary_of(&scenario);
    // Rack 3 is full at 12 and keeps its station until rack 2 leaves the lane at 64.
    assert_eq!(starts(&diary, 0, Duty::Load), [0.0, 4.0, 8.0, 64.0]);
    assert_eq!(enters(&diary), [4.0, 64.0, 124.0, 184.0]);
}

/// Two hoods side by side, lanes of one: a rack goes before the one that stands open, or else into the
/// shorter lane, of equal ones the first. Four racks filled one after the other, 4 s each, cycle 60 s.
///
/// | rack | filled | hood | enters | leaves |
/// |---|---|---|---|---|
/// | 1 | 4 | 1 | 4 | 64 |
/// | 2 | 8 | 2, open | 8 | 68 |
/// | 3 | 12 | 1, first of equal lanes | 64 | 124 |
/// | 4 | 16 | 2, shorter lane | 68 | 128 |
#[test]
fn of_two_machines_the_open_one_is_fed_then_the_shorter_lane() {
    let mut scenario = racks_ready(4, hood(1, 4, 60.0, 0.0, false), 1.0);
    scenario.loading = Some(loading(4, 4.0));
    scenario.machine.push(scenario.machine[0].clone());
    let (diary, _) = diary_of(&scenario);
    let entries: Vec<(f64, u32)> = diary
        .iter()
        .filter_map(|line| match line.what {
            Happening::Enters { machine, .. } => Some((line.at.s(), machine.number())),
            _ => None,
        })
        .collect();
    assert_eq!(entries, [(4.0, 0), (8.0, 1), (64.0, 0), (68.0, 1)]);
}

/// One sink, soak 600 s, 1 s per piece in and out, two pieces; then racked at once.
///
/// | | |
/// |---|---|
/// | put in | 0-2 |
/// | soaks | 2-602 |
/// | taken out | 602-604 |
/// | racked | 604 |
/// Three racks of plates stand before two of glasses on the stations. The belt takes plates alone, one each 10 s; the
/// hood takes glasses alone, for 30 s each. So the first glasses pass the plates, and plates never help the belt out.
#[test]
fn machines_take_the_racks_that_belong_to_them() {
    for lane in [0, 1, 8] {
        let mut room = racks_ready(3, conveyor(lane, 9, 6.0), 0.0);
        room.ware.push(ware("glass", "grid", 1));
        room.rack.push(rack("grid", 2));
        room.backlog.push(backlog("glass", 2));
        room.loading = Some(loading(5, 0.0));
        room.machine[0].racks = vec!["peg".into()];
        room.machine.push(Machine {
            name: "bar".into(),
            racks: vec!["grid".into()],
            ..hood(lane, 9, 30.0, 0.0, false)
        });
        let (diary, finished) = diary_of(&room);
        assert!(finished);
        let entered = |number: usize| {
            times(
                &diary,
                |what| matches!(what, Happening::Enters { machine, .. } if machine.at() == number),
            )
        };
        assert_eq!(entered(0), [0.0, 10.0, 20.0], "lane {lane}");
        assert_eq!(entered(1), [0.0, 30.0], "lane {lane}");
    }
}

#[test]
fn a_sink_is_filled_left_and_emptied() {
    let mut scenario = racks_ready(2, conveyor(2, 4, 6.0), 1.0);
    scenario.ware[0].soak = SoakPolicy::Always;
    scenario.soak = Some(sink(2));
    scenario.roster[0] = person("loader", &[Duty::Soak, Duty::Load]);
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(starts(&diary, 0, Duty::Soak), [0.0, 602.0]);
    assert_eq!(
        times(&diary, |what| matches!(what, Happening::SoakStarts { .. })),
        [2.0]
    );
    assert_eq!(
        times(&diary, |what| matches!(what, Happening::SoakEnds { .. })),
        [604.0]
    );
    assert_eq!(enters(&diary), [604.0, 614.0]);
}

/// The same two pieces reach the drop-off at 0 and enter at 604 and 614; from 2 to 604 they are in the sink. So they
/// wait 2 and 12 s, and would with any recipe; Little's law holds for wait and soak together.
#[test]
fn the_soak_is_no_waiting() {
    for time_s in [60.0, 600.0] {
        let mut scenario = racks_ready(2, conveyor(2, 4, 6.0), 1.0);
        scenario.ware[0].soak = SoakPolicy::Always;
        scenario.soak = Some(Soak { time_s, ..sink(2) });
        scenario.roster[0] = person("loader", &[Duty::Soak, Duty::Load]);
        let outcome = outcome(&scenario);
        let of = |measure| outcome.get(measure).expect("a value");
        let near =
            |value: f64, s: f64| assert!((60.0 * value - s).abs() < 1e-4, "{value} min, {s} s");
        near(of(Measure::WaitMean), 7.0);
        near(of(Measure::WaitP95), 12.0);
        near(
            outcome.wares[0][WareMeasure::WaitMean as usize].expect("a value"),
            7.0,
        );
        near(of(Measure::SoakMean), time_s + 2.0);
        let together = of(Measure::WaitMean) + of(Measure::SoakMean);
        near(
            of(Measure::SoiledWaitingMean) * outcome.end_min,
            2.0 * 60.0 * together,
        );
    }
    let none = outcome(&racks_ready(2, conveyor(2, 4, 6.0), 1.0));
    assert_eq!(none.get(Measure::SoakMean), None);
}

fn sink(holds: u32) -> Soak {
    Soak {
        sinks: 1,
        holds,
        time_s: 600.0,
        water_l: None,
        put_in_s: 1.0,
        take_out_s: 1.0,
        per_unit: fixed(0.0),
        full_enough: 1.0,
        wait_at_most_s: 300.0,
        position: Position::default(),
    }
}

/// A part-full sink is started when its oldest piece has waited 300 s: pieces come at 0 and 100, the
/// sink holds three and more is still to come (at 2000, which is soaked alone once nothing else comes).
///
/// | | put in | soaks | taken out |
/// |---|---|---|---|
/// | two pieces | 300-302 | 302-902 | 902-904 |
/// | the last | 2000-2001 | 2001-2601 | 2601-2602 |
#[test]
fn a_part_full_sink_is_started_when_the_oldest_has_waited() {
    let mut scenario = racks_ready(3, conveyor(3, 4, 6.0), 1.0);
    scenario.backlog.clear();
    scenario.soiled_log = Some(logged("plate", &[(0.0, 1), (100.0, 1), (2_000.0, 1)]));
    scenario.ware[0].soak = SoakPolicy::Always;
    scenario.soak = Some(sink(3));
    scenario.roster[0] = person("loader", &[Duty::Soak, Duty::Load]);
    let (diary, _) = diary_of(&scenario);
    assert_eq!(
        starts(&diary, 0, Duty::Soak),
        [300.0, 902.0, 2_000.0, 2_601.0]
    );
    assert_eq!(
        times(&diary, |what| matches!(what, Happening::SoakEnds { .. })),
        [904.0, 2_602.0]
    );
}

/// Pieces to scrape one at a time, 40 s each, nothing behind: ware leaves the line there.
fn scraping(pieces: u32) -> Scenario {
    let mut scenario = empty();
    scenario.ware = vec![ware("plate", "", 1)];
    scenario.backlog = vec![backlog("plate", pieces)];
    scenario.scrape = Some(bench(1, 40.0, 1));
    scenario.roster = vec![person("scraper", &[Duty::Scrape])];
    scenario
}

/// A break from 60 to 120 waits for the piece in hand (40-80) and then lasts its 60 s: 80-140. The
/// third piece is scraped 140-180.
#[test]
fn a_break_waits_for_the_unit_of_work() {
    let mut scenario = scraping(3);
    scenario.roster[0].breaks = vec![Break {
        from_s: NOON + 60.0,
        to_s: NOON + 120.0,
    }];
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(
        times(&diary, |what| matches!(what, Happening::Break { .. })),
        [80.0]
    );
    assert_eq!(starts(&diary, 0, Duty::Scrape), [0.0, 40.0, 140.0]);
}

/// A shift that ends at 60 ends with the piece in hand, at 80; the third piece stays. Overtime 20 s.
/// With `stays` it is done 80-120, and everybody leaves at closing, 7200.
#[test]
fn who_does_not_stay_finishes_the_piece_in_hand() {
    let mut scenario = scraping(3);
    scenario.roster[0].to_s = NOON + 60.0;
    scenario.roster[0].stays = false;
    let (diary, finished) = diary_of(&scenario);
    assert!(!finished);
    assert_eq!(starts(&diary, 0, Duty::Scrape), [0.0, 40.0]);
    let goes = |diary: &[Entry]| times(diary, |what| matches!(what, Happening::Goes { .. }));
    assert_eq!(goes(&diary), [80.0]);
    assert_eq!(outcome(&scenario).get(Measure::Overtime), Some(20.0 / 60.0));
    scenario.roster[0].stays = true;
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(starts(&diary, 0, Duty::Scrape), [0.0, 40.0, 80.0]);
    assert_eq!(goes(&diary), [7_200.0]);
}

/// Breaks of 60 s at 100 and of 120 s at 400 both fall due during the first piece (0-1000): both are
/// taken after it, one after the other, 1000-1060 and 1060-1180. The second piece is scraped 1180-2180.
#[test]
fn two_breaks_that_fall_due_during_one_piece_are_both_taken_after_it() {
    let mut scenario = scraping(2);
    scenario.scrape = Some(bench(1, 1_000.0, 1));
    scenario.roster[0].breaks = vec![pause(100.0, 160.0), pause(400.0, 520.0)];
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(breaks(&diary), [1_000.0, 1_060.0]);
    assert_eq!(starts(&diary, 0, Duty::Scrape), [0.0, 1_180.0]);
}

/// A first break put off by work (40-80, due 60, 60 s) runs into the second (due 130, 30 s): 80-140,
/// then 140-170.
#[test]
fn a_break_that_falls_due_during_a_late_one_follows_it() {
    let mut scenario = scraping(3);
    scenario.roster[0].breaks = vec![pause(60.0, 120.0), pause(130.0, 160.0)];
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(breaks(&diary), [80.0, 140.0]);
    assert_eq!(starts(&diary, 0, Duty::Scrape), [0.0, 40.0, 170.0]);
}

fn pause(from_s: f64, to_s: f64) -> Break {
    Break {
        from_s: NOON + from_s,
        to_s: NOON + to_s,
    }
}

fn breaks(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::Break { .. }))
}

/// Whoever goes home during a break, or at the end of an evening, has had only that part of it. Shift
/// 0-100, break from 80 for an hour: present 100 s, of which 80 at hand and all of them busy.
#[test]
fn a_break_cut_off_counts_only_as_far_as_it_went() {
    let mut scenario = scraping(3);
    scenario.roster[0].to_s = NOON + 100.0;
    scenario.roster[0].stays = false;
    scenario.roster[0].breaks = vec![Break {
        from_s: NOON + 80.0,
        to_s: NOON + 3_680.0,
    }];
    let outcome = outcome(&scenario);
    assert_eq!(outcome.get(Measure::LabourHours), Some(100.0 / 3600.0));
    assert_eq!(outcome.get(Measure::CrewBusyShare), Some(1.0));
}

/// Pace 2 halves the work (40 s to 20 s); walking 10 m at 1 m/s is not hurried. The scraper starts at
/// the store, ten metres away: walks 0-10, scrapes 10-30, 30-50. Busy 50 s, walking 10 s.
#[test]
fn pace_hurries_work_and_not_walking() {
    let mut scenario = scraping(2);
    scenario.roster[0].pace = 2.0;
    scenario.roster[0].home = Some(Duty::PutAway);
    scenario.walking = Some(Walking { speed_m_per_s: 1.0 });
    scenario.scrape.as_mut().expect("there").position = at(6.0, 8.0);
    let (diary, _) = diary_of(&scenario);
    assert_eq!(
        times(&diary, |what| matches!(what, Happening::Ends { .. })),
        [30.0, 50.0]
    );
    let outcome = outcome(&scenario);
    assert_eq!(outcome.get(Measure::WalkingShare), Some(10.0 / 7_200.0));
    assert_eq!(outcome.get(Measure::CrewBusyShare), Some(50.0 / 7_200.0));
}

/// Batches of three, or part of one after 300 s; the carrying takes 60 s. Pieces come clean at 0, 10,
/// 20 and 30; one more at 5000.
///
/// | | taken up | stored |
/// |---|---|---|
/// | three | 20 | 80 |
/// | one, which came at 30 | 330 | 390 |
/// | the last, nothing else comes | 5000 | 5060 |
#[test]
fn a_batch_goes_when_full_or_when_it_has_waited() {
    let mut scenario = empty();
    scenario.ware = vec![ware("plate", "", 1)];
    let arrivals = [(0.0, 1), (10.0, 1), (20.0, 1), (30.0, 1), (5_000.0, 1)];
    scenario.soiled_log = Some(logged("plate", &arrivals));
    scenario.put_away = Some(PutAway {
        places: 1,
        per_unit: fixed(60.0),
        batch: 3,
        wait_at_most_s: 300.0,
        position: Position::default(),
    });
    scenario.roster = vec![person("porter", &[Duty::PutAway])];
    let (diary, _) = diary_of(&scenario);
    assert_eq!(starts(&diary, 0, Duty::PutAway), [20.0, 330.0, 5_000.0]);
    assert_eq!(stored(&diary), [(80.0, 3), (390.0, 1), (5_060.0, 1)]);
}

/// A part-full rack leaves when its oldest piece has waited ten minutes: pieces at 0 and 100 of a rack
/// for four, one more still to come at 3000, which is racked at once as nothing else comes.
#[test]
fn a_part_full_rack_leaves_when_its_oldest_piece_has_waited() {
    let mut scenario = racks_ready(2, conveyor(2, 4, 6.0), 1.0);
    scenario.ware[0].per_rack = 4;
    scenario.backlog.clear();
    scenario.soiled_log = Some(logged("plate", &[(0.0, 1), (100.0, 1), (3_000.0, 1)]));
    let (diary, _) = diary_of(&scenario);
    assert_eq!(enters(&diary), [600.0, 3_000.0]);
}

/// One rack for four; five pieces are scraped until 50, and the scraper goes. The rack leaves full at 40. The fifth
/// piece joins at 50 as the last of all, but there is no rack; when there is one, at 101, all four have come back
/// dirty and wait for a scraper: more is to come, and the fifth waits out its ten minutes. At that moment, 650,
/// nothing else happens.
#[test]
fn a_piece_that_was_the_last_waits_no_longer_than_any_other() {
    let mut scenario = racks_ready(1, conveyor(2, 4, 6.0), 1.0);
    scenario.soil[0].dirty_when_fresh = 0.999_999;
    scenario.soil[0].dirty_when_dried = 0.999_999;
    scenario.inspect = Some(Inspect { catches: 1.0 });
    scenario.ware[0].per_rack = 4;
    scenario.backlog = vec![backlog("plate", 5)];
    scenario.scrape = Some(bench(1, 10.0, 1));
    let mut scraper = person("scraper", &[Duty::Scrape]);
    (scraper.to_s, scraper.stays) = (NOON + 60.0, false);
    scenario.roster.push(scraper);
    let (diary, _) = diary_of(&scenario);
    assert_eq!(starts(&diary, 0, Duty::Load), [40.0, 650.0]);
}

/// Two plates, three parties and one person who scrapes.
fn two_plates() -> Scenario {
    let mut scenario = scraping(0);
    scenario.backlog.clear();
    scenario.ware[0].owned = Some(2);
    let rows = [(0.0, 2, 600.0), (300.0, 1, 900.0), (650.0, 2, 1_250.0)];
    scenario.guests = Some(parties(Style::Table, &rows));
    scenario.menu = vec![course("plate", 1.0, 0.0, 1.0)];
    scenario
}

/// Two plates owned. Party A (two covers, 0 to 600) takes both; party B (one cover) sits down at 300
/// and finds none: short. A's plates are soiled at 600, scraped one at a time, 40 s each: clean at 640
/// and 680. B waits 300 to 640, eats its 600 s and its plate is soiled at 1240, clean at 1280. Party C
/// sits down at 650 for two: the one plate left at 680 is not enough; it keeps it and waits for B's:
/// 650 to 1280.
#[test]
fn who_is_short_waits_and_is_served_in_turn() {
    let scenario = two_plates();
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    let short: Vec<(f64, u32)> = diary
        .iter()
        .filter_map(|line| match line.what {
            Happening::Short { pieces, .. } => Some((line.at.s(), pieces)),
            _ => None,
        })
        .collect();
    assert_eq!(short, [(300.0, 1), (650.0, 2)]);
    let soiled = times(&diary, |what| matches!(what, Happening::Soiled { .. }));
    assert_eq!(soiled, [600.0, 1_240.0, 1_880.0]);
    let outcome = outcome(&scenario);
    assert_eq!(outcome.get(Measure::ShortCovers), Some(3.0));
    // B 340 s, both covers of C 630 s: (340 + 2 x 630)/3.
    assert_eq!(
        outcome.get(Measure::ShortWaitMean),
        Some(1_600.0 / 3.0 / 60.0)
    );
    // C meant to leave at 1250 and leaves at 1880; its ware is there at once. Closing is at 7200.
    assert_eq!(
        outcome.get(Measure::LastGuestAfterClose),
        Some((1_880.0 - 7_200.0) / 60.0)
    );
    assert_eq!(
        outcome.get(Measure::LastWareAfterClose),
        Some((1_880.0 - 7_200.0) / 60.0)
    );
}

/// The same, but clean plates lie an hour before they are put away: at 300 none does, and one cover is short; at 650
/// the one that is clean since 640 does, and two are.
#[test]
fn what_lies_clean_is_counted_with_the_covers_that_are_short() {
    let mut scenario = two_plates();
    scenario.put_away = Some(PutAway {
        places: 1,
        per_unit: fixed(1.0),
        batch: 10,
        wait_at_most_s: 3_600.0,
        position: Position::default(),
    });
    scenario.roster[0].duties.push(always(Duty::PutAway));
    let outcome = outcome(&scenario);
    assert_eq!(outcome.get(Measure::ShortCovers), Some(3.0));
    let lying = outcome.wares[0][WareMeasure::CleanLying as usize];
    assert_eq!(lying, Some(2.0 / 3.0));
}

/// A plate put away in the same moment in which a party sits down is there for it.
#[test]
fn the_table_is_laid_from_what_was_put_away_in_the_same_moment() {
    let mut scenario = scraping(0);
    scenario.backlog.clear();
    scenario.ware[0].owned = Some(1);
    let rows = [(0.0, 1, 600.0), (640.0, 1, 1_240.0)];
    scenario.guests = Some(parties(Style::Table, &rows));
    scenario.menu = vec![course("plate", 1.0, 0.0, 1.0)];
    assert_eq!(outcome(&scenario).get(Measure::ShortCovers), Some(0.0));
}

/// Everybody of a banquet is seated at once and eats in step: both courses of all tables are soiled in
/// one moment each, at a third and at the end of an hour.
#[test]
fn a_banquet_clears_in_one_wave() {
    let mut scenario = scraping(0);
    scenario.backlog.clear();
    let mut guests = parties(Style::Banquet, &[]);
    let at_once = Seating {
        from_s: NOON,
        to_s: NOON,
        covers: 12.0,
    };
    guests.seating = vec![at_once];
    guests.party_sizes = vec![PartySize {
        covers: 3,
        weight: 1.0,
    }];
    guests.dwell_per_extra_cover_s = 999.0;
    scenario.guests = Some(guests);
    scenario.menu = vec![
        course("plate", 1.0, 0.0, 1.0),
        course("plate", 1.0, 0.0, 1.0 / 3.0),
    ];
    scenario.menu[1].name = "starter".into();
    let (diary, _) = diary_of(&scenario);
    let soiled = times(&diary, |what| matches!(what, Happening::Soiled { .. }));
    assert_eq!(
        soiled,
        [
            1_200.0, 1_200.0, 1_200.0, 1_200.0, 3_600.0, 3_600.0, 3_600.0, 3_600.0
        ]
    );
}

/// Guests of a cafeteria keep their ware to the end and carry it themselves: soiled at 300, at the
/// drop-off when they leave, at 600.
#[test]
fn cafeteria_guests_carry_their_ware_when_they_leave() {
    let mut scenario = scraping(0);
    scenario.backlog.clear();
    scenario.guests = Some(parties(Style::Cafeteria, &[(0.0, 2, 600.0)]));
    scenario.menu = vec![course("plate", 1.0, 0.0, 0.5)];
    let (diary, _) = diary_of(&scenario);
    assert_eq!(
        times(&diary, |what| matches!(what, Happening::Soiled { .. })),
        [300.0]
    );
    assert_eq!(put_down(&diary), [(600.0, 2)]);
}

/// Tubs of two, room for two tubs, floor staff, a trip of 30 s; three lots of two are soiled at 100;
/// scraping takes 40 s per piece.
fn full_drop_off(when_full: WhenFull) -> Scenario {
    let mut scenario = scraping(0);
    scenario.backlog.clear();
    scenario.drop_off.tubs = Some(Places::Count(2));
    scenario.clear_down = Some(ClearDown {
        fleet: None,
        by: Carrier::FloorStaff,
        tub: 2,
        trip: fixed(30.0),
        wait_at_most_s: 300.0,
        when_full,
    });
    let rows = [(0.0, 2, 100.0), (0.0, 2, 100.0), (0.0, 2, 100.0)];
    scenario.guests = Some(parties(Style::Table, &rows));
    scenario.menu = vec![course("plate", 1.0, 0.0, 1.0)];
    scenario
}

/// On the floor: all six are put down at 130, and the third tub stands on the floor. The first tub is
/// empty when its second piece is taken up, at 170.
#[test]
fn tubs_that_do_not_fit_stand_on_the_floor() {
    let scenario = full_drop_off(WhenFull::Floor);
    let (diary, _) = diary_of(&scenario);
    assert_eq!(put_down(&diary), [(130.0, 2), (130.0, 2), (130.0, 2)]);
    let outcome = outcome(&scenario);
    assert_eq!(outcome.get(Measure::FloorTubsMax), Some(1.0));
    assert_eq!(outcome.trips_waiting_most, 0);
}

/// Waiting: the third trip stands with its tub from 130 until the first tub is empty, at 170.
#[test]
fn a_trip_waits_for_a_place() {
    let scenario = full_drop_off(WhenFull::Wait);
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(put_down(&diary), [(130.0, 2), (130.0, 2), (170.0, 2)]);
    let outcome = outcome(&scenario);
    assert_eq!(outcome.get(Measure::FloorTubsMax), Some(0.0));
    assert_eq!(outcome.trips_waiting_most, 2);
}

/// The crew carries, one operator for everything, one place for a tub of two: a second trip starts
/// only when the first tub is empty. Trips 30 s, scraping 40 s per piece, carrying preferred.
///
/// | | |
/// |---|---|
/// | trip 1 | 100-130 |
/// | scrape | 130-170, then the tub's second piece 170-210, its place free from 170 |
/// | trip 2 | 210-240 |
/// | scrape | 240-280, 280-320 |
#[test]
fn one_operator_for_everything_never_stands_before_a_full_drop_off() {
    let mut scenario = full_drop_off(WhenFull::Wait);
    scenario.drop_off.tubs = Some(Places::Count(1));
    scenario.clear_down.as_mut().expect("there").by = Carrier::Crew;
    scenario.guests = Some(parties(Style::Table, &[(0.0, 4, 100.0)]));
    scenario.roster = vec![person("all hands", &[Duty::ClearDown, Duty::Scrape])];
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(starts(&diary, 0, Duty::ClearDown), [100.0, 210.0]);
    assert_eq!(
        starts(&diary, 0, Duty::Scrape),
        [130.0, 170.0, 240.0, 280.0]
    );
}

/// A crew trip starts with a full tub, or when the oldest piece has waited 300 s, or when nothing more
/// will be soiled: one piece at 100 goes at 400; two more at 3600 go at once.
#[test]
fn a_crew_trip_starts_full_or_after_a_wait() {
    let mut scenario = full_drop_off(WhenFull::Floor);
    scenario.clear_down.as_mut().expect("there").by = Carrier::Crew;
    scenario.guests = Some(parties(Style::Table, &[(0.0, 1, 100.0), (0.0, 2, 3_600.0)]));
    scenario.roster = vec![person("all hands", &[Duty::ClearDown, Duty::Scrape])];
    let (diary, _) = diary_of(&scenario);
    assert_eq!(starts(&diary, 0, Duty::ClearDown), [400.0, 3_600.0]);
}

/// Without scraping, ware draws down to the pre-rinse as room comes: a table for two, five pieces,
/// pre-rinsed two at a time in 30 s.
///
/// | taken up | 0 | 30 | 60 |
/// |---|---|---|---|
/// | pieces | 2 | 2 | 1 |
#[test]
fn without_scraping_ware_draws_down_as_the_table_empties() {
    let mut scenario = scraping(5);
    scenario.scrape = None;
    scenario.pre_rinse = Some(PreRinse {
        places: 1,
        per_unit: fixed(30.0),
        batch: 2,
        table: Some(2),
        wets: 0.5,
        removes: 0.6,
        flow_l_per_s: None,
        position: Position::default(),
    });
    scenario.roster = vec![person("rinser", &[Duty::PreRinse])];
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(starts(&diary, 0, Duty::PreRinse), [0.0, 30.0, 60.0]);
}

/// What stands there at the start has dried for its age. Film 0.1 mm in 24 °C, half-damp air at
/// 0.1 m/s dries at a constant rate for 16.90 min (handbook form, worked by hand): 16 min are not
/// dried on, 17.5 min are. Washed at once.
#[test]
fn the_backlog_has_aged() {
    for (age_min, share) in [(16.0, 0.0), (17.5, 1.0)] {
        let mut scenario = racks_ready(3, conveyor(0, 4, 6.0), 1.0);
        scenario.air.drying_multiplier = 1.0;
        scenario.backlog[0].age_s = 60.0 * age_min;
        assert_eq!(outcome(&scenario).get(Measure::DriedOnShare), Some(share));
    }
}

/// The drying clock starts when a piece is soiled on the table. Soiled at 600 and dried on from 1614
/// (16.90 min later); at the drop-off at 630; washed at 1600 (not dried on) or at 1630 (dried on, though
/// not if the clock had started at the drop-off).
#[test]
fn drying_starts_at_the_table() {
    for (load_s, share) in [(970.0, 0.0), (1_000.0, 1.0)] {
        let mut scenario = racks_ready(1, conveyor(1, 4, 6.0), 1.0);
        scenario.backlog.clear();
        scenario.air.drying_multiplier = 1.0;
        scenario.guests = Some(parties(Style::Table, &[(0.0, 1, 600.0)]));
        scenario.menu = vec![course("plate", 1.0, 0.0, 1.0)];
        scenario.clear_down = full_drop_off(WhenFull::Floor).clear_down;
        scenario.loading = Some(loading(1, load_s));
        let (diary, _) = diary_of(&scenario);
        assert_eq!(enters(&diary), [630.0 + load_s]);
        assert_eq!(outcome(&scenario).get(Measure::DriedOnShare), Some(share));
    }
}

/// An evening from 23:00 to 01:00: ware that comes at 00:30 comes 90 min after the start, and the last
/// rack leaves 29 min before closing.
#[test]
fn an_evening_goes_on_past_midnight() {
    let mut scenario = racks_ready(1, conveyor(1, 4, 6.0), 1.0);
    scenario.backlog.clear();
    let hour = 3_600.0;
    (scenario.service.opens_s, scenario.service.closes_s) = (23.0 * hour, 25.0 * hour);
    let mut log = logged("plate", &[(0.0, 1)]);
    log.rows[0].time_s = 24.5 * hour;
    scenario.soiled_log = Some(log);
    for row in &mut scenario.roster {
        (row.from_s, row.to_s) = (23.0 * hour, 25.0 * hour);
    }
    let (diary, _) = diary_of(&scenario);
    assert_eq!(enters(&diary), [5_400.0]);
    let outcome = outcome(&scenario);
    assert_eq!(outcome.get(Measure::LastRackAfterClose), Some(-29.0));
    // The ware came half an hour before closing, and there are no guests to leave.
    assert_eq!(outcome.get(Measure::LastWareAfterClose), Some(-30.0));
    assert_eq!(outcome.get(Measure::LastGuestAfterClose), None);
    assert_eq!(outcome.get(Measure::CrewOutAfterClose), Some(0.0));
}

/// Every piece is dirty after a wash and every dirty piece is caught, but for luck: with 60 % dirty and
/// all caught, what goes in again is what was caught, and nothing soiled is sent out.
#[test]
fn caught_pieces_are_washed_again() {
    let mut scenario = racks_ready(40, conveyor(40, 4, 6.0), 1.0);
    (
        scenario.soil[0].dirty_when_fresh,
        scenario.soil[0].dirty_when_dried,
    ) = (0.6, 0.6);
    scenario.inspect = Some(Inspect { catches: 1.0 });
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    let caught: u32 = diary
        .iter()
        .map(|line| match line.what {
            Happening::Caught { pieces, .. } => pieces,
            _ => 0,
        })
        .sum();
    assert_eq!(enters(&diary).len() as u32, 40 + caught);
    let outcome = outcome(&scenario);
    let share = f64::from(caught) / f64::from(40 + caught);
    assert_eq!(outcome.get(Measure::RewashedShare), Some(share));
    assert_eq!(outcome.get(Measure::SentOutSoiledShare), Some(0.0));
    assert_eq!(outcome.get(Measure::Pieces), Some(40.0));
    // 40 pieces, washes geometric with mean 2.5: 100, give or take 4 of sqrt(40 x 3.75) = 12.2.
    assert!((52..=148).contains(&(40 + caught)), "{caught}");
}

/// A rack is full when nothing more fits: 1.1 times 18 is 19.8, so 19 pieces, not 20, go at once; 19
/// more come at 50 while one piece is still to come at 3000.
#[test]
fn a_rack_that_takes_nothing_more_leaves() {
    let mut scenario = racks_ready(3, conveyor(3, 4, 6.0), 1.0);
    scenario.backlog.clear();
    scenario.ware[0].per_rack = 18;
    scenario.rack[0].fill = 1.1;
    scenario.soiled_log = Some(logged("plate", &[(0.0, 18), (50.0, 1), (3_000.0, 1)]));
    let (diary, _) = diary_of(&scenario);
    assert_eq!(enters(&diary), [50.0, 3_000.0]);
}

/// What lies ready in a sink waits too: with `once_waiting` 2 both pieces are put in at 0 and taken out
/// when soaked, though nothing stands before the sink.
#[test]
fn what_lies_ready_in_a_sink_counts_as_waiting() {
    let mut scenario = racks_ready(2, conveyor(2, 4, 6.0), 1.0);
    scenario.ware[0].soak = SoakPolicy::Always;
    scenario.soak = Some(sink(2));
    scenario.roster[0].duties = vec![once(Duty::Soak, 2), always(Duty::Load)];
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(starts(&diary, 0, Duty::Soak), [0.0, 602.0]);
}

/// A finished rack under a hood waits too: with `once_waiting` 1 it is taken out though the lane is
/// empty.
#[test]
fn a_finished_rack_under_a_hood_counts_as_waiting() {
    let mut scenario = racks_ready(1, hood(1, 1, 60.0, 5.0, true), 20.0);
    scenario.roster[1].duties = vec![once(Duty::Hood, 1), always(Duty::Unload)];
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(starts(&diary, 1, Duty::Hood), [0.0, 65.0]);
}

/// Ware that stands there at the start is not clean: of ten owned, four stand soiled, so six at most
/// are ever clean at the start; two covers leave four.
#[test]
fn what_stands_there_at_the_start_is_not_clean() {
    let mut scenario = scraping(4);
    scenario.ware[0].owned = Some(10);
    let least = |scenario: &Scenario| {
        let measure = scullery::service::measure::WareMeasure::CleanLeast;
        outcome(scenario).wares[0][measure as usize]
    };
    assert_eq!(least(&scenario), Some(6.0));
    scenario.guests = Some(parties(Style::Table, &[(1.0, 2, 600.0)]));
    scenario.menu = vec![course("plate", 1.0, 0.0, 1.0)];
    assert_eq!(least(&scenario), Some(4.0));
}

/// An evening cut short says so, and its books are closed at the limit: one rack of a belt of 60 s, an
/// evening that gives up 30 s after it entered.
#[test]
fn an_evening_cut_short_closes_its_books() {
    let mut scenario = racks_ready(1, conveyor(1, 4, 6.0), 1.0);
    scenario.service.closes_s = NOON + 10.0;
    scenario.service.give_up_after_s = 20.0;
    let outcome = outcome(&scenario);
    assert!(!outcome.finished);
    assert_eq!(outcome.end_min, 0.5);
    assert_eq!(outcome.get(Measure::MachineRunningShare), Some(1.0));
    assert_eq!(outcome.get(Measure::LastRackAfterClose), None);
    assert_eq!(outcome.get(Measure::LabourHours), Some(60.0 / 3_600.0));
}

/// Cut short with a piece in hand and nothing in line: what is in hand is named.
#[test]
fn what_is_in_hand_at_the_limit_is_named() {
    let mut scenario = scraping(1);
    scenario.service.closes_s = NOON + 10.0;
    scenario.service.give_up_after_s = 20.0;
    let room = Room::of(&scenario);
    let mut service = Service::new(&room);
    service.play(1, 0);
    assert!(!service.finished());
    let stuck = scullery::words::stuck::lines(&service.stuck());
    assert_eq!(stuck, ["scrape: 1 piece in hand"]);
}
