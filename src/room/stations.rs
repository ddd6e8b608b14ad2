//! Stations and machines, ready to run.

use super::drying;
use crate::physics::{conveyor, dilution, heat};
use crate::room::faults::Fault;
use crate::room::law::RandomTime;
use crate::room::own::Stations;
use crate::room::tasks::{Start, Task};
use crate::room::time::Time;
use crate::room::ware::Ware;
use crate::room::water::Water;
use crate::scenario::model::{
    self, Carrier, LeftUntil, MachineKind, Places, Scenario, WhenFull, Zone,
};

/// Clear-down.
#[derive(Debug, Clone)]
pub struct ClearDown {
    /// Tubs that there are; `None`: one is always free.
    pub fleet: Option<u32>,
    /// Whether operators of the roster carry; otherwise floor staff outside it.
    pub by_crew: bool,
    /// Pieces a tub holds.
    pub tub: u32,
    /// Time of one trip from the tables.
    pub trip: RandomTime,
    /// A crew trip starts part-full after this.
    pub wait_at_most: Time,
    /// Whether a trip waits when the drop-off is full, rather than using the floor.
    pub waits: bool,
}

impl ClearDown {
    pub(super) fn of(clear: &model::ClearDown) -> Self {
        Self {
            by_crew: clear.by == Carrier::Crew,
            tub: clear.tub.max(1),
            trip: RandomTime::of(&clear.trip),
            wait_at_most: Time::from_s(clear.wait_at_most_s),
            fleet: clear.fleet,
            waits: clear.when_full == WhenFull::Wait,
        }
    }

    /// Whether ware is gathered on the tables until a tub is full: by the crew, and by whoever has so many tubs.
    #[must_use]
    pub const fn gathers(&self) -> bool {
        self.by_crew || self.fleet.is_some()
    }

    /// Whether floor staff outside the roster gather it.
    #[must_use]
    pub const fn by_floor_in_tubs(&self) -> bool {
        !self.by_crew && self.fleet.is_some()
    }

    /// Tubs that floor staff may be under way with at once, each with a clock of its own.
    #[must_use]
    pub const fn carried_at_most(&self) -> u32 {
        match self.fleet {
            Some(fleet) if !self.by_crew => fleet,
            _ => 0,
        }
    }
}

/// Scraping.
#[derive(Debug, Clone)]
pub struct Bench {
    /// How many at once.
    pub places: u32,
    /// A unit of work, besides its pieces.
    pub per_unit: RandomTime,
    /// Pieces taken up at once, at most.
    pub batch: u32,
    /// Seconds per piece that is quite dry, over those of a fresh one.
    pub dried_takes: f64,
    /// Share of the film that it takes away.
    pub thins: f64,
}

impl Bench {
    pub(super) fn of(bench: &model::Bench) -> Self {
        Self {
            places: bench.places,
            per_unit: RandomTime::of(&bench.per_unit),
            batch: bench.batch.max(1),
            dried_takes: bench.dried_takes,
            thins: bench.thins,
        }
    }
}

/// Unloading.
#[derive(Debug, Clone)]
pub struct Unload {
    /// How many at once.
    pub places: u32,
    /// A rack, besides its pieces.
    pub per_unit: RandomTime,
}

impl Unload {
    pub(super) fn of(unload: &model::Unload) -> Self {
        Self {
            places: unload.places,
            per_unit: RandomTime::of(&unload.per_unit),
        }
    }
}

/// Dollies for washed racks.
#[derive(Debug, Clone)]
pub struct Dollies {
    /// Racks they hold.
    pub places: u32,
    /// Whether they take racks of a kind, by rack kind.
    pub take: Vec<bool>,
    /// To move a rack there.
    pub takes: RandomTime,
    /// Racks on a landing from which on one is moved; `None`: a full landing.
    pub once_on_landing: Option<u32>,
}

impl Dollies {
    pub(super) fn of(dollies: &model::Dollies, racks: &[model::Rack]) -> Self {
        let take = |rack: &model::Rack| dollies.take(&rack.name);
        Self {
            places: dollies.places,
            take: racks.iter().map(take).collect(),
            takes: RandomTime::of(&dollies.takes),
            once_on_landing: dollies.once_on_landing,
        }
    }
}

/// Pre-rinsing.
#[derive(Debug, Clone)]
pub struct PreRinse {
    /// How many at once.
    pub places: u32,
    /// A unit of work, besides its pieces.
    pub per_unit: RandomTime,
    /// Pieces taken up at once, at most.
    pub batch: u32,
    /// Pieces the table before it holds.
    pub table: Option<u32>,
    /// Share of the dryness taken away.
    pub wets: f64,
    /// Water of the spray while somebody pre-rinses, L/s, if it is counted.
    pub flow_l_per_s: Option<f64>,
}

impl PreRinse {
    pub(super) fn of(pre_rinse: &model::PreRinse) -> Self {
        Self {
            places: pre_rinse.places,
            per_unit: RandomTime::of(&pre_rinse.per_unit),
            batch: pre_rinse.batch.max(1),
            table: pre_rinse.table,
            wets: pre_rinse.wets,
            flow_l_per_s: pre_rinse.flow_l_per_s,
        }
    }
}

/// Soak sinks.
#[derive(Debug, Clone)]
pub struct Soak {
    /// How many sinks.
    pub sinks: u32,
    /// Pieces a sink holds.
    pub holds: u32,
    /// Pieces from which a sink is started.
    pub enough: u32,
    /// Part-full when the oldest piece has waited this long.
    pub wait_at_most: Time,
    /// How long ware soaks before it may be taken out.
    pub time: Time,
    /// Water that fills a sink, L, if it is counted.
    pub water_l: Option<f64>,
    /// Seconds a piece to put in.
    pub put_in_s: f64,
    /// Seconds a piece to take out.
    pub take_out_s: f64,
    /// A unit of work, besides its pieces.
    pub per_unit: RandomTime,
}

impl Soak {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a share of a u32
    pub(super) fn of(soak: &model::Soak) -> Self {
        let enough = libm::ceil(f64::from(soak.holds) * soak.full_enough) as u32;
        Self {
            sinks: soak.sinks,
            holds: soak.holds.max(1),
            enough: enough.clamp(1, soak.holds.max(1)),
            wait_at_most: Time::from_s(soak.wait_at_most_s),
            time: Time::from_s(soak.time_s),
            water_l: soak.water_l,
            put_in_s: soak.put_in_s,
            take_out_s: soak.take_out_s,
            per_unit: RandomTime::of(&soak.per_unit),
        }
    }
}

/// The pot sink.
#[derive(Debug, Clone)]
pub struct PotSink {
    /// How many scrub at once.
    pub places: u32,
    /// A piece, besides the seconds of its ware and the rinse.
    pub per_unit: RandomTime,
    /// Seconds a piece to rinse and put in.
    pub rinse_s: f64,
    /// Seconds to scrub a piece that is quite dry, over those of a fresh one.
    pub dried_takes: f64,
    /// How long a piece lies in the sanitising compartment at least.
    pub contact: Time,
    /// Pieces in there at once.
    pub holds: u32,
    /// Pieces on the drainboard at once.
    pub drainboard: Option<u32>,
    /// Time on the drainboard until a piece is dry, by ware.
    pub dry_after: Vec<Time>,
    /// What a filling takes, if it is counted.
    pub filling: Option<Filling>,
    /// The water is changed when it has stood so long.
    pub change_every: Option<Time>,
    /// Or after so many pieces.
    pub change_after: Option<u32>,
    /// How long a filling takes whoever finds it due, s.
    pub change_s: f64,
}

/// What one filling of the pot sink takes.
#[derive(Debug, Clone, Copy)]
pub struct Filling {
    /// Water, L.
    pub water_l: f64,
    /// Heat above the supply, J.
    pub heat_j: f64,
    /// Detergent, g.
    pub detergent_g: f64,
}

impl Filling {
    fn of(sink: &model::PotSink) -> Option<Self> {
        let each_l = sink.water_l?;
        // A supply that is hotter is mixed with cold water and needs no heat here.
        let heat_j = |to_c: f64| {
            let from_c = sink.supply_c.min(to_c);
            heat::heat_to_raise_j(each_l * heat::WATER_KG_PER_L, from_c, to_c)
        };
        Some(Self {
            water_l: 3.0 * each_l,
            heat_j: 2.0 * heat_j(sink.wash_c) + heat_j(sink.sanitises_at_c()),
            detergent_g: dilution::detergent_g(sink.detergent_g_per_l, each_l),
        })
    }
}

impl Filling {
    /// Of so many fillings.
    #[must_use]
    pub fn times(self, fillings: f64) -> Self {
        Self {
            water_l: self.water_l * fillings,
            heat_j: self.heat_j * fillings,
            detergent_g: self.detergent_g * fillings,
        }
    }
}

impl PotSink {
    pub(super) fn of(scenario: &Scenario) -> Option<Self> {
        let sink = scenario.pot_sink.as_ref()?;
        Some(Self {
            places: sink.places,
            per_unit: RandomTime::of(&sink.per_unit),
            rinse_s: sink.rinse_s,
            dried_takes: sink.dried_takes,
            contact: Time::from_s(sink.contact_s),
            holds: sink.holds.max(1),
            drainboard: sink.drainboard,
            dry_after: drying::on_drainboard(sink, scenario),
            filling: Filling::of(sink),
            change_every: sink.change_every_s.map(Time::from_s),
            change_after: sink.change_after,
            change_s: sink.change_s,
        })
    }
}

/// Racking.
#[derive(Debug, Clone)]
pub struct Loading {
    /// Loading stations at each place where racks are filled; each fills one rack at a time.
    pub stations: u32,
    /// A rack, besides its pieces.
    pub per_unit: RandomTime,
    /// Pieces the table before the stations holds.
    pub table: Option<u32>,
}

impl Loading {
    pub(super) fn of(loading: &model::Loading) -> Self {
        Self {
            stations: loading.stations,
            per_unit: RandomTime::of(&loading.per_unit),
            table: loading.table,
        }
    }
}

/// A dish machine.
#[derive(Debug, Clone)]
pub struct Machine {
    /// Name.
    pub name: String,
    /// Racks its entry lane holds; 0 means a rack enters straight from a loading station.
    pub lane: u32,
    /// Whether it takes racks of a kind, by rack kind.
    pub takes: Vec<bool>,
    /// Where racks for it are filled: it takes these alone.
    pub filled_at: usize,
    /// Racks its landing holds.
    pub landing: u32,
    /// Drain time on the landing.
    pub drain: Time,
    /// Time on the landing until a piece is dry, by ware, where it is known; empty if it is of none.
    pub dry_after: Vec<Option<Time>>,
    /// Whether a rack is left until all in it is dry.
    pub until_dry: bool,
    /// Factor of a wash here: contact time over that of a normal wash, and the rest.
    pub wash_factor: f64,
    /// How it works.
    pub kind: Kind,
    /// Its water, as far as the scenario says.
    pub water: Option<Water>,
    /// How it stands at the start of the evening.
    pub start: Start,
    /// Whether anything goes wrong with it.
    pub has_faults: bool,
    /// Share of the water of its tanks below which their heat is cut and the wash is poor.
    pub least_level: f64,
}

/// How a machine works.
#[derive(Debug, Clone)]
pub enum Kind {
    /// Racks ride a conveyor.
    Conveyor {
        /// From entry to exit while the belt runs.
        transit: Time,
        /// Belt time that a rack keeps the entry, by rack kind.
        headway: Vec<Time>,
        /// Pumps stop after this long without a rack.
        idle_after: Option<Time>,
        /// To start again.
        restart: Time,
    },
    /// One rack per cycle.
    Hood {
        /// Washing and rinsing, hood shut.
        cycle: RandomTime,
        /// To change racks.
        change: Time,
        /// Whether changing needs an operator.
        attended: bool,
    },
}

impl Machine {
    /// Racks an hour it is rated for, of the longest racks; a hood by its mean cycle.
    #[must_use]
    pub fn rated_racks_per_hour(&self) -> f64 {
        let each_s = match &self.kind {
            Kind::Conveyor { headway, .. } => {
                headway.iter().map(|time| time.s()).fold(0.0, f64::max)
            }
            Kind::Hood { cycle, change, .. } => cycle.mean_s + change.s(),
        };
        if each_s > 0.0 { 3600.0 / each_s } else { 0.0 }
    }

    /// How long a rack of a kind is left on the landing, with all the ware of that kind in it.
    #[must_use]
    pub fn rack_left_for(&self, wares: &[Ware], kind: usize) -> Time {
        let dry = self.dry_after.iter().zip(wares);
        let dry =
            dry.filter(|(_, ware)| self.until_dry && ware.rack_kind == kind && !ware.at_pot_sink);
        dry.filter_map(|(dry, _)| *dry).fold(self.drain, Time::max)
    }

    /// From entry to exit while the belt runs; 0 of a hood.
    #[must_use]
    pub const fn transit(&self) -> Time {
        match self.kind {
            Kind::Conveyor { transit, .. } => transit,
            Kind::Hood { .. } => Time::ZERO,
        }
    }

    /// Whether it waits for racks with its pumps off.
    #[must_use]
    pub const fn idles(&self) -> bool {
        matches!(
            self.kind,
            Kind::Conveyor {
                idle_after: Some(_),
                ..
            }
        )
    }

    /// Whether its belt, or its cycle, is held when the wash or the final rinse is too cold.
    #[must_use]
    pub fn may_be_held(&self) -> bool {
        self.water.as_ref().is_some_and(|water| {
            let rinse = water.rinse.booster.is_some() && water.rinse.minimum_c.is_some();
            let mut tanks = water.tanks.iter();
            let wash = tanks.any(|tank| tank.minimum_c.is_some() && tank.thermostat.heater_w > 0.0);
            water.holds && (rinse || wash)
        })
    }

    /// Whether its water is ever changed.
    #[must_use]
    pub fn changes_water(&self) -> bool {
        self.water
            .as_ref()
            .is_some_and(|water| water.change.is_some())
    }

    /// Whether somebody has to change its water.
    #[must_use]
    pub fn by_hand(&self) -> bool {
        let change = self.water.as_ref().and_then(|water| water.change.as_ref());
        change.is_some_and(|change| change.by_hand.is_some())
    }

    /// Whether it is a hood.
    #[must_use]
    pub const fn is_hood(&self) -> bool {
        matches!(self.kind, Kind::Hood { .. })
    }

    /// Whether changing racks needs an operator.
    #[must_use]
    pub fn is_attended(&self) -> bool {
        matches!(self.kind, Kind::Hood { attended: true, .. })
    }
}

/// Tubs that the drop-off holds.
#[must_use]
pub fn drop_off_tubs(drop_off: &model::DropOff) -> Option<u32> {
    drop_off
        .tubs
        .map(|tubs| places(tubs, drop_off.tub_length_m))
}

/// Whole places of `each_m` on a length, or those counted. A hair of tolerance lets 60 in hold three
/// racks of 20 in.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // not negative, saturates
fn places(places: Places, each_m: f64) -> u32 {
    match places {
        Places::Count(count) => count,
        Places::LengthM(metres) => libm::floor(metres / each_m + 1e-6) as u32,
    }
}

/// Machines of a scenario. A rack place is as long as the longest rack kind.
#[must_use]
pub fn machines(
    scenario: &Scenario,
    places_of: &Stations,
    set_up: &[Task],
    faults: &[Fault],
) -> Vec<Machine> {
    let longest_m = scenario
        .rack
        .iter()
        .map(|rack| rack.footprint_m)
        .fold(0.0, f64::max);
    scenario
        .machine
        .iter()
        .enumerate()
        .map(|(index, machine)| {
            let how = kind(&machine.kind, scenario);
            Machine {
                name: machine.name.clone(),
                lane: places(machine.lane, longest_m),
                takes: (scenario.rack.iter())
                    .map(|rack| machine.takes(&rack.name))
                    .collect(),
                filled_at: places_of.of_machine(index),
                landing: places(machine.landing, longest_m).max(1),
                drain: Time::from_s(machine.drain_s),
                dry_after: drying::dry_after(machine, scenario),
                until_dry: (scenario.unload.as_ref())
                    .is_some_and(|unload| unload.left_until == LeftUntil::Dry),
                wash_factor: machine.wash_factor * contact_s(&machine.kind)
                    / machine.contact_time_s,
                water: Water::of(&machine.kind, headways(&how), scenario),
                kind: how,
                start: Start::of(index, set_up),
                has_faults: faults.iter().any(|fault| fault.machine == index),
                least_level: least_level(&machine.kind),
            }
        })
        .collect()
}

/// A hood has no level of its own: its tank is small and refilled by every rinse.
const fn least_level(kind: &MachineKind) -> f64 {
    match kind {
        MachineKind::RackConveyor { least_level, .. } => *least_level,
        MachineKind::Hood { .. } => 1.0,
    }
}

/// Belt time that a rack keeps the entry, by rack kind.
fn headways(kind: &Kind) -> &[Time] {
    match kind {
        Kind::Conveyor { headway, .. } => headway,
        Kind::Hood { .. } => &[],
    }
}

/// Time that a rack is washed, s.
#[must_use]
pub fn contact_s(kind: &MachineKind) -> f64 {
    match kind {
        MachineKind::RackConveyor {
            tunnel_m,
            zones,
            speed_m_per_s,
            ..
        } => conveyor::contact_s(wet_m(*tunnel_m, zones), *speed_m_per_s),
        MachineKind::Hood { cycle, .. } => cycle.mean_s,
    }
}

/// Length of tunnel in which water washes the ware, m: the wet zones, or all of it if it has none.
#[must_use]
pub fn wet_m(tunnel_m: f64, zones: &[Zone]) -> f64 {
    if zones.is_empty() {
        return tunnel_m;
    }
    let wet = zones.iter().filter(|zone| zone.kind.is_wet());
    // From 0.0: the sum of no floats is -0.0.
    wet.fold(0.0, |sum, zone| sum + zone.length_m)
}

fn kind(kind: &MachineKind, scenario: &Scenario) -> Kind {
    match kind {
        MachineKind::RackConveyor {
            tunnel_m,
            speed_m_per_s,
            idle_after_s,
            restart_s,
            ..
        } => {
            let belt = |metres: f64| Time::from_s(metres / speed_m_per_s);
            Kind::Conveyor {
                transit: belt(*tunnel_m),
                headway: scenario
                    .rack
                    .iter()
                    .map(|rack| belt(rack.footprint_m))
                    .collect(),
                idle_after: idle_after_s.map(Time::from_s),
                restart: Time::from_s(*restart_s),
            }
        }
        MachineKind::Hood {
            cycle,
            load_time_s,
            attended,
            ..
        } => Kind::Hood {
            cycle: RandomTime::of(cycle),
            change: Time::from_s(*load_time_s),
            attended: *attended,
        },
    }
}

/// Putting away.
#[derive(Debug, Clone)]
pub struct PutAway {
    /// How many at once.
    pub places: u32,
    /// A carry, besides its pieces.
    pub per_unit: RandomTime,
    /// Pieces carried at once, at most.
    pub batch: u32,
    /// Part batch when the oldest piece has waited this long.
    pub wait_at_most: Time,
}

impl PutAway {
    pub(super) fn of(put_away: &model::PutAway) -> Self {
        Self {
            places: put_away.places,
            per_unit: RandomTime::of(&put_away.per_unit),
            batch: put_away.batch.max(1),
            wait_at_most: Time::from_s(put_away.wait_at_most_s),
        }
    }
}
