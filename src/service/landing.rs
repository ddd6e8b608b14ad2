//! The clean landing: racks drain, are unloaded and inspected; dirty pieces that are caught go back.

use super::common::Common;
use super::diary::Happening;
use super::events::Event;
use super::index::{MachineId, RackId, RunId};
use super::job::{Job, Next, Thing};
use super::line::racks::{Place, Rack};
use super::loading::Racking;
use super::machine::{Machines, Phase};
use super::pieces::{Flow, Lot, Piece, Pile};
use super::put_away::CleanSide;
use super::soiled_side::SoiledSide;
use super::streams::Purpose;
use super::tally::Tally;
use super::work::{Comes, Full, Places, Seconds, Work};
use crate::room::own::Whose;
use crate::room::plan::Spot;
use crate::room::stations::Machine;
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

/// How long a rack is left on a landing: until it has drained, and all in it is dry where that is waited for.
fn stays(machine: &Machine, common: &Common<'_>, pile: &Pile) -> Time {
    if !machine.until_dry || machine.dry_after.is_empty() {
        return machine.drain;
    }
    let runs = pile.runs(&common.flow);
    let dry = runs.filter_map(|run| machine.dry_after[run.ware as usize]);
    dry.fold(machine.drain, Time::max)
}

/// Counts what is taken from a rack that stood so long, and what of it is wet.
fn count_wet(tally: &mut Tally, machine: &Machine, flow: &Flow, pile: &Pile, stood: Time) {
    if machine.dry_after.is_empty() {
        return;
    }
    for run in pile.runs(flow) {
        if let Some(dry) = machine.dry_after[run.ware as usize] {
            tally.unloaded(u64::from(run.count), stood < dry);
        }
    }
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
        let of = &common.room.machines[machine];
        let stays = stays(of, common, &racking.racks[rack].pile);
        let place = Place::Landing(machine);
        let (flow, racks) = (&mut common.flow, &mut racking.racks);
        racks[rack].number = common.events.number();
        racks[rack].ready = common.now + stays;
        let landing = &mut self.states[machine].landing;
        landing.join(flow, racks, rack, place, common.now);
        // Behind one that drains as long nothing is to be timed; what dries sooner may overtake.
        let is_first = self.states[machine].landing.len() == 1;
        if stays > Time::ZERO && (is_first || of.until_dry) {
            self.time_drain(common, racking, machine);
        }
    }

    /// Sets the clock of a landing for the rack that is ready first, unless one is already.
    fn time_drain(&self, common: &mut Common<'_>, racking: &Racking, machine: MachineId) {
        let clock = Event::Drained(machine);
        let racks = self.states[machine].landing.iter();
        let racks = racks.map(|rack| &racking.racks[rack]);
        let first = racks.min_by_key(|rack| rack.ready);
        match first.filter(|rack| rack.ready >= common.now) {
            Some(rack) => common.events.set_as(rack.ready, clock, rack.number),
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
        while let Some(machine) = self.landing_to_unload(common, &soiled.racking, Whose::ANYBODY) {
            let job = self.take_from_landing(common, &mut soiled.racking, machine);
            self.unloaded(common, soiled, clean, job);
        }
    }

    /// The first rack of a landing that may be unloaded.
    fn first_ready(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        machine: MachineId,
    ) -> Option<RackId> {
        // All drain alike: who came first is ready first.
        let alike = !common.room.machines[machine].until_dry;
        let most = if alike { 1 } else { usize::MAX };
        let mut racks = self.states[machine].landing.iter().take(most);
        racks.find(|rack| racking.racks[*rack].ready <= common.now)
    }

    /// The machine to unload next: the one whose first drained rack has stood longest.
    fn landing_to_unload(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        whose: Whose<'_>,
    ) -> Option<MachineId> {
        let mut longest = None;
        let own = MachineId::all(self.states.len()).filter(|one| whose.has_machine(one.at()));
        for machine in own {
            let Some(first) = self.first_ready(common, racking, machine) else {
                continue;
            };
            let since = racking.racks[first].joined;
            if longest.is_none_or(|(earliest, _)| since < earliest) {
                longest = Some((since, machine));
            }
        }
        longest.map(|(_, machine)| machine)
    }

    pub(super) fn next_to_unload(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        whose: Whose<'_>,
    ) -> Next {
        let machine = self.landing_to_unload(common, racking, whose);
        machine.map_or(Next::Nothing, |machine| {
            Next::ReadyAt(Spot::of_landing(machine.at()))
        })
    }

    /// Takes up the next rack to unload.
    pub(super) fn take_to_unload(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        whose: Whose<'_>,
    ) -> Job {
        let Some(machine) = self.landing_to_unload(common, racking, whose) else {
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
        let Some(rack) = self.first_ready(common, racking, machine) else {
            return job;
        };
        let (flow, racks) = (&mut common.flow, &mut racking.racks);
        let landing = &mut self.states[machine].landing;
        if landing.take_out(flow, racks, rack, common.now).is_none() {
            return job;
        }
        let stood = common.now - racks[rack].joined;
        count_wet(
            &mut common.tally,
            &common.room.machines[machine],
            flow,
            &racks[rack].pile,
            stood,
        );
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
        if let Place::Unloading(machine) = place {
            clean.join_washed(common, others, machine);
        }
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

impl Machines {
    /// Racks on landings that wait for somebody.
    pub(super) fn on_landings(&self, whose: Whose<'_>) -> u32 {
        let states = self.states.iter().enumerate();
        let own = states.filter(|(machine, _)| whose.has_machine(*machine));
        own.map(|(_, state)| state.landing.len()).sum()
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
