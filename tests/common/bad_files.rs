//! Bad files, `NAME.toml`, with the message each gets beside it, `NAME.txt`.
//!
//! `UPDATE_EXPECTED=1 cargo test` rewrites the messages; read the difference before you keep it.

use std::fs;
use std::path::{Path, PathBuf};

/// The files in a folder that end like this, in the order of their names.
fn files(folder: &str, ending: &str) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap();
    let mut files: Vec<PathBuf> = entries
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == ending))
        .collect();
    files.sort();
    files
}

/// The bad files of a folder.
pub fn bad_files(folder: &str) -> Vec<PathBuf> {
    files(folder, "toml")
}

/// Panics unless each bad file gets the message beside it, and each message has its file.
pub fn each_gets_its_message(folder: &str, message: impl Fn(&Path) -> String) {
    let mut wrong = Vec::new();
    for path in bad_files(folder) {
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
    for path in files(folder, "txt") {
        if !path.with_extension("toml").exists() {
            wrong.push(format!("{} is left over", path.display()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}
