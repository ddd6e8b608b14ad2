//! Pots that are washed by hand: a sink of three compartments and a drainboard, moment by moment, and against closed forms.
//!
//! Moments are seconds after noon. Nothing varies unless a test says so.

mod common;

use common::*;
use scullery::room::Room;
use scullery::scenario::model::*;
use scullery::service::Service;
use scullery::service::diary::{Entry, Happening};
use scullery::service::measure::{Measure, StationMeasure};
use scullery::service::obstacle::Obstacle;
use scullery::service::outcome::Outcome;

/// Pots stand at the drop-off at noon, of which each takes 20 s to scrub; a potwasher and somebody who puts away.
fn pots(count: u32, sink: PotSink) -> Scenario {
    let mut room = empty();
    room.ware = vec![Ware {
        scrub_s: 20.0,
        ..pot("pot")
    }];
    room.backlog = vec![backlog("pot", count)];
    room.pot_sink = Some(sink);
    room.put_away = Some(PutAway {
        places: 1,
        per_unit: fixed(0.0),
        batch: 1,
        wait_at_most_s: 0.0,
        position: at(0.0, 0.0),
    });
    room.roster = vec![
        person("potwasher", &[Duty::WashPots]),
        person("carrier", &[Duty::PutAway]),
    ];
    room
}

fn scrubbing(diary: &[Entry]) -> Vec<f64> {
    let of_pots = |what: &Happening| matches!(what, Happening::Starts { duty, .. } if *duty == Duty::WashPots);
    times(diary, of_pots)
}

fn sanitised(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::Sanitised { .. }))
}

fn dry(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::Dry { .. }))
}

fn stored(diary: &[Entry]) -> Vec<f64> {
    times(diary, |what| matches!(what, Happening::Stored { .. }))
}

/// Scrub 20 s and rinse 5 s; 30 s to sanitise, for which there is room; 100 s to dry; a carry takes no time.
///
/// | pot | taken up | clean | sanitised | dry, stored |
/// |---|---|---|---|---|
/// | 1 | 0 | 25 | 55 | 155 |
/// | 2 | 25 | 50 | 80 | 180 |
/// | 3 | 50 | 75 | 105 | 205 |
#[test]
fn a_pot_is_scrubbed_sanitised_dried_and_put_away() {
    let sink = PotSink {
        rinse_s: 5.0,
        dries_in_s: 100.0,
        ..pot_sink(3, 30.0)
    };
    let (diary, finished) = diary_of(&pots(3, sink));
    assert!(finished);
    assert_eq!(scrubbing(&diary), [0.0, 25.0, 50.0]);
    assert_eq!(sanitised(&diary), [55.0, 80.0, 105.0]);
    assert_eq!(dry(&diary), [155.0, 180.0, 205.0]);
    assert_eq!(stored(&diary), [155.0, 180.0, 205.0]);
}

/// A place is kept from the taking up to the end of the contact: with room for one, 20 + 30 s a pot; with room for two, of
/// two pots in 50 s, for the third is begun when the first comes out.
#[test]
fn a_full_sanitising_compartment_holds_up_the_scrubber() {
    let (diary, _) = diary_of(&pots(4, pot_sink(1, 30.0)));
    assert_eq!(scrubbing(&diary), [0.0, 50.0, 100.0, 150.0]);
    assert_eq!(sanitised(&diary), [50.0, 100.0, 150.0, 200.0]);
    let (diary, _) = diary_of(&pots(4, pot_sink(2, 30.0)));
    assert_eq!(scrubbing(&diary), [0.0, 20.0, 50.0, 70.0]);
    assert_eq!(sanitised(&diary), [50.0, 70.0, 100.0, 120.0]);
    // Room for three is more than 50 s of scrubbing can fill.
    let (diary, _) = diary_of(&pots(4, pot_sink(3, 30.0)));
    assert_eq!(scrubbing(&diary), [0.0, 20.0, 40.0, 60.0]);
}

/// As many as it holds go round in 20 s of scrubbing and the contact: k / (20 + 300) pots a second, and never more than one
/// in 20 s. That is a closed loop of k places.
#[test]
fn the_compartment_lets_through_what_it_holds_over_the_cycle() {
    for (holds, each_s) in [
        (1, 320.0),
        (2, 160.0),
        (4, 80.0),
        (15, 320.0 / 15.0),
        (16, 20.0),
        (40, 20.0),
    ] {
        let mut scenario = pots(1_000, pot_sink(holds, 300.0));
        scenario.service.closes_s = NOON + 43_200.0;
        let (diary, _) = diary_of(&scenario);
        let washed = scrubbing(&diary).into_iter().filter(|at| *at < 32_000.0);
        let expected = (32_000.0_f64 / each_s).min(1_000.0);
        let count = washed.count() as f64;
        assert!(
            (count - expected).abs() <= f64::from(holds),
            "{holds}: {count}, not {expected}"
        );
    }
}

/// Mean number of pots that wait, over so many evenings of twenty hours with a pot each 3 s at random and 2 s of scrubbing,
/// and its standard error.
fn waiting(scrub: TimeDistribution, evenings: u64) -> (f64, f64) {
    let sink = PotSink {
        per_unit: scrub,
        ..pot_sink(1_000, 0.0)
    };
    let mut scenario = pots(1, sink);
    scenario.backlog.clear();
    scenario.ware[0].scrub_s = 0.0;
    scenario.service.closes_s = NOON + 72_000.0;
    scenario.soiled = vec![SoiledRow {
        arrivals: Arrivals::Random,
        ..stream("pot", 0.0, 72_000.0, 24_000.0)
    }];
    let room = Room::of(&scenario);
    let mut service = Service::new(&room);
    let mut played = Outcome::new(&room);
    let mut each = Vec::new();
    for evening in 0..evenings {
        service.play(7, evening);
        service.outcome(&mut played);
        let station = &played.stations[Duty::WashPots as usize];
        each.push(station[StationMeasure::QueueMean as usize].unwrap());
    }
    let count = evenings as f64;
    let mean = each.iter().sum::<f64>() / count;
    let squares: f64 = each.iter().map(|one| (one - mean).powi(2)).sum();
    (mean, (squares / (count - 1.0) / count).sqrt())
}

/// M/M/1 and M/D/1 at a load of 2/3: 4/3 and 2/3 wait (the printed emergency room of a textbook, and half of it by Pollaczek
/// and Khinchine). Each within four standard errors, which are under 2 % of it.
#[test]
fn pots_wait_as_in_the_queues_of_the_textbooks() {
    for (scrub, expected) in [
        (varying(2.0, 1.0, Shape::Exponential), 4.0 / 3.0),
        (fixed(2.0), 2.0 / 3.0),
    ] {
        let (mean, error) = waiting(scrub, 40);
        assert!(error < 0.02 * expected, "{error}");
        assert!(
            (mean - expected).abs() < 4.0 * error,
            "{mean}, not {expected}"
        );
    }
}

/// Two places on the drainboard, 100 s to dry, and nobody who carries before 400 s: the third pot stays in the sanitising
/// compartment until then, and with it the place that a fourth would need.
#[test]
fn what_is_dry_keeps_its_place_until_it_is_carried() {
    let sink = PotSink {
        drainboard: Some(2),
        dries_in_s: 100.0,
        ..pot_sink(1, 30.0)
    };
    let mut scenario = pots(4, sink);
    scenario.roster[1].from_s = NOON + 400.0;
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(scrubbing(&diary), [0.0, 50.0, 100.0, 400.0]);
    assert_eq!(dry(&diary), [150.0, 200.0, 500.0, 550.0]);
    assert_eq!(sanitised(&diary), [50.0, 100.0, 400.0, 450.0]);
    assert_eq!(stored(&diary), [400.0, 400.0, 500.0, 550.0]);
    // At the marks of 3 to 6 min the fourth pot waits for room.
    let room = Room::of(&scenario);
    let mut service = Service::new(&room);
    service.play(1, 0);
    let obstacles = service.tally().obstacles[Duty::WashPots as usize];
    assert_eq!(obstacles[Obstacle::Room as usize], 5, "{obstacles:?}");
}

/// One person for all of it never stands before a full sink with a pot in hand. The second pot is begun when the first comes
/// out at 50 s; the first is dry at 60, and carried when the second is clean, at 70.
#[test]
fn one_person_alone_never_stands_before_a_full_drainboard() {
    let sink = PotSink {
        drainboard: Some(1),
        dries_in_s: 10.0,
        ..pot_sink(1, 30.0)
    };
    let mut scenario = pots(5, sink);
    scenario.roster = vec![person("all", &[Duty::WashPots, Duty::PutAway])];
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(stored(&diary), [70.0, 120.0, 170.0, 220.0, 260.0]);
}

/// A pan of 5 min to dry, and a lid of 1 min that comes behind it, is dry before it.
#[test]
fn what_dries_sooner_overtakes_on_the_drainboard() {
    let mut scenario = pots(1, pot_sink(2, 30.0));
    scenario.ware[0].dries_in_s = Some(300.0);
    scenario.ware.push(Ware {
        dries_in_s: Some(60.0),
        ..pot("lid")
    });
    scenario.backlog.push(backlog("lid", 1));
    let (diary, _) = diary_of(&scenario);
    assert_eq!(sanitised(&diary), [50.0, 50.0]);
    assert_eq!(dry(&diary), [110.0, 350.0]);
}

/// Pots are scraped and soaked as their ware says, and never pre-rinsed: 10 s of scraping for both together, 10 s in, 60 s in
/// the soak, 10 s out. A plate beside them is pre-rinsed.
#[test]
fn pots_are_scraped_and_soaked_and_not_pre_rinsed() {
    let mut scenario = pots(1, pot_sink(6, 30.0));
    scenario.ware[0].soak = SoakPolicy::Always;
    scenario.ware.push(ware("plate", "", 1));
    scenario.backlog.push(backlog("plate", 1));
    scenario.scrape = Some(bench(1, 10.0, 2));
    scenario.pre_rinse = Some(PreRinse {
        places: 1,
        per_unit: fixed(7.0),
        batch: 10,
        table: Some(1),
        wets: 0.0,
        removes: 0.0,
        flow_l_per_s: None,
        position: at(0.0, 0.0),
    });
    scenario.soak = Some(Soak {
        sinks: 1,
        holds: 10,
        time_s: 60.0,
        water_l: None,
        put_in_s: 0.0,
        take_out_s: 0.0,
        per_unit: fixed(10.0),
        full_enough: 0.1,
        wait_at_most_s: 0.0,
        position: at(0.0, 0.0),
    });
    scenario.roster.push(person(
        "kitchen porter",
        &[Duty::Scrape, Duty::PreRinse, Duty::Soak],
    ));
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    let rinsed = |what: &Happening| match what {
        Happening::Starts { duty, pieces, .. } if *duty == Duty::PreRinse => {
            assert_eq!(*pieces, 1);
            true
        }
        _ => false,
    };
    assert_eq!(times(&diary, rinsed), [10.0]);
    // In from 17 to 27, ready at 87, out at 97.
    assert_eq!(scrubbing(&diary), [97.0]);
}

/// Two fillings for five pots where the water is changed after three, each of 60 s: 120 L in each of three compartments, the
/// wash and the rinse from 15 to 43 °C and the sanitising one to 77 °C; 2 g/L of detergent in the wash alone.
#[test]
fn the_sink_takes_water_heat_and_detergent_by_the_filling() {
    let sink = PotSink {
        sanitises_by: SinkSanitiser::HotWater,
        water_l: Some(120.0),
        change_after: Some(3),
        change_s: 60.0,
        ..pot_sink(9, 30.0)
    };
    let mut scenario = pots(5, sink);
    scenario.prices = Some(Prices {
        currency: None,
        labour_per_h: None,
        overtime_factor: 1.5,
        water_per_m3: Some(2.0),
        sewer_per_m3: None,
        energy_per_kwh: Some(0.5),
        detergent_per_kg: Some(3.0),
        rinse_aid_per_l: None,
    });
    let (diary, _) = diary_of(&scenario);
    assert_eq!(scrubbing(&diary), [0.0, 80.0, 100.0, 120.0, 200.0]);
    let fillings = times(&diary, |what| matches!(what, Happening::SinkFilled));
    assert_eq!(fillings, [0.0, 120.0]);
    let outcome = outcome(&scenario);
    let get = |measure| outcome.get(measure).unwrap();
    let heat_j = 2.0 * 120.0 * (2.0 * 28.0 + 62.0) * 4186.0;
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9 * b, "{a}, not {b}");
    near(get(Measure::Water), 720.0);
    near(get(Measure::PotSinkHeat), heat_j / 3.6e6);
    near(get(Measure::Energy), heat_j / 3.6e6);
    near(get(Measure::Detergent), 0.48);
    near(
        get(Measure::Cost),
        0.72 * 2.0 + heat_j / 3.6e6 * 0.5 + 0.48 * 3.0,
    );
}

/// By the clock: filled for the first pot at noon, and for the first that is taken up when that is half an hour ago.
#[test]
fn water_is_changed_by_the_clock_for_the_first_piece_after_it() {
    let sink = PotSink {
        change_every_s: Some(1_800.0),
        ..pot_sink(9, 30.0)
    };
    let mut scenario = pots(1, sink);
    scenario.soiled_log = Some(logged("pot", &[(1_799.0, 1), (2_000.0, 1), (4_000.0, 1)]));
    let (diary, _) = diary_of(&scenario);
    let fillings = times(&diary, |what| matches!(what, Happening::SinkFilled));
    assert_eq!(fillings, [0.0, 2_000.0, 4_000.0]);
}

/// Pots that stood for a day are quite dry and take three times as long; they come out as clean as any.
#[test]
fn dried_pots_take_longer_and_come_out_clean() {
    let of = |age_s| {
        let sink = PotSink {
            dried_takes: 3.0,
            ..pot_sink(9, 30.0)
        };
        let mut scenario = pots(2, sink);
        scenario.air.drying_multiplier = 1.0;
        scenario.backlog[0].age_s = age_s;
        scenario.soil[0].dirty_when_fresh = 0.9;
        scenario.soil[0].dirty_when_dried = 0.9;
        (scrubbing(&diary_of(&scenario).0), outcome(&scenario))
    };
    let (fresh, _) = of(0.0);
    assert!((fresh[1] - 20.0).abs() < 1.0, "{fresh:?}");
    let (dried, outcome) = of(86_400.0);
    assert_eq!(dried, [0.0, 60.0]);
    assert_eq!(outcome.get(Measure::DriedOnShare), Some(1.0));
    assert_eq!(outcome.get(Measure::Pieces), Some(2.0));
    // Nobody inspects them, and nothing else came.
    assert_eq!(outcome.get(Measure::SentOutSoiledShare), None);
}

/// Pots with a rack kind of their own as well need none, and no machine has to take it: they leave the racks to the plates.
#[test]
fn pots_need_no_rack_and_no_machine() {
    let mut scenario = pots(3, pot_sink(9, 30.0));
    scenario.ware[0].rack_kind = "peg".into();
    scenario.ware.push(ware("plate", "peg", 1));
    scenario.backlog.push(backlog("plate", 2));
    scenario.rack = vec![rack("peg", 1)];
    scenario.loading = Some(loading(1, 5.0));
    scenario.machine = vec![conveyor(2, 2, 1.0)];
    scenario.unload = Some(unload(1, 0.0));
    scenario
        .roster
        .push(person("loader", &[Duty::Load, Duty::Unload]));
    let (diary, finished) = diary_of(&scenario);
    assert!(finished);
    assert_eq!(enters(&diary).len(), 2);
    assert_eq!(scrubbing(&diary), [0.0, 20.0, 40.0]);
}

/// Two scrub side by side where there is a place for two, and never more.
#[test]
fn as_many_scrub_as_there_are_places() {
    for (places, expected) in [(1, [0.0, 20.0, 40.0, 60.0]), (2, [0.0, 0.0, 20.0, 20.0])] {
        let sink = PotSink {
            places,
            ..pot_sink(9, 30.0)
        };
        let mut scenario = pots(4, sink);
        scenario.roster[0].count = 3;
        assert_eq!(scrubbing(&diary_of(&scenario).0), expected);
    }
}

/// The busy share of the station is that of scrubbing: 4 × 25 s of an evening of two hours.
#[test]
fn the_station_has_its_measures() {
    let sink = PotSink {
        rinse_s: 5.0,
        ..pot_sink(9, 30.0)
    };
    let outcome = outcome(&pots(4, sink));
    let of = |measure: StationMeasure| outcome.stations[Duty::WashPots as usize][measure as usize];
    assert_eq!(of(StationMeasure::Units), Some(4.0));
    let busy = of(StationMeasure::BusyShare).unwrap();
    assert!((busy - 100.0 / 7_200.0).abs() < 1e-9, "{busy}");
    // They wait 0, 25, 50 and 75 s.
    let wait = of(StationMeasure::QueueWaitMean).unwrap();
    assert!((wait - 37.5 / 60.0).abs() < 1e-9, "{wait}");
}
