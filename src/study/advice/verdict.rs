//! Which changes are worth a closer look.

use super::aim::Aim;
use super::candidates::together;
use super::change::{Change, Kind};
use super::evenings::{Drawn, Evenings};
use super::judge::{PROMISING, PROMISING_ELSEWHERE, Pair, Shift};
use super::pool::{Candidate, Pool};
use super::rows::{Values, column, of_aim, values};
use crate::service::measure::Measure;
use crate::service::outcome::Outcome;
use crate::study::matters::{Threshold, TooSmall};

/// Those that gain this share of the most are as good: the cheapest of them is the best.
pub(super) const NEARLY: f64 = 0.7;
/// Against unsafe ware only what does nearly all that can be done is as good, whatever it costs.
const NEARLY_SAFE: f64 = 0.95;
/// How many are estimated for a finding.
const ESTIMATED_EACH: usize = 2;
/// Costs that differ by less of what the service costs are alike.
const ALIKE: f64 = 0.01;
/// How many of the best are tried in pairs.
const PAIRED: usize = 3;
/// What a change comes at: whether it makes something else worse and of how many parts it is, if that counts; costs in steps
/// that matter; whether something is bought; its parts.
type Price = ((bool, u8), f64, bool, u8);

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

    /// Whether a change tried for an aim does harm, or makes worse what another finding is about, or the wait. A wait, a
    /// cost or overtime is no reason against safe ware: it is said beside the advice.
    fn harms(&self, pair: Pair<'_>, aim: usize) -> bool {
        let about = &self.aims[aim];
        if about.is_cut_off() {
            return pair.is_less_safe();
        }
        let others = self.aims.iter().enumerate().filter(|(at, _)| *at != aim);
        let others = others.filter(|(_, other)| !about.is_safety() || other.is_safety());
        let mut columns = others.map(|(at, other)| (of_aim(at), other.more, self.threshold(at)));
        let is_worse = |(at, more, too_small)| {
            let shift = pair.shift(at);
            shift.is_some_and(|shift| shift.is_worse(more, too_small))
        };
        let wait = self.too_small.of(Measure::WaitMean);
        let waits = !about.is_safety() && is_worse((column(Measure::WaitMean), false, wait));
        self.harms_ware(pair, aim) || waits || columns.any(is_worse)
    }

    /// Whether an aim is worth the labour of a change. Safe ware always is, and evenings that end.
    pub(super) fn pays(&self, pair: Pair<'_>, aim: usize) -> bool {
        let about = &self.aims[aim];
        about.is_safety() || about.is_cut_off() || pair.is_worth_its_labour(of_aim(aim), about.more)
    }

    /// Whether it makes ware less safe; or for what is not about safe ware, whether it does any harm.
    fn harms_ware(&self, pair: Pair<'_>, aim: usize) -> bool {
        let about = &self.aims[aim];
        if about.is_safety() || about.is_cut_off() {
            pair.is_less_safe()
        } else {
            pair.harms()
        }
    }

    /// Whether it does harm on all evenings that were played with it.
    pub(super) fn harms_at_all(&self, one: &Candidate, aim: usize) -> bool {
        let with = [&one.screened[..], &one.estimated[..]].concat();
        self.harms(self.base.beside(0, &with), aim)
    }

    /// Changes by what they gained for an aim in the screening, most first.
    fn by_gain(
        &self,
        pool: &Pool<'_>,
        aim: usize,
        changes: impl Iterator<Item = usize>,
    ) -> Vec<(usize, Shift)> {
        let more = self.aims[aim].more;
        let shift = |at: usize| Some((at, self.screened(pool.get(at)).shift(of_aim(aim))?));
        let mut all: Vec<(usize, Shift)> = changes.filter_map(shift).collect();
        all.sort_by(|a, b| b.1.gain(more).total_cmp(&a.1.gain(more)));
        all
    }

    /// Those that may help against an aim and do no harm, whatever they were made for, by what they gained.
    pub(super) fn promising(&self, pool: &Pool<'_>, aim: usize) -> Vec<(usize, Shift)> {
        let mut all = self.by_gain(pool, aim, pool.of_played());
        let more = self.aims[aim].more;
        let too_small = self.threshold(aim);
        all.retain(|(at, shift)| {
            let is_own = pool.of_aim[aim].contains(at);
            let errors = if is_own {
                PROMISING
            } else {
                PROMISING_ELSEWHERE
            };
            shift.is_promising(errors, more, too_small)
                && (is_own || shift.mends(more))
                && self.pays(self.screened(pool.get(*at)), aim)
                && !self.harms_ware(self.screened(pool.get(*at)), aim)
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
            let ranked = self.by_gain(pool, index, pool.of_aim[index].iter().copied());
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
                    shift.is_promising(PROMISING, aim.more, self.threshold(index))
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

    /// For an aim: the changes that may help, the best first, and how many of them are as good as the best. Of those that
    /// gain alike the cheapest is the best; of those that cost alike, one for which nothing has to be bought; of these,
    /// one that is one change alone. Against unsafe ware one change alone comes first: it is the easiest to keep to. Last
    /// is what seems to make something else worse.
    pub(super) fn ranked(&self, pool: &Pool<'_>, aim: usize) -> (Vec<usize>, usize) {
        let promising = self.promising(pool, aim);
        let more = self.aims[aim].more;
        let most = promising.first().map_or(0.0, |(_, shift)| shift.gain(more));
        let is_safety = self.aims[aim].is_safety();
        let nearly = if is_safety { NEARLY_SAFE } else { NEARLY };
        let is_as_good = |shift: &Shift| {
            shift.gain(more) >= nearly * most || self.aims[aim].is_met(shift.with())
        };
        let (good, others): (Vec<_>, Vec<_>) = promising
            .into_iter()
            .partition(|(_, shift)| is_as_good(shift));
        let price = |at: usize| {
            let change = &pool.get(at).change;
            let (costs, whole) = self.screened(pool.get(at)).costs();
            let step = (ALIKE * whole).max(f64::MIN_POSITIVE);
            let effort = if is_safety { change.parts } else { 0 };
            let harms = self.harms(self.screened(pool.get(at)), aim);
            (
                (harms, effort),
                libm::round(costs / step),
                change.buys,
                change.parts,
            )
        };
        let mut priced: Vec<_> = good.into_iter().map(|(at, _)| (price(at), at)).collect();
        priced.sort_by(|(a, _), (b, _)| {
            let costs = a.1.total_cmp(&b.1);
            a.0.cmp(&b.0).then(costs).then((a.2, a.3).cmp(&(b.2, b.3)))
        });
        let best = priced
            .first()
            .map(|((effort, costs, buys, _), _)| (*effort, *costs, *buys));
        let is_alike = |((effort, costs, buys, _), _): &&(Price, usize)| {
            Some((*effort, *costs, *buys)) == best
        };
        let alike = priced.iter().take_while(is_alike).count();
        let good = priced.into_iter().map(|(_, at)| at);
        let all = good.chain(others.into_iter().map(|(at, _)| at)).collect();
        (all, alike)
    }

    /// All changes to be estimated, of which `most` can be, on evenings enough: the best for each finding, the gravest
    /// first, then the second best. One that is as good as the best for several serves them all, so that the evenings are
    /// shared by few.
    pub fn chosen(&self, pool: &Pool<'_>, most: usize) -> Vec<usize> {
        let best = (0..self.aims.len()).map(|aim| self.ranked(pool, aim));
        let best: Vec<(Vec<usize>, usize)> = best.collect();
        let mut all: Vec<usize> = Vec::new();
        for (list, alike) in &best {
            if !list[..*alike].iter().any(|at| all.contains(at)) {
                all.extend(list.first());
            }
        }
        for place in 0..ESTIMATED_EACH {
            for at in best.iter().filter_map(|(list, _)| list.get(place)) {
                if all.len() < most && !all.contains(at) {
                    all.push(*at);
                }
            }
        }
        all
    }
}
