//! Advice that has been tried. A finding's advice is a change of the scenario, so it is played.
//!
//! | file | does |
//! |---|---|
//! | `aim` | what a finding is about, as a value of each evening |
//! | `candidates`, `crew`, `things` | the few changes that could help: pure |
//! | `change` | a change in words and as the text of a variant |
//! | `evenings` | which evenings of the run they are played on |
//! | `pool` | changes made ready to play, those left out that break a guide |
//! | `rows` | evenings played with them |
//! | `judge` | what a change did, and whether it does harm |
//! | `verdict` | which changes are worth a closer look |
//! | `fates` | what came of each change, for each finding |
//!
//! In: a run that has been played, and its findings. Out: [`Tried`](super::evening::Tried) in each problem and warning.
//!
//! Changes are played on evenings of the run itself, so random numbers are common and the scenario need not be played
//! again. All are screened on a few, among them some on which each rare trouble struck. Where none alone is enough, pairs
//! are, too. The best for each finding is then estimated on evenings that did not choose it, and the second best if evenings
//! are left. All that were played are one pool: each is held against every trouble, whatever it was made for, and judged by
//! Holm's procedure over all changes and troubles. All together it plays at most as many evenings as the run has. Against a
//! trouble that strikes too rarely to learn anything nothing is played.
//!
//! The best is the cheapest of those that gain nearly as much as any, or enough. What does harm is never advised. What keeps
//! ware safe is advised though guests wait or money goes for it; that is said beside it. Where evenings were cut off, waits
//! and costs are too small to hold anything against them: there only less safe ware is harm.

mod aim;
mod candidates;
mod change;
mod crew;
mod evenings;
mod fates;
mod judge;
mod pool;
mod rows;
mod things;
mod verdict;

use super::binding::binding;
use super::error::PlayError;
use super::evening::{Evening, Finding, Severity, Trial};
use super::matters::TooSmall;
use super::plan::{Plan, Stop};
use super::player::Player;
use super::rules::PLANNED;
use super::watch::Watch;
use crate::room::Room;
use crate::scenario::Loaded;
use crate::service::outcome::Outcome;
use crate::words::findings::evening::safety;
use aim::Aim;
use candidates::Maker;
use evenings::{Drawn, Evenings};
use pool::Pool;
use verdict::{Base, Judge};

/// A run of fewer evenings is too short to try anything.
pub const MIN_EVENINGS: u64 = 20;
/// Changes of one are tried up to so many, all findings together.
const MAX_CHANGES: u64 = 40;
/// Evenings of the screening: at least,
const MIN_SCREENED: u64 = 4;
/// and at most.
const MAX_SCREENED: u64 = 16;
/// More evenings are not needed for an estimate.
const MAX_ESTIMATED: u64 = 200;
/// An estimate of fewer says nothing.
const MIN_ESTIMATED: u64 = 4;
/// So many are wanted, before a second change is estimated for any finding.
const WANTED_ESTIMATED: u64 = 80;
/// Pairs of changes that are tried for one finding.
const PAIRS_EACH: usize = 4;

/// What helps against these is known without a try: how many evenings a precision takes, and a break in the roster.
const UNTRIED: [&str; 2] = ["precision-not-met", PLANNED];

/// How many evenings a run gives to what.
struct Budget {
    /// Of the run.
    evenings: u64,
    /// Played so far.
    used: u64,
}

impl Budget {
    /// Somewhat fewer than the run has: an evening with more hands takes longer to play, and all together is not to take
    /// longer than the run.
    const fn of(run: u64) -> Self {
        Self {
            evenings: run * 17 / 20,
            used: 0,
        }
    }

    /// How many changes are screened, each on how many evenings: two fifths of the run's in all.
    fn screening(&self, changes: u64) -> (u64, u64) {
        let all = self.evenings * 2 / 5;
        let count = changes.min(MAX_CHANGES).min(all / MIN_SCREENED);
        let each = all.checked_div(count).unwrap_or(0);
        (count, each.clamp(MIN_SCREENED, MAX_SCREENED))
    }

    /// How many pairs of changes are screened on so many evenings: a fifth of the run's in all.
    const fn pairs(&self, screened: u64) -> u64 {
        self.evenings / 5 / screened
    }

    /// How many changes may be estimated on as many evenings as are wanted.
    const fn to_estimate(&self) -> u64 {
        self.evenings.saturating_sub(self.used) / WANTED_ESTIMATED
    }

    /// On how many evenings so many changes are estimated, with what is left.
    fn estimating(&self, changes: u64, screened: u64) -> u64 {
        let left = self.evenings.saturating_sub(self.used);
        let each = left.checked_div(changes).unwrap_or(0);
        each.min(MAX_ESTIMATED).min(self.evenings - screened)
    }
}

/// What is played, and with which random numbers.
struct Runner<'a> {
    player: Player,
    seed: u64,
    watch: &'a Watch,
    aims: &'a [Aim],
    too_small: &'a TooSmall,
    budget: Budget,
}

impl Runner<'_> {
    /// Plays changes on these evenings and notes what came of them; nothing if it was cancelled.
    fn play(
        &mut self,
        pool: &mut Pool<'_>,
        changes: &[usize],
        on: &Drawn,
        is_estimate: bool,
    ) -> Option<()> {
        let rooms: Vec<(usize, &Room)> = (changes.iter())
            .filter_map(|at| Some((*at, pool.room(*at)?)))
            .collect();
        let only: Vec<&Room> = rooms.iter().map(|(_, room)| *room).collect();
        let run = (self.seed, self.watch);
        let numbers: Vec<u64> = on.at.iter().map(|at| *at as u64).collect();
        let played = rows::play(&self.player, &only, &numbers, run, self.aims)?;
        self.budget.used += rooms.len() as u64 * on.len();
        let at: Vec<usize> = rooms.iter().map(|(at, _)| *at).collect();
        for (at, values) in at.into_iter().zip(played) {
            pool.add(at, is_estimate, values);
        }
        Some(())
    }
}

/// Leaves out the advice of problems and warnings, which was not tried. What was seen stays, and so does what keeps ware
/// safe.
pub fn leave_out(evening: &mut Evening) {
    let grave = |one: &&mut Finding| one.severity != Severity::Note && !UNTRIED.contains(&one.code);
    for finding in evening.findings.iter_mut().filter(grave) {
        finding.advice = safety(&finding.advice).unwrap_or_default().to_owned();
    }
}

/// Tries what might help against each problem and warning of an evening, and writes what came of it into its findings.
/// `outcomes` are all of the run.
/// Nothing is tried for a single replication, or in a run that was interrupted. What gains no more than is too small to
/// matter is not advised.
///
/// # Errors
/// [`PlayError::Threads`].
pub fn advise(
    (loaded, room): (&Loaded, &Room),
    (plan, too_small): (&Plan, &TooSmall),
    watch: &Watch,
    outcomes: &[(u64, Outcome)],
    evening: &mut Evening,
) -> Result<(), PlayError> {
    let evenings = evening.replications;
    if evening.interrupted || matches!(plan.stop, Stop::Only(_)) {
        return Ok(());
    }
    if evenings < MIN_EVENINGS {
        evening.trial = Some(Trial {
            too_few: true,
            ..Trial::default()
        });
        return Ok(());
    }
    let binding = binding(evening);
    let findings = evening.findings.iter().enumerate();
    let aims: Vec<Aim> = findings
        .filter_map(|finding| Aim::of(finding, room, binding.as_ref(), outcomes))
        .collect();
    let maker = Maker {
        loaded,
        room,
        evening,
        binding: binding.as_ref(),
    };
    let mut pool = Pool::new(loaded, room);
    let wanted = aims
        .iter()
        .map(|aim| (aim.is_often_enough(), maker.changes(aim)));
    pool.take(&wanted.collect::<Vec<_>>());
    let mut runner = Runner {
        player: Player::new(plan.threads)?,
        seed: plan.seed,
        watch,
        aims: &aims,
        too_small,
        budget: Budget::of(evenings),
    };
    let Some((evenings, screened, estimated)) = tried(&mut runner, &mut pool, outcomes) else {
        evening.interrupted = true;
        return Ok(());
    };
    let base = Base::new(outcomes, &aims, &evenings, [&screened, &estimated]);
    let judge = Judge::new(&aims, &base, too_small);
    let changes = pool.played();
    judge.write(&pool, loaded, &mut evening.findings);
    fates::agree(&mut evening.findings);
    evening.trial = Some(Trial {
        changes,
        evenings: runner.budget.used,
        screened: screened.len(),
        estimated: estimated.len(),
        picked: screened.picked() + estimated.picked(),
        too_few: false,
    });
    Ok(())
}

/// Screens all changes, then pairs of them, and estimates those that seem to help most: on which evenings each.
/// Nothing if it was cancelled.
fn tried(
    runner: &mut Runner<'_>,
    pool: &mut Pool<'_>,
    outcomes: &[(u64, Outcome)],
) -> Option<(Evenings, Drawn, Drawn)> {
    let (count, screened) = runner.budget.screening(pool.playable());
    pool.keep(usize::try_from(count).unwrap_or(usize::MAX));
    let mut evenings = Evenings::of(outcomes, runner.aims, screened);
    let first = evenings.draw(screened, true);
    let all: Vec<usize> = (0..pool.len()).collect();
    runner.play(pool, &all, &first, false)?;
    let base = Base::new(
        outcomes,
        runner.aims,
        &evenings,
        [&first, &Drawn::default()],
    );
    let judge = Judge::new(runner.aims, &base, runner.too_small);
    let most = usize::try_from(runner.budget.pairs(screened)).unwrap_or(usize::MAX);
    let pairs = pool.pair(&judge.pairs(pool, PAIRS_EACH), most);
    runner.play(pool, &pairs, &first, false)?;
    // Of the gravest findings first, where evenings are few.
    let most = usize::try_from(runner.budget.to_estimate()).unwrap_or(usize::MAX);
    let mut chosen = judge.chosen(pool, most);
    let mut estimated = 0;
    while !chosen.is_empty() {
        estimated = runner.budget.estimating(chosen.len() as u64, screened);
        if estimated >= MIN_ESTIMATED.max(evenings.least()) {
            break;
        }
        chosen.pop();
        estimated = 0;
    }
    let others = if estimated == 0 {
        Drawn::default()
    } else {
        evenings.draw(estimated, false)
    };
    runner.play(pool, &chosen, &others, true)?;
    Some((evenings, first, others))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whatever there is to try, no more evenings are played than the run has.
    #[test]
    fn never_more_evenings_than_the_run_has() {
        for evenings in [20, 21, 50, 199, 1_000, 20_000] {
            for changes in [0, 1, 2, 7, 40, 500] {
                let mut budget = Budget { evenings, used: 0 };
                let (count, screened) = budget.screening(changes);
                budget.used += count * screened;
                budget.used += budget.pairs(screened) * screened;
                assert!(budget.used < evenings && count <= changes);
                for chosen in 1..40 {
                    let estimated = budget.estimating(chosen, screened);
                    assert!(budget.used + chosen * estimated <= evenings);
                    assert!(screened + estimated <= evenings, "not the run's own");
                }
            }
        }
    }
}
