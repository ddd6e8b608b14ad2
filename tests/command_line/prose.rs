//! What people read has no name of the program's own: no measure's, no key's, no path's. Every shipped scenario and study
//! is played by every command, and tables, sentences, findings and pictures are read.
//!
//! A key stands only where somebody is asked to write it, marked as code: set to a value, raised, or in a variant to paste.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::program::{Ran, contents, folder, program, run_command};

/// Few evenings, and enough of them that advice is tried.
const EVENINGS: &str = "12";
/// Before a key that is to be written.
const WRITE: [&str; 4] = ["raise ", "set ", "with ", "under "];
/// What a person pastes begins and ends so in a table.
const PASTED: (&str, &str) = ("  write:", "    ");

/// Files of a folder that end so, by name.
fn shipped(place: &str) -> Vec<String> {
    let names = contents(Path::new(place)).into_keys();
    let files = names.filter(|name| name.ends_with(".toml"));
    let files: Vec<String> = files.map(|name| format!("{place}/{name}")).collect();
    assert!(files.len() > 1, "{files:?}");
    files
}

fn played(arguments: &[&str], out: &Path, more: &[&str]) -> Ran {
    let mut command = program();
    command.args(arguments).arg("--out").arg(out);
    let ran = run_command(command.args(more));
    assert_eq!(ran.code, 0, "{arguments:?}: {ran:?}");
    ran
}

/// What was played, read: the table, the document's prose, the text of the pictures.
#[derive(Default)]
struct Read {
    names: Vec<String>,
    texts: usize,
}

impl Read {
    fn text(&mut self, of: &str, text: &str) {
        self.texts += 1;
        let mut found: Vec<String> = names(text);
        found.sort();
        found.dedup();
        let shown = found.into_iter().map(|name| format!("{of}: {name}"));
        self.names.extend(shown);
    }

    fn table(&mut self, of: &str, table: &str) {
        let mut pasted = false;
        let mut lines = Vec::new();
        for line in table.lines() {
            pasted = line == PASTED.0 || pasted && line.starts_with(PASTED.1);
            if !pasted {
                lines.push(line.trim());
            }
        }
        // A key may stand at the head of the line after the word before it.
        self.text(of, &lines.join(" "));
    }

    fn pictures(&mut self, of: &str, out: &Path) {
        let folders = [out.to_owned(), out.join("charts")];
        let files = folders.iter().filter(|folder| folder.is_dir());
        let files: Vec<_> = files.flat_map(|folder| contents(folder)).collect();
        let pictures = files.iter().filter(|(name, _)| name.ends_with(".svg"));
        for (name, picture) in pictures {
            for text in svg_texts(&String::from_utf8_lossy(picture)) {
                self.text(&format!("{of}: {name}"), &text);
            }
        }
    }

    fn document(&mut self, of: &str, value: &Value) {
        const PROSE: [&str; 6] = ["sentence", "evidence", "advice", "label", "change", "words"];
        match value {
            Value::Object(members) => {
                for (key, value) in members {
                    match value {
                        Value::String(text) if PROSE.contains(&key.as_str()) => {
                            self.text(&format!("{of}: {key}"), text);
                        }
                        _ => self.document(of, value),
                    }
                }
            }
            Value::Array(items) => items.iter().for_each(|item| self.document(of, item)),
            _ => {}
        }
    }

    /// Its table and its pictures.
    fn run(&mut self, arguments: &[&str], more: &[&str]) {
        let out = folder();
        let of = arguments.join(" ");
        let drawn = ["--pictures", "svg"];
        let table = played(arguments, out.path(), &[more, &drawn].concat());
        self.table(&of, &table.out);
        self.pictures(&of, out.path());
    }

    /// Its document.
    fn run_json(&mut self, arguments: &[&str], more: &[&str]) {
        let json = ["--json", "--pictures", "none"];
        let document = played(arguments, folder().path(), &[more, &json].concat());
        self.document(&arguments.join(" "), &document.json());
    }

    fn must_be_clean(self, least: usize) {
        assert!(self.names.is_empty(), "{:#?}", self.names);
        assert!(self.texts >= least, "only {} texts were read", self.texts);
    }
}

/// The texts of a picture, its title and description among them.
fn svg_texts(svg: &str) -> Vec<String> {
    let pieces = svg.split('>').filter_map(|piece| piece.split_once('<'));
    let texts = pieces.map(|(text, _)| text.trim().to_owned());
    texts.filter(|text| !text.is_empty()).collect()
}

/// Names of the program's own in a text: words joined by `_`, paths with brackets, and keys joined by a full stop. Names
/// of files are none, and neither is what is marked as code where somebody is to write it.
fn names(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (at, part) in text.split('`').enumerate() {
        let is_code = at % 2 == 1;
        let before: usize = text.split('`').take(at).map(|part| part.len() + 1).sum();
        let is_written = part.contains(" = ")
            || WRITE
                .iter()
                .any(|word| text[..before].ends_with(&format!("{word}`")));
        if !(is_code && is_written) {
            found.extend(
                part.split_whitespace()
                    .filter(|word| is_name(word))
                    .map(str::to_owned),
            );
        }
    }
    found
}

fn is_name(word: &str) -> bool {
    let word = word.trim_matches(|c: char| !c.is_alphanumeric() && !"[]".contains(c));
    if word.starts_with('/')
        || [".toml", ".csv", ".svg", ".png", ".json"]
            .iter()
            .any(|end| word.ends_with(end))
    {
        return false;
    }
    let letters: Vec<char> = word.chars().collect();
    letters.windows(3).any(|three| match three {
        [']', '.', _] => true,
        [a, '_' | '.', b] => a.is_lowercase() && b.is_lowercase(),
        [a, '[', _] => a.is_alphabetic(),
        _ => false,
    })
}

#[test]
fn names_are_seen() {
    let seen = "cost_per_cover in machine[conveyor].zones[wash].length of service.closes, and `rack[].fleet`: 5.2 %";
    let expected = [
        "cost_per_cover",
        "machine[conveyor].zones[wash].length",
        "service.closes,",
        "rack[].fleet",
    ];
    assert_eq!(names(seen), expected);
    let fine = "raise `service.give_up_after`, or `air.drying_multiplier = 1`, e.g. in points.csv; 2 [of 3] p.m. at 0.5";
    let fine = fine.replace("e.g. ", "").replace(" p.m.", "");
    assert_eq!(names(&fine), [""; 0]);
}

#[test]
fn no_evening_speaks_of_names() {
    let mut read = Read::default();
    for file in shipped("scenarios") {
        read.run(&["simulate", &file], &["-n", EVENINGS]);
        // A precision that it cannot reach is a finding.
        let wide = ["-n", "3", "--precision", "0.1%"];
        read.run_json(&["simulate", &file], &wide);
        let sheet = run_command(program().args(["check", &file]));
        read.table(&format!("check {file}"), &sheet.out);
        let sheet = run_command(program().args(["check", "--json", &file]));
        read.document(&format!("check {file}"), &sheet.json());
    }
    read.must_be_clean(500);
}

#[test]
fn no_comparison_speaks_of_names() {
    let mut read = Read::default();
    let files = shipped("scenarios");
    let base = "scenarios/friday-rush.toml";
    for file in files.iter().filter(|file| *file != base) {
        read.run(&["compare", base, file], &["-n", "4"]);
        read.run(
            &["compare", file, base],
            &["-n", "4", "--precision", "0.1%"],
        );
    }
    // Evenings that do not end, and everything that can differ.
    let others = [
        "tests/late-supper.toml",
        "tests/never-finished.toml",
        "tests/everything.toml",
    ];
    read.run(&[&["compare"], &others[..]].concat(), &["-n", "2"]);
    read.must_be_clean(300);
}

#[test]
fn no_study_speaks_of_names() {
    let mut read = Read::default();
    for study in shipped("scenarios/studies") {
        read.run(&["sweep", &study], &["-n", "2"]);
    }
    let place = folder();
    let study = fs::read_to_string("scenarios/studies/cheapest-crew.toml").unwrap();
    let base = fs::canonicalize("scenarios/friday-rush.toml").unwrap();
    let study = study.replace("\"../friday-rush.toml\"", &format!("{base:?}"));
    // The same with two designs instead of sixteen.
    let (from, to) = (
        study.find("[[factor]]").unwrap(),
        study.rfind("[[factor]]").unwrap(),
    );
    assert!(from < to);
    let study = format!("{}{}", &study[..from], &study[to..]);
    // Neither meets its targets; then both do.
    let met = study.replace("\"3 %\"", "\"90 %\"");
    let met = met.replace("in = \"95 %\"", "in = \"50 %\"");
    let met = met.replace("\"45 min\"", "\"900 min\"");
    for (name, study, code) in [("unmet.toml", study, 3), ("met.toml", met, 0)] {
        let path = place.path().join(name);
        fs::write(&path, study).unwrap();
        for json in [&[][..], &["--json"]] {
            let results = folder();
            let mut command = program();
            command
                .arg("choose")
                .arg(&path)
                .arg("--out")
                .arg(results.path());
            let ran = run_command(command.args(json));
            assert_eq!(ran.code, code, "{ran:?}");
            match json {
                [] => read.table("choose", &ran.out),
                _ => read.document("choose", &ran.json()),
            }
        }
    }
    read.must_be_clean(100);
}
