//! Tubs as a fleet, worked out by hand: when none is free clearing stops, and ware dries on the tables.
//!
//! Moments are seconds after noon; guests leave their plates at the end, and nothing is washed. Trips do not vary.
//!
//! Mutations tried, and what turned red: a tub is free when it is put down (`one_tub_goes_to_and_fro`); a tub on its way
//! is not counted (the same); floor staff do not wait for a fuller tub (`floor_staff_fill_a_tub_before_they_walk`).

mod common;

use common::*;
use scullery::scenario::model::*;
use scullery::service::diary::{Entry, Happening};
use scullery::service::measure::Measure;

/// Lots of plates: when they are soiled, and how many.
fn house(lots: &[(f64, u32)], tub: u32, trip_s: f64, fleet: Option<u32>) -> Scenario {
    let mut room = empty();
    room.ware = vec![ware("plate", "peg", 1)];
    room.rack = vec![rack("peg", 1)];
    room.menu = vec![course("plate", 1.0, 0.0, 1.0)];
    let rows: Vec<(f64, u32, f64)> = lots.iter().map(|&(at, n)| (0.0, n, at)).collect();
    room.guests = Some(parties(Style::Table, &rows));
    room.clear_down = Some(ClearDown {
        by: Carrier::FloorStaff,
        tub,
        trip: fixed(trip_s),
        wait_at_most_s: 300.0,
        fleet,
        when_full: WhenFull::Floor,
    });
    room.roster = vec![person("scraper", &[Duty::Scrape])];
    room
}

/// Scraping of a whole tub at once, so many seconds a piece.
fn scraped(mut room: Scenario, piece_s: f64, batch: u32) -> Scenario {
    room.scrape = Some(bench(1, 0.0, batch));
    room.ware[0].scrape_s = piece_s;
    room
}

fn put_down(diary: &[Entry]) -> Vec<(f64, u32)> {
    let lines = diary.iter().filter_map(|line| match line.what {
        Happening::PutDown { pieces } => Some((line.at.s(), pieces)),
        _ => None,
    });
    lines.collect()
}

fn downs(room: &Scenario) -> Vec<(f64, u32)> {
    let (diary, finished) = diary_of(room);
    assert!(finished);
    put_down(&diary)
}

/// Two lots of four fill a tub each, at 100 and 110. The one tub walks from 100 to 160 and is empty when the scraper has
/// taken all of it up, at once; so the second lot walks from 160 to 220. With two tubs it walks from 110 to 170.
#[test]
fn one_tub_goes_to_and_fro() {
    let lots = [(100.0, 4), (110.0, 4)];
    let of = |fleet| downs(&scraped(house(&lots, 4, 60.0, Some(fleet)), 10.0, 4));
    assert_eq!(of(1), [(160.0, 4), (220.0, 4)]);
    assert_eq!(of(2), [(160.0, 4), (170.0, 4)]);
    // Scraped piece by piece the tub is empty when the last one is taken up, at 190.
    let slow = scraped(house(&lots, 4, 60.0, Some(1)), 10.0, 1);
    assert_eq!(downs(&slow), [(160.0, 4), (250.0, 4)]);
}

/// Two plates at 100 and two at 150 of another table go in one tub of four, at 150. Where the second two come at 500, the
/// first two have waited 300 s at 400. The last plates of all go at once, for no more can come.
#[test]
fn floor_staff_fill_a_tub_before_they_walk() {
    let of = |second: f64| {
        let lots = [(100.0, 2), (second, 2), (2_000.0, 1)];
        downs(&scraped(house(&lots, 4, 60.0, Some(3)), 1.0, 4))
    };
    assert_eq!(of(150.0), [(210.0, 4), (2_060.0, 1)]);
    assert_eq!(of(500.0), [(460.0, 2), (860.0, 2), (2_060.0, 1)]);
    // A lot of ten is three tubs, the last of them part-full: it waits for its time.
    let lots = [(100.0, 10), (2_000.0, 1)];
    let room = scraped(house(&lots, 4, 60.0, Some(9)), 1.0, 4);
    let expected = [(160.0, 4), (160.0, 4), (460.0, 2), (2_060.0, 1)];
    assert_eq!(downs(&room), expected);
}

/// The crew carries, a porter, and somebody else scrapes, 40 s a piece: three lots of two at 100, one tub. It is empty
/// when its second piece is taken up: at 170, then at 250.
#[test]
fn the_crew_waits_for_a_free_tub() {
    let lots = [(100.0, 2), (100.0, 2), (100.0, 2)];
    let mut room = scraped(house(&lots, 2, 30.0, Some(1)), 40.0, 1);
    room.clear_down.as_mut().unwrap().by = Carrier::Crew;
    room.roster.push(person("porter", &[Duty::ClearDown]));
    assert_eq!(downs(&room), [(130.0, 2), (200.0, 2), (280.0, 2)]);
    room.clear_down.as_mut().unwrap().fleet = Some(2);
    assert_eq!(downs(&room), [(130.0, 2), (160.0, 2), (200.0, 2)]);
}

/// When the last of forty tubs has been scraped, with so many tubs: trips of 100 s, 20 s to scrape one.
fn last_scraped_s(fleet: u32) -> f64 {
    let lots = [(100.0, 4); 40];
    let room = scraped(house(&lots, 4, 100.0, Some(fleet)), 5.0, 4);
    let (diary, _) = diary_of(&room);
    let ends = times(&diary, |what| {
        matches!(
            what,
            Happening::Ends {
                duty: Duty::Scrape,
                ..
            }
        )
    });
    assert_eq!(ends.len(), 40);
    ends.into_iter().fold(0.0, f64::max)
}

/// A closed line of N tubs whose tables are never empty: it gives the lesser of N tubs a trip and one each 20 s
/// (the bound of a closed network, reached where nothing varies). The first come at 200. Two tubs: twenty trips of
/// 100 s, and the second 20 s behind. Five or more: the scraper is never without one.
#[test]
fn few_tubs_bind_and_many_do_not() {
    assert_eq!(last_scraped_s(1), 100.0 + 40.0 * 100.0 + 20.0);
    assert_eq!(last_scraped_s(2), 100.0 + 20.0 * 100.0 + 20.0 + 20.0);
    for fleet in [5, 10, 40] {
        assert_eq!(last_scraped_s(fleet), 200.0 + 40.0 * 20.0, "{fleet}");
    }
}

/// The time without a free tub: of one that goes to and fro, from when the second lot is soiled at 110 until the tub is
/// empty at 160; and nothing where there are two, or where tubs are not counted.
#[test]
fn the_time_without_a_tub_is_counted() {
    let lots = [(100.0, 4), (110.0, 4)];
    let of = |fleet| {
        let room = scraped(house(&lots, 4, 60.0, fleet), 10.0, 4);
        outcome(&room).get(Measure::NoTub)
    };
    assert_eq!(of(Some(1)), Some(50.0 / 60.0));
    assert_eq!(of(Some(2)), Some(0.0));
    assert_eq!(of(None), None);
    // What waits for a fuller tub does not wait for a free one: the second lot, part-full, is due 300 s later.
    let lots = [(100.0, 4), (110.0, 2), (5_000.0, 1)];
    let room = scraped(house(&lots, 4, 400.0, Some(1)), 10.0, 4);
    assert_eq!(outcome(&room).get(Measure::NoTub), Some(90.0 / 60.0));
}

/// What waits on the tables dries there: less with more tubs.
#[test]
fn ware_dries_on_the_tables_while_tubs_are_full() {
    let share = |fleet| {
        let lots = [(100.0, 4); 40];
        let mut room = scraped(house(&lots, 4, 100.0, Some(fleet)), 5.0, 4);
        room.air.drying_multiplier = 1.0;
        outcome(&room).get(Measure::DriedOnShare).unwrap()
    };
    let shares = [1, 2, 10].map(share);
    assert!(shares[0] > shares[1] + 0.1, "{shares:?}");
    assert!(shares[1] > shares[2], "{shares:?}");
}

/// Common random numbers: with tubs enough, and nobody waiting for a fuller one, every lot walks as it does where tubs
/// are not counted, though trips vary.
#[test]
fn tubs_enough_change_no_trip() {
    let lots: Vec<(f64, u32)> = (0..40).map(|n| (100.0 + 37.0 * f64::from(n), 3)).collect();
    let of = |fleet| {
        let mut room = scraped(house(&lots, 4, 60.0, fleet), 1.0, 4);
        let clear = room.clear_down.as_mut().unwrap();
        clear.trip = varying(60.0, 0.6, Shape::Lognormal);
        clear.wait_at_most_s = 0.0;
        downs(&room)
    };
    assert_eq!(of(None), of(Some(500)));
}
