//! What fills at the same time shares the water of the room: tanks of 100 L that would take 10 L/min each, by hand.
//!
//! Moments are seconds after the start, which is noon.

mod common;

use common::*;
use scullery::room::Room;
use scullery::scenario::model::*;
use scullery::service::diary::Happening;
use scullery::service::machine::Phase;
use scullery::service::measure::Measure;
use scullery::study::sheet::Sheet;

/// L/min as L/s.
fn per_min(litres: f64) -> f64 {
    litres / 60.0
}

/// A hood with a tank of so many litres that nothing heats.
fn tank(name: &str, litres: f64) -> Machine {
    let mut machine = Machine {
        name: name.into(),
        ..wet_hood()
    };
    if let MachineKind::Hood {
        water: Some(water), ..
    } = &mut machine.kind
    {
        let tank = water.tank.as_mut().expect("one");
        (tank.holds_l, tank.heater_w) = (litres, None);
    }
    machine
}

/// Hoods, a porter who sets up and closes down, and a rack at the end so that all of it is used.
fn house(machines: Vec<Machine>) -> Scenario {
    let mut room = empty();
    room.ware = vec![ware("plate", "peg", 1)];
    room.rack = vec![rack("peg", 9)];
    room.soiled = vec![stream("plate", 7_000.0, 7_000.0, 1.0)];
    room.loading = Some(loading(9, 0.0));
    room.machine = machines;
    room.unload = Some(unload(1, 0.0));
    let porter = [Duty::SetUp, Duty::Load, Duty::Unload, Duty::CloseDown];
    room.roster = vec![person("porter", &porter)];
    room
}

/// Fills the tanks of a machine once the hands have been at it for so long.
fn fills(machine: &str, hands_s: f64, l_per_min: f64) -> Task {
    Task {
        machine: Some(machine.into()),
        does: Some(TaskDoes::Fill),
        flow_l_per_s: per_min(l_per_min),
        ..task(&format!("fill {machine}"), hands_s)
    }
}

fn supplied(l_per_min: f64) -> Option<Supply> {
    Some(Supply {
        flow_l_per_s: per_min(l_per_min),
    })
}

/// When the tasks of the set-up are done, by their number; the recount agrees all along.
fn done_at(scenario: &Scenario) -> Vec<f64> {
    let (diary, finished) = diary_of(scenario);
    assert!(finished);
    let mut done: Vec<(usize, f64)> = Vec::new();
    for entry in &diary {
        if let Happening::TaskDone {
            duty: Duty::SetUp,
            task,
        } = entry.what
        {
            done.push((task.at(), entry.at.s()));
        }
    }
    done.sort_by_key(|(task, _)| *task);
    done.into_iter().map(|(_, at)| at).collect()
}

fn near(found: &[f64], by_hand: &[f64]) {
    assert_eq!(found.len(), by_hand.len(), "{found:?}");
    for (found, by_hand) in found.iter().zip(by_hand) {
        assert!((found - by_hand).abs() < 1e-6, "{found}, not {by_hand}");
    }
}

/// Of 15 L/min each gets 7.5: 13 1/3 min. Of 20 or more each has its 10: 10 min, as without a limit. Of 4 each gets 2.
#[test]
fn two_that_begin_together_are_full_together() {
    let mut room = house(vec![tank("one", 100.0), tank("two", 100.0)]);
    room.set_up = vec![fills("one", 0.0, 10.0), fills("two", 0.0, 10.0)];
    for (supply, by_hand_s) in [
        (supplied(15.0), 800.0),
        (supplied(20.0), 600.0),
        (supplied(60.0), 600.0),
        (None, 600.0),
        (supplied(4.0), 3_000.0),
    ] {
        room.supply = supply;
        near(&done_at(&room), &[by_hand_s, by_hand_s]);
    }
    // One task that fills both is the same.
    room.set_up = vec![Task {
        machine: None,
        ..fills("both", 0.0, 10.0)
    }];
    room.supply = supplied(15.0);
    near(&done_at(&room), &[800.0]);
}

/// The second begins 4 min later. By then the first has 40 L; its other 60 L take 8 min at 7.5: full at 12 min. The second
/// has 60 L by then, and takes 4 min for the other 40 at 10 L/min: full at 16 min.
#[test]
fn who_begins_later_slows_the_first_and_ends_alone() {
    let mut room = house(vec![tank("one", 100.0), tank("two", 100.0)]);
    room.set_up = vec![fills("one", 0.0, 10.0), fills("two", 240.0, 10.0)];
    room.supply = supplied(15.0);
    near(&done_at(&room), &[720.0, 960.0]);
}

/// Of 15 L/min one would take 4 and gets it: 40 L in 10 min. The other would take 18 and gets the 11 that are left: 110 L
/// in 10 min. The third begins then and has it all, up to its 12: 60 L in 5 min.
#[test]
fn who_takes_little_has_all_of_it() {
    let mut room = house(vec![
        tank("small", 40.0),
        tank("large", 110.0),
        tank("late", 60.0),
    ]);
    room.set_up = vec![
        fills("small", 0.0, 4.0),
        fills("large", 0.0, 18.0),
        fills("late", 600.0, 12.0),
    ];
    room.supply = supplied(15.0);
    near(&done_at(&room), &[600.0, 600.0, 900.0]);
}

/// From a phase on, until when: by machine.
fn refilled(scenario: &Scenario) -> Vec<(f64, f64)> {
    let (diary, finished) = diary_of(scenario);
    assert!(finished);
    let machines = 0..scenario.machine.len();
    let each = machines.map(|number| {
        let mut phases = diary.iter().filter_map(|entry| match entry.what {
            Happening::Phase { machine, phase } if machine.at() == number => {
                Some((phase, entry.at.s()))
            }
            _ => None,
        });
        let begun = phases.find(|(phase, _)| *phase == Phase::Refilling);
        let over = phases.next();
        (begun.expect("a change").1, over.expect("its end").1)
    });
    each.collect()
}

fn changed(mut machine: Machine, every_s: f64, drain_s: f64) -> Machine {
    if let MachineKind::Hood { water_change, .. } = &mut machine.kind {
        *water_change = Some(WaterChange {
            every_s: Some(every_s),
            at_soil_g_per_l: None,
            by_hand: None,
            drain_s,
            flow_l_per_s: per_min(10.0),
        });
    }
    machine
}

/// Both run out in a minute and fill with 7.5 L/min: 60 + 800 s. Where the second is due 4 min later, as worked out above.
#[test]
fn changes_of_water_share_the_supply() {
    let both = |every_s| {
        let [one, two] = ["one", "two"].map(|name| tank(name, 100.0));
        house(vec![
            changed(one, 3_600.0, 60.0),
            changed(two, every_s, 60.0),
        ])
    };
    let mut room = both(3_600.0);
    assert_eq!(refilled(&room), [(3_600.0, 4_260.0); 2]);
    room.supply = supplied(15.0);
    assert_eq!(refilled(&room), [(3_600.0, 4_460.0); 2]);
    let mut room = both(3_840.0);
    room.supply = supplied(15.0);
    let expected = [(3_600.0, 4_380.0), (3_840.0, 4_620.0)];
    assert_eq!(refilled(&room), expected);
}

/// 40 L at 10 L/min take 4 min, and at 2 L/min 20. After that they are heated as long as ever: from 60 to 66 °C with 6 kW
/// 40 × 4186 × 6 / 6000 = 167.44 s.
#[test]
fn heating_begins_when_the_tank_is_full() {
    let mut room = house(vec![changed(wet_hood(), 3_600.0, 60.0)]);
    let of = |room: &Scenario| refilled(room)[0].1 - 3_600.0;
    let alone = of(&room);
    room.supply = supplied(2.0);
    let slowly = of(&room);
    near(&[alone], &[60.0 + 240.0 + 167.44]);
    near(&[slowly], &[60.0 + 1_200.0 + 167.44]);
}

/// Both run out at once at 7,140 and fill. At 7,200 the house closes and one is switched off, with 7.5 L in each. The other
/// fills its last 92.5 L with 10 L/min: full at 7,755.
#[test]
fn who_is_switched_off_leaves_the_water_to_the_other() {
    let [one, two] = ["one", "two"].map(|name| changed(tank(name, 100.0), 7_140.0, 0.0));
    let mut room = house(vec![one, two]);
    room.supply = supplied(15.0);
    room.close_down = vec![
        Task {
            machine: Some("one".into()),
            does: Some(TaskDoes::PumpsOff),
            ..task("off", 0.0)
        },
        task("scrub", 2_000.0),
    ];
    assert_eq!(refilled(&room), [(7_140.0, 7_200.0), (7_140.0, 7_755.0)]);
}

/// However long it takes, as much water is used: the fill of both and a rinse of 3 L.
#[test]
fn the_supply_changes_when_and_not_how_much() {
    let mut room = house(vec![tank("one", 100.0), tank("two", 80.0)]);
    room.set_up = vec![fills("one", 0.0, 10.0), fills("two", 30.0, 10.0)];
    for supply in [None, supplied(3.0), supplied(15.0)] {
        room.supply = supply;
        let water = measures(&room).get(Measure::Water).expect("water");
        near(&[water], &[183.0]);
    }
}

/// The sheet fills with what the supply gives, and says so: 100 L at 10 L/min are ready after 10 min, at 4 after 25.
#[test]
fn the_sheet_fills_no_faster_than_the_supply() {
    let mut room = house(vec![tank("one", 100.0)]);
    room.roster[0].from_s = NOON - 1_800.0;
    room.set_up = vec![fills("one", 0.0, 10.0)];
    let of = |room: &Scenario| {
        let sheet = Sheet::of(room, &Room::of(room));
        let ready_s = sheet.routine.set_up.as_ref().and_then(|of| of.ready_s);
        let findings = sheet.findings();
        let slow = findings.iter().any(|found| found.code == "supply-slow");
        (ready_s.expect("it is filled") - (NOON - 1_800.0), slow)
    };
    assert_eq!(of(&room), (600.0, false));
    room.supply = supplied(15.0);
    assert_eq!(of(&room), (600.0, false));
    room.supply = supplied(4.0);
    assert_eq!(of(&room), (1_500.0, true));
}
