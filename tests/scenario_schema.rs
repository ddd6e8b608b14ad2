//! The JSON Schema accepts every scenario we ship and refuses the ones broken in structure.

use std::fs;
use std::path::Path;

use jsonschema::Validator;
use scullery::scenario;
use scullery::scenario::units::{Dimension, quantity};
use serde_json::Value;

fn validator() -> Validator {
    jsonschema::draft202012::new(&scenario::schema()).unwrap()
}

/// A TOML file as JSON.
fn json(path: &Path) -> Value {
    let text = fs::read_to_string(path).unwrap();
    let table: toml::Table = toml::from_str(&text).unwrap_or_else(|e| panic!("{path:?}: {e}"));
    serde_json::to_value(table).unwrap()
}

fn toml_files(folder: &str) -> Vec<std::path::PathBuf> {
    let entries = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path());
    entries
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect()
}

#[test]
fn the_schema_is_itself_well_formed() {
    assert!(jsonschema::meta::is_valid(&scenario::schema()));
}

#[test]
fn every_good_scenario_is_accepted() {
    let validator = validator();
    let mut files = toml_files("scenarios");
    files.extend(["tests/plain-line.toml", "tests/bad/base/good.toml"].map(Into::into));
    for path in files {
        let json = json(&path);
        let errors: Vec<String> = validator
            .iter_errors(&json)
            .map(|e| format!("{}: {e}", e.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{}: {errors:#?}", path.display());
    }
}

/// Bad files whose structure is right: their mistakes lie in limits, names, sums or other files.
const STRUCTURE_IS_RIGHT: &[&str] = &[
    "absurd-number-of-pieces",
    "at-the-clock",
    "backlog-more-than-owned",
    "based-on-circle",
    "based-on-directory",
    "based-on-itself",
    "based-on-missing",
    "based-on-other-file",
    "based-on-too-deep",
    "batch-larger-than-sink",
    "batch-larger-than-table",
    "booster-of-nothing",
    "change-by-nobody",
    "cleaner-when-dried",
    "cleared-before-laid",
    "closing-before-opening",
    "closing-is-opening",
    "colder-than-nothing",
    "dollies-for-nothing",
    "dollies-moved-by-nobody",
    "dry-of-nothing",
    "decoy-racks",
    "decoy-racks-and-soak",
    "decoy-racks-for-nothing",
    "decoy-racks-without-loading",
    "duty-nobody-holds",
    "duty-of-nobody-there",
    "duty-without-stage",
    "dwell-too-long",
    "fault-nobody-mends",
    "faults",
    "guests-from-nowhere",
    "guests-twice",
    "heat-in-an-empty-tank",
    "heater-without-water",
    "held-for-nothing",
    "hood-change",
    "hood-held-and-cold",
    "hood-water",
    "included-too-many",
    "included-twice",
    "inspect-without-unload",
    "help-out-of-time",
    "help-without-call",
    "key-of-other-machine",
    "late",
    "loading-without-machine",
    "look-never",
    "machine-duties",
    "machine-no-rack-enters",
    "machine-of-nobody",
    "machine-without-kind",
    "machine-without-loading",
    "minimum-above-set-point",
    "never-filled",
    "new-row-incomplete",
    "no-menu",
    "no-party-sizes",
    "no-room-for-a-tub",
    "no-supply",
    "nothing-to-wash",
    "observations",
    "party",
    "party-never-served",
    "party-without-guests",
    "pot-duty-without-sink",
    "pot-sink-by-nobody",
    "pot-sink-for-nothing",
    "pot-sink-not-there",
    "rack-longer-than-tunnel",
    "racks-of-nobody",
    "reference",
    "remove-table-not-there",
    "remove-what-is-not-there",
    "row-misspelt",
    "rules",
    "same-name-twice",
    "seating-outside-hours",
    "service-too-long",
    "shift-and-breaks",
    "short-of-racks",
    "soaked-without-soak",
    "soiled-ends-before-start",
    "soiled-log",
    "soiled-log-late",
    "stored-for-ever",
    "supply",
    "table-smaller-than-rack",
    "tank-without-flow",
    "task-of-somebody-else",
    "tasks-in-a-circle",
    "till-log",
    "till-log-backward",
    "till-log-empty",
    "till-log-header",
    "till-log-late",
    "till-log-semicolons",
    "too-many-operators",
    "tubs-without-size",
    "tubs-for-trays",
    "two-final-rinses",
    "version-of-base-newer",
    "wage-of-some",
    "ware-no-machine-takes",
    "ware-without-rack",
    "waits-for-no-seats",
    "water-never-changed",
    "weights-all-zero",
    "zones-longer-than-tunnel",
    "unknown-library",
];

/// Bad files that are not TOML, or hold numbers that JSON does not have.
const NOT_JSON: &[&str] = &[
    "comma-without-quotes",
    "cut-off",
    "duplicate-key",
    "not-finite",
    "not-utf8",
    "syntax-and-value",
    "syntax-several",
];

#[test]
fn what_is_broken_in_structure_is_refused_and_nothing_else() {
    let validator = validator();
    let mut wrong = Vec::new();
    for path in toml_files("tests/bad") {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        if NOT_JSON.contains(&name.as_str()) {
            continue;
        }
        let should_be_valid = STRUCTURE_IS_RIGHT.contains(&name.as_str());
        if validator.is_valid(&json(&path)) != should_be_valid {
            wrong.push(format!("{name} (accepted: {})", !should_be_valid));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// The pattern of a time and its reading accept the same texts.
#[test]
fn the_schema_reads_times_as_the_program_does() {
    let pattern = serde_json::json!({ "pattern": Dimension::Time.pattern() });
    let validator = jsonschema::draft202012::new(&pattern).unwrap();
    let good = [
        "90 s",
        "1.5 h",
        "1 h 30 min",
        "2min30s",
        " 2 min 07.5 s ",
        "100 h 0 min",
    ];
    let bad = [
        "1 h 60 min",
        "1 h 30 s",
        "30 min 1 h",
        "1.5 h 30 min",
        "1 h -5 min",
        "1 h 5 min 3 s",
        "1 h min",
        "-1 h 5 min",
        "1 h 005 min",
        "1 h 5. min",
        "1 h 5",
        "",
    ];
    for (texts, is_good) in [(&good[..], true), (&bad[..], false)] {
        for &text in texts {
            assert_eq!(quantity(text, Dimension::Time).is_ok(), is_good, "{text}");
            assert_eq!(validator.is_valid(&Value::from(text)), is_good, "{text}");
        }
    }
}

#[test]
fn every_field_is_described_with_its_default() {
    let schema = scenario::schema().to_string();
    for field in scenario::fields::all() {
        assert!(schema.contains(field.key()), "{}", field.path);
    }
    assert!(schema.contains("calculation note of the NSF/ANSI 3 listings"));
}

/// The schema of studies, as `scullery schema study` prints it.
fn study_validator() -> Validator {
    let mut schema = scenario::study_schema();
    schema["$defs"]["measure"] = serde_json::json!({ "type": "string" });
    assert!(jsonschema::meta::is_valid(&schema));
    jsonschema::draft202012::new(&schema).unwrap()
}

#[test]
fn every_good_study_is_accepted() {
    let validator = study_validator();
    let mut files = toml_files("scenarios/studies");
    files.push("tests/sweeps/supper.toml".into());
    assert!(files.len() >= 3);
    for path in files {
        let json = json(&path);
        let errors: Vec<String> = validator
            .iter_errors(&json)
            .map(|e| format!("{}: {e}", e.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{}: {errors:#?}", path.display());
    }
}

/// Studies broken in structure, not in paths, amounts or other files.
#[test]
fn studies_broken_in_structure_are_refused() {
    let validator = study_validator();
    for name in [
        "base-not-given",
        "design-unknown",
        "choose-of-nothing",
        "a-scenario",
    ] {
        let path = Path::new("tests/bad/studies")
            .join(name)
            .with_extension("toml");
        assert!(!validator.is_valid(&json(&path)), "{name}");
    }
}
