//! Command lines and files with mistakes: exit code 2, a message, nothing else.

use std::fs;
use std::path::{Path, PathBuf};

use crate::program::{LINE, RUSH, SUPPER, folder, run, run_command};

#[test]
fn a_command_line_that_makes_no_sense() {
    let lines: &[&[&str]] = &[
        &[],
        &["wash"],
        &["simulate"],
        &["check"],
        &["diary"],
        &["schema", LINE],
        &["simulate", LINE, LINE],
        &["simulate", LINE, "-n", "0"],
        &["simulate", LINE, "-n", "100001"],
        &["simulate", LINE, "-n", "ten"],
        &["simulate", LINE, "-n", "-1"],
        &["simulate", LINE, "-n"],
        &["simulate", LINE, "--seed", "1.5"],
        &["simulate", LINE, "--seed", "18446744073709551616"],
        &["simulate", LINE, "--threads", "1025"],
        &["simulate", LINE, "--precision", "0%"],
        &["simulate", LINE, "--precision", "101%"],
        &["simulate", LINE, "--precision", "NaN"],
        &["simulate", LINE, "--precision", "%"],
        &["simulate", LINE, "--precision", "5%", "--on", "happiness"],
        &["simulate", LINE, "--replication", "1", "-n", "5"],
        &["simulate", LINE, "--replication", "1", "--precision", "5%"],
        &["simulate", LINE, "--units", "imperial"],
        &["simulate", LINE, "--faster"],
        &["diary", LINE, "--replication", "-1"],
        &["compare"],
        &["compare", LINE],
        &["compare", LINE, SUPPER, "-n", "1"],
        &["compare", LINE, SUPPER, "--replication", "3"],
        &["compare", LINE, SUPPER, "--headline", "cost,happiness"],
        &["compare", LINE, SUPPER, "--headline", ""],
        &["compare", LINE, SUPPER, "--on", "cost"],
        &["compare", LINE, SUPPER, "--precision", "0%"],
    ];
    for line in lines {
        let ran = run(*line);
        assert_eq!(ran.code, 2, "{line:?}: {ran:?}");
        assert_eq!(ran.out, "", "{line:?}");
        assert!(
            ran.err.contains("Usage:") || ran.err.starts_with("error:"),
            "{line:?}: {}",
            ran.err
        );
    }
}

/// A file of each kind that cannot be used, with a word of its message.
fn bad_files(place: &Path) -> Vec<(PathBuf, &'static str)> {
    let file = |name: &str, bytes: &[u8]| {
        let path = place.join(name);
        fs::write(&path, bytes).unwrap();
        path
    };
    let whole = fs::read(RUSH).unwrap();
    let large = place.join("large.toml");
    fs::File::create(&large)
        .unwrap()
        .set_len(1024 * 1024 + 1)
        .unwrap();
    vec![
        (place.join("missing.toml"), "no such file"),
        (place.to_path_buf(), "directory"),
        (file("empty.toml", b""), "empty"),
        (file("blank.toml", b" \n\n"), "empty"),
        (file("latin.toml", b"title = \"caf\xe9\"\n"), "not UTF-8"),
        (large, "larger than 1 MiB"),
        (file("cut-off.toml", &whole[..whole.len() / 2 + 7]), "error"),
        (file("table.csv", b"a,b,c\n1,2,3\n"), "error"),
        (file("x.toml", b"x").join("y.toml"), "not a directory"),
    ]
}

#[test]
fn a_file_that_cannot_be_used() {
    let place = folder();
    for (path, word) in bad_files(place.path()) {
        for command in ["simulate", "check", "diary"] {
            let results = place.path().join("results");
            let mut line = crate::program::program();
            line.arg(command).arg(&path);
            if command != "check" {
                line.arg("--out").arg(&results);
            }
            let ran = run_command(&mut line);
            assert_eq!(ran.code, 2, "{command} {}: {ran:?}", path.display());
            assert_eq!(ran.out, "");
            assert!(
                ran.err.contains(word),
                "{command} {}: {}",
                path.display(),
                ran.err
            );
            assert!(ran.err.contains("mistake"), "{}", ran.err);
            assert!(
                !results.exists(),
                "nothing is made for a file that cannot be used"
            );
        }
    }
}

#[test]
fn all_mistakes_are_reported_at_once_with_their_places() {
    let ran = run(["simulate", "tests/bad/everything-at-once.toml"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err
            .matches("tests/bad/everything-at-once.toml:")
            .count()
            > 5,
        "{}",
        ran.err
    );
    assert!(!ran.err.contains('\u{1b}'), "no escapes but on a terminal");
}

/// Results go by the names of the files.
#[test]
fn two_scenarios_of_one_name_are_not_compared() {
    let place = folder();
    let twin = place.path().join("late-supper.toml");
    let base = fs::canonicalize(SUPPER).unwrap();
    fs::write(&twin, format!("based_on = {base:?}\n")).unwrap();
    let out = place.path().join("results");
    let (twin, out_text) = (twin.to_str().unwrap(), out.to_str().unwrap());
    let cases = [
        (SUPPER, "help: a scenario does not differ from itself"),
        (twin, "help: give one of them another name"),
    ];
    for (other, cure) in cases {
        let ran = run(["compare", LINE, SUPPER, other, "--out", out_text]);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{ran:?}");
        for part in ["error: tests/late-supper.toml", other, cure] {
            assert!(ran.err.contains(part), "{part}: {}", ran.err);
        }
    }
    assert!(!out.exists());
}

#[test]
fn a_comparison_refuses_what_simulate_refuses() {
    for (base, other) in [
        ("tests/bad/unknown-key.toml", LINE),
        (LINE, "tests/bad/unknown-key.toml"),
        (LINE, "tests/no-such-file.toml"),
    ] {
        let alone = [base, other].map(|file| run(["check", file]));
        let expected = alone.into_iter().find(|ran| ran.code != 0).unwrap();
        let ran = run(["compare", base, other]);
        assert_eq!((ran.code, ran.err), (expected.code, expected.err));
        assert_eq!(ran.out, "");
    }
}
