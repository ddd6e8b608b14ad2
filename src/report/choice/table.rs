//! What the terminal shows of a choice: the answer, its rivals, what it rests on, and the designs in the
//! order of their cost.

use super::super::layout::{
    Column, Page, bold, careful, findings, left, line, printable, right, row, wrapped,
};
use super::super::number;
use super::super::width::Width;
use super::{
    Shown, amount, called, fate_in_words, guarantee, label, lacks, seen, sentence, sought, spent,
};
use crate::scenario::units::clock_text;
use crate::study::choose::{Design, End, Rival, Seen};
use crate::study::design::wanted::{Limit, Seeks, Target};
use crate::study::swept::Cell;
use crate::words::choice::{self as words, table as shown};

/// Designs that are shown at most; `choice.csv` has all.
const MAX_SHOWN: usize = 16;
/// Of these, those that are cheaper than the answer.
const MAX_CHEAPER: usize = 8;

/// The whole of it.
#[must_use]
pub fn table(choice: &Shown<'_>, width: Width) -> String {
    let mut out = Page::new(width, &choice.wording);
    line(&mut out, &bold(&printable(&choice.title)));
    let designs = choice.designs.len();
    line(&mut out, &shown::designs(designs, choice.seed));
    line(&mut out, "");
    wrapped(&mut out, &printable(&sentence(choice)), "", "");
    answer(&mut out, choice);
    unfinished(&mut out, choice);
    line(&mut out, "");
    wrapped(&mut out, &guarantee(choice), "", "");
    line(&mut out, "");
    wrapped(&mut out, &spent(choice), "", "");
    rows(&mut out, choice);
    findings(&mut out, &choice.findings);
    careful(&mut out);
    out.into_text()
}

/// The design that is shown first, and its rivals.
fn answer(out: &mut Page, choice: &Shown<'_>) {
    let first = shown_first(choice);
    if let Some(design) = first.filter(|_| !choice.targets.is_empty()) {
        line(out, "");
        targets(out, choice, &choice.designs[design]);
    }
    let End::Chosen {
        runner_up, cheaper, ..
    } = &choice.end
    else {
        return;
    };
    let rival_in_words = |out: &mut Page, heading: &str, rival: &Rival| {
        line(out, "");
        let text = words::of(&label(choice, rival.design), &lacks(choice, rival)) + ".";
        line(out, &bold(heading));
        wrapped(out, &printable(&text), "  ", "  ");
    };
    if let Some(rival) = runner_up {
        rival_in_words(out, shown::RUNNER_UP, rival);
    }
    if let Some(rival) = cheaper {
        let heading = shown::would_be_better(choice.rule.seeks == Seeks::Least);
        rival_in_words(out, heading, rival);
    }
}

/// The design chosen, or the one that comes closest.
fn shown_first(choice: &Shown<'_>) -> Option<usize> {
    match &choice.end {
        End::Chosen { design, .. } => Some(*design),
        End::NoneMeets(rival) => rival.as_ref().map(|rival| rival.design),
        End::Undecided { left } | End::Interrupted { left } => {
            let mean = |i: &usize| choice.designs[*i].measures[choice.sought].mean;
            let with_mean = left.iter().filter_map(|i| Some((*i, mean(i)?)));
            let turned = |value: f64| choice.rule.seeks.turned(value);
            let best = with_mean.min_by(|a, b| turned(a.1).total_cmp(&turned(b.1)));
            best.map(|(i, _)| i)
        }
    }
}

fn targets(out: &mut Page, choice: &Shown<'_>, design: &Design) {
    let is_decided = matches!(choice.end, End::Chosen { .. } | End::NoneMeets(_));
    let heading = shown::targets(is_decided, design.evenings);
    line(out, &bold(&heading));
    for (index, (target, found)) in choice.targets.iter().zip(&design.targets).enumerate() {
        let first = format!("  {}  ", index + 1);
        let wanted = choice.target(target) + &by_the_clock(choice, target);
        let text = words::of_target(&wanted, &seen(choice, index, found));
        wrapped(out, &text, &first, "     ");
    }
}

/// A limit in minutes after closing as a time of day, where all designs close at one time.
fn by_the_clock(choice: &Shown<'_>, target: &Target) -> String {
    let is_after_close = target.measure.info().name.ends_with("_after_close");
    match (choice.closes_s, target.limit) {
        (Some(closes_s), Limit::AtMost(minutes)) if is_after_close => {
            shown::by_the_clock(&clock_text(closes_s + 60.0 * minutes))
        }
        _ => String::new(),
    }
}

fn unfinished(out: &mut Page, choice: &Shown<'_>) {
    let count: u64 = choice.designs.iter().map(|design| design.unfinished).sum();
    if count > 0 {
        line(out, "");
        wrapped(out, &shown::unfinished(count), "", "");
    }
}

/// Designs around the answer, in the order of their cost.
fn rows(out: &mut Page, choice: &Shown<'_>) {
    let mut order: Vec<usize> = (0..choice.designs.len()).collect();
    let key = |i: &usize| {
        compared(&choice.designs[*i], choice)
            .mean
            .map_or(f64::INFINITY, |mean| choice.rule.seeks.turned(mean))
    };
    order.sort_by(|a, b| key(a).total_cmp(&key(b)).then(a.cmp(b)));
    let first = shown_first(choice);
    let answer = order.iter().position(|i| Some(*i) == first).unwrap_or(0);
    let from = if order.len() <= MAX_SHOWN {
        0
    } else {
        answer.saturating_sub(MAX_CHEAPER)
    };
    let to = (from + MAX_SHOWN).min(order.len());
    line(out, "");
    if first.is_some() && choice.end.reference() == first {
        wrapped(out, &shown::difference(&called(choice)), "", "");
    }
    head(out, choice);
    let is_least = choice.rule.seeks == Seeks::Least;
    left_out(out, &order[..from], is_least);
    for index in &order[from..to] {
        design_row(out, choice, *index);
    }
    left_out(out, &order[to..], !is_least);
}

const EVENINGS: usize = 9;
/// Of a target with its name, or of one of many with its number alone.
const TARGET: [usize; 2] = [9, 8];
/// More targets than this are numbered only.
const FEW_TARGETS: usize = 5;
/// Widest a setting is shown.
const SETTING: usize = 18;
/// Room for "  misses 12".
const FATE: usize = 11;

/// Whether targets are so many that their columns have to be narrow.
fn many_targets(choice: &Shown<'_>) -> bool {
    choice.targets.len() > FEW_TARGETS
}

fn target_width(choice: &Shown<'_>) -> usize {
    TARGET[usize::from(many_targets(choice))]
}

/// A column per factor, with the gap behind it; or one for all of them where they are too many.
enum Settings {
    Each(Vec<usize>),
    Together(usize),
}

fn settings(choice: &Shown<'_>, room: usize) -> Settings {
    let width = |(column, name): (usize, &String)| {
        let texts = choice
            .designs
            .iter()
            .map(|design| &design.settings[column].text);
        let lengths = texts.chain([name]).map(|text| text.chars().count());
        lengths.max().unwrap_or(0).min(SETTING) + 2
    };
    let widths: Vec<usize> = choice.factors.iter().enumerate().map(width).collect();
    let targets = target_width(choice) * choice.targets.len();
    let others = EVENINGS + cost_width(choice) + targets + FATE;
    let left = room.saturating_sub(others).max(22);
    if widths.iter().sum::<usize>() <= left {
        Settings::Each(widths)
    } else {
        Settings::Together(left)
    }
}

fn cost_width(choice: &Shown<'_>) -> usize {
    called(choice).chars().count().max(7) + 2
}

/// The columns of the rows, and whether each factor has its own.
fn columns(choice: &Shown<'_>, room: usize) -> (Vec<Column>, bool) {
    let (mut columns, is_each): (Vec<Column>, bool) = match settings(choice, room) {
        Settings::Each(widths) => (widths.into_iter().map(left).collect(), true),
        Settings::Together(width) => (vec![left(width)], false),
    };
    columns.extend([right(EVENINGS), right(cost_width(choice))]);
    columns.extend(choice.targets.iter().map(|_| right(target_width(choice))));
    columns.push(left(0).after(2));
    (columns, is_each)
}

/// Names, shortened to their columns, before figures.
fn cells(columns: &[Column], names: &[&str], figures: Vec<String>) -> String {
    let names = columns.iter().zip(names);
    let names = names.map(|(column, name)| column.fitted(&printable(name)));
    let cells: Vec<String> = names.chain(figures).collect();
    row(
        columns,
        &cells.iter().map(String::as_str).collect::<Vec<_>>(),
    )
}

fn head(out: &mut Page, choice: &Shown<'_>) {
    let (columns, is_each) = columns(choice, out.width());
    let names: Vec<&str> = if is_each {
        choice.factors.iter().map(String::as_str).collect()
    } else {
        vec![shown::DESIGN]
    };
    let figures = [out.said(shown::EVENINGS).into_owned(), called(choice)];
    let named = |number| match many_targets(choice) {
        true => format!("({number})"),
        false => shown::target(number),
    };
    let targets = (1..=choice.targets.len()).map(named);
    let figures = figures.into_iter().chain(targets).collect();
    line(out, &bold(&cells(&columns, &names, figures)));
}

fn design_row(out: &mut Page, choice: &Shown<'_>, index: usize) {
    let design = &choice.designs[index];
    let (columns, is_each) = columns(choice, out.width());
    let label = label(choice, index);
    let names: Vec<&str> = if is_each {
        let settings = design.settings.iter();
        settings.map(|setting| setting.text.as_str()).collect()
    } else {
        vec![&label]
    };
    let fate = fate_in_words(choice, index);
    let is_chosen = fate == words::CHOSEN;
    let figures = [design.evenings.to_string(), cost_shown(choice, index)];
    let targets = choice.targets.iter().zip(&design.targets);
    let targets = targets.map(|(target, seen)| short(choice, target, seen));
    let figures = figures.into_iter().chain(targets).chain([fate]);
    let text = cells(&columns, &names, figures.collect());
    line(out, &if is_chosen { bold(&text) } else { text });
}

/// What a design costs more than the one it is held against; that one's own cost, or what is known of it
/// where there is none.
fn compared(design: &Design, choice: &Shown<'_>) -> Cell {
    design.dearer.unwrap_or(design.measures[choice.sought])
}

fn cost_shown(choice: &Shown<'_>, index: usize) -> String {
    let design = &choice.designs[index];
    let mean_of = |cell: &Cell| {
        let text = amount(choice, cell, sought(choice));
        let text = text.split(" ±").next().unwrap_or_default();
        choice.wording.said(text).into_owned()
    };
    if choice.end.reference() == Some(index) {
        return mean_of(&design.measures[choice.sought]);
    }
    let cell = compared(design, choice);
    let is_more = design.dearer.is_some() && cell.mean.is_some_and(|mean| mean > 0.0);
    format!("{}{}", if is_more { "+" } else { "" }, mean_of(&cell))
}

/// What was seen of a target, without its interval.
fn short(choice: &Shown<'_>, target: &Target, seen: &Seen) -> String {
    let info = target.measure.info();
    let half_width = seen
        .high
        .zip(seen.low)
        .map(|(high, low)| (high - low) / 2.0);
    let is_share = target.in_share.is_some() || info.unit == "1";
    let shown = choice.units.shown(info.unit);
    let (factor, offset, most) = if is_share {
        (100.0, 0.0, 2)
    } else {
        (shown.factor, shown.offset, info.decimals as i32)
    };
    let places = number::decimals(half_width.map(|h| h * factor), most).min(2);
    let text = number::text(seen.value.map(|v| v * factor + offset), places);
    if is_share && seen.value.is_some() {
        format!("{text} %")
    } else {
        text
    }
}

fn left_out(out: &mut Page, designs: &[usize], has_less: bool) {
    if designs.is_empty() {
        return;
    }
    line(out, &shown::left_out(designs.len(), has_less));
}
