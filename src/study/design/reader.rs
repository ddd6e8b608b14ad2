//! What all readers of a study's factors share: the base scenario, what is wrong, and the checks of paths and lists.

use super::factor::{Factor, Level, MAX_LEVELS, Varies};
use crate::scenario::amount::Amount;
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::path::ValuePath;
use crate::scenario::sources::Place;
use crate::scenario::tree::{Node, Value};

/// Reads factors.
pub struct Reader<'a> {
    /// The base scenario.
    pub base: &'a Node,
    /// Whether the design points are a sample.
    pub sampled: bool,
    /// What is wrong.
    pub mistakes: &'a mut Vec<Mistake>,
}

impl Reader<'_> {
    /// A factor with the unit of its numbers, if all levels have one.
    pub fn named(&self, name: String, is_site: bool, place: Place, varies: Varies) -> Factor {
        let unit = match &varies {
            Varies::Span(span) => span.from.unit(),
            Varies::Levels(levels) if levels.iter().all(|level| level.number.is_some()) => levels
                .first()
                .and_then(Level::amount)
                .map_or("", Amount::unit),
            Varies::Levels(_) => "",
        };
        Factor {
            name,
            unit,
            is_site,
            place,
            varies,
        }
    }

    /// A path that leads to a value of the base.
    pub fn path(&mut self, node: &Node) -> Option<ValuePath> {
        self.path_at(node.text()?, &node.place)
    }

    /// The same, given by its text and its place.
    pub fn path_at(&mut self, text: &str, place: &Place) -> Option<ValuePath> {
        match ValuePath::resolve(text, self.base) {
            Ok(path) => Some(path),
            Err(wrong) => {
                let mistake = Mistake::new(Sort::Value, wrong.title)
                    .at(place, wrong.label)
                    .help(wrong.help);
                self.mistakes.push(mistake);
                None
            }
        }
    }

    /// Two levels of one name could not be distinguished in the results.
    pub(super) fn no_twice(&mut self, levels: &[Level]) -> Option<()> {
        let mut seen = std::collections::BTreeMap::new();
        let mut good = Some(());
        for level in levels {
            if let Some(first) = seen.insert(level.text.clone(), level.place.clone()) {
                let title = format!("the value {} is given twice", level.text);
                let mistake = Mistake::new(Sort::Value, title)
                    .at(&level.place, "the second")
                    .also(&first, "the first")
                    .help("give each value once, or linked `values` that are not the same there");
                self.mistakes.push(mistake);
                good = None;
            }
        }
        good
    }

    pub(super) fn list<'n>(&mut self, node: &'n Node, key: &str) -> Option<&'n [Node]> {
        let problem = match &node.value {
            Value::List(items) if items.is_empty() => "an empty list",
            Value::List(items) if items.len() > MAX_LEVELS => "more than 10000 values",
            Value::List(items) => return Some(items),
            _ => node.sort(),
        };
        let mistake = Mistake::new(Sort::Value, format!("`{key}` must be a list of values"))
            .at(&node.place, format!("this is {problem}"))
            .help("write it like [1, 2, 3] or [\"44 in\", \"66 in\"]");
        self.mistakes.push(mistake);
        None
    }
}
