//! What is worth saying about an evening: values with a code, evidence and advice, the same in the
//! table and the JSON.
//!
//! The thresholds are ours (common practice, no source), but for the cap on busy people: work sampling
//! in two hospital kitchens found 11 to 16 % of paid time to be unavoidable delay.
//!
//! To add one of an evening: a method of `Seen` and its line in [`find`]; of a comparison, a function in
//! `study/compare/findings.rs`; of the sheet, a function and its line in `of` of `study/sheet/findings.rs`. Its sentences
//! are a function in `words/findings/`.

use super::binding::{Binding, binding};
use super::evening::{Evening, Finding, GroupKind, Severity};
use super::plan::{LEVEL, Plan};
use super::{help, rules};
use crate::room::Room;
use crate::scenario::Loaded;
use crate::scenario::model::{Duty, Sanitising, SoakPolicy, Surface};
use crate::service::measure::{Measure, OperatorMeasure, WareMeasure};
use crate::service::outcome::Outcome;
use crate::statistics::interval::wilson;
use crate::words::findings::Often;
use crate::words::findings::evening::{self as words, Cures, Overtime, SpareHands};

/// Nobody is busy all the time: above this share of the time present something has to give.
pub(super) const BUSY_LIMIT: f64 = 0.86;
/// Machines that stand this long with a full landing, min per evening, are worth a word,
pub(super) const STOPPED_NOTE_MIN: f64 = 5.0;
/// and this long a warning.
pub(super) const STOPPED_WARNING_MIN: f64 = 15.0;
/// Overtime of all operators together, min per evening, that is worth a word.
const OVERTIME_NOTE_MIN: f64 = 5.0;
/// And this is a warning,
pub(super) const OVERTIME_WARNING_MIN: f64 = 10.0;
/// and this a problem.
const OVERTIME_PROBLEM_MIN: f64 = 60.0;
/// Share of the pieces dried on that is worth a warning.
pub(super) const DRIED_ON_WARNING: f64 = 0.02;
/// Tubs on the floor, most at once, mean over the evenings, that are worth a warning.
pub(super) const FLOOR_WARNING_TUBS: f64 = 0.05;
/// Time for which no tub is free for ware that is due, min per evening, that is worth a warning.
pub(super) const NO_TUB_WARNING_MIN: f64 = 5.0;
/// Clean ware that falls below this share of what is owned in one evening of ten is near its limit.
pub(super) const NEAR_LIMIT_SHARE: f64 = 0.1;
/// Clean pieces that are not put away while guests go short of them, worth a word.
const LYING_PIECES: f64 = 5.0;
/// Whoever is busy for a smaller share of the time has time for another duty.
const IDLE_SHARE: f64 = 0.6;
/// Work that goes on so long after the last ware has come is a backlog, min.
const BACKLOG_MIN: f64 = 20.0;
/// Ware that runs out in fewer evenings than this is a warning, not a problem.
const OFTEN: f64 = 0.05;

/// An evening that was not finished.
#[derive(Debug, Clone)]
pub struct Stuck {
    /// Its number.
    pub replication: u64,
    /// What waited, and for what.
    pub what: Vec<String>,
    /// The duty that nothing could go on without in the end.
    pub duty: Option<Duty>,
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
    findings.extend(binding(evening).map(|binding| binding.finding(&seen.idle(&binding))));
    findings.extend(seen.dried_on());
    findings.extend(seen.floor());
    findings.extend(seen.no_tub());
    findings.extend(seen.trips_wait());
    findings.extend(seen.late());
    findings.extend(seen.stopped());
    findings.extend(seen.cold());
    findings.extend(seen.cold_wash());
    findings.extend(seen.old_water());
    findings.extend(seen.held());
    findings.extend(seen.stretched());
    findings.extend(seen.scarce());
    findings.extend(super::store::planned(room));
    findings.extend(super::store::stood(room, evening));
    findings.extend(seen.machine_has_room());
    findings.extend(super::trouble::find(evening));
    findings.extend(super::published::find(&loaded.scenario));
    findings.extend(rules::planned(&loaded.scenario));
    findings.extend(super::coming::find(room, outcomes));
    findings.extend(help::called(&loaded.scenario, room, evening, outcomes));
    findings.extend(rules::broken(&loaded.scenario, room, evening, outcomes));
    findings.extend(super::no_effect::find(room, evening, outcomes));
    findings.sort_by_key(|finding| finding.severity);
    for finding in &mut findings {
        finding.locate(&loaded.origins);
    }
    findings
}

/// What a finding is made from.
struct Seen<'a> {
    loaded: &'a Loaded,
    room: &'a Room,
    evening: &'a Evening,
    outcomes: &'a [(u64, Outcome)],
}

impl Seen<'_> {
    fn mean(&self, measure: Measure) -> Option<f64> {
        self.evening.measures[measure as usize].mean
    }

    /// In how many evenings something happened.
    fn often(&self, happened: impl Fn(&Outcome) -> bool) -> Often {
        let happened = self
            .outcomes
            .iter()
            .filter(|(_, outcome)| happened(outcome));
        let (count, n) = (happened.count() as u64, self.outcomes.len() as u64);
        let interval = wilson(count, n, LEVEL);
        Often { count, n, interval }
    }

    /// Evenings that were not finished, and why one of them was not.
    fn unfinished(&self, stuck: &Stuck) -> Finding {
        let hours = self.loaded.scenario.service.give_up_after_s / 3600.0;
        let count = self.evening.unfinished;
        let Stuck {
            replication, what, ..
        } = stuck;
        let of = self.evening.replications;
        let said = words::unfinished(count, of, hours, *replication, what);
        let found = Finding::new("unfinished", Severity::Problem, said);
        match stuck.duty {
            Some(duty) => found.of(duty.name()),
            None => found,
        }
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
            let often = self.often(|o| o.wares[index][short].is_some_and(|covers| covers > 0.0));
            let is_rare = covers < 1.0 || (often.count as f64) < OFTEN * often.n as f64;
            let severity = if is_rare {
                Severity::Warning
            } else {
                Severity::Problem
            };
            let lying = ware.measures[WareMeasure::CleanLying as usize].mean;
            let lying = lying.filter(|pieces| *pieces >= LYING_PIECES);
            let said = words::ware_short(&ware.name, often, covers, lying);
            found.push(Finding::new("ware-short", severity, said).of(&ware.name));
        }
        found
    }

    fn dried_on(&self) -> Option<Finding> {
        let share = self
            .mean(Measure::DriedOnShare)
            .filter(|share| *share >= DRIED_ON_WARNING)?;
        let p95 = self.mean(Measure::WaitP95).unwrap_or(0.0);
        let severity = if share >= 0.1 {
            Severity::Problem
        } else {
            Severity::Warning
        };
        let said = words::dried_on(share, p95, self.against_drying());
        Some(Finding::new("dried-on", severity, said))
    }

    /// What would help against drying on and is not done yet.
    fn against_drying(&self) -> Cures {
        let soaks = |policy| self.room.wares.iter().any(|ware| ware.soak == policy);
        Cures {
            pre_rinse: self.room.pre_rinse.is_none(),
            soak: self.room.soak.is_none() || !soaks(SoakPolicy::WhenDried),
            ends: [(Surface::WetBulb, "wet-bulb"), (Surface::Air, "air")].map(|(surface, name)| {
                let air = &self.loaded.scenario.air;
                let is_set = air.surface == surface && air.drying_multiplier == 1.0;
                (!is_set).then_some(name)
            }),
        }
    }

    fn floor(&self) -> Option<Finding> {
        let most = self
            .mean(Measure::FloorTubsMax)
            .filter(|most| *most >= FLOOR_WARNING_TUBS)?;
        let index = Measure::FloorTubsMax as usize;
        let often = self.often(|o| o.measures[index].is_some_and(|tubs| tubs > 0.0));
        let severity = if most >= 1.0 {
            Severity::Problem
        } else {
            Severity::Warning
        };
        let said = words::floor_tubs(often, most);
        Some(Finding::new("floor-tubs", severity, said))
    }

    /// Ware that stayed on the tables because no tub was free.
    fn no_tub(&self) -> Option<Finding> {
        let minutes = self
            .mean(Measure::NoTub)
            .filter(|minutes| *minutes >= NO_TUB_WARNING_MIN)?;
        let index = Measure::NoTub as usize;
        let often = self.often(|o| o.measures[index].is_some_and(|minutes| minutes > 0.0));
        let said = words::no_tub(often, minutes);
        Some(Finding::new("no-tub", Severity::Warning, said))
    }

    /// Trips that kept their ware because the drop-off was full: no measure, so it is said here.
    fn trips_wait(&self) -> Option<Finding> {
        let often = self.often(|o| o.trips_waiting_most > 0);
        let sum: u64 = self
            .outcomes
            .iter()
            .map(|(_, o)| u64::from(o.trips_waiting_most))
            .sum();
        let most = sum as f64 / self.outcomes.len().max(1) as f64;
        let said = words::trips_wait(often, most);
        (most >= 1.0).then(|| Finding::new("trips-wait", Severity::Warning, said))
    }

    fn late(&self) -> Option<Finding> {
        let out = self.mean(Measure::CrewOutAfterClose)?;
        let overtime = self.mean(Measure::Overtime).unwrap_or(0.0);
        let severity = match overtime {
            _ if overtime >= OVERTIME_PROBLEM_MIN => Severity::Problem,
            _ if overtime >= OVERTIME_WARNING_MIN => Severity::Warning,
            _ => Severity::Note,
        };
        let said = words::overtime(
            overtime,
            &self.evening.clock.after_close(out),
            self.why_late(out),
        );
        (overtime >= OVERTIME_NOTE_MIN).then(|| Finding::new("overtime", severity, said))
    }

    /// Whether a backlog kept the crew, or ware that came late.
    fn why_late(&self, out_min: f64) -> Overtime {
        let Some(last_min) = self.mean(Measure::LastWareAfterClose) else {
            return Overtime::Unknown;
        };
        let after_min = out_min - last_min;
        let busy = self.mean(Measure::CrewBusyShare).unwrap_or(1.0);
        match busy {
            _ if after_min < BACKLOG_MIN => {
                Overtime::LateWare(self.evening.clock.after_close(last_min))
            }
            _ if busy < IDLE_SHARE => Overtime::IdleCrew(after_min, busy),
            _ => Overtime::Backlog(after_min),
        }
    }

    /// Those who do not have the duty that binds, or at some machines only, and have time for it.
    fn idle(&self, binding: &Binding) -> Vec<SpareHands<'_>> {
        let bit = binding.duty.bit();
        let groups = self.evening.groups.iter();
        let crew = groups.filter(|group| group.kind == GroupKind::Operator);
        let idle = crew.filter_map(|group| {
            let mut crew = self.room.crew.iter();
            let operator = crew.find(|operator| operator.name == group.name)?;
            let has = operator.duty_bits & bit != 0;
            let at_some = has && operator.own.is_some() && Duty::AT_MACHINES & bit != 0;
            let busy = group.measures[OperatorMeasure::BusyShare as usize].mean?;
            let is_idle = busy < IDLE_SHARE && (!has || at_some);
            is_idle.then_some(SpareHands {
                name: &group.name,
                busy,
                at_some,
            })
        });
        idle.collect()
    }

    fn stopped(&self) -> Option<Finding> {
        let minutes = self
            .mean(Measure::MachineStopped)
            .filter(|minutes| *minutes >= STOPPED_NOTE_MIN)?;
        let severity = if minutes >= STOPPED_WARNING_MIN {
            Severity::Warning
        } else {
            Severity::Note
        };
        let said = words::machine_stopped(self.room.machines.len(), minutes);
        Some(Finding::new("machine-stopped", severity, said))
    }

    /// Racks whose final rinse was too cold.
    fn cold(&self) -> Option<Finding> {
        let racks = self
            .mean(Measure::ColdRinseRacks)
            .filter(|racks| *racks > 0.0)?;
        let mut machines = self.loaded.scenario.machine.iter();
        let hot = machines.any(|machine| machine.sanitising == Sanitising::HotWater);
        let said = words::final_rinse_cold(self.often_any(Measure::ColdRinseRacks), racks, hot);
        Some(Finding::new("final-rinse-cold", Severity::Problem, said))
    }

    /// Belts that were held for a hot rinse.
    fn held(&self) -> Option<Finding> {
        let minutes = self
            .mean(Measure::MachineHeld)
            .filter(|minutes| *minutes >= STOPPED_NOTE_MIN)?;
        let severity = if minutes >= STOPPED_WARNING_MIN {
            Severity::Problem
        } else {
            Severity::Warning
        };
        let said = words::machine_held(self.room.machines.len(), minutes);
        Some(Finding::new("machine-held", severity, said))
    }

    /// Racks that were washed too cold.
    fn cold_wash(&self) -> Option<Finding> {
        let racks = self
            .mean(Measure::ColdWashRacks)
            .filter(|racks| *racks > 0.0)?;
        let said = words::wash_cold(self.often_any(Measure::ColdWashRacks), racks);
        Some(Finding::new("wash-cold", Severity::Problem, said))
    }

    /// Racks that were washed in water older than it may be.
    fn old_water(&self) -> Option<Finding> {
        let racks = self
            .mean(Measure::OldWaterRacks)
            .filter(|racks| *racks > 0.0)?;
        let said = words::water_old(self.often_any(Measure::OldWaterRacks), racks);
        Some(Finding::new("water-old", Severity::Problem, said))
    }

    /// In how many evenings a measure was not 0.
    fn often_any(&self, measure: Measure) -> Often {
        self.often(|outcome| outcome.get(measure).is_some_and(|value| value > 0.0))
    }

    fn stretched(&self) -> Vec<Finding> {
        let crew = self
            .evening
            .groups
            .iter()
            .filter(|group| group.kind == GroupKind::Operator);
        crew.filter_map(|operator| {
            let busy = operator.measures[OperatorMeasure::BusyShare as usize].mean?;
            let said = words::stretched(&operator.name, busy);
            (busy > BUSY_LIMIT)
                .then(|| Finding::new("stretched", Severity::Warning, said).of(&operator.name))
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
                let is_near = low < NEAR_LIMIT_SHARE * owned && short.mean.unwrap_or(0.0) <= 0.0;
                let said = words::ware_near_limit(&ware.name, mean, owned, low);
                is_near.then(|| {
                    Finding::new("ware-near-limit", Severity::Warning, said).of(&ware.name)
                })
            })
            .collect()
    }

    fn machine_has_room(&self) -> Option<Finding> {
        let peak = self.mean(Measure::RacksPerHourPeak)?;
        let rated = self.room.rated_racks_per_hour();
        // Machines that take unlike racks do not share the peak.
        let mut others = self.room.machines.windows(2);
        if others.any(|two| two[0].takes != two[1].takes) {
            return None;
        }
        // A machine that is held for heat has no room to spare.
        let held = self.mean(Measure::MachineHeld).unwrap_or(0.0) >= STOPPED_NOTE_MIN;
        let has_room = rated > 0.0 && peak < 0.5 * rated && !held;
        let said = words::machine_has_room(self.room.machines.len(), peak, rated);
        has_room.then(|| Finding::new("machine-has-room", Severity::Note, said))
    }
}
