//! Factors as axes: which of them vary, in which order their levels stand, and how they are called.

use crate::report::number::finite;
use crate::study::swept::{Factor, Level, Swept};

/// No name on a chart needs more letters; the rest would not fit anywhere.
const MAX_LETTERS: usize = 160;

/// `text` without control characters and without what no chart has room for.
pub fn clean(text: &str) -> String {
    let plain = text.chars().filter(|c| !c.is_control());
    plain.take(MAX_LETTERS).collect()
}

/// A factor, its levels in the order in which a chart shows them.
#[derive(Debug, Clone)]
pub struct Axis {
    /// Index into the study's factors.
    pub factor: usize,
    /// Name.
    pub name: String,
    /// Name, with the unit unless every level carries it.
    pub title: String,
    /// The unit that the levels are written without.
    unit: Option<String>,
    /// Levels, as indices into the factor's: numbers rise, words keep their order.
    pub order: Vec<usize>,
    /// Texts of the levels, in that order.
    pub labels: Vec<String>,
    /// Numbers of the levels, in that order; empty if one of them is a word.
    pub numbers: Vec<f64>,
    /// What the base has: its number on a scale of numbers, else its place among words.
    pub base: Option<f64>,
}

impl Axis {
    /// The axis of a factor of the study.
    pub fn new(swept: &Swept, factor: usize) -> Option<Self> {
        let found = swept.factors.get(factor)?;
        let numbers: Option<Vec<f64>> = found.levels.iter().map(|l| finite(l.number)).collect();
        let numbers = numbers.unwrap_or_default();
        let mut order: Vec<usize> = (0..found.levels.len()).collect();
        if !numbers.is_empty() {
            order.sort_by(|a, b| numbers[*a].total_cmp(&numbers[*b]));
        }
        let base = found.base.as_ref().and_then(|base| {
            let is_it = |level: &usize| found.levels[*level].text == base.text;
            let place = || order.iter().position(is_it).map(|place| place as f64);
            if numbers.is_empty() {
                place()
            } else {
                finite(base.number)
            }
        });
        let label = |level: &usize| clean(&found.levels[*level].text);
        let name = capital(&clean(&found.name));
        let unit = bare_unit(found);
        Some(Self {
            factor,
            title: unit
                .as_ref()
                .map_or_else(|| name.clone(), |unit| format!("{name} ({unit})")),
            name,
            unit,
            labels: order.iter().map(label).collect(),
            numbers: if numbers.is_empty() {
                numbers
            } else {
                order.iter().map(|level| numbers[*level]).collect()
            },
            order,
            base,
        })
    }

    /// How many levels there are.
    pub fn len(&self) -> usize {
        self.order.len()
    }

    /// The place of the base among the levels, if it is one of them.
    pub fn base_place(&self) -> Option<usize> {
        let base = self.base?;
        if self.is_numeric() {
            self.numbers.iter().position(|number| *number == base)
        } else {
            Some(base as usize).filter(|place| *place < self.len())
        }
    }

    /// The level at a place as it is read away from the axis, with its unit.
    pub fn label_with_unit(&self, place: usize) -> Option<String> {
        let label = self.labels.get(place)?;
        let unit = self.unit.as_ref().filter(|_| self.is_numeric());
        Some(unit.map_or_else(|| label.clone(), |unit| format!("{label} {unit}")))
    }

    /// Whether all levels are numbers.
    pub fn is_numeric(&self) -> bool {
        !self.numbers.is_empty()
    }

    /// Where each level of the factor stands.
    pub fn places(&self) -> Vec<usize> {
        let mut places = vec![0; self.order.len()];
        for (place, level) in self.order.iter().enumerate() {
            places[*level] = place;
        }
        places
    }
}

/// The unit that the levels of a factor are written without; none if they carry it, or have none.
fn bare_unit(factor: &Factor) -> Option<String> {
    let has_own = |level: &Level| level.text.trim().parse::<f64>().is_err();
    let mut numbers = factor.levels.iter().filter(|level| level.number.is_some());
    (!factor.unit.is_empty() && !numbers.any(has_own)).then(|| clean(&factor.unit))
}

/// A level as it is read away from its axis.
pub fn with_unit(factor: &Factor, level: &Level) -> String {
    let text = clean(&level.text);
    match bare_unit(factor).filter(|_| level.number.is_some()) {
        Some(unit) => format!("{text} {unit}"),
        None => text,
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// The factors with more than one level.
pub fn varying(swept: &Swept) -> Vec<usize> {
    let factors = swept.factors.iter().enumerate();
    factors
        .filter(|(_, factor)| factor.levels.len() > 1)
        .map(|(index, _)| index)
        .collect()
}

/// The factors with one level, in words: `loaders: 2`.
pub fn fixed(swept: &Swept) -> Option<String> {
    let one = |factor: &Factor| match &factor.levels[..] {
        [level] => Some(format!(
            "{}: {}",
            clean(&factor.name),
            with_unit(factor, level)
        )),
        _ => None,
    };
    let listed: Vec<_> = swept.factors.iter().filter_map(one).collect();
    (!listed.is_empty()).then(|| format!("{}.", capital(&listed.join(", "))))
}
