//! `check`, `diary`, `schema`, and what every command says of itself.

use std::fs;
use std::path::{Path, PathBuf};

use scullery::scenario::wording::Wording;
use scullery::service::measure::MEASURES;
use serde_json::Value;

use crate::program::{LINE, RUSH, SUPPER, contents, csv_of, folder, program, run, run_command};

#[test]
fn check_reads_a_good_file_and_refuses_a_bad_one() {
    for file in [RUSH, SUPPER, LINE, "tests/everything.toml"] {
        let ran = run(["check", file]);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{file}");
        assert!(run(["check", file, "--json"]).json().is_object(), "{file}");
    }
    assert_eq!(run(["check", "tests/bad/unknown-key.toml"]).code, 2);
}

/// The picture of the cover is drawn where a folder is named, and nothing is written without.
#[test]
fn check_draws_the_people_needed_and_there() {
    let out = tempfile::tempdir().unwrap();
    let folder = out.path().join("sheet");
    let scenario = "scenarios/friday-rush.toml";
    let ran = run(["check", scenario, "--out", folder.to_str().unwrap()]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.err.contains("2 files in"), "{}", ran.err);
    let svg = std::fs::read_to_string(folder.join("cover.svg")).unwrap();
    for words in [
        "All duties (people)",
        "Unloading (people)",
        "hand-calculation sheet",
    ] {
        assert!(svg.contains(words), "{words}");
    }
    assert!(folder.join("cover.png").is_file());
    let ran = run([
        "check",
        scenario,
        "--out",
        folder.to_str().unwrap(),
        "--pictures",
        "svg",
        "--quiet",
    ]);
    assert_eq!((ran.out.as_str(), ran.err.as_str()), ("", ""));
    assert!(
        !folder.join("cover.png").exists(),
        "it is of an earlier run"
    );
}

#[test]
fn check_notes_a_file_that_names_no_version() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("old.toml");
    let base = std::fs::canonicalize(LINE).unwrap();
    std::fs::write(&file, format!("based_on = {base:?}\n")).unwrap();
    let path = file.to_str().unwrap();
    let ran = run(["check", path]);
    assert_eq!(ran.code, 0);
    assert_eq!(ran.err.matches("version = 1").count(), 1, "{}", ran.err);
    assert!(ran.err.contains("old.toml"), "{}", ran.err);
    assert_eq!(run(["check", path, "--quiet"]).err, "");
}

#[test]
fn the_diary_is_csv_and_its_clock_never_runs_backward() {
    let ran = run(["diary", SUPPER]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let (heads, rows) = csv_of(&ran.out);
    assert_eq!(
        heads.join(","),
        "minute [min],clock,what,who,duty,machine,rack,ware,pieces,about"
    );
    assert!(rows.len() > 100, "{}", rows.len());
    let minutes: Vec<f64> = rows
        .iter()
        .map(|row| row["minute [min]"].parse().unwrap())
        .collect();
    assert!(minutes.is_sorted());
    assert!(rows.iter().all(|row| !row["what"].is_empty()));
    assert!(rows.iter().any(|row| row["clock"].starts_with("00:")));
}

#[test]
fn the_diary_is_of_the_replication_and_seed_asked_for() {
    let diary = |more: &[&str]| run([&["diary", SUPPER], more].concat()).out;
    let first = diary(&[]);
    assert_eq!(first, diary(&["--replication", "0", "--seed", "1"]));
    let others = [diary(&["--replication", "1"]), diary(&["--seed", "2"])];
    assert!(others[0] != first && others[1] != first && others[0] != others[1]);
}

#[test]
fn the_diary_goes_into_a_folder_if_asked() {
    let out = folder();
    let path = out.path().to_str().unwrap();
    let ran = run(["diary", SUPPER, "--out", path]);
    assert_eq!((ran.code, ran.out.as_str()), (0, ""), "{}", ran.err);
    let written = fs::read_to_string(out.path().join("diary.csv")).unwrap();
    assert_eq!(written, run(["diary", SUPPER]).out);
}

/// The scenarios we ship, and the good ones of the tests, as JSON.
fn good_files() -> Vec<(PathBuf, Value)> {
    let shipped = fs::read_dir("scenarios")
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let shipped = shipped.filter(|path| path.extension().is_some_and(|e| e == "toml"));
    let of_tests = [
        SUPPER,
        LINE,
        "tests/never-finished.toml",
        "tests/everything.toml",
    ];
    let of_tests = of_tests
        .into_iter()
        .map(|path| Path::new(path).to_path_buf());
    let read = |path: PathBuf| {
        let table: toml::Table = toml::from_str(&fs::read_to_string(&path).unwrap()).unwrap();
        (path, serde_json::to_value(table).unwrap())
    };
    shipped.chain(of_tests).map(read).collect()
}

#[test]
fn the_schema_is_a_schema_and_accepts_what_we_ship() {
    let ran = run(["schema"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let schema = ran.json();
    assert_eq!(
        schema["$schema"],
        "https://json-schema.org/draft/2020-12/schema"
    );
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    for (path, file) in good_files() {
        assert!(validator.is_valid(&file), "{}", path.display());
    }
    assert!(!validator.is_valid(&serde_json::json!({ "titel": "x" })));
}

#[test]
fn the_schema_of_studies_is_a_schema_and_accepts_what_we_ship() {
    let ran = run(["schema", "study"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let schema = ran.json();
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    for entry in fs::read_dir("scenarios/studies").unwrap() {
        let path = entry.unwrap().path();
        let table: toml::Table = toml::from_str(&fs::read_to_string(&path).unwrap()).unwrap();
        let file = serde_json::to_value(table).unwrap();
        assert!(validator.is_valid(&file), "{}", path.display());
    }
    // The names of measures are known to it, and a scenario is no study.
    assert!(!validator.is_valid(&serde_json::json!({
        "base": "x.toml", "measures": [], "target": [{ "measure": "no such", "at_most": 1 }]
    })));
    assert!(!validator.is_valid(&good_files()[0].1));
}

#[test]
fn every_measure_is_defined_in_the_schema_and_in_the_help() {
    let schema = run(["schema"]).json();
    let defined = schema["$defs"]["measure"]["oneOf"].as_array().unwrap();
    assert_eq!(defined.len(), MEASURES.len());
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let help = words(&run(["simulate", "--help"]).out);
    let usual = Wording::default();
    for info in MEASURES {
        let meaning = usual.said(info.meaning);
        let one = defined.iter().find(|one| one["const"] == info.name);
        let description = one.unwrap()["description"].as_str().unwrap();
        assert!(description.contains(&*meaning) && description.contains(info.unit));
        assert!(help.contains(&format!("{} (", info.name)), "{}", info.name);
        assert!(help.contains(&words(&meaning)), "{}", info.name);
    }
}

#[test]
fn help_as_it_reads() {
    let overview = run(["--help"]);
    assert_eq!((overview.code, overview.err.as_str()), (0, ""));
    insta::assert_snapshot!("help", overview.out);
    for command in [
        "new",
        "simulate",
        "compare",
        "check",
        "diary",
        "explain",
        "schema",
        "sweep",
        "choose",
        "completions",
        "man",
    ] {
        let ran = run([command, "--help"]);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""));
        insta::assert_snapshot!(format!("help-{command}"), ran.out);
    }
}

/// Nothing is written unless a folder is given; with one, the chart that `simulate` draws as well.
#[test]
fn check_draws_people_needed_and_there_if_it_may() {
    let place = folder();
    let mut drawn = Vec::new();
    for command in ["check", "simulate"] {
        let out = place.path().join(command);
        let mut run_it = program();
        run_it
            .args([command, SUPPER, "-q", "--pictures", "svg", "--out"])
            .arg(&out);
        if command == "simulate" {
            run_it.args(["-n", "2"]);
        }
        let ran = run_command(&mut run_it);
        assert_eq!((ran.code, ran.out.as_str()), (0, ""), "{ran:?}");
        let files = contents(&out);
        if command == "check" {
            assert_eq!(files.keys().collect::<Vec<_>>(), ["cover.svg"]);
        }
        drawn.push(files["cover.svg"].clone());
    }
    assert_eq!(drawn[0], drawn[1]);
    assert!(String::from_utf8_lossy(&drawn[0]).contains("All duties (people)"));
}

/// A quantity, a table, a key that every time has, a name of several keys, and one that there is not.
#[test]
fn keys_are_explained() {
    let mut read = String::new();
    for key in ["machine.booster.power", "roster.called", "cv", "machine"] {
        let ran = run(["explain", key]);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{key}");
        read += &format!("$ scullery explain {key}\n{}\n", ran.out);
    }
    insta::assert_snapshot!("keys", read);
    let top = run(["explain"]);
    assert!(top.out.contains("  roster ") && top.code == 0, "{top:?}");
    let wrong = run(["explain", "owmed\u{1b}"]);
    assert_eq!(wrong.code, 2);
    assert!(!wrong.err.contains('\u{1b}'), "{wrong:?}");
    let wrong = run(["explain", "owmed"]);
    assert!(
        wrong.err.contains("near it: \"ware.owned\""),
        "{}",
        wrong.err
    );
}

/// The installed program needs nothing of the repository: in an empty folder it plays what it brings, and a file of one's
/// own that starts from it.
#[test]
fn an_empty_folder_is_enough() {
    let place = folder();
    let within = |arguments: &[&str]| {
        let ran = run_command(program().args(arguments).current_dir(place.path()));
        assert_eq!(ran.code, 0, "{arguments:?}: {ran:?}");
        ran
    };
    within(&["check", "library:friday-rush"]);
    within(&["simulate", "library:corner-cafe", "-n", "2", "--no-advice"]);
    let results = place.path().join("output/corner-cafe");
    assert!(results.is_dir(), "{results:?}");
    let text = "version = 1\nbased_on = \"library:corner-cafe\"\ninclude = [\"library:rules-six-hours\"]\n\
                title = \"Ours\"\n";
    fs::write(place.path().join("ours.toml"), text).unwrap();
    let ran = within(&["check", "ours.toml"]);
    assert!(ran.out.starts_with("Ours"), "{}", ran.out);
}
