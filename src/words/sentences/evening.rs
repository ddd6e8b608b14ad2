//! The evening in one plain sentence.

use crate::service::obstacle::Obstacle;
use crate::words::names::lack_of;
use crate::words::text::rounded;

/// Where no evening came to its end.
pub const NO_EVENING: &str = "No ‹evening› was finished, so there is nothing to say.";

/// What a manager would want to know first: means over the evenings played, of what there is.
#[derive(Debug, Clone)]
pub struct Figures<'a> {
    /// Mean and 95th percentile of the wait, min.
    pub wait_min: Option<(f64, f64)>,
    /// The mean wait of which one evening in ten stays below, and one goes above, min.
    pub wait_evenings_min: Option<[f64; 2]>,
    /// Most soiled pieces that waited at any moment, the mean over evenings.
    pub most_pieces: Option<f64>,
    /// Share that dried on.
    pub dried_on: Option<f64>,
    /// Covers short of ware.
    pub short_covers: Option<f64>,
    /// By the clock, when the crew was out, and when it was out later in one evening of ten.
    pub crew_out: Option<[String; 2]>,
    /// The station that held up the line, and what it lacked.
    pub binds: Option<(&'a str, Obstacle)>,
    /// Evenings that were never finished, and all evenings.
    pub unfinished: (u64, u64),
}

/// The sentence.
pub fn of(figures: &Figures<'_>) -> String {
    let mut parts = Vec::new();
    if let Some((wait, p95)) = figures.wait_min {
        parts.push(waits(wait, p95, figures.wait_evenings_min));
    }
    if let Some(most) = figures.most_pieces {
        parts.push(format!("{} pieces wait at the worst moment", rounded(most)));
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
    if let Some(out) = &figures.crew_out {
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
        text += &format!("; {unfinished} of {of} ‹evenings› were never finished");
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

/// How evenings vary, not how well the mean is known.
fn waits(wait: f64, p95: f64, evenings: Option<[f64; 2]>) -> String {
    let text = format!("soiled ware waits {wait:.0} min, 5 % of it over {p95:.0} min");
    match evenings.map(|ends| ends.map(|end| format!("{end:.0}"))) {
        Some([low, high]) if low != high => {
            format!("{text} (‹evenings› vary from {low} to {high} min, 10th to 90th percentile)")
        }
        _ => text,
    }
}

fn out_at([mean, late]: &[String; 2]) -> String {
    if mean == late {
        return format!("and the crew is out at {mean}");
    }
    format!("and the crew is out at {mean} (one ‹evening› in ten after {late})")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::wording::Wording;

    #[test]
    fn times_are_those_of_the_clock_and_evenings_vary() {
        let figures = Figures {
            wait_min: Some((34.2, 73.4)),
            wait_evenings_min: Some([24.6, 45.1]),
            most_pieces: Some(1_512.0),
            dried_on: None,
            short_covers: None,
            crew_out: Some(["00:11", "00:41"].map(str::to_owned)),
            binds: None,
            unfinished: (0, 200),
        };
        let said = "On average soiled ware waits 34 min, 5 % of it over 73 min (evenings vary from 25 to 45 min, 10th \
                    to 90th percentile), 1500 pieces wait at the worst moment, and the crew is out at 00:11 (one \
                    evening in ten after 00:41); nothing holds the line up for long.";
        assert_eq!(Wording::default().said(&of(&figures)), said);
        let alike = Figures {
            wait_evenings_min: Some([34.2, 34.2]),
            crew_out: Some(["00:11", "00:11"].map(str::to_owned)),
            ..figures
        };
        let said = of(&alike);
        assert!(said.contains("over 73 min, 1500 pieces"), "{said}");
        assert!(said.contains("out at 00:11;"), "{said}");
    }
}
