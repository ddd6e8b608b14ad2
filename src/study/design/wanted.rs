//! What a study wants: measures by name, targets, and how the cheapest design is to be chosen.

use crate::scenario::mistakes::{Mistake, Sort};
use crate::scenario::sources::Place;
use crate::scenario::suggest;
use crate::scenario::tree::{Node, Table, Value};
use crate::scenario::units;
use crate::scenario::wording::Wording;
use crate::service::measure::{MEASURES, Measure, MeasureInfo};
use crate::words::measures::label;
use crate::words::study as words;

/// What a design must meet: a measure at most or at least so much, in the mean or in a share of the
/// evenings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// The measure.
    pub measure: Measure,
    /// The limit, in the unit of the measure.
    pub limit: Limit,
    /// In this share of the evenings; in the mean if there is none.
    pub in_share: Option<f64>,
    /// By how much it may be missed without harm: an amount of the measure, or of the share of the
    /// evenings where `in_share` is given.
    pub tolerance: Option<f64>,
}

/// Which side of a limit is good.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// No more than this.
    AtMost(f64),
    /// No less than this.
    AtLeast(f64),
}

impl Limit {
    /// Whether a value meets it.
    #[must_use]
    pub fn holds(self, value: f64) -> bool {
        match self {
            Self::AtMost(limit) => value <= limit,
            Self::AtLeast(limit) => value >= limit,
        }
    }

    /// In words: "at most 3 %" in the unit of the measure.
    #[must_use]
    pub fn words(self, info: &MeasureInfo) -> String {
        self.in_unit(info.unit)
    }

    fn in_unit(self, unit: &str) -> String {
        let (is_upper, limit) = match self {
            Self::AtMost(limit) => (true, limit),
            Self::AtLeast(limit) => (false, limit),
        };
        words::limit(is_upper, limit, unit)
    }
}

impl Target {
    /// Whether a design that misses it is unsafe.
    #[must_use]
    pub const fn is_safety(&self) -> bool {
        matches!(
            self.measure,
            Measure::UnderTemperatureRacks | Measure::OldWaterRacks | Measure::FinishedShare
        )
    }

    /// In words: "covers that had to wait for ware: at most 0 covers in 95 % of evenings".
    #[must_use]
    pub fn words(&self, wording: &Wording) -> String {
        self.words_in(wording, wording.unit(self.measure.info().unit), |value| {
            value
        })
    }

    /// The same with the limit in another unit.
    pub fn words_in(&self, wording: &Wording, unit: &str, in_it: impl Fn(f64) -> f64) -> String {
        let info = self.measure.info();
        // "At least 100 % in 99 % of evenings" is no way to say it of what is either done or not.
        let said = match (self.measure, self.in_share) {
            (Measure::FinishedShare, Some(share)) => {
                let limit = Limit::AtLeast(share).in_unit(unit);
                words::target(&label(info), &limit, None)
            }
            (Measure::RulesBroken, Some(share)) => {
                let limit = Limit::AtMost(libm::round(1e6 * (1.0 - share)) / 1e6).in_unit(unit);
                words::target(&label(info), &limit, None)
            }
            _ => {
                let limit = match self.limit {
                    Limit::AtMost(limit) => Limit::AtMost(in_it(limit)),
                    Limit::AtLeast(limit) => Limit::AtLeast(in_it(limit)),
                };
                words::target(&label(info), &limit.in_unit(unit), self.in_share)
            }
        };
        wording.said(&said).into_owned()
    }
}

/// What is best in a measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seeks {
    /// The least of it.
    Least,
    /// The most of it.
    Largest,
}

impl Seeks {
    /// A value as it is compared: less is better.
    #[must_use]
    pub fn turned(self, value: f64) -> f64 {
        match self {
            Self::Least => value,
            Self::Largest => -value,
        }
    }

    /// "least" or "largest": the contract of JSON.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Least => "least",
            Self::Largest => "largest",
        }
    }
}

/// How the best design that meets all targets is chosen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choose {
    /// The measure that is to be least or largest.
    pub measure: Measure,
    /// Which of the two.
    pub seeks: Seeks,
    /// A difference of it too small to matter, in its unit.
    pub indifference: f64,
    /// Confidence of the choice.
    pub confidence: f64,
    /// Replications of each design before any is dropped.
    pub first: u64,
    /// The rarest event that is looked for, as a share of the evenings.
    pub rarest: f64,
    /// Replications of a design at most.
    pub most: u64,
}

/// A measure by its name.
pub fn measure(node: &Node, mistakes: &mut Vec<Mistake>) -> Option<Measure> {
    let names: Vec<&str> = MEASURES.iter().map(|info| info.name).collect();
    let found = node
        .text()
        .and_then(|text| Measure::ALL.into_iter().find(|m| m.info().name == text));
    if found.is_none() {
        let title = match node.text() {
            Some(text) => format!("there is no measure \"{text}\""),
            None => "a measure is given by its name, in quotes".to_string(),
        };
        let near = node.text().and_then(|text| suggest::nearest(text, &names));
        let help = near.map_or_else(
            || "`scullery simulate --help` lists all measures".to_string(),
            |name| format!("did you mean \"{name}\"?"),
        );
        let mistake = Mistake::new(Sort::Value, title).at(&node.place, "not the name of a measure");
        mistakes.push(mistake.help(help));
    }
    found
}

/// The list of measures.
pub fn measures(node: &Node, mistakes: &mut Vec<Mistake>) -> Vec<Measure> {
    let Value::List(items) = &node.value else {
        let mistake = Mistake::new(Sort::Value, "`measures` must be a list of names")
            .at(&node.place, format!("this is {}", node.sort()))
            .help("write it like [\"wait_mean_min\", \"dried_on_share\"]");
        mistakes.push(mistake);
        return Vec::new();
    };
    if items.is_empty() {
        let mistake = Mistake::new(Sort::Value, "`measures` is empty")
            .at(&node.place, "nothing is wanted")
            .help("name at least one measure, such as [\"wait_mean_min\"]");
        mistakes.push(mistake);
    }
    let mut list: Vec<Measure> = Vec::new();
    for item in items {
        let Some(found) = measure(item, mistakes) else {
            continue;
        };
        if list.contains(&found) {
            let title = format!("the measure \"{}\" is named twice", found.info().name);
            let mistake = Mistake::new(Sort::Value, title).at(&item.place, "the second");
            mistakes.push(mistake.help("name each measure once"));
        } else {
            list.push(found);
        }
    }
    list
}

fn unit_of(info: &MeasureInfo) -> Option<&'static units::Unit> {
    let mut units = units::UNITS.iter();
    units.find(|unit| unit.names.contains(&info.unit))
}

/// The amount of a measure in a text with its unit, or another of its dimension; of shares per cent.
#[must_use]
pub fn amount_of(text: &str, info: &MeasureInfo) -> Option<f64> {
    match unit_of(info) {
        _ if info.unit == "1" => units::percent(text),
        Some(unit) => units::quantity(text, unit.dimension)
            .ok()
            .map(|si| super::scale::tidy(unit.from_si(si))),
        None => text
            .trim()
            .strip_suffix(info.unit)
            .and_then(|number| number.trim().parse().ok()),
    }
}

/// The amount of a measure: a number in its unit, or text with one; of shares also per cent.
pub fn amount(node: &Node, info: &MeasureInfo, mistakes: &mut Vec<Mistake>) -> Option<f64> {
    let found = match &node.value {
        Value::Whole(number) => Some(*number as f64),
        Value::Number(number) => Some(*number),
        Value::Text(text) => amount_of(text, info),
        _ => None,
    };
    let unit = unit_of(info);
    let found = found.filter(|number| number.is_finite());
    if found.is_none() {
        let like = match (info.unit, unit) {
            ("1", _) => "0.03 or \"3 %\"".to_string(),
            (name, Some(_)) => format!("45 or \"45 {name}\""),
            (name, None) => format!("12, in {name}"),
        };
        let title = format!("this is no amount of `{}`", info.name);
        let mistake = Mistake::new(Sort::Value, title)
            .at(&node.place, format!("this is {}", node.sort()))
            .help(format!("write it like {like}"));
        mistakes.push(mistake);
    }
    found
}

/// A row of the targets, whose shape has been checked.
pub fn target(
    table: &Table,
    place: &Place,
    in_share: Option<f64>,
    mistakes: &mut Vec<Mistake>,
) -> Option<Target> {
    let node = |key: &str| table.get(key).map(|entry| &entry.node);
    let measure = measure(node("measure")?, mistakes)?;
    let info = measure.info();
    let limit = match (node("at_most"), node("at_least")) {
        (Some(most), None) => Limit::AtMost(possible(most, measure, mistakes)?),
        (None, Some(least)) => Limit::AtLeast(possible(least, measure, mistakes)?),
        (most, least) => {
            let both = most.is_some() && least.is_some();
            let title = if both {
                "a target has one limit"
            } else {
                "a target needs a limit"
            };
            let mistake = Mistake::new(Sort::Missing, title).at(place, "this target");
            mistakes.push(
                mistake.help("give either `at_most` or `at_least`; for both, write two targets"),
            );
            return None;
        }
    };
    let of_evenings = MeasureInfo { unit: "1", ..*info };
    let unit = if in_share.is_some() {
        &of_evenings
    } else {
        info
    };
    let tolerance = match node("tolerance") {
        Some(node) => {
            let amount = not_below_0(node, amount(node, unit, mistakes)?, mistakes)?;
            Some(if unit.unit == "1" {
                share(node, amount, mistakes)?
            } else {
                amount
            })
        }
        None => None,
    };
    Some(Target {
        measure,
        limit,
        in_share,
        tolerance,
    })
}

/// A limit that the measure can reach: one that it cannot reach is met always or never, which nobody means.
fn possible(node: &Node, measure: Measure, mistakes: &mut Vec<Mistake>) -> Option<f64> {
    let info = measure.info();
    let number = amount(node, info, mistakes)?;
    if info.unit == "1" {
        return share(node, number, mistakes);
    }
    if number >= 0.0 || measure.can_be_below_0() {
        return Some(number);
    }
    let title = format!("`{}` is never below 0", info.name);
    let mistake = Mistake::new(Sort::Value, title).at(&node.place, "too little");
    mistakes.push(mistake.help("give 0 or more"));
    None
}

/// A number that is a share.
fn share(node: &Node, number: f64, mistakes: &mut Vec<Mistake>) -> Option<f64> {
    if (0.0..=1.0).contains(&number) {
        return Some(number);
    }
    let label = if number < 0.0 {
        "too little"
    } else {
        "too much"
    };
    let mistake = Mistake::new(Sort::Value, "a share is from 0 % to 100 %").at(&node.place, label);
    mistakes.push(mistake.help("give at least 0 and at most 1, or at least 0 % and at most 100 %"));
    None
}

/// A number that may not be below 0.
pub fn not_below_0(node: &Node, number: f64, mistakes: &mut Vec<Mistake>) -> Option<f64> {
    if number >= 0.0 {
        return Some(number);
    }
    let mistake =
        Mistake::new(Sort::Value, "this may not be below 0").at(&node.place, "too little");
    mistakes.push(mistake.help("give 0 or more"));
    None
}
