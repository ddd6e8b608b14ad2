//! What came of each change in the end, and what is advised.

use super::aim::Aim;
use super::evenings::MIN_STRUCK;
use super::judge::{Pair, Shift};
use super::pool::{Candidate, Pool};
use super::rows::{column, of_aim};
use super::verdict::Judge;
use crate::scenario::Loaded;
use crate::service::measure::Measure;
use crate::statistics::paired::holm;
use crate::study::evening::{Effect, Fate, Finding, Tried};
use crate::study::plan::LEVEL;
use crate::words::advice as words;

/// Whoever reads these codes needs the advice as it is, too: what to do with racks that were cold.
const KEEPS_ADVICE: [&str; 4] = ["final-rinse-cold", "wash-cold", "water-old", "machine-held"];

impl Judge<'_> {
    /// Writes what came of all changes into the findings.
    pub fn write(&self, pool: &Pool<'_>, loaded: &Loaded, findings: &mut [Finding]) {
        // What was estimated for one finding may be the cure of another.
        let best: Vec<Vec<usize>> = (0..self.aims.len())
            .map(|aim| {
                let mut ranked = self.ranked(pool, aim);
                ranked.retain(|at| !pool.get(*at).estimated.is_empty());
                ranked
            })
            .collect();
        let all =
            (0..self.aims.len()).flat_map(|aim| pool.of_aim[aim].iter().map(move |at| (aim, *at)));
        let all: Vec<(usize, usize)> = all
            .filter(|(_, at)| !pool.get(*at).screened.is_empty())
            .collect();
        let raw = |&(aim, at): &(usize, usize)| {
            let one = pool.get(at);
            let shift = best[aim]
                .contains(&at)
                .then(|| self.estimated(one).shift(of_aim(aim)))??;
            shift.paired.p_value()
        };
        let raw: Vec<Option<f64>> = all.iter().map(raw).collect();
        // What was not estimated was tried all the same: it counts, and claims nothing.
        let p_values: Vec<f64> = raw.iter().map(|p| p.unwrap_or(1.0)).collect();
        let adjusted = holm(&p_values);
        let judged: Vec<(usize, usize, f64)> = (all.iter().zip(raw).zip(adjusted))
            .filter_map(|((&(aim, at), raw), p)| raw.map(|_| (aim, at, p)))
            .collect();
        for (index, aim) in self.aims.iter().enumerate() {
            let p_of = |at: usize| {
                let found = judged
                    .iter()
                    .find(|(aim, of, _)| (*aim, *of) == (index, at));
                found.map(|(_, _, p)| *p)
            };
            let tried = self.of_finding(pool, loaded, index, &best[index], &p_of);
            // Of the change that was tried on most evenings.
            let struck = (pool.of_aim[index].iter())
                .map(|at| self.struck(pool.get(*at), index))
                .max_by_key(|[_, of]| *of);
            if let Some(finding) = findings.get_mut(aim.finding) {
                say(finding, aim, tried, struck.unwrap_or_default());
            }
        }
    }

    /// What came of the changes for one finding, the one that is advised first.
    fn of_finding(
        &self,
        pool: &Pool<'_>,
        loaded: &Loaded,
        aim: usize,
        best: &[usize],
        p_of: &impl Fn(usize) -> Option<f64>,
    ) -> Vec<Tried> {
        let helps = |at: &usize| self.helps(pool.get(*at), aim, p_of(*at));
        let advised = best.iter().copied().find(helps);
        let promising: Vec<usize> = self
            .promising(pool, aim)
            .into_iter()
            .map(|(at, _)| at)
            .collect();
        let fate = |at: usize| {
            let one = pool.get(at);
            if pool.room(at).is_none() {
                return Fate::BreaksGuide;
            }
            if Some(at) == advised {
                Fate::Advised
            } else if self.harms_at_all(one, aim) {
                Fate::Harms
            } else if helps(&at) {
                Fate::Less
            } else if p_of(at).is_none() && promising.contains(&at) {
                Fate::Unsure
            } else if self.struck(one, aim)[0] < MIN_STRUCK {
                Fate::TooRare
            } else {
                Fate::InVain
            }
        };
        let mut places = pool.of_aim[aim].clone();
        places.sort_by_key(|at| fate(*at) as u8);
        let tried = places.into_iter().map(|at| {
            let one = pool.get(at);
            let pair = if one.estimated.is_empty() {
                self.screened(one)
            } else {
                self.estimated(one)
            };
            Tried {
                change: one.change.words.clone(),
                variant: one.change.variant(loaded),
                fate: fate(at),
                evenings: pair.with.len() as u64,
                p_value: p_of(at),
                effects: self.effects(pair, aim),
            }
        });
        tried.collect()
    }

    /// Whether a change helps, on evenings that did not choose it.
    fn helps(&self, one: &Candidate, aim: usize, p_value: Option<f64>) -> bool {
        let pair = self.estimated(one);
        let worth = |shift: Shift| shift.is_worth_it(self.aims[aim].more, self.threshold(aim));
        p_value.is_some_and(|p| p <= 1.0 - LEVEL)
            && pair.shift(of_aim(aim)).is_some_and(worth)
            && !self.harms_at_all(one, aim)
    }

    /// What the finding is about, then the measures of the evening.
    fn effects(&self, pair: Pair<'_>, aim: usize) -> Vec<Effect> {
        let about = &self.aims[aim];
        let own = pair
            .shift(of_aim(aim))
            .map(|shift| effect(about.info, about.of.clone(), shift));
        let others = Measure::ALL
            .into_iter()
            .filter(|measure| *measure.info() != *about.info);
        let of =
            |measure: Measure| Some(effect(measure.info(), None, pair.shift(column(measure))?));
        own.into_iter().chain(others.filter_map(of)).collect()
    }
}

fn effect(
    info: &'static crate::service::measure::MeasureInfo,
    of: Option<String>,
    shift: Shift,
) -> Effect {
    Effect {
        info,
        of,
        n: shift.paired.n as u64,
        without: shift.without,
        difference: shift.paired.mean_difference,
        half_width: shift.paired.half_width(LEVEL),
    }
}

/// What is advised now that it was tried.
fn say(finding: &mut Finding, aim: &Aim, tried: Vec<Tried>, struck: [usize; 2]) {
    let played = tried.iter().filter(|one| one.evenings > 0).count();
    let advised = tried.first().filter(|one| one.fate == Fate::Advised);
    let said = match advised.and_then(|one| Some((one, one.effects.first()?))) {
        Some((one, effect)) => {
            let measure = words::measure(effect.info, effect.of.as_deref());
            let means = [effect.without, effect.without + effect.difference];
            let means = means.map(|mean| words::value(effect.info, mean));
            let [before, after] = &means;
            Some(words::advised(
                &one.change,
                &measure,
                [before, after],
                one.evenings,
            ))
        }
        None if tried.iter().any(|one| one.fate == Fate::TooRare) => {
            Some(words::too_rare(played, struck))
        }
        None => (played > 0).then(|| words::nothing_helps(played)),
    };
    if let Some(said) = said {
        if KEEPS_ADVICE.contains(&aim.code) {
            finding.advice = format!("{}; {said}", finding.advice);
        } else {
            finding.advice = said;
        }
    }
    finding.tried = tried;
}
