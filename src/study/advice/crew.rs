//! Changes of the crew: somebody more, a duty given, shared or moved up, somebody fewer, other hours.

use super::change::{Change, Kind, quoted};
use crate::scenario::Loaded;
use crate::scenario::model::{Duty, DutyEntry, RosterRow};
use crate::scenario::units::clock_text;
use crate::service::measure::{Measure, OperatorMeasure};
use crate::service::series::SeriesKind;
use crate::study::evening::{Evening, GroupKind};
use crate::study::rules::breaks_to_keep;
use crate::words::advice as words;

/// Nobody who is busier than this has time for another duty.
const FREE_AT_MOST: f64 = 0.8;
/// Work piles up while more than this share of the most waits.
const PILED_UP: f64 = 0.3;
/// Shifts begin and end at the half-hour.
const HALF_HOUR_S: f64 = 1_800.0;
/// As a file has it.
const NO_BREAKS: &str = "[]";
/// Nobody comes for less than this, s.
const SHORTEST_SHIFT_S: f64 = 7_200.0;

/// The crew as it is.
pub(super) struct Crew<'a> {
    /// The scenario.
    pub loaded: &'a Loaded,
    /// What was seen.
    pub evening: &'a Evening,
}

impl Crew<'_> {
    /// Rows with somebody in them.
    fn rows(&self) -> impl Iterator<Item = &RosterRow> {
        self.loaded
            .scenario
            .roster
            .iter()
            .filter(|row| row.count > 0)
    }

    /// How busy the people of a row were.
    fn busy(&self, row: &RosterRow) -> f64 {
        let operators = self.evening.groups.iter();
        let operators = operators.filter(|group| group.kind == GroupKind::Operator);
        let of_row = operators.filter(|group| is_of(&group.name, &row.name));
        let busy = |measure: OperatorMeasure| {
            of_row.filter_map(move |group| group.measures[measure as usize].mean)
        };
        let shares: Vec<f64> = busy(OperatorMeasure::BusyShare).collect();
        shares.iter().sum::<f64>() / shares.len().max(1) as f64
    }

    /// One person more while work waits there, with this duty alone or with all that somebody has who does it.
    pub fn hands(&self, duty: Duty) -> Vec<Change> {
        let Some(row) = self.rows().find(|row| has(row, duty)) else {
            return Vec::new();
        };
        let (from_s, to_s) = self.piled_up(duty, row);
        let (from, to) = (clock_text(from_s), clock_text(to_s));
        let name = |what: &str| self.free_name(what);
        let come = |words: String, name: &str, duties: &[DutyEntry]| {
            let change = Change::new(Kind::Hands, words)
                .row("roster", name, "from", quoted(&from))
                .row("roster", name, "to", quoted(&to))
                .row("roster", name, "stays", "false".into());
            let pauses = self.breaks(from_s, to_s);
            let change = if pauses == NO_BREAKS {
                change
            } else {
                change.row("roster", name, "breaks", pauses)
            };
            let change = match row.wage_per_h {
                Some(wage) => change.row("roster", name, "wage", wage.to_string()),
                None => change,
            };
            let change = if row.machines.is_empty() {
                change
            } else {
                let machines: Vec<String> = row.machines.iter().map(|one| quoted(one)).collect();
                change.row(
                    "roster",
                    name,
                    "machines",
                    format!("[{}]", machines.join(", ")),
                )
            };
            change.row("roster", name, "duties", written(duties))
        };
        let alone = [always(duty)];
        let words = words::one_more(duty.name(), &from, &to);
        let mut all = vec![come(
            words,
            &name(&format!("extra {}", duty.name())),
            &alone,
        )];
        if row.duties.len() > 1 {
            let words = words::one_more_like(&row.name, &from, &to);
            all.push(come(
                words,
                &name(&format!("extra {}", row.name)),
                &first(row, duty),
            ));
        }
        all
    }

    /// Breaks in so long a shift with which the rules are kept, as a file has them.
    fn breaks(&self, from_s: f64, to_s: f64) -> String {
        let rules = self.loaded.scenario.rules.as_ref();
        let pauses = rules.map_or_else(Vec::new, |rules| breaks_to_keep(rules, from_s, to_s));
        let pause = |(from_s, to_s): &(f64, f64)| {
            let (from, to) = (clock_text(*from_s), clock_text(*to_s));
            format!("{{ from = {}, to = {} }}", quoted(&from), quoted(&to))
        };
        let all: Vec<String> = pauses.iter().map(pause).collect();
        format!("[{}]", all.join(", "))
    }

    /// Breaks for the row of an operator that last until the crew is out, half an hour late.
    pub fn rest(&self, operator: &str) -> Vec<Change> {
        let Some(row) = self.rows().find(|row| is_of(operator, &row.name)) else {
            return Vec::new();
        };
        let out_min = self.evening.measures[Measure::CrewOutAfterClose as usize].mean;
        let out_s = self.loaded.scenario.service.closes_s + 60.0 * out_min.unwrap_or(0.0);
        let pauses = self.breaks(row.from_s, row.to_s.max(out_s) + HALF_HOUR_S);
        let words = words::breaks(&row.name);
        vec![Change::new(Kind::Other, words).row("roster", &row.name, "breaks", pauses)]
    }

    /// The hours in which work piles up at a station, within those of the crew.
    fn piled_up(&self, duty: Duty, like: &RosterRow) -> (f64, f64) {
        let earliest = self
            .rows()
            .map(|row| row.from_s)
            .fold(like.from_s, f64::min);
        let latest = self.rows().map(|row| row.to_s).fold(like.to_s, f64::max);
        let wanted = waits_before(duty);
        let mut series = self.evening.series.iter();
        let band = series.find(|band| band.info.kind == wanted);
        let mean = band.map_or(&[][..], |band| &band.mean);
        let most = mean.iter().flatten().copied().fold(0.0, f64::max);
        let is_piled =
            |value: &Option<f64>| most > 0.0 && value.is_some_and(|v| v >= PILED_UP * most);
        let clock = |minute: usize| self.evening.clock.start_s + 60.0 * minute as f64;
        let first = mean.iter().position(is_piled).map_or(like.from_s, clock);
        let last = mean.iter().rposition(is_piled).map_or(like.to_s, clock);
        let down = |s: f64| HALF_HOUR_S * libm::floor(s / HALF_HOUR_S);
        let up = |s: f64| HALF_HOUR_S * libm::ceil(s / HALF_HOUR_S);
        let to_s = up(last).min(latest).max(earliest + SHORTEST_SHIFT_S);
        let from_s = down(first).max(earliest).min(to_s - SHORTEST_SHIFT_S);
        (from_s.max(earliest), to_s)
    }

    /// A name that nobody has.
    fn free_name(&self, wanted: &str) -> String {
        let taken = |name: &str| {
            self.loaded
                .scenario
                .roster
                .iter()
                .any(|row| row.name == name)
        };
        let numbered = (2..).map(|number| format!("{wanted} {number}"));
        let mut names = std::iter::once(wanted.to_owned()).chain(numbered);
        names.find(|name| !taken(name)).unwrap_or_default()
    }

    /// The duty given to each who does not have it and is not busy all the time.
    pub fn give(&self, duty: Duty) -> Vec<Change> {
        let free = self
            .rows()
            .filter(|row| !has(row, duty) && self.busy(row) < FREE_AT_MOST);
        let give = |row: &RosterRow| {
            let mut duties = row.duties.clone();
            duties.push(always(duty));
            let words = words::give(duty.name(), &row.name);
            Change::new(Kind::Share, words).row("roster", &row.name, "duties", written(&duties))
        };
        free.map(give).collect()
    }

    /// All machines for each who has the duty at some of them only and is not busy all the time.
    pub fn everywhere(&self, duty: Duty) -> Vec<Change> {
        let limited = self.rows().filter(|row| {
            let at_machines = Duty::AT_MACHINES & duty.bit() != 0;
            at_machines && has(row, duty) && !row.machines.is_empty()
        });
        let free = limited.filter(|row| self.busy(row) < FREE_AT_MOST);
        let all = |row: &RosterRow| {
            let words = words::all_machines(&row.name);
            Change::new(Kind::Share, words).row("roster", &row.name, "machines", "[]".into())
        };
        free.map(all).collect()
    }

    /// The duty first in the list of each who has it further down, or only once much waits.
    pub fn move_up(&self, duty: Duty) -> Vec<Change> {
        let lower = self
            .rows()
            .filter(|row| has(row, duty) && row.duties[0] != always(duty));
        let up = |row: &RosterRow| {
            let words = words::move_up(duty.name(), &row.name);
            let duties = written(&first(row, duty));
            Change::new(Kind::Other, words).row("roster", &row.name, "duties", duties)
        };
        lower.map(up).collect()
    }

    /// Who puts away carries first what guests wait for.
    pub fn run_short(&self) -> Vec<Change> {
        let short = DutyEntry {
            once_short: true,
            ..always(Duty::PutAway)
        };
        let may = |row: &&RosterRow| has(row, Duty::PutAway) && !row.duties.contains(&short);
        let first = |row: &RosterRow| {
            let duties = [std::slice::from_ref(&short), &row.duties].concat();
            let words = words::run_short(&row.name);
            Change::new(Kind::Other, words).row("roster", &row.name, "duties", written(&duties))
        };
        self.rows().filter(may).map(first).collect()
    }

    /// Everybody does what the others do, after their own.
    pub fn share(&self) -> Vec<Change> {
        let rows: Vec<&RosterRow> = self.rows().collect();
        let everything = Duty::OF_WARE
            .iter()
            .filter(|duty| rows.iter().any(|row| has(row, **duty)));
        let everything: Vec<Duty> = everything.copied().collect();
        let names: Vec<&str> = rows.iter().map(|row| row.name.as_str()).collect();
        let change = Change::new(Kind::Share, words::share(&names));
        let shared = rows.iter().fold(change, |change, row| {
            let missing = everything.iter().filter(|duty| !has(row, **duty));
            let more: Vec<DutyEntry> = missing.map(|duty| always(*duty)).collect();
            if more.is_empty() {
                return change;
            }
            let duties = [row.duties.as_slice(), &more].concat();
            change.row("roster", &row.name, "duties", written(&duties))
        });
        if rows.len() < 2 {
            Vec::new()
        } else {
            vec![shared]
        }
    }

    /// Others do the work of the row of an operator too.
    pub fn relieve(&self, operator: &str) -> Vec<Change> {
        let Some(row) = self.rows().find(|row| is_of(operator, &row.name)) else {
            return Vec::new();
        };
        let ware = row.duties.iter().map(|entry| entry.duty);
        let ware: Vec<Duty> = ware.filter(|duty| Duty::OF_WARE.contains(duty)).collect();
        let mut all: Vec<Change> = ware.iter().flat_map(|duty| self.give(*duty)).collect();
        all.extend(
            ware.first()
                .map(|duty| self.hands(*duty))
                .unwrap_or_default(),
        );
        all
    }

    /// Each in turn goes when the shift ends, where others stay.
    pub fn goes_home(&self) -> Vec<Change> {
        let stay: Vec<&RosterRow> = self.rows().filter(|row| row.stays).collect();
        let goes = |row: &&RosterRow| {
            let words = words::goes_home(&row.name);
            Change::new(Kind::Leave, words).row("roster", &row.name, "stays", "false".into())
        };
        if stay.len() < 2 {
            Vec::new()
        } else {
            stay.iter().map(goes).collect()
        }
    }

    /// Each who has the duty and goes when the shift ends stays until all is done.
    pub fn stays(&self, duty: Duty) -> Vec<Change> {
        let goes = self.rows().filter(|row| has(row, duty) && !row.stays);
        let stays = |row: &RosterRow| {
            let words = words::stays(&row.name);
            Change::new(Kind::Other, words).row("roster", &row.name, "stays", "true".into())
        };
        goes.map(stays).collect()
    }

    /// One person fewer, row by row, where somebody else does all that they do.
    pub fn fewer(&self) -> Vec<Change> {
        let covered = |row: &RosterRow| {
            let others = || self.rows().filter(|other| other.name != row.name);
            row.duties.iter().all(|entry| {
                let at_machines = Duty::AT_MACHINES & entry.duty.bit() != 0;
                let there = |other: &RosterRow| !at_machines || looks_after(other, row);
                others().any(|other| has(other, entry.duty) && there(other))
            })
        };
        let one = |row: &RosterRow| {
            let change = Change::new(Kind::Leave, words::one_fewer(&row.name));
            match row.count {
                1 => change.row("roster", &row.name, "remove", "true".into()),
                count => change.row("roster", &row.name, "count", (count - 1).to_string()),
            }
        };
        self.rows()
            .filter(|row| row.count > 1 || covered(row))
            .map(one)
            .collect()
    }

    /// Each shift half an hour or an hour later, as long.
    pub fn later(&self) -> Vec<Change> {
        let by = |s: f64| self.rows().map(move |row| (row, s));
        let moved = |(row, s): (&RosterRow, f64)| {
            let (from, to) = (clock_text(row.from_s + s), clock_text(row.to_s + s));
            let words = words::later(&row.name, &from, &to);
            Change::new(Kind::Other, words)
                .row("roster", &row.name, "from", quoted(&from))
                .row("roster", &row.name, "to", quoted(&to))
        };
        let without_breaks = |(row, _): &(&RosterRow, f64)| row.breaks.is_empty();
        by(HALF_HOUR_S)
            .chain(by(2.0 * HALF_HOUR_S))
            .filter(without_breaks)
            .map(moved)
            .collect()
    }

    /// Those with a duty begin earlier by what was late, in quarters of an hour.
    pub fn earlier(&self, duty: Duty, late_min: f64) -> Vec<Change> {
        let by_s = 900.0 * (libm::floor(late_min / 15.0) + 1.0);
        let moved = |row: &RosterRow| {
            let from = clock_text(row.from_s - by_s);
            let words = words::earlier(&row.name, &from);
            Change::new(Kind::Other, words).row("roster", &row.name, "from", quoted(&from))
        };
        self.rows()
            .filter(|row| has(row, duty))
            .map(moved)
            .collect()
    }
}

/// Whether an operator is of a row: its name, or its name and a number.
fn is_of(operator: &str, row: &str) -> bool {
    let rest = operator.strip_prefix(row);
    rest.is_some_and(|rest| rest.is_empty() || rest.trim_start().parse::<u32>().is_ok())
}

/// Whether somebody looks after all the machines that somebody else does.
fn looks_after(other: &RosterRow, row: &RosterRow) -> bool {
    let has = |machine: &String| other.machines.contains(machine);
    other.machines.is_empty() || !row.machines.is_empty() && row.machines.iter().all(has)
}

fn has(row: &RosterRow, duty: Duty) -> bool {
    row.duties.iter().any(|entry| entry.duty == duty)
}

const fn always(duty: Duty) -> DutyEntry {
    DutyEntry {
        duty,
        once_waiting: 0,
        once_short: false,
    }
}

/// The duties of a row with this one first, whatever waits.
fn first(row: &RosterRow, duty: Duty) -> Vec<DutyEntry> {
    let others = row.duties.iter().filter(|entry| entry.duty != duty);
    std::iter::once(always(duty))
        .chain(others.cloned())
        .collect()
}

/// Duties as a file has them.
fn written(duties: &[DutyEntry]) -> String {
    let one = |entry: &DutyEntry| {
        let duty = quoted(entry.duty.name());
        if entry.once_short {
            return format!("{{ duty = {duty}, once_short = true }}");
        }
        match entry.once_waiting {
            0 => duty,
            count => format!("{{ duty = {duty}, once_waiting = {count} }}"),
        }
    };
    let all: Vec<String> = duties.iter().map(one).collect();
    format!("[{}]", all.join(", "))
}

/// The series of what waits before a station.
const fn waits_before(duty: Duty) -> SeriesKind {
    match duty {
        Duty::ClearDown => SeriesKind::OnTables,
        Duty::Scrape => SeriesKind::AtDropOff,
        Duty::Soak => SeriesKind::InSoak,
        Duty::WashPots => SeriesKind::AtPotSink,
        Duty::Load => SeriesKind::ToRack,
        Duty::Hood => SeriesKind::RacksWaiting,
        Duty::Unload => SeriesKind::OnLanding,
        Duty::PutAway => SeriesKind::ToPutAway,
        Duty::PreRinse | Duty::SetUp | Duty::Tend | Duty::CloseDown => SeriesKind::SoiledWaiting,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::load_changed;
    use crate::study::{Plan, Watch, simulate};

    /// Each of two hoods has a crew: it may look after both, one more like it looks after the same, and nobody may go who
    /// alone looks after one.
    #[test]
    fn changes_keep_to_the_machines_of_a_row() {
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        let file = file.join("tests/rooms/own-crews.toml");
        let more = "roster = [{ name = \"bar back\", duties = [\"load\", \"scrape\"] }]";
        let loaded = load_changed(&file, more).unwrap();
        let evening = simulate(&loaded, &Plan::new(3), &Watch::default()).unwrap();
        let of =
            |loaded: &Loaded, changes: fn(&Crew<'_>) -> Vec<Change>| -> Vec<(String, String)> {
                let crew = Crew {
                    loaded,
                    evening: &evening,
                };
                let said = |change: Change| (change.variant(loaded), change.words);
                changes(&crew).into_iter().map(said).collect()
            };
        let everywhere = of(&loaded, |crew| crew.everywhere(Duty::Load));
        let [(variant, words)] = &everywhere[..] else {
            panic!("{everywhere:?}");
        };
        assert_eq!(words, "bar back at all machines");
        assert!(variant.contains("machines = []"), "{variant}");
        assert!(of(&loaded, |crew| crew.everywhere(Duty::Scrape)).is_empty());
        let goes = |loaded: &Loaded| -> Vec<String> {
            let fewer = of(loaded, |crew| crew.fewer()).into_iter();
            fewer.map(|(_, words)| words).collect()
        };
        let bar_back = words::one_fewer("bar back");
        assert!(!goes(&loaded).contains(&bar_back));
        let mut shared = loaded;
        for row in &mut shared.scenario.roster {
            row.machines.clear();
        }
        assert!(goes(&shared).contains(&bar_back));
    }
}
