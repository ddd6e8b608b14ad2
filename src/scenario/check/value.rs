//! One value held against its row of the table.

use super::{Checker, Item, Read};
use crate::scenario::cells;
use crate::scenario::field::{Bounds, Field, Kind, Quantity};
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::suggest;
use crate::scenario::tree::{Node, Value};
use crate::scenario::units::{self, Dimension, Wrong};

impl Read for f64 {
    fn read(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Self> {
        match field.kind {
            Kind::Quantity(quantity) => check.quantity(quantity, node, path),
            Kind::Number(bounds) => check.number(bounds, field, node, path),
            Kind::Share(bounds) => check.share(bounds, field, node, path),
            Kind::TimeOfDay => check.time_of_day(field, node, path),
            _ => check.misfit(field, node, path),
        }
    }

    fn harmless(field: &'static Field) -> Self {
        match field.kind {
            Kind::Quantity(quantity) => quantity.bounds_si().most,
            Kind::Number(bounds) | Kind::Share(bounds) => Self::midpoint(bounds.least, bounds.most),
            _ => 0.0,
        }
    }
}

impl Read for u32 {
    fn read(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Self> {
        match field.kind {
            Kind::Whole(least, most) => check.whole((least, most), field, node, path),
            _ => check.misfit(field, node, path),
        }
    }

    fn harmless(field: &'static Field) -> Self {
        match field.kind {
            Kind::Whole(least, _) => least,
            _ => 0,
        }
    }
}

impl Read for bool {
    fn read(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Self> {
        match field.kind {
            Kind::Flag => check.flag(field, node, path),
            _ => check.misfit(field, node, path),
        }
    }

    fn harmless(_: &'static Field) -> Self {
        false
    }
}

impl Read for String {
    fn read(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Self> {
        let text = match field.kind {
            Kind::Text | Kind::Measure => check.text(field, node, path),
            Kind::Name => check.name(field, node, path),
            Kind::Choice(_) => check.word(field, node, path),
            Kind::Reference(list) => check.reference(list, field, node, path),
            _ => check.misfit(field, node, path),
        };
        text.map(str::to_string)
    }

    fn harmless(field: &'static Field) -> Self {
        field.words().first().copied().unwrap_or_default().into()
    }
}

/// What whoever reads the file holds against what it stands for: nothing here.
impl Read for () {
    fn read(_: &mut Checker<'_>, _: &'static Field, _: &Node, _: &str) -> Option<Self> {
        Some(())
    }

    fn harmless(_: &'static Field) -> Self {}
}

impl Item for String {
    const ROWS: &'static [Field] = &[];

    /// A list of names of rows.
    fn list(
        check: &mut Checker<'_>,
        field: &'static Field,
        node: &Node,
        path: &str,
    ) -> Option<Vec<Self>> {
        let Kind::References(list) = field.kind else {
            return check.misfit(field, node, path);
        };
        let Value::List(items) = &node.value else {
            check.not_a("a list of names", &example(field), node, path);
            return None;
        };
        let mut names = Vec::new();
        for (at, item) in items.iter().enumerate() {
            let path = format!("{path}[{at}]");
            check.note(&path, item);
            names.push(check.reference(list, field, item, &path)?.to_string());
        }
        Some(names)
    }
}

impl Checker<'_> {
    /// Reports a value of the wrong sort.
    pub fn not_a(&mut self, what: &str, example: &str, node: &Node, path: &str) {
        let mistake = Mistake::new(Sort::Value, format!("`{path}` must be {what}"))
            .at(&node.place, format!("this is {}", node.sort()))
            .help(format!("write it like {example}"));
        self.wrong(path, mistake);
    }

    /// Reports a number with a decimal comma; whether it is one.
    fn has_comma(&mut self, node: &Node, path: &str) -> bool {
        let Some(point) = node.text().and_then(cells::with_a_point) else {
            return false;
        };
        let title = format!("`{path}` has a decimal comma");
        let mistake = Mistake::new(Sort::Value, title).at(&node.place, "a comma");
        self.wrong(path, mistake.help(format!("write a point: {point}")));
        true
    }

    /// Reports a value beyond its limits.
    pub fn beyond(&mut self, (value, least): (f64, f64), limits: &str, node: &Node, path: &str) {
        let label = if value.is_nan() {
            "not a number"
        } else if value <= least {
            "too little"
        } else {
            "too much"
        };
        let mistake = Mistake::new(Sort::Value, format!("`{path}` is out of range"))
            .at(&node.place, label)
            .help(format!("give {limits}"));
        self.wrong(path, mistake);
    }

    pub fn quantity(&mut self, q: Quantity, node: &Node, path: &str) -> Option<f64> {
        let what = q.dimension.words();
        let like = format!("\"{}\"", q.example());
        let text = match &node.value {
            Value::Text(text) => text,
            Value::Whole(_) | Value::Number(_) => {
                let mistake = Mistake::new(Sort::Value, format!("`{path}` needs a unit"))
                    .at(&node.place, "a number without a unit")
                    .help(format!(
                        "give {what} in {}, like {like}",
                        q.dimension.units_in_words()
                    ));
                self.wrong(path, mistake);
                return None;
            }
            _ => {
                self.not_a(&format!("{what} with its unit, as text"), &like, node, path);
                return None;
            }
        };
        match units::quantity(text, q.dimension) {
            Ok(value) if q.bounds_si().holds(value) => Some(value),
            Ok(value) => {
                self.beyond((value, q.bounds_si().least), &q.words(), node, path);
                None
            }
            Err(wrong) => {
                self.wrong(path, wrong_quantity(&wrong, q, node, path));
                None
            }
        }
    }

    pub fn number(&mut self, b: Bounds, f: &Field, node: &Node, path: &str) -> Option<f64> {
        let value = match node.value {
            Value::Whole(number) => number as f64,
            Value::Number(number) => number,
            _ if self.has_comma(node, path) => return None,
            _ => {
                self.not_a("a number, without quotes", &example(f), node, path);
                return None;
            }
        };
        if b.holds(value) {
            return Some(value);
        }
        self.beyond((value, b.least), &b.words(""), node, path);
        None
    }

    fn whole(
        &mut self,
        (least, most): (u32, u32),
        field: &Field,
        node: &Node,
        path: &str,
    ) -> Option<u32> {
        let value = match node.value {
            Value::Whole(number) => number as f64,
            Value::Number(number) if number.abs() > 1e15 => number,
            _ => {
                self.not_a(
                    "a whole number, without quotes",
                    &example(field),
                    node,
                    path,
                );
                return None;
            }
        };
        let (low, high) = (f64::from(least), f64::from(most));
        if (low..=high).contains(&value) {
            return Some(value as u32);
        }
        let limits = format!("a whole number, at least {least} and at most {most}");
        self.beyond((value, low), &limits, node, path);
        None
    }

    fn share(&mut self, bounds: Bounds, field: &Field, node: &Node, path: &str) -> Option<f64> {
        let value = match &node.value {
            Value::Whole(number) => Some(*number as f64),
            Value::Number(number) => Some(*number),
            Value::Text(text) => units::percent(text),
            _ => None,
        };
        let Some(value) = value else {
            if self.has_comma(node, path) {
                return None;
            }
            self.not_a(
                "a share: a number from 0 to 1, or per cent",
                &example(field),
                node,
                path,
            );
            return None;
        };
        if bounds.holds(value) {
            return Some(value);
        }
        let percent = Bounds {
            least: bounds.least * 100.0,
            most: bounds.most * 100.0,
            ..bounds
        };
        let limits = format!("{}, or {}", bounds.words(""), percent.words("%"));
        self.beyond((value, bounds.least), &limits, node, path);
        None
    }

    fn text<'n>(&mut self, field: &Field, node: &'n Node, path: &str) -> Option<&'n str> {
        if node.text().is_none() {
            self.not_a("text, in quotes", &example(field), node, path);
        }
        node.text()
    }

    fn name<'n>(&mut self, field: &Field, node: &'n Node, path: &str) -> Option<&'n str> {
        let name = self.text(field, node, path)?;
        if name.trim().is_empty() {
            let mistake = Mistake::new(Sort::Value, format!("`{path}` is empty"))
                .at(&node.place, "no name")
                .help("every row of this list has a name of its own");
            self.wrong(path, mistake);
            return None;
        }
        Some(name)
    }

    /// One of the words of a key.
    pub fn word<'n>(&mut self, field: &Field, node: &'n Node, path: &str) -> Option<&'n str> {
        let words = field.words();
        let text = self.text(field, node, path)?;
        if words.contains(&text) {
            return Some(text);
        }
        let mistake = Mistake::new(Sort::Value, format!("`{path}` cannot be \"{text}\""))
            .at(&node.place, "not one of its words")
            .help_if(suggest::nearest(text, words).map(|word| format!("did you mean \"{word}\"?")))
            .help(format!("it is one of {}", suggest::listed(words)));
        self.wrong(path, mistake);
        None
    }

    fn flag(&mut self, field: &Field, node: &Node, path: &str) -> Option<bool> {
        if let Value::Flag(flag) = node.value {
            return Some(flag);
        }
        self.not_a("true or false, without quotes", &example(field), node, path);
        None
    }

    fn time_of_day(&mut self, field: &Field, node: &Node, path: &str) -> Option<f64> {
        let text = node.text();
        let Some(clock) = text.and_then(units::clock) else {
            let label = if text.is_some() {
                "not a time of day"
            } else {
                node.sort()
            };
            let mistake = Mistake::new(Sort::Value, format!("`{path}` must be a time of day"))
                .at(&node.place, label)
                .help(format!(
                    "write it like {}; times past midnight are understood",
                    example(field)
                ));
            self.wrong(path, mistake);
            return None;
        };
        // These two end something, and nothing ends at the very start of the evening.
        let ends = matches!(field.key(), "closes" | "to");
        Some(if ends {
            self.hours.end(clock)
        } else {
            self.hours.at(clock)
        })
    }

    fn reference<'n>(
        &mut self,
        list: &'static str,
        field: &Field,
        node: &'n Node,
        path: &str,
    ) -> Option<&'n str> {
        let text = self.text(field, node, path)?;
        let known = self.names.has(list, text) != Some(false);
        let left_out = text.is_empty() && !self.origins.has(path);
        if known || left_out {
            return Some(text);
        }
        let help = self.known_names(list, text);
        let mistake = Mistake::new(Sort::Value, format!("there is no {list} \"{text}\""))
            .at(&node.place, format!("not the name of a row of `{list}`"))
            .help(help);
        self.wrong(path, mistake);
        None
    }

    /// The names of a list that could have been meant.
    pub fn known_names(&self, list: &str, wrong: &str) -> String {
        let names = self.names.all(list);
        if names.is_empty() {
            return format!("add a row: [[{list}]] with name = \"{wrong}\"");
        }
        suggest::among(wrong, &names)
    }
}

/// The mistake of a text that is no quantity.
fn wrong_quantity(wrong: &Wrong, q: Quantity, node: &Node, path: &str) -> Mistake {
    let (what, units) = (q.dimension.words(), q.dimension.units_in_words());
    let like = format!("\"{}\"", q.example());
    let (title, label, help) = match wrong {
        Wrong::NoNumber => (
            format!("`{path}` must be {what} with its unit"),
            "no number, or nothing readable after it".to_string(),
            format!("write it like {like}, in {units}"),
        ),
        Wrong::Comma => (
            format!("`{path}` has a decimal comma"),
            "a comma".to_string(),
            match node.text().and_then(cells::with_a_point) {
                Some(point) => format!("write a point: \"{point}\""),
                None => format!("write a point: {like}"),
            },
        ),
        Wrong::NoUnit => (
            format!("`{path}` needs a unit"),
            "a number without a unit".to_string(),
            format!("give {what} in {units}, like {like}"),
        ),
        Wrong::UnknownUnit(unit) => (
            format!("`{path}` has an unknown unit"),
            format!(
                "\"{unit}\" is not a unit of {}",
                what.trim_start_matches("a ")
            ),
            if q.dimension == Dimension::Time {
                format!("give {what} in {units}, or in two parts, like \"1 h 30 min\"")
            } else {
                format!("give {what} in {units}")
            },
        ),
        Wrong::OtherDimension(unit, other) => (
            format!("`{path}` must be {what}"),
            format!(
                "\"{unit}\" is a unit of {}",
                other.words().trim_start_matches("a ")
            ),
            format!("give {what} in {units}, like {like}"),
        ),
    };
    Mistake::new(Sort::Value, title)
        .at(&node.place, label)
        .help(help)
}

/// An example of a value.
pub(super) fn example(field: &Field) -> String {
    match field.kind {
        Kind::Quantity(q) | Kind::Time(q) => format!("\"{}\"", q.example()),
        Kind::Number(_) => "1.5".to_string(),
        Kind::Whole(..) => "2".to_string(),
        Kind::Share(_) => "0.3 or \"30 %\"".to_string(),
        Kind::Text | Kind::Name => "\"...\"".to_string(),
        Kind::BasedOn => "\"other.toml\"".to_string(),
        Kind::Include => "[\"other.toml\"]".to_string(),
        Kind::Version => "1".to_string(),
        Kind::Choice(words) => format!("\"{}\"", words.first().copied().unwrap_or_default()),
        Kind::Flag => "true".to_string(),
        Kind::TimeOfDay => "\"18:30\"".to_string(),
        Kind::Places(..) => "3".to_string(),
        Kind::Reference(list) => format!("\"the name of a {list}\""),
        Kind::References(list) => format!("[\"the name of a row of {list}\"]"),
        Kind::Duties => "[\"unload\", \"put-away\"]".to_string(),
        Kind::File => "\"file.csv\"".to_string(),
        Kind::Rows(..) | Kind::Table | Kind::Position => "{ ... }".to_string(),
        Kind::Measure => "\"wait_mean_min\"".to_string(),
        Kind::Any(like) => like.to_string(),
    }
}
