//! Words of our own that no engineer or manager uses are not in the sources, their tests and their pages, and what help
//! and schema say is said in short sentences.

use std::fs;
use std::path::{Path, PathBuf};

use scullery::scenario;
use serde_json::Value;

/// Cut in two, so that this file does not have them.
const OURS: [(&str, &str); 9] = [
    ("to", "ld"),
    ("te", "ll"),
    ("te", "lls"),
    ("am", "iss"),
    ("an", "ew"),
    ("reck", "on"),
    ("reck", "ons"),
    ("reck", "oned"),
    ("reck", "oning"),
];

/// Where they may stand: what was once the name of a measure, in the list of changes.
const HISTORY: &str = "`racks_washed_";

/// Words of the longest sentence.
const MAX_WORDS: usize = 25;

const TOPS: [&str; 7] = [
    "README.md",
    "DEVELOPERS.md",
    "scenarios",
    "src",
    "tests",
    "examples",
    ".ci",
];

fn files(path: &Path, found: &mut Vec<PathBuf>) {
    if path.is_dir() {
        for entry in fs::read_dir(path).unwrap() {
            files(&entry.unwrap().path(), found);
        }
    } else if path.is_file() {
        found.push(path.to_owned());
    }
}

/// Words of a line; a name such as `one_of_two` has three.
fn words(line: &str) -> impl Iterator<Item = String> {
    line.split(|c: char| !c.is_alphabetic())
        .map(str::to_lowercase)
}

#[test]
fn no_words_of_our_own() {
    let top = Path::new(env!("CARGO_MANIFEST_DIR"));
    let ours: Vec<String> = OURS.iter().map(|(a, b)| format!("{a}{b}")).collect();
    let mut all = Vec::new();
    for path in TOPS {
        files(&top.join(path), &mut all);
    }
    let mut found = Vec::new();
    // Pictures and fonts are no text.
    let texts = all
        .iter()
        .filter_map(|path| Some((path, fs::read_to_string(path).ok()?)));
    for (path, text) in texts {
        for (line, number) in text.lines().zip(1..) {
            let is_history = path.ends_with("DEVELOPERS.md") && line.contains(HISTORY);
            if !is_history && words(line).any(|word| ours.contains(&word)) {
                let path = path.strip_prefix(top).unwrap().display();
                found.push(format!("{path}:{number}: {}", line.trim()));
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// Sentences of a text, with the number of their words. What follows a semicolon or a colon is
/// one as well.
fn sentences(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let ends = text
        .split_inclusive(['.', ':', ';', '?', '!', '\n'])
        .map(str::trim);
    ends.map(|sentence| (sentence.split_whitespace().count(), sentence))
}

fn descriptions(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Object(members) => {
            for (key, value) in members {
                match value {
                    Value::String(text) if key == "description" => found.push(text.clone()),
                    _ => descriptions(value, found),
                }
            }
        }
        Value::Array(items) => items.iter().for_each(|item| descriptions(item, found)),
        _ => {}
    }
}

#[test]
fn the_schema_speaks_in_short_sentences() {
    let mut found = Vec::new();
    descriptions(&scenario::schema(), &mut found);
    descriptions(&scenario::study_schema(), &mut found);
    assert!(found.len() > 200, "{}", found.len());
    // Sources are named as they name themselves.
    let said = found
        .iter()
        .filter_map(|text| text.split("Default:").next());
    let long = said.flat_map(sentences);
    let long: Vec<_> = long.filter(|(count, _)| *count > MAX_WORDS).collect();
    assert!(long.is_empty(), "{long:#?}");
}

/// The snapshots of help, where lines are wrapped: a paragraph ends at an empty line.
#[test]
fn help_speaks_in_short_sentences() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/command_line/snapshots");
    let mut long = Vec::new();
    let mut seen = 0;
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if !path.to_string_lossy().contains("__help") {
            continue;
        }
        seen += 1;
        let text = fs::read_to_string(&path).unwrap();
        // Measures and exit codes are lists of one line each.
        for paragraph in text.split("\n\n") {
            let is_list = paragraph.contains("\n  ");
            let whole = if is_list {
                paragraph.to_owned()
            } else {
                paragraph.replace('\n', " ")
            };
            let found = sentences(&whole).filter(|(count, _)| *count > MAX_WORDS);
            long.extend(found.map(|(_, sentence)| format!("{}: {sentence}", path.display())));
        }
    }
    assert!(seen > 8, "{seen}");
    assert!(long.is_empty(), "{long:#?}");
}
