//! One simulated service.

pub mod measure;
pub mod series;
