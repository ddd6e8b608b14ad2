//! Words of the charts: titles, headings of panels, captions, legends.
//!
//! A caption says what lines, bands, bars and colours are, and over how many evenings.

pub mod comparison;
pub mod study;

use crate::service::series::SeriesKind;
use crate::version::NUMBER;

/// Said where a scenario has nothing to draw.
pub const NO_VALUES: &str = "Nothing to show: this scenario has no such values.";

/// The title of each chart of an evening.
pub mod titles {
    /// Of the cover of the duties.
    pub const COVER: &str = "People needed and people there, duty by duty";
    /// Of queues.
    pub const QUEUES: &str = "What waits, stage by stage";
    /// Of drying on.
    pub const DRIED_ON: &str = "What dries on while it waits";
    /// Of clean stock.
    pub const STOCK: &str = "Clean ware left in the store";
    /// Of the crew.
    pub const CREW: &str = "What the crew is doing";
    /// Of the cost.
    pub const COST: &str = "What a service costs";
    /// Of the machines.
    pub const MACHINE: &str = "What the dish machine is doing";
    /// Of their water.
    pub const WATER: &str = "The water of the dish machine";
    /// Of their faults.
    pub const FAULTS: &str = "What goes wrong with the dish machine";
}

/// Evenings played, and how many of them were not finished.
pub type Evenings = (u64, u64);

const ONE_BY_MINUTE: &str = "One ‹evening›, minute by minute.";

/// Where a chart is from: file, version, seed and evenings, in small print.
#[must_use]
pub fn provenance(file: &str, seed: u64, n: u64) -> String {
    from_file(file, seed, &study::evenings(n, n))
}

/// The same with the evenings in words.
#[must_use]
pub fn from_file(file: &str, seed: u64, evenings: &str) -> String {
    format!("{file}, scullery {NUMBER}, seed {seed}, {evenings}")
}

/// What lines and bands are.
#[must_use]
pub fn of_bands((n, unfinished): Evenings) -> String {
    match n {
        0 | 1 => ONE_BY_MINUTE.to_owned(),
        n => format!(
            "Line: median. Band: 10th–90th percentile of {n} ‹evenings›{}.",
            of_them_unfinished(unfinished)
        ),
    }
}

/// What stacked areas are.
#[must_use]
pub fn of_means((n, unfinished): Evenings) -> String {
    match n {
        0 | 1 => ONE_BY_MINUTE.to_owned(),
        n => format!(
            "Mean of {n} ‹evenings›, minute by minute{}.",
            of_them_unfinished(unfinished)
        ),
    }
}

/// What bars are.
#[must_use]
pub fn of_bars((n, unfinished): Evenings) -> String {
    match n {
        0 | 1 => "One ‹evening›.".to_owned(),
        n => format!(
            "Bar: mean. Line: 10th–90th percentile of {n} ‹evenings›{}.",
            of_them_unfinished(unfinished)
        ),
    }
}

fn of_them_unfinished(unfinished: u64) -> String {
    match unfinished {
        0 => String::new(),
        n => format!(", {n} unfinished"),
    }
}

/// More of a caption: a line of the minimum.
pub const ORANGE_MINIMUM: &str = " Orange: the minimum.";
/// A line of a change of water.
pub const GREEN_CHANGED: &str = " Green: water changed.";
/// A ground behind the busiest hour.
pub const SHADED_PEAK: &str = " Shaded: busiest hour.";

/// What marks above a panel are, of breaks and of shifts that end.
#[must_use]
pub const fn of_absences(any: (bool, bool)) -> &'static str {
    match any {
        (true, true) => " Bar: a break. Triangle: a shift ends.",
        (true, false) => " Bar: a break.",
        (false, true) => " Triangle: a shift ends.",
        (false, false) => "",
    }
}

/// More of a caption: only the wares that run lowest are shown.
#[must_use]
pub fn lowest_wares(shown: usize, all: usize) -> String {
    format!(" {shown} of {all} wares, lowest.")
}

/// More of a caption: wares that are left out.
#[must_use]
pub fn unused_wares(count: usize) -> String {
    match count {
        0 => String::new(),
        1 => " 1 unused ware is left out.".to_owned(),
        count => format!(" {count} unused wares are left out."),
    }
}

/// More of a caption: what the darkest shade is, and the figures on the right.
#[must_use]
pub fn shades_of(darkest: &str) -> String {
    format!(" Darkest: in {darkest} of them at that minute. Right: min per ‹evening›.")
}

/// The same of one evening.
pub const SHADES_OF_ONE: &str = " Right: min in the ‹evening›.";

/// Marks on the clock.
pub const OPENS: &str = "opens";
/// Closing.
pub const CLOSES: &str = "closes";
/// The busiest hour.
pub const BUSIEST_HOUR: &str = "busiest hour";

/// Below the cover of the duties.
pub const OF_COVER: &str =
    "Blue: people needed. Orange: more than are there. Line: people there who have the duty.";
/// All duties together.
pub const ALL_DUTIES: &str = "All duties";
/// Duties that people share, in one panel.
#[must_use]
pub fn together(duties: &[String]) -> String {
    duties.join(" + ")
}
/// People.
pub const PEOPLE: &str = "people";
/// Nobody there has the duty.
pub const NOBODY: &str = "nobody";

/// Where a picture of the sheet is from, in small print.
#[must_use]
pub fn from_sheet(file: &str) -> String {
    format!("{file}, scullery {NUMBER}, hand-calculation sheet")
}

/// Pieces of ware, as a unit.
pub const PIECES: &str = "pieces";
/// Racks, as a unit.
pub const RACKS: &str = "racks";
/// People, as a unit.
pub const OPERATORS: &str = "operators";
/// Money, as a unit.
pub const MONEY: &str = "‹money›";

/// The stages in which ware waits, in the order in which it meets them, with what is counted.
pub const STAGES: [(SeriesKind, &str, &str); 9] = [
    (SeriesKind::OnTables, "Soiled, not yet cleared down", PIECES),
    (SeriesKind::AtDropOff, "Soiled, at the drop-off", PIECES),
    (SeriesKind::InSoak, "In the soak, or waiting for it", PIECES),
    (
        SeriesKind::AtPotSink,
        "At the pot sink, or drying there",
        PIECES,
    ),
    (SeriesKind::ToRack, "Scraped, waiting to be racked", PIECES),
    (
        SeriesKind::RacksWaiting,
        "Filled racks waiting for the machine",
        RACKS,
    ),
    (SeriesKind::OnLanding, "Washed racks on the landing", RACKS),
    (SeriesKind::RacksParked, "Washed racks on dollies", RACKS),
    (SeriesKind::ToPutAway, "Clean, to be put away", PIECES),
];

/// What dries on, and what comes of it, with what is said where there is none of it.
pub const DRYING: [(SeriesKind, &str, &str); 2] = [
    (
        SeriesKind::DriedOnShare,
        "Dried on, of the pieces waiting",
        NOTHING_DRIED_ON,
    ),
    (
        SeriesKind::ExpectedRewash,
        "Expected to come out dirty, of the pieces entering the machine",
        "Nothing expected to come out dirty",
    ),
];

/// Instead of an axis with nothing on it.
pub const NOTHING_DRIED_ON: &str = "Nothing dried on";

/// The unit of a count that is shown by its mean: a median of few pieces flips between two whole numbers.
#[must_use]
pub fn mean_in(unit: &str) -> String {
    format!("{unit}, mean")
}

/// Heading of what the crew does.
pub const AT_EACH_DUTY: &str = "At each duty";
/// On the way.
pub const WALKING: &str = "Walking";
/// With nothing to do.
pub const FREE: &str = "Free";
/// On a break.
pub const ON_BREAK: &str = "On a break";

/// Heading of what the machines do.
pub const SHARE_OF_MACHINES: &str = "Share of the machines";
/// The same of one machine in a strip.
pub const ONE_MACHINE: &str = "Machine";
/// The unit of that strip, of one evening.
pub const BY_MINUTE: &str = "minute by minute";
/// Of several.
pub const MEAN: &str = "mean";

/// What machines do, in the order of their layers.
pub const STATES: [(SeriesKind, &str); 9] = [
    (SeriesKind::MachinesRunning, "Washing racks"),
    (SeriesKind::MachinesEmpty, "Running empty"),
    (SeriesKind::MachinesStopped, "Landing full"),
    (SeriesKind::MachinesHeld, "Held: too cold"),
    (SeriesKind::MachinesRefilling, "Water changed"),
    (SeriesKind::MachinesDown, "Fault"),
    (SeriesKind::MachinesWaiting, "To be opened"),
    (SeriesKind::MachinesIdle, "Idle"),
    (SeriesKind::MachinesOff, "Off"),
];

/// What is shown of the water, and of which machine where there are several.
#[must_use]
pub fn water(kind: SeriesKind, machine: Option<&str>) -> String {
    let what = match kind {
        SeriesKind::FinalRinse(_) => "Final rinse",
        SeriesKind::Wash(_) => "Wash",
        _ => "Soil in the first water",
    };
    let whose = machine.map_or_else(String::new, |machine| {
        format!(" of {}", machine.to_lowercase())
    });
    format!("{what}{whose}")
}

/// A row of the chart of faults.
pub const STANDS: &str = "Machine stands";

/// Heading of a strip of faults, with how often the darkest is, of several evenings.
#[must_use]
pub fn faults_there(darkest: Option<&str>) -> String {
    match darkest {
        Some(share) => format!("Faults there: darkest in {share} of the ‹evenings›"),
        None => "Faults there".to_owned(),
    }
}

/// What a shade of several faults stands for.
pub const COMMONEST: &str = "the commonest";

/// What a service costs as a whole, and for each cover and rack.
pub const WHOLE_COST: [&str; 3] = ["In all", "per cover", "per rack"];
/// A part of the cost that is not known.
pub const NO_COST: &str = "not measured, or without a price";

/// A part of the cost with its share of the whole, which is no interval of it.
#[must_use]
pub fn part_of_cost(cost: &str, share: &str) -> String {
    format!("{cost}, {share} of the cost")
}

/// A share that is hardly there.
pub const HARDLY: &str = "under 0.1 %";
