//! What both tables of a comparison print of a measure: its words, means and differences.

use crate::report::number::{decimals, half_width_text, text};
use crate::report::units::Shown;
use crate::service::measure::Measure;
use crate::study::compare::difference::{Difference, Judged, Verdict};
use crate::words::measures::SECTIONS;
use crate::words::number::pair;
use crate::words::tables::comparison as say;

/// The words of a measure.
pub(super) fn words(measure: Measure) -> &'static str {
    let mut rows = SECTIONS.iter().flat_map(|(_, rows)| *rows);
    rows.find(|(m, _)| *m == measure)
        .map_or("", |(_, words)| words)
}

/// A difference of percentages is in points.
pub(super) fn points(unit: &'static str) -> &'static str {
    if unit == "%" { say::POINTS } else { unit }
}

/// Both means of a difference to the digits that their half-widths support, as the sentence has them: with more where a
/// certain difference would not be seen.
pub(super) fn means_text(d: &Difference, shown: Shown) -> [String; 2] {
    let is_certain = |judged: Judged| matches!(judged.verdict, Verdict::Less | Verdict::More);
    let both = [d.base, d.other];
    pair(
        both.map(|side| side.mean.map(|v| v * shown.factor + shown.offset)),
        both.map(|side| side.half_width.map(|h| h * shown.factor)),
        most(d.measure, shown),
        d.judged.is_some_and(is_certain),
    )
}

/// Decimals that a half-width supports in the unit shown.
fn places(measure: Measure, half_width: Option<f64>, shown: Shown) -> i32 {
    decimals(half_width.map(|h| h * shown.factor), most(measure, shown))
}

fn most(measure: Measure, shown: Shown) -> i32 {
    (measure.info().decimals as i32 + shown.decimals).max(0)
}

/// A difference as it is printed: with its sign, and ± its half-width.
pub(super) struct Signed {
    pub mean: String,
    pub half_width: String,
}

impl Signed {
    pub fn of(measure: Measure, mean: Option<f64>, half_width: Option<f64>, shown: Shown) -> Self {
        let places = places(measure, half_width, shown);
        // An offset of a temperature takes no part in a difference.
        let plain = text(mean.map(|v| v * shown.factor), places);
        let is_more = plain.contains(|c| ('1'..='9').contains(&c)) && !plain.starts_with('-');
        let half_width = half_width_text(half_width.map(|h| h * shown.factor), places);
        Self {
            mean: if is_more { format!("+{plain}") } else { plain },
            half_width: half_width.map_or_else(String::new, |h| format!("± {h}")),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::report::units::Units;
    use crate::scenario::load_changed;
    use crate::study::compare::{HEADLINE, compare};
    use crate::study::{Plan, Watch};

    /// "28 and 46" covers in the sentence against "30" and "50" in the table would be two answers.
    #[test]
    fn the_sentence_has_the_figures_of_the_table() {
        let path = Path::new("scenarios/friday-rush.toml");
        let load = |text| load_changed(path, text).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let fewer = "[[ware]]\nname = \"plate\"\nowned = 560\n[soak]\ntime = \"5 min\"\n";
        let scenarios = [load(""), load(fewer)];
        let compared = compare(&scenarios, &Plan::new(12), &HEADLINE, &Watch::default()).unwrap();
        let alternative = &compared.alternatives[0];
        let mut seen = 0;
        for measure in HEADLINE.iter().filter(|m| m.info().unit != "min") {
            let d = &alternative.differences[*measure as usize];
            for figure in means_text(d, Units::Metric.shown(measure.info().unit)) {
                let is_nothing = !figure.contains(|digit| ('1'..='9').contains(&digit));
                let after = |sign: &str| {
                    let start = format!("{sign}{figure}");
                    let mut ends = alternative.sentence.split(&start).skip(1);
                    ends.any(|rest| rest.starts_with([' ', ')', ';']))
                };
                let is_there = after(" ") || after("(");
                assert!(is_nothing || is_there, "{figure}: {}", alternative.sentence);
                seen += u32::from(!is_nothing);
            }
        }
        assert!(seen >= 4, "{}", alternative.sentence);
    }
}
