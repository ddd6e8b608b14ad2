//! What is worth saying about an evening: values with a code, evidence and advice, the same in the
//! table and the JSON.
//!
//! The thresholds are ours (common practice, no source), but for the cap on busy people: work sampling
//! in two hospital kitchens found 11 to 16 % of paid time to be unavoidable delay.
//!
//! To add one of an evening: a method of `Seen` and its line in [`find`]; of a comparison, a function in
//! `study/compare/findings.rs`; of the sheet, a function and its line in `of` of `study/sheet/findings.rs`.

use super::binding::binding;
use super::evening::{Band, Evening, Finding, GroupKind, Severity};
use super::plan::{LEVEL, Plan};
use crate::room::Room;
use crate::scenario::Loaded;
use crate::scenario::model::{Sanitising, SoakPolicy, Surface};
use crate::service::measure::{Measure, OperatorMeasure, WareMeasure};
use crate::service::outcome::Outcome;
use crate::service::series::SeriesKind;
use crate::statistics::interval::wilson;

/// Nobody is busy all the time: above this share of the time present something has to give.
const BUSY_LIMIT: f64 = 0.86;
/// Machines that stand this long with a full landing, min per evening, are worth a word,
const STOPPED_NOTE_MIN: f64 = 5.0;
/// and this long a warning.
const STOPPED_WARNING_MIN: f64 = 15.0;
/// A wash this much below its minimum is worth a word, K: a rack that enters cools it for a moment.
const COLD_WASH_K: f64 = 1.0;
/// Overtime of all operators together, min per evening, that is worth a word.
const OVERTIME_NOTE_MIN: f64 = 5.0;
/// Ware that runs out in fewer evenings than this is a warning, not a problem.
const OFTEN: f64 = 0.05;

/// An evening that was not finished.
#[derive(Debug, Clone)]
pub struct Stuck {
    /// Its number.
    pub replication: u64,
    /// What waited, and for what.
    pub what: Vec<String>,
}

/// All findings of an evening, gravest first. `stuck` is the first evening that was not finished.
#[must_use]
pub fn find(
    loaded: &Loaded,
    room: &Room,
    plan: &Plan,
    evening: &Evening,
    outcomes: &[(u64, Outcome)],
    stuck: Option<&Stuck>,
) -> Vec<Finding> {
    let seen = Seen {
        loaded,
        room,
        evening,
        outcomes,
    };
    let mut findings = Vec::new();
    findings.extend(stuck.map(|stuck| seen.unfinished(stuck)));
    findings.extend(super::imprecise::find(plan, evening));
    findings.extend(seen.short());
    findings.extend(binding(evening).map(|binding| binding.finding()));
    findings.extend(seen.dried_on());
    findings.extend(seen.floor());
    findings.extend(seen.trips_wait());
    findings.extend(seen.late());
    findings.extend(seen.stopped());
    findings.extend(seen.cold());
    findings.extend(seen.held());
    findings.extend(seen.cold_wash());
    findings.extend(seen.stretched());
    findings.extend(seen.scarce());
    findings.extend(seen.machine_has_room());
    findings.extend(super::trouble::find(evening));
    findings.extend(super::published::find(&loaded.scenario));
    findings.extend(super::no_effect::find(room, evening, outcomes));
    findings.sort_by_key(|finding| finding.severity);
    findings
}

/// A mean number of things, with a decimal as long as it means something.
fn about(mean: f64, thing: &str) -> String {
    match mean {
        _ if mean < 0.05 => format!("under 0.1 {thing}s"),
        _ if mean < 9.95 => format!("{mean:.1} {thing}s"),
        _ => format!("{mean:.0} {thing}s"),
    }
}

/// How often something happened: `count` of `n` evenings, with its Wilson interval.
fn often((count, n): (u64, u64)) -> String {
    if count == n {
        return match n {
            1 => "in the one evening played".to_owned(),
            _ => format!("in every one of {n} evenings"),
        };
    }
    let (low, high) = wilson(count, n, LEVEL);
    let (low, high) = (100.0 * low, 100.0 * high);
    let share = 100.0 * count as f64 / n.max(1) as f64;
    // Neither "0 %" of what did happen nor "100 %" of what did not always.
    let how = if (0.95..99.5).contains(&share) {
        format!("in {share:.0} % of the evenings")
    } else {
        format!("in {count} of {n} evenings")
    };
    let places = usize::from(high < 2.0);
    format!("{how} (95 % interval {low:.places$} to {high:.places$} %)")
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

    /// In how many evenings something happened, and of how many.
    fn evenings_with(&self, happened: impl Fn(&Outcome) -> bool) -> (u64, u64) {
        let happened = self
            .outcomes
            .iter()
            .filter(|(_, outcome)| happened(outcome));
        (happened.count() as u64, self.outcomes.len() as u64)
    }

    /// Evenings that were not finished, and why one of them was not.
    fn unfinished(&self, stuck: &Stuck) -> Finding {
        let hours = self.loaded.scenario.service.give_up_after_s / 3600.0;
        let count = self.evening.unfinished;
        finding(
            "unfinished",
            Severity::Problem,
            format!(
                "{count} of {} evenings were not finished {hours:.1} h after closing, the limit; in \
                 replication {}: {}",
                self.evening.replications,
                stuck.replication,
                stuck.what.join("; ")
            ),
            "give the duty named to somebody who is there, or more room, racks or ware where it \
             waits; or set service.give_up_after later"
                .into(),
        )
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
            let (count, n) =
                self.evenings_with(|o| o.wares[index][short].is_some_and(|covers| covers > 0.0));
            let is_rare = covers < 1.0 || (count as f64) < OFTEN * n as f64;
            found.push(finding(
                "ware-short",
                if is_rare {
                    Severity::Warning
                } else {
                    Severity::Problem
                },
                format!(
                    "{} ran out {}: {} had to wait for it, on average over all evenings",
                    ware.name,
                    often((count, n)),
                    about(covers, "cover")
                ),
                "own more of it, or get it through the dish room sooner".into(),
            ));
        }
        found
    }

    fn dried_on(&self) -> Option<Finding> {
        let share = self
            .mean(Measure::DriedOnShare)
            .filter(|share| *share >= 0.02)?;
        let p95 = self.mean(Measure::WaitP95).unwrap_or(0.0);
        Some(finding(
            "dried-on",
            if share >= 0.1 {
                Severity::Problem
            } else {
                Severity::Warning
            },
            format!(
                "{:.1} % of the pieces had dried on when they were washed; one in twenty waited \
                 {p95:.0} min or more",
                100.0 * share
            ),
            self.against_drying(),
        ))
    }

    /// What would help against drying on and is not done yet.
    fn against_drying(&self) -> String {
        let mut cures = vec!["shorten the wait"];
        if self.room.pre_rinse.is_none() {
            cures.push("pre-rinse");
        }
        let soaks = |policy| self.room.wares.iter().any(|ware| ware.soak == policy);
        if self.room.soak.is_none() || !soaks(SoakPolicy::WhenDried) {
            cures.push("soak what has dried on");
        }
        let other = match self.loaded.scenario.air.surface {
            Surface::Air => "wet-bulb",
            Surface::WetBulb => "air",
        };
        format!(
            "{}; drying rates in a room are known only to a factor of three, so try air.surface = \
             \"{other}\" too",
            cures.join(" or ")
        )
    }

    fn floor(&self) -> Option<Finding> {
        let most = self
            .mean(Measure::FloorTubsMax)
            .filter(|most| *most >= 0.05)?;
        let index = Measure::FloorTubsMax as usize;
        let count = self.evenings_with(|o| o.measures[index].is_some_and(|tubs| tubs > 0.0));
        Some(finding(
            "floor-tubs",
            if most >= 1.0 {
                Severity::Problem
            } else {
                Severity::Warning
            },
            format!(
                "tubs stood on the floor {}; the most at once was {} on average",
                often(count),
                about(most, "tub")
            ),
            "scrape sooner, or make the drop-off longer; people trip over tubs on a wet floor"
                .into(),
        ))
    }

    /// Trips that kept their ware because the drop-off was full: no measure, so it is said here.
    fn trips_wait(&self) -> Option<Finding> {
        let count = self.evenings_with(|o| o.trips_waiting_most > 0);
        let sum: u64 = self
            .outcomes
            .iter()
            .map(|(_, o)| u64::from(o.trips_waiting_most))
            .sum();
        let most = sum as f64 / self.outcomes.len().max(1) as f64;
        (most >= 1.0).then(|| {
            finding(
                "trips-wait",
                Severity::Warning,
                format!(
                    "trips from the tables stood before a full drop-off {}; the most in hand at once \
                     was {} on average",
                    often(count),
                    about(most, "piece")
                ),
                "scrape sooner, or make the drop-off longer; what is carried dries on too".into(),
            )
        })
    }

    fn late(&self) -> Option<Finding> {
        let out = self.mean(Measure::CrewOutAfterClose)?;
        let overtime = self.mean(Measure::Overtime).unwrap_or(0.0);
        (overtime >= OVERTIME_NOTE_MIN).then(|| {
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
                    "overtime came to {overtime:.0} min per evening, all operators together; the last \
                     one left {out:.0} min after closing"
                ),
                "add people while the backlog grows, rather than after closing".into(),
            )
        })
    }

    fn stopped(&self) -> Option<Finding> {
        let minutes = self
            .mean(Measure::MachineStopped)
            .filter(|minutes| *minutes >= STOPPED_NOTE_MIN)?;
        Some(finding(
            "machine-stopped",
            if minutes >= STOPPED_WARNING_MIN {
                Severity::Warning
            } else {
                Severity::Note
            },
            format!(
                "{} {minutes:.0} min per evening with a washed rack that found the landing full",
                self.machines("stood", "stood, all together,")
            ),
            "unload sooner, or make the landing longer".into(),
        ))
    }

    /// Racks whose final rinse was too cold.
    fn cold(&self) -> Option<Finding> {
        let racks = self
            .mean(Measure::UnderTemperatureRacks)
            .filter(|racks| *racks > 0.0)?;
        let mut machines = self.loaded.scenario.machine.iter();
        let hot = machines.any(|machine| machine.sanitising == Sanitising::HotWater);
        let advice = if hot {
            "they are not sanitised by heat: wash them again; a stronger booster, warmer supply, less rinse \
             water, or gaps between racks"
        } else {
            "the chemical may not work so cold: wash them again; warmer supply, or a booster"
        };
        Some(finding(
            "final-rinse-cold",
            Severity::Problem,
            format!(
                "{} per evening had a final rinse below its minimum",
                about(racks, "rack")
            ),
            advice.into(),
        ))
    }

    /// Belts that were held for a hot rinse.
    fn held(&self) -> Option<Finding> {
        let minutes = self
            .mean(Measure::MachineHeld)
            .filter(|minutes| *minutes >= STOPPED_NOTE_MIN)?;
        Some(finding(
            "machine-held",
            if minutes >= STOPPED_WARNING_MIN {
                Severity::Problem
            } else {
                Severity::Warning
            },
            format!(
                "{} {minutes:.0} min per evening until the final rinse was hot again",
                self.machines("was held", "were held, all together,")
            ),
            "a stronger booster, warmer supply or less rinse water: whatever waits before it waits for heat"
                .into(),
        ))
    }

    /// A wash that stood below its minimum in the median evening, machine by machine.
    fn cold_wash(&self) -> Vec<Finding> {
        let below = |band: &Band| {
            let least = band.info.least?;
            let is_below = |value: &&Option<f64>| value.is_some_and(|c| c < least - COLD_WASH_K);
            let minutes = band.p50.iter().filter(is_below).count();
            (minutes > 0).then_some((minutes, least))
        };
        let washes = self.evening.series.iter();
        let washes = washes.filter(|band| matches!(band.info.kind, SeriesKind::Wash(_)));
        let found = washes.filter_map(|band| {
            let (minutes, least) = below(band)?;
            let name = band.info.name.split_once(':').map_or("", |(_, name)| name);
            Some(finding(
                "wash-cold",
                Severity::Warning,
                format!(
                    "{name}: in the median evening the wash stood more than a degree below its minimum of \
                     {least:.1} °C ({:.0} °F) for {minutes} min",
                    least * 1.8 + 32.0
                ),
                "a stronger heater, a higher set point, or a larger tank".into(),
            ))
        });
        found.collect()
    }

    /// The machine, or the machines, with a verb.
    fn machines(&self, of_one: &str, of_several: &str) -> String {
        if self.room.machines.len() == 1 {
            format!("the machine {of_one}")
        } else {
            format!("the machines {of_several}")
        }
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
                        "{} was busy {:.0} % of the time there; work sampling finds 11 to 16 % of paid \
                         time lost to delays that cannot be planned away",
                        operator.name,
                        100.0 * busy
                    ),
                    "plan less work for this shift, or the evening will run later than this".into(),
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
        // A machine that is held for heat has no room to spare.
        let held = self.mean(Measure::MachineHeld).unwrap_or(0.0) >= STOPPED_NOTE_MIN;
        (rated > 0.0 && peak < 0.5 * rated && !held).then(|| {
            finding(
                "machine-has-room",
                Severity::Note,
                format!(
                    "in the busiest hour {} {peak:.0} racks, rated for {rated:.0}",
                    self.machines("took", "took")
                ),
                "a faster or longer machine would not move more ware here".into(),
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn how_often_is_said_as_one_would_say_it() {
        assert_eq!(often((1000, 1000)), "in every one of 1000 evenings");
        assert_eq!(often((1, 1)), "in the one evening played");
        assert_eq!(
            often((264, 1000)),
            "in 26 % of the evenings (95 % interval 24 to 29 %)"
        );
        assert_eq!(
            often((3, 1000)),
            "in 3 of 1000 evenings (95 % interval 0.1 to 0.9 %)"
        );
        assert_eq!(
            often((998, 1000)),
            "in 998 of 1000 evenings (95 % interval 99 to 100 %)"
        );
    }
}
