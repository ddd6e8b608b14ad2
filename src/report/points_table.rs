//! The design points of a study on the terminal: the best first, what each sets, and what came of it.

use super::layout::{Column, Page, bold, left, line, printable, right, row};
use super::points::{PointPlayed, Swept, figures, measures, verdicts};
use super::units::Units;
use super::width::Width;
use crate::service::measure::MeasureInfo;
use crate::study::design::wanted::Seeks;
use crate::study::swept;
use crate::words::measures::{heading, label};
use crate::words::tables::study as words;

/// Columns: of a point's number, of a figure, of unfinished evenings, of the targets.
const POINT: usize = 6;
const FIGURE: usize = 15;
const UNFINISHED: usize = 12;
const TARGETS: usize = 17;
/// Widest a setting is shown, with the gap behind it; all settings together.
const SETTING: usize = 18;
const SETTINGS: usize = 26;

/// All that the terminal shows of a study as played.
#[must_use]
pub fn table(result: &Swept<'_>, units: Units, width: Width) -> String {
    let points = of_points(result, units, width);
    measures(result, units) + &points + &verdicts(result, units, width)
}

/// The table of points, with an empty line above it; nothing where nothing is to be listed.
fn of_points(result: &Swept<'_>, units: Units, width: Width) -> String {
    let Some(swept) = &result.written.swept else {
        return String::new();
    };
    if result.top == 0 || swept.cells.is_empty() {
        return String::new();
    }
    let (sought, seeks) = sought(result);
    let order = order(result, swept, sought, seeks);
    let shown = &order[..order.len().min(result.top)];
    let plan = Plan::of(result, swept, sought, shown, width.get());
    let mut out = Page::new(width, &result.study.wording);
    line(&mut out, "");
    let is_least = seeks == Seeks::Least;
    let name = label(swept.measures[sought]);
    let title = words::best(&name, is_least, !result.study.targets.is_empty());
    line(&mut out, &title);
    plan.head(&mut out, swept, units);
    for point in shown {
        line(&mut out, &plan.row(result, swept, *point, units));
    }
    if order.len() > shown.len() {
        line(&mut out, &words::other_points(order.len() - shown.len()));
    }
    out.into_text()
}

/// The measure that says which point is best, and which end of it: that of the choice, or the first asked for.
fn sought(result: &Swept<'_>) -> (usize, Seeks) {
    let study = result.study;
    let chosen = study.choose.and_then(|choose| {
        let at = study.measures.iter().position(|m| *m == choose.measure)?;
        Some((at, choose.seeks))
    });
    chosen.unwrap_or((0, Seeks::Least))
}

/// All points: those that meet the targets, then those that are safe, then by the measure sought.
fn order(result: &Swept<'_>, swept: &swept::Swept, sought: usize, seeks: Seeks) -> Vec<usize> {
    let key = |point: usize| {
        let played = result.written.played.get(point);
        let mean = swept.cells[point].get(sought).and_then(|cell| cell.mean);
        let is_unsafe = played.is_some_and(|played| played.is_unsafe() || played.unfinished > 0);
        let misses = played.is_some_and(|played| !played.keeps());
        let value = mean.map_or(f64::INFINITY, |mean| seeks.turned(mean));
        (misses, is_unsafe, value)
    };
    let mut order: Vec<usize> = (0..swept.cells.len()).collect();
    order.sort_by(|a, b| {
        let (a, b) = (key(*a), key(*b));
        (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2))
    });
    order
}

/// Which columns there are.
struct Plan {
    columns: Vec<Column>,
    /// Whether each factor has a column of its own.
    is_each: bool,
    /// Measures that find room, the one sought first.
    measures: Vec<usize>,
    has_unfinished: bool,
    has_targets: bool,
}

impl Plan {
    fn of(
        result: &Swept<'_>,
        swept: &swept::Swept,
        sought: usize,
        points: &[usize],
        room: usize,
    ) -> Self {
        let has_unfinished = !result.written.unfinished.is_empty();
        let has_targets = !result.study.targets.is_empty();
        let ends =
            if has_unfinished { UNFINISHED } else { 0 } + if has_targets { TARGETS } else { 0 };
        let widths: Vec<usize> = (0..swept.factors.len())
            .map(|factor| width(swept, factor, points))
            .collect();
        let all: usize = widths.iter().sum();
        let is_each = POINT + 2 + all + FIGURE + ends <= room;
        let settings = if is_each { all } else { SETTINGS };
        let left_over = room.saturating_sub(POINT + 2 + settings + ends);
        let others = (0..result.study.asked).filter(|measure| *measure != sought);
        let measures: Vec<usize> = std::iter::once(sought)
            .chain(others)
            .take((left_over / FIGURE).max(1))
            .collect();
        let mut columns = vec![right(POINT)];
        let widths = if is_each { widths } else { vec![SETTINGS] };
        columns.extend(
            widths
                .iter()
                .enumerate()
                .map(|(at, width)| left(*width).after(if at == 0 { 2 } else { 0 })),
        );
        columns.extend(measures.iter().map(|_| right(FIGURE)));
        columns.extend(has_unfinished.then(|| right(UNFINISHED)));
        columns.extend(has_targets.then(|| left(TARGETS - 2).after(2)));
        Self {
            columns,
            is_each,
            measures,
            has_unfinished,
            has_targets,
        }
    }

    /// The heads, in as many lines as the longest needs.
    fn head(&self, out: &mut Page, swept: &swept::Swept, units: Units) {
        let mut heads = vec![vec![words::POINT.to_owned()]];
        if self.is_each {
            let name = |factor: &swept::Factor| vec![printable(&factor.name)];
            heads.extend(swept.factors.iter().map(name));
        } else {
            heads.push(vec![words::SETTINGS.to_owned()]);
        }
        let measures = self.measures.iter().map(|at| swept.measures[*at]);
        let stacked = |info| {
            let lines = stacked(info, units);
            lines
                .into_iter()
                .map(|line| out.said(&line).into_owned())
                .collect()
        };
        heads.extend(measures.map(stacked));
        heads.extend(
            self.has_unfinished
                .then(|| vec![words::UNFINISHED.to_owned()]),
        );
        heads.extend(self.has_targets.then(|| vec![words::TARGETS.to_owned()]));
        let lines = heads.iter().map(Vec::len).max().unwrap_or(0);
        for at in 0..lines {
            let cell = |(head, column): (&Vec<String>, &Column)| {
                let above = lines - head.len();
                let text = at.checked_sub(above).and_then(|at| head.get(at));
                text.map_or_else(String::new, |text| column.fitted(text))
            };
            let cells: Vec<String> = heads.iter().zip(&self.columns).map(cell).collect();
            line(out, &bold(&self.joined(&cells)));
        }
    }

    fn row(&self, result: &Swept<'_>, swept: &swept::Swept, point: usize, units: Units) -> String {
        let texts = settings(swept, point);
        let texts = if self.is_each {
            texts.into_iter().map(|(_, text)| text).collect()
        } else {
            let named = texts.iter().filter(|(_, text)| !text.is_empty());
            let named: Vec<String> = named.map(|(name, text)| format!("{name} {text}")).collect();
            vec![named.join(", ")]
        };
        let texts = texts.iter().zip(&self.columns[1..]);
        let mut cells = vec![point.to_string()];
        cells.extend(texts.map(|(text, column)| column.fitted(&printable(text))));
        let figure = |at: &usize| figures(&swept.cells[point][*at], swept.measures[*at], units);
        cells.extend(self.measures.iter().map(figure));
        if let Some(played) = result.written.played.get(point) {
            let cut_off = || words::cut_off(played.unfinished, played.evenings);
            cells.extend(self.has_unfinished.then(cut_off));
            cells.extend(self.has_targets.then(|| verdict(played)));
        }
        self.joined(&cells)
    }

    fn joined(&self, cells: &[String]) -> String {
        let cells: Vec<&str> = cells.iter().map(String::as_str).collect();
        row(&self.columns, &cells)
    }
}

/// What a point sets: names of factors and their levels.
fn settings(swept: &swept::Swept, point: usize) -> Vec<(String, String)> {
    let levels = swept.factors.iter().zip(&swept.points[point]);
    let text = |(factor, level): (&swept::Factor, &usize)| {
        let level = factor.levels.get(*level);
        let text = level.map_or_else(String::new, |level| level.text.clone());
        (factor.name.clone(), text)
    };
    levels.map(text).collect()
}

/// Of a factor's column.
fn width(swept: &swept::Swept, factor: usize, points: &[usize]) -> usize {
    let texts = points
        .iter()
        .map(|point| settings(swept, *point)[factor].1.chars().count());
    let name = swept.factors[factor].name.chars().count();
    texts.chain([name]).max().unwrap_or(0).min(SETTING) + 2
}

/// A measure over its column: its words in lines, its unit below.
fn stacked(info: &'static MeasureInfo, units: Units) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in heading(info).split(' ') {
        match lines.last_mut() {
            Some(last) if last.chars().count() + word.chars().count() + 2 < FIGURE => {
                last.push(' ');
                last.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines.push(units.shown(info.unit).unit.to_owned());
    lines
}

fn verdict(played: &PointPlayed) -> String {
    let missed = played.targets.iter().zip(1_usize..);
    let missed = missed.filter(|(found, _)| !found.is_met);
    let missed: Vec<usize> = missed.map(|(_, number)| number).collect();
    words::verdict(&missed, played.is_unsafe())
}
