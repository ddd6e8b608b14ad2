//! Changes that are tried against findings, in words, and what came of them.

use super::measures::heading;
use super::text::{counted, listed};
use crate::service::measure::MeasureInfo;

/// Heads of the lines below a finding.
pub const BUYS: &str = "buys:";
/// In place of a change that a finding before has.
pub const AS_ABOVE: &str = "as above";
/// What it costs.
pub const COSTS: &str = "costs:";
/// The change as a file would have it.
pub const WRITE: &str = "write:";
/// What helps, and is not worth it.
pub const TOO_DEAR: &str = "helps, for more labour than it is worth:";
/// What helps, but hardly.
pub const TOO_LITTLE: &str = "helps too little to matter:";
/// What does not help.
pub const IN_VAIN: &str = "tried in vain:";
/// What does harm.
pub const HARMS: &str = "tried, makes something else worse:";
/// What helps less.
pub const LESS: &str = "helps too:";
/// What looked as if it helped, where nothing was found to.
pub const PROMISING: &str = "seemed to help, on too few ‹evenings› to be sure:";

/// What was tried on too few evenings with trouble.
pub const TOO_RARE: &str = "struck on too few of the ‹evenings› to know what this does:";

/// What the checks find fault with.
pub const BREAKS: &str = "not tried, the checks find fault with it:";

/// Trips that wait before a full drop-off; no measure of the evening.
pub const TRIPS: MeasureInfo = MeasureInfo {
    name: "trips_waiting_most",
    unit: "pieces",
    meaning: "most pieces in the hands of trips that waited before a full drop-off",
    decimals: 1,
};
/// Evenings that are not finished; no measure of the evening.
pub const UNFINISHED: MeasureInfo = MeasureInfo {
    name: "unfinished",
    unit: "1",
    meaning: "share of the ‹evenings› that were not finished",
    decimals: 4,
};
/// How busy the busiest is; no measure of the evening.
pub const BUSIEST: MeasureInfo = MeasureInfo {
    name: "busiest_share",
    unit: "1",
    meaning: "of the time present, breaks apart, the share that the busiest operator spent working or walking to it",
    decimals: 3,
};

/// One person more for a duty.
#[must_use]
pub fn one_more(duty: &str, from: &str, to: &str) -> String {
    format!("one more person for `{duty}` from {from} to {to}")
}

/// One person more with all duties of a row.
#[must_use]
pub fn one_more_like(row: &str, from: &str, to: &str) -> String {
    format!("one more person like {row} from {from} to {to}")
}

/// A duty given to somebody.
#[must_use]
pub fn give(duty: &str, row: &str) -> String {
    format!("`{duty}` given to {row} too, last in the list")
}

/// Somebody who looks after some machines looks after all.
#[must_use]
pub fn all_machines(row: &str) -> String {
    format!("{row} at all machines")
}

/// A duty moved up.
#[must_use]
pub fn move_up(duty: &str, row: &str) -> String {
    format!("`{duty}` first in the list of {row}")
}

/// Ware that is short carried first.
#[must_use]
pub fn run_short(row: &str) -> String {
    format!("{row} puts away at once, and first of all, what guests wait for")
}

/// Duties shared.
#[must_use]
pub fn share(rows: &[&str]) -> String {
    format!("duties shared: {} do each other's work too", listed(rows))
}

/// One person fewer.
#[must_use]
pub fn one_fewer(row: &str) -> String {
    format!("one {row} fewer")
}

/// Somebody who goes when the shift ends.
#[must_use]
pub fn goes_home(row: &str) -> String {
    format!("{row} goes home when the shift ends")
}

/// Other breaks.
#[must_use]
pub fn breaks(row: &str) -> String {
    format!("other breaks for {row}, spread over the hours until the crew is out")
}

/// Somebody who stays until all is done.
#[must_use]
pub fn stays(row: &str) -> String {
    format!("{row} stays until all is done")
}

/// A shift that begins and ends later.
#[must_use]
pub fn later(row: &str, from: &str, to: &str) -> String {
    format!("{row} from {from} to {to}")
}

/// A shift that begins earlier.
#[must_use]
pub fn earlier(row: &str, from: &str) -> String {
    format!("{row} from {from}")
}

/// More places at a station.
#[must_use]
pub fn places(station: &str, count: u32) -> String {
    match station {
        "soak" => counted(count, "sink"),
        "load" => counted(count, "loading station"),
        _ => format!("{} at `{station}`", counted(count, "place")),
    }
}

/// More tubs.
#[must_use]
pub fn tubs_instead(then: &str, now: &str) -> String {
    format!("{then} tubs instead of {now}")
}

/// Room in the third compartment of the pot sink.
#[must_use]
pub fn sanitising(then: u32, now: u32) -> String {
    format!("room for {then} pieces in the sanitising compartment instead of {now}")
}

/// Room on the drainboard of the pot sink.
#[must_use]
pub fn drainboard(then: u32, now: u32) -> String {
    format!("a drainboard for {then} pieces instead of {now}")
}

/// A length, or a number, of something instead of another.
#[must_use]
pub fn instead(what: &str, now: &str, before: &str) -> String {
    format!("{what} of {now} instead of {before}")
}

/// What is changed in [`instead`].
pub mod thing {
    /// The landing of a machine.
    #[must_use]
    pub fn landing(machine: &str) -> String {
        format!("a landing behind the {machine}")
    }
    /// The lane of a machine.
    #[must_use]
    pub fn lane(machine: &str) -> String {
        format!("a lane before the {machine}")
    }
    /// The speed of a machine.
    #[must_use]
    pub fn speed(machine: &str) -> String {
        format!("a speed of the {machine}")
    }
    /// The booster of a machine.
    #[must_use]
    pub fn booster(machine: &str) -> String {
        format!("a booster of the {machine}, fitted by licensed hands,")
    }
    /// The heater of a tank of a machine.
    #[must_use]
    pub fn heater(machine: &str) -> String {
        format!("a heater of the wash of the {machine}, fitted by licensed hands,")
    }
    /// The water that the booster of a machine holds.
    #[must_use]
    pub fn booster_holds(machine: &str) -> String {
        format!("a booster of the {machine} that holds more, fitted by licensed hands,")
    }
    /// The set point of the wash of a machine.
    #[must_use]
    pub fn set_point(machine: &str) -> String {
        format!("a set point of the wash of the {machine}, within its maker's limits,")
    }
    /// The tank of the wash of a machine.
    #[must_use]
    pub fn tank(machine: &str) -> String {
        format!("a tank of the wash of the {machine}")
    }
    /// The drop-off.
    pub const DROP_OFF: &str = "a drop-off";
    /// The table before the loading.
    pub const TABLE: &str = "a racking table";
    /// The dollies.
    pub const DOLLIES: &str = "room on the dollies";
}

/// More racks of every kind.
pub const MORE_RACKS: &str = "half as many racks again of every kind";

/// A booster whose hot water does not mix with the cold that flows in.
#[must_use]
pub fn displaced(machine: &str) -> String {
    format!("a booster of the {machine} that pushes its hot water out, fitted by licensed hands")
}

/// A belt that waits for its heat.
#[must_use]
pub fn held(machine: &str) -> String {
    format!("the belt of the {machine} held until its water is hot again")
}

/// A hood that waits for its heat.
#[must_use]
pub fn washes_on(machine: &str) -> String {
    format!("the {machine} washing on until its water is hot enough")
}

/// More ware of a kind.
#[must_use]
pub fn own(ware: &str, owned: u32, before: u32) -> String {
    format!("{owned} pieces of {ware} owned instead of {before}")
}

/// Clean ware carried sooner.
pub const CARRY_SOONER: &str = "clean ware put away in half the batches after half the wait";
/// What has dried on is soaked.
pub const SOAK_DRIED: &str = "all ware soaked that has dried on";

/// Two changes together.
#[must_use]
pub fn both(first: &str, second: &str) -> String {
    format!("{first}, and {second}")
}

/// A measure in the middle of a sentence, with what it is of.
#[must_use]
pub fn measure(info: &MeasureInfo, of: Option<&str>) -> String {
    let words = match info.name {
        "trips_waiting_most" => "pieces in waiting hands, most".to_owned(),
        "unfinished" => "unfinished ‹evenings›".to_owned(),
        "busiest_share" => "the busiest is busy".to_owned(),
        "clean_stock_least" => "clean, least".to_owned(),
        "short_covers" if of.is_some() => "covers short".to_owned(),
        "queue_wait_mean_min" => "mean wait there".to_owned(),
        "waits_for_person_min" => "minutes without anybody for it".to_owned(),
        _ => heading(info).to_lowercase(),
    };
    of.map_or(words.clone(), |of| format!("{of}, {words}"))
}

/// What is advised, after it was tried.
#[must_use]
pub fn advised(change: &str, measure: &str, before_and_after: &str, evenings: u64) -> String {
    format!("{change}; tried on {evenings} other ‹evenings›: {measure}: {before_and_after}")
}

/// Changes that a list leaves out.
#[must_use]
pub fn more(count: usize) -> String {
    format!("and {count} more (--json lists them)")
}

/// Water of a machine changed so often.
#[must_use]
pub fn change_water(machine: &str, every: &str) -> String {
    format!("the water of the {machine} changed every {every}")
}

/// How many changes came to what, where none is advised.
pub struct Counts {
    /// Help, for more labour than it is worth.
    pub too_dear: usize,
    /// Seem to help.
    pub unsure: usize,
    /// Met the trouble too rarely.
    pub too_rare: usize,
    /// Help too little.
    pub too_little: usize,
    /// Make something else worse.
    pub harms: usize,
    /// Do not help beyond chance.
    pub in_vain: usize,
}

/// Nothing that was tried is advised, and why.
#[must_use]
pub fn nothing_helps(counts: &Counts) -> String {
    let Counts {
        too_dear,
        unsure,
        too_rare,
        too_little,
        harms,
        in_vain,
    } = *counts;
    let all = too_dear + unsure + too_rare + too_little + harms + in_vain;
    if all == in_vain {
        return match all {
            1 => "the one change that was tried does not help beyond chance".to_owned(),
            _ => format!("none of {all} changes that were tried helps beyond chance"),
        };
    }
    let parts = [
        (
            unsure,
            ["seems", "seem"],
            " to help, on too few ‹evenings› to be sure (play more: -n)",
        ),
        (
            too_rare,
            ["met", "met"],
            " the trouble on too few ‹evenings› to say",
        ),
        (
            too_dear,
            ["helps", "help"],
            " for more labour than it is worth",
        ),
        (too_little, ["helps", "help"], " too little to matter"),
        (harms, ["makes", "make"], " something else worse"),
        (in_vain, ["does", "do"], " not help beyond chance"),
    ];
    let said = parts.iter().filter(|(count, ..)| *count > 0);
    let said = said.map(|(count, verbs, rest)| {
        let verb = verbs[usize::from(*count != 1)];
        format!("{count} {verb}{rest}")
    });
    let said: Vec<String> = said.collect();
    format!(
        "nothing that was tried is sure to be worth it: of {}, {}",
        counted(all as u32, "change"),
        listed(&said)
    )
}

/// The trouble strikes too rarely to try anything against it.
#[must_use]
pub fn too_rare_to_try([struck, of]: [usize; 2], least: usize) -> String {
    let enough = rounded_up((of * 2 * least) as f64 / struck.max(1) as f64);
    format!(
        "too rare to try anything in {of} ‹evenings›: it struck on {struck}, and {least} are the least; play {enough:.0} or \
         more (-n)"
    )
}

/// Up to two significant digits.
fn rounded_up(value: f64) -> f64 {
    let step = libm::pow(10.0, libm::floor(libm::log10(value.max(10.0))) - 1.0);
    libm::ceil(value / step) * step
}

/// The trouble struck too rarely on the evenings that changes were tried on.
#[must_use]
pub fn too_rare(changes: usize, [struck, of]: [usize; 2]) -> String {
    format!(
        "too rare to try: it struck on {struck} of the {of} ‹evenings› on which {} tried, too few to be sure; a longer \
         run (-n) has more of them",
        match changes {
            1 => "the one change was".to_owned(),
            _ => format!("{changes} changes were"),
        }
    )
}

/// How advice was tried: changes, evenings, and the evenings of each of the two looks.
#[must_use]
pub fn trial(changes: u64, evenings: u64, screened: u64, estimated: u64) -> String {
    format!(
        "Advice was tried: {changes} changes on {evenings} ‹evenings› in all, with the same guests and luck as the \
         run. Each was screened on {screened}; what seemed to help was estimated on {estimated} others (Holm over \
         all that was tried). What a thing costs to buy is not in it. Whoever goes from soiled to clean work \
         washes hands first (Food Code 2-301.14)."
    )
}

/// Some evenings were picked because a rare trouble struck on them.
#[must_use]
pub fn picked(picked: u64) -> String {
    format!(
        " Of the ‹evenings› of both looks {picked} were picked because a rare trouble struck on them; they count for no more than their \
         share of the run."
    )
}

/// Too few evenings to try anything.
#[must_use]
pub fn too_few(least: u64) -> String {
    format!("Advice is not tried: that needs {least} ‹evenings› or more.")
}

/// `5.8 instead of 12.0 min`: two means of a measure, without and with a change.
#[must_use]
pub fn instead_of(info: &MeasureInfo, [before, after]: [f64; 2]) -> String {
    let (factor, places, unit) = match info.unit {
        "1" => (100.0, info.decimals.saturating_sub(2).max(1), " %".into()),
        "money" => (1.0, info.decimals, "‹ money›".into()),
        // What it is counted in stands in the name of the measure.
        "tubs" | "covers" | "racks" => (1.0, info.decimals.max(1), String::new()),
        unit => (1.0, info.decimals, format!(" {unit}")),
    };
    let [before, after] = [before, after].map(|value| format!("{:.places$}", factor * value));
    format!("{after} instead of {before}{unit}")
}

/// A difference of percentages.
pub const POINTS: &str = "points";
