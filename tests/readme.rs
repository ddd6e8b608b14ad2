//! What the pages say is what the program says: the sentences they quote, the commands they show, the
//! pictures and pages they point at. And the first two can be read in one sitting.
//!
//! `UPDATE_EXPECTED=1` rewrites what they quote.

use std::path::Path;
use std::sync::Mutex;

use scullery::report::choice;
use scullery::report::units::Units;
use scullery::scenario;
use scullery::study::choose::choose;
use scullery::study::compare;
use scullery::study::design::read::read;
use scullery::study::{Plan, Stop, Watch, simulate};

const README: &str = "README.md";
const SCENARIOS: &str = "scenarios/README.md";
const PAGES: [&str; 6] = [
    README,
    "DEVELOPERS.md",
    SCENARIOS,
    "tests/README.md",
    "tests/outside/FOUND.md",
    "tests/bench/README.md",
];

fn page(path: &str) -> String {
    std::fs::read_to_string(path).expect(path)
}

/// A page is found from the README, and each has a size that somebody reads to the end.
#[test]
fn the_pages_can_be_read_in_one_sitting() {
    for (path, most) in [(README, 7_000), ("DEVELOPERS.md", 12_000)] {
        let size = page(path).len();
        assert!(size <= most, "{path} has {size} bytes, at most {most}");
    }
    let readme = page(README);
    for path in &PAGES[1..] {
        assert!(readme.contains(&format!("]({path})")), "{path}");
    }
}

/// Where lines of a quotation end.
const WIDTH: usize = 92;

/// The page quotes these words after a mark. Lines do not matter.
fn quotes(path: &str, mark: &str, words: &str) {
    // Several tests may write the same page.
    static WRITES: Mutex<()> = Mutex::new(());
    let _one_at_a_time = WRITES.lock();
    let text = page(path);
    let mark = format!("<!-- {mark} -->\n");
    let (before, after) = text.split_once(&mark).expect("the mark");
    let lines = after.lines().take_while(|line| line.starts_with('>'));
    let length: usize = lines.clone().map(|line| line.len() + 1).sum();
    let quoted = lines.flat_map(|line| line[1..].split_whitespace());
    if quoted.eq(words.split_whitespace()) {
        return;
    }
    let update = std::env::var_os("UPDATE_EXPECTED").is_some();
    assert!(update, "{path}, {mark}it should be: {words}");
    let mut quotation = String::from(">");
    let mut width = 1;
    for word in words.split_whitespace() {
        if width + 1 + word.chars().count() > WIDTH {
            quotation += "\n>";
            width = 1;
        }
        quotation += " ";
        quotation += word;
        width += 1 + word.chars().count();
    }
    let page = format!("{before}{mark}{quotation}\n{}", &after[length..]);
    std::fs::write(path, page).expect(path);
}

/// As many evenings and the same seed as the program plays by itself.
fn said(name: &str) -> String {
    let loaded = scenario::load(&Path::new("scenarios").join(format!("{name}.toml")));
    let loaded = loaded.unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let plan = Plan {
        seed: 1,
        stop: Stop::After(1000),
        threads: 0,
    };
    simulate(&loaded, &plan, &Watch::default())
        .expect("threads")
        .sentence
}

#[test]
fn the_sentences_are_those_of_the_program() {
    for name in ["friday-rush", "second-loader-from-six"] {
        quotes(README, name, &said(name));
    }
}

/// The sentences of `compare` are those that it prints by itself for the command shown.
#[test]
fn the_sentences_of_the_comparison_are_those_of_the_program() {
    let text = page(README);
    let command = text
        .lines()
        .find_map(|line| line.strip_prefix("cargo run --release -- compare "));
    let load = |file| scenario::load(Path::new(file)).unwrap_or_else(|e| panic!("{e}"));
    let scenarios: Vec<_> = command
        .expect("the command")
        .split_whitespace()
        .map(load)
        .collect();
    let (plan, watch) = (Plan::new(1000), Watch::default());
    let comparison = compare::compare(&scenarios, &plan, &compare::HEADLINE, &watch);
    let comparison = comparison.expect("threads");
    assert_eq!(comparison.alternatives.len(), 2);
    for other in &comparison.alternatives {
        let mark = format!("compare {}", other.side.name);
        quotes(README, &mark, &other.sentence);
    }
}

#[test]
fn the_cheapest_crew_is_that_of_the_program() {
    let file = Path::new("scenarios/studies/cheapest-crew.toml");
    let study = read(file).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let choice = choose(&study, 0, &Watch::default());
    let choice = choice.unwrap_or_else(|ended| panic!("{ended:?}"));
    let shown = choice::Shown {
        choice: &choice,
        units: Units::Metric,
    };
    let words = format!("{} {}", choice::sentence(&shown), choice::spent(&shown));
    quotes(SCENARIOS, "cheapest-crew", &words);
}

#[test]
fn every_picture_and_file_they_point_at_is_there() {
    for path in PAGES {
        let text = page(path);
        let folder = Path::new(path).parent().expect("its folder");
        let links = text
            .split("](")
            .skip(1)
            .filter_map(|rest| rest.split_once(')'));
        for (link, _) in links.filter(|(link, _)| !link.contains("://")) {
            assert!(folder.join(link).is_file(), "{path}: {link}");
        }
    }
    let pictures = |path| page(path).matches("![").count();
    assert!(pictures(README) >= 2 && pictures(SCENARIOS) >= 4);
}

/// What a page names in its tables of files is there, and so is every path from the top of the tree.
#[test]
fn every_file_they_name_is_there() {
    for path in PAGES {
        let text = page(path);
        let folder = Path::new(path).parent().expect("its folder");
        let firsts = text.lines().filter_map(|line| line.strip_prefix("| `"));
        let firsts = firsts.filter_map(|row| row.split('`').next());
        for name in firsts.filter(|name| name.ends_with(".toml") || name.ends_with(".rs")) {
            assert!(folder.join(name).is_file(), "{path}: {name}");
        }
        for name in text.split('`').skip(1).step_by(2) {
            let is_path = ["src/", "tests/", "scenarios/"]
                .iter()
                .any(|top| name.starts_with(top));
            if is_path && !name.contains(['*', ' ', ':']) {
                assert!(Path::new(name).exists(), "{path}: {name}");
            }
        }
    }
}

#[test]
fn every_shipped_scenario_is_named() {
    let text = page(SCENARIOS);
    for entry in std::fs::read_dir("scenarios").expect("scenarios") {
        let name = entry
            .expect("entry")
            .file_name()
            .to_string_lossy()
            .into_owned();
        assert!(
            !name.ends_with(".toml") || text.contains(&format!("`{name}`")),
            "{name}"
        );
    }
}

#[test]
fn the_variant_shown_is_the_shipped_one() {
    let text = page(SCENARIOS);
    let (_, after) = text.split_once("```toml\n").expect("an example");
    let (example, _) = after.split_once("```").expect("its end");
    let file = std::fs::read_to_string("scenarios/second-loader-from-six.toml").expect("the file");
    for line in example.lines() {
        assert!(file.lines().any(|own| own == line), "{line}");
    }
}
