//! What the terminal shows of an evening.
//!
//! The sentence comes first, then the measures in sections, then ware, operators, stations and the
//! parts of the cost in columns, then the findings. Every ± is named in the heading, with its level and its
//! n. Nothing is printed to more digits than its half-width supports, and what does not exist is `-`.
//! Measures of parts that a scenario leaves out are named in one line.

use super::layout::{
    Column, Page, bold, careful, finding, left, line, printable, right, row, shortened, squeezed,
    to_the_right, widths, wrapped,
};
use super::number::{decimals, finite, half_width_text, mean_text, text};
use super::tried;
use super::units::Units;
use super::width::Width;
use crate::scenario::units::clock_text;
use crate::service::measure::Measure;
use crate::study::evening::{Estimate, Evening, Group, GroupKind};
use crate::words::measures::{
    DETAILS, SECTIONS, Section, column, is_left_out_unless_there, without_machine,
};
use crate::words::tables::{evening as words, interrupted, played};

/// The whole table. Bold is marked with escapes, which `out::print` keeps from anything
/// but a terminal.
#[must_use]
pub fn table(evening: &Evening, units: Units, width: Width) -> String {
    let mut out = Page::new(width, &evening.wording);
    head(&mut out, evening);
    measures(&mut out, evening, units);
    for (kind, heading) in [
        (GroupKind::Ware, words::BY_WARE),
        (GroupKind::Operator, words::BY_OPERATOR),
        (GroupKind::Station, words::BY_STATION),
    ] {
        let of_kind: Vec<_> = evening.groups.iter().filter(|g| g.kind == kind).collect();
        columns(&mut out, heading, &of_kind, units);
    }
    cost(&mut out, evening, units);
    for (at, one) in evening.findings.iter().enumerate() {
        finding(&mut out, one);
        tried::lines(&mut out, &one.tried, &evening.findings[..at], units);
    }
    tried::how(&mut out, evening.trial.as_ref());
    if evening.has_machine() {
        careful(&mut out);
    }
    out.into_text()
}

fn head(out: &mut Page, evening: &Evening) {
    line(out, &bold(&printable(&evening.title)));
    line(out, &played(evening.replications, evening.seed));
    if evening.interrupted {
        let (done, wanted) = (evening.replications, evening.wanted);
        line(out, &bold(&interrupted(done, wanted)));
    }
    if evening.unfinished > 0 {
        line(out, "");
        let (count, of) = (evening.unfinished, evening.replications);
        line(out, &bold(&words::unfinished(count, of)));
    }
    line(out, "");
    wrapped(out, &printable(&evening.sentence), "", "");
}

/// Words, mean, half-width, spread, unit.
const COLUMNS: [Column; 5] = [
    left(34),
    right(11),
    left(10).after(1),
    right(22),
    left(0).after(3),
];

fn measures(out: &mut Page, evening: &Evening, units: Units) {
    line(out, "");
    to_the_right(out, &words::interval(evening.replications));
    line(
        out,
        &row(
            &squeezed(COLUMNS, out),
            &words::HEADS
                .map(|head| out.said(head))
                .each_ref()
                .map(|head| &**head),
        ),
    );
    for section in SECTIONS {
        section_rows(out, evening, section, units);
    }
    left_out(out, evening);
}

/// Whether a measure has nothing to show: no evening had a value.
fn is_left_out(evening: &Evening, estimate: &Estimate) -> bool {
    evening.replications > 0 && finite(estimate.mean).is_none()
}

/// The measures in words, in one line, that belong to parts which the scenario leaves out.
fn left_out(out: &mut Page, evening: &Evening) {
    let rows = SECTIONS.iter().flat_map(|(_, rows)| *rows);
    let names: Vec<&str> = rows
        .filter(|(measure, _)| !DETAILS.contains(measure))
        .filter(|(measure, _)| {
            let found = evening.measures.iter().find(|e| e.info == measure.info());
            found.is_some_and(|e| is_left_out(evening, e))
        })
        .map(|(_, words)| *words)
        .collect();
    if !names.is_empty() {
        wrapped(out, &words::left_out(&names), "", "  ");
    }
}

fn section_rows(out: &mut Page, evening: &Evening, (heading, rows): &Section, units: Units) {
    let of = |measure: Measure| evening.measures.iter().find(|e| e.info == measure.info());
    let washes = evening.has_machine();
    let said = |measure: Measure, words: &'static str| match washes {
        true => words,
        false => without_machine(measure, words),
    };
    let with_words: Vec<_> = rows
        .iter()
        .filter_map(|(m, words)| Some((of(*m)?, said(*m, words))))
        .filter(|(estimate, _)| !is_left_out(evening, estimate))
        .collect();
    if with_words.is_empty() {
        return;
    }
    line(out, &bold(heading));
    for (estimate, words) in with_words {
        measure_row(out, estimate, words, evening.replications, units);
        clock_row(out, estimate, evening);
    }
}

/// What is counted from opening or closing, as times of day below it: people think in those.
fn clock_row(out: &mut Page, e: &Estimate, evening: &Evening) {
    let Some(from_s) = evening.clock.counted_from(e.info) else {
        return;
    };
    // What is known to tens of minutes is shown to ten minutes.
    let step_s = if decimals(finite(e.half_width), 0) < 0 {
        600.0
    } else {
        60.0
    };
    let clock = |minutes: Option<f64>| {
        finite(minutes).map(|minutes| {
            let s = from_s + 60.0 * minutes;
            clock_text(step_s * libm::round(s / step_s))
        })
    };
    let Some(mean) = clock(e.mean) else {
        return;
    };
    let ends = clock(e.p10.value).zip(clock(e.p90.value));
    let spread = ends.map_or_else(String::new, |(low, high)| format!("{low} – {high}"));
    let cells = [words::BY_THE_CLOCK, &mean, "", &spread, ""];
    let columns = squeezed(COLUMNS, out);
    line(out, &row(&columns, &cells));
}

fn measure_row(out: &mut Page, e: &Estimate, words: &str, replications: u64, units: Units) {
    let cells = Cells::of(e, units);
    let half_width = cells
        .half_width
        .map_or_else(String::new, |h| format!("± {h}"));
    let n = if e.n == replications || e.n == 0 {
        String::new()
    } else {
        format!(" (n = {})", e.n)
    };
    let (words, unit) = (format!("  {words}"), format!("{}{n}", cells.unit));
    let cells = [&words, &cells.mean, &half_width, &cells.spread, &unit];
    let columns = squeezed(COLUMNS, out);
    line(out, &row(&columns, &cells.map(String::as_str)));
}

/// One estimate as it is printed.
struct Cells {
    mean: String,
    half_width: Option<String>,
    spread: String,
    unit: &'static str,
}

impl Cells {
    fn of(e: &Estimate, units: Units) -> Self {
        let shown = units.shown(e.info.unit);
        let value = |v: Option<f64>| v.map(|v| v * shown.factor + shown.offset);
        let half_width = finite(e.half_width).map(|h| h * shown.factor);
        let most = (e.info.decimals as i32 + shown.decimals).max(0);
        let places = decimals(half_width, most);
        let (low, high) = (
            text(value(e.p10.value), places),
            text(value(e.p90.value), places),
        );
        let (mean, half_width) = if shown.offset == 0.0 {
            mean_text(value(e.mean), half_width, places)
        } else {
            (
                text(value(e.mean), places),
                half_width_text(half_width, places),
            )
        };
        Self {
            mean,
            half_width,
            spread: if low == "-" && high == "-" {
                low
            } else {
                format!("{low} – {high}")
            },
            unit: shown.unit,
        }
    }
}

/// Least width of a column of figures.
const MIN_COLUMN: usize = 8;

fn columns(out: &mut Page, heading: &str, groups: &[&Group], units: Units) {
    let Some(first) = groups.first().copied() else {
        return;
    };
    let name_width = groups
        .iter()
        .map(|g| g.name.chars().count())
        .max()
        .unwrap_or(0);
    let name_width = name_width.clamp(14, 24);
    let has_value = |column: usize| {
        let mut cells = groups.iter().filter_map(|g| g.measures.get(column));
        cells.any(|e| finite(e.mean).is_some())
    };
    let columns = first.measures.iter().enumerate();
    let present: Vec<usize> = columns
        .filter(|(column, e)| !is_left_out_unless_there(e.info) || has_value(*column))
        .map(|(column, _)| column)
        .collect();
    // Where a terminal is narrower than tables are made for, what finds no room stands in a table below.
    let is_narrow = out.width() < Width::FIXED.get();
    let fit = (out.width() - name_width) / MIN_COLUMN;
    let fit = if is_narrow { fit } else { present.len() };
    for part in present.chunks(fit.max(1)) {
        some_columns(out, (heading, name_width), groups, part, units);
    }
}

/// A table of some measures of each group.
fn some_columns<'a>(
    out: &mut Page,
    (heading, name_width): (&str, usize),
    groups: &[&'a Group],
    part: &[usize],
    units: Units,
) {
    let of = |group: &'a Group| part.iter().filter_map(|column| group.measures.get(*column));
    // What a queue counts differs from station to station.
    let unit_of = |e: &Estimate| {
        let unit = units.shown(e.info.unit).unit.replace("queue", "");
        out.said(&unit).into_owned()
    };
    let head = |i: usize| {
        of(groups[0])
            .map(|e| column(e.info)[i].to_owned())
            .collect()
    };
    let mut rows: Vec<(&str, Vec<String>)> = vec![
        (heading, head(0)),
        ("", head(1)),
        (words::MEANS, of(groups[0]).map(unit_of).collect()),
    ];
    rows.extend(groups.iter().map(|group| {
        let cells = of(group).map(|e| Cells::of(e, units).mean).collect();
        (group.name.as_str(), cells)
    }));
    let widths = widths(
        rows.iter().map(|row| row.1.as_slice()),
        out.width() - name_width,
    );
    let columns = widths.into_iter().map(right);
    let columns: Vec<Column> = std::iter::once(left(name_width)).chain(columns).collect();
    line(out, "");
    for (i, (name, cells)) in rows.iter().enumerate() {
        let name = shortened(&printable(name), name_width);
        let cells = cells.iter().map(String::as_str);
        let cells: Vec<&str> = std::iter::once(name.trim_end()).chain(cells).collect();
        let cells = row(&columns, &cells);
        line(out, &if i == 0 { bold(&cells) } else { cells });
    }
}

/// The parts of the cost that have a value; those that have none are named in one line.
fn cost(out: &mut Page, evening: &Evening, units: Units) {
    let parts = evening.groups.iter().filter(|g| g.kind == GroupKind::Cost);
    let (priced, silent): (Vec<_>, Vec<_>) =
        parts.partition(|group| group.measures.iter().any(|e| finite(e.mean).is_some()));
    columns(out, words::BY_PART, &priced, units);
    if !priced.is_empty() && !silent.is_empty() {
        let names: Vec<_> = silent.iter().map(|group| group.name.as_str()).collect();
        wrapped(out, &words::not_in_the_cost(&names), "", "  ");
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::examples;

    fn plain(evening: &Evening, units: Units) -> String {
        at(evening, units, Width::FIXED)
    }

    fn at(evening: &Evening, units: Units, width: Width) -> String {
        anstream::adapter::strip_str(&table(evening, units, width)).to_string()
    }

    fn widest(text: &str) -> usize {
        text.lines().map(|line| line.chars().count()).max().unwrap()
    }

    /// At 60 the columns are squeezed and nothing is left out; at 140 only the lines of text are longer.
    #[test]
    fn tables_are_as_wide_as_the_terminal() {
        let friday = examples::priced();
        let words = |text: &str| {
            let mut words: Vec<_> = text.split_whitespace().map(str::to_owned).collect();
            words.sort();
            // Names stand twice where a table is cut in two.
            words.dedup();
            words
        };
        let [narrow, fixed, wide] =
            [60, 92, 140].map(|columns| at(&friday, Units::Metric, Width::of_terminal(columns)));
        assert_eq!(fixed, plain(&friday, Units::Metric));
        assert!(widest(&narrow) <= 64, "{}\n{narrow}", widest(&narrow));
        assert!((93..=140).contains(&widest(&wide)), "{wide}");
        assert!(wide.lines().count() < fixed.lines().count());
        assert_eq!(words(&narrow), words(&fixed));
        assert_eq!(words(&wide), words(&fixed));
        // Narrower and wider terminals are taken to be as wide as these.
        assert_eq!(at(&friday, Units::Metric, Width::of_terminal(0)), narrow);
        assert_eq!(at(&friday, Units::Metric, Width::of_terminal(9_999)), wide);
    }

    /// Times that people think in, below each measure of minutes after closing, to the digits that are known.
    #[test]
    fn what_comes_after_closing_has_a_time_of_day() {
        let mut evening = examples::friday();
        evening.clock.closes_s = 23.0 * 3600.0;
        let at = Measure::CrewOutAfterClose as usize;
        let out = &mut evening.measures[at];
        (out.mean, out.half_width) = (Some(61.2), Some(3.0));
        (out.p10.value, out.p90.value) = (Some(-5.0), Some(78.0));
        let row = |evening: &Evening| {
            let text = plain(evening, Units::Metric);
            let mut lines = text
                .lines()
                .skip_while(|line| !line.starts_with("  crew out"));
            let words = lines.nth(1).unwrap().split_whitespace();
            words.map(str::to_owned).collect::<Vec<_>>().join(" ")
        };
        assert_eq!(row(&evening), "by the clock 00:01 22:55 – 00:18");
        evening.measures[at].half_width = Some(40.0);
        assert_eq!(row(&evening), "by the clock 00:00 23:00 – 00:20");
    }

    #[test]
    fn the_table_of_a_friday() {
        insta::assert_snapshot!(plain(&examples::friday(), Units::Metric));
    }

    /// From the crew's columns on.
    #[test]
    fn the_cost_of_a_priced_friday() {
        let text = plain(&examples::priced(), Units::Metric);
        let (all, by_operator) = text.split_once("\nBy operator").unwrap();
        let (_, what) = all.split_once("What it cost\n").unwrap();
        let (what, _) = what.split_once("Not part").unwrap();
        let (_, by_part) = by_operator.split_once("\nCost by part").unwrap();
        let (by_part, _) = by_part.split_once("\n\n").unwrap();
        let (by_operator, _) = by_operator.split_once("\n\n").unwrap();
        insta::assert_snapshot!(format!(
            "What it cost\n{what}\nBy operator{by_operator}\n\nCost by part{by_part}"
        ));
    }

    #[test]
    fn no_line_is_wider_than_a_terminal() {
        let text = plain(&examples::priced(), Units::Us);
        let widest = text.lines().map(|l| l.chars().count()).max().unwrap();
        assert!(widest <= 100, "{widest}");
    }

    /// No two figures of a row touch, whatever they come to.
    #[test]
    fn costs_above_a_million_stay_apart() {
        let mut evening = examples::priced();
        let groups = evening.groups.iter_mut().flat_map(|g| &mut g.measures);
        for e in groups.chain(&mut evening.measures) {
            let values = [&mut e.p10.value, &mut e.p90.value, &mut e.mean];
            for value in values.into_iter().chain([&mut e.half_width]) {
                if e.info.unit == "money" {
                    *value = value.map(|v| 12_345.678 * v);
                }
            }
        }
        let text = plain(&evening, Units::Metric);
        let words = |row: &str| -> Vec<String> {
            // The last of that name: labour has hours, too.
            let mut lines = text.lines().rev();
            let found = lines.find(|l| l.trim_start().starts_with(row));
            let after = found.unwrap().trim_start().strip_prefix(row).unwrap();
            after.split_whitespace().map(str::to_owned).collect()
        };
        let of = |m: Measure| {
            evening
                .measures
                .iter()
                .find(|e| e.info == m.info())
                .unwrap()
        };
        let cost = Cells::of(of(Measure::Cost), Units::Metric);
        assert!(of(Measure::Cost).mean.unwrap() > 6e6);
        let spread: Vec<&str> = cost.spread.split(' ').collect();
        let half_width = cost.half_width.unwrap();
        let expected = [
            &[cost.mean.as_str(), "±", half_width.as_str()],
            &spread[..],
            &["money"],
        ];
        assert_eq!(words("cost  "), expected.concat());
        let labour = evening.groups.iter().find(|g| g.name == "labour").unwrap();
        let cells = labour
            .measures
            .iter()
            .map(|e| Cells::of(e, Units::Metric).mean);
        assert_eq!(words("labour  "), cells.collect::<Vec<_>>());
        let loader = evening.groups.iter().find(|g| g.name == "loader").unwrap();
        let cells = loader
            .measures
            .iter()
            .filter(|e| e.mean.is_some())
            .map(|e| Cells::of(e, Units::Metric).mean);
        assert_eq!(words("loader  "), cells.collect::<Vec<_>>());
    }

    #[test]
    fn an_interrupted_and_an_unfinished_evening_say_so() {
        let mut evening = examples::friday();
        (
            evening.interrupted,
            evening.replications,
            evening.unfinished,
        ) = (true, 37, 4);
        let text = plain(&evening, Units::Metric);
        assert!(text.contains("INTERRUPTED after 37 of 200 evenings"));
        assert!(text.contains("UNFINISHED: 4 of 37 evenings"));
    }

    #[test]
    fn one_evening_has_no_interval() {
        let mut evening = examples::friday();
        evening.replications = 1;
        for e in &mut evening.measures {
            (e.n, e.half_width, e.sd) = (1, None, None);
            (e.p10, e.p90) = Default::default();
        }
        let text = plain(&evening, Units::Metric);
        let seated = text.lines().find(|l| l.contains("guests seated")).unwrap();
        assert!(!seated.contains('±'), "{seated}");
        assert!(seated.contains(" - "), "{seated}");
        assert!(text.contains("one evening alone has no interval"), "{text}");
        assert!(!text.contains("were alike"), "{text}");
    }

    #[test]
    fn nothing_is_washed_without_a_machine() {
        let mut evening = examples::friday();
        assert!(plain(&evening, Units::Metric).contains("  pieces washed "));
        let is_of_machine = |kind| kind == crate::service::series::SeriesKind::MachinesRunning;
        evening.series.retain(|band| !is_of_machine(band.info.kind));
        let text = plain(&evening, Units::Metric);
        assert!(
            text.contains("  pieces passed on ") && text.contains("  wait, mean "),
            "{text}"
        );
        assert!(
            !text.contains("  pieces washed ") && !text.contains("wait to wash"),
            "{text}"
        );
    }

    #[test]
    fn water_is_in_gallons_only_for_the_united_states() {
        let mut evening = examples::friday();
        let water = Measure::Water as usize;
        evening.measures[water] = examples::estimate(Measure::Water.info(), 200, 2000.0, 100.0);
        assert!(plain(&evening, Units::Metric).contains("2000 ± 14"));
        let us = plain(&evening, Units::Us);
        assert!(
            us.lines()
                .any(|l| l.contains("water") && l.ends_with("gal")),
            "{us}"
        );
    }

    #[test]
    fn escapes_in_a_title_do_not_reach_the_terminal() {
        let mut evening = examples::friday();
        evening.title = "Friday\u{1b}[2J".to_owned();
        assert!(!table(&evening, Units::Metric, Width::FIXED).contains("\u{1b}[2J"));
    }
}
