//! What good files become: every key reaches the model, variants change what they give.

use std::path::Path;

use scullery::scenario::fields::{self, Unset};
use scullery::scenario::model::{MachineKind, Places, Shape};
use scullery::scenario::{self, Loaded};

fn load(path: &str) -> Loaded {
    scenario::load(Path::new(path)).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

/// Paths as in the table: `machine[hood].cycle` is `machine[].cycle`.
fn in_the_table(path: &str) -> String {
    let mut plain = String::new();
    let mut inside = false;
    for c in path.chars() {
        match c {
            '[' => inside = true,
            ']' => {
                inside = false;
                plain.push_str("[]");
            }
            _ if inside => {}
            _ => plain.push(c),
        }
    }
    plain
}

#[test]
fn every_key_of_the_table_can_be_given() {
    let files = ["tests/everything.toml", "tests/everything-logged.toml"].map(load);
    let given: Vec<String> = files
        .iter()
        .flat_map(|file| file.origins.paths())
        .map(in_the_table)
        .collect();
    for field in fields::all() {
        assert!(
            given.iter().any(|path| path == field.path),
            "{} is not given",
            field.path
        );
    }
    for key in ["mean", "cv", "distribution", "observations"] {
        assert!(
            given.iter().any(|path| path.ends_with(&format!(".{key}"))),
            "{key}"
        );
    }
}

#[test]
fn what_is_given_is_what_comes_out() {
    let file = load("tests/everything.toml");
    let s = &file.scenario;
    assert_eq!(s.service.closes_s, 91_800.0);
    assert_eq!(s.roster[0].breaks[1].from_s, 86_400.0);
    assert!((s.air.temperature_c - 235.0 / 9.0).abs() < 1e-12);
    assert_eq!(s.air.speed_m_per_s, 0.1524);
    assert_eq!(s.soil[0].film_m, 0.000_15);
    assert_eq!(s.menu[0].laid, 0.3);
    assert_eq!(s.drop_off.tubs, Some(Places::LengthM(3.0)));
    assert_eq!(s.machine[1].landing, Places::Count(3));
    let trip = &s.clear_down.as_ref().unwrap().trip;
    assert_eq!(
        (trip.shape, trip.observations_s.len()),
        (Shape::Empirical, 3)
    );
    assert!((trip.mean_s - 9.5 / 3.0).abs() < 1e-12);
    assert_eq!(s.soiled_log.as_ref().unwrap().rows[2].time_s, 87_600.0);
    let MachineKind::Hood {
        position,
        ref cycle,
        ..
    } = s.machine[1].kind
    else {
        panic!("a hood")
    };
    assert_eq!(
        (position.x_m, cycle.mean_s, cycle.shape),
        (4.0, 58.0, Shape::Lognormal)
    );
    assert_eq!(s.machine[1].contact_time_s, 58.0);
}

#[test]
fn a_variant_changes_what_it_gives_and_keeps_the_rest() {
    let (base, file) = (
        load("tests/everything.toml"),
        load("tests/everything-logged.toml"),
    );
    let (s, b) = (&file.scenario, &base.scenario);
    let guests = s.guests.as_ref().unwrap();
    assert_eq!(guests.log.len(), 2);
    assert_eq!((guests.log[1].covers, guests.log[1].left_at_s), (4, None));
    assert_eq!((guests.dwell.mean_s, guests.dwell.cv), (7200.0, 0.3));
    assert_eq!(guests.dwell.shape, Shape::Gamma);
    assert_eq!(s.ware, b.ware);
    assert!(s.soiled.is_empty() && s.pre_rinse.is_none());
    let names: Vec<&str> = s
        .machine
        .iter()
        .map(|machine| machine.name.as_str())
        .collect();
    assert_eq!(names, ["hood", "slow"]);
    assert_eq!(s.roster[0].pace, 1.1);
    assert_eq!(file.name, "everything-logged");
    assert_eq!(file.files.len(), 5);
}

#[test]
fn speed_and_contact_time_follow_from_one_another() {
    let machines = load("tests/everything-logged.toml").scenario.machine;
    let speed = |at: usize| match machines[at].kind {
        MachineKind::RackConveyor { speed_m_per_s, .. } => speed_m_per_s,
        MachineKind::Hood { .. } => panic!("a conveyor"),
    };
    assert_eq!((speed(0), machines[0].contact_time_s), (1.0 / 60.0, 120.0));
    assert_eq!((speed(1), machines[1].contact_time_s), (3.0 / 90.0, 90.0));
}

#[test]
fn origins_tell_the_file_and_the_line() {
    let file = load("tests/everything-logged.toml");
    let line = |path: &str| {
        file.origins
            .line(path)
            .map(|(f, l)| (f.display().to_string(), l))
    };
    let (base, own) = (
        "tests/everything.toml".to_string(),
        "tests/everything-logged.toml".into(),
    );
    assert_eq!(line("service.opens"), Some((base.clone(), 6)));
    assert_eq!(line("roster[loader].pace"), Some((base, 187)));
    assert_eq!(line("machine[hood].speed"), Some((own, 25)));
    assert_eq!(line("machine[slow].speed"), None);
    assert!(!file.origins.is_given("machine[conveyor].speed"));
}

#[test]
fn defaults_are_those_of_the_table() {
    let file = load("tests/plain-line.toml");
    let model = serde_json::to_value(&file.scenario).unwrap();
    let mut compared = 0;
    for field in fields::all() {
        let (Some((list, key)), Unset::Whole(default)) =
            (field.path.split_once("[]."), field.unset)
        else {
            continue;
        };
        if let Some(rows) = model[list].as_array().filter(|_| !key.contains('.')) {
            for row in rows.iter().filter(|row| {
                let name = row["name"].as_str().unwrap_or_default();
                !file.origins.is_given(&format!("{list}[{name}].{key}"))
            }) {
                assert_eq!(row[key], default, "{}", field.path);
                compared += 1;
            }
        }
    }
    assert!(compared > 2);
}

/// Its variation is that of the whole unit, seconds per piece included.
#[test]
fn variation_beside_a_mean_of_nothing_is_kept() {
    let changes =
        "[scrape]\nper_unit = { mean = \"0 s\", cv = 1, distribution = \"exponential\" }\n";
    let changed = scenario::load_changed(Path::new("tests/two-people.toml"), changes)
        .unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let scrape = changed.scenario.scrape.expect("scraping");
    let given = (scrape.per_unit.mean_s, scrape.per_unit.shape);
    assert_eq!(given, (0.0, Shape::Exponential));
}
