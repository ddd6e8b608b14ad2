//! What is worth saying about an evening: values with a code, evidence and advice, the same in the
//! table and the JSON.
//!
//! The thresholds are ours (common practice, no source), but for the cap on busy people: work sampling
//! in two hospital kitchens found 11 to 16 % of paid time to be unavoidable delay.

use super::evening::{Estimate, Evening, Finding, GroupKind, Severity};
use super::replicate::{LEVEL, Plan};
use crate::room::Room;
use crate::scenario::Loaded;
use crate::scenario::model::Duty;
use crate::service::Service;
use crate::service::measure::{Measure, OperatorMeasure, StationMeasure, WareMeasure};
use crate::service::obstacle::Obstacle;
use crate::service::outcome::Outcome;
use crate::statistics::interval::wilson;

/// Nobody is busy all the time: above this share of the time present something has to give.
const BUSY_LIMIT: f64 = 0.86;
/// Work that waits this long at a station, min an evening, is worth a word.
const WAIT_LIMIT_MIN: f64 = 15.0;

/// All findings of an evening, gravest first.
#[must_use]
pub fn find(
    loaded: &Loaded,
    room: &Room,
    plan: &Plan,
    evening: &Evening,
    outcomes: &[(u64, Outcome)],
) -> Vec<Finding> {
    let seen = Seen {
        loaded,
        room,
        evening,
        outcomes,
    };
    let mut findings = Vec::new();
    findings.extend(seen.unfinished(plan));
    findings.extend(super::imprecise::find(plan, evening));
    findings.extend(seen.short());
    findings.extend(seen.binds());
    findings.extend(seen.dried_on());
    findings.extend(seen.floor());
    findings.extend(seen.late());
    findings.extend(seen.stopped());
    findings.extend(seen.stretched());
    findings.extend(seen.scarce());
    findings.extend(seen.machine_has_room());
    findings.extend(seen.no_effect());
    findings.sort_by_key(|finding| finding.severity);
    findings
}

/// The station and the reason for which work waited longest, with the minutes; for the sentence too.
#[must_use]
pub fn binding(evening: &Evening) -> Option<(String, Obstacle, f64)> {
    // Clean ware that waits to be carried holds nobody up while there is enough of it.
    let short = evening.measures[Measure::ShortCovers as usize].mean;
    let idle = (short.unwrap_or(0.0) <= 0.0).then_some(Duty::PutAway.name());
    let stations = evening
        .groups
        .iter()
        .filter(|group| group.kind == GroupKind::Station)
        .filter(|group| Some(group.name.as_str()) != idle);
    let mut longest: Option<(String, Obstacle, f64)> = None;
    for station in stations {
        for obstacle in Obstacle::ALL {
            let minutes = station.measures[reason(obstacle) as usize]
                .mean
                .unwrap_or(0.0);
            if longest.as_ref().is_none_or(|(_, _, most)| minutes > *most) {
                longest = Some((station.name.clone(), obstacle, minutes));
            }
        }
    }
    longest.filter(|(_, _, minutes)| *minutes >= 1.0)
}

const fn reason(obstacle: Obstacle) -> StationMeasure {
    match obstacle {
        Obstacle::Person => StationMeasure::NoPerson,
        Obstacle::Place => StationMeasure::NoPlace,
        Obstacle::Rack => StationMeasure::NoRack,
        Obstacle::Room => StationMeasure::NoRoom,
    }
}

/// A mean number of things, with a decimal as long as it tells something.
fn about(mean: f64, thing: &str) -> String {
    match mean {
        _ if mean < 0.05 => format!("under 0.1 {thing}s"),
        _ if mean < 9.95 => format!("{mean:.1} {thing}s"),
        _ => format!("{mean:.0} {thing}s"),
    }
}

/// What a finding is made from.
struct Seen<'a> {
    loaded: &'a Loaded,
    room: &'a Room,
    evening: &'a Evening,
    outcomes: &'a [(u64, Outcome)],
}

fn finding(code: &'static str, severity: Severity, evidence: String, advice: String) -> Finding {
    Finding {
        code,
        severity,
        evidence,
        advice,
    }
}

impl Seen<'_> {
    fn mean(&self, measure: Measure) -> Option<f64> {
        self.evening.measures[measure as usize].mean
    }

    /// In how many evenings of a hundred something happened, with its Wilson interval.
    fn in_evenings(&self, happened: impl Fn(&Outcome) -> bool) -> String {
        let n = self.outcomes.len() as u64;
        let count = self
            .outcomes
            .iter()
            .filter(|(_, outcome)| happened(outcome))
            .count() as u64;
        let (low, high) = wilson(count, n, LEVEL);
        let share = 100.0 * count as f64 / n.max(1) as f64;
        // Neither "0 of 100" of what did happen nor "100 of 100" of what did not always.
        let of_all = !(0.5..99.5).contains(&share) && share < 100.0;
        let often = if of_all {
            format!("in {count} of {n} evenings")
        } else {
            format!("in {share:.0} of 100 evenings")
        };
        format!(
            "{often} (95 % interval {:.0} to {:.0} %, n = {n})",
            100.0 * low,
            100.0 * high
        )
    }

    /// One unfinished evening is played again to say what is stuck.
    fn unfinished(&self, plan: &Plan) -> Option<Finding> {
        let (replication, _) = self
            .outcomes
            .iter()
            .find(|(_, outcome)| !outcome.finished)?;
        let mut service = Service::new(self.room);
        service.play(plan.seed, *replication);
        let stuck = service.stuck().join("; ");
        let hours = self.loaded.scenario.service.give_up_after_s / 3600.0;
        let count = self.evening.unfinished;
        Some(finding(
            "unfinished",
            Severity::Problem,
            format!(
                "{count} of {} evenings were not finished {hours:.1} h after closing, the limit; in \
                 replication {replication}: {stuck}",
                self.evening.replications
            ),
            "give the duty named to somebody who is there, or more room, racks or ware where it \
             waits; or set service.give_up_after later"
                .into(),
        ))
    }

    fn short(&self) -> Vec<Finding> {
        let wares = self
            .evening
            .groups
            .iter()
            .filter(|group| group.kind == GroupKind::Ware);
        let mut found = Vec::new();
        for (index, ware) in wares.enumerate() {
            let covers = ware.measures[WareMeasure::ShortCovers as usize]
                .mean
                .unwrap_or(0.0);
            if covers <= 0.0 {
                continue;
            }
            let short = WareMeasure::ShortCovers as usize;
            let often =
                self.in_evenings(|o| o.wares[index][short].is_some_and(|covers| covers > 0.0));
            found.push(finding(
                "ware-short",
                if covers >= 1.0 {
                    Severity::Problem
                } else {
                    Severity::Warning
                },
                format!(
                    "{} ran out {often}: {} waited on average",
                    ware.name,
                    about(covers, "cover")
                ),
                "own more of it, or get it through the dish room sooner".into(),
            ));
        }
        found
    }

    fn binds(&self) -> Option<Finding> {
        let (station, obstacle, minutes) = binding(self.evening)?;
        let advice = match obstacle {
            Obstacle::Person => format!(
                "give `{station}` to one more person in these hours, or put it higher in somebody's \
                 duties; more machine would not help"
            ),
            Obstacle::Place => format!("give `{station}` one more place, sink or station"),
            Obstacle::Rack => "own more racks, or get them unloaded sooner".into(),
            Obstacle::Room => {
                format!("make the table or landing behind `{station}` longer, or clear it sooner")
            }
        };
        let severity = if minutes >= WAIT_LIMIT_MIN {
            Severity::Warning
        } else {
            Severity::Note
        };
        Some(finding(
            "binds",
            severity,
            format!(
                "`{station}` binds: work waited there for {} in {minutes:.0} minutes of the evening",
                obstacle.words()
            ),
            advice,
        ))
    }

    fn dried_on(&self) -> Option<Finding> {
        let share = self
            .mean(Measure::DriedOnShare)
            .filter(|share| *share >= 0.02)?;
        let p95 = self.mean(Measure::WaitP95).unwrap_or(0.0);
        Some(finding(
            "dried-on",
            if share >= 0.1 { Severity::Problem } else { Severity::Warning },
            format!(
                "{:.1} % of the pieces had dried on when they were washed; one in twenty waited \
                 {p95:.0} min or more",
                100.0 * share
            ),
            "shorten the wait, pre-rinse, or soak what has dried; drying rates in a room are known \
             only to a factor of three, so try air.surface = \"air\" and \"wet-bulb\" both"
                .into(),
        ))
    }

    fn floor(&self) -> Option<Finding> {
        let most = self
            .mean(Measure::FloorTubsMax)
            .filter(|most| *most >= 0.05)?;
        let index = Measure::FloorTubsMax as usize;
        let often = self.in_evenings(|o| o.measures[index].is_some_and(|tubs| tubs > 0.0));
        Some(finding(
            "floor-tubs",
            if most >= 1.0 { Severity::Problem } else { Severity::Warning },
            format!(
                "tubs stood on the floor {often}, at most {} on average",
                about(most, "tub")
            ),
            "clear the drop-off sooner or make it longer; tubs on a wet floor are what people fall \
             over"
                .into(),
        ))
    }

    fn late(&self) -> Option<Finding> {
        let out = self.mean(Measure::CrewOutAfterClose)?;
        let overtime = self.mean(Measure::Overtime).unwrap_or(0.0);
        (overtime >= 1.0).then(|| {
            finding(
                "overtime",
                if overtime >= 60.0 {
                    Severity::Problem
                } else if overtime >= 10.0 {
                    Severity::Warning
                } else {
                    Severity::Note
                },
                format!(
                    "the last operator left {out:.0} min after closing; overtime came to \
                     {overtime:.0} min in all"
                ),
                "add hands before closing, when the backlog is made, rather than after".into(),
            )
        })
    }

    fn stopped(&self) -> Option<Finding> {
        let minutes = self
            .mean(Measure::MachineStopped)
            .filter(|minutes| *minutes >= 2.0)?;
        Some(finding(
            "machine-stopped",
            if minutes >= WAIT_LIMIT_MIN {
                Severity::Warning
            } else {
                Severity::Note
            },
            format!("machines stood {minutes:.0} min with a finished rack that could not leave"),
            "unload sooner, or make the landing longer".into(),
        ))
    }

    fn stretched(&self) -> Vec<Finding> {
        let crew = self
            .evening
            .groups
            .iter()
            .filter(|group| group.kind == GroupKind::Operator);
        crew.filter_map(|operator| {
            let busy = operator.measures[OperatorMeasure::BusyShare as usize].mean?;
            (busy > BUSY_LIMIT).then(|| {
                finding(
                    "stretched",
                    Severity::Warning,
                    format!(
                        "{} was busy {:.0} % of the time there; work sampling finds 11 to 16 % of \
                         paid time to be delay that cannot be planned away",
                        operator.name,
                        100.0 * busy
                    ),
                    "plan for less, or the evening will run later than this".into(),
                )
            })
        })
        .collect()
    }

    fn scarce(&self) -> Vec<Finding> {
        let wares = self
            .evening
            .groups
            .iter()
            .filter(|group| group.kind == GroupKind::Ware);
        wares
            .zip(&self.room.wares)
            .filter_map(|(group, ware)| {
                let owned = f64::from(ware.owned?);
                let least = &group.measures[WareMeasure::CleanLeast as usize];
                let short = &group.measures[WareMeasure::ShortCovers as usize];
                let (mean, low) = (least.mean?, least.p10.value?);
                (low < 0.1 * owned && short.mean.unwrap_or(0.0) <= 0.0).then(|| {
                    finding(
                        "ware-near-limit",
                        Severity::Warning,
                        format!(
                            "clean {} fell to {mean:.0} of {owned:.0} on average, to {low:.0} or \
                             less in one evening of ten",
                            ware.name
                        ),
                        "a busier evening would run short".into(),
                    )
                })
            })
            .collect()
    }

    fn machine_has_room(&self) -> Option<Finding> {
        let peak = self.mean(Measure::RacksPerHourPeak)?;
        let rated = self.room.rated_racks_per_hour();
        (rated > 0.0 && peak < 0.5 * rated).then(|| {
            finding(
                "machine-has-room",
                Severity::Note,
                format!(
                    "in its busiest hour the machine took {peak:.0} racks of {rated:.0} it is rated \
                     for"
                ),
                "a faster or longer machine would not move more ware here".into(),
            )
        })
    }

    /// Settings of the scenario that never mattered in this run.
    fn no_effect(&self) -> Vec<Finding> {
        let mut idle: Vec<(&str, String)> = Vec::new();
        let never = |duty: Duty, measure: StationMeasure| {
            self.outcomes.iter().all(|(_, outcome)| {
                outcome.stations[duty as usize][measure as usize].unwrap_or(0.0) == 0.0
            })
        };
        if self.room.has(Duty::Load) && never(Duty::Load, StationMeasure::NoRack) {
            idle.push(("rack[].fleet", "racks never ran out".into()));
        }
        if self.room.has(Duty::Soak) && never(Duty::Soak, StationMeasure::NoPlace) {
            idle.push(("soak.sinks", "a sink was always free".into()));
        }
        // Trips of floor staff that wait for room are not measured: nothing can be said then.
        let waits_unseen = self
            .room
            .clear_down
            .as_ref()
            .is_some_and(|clear| clear.waits && !clear.by_crew);
        if self.room.drop_off_tubs.is_some()
            && !waits_unseen
            && never(Duty::ClearDown, StationMeasure::NoRoom)
            && self.never_above_zero(&self.evening.measures[Measure::FloorTubsMax as usize])
        {
            idle.push(("drop_off.tubs", "the drop-off was never full".into()));
        }
        let stopped = &self.evening.measures[Measure::MachineStopped as usize];
        if stopped.n > 0 && self.never_above_zero(stopped) {
            idle.push(("machine[].landing", "a landing was never full".into()));
        }
        if self
            .room
            .loading
            .as_ref()
            .is_some_and(|loading| loading.table.is_some())
            && never(Duty::Scrape, StationMeasure::NoRoom)
            && never(Duty::Soak, StationMeasure::NoRoom)
        {
            idle.push(("loading.table", "the racking table was never full".into()));
        }
        idle.into_iter()
            .map(|(path, why)| {
                finding(
                    "no-effect",
                    Severity::Note,
                    format!("`{path}` had no effect in this run: {why}"),
                    "more of it would change nothing; less of it might be enough".into(),
                )
            })
            .collect()
    }

    fn never_above_zero(&self, estimate: &Estimate) -> bool {
        let column = self
            .evening
            .measures
            .iter()
            .position(|own| own.info == estimate.info);
        column.is_some_and(|column| {
            self.outcomes
                .iter()
                .all(|(_, o)| o.measures[column].unwrap_or(0.0) <= 0.0)
        })
    }
}
