//! What people read, in one folder where it can be proof-read: words of measures and duties, headings, sentences.
//!
//! | file | words |
//! |---|---|
//! | [`measures`] | measures in tables and charts, and their sections |
//! | [`names`] | duties, obstacles, what a machine is doing, parts of the cost |
//! | `charts` | titles, headings, captions and legends of charts |
//! | [`tables`] | heads, notes and warnings of tables on the terminal |
//! | [`choice`] | what came of a choice, with its guarantee |
//! | [`advice`] | changes that are tried against findings |
//! | [`findings`] | what was seen and what one might do, of an evening, a comparison, a choice, a sheet |
//! | [`sentences`] | the evening, an alternative and what binds in one sentence each |
//! | [`sheet`] | the hand-calculation sheet, its assumptions and cautions |
//! | [`diary`] | what happens, line by line |
//! | `start` | questions of `scullery new`, and the comments in its file |
//! | `explain` | what a key is, and what may be given for it |
//! | `help`, `messages` | long texts of help; what a run says on standard error |
//! | [`study`] | targets and design points |
//! | [`stuck`] | what is left in the room of an evening that did not end |
//! | [`text`] | lists, plurals, numbers as one would say them |
//! | [`number`] | numbers to the digits that their interval supports |
//!
//! In: names of the rooms above, and figures. Out: text. Nothing is decided here and nothing laid out: whether something
//! is worth saying is `study`'s business, where it stands `report`'s. A sentence with figures is a function of them, so
//! its words stand here and nowhere else.
//!
//! What a scenario may call something else stands between marks: `‹evening›`, `‹evenings›`, `‹an evening›`, `‹money›`.
//! [`Wording`](crate::scenario::wording::Wording) puts its words there.
//!
//! Three kinds of text stand elsewhere, in the rows and checks they belong to. What a key of a scenario, a measure or a
//! column means is a member of its row (`scenario/model/`, `service/measure.rs`, tables of columns in `report/`);
//! `scullery schema`, `--help` and `datapackage.json` print them. What an option does stands in its declaration (`cli/`);
//! `tests/command_line/snapshots/` has the pages. What is wrong with a file, a folder or a command line is said where it
//! is found, with place and cure; `tests/bad/` has most of it as it reads. `tests/words.rs` knows these places, and finds
//! sentences in any other.

pub mod advice;
#[cfg(feature = "charts")]
pub mod charts;
pub mod choice;
pub mod diary;
pub mod explain;
pub mod findings;
#[cfg(feature = "cli")]
pub mod help;
pub mod measures;
#[cfg(feature = "cli")]
pub mod messages;
pub mod names;
pub mod number;
pub mod sentences;
pub mod sheet;
pub mod start;
pub mod stuck;
pub mod study;
pub mod tables;
pub mod text;
