//! How often ware is washed when its soil has dried on its way from the table, through the room if nothing queues, and
//! for the mean wait of the backlog.

use super::arrivals::Pulse;
use super::passes::Passes;
use super::path::Path;
use super::peak::Load;
use crate::room::Room;
use crate::scenario::model::SoakPolicy;

/// Waits that stand for all.
const WAITS: usize = 4;

/// Passes of soil that has been on its way through the room with its waits, and in a backlog so long besides, on
/// average, s. Of what waits, each moment up to twice the mean is as likely.
#[must_use]
pub fn passes(room: &Room, pulses: &[Pulse], load: &Load, waits_s: f64) -> Passes {
    let parts = (0..WAITS).map(|part| (part as f64 + 0.5) / WAITS as f64);
    let each: Vec<Passes> = parts
        .map(|part| {
            let path = Path::waiting(room, load, part);
            Passes::aged(room, |ware, soil| {
                let before_s =
                    soiled_s(pulses, ware, soil, path.on_tables_s) + 2.0 * part * waits_s;
                let soak_s = room.soak.as_ref().map_or(0.0, |soak| soak.time.s());
                let to_machine_s = path.to_machine_s[ware];
                if soaks(room, ware) {
                    let after_s = to_machine_s - path.to_soak_s - soak_s;
                    [before_s + path.to_soak_s, after_s.max(0.0)]
                } else {
                    [before_s + to_machine_s, 0.0]
                }
            })
        })
        .collect();
    Passes::mean(&each)
}

/// From where it was soiled to the drop-off, on average, s.
fn soiled_s(pulses: &[Pulse], ware: usize, soil: usize, on_tables_s: f64) -> f64 {
    let these = pulses
        .iter()
        .filter(|pulse| (pulse.ware, pulse.soil) == (ware, soil));
    let (pieces, sum_s) = these.fold((0.0, 0.0), |(pieces, sum_s), pulse| {
        let stood_s = pulse.out_s.map_or(0.0, |_| on_tables_s);
        (
            pieces + pulse.pieces,
            sum_s + pulse.pieces * (stood_s + pulse.soiled_s),
        )
    });
    if pieces > 0.0 { sum_s / pieces } else { 0.0 }
}

fn soaks(room: &Room, ware: usize) -> bool {
    room.soak.is_some() && room.wares[ware].soak == SoakPolicy::Always
}
