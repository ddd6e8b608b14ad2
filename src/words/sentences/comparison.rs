//! An alternative in one plain sentence, clause by clause. What may be claimed is `study`'s to say.

use crate::scenario::units::clock_text;
use crate::service::measure::Measure;
use crate::words::measures::label;
use crate::words::number::{self, decimals};
use crate::words::text::listed;

/// Where there is too little to compare.
pub const TOO_FEW: &str = "Fewer than two ‹evenings› were finished, so nothing can be said.";

/// Who or what makes the difference, at the head of a sentence.
#[derive(Debug, Clone)]
pub struct Subject {
    /// As it is named.
    pub who: String,
    /// Whether they are several.
    pub several: bool,
}

impl Subject {
    /// An alternative by its title.
    pub fn titled(title: &str) -> Self {
        let who = format!("“{title}”");
        Self {
            who,
            several: false,
        }
    }

    /// The same where nothing was changed.
    pub fn unchanged(title: &str) -> Self {
        let who = format!("“{title}”, which has the same settings,");
        Self {
            who,
            several: false,
        }
    }

    /// In a clause that goes on.
    pub fn again(&self) -> Self {
        Self {
            who: self.verb("they", "it").to_owned(),
            several: self.several,
        }
    }

    const fn verb<'a>(&self, several: &'a str, one: &'a str) -> &'a str {
        if self.several { several } else { one }
    }
}

/// A measure's mean in both scenarios.
#[derive(Debug, Clone, Copy)]
pub struct Means {
    /// The measure.
    pub measure: Measure,
    /// In the base, then in the alternative.
    pub both: [Option<f64>; 2],
    /// Half-widths of their intervals: a sentence has the digits of the table.
    pub half_widths: [Option<f64>; 2],
    /// When both close, time of day, s: what is counted from there is said by the clock.
    pub closes_s: [f64; 2],
}

/// Racks below a minimum; of a base without one nothing is said.
pub fn washes_cold(racks: &Means) -> String {
    format!(
        "Unsafe: {} per ‹evening› are washed or rinsed below a minimum{}. ",
        few(racks),
        beside(racks)
    )
}

/// Racks in water older than it may be; the same.
pub fn washes_in_old_water(racks: &Means) -> String {
    format!(
        "Unsafe: {} per ‹evening› are washed in water older than allowed{}. ",
        few(racks),
        beside(racks)
    )
}

/// Evenings that were given up.
pub fn is_left_undone(count: u64, of: u64) -> String {
    format!(
        "Unsafe: {count} of {of} ‹evenings› are not finished; cost and waits leave out what was not done. "
    )
}

fn few(racks: &Means) -> String {
    format!("{} racks", figures(racks, true)[1])
}

fn beside(racks: &Means) -> String {
    match racks.both[0] {
        None => String::new(),
        Some(0.0) => " (none in the base)".to_owned(),
        Some(_) => format!(" ({} in the base)", figures(racks, true)[0]),
    }
}

/// More dirty ware sent out, as shares of what leaves as clean.
pub fn sends_out_dirty(share: &Means) -> String {
    let [base, other] = figures(share, true);
    format!("More dirty ware is sent out: {other} of what leaves as clean, {base} in the base. ")
}

/// `2 helpers take dried-on ware from 17.1 % to under 0.1 %, and get the crew out at 23:28 instead of 00:07`.
pub fn takes(subject: &Subject, all: &[Means]) -> String {
    let (timed, others): (Vec<&Means>, Vec<&Means>) =
        all.iter().partition(|means| gets(means.measure).is_some());
    let others: Vec<String> = others.into_iter().map(from_to).collect();
    let timed: Vec<String> = timed.into_iter().filter_map(at_instead).collect();
    let mut said = Vec::new();
    if !others.is_empty() {
        let verb = subject.verb("take", "takes");
        said.push(format!("{verb} {}", listed(&others)));
    }
    if !timed.is_empty() {
        let verb = subject.verb("get", "gets");
        said.push(format!("{verb} {}", listed(&timed)));
    }
    format!("{} {}", subject.who, said.join(", and "))
}

/// What is got, where a measure is a moment after closing.
const fn gets(measure: Measure) -> Option<&'static str> {
    match measure {
        Measure::CrewOutAfterClose => Some("the crew out"),
        Measure::LastRackAfterClose => Some("the last rack out"),
        Measure::LastGuestAfterClose => Some("the last guests out"),
        Measure::LastWareAfterClose => Some("the last soiled ware in"),
        _ => None,
    }
}

/// `the crew out at 23:28 instead of 00:07`.
fn at_instead(means: &Means) -> Option<String> {
    let what = gets(means.measure)?;
    let [base, other] = clocks(means, true)?;
    Some(format!("{what} at {other} instead of {base}"))
}

/// Both moments by the clock, to the minute or to as many minutes as the table; to the second if they would read the same
/// and must not.
fn clocks(means: &Means, apart: bool) -> Option<[String; 2]> {
    let [base, other] = means.both;
    let minutes = [base?, other?];
    let at = |side: usize, minutes: f64| means.closes_s[side] + 60.0 * minutes;
    let to_the_minute = |side: usize| {
        let places = decimals(means.half_widths[side], 0).min(0);
        let step = libm::pow(10.0, f64::from(-places));
        let minutes = libm::round(minutes[side] / step) * step;
        clock_text(60.0 * libm::round(at(side, minutes) / 60.0))
    };
    let both = [0, 1].map(to_the_minute);
    if apart && both[0] == both[1] {
        return Some([0, 1].map(|side| clock_text(at(side, minutes[side]))));
    }
    Some(both)
}

fn from_to(means: &Means) -> String {
    let [base, other] = figures(means, true);
    let (noun, after) = words(means.measure);
    format!("{noun} from {base} to {other}{after}")
}

/// What could be luck: `the difference in covers short of ware (34 and 32) could be luck`.
pub fn could_be_luck(all: &[Means]) -> String {
    let all: Vec<String> = all.iter().map(in_both).collect();
    format!("the difference in {} could be luck", listed(&all))
}

/// Both values in brackets, one where they read the same.
fn in_both(means: &Means) -> String {
    let (noun, after) = words(means.measure);
    let [base, other] = match gets(means.measure) {
        Some(_) => clocks(means, false).unwrap_or_else(|| figures(means, false)),
        None => figures(means, false),
    };
    if base == other {
        format!("{noun} ({base}{after} in both)")
    } else {
        format!("{noun} ({base} and {other}{after})")
    }
}

/// What is real, and too small to matter.
pub fn too_small(all: &[Means]) -> String {
    let all: Vec<String> = all.iter().map(in_both).collect();
    format!("the difference in {} is too small to matter", listed(&all))
}

/// What could be luck, and would be too small to matter in any case.
pub fn none_that_matters(all: &[Means]) -> String {
    let all: Vec<String> = all.iter().map(in_both).collect();
    format!("nothing that matters changes in {}", listed(&all))
}

/// No difference at all, or none that is certain and matters: whether something is too small, whether something could be
/// luck.
pub fn no_difference(subject: &Subject, evenings: u64, seen: (bool, bool)) -> String {
    let verb = subject.verb("make", "makes");
    let certain = if seen.1 { "certain " } else { "" };
    let matters = if seen.0 { " that matters" } else { "" };
    format!(
        "{} {verb} no {certain}difference{matters} in {evenings} ‹evenings›",
        subject.who
    )
}

/// Measures that came out the same in every evening.
pub fn nothing_changes(measures: &[Measure]) -> String {
    let names: Vec<String> = measures.iter().map(|measure| words(*measure).0).collect();
    format!("nothing at all changes in {}", listed(&names))
}

/// The cost, as what is paid or saved, to the digits that the half-width of the difference supports.
pub fn cost(subject: &Subject, [mean, half_width]: [Option<f64>; 2], cost: &Means) -> String {
    let most = cost.measure.info().decimals as i32;
    let difference = number::text(mean.map(f64::abs), decimals(half_width, most));
    let [base, other] = figures(cost, true);
    let (verb, more) = if mean > Some(0.0) {
        (subject.verb("cost", "costs"), " more")
    } else {
        (subject.verb("save", "saves"), "")
    };
    format!(
        "{} {verb} {difference}‹ money›{more} per service ({other} instead of {base})",
        subject.who,
    )
}

/// The labour, where there is no cost to compare.
pub fn labour_instead(labour: &Means, differs: bool) -> String {
    let [base, other] = figures(labour, differs);
    let hours = if differs {
        format!("{other} h per service instead of {base} h")
    } else {
        format!("{base} h in both")
    };
    format!("they do not both have prices, so there is no cost to compare; labour is {hours}")
}

/// What a measure is called in a sentence, and what stands behind its figures.
fn words(measure: Measure) -> (String, &'static str) {
    let (noun, after) = match measure {
        Measure::DriedOnShare => ("dried-on ware", ""),
        Measure::RewashedShare => ("ware washed again", ""),
        Measure::SentOutSoiledShare => ("ware sent out dirty", ""),
        Measure::WaitMean => ("the mean wait", " min"),
        Measure::WaitP95 => ("the 95th percentile of the wait", " min"),
        Measure::SoakMean => ("the mean time in the soak", " min"),
        Measure::SoiledWaitingMean => ("what waits on average", " pieces"),
        Measure::SoiledWaitingMax => ("what piles up at most", " pieces"),
        Measure::ShortCovers => ("covers short of ware", ""),
        Measure::CrewOutAfterClose => ("when the crew is out", ""),
        Measure::LastRackAfterClose => ("when the last rack is out", ""),
        Measure::LastGuestAfterClose => ("when the last guests are gone", ""),
        Measure::LastWareAfterClose => ("when the last soiled ware is in", ""),
        Measure::Overtime => ("overtime", " min"),
        Measure::LabourHours => ("labour", " h"),
        Measure::Cost => ("cost", "‹ money› per service"),
        _ => return (label(measure.info()), unit_of(measure)),
    };
    (noun.to_owned(), after)
}

/// The unit behind a figure, with its space; a share has its sign already.
fn unit_of(measure: Measure) -> &'static str {
    match measure.info().unit {
        "min" => " min",
        "h" => " h",
        "L" => " L",
        "kWh" => " kWh",
        "kg" => " kg",
        "racks/h" => " racks/h",
        "money" => "‹ money›",
        _ => "",
    }
}

/// Both means to the digits of the table; with more if they would read the same and must not.
fn figures(means: &Means, apart: bool) -> [String; 2] {
    let info = means.measure.info();
    let is_share = info.unit == "1";
    let (factor, less) = if is_share { (100.0, 2) } else { (1.0, 0) };
    let scaled = |values: [Option<f64>; 2]| values.map(|value| Some(factor * value?));
    let most = (info.decimals as i32 - less).max(0);
    let [both, half_widths] = [means.both, means.half_widths].map(scaled);
    // A table may show one digit more, so that its interval is not "0.0"; a sentence has none.
    let seen = |half_width: &f64| *half_width >= 0.5 * libm::pow(0.1, f64::from(most));
    let half_widths = half_widths.map(|half_width| half_width.filter(seen));
    let texts = number::pair(both, half_widths, most, apart);
    [0, 1].map(|at| match both[at] {
        Some(_) if is_share => share(both[at], &texts[at]),
        _ => texts[at].clone(),
    })
}

/// A share in per cent, which has its sign with it.
fn share(percent: Option<f64>, text: &str) -> String {
    let is_nothing = !text.contains(|digit| ('1'..='9').contains(&digit));
    match percent {
        Some(percent) if percent <= 0.0 => "none".to_owned(),
        Some(_) if is_nothing => {
            let decimals = text
                .split_once('.')
                .map_or(0, |(_, decimals)| decimals.len());
            let step = number::text(Some(libm::pow(0.1, decimals as f64)), decimals as i32);
            format!("under {step} %")
        }
        _ => format!("{text} %"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_would_read_the_same_gets_more_decimals() {
        let [seen, close] = [[17.2, 20.9], [17.23, 17.31]].map(|both| Means {
            measure: Measure::WaitMean,
            both: both.map(Some),
            half_widths: [Some(2.0); 2],
            closes_s: [82_800.0; 2],
        });
        assert_eq!(from_to(&seen), "the mean wait from 17 to 21 min");
        assert_eq!(from_to(&close), "the mean wait from 17.2 to 17.3 min");
        assert_eq!(in_both(&close), "the mean wait (17 min in both)");
        assert_eq!(share(Some(0.04), "0.0"), "under 0.1 %");
        assert_eq!(share(Some(0.04), "0"), "under 1 %");
        assert_eq!(share(Some(0.04), "0.04"), "0.04 %");
        assert_eq!(share(Some(0.0), "0"), "none");
    }

    #[test]
    fn moments_after_closing_are_said_by_the_clock() {
        let [wait, out, near] = [
            (Measure::WaitMean, [20.0, 10.0]),
            (Measure::CrewOutAfterClose, [67.4, 27.6]),
            (Measure::CrewOutAfterClose, [67.0, 66.9]),
        ]
        .map(|(measure, both)| Means {
            measure,
            both: both.map(Some),
            half_widths: [Some(2.0); 2],
            closes_s: [82_800.0; 2],
        });
        let [one, two] = [("A loader", false), ("2 loaders", true)].map(|(who, several)| Subject {
            who: who.to_owned(),
            several,
        });
        assert_eq!(
            takes(&one, &[wait, out]),
            "A loader takes the mean wait from 20 to 10 min, and gets the crew out at 23:28 instead of 00:07"
        );
        assert_eq!(
            takes(&two, &[near]),
            "2 loaders get the crew out at 00:06:54 instead of 00:07"
        );
        assert_eq!(in_both(&out), "when the crew is out (00:07 and 23:28)");
        assert_eq!(in_both(&near), "when the crew is out (00:07 in both)");
        // Where the table gives tens of minutes, so does the clock.
        let unsure = Means {
            half_widths: [Some(20.0); 2],
            ..out
        };
        assert_eq!(in_both(&unsure), "when the crew is out (00:10 and 23:30)");
        let earlier = Means {
            closes_s: [82_800.0, 79_200.0],
            ..near
        };
        assert_eq!(in_both(&earlier), "when the crew is out (00:07 and 23:07)");
    }
}
