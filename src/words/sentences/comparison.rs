//! An alternative in one plain sentence, clause by clause. What may be claimed is `study`'s to say.

use crate::scenario::units::clock_text;
use crate::service::measure::Measure;
use crate::words::measures::label;
use crate::words::text::{listed, rounded};

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
    /// When both close, time of day, s: what is counted from there is said by the clock.
    pub closes_s: [f64; 2],
}

/// Racks below a minimum, in the alternative and in the base, which may have no minimum.
pub fn washes_cold(racks: f64, base: Option<f64>) -> String {
    format!(
        "Unsafe: {} racks per ‹evening› are washed or rinsed below a minimum{}. ",
        few(racks),
        beside(base)
    )
}

/// Racks in water older than it may be; the same.
pub fn washes_in_old_water(racks: f64, base: Option<f64>) -> String {
    format!(
        "Unsafe: {} racks per ‹evening› are washed in water older than allowed{}. ",
        few(racks),
        beside(base)
    )
}

/// Evenings that were given up.
pub fn is_left_undone(count: u64, of: u64) -> String {
    format!(
        "Unsafe: {count} of {of} ‹evenings› are not finished; cost and waits leave out what was not done. "
    )
}

fn few(racks: f64) -> String {
    match racks {
        _ if racks == 0.0 => "none".to_owned(),
        _ if racks < 0.05 => "under 0.1".to_owned(),
        _ if racks < 9.95 => format!("{racks:.1}"),
        _ => format!("{racks:.0}"),
    }
}

fn beside(base: Option<f64>) -> String {
    base.map_or_else(String::new, |base| format!(" ({} in the base)", few(base)))
}

/// More dirty ware sent out, as shares of what leaves as clean.
pub fn sends_out_dirty(base: f64, other: f64) -> String {
    format!(
        "More dirty ware is sent out: {:.2} % of what leaves as clean, {:.2} % in the base. ",
        100.0 * other,
        100.0 * base
    )
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

/// Both moments by the clock, to the minute; to the second if they would read the same and must not.
fn clocks(means: &Means, apart: bool) -> Option<[String; 2]> {
    let [base, other] = means.both;
    let [base_s, other_s] = [
        means.closes_s[0] + 60.0 * base?,
        means.closes_s[1] + 60.0 * other?,
    ];
    let to_the_minute = |time_s: f64| clock_text(60.0 * (time_s / 60.0).round());
    let both = [to_the_minute(base_s), to_the_minute(other_s)];
    if apart && both[0] == both[1] {
        return Some([clock_text(base_s), clock_text(other_s)]);
    }
    Some(both)
}

fn from_to(means: &Means) -> String {
    let [base, other] = values(means);
    let (noun, after) = words(means.measure);
    format!("{noun} from {base} to {other}{after}")
}

/// What could be luck: `the difference in covers short of ware (34 and 32) could be luck`.
pub fn could_be_luck(all: &[Means]) -> String {
    let all: Vec<String> = all.iter().map(in_both).collect();
    format!("the difference in {} could be luck", listed(&all))
}

fn in_both(means: &Means) -> String {
    let (noun, after) = words(means.measure);
    let [base, other] = match gets(means.measure) {
        Some(_) => clocks(means, false).unwrap_or_else(|| figures(means, 0)),
        None => figures(means, 0),
    };
    if base == other {
        format!("{noun} ({base}{after} in both)")
    } else {
        format!("{noun} ({base} and {other}{after})")
    }
}

/// What is real, and too small to matter.
pub fn too_small(all: &[Means]) -> String {
    let all: Vec<String> = all.iter().map(apart).collect();
    format!("the difference in {} is too small to matter", listed(&all))
}

/// What could be luck, and would be too small to matter in any case.
pub fn none_that_matters(all: &[Means]) -> String {
    let all: Vec<String> = all.iter().map(in_both).collect();
    format!("nothing that matters changes in {}", listed(&all))
}

/// Both values, with as many digits as show that they differ.
fn apart(means: &Means) -> String {
    let (noun, after) = words(means.measure);
    let [base, other] = match gets(means.measure) {
        Some(_) => clocks(means, true).unwrap_or_else(|| values(means)),
        None => values(means),
    };
    format!("{noun} ({base} and {other}{after})")
}

/// No difference at all, or none that is certain and matters: whether something is too small, whether something could be
/// luck.
pub fn no_difference(subject: &Subject, evenings: u64, seen: (bool, bool)) -> String {
    let verb = subject.verb("make", "makes");
    let which = match seen {
        (false, false) => "",
        (true, false) => " that matters",
        (false, true) => " that could not be luck",
        (true, true) => " that matters and could not be luck",
    };
    format!(
        "{} {verb} no difference{which} in {evenings} ‹evenings›",
        subject.who
    )
}

/// Measures that came out the same in every evening.
pub fn nothing_changes(measures: &[Measure]) -> String {
    let names: Vec<String> = measures.iter().map(|measure| words(*measure).0).collect();
    format!("nothing at all changes in {}", listed(&names))
}

/// The cost, as what is paid or saved, to the digits that the half-width of the difference supports.
pub fn cost(subject: &Subject, [mean, half_width]: [f64; 2], [base, other]: [f64; 2]) -> String {
    let decimals = match half_width {
        wide if wide >= 10.0 => 0,
        wide if wide >= 0.1 => 1,
        _ => 2,
    };
    let money = |amount: f64| format!("{amount:.decimals$}");
    let (verb, more) = if mean > 0.0 {
        (subject.verb("cost", "costs"), " more")
    } else {
        (subject.verb("save", "saves"), "")
    };
    format!(
        "{} {verb} {}‹ money›{more} per service ({} instead of {})",
        subject.who,
        money(mean.abs()),
        money(other),
        money(base)
    )
}

/// The labour, where there is no cost to compare; `None` of the other if it is the same in both.
pub fn labour_instead(base_h: f64, other_h: Option<f64>) -> String {
    let hours = match other_h {
        None => format!("{base_h:.1} h in both"),
        Some(other_h) => format!("{other_h:.1} h per service instead of {base_h:.1} h"),
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

/// Decimals beyond the usual at most.
const MORE_DECIMALS: usize = 3;

/// Both means as one would say them, with more decimals if they would read the same.
fn values(means: &Means) -> [String; 2] {
    let mut tries = (0..=MORE_DECIMALS).map(|more| figures(means, more));
    let differ = |[base, other]: &[String; 2]| base != other;
    tries
        .find(differ)
        .unwrap_or_else(|| figures(means, MORE_DECIMALS))
}

/// Both means with so many decimals more than usual.
fn figures(means: &Means, more: usize) -> [String; 2] {
    means.both.map(|mean| {
        mean.map_or_else(
            || "-".to_owned(),
            |mean| said(mean, means.measure.info().unit, more),
        )
    })
}

fn said(mean: f64, unit: &str, more: usize) -> String {
    match unit {
        "1" if mean <= 0.0 => "none".to_owned(),
        "1" if mean < 0.001 && more == 0 => "under 0.1 %".to_owned(),
        "1" => format!("{:.*} %", 1 + more, 100.0 * mean),
        "money" => plain(mean, more + if mean.abs() < 100.0 { 2 } else { 0 }),
        _ if mean.abs() < 10.0 => plain(mean, 1 + more),
        _ if mean < 0.0 || more > 0 => plain(mean, more),
        _ => rounded(mean),
    }
}

/// With so many decimals, without those that are nought, and without a sign before nothing.
fn plain(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    let is_nothing = !text.contains(|c| ('1'..='9').contains(&c));
    if is_nothing {
        "0".to_owned()
    } else {
        text.to_owned()
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
            closes_s: [82_800.0; 2],
        });
        assert_eq!(from_to(&seen), "the mean wait from 17 to 21 min");
        assert_eq!(from_to(&close), "the mean wait from 17.2 to 17.3 min");
        assert_eq!(in_both(&close), "the mean wait (17 min in both)");
        assert_eq!(said(0.0004, "1", 0), "under 0.1 %");
        assert_eq!(said(0.0004, "1", 1), "0.04 %");
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
        let earlier = Means {
            closes_s: [82_800.0, 79_200.0],
            ..near
        };
        assert_eq!(in_both(&earlier), "when the crew is out (00:07 and 23:07)");
    }
}
