//! The dispatch rule, case by case: a free operator takes the first duty in their list that has work
//! and a place; of several free operators the one that prefers the duty most, then the nearest, then
//! the first in the roster. A unit of work is never broken off.
//!
//! The room: five pieces to scrape from noon, 100 s each; each is then clean and waits to be put away,
//! 100 s each.

mod common;

use common::*;
use scullery::scenario::model::*;
use scullery::service::diary::Happening;

/// Scraping and putting away, ten metres apart, nothing between them.
fn room(roster: Vec<RosterRow>) -> Scenario {
    let mut scenario = empty();
    scenario.ware = vec![ware("plate", "", 1)];
    scenario.backlog = vec![backlog("plate", 5)];
    scenario.scrape = Some(bench(5, 100.0, 1));
    scenario.put_away = Some(PutAway {
        places: 5,
        per_unit: fixed(100.0),
        batch: 1,
        wait_at_most_s: 0.0,
        position: at(10.0, 0.0),
    });
    scenario.roster = roster;
    scenario
}

/// Who took up what and when: (s, operator, duty).
fn taken_up(scenario: &Scenario) -> Vec<(f64, u32, Duty)> {
    let (diary, _) = diary_of(scenario);
    let lines = diary.iter().filter_map(|line| match line.what {
        Happening::Starts { operator, duty, .. } => Some((line.at.s(), operator.number(), duty)),
        _ => None,
    });
    lines.collect()
}

fn who(scenario: &Scenario, duty: Duty, count: usize) -> Vec<u32> {
    let all = taken_up(scenario).into_iter();
    let of_duty = all.filter(|(_, _, done)| *done == duty);
    of_duty
        .map(|(_, operator, _)| operator)
        .take(count)
        .collect()
}

/// One operator, five pieces to scrape, each then to be put away: the first duty of the list that has
/// work is taken, all the way down the evening.
#[test]
fn the_first_duty_of_the_list_with_work_is_taken() {
    let first = taken_up(&room(vec![person("a", &[Duty::Scrape, Duty::PutAway])]));
    let duties: Vec<Duty> = first.iter().map(|(_, _, duty)| *duty).collect();
    assert_eq!(duties, [[Duty::Scrape; 5], [Duty::PutAway; 5]].concat());
    let second = taken_up(&room(vec![person("a", &[Duty::PutAway, Duty::Scrape])]));
    let duties: Vec<Duty> = second.iter().map(|(_, _, duty)| *duty).collect();
    assert_eq!(duties, [Duty::Scrape, Duty::PutAway].repeat(5));
}

/// `once_waiting`: putting away is preferred, but only once three pieces wait: three are scraped first,
/// then one put away, then one scraped, and so on; the last two never come to three and stay.
#[test]
fn a_condition_holds_a_duty_back() {
    let mut a = person("a", &[]);
    a.duties = vec![once(Duty::PutAway, 3), always(Duty::Scrape)];
    let taken = taken_up(&room(vec![a]));
    let duties: Vec<Duty> = taken.iter().map(|(_, _, duty)| *duty).collect();
    use Duty::{PutAway, Scrape};
    assert_eq!(
        duties,
        [
            Scrape, Scrape, Scrape, PutAway, Scrape, PutAway, Scrape, PutAway
        ]
    );
}

/// The condition is met at the number itself, not one above it.
#[test]
fn a_condition_is_met_at_its_number() {
    for (number, taken) in [(5, 5), (6, 0)] {
        let mut a = person("a", &[]);
        a.duties = vec![once(Duty::Scrape, number)];
        let mut b = person("b", &[Duty::Scrape]);
        b.from_s = NOON + 1_000.0;
        let scenario = room(vec![a, b]);
        let by_a = taken_up(&scenario)
            .iter()
            .filter(|(_, who, _)| *who == 0)
            .count();
        assert_eq!(
            by_a,
            taken.min(1),
            "only the first piece finds that many waiting"
        );
    }
}

/// One piece, two free: the one who prefers scraping most takes it, though second in the roster.
#[test]
fn who_prefers_the_duty_most_takes_it() {
    let mut scenario = room(vec![
        person("a", &[Duty::PutAway, Duty::Scrape]),
        person("b", &[Duty::Scrape, Duty::PutAway]),
    ]);
    scenario.backlog[0].pieces = 1;
    assert_eq!(who(&scenario, Duty::Scrape, 1), [1]);
}

/// Equal preference: the nearest takes it, though second in the roster. Ten metres at 1 m/s later.
#[test]
fn of_equal_preference_the_nearest_takes_it() {
    let mut a = person("a", &[Duty::Scrape]);
    a.home = Some(Duty::PutAway);
    let mut scenario = room(vec![a, person("b", &[Duty::Scrape])]);
    scenario.walking = Some(Walking { speed_m_per_s: 1.0 });
    scenario.backlog[0].pieces = 1;
    assert_eq!(who(&scenario, Duty::Scrape, 1), [1]);
    let ends = |scenario: &Scenario| {
        let (diary, _) = diary_of(scenario);
        times(&diary, |what| {
            matches!(
                what,
                Happening::Ends {
                    duty: Duty::Scrape,
                    ..
                }
            )
        })
    };
    assert_eq!(ends(&scenario), [100.0]);
    scenario.roster.pop();
    assert_eq!(ends(&scenario), [110.0]);
}

/// Preference goes before nearness.
#[test]
fn preference_goes_before_nearness() {
    let mut a = person("a", &[Duty::Scrape]);
    a.home = Some(Duty::PutAway);
    let mut scenario = room(vec![a, person("b", &[Duty::PutAway, Duty::Scrape])]);
    scenario.roster[1].home = Some(Duty::Scrape);
    scenario.walking = Some(Walking { speed_m_per_s: 1.0 });
    scenario.backlog[0].pieces = 1;
    assert_eq!(who(&scenario, Duty::Scrape, 1), [0]);
}

/// All equal: the first in the roster.
#[test]
fn of_equals_the_first_in_the_roster_takes_it() {
    let mut scenario = room(vec![RosterRow {
        count: 3,
        ..person("a", &[Duty::Scrape])
    }]);
    scenario.backlog[0].pieces = 2;
    assert_eq!(who(&scenario, Duty::Scrape, 9), [0, 1]);
}

/// Work that becomes ready does not interrupt, nor does somebody who comes: each piece in hand is
/// finished first.
#[test]
fn a_unit_of_work_is_never_broken_off() {
    let mut late = person("late", &[Duty::PutAway, Duty::Scrape]);
    late.from_s = NOON + 150.0;
    let scenario = room(vec![person("a", &[Duty::Scrape]), late]);
    let taken = taken_up(&scenario);
    use Duty::{PutAway, Scrape};
    // At 150 one clean piece waits (scraped by 100); a is in the second piece until 200.
    let first: Vec<(f64, u32, Duty)> = taken.into_iter().take(5).collect();
    let expected = [
        (0.0, 0, Scrape),
        (100.0, 0, Scrape),
        (150.0, 1, PutAway),
        (200.0, 0, Scrape),
        (250.0, 1, PutAway),
    ];
    assert_eq!(first, expected);
}

/// No more at a duty than it has places; who finds no place takes their next duty.
#[test]
fn a_full_bench_sends_people_to_their_next_duty() {
    let mut scenario = room(vec![RosterRow {
        count: 3,
        ..person("a", &[Duty::Scrape, Duty::PutAway])
    }]);
    scenario.scrape = Some(bench(2, 100.0, 1));
    let taken = taken_up(&scenario);
    use Duty::{PutAway, Scrape};
    // 0: two scrape, the third finds nothing. 100: the first two go on, the third puts away.
    let expected = [
        (0.0, 0, Scrape),
        (0.0, 1, Scrape),
        (100.0, 0, Scrape),
        (100.0, 1, Scrape),
        (100.0, 2, PutAway),
    ];
    assert_eq!(taken[..5], expected);
}

/// Where people walk to is where they stand next: put away (10 m away) and scraping in turn, 1 m/s.
/// Scrape 0-100, walk 100-110, put away 110-210, walk 210-220, scrape 220-320.
#[test]
fn operators_stand_where_they_last_worked() {
    let mut scenario = room(vec![person("a", &[Duty::PutAway, Duty::Scrape])]);
    scenario.roster[0].home = Some(Duty::Scrape);
    scenario.walking = Some(Walking { speed_m_per_s: 1.0 });
    let (diary, _) = diary_of(&scenario);
    let ends = times(&diary, |what| matches!(what, Happening::Ends { .. }));
    assert_eq!(ends[..4], [100.0, 210.0, 320.0, 430.0]);
}

/// The largest crew: everybody finds work at once.
#[test]
fn a_crew_of_sixty_four_fits() {
    let mut scenario = room(vec![RosterRow {
        count: 64,
        ..person("a", &[Duty::Scrape])
    }]);
    scenario.scrape = Some(bench(64, 100.0, 1));
    scenario.backlog[0].pieces = 64;
    let expected: Vec<u32> = (0..64).collect();
    assert_eq!(who(&scenario, Duty::Scrape, 64), expected);
}
