//! The scenarios, libraries and logs that come with the program, in the program: they can be named from any folder.
//!
//! `library:faults` is `scenarios/library/faults.toml`, `library:friday-rush` is `scenarios/friday-rush.toml`. A file of that
//! very name on disk is reached as `./library:faults`.

use std::path::{Path, PathBuf};

/// What the name of a file that comes with the program begins with.
pub const LIBRARY: &str = "library:";

/// A file that comes with the program.
#[derive(Debug, Clone, Copy)]
pub struct Shipped {
    /// Its path in `scenarios/`.
    pub name: &'static str,
    /// What it says.
    pub text: &'static str,
}

macro_rules! files {
    ($($name:literal),* $(,)?) => {
        &[$(Shipped { name: $name, text: include_str!(concat!("../../scenarios/", $name)) }),*]
    };
}

/// Scenarios and libraries, scenarios first.
pub const FILES: &[Shipped] = files![
    "friday-rush.toml",
    "friday-as-it-runs.toml",
    "second-loader.toml",
    "second-loader-from-six.toml",
    "longer-conveyor.toml",
    "tuesday-log.toml",
    "corner-cafe.toml",
    "canteen-lunch.toml",
    "banquet.toml",
    "central-kitchen.toml",
    "library/faults.toml",
    "library/daily-routine.toml",
    "library/rules-five-hours.toml",
    "library/rules-six-hours.toml",
];

/// Logs that scenarios name.
const LOGS: &[Shipped] = files!["tuesday-log.csv", "central-kitchen.csv"];

impl Shipped {
    /// What it is called behind `library:`: its name without folder, and without the ending of a scenario.
    #[must_use]
    pub fn called(&self) -> &'static str {
        called(self.name)
    }
}

fn called(name: &str) -> &str {
    let file = name.rsplit('/').next().unwrap_or(name);
    file.strip_suffix(".toml").unwrap_or(file)
}

/// Whether a path names what comes with the program.
#[must_use]
pub fn is_shipped(path: &Path) -> bool {
    named(path).is_some()
}

fn named(path: &Path) -> Option<&str> {
    path.to_str()?.strip_prefix(LIBRARY)
}

/// The path of a file that is named in a file of the program, or as one.
#[must_use]
pub fn path(name: &str) -> PathBuf {
    let name = name.strip_prefix(LIBRARY).unwrap_or(name);
    PathBuf::from(format!("{LIBRARY}{}", called(name)))
}

/// The text of such a path; nothing if there is none of that name.
#[must_use]
pub fn text(path: &Path) -> Option<&'static str> {
    let wanted = called(named(path)?);
    let mut all = FILES.iter().chain(LOGS);
    all.find(|file| file.called() == wanted)
        .map(|file| file.text)
}

/// The names there are.
#[must_use]
pub fn names() -> Vec<&'static str> {
    FILES.iter().map(Shipped::called).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_those_of_files() {
        assert_eq!(path("library:faults"), Path::new("library:faults"));
        assert_eq!(path("library/faults.toml"), Path::new("library:faults"));
        assert_eq!(
            path("tuesday-log.csv"),
            Path::new("library:tuesday-log.csv")
        );
        let file = text(Path::new("library:faults")).expect("there is one");
        assert!(file.contains("[[fault]]"));
        assert!(text(Path::new("library:tuesday-log.csv")).is_some());
        for none in [
            "library:",
            "library:fault",
            "faults",
            "library:../faults.csv",
        ] {
            assert!(text(Path::new(none)).is_none(), "{none}");
        }
        let mut all = names();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), FILES.len(), "no two of one name");
    }
}
