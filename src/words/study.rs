//! Targets and design points of a study, as all its outputs name them.

/// In place of a currency, where prices name none.
pub const NO_CURRENCY: &str = "no currency that is named";

/// The side of a limit.
#[must_use]
pub const fn side(is_upper: bool) -> &'static str {
    if is_upper { "at most" } else { "at least" }
}

/// A limit in the unit of its measure: `at most 3 %`.
#[must_use]
pub fn limit(is_upper: bool, limit: f64, unit: &str) -> String {
    let side = side(is_upper);
    match unit {
        "1" => format!("{side} {} %", limit * 100.0),
        unit => format!("{side} {limit} {unit}"),
    }
}

/// A target: `covers that had to wait for ware: at most 0 covers in 95 % of evenings`.
#[must_use]
pub fn target(measure: &str, limit: &str, in_share: Option<f64>) -> String {
    match in_share {
        Some(share) => format!("{measure}: {limit} in {} % of ‹evenings›", share * 100.0),
        None => format!("{measure}: {limit}"),
    }
}

/// A design point by its number, or one beside the design, with what it sets.
#[must_use]
pub fn point(number: Option<u64>, settings: &[String]) -> String {
    let what = number.map_or_else(
        || "one factor alone".to_owned(),
        |number| format!("design point {number}"),
    );
    if settings.is_empty() {
        return format!("{what}: the base scenario");
    }
    format!("{what}: {}", settings.join(", "))
}
