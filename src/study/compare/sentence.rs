//! An alternative in one plain sentence: what it buys, what it costs, and what of it could be luck. The words are those
//! of `words/sentences/comparison.rs`.
//!
//! Who does it: what was changed, if that is a thing or two; the alternative's title otherwise. What is
//! claimed is what Holm's verdicts allow of the headline measures together.

use super::comparison::{Alternative, Comparison};
use super::difference::{Difference, Verdict};
use crate::service::measure::Measure;
use crate::words::sentences::comparison::{self as words, Means, Subject};
use crate::words::text::{capital, listed};

/// Changes that are named one by one.
const FEW: usize = 2;

/// The sentence of an alternative.
#[must_use]
pub fn of(comparison: &Comparison, alternative: &Alternative) -> String {
    if comparison.replications < 2 {
        return words::TOO_FEW.into();
    }
    let subject = subject(alternative);
    let with = |verdicts: &[Verdict]| picked(comparison, alternative, verdicts);
    let closes_s = [&comparison.base, &alternative.side].map(|side| side.clock.closes_s);
    let means = |differences: &[&Difference]| means(differences, closes_s);
    let luck = means(&with(&[Verdict::Luck]));
    let mut clauses = claims(&with(&[Verdict::Less, Verdict::More]), &subject, &means);
    let small = means(&with(&[Verdict::Small]));
    let no_matter = means(&with(&[Verdict::NoMatter]));
    if clauses.is_empty() {
        let evenings = comparison.replications;
        let is_small = !(small.is_empty() && no_matter.is_empty());
        let seen = (is_small, !luck.is_empty());
        clauses.push(words::no_difference(&subject, evenings, seen));
        let same: Vec<Measure> = with(&[Verdict::Same]).iter().map(|d| d.measure).collect();
        clauses.extend((!same.is_empty()).then(|| words::nothing_changes(&same)));
    }
    clauses.extend((!small.is_empty()).then(|| words::too_small(&small)));
    clauses.extend((!no_matter.is_empty()).then(|| words::none_that_matters(&no_matter)));
    clauses.extend((!luck.is_empty()).then(|| words::could_be_luck(&luck)));
    clauses.extend(labour(comparison, alternative, &means));
    let of = |measure: Measure| {
        let mut one = means(&[&alternative.differences[measure as usize]]);
        one.pop()
    };
    let warnings = [
        cold(alternative, &of),
        old(alternative, &of),
        undone(alternative),
        dirty(alternative, &of),
    ];
    let warnings: String = warnings.into_iter().flatten().collect();
    warnings + &clauses.join("; ") + "."
}

/// Said before anything that is bought or saved: what washes or rinses below a minimum.
fn cold(alternative: &Alternative, of: &impl Fn(Measure) -> Option<Means>) -> Option<String> {
    let is_cold = alternative.side.washes_cold();
    let racks = of(Measure::UnderTemperatureRacks).filter(|_| is_cold)?;
    Some(words::washes_cold(&racks))
}

/// What washes in water older than the scenario allows.
fn old(alternative: &Alternative, of: &impl Fn(Measure) -> Option<Means>) -> Option<String> {
    let is_old = alternative.side.washes_in_old_water();
    let racks = of(Measure::OldWaterRacks).filter(|_| is_old)?;
    Some(words::washes_in_old_water(&racks))
}

/// What leaves work undone.
fn undone(alternative: &Alternative) -> Option<String> {
    let side = &alternative.side;
    let all = side.rows.len() as u64;
    side.is_left_undone()
        .then(|| words::is_left_undone(side.unfinished, all))
}

/// And what sends out more dirty ware, beyond chance.
fn dirty(alternative: &Alternative, of: &impl Fn(Measure) -> Option<Means>) -> Option<String> {
    let share = &alternative.differences[Measure::SentOutSoiledShare as usize];
    let (more, half_width) = share.mean.zip(share.half_width)?;
    let both = of(Measure::SentOutSoiledShare)?;
    (more > half_width && more > 0.0).then(|| words::sends_out_dirty(&both))
}

/// The differences of the headline with one of these verdicts.
fn picked<'a>(
    comparison: &Comparison,
    alternative: &'a Alternative,
    verdicts: &[Verdict],
) -> Vec<&'a Difference> {
    let headline = comparison.headline.iter();
    headline
        .map(|measure| &alternative.differences[*measure as usize])
        .filter(|difference| {
            let judged = difference.judged;
            judged.is_some_and(|judged| verdicts.contains(&judged.verdict))
        })
        .collect()
}

fn means(differences: &[&Difference], closes_s: [f64; 2]) -> Vec<Means> {
    let of = |difference: &&Difference| Means {
        closes_s,
        measure: difference.measure,
        both: [difference.base.mean, difference.other.mean],
        half_widths: [difference.base.half_width, difference.other.half_width],
    };
    differences.iter().map(of).collect()
}

/// What it takes from where to where, then what it costs.
fn claims(
    certain: &[&Difference],
    subject: &Subject,
    means: &impl Fn(&[&Difference]) -> Vec<Means>,
) -> Vec<String> {
    let (costs, takes): (Vec<&Difference>, Vec<&Difference>) = certain
        .iter()
        .copied()
        .partition(|difference| difference.measure == Measure::Cost);
    let mut clauses = Vec::new();
    let mut subject = subject.clone();
    if !takes.is_empty() {
        clauses.push(words::takes(&subject, &means(&takes)));
        subject = subject.again();
    }
    clauses.extend(costs.first().and_then(|cost| {
        let half_width = cost.judged.and_then(|judged| judged.half_width);
        let both = means(&[cost]).pop()?;
        Some(words::cost(&subject, [cost.mean, half_width], &both))
    }));
    clauses
}

/// Who does it.
fn subject(alternative: &Alternative) -> Subject {
    let changes = &alternative.changes;
    let title = &alternative.side.title;
    match changes.len() {
        0 => Subject::unchanged(title),
        1..=FEW => {
            let names: Vec<&str> = changes.iter().map(|change| change.words.as_str()).collect();
            Subject {
                who: capital(&listed(&names)),
                several: changes.len() > 1 || changes[0].several,
            }
        }
        _ => Subject::titled(title),
    }
}

/// What stands for the cost where one of the two has no prices: the labour.
fn labour(
    comparison: &Comparison,
    alternative: &Alternative,
    means: &impl Fn(&[&Difference]) -> Vec<Means>,
) -> Option<String> {
    let of = |measure: Measure| &alternative.differences[measure as usize];
    let is_wanted = comparison.headline.contains(&Measure::Cost);
    let hours = of(Measure::LabourHours);
    hours.base.mean.zip(hours.other.mean)?;
    let both = means(&[hours]).pop()?;
    let lacks_cost = is_wanted && of(Measure::Cost).pairs == 0;
    lacks_cost.then(|| words::labour_instead(&both, hours.mean != Some(0.0)))
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use crate::scenario::load_changed;
    use crate::study::compare::{HEADLINE, compare, compare_with};
    use crate::study::matters::{Threshold, TooSmall};
    use crate::study::{Plan, Watch};

    /// The late supper with `base` against the same with `other`, 40 evenings.
    fn sentence(base: &str, other: &str) -> String {
        judged(base, other, &TooSmall::default())
    }

    /// The same where nothing is too small to matter.
    fn strict(base: &str, other: &str) -> String {
        let mut nothing = TooSmall::default();
        for measure in HEADLINE {
            nothing.set(measure, Threshold::Amount(0.0));
        }
        judged(base, other, &nothing)
    }

    fn judged(base: &str, other: &str, too_small: &TooSmall) -> String {
        let path = Path::new("tests/late-supper.toml");
        let load = |text| load_changed(path, text).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let scenarios = [load(base), load(other)];
        let judged = (&HEADLINE[..], too_small);
        let compared = compare_with(&scenarios, &Plan::new(40), judged, &Watch::default());
        compared.unwrap().alternatives[0].sentence.clone()
    }

    const PRICES: &str = "[prices]\nlabour = 12\n";
    const HELPERS: &str = "[[roster]]\nname = \"helper\"\ncount = 2\nfrom = \"22:00\"\nto = \"00:30\"\n\
                           duties = [\"scrape\", \"load\", \"put-away\"]\n";

    /// Two helpers of two hours and a half at 12 an hour are 60.
    #[test]
    fn what_it_buys_and_what_it_costs() {
        let said = strict(PRICES, &format!("{PRICES}{HELPERS}"));
        assert!(
            said.starts_with("2 helpers from 22:00 to 00:30 take "),
            "{said}"
        );
        assert!(
            said.contains("; they cost 60.00 more per service ("),
            "{said}"
        );
    }

    #[test]
    fn what_is_saved_is_no_cost() {
        let said = strict(&format!("{PRICES}{HELPERS}"), PRICES);
        let start = "Doing without 2 helpers from 22:00 to 00:30 takes ";
        assert!(said.starts_with(start), "{said}");
        assert!(said.contains("; it saves 60.00 per service ("), "{said}");
    }

    #[test]
    fn what_changes_nothing_says_so() {
        let said = sentence(PRICES, PRICES);
        let start = "“Late supper”, which has the same settings, makes no difference in 40 evenings; \
                     nothing at all changes in dried-on ware, ";
        assert!(said.starts_with(start) && !said.contains("luck"), "{said}");
    }

    #[test]
    fn what_could_be_luck_is_called_that() {
        let lane = "[[machine]]\nname = \"conveyor\"\ndrain = \"31 s\"\n";
        let said = strict("", lane);
        let start = "Changing the drain of the conveyor from 30 s to 31 s makes no certain \
                      difference in 40 evenings; ";
        assert!(said.starts_with(start), "{said}");
        assert_eq!(said.matches("luck").count(), 1, "{said}");
        assert!(
            said.contains(" could be luck; they do not both have prices"),
            "{said}"
        );
    }

    /// Half a minute of 11 is real, and no reason to pay for two people.
    #[test]
    fn what_is_too_small_to_matter_is_neither_bought_nor_luck() {
        let said = sentence(PRICES, &format!("{PRICES}{HELPERS}"));
        let start = "2 helpers from 22:00 to 00:30 cost 60.00 more per service (";
        assert!(said.starts_with(start), "{said}");
        let small = "; the difference in the 95th percentile of the wait (11.5 and 11.1 min) is too small to \
                     matter; nothing that matters changes in covers short of ware (";
        assert!(said.contains(small) && !said.contains("luck"), "{said}");
        let lane = "[[machine]]\nname = \"conveyor\"\ndrain = \"31 s\"\n";
        let said = sentence("", lane);
        assert!(
            said.contains("makes no difference that matters in 40 evenings"),
            "{said}"
        );
    }

    /// A Friday whose wash heater has 4 kW: colder, and cheaper. What is unsafe of it comes first.
    #[test]
    fn a_cold_alternative_is_unsafe_before_it_is_anything_else() {
        let path = Path::new("scenarios/friday-rush.toml");
        let load = |text| load_changed(path, text).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let weak = "[[machine]]\nname = \"conveyor\"\n[[machine.zones]]\nname = \"wash\"\nheater = \"4 kW\"\n";
        let scenarios = [load(""), load(weak)];
        let compared = compare(&scenarios, &Plan::new(20), &HEADLINE, &Watch::default());
        let sentence = &compared.unwrap().alternatives[0].sentence;
        assert!(sentence.starts_with("Unsafe: "), "{sentence}");
        assert!(sentence.contains("below a minimum ("), "{sentence}");
    }

    /// Water that is never changed where four hours are asked for, and a loader who goes home with ware standing: both are
    /// cheaper, and both are unsafe.
    #[test]
    fn old_water_and_work_left_undone_are_unsafe() {
        let path = Path::new("scenarios/friday-as-it-runs.toml");
        let load = |text| load_changed(path, text).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        let never = "[[machine]]\nname = \"conveyor\"\nwater_change = { every = \"24 h\" }\n";
        let leaves = "[[roster]]\nname = \"loader\"\nto = \"20:00\"\nbreaks = []\nstays = false\n";
        let scenarios = [load(""), load(never), load(leaves)];
        let compared = compare(&scenarios, &Plan::new(20), &HEADLINE, &Watch::default()).unwrap();
        let said = |at: usize| compared.alternatives[at].sentence.clone();
        for (at, words) in [
            (0, "washed in water older than allowed ("),
            (1, "Unsafe: 20 of 20 evenings are not finished"),
        ] {
            assert!(said(at).starts_with("Unsafe: "), "{}", said(at));
            assert!(said(at).contains(words), "{}", said(at));
            assert!(compared.alternatives[at].side.is_unsafe());
        }
    }
}
