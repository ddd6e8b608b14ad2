//! Lists and tables held against their rows of the table of fields.

use super::{Checker, Keys, join};
use crate::scenario::field::{Field, Kind};
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::suggest;
use crate::scenario::tree::{Node, Table, Value};

impl Checker<'_> {
    /// A list of tables.
    pub(super) fn rows<T: Keys>(
        &mut self,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Vec<T>> {
        let rows = self.some_rows(field, node, path)?;
        let named = matches!(field.kind, Kind::Rows(true, _));
        let mut list = Vec::new();
        for (at, row) in rows.iter().enumerate() {
            let name = if named { row.text_of("name") } else { None };
            let path =
                name.map_or_else(|| format!("{path}[{at}]"), |name| format!("{path}[{name}]"));
            self.note(&path, row);
            match &row.value {
                Value::Table(table) => list.push(self.table(table, &row.place, &path)),
                _ => self.not_a(
                    "a table",
                    &format!("{{ ... }}, {}", keys_of(field)),
                    row,
                    &path,
                ),
            }
        }
        Some(list)
    }

    /// The rows of a list that is one, and not too long.
    fn some_rows<'n>(&mut self, field: &Field, node: &'n Node, path: &str) -> Option<&'n [Node]> {
        let Kind::Rows(_, most) = field.kind else {
            return self.misfit(field, node, path);
        };
        let Value::List(rows) = &node.value else {
            // A list within a row has no heading of its own.
            let like = if path.contains('[') {
                format!("{} = [{{ ... }}]", field.key())
            } else {
                format!("[[{path}]]")
            };
            let like = format!("{like}, {}", keys_of(field));
            self.not_a("a list of tables", &like, node, path);
            return None;
        };
        if rows.len() > most {
            self.wrong(path, Mistake::too_many(path, rows.len(), most, &node.place));
            return None;
        }
        Some(rows)
    }

    /// A table that there is only one of.
    pub(super) fn one_table<'n>(
        &mut self,
        field: &Field,
        node: &'n Node,
        path: &str,
    ) -> Option<&'n Table> {
        match &node.value {
            Value::Table(table) => Some(table),
            Value::List(rows) if rows.iter().all(|row| row.table().is_some()) => {
                let mistake = Mistake::new(Sort::Value, format!("`{path}` is not a list"))
                    .at(&node.place, "there is only one")
                    .help(format!("write [{path}], with one pair of brackets"));
                self.wrong(path, mistake);
                None
            }
            _ => {
                let like = match field.kind {
                    Kind::Position => "{ x = \"2 m\", y = \"1.5 m\" }".to_string(),
                    _ => format!("[{path}], {}", keys_of(field)),
                };
                self.not_a("a table", &like, node, path);
                None
            }
        }
    }

    /// The entry of a table that stands under `path`, its place noted.
    pub fn entry<'t>(&mut self, table: &'t Table, key: &str, path: &str) -> Option<&'t Node> {
        let node = &table.get(key)?.node;
        self.note(&join(path, key), node);
        Some(node)
    }
}

/// The keys of a table or of the rows of a list, for whoever gave something else.
fn keys_of(field: &Field) -> String {
    let keys: Vec<&str> = field.children().iter().map(|key| key.key()).collect();
    format!("with keys of {}", suggest::listed(&keys))
}
