//! A change of a scenario: values to set, in words and as the text of a variant.

use crate::scenario::Loaded;
use crate::scenario::sources::STDIN;
use crate::scenario::version::NEWEST;
use crate::words::advice::both;
use crate::words::text::capital;

/// What a change is for, where two go together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// One person more.
    Hands,
    /// One place more.
    Place,
    /// Duties shared, or given.
    Share,
    /// Somebody leaves when the shift ends.
    Leave,
    /// More heat for the water.
    Heat,
    /// Something else that has to be bought or built.
    Thing,
    /// Anything else.
    Other,
}

/// A value to be set.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Set {
    /// The table, `scrape`, or the list, `roster`.
    table: &'static str,
    /// The name of the row, of a list.
    row: Option<String>,
    /// The key.
    key: &'static str,
    /// The value as TOML.
    value: String,
}

/// A change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Change {
    /// In words.
    pub words: String,
    /// What it is for.
    pub kind: Kind,
    /// Whether something has to be bought for it, which no cost of a service has in it.
    pub buys: bool,
    /// Of how many changes it is made.
    pub parts: u8,
    sets: Vec<Set>,
}

impl Change {
    /// Of nothing yet.
    pub const fn new(kind: Kind, words: String) -> Self {
        Self {
            words,
            kind,
            buys: matches!(kind, Kind::Place | Kind::Heat | Kind::Thing),
            parts: 1,
            sets: Vec::new(),
        }
    }

    /// Whether something has to be bought for it, where that is not as usual.
    pub const fn bought(mut self, buys: bool) -> Self {
        self.buys = buys;
        self
    }

    /// Sets a key of a table too.
    pub fn table(mut self, table: &'static str, key: &'static str, value: String) -> Self {
        self.sets.push(Set {
            table,
            row: None,
            key,
            value,
        });
        self
    }

    /// Sets a key of a row of a list too.
    pub fn row(mut self, list: &'static str, name: &str, key: &'static str, value: String) -> Self {
        self.sets.push(Set {
            table: list,
            row: Some(name.to_owned()),
            key,
            value,
        });
        self
    }

    /// Whether it changes anything.
    pub const fn is_empty(&self) -> bool {
        self.sets.is_empty()
    }

    /// Both together; nothing if they set the same thing, or one takes away what the other changes.
    pub fn and(&self, other: &Self) -> Option<Self> {
        let clash = |a: &Set| {
            let same_row = |b: &&Set| b.table == a.table && b.row == a.row;
            let clashes = |b: &Set| b.key == a.key || b.key == "remove" || a.key == "remove";
            other.sets.iter().filter(same_row).any(clashes)
        };
        if self.sets.iter().any(clash) {
            return None;
        }
        let sets = self.sets.iter().chain(&other.sets).cloned();
        Some(Self {
            words: both(&self.words, &other.words),
            kind: Kind::Other,
            buys: self.buys || other.buys,
            parts: self.parts + other.parts,
            sets: sets.collect(),
        })
    }

    /// As TOML, to be laid over the scenario.
    pub fn text(&self) -> String {
        let mut text = String::new();
        let mut done: Vec<(&str, Option<&str>)> = Vec::new();
        for set in &self.sets {
            let place = (set.table, set.row.as_deref());
            if done.contains(&place) {
                continue;
            }
            done.push(place);
            text += &match &set.row {
                Some(name) => format!("[[{}]]\nname = {}\n", set.table, quoted(name)),
                None => format!("[{}]\n", set.table),
            };
            let here = |other: &&Set| (other.table, other.row.as_deref()) == place;
            for set in self.sets.iter().filter(here) {
                text += &format!("{} = {}\n", set.key, set.value);
            }
        }
        text
    }

    /// As the text of a file beside that of the scenario.
    pub fn variant(&self, loaded: &Loaded) -> String {
        let path = loaded.path();
        let file = path.file_name().map(|name| name.to_string_lossy());
        // What came from standard input has no file to be based on.
        let based_on = match file {
            Some(name) if name != STDIN => format!("based_on = {}\n", quoted(&name)),
            _ => String::new(),
        };
        let title = quoted(&capital(&self.words));
        format!(
            "version = {NEWEST}\n{based_on}title = {title}\n\n{}",
            self.text()
        )
    }
}

/// Text as TOML has it.
pub(super) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            _ if c.is_control() => out += &format!("\\u{:04X}", u32::from(c)),
            _ => out.push(c),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn places(kind: Kind) -> Change {
        Change::new(kind, "more places".into()).table("scrape", "places", "3".into())
    }

    fn duties() -> Change {
        let change = Change::new(Kind::Share, "duties".into());
        change
            .row("roster", "a \"b\"", "duties", "[\"scrape\"]".into())
            .row("roster", "c", "duties", "[\"load\"]".into())
            .row("roster", "a \"b\"", "stays", "false".into())
    }

    #[test]
    fn a_row_stands_once_with_all_its_keys() {
        assert_eq!(
            duties().text(),
            "[[roster]]\nname = \"a \\\"b\\\"\"\nduties = [\"scrape\"]\nstays = false\n\
             [[roster]]\nname = \"c\"\nduties = [\"load\"]\n"
        );
    }

    #[test]
    fn two_changes_of_one_key_do_not_go_together() {
        let both = places(Kind::Place).and(&duties()).unwrap();
        assert_eq!(both.words, "more places, and duties");
        assert!(
            both.text()
                .starts_with("[scrape]\nplaces = 3\n[[roster]]\n")
        );
        assert_eq!(places(Kind::Place).and(&places(Kind::Other)), None);
        let gone =
            Change::new(Kind::Other, "gone".into()).row("roster", "c", "remove", "true".into());
        assert_eq!(gone.and(&duties()), None);
        assert!(gone.and(&places(Kind::Place)).is_some());
    }

    #[test]
    fn no_text_ends_its_quotes() {
        assert_eq!(quoted("a\"\\\n\u{7f}é"), "\"a\\\"\\\\\\u000A\\u007Fé\"");
    }
}
