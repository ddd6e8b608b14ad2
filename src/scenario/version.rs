//! The version of the language that a file is written in: `version = 1` at its top.
//!
//! A file that says nothing is read as version 1, and `scullery check` says so. What a later version changes
//! stands in one table, with what to write instead. A file from before such a change is not read: the
//! message lists every change since.

use super::mistakes::{Mistake, Sort};
use super::tree::{Node, Value};

/// The version that is read, and the one to write.
pub const NEWEST: u32 = 1;
/// That of a file that names none.
const UNSAID: u32 = 1;

/// What a version changed that files of before have to follow.
struct Change {
    /// The first version that has it.
    since: u32,
    /// What is no longer read.
    what: &'static str,
    /// How to write it now.
    now: &'static str,
}

/// Every such change, the oldest first. The first version has none.
const CHANGES: &[Change] = &[];

/// What a file says of its version.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Version {
    /// One that can be read.
    Said,
    /// Nothing, and it can be read as the first.
    Unsaid,
    /// One that cannot be read; it has been reported.
    Unreadable,
}

/// The version of a file, by the tree of it alone.
pub fn check(root: &Node, mistakes: &mut Vec<Mistake>) -> Version {
    check_against(NEWEST, CHANGES, root, mistakes)
}

fn check_against(
    newest: u32,
    changes: &[Change],
    root: &Node,
    mistakes: &mut Vec<Mistake>,
) -> Version {
    let said = root.table().and_then(|table| table.get("version"));
    let node = said.map(|entry| &entry.node);
    let version = match node.map(|node| &node.value) {
        None => Some(i64::from(UNSAID)),
        Some(Value::Whole(number)) => Some(*number),
        Some(_) => None,
    };
    let mistake = match (version, node) {
        (Some(version), _) if (1..=i64::from(newest)).contains(&version) => {
            outdated(version, newest, changes, root, node)
        }
        (Some(version), Some(node)) if version > i64::from(newest) => Some(newer(newest, node)),
        (_, node) => node.map(|node| unknown(newest, node)),
    };
    match (mistake, node) {
        (None, Some(_)) => Version::Said,
        (None, None) => Version::Unsaid,
        (Some(mistake), _) => {
            mistakes.push(mistake);
            Version::Unreadable
        }
    }
}

/// The mistake of a file of before some changes; nothing if there were none since.
fn outdated(
    version: i64,
    newest: u32,
    changes: &[Change],
    root: &Node,
    node: Option<&Node>,
) -> Option<Mistake> {
    let since: Vec<&Change> = changes
        .iter()
        .filter(|change| i64::from(change.since) > version)
        .collect();
    if since.is_empty() {
        return None;
    }
    let title = format!("this file is written in version {version}; what is read is {newest}");
    let mistake = Mistake::new(Sort::File, title);
    let mistake = match node {
        Some(node) => mistake.at(&node.place, "an older version"),
        None => mistake.at(&root.place, "no `version` in this file, which means 1"),
    };
    let explained = since.iter().fold(mistake, |mistake, change| {
        let Change { since, what, now } = change;
        mistake.help(format!("since version {since}, {what}: {now}"))
    });
    Some(explained.help(format!("then write version = {newest}")))
}

/// The mistake of a file from the future.
fn newer(newest: u32, node: &Node) -> Mistake {
    Mistake::new(
        Sort::File,
        "this file is written in a newer version than this program reads",
    )
    .at(&node.place, format!("more than {newest}"))
    .help(format!(
        "use a newer scullery, or write the file as `scullery schema` says and version = {newest}"
    ))
}

/// The mistake of what is no version.
fn unknown(newest: u32, node: &Node) -> Mistake {
    let label = match node.value {
        Value::Whole(_) => "there is no such version",
        _ => node.sort(),
    };
    Mistake::new(Sort::File, "`version` must be the number of a version")
        .at(&node.place, label)
        .help(format!("write it like version = {newest}, without quotes"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::sources::Place;
    use crate::scenario::tree;

    /// An invented language of three versions.
    const INVENTED: &[Change] = &[
        Change {
            since: 2,
            what: "`basin` is called `soak`",
            now: "write [soak] for [basin]",
        },
        Change {
            since: 3,
            what: "a pace is a share",
            now: "write pace = 1.1 for pace = \"110\"",
        },
    ];

    fn read_version(text: &str) -> (Version, Vec<Mistake>) {
        let (root, mut mistakes) = tree::parse(text, 0);
        assert!(mistakes.is_empty(), "{text}");
        let version = check_against(3, INVENTED, &root, &mut mistakes);
        (version, mistakes)
    }

    #[test]
    fn an_older_file_says_what_changed_and_how_to_write_it_now() {
        let (version, mistakes) = read_version("version = 1\n");
        assert_eq!(version, Version::Unreadable);
        assert_eq!(
            mistakes[0].help,
            [
                "since version 2, `basin` is called `soak`: write [soak] for [basin]",
                "since version 3, a pace is a share: write pace = 1.1 for pace = \"110\"",
                "then write version = 3",
            ]
        );
        assert_eq!(
            mistakes[0].at.as_ref().map(|at| &at.0.span),
            Some(&(10..11))
        );
        let (_, second) = read_version("version = 2\n");
        assert_eq!(second[0].help.len(), 2, "{second:?}");
        assert!(second[0].help[0].starts_with("since version 3"));
    }

    #[test]
    fn a_file_that_names_no_version_is_of_the_first() {
        let (version, mistakes) = read_version("title = \"x\"\n");
        assert_eq!(version, Version::Unreadable);
        let (place, label) = mistakes[0].at.as_ref().unwrap();
        let top = Place {
            file: 0,
            span: 0..0,
        };
        assert!(*place == top && label.contains("which means 1"), "{label}");
        assert_eq!(read_version("version = 3\n").0, Version::Said);
        let (root, mut mistakes) = tree::parse("title = \"x\"\n", 0);
        assert_eq!(check(&root, &mut mistakes), Version::Unsaid);
    }

    #[test]
    fn what_is_no_version_is_refused_with_its_cure() {
        for text in ["0", "-1", "1.0", "\"1\"", "true", "[1]", "9", "99999999999"] {
            let (version, mistakes) = read_version(&format!("version = {text}\n"));
            assert_eq!(version, Version::Unreadable, "{text}");
            let is_newer = text.starts_with('9');
            assert_eq!(mistakes[0].title.contains("newer"), is_newer, "{text}");
            assert!(mistakes[0].help[0].contains("version = 3"), "{text}");
        }
    }
}
