//! Findings of an evening played.

use super::{Often, Said, about, often, said};
use crate::scenario::model::Duty;
use crate::service::obstacle::Obstacle;
use crate::service::stations;
use crate::service::work::{Comes, Places};
use crate::words::names::waits_for;
use crate::words::text::listed;

/// Evenings that were not finished: how many, of how many, the limit, and why one of them was not.
pub fn unfinished(count: u64, of: u64, limit_h: f64, replication: u64, why: &[String]) -> Said {
    said(
        format!(
            "{count} of {of} ‹evenings› were not finished {limit_h:.1} h after closing, the limit; in \
             replication {replication}: {}",
            why.join("; ")
        ),
        "give the duty named to somebody who is there, or more room, racks or ware where it waits; or set \
         `service.give_up_after` later",
    )
}

/// A run that reached its cap before the precision asked for.
pub fn not_precise(measure: &str, [half_width, mean]: [f64; 2], evenings: u64, asked: f64) -> Said {
    let share = 100.0 * half_width / mean.abs();
    // Of a mean of 0 there is none.
    let share = if share.is_finite() {
        format!("{share:.2} %")
    } else {
        "no share".into()
    };
    said(
        format!(
            "the half-width of {measure} is {share} of its mean after {evenings} ‹evenings›, not {asked} %"
        ),
        "allow more ‹evenings› with -n, or ask for less precision",
    )
}

/// A precision asked of a measure that hardly any evening has.
pub fn no_interval(measure: &str, had: u64, evenings: u64) -> Said {
    said(
        format!("{measure} had a value in {had} of {evenings} ‹evenings›, too few for an interval"),
        "choose a measure of a part that the scenario has with --on",
    )
}

/// Ware that ran out, and how much of it lay clean but was not put away then, if that would have helped.
pub fn ware_short(ware: &str, count: Often, covers: f64, lying: Option<f64>) -> Said {
    let mut evidence = format!(
        "{ware} ran out {}: {} had to wait for it, on average over all ‹evenings›",
        often(count),
        about(covers, "cover")
    );
    if let Some(lying) = lying {
        evidence += &format!(
            "; meanwhile {} of it lay clean and were not put away",
            about(lying, "piece")
        );
    }
    let advice = if lying.is_some() {
        "put it away sooner before you buy more"
    } else {
        "own more of it, or get it through the dish room sooner"
    };
    said(evidence, advice)
}

/// Somebody who was not busy and does not do what held up the line.
#[derive(Debug, Clone, Copy)]
pub struct SpareHands<'a> {
    /// Their name.
    pub name: &'a str,
    /// Their share of busy time.
    pub busy: f64,
    /// Whether they do it at machines of their own.
    pub at_some: bool,
}

/// What held up the line. `idle` are those who were not busy and do not do it, or not everywhere.
pub fn binds(
    (duty, obstacle): (Duty, Obstacle),
    minutes: f64,
    wait_min: f64,
    idle: &[SpareHands<'_>],
) -> Said {
    let (station, work) = (duty.name(), stations::work(duty));
    let advice = match (obstacle, work.places) {
        (Obstacle::Person, _) if !idle.is_empty() => {
            let of = |at_some: bool| {
                let some = idle.iter().filter(|one| one.at_some == at_some);
                let names: Vec<&str> = some.map(|one| one.name).collect();
                (!names.is_empty()).then(|| listed(&names))
            };
            let give = of(false).map(|names| format!("give `{station}` to {names}"));
            let all = of(true).map(|names| format!("let {names} look after all machines"));
            let cures: Vec<String> = give.into_iter().chain(all).collect();
            format!("hands are there, the duty is not: {}", cures.join("; or "))
        }
        (Obstacle::Person, _) => format!(
            "give `{station}` to one more person in these hours, or put it higher in somebody's duties"
        ),
        (Obstacle::Rack, _) => {
            "own more racks, or more hands for those that are dry and cool on the landing"
                .to_owned()
        }
        (Obstacle::Place, Places::Sinks(..)) => "one more sink".to_owned(),
        (Obstacle::Place, Places::Machines(_)) => "one more hood, or a shorter cycle".to_owned(),
        (Obstacle::Place, Places::Racks(_)) => "one more loading station".to_owned(),
        (Obstacle::Place, Places::Anybody | Places::People(_)) => {
            format!("make one more place at `{station}`")
        }
        (Obstacle::Room, Places::Racks(_)) => {
            "make the entry lane longer; if that is full too, the machine is too slow".to_owned()
        }
        (Obstacle::Room, _) if matches!(work.comes, Comes::FromTables) => {
            "make the drop-off longer, or scrape sooner".to_owned()
        }
        (Obstacle::Room, _) => {
            format!("make the table behind `{station}` longer, or clear it sooner")
        }
    };
    let mut evidence = format!(
        "`{station}` holds up the line: during {minutes:.0} minutes of the ‹evening› work waited there for \
         {}, {wait_min:.0} min on average",
        waits_for(obstacle)
    );
    for SpareHands {
        name,
        busy,
        at_some,
    } in idle
    {
        let where_not = if *at_some {
            "only does it at some machines"
        } else {
            "does not do it"
        };
        evidence += &format!(
            "; {name}, who {where_not}, was busy {:.0} % of the time",
            100.0 * busy
        );
    }
    said(evidence, advice)
}

/// Cures for ware that dries on which a room does not have yet.
#[derive(Debug, Clone, Copy)]
pub struct Cures {
    /// A pre-rinse.
    pub pre_rinse: bool,
    /// A soak of what has dried on.
    pub soak: bool,
    /// The ends of the published drying rates that the scenario does not use: values of `air.surface`.
    pub ends: [Option<&'static str>; 2],
}

/// Ware that dried on.
pub fn dried_on(share: f64, p95_min: f64, cures: Cures) -> Said {
    let mut list = vec!["shorten the wait"];
    list.extend(cures.pre_rinse.then_some("pre-rinse"));
    list.extend(cures.soak.then_some("soak what has dried on"));
    let ends = cures.ends.into_iter().flatten();
    let ends: Vec<String> = ends
        .map(|end| format!("`air.surface = \"{end}\"`"))
        .collect();
    said(
        format!(
            "{:.1} % of the pieces had dried on when they were washed; one in twenty waited {p95_min:.0} min \
             or more. Drying rates in a room are known only to a factor of three: try {} too, with \
             `air.drying_multiplier = 1`",
            100.0 * share,
            ends.join(" and ")
        ),
        list.join(" or "),
    )
}

/// Tubs on the floor.
pub fn floor_tubs(count: Often, most: f64) -> Said {
    said(
        format!(
            "tubs stood on the floor {}; the most at once was {} on average. People trip over tubs on a wet \
             floor",
            often(count),
            about(most, "tub")
        ),
        "scrape sooner, or make the drop-off longer",
    )
}

/// Ware that stayed on the tables because no tub was free.
pub fn no_tub(count: Often, minutes: f64) -> Said {
    said(
        format!(
            "no tub was free {}: for {minutes:.0} min per ‹evening› ware stayed on the tables, where it dries",
            often(count)
        ),
        "scrape sooner, or own more tubs",
    )
}

/// Trips that kept their ware because the drop-off was full.
pub fn trips_wait(count: Often, most: f64) -> Said {
    said(
        format!(
            "trips from the tables stood before a full drop-off {}; the most in hand at once was {} on average",
            often(count),
            about(most, "piece")
        ),
        "scrape sooner, or make the drop-off longer; what is carried dries on too",
    )
}

/// Why there is overtime.
#[derive(Debug, Clone)]
pub enum Overtime {
    /// Ware came late: the last at this time of day.
    LateWare(String),
    /// Work went on for so many minutes after the last ware had come, and people were busy.
    Backlog(f64),
    /// The same, though the crew was busy for this share of its time only.
    IdleCrew(f64, f64),
    /// It is not known when ware came.
    Unknown,
}

/// Overtime.
pub fn overtime(overtime_min: f64, out: &str, why: Overtime) -> Said {
    let (because, advice) = match why {
        Overtime::LateWare(last) => (
            format!("; no backlog keeps them: the last soiled ware came at {last}"),
            "let fewer stay, or shifts begin and end later; more hands wait for the same guests",
        ),
        Overtime::Backlog(after_min) => (
            format!("; work went on for {after_min:.0} min after the last soiled ware had come"),
            "add people while the backlog grows, rather than after closing",
        ),
        Overtime::IdleCrew(after_min, busy) => (
            format!(
                "; work went on for {after_min:.0} min after the last soiled ware had come, though the crew was \
                 busy for {:.0} % of its time only",
                100.0 * busy
            ),
            "hands are there: share the duties, so that whoever is free helps with what is left",
        ),
        Overtime::Unknown => (
            String::new(),
            "add people while the backlog grows, rather than after closing",
        ),
    };
    said(
        format!(
            "overtime came to {overtime_min:.0} min per ‹evening›, all operators together; the last one left \
             at {out}{because}"
        ),
        advice,
    )
}

/// The machine, or the machines, with a verb.
fn machines(count: usize, of_one: &str, of_several: &str) -> String {
    if count == 1 {
        format!("the machine {of_one}")
    } else {
        format!("the machines {of_several}")
    }
}

/// Machines that stood with a full landing.
pub fn machine_stopped(count: usize, minutes: f64) -> Said {
    said(
        format!(
            "{} {minutes:.0} min per ‹evening› with a washed rack that found the landing full",
            machines(count, "stood", "stood, all together,")
        ),
        "make the landing longer, or give unloading more hands; nothing is unloaded before it is dry and cool",
    )
}

/// What to do with racks that had a cold final rinse.
const NOT_SANITISED: &str = "they are not sanitised by heat: wash them again";
/// The same where a chemical sanitises.
const CHEMICAL_COLD: &str = "the chemical may not work so cold: wash them again";
/// The same after a cold wash.
const WASH_AGAIN: &str = "wash them again";
/// What holds whatever a change of water costs.
const KEEP_INTERVAL: &str = "an interval that the code asks for is kept whatever it costs";

/// What of an advice is no change of the scenario but safety: it stands whatever was tried, and where advice is left out.
#[must_use]
pub fn safety(advice: &str) -> Option<&'static str> {
    let all = [NOT_SANITISED, CHEMICAL_COLD, WASH_AGAIN, KEEP_INTERVAL];
    all.into_iter().find(|kept| advice.starts_with(kept))
}

/// Racks whose final rinse was too cold, in a room with a hot-water machine or without.
pub fn final_rinse_cold(count: Often, racks: f64, is_hot: bool) -> Said {
    said(
        format!(
            "{} per ‹evening› had a final rinse below its minimum, {}",
            about(racks, "rack"),
            often(count)
        ),
        if is_hot {
            format!("{NOT_SANITISED}; a stronger booster, warmer supply, or gaps between racks")
        } else {
            format!("{CHEMICAL_COLD}; warmer supply, or a booster")
        },
    )
}

/// Belts that were held for a hot rinse.
pub fn machine_held(count: usize, minutes: f64) -> Said {
    said(
        format!(
            "{} {minutes:.0} min per ‹evening› until wash and final rinse were hot again",
            machines(count, "was held", "were held, all together,")
        ),
        "a stronger heater or booster, warmer supply, or gaps between racks: whatever waits before it waits for \
         heat",
    )
}

/// Racks that were washed in a tank below its minimum.
pub fn wash_cold(count: Often, racks: f64) -> Said {
    said(
        format!(
            "{} per ‹evening› came to a wash below its minimum, or left one, {}",
            about(racks, "rack"),
            often(count)
        ),
        format!(
            "{WASH_AGAIN}; a stronger heater, a larger tank, a higher set point within the machine's limits, or \
             gaps between racks"
        ),
    )
}

/// Racks that were washed in water older than the scenario allows.
pub fn water_old(count: Often, racks: f64) -> Said {
    said(
        format!(
            "{} per ‹evening› entered in water older than the scenario allows, {}",
            about(racks, "rack"),
            often(count)
        ),
        format!("{KEEP_INTERVAL}; change the water earlier, with somebody there to do it"),
    )
}

/// Somebody who is busy nearly all the time.
pub fn stretched(operator: &str, busy: f64) -> Said {
    said(
        format!(
            "{operator} was busy {:.0} % of the time there; work sampling finds 11 to 16 % of paid time lost to \
             delays that cannot be planned away",
            100.0 * busy
        ),
        "plan less work for this shift, or the ‹evening› will run later than this",
    )
}

/// Ware of which hardly any was left.
pub fn ware_near_limit(ware: &str, mean: f64, owned: f64, low: f64) -> Said {
    said(
        format!(
            "clean {ware} fell to {mean:.0} of {owned:.0} on average, to {low:.0} or less in one ‹evening› of ten"
        ),
        "a busier ‹evening› would run short",
    )
}

/// Machines that could do much more.
pub fn machine_has_room(count: usize, peak: f64, rated: f64) -> Said {
    said(
        format!(
            "in the busiest hour {} {peak:.0} racks, rated for {rated:.0}",
            machines(count, "took", "took")
        ),
        "a faster or longer machine would not move more ware here",
    )
}

/// A machine that was set up late, by the clock.
pub fn opened_unready(ready: &str, minutes: f64) -> Said {
    said(
        format!(
            "the last machine was set up at {ready}, on average, {minutes:.0} min after opening; no rack entered before"
        ),
        "begin the set-up earlier or with more hands; `check` shows how long its tasks take",
    )
}

/// Faults, and which of them was there longest.
pub fn faults(count: f64, down_min: f64, racks: f64, longest: Option<(&str, f64)>) -> Said {
    let mut evidence = format!(
        "{count:.1} faults per ‹evening›: machines stood {down_min:.1} min for them, and {racks:.1} racks were \
         washed meanwhile"
    );
    if let Some((name, minutes)) = longest {
        evidence += &format!("; the longest was {name}, {minutes:.1} min per ‹evening›");
    }
    said(
        evidence,
        "look for long faults more often, or act sooner; how often things go wrong is the scenario's \
         assumption: keep a log. Switch off and lock out before opening anything; breakers and wiring are for \
         licensed hands",
    )
}

/// A fault, or a change of water, that waited for somebody.
pub fn nobody_to_tend(minutes: f64) -> Said {
    said(
        format!(
            "for {minutes:.0} minutes per ‹evening› a fault or a change of water waited for somebody to tend it"
        ),
        "give the duty `tend` to somebody who is there, or put it higher in their list",
    )
}

/// A setting that never mattered.
#[derive(Debug, Clone, Copy)]
pub enum Idle {
    /// Racks of each kind.
    Racks,
    /// Sinks of the soak.
    Sinks,
    /// Length of the drop-off.
    DropOff,
    /// Length of the landings.
    Landing,
    /// Length of the racking table.
    Table,
}

/// A setting that had no effect in this run.
pub fn no_effect(setting: Idle) -> Said {
    let (setting, why, advice) = match setting {
        Idle::Racks => (
            "how many racks there are",
            "racks never ran out",
            "more racks would change nothing on such ‹evenings›",
        ),
        Idle::Sinks => (
            "how many sinks there are for the soak",
            "a sink was always free",
            "more sinks would change nothing on such ‹evenings›",
        ),
        Idle::DropOff => (
            "the length of the drop-off",
            "the drop-off was never full",
            "a longer drop-off would change nothing on such ‹evenings›",
        ),
        Idle::Landing => (
            "the length of the landing",
            "a landing was never full",
            "a longer landing would change nothing on such ‹evenings›",
        ),
        Idle::Table => (
            "the length of the racking table",
            "the racking table was never full",
            "a longer table would change nothing on such ‹evenings›",
        ),
    };
    said(
        format!("{setting} made no difference in this run: {why}"),
        advice,
    )
}
