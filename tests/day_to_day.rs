//! What differs from day to day beyond chance: how busy it is, how fast people are; and within one, how they tire.

mod common;

use common::*;
use scullery::room::Room;
use scullery::scenario::model::*;
use scullery::service::Service;
use scullery::service::diary::Happening;
use scullery::service::measure::Measure;
use scullery::statistics::interval::Sample;

/// Guests in two seatings of 200, one by one.
fn guests(cv: f64) -> Scenario {
    let seating = |from_s: f64| Seating {
        from_s: NOON + from_s,
        to_s: NOON + from_s + 1_800.0,
        covers: 200.0,
    };
    let mut room = empty();
    room.service.busyness_cv = cv;
    room.guests = Some(Guests {
        arrivals: Arrivals::Random,
        seating: vec![seating(0.0), seating(3_600.0)],
        party_sizes: vec![PartySize {
            covers: 1,
            weight: 1.0,
        }],
        ..parties(Style::Table, &[])
    });
    room
}

/// Covers of so many evenings.
fn covers(room: &Scenario, evenings: u64) -> Vec<f64> {
    let room = Room::of(room);
    let mut service = Service::new(&room);
    let one = |number| {
        service.begin(1, number);
        service.tally().covers as f64
    };
    (0..evenings).map(one).collect()
}

/// In closed form: given the factor of the day the covers are Poisson, so their variance is the mean plus the square of
/// mean times cv, though both seatings are drawn apart: 400 + (400 × 0.2)² = 6 800, where chance alone gives 400. Within
/// four standard errors of 6 000 evenings, which of a variance is about sqrt(2 / n) of it.
#[test]
fn covers_vary_by_chance_and_by_the_day() {
    for (cv, variance) in [(0.0, 400.0), (0.2, 6_800.0)] {
        let covers = covers(&guests(cv), 6_000);
        let sample = Sample::of(&covers).unwrap();
        let (mean, found) = (sample.mean, sample.sd.unwrap().powi(2));
        let error = (variance / 6_000.0_f64).sqrt();
        assert!((mean - 400.0).abs() < 4.0 * error, "mean {mean}");
        let error = variance * (2.0_f64 / 6_000.0).sqrt();
        assert!(
            (found - variance).abs() < 4.0 * error,
            "{found}, by hand {variance}"
        );
    }
}

/// A busier day has the parties of the quieter one and more: the same guests come first.
#[test]
fn a_day_that_varies_more_keeps_its_guests() {
    let seated = |cv: f64| {
        let mut room = guests(cv);
        room.ware = vec![ware("plate", "", 1)];
        room.menu = vec![course("plate", 1.0, 0.0, 1.0)];
        let room = Room::of(&room);
        let mut service = Service::new(&room);
        service.begin(3, 0);
        let lots = service.lots().iter();
        lots.map(|lot| lot.key)
            .collect::<std::collections::BTreeSet<u64>>()
    };
    let (some, more) = (seated(0.0), seated(0.4));
    let common = some.intersection(&more).count();
    assert_eq!(common, some.len().min(more.len()));
    assert_ne!(some.len(), more.len());
}

/// What the till logged happened: it is replayed as it was, and so is a log of soiled ware.
#[test]
fn a_log_is_no_busier_than_it_was() {
    let room = |cv: f64| {
        let mut room = empty();
        room.service.busyness_cv = cv;
        room.ware = vec![ware("plate", "", 1)];
        room.menu = vec![course("plate", 1.0, 0.0, 1.0)];
        room.guests = Some(parties(
            Style::Cafeteria,
            &[(0.0, 3, 1_800.0), (60.0, 2, 900.0)],
        ));
        room.soiled_log = Some(logged("plate", &[(600.0, 7)]));
        room.scrape = Some(bench(1, 30.0, 1));
        room.roster = vec![person("scraper", &[Duty::Scrape])];
        room
    };
    let (plain, varied) = (diary_of(&room(0.0)), diary_of(&room(0.5)));
    assert_eq!(format!("{plain:?}"), format!("{varied:?}"));
}

/// Ten pieces that stand there at noon, 100 s each.
fn scraping(change: impl Fn(&mut RosterRow)) -> Scenario {
    let mut room = empty();
    room.ware = vec![ware("plate", "", 1)];
    room.backlog = vec![backlog("plate", 10)];
    room.scrape = Some(bench(2, 100.0, 1));
    room.roster = vec![person("scraper", &[Duty::Scrape])];
    change(&mut room.roster[0]);
    room
}

/// When each piece was done, s, on some day.
fn done(room: &Scenario, who: u32, day: u64) -> Vec<f64> {
    let room = Room::of(room);
    let mut service = Service::new(&room);
    service.keep_diary();
    service.play(1, day);
    times(
        service.diary(),
        |what| matches!(what, Happening::Ends { operator, .. } if operator.number() == who),
    )
}

/// One factor for all work of a day, of mean 1 and the variation that was asked for.
#[test]
fn a_day_has_one_pace_and_days_differ() {
    let room = scraping(|row| row.pace_cv = 0.3);
    let factor = |day| {
        let done = done(&room, 0, day);
        let each = done[0];
        let last = done.last().unwrap();
        assert!((last - 10.0 * each).abs() < 1e-6, "{done:?}");
        each / 100.0
    };
    let factors: Vec<f64> = (0..3_000).map(factor).collect();
    let sample = Sample::of(&factors).unwrap();
    let error = 0.3 / 3_000.0_f64.sqrt();
    assert!((sample.mean - 1.0).abs() < 4.0 * error, "{}", sample.mean);
    // The lognormal law has a fourth moment that makes this error about 1.7 times that of a normal one.
    let error = 1.7 * 0.3 / 6_000.0_f64.sqrt();
    let sd = sample.sd.unwrap();
    assert!((sd - 0.3).abs() < 4.0 * error, "{sd}");
}

/// By hand: a piece begun t seconds after the start of the shift takes 100 × (1 + 0.5 t / 3600) s.
#[test]
fn who_tires_takes_longer_from_hour_to_hour() {
    let room = scraping(|row| row.slower_per_h = 0.5);
    let mut by_hand = Vec::new();
    let mut at = 0.0;
    for _ in 0..10 {
        at += 100.0 * (1.0 + 0.5 * at / 3_600.0);
        by_hand.push(at);
    }
    let found = done(&room, 0, 0);
    let apart = found.iter().zip(&by_hand).map(|(a, b)| (a - b).abs());
    assert!(
        found.len() == 10 && apart.fold(0.0, f64::max) < 1e-6,
        "{found:?} {by_hand:?}"
    );
    let plain = done(&scraping(|_| ()), 0, 0);
    assert_eq!(plain.last(), Some(&1_000.0));
}

/// Somebody's pace is theirs: who works beside them, and how the rest is drawn, does not change it; nor does it change
/// the guests.
#[test]
fn a_pace_is_keyed_by_the_person() {
    let alone = scraping(|row| row.pace_cv = 0.3);
    let mut beside = alone.clone();
    beside.roster.insert(0, person("second", &[Duty::Scrape]));
    for day in 0..5 {
        assert_eq!(done(&alone, 0, day)[0], done(&beside, 1, day)[0]);
    }
    let mut room = guests(0.2);
    let plain = covers(&room, 20);
    room.roster = vec![RosterRow {
        pace_cv: 0.3,
        ..person("scraper", &[Duty::Scrape])
    }];
    assert_eq!(covers(&room, 20), plain);
    assert!(outcome(&alone).get(Measure::CrewBusyShare).is_some());
}
