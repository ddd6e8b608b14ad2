//! `choice.csv`: a row per design, in the order of the study.
//!
//! Settings, what has become of it and why, evenings played, an estimate of every measure, what was seen
//! of every target. Units stand in the header; what does not exist is an empty cell.
//! Columns of factors are those of `points.csv`.

use super::super::columns::{self, Cell, Column, Holds};
use super::super::csv_files::{CsvFile, CsvFiles};
use super::super::datapackage::Described;
use super::super::parts::rows;
use super::json::in_own_units;
use super::{Choice, Design, fate};
use crate::scenario::wording::Wording;
use crate::statistics::selection::Fate;
use crate::study::design::Study;
use crate::words::choice::why;

/// The file.
#[must_use]
pub fn files<'a>(choice: &'a Choice, study: &'a Study) -> CsvFiles<'a> {
    let described = Described {
        name: "choice",
        about: "a row for each design".into(),
        columns: columns::distinct(head(choice, study)),
        key: &["point"],
    }
    .said(&choice.wording);
    let file = CsvFile::made(described, move |rows| {
        let mut designs = choice.designs.iter().enumerate();
        designs.try_for_each(|(index, design)| rows.row(&row(choice, study, index, design)))
    });
    CsvFiles {
        title: choice.title.clone(),
        seed: choice.seed,
        files: vec![file],
        without: Vec::new(),
    }
}

fn head(choice: &Choice, study: &Study) -> Vec<Column> {
    let mut head = vec![rows::point()];
    head.extend(rows::factors(study));
    head.extend(columns::fixed(&[
        ("fate", Holds::Text, "what became of the design"),
        (
            "why",
            Holds::Text,
            "why it was dropped; empty where it was not",
        ),
        ("replications", Holds::Whole, "‹evenings› played"),
        (
            "unfinished",
            Holds::Whole,
            "how many of these ‹evenings› were cut off with work left to do",
        ),
    ]));
    let half_width = "half-width of the 95 % confidence interval of that mean";
    for measure in &choice.measures {
        let info = measure.info();
        let (name, unit) = (info.name, info.unit);
        let meaning = format!("mean over ‹evenings›: {}", info.meaning);
        head.push(Column::decimal(name, unit, meaning));
        let name = format!("{name} half_width_95");
        head.push(Column::decimal(&name, unit, half_width));
    }
    let (name, unit) = (
        super::sought(&in_own_units(choice)).name,
        super::sought(&in_own_units(choice)).unit,
    );
    let name = format!("{name} more than the chosen or closest");
    let meaning = "mean over the ‹evenings› that both have of the difference to that design";
    head.push(Column::decimal(&name, unit, meaning));
    head.push(Column::decimal("half_width_95 of that", unit, half_width));
    for target in &choice.targets {
        let words = target.words(&choice.wording);
        let unit = if target.in_share.is_some() {
            "1"
        } else {
            target.measure.info().unit
        };
        let columns = [
            (
                "seen of",
                unit,
                "mean, or share of ‹evenings› that met the limit",
            ),
            ("low_95 of", unit, "lower end of its 95 % interval"),
            ("high_95 of", unit, "upper end of its 95 % interval"),
            (
                "tolerances beyond",
                "1",
                "by how many tolerances the target is missed; below 0 where it is met",
            ),
        ];
        head.extend(
            columns.map(|(of, unit, meaning)| {
                Column::decimal(&format!("{of} {words}"), unit, meaning)
            }),
        );
    }
    head
}

fn row(choice: &Choice, study: &Study, index: usize, design: &Design) -> Vec<Cell> {
    let mut row: Vec<Cell> = vec![design.point.into()];
    row.extend(rows::settings(study, &design.settings));
    row.push(fate(&in_own_units(choice), index).into());
    row.push(match design.fate {
        Fate::Misses(target) => choice.targets[target].words(&Wording::default()).into(),
        Fate::Beaten(by) => why::worse(choice.designs[by].point).into(),
        Fate::Close(to) => why::close(choice.designs[to].point).into(),
        Fate::Contends => Cell::Empty,
    });
    row.extend([design.evenings.into(), design.unfinished.into()]);
    for measure in &design.measures {
        row.extend([measure.mean.into(), measure.half_width.into()]);
    }
    let dearer = design.dearer;
    row.push(dearer.and_then(|cell| cell.mean).into());
    row.push(dearer.and_then(|cell| cell.half_width).into());
    for seen in &design.targets {
        row.extend([seen.value, seen.low, seen.high, seen.missed].map(Cell::from));
    }
    row
}
