//! The keys of a study file: a base scenario, what varies, how often, what is wanted.
//!
//! Their paths stand under `study`, so that they do not mix with those of a scenario; in the file they stand
//! at the top. What a value of a scenario may be is not said here but by its own row. A member without a value
//! stands for what is read from the tree itself, with its place: a list of measures, a level of a factor.

use super::keys::keys;
use crate::scenario::field::{Bounds, INVENTED, Kind, Unset, between, may, need, row, within};

/// Ways to choose the design points.
pub const DESIGNS: &[&str] = &["grid", "latin-hypercube", "sobol"];
/// How a linked value goes with its factor.
pub const FOLLOWS: &[&str] = &["value", "difference", "ratio"];
/// Most replications of a design point.
const MAX: u32 = 100_000;
/// Most design points of a study.
pub const MAX_POINTS: u32 = 1_000_000;
const SHARE: Bounds = between(0.0, 1.0);

keys! {
    /// A study file: a base scenario, what varies, how often, what is wanted.
    pub struct StudyFile at "study." besides [
        row("version", "version of the language that the file is written in", Kind::Version, Unset::Whole(1), "what files said nothing of at first"),
    ] {
        title: String = row("title", "what is asked, in one line", Kind::Text, Unset::Text(""), ""),
        note: String = row("note", "remarks", Kind::Text, Unset::Text(""), ""),
        base: String = need("base", "the scenario file that every design point starts from", Kind::Text),
        seed: u32 = row("seed", "base seed: every design point has the same guests, soil and luck", Kind::Whole(0, u32::MAX), Unset::Whole(1), "one"),
        replications: u32 = row("replications", "replications of each design point; with `precision`, in each round", Kind::Whole(1, MAX), Unset::Whole(20), INVENTED),
        precision: Option<Precision> = may("precision", "replicate each design point, round by round, until a measure is known so well", Kind::Table),
        design: String = row("design", "which design points: every combination, or a sample of them", Kind::Choice(DESIGNS), Unset::Text("grid"), "every combination"),
        points: Option<u32> = may("points", "how many design points of a sample, at each site", Kind::Whole(1, MAX_POINTS)),
        one_at_a_time: bool = row("one_at_a_time", "whether each factor is also moved alone from the base, for the tornado", Kind::Flag, Unset::Flag(true), "yes"),
        measures: () = need("measures", "the measures wanted, a list of names", Kind::Any("[\"wait_mean_min\", \"dried_on_share\"]")),
        factor: Vec<FactorRow> = row("factor", "what varies", Kind::Rows(true, 32), Unset::Empty, "nothing"),
        sites: Option<Sites> = may("sites", "a table of sites, each with values of its own, crossed with everything else", Kind::Table),
        target: Vec<TargetRow> = row("target", "what a design must meet", Kind::Rows(false, 16), Unset::Empty, "nothing"),
        no_cold_rack_in: f64 = row("no_cold_rack_in", "in this share of the evenings no rack may be washed or rinsed below a minimum. It is a target of every study with targets or a choice whose room has a minimum. A target of its own on `under_temperature_racks` takes its place", Kind::Share(SHARE), Unset::Number(0.95), "common practice"),
        no_old_water_in: f64 = row("no_old_water_in", "in this share of the evenings no rack may enter in water older than its machine's `change_water_within`. It is a target of every study with targets or a choice whose room says one. A target of its own on `old_water_racks` takes its place", Kind::Share(SHARE), Unset::Number(0.95), "common practice"),
        no_rule_broken_in: f64 = row("no_rule_broken_in", "in this share of the evenings nobody's hours may break a rule of [rules]. It is a target of every study with targets or a choice whose scenario has rules. A target of its own on `rules_broken_share` takes its place", Kind::Share(SHARE), Unset::Number(0.95), "assumption"),
        finished_in: f64 = row("finished_in", "this share of the evenings must be finished before they are given up. It is a target of every study with targets or a choice. A target of its own on `finished_share` takes its place", Kind::Share(SHARE), Unset::Number(0.99), "assumption"),
        choose: Option<ChooseTable> = may("choose", "how the best design that meets all targets is chosen", Kind::Table),
    }
}

keys! {
    /// Replications until a measure is known so well.
    pub struct Precision at "study.precision." {
        measure: String = need("measure", "the measure", Kind::Measure),
        within: f64 = need("within", "half-width of the 95 % interval over the mean, at most", Kind::Share(SHARE)),
        at_most: u32 = row("at_most", "replications at most", Kind::Whole(2, MAX), Unset::Whole(1_000), INVENTED),
    }
}

keys! {
    /// What varies.
    pub struct FactorRow at "study.factor[]." {
        name: String = need("name", "its name in the results", Kind::Name),
        path: Option<String> = may("path", "the value of the scenario that it sets, such as roster[loader].count", Kind::Text),
        values: Option<()> = may("values", "a list of values, as the scenario would have them", Kind::Any("[1, 2, 3]")),
        range: Option<RangeTable> = may("range", "or values from one to another", Kind::Table),
        linked: Vec<LinkedRow> = row("linked", "values that move with it", Kind::Rows(false, 16), Unset::Empty, "none"),
        bundles: Vec<BundleRow> = row("bundles", "or named bundles of changes", Kind::Rows(true, 1_000), Unset::Empty, "none"),
    }
}

keys! {
    /// Values from one to another.
    pub struct RangeTable at "study.factor[].range." {
        from: () = need("from", "the first value", Kind::Any("\"44 in\"")),
        to: () = need("to", "the last value, or what it may not pass", Kind::Any("\"88 in\"")),
        step: Option<()> = may("step", "from one value to the next", Kind::Any("\"11 in\"")),
        count: Option<u32> = may("count", "or how many values", Kind::Whole(2, 10_000)),
    }
}

keys! {
    /// A value that moves with a factor.
    pub struct LinkedRow at "study.factor[].linked[]." {
        path: String = need("path", "the value of the scenario that it sets", Kind::Text),
        follows: Option<String> = may("follows", "the same value; or the same difference to the factor, or the same ratio, as in the base", Kind::Choice(FOLLOWS)),
        values: Option<()> = may("values", "or its own value for each of the factor's", Kind::Any("[\"30 in\", \"52 in\"]")),
    }
}

keys! {
    /// A named bundle of changes.
    pub struct BundleRow at "study.factor[].bundles[]." {
        name: String = need("name", "its name in the results", Kind::Name),
        set: Option<()> = may("set", "values by their paths", Kind::Any("{ \"roster[loader].count\" = 2 }")),
        change: Option<()> = may("change", "changes as in a scenario that is based on another", Kind::Any("{ soak = { sinks = 4 } }")),
    }
}

keys! {
    /// A table of sites.
    pub struct Sites at "study.sites." {
        file: String = need("file", "a CSV file: the column `site`, then a column a path", Kind::Text),
    }
}

keys! {
    /// What a design must meet.
    pub struct TargetRow at "study.target[]." {
        measure: String = need("measure", "the measure", Kind::Measure),
        at_most: Option<()> = may("at_most", "the most it may be, in its unit", Kind::Any("\"3 %\"")),
        at_least: Option<()> = may("at_least", "or the least", Kind::Any("12")),
        in_share: Option<f64> = may("in", "in this share of the evenings; left out, in the mean", Kind::Share(SHARE)),
        tolerance: Option<()> = may("tolerance", "by how much it may be missed without harm: an amount of the measure, or of the share of the evenings", Kind::Any("\"1 %\"")),
    }
}

keys! {
    /// How the best design is chosen.
    pub struct ChooseTable at "study.choose." {
        cheapest: Option<String> = may("cheapest", "the measure that is to be least; left out, with no `largest` in its place, the cost of a service", Kind::Measure),
        largest: Option<String> = may("largest", "or the measure that is to be largest", Kind::Measure),
        indifference: () = need("indifference", "a difference of it too small to matter, in its unit", Kind::Any("5")),
        confidence: f64 = row("confidence", "how sure the choice has to be", Kind::Share(between(0.5, 1.0)), Unset::Number(0.95), "common practice"),
        first: u32 = row("first", "replications of each design before any is dropped", Kind::Whole(2, 10_000), Unset::Whole(100), "fewer do not show how skewed the costs are"),
        rarest: f64 = row("rarest", "the rarest event that is looked for, as a share of the evenings: what happens less often may not have been seen", Kind::Share(within(0.0001, 1.0)), Unset::Number(0.01), "assumption"),
        at_most: u32 = row("at_most", "replications of a design at most", Kind::Whole(2, MAX), Unset::Whole(5_000), INVENTED),
    }
}
