//! What varies, and what each of its values changes.
//!
//! A [`Factor`] has a list of levels, or in a sample any value of a range. A [`Level`] can be put into the
//! merged tree of the base scenario. Study files become factors in [`row`](super::row),
//! [`range`](super::range), [`link`](super::link) and [`bundle`](super::bundle).

use std::borrow::Cow;

use super::coordinate::Coordinate;
use crate::scenario::amount::{Amount, Scale};
use crate::scenario::path::ValuePath;
use crate::scenario::sources::Place;
use crate::scenario::tree::{Node, Value};

/// Most values of a factor.
pub const MAX_LEVELS: usize = 10_000;
/// Digits of a value drawn from a range.
const DRAWN_DIGITS: usize = 6;
/// Digits of a value worked out from another.
pub(super) const WORKED_DIGITS: usize = 12;

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

/// What the values of a factor are, all of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// Words: names, times of day, numbers that are not all of one unit.
    Words,
    /// Whole numbers.
    Whole,
    /// Numbers that may have decimals.
    Decimal,
    /// `true` or `false`.
    Flags,
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
    pub(super) path: ValuePath,
    pub(super) from: Amount,
    pub(super) to: Amount,
    pub(super) place: Place,
    pub(super) links: Vec<Link>,
}

/// A value that moves with a factor.
#[derive(Debug, Clone)]
pub(super) struct Link {
    pub(super) path: ValuePath,
    pub(super) follows: Follows,
}

#[derive(Debug, Clone)]
pub(super) enum Follows {
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

    /// What its values are. It hangs on how they are written in the study, not on which of them come up.
    #[must_use]
    pub fn sort(&self) -> Sort {
        let of = |scale: Scale| match scale {
            Scale::Whole => Sort::Whole,
            Scale::Clock => Sort::Words,
            Scale::Unit(_) | Scale::Plain | Scale::Percent => Sort::Decimal,
        };
        match &self.varies {
            Varies::Span(span) => of(span.from.scale),
            Varies::Levels(levels) if levels.iter().all(|level| level.number.is_some()) => {
                let amount = levels.first().and_then(Level::amount);
                amount.map_or(Sort::Words, |amount| of(amount.scale))
            }
            Varies::Levels(levels) if levels.iter().all(Level::is_flag) => Sort::Flags,
            Varies::Levels(_) => Sort::Words,
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

impl Level {
    /// Its first value as a number, if it is one.
    pub(super) fn amount(&self) -> Option<Amount> {
        let (path, node) = self.sets.first()?;
        Amount::read(node, path.field()?.kind)
    }

    /// Whether it is `true` or `false`, by that name.
    fn is_flag(&self) -> bool {
        let first = self.sets.first().map(|(_, node)| &node.value);
        matches!(first, Some(Value::Flag(flag)) if self.text == flag.to_string())
    }
}

impl Span {
    /// The value that a tree has at its path, if there is one.
    pub(super) fn level_of(&self, tree: &Node) -> Option<Level> {
        let kind = self.path.field()?.kind;
        let own = Amount::read(self.path.get(tree)?, kind)?;
        let amount = self.from.with_si(own.si(), WORKED_DIGITS);
        Some(Level {
            text: amount.text(),
            number: Some(amount.number),
            place: self.place.clone(),
            change: None,
            sets: Vec::new(),
        })
    }

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
pub(super) fn level_of(amount: Amount, path: &ValuePath, place: &Place, links: &[Link]) -> Level {
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
