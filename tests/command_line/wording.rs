//! What a scenario calls its service and its money stands wherever people read of them.

use std::fs;
use std::path::{Path, PathBuf};

use crate::program::{Ran, contents, folder, program, run_command};

/// A scenario in `folder` that lays some text over another.
fn over(base: &str, folder: &Path, name: &str, more: &str) -> PathBuf {
    let base = fs::canonicalize(base).unwrap();
    let file = folder.join(format!("{name}.toml"));
    let title = format!("The {name}");
    fs::write(
        &file,
        format!("version = 1\nbased_on = {base:?}\ntitle = {title:?}\n{more}"),
    )
    .unwrap();
    file
}

/// A study of such a scenario, with a choice.
fn study_of(base: &Path, folder: &Path, measure: &str, more: &str) -> PathBuf {
    let file = folder.join("study.toml");
    let text = format!(
        "version = 1\ntitle = \"Crews\"\nbase = {base:?}\nreplications = 4\nmeasures = [\"{measure}\", \"wait_mean_min\"]\n\
         [[factor]]\nname = \"crew\"\npath = \"roster[dishwasher].count\"\nvalues = [1, 2, 3]\n{more}\
         [[target]]\nmeasure = \"crew_out_min_after_close\"\nat_most = 300\nin = \"90 %\"\ntolerance = \"9 %\"\n\
         [choose]\ncheapest = \"{measure}\"\nindifference = 5\n"
    );
    fs::write(&file, text).unwrap();
    file
}

fn ran(command: &str, files: &[&Path], out: &Path, more: &[&str]) -> Ran {
    let mut run = program();
    run.arg(command).args(files).args(more);
    if command != "check" {
        run.arg("--out").arg(out);
    }
    let ran = run_command(&mut run);
    assert_eq!(ran.code, 0, "{command}: {ran:?}");
    ran
}

/// What people read of the files of a folder, and no mark in any of them.
fn written(out: &Path) -> String {
    if !out.exists() {
        return String::new();
    }
    let files = contents(out);
    for (name, bytes) in &files {
        assert!(
            !String::from_utf8_lossy(bytes).contains(['‹', '›']),
            "{name}"
        );
    }
    let files = files.into_iter();
    // The rows of a sweep's parts stand in its tables too.
    let read = |name: &str| {
        let is_table = name.ends_with(".csv") || name.ends_with("datapackage.json");
        name.ends_with(".svg") || (is_table && !name.contains("parts/"))
    };
    let pictures = files.filter(|(name, _)| read(name));
    let texts = pictures.map(|(name, bytes)| name + "\n" + &String::from_utf8(bytes).unwrap());
    texts.collect()
}

const SUPPER: &str = "tests/late-supper.toml";
const PRICES: &str = "[prices]\nlabour = 12\n";

/// Every command, with its table, its document and its pictures; and what it says on the way.
fn every_command(place: &Path, called: &str, prices: &str) -> Vec<(&'static str, String)> {
    let more = format!("[service]\n{called}{prices}");
    let base = over(SUPPER, place, "base", &more);
    let helped = over(
        SUPPER,
        place,
        "helped",
        &format!("{more}[soak]\nsinks = 2\n"),
    );
    let measure = if prices.is_empty() {
        "labour_h"
    } else {
        "cost"
    };
    let study = study_of(&base, place, measure, "");
    let pictures: &[&str] = &["--pictures", "svg"];
    let played: [(&str, Vec<&Path>, Vec<&str>); 5] = [
        ("simulate", vec![&base], [&["-n", "40"], pictures].concat()),
        (
            "compare",
            vec![&base, &helped],
            [&["-n", "40"], pictures].concat(),
        ),
        ("sweep", vec![&study], pictures.to_vec()),
        ("choose", vec![&study], vec![]),
        ("check", vec![&base], vec![]),
    ];
    let mut said = Vec::new();
    for (command, files, options) in played {
        let out = place.join(command);
        let table = ran(command, &files, &out, &options);
        let json = ran(command, &files, &out, &[&options[..], &["--json"]].concat());
        said.push((command, table.out + &table.err + &written(&out)));
        said.push((command, texts_of(&json.json())));
    }
    said
}

/// The texts of a document, without the names of its keys.
fn texts_of(value: &serde_json::Value) -> String {
    match value {
        serde_json::Value::String(text) => format!("{text}\n"),
        serde_json::Value::Array(all) => all.iter().map(texts_of).collect(),
        serde_json::Value::Object(all) => all.values().map(texts_of).collect(),
        _ => String::new(),
    }
}

#[test]
fn a_lunch_is_nowhere_an_evening() {
    let place = folder();
    for (command, text) in every_command(place.path(), "called = \"lunch\"\n", PRICES) {
        // Files of a comparison's pictures have that in their names.
        let text = text.replace("-evenings.", "-.");
        let at = text.to_lowercase().find("evening");
        let around = at.map(|at| &text[text.floor_char_boundary(at.saturating_sub(80))..]);
        assert_eq!(
            around.map(|t| t.chars().take(160).collect::<String>()),
            None,
            "{command}"
        );
        assert!(!text.contains(['‹', '›']), "{command}: {text}");
        let is_document = !text.contains(' ');
        assert!(text.contains("lunch") || is_document, "{command}: {text}");
    }
}

#[test]
fn without_a_name_it_is_an_evening_and_money() {
    let place = folder();
    let said = every_command(place.path(), "", PRICES);
    let all: String = said.into_iter().map(|(_, text)| text).collect();
    assert!(all.contains("evening") && all.contains("money"));
    // Times after closing are times of day, too: of a table, and of a target.
    for words in [
        "by the clock",
        "at most 300 min in 90 % of evenings, that is by ",
    ] {
        let joined = all.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(joined.contains(words), "{words}: {all}");
    }
    assert!(!all.contains(['‹', '›']));
}

#[test]
fn costs_are_in_the_currency_of_their_prices() {
    let place = folder();
    let prices = "[prices]\ncurrency = \"crowns\"\nlabour = 12\n";
    for (command, text) in every_command(place.path(), "", prices) {
        assert!(text.contains("crowns"), "{command}: {text}");
        assert!(
            !text.contains("money") && !text.contains('‹'),
            "{command}: {text}"
        );
    }
}

/// Nothing converts them, so nothing is played.
#[test]
fn different_currencies_are_not_compared() {
    let place = folder();
    let of = |name: &str, currency: &str| {
        let prices = format!("[prices]\nlabour = 12\ncurrency = \"{currency}\"\n");
        over(SUPPER, place.path(), name, &prices)
    };
    let (base, other) = (of("base", "crowns"), of("other", "shells"));
    let nameless = over(SUPPER, place.path(), "nameless", PRICES);
    let refused = [
        (
            &base,
            &other,
            "of base are in crowns, those of other in shells",
        ),
        (
            &base,
            &nameless,
            "of base are in crowns, those of nameless in no currency that is named",
        ),
    ];
    for (base, other, what) in refused {
        let mut command = program();
        command
            .arg("compare")
            .args([base, other])
            .arg("--out")
            .arg(place.path().join("out"));
        let ran = run_command(&mut command);
        assert_eq!(ran.code, 2, "{ran:?}");
        assert!(ran.err.contains(&format!("the prices {what}")), "{ran:?}");
        assert!(
            ran.err
                .contains("help: give the prices of both in one currency"),
            "{ran:?}"
        );
        assert!(!place.path().join("out").exists());
    }

    let factor = "[[factor]]\nname = \"coin\"\npath = \"prices.currency\"\nvalues = [\"crowns\", \"shells\"]\n";
    let study = study_of(&base, place.path(), "cost", factor);
    for name in ["sweep", "choose"] {
        let mut command = program();
        command
            .arg(name)
            .arg(&study)
            .arg("--out")
            .arg(place.path().join("swept"));
        let ran = run_command(&mut command);
        assert_eq!(ran.code, 2, "{ran:?}");
        assert!(
            ran.err.contains("prices of a design point are in shells"),
            "{ran:?}"
        );
    }
}

#[test]
fn a_comparison_of_a_lunch_and_an_evening_speaks_of_services() {
    let place = folder();
    let lunch = over(
        SUPPER,
        place.path(),
        "lunch",
        "[service]\ncalled = \"lunch\"\n",
    );
    let out = place.path().join("out");
    let said = ran(
        "compare",
        &[&lunch, Path::new(SUPPER)],
        &out,
        &["-n", "3", "--pictures", "none"],
    );
    assert!(
        said.out.contains("on the same 3 services, seed 1"),
        "{said:?}"
    );
}

#[test]
fn names_that_fit_no_table_are_refused() {
    let place = folder();
    for (more, path) in [
        ("[service]\ncalled = \"\"\n", "service.called"),
        (
            "[service]\ncalled = \"a very long and merry lunch\"\n",
            "service.called",
        ),
        (
            "[service]\ncalled_plural = \"lunches\"\n",
            "service.called_plural",
        ),
        (
            "[prices]\ncurrency = \"cr\\u001bowns\"\n",
            "prices.currency",
        ),
        ("[prices]\ncurrency = \"‹money›\"\n", "prices.currency"),
    ] {
        let file = over(SUPPER, place.path(), "wrong", more);
        let ran = run_command(program().arg("check").arg(&file));
        assert_eq!(ran.code, 2, "{more}: {ran:?}");
        assert!(
            ran.err.contains(path) || ran.err.contains("several services have a name"),
            "{ran:?}"
        );
        assert!(ran.err.contains("help: "), "{ran:?}");
    }
}
