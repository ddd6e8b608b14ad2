//! `compare`: table, files, JSON, bits; and its figures worked out from two runs of `simulate`.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use scullery::service::measure::MEASURES;
use serde_json::Value;

use crate::program::{
    DRAINED, HELPED, LINE, PATH, Ran, SUPPER, contents, csv, folder, program, run_command,
    simulated,
};

/// A real difference of half a minute, and what is thought of it.
#[test]
fn what_is_too_small_to_matter_is_as_one_says() {
    let of = |typed: &str| {
        let out = folder();
        let options = ["-n", "200", "--seed", "7", "--headline", "wait_p95_min"];
        let options = [&options[..], &["--too-small", typed]].concat();
        let table = compared(&THREE[..2], out.path(), &options).out;
        let row = rows(out.path(), "comparison.csv")
            .into_iter()
            .find(|row| row["measure"] == "wait_p95_min")
            .unwrap();
        let options = [&options[..], &["--json", "--pictures", "none"]].concat();
        let json = compared(&THREE[..2], folder().path(), &options).json();
        let other = json["alternatives"][0].clone();
        assert_eq!(
            other["measures"]["wait_p95_min"]["headline"]["verdict"],
            row["verdict"]
        );
        (row, other["sentence"].as_str().unwrap().to_owned(), table)
    };
    let (row, sentence, table) = of("wait_p95_min=0");
    assert_eq!(
        (row["verdict"].as_str(), row["too_small"].as_str()),
        ("less", "0.0")
    );
    assert!(
        sentence.contains(" takes the 95th percentile of the wait from "),
        "{sentence}"
    );
    assert!(!table.contains("too small to matter"), "{table}");
    for (typed, amount) in [("wait_p95_min=2 min", "2.0"), ("wait_p95_min=120 s", "2.0")] {
        let (row, sentence, table) = of(typed);
        let seen = (row["verdict"].as_str(), row["too_small"].as_str());
        assert_eq!(seen, ("too-small-to-matter", amount));
        let start = "the difference in the 95th percentile of the wait (";
        assert!(
            sentence.contains("makes no difference that matters"),
            "{sentence}"
        );
        assert!(
            sentence.contains(start) && sentence.contains(" min) is too small to matter"),
            "{sentence}"
        );
        assert!(
            table.contains("Too small to matter, up to: wait to wash, 95th percentile 2 min ("),
            "{table}"
        );
    }
    // A tenth of the base is more than that, and a hundredth is less.
    assert_eq!(of("wait_p95_min=10%").0["verdict"], "too-small-to-matter");
    assert_eq!(of("wait_p95_min=1%").0["verdict"], "less");
}

#[test]
fn thresholds_that_are_none_are_refused() {
    for (typed, part) in [
        ("cost", "write a measure and a value, such as cost=5"),
        ("costs=5", "did you mean `cost`?"),
        ("cost=-5", "it must be 0 or more"),
        ("cost=nan", "it must be 0 or more"),
        ("cost=much", "`much` is no amount of `cost`"),
        ("wait_mean_min=3 kg", "write a number in min, such as"),
    ] {
        let ran = run_command(program().args(["compare", SUPPER, HELPED, "--too-small", typed]));
        assert!(ran.code == 2 && ran.err.contains(part), "{typed}: {ran:?}");
    }
}

/// What is left for each alternative, besides the three tables.
const PICTURES: [&str; 4] = [
    "difference.png",
    "difference.svg",
    "evenings.png",
    "evenings.svg",
];

/// `compare FILES --out FOLDER` and more, which must succeed.
fn compared(files: &[&str], folder: &Path, more: &[&str]) -> Ran {
    let mut command = program();
    command.arg("compare").args(files).arg("--out").arg(folder);
    let ran = run_command(command.args(more));
    assert_eq!(ran.code, 0, "{ran:?}");
    ran
}

const THREE: [&str; 3] = [SUPPER, HELPED, DRAINED];

#[test]
fn the_table_as_it_reads() {
    let out = folder();
    let ran = compared(&THREE, out.path(), &["-n", "200", "--seed", "7"]);
    let expected = format!("14 files in {}/\n", out.path().display());
    assert_eq!(ran.err, expected);
    assert!(!ran.out.contains('\u{1b}'), "no escapes but on a terminal");
    assert!(ran.out.lines().all(|line| line.chars().count() <= 100));
    insta::assert_snapshot!(ran.out);
}

#[test]
fn three_tables_and_four_pictures_an_alternative() {
    let out = folder();
    compared(&THREE, out.path(), &["-n", "10", "--quiet"]);
    let files = contents(out.path());
    let tables = [
        "comparison.csv",
        "series.csv",
        "replications.csv",
        "datapackage.json",
    ];
    let mut expected = BTreeSet::from(tables.map(String::from));
    for name in ["late-supper-helped", "late-supper-drained"] {
        expected.extend(PICTURES.map(|picture| format!("{name}-{picture}")));
    }
    expected.extend(["alternatives.png", "alternatives.svg"].map(String::from));
    assert_eq!(files.keys().cloned().collect::<BTreeSet<_>>(), expected);
    assert!(files.values().all(|bytes| bytes.len() > 500));
}

#[test]
fn without_a_folder_the_names_of_the_scenarios_name_it() {
    let place = folder();
    for file in [SUPPER, HELPED, DRAINED, LINE] {
        let name = Path::new(file).file_name().unwrap();
        fs::copy(file, place.path().join(name)).unwrap();
    }
    let names = |count: usize| {
        let all = [
            "late-supper",
            "late-supper-helped",
            "late-supper-drained",
            "plain-line",
            "fifth",
        ];
        all[..count]
            .iter()
            .map(|name| format!("{name}.toml"))
            .collect::<Vec<_>>()
    };
    fs::copy(LINE, place.path().join("fifth.toml")).unwrap();
    for (count, expected) in [
        (2, "late-supper-vs-late-supper-helped"),
        (
            3,
            "late-supper-vs-late-supper-helped-and-late-supper-drained",
        ),
        (5, "late-supper-vs-late-supper-helped-and-3-more"),
    ] {
        let mut command = assert_cmd::Command::new(PATH);
        let command = command.current_dir(place.path()).arg("compare");
        let ran = run_command(command.args(names(count)).args(["-n", "2", "--quiet"]));
        assert_eq!((ran.code, ran.out.as_str(), ran.err.as_str()), (0, "", ""));
        let folder = place.path().join("output").join(expected);
        assert!(folder.join("comparison.csv").is_file(), "{expected}");
    }
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let played = |threads: &str| {
        let out = folder();
        // More than one block of replications.
        let options = ["-n", "150", "--seed", "3", "--json", "--threads", threads];
        let json = compared(&THREE, out.path(), &options).out;
        (json, contents(out.path()))
    };
    let one = played("1");
    for threads in ["2", "5", "0"] {
        assert!(played(threads) == one, "{threads} threads");
    }
}

type Rows = Vec<BTreeMap<String, String>>;

fn rows(folder: &Path, name: &str) -> Rows {
    csv(&folder.join(name)).1
}

/// The replications of one scenario of a comparison, without its name.
fn of_scenario(rows: &Rows, name: &str) -> Rows {
    let of_it = rows.iter().filter(|row| row["scenario"] == name).cloned();
    of_it
        .map(|mut row| {
            row.remove("scenario");
            row
        })
        .collect()
}

fn number(cell: &str) -> Option<f64> {
    (!cell.is_empty()).then(|| {
        cell.parse()
            .unwrap_or_else(|_| panic!("`{cell}` is no number"))
    })
}

/// Each scenario's evenings are those that it has alone, so they are paired by replication; and the
/// figures are those that anybody works out from them. Student's t for 99 degrees of freedom, two
/// sided 95 %, is 1.984 (any printed table).
#[test]
fn the_figures_are_those_of_two_runs_of_simulate_paired_by_hand() {
    let (both, base, other) = (folder(), folder(), folder());
    let options = ["-n", "100", "--seed", "11"];
    compared(&[SUPPER, HELPED], both.path(), &options);
    simulated(SUPPER, base.path(), &options);
    simulated(HELPED, other.path(), &options);
    let in_both = rows(both.path(), "replications.csv");
    let alone = [base.path(), other.path()].map(|folder| rows(folder, "replications.csv"));
    assert_eq!(of_scenario(&in_both, "late-supper"), alone[0]);
    assert_eq!(of_scenario(&in_both, "late-supper-helped"), alone[1]);
    let mut compared_by_hand = 0;
    for row in rows(both.path(), "comparison.csv") {
        let head = format!("{} [{}]", row["measure"], row["unit"]);
        let pairs: Vec<(f64, f64)> = (alone[0].iter().zip(&alone[1]))
            .filter_map(|(a, b)| number(&a[&head]).zip(number(&b[&head])))
            .collect();
        assert_eq!(row["pairs"], pairs.len().to_string(), "{head}");
        if pairs.len() != 100 {
            continue;
        }
        compared_by_hand += 1;
        by_hand(&row, &pairs);
    }
    assert!(compared_by_hand > 20, "{compared_by_hand}");
}

/// One row of the table against its pairs.
fn by_hand(row: &BTreeMap<String, String>, pairs: &[(f64, f64)]) {
    let n = pairs.len() as f64;
    let mean = |of: &dyn Fn(&(f64, f64)) -> f64| pairs.iter().map(of).sum::<f64>() / n;
    let variance = |of: &dyn Fn(&(f64, f64)) -> f64| {
        let mean = mean(of);
        pairs
            .iter()
            .map(|pair| (of(pair) - mean).powi(2))
            .sum::<f64>()
            / (n - 1.0)
    };
    let near = |head: &str, expected: f64, relative: f64| {
        let found = number(&row[head]).unwrap_or_else(|| panic!("no {head} in {row:?}"));
        let error = (found - expected).abs();
        assert!(
            error <= relative * expected.abs() + 1e-9,
            "{head}: {found} {expected}"
        );
    };
    let difference = |pair: &(f64, f64)| pair.1 - pair.0;
    near("base_mean", mean(&|pair| pair.0), 1e-12);
    near("alternative_mean", mean(&|pair| pair.1), 1e-12);
    near("difference", mean(&difference), 1e-9);
    let of_difference = variance(&difference);
    near("difference_sd", of_difference.sqrt(), 1e-6);
    near(
        "difference_half_width_95",
        1.984 * (of_difference / n).sqrt(),
        5e-4,
    );
    let independent = variance(&|pair| pair.0) + variance(&|pair| pair.1);
    if independent > 1e-12 {
        near(
            "variance_saved_share",
            1.0 - of_difference / independent,
            1e-6,
        );
    }
}

/// Minute by minute: medians are those of each alone, and a mean difference is the difference of the
/// means where every evening has a value.
#[test]
fn the_courses_are_those_of_two_runs_of_simulate() {
    let (both, base, other) = (folder(), folder(), folder());
    let options = ["-n", "60", "--quiet"];
    compared(&[SUPPER, HELPED], both.path(), &options);
    simulated(SUPPER, base.path(), &options);
    simulated(HELPED, other.path(), &options);
    let all = rows(both.path(), "series.csv");
    let of = |scenario: &str, series: &str| -> Rows {
        let is = |row: &&BTreeMap<String, String>| {
            row["scenario"] == scenario && row["series"] == series
        };
        all.iter().filter(is).cloned().collect()
    };
    let mut differing = 0;
    for (scenario, alone) in [("late-supper", &base), ("late-supper-helped", &other)] {
        let alone = rows(alone.path(), "series.csv");
        for series in ["soiled_waiting", "dried_on_share", "clean_stock:plate"] {
            let alone = alone.iter().filter(|row| row["series"] == series);
            for (here, there) in of(scenario, series).iter().zip(alone) {
                for head in ["clock", "unit", "mean", "p10", "p50", "p90"] {
                    assert_eq!(here[head], there[head], "{series}");
                }
            }
        }
    }
    let (base, other) = (
        of("late-supper", "soiled_waiting"),
        of("late-supper-helped", "soiled_waiting"),
    );
    for (base, other) in base.iter().zip(&other) {
        assert_eq!(
            (&base["clock"], other["pairs"].as_str()),
            (&other["clock"], "60")
        );
        assert_eq!(base["difference"], "");
        let means = number(&other["mean"]).zip(number(&base["mean"]));
        let expected = means.map(|(other, base)| other - base).unwrap();
        let found = number(&other["difference"]).unwrap();
        assert!((found - expected).abs() < 1e-9, "{other:?}");
        differing += u32::from(found != 0.0);
    }
    assert!(differing > 10, "{differing}");
}

fn keys(value: &Value) -> BTreeSet<&str> {
    let object = value.as_object().unwrap_or_else(|| panic!("{value}"));
    object.keys().map(String::as_str).collect()
}

#[test]
fn json_is_one_document_with_the_keys_of_the_contract() {
    let out = folder();
    let options = [
        "-n",
        "30",
        "--json",
        "--headline",
        "wait_p95_min,cost,wait_p95_min",
    ];
    let ran = compared(&THREE, out.path(), &options);
    let document = ran.json();
    assert!(!ran.out.contains("NaN"));
    assert_eq!(
        keys(&document),
        BTreeSet::from([
            "version",
            "commit",
            "seed",
            "replications",
            "wanted",
            "interrupted",
            "currency",
            "level",
            "headline",
            "judged_together",
            "base",
            "alternatives",
            "findings",
            "cautions",
        ])
    );
    assert_eq!(
        keys(&document["base"]),
        BTreeSet::from([
            "scenario",
            "title",
            "digest",
            "unsafe",
            "unfinished",
            "by_minute",
            "by_replication",
        ])
    );
    // Named twice is judged once; there are no prices, so a wait an alternative is judged.
    assert_eq!(
        document["headline"],
        serde_json::json!(["wait_p95_min", "cost"])
    );
    assert_eq!(document["judged_together"], 2);
    let alternatives = document["alternatives"].as_array().unwrap();
    assert_eq!(alternatives.len(), 2);
    for alternative in alternatives {
        assert_eq!(
            keys(alternative),
            BTreeSet::from([
                "scenario",
                "title",
                "digest",
                "unsafe",
                "unfinished",
                "sentence",
                "changes",
                "measures",
                "by_minute",
                "by_replication",
            ])
        );
        let names: BTreeSet<_> = MEASURES.iter().map(|info| info.name).collect();
        assert_eq!(keys(&alternative["measures"]), names);
        for (name, figures) in alternative["measures"].as_object().unwrap() {
            check_figures(name, figures);
        }
    }
    let change = &alternatives[1]["changes"][0];
    let expected = serde_json::json!({
        "path": "machine[conveyor].drain", "label": "drain of the conveyor", "base": "30 s", "alternative": "32 s"
    });
    assert_eq!(*change, expected);
}

fn check_figures(name: &str, figures: &Value) {
    assert_eq!(
        keys(figures),
        BTreeSet::from([
            "unit",
            "base",
            "alternative",
            "difference",
            "variance_saved_share",
            "variance_saved_share_at_most",
            "headline",
        ])
    );
    let is_missing = figures["difference"]["pairs"] == 0;
    for key in ["mean", "half_width", "sd", "p_value"] {
        assert_eq!(
            figures["difference"][key].is_null(),
            is_missing,
            "{name} {key}"
        );
    }
    for side in ["base", "alternative"] {
        assert_eq!(
            keys(&figures[side]),
            BTreeSet::from(["mean", "half_width", "n"])
        );
        assert_eq!(figures[side]["mean"].is_null(), figures[side]["n"] == 0);
    }
    let is_headline = ["wait_p95_min", "cost"].contains(&name);
    assert_eq!(figures["headline"].is_object(), is_headline, "{name}");
    if is_headline {
        let wanted = BTreeSet::from([
            "p_value_holm",
            "half_width_together",
            "too_small",
            "verdict",
        ]);
        assert_eq!(keys(&figures["headline"]), wanted);
        assert_eq!(figures["headline"]["verdict"] == "absent", name == "cost");
    }
}

/// Minutes and replications are in the document as in the tables.
#[test]
fn the_document_has_what_the_tables_have() {
    let out = folder();
    let ran = compared(&THREE, out.path(), &["-n", "20", "--json"]);
    let document = ran.json();
    let sides = |name: &str| {
        let all = document["alternatives"].as_array().unwrap().iter();
        let mut all = all.chain([&document["base"]]);
        all.find(|side| side["scenario"] == *name).unwrap()
    };
    let number = |text: &str| text.parse::<f64>().map_or(Value::Null, Value::from);
    let table = |name: &str| csv::Reader::from_path(out.path().join(name)).unwrap();

    let mut series = table("series.csv");
    let mut minutes = BTreeMap::new();
    for row in series.records().map(Result::unwrap) {
        let minute = minutes
            .entry((row[0].to_owned(), row[2].to_owned()))
            .or_insert(0);
        let own = &sides(&row[0])["by_minute"]["series"][&row[2]];
        for (column, list) in [
            (4, &own["mean"]),
            (7, &own["p90"]),
            (8, &own["difference"]["mean"]),
        ] {
            let found = list.get(*minute).map_or(Value::Null, Clone::clone);
            assert_eq!(found.as_f64(), number(&row[column]).as_f64(), "{row:?}");
        }
        *minute += 1;
    }
    assert!(minutes.len() > 3);

    let mut replications = table("replications.csv");
    let heads = replications.headers().unwrap().clone();
    let mut rows = 0;
    for row in replications.records().map(Result::unwrap) {
        let at: usize = row[0].parse().unwrap();
        let own = &sides(&row[1])["by_replication"];
        assert_eq!(own["finished"][at].to_string(), row[2]);
        for (head, cell) in heads.iter().zip(&row).skip(3) {
            let name = head.split(' ').next().unwrap();
            assert_eq!(
                own["measures"][name][at].as_f64(),
                number(cell).as_f64(),
                "{head}"
            );
        }
        rows += 1;
    }
    assert_eq!(rows, 20 * 3);
}

/// What one of them lacks has no difference, and nothing of it is nought.
#[test]
fn rooms_of_different_kinds_are_compared_in_what_both_have() {
    let out = folder();
    let files = [
        "scenarios/central-kitchen.toml",
        "scenarios/canteen-lunch.toml",
    ];
    let document = compared(&files, out.path(), &["-n", "3", "--json"]).json();
    let measures = &document["alternatives"][0]["measures"];
    let covers = &measures["covers"];
    assert!(covers["base"]["mean"].is_null() && covers["alternative"]["mean"].is_number());
    assert!(covers["difference"]["mean"].is_null() && covers["difference"]["pairs"] == 0);
    assert!(measures["pieces"]["difference"]["mean"].is_number());
    let codes: Vec<_> = document["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| &f["code"])
        .collect();
    assert!(codes.contains(&&Value::from("other-guests")), "{codes:?}");
}

#[test]
fn precision_ends_early_or_at_the_cap_and_says_so() {
    let out = folder();
    let json = |more: &[&str]| {
        let all = [more, &["--json", "--on", "wait_mean_min"]].concat();
        compared(&[SUPPER, HELPED], out.path(), &all).json()
    };
    let early = json(&["--precision", "5%", "-n", "5000"]);
    let wait = &early["alternatives"][0]["measures"]["wait_mean_min"];
    let half_width = wait["difference"]["half_width"].as_f64().unwrap();
    assert!(
        half_width <= 0.05 * wait["base"]["mean"].as_f64().unwrap(),
        "{wait}"
    );
    let played = early["replications"].as_u64().unwrap();
    assert!(played < 5000 && played % 128 == 0, "{played}");
    let code = |document: &Value| document["findings"][0]["code"].clone();
    assert_ne!(code(&early), "precision-not-met");
    let capped = json(&["--precision", "0.001%", "-n", "140"]);
    assert_eq!(
        (&capped["replications"], code(&capped)),
        (&140.into(), "precision-not-met".into())
    );
}

#[test]
fn units_of_the_reader_change_no_file() {
    let (metric, us) = (folder(), folder());
    let files = [
        "scenarios/friday-rush.toml",
        "scenarios/longer-conveyor.toml",
    ];
    let table = compared(&files, us.path(), &["-n", "3", "--units", "us"]).out;
    compared(&files, metric.path(), &["-n", "3"]);
    assert!(
        table
            .lines()
            .any(|line| line.contains("  water") && line.ends_with("gal"))
    );
    assert!(contents(metric.path()) == contents(us.path()));
}
