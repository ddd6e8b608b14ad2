//! Which changes are worth a closer look.

use super::aim::Aim;
use super::candidates::together;
use super::change::{Change, Kind};
use super::evenings::{Drawn, Evenings};
use super::judge::{Pair, Shift};
use super::pool::{Candidate, Pool};
use super::rows::{Values, column, of_aim, values};
use crate::service::measure::Measure;
use crate::service::outcome::Outcome;
use crate::study::matters::{Threshold, TooSmall};

/// Those that gain this share of the most are as good: the cheapest of them is the best.
const NEARLY: f64 = 0.7;
/// How many are estimated for a finding.
const ESTIMATED_EACH: usize = 2;
/// Costs that differ by less of what the service costs are alike.
const ALIKE: f64 = 0.01;
/// How many of the best are tried in pairs.
const PAIRED: usize = 3;
/// What the run itself gave, to hold changes against.
pub(super) struct Base {
    /// Its evenings, those of the screening first.
    values: Vec<Values>,
    /// The stratum of each.
    stratum: Vec<usize>,
    weights: Vec<f64>,
    screened: usize,
}

impl Base {
    /// The evenings of the screening and of the estimate.
    pub fn new(
        outcomes: &[(u64, Outcome)],
        aims: &[Aim],
        evenings: &Evenings,
        drawn: [&Drawn; 2],
    ) -> Self {
        let at = drawn.iter().flat_map(|drawn| &drawn.at);
        let outcomes = at.filter_map(|at| outcomes.get(*at));
        Self {
            values: outcomes.map(|(_, one)| values(one, aims)).collect(),
            stratum: drawn
                .iter()
                .flat_map(|drawn| &drawn.stratum)
                .copied()
                .collect(),
            weights: evenings.weights(),
            screened: drawn[0].at.len(),
        }
    }

    /// Beside evenings with a change that begin at one of these.
    fn beside<'v>(&'v self, from: usize, with: &'v [Values]) -> Pair<'v> {
        Pair {
            stratum: &self.stratum[from..],
            weights: &self.weights,
            without: &self.values[from..],
            with,
        }
    }
}

/// Holds changes against the run.
pub(super) struct Judge<'a> {
    pub(super) aims: &'a [Aim],
    base: &'a Base,
    too_small: &'a TooSmall,
}

impl<'a> Judge<'a> {
    /// With what is too small to be worth advice.
    pub const fn new(aims: &'a [Aim], base: &'a Base, too_small: &'a TooSmall) -> Self {
        Self {
            aims,
            base,
            too_small,
        }
    }

    /// What is too small of what an aim is about.
    pub(super) fn threshold(&self, aim: usize) -> Threshold {
        self.too_small.of_info(self.aims[aim].info)
    }

    /// A change beside the run, on the evenings that screened it.
    pub(super) fn screened<'c>(&'c self, one: &'c Candidate) -> Pair<'c> {
        self.base.beside(0, &one.screened)
    }

    /// The same on those that estimated it.
    pub(super) fn estimated<'c>(&'c self, one: &'c Candidate) -> Pair<'c> {
        self.base.beside(self.base.screened, &one.estimated)
    }

    /// On how many of the evenings that were played with a change, of how many, the trouble struck without it.
    pub(super) fn struck(&self, one: &Candidate, aim: usize) -> [usize; 2] {
        let played = one.screened.len() + one.estimated.len();
        let base = self.base.values.iter().take(played);
        let about = &self.aims[aim];
        let struck = base.filter(|values| about.strikes(values[of_aim(aim)]));
        [struck.count(), played]
    }

    /// Whether a change tried for an aim does harm, or makes worse what another finding is about, or the wait.
    fn harms(&self, pair: Pair<'_>, aim: usize) -> bool {
        let others = self.aims.iter().enumerate().filter(|(at, _)| *at != aim);
        let mut columns = others.map(|(at, other)| (of_aim(at), other.more));
        let is_worse = |(at, more)| pair.shift(at).is_some_and(|shift| shift.is_worse(more));
        pair.harms() || is_worse((column(Measure::WaitMean), false)) || columns.any(is_worse)
    }

    /// Whether it does harm on all evenings that were played with it.
    pub(super) fn harms_at_all(&self, one: &Candidate, aim: usize) -> bool {
        let with = [&one.screened[..], &one.estimated[..]].concat();
        self.harms(self.base.beside(0, &with), aim)
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
    pub(super) fn promising(&self, pool: &Pool<'_>, aim: usize) -> Vec<(usize, Shift)> {
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
    pub(super) fn ranked(&self, pool: &Pool<'_>, aim: usize) -> Vec<usize> {
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
}
