//! Charts of a study: curves, heat maps, factors, which factor moves most.

/// Where no design point has a value.
pub const NO_POINT: &str = "Nothing to show: no design point has a value.";
/// What the upward axis is, before its unit.
pub const PER_EVENING: &str = "Mean per ‹evening›";

/// The same with its unit.
#[must_use]
pub fn per_evening(unit: &str) -> String {
    format!("{PER_EVENING} ({unit})")
}

/// `40 evenings`, or `20 to 400 evenings`.
#[must_use]
pub fn evenings(least: u64, most: u64) -> String {
    match (least, most) {
        (_, 0) => "no ‹evening›".to_owned(),
        (1, 1) => "1 ‹evening›".to_owned(),
        (a, b) if a == b => format!("{a} ‹evenings›"),
        (a, b) => format!("{a} to {b} ‹evenings›"),
    }
}

/// Between two bounds.
pub const AND: &str = " and ";

/// A number in thousands of millions, and in millions.
pub const BILLIONS: &str = " bn";
/// Millions.
pub const MILLIONS: &str = " m";

/// Of curves: what dots or the line are.
#[must_use]
pub fn means(is_line: bool, evenings: &str, seed: u64) -> String {
    let mark = if is_line { "Line" } else { "Dot" };
    format!("{mark}: mean of {evenings}, seed {seed}.")
}

/// Of curves: what the band is, or the line at a dot.
#[must_use]
pub fn intervals(is_band: bool) -> String {
    let mark = if is_band { "Band" } else { "Line" };
    format!("{mark}: 95 % interval of the mean.")
}

/// What orange lines are.
pub const ORANGE_TARGET: &str = "Orange: the target.";

/// The same with the target in words.
#[must_use]
pub fn orange_target(target: &str) -> String {
    format!("Orange: the target, {target}.")
}

/// A target out of sight.
#[must_use]
pub fn out_of_sight(target: &str, is_above: bool) -> String {
    let side = if is_above { "above" } else { "below" };
    format!("The target, {target}, lies {side} the picture.")
}

/// Levels without a value.
#[must_use]
pub fn levels_without(count: usize) -> String {
    match count {
        1 => "One level has no value.".to_owned(),
        n => format!("{n} levels have no value."),
    }
}

/// Of factors: how many levels a long axis has.
#[must_use]
pub fn by_medians(axis: &str, levels: usize) -> String {
    format!("{axis}: {levels}, by their medians")
}

/// Of factors: what was played.
#[must_use]
pub fn points_of(points: usize, evenings: &str) -> String {
    format!("{points} design points of {evenings}.")
}

/// Of factors: what is dark and light.
pub const DARK_AND_LIGHT: &str = "Dark: median. Light: 10th–90th percentile.";
/// Of factors of a sample: what was taken out of the values.
pub const OTHERS_TAKEN_OUT: &str = "What the other factors do is taken out.";
/// Of factors: what a level dashed line is.
pub const DASHED_CHANCE: &str = "Dashed: no trend beyond chance.";
/// What a triangle on an axis is.
pub const BASE_MARKED: &str = "Triangle: the base.";

/// What a cross is, and how many there are.
#[must_use]
pub fn crossed(points: usize) -> String {
    let points = match points {
        1 => "1 point".to_owned(),
        n => format!("{n} points"),
    };
    format!("Cross: unsafe or unfinished, {points}.")
}

/// Of factors: what dots are.
pub const DOTS: &str = "Dot: a point.";

/// Of factors: which of them are shown.
#[must_use]
pub fn differ_most(shown: usize, all: usize) -> String {
    format!("{shown} of {all} factors, those with most effect.")
}

/// Of heat maps: what a cell is.
#[must_use]
pub fn cells(evenings: &str, seed: u64) -> String {
    format!("Mean of {evenings} in each cell, seed {seed}.")
}

/// Of heat maps: what ± is.
pub const PLUS_MINUS: &str = "±: half-width of its 95 % interval.";

/// Of heat maps: what panels are.
#[must_use]
pub fn panels_of(factor: &str) -> String {
    format!("A panel for each level of {factor}.")
}

/// Of heat maps: which panels are shown.
#[must_use]
pub fn levels_shown(shown: usize, all: usize, factor: &str) -> String {
    format!("{shown} of the {all} levels of {factor}.")
}

/// The target of this measure.
#[must_use]
pub fn the_target(target: &str) -> String {
    format!("the target, {target}")
}

/// Targets of other measures.
pub const ALL_TARGETS: &str = "all targets of the study";

/// What is outlined, if any cell is: by the estimates of all targets, or by the mean.
#[must_use]
pub fn outlined(target: &str, any: bool, by_mean: bool) -> String {
    if any && !by_mean {
        format!("Outlined: {target} are met, by their estimates.")
    } else if any {
        format!("Outlined: the mean meets {target}.")
    } else {
        format!("No cell meets {target}.")
    }
}

/// What a marked corner is.
pub const COULD_BE_LUCK: &str = "Could be luck: the interval reaches across the target.";

/// Signs of the legend of a heat map: outline, corner, hatching.
#[must_use]
pub const fn met(is_own: bool) -> &'static str {
    if is_own { "target met" } else { "targets met" }
}
/// A marked corner.
pub const SIGN_OF_LUCK: &str = "could be luck";
/// Hatching.
pub const SIGN_OF_NONE: &str = "no value";

/// Of swings: what bars and lines are. Levels that are names are neither low nor high.
#[must_use]
pub fn swings(numbers: bool, names: bool) -> Vec<String> {
    let colours = match (numbers, names) {
        (true, true) => "Orange, blue: its low and high level, or the two levels named.",
        (false, true) => "Orange, blue: the two levels named.",
        _ => "Orange: its low level. Blue: its high level.",
    };
    vec![
        format!("One factor at a time from the base. {colours}"),
        "Line: 95 % interval of the paired difference from the base. Pale: it could be luck."
            .to_owned(),
    ]
}

/// Of swings: the line of a target.
#[must_use]
pub fn target_line(target: &str) -> String {
    format!("Orange line: the target, {target}.")
}

/// A bound that holds in a share of the evenings.
#[must_use]
pub fn in_share(bound: &str, share: f64) -> String {
    format!(
        "{bound} in {} % of ‹evenings›",
        (1000.0 * share).round() / 10.0
    )
}

/// What a target asks of the evenings, where the line has room for its limit alone.
#[must_use]
pub fn the_target_is(target: &str) -> String {
    format!("It is {target}.")
}

/// Of swings that are none at all.
#[must_use]
pub fn nothing_moves(base: &str, unit: &str) -> String {
    format!("No factor moves it: {base} {unit} at the base and at every level.")
}

/// Instead of an axis with nothing on it.
#[must_use]
pub fn none_of(measure: &str) -> &'static str {
    match measure {
        "dried_on_share" => "Nothing dried on at any design point.",
        _ => "None at any design point.",
    }
}

/// Of swings: which factors are shown.
#[must_use]
pub fn move_most(shown: usize, all: usize) -> String {
    format!("The {shown} of {all} factors that move it most.")
}

/// Of swings: how many factors have no value.
#[must_use]
pub fn without(factors: usize) -> String {
    format!("Without a value: {factors}.")
}

/// Of swings: the seed.
#[must_use]
pub fn seed(seed: u64) -> String {
    format!("Seed {seed}.")
}

/// Of swings: the value of the base.
#[must_use]
pub fn base(number: &str, unit: &str) -> String {
    format!("base: {number} {unit}")
}
