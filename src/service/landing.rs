//! The clean landing: racks drain, are unloaded and inspected; dirty pieces that are caught go back.

use super::common::Common;
use super::diary::Happening;
use super::events::Event;
use super::index::{MachineId, RackId, RunId};
use super::job::{Job, Next, Thing};
use super::line::racks::{Dollies, Place, Rack};
use super::loading::Racking;
use super::machine::Machines;
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
use crate::scenario::model::Duty;

pub(super) const WORK: Work = Work {
    places: Places::People(|room| room.unload.as_ref().map_or(0, |bench| bench.places)),
    full: Full::Rack,
    unit_time: |room| room.unload.as_ref().map(|bench| &bench.per_unit),
    seconds: &[Seconds::OfWare(piece_s)],
    takes: |ware| !ware.at_pot_sink,
    ..Work::new(Comes::Washed)
};

/// Unloaded and inspected, as a rule.
const fn piece_s(ware: &Ware) -> f64 {
    ware.leaves_rack_s
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

/// What is done with a rack.
#[derive(Debug, Clone, Copy)]
enum Do {
    Unload,
    Park,
}

/// Where a washed rack stands.
fn spot_of(common: &Common<'_>, rack: &Rack) -> Spot {
    match rack.place {
        Place::Landing(machine) => Spot::of_landing(machine.at()),
        _ => common.room.plan.dollies,
    }
}

/// Whether somebody is called for every rack that is ready, and not for the first alone: one behind it may be wanted, or
/// be parked.
const fn times_each(common: &Common<'_>) -> bool {
    common.room.is_short_first(Duty::Unload) || common.room.dollies.is_some()
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
        (racks[rack].landed, racks[rack].ready) = (common.now, common.now + stays);
        let landing = &mut self.states[machine].landing;
        landing.join(flow, racks, rack, place, common.now);
        // Behind one that drains as long nothing is to be timed; what dries sooner may overtake.
        let is_first = self.states[machine].landing.len() == 1;
        if stays > Time::ZERO && (is_first || of.until_dry || times_each(common)) {
            self.time_drain(common, racking, machine);
        }
    }

    /// A rack of a landing is ready.
    pub(super) fn drained(&self, common: &mut Common<'_>, racking: &Racking, machine: MachineId) {
        if times_each(common) {
            self.time_drain(common, racking, machine);
        }
    }

    /// Sets the clock of a landing for the rack that is ready first, unless one is already.
    pub(super) fn time_drain(
        &self,
        common: &mut Common<'_>,
        racking: &Racking,
        machine: MachineId,
    ) {
        let clock = Event::Drained(machine);
        let parked = self.dollies.racks.iter();
        let parked = parked.filter(|rack| racking.racks[*rack].place == Place::Parked(machine));
        let racks = self.states[machine].landing.iter().chain(parked);
        let racks = racks.map(|rack| &racking.racks[rack]);
        let now = common.now;
        let first = if times_each(common) {
            let racks = racks.filter(|rack| rack.ready > now);
            racks.min_by_key(|rack| rack.ready)
        } else {
            let first = racks.min_by_key(|rack| rack.ready);
            first.filter(|rack| rack.ready >= now)
        };
        match first {
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
        while let Some((machine, rack)) = self.next_ready(common, &soiled.racking, Whose::ANYBODY) {
            let job = self.take_rack(common, &mut soiled.racking, machine, rack);
            self.unloaded(common, soiled, clean, job);
        }
    }

    /// The first rack of a landing that may be unloaded.
    #[inline]
    fn first_ready(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        machine: MachineId,
    ) -> Option<RackId> {
        let mut racks = self.states[machine].landing.iter();
        let is_ready = |rack: &RackId| racking.racks[*rack].ready <= common.now;
        if common.room.machines[machine].until_dry {
            return racks.find(is_ready);
        }
        // All drain alike: who came first is ready first.
        racks.next().filter(is_ready)
    }

    /// The rack to unload next, and its machine: of those first ready on their landings the one that has stood longest.
    #[inline]
    fn next_ready(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        whose: Whose<'_>,
    ) -> Option<(MachineId, RackId)> {
        // Most rooms have one.
        if self.states.len() == 1 {
            let only = MachineId::new(0);
            let first = self.first_ready(common, racking, only)?;
            return whose.has_machine(0).then_some((only, first));
        }
        let mut longest: Option<(Time, MachineId, RackId)> = None;
        let own = MachineId::all(self.states.len()).filter(|one| whose.has_machine(one.at()));
        for machine in own {
            let Some(first) = self.first_ready(common, racking, machine) else {
                continue;
            };
            let since = racking.racks[first].joined;
            if longest.is_none_or(|(earliest, ..)| since < earliest) {
                longest = Some((since, machine, first));
            }
        }
        longest.map(|(_, machine, rack)| (machine, rack))
    }

    /// The rack that is ready, holds ware that guests wait for, and has stood longest: any can be lifted off by hand.
    /// None while what lies clean besides is enough for them.
    pub(super) fn wanted(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        clean: &CleanSide,
        whose: Whose<'_>,
    ) -> Option<(MachineId, RackId)> {
        if !clean.any_missing() {
            return None;
        }
        let flow = &common.flow;
        let is_wanted = |rack: &Rack| {
            let mut runs = rack.pile.runs(flow);
            rack.ready <= common.now
                && runs
                    .any(|run| flow.lots[run.lot].from_stock && clean.is_missing(run.ware as usize))
        };
        let of_machine = |machine: MachineId| {
            let landing = self.states[machine].landing.iter();
            landing.map(move |rack| (machine, rack))
        };
        let parked = self.dollies.racks.iter();
        let parked = parked.filter_map(|rack| match racking.racks[rack].place {
            Place::Parked(machine) if whose.has_machine(machine.at()) => Some((machine, rack)),
            _ => None,
        });
        let own = MachineId::all(self.states.len()).filter(|one| whose.has_machine(one.at()));
        let landings = own.flat_map(of_machine);
        let racks = landings.chain(parked);
        let wanted = racks.filter(|(_, rack)| is_wanted(&racking.racks[*rack]));
        wanted.min_by_key(|(_, rack)| racking.racks[*rack].joined)
    }

    /// What to do now, at which machine, with which rack: where somebody looks at what is short, that first; then a
    /// landing is made free; then racks are unloaded, those on dollies last.
    #[inline]
    fn next_rack_to(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        clean: &CleanSide,
        whose: Whose<'_>,
    ) -> Option<(Do, MachineId, RackId)> {
        let short_first = common.room.is_short_first(Duty::Unload);
        let wanted = short_first.then(|| self.wanted(common, racking, clean, whose));
        if let Some((machine, rack)) = wanted.flatten() {
            return Some((Do::Unload, machine, rack));
        }
        if let Some((machine, rack)) = self.to_park(common, racking, whose) {
            return Some((Do::Park, machine, rack));
        }
        let ready = self.next_ready(common, racking, whose);
        let (machine, rack) = ready.or_else(|| self.parked_ready(common, racking, whose))?;
        Some((Do::Unload, machine, rack))
    }

    pub(super) fn next_to_unload(
        &self,
        common: &Common<'_>,
        racking: &Racking,
        clean: &CleanSide,
        whose: Whose<'_>,
    ) -> Next {
        let next = self.next_rack_to(common, racking, clean, whose);
        next.map_or(Next::Nothing, |(_, _, rack)| {
            Next::ReadyAt(spot_of(common, &racking.racks[rack]))
        })
    }

    /// Takes up the next rack to unload, or to park.
    pub(super) fn take_to_unload(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        clean: &CleanSide,
        whose: Whose<'_>,
    ) -> Job {
        match self.next_rack_to(common, racking, clean, whose) {
            Some((Do::Unload, machine, rack)) => self.take_rack(common, racking, machine, rack),
            Some((Do::Park, machine, rack)) => self.take_to_park(common, racking, machine, rack),
            None => Job::default(),
        }
    }

    /// Takes a rack from its landing or its dolly, to unload it there.
    fn take_rack(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machine: MachineId,
        rack: RackId,
    ) -> Job {
        let mut job = Job {
            spot: Some(spot_of(common, &racking.racks[rack])),
            ..Job::default()
        };
        let (flow, racks) = (&mut common.flow, &mut racking.racks);
        let is_parked = racks[rack].place == Place::Parked(machine);
        let (line, kept, place) = if is_parked {
            let Dollies { racks, kept } = &mut self.dollies;
            (racks, kept, Place::UnloadingParked(machine))
        } else {
            let state = &mut self.states[machine];
            let (landing, taken) = (&mut state.landing, &mut state.landing_taken);
            (landing, taken, Place::Unloading(machine))
        };
        if line.take_out(flow, racks, rack, common.now).is_none() {
            return job;
        }
        *kept += 1;
        let kind = racks[rack].kind;
        // The last one that is free is not kept in the store: somebody will want it.
        let is_stored =
            common.room.rack_kinds[kind].stored.is_some() && !racking.kinds[kind].free.is_empty();
        let taken = &mut racks[rack];
        if !is_stored {
            let machine = &common.room.machines[machine];
            let stood = common.now - taken.landed;
            count_wet(&mut common.tally, machine, flow, &taken.pile, stood);
        }
        taken.moves(flow, place, common.now);
        job.thing = if is_stored {
            Thing::ToStore(rack, kind)
        } else {
            Thing::Rack(rack)
        };
        job.hand = std::mem::take(&mut taken.pile);
        let wares = &common.room.wares;
        job.more_s = job.hand.sum(flow, |run| {
            let ware = &wares[run.ware as usize];
            if is_stored {
                ware.inspect_s
            } else {
                ware.unload_s
            }
        });
        self.time_drain(common, racking, machine);
        job
    }

    /// A rack has been unloaded and its pieces inspected: it goes back to its stack. Or it has been parked.
    pub(super) fn unloaded(
        &mut self,
        common: &mut Common<'_>,
        soiled: &mut SoiledSide,
        clean: &mut CleanSide,
        mut job: Job,
    ) {
        let rack = match job.thing {
            Thing::Rack(rack) | Thing::ToStore(rack, _) => rack,
            Thing::ToDolly(rack) => return self.parked(common, &mut soiled.racking, rack),
            _ => return,
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
        let mut leaves = Place::Free;
        if let Thing::ToStore(..) = job.thing {
            common.note(Happening::RackStored { rack, pieces });
            if clean.store_in_rack(common, rack, others) {
                leaves = Place::Stored;
            }
        } else {
            if let Place::Unloading(machine) | Place::UnloadingParked(machine) = place {
                clean.join_washed(common, others, machine);
            }
            common.note(Happening::Unloaded { rack, pieces });
        }
        if back > 0 {
            common.note(Happening::Caught { rack, pieces: back });
            if let Place::Unloading(machine) | Place::UnloadingParked(machine) = place {
                self.notice_by_dirt(common, machine, back, entered);
            }
        }
        self.rack_goes(common, &mut soiled.racking, rack, leaves);
    }

    /// A rack is back in its stack, or stands in the store: its place on landing or dolly is free.
    fn rack_goes(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        rack: RackId,
        to: Place,
    ) {
        let freed = &mut racking.racks[rack];
        let (machine, is_parked) = match freed.place {
            Place::Unloading(machine) => (machine, false),
            Place::UnloadingParked(machine) => (machine, true),
            _ => return,
        };
        freed.moves(&mut common.flow, to, common.now);
        freed.load = 0;
        let kind = freed.kind;
        if to == Place::Free {
            racking.kinds[kind].free.push(rack);
        }
        if is_parked {
            self.dollies.kept -= 1;
        } else {
            self.states[machine].landing_taken -= 1;
            self.landing_has_gone(common, racking, machine);
        }
    }
}

impl Machines {
    /// Racks on landings and dollies that wait for somebody.
    pub(super) fn to_unload(&self, racking: &Racking, whose: Whose<'_>) -> u32 {
        let states = self.states.iter().enumerate();
        let own = states.filter(|(machine, _)| whose.has_machine(*machine));
        let on_landings: u32 = own.map(|(_, state)| state.landing.len()).sum();
        let parked = self.dollies.racks.iter().filter(|rack| {
            let place = racking.racks[*rack].place;
            matches!(place, Place::Parked(machine) if whose.has_machine(machine.at()))
        });
        on_landings + parked.count() as u32
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
