//! Scenarios compared: the same replications of each, and what the differences come to.
//!
//! | file | does |
//! |---|---|
//! | `fold` | what is kept of evenings that were played with all scenarios |
//! | [`difference`] | each measure: both means, the paired difference, Holm's verdicts |
//! | [`course`] | the difference minute by minute |
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
//! ## What pairing saves
//! 1 − Var(A − B)/(Var A + Var B), which is never more than 1 − (σ₁ − σ₂)²/(σ₁² + σ₂²). So an alternative in which a
//! measure hardly varies leaves nothing to pair; both figures are in the outputs.

pub mod changes;
pub mod course;
pub mod difference;
pub mod findings;
mod fold;
pub mod sentence;

use super::clock::clock;
use super::error::PlayError;
use super::evening::{Band, Clock, Finding, Row};
use super::plan::Plan;
use super::player::{Ended, Job, Player};
use super::watch::Watch;
use crate::room::Room;
use crate::scenario::Loaded;
use crate::service::measure::Measure;
use changes::Change;
use course::Course;
use difference::Difference;
use fold::{Folded, SideBySide};

/// The measures that are judged together unless others are chosen.
pub const HEADLINE: [Measure; 5] = [
    Measure::DriedOnShare,
    Measure::WaitP95,
    Measure::ShortCovers,
    Measure::CrewOutAfterClose,
    Measure::Cost,
];

/// Scenarios compared.
#[derive(Debug, Clone)]
pub struct Comparison {
    /// Base seed.
    pub seed: u64,
    /// Replications finished, of each scenario.
    pub replications: u64,
    /// Replications wanted.
    pub wanted: u64,
    /// Whether it was interrupted before `wanted`.
    pub interrupted: bool,
    /// The measures that are judged together, in the order asked for.
    pub headline: Vec<Measure>,
    /// How many differences are judged together: those of the headline that have a p-value, over all
    /// alternatives.
    pub judged: usize,
    /// What the others are compared with.
    pub base: Side,
    /// The others.
    pub alternatives: Vec<Alternative>,
    /// What to be careful with, gravest first.
    pub findings: Vec<Finding>,
}

/// One of the scenarios.
#[derive(Debug, Clone)]
pub struct Side {
    /// File stem of the scenario.
    pub name: String,
    /// Title of the scenario.
    pub title: String,
    /// Replications that reached the limit unfinished.
    pub unfinished: u64,
    /// What the clock of the charts needs.
    pub clock: Clock,
    /// Series by minute, those that are compared.
    pub series: Vec<Band>,
    /// One row for each replication, in order; columns as [`Measure::ALL`].
    pub rows: Vec<Row>,
}

/// A scenario that is compared with the base.
#[derive(Debug, Clone)]
pub struct Alternative {
    /// The scenario.
    pub side: Side,
    /// What differs from the base.
    pub changes: Vec<Change>,
    /// Differences, by [`Measure::ALL`].
    pub differences: Vec<Difference>,
    /// Differences minute by minute, of the series that both have.
    pub courses: Vec<Course>,
    /// What it buys and what it costs.
    pub sentence: String,
}

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
    if scenarios.is_empty() {
        return Err(PlayError::NoScenario);
    }
    let rooms: Vec<Room> = scenarios
        .iter()
        .map(|loaded| Room::of(&loaded.scenario))
        .collect();
    let player = Player::new(plan.threads)?;
    let mut fold = SideBySide::new(&rooms, plan.stop);
    let job = Job {
        rooms: &rooms,
        replications: plan.stop.replications(),
    };
    let ended = player.play(&[job], plan.seed, watch, &mut fold);
    let interrupted = ended == Ended::Cancelled;
    player
        .run(|| comparison(scenarios, plan, headline, fold, interrupted))
        .ok_or(PlayError::NoScenario)
}

/// Everything that `report` prints; nothing without a base.
fn comparison(
    scenarios: &[Loaded],
    plan: &Plan,
    headline: &[Measure],
    fold: SideBySide<'_>,
    interrupted: bool,
) -> Option<Comparison> {
    let rooms = fold.rooms;
    let (sides, courses) = fold.finish();
    let replications = sides.first().map_or(0, |side| side.rows.len() as u64);
    let mut courses = courses.into_iter();
    let mut sides = (scenarios.iter().zip(rooms).zip(sides))
        .map(|((loaded, room), folded)| Side::of(loaded, room, folded));
    let base = sides.next()?;
    let mut alternatives = Vec::new();
    for (side, loaded) in sides.zip(&scenarios[1..]) {
        let mut courses = courses.next().unwrap_or_default();
        // Evenings that are over before the other begins have no minute in common.
        let earlier_end_s = base.last_s().min(side.last_s());
        courses.retain(|course| course.start_s < earlier_end_s);
        let end_s = base.last_s().max(side.last_s());
        courses.iter_mut().for_each(|course| course.end_at(end_s));
        alternatives.push(Alternative {
            changes: changes::between(&scenarios[0].scenario, &loaded.scenario),
            differences: difference::all(&base.rows, &side.rows),
            courses,
            sentence: String::new(),
            side,
        });
    }
    let judged = difference::judge(&mut alternatives, headline);
    let mut comparison = Comparison {
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
    for (alternative, sentence) in comparison.alternatives.iter_mut().zip(sentences) {
        alternative.sentence = sentence;
    }
    Some(comparison)
}

impl Side {
    fn of(loaded: &Loaded, room: &Room, folded: Folded) -> Self {
        let last_min = folded.ends_min.iter().copied().fold(0.0, f64::max);
        Self {
            name: loaded.name.clone(),
            title: loaded.scenario.title.clone(),
            unfinished: folded.rows.iter().filter(|row| !row.finished).count() as u64,
            clock: clock(loaded, room, folded.ends_min),
            series: folded.bands.finish(last_min),
            rows: folded.rows,
        }
    }

    /// Time of day of the last minute of its series, s.
    fn last_s(&self) -> f64 {
        let minutes = self.series.iter().map(|band| band.mean.len()).max();
        self.clock.start_s + 60.0 * minutes.unwrap_or(0).saturating_sub(1) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An alternative of which only the differences matter.
    pub fn alternative(differences: Vec<Difference>) -> Alternative {
        let clock = Clock {
            start_s: 0.0,
            opens_s: 0.0,
            closes_s: 0.0,
            peak_from_s: 0.0,
            peak_to_s: 0.0,
            shown_to_s: 0.0,
        };
        Alternative {
            side: Side {
                name: "other".into(),
                title: "Other".into(),
                unfinished: 0,
                clock,
                series: Vec::new(),
                rows: Vec::new(),
            },
            changes: Vec::new(),
            differences,
            courses: Vec::new(),
            sentence: String::new(),
        }
    }
}
