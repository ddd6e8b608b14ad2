//! What the terminal, JSON and CSV show of a choice.
//!
//! | file | does |
//! |---|---|
//! | this one | words that all three share: designs, targets, rivals, the guarantee |
//! | [`table`] | the terminal |
//! | [`json`] | one JSON document |
//! | [`csv`] | `choice.csv`, a row per design |

pub mod csv;
pub mod json;
pub mod table;

use super::number;
use super::number::half_width_text;
use super::units::{Units, converted};
use std::ops::Deref;

use crate::service::measure::{Measure, MeasureInfo};
use crate::statistics::selection::Fate;
use crate::study::choose::{Choice, Design, End, Miss, Rival, Seen};
use crate::study::design::Study;
use crate::study::design::wanted::{Limit, Seeks, Target};
use crate::study::swept::Cell;
use crate::words::choice::{self as words, Guarantee, Side, table as shown};
use crate::words::measures::label as measure_label;

/// A choice, with the study that asked for it.
#[derive(Debug)]
pub struct Chosen<'a> {
    /// What came of it.
    pub choice: &'a Choice,
    /// What was asked.
    pub study: &'a Study,
}

/// A choice as it is read: its amounts in units of somebody's own.
#[derive(Debug, Clone, Copy)]
pub struct Shown<'a> {
    /// What came of it.
    pub choice: &'a Choice,
    /// Units of its amounts.
    pub units: Units,
}

impl Deref for Shown<'_> {
    type Target = Choice;

    fn deref(&self) -> &Choice {
        self.choice
    }
}

impl Shown<'_> {
    /// A target in words.
    fn target(&self, target: &Target) -> String {
        self.units.target(target, &self.wording)
    }
}

/// A design in words: "loaders 2, from 19:30".
fn label(choice: &Shown<'_>, design: usize) -> String {
    let design = &choice.designs[design];
    let listed = choice.factors.iter().zip(&design.settings);
    let listed: Vec<String> = listed
        .filter(|(_, setting)| !setting.text.is_empty())
        .map(|(factor, setting)| format!("{factor} {}", setting.text))
        .collect();
    if listed.is_empty() {
        return words::BASE.into();
    }
    listed.join(", ")
}

/// The measure that is to be least or largest.
fn sought(choice: &Shown<'_>) -> &'static MeasureInfo {
    choice.measures[choice.sought].info()
}

/// What that measure is called in sentences and heads.
fn called(choice: &Shown<'_>) -> String {
    let info = sought(choice);
    if info.name == Measure::Cost.info().name {
        return words::COST.to_owned();
    }
    measure_label(info)
}

/// What a design has of the measure sought, an evening.
fn cost(choice: &Shown<'_>, design: usize) -> String {
    let cell = &choice.designs[design].measures[choice.sought];
    let text = amount(choice, cell, sought(choice));
    if is_constant(cell) {
        words::in_each(&text, cell.n)
    } else {
        words::per_evening(&text)
    }
}

/// Nothing varied among the evenings played, which is no proof that nothing does: no half-width is shown.
fn is_constant(cell: &Cell) -> bool {
    cell.half_width == Some(0.0)
}

/// A mean with its half-width, no more digits than that supports; shares in per cent.
fn amount(choice: &Shown<'_>, cell: &Cell, info: &'static MeasureInfo) -> String {
    let shown = choice.units.shown(info.unit);
    let scaled = |value: Option<f64>| number::finite(value).map(|value| value * shown.factor);
    let half_width = scaled(cell.half_width);
    let places = number::decimals(half_width, (info.decimals as i32 + shown.decimals).max(0));
    let mut text = number::text(scaled(cell.mean), places);
    if let Some(half_width) = half_width_text(half_width, places) {
        text += &format!(" ± {half_width}");
    }
    match info.unit {
        "money" => format!("{text}‹ money›"),
        _ => format!("{text} {}", shown.unit),
    }
}

/// What was asked for, with all its digits: a promise is not rounded, but for what is converted.
fn exact(choice: &Shown<'_>, value: f64, info: &'static MeasureInfo) -> String {
    let shown = choice.units.shown(info.unit);
    let in_unit = value * shown.factor;
    let is_converted = choice.units == Units::Us && !matches!(info.unit, "1" | "money");
    let text = digits(if is_converted {
        converted(in_unit)
    } else {
        in_unit
    });
    match info.unit {
        "money" => format!("{text}‹ money›"),
        _ => format!("{text} {}", shown.unit),
    }
}

/// A share that was asked for, in per cent.
fn exact_share(share: f64) -> String {
    format!("{} %", digits(100.0 * share))
}

/// Up to twelve significant digits, which hides what binary fractions add.
fn digits(value: f64) -> String {
    let rounded: f64 = format!("{value:.11e}").parse().unwrap_or(value);
    rounded.to_string()
}

/// A share of the evenings, to a tenth of a per cent where it is not whole.
fn per_cent(share: f64) -> String {
    let text = number::text(Some(100.0 * share), 1);
    format!("{} %", text.trim_end_matches(".0"))
}

/// What was seen of a target, with its interval.
fn seen(choice: &Shown<'_>, target: usize, seen: &Seen) -> String {
    let of = &choice.targets[target];
    let (Some(value), Some(low), Some(high)) = (seen.value, seen.low, seen.high) else {
        return "-".into();
    };
    if of.in_share.is_some() {
        let low = number::text(Some(100.0 * low), 1);
        let high = format!("{} %", number::text(Some(100.0 * high), 1));
        return words::of_evenings(&per_cent(value), &low, &high);
    }
    let cell = Cell {
        mean: Some(value),
        half_width: Some((high - low) / 2.0),
        n: 0,
    };
    let text = amount(choice, &cell, of.measure.info());
    if is_constant(&cell) {
        words::in_every(&text)
    } else {
        text
    }
}

/// An amount in the unit of a measure, shares in per cent.
fn plain(choice: &Shown<'_>, value: f64, info: &'static MeasureInfo) -> String {
    let cell = Cell {
        mean: Some(value),
        half_width: None,
        n: 0,
    };
    amount(choice, &cell, info)
}

/// By how much a target is missed: "dried on before the wash: at most 3 %, seen 4.12 ± 0.30 %,
/// 1.12 % too much".
fn missed(choice: &Shown<'_>, design: &Design, miss: &Miss) -> String {
    let target = &choice.targets[miss.target];
    let (by, side) = if target.in_share.is_some() {
        (per_cent(miss.by), Side::TooFew)
    } else {
        let side = match target.limit {
            Limit::AtMost(_) => Side::TooMuch,
            Limit::AtLeast(_) => Side::TooLittle,
        };
        (plain(choice, miss.by, target.measure.info()), side)
    };
    let seen = seen(choice, miss.target, &design.targets[miss.target]);
    words::missed(&choice.target(target), &seen, &by, side)
}

/// What a rival lacks, in words.
fn lacks(choice: &Shown<'_>, rival: &Rival) -> String {
    let design = &choice.designs[rival.design];
    let misses: Vec<String> = rival
        .misses
        .iter()
        .map(|m| missed(choice, design, m))
        .collect();
    let misses = if misses.is_empty() {
        dropped(choice, design)
    } else {
        let mut targets = rival.misses.iter().map(|miss| &choice.targets[miss.target]);
        words::misses(&misses, targets.any(|target| target.is_safety()))
    };
    let is_reference = choice.end.reference() == Some(rival.design);
    let difference = design.dearer.filter(|_| !is_reference);
    let Some((difference, mean)) = difference.and_then(|d| Some((d, d.mean?))) else {
        return misses;
    };
    let size = Cell {
        mean: Some(mean.abs()),
        ..difference
    };
    let info = sought(choice);
    let apart = amount(choice, &size, info);
    let apart = (mean != 0.0).then_some((apart.as_str(), mean < 0.0));
    let dearer = words::beside(&called(choice), apart);
    match (misses.is_empty(), design.keeps || choice.targets.is_empty()) {
        (true, true) => dearer,
        (true, false) => words::meets_but(&dearer),
        (false, _) => words::but(&dearer, &misses),
    }
}

/// Why a design is out that was not seen to miss a target; nothing of one that is not.
fn dropped(choice: &Shown<'_>, design: &Design) -> String {
    match design.fate {
        Fate::Misses(target) => words::was_too_near(&choice.target(&choice.targets[target])),
        Fate::Contends | Fate::Beaten(_) | Fate::Close(_) => String::new(),
    }
}

/// One plain sentence of what came of it.
#[must_use]
pub fn sentence(choice: &Shown<'_>) -> String {
    let name = called(choice);
    let of = choice.designs.len();
    let marked = match &choice.end {
        End::Chosen { design, .. } => words::chosen(
            choice.rule.seeks == Seeks::Least,
            [
                &name,
                &exact(choice, choice.rule.indifference, sought(choice)),
            ],
            [&label(choice, *design), &cost(choice, *design)],
            !choice.targets.is_empty(),
        ),
        End::NoneMeets(Some(rival)) => {
            words::closest(&label(choice, rival.design), &lacks(choice, rival))
        }
        End::NoneMeets(None) => words::NONE_MEETS.into(),
        End::Undecided { left } => words::undecided(choice.rule.most, left.len(), of),
        End::Interrupted { left } => words::interrupted(left.len(), of),
    };
    choice.wording.said(&marked).into_owned()
}

/// What may be relied on, in words, with the confidence and the indifference amount.
#[must_use]
pub fn guarantee(choice: &Shown<'_>) -> String {
    let wrong = exact_share(1.0 - choice.rule.confidence);
    let marked = match &choice.end {
        End::Undecided { .. } | End::Interrupted { .. } => words::NO_GUARANTEE.into(),
        End::NoneMeets(_) => words::guarantee_of_none(&wrong),
        End::Chosen { .. } => {
            let info = sought(choice);
            words::guarantee(&Guarantee {
                sure: &exact_share(choice.rule.confidence),
                wrong: &wrong,
                measure: &called(choice),
                is_least: choice.rule.seeks == Seeks::Least,
                indifference: &exact(choice, choice.rule.indifference, info),
                rarest: &exact_share(choice.rule.rarest),
                to_see: &number::text(Some(choice.to_see as f64), 0),
            })
        }
    };
    choice.wording.said(&marked).into_owned()
}

/// What it took, and what equal allocation would have taken.
#[must_use]
pub fn spent(choice: &Shown<'_>) -> String {
    let whole = |n: u64| number::text(Some(n as f64), 0);
    let spent = whole(choice.spent);
    let marked = match (choice.equal_each, choice.equal_spent()) {
        (Some(each), Some(all)) => {
            words::spent_beside(&spent, &whole(all), choice.designs.len(), &whole(each))
        }
        _ => words::spent(&spent),
    };
    choice.wording.said(&marked).into_owned()
}

/// The design chosen, in the words of the contract.
const CHOSEN: &str = "chosen";

/// The word for what has become of a design: the contract of CSV and JSON.
fn fate(choice: &Shown<'_>, index: usize) -> &'static str {
    match (choice.designs[index].fate, &choice.end) {
        (_, End::Chosen { design, .. }) if *design == index => CHOSEN,
        (Fate::Misses(target), _) if choice.targets[target].is_safety() => "unsafe",
        (Fate::Misses(_), _) => "misses-target",
        (Fate::Beaten(_), _) => "beaten",
        (Fate::Close(_), _) => "close",
        (Fate::Contends, _) => "open",
    }
}

/// What has become of a design, with the target or the design that did it.
fn fate_in_words(choice: &Shown<'_>, index: usize) -> String {
    match choice.designs[index].fate {
        Fate::Misses(target) if choice.targets[target].is_safety() => shown::UNSAFE.into(),
        Fate::Misses(target) => shown::misses(target + 1),
        Fate::Beaten(_) if choice.rule.seeks == Seeks::Largest => shown::LESS.into(),
        Fate::Beaten(_) if sought(choice).name == "cost" => shown::DEARER.into(),
        Fate::Beaten(_) => shown::MORE.into(),
        Fate::Close(_) => shown::CLOSE.into(),
        Fate::Contends if fate(choice, index) == CHOSEN => words::CHOSEN.into(),
        Fate::Contends => shown::OPEN.into(),
    }
}
