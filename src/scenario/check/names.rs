//! The names of the rows of every list: which exist, which are referred to, and which look like slips of the pen.

use std::cell::Cell;
use std::collections::BTreeMap;

use crate::scenario::field::{Field, Kind};
use crate::scenario::sources::Place;
use crate::scenario::suggest;
use crate::scenario::tree::{Node, Value};

/// So many rows of a list that nothing refers to are compared with the others: a file can have very many.
const MOST_COMPARED: usize = 32;

/// The names of all lists. A list that should be one and is not is missing here.
pub struct Names(BTreeMap<&'static str, List>);

struct List {
    rows: Vec<Name>,
    /// Whether any key of such a file names rows of this list. Rows of other lists act by being there.
    is_referred_to: bool,
}

struct Name {
    name: String,
    /// The file of the row that was first given, and the place of its name.
    file: usize,
    place: Place,
    is_used: Cell<bool>,
}

impl Names {
    /// The names in a tree.
    pub fn of(root: &Node, fields: &[Field]) -> Self {
        let rows_of = |list| match root.table().and_then(|table| table.get(list)) {
            None => Some(Vec::new()),
            Some(entry) => match &entry.node.value {
                Value::List(rows) => Some(rows.iter().filter_map(Name::of).collect()),
                _ => None,
            },
        };
        let named = fields
            .iter()
            .filter(|field| matches!(field.kind, Kind::Rows(true, _)));
        let lists = named.filter_map(|field| {
            let list = List {
                rows: rows_of(field.key())?,
                is_referred_to: refers(fields, field.key()),
            };
            Some((field.key(), list))
        });
        Self(lists.collect())
    }

    /// Whether a list has a row of that name, which is then used; nothing if it is no list.
    pub fn has(&self, list: &str, name: &str) -> Option<bool> {
        let list = self.0.get(list)?;
        let row = list.rows.iter().find(|row| row.name == name);
        if let Some(row) = row {
            row.is_used.set(true);
        }
        Some(row.is_some())
    }

    /// All names of a list.
    pub fn all(&self, list: &str) -> Vec<&str> {
        let rows = self.0.get(list).map(|list| &list.rows);
        rows.into_iter()
            .flatten()
            .map(|row| row.name.as_str())
            .collect()
    }

    /// Another name of the list, of which this one is a slip of the pen.
    pub fn near(&self, list: &str, name: &str) -> Option<&str> {
        let mut names = self.all(list).into_iter();
        names.find(|other| suggest::is_slip(name, other))
    }

    /// Rows that a file adds to those of the file below it, that nothing refers to, and whose names are slips of names
    /// below it: path, place of the name, name, and the name that was probably meant.
    pub fn slips(&self) -> Vec<(String, Place, String, String)> {
        let lists = self.0.iter().filter(|(_, list)| list.is_referred_to);
        lists.flat_map(|(key, list)| list.slips(key)).collect()
    }
}

impl List {
    fn slips(&self, key: &str) -> impl Iterator<Item = (String, Place, String, String)> {
        let unused = self.rows.iter().enumerate();
        let unused = unused.filter(|(_, row)| !row.is_used.get());
        unused.take(MOST_COMPARED).filter_map(move |(at, row)| {
            let mut below = self.rows[..at].iter().filter(|b| b.file != row.file);
            let meant = below.find(|below| suggest::is_slip(&row.name, &below.name))?;
            let path = format!("{key}[{}]", row.name);
            Some((
                path,
                row.place.clone(),
                row.name.clone(),
                meant.name.clone(),
            ))
        })
    }
}

impl Name {
    fn of(row: &Node) -> Option<Self> {
        let node = &row.table()?.get("name")?.node;
        Some(Self {
            name: node.text()?.to_string(),
            file: row.place.file,
            place: node.place.clone(),
            is_used: Cell::new(false),
        })
    }
}

/// Whether any of these keys, or of those below them, names rows of a list.
fn refers(fields: &[Field], list: &str) -> bool {
    fields.iter().any(|field| match field.kind {
        Kind::Reference(other) | Kind::References(other) => other == list,
        _ => refers(field.below, list),
    })
}
