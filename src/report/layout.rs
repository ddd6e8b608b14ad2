//! Text as a terminal shows it: lines, columns, wrapping, bold, findings and the caution. How wide a terminal is taken
//! to be, how figures stand under their heads, and what happens to those too wide for their column, is said here alone.

use super::json::severity;
use super::width::Width;
use crate::scenario::visible::{BOLD, PLAIN, is_obeyed};
use crate::scenario::wording::Wording;
use crate::study::evening::Finding;
use crate::words::tables::{ADVICE, CAREFUL};
use std::borrow::Cow;
use std::fmt::Write;

/// Text on its way to a terminal or a file of some width.
pub(super) struct Page {
    text: String,
    width: usize,
    wording: Wording,
}

impl Page {
    pub(super) fn new(width: Width, wording: &Wording) -> Self {
        Self {
            text: String::new(),
            width: width.get(),
            wording: wording.clone(),
        }
    }

    /// A text in the words of the scenario, for a cell that must fit. Whole lines are put in them anyway.
    pub(super) fn said<'t>(&self, text: &'t str) -> Cow<'t, str> {
        self.wording.said(text)
    }

    /// Characters of a line, at most.
    pub(super) const fn width(&self) -> usize {
        self.width
    }

    /// All of it.
    pub(super) fn into_text(self) -> String {
        self.text
    }
}

pub(super) fn line(out: &mut Page, text: &str) {
    let text = out.wording.said(text.trim_end());
    out.text.push_str(text.trim_end());
    out.text.push('\n');
}

pub(super) fn bold(text: &str) -> String {
    format!("{BOLD}{text}{PLAIN}")
}

/// Without characters that a terminal obeys rather than shows, ends of lines among them.
pub(super) fn printable(text: &str) -> String {
    text.chars().filter(|c| !is_obeyed(*c)).collect()
}

/// A line of text that ends where tables do: they do not grow with a wide terminal.
pub(super) fn to_the_right(out: &mut Page, text: &str) {
    let text = &*out.said(text).into_owned();
    let width = out.width.min(Width::FIXED.get());
    if text.chars().count() > width {
        return wrapped(out, text, "", "");
    }
    line(out, &format!("{text:>width$}"));
}

/// A column of a table.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    /// Columns of the terminal that stay free before it.
    gap: usize,
    width: usize,
    is_right: bool,
}

/// Words: they begin where the column does.
pub(super) const fn left(width: usize) -> Column {
    Column {
        gap: 0,
        width,
        is_right: false,
    }
}

/// Figures: they end where the column does.
pub(super) const fn right(width: usize) -> Column {
    Column {
        is_right: true,
        ..left(width)
    }
}

impl Column {
    /// The same with room before it.
    pub(super) const fn after(self, gap: usize) -> Self {
        Self { gap, ..self }
    }

    /// Words cut down to the column.
    pub(super) fn fitted(&self, words: &str) -> String {
        shortened(words, self.width).trim_end().to_owned()
    }
}

/// Least width of a column that is squeezed: of words, of figures.
const MIN_COLUMN: [usize; 2] = [16, 8];

/// The columns of a table that is made for [`Width::FIXED`], on a page that may be narrower: the widest give most.
pub(super) fn squeezed<C: AsMut<[Column]>>(mut all: C, out: &Page) -> C {
    let columns = all.as_mut();
    let whole: usize = columns.iter().map(|one| one.gap + one.width).sum();
    if out.width >= Width::FIXED.get() {
        return all;
    }
    for _ in out.width..whole.max(Width::FIXED.get()) {
        let spare = |column: &&mut Column| {
            let least = MIN_COLUMN[usize::from(column.is_right)];
            column.width.saturating_sub(least)
        };
        let Some(widest) = columns.iter_mut().max_by_key(spare) else {
            break;
        };
        if spare(&widest) == 0 {
            break;
        }
        widest.width -= 1;
    }
    all
}

/// A row of a table. A cell too wide for its column takes the room that others leave, and where there is none it pushes
/// the rest to the right: two cells never touch.
pub(super) fn row(columns: &[Column], cells: &[&str]) -> String {
    let mut row = String::new();
    // Where the text and where the columns have come to.
    let (mut at, mut end) = (0, 0);
    for (column, cell) in columns.iter().zip(cells) {
        let start = end + column.gap;
        end = start + column.width;
        let width = shown_width(cell);
        if width == 0 {
            continue;
        }
        let wanted = if column.is_right {
            end.saturating_sub(width)
        } else {
            start
        };
        let from = if at == 0 { wanted } else { wanted.max(at + 1) };
        let _ = write!(row, "{:gap$}{cell}", "", gap = from - at);
        at = from + width;
    }
    row
}

/// Columns of the terminal that a text takes: none for what makes it bold.
fn shown_width(text: &str) -> usize {
    text.chars().filter(|c| ![BOLD, PLAIN].contains(c)).count()
}

/// Widths of the columns of a table within `room`: all alike, but wide enough for what stands in them.
/// Where that is too much for the room, no column is wider than it must be.
pub(super) fn widths<'a>(rows: impl Iterator<Item = &'a [String]>, room: usize) -> Vec<usize> {
    let mut needed: Vec<usize> = Vec::new();
    for row in rows {
        needed.resize(needed.len().max(row.len()), 0);
        for (needed, cell) in needed.iter_mut().zip(row) {
            *needed = (*needed).max(cell.chars().count() + 1);
        }
    }
    let alike = (room / needed.len().max(1)).clamp(8, 11);
    let wide: Vec<usize> = needed.iter().map(|needed| alike.max(*needed)).collect();
    let is_too_much = needed.iter().any(|n| *n > alike) && wide.iter().sum::<usize>() > room;
    if is_too_much { needed } else { wide }
}

pub(super) fn shortened(name: &str, width: usize) -> String {
    if name.chars().count() <= width {
        return name.to_owned();
    }
    let kept: String = name.chars().take(width - 2).collect();
    format!("{kept}… ")
}

pub(super) fn findings(out: &mut Page, findings: &[Finding]) {
    for one in findings {
        finding(out, one);
    }
}

/// A finding after an empty line: how grave, what was seen, what one might do.
pub(super) fn finding(out: &mut Page, finding: &Finding) {
    line(out, "");
    let label = format!(
        "{} ({})",
        severity(finding.severity).to_uppercase(),
        finding.code
    );
    line(out, &bold(&label));
    wrapped(out, &printable(&finding.evidence), "  ", "  ");
    if !finding.advice.is_empty() {
        let advice = format!("  {ADVICE} ");
        wrapped(out, &printable(&finding.advice), &advice, "          ");
    }
}

/// `text` in lines no longer than the page is wide, the first after `first`, the others after `rest`.
pub(super) fn wrapped(out: &mut Page, text: &str, first: &str, rest: &str) {
    let mut current = first.to_owned();
    let mut is_empty = true;
    // A unit stays with its number, and a half-width with its mean.
    let joined = out
        .said(text)
        .replace(" %", "\u{a0}%")
        .replace(" min", "\u{a0}min");
    let joined = joined.replace(" ± ", "\u{a0}±\u{a0}");
    for word in joined.split([' ', '\n']).filter(|word| !word.is_empty()) {
        if !is_empty && current.chars().count() + 1 + word.chars().count() > out.width {
            line(out, &current);
            current = rest.to_owned();
            is_empty = true;
        }
        let gap = if is_empty { "" } else { " " };
        let _ = write!(current, "{gap}{}", word.replace('\u{a0}', " "));
        is_empty = false;
    }
    line(out, &current);
}

/// Stands under whatever is planned by water that scalds.
pub(super) fn careful(out: &mut Page) {
    line(out, "");
    wrapped(out, &CAREFUL.join(" "), "", "");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_as_wide_as_the_page() {
        let text = "Soiled ware waits 39 min on average. ".repeat(20);
        for columns in [60, 92, 140] {
            let mut out = Page::new(Width::of_terminal(columns), &Wording::default());
            wrapped(&mut out, &text, "  - ", "    ");
            let text = out.into_text();
            let widths: Vec<usize> = text.lines().map(|line| line.chars().count()).collect();
            let full = &widths[..widths.len() - 1];
            assert!(
                full.iter()
                    .all(|width| (columns - 9..=columns).contains(width)),
                "{text}"
            );
        }
    }

    #[test]
    fn what_is_set_to_the_right_ends_where_tables_do() {
        let of = |columns| {
            let mut out = Page::new(Width::of_terminal(columns), &Wording::default());
            to_the_right(&mut out, "a note of twenty-three.");
            out.into_text().trim_end().chars().count()
        };
        assert_eq!([60, 92, 140].map(of), [60, 92, 92]);
    }

    #[test]
    fn the_widest_columns_give_most() {
        let widths = |columns| {
            let page = Page::new(Width::of_terminal(columns), &Wording::default());
            let columns = [
                left(34),
                right(11),
                left(10).after(1),
                right(22),
                left(0).after(3),
            ];
            squeezed(columns, &page).map(|column| column.width)
        };
        assert_eq!(widths(92), [34, 11, 10, 22, 0]);
        assert_eq!(widths(140), widths(92));
        assert_eq!(widths(80), [26, 11, 10, 18, 0]);
        assert_eq!(widths(60), [17, 9, 10, 9, 0]);
    }

    #[test]
    fn cells_never_touch() {
        let columns = [
            left(8),
            right(6),
            left(4).after(1),
            right(9),
            left(0).after(2),
        ];
        let of = |cells: &[&str]| row(&columns, cells);
        assert_eq!(
            of(&["name", "1.5", "± 2", "3 – 4", "min"]),
            "name       1.5 ± 2     3 – 4  min"
        );
        assert_eq!(
            of(&["name", "1.5", "", "", "min"]),
            "name       1.5                min"
        );
        // Into the room of the name, then of the next; where none is left, to the right.
        assert_eq!(of(&["name", "12345678", "± 2"]), "name  12345678 ± 2");
        assert_eq!(
            of(&["name", "1.5", "± 123456", "3 – 4", "min"]),
            "name       1.5 ± 123456 3 – 4 min"
        );
        assert_eq!(
            of(&["name", "1234567890123", "± 2"]),
            "name 1234567890123 ± 2"
        );
        assert_eq!(
            of(&[&bold("name"), "1.5"]),
            format!("{}       1.5", bold("name"))
        );
    }

    #[test]
    fn a_column_is_as_wide_as_the_others_or_as_what_stands_in_it() {
        let row =
            |cells: &[&str]| -> Vec<String> { cells.iter().map(|c| (*c).to_owned()).collect() };
        let of = |cells: &[&str], room| widths(std::iter::once(row(cells).as_slice()), room);
        assert_eq!(of(&["1", "2"], 78), [11, 11]);
        assert_eq!(of(&["1", "12,345,678.90"], 78), [11, 14]);
        assert_eq!(
            of(&["1", "12,345,678.90", "12,345,678.90"], 32),
            [2, 14, 14]
        );
        assert_eq!(of(&[], 78), [0; 0]);
    }
}
