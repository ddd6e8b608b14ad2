//! The keys of a study file: a base scenario, what varies, how often, what is wanted.
//!
//! Their paths stand under `study`, so that they do not mix with those of a scenario; in the file they
//! stand at the top. What a value of a scenario may be is not said here but by its own row.

use super::{Bounds, Field, INVENTED, Kind, Unset, between, may, need, row, within};

/// Ways to choose the design points.
pub const DESIGNS: &[&str] = &["grid", "latin-hypercube", "sobol"];
/// How a linked value goes with its factor.
pub const FOLLOWS: &[&str] = &["value", "difference", "ratio"];
/// Most replications of a design point.
const MOST: u32 = 100_000;
/// Most design points of a study.
pub const MOST_POINTS: u32 = 1_000_000;
const SHARE: Bounds = between(0.0, 1.0);

/// The rows.
#[rustfmt::skip]
pub const FIELDS: &[Field] = &[
    row("study.title", "one line that says what is asked", Kind::Text, Unset::Text(""), ""),
    row("study.note", "anything worth saying about it", Kind::Text, Unset::Text(""), ""),
    need("study.base", "the scenario file that every design point starts from", Kind::Text),
    row("study.seed", "base seed: every design point has the same guests, soil and luck", Kind::Whole(0, u32::MAX), Unset::Whole(1), "one"),
    row("study.replications", "replications of each design point; with `precision`, in each round", Kind::Whole(1, MOST), Unset::Whole(20), INVENTED),
    may("study.precision", "replicate each design point, round by round, until a measure is known so well", Kind::Table),
    need("study.precision.measure", "the measure", Kind::Measure),
    need("study.precision.within", "half-width of the 95 % interval over the mean, at most", Kind::Share(SHARE)),
    row("study.precision.at_most", "replications at most", Kind::Whole(2, MOST), Unset::Whole(1_000), INVENTED),
    row("study.design", "which design points: every combination, or a sample of them", Kind::Choice(DESIGNS), Unset::Text("grid"), "every combination"),
    may("study.points", "how many design points of a sample, at each site", Kind::Whole(1, MOST_POINTS)),
    row("study.one_at_a_time", "whether each factor is also moved alone from the base, for the tornado", Kind::Flag, Unset::Flag(true), "yes"),
    need("study.measures", "the measures wanted, a list of names", Kind::Any("[\"wait_mean_min\", \"dried_on_share\"]")),

    row("study.factor", "what varies", Kind::Rows(true, 32), Unset::Empty, "nothing"),
    need("study.factor[].name", "its name in the results", Kind::Name),
    may("study.factor[].path", "the value of the scenario that it sets, such as roster[loader].count", Kind::Text),
    may("study.factor[].values", "a list of values, as the scenario would have them", Kind::Any("[1, 2, 3]")),
    may("study.factor[].range", "or values from one to another", Kind::Table),
    need("study.factor[].range.from", "the first value", Kind::Any("\"44 in\"")),
    need("study.factor[].range.to", "the last value, or what it may not pass", Kind::Any("\"88 in\"")),
    may("study.factor[].range.step", "from one value to the next", Kind::Any("\"11 in\"")),
    may("study.factor[].range.count", "or how many values", Kind::Whole(2, 10_000)),
    row("study.factor[].linked", "values that move with it", Kind::Rows(false, 16), Unset::Empty, "none"),
    need("study.factor[].linked[].path", "the value of the scenario that it sets", Kind::Text),
    may("study.factor[].linked[].follows", "the same value; or the same difference to the factor, or the same ratio, as in the base", Kind::Choice(FOLLOWS)),
    may("study.factor[].linked[].values", "or its own value for each of the factor's", Kind::Any("[\"30 in\", \"52 in\"]")),
    row("study.factor[].bundles", "or named bundles of changes", Kind::Rows(true, 1_000), Unset::Empty, "none"),
    need("study.factor[].bundles[].name", "its name in the results", Kind::Name),
    may("study.factor[].bundles[].set", "values by their paths", Kind::Any("{ \"roster[loader].count\" = 2 }")),
    may("study.factor[].bundles[].change", "changes as in a scenario that is based on another", Kind::Any("{ soak = { sinks = 4 } }")),

    may("study.sites", "a table of sites, each with values of its own, crossed with everything else", Kind::Table),
    need("study.sites.file", "a CSV file: the column `site`, then a column a path", Kind::Text),

    row("study.target", "what a design must keep", Kind::Rows(false, 16), Unset::Empty, "nothing"),
    need("study.target[].measure", "the measure", Kind::Measure),
    may("study.target[].at_most", "the most it may be, in its unit", Kind::Any("\"3 %\"")),
    may("study.target[].at_least", "or the least", Kind::Any("12")),
    may("study.target[].in", "in this share of the evenings; left out, in the mean", Kind::Share(SHARE)),
    may("study.target[].tolerance", "by how much it may be missed without harm: an amount of the measure, or of the share of the evenings", Kind::Any("\"1 %\"")),

    may("study.choose", "how the best design that keeps all targets is chosen", Kind::Table),
    may("study.choose.cheapest", "the measure that is to be least; left out, with no `largest` in its place, the cost of a service", Kind::Measure),
    may("study.choose.largest", "or the measure that is to be largest", Kind::Measure),
    need("study.choose.indifference", "a difference of it too small to matter, in its unit", Kind::Any("5")),
    row("study.choose.confidence", "how sure the choice has to be", Kind::Share(between(0.5, 1.0)), Unset::Number(0.95), "common practice"),
    row("study.choose.first", "replications of each design before any is dropped", Kind::Whole(2, 10_000), Unset::Whole(100), "fewer do not show how skewed the costs are"),
    row("study.choose.rarest", "the rarest event that is looked for, as a share of the evenings: what happens less often may not have been seen", Kind::Share(within(0.0001, 1.0)), Unset::Number(0.01), "assumption"),
    row("study.choose.at_most", "replications of a design at most", Kind::Whole(2, MOST), Unset::Whole(5_000), INVENTED),
];
