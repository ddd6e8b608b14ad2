//! Scenarios compared: the same replications of each, and what the differences come to.
//!
//! | file | does |
//! |---|---|
//! | `fold` | what is kept of evenings that were played with all scenarios |
//! | [`difference`] | each measure: both means, the paired difference, Holm's verdicts |
//! | [`curve`] | the difference minute by minute |
//! | [`comparison`](mod@comparison) | all of it, as `report` reads it |
//! | [`changes`] | what differs between two scenarios |
//! | [`sentence`] | what an alternative buys and costs, in one sentence |
//! | [`findings`] | what to be careful with |
//!
//! In: a base and its alternatives. Out: a [`Comparison`]. A difference is always the alternative less
//! the base. Random numbers are common: replication 17 has the same guests, soil and luck everywhere,
//! so a difference between two evenings of one number comes from what was changed. Everything is folded
//! in the order of the replications, so the bits do not depend on the number of threads.
//!
//! ## What may be claimed
//! The headline measures over all alternatives are one family: Holm's adjusted p-values and verdicts, Bonferroni's
//! intervals. Every other measure is one difference alone and gets no verdict. A stop at a precision asks for a half-width
//! of the difference as a share of the base's mean: as a share of the difference it would never end where there is none.
//!
//! What may be claimed need not matter: each measure has a threshold ([`matters`](super::matters)), and a difference whose
//! whole interval is within it is too small to matter, or none that matters where it could be luck as well.
//!
//! ## What pairing saves
//! 1 − Var(A − B)/(Var A + Var B), which is never more than 1 − (σ₁ − σ₂)²/(σ₁² + σ₂²). So an alternative in which a
//! measure hardly varies leaves nothing to pair; both figures are in the outputs.

pub mod changes;
pub mod comparison;
pub mod curve;
pub mod difference;
pub mod findings;
mod fold;
pub mod sentence;

use super::clock::clock;
use super::error::PlayError;
use super::matters::TooSmall;
use super::plan::Plan;
use super::player::{Assignment, Ended, Player};
use super::watch::Watch;
use crate::room::Room;
use crate::scenario::Loaded;
use crate::scenario::wording::Wording;
use crate::service::measure::Measure;
use crate::words::study::NO_CURRENCY;
use difference::Difference;
use fold::{Folded, SideBySide};

pub use comparison::{Alternative, Away, Comparison, HEADLINE, Side};

/// Plays a base and its alternatives and compares them, the headline being judged together. With no pair finished
/// there is nothing in it.
///
/// # Errors
/// If the threads cannot be started, or without a scenario.
pub fn compare(
    scenarios: &[Loaded],
    plan: &Plan,
    headline: &[Measure],
    watch: &Watch,
) -> Result<Comparison, PlayError> {
    compare_with(scenarios, plan, (headline, &TooSmall::default()), watch)
}

/// The same with other thresholds of what is too small to matter.
///
/// # Errors
/// As [`compare`].
pub fn compare_with(
    scenarios: &[Loaded],
    plan: &Plan,
    judged: (&[Measure], &TooSmall),
    watch: &Watch,
) -> Result<Comparison, PlayError> {
    if scenarios.is_empty() {
        return Err(PlayError::NoScenario);
    }
    one_currency(scenarios)?;
    let rooms: Vec<Room> = scenarios
        .iter()
        .map(|loaded| Room::of(&loaded.scenario))
        .collect();
    let player = Player::new(plan.threads)?;
    let mut fold = SideBySide::new(&rooms, plan.stop);
    let assignment = Assignment {
        rooms: &rooms,
        replications: plan.stop.replications(),
    };
    let ended = player.play(&[assignment], plan.seed, watch, &mut fold);
    let interrupted = ended == Ended::Cancelled;
    player
        .run(|| comparison(scenarios, plan, judged, fold, interrupted))
        .ok_or(PlayError::NoScenario)
}

/// Costs of different currencies cannot be held against each other; nothing converts them.
///
/// # Errors
/// [`PlayError::Currencies`].
pub fn one_currency(scenarios: &[Loaded]) -> Result<(), PlayError> {
    let named = scenarios.iter().filter_map(|loaded| {
        let prices = loaded.scenario.prices.as_ref()?;
        Some((&loaded.name, &prices.currency))
    });
    let named: Vec<_> = named.collect();
    let Some(((first, currency), rest)) = named.split_first() else {
        return Ok(());
    };
    match rest.iter().find(|(_, other)| other != currency) {
        None => Ok(()),
        Some((name, other)) => Err(PlayError::Currencies {
            of: [(*first).clone(), (*name).clone()],
            currencies: [currency, other].map(|named| currency_words(named.as_deref())),
        }),
    }
}

/// A price without a currency may be in any.
fn currency_words(named: Option<&str>) -> String {
    named.unwrap_or(NO_CURRENCY).to_owned()
}

/// Everything that `report` prints; nothing without a base.
fn comparison(
    scenarios: &[Loaded],
    plan: &Plan,
    (headline, too_small): (&[Measure], &TooSmall),
    fold: SideBySide<'_>,
    interrupted: bool,
) -> Option<Comparison> {
    let rooms = fold.rooms;
    let (sides, curves) = fold.finish();
    let replications = sides.first().map_or(0, |side| side.rows.len() as u64);
    let mut curves = curves.into_iter();
    let mut sides = (scenarios.iter().zip(rooms).zip(sides))
        .map(|((loaded, room), folded)| side(loaded, room, folded));
    let base = sides.next()?;
    let mut alternatives = Vec::new();
    for (side, loaded) in sides.zip(&scenarios[1..]) {
        let mut curves = curves.next().unwrap_or_default();
        // Evenings that are over before the other begins have no minute in common.
        let earlier_end_s = base.last_s().min(side.last_s());
        curves.retain(|curve| curve.start_s < earlier_end_s);
        let end_s = base.last_s().max(side.last_s());
        curves.iter_mut().for_each(|curve| curve.end_at(end_s));
        alternatives.push(Alternative {
            changes: changes::between(&scenarios[0], loaded),
            differences: difference::all(&base.rows, &side.rows),
            curves,
            sentence: String::new(),
            side,
        });
    }
    let mut differences: Vec<&mut [Difference]> = (alternatives.iter_mut())
        .map(|alternative: &mut Alternative| alternative.differences.as_mut_slice())
        .collect();
    let judged = difference::judge(&mut differences, headline, too_small);
    let wording = Wording::shared(scenarios.iter().map(|loaded| &loaded.scenario));
    let mut comparison = Comparison {
        wording: wording.clone(),
        seed: plan.seed,
        replications,
        wanted: plan.stop.most(),
        interrupted,
        headline: headline.to_vec(),
        judged,
        base,
        alternatives,
        findings: Vec::new(),
    };
    comparison.findings = findings::find(&comparison, plan.stop);
    comparison
        .findings
        .extend(findings::outside_limits(scenarios));
    comparison.findings.sort_by_key(|finding| finding.severity);
    let sentences: Vec<String> = (comparison.alternatives.iter())
        .map(|alternative| sentence::of(&comparison, alternative))
        .collect();
    for (alternative, mut sentence) in comparison.alternatives.iter_mut().zip(sentences) {
        wording.say(&mut sentence);
        alternative.sentence = sentence;
    }
    for finding in &mut comparison.findings {
        finding.say(&wording);
    }
    Some(comparison)
}

/// A scenario as it was folded.
fn side(loaded: &Loaded, room: &Room, folded: Folded) -> Side {
    let last_min = folded.ends_min.iter().copied().fold(0.0, f64::max);
    Side {
        name: loaded.name.clone(),
        title: loaded.scenario.title.clone(),
        digest: loaded.digest(),
        unfinished: folded.rows.iter().filter(|row| !row.finished).count() as u64,
        clock: clock(loaded, room, folded.ends_min),
        away: Away::of(&room.crew, room.hours.start_s),
        series: folded.bands.finish(last_min),
        rows: folded.rows,
    }
}
