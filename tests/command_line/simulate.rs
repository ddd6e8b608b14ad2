//! `simulate`: table, files, JSON, options.

use std::collections::BTreeSet;

use scullery::service::measure::MEASURES;
use serde_json::Value;

use crate::program::{
    FILES, HELPED, LINE, OF_COST, OF_FAULTS, PATH, SUPPER, contents, csv, csv_of, folder, run,
    run_command, simulated,
};

#[test]
fn a_table_on_the_screen_and_its_files_in_the_folder() {
    let out = folder();
    let ran = simulated(SUPPER, out.path(), &["-n", "20"]);
    assert!(
        ran.out.starts_with("Late supper\n20 evenings, seed 1\n"),
        "{}",
        ran.out
    );
    assert_eq!(ran.err, format!("16 files in {}/\n", out.path().display()));
    let files = contents(out.path());
    assert_eq!(
        files.keys().collect::<Vec<_>>(),
        FILES.iter().collect::<Vec<_>>()
    );
    for (name, bytes) in &files {
        assert!(bytes.len() > 500, "{name}: {} bytes", bytes.len());
    }
    assert!(!ran.out.contains('\u{1b}'), "no escapes but on a terminal");
}

/// The charts in a folder and below it, by their endings.
fn drawn(folder: &std::path::Path, below: &str) -> BTreeSet<String> {
    let files = match folder.join(below) {
        path if path.is_dir() => contents(&path),
        _ => return BTreeSet::new(),
    };
    let endings = files.keys().filter_map(|name| name.rsplit_once('.'));
    let endings = endings.map(|(_, ending)| ending.to_owned());
    endings.filter(|e| e == "svg" || e == "png").collect()
}

/// A picture beside figures is of these figures: those of an earlier run go, and nobody else's.
#[test]
fn pictures_of_earlier_results_go() {
    let commands: [(&[&str], &str); 3] = [
        (&["simulate", SUPPER], ""),
        (&["compare", SUPPER, HELPED], ""),
        (&["sweep", "tests/sweeps/supper.toml"], "charts"),
    ];
    for (command, within) in commands {
        let out = folder();
        let path = out.path().to_str().unwrap();
        let own = out.path().join(within).join("mine.txt");
        let play = |seed: &str, format: &str| {
            let more = [
                "-n",
                "2",
                "-q",
                "--out",
                path,
                "--seed",
                seed,
                "--pictures",
                format,
            ];
            let restart = (command[0] == "sweep").then_some("--restart");
            let ran = run(command.iter().chain(&more).chain(&restart));
            assert_eq!(ran.code, 0, "{ran:?}");
            drawn(out.path(), within)
        };
        assert_eq!(play("1", "both").len(), 2, "{command:?}");
        std::fs::write(&own, "x").unwrap();
        assert_eq!(play("2", "svg"), BTreeSet::from(["svg".to_owned()]));
        assert_eq!(play("3", "none"), BTreeSet::new(), "{command:?}");
        assert!(own.is_file());
    }
}

/// A study's charts go too where nothing was thrown away before, and so does a table that is not written now.
#[test]
fn what_a_study_does_not_write_now_goes() {
    let out = folder();
    let path = out.path().to_str().unwrap();
    let sweep = |more: &[&str]| {
        let all = ["sweep", "tests/sweeps/supper.toml", "-q", "--out", path];
        let ran = run(all.iter().chain(more));
        assert_eq!(ran.code, 0, "{ran:?}");
    };
    sweep(&["-n", "2", "--per-replication"]);
    let replications = out.path().join("replications.csv");
    assert!(replications.is_file());
    sweep(&["-n", "2", "--per-replication", "--pictures", "none"]);
    assert!(drawn(out.path(), "charts").is_empty());
    sweep(&["-n", "2", "--restart"]);
    assert!(!replications.exists());
}

#[test]
fn charts_are_drawn_in_the_formats_asked_for() {
    for (format, endings) in [
        ("svg", &["svg"][..]),
        ("png", &["png"]),
        ("both", &["png", "svg"]),
        ("none", &[]),
    ] {
        let out = folder();
        let more = ["-n", "2", "--pictures", format];
        let ran = simulated(SUPPER, out.path(), &more);
        let is_asked = |name: &&&str| {
            let ending = name.rsplit_once('.').unwrap().1;
            ["csv", "json"].contains(&ending) || endings.contains(&ending)
        };
        let wanted: Vec<_> = FILES.iter().filter(is_asked).collect();
        assert_eq!(contents(out.path()).keys().collect::<Vec<_>>(), wanted);
        assert!(
            ran.err.starts_with(&format!("{} files", wanted.len())),
            "{ran:?}"
        );
        let endings: BTreeSet<String> = endings.iter().map(|e| (*e).to_owned()).collect();
        let out = folder();
        let path = out.path().to_str().unwrap();
        let more = ["-n", "2", "-q", "--out", path, "--pictures", format];
        let pair = run(["compare", SUPPER, HELPED].iter().chain(&more));
        assert_eq!((pair.code, drawn(out.path(), "")), (0, endings.clone()));
        let out = folder();
        let path = out.path().to_str().unwrap();
        let more = ["-n", "1", "-q", "--out", path, "--pictures", format];
        let swept = run(["sweep", "tests/sweeps/supper.toml"].iter().chain(&more));
        assert_eq!((swept.code, drawn(out.path(), "charts")), (0, endings));
        assert!(out.path().join("points.csv").is_file());
    }
    let wrong = run(["simulate", SUPPER, "--pictures", "gif"]);
    assert_eq!(wrong.code, 2);
    assert!(
        wrong
            .err
            .contains("[possible values: svg, png, both, none]"),
        "{wrong:?}"
    );
}

/// A scenario with faults has a chart of them, beside those of its water and its cost.
#[test]
fn trouble_has_a_chart_of_its_own() {
    let out = folder();
    simulated("scenarios/friday-as-it-runs.toml", out.path(), &["-n", "2"]);
    let files = contents(out.path());
    assert!(OF_FAULTS.iter().all(|name| files.contains_key(*name)));
}

#[test]
fn the_table_as_it_reads() {
    let out = folder();
    let ran = simulated(SUPPER, out.path(), &["-n", "200", "--seed", "7"]);
    insta::assert_snapshot!(ran.out);
}

#[test]
fn without_a_folder_results_go_to_output_and_the_name_of_the_scenario() {
    let place = folder();
    std::fs::copy(LINE, place.path().join("my line.toml")).unwrap();
    let mut command = assert_cmd::Command::new(PATH);
    let ran = run_command(command.current_dir(place.path()).args([
        "simulate",
        "my line.toml",
        "-n",
        "2",
    ]));
    assert_eq!(ran.code, 0, "{ran:?}");
    // Nobody draws ware from a stock there, so the two pictures of it are left out.
    assert_eq!(
        contents(&place.path().join("output/my line")).len(),
        FILES.len() - 2
    );
}

/// Keys of an object, which it must be.
fn keys(value: &Value) -> BTreeSet<&str> {
    let object = value.as_object().unwrap_or_else(|| panic!("{value}"));
    object.keys().map(String::as_str).collect()
}

const DOCUMENT: [&str; 22] = [
    "version",
    "commit",
    "scenario",
    "title",
    "digest",
    "currency",
    "seed",
    "replications",
    "wanted",
    "interrupted",
    "unfinished",
    "sentence",
    "measures",
    "by_ware",
    "by_operator",
    "by_station",
    "by_cost",
    "by_minute",
    "by_replication",
    "findings",
    "advice",
    "cautions",
];
const FIGURES: [&str; 14] = [
    "unit",
    "mean",
    "half_width",
    "sd",
    "p10",
    "p10_low",
    "p10_high",
    "p50",
    "p50_low",
    "p50_high",
    "p90",
    "p90_low",
    "p90_high",
    "n",
];

/// Figures are numbers or null; without a value all of them are null.
fn check_figures(name: &str, figures: &Value) {
    assert_eq!(keys(figures), FIGURES.into(), "{name}");
    let n = figures["n"].as_u64().unwrap();
    for key in &FIGURES[1..13] {
        let figure = &figures[key];
        if key.ends_with("_low") || key.ends_with("_high") {
            // An interval of a quantile takes more evenings than the quantile.
            assert!(figure.is_f64() || figure.is_null(), "{name}: {key}");
            assert!(n > 0 || figure.is_null(), "{name}: {key}");
            continue;
        }
        let spread = matches!(*key, "half_width" | "sd");
        let missing = n == 0 || (spread && n == 1);
        assert_eq!(
            figure.is_null(),
            missing,
            "{name}: {key} is {figure}, n = {n}"
        );
        assert!(
            figure.is_null() || figure.is_f64(),
            "{name}: {key} is {figure}"
        );
    }
}

/// A change that was tried: a variant to paste, and what it does to each measure.
fn check_tried(tried: &Value) {
    let wanted = [
        "change", "fate", "variant", "evenings", "p_value", "effects",
    ];
    assert_eq!(keys(tried), wanted.into());
    let variant = tried["variant"].as_str().unwrap();
    assert!(
        variant.contains("based_on = \"late-supper.toml\"\n"),
        "{variant}"
    );
    for effect in tried["effects"].as_array().unwrap() {
        let wanted = [
            "measure",
            "unit",
            "without",
            "difference",
            "half_width",
            "n",
        ];
        assert_eq!(keys(effect), wanted.into());
        assert!(effect["difference"].is_f64(), "{effect}");
    }
}

/// What is tried stands below its finding, and at the end how it was tried; nothing of it without advice.
#[test]
fn advice_is_tried_unless_it_is_left_out() {
    let out = folder();
    let tried = simulated(SUPPER, out.path(), &["-n", "60"]).out;
    assert!(tried.contains("\nAdvice was tried: "), "{tried}");
    let document = simulated(SUPPER, out.path(), &["-n", "60", "--json"]).json();
    let evenings = document["advice"]["evenings"].as_u64().unwrap();
    assert!((1..=60).contains(&evenings), "{evenings}");
    let short = simulated(SUPPER, out.path(), &["-n", "19"]).out;
    assert!(short.contains("Advice is not tried"), "{short}");
    let without = simulated(SUPPER, out.path(), &["-n", "60", "--no-advice"]).out;
    assert!(!without.contains("tried"), "{without}");
    let document = simulated(SUPPER, out.path(), &["-n", "60", "--no-advice", "--json"]).json();
    assert!(document["advice"].is_null());
}

#[test]
fn json_is_one_document_with_the_keys_of_the_contract() {
    for count in ["1", "30"] {
        let out = folder();
        let ran = simulated(SUPPER, out.path(), &["-n", count, "--json"]);
        assert!(!ran.out.contains("NaN"));
        let document = ran.json();
        assert_eq!(keys(&document), DOCUMENT.into());
        assert_eq!(document["scenario"], "late-supper");
        assert_eq!(document["replications"].to_string(), count);
        let measures = document["measures"].as_object().unwrap();
        let names: BTreeSet<_> = MEASURES.iter().map(|info| info.name).collect();
        assert_eq!(keys(&document["measures"]), names);
        for (name, figures) in measures {
            check_figures(name, figures);
        }
        for group in ["by_ware", "by_operator", "by_station", "by_cost"] {
            for (name, of_one) in document[group].as_object().unwrap() {
                for (measure, figures) in of_one.as_object().unwrap() {
                    check_figures(&format!("{name}, {measure}"), figures);
                }
            }
        }
        for finding in document["findings"].as_array().unwrap() {
            let wanted = ["code", "severity", "evidence", "advice", "tried"];
            assert_eq!(keys(finding), wanted.into());
            for tried in finding["tried"].as_array().unwrap() {
                check_tried(tried);
            }
        }
    }
}

#[test]
fn a_part_left_out_is_null_and_never_nought() {
    let out = folder();
    let document = simulated(LINE, out.path(), &["-n", "3", "--json"]).json();
    for name in [
        "covers",
        "water_l",
        "cost",
        "short_covers",
        "rewashed_share",
    ] {
        assert!(document["measures"][name]["mean"].is_null(), "{name}");
    }
    assert_eq!(document["measures"]["pieces"]["mean"], 720.0);
}

/// A small evening with some prices: labour, and water, which nobody measures yet.
fn priced(folder: &std::path::Path) -> std::path::PathBuf {
    let base = std::fs::canonicalize(SUPPER).unwrap();
    // As the base is named: charts say which file they are from.
    let file = folder.join("late-supper.toml");
    let text = format!("based_on = {base:?}\n[prices]\nlabour = 12\nwater = 3\n");
    std::fs::write(&file, text).unwrap();
    file
}

#[test]
fn prices_add_a_cost_to_every_output_and_a_chart() {
    let out = folder();
    let file = priced(out.path());
    let results = out.path().join("results");
    let ran = simulated(file.to_str().unwrap(), &results, &["-n", "20"]);
    assert!(ran.err.starts_with("18 files in "), "{}", ran.err);
    let files = contents(&results);
    assert_eq!(files.len(), FILES.len() + OF_COST.len());
    assert!(OF_COST.iter().all(|name| files.contains_key(*name)));
    for part in ["cost per cover", "Cost by part", "Not in the cost"] {
        assert!(ran.out.contains(part), "{part} is not in {}", ran.out);
    }
    let document = simulated(file.to_str().unwrap(), &results, &["-n", "20", "--json"]).json();
    let parts = &document["by_cost"];
    let names = keys(parts);
    let wanted = [
        "labour",
        "water",
        "sewer",
        "energy",
        "detergent",
        "rinse-aid",
    ];
    assert_eq!(names, wanted.into());
    let (cost, labour) = (&document["measures"]["cost"], &parts["labour"]);
    assert_eq!(cost["mean"], labour["cost"]["mean"]);
    assert_eq!(labour["share"]["mean"], 1.0);
    for part in &wanted[2..] {
        assert!(parts[part]["cost"]["mean"].is_null(), "{part}");
    }
    let (_, rows) = csv(&results.join("measures.csv"));
    let of_labour = rows
        .iter()
        .filter(|row| row["of"] == "cost" && row["name"] == "labour");
    assert_eq!(of_labour.count(), 4);
}

/// The rest of an evening does not know what it costs: the same bits with prices and without.
#[test]
fn prices_change_nothing_else() {
    let out = folder();
    let file = priced(out.path());
    let (with, without) = (out.path().join("with"), out.path().join("without"));
    simulated(file.to_str().unwrap(), &with, &["-n", "40"]);
    simulated(SUPPER, &without, &["-n", "40"]);
    let (with, without) = (contents(&with), contents(&without));
    assert_eq!(with["series.csv"], without["series.csv"]);
    let other = |files: &std::collections::BTreeMap<String, Vec<u8>>, name: &str| {
        let (_, rows) = csv_of(std::str::from_utf8(&files[name]).unwrap());
        let of_money = |head: &str| head.starts_with("cost");
        let rows = rows.into_iter().filter(|row| {
            let measure = row.get("measure").map_or("", String::as_str);
            !of_money(measure) && row.get("of").is_none_or(|of| of != "cost")
        });
        let rows = rows.map(|mut row| {
            row.retain(|head, _| !of_money(head));
            row
        });
        rows.collect::<Vec<_>>()
    };
    for name in ["measures.csv", "replications.csv"] {
        assert_eq!(other(&with, name), other(&without, name), "{name}");
    }
    for name in FILES.iter().filter(|name| !name.ends_with(".csv")) {
        assert_eq!(with[*name], without[*name], "{name}");
    }
}

#[test]
fn units_of_the_reader_change_no_file() {
    let (metric, us) = (folder(), folder());
    simulated(SUPPER, metric.path(), &["-n", "3"]);
    simulated(SUPPER, us.path(), &["-n", "3", "--units", "us"]);
    assert_eq!(contents(metric.path()), contents(us.path()));
}

#[test]
fn quiet_says_nothing_and_writes_everything() {
    let out = folder();
    let ran = simulated(SUPPER, out.path(), &["-n", "2", "--quiet"]);
    assert_eq!((ran.out.as_str(), ran.err.as_str()), ("", ""));
    assert_eq!(contents(out.path()).len(), FILES.len());
}

#[test]
fn one_evening_has_no_interval() {
    let out = folder();
    let ran = simulated(SUPPER, out.path(), &["-n", "1"]);
    assert!(ran.out.contains("1 evening, seed 1"), "{}", ran.out);
    let pieces = ran.out.lines().find(|line| line.contains("pieces washed"));
    assert!(!pieces.unwrap().contains('±'), "{}", ran.out);
    assert_eq!(csv(&out.path().join("replications.csv")).1.len(), 1);
}

#[test]
fn precision_ends_a_run_early_or_at_the_cap_and_says_how_many() {
    let out = folder();
    let json = |more: &[&str]| {
        let all = [more, &["--json", "--on", "wait_mean_min"]].concat();
        simulated(SUPPER, out.path(), &all).json()
    };
    let early = json(&["--precision", "5%", "-n", "5000"]);
    let played = early["replications"].as_u64().unwrap();
    assert!(played < 5000, "{played}");
    assert_eq!(early["wanted"], 5000);
    let wait = &early["measures"]["wait_mean_min"];
    let (mean, half_width) = (wait["mean"].as_f64(), wait["half_width"].as_f64());
    assert!(half_width.unwrap() <= 0.05 * mean.unwrap(), "{wait}");
    assert!(!mentions_precision(&early), "{early}");
    let capped = json(&["--precision", "0.001%", "-n", "150"]);
    assert_eq!(capped["replications"], 150);
    assert!(mentions_precision(&capped), "{capped}");
    let options = ["--precision", "5%", "-n", "3", "--on", "water_l"];
    let table = simulated(SUPPER, out.path(), &options).out;
    assert!(table.contains("3 evenings"), "{table}");
    assert!(
        table.contains("water used had a value in 0 of 3 evenings"),
        "{table}"
    );
}

/// Whether a document says that the precision asked for was not met.
fn mentions_precision(document: &Value) -> bool {
    let findings = document["findings"].as_array().unwrap();
    findings
        .iter()
        .any(|finding| finding["code"] == "precision-not-met")
}

#[test]
fn a_measure_mistyped_is_answered_with_the_nearest() {
    let ran = run(["simulate", SUPPER, "--precision", "5%", "--on", "wait_mean"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("did you mean `wait_mean_min`?"),
        "{}",
        ran.err
    );
}
