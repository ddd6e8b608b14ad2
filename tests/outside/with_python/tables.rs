//! The CSV files of two seeds of one study as their users read them: by pandas, polars and DuckDB.
//!
//! With the types of `datapackage.json`, and with types guessed. Tables of two seeds are stacked and joined,
//! and numbers are ours. The dictionary itself is held against the published JSON Schema of tabular data
//! packages, which `datapackage` on PyPI carries.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

use serde_json::{Value, json};

use super::python;

/// A room whose cost is whole in many evenings, and water that nothing takes.
const PRICES: &str = "[prices]\nlabour = 60\n";
const STUDY: &str = r#"
base = "base.toml"
replications = 2
measures = ["cost", "pieces", "wait_mean_min", "short_covers", "short_wait_mean_min", "water_l"]
[[factor]]
name = "landing"
path = "machine[conveyor].landing"
values = [3, 4]
[[factor]]
name = "tunnel"
path = "machine[conveyor].tunnel"
values = ["44 in", "66 in"]
linked = [{ path = "machine[conveyor].speed", follows = "ratio" }]
[[factor]]
name = "stays"
path = "roster[dishwasher].stays"
values = [true, false]
[[factor]]
name = "help"
bundles = [{ name = "none" }, { name = "NA" }]
[[target]]
measure = "short_covers"
at_most = 0
in = "90 %"
tolerance = "5 %"
"#;

fn play(arguments: &[&str], seed: &str, out: &Path) {
    let ran = Command::new(env!("CARGO_BIN_EXE_scullery"))
        .args(arguments)
        .args(["--seed", seed, "--out"])
        .arg(out)
        .output()
        .expect("it runs");
    let errors = String::from_utf8_lossy(&ran.stderr);
    assert_eq!(ran.status.code(), Some(0), "{arguments:?}: {errors}");
}

fn is_empty(columns: &BTreeMap<String, Vec<String>>, name: &str) -> bool {
    columns[name].iter().all(String::is_empty)
}

/// The cells of a file, column by column.
fn columns(path: &Path) -> BTreeMap<String, Vec<String>> {
    let mut reader = csv::Reader::from_path(path).expect("it is there");
    let heads: Vec<String> = reader.headers().unwrap().iter().map(Into::into).collect();
    let mut columns: BTreeMap<_, _> = heads.iter().map(|head| (head.clone(), vec![])).collect();
    for record in reader.records() {
        for (head, cell) in heads.iter().zip(record.unwrap().iter()) {
            columns.entry(head.clone()).or_default().push(cell.into());
        }
    }
    columns
}

/// What the three call a type: pandas, polars, DuckDB.
fn names(holds: &str) -> [&'static str; 3] {
    match holds {
        "integer" => ["Int64", "Int64", "BIGINT"],
        "number" => ["float64", "Float64", "DOUBLE"],
        "boolean" => ["boolean", "Boolean", "BOOLEAN"],
        "string" => ["string", "String", "VARCHAR"],
        other => panic!("{other}"),
    }
}

fn check(resource: &Value, read: &Value, folders: &[&Path; 2]) {
    let path = resource["path"].as_str().unwrap();
    let ours = folders.map(|folder| columns(&folder.join(path)));
    let rows = ours
        .each_ref()
        .map(|columns| columns.values().next().map_or(0, Vec::len));
    assert_eq!(read["rows"], json!(rows), "{path}");
    for stacked in ["stacked", "stacked_by_duckdb", "stacked_as_guessed"] {
        assert_eq!(read[stacked], json!(rows[0] + rows[1]), "{path}: {stacked}");
    }
    // Both seeds have the same points and evenings; a series may run longer in one.
    if resource["schema"]["primaryKey"].is_array() {
        let joined = read["joined"].as_u64().unwrap();
        assert!(
            joined > 0 && joined <= rows[0] as u64,
            "{path}: {joined} of {rows:?}"
        );
        assert!(
            path == "series.csv" || joined == rows[0] as u64,
            "{path}: {joined}"
        );
    }
    for field in resource["schema"]["fields"].as_array().unwrap() {
        let (name, holds) = (
            field["name"].as_str().unwrap(),
            field["type"].as_str().unwrap(),
        );
        let expected = names(holds);
        for (by, expected) in ["pandas_types", "polars_types", "duckdb_types"]
            .iter()
            .zip(expected)
        {
            for seed in 0..2 {
                let found = read[*by][seed][name].as_str().unwrap_or_default();
                // pandas distinguishes its strings of different memory.
                let same = found == expected || holds == "string" && found.starts_with("str");
                assert!(same, "{path}: {name} of seed {seed}: {by} has {found}");
            }
        }
        for (seed, columns) in ours.iter().enumerate() {
            let guessed = &read["guessed"][seed][name];
            match holds {
                "number" if !is_empty(columns, name) => {
                    assert_eq!(
                        *guessed,
                        json!(["Float64", "float64", "DOUBLE"]),
                        "{path}: {name}"
                    );
                }
                _ => assert_eq!(*guessed, Value::Null, "{path}: {name}"),
            }
        }
        if ["integer", "number"].contains(&holds) {
            let numbers: Vec<f64> = ours[0][name]
                .iter()
                .filter_map(|cell| cell.parse().ok())
                .collect();
            let sum = numbers.iter().sum::<f64>();
            for by in ["pandas", "polars", "duckdb"] {
                let theirs = &read["sums"][name][by];
                assert_eq!(theirs[1], json!(numbers.len()), "{path}: {name}: {by}");
                let near = (theirs[0].as_f64().unwrap() - sum).abs() <= 1e-9 * (1.0 + sum.abs());
                assert!(
                    near,
                    "{path}: {name}: {by} has {}, ours is {sum}",
                    theirs[0]
                );
            }
        }
    }
}

#[test]
fn tables_of_two_seeds_are_read_and_put_together_by_others() {
    let place = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| {
        let path = place.path().join(name);
        fs::write(&path, text).expect("written");
        path.display().to_string()
    };
    let path = |file: &str| {
        fs::canonicalize(file)
            .expect("it is there")
            .display()
            .to_string()
    };
    let (supper, helped) = (
        path("tests/late-supper.toml"),
        path("tests/late-supper-helped.toml"),
    );
    write("base.toml", &format!("based_on = {supper:?}\n{PRICES}"));
    let study = write("study.toml", STUDY);
    let choice = "[choose]\ncheapest = \"cost\"\nindifference = 5\n";
    let choice = write(
        "choice.toml",
        &format!("{STUDY}{choice}")
            .replace(", false]", "]")
            .replace("at_most = 0", "at_most = 10000"),
    );
    let runs: [(&str, &[&str]); 5] = [
        ("sweep", &["sweep", &study, "--per-replication"]),
        ("simulate", &["simulate", &supper, "-n", "3"]),
        ("compare", &["compare", &supper, &helped, "-n", "3"]),
        ("choose", &["choose", &choice]),
        ("diary", &["diary", &supper]),
    ];
    let folders_of = |name| ["1", "2"].map(|seed| place.path().join(format!("{name}-{seed}")));
    for (name, arguments) in runs {
        play_both(arguments, &folders_of(name));
    }
    let asked: BTreeMap<_, _> = runs.map(|(name, _)| (name, folders_of(name))).into();
    let answer = python::run("tables.py", &[], &json!(asked).to_string());
    let profile = jsonschema::validator_for(&answer["profile"]).expect("a JSON Schema");
    for (name, _) in runs {
        let folders = folders_of(name);
        for folder in &folders {
            let text = fs::read_to_string(folder.join("datapackage.json")).expect("a dictionary");
            let dictionary: Value = serde_json::from_str(&text).expect("JSON");
            let wrong: Vec<String> = profile
                .iter_errors(&dictionary)
                .map(|e| e.to_string())
                .collect();
            assert_eq!(wrong, Vec::<String>::new(), "{name}");
            for resource in dictionary["resources"].as_array().unwrap() {
                let read = &answer["runs"][name][resource["path"].as_str().unwrap()];
                check(resource, read, &[&folders[0], &folders[1]]);
            }
        }
    }
}

fn play_both(arguments: &[&str], folders: &[std::path::PathBuf; 2]) {
    for (seed, folder) in ["1", "2"].iter().zip(folders) {
        play(arguments, seed, folder);
    }
}
