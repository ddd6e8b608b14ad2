//! Ware that guests wait for is put away first, where somebody looks at what is short.

mod common;

use common::*;
use scullery::room::Room;
use scullery::scenario::load_changed;
use scullery::scenario::model::*;
use scullery::service::Service;
use scullery::service::diary::Happening;
use scullery::service::measure::Measure;
use scullery::study::sheet::Sheet;

const RUN: DutyEntry = DutyEntry {
    duty: Duty::PutAway,
    once_waiting: 0,
    once_short: true,
};

/// Six plates and then a cup stand soiled at noon. They are scraped together in 10 s and carried two by two, 100 s a
/// carry; a part load waits for an hour. A guest who came at noon wants the one cup that the house owns.
fn room(duties: Vec<DutyEntry>) -> Scenario {
    let mut room = empty();
    let owned = |name: &str, owned| Ware {
        owned: Some(owned),
        ..ware(name, "", 1)
    };
    room.ware = vec![owned("plate", 6), owned("cup", 1)];
    room.backlog = vec![backlog("plate", 6), backlog("cup", 1)];
    room.guests = Some(parties(Style::Table, &[(0.0, 1, 3_600.0)]));
    room.menu = vec![course("cup", 1.0, 0.0, 1.0)];
    room.scrape = Some(bench(1, 10.0, 7));
    room.put_away = Some(PutAway {
        places: 1,
        per_unit: fixed(100.0),
        batch: 2,
        wait_at_most_s: 3_600.0,
        position: at(0.0, 0.0),
    });
    room.roster = vec![RosterRow {
        duties,
        ..person("one", &[])
    }];
    room
}

/// Moments at which ware reached the store, s, and how long the guest waited for the cup.
fn played(room: &Scenario) -> (Vec<f64>, f64) {
    let (diary, _) = diary_of(room);
    let stored = times(&diary, |what| matches!(what, Happening::Stored { .. }));
    let waited_min = outcome(room).get(Measure::ShortWaitMean).unwrap();
    (stored, 60.0 * waited_min)
}

/// By hand. First come first: plates at 110, 210 and 310 s; the cup is alone, and goes after the hour it may wait, from
/// 3 610 to 3 710 s. With a look at what is short it goes first, with a plate, and is there at 110 s; plates follow at 210
/// and 310 s, and the last one waits for its hour.
#[test]
fn a_cup_that_is_wanted_goes_before_the_plates() {
    let plain = vec![always(Duty::Scrape), always(Duty::PutAway)];
    let (stored, waited) = played(&room(plain));
    assert_eq!(stored[..4], [110.0, 210.0, 310.0, 3_710.0]);
    assert!((waited - 3_710.0).abs() < 1e-6, "{waited}");
    let looks = vec![always(Duty::Scrape), RUN, always(Duty::PutAway)];
    let (stored, waited) = played(&room(looks));
    assert_eq!(stored[..4], [110.0, 210.0, 310.0, 3_710.0]);
    assert!((waited - 110.0).abs() < 1e-6, "{waited}");
}

/// It is carried before work that is preferred otherwise, and in whatever load: with carries of twenty nobody waits for
/// more to come.
#[test]
fn what_is_short_waits_for_no_full_load() {
    let mut with = room(vec![RUN, always(Duty::Scrape), always(Duty::PutAway)]);
    with.put_away.as_mut().unwrap().batch = 20;
    let (stored, waited) = played(&with);
    assert_eq!(stored[0], 110.0);
    assert!((waited - 110.0).abs() < 1e-6, "{waited}");
}

/// Where nobody is short, the evening is the one without the look, event by event.
#[test]
fn where_nothing_is_short_nothing_changes() {
    let enough = |duties| {
        let mut room = room(duties);
        room.ware[1].owned = Some(5);
        room
    };
    let plain = diary_of(&enough(vec![always(Duty::Scrape), always(Duty::PutAway)]));
    let looks = diary_of(&enough(vec![
        RUN,
        always(Duty::Scrape),
        always(Duty::PutAway),
    ]));
    assert_eq!(format!("{plain:?}"), format!("{looks:?}"));
}

/// Pieces that stay keep their order: more cups are wanted than one carry takes, and the books hold.
#[test]
fn what_stays_keeps_its_order() {
    let mut room = room(vec![always(Duty::Scrape), RUN, always(Duty::PutAway)]);
    room.ware[1].owned = Some(5);
    room.backlog[1].pieces = 5;
    room.guests = Some(parties(Style::Table, &[(0.0, 5, 3_600.0)]));
    room.scrape = Some(bench(1, 10.0, 11));
    let room = Room::of(&room);
    let mut service = Service::new(&room);
    service.keep_diary();
    service.begin(1, 0);
    while service.step() {
        service.audit().expect("the books agree");
    }
    let stored = times(service.diary(), |what| {
        matches!(what, Happening::Stored { .. })
    });
    // Five cups and six plates in carries of two: cups in the first three, and nothing is left but a single piece.
    assert_eq!(stored[..5], [110.0, 210.0, 310.0, 410.0, 510.0]);
}

/// The shipped Friday is short of side plates: who unloads and looks keeps more guests from waiting.
#[test]
fn a_friday_is_less_short() {
    let short = |changes: &str| {
        let file = std::path::Path::new("scenarios/friday-as-it-runs.toml");
        let loaded = load_changed(file, changes).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let sheet = Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario));
        assert!(
            sheet
                .findings()
                .iter()
                .all(|one| one.code != "nobody-on-duty")
        );
        let room = Room::of(&loaded.scenario);
        let mut service = Service::new(&room);
        let mut outcome = scullery::service::outcome::Outcome::new(&room);
        let one = |evening| {
            service.play(1, evening);
            service.outcome(&mut outcome);
            outcome.get(Measure::ShortCovers).unwrap()
        };
        (0..20).map(one).sum::<f64>()
    };
    let looks = "[[roster]]\nname = \"unloader\"\nduties = [{ duty = \"put-away\", once_short = true }, \
                 \"tend\", \"unload\", \"close-down\", \"put-away\"]\n";
    let [plain, looks] = [short(""), short(looks)];
    assert!(looks < 0.95 * plain, "{looks} of {plain}");
}

const LIFT_OFF: DutyEntry = DutyEntry {
    duty: Duty::Unload,
    ..RUN
};

/// Four plates and then a cup, a rack each, come out of a conveyor at 60, 70, 80, 90 and 100 s and drain for so long. A
/// rack takes so long to unload. A guest who came at noon wants the one cup that the house owns.
fn washed(drain_s: f64, unload_s: f64, crew: Vec<RosterRow>) -> Scenario {
    let mut room = room(Vec::new());
    for ware in &mut room.ware {
        (ware.rack_kind, ware.per_rack) = ("peg".into(), 1);
    }
    room.ware[0].owned = Some(4);
    room.backlog[0].pieces = 4;
    room.rack = vec![rack("peg", 5)];
    (room.scrape, room.put_away) = (None, None);
    room.loading = Some(loading(5, 0.0));
    let mut machine = conveyor(5, 5, 6.0);
    machine.drain_s = drain_s;
    room.machine = vec![machine];
    room.unload = Some(unload(2, unload_s));
    room.roster = vec![person("loader", &[Duty::Load])];
    room.roster.extend(crew);
    room
}

fn unloader(name: &str, duties: Vec<DutyEntry>) -> RosterRow {
    RosterRow {
        duties,
        ..person(name, &[])
    }
}

fn waited(room: &Scenario) -> f64 {
    60.0 * outcome(room).get(Measure::ShortWaitMean).unwrap()
}

/// By hand, 30 s a rack. First come first: 90, 120, 150, 180, and the cup at 210 s. With a look at what is short: plates
/// until 120 s, when the cup is there; it is lifted off over two plates, and on its table at 150 s.
///
/// With 45 s of draining the first plate is ready at 105 s and the cup at 145 s: first come first it comes last, at 255 s;
/// at 135 s it still drips, and another plate goes first; so it is unloaded from 165 to 195 s.
#[test]
fn a_rack_with_what_is_short_is_lifted_off_first() {
    for (drain_s, in_order, lifted) in [(0.0, 210.0, 150.0), (45.0, 255.0, 195.0)] {
        let plain = vec![always(Duty::Unload)];
        let plain = waited(&washed(drain_s, 30.0, vec![unloader("one", plain)]));
        assert!((plain - in_order).abs() < 1e-6, "{plain}");
        let looks = vec![LIFT_OFF, always(Duty::Unload)];
        let looks = waited(&washed(drain_s, 30.0, vec![unloader("one", looks)]));
        assert!((looks - lifted).abs() < 1e-6, "{looks}");
    }
}

/// Who unloads nothing but what is short is called when the rack with the cup has drained, at 145 s, though plates
/// before it are ready since 105 s and nothing else happens: 300 s a rack.
#[test]
fn who_looks_is_called_when_the_rack_is_ready() {
    let crew = vec![
        unloader("plates", vec![always(Duty::Unload)]),
        unloader("runner", vec![LIFT_OFF]),
    ];
    let mut room = washed(45.0, 300.0, crew);
    // The other is at the first plate until 405 s.
    let (diary, _) = diary_of(&room);
    let starts = times(
        &diary,
        |what| matches!(what, Happening::Starts { operator, .. } if operator.number() == 2),
    );
    assert_eq!(starts, [145.0]);
    assert!((waited(&room) - 445.0).abs() < 1e-6);
    // Nobody who looks is short: nobody runs.
    room.ware[1].owned = Some(2);
    let (diary, _) = diary_of(&room);
    let starts = times(
        &diary,
        |what| matches!(what, Happening::Starts { operator, .. } if operator.number() == 2),
    );
    assert!(starts.is_empty(), "{starts:?}");
}

/// A second cup that lies clean and is not put away yet is enough for the one guest who waits: no rack is lifted off for
/// him.
#[test]
fn what_lies_clean_is_not_unloaded_again() {
    let looks = vec![LIFT_OFF, always(Duty::Unload), always(Duty::PutAway)];
    let mut room = washed(0.0, 30.0, vec![unloader("one", looks)]);
    room.put_away = Some(PutAway {
        places: 1,
        per_unit: fixed(100.0),
        batch: 1,
        wait_at_most_s: 3_600.0,
        position: at(0.0, 0.0),
    });
    room.ware[1].owned = Some(2);
    room.backlog = vec![
        backlog("cup", 1),
        backlog("plate", 3),
        BacklogRow {
            name: "another".into(),
            ..backlog("cup", 1)
        },
    ];
    let (diary, _) = diary_of(&room);
    // The first cup is unloaded from 60 to 90 s. Nothing is missing then, and plates are unloaded in their order; the
    // other cup comes last, at 210 s, and only then is anything put away.
    let racks: Vec<_> = diary
        .iter()
        .filter_map(|line| match line.what {
            Happening::Unloaded { rack, .. } => Some((line.at.s(), rack.number())),
            _ => None,
        })
        .collect();
    let in_order: Vec<_> = (0..5).map(|at| (90.0 + 30.0 * f64::from(at), at)).collect();
    assert_eq!(racks[..5], in_order);
}
