//! Properties that hold for every row of the table of fields.

use std::fs;
use std::path::PathBuf;

use proptest::prelude::*;
use scullery::scenario::fields::{self, Bounds, Field, Kind, Quantity};
use scullery::scenario::units::{self, Unit};
use scullery::scenario::{self, Loaded, Mistakes};
use scullery::study::design;

/// The good scenario that every variant here is based on.
fn good() -> PathBuf {
    fs::canonicalize("tests/bad/base/good.toml").unwrap()
}

/// Loads a variant that gives one key, written by its path in the table.
fn load_with(field: &Field, value: &str) -> Result<Loaded, Mistakes> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("variant.toml");
    let text = format!("based_on = {:?}\n{}", good(), assignment(field, value));
    fs::write(&path, text).unwrap();
    scenario::load(&path)
}

/// TOML that gives one key: a row of the good scenario, the only row of a list, or a key of a table.
fn assignment(field: &Field, value: &str) -> String {
    let Some((list, key)) = field.path.split_once("[].") else {
        return format!("{} = {value}\n", field.path);
    };
    if let Some(key) = key.strip_prefix("zones[].") {
        let rest = [("kind", "\"wash\""), ("length", "\"0.2 m\"")];
        let rest: String = rest
            .iter()
            .filter(|(other, _)| *other != key)
            .map(|(other, value)| format!(", {other} = {value}"))
            .collect();
        return format!(
            "[[machine]]\nname = \"conveyor\"\nzones = [{{ name = \"new\", {key} = {value}{rest} }}]\n"
        );
    }
    let name = match (list, field.only) {
        ("machine", Some("hood")) => "hood",
        ("machine", _) if is_water_of_hood(key) => "hood",
        ("machine", _) => "conveyor",
        ("roster", _) => "loader",
        ("ware", _) => "plate",
        ("rack", _) => "peg",
        ("soil", _) => "sauce",
        ("menu", _) => "main plate",
        _ => "new",
    };
    let rest = match list {
        "backlog" => "ware = \"plate\"\nsoil = \"sauce\"\npieces = 1\n",
        "soiled" => {
            "ware = \"plate\"\nsoil = \"sauce\"\npieces = 1\nfrom = \"18:00\"\nto = \"19:00\"\n"
        }
        _ => "",
    };
    let rest: String = rest
        .split_inclusive('\n')
        .filter(|line| !line.starts_with(&format!("{key} =")))
        .collect();
    format!("[[{list}]]\nname = \"{name}\"\n{key} = {value}\n{rest}")
}

/// Whether a key stands below one of the tables that only a hood has.
fn is_water_of_hood(key: &str) -> bool {
    ["rinse.", "tank."]
        .iter()
        .any(|table| key.starts_with(table))
}

/// What the model says of a key that `assignment` gave.
fn in_model(loaded: &Loaded, field: &Field) -> Option<f64> {
    let model = serde_json::to_value(&loaded.scenario).unwrap();
    let mut value = match field.path.split_once("[].") {
        Some((list, _)) => {
            let text = assignment(field, "0");
            let name = text.split('"').nth(1)?;
            model[list]
                .as_array()?
                .iter()
                .find(|row| row["name"] == name)?
                .clone()
        }
        None => model,
    };
    if let Some(kind) = field.only {
        value = value["kind"][kind].clone();
    }
    if let Some((_, key)) = field.path.split_once("zones[].") {
        return value["kind"]["rack-conveyor"]["zones"][0][key].as_f64();
    }
    let path = field
        .path
        .split_once("[].")
        .map_or(field.path, |(_, path)| path);
    // What both kinds of machine may have stands below its kind.
    let of_conveyor = &value["kind"]["rack-conveyor"];
    if field.only.is_none() && !of_conveyor[path].is_null() {
        value = of_conveyor.clone();
    } else if field.path.starts_with("machine") && is_water_of_hood(path) {
        value = value["kind"]["hood"]["water"].clone();
    }
    for key in path.split('.') {
        value = value[key].clone();
    }
    if matches!(field.kind, Kind::Time(_)) {
        value["mean"].as_f64()
    } else {
        value.as_f64()
    }
}

/// Rows that can be given one by one: not those of lists without names.
fn testable() -> impl Iterator<Item = &'static Field> {
    fields::all()
        .filter(|f| !f.path.starts_with("guests.seating") && !f.path.contains("party_sizes"))
}

fn quantities() -> Vec<(&'static Field, Quantity)> {
    let quantity = |field: &'static Field| match field.kind {
        Kind::Quantity(quantity) | Kind::Time(quantity) => Some((field, quantity)),
        _ => None,
    };
    testable().filter_map(quantity).collect()
}

fn numbers() -> Vec<(&'static Field, Bounds)> {
    let number = |field: &'static Field| match field.kind {
        Kind::Number(bounds) | Kind::Share(bounds) => Some((field, bounds)),
        Kind::Whole(least, most) => {
            let (least, most) = (f64::from(least), f64::from(most));
            Some((
                field,
                Bounds {
                    least,
                    most,
                    above: false,
                    below: false,
                },
            ))
        }
        _ => None,
    };
    testable().filter_map(number).collect()
}

/// Whether a refusal says that this key is out of its limits.
fn out_of_range(loaded: &Result<Loaded, Mistakes>, field: &Field, limits: &str) -> bool {
    let Err(mistakes) = loaded else { return false };
    let text = mistakes.to_string();
    text.contains("is out of range") && text.contains(field.key()) && text.contains(limits)
}

/// A quantity with one of its units.
fn quantity_and_unit() -> impl Strategy<Value = (&'static Field, Quantity, &'static Unit)> {
    let pick = |(field, quantity): (&'static Field, Quantity)| {
        let units: Vec<&'static Unit> = quantity.dimension.units().collect();
        (Just(field), Just(quantity), prop::sample::select(units))
    };
    prop::sample::select(quantities()).prop_flat_map(pick)
}

/// Good files that name no other.
const WHOLE: &[&str] = &[
    "scenarios/friday-rush.toml",
    "scenarios/banquet.toml",
    "scenarios/canteen-lunch.toml",
    "scenarios/corner-cafe.toml",
    "tests/everything.toml",
    "scenarios/studies/crew-and-conveyor.toml",
    "scenarios/studies/cheapest-crew.toml",
];

/// What files are made of.
const SCRAPS: &[&str] = &[
    "\n",
    " ",
    "=",
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    ",",
    ".",
    "\"",
    "\"\"\"",
    "'",
    "#",
    "\u{0}",
    "\u{feff}",
    "°",
    "-",
    "1",
    "1e999",
    "nan",
    "true",
    "18:30:00",
    "\"18:30\"",
    "\"5 min\"",
    "\"-1 m\"",
    "version = 1\n",
    "version",
    "title = \"x\"\n",
    "based_on = \"scenarios/friday-rush.toml\"\n",
    "include = []\n",
    "[service]\n",
    "opens = \"17:00\"\n",
    "[[machine]]\n",
    "[[roster]]\n",
    "[[factor]]\n",
    "base = \"scenarios/friday-rush.toml\"\n",
    "measures = [\"wait_mean_min\"]\n",
    "name = \"conveyor\"\n",
    "name = \"loader\"\n",
    "kind = \"hood\"\n",
    "zones = [{}]\n",
    "duties = [\"load\"]\n",
    "path = \"roster[loader].count\"\n",
    "values = [1, 2]\n",
    "remove = true\n",
    "cycle = { mean = \"60 s\", cv = 9 }\n",
];

/// What happens to a stretch of a file: it goes, is doubled, is written over, or moves to the front.
fn damage() -> impl Strategy<Value = (u8, usize, usize, u8)> {
    (0..4_u8, any::<usize>(), 1..200_usize, any::<u8>())
}

fn do_damage(bytes: &mut Vec<u8>, what: u8, at: usize, length: usize, byte: u8) {
    if bytes.is_empty() {
        return;
    }
    let start = at % bytes.len();
    let end = (start + length).min(bytes.len());
    match what {
        0 => drop(bytes.drain(start..end)),
        1 => {
            let again = bytes[start..end].to_vec();
            bytes.splice(end..end, again);
        }
        2 => bytes[start] = byte,
        _ => {
            let moved: Vec<u8> = bytes.drain(start..end).collect();
            bytes.splice(0..0, moved);
        }
    }
}

/// Reads bytes as a scenario and as a study: what is wrong is reported with its place, unless the file as a whole
/// cannot be read.
fn reported_well(bytes: &[u8]) -> Result<(), TestCaseError> {
    let scenario = scenario::load_from(bytes).err();
    let study = design::read::read_from(bytes)
        .err()
        .map(|mistakes| *mistakes);
    for mistakes in scenario.into_iter().chain(study) {
        prop_assert!(!mistakes.is_empty());
        let text = mistakes.render(true);
        prop_assert!(!text.contains("internal error"), "{text}");
        for mistake in mistakes.iter() {
            let whole = mistake.title.starts_with("cannot read the s");
            prop_assert!(mistake.at.is_some() || whole, "no place: {mistake:?}");
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_quantity_within_its_limits_is_not_out_of_range((field, quantity, unit) in quantity_and_unit(), share in 0.001..0.999f64) {
        let bounds = quantity.bounds_si();
        let si = bounds.least + share * (bounds.most - bounds.least);
        let text = format!("{} {}", unit.from_si(si), unit.names[0]);
        let read = units::quantity(&text, quantity.dimension).unwrap();
        prop_assert!((read - si).abs() <= 1e-9 * si.abs().max(1e-6), "{text} is {read}, not {si}");
        match load_with(field, &format!("\"{text}\"")) {
            Ok(loaded) => prop_assert_eq!(in_model(&loaded, field), Some(read), "{}", field.path),
            Err(mistakes) => {
                let text = mistakes.to_string();
                prop_assert!(!text.contains("out of range") && !text.contains("internal"), "{text}");
            }
        }
    }

    #[test]
    fn a_quantity_beyond_its_limits_is_refused_with_them((field, quantity, unit) in quantity_and_unit(), beyond in 0.01..10.0f64, low in any::<bool>()) {
        let bounds = quantity.bounds_si();
        let width = bounds.most - bounds.least;
        let si = if low { bounds.least - beyond * width } else { bounds.most + beyond * width };
        let text = format!("\"{} {}\"", unit.from_si(si), unit.names[0]);
        let loaded = load_with(field, &text);
        prop_assert!(out_of_range(&loaded, field, &quantity.words()), "{} = {text}: {loaded:?}", field.path);
    }

    #[test]
    fn a_number_beyond_its_limits_is_refused_with_them((field, bounds) in prop::sample::select(numbers()), beyond in 1..1000u32, low in any::<bool>()) {
        let beyond = f64::from(beyond);
        let value = if low { bounds.least - beyond } else { bounds.most + beyond };
        let loaded = load_with(field, &value.to_string());
        prop_assert!(out_of_range(&loaded, field, &bounds.words("")), "{} = {value}: {loaded:?}", field.path);
    }

    #[test]
    fn no_text_panics(text in "\\PC{0,60}", field in prop::sample::select(testable().collect::<Vec<_>>())) {
        for value in [format!("{text:?}"), text, format!("[{{ x = 1 }}, 3, \"{}\"]", field.key())] {
            if let Err(mistakes) = load_with(field, &value) {
                let text = mistakes.render(true);
                prop_assert!(!text.contains("internal error"), "{text}");
            }
        }
    }

    #[test]
    fn no_damage_to_a_good_file_panics(
        mut bytes in prop::sample::select(WHOLE.to_vec()).prop_map(|path| fs::read(path).unwrap()),
        damage in prop::collection::vec(damage(), 1..4),
    ) {
        for (what, at, length, byte) in damage {
            do_damage(&mut bytes, what, at, length, byte);
        }
        reported_well(&bytes)?;
    }

    #[test]
    fn no_bytes_panic(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        reported_well(&bytes)?;
    }

    #[test]
    fn no_scraps_of_toml_panic(scraps in prop::collection::vec(prop::sample::select(SCRAPS.to_vec()), 0..40)) {
        reported_well(scraps.concat().as_bytes())?;
    }
}

#[test]
fn every_default_is_within_its_own_limits() {
    scenario::load(&good()).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    for (field, quantity) in quantities() {
        let fields::Unset::Text(text) = field.unset else {
            continue;
        };
        let si = units::quantity(text, quantity.dimension).unwrap();
        assert!(quantity.bounds_si().holds(si), "{}", field.path);
    }
}

#[test]
fn every_default_has_a_source_and_every_path_is_there_once() {
    let mut paths: Vec<&str> = Vec::new();
    for field in fields::all() {
        let has_default = !matches!(field.unset, fields::Unset::Required | fields::Unset::Absent);
        let is_table = matches!(field.kind, Kind::Table);
        assert!(
            !has_default || is_table || !field.source.is_empty(),
            "{}",
            field.path
        );
        assert!(
            !paths.contains(&field.path),
            "{} is there twice",
            field.path
        );
        paths.push(field.path);
    }
    for path in paths {
        let Some((parent, _)) = path.rsplit_once('.') else {
            continue;
        };
        let parent = parent.strip_suffix("[]").unwrap_or(parent);
        assert!(fields::find(parent).is_some(), "nothing holds {path}");
    }
}

#[test]
fn every_unit_of_the_table_exists_and_goes_there_and_back() {
    for (field, quantity) in quantities() {
        assert!(
            units::find(quantity.unit, quantity.dimension).is_some(),
            "{}",
            field.path
        );
        assert!(
            units::quantity(quantity.example(), quantity.dimension).is_ok(),
            "{}",
            field.path
        );
    }
    for unit in units::UNITS {
        for value in [-3.0, 0.0, 0.1, 7.25, 1e6] {
            let back = unit.from_si(unit.to_si(value));
            assert!(
                (back - value).abs() < 1e-9 * value.abs().max(1.0),
                "{}",
                unit.names[0]
            );
        }
    }
}
