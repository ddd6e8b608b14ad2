//! A scenario made ready to run: flat tables, indices for names, SI, times from the start.
//!
//! Goes in: a checked [`Scenario`]. Comes out: a [`Room`] that a service plays in, shared by all
//! threads and never changed. `room` reads no file, no clock and draws nothing.

pub mod crew;
pub mod demand;
pub mod draws;
mod drying;
pub mod faults;
pub mod keys;
pub mod law;
pub mod money;
pub mod own;
pub mod plan;
pub mod rules;
pub mod stations;
pub mod taps;
pub mod tasks;
pub mod time;
pub mod ware;
pub mod water;

use crate::scenario::model::{self, Duty, Prices, Scenario, Style, TaskDoes};
use crew::Operator;
use demand::Demand;
use faults::Fault;
use own::{Stations, Stores};
use plan::FloorPlan;
use rules::Rules;
use stations::{
    Bench, ClearDown, Dollies, Loading, Machine, PotSink, PreRinse, PutAway, Soak, Unload,
};
use taps::Supply;
use tasks::Task;
use time::Time;
use ware::{Dries, RackKind, Soil, Ware};

pub use keys::name_key;
pub use time::Hours;

/// A dish room ready to run.
#[derive(Debug, Clone)]
pub struct Room {
    /// When the evening starts, opens, closes and is cut off.
    pub hours: Hours,
    /// Guests and soiled ware that come into the room.
    pub demand: Demand,
    /// Kinds of ware.
    pub wares: Vec<Ware>,
    /// Kinds of soil.
    pub soils: Vec<Soil>,
    /// How ware dries on where it stands.
    pub dries: Dries,
    /// Kinds of rack.
    pub rack_kinds: Vec<RackKind>,
    /// Clear-down, if modelled.
    pub clear_down: Option<ClearDown>,
    /// Tubs the drop-off holds; `None` if it holds all.
    pub drop_off_tubs: Option<u32>,
    /// Seconds to carry a decoy rack on; `None` if there are none.
    pub decoy_takes_s: Option<f64>,
    /// Scraping, if any.
    pub scrape: Option<Bench>,
    /// Pre-rinsing, if any.
    pub pre_rinse: Option<PreRinse>,
    /// Soaking, if any.
    pub soak: Option<Soak>,
    /// The pot sink, if any.
    pub pot_sink: Option<PotSink>,
    /// Racking, if any.
    pub loading: Option<Loading>,
    /// Dish machines, side by side, in the order of the scenario.
    pub machines: Vec<Machine>,
    /// Unloading, if it takes anyone.
    pub unload: Option<Unload>,
    /// Dollies for washed racks, if there are any.
    pub dollies: Option<Dollies>,
    /// Share of dirty pieces that inspection catches, if there is one.
    pub inspect_catches: Option<f64>,
    /// Putting away, if any.
    pub put_away: Option<PutAway>,
    /// Where racks are filled.
    pub stations: Stations,
    /// Where clean ware is put away.
    pub stores: Stores,
    /// What is done before the machines may wash.
    pub set_up: Vec<Task>,
    /// What is done after the last rack.
    pub close_down: Vec<Task>,
    /// What goes wrong with the machines.
    pub faults: Vec<Fault>,
    /// The water that all that fills at once shares, if it is limited.
    pub supply: Option<Supply>,
    /// Where everything stands, and how long people walk.
    pub plan: FloorPlan,
    /// The crew, an element per operator, in roster order.
    pub crew: Vec<Operator>,
    /// How long it takes to wash one's hands, where that takes time.
    pub wash_hands: Option<Time>,
    /// The duties, as a set, whose work goes first to what guests wait for, since somebody looks at that.
    pub short_first: u16,
    /// Whether racks come back empty from the store, pots move on in their sink, or tubs may run out: all three by
    /// themselves, after any event.
    pub settles_more: bool,
    /// Rules of working hours, if there are any.
    pub rules: Option<Rules>,
    /// What a unit of everything costs; without it there is no cost.
    pub prices: Option<Prices>,
}

impl Room {
    /// Makes a checked scenario ready to run.
    #[must_use]
    pub fn of(scenario: &Scenario) -> Self {
        let hours = hours(scenario);
        let set_up = tasks::tasks(&scenario.set_up, scenario);
        let faults = faults::faults(scenario, &hours);
        let (stores, stations) = (Stores::of(scenario), Stations::of(scenario));
        let machines = stations::machines(scenario, &stations, &set_up, &faults);
        let supply = Supply::of(scenario, &machines, &set_up);
        Self {
            demand: Demand::of(scenario, &hours),
            wares: ware::wares(scenario),
            soils: ware::soils(scenario),
            dries: Dries::of(&scenario.air),
            rack_kinds: ware::rack_kinds(scenario),
            clear_down: scenario.clear_down.as_ref().map(ClearDown::of),
            drop_off_tubs: stations::drop_off_tubs(&scenario.drop_off),
            decoy_takes_s: (!scenario.drop_off.decoy_racks.is_empty())
                .then_some(scenario.drop_off.decoy_takes_s),
            scrape: scenario.scrape.as_ref().map(Bench::of),
            pre_rinse: scenario.pre_rinse.as_ref().map(PreRinse::of),
            soak: scenario.soak.as_ref().map(Soak::of),
            pot_sink: PotSink::of(scenario),
            loading: scenario.loading.as_ref().map(Loading::of),
            machines,
            set_up,
            close_down: tasks::tasks(&scenario.close_down, scenario),
            faults,
            supply,
            unload: scenario.unload.as_ref().map(Unload::of),
            dollies: (scenario.dollies.as_ref())
                .map(|dollies| Dollies::of(dollies, &scenario.rack)),
            inspect_catches: scenario.inspect.as_ref().map(|inspect| inspect.catches),
            put_away: scenario.put_away.as_ref().map(PutAway::of),
            plan: FloorPlan::of(scenario),
            crew: crew::operators(scenario, &hours, &stores, &stations),
            stations,
            stores,
            wash_hands: Some(Time::from_s(scenario.hands.wash_s))
                .filter(|takes| *takes > Time::ZERO),
            short_first: looks_at_stock(scenario),
            settles_more: settles_more(scenario),
            rules: scenario.rules.as_ref().map(Rules::of),
            prices: scenario.prices.clone(),
            hours,
        }
    }

    /// Whether a duty goes first to what guests wait for.
    #[must_use]
    pub const fn is_short_first(&self, duty: Duty) -> bool {
        self.short_first & duty.bit() != 0
    }

    /// The same room without those who are there only if they are called.
    #[must_use]
    pub fn without_help(&self) -> Self {
        let mut room = self.clone();
        room.crew.retain(|operator| operator.call.is_none());
        room
    }

    /// Whether a duty has a station here.
    #[must_use]
    pub fn has(&self, duty: Duty) -> bool {
        match duty {
            Duty::ClearDown => self.clear_down.as_ref().is_some_and(|clear| clear.by_crew),
            Duty::Scrape => self.scrape.is_some(),
            Duty::PreRinse => self.pre_rinse.is_some(),
            Duty::Soak => self.soak.is_some(),
            Duty::WashPots => self.pot_sink.is_some(),
            Duty::Load => self.loading.is_some(),
            Duty::Hood => self.machines.iter().any(Machine::is_attended),
            Duty::Unload => self.unload.is_some() && !self.machines.is_empty(),
            Duty::PutAway => self.put_away.is_some(),
            Duty::SetUp => !self.set_up.is_empty(),
            Duty::Tend => {
                self.faults.iter().any(|fault| fault.lasts.is_none())
                    || self.machines.iter().any(Machine::by_hand)
            }
            Duty::CloseDown => !self.close_down.is_empty(),
        }
    }

    /// Whether soiled ware comes to the drop-off by itself after a while: guests carry it, or floor staff of whom nothing
    /// else is known.
    #[must_use]
    pub fn is_brought(&self) -> bool {
        let guests = self.demand.guests.as_ref();
        guests.is_some_and(|guests| guests.style == Style::Cafeteria)
            || self
                .clear_down
                .as_ref()
                .is_some_and(|clear| !clear.gathers())
    }

    /// Whether any machine is ever off: not set up yet, or closed down.
    #[must_use]
    pub fn may_be_off(&self) -> bool {
        let closes = |task: &Task| task.does == Some(TaskDoes::PumpsOff);
        self.machines.iter().any(|machine| !machine.start.ready)
            || self.close_down.iter().any(closes)
    }

    /// The name of a fault, with that of its machine where there are several.
    #[must_use]
    pub fn fault_name(&self, fault: &Fault) -> String {
        if self.machines.len() > 1 {
            format!("{} ({})", fault.name, self.machines[fault.machine].name)
        } else {
            fault.name.clone()
        }
    }

    /// Racks an hour that all machines together are rated for, of their longest racks; a hood by its
    /// mean cycle.
    #[must_use]
    pub fn rated_racks_per_hour(&self) -> f64 {
        self.machines
            .iter()
            .map(Machine::rated_racks_per_hour)
            .sum()
    }
}

fn settles_more(scenario: &Scenario) -> bool {
    let is_fleet = |clear: &model::ClearDown| clear.fleet.is_some();
    scenario.pot_sink.is_some()
        || scenario.rack.iter().any(|rack| rack.stored_in_rack)
        || scenario.clear_down.as_ref().is_some_and(is_fleet)
}

fn looks_at_stock(scenario: &Scenario) -> u16 {
    let there = scenario.roster.iter().filter(|row| row.count > 0);
    let entries = there.flat_map(|row| &row.duties);
    let look = entries.filter(|entry| entry.once_short);
    look.fold(0, |duties, entry| duties | entry.duty.bit())
}

fn hours(scenario: &Scenario) -> Hours {
    let service = &scenario.service;
    let shifts = scenario.roster.iter().map(|row| row.from_s);
    let soiled = scenario.soiled.iter().map(|row| row.from_s);
    let logged = scenario
        .soiled_log
        .iter()
        .flat_map(|log| log.rows.iter().map(|row| row.time_s));
    let seated = scenario.guests.iter().flat_map(|guests| {
        let log = guests.log.iter().map(|party| party.seated_at_s);
        log.chain(guests.seating.iter().map(|seating| seating.from_s))
    });
    let booked = scenario.party.iter().map(|party| party.at_s);
    let start_s = shifts
        .chain(soiled)
        .chain(logged)
        .chain(seated)
        .chain(booked)
        .fold(service.opens_s, f64::min);
    Hours {
        start_s,
        opens: Time::from_s(service.opens_s - start_s),
        closes: Time::from_s(service.closes_s - start_s),
        limit: Time::from_s(service.closes_s + service.give_up_after_s - start_s),
    }
}
