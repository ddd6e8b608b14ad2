//! All alternatives beside the base: the headline measures in rows, a column for each scenario. What is unsafe or was not
//! finished stands first.
//!
//! A measure takes two lines: the means, each alternative's with its difference, and below them the verdicts, which are
//! those of the alternative's own table. Where the page is too narrow for all, the columns go on in a table below.

use super::figures::{Signed, means_text, points, words};
use super::verdict;
use crate::report::layout::{Column, Page, bold, left, line, printable, right, row, shortened};
use crate::report::number;
use crate::report::units::Units;
use crate::service::measure::Measure;
use crate::study::compare::{Alternative, Comparison, Side};
use crate::words::tables::comparison::beside;

/// Columns of words, and of the base.
const WORDS: usize = 30;
const BASE: usize = 10;
/// Least width of an alternative's column: the longest verdict.
const LEAST: usize = 20;

/// The table, if there are two alternatives or more.
pub(super) fn table(out: &mut Page, comparison: &Comparison, units: Units) {
    if comparison.alternatives.len() < 2 {
        return;
    }
    let width = out.width();
    let a_row = (width.saturating_sub(WORDS + BASE) / LEAST).max(1);
    for some in comparison.alternatives.chunks(a_row) {
        let part = Part {
            comparison,
            some,
            columns: columns(some.len()),
        };
        part.draw(out, units);
    }
    line(out, "");
    line(out, beside::NOTE);
}

fn columns(alternatives: usize) -> Vec<Column> {
    let fixed = [left(WORDS), right(BASE)];
    let more = std::iter::repeat_n(right(LEAST), alternatives);
    fixed.into_iter().chain(more).collect()
}

/// As many alternatives as find room.
struct Part<'a> {
    comparison: &'a Comparison,
    some: &'a [Alternative],
    columns: Vec<Column>,
}

impl Part<'_> {
    fn draw(&self, out: &mut Page, units: Units) {
        line(out, "");
        let name = |side: &Side, width| {
            shortened(&printable(&side.name), width)
                .trim_end()
                .to_owned()
        };
        let names = self.some.iter().map(|one| name(&one.side, LEAST - 1));
        self.line(out, &bold(beside::HEAD), beside::BASE.to_owned(), names);
        self.safety(out);
        let headline = self.comparison.headline.iter();
        for measure in headline.filter(|measure| **measure != Measure::UnderTemperatureRacks) {
            self.measure(out, *measure, units);
        }
    }

    fn line(&self, out: &mut Page, head: &str, base: String, others: impl Iterator<Item = String>) {
        let cells: Vec<String> = [head.to_owned(), base].into_iter().chain(others).collect();
        let cells: Vec<&str> = cells.iter().map(String::as_str).collect();
        line(out, &row(&self.columns, &cells));
    }

    /// The base, then the alternatives.
    fn sides(&self) -> impl Iterator<Item = &Side> {
        let others = self.some.iter().map(|one| &one.side);
        std::iter::once(&self.comparison.base).chain(others)
    }

    /// Racks below a minimum and in old water, where any machine has a limit, and who is unsafe.
    fn safety(&self, out: &mut Page) {
        self.racks(out, Measure::UnderTemperatureRacks, Side::cold_racks);
        self.racks(out, Measure::OldWaterRacks, Side::old_water_racks);
        self.unfinished(out);
        if self.sides().any(Side::is_unsafe) {
            let word = |side: &Side| {
                let word = if side.is_unsafe() {
                    beside::UNSAFE
                } else {
                    beside::SAFE
                };
                word.to_owned()
            };
            let others = self.some.iter().map(|one| word(&one.side));
            self.line(out, "", word(&self.comparison.base), others);
        }
    }

    fn racks(&self, out: &mut Page, measure: Measure, of: fn(&Side) -> Option<f64>) {
        if self.sides().all(|side| of(side).is_none()) {
            return;
        }
        let shown = Units::Metric.shown(measure.info().unit);
        let both = |one: &Alternative| means_text(&one.differences[measure as usize], shown);
        let missing = || number::text(None, 0);
        let base = self.some.first().map(|one| both(one)[0].clone());
        let base = base.filter(|_| of(&self.comparison.base).is_some());
        let others = self.some.iter().map(|one| match of(&one.side) {
            Some(_) => both(one)[1].clone(),
            None => missing(),
        });
        self.line(out, words(measure), base.unwrap_or_else(missing), others);
    }

    /// Evenings that were cut off; nothing where all were finished.
    fn unfinished(&self, out: &mut Page) {
        if self.sides().all(|side| side.unfinished == 0) {
            return;
        }
        let of = self.comparison.replications;
        let count = |side: &Side| beside::of(side.unfinished, of);
        let others = self.some.iter().map(|one| count(&one.side));
        self.line(
            out,
            beside::UNFINISHED,
            count(&self.comparison.base),
            others,
        );
    }

    fn measure(&self, out: &mut Page, measure: Measure, units: Units) {
        let shown = units.shown(measure.info().unit);
        let differences = || {
            self.some
                .iter()
                .map(|one| &one.differences[measure as usize])
        };
        if differences().all(|d| d.base.n + d.other.n == 0) {
            return;
        }
        // A difference from one of them may need more digits than others do.
        let bases = differences().map(|d| means_text(d, shown)[0].clone());
        let base = bases.max_by_key(String::len).unwrap_or_default();
        let others = differences().map(|d| {
            let [_, mean] = means_text(d, shown);
            let half_width = d.judged.and_then(|judged| judged.half_width);
            let apart = Signed::of(measure, d.mean, half_width, shown).mean;
            format!("{mean} ({apart})")
        });
        self.line(out, words(measure), base, others);
        let verdicts = differences().map(|d| {
            d.judged
                .map_or("-", |judged| verdict(judged.verdict))
                .to_owned()
        });
        self.line(
            out,
            &format!("  {}", beside::unit(shown.unit, points(shown.unit))),
            String::new(),
            verdicts,
        );
    }
}
