//! A scenario file and the files it is based on, read and merged into one tree.
//!
//! What a file includes lies between it and what it is based on: it changes the base, and the file
//! changes it.
//!
//! Tables merge key by key. Lists whose rows have names are matched by name: a row changes the keys
//! it gives, or is new, or with `remove = true` goes; an empty list takes all rows away. All other
//! lists and values are replaced whole. `remove = true` in a table takes the whole table away. Every
//! value keeps its place, so a mistake points into the file that made it.

use std::path::{Path, PathBuf};

use super::fields::{self, Field, Kind, Unset};
use super::include;
use super::mistakes::{Mistake, Sort};
use super::reach::{beside, unreadable};
use super::sources::{Format, Place, Sources};
use super::suggest;
use super::tree::{self, Entry, Node, Table, Value};
use super::version::{self, Version};

/// What stands for the name of a file where changes are not in one.
pub const CHANGES: &str = "(changes)";
/// How many files may be based on one another.
const MAX_LEVELS: usize = 16;

/// Reads a file and all it is based on, and the changes to it, if any; the merged tree, or nothing
/// if a file could not be read, or is of a version that is not.
pub fn read(
    path: &Path,
    changes: Option<&str>,
    sources: &mut Sources,
    mistakes: &mut Vec<Mistake>,
) -> Option<Node> {
    read_named(path, None, changes, sources, mistakes)
}

/// The same of a file that another names, there.
pub fn read_named(
    path: &Path,
    named_at: Option<Place>,
    changes: Option<&str>,
    sources: &mut Sources,
    mistakes: &mut Vec<Mistake>,
) -> Option<Node> {
    let mut chain: Vec<(PathBuf, Node)> = Vec::new();
    if let Some(text) = changes {
        let shown = beside(path, CHANGES);
        let file = sources.add(shown.clone(), text.to_string());
        let (node, syntax) = tree::parse(text, file);
        mistakes.extend(syntax);
        chain.push((shown, node));
    }
    let mut is_readable = true;
    // What is included takes no step on the way from base to base.
    let mut way: Vec<PathBuf> = Vec::new();
    let mut next: Option<(PathBuf, Option<Place>)> = Some((path.to_path_buf(), named_at));
    while let Some((path, named_at)) = next.take() {
        if let Some(mistake) = too_deep(&way, &path, named_at.as_ref()) {
            mistakes.push(mistake);
            break;
        }
        let node = match sources.read(&path, Format::Toml) {
            Ok(file) if named_at.is_some() => include::parse_reached(file, sources, mistakes),
            Ok(file) => {
                let (node, syntax) = tree::parse(sources.text(file), file);
                mistakes.extend(syntax);
                node
            }
            Err(problem) => {
                mistakes.push(unreadable(
                    "the scenario",
                    &path,
                    problem,
                    named_at.as_ref(),
                ));
                break;
            }
        };
        is_readable &= version_of(&node, sources, mistakes);
        next = base_of(&node, &path, mistakes);
        let included = include::included(&node, &path, sources, mistakes);
        for (_, node) in &included {
            is_readable &= version_of(node, sources, mistakes);
        }
        way.push(path.clone());
        chain.push((path, node));
        chain.extend(included);
    }
    if !is_readable {
        return None;
    }
    for (_, node) in &mut chain {
        drop_duplicates(node, mistakes);
    }
    merge_chain(chain, mistakes)
}

/// Lays the text of changes over a tree that is merged already, as if they stood in a file of that path.
pub fn lay_over(
    tree: &mut Node,
    changes: &str,
    path: PathBuf,
    sources: &mut Sources,
    mistakes: &mut Vec<Mistake>,
) {
    let file = sources.add(path, changes.to_owned());
    let (mut node, syntax) = tree::parse(changes, file);
    mistakes.extend(syntax);
    drop_duplicates(&mut node, mistakes);
    merge_over(tree, node, mistakes);
}

/// Merges changes into a tree, as a file that is based on another does.
pub fn merge_over(base: &mut Node, over: Node, mistakes: &mut Vec<Mistake>) {
    if let (Value::Table(below), Value::Table(over)) = (&mut base.value, over.value) {
        Merger { mistakes }.table(below, over, &fields::of_scenario(), "");
    }
}

/// Whether the version of a file can be read; one that names none is noted.
fn version_of(node: &Node, sources: &mut Sources, mistakes: &mut Vec<Mistake>) -> bool {
    let version = version::check(node, mistakes);
    if version == Version::Unsaid {
        sources.note_unversioned(node.place.file);
    }
    version != Version::Unreadable
}

fn merge_chain(chain: Vec<(PathBuf, Node)>, mistakes: &mut Vec<Mistake>) -> Option<Node> {
    let mut merged: Option<Node> = None;
    for (_, node) in chain.into_iter().rev() {
        let empty = Node {
            value: Value::Table(Table::new()),
            place: node.place.clone(),
        };
        let mut base = merged.unwrap_or(empty);
        base.place = node.place.clone();
        merge_over(&mut base, node, mistakes);
        merged = Some(base);
    }
    merged
}

/// The file that a tree says it is based on, and where it says so.
fn base_of(
    node: &Node,
    path: &Path,
    mistakes: &mut Vec<Mistake>,
) -> Option<(PathBuf, Option<Place>)> {
    let base = &node.table()?.get("based_on")?.node;
    let Some(name) = base.text() else {
        let mistake = Mistake::new(Sort::File, "`based_on` must be text, in quotes")
            .at(&base.place, format!("this is {}", base.sort()))
            .help("write it like based_on = \"other.toml\"");
        mistakes.push(mistake);
        return None;
    };
    Some((beside(path, name), Some(base.place.clone())))
}

/// Whether a file comes back to one already read, or too many have been.
fn too_deep(way: &[PathBuf], path: &Path, named_at: Option<&Place>) -> Option<Mistake> {
    let place = named_at?;
    let same = |other: &Path| match (other.canonicalize(), path.canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => other == path,
    };
    if let Some(first) = way.iter().position(|other| same(other)) {
        let names = way[first..].iter().map(PathBuf::as_path).chain([path]);
        let names: Vec<String> = names.map(|p| p.display().to_string()).collect();
        let title = "files are based on one another in a circle";
        return Some(
            Mistake::new(Sort::File, title)
                .at(
                    place,
                    format!("{} is already on the way here", path.display()),
                )
                .help(format!("the circle is {}", names.join(" -> "))),
        );
    }
    (way.len() >= MAX_LEVELS).then(|| {
        Mistake::new(
            Sort::File,
            format!("more than {MAX_LEVELS} files are based on one another"),
        )
        .at(place, "this one is too many")
        .help("base the file on one nearer to the start of the chain")
    })
}

/// Says which rows of one file have the same name, and keeps the first of each.
fn drop_duplicates(node: &mut Node, mistakes: &mut Vec<Mistake>) {
    drop_duplicates_below(node, &fields::of_scenario(), "", mistakes);
}

/// The same under these fields, whose path is given.
pub fn drop_duplicates_below(
    node: &mut Node,
    fields: &[&'static Field],
    path: &str,
    mistakes: &mut Vec<Mistake>,
) {
    let Value::Table(table) = &mut node.value else {
        return;
    };
    for field in fields {
        let (Kind::Rows(true, most), Some(entry)) = (field.kind, table.get_mut(field.key())) else {
            continue;
        };
        let Value::List(rows) = &mut entry.node.value else {
            continue;
        };
        let path = format!("{path}{}", field.key());
        if rows.len() > most {
            mistakes.push(Mistake::too_many(
                &path,
                rows.len(),
                most,
                &entry.node.place,
            ));
            rows.truncate(most);
        }
        let mut kept: Vec<Node> = Vec::new();
        for mut row in rows.drain(..) {
            match first_of_name(&kept, &row) {
                Some(first) => mistakes.push(duplicate(&path, &row, first)),
                None => {
                    let name = row.text_of("name").unwrap_or_default();
                    let inside = format!("{path}[{name}].");
                    drop_duplicates_below(&mut row, &field.children(), &inside, mistakes);
                    kept.push(row);
                }
            }
        }
        *rows = kept;
    }
}

fn first_of_name<'a>(rows: &'a [Node], row: &Node) -> Option<&'a Node> {
    let name = row.text_of("name")?;
    rows.iter()
        .find(|other| other.text_of("name") == Some(name))
}

fn duplicate(list: &str, row: &Node, first: &Node) -> Mistake {
    let name = row.text_of("name").unwrap_or_default();
    Mistake::new(
        Sort::Value,
        format!("two rows of `{list}` are called \"{name}\""),
    )
    .at(name_place(row), "the second")
    .also(name_place(first), "the first")
    .help("give one of them another name, or make them one row")
}

/// Where the name of a row stands.
fn name_place(row: &Node) -> &Place {
    row.table()
        .and_then(|t| t.get("name"))
        .map_or(&row.place, |entry| &entry.node.place)
}

struct Merger<'a> {
    mistakes: &'a mut Vec<Mistake>,
}

impl Merger<'_> {
    fn table(&mut self, base: &mut Table, over: Table, fields: &[&'static Field], path: &str) {
        for (key, entry) in over {
            let path = if path.is_empty() {
                key.clone()
            } else {
                format!("{path}.{key}")
            };
            let field = fields.iter().find(|field| field.key() == key);
            if let Some(field) = field
                && matches!(field.kind, Kind::Table)
                && asks_removal(&entry.node)
            {
                self.remove_table(base, &key, &entry, field, &path);
                continue;
            }
            match (field, base.get_mut(&key)) {
                (Some(field), Some(old)) => self.value(&mut old.node, entry.node, field, &path),
                (Some(field), None) => {
                    let mut entry = entry;
                    self.fresh(&mut entry.node, field, &path);
                    base.insert(key, entry);
                }
                (None, _) => {
                    base.insert(key, entry);
                }
            }
        }
    }

    fn value(&mut self, old: &mut Node, new: Node, field: &'static Field, path: &str) {
        if matches!(field.kind, Kind::Time(_)) {
            return merge_time(old, new);
        }
        match (field.kind, &mut old.value, new.value) {
            (Kind::Table | Kind::Position, Value::Table(below), Value::Table(over)) => {
                self.table(below, over, &field.children(), path);
            }
            (Kind::Rows(true, _), Value::List(below), Value::List(over)) if !over.is_empty() => {
                self.rows(below, over, field, path);
            }
            (_, _, value) => {
                *old = Node {
                    value,
                    place: new.place,
                }
            }
        }
    }

    /// A value that the base does not have: nothing in it can be removed.
    fn fresh(&mut self, node: &mut Node, field: &'static Field, path: &str) {
        if let (Kind::Rows(true, _), Value::List(rows)) = (field.kind, &mut node.value) {
            let over = std::mem::take(rows);
            self.rows(rows, over, field, path);
        }
    }

    fn rows(&mut self, base: &mut Vec<Node>, over: Vec<Node>, field: &'static Field, path: &str) {
        for row in over {
            let name = row.text_of("name").map(str::to_string);
            let old = base
                .iter()
                .position(|b| name.is_some() && b.text_of("name") == name.as_deref());
            let remove = asks_removal(&row);
            match (old, remove) {
                (Some(at), true) => {
                    base.remove(at);
                }
                (None, true) => self.nothing_to_remove(&row, base, path),
                (Some(at), false) => {
                    let path = format!("{path}[{}]", name.unwrap_or_default());
                    self.row(&mut base[at], row, field, &path);
                }
                (None, false) => base.push(row),
            }
        }
    }

    fn row(&mut self, old: &mut Node, new: Node, field: &'static Field, path: &str) {
        if let (Value::Table(below), Value::Table(over)) = (&mut old.value, new.value) {
            let children = field.children();
            drop_keys_of_other_kind(below, &over, &children);
            self.table(below, over, &children, path);
        }
    }

    fn remove_table(
        &mut self,
        base: &mut Table,
        key: &str,
        entry: &Entry,
        field: &Field,
        path: &str,
    ) {
        let place = &entry.node.place;
        if field.unset == Unset::Required {
            let title = format!("`{path}` cannot be removed");
            self.mistakes
                .push(Mistake::new(Sort::Value, title).at(place, "every scenario has it"));
        } else if base.remove(key).is_none() {
            let title = format!("there is no `{path}` to remove");
            let label = "the file this one is based on does not have it";
            self.mistakes
                .push(Mistake::new(Sort::Value, title).at(place, label));
        }
    }

    fn nothing_to_remove(&mut self, row: &Node, base: &[Node], path: &str) {
        let name = row.text_of("name").unwrap_or_default();
        let names: Vec<&str> = base.iter().filter_map(|row| row.text_of("name")).collect();
        let title = format!("there is no row \"{name}\" of `{path}` to remove");
        self.mistakes.push(
            Mistake::new(Sort::Value, title)
                .at(name_place(row), "no row of this name so far")
                .help(suggest::among(name, &names)),
        );
    }
}

/// Whether a table says `remove = true`.
fn asks_removal(node: &Node) -> bool {
    let entry = node.table().and_then(|table| table.get("remove"));
    entry.is_some_and(|entry| matches!(entry.node.value, Value::Flag(true)))
}

/// A variant that changes what a row is, does not keep the keys that only the old kind has.
fn drop_keys_of_other_kind(base: &mut Table, over: &Table, fields: &[&'static Field]) {
    let Some(kind) = over.get("kind").and_then(|entry| entry.node.text()) else {
        return;
    };
    let stays = |key: &str| {
        fields
            .iter()
            .find(|f| f.key() == key)
            .and_then(|f| f.only)
            .is_none_or(|only| only == kind)
    };
    base.retain(|key, _| stays(key));
}

/// `"18 s"` is the same as `{ mean = "18 s" }`; observations replace a named shape and the reverse.
pub fn merge_time(old: &mut Node, new: Node) {
    let Node {
        value: Value::Table(over),
        place,
    } = new
    else {
        *old = new;
        return;
    };
    let observed = |table: &Table| table.contains_key("observations");
    let mut base = match std::mem::replace(&mut old.value, Value::Flag(false)) {
        Value::Table(base) if observed(&base) == observed(&over) => base,
        Value::Text(text) if !observed(&over) => {
            let node = Node {
                value: Value::Text(text),
                place: old.place.clone(),
            };
            Table::from([(
                "mean".to_string(),
                Entry {
                    key: old.place.clone(),
                    node,
                },
            )])
        }
        _ => Table::new(),
    };
    base.extend(over);
    *old = Node {
        value: Value::Table(base),
        place,
    };
}
