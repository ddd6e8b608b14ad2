//! How long a piece takes through the room if nothing queues, stage by stage, in the peak.
//!
//! Handling times are those of full batches at pace 1. Where ware waits for a fuller load (soak, rack,
//! carry) a piece waits half the time in which the load comes together at the peak's rate, and never
//! longer than half of `wait_at_most`. The last of the evening waits for nothing more to come.

use super::machines::transit_s;
use super::means::{coming_all, piece_s, rack_of_kind_s, units_s};
use super::peak::Load;
use super::stages::on_the_way;
use crate::room::Room;
use crate::room::time::Time;
use crate::room::ware::Ware;
use crate::scenario::model::SoakPolicy;
use crate::service::work::{Comes, Full, Places, Work};

/// Times through the room.
#[derive(Debug, Clone)]
pub struct Path {
    /// On the tables, until the crew has a tub's worth, s.
    pub on_tables_s: f64,
    /// By ware, s: from the drop-off to the machine's entry, or to the scrubbing at the pot sink.
    pub to_machine_s: Vec<f64>,
    /// From the drop-off into the soak, s.
    pub to_soak_s: f64,
    /// By ware, s: from there to the end of unloading, or until it is dry on the drainboard.
    pub to_unloaded_s: Vec<f64>,
    /// By ware, s: from the end of unloading to the store.
    pub to_store_s: Vec<f64>,
    /// By rack kind, s: filling.
    load_s: Vec<f64>,
    /// By rack kind, s: machine, draining, unloading.
    after_load_s: Vec<f64>,
}

impl Path {
    /// In the peak.
    #[must_use]
    pub fn of(room: &Room, load: &Load) -> Self {
        Self::waiting(room, load, 0.5)
    }

    /// Of ware that nothing more comes behind: it never waits for a fuller load.
    #[must_use]
    pub fn of_the_last(room: &Room, load: &Load) -> Self {
        Self::waiting(room, load, 0.0)
    }

    /// Where a piece waits so much of the time in which a load comes together.
    #[must_use]
    pub fn waiting(room: &Room, load: &Load, waits: f64) -> Self {
        let stages = Stages::of(room, load, waits);
        let wares = room.wares.iter();
        let to_machine = wares.clone().map(|ware| {
            let soaks = ware.soak == SoakPolicy::Always;
            let soak_s = if soaks { stages.soak_s } else { 0.0 };
            if ware.at_pot_sink {
                return stages.before_pots_s + soak_s;
            }
            let rack = ware.rack_kind;
            let racking = stages.load_s.get(rack).map_or(0.0, |filling| {
                filling + gathering_s(room, load, rack, waits)
            });
            if ware.is_sorted {
                return racking;
            }
            stages.benches_s + soak_s + racking
        });
        let after = |(index, ware): (usize, &Ware)| {
            if ware.at_pot_sink {
                return stages.pots_s + left_in_sink_s(room, index);
            }
            let after_s = stages.after_load_s.get(ware.rack_kind);
            after_s.copied().unwrap_or(0.0)
        };
        Self {
            on_tables_s: stages.tables_s,
            to_machine_s: to_machine.collect(),
            to_soak_s: stages.benches_s,
            to_unloaded_s: wares.clone().enumerate().map(after).collect(),
            to_store_s: wares.map(|_| stages.store_s).collect(),
            load_s: stages.load_s,
            after_load_s: stages.after_load_s,
        }
    }

    /// From the drop-off to the store, s, for a piece of a ware that is washed that often.
    #[must_use]
    pub fn through_s(&self, ware: usize, passes: f64) -> f64 {
        (self.to_machine_s[ware] + self.to_unloaded_s[ware]) * passes + self.to_store_s[ware]
    }

    /// How long a rack of a kind is away from its stack, s.
    #[must_use]
    pub fn rack_away_s(&self, kind: usize) -> f64 {
        self.load_s[kind] + self.after_load_s[kind]
    }
}

/// Part of the time in which `wanted` comes together at `rate_per_h`, at most that part of `wait_at_most`.
fn wait_s(part: f64, wanted: f64, rate_per_h: f64, wait_at_most: Time) -> f64 {
    if rate_per_h <= 0.0 {
        return 0.0;
    }
    part * (3600.0 * wanted / rate_per_h).min(wait_at_most.s())
}

/// Times of the stages that ware passes, s, added up over the stations of each.
struct Stages {
    /// On the tables: the wait alone.
    tables_s: f64,
    /// From the drop-off on, until it is soaked or racked.
    benches_s: f64,
    /// The same of what goes to the pot sink.
    before_pots_s: f64,
    soak_s: f64,
    /// At the pot sink, until a piece is clean.
    pots_s: f64,
    /// By rack kind: filling.
    load_s: Vec<f64>,
    /// By rack kind: machine, draining, unloading.
    after_load_s: Vec<f64>,
    store_s: f64,
}

impl Stages {
    fn of(room: &Room, load: &Load, waits: f64) -> Self {
        let kinds = room.rack_kinds.len();
        let mut stages = Self {
            tables_s: 0.0,
            benches_s: 0.0,
            before_pots_s: 0.0,
            soak_s: 0.0,
            pots_s: 0.0,
            load_s: vec![0.0; kinds],
            after_load_s: (0..kinds).map(|kind| machines_s(room, kind)).collect(),
            store_s: 0.0,
        };
        for (_, work) in on_the_way(room) {
            let batch_s = || batch_s(room, load, work, waits);
            match (work.comes, work.full) {
                (Comes::Soiled, Full::Rack) => add_racks(&mut stages.load_s, room, load, work),
                (Comes::Soiled, _) => {
                    stages.benches_s += batch_s();
                    let pots = room.wares.iter().filter(|ware| ware.at_pot_sink);
                    if pots.into_iter().any(work.takes) {
                        stages.before_pots_s += batch_s();
                    }
                }
                (Comes::ToPotSink, _) => stages.pots_s += batch_s(),
                (Comes::ToSoak, _) => stages.soak_s += batch_s(),
                (Comes::Washed, _) => add_racks(&mut stages.after_load_s, room, load, work),
                (Comes::Clean, _) => stages.store_s += batch_s(),
                (Comes::FromTables, _) => stages.tables_s += gathers_s(room, load, work, waits),
                // Within the machine's own time; no ware.
                (Comes::AtMachines(_), _) => {}
                (Comes::Tasks | Comes::Troubles, _) => {}
            }
        }
        stages
    }
}

/// Waiting for a load, and what is done with it, s; what nothing comes to takes no time.
fn batch_s(room: &Room, load: &Load, work: &Work, waits: f64) -> f64 {
    let full = f64::from(work.full.pieces(room));
    let (units_s, piece_s) = (units_s(room, work), piece_s(room, load, work));
    let Some(part) = (work.part_full)(room) else {
        return units_s + full * piece_s;
    };
    let rate = coming_all(room, load, work);
    if rate <= 0.0 {
        return 0.0;
    }
    let enough = f64::from(part.enough);
    let taken = enough.min((rate * part.wait_at_most.h()).max(1.0));
    let more = (enough - at_once(load, work.comes)).max(0.0);
    let wait = wait_s(waits, more, rate, part.wait_at_most);
    match work.places {
        Places::Sinks(_, time) => wait + time(room).s() + (units_s + taken * piece_s),
        _ => wait + units_s + taken * piece_s,
    }
}

/// Waiting for a load, s.
fn gathers_s(room: &Room, load: &Load, work: &Work, waits: f64) -> f64 {
    let part = (work.part_full)(room);
    part.map_or(0.0, |part| {
        let rate = coming_all(room, load, work);
        wait_s(waits, f64::from(part.enough), rate, part.wait_at_most)
    })
}

/// Pieces that come together: clean ones a rack at a time, so that the first rack's worth waits for nothing before it.
fn at_once(load: &Load, comes: Comes) -> f64 {
    let racks = load.racks_all();
    match comes {
        Comes::Clean if racks > 0.0 => load.washed_all() / racks,
        Comes::Clean => 1.0,
        _ => 0.0,
    }
}

/// In the sanitising compartment and on the drainboard, until a piece is dry, s.
fn left_in_sink_s(room: &Room, ware: usize) -> f64 {
    let sink = room.pot_sink.as_ref();
    sink.map_or(0.0, |sink| (sink.contact + sink.dry_after[ware]).s())
}

fn add_racks(to: &mut [f64], room: &Room, load: &Load, work: &Work) {
    for (kind, sum) in to.iter_mut().enumerate() {
        *sum += rack_of_kind_s(room, load, work, kind);
    }
}

/// Machine and landing, of a rack kind: the mean over machines, each taking racks at its rate.
fn machines_s(room: &Room, kind: usize) -> f64 {
    let count = room.machines.len() as f64;
    if count == 0.0 {
        return 0.0;
    }
    let machines = room.machines.iter();
    let washing: f64 = machines
        .map(|machine| transit_s(machine) + machine.rack_left_for(&room.wares, kind).s())
        .sum();
    washing / count
}

/// Waiting for a rack's worth.
fn gathering_s(room: &Room, load: &Load, kind: usize, waits: f64) -> f64 {
    let rack = &room.rack_kinds[kind];
    let rate = load.full_racks[kind] * rack.fill;
    wait_s(waits, rack.enough, rate, rack.wait_at_most)
}
