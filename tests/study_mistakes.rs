//! Every bad study we know of is a file in `tests/bad/studies`, with the message it gets beside it.
//!
//! `UPDATE_EXPECTED=1 cargo test` writes the messages anew; read the difference before you keep it.

use std::fs;
use std::path::{Path, PathBuf};

use scullery::study::design::{checked, read::read};

const FOLDER: &str = "tests/bad/studies";

fn bad_files() -> Vec<PathBuf> {
    let entries = fs::read_dir(FOLDER)
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let mut files: Vec<PathBuf> = entries
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    files.sort();
    files
}

/// What is printed for a study: what is wrong with the file, or with its design points.
fn message(path: &Path) -> String {
    match read(path) {
        Ok(study) => match checked::check(&study, 0..study.to_play(), 2) {
            Ok(()) => "no mistake\n".to_string(),
            Err(mistakes) => mistakes.to_string(),
        },
        Err(mistakes) => mistakes.to_string(),
    }
}

#[test]
fn every_bad_study_gets_its_message() {
    let mut wrong = Vec::new();
    for path in bad_files() {
        let expected_path = path.with_extension("txt");
        let message = message(&path);
        if std::env::var_os("UPDATE_EXPECTED").is_some() {
            fs::write(&expected_path, &message).unwrap();
        }
        let expected = fs::read_to_string(&expected_path).unwrap_or_default();
        if message != expected {
            let shown = path.display();
            wrong.push(format!("{shown}: expected\n{expected}\nbut got\n{message}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

#[test]
fn every_bad_study_is_refused_with_a_place_and_a_cure() {
    for path in bad_files() {
        let message = message(&path);
        let shown = path.display();
        assert!(message.contains("--> "), "{shown}: {message}");
        assert!(
            message.contains("help: ") || message.contains("not TOML"),
            "{shown}: {message}"
        );
    }
}
