//! A value of a scenario by its path, such as `roster[loader].count` or
//! `machine[conveyor].zones[wash].length`.
//!
//! In: the path as a person wrote it and the merged tree it is meant for. Out: a [`ValuePath`] that can
//! read the value there and put another in its place, or what is wrong with the path and the nearest
//! one. Rows of named lists are found by name, other rows by number from 0. What a path may name is what
//! the table of [`fields`] has.

use super::chain;
use super::fields::{self, Field, Kind, Unset};
use super::sources::Place;
use super::suggest;
use super::tree::{Entry, Node, Table, Value};

/// A path that leads to a value.
#[derive(Debug, Clone)]
pub struct ValuePath {
    text: String,
    steps: Vec<Step>,
}

/// A key, and which of its rows.
#[derive(Debug, Clone)]
struct Step {
    field: &'static Field,
    row: Option<Row>,
}

#[derive(Debug, Clone, PartialEq)]
enum Row {
    Name(String),
    Number(usize),
}

/// What is wrong with a path: what to say of it, there, and the cure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrongPath {
    /// What is wrong.
    pub title: String,
    /// What stands there.
    pub label: String,
    /// What would be right.
    pub help: String,
}

impl ValuePath {
    /// Whether two paths lead to one value.
    #[must_use]
    pub fn is_same(&self, other: &Self) -> bool {
        let pairs = self.steps.iter().zip(&other.steps);
        self.steps.len() == other.steps.len()
            && pairs
                .into_iter()
                .all(|(a, b)| std::ptr::eq(a.field, b.field) && a.row == b.row)
    }

    /// The path in this tree.
    ///
    /// # Errors
    /// If it leads to no value that can be set.
    pub fn resolve(text: &str, tree: &Node) -> Result<Self, WrongPath> {
        let mut steps: Vec<Step> = Vec::new();
        let mut known = fields::of_scenario();
        let mut node = Some(tree);
        let words = split(text).ok_or_else(|| unknown(text, tree))?;
        for (key, row) in words {
            let field = known.iter().find(|field| field.key() == key);
            let field = *field.ok_or_else(|| unknown(text, tree))?;
            node = node.and_then(|node| Some(&node.table()?.get(key)?.node));
            let row = match (field.kind, row) {
                (Kind::Rows(named, _), Some(row)) => {
                    let found = find_row(node, named, row).ok_or_else(|| unknown(text, tree))?;
                    node = Some(found.1);
                    Some(found.0)
                }
                (Kind::Rows(..), None) | (_, Some(_)) => return Err(unknown(text, tree)),
                (_, None) => None,
            };
            if matches!(field.kind, Kind::Table) && field.unset == Unset::Absent && node.is_none() {
                return Err(left_out(text, field));
            }
            known = field.children();
            steps.push(Step { field, row });
        }
        let last = steps.last().map(|step| step.field);
        match last.map(|field| field.kind) {
            None | Some(Kind::Table | Kind::Position | Kind::Rows(..)) => Err(unknown(text, tree)),
            Some(Kind::Name | Kind::BasedOn | Kind::Include | Kind::Version) => {
                Err(not_to_set(text))
            }
            Some(_) => Ok(Self {
                text: text.to_string(),
                steps,
            }),
        }
    }

    /// As it was written.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// What the table of fields says of the value.
    #[must_use]
    pub fn field(&self) -> Option<&'static Field> {
        self.steps.last().map(|step| step.field)
    }

    /// The value in a tree; nothing if it is left out there.
    #[must_use]
    pub fn get<'t>(&self, tree: &'t Node) -> Option<&'t Node> {
        let mut node = tree;
        for step in &self.steps {
            node = &node.table()?.get(step.field.key())?.node;
            if let (Some(row), Value::List(rows)) = (&step.row, &node.value) {
                node = rows.get(row.at(rows)?)?;
            }
        }
        Some(node)
    }

    /// Puts a value there. False if its row is not there any more.
    #[must_use]
    pub fn put(&self, tree: &mut Node, value: Node) -> bool {
        let Some((last, way)) = self.steps.split_last() else {
            return false;
        };
        let mut node = tree;
        for step in way {
            let Some(next) = step.enter(node, &value.place) else {
                return false;
            };
            node = next;
        }
        let Value::Table(table) = &mut node.value else {
            return false;
        };
        match table.get_mut(last.field.key()) {
            Some(old) if matches!(last.field.kind, Kind::Time(_)) => {
                chain::merge_time(&mut old.node, value);
            }
            Some(old) => old.node = value,
            None => {
                let key = value.place.clone();
                table.insert(last.field.key().to_string(), Entry { key, node: value });
            }
        }
        true
    }
}

impl Row {
    /// Which of the rows it is.
    fn at(&self, rows: &[Node]) -> Option<usize> {
        match self {
            Self::Name(name) => rows
                .iter()
                .position(|row| row.text_of("name") == Some(name)),
            Self::Number(number) => (*number < rows.len()).then_some(*number),
        }
    }
}

impl Step {
    /// The table or row one step further in; made if it is left out.
    fn enter<'t>(&self, node: &'t mut Node, place: &Place) -> Option<&'t mut Node> {
        let Value::Table(table) = &mut node.value else {
            return None;
        };
        let entry = table
            .entry(self.field.key().to_string())
            .or_insert_with(|| Entry {
                key: place.clone(),
                node: left_out_node(self.field, place),
            });
        let node = &mut entry.node;
        if let (Kind::Time(_), Value::Text(mean)) = (self.field.kind, &node.value) {
            node.value = Value::Table(mean_alone(mean, place));
        }
        match &self.row {
            None => Some(node),
            Some(row) => match &mut node.value {
                Value::List(rows) => {
                    let at = row.at(rows)?;
                    rows.get_mut(at)
                }
                _ => None,
            },
        }
    }
}

/// What stands for a table that is left out.
fn left_out_node(field: &Field, place: &Place) -> Node {
    let table = match field.unset {
        Unset::Text(mean) => mean_alone(mean, place),
        Unset::Lognormal(mean, cv) => {
            let mut table = mean_alone(mean, place);
            let value = Value::Number(cv);
            table.insert("cv".to_string(), entry(value, place));
            table
        }
        _ => Table::new(),
    };
    Node {
        value: Value::Table(table),
        place: place.clone(),
    }
}

fn mean_alone(mean: &str, place: &Place) -> Table {
    Table::from([("mean".to_string(), entry(Value::Text(mean.into()), place))])
}

fn entry(value: Value, place: &Place) -> Entry {
    Entry {
        key: place.clone(),
        node: Node {
            value,
            place: place.clone(),
        },
    }
}

/// `a[b].c` as `a`, `b` and `c`; nothing if it is no path. Names may hold any character but `]`.
fn split(text: &str) -> Option<Vec<(&str, Option<&str>)>> {
    let mut words = Vec::new();
    let mut rest = text.trim();
    loop {
        let end = rest.find(['.', '[']).unwrap_or(rest.len());
        let key = &rest[..end];
        if key.is_empty() {
            return None;
        }
        rest = &rest[end..];
        let mut row = None;
        if let Some(inside) = rest.strip_prefix('[') {
            let (name, after) = inside.split_once(']')?;
            row = Some(name);
            rest = after;
        }
        words.push((key, row));
        if rest.is_empty() {
            return Some(words);
        }
        rest = rest.strip_prefix('.')?;
    }
}

fn find_row<'t>(list: Option<&'t Node>, named: bool, row: &str) -> Option<(Row, &'t Node)> {
    let Value::List(rows) = &list?.value else {
        return None;
    };
    let row = if named {
        Row::Name(row.to_string())
    } else {
        Row::Number(row.parse().ok()?)
    };
    let node = rows.get(row.at(rows)?)?;
    Some((row, node))
}

fn unknown(text: &str, tree: &Node) -> WrongPath {
    let paths = all_paths(tree);
    let words: Vec<&str> = paths.iter().map(String::as_str).collect();
    let below: Vec<&str> = words
        .iter()
        .filter(|word| word.starts_with(text) && word[text.len()..].starts_with(['.', '[']))
        .copied()
        .collect();
    let help = match (&below[..], suggest::nearest(text, &words)) {
        ([_, ..], _) => format!("name one value: {}", suggest::listed(&below)),
        (_, Some(near)) => format!("did you mean \"{near}\"?"),
        _ => "a path is like roster[loader].count: tables and keys with points between them. A row is \
              given by its name in brackets, or by its number from 0 where rows have no names"
            .to_string(),
    };
    WrongPath {
        title: format!("the base scenario has no value `{text}`"),
        label: if below.is_empty() {
            "no such value".to_string()
        } else {
            "more than one value".to_string()
        },
        help,
    }
}

fn left_out(text: &str, field: &Field) -> WrongPath {
    WrongPath {
        title: format!("the base scenario has no value `{text}`"),
        label: format!("it has no `{}`", field.path),
        help: format!(
            "give the base scenario a [{}], or add one with a bundle's `change`",
            field.path
        ),
    }
}

fn not_to_set(text: &str) -> WrongPath {
    WrongPath {
        title: format!("`{text}` cannot be varied"),
        label: "a name, not a value".to_string(),
        help: "use a bundle whose `change` removes a row and adds another".to_string(),
    }
}

/// The paths of all values that may be set in a tree.
fn all_paths(tree: &Node) -> Vec<String> {
    let mut paths = Vec::new();
    below(Some(tree), &fields::of_scenario(), "", &mut paths);
    paths
}

fn below(node: Option<&Node>, known: &[&'static Field], path: &str, paths: &mut Vec<String>) {
    for field in known {
        let path = if path.is_empty() {
            field.key().to_string()
        } else {
            format!("{path}.{}", field.key())
        };
        let node = node.and_then(|node| Some(&node.table()?.get(field.key())?.node));
        match field.kind {
            Kind::Name | Kind::BasedOn | Kind::Include | Kind::Version => {}
            Kind::Rows(named, _) => {
                let Some(Value::List(rows)) = node.map(|node| &node.value) else {
                    continue;
                };
                for (at, row) in rows.iter().enumerate() {
                    let name = row.text_of("name").filter(|_| named);
                    let name = name.map_or_else(|| at.to_string(), str::to_string);
                    below(
                        Some(row),
                        &field.children(),
                        &format!("{path}[{name}]"),
                        paths,
                    );
                }
            }
            Kind::Table if field.unset == Unset::Absent && node.is_none() => {}
            Kind::Table | Kind::Position => below(node, &field.children(), &path, paths),
            Kind::Time(_) => {
                paths.push(path.clone());
                below(None, &field.children(), &path, paths);
            }
            _ => paths.push(path),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::sources::Sources;
    use crate::scenario::{chain, load};

    fn friday() -> (Node, Sources) {
        let (mut sources, mut mistakes) = (Sources::default(), Vec::new());
        let path = std::path::Path::new("scenarios/friday-rush.toml");
        let tree = chain::read(path, None, &mut sources, &mut mistakes);
        (tree.expect("a tree"), sources)
    }

    fn here(value: Value) -> Node {
        let place = Place {
            file: 0,
            span: 0..0,
        };
        Node { value, place }
    }

    #[test]
    fn a_value_is_found_and_replaced() {
        let (mut tree, mut sources) = friday();
        let length = "machine[conveyor].zones[wash].length";
        let path = ValuePath::resolve(length, &tree).unwrap();
        assert_eq!(path.get(&tree).and_then(Node::text), Some("30 in"));
        assert!(path.put(&mut tree, here(Value::Text("29 in".into()))));
        let cv = ValuePath::resolve("scrape.per_unit.cv", &tree).unwrap();
        assert!(cv.put(&mut tree, here(Value::Number(0.5))));
        let tub = ValuePath::resolve("drop_off.tub_length", &tree).unwrap();
        assert!(tub.put(&mut tree, here(Value::Text("15 in".into()))));
        let mut mistakes = Vec::new();
        let tunnel = ValuePath::resolve("machine[conveyor].tunnel", &tree).unwrap();
        assert!(tunnel.put(&mut tree, here(Value::Text("43 in".into()))));
        let scenario = load::model_of(&tree, &mut sources, &mut mistakes).expect("a scenario");
        assert_eq!(scenario.scrape.unwrap().per_unit.cv, 0.5);
        assert_eq!(scenario.drop_off.tub_length_m, 0.381);
    }

    #[test]
    fn the_nearest_path_is_suggested() {
        let (tree, _) = friday();
        let help = |text| ValuePath::resolve(text, &tree).unwrap_err().help;
        assert!(help("roster[lodaer].count").contains("\"roster[loader].count\""));
        assert!(help("machine[conveyor].tunel").contains("\"machine[conveyor].tunnel\""));
        assert!(help("guests.seating[4].covers").contains("guests.seating[0].covers"));
        assert!(help("drop_off.position").contains("name one value"));
        assert!(help("pre_rinse.places").contains("[pre_rinse]"));
        assert!(help("roster[loader].name").contains("bundle"));
        for text in ["", ".", "a[", "roster[loader", "roster[]x", "[x]"] {
            assert!(ValuePath::resolve(text, &tree).is_err(), "{text}");
        }
    }
}
