//! The evening in one plain sentence.

use crate::service::obstacle::Obstacle;
use crate::words::names::lack_of;
use crate::words::text::rounded;

/// Where no evening came to its end.
pub const NO_EVENING: &str = "No evening was finished, so there is nothing to say.";

/// What a manager would want to know first: means over the evenings played, of what there is.
#[derive(Debug, Clone, Copy)]
pub struct Figures<'a> {
    /// Mean and 95th percentile of the wait, min.
    pub wait_min: Option<(f64, f64)>,
    /// Most soiled pieces that waited.
    pub most_pieces: Option<f64>,
    /// Share that dried on.
    pub dried_on: Option<f64>,
    /// Covers short of ware.
    pub short_covers: Option<f64>,
    /// When the crew was out, min after closing.
    pub crew_out_min: Option<f64>,
    /// The station that held up the line, and what it lacked.
    pub binds: Option<(&'a str, Obstacle)>,
    /// Evenings that were never finished, and all evenings.
    pub unfinished: (u64, u64),
}

/// The sentence.
pub fn of(figures: &Figures<'_>) -> String {
    let mut parts = Vec::new();
    if let Some((wait, p95)) = figures.wait_min {
        parts.push(format!(
            "soiled ware waits {wait:.0} min (95th percentile {p95:.0} min)"
        ));
    }
    if let Some(most) = figures.most_pieces {
        parts.push(format!("up to {} pieces pile up", rounded(most)));
    }
    if let Some(dried) = figures.dried_on {
        parts.push(format!("{} dried on", percent(dried)));
    }
    if let Some(short) = figures.short_covers {
        parts.push(if short > 0.0 {
            format!("{} short of ware", covers(short))
        } else {
            "nobody is short of ware".into()
        });
    }
    if let Some(out) = figures.crew_out_min {
        parts.push(out_at(out));
    }
    let mut text = format!("On average {}", parts.join(", "));
    let (unfinished, of) = figures.unfinished;
    match figures.binds {
        Some((station, obstacle)) => {
            text += &format!(
                "; {station} holds up the line, for lack of {}",
                lack_of(obstacle)
            );
        }
        None if unfinished == 0 => text += "; nothing holds the line up for long",
        None => {}
    }
    if unfinished > 0 {
        text += &format!("; {unfinished} of {of} evenings were never finished");
    }
    text + "."
}

fn covers(short: f64) -> String {
    if short < 1.0 {
        "hardly anybody is".into()
    } else if short < 1.5 {
        "one cover is".into()
    } else {
        format!("{short:.0} covers are")
    }
}

fn percent(share: f64) -> String {
    if share <= 0.0 {
        "nothing has".into()
    } else if share < 0.001 {
        "under 0.1 % has".into()
    } else {
        format!("{:.1} % has", 100.0 * share)
    }
}

fn out_at(minutes: f64) -> String {
    if minutes.abs() < 0.5 {
        "and the crew is out at closing".into()
    } else if minutes < 0.0 {
        format!("and the crew is out {:.0} min before closing", -minutes)
    } else {
        format!("and the crew is out {minutes:.0} min after closing")
    }
}
