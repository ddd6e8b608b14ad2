//! A range of values, counted in the unit it is written in: by steps, by their number, or in a sample any.

use super::factor::{
    Follows, Level, Link, MAX_LEVELS, Span, Varies, WORKED_DIGITS, level_of, words,
};
use super::reader::Reader;
use super::scale::{in_scale_of, tidy};
use crate::scenario::amount::{Amount, Scale};
use crate::scenario::field::Kind;
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::path::ValuePath;
use crate::scenario::tree::{Node, Value};
use crate::scenario::units;

/// A range of values, as levels or in a sample as a span.
pub(super) fn range(
    reader: &mut Reader<'_>,
    node: &Node,
    path: ValuePath,
    links: Vec<Link>,
) -> Option<Varies> {
    no_lists(reader, node, &links)?;
    let (from, to) = ends(reader, node, &path)?;
    let Some(numbers) = numbers(reader, node, from, to)? else {
        let place = node.place.clone();
        return Some(Varies::Span(Span {
            path,
            from,
            to,
            place,
            links,
        }));
    };
    if numbers.len() > MAX_LEVELS {
        let title = format!("this range has more than {MAX_LEVELS} values");
        let mistake = Mistake::new(Sort::Value, title).at(&node.place, "too many");
        reader.mistakes.push(mistake.help("take larger steps"));
        return None;
    }
    let level = |number: &f64| {
        let amount = from.with(*number, WORKED_DIGITS);
        level_of(amount, &path, &node.place, &links)
    };
    let levels: Vec<Level> = numbers.iter().map(level).collect();
    reader.no_twice(&levels)?;
    Some(Varies::Levels(levels))
}

/// A range has no list beside which a linked list could stand.
fn no_lists(reader: &mut Reader<'_>, node: &Node, links: &[Link]) -> Option<()> {
    let is_list = |link: &&Link| matches!(link.follows, Follows::Listed(_));
    let Some(link) = links.iter().find(is_list) else {
        return Some(());
    };
    let title = format!(
        "`{}` has a list of values, its factor a range",
        link.path.text()
    );
    let mistake = Mistake::new(Sort::Clash, title)
        .at(&node.place, "this range")
        .help(
            "give the factor `values`, or let the linked value follow by `difference` or `ratio`",
        );
    reader.mistakes.push(mistake);
    None
}

/// Both ends of a range, in the scale of the first.
fn ends(reader: &mut Reader<'_>, node: &Node, path: &ValuePath) -> Option<(Amount, Amount)> {
    let (table, kind) = (node.table()?, path.field()?.kind);
    let (from_node, to_node) = (&table.get("from")?.node, &table.get("to")?.node);
    let from = end(reader, from_node, kind, path);
    let (to, from) = (end(reader, to_node, kind, path)?, from?);
    if let Some(number) = in_scale_of(to, from) {
        return Some((from, Amount { number, ..from }));
    }
    let mistake = Mistake::new(Sort::Value, "the ends of a range are written alike")
        .at(&to_node.place, "not like the first")
        .also(&from_node.place, "the first")
        .help(format!("write both like {}", from.text()));
    reader.mistakes.push(mistake);
    None
}

/// The numbers of a range; none where a sample may have any.
fn numbers(
    reader: &mut Reader<'_>,
    node: &Node,
    from: Amount,
    to: Amount,
) -> Option<Option<Vec<f64>>> {
    let table = node.table()?;
    let step = match table.get("step") {
        Some(entry) => Some(step(reader, &entry.node, from)?),
        None => None,
    };
    let count = table.get("count").and_then(|entry| match entry.node.value {
        Value::Whole(count) => Some(count as usize),
        _ => None,
    });
    let (first, last) = (from.number, to.number);
    let whole = matches!(from.scale, Scale::Whole);
    let title = match (step, count) {
        (Some(step), None) => return Some(Some(stepped(first, last, step))),
        (None, Some(count)) => return Some(Some(counted(first, last, count))),
        (None, None) if reader.sampled => return Some(None),
        (None, None) if whole => return Some(Some(stepped(first, last, 1.0))),
        (None, None) => "a range needs a `step` or a `count`",
        (Some(_), Some(_)) => "a range has one of `step` and `count`",
    };
    let help = "in a grid, say how far from one value to the next, or how many there are";
    let mistake = Mistake::new(Sort::Missing, title).at(&node.place, "this range");
    reader.mistakes.push(mistake.help(help));
    None
}

/// An end of a range.
fn end(reader: &mut Reader<'_>, node: &Node, kind: Kind, path: &ValuePath) -> Option<Amount> {
    let amount = Amount::read(node, kind);
    if amount.is_none() {
        let title = format!("`{}` cannot have this end of a range", path.text());
        let what = path.field().map_or("", |field| field.what);
        let like = path.get(reader.base).map(words);
        let help = match like {
            Some(like) => format!("{what}; the base scenario has {like}"),
            None => format!("{what}; a range is of numbers, with the units they need"),
        };
        let mistake = Mistake::new(Sort::Value, title)
            .at(&node.place, "no number of that kind")
            .help(help);
        reader.mistakes.push(mistake);
    }
    amount
}

/// The step of a range, in the scale of its ends.
fn step(reader: &mut Reader<'_>, node: &Node, from: Amount) -> Option<f64> {
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
        reader.mistakes.push(mistake);
    }
    number.map(tidy)
}

/// From one number towards another in steps, not past it.
fn stepped(from: f64, to: f64, step: f64) -> Vec<f64> {
    // A hair more, so that 0.1 three times reaches 0.3.
    let steps = libm::floor((to - from).abs() / step + 1e-9);
    let count = (steps.min(MAX_LEVELS as f64) as usize) + 1;
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
