//! The hand-calculation sheet and the simulation agree when variation is switched off.
//!
//! Every room under `tests/rooms` has even arrivals, fixed times and full loads. Each is worked out on
//! the sheet and played, and the two are held against each other: throughput by station, working time,
//! racks per hour of what binds, the backlog when the peak ends, ware away from the store, what the
//! roster costs, and who binds. A room that binds at a known place has its capacity worked out by hand beside the test.

use std::path::Path;

use scullery::room::Room;
use scullery::room::money::CostPart;
use scullery::room::time::Time;
use scullery::scenario;
use scullery::scenario::model::Duty;
use scullery::service::Service;
use scullery::service::measure::{CostMeasure, Measure};
use scullery::service::obstacle::Obstacle;
use scullery::service::outcome::Outcome;
use scullery::study::sheet::Sheet;
use scullery::study::sheet::stations::Station;

/// A room under `tests/rooms`, and its sheet.
fn room(name: &str) -> (Room, Sheet) {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/rooms/{name}.toml"));
    let loaded = scenario::load(&file).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let room = Room::of(&loaded.scenario);
    let sheet = Sheet::of(&loaded.scenario, &room);
    (room, sheet)
}

/// What had been done by a moment.
#[derive(Clone, Copy, Default)]
struct Seen {
    units: [u64; Duty::ALL.len()],
    racks: usize,
    soiled_waiting: u32,
}

fn seen(service: &Service) -> Seen {
    let tally = service.tally();
    Seen {
        units: tally.units,
        racks: tally.entries.len(),
        soiled_waiting: service.lines().soiled().len,
    }
}

/// Plays an evening to its end; what had been done at each of some moments, all events of that moment
/// included.
fn play(service: &mut Service, at_min: &[i64]) -> Vec<Seen> {
    let mut marks = vec![Seen::default(); at_min.len()];
    service.begin(1, 0);
    let mut more = true;
    while more {
        more = service.step();
        let now = service.now();
        for (mark, minutes) in marks.iter_mut().zip(at_min) {
            if now <= Time::MINUTE * *minutes {
                *mark = seen(service);
            }
        }
    }
    marks
}

fn row<'s>(sheet: &'s Sheet, name: &str) -> &'s Station {
    let found = sheet.stations.iter().find(|station| station.name == name);
    found.unwrap_or_else(|| panic!("{name} is not on the sheet"))
}

fn near(a: f64, b: f64, within: f64) -> bool {
    (a - b).abs() <= within
}

const BENCHES: [Duty; 4] = [Duty::Scrape, Duty::Load, Duty::Unload, Duty::PutAway];

#[test]
fn below_capacity_every_station_does_what_comes() {
    let (room, sheet) = room("line");
    // 1440 plates in two hours, lots of 20: 720 plates and 36 racks per hour.
    assert!(near(sheet.peak.pieces, 720.0, 1e-9));
    assert!(near(sheet.peak.racks_all, 36.0, 1e-9));
    let mut service = Service::new(&room);
    let marks = play(&mut service, &[20, 80]);
    for duty in BENCHES {
        // A unit of work is a lot of 20 at every bench; of one each 100 s an hour holds 36.
        let units = marks[1].units[duty as usize] - marks[0].units[duty as usize];
        assert_eq!(units, 36, "{}", duty.name());
    }
    assert_eq!(marks[1].racks - marks[0].racks, 36);
}

#[test]
fn below_capacity_working_time_is_the_utilisation() {
    let (room, sheet) = room("line");
    let mut service = Service::new(&room);
    service.play(1, 0);
    for (duty, by_hand) in BENCHES.into_iter().zip([0.24, 0.25, 0.25, 0.40]) {
        let station = row(&sheet, duty.name());
        let worked = service.tally().work[duty as usize].h();
        // The same lots in the same two hours: equal but for the nanosecond of the clock.
        let used = station.utilisation.unwrap();
        assert!(near(used, by_hand, 1e-9), "{}: {used}", duty.name());
        assert!(near(worked / 2.0, used, 1e-9), "{}: {worked}", duty.name());
    }
    // One operator at each bench, the carrier busiest.
    let binds = sheet.binds.as_ref().unwrap();
    assert_eq!(binds.name, "put-away");
    assert!(sheet.labour.people_needed < sheet.labour.people_there);
    assert!(near(sheet.labour.people_needed, 1.14, 1e-9));
}

/// A rack each 100 s keeps the conveyor's entry for 16.667 s at 0.12 L/s: 2 L. Fill and 72 racks: 224 L,
/// 448 g of detergent, and 144 L lifted by 25 K: 4.186 kWh.
#[test]
fn water_of_the_evening_is_that_of_its_racks() {
    let (room, sheet) = room("water");
    let on_sheet = &sheet.water[0];
    let mut service = Service::new(&room);
    service.play(1, 0);
    let mut outcome = Outcome::new(&room);
    service.outcome(&mut outcome);
    let played = |measure| outcome.get(measure).unwrap();
    assert!(near(on_sheet.rack_l, 2.0, 1e-9));
    let evening = on_sheet.evening.as_ref().unwrap();
    assert!(near(evening.fresh_l, 224.0, 1e-6));
    assert!(near(played(Measure::Water), 224.0, 1e-6));
    assert!(near(evening.detergent_kg, 0.448, 1e-9));
    assert!(near(played(Measure::Detergent), 0.448, 1e-9));
    // And 20 L that fill the booster.
    let booster_kwh = 4.186 + 20.0 * 4186.0 * 25.0 / 3.6e6;
    assert!(near(evening.booster_kwh.unwrap(), booster_kwh, 1e-9));
    assert!(near(played(Measure::BoosterHeat), booster_kwh, 1e-6));
    // It holds its set point, so what it needs fed without a gap is 0.12 kg/s lifted by 25 K.
    let booster = on_sheet.booster.as_ref().unwrap();
    assert!(near(booster.needed_w, 12_558.0, 1e-6) && near(booster.comes_to_c, 85.0, 1e-9));
    assert_eq!(played(Measure::UnderTemperatureRacks), 0.0);
    // 80 L from 60 to 70 °C at 15 kW.
    assert!(near(
        on_sheet.heat_up_min.unwrap(),
        80.0 * 4186.0 * 10.0 / 15_000.0 / 60.0,
        1e-9
    ));
    // 20 plates of 5 g, of which scraping leaves a fifth, and 2 L into 80: 10 (1 - exp(-144/80)) g/L.
    let soil_g_per_l = 10.0 * (1.0 - libm::exp(-1.8));
    assert!(near(on_sheet.soil_g_per_l.unwrap(), soil_g_per_l, 1e-9));
}

/// What an evening takes and costs: on the sheet, and played.
fn spent(sheet: &Sheet, outcome: &Outcome) -> Vec<(String, Option<f64>, Option<f64>)> {
    let spent = &sheet.spent;
    let overtime_min = spent.overtime_h.map(|h| 60.0 * h);
    let quantities = [
        (Measure::Water, spent.water_l),
        (Measure::Detergent, spent.detergent_kg),
        (Measure::RinseAid, spent.rinse_aid_l),
        (Measure::TankHeat, spent.tank_heat_kwh),
        (Measure::BoosterHeat, spent.booster_kwh),
        (Measure::Pumps, spent.pumps_kwh),
        (Measure::Dryer, spent.dryer_kwh),
        (Measure::PotSinkHeat, spent.pot_sink_kwh),
        (Measure::Energy, spent.energy_kwh),
        (Measure::LabourHours, spent.labour_h),
        (Measure::Overtime, overtime_min),
        (Measure::Cost, spent.cost),
    ];
    let quantities = quantities.map(|(measure, on_sheet)| {
        (
            measure.info().name.to_owned(),
            on_sheet,
            outcome.get(measure),
        )
    });
    let costs = CostPart::ALL.map(|part| {
        let played = outcome.costs[part as usize][CostMeasure::Cost as usize];
        (
            format!("cost of {}", part.name()),
            spent.of_part(part),
            played,
        )
    });
    quantities.into_iter().chain(costs).collect()
}

/// Nothing varies: water, detergent, rinse aid and their cost are the same but for the nanosecond of the clock,
/// all else within one part in a hundred, or a part of the energy within one in a thousand of all energy: the
/// sheet does not see that a cold rack switches a heater on that the rinse would have spared. A hood has a small tank
/// that each rack cools much: there within two in a hundred.
#[test]
fn everything_that_costs_is_on_the_sheet_line_by_line() {
    let mut wrong = Vec::new();
    for name in [
        "water",
        "paid",
        "warm-rinse",
        "weak-heater",
        "open-valve",
        "hood-water",
        "closed-down",
    ] {
        let (room, sheet) = room(name);
        let mut service = Service::new(&room);
        service.play(1, 0);
        assert!(service.finished(), "{name}");
        let mut outcome = Outcome::new(&room);
        service.outcome(&mut outcome);
        let energy_kwh = outcome.get(Measure::Energy).unwrap();
        for (what, on_sheet, played) in spent(&sheet, &outcome) {
            let of_water = ["water", "sewer", "detergent", "rinse"];
            let (share, more) = if of_water.iter().any(|part| what.contains(part)) {
                (1e-9, 0.0)
            } else if what.ends_with("kwh") && name == "hood-water" {
                (0.02, 0.0)
            } else if what.ends_with("kwh") {
                (0.01, 0.001 * energy_kwh)
            } else {
                (0.01, 0.0)
            };
            let agree = match (on_sheet, played) {
                (Some(a), Some(b)) => near(a, b, (share * b.abs()).max(more)),
                (a, b) => a == b,
            };
            if !agree {
                wrong.push(format!(
                    "{name}: {what}: {on_sheet:?} on the sheet, {played:?} played"
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Of the room where everything is paid for, worked out by hand: 72 racks of 2 L, one change of 90 L, 72 × 14 s of
/// spray at 4 L/min, 72 sinks of 30 L; pumps that run but for the change of 60 + 150 + 30 × 4186 × 20/12,000 s, as long as the slower of its two tanks takes to heat.
#[test]
fn what_an_evening_takes_is_that_of_its_parts() {
    let (room, sheet) = room("paid");
    let spent = &sheet.spent;
    let by_hand_l = 2.0 * 90.0 + 72.0 * 2.0 + 72.0 * 14.0 * 4.0 / 60.0 + 72.0 * 30.0;
    assert!(near(spent.water_l.unwrap(), by_hand_l, 1e-6));
    assert!(near(spent.pre_rinse_l.unwrap(), 67.2, 1e-9));
    assert!(near(spent.soak_l.unwrap(), 2160.0, 1e-9));
    assert!(near(spent.rinse_aid_l.unwrap(), 0.144 * 0.2, 1e-9));
    assert!(near(spent.detergent_kg.unwrap(), 0.324 * 1.5, 1e-9));
    // Every part that there is has a price: the whole is their sum.
    assert_eq!(spent.costs.len(), CostPart::ALL.len());
    let sum: f64 = spent.costs.iter().map(|part| part.cost).sum();
    assert!(near(spent.cost.unwrap(), sum, 1e-9));
    let taken = sheet.water[0].evening.as_ref().unwrap();
    let change_s = 60.0 + 150.0 + 30.0 * 4186.0 * 20.0 / 12_000.0;
    let ends_s = spent.ends_s - room.hours.start_s;
    assert_eq!(taken.changes, 1.0);
    assert!(near(taken.pumps_h * 3600.0, ends_s - change_s, 1e-6));
    assert!(near(spent.pumps_kwh.unwrap(), 1.8 * taken.pumps_h, 1e-9));
    assert!(near(spent.dryer_kwh.unwrap(), 2.0 * taken.pumps_h, 1e-9));
    // What the tanks take goes to the room, into ware and down the drain, but for what they still hold: they were
    // filled twice, and once let run out hot.
    let tanks = taken.tanks.unwrap();
    let held_kwh = (60.0 * 13.0 + 30.0 * 20.0) * 4186.0 / 3.6e6;
    assert!(near(tanks.fill_kwh, held_kwh, 1e-9) && near(tanks.changes_kwh, held_kwh, 1e-9));
    let goes_kwh = tanks.lost_kwh + tanks.ware_kwh + 2.0 * held_kwh;
    assert!(
        near(tanks.takes_kwh + tanks.rinse_kwh, goes_kwh, 0.01),
        "{tanks:?}"
    );
}

/// Racks in an hour of the steady part, against those of the sheet's binding row.
fn saturated(name: &str, row_name: &str, by_hand: f64) -> (Sheet, Seen) {
    let (room, sheet) = room(name);
    let capacity = row(&sheet, row_name).capacity_per_hour;
    assert!(near(capacity, by_hand, 1e-6), "{row_name}: {capacity}");
    let mut service = Service::new(&room);
    let marks = play(&mut service, &[20, 80, 60]);
    let racks = (marks[1].racks - marks[0].racks) as f64;
    let in_racks = if row(&sheet, row_name).unit == "racks" {
        capacity
    } else {
        capacity / 20.0
    };
    // What is repeated evenly fits an hour once more or less at its two ends.
    assert!(
        near(racks, in_racks, 1.0),
        "{name}: {racks} racks, by hand {in_racks}"
    );
    (sheet, marks[2])
}

#[test]
fn a_fed_conveyor_runs_at_its_rate() {
    // 6 ft/min and racks of 20 in: 216.
    saturated("conveyor-binds", "conveyor", 216.0);
}

#[test]
fn a_scraping_place_runs_at_its_rate() {
    // 24 s for 20: 3000 plates, 150 racks.
    saturated("scrape-binds", "scrape", 3000.0);
}

#[test]
fn a_full_landing_lets_through_what_its_places_do() {
    // 3 places, each 60 s of draining and 20 s of unloading: 135, of 216 rated.
    saturated("landing-binds", "clean landing", 135.0);
}

#[test]
fn a_fleet_of_racks_turns_round_as_often_as_its_way_takes() {
    // 3 racks, each away 5 + 50 + 30 + 3 = 88 s.
    saturated("racks-bind", "peg racks", 3.0 * 3600.0 / 88.0);
}

#[test]
fn attended_hoods_run_at_cycle_and_load_time() {
    // 2 hoods of 57 + 5 s.
    saturated("hood-binds", "2 machines", 2.0 * 3600.0 / 62.0);
}

/// Each hood does the racks of its own, and could do 3600 / 62 of them.
#[test]
fn machines_with_racks_of_their_own_have_rows_of_their_own() {
    let (room, sheet) = room("own-hoods");
    for (hood, racks) in [("left hood", 36.0), ("right hood", 18.0)] {
        let row = row(&sheet, hood);
        assert!(near(row.units_per_hour, racks, 1e-9), "{row:?}");
        assert!(near(row.capacity_per_hour, 3600.0 / 62.0, 1e-9), "{row:?}");
    }
    let mut service = Service::new(&room);
    let marks = play(&mut service, &[20, 80]);
    assert!(near((marks[1].racks - marks[0].racks) as f64, 54.0, 1.0));
}

/// 36 racks of 121 s an hour at the left, 18 of 5 s at the right. The loader at the left can do 0.83 of the own work,
/// whatever the bar back has time for. Where both look after both, they have 2 h for 1.235 of work.
#[test]
fn whoever_looks_after_one_hood_does_nothing_for_the_other() {
    let (room, sheet) = room("own-crews");
    let set = sheet.labour.binds.as_ref().unwrap();
    assert_eq!(set.at_machines, ["load at left hood"]);
    assert_eq!(set.operators, ["loader"]);
    assert!(
        near(set.people_needed, 36.0 * 121.0 / 3600.0, 1e-9),
        "{set:?}"
    );
    assert!(near(set.people_there, 1.0, 1e-9), "{set:?}");
    let mut service = Service::new(&room);
    let marks = play(&mut service, &[20, 80]);
    let filled = marks[1].units[Duty::Load as usize] - marks[0].units[Duty::Load as usize];
    assert!(near(filled as f64, 3600.0 / 121.0 + 18.0, 2.0), "{filled}");
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/rooms/own-crews.toml");
    let mut shared = scenario::load(&file).unwrap().scenario;
    for row in &mut shared.roster {
        row.machines.clear();
    }
    let sheet = Sheet::of(&shared, &Room::of(&shared));
    let load = sheet.labour.duties.iter().find(|of| of.duty == Duty::Load);
    let load = load.unwrap();
    let needed = (36.0 * 121.0 + 18.0 * 5.0) / 3600.0;
    assert!(near(load.people_needed, needed, 1e-9) && load.people_there == 2.0);
    assert!(sheet.labour.binds.unwrap().at_machines.is_empty());
}

#[test]
fn soak_sinks_let_through_what_they_hold_over_time_and_handling() {
    // 2 sinks of 100: 600 s, and 25 s in and 25 s out.
    let (room, sheet) = room("sinks-bind");
    let capacity = row(&sheet, "soak sinks").capacity_per_hour;
    assert!(near(capacity, 200.0 * 3600.0 / 650.0, 1e-6), "{capacity}");
    let mut service = Service::new(&room);
    let marks = play(&mut service, &[20, 85]);
    // Six turns of 650 s are 65 min: each of the two sinks is filled and emptied six times.
    let soak = Duty::Soak as usize;
    let handlings = marks[1].units[soak] - marks[0].units[soak];
    assert!(near(handlings as f64, 24.0, 1.0), "{handlings}");
}

#[test]
fn one_person_for_everything_does_their_hours_of_work() {
    let (room, sheet) = room("one-person");
    let binds = sheet.binds.as_ref().unwrap();
    assert!(binds.people);
    // 24 + 25 + 25 + 40 s per lot, a lot each 80 s.
    assert!(near(binds.utilisation.unwrap(), 114.0 / 80.0, 1e-9));
    let mut service = Service::new(&room);
    let marks = play(&mut service, &[20, 77]);
    // 57 min are 30 lots of 114 s; a lot may be under way at either end.
    let racks = marks[1].racks - marks[0].racks;
    assert!(near(racks as f64, 30.0, 1.0), "{racks}");
    let done: u64 = BENCHES.iter().map(|d| marks[1].units[*d as usize]).sum();
    let before: u64 = BENCHES.iter().map(|d| marks[0].units[*d as usize]).sum();
    assert!(
        near((done - before) as f64, 120.0, 4.0),
        "{}",
        done - before
    );
}

#[test]
fn the_backlog_when_the_peak_ends_is_what_came_less_what_went() {
    for (name, row_name, by_hand, pieces_by_hand) in [
        ("conveyor-binds", "conveyor", 216.0, 6000.0 - 4320.0),
        ("scrape-binds", "scrape", 3000.0, 4320.0 - 3000.0),
        ("landing-binds", "clean landing", 135.0, 3600.0 - 2700.0),
    ] {
        let (sheet, at_end) = saturated(name, row_name, by_hand);
        let binds = sheet.binds.as_ref().unwrap();
        let backlog = binds.backlog_pieces.unwrap().at_end_of_peak;
        assert!(near(backlog, pieces_by_hand, 1e-6), "{name}: {backlog}");
        // The fluid begins at once and piece by piece; the room begins with the first lot, which must be
        // scraped and racked, and goes on rack by rack. Before a landing is full the conveyor is ahead
        // by what stands on it and rides behind it: 3 + 3 racks.
        let ahead = if name == "landing-binds" { 6.0 } else { 0.0 };
        let waiting = f64::from(at_end.soiled_waiting);
        let difference = (backlog - waiting) / 20.0;
        assert!(
            (-3.0..=ahead + 1.0).contains(&difference),
            "{name}: {waiting} pieces wait, {backlog} on the sheet"
        );
    }
}

/// Four places, each kept for 45 s of scrubbing and 270 s of contact: 45.7 pots an hour, of 60 that come.
#[test]
fn a_sanitising_compartment_lets_through_what_it_holds_over_its_cycle() {
    let (room, sheet) = room("pots-bind");
    let by_hand = 4.0 * 3600.0 / 315.0;
    let capacity = row(&sheet, "sanitising").capacity_per_hour;
    assert!(near(capacity, by_hand, 1e-9), "{capacity}");
    assert_eq!(sheet.binds.as_ref().unwrap().name, "sanitising");
    let mut service = Service::new(&room);
    let marks = play(&mut service, &[20, 80]);
    let pots = Duty::WashPots as usize;
    let washed = marks[1].units[pots] - marks[0].units[pots];
    assert!(near(washed as f64, by_hand, 1.0), "{washed}");
    assert_eq!(waits_most(&room), (Duty::WashPots, Obstacle::Room));
}

/// Pots beside plates: hands at each station, water, heat and detergent of the sink, and the evening's cost, each within a
/// tenth of what is played. Racks are those of the plates alone.
#[test]
fn pots_are_on_the_sheet_beside_plates() {
    let (room, sheet) = room("pots");
    assert!(near(sheet.peak.racks_all, 36.0, 1e-9));
    let mut service = Service::new(&room);
    service.play(1, 0);
    assert!(service.finished());
    let tally = service.tally();
    // 60 s and 5 s of 30 pots an hour; 4 s of a pot beside 1 s of a plate, in batches of 20 at the most.
    let used = row(&sheet, "wash-pots").utilisation.unwrap();
    assert!(near(used, 65.0 * 30.0 / 3600.0, 1e-9), "{used}");
    for duty in [Duty::WashPots, Duty::Load, Duty::Unload, Duty::PutAway] {
        let on_sheet = sheet.labour.duties.iter().find(|row| row.duty == duty);
        let needed = on_sheet.unwrap().people_needed;
        let worked = tally.work[duty as usize].h() / 2.0;
        assert!(
            near(needed, worked, 0.1 * worked),
            "{duty:?}: {needed} {worked}"
        );
    }
    let mut outcome = Outcome::new(&room);
    service.outcome(&mut outcome);
    for (what, on_sheet, played) in spent(&sheet, &outcome) {
        let agree = match (on_sheet, played) {
            (Some(a), Some(b)) => near(a, b, 0.1 * b.abs().max(0.01)),
            (a, b) => a == b,
        };
        let by_the_wait = what.contains("overtime");
        assert!(agree || by_the_wait, "{what}: {on_sheet:?} {played:?}");
    }
    // By hand: two fillings.
    let heat_kwh = 2.0 * 60.0 * (2.0 * 28.0 + 62.0) * 4186.0 / 3.6e6;
    assert!(near(sheet.spent.water_l.unwrap(), 360.0, 1e-9));
    assert!(near(
        sheet.spent.pot_sink_kwh.unwrap(),
        heat_kwh,
        0.01 * heat_kwh
    ));
    assert!(near(sheet.spent.detergent_kg.unwrap(), 0.24, 1e-9));
}

/// The duty and obstacle with the most minutes of waiting in the evening's first hour.
fn waits_most(room: &Room) -> (Duty, Obstacle) {
    let mut service = Service::new(room);
    service.begin(1, 0);
    while service.step() && service.now() <= Time::HOUR {}
    let obstacles = service.tally().obstacles;
    let all = Duty::ALL
        .into_iter()
        .flat_map(|duty| Obstacle::ALL.map(|obstacle| (duty, obstacle)));
    let minutes =
        |(duty, obstacle): &(Duty, Obstacle)| obstacles[*duty as usize][*obstacle as usize];
    all.max_by_key(minutes).unwrap()
}

#[test]
fn what_binds_on_the_sheet_is_what_work_waits_for() {
    for (name, binds, people, waits) in [
        // A conveyor or landing holds up the racks that wait at the loading stations before it; a hood
        // those that wait in its lane for it to be free.
        (
            "conveyor-binds",
            "conveyor",
            false,
            (Duty::Load, Obstacle::Room),
        ),
        (
            "landing-binds",
            "clean landing",
            false,
            (Duty::Load, Obstacle::Room),
        ),
        (
            "hood-binds",
            "2 machines",
            false,
            (Duty::Hood, Obstacle::Place),
        ),
        (
            "racks-bind",
            "peg racks",
            false,
            (Duty::Load, Obstacle::Rack),
        ),
        (
            "scrape-binds",
            "scrape",
            false,
            (Duty::Scrape, Obstacle::Place),
        ),
        (
            "scrapers-bind",
            "scrape",
            true,
            (Duty::Scrape, Obstacle::Person),
        ),
        (
            "sinks-bind",
            "soak sinks",
            false,
            (Duty::Soak, Obstacle::Place),
        ),
        // Everything waits for the one person; the stage they like least waits most.
        (
            "one-person",
            "scrape + load + unload + put-away",
            true,
            (Duty::Scrape, Obstacle::Person),
        ),
    ] {
        let (room, sheet) = room(name);
        let found = sheet.binds.as_ref().unwrap();
        assert_eq!(
            (found.name.as_str(), found.people),
            (binds, people),
            "{name}"
        );
        assert!(found.utilisation.unwrap() > 1.0, "{name}");
        assert_eq!(waits_most(&room), waits, "{name}");
        let codes: Vec<_> = sheet.findings().iter().map(|f| f.code).collect();
        assert!(codes.contains(&"peak-over-capacity"), "{name}: {codes:?}");
    }
}

#[test]
fn waiting_for_a_fuller_load_is_not_waiting_for_a_place() {
    // A sink's load of 100 comes together in 500 s, a carry's in 200 s; a sink is free again after
    // 290 s, the carrier after 50 s.
    let (room, sheet) = room("loads-gather");
    let used = |name: &str| row(&sheet, name).utilisation.unwrap();
    assert!(near(used("soak sinks"), 290.0 / 500.0, 1e-9));
    assert!(near(used("put-away"), 50.0 / 200.0, 1e-9));
    // To 110 min: the last plates of the evening are too few for a load and do not wait for more.
    let mut service = Service::new(&room);
    service.begin(1, 0);
    while service.step() && service.now() <= Time::MINUTE * 110 {}
    for duty in [Duty::Soak, Duty::PutAway] {
        assert!(service.lines().at(duty).waited_ns > 0);
        let obstacles = service.tally().obstacles[duty as usize];
        assert_eq!(obstacles[Obstacle::Place as usize], 0, "{}", duty.name());
    }
}

#[test]
fn ware_away_from_the_store_is_littles_law_within_a_carry() {
    let (room, sheet) = room("dining");
    let par = &sheet.pars[0];
    // 120 an hour, 30 min on the tables and 1.5 min on the trip, and the way through the room.
    assert!(near(par.used_per_hour, 120.0, 1e-6));
    assert!(near(par.away_min - par.in_room_min, 31.5, 1e-6));
    let away_mean = par.away_mean.expect("a steady use");
    assert!(near(away_mean, par.away_min * 2.0, 1e-6));
    // Steady for longer than a plate is away: the most is the mean.
    assert!(near(par.away_most, away_mean, 0.5), "{}", par.away_most);
    let mut service = Service::new(&room);
    service.play(1, 0);
    let away = f64::from(par.owned - service.tally().wares[0].least_clean);
    // Plates come back 20 at a time and leave 4 at a time, so the most is above the mean by half of
    // each, 12; the sheet has a full batch of 20 at the bench where 4 are scraped (16 s, half a plate)
    // and takes the rack to come together piece by piece, not 4 at a time (1 min, 2 plates).
    let above = away - away_mean;
    assert!(
        (7.0..=14.0).contains(&above),
        "{away} away, {away_mean} on the sheet"
    );
}

#[test]
fn what_is_owned_runs_out_on_the_sheet_when_it_does_in_the_room() {
    let (mut room, sheet) = room("dining");
    let most = sheet.pars[0].away_most;
    for (owned, runs_out) in [(most + 15.0, false), (most - 5.0, true)] {
        room.wares[0].owned = Some(owned as u32);
        let mut service = Service::new(&room);
        service.play(1, 0);
        assert_eq!(
            service.tally().wares[0].short_covers > 0,
            runs_out,
            "{owned}"
        );
    }
}

/// All is washed long before closing; whoever does not stay goes at the end of the shift, and whoever
/// stays has a shift to closing.
#[test]
fn the_roster_costs_on_the_sheet_what_it_costs_in_the_room() {
    let (room, sheet) = room("shifts");
    // Two scrapers of 1 h 40 min at 11.7, an unloader of 2 h at 13.
    assert!(near(sheet.wages.hours, 2.0 * 5.0 / 3.0 + 2.0, 1e-9));
    assert!(near(sheet.wages.cost.unwrap(), 39.0 + 26.0, 1e-9));
    let mut service = Service::new(&room);
    service.play(1, 0);
    assert!(service.finished());
    let mut outcome = Outcome::new(&room);
    service.outcome(&mut outcome);
    assert_eq!(outcome.get(Measure::Overtime), Some(0.0));
    assert_eq!(outcome.get(Measure::LabourHours), Some(sheet.wages.hours));
    assert_eq!(outcome.get(Measure::Cost), sheet.wages.cost);
}
