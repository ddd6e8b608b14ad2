//! An alternative in one plain sentence: what it buys, what it costs, and what of it could be luck.
//!
//! Who does it: what was changed, if that is a thing or two; the alternative's title otherwise. What is
//! claimed is what Holm's verdicts allow of the headline measures together.

use super::comparison::{Alternative, Comparison};
use super::difference::{Difference, Verdict};
use crate::service::measure::Measure;
use crate::study::sentence::rounded;

/// Changes that are named one by one.
const FEW: usize = 2;

/// The sentence of an alternative.
#[must_use]
pub fn of(comparison: &Comparison, alternative: &Alternative) -> String {
    if comparison.replications < 2 {
        return "Fewer than two evenings were finished, so nothing can be said.".into();
    }
    let (who, several) = subject(alternative);
    let with = |verdicts: &[Verdict]| picked(comparison, alternative, verdicts);
    let luck = with(&[Verdict::Luck]);
    let mut clauses = claims(&with(&[Verdict::Less, Verdict::More]), &who, several);
    if clauses.is_empty() {
        clauses.push(no_claim(comparison, &who, several, luck.is_empty()));
        let same = with(&[Verdict::Same]);
        let names = same.iter().map(|d| words(d.measure).0.to_owned());
        clauses.extend(
            (!same.is_empty()).then(|| format!("nothing at all changes in {}", and(names))),
        );
    }
    let unclear = and(luck.into_iter().map(both));
    clauses.extend(
        (!unclear.is_empty()).then(|| format!("the difference in {unclear} could be luck")),
    );
    clauses.extend(labour(comparison, alternative));
    clauses.join("; ") + "."
}

/// The differences of the headline with one of these verdicts.
fn picked<'a>(
    comparison: &Comparison,
    alternative: &'a Alternative,
    verdicts: &[Verdict],
) -> Vec<&'a Difference> {
    let headline = comparison.headline.iter();
    headline
        .map(|measure| &alternative.differences[*measure as usize])
        .filter(|difference| {
            let judged = difference.judged;
            judged.is_some_and(|judged| verdicts.contains(&judged.verdict))
        })
        .collect()
}

/// What it takes from where to where, then what it costs.
fn claims(certain: &[&Difference], who: &str, several: bool) -> Vec<String> {
    let (costs, takes): (Vec<&Difference>, Vec<&Difference>) = certain
        .iter()
        .copied()
        .partition(|difference| difference.measure == Measure::Cost);
    let mut clauses = Vec::new();
    let mut who = who;
    if !takes.is_empty() {
        let verb = if several { "take" } else { "takes" };
        clauses.push(format!(
            "{who} {verb} {}",
            and(takes.into_iter().map(from_to))
        ));
        who = if several { "they" } else { "it" };
    }
    clauses.extend(
        costs
            .first()
            .map(|difference| cost(difference, who, several)),
    );
    clauses
}

fn no_claim(comparison: &Comparison, who: &str, several: bool, at_all: bool) -> String {
    let verb = if several { "make" } else { "makes" };
    let which = if at_all {
        ""
    } else {
        " that could not be luck"
    };
    let n = comparison.replications;
    format!("{who} {verb} no difference{which} in {n} evenings")
}

/// Who does it, and whether they are several.
fn subject(alternative: &Alternative) -> (String, bool) {
    let changes = &alternative.changes;
    match changes.len() {
        0 => (
            format!("“{}”, which has the same settings,", alternative.side.title),
            false,
        ),
        1..=FEW => {
            let words = and(changes.iter().map(|change| change.words.clone()));
            let several = changes.len() > 1 || changes[0].several;
            (capital(&words), several)
        }
        _ => (format!("“{}”", alternative.side.title), false),
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// `a`, `a and b`, `a, b and c`.
fn and(parts: impl Iterator<Item = String>) -> String {
    let mut parts: Vec<String> = parts.collect();
    match parts.pop() {
        Some(last) if parts.is_empty() => last,
        Some(last) => format!("{} and {last}", parts.join(", ")),
        None => String::new(),
    }
}

/// `dried-on ware from 17.1 % to under 0.1 %`.
fn from_to(difference: &Difference) -> String {
    let [base, other] = values(difference);
    let (noun, after) = words(difference.measure);
    format!("{noun} from {base} to {other}{after}")
}

/// `covers short of ware (34 and 32)`: for what could be luck.
fn both(difference: &Difference) -> String {
    let [base, other] = figures(difference, 0);
    let (noun, after) = words(difference.measure);
    if base == other {
        format!("{noun} ({base}{after} in both)")
    } else {
        format!("{noun} ({base} and {other}{after})")
    }
}

/// The cost, as what is paid or saved, to the digits that its interval supports.
fn cost(difference: &Difference, who: &str, several: bool) -> String {
    let mean = difference.mean.unwrap_or(0.0);
    let decimals = match difference.half_width.unwrap_or(0.0) {
        wide if wide >= 10.0 => 0,
        wide if wide >= 0.1 => 1,
        _ => 2,
    };
    let money = |amount: Option<f64>| format!("{:.decimals$}", amount.unwrap_or(0.0));
    let verb = match (mean > 0.0, several) {
        (true, true) => "cost",
        (true, false) => "costs",
        (false, true) => "save",
        (false, false) => "saves",
    };
    format!(
        "{who} {verb} {}{} per service ({} instead of {})",
        money(Some(mean.abs())),
        if mean > 0.0 { " more" } else { "" },
        money(difference.other.mean),
        money(difference.base.mean)
    )
}

/// What stands for the cost where one of the two has no prices: the labour.
fn labour(comparison: &Comparison, alternative: &Alternative) -> Option<String> {
    let of = |measure: Measure| &alternative.differences[measure as usize];
    let is_wanted = comparison.headline.contains(&Measure::Cost);
    let hours = of(Measure::LabourHours);
    let (base, other) = hours.base.mean.zip(hours.other.mean)?;
    let lacks_cost = is_wanted && of(Measure::Cost).pairs == 0;
    lacks_cost.then(|| {
        let hours = if hours.mean == Some(0.0) {
            format!("{base:.1} h in both")
        } else {
            format!("{other:.1} h per service instead of {base:.1} h")
        };
        format!("they do not both have prices, so there is no cost to compare; labour is {hours}")
    })
}

/// What it is called in a sentence, and what stands behind its figures.
fn words(measure: Measure) -> (&'static str, &'static str) {
    match measure {
        Measure::DriedOnShare => ("dried-on ware", ""),
        Measure::RewashedShare => ("ware washed again", ""),
        Measure::SentOutSoiledShare => ("ware sent out dirty", ""),
        Measure::WaitMean => ("the mean wait", " min"),
        Measure::WaitP95 => ("the 95th percentile of the wait", " min"),
        Measure::SoiledWaitingMean => ("what waits on average", " pieces"),
        Measure::SoiledWaitingMax => ("what piles up at most", " pieces"),
        Measure::ShortCovers => ("covers short of ware", ""),
        Measure::CrewOutAfterClose => ("the crew's way out", " min after closing"),
        Measure::LastRackAfterClose => ("the last rack", " min after closing"),
        Measure::Overtime => ("overtime", " min"),
        Measure::LabourHours => ("labour", " h"),
        Measure::Cost => ("cost", " per service"),
        _ => (measure.info().name, unit_of(measure)),
    }
}

/// The unit behind a figure, with its space; a share has its sign already.
fn unit_of(measure: Measure) -> &'static str {
    match measure.info().unit {
        "min" => " min",
        "h" => " h",
        "L" => " L",
        "kWh" => " kWh",
        "kg" => " kg",
        "racks/h" => " racks/h",
        _ => "",
    }
}

/// Decimals beyond the usual at most.
const MORE_DECIMALS: usize = 3;

/// Both means as one would say them, with more decimals if they would read the same.
fn values(difference: &Difference) -> [String; 2] {
    let mut tries = (0..=MORE_DECIMALS).map(|more| figures(difference, more));
    let differ = |[base, other]: &[String; 2]| base != other;
    tries
        .find(differ)
        .unwrap_or_else(|| figures(difference, MORE_DECIMALS))
}

/// Both means with so many decimals more than usual.
fn figures(difference: &Difference, more: usize) -> [String; 2] {
    [difference.base.mean, difference.other.mean].map(|mean| {
        mean.map_or_else(
            || "-".to_owned(),
            |mean| said(mean, difference.measure.info().unit, more),
        )
    })
}

fn said(mean: f64, unit: &str, more: usize) -> String {
    match unit {
        "1" if mean <= 0.0 => "none".to_owned(),
        "1" if mean < 0.001 && more == 0 => "under 0.1 %".to_owned(),
        "1" => format!("{:.*} %", 1 + more, 100.0 * mean),
        "money" => plain(mean, more + if mean.abs() < 100.0 { 2 } else { 0 }),
        _ if mean.abs() < 10.0 => plain(mean, 1 + more),
        _ if mean < 0.0 || more > 0 => plain(mean, more),
        _ => rounded(mean),
    }
}

/// With so many decimals, without those that are nought, and without a sign before nothing.
fn plain(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    let is_nothing = !text.contains(|c| ('1'..='9').contains(&c));
    if is_nothing {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::scenario::load_changed;
    use crate::study::compare::{HEADLINE, compare};
    use crate::study::{Plan, Watch};

    /// The late supper with `base` against the same with `other`, 40 evenings.
    fn sentence(base: &str, other: &str) -> String {
        let path = Path::new("tests/late-supper.toml");
        let load = |text| load_changed(path, text).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let scenarios = [load(base), load(other)];
        let compared = compare(&scenarios, &Plan::new(40), &HEADLINE, &Watch::default());
        compared.unwrap().alternatives[0].sentence.clone()
    }

    const PRICES: &str = "[prices]\nlabour = 12\n";
    const HELPERS: &str = "[[roster]]\nname = \"helper\"\ncount = 2\nfrom = \"22:00\"\nto = \"00:30\"\n\
                           duties = [\"scrape\", \"load\", \"put-away\"]\n";

    /// Two helpers of two hours and a half at 12 an hour are 60.
    #[test]
    fn what_it_buys_and_what_it_costs() {
        let said = sentence(PRICES, &format!("{PRICES}{HELPERS}"));
        assert!(
            said.starts_with("2 helpers from 22:00 to 00:30 take "),
            "{said}"
        );
        assert!(
            said.contains("; they cost 60.00 more per service ("),
            "{said}"
        );
    }

    #[test]
    fn what_is_saved_is_no_cost() {
        let said = sentence(&format!("{PRICES}{HELPERS}"), PRICES);
        let start = "Doing without 2 helpers from 22:00 to 00:30 takes ";
        assert!(said.starts_with(start), "{said}");
        assert!(said.contains("; it saves 60.00 per service ("), "{said}");
    }

    #[test]
    fn what_would_read_the_same_gets_more_decimals() {
        let [seen, close] = [(17.2, 20.9), (17.23, 17.31)].map(|(base, other)| {
            let mean = |mean| super::super::difference::Mean {
                mean: Some(mean),
                ..Default::default()
            };
            let mut difference = super::super::difference::of(Measure::WaitMean, &[], &[]);
            (difference.base, difference.other) = (mean(base), mean(other));
            difference
        });
        assert_eq!(from_to(&seen), "the mean wait from 17 to 21 min");
        assert_eq!(from_to(&close), "the mean wait from 17.2 to 17.3 min");
        assert_eq!(both(&close), "the mean wait (17 min in both)");
        assert_eq!(said(0.0004, "1", 0), "under 0.1 %");
        assert_eq!(said(0.0004, "1", 1), "0.04 %");
    }

    #[test]
    fn what_changes_nothing_says_so() {
        let said = sentence(PRICES, PRICES);
        let start = "“Late supper”, which has the same settings, makes no difference in 40 evenings; \
                     nothing at all changes in dried-on ware, ";
        assert!(said.starts_with(start) && !said.contains("luck"), "{said}");
    }

    #[test]
    fn what_could_be_luck_is_called_that() {
        let lane = "[[machine]]\nname = \"conveyor\"\ndrain = \"31 s\"\n";
        let said = sentence("", lane);
        let start = "Changing `machine[conveyor].drain` from 30 s to 31 s makes no difference that could \
                     not be luck in 40 evenings; ";
        assert!(said.starts_with(start), "{said}");
        assert!(
            said.contains(" could be luck; they do not both have prices"),
            "{said}"
        );
    }
}
