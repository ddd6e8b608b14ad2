//! A study: a base scenario, what varies, and the design points that come of it.
//!
//! | file | does |
//! |---|---|
//! | [`read`](mod@read) | a study file to a [`Study`], or all its mistakes at once |
//! | [`study`] | what a study is, and where its points stand |
//! | [`factor`] | what varies, and what each of its values changes |
//! | [`row`], [`range`], [`link`], [`bundle`] | rows of the factors: lists, ranges, linked values, bundles |
//! | [`reader`] | what these share: the base, what is wrong, checks of paths and lists |
//! | `columns` | names of factors that the tables of a study need for columns of their own |
//! | [`sites`] | a table of sites as one more factor |
//! | [`latin_hypercube`], [`sobol`] | points of a latin hypercube and of Sobol's sequence |
//! | [`coordinate`] | which value of a factor a point has |
//! | `scale` | numbers in one another's scale |
//! | [`points`] | which point has which settings, and its scenario |
//! | [`wanted`] | measures, targets, and how to choose |
//! | [`checked`] | every design point held against the scenario's rules before any is run |
//!
//! In: the path of a TOML file. Out: a [`Study`] whose points become rooms one by one. Files are read
//! once: a point is the merged tree of the base with a few values changed, and that is checked.
//!
//! Every part checks all levels alone before it plays, so a table of 100,000 sites makes each part slow to start. Sites
//! share their guests' random numbers: differences between sites are sharp, but a sum over sites has no interval in the
//! tables. A factor may only name rows that the base has; what a bundle adds, the bundle sets.

pub mod bundle;
pub mod checked;
mod columns;
pub mod coordinate;
pub mod factor;
pub mod latin_hypercube;
pub mod link;
pub mod points;
pub mod range;
pub mod read;
pub mod reader;
pub mod row;
mod scale;
pub mod sites;
pub mod sobol;
pub mod study;
pub mod wanted;

pub use study::{Places, Replications, Study};
