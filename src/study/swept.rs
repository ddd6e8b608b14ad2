//! A study as played, in plain data: what varies, what was measured at every design point, what was
//! wanted. `report` draws from this and from nothing else.
//!
//! Values are in the units of the measures (`service::measure`); what does not exist is `None`.

use crate::scenario::wording::Wording;
use crate::service::measure::MeasureInfo;

/// A factor of a study: what varies.
#[derive(Debug, Clone, PartialEq)]
pub struct Factor {
    /// What it is called.
    pub name: String,
    /// Unit of the levels' numbers, empty if none.
    pub unit: String,
    /// Its levels, in the order of the study.
    pub levels: Vec<Level>,
    /// The level that the base scenario has; `None` if that is none of a list, or not one value.
    pub base: Option<Level>,
}

/// A level: a number, or a word (named bundle, roster name, site).
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// As people read it.
    pub text: String,
    /// In the factor's unit, if it is a number.
    pub number: Option<f64>,
}

/// An estimate of one measure at one design point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Mean over replications.
    pub mean: Option<f64>,
    /// Half-width of its 95 % interval.
    pub half_width: Option<f64>,
    /// Replications that had a value.
    pub n: u64,
}

/// A study as played: `cells[point][measure]`, and which level of each factor a point has.
#[derive(Debug, Clone, PartialEq)]
pub struct Swept {
    /// Title of the study.
    pub title: String,
    /// File stem of the study.
    pub name: String,
    /// What the base calls its service and its money.
    pub wording: Wording,
    /// Base seed.
    pub seed: u64,
    /// What varies.
    pub factors: Vec<Factor>,
    /// What was measured.
    pub measures: Vec<&'static MeasureInfo>,
    /// Of each design point, the level of each factor, as an index into [`Factor::levels`].
    pub points: Vec<Vec<usize>>,
    /// Of each design point, an estimate of each measure.
    pub cells: Vec<Vec<Cell>>,
    /// Of each design point, whether some of its evenings were cut off unfinished; empty if none was anywhere.
    pub unfinished: Vec<bool>,
    /// Of each design point, whether it misses a target of safety by its estimates.
    pub dangerous: Vec<bool>,
    /// What the measures should keep to; shown as a line or an outline.
    pub targets: Vec<Target>,
    /// Of each design point, whether it meets every target of the study by its estimates, those of means
    /// and those of shares of evenings; empty if the study has none.
    pub keeping: Vec<bool>,
    /// One factor at a time, for the tornado.
    pub swings: Vec<Swing>,
}

/// What may be said of a design point by its estimates.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Verdict {
    /// Whether some of its evenings were cut off unfinished.
    pub is_cut_off: bool,
    /// Whether it meets every target of the study.
    pub keeps: bool,
    /// Whether it misses a target of safety.
    pub is_unsafe: bool,
}

/// What a measure should keep to, in the measure's unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// Index into [`Swept::measures`].
    pub measure: usize,
    /// Upper bound of the mean, or of the evenings.
    pub at_most: Option<f64>,
    /// Lower bound of the mean, or of the evenings.
    pub at_least: Option<f64>,
    /// In this share of the evenings; of the mean if there is none.
    pub in_share: Option<f64>,
}

/// How a factor moves a measure from the base, the others left alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Swing {
    /// Index into [`Swept::factors`].
    pub factor: usize,
    /// Index into [`Swept::measures`].
    pub measure: usize,
    /// Lower level.
    pub low: Level,
    /// Upper level.
    pub high: Level,
    /// At the base.
    pub at_base: Cell,
    /// At the lower level.
    pub at_low: Cell,
    /// At the upper level.
    pub at_high: Cell,
    /// 95 % half-width of the paired difference of the lower level to the base.
    pub low_half_width: Option<f64>,
    /// The same of the upper level.
    pub high_half_width: Option<f64>,
}
