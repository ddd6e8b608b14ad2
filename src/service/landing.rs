//! The clean landing: racks drain, are unloaded and inspected; dirty pieces that are caught go back.

use super::common::Common;
use super::diary::Happening;
use super::events::Event;
use super::index::{MachineId, RackId, RunId};
use super::job::{Job, Next, Thing};
use super::line::racks::{Place, Rack};
use super::loading::Racking;
use super::machine::{Machines, Phase};
use super::pieces::{Lot, Piece, Pile};
use super::put_away::CleanSide;
use super::soiled_side::SoiledSide;
use super::streams::Purpose;
use super::work::{Comes, Full, Places, Seconds, Work};
use crate::room::plan::Spot;
use crate::room::time::Time;
use crate::room::ware::{Dries, Ware};

pub(super) const WORK: Work = Work {
    places: Places::People(|room| room.unload.as_ref().map_or(0, |bench| bench.places)),
    full: Full::Rack,
    unit_time: |room| room.unload.as_ref().map(|bench| &bench.per_unit),
    seconds: &[Seconds::OfWare(piece_s)],
    ..Work::new(Comes::Washed)
};

/// Unloaded and inspected.
const fn piece_s(ware: &Ware) -> f64 {
    ware.unload_s
}

impl Machines {
    /// A rack comes to the landing of its machine.
    pub(super) fn arrive_on_landing(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
        rack: RackId,
    ) {
        let drain = common.room.machines[machine].drain;
        let place = Place::Landing(machine);
        let (flow, racks) = (&mut common.flow, &mut racking.racks);
        racks[rack].number = common.events.number();
        let landing = &mut self.states[machine].landing;
        landing.join(flow, racks, rack, place, common.now);
        if drain > Time::ZERO && self.states[machine].landing.len() == 1 {
            self.time_drain(common, racking, machine);
        }
    }

    /// Sets the clock of a landing for its first rack, if that has not drained already.
    fn time_drain(&self, common: &mut Common<'_>, racking: &Racking, machine: MachineId) {
        let clock = Event::Drained(machine);
        let first = self.states[machine].landing.front();
        let first = first.map(|rack| &racking.racks[rack]);
        let drains = first.map(|rack| (rack.joined + common.room.machines[machine].drain, rack));
        match drains.filter(|(at, _)| *at >= common.now) {
            Some((at, rack)) => common.events.set_as(at, clock, rack.number),
            None => common.events.unset(clock),
        }
    }

    /// Where unloading takes nobody, a rack that has drained is unloaded at once.
    pub(super) fn unload_by_itself(
        &mut self,
        common: &mut Common<'_>,
        soiled: &mut SoiledSide,
        clean: &mut CleanSide,
    ) {
        while let Some(machine) = self.landing_to_unload(common, &soiled.racking) {
            let job = self.take_from_landing(common, &mut soiled.racking, machine);
            self.unloaded(common, soiled, clean, job);
        }
    }

    /// Since when the first rack of a landing has stood there, if it has drained.
    fn first_drained(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        machine: MachineId,
    ) -> Option<Time> {
        let first = self.states[machine].landing.front()?;
        let joined = racking.racks[first].joined;
        (common.now - joined >= common.room.machines[machine].drain).then_some(joined)
    }

    /// The machine to unload next: the one whose first drained rack has stood longest.
    fn landing_to_unload(&self, common: &Common<'_>, racking: &Racking) -> Option<MachineId> {
        let mut longest = None;
        for machine in MachineId::all(self.states.len()) {
            let Some(since) = self.first_drained(common, racking, machine) else {
                continue;
            };
            if longest.is_none_or(|(earliest, _)| since < earliest) {
                longest = Some((since, machine));
            }
        }
        longest.map(|(_, machine)| machine)
    }

    pub(super) fn next_to_unload(&self, common: &Common<'_>, racking: &Racking) -> Next {
        let machine = self.landing_to_unload(common, racking);
        machine.map_or(Next::Nothing, |machine| {
            Next::ReadyAt(Spot::of_landing(machine.at()))
        })
    }

    /// Takes up the next rack to unload.
    pub(super) fn take_to_unload(&mut self, common: &mut Common<'_>, racking: &mut Racking) -> Job {
        let Some(machine) = self.landing_to_unload(common, racking) else {
            return Job::default();
        };
        self.take_from_landing(common, racking, machine)
    }

    fn take_from_landing(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
    ) -> Job {
        let mut job = Job {
            spot: Some(Spot::of_landing(machine.at())),
            ..Job::default()
        };
        let (flow, racks) = (&mut common.flow, &mut racking.racks);
        let landing = &mut self.states[machine].landing;
        let Some(rack) = landing.take(flow, racks, common.now) else {
            return job;
        };
        self.states[machine].landing_taken += 1;
        let taken = &mut racks[rack];
        taken.moves(flow, Place::Unloading(machine), common.now);
        job.thing = Thing::Rack(rack);
        job.hand = std::mem::take(&mut taken.pile);
        let wares = &common.room.wares;
        job.more_s = job.hand.sum(flow, |run| piece_s(&wares[run.ware as usize]));
        self.time_drain(common, racking, machine);
        job
    }

    /// A rack has been unloaded and its pieces inspected; it goes back to its stack.
    pub(super) fn unloaded(
        &mut self,
        common: &mut Common<'_>,
        soiled: &mut SoiledSide,
        clean: &mut CleanSide,
        mut job: Job,
    ) {
        let Thing::Rack(rack) = job.thing else {
            return;
        };
        let pieces = job.hand.len();
        let Rack { place, entered, .. } = soiled.racking.racks[rack];
        let mut caught = Pile::new(job.hand.zone());
        let mut others = Pile::new(job.hand.zone());
        while let Some(first) = job.hand.head() {
            let (count, back) = common.inspect_alike(first);
            let alike = job.hand.take(&mut common.flow, count);
            let now = common.now;
            alike.each(&mut common.flow, |run, _| {
                (run.since, run.drying) = (now, Dries::IN_THE_OPEN);
                run.soaked &= !back;
            });
            let pile = if back { &mut caught } else { &mut others };
            pile.put(&mut common.flow, alike);
        }
        let back = caught.len();
        let (flow, events) = (&mut common.flow, &mut common.events);
        soiled.drop_off.again.join(flow, events, caught, common.now);
        clean.join_clean(common, others);
        common.note(Happening::Unloaded { rack, pieces });
        if back > 0 {
            common.note(Happening::Caught { rack, pieces: back });
            if let Place::Unloading(machine) = place {
                self.notice_by_dirt(common, machine, back, entered);
            }
        }
        self.free_rack(common, &mut soiled.racking, rack);
    }

    fn free_rack(&mut self, common: &mut Common<'_>, racking: &mut Racking, rack: RackId) {
        let freed = &mut racking.racks[rack];
        let Place::Unloading(machine) = freed.place else {
            return;
        };
        freed.moves(&mut common.flow, Place::Free, common.now);
        freed.load = 0;
        let kind = freed.kind;
        racking.kinds[kind].free.push(rack);
        self.states[machine].landing_taken -= 1;
        // Room on the landing matters only to a machine that stands for want of it.
        if self.states[machine].phase == Phase::Stopped {
            self.advance(common, racking, machine);
        }
    }
}

impl Common<'_> {
    /// Inspects pieces of a hand, from `first` on, until one fares otherwise: how many, and whether they go back.
    fn inspect_alike(&mut self, run: RunId) -> (u32, bool) {
        let at = &self.flow[run];
        let (ware, pieces) = (at.ware as usize, &self.flow.pieces[at.range()]);
        let lot = &self.flow.lots[at.lot];
        let first = lot.place_of(at.first);
        let (mut count, mut back) = (0, false);
        for (place, piece) in (first..).zip(pieces) {
            let is_caught = self.is_caught(lot, place, piece);
            if count > 0 && is_caught != back {
                break;
            }
            back = is_caught;
            count += 1;
            self.tally.inspected(ware, piece.dirty, back);
        }
        (count, back)
    }

    fn is_caught(&self, lot: &Lot, place: u32, piece: &Piece) -> bool {
        let Some(catches) = self.room.inspect_catches.filter(|_| piece.dirty) else {
            return false;
        };
        let number = u64::from(place) << 16 | u64::from(piece.washes);
        self.streams.uniform(Purpose::Eye, lot.key, number) < catches
    }
}
