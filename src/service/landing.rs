//! The clean landing: racks drain, are unloaded and inspected; dirty pieces that are caught go back.

use super::Service;
use super::crew::{Job, Thing};
use super::diary::Happening;
use super::events::Event;
use super::loading::{Place, Rack};
use super::machine::Phase;
use super::obstacle::Obstacle;
use super::station::{Next, Station, Unit};
use super::streams::Purpose;
use crate::room::plan::Spot;
use crate::room::time::Time;
use crate::scenario::model::Duty;

pub(super) const STATION: Station = Station {
    unit_time: |room| room.unload.as_ref().map(|bench| &bench.per_unit),
    ..Station::new(
        Duty::Unload,
        Unit::Racks,
        |service, _| service.next_to_unload(),
        |service, _| service.take_to_unload(),
        |service, _, job| service.unloaded(job),
    )
};

impl Service<'_> {
    /// A rack comes to the landing of its machine.
    pub(super) fn arrive_on_landing(&mut self, machine: usize, rack: u32) {
        let drain = self.room.machines[machine].drain;
        let place = Place::Landing(machine as u32);
        let (flow, racks) = (&mut self.flow, &mut self.racking.racks);
        racks[rack as usize].number = self.events.number();
        let landing = &mut self.machines[machine].landing;
        landing.join(flow, racks, rack, place, self.now);
        if drain > Time::ZERO && self.machines[machine].landing.len() == 1 {
            self.time_drain(machine);
        }
    }

    /// Sets the clock of a landing for its first rack, if that has not drained already.
    fn time_drain(&mut self, machine: usize) {
        let clock = Event::Drained(machine as u32);
        let first = self.machines[machine].landing.front();
        let first = first.map(|rack| &self.racking.racks[rack as usize]);
        let drains = first.map(|rack| (rack.joined + self.room.machines[machine].drain, rack));
        match drains.filter(|(at, _)| *at >= self.now) {
            Some((at, rack)) => self.events.set_as(at, clock, rack.number),
            None => self.events.unset(clock),
        }
    }

    /// Where unloading takes nobody, a rack that has drained is unloaded at once.
    pub(super) fn unload_by_itself(&mut self) {
        if self.room.unload.is_some() {
            return;
        }
        while let Some(machine) = self.landing_to_unload() {
            let job = self.take_from_landing(machine);
            self.unloaded(job);
        }
    }

    /// Since when the first rack of a landing has stood there, if it has drained.
    fn first_drained(&self, machine: usize) -> Option<Time> {
        let first = self.machines[machine].landing.front()?;
        let joined = self.racking.racks[first as usize].joined;
        (self.now - joined >= self.room.machines[machine].drain).then_some(joined)
    }

    /// The machine to unload next: the one whose first drained rack has stood longest.
    fn landing_to_unload(&self) -> Option<usize> {
        let mut longest = None;
        for machine in 0..self.machines.len() {
            let Some(since) = self.first_drained(machine) else {
                continue;
            };
            if longest.is_none_or(|(earliest, _)| since < earliest) {
                longest = Some((since, machine));
            }
        }
        longest.map(|(_, machine)| machine)
    }

    fn next_to_unload(&self) -> Next {
        let places = self.room.unload.as_ref().map_or(0, |bench| bench.places);
        match self.landing_to_unload() {
            None => Next::Nothing,
            Some(_) if !self.has_place(Duty::Unload, places) => Next::Waits(Obstacle::Place),
            Some(machine) => Next::Ready(Spot::of_landing(machine)),
        }
    }

    /// Takes up the next rack to unload.
    fn take_to_unload(&mut self) -> Job {
        let machine = self.landing_to_unload().unwrap_or(0);
        self.take_from_landing(machine)
    }

    fn take_from_landing(&mut self, machine: usize) -> Job {
        let mut job = Job {
            spot: Spot::of_landing(machine),
            ..Job::default()
        };
        let (flow, racks) = (&mut self.flow, &mut self.racking.racks);
        let landing = &mut self.machines[machine].landing;
        let Some(rack) = landing.take(flow, racks, self.now) else {
            return job;
        };
        self.machines[machine].landing_taken += 1;
        let taken = &mut racks[rack as usize];
        taken.moves(flow, Place::Unloading(machine as u32), self.now);
        job.thing = Thing::Rack(rack);
        job.hand = std::mem::take(&mut taken.pile);
        let pieces = job.hand.iter(&self.flow);
        let wares = pieces.map(|piece| self.flow[piece].ware);
        job.more_s = wares
            .map(|ware| self.room.wares[ware as usize].unload_s)
            .sum();
        self.time_drain(machine);
        job
    }

    /// A rack has been unloaded and its pieces inspected; it goes back to its stack.
    fn unloaded(&mut self, mut job: Job) {
        let Thing::Rack(rack) = job.thing else {
            return;
        };
        let pieces = job.hand.len();
        let Rack { place, entered, .. } = self.racking.racks[rack as usize];
        let mut caught = 0;
        while let Some(piece) = job.hand.take(&self.flow) {
            let back = self.is_caught(piece.piece());
            caught += u32::from(back);
            let at = &mut self.flow[piece.piece()];
            at.since = self.now;
            self.tally.inspected(at.ware as usize, at.dirty, back);
            if back {
                at.soaked = false;
                let (flow, events) = (&mut self.flow, &mut self.events);
                self.drop_off.again.join(flow, events, piece, self.now);
            } else {
                self.join_clean(piece);
            }
        }
        self.note(Happening::Unloaded { rack, pieces });
        if caught > 0 {
            self.note(Happening::Caught {
                rack,
                pieces: caught,
            });
            if let Place::Unloading(machine) = place {
                self.notice_by_dirt(machine as usize, caught, entered);
            }
        }
        self.free_rack(rack);
    }

    fn is_caught(&self, piece: u32) -> bool {
        let at = &self.flow[piece];
        let Some(catches) = self.room.inspect_catches.filter(|_| at.dirty) else {
            return false;
        };
        let lot = &self.dining.lots[at.lot as usize];
        let number = u64::from(piece - lot.first) << 16 | u64::from(at.washes);
        self.streams.uniform(Purpose::Eye, lot.key, number) < catches
    }

    fn free_rack(&mut self, rack: u32) {
        let freed = &mut self.racking.racks[rack as usize];
        let Place::Unloading(machine) = freed.place else {
            return;
        };
        freed.moves(&mut self.flow, Place::Free, self.now);
        freed.load = 0;
        let kind = freed.kind;
        self.racking.kinds[kind].free.push(rack);
        self.machines[machine as usize].landing_taken -= 1;
        // Room on the landing matters only to a machine that stands for want of it.
        if self.machines[machine as usize].phase == Phase::Stopped {
            self.advance(machine as usize);
        }
    }
}
