//! `scullery` plays a service through a commercial dish room, event by event, many times over.
//!
//! It says how long soiled ware waits, what dries on, which ware runs short, what holds up the line, when the crew gets
//! out and what the evening costs. This page is for programs that use it as a library. The program `scullery` is a thin
//! shell over the same functions.
//!
//! # A first evening
//!
//! A scenario is a TOML file. [`load`] reads it, [`play`] plays it as a [`Plan`] says, and an [`Evening`] comes back:
//!
//! ```
//! use scullery::{Plan, load, play};
//!
//! let friday = load("scenarios/friday-rush.toml")?;
//! let evening = play(&friday, &Plan::new(100))?;
//! println!("{}", evening.sentence);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! [`Plan::new`] plays that many evenings from seed 1 on all cores. The same scenario, seed and number of evenings give
//! the same bits on any number of threads, and the numbers that `scullery simulate` prints. Other seeds:
//! `Plan { seed: 7, ..Plan::new(100) }`. A run is watched and cancelled with a [`Watch`]: see [`play_watched`].
//!
//! # Text instead of a file
//!
//! [`load_text`] reads a scenario from a string. [`load_changed`] puts changes over a file:
//!
//! ```
//! use std::path::Path;
//!
//! let changes = "[scrape]\nplaces = 3\n";
//! let wider = scullery::load_changed(Path::new("scenarios/friday-rush.toml"), changes)?;
//! # assert_eq!(wider.name, "friday-rush");
//! # Ok::<(), scullery::Mistakes>(())
//! ```
//!
//! All mistakes of a scenario come at once, each with its place and a cure. [`Mistakes`] is an error that prints as a
//! person wants to read it, and a list for everybody else:
//!
//! ```
//! let mistakes = scullery::load_text("typo.toml", "version = 1\ntitel = \"Friday\"\n", None).unwrap_err();
//! let places = mistakes.iter().filter_map(|mistake| mistakes.location(mistake));
//! assert!(places.into_iter().any(|place| (place.line, place.column) == (2, 1)));
//! assert!(mistakes.to_string().contains("did you mean `title`?"));
//! ```
//!
//! # Measures by name
//!
//! [`MEASURES`] has names, units and meanings. What does not exist is `None`, never 0: an evening on which nobody waited
//! has no mean wait.
//!
//! ```
//! # use scullery::{Plan, load, play};
//! # let evening = play(&load("scenarios/friday-rush.toml")?, &Plan::new(20))?;
//! let wait = evening.measure("wait_p95_min").ok_or("no such measure")?;
//! if let (Some(mean), Some(half_width)) = (wait.mean, wait.half_width) {
//!     println!("{mean:.0} ± {half_width:.0} {} (95 % interval)", wait.info.unit);
//! }
//! assert!(evening.measure("wait_p95").is_none(), "names are whole");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Measures of one ware, operator or station are in [`Evening::group`], the values of each replication in
//! [`Evening::rows`], and the course of the evening minute by minute in [`Evening::series`].
//!
//! # A comparison
//!
//! [`compare`] plays several scenarios on the same guests, soil and luck, so that what is left of chance is what the
//! change itself brings. Differences are the alternative less the base, paired, with their intervals:
//!
//! ```
//! use scullery::{Plan, compare, load};
//!
//! let friday = load("scenarios/friday-rush.toml")?;
//! let helped = load("scenarios/second-loader.toml")?;
//! let comparison = compare(&[friday, helped], &Plan::new(20))?;
//! for other in &comparison.alternatives {
//!     println!("{}: {}", other.side.name, other.sentence);
//!     let wait = other.difference("wait_p95_min").ok_or("no such measure")?;
//!     assert!(wait.mean < Some(0.0));
//! }
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Only the measures of the headline get a verdict ([`details::Verdict`]), since many differences looked at one by one
//! will show some that are luck.
//!
//! # The sheet
//!
//! [`sheet()`] is what a careful person with a pencil would work out before anything is played. It costs next to nothing
//! and says what will bind; queues and luck are not in it.
//!
//! ```
//! # use scullery::{load, sheet};
//! let sheet = sheet(&load("scenarios/friday-rush.toml")?);
//! let people = sheet.binds.as_ref().is_some_and(|binds| binds.people);
//! assert!(people, "hands are what is short on this Friday");
//! # Ok::<(), scullery::Mistakes>(())
//! ```
//!
//! # Findings
//!
//! What is worth saying of an evening, a comparison or a sheet is a [`Finding`]: a code, how grave it is, what was seen
//! and what one might do. Gravest come first.
//!
//! ```
//! # use scullery::{Plan, Severity, load, play};
//! # let evening = play(&load("scenarios/friday-rush.toml")?, &Plan::new(20))?;
//! for finding in evening.findings.iter().filter(|finding| finding.severity == Severity::Problem) {
//!     println!("{}: {}; {}", finding.code, finding.evidence, finding.advice);
//! }
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Tables, JSON, files
//!
//! Results are [`Output`]: `evening.table(Units::Metric)` is what the terminal shows, `evening.json()` one JSON document.
//! [`write()`] puts CSV files and charts into a folder.
//!
//! # Features
//!
//! | feature | adds | default |
//! |---|---|---|
//! | `cli` | the program `scullery` and all that only it needs | yes |
//! | `charts` | pictures ([`Pictures`]) as SVG and PNG | yes |
//!
//! Without both (`default-features = false`) this page holds, but for pictures.
//!
//! # What is stable
//!
//! Stable are the items listed below, names and meanings of measures, codes of findings, and the language of scenarios
//! under its `version`. Words are not: titles, sentences, evidence and advice may change. Numbers may change from one
//! version to the next where the model was wrong; DEVELOPERS.md lists each such change with its reason. Results have
//! fields that you read and never fill in, so they may gain some.
//!
//! The rooms below are open to the project's own tests and benchmarks and to nobody else: they change without notice.
//! Their pages are made with `RUSTDOCFLAGS="--cfg rooms" cargo doc`.
//!
//! # The house
//!
//! Data goes one way, down this list, and never back up:
//!
//! | room | holds |
//! |---|---|
//! | `scenario` | what a person wrote: fields, units, `based_on`, checks |
//! | `physics` | air, drying, wetting, washing, conveying: pure functions |
//! | `room` | a scenario made ready to run: flat tables, indices, SI |
//! | `service` | one simulated service: event list, streams, one file a station |
//! | `statistics` | estimates and intervals: pure functions |
//! | `words` | what people read: measures, duties, sentences, headings |
//! | `study` | many services: replicate, estimate, find |
//! | `report` | table, CSV, JSON, charts |
//! | `cli` | one file a command, thin |
//!
//! `version` belongs to none of them: it says which program this is.

// Each room is public for the tests under `tests/`, and hidden from everybody else's documentation.
#[cfg(feature = "cli")]
#[cfg_attr(not(rooms), doc(hidden))]
pub mod cli;
mod face;
#[cfg_attr(not(rooms), doc(hidden))]
pub mod physics;
#[cfg_attr(not(rooms), doc(hidden))]
pub mod report;
#[cfg_attr(not(rooms), doc(hidden))]
pub mod room;
#[cfg_attr(not(rooms), doc(hidden))]
pub mod scenario;
#[cfg_attr(not(rooms), doc(hidden))]
pub mod service;
#[cfg_attr(not(rooms), doc(hidden))]
pub mod statistics;
#[cfg_attr(not(rooms), doc(hidden))]
pub mod study;
#[cfg_attr(not(rooms), doc(hidden))]
pub mod version;
#[cfg_attr(not(rooms), doc(hidden))]
pub mod words;

pub use face::{
    compare, compare_watched, load, load_text, play, play_and_advise, play_watched, sheet, write,
};
#[doc(inline)]
pub use report::ReportError;
#[doc(inline)]
pub use report::output::Output;
#[doc(inline)]
pub use report::pictures::Pictures;
#[doc(inline)]
pub use report::units::Units;
#[doc(inline)]
pub use report::width::Width;
#[doc(inline)]
pub use scenario::{Loaded, Mistakes, load_changed};
#[doc(inline)]
pub use service::measure::{MEASURES, Measure, MeasureInfo};
#[doc(inline)]
pub use study::compare::{Comparison, HEADLINE};
#[doc(inline)]
pub use study::evening::{Estimate, Evening, Finding, Severity, Tried};
#[doc(inline)]
pub use study::sheet::Sheet;
#[doc(inline)]
pub use study::{Plan, PlayError, Stop, Watch};

/// What stands in the fields of results and errors.
pub mod details {
    #[doc(inline)]
    pub use crate::scenario::mistakes::{Location, Mistake, Sort};
    #[doc(inline)]
    pub use crate::service::series::{SeriesInfo, SeriesKind};
    #[doc(inline)]
    pub use crate::study::compare::changes::Change;
    #[doc(inline)]
    pub use crate::study::compare::curve::Curve;
    #[doc(inline)]
    pub use crate::study::compare::difference::{Difference, Judged, Mean, Verdict};
    #[doc(inline)]
    pub use crate::study::compare::{Alternative, Away, Side};
    #[doc(inline)]
    pub use crate::study::evening::{
        Band, Clock, Effect, Fate, Group, GroupKind, Quantile, Row, Trial,
    };
    #[doc(inline)]
    pub use crate::study::sheet::binds::{Backlog, Binds};
    #[doc(inline)]
    pub use crate::study::sheet::peak::{Amount, Peak};
    #[doc(inline)]
    pub use crate::study::sheet::spent::{Cost, Spent};
    #[doc(inline)]
    pub use crate::study::sheet::stations::{Station, Thing};
    #[doc(inline)]
    pub use crate::study::swept::Cell;
    #[doc(inline)]
    pub use crate::study::watch::SoFar;
}
