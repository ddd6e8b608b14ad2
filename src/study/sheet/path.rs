//! How long a piece takes through the room if nothing queues, stage by stage, in the peak.
//!
//! Handling times are those of full batches at pace 1. Where ware waits for a fuller load (soak, rack,
//! carry) a piece waits half the time in which the load comes together at the peak's rate, and never
//! longer than half of `wait_at_most`. The last of the evening waits for nothing more to come.

use super::machines::transit_s;
use super::peak::{Load, soaked};
use crate::room::Room;
use crate::room::time::Time;
use crate::scenario::model::SoakPolicy;

/// Times through the room.
#[derive(Debug, Clone)]
pub struct Path {
    /// By ware, s: from the drop-off to the machine's entry.
    pub to_machine_s: Vec<f64>,
    /// From the drop-off into the soak, s.
    pub to_soak_s: f64,
    /// By ware, s: from the machine's entry to the end of unloading.
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
    fn waiting(room: &Room, load: &Load, waits: f64) -> Self {
        let kinds = 0..room.rack_kinds.len();
        let load_s: Vec<f64> = kinds
            .clone()
            .map(|kind| load_of(room, load, kind))
            .collect();
        let after_load_s: Vec<f64> = kinds.map(|kind| after_load(room, load, kind)).collect();
        let benches_s = benches_s(room, load);
        let soak_s = soak_s(room, load, waits);
        let store_s = store_s(room, load, waits);
        let wares = room.wares.iter();
        let to_machine = wares.clone().map(|ware| {
            let soaks = ware.soak == SoakPolicy::Always;
            let rack = ware.rack_kind;
            let racking = load_s.get(rack).map_or(0.0, |filling| {
                filling + gathering_s(room, load, rack, waits)
            });
            benches_s + if soaks { soak_s } else { 0.0 } + racking
        });
        let after = |ware: &crate::room::ware::Ware| {
            after_load_s.get(ware.rack_kind).copied().unwrap_or(0.0)
        };
        Self {
            to_machine_s: to_machine.collect(),
            to_soak_s: benches_s,
            to_unloaded_s: wares.clone().map(after).collect(),
            to_store_s: wares.map(|_| store_s).collect(),
            load_s,
            after_load_s,
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

/// Scraping and pre-rinsing a full batch.
fn benches_s(room: &Room, load: &Load) -> f64 {
    let pieces = load.washed_all();
    let a_piece = |figure: &dyn Fn(usize) -> f64| {
        if pieces > 0.0 {
            load.washed_times(figure) / pieces
        } else {
            0.0
        }
    };
    let scrape = room.scrape.as_ref().map_or(0.0, |bench| {
        bench.per_unit.mean_s + f64::from(bench.batch) * a_piece(&|w| room.wares[w].scrape_s)
    });
    let pre_rinse = room.pre_rinse.as_ref().map_or(0.0, |bench| {
        bench.per_unit.mean_s + f64::from(bench.batch) * a_piece(&|w| room.wares[w].pre_rinse_s)
    });
    scrape + pre_rinse
}

/// Waiting for a sink's load, putting in, soaking, taking out.
fn soak_s(room: &Room, load: &Load, waits: f64) -> f64 {
    let rate = soaked(room, load);
    let Some(soak) = room.soak.as_ref().filter(|_| rate > 0.0) else {
        return 0.0;
    };
    let enough = f64::from(soak.enough);
    let in_sink = enough.min((rate * soak.wait_at_most.h()).max(1.0));
    let handling = 2.0 * soak.per_unit.mean_s + in_sink * (soak.put_in_s + soak.take_out_s);
    wait_s(waits, enough, rate, soak.wait_at_most) + soak.time.s() + handling
}

/// Waiting for a rack's worth.
fn gathering_s(room: &Room, load: &Load, kind: usize, waits: f64) -> f64 {
    let rack = &room.rack_kinds[kind];
    let rate = load.racks[kind] * rack.fill;
    wait_s(waits, rack.enough, rate, rack.wait_at_most)
}

/// Sum of a figure over the pieces of a full rack of a kind.
fn a_rack(room: &Room, load: &Load, kind: usize, figure: impl Fn(usize) -> f64) -> f64 {
    let racks = load.racks[kind];
    if racks <= 0.0 {
        return 0.0;
    }
    let of_kind = |ware: usize| room.wares[ware].rack_kind == kind;
    load.washed_times(|ware| if of_kind(ware) { figure(ware) } else { 0.0 }) / racks
}

fn load_of(room: &Room, load: &Load, kind: usize) -> f64 {
    room.loading.as_ref().map_or(0.0, |loading| {
        loading.per_unit.mean_s + a_rack(room, load, kind, |ware| room.wares[ware].load_s)
    })
}

/// Machine, draining, unloading: the mean over machines, each taking racks at its rate.
fn after_load(room: &Room, load: &Load, kind: usize) -> f64 {
    let count = room.machines.len() as f64;
    if count == 0.0 {
        return 0.0;
    }
    let machines = room.machines.iter();
    let washing: f64 = machines
        .map(|machine| transit_s(machine) + machine.drain.s())
        .sum();
    let unload = room.unload.as_ref().map_or(0.0, |unload| {
        unload.per_unit.mean_s + a_rack(room, load, kind, |ware| room.wares[ware].unload_s)
    });
    washing / count + unload
}

/// Waiting for a carry's worth, and carrying it.
fn store_s(room: &Room, load: &Load, waits: f64) -> f64 {
    let pieces: f64 = load.pieces.iter().sum();
    let Some(put_away) = room.put_away.as_ref().filter(|_| pieces > 0.0) else {
        return 0.0;
    };
    let batch = f64::from(put_away.batch);
    let carried = batch.min((pieces * put_away.wait_at_most.h()).max(1.0));
    let wares = room.wares.iter().zip(&load.pieces);
    let a_piece = wares
        .map(|(ware, some)| ware.put_away_s * some)
        .sum::<f64>()
        / pieces;
    // Clean pieces come a rack at a time: the first rack's worth waits for nothing before it.
    let racks = load.racks_all();
    let at_once = if racks > 0.0 {
        load.washed_all() / racks
    } else {
        1.0
    };
    let more = (batch - at_once).max(0.0);
    wait_s(waits, more, pieces, put_away.wait_at_most)
        + put_away.per_unit.mean_s
        + carried * a_piece
}
