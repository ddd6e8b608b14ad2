//! The merged tree held against the table of fields: mistakes, and plain values in SI.
//!
//! What comes out is JSON in the shape of [`super::model`]. A value that is wrong is reported, its
//! path is remembered as bad, and something harmless takes its place, so that everything else can
//! still be checked.

mod group;
mod hours;
mod logs;
mod shape;
mod time;
mod value;

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value as Json};

use super::fields::{self, Field, Kind, Unset};
use super::mistakes::{Mistake, Sort};
use super::origins::Origins;
use super::sources::{Place, Sources};
use super::suggest;
use super::tree::{Node, Table, Value};
use hours::Hours;

/// What the check found.
pub struct Checked {
    /// The scenario in the shape of the model.
    pub json: Json,
    /// Where every value stands.
    pub origins: Origins,
    /// Paths of what was wrong or missing.
    pub bad: BTreeSet<String>,
}

/// Holds a merged tree against the table.
pub fn check(root: &Node, sources: &mut Sources, mistakes: &mut Vec<Mistake>) -> Checked {
    check_as("a scenario", &fields::children(""), root, sources, mistakes)
}

/// Holds the tree of a study against its table.
pub fn check_study(root: &Node, sources: &mut Sources, mistakes: &mut Vec<Mistake>) -> Checked {
    let fields = fields::children(fields::STUDY);
    check_as("a study", &fields, root, sources, mistakes)
}

fn check_as(
    what: &'static str,
    fields: &[&'static Field],
    root: &Node,
    sources: &mut Sources,
    mistakes: &mut Vec<Mistake>,
) -> Checked {
    let mut checker = Checker {
        what,
        hours: Hours::of(root),
        names: names(root),
        origins: Origins::default(),
        bad: BTreeSet::new(),
        sources,
        mistakes,
    };
    let empty = Table::new();
    let table = root.table().unwrap_or(&empty);
    let map = checker.table(table, &root.place, fields, "");
    Checked {
        json: Json::Object(map),
        origins: checker.origins,
        bad: checker.bad,
    }
}

/// The names of the rows of every list; none for what should be a list and is not.
fn names(root: &Node) -> BTreeMap<&'static str, Vec<String>> {
    let rows_of = |list| match root.table().and_then(|table| table.get(list)) {
        None => Some(Vec::new()),
        Some(entry) => match &entry.node.value {
            Value::List(rows) => Some(rows.iter().filter_map(|row| row.text_of("name")).collect()),
            _ => None,
        },
    };
    let named = fields::children("")
        .into_iter()
        .filter(|f| matches!(f.kind, Kind::Rows(true, _)));
    let lists = named.filter_map(|field| Some((field.path, rows_of(field.path)?)));
    let owned = |names: Vec<&str>| names.into_iter().map(str::to_string).collect();
    lists.map(|(path, names)| (path, owned(names))).collect()
}

/// The state of the check.
struct Checker<'a> {
    /// What the file is, with its article.
    what: &'static str,
    hours: Hours,
    names: BTreeMap<&'static str, Vec<String>>,
    origins: Origins,
    bad: BTreeSet<String>,
    sources: &'a mut Sources,
    mistakes: &'a mut Vec<Mistake>,
}

impl Checker<'_> {
    /// Reports a mistake about a path.
    fn wrong(&mut self, path: &str, mistake: Mistake) {
        self.bad.insert(path.to_string());
        self.mistakes.push(mistake);
    }

    /// A table: its known keys, its unknown ones, and those that are missing.
    fn table(
        &mut self,
        table: &Table,
        place: &Place,
        fields: &[&'static Field],
        path: &str,
    ) -> Map<String, Json> {
        let meant = self.unknown_keys(table, fields, path);
        let mut map = Map::new();
        for field in fields {
            let path = join(path, field.key());
            if !self.belongs(field, table, &path) {
                continue;
            }
            let value = match table.get(field.key()) {
                Some(entry) => {
                    self.origins.insert(&path, entry.node.place.clone());
                    self.given(field, &entry.node, &path)
                }
                None => self.unset(field, place, &path, meant.contains(field.key())),
            };
            if let Some(value) = value {
                map.insert(field.key().to_string(), value);
            }
        }
        map
    }

    /// A value that was given; something harmless if it is wrong.
    fn given(&mut self, field: &'static Field, node: &Node, path: &str) -> Option<Json> {
        let value = self.value(field, node, path);
        Some(value.unwrap_or_else(|| {
            self.bad.insert(path.to_string());
            placeholder(field)
        }))
    }

    /// What holds for a key that was left out.
    fn unset(
        &mut self,
        field: &'static Field,
        place: &Place,
        path: &str,
        misspelt: bool,
    ) -> Option<Json> {
        if misspelt {
            self.bad.insert(path.to_string());
        }
        let default = |value| Node {
            value,
            place: place.clone(),
        };
        let node = match field.unset {
            Unset::Required => {
                if !misspelt {
                    self.missing(field, place, path);
                }
                return Some(placeholder(field));
            }
            Unset::Absent | Unset::Worked(_) => return None,
            Unset::Text(text) => default(Value::Text(text.to_string())),
            Unset::Number(number) => default(Value::Number(number)),
            Unset::Whole(number) => default(Value::Whole(i64::from(number))),
            Unset::Flag(flag) => default(Value::Flag(flag)),
            Unset::Lognormal(mean, cv) => default(lognormal(mean, cv, place)),
            Unset::Empty if matches!(field.kind, Kind::Table | Kind::Position) => {
                default(Value::Table(Table::new()))
            }
            Unset::Empty => return Some(Json::Array(Vec::new())),
        };
        self.given(field, &node, path)
    }

    fn missing(&mut self, field: &Field, place: &Place, path: &str) {
        let example = value::example(field);
        let label = if path.contains('.') {
            "needed here"
        } else {
            "needed in this file"
        };
        let mistake = Mistake::new(
            Sort::Missing,
            format!("`{path}` is missing: {}", field.what),
        )
        .at(place, label)
        .help(format!("add `{}`", assignment(field, &example)));
        self.wrong(path, mistake);
    }

    /// Reports keys that are not in the table of fields; the keys that were probably meant.
    fn unknown_keys(
        &mut self,
        table: &Table,
        fields: &[&'static Field],
        path: &str,
    ) -> BTreeSet<&'static str> {
        let mut meant = BTreeSet::new();
        let words: Vec<&'static str> = fields.iter().map(|field| field.key()).collect();
        for (key, entry) in table {
            if words.contains(&key.as_str()) || self.is_remove(key, &entry.node, path) {
                continue;
            }
            let free: Vec<&'static str> = words
                .iter()
                .filter(|word| !table.contains_key(**word))
                .copied()
                .collect();
            let near = suggest::nearest(key, &free);
            meant.extend(near);
            let holder = if path.is_empty() {
                self.what.into()
            } else {
                format!("`{path}`")
            };
            let known = format!("{holder} knows {}", suggest::listed(&words));
            let help = near.map_or(known, |word| format!("did you mean `{word}`?"));
            let mistake = Mistake::new(Sort::Value, format!("unknown key `{}`", join(path, key)))
                .at(&entry.key, "no such key")
                .help(help);
            self.wrong(&join(path, key), mistake);
        }
        meant
    }

    /// `remove = false` says nothing; `remove = true` has been dealt with in merging.
    fn is_remove(&mut self, key: &str, node: &Node, path: &str) -> bool {
        if key != "remove" || path.is_empty() || path.contains('.') {
            return false;
        }
        if !matches!(node.value, Value::Flag(_)) {
            self.not_a(
                "true or false, without quotes",
                "true",
                node,
                &join(path, key),
            );
        }
        true
    }

    /// Whether a key belongs to this kind of row; a key given for another kind is reported.
    fn belongs(&mut self, field: &Field, table: &Table, path: &str) -> bool {
        let Some(only) = field.only else { return true };
        let kind = table.get("kind").map(|entry| &entry.node);
        match kind.and_then(Node::text) {
            Some(text) if text == only => true,
            Some(text) if KINDS.contains(&text) => {
                if let (Some(entry), Some(kind)) = (table.get(field.key()), kind) {
                    let title = format!("`{path}` does not belong to a {text}");
                    let mistake = Mistake::new(Sort::Value, title)
                        .at(&entry.key, format!("only a {only} has it"))
                        .also(&kind.place, format!("this is a {text}"))
                        .help(format!("leave it out, or write `kind = \"{only}\"`"));
                    self.wrong(path, mistake);
                }
                false
            }
            _ => table.contains_key(field.key()),
        }
    }
}

/// The kinds of a machine, which have keys of their own.
const KINDS: [&str; 2] = ["rack-conveyor", "hood"];

/// `a.b`, or `b` at the top.
fn join(path: &str, key: &str) -> String {
    if path.is_empty() {
        key.to_string()
    } else {
        format!("{path}.{key}")
    }
}

fn lognormal(mean: &str, cv: f64, place: &Place) -> Value {
    let entry = |value| super::tree::Entry {
        key: place.clone(),
        node: Node {
            value,
            place: place.clone(),
        },
    };
    Value::Table(Table::from([
        ("mean".to_string(), entry(Value::Text(mean.to_string()))),
        ("cv".to_string(), entry(Value::Number(cv))),
    ]))
}

/// What to write for a missing key.
fn assignment(field: &Field, example: &str) -> String {
    match field.kind {
        Kind::Table => format!("[{}]", field.path),
        Kind::Rows(..) => format!("[[{}]]", field.path),
        _ => format!("{} = {example}", field.key()),
    }
}

/// Something of the right shape for what is wrong or missing.
fn placeholder(field: &'static Field) -> Json {
    match field.kind {
        Kind::Quantity(q) => Json::from(q.bounds_si().most),
        Kind::Number(b) | Kind::Share(b) => Json::from(f64::midpoint(b.least, b.most)),
        Kind::Whole(least, _) => Json::from(least),
        Kind::Text | Kind::Name | Kind::Reference(_) | Kind::BasedOn | Kind::Measure => {
            Json::from("")
        }
        Kind::Any(_) => Json::Null,
        Kind::Choice(words) => Json::from(words.first().copied().unwrap_or_default()),
        Kind::Flag => Json::from(false),
        Kind::TimeOfDay => Json::from(0.0),
        Kind::Time(q) => shape::fixed(q.bounds_si().least),
        Kind::Places(..) => serde_json::json!({ "count": 1 }),
        Kind::Duties | Kind::References(_) | Kind::Include | Kind::File(_) | Kind::Rows(..) => {
            Json::Array(Vec::new())
        }
        Kind::Table | Kind::Position => {
            let pairs = field.children().into_iter();
            let required = pairs.filter(|f| f.only.is_none());
            Json::Object(
                required
                    .map(|f| (f.key().to_string(), placeholder(f)))
                    .collect(),
            )
        }
    }
}

pub use shape::into_model;
