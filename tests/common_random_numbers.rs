//! Common random numbers: what a change of crew, racks or machines must leave alone, bit for bit.
//!
//! Guests, their ware and films are drawn at the beginning of an evening and compared there; luck is
//! compared at the end, by how often each piece was washed where soil does not dry and every dirty
//! piece is caught.

mod common;

use std::collections::BTreeSet;

use common::*;
use scullery::room::Room;
use scullery::scenario::model::*;
use scullery::service::Service;
use scullery::service::outcome::Outcome;

/// A whole room with everything that varies.
fn evening() -> Scenario {
    let mut scenario = empty();
    let mut guests = parties(Style::Table, &[(600.0, 3, 3_000.0)]);
    guests.arrivals = Arrivals::Random;
    guests.dwell = varying(1_800.0, 0.3, Shape::Lognormal);
    guests.seating = vec![
        Seating {
            from_s: NOON,
            to_s: NOON + 1_800.0,
            covers: 30.0,
        },
        Seating {
            from_s: NOON + 1_800.0,
            to_s: NOON + 3_600.0,
            covers: 20.0,
        },
    ];
    guests.party_sizes = vec![
        PartySize {
            covers: 2,
            weight: 2.0,
        },
        PartySize {
            covers: 4,
            weight: 1.0,
        },
    ];
    scenario.guests = Some(guests);
    scenario.menu = vec![course("plate", 1.4, 0.1, 0.8)];
    scenario.soiled = vec![SoiledRow {
        arrivals: Arrivals::Random,
        ..stream("pan", 0.0, 3_600.0, 20.0)
    }];
    scenario.backlog = vec![backlog("pan", 5)];
    scenario.ware = vec![ware("plate", "peg", 6), ware("pan", "peg", 3)];
    scenario.rack = vec![rack("peg", 8)];
    scenario.soil[0].film_cv = 0.5;
    (
        scenario.soil[0].dirty_when_fresh,
        scenario.soil[0].dirty_when_dried,
    ) = (0.3, 0.3);
    scenario.scrape = Some(bench(2, 5.0, 4));
    scenario.loading = Some(loading(2, 10.0));
    scenario.machine = vec![conveyor(2, 2, 6.0)];
    scenario.unload = Some(unload(2, 20.0));
    scenario.inspect = Some(Inspect { catches: 1.0 });
    scenario.roster = vec![
        person("loader", &[Duty::Scrape, Duty::Load]),
        person("unloader", &[Duty::Unload, Duty::PutAway]),
    ];
    scenario
}

/// The same evening with another crew, other racks, landing, machine and benches.
fn changed() -> Vec<(&'static str, Scenario)> {
    let mut crew = evening();
    crew.roster
        .push(person("second loader", &[Duty::Load, Duty::Scrape]));
    crew.roster[0].pace = 1.3;
    let mut machine = evening();
    machine.machine = vec![conveyor(1, 4, 4.0), conveyor(0, 1, 9.0)];
    for machine in &mut machine.machine {
        // The same wash, however fast.
        let MachineKind::RackConveyor {
            tunnel_m,
            speed_m_per_s,
            ..
        } = &mut machine.kind
        else {
            unreachable!("conveyors")
        };
        *speed_m_per_s = 0.05;
        machine.contact_time_s = *tunnel_m / *speed_m_per_s;
    }
    let mut racks = evening();
    racks.rack[0].fleet = 2;
    let mut landing = evening();
    landing.machine[0].landing = Places::Count(1);
    let mut stages = evening();
    stages.scrape = None;
    stages.drop_off.tubs = Some(Places::Count(1));
    stages.loading = Some(Loading {
        table: Some(7),
        ..loading(1, 30.0)
    });
    vec![
        ("crew", crew),
        ("machine", machine),
        ("racks", racks),
        ("landing", landing),
        ("stages", stages),
    ]
}

/// All that is drawn before the evening: ware, soil, moment, drying rate of every piece; key, dwell and
/// departure of every lot.
fn drawn(scenario: &Scenario, seed: u64, replication: u64) -> Vec<[u64; 6]> {
    let room = Room::of(scenario);
    let mut service = Service::new(&room);
    service.begin(seed, replication);
    let lots = service.lots();
    // Nothing has split a lot yet.
    let runs = service.runs();
    let of_piece = |piece: &scullery::service::pieces::Piece| {
        let (lot, run) = (&lots[piece.lot.at()], &runs[piece.lot.at()]);
        [
            u64::from(run.ware) << 32 | u64::from(run.soil),
            run.since.ns() as u64,
            piece.drying_per_s.to_bits(),
            lot.key,
            lot.eats.ns() as u64,
            lot.departs.ns() as u64,
        ]
    };
    service.pieces().iter().map(of_piece).collect()
}

/// How often each piece was washed, and covers.
fn luck(scenario: &Scenario) -> (Vec<u16>, u64) {
    let room = Room::of(scenario);
    let mut service = Service::new(&room);
    service.play(7, 3);
    assert!(service.finished());
    let washes = service.pieces().iter().map(|piece| piece.washes).collect();
    (washes, service.tally().covers)
}

#[test]
fn a_change_of_room_leaves_guests_and_films_as_they_were() {
    // Without drying a drying rate would be nought for all.
    let dry = |mut scenario: Scenario| {
        scenario.air.drying_multiplier = 1.0;
        scenario
    };
    let base = drawn(&dry(evening()), 7, 3);
    assert!(base.len() > 60, "{}", base.len());
    let rates: BTreeSet<u64> = base.iter().map(|row| row[2]).collect();
    assert_eq!(rates.len(), base.len(), "every piece has a film of its own");
    for (what, scenario) in changed() {
        assert_eq!(drawn(&dry(scenario), 7, 3), base, "{what}");
    }
}

#[test]
fn a_change_of_room_leaves_luck_as_it_was() {
    let base = luck(&evening());
    assert!(base.0.iter().any(|&washes| washes > 1));
    for (what, scenario) in changed() {
        assert_eq!(luck(&scenario), base, "{what}");
    }
}

/// The rows drawn for one ware.
fn of_ware(rows: &[[u64; 6]], ware: u64) -> Vec<[u64; 6]> {
    rows.iter()
        .filter(|row| row[0] >> 32 == ware)
        .copied()
        .collect()
}

#[test]
fn another_row_leaves_the_draws_of_the_others_alone() {
    let base = drawn(&evening(), 7, 3);
    let (plates, pans) = (of_ware(&base, 0), of_ware(&base, 1));
    let third = |scenario: &mut Scenario| scenario.ware.push(ware("glass", "peg", 9));
    let mut menu = evening();
    third(&mut menu);
    menu.menu.insert(0, course("glass", 0.7, 0.0, 0.5));
    let mut soiled = evening();
    third(&mut soiled);
    soiled.soiled.insert(0, stream("glass", 0.0, 600.0, 9.0));
    let mut left = evening();
    third(&mut left);
    left.backlog.insert(0, backlog("glass", 9));
    for scenario in [menu, soiled, left] {
        let rows = drawn(&scenario, 7, 3);
        assert!(rows.len() > base.len());
        assert_eq!(of_ware(&rows, 0), plates);
        assert_eq!(of_ware(&rows, 1), pans);
    }
    // Another interval of the curve: the parties of the others stay.
    let mut seating = evening();
    let early = Seating {
        from_s: NOON - 1_800.0,
        to_s: NOON,
        covers: 20.0,
    };
    let guests = seating.guests.as_mut().expect("guests");
    guests.seating.insert(0, early);
    seating.roster[0].from_s = NOON - 1_800.0;
    let keys = |rows: &[[u64; 6]]| {
        rows.iter()
            .map(|row| (row[2], row[3], row[4]))
            .collect::<Vec<_>>()
    };
    let rows = keys(&drawn(&seating, 7, 3));
    let kept: Vec<_> = rows
        .into_iter()
        .filter(|row| keys(&base).contains(row))
        .collect();
    assert_eq!(kept, keys(&base));
}

#[test]
fn more_pieces_a_cover_leave_seating_as_it_was() {
    let mut more = evening();
    more.menu[0].per_cover = 3.0;
    let of_lots = |scenario: &Scenario| {
        let room = Room::of(scenario);
        let mut service = Service::new(&room);
        service.begin(7, 3);
        let lots = service.lots().iter().filter(|lot| lot.by_guests);
        lots.map(|lot| (lot.key, lot.eats, lot.departs))
            .collect::<Vec<_>>()
    };
    assert_eq!(of_lots(&more), of_lots(&evening()));
}

#[test]
fn two_seatings_that_begin_together_share_nothing() {
    let mut scenario = evening();
    let guests = scenario.guests.as_mut().expect("guests");
    guests.seating[1].from_s = NOON;
    let rows = drawn(&scenario, 7, 3);
    let keys: BTreeSet<u64> = rows.iter().map(|row| row[3]).collect();
    let room = Room::of(&scenario);
    let mut service = Service::new(&room);
    service.begin(7, 3);
    assert_eq!(keys.len(), service.lots().len());
}

#[test]
fn neighbouring_seeds_and_replications_share_nothing() {
    let mut seen = BTreeSet::new();
    for seed in 0..6 {
        for replication in 0..6 {
            let mut scenario = evening();
            scenario.air.drying_multiplier = 1.0;
            for row in drawn(&scenario, seed, replication) {
                // The key is a lot's; with the film it is a piece's.
                assert!(
                    seen.insert((row[2], row[3])),
                    "seed {seed} replication {replication}"
                );
            }
        }
    }
    assert!(seen.len() > 2_000);
}

/// Everything an evening says of itself.
fn everything(service: &mut Service, seed: u64, replication: u64) -> (Outcome, Vec<u32>, u64) {
    service.play(seed, replication);
    let mut outcome = Outcome::new(service.room());
    service.outcome(&mut outcome);
    let samples = service
        .samples()
        .values()
        .iter()
        .map(|value| value.to_bits());
    let samples = samples.collect();
    (outcome, samples, service.tally().events)
}

#[test]
fn a_replication_is_the_same_whatever_was_played_before() {
    let mut scenarios = vec![evening()];
    scenarios.extend(changed().into_iter().map(|(_, scenario)| scenario));
    for scenario in scenarios {
        let room = Room::of(&scenario);
        let alone = everything(&mut Service::new(&room), 7, 3);
        let mut service = Service::new(&room);
        for replication in [3, 3, 0, 9, 3] {
            let found = everything(&mut service, 7, replication);
            assert_eq!(
                found == alone,
                replication == 3,
                "replication {replication}"
            );
        }
        // After an evening left in the middle, too.
        service.begin(7, 9);
        for _ in 0..100 {
            service.step();
        }
        assert_eq!(everything(&mut service, 7, 3), alone);
    }
}

#[test]
fn stepping_and_playing_are_the_same() {
    let scenario = evening();
    let room = Room::of(&scenario);
    let played = everything(&mut Service::new(&room), 7, 3);
    let mut service = Service::new(&room);
    service.begin(7, 3);
    while service.step() {}
    let mut outcome = Outcome::new(&room);
    service.outcome(&mut outcome);
    assert_eq!(outcome, played.0);
}

#[test]
fn a_diary_changes_nothing() {
    let scenario = evening();
    let room = Room::of(&scenario);
    let without = everything(&mut Service::new(&room), 7, 3);
    let mut service = Service::new(&room);
    service.keep_diary();
    assert_eq!(everything(&mut service, 7, 3), without);
    assert!(!service.diary().is_empty());
}
