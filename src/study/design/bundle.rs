//! Named bundles of changes: values by their paths, and changes as a variant of a scenario makes them.

use super::factor::Level;
use super::reader::Reader;
use crate::scenario::chain;
use crate::scenario::fields;
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::tree::{Entry, Node, Table, Value};

/// The bundles of a factor, as its levels.
pub(super) fn bundles(reader: &mut Reader<'_>, table: &Table) -> Option<Vec<Level>> {
    let Value::List(rows) = &table.get("bundles")?.node.value else {
        return None;
    };
    if rows.is_empty() {
        reader.list(&table.get("bundles")?.node, "bundles")?;
    }
    let levels: Vec<Option<Level>> = rows.iter().map(|row| bundle(reader, row)).collect();
    levels.into_iter().collect()
}

fn bundle(reader: &mut Reader<'_>, row: &Node) -> Option<Level> {
    let table = row.table()?;
    let mut level = Level {
        text: row.text_of("name")?.to_string(),
        number: None,
        place: row.place.clone(),
        change: None,
        sets: Vec::new(),
    };
    let mut good = Some(());
    if let Some(set) = table.get("set") {
        match set.node.table() {
            Some(values) => {
                for (path, entry) in values {
                    match reader.path_at(path, &entry.key) {
                        Some(path) => level.sets.push((path, entry.node.clone())),
                        None => good = None,
                    }
                }
            }
            None => good = not_a_table(reader, &set.node, "{ \"roster[loader].count\" = 2 }"),
        }
    }
    if let Some(change) = table.get("change") {
        match change.node.table() {
            Some(keys) if reads_files(keys).is_some() => {
                let title = "a change reads no other files";
                let mut mistake = Mistake::new(Sort::Value, title);
                if let Some(entry) = reads_files(keys) {
                    mistake = mistake.at(&entry.key, "not here");
                }
                let help = "leave it out here, and give it in the base scenario if need be";
                reader.mistakes.push(mistake.help(help));
                good = None;
            }
            Some(_) => {
                let mut node = change.node.clone();
                let known = fields::of_scenario();
                chain::drop_duplicates_below(&mut node, &known, "", reader.mistakes);
                level.change = Some(node);
            }
            None => good = not_a_table(reader, &change.node, "{ soak = { sinks = 4 } }"),
        }
    }
    good.map(|()| level)
}

fn not_a_table(reader: &mut Reader<'_>, node: &Node, like: &str) -> Option<()> {
    let mistake = Mistake::new(Sort::Value, "this must be a table")
        .at(&node.place, format!("this is {}", node.sort()))
        .help(format!("write it like {like}"));
    reader.mistakes.push(mistake);
    None
}

/// The key of a scenario that names other scenario files.
fn reads_files(keys: &Table) -> Option<&Entry> {
    keys.get("based_on").or_else(|| keys.get("include"))
}
