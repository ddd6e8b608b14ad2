//! Findings of who does not come, or comes late.

use super::{Often, Said, often, said};

/// In how many evenings somebody did not come, and how many they were on average; in how many somebody was late, and how
/// late they were together, min.
pub fn missing((absent, people): (Often, f64), (late, late_min): (Often, f64)) -> Said {
    let mut parts = Vec::new();
    if absent.count > 0 {
        parts.push(format!(
            "somebody of the roster did not come {}; that is {people:.2} people an ‹evening›",
            often(absent)
        ));
    }
    if late.count > 0 {
        parts.push(format!(
            "somebody was late {}, by {late_min:.1} min an ‹evening›, all together",
            often(late)
        ));
    }
    if parts.is_empty() {
        parts.push(format!(
            "everybody came in time in all {} ‹evenings›, though somebody may not",
            absent.n
        ));
    }
    said(
        parts.join(". Besides, "),
        "the spread of the measures has it in it; to see such an ‹evening› alone, write `absent = 1` for that row",
    )
}
