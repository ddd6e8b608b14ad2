//! Rules of working hours: what breaks them, who is named, and what is never advised.

mod common;

use common::*;
use scullery::room::Room;
use scullery::scenario::model::*;
use scullery::scenario::{self, Loaded};
use scullery::service::measure::{Measure, OperatorMeasure};
use scullery::study::evening::{Fate, Finding};
use scullery::study::sheet::Sheet;
use scullery::study::{Plan, Stop, Watch, simulate, simulate_and_advise};

const HOUR: f64 = 3_600.0;

fn rules() -> Rules {
    Rules {
        stretch_at_most_s: Some(HOUR),
        break_at_least_s: Some(900.0),
        shift_at_most_s: None,
        rest_at_least_s: None,
    }
}

/// A hundred pieces to scrape from noon, 100 s each, by one person until 14:00 with a break at 12:41.
fn scraping(pause_s: f64) -> Scenario {
    let mut room = empty();
    room.ware = vec![ware("plate", "", 1)];
    room.backlog = vec![backlog("plate", 100)];
    room.scrape = Some(bench(1, 100.0, 1));
    let from_s = NOON + 2_460.0;
    room.roster = vec![RosterRow {
        breaks: vec![Break {
            from_s,
            to_s: from_s + pause_s,
        }],
        ..person("scraper", &[Duty::Scrape])
    }];
    room.rules = Some(rules());
    room
}

/// Stretch in seconds, and whether a rule was broken.
fn hours(room: &Scenario) -> (f64, Option<f64>, Option<f64>) {
    let outcome = outcome(room);
    let of = &outcome.operators[0];
    let stretch = (of[OperatorMeasure::Stretch as usize].unwrap() * HOUR).round();
    let broken = of[OperatorMeasure::RulesBroken as usize];
    (stretch, broken, outcome.get(Measure::RulesBroken))
}

/// By hand: the piece in hand at 12:41 is done at 2 500 s. With a break of 20 minutes, to 3 700 s, the other 75 pieces
/// last until 11 200 s: a stretch of 7 500 s, though the roster has none longer than an hour. A break of 10 minutes does
/// not count: 25 pieces, 600 s, 75 pieces.
#[test]
fn overtime_breaks_a_rule_that_the_roster_keeps() {
    assert_eq!(hours(&scraping(1_200.0)), (7_500.0, Some(1.0), Some(1.0)));
    assert_eq!(hours(&scraping(600.0)), (10_600.0, Some(1.0), Some(1.0)));
    let mut goes = scraping(1_200.0);
    goes.roster[0].stays = false;
    // The 35th piece after the break is done at 14:00 itself: nobody looks for another.
    assert_eq!(hours(&goes), (3_500.0, Some(0.0), Some(0.0)));
}

/// From 12:00 to 11 200 s, 3 h 6 min 40 s.
#[test]
fn a_shift_and_the_rest_after_it_have_limits_of_their_own() {
    let broken = |shift: Option<f64>, rest: Option<f64>| {
        let mut room = scraping(1_200.0);
        room.rules = Some(Rules {
            stretch_at_most_s: None,
            break_at_least_s: None,
            shift_at_most_s: shift,
            rest_at_least_s: rest,
        });
        hours(&room).1
    };
    assert_eq!(broken(Some(11_200.0), None), Some(0.0));
    assert_eq!(broken(Some(11_199.0), None), Some(1.0));
    assert_eq!(broken(None, Some(24.0 * HOUR - 11_200.0)), Some(0.0));
    assert_eq!(broken(None, Some(24.0 * HOUR - 11_199.0)), Some(1.0));
}

#[test]
fn without_rules_nothing_is_broken_and_nothing_is_measured() {
    let mut room = scraping(1_200.0);
    room.rules = None;
    let outcome = outcome(&room);
    assert_eq!(outcome.get(Measure::RulesBroken), None);
    assert_eq!(
        outcome.operators[0][OperatorMeasure::Stretch as usize],
        None
    );
}

/// Rules only watch: an evening with them is the evening without, event by event.
#[test]
fn rules_change_nothing_that_happens() {
    let with = scraping(1_200.0);
    let mut without = with.clone();
    without.rules = None;
    let (with, without) = (diary_of(&with), diary_of(&without));
    assert_eq!(format!("{with:?}"), format!("{without:?}"));
}

fn loaded(changes: &str) -> Loaded {
    let file = std::path::Path::new("tests/two-people.toml");
    scenario::load_changed(file, changes).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

const SIX_HOURS: &str = "[rules]\nstretch_at_most = \"6 h\"\nbreak_at_least = \"20 min\"\n";

fn of_code<'f>(findings: &'f [Finding], code: &str) -> Vec<&'f Finding> {
    findings.iter().filter(|one| one.code == code).collect()
}

/// Of a roster with nobody's break longer than a quarter of an hour: both rows are named with a line and a break.
#[test]
fn the_sheet_names_the_row_its_line_and_the_break_it_needs() {
    let loaded = loaded(SIX_HOURS);
    let mut sheet = Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario));
    sheet.locate(&loaded);
    let findings = sheet.findings();
    let found = of_code(&findings, "rules-roster");
    assert!(!found.is_empty());
    for one in found {
        assert!(
            one.evidence.contains("(two-people.toml:"),
            "{}",
            one.evidence
        );
        assert!(one.advice.contains("breaks = [{ from = "), "{}", one.advice);
    }
}

/// The break that the sheet asks for is one with which it asks for nothing more.
#[test]
fn the_break_that_is_advised_keeps_the_rule() {
    let before = loaded(SIX_HOURS);
    let planned = |loaded: &Loaded| {
        let findings = Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario)).findings();
        of_code(&findings, "rules-roster")
            .into_iter()
            .cloned()
            .collect::<Vec<_>>()
    };
    let mut changes = SIX_HOURS.to_owned();
    for one in planned(&before) {
        let breaks = one.advice.split('`').nth(1).expect("a break to write");
        let name = one.of.as_deref().expect("a row");
        changes += &format!("[[roster]]\nname = \"{name}\"\n{breaks}\n");
    }
    assert_eq!(planned(&loaded(&changes)), []);
}

fn plan(evenings: u64) -> Plan {
    Plan {
        seed: 1,
        stop: Stop::After(evenings),
        threads: 2,
    }
}

/// A crew whose breaks keep the rule as planned, and that is kept long after closing.
fn kept_late() -> Loaded {
    loaded(&format!(
        "{SIX_HOURS}[[roster]]\nname = \"loader\"\nbreaks = [{{ from = \"16:45\", to = \"17:30\" }}]\n\
         [[roster]]\nname = \"unloader\"\nbreaks = [{{ from = \"17:15\", to = \"17:35\" }}]\n"
    ))
}

#[test]
fn an_evening_names_who_broke_a_rule() {
    let evening = simulate(&kept_late(), &plan(20), &Watch::default()).unwrap();
    let found = of_code(&evening.findings, "rules-broken");
    assert!(!found.is_empty(), "{:?}", evening.findings);
    assert!(
        found[0].evidence.contains("(two-people.toml:"),
        "{}",
        found[0].evidence
    );
    let share = evening.measure("rules_broken_share").unwrap().mean.unwrap();
    assert!(share > 0.0 && share <= 1.0);
}

/// Every change that is advised, or said to help, keeps the rules in the roster it makes.
#[test]
fn no_advice_breaks_a_rule() {
    let loaded = kept_late();
    let evening = simulate_and_advise(&loaded, &plan(60), &Watch::default()).unwrap();
    let tried = evening.findings.iter().flat_map(|one| &one.tried);
    let mut count = 0;
    for one in tried.filter(|one| matches!(one.fate, Fate::Advised | Fate::Less | Fate::Unsure)) {
        count += 1;
        let body = one.variant.split_once("\n\n").expect("a change").1;
        let changed = loaded.changed(body).unwrap_or_else(|m| panic!("{m}"));
        let findings = Sheet::of(&changed.scenario, &Room::of(&changed.scenario)).findings();
        assert!(
            of_code(&findings, "rules-roster").is_empty(),
            "{}",
            one.change
        );
    }
    assert!(count > 3, "only {count} changes help");
}
