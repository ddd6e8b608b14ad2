//! The clean landing: racks drain, are unloaded and inspected; dirty pieces that are caught go back.

use super::Service;
use super::crew::Job;
use super::diary::Happening;
use super::events::Event;
use super::loading::{Place, Rack};
use super::machine::Phase;
use super::streams::Purpose;
use crate::physics::drying;
use crate::room::plan::Spot;
use crate::room::time::Time;
use crate::scenario::model::Duty;

impl Service<'_> {
    /// A piece is washed once, in a rack that washes by `factor`.
    pub(super) fn wash(&mut self, piece: u32, factor: f64) {
        self.first_wash_or_none(piece);
        let now = self.now;
        let at = &mut self.flow[piece];
        let soil = &self.room.soils[at.soil as usize];
        at.theta = at.theta_at(now);
        at.since = now;
        let dryness = drying::dryness(at.theta, soil.critical_moisture);
        let chance = soil.wash.dirty_probability(dryness, factor);
        let lot = &self.dining.lots[at.lot as usize];
        let number = u64::from(piece - lot.first) << 16 | u64::from(at.washes);
        let drawn = self.streams.uniform(Purpose::Luck, lot.key, number);
        at.dirty = drawn < chance;
        at.washes = at.washes.saturating_add(1);
        self.tally.chance_of_rewash(now, chance);
    }

    /// Counts a piece that enters a machine for the first time, or, where there is no machine, leaves
    /// the soiled side.
    pub(super) fn first_wash_or_none(&mut self, piece: u32) {
        let Some(waited) = self.flow.first_wash(piece, self.now) else {
            return;
        };
        self.count_dried_until(piece, self.now);
        let at = &self.flow[piece];
        let critical = self.room.soils[at.soil as usize].critical_moisture;
        let dried = drying::is_dried_on(at.theta_at(self.now), critical);
        self.tally.first_entry(at.ware as usize, waited, dried);
    }

    /// Adds to the minutes in which a piece waited dried on for the first time, up to `until`.
    pub(super) fn count_dried_until(&mut self, piece: u32, until: Time) {
        let at = &self.flow[piece];
        if at.washes > 0 || at.drying_per_s <= 0.0 {
            return;
        }
        let critical = self.room.soils[at.soil as usize].critical_moisture;
        let left = 1.0 - critical - at.theta;
        let dried = at.since + Time::from_s(left / at.drying_per_s);
        self.tally
            .dried_between(dried.max(at.since).max(at.reached), until);
    }

    pub(super) fn arrive_on_landing(&mut self, machine: usize, rack: u32) {
        let drain = self.room.machines[machine].drain;
        let place = Place::Landing(machine as u32);
        let (flow, racks) = (&mut self.flow, &mut self.racking.racks);
        racks[rack as usize].number = self.events.number();
        let landing = &mut self.machines[machine].landing;
        landing.join(flow, racks, rack, place, self.now);
        if drain == Time::ZERO {
            self.drained(machine);
        } else if self.machines[machine].landing.len() == 1 {
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

    /// A rack has drained. Where unloading takes nobody it is unloaded at once.
    pub(super) fn drained(&mut self, machine: usize) {
        if self.room.unload.is_none() && self.first_is_drained(machine) {
            let job = self.take_from_landing(machine);
            self.unloaded(job);
        }
    }

    fn first_is_drained(&self, machine: usize) -> bool {
        self.first_drained(machine).is_some()
    }

    /// Since when the first rack of a landing has stood there, if it has drained.
    fn first_drained(&self, machine: usize) -> Option<Time> {
        let first = self.machines[machine].landing.front()?;
        let joined = self.racking.racks[first as usize].joined;
        (self.now - joined >= self.room.machines[machine].drain).then_some(joined)
    }

    /// The machine to unload next: the one whose first drained rack has stood longest.
    pub(super) fn landing_to_unload(&self) -> Option<usize> {
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

    /// Whether a rack can be unloaded now, people apart.
    pub(super) fn unload_ready(&self) -> bool {
        let has_place = self
            .room
            .unload
            .as_ref()
            .is_some_and(|b| self.crew.at_work(Duty::Unload) < b.places);
        has_place && self.landing_to_unload().is_some()
    }

    /// Takes up the next rack to unload.
    pub(super) fn take_to_unload(&mut self) -> Job {
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
        job.thing = rack as usize;
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
    pub(super) fn unloaded(&mut self, mut job: Job) {
        let pieces = job.hand.len();
        let rack = job.thing as u32;
        let Rack { place, entered, .. } = self.racking.racks[job.thing];
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
        self.free_rack(job.thing);
        self.draw_down();
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

    fn free_rack(&mut self, rack: usize) {
        let freed = &mut self.racking.racks[rack];
        let Place::Unloading(machine) = freed.place else {
            return;
        };
        freed.moves(&mut self.flow, Place::Free, self.now);
        freed.load = 0;
        let kind = freed.kind;
        self.racking.kinds[kind].free.push(rack as u32);
        self.machines[machine as usize].landing_taken -= 1;
        // Room on the landing matters only to a machine that stands for want of it.
        if self.machines[machine as usize].phase == Phase::Stopped {
            self.advance(machine as usize);
        }
    }
}
