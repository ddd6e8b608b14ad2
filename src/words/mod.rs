//! What people read, in one folder where it can be proof-read: words of measures and duties, headings, sentences.
//!
//! | file | words |
//! |---|---|
//! | [`measures`] | measures in tables and charts, and their sections |
//! | [`names`] | duties, obstacles, what a machine is doing, parts of the cost |
//! | `charts` | titles, headings, captions and legends of charts |
//! | [`findings`] | what was seen and what one might do, of an evening, a comparison, a choice, a sheet |
//! | [`sentences`] | the evening, an alternative and what binds in one sentence each |
//! | [`stuck`] | what is left in the room of an evening that did not end |
//! | [`text`] | lists, plurals, numbers as one would say them |
//!
//! In: names of the rooms above, and figures. Out: text. Nothing is decided here and nothing laid out: whether something
//! is worth saying is `study`'s business, where it stands `report`'s. A sentence with figures is a function of them, so
//! its words stand here and nowhere else.
//!
//! Two kinds of text stand elsewhere, each where a program reads it as well. What a key of a scenario or a measure means
//! is a member of its row (`scenario/model/`, `service/measure.rs`); `scullery schema` prints both. What is wrong with a
//! file or a folder is said where it is found, with its place and cure; `tests/bad/` has each as it reads.

#[cfg(feature = "charts")]
pub mod charts;
pub mod findings;
pub mod measures;
pub mod names;
pub mod sentences;
pub mod stuck;
pub mod text;
