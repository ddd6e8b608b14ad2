//! The hand-calculation sheet against the simulated means, in every shipped scenario.
//!
//! Six figures of an evening: racks, water, energy, detergent, labour and cost. Each has to be within a tenth of the
//! mean of some hundred evenings. The table stands in `tests/sheet_shipped.txt` (`UPDATE_EXPECTED=1` writes it).
//! And the sheet never says two things of the same racks.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use scullery::room::Room;
use scullery::scenario::model::Duty;
use scullery::scenario::{Loaded, load, load_changed};
use scullery::service::measure::Measure;
use scullery::service::outcome::Outcome;
use scullery::study::sheet::Sheet;
use scullery::study::simulate::play;
use scullery::study::{Plan, Watch, simulate};

/// Evenings of each scenario.
const EVENINGS: u64 = 200;
/// How far the sheet may be off, as a share of the mean.
const TENTH: f64 = 0.1;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every scenario file, by name.
fn shipped() -> Vec<(String, Loaded)> {
    let files = std::fs::read_dir(root().join("scenarios")).expect("the folder of scenarios");
    let paths = files.filter_map(|file| Some(file.ok()?.path()));
    let mut paths: Vec<PathBuf> = paths
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .collect();
    paths.sort();
    let of = |path: PathBuf| {
        let name = path.file_stem().expect("a name").to_string_lossy();
        let loaded = load(&path).unwrap_or_else(|mistakes| panic!("{name}: {mistakes}"));
        (name.into_owned(), loaded)
    };
    paths.into_iter().map(of).collect()
}

/// A figure with its name, its digits, what the sheet says and what is simulated.
struct Figure {
    name: &'static str,
    digits: usize,
    on_sheet: Option<f64>,
    simulated: Option<f64>,
}

fn figures(loaded: &Loaded) -> Vec<Figure> {
    let room = Room::of(&loaded.scenario);
    let sheet = Sheet::of(&loaded.scenario, &room);
    let played = play(&room, &Plan::new(EVENINGS), &Watch::default()).expect("threads");
    let mean = |measure| {
        let values = played
            .all
            .iter()
            .map(|(_, one): &(u64, Outcome)| one.get(measure));
        let sum: Option<f64> = values.sum();
        sum.map(|sum| sum / played.all.len() as f64)
    };
    let spent = &sheet.spent;
    let racks = Some(sheet.peak.racks_all_evening);
    let rows = [
        ("racks", 0, racks, Measure::Racks),
        ("water, L", 0, spent.water_l, Measure::Water),
        ("energy, kWh", 1, spent.energy_kwh, Measure::Energy),
        ("detergent, kg", 2, spent.detergent_kg, Measure::Detergent),
        ("labour, h", 1, spent.labour_h, Measure::LabourHours),
        ("cost, money", 0, spent.cost, Measure::Cost),
    ];
    let figure = |(name, digits, on_sheet, measure)| Figure {
        name,
        digits,
        on_sheet,
        simulated: mean(measure),
    };
    rows.into_iter().map(figure).collect()
}

#[test]
fn six_figures_are_within_a_tenth_of_the_simulated_means() {
    let mut page = format!("Means of {EVENINGS} evenings, seed 1.\n");
    let mut wrong = Vec::new();
    let mut held = 0;
    for (name, loaded) in shipped() {
        let _ = writeln!(page, "\n{name:<24} on the sheet  simulated  ratio");
        for figure in figures(&loaded) {
            // What neither has is no figure of this scenario; where one has it, so has the other.
            let Some((on_sheet, simulated)) = figure.on_sheet.zip(figure.simulated) else {
                if figure.on_sheet.is_some() != figure.simulated.is_some() {
                    wrong.push(format!("{name}: {} on one side only", figure.name));
                }
                continue;
            };
            let (ratio, digits) = (on_sheet / simulated, figure.digits);
            let _ = writeln!(
                page,
                "  {:<22} {on_sheet:>12.digits$} {simulated:>10.digits$} {ratio:>6.2}",
                figure.name
            );
            held += 1;
            if (ratio - 1.0).abs() > TENTH {
                wrong.push(format!(
                    "{name}: {} is {ratio:.3} of what is simulated",
                    figure.name
                ));
            }
        }
    }
    let expected = root().join("tests/sheet_shipped.txt");
    if std::env::var_os("UPDATE_EXPECTED").is_some() {
        std::fs::write(&expected, &page).expect("the page");
    }
    assert!(wrong.is_empty(), "{wrong:#?}\n{page}");
    assert!(held >= 40, "{held} figures held against each other");
    let known = std::fs::read_to_string(&expected).expect("the page");
    assert_eq!(page, known, "UPDATE_EXPECTED=1 writes it again");
}

/// Stations, machines and the table of the peak are about the same racks, and no more are sent than machines take.
#[test]
fn sentence_and_tables_speak_of_the_same_racks() {
    for (name, loaded) in shipped() {
        let sheet = Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario));
        let racks = sheet.peak.racks_all;
        let in_racks = sheet.stations.iter().filter(|row| row.unit == "racks");
        // Attended hoods have their share of them, racks of one kind are rows of their own.
        let of_all =
            in_racks.filter(|row| ["load", "unload", "clean landing"].contains(&row.name.as_str()));
        for row in of_all {
            assert!(
                (row.units_per_hour - racks).abs() < 1e-9,
                "{name}: {}",
                row.name
            );
        }
        let by_kind: f64 = sheet.peak.racks.iter().map(|kind| kind.peak).sum();
        assert!((by_kind - racks).abs() < 1e-9, "{name}");
        assert!(sheet.peak.racks_if_full <= racks * (1.0 + 1e-9), "{name}");
        let rated: f64 = sheet
            .machines
            .iter()
            .map(|one| one.rated_racks_per_hour)
            .sum();
        let most = sheet.peak.racks_if_full.max(rated);
        assert!(racks <= most * (1.0 + 1e-6), "{name}: {racks} of {rated}");
    }
}

/// The ends are those that are published, whatever the scenario multiplies its own rate by, in the sheet and in the advice.
#[test]
fn the_ends_of_drying_are_the_published_ones() {
    let (name, doubled) = shipped()
        .into_iter()
        .find(|(name, _)| name == "friday-rush")
        .expect("Friday");
    let variant = |air: &str| {
        let file = root().join(format!("scenarios/{name}.toml"));
        let loaded = load_changed(&file, &format!("[air]\n{air}\n"));
        loaded.unwrap_or_else(|mistakes| panic!("{mistakes}"))
    };
    let plain = variant("drying_multiplier = 1.0");
    assert_eq!(doubled.scenario.air.drying_multiplier, 2.0);
    let sheet = |loaded: &Loaded| Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario));
    let (doubled_sheet, plain_sheet) = (sheet(&doubled), sheet(&plain));
    let pairs = doubled_sheet
        .drying
        .soils
        .iter()
        .zip(&plain_sheet.drying.soils);
    for (doubled, plain) in pairs {
        assert_eq!(
            (doubled.wet_bulb_min, doubled.air_min),
            (plain.wet_bulb_min, plain.air_min)
        );
        // Plain at wet bulb is the slow end itself; doubled dries in half that.
        let near = |a: Option<f64>, b: Option<f64>| (a.unwrap() / b.unwrap() - 1.0).abs() < 1e-9;
        assert!(near(plain.dries_in_min, plain.wet_bulb_min));
        assert!(near(
            doubled.dries_in_min.map(|min| 2.0 * min),
            doubled.wet_bulb_min
        ));
        assert!(doubled.air_min < doubled.wet_bulb_min);
    }
    let said_of = |loaded: &Loaded| {
        let evening = simulate(loaded, &Plan::new(10), &Watch::default()).expect("threads");
        let found = evening
            .findings
            .iter()
            .find(|found| found.code == "dried-on");
        found.expect("ware dries on").evidence.clone()
    };
    let said = said_of(&doubled);
    let both = "try `air.surface = \"wet-bulb\"` and `air.surface = \"air\"` too, with `air.drying_multiplier = 1`";
    assert!(said.contains(both), "{said}");
    // What is set already is not advised.
    let said = said_of(&variant("surface = \"air\"\ndrying_multiplier = 1.0"));
    let other = "try `air.surface = \"wet-bulb\"` too, with `air.drying_multiplier = 1`";
    assert!(said.contains(other), "{said}");
}

/// Who unloads after 21:00? The unloader has gone, and ware comes until nearly 23:00.
#[test]
fn a_gap_in_the_cover_of_a_duty_is_seen() {
    let gaps = |changes: &str| {
        let file = root().join("scenarios/friday-rush.toml");
        let loaded = load_changed(&file, changes).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let sheet = Sheet::of(&loaded.scenario, &Room::of(&loaded.scenario));
        let row = |clock_h: f64| {
            let found = sheet.cover.half_hours.iter();
            let mut found = found.filter(|row| row.from_s == clock_h * 3600.0);
            let row = found.next().expect("a row").clone();
            row.duties
                .into_iter()
                .find(|work| work.duty == Duty::Unload)
                .expect("a duty")
        };
        let codes = sheet.findings();
        let codes = codes.iter().filter(|found| found.code == "gap-in-cover");
        let said: Vec<String> = codes.map(|found| found.evidence.clone()).collect();
        (row(20.5), row(21.0), said)
    };
    let (_, late, said) = gaps("");
    assert!(late.people_there == 1.0 && said.is_empty(), "{said:?}");
    let goes = "[[roster]]\nname = \"unloader\"\nto = \"21:00\"\nbreaks = []\nstays = false\n";
    let (early, late, said) = gaps(goes);
    assert_eq!((early.people_there, late.people_there), (1.0, 0.0));
    assert!(late.people_needed > 0.5);
    let unload = said.iter().find(|said| said.contains("duty unload"));
    assert!(
        unload.is_some_and(|said| said.contains("from 21:00 to 23:")),
        "{said:?}"
    );
}
