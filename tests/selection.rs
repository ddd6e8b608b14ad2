//! The selection of a good system that meets its targets, held to what it promises: thousands of
//! macro-replications of configurations that are hard on purpose.
//!
//! Observations are synthetic, from seeded generators, so that the best system is known. Each promise is
//! also broken on purpose: the same count with a wrong constant must fail.
//!
//! The malign cases are those in which a procedure for normal data breaks its word: the best system is
//! nearly constant, and what makes the others dearer is skewed, or so rare that a first stage often shows
//! nothing of it. What they give stands in `tests/selection.txt` (`UPDATE_EXPECTED=1` writes it).

use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;
use rayon::prelude::*;
use scullery::statistics::selection::{
    Fate, Flaw, Kind, NotFinite, Rules, Selection, Target, Verdict,
};

const MACRO_REPLICATIONS: u64 = 4_000;
/// Of these, what equal allocation would have spent is worked out for the first few only.
const LOOKED_AT: u64 = 20;
const CONFIDENCE: f64 = 0.95;

/// What so many macro-replications may show of a true 95 %: 2.58 standard errors less (one-sided 99.5 %).
fn at_least(macros: u64) -> f64 {
    0.95 - 2.58 * libm::sqrt(0.95 * 0.05 / macros as f64)
}

/// How values are spread around their mean, with a standard deviation of 1.
#[derive(Clone, Copy)]
enum Law {
    Normal,
    /// Exponential less its mean: as skewed as an evening's measure ever is without rare events.
    Skewed,
    /// One value with this probability, another otherwise.
    Rare(f64),
}

/// One target and where each system stands.
#[derive(Clone)]
struct Constraint {
    target: Target,
    /// Mean, or share of cases.
    truth: Vec<f64>,
    sd: Vec<f64>,
}

/// Systems whose truth is known.
#[derive(Clone)]
struct Problem {
    cost: Vec<f64>,
    cost_sd: Vec<f64>,
    constraints: Vec<Constraint>,
    /// Correlation between systems, by common random numbers.
    correlation: f64,
    /// Spread of normal luck that is the same for all costs, beside that.
    common_sd: f64,
    law: Law,
    first_stage: usize,
    rarest: f64,
    /// What the procedure takes indifference and tolerances for, as a multiple of what they are.
    haste: f64,
}

/// What came of many runs.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Found {
    /// A good system was chosen, or none where there is none.
    right: f64,
    missing_chosen: f64,
    none: f64,
    spent: f64,
    equal: f64,
}

/// One system's private luck, and luck shared by all, index by index.
struct Luck {
    values: usize,
    shared: Vec<f64>,
    shared_stream: Xoshiro256PlusPlus,
    common: Vec<f64>,
    common_stream: Xoshiro256PlusPlus,
    own: Vec<Xoshiro256PlusPlus>,
}

impl Law {
    fn draw(self, stream: &mut Xoshiro256PlusPlus) -> f64 {
        match self {
            Self::Normal => StandardNormal.sample(stream),
            Self::Skewed => -libm::log(1.0 - stream.random::<f64>()) - 1.0,
            Self::Rare(p) => {
                let case = f64::from(stream.random::<f64>() < p);
                (case - p) / libm::sqrt(p * (1.0 - p))
            }
        }
    }
}

impl Luck {
    fn new(problem: &Problem, seed: u64) -> Self {
        let stream = |place: u64| Xoshiro256PlusPlus::seed_from_u64(seed * 10_007 + place);
        Self {
            values: 1 + problem.constraints.len(),
            shared: Vec::new(),
            shared_stream: stream(10_006),
            common: Vec::new(),
            common_stream: stream(10_005),
            own: (0..problem.systems() as u64).map(stream).collect(),
        }
    }

    /// Normal luck of one index, the same for all systems.
    fn common(&mut self, index: usize) -> f64 {
        while self.common.len() <= index {
            let draw = StandardNormal.sample(&mut self.common_stream);
            self.common.push(draw);
        }
        self.common[index]
    }

    /// Deviates of one observation of a system: cost first, then each target; cost and targets share some
    /// luck too.
    fn deviates(&mut self, problem: &Problem, system: usize, index: usize, into: &mut Vec<f64>) {
        into.clear();
        let stream = &mut self.own[system];
        if problem.correlation == 0.0 {
            into.extend((0..self.values).map(|_| problem.law.draw(stream)));
            return;
        }
        while self.shared.len() < (index + 1) * self.values {
            self.shared.push(problem.law.draw(&mut self.shared_stream));
        }
        let (common, own) = (
            libm::sqrt(problem.correlation),
            libm::sqrt(1.0 - problem.correlation),
        );
        let shared = &self.shared[index * self.values..(index + 1) * self.values];
        let deviate = |shared: &f64| common * shared + own * problem.law.draw(stream);
        into.extend(shared.iter().map(deviate));
    }
}

impl Problem {
    fn systems(&self) -> usize {
        self.cost.len()
    }

    /// The least cost of the systems that are not ruled out by a target.
    fn least(&self) -> Option<f64> {
        (0..self.systems())
            .filter(|i| !self.misses(*i))
            .map(|i| self.cost[i])
            .min_by(f64::total_cmp)
    }

    /// Whether a choice is what was promised.
    fn is_good(&self, chosen: Option<usize>) -> bool {
        match (chosen, self.least()) {
            (Some(chosen), Some(least)) => {
                !self.misses(chosen) && self.cost[chosen] < least + 0.999
            }
            (None, None) => true,
            _ => false,
        }
    }

    /// Misses a target by its tolerance or more.
    fn misses(&self, system: usize) -> bool {
        let is_missed = |constraint: &Constraint| {
            constraint.truth[system]
                > constraint.target.at_most + 0.999 * constraint.target.tolerance
        };
        self.constraints.iter().any(is_missed)
    }

    fn rules(&self, confidence: f64) -> Rules {
        Rules {
            confidence,
            indifference: self.haste,
            first_stage: self.first_stage,
            rarest: self.rarest,
            most: 1_000_000,
            targets: self
                .constraints
                .iter()
                .map(|c| self.hastily(c.target))
                .collect(),
        }
    }

    fn hastily(&self, target: Target) -> Target {
        Target {
            tolerance: self.haste * target.tolerance,
            ..target
        }
    }

    /// Found by a procedure that takes indifference and tolerances for too much.
    fn hasty(&self, haste: f64) -> Found {
        Self {
            haste,
            ..self.clone()
        }
        .found(CONFIDENCE)
    }

    fn value(constraint: &Constraint, system: usize, deviate: f64) -> f64 {
        let truth = constraint.truth[system];
        match constraint.target.kind {
            Kind::Mean => truth + constraint.sd[system] * deviate,
            // A case when the deviate is in the upper tail of that probability.
            Kind::Share => {
                let upper = 0.5 * libm::erfc(deviate * std::f64::consts::FRAC_1_SQRT_2);
                f64::from(upper < truth)
            }
        }
    }

    fn play(&self, confidence: f64, seed: u64) -> Selection {
        let mut luck = Luck::new(self, seed);
        let mut selection = Selection::new(self.systems(), self.rules(confidence)).unwrap();
        let (mut deviates, mut values) = (Vec::new(), Vec::new());
        loop {
            let wanted = selection.wanted();
            if wanted.is_empty() {
                return selection;
            }
            for wanted in wanted {
                let system = wanted.system;
                for index in wanted.from..wanted.from + wanted.count {
                    luck.deviates(self, system, index, &mut deviates);
                    let common = self.common_sd * luck.common(index);
                    let cost = self.cost[system] + self.cost_sd[system] * deviates[0] + common;
                    let all = self.constraints.iter().zip(&deviates[1..]);
                    values.clear();
                    values.extend(all.map(|(c, d)| Self::value(c, system, *d)));
                    selection.observe(system, cost, &values).unwrap();
                }
            }
        }
    }

    /// Plays it 4,000 times with this confidence asked for.
    fn found(&self, confidence: f64) -> Found {
        self.found_in(MACRO_REPLICATIONS, confidence)
    }

    fn found_in(&self, macros: u64, confidence: f64) -> Found {
        let one = |seed: u64| {
            let selection = self.play(confidence, seed);
            let chosen = match selection.verdict() {
                Some(Verdict::Chosen(system)) => Some(system),
                Some(Verdict::NoneMeets) => None,
                other => panic!("{other:?}"),
            };
            let n = macros as f64;
            let share = |yes: bool| if yes { 1.0 / n } else { 0.0 };
            let equal = if seed < LOOKED_AT && self.systems() <= 100 {
                selection.equal_allocation().unwrap() * self.systems() as u64
            } else {
                0
            };
            Found {
                right: share(self.is_good(chosen)),
                missing_chosen: share(chosen.is_some_and(|i| self.misses(i))),
                none: share(chosen.is_none()),
                spent: selection.spent() as f64 / n,
                equal: equal as f64 / LOOKED_AT as f64,
            }
        };
        let all: Vec<Found> = (0..macros).into_par_iter().map(one).collect();
        all.into_iter().fold(Found::default(), |a, b| Found {
            right: a.right + b.right,
            missing_chosen: a.missing_chosen + b.missing_chosen,
            none: a.none + b.none,
            spent: a.spent + b.spent,
            equal: a.equal + b.equal,
        })
    }
}

fn mean(at_most: f64, tolerance: f64) -> Target {
    Target {
        kind: Kind::Mean,
        at_most,
        tolerance,
    }
}

fn share(at_most: f64, tolerance: f64) -> Target {
    Target {
        kind: Kind::Share,
        at_most,
        tolerance,
    }
}

/// Slippage configuration of means: one system is the indifference amount cheaper than all others, which
/// are alike. The least favourable of all that are allowed (Bechhofer 1954; Kim and Nelson 2001).
fn slippage(systems: usize, correlation: f64, sd: impl Fn(usize) -> f64) -> Problem {
    let mut cost = vec![1.0; systems];
    cost[systems / 2] = 0.0;
    Problem {
        cost,
        cost_sd: (0..systems).map(sd).collect(),
        constraints: Vec::new(),
        correlation,
        common_sd: 0.0,
        law: Law::Normal,
        first_stage: 50,
        rarest: 1.0,
        haste: 1.0,
    }
}

/// Difficult means of Andradóttir and Kim 2010 (from memory): the best and some others meet every target
/// by just the tolerance, the others being the indifference amount dearer; the rest miss every target by
/// just the tolerance, and are cheaper than the best.
fn difficult(
    systems: usize,
    keep: usize,
    targets: Vec<(Target, f64)>,
    correlation: f64,
) -> Problem {
    let cost = |i: usize| match i {
        0 => 0.0,
        i if i < keep => 1.0,
        _ => -1.0,
    };
    let constraint = |(target, sd): (Target, f64)| {
        let truth = |i: usize| {
            let side = if i < keep { -1.0 } else { 1.0 };
            target.at_most + side * target.tolerance
        };
        Constraint {
            target,
            truth: (0..systems).map(truth).collect(),
            sd: vec![sd; systems],
        }
    };
    Problem {
        cost: (0..systems).map(cost).collect(),
        cost_sd: vec![3.0; systems],
        constraints: targets.into_iter().map(constraint).collect(),
        correlation,
        common_sd: 0.0,
        law: Law::Normal,
        first_stage: 50,
        rarest: 1.0,
        haste: 1.0,
    }
}

#[track_caller]
fn holds(what: &str, found: Found) {
    println!("{what}: {found:?}");
    assert!(
        found.right >= at_least(MACRO_REPLICATIONS),
        "{what}: {found:?}"
    );
    assert!(
        found.missing_chosen <= 1.0 - at_least(MACRO_REPLICATIONS),
        "{what}: {found:?}"
    );
}

// Costs alone ----------------------------------------------------------------------------------------

/// The bound leans to the safe side for normal data, and half of the error is kept for rare events: what is
/// promised is kept with room to spare, and is broken where less is asked than the truth needs.
#[test]
fn two_systems_in_slippage() {
    for correlation in [0.0, 0.5] {
        let problem = slippage(2, correlation, |_| 9.0);
        let found = problem.found(CONFIDENCE);
        holds("two in slippage", found);
        // An indifference amount taken for three times what it is ends too early, and is found out.
        let wrong = problem.hasty(3.0);
        assert!(wrong.right < at_least(MACRO_REPLICATIONS), "{wrong:?}");
    }
}

#[test]
fn ten_systems_in_slippage() {
    let of = |sd: fn(usize) -> f64| move |correlation| slippage(10, correlation, sd);
    let alike = of(|_| 3.0);
    let rising = of(|i| 2.0 + 0.3 * i as f64);
    let best_varies_most = of(|i| if i == 5 { 5.0 } else { 2.0 });
    holds("ten alike", alike(0.0).found(CONFIDENCE));
    holds("ten alike, common luck", alike(0.5).found(CONFIDENCE));
    holds("ten, rising spread", rising(0.0).found(CONFIDENCE));
    holds(
        "ten, the best varies most",
        best_varies_most(0.3).found(CONFIDENCE),
    );
    let wrong = alike(0.0).hasty(3.0);
    assert!(wrong.right < at_least(MACRO_REPLICATIONS), "{wrong:?}");
}

/// Common random numbers save observations, and the choice stays right.
#[test]
fn common_random_numbers_pay() {
    let (apart, paired) = (
        slippage(5, 0.0, |_| 9.0).found(CONFIDENCE),
        slippage(5, 0.8, |_| 9.0).found(CONFIDENCE),
    );
    holds("five in common", paired);
    assert!(paired.spent < 0.4 * apart.spent, "{paired:?} {apart:?}");
}

// Targets --------------------------------------------------------------------------------------------

#[test]
fn one_target_of_a_mean_at_its_tolerance() {
    for correlation in [0.0, 0.5] {
        let problem = difficult(10, 5, vec![(mean(10.0, 1.0), 3.0)], correlation);
        holds("one mean", problem.found(CONFIDENCE));
    }
    // One that keeps and one that misses: two tests may err, and nothing more is lost to Bonferroni.
    let pair = difficult(2, 1, vec![(mean(10.0, 1.0), 9.0)], 0.0);
    holds("one of two", pair.found(CONFIDENCE));
    let wrong = pair.hasty(3.0);
    assert!(wrong.right < at_least(MACRO_REPLICATIONS), "{wrong:?}");
}

#[test]
fn one_target_of_a_share_at_its_tolerance() {
    for correlation in [0.0, 0.5] {
        let problem = difficult(10, 5, vec![(share(0.10, 0.05), 0.0)], correlation);
        holds("one share", problem.found(CONFIDENCE));
    }
    let pair = difficult(2, 1, vec![(share(0.05, 0.03), 0.0)], 0.0);
    holds("one share of two", pair.found(CONFIDENCE));
    let wrong = pair.hasty(3.0);
    assert!(wrong.right < at_least(MACRO_REPLICATIONS), "{wrong:?}");
}

#[test]
fn three_targets_at_their_tolerance() {
    let targets = || {
        vec![
            (mean(0.03, 0.01), 0.03),
            (share(0.10, 0.05), 0.0),
            (mean(45.0, 3.0), 8.0),
        ]
    };
    holds(
        "three targets",
        difficult(8, 4, targets(), 0.0).found(CONFIDENCE),
    );
    holds(
        "three, common luck",
        difficult(8, 4, targets(), 0.6).found(CONFIDENCE),
    );
    // All keep, so that each of the three tests of the best counts.
    holds(
        "three, all keep",
        difficult(4, 4, targets(), 0.6).found(CONFIDENCE),
    );
    // One alone that meets them: three tests share the error.
    let alone = difficult(1, 1, targets(), 0.0);
    holds("three, alone", alone.found(CONFIDENCE));
}

/// Skewed costs and values, with a first stage of 50: nearly what is promised of normal ones.
#[test]
fn skewed_values() {
    let mut problem = difficult(6, 3, vec![(mean(10.0, 1.0), 3.0)], 0.3);
    problem.law = Law::Skewed;
    problem.first_stage = 50;
    holds("skewed", problem.found(CONFIDENCE));
}

/// All miss by just the tolerance: that any is chosen is at most as frequent as the error allows.
#[test]
fn none_is_chosen_where_all_miss() {
    let miss = |target, sd| {
        let mut problem = difficult(6, 0, vec![(target, sd)], 0.4);
        problem.cost = (0..6).map(f64::from).collect();
        problem
    };
    for (target, sd) in [(mean(10.0, 1.0), 3.0), (share(0.05, 0.03), 0.0)] {
        let found = miss(target, sd).found(CONFIDENCE);
        holds("all miss", found);
        let mut problem = miss(target, 3.0 * sd);
        problem.first_stage = 50;
        let chosen = 1.0 - problem.hasty(3.0).none;
        assert!(chosen > 1.0 - at_least(MACRO_REPLICATIONS), "{chosen}");
    }
}

/// Systems within the tolerance of a target may go either way, but no other than these and the best is
/// chosen more often than stated.
#[test]
fn systems_at_the_limit_do_not_spoil_the_choice() {
    let mut problem = difficult(9, 3, vec![(mean(10.0, 1.0), 3.0)], 0.3);
    for i in 3..6 {
        problem.constraints[0].truth[i] = 10.0;
    }
    let best_or_at_the_limit = (0..300)
        .into_par_iter()
        .filter(|seed| {
            let verdict = problem.play(CONFIDENCE, *seed).verdict();
            matches!(verdict, Some(Verdict::Chosen(i)) if i == 0 || (3..6).contains(&i))
        })
        .count();
    assert!(best_or_at_the_limit >= 280, "{best_or_at_the_limit}");
}

/// Sequential choice of easy problems spends less than equal allocation would have.
#[test]
fn less_is_spent_than_by_equal_allocation() {
    let mut problem = difficult(20, 10, vec![(mean(10.0, 1.0), 3.0)], 0.3);
    for (i, cost) in problem.cost.iter_mut().enumerate() {
        *cost = i as f64;
    }
    let found = problem.found(CONFIDENCE);
    holds("twenty, costs apart", found);
    assert!(found.spent < 0.5 * found.equal, "{found:?}");
}

// The machine itself ---------------------------------------------------------------------------------

#[test]
fn the_same_observations_give_the_same_choice() {
    let problem = difficult(8, 4, vec![(share(0.10, 0.05), 0.0)], 0.5);
    let runs = || {
        (0..20).map(|seed| {
            let selection = problem.play(CONFIDENCE, seed);
            (
                selection.verdict(),
                selection.spent(),
                selection.out().to_vec(),
            )
        })
    };
    assert!(runs().eq(runs()));
}

#[test]
fn fates_say_why() {
    let mut problem = difficult(4, 3, vec![(mean(10.0, 1.0), 0.1)], 0.0);
    problem.cost = vec![0.0, 1.0, 9.0, -1.0];
    let selection = problem.play(CONFIDENCE, 1);
    assert_eq!(selection.verdict(), Some(Verdict::Chosen(0)));
    let fates: Vec<Fate> = (0..4).map(|i| selection.fate(i)).collect();
    assert_eq!(
        fates,
        [
            Fate::Contends,
            Fate::Close(0),
            Fate::Beaten(0),
            Fate::Misses(0)
        ]
    );
    assert_eq!(selection.out(), [3]);
}

/// Systems that never vary are not taken for known: the one chosen is looked at until rare events would have
/// been seen. Of equal costs the first is chosen.
#[test]
fn ties_and_values_that_never_vary_end() {
    let mut problem = difficult(4, 4, vec![(share(0.5, 0.1), 0.0)], 0.0);
    problem.cost = vec![2.0; 4];
    problem.cost_sd = vec![0.0; 4];
    problem.constraints[0].truth = vec![0.0; 4];
    let selection = problem.play(CONFIDENCE, 1);
    assert_eq!(selection.verdict(), Some(Verdict::Chosen(0)));
    // Six for each unit of ln(1/β) are the least that say anything; the share takes ln(1/β)/ln(5/3).
    assert!(selection.spent() <= 5 * 100, "{}", selection.spent());
    problem.rarest = 0.01;
    let rules = problem.rules(CONFIDENCE);
    let to_see = Selection::new(4, rules).unwrap().to_see();
    let selection = problem.play(CONFIDENCE, 1);
    assert_eq!(selection.verdict(), Some(Verdict::Chosen(0)));
    assert!(selection.spent() >= to_see && to_see > 500, "{to_see}");
}

#[test]
fn a_cap_on_observations_is_kept_and_said() {
    let problem = slippage(2, 0.0, |_| 30.0);
    let mut rules = problem.rules(CONFIDENCE);
    rules.most = 75;
    let mut selection = Selection::new(2, rules).unwrap();
    let mut luck = Luck::new(&problem, 1);
    let mut deviates = Vec::new();
    loop {
        let wanted = selection.wanted();
        if wanted.is_empty() {
            break;
        }
        for wanted in wanted {
            for index in wanted.from..wanted.from + wanted.count {
                assert!(index < 75);
                luck.deviates(&problem, wanted.system, index, &mut deviates);
                let cost = 30.0 * deviates[0];
                selection.observe(wanted.system, cost, &[]).unwrap();
            }
        }
    }
    assert_eq!(selection.verdict(), Some(Verdict::OutOfObservations));
    assert_eq!(selection.spent(), 150);
}

#[test]
fn what_cannot_be_is_refused() {
    let good = difficult(3, 2, vec![(share(0.1, 0.05), 0.0)], 0.0).rules(CONFIDENCE);
    let flaw = |systems, change: fn(&mut Rules)| {
        let mut rules = good.clone();
        change(&mut rules);
        Selection::new(systems, rules).err()
    };
    assert_eq!(flaw(3, |_| ()), None);
    assert_eq!(flaw(0, |_| ()), Some(Flaw::NoSystem));
    assert_eq!(flaw(3, |r| r.confidence = 1.0), Some(Flaw::Confidence));
    assert_eq!(flaw(3, |r| r.confidence = f64::NAN), Some(Flaw::Confidence));
    assert_eq!(flaw(3, |r| r.indifference = 0.0), Some(Flaw::Indifference));
    assert_eq!(flaw(3, |r| r.first_stage = 1), Some(Flaw::FirstStage));
    assert_eq!(flaw(3, |r| r.most = 5), Some(Flaw::FirstStage));
    assert_eq!(
        flaw(3, |r| r.targets[0].tolerance = 0.0),
        Some(Flaw::Target(0))
    );
    assert_eq!(
        flaw(3, |r| r.targets[0].at_most = 1.5),
        Some(Flaw::Target(0))
    );
    let mut selection = Selection::new(3, good.clone()).unwrap();
    assert_eq!(selection.observe(0, f64::NAN, &[0.0]), Err(NotFinite));
    assert_eq!(selection.spent(), 0);
}

// Malign cases ---------------------------------------------------------------------------------------

/// The best is nearly constant; the others are dearer by a little more than the indifference amount, which
/// shows in their spread alone.
fn malign(systems: usize, law: Law) -> Problem {
    let best = systems / 2;
    let others = |a: f64, b: f64| -> Vec<f64> {
        (0..systems)
            .map(|i| if i == best { a } else { b })
            .collect()
    };
    // A rare dear evening adds 103.5; an exponential cost has a mean of 5.
    let sd = match law {
        Law::Rare(p) => 1.035 / p * libm::sqrt(p * (1.0 - p)),
        Law::Skewed | Law::Normal => 5.0,
    };
    Problem {
        cost: others(0.0, 1.035),
        cost_sd: others(0.001, sd),
        constraints: Vec::new(),
        correlation: 0.0,
        common_sd: 0.0,
        law,
        first_stage: 100,
        rarest: 0.01,
        haste: 1.0,
    }
}

/// The best is a little dearer on ordinary evenings, and shielded from a storm that costs each of the others a
/// lot. Luck that all share hides the storm in the spread of the costs, but not in their differences.
fn storm(systems: usize, share: f64) -> Problem {
    let mut problem = malign(systems, Law::Rare(share));
    let best = systems / 2;
    for (i, sd) in problem.cost_sd.iter_mut().enumerate() {
        if i != best {
            *sd = 2.0 / share * libm::sqrt(share * (1.0 - share));
        }
    }
    problem.common_sd = 25.0;
    problem
}

/// All but the best are cheaper and miss a target in the mean by a little more than its tolerance, by the
/// same sort of luck.
fn malign_target(systems: usize, law: Law) -> Problem {
    let mut problem = malign(systems, law);
    problem.constraints = vec![Constraint {
        target: mean(1.0, 0.5),
        truth: problem.cost.iter().map(|cost| 0.5 + cost).collect(),
        sd: problem.cost_sd.clone(),
    }];
    problem.cost = problem.cost.iter().map(|cost| -1.5 * cost).collect();
    problem.cost_sd = vec![0.001; systems];
    problem
}

/// What the malign cases gave, as it stands in the file.
const PAGE: &str = "tests/selection.txt";
/// Macro-replications of a case with up to 10 systems.
const MACROS: u64 = 1_000;
/// Systems, and macro-replications of each case with so many.
///
/// Those with many systems take nearly all of the time. A procedure that is right in 80 of 100 is refused by 200 with a
/// probability above 0.999, by 30 with 0.74 in one case and 0.93 in two. A finer fault still shows as another page, and
/// is then looked into by hand.
const EVERY_TIME: [(usize, u64); 4] = [(2, MACROS), (10, MACROS), (100, 200), (1_000, 30)];
/// Where what is played by hand begins on the page.
const BY_HAND: &str = "\nThe same more often, played by hand:\n\n";

/// A problem of so many systems.
type Made = fn(usize) -> Problem;

const MALIGN: [(&str, Made); 7] = [
    ("exponential costs", |k| malign(k, Law::Skewed)),
    ("one dear evening in 20", |k| malign(k, Law::Rare(0.05))),
    ("one dear evening in 100", |k| malign(k, Law::Rare(0.01))),
    ("exponential, a target in the mean", |k| {
        malign_target(k, Law::Skewed)
    }),
    ("one in 100, a target in the mean", |k| {
        malign_target(k, Law::Rare(0.01))
    }),
    ("storm in 100, common luck", |k| storm(k, 0.01)),
    ("storm in 50, common luck", |k| storm(k, 0.02)),
];

/// Plays a malign case, holds it to the confidence, and returns its row of the page.
fn malign_row(what: &str, made: Made, systems: usize, macros: u64) -> String {
    let found = made(systems).found_in(macros, CONFIDENCE);
    println!("{what}, {systems} systems, {macros} times: {found:?}");
    let (good, each) = (100.0 * found.right, found.spent / systems as f64);
    assert!(
        found.right >= at_least(macros),
        "{what} {systems}: {found:?}"
    );
    format!("{what:<36} {systems:>7} {macros:>20} {good:>8.1} {each:>10.0}\n")
}

#[test]
fn malign_cases_keep_the_confidence() {
    let mut page = format!(
        "Selection where procedures for normal data break their word: the best system nearly constant, the\n\
         others dearer by 1.035 times the indifference amount (or missing a target by 1.07 times its tolerance)\n\
         through their spread alone. Stated confidence 95 %, first stage 100, events of 1 % and more looked\n\
         for.\n\n\
         {:<36} systems   macro-replications   good %   observations of a system\n",
        "case"
    );
    for (systems, macros) in EVERY_TIME {
        for (what, made) in MALIGN {
            page += &malign_row(what, made, systems, macros);
        }
    }
    let file = std::fs::read_to_string(PAGE).unwrap_or_default();
    let (_, mut by_hand) = file.split_once(BY_HAND).unwrap_or_default();
    // `MACRO_REPLICATIONS=1000` plays that many with 100 and 1,000 systems too, for as long as that takes.
    let asked = std::env::var("MACRO_REPLICATIONS").ok();
    let rows: Option<String> = asked.map(|macros| {
        let macros = macros.parse().expect("MACRO_REPLICATIONS is a number");
        let of = |systems| {
            MALIGN
                .map(|(what, made)| malign_row(what, made, systems, macros))
                .concat()
        };
        [100, 1_000].map(of).concat()
    });
    by_hand = rows.as_deref().unwrap_or(by_hand);
    page = page + BY_HAND + by_hand;
    if std::env::var_os("UPDATE_EXPECTED").is_some() {
        std::fs::write(PAGE, &page).unwrap();
    }
    assert_eq!(page, std::fs::read_to_string(PAGE).unwrap_or_default());
}

/// The same without looking for rare events, and after a short first stage: the promise is broken, so that
/// the count above means something.
#[test]
fn malign_cases_find_out_a_procedure_that_trusts_its_first_stage() {
    for law in [Law::Rare(0.01), Law::Rare(0.05)] {
        let mut problem = malign(10, law);
        problem.rarest = 1.0;
        problem.first_stage = 50;
        let found = problem.found_in(MACROS, CONFIDENCE);
        assert!(found.right < 0.9, "{found:?}");
    }
}

/// No pairs are made: time and memory go with the number of systems.
#[test]
fn twenty_thousand_systems_take_little_memory() {
    let systems = 20_000;
    let mut problem = slippage(systems, 0.0, |_| 5.0);
    problem.cost = (0..systems).map(|i| 0.01 * i as f64).collect();
    problem.first_stage = 100;
    problem.rarest = 0.01;
    let mut spent = 0;
    let measured = allocation_counter::measure(|| {
        let selection = problem.play(CONFIDENCE, 1);
        let chosen = match selection.verdict() {
            Some(Verdict::Chosen(system)) => problem.cost[system],
            other => panic!("{other:?}"),
        };
        assert!(chosen < 1.0, "{chosen}");
        spent = selection.spent();
    });
    println!("{spent} observations, {} bytes at most", measured.bytes_max);
    assert!(spent < systems * 160, "{spent}");
    assert!(measured.bytes_max < 60_000_000, "{measured:?}");
}
