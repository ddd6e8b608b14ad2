//! What must hold of every evening, in random rooms over the whole model.
//!
//! After every event the recount agrees with the running counts ([`Service::audit`]) and the clock has
//! not run backward. At the end of a finished evening everything is out and everything owned is clean;
//! Little's law holds to the last nanosecond on every line; shares are shares; nothing is NaN. An
//! unfinished evening names what is stuck, and where every duty is held by somebody who stays, without
//! condition, and there is ware for the largest party, an evening always finishes.
//!
//! # Mutations
//!
//! Tried by hand in `src/service`, one at a time, with the test that turned red (P: here, T:
//! `timelines`, D: `dispatch_rule`, C: `common_random_numbers`, S: `soil_in_the_room`, M: `money`):
//!
//! | mutation | red |
//! |---|---|
//! | one rack more than the landing holds; a rack forgotten on it; a rack not back in its stack | T, P |
//! | an exit due only after its moment | the belt never moves on: no test ends |
//! | racks enter without a pitch; drain ignored; time to change racks at a hood lost | T |
//! | conveyor, or idle timer, before the work that ends in the same moment | T |
//! | a stale idle timer believed; no idle timer after a start for nothing | T |
//! | two hoods go for one rack | T |
//! | rework not counted; not sent back | T, C, P |
//! | rework not soaked again; rinsing, soaking, drying, overloading without effect | S |
//! | soaked when fresh rather than dried on; no soak time | S, T |
//! | preference reversed; spot of the last work forgotten | D |
//! | `<=` for `<` of a condition; one more than the places of a bench | D, T, P |
//! | a break lost, or counted in full; pace, overtime, end of shift forgotten | T, P |
//! | walking counted twice | T, P |
//! | take-out ignores a full table; room kept on a table not given back | P |
//! | no draw-down behind the pre-rinse; a crew trip without a place for its tub | T, P |
//! | one tub too few on the floor; the last who ran short served first | T, P |
//! | other streams' ware restocked; drying not from the table; backlog not aged | T, P |
//! | part racks and batches that never look again; a batch one piece smaller | T, P |
//! | luck by order of washing rather than by piece | C |
//! | what is in hand not named when stuck | T |
//! | overtime paid twice, or without its factor; breaks unpaid; everybody at the first row's wage | M |
//!
//! Two stay green because they change nothing: `<=` for `<` between proposals, which are never equal,
//! and letting a late party overtake one that is short, when there is nothing to take.

mod common;

use common::random_room::{Case, any_case};
use proptest::prelude::*;
use proptest::test_runner::{FileFailurePersistence, TestCaseError};
use scullery::room::Room;
use scullery::room::money::CostPart;
use scullery::room::time::Time;
use scullery::scenario::model::Duty;
use scullery::service::Service;
use scullery::service::diary::Happening;
use scullery::service::measure::{
    CostMeasure, Measure, OperatorMeasure, StationMeasure, WareMeasure,
};
use scullery::service::outcome::Outcome;
use scullery::service::series::{MISSING, series_of};
use scullery::service::series::{SeriesInfo, SeriesKind};

type Checked = Result<(), TestCaseError>;

fn config() -> ProptestConfig {
    ProptestConfig {
        cases: 600,
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct(
            "tests/service_properties.proptest-regressions",
        ))),
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn every_evening_keeps_its_books(case in any_case()) {
        let room = Room::of(&case.scenario);
        let mut service = Service::new(&room);
        service.keep_diary();
        for replication in 0..2 {
            play_audited(&mut service, case.seed, replication)?;
            check_the_end(&service, &case)?;
            check_little(&service)?;
            check_people(&service, &room)?;
            check_measures(&mut service, &room)?;
            check_samples(&service, &room)?;
        }
    }
}

/// Plays an evening, recounting after every event.
fn play_audited(service: &mut Service, seed: u64, replication: u64) -> Checked {
    service.begin(seed, replication);
    let mut before = service.now();
    let mut events = 0_u32;
    loop {
        let goes_on = service.step();
        prop_assert!(service.now() >= before, "the clock ran backward");
        before = service.now();
        if let Err(error) = service.audit() {
            return Err(TestCaseError::fail(error));
        }
        events += 1;
        prop_assert!(events < 2_000_000, "an evening without end");
        if !goes_on {
            return Ok(());
        }
    }
}

fn check_the_end(service: &Service, case: &Case) -> Checked {
    if !service.finished() {
        let stuck = service.stuck();
        prop_assert!(!stuck.is_empty(), "unfinished, and nothing is named");
        prop_assert!(!case.must_finish, "stuck: {stuck:?}");
        return Ok(());
    }
    prop_assert!(service.now() >= service.room().hours.closes);
    prop_assert!(service.stuck().is_empty(), "{:?}", service.stuck());
    let tally = service.tally();
    let lines = service.lines();
    let deliveries = service.room().demand.deliveries.iter();
    let brought: usize = deliveries.map(|of| of.pieces as usize).sum();
    let soiled = service.pieces().len() - brought;
    prop_assert_eq!(lines.soiled().taken as usize, soiled);
    prop_assert_eq!(lines.soiled().len, 0);
    for duty in Duty::ALL {
        // An evening may end with a fault that nobody has mended, or a task that no rack waited for.
        if !matches!(duty, Duty::Tend | Duty::SetUp) {
            prop_assert_eq!(lines.at(duty).len, 0, "{} waits", duty.name());
        }
    }
    // What was caught came back once for each time; what was sorted into racks went past.
    let caught: u64 = tally.wares.iter().map(|ware| ware.caught).sum();
    let back = lines.at(Duty::Scrape).taken;
    prop_assert_eq!(back + tally.sorted, soiled as u64 + caught);
    Ok(())
}

/// Units in line times time is the sum of their waits: exact, when the line is empty at the end.
fn check_little(service: &Service) -> Checked {
    let lines = service.lines();
    for duty in Duty::ALL {
        let line = lines.at(duty);
        if line.len == 0 {
            prop_assert_eq!(line.area_ns, line.waited_ns, "{}", duty.name());
        }
    }
    let soiled = lines.soiled();
    if soiled.len == 0 {
        prop_assert_eq!(soiled.area_ns, soiled.waited_ns, "soiled ware");
    }
    Ok(())
}

/// Nobody works while away or on a break, and machine time adds up to the evening.
fn check_people(service: &Service, room: &Room) -> Checked {
    let end = service.now();
    for (name, times) in service.operator_times() {
        prop_assert!(
            times.busy + times.on_break <= times.present,
            "{name}: {times:?}"
        );
        prop_assert!(times.walking <= times.busy, "{name}: {times:?}");
        prop_assert!(times.overtime <= times.present, "{name}: {times:?}");
        prop_assert!(times.overtime >= Time::ZERO && times.on_break >= Time::ZERO);
    }
    for (machine, time) in room.machines.iter().zip(service.machine_times()) {
        let sum = time.whole();
        prop_assert_eq!(sum, end, "{}", &machine.name);
    }
    Ok(())
}

fn check_measures(service: &mut Service, room: &Room) -> Checked {
    let mut outcome = Outcome::new(room);
    service.outcome(&mut outcome);
    for measure in Measure::ALL {
        check_value(
            outcome.get(measure),
            measure.info().unit,
            measure.info().name,
        )?;
    }
    for values in &outcome.wares {
        for measure in WareMeasure::ALL {
            let info = measure.info();
            check_value(values[measure as usize], info.unit, info.name)?;
        }
    }
    for values in &outcome.operators {
        let stretch = values[OperatorMeasure::Stretch as usize];
        prop_assert_eq!(stretch.is_some(), room.rules.is_some());
        prop_assert!(stretch <= values[OperatorMeasure::Present as usize]);
        for measure in OperatorMeasure::ALL {
            let info = measure.info();
            check_value(values[measure as usize], info.unit, info.name)?;
        }
    }
    for values in &outcome.stations {
        for measure in StationMeasure::ALL {
            let info = measure.info();
            check_value(values[measure as usize], info.unit, info.name)?;
        }
    }
    check_cost(&outcome, room)?;
    let of = |measure| outcome.get(measure);
    if let (true, Some(wait)) = (outcome.finished, of(Measure::WaitMean)) {
        // What waits, by Little's law, is what waited and what lay in the soak.
        let each = wait + of(Measure::SoakMean).unwrap_or(0.0);
        let pieces = of(Measure::Pieces).unwrap_or(0.0);
        let area = of(Measure::SoiledWaitingMean).unwrap_or(0.0) * outcome.end_min;
        prop_assert!(
            (area - each * pieces).abs() <= 1e-9 * area.max(1.0),
            "{area} {each} {pieces}"
        );
        prop_assert!(wait >= 0.0, "{wait}");
    }
    let mut again = Outcome::new(room);
    service.outcome(&mut again);
    prop_assert_eq!(outcome, again, "a second reading differs");
    Ok(())
}

/// Parts and shares sum to the whole, operators to the labour; nothing costs anything without prices.
fn check_cost(outcome: &Outcome, room: &Room) -> Checked {
    let cost = CostMeasure::Cost as usize;
    let parts: Vec<f64> = outcome.costs.iter().filter_map(|part| part[cost]).collect();
    prop_assert_eq!(outcome.get(Measure::Cost).is_some(), !parts.is_empty());
    prop_assert!(room.prices.is_some() || parts.is_empty());
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * b.abs();
    for values in &outcome.costs {
        for measure in CostMeasure::ALL {
            let info = measure.info();
            check_value(values[measure as usize], info.unit, info.name)?;
            prop_assert!(values[cost].is_some() || values[measure as usize].is_none());
        }
    }
    if let Some(whole) = outcome.get(Measure::Cost) {
        prop_assert!(near(parts.iter().sum(), whole), "{parts:?}, {whole}");
        let shares = outcome
            .costs
            .iter()
            .filter_map(|part| part[CostMeasure::Share as usize]);
        let shares: f64 = shares.sum();
        prop_assert!(whole <= 0.0 || near(shares, 1.0), "{shares}");
    }
    let of_crew = outcome
        .operators
        .iter()
        .map(|values| values[OperatorMeasure::Cost as usize]);
    let of_crew: Option<f64> = of_crew.sum();
    let labour = outcome.costs[CostPart::Labour as usize][cost];
    prop_assert_eq!(labour, of_crew.filter(|_| !room.crew.is_empty()));
    Ok(())
}

/// Finite; not negative, but for what is counted from opening or closing; shares at most one.
fn check_value(value: Option<f64>, unit: &str, name: &str) -> Checked {
    let Some(value) = value else { return Ok(()) };
    prop_assert!(value.is_finite(), "{name}: {value}");
    prop_assert!(
        value >= 0.0 || name.ends_with("after_close") || name.ends_with("after_open"),
        "{name}: {value}"
    );
    prop_assert!(unit != "1" || value <= 1.0, "{name}: {value}");
    Ok(())
}

fn check_samples(service: &Service, room: &Room) -> Checked {
    let minutes = room.hours.minutes();
    let series = series_of(room);
    let values = service.samples().values();
    prop_assert_eq!(values.len(), series.len() * minutes);
    let rows: Vec<(SeriesKind, &[f32])> = series
        .iter()
        .map(|info| info.kind)
        .zip(values.chunks(minutes))
        .collect();
    for (info, (_, row)) in series.iter().zip(&rows) {
        check_row(info, row)?;
    }
    for minute in 0..minutes {
        check_minute(service, room, &rows, minute)?;
    }
    for (kind, row) in rows.into_iter().filter(|_| service.finished()) {
        if let SeriesKind::CleanStock(ware) = kind {
            let deliveries = room.demand.deliveries.iter();
            let brought = deliveries.filter(|of| of.ware == ware).map(|of| of.pieces);
            let brought: u32 = brought.sum();
            let owned = room.wares[ware].owned.map(|owned| (owned + brought) as f32);
            prop_assert_eq!(row.last().copied(), owned, "{}", &room.wares[ware].name);
        }
    }
    Ok(())
}

/// Finite and not negative; shares at most one; only what is known late, or of tanks that stand empty, may be missing.
fn check_row(info: &SeriesInfo, row: &[f32]) -> Checked {
    let may_miss = matches!(
        info.kind,
        SeriesKind::DriedOnShare
            | SeriesKind::ExpectedRewash
            | SeriesKind::FinalRinse(_)
            | SeriesKind::Wash(_)
            | SeriesKind::TankSoil(_)
    );
    for &value in row {
        prop_assert!(value.is_finite(), "{}: {value}", info.name);
        prop_assert!(
            value >= 0.0 || may_miss && value == MISSING,
            "{}: {value}",
            info.name
        );
        prop_assert!(info.unit != "1" || value <= 1.0, "{}: {value}", info.name);
    }
    Ok(())
}

/// Everybody present, and every machine, is counted in one series.
fn check_minute(
    service: &Service,
    room: &Room,
    rows: &[(SeriesKind, &[f32])],
    minute: usize,
) -> Checked {
    let sum = |wanted: fn(&SeriesKind) -> bool| -> f32 {
        let wanted = rows.iter().filter(|(kind, _)| wanted(kind));
        wanted.map(|(_, row)| row[minute]).sum()
    };
    use SeriesKind::{
        AtDuty, Free, MachinesDown, MachinesEmpty, MachinesHeld, MachinesIdle, MachinesOff,
        MachinesRefilling, MachinesRunning, MachinesStopped, MachinesWaiting, OnBreak, Walking,
    };
    let people = sum(|kind| matches!(kind, AtDuty(_) | Walking | Free | OnBreak));
    prop_assert_eq!(
        people,
        present_at(service, minute),
        "people in minute {}",
        minute
    );
    let machines = sum(|kind| {
        matches!(
            kind,
            MachinesRunning
                | MachinesEmpty
                | MachinesStopped
                | MachinesHeld
                | MachinesRefilling
                | MachinesWaiting
                | MachinesIdle
                | MachinesDown
                | MachinesOff
        )
    });
    let expected = if room.machines.is_empty() { 0.0 } else { 1.0 };
    prop_assert!(
        (machines - expected).abs() < 1e-6,
        "machines in minute {minute}"
    );
    Ok(())
}

/// People present after everything of a minute mark, by the diary.
fn present_at(service: &Service, minute: usize) -> f32 {
    let mark = Time::MINUTE * minute as i64;
    let lines = service.diary().iter().take_while(|line| line.at <= mark);
    lines.fold(0.0, |present, line| match line.what {
        Happening::Comes { .. } => present + 1.0,
        Happening::Goes { .. } => present - 1.0,
        _ => present,
    })
}
