//! Whatever is in a file and whatever is typed: an answer, never a panic.

use std::path::Path;

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::{Index, select};
use proptest::test_runner::FileFailurePersistence;
use scullery::room::Room;
use scullery::scenario;

use crate::program::{HELPED, LINE, RUSH, SUPPER, folder, program, run_command};

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct(
            "tests/command_line/random.proptest-regressions",
        ))),
        ..ProptestConfig::default()
    }
}

/// Loads a file of these bytes; what is good can be made ready, what is bad can be reported.
fn read(bytes: &[u8]) {
    let place = folder();
    let path = place.path().join("file.toml");
    std::fs::write(&path, bytes).unwrap();
    match scenario::load(&path) {
        Ok(loaded) => drop(Room::of(&loaded.scenario)),
        Err(mistakes) => {
            let text = mistakes.render(false);
            assert!(
                !mistakes.is_system() && !text.contains("internal error"),
                "{text}"
            );
        }
    }
}

/// One change to a file.
#[derive(Debug, Clone)]
enum Change {
    Byte(Index, u8),
    Cut(Index, usize),
    Double(Index, usize),
    Word(Index, &'static str),
    Swap(Index, Index),
}

/// Words that mean something in a scenario file, put where they do not belong.
const WORDS: &[&str] = &[
    "\"",
    "[",
    "]]",
    "=",
    "\n",
    "-1",
    "1e308",
    "nan",
    "inf",
    "0",
    "99999999999",
    "\"-5 min\"",
    "\"1e9 h\"",
    "\"25:61\"",
    "true",
    "{}",
    "[]",
    "\"\"",
    "based_on = \"file.toml\"\n",
    "remove = true\n",
    "[[ware]]\n",
    "\u{feff}",
    "\u{1F37D}",
    "\\u0000",
];

fn change() -> impl Strategy<Value = Change> {
    prop_oneof![
        (any::<Index>(), any::<u8>()).prop_map(|(at, byte)| Change::Byte(at, byte)),
        (any::<Index>(), 1..60_usize).prop_map(|(at, length)| Change::Cut(at, length)),
        (any::<Index>(), 1..200_usize).prop_map(|(at, length)| Change::Double(at, length)),
        (any::<Index>(), select(WORDS)).prop_map(|(at, word)| Change::Word(at, word)),
        (any::<Index>(), any::<Index>()).prop_map(|(a, b)| Change::Swap(a, b)),
    ]
}

fn apply(bytes: &mut Vec<u8>, change: &Change) {
    let size = bytes.len();
    if size == 0 {
        return;
    }
    match change {
        Change::Byte(at, byte) => bytes[at.index(size)] = *byte,
        Change::Cut(at, length) => {
            let start = at.index(size);
            bytes.drain(start..(start + length).min(size));
        }
        Change::Double(at, length) => {
            let start = at.index(size);
            let piece = bytes[start..(start + length).min(size)].to_vec();
            bytes.splice(start..start, piece);
        }
        Change::Word(at, word) => {
            let start = at.index(size);
            bytes.splice(start..start, word.bytes());
        }
        Change::Swap(a, b) => swap_lines(bytes, a, b),
    }
}

fn swap_lines(bytes: &mut Vec<u8>, a: &Index, b: &Index) {
    let mut lines: Vec<Vec<u8>> = bytes.split(|&b| b == b'\n').map(<[u8]>::to_vec).collect();
    let (a, b) = (a.index(lines.len()), b.index(lines.len()));
    lines.swap(a, b);
    *bytes = lines.join(&b'\n');
}

proptest! {
    #![proptest_config(config(300))]

    #[test]
    fn random_bytes_are_refused_in_words(bytes in vec(any::<u8>(), 0..3_000)) {
        read(&bytes);
    }

    #[test]
    fn a_scenario_damaged_is_read_or_refused(
        whole in select(vec![RUSH, SUPPER]),
        changes in vec(change(), 1..8),
    ) {
        let mut bytes = std::fs::read(Path::new(whole)).unwrap();
        for change in &changes {
            apply(&mut bytes, change);
        }
        read(&bytes);
    }
}

/// What people type, and what they do not.
const TYPED: &[&str] = &[
    "simulate",
    "compare",
    "check",
    "diary",
    "schema",
    "help",
    HELPED,
    "--headline",
    "--headline=cost,covers",
    SUPPER,
    LINE,
    "tests/bad/choice.toml",
    "missing.toml",
    "-n",
    "--replications",
    "-n2",
    "2",
    "0",
    "-1",
    "1e3",
    "5%",
    "--precision",
    "--precision=50%",
    "--on",
    "--on=covers",
    "wait_mean_min",
    "--replication",
    "--replication=7",
    "--seed",
    "--seed=9",
    "--threads",
    "--threads=3",
    "--json",
    "--units",
    "us",
    "--units=us",
    "-q",
    "--quiet",
    "-h",
    "--help",
    "-V",
    "--version",
    "--color",
    "--color=always",
    "never",
    "bash",
    "--",
    "-",
    "",
    " ",
    "\u{1F37D}",
    "--=",
    "-\u{7f}",
    "99999999999999999999",
];

proptest! {
    #![proptest_config(config(150))]

    #[test]
    fn a_random_command_line_gets_an_answer(
        command in select(vec![
            "simulate", "compare", "compare", "check", "diary", "schema", "man", "completions", "wash",
        ]),
        words in vec(select(TYPED), 0..6),
    ) {
        let place = folder();
        let mut line = program();
        line.arg(command);
        if ["simulate", "compare"].contains(&command) {
            // Few evenings, and no results beside the sources.
            line.args(["-n", "3", "--out"]).arg(place.path());
        }
        let ran = run_command(line.args(&words));
        prop_assert!([0, 1, 2].contains(&ran.code), "{words:?}: {ran:?}");
        prop_assert!(!ran.err.contains("panicked"), "{words:?}: {ran:?}");
        prop_assert!(ran.code == 0 || !ran.err.is_empty(), "{words:?}: {ran:?}");
    }
}
