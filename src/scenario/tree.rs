//! What a TOML file says, every key and value with its place, ready to be merged.

use std::collections::BTreeMap;

use toml::de::{DeTable, DeValue};

use super::mistakes::{Mistake, Sort};
use super::sources::Place;

/// A value and its place.
#[derive(Debug, Clone)]
pub struct Node {
    /// The value.
    pub value: Value,
    /// Where it stands.
    pub place: Place,
}

/// A value of a file.
#[derive(Debug, Clone)]
pub enum Value {
    /// Text, or a bare TOML time.
    Text(String),
    /// A whole number.
    Whole(i64),
    /// Any other number.
    Number(f64),
    /// `true` or `false`.
    Flag(bool),
    /// A list.
    List(Vec<Node>),
    /// A table.
    Table(Table),
}

/// Keys with their places and values.
pub type Table = BTreeMap<String, Entry>;

/// A key's place and its value.
#[derive(Debug, Clone)]
pub struct Entry {
    /// Where the key stands.
    pub key: Place,
    /// The value.
    pub node: Node,
}

impl Node {
    /// The table, if it is one.
    #[must_use]
    pub fn table(&self) -> Option<&Table> {
        match &self.value {
            Value::Table(table) => Some(table),
            _ => None,
        }
    }

    /// The text, if it is one.
    #[must_use]
    pub fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The text under a key, if this is a table that has it.
    #[must_use]
    pub fn text_of(&self, key: &str) -> Option<&str> {
        self.table()?.get(key)?.node.text()
    }

    /// What sort of value it is, for messages.
    #[must_use]
    pub const fn sort(&self) -> &'static str {
        match self.value {
            Value::Text(_) => "text",
            Value::Whole(_) => "a whole number",
            Value::Number(_) => "a number",
            Value::Flag(_) => "true or false",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
        }
    }
}

/// Files longer than this are read no further than their first mistake of syntax, bytes. Noting every
/// mistake takes some hundred times the memory of the text.
const ALL_MISTAKES: usize = 64 * 1024;

/// Reads the text of a file; what could be read, and all mistakes of syntax, or the first of a long file.
#[must_use]
pub fn parse(text: &str, file: usize) -> (Node, Vec<Mistake>) {
    let (document, errors) = if text.len() > ALL_MISTAKES {
        match DeTable::parse(text) {
            Ok(document) => (document, Vec::new()),
            Err(first) => (toml::Spanned::new(0..0, DeTable::new()), vec![first]),
        }
    } else {
        DeTable::parse_recoverable(text)
    };
    let mistakes = errors
        .iter()
        .map(|error| syntax(error, text, file))
        .collect();
    let place = Place { file, span: 0..0 };
    (
        Node {
            value: Value::Table(table(document.get_ref(), file)),
            place,
        },
        mistakes,
    )
}

fn syntax(error: &toml::de::Error, text: &str, file: usize) -> Mistake {
    let span = error.span().unwrap_or(text.len()..text.len());
    let label = if text[span.start.min(text.len())..].trim().is_empty() {
        "the file ends here"
    } else {
        "here"
    };
    let cure = match error.message() {
        "duplicate key" => Some("give each key once, and each [table] once".to_string()),
        message if message.starts_with("string values must be quoted") => {
            Some("text stands in quotes: \"like this\"".to_string())
        }
        _ => decimal_comma(text, span.start)
            .map(|number| format!("numbers have a decimal point: {number}")),
    };
    let title = format!("this is not TOML: {}", error.message());
    Mistake::new(Sort::Syntax, title)
        .at(&Place { file, span }, label)
        .help_if(cure)
}

/// What to write for a number with a decimal comma in the line of a place, if a key there is given one.
fn decimal_comma(text: &str, at: usize) -> Option<String> {
    let at = at.min(text.len());
    let start = text.get(..at)?.rfind('\n').map_or(0, |end| end + 1);
    let line = text.get(start..)?.lines().next()?;
    line.split('=').skip(1).find_map(|value| {
        let value = value.trim_start();
        let end = value.find(|c: char| !(c.is_ascii_digit() || "+-_".contains(c)))?;
        let (whole, rest) = value.split_at(end);
        let rest = rest.strip_prefix(',')?;
        let end = rest.find(|c: char| !c.is_ascii_digit());
        let decimals = &rest[..end.unwrap_or(rest.len())];
        let is_number = whole.ends_with(|c: char| c.is_ascii_digit()) && !decimals.is_empty();
        is_number.then(|| format!("{whole}.{decimals}"))
    })
}

fn table(from: &DeTable<'_>, file: usize) -> Table {
    let entry = |(key, value): (&toml::Spanned<_>, &toml::Spanned<DeValue<'_>>)| {
        let key_place = Place {
            file,
            span: key.span(),
        };
        let name: &std::borrow::Cow<'_, str> = key.get_ref();
        (
            name.to_string(),
            Entry {
                key: key_place,
                node: node(value, file),
            },
        )
    };
    from.iter().map(entry).collect()
}

fn node(from: &toml::Spanned<DeValue<'_>>, file: usize) -> Node {
    let value = match from.get_ref() {
        DeValue::String(text) => Value::Text(text.to_string()),
        DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix())
            .map_or_else(
                |_| Value::Number(number.as_str().parse().unwrap_or(f64::NAN)),
                Value::Whole,
            ),
        DeValue::Float(number) => Value::Number(number.as_str().parse().unwrap_or(f64::NAN)),
        DeValue::Boolean(flag) => Value::Flag(*flag),
        DeValue::Datetime(time) => Value::Text(time.to_string()),
        DeValue::Array(list) => Value::List(list.iter().map(|item| node(item, file)).collect()),
        DeValue::Table(keys) => Value::Table(table(keys, file)),
    };
    Node {
        value,
        place: Place {
            file,
            span: from.span(),
        },
    }
}
