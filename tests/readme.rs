//! What the README says is what the program says: the sentences it quotes, the commands it shows, the
//! pictures it points at.

use std::path::Path;

use scullery::report::choice;
use scullery::scenario;
use scullery::study::choose::choose;
use scullery::study::compare;
use scullery::study::design::read::read;
use scullery::study::replicate::Watch;
use scullery::study::{Plan, Stop, simulate};

fn readme() -> String {
    std::fs::read_to_string("README.md").expect("README.md")
}

/// The quotation after a mark, its lines joined.
fn quoted(text: &str, mark: &str) -> String {
    let (_, after) = text
        .split_once(&format!("<!-- {mark} -->\n"))
        .expect("the mark");
    let lines = after.lines().take_while(|line| line.starts_with('>'));
    let words = lines.flat_map(|line| line[1..].split_whitespace());
    words.collect::<Vec<_>>().join(" ")
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
    let text = readme();
    for name in ["friday-rush", "second-loader-from-six"] {
        assert_eq!(quoted(&text, name), said(name), "{name}");
    }
}

/// The sentences of `compare` are those that it prints by itself for the command shown.
#[test]
fn the_sentences_of_the_comparison_are_those_of_the_program() {
    let text = readme();
    let command = text
        .lines()
        .find_map(|line| line.strip_prefix("cargo run --release -- compare "));
    let load = |file| scenario::load(Path::new(file)).unwrap_or_else(|e| panic!("{e}"));
    let scenarios: Vec<_> = command
        .expect("the command")
        .split_whitespace()
        .map(load)
        .collect();
    let plan = compare::Plan {
        seed: 1,
        replications: 1000,
        precision: None,
        threads: 0,
        headline: compare::HEADLINE.to_vec(),
    };
    let comparison = compare::compare(&scenarios, &plan, &Watch::default()).expect("threads");
    assert_eq!(comparison.alternatives.len(), 2);
    for other in &comparison.alternatives {
        let mark = format!("compare {}", other.side.name);
        assert_eq!(quoted(&text, &mark), other.sentence, "{mark}");
    }
}

#[test]
fn the_cheapest_crew_is_that_of_the_program() {
    let file = Path::new("scenarios/studies/cheapest-crew.toml");
    let study = read(file).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let choice = choose(&study, 0, &Watch::default());
    let choice = choice.unwrap_or_else(|ended| panic!("{ended:?}"));
    let told = format!("{} {}", choice::sentence(&choice), choice::spent(&choice));
    assert_eq!(quoted(&readme(), "cheapest-crew"), told);
}

#[test]
fn every_picture_and_file_it_points_at_is_there() {
    let text = readme();
    let pictures = text
        .split("](")
        .skip(1)
        .filter_map(|rest| rest.split_once(')'));
    let mut count = 0;
    for (path, _) in pictures.filter(|(path, _)| !path.contains("://")) {
        assert!(Path::new(path).is_file(), "{path}");
        count += 1;
    }
    assert!(count >= 4, "{count} pictures");
    for line in text
        .lines()
        .filter(|line| line.starts_with("| `") && line.contains(".toml`"))
    {
        let name = line.split('`').nth(1).unwrap_or_default();
        assert!(Path::new("scenarios").join(name).is_file(), "{name}");
    }
}

#[test]
fn it_names_every_shipped_scenario() {
    let text = readme();
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

/// The variant it shows is the shipped one.
#[test]
fn the_variant_it_shows_is_the_shipped_one() {
    let text = readme();
    let (_, after) = text.split_once("```toml\n").expect("an example");
    let (example, _) = after.split_once("```").expect("its end");
    let file = std::fs::read_to_string("scenarios/second-loader-from-six.toml").expect("the file");
    for line in example.lines() {
        assert!(file.lines().any(|own| own == line), "{line}");
    }
}
