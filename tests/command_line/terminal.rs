//! Texts of files on a terminal: nothing in them is obeyed, and all of it can be seen.

use std::fs;
use std::path::{Path, PathBuf};

use crate::program::{Ran, SUPPER, folder, program, run_command};

/// Clears the screen, paints, rings, turns letters round: in TOML, and as it is.
const TYPED: &str = r"\u001B[2J\u001B[38;5;123m\u009B31m\u0007\u202E";
const RAW: &str = "\u{1b}[2J\u{1b}[38;5;123m\u{9b}31m\u{7}\u{202e}";

/// The supper in which every name and title is hostile.
fn hostile(folder: &Path) -> PathBuf {
    let mut text = fs::read_to_string(SUPPER).unwrap();
    for name in [
        "plate",
        "cutlery",
        "pan",
        "sauce",
        "peg",
        "basket",
        "conveyor",
        "dishwasher",
        "Late supper",
    ] {
        text = text.replace(&format!("\"{name}\""), &format!("\"{name}{TYPED}\""));
    }
    let path = folder.join("hostile.toml");
    fs::write(&path, text).unwrap();
    path
}

/// Runs as on a terminal: colours and bold stay in what is printed.
fn shown<S: AsRef<std::ffi::OsStr>>(arguments: impl IntoIterator<Item = S>) -> Ran {
    run_command(
        program()
            .args(arguments)
            .env("CLICOLOR_FORCE", "1")
            .env_remove("NO_COLOR"),
    )
}

/// Nothing that is obeyed but line ends and styles; of these none that a file asked for.
fn is_harmless(text: &str) -> bool {
    let mut rest = text.to_owned();
    for style in 0..100 {
        for form in [format!("\u{1b}[{style}m"), format!("\u{1b}[0{style}m")] {
            rest = rest.replace(&form, "");
        }
    }
    for style in 0..16 {
        rest = rest.replace(&format!("\u{1b}[38;5;{style}m"), "");
    }
    let is_obeyed = |c: char| c.is_control() && c != '\n' || ('\u{202a}'..='\u{202e}').contains(&c);
    !rest.chars().any(is_obeyed)
}

#[test]
fn nothing_in_a_scenario_is_obeyed_by_a_terminal() {
    let place = folder();
    let file = hostile(place.path());
    let other = place.path().join("other\u{1b}[2J.toml");
    fs::copy(&file, &other).unwrap();
    let study = place.path().join("study.toml");
    let text = format!(
        "title = \"study{TYPED}\"\nbase = \"hostile.toml\"\nmeasures = [\"labour_h\", \"wait_mean_min\"]\n\
         replications = 3\n\
         [[factor]]\nname = \"crew{TYPED}\"\nbundles = [\n\
         {{ name = \"one{TYPED}\", set = {{ \"air.temperature\" = \"24 C\" }} }},\n\
         {{ name = \"two{TYPED}\", set = {{ \"air.temperature\" = \"30 C\" }} }} ]\n\
         [[target]]\nmeasure = \"wait_mean_min\"\nat_most = 50\ntolerance = 20\n\
         [choose]\ncheapest = \"labour_h\"\nindifference = 5\n"
    );
    fs::write(&study, text).unwrap();
    let out = place.path().join("out\u{1b}[2J");
    let [file, other, study, out] = [&file, &other, &study, &out].map(|p| p.to_str().unwrap());
    let lines: [&[&str]; 10] = [
        &["check", file],
        &["check", file, "--json"],
        &["simulate", file, "-n", "2", "--out", out],
        &["simulate", file, "-n", "2", "--json", "--out", out],
        &["compare", file, other, "-n", "2", "--out", out],
        &["compare", file, other, "-n", "2", "--json", "--out", out],
        &["diary", file],
        &["sweep", study, "--out", out],
        &["sweep", study, "--check"],
        &["choose", study, "--out", out],
    ];
    for line in lines {
        let ran = shown(line);
        assert_eq!(ran.code, 0, "{line:?}: {}", ran.err);
        assert!(is_harmless(&ran.out), "{line:?}: {:?}", ran.out);
        assert!(is_harmless(&ran.err), "{line:?}: {:?}", ran.err);
        if line.contains(&"--json") {
            let text = ran.json().to_string();
            assert!(text.contains("supper"), "{text}");
        }
    }
    let printed = shown(["simulate", file, "-n", "1", "--json", "--out", out]).json();
    let title = serde_json::to_string(&format!("Late supper{RAW}")).unwrap();
    assert!(printed.to_string().contains(&title), "{printed}");
    assert!(
        shown(["simulate", file, "-n", "2", "--out", out])
            .out
            .contains("\u{1b}[1m")
    );
}

#[test]
fn nothing_in_a_message_is_obeyed_by_a_terminal() {
    let place = folder();
    let base = hostile(place.path());
    let text = fs::read_to_string(&base).unwrap();
    let bad: [(&str, String); 6] = [
        (
            "key",
            text.replace("cv = 0.4", &format!("\"cv{TYPED}\" = 0.4")),
        ),
        (
            "value",
            text.replace("\"90 s\"", &format!("\"90 s{TYPED}\"")),
        ),
        ("raw", text.replace("\"90 s\"", &format!("\"90 s{RAW}\""))),
        ("comment", format!("# {RAW}\n{text}\nwrong = 1 # {RAW}\n")),
        (
            "name",
            text.replacen(
                &format!("ware = \"plate{TYPED}\""),
                &format!("ware = \"x{TYPED}\""),
                1,
            ),
        ),
        ("based", format!("based_on = \"no-such{TYPED}.toml\"\n")),
    ];
    for (name, text) in bad {
        let file = place.path().join(format!("{name}\u{1b}[2J\u{9b}.toml"));
        fs::write(&file, text).unwrap();
        let ran = shown(["check", file.to_str().unwrap()]);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{name}: {}", ran.err);
        assert!(is_harmless(&ran.err), "{name}: {:?}", ran.err);
    }
    let missing = place.path().join(format!("missing{RAW}"));
    let missing = missing.to_str().unwrap();
    let typed = format!("--bogus{RAW}");
    let out = format!("/proc/{RAW}");
    let lines: [&[&str]; 6] = [
        &["check", missing],
        &["simulate", SUPPER, "--on", RAW],
        &["simulate", SUPPER, &typed],
        &[RAW],
        &["simulate", SUPPER, "-n", "1", "--out", &out],
        &["sweep", missing],
    ];
    for line in lines {
        let ran = shown(line);
        assert!(ran.code == 1 || ran.code == 2, "{line:?}: {ran:?}");
        assert!(is_harmless(&ran.err), "{line:?}: {:?}", ran.err);
        assert!(
            ran.err.contains("u001b") || ran.err.contains('␛'),
            "{line:?}: {:?}",
            ran.err
        );
    }
}

/// The caret stands under the value, whatever stands before it in the line.
#[test]
fn carets_stand_under_what_they_mean() {
    let place = folder();
    let caret = |before: &str| {
        let file = place.path().join("file.toml");
        let row =
            format!("seating = [{{ from = \"22:00\", to = \"23:00\", {before}, covers = -1 }}]");
        let text = fs::read_to_string(SUPPER).unwrap();
        let line = text
            .lines()
            .find(|line| line.starts_with("seating"))
            .unwrap();
        fs::write(&file, text.replace(line, &row)).unwrap();
        let ran = run_command(program().args(["check", file.to_str().unwrap()]));
        let lines: Vec<&str> = ran.err.lines().collect();
        let at = lines.iter().position(|line| line.contains("covers = -1"));
        let at = at.unwrap_or_else(|| panic!("{}", ran.err));
        let value = lines[at].split_once("-1").unwrap().0.chars().count();
        let mut below = lines[at + 1..].iter();
        let is_below = |line: &&&str| line.chars().nth(value) == Some('^');
        assert!(below.any(|line| is_below(&line)), "{}", ran.err);
    };
    caret("arrivals = \"abc\"");
    caret("arrivals = \"a\u{9b}\u{202e}c\"");
}
