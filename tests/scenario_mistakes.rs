//! Every bad input we know of is a file in `tests/bad`, with the message it gets beside it.
//!
//! `tests/bad/base` holds what they are based on, and their logs.

mod common;

use std::fs;
use std::path::Path;

use common::bad_files::{bad_files, each_gets_its_message};
use scullery::scenario;

const FOLDER: &str = "tests/bad";

/// What is printed for a file.
fn message(path: &Path) -> String {
    match scenario::load(path) {
        Ok(_) => "no mistake\n".to_string(),
        Err(mistakes) => mistakes.to_string(),
    }
}

#[test]
fn every_bad_file_gets_its_message() {
    each_gets_its_message(FOLDER, message);
}

#[test]
fn every_bad_file_is_refused_with_a_place_and_a_cure() {
    for path in bad_files(FOLDER) {
        let Err(mistakes) = scenario::load(&path) else {
            panic!("{} is accepted", path.display());
        };
        assert!(
            !mistakes.is_empty() && !mistakes.is_system(),
            "{}",
            path.display()
        );
        let text = mistakes.to_string();
        assert!(!text.contains("internal error"), "{text}");
        for mistake in mistakes.iter() {
            let whole_file = mistake.sort == scenario::mistakes::Sort::File;
            assert!(
                mistake.at.is_some() || whole_file,
                "{}: {}",
                path.display(),
                mistake.title
            );
        }
    }
}

#[test]
fn what_the_bad_files_are_based_on_is_good() {
    scenario::load(Path::new("tests/bad/base/good.toml")).unwrap_or_else(|m| panic!("{m}"));
}

#[test]
fn a_directory_and_a_missing_file_are_mended_by_a_person() {
    for path in [
        "tests/bad",
        "tests/bad/not-there.toml",
        "tests/plain-line.toml/x",
    ] {
        let mistakes = scenario::load(Path::new(path)).unwrap_err();
        assert_eq!(mistakes.len(), 1);
        assert!(!mistakes.is_system(), "{mistakes}");
        assert!(mistakes.to_string().contains(path), "{mistakes}");
    }
}

#[test]
fn a_file_too_large_is_not_read() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("large.toml");
    let file = fs::File::create(&path).unwrap();
    file.set_len(1024 * 1024 + 1).unwrap();
    let mistakes = scenario::load(&path).unwrap_err().to_string();
    assert!(mistakes.contains("larger than 1 MiB"), "{mistakes}");
}

#[test]
fn a_file_cut_off_anywhere_is_refused_without_a_panic() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("half.toml");
    let whole = fs::read("scenarios/friday-rush.toml").unwrap();
    for end in (0..whole.len()).step_by(37) {
        fs::write(&path, &whole[..end]).unwrap();
        let _ = scenario::load(&path).map_err(|mistakes| mistakes.render(true));
    }
}

#[test]
fn colours_do_not_change_the_words() {
    let mistakes = scenario::load(Path::new("tests/bad/unknown-key.toml")).unwrap_err();
    let mut plain = String::new();
    let coloured = mistakes.render(true);
    let mut rest = coloured.as_str();
    while let Some(at) = rest.find('\u{1b}') {
        plain.push_str(&rest[..at]);
        rest = rest[at..].split_once('m').map_or("", |(_, after)| after);
    }
    plain.push_str(rest);
    assert_ne!(coloured, mistakes.to_string());
    assert_eq!(plain, mistakes.to_string());
}
