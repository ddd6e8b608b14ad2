//! `scullery` plays a service through a dish room, event by event, many times over.
//!
//! Data goes one way, down this list, and never back up:
//!
//! | room | holds |
//! |---|---|
//! | [`scenario`] | what a person wrote: fields, units, `based_on`, checks |
//! | [`physics`] | air, drying, wetting, washing, conveying: pure functions |
//! | [`room`] | a scenario made ready to run: flat tables, indices, SI |
//! | [`service`] | one simulated service: event list, streams, one file a station |
//! | [`statistics`] | estimates and intervals: pure functions |
//! | [`study`] | many services: replicate, estimate, find |
//! | [`report`] | table, CSV, JSON, charts |
//! | `cli` | one file a command, thin |
//!
//! [`version`] belongs to none of them: it says which program this is.

#[cfg(feature = "cli")]
pub mod cli;
pub mod physics;
pub mod report;
pub mod room;
pub mod scenario;
pub mod service;
pub mod statistics;
pub mod study;
pub mod version;
