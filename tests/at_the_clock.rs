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

fn begins(diary: &[Entry], begun: Phase) -> Vec<f64> {
    times(
        diary,
        |what| matches!(what, Happening::Phase { phase, .. } if *phase == begun),
    )
}

/// It strikes at 25 and is mended in 7 s: three racks are inside, and all that follows is 7 s later.
#[test]
fn a_fault_strikes_at_its_time_and_is_mended() {
    let mut room = racks_and_porter(5, &[Duty::Tend]);
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
    let mut room = racks_and_porter(5, &[Duty::Unload]);
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
    let mut room = racks_and_porter(4, &[Duty::Unload]);
    room.fault = vec![passes("first", 25.0, 30.0), passes("second", 40.0, 30.0)];
    assert_eq!(enters(&diary_of(&room).0), [0.0, 10.0, 20.0, 75.0]);
}

/// The clock of running hours stands meanwhile. The jam is due after 25 s of running and again after 50: 32 to 40 are 8
/// of the second 25 s, the power cut takes 40 to 50, and the other 17 end at 67.
#[test]
fn the_clock_of_running_hours_stands_meanwhile() {
    let mut room = racks_and_porter(8, &[Duty::Tend]);
    room.fault = vec![stops("jam", 25.0, 7.0), passes("power cut", 40.0, 10.0)];
    assert_eq!(strikes(&diary_of(&room).0)[..3], [25.0, 40.0, 67.0]);
}

/// Common random numbers: a power cut of 500 s moves every jam after it by 500 s and changes nothing before.
#[test]
fn random_faults_are_the_same_in_running_time() {
    let mut room = racks_and_porter(1, &[Duty::Unload]);
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
    let mut room = racks_and_porter(2, &[Duty::SetUp]);
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
    let mut room = racks_and_porter(60, &[Duty::Tend]);
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
    let mut room = racks_and_porter(8, &[Duty::Unload]);
    room.fault = vec![Fault {
        stops: false,
        spray: 0.5,
        ..passes("low pressure", 25.0, 30.0)
    }];
    let outcome = outcome(&room);
    assert_eq!(outcome.get(Measure::RacksInFault), Some(3.0));
    assert_eq!(outcome.get(Measure::MachineDown), Some(0.0));
}

fn comes(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::Comes { .. }))
}

/// A loader who is 45 s late: no rack enters before. The pay counts from then on, and the break that was due before is
/// not taken.
#[test]
fn who_is_late_begins_late_and_is_paid_from_then_on() {
    let mut room = racks_and_porter(3, &[Duty::Unload]);
    room.prices = Some(labour_at(36.0));
    room.roster.truncate(1);
    room.roster[0].stays = false;
    room.roster[0].breaks = vec![Break {
        from_s: NOON + 30.0,
        to_s: NOON + 40.0,
    }];
    let cost = |room: &Scenario| outcome(room).get(Measure::Cost).unwrap();
    assert!((cost(&room) - 72.0).abs() < 1e-9);
    room.roster[0].late_by = Some(fixed(45.0));
    let (diary, finished) = diary_of(&room);
    assert!(finished);
    assert_eq!(comes(&diary), [45.0]);
    assert_eq!(enters(&diary), [45.0, 55.0, 65.0]);
    let breaks = times(&diary, |what| matches!(what, Happening::Break { .. }));
    assert!(breaks.is_empty());
    assert!((cost(&room) - (72.0 - 45.0 * 0.01)).abs() < 1e-9);
}

/// Who does not come does nothing and is not paid; nor does who would come when the shift is over.
#[test]
fn who_does_not_come_does_nothing_and_costs_nothing() {
    let mut room = racks_and_porter(3, &[Duty::Load]);
    room.prices = Some(labour_at(36.0));
    room.roster[1].from_s = NOON + 100.0;
    let late = Some(fixed(7_200.0));
    for (absent, late_by) in [(1.0, None), (0.0, late)] {
        (room.roster[0].absent, room.roster[0].late_by) = (absent, late_by);
        let (diary, finished) = diary_of(&room);
        assert!(finished);
        let missing = times(&diary, |what| matches!(what, Happening::Absent { .. }));
        assert_eq!(missing.len(), 1);
        assert_eq!(comes(&diary), [100.0]);
        assert_eq!(enters(&diary)[0], 100.0);
        let cost = outcome(&room).get(Measure::Cost).unwrap();
        assert!((cost - (72.0 - 1.0)).abs() < 1e-9);
    }
}

/// Who came, and when, in each of so many evenings, by operator; nothing for who did not.
fn coming(room: &Scenario, evenings: u64) -> Vec<Vec<Option<f64>>> {
    let room = Room::of(room);
    let mut service = scullery::service::Service::new(&room);
    service.keep_diary();
    let evening = |number| {
        service.play(1, number);
        let mut came = vec![None; room.crew.len()];
        for line in service.diary() {
            if let Happening::Comes { operator } = line.what {
                came[operator.at()] = Some(line.at.s());
            }
        }
        came
    };
    (0..evenings).map(evening).collect()
}

/// Of two with a chance of 0.3 each both are there in 0.49 of the evenings, none in 0.09; of those who come a quarter is
/// late, by 600 s on average. Over 4,000 evenings each lies within four standard errors.
#[test]
fn chances_are_those_given() {
    let mut room = racks_and_porter(1, &[Duty::Unload]);
    room.roster[1].count = 2;
    room.roster[1].absent = 0.3;
    room.roster[1].late = Some(0.25);
    room.roster[1].late_by = Some(varying(600.0, 1.0, Shape::Exponential));
    let evenings = coming(&room, 4_000);
    let there = |wanted: usize| {
        let count = |came: &&Vec<Option<f64>>| came[1..].iter().flatten().count() == wanted;
        evenings.iter().filter(count).count() as f64 / 4_000.0
    };
    let error = |p: f64, n: f64| 4.0 * (p * (1.0 - p) / n).sqrt();
    assert!((there(2) - 0.49).abs() < error(0.49, 4_000.0));
    assert!((there(0) - 0.09).abs() < error(0.09, 4_000.0));
    let came: Vec<f64> = evenings
        .iter()
        .flat_map(|c| &c[1..])
        .flatten()
        .copied()
        .collect();
    let late: Vec<f64> = came.iter().copied().filter(|at| *at > 0.0).collect();
    let share = late.len() as f64 / came.len() as f64;
    assert!(
        (share - 0.25).abs() < error(0.25, came.len() as f64),
        "{share}"
    );
    // Those who would come after two hours are left out: a share of exp(-12).
    let mean = late.iter().sum::<f64>() / late.len() as f64;
    assert!(
        (mean - 600.0).abs() < 4.0 * 600.0 / (late.len() as f64).sqrt(),
        "{mean}"
    );
    assert!(evenings.iter().all(|came| came[0] == Some(0.0)));
}

/// One of three never comes, one is ten minutes late each time, one comes in time: 1 person and 10 min. Who is called in
/// and who was to come after the end are in neither.
#[test]
fn who_is_missing_is_counted() {
    let mut room = racks_and_porter(1, &[Duty::Unload]);
    room.roster[1].late_by = Some(fixed(600.0));
    let mut never = person("never", &[Duty::Unload]);
    never.absent = 1.0;
    let called = RosterRow {
        called: Some(Called {
            once_waiting: 1_000,
            comes_after_s: 0.0,
            stays_at_least_s: 0.0,
            goes_below: 0,
        }),
        name: "called".into(),
        ..never.clone()
    };
    let after = RosterRow {
        name: "after".into(),
        from_s: NOON + 90_000.0,
        to_s: NOON + 95_000.0,
        ..never.clone()
    };
    room.roster.extend([never, called, after]);
    let missed = |room: &Scenario| {
        let came = outcome(room);
        (came.absences, came.late_min)
    };
    assert_eq!(missed(&room), (1, 10.0));
    room.roster.iter_mut().for_each(|row| {
        (row.absent, row.late_by) = (0.0, None);
    });
    assert_eq!(missed(&room), (0, 0.0));
}

/// Common random numbers: with a greater chance the same people do not come, and some more; who comes is as late as
/// before; and another row changes nothing.
#[test]
fn a_greater_chance_adds_to_who_does_not_come() {
    let mut room = racks_and_porter(1, &[Duty::Unload]);
    room.roster[1].count = 3;
    room.roster[1].absent = 0.1;
    room.roster[1].late = Some(0.5);
    room.roster[1].late_by = Some(varying(600.0, 0.5, Shape::Gamma));
    let few = coming(&room, 300);
    room.roster[1].absent = 0.4;
    let mut first = person("first", &[Duty::Load]);
    first.absent = 0.5;
    room.roster.insert(0, first);
    let many = coming(&room, 300);
    let mut more = 0;
    for (few, many) in few.iter().zip(&many) {
        for (few, many) in few[1..].iter().zip(&many[2..]) {
            assert!(many.is_none() || many == few);
            more += u32::from(few.is_some() && many.is_none());
        }
    }
    assert!((200..340).contains(&more), "{more}");
}

/// Four guests and six want a plate each at noon and eat for an hour; six are owned, so four wait. Six more come at 600 s: without
/// anybody to put them away the four are served then; with somebody who takes 5 s a plate, 30 s later.
#[test]
fn what_is_brought_serves_those_who_wait() {
    let mut room = racks_and_porter(4, &[Duty::Unload]);
    room.backlog = Vec::new();
    room.guests = Some(parties(
        Style::Table,
        &[(0.0, 4, 3_600.0), (0.0, 6, 3_600.0)],
    ));
    room.menu = vec![course("plate", 1.0, 0.0, 1.0)];
    room.ware[0].owned = Some(6);
    room.delivery = vec![Delivery {
        name: "hired".into(),
        at_s: NOON + 600.0,
        ware: "plate".into(),
        pieces: 6,
    }];
    let wait_min = |room: &Scenario| {
        let outcome = outcome(room);
        (
            outcome.get(Measure::ShortCovers),
            outcome.get(Measure::ShortWaitMean),
            outcome.get(Measure::Pieces),
        )
    };
    assert_eq!(wait_min(&room), (Some(4.0), Some(10.0), Some(10.0)));
    assert!(diary_of(&room).1);
    room.put_away = Some(PutAway {
        places: 1,
        per_unit: fixed(0.0),
        batch: 6,
        wait_at_most_s: 0.0,
        position: Position::default(),
    });
    room.ware[0].put_away_s = 5.0;
    room.roster.push(person("steward", &[Duty::PutAway]));
    assert_eq!(wait_min(&room), (Some(4.0), Some(10.5), Some(10.0)));
    let (diary, finished) = diary_of(&room);
    assert!(finished);
    let brought = times(&diary, |what| matches!(what, Happening::Brought { .. }));
    assert_eq!(brought, [600.0]);
}

/// Clean ware that is brought is not washed, and changes neither guests nor soil nor luck.
#[test]
fn what_is_brought_is_not_washed() {
    let mut room = racks_and_porter(9, &[Duty::Unload]);
    room.ware[0].owned = Some(40);
    let plain = outcome(&room);
    room.delivery = vec![Delivery {
        name: "hired".into(),
        at_s: NOON + 20.0,
        ware: "plate".into(),
        pieces: 30,
    }];
    let more = outcome(&room);
    for measure in [
        Measure::Pieces,
        Measure::Racks,
        Measure::SentOutSoiledShare,
        Measure::WaitMean,
    ] {
        assert_eq!(plain.get(measure), more.get(measure), "{measure:?}");
    }
}

/// A hood of 50 s, its rinse in the last 10: the rack of 5 s is washed to 45 and rinsed to 55. A power cut of 20 s at 30
/// stands in the wash, one at 48 in the rinse: either way the rack leaves at 75, having had all of its water, and the
/// next is rinsed as it would have been.
#[test]
fn a_power_cut_in_a_cycle_stands_still_and_goes_on() {
    let mut room = racks_and_porter(2, &[Duty::Unload]);
    room.machine = vec![wet_hood()];
    assert_eq!(leaves(&diary_of(&room).0), [55.0, 110.0]);
    let plain = outcome(&room);
    for at_s in [30.0, 48.0] {
        room.fault = vec![passes("power cut", at_s, 20.0)];
        let (diary, finished) = diary_of(&room);
        assert!(finished);
        assert_eq!(begins(&diary, Phase::Down), [at_s]);
        assert_eq!(leaves(&diary), [75.0, 130.0]);
        let cut = outcome(&room);
        for measure in [Measure::Water, Measure::Detergent, Measure::Pumps] {
            let [plain, cut] = [&plain, &cut].map(|outcome| outcome.get(measure).unwrap());
            assert!((plain - cut).abs() < 1e-9, "{measure:?}: {plain} {cut}");
        }
        assert_eq!(cut.get(Measure::MachineDown), Some(20.0 / 60.0));
    }
}

/// The same where the hood goes on washing until it is hot: what it waited before the power cut and after it counts as
/// held, the power cut itself does not.
#[test]
fn a_power_cut_while_a_cycle_waits_for_heat() {
    let mut room = racks_and_porter(2, &[Duty::Unload]);
    room.machine = vec![wet_hood()];
    if let MachineKind::Hood {
        water: Some(water), ..
    } = &mut room.machine[0].kind
    {
        water.when_cold = WhenCold::Hold;
        let booster = water.booster.as_mut().unwrap();
        (booster.power_w, booster.holds_l) = (2_000.0, 6.0);
    }
    let held = |room: &Scenario| outcome(room).get(Measure::MachineHeld).unwrap() * 60.0;
    let plain = leaves(&diary_of(&room).0);
    let waits_s = held(&room);
    assert!(waits_s > 30.0, "the second rack waits: {waits_s}");
    // It comes at 60, would rinse at 100, and waits.
    room.fault = vec![passes("power cut", 110.0, 15.0)];
    let (diary, _) = diary_of(&room);
    let cut = leaves(&diary);
    assert_eq!(cut[0], plain[0]);
    // The booster heats on meanwhile: a fault that stops the machine leaves it its power unless it says otherwise.
    assert!((cut[1] - plain[1]).abs() < 15.0 + 1e-6 && cut[1] >= plain[1] - 1e-6);
    let stood_s = cut[1] - plain[1];
    assert!((held(&room) - (waits_s + stood_s - 15.0)).abs() < 1e-6);
}

/// Seconds to change the water of the hood: a minute to drain, 40 L at 0.4 L/s, and from 60 to 66 °C with 6 kW.
const CHANGE_S: f64 = 60.0 + 100.0 + 40.0 * 4_186.0 * 6.0 / 6_000.0;

/// A hood of 50 s with 5 s to change racks. Its water is due at 100, in the second cycle: it is changed from 110 on, and
/// the third rack comes after that. Where it takes hands of 20 s the third rack is washed first, to 165.
#[test]
fn a_hood_has_its_water_changed_between_two_racks() {
    let mut room = racks_and_porter(4, &[Duty::Tend]);
    room.machine = vec![wet_hood()];
    changed_by_hand(&mut room.machine[0], 100.0, 20.0);
    let after = |room: &Scenario, rack: usize, begins_s: f64| {
        let (diary, finished) = diary_of(room);
        assert!(finished);
        assert_eq!(begins(&diary, Phase::Refilling)[0], begins_s);
        let again = enters(&diary)[rack];
        assert!((again - begins_s - CHANGE_S).abs() < 0.5, "{again}");
        diary
    };
    after(&room, 3, 165.0);
    if let MachineKind::Hood {
        water_change: Some(change),
        ..
    } = &mut room.machine[0].kind
    {
        change.by_hand = None;
    }
    after(&room, 2, 110.0);
    // Racks were kept out from 100, when it was due, to its end.
    room.backlog = vec![backlog("plate", 3)];
    room.rack[0].fleet = 3;
    let kept_s = outcome(&room).get(Measure::WaterChange).unwrap() * 60.0;
    let again = enters(&diary_of(&room).0)[2];
    let litres = outcome(&room).get(Measure::Water).unwrap();
    assert!(kept_s >= again - 100.0 - 1e-6, "{kept_s} {again}");
    // The first fill, three rinses of 3 L, and 40 L for each change, in the lull after them too.
    let changes = (litres - 49.0) / 40.0;
    assert!(
        changes > 0.5 && (changes - changes.round()).abs() < 1e-6,
        "{litres}"
    );
}

/// Somebody works the hood: he takes the finished rack out at 110 and puts none in until the water is changed.
#[test]
fn an_attended_hood_is_emptied_before_its_water_is_changed() {
    let mut room = racks_and_porter(4, &[Duty::Hood]);
    room.machine = vec![wet_hood()];
    if let MachineKind::Hood { attended, .. } = &mut room.machine[0].kind {
        *attended = true;
    }
    let plain = enters(&diary_of(&room).0);
    changed_by_hand(&mut room.machine[0], 100.0, 20.0);
    if let MachineKind::Hood {
        water_change: Some(change),
        ..
    } = &mut room.machine[0].kind
    {
        change.by_hand = None;
    }
    let (diary, finished) = diary_of(&room);
    assert!(finished);
    let changing = begins(&diary, Phase::Refilling)[0];
    let entered = enters(&diary);
    assert_eq!(entered[..2], plain[..2]);
    assert_eq!(changing, leaves(&diary)[1], "the finished rack is out");
    // Then 5 s to put the next one in.
    assert!((entered[2] - changing - CHANGE_S - 5.0).abs() < 0.5);
}

/// Water that is changed in time is never old; where nobody changes it racks enter in old water.
#[test]
fn old_water_of_a_hood_is_counted() {
    let mut room = racks_and_porter(6, &[Duty::Unload]);
    room.machine = vec![wet_hood()];
    if let MachineKind::Hood {
        change_water_within_s,
        ..
    } = &mut room.machine[0].kind
    {
        *change_water_within_s = Some(120.0);
    }
    // Racks enter at 0, 55, 110, 165, 220 and 275: the last three after 120.
    assert_eq!(outcome(&room).get(Measure::OldWaterRacks), Some(3.0));
    changed_by_hand(&mut room.machine[0], 100.0, 0.0);
    room.roster[1] = person("porter", &[Duty::Tend]);
    assert_eq!(outcome(&room).get(Measure::OldWaterRacks), Some(0.0));
}
