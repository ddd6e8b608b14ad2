//! Changes of places and things: benches, sinks, tables, lanes, landings, racks, belts and what heats the water.

use super::change::{Change, Kind, quoted};
use crate::scenario::Loaded;
use crate::scenario::amount::{Amount, Scale};
use crate::scenario::model::{
    Bench, Duty, HotWater, Machine, MachineKind, Places, WhenCold, ZoneKind,
};
use crate::words::advice::{self as words, instead, thing, tubs_instead};

/// Digits of a length, a speed or a power that are worth writing.
const DIGITS: usize = 3;
/// How much longer a table and how much stronger a heater is tried, as a factor.
const LONGER: f64 = 1.5;
/// How much larger a tank or a booster is tried, as a factor.
const LARGER: f64 = 2.0;
/// How much hotter a wash is set, K.
const HOTTER_K: f64 = 3.0;
/// Heaters come in steps, W.
const POWER_STEP_W: f64 = 3_000.0;
/// Share of the time within which water is to be changed after which it is.
const EARLIER: f64 = 0.75;
/// How much faster or slower a belt is tried.
const FASTER: f64 = 1.15;
/// A second step.
const MUCH_FASTER: f64 = 1.3;

/// What stands in the room.
pub(super) struct Things<'a> {
    /// The scenario.
    pub loaded: &'a Loaded,
}

impl Things<'_> {
    /// One more place for a duty.
    pub fn place(&self, duty: Duty) -> Vec<Change> {
        let scenario = &self.loaded.scenario;
        let bench = |bench: Option<&Bench>| bench.map(|bench| bench.places);
        let (table, key, places) = match duty {
            Duty::Scrape => ("scrape", "places", bench(scenario.scrape.as_ref())),
            Duty::PreRinse => {
                let places = scenario.pre_rinse.as_ref().map(|rinse| rinse.places);
                ("pre_rinse", "places", places)
            }
            Duty::Soak => (
                "soak",
                "sinks",
                scenario.soak.as_ref().map(|soak| soak.sinks),
            ),
            Duty::WashPots => {
                let places = scenario.pot_sink.as_ref().map(|sink| sink.places);
                ("pot_sink", "places", places)
            }
            Duty::Load => {
                let stations = scenario.loading.as_ref().map(|loading| loading.stations);
                ("loading", "stations", stations)
            }
            Duty::Unload => (
                "unload",
                "places",
                scenario.unload.as_ref().map(|unload| unload.places),
            ),
            Duty::PutAway => {
                let places = scenario.put_away.as_ref().map(|put_away| put_away.places);
                ("put_away", "places", places)
            }
            Duty::ClearDown | Duty::Hood | Duty::SetUp | Duty::Tend | Duty::CloseDown => {
                return Vec::new();
            }
        };
        let more = places.map(|places| places + 1);
        let change = |count: u32| {
            let words = words::places(duty.name(), count);
            Change::new(Kind::Place, words).table(table, key, count.to_string())
        };
        more.map(change).into_iter().collect()
    }

    /// A larger sanitising compartment at the pot sink, and a larger drainboard.
    pub fn pot_sink(&self) -> Vec<Change> {
        let Some(sink) = &self.loaded.scenario.pot_sink else {
            return Vec::new();
        };
        let more = |key: &'static str, now: u32, words: fn(u32, u32) -> String| {
            let then = (3 * now).div_ceil(2);
            Change::new(Kind::Thing, words(then, now)).table("pot_sink", key, then.to_string())
        };
        let holds = more("holds", sink.holds, words::sanitising);
        let board = sink
            .drainboard
            .map(|now| more("drainboard", now, words::drainboard));
        std::iter::once(holds).chain(board).collect()
    }

    /// Half as many racks again.
    pub fn racks(&self) -> Vec<Change> {
        let change = Change::new(Kind::Thing, words::MORE_RACKS.into());
        let racks = self.loaded.scenario.rack.iter();
        let more = racks.fold(change, |change, rack| {
            let fleet = (3 * rack.fleet).div_ceil(2);
            change.row("rack", &rack.name, "fleet", fleet.to_string())
        });
        vec![more]
    }

    /// A number of the scenario with another value, as TOML and in words; nothing if it is not given, or the same.
    fn other(&self, path: &str, value: impl Fn(f64) -> f64) -> Option<(String, String, String)> {
        let now = self.loaded.amount(path)?;
        let then = now.with_si(value(now.si()), DIGITS);
        let written = match then.scale {
            Scale::Plain | Scale::Whole => then.text(),
            _ => quoted(&then.text()),
        };
        (then.number > 0.0 && then.number != now.number)
            .then(|| (written, Amount::text(then), Amount::text(now)))
    }

    /// A key of a machine with another value.
    fn machine(
        &self,
        machine: &Machine,
        key: &'static str,
        what: (Kind, &str),
        value: impl Fn(f64) -> f64,
    ) -> Option<Change> {
        let path = format!("machine[{}].{key}", machine.name);
        let (written, then, now) = self.other(&path, value)?;
        let (kind, what) = what;
        let words = instead(what, &then, &now);
        Some(Change::new(kind, words).row("machine", &machine.name, key, written))
    }

    fn machines(&self) -> impl Iterator<Item = &Machine> {
        self.loaded.scenario.machine.iter()
    }

    /// Two racks more before each machine: counted, or as a length of table.
    pub fn lanes(&self) -> Vec<Change> {
        let of = |machine: &Machine| {
            let what = thing::lane(&machine.name);
            self.machine(machine, "lane", (Kind::Thing, &what), |now| {
                now + self.two_racks(machine.lane)
            })
        };
        self.machines().filter_map(of).collect()
    }

    /// Two racks more behind each machine.
    pub fn landings(&self) -> Vec<Change> {
        let of = |machine: &Machine| {
            let what = thing::landing(&machine.name);
            self.machine(machine, "landing", (Kind::Thing, &what), |now| {
                now + self.two_racks(machine.landing)
            })
        };
        self.machines().filter_map(of).collect()
    }

    /// Room for two racks, as racks are counted there.
    fn two_racks(&self, places: Places) -> f64 {
        let racks = self.loaded.scenario.rack.iter();
        let longest_m = racks.map(|rack| rack.footprint_m).fold(0.0, f64::max);
        match places {
            Places::Count(_) => 2.0,
            Places::LengthM(_) => 2.0 * longest_m,
        }
    }

    /// A longer drop-off.
    pub fn drop_off(&self) -> Vec<Change> {
        let longer = self.other("drop_off.tubs", |now| LONGER * now);
        let change = |(written, then, now): (String, String, String)| {
            let words = instead(thing::DROP_OFF, &then, &now);
            Change::new(Kind::Thing, words).table("drop_off", "tubs", written)
        };
        longer.map(change).into_iter().collect()
    }

    /// More tubs.
    pub fn tubs(&self) -> Vec<Change> {
        let more = self.other("clear_down.fleet", |now| LONGER * now);
        let change = |(written, then, now): (String, String, String)| {
            let words = tubs_instead(&then, &now);
            Change::new(Kind::Thing, words).table("clear_down", "fleet", written)
        };
        more.map(change).into_iter().collect()
    }

    /// Room for half as many racks again on the dollies that there are.
    pub fn dollies(&self) -> Vec<Change> {
        let more = self.other("dollies.places", |now| LONGER * now);
        let change = |(written, then, now): (String, String, String)| {
            let words = instead(thing::DOLLIES, &then, &now);
            Change::new(Kind::Thing, words).table("dollies", "places", written)
        };
        more.map(change).into_iter().collect()
    }

    /// A longer table before the loading.
    pub fn table(&self) -> Vec<Change> {
        let longer = self.other("loading.table", |now| LONGER * now);
        let change = |(written, then, now): (String, String, String)| {
            let words = instead(thing::TABLE, &then, &now);
            Change::new(Kind::Thing, words).table("loading", "table", written)
        };
        longer.map(change).into_iter().collect()
    }

    /// Clean ware carried in half the batches after half the wait.
    pub fn carry_sooner(&self) -> Vec<Change> {
        let Some(put_away) = &self.loaded.scenario.put_away else {
            return Vec::new();
        };
        let batch = put_away.batch.div_ceil(2);
        let half = self.other("put_away.wait_at_most", |now| now / 2.0);
        let wait = half.map_or_else(
            || quoted(&format!("{} s", libm::round(put_away.wait_at_most_s / 2.0))),
            |(written, ..)| written,
        );
        let change = Change::new(Kind::Other, words::CARRY_SOONER.into());
        let change = change.table("put_away", "batch", batch.to_string());
        vec![change.table("put_away", "wait_at_most", wait)]
    }

    /// Belts that go faster. Contact times are for the checks to keep.
    pub fn faster(&self) -> Vec<Change> {
        [FASTER, MUCH_FASTER]
            .iter()
            .flat_map(|factor| self.speeds(*factor))
            .collect()
    }

    fn speeds(&self, factor: f64) -> Vec<Change> {
        let of = |machine: &Machine| {
            let what = thing::speed(&machine.name);
            self.machine(machine, "speed", (Kind::Other, &what), |now| factor * now)
        };
        self.machines().filter_map(of).collect()
    }

    /// Water changed before it is too old, whoever does it.
    pub fn change_water(&self) -> Vec<Change> {
        let of = |machine: &Machine| {
            let path = format!("machine[{}].change_water_within", machine.name);
            let within = self.loaded.amount(&path)?;
            let every = within.with_si(EARLIER * within.si(), DIGITS).text();
            let words = words::change_water(&machine.name, &every);
            let written = format!("{{ every = {} }}", quoted(&every));
            Some(Change::new(Kind::Other, words).row(
                "machine",
                &machine.name,
                "water_change",
                written,
            ))
        };
        self.machines().filter_map(of).collect()
    }

    /// What keeps the water hot, or ware out of it: to wait for the heat; of the zone that is cold, then of the other; last a
    /// slower belt.
    pub fn heat(&self, rinse: bool) -> Vec<Change> {
        let boosters = self.machines().flat_map(|machine| self.boosters(machine));
        let washes = self.machines().flat_map(|machine| self.washes(machine));
        let mut all = self.held_when_cold();
        if rinse {
            all.extend(boosters.chain(washes));
        } else {
            all.extend(washes.chain(boosters));
        }
        all.extend(self.speeds(1.0 / FASTER));
        all
    }

    /// A belt that is held, or a hood that washes on, until its water is hot again.
    fn held_when_cold(&self) -> Vec<Change> {
        let held = |machine: &Machine| {
            let (when_cold, words) = match &machine.kind {
                MachineKind::Hood { water, .. } => (
                    water.as_ref().map(|water| water.when_cold)?,
                    words::washes_on(&machine.name),
                ),
                MachineKind::RackConveyor { when_cold, .. } => {
                    (*when_cold, words::held(&machine.name))
                }
            };
            let change = Change::new(Kind::Heat, words).bought(false);
            let value = quoted(WhenCold::Hold.name());
            (when_cold != WhenCold::Hold)
                .then(|| change.row("machine", &machine.name, "when_cold", value))
        };
        self.machines().filter_map(held).collect()
    }

    /// Hot water for the final rinse: more power, all of it hot, more of it.
    fn boosters(&self, machine: &Machine) -> Vec<Change> {
        let booster = match &machine.kind {
            MachineKind::Hood { water, .. } => water.and_then(|water| water.booster),
            MachineKind::RackConveyor { booster, .. } => *booster,
        };
        let Some(booster) = booster else {
            return Vec::new();
        };
        let name = &machine.name;
        let own = |key: &str, written: &str| {
            let table = format!("{{ {key} = {written} }}");
            ("booster", table)
        };
        let change = |what: String, (key, value): (&'static str, String)| {
            Change::new(Kind::Heat, what).row("machine", name, key, value)
        };
        let power = self.other(&format!("machine[{name}].booster.power"), stronger);
        let power = power.map(|(written, then, now)| {
            change(
                instead(&thing::booster(name), &then, &now),
                own("power", &written),
            )
        });
        let displaced = (booster.hot_water == HotWater::Stirred).then(|| {
            let value = quoted(HotWater::Displaced.name());
            change(words::displaced(name), own("hot_water", &value))
        });
        let holds = self.other(&format!("machine[{name}].booster.holds"), |l| LARGER * l);
        let holds = holds.map(|(written, then, now)| {
            change(
                instead(&thing::booster_holds(name), &then, &now),
                own("holds", &written),
            )
        });
        [power, displaced, holds].into_iter().flatten().collect()
    }

    /// Heat for the wash: a stronger heater, a higher set point, a larger tank.
    fn washes(&self, machine: &Machine) -> Vec<Change> {
        let name = &machine.name;
        let (list, path, holds, zone) = match &machine.kind {
            MachineKind::Hood { .. } => ("tank", format!("machine[{name}].tank"), "holds", None),
            MachineKind::RackConveyor { zones, .. } => {
                let wash = zones.iter().find(|zone| zone.kind == ZoneKind::Wash);
                let Some(wash) = wash else {
                    return Vec::new();
                };
                let path = format!("machine[{name}].zones[{}]", wash.name);
                ("zones", path, "tank", Some(quoted(&wash.name)))
            }
        };
        let change = |what: String, key: &str, value: &dyn Fn(f64) -> f64| {
            let (written, then, now) = self.other(&format!("{path}.{key}"), value)?;
            let table = match &zone {
                Some(zone) => format!("[{{ name = {zone}, {key} = {written} }}]"),
                None => format!("{{ {key} = {written} }}"),
            };
            let words = instead(&what, &then, &now);
            Some(Change::new(Kind::Heat, words).row("machine", name, list, table))
        };
        let heater = change(thing::heater(name), "heater", &stronger);
        let hotter = change(thing::set_point(name), "temperature", &|c| c + HOTTER_K);
        let larger = change(thing::tank(name), holds, &|l| LARGER * l);
        [heater, hotter, larger].into_iter().flatten().collect()
    }
}

/// The next heater that is half as strong again.
fn stronger(w: f64) -> f64 {
    POWER_STEP_W * libm::ceil((LONGER * w).max(w + 1.0) / POWER_STEP_W)
}
