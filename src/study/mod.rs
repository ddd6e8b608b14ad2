//! Many services: replicate, estimate, find.

pub mod evening;
pub mod sheet;
