//! What a machine takes in an evening on the sheet: water, heat, power, detergent.
//!
//! In: when racks come and how many ([`Milestones`], [`Racks`]). Out: litres, kWh, kg. Racks come evenly;
//! nothing stands still for a full landing or a cold rinse. The heat is worked out in `heat`.

use serde::Serialize;

use super::arrivals::Arrivals;
use super::heat::{Joules, Use, joules};
use super::machines::headway_s;
use super::milestones::Milestones;
use super::peak::Load as Racks;
use crate::physics::dilution::{detergent_g, even_g_per_l};
use crate::physics::heat::WATER_KG_PER_L;
use crate::room::Room;
use crate::room::stations::{Kind, Machine};
use crate::room::water::{Change, Water};

/// Joules in a kilowatt-hour.
const KWH_J: f64 = 3.6e6;

/// What a machine takes in an evening.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Taken {
    /// Racks.
    pub racks: f64,
    /// Changes of water.
    pub changes: f64,
    /// How long pumps run, h.
    pub pumps_h: f64,
    /// Final rinse, L.
    pub rinse_l: f64,
    /// Fill, changes and rinse, L.
    pub fresh_l: f64,
    /// Detergent, kg.
    pub detergent_kg: f64,
    /// Rinse aid, L.
    pub rinse_aid_l: f64,
    /// Heat that its tanks take, if it has any.
    pub tanks: Option<TankHeat>,
    /// Heat that the booster takes, its fill included, kWh, if there is one.
    pub booster_kwh: Option<f64>,
    /// What pumps take, kWh, if that is said of any.
    pub pumps_kwh: Option<f64>,
    /// What the fans of the dryer take, kWh.
    pub dryer_kwh: Option<f64>,
}

/// Heat of the tanks in an evening, kWh: what filled them and what held them.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TankHeat {
    /// Of fill, changes and heaters: what they take.
    pub takes_kwh: f64,
    /// Of that, the fill.
    pub fill_kwh: f64,
    /// Of that, what refilled them.
    pub changes_kwh: f64,
    /// Lost to the room.
    pub lost_kwh: f64,
    /// Taken by ware and racks.
    pub ware_kwh: f64,
    /// What the rinse brought them beyond what it took along; below 0 where it came colder.
    pub rinse_kwh: f64,
}

/// How long a mean rack is under the rinse, s.
pub(super) fn under_rinse_s(water: &Water, load: &Racks) -> f64 {
    let (all, lasts) = (load.racks_all(), &water.rinse.lasts);
    if all > 0.0 {
        let kinds = lasts.iter().zip(&load.racks);
        kinds.fold(0.0, |sum, (time, racks)| sum + time.s() * racks / all)
    } else {
        lasts.first().map_or(0.0, |time| time.s())
    }
}

/// Water that fills the tanks, L.
pub(super) fn fill_l(water: &Water) -> f64 {
    let tanks = water.tanks.iter();
    // From 0.0: the sum of no floats is -0.0.
    tanks.fold(0.0, |sum, tank| sum + tank.volume_l)
}

/// How long changes of water by the clock keep racks out while there is a backlog, from one moment to another, s after the
/// start of the room's hours: in the mean over machines, for the others go on.
pub(super) fn closed_s(room: &Room, [from_s, to_s]: [f64; 2]) -> f64 {
    let of = |machine: &Machine| {
        let change = machine.water.as_ref()?.change.as_ref()?;
        let every_s = change.every.filter(|every| every.s() > 0.0)?.s();
        let turn_s = every_s + change.takes.s();
        let changes = (0..).map(|number| every_s + f64::from(number) * turn_s);
        let within = changes.take_while(|due_s| *due_s < to_s);
        Some(within.filter(|due_s| *due_s >= from_s).count() as f64 * change.takes.s())
    };
    let all = room.machines.iter().filter_map(of);
    all.fold(0.0, |sum, s| sum + s) / room.machines.len().max(1) as f64
}

/// A machine's evening.
pub(super) struct Day {
    racks: f64,
    /// Heat that a mean rack and its ware take, J/K.
    rack_j_per_k: f64,
    /// Soil that it brings, g.
    rack_soil_g: f64,
    /// Fresh water it takes while it is under the rinse, L.
    rack_l: f64,
    under_rinse_s: f64,
    /// Before the first, with racks, and after the last, s.
    stretches_s: [f64; 3],
    changes: f64,
    pumps_s: f64,
}

impl Day {
    /// Of a machine that takes such a share of the racks.
    pub(super) fn of(
        machine: &Machine,
        water: &Water,
        milestones: &Milestones,
        evening: &Racks,
        arrivals: &Arrivals,
        (closes_s, share): (f64, f64),
    ) -> Self {
        let all_racks = evening.racks_all();
        let racks = share * all_racks;
        let a_rack = |sum: f64| {
            if all_racks > 0.0 {
                sum / all_racks
            } else {
                0.0
            }
        };
        let kinds = evening.racks.iter().zip(&water.rack_j_per_k);
        let of_racks = kinds.fold(0.0, |sum, (racks, j_per_k)| sum + racks * j_per_k);
        let of_ware = evening.washed_times(|ware| water.ware_j_per_k[ware]);
        let headway_s = headway_s(machine, evening);
        let under_rinse_s = under_rinse_s(water, evening);
        let rack_l = water.rinse.flow_kg_per_s / WATER_KG_PER_L * under_rinse_s;
        let rack_soil_g = a_rack(soil_g(water, arrivals, evening));
        let wanted_s = milestones
            .racks_s(racks, headway_s)
            .min(milestones.ends_s - milestones.from_s);
        let racks_to_s = milestones.from_s + wanted_s;
        let gap_s = if racks > 0.0 { wanted_s / racks } else { 0.0 };
        let changes = water.change.as_ref().map_or([0.0; 3], |change| {
            let clock = Clock {
                from_s: milestones.from_s,
                to_s: racks_to_s,
                closes_s,
                runs_out_s: (machine.transit().s() - gap_s).max(0.0),
            };
            let by_clock = clock.changes(change);
            let by_soil = by_soil(change, racks, [rack_soil_g, rack_l], water);
            if by_soil > by_clock.iter().sum() {
                [0.0, by_soil, 0.0]
            } else {
                by_clock
            }
        });
        let takes_s = water.change.as_ref().map_or(0.0, |change| change.takes.s());
        let mut stretches_s = [
            milestones.from_s,
            wanted_s,
            milestones.ends_s - milestones.from_s - wanted_s,
        ];
        for (stretch_s, changes) in stretches_s.iter_mut().zip(changes) {
            *stretch_s = (*stretch_s - changes * takes_s).max(0.0);
        }
        let all_s: f64 = stretches_s.iter().sum();
        Self {
            racks,
            rack_j_per_k: a_rack(of_racks + of_ware),
            rack_soil_g,
            rack_l,
            under_rinse_s,
            stretches_s,
            changes: changes.iter().sum(),
            pumps_s: pumps_s(machine, racks, stretches_s[1]).map_or(all_s, |s| s.min(all_s)),
        }
    }

    /// Final rinse of the evening, L.
    fn rinse_l(&self, water: &Water) -> f64 {
        if water.rinse.always {
            self.pumps_s * water.rinse.flow_kg_per_s / WATER_KG_PER_L
        } else {
            self.racks * self.rack_l
        }
    }

    /// Soil in the first tank at its end, if there is one and racks alone bring rinse.
    pub(super) fn soil_g_per_l(&self, water: &Water) -> Option<f64> {
        let volume_l = water.tanks.last()?.volume_l;
        let comes_with_racks = !water.rinse.always && self.racks > 0.0;
        comes_with_racks.then(|| even_g_per_l(self.racks, self.rack_soil_g, self.rack_l, volume_l))
    }

    /// Rinse that runs with pumps which never stop is spread over the evening, all other over the racks.
    fn flows_kg_per_s(&self, machine: &Machine, water: &Water) -> [f64; 3] {
        if water.rinse.always && !idles(machine) {
            return [water.rinse.flow_kg_per_s; 3];
        }
        let kg = self.rinse_l(water) * WATER_KG_PER_L;
        [
            0.0,
            if self.stretches_s[1] > 0.0 {
                kg / self.stretches_s[1]
            } else {
                0.0
            },
            0.0,
        ]
    }

    pub(super) fn taken(&self, machine: &Machine, water: &Water) -> Taken {
        let used = Use {
            racks: self.racks,
            rack_j_per_k: self.rack_j_per_k,
            under_rinse_s: self.under_rinse_s,
            stretches_s: self.stretches_s,
            flows_kg_per_s: self.flows_kg_per_s(machine, water),
            changes: self.changes,
        };
        let heat = joules(water, &used);
        let rinse_l = self.rinse_l(water);
        let fresh_l = fill_l(water) * (1.0 + self.changes) + rinse_l;
        let run_kwh = |w: f64| (w > 0.0).then(|| w * self.pumps_s / KWH_J);
        Taken {
            racks: self.racks,
            changes: self.changes,
            pumps_h: self.pumps_s / 3600.0,
            rinse_l,
            fresh_l,
            detergent_kg: detergent_g(water.detergent_g_per_l, fresh_l) / 1e3,
            rinse_aid_l: water.rinse_aid_l_per_l * rinse_l,
            tanks: (!water.tanks.is_empty()).then(|| TankHeat::of(&heat)),
            booster_kwh: water.rinse.booster.map(|_| heat.booster / KWH_J),
            pumps_kwh: run_kwh(water.pumps_w),
            dryer_kwh: run_kwh(water.dryer_w),
        }
    }
}

impl TankHeat {
    fn of(heat: &Joules) -> Self {
        Self {
            takes_kwh: (heat.fill + heat.refill + heat.heaters) / KWH_J,
            fill_kwh: heat.fill / KWH_J,
            changes_kwh: heat.refill / KWH_J,
            lost_kwh: heat.lost / KWH_J,
            ware_kwh: heat.ware / KWH_J,
            rinse_kwh: heat.rinse / KWH_J,
        }
    }
}

/// Whether its pumps stop without racks.
const fn idles(machine: &Machine) -> bool {
    matches!(
        machine.kind,
        Kind::Conveyor {
            idle_after: Some(_),
            ..
        }
    )
}

/// How long pumps run that stop without racks, as those of a hood do, s; `None` where they run on. Racks come evenly: either none
/// finds the pumps stopped, or each but the first does.
fn pumps_s(machine: &Machine, racks: f64, racks_s: f64) -> Option<f64> {
    if let Kind::Hood { cycle, .. } = &machine.kind {
        return Some(racks * cycle.mean_s);
    }
    let Kind::Conveyor {
        idle_after: Some(idle_after),
        restart,
        transit,
        ..
    } = machine.kind
    else {
        return None;
    };
    if racks <= 0.0 {
        return Some(0.0);
    }
    let for_one_s = restart.s() + transit.s() + idle_after.s();
    let gap_s = racks_s / racks;
    let empty_s = gap_s - transit.s();
    Some(if empty_s > idle_after.s() {
        racks * for_one_s
    } else {
        (racks - 1.0).max(0.0) * gap_s + for_one_s
    })
}

/// When water that is changed by the clock may be changed, s after the start.
struct Clock {
    /// First rack.
    from_s: f64,
    /// End of the last one.
    to_s: f64,
    /// Closing; after it water is changed for a rack only.
    closes_s: f64,
    /// How long racks inside run out.
    runs_out_s: f64,
}

impl Clock {
    /// Changes before racks, among them and after them. The first is counted from the start of the evening.
    fn changes(&self, change: &Change) -> [f64; 3] {
        let mut changes = [0.0; 3];
        let Some(every) = change.every.filter(|every| every.s() > 0.0) else {
            return changes;
        };
        let last_s = if change.by_hand.is_some() {
            self.closes_s
        } else {
            self.closes_s.max(self.to_s)
        };
        let mut due_s = every.s();
        while due_s < last_s {
            let stretch = usize::from(due_s >= self.from_s) + usize::from(due_s >= self.to_s);
            changes[stretch] += 1.0;
            let runs_out_s = if stretch == 1 { self.runs_out_s } else { 0.0 };
            due_s += runs_out_s + change.takes.s() + every.s();
        }
        changes
    }
}

/// Changes of water of an evening by the soil of racks that bring so much. Each is ordered when the soil of a rack has gone
/// in, which comes at once: s/V (1 - q^n)/(1 - q) after n racks, of which q is what the rinse of one leaves.
fn by_soil(change: &Change, racks: f64, [soil_g, rack_l]: [f64; 2], water: &Water) -> f64 {
    let (Some(limit), Some(tank)) = (change.at_soil_g_per_l, water.tanks.last()) else {
        return 0.0;
    };
    if racks <= 0.0 || soil_g <= 0.0 {
        return 0.0;
    }
    let clean_racks = limit * tank.volume_l / soil_g;
    let goes = -libm::expm1(-rack_l / tank.volume_l);
    let share = clean_racks * goes;
    if share >= 1.0 {
        return 0.0;
    }
    let fills = if goes > 0.0 {
        -tank.volume_l / rack_l * libm::log1p(-share)
    } else {
        clean_racks
    };
    libm::floor(racks / libm::ceil(fills))
}

/// Soil that all ware of the evening brings into the machine, g.
fn soil_g(water: &Water, arrivals: &Arrivals, evening: &Racks) -> f64 {
    let of_kind = |(&(ware, soil), bins): (&(usize, usize), &Vec<f64>)| {
        if !evening.to_machines[ware] {
            return 0.0;
        }
        bins.iter().sum::<f64>() * water.soil_g[soil]
    };
    arrivals.by_kind.iter().map(of_kind).sum()
}
