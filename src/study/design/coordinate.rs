//! Where the points of a study stand: which value of each factor they have.

/// Which value of a factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Coordinate {
    /// As the base scenario has it.
    Base,
    /// A level of its list.
    Level(usize),
    /// So far along its values, from 0 to below 1.
    At(f64),
}

/// The design points of a study.
#[derive(Debug, Clone)]
pub(super) enum Points {
    /// Every combination of levels.
    Grid,
    /// So many at each site; a column of coordinates a factor, none for the sites.
    Sample(u64, Vec<Vec<f64>>),
}

/// The end of a range.
pub(super) const LAST: f64 = 1.0 - f64::EPSILON;
