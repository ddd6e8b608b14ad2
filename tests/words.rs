//! Words of our own that no engineer or manager uses are not in the sources, their tests and their pages. What people read
//! stands in one folder, and is said in short sentences there, in help and in the schema.

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

/// A service may be a lunch: what people read of a scenario says `‹evening›`, and the scenario's word takes its place.
/// Help and messages are of all scenarios.
#[test]
fn an_evening_stands_between_marks_in_what_people_read() {
    let top = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut all = Vec::new();
    files(&top.join("src/words"), &mut all);
    let mut found = Vec::new();
    for path in all {
        let general = ["help.rs", "messages.rs"]
            .iter()
            .any(|name| path.ends_with(name));
        let text = fs::read_to_string(&path).unwrap();
        let code = text.split("#[cfg(test)]").next().unwrap_or_default();
        let lines = code.lines().zip(1..).filter(|_| !general);
        for (line, number) in lines.filter(|(line, _)| !line.trim_start().starts_with("//")) {
            // Names of variables are no words: in braces, or outside the quotes.
            let plain = line.replace("{evenings", "{").replace("{evening", "{");
            let quoted = plain.split('"').skip(1).step_by(2).collect::<String>();
            let is_open = ["evening ", "evenings ", "evening.", "evenings."];
            let bare = quoted.replace("‹evening", "").replace("‹an evening", "");
            if is_open.iter().any(|word| bare.contains(word)) || bare.ends_with("evening") {
                found.push(format!("{}:{number}: {}", path.display(), line.trim()));
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

/// The texts in a source up to its unit tests, each with the line it begins in. What is put into them is one word.
fn texts(source: &str) -> Vec<(usize, String)> {
    let end = source.find("#[cfg(test)]\nmod tests {");
    let source = &source[..end.unwrap_or(source.len())];
    let mut found = Vec::new();
    let mut rest = source.char_indices().peekable();
    while let Some((at, c)) = rest.next() {
        match (c, rest.peek()) {
            ('/', Some((_, '/'))) => while rest.next_if(|(_, c)| *c != '\n').is_some() {},
            // A picture, or what else is no sentence.
            ('r', Some((_, '#'))) => {
                let end = source[at..]
                    .find("\"#")
                    .map_or(source.len(), |end| at + end);
                while rest.next_if(|(at, _)| *at <= end).is_some() {}
            }
            // A quote on its own, as a character.
            ('\'', Some((_, '"'))) => drop(rest.next()),
            ('"', _) => {
                let line = source[..at].lines().count();
                found.push((line, text(&mut rest)));
            }
            _ => {}
        }
    }
    found
}

/// The text that has just begun.
fn text(rest: &mut std::iter::Peekable<std::str::CharIndices<'_>>) -> String {
    let mut text = String::new();
    while let Some((_, c)) = rest.next() {
        match c {
            '"' => break,
            '\\' => match rest.next() {
                // The line goes on in the next.
                Some((_, '\n')) => while rest.next_if(|(_, c)| c.is_whitespace()).is_some() {},
                Some((_, 'n')) => text.push('\n'),
                Some((_, c)) => text.push(c),
                None => {}
            },
            '{' => {
                while rest.next_if(|(_, c)| *c != '}').is_some() {}
                rest.next();
                text.push('X');
            }
            c => text.push(c),
        }
    }
    text
}

#[test]
fn the_folder_of_words_speaks_in_short_sentences() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/words");
    let (mut all, mut seen, mut long) = (Vec::new(), 0, Vec::new());
    files(&folder, &mut all);
    for path in all {
        let source = fs::read_to_string(&path).unwrap();
        for (line, text) in texts(&source) {
            seen += 1;
            let of_text = sentences(&text).filter(|(count, _)| *count > MAX_WORDS);
            let shown = path.strip_prefix(&folder).unwrap().display();
            long.extend(of_text.map(|(_, sentence)| format!("{shown}:{line}: {sentence}")));
        }
    }
    assert!(seen > 500, "{seen}");
    assert!(long.is_empty(), "{long:#?}");
}

/// Words that make a text a sentence.
const A_SENTENCE: usize = 4;

/// Where sentences stand besides `src/words/`: what is wrong and what to do about it, said where it is found; ...
const MISTAKES: [&str; 19] = [
    "cli/compare.rs",
    "cli/man.rs",
    "cli/options.rs",
    "cli/sweep.rs",
    "report/charts/raster.rs",
    "report/charts/scene.rs",
    "report/error.rs",
    "report/parts/gather.rs",
    "report/parts/journal.rs",
    "report/parts/lock.rs",
    "report/parts/mod.rs",
    "report/parts/part.rs",
    "report/parts/stamp.rs",
    "study/choose/error.rs",
    "study/choose/rules.rs",
    "study/design/",
    "study/error.rs",
    "study/sweep.rs",
    "service/audit.rs",
];
/// ... and what a measure or a column means, in its row. `datapackage.json` and `--help` print them.
const ROWS: [&str; 6] = [
    "report/choice/csv.rs",
    "report/compare/tables_csv.rs",
    "report/diary.rs",
    "report/parts/rows.rs",
    "report/tables_csv.rs",
    "service/measure.rs",
];

/// Of the rooms below the words all is said in `tests/bad/` and by the schema.
#[test]
fn sentences_stand_in_the_folder_of_words() {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut all = Vec::new();
    for room in ["service", "study", "report", "cli"] {
        files(&top.join(room), &mut all);
    }
    let mut elsewhere: Vec<&str> = [&MISTAKES[..], &ROWS].concat();
    let mut found = Vec::new();
    let allowed = elsewhere.clone();
    for path in all {
        let name = path.strip_prefix(&top).unwrap().display().to_string();
        // Fonts; what is made up for tests.
        if !name.ends_with(".rs") || name.contains("tests") || name.contains("examples") {
            continue;
        }
        let source = fs::read_to_string(&path).unwrap();
        let is_sentence = |text: &str| {
            let plain = |word: &&str| word.len() > 1 && word.chars().all(char::is_alphabetic);
            text.split_whitespace().filter(plain).count() >= A_SENTENCE
        };
        let said = texts(&source)
            .into_iter()
            .filter(|(_, text)| is_sentence(text));
        let said: Vec<String> = said
            .map(|(line, text)| format!("{name}:{line}: {text}"))
            .collect();
        if let Some(place) = allowed.iter().find(|place| name.starts_with(**place)) {
            if !said.is_empty() {
                elsewhere.retain(|left| left != place);
            }
        } else {
            found.extend(said);
        }
    }
    assert!(found.is_empty(), "{found:#?}");
    assert!(elsewhere.is_empty(), "nothing is said there: {elsewhere:?}");
}

/// The reader of texts sees what it should.
#[test]
fn texts_are_seen() {
    let source = "r#\"no\"# // \"no\"\nlet a = format!(\"{a:.1} is \\\n    long\\n\"); let b = ('\"', \"\\\"b\\\"\");\n\
                  #[cfg(test)]\nmod tests { \"no\" }";
    let expected = [(2, "X is long\n"), (3, "\"b\"")].map(|(line, text)| (line, text.to_owned()));
    assert_eq!(texts(source), expected);
}
