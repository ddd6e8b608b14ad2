//! Findings of machines that were set up late, or went wrong.

use super::evening::{Band, Evening, Finding, Severity};
use crate::scenario::model::Duty;
use crate::service::measure::{Measure, StationMeasure};
use crate::service::series::SeriesKind;
use crate::words::findings::evening as words;

/// Machines that stand this long for faults, min per evening, are worth a word.
const DOWN_NOTE_MIN: f64 = 1.0;
/// And faults or water that wait so long for somebody.
const WAITED_NOTE_MIN: f64 = 10.0;
/// And so many racks washed while something was wrong.
const FAULT_NOTE_RACKS: f64 = 1.0;

/// All of them.
pub fn find(evening: &Evening) -> Vec<Finding> {
    [late(evening), went_wrong(evening), nobody_came(evening)]
        .into_iter()
        .flatten()
        .collect()
}

fn mean(evening: &Evening, measure: Measure) -> Option<f64> {
    let found = evening.measures.iter().find(|e| e.info == measure.info());
    found?.mean
}

/// Racks could not enter when the service opened.
fn late(evening: &Evening) -> Option<Finding> {
    let minutes = mean(evening, Measure::MachineReady).filter(|minutes| *minutes > 0.0)?;
    let said = words::opened_unready(&evening.clock.after_open(minutes), minutes);
    Some(Finding::new("opened-unready", Severity::Warning, said))
}

/// Faults kept machines standing, or spoiled the wash.
fn went_wrong(evening: &Evening) -> Option<Finding> {
    let down_min = mean(evening, Measure::MachineDown)?;
    let racks = mean(evening, Measure::RacksInFault)?;
    if down_min < DOWN_NOTE_MIN && racks < FAULT_NOTE_RACKS {
        return None;
    }
    let faults = mean(evening, Measure::Faults)?;
    let said = words::faults(faults, down_min, racks, longest(evening));
    Some(Finding::new("faults", Severity::Warning, said))
}

/// A fault, or a change of water, waited for somebody to tend it.
fn nobody_came(evening: &Evening) -> Option<Finding> {
    let mut groups = evening.groups.iter();
    let tending = groups.find(|group| group.name == Duty::Tend.name())?;
    let mut measures = tending.measures.iter();
    let waited = measures.find(|e| e.info == StationMeasure::NoPerson.info())?;
    let minutes = waited.mean.filter(|minutes| *minutes >= WAITED_NOTE_MIN)?;
    let said = words::nobody_to_tend(minutes);
    Some(Finding::new("nobody-to-tend", Severity::Warning, said))
}

/// The fault that was there longest, min per evening.
fn longest(evening: &Evening) -> Option<(&str, f64)> {
    let faults = evening.series.iter();
    let faults = faults.filter(|band| matches!(band.info.kind, SeriesKind::Fault(_)));
    let minutes = |band: &Band| band.mean.iter().flatten().sum::<f64>();
    let longest = faults.max_by(|a, b| minutes(a).total_cmp(&minutes(b)))?;
    let name = longest.info.name.split_once(':')?.1;
    Some((name, minutes(longest)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::load;
    use crate::study::{Plan, Stop, Watch, simulate};

    fn friday(changes: &str) -> Vec<Finding> {
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        let file = file.join("scenarios/friday-as-it-runs.toml");
        let loaded = if changes.is_empty() {
            load(&file)
        } else {
            crate::scenario::load_changed(&file, changes)
        };
        let plan = Plan {
            seed: 1,
            stop: Stop::After(20),
            threads: 1,
        };
        let evening = simulate(&loaded.unwrap(), &plan, &Watch::default()).unwrap();
        find(&evening)
    }

    fn codes(findings: &[Finding]) -> Vec<&'static str> {
        findings.iter().map(|finding| finding.code).collect()
    }

    #[test]
    fn trouble_is_reported_and_only_trouble() {
        assert_eq!(codes(&friday("")), ["faults"]);
        assert!(friday("fault = []\n").is_empty());
        let alone = "[[roster]]\nname = \"unloader\"\nduties = [\"unload\", \"close-down\", \"put-away\"]\n\
                     [[roster]]\nname = \"minder\"\nfrom = \"16:00\"\nto = \"18:00\"\nstays = false\n\
                     duties = [\"tend\"]\n[[fault]]\nname = \"detergent out\"\nstrikes = \"regularly\"\nevery = \"4 h\"\n";
        assert!(codes(&friday(alone)).contains(&"nobody-to-tend"));
        let late = "fault = []\n[[set_up]]\nname = \"fill\"\ntakes = \"2 h\"\n";
        let found = friday(late);
        assert_eq!(codes(&found), ["opened-unready"]);
        assert!(
            found[0].evidence.contains("min after opening"),
            "{}",
            found[0].evidence
        );
    }
}
