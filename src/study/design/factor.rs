//! What varies: a list of values, a range, values that move together, or named bundles of changes.
//!
//! In: a row of the study file whose shape has been checked, and the base scenario's merged tree. Out: a
//! [`Factor`] whose levels can be put into that tree. Ranges count in the unit they were written in.

use std::borrow::Cow;

use super::points::{Coordinate, tidy};
use crate::scenario::amount::{Amount, Scale};
use crate::scenario::chain;
use crate::scenario::fields::{self, Kind};
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::path::ValuePath;
use crate::scenario::sources::Place;
use crate::scenario::tree::{Node, Table, Value};
use crate::scenario::units;

/// Most values of a factor.
pub const MOST_LEVELS: usize = 10_000;
/// Digits of a value drawn from a range.
const DRAWN_DIGITS: usize = 6;
/// Digits of a value worked out from another.
const WORKED_DIGITS: usize = 12;

/// A factor: what varies.
#[derive(Debug, Clone)]
pub struct Factor {
    /// Its name in the results.
    pub name: String,
    /// Unit of the numbers of its levels; empty if there is none.
    pub unit: &'static str,
    /// Whether it is the table of sites.
    pub is_site: bool,
    /// Where it stands.
    pub place: Place,
    /// Its values.
    pub varies: Varies,
}

/// The values of a factor.
#[derive(Debug, Clone)]
pub enum Varies {
    /// These.
    Levels(Vec<Level>),
    /// Any from one to another; only in a sample.
    Span(Span),
}

/// A value of a factor, and what it changes.
#[derive(Debug, Clone)]
pub struct Level {
    /// As people read it.
    pub text: String,
    /// As a number in the unit of the factor, if it is one.
    pub number: Option<f64>,
    /// Where it stands.
    pub place: Place,
    /// Changes as in a scenario that is based on another.
    pub change: Option<Node>,
    /// Then values put in their places.
    pub sets: Vec<(ValuePath, Node)>,
}

/// Any value from one to another.
#[derive(Debug, Clone)]
pub struct Span {
    path: ValuePath,
    from: Amount,
    to: Amount,
    place: Place,
    links: Vec<Link>,
}

/// A value that moves with a factor.
#[derive(Debug, Clone)]
struct Link {
    path: ValuePath,
    follows: Follows,
}

#[derive(Debug, Clone)]
enum Follows {
    /// The same value.
    Value,
    /// Its difference to the factor is that of the base.
    Difference { factor_si: f64, base: Amount },
    /// Its ratio to the factor is that of the base.
    Ratio { factor_si: f64, base: Amount },
    /// Its own value for each of the factor's.
    Listed(Vec<Node>),
}

impl Factor {
    /// The levels, if there is a list of them.
    #[must_use]
    pub fn levels(&self) -> Option<&[Level]> {
        match &self.varies {
            Varies::Levels(levels) => Some(levels),
            Varies::Span(_) => None,
        }
    }

    /// The level at a coordinate; nothing where the factor is left as the base has it.
    #[must_use]
    pub fn level(&self, at: Coordinate) -> Option<Cow<'_, Level>> {
        match (&self.varies, at) {
            (_, Coordinate::Base) => None,
            (Varies::Levels(levels), Coordinate::Level(index)) => {
                levels.get(index).map(Cow::Borrowed)
            }
            (Varies::Levels(levels), Coordinate::At(u)) => {
                let index = (u * levels.len() as f64) as usize;
                levels.get(index).map(Cow::Borrowed)
            }
            (Varies::Span(span), Coordinate::At(u)) => Some(Cow::Owned(span.level(u))),
            (Varies::Span(_), Coordinate::Level(_)) => None,
        }
    }
}

impl Span {
    fn level(&self, u: f64) -> Level {
        let (from, to) = (self.from.number, self.to.number);
        let number = match self.from.scale {
            // Every whole number is as likely as any other.
            Scale::Whole if to < from => {
                to + libm::floor((1.0 - u) * (from - to + 1.0)).min(from - to)
            }
            Scale::Whole => from + libm::floor(u * (to - from + 1.0)).min(to - from),
            _ => from + u * (to - from),
        };
        let amount = self.from.with(number, DRAWN_DIGITS);
        level_of(amount, &self.path, &self.place, &self.links)
    }
}

/// The level of a number, with what moves with it.
fn level_of(amount: Amount, path: &ValuePath, place: &Place, links: &[Link]) -> Level {
    let node = |value| Node {
        value,
        place: place.clone(),
    };
    let mut sets = vec![(path.clone(), node(amount.value()))];
    for link in links {
        let value = match &link.follows {
            Follows::Value => amount.value(),
            Follows::Difference { factor_si, base } => {
                let si = base.si() + (amount.si() - factor_si);
                base.with_si(si, WORKED_DIGITS).value()
            }
            Follows::Ratio { factor_si, base } => {
                let si = base.si() * (amount.si() / factor_si);
                base.with_si(si, WORKED_DIGITS).value()
            }
            Follows::Listed(_) => continue,
        };
        sets.push((link.path.clone(), node(value)));
    }
    let is_clock = matches!(amount.scale, Scale::Clock);
    Level {
        text: amount.text(),
        number: (!is_clock).then_some(amount.number),
        place: place.clone(),
        change: None,
        sets,
    }
}

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
    /// A row of the factors.
    pub fn factor(&mut self, row: &Node) -> Option<Factor> {
        let table = row.table()?;
        let name = row.text_of("name")?.to_string();
        let has = |key: &str| table.contains_key(key);
        let ways = ["values", "range", "bundles"].map(|key| usize::from(has(key)));
        if ways.iter().sum::<usize>() != 1 {
            let few = ways.iter().all(|way| *way == 0);
            let what = if few {
                "has no values"
            } else {
                "has its values twice"
            };
            let mistake = Mistake::new(Sort::Missing, format!("the factor \"{name}\" {what}"))
                .at(&row.place, "this factor")
                .help("give one of `values`, `range` and `bundles`");
            self.mistakes.push(mistake);
            return None;
        }
        let varies = if has("bundles") {
            self.no_path(table, &name)?;
            Varies::Levels(self.bundles(table)?)
        } else {
            self.along_a_path(table, &row.place, &name)?
        };
        Some(self.named(name, false, row.place.clone(), varies))
    }

    /// A factor with the unit of its numbers, if all levels have one.
    pub fn named(&self, name: String, is_site: bool, place: Place, varies: Varies) -> Factor {
        let unit = match &varies {
            Varies::Span(span) => span.from.unit(),
            Varies::Levels(levels) if levels.iter().all(|level| level.number.is_some()) => levels
                .first()
                .and_then(|level| level.sets.first())
                .and_then(|(path, node)| Amount::read(node, path.field()?.kind))
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

    fn no_path(&mut self, table: &Table, name: &str) -> Option<()> {
        let extra = ["path", "linked"].iter().find_map(|key| table.get(*key));
        let Some(entry) = extra else { return Some(()) };
        let title = format!("the factor \"{name}\" has bundles, which name their own paths");
        let mistake = Mistake::new(Sort::Value, title)
            .at(&entry.key, "not with bundles")
            .help("put the paths into the `set` of each bundle");
        self.mistakes.push(mistake);
        None
    }

    fn along_a_path(&mut self, table: &Table, place: &Place, name: &str) -> Option<Varies> {
        let Some(path) = table.get("path") else {
            let title = format!("the factor \"{name}\" has no `path`");
            let mistake = Mistake::new(Sort::Missing, title)
                .at(place, "this factor")
                .help("say which value it sets, like path = \"roster[loader].count\"");
            self.mistakes.push(mistake);
            return None;
        };
        let path = self.path(&path.node);
        let links = self.links(table, path.as_ref());
        let (path, links) = (path?, links?);
        match (table.get("values"), table.get("range")) {
            (Some(values), _) => self.values(&values.node, &path, &links),
            (_, Some(range)) => self.range(&range.node, path, links),
            _ => None,
        }
    }

    /// A path that leads to a value of the base.
    pub fn path(&mut self, node: &Node) -> Option<ValuePath> {
        self.path_at(node.text()?, &node.place)
    }

    /// The same, told by its text and where that stands.
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

    fn values(&mut self, node: &Node, path: &ValuePath, links: &[Link]) -> Option<Varies> {
        let items = self.list(node, "values")?;
        for link in links {
            if let Follows::Listed(values) = &link.follows
                && values.len() != items.len()
            {
                let title = "linked values do not go with those of their factor";
                let label = format!("{} for {} values", values.len(), items.len());
                let mut mistake = Mistake::new(Sort::Clash, title);
                if let Some(first) = values.first() {
                    mistake = mistake.at(&first.place, label);
                }
                let help = "give one value for each of the factor's";
                self.mistakes
                    .push(mistake.also(&node.place, "the factor's").help(help));
                return None;
            }
        }
        let kind = path.field()?.kind;
        let first = items.first().and_then(|item| Amount::read(item, kind));
        let level = |(at, item): (usize, &Node)| {
            let amount = Amount::read(item, kind);
            let mut level = match amount {
                Some(amount) => level_of(amount, path, &item.place, links),
                None => words_level(item, path, links),
            };
            // As it was written, to the last digit.
            level.sets[0].1 = item.clone();
            level.text = words(item);
            level.number = amount
                .zip(first)
                .and_then(|(amount, first)| in_scale_of(amount, first));
            for link in links {
                if let Follows::Listed(values) = &link.follows {
                    level.sets.push((link.path.clone(), values[at].clone()));
                }
            }
            level
        };
        let levels: Vec<Level> = items.iter().enumerate().map(level).collect();
        self.follow_numbers(&levels, node, links)?;
        self.no_twice(&levels)?;
        Some(Varies::Levels(levels))
    }

    /// What follows by difference or ratio follows a number.
    fn follow_numbers(&mut self, levels: &[Level], node: &Node, links: &[Link]) -> Option<()> {
        let needs = |link: &Link| {
            matches!(
                link.follows,
                Follows::Difference { .. } | Follows::Ratio { .. }
            )
        };
        if levels.iter().all(|level| level.number.is_some()) || !links.iter().any(needs) {
            return Some(());
        }
        let title = "only a number has a difference or a ratio that others can follow";
        let mistake = Mistake::new(Sort::Value, title)
            .at(
                &node.place,
                "not all of these are numbers with the right unit",
            )
            .help("give the linked value its own `values`");
        self.mistakes.push(mistake);
        None
    }

    /// Two levels of one name cannot be told apart in the results.
    fn no_twice(&mut self, levels: &[Level]) -> Option<()> {
        let mut seen = std::collections::BTreeMap::new();
        let mut good = Some(());
        for level in levels {
            if let Some(first) = seen.insert(level.text.clone(), level.place.clone()) {
                let title = format!("the value {} is given twice", level.text);
                let mistake = Mistake::new(Sort::Value, title)
                    .at(&level.place, "the second")
                    .also(&first, "the first")
                    .help("give each value once");
                self.mistakes.push(mistake);
                good = None;
            }
        }
        good
    }

    fn list<'n>(&mut self, node: &'n Node, key: &str) -> Option<&'n [Node]> {
        let problem = match &node.value {
            Value::List(items) if items.is_empty() => "an empty list",
            Value::List(items) if items.len() > MOST_LEVELS => "more than 10000 values",
            Value::List(items) => return Some(items),
            _ => node.sort(),
        };
        let mistake = Mistake::new(Sort::Value, format!("`{key}` must be a list of values"))
            .at(&node.place, format!("this is {problem}"))
            .help("write it like [1, 2, 3] or [\"44 in\", \"66 in\"]");
        self.mistakes.push(mistake);
        None
    }

    fn range(&mut self, node: &Node, path: ValuePath, links: Vec<Link>) -> Option<Varies> {
        let table = node.table()?;
        let kind = path.field()?.kind;
        if let Some(link) = links
            .iter()
            .find(|link| matches!(link.follows, Follows::Listed(_)))
        {
            let title = format!(
                "`{}` has a list of values, its factor a range",
                link.path.text()
            );
            let mistake = Mistake::new(Sort::Clash, title)
                .at(&node.place, "this range")
                .help("give the factor `values`, or let the linked value follow by `difference` or `ratio`");
            self.mistakes.push(mistake);
            return None;
        }
        let (from_node, to_node) = (&table.get("from")?.node, &table.get("to")?.node);
        let from = self.end(from_node, kind, &path)?;
        let to = self.end(to_node, kind, &path)?;
        let Some(to) = in_scale_of(to, from).map(|number| Amount { number, ..from }) else {
            let mistake = Mistake::new(Sort::Value, "the ends of a range are written alike")
                .at(&to_node.place, "not like the first")
                .also(&from_node.place, "the first")
                .help(format!("write both like {}", from.text()));
            self.mistakes.push(mistake);
            return None;
        };
        let step = match table.get("step") {
            Some(step) => Some(self.step(&step.node, from)?),
            None => None,
        };
        let count = table.get("count").and_then(|entry| match entry.node.value {
            Value::Whole(count) => Some(count as usize),
            _ => None,
        });
        let numbers = match (step, count) {
            (Some(step), None) => stepped(from.number, to.number, step),
            (None, Some(count)) => counted(from.number, to.number, count),
            (None, None) if self.sampled => {
                let place = node.place.clone();
                return Some(Varies::Span(Span {
                    path,
                    from,
                    to,
                    place,
                    links,
                }));
            }
            (None, None) if matches!(from.scale, Scale::Whole) => {
                stepped(from.number, to.number, 1.0)
            }
            (step, _) => {
                let both = step.is_some();
                let title = if both {
                    "a range has one of `step` and `count`"
                } else {
                    "a range needs a `step` or a `count`"
                };
                let help =
                    "in a grid, say how far from one value to the next, or how many there are";
                let mistake = Mistake::new(Sort::Missing, title).at(&node.place, "this range");
                self.mistakes.push(mistake.help(help));
                return None;
            }
        };
        if numbers.len() > MOST_LEVELS {
            let title = format!("this range has more than {MOST_LEVELS} values");
            let mistake = Mistake::new(Sort::Value, title).at(&node.place, "too many");
            self.mistakes.push(mistake.help("take larger steps"));
            return None;
        }
        let level = |number: &f64| {
            level_of(
                from.with(*number, WORKED_DIGITS),
                &path,
                &node.place,
                &links,
            )
        };
        let levels: Vec<Level> = numbers.iter().map(level).collect();
        self.no_twice(&levels)?;
        Some(Varies::Levels(levels))
    }

    /// An end of a range.
    fn end(&mut self, node: &Node, kind: Kind, path: &ValuePath) -> Option<Amount> {
        let amount = Amount::read(node, kind);
        if amount.is_none() {
            let title = format!("`{}` cannot have this end of a range", path.text());
            let what = path.field().map_or("", |field| field.what);
            let like = path.get(self.base).map(words);
            let help = match like {
                Some(like) => format!("{what}; the base scenario has {like}"),
                None => format!("{what}; a range is of numbers, with the units they need"),
            };
            let mistake = Mistake::new(Sort::Value, title)
                .at(&node.place, "no number of that kind")
                .help(help);
            self.mistakes.push(mistake);
        }
        amount
    }

    /// The step of a range, in the scale of its ends.
    fn step(&mut self, node: &Node, from: Amount) -> Option<f64> {
        let number = match (&node.value, from.scale) {
            (Value::Whole(number), Scale::Plain | Scale::Whole) => Some(*number as f64),
            (Value::Number(number), Scale::Plain) => Some(*number),
            (Value::Text(text), Scale::Percent) => units::percent(text).map(|share| share * 100.0),
            (Value::Text(text), Scale::Clock) => units::quantity(text, units::Dimension::Time).ok(),
            (Value::Text(text), Scale::Unit(unit)) => unit
                .names
                .iter()
                .find_map(|name| text.trim().strip_suffix(name)?.trim().parse().ok()),
            _ => None,
        };
        let number = number.filter(|step: &f64| step.is_finite() && *step > 0.0);
        if number.is_none() {
            let like = match from.scale {
                Scale::Clock => "\"30 min\"".to_string(),
                Scale::Unit(_) | Scale::Percent => format!("\"1 {}\"", from.unit()),
                Scale::Plain | Scale::Whole => "1".to_string(),
            };
            let mistake = Mistake::new(Sort::Value, "this is no step of the range")
                .at(&node.place, "not a step above 0 in the unit of `from`")
                .help(format!("write it like {like}"));
            self.mistakes.push(mistake);
        }
        number.map(tidy)
    }

    fn links(&mut self, table: &Table, factor: Option<&ValuePath>) -> Option<Vec<Link>> {
        let Some(Value::List(rows)) = table.get("linked").map(|entry| &entry.node.value) else {
            return Some(Vec::new());
        };
        // All of them, so that all mistakes are told.
        let links: Vec<Option<Link>> = rows.iter().map(|row| self.link(row, factor)).collect();
        links.into_iter().collect()
    }

    fn link(&mut self, row: &Node, factor: Option<&ValuePath>) -> Option<Link> {
        let table = row.table()?;
        let path = self.path(&table.get("path")?.node)?;
        let follows = match (table.get("follows"), table.get("values")) {
            (Some(word), None) => self.follows(&word.node, &path, factor?)?,
            (None, Some(values)) => Follows::Listed(self.list(&values.node, "values")?.to_vec()),
            _ => {
                let title = format!("`{}` is linked, but how?", path.text());
                let help = "give either `follows`, one of \"value\", \"difference\" and \"ratio\", or `values`";
                let mistake = Mistake::new(Sort::Missing, title).at(&row.place, "this link");
                self.mistakes.push(mistake.help(help));
                return None;
            }
        };
        Some(Link { path, follows })
    }

    fn follows(&mut self, word: &Node, path: &ValuePath, factor: &ValuePath) -> Option<Follows> {
        let amount = |path: &ValuePath| Amount::read(path.get(self.base)?, path.field()?.kind);
        let (own, its) = (amount(path), amount(factor));
        match word.text()? {
            "value" => Some(Follows::Value),
            way => {
                let missing = match (own, its) {
                    (Some(base), Some(factor)) if way == "difference" => {
                        if base.dimension() == factor.dimension() {
                            let factor_si = factor.si();
                            return Some(Follows::Difference { factor_si, base });
                        }
                        format!(
                            "`{}` and `{}` are not of the same kind",
                            path.text(),
                            factor_words(its)
                        )
                    }
                    (Some(base), Some(factor)) if factor.si() != 0.0 => {
                        let factor_si = factor.si();
                        return Some(Follows::Ratio { factor_si, base });
                    }
                    (Some(_), Some(_)) => {
                        "the base scenario has 0 there, and nothing is in proportion to it".into()
                    }
                    (None, _) => format!("the base scenario gives no number for `{}`", path.text()),
                    (_, None) => {
                        format!("the base scenario gives no number for `{}`", factor.text())
                    }
                };
                let title = format!("there is no {way} to keep");
                let mistake = Mistake::new(Sort::Clash, title)
                    .at(&word.place, missing)
                    .help("give it in the base scenario, or list the linked values with `values`");
                self.mistakes.push(mistake);
                None
            }
        }
    }

    fn bundles(&mut self, table: &Table) -> Option<Vec<Level>> {
        let Value::List(rows) = &table.get("bundles")?.node.value else {
            return None;
        };
        if rows.is_empty() {
            self.list(&table.get("bundles")?.node, "bundles")?;
        }
        let levels: Vec<Option<Level>> = rows.iter().map(|row| self.bundle(row)).collect();
        levels.into_iter().collect()
    }

    fn bundle(&mut self, row: &Node) -> Option<Level> {
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
                        match self.path_at(path, &entry.key) {
                            Some(path) => level.sets.push((path, entry.node.clone())),
                            None => good = None,
                        }
                    }
                }
                None => good = self.not_a_table(&set.node, "{ \"roster[loader].count\" = 2 }"),
            }
        }
        if let Some(change) = table.get("change") {
            match change.node.table() {
                Some(keys) if keys.contains_key("based_on") => {
                    let mistake =
                        Mistake::new(Sort::Value, "a change is always based on the base scenario")
                            .at(&keys["based_on"].key, "not here")
                            .help("leave `based_on` out");
                    self.mistakes.push(mistake);
                    good = None;
                }
                Some(_) => {
                    let mut node = change.node.clone();
                    let known = fields::children("");
                    chain::drop_duplicates_below(&mut node, &known, "", self.mistakes);
                    level.change = Some(node);
                }
                None => good = self.not_a_table(&change.node, "{ soak = { sinks = 4 } }"),
            }
        }
        good.map(|()| level)
    }

    fn not_a_table(&mut self, node: &Node, like: &str) -> Option<()> {
        let mistake = Mistake::new(Sort::Value, "this must be a table")
            .at(&node.place, format!("this is {}", node.sort()))
            .help(format!("write it like {like}"));
        self.mistakes.push(mistake);
        None
    }
}

fn factor_words(amount: Option<Amount>) -> String {
    amount.map_or_else(String::new, Amount::text)
}

/// A value that is no number, with what moves with it.
fn words_level(item: &Node, path: &ValuePath, links: &[Link]) -> Level {
    let mut sets = vec![(path.clone(), item.clone())];
    for link in links {
        if matches!(link.follows, Follows::Value) {
            sets.push((link.path.clone(), item.clone()));
        }
    }
    Level {
        text: String::new(),
        number: None,
        place: item.place.clone(),
        change: None,
        sets,
    }
}

/// A number in the scale of another; nothing if they do not measure the same, or are times of day.
fn in_scale_of(amount: Amount, like: Amount) -> Option<f64> {
    match (amount.scale, like.scale) {
        (Scale::Unit(a), Scale::Unit(b)) => {
            (a.dimension == b.dimension).then(|| tidy(b.from_si(amount.si())))
        }
        (Scale::Plain | Scale::Whole, Scale::Plain | Scale::Whole)
        | (Scale::Percent, Scale::Percent)
        | (Scale::Clock, Scale::Clock) => Some(amount.number),
        (Scale::Plain | Scale::Whole, Scale::Percent) => Some(amount.number * 100.0),
        (Scale::Percent, Scale::Plain | Scale::Whole) => Some(amount.number / 100.0),
        _ => None,
    }
}

/// From one number towards another in steps, not past it.
fn stepped(from: f64, to: f64, step: f64) -> Vec<f64> {
    // A hair more, so that 0.1 three times reaches 0.3.
    let steps = libm::floor((to - from).abs() / step + 1e-9);
    let count = (steps.min(MOST_LEVELS as f64) as usize) + 1;
    let signed = if to < from { -step } else { step };
    (0..count).map(|at| from + at as f64 * signed).collect()
}

/// So many numbers from one to another, evenly.
fn counted(from: f64, to: f64, count: usize) -> Vec<f64> {
    let last = count.saturating_sub(1).max(1) as f64;
    (0..count)
        .map(|at| from + (to - from) * (at as f64 / last))
        .collect()
}

/// A value as people read it.
#[must_use]
pub fn words(node: &Node) -> String {
    match &node.value {
        Value::Text(text) => text.clone(),
        Value::Whole(number) => number.to_string(),
        Value::Number(number) => number.to_string(),
        Value::Flag(flag) => flag.to_string(),
        Value::List(items) => items.iter().map(words).collect::<Vec<_>>().join(" + "),
        Value::Table(table) => {
            let pairs = table
                .iter()
                .map(|(key, entry)| format!("{key} {}", words(&entry.node)));
            pairs.collect::<Vec<_>>().join(", ")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_count_in_their_own_unit() {
        let texts = |numbers: Vec<f64>| numbers.into_iter().map(tidy).collect::<Vec<_>>();
        assert_eq!(texts(stepped(0.1, 0.4, 0.1)), [0.1, 0.2, 0.3, 0.4]);
        assert_eq!(texts(stepped(44.0, 60.0, 11.0)), [44.0, 55.0]);
        assert_eq!(texts(stepped(3.0, 1.0, 1.0)), [3.0, 2.0, 1.0]);
        assert_eq!(texts(stepped(1.0, 1.0, 1.0)), [1.0]);
        assert_eq!(texts(counted(1.0, 2.0, 5)), [1.0, 1.25, 1.5, 1.75, 2.0]);
    }
}
