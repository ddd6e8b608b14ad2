//! Every key of a scenario file is explained, with an example that the tests play.

use std::collections::BTreeSet;

use scullery::scenario::explain::{Found, Guide};
use scullery::scenario::field::Unset;
use scullery::scenario::fields;

/// Keys that only files which start from another have.
const OF_VARIANTS: [&str; 2] = ["based_on", "include"];

#[test]
fn every_key_is_explained_with_an_example() {
    let guide = Guide::new();
    let names = guide.names();
    assert!(names.len() > 250, "{}", names.len());
    let mut missing = Vec::new();
    for name in &names {
        let Found::Keys(keys) = guide.explain(name) else {
            panic!("{name} is not found");
        };
        let one = keys.iter().find(|key| key.name() == *name).expect(name);
        assert!(!one.field.what.is_empty(), "{name}");
        let has_keys = !one.below().is_empty();
        match &one.example {
            Some(example) => assert!(example.contains(one.field.key()), "{name}: {example}"),
            None if has_keys => {}
            None => missing.push(name.clone()),
        }
    }
    assert!(missing.is_empty(), "without an example: {missing:?}");
}

/// What is shown is what `tests/everything.toml` says, which other tests load and play: each example is TOML and stands
/// there line by line.
#[test]
fn examples_are_lines_of_files_that_are_played() {
    let files = ["tests/everything.toml", "tests/everything-logged.toml"];
    let texts = files.map(|file| std::fs::read_to_string(file).expect(file));
    let lines: BTreeSet<&str> = texts.iter().flat_map(|text| text.lines()).collect();
    let guide = Guide::new();
    for name in guide.names() {
        let Found::Keys(keys) = guide.explain(&name) else {
            continue;
        };
        for example in keys.iter().filter_map(|key| key.example.as_deref()) {
            for line in example.lines() {
                assert!(lines.contains(line), "{name}: {line}");
            }
            toml::from_str::<toml::Table>(example).unwrap_or_else(|error| {
                panic!("{name}: {error}\n{example}");
            });
        }
    }
}

#[test]
fn names_are_found_as_people_write_them() {
    let guide = Guide::new();
    let paths = [
        "roster.called.once_waiting",
        "roster[].called.once_waiting",
        "roster[help].called.once_waiting",
        "called.once_waiting",
    ];
    for path in paths {
        let Found::Keys(keys) = guide.explain(path) else {
            panic!("{path}");
        };
        let found: Vec<String> = keys.iter().map(|key| key.name()).collect();
        assert_eq!(found, ["roster.called.once_waiting"], "{path}");
    }
    let several = |name| match guide.explain(name) {
        Found::Keys(keys) => keys.len(),
        Found::None(_) => 0,
    };
    assert_eq!(several("once_waiting"), 2, "a duty's condition and a call");
    assert_eq!(
        several("machine"),
        1,
        "the table, not the keys of that name"
    );
    assert!(several("name") > 10);
    for wrong in ["", "[", "]]]", ".", "..", "roster..", "🦀", "[[[["] {
        assert!(matches!(guide.explain(wrong), Found::None(_)), "{wrong:?}");
    }
    let Found::None(near) = guide.explain("owmed") else {
        panic!("there is no such key");
    };
    assert_eq!(near, ["ware.owned"]);
}

/// Where a shipped file is named, it gives the key in that line.
#[test]
fn shipped_files_give_the_key_where_it_is_said() {
    let mut said = 0;
    let guide = Guide::new();
    for name in guide.names() {
        let Found::Keys(keys) = guide.explain(&name) else {
            continue;
        };
        for key in &keys {
            for (file, at) in &key.used {
                let text = std::fs::read_to_string(format!("scenarios/{file}")).expect(file);
                let line = text.lines().nth(at - 1).unwrap_or_default();
                assert!(
                    line.contains(key.field.key()),
                    "{name}: {file}:{at}: {line}"
                );
                said += 1;
            }
        }
    }
    assert!(said > 500, "{said}");
}

/// A default that has a value has a source, or says why.
#[test]
fn defaults_have_a_source() {
    for field in fields::all() {
        let has_value = matches!(
            field.unset,
            Unset::Text(_) | Unset::Number(_) | Unset::Whole(_) | Unset::Lognormal(..)
        );
        let may_be_bare = field.path == "note" || OF_VARIANTS.contains(&field.path);
        assert!(
            !has_value || may_be_bare || !field.source.is_empty(),
            "{}",
            field.path
        );
    }
}
