//! Which changes are worth a closer look, and what came of each in the end.

use super::aim::Aim;
use super::candidates::together;
use super::change::{Change, Kind};
use super::judge::{Pair, Shift};
use super::pool::{Candidate, Pool};
use super::rows::{Values, column, of_aim};
use crate::scenario::Loaded;
use crate::service::measure::Measure;
use crate::statistics::paired::holm;
use crate::study::evening::{Effect, Fate, Finding, Tried};
use crate::study::matters::{Threshold, TooSmall};
use crate::study::plan::LEVEL;
use crate::words::advice as words;

/// Those that gain this share of the most are as good: the cheapest of them is the best.
const NEARLY: f64 = 0.7;
/// How many are estimated for a finding.
const ESTIMATED_EACH: usize = 2;
/// Costs that differ by less of what the service costs are alike.
const ALIKE: f64 = 0.01;
/// How many of the best are tried in pairs.
const PAIRED: usize = 3;
/// Whoever reads these codes needs the advice as it is, too: what to do with racks that were cold.
const KEEPS_ADVICE: [&str; 4] = ["final-rinse-cold", "wash-cold", "water-old", "machine-held"];

/// What the run itself gave, to hold changes against.
pub(super) struct Judge<'a> {
    aims: &'a [Aim],
    /// Its evenings, those of the screening first.
    base: &'a [Values],
    screened: usize,
    too_small: &'a TooSmall,
}

impl<'a> Judge<'a> {
    /// With so many evenings of screening, and with what is too small to be worth advice.
    pub fn new(
        aims: &'a [Aim],
        base: &'a [Values],
        screened: u64,
        too_small: &'a TooSmall,
    ) -> Self {
        let screened = usize::try_from(screened)
            .unwrap_or(usize::MAX)
            .min(base.len());
        Self {
            aims,
            base,
            screened,
            too_small,
        }
    }

    /// What is too small of what an aim is about.
    fn threshold(&self, aim: usize) -> Threshold {
        self.too_small.of_info(self.aims[aim].info)
    }

    /// A change beside the run, on the evenings that screened it.
    fn screened<'c>(&'c self, one: &'c Candidate) -> Pair<'c> {
        Pair {
            without: &self.base[..self.screened],
            with: &one.screened,
        }
    }

    /// The same on those that estimated it.
    fn estimated<'c>(&'c self, one: &'c Candidate) -> Pair<'c> {
        Pair {
            without: &self.base[self.screened..],
            with: &one.estimated,
        }
    }

    /// Whether a change tried for an aim does harm, or makes worse what another finding is about, or the wait.
    fn harms(&self, pair: Pair<'_>, aim: usize) -> bool {
        let others = self.aims.iter().enumerate().filter(|(at, _)| *at != aim);
        let mut columns = others.map(|(at, other)| (of_aim(at), other.more));
        let is_worse = |(at, more)| pair.shift(at).is_some_and(|shift| shift.is_worse(more));
        pair.harms() || is_worse((column(Measure::WaitMean), false)) || columns.any(is_worse)
    }

    /// Whether it does harm on all evenings that were played with it.
    fn harms_at_all(&self, one: &Candidate, aim: usize) -> bool {
        let with = [&one.screened[..], &one.estimated[..]].concat();
        let pair = Pair {
            without: self.base,
            with: &with,
        };
        self.harms(pair, aim)
    }

    /// Changes for an aim by what they gained in the screening, most first.
    fn by_gain(&self, pool: &Pool<'_>, aim: usize) -> Vec<(usize, Shift)> {
        let more = self.aims[aim].more;
        let shift = |at: &usize| Some((*at, self.screened(pool.get(*at)).shift(of_aim(aim))?));
        let mut all: Vec<(usize, Shift)> = pool.of_aim[aim].iter().filter_map(shift).collect();
        all.sort_by(|a, b| b.1.gain(more).total_cmp(&a.1.gain(more)));
        all
    }

    /// Those of them that may help and do no harm.
    fn promising(&self, pool: &Pool<'_>, aim: usize) -> Vec<(usize, Shift)> {
        let mut all = self.by_gain(pool, aim);
        let more = self.aims[aim].more;
        let too_small = self.threshold(aim);
        all.retain(|(at, shift)| {
            shift.is_promising(more, too_small) && !self.screened(pool.get(*at)).harms()
        });
        all
    }

    /// Pairs of changes worth trying for each aim that no change alone meets, the gravest finding first.
    pub fn pairs(&self, pool: &Pool<'_>, each: usize) -> Vec<(usize, [usize; 2])> {
        let mut all = Vec::new();
        for (index, aim) in self.aims.iter().enumerate() {
            let promising = self.promising(pool, index);
            if promising.iter().any(|(_, shift)| aim.is_met(shift.with())) {
                continue;
            }
            let ranked = self.by_gain(pool, index);
            let changes: Vec<&Change> =
                ranked.iter().map(|(at, _)| &pool.get(*at).change).collect();
            let places = ranked.len().min(PAIRED);
            let of_best = (0..places).flat_map(|a| (a + 1..places).map(move |b| (a, b)));
            let mut made = together(&changes);
            // The better both are alone, the sooner.
            made.sort_by_key(|(a, b)| a + b);
            made.truncate(each / 2);
            made.extend(of_best);
            let warmer = self.warmest(pool).into_iter().flat_map(|heat| {
                let best = ranked.iter().take(PAIRED);
                let promising = best.filter(|(at, shift)| {
                    shift.is_promising(aim.more, self.threshold(index))
                        && self.screened(pool.get(*at)).cools()
                });
                promising.map(move |(at, _)| (index, [*at, heat]))
            });
            let warmer: Vec<_> = warmer.take(each / 2).collect();
            let fits = |(a, b): &(usize, usize)| changes[*a].and(changes[*b]).is_some();
            let pairs = made.into_iter().filter(fits).take(each - warmer.len());
            all.extend(warmer);
            all.extend(pairs.map(|(a, b)| (index, [ranked[a].0, ranked[b].0])));
        }
        all
    }

    /// What keeps most racks hot that were cold: more ware through the machine cools it, so it may have to go with what
    /// brings that.
    fn warmest(&self, pool: &Pool<'_>) -> Option<usize> {
        let cold = column(Measure::UnderTemperatureRacks);
        let heat = (0..pool.len()).filter(|at| pool.get(*at).change.kind == Kind::Heat);
        let gain = |at: usize| Some((at, self.screened(pool.get(at)).shift(cold)?.gain(false)));
        let most = heat.filter_map(gain).max_by(|a, b| a.1.total_cmp(&b.1));
        most.filter(|(_, gain)| *gain > 0.0).map(|(at, _)| at)
    }

    /// For an aim: the changes that may help, the best first. Of those that are as good the cheapest is the best; of
    /// those that cost alike, one for which nothing has to be bought; of these, one that is one change alone.
    fn ranked(&self, pool: &Pool<'_>, aim: usize) -> Vec<usize> {
        let promising = self.promising(pool, aim);
        let more = self.aims[aim].more;
        let most = promising.first().map_or(0.0, |(_, shift)| shift.gain(more));
        let is_as_good = |shift: &Shift| {
            shift.gain(more) >= NEARLY * most || self.aims[aim].is_met(shift.with())
        };
        let (good, others): (Vec<_>, Vec<_>) = promising
            .into_iter()
            .partition(|(_, shift)| is_as_good(shift));
        let price = |at: usize| {
            let change = &pool.get(at).change;
            let (costs, whole) = self.screened(pool.get(at)).costs();
            let step = (ALIKE * whole).max(f64::MIN_POSITIVE);
            (libm::round(costs / step), change.buys, change.parts)
        };
        let mut priced: Vec<_> = good.into_iter().map(|(at, _)| (price(at), at)).collect();
        priced.sort_by(|(a, _), (b, _)| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
        let good = priced.into_iter().map(|(_, at)| at);
        good.chain(others.into_iter().map(|(at, _)| at)).collect()
    }

    /// All changes to be estimated: the best for each finding, the gravest first, then the second best.
    pub fn chosen(&self, pool: &Pool<'_>) -> Vec<usize> {
        let best: Vec<Vec<usize>> = (0..self.aims.len())
            .map(|aim| self.ranked(pool, aim))
            .collect();
        let mut all: Vec<usize> = Vec::new();
        for place in 0..ESTIMATED_EACH {
            for at in best.iter().filter_map(|list| list.get(place)) {
                if !all.contains(at) {
                    all.push(*at);
                }
            }
        }
        all
    }

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
            if let Some(finding) = findings.get_mut(aim.finding) {
                say(finding, aim, tried);
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
            } else if p_of(at).map_or_else(|| promising.contains(&at), |_| helps(&at)) {
                Fate::Less
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
fn say(finding: &mut Finding, aim: &Aim, tried: Vec<Tried>) {
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
