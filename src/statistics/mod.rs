//! Estimates from replications, and how far to trust them: pure functions.
//!
//! What goes in: values of one measure, one a replication, in index order. What comes out: means,
//! quantiles, differences, each with its interval. Where an interval does not exist the answer is
//! `None`, never a NaN and never a zero that looks like certainty.
//!
//! - [`interval`]: means with Student intervals, shares with Wilson intervals.
//! - [`quantile`]: sample quantiles with order-statistic intervals.
//! - [`paired`]: differences between two scenarios, paired or not; Holm over several.
//! - [`stratified`]: differences where some kinds of replications were taken more often.
//! - [`precision`]: whether a mean is known well enough to stop.
//! - [`likelihood`]: whether a mean is below a limit, for data of any shape.
//! - [`sequential`]: which side of a limit a share lies on, looking after every observation.
//! - [`selection`]: the best of several systems that meet targets, with a guarantee.
//! - [`equal_allocation`]: what that would take with as many replications of each.
//!
//! A `level` is the confidence of a two-sided interval, 0.95 for 95 %.
//!
//! ```
//! use scullery::statistics::interval::Sample;
//!
//! let sample = Sample::of(&[1.20, 1.50, 1.68, 1.89, 0.95, 1.49, 1.58, 1.55, 0.50, 1.09]).unwrap();
//! assert!((sample.mean - 1.343).abs() < 1e-9);
//! assert!((sample.half_width(0.90).unwrap() - 0.2373).abs() < 5e-5);
//! ```

pub mod equal_allocation;
pub mod interval;
pub mod likelihood;
pub mod paired;
pub mod precision;
pub mod quantile;
pub mod selection;
pub mod sequential;
pub mod stratified;
