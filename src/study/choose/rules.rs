//! A study to rules of selection, or what is wrong with it.
//!
//! A target in the mean is tested as it stands; one in a share of the evenings as the share of those that
//! miss its limit (an evening that was never finished misses it). "At least" is turned round.

use crate::scenario::Mistakes;
use crate::scenario::mistakes::{Mistake, Sort};
use crate::statistics::selection::{self, Flaw, Kind, Rules, Selection};
use crate::study::design::Study;
use crate::study::design::wanted::{Choose, Limit, Target};

/// Most designs to choose from: what is kept of their evenings must fit in a gigabyte.
const MAX_DESIGNS: u64 = 20_000;

/// What a study is chosen by, with the columns of its measures.
#[derive(Debug, Clone)]
pub struct Chosen {
    /// The rules as written.
    pub rule: Choose,
    /// Column of the measure that is to be least or largest.
    pub column: usize,
    /// Each target with the column of its measure.
    pub targets: Vec<(usize, Target)>,
}

/// Reads the rules.
///
/// # Errors
/// All that stands in the way of a choice.
pub fn of(study: &Study) -> Result<Chosen, Box<Mistakes>> {
    let places = &study.places;
    let mut mistakes = Vec::new();
    let Some(rule) = study.choose else {
        let mistake = Mistake::new(Sort::Missing, "this study does not say how to choose")
            .at(&places.file, "no table `choose`")
            .help("add a table [choose] with `indifference`: a difference of the cost too small to matter");
        return Err(refused(study, vec![mistake]));
    };
    let choose = places.choose.as_ref().unwrap_or(&places.file);
    if rule.indifference <= 0.0 {
        let title = "an indifference of nothing would need evenings without end";
        let mistake = Mistake::new(Sort::Value, title).at(choose, "`indifference` is 0");
        mistakes.push(mistake.help("give the least difference that you would act upon"));
    }
    if rule.first > rule.most {
        let title = "the first evenings alone are more than a design may have";
        let mistake = Mistake::new(Sort::Clash, title).at(choose, "`first` is above `at_most`");
        mistakes.push(mistake.help("raise `at_most`"));
    }
    for (target, place) in study.targets.iter().zip(&places.targets) {
        if target.tolerance.is_none_or(|tolerance| tolerance <= 0.0) {
            let title = format!(
                "`{}` needs a tolerance to be chosen by",
                target.words(&study.wording)
            );
            let mistake = Mistake::new(Sort::Missing, title).at(place, "no `tolerance` above 0");
            mistakes.push(mistake.help(tolerance_like(target)));
        }
    }
    if let Some(sites) = study.factors.iter().find(|factor| factor.is_site) {
        let mistake = Mistake::new(Sort::Clash, "a choice among sites is no choice of a design");
        let mistake = mistake.at(&sites.place, "a table of sites");
        mistakes.push(mistake.help("choose for one site at a time, with that site as the base"));
    }
    if study.points() > MAX_DESIGNS {
        let title = format!("{} designs are too many to choose from", study.points());
        let mistake = Mistake::new(Sort::Value, title)
            .at(&places.file, format!("at most {MAX_DESIGNS}"))
            .help("sweep them first, then choose among the better ones");
        mistakes.push(mistake);
    }
    if !mistakes.is_empty() {
        return Err(refused(study, mistakes));
    }
    let column = |measure| study.measures.iter().position(|other| *other == measure);
    let with_column = |target: &Target| Some((column(target.measure)?, *target));
    Ok(Chosen {
        rule,
        column: column(rule.measure).unwrap_or_default(),
        targets: study.targets.iter().filter_map(with_column).collect(),
    })
}

fn tolerance_like(target: &Target) -> String {
    let like = match (target.in_share, target.measure.info().unit) {
        (Some(_), _) => "\"2 %\" of the evenings".to_string(),
        (None, "1") => "\"0.5 %\"".to_string(),
        (None, unit) => format!("3, in {unit}"),
    };
    format!("add `tolerance`: by how much it may be missed without harm, like {like}")
}

fn refused(study: &Study, mistakes: Vec<Mistake>) -> Box<Mistakes> {
    Box::new(Mistakes::new(mistakes, study.sources()))
}

/// The procedure for a study.
///
/// # Errors
/// What the procedure itself refuses.
pub fn selection(study: &Study, chosen: &Chosen) -> Result<Selection, Box<Mistakes>> {
    let rules = Rules {
        confidence: chosen.rule.confidence,
        indifference: chosen.rule.indifference,
        first_stage: chosen.rule.first as usize,
        rarest: chosen.rule.rarest,
        most: chosen.rule.most as usize,
        targets: chosen
            .targets
            .iter()
            .map(|(_, target)| tested(target))
            .collect(),
    };
    let places = &study.places;
    Selection::new(study.points() as usize, rules).map_err(|flaw| {
        let choose = places.choose.as_ref().unwrap_or(&places.file);
        let (place, what) = match flaw {
            Flaw::NoSystem => (&places.file, "no design".to_string()),
            Flaw::TooRare(needed) => (
                choose,
                format!(
                    "to see what happens in {} % of the evenings takes {needed} of them, more than `at_most`",
                    100.0 * chosen.rule.rarest
                ),
            ),
            Flaw::Target(index) => {
                let place = places.targets.get(index).unwrap_or(choose);
                (place, "a limit or tolerance that cannot be".to_string())
            }
            other => (choose, format!("{other:?}").to_lowercase()),
        };
        let mistake = Mistake::new(Sort::Value, "nothing can be chosen by this").at(place, what);
        let is_rare = matches!(flaw, Flaw::TooRare(_));
        let cure = "raise `at_most`, or set `rarest` higher";
        refused(study, vec![mistake.help_if(is_rare.then(|| cure.to_string()))])
    })
}

/// A target as it is tested.
fn tested(target: &Target) -> selection::Target {
    let tolerance = target.tolerance.unwrap_or_default();
    let (kind, at_most) = match (target.in_share, target.limit) {
        (Some(share), _) => (Kind::Share, 1.0 - share),
        (None, Limit::AtMost(limit)) => (Kind::Mean, limit),
        (None, Limit::AtLeast(limit)) => (Kind::Mean, -limit),
    };
    selection::Target {
        kind,
        at_most,
        tolerance,
    }
}

/// The value of an evening as it is tested: less is better.
pub fn turned(target: &Target, value: f64, finished: bool) -> f64 {
    match (target.in_share, target.limit) {
        (Some(_), limit) => f64::from(!(finished && limit.holds(value))),
        (None, Limit::AtMost(_)) => value,
        (None, Limit::AtLeast(_)) => -value,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::service::measure::Measure;

    fn target(limit: Limit, in_share: Option<f64>) -> Target {
        Target {
            measure: Measure::ShortCovers,
            limit,
            in_share,
            tolerance: Some(0.02),
        }
    }

    #[test]
    fn an_evening_counts_when_it_misses_or_was_never_finished() {
        let none_short = target(Limit::AtMost(0.0), Some(0.95));
        let counts = |value, finished| turned(&none_short, value, finished);
        assert_eq!((counts(0.0, true), counts(1.0, true)), (0.0, 1.0));
        assert_eq!(counts(0.0, false), 1.0);
        let tested = tested(&none_short);
        assert_eq!(tested.kind, Kind::Share);
        assert!((tested.at_most - 0.05).abs() < 1e-12);
    }

    #[test]
    fn at_least_is_turned_round() {
        let many = target(Limit::AtLeast(12.0), None);
        assert_eq!(
            (tested(&many).at_most, tested(&many).kind),
            (-12.0, Kind::Mean)
        );
        assert_eq!(turned(&many, 15.0, true), -15.0);
        let few = target(Limit::AtMost(12.0), None);
        assert_eq!(
            (tested(&few).at_most, turned(&few, 15.0, true)),
            (12.0, 15.0)
        );
    }
}
