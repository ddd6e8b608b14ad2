//! What a person wrote: fields, units, `based_on`, checks.

pub mod model;
