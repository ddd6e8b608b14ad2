//! Lists and tables held against their rows of the table of fields.

use serde_json::{Map, Value as Json, json};

use super::{Checker, join};
use crate::scenario::chain;
use crate::scenario::fields::{Field, Kind};
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::tree::{Node, Table, Value};

impl Checker<'_> {
    pub(super) fn duties(
        &mut self,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Json> {
        let Value::List(items) = &node.value else {
            self.not_a("a list of duties", "[\"unload\", \"put-away\"]", node, path);
            return None;
        };
        if items.is_empty() {
            let mistake = Mistake::new(Sort::Value, format!("`{path}` is empty"))
                .at(&node.place, "nothing to do")
                .help(
                    "name at least one duty, such as [\"unload\"]; for nobody, write `count = 0`",
                );
            self.wrong(path, mistake);
            return None;
        }
        let [duty, _] = field.children()[..] else {
            return None;
        };
        let mut list = Vec::new();
        for (at, item) in items.iter().enumerate() {
            let path = format!("{path}[{at}]");
            self.origins.insert(&path, item.place.clone());
            let entry = match &item.value {
                Value::Table(table) => {
                    Json::Object(self.table(table, &item.place, &field.children(), &path))
                }
                _ => {
                    let word = self.given(duty, item, &path).unwrap_or_default();
                    json!({ "duty": word, "once_waiting": 0 })
                }
            };
            list.push(entry);
        }
        Some(Json::Array(list))
    }

    /// A list of names of rows.
    pub(super) fn references(
        &mut self,
        list: &'static str,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Json> {
        let Value::List(items) = &node.value else {
            self.not_a("a list of names", &super::value::example(field), node, path);
            return None;
        };
        let mut names = Vec::new();
        for (at, item) in items.iter().enumerate() {
            let path = format!("{path}[{at}]");
            self.origins.insert(&path, item.place.clone());
            names.push(self.reference(list, field, item, &path)?);
        }
        Some(json!(names))
    }

    pub(super) fn rows(
        &mut self,
        named: bool,
        most: usize,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Json> {
        let Value::List(rows) = &node.value else {
            // A list within a row has no heading of its own.
            let like = if path.contains('[') {
                format!("{} = [{{ ... }}]", field.key())
            } else {
                format!("[[{path}]]")
            };
            self.not_a("a list of tables", &like, node, path);
            return None;
        };
        if rows.len() > most {
            self.wrong(path, chain::too_many(path, rows.len(), most, &node.place));
            return None;
        }
        let children = field.children();
        let mut list = Vec::new();
        for (at, row) in rows.iter().enumerate() {
            let name = if named { row.text_of("name") } else { None };
            let path =
                name.map_or_else(|| format!("{path}[{at}]"), |name| format!("{path}[{name}]"));
            self.origins.insert(&path, row.place.clone());
            match &row.value {
                Value::Table(table) => {
                    list.push(Json::Object(
                        self.table(table, &row.place, &children, &path),
                    ));
                }
                _ => self.not_a("a table", "{ ... }", row, &path),
            }
        }
        Some(Json::Array(list))
    }

    pub(super) fn sub_table(
        &mut self,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Json> {
        let map: Map<String, Json> = match &node.value {
            Value::Table(table) => self.table(table, &node.place, &field.children(), path),
            Value::List(rows) if rows.iter().all(|row| row.table().is_some()) => {
                let mistake = Mistake::new(Sort::Value, format!("`{path}` is not a list"))
                    .at(&node.place, "there is only one")
                    .help(format!("write [{path}], with one pair of brackets"));
                self.wrong(path, mistake);
                return None;
            }
            _ => {
                let like = match field.kind {
                    Kind::Position => "{ x = \"2 m\", y = \"1.5 m\" }".to_string(),
                    _ => format!("[{path}]"),
                };
                self.not_a("a table", &like, node, path);
                return None;
            }
        };
        Some(Json::Object(map))
    }

    /// The entry of a table that stands under `path`, its place noted.
    pub(super) fn entry<'t>(
        &mut self,
        table: &'t Table,
        key: &str,
        path: &str,
    ) -> Option<&'t Node> {
        let node = &table.get(key)?.node;
        self.origins.insert(&join(path, key), node.place.clone());
        Some(node)
    }
}
