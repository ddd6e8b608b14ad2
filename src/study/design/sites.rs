//! A table of sites: a CSV file with a name and values by their paths, one more factor of the study.
//!
//! The first column is `site`; every other column is headed by a path. An empty cell leaves the value as
//! the base scenario has it.

use csv::{ReaderBuilder, StringRecord, Trim};

use super::factor::{Factor, Level, Varies};
use super::reader::Reader;
use crate::scenario::cells;
use crate::scenario::field::Kind;
use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::path::ValuePath;
use crate::scenario::reach;
use crate::scenario::sources::{Format, Place, Sources};
use crate::scenario::tree::{Node, Value};

/// Most sites.
const MAX: usize = 100_000;
/// Most columns. No two of them set one value, and looking for two that do takes as many steps as there are pairs.
const MAX_COLUMNS: usize = 200;

/// The sites of a file named in a study.
pub fn read(named: &Node, sources: &mut Sources, reader: &mut Reader<'_>) -> Option<Factor> {
    let name = named.text()?;
    let study = sources.get(named.place.file)?.path.clone();
    let path = reach::beside(&study, name);
    let file = match sources.read(&path, Format::Csv) {
        Ok(file) => file,
        Err(problem) => {
            let mistake = reach::unreadable("the sites", &path, problem, Some(&named.place));
            reader.mistakes.push(mistake);
            return None;
        }
    };
    let text = sources.text(file).to_string();
    let before = reader.mistakes.len();
    let levels = rows(&text, file, reader);
    // With other columns it may be a file of anything.
    if reader.mistakes[before..]
        .iter()
        .any(|mistake| mistake.sort == Sort::Syntax)
    {
        sources.hide(file);
    }
    let levels = levels?;
    Some(reader.named(
        "site".to_string(),
        true,
        named.place.clone(),
        Varies::Levels(levels),
    ))
}

fn rows(text: &str, file: usize, reader: &mut Reader<'_>) -> Option<Vec<Level>> {
    let mut csv = ReaderBuilder::new()
        .flexible(true)
        .trim(Trim::All)
        .has_headers(false)
        .from_reader(text.as_bytes());
    let mut records = csv.records();
    let head = records.next()?.ok()?;
    let columns = columns(&head, text, file, reader)?;
    let mut levels: Vec<Level> = Vec::new();
    let mut seen = std::collections::BTreeMap::new();
    let before = reader.mistakes.len();
    for record in records {
        let Ok(record) = record else { continue };
        let line = place(text, file, &record, None);
        if record.len() != head.len() {
            let title = format!(
                "{} cells where there should be {}",
                record.len(),
                head.len()
            );
            let mistake = Mistake::new(Sort::Value, title).at(&line, "this row");
            let help = "give a cell for each column; an empty one leaves the value as it is";
            let has_more = record.len() > head.len();
            reader.mistakes.push(
                mistake
                    .help(help)
                    .help_if(has_more.then(|| cells::DECIMAL_COMMA.to_owned())),
            );
            continue;
        }
        let level = level(&record, &columns, text, file);
        let twice = seen.insert(level.text.clone(), line.clone());
        let wrong = if level.text.is_empty() {
            Some(("this site has no name", "no name"))
        } else if levels.len() >= MAX {
            Some(("too many sites", "one too many"))
        } else {
            twice
                .as_ref()
                .map(|_| ("two sites have the same name", "the second"))
        };
        if let Some((title, label)) = wrong {
            let mut mistake = Mistake::new(Sort::Value, title).at(&line, label);
            if let Some(first) = twice {
                mistake = mistake.also(&first, "the first");
            }
            reader
                .mistakes
                .push(mistake.help("give each site a name of its own; at most 100000"));
        }
        levels.push(level);
        if reader.mistakes.len() > before + 20 {
            break;
        }
    }
    if levels.is_empty() && reader.mistakes.len() == before {
        let mistake = Mistake::new(Sort::Value, "there are no sites in this file")
            .at(&place(text, file, &head, None), "nothing below this line");
        reader.mistakes.push(mistake.help("give a row a site"));
    }
    (reader.mistakes.len() == before).then_some(levels)
}

/// The paths of the columns after the first.
fn columns(
    head: &StringRecord,
    text: &str,
    file: usize,
    reader: &mut Reader<'_>,
) -> Option<Vec<ValuePath>> {
    if head.get(0).map(|name| name.trim_start_matches('\u{feff}')) != Some("site") {
        let mistake = cells::bad_header(head, &place(text, file, head, None))
            .help("the first column is `site`, every other one is headed by a path, like roster[loader].count");
        reader.mistakes.push(mistake);
        return None;
    }
    if head.len() > MAX_COLUMNS {
        let title = format!(
            "{} columns are more than a table of sites may have",
            head.len()
        );
        let mistake = Mistake::new(Sort::Syntax, title)
            .at(&place(text, file, head, None), "these")
            .help(format!(
                "name the site and at most {} values",
                MAX_COLUMNS - 1
            ));
        reader.mistakes.push(mistake);
        return None;
    }
    let paths: Vec<Option<ValuePath>> = head
        .iter()
        .skip(1)
        .map(|cell| reader.path_at(cell, &place(text, file, head, Some(cell))))
        .collect();
    let paths: Vec<ValuePath> = paths.into_iter().collect::<Option<_>>()?;
    let mut good = Some(());
    for (at, path) in paths.iter().enumerate() {
        if paths[..at].iter().any(|other| other.is_same(path)) {
            let title = format!("two columns of the sites set `{}`", path.text());
            let mut place = place(text, file, head, None);
            let cell = head.get(at + 1).unwrap_or_default();
            if let Some(start) = text[place.span.clone()].rfind(cell) {
                place.span = place.span.start + start..place.span.start + start + cell.len();
            }
            let mistake = Mistake::new(Sort::Clash, title)
                .at(&place, format!("column {} sets it again", at + 2))
                .help("keep one of them");
            reader.mistakes.push(mistake);
            good = None;
        }
    }
    good.map(|()| paths)
}

fn level(record: &StringRecord, columns: &[ValuePath], text: &str, file: usize) -> Level {
    let sets = columns.iter().zip(record.iter().skip(1));
    let sets = sets
        .filter(|(_, cell)| !cell.is_empty())
        .map(|(path, cell)| {
            let value = value(cells::read(cell), path.field().map(|field| field.kind));
            let place = place(text, file, record, Some(cell));
            (path.clone(), Node { value, place })
        });
    Level {
        text: cells::read(record.get(0).unwrap_or_default()).to_string(),
        number: None,
        place: place(text, file, record, None),
        change: None,
        sets: sets.collect(),
    }
}

/// A cell as a scenario file would have it.
fn value(cell: &str, kind: Option<Kind>) -> Value {
    let text = || Value::Text(cell.to_string());
    match kind {
        Some(Kind::Whole(..) | Kind::Places(..)) => {
            cell.parse().map_or_else(|_| text(), Value::Whole)
        }
        Some(Kind::Number(_) | Kind::Share(_)) => {
            cell.parse().map_or_else(|_| text(), Value::Number)
        }
        Some(Kind::Flag) => cell.parse().map_or_else(|_| text(), Value::Flag),
        _ => text(),
    }
}

/// Where a row stands, or a cell of it.
fn place(text: &str, file: usize, record: &StringRecord, cell: Option<&str>) -> Place {
    let start = record
        .position()
        .map_or(0, |at| at.byte() as usize)
        .min(text.len());
    let line = text
        .get(start..)
        .unwrap_or_default()
        .trim_start_matches(['\n', '\r']);
    let start = text.len() - line.len();
    let end = start + line.find(['\n', '\r']).unwrap_or(line.len());
    let within = cell.and_then(|cell| Some((text[start..end].find(cell)?, cell.len())));
    let span = match within {
        Some((at, length)) => start + at..start + at + length,
        None => start..end,
    };
    Place { file, span }
}
