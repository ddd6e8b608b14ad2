//! Sentences that sum up: an evening, an alternative of a comparison, what binds on the sheet.

pub mod binds;
pub mod changes;
pub mod comparison;
pub mod evening;
