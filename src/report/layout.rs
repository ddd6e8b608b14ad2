//! Text as a terminal shows it: lines, bold, wrapping, findings and the caution.

use super::json::severity;
use crate::scenario::visible::{BOLD, PLAIN, is_obeyed};
use crate::study::evening::Finding;
use crate::study::published;
use std::fmt::Write;

/// Columns of the terminal that are used at most.
pub(super) const WIDTH: usize = 92;

pub(super) fn line(out: &mut String, text: &str) {
    out.push_str(text.trim_end());
    out.push('\n');
}

pub(super) fn bold(text: &str) -> String {
    format!("{BOLD}{text}{PLAIN}")
}

/// Without characters that a terminal obeys rather than shows, ends of lines among them.
pub(super) fn printable(text: &str) -> String {
    text.chars().filter(|c| !is_obeyed(*c)).collect()
}

pub(super) fn shortened(name: &str, width: usize) -> String {
    if name.chars().count() <= width {
        return name.to_owned();
    }
    let kept: String = name.chars().take(width - 2).collect();
    format!("{kept}… ")
}

pub(super) fn findings(out: &mut String, findings: &[Finding]) {
    for finding in findings {
        line(out, "");
        let label = format!(
            "{} ({})",
            severity(finding.severity).to_uppercase(),
            finding.code
        );
        line(out, &bold(&label));
        wrapped(out, &printable(&finding.evidence), "  ", "  ");
        if !finding.advice.is_empty() {
            wrapped(out, &printable(&finding.advice), "  advice: ", "          ");
        }
    }
}

/// `text` in lines of at most [`WIDTH`], the first after `first`, the others after `rest`.
pub(super) fn wrapped(out: &mut String, text: &str, first: &str, rest: &str) {
    let mut current = first.to_owned();
    let mut is_empty = true;
    // A unit stays with its number, and a half-width with its mean.
    let joined = text.replace(" %", "\u{a0}%").replace(" min", "\u{a0}min");
    let joined = joined.replace(" ± ", "\u{a0}±\u{a0}");
    for word in joined.split([' ', '\n']).filter(|word| !word.is_empty()) {
        if !is_empty && current.chars().count() + 1 + word.chars().count() > WIDTH {
            line(out, &current);
            current = rest.to_owned();
            is_empty = true;
        }
        let gap = if is_empty { "" } else { " " };
        let _ = write!(current, "{gap}{}", word.replace('\u{a0}', " "));
        is_empty = false;
    }
    line(out, &current);
}

/// Stands under whatever is planned by water that scalds.
pub(super) fn careful(out: &mut String) {
    line(out, "");
    let told = format!(
        "Final-rinse water and fresh racks scald; never reach into a running machine. {}",
        published::CAUTION
    );
    wrapped(out, &told, "", "");
}
