//! Every bad study we know of is a file in `tests/bad/studies`, with the message it gets beside it.

mod common;

use std::path::Path;

use common::bad_files::{bad_files, each_gets_its_message};
use scullery::study::design::{checked, read::read};

const FOLDER: &str = "tests/bad/studies";

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
    each_gets_its_message(FOLDER, message);
}

#[test]
fn every_bad_study_is_refused_with_a_place_and_a_cure() {
    for path in bad_files(FOLDER) {
        let message = message(&path);
        let shown = path.display();
        assert!(message.contains("--> "), "{shown}: {message}");
        assert!(
            message.contains("help: ") || message.contains("not TOML"),
            "{shown}: {message}"
        );
    }
}
