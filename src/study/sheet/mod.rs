//! The hand-calculation sheet: what a careful person with a pencil works out before simulating, from
//! means only.
//!
//! | file | works out |
//! |---|---|
//! | [`arrivals`] | soiled ware by minute, and the busiest hour: [`peak()`] |
//! | [`peak`](mod@peak) | pieces and racks of that hour |
//! | [`machines`] | rated racks per hour, contact time, landing |
//! | `means` | what comes to each station and the work at it, by its row |
//! | `sent` | racks that are sent, part-full ones included |
//! | [`passes`](mod@passes) | how often a piece is washed |
//! | [`path`] | how long a piece and a rack take if nothing queues |
//! | [`stations`] | each station against the peak |
//! | [`labour`] | people needed and there, and the duties that bind |
//! | [`cover`] | people needed beside people there, by the half hour |
//! | [`wages`] | the roster in hours and money |
//! | [`binds`] | the fullest of all that, and the backlog it leaves |
//! | [`stock`] | ware away from the store against what is owned |
//! | [`water`] | what a rack and the evening take, what the booster can do |
//! | [`milestones`] | when racks come, and when the evening is over |
//! | [`taken`] | what a machine takes in it, with the heat of `heat` |
//! | [`spent`] | what the evening takes in all, and what it costs |
//! | [`routine`] | set-up, close-down and faults |
//! | [`lengths`] | drop-off, lane and landing |
//! | [`dries`] | minutes until soil has dried on |
//! | `findings` | what of it is worth saying |
//!
//! In: a checked scenario and its [`Room`]. Out: plain values, which `report` prints. Nothing is drawn
//! and nothing printed here. Times of day are seconds after midnight of the opening day.
//!
//! It ignores the spread of the dwell and what faults cost, and gives the soil of the first tank alone, as if all of it
//! came there.

pub mod arrivals;
pub mod binds;
pub mod cools;
pub mod cover;
mod crews;
pub mod dries;
mod findings;
mod heat;
pub mod labour;
pub mod lengths;
pub mod machines;
mod means;
pub mod milestones;
pub mod on_the_way;
pub mod passes;
pub mod path;
pub mod peak;
pub mod routine;
mod sent;
pub mod spent;
mod stages;
pub mod stations;
pub mod stock;
pub mod taken;
pub mod wages;
pub mod water;

use serde::Serialize;

use crate::room::Room;
use crate::scenario::Loaded;
use crate::scenario::model::Scenario;
use crate::scenario::wording::Wording;
use crate::study::evening::{Clock, Finding};
use crate::study::{help, published, rules, store, supply};
use arrivals::{Arrivals, PEAK_MIN};
use binds::{Backlog, Binds};
use cover::Cover;
use dries::Drying;
use labour::Labour;
use lengths::Lengths;
use machines::MachineFigures;
use milestones::Milestones;
use passes::Passes;
use path::Path;
use peak::{Load, Peak};
use routine::Routine;
use sent::Expected;
use spent::Spent;
use stations::Station;
use stock::Par;
use wages::Wages;
use water::WaterFigures;

pub use arrivals::peak;

/// The sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Sheet {
    /// Title of the scenario.
    pub title: String,
    /// What it calls its service and its money.
    #[serde(skip)]
    pub wording: Wording,
    /// Opening, closing and the busiest hour, for its chart.
    #[serde(skip)]
    pub clock: Clock,
    /// What the scenario says about itself beside it; may be empty.
    pub note: String,
    /// The busiest hour, and the evening.
    pub peak: Peak,
    /// Stations, machines, landings, sinks and racks against the peak.
    pub stations: Vec<Station>,
    /// People against the peak.
    pub labour: Labour,
    /// The same by the half hour.
    pub cover: Cover,
    /// The roster in hours and money.
    pub wages: Wages,
    /// What binds first; `None` in a room where there is nothing to do.
    pub binds: Option<Binds>,
    /// Machines.
    pub machines: Vec<MachineFigures>,
    /// Their water, of those that have any.
    pub water: Vec<WaterFigures>,
    /// What the evening takes and costs.
    pub spent: Spent,
    /// Before opening, after closing, and in trouble.
    pub routine: Routine,
    /// What of them is outside a published limit.
    #[serde(skip)]
    pub outside_limits: Vec<Finding>,
    /// What of the roster breaks a rule of working hours.
    #[serde(skip)]
    pub rules: Vec<Finding>,
    /// Help that cannot come.
    #[serde(skip)]
    pub help: Vec<Finding>,
    /// Fills that the supply makes slower.
    #[serde(skip)]
    pub supply: Vec<Finding>,
    /// Racks that cannot hold what is stored in them.
    #[serde(skip)]
    pub store: Vec<Finding>,
    /// Par stock.
    pub pars: Vec<Par>,
    /// Drop-off, lane, landing.
    pub lengths: Lengths,
    /// Drying on.
    pub drying: Drying,
}

impl Sheet {
    /// Works it all out.
    #[must_use]
    pub fn of(scenario: &Scenario, room: &Room) -> Self {
        let without;
        // Nobody can count on those who may not be called.
        let room = if room.crew.iter().any(|operator| operator.call.is_some()) {
            without = room.without_help();
            &without
        } else {
            room
        };
        let pulses = arrivals::pulses(room);
        let arrivals = Arrivals::of(&pulses);
        let (first, _) = arrivals.busiest(PEAK_MIN);
        let expected = Expected {
            room,
            pulses: &pulses,
            arrivals: &arrivals,
            first,
            passes: &Passes::fresh(room),
        };
        // How dry soil is depends on how long it waits, and that on what comes back: worked out twice.
        let fresh = Work::of(scenario, &expected);
        let waits_s = fresh.backlog().map_or(0.0, |backlog| backlog.wait_s);
        let passes = on_the_way::passes(room, &pulses, &Load::typical(&expected), waits_s);
        let expected = Expected {
            passes: &passes,
            ..expected
        };
        let work = Work::of(scenario, &expected);
        let evening = Load::evening(&expected);
        let gone_s = work
            .backlog()
            .map(|backlog| backlog.gone_at_s - room.hours.start_s)
            .map(|gone_s| gone_s + taken::closed_s(room, [first as f64 * 60.0, gone_s]));
        let milestones = Milestones::of(room, &pulses, &evening, gone_s);
        let Work {
            load,
            path,
            machines,
            labour,
            cover,
            stations,
            binds,
        } = work;
        let water = water::water(room, &arrivals, &machines, &milestones, &evening);
        let peak = Peak::of(&expected, &load, &evening);
        Self {
            spent: Spent::of(room, &evening, &milestones, &water),
            title: scenario.title.clone(),
            wording: Wording::of(scenario),
            clock: Clock {
                start_s: room.hours.start_s,
                opens_s: scenario.service.opens_s,
                closes_s: scenario.service.closes_s,
                peak_from_s: peak.from_s,
                peak_to_s: peak.to_s,
                shown_to_s: room.hours.start_s + milestones.ends_s,
            },
            note: scenario.note.clone(),
            pars: stock::pars(room, &pulses, &load, &path),
            lengths: Lengths::of(scenario, room, &peak),
            drying: Drying::of(scenario, room, &pulses, &path),
            water,
            routine: Routine::of(room),
            outside_limits: [published::find(scenario), published::practice(scenario)].concat(),
            rules: rules::planned(scenario),
            help: help::planned(scenario, pulses.iter().map(|pulse| pulse.pieces).sum()),
            supply: supply::planned(room),
            store: store::planned(room),
            peak,
            stations,
            labour,
            cover,
            wages: Wages::of(scenario, room),
            binds,
            machines,
        }
    }

    /// Says of its findings in which line of a file their cause stands.
    pub fn locate(&mut self, loaded: &Loaded) {
        let found = self.rules.iter_mut().chain(&mut self.help);
        for finding in found.chain(&mut self.store) {
            finding.locate(&loaded.origins);
        }
    }

    /// What of it is worth saying, gravest first.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        let mut findings = findings::of(self);
        for finding in &mut findings {
            finding.say(&self.wording);
        }
        findings
    }
}

/// The peak against the room, and what binds.
struct Work {
    load: Load,
    path: Path,
    machines: Vec<MachineFigures>,
    labour: Labour,
    cover: Cover,
    stations: Vec<Station>,
    binds: Option<Binds>,
}

impl Work {
    fn of(scenario: &Scenario, expected: &Expected<'_>) -> Self {
        let (room, first) = (expected.room, expected.first);
        let load = Load::of(expected);
        let path = Path::of(room, &load);
        let machines = machines::machines(scenario, room, &load);
        let (from_s, to_s) = (first as f64 * 60.0, (first + PEAK_MIN) as f64 * 60.0);
        let labour = Labour::of(room, &load, from_s, to_s);
        let on_duty = |duty| labour.on_duty(room, duty);
        let stations = stations::stations(room, &load, &machines, &path, on_duty);
        // What is done at some machines alone is no row of the cover.
        let everywhere = labour
            .binds
            .as_ref()
            .filter(|set| set.at_machines.is_empty());
        let mut work = Self {
            binds: binds::binds(&stations, &labour),
            cover: Cover::of(expected, everywhere.map(|set| &set.duties[..])),
            load,
            path,
            machines,
            labour,
            stations,
        };
        let backlog = work.waits(expected);
        if let Some(binds) = &mut work.binds {
            binds.backlog_pieces = backlog;
        }
        work
    }

    fn backlog(&self) -> Option<&Backlog> {
        self.binds.as_ref()?.backlog_pieces.as_ref()
    }

    /// What waits for what binds: a place or a thing can do as much as in the peak, people as much as
    /// those who are there.
    fn waits(&self, expected: &Expected<'_>) -> Option<Backlog> {
        let binds = self.binds.as_ref()?;
        let (room, end) = (expected.room, expected.first + PEAK_MIN);
        let pieces = self.load.pieces.iter().sum::<f64>();
        if binds.people {
            let set = self.labour.binds.as_ref()?;
            if !set.at_machines.is_empty() {
                return None;
            }
            let needed_h = set.people_needed;
            let left = self.cover.left(room, &binds.duties);
            return Backlog::of_work(&left, pieces / needed_h, room.hours.start_s, end);
        }
        let capacity = pieces / binds.utilisation?;
        (capacity > 0.0)
            .then(|| Backlog::of(expected.arrivals, capacity, room.hours.start_s, end))?
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::load;

    fn friday() -> Scenario {
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        load(&file.join("tests/two-people.toml")).unwrap().scenario
    }

    /// A room where everything is paid for.
    fn paid() -> Scenario {
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        load(&file.join("tests/rooms/paid.toml")).unwrap().scenario
    }

    fn sheet(scenario: &Scenario) -> Sheet {
        Sheet::of(scenario, &Room::of(scenario))
    }

    #[test]
    fn the_peak_of_the_charts_is_the_peak_of_the_sheet() {
        let scenario = friday();
        let sheet = sheet(&scenario);
        let window = (sheet.peak.from_s, sheet.peak.to_s);
        assert_eq!(peak(&Room::of(&scenario)), window);
        // The busiest seating is from 19:00 to 20:30, and most ware is cleared about an hour later.
        assert!(
            (19.5 * 3600.0..20.5 * 3600.0).contains(&window.0),
            "{window:?}"
        );
    }

    #[test]
    fn the_evening_is_covers_times_pieces_a_cover_and_the_pans() {
        let peak = sheet(&friday()).peak;
        // 0.8 + 1 + 0.6 + 4 + 1.8 + 0.5 pieces for each of 800 covers, and 90 pans.
        assert!((peak.pieces_evening - (800.0 * 8.7 + 90.0)).abs() < 1e-6);
        assert_eq!(peak.covers_evening, Some(800.0));
        let by_ware: f64 = peak.wares.iter().map(|ware| ware.peak).sum();
        assert!((by_ware - peak.pieces).abs() < 1e-6);
    }

    #[test]
    fn whatever_a_room_leaves_out_the_sheet_stands() {
        let leave_out: [fn(&mut Scenario); 9] = [
            |s| s.guests = None,
            |s| s.soiled.clear(),
            |s| s.clear_down = None,
            |s| s.scrape = None,
            |s| s.soak = None,
            |s| {
                s.loading = None;
                s.machine.clear();
                s.unload = None;
                s.rack.clear();
            },
            |s| s.inspect = None,
            |s| s.put_away = None,
            |s| s.roster.clear(),
        ];
        let (mut bare, mut poor) = (friday(), paid());
        for part in leave_out {
            let (mut scenario, mut priced) = (friday(), paid());
            for changed in [&mut scenario, &mut priced, &mut bare, &mut poor] {
                part(changed);
            }
            for scenario in [&scenario, &priced, &bare, &poor] {
                let sheet = sheet(scenario);
                let full = sheet.binds.as_ref().and_then(|binds| binds.utilisation);
                assert!(full.is_none_or(f64::is_finite));
                assert!(sheet.peak.pieces.is_finite());
                let spent = &sheet.spent;
                for value in [spent.water_l, spent.energy_kwh, spent.labour_h, spent.cost] {
                    assert!(value.is_none_or(|value| value.is_finite() && value >= 0.0));
                }
                assert!(spent.ends_s.is_finite());
            }
        }
        assert_eq!(sheet(&bare).binds, None);
        let spent = sheet(&poor).spent;
        // The spray of the pre-rinse is there and has nothing to do.
        assert_eq!((spent.water_l, spent.cost), (Some(0.0), Some(0.0)));
        assert_eq!((spent.energy_kwh, spent.labour_h), (None, None));
    }
}
