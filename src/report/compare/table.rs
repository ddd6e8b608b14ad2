//! What the terminal shows of a comparison: all alternatives beside the base where there are several; then for each the
//! sentence, the headline with its verdicts, and every measure of both with the difference.
//!
//! Every ± is named in the heading, with its level. Nothing is printed to more digits than its half-width
//! supports, and what does not exist is `-`. Measures that neither has are left out.

use super::figures::{Signed, means_text, points, words};
use super::{beside, verdict};
use crate::report::layout::{
    Column, Page, bold, careful, findings, left, line, printable, right, row, shortened, squeezed,
    to_the_right, wrapped,
};
use crate::report::number::finite;
use crate::report::units::Units;
use crate::report::width::Width;
use crate::study::compare::changes::Change;
use crate::study::compare::difference::{Difference, Judged, Verdict};
use crate::study::compare::{Alternative, Comparison};
use crate::words::measures::{SECTIONS, Section, label};
use crate::words::tables::{comparison as say, interrupted};

/// Changes that are listed; of more only how many.
const MAX_CHANGES: usize = 12;

/// The whole table. Bold is marked with escapes, which `out::print` keeps from
/// anything but a terminal.
#[must_use]
pub fn table(comparison: &Comparison, units: Units, width: Width) -> String {
    let mut out = Page::new(width, &comparison.wording);
    head(&mut out, comparison);
    beside::table(&mut out, comparison, units);
    for alternative in &comparison.alternatives {
        against(&mut out, comparison, alternative, units);
    }
    findings(&mut out, &comparison.findings);
    careful(&mut out);
    out.into_text()
}

fn head(out: &mut Page, comparison: &Comparison) {
    line(out, &bold(&printable(&comparison.base.title)));
    let n = comparison.replications;
    let others = comparison.alternatives.len();
    line(out, &say::played(others, n, comparison.seed));
    for side in
        std::iter::once(&comparison.base).chain(comparison.alternatives.iter().map(|a| &a.side))
    {
        if side.unfinished > 0 {
            let sentence = say::unfinished(side.unfinished, n, &side.name);
            line(out, &bold(&printable(&sentence)));
        }
    }
    if comparison.interrupted {
        line(out, &bold(&interrupted(n, comparison.wanted)));
    }
}

fn against(out: &mut Page, comparison: &Comparison, alternative: &Alternative, units: Units) {
    line(out, "");
    line(out, &bold(&printable(&alternative.side.title)));
    wrapped(out, &printable(&alternative.sentence), "", "");
    changes(out, &alternative.changes);
    headline(out, comparison, alternative, units);
    measures(out, comparison, alternative, units);
}

fn changes(out: &mut Page, changes: &[Change]) {
    if changes.is_empty() {
        return;
    }
    line(out, "");
    let there = |value: &Option<String>, beside: &Option<String>| {
        let missing = || say::missing(beside.as_deref()).to_owned();
        value.as_deref().map_or_else(missing, printable)
    };
    for change in changes.iter().take(MAX_CHANGES) {
        let path = printable(&change.label);
        let sentence = say::change(
            &path,
            &there(&change.base, &change.other),
            &there(&change.other, &change.base),
        );
        wrapped(out, &sentence, "  ", "    ");
    }
    if changes.len() > MAX_CHANGES {
        let more = say::more(changes.len() - MAX_CHANGES);
        line(out, &format!("  {more}"));
    }
}

/// Words, difference, half-width, unit, p-value, verdict.
const HEADLINE: [Column; 6] = [
    left(34),
    right(12),
    left(11).after(1),
    left(10),
    right(9),
    left(0).after(2),
];

fn headline(out: &mut Page, comparison: &Comparison, alternative: &Alternative, units: Units) {
    line(out, "");
    to_the_right(out, &say::together(comparison.judged));
    let mut heads = say::HEADLINE;
    let heading = bold(heads[0]);
    heads[0] = &heading;
    line(out, &row(&squeezed(HEADLINE, out), &heads));
    for measure in &comparison.headline {
        let difference = &alternative.differences[*measure as usize];
        if let Some(judged) = &difference.judged {
            headline_row(out, difference, judged, units);
        }
    }
    too_small(out, comparison, alternative, units);
}

/// Up to where differences do not matter, of measures of which that is said.
fn too_small(out: &mut Page, comparison: &Comparison, alternative: &Alternative, units: Units) {
    let headline = comparison.headline.iter();
    let said = headline.filter_map(|measure| {
        let judged = alternative.differences[*measure as usize].judged?;
        let is_said = matches!(judged.verdict, Verdict::Small | Verdict::NoMatter);
        let shown = units.shown(measure.info().unit);
        let amount = short(judged.too_small * shown.factor);
        is_said.then(|| say::threshold(&amount, points(shown.unit), &label(measure.info())))
    });
    let said: Vec<String> = said.collect();
    if !said.is_empty() {
        wrapped(out, &say::too_small(&said), "", "  ");
    }
}

/// To two digits that count, without noughts at the end.
fn short(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    let scale = libm::pow(10.0, 1.0 - libm::floor(libm::log10(value.abs())));
    format!("{}", libm::round(value * scale) / scale)
}

fn headline_row(out: &mut Page, difference: &Difference, judged: &Judged, units: Units) {
    let shown = units.shown(difference.measure.info().unit);
    let cells = Signed::of(
        difference.measure,
        difference.mean,
        judged.half_width,
        shown,
    );
    let cells = [
        &format!("  {}", words(difference.measure)),
        &cells.mean,
        &cells.half_width,
        &out.said(points(shown.unit)).into_owned(),
        &p_value(judged.p_value),
        &verdict(judged.verdict).to_owned(),
    ];
    let cells = cells.map(String::as_str);
    line(out, &row(&squeezed(HEADLINE, out), &cells));
}

fn p_value(p: Option<f64>) -> String {
    match finite(p) {
        None => "-".to_owned(),
        Some(p) if p < 0.0001 => "<0.0001".to_owned(),
        Some(p) => format!("{p:.4}"),
    }
}

/// Words, means of both, difference, half-width, what pairing saved, unit.
const MEASURES: [Column; 7] = [
    left(32),
    right(12),
    right(14),
    right(11),
    left(8).after(1),
    right(6),
    left(0).after(2),
];

fn measures(out: &mut Page, comparison: &Comparison, alternative: &Alternative, units: Units) {
    line(out, "");
    to_the_right(out, say::INTERVAL);
    let name = |name: &str, width| shortened(&printable(name), width).trim_end().to_owned();
    let [difference, half_width, saved, unit] = say::HEADS;
    let heads = [
        "",
        &name(&comparison.base.name, 11),
        &name(&alternative.side.name, 13),
        difference,
        half_width,
        saved,
        unit,
    ];
    line(out, &row(&squeezed(MEASURES, out), &heads));
    for section in SECTIONS {
        section_rows(out, alternative, section, units);
    }
    fewer(out, alternative);
}

/// Measures that not every pair of evenings has in both: a line that names them.
fn fewer(out: &mut Page, alternative: &Alternative) {
    let few: Vec<String> = alternative
        .differences
        .iter()
        .filter(|d| d.pairs < d.base.n.max(d.other.n))
        .map(|d| format!("{} ({})", words(d.measure), d.pairs))
        .collect();
    if !few.is_empty() {
        wrapped(out, &say::fewer_pairs(&few), "", "  ");
    }
}

fn section_rows(
    out: &mut Page,
    alternative: &Alternative,
    (heading, rows): &Section,
    units: Units,
) {
    let with_words: Vec<_> = rows
        .iter()
        .map(|(measure, words)| (&alternative.differences[*measure as usize], *words))
        .filter(|(difference, _)| difference.base.n + difference.other.n > 0)
        .collect();
    if with_words.is_empty() {
        return;
    }
    line(out, &bold(heading));
    for (difference, words) in with_words {
        measure_row(out, difference, words, units);
    }
}

fn measure_row(out: &mut Page, d: &Difference, words: &str, units: Units) {
    let shown = units.shown(d.measure.info().unit);
    let cells = Signed::of(d.measure, d.mean, d.half_width, shown);
    let saved = finite(d.saved).map_or_else(|| "-".to_owned(), |s| format!("{:.0} %", 100.0 * s));
    let [base, other] = &means_text(d, shown);
    let unit = out
        .said(&say::beside::unit(shown.unit, points(shown.unit)))
        .into_owned();
    let cells = [
        &format!("  {words}"),
        base,
        other,
        &cells.mean,
        &cells.half_width,
        &saved,
        &unit,
    ];
    let cells = cells.map(String::as_str);
    line(out, &row(&squeezed(MEASURES, out), &cells));
}
