//! What the terminal says of an evening, a comparison and a study, but for names of measures: heads, notes, warnings.

use super::findings::limits::CAUTION;

/// Stands under whatever is planned by water that scalds; in a document, one by one.
pub const CAREFUL: &[&str] = &[
    "Final-rinse water and fresh racks scald: unload nothing before it is dry and cool.",
    "Detergents and sanitisers burn, and some give off poisonous gas when mixed.",
    "Wet floors are slippery.",
    "Never reach into a running machine.",
    CAUTION,
];

/// Before what one might do.
pub const ADVICE: &str = "advice:";

/// Evenings played: `200 evenings, seed 1`.
#[must_use]
pub fn played(evenings: u64, seed: u64) -> String {
    let noun = if evenings == 1 {
        "‹evening›"
    } else {
        "‹evenings›"
    };
    format!("{evenings} {noun}, seed {seed}")
}

/// A run that was interrupted.
#[must_use]
pub fn interrupted(done: u64, wanted: u64) -> String {
    format!("INTERRUPTED after {done} of {wanted} ‹evenings›")
}

/// Tables of an evening.
pub mod evening {
    /// Headings of the tables by ware, operator, station and part of the cost.
    pub const BY_WARE: &str = "By ware";
    /// By operator.
    pub const BY_OPERATOR: &str = "By operator";
    /// By station.
    pub const BY_STATION: &str = "By station";
    /// By part of the cost.
    pub const BY_PART: &str = "Cost by part";
    /// What the figures of these are.
    pub const MEANS: &str = "means";
    /// A row of times of day, below one of minutes after closing.
    pub const BY_THE_CLOCK: &str = "    by the clock";
    /// Heads of the measures.
    pub const HEADS: [&str; 5] = ["", "mean", "±", "p10 – p90 of ‹evenings›", "unit"];

    /// Evenings that were not finished.
    #[must_use]
    pub fn unfinished(count: u64, of: u64) -> String {
        format!(
            "UNFINISHED: {count} of {of} ‹evenings› were cut off at the give-up limit with work left to do.\n\
             Figures below leave that out: waits and times after closing are too short."
        )
    }

    /// What ± is.
    #[must_use]
    pub fn interval(n: u64) -> String {
        match n {
            1 => "one ‹evening› alone has no interval".to_owned(),
            n => format!(
                "± is the 95 % interval of the mean, n = {n}; none where all ‹evenings› were alike"
            ),
        }
    }

    /// Measures of parts that a scenario leaves out.
    #[must_use]
    pub fn left_out(measures: &[&str]) -> String {
        format!("Not part of this scenario: {}.", measures.join(", "))
    }

    /// Parts of the cost that are not known.
    #[must_use]
    pub fn not_in_the_cost(parts: &[&str]) -> String {
        format!(
            "Not in the cost, without a quantity or a price: {}.",
            parts.join(", ")
        )
    }
}

/// Tables of a comparison.
pub mod comparison {
    /// Heads of the judged measures.
    pub const HEADLINE: [&str; 6] = ["Headline", "difference", "±", "unit", "p (Holm)", "verdict"];
    /// Heads of all measures, after the names of both.
    pub const HEADS: [&str; 4] = ["difference", "±", "saved", "unit"];
    /// What ± is in the second table.
    pub const INTERVAL: &str =
        "± is the 95 % interval of that difference alone; none where all differences were alike";
    use crate::words::sentences::changes::THERE;

    /// What stands for what one of the two does not have, by what the other has.
    #[must_use]
    pub fn missing(other: Option<&str>) -> &'static str {
        if other == Some(THERE) {
            "not there"
        } else {
            "none"
        }
    }
    /// A difference of percentages.
    pub const POINTS: &str = "points";

    /// What is compared.
    #[must_use]
    pub fn played(alternatives: usize, evenings: u64, seed: u64) -> String {
        let others = match alternatives {
            1 => "one alternative".to_owned(),
            n => format!("{n} alternatives"),
        };
        format!("and {others} on the same {evenings} ‹evenings›, seed {seed}")
    }

    /// Evenings of one side that were not finished.
    #[must_use]
    pub fn unfinished(count: u64, of: u64, side: &str) -> String {
        format!(
            "UNFINISHED: {count} of {of} ‹evenings› of {side} were cut off with work left to do; differences may \
             come from that"
        )
    }

    /// A value that differs.
    #[must_use]
    pub fn change(path: &str, from: &str, to: &str) -> String {
        format!("{path}: {from} → {to}")
    }

    /// More of them.
    #[must_use]
    pub fn more(count: usize) -> String {
        format!("and {count} more")
    }

    /// What ± and verdict are in the first table.
    #[must_use]
    pub fn together(judged: usize) -> String {
        format!("± and verdict hold together at 95 % for all {judged} (Bonferroni, Holm)")
    }

    /// Up to where differences are too small to matter, of measures of which one is.
    #[must_use]
    pub fn too_small(measures: &[String]) -> String {
        format!(
            "Too small to matter, up to: {} (--too-small changes it).",
            measures.join("; ")
        )
    }

    /// A threshold of a measure.
    #[must_use]
    pub fn threshold(amount: &str, unit: &str, measure: &str) -> String {
        format!("{measure} {amount} {unit}")
    }

    /// Measures that not every pair of evenings has, with their pairs.
    #[must_use]
    pub fn fewer_pairs(measures: &[String]) -> String {
        format!(
            "Differences over fewer pairs, where both have a value: {}.",
            measures.join(", ")
        )
    }

    /// All alternatives beside the base.
    pub mod beside {
        /// Head of the column of words.
        pub const HEAD: &str = "Side by side";
        /// Head of the base's column.
        pub const BASE: &str = "base";
        /// What the figures in brackets are.
        pub const NOTE: &str =
            "In brackets: the difference from the base; below it, what may be claimed of it.";
        /// Some racks stay below a minimum.
        pub const UNSAFE: &str = "unsafe";
        /// None does, or so few that studies allow them.
        pub const SAFE: &str = "safe";
        /// Evenings that were cut off.
        pub const UNFINISHED: &str = "‹evenings› not finished";

        /// So many of all evenings.
        #[must_use]
        pub fn of(count: u64, all: u64) -> String {
            format!("{count} of {all}")
        }

        /// The unit of the means, and of differences where it is another.
        #[must_use]
        pub fn unit(of_mean: &str, of_difference: &str) -> String {
            if of_mean == of_difference {
                of_mean.to_owned()
            } else {
                format!("{of_mean} ({of_difference})")
            }
        }
    }

    /// The verdicts.
    pub mod verdict {
        /// Nothing differed.
        pub const SAME: &str = "the same";
        /// Not settled.
        pub const LUCK: &str = "could be luck";
        /// Perhaps luck, and not enough to matter in any case.
        pub const NO_MATTER: &str = "none that matters";
        /// Real, and not enough to matter.
        pub const SMALL: &str = "too small to matter";
        /// Less than in the base.
        pub const LESS: &str = "less";
        /// More.
        pub const MORE: &str = "more";
    }
}

/// What is said of a study.
pub mod study {
    /// Replications of each design point, as many for all.
    #[must_use]
    pub fn each(count: u64) -> String {
        format!("{count} replications each")
    }

    /// As many as its precision needs.
    #[must_use]
    pub fn from_to(least: u64, most: u64) -> String {
        format!("{least} to {most} replications each")
    }

    /// How large it is; some points move one factor alone.
    #[must_use]
    pub fn outline(points: u64, alone: u64, each: &str) -> String {
        let alone = if alone > 0 {
            format!(" and {alone} with one factor moved alone")
        } else {
            String::new()
        };
        format!("{points} design points{alone}, {each}")
    }

    /// Design points of a sample that are the same.
    #[must_use]
    pub fn repeated(repeated: u64, points: u64) -> String {
        let (are, one) = if repeated == 1 {
            ("is", "one")
        } else {
            ("are", "others")
        };
        format!(
            "{repeated} of {points} design points {are} the same as {one} before: {} differ. Few levels make few \
             combinations; a grid has each once",
            points - repeated
        )
    }

    /// Design points that meet the targets. These are numbered as in the table of points.
    #[must_use]
    pub fn keeping(count: u64, of: u64, targets: &[String]) -> String {
        let numbered = targets.iter().zip(1..);
        let numbered: Vec<String> = numbered
            .map(|(target, at)| format!("{at}. {target}"))
            .collect();
        let targets = match targets {
            [only] => only.clone(),
            _ => numbered.join("; "),
        };
        format!("{count} of {of} design points meet the targets by their estimates: {targets}")
    }

    /// Over the table of points: what comes first.
    #[must_use]
    pub fn best(measure: &str, is_least: bool, has_targets: bool) -> String {
        let side = if is_least { "least" } else { "most" };
        let first = if has_targets {
            "those that meet the targets, then safe ones, then "
        } else {
            ""
        };
        format!("Design points, best first ({first}{side}: {measure})")
    }

    /// Under it: those that are left out.
    #[must_use]
    pub fn other_points(count: usize) -> String {
        format!("… and {count} more (--top N lists more; points.csv has all)")
    }

    /// Heads: a point's number, all settings together, unfinished evenings, targets.
    pub const POINT: &str = "point";
    /// Settings.
    pub const SETTINGS: &str = "settings";
    /// Unfinished evenings.
    pub const UNFINISHED: &str = "unfinished";
    /// Targets.
    pub const TARGETS: &str = "targets";

    /// Unfinished evenings of a point: `3 of 30`.
    #[must_use]
    pub fn cut_off(count: u64, of: u64) -> String {
        format!("{count} of {of}")
    }

    /// Whether a point meets the targets; those missed by their numbers.
    #[must_use]
    pub fn verdict(missed: &[usize], is_unsafe: bool) -> String {
        if missed.is_empty() {
            return "met".to_owned();
        }
        let numbers: Vec<String> = missed.iter().map(usize::to_string).collect();
        let word = if is_unsafe { "unsafe" } else { "misses" };
        format!("{word} {}", numbers.join(", "))
    }

    /// A design point that misses a target of safety.
    #[must_use]
    pub fn is_unsafe(point: &str) -> String {
        format!("{point} (unsafe)")
    }

    /// Design points with evenings that were not finished: the first, and how many there are.
    #[must_use]
    pub fn unfinished(first: u64, count: usize) -> String {
        let others = if count > 1 {
            format!(" and {} more", count - 1)
        } else {
            String::new()
        };
        format!(
            "UNFINISHED: some ‹evenings› of design point {first}{others} were cut off with work left to do; their \
             figures leave that out"
        )
    }

    /// A measure that no design point has.
    pub const NO_VALUE: &str = "no value anywhere";

    /// Where a measure is least.
    #[must_use]
    pub fn least(amount: &str, point: &str) -> String {
        format!("least {amount} at {point}")
    }

    /// Where it is largest.
    #[must_use]
    pub fn most(amount: &str, point: &str) -> String {
        format!("most  {amount} at {point}")
    }

    /// Where no factor matters.
    pub const NOTHING_MOVES: &str = "no factor alone moves it";

    /// Which factor alone moves it most, with its value at both levels.
    #[must_use]
    pub fn moved_most(factor: &str, [from, low]: [&str; 2], [to, high]: [&str; 2]) -> String {
        format!("moved most by {factor} alone: {from} at {low}, {to} at {high}")
    }
}
