//! Findings of help that is called in.

use super::{Often, Said, often, said};
use crate::words::text::rounded;

/// Help that is called from more pieces than there are.
pub fn never_comes(row: &str, once_waiting: u32, pieces: f64) -> Said {
    let all = rounded(pieces);
    said(
        format!(
            "{row} is called in once {once_waiting} soiled pieces wait, and only some {all} come in the whole ‹evening›"
        ),
        "lower `once_waiting`, or take the row out",
    )
}

/// Help that was not called in any evening.
pub fn never_called(row: &str, n: u64, once_waiting: u32, most: f64) -> Said {
    let most = rounded(most);
    said(
        format!(
            "{row} was called in none of {n} ‹evenings›: {once_waiting} soiled pieces never waited while it could be \
             called. Most at once were {most} on average"
        ),
        "lower `once_waiting`, or let the shift begin earlier, if help is to come at all",
    )
}

/// How often help was called.
pub fn called(row: &str, count: Often, hours: f64) -> Said {
    said(
        format!(
            "{row} was called {}, and was there for {hours:.1} h on average, all ‹evenings› together",
            often(count)
        ),
        "their hours are in the cost; somebody has to be at home to be called",
    )
}
