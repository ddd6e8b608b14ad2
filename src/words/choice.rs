//! What came of a choice: the answer, its rivals, the guarantee, what it took.

/// A design that sets nothing.
pub const BASE: &str = "the base scenario";
/// The design chosen, in its row.
pub const CHOSEN: &str = "chosen";

/// What a design has of the measure sought, where nothing varied.
#[must_use]
pub fn in_each(amount: &str, evenings: u64) -> String {
    format!("{amount} in each of the {evenings} ‹evenings› played")
}

/// The same where evenings differ.
#[must_use]
pub fn per_evening(amount: &str) -> String {
    format!("{amount} per ‹evening›")
}

/// A share of evenings, with its interval.
#[must_use]
pub fn of_evenings(share: &str, low: &str, high: &str) -> String {
    format!("{share} of ‹evenings› ({low} to {high})")
}

/// A mean where nothing varied.
#[must_use]
pub fn in_every(amount: &str) -> String {
    format!("{amount} in every ‹evening› played")
}

/// By how much a target is missed.
#[derive(Debug, Clone, Copy)]
pub enum Side {
    /// Evenings that meet it.
    TooFew,
    /// A mean above its limit.
    TooMuch,
    /// A mean below its limit.
    TooLittle,
}

/// A target that is missed: `dried on before the wash: at most 3 %, seen 4.12 ± 0.30 %, 1.12 % too much`.
#[must_use]
pub fn missed(target: &str, seen: &str, by: &str, side: Side) -> String {
    let side = match side {
        Side::TooFew => "too few",
        Side::TooMuch => "too much",
        Side::TooLittle => "too little",
    };
    format!("{}, {by} {side}", of_target(target, seen))
}

/// A target, and what was seen of it.
#[must_use]
pub fn of_target(target: &str, seen: &str) -> String {
    format!("{target}, seen {seen}")
}

/// A design, and what it lacks.
#[must_use]
pub fn of(what: &str, seen: &str) -> String {
    format!("{what}: {seen}")
}

/// All that a design misses, and whether that makes it unsafe.
#[must_use]
pub fn misses(all: &[String], is_unsafe: bool) -> String {
    let first = if is_unsafe {
        "is unsafe: misses"
    } else {
        "misses"
    };
    format!("{first} {}", all.join("; "))
}

/// A design that is out for a target which it was not seen to miss.
#[must_use]
pub fn was_too_near(target: &str) -> String {
    format!("was dropped as too near to missing {target}")
}

/// What the cost is called, the measure most often sought.
pub const COST: &str = "cost";

/// How much of the measure sought a design has beside the one chosen: less or more by an amount, or the same.
#[must_use]
pub fn beside(measure: &str, apart: Option<(&str, bool)>) -> String {
    let side = |is_less: bool| if is_less { "less" } else { "more" };
    match (measure, apart) {
        (COST, None) => "costs the same".to_owned(),
        (name, None) => format!("has the same {name}"),
        (COST, Some((amount, is_less))) => format!("costs {amount} {}", side(is_less)),
        (name, Some((amount, is_less))) => format!("has {amount} {} of {name}", side(is_less)),
    }
}

/// A design that meets the targets and lacks only in the measure sought.
#[must_use]
pub fn meets_but(beside: &str) -> String {
    format!("meets the targets as far as was seen, but {beside}")
}

/// A design that misses something besides.
#[must_use]
pub fn but(beside: &str, misses: &str) -> String {
    format!("{beside}, but {misses}")
}

/// The answer: the measure, the indifference amount, the design and what it has.
#[must_use]
pub fn chosen(
    is_least: bool,
    [measure, within]: [&str; 2],
    [design, amount]: [&str; 2],
    has_targets: bool,
) -> String {
    let best = if is_least { "Least" } else { "Largest" };
    let targets = if has_targets {
        " of those that meet all targets"
    } else {
        ""
    };
    format!("{best} {measure} to within {within}{targets}: {design}, with {amount}.")
}

/// Where no design meets the targets.
pub const NONE_MEETS: &str = "No design meets all targets.";

/// The same, with the design that comes closest and what it lacks.
#[must_use]
pub fn closest(design: &str, lacks: &str) -> String {
    format!("{NONE_MEETS} The closest is {design}: it {lacks}.")
}

/// Where the evenings allowed were not enough.
#[must_use]
pub fn undecided(evenings: u64, left: usize, of: usize) -> String {
    format!("Not decided within {evenings} ‹evenings› per design: {left} of {of} designs are left.")
}

/// Where it was interrupted.
#[must_use]
pub fn interrupted(left: usize, of: usize) -> String {
    format!("INTERRUPTED, nothing is chosen yet: {left} of {of} designs are left.")
}

/// Where it came to no end.
pub const NO_GUARANTEE: &str = "Nothing is guaranteed: the procedure was not completed.";

/// What holds where no design meets the targets.
#[must_use]
pub fn guarantee_of_none(wrong: &str) -> String {
    format!(
        "Guaranteed: if a design met all targets with their tolerance to spare, at most {wrong} of such studies \
         would give this answer."
    )
}

/// What is guaranteed of a design chosen.
#[derive(Debug, Clone, Copy)]
pub struct Guarantee<'a> {
    /// With which confidence.
    pub sure: &'a str,
    /// What is left of it.
    pub wrong: &'a str,
    /// The measure sought.
    pub measure: &'a str,
    /// Whether the least of it.
    pub is_least: bool,
    /// The indifference amount.
    pub indifference: &'a str,
    /// What happens in fewer evenings may not have been seen.
    pub rarest: &'a str,
    /// Evenings of the design chosen at least.
    pub to_see: &'a str,
}

/// What holds of a design chosen.
#[must_use]
pub fn guarantee(all: &Guarantee<'_>) -> String {
    let Guarantee {
        sure,
        wrong,
        measure,
        indifference,
        rarest,
        to_see,
        ..
    } = all;
    let side = if all.is_least { "lower" } else { "higher" };
    let rare = format!(
        "What happens in fewer than {rarest} of the ‹evenings› may not have been seen. The design chosen, and \
         those close to it, were played for at least {to_see}. Nor may rare ‹evenings› that would improve a \
         design far from it."
    );
    format!(
        "Guaranteed with {sure} confidence: no design that meets all targets with tolerance to spare is \
         {side} in {measure} by {indifference} or more. A design within the tolerance of \
         a target may count as meeting it or not. One that misses a target by its tolerance or more is chosen \
         in at most {wrong} of such studies. {rare}"
    )
}

/// What it took.
#[must_use]
pub fn spent(evenings: &str) -> String {
    format!("{evenings} ‹evenings› were played.")
}

/// The same beside what equal allocation would have taken: in all, for how many designs, for each.
#[must_use]
pub fn spent_beside(evenings: &str, all: &str, designs: usize, each: &str) -> String {
    format!(
        "{} Equal allocation would have taken {all} for a similar guarantee, if ‹evenings› were normally \
         distributed. That is, for each of the {designs} designs, the {each} that the most variable one needs.",
        spent(evenings)
    )
}

/// The table on the terminal.
pub mod table {
    /// How many designs.
    #[must_use]
    pub fn designs(count: usize, seed: u64) -> String {
        let noun = if count == 1 { "design" } else { "designs" };
        format!("{count} {noun}, seed {seed}")
    }

    /// Heading of the next best.
    pub const RUNNER_UP: &str = "Runner-up";

    /// Heading of one that would be better, but for its targets.
    #[must_use]
    pub const fn would_be_better(is_least: bool) -> &'static str {
        if is_least {
            "Closest of the cheaper ones"
        } else {
            "Closest of those with more"
        }
    }

    /// Heading of the targets.
    #[must_use]
    pub fn targets(is_decided: bool, evenings: u64) -> String {
        let which = if is_decided {
            "this design"
        } else {
            "the best so far"
        };
        format!("Targets for {which} ({evenings} ‹evenings›, 95 % intervals)")
    }

    /// Evenings that were not finished.
    #[must_use]
    pub fn unfinished(count: u64) -> String {
        format!(
            "UNFINISHED: {count} ‹evenings› were cut off at the give-up limit. Their waits, times and cost leave out \
             what was not done. One of the targets bounds how many there may be."
        )
    }

    /// What the column of the measure sought is.
    #[must_use]
    pub fn difference(measure: &str) -> String {
        format!("{measure}: difference from the design given in full, on the same ‹evenings›")
    }

    /// Designs that are not shown, better or worse than those that are.
    #[must_use]
    pub fn left_out(count: usize, has_less: bool) -> String {
        let side = if has_less {
            "with as much or less"
        } else {
            "with as much or more"
        };
        format!("… and {count} {side} (choice.csv has all)")
    }

    /// Heads: of all settings together, of evenings, of a target.
    pub const DESIGN: &str = "design";
    /// A limit of minutes after closing by the clock.
    #[must_use]
    pub fn by_the_clock(time: &str) -> String {
        format!(", that is by {time}")
    }

    /// Evenings.
    pub const EVENINGS: &str = "‹evenings›";

    /// A target by its number.
    #[must_use]
    pub fn target(number: usize) -> String {
        format!("target {number}")
    }

    /// A target by its number, in a row that misses it.
    #[must_use]
    pub fn misses(number: usize) -> String {
        format!("misses {number}")
    }

    /// A target of safety, in a row that misses it.
    pub const UNSAFE: &str = "unsafe";

    /// What became of a design: it is dearer than the one chosen, has more or less, is close, is out, is open.
    pub const DEARER: &str = "dearer";
    /// More.
    pub const MORE: &str = "more";
    /// Less.
    pub const LESS: &str = "less";
    /// Close.
    pub const CLOSE: &str = "close";
    /// Open.
    pub const OPEN: &str = "open";
}

/// Why a design was dropped, in `choice.csv`.
pub mod why {
    /// Another is better.
    #[must_use]
    pub fn worse(point: u64) -> String {
        format!("worse than design point {point}")
    }

    /// Another is as good.
    #[must_use]
    pub fn close(point: u64) -> String {
        format!("not better by the indifference amount than design point {point}")
    }
}
