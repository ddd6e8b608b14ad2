//! Scenarios and libraries that come with the program are named from any folder.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use scullery::scenario::{load, load_text, shipped};

fn toml_in(folder: &str) -> BTreeSet<String> {
    let files = fs::read_dir(Path::new("scenarios").join(folder)).expect("a folder");
    let names = files.map(|file| file.expect("a file").file_name());
    let names = names.map(|name| name.to_string_lossy().into_owned());
    let toml = names.filter(|name| name.ends_with(".toml"));
    toml.map(|name| Path::new(folder).join(name).display().to_string())
        .collect()
}

#[test]
fn all_that_is_shipped_is_in_the_program() {
    let mut on_disk = toml_in("");
    on_disk.extend(toml_in("library"));
    let inside: BTreeSet<String> = shipped::FILES.iter().map(|file| file.name.into()).collect();
    assert_eq!(inside, on_disk);
}

/// From the program a scenario is the one on disk, with the logs, bases and libraries that it names.
#[test]
fn a_scenario_of_the_program_is_the_one_on_disk() {
    for file in shipped::FILES {
        if file.name.starts_with("library/") {
            continue;
        }
        let name = format!("library:{}", file.called());
        let inside = load(Path::new(&name)).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let path = Path::new("scenarios").join(file.name);
        let on_disk = load(&path).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        assert_eq!(inside.scenario, on_disk.scenario, "{name}");
        assert_eq!(inside.digest(), on_disk.digest(), "{name}");
        assert_eq!(inside.name, on_disk.name);
        assert!(
            inside
                .files
                .iter()
                .all(|path| path.to_string_lossy().starts_with("library:"))
        );
    }
}

/// A text that stands in no folder may start from them, too.
#[test]
fn a_file_starts_from_what_is_shipped() {
    let text = "version = 1\nbased_on = \"library:corner-cafe\"\ninclude = [\"library:rules-six-hours\"]\n\
                title = \"Ours\"\n";
    let ours = load_text("ours", text, None).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    assert_eq!(ours.scenario.title, "Ours");
    assert!(ours.scenario.rules.is_some());
    let wrong = text.replace("library:rules", "library:rule");
    let mistakes = load_text("ours", &wrong, None)
        .expect_err("there is none")
        .to_string();
    assert!(
        mistakes.contains("nothing of that name comes with the program"),
        "{mistakes}"
    );
    assert!(
        mistakes.contains("did you mean \"rules-six-hours\"?"),
        "{mistakes}"
    );
}
