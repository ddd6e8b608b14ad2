//! The evening in one plain sentence.

use super::binding::binding;
use super::evening::Evening;
use crate::service::measure::Measure;

/// What a manager would want to know first: how long ware waited, what piled up, what dried on, what ran
/// short, when the crew was out, and what held everything up. Means over the evenings played.
#[must_use]
pub fn of(evening: &Evening) -> String {
    if evening.replications == 0 {
        return "No evening was finished, so there is nothing to say.".into();
    }
    let mean = |measure: Measure| evening.measures[measure as usize].mean;
    let mut parts = Vec::new();
    if let (Some(wait), Some(p95)) = (mean(Measure::WaitMean), mean(Measure::WaitP95)) {
        parts.push(format!(
            "soiled ware waits {wait:.0} min (95th percentile {p95:.0} min)"
        ));
    }
    if let Some(most) = mean(Measure::SoiledWaitingMax) {
        parts.push(format!("up to {} pieces pile up", rounded(most)));
    }
    if let Some(dried) = mean(Measure::DriedOnShare) {
        parts.push(format!("{} dried on", percent(dried)));
    }
    if let Some(short) = mean(Measure::ShortCovers) {
        parts.push(if short > 0.0 {
            format!("{} short of ware", covers(short))
        } else {
            "nobody is short of ware".into()
        });
    }
    if let Some(out) = mean(Measure::CrewOutAfterClose) {
        parts.push(out_at(out));
    }
    let mut text = format!("On average {}", parts.join(", "));
    match binding(evening) {
        Some(binding) => {
            text += &format!(
                "; {} holds up the line, for lack of {}",
                binding.duty.name(),
                binding.want()
            );
        }
        None if evening.unfinished == 0 => text += "; nothing holds the line up for long",
        None => {}
    }
    if evening.unfinished > 0 {
        text += &format!(
            "; {} of {} evenings were never finished",
            evening.unfinished, evening.replications
        );
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

/// To two significant digits, as one would say it.
#[must_use]
pub fn rounded(value: f64) -> String {
    if value < 100.0 {
        return format!("{value:.0}");
    }
    let step = libm::pow(10.0, libm::floor(libm::log10(value)) - 1.0);
    format!("{:.0}", libm::round(value / step) * step)
}
