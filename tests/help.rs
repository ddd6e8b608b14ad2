//! Help that is called in: when it comes, how long it stays, what it costs.

mod common;

use common::*;
use scullery::room::Room;
use scullery::scenario::load_changed;
use scullery::scenario::model::*;
use scullery::service::Service;
use scullery::service::diary::{Entry, Happening};
use scullery::service::measure::{Measure, OperatorMeasure};
use scullery::study::sheet::Sheet;
use scullery::study::{Plan, Stop, Watch, simulate};

/// Thirty pieces at ten past twelve, to be scraped one by one, 100 s each, by one person; help is called from twenty on,
/// comes after five minutes, stays for ten and goes when fewer than four wait.
fn scraping() -> Scenario {
    let mut room = empty();
    room.ware = vec![ware("plate", "", 1)];
    room.soiled_log = Some(logged("plate", &[(600.0, 30)]));
    room.scrape = Some(bench(2, 100.0, 1));
    let called = Called {
        once_waiting: 20,
        comes_after_s: 300.0,
        stays_at_least_s: 600.0,
        goes_below: 4,
    };
    room.roster = vec![
        person("scraper", &[Duty::Scrape]),
        RosterRow {
            called: Some(called),
            ..person("help", &[Duty::Scrape])
        },
    ];
    room
}

/// When help was called, came and went, s.
fn of_help(diary: &[Entry]) -> [Vec<f64>; 3] {
    let is = |what: &Happening| match *what {
        Happening::Called { operator } if operator.number() == 1 => 0,
        Happening::Comes { operator } if operator.number() == 1 => 1,
        Happening::Goes { operator } if operator.number() == 1 => 2,
        _ => 3,
    };
    [0, 1, 2].map(|wanted| times(diary, |what| is(what) == wanted))
}

/// By hand. At 600 s 30 pieces come: help is called. It comes at 900 s, when three have been scraped and the fourth is
/// begun: 26 wait. Two pieces are done in each 100 s: the helper could go from 1 500 s on, when 14 wait, and goes when
/// fewer than 4 do. At 2 000 s the last but four are taken up, at 2 100 s two are left: the piece in hand is done, and it goes.
#[test]
fn help_comes_after_a_while_and_goes_when_little_waits() {
    let (diary, finished) = diary_of(&scraping());
    assert!(finished);
    assert_eq!(of_help(&diary), [vec![600.0], vec![900.0], vec![2_100.0]]);
}

/// Nobody pays for who is not there: 20 minutes of help, and the other two hours.
#[test]
fn the_hours_of_help_are_in_the_cost() {
    let mut room = scraping();
    room.prices = Some(labour_at(12.0));
    let outcome = outcome(&room);
    let present = outcome.operators[1][OperatorMeasure::Present as usize].unwrap();
    assert!((present - 1_200.0 / 3_600.0).abs() < 1e-9, "{present}");
    let cost = outcome.get(Measure::Cost).unwrap();
    assert!((cost - (24.0 + 4.0)).abs() < 1e-9, "{cost}");
    assert_eq!(outcome.get(Measure::Overtime), Some(0.0));
}

/// With less than the call asks for, the evening is the one without the row.
#[test]
fn help_that_is_not_called_changes_nothing() {
    let mut never = scraping();
    if let Some(called) = &mut never.roster[1].called {
        called.once_waiting = 31;
    }
    let mut alone = scraping();
    alone.roster.truncate(1);
    let (never, alone) = (diary_of(&never), diary_of(&alone));
    assert_eq!(format!("{never:?}"), format!("{alone:?}"));
}

/// Called at 600 s, shift to 950 s: help comes all the same, at 900 s, and stays for its ten minutes, until the piece in
/// hand is done. That is no overtime.
#[test]
fn who_is_called_late_stays_for_the_least_that_was_said() {
    let mut room = scraping();
    room.roster[1].to_s = NOON + 950.0;
    room.roster[1].stays = false;
    let (diary, _) = diary_of(&room);
    assert_eq!(of_help(&diary), [vec![600.0], vec![900.0], vec![1_500.0]]);
    assert_eq!(outcome(&room).get(Measure::Overtime), Some(0.0));
    // Not called before the end of its shift, it is not called after.
    room.roster[1].to_s = NOON + 500.0;
    assert_eq!(
        of_help(&diary_of(&room).0),
        [const { Vec::<f64>::new() }; 3]
    );
}

/// Called at 600 s, shift to 800 s, a break due at 1 000 s: help comes at 900 s, takes its break once when the piece in hand
/// is done, and works on for the rest of its ten minutes.
#[test]
fn who_comes_after_the_shift_has_one_break_and_works_on() {
    let mut room = scraping();
    room.roster[1].to_s = NOON + 800.0;
    room.roster[1].stays = false;
    room.roster[1].breaks = vec![Break {
        from_s: NOON + 950.0,
        to_s: NOON + 1_050.0,
    }];
    let (diary, _) = diary_of(&room);
    assert_eq!(of_help(&diary), [vec![600.0], vec![900.0], vec![1_500.0]]);
    let room = Room::of(&room);
    let mut service = Service::new(&room);
    service.play(1, 0);
    let (_, times) = service.operator_times().nth(1).expect("the helper");
    assert_eq!(times.on_break.s(), 100.0);
    assert_eq!(times.present.s(), 600.0);
}

fn friday(once_waiting: u32) -> scullery::scenario::Loaded {
    let changes = format!(
        "[[roster]]\nname = \"second loader\"\nfrom = \"18:00\"\nto = \"23:30\"\n\
         called = {{ once_waiting = {once_waiting}, goes_below = 200 }}\n\
         duties = [\"scrape\", \"load\", \"soak\"]\n"
    );
    load_changed(std::path::Path::new("scenarios/friday-rush.toml"), &changes)
        .unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

/// Help that can never come is pointed out at its line; who comes is counted; the hand sheet counts on nobody.
#[test]
fn help_is_seen_where_it_comes_and_where_it_cannot() {
    let codes = |once_waiting| {
        let loaded = friday(once_waiting);
        let mut sheet = Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario));
        sheet.locate(&loaded);
        assert_eq!(sheet.wages.shifts.len(), 2, "help is no shift");
        let findings = sheet.findings();
        let found = findings
            .into_iter()
            .find(|one| one.code == "help-never-comes");
        found.map(|one| one.evidence)
    };
    assert_eq!(codes(1_000), None);
    let never = codes(100_000).expect("a warning");
    assert!(
        never.contains("((changes):") || never.contains("(friday-rush.toml:"),
        "{never}"
    );
    let plan = Plan {
        seed: 1,
        stop: Stop::After(20),
        threads: 2,
    };
    let evening = simulate(&friday(600), &plan, &Watch::default()).unwrap();
    let found = evening
        .findings
        .iter()
        .find(|one| one.code == "help-called");
    assert!(found.unwrap().evidence.contains("second loader was called"));
    let without = simulate(&friday(100_000), &plan, &Watch::default()).unwrap();
    let dried = |of: &scullery::study::evening::Evening| {
        of.measure("dried_on_share").unwrap().mean.unwrap()
    };
    assert!(dried(&evening) < 0.5 * dried(&without));
}
