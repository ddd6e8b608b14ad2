//! The scenarios that come with the program: each loads, plays to its end, and says what its first
//! lines promise. A change that makes one of these stories untrue has to change the story as well.

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use scullery::room::Room;
use scullery::scenario::{Loaded, load, load_changed};
use scullery::service::Service;
use scullery::service::measure::{Measure, StationMeasure};
use scullery::service::outcome::Outcome;
use scullery::statistics::interval::Sample;
use scullery::statistics::paired::{Paired, paired};
use scullery::study::evening::{Evening, Finding};
use scullery::study::sheet::Sheet;
use scullery::study::simulate::play;
use scullery::study::{Plan, Stop, Watch, simulate};

/// Replications where a difference has to show.
const MANY: u64 = 200;
/// Replications where it is enough that nothing breaks.
const FEW: u64 = 40;
/// Level of the intervals of differences.
const SURE: f64 = 0.99;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios")
}

fn shipped(name: &str) -> Loaded {
    load(&folder().join(name)).unwrap_or_else(|mistakes| panic!("{name}: {mistakes}"))
}

/// Names of all scenario files, in order.
fn names() -> Vec<String> {
    let files = std::fs::read_dir(folder()).expect("the folder of scenarios");
    let mut names: Vec<String> = files
        .filter_map(|file| file.ok()?.file_name().into_string().ok())
        .filter(|name| name.ends_with(".toml"))
        .collect();
    names.sort();
    names
}

const fn plan(count: u64) -> Plan {
    Plan {
        seed: 1,
        stop: Stop::After(count),
        threads: 0,
    }
}

fn evenings(loaded: &Loaded, count: u64) -> Vec<Outcome> {
    let room = Room::of(&loaded.scenario);
    let played = play(&room, &plan(count), &Watch::default()).expect("threads");
    played.all.into_iter().map(|(_, one)| one).collect()
}

fn study(name: &str, count: u64) -> Evening {
    simulate(&shipped(name), &plan(count), &Watch::default()).expect("threads")
}

/// A measure, evening by evening.
fn column(evenings: &[Outcome], measure: Measure) -> Vec<f64> {
    let value = |one: &Outcome| one.get(measure).unwrap_or_else(|| panic!("no {measure:?}"));
    evenings.iter().map(value).collect()
}

fn mean(evenings: &[Outcome], measure: Measure) -> f64 {
    let values = column(evenings, measure);
    values.iter().sum::<f64>() / values.len() as f64
}

/// Friday as it is, played once for all tests.
fn friday() -> &'static [Outcome] {
    static FRIDAY: OnceLock<Vec<Outcome>> = OnceLock::new();
    FRIDAY.get_or_init(|| evenings(&shipped("friday-rush.toml"), MANY))
}

/// What a variant of Friday changes, on the same evenings.
fn against_friday(variant: &[Outcome], measure: Measure) -> Paired {
    let (changed, as_it_is) = (column(variant, measure), column(friday(), measure));
    paired(&changed, &as_it_is).expect("as many evenings of both")
}

fn is_below_zero(difference: Paired) -> bool {
    let half_width = difference.half_width(SURE).expect("more than one evening");
    difference.mean_difference + half_width < 0.0
}

fn finding<'a>(evening: &'a Evening, code: &str) -> Option<&'a Finding> {
    evening.findings.iter().find(|found| found.code == code)
}

/// Minutes in which work waited at a station for a reason, on average.
fn waited(evening: &Evening, station: &str, reason: StationMeasure) -> f64 {
    let group = evening.groups.iter().find(|group| group.name == station);
    let measures = &group.expect("the station").measures;
    measures[reason as usize].mean.expect("played")
}

#[test]
fn every_shipped_scenario_plays_to_its_end() {
    let names = names();
    assert!(names.len() >= 8, "{names:?}");
    for name in names {
        for (number, one) in evenings(&shipped(&name), FEW).iter().enumerate() {
            assert!(one.finished, "{name}, replication {number}, was cut off");
            let groups = one
                .wares
                .iter()
                .flatten()
                .chain(one.operators.iter().flatten())
                .chain(one.stations.iter().flatten());
            let all = one.measures.iter().chain(groups).flatten();
            for value in all {
                assert!(value.is_finite(), "{name}, replication {number}: {value}");
            }
            assert!(one.get(Measure::Pieces).is_some_and(|pieces| pieces > 0.0));
        }
    }
}

#[test]
fn every_shipped_scenario_has_a_title_of_its_own() {
    let mut titles: Vec<String> = names()
        .iter()
        .map(|name| shipped(name).scenario.title)
        .collect();
    let count = titles.len();
    titles.sort();
    titles.dedup();
    assert_eq!(titles.len(), count);
}

#[test]
fn friday_seats_some_800_covers() {
    let covers = Sample::of(&column(friday(), Measure::Covers)).expect("evenings");
    let half_width = covers.half_width(SURE).expect("more than one");
    assert!((covers.mean - 800.0).abs() < half_width, "{covers:?}");
}

#[test]
fn friday_drowns_its_loader() {
    let evening = study("friday-rush.toml", MANY);
    assert!(mean(friday(), Measure::SoiledWaitingMax) > 1000.0);
    assert!(mean(friday(), Measure::FloorTubsMax) > 10.0);
    let dried = mean(friday(), Measure::DriedOnShare);
    assert!((0.08..0.25).contains(&dried), "{dried}");
    assert!(mean(friday(), Measure::CrewOutAfterClose) > 45.0);
    let binds = finding(&evening, "binds").expect("something binds");
    assert!(binds.evidence.contains("`scrape`"), "{}", binds.evidence);
    assert!(
        waited(&evening, "scrape", StationMeasure::NoPerson) > 180.0,
        "for lack of a person"
    );
    assert!(finding(&evening, "floor-tubs").is_some());
    assert!(finding(&evening, "ware-short").is_some());
    assert!(finding(&evening, "machine-has-room").is_some());
}

#[test]
fn a_second_loader_saves_friday() {
    let second = evenings(&shipped("second-loader-from-six.toml"), MANY);
    assert_eq!(
        column(&second, Measure::Covers),
        column(friday(), Measure::Covers),
        "the same guests, evening by evening"
    );
    for measure in [
        Measure::WaitMean,
        Measure::WaitP95,
        Measure::DriedOnShare,
        Measure::FloorTubsMax,
        Measure::CrewOutAfterClose,
    ] {
        let difference = against_friday(&second, measure);
        assert!(is_below_zero(difference), "{measure:?}: {difference:?}");
    }
    let (with, without) = (
        mean(&second, Measure::WaitMean),
        mean(friday(), Measure::WaitMean),
    );
    assert!(with < 0.5 * without, "{with} of {without} min");
    assert!(mean(&second, Measure::FloorTubsMax) < 1.0);
}

/// Called in when the tubs stand on the floor: what ran short before stays short, but most of the drying and
/// the overtime are saved, for less than nothing.
#[test]
fn a_second_loader_who_comes_late_saves_what_is_left_to_save() {
    let second = evenings(&shipped("second-loader.toml"), MANY);
    for measure in [Measure::DriedOnShare, Measure::CrewOutAfterClose] {
        let (with, without) = (mean(&second, measure), mean(friday(), measure));
        assert!(with < 0.5 * without, "{measure:?}: {with} of {without}");
    }
    let short = [
        mean(&second, Measure::ShortCovers),
        mean(friday(), Measure::ShortCovers),
    ];
    assert!(short[0] > 0.8 * short[1], "{short:?}");
    let cost = against_friday(&second, Measure::Cost);
    assert!(is_below_zero(cost), "{cost:?}");
}

/// No roster that comes with the program leaves anybody without a break, and hardly an evening does.
#[test]
fn every_shipped_crew_has_its_breaks() {
    for name in names() {
        let loaded = shipped(&name);
        assert!(loaded.scenario.rules.is_some(), "{name} has no rules");
        let findings = Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario)).findings();
        let planned = findings.iter().find(|found| found.code == "rules-roster");
        assert_eq!(planned, None, "{name}");
        let broken = mean(&evenings(&loaded, FEW), Measure::RulesBroken);
        assert!(broken <= 0.1, "{name}: {broken}");
    }
}

#[test]
fn a_longer_conveyor_washes_better_and_saves_no_time() {
    let longer = evenings(&shipped("longer-conveyor.toml"), MANY);
    let wait = against_friday(&longer, Measure::WaitMean);
    let before = mean(friday(), Measure::WaitMean);
    assert!(
        wait.mean_difference.abs() < 0.1 * before,
        "{wait:?} of {before} min"
    );
    let washed_again = against_friday(&longer, Measure::RewashedShare);
    assert!(is_below_zero(washed_again), "{washed_again:?}");
    let sent_out = against_friday(&longer, Measure::SentOutSoiledShare);
    assert!(is_below_zero(sent_out), "{sent_out:?}");
}

#[test]
fn a_banquet_waits_for_the_drop_off() {
    let evening = study("banquet.toml", FEW);
    let binds = finding(&evening, "binds").expect("something binds");
    assert!(
        binds.evidence.contains("`clear-down`"),
        "{}",
        binds.evidence
    );
    assert!(waited(&evening, "clear-down", StationMeasure::NoRoom) > 20.0);
    let evenings = evenings(&shipped("banquet.toml"), FEW);
    // A banquet knows its number, and nothing may stand in the corridor.
    assert!(
        column(&evenings, Measure::Covers)
            .iter()
            .all(|n| *n == 300.0)
    );
    assert_eq!(mean(&evenings, Measure::FloorTubsMax), 0.0);
}

#[test]
fn a_canteen_fills_its_machines() {
    let evening = study("canteen-lunch.toml", MANY);
    let covers = evening.measures[Measure::Covers as usize].mean;
    assert!(covers.is_some_and(|covers| (covers - 600.0).abs() < 12.0));
    assert!(finding(&evening, "machine-has-room").is_none());
    // The hoods are what racks wait for, though never for long: lunch keeps moving.
    let hood = waited(&evening, "hood", StationMeasure::NoPlace);
    assert!(hood > 60.0, "{hood} min");
    for station in ["scrape", "pre-rinse", "soak", "load", "unload", "put-away"] {
        for reason in [
            StationMeasure::NoPerson,
            StationMeasure::NoPlace,
            StationMeasure::NoRoom,
        ] {
            assert!(waited(&evening, station, reason) < hood, "{station}");
        }
    }
    assert!(finding(&evening, "binds").is_none());
}

#[test]
fn a_corner_cafe_runs_low_on_cups() {
    let cafe = shipped("corner-cafe.toml");
    assert_eq!(cafe.scenario.roster.iter().map(|r| r.count).sum::<u32>(), 1);
    let room = Room::of(&cafe.scenario);
    assert!((room.rated_racks_per_hour() - 58.06).abs() < 0.01);
    let evening = study("corner-cafe.toml", MANY);
    let short = finding(&evening, "ware-short").expect("cups run short");
    assert!(short.evidence.starts_with("cup "), "{}", short.evidence);
}

#[test]
fn tuesday_replays_the_till() {
    let path = folder().join("tuesday-log.csv");
    let mut log = csv::Reader::from_path(path).expect("the log");
    let rows: Vec<csv::StringRecord> = log.records().map(|row| row.expect("a row")).collect();
    let covers: f64 = rows
        .iter()
        .map(|row| row[1].parse::<f64>().expect("covers"))
        .sum();
    assert!(
        rows.iter().any(|row| row[2].is_empty()),
        "forgotten leavings"
    );
    let tuesday = evenings(&shipped("tuesday-log.toml"), FEW);
    assert!(
        column(&tuesday, Measure::Covers)
            .iter()
            .all(|seated| *seated == covers)
    );
    // A quiet evening: nothing on the floor, hardly anything dried on, nobody short.
    assert_eq!(mean(&tuesday, Measure::FloorTubsMax), 0.0);
    assert_eq!(mean(&tuesday, Measure::ShortCovers), 0.0);
    assert!(mean(&tuesday, Measure::DriedOnShare) < 0.02);
}

#[test]
fn a_central_kitchen_counts_no_covers() {
    let kitchen = shipped("central-kitchen.toml");
    let backlog: u32 = kitchen.scenario.backlog.iter().map(|row| row.pieces).sum();
    let logged = kitchen
        .scenario
        .soiled_log
        .as_ref()
        .expect("a log")
        .rows
        .len();
    assert!(backlog > 0 && logged > 0);
    let evenings = evenings(&kitchen, FEW);
    assert!(
        evenings
            .iter()
            .all(|one| one.get(Measure::Covers).is_none())
    );
    assert!(mean(&evenings, Measure::Pieces) > 5000.0);
}

/// What the page of the scenarios says of a change of water on a Friday as it runs, on 80 evenings: it costs more where
/// 50 or 10 g of soil in a litre halve the wash, and not where 2 g do; from 5 g/L on ware comes out cleaner for it.
#[test]
fn from_which_penalty_a_change_of_water_pays() {
    let path = Path::new("scenarios/friday-as-it-runs.toml");
    let evenings = |halves: &str, every: &str| {
        let changes = format!(
            "[[machine]]\nname = \"conveyor\"\nsoil_halves_wash = \"{halves}\"\nwater_change = {{ every = \"{every}\" }}\n"
        );
        let loaded = load_changed(path, &changes).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let room = Room::of(&loaded.scenario);
        let mut service = Service::new(&room);
        let mut outcome = Outcome::new(&room);
        let mut values = [Vec::new(), Vec::new()];
        for replication in 0..80 {
            service.play(1, replication);
            service.outcome(&mut outcome);
            for (values, measure) in values
                .iter_mut()
                .zip([Measure::Cost, Measure::RewashedShare])
            {
                values.push(outcome.get(measure).expect("it is measured"));
            }
        }
        values
    };
    // What changing the water every 3 h instead of never does to cost and rewash: below 0, above it, or by chance.
    let does = |halves: &str| {
        let (changed, never) = (evenings(halves, "3 h"), evenings(halves, "24 h"));
        let pairs = changed.iter().zip(&never);
        let sides = pairs.map(|(with, without)| {
            let paired = paired(with, without).expect("as many");
            let half_width = paired.half_width(0.95).expect("they vary");
            if paired.mean_difference.abs() < half_width {
                0
            } else if paired.mean_difference < 0.0 {
                -1
            } else {
                1
            }
        });
        sides.collect::<Vec<i32>>()
    };
    assert_eq!(does("50 g/L")[0], 1);
    assert_eq!(does("10 g/L")[0], 1);
    assert_eq!(does("5 g/L")[1], -1);
    assert_ne!(does("2 g/L")[0], 1);
}
