//! The shipped scenarios beside what the trade says: `trade.md` (`UPDATE_EXPECTED=1` writes it).
//!
//! A figure outside of what is published, or usual, has a row that says why. One without such a row, and a row without
//! such a figure, are mistakes.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use scullery::room::Room;
use scullery::scenario::load;
use scullery::service::measure::Measure;
use scullery::study::evening::Evening;
use scullery::study::{Plan, Watch, simulate};

/// Evenings of each scenario.
const EVENINGS: u64 = 100;
/// Litres of a US gallon.
const GALLON_L: f64 = 3.785_411_784;

/// What is looked at: its head, what the trade says from and to, in words, and by whom.
struct Figure {
    head: &'static str,
    digits: usize,
    usual: Option<(f64, f64)>,
    trade: &'static str,
    source: &'static str,
    of: fn(&Seen<'_>) -> Option<f64>,
}

/// A scenario with its room and its evenings.
struct Seen<'a> {
    room: &'a Room,
    evening: &'a Evening,
}

impl Seen<'_> {
    fn mean(&self, measure: Measure) -> Option<f64> {
        self.evening.measure(measure.info().name)?.mean
    }

    fn per(&self, one: Measure, other: Measure) -> Option<f64> {
        Some(self.mean(one)? / self.mean(other).filter(|other| *other > 0.0)?)
    }
}

impl Seen<'_> {
    /// Most people at once, by the roster.
    fn people(&self) -> f64 {
        let starts = self.room.crew.iter().map(|one| one.from);
        let there = |at| {
            let crew = self.room.crew.iter();
            crew.filter(|one| one.from <= at && at < one.to).count()
        };
        starts.map(there).max().unwrap_or(0) as f64
    }

    /// Longest stretch of a shift between breaks, h.
    fn stretch_h(&self) -> f64 {
        let of = |one: &scullery::room::crew::Operator| {
            let breaks = one.breaks.iter();
            let ends = breaks.clone().map(|(from, length)| from.h() + length.h());
            let from = std::iter::once(one.from.h()).chain(ends);
            let to = breaks.map(|(from, _)| from.h()).chain([one.to.h()]);
            let stretches = from.zip(to).map(|(from, to)| to - from);
            stretches.fold(0.0, f64::max)
        };
        self.room.crew.iter().map(of).fold(0.0, f64::max)
    }
}

const NO_SOURCE: &str = "common practice, no source";
const BY_RATE: &str = "a dealer's guide";

const FIGURES: [Figure; 10] = [
    Figure {
        head: "pieces per cover",
        digits: 1,
        usual: Some((6.0, 8.0)),
        trade: "6 to 8 pieces per person",
        source: "lecture deck of a textbook of restaurant design, after AGA Commercial Kitchens, 7th ed.",
        of: |seen| seen.per(Measure::Pieces, Measure::Covers),
    },
    Figure {
        head: "pieces per rack",
        digits: 1,
        usual: Some((10.0, 25.0)),
        trade: "20 pieces per rack to size a machine; 16 to 25 plates or cups in a rack",
        source: "two equipment dealers' guides; contents from memory. Half of it on quiet evenings, when racks go part-full: common practice, no source",
        of: |seen| seen.per(Measure::Pieces, Measure::Racks),
    },
    Figure {
        head: "racks in the busiest hour",
        digits: 0,
        usual: None,
        trade: "at a door 40 to 60, at a conveyor 150 to 400",
        source: "equipment dealers' guides",
        of: |seen| seen.mean(Measure::RacksPerHourPeak),
    },
    Figure {
        head: "of the rated",
        digits: 2,
        usual: Some((0.0, 0.8)),
        trade: "a machine is sized for 70 to 80 % of its rated racks",
        source: BY_RATE,
        of: |seen| {
            let rated = seen.room.rated_racks_per_hour();
            let peak = seen.mean(Measure::RacksPerHourPeak)?;
            (rated > 0.0).then_some(peak / rated)
        },
    },
    Figure {
        head: "hand seconds per piece",
        digits: 1,
        usual: Some((3.0, 20.0)),
        trade: "scrape 2 to 4 s, rack 1 to 2 s, unload and stack 1 to 2 s, and the walks between",
        source: NO_SOURCE,
        of: |seen| {
            let busy = seen.mean(Measure::CrewBusyShare)?;
            Some(3600.0 * busy * seen.per(Measure::LabourHours, Measure::Pieces)?)
        },
    },
    Figure {
        head: "water per rack, L",
        digits: 2,
        usual: Some((0.54 * GALLON_L, 2.0 * 1.29 * GALLON_L)),
        trade: "final rinse 0.54 to 0.97 gal at a conveyor, 0.89 to 1.29 gal at a door; in use up to twice that and more, with tanks and spray",
        source: "ENERGY STAR limits and calculator for commercial dishwashers; field study of 18 conveyors",
        of: |seen| seen.per(Measure::Water, Measure::Racks),
    },
    Figure {
        head: "energy per rack, kWh",
        digits: 2,
        usual: Some((0.54 * 0.1716, 1.0)),
        trade: "0.09 kWh for the leanest rinse (0.54 gal at 0.17 kWh) to some 1 kWh with tanks, losses and pumps",
        source: "ENERGY STAR calculator for the rinse; the rest common practice, no source",
        of: |seen| seen.per(Measure::Energy, Measure::Racks),
    },
    Figure {
        head: "people at most",
        digits: 0,
        usual: Some((1.0, 4.0)),
        trade: "1 to 2 at a door machine, 2 to 4 at a conveyor",
        source: "a consultant's guide",
        of: |seen| Some(seen.people()),
    },
    Figure {
        head: "longest stretch, h",
        digits: 1,
        usual: Some((0.0, 6.0)),
        trade: "a break where a day is longer than 6 h, and no more than 6 h at a stretch",
        source: "Directive 2003/88/EC, article 4; ArbZG, section 4 (from memory). Local law decides",
        of: |seen| Some(seen.stretch_h()),
    },
    Figure {
        head: "crew out, min after closing",
        digits: 0,
        usual: Some((-30.0, 75.0)),
        trade: "half an hour to an hour",
        source: NO_SOURCE,
        of: |seen| seen.mean(Measure::CrewOutAfterClose),
    },
];

/// What lies outside, and why.
const WHY: [(&str, &str, &str); 10] = [
    (
        "banquet",
        "pieces per cover",
        "three courses and eight pieces of cutlery at every place, all laid and all cleared",
    ),
    (
        "banquet",
        "pieces per rack",
        "more than half of what comes is cutlery, a hundred to a basket",
    ),
    (
        "banquet",
        "people at most",
        "three of the seven are runners, who clear the hall and wash nothing",
    ),
    (
        "canteen-lunch",
        "of the rated",
        "that is its story: two hoods that a dealer's guide would call too few",
    ),
    (
        "canteen-lunch",
        "people at most",
        "three pairs: at the hatch, at two hoods, at the clean side",
    ),
    (
        "central-kitchen",
        "people at most",
        "a pair of scrapers and a pair of unloaders: it washes for other kitchens all morning",
    ),
    (
        "friday-as-it-runs",
        "crew out, min after closing",
        "that is its story: faults and changes of water on an evening with a hand too few",
    ),
    (
        "friday-rush",
        "crew out, min after closing",
        "that is its story: one loader too few, and a backlog that is washed after closing",
    ),
    (
        "longer-conveyor",
        "crew out, min after closing",
        "the same evening: a longer tunnel does not load itself",
    ),
    (
        "tuesday-log",
        "pieces per cover",
        "8.1 for 8: a log of one evening, as it was written down",
    ),
];

/// What was changed because no room could be run like that.
const CHANGED: [(&str, &str); 6] = [
    (
        "all",
        "every shift has breaks, so that nobody works six hours at a stretch; overtime may still push people past it",
    ),
    (
        "all",
        "wash heaters are large enough for bursts of racks, and the washing water of hoods is held until it is hot",
    ),
    (
        "`corner-cafe`",
        "its one pair of hands is washed between soiled and clean work",
    ),
    (
        "`friday-as-it-runs`",
        "to look for a fault takes time, and a breaker takes an hour until somebody licensed has been",
    ),
    (
        "`friday-as-it-runs`",
        "its water is changed every three hours, not once in an evening",
    ),
    (
        "all",
        "a fork brings a tenth of the soil of a plate, no longer as much",
    ),
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn names() -> Vec<String> {
    let files = std::fs::read_dir(root().join("scenarios")).expect("the folder of scenarios");
    let paths = files.filter_map(|file| Some(file.ok()?.path()));
    let mut names: Vec<String> = paths
        .filter(|path: &PathBuf| path.extension().is_some_and(|ending| ending == "toml"))
        .filter_map(|path| Some(path.file_stem()?.to_str()?.to_owned()))
        .collect();
    names.sort();
    names
}

/// Figures of a scenario, in order.
fn figures(name: &str) -> Vec<Option<f64>> {
    let file = root().join("scenarios").join(format!("{name}.toml"));
    let loaded = load(&file).unwrap_or_else(|mistakes| panic!("{name}: {mistakes}"));
    let room = Room::of(&loaded.scenario);
    let evening = simulate(&loaded, &Plan::new(EVENINGS), &Watch::default()).expect("threads");
    let seen = Seen {
        room: &room,
        evening: &evening,
    };
    FIGURES.iter().map(|figure| (figure.of)(&seen)).collect()
}

fn row(cells: impl IntoIterator<Item = String>) -> String {
    let cells: Vec<String> = cells.into_iter().collect();
    format!("| {} |\n", cells.join(" | "))
}

#[test]
fn every_figure_is_usual_or_has_a_reason() {
    let all: Vec<(String, Vec<Option<f64>>)> = names()
        .into_iter()
        .map(|name| {
            let figures = figures(&name);
            (name, figures)
        })
        .collect();
    let mut outside = Vec::new();
    let mut held = 0;
    for (name, values) in &all {
        for (figure, value) in FIGURES.iter().zip(values) {
            let Some(((low, high), value)) = figure.usual.zip(*value) else {
                continue;
            };
            held += 1;
            if !(low..=high).contains(&value) {
                outside.push((name.as_str(), figure.head));
            }
        }
    }
    let page = page(&all);
    let file = root().join("tests/trade.md");
    if std::env::var_os("UPDATE_EXPECTED").is_some() {
        std::fs::write(&file, &page).expect("the page");
    }
    let excused: Vec<(&str, &str)> = WHY.iter().map(|(name, head, _)| (*name, *head)).collect();
    assert_eq!(outside, excused, "{page}");
    assert!(held >= 70, "{held} figures held against the trade");
    let known = std::fs::read_to_string(&file).expect("the page");
    assert_eq!(page, known, "UPDATE_EXPECTED=1 writes it again");
}

fn page(all: &[(String, Vec<Option<f64>>)]) -> String {
    let mut page = format!(
        "# The shipped scenarios beside what the trade says\n\n\
         Means of {EVENINGS} evenings, seed 1. The rooms are invented; what is here says whether they could be.\n\n"
    );
    page += &row(std::iter::once("scenario".to_owned()).chain(FIGURES.map(|f| f.head.to_owned())));
    page += &format!("|---{}|\n", "|---:".repeat(FIGURES.len()));
    for (name, values) in all {
        let cell = |(figure, value): (&Figure, &Option<f64>)| {
            let digits = figure.digits;
            value.map_or_else(|| "-".to_owned(), |value| format!("{value:.digits$}"))
        };
        let cells = FIGURES.iter().zip(values).map(cell);
        page += &row(std::iter::once(format!("`{name}`")).chain(cells));
    }
    page += "\n## What the trade says\n\n| figure | the trade | source |\n|---|---|---|\n";
    for figure in &FIGURES {
        page += &row([figure.head, figure.trade, figure.source].map(str::to_owned));
    }
    page += "\n## What lies outside, and why\n\n| scenario | figure | why |\n|---|---|---|\n";
    for (name, head, why) in WHY {
        page += &row([format!("`{name}`"), head.to_owned(), why.to_owned()]);
    }
    page +=
        "\n## Changed because no room could be run like that\n\n| scenario | what |\n|---|---|\n";
    for (name, what) in CHANGED {
        let _ = writeln!(page, "| {name} | {what} |");
    }
    page
}
