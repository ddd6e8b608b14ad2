//! What the terminal shows of a study: how large it is, where each measure is least and greatest, what
//! moves it most, and how many design points meet the targets.

use super::layout::{Page, careful, line, printable, wrapped};
use super::number;
use super::units::Units;
use super::width::Width;
use crate::service::measure::MeasureInfo;
use crate::study::design::{Replications, Study};
use crate::study::swept::{self, Cell, Swing};
use crate::words::measures::heading;
use crate::words::tables::study as words;

/// What came out of gathering.
#[derive(Debug)]
pub struct Written {
    /// The study as played, if it is not too large for that.
    pub swept: Option<swept::Swept>,
    /// Of each of its design points, its evenings.
    pub played: Vec<PointPlayed>,
    /// How many design points meet all targets by their estimates.
    pub keeping: u64,
    /// Design points of which some evening was not finished.
    pub unfinished: Vec<u64>,
}

/// The evenings of a design point.
#[derive(Debug, Clone, PartialEq)]
pub struct PointPlayed {
    /// Evenings played.
    pub evenings: u64,
    /// How many of them were cut off with work left to do.
    pub unfinished: u64,
    /// What was found of each target.
    pub targets: Vec<Found>,
}

impl PointPlayed {
    /// Whether it misses a target of safety by its estimates.
    #[must_use]
    pub fn is_unsafe(&self) -> bool {
        let mut targets = self.targets.iter();
        targets.any(|found| found.is_safety && !found.is_met)
    }

    /// Whether it meets every target by its estimates.
    #[must_use]
    pub fn keeps(&self) -> bool {
        self.targets.iter().all(|found| found.is_met)
    }
}

/// What was found of a target at a design point.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Share of the evenings that meet its limit, of those in which its measure had a value.
    pub share: Option<f64>,
    /// Lower end of the 95 % interval of that share.
    pub low: Option<f64>,
    /// Its upper end.
    pub high: Option<f64>,
    /// Whether it is met.
    pub is_met: bool,
    /// Whether a point that misses it is unsafe.
    pub is_safety: bool,
}

/// A study as played.
#[derive(Debug)]
pub struct Swept<'a> {
    /// What was asked.
    pub study: &'a Study,
    /// What came of it.
    pub written: &'a Written,
    /// Design points that the terminal lists, at most.
    pub top: usize,
}

/// How large a study is.
#[must_use]
pub fn outline(study: &Study) -> String {
    let mut text = String::new();
    if !study.title.is_empty() {
        text.push_str(&format!("{}\n", printable(&study.title)));
    }
    let alone = study.to_play() - study.points();
    let each = match study.replications {
        Replications::Fixed(count) => words::each(count),
        Replications::Precise { round, most, .. } => words::from_to(round, most),
    };
    text.push_str(&words::outline(study.points(), alone, &each));
    text.push('\n');
    if let Some(note) = repeated(study) {
        text.push_str(&format!("{note}\n"));
    }
    text
}

/// What to say where design points of a sample are the same.
#[must_use]
pub fn repeated(study: &Study) -> Option<String> {
    let repeated = study.repeated();
    (repeated > 0).then(|| words::repeated(repeated, study.points()))
}

/// How large a study is, and where each of its measures is least and most.
pub(super) fn measures(result: &Swept<'_>, units: Units) -> String {
    let study = result.study;
    let mut text = outline(study);
    if let Some(swept) = &result.written.swept {
        let is_safe = |point: usize| swept.dangerous.get(point) != Some(&true);
        for (measure, info) in swept.measures.iter().enumerate().take(study.asked) {
            text.push_str(&format!("\n{}\n", heading(info)));
            for line in of_measure(study, (swept, &is_safe), measure, units) {
                text.push_str(&format!("  {line}\n"));
            }
        }
    }
    study.wording.said(&text).into_owned()
}

/// How many points meet the targets, and which were not finished.
pub(super) fn verdicts(result: &Swept<'_>, units: Units, width: Width) -> String {
    let (study, written) = (result.study, result.written);
    let mut page = Page::new(width, &result.study.wording);
    if !study.targets.is_empty() {
        let targets: Vec<String> = study
            .targets
            .iter()
            .map(|target| units.target(target, &study.wording))
            .collect();
        let keeping = words::keeping(written.keeping, study.points(), &targets);
        line(&mut page, "");
        wrapped(&mut page, &keeping, "", "");
    }
    if let Some(first) = written.unfinished.first() {
        line(&mut page, "");
        let unfinished = words::unfinished(*first, written.unfinished.len());
        wrapped(&mut page, &unfinished, "", "");
    }
    careful(&mut page);
    page.into_text()
}

/// Where a measure is least and most, among the points that are safe if any is: an unsafe one is never the cheaper.
fn of_measure(
    study: &Study,
    (swept, is_safe): (&swept::Swept, &dyn Fn(usize) -> bool),
    measure: usize,
    units: Units,
) -> Vec<String> {
    let info = swept.measures[measure];
    let cells = swept.cells.iter().map(|row| row[measure]).enumerate();
    let mut cells: Vec<(usize, Cell)> = cells.filter(|(_, cell)| cell.mean.is_some()).collect();
    if cells.iter().any(|(point, _)| is_safe(*point)) {
        cells.retain(|(point, _)| is_safe(*point));
    }
    let order = |a: &&(usize, Cell), b: &&(usize, Cell)| {
        let mean = |cell: &Cell| cell.mean.unwrap_or(f64::NAN);
        mean(&a.1).total_cmp(&mean(&b.1))
    };
    let (Some(least), Some(most)) = (cells.iter().min_by(order), cells.iter().max_by(order)) else {
        return vec![words::NO_VALUE.to_owned()];
    };
    let end = |words: fn(&str, &str) -> String, (point, cell): &(usize, Cell)| {
        let label = printable(&study.label(*point as u64));
        let label = if is_safe(*point) {
            label
        } else {
            words::is_unsafe(&label)
        };
        words(&amount(cell, info, units), &label)
    };
    let mut lines = vec![end(words::least, least), end(words::most, most)];
    if let Some((swing, by)) = largest(swept, measure) {
        let name = printable(&swept.factors[swing.factor].name);
        let (low, high) = (printable(&swing.low.text), printable(&swing.high.text));
        let (from, to) = (
            amount(&swing.at_low, info, units),
            amount(&swing.at_high, info, units),
        );
        lines.push(if by == 0.0 {
            words::NOTHING_MOVES.to_owned()
        } else {
            words::moved_most(&name, [&from, &low], [&to, &high])
        });
    }
    lines
}

/// The swing that moves a measure most, and by how much.
fn largest(swept: &swept::Swept, measure: usize) -> Option<(&Swing, f64)> {
    let by = |swing: &Swing| {
        let means = [swing.at_base.mean?, swing.at_low.mean?, swing.at_high.mean?];
        let most = means.iter().copied().fold(f64::MIN, f64::max);
        let least = means.iter().copied().fold(f64::MAX, f64::min);
        Some(most - least)
    };
    let of_measure = swept.swings.iter().filter(|swing| swing.measure == measure);
    let with = of_measure.filter_map(|swing| Some((swing, by(swing)?)));
    with.max_by(|a, b| a.1.total_cmp(&b.1))
}

/// A mean with its half-width and unit.
fn amount(cell: &Cell, info: &'static MeasureInfo, units: Units) -> String {
    format!(
        "{} {}",
        figures(cell, info, units),
        units.shown(info.unit).unit
    )
}

/// A mean with its half-width, as many digits as that supports; shares in per cent.
pub(super) fn figures(cell: &Cell, info: &'static MeasureInfo, units: Units) -> String {
    let shown = units.shown(info.unit);
    let half_width = cell.half_width.map(|value| value * shown.factor);
    let mean = cell.mean.map(|value| value * shown.factor + shown.offset);
    let decimals = number::decimals(half_width, info.decimals as i32 + shown.decimals);
    match number::mean_text(mean, half_width, decimals) {
        (mean, Some(half_width)) => format!("{mean} ± {half_width}"),
        (mean, None) => mean,
    }
}
