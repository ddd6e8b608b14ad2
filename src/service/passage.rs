//! How a rack passes a machine, conveyor or hood: from its station into a lane, into the machine, where its pieces are
//! washed, and out to the landing.

use super::belt::Belt;
use super::common::Common;
use super::diary::Happening;
use super::events::Event;
use super::index::{MachineId, RackId};
use super::line::racks::Place;
use super::loading::Racking;
use super::machine::{Machines, Phase};
use super::supply;
use crate::room::stations::Kind;

impl Machines {
    /// Full racks on stations move into lanes while there is room: before a machine that takes one at
    /// once, or else into the shortest; of equal ones the first.
    pub(super) fn move_filled_racks(&mut self, common: &mut Common<'_>, racking: &mut Racking) {
        while let Some((at, machine)) = self.next_to_lane(common, racking) {
            let Some(rack) = racking.leaves_station(at) else {
                break;
            };
            self.enter_lane(common, racking, machine, rack);
            self.advance(common, racking, machine);
        }
        for machine in MachineId::all(self.states.len()) {
            let takes = &common.room.machines[machine];
            if takes.lane == 0 && racking.first_for(takes).is_some() {
                self.advance(common, racking, machine);
            }
        }
    }

    /// The first full rack for which a lane has room, and that lane. One that has to wait for its machine lets others
    /// pass: it stands on a station of its own.
    fn next_to_lane(&self, common: &Common<'_>, racking: &Racking) -> Option<(usize, MachineId)> {
        let mut filled = racking.filled.iter().enumerate();
        filled.find_map(|(at, &rack)| {
            let machine = self.shortest_lane(common, racking, rack)?;
            Some((at, machine))
        })
    }

    fn shortest_lane(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        rack: RackId,
    ) -> Option<MachineId> {
        let has_room = |machine: &MachineId| {
            let of = &common.room.machines[*machine];
            racking.is_for(rack, of) && self.states[*machine].racks_in_lane() < of.lane
        };
        MachineId::all(self.states.len())
            .filter(has_room)
            .min_by_key(|&machine| {
                let lane = self.states[machine].racks_in_lane();
                (!self.takes_at_once(common, machine), lane)
            })
    }

    /// Whether a rack put before a machine would enter it now.
    fn takes_at_once(&self, common: &Common<'_>, machine: MachineId) -> bool {
        let state = &self.states[machine];
        let open = state.phase == Phase::Running
            && state.lane.is_empty()
            && !self.water_change_is_ordered(machine);
        let is_free = |belt: &Belt| belt.entry_free() <= belt.time_moving(common.now);
        open && state.belt().is_none_or(is_free)
    }

    fn enter_lane(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
        rack: RackId,
    ) {
        let place = Place::Lane(machine);
        let (flow, racks) = (&mut common.flow, &mut racking.racks);
        let lane = &mut self.states[machine].lane;
        lane.join(flow, racks, rack, place, common.now);
    }

    /// Whether a rack could enter the machine now, as far as racks go.
    pub(super) fn has_next_rack(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        machine: MachineId,
    ) -> bool {
        if common.room.machines[machine].lane == 0 {
            racking.first_for(&common.room.machines[machine]).is_some()
        } else {
            !self.states[machine].lane.is_empty()
        }
    }

    /// Takes the next rack for a machine; full racks on stations move up behind it.
    pub(super) fn next_rack(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) -> Option<RackId> {
        if common.room.machines[machine].lane == 0 {
            let at = racking.first_for(&common.room.machines[machine])?;
            return racking.leaves_station(at);
        }
        let (flow, racks) = (&mut common.flow, &racking.racks);
        let rack = self.states[machine].lane.take(flow, racks, common.now)?;
        let next = racking.first_for(&common.room.machines[machine]);
        if let Some(next) = next.and_then(|at| racking.leaves_station(at)) {
            self.enter_lane(common, racking, machine, next);
        }
        Some(rack)
    }

    /// The clocks of its belt and its idle timer stop.
    pub(super) fn stop_clocks(&self, common: &mut Common<'_>, machine: MachineId) {
        common.events.unset(Event::Conveyor(machine));
        common.events.unset(Event::Idle(machine));
        common.close_tap(supply::of_change(machine));
    }

    /// Lets everything happen at a machine that can happen now.
    pub(super) fn advance(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) {
        match common.room.machines[machine].kind {
            Kind::Conveyor { .. } => self.advance_conveyor(common, racking, machine),
            Kind::Hood { .. } => self.advance_hood(common, racking, machine),
        }
    }

    /// A machine does something else from now on.
    pub(super) fn change_phase(
        &mut self,
        common: &mut Common<'_>,
        machine: MachineId,
        phase: Phase,
    ) {
        if self.states[machine].phase != phase {
            self.settle_water(common, machine);
            self.states[machine].count_time(common.now);
            self.states[machine].settle_clock(common.now);
            self.states[machine].phase = phase;
            self.plan_fault(common, machine);
            common.note(Happening::Phase { machine, phase });
        }
    }

    /// The evening is over: the books are closed, and after a finished one the pumps stop.
    pub(super) fn switch_off(&mut self, common: &mut Common<'_>, finished: bool) {
        for machine in MachineId::all(self.states.len()) {
            self.settle_water(common, machine);
            self.states[machine].count_time(common.now);
            if finished {
                self.finish_water(common, machine);
            }
            self.count_change(common, machine);
            if let Some(at) = &mut self.states[machine].water {
                at.count_wait_for_heat(common.now);
            }
            if finished && self.states[machine].phase != Phase::Off {
                self.states[machine].phase = Phase::Idle;
            }
        }
    }

    /// A rack is in the machine: its pieces are washed, and their luck is drawn.
    pub(super) fn rack_enters(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
        rack: RackId,
    ) {
        self.states[machine].count_time(common.now);
        self.states[machine].inside.push_back(rack);
        let entering = &mut racking.racks[rack];
        entering.moves(&mut common.flow, Place::Machine(machine), common.now);
        entering.entered = common.now;
        let fullness = entering.fullness();
        self.settle_water(common, machine);
        let factor = common.room.machines[machine].wash_factor
            * crate::physics::washing::loading_factor(fullness)
            * self.tank_factor(common, machine)
            * self.states[machine].harm;
        common.tally.racks_in_fault += u64::from(self.states[machine].in_fault);
        self.rack_soils_and_cools(common, racking, machine, rack);
        common.wash_rack(&racking.racks[rack].pile, factor);
        common.tally.rack_enters(common.now);
        common.note(Happening::Enters {
            machine,
            rack,
            pieces: racking.racks[rack].pile.len(),
        });
    }

    /// The first rack inside leaves to the landing.
    pub(super) fn rack_leaves(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) {
        self.states[machine].count_time(common.now);
        let Some(rack) = self.states[machine].inside.pop_front() else {
            return;
        };
        self.rinsed_rack_left(machine);
        let pieces = racking.racks[rack].pile.len();
        common.tally.last_exit = common.now;
        common.note(Happening::Leaves {
            machine,
            rack,
            pieces,
        });
        self.arrive_on_landing(common, racking, machine, rack);
    }

    /// Whether the landing has room for one more rack.
    pub(super) fn landing_has_room(&self, common: &Common<'_>, machine: MachineId) -> bool {
        self.states[machine].on_landing() < common.room.machines[machine].landing
    }
}
