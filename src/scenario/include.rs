//! Files that a scenario takes rows in from: libraries of faults, tasks and the like.
//!
//! What is included lies between the file and what that is based on. It stands alone: it may not draw in
//! others, so no circle can come about.

use std::path::{Path, PathBuf};

use super::fields;
use super::mistakes::{Mistake, Sort};
use super::reach::{beside, unreadable};
use super::sources::{Format, Sources};
use super::tree::{self, Entry, Node, Value};

/// How many files a scenario may include.
const MAX: usize = 64;

/// The files that a tree includes, the last first: what comes later changes what comes before.
pub fn included(
    node: &Node,
    path: &Path,
    sources: &mut Sources,
    mistakes: &mut Vec<Mistake>,
) -> Vec<(PathBuf, Node)> {
    let Some(entry) = node.table().and_then(|table| table.get("include")) else {
        return Vec::new();
    };
    let Value::List(names) = &entry.node.value else {
        mistakes.push(not_names(&entry.node));
        return Vec::new();
    };
    if names.len() > MAX {
        let title = format!("`include` names {} files", names.len());
        let mistake = Mistake::new(Sort::File, title)
            .at(&entry.node.place, format!("more than {MAX}"))
            .help(format!("include at most {MAX} files"));
        mistakes.push(mistake);
        return Vec::new();
    }
    let mut files: Vec<(PathBuf, Node)> = Vec::new();
    for name in names {
        let Some(text) = name.text() else {
            mistakes.push(not_names(name));
            continue;
        };
        let path = beside(path, text);
        if files.iter().any(|(other, _)| *other == path) {
            mistakes.push(twice(text, name));
            continue;
        }
        match sources.read(&path, Format::Toml) {
            Ok(file) => {
                let node = parse_reached(file, sources, mistakes);
                mistakes.extend(stands_alone(&node));
                files.push((path, node));
            }
            Err(problem) => mistakes.push(unreadable(
                "the included file",
                &path,
                problem,
                Some(&name.place),
            )),
        }
    }
    files.reverse();
    files
}

/// Parses a file that was reached through another: it is hidden unless it is a scenario by its looks.
pub fn parse_reached(file: usize, sources: &mut Sources, mistakes: &mut Vec<Mistake>) -> Node {
    let (node, syntax) = tree::parse(sources.text(file), file);
    let is_known = |key: &String| fields::of_scenario().iter().any(|field| field.key() == key);
    let looks_like_ours = node.table().is_some_and(|table| table.keys().all(is_known));
    if !syntax.is_empty() || !looks_like_ours {
        sources.hide(file);
    }
    mistakes.extend(syntax);
    node
}

fn twice(text: &str, name: &Node) -> Mistake {
    Mistake::new(Sort::File, format!("`{text}` is included twice"))
        .at(&name.place, "the second time")
        .help("name each file once")
}

fn not_names(node: &Node) -> Mistake {
    Mistake::new(Sort::File, "`include` must be a list of names of files")
        .at(&node.place, format!("this is {}", node.sort()))
        .help("write it like include = [\"library/faults.toml\"]")
}

/// The mistakes of an included file that draws in others: so no circle can come about.
fn stands_alone(node: &Node) -> Vec<Mistake> {
    let keys = ["based_on", "include"].into_iter();
    let entries = keys.filter_map(|key| Some((key, node.table()?.get(key)?)));
    let mistake = |(key, entry): (&str, &Entry)| {
        let title = format!("an included file cannot have `{key}`");
        Mistake::new(Sort::File, title)
            .at(&entry.key, "it includes another file")
            .help("include that file where this one is included")
    };
    entries.map(mistake).collect()
}
