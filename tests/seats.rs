//! Seats and booked parties: timelines by hand, and the loss and delay formulas of telephone traffic.
//!
//! Moments are seconds after noon. Nobody washes anything here but where it is said.
//!
//! Mutations tried, and what turned red: seats free a moment after who leaves
//! (`first_come_first_served`); the second in line sits when the first does not fit (the same); the seats of a booked
//! party are not kept (`seats_are_kept_for_a_booked_party`).

mod common;

use common::*;
use scullery::room::Room;
use scullery::scenario::model::*;
use scullery::service::Service;
use scullery::service::diary::Happening;
use scullery::service::measure::Measure;
use scullery::service::outcome::Outcome;

/// Guests who use a plate each and leave it at the end; nothing is washed.
fn house(seats: Option<u32>, wait_s: Option<f64>, rows: &[(f64, u32, f64)]) -> Scenario {
    let mut room = empty();
    room.ware = vec![ware("plate", "peg", 1)];
    room.rack = vec![rack("peg", 1)];
    room.menu = vec![course("plate", 1.0, 0.0, 1.0)];
    let mut guests = parties(Style::Table, rows);
    (guests.seats, guests.seat_wait_at_most_s) = (seats, wait_s);
    room.guests = Some(guests);
    room
}

/// When plates are soiled, and how many at once.
fn soiled(room: &Scenario) -> Vec<(f64, u32)> {
    let (diary, _) = diary_of(room);
    let lines = diary.iter().filter_map(|line| match line.what {
        Happening::Soiled { pieces, .. } => Some((line.at.s(), pieces)),
        _ => None,
    });
    lines.collect()
}

fn measured(room: &Scenario) -> [Option<f64>; 3] {
    let outcome = outcome(room);
    [Measure::Covers, Measure::TurnedAway, Measure::SeatWaitMean]
        .map(|measure| outcome.get(measure))
}

/// Four seats are taken by two parties of two, who leave at 600 and 1,200. Three come at 100 and need three seats: they
/// sit at 1,200 and stay for 900. Two who come at 200 do not overtake them at 600, and find one seat at 1,200: they sit
/// at 2,100. The waits of the nine: 3 x 1,100 and 2 x 1,900.
#[test]
fn first_come_first_served() {
    let rows = [
        (0.0, 2, 600.0),
        (0.0, 2, 1_200.0),
        (100.0, 3, 1_000.0),
        (200.0, 2, 500.0),
    ];
    let room = house(Some(4), None, &rows);
    assert_eq!(
        soiled(&room),
        [(600.0, 2), (1_200.0, 2), (2_100.0, 3), (2_400.0, 2)]
    );
    let mean_min = (3.0 * 1_100.0 + 2.0 * 1_900.0) / 9.0 / 60.0;
    let [covers, away, wait] = measured(&room);
    assert_eq!([covers, away], [Some(9.0), Some(0.0)]);
    assert!((wait.unwrap() - mean_min).abs() < 1e-9);
    // Who goes after 1,000 s leaves the line at 1,100: the two behind find two seats then.
    let room = house(Some(4), Some(1_000.0), &rows);
    assert_eq!(soiled(&room), [(600.0, 2), (1_200.0, 2), (1_400.0, 2)]);
    assert_eq!(measured(&room), [Some(6.0), Some(3.0), Some(5.0)]);
    // Who does not wait at all is turned away, and the others with them.
    let room = house(Some(4), Some(0.0), &rows);
    assert_eq!(measured(&room), [Some(4.0), Some(5.0), Some(0.0)]);
    // Where seats are not counted nothing is said of them.
    assert_eq!(measured(&house(None, None, &rows)), [Some(9.0), None, None]);
}

/// A party that is booked sits, is cleared and leaves as one: 12 soup plates after a quarter of its hour, 12 main plates
/// at its end, whoever else is there.
#[test]
fn a_booked_party_is_cleared_as_one() {
    let mut room = house(None, None, &[(0.0, 2, 1_000.0)]);
    room.menu = vec![
        MenuRow {
            name: "soup".into(),
            ..course("plate", 1.0, 0.0, 0.25)
        },
        MenuRow {
            name: "main".into(),
            ..course("plate", 1.0, 0.25, 1.0)
        },
    ];
    room.party = vec![booking("club", 600.0, 12, 3_600.0)];
    assert_eq!(
        soiled(&room),
        [(250.0, 2), (1_000.0, 2), (1_500.0, 12), (4_200.0, 12)]
    );
    assert_eq!(outcome(&room).get(Measure::Covers), Some(14.0));
    assert_eq!(
        outcome(&room).get(Measure::LastGuestAfterClose),
        Some((4_200.0 - 7_200.0) / 60.0)
    );
}

/// All four seats are booked from 1,000 to 1,600. Two who come at 300 for 600 s sit at once; two who come at 900 for as
/// long would still sit at 1,000, so they wait for the party to leave.
#[test]
fn seats_are_kept_for_a_booked_party() {
    let mut room = house(Some(4), None, &[(300.0, 2, 900.0), (900.0, 2, 1_500.0)]);
    room.party = vec![booking("club", 1_000.0, 4, 600.0)];
    assert_eq!(soiled(&room), [(900.0, 2), (1_600.0, 4), (2_200.0, 2)]);
    let [covers, away, wait] = measured(&room);
    assert_eq!([covers, away], [Some(8.0), Some(0.0)]);
    assert!((wait.unwrap() - 2.0 * 700.0 / 8.0 / 60.0).abs() < 1e-9);
}

/// Guests one by one at random who stay for a minute on average, eight a minute on ten seats for ten hours; no ware.
fn telephone(dwell: TimeDistribution, wait_s: Option<f64>) -> Scenario {
    let mut room = house(Some(10), wait_s, &[]);
    room.menu.clear();
    room.service.closes_s = NOON + 36_000.0;
    let guests = room.guests.as_mut().unwrap();
    guests.arrivals = Arrivals::Random;
    guests.party_sizes = vec![PartySize {
        covers: 1,
        weight: 1.0,
    }];
    guests.seating = vec![Seating {
        from_s: NOON,
        to_s: NOON + 36_000.0,
        covers: 8.0 * 600.0,
    }];
    guests.dwell = dwell;
    room
}

/// Sums over evenings of covers and guests turned away; and the mean of the waits, s.
fn evenings(room: &Scenario, count: u64) -> (f64, f64, Vec<f64>) {
    let room = Room::of(room);
    let mut service = Service::new(&room);
    let mut outcome = Outcome::new(&room);
    let (mut covers, mut away, mut waits_s) = (0.0, 0.0, Vec::new());
    for replication in 0..count {
        service.play(7, replication);
        service.outcome(&mut outcome);
        covers += outcome.get(Measure::Covers).unwrap();
        away += outcome.get(Measure::TurnedAway).unwrap();
        waits_s.push(60.0 * outcome.get(Measure::SeatWaitMean).unwrap());
    }
    (covers, away, waits_s)
}

/// The share of calls that find `lines` busy when `offered` are under way on average: the loss formula of Erlang
/// (1917), by its recursion.
fn erlang_b(lines: u32, offered: f64) -> f64 {
    (1..=lines).fold(1.0, |b, n| offered * b / (f64::from(n) + offered * b))
}

/// Guests who do not wait for seats are calls that are lost. The loss hangs on the mean stay alone (Sevastyanov 1957):
/// so for stays that do not vary, and for exponential and lognormal ones. 40 evenings of 4,800 guests; the first two
/// minutes of 600 fill an empty house. Batches of an evening give the error.
#[test]
fn guests_who_do_not_wait_are_lost_as_erlang_says() {
    let expected = erlang_b(10, 8.0);
    assert!((expected - 0.121_66).abs() < 5e-6, "the printed table");
    for dwell in [
        fixed(60.0),
        varying(60.0, 1.0, Shape::Exponential),
        varying(60.0, 0.8, Shape::Lognormal),
    ] {
        let shape = dwell.shape;
        let (covers, away, _) = evenings(&telephone(dwell, Some(0.0)), 40);
        let lost = away / (covers + away);
        assert!((lost - expected).abs() < 0.004, "{shape:?}: {lost}");
    }
}

/// Guests who wait as long as it takes are a queue before ten servers. With exponential stays their mean wait is
/// C / (10 - 8) minutes, where C = B / (1 - 0.8 (1 - B)) is the share of those who wait at all.
#[test]
fn guests_who_wait_wait_as_erlang_says() {
    let b = erlang_b(10, 8.0);
    let c = b / (1.0 - 0.8 * (1.0 - b));
    let expected_s = 60.0 * c / 2.0;
    assert!((expected_s - 12.27).abs() < 0.01, "{expected_s}");
    let room = telephone(varying(60.0, 1.0, Shape::Exponential), None);
    let (_, away, waits_s) = evenings(&room, 60);
    assert_eq!(away, 0.0);
    let n = waits_s.len() as f64;
    let mean = waits_s.iter().sum::<f64>() / n;
    let squares = waits_s.iter().map(|wait| (wait - mean).powi(2));
    let error = (squares.sum::<f64>() / (n - 1.0) / n).sqrt();
    assert!((mean - expected_s).abs() < 3.5 * error, "{mean} +- {error}");
    assert!(error < 0.06 * expected_s, "{error}");
}

/// Common random numbers: seats that are never short change nothing at all; a booked party changes nothing of the other
/// guests; and who sits when hangs on nothing that happens in the dish room.
#[test]
fn seats_that_are_not_short_change_nothing() {
    let mut room = house(None, None, &[]);
    let guests = room.guests.as_mut().unwrap();
    guests.arrivals = Arrivals::Random;
    guests.party_sizes = vec![
        PartySize {
            covers: 2,
            weight: 1.0,
        },
        PartySize {
            covers: 5,
            weight: 1.0,
        },
    ];
    guests.seating = vec![Seating {
        from_s: NOON,
        to_s: NOON + 3_600.0,
        covers: 120.0,
    }];
    guests.dwell = varying(1_800.0, 0.4, Shape::Gamma);
    let plain = soiled(&room);
    room.guests.as_mut().unwrap().seats = Some(500);
    assert_eq!(soiled(&room), plain);
    assert_eq!(outcome(&room).get(Measure::SeatWaitMean), Some(0.0));
    room.party = vec![booking("club", 1_234.0, 77, 1_111.0)];
    let with_club = soiled(&room);
    assert_eq!(with_club.len(), plain.len() + 1);
    let others = with_club.into_iter().filter(|row| row.1 != 77);
    assert_eq!(others.collect::<Vec<_>>(), plain);
    // Too few: some are turned away, the same ones however the dish room is run.
    room.party.clear();
    let guests = room.guests.as_mut().unwrap();
    (guests.seats, guests.seat_wait_at_most_s) = (Some(30), Some(300.0));
    let few = measured(&room);
    assert!(few[1].unwrap() > 0.0);
    room.scrape = Some(bench(1, 20.0, 1));
    room.roster = vec![person("scraper", &[Duty::Scrape])];
    assert_eq!(measured(&room), few);
}
