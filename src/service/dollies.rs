//! Washed racks that are parked on dollies, off their landings, until somebody unloads them.
//!
//! Whoever unloads moves a rack when its landing is as full as was said and another is in the machine: that takes
//! seconds, and keeps the belt moving. Only what guests wait for is more urgent. The rack at the end of the landing goes,
//! which came first. **The landing is unloaded before the dollies**: there each rack that goes makes room for the
//! machine, and what is parked can wait for a lull. Parked racks go on draining and drying, and stay in use until they
//! are unloaded.

use super::common::Common;
use super::diary::Happening;
use super::index::{MachineId, RackId};
use super::job::{Job, Thing};
use super::line::racks::Place;
use super::loading::Racking;
use super::machine::{Machines, Phase};
use crate::room::own::Whose;
use crate::room::plan::Spot;

impl Machines {
    /// The rack to move to a dolly now, and its machine: of the landings that are full enough, that whose first rack has
    /// stood longest.
    pub(super) fn to_park(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        whose: Whose<'_>,
    ) -> Option<(MachineId, RackId)> {
        let dollies = common.room.dollies.as_ref()?;
        if self.dollies.taken() >= dollies.places {
            return None;
        }
        let of = |machine: MachineId| {
            let (state, landing) = (&self.states[machine], common.room.machines[machine].landing);
            let enough = dollies.once_on_landing.unwrap_or(landing).min(landing);
            if state.on_landing() < enough || state.inside.is_empty() {
                return None;
            }
            let mut racks = state.landing.iter();
            let first = racks.find(|rack| dollies.take[racking.racks[*rack].kind])?;
            Some((machine, first))
        };
        let machines = MachineId::all(self.states.len());
        machines
            .filter(|machine| whose.has_machine(machine.at()))
            .filter_map(of)
            .min_by_key(|(_, rack)| racking.racks[*rack].joined)
    }

    /// Somebody takes hold of a rack on its landing, to park it. Its place is free when it has gone.
    pub(super) fn take_to_park(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
        rack: RackId,
    ) -> Job {
        let (flow, racks) = (&mut common.flow, &mut racking.racks);
        let landing = &mut self.states[machine].landing;
        if landing.take_out(flow, racks, rack, common.now).is_none() {
            return Job::default();
        }
        racks[rack].moves(flow, Place::Moving(machine), common.now);
        self.states[machine].landing_taken += 1;
        self.dollies.kept += 1;
        self.time_drain(common, racking, machine);
        Job {
            thing: Thing::ToDolly(rack),
            spot: Some(Spot::of_landing(machine.at())),
            ..Job::default()
        }
    }

    /// A rack stands on its dolly.
    pub(super) fn parked(&mut self, common: &mut Common<'_>, racking: &mut Racking, rack: RackId) {
        let Place::Moving(machine) = racking.racks[rack].place else {
            return;
        };
        let place = Place::Parked(machine);
        let (flow, racks) = (&mut common.flow, &mut racking.racks);
        self.dollies.kept -= 1;
        let line = &mut self.dollies.racks;
        line.join(flow, racks, rack, place, common.now);
        let pieces = racks[rack].pile.len();
        common.note(Happening::Parked { rack, pieces });
        self.time_drain(common, racking, machine);
        self.states[machine].landing_taken -= 1;
        self.landing_has_gone(common, racking, machine);
    }

    /// A rack has gone from a landing: room there matters only to a machine that stands for want of it.
    pub(super) fn landing_has_gone(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) {
        if self.states[machine].phase == Phase::Stopped {
            self.advance(common, racking, machine);
        }
    }

    /// The parked rack to unload next, and its machine: of those that are ready the one that was parked first.
    pub(super) fn parked_ready(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        whose: Whose<'_>,
    ) -> Option<(MachineId, RackId)> {
        let mut racks = self.dollies.racks.iter();
        racks.find_map(|rack| {
            let of = &racking.racks[rack];
            match of.place {
                Place::Parked(machine) => {
                    let is_ready = of.ready <= common.now && whose.has_machine(machine.at());
                    is_ready.then_some((machine, rack))
                }
                _ => None,
            }
        })
    }
}
