//! A row of a study's factors, checked against the base scenario.
//!
//! In: a row whose shape has been checked, and the base's merged tree. Out: a [`Factor`], or nothing and what
//! is wrong with it.

use super::factor::{Factor, Follows, Level, Link, Varies, level_of, words};
use super::reader::Reader;
use super::scale::in_scale_of;
use super::{bundle, link, range};
use crate::scenario::amount::Amount;
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::path::ValuePath;
use crate::scenario::sources::Place;
use crate::scenario::tree::{Node, Table};

/// A row of the factors.
pub fn factor(reader: &mut Reader<'_>, row: &Node) -> Option<Factor> {
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
        reader.mistakes.push(mistake);
        return None;
    }
    let varies = if has("bundles") {
        no_path(reader, table, &name)?;
        Varies::Levels(bundle::bundles(reader, table)?)
    } else {
        along_a_path(reader, table, &row.place, &name)?
    };
    Some(reader.named(name, false, row.place.clone(), varies))
}

fn no_path(reader: &mut Reader<'_>, table: &Table, name: &str) -> Option<()> {
    let extra = ["path", "linked"].iter().find_map(|key| table.get(*key));
    let Some(entry) = extra else { return Some(()) };
    let title = format!("the factor \"{name}\" has bundles, which name their own paths");
    let mistake = Mistake::new(Sort::Value, title)
        .at(&entry.key, "not with bundles")
        .help("put the paths into the `set` of each bundle");
    reader.mistakes.push(mistake);
    None
}

fn along_a_path(
    reader: &mut Reader<'_>,
    table: &Table,
    place: &Place,
    name: &str,
) -> Option<Varies> {
    let Some(path) = table.get("path") else {
        let title = format!("the factor \"{name}\" has no `path`");
        let mistake = Mistake::new(Sort::Missing, title)
            .at(place, "this factor")
            .help("say which value it sets, like path = \"roster[loader].count\"");
        reader.mistakes.push(mistake);
        return None;
    };
    let path = reader.path(&path.node);
    let links = link::links(reader, table, path.as_ref());
    let (path, links) = (path?, links?);
    match (table.get("values"), table.get("range")) {
        (Some(list), _) => values(reader, &list.node, &path, &links),
        (_, Some(ends)) => range::range(reader, &ends.node, path, links),
        _ => None,
    }
}

fn values(
    reader: &mut Reader<'_>,
    node: &Node,
    path: &ValuePath,
    links: &[Link],
) -> Option<Varies> {
    let items = reader.list(node, "values")?;
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
            reader
                .mistakes
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
    let mut levels: Vec<Level> = items.iter().enumerate().map(level).collect();
    follow_numbers(reader, &levels, node, links)?;
    name_by_links(&mut levels, links);
    reader.no_twice(&levels)?;
    Some(Varies::Levels(levels))
}

/// What follows by difference or ratio follows a number.
fn follow_numbers(
    reader: &mut Reader<'_>,
    levels: &[Level],
    node: &Node,
    links: &[Link],
) -> Option<()> {
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
    reader.mistakes.push(mistake);
    None
}

/// Where a value is given twice, the values listed beside it distinguish its levels: all levels are named with
/// them, and a number alone is the name of none.
fn name_by_links(levels: &mut [Level], links: &[Link]) {
    let mut seen = std::collections::BTreeSet::new();
    if levels.iter().all(|level| seen.insert(level.text.clone())) {
        return;
    }
    for (at, level) in levels.iter_mut().enumerate() {
        let mut listed = false;
        for link in links {
            if let Follows::Listed(values) = &link.follows
                && let Some(value) = values.get(at)
            {
                level.text += &format!(", {} {}", link.path.text(), words(value));
                listed = true;
            }
        }
        level.number = level.number.filter(|_| !listed);
    }
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
