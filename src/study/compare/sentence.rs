//! An alternative in one plain sentence: what it buys, what it costs, and what of it could be luck.
//!
//! Who does it: what was changed, if that is a thing or two; the alternative's title otherwise. What is
//! claimed is what Holm's verdicts allow of the headline measures together.

use super::difference::{Difference, Verdict};
use super::{Alternative, Comparison};
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
    let headline: Vec<&Difference> = (comparison.headline.iter())
        .map(|measure| &alternative.differences[*measure as usize])
        .collect();
    let is = |difference: &&&Difference, verdicts: &[Verdict]| {
        difference
            .judged
            .is_some_and(|judged| verdicts.contains(&judged.verdict))
    };
    let with = |verdicts: &[Verdict]| -> Vec<&Difference> {
        headline
            .iter()
            .filter(|d| is(d, verdicts))
            .copied()
            .collect()
    };
    let certain = with(&[Verdict::Less, Verdict::More]);
    let luck = with(&[Verdict::Luck]);
    let same = with(&[Verdict::Same]);
    let (costs, takes): (Vec<&Difference>, Vec<&Difference>) = certain
        .iter()
        .copied()
        .partition(|d| d.measure == Measure::Cost);
    let mut clauses = Vec::new();
    if !takes.is_empty() {
        let verb = if several { "take" } else { "takes" };
        clauses.push(format!(
            "{who} {verb} {}",
            and(takes.iter().map(|d| from_to(d)))
        ));
    }
    let pronoun = if several { "they" } else { "it" };
    clauses.extend(
        costs
            .first()
            .map(|d| cost(d, if takes.is_empty() { &who } else { pronoun }, several)),
    );
    if clauses.is_empty() {
        let verb = if several { "make" } else { "makes" };
        let n = comparison.replications;
        let sure = if luck.is_empty() {
            format!("{who} {verb} no difference in {n} evenings")
        } else {
            format!("{who} {verb} no difference that could not be luck in {n} evenings")
        };
        clauses.push(sure);
    }
    if !luck.is_empty() {
        let names = and(luck.iter().map(|d| both(d)));
        clauses.push(format!("the difference in {names} could be luck"));
    }
    if !same.is_empty() && certain.is_empty() {
        clauses.push(format!("{} the same on every evening", are(&same)));
    }
    clauses.extend(labour(comparison, alternative));
    clauses.join("; ") + "."
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

/// `covers short of ware (31.7 and 31.2)`: for what could be luck.
fn both(difference: &Difference) -> String {
    let [base, other] = values(difference);
    let (noun, after) = words(difference.measure);
    format!("{noun} ({base} and {other}{after})")
}

fn are(same: &[&Difference]) -> String {
    let names = and(same.iter().map(|d| words(d.measure).0.to_owned()));
    format!("{names} {}", if same.len() > 1 { "are" } else { "is" })
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
        "{who} {verb} {}{} a service ({} instead of {})",
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
            format!("{other:.1} h a service instead of {base:.1} h")
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
        Measure::WaitP95 => ("the wait that 19 pieces in 20 stay under", " min"),
        Measure::SoiledWaitingMean => ("what waits on average", " pieces"),
        Measure::SoiledWaitingMax => ("what piles up at most", " pieces"),
        Measure::ShortCovers => ("covers short of ware", ""),
        Measure::CrewOutAfterClose => ("the crew's way out", " min after closing"),
        Measure::LastRackAfterClose => ("the last rack", " min after closing"),
        Measure::Overtime => ("overtime", " min"),
        Measure::LabourHours => ("labour", " h"),
        Measure::Cost => ("cost", " a service"),
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

/// Both means as one would say them: over the pairs, where not every evening has a value.
fn values(difference: &Difference) -> [String; 2] {
    [difference.base.mean, difference.other.mean].map(|mean| {
        mean.map_or_else(
            || "-".to_owned(),
            |mean| said(mean, difference.measure.info().unit),
        )
    })
}

fn said(mean: f64, unit: &str) -> String {
    match unit {
        "1" if mean <= 0.0 => "none".to_owned(),
        "1" if mean < 0.001 => "under 0.1 %".to_owned(),
        "1" => format!("{:.1} %", 100.0 * mean),
        "money" => plain(mean, if mean.abs() < 100.0 { 2 } else { 0 }),
        _ if mean.abs() < 10.0 => plain(mean, 1),
        _ if mean < 0.0 => plain(mean, 0),
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
