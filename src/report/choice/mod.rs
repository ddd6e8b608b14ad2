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
use super::units::Units;
use crate::service::measure::MeasureInfo;
use crate::statistics::selection::Fate;
use crate::study::choose::{Choice, Design, End, Miss, Rival, Seen};
use crate::study::design::Study;
use crate::study::design::wanted::Seeks;
use crate::study::swept::Cell;

/// A choice, with the study that asked for it.
#[derive(Debug)]
pub struct Chosen<'a> {
    /// What came of it.
    pub choice: &'a Choice,
    /// What was asked.
    pub study: &'a Study,
}

/// A design in words: "loaders 2, from 19:30".
fn label(choice: &Choice, design: usize) -> String {
    let design = &choice.designs[design];
    let listed = choice.factors.iter().zip(&design.settings);
    let listed: Vec<String> = listed
        .filter(|(_, setting)| !setting.text.is_empty())
        .map(|(factor, setting)| format!("{factor} {}", setting.text))
        .collect();
    if listed.is_empty() {
        return "the base scenario".into();
    }
    listed.join(", ")
}

/// The measure that is to be least or largest.
fn sought(choice: &Choice) -> &'static MeasureInfo {
    choice.measures[choice.sought].info()
}

/// What a design has of the measure sought, an evening.
fn cost(choice: &Choice, design: usize) -> String {
    let cell = &choice.designs[design].measures[choice.sought];
    let text = amount(cell, sought(choice));
    if is_constant(cell) {
        format!("{text} in each of the {} evenings played", cell.n)
    } else {
        format!("{text} per evening")
    }
}

/// Nothing varied among the evenings played, which is no proof that nothing does: no half-width is shown.
fn is_constant(cell: &Cell) -> bool {
    cell.half_width == Some(0.0)
}

/// A mean with its half-width, no more digits than that supports; shares in per cent. Money is shown without
/// its unit: whoever wrote the prices knows it.
fn amount(cell: &Cell, info: &'static MeasureInfo) -> String {
    let shown = Units::Metric.shown(info.unit);
    let scaled = |value: Option<f64>| number::finite(value).map(|value| value * shown.factor);
    let half_width = scaled(cell.half_width);
    let places = number::decimals(half_width, (info.decimals as i32 + shown.decimals).max(0));
    let mut text = number::text(scaled(cell.mean), places);
    if let Some(half_width) = half_width_text(half_width, places) {
        text += &format!(" ± {half_width}");
    }
    match shown.unit {
        "money" => text,
        unit => format!("{text} {unit}"),
    }
}

/// What was asked for, with all its digits: a promise is not rounded.
fn exact(value: f64, info: &'static MeasureInfo) -> String {
    let shown = Units::Metric.shown(info.unit);
    let text = digits(value * shown.factor);
    match shown.unit {
        "money" => text,
        unit => format!("{text} {unit}"),
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
fn seen(choice: &Choice, target: usize, seen: &Seen) -> String {
    let of = &choice.targets[target];
    let (Some(value), Some(low), Some(high)) = (seen.value, seen.low, seen.high) else {
        return "-".into();
    };
    if of.in_share.is_some() {
        let low = number::text(Some(100.0 * low), 1);
        let high = format!("{} %", number::text(Some(100.0 * high), 1));
        return format!("{} of evenings ({low} to {high})", per_cent(value));
    }
    let cell = Cell {
        mean: Some(value),
        half_width: Some((high - low) / 2.0),
        n: 0,
    };
    let text = amount(&cell, of.measure.info());
    if is_constant(&cell) {
        format!("{text} in every evening played")
    } else {
        text
    }
}

/// An amount in the unit of a measure, shares in per cent.
fn plain(value: f64, info: &'static MeasureInfo) -> String {
    let cell = Cell {
        mean: Some(value),
        half_width: None,
        n: 0,
    };
    amount(&cell, info)
}

/// By how much a target is missed: "dried_on_share at most 3 %: 4.12 ± 0.30 %, 1.12 % too much".
fn missed(choice: &Choice, design: &Design, miss: &Miss) -> String {
    let target = &choice.targets[miss.target];
    let by = if target.in_share.is_some() {
        format!("{} too few", per_cent(miss.by))
    } else {
        let side = match target.limit {
            crate::study::design::wanted::Limit::AtMost(_) => "too much",
            crate::study::design::wanted::Limit::AtLeast(_) => "too little",
        };
        format!("{} {side}", plain(miss.by, target.measure.info()))
    };
    let seen = seen(choice, miss.target, &design.targets[miss.target]);
    format!("{}: {seen}, {by}", target.words())
}

/// What a rival lacks, in words.
fn lacks(choice: &Choice, rival: &Rival) -> String {
    let design = &choice.designs[rival.design];
    let misses: Vec<String> = rival
        .misses
        .iter()
        .map(|m| missed(choice, design, m))
        .collect();
    let misses = if misses.is_empty() {
        dropped(choice, design)
    } else {
        format!("misses {}", misses.join("; "))
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
    let side = if mean < 0.0 { "less" } else { "more" };
    let dearer = match info.name {
        "cost" if mean == 0.0 => "costs the same".to_owned(),
        name if mean == 0.0 => format!("has the same {name}"),
        "cost" => format!("costs {} {side}", amount(&size, info)),
        name => format!("has {} {side} of {name}", amount(&size, info)),
    };
    match (misses.is_empty(), design.keeps || choice.targets.is_empty()) {
        (true, true) => dearer,
        (true, false) => format!("meets the targets as far as was seen, but {dearer}"),
        (false, _) => format!("{dearer}, but {misses}"),
    }
}

/// Why a design is out that was not seen to miss a target; nothing of one that is not.
fn dropped(choice: &Choice, design: &Design) -> String {
    match design.fate {
        Fate::Barred => format!(
            "was not finished in {} of {} evenings",
            design.unfinished, design.evenings
        ),
        Fate::Misses(target) => format!(
            "was dropped as too near to missing {}",
            choice.targets[target].words()
        ),
        Fate::Contends | Fate::Beaten(_) | Fate::Close(_) => String::new(),
    }
}

/// One plain sentence of what came of it.
#[must_use]
pub fn sentence(choice: &Choice) -> String {
    let name = sought(choice).name;
    let best = match choice.rule.seeks {
        Seeks::Least => "Least",
        Seeks::Largest => "Largest",
    };
    let targets = if choice.targets.is_empty() {
        String::new()
    } else {
        " of those that meet all targets".into()
    };
    match &choice.end {
        End::Chosen { design, .. } => format!(
            "{best} {name} to within {}{targets}: {}, with {}.",
            exact(choice.rule.indifference, sought(choice)),
            label(choice, *design),
            cost(choice, *design)
        ),
        End::NoneMeets(Some(_)) if choice.designs.iter().all(|d| d.fate == Fate::Barred) => {
            "No design finishes all its evenings.".into()
        }
        End::NoneMeets(Some(rival)) => format!(
            "No design meets all targets. The closest is {}: it {}.",
            label(choice, rival.design),
            lacks(choice, rival)
        ),
        End::NoneMeets(None) => "No design meets all targets.".into(),
        End::Undecided { left } => format!(
            "Not decided within {} evenings per design: {} of {} designs are left.",
            choice.rule.most,
            left.len(),
            choice.designs.len()
        ),
        End::Interrupted { left } => format!(
            "INTERRUPTED, nothing is chosen yet: {} of {} designs are left.",
            left.len(),
            choice.designs.len()
        ),
    }
}

/// What may be relied on, in words, with the confidence and the indifference amount.
#[must_use]
pub fn guarantee(choice: &Choice) -> String {
    let sure = exact_share(choice.rule.confidence);
    let wrong = exact_share(1.0 - choice.rule.confidence);
    let info = sought(choice);
    let (name, indifference) = (info.name, exact(choice.rule.indifference, info));
    let rarest = exact_share(choice.rule.rarest);
    let rare = format!(
        "What happens in fewer than {rarest} of the evenings may not have been seen. The design \
         chosen, and those close to it, were played for at least {}. Nor may rare evenings that would \
         improve a design far from it.",
        number::text(Some(choice.to_see as f64), 0)
    );
    let side = match choice.rule.seeks {
        Seeks::Least => "lower",
        Seeks::Largest => "higher",
    };
    match &choice.end {
        End::Undecided { .. } | End::Interrupted { .. } => {
            "Nothing is guaranteed: the procedure was not completed.".into()
        }
        End::NoneMeets(_) => format!(
            "Guaranteed: if a design finished every evening and met all targets with their tolerance \
             to spare, at most {wrong} of such studies would give this answer."
        ),
        End::Chosen { .. } if choice.targets.is_empty() => format!(
            "Guaranteed with {sure} confidence: no design that finishes every evening has a {name} \
             {side} by {indifference} or more. {rare}"
        ),
        End::Chosen { .. } => format!(
            "Guaranteed with {sure} confidence: no design that finishes every evening and meets all \
             targets with tolerance to spare has a {name} {side} by {indifference} or more. A design \
             within the tolerance of a target may count as meeting it or not. One that misses a target \
             by its tolerance or more is chosen in at most {wrong} of such studies. {rare}"
        ),
    }
}

/// What it took, and what equal allocation would have taken.
#[must_use]
pub fn spent(choice: &Choice) -> String {
    let whole = |n: u64| number::text(Some(n as f64), 0);
    let spent = format!("{} evenings were played", whole(choice.spent));
    match (choice.equal_each, choice.equal_spent()) {
        (Some(each), Some(all)) => format!(
            "{spent}. Equal allocation would have taken {} for a similar guarantee, if evenings were \
             normally distributed. That is, for each of the {} designs, the {} that the most variable \
             one needs.",
            whole(all),
            choice.designs.len(),
            whole(each)
        ),
        _ => format!("{spent}."),
    }
}

/// The word for what has become of a design: the contract of CSV and JSON.
fn fate(choice: &Choice, index: usize) -> &'static str {
    match (choice.designs[index].fate, &choice.end) {
        (_, End::Chosen { design, .. }) if *design == index => "chosen",
        (Fate::Misses(_), _) => "misses-target",
        (Fate::Beaten(_), _) => "beaten",
        (Fate::Close(_), _) => "close",
        (Fate::Barred, _) => "unfinished",
        (Fate::Contends, _) => "open",
    }
}

/// What has become of a design, with the target or the design that did it.
fn fate_in_words(choice: &Choice, index: usize) -> String {
    match choice.designs[index].fate {
        Fate::Misses(target) => format!("misses {}", target + 1),
        Fate::Beaten(_) if choice.rule.seeks == Seeks::Largest => "less".into(),
        Fate::Beaten(_) if sought(choice).name == "cost" => "dearer".into(),
        Fate::Beaten(_) => "more".into(),
        Fate::Close(_) => "close".into(),
        Fate::Barred => "unfinished".into(),
        Fate::Contends if fate(choice, index) == "chosen" => "chosen".into(),
        Fate::Contends => "open".into(),
    }
}
