//! The data dictionary beside the CSV files of every command, and cells that are what it says.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::program::{HELPED, LINE, SUPPER, contents, folder, program, run_command};

/// A study of every type of factor: words, whole numbers, decimals with a unit and without, flags.
const STUDY: &str = r#"
base = "BASE"
replications = 2
measures = ["wait_mean_min", "pieces", "cost", "water_l"]
[[factor]]
name = "who"
bundles = [{ name = "as it is" }, { name = "=quick", set = { "roster[dishwasher].pace" = 1.5 } }]
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
name = "fill"
path = "rack[basket].fill"
values = [1, 2]
[[target]]
measure = "wait_mean_min"
at_most = 100
tolerance = 1
[[target]]
measure = "wait_mean_min"
at_most = 100
in = "50 %"
tolerance = "20 %"
[choose]
cheapest = "wait_mean_min"
indifference = 10
"#;

fn study(place: &Path) -> String {
    let base = fs::canonicalize(SUPPER).expect("it is there");
    let text = STUDY.replace("BASE", &base.display().to_string());
    let path = place.join("study.toml");
    fs::write(&path, text).expect("written");
    path.display().to_string()
}

fn dictionary(folder: &Path) -> Value {
    let text = fs::read_to_string(folder.join("datapackage.json")).expect("a data dictionary");
    serde_json::from_str(&text).expect("JSON")
}

fn list<'a>(of: &'a Value, key: &str) -> &'a [Value] {
    of[key].as_array().map_or(&[], Vec::as_slice)
}

fn text<'a>(of: &'a Value, key: &str) -> &'a str {
    of[key].as_str().unwrap_or_default()
}

/// Whether a cell is written as that type is, so that nobody takes it for another.
fn is_of(cell: &str, holds: &str) -> bool {
    match holds {
        "integer" => cell.parse::<i64>().is_ok(),
        "number" => cell.contains(['.', 'e']) && cell.parse::<f64>().is_ok_and(f64::is_finite),
        "boolean" => ["true", "false"].contains(&cell),
        "string" => true,
        _ => false,
    }
}

fn check(resource: &Value, out: &Path) {
    let path = text(resource, "path");
    let fields = list(&resource["schema"], "fields");
    let mut reader = csv::Reader::from_path(out.join(path)).expect("it is there");
    let heads: Vec<String> = reader.headers().unwrap().iter().map(Into::into).collect();
    let names: Vec<&str> = fields.iter().map(|field| text(field, "name")).collect();
    assert_eq!(heads, names, "{path}");
    let distinct: BTreeSet<&&str> = names.iter().collect();
    assert_eq!(distinct.len(), names.len(), "{path}");
    for field in fields {
        let (name, unit) = (text(field, "name"), text(field, "unit"));
        assert!(!text(field, "description").is_empty(), "{path}: {name}");
        if name.ends_with(']') {
            assert!(
                name.ends_with(&format!(" [{unit}]")),
                "{path}: {name}: {unit}"
            );
        }
    }
    let key = list(&resource["schema"], "primaryKey");
    let mut keys = BTreeSet::new();
    for record in reader.records() {
        let record = record.unwrap();
        for ((cell, field), name) in record.iter().zip(fields).zip(&names) {
            let holds = text(field, "type");
            assert!(
                cell.is_empty() || is_of(cell, holds),
                "{path}: {name}: {cell} is no {holds}"
            );
        }
        let of = |key: &Value| {
            let at = names.iter().position(|name| Some(*name) == key.as_str());
            record[at.expect("a column")].to_string()
        };
        let row: Vec<String> = key.iter().map(of).collect();
        assert!(row.iter().all(|cell| !cell.is_empty()), "{path}: {row:?}");
        assert!(
            keys.insert(row.clone()) || key.is_empty(),
            "{path}: {row:?} twice"
        );
    }
}

#[test]
fn every_csv_file_is_described_and_is_as_described() {
    let place = folder();
    let study = study(place.path());
    let runs: [(&[&str], &[&str]); 5] = [
        (
            &["simulate", SUPPER, "-n", "3"],
            &["measures.csv", "series.csv", "replications.csv"],
        ),
        (
            &["compare", SUPPER, HELPED, "-n", "3"],
            &["comparison.csv", "series.csv", "replications.csv"],
        ),
        (
            &["sweep", &study, "--per-replication"],
            &["points.csv", "replications.csv", "one-at-a-time.csv"],
        ),
        (&["choose", &study], &["choice.csv"]),
        (&["diary", LINE], &["diary.csv"]),
    ];
    for (at, (arguments, files)) in runs.into_iter().enumerate() {
        let out = place.path().join(at.to_string());
        let ran = run_command(
            program()
                .args(arguments)
                .args(["--seed", "7"])
                .arg("--out")
                .arg(&out),
        );
        assert_eq!(ran.code, 0, "{arguments:?}: {ran:?}");
        let dictionary = dictionary(&out);
        assert_eq!(dictionary["seed"], 7);
        let resources = list(&dictionary, "resources");
        let described: Vec<&str> = resources.iter().map(|file| text(file, "path")).collect();
        assert_eq!(described, files, "{arguments:?}");
        let mut there: Vec<String> = contents(&out).into_keys().collect();
        there.retain(|name| name.ends_with(".csv"));
        assert_eq!(
            BTreeSet::from_iter(there),
            files.iter().map(|f| (*f).into()).collect()
        );
        for resource in resources {
            check(resource, &out);
        }
    }
}

/// Types hang on how the study is written, not on what was measured or drawn.
#[test]
fn the_type_of_a_factor_is_that_of_its_values() {
    let place = folder();
    let ran = run_command(
        program()
            .args(["sweep", &study(place.path()), "--out"])
            .arg(place.path()),
    );
    assert_eq!(ran.code, 0, "{ran:?}");
    let dictionary = dictionary(place.path());
    let fields = list(&dictionary["resources"][0]["schema"], "fields");
    let of = |name: &str| {
        let field = fields.iter().find(|field| text(field, "name") == name);
        let field = field.unwrap_or_else(|| panic!("{name}: {fields:?}"));
        (text(field, "type"), text(field, "unit"))
    };
    assert_eq!(of("point"), ("integer", ""));
    assert_eq!(of("who"), ("string", ""));
    assert_eq!(of("landing"), ("integer", ""));
    assert_eq!(of("tunnel [in]"), ("number", "in"));
    assert_eq!(of("fill"), ("number", ""));
    assert_eq!(of("pieces [pieces]"), ("number", "pieces"));
    assert_eq!(of("pieces n"), ("integer", ""));
    // Nothing takes water in this room, and nothing has a price: the columns are empty, their types known.
    assert_eq!(of("water_l [L]"), ("number", "L"));
    assert_eq!(of("cost [money]"), ("number", "money"));
    // Two targets of one limit have a column each.
    assert_eq!(
        of("share of evenings with wait_mean_min at most 100 min [1] (2)"),
        ("number", "1")
    );
}
