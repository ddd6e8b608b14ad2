//! The library as another program takes it: by the items at the top of the crate and nothing else, with any features.

use std::collections::BTreeSet;
use std::path::Path;

use scullery::details::{GroupKind, Sort, Verdict};
use scullery::{
    HEADLINE, Loaded, MEASURES, Measure, Output, Pictures, Plan, PlayError, Severity, Stop, Units,
    Watch, compare, compare_watched, load, load_changed, load_text, play, play_watched, sheet,
    write,
};

const FRIDAY: &str = "scenarios/friday-rush.toml";
const HELPED: &str = "scenarios/second-loader.toml";
const PLAIN: &str = "tests/plain-line.toml";

fn loaded(path: &str) -> Loaded {
    load(path).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

/// A text with a mistake in its fourth line and one in the file it is based on.
#[test]
fn mistakes_are_values_with_their_places() {
    let folder = tempfile::tempdir().unwrap();
    let base = std::fs::read_to_string(PLAIN).unwrap();
    let base = base.replace("per_rack = 18", "per_rack = 0");
    std::fs::write(folder.path().join("base.toml"), base).unwrap();
    let text = "version = 1\nbased_on = \"base.toml\"\n[loading]\n  per_unit = \"5 kg\"\n";

    let mistakes = load_text("mine.toml", text, Some(folder.path())).unwrap_err();
    let found: Vec<_> = mistakes
        .iter()
        .map(|mistake| {
            let place = mistakes.location(mistake).expect("a place");
            let file = place.file.file_name().unwrap().to_owned();
            assert!(
                !mistake.title.is_empty() && !mistake.help.is_empty(),
                "{mistake:?}"
            );
            (
                mistake.sort,
                file.into_string().unwrap(),
                place.line,
                place.column,
            )
        })
        .collect();
    let per_rack = (Sort::Value, "base.toml".to_owned(), 24, 12);
    let per_unit = (Sort::Value, "mine.toml".to_owned(), 4, 14);
    assert_eq!(found, [per_unit, per_rack], "{mistakes}");
    // It is an error like any other, and prints as the program prints it.
    let error: Box<dyn std::error::Error> = Box::new(mistakes);
    assert!(error.to_string().ends_with("2 mistakes\n"), "{error}");
}

/// The place counts characters, not bytes.
#[test]
fn columns_are_those_of_an_editor() {
    let text = "version = 1\ntitle = \"Ø\"\nnote = \"àéî\", x = 1\n";
    let mistakes = load_text("odd.toml", text, None).unwrap_err();
    let mistake = mistakes.iter().find(|mistake| mistake.sort == Sort::Syntax);
    let place = mistakes.location(mistake.expect("no TOML")).unwrap();
    assert_eq!((place.line, place.column), (3, 13), "{mistakes}");
}

#[test]
fn what_is_missing_as_a_whole_has_no_place() {
    for mistakes in [
        load("scenarios/nowhere.toml").unwrap_err(),
        load_text("empty.toml", " \n", None).unwrap_err(),
    ] {
        let all: Vec<_> = mistakes.iter().collect();
        assert_eq!(all.len(), 1, "{mistakes}");
        assert_eq!(mistakes.location(all[0]), None);
        assert_eq!(all[0].sort, Sort::File);
    }
}

/// A text is what a file of that name in that folder would be.
#[test]
fn a_text_plays_as_its_file_does() {
    let text = std::fs::read_to_string(HELPED).unwrap();
    let from_text = load_text("second-loader.toml", &text, Some(Path::new("scenarios")));
    let from_text = from_text.unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let from_file = loaded(HELPED);
    assert_eq!(from_text.name, from_file.name);
    assert_eq!(from_text.files, from_file.files);
    let [one, other] = [from_text, from_file].map(|it| play(&it, &Plan::new(3)).unwrap());
    assert_eq!(one.json().unwrap(), other.json().unwrap());
    assert_eq!(one.rows, other.rows);
}

#[test]
fn a_text_without_a_folder_names_no_file() {
    let alone = std::fs::read_to_string(PLAIN).unwrap();
    let scenario = load_text("line.toml", &alone, None).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!((scenario.name.as_str(), scenario.files.len()), ("line", 1));

    let log = "[soiled_log]\nfile = \"tests/sweeps/sites.csv\"\nsoil = \"sauce\"\n";
    // Each of the files is there, seen from the folder that the test runs in.
    let named = [
        ("based_on", format!("version = 1\nbased_on = \"{PLAIN}\"\n")),
        ("include", format!("include = [\"{PLAIN}\"]\n{alone}")),
        ("file", format!("{alone}{log}")),
    ];
    for (key, text) in named {
        let mistakes = load_text("line.toml", &text, None).unwrap_err();
        let refused = mistakes
            .iter()
            .find(|mistake| mistake.title.contains("stands in no folder"));
        let refused = refused.unwrap_or_else(|| panic!("{key}: {mistakes}"));
        let place = mistakes.location(refused).expect("where it is named");
        let line = text.lines().nth(place.line - 1).unwrap();
        assert!(line.starts_with(key), "{line}");
        assert!(refused.help[0].contains("in which folder"), "{mistakes}");
    }
}

/// The name of a text leads to no other folder: files are called by it.
#[test]
fn the_name_of_a_text_is_the_name_of_a_file() {
    let text = std::fs::read_to_string(PLAIN).unwrap();
    for (given, name) in [
        ("line.toml", "line"),
        ("line", "line"),
        ("../../etc/line.toml", "line"),
        ("/line", "line"),
        ("..", "scenario"),
        ("", "scenario"),
    ] {
        let scenario = load_text(given, &text, None).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(scenario.name, name, "{given:?}");
    }
}

#[test]
fn changes_lie_over_a_file() {
    let changed = load_changed(Path::new(PLAIN), "[loading]\nper_unit = \"6 s\"\n");
    let changed = changed.unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let comparison = compare(&[loaded(PLAIN), changed], &Plan::new(2)).unwrap();
    let changes = &comparison.alternatives[0].changes;
    assert_eq!(changes.len(), 1, "{changes:?}");
    assert!(
        changes[0].path.starts_with("loading.per_unit"),
        "{changes:?}"
    );
}

#[test]
fn every_measure_is_found_by_its_name_and_nothing_else_is() {
    let evening = play(&loaded(FRIDAY), &Plan::new(3)).unwrap();
    for measure in MEASURES {
        let found = evening.measure(measure.name).expect(measure.name);
        assert_eq!(found.info.name, measure.name);
    }
    for unknown in ["", "wait_p95", "WAIT_P95_MIN", " wait_p95_min", "plate"] {
        assert!(evening.measure(unknown).is_none(), "{unknown}");
    }
    let plates = evening.group(GroupKind::Ware, "plate").expect("plates");
    assert!(
        plates
            .measures
            .iter()
            .all(|it| plates.measure(it.info.name) == Some(it))
    );
    assert!(plates.measure("wait_p95_min_of_all").is_none());
    assert!(evening.group(GroupKind::Operator, "plate").is_none());
    assert!(evening.group(GroupKind::Ware, "sombrero").is_none());
}

/// The mean of the rows is the mean of the estimate.
#[test]
fn the_rows_are_what_was_estimated() {
    let evening = play(&loaded(FRIDAY), &Plan::new(5)).unwrap();
    let column = MEASURES
        .iter()
        .position(|it| it.name == "wait_mean_min")
        .unwrap();
    let values: Vec<f64> = evening
        .rows
        .iter()
        .filter_map(|row| row.values[column])
        .collect();
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let estimate = evening.measure("wait_mean_min").unwrap();
    assert_eq!((values.len(), estimate.n), (5, 5));
    assert!((estimate.mean.unwrap() - mean).abs() < 1e-9);
}

#[test]
fn differences_are_those_of_the_pairs() {
    let plan = Plan::new(8);
    let comparison = compare(&[loaded(FRIDAY), loaded(HELPED)], &plan).unwrap();
    let other = comparison
        .alternative("second-loader")
        .expect("it was played");
    let found = other.difference("wait_mean_min").expect("a measure");
    let column = Measure::WaitMean as usize;
    let pairs: Vec<f64> = (comparison.base.rows.iter().zip(&other.side.rows))
        .filter_map(|(base, other)| Some(other.values[column]? - base.values[column]?))
        .collect();
    let mean = pairs.iter().sum::<f64>() / pairs.len() as f64;
    let squares: f64 = pairs.iter().map(|pair| (pair - mean).powi(2)).sum();
    let sd = (squares / (pairs.len() - 1) as f64).sqrt();
    assert_eq!((found.pairs, pairs.len()), (8, 8));
    assert!((found.mean.unwrap() - mean).abs() < 1e-9);
    assert!((found.sd.unwrap() - sd).abs() < 1e-9);
    // Evenings are those of a run of each alone.
    let alone = play(&loaded(HELPED), &plan).unwrap();
    assert_eq!(alone.rows, other.side.rows);

    assert!(
        comparison.alternative("friday-rush").is_none(),
        "that is the base"
    );
    assert!(other.difference("wait").is_none());
    let judged = |measure| other.difference(measure).and_then(|found| found.judged);
    for measure in HEADLINE {
        assert!(judged(measure.info().name).is_some());
    }
    assert!(judged("wait_mean_min").is_none(), "not of the headline");
}

#[test]
fn a_headline_of_ones_own_is_judged() {
    let scenarios = [loaded(FRIDAY), loaded(HELPED)];
    let headline = [Measure::WaitMean];
    let watch = Watch::default();
    let comparison = compare_watched(&scenarios, &Plan::new(20), &headline, &watch).unwrap();
    let found = comparison.alternatives[0]
        .difference("wait_mean_min")
        .unwrap();
    assert_eq!(
        found.judged.map(|judged| judged.verdict),
        Some(Verdict::Less)
    );
    assert_eq!((comparison.judged, watch.done()), (1, 20));
}

/// Plans that hardly anybody would ask for are answered all the same.
#[test]
fn odd_plans_are_answered() {
    let (base, other) = (loaded(PLAIN), loaded(PLAIN));
    let nothing = play(&base, &Plan::new(0)).unwrap();
    assert_eq!((nothing.replications, nothing.rows.len()), (0, 0));
    assert!(
        nothing
            .measure("wait_mean_min")
            .is_some_and(|it| it.mean.is_none())
    );
    assert!(!nothing.table(Units::Us).is_empty() && nothing.json().is_ok());
    let scenarios = [base, other];
    for count in [0, 1, 2] {
        let comparison = compare(&scenarios, &Plan::new(count)).unwrap();
        assert_eq!(comparison.replications, count);
        let found = comparison.alternatives[0].difference("racks").unwrap();
        assert_eq!(found.half_width.is_some(), count == 2);
        assert!(!comparison.table(Units::Metric).is_empty() && comparison.json().is_ok());
    }
    let one = compare(&scenarios[..1], &Plan::new(2)).unwrap();
    assert!(one.alternatives.is_empty());
    let none = compare(&[], &Plan::new(2)).unwrap_err();
    assert!(matches!(none, PlayError::NoScenario), "{none}");
    let last = Plan {
        stop: Stop::Only(u64::MAX),
        ..Plan::new(1)
    };
    assert!(play(&scenarios[0], &last).unwrap().replications <= 1);
}

#[test]
fn threads_do_not_change_the_bits_and_seeds_do() {
    let friday = loaded(FRIDAY);
    let rows = |seed, threads| {
        let plan = Plan {
            seed,
            threads,
            ..Plan::new(6)
        };
        play(&friday, &plan).unwrap().rows
    };
    assert_eq!(rows(1, 1), rows(1, 3));
    assert_ne!(rows(1, 1), rows(2, 1));
}

#[test]
fn a_run_that_was_cancelled_keeps_what_is_finished() {
    let watch = Watch::showing(|so_far| so_far.cancel());
    let evening = play_watched(&loaded(PLAIN), &Plan::new(100_000), &watch).unwrap();
    assert!(evening.interrupted && evening.replications < 100_000);
    assert_eq!(evening.replications, evening.rows.len() as u64);
}

#[test]
fn findings_are_values_gravest_first() {
    let friday = loaded(FRIDAY);
    let evening = play(&friday, &Plan::new(10)).unwrap();
    let sheet = sheet(&friday);
    assert!(
        evening
            .findings
            .iter()
            .any(|finding| finding.code == "binds")
    );
    for findings in [evening.findings, sheet.findings()] {
        assert!(!findings.is_empty());
        assert!(findings.is_sorted_by_key(|finding| finding.severity));
        assert_eq!(findings[0].severity, Severity::Problem);
        for finding in findings {
            assert!(
                !finding
                    .code
                    .contains(|c: char| !c.is_ascii_lowercase() && c != '-')
            );
            assert!(
                !finding.evidence.is_empty() && !finding.advice.is_empty(),
                "{finding:?}"
            );
        }
    }
}

#[test]
fn the_sheet_counts_what_the_file_says() {
    let sheet = sheet(&loaded(PLAIN));
    assert!((sheet.peak.pieces_evening - 720.0).abs() < 1e-6);
    assert!(
        (sheet.peak.pieces - 360.0).abs() < 1e-6,
        "even over two hours"
    );
    let binds = sheet.binds.expect("somebody has to do it");
    assert!(binds.utilisation.is_some_and(|share| share < 1.0));
}

/// The files of a result, as endings.
fn endings(folder: &Path) -> BTreeSet<String> {
    let files = std::fs::read_dir(folder).unwrap();
    let ending = |path: std::path::PathBuf| Some(path.extension()?.to_str()?.to_owned());
    files
        .filter_map(|entry| ending(entry.unwrap().path()))
        .collect()
}

#[test]
fn files_are_written_into_a_folder() {
    let evening = play(&loaded(FRIDAY), &Plan::new(2)).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let count = write(&evening, folder.path().join("a/b"), Pictures::None).unwrap();
    let written = folder.path().join("a/b");
    assert_eq!(std::fs::read_dir(&written).unwrap().count(), count);
    assert_eq!(endings(&written), ["csv", "json"].map(str::to_owned).into());

    let in_the_way = written.join("measures.csv");
    let error = write(&evening, in_the_way.join("deeper"), Pictures::None).unwrap_err();
    assert!(error.to_string().contains("measures.csv"), "{error}");
}

#[cfg(feature = "charts")]
#[test]
fn pictures_are_drawn_in_the_format_asked_for() {
    let evening = play(&loaded(FRIDAY), &Plan::new(2)).unwrap();
    let folder = tempfile::tempdir().unwrap();
    write(&evening, folder.path(), Pictures::Svg).unwrap();
    assert_eq!(
        endings(folder.path()),
        ["csv", "json", "svg"].map(str::to_owned).into()
    );
}

/// The program is a shell over the same functions: the same document, byte for byte.
#[cfg(feature = "cli")]
#[test]
fn the_program_gives_the_same_numbers() {
    let folder = tempfile::tempdir().unwrap();
    let printed = |arguments: &[&str]| {
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_scullery"))
            .args(arguments)
            .args(["--json", "--quiet"])
            .output()
            .expect("the program");
        assert!(output.status.success(), "{output:?}");
        String::from_utf8(output.stdout).unwrap()
    };
    let out = folder.path().to_str().unwrap();
    let common = ["-n", "5", "--seed", "7", "--pictures", "none", "--out", out];
    let plan = Plan {
        seed: 7,
        ..Plan::new(5)
    };
    let (friday, helped) = (loaded(FRIDAY), loaded(HELPED));

    let evening = scullery::play_and_advise(&friday, &plan, &Watch::default()).unwrap();
    let evening = evening.json().unwrap();
    assert_eq!(
        printed(&[&["simulate", FRIDAY], &common[..]].concat()),
        evening
    );
    let document: serde_json::Value = serde_json::from_str(&printed(&["check", FRIDAY])).unwrap();
    let pieces = document["sheet"]["peak"]["pieces"].as_f64();
    assert_eq!(pieces, Some(sheet(&friday).peak.pieces));
    let comparison = compare(&[friday, helped], &plan).unwrap().json().unwrap();
    let shown = printed(&[&["compare", FRIDAY, HELPED], &common[..]].concat());
    assert_eq!(shown, comparison);
}
