//! What came of each change in the end, and what is advised.

use std::collections::BTreeMap;

use super::aim::{MIN_STRUCK, MIN_STRUCK_IN_ALL};
use super::judge::{Pair, Shift};
use super::pool::{Candidate, Pool};
use super::rows::{column, of_aim};
use super::verdict::{Judge, NEARLY};
use crate::scenario::Loaded;
use crate::service::measure::Measure;
use crate::statistics::paired::holm;
use crate::study::evening::{Effect, Fate, Finding, Tried};
use crate::study::plan::LEVEL;
use crate::words::advice as words;
use crate::words::findings::evening::safety;

/// What is known of a change in view of one aim.
struct Known<'c> {
    one: &'c Candidate,
    /// Whether it was made for this aim.
    is_own: bool,
    /// Adjusted for all that was tried; nothing if it was not estimated.
    p_value: Option<f64>,
}

/// p-values of all changes that were estimated, adjusted for all that were tried: by aim, by change.
struct Chances(BTreeMap<(usize, usize), f64>);

impl Judge<'_> {
    /// Writes what came of all changes into the findings.
    pub fn write(&self, pool: &Pool<'_>, loaded: &Loaded, findings: &mut [Finding]) {
        let chances = self.chances(pool);
        for (index, aim) in self.aims.iter().enumerate() {
            let tried = self.of_finding(pool, loaded, index, &chances);
            // Of the change that was tried on most evenings.
            let struck = (pool.of_played())
                .map(|at| self.struck(pool.get(at), index))
                .max_by_key(|[_, of]| *of);
            let seen = Seen {
                tried: struck.unwrap_or_default(),
                in_all: aim.struck,
            };
            if let Some(finding) = findings.get_mut(aim.finding) {
                say(finding, tried, &seen);
            }
        }
    }

    /// All that was tried: each change against what it was made for, and against every trouble if it was estimated. What
    /// was not estimated counts, and claims nothing.
    fn chances(&self, pool: &Pool<'_>) -> Chances {
        let is_tried = |&(aim, at): &(usize, usize)| {
            pool.of_aim[aim].contains(&at) || !pool.get(at).estimated.is_empty()
        };
        let all: Vec<(usize, usize)> = (0..self.aims.len())
            .flat_map(|aim| pool.of_played().map(move |at| (aim, at)))
            .filter(is_tried)
            .collect();
        let raw = |&(aim, at): &(usize, usize)| {
            let shift = self.estimated(pool.get(at)).shift(of_aim(aim))?;
            shift.paired.p_value()
        };
        let raw: Vec<Option<f64>> = all.iter().map(raw).collect();
        let p_values: Vec<f64> = raw.iter().map(|p| p.unwrap_or(1.0)).collect();
        let adjusted = holm(&p_values);
        let known = all.into_iter().zip(raw).zip(adjusted);
        Chances(
            known
                .filter_map(|((key, raw), p)| raw.map(|_| (key, p)))
                .collect(),
        )
    }

    /// What came of the changes for one finding, the one that is advised first: of all that were made for it, and of others
    /// that help.
    fn of_finding(
        &self,
        pool: &Pool<'_>,
        loaded: &Loaded,
        aim: usize,
        chances: &Chances,
    ) -> Vec<Tried> {
        let own = &pool.of_aim[aim];
        let known = |at: usize| Known {
            is_own: own.contains(&at),
            one: pool.get(at),
            p_value: chances.0.get(&(aim, at)).copied(),
        };
        // What was estimated for one finding may be the cure of another.
        let (ranked, _) = self.ranked(pool, aim);
        let others = pool.of_played().filter(|at| !ranked.contains(at));
        let best = ranked.iter().copied().chain(others);
        let helping = best.filter(|at| self.helps(&known(*at), aim));
        // The screening chose the best; on more evenings another may turn out to be better by far.
        let advised = helping.reduce(|best, other| {
            let is_better = self.gains_clearly_more(pool.get(other), pool.get(best), aim);
            if is_better { other } else { best }
        });
        let helping = pool.of_played().filter(|at| !own.contains(at));
        let helping = helping.filter(|at| self.helps(&known(*at), aim));
        let all = own.iter().copied().chain(helping).map(|at| {
            let known = known(at);
            let is_advised = Some(at) == advised;
            let fate = if is_advised {
                Fate::Advised
            } else {
                self.fate(&known, aim, ranked.contains(&at))
            };
            (fate, known)
        });
        let mut all: Vec<(Fate, Known<'_>)> = all.collect();
        // Of one fate what is one change alone comes first.
        all.sort_by_key(|(fate, known)| (*fate as u8, known.one.change.parts));
        let tried = all.into_iter().map(|(fate, known)| {
            let pair = self.most(known.one);
            Tried {
                change: known.one.change.words.clone(),
                variant: known.one.change.variant(loaded),
                parts: known.one.change.parts,
                fate,
                evenings: pair.with.len() as u64,
                p_value: known.p_value,
                effects: self.effects(pair, aim),
            }
        });
        tried.collect()
    }

    /// What came of a change that is not advised.
    fn fate(&self, known: &Known<'_>, aim: usize, is_promising: bool) -> Fate {
        let one = known.one;
        if !one.is_sound() {
            return Fate::BreaksGuide;
        }
        if one.screened.is_empty() {
            return Fate::TooRare;
        }
        if self.harms_at_all(one, aim) {
            return Fate::Harms;
        }
        if self.helps(known, aim) {
            return Fate::Less;
        }
        if self.struck(one, aim)[0] < MIN_STRUCK {
            return Fate::TooRare;
        }
        let more = self.aims[aim].more;
        let pair = self.most(one);
        let Some(shift) = pair.shift(of_aim(aim)) else {
            return Fate::InVain;
        };
        let (is_better, pays) = (shift.is_better(more), self.pays(pair, aim));
        if is_better && !shift.is_worth_it(more, self.threshold(aim)) {
            Fate::TooLittle
        } else if is_better && !pays {
            Fate::TooDear
        } else if is_better || (known.p_value.is_none() && is_promising) || shift.may_be_much(more)
        {
            Fate::Unsure
        } else {
            Fate::InVain
        }
    }

    /// A change beside the run on the evenings that say most of it: those that did not choose it, if there are any.
    fn most<'c>(&'c self, one: &'c Candidate) -> Pair<'c> {
        if one.estimated.is_empty() {
            self.screened(one)
        } else {
            self.estimated(one)
        }
    }

    /// Whether a change helps, on evenings that did not choose it.
    fn helps(&self, known: &Known<'_>, aim: usize) -> bool {
        let pair = self.estimated(known.one);
        let more = self.aims[aim].more;
        let worth = |shift: Shift| {
            shift.is_worth_it(more, self.threshold(aim)) && (known.is_own || shift.mends(more))
        };
        known.p_value.is_some_and(|p| p <= 1.0 - LEVEL)
            && pair.shift(of_aim(aim)).is_some_and(worth)
            && self.pays(pair, aim)
            && !self.harms_at_all(known.one, aim)
    }

    /// Whether the estimate of one lies above that of another by more than chance, and the other is not good enough.
    fn gains_clearly_more(&self, one: &Candidate, other: &Candidate, aim: usize) -> bool {
        let about = &self.aims[aim];
        let shift = |one| self.estimated(one).shift(of_aim(aim));
        let Some((one, other)) = shift(one).zip(shift(other)) else {
            return false;
        };
        let gains = [one, other].map(|shift| shift.gain(about.more));
        let half_widths = [one, other].map(|shift| shift.paired.half_width(LEVEL));
        let [Some(mine), Some(its)] = half_widths else {
            return false;
        };
        gains[0] - mine > gains[1] + its
            && gains[1] < NEARLY * gains[0]
            && !about.is_met(other.with())
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

/// On how many evenings a trouble struck, of how many.
struct Seen {
    /// Of those on which changes were tried.
    tried: [usize; 2],
    /// Of the run.
    in_all: [usize; 2],
}

/// What is advised now that it was tried.
fn say(finding: &mut Finding, tried: Vec<Tried>, seen: &Seen) {
    let advised = tried.first().filter(|one| one.fate == Fate::Advised);
    let said = match advised.and_then(|one| Some((one, one.effects.first()?))) {
        Some((one, effect)) => {
            let measure = words::measure(effect.info, effect.of.as_deref());
            let means = [effect.without, effect.without + effect.difference];
            let before_and_after = words::instead_of(effect.info, means);
            let said = words::advised(&one.change, &measure, &before_and_after, one.evenings);
            Some(said)
        }
        None => nothing_helps(&tried, seen),
    };
    if let Some(said) = said {
        finding.advice = match safety(&finding.advice) {
            Some(kept) => format!("{kept}; {said}"),
            None => said,
        };
    }
    finding.tried = tried;
}

/// Why nothing is advised; nothing if there was nothing to try.
fn nothing_helps(tried: &[Tried], seen: &Seen) -> Option<String> {
    let played = tried.iter().filter(|one| one.evenings > 0).count();
    if tried.is_empty() {
        return None;
    }
    if seen.in_all[0] < MIN_STRUCK_IN_ALL {
        return Some(words::too_rare_to_try(seen.in_all, MIN_STRUCK_IN_ALL));
    }
    let of = |fate| tried.iter().filter(|one| one.fate == fate).count();
    if played == of(Fate::TooRare) && played > 0 {
        return Some(words::too_rare(played, seen.tried));
    }
    let counts = words::Counts {
        too_rare: of(Fate::TooRare),
        too_dear: of(Fate::TooDear),
        unsure: of(Fate::Unsure),
        too_little: of(Fate::TooLittle),
        harms: of(Fate::Harms),
        in_vain: of(Fate::InVain),
    };
    (played > 0).then(|| words::nothing_helps(&counts))
}

/// Where changes of a duty were tried, a note that it binds says what helped, or nothing.
pub(super) fn agree(findings: &mut [Finding]) {
    let tried: Vec<(String, Fate)> = (findings.iter().flat_map(|finding| &finding.tried))
        .map(|one| (one.change.clone(), one.fate))
        .collect();
    let untried = |one: &&mut Finding| one.code == "binds" && one.tried.is_empty();
    for note in findings.iter_mut().filter(untried) {
        let Some(duty) = note.of.as_ref().map(|duty| format!("`{duty}`")) else {
            continue;
        };
        let mut about = tried.iter().filter(|(change, _)| change.contains(&duty));
        if about.clone().next().is_some() {
            let advised = about.find(|(_, fate)| *fate == Fate::Advised);
            note.advice = advised.map_or_else(String::new, |(change, _)| change.clone());
        }
    }
}
