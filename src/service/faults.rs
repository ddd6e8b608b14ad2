//! What goes wrong with the machines: it strikes, is noticed, does harm until it is mended.
//!
//! One mechanism for all faults. Each has a clock of running hours (belt moving, hood washing): a machine that stands
//! does not wear. Or it strikes once, at its time of day, whatever the machine does then.
//!
//! A fault that lasts a given time passes by itself. Any other is noticed by whatever comes first of an alarm, an
//! operator with the duty `tend` who looks for it so often (see `look`), dirty ware in a rack that was washed after it
//! struck, and a belt or a cycle that is held for the heat that it took. Then it waits for an operator with the duty `tend`, faults that stop a machine first. What the crew cannot mend
//! is mended by somebody from outside, whom it calls.
//!
//! What several faults do at once multiplies; of low levels the lowest counts. A belt stands with all racks inside, a
//! hood stands in its cycle. A machine that is off, has its water changed or its racks stands for the fault afterwards.

use super::Service;
use super::common::Common;
use super::diary::Happening;
use super::events::Event;
use super::index::{FaultId, MachineId};
use super::job::{Job, Next, Thing};
use super::line::Calls;
use super::loading::Racking;
use super::machine::{FaultState, Harm, Machines, Phase};
use super::streams::Purpose;
use super::tanks::WaterState;
use crate::room::faults::When;
use crate::room::own::Whose;
use crate::room::plan::Spot;
use crate::room::time::Time;
use crate::scenario::model::Duty;

/// Marks the part of the stream of a mending that is for somebody from outside.
const OUTSIDE: u64 = 1 << 32;

/// Work with the duty `tend`.
#[derive(Clone, Copy)]
enum Tending {
    Mend(FaultId),
    ChangeWater(MachineId),
    Look(FaultId),
}

impl Machines {
    /// All faults at the start of a replication.
    pub(super) fn begin_faults(&mut self, common: &mut Common<'_>) {
        self.faults.clear();
        self.faults
            .resize(common.room.faults.len(), FaultState::default());
        for fault in FaultId::all(self.faults.len()) {
            self.faults[fault].due = self.due_after(common, fault, Time::ZERO);
        }
        for machine in MachineId::all(self.states.len()) {
            self.plan_fault(common, machine);
        }
        self.begin_looks(common);
    }

    /// Faults of a time of day go into the timetable.
    pub(super) fn plan_faults_at(&self, common: &mut Common<'_>) {
        for fault in FaultId::all(common.room.faults.len()) {
            if let When::At(at) = common.room.faults[fault].when {
                common.events.plan(at, Event::FaultAt(fault));
            }
        }
    }

    /// Reading of the clock of running hours at which a fault strikes next: never, if it strikes at a time of day.
    fn due_after(&self, common: &Common<'_>, fault: FaultId, worn: Time) -> Time {
        let of = &common.room.faults[fault];
        let When::Every(every) = &of.when else {
            return Time::NEVER;
        };
        let number = u64::from(self.faults[fault].strikes);
        let mut stream = common.streams.stream(Purpose::Fault, of.key, number);
        worn + every.draw(&mut stream)
    }

    /// Plans the next fault of a machine, if its clock runs and one strikes before the evening ends.
    pub(super) fn plan_fault(&self, common: &mut Common<'_>, machine: MachineId) {
        if !common.room.machines[machine].has_faults {
            return;
        }
        let clock = Event::Fault(machine);
        let state = &self.states[machine];
        if !state.clock_runs() {
            return common.events.unset(clock);
        }
        let of_machine = common.room.faults.iter().zip(&self.faults);
        let coming =
            of_machine.filter(|(fault, at)| fault.machine == machine.at() && at.struck.is_none());
        let next = coming.map(|(_, at)| at.due).reduce(Time::min_of);
        let Some(next) = next.filter(|next| *next != Time::NEVER) else {
            return common.events.unset(clock);
        };
        let at = common.now + (next - state.worn).max(Time::ZERO);
        if at <= common.room.hours.limit {
            common.events.set(at, clock);
        } else {
            common.events.unset(clock);
        }
    }

    /// A fault strikes.
    pub(super) fn fault_due(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) {
        self.states[machine].settle_clock(common.now);
        let worn = self.states[machine].worn;
        for fault in FaultId::all(self.faults.len()) {
            let at = &self.faults[fault];
            let is_due = common.room.faults[fault].machine == machine.at() && at.due <= worn;
            if is_due && at.struck.is_none() {
                self.strike(common, fault);
            }
        }
        self.harm_changes(common, racking, machine);
        self.plan_fault(common, machine);
    }

    /// A fault strikes at its time of day.
    pub(super) fn fault_at(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        fault: FaultId,
    ) {
        let machine = MachineId::new(common.room.faults[fault].machine);
        self.strike(common, fault);
        self.harm_changes(common, racking, machine);
    }

    fn strike(&mut self, common: &mut Common<'_>, fault: FaultId) {
        let at = &mut self.faults[fault];
        at.strikes += 1;
        at.struck = Some(common.now);
        common.tally.faults += 1;
        if let Some(lasts) = common.room.faults[fault].lasts {
            common.events.set(common.now + lasts, Event::Passes(fault));
        }
        if let Some(after) = common.room.faults[fault].alarm_after {
            common.events.set(common.now + after, Event::Noticed(fault));
        }
        self.looks_from_now(common, fault);
        common.note(Happening::Strikes { fault });
    }

    /// Somebody learns of a fault, unless it is known or mended already. Nobody looks for it any more.
    pub(super) fn notice(&mut self, common: &mut Common<'_>, fault: FaultId) {
        let at = &mut self.faults[fault];
        if at.struck.is_none() || at.noticed.is_some() {
            return;
        }
        at.noticed = Some(common.now);
        common.events.unset(Event::Noticed(fault));
        self.looks_no_more(common, fault);
        Calls(Duty::Tend).join(&mut common.flow, 1, common.now);
        common.note(Happening::Noticed { fault });
    }

    /// So many pieces of a rack were sent back that was washed here, from that moment on.
    pub(super) fn notice_by_dirt(
        &mut self,
        common: &mut Common<'_>,
        machine: MachineId,
        caught: u32,
        entered: Time,
    ) {
        if !common.room.machines[machine].has_faults {
            return;
        }
        for fault in FaultId::all(self.faults.len()) {
            let of = &common.room.faults[fault];
            let shows = of.machine == machine.at() && of.dirty_in_rack.is_some_and(|n| caught >= n);
            let struck = self.faults[fault].struck;
            if shows && struck.is_some_and(|struck| struck <= entered) {
                self.notice(common, fault);
            }
        }
    }

    /// Whether a fault, or the mending of one, keeps a machine standing.
    pub(super) fn is_down(&self, common: &Common<'_>, machine: MachineId) -> bool {
        common.room.machines[machine].has_faults
            && common
                .room
                .faults
                .iter()
                .zip(&self.faults)
                .any(|(fault, at)| {
                    let effect = fault.effect;
                    let stands = effect.stops || effect.mend_stops && at.mending;
                    fault.machine == machine.at() && at.struck.is_some() && stands
                })
    }

    /// What the faults of a machine do to it from now on.
    fn harm_changes(&mut self, common: &mut Common<'_>, racking: &mut Racking, machine: MachineId) {
        self.settle_water(common, machine);
        let mut harm = Harm::default();
        for (fault, at) in common.room.faults.iter().zip(&self.faults) {
            if fault.machine == machine.at() && at.struck.is_some() {
                harm.wash *= fault.effect.wash;
                harm.detergent *= fault.effect.detergent;
                harm.heat *= fault.effect.heat;
                harm.level = harm.level.min(fault.effect.level);
            }
        }
        let least = common.room.machines[machine].least_level;
        if harm.level < least {
            harm.wash *= harm.level / least;
        }
        self.states[machine].harm = harm.wash;
        self.states[machine].in_fault = harm.wash < 1.0 || harm.heat < 1.0;
        self.harm_water(common, machine, harm, least);
        if self.is_down(common, machine) {
            self.stand(common, machine);
        } else {
            self.stand_no_more(common, racking, machine);
        }
    }

    /// A machine that has been set up or filled stands at once if a fault has struck meanwhile. Whether it does.
    pub(super) fn stands_at_once(&mut self, common: &mut Common<'_>, machine: MachineId) -> bool {
        let is_down = self.is_down(common, machine);
        if is_down {
            self.stand(common, machine);
        }
        is_down
    }

    /// A fault keeps the machine standing from now on.
    fn stand(&mut self, common: &mut Common<'_>, machine: MachineId) {
        let phase = self.states[machine].phase;
        let stays = match phase {
            // Its water is changed to the end.
            Phase::Down | Phase::Off | Phase::Refilling => true,
            Phase::Running | Phase::Washing => false,
            // Who changes racks finishes.
            _ => common.room.machines[machine].is_hood(),
        };
        if stays {
            return;
        }
        self.states[machine].settle_belt(common.now);
        self.change_phase(common, machine, Phase::Down);
        if phase == Phase::Washing {
            self.stop_cycle(common, machine);
        }
        self.stop_clocks(common, machine);
    }

    /// Nothing keeps it standing any more.
    fn stand_no_more(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) {
        self.hold_again(common, racking, machine);
        if self.states[machine].phase != Phase::Down || self.resume_cycle(common, machine) {
            return;
        }
        self.states[machine].settle_belt(common.now);
        let empty = self.states[machine].inside.is_empty();
        let rests = empty && common.room.machines[machine].idles();
        let rinses = self.has_rack_under_rinse(machine);
        let phase = if rests && !rinses {
            Phase::Idle
        } else {
            Phase::Running
        };
        self.change_phase(common, machine, phase);
        if rests && rinses {
            self.set_idle_timer(common, machine);
        }
        self.advance(common, racking, machine);
    }

    /// A belt or a cycle that is held has more or less heat than before: how long is worked out again.
    pub(super) fn hold_again(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) {
        self.hood_rinses_again(common, machine);
        if self.states[machine].phase == Phase::Held {
            self.states[machine].settle_belt(common.now);
            self.change_phase(common, machine, Phase::Running);
            self.stop_clocks(common, machine);
            self.advance(common, racking, machine);
        }
    }

    /// What there is to tend: faults that stop a machine, then other faults, then changes of water.
    fn next_to_tend(&self, common: &Common<'_>, whose: Whose<'_>) -> Option<Tending> {
        let is_own = |fault: FaultId| whose.has_machine(common.room.faults[fault].machine);
        let waits = |fault: &FaultId| {
            let machine = MachineId::new(common.room.faults[*fault].machine);
            let phase = self.states[machine].phase;
            // Nobody opens a machine that is being filled, washes or has its racks changed; one that is
            // off can wait until tomorrow.
            let opens = !matches!(
                phase,
                Phase::Refilling | Phase::Washing | Phase::Changing | Phase::Off
            );
            self.faults[*fault].waits() && opens && is_own(*fault)
        };
        let stops = |fault: &FaultId| !common.room.faults[*fault].effect.stops;
        let fault = FaultId::all(self.faults.len())
            .filter(waits)
            .min_by_key(stops);
        let has_water = |machine: MachineId| {
            let water = self.states[machine].water.as_ref();
            let open = common.now < common.room.hours.closes;
            let asks = open && water.is_some_and(WaterState::is_full);
            asks && self.asks_for_water(machine) && whose.has_machine(machine.at())
        };
        let change = || MachineId::all(self.states.len()).find(|&machine| has_water(machine));
        fault
            .map(Tending::Mend)
            .or_else(|| change().map(Tending::ChangeWater))
            .or_else(|| self.next_look(is_own).map(Tending::Look))
    }

    /// Whether there is nothing to tend but looks.
    pub(super) fn only_looks_wait(&self, common: &Common<'_>) -> bool {
        let next = self.next_to_tend(common, Whose::ANYBODY);
        matches!(next, Some(Tending::Look(_)))
    }

    pub(super) fn next_trouble(&self, common: &Common<'_>, whose: Whose<'_>) -> Next {
        let machine = match self.next_to_tend(common, whose) {
            None => return Next::Nothing,
            Some(Tending::Mend(fault) | Tending::Look(fault)) => {
                MachineId::new(common.room.faults[fault].machine)
            }
            Some(Tending::ChangeWater(machine)) => machine,
        };
        Next::ReadyAt(Spot::of_landing(machine.at()))
    }

    /// Takes it up.
    pub(super) fn take_to_tend(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        whose: Whose<'_>,
    ) -> Job {
        let Some(next) = self.next_to_tend(common, whose) else {
            return Job::default();
        };
        match next {
            Tending::Mend(fault) => self.take_to_mend(common, racking, fault),
            Tending::Look(fault) => self.take_to_look(common, fault),
            Tending::ChangeWater(machine) => {
                let (more_s, asked) = self.take_to_change_water(common, machine);
                Calls(Duty::Tend).take(&mut common.flow, asked, common.now);
                let spot = Spot::of_landing(machine.at());
                Job {
                    thing: Thing::Machine(machine),
                    more_s,
                    spot: Some(spot),
                    ..Job::default()
                }
            }
        }
    }

    fn take_to_mend(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        fault: FaultId,
    ) -> Job {
        let of = &common.room.faults[fault];
        let at = &mut self.faults[fault];
        at.mending = true;
        let noticed = at.noticed.unwrap_or(common.now);
        let number = u64::from(at.strikes);
        let mut stream = common.streams.stream(Purpose::Mend, of.key, number);
        let more_s = of.mend.draw(&mut stream).s();
        Calls(Duty::Tend).take(&mut common.flow, noticed, common.now);
        self.harm_changes(common, racking, MachineId::new(of.machine));
        Job {
            thing: Thing::Fault(fault),
            more_s,
            spot: Some(Spot::of_landing(of.machine)),
            ..Job::default()
        }
    }

    /// A fault is mended, or the hands of a change of water are done.
    pub(super) fn tended(&mut self, common: &mut Common<'_>, racking: &mut Racking, job: &Job) {
        match job.thing {
            Thing::Machine(machine) => self.order_water_change(common, racking, machine),
            Thing::Fault(fault) => self.mended(common, racking, fault),
            Thing::Look(fault) => self.notice(common, fault),
            _ => {}
        }
    }

    /// The crew has done what it can: that was all, or somebody from outside is on the way.
    fn mended(&mut self, common: &mut Common<'_>, racking: &mut Racking, fault: FaultId) {
        let of = &common.room.faults[fault];
        if let Some(outside) = &of.outside {
            let at = &mut self.faults[fault];
            at.mending = false;
            at.outside = true;
            let number = u64::from(at.strikes) | OUTSIDE;
            let mut stream = common.streams.stream(Purpose::Mend, of.key, number);
            let over = common.now + outside.draw(&mut stream);
            common.events.set(over, Event::Passes(fault));
            return self.harm_changes(common, racking, MachineId::new(of.machine));
        }
        common.note(Happening::Mended { fault });
        self.is_over(common, racking, fault);
    }

    /// A fault that nobody of the crew mends is over.
    pub(super) fn passes(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        fault: FaultId,
    ) {
        common.note(if self.faults[fault].outside {
            Happening::Mended { fault }
        } else {
            Happening::Passes { fault }
        });
        self.is_over(common, racking, fault);
    }

    fn is_over(&mut self, common: &mut Common<'_>, racking: &mut Racking, fault: FaultId) {
        let machine = MachineId::new(common.room.faults[fault].machine);
        self.states[machine].settle_clock(common.now);
        let due = self.due_after(common, fault, self.states[machine].worn);
        let at = &mut self.faults[fault];
        at.due = due;
        at.struck = None;
        at.noticed = None;
        at.mending = false;
        at.outside = false;
        self.harm_changes(common, racking, machine);
        self.plan_fault(common, machine);
    }

    /// Faults that wait for somebody, and changes of water.
    pub(super) fn waits_to_be_tended(&self, common: &Common<'_>, whose: Whose<'_>) -> u32 {
        let own = common.room.faults.iter().zip(&self.faults);
        let own = own.filter(|(fault, _)| whose.has_machine(fault.machine));
        let faults = own.clone().filter(|(_, at)| at.waits()).count();
        let changes = MachineId::all(self.states.len())
            .filter(|&machine| whose.has_machine(machine.at()) && self.asks_for_water(machine));
        let looks = own.filter(|(_, at)| at.look.is_some()).count();
        (faults + changes.count() + looks) as u32
    }
}

impl Service<'_> {
    /// The faults as they are now, in the order of the room's.
    #[must_use]
    pub fn faults(&self) -> &[FaultState] {
        &self.machines.faults
    }
}
