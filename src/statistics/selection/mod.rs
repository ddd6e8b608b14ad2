//! The best of several systems that meet all targets, by a fully sequential procedure.
//!
//! In: [`Rules`], and observations of the systems as they are asked for: of each its cost (whatever is
//! to be least) and a value for each target. Out: which systems need more observations, and in the end a
//! [`Verdict`]. Plain numbers; what plays the systems is the caller's.
//!
//! ## Procedure
//! That of Andradóttir and Kim, *Naval Research Logistics* 57, 2010 (AK+), for several constraints and
//! common random numbers as in Healey, Andradóttir and Kim, *ACM TOMACS* 24(3), article 14, 2014, with
//! dormant systems as in the same authors' *European Journal of Operational Research* 224, 2013 (all from
//! memory). Every system is tested against every target ([`super::sequential`]: F_B for a mean, Wald's
//! test for a share), every pair of systems for the lower cost (KN, on differences of the same index). A
//! system is out when it misses a target, or when one that is known to meet them all has beaten it.
//! Meanwhile a system beaten by one whose targets are still open sleeps and costs nothing.
//!
//! ## Guarantee
//! With k systems, s targets and confidence 1 − α every test errs with probability at most
//! β = α/(s + k − 1). Let b be the cheapest system that keeps every target with its tolerance to spare.
//! The choice can only go wrong if b fails one of its own s tests, or if for one of the k − 1 others one
//! particular test errs: that of the target it misses by its tolerance or more, or else the comparison
//! with b. So by Bonferroni's inequality, with no assumption on how systems or targets depend on one
//! another:
//!
//! - If every other system either misses a target by its tolerance or more, or costs the indifference
//!   amount more than b, then b is chosen with probability at least 1 − α.
//! - Whatever the costs, a system that misses a target by its tolerance or more is chosen with
//!   probability at most k β ≤ α; and none is chosen although b exists with at most s β ≤ α.
//! - Between: a system within the tolerance of a target may count as meeting it or not, and of two
//!   whose costs differ by less than the indifference amount either may be chosen.
//!
//! ## Assumptions
//! Observations of a system are independent and alike from index to index. Costs (their differences) and
//! values of means are normal, with unknown and unequal variances, as sums over an evening nearly are;
//! of skewed ones the guarantee holds nearly, the more so the longer the first stage. Shares are of 0
//! and 1 and need no normality and no batches. The answer does not depend on the order in which systems
//! are played, since each test looks at its observations one by one in index order.

pub mod rules;

mod equal;
mod system;

use std::collections::BTreeMap;

use super::sequential::{DifferenceTest, Side, h_squared};
use rules::share_of_error;
pub use rules::{Flaw, Kind, Rules, Target};
use system::{Check, System};

/// Observations asked for at once after the first stage, or a tenth of what a system has had if that is
/// more. A decision may come at any of them.
pub const ROUND: usize = 10;

/// What has become of a system.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// Still to be had.
    Contends,
    /// Misses this target.
    Misses(usize),
    /// Barred from outside: see [`Selection::bar`].
    Barred,
    /// Costs more than this system, which meets all targets.
    Beaten(usize),
}

/// How it ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// This system is the cheapest that meets all targets.
    Chosen(usize),
    /// None meets them all.
    NoneMeets,
    /// A system needs more observations than allowed.
    OutOfObservations,
}

/// Observations wanted of a system: `count` of them, from this index on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wanted {
    /// Which system.
    pub system: usize,
    /// Index of the first.
    pub from: usize,
    /// How many.
    pub count: usize,
}

/// A value that is no finite number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotFinite;

/// The procedure under way.
///
/// ```
/// use scullery::statistics::selection::{Rules, Selection, Verdict};
///
/// let rules = Rules { confidence: 0.95, indifference: 1.0, first_stage: 5, most: 1000, targets: vec![] };
/// let mut selection = Selection::new(2, rules).unwrap();
/// while let Some(wanted) = selection.wanted().first().copied() {
///     for index in wanted.from..wanted.from + wanted.count {
///         let luck = (index % 7) as f64; // the same for both
///         let cost = [20.0, 18.0][wanted.system] + luck;
///         selection.observe(wanted.system, cost, &[]).unwrap();
///     }
/// }
/// assert_eq!(selection.verdict(), Some(Verdict::Chosen(1)));
/// ```
#[derive(Debug, Clone)]
pub struct Selection {
    rules: Rules,
    beta: f64,
    h_squared: f64,
    systems: Vec<System>,
    /// Of pair i < l, at [`Selection::pair`]: whether i (below) or l (above) is cheaper, once known.
    outcomes: Vec<Option<Side>>,
    /// Comparisons begun and not decided.
    walks: BTreeMap<(usize, usize), DifferenceTest>,
    /// Systems that are out, in the order in which they went.
    out: Vec<usize>,
    verdict: Option<Verdict>,
}

impl Selection {
    /// Of so many systems.
    ///
    /// # Errors
    /// If the rules cannot be followed.
    pub fn new(systems: usize, rules: Rules) -> Result<Self, Flaw> {
        let beta = share_of_error(systems, &rules)?;
        let h_squared = h_squared(beta, rules.first_stage).ok_or(Flaw::FirstStage)?;
        let check = |target: &Target| Check::new(target, beta, h_squared, rules.first_stage);
        let fresh = System {
            costs: Vec::new(),
            checks: rules.targets.iter().map(check).collect(),
            fate: Fate::Contends,
        };
        Ok(Self {
            beta,
            h_squared,
            systems: vec![fresh; systems],
            outcomes: vec![None; systems * (systems - 1) / 2],
            walks: BTreeMap::new(),
            out: Vec::new(),
            verdict: None,
            rules,
        })
    }

    /// Probability with which each single test may err.
    #[must_use]
    pub fn beta(&self) -> f64 {
        self.beta
    }

    /// Weighs what has been observed and says what is wanted next, by system; nothing when it is decided.
    pub fn wanted(&mut self) -> Vec<Wanted> {
        if self.systems[0].costs.is_empty() {
            return self.first_stage();
        }
        self.rule_out_missing();
        self.compare();
        self.rule_out_beaten();
        self.verdict = self.verdict.or_else(|| self.ended());
        if self.verdict.is_some() {
            return Vec::new();
        }
        let awake: Vec<usize> = self.contenders().filter(|i| !self.sleeps(*i)).collect();
        let mut wanted = self.work(&awake);
        if wanted.is_empty() {
            // Each of them was beaten by another of them: all must go on.
            let all: Vec<usize> = self.contenders().collect();
            wanted = self.work(&all);
        }
        if wanted.iter().any(|wanted| wanted.count == 0) {
            self.verdict = Some(Verdict::OutOfObservations);
            wanted.clear();
        }
        wanted
    }

    /// Takes the next observation of a system: its cost, and a value for each target.
    ///
    /// # Errors
    /// If one is not finite; nothing is taken then.
    pub fn observe(&mut self, system: usize, cost: f64, targets: &[f64]) -> Result<(), NotFinite> {
        if !cost.is_finite() || targets.iter().any(|value| !value.is_finite()) {
            return Err(NotFinite);
        }
        let system = &mut self.systems[system];
        system.costs.push(cost);
        for (check, value) in system.checks.iter_mut().zip(targets) {
            check.take(*value);
        }
        Ok(())
    }

    /// Takes a system out for a reason of the caller's, whatever its values.
    pub fn bar(&mut self, system: usize) {
        if self.systems[system].contends() {
            self.systems[system].fate = Fate::Barred;
            self.out.push(system);
        }
    }

    /// How it ended, once it has.
    #[must_use]
    pub fn verdict(&self) -> Option<Verdict> {
        self.verdict
    }

    /// What has become of a system.
    #[must_use]
    pub fn fate(&self, system: usize) -> Fate {
        self.systems[system].fate
    }

    /// Whether a system is known to meet all targets.
    #[must_use]
    pub fn meets(&self, system: usize) -> bool {
        self.systems[system].meets()
    }

    /// Systems that are out, in the order in which they went.
    #[must_use]
    pub fn out(&self) -> &[usize] {
        &self.out
    }

    /// Observations so far, of all systems.
    #[must_use]
    pub fn spent(&self) -> usize {
        self.systems.iter().map(|system| system.costs.len()).sum()
    }

    fn first_stage(&self) -> Vec<Wanted> {
        let first = |system| Wanted {
            system,
            from: 0,
            count: self.rules.first_stage,
        };
        (0..self.systems.len()).map(first).collect()
    }

    fn contenders(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.systems.len()).filter(|i| self.systems[*i].contends())
    }

    fn rule_out_missing(&mut self) {
        for (i, system) in self.systems.iter_mut().enumerate() {
            if let Some(target) = system.missed().filter(|_| system.contends()) {
                system.fate = Fate::Misses(target);
                self.out.push(i);
            }
        }
    }

    /// Goes on with the comparison of every pair of contenders as far as both have been observed.
    fn compare(&mut self) {
        let contenders: Vec<usize> = self.contenders().collect();
        for (place, &i) in contenders.iter().enumerate() {
            for &l in &contenders[place + 1..] {
                let pair = self.pair(i, l);
                if self.outcomes[pair].is_none() {
                    self.outcomes[pair] = self.walk_on(i, l);
                }
            }
        }
        let systems = &self.systems;
        self.walks
            .retain(|(i, l), _| systems[*i].contends() && systems[*l].contends());
    }

    fn walk_on(&mut self, i: usize, l: usize) -> Option<Side> {
        let rules = &self.rules;
        let walk = self.walks.entry((i, l)).or_default();
        let side = walk.walk(
            &self.systems[i].costs,
            &self.systems[l].costs,
            rules.indifference,
            self.h_squared,
            rules.first_stage,
        );
        if side.is_some() {
            self.walks.remove(&(i, l));
        }
        side
    }

    /// One after the other, so that of a ring of systems that beat each other one is left.
    fn rule_out_beaten(&mut self) {
        let contenders: Vec<usize> = self.contenders().collect();
        for &i in &contenders {
            let better = contenders
                .iter()
                .find(|&&w| self.systems[w].contends() && self.meets(w) && self.beats(w, i));
            if let Some(better) = better {
                self.systems[i].fate = Fate::Beaten(*better);
                self.out.push(i);
            }
        }
    }

    fn ended(&self) -> Option<Verdict> {
        let mut left = self.contenders();
        match (left.next(), left.next()) {
            (None, _) => Some(Verdict::NoneMeets),
            (Some(one), None) if self.meets(one) => Some(Verdict::Chosen(one)),
            _ => None,
        }
    }

    /// Where pair i < l stands in a triangular list.
    fn pair(&self, i: usize, l: usize) -> usize {
        l * (l - 1) / 2 + i
    }

    /// Whether the costs have shown `w` to be cheaper than `i`.
    fn beats(&self, w: usize, i: usize) -> bool {
        match w.cmp(&i) {
            std::cmp::Ordering::Less => self.outcomes[self.pair(w, i)] == Some(Side::Below),
            std::cmp::Ordering::Equal => false,
            std::cmp::Ordering::Greater => self.outcomes[self.pair(i, w)] == Some(Side::Above),
        }
    }

    /// A system waits while one that beat it may still turn out to miss a target.
    fn sleeps(&self, i: usize) -> bool {
        self.contenders().any(|w| self.beats(w, i))
    }

    /// What is wanted of these; none of a system (a count of 0) that has had all it may.
    fn work(&self, of: &[usize]) -> Vec<Wanted> {
        let wanted = |&i: &usize| {
            let from = self.systems[i].costs.len();
            let round = ROUND.max(from / 10);
            let count = round.min(self.rules.most.saturating_sub(from));
            self.needs_more(i).then_some(Wanted {
                system: i,
                from,
                count,
            })
        };
        of.iter().filter_map(wanted).collect()
    }

    /// A target is open, or a comparison that waits for this system.
    fn needs_more(&self, i: usize) -> bool {
        let own = &self.systems[i];
        let waits = |l: usize| {
            l != i
                && self.outcomes[self.pair(i.min(l), i.max(l))].is_none()
                && own.costs.len() <= self.systems[l].costs.len()
        };
        !own.meets() || self.contenders().any(waits)
    }
}
