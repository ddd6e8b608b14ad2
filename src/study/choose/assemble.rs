//! What was seen of each design, which was chosen, and what the others lack.
//!
//! Means of different designs do not compare: one has 100 evenings, another 700, and the first 100 may be cheap ones. So
//! costs are given as differences to the chosen design on the evenings that both have.

use super::choice::{Choice, Design, End, Miss, Rival, Seen};
use super::evenings::Evenings;
use super::few_evenings;
use super::rules::{Chosen, turned};
use crate::scenario::wording::Wording;
use crate::statistics::interval::wilson;
use crate::statistics::selection::{Fate, Selection, Verdict};
use crate::study::design::Study;
use crate::study::design::wanted::{Limit, Target};
use crate::study::evening::Finding;
use crate::study::plan::LEVEL;
use crate::study::published;
use crate::study::replications::Replication;
use crate::study::summary::{difference, estimate};
use crate::study::swept::Cell;

/// The whole choice.
#[must_use]
pub fn choice(
    study: &Study,
    chosen: &Chosen,
    selection: &Selection,
    evenings: Evenings<'_>,
    interrupted: bool,
) -> Choice {
    let played = evenings.played;
    let design = |(point, played): (usize, &Vec<Replication>)| {
        let seen = |(column, target): &(usize, Target)| seen(played, *column, target);
        Design {
            point: point as u64,
            settings: study.settings(point as u64),
            fate: selection.fate(point),
            keeps: selection.meets(point),
            evenings: played.len() as u64,
            unfinished: played.iter().filter(|one| !one.finished).count() as u64,
            measures: (0..study.measures.len())
                .map(|measure| estimate(played, measure))
                .collect(),
            dearer: None,
            targets: chosen.targets.iter().map(seen).collect(),
        }
    };
    let mut designs: Vec<Design> = played.iter().enumerate().map(design).collect();
    let end = end(chosen, selection, &designs, &played, interrupted);
    if let Some(reference) = end.reference() {
        let column = chosen.column;
        for (design, own) in designs.iter_mut().zip(&played) {
            design.dearer = Some(dearer(own, &played[reference], column));
        }
    }
    let scenario = end.reference().and_then(|design| {
        let point = designs[design].point;
        study.scenario(point, &mut study.sources()).ok()
    });
    let mut findings = scenario.as_ref().map_or_else(Vec::new, published::find);
    if let End::Chosen { design, .. } = &end {
        findings.extend(few_evenings::find(chosen, &played[*design]));
    }
    Choice {
        findings: said(findings, &study.wording),
        wording: study.wording.clone(),
        closes_s: closes_s(study),
        title: study.title.clone(),
        name: study.name.clone(),
        seed: study.seed,
        factors: study.factors.iter().map(|f| f.name.clone()).collect(),
        rule: chosen.rule,
        targets: study.targets.clone(),
        measures: study.measures.clone(),
        sought: chosen.column,
        error_each: selection.error_of_a_test(),
        to_see: selection.to_see() as u64,
        spent: selection.spent() as u64,
        equal_each: selection.equal_allocation(),
        end,
        designs,
    }
}

fn end(
    chosen: &Chosen,
    selection: &Selection,
    designs: &[Design],
    played: &[Vec<Replication>],
    interrupted: bool,
) -> End {
    let left = || selection.open();
    let costs = |best: Option<usize>| costs(played, chosen, best);
    match selection.verdict() {
        _ if interrupted => End::Interrupted { left: left() },
        Some(Verdict::Chosen(best)) => {
            let rivals = Rivals::new(designs, chosen, costs(Some(best)));
            End::Chosen {
                design: best,
                runner_up: rivals.runner_up(best),
                cheaper: rivals.cheaper(best),
            }
        }
        Some(Verdict::NoneMeets) => {
            let rivals = Rivals::new(designs, chosen, costs(None));
            End::NoneMeets(rivals.closest(|_| true))
        }
        Some(Verdict::OutOfObservations) | None => End::Undecided { left: left() },
    }
}

/// What one design costs more than another, on the evenings that both have.
fn dearer(own: &[Replication], other: &[Replication], column: usize) -> Cell {
    let (mean, half_width) = difference(own, other, column);
    Cell {
        mean,
        half_width,
        n: own.len().min(other.len()) as u64,
    }
}

/// Costs that compare, less being better: on the evenings shared with one design, or on those that all have.
fn costs(played: &[Vec<Replication>], chosen: &Chosen, best: Option<usize>) -> Vec<f64> {
    let column = chosen.column;
    let common = played.iter().map(Vec::len).min().unwrap_or(0);
    let of = |own: &Vec<Replication>| match best {
        Some(best) => dearer(own, &played[best], column).mean,
        None => estimate(&own[..common], column).mean,
    };
    played
        .iter()
        .map(|own| of(own).map_or(f64::INFINITY, |cost| chosen.rule.seeks.turned(cost)))
        .collect()
}

impl End {
    /// The design that the others are held against.
    #[must_use]
    pub fn reference(&self) -> Option<usize> {
        match self {
            Self::Chosen { design, .. } => Some(*design),
            Self::NoneMeets(rival) => rival.as_ref().map(|rival| rival.design),
            Self::Undecided { .. } | Self::Interrupted { .. } => None,
        }
    }
}

/// What was seen of a target.
fn seen(played: &[Replication], column: usize, target: &Target) -> Seen {
    let tolerance = target.tolerance.unwrap_or(f64::NAN);
    if let Some(share) = target.in_share {
        let misses = |one: &&Replication| {
            let value = one.values.get(column).copied().flatten();
            value.is_none_or(|value| turned(target, value, one.finished) != 0.0)
        };
        let n = played.len() as u64;
        let kept = n - played.iter().filter(misses).count() as u64;
        let value = (n > 0).then(|| kept as f64 / n as f64);
        let (low, high) = wilson(kept, n, LEVEL);
        return Seen {
            value,
            low: value.map(|_| low),
            high: value.map(|_| high),
            missed: value.map(|value| (share - value) / tolerance),
        };
    }
    let Cell {
        mean, half_width, ..
    } = estimate(played, column);
    let end = |sign: f64| Some(mean? + sign * half_width?);
    Seen {
        value: mean,
        low: end(-1.0),
        high: end(1.0),
        missed: mean.map(|mean| beyond(target, mean) / tolerance),
    }
}

/// How far a mean lies beyond its limit.
fn beyond(target: &Target, mean: f64) -> f64 {
    match target.limit {
        Limit::AtMost(limit) => mean - limit,
        Limit::AtLeast(limit) => limit - mean,
    }
}

/// Who came second.
struct Rivals<'c> {
    designs: &'c [Design],
    chosen: &'c Chosen,
    /// Costs of the designs that compare; of the one chosen 0.
    costs: Vec<f64>,
}

impl<'c> Rivals<'c> {
    fn new(designs: &'c [Design], chosen: &'c Chosen, costs: Vec<f64>) -> Self {
        Self {
            designs,
            chosen,
            costs,
        }
    }

    /// By how many tolerances a design misses its worst target.
    fn worst(&self, design: usize) -> f64 {
        let missed = self.designs[design].targets.iter();
        missed
            .filter_map(|seen| seen.missed)
            .fold(f64::NEG_INFINITY, f64::max)
    }

    fn misses(&self, design: usize) -> bool {
        matches!(self.designs[design].fate, Fate::Misses(_)) || self.worst(design) > 0.0
    }

    /// The cheapest of the others that was not seen to miss a target.
    fn runner_up(&self, best: usize) -> Option<Rival> {
        (0..self.designs.len())
            .filter(|&i| i != best && !self.misses(i))
            .min_by(|&a, &b| self.costs[a].total_cmp(&self.costs[b]))
            .map(|design| self.rival(design))
    }

    /// Of the cheaper ones that miss, the one that comes closest.
    fn cheaper(&self, best: usize) -> Option<Rival> {
        self.closest(|i| i != best && self.misses(i) && self.costs[i] < 0.0)
    }

    /// The one that misses its worst target by the fewest tolerances; of several the cheapest.
    fn closest(&self, of: impl Fn(usize) -> bool) -> Option<Rival> {
        let order = |&a: &usize, &b: &usize| {
            let miss = self.worst(a).total_cmp(&self.worst(b));
            miss.then(self.costs[a].total_cmp(&self.costs[b]))
        };
        let found = (0..self.designs.len()).filter(|i| of(*i)).min_by(order)?;
        Some(self.rival(found))
    }

    fn rival(&self, design: usize) -> Rival {
        let seen = self.designs[design].targets.iter().enumerate();
        let miss = |(target, seen): (usize, &Seen)| {
            let tolerance = self.chosen.targets[target].1.tolerance?;
            let by = seen.missed? * tolerance;
            (by > 0.0).then_some(Miss { target, by })
        };
        Rival {
            design,
            misses: seen.filter_map(miss).collect(),
        }
    }
}
/// Designs that are looked at for when they close.
const MAX_LOOKED_AT: u64 = 1_000;

/// When every design closes, if that is one time.
fn closes_s(study: &Study) -> Option<f64> {
    let mut sources = study.sources();
    let designs = study.points();
    let mut all = (0..designs.min(MAX_LOOKED_AT)).map(|point| {
        let scenario = study.scenario(point, &mut sources).ok()?;
        Some(scenario.service.closes_s)
    });
    let first = all.next().flatten()?;
    let is_one = designs <= MAX_LOOKED_AT && all.all(|one| one == Some(first));
    is_one.then_some(first)
}

/// Findings in the words of the base.
fn said(mut findings: Vec<Finding>, wording: &Wording) -> Vec<Finding> {
    findings.iter_mut().for_each(|finding| finding.say(wording));
    findings
}
