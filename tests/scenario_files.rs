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
    let prices = s.prices.as_ref().unwrap();
    assert_eq!(
        (prices.overtime_factor, prices.sewer_per_m3),
        (1.25, Some(2.0))
    );
    let wages: Vec<_> = s.roster.iter().map(|row| row.wage_per_h).collect();
    assert_eq!(wages, [Some(14.5), None, None]);
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
    assert_eq!(s.ware, b.ware[..b.ware.len() - 1]);
    assert!(s.soiled.is_empty() && s.pre_rinse.is_none());
    let names: Vec<&str> = s
        .machine
        .iter()
        .map(|machine| machine.name.as_str())
        .collect();
    assert_eq!(names, ["hood", "slow"]);
    assert_eq!(s.roster[0].pace, 1.1);
    assert_eq!(file.name, "everything-logged");
    assert_eq!(file.files.len(), 6);
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

/// The plain conveyor of a good file with these keys.
fn conveyor(keys: &str) -> scullery::scenario::model::Machine {
    let changes = format!("[[machine]]\nname = \"conveyor\"\n{keys}\n");
    let changed = scenario::load_changed(Path::new("scenarios/friday-rush.toml"), &changes);
    let changed = changed.unwrap_or_else(|mistakes| panic!("{mistakes}"));
    changed.scenario.machine[0].clone()
}

fn speed_m_per_s(keys: &str) -> f64 {
    match conveyor(keys).kind {
        MachineKind::RackConveyor { speed_m_per_s, .. } => speed_m_per_s,
        MachineKind::Hood { .. } => panic!("a conveyor"),
    }
}

/// Whatever takes longest sets the pace: 1 m in 40 s, 0.5 m in 10 s, and all of it in the time of the whole.
#[test]
fn without_a_speed_the_belt_keeps_every_contact_time() {
    let zones = "tunnel = \"2 m\"\nspeed = \"@\"\nzones = [
        { name = \"wash\", kind = \"wash\", length = \"1 m\", contact_time = \"40 s\" },
        { name = \"rinse\", kind = \"final-rinse\", length = \"0.5 m\", contact_time = \"10 s\" },
        { name = \"dry\", kind = \"blow-dry\", length = \"0.5 m\" },
    ]";
    // The shipped conveyor gives its speed and contact time; a machine of its own need not.
    let own = |more: &str| {
        let keys = zones.replace("speed = \"@\"", more);
        let new =
            format!("remove = true\n[[machine]]\nname = \"new\"\nkind = \"rack-conveyor\"\n{keys}");
        (speed_m_per_s(&new), conveyor(&new).contact_time_s)
    };
    assert_eq!(own(""), (0.025, 50.0));
    assert_eq!(own("contact_time = \"75 s\""), (0.02, 75.0));
    assert_eq!(own("speed = \"3 m/min\""), (0.05, 50.0));
}

/// Ware from a chemical rinse is cooler: a longer landing and drain, unless they are given.
#[test]
fn behind_a_chemical_rinse_ware_dries_longer() {
    let new =
        "remove = true\n[[machine]]\nname = \"new\"\nkind = \"rack-conveyor\"\ntunnel = \"2 m\"\n";
    let of = |more: &str| {
        let machine = conveyor(&format!("{new}{more}"));
        (machine.landing, machine.drain_s)
    };
    assert_eq!(of(""), (Places::LengthM(1.524), 30.0));
    let chemical = "sanitising = \"chemical\"\n";
    assert_eq!(of(chemical), (Places::LengthM(2.54), 50.0));
    let given = format!("{chemical}landing = 2\ndrain = \"9 s\"");
    assert_eq!(of(&given), (Places::Count(2), 9.0));
}

/// A variant can change one zone by its name.
#[test]
fn a_zone_is_a_row_of_its_own() {
    let folder = tempfile::tempdir().unwrap();
    let (base, variant) = (
        folder.path().join("base.toml"),
        folder.path().join("variant.toml"),
    );
    let friday = std::fs::canonicalize("scenarios/friday-rush.toml").unwrap();
    let zones = "zones = [
        { name = \"wash\", kind = \"wash\", length = \"0.4 m\" },
        { name = \"rinse\", kind = \"final-rinse\", length = \"0.2 m\" },
    ]";
    let machine = "[[machine]]\nname = \"conveyor\"\n";
    std::fs::write(&base, format!("based_on = {friday:?}\n{machine}{zones}\n")).unwrap();
    let longer = "zones = [{ name = \"wash\", length = \"0.5 m\" }]";
    std::fs::write(
        &variant,
        format!("based_on = \"base.toml\"\n{machine}{longer}\n"),
    )
    .unwrap();
    let machine = &scenario::load(&variant)
        .unwrap_or_else(|m| panic!("{m}"))
        .scenario
        .machine[0];
    let MachineKind::RackConveyor { zones, .. } = &machine.kind else {
        panic!("a conveyor")
    };
    let lengths: Vec<(&str, f64)> = zones
        .iter()
        .map(|z| (z.name.as_str(), z.length_m))
        .collect();
    assert_eq!(
        lengths,
        [("wash", 0.5), ("final rinse", 0.3556), ("rinse", 0.2)]
    );
}

#[test]
fn origins_name_the_file_and_the_line() {
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
    assert_eq!(line("service.opens"), Some((base.clone(), 9)));
    let text = std::fs::read_to_string("tests/everything.toml").unwrap();
    let pace = text.lines().position(|line| line == "pace = 1.1").unwrap() + 1;
    assert_eq!(line("roster[loader].pace"), Some((base, pace)));
    assert_eq!(line("machine[hood].speed"), Some((own, 30)));
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

/// Every fault that the design lists is in the library, may be changed, and may be switched off.
#[test]
fn the_library_of_faults_is_whole() {
    let names = [
        "access door open",
        "breaker or fuse",
        "idle timer run out",
        "blocked nozzle or missing end cap",
        "drain not shut or obstructed",
        "overflow cap off",
        "worn drain seal",
        "low water cutting the heat",
        "debris on the level protector",
        "detergent out",
        "rack jam",
    ];
    let path = Path::new("scenarios/friday-as-it-runs.toml");
    let of = |changes: &str| {
        let loaded = scenario::load_changed(path, changes);
        let loaded = loaded.unwrap_or_else(|mistakes| panic!("{mistakes}"));
        loaded.scenario.fault
    };
    let all = of("note = \"\"\n");
    let found: Vec<&str> = all.iter().map(|fault| fault.name.as_str()).collect();
    assert_eq!(found, names);
    for name in names {
        let changed = of(&format!("[[fault]]\nname = \"{name}\"\nevery = \"7 h\"\n"));
        let row = changed.iter().find(|fault| fault.name == name);
        assert_eq!(
            row.map(|fault| fault.every_s),
            Some(Some(25_200.0)),
            "{name}"
        );
        let without = of(&format!("[[fault]]\nname = \"{name}\"\nremove = true\n"));
        assert_eq!(without.len(), all.len() - 1, "{name}");
    }
    assert!(of("fault = []\n").is_empty());
}

/// The longest service there is: its end shows the same on the clock as the earliest moment of the evening.
#[test]
fn a_service_of_exactly_eighteen_hours_is_one() {
    let hours = |closes: &str| {
        let changes = format!(
            "[service]\nopens = \"06:00\"\ncloses = \"{closes}\"\n\
             [[soiled]]\nname = \"plates\"\nfrom = \"06:00\"\nto = \"{closes}\"\n\
             [[roster]]\nname = \"loader\"\nfrom = \"06:00\"\nto = \"{closes}\"\n"
        );
        scullery::scenario::load_changed(Path::new("tests/plain-line.toml"), &changes)
    };
    for (closes, closes_s) in [
        ("23:59", 86_340.0),
        ("24:00", 86_400.0),
        ("00:00", 86_400.0),
    ] {
        let scenario = hours(closes)
            .unwrap_or_else(|mistakes| panic!("{mistakes}"))
            .scenario;
        assert_eq!(scenario.service.closes_s, closes_s, "{closes}");
        assert_eq!(scenario.soiled[0].to_s, closes_s, "{closes}");
        assert_eq!(scenario.roster[0].to_s, closes_s, "{closes}");
    }
    let longer = hours("00:01").expect_err("it is too long").to_string();
    assert!(longer.contains("at most 18 h"), "{longer}");
}
