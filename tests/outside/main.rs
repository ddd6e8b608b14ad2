//! Held against the outside: the main job against things that this project did not write.
//!
//! | file | holds it against |
//! |---|---|
//! | [`queues`] | queues and networks with known answers, as scenario files in `queues/` |
//! | [`with_python::lines`] | a second simulator, in Python, for the lines in `lines/` |
//! | [`handbooks`] | printed figures of standards, handbooks and textbooks |
//! | [`trade`] | what everybody in the trade knows, as behaviour of the rooms in `trade/` |
//! | [`water`] | water and heat of single evenings, worked out apart |
//! | [`with_python::library`] | a general statistics library |
//! | [`with_python::parties`] | an open dataset of party sizes |
//! | [`with_python::tables`] | pandas, polars and DuckDB, which read our CSV files |
//!
//! Scenario files are played by the program itself ([`played`]), Python runs in an environment of its own
//! ([`with_python::python`]), and every comparison is a row of a [`ledger`]: ours, theirs, and how near they have to be.
//! The rows make the tables of `tests/outside/FOUND.md`, and a test fails when a table is not what was found.
//! `tests/run` fetches Python; where it is missing, the tests of [`with_python`] fail and say so.

mod handbooks;
mod ledger;
mod played;
mod queues;
mod trade;
mod water;
mod with_python;

#[path = "../common/outside.rs"]
mod outside;
