//! What there is to say about a key of a file: one row of the table of [`super::fields`].
//!
//! A row says what the key is, its kind with unit and limits, what holds when it is left out, and where
//! that default comes from. Rows stand in [`super::model`], each with the member that holds its value.
//!
//! Paths: `drop_off.tubs` is a key of a table, `roster[].count` a key of each row of a list.

use super::units::{self, Dimension};

/// A key of a scenario file.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// Where it stands, with `[]` for the rows of a list.
    pub path: &'static str,
    /// What it is, in plain words.
    pub what: &'static str,
    /// What may be given.
    pub kind: Kind,
    /// What holds when it is left out.
    pub unset: Unset,
    /// Where the default comes from.
    pub source: &'static str,
    /// Only for rows whose `kind` is this.
    pub only: Option<&'static str>,
    /// The keys of its rows or of its table.
    pub below: &'static [Self],
}

/// Limits of a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// The least.
    pub least: f64,
    /// The most.
    pub most: f64,
    /// Whether the least itself is too little.
    pub above: bool,
    /// Whether the most itself is too much.
    pub below: bool,
}

/// A number with a unit, and its limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    /// What it measures.
    pub dimension: Dimension,
    /// The unit of the limits, and the one shown.
    pub unit: &'static str,
    /// Limits, in that unit.
    pub bounds: Bounds,
}

/// What may be given for a key.
#[derive(Debug, Clone, Copy)]
pub enum Kind {
    /// Text with a unit.
    Quantity(Quantity),
    /// A number without a unit.
    Number(Bounds),
    /// A whole number from the first to the second.
    Whole(u32, u32),
    /// A share: `0.3` or `"30 %"`.
    Share(Bounds),
    /// Any text.
    Text,
    /// The name of a row, unique in its list.
    Name,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// `true` or `false`.
    Flag,
    /// `"18:30"`.
    TimeOfDay,
    /// A time that may vary; limits of its mean, in seconds or minutes.
    Time(Quantity),
    /// A whole number of places, or a length; the least and most number, and the limits of the length.
    Places(u32, u32, Quantity),
    /// The name of a row of that list.
    Reference(&'static str),
    /// Names of rows of that list.
    References(&'static str),
    /// A list of duties.
    Duties,
    /// The name of a CSV file.
    File,
    /// The name of the scenario file this one starts from.
    BasedOn,
    /// The names of files whose rows are taken in.
    Include,
    /// The version of the language that the file is written in.
    Version,
    /// A list of tables; whether its rows have names, and how many rows at most.
    Rows(bool, usize),
    /// A table.
    Table,
    /// A place on the plan.
    Position,
    /// The name of a measure; only in studies.
    Measure,
    /// Any value, held against something else than this table; what it looks like. Only in studies.
    Any(&'static str),
}

impl Kind {
    /// Whether it is a table, or a list of tables, with keys of its own.
    #[must_use]
    pub const fn has_keys(self) -> bool {
        matches!(self, Self::Table | Self::Rows(..))
    }
}

/// What holds when a key is left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unset {
    /// It must be given.
    Required,
    /// That part does not exist, or is not limited.
    Absent,
    /// This text.
    Text(&'static str),
    /// This number.
    Number(f64),
    /// This whole number.
    Whole(u32),
    /// This.
    Flag(bool),
    /// A lognormal time of this mean and coefficient of variation.
    Lognormal(&'static str, f64),
    /// An empty list, or a table of defaults.
    Empty,
    /// Worked out from other keys, as it says.
    Worked(&'static str),
}

/// A row of the table.
pub(super) const fn row(
    path: &'static str,
    what: &'static str,
    kind: Kind,
    unset: Unset,
    source: &'static str,
) -> Field {
    Field {
        path,
        what,
        kind,
        unset,
        source,
        only: None,
        below: &[],
    }
}

/// A row that must be given.
pub(super) const fn need(path: &'static str, what: &'static str, kind: Kind) -> Field {
    row(path, what, kind, Unset::Required, "")
}

/// A row that may be left out, and then is not there.
pub(super) const fn may(path: &'static str, what: &'static str, kind: Kind) -> Field {
    row(path, what, kind, Unset::Absent, "")
}

impl Field {
    /// The same, only for rows of that kind.
    pub(super) const fn only(mut self, kind: &'static str) -> Self {
        self.only = Some(kind);
        self
    }

    /// The last part of the path: the word in the file.
    #[must_use]
    pub fn key(&self) -> &'static str {
        self.path.rsplit('.').next().unwrap_or(self.path)
    }

    /// The words that may be given; none where anything else may.
    #[must_use]
    pub const fn words(&self) -> &'static [&'static str] {
        match self.kind {
            Kind::Choice(words) => words,
            _ => &[],
        }
    }

    /// The keys of its rows or of its table.
    #[must_use]
    pub fn children(&self) -> Vec<&'static Field> {
        self.below.iter().collect()
    }

    /// The same, with the keys of the type that holds its value.
    pub(super) const fn holding(mut self, below: &'static [Self]) -> Self {
        self.below = below;
        self
    }
}

pub(super) const COMMON: &str = "common practice, no source";
pub(super) const ASSUMPTION: &str = "an assumption";
pub(super) const INVENTED: &str = "invented";

pub(super) const fn within(least: f64, most: f64) -> Bounds {
    Bounds {
        least,
        most,
        above: false,
        below: false,
    }
}

pub(super) const fn above(least: f64, most: f64) -> Bounds {
    Bounds {
        least,
        most,
        above: true,
        below: false,
    }
}

pub(super) const fn between(least: f64, most: f64) -> Bounds {
    Bounds {
        least,
        most,
        above: true,
        below: true,
    }
}

pub(super) const fn quantity(dimension: Dimension, unit: &'static str, bounds: Bounds) -> Quantity {
    Quantity {
        dimension,
        unit,
        bounds,
    }
}

/// Seconds within limits.
pub(super) const fn seconds(least: f64, most: f64) -> Kind {
    Kind::Quantity(quantity(Dimension::Time, "s", within(least, most)))
}

/// Minutes within limits.
pub(super) const fn minutes(least: f64, most: f64) -> Kind {
    Kind::Quantity(quantity(Dimension::Time, "min", within(least, most)))
}

/// A time that may vary, its mean in seconds within limits.
pub(super) const fn varying_s(least: f64, most: f64) -> Kind {
    Kind::Time(quantity(Dimension::Time, "s", within(least, most)))
}

/// A length within limits, in that unit.
pub(super) const fn length(unit: &'static str, least: f64, most: f64) -> Kind {
    Kind::Quantity(quantity(Dimension::Length, unit, within(least, most)))
}

/// A mass within limits, in that unit.
pub(super) const fn mass(unit: &'static str, least: f64, most: f64) -> Kind {
    Kind::Quantity(quantity(Dimension::Mass, unit, within(least, most)))
}

/// A flow up to 100 L/min, above nothing.
pub(super) const FLOW: Kind = Kind::Quantity(quantity(Dimension::Flow, "L/min", above(0.0, 100.0)));

/// Places: how many, or a length up to 100 m.
pub(super) const fn places(least: u32, most: u32) -> Kind {
    Kind::Places(
        least,
        most,
        quantity(Dimension::Length, "m", within(0.0, 100.0)),
    )
}

/// How many may work at a bench.
pub(super) const WORKERS: Kind = Kind::Whole(1, 64);
/// Time for each unit of work.
pub(super) const UNIT: Kind = varying_s(0.0, 3_600.0);
/// Pieces taken up at once.
pub(super) const BATCH: Kind = Kind::Whole(1, 10_000);
pub(super) const CORNER: &str = "the corner of the plan: no walking";
pub(super) const NO_EXTRA: &str = "nothing besides the seconds per piece";

/// Pieces, tubs and the like.
pub(super) const MANY: u32 = 1_000_000;

impl Bounds {
    /// Whether a number is within the limits; what is not a number is not.
    #[must_use]
    pub fn holds(&self, value: f64) -> bool {
        let low = if self.above {
            value > self.least
        } else {
            value >= self.least
        };
        let high = if self.below {
            value < self.most
        } else {
            value <= self.most
        };
        low && high
    }

    /// In words: "at least 0 s and at most 60 s".
    #[must_use]
    pub fn words(&self, unit: &str) -> String {
        let space = if unit.is_empty() { "" } else { " " };
        let low = if self.above { "more than" } else { "at least" };
        let high = if self.below { "less than" } else { "at most" };
        format!(
            "{low} {}{space}{unit} and {high} {}{space}{unit}",
            self.least, self.most
        )
    }
}

impl Quantity {
    /// Limits in SI; the unit of every row of the table exists, as a test checks.
    #[must_use]
    pub fn bounds_si(&self) -> Bounds {
        let to_si =
            |value| units::find(self.unit, self.dimension).map_or(value, |u| u.to_si(value));
        Bounds {
            least: to_si(self.bounds.least),
            most: to_si(self.bounds.most),
            ..self.bounds
        }
    }

    /// Limits in words.
    #[must_use]
    pub fn words(&self) -> String {
        self.bounds.words(self.unit)
    }

    /// An example within the limits.
    #[must_use]
    pub fn example(&self) -> &'static str {
        match (self.dimension, self.unit) {
            (Dimension::Length, "um") => "150 um",
            (Dimension::Length, _) => "20 in",
            (Dimension::Time, "s") => "18 s",
            (Dimension::Time, "h") => "6 h",
            (Dimension::Time, _) => "5 min",
            (Dimension::Speed, "m/s") => "1.2 m/s",
            (Dimension::Speed, _) => "6 ft/min",
            (Dimension::Temperature, _) => "24 °C",
            (Dimension::Volume, _) => "80 L",
            (Dimension::Flow, _) => "9.5 L/min",
            (Dimension::Power, _) => "15 kW",
            (Dimension::Mass, "g") => "2 g",
            (Dimension::Mass, _) => "0.5 kg",
            (Dimension::Dose, _) => "2 g/L",
            (Dimension::Part, _) => "0.3 mL/L",
            (Dimension::Warmth, _) => "10 K",
        }
    }
}
