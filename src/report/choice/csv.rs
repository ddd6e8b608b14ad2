//! `choice.csv`: a row a design, in the order of the study.
//!
//! Settings, what has become of it and why, evenings played, an estimate of every measure, what was seen
//! of every target. Units stand in the header; what does not exist is an empty cell.

use std::io::{self, Write};

use super::super::number::finite;
use super::{Choice, Design, fate};
use crate::scenario::cells::Table;
use crate::statistics::selection::Fate;

/// Writes it.
///
/// # Errors
/// Those of `to`.
pub fn write(choice: &Choice, to: &mut dyn Write) -> io::Result<()> {
    let mut table = Table::new(to);
    table.row(head(choice))?;
    for (index, design) in choice.designs.iter().enumerate() {
        table.row(row(choice, index, design))?;
    }
    table.flush()
}

fn head(choice: &Choice) -> Vec<String> {
    let mut head = vec!["point".to_owned()];
    head.extend(choice.factors.iter().cloned());
    head.extend(["fate", "why", "evenings", "unfinished"].map(str::to_owned));
    for measure in &choice.measures {
        let (name, unit) = (measure.info().name, measure.info().unit);
        head.push(format!("{name} [{unit}]"));
        head.push(format!("{name} half_width_95 [{unit}]"));
    }
    let (name, unit) = (super::cheapest(choice).name, super::cheapest(choice).unit);
    head.push(format!("{name} more than the chosen or closest [{unit}]"));
    head.push(format!("half_width_95 of that [{unit}]"));
    for target in &choice.targets {
        let words = target.words();
        let unit = if target.in_share.is_some() {
            "1"
        } else {
            target.measure.info().unit
        };
        head.push(format!("seen of {words} [{unit}]"));
        head.push(format!("low_95 of {words} [{unit}]"));
        head.push(format!("high_95 of {words} [{unit}]"));
        head.push(format!("tolerances beyond {words} [1]"));
    }
    head
}

fn row(choice: &Choice, index: usize, design: &Design) -> Vec<String> {
    let mut row = vec![design.point.to_string()];
    row.extend(design.settings.iter().map(|setting| setting.text.clone()));
    row.push(fate(choice, index).to_owned());
    row.push(match design.fate {
        Fate::Misses(target) => choice.targets[target].words(),
        Fate::Beaten(by) => format!("beaten by design point {}", choice.designs[by].point),
        Fate::Barred => "an evening was not finished".to_owned(),
        Fate::Contends => String::new(),
    });
    row.extend([design.evenings.to_string(), design.unfinished.to_string()]);
    for measure in &design.measures {
        row.extend([cell(measure.mean), cell(measure.half_width)]);
    }
    let dearer = design.dearer;
    row.push(cell(dearer.and_then(|cell| cell.mean)));
    row.push(cell(dearer.and_then(|cell| cell.half_width)));
    for seen in &design.targets {
        row.extend([seen.value, seen.low, seen.high, seen.missed].map(cell));
    }
    row
}

fn cell(value: Option<f64>) -> String {
    finite(value).map_or_else(String::new, |value| value.to_string())
}
