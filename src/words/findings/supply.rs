//! Findings of the water supply.

use super::{Said, said};

/// Something that would take more than the supply gives, both in L/min.
pub fn slow(name: &str, [wants, gives]: [f64; 2]) -> Said {
    said(
        format!(
            "{name} would fill with {wants:.0} L/min, and the supply gives {gives:.0}: it takes longer than its `flow` says"
        ),
        "let the supply give more, or begin to fill earlier",
    )
}
