//! One scenario, played many times and estimated: an [`Evening`].
//!
//! Outcomes of all replications stay in memory until the end; series are folded into [`Bands`].

use super::advice;
use super::bands::Bands;
use super::clock::clock;
use super::error::PlayError;
use super::estimate::Estimator;
use super::evening::{Evening, Row};
use super::findings::{self, Stuck};
use super::matters::TooSmall;
use super::part::{Part, Rows};
use super::plan::{LEVEL, Plan, Stop};
use super::player::{Assignment, Done, Ended, Fold, Player};
use super::sentence;
use super::sheet::Sheet;
use super::watch::{Columns, Watch};
use crate::room::Room;
use crate::scenario::Loaded;
use crate::scenario::wording::Wording;
use crate::service::Service;
use crate::service::measure::Measure;
use crate::service::outcome::Outcome;
use crate::statistics::interval::Sample;
use crate::statistics::precision;

/// Plays a scenario and makes an [`Evening`] of it.
///
/// # Errors
/// [`PlayError::Threads`].
pub fn simulate(loaded: &Loaded, plan: &Plan, watch: &Watch) -> Result<Evening, PlayError> {
    let room = Room::of(&loaded.scenario);
    let outcomes = play(&room, plan, watch)?;
    let (mut evening, outcomes) = evening(loaded, &room, plan, outcomes);
    evening.rows = rows(outcomes);
    Ok(evening)
}

/// The same, and tries what might help against each problem and warning: see [`advice`]. That plays at most as many
/// evenings again.
///
/// # Errors
/// [`PlayError::Threads`].
pub fn simulate_and_advise(
    loaded: &Loaded,
    plan: &Plan,
    watch: &Watch,
) -> Result<Evening, PlayError> {
    simulate_and_advise_with(loaded, plan, &TooSmall::default(), watch)
}

/// The same with other thresholds of what is too small to matter.
///
/// # Errors
/// [`PlayError::Threads`].
pub fn simulate_and_advise_with(
    loaded: &Loaded,
    plan: &Plan,
    too_small: &TooSmall,
    watch: &Watch,
) -> Result<Evening, PlayError> {
    let room = Room::of(&loaded.scenario);
    let outcomes = play(&room, plan, watch)?;
    let (mut evening, outcomes) = evening(loaded, &room, plan, outcomes);
    let (of, by) = ((loaded, &room), (plan, too_small));
    advice::advise(of, by, watch, &outcomes, &mut evening)?;
    evening.rows = rows(outcomes);
    say(&mut evening);
    Ok(evening)
}

/// Findings and sentence in the words of the scenario.
fn say(evening: &mut Evening) {
    let Evening {
        wording,
        findings,
        sentence,
        ..
    } = evening;
    findings.iter_mut().for_each(|finding| finding.say(wording));
    wording.say(sentence);
}

/// Plays replications of one room until the plan says stop.
///
/// # Errors
/// [`PlayError::Threads`].
pub fn play(room: &Room, plan: &Plan, watch: &Watch) -> Result<Outcomes, PlayError> {
    let player = Player::new(plan.threads)?;
    let assignment = Assignment {
        rooms: std::slice::from_ref(room),
        replications: plan.stop.replications(),
    };
    let mut fold = OneRoom {
        room,
        stop: plan.stop,
        rows: Rows::all(room),
        outcomes: Outcomes {
            all: Vec::new(),
            bands: Bands::new(room),
            stuck: None,
            interrupted: false,
        },
    };
    let ended = player.play(&[assignment], plan.seed, watch, &mut fold);
    fold.outcomes.interrupted = ended == Ended::Cancelled;
    Ok(fold.outcomes)
}

/// Replications of one room, played.
#[derive(Debug)]
pub struct Outcomes {
    /// Number and outcome of each, in order.
    pub all: Vec<(u64, Outcome)>,
    /// Series.
    pub bands: Bands,
    /// The first that was not finished.
    pub stuck: Option<Stuck>,
    /// Whether it was interrupted.
    pub interrupted: bool,
}

/// Folds the replications of one room.
struct OneRoom<'r> {
    room: &'r Room,
    stop: Stop,
    rows: Rows,
    outcomes: Outcomes,
}

impl Fold for OneRoom<'_> {
    type Kept = Part;

    fn slot(&self) -> Part {
        self.rows.part(self.room)
    }

    fn slot_bytes(&self) -> usize {
        self.rows.bytes()
    }

    fn keep(&self, _: usize, service: &Service<'_>, outcome: &mut Outcome, kept: &mut Part) {
        self.rows.keep(service, outcome, kept);
    }

    fn add(&mut self, evenings: &[Done<'_, Part>]) {
        let samples: Vec<&[f32]> = evenings.iter().map(|one| &one.kept.samples[..]).collect();
        let outcomes = &mut self.outcomes;
        outcomes.bands.fold(&samples);
        for one in evenings {
            let outcome = one.kept.outcome.clone();
            if !outcome.finished && outcomes.stuck.is_none() {
                outcomes.stuck = Some(Stuck {
                    replication: one.replication,
                    what: one.kept.stuck.clone(),
                });
            }
            outcomes.all.push((one.replication, outcome));
        }
    }

    fn is_enough(&self) -> bool {
        let Stop::Precise {
            measure, relative, ..
        } = self.stop
        else {
            return false;
        };
        let outcomes = self.outcomes.all.iter();
        let values: Vec<f64> = outcomes
            .filter_map(|(_, outcome)| outcome.get(measure))
            .collect();
        Sample::of(&values).is_some_and(|sample| precision::met(sample, relative, LEVEL))
    }

    fn so_far(&self) -> Option<&dyn Columns> {
        Some(self)
    }
}

impl Columns for OneRoom<'_> {
    fn sides(&self) -> usize {
        1
    }

    fn column(&self, _: usize, measure: Measure) -> Vec<(u64, Option<f64>)> {
        let outcomes = self.outcomes.all.iter();
        outcomes
            .map(|(replication, outcome)| (*replication, outcome.get(measure)))
            .collect()
    }
}

/// Estimates everything that `report` prints but its [`rows`]; and gives the outcomes back.
fn evening(
    loaded: &Loaded,
    room: &Room,
    plan: &Plan,
    played: Outcomes,
) -> (Evening, Vec<(u64, Outcome)>) {
    let outcomes = &played.all;
    let ends_min: Vec<f64> = outcomes.iter().map(|(_, one)| one.end_min).collect();
    let last_min = ends_min.iter().copied().fold(0.0, f64::max);
    let unfinished = outcomes.iter().filter(|(_, one)| !one.finished).count();
    let mut estimator = Estimator::new(outcomes);
    let mut evening = Evening {
        name: loaded.name.clone(),
        title: loaded.scenario.title.clone(),
        digest: loaded.digest(),
        wording: Wording::of(&loaded.scenario),
        seed: plan.seed,
        replications: outcomes.len() as u64,
        wanted: plan.stop.most(),
        interrupted: played.interrupted,
        unfinished: unfinished as u64,
        clock: clock(loaded, room, ends_min),
        cover: Sheet::of(&loaded.scenario, room).cover,
        measures: estimator.measures(),
        groups: estimator.groups(room),
        rows: Vec::new(),
        series: played.bands.finish(last_min),
        findings: Vec::new(),
        trial: None,
        sentence: String::new(),
    };
    let stuck = played.stuck.as_ref();
    evening.findings = findings::find(loaded, room, plan, &evening, outcomes, stuck);
    evening.sentence = sentence::of(&evening);
    say(&mut evening);
    (evening, played.all)
}

/// What is kept of each evening.
fn rows(outcomes: Vec<(u64, Outcome)>) -> Vec<Row> {
    let row = |(replication, outcome): (u64, Outcome)| Row {
        replication,
        values: outcome.measures.to_vec(),
        finished: outcome.finished,
    };
    outcomes.into_iter().map(row).collect()
}
