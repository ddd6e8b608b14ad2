//! `--units us` on every command: the same figures, in what people there read, in tables and on charts.

use std::fs;
use std::path::{Path, PathBuf};

use crate::program::{contents, folder, program, run_command};

/// A line with tanks, detergent and rinse aid, in crews of one or two.
const WATER: &str = "tests/rooms/paid.toml";

fn other(place: &Path) -> PathBuf {
    let base = fs::canonicalize(WATER).unwrap();
    let file = place.join("other.toml");
    let text =
        format!("version = 1\nbased_on = {base:?}\ntitle = \"Other\"\n[soak]\nwater = \"60 L\"\n");
    fs::write(&file, text).unwrap();
    file
}

/// Its measures of litres and kilograms, with a target in litres.
fn study(place: &Path) -> PathBuf {
    let base = fs::canonicalize(WATER).unwrap();
    let file = place.join("study.toml");
    let text = format!(
        "version = 1\ntitle = \"Sinks\"\nbase = {base:?}\nreplications = 2\nmeasures = [\"water_l\", \"detergent_kg\"]\n\
         [[factor]]\nname = \"water\"\npath = \"soak.water\"\nvalues = [\"30 L\", \"60 L\"]\n\
         [[target]]\nmeasure = \"water_l\"\nat_most = 4000\ntolerance = 5\n\
         [choose]\ncheapest = \"water_l\"\nindifference = 1\n"
    );
    fs::write(&file, text).unwrap();
    file
}

/// What a command prints, and its pictures.
fn said(command: &str, files: &[&Path], out: &Path, more: &[&str]) -> (String, String) {
    let mut run = program();
    run.arg(command).args(files).args(more);
    if command != "check" {
        run.arg("--out").arg(out);
    }
    let ran = run_command(&mut run);
    assert!([0, 4].contains(&ran.code), "{command}: {ran:?}");
    let mut drawn = String::new();
    for folder in [out.to_path_buf(), out.join("charts")] {
        if folder.is_dir() {
            let files = contents(&folder).into_iter();
            for (_, bytes) in files.filter(|(name, _)| name.ends_with(".svg")) {
                drawn += &String::from_utf8(bytes).unwrap();
            }
        }
    }
    (ran.out, drawn)
}

/// Whether a text has a unit as a word of its own.
fn has(text: &str, unit: &str) -> bool {
    text.match_indices(unit).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        let after = text[at + unit.len()..].chars().next();
        let is_word =
            |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '/' || c == '_');
        !is_word(before) && !is_word(after)
    })
}

/// A command with its files and options; units that its table and its charts have in one system alone.
type Case<'a> = (
    &'a str,
    Vec<&'a Path>,
    Vec<&'a str>,
    &'a [&'a str],
    &'a [&'a str],
);

/// Units of one system that may not stand in the other.
const METRIC: [&str; 5] = ["L", "kg", "°C", "g/L", "m/min"];

#[test]
fn every_command_and_chart_is_in_the_units_asked_for() {
    let place = folder();
    let (base, other, study) = (Path::new(WATER), other(place.path()), study(place.path()));
    let charts = ["--pictures", "svg"];
    let played: [Case<'_>; 5] = [
        (
            "check",
            vec![base],
            vec![],
            &["gal", "lb", "°F", "ft/min"],
            &[],
        ),
        (
            "simulate",
            vec![base],
            [&["-n", "2"], &charts[..]].concat(),
            &["gal", "lb"],
            &["°F", "oz/gal"],
        ),
        (
            "compare",
            vec![base, &other],
            [&["-n", "2"], &charts[..]].concat(),
            &["gal", "lb"],
            &[],
        ),
        (
            "sweep",
            vec![&study],
            charts.to_vec(),
            &["gal", "lb"],
            &["gal", "lb"],
        ),
        ("choose", vec![&study], vec![], &["gal"], &[]),
    ];
    for (command, files, options, in_table, in_charts) in played {
        for system in ["us", "metric"] {
            let out = place.path().join(format!("{command}-{system}"));
            let (table, drawn) = said(
                command,
                &files,
                &out,
                &[&options[..], &["--units", system]].concat(),
            );
            for unit in in_charts {
                assert_eq!(
                    has(&drawn, unit),
                    system == "us",
                    "{command}, {system}, {unit}"
                );
            }
            // Factors and settings keep the unit their author wrote; findings print both systems side by side.
            let measured = table.split("\nWARNING").next().unwrap_or_default();
            let measured = measured
                .split("\nWhat is assumed")
                .next()
                .unwrap_or_default();
            for unit in in_table {
                assert_eq!(
                    has(measured, unit),
                    system == "us",
                    "{command}, {system}, {unit}: {table}"
                );
            }
            let own: String = measured
                .lines()
                .filter(|line| !line.contains("water 30 L") && !line.contains("water 60 L"))
                .collect();
            let is_free = command == "sweep" || command == "choose" || command == "compare";
            for unit in METRIC.iter().filter(|_| system == "us" && !is_free) {
                assert!(!has(&own, unit), "{command}, {unit}: {table}");
            }
        }
    }
}

/// A limit is converted with the figures it is held against, and a document keeps the units of the measures.
#[test]
fn a_choice_is_in_gallons_and_its_document_in_litres() {
    let place = folder();
    let study = study(place.path());
    let out = place.path().join("out");
    let (table, _) = said("choose", &[&study], &out, &["--units", "us"]);
    assert!(table.contains("water used: at most 1057 gal"), "{table}");
    assert!(
        table.contains("to within 0.2642 gal")
            && !has(&table.replace("30 L", "").replace("60 L", ""), "L"),
        "{table}"
    );
    let us = said("choose", &[&study], &out, &["--json", "--units", "us"]).0;
    let metric = said("choose", &[&study], &out, &["--json"]).0;
    assert_eq!(us, metric);
}
