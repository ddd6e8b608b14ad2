//! The plan of the house as it stands in `src/`: no room imports from one further down, no two files of a room import
//! each other in a circle, and services are played in one place.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// Rooms in the order in which data goes through them. A file may use its own room and those before it.
const ROOMS: [&str; 9] = [
    "scenario",
    "physics",
    "room",
    "service",
    "statistics",
    "words",
    "study",
    "report",
    "cli",
];

/// Modules by name (`study::compare::fold`), with their text up to their unit tests.
fn modules() -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src")];
    let top = folders[0].clone();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let name = path.strip_prefix(&top).unwrap().with_extension("");
            let name = name.to_str().unwrap().replace('/', "::");
            let name = name.strip_suffix("::mod").unwrap_or(&name).to_owned();
            if path.extension().is_some_and(|end| end == "rs") && !name.contains("tests") {
                let text = fs::read_to_string(&path).unwrap();
                let end = text.find("#[cfg(test)]\nmod tests {").unwrap_or(text.len());
                found.insert(name, text[..end].to_owned());
            }
        }
    }
    found
}

/// The paths of a `use`, braces written out.
fn paths(tree: &str) -> Vec<String> {
    let Some((before, inside)) = tree.split_once('{') else {
        let path = tree.split(" as ").next().unwrap_or_default();
        return vec![path.trim().to_owned()];
    };
    let mut parts = vec![String::new()];
    let mut depth = 0;
    for c in inside.chars() {
        match c {
            '}' if depth == 0 => break,
            ',' if depth == 0 => {
                parts.push(String::new());
                continue;
            }
            '{' => depth += 1,
            '}' => depth -= 1,
            _ => {}
        }
        parts.last_mut().unwrap().push(c);
    }
    let parts = parts.iter().filter(|part| !part.trim().is_empty());
    let whole = parts.map(|part| format!("{}{}", before.trim(), part.trim()));
    whole.flat_map(|path| paths(&path)).collect()
}

/// A path as seen from the top of the crate; nothing if it leads elsewhere.
fn absolute(from: &str, path: &str) -> Option<Vec<String>> {
    let mut at: Vec<&str> = from.split("::").collect();
    let mut steps = path.split("::").peekable();
    match *steps.peek()? {
        "crate" => at.clear(),
        "self" | "super" => {}
        // A module of this one's own, or another crate.
        _ => return Some(at.into_iter().chain(steps).map(str::to_owned).collect()),
    }
    if steps.next() == Some("super") {
        at.pop();
        while steps.next_if_eq(&"super").is_some() {
            at.pop();
        }
    }
    Some(at.into_iter().chain(steps).map(str::to_owned).collect())
}

/// Which modules each one uses.
fn uses() -> BTreeMap<String, BTreeSet<String>> {
    let modules = modules();
    let mut all = BTreeMap::new();
    for (name, text) in &modules {
        let mut used = BTreeSet::new();
        for line in statements(text).into_iter().chain(inline(text)) {
            for path in paths(&line) {
                let Some(steps) = absolute(name, &path) else {
                    continue;
                };
                let longest = (1..=steps.len())
                    .rev()
                    .map(|count| steps[..count].join("::"));
                let found = longest.into_iter().find(|path| modules.contains_key(path));
                used.extend(found.filter(|other| other != name));
            }
        }
        all.insert(name.clone(), used);
    }
    all
}

/// The `use` statements at the top of a file, without `use` and the semicolon. What a module hands on is not used.
fn statements(text: &str) -> Vec<String> {
    let starts = text
        .match_indices("\nuse ")
        .map(|(at, start)| at + start.len());
    let whole = starts.filter_map(|at| text[at..].split_once(';'));
    whole.map(|(tree, _)| tree.replace('\n', " ")).collect()
}

/// Paths in the code itself, such as `super::scale::tidy`; not those that only say who may see it.
fn inline(text: &str) -> Vec<String> {
    let text = text.replace("pub(in crate::service)", "pub");
    let lines = text.lines().map(str::trim_start);
    let code = lines.filter(|line| !line.starts_with("//") && !line.contains("use "));
    let is_path = |c: char| c.is_alphanumeric() || "_:".contains(c);
    let words = code.flat_map(|line| line.split(move |c| !is_path(c)));
    let paths = words.filter(|word| word.starts_with("crate::") || word.starts_with("super::"));
    paths
        .map(|path| path.trim_end_matches(':').to_owned())
        .collect()
}

fn room(module: &str) -> &str {
    module.split("::").next().unwrap_or_default()
}

/// Everything that can be reached from a module within its room.
fn reached<'u>(uses: &'u BTreeMap<String, BTreeSet<String>>, from: &'u str) -> BTreeSet<&'u str> {
    let mut found = BTreeSet::new();
    let mut next = vec![from];
    while let Some(module) = next.pop() {
        for used in uses.get(module).into_iter().flatten() {
            if room(used) == room(from) && found.insert(used.as_str()) {
                next.push(used);
            }
        }
    }
    found
}

fn circles(uses: &BTreeMap<String, BTreeSet<String>>) -> BTreeSet<BTreeSet<String>> {
    let reached: BTreeMap<&str, BTreeSet<&str>> = uses
        .keys()
        .map(|from| (from.as_str(), reached(uses, from)))
        .collect();
    let of = |module: &str| -> BTreeSet<String> {
        let back = |other: &&&str| reached[**other].contains(module);
        reached[module]
            .iter()
            .filter(back)
            .map(|other| (*other).to_owned())
            .collect()
    };
    let all = uses.keys().map(|module| of(module));
    all.filter(|circle| circle.len() > 1).collect()
}

#[test]
fn no_files_of_a_room_use_each_other_in_a_circle() {
    let found = circles(&uses());
    assert!(found.is_empty(), "circles: {found:#?}");
}

/// Every handler is given the parts that it may move. The event loop is `service/mod.rs`, `dispatch.rs` and the rows of
/// `stations.rs`; whatever else is given the whole service only reads it.
#[test]
fn only_the_event_loop_moves_the_whole_service() {
    let loop_itself = ["service", "service::dispatch", "service::stations"];
    let (mut handlers, mut readers) = (0, 0);
    for (name, text) in modules() {
        if room(&name) != "service" || loop_itself.contains(&name.as_str()) {
            continue;
        }
        assert!(!text.contains("&mut Service"), "{name}");
        for block in text.split("\nimpl").skip(1) {
            let block = block.split_once("\n}\n").map_or(block, |(block, _)| block);
            let head = block.lines().next().unwrap_or_default();
            if head.contains("Service") {
                assert!(!block.contains("&mut self"), "{name}: {head}");
                readers += 1;
            } else {
                handlers += block.matches("&mut self, common").count();
            }
        }
    }
    assert!(handlers > 50 && readers > 3, "{handlers} {readers}");
}

#[test]
fn no_room_uses_one_further_down() {
    let place = |module: &str| ROOMS.iter().position(|one| *one == room(module));
    for (module, used) in uses() {
        for other in used {
            if let (Some(own), Some(others)) = (place(&module), place(&other)) {
                assert!(others <= own, "{module} uses {other}");
            }
        }
    }
}

/// The player plays what is studied, and `diary` one service that is written down.
#[test]
fn services_are_played_in_one_place() {
    let makes = |(name, text): (String, String)| text.contains("Service::new(").then_some(name);
    let found: Vec<String> = modules().into_iter().filter_map(makes).collect();
    assert_eq!(found, ["cli::diary", "study::player"]);
}

/// The reader of `use` lines sees what it should.
#[test]
fn circles_are_seen() {
    let tree = "super::{a::B, c::{self, D as E}, f}";
    assert_eq!(
        paths(tree),
        ["super::a::B", "super::c::self", "super::c::D", "super::f"]
    );
    let steps = |from, path| absolute(from, path).unwrap().join("::");
    assert_eq!(
        steps("study::compare::fold", "super::curve::Curve"),
        "study::compare::curve::Curve"
    );
    assert_eq!(
        steps("study::compare::fold", "super::super::plan"),
        "study::plan"
    );
    assert_eq!(
        steps("study::compare", "fold::Folded"),
        "study::compare::fold::Folded"
    );
    let used = |pairs: &[(&str, &str)]| -> BTreeMap<String, BTreeSet<String>> {
        let mut all: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for (from, to) in pairs {
            all.entry((*from).to_owned())
                .or_default()
                .insert((*to).to_owned());
            all.entry((*to).to_owned()).or_default();
        }
        all
    };
    let line = used(&[
        ("x::a", "x::b"),
        ("x::b", "x::c"),
        ("x::c", "y::a"),
        ("y::a", "x::a"),
    ]);
    assert!(
        circles(&line).is_empty(),
        "circles through other rooms are those of the order of rooms"
    );
    let ring = used(&[
        ("x::a", "x::b"),
        ("x::b", "x::c"),
        ("x::c", "x::a"),
        ("x::d", "x::a"),
    ]);
    let circle: BTreeSet<String> = ["x::a", "x::b", "x::c"].map(str::to_owned).into();
    assert_eq!(circles(&ring), BTreeSet::from([circle]));
}
