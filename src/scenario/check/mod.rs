//! The merged tree held against the table of fields: mistakes, and the model, read straight from it.
//!
//! Every type of the model reads itself from its node ([`Read`]), every table of it from its keys ([`Keys`]). A
//! value that is wrong is reported, its path is remembered as bad, and something harmless takes its place, so
//! that everything else can still be checked.

mod group;
mod hours;
mod logs;
mod names;
mod row;
mod value;

use std::collections::BTreeSet;

use super::field::{Field, Kind, Unset};
use super::mistakes::{Mistake, Sort};
use super::origins::Origins;
use super::sources::{Place, Sources};
use super::suggest;
use super::tree::{Node, Table, Value};
use hours::Hours;
use names::Names;

pub use logs::{Cells, LogRow, WrongRow};
pub use row::{Item, Keys, Read, Row};

/// What the check found.
pub struct Checked<T> {
    /// What the file says.
    pub value: T,
    /// Whether all of it could be read: a machine of no known kind has keys that nobody can name.
    pub is_whole: bool,
    /// Where every value stands.
    pub origins: Origins,
    /// Paths of what was wrong or missing.
    pub bad: BTreeSet<String>,
}

/// Holds a merged tree against the keys of a type, and reads it. `what` is the file, with its article.
pub fn check<T: Keys>(
    what: &'static str,
    root: &Node,
    sources: &mut Sources,
    mistakes: &mut Vec<Mistake>,
) -> Checked<T> {
    let mut checker = Checker {
        what,
        hours: Hours::of(root),
        names: Names::of(root, T::ROWS),
        origins: Origins::default(),
        bad: BTreeSet::new(),
        doubted: BTreeSet::new(),
        is_whole: true,
        sources,
        mistakes,
    };
    let empty = Table::new();
    let table = root.table().unwrap_or(&empty);
    let value = checker.table(table, &root.place, "");
    checker.slips();
    Checked {
        value,
        is_whole: checker.is_whole,
        origins: checker.origins,
        bad: checker.bad,
    }
}

/// The state of the check.
pub struct Checker<'a> {
    /// What the file is, with its article.
    what: &'static str,
    hours: Hours,
    names: Names,
    /// Rows that were said to be a slip of the pen for another.
    doubted: BTreeSet<String>,
    origins: Origins,
    bad: BTreeSet<String>,
    is_whole: bool,
    sources: &'a mut Sources,
    mistakes: &'a mut Vec<Mistake>,
}

impl Checker<'_> {
    /// Reports new rows that were meant to change one that is there.
    fn slips(&mut self) {
        for (path, place, name, meant) in self.names.slips() {
            if self.doubted.contains(&path) {
                continue;
            }
            let title = format!("`{path}` is a new row that nothing refers to");
            let mistake = Mistake::new(Sort::Value, title)
                .at(&place, "the file this one is based on has no such row")
                .help(format!("did you mean the row \"{meant}\"?"))
                .help(format!("if \"{name}\" is new, name it where it is used"));
            self.wrong(&path, mistake);
        }
    }

    /// Reports a mistake about a path.
    pub fn wrong(&mut self, path: &str, mistake: Mistake) {
        self.bad.insert(path.to_string());
        self.mistakes.push(mistake);
    }

    /// Notes where a path stands.
    pub fn note(&mut self, path: &str, node: &Node) {
        self.origins.insert(path, node.place.clone());
    }

    /// Whether a list has a row of that name.
    pub fn has_row(&self, list: &str, name: &str) -> bool {
        self.names.has(list, name) == Some(true)
    }

    /// A row of the table and the type of its member disagree: not a mistake of the file.
    pub fn misfit<T>(&mut self, field: &Field, node: &Node, path: &str) -> Option<T> {
        let title = format!("internal error: `{}` does not fit the model", field.path);
        let mistake = Mistake::new(Sort::File, title)
            .at(&node.place, "cannot be read")
            .help("this is a bug in scullery; please report it with the file");
        self.wrong(path, mistake);
        None
    }

    /// What holds for a key that was left out.
    fn left_out(
        &mut self,
        field: &'static Field,
        place: &Place,
        path: &str,
        misspelt: bool,
    ) -> LeftOut {
        if misspelt {
            self.bad.insert(path.to_string());
        }
        let value = match field.unset {
            Unset::Required => {
                if !misspelt {
                    self.missing(field, place, path);
                }
                return LeftOut::Harmless;
            }
            Unset::Absent | Unset::Worked(_) => return LeftOut::Absent,
            Unset::Text(text) => Value::Text(text.to_string()),
            Unset::Number(number) => Value::Number(number),
            Unset::Whole(number) => Value::Whole(i64::from(number)),
            Unset::Flag(flag) => Value::Flag(flag),
            Unset::Lognormal(mean, cv) => lognormal(mean, cv, place),
            Unset::Empty if matches!(field.kind, Kind::Table | Kind::Position) => {
                Value::Table(Table::new())
            }
            Unset::Empty => return LeftOut::Harmless,
        };
        LeftOut::Default(Node {
            value,
            place: place.clone(),
        })
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
        .help(format!("add `{}`", assignment(field, &example)))
        .help_if(self.row_meant(path));
        self.wrong(path, mistake);
    }

    /// A row of a variant whose name is a slip of the pen is a new row, and lacks what a new row needs: the row that was
    /// probably meant, said with the first key that is missing.
    fn row_meant(&mut self, path: &str) -> Option<String> {
        let (row, _) = path.rsplit_once("].")?;
        let (list, name) = row.split_once('[')?;
        let near = self.names.near(list, name)?.to_string();
        self.doubted.insert(format!("{row}]")).then(|| {
            format!("or did you mean the row \"{near}\"? a row of another name is a new one")
        })
    }

    /// Reports keys that are not in the table of fields; the keys that were probably meant.
    pub fn unknown_keys(
        &mut self,
        table: &Table,
        fields: &'static [Field],
        path: &str,
    ) -> BTreeSet<&'static str> {
        let mut meant = BTreeSet::new();
        let words: Vec<&'static str> = fields.iter().map(|field| field.key()).collect();
        for (key, entry) in table {
            if words.contains(&key.as_str()) || self.is_remove(key, &entry.node, path) {
                continue;
            }
            // What the file below gives may be meant by a file that is based on it.
            let given = |word: &&str| {
                let other = table.get(*word);
                other.is_some_and(|other| other.key.file == entry.key.file)
            };
            let free: Vec<&'static str> =
                words.iter().copied().filter(|word| !given(word)).collect();
            let near = suggest::nearest(key, &free);
            meant.extend(near);
            let holder = if path.is_empty() {
                self.what.into()
            } else {
                format!("`{path}`")
            };
            let known = format!("{holder} knows {}", suggest::all(&words));
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
    fn belongs(&mut self, field: &Field, fields: &[Field], table: &Table, path: &str) -> bool {
        let Some(only) = field.only else { return true };
        let kind = table.get("kind").map(|entry| &entry.node);
        let kinds = fields.iter().find(|field| field.key() == "kind");
        match kind.and_then(Node::text) {
            Some(text) if text == only => true,
            Some(text) if kinds.is_some_and(|kinds| kinds.words().contains(&text)) => {
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
            _ => {
                self.is_whole = false;
                table.contains_key(field.key())
            }
        }
    }
}

/// What holds for a key that was left out.
enum LeftOut {
    /// Nothing: that part does not exist.
    Absent,
    /// This.
    Default(Node),
    /// Something of the right shape: an empty list, or what stands for what is missing.
    Harmless,
}

/// `a.b`, or `b` at the top.
pub fn join(path: &str, key: &str) -> String {
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
