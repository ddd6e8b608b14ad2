//! The work of the peak at machines with a crew of their own: whoever looks after others does none of it.
//!
//! Racks of a kind that several machines take are shared by what these are rated for, as in [`super::machines`].

use super::means::{coming, rack_of_kind_s, units_s};
use super::peak::Load;
use crate::room::Room;
use crate::room::crew::Operator;
use crate::scenario::model::Duty;
use crate::service::stations;
use crate::service::work::{Comes, Full};

/// With more parts than this the work is not divided: every set of them is tried.
const MOST_PARTS: usize = 12;

/// Work of a duty in an hour: all of it, or that at some machines.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Part {
    pub duty: Duty,
    pub hours: f64,
    /// The machines, if it is done at these alone.
    pub machines: Option<Vec<usize>>,
}

impl Part {
    /// Whether somebody does it.
    pub fn is_of(&self, operator: &Operator) -> bool {
        let whose = operator.whose();
        let mut machines = self.machines.iter().flatten();
        let holds = operator.duty_bits & self.duty.bit() != 0;
        holds && machines.all(|&machine| whose.has_machine(machine))
    }

    /// The duty, and where it is done if not everywhere.
    pub fn label(&self, room: &Room) -> String {
        let Some(machines) = &self.machines else {
            return self.duty.name().to_owned();
        };
        let names: Vec<&str> = machines
            .iter()
            .map(|&machine| room.machines[machine].name.as_str())
            .collect();
        format!("{} at {}", self.duty.name(), names.join(", "))
    }
}

/// The work of some duties, divided by the machines that people look after.
pub(super) fn parts(room: &Room, load: &Load, needed: &[(Duty, f64)]) -> Vec<Part> {
    let whole = |(duty, hours): &(Duty, f64)| Part {
        duty: *duty,
        hours: *hours,
        machines: None,
    };
    let undivided: Vec<Part> = needed.iter().map(whole).collect();
    let groups = groups(room);
    if groups.len() < 2 {
        return undivided;
    }
    let mut all = Vec::new();
    for part in &undivided {
        if Duty::AT_MACHINES & part.duty.bit() == 0 {
            all.push(part.clone());
            continue;
        }
        let by_machine = by_machine(room, load, part.duty);
        let sum: f64 = by_machine.iter().sum();
        for group in &groups {
            let own: f64 = group.iter().map(|&machine| by_machine[machine]).sum();
            if own > 0.0 {
                all.push(Part {
                    hours: part.hours * own / sum,
                    machines: Some(group.clone()),
                    ..*part
                });
            }
        }
    }
    if all.len() > MOST_PARTS {
        undivided
    } else {
        all
    }
}

/// Machines that the same people look after.
fn groups(room: &Room) -> Vec<Vec<usize>> {
    let mut groups: Vec<(Vec<bool>, Vec<usize>)> = Vec::new();
    for machine in 0..room.machines.len() {
        let crew = room.crew.iter();
        let who: Vec<bool> = crew.map(|one| one.whose().has_machine(machine)).collect();
        match groups.iter_mut().find(|(known, _)| *known == who) {
            Some((_, group)) => group.push(machine),
            None => groups.push((who, vec![machine])),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

/// What of a duty is done at each machine, in any unit.
fn by_machine(room: &Room, load: &Load, duty: Duty) -> Vec<f64> {
    let work = stations::work(duty);
    let shares = rack_shares(room);
    let mut found = vec![0.0; room.machines.len()];
    for (kind, racks) in load
        .racks
        .iter()
        .enumerate()
        .filter(|(_, racks)| **racks > 0.0)
    {
        let unit_s = units_s(room, work);
        let handled_s = racks * (rack_of_kind_s(room, load, work, kind) - unit_s);
        let pieces = coming(room, load, work);
        let pieces = pieces.iter().zip(&room.wares);
        let pieces: f64 = pieces
            .filter(|(_, ware)| ware.rack_kind == kind)
            .map(|(some, _)| *some)
            .sum();
        let units = match work.full {
            Full::Pieces(_) => pieces / f64::from(work.full.pieces(room)),
            Full::Rack | Full::Trip(_) | Full::One => *racks,
        };
        for (machine, share) in shares[kind].iter().enumerate() {
            found[machine] += share
                * match work.comes {
                    Comes::AtMachines(by_hand) => {
                        racks * by_hand(&room.machines[machine]).map_or(0.0, |time| time.s())
                    }
                    _ => handled_s + units * unit_s,
                };
        }
    }
    found
}

/// The share of the racks of each kind that each machine takes.
fn rack_shares(room: &Room) -> Vec<Vec<f64>> {
    let of_kind = |kind: usize| {
        let machines = room.machines.iter();
        let rated: Vec<f64> = machines
            .map(|machine| {
                if machine.takes[kind] {
                    machine.rated_racks_per_hour()
                } else {
                    0.0
                }
            })
            .collect();
        let all: f64 = rated.iter().sum();
        rated
            .into_iter()
            .map(|own| if all > 0.0 { own / all } else { 0.0 })
            .collect()
    };
    (0..room.rack_kinds.len()).map(of_kind).collect()
}
