//! What drying, wetting and washing make of a piece on its way through the room, against values worked
//! by hand from the closed forms.
//!
//! A soil of which 2 % come out dirty when fresh and 50 % when dried on: k goes geometrically from
//! 3.912023 to 0.693147, and a piece of dryness D comes out dirty with probability exp(-k(D) M):
//!
//! | D | 0 | exp(-1) | 0.5 | 1 |
//! |---|---|---|---|---|
//! | M = 1 | 0.02 | 0.126221 | 0.192685 | 0.5 |
//! | M = 0.5 | 0.141421 | | | |
//!
//! The series `expected_rewash` is the mean of that probability over the pieces that entered within the
//! minute. Everything takes no time, so all pieces enter at noon, in minute 0.

mod common;

use common::*;
use scullery::room::Room;
use scullery::scenario::model::*;
use scullery::service::Service;
use scullery::service::measure::Measure;
use scullery::service::outcome::Outcome;
use scullery::service::series::SeriesKind;
use scullery::service::series::series_of;

/// So old that nothing of the moisture is left.
const DRY_S: f64 = 172_800.0;

/// One piece before a machine, soiled `age_s` ago.
fn piece(age_s: f64) -> Scenario {
    let mut scenario = empty();
    scenario.ware = vec![ware("plate", "peg", 1)];
    scenario.rack = vec![rack("peg", 9)];
    scenario.backlog = vec![BacklogRow {
        age_s,
        ..backlog("plate", 1)
    }];
    scenario.air.drying_multiplier = 1.0;
    scenario.loading = Some(loading(1, 0.0));
    scenario.machine = vec![conveyor(0, 4, 6.0)];
    scenario.roster = vec![person("all hands", &Duty::ALL)];
    scenario
}

/// Expected rewash of what enters in a minute.
fn rewash(scenario: &Scenario, minute: usize) -> f32 {
    let room = Room::of(scenario);
    let mut service = Service::new(&room);
    service.play(1, 0);
    assert!(service.finished());
    let series = series_of(&room);
    let row = series
        .iter()
        .position(|info| info.kind == SeriesKind::ExpectedRewash);
    service.samples().values()[row.expect("a machine") * room.hours.minutes() + minute]
}

#[track_caller]
fn close(found: f32, expected: f32, within: f32) {
    assert!((found - expected).abs() < within, "{found}, not {expected}");
}

#[test]
fn fresh_and_dried_on() {
    close(rewash(&piece(0.0), 0), 0.02, 1e-6);
    close(rewash(&piece(DRY_S), 0), 0.5, 1e-6);
}

/// Film 0.1 mm at 0.213 kg/h m2 loses half of its water in 14.085 min.
#[test]
fn half_dry() {
    close(rewash(&piece(60.0 * 14.085), 0), 0.192_685, 5e-4);
}

/// Half as fast in a tub, it takes 28.17 min there: until somebody comes.
#[test]
fn a_tub_dries_more_slowly() {
    let mut scenario = piece(0.0);
    scenario.air.in_tubs = 0.5;
    scenario.roster[0].from_s += 60.0 * 28.17;
    close(rewash(&scenario, 29), 0.192_685, 5e-4);
    // On the tables it lay in the open before.
    scenario.backlog[0].age_s = 60.0 * 14.085;
    scenario.air.in_tubs = 0.0;
    close(rewash(&scenario, 29), 0.192_685, 5e-4);
}

/// The second of two pieces, in a full rack behind a hood that takes so long.
fn behind_a_rack(waits_s: f64) -> Scenario {
    let mut scenario = piece(0.0);
    scenario.backlog[0].pieces = 2;
    scenario.loading = Some(loading(2, 0.0));
    scenario.machine = vec![hood(0, 4, waits_s, 0.0, false)];
    scenario
}

#[test]
fn a_rack_dries_more_slowly() {
    let mut scenario = behind_a_rack(60.0 * 28.17);
    scenario.air.in_racks = 0.5;
    close(rewash(&scenario, 29), 0.192_685, 5e-4);
}

/// Half of the film is scraped off: what is left loses half of its water in half of the 14.085 min.
#[test]
fn a_scraped_film_is_thinner_and_dries_faster() {
    let mut scenario = behind_a_rack(60.0 * 14.085 / 2.0);
    scenario.scrape = Some(Bench {
        thins: 0.5,
        ..bench(1, 0.0, 2)
    });
    close(rewash(&scenario, 8), 0.192_685, 5e-4);
}

/// A minute a piece when fresh; dried on it takes three times as long, half dry twice as long.
#[test]
fn what_has_dried_takes_longer_to_scrape() {
    for (age_s, minute) in [(0.0, 1), (60.0 * 14.085, 2), (DRY_S, 3)] {
        let mut scenario = piece(age_s);
        scenario.ware[0].scrape_s = 60.0;
        scenario.scrape = Some(Bench {
            dried_takes: 3.0,
            ..bench(1, 0.0, 1)
        });
        let found = (0..4).filter(|minute| rewash(&scenario, *minute) > 0.0);
        assert_eq!(found.collect::<Vec<_>>(), [minute], "{age_s} s");
    }
}

/// Half of the dryness of a dried-on piece is rinsed away.
#[test]
fn pre_rinsing_wets() {
    let mut scenario = piece(DRY_S);
    scenario.pre_rinse = Some(PreRinse {
        places: 1,
        per_unit: fixed(0.0),
        batch: 1,
        table: None,
        wets: 0.5,
        removes: 0.6,
        flow_l_per_s: None,
        position: Position::default(),
    });
    close(rewash(&scenario, 0), 0.192_685, 1e-6);
}

/// Five minutes, the time constant of the soil.
fn soak() -> Soak {
    Soak {
        sinks: 1,
        holds: 1,
        time_s: 300.0,
        water_l: None,
        put_in_s: 0.0,
        take_out_s: 0.0,
        per_unit: fixed(0.0),
        full_enough: 1.0,
        wait_at_most_s: 0.0,
        position: Position::default(),
    }
}

/// After one time constant the dryness of a dried-on piece is exp(-1).
#[test]
fn soaking_wets() {
    let mut scenario = piece(DRY_S);
    scenario.ware[0].soak = SoakPolicy::Always;
    scenario.soak = Some(soak());
    close(rewash(&scenario, 5), 0.126_221, 1e-5);
}

/// Soaked only when dried on: the dry piece enters at minute 5, the fresh one at once.
#[test]
fn soaked_only_when_dried_on() {
    for (age_s, minute) in [(DRY_S, 5), (0.0, 0)] {
        let mut scenario = piece(age_s);
        scenario.ware[0].soak = SoakPolicy::WhenDried;
        scenario.soak = Some(soak());
        assert!(rewash(&scenario, minute) > 0.0);
    }
}

/// A caught piece is soaked again before it is washed again: every wash of this piece has a soak
/// before it.
#[test]
fn caught_pieces_are_soaked_again() {
    let mut scenario = piece(0.0);
    (
        scenario.soil[0].dirty_when_fresh,
        scenario.soil[0].dirty_when_dried,
    ) = (0.9, 0.9);
    scenario.ware[0].soak = SoakPolicy::Always;
    scenario.soak = Some(soak());
    scenario.inspect = Some(Inspect { catches: 1.0 });
    let room = Room::of(&scenario);
    let mut service = Service::new(&room);
    service.play(1, 0);
    let washes = u64::from(service.pieces()[0].washes);
    assert!(washes > 1, "pick another seed");
    // Put in and taken out, each time.
    assert_eq!(service.tally().units[Duty::Soak as usize], 2 * washes);
}

/// Half the contact time, or half the factor, is half a wash.
#[test]
fn half_a_wash() {
    let mut scenario = piece(0.0);
    scenario.machine[0].contact_time_s *= 2.0;
    close(rewash(&scenario, 0), 0.141_421, 1e-6);
    let mut scenario = piece(0.0);
    scenario.machine[0].wash_factor = 0.5;
    close(rewash(&scenario, 0), 0.141_421, 1e-6);
}

/// An overloaded rack washes worse than a full one, a half-empty one as well as it: six pieces in a
/// rack for four are 1/1.5 squared of a wash, exp(-3.912023/2.25) = 0.175753.
#[test]
fn overloading_washes_worse() {
    let of_four = |fill: f64, pieces: u32| {
        let mut scenario = piece(0.0);
        scenario.ware[0].per_rack = 4;
        scenario.rack[0].fill = fill;
        scenario.backlog[0].pieces = pieces;
        rewash(&scenario, 0)
    };
    close(of_four(1.0, 4), 0.02, 1e-6);
    close(of_four(1.0, 2), 0.02, 1e-6);
    close(of_four(1.5, 6), 0.175_753, 1e-5);
}

/// Half of the pieces come out dirty and half of those are caught, at every wash: of what leaves
/// inspection a quarter goes back, of what is sent out a third is dirty. 2000 pieces; four standard
/// deviations.
#[test]
fn inspection_catches_its_share() {
    let mut scenario = piece(0.0);
    (
        scenario.soil[0].dirty_when_fresh,
        scenario.soil[0].dirty_when_dried,
    ) = (0.5, 0.5);
    scenario.inspect = Some(Inspect { catches: 0.5 });
    scenario.backlog[0].pieces = 2_000;
    scenario.ware[0].per_rack = 50;
    let room = Room::of(&scenario);
    let mut service = Service::new(&room);
    service.play(1, 0);
    let mut outcome = Outcome::new(&room);
    service.outcome(&mut outcome);
    let caught = outcome.get(Measure::RewashedShare).expect("inspected");
    assert!((caught - 0.25).abs() < 4.0 * 0.0084, "{caught}");
    let sent = outcome.get(Measure::SentOutSoiledShare).expect("sent out");
    assert!((sent - 1.0 / 3.0).abs() < 4.0 * 0.0105, "{sent}");
}
