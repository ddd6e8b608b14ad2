//! What there is to say of one key, read from the table of fields, with an example and where shipped files use it.
//!
//! The example is the key as it stands in `tests/everything.toml`, which has every key there is and which the tests play.

use super::field::Field;
use super::fields;
use super::sources::Place;
use super::tree::{self, Node, Value};
use super::{shipped, suggest};

/// Files with an example of every key.
const EXAMPLES: [&str; 2] = [
    include_str!("../../tests/everything.toml"),
    include_str!("../../tests/everything-logged.toml"),
];

/// A key, explained.
#[derive(Debug, Clone)]
pub struct Explained {
    /// Its row of the table.
    pub field: &'static Field,
    /// Of a key that all values of a kind have, such as the `cv` of a time: one that has it.
    pub shared_by: Option<&'static Field>,
    /// Lines of a file that give it, under the head of their table; none for a table of keys.
    pub example: Option<String>,
    /// Shipped files that give it, each with the line.
    pub used: Vec<(&'static str, usize)>,
}

/// What was found under a name.
#[derive(Debug, Clone)]
pub enum Found {
    /// Keys of that name or path; usually one.
    Keys(Vec<Explained>),
    /// No such key; names that are near it.
    None(Vec<String>),
}

/// A row of the table, and for a key that all values of a kind have, one that has it and whose example is shown.
#[derive(Debug, Clone, Copy)]
struct Row {
    field: &'static Field,
    of: Option<&'static Field>,
}

impl Row {
    /// Its path in a file.
    fn path(self) -> String {
        self.of.map_or_else(
            || self.field.path.to_owned(),
            |of| format!("{}.{}", of.path, self.field.key()),
        )
    }

    /// What it goes by.
    fn name(self) -> String {
        match self.of {
            None => plain(self.field.path),
            Some(_) => self.field.key().to_owned(),
        }
    }
}

/// A file, read once.
struct Read {
    name: &'static str,
    text: &'static str,
    root: Node,
}

impl Read {
    fn new(name: &'static str, text: &'static str) -> Self {
        let (root, _) = tree::parse(text, 0);
        Self { name, text, root }
    }
}

/// Every key there is, and the files that give them.
pub struct Guide {
    examples: Vec<Read>,
    shipped: Vec<Read>,
    rows: Vec<Row>,
}

impl Default for Guide {
    fn default() -> Self {
        Self::new()
    }
}

impl Guide {
    /// Reads the files that come with the program.
    #[must_use]
    pub fn new() -> Self {
        let examples = EXAMPLES.map(|text| Read::new("", text));
        let shipped = shipped::FILES.iter();
        let mut guide = Self {
            examples: examples.into(),
            shipped: shipped
                .map(|file| Read::new(file.name, file.text))
                .collect(),
            rows: Vec::new(),
        };
        guide.rows = guide.all_rows();
        guide
    }

    fn all_rows(&self) -> Vec<Row> {
        let mut rows: Vec<Row> = Vec::new();
        let mut shared: Vec<Row> = Vec::new();
        for field in fields::all() {
            rows.push(Row { field, of: None });
            if field.kind.has_keys() {
                continue;
            }
            for below in field.below {
                let known = shared.iter().any(|one| one.field.path == below.path);
                let row = Row {
                    field: below,
                    of: Some(field),
                };
                if !known && self.example(row).is_some() {
                    shared.push(row);
                }
            }
        }
        rows.extend(shared);
        rows
    }

    /// What every key goes by.
    #[must_use]
    pub fn names(&self) -> Vec<String> {
        self.rows.iter().map(|row| row.name()).collect()
    }

    /// All that goes by a name (`once_waiting`), or by a path with or without brackets (`roster.called.once_waiting`).
    #[must_use]
    pub fn explain(&self, name: &str) -> Found {
        let wanted = plain(name);
        let all = &self.rows;
        let is_whole = |row: &&Row| row.of.is_none() && row.name() == wanted;
        let mut found: Vec<Row> = all.iter().filter(is_whole).copied().collect();
        if found.is_empty() {
            let end = format!(".{wanted}");
            let ends = |row: &&Row| row.name() == wanted || row.name().ends_with(&end);
            found = all.iter().filter(ends).copied().collect();
        }
        if found.is_empty() || wanted.is_empty() {
            return Found::None(near(&wanted, all));
        }
        Found::Keys(found.into_iter().map(|row| self.explained(row)).collect())
    }

    fn explained(&self, row: Row) -> Explained {
        let path = row.path();
        let used = self.shipped.iter().filter_map(|file| {
            let given = first_place(file, &path)?;
            Some((file.name, line_of(file.text, given.key.span.start)))
        });
        Explained {
            field: row.field,
            shared_by: row.of,
            example: self.example(row),
            used: used.collect(),
        }
    }

    fn example(&self, row: Row) -> Option<String> {
        self.examples.iter().find_map(|file| example(row, file))
    }
}

/// A path as people write it: `roster[].count` and `roster[loader].count` are `roster.count`.
#[must_use]
pub fn plain(path: &str) -> String {
    let mut depth = 0_u32;
    let kept = path.trim().chars().filter(|letter| {
        match letter {
            '[' => depth += 1,
            ']' => {
                depth = depth.saturating_sub(1);
                return false;
            }
            _ => {}
        }
        depth == 0
    });
    kept.collect()
}

/// How many names are proposed at most.
const PROPOSED: usize = 5;

fn near(wanted: &str, all: &[Row]) -> Vec<String> {
    let last = wanted.rsplit('.').next().unwrap_or(wanted);
    let keys: Vec<&str> = all.iter().map(|row| row.field.key()).collect();
    let nearest = suggest::nearest(last, &keys);
    let is_near = |row: &&Row| {
        let key = row.field.key();
        Some(key) == nearest || last.len() > 2 && key.split('_').any(|part| part == last)
    };
    let names = all.iter().filter(is_near).map(|row| row.name());
    names.take(PROPOSED).collect()
}

/// A key where a file gives it.
struct Given {
    /// The key.
    key: Place,
    /// Where the line to show begins and ends: that of its row's own key, though it stands deeper.
    shown: (usize, usize),
    /// The name of the row of a list that it is in.
    row: Option<String>,
}

/// Where a file first gives a key.
fn first_place(file: &Read, path: &str) -> Option<Given> {
    let steps: Vec<&str> = path.split('.').collect();
    walk(file.text, &file.root, &steps, (None, None))
}

/// Whether a key's value stands behind it, rather than under its head.
fn is_inline(text: &str, key: &Place) -> bool {
    let behind = text.get(key.span.end..).unwrap_or_default();
    behind.trim_start().starts_with('=')
}

fn walk(
    text: &str,
    node: &Node,
    steps: &[&str],
    (shown, row): (Option<(usize, usize)>, Option<&str>),
) -> Option<Given> {
    let ([step, rest @ ..], Some(table)) = (steps, node.table()) else {
        return None;
    };
    let entry = table.get(step.trim_end_matches("[]"))?;
    let span = (entry.key.span.start, entry.node.place.span.end);
    if rest.is_empty() {
        return Some(Given {
            key: entry.key.clone(),
            shown: shown.unwrap_or(span),
            row: row.map(str::to_owned),
        });
    }
    // What stands in braces or brackets is shown with the key before them.
    let shown = shown.or_else(|| is_inline(text, &entry.key).then_some(span));
    match &entry.node.value {
        Value::List(items) => items.iter().find_map(|item| {
            let row = row.or_else(|| item.text_of("name"));
            walk(text, item, rest, (shown, row))
        }),
        _ => walk(text, &entry.node, rest, (shown, row)),
    }
}

/// The key's lines in that file, under the head of its table.
fn example(row: Row, file: &Read) -> Option<String> {
    let field = row.field;
    if field.kind.has_keys() {
        return None;
    }
    let text = file.text;
    let given = first_place(file, &row.path())?;
    let lines = lines(text, given.shown)?;
    let head = head(text, given.shown.0);
    let name = given.row.filter(|_| field.key() != "name");
    let name = name.filter(|_| head.is_some_and(|head| head.starts_with("[[")));
    let mut example = String::new();
    if let Some(head) = head {
        example += head;
        example.push('\n');
    }
    if let Some(name) = name {
        example += &format!("name = \"{name}\"\n");
    }
    Some(example + lines)
}

/// The whole lines around a stretch of text.
fn lines(text: &str, (from, to): (usize, usize)) -> Option<&str> {
    let start = text.get(..from)?.rfind('\n').map_or(0, |at| at + 1);
    let end = text.get(to..)?.find('\n').map_or(text.len(), |at| to + at);
    text.get(start..end)
}

/// The head of the table that a place is in.
fn head(text: &str, at: usize) -> Option<&str> {
    let before = text.get(..at)?;
    let is_head = |line: &&str| line.starts_with('[');
    before.lines().rev().find(is_head)
}

fn line_of(text: &str, at: usize) -> usize {
    text.get(..at)
        .map_or(1, |before| 1 + before.matches('\n').count())
}

impl Explained {
    /// What it goes by.
    #[must_use]
    pub fn name(&self) -> String {
        let (field, of) = (self.field, self.shared_by);
        Row { field, of }.name()
    }

    /// The keys of its table or of its rows.
    #[must_use]
    pub const fn below(&self) -> &'static [Field] {
        if self.field.kind.has_keys() {
            self.field.below
        } else {
            &[]
        }
    }
}
