//! The selection of the best system that meets its targets, held to what it promises: over 4,000
//! macro-replications of configurations that are hard on purpose.
//!
//! Observations are synthetic, from seeded generators, so that the best system is known. Each promise is
//! also broken on purpose: the same count with a wrong constant must fail.

// Mutations tried, and how many tests here turned red: the error not split among the tests 7; half the
// height of the triangle 7; twice its slope 7; half the bound of the test of shares 3; a system beaten by one
// whose targets are still open 4; the dearer of a pair wins 12.

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
/// What 4,000 macro-replications may show of a true 95 %: 2.58 standard errors less (one-sided 99.5 %).
const AT_LEAST: f64 = 0.95 - 0.0089;

/// How values are spread around their mean, with a standard deviation of 1.
#[derive(Clone, Copy)]
enum Law {
    Normal,
    /// Exponential less its mean: as skewed as an evening's measure ever is.
    Skewed,
}

/// One target and where each system stands.
struct Constraint {
    target: Target,
    /// Mean, or share of cases.
    truth: Vec<f64>,
    sd: f64,
}

/// Systems whose truth is known.
struct Problem {
    cost: Vec<f64>,
    cost_sd: Vec<f64>,
    constraints: Vec<Constraint>,
    /// Correlation between systems, by common random numbers.
    correlation: f64,
    law: Law,
    first_stage: usize,
}

/// What came of many runs.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Found {
    right: f64,
    missing_chosen: f64,
    none: f64,
    spent: f64,
    equal: f64,
}

/// One system's private luck, and luck shared by all, index by index.
struct Luck {
    shared: Vec<Vec<f64>>,
    shared_stream: Xoshiro256PlusPlus,
    own: Vec<Xoshiro256PlusPlus>,
}

impl Law {
    fn draw(self, stream: &mut Xoshiro256PlusPlus) -> f64 {
        match self {
            Self::Normal => StandardNormal.sample(stream),
            Self::Skewed => -libm::log(1.0 - stream.random::<f64>()) - 1.0,
        }
    }
}

impl Luck {
    fn new(systems: usize, seed: u64) -> Self {
        let stream = |place: u64| Xoshiro256PlusPlus::seed_from_u64(seed * 1_000 + place);
        Self {
            shared: Vec::new(),
            shared_stream: stream(999),
            own: (0..systems as u64).map(stream).collect(),
        }
    }

    /// Deviates of one observation of a system: cost first, then each target; cost and targets share some
    /// luck too.
    fn deviates(&mut self, problem: &Problem, system: usize, index: usize) -> Vec<f64> {
        let count = 1 + problem.constraints.len();
        while self.shared.len() <= index {
            let draw = |_| problem.law.draw(&mut self.shared_stream);
            self.shared.push((0..count).map(draw).collect());
        }
        let (common, own) = (
            libm::sqrt(problem.correlation),
            libm::sqrt(1.0 - problem.correlation),
        );
        let stream = &mut self.own[system];
        let deviate = |shared: &f64| common * shared + own * problem.law.draw(stream);
        self.shared[index].iter().map(deviate).collect()
    }
}

impl Problem {
    fn systems(&self) -> usize {
        self.cost.len()
    }

    /// The best of the systems that are not ruled out by a target.
    fn best(&self) -> Option<usize> {
        (0..self.systems())
            .filter(|i| !self.misses(*i))
            .min_by(|a, b| self.cost[*a].total_cmp(&self.cost[*b]))
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
            indifference: 1.0,
            first_stage: self.first_stage,
            most: 1_000_000,
            targets: self.constraints.iter().map(|c| c.target).collect(),
        }
    }

    fn value(constraint: &Constraint, system: usize, deviate: f64) -> f64 {
        let truth = constraint.truth[system];
        match constraint.target.kind {
            Kind::Mean => truth + constraint.sd * deviate,
            // A case when the deviate is in the upper tail of that probability.
            Kind::Share => {
                let upper = 0.5 * libm::erfc(deviate * std::f64::consts::FRAC_1_SQRT_2);
                f64::from(upper < truth)
            }
        }
    }

    fn play(&self, confidence: f64, seed: u64) -> Selection {
        let mut luck = Luck::new(self.systems(), seed);
        let mut selection = Selection::new(self.systems(), self.rules(confidence)).unwrap();
        loop {
            let wanted = selection.wanted();
            if wanted.is_empty() {
                return selection;
            }
            for wanted in wanted {
                let system = wanted.system;
                for index in wanted.from..wanted.from + wanted.count {
                    let deviates = luck.deviates(self, system, index);
                    let cost = self.cost[system] + self.cost_sd[system] * deviates[0];
                    let values = self.constraints.iter().zip(&deviates[1..]);
                    let values: Vec<f64> =
                        values.map(|(c, d)| Self::value(c, system, *d)).collect();
                    selection.observe(system, cost, &values).unwrap();
                }
            }
        }
    }

    /// Plays it 4,000 times with this confidence asked for.
    fn found(&self, confidence: f64) -> Found {
        let best = self.best();
        let one = |seed: u64| {
            let selection = self.play(confidence, seed);
            let chosen = match selection.verdict() {
                Some(Verdict::Chosen(system)) => Some(system),
                Some(Verdict::NoneMeets) => None,
                other => panic!("{other:?}"),
            };
            let n = MACRO_REPLICATIONS as f64;
            let share = |yes: bool| if yes { 1.0 / n } else { 0.0 };
            let equal = if seed < LOOKED_AT {
                selection.equal_allocation().unwrap() * self.systems() as u64
            } else {
                0
            };
            Found {
                right: share(chosen == best),
                missing_chosen: share(chosen.is_some_and(|i| self.misses(i))),
                none: share(chosen.is_none()),
                spent: selection.spent() as f64 / n,
                equal: equal as f64 / LOOKED_AT as f64,
            }
        };
        let all: Vec<Found> = (0..MACRO_REPLICATIONS).into_par_iter().map(one).collect();
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
        law: Law::Normal,
        first_stage: 10,
    }
}

/// Difficult means of Andradóttir and Kim 2010 (from memory): the best and some others keep every target
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
            sd,
        }
    };
    Problem {
        cost: (0..systems).map(cost).collect(),
        cost_sd: vec![3.0; systems],
        constraints: targets.into_iter().map(constraint).collect(),
        correlation,
        law: Law::Normal,
        first_stage: 20,
    }
}

#[track_caller]
fn holds(what: &str, found: Found) {
    println!("{what}: {found:?}");
    assert!(found.right >= AT_LEAST, "{what}: {found:?}");
    assert!(found.missing_chosen <= 1.0 - AT_LEAST, "{what}: {found:?}");
}

// Costs alone ----------------------------------------------------------------------------------------

/// With two systems nothing is lost to Bonferroni, so the promise is kept closely: that bounds the
/// constants from both sides.
#[test]
fn two_systems_in_slippage() {
    for correlation in [0.0, 0.5] {
        let problem = slippage(2, correlation, |_| 3.0);
        let found = problem.found(CONFIDENCE);
        holds("two in slippage", found);
        assert!(found.right <= 0.985, "{found:?}");
        // A wrong constant is found out: h² as for 85 %, about half of what it must be.
        let wrong = problem.found(0.85);
        assert!(wrong.right < AT_LEAST, "{wrong:?}");
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
    let wrong = alike(0.0).found(0.70);
    assert!(wrong.right < AT_LEAST, "{wrong:?}");
}

/// Common random numbers save observations, and the choice stays right.
#[test]
fn common_random_numbers_pay() {
    let (apart, paired) = (
        slippage(5, 0.0, |_| 3.0).found(CONFIDENCE),
        slippage(5, 0.8, |_| 3.0).found(CONFIDENCE),
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
    let pair = difficult(2, 1, vec![(mean(10.0, 1.0), 3.0)], 0.0);
    holds("one of two", pair.found(CONFIDENCE));
    let wrong = pair.found(0.80);
    assert!(wrong.right < AT_LEAST, "{wrong:?}");
}

#[test]
fn one_target_of_a_share_at_its_tolerance() {
    for correlation in [0.0, 0.5] {
        let problem = difficult(10, 5, vec![(share(0.10, 0.05), 0.0)], correlation);
        holds("one share", problem.found(CONFIDENCE));
    }
    let pair = difficult(2, 1, vec![(share(0.05, 0.03), 0.0)], 0.0);
    holds("one share of two", pair.found(CONFIDENCE));
    let wrong = pair.found(0.80);
    assert!(wrong.right < AT_LEAST, "{wrong:?}");
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
    // One alone that keeps them: three tests share the error.
    let alone = difficult(1, 1, targets(), 0.0);
    holds("three, alone", alone.found(CONFIDENCE));
    let wrong = alone.found(0.80);
    assert!(wrong.right < AT_LEAST, "{wrong:?}");
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
        assert_eq!(found.none, found.right);
        // A tolerance taken for twice what it is ends too early, and is found out.
        let mut hasty = miss(target, sd);
        hasty.constraints[0].target.tolerance *= 2.0;
        let chosen = 1.0 - hasty.found(CONFIDENCE).none;
        assert!(chosen > 1.0 - AT_LEAST, "{chosen}");
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
    let problem = difficult(3, 2, vec![(mean(10.0, 1.0), 0.1)], 0.0);
    let selection = problem.play(CONFIDENCE, 1);
    assert_eq!(selection.verdict(), Some(Verdict::Chosen(0)));
    let fates: Vec<Fate> = (0..3).map(|i| selection.fate(i)).collect();
    assert_eq!(fates, [Fate::Contends, Fate::Beaten(0), Fate::Misses(0)]);
    assert_eq!(selection.out().len(), 2);
}

/// Equal costs are decided, by order, and systems that never vary end at once or nearly.
#[test]
fn ties_and_values_that_never_vary_end() {
    let mut problem = difficult(4, 4, vec![(share(0.5, 0.1), 0.0)], 0.0);
    problem.cost = vec![2.0; 4];
    problem.cost_sd = vec![0.0; 4];
    problem.constraints[0].truth = vec![0.0; 4];
    let selection = problem.play(CONFIDENCE, 1);
    assert_eq!(selection.verdict(), Some(Verdict::Chosen(0)));
    assert!(selection.spent() <= 4 * 100, "{}", selection.spent());
}

#[test]
fn a_cap_on_observations_is_kept_and_said() {
    let problem = slippage(2, 0.0, |_| 30.0);
    let mut rules = problem.rules(CONFIDENCE);
    rules.most = 25;
    let mut selection = Selection::new(2, rules).unwrap();
    let mut luck = Luck::new(2, 1);
    loop {
        let wanted = selection.wanted();
        if wanted.is_empty() {
            break;
        }
        for wanted in wanted {
            for index in wanted.from..wanted.from + wanted.count {
                assert!(index < 25);
                let cost = 30.0 * luck.deviates(&problem, wanted.system, index)[0];
                selection.observe(wanted.system, cost, &[]).unwrap();
            }
        }
    }
    assert_eq!(selection.verdict(), Some(Verdict::OutOfObservations));
    assert_eq!(selection.spent(), 50);
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
