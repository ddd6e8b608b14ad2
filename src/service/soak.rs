//! Soak sinks: filled, left for their time, emptied.

use super::common::Common;
use super::diary::Happening;
use super::events::Event;
use super::index::SinkId;
use super::job::{Job, Next, Thing};
use super::obstacle::Obstacle;
use super::pieces::Zone;
use super::put_away::CleanSide;
use super::sinks::{Does, Sink};
use super::soiled_side::SoiledSide;
use super::work::{Comes, Full, PartFull, Places, Seconds, Work};
use crate::physics::{drying, wetting};
use crate::room::Room;
use crate::room::time::Time;

/// A piece is in hand twice: it is put in, and taken out.
pub(super) const WORK: Work = Work {
    places: Places::Sinks(
        |room| room.soak.as_ref().map_or(0, |soak| soak.sinks),
        |room| room.soak.as_ref().map_or(Time::ZERO, |soak| soak.time),
    ),
    full: Full::Pieces(|room| room.soak.as_ref().map_or(1, |soak| soak.holds)),
    part_full: |room| {
        room.soak.as_ref().map(|soak| PartFull {
            enough: soak.enough,
            wait_at_most: soak.wait_at_most,
        })
    },
    unit_time: |room| room.soak.as_ref().map(|soak| &soak.per_unit),
    seconds: &[Seconds::Same(put_in_s), Seconds::Same(take_out_s)],
    ..Work::new(Comes::ToSoak)
};

fn put_in_s(room: &Room) -> f64 {
    room.soak.as_ref().map_or(0.0, |soak| soak.put_in_s)
}

fn take_out_s(room: &Room) -> f64 {
    room.soak.as_ref().map_or(0.0, |soak| soak.take_out_s)
}

impl SoiledSide {
    /// A sink whose time is up is emptied, or else one is filled.
    pub(super) fn next_at_sinks(&self, common: &Common<'_>) -> Next {
        if self.sink_to_empty(common).is_some() {
            return Next::Ready;
        }
        let is_ready = self.soak.sink_in(Does::Ready).is_some();
        let is_due = self.soak.line.is_due(&common.flow, common.now);
        if is_due && self.soak.sink_in(Does::Empty).is_some() {
            Next::Ready
        } else if is_ready {
            Next::Waits(Obstacle::Room)
        } else if is_due {
            Next::Waits(Obstacle::Place)
        } else {
            Next::Nothing
        }
    }

    /// Empties a sink whose time is up, or else fills one.
    pub(super) fn take_to_soak(&mut self, common: &mut Common<'_>) -> Job {
        match self.sink_to_empty(common) {
            Some(sink) => self.take_out(common, sink),
            None => self.put_in(common),
        }
    }

    /// The first sink whose time is up and whose first piece has room further on; what goes to the pot sink has.
    fn sink_to_empty(&self, common: &Common<'_>) -> Option<SinkId> {
        if self.racking.table.room(&common.flow) > 0 {
            return self.soak.sink_in(Does::Ready);
        }
        let mut sinks = SinkId::all(self.soak.sinks.len());
        sinks.find(|&sink| {
            let Sink { does, pile } = &self.soak.sinks[sink];
            let first = pile.head().map(|head| common.flow[head].ware);
            let needs_none = |ware: u16| common.room.wares[usize::from(ware)].at_pot_sink;
            *does == Does::Ready && first.is_some_and(needs_none)
        })
    }

    fn take_out(&mut self, common: &mut Common<'_>, sink: SinkId) -> Job {
        let (mut left, mut kept) = (self.racking.table.room(&common.flow), 0);
        let wares = &common.room.wares;
        let pile = &mut self.soak.sinks[sink].pile;
        let hand = pile.take_while(&mut common.flow, |run| {
            if wares[run.ware as usize].at_pot_sink {
                return run.count;
            }
            let count = run.count.min(left);
            left -= count;
            kept += count;
            count
        });
        self.soak.sinks[sink].does = Does::Emptying;
        self.racking.table.keep(kept);
        Job {
            more_s: f64::from(hand.len()) * take_out_s(common.room),
            hand,
            thing: Thing::Sink(sink),
            kept,
            ..Job::default()
        }
    }

    fn put_in(&mut self, common: &mut Common<'_>) -> Job {
        let holds = WORK.full.pieces(common.room);
        let sink = self.soak.sink_in(Does::Empty).unwrap_or(SinkId::new(0));
        self.soak.sinks[sink].does = Does::Filling;
        common.tally.sinks_filled += 1;
        let (flow, events) = (&mut common.flow, &mut common.events);
        let line = &mut self.soak.line;
        let hand = line.take_up(flow, events, holds, common.now);
        let hand = hand.moved_to(flow, Zone::Soaking);
        let more_s = f64::from(hand.len()) * put_in_s(common.room);
        Job {
            hand,
            thing: Thing::Sink(sink),
            more_s,
            ..Job::default()
        }
    }

    /// A sink has been filled or emptied.
    pub(super) fn soak_handled(
        &mut self,
        common: &mut Common<'_>,
        clean: &mut CleanSide,
        job: Job,
    ) {
        let Thing::Sink(sink) = job.thing else {
            return;
        };
        if self.soak.sinks[sink].does == Does::Filling {
            self.start_soak(common, sink, job);
        } else {
            self.finish_soak(common, clean, sink, job);
        }
    }

    fn start_soak(&mut self, common: &mut Common<'_>, sink: SinkId, job: Job) {
        let pieces = job.hand.len();
        let now = common.now;
        common.count_dried_until(&job.hand, now);
        job.hand.each(&mut common.flow, |run, pieces| {
            // Under water nothing dries: the state is held from here to the taking out.
            let dried_s = run.dried_s(now);
            for at in pieces {
                at.theta = at.theta_after(dried_s);
            }
            run.since = now;
            run.soaked = true;
        });
        self.soak.sinks[sink].pile.put(&mut common.flow, job.hand);
        self.soak.sinks[sink].does = Does::Soaking;
        if let Some(soak) = &common.room.soak {
            common
                .events
                .set(common.now + soak.time, Event::Soaked(sink));
        }
        common.note(Happening::SoakStarts { pieces });
    }

    fn finish_soak(
        &mut self,
        common: &mut Common<'_>,
        clean: &mut CleanSide,
        sink: SinkId,
        job: Job,
    ) {
        self.racking.table.give_back(job.kept);
        let emptied = self.soak.sinks[sink].pile.is_empty();
        self.soak.sinks[sink].does = if emptied { Does::Empty } else { Does::Ready };
        common.note(Happening::SoakEnds {
            pieces: job.hand.len(),
        });
        let (now, soils) = (common.now, &common.room.soils);
        job.hand.each(&mut common.flow, |run, pieces| {
            let soil = &soils[run.soil as usize];
            let soaked = now - run.since;
            if !run.washed {
                run.soaked_for += soaked;
            }
            let soaked_s = soaked.s();
            for at in pieces {
                let before = drying::dryness(at.theta, soil.critical_moisture);
                let after = wetting::soaked(before, soaked_s, soil.soak_time_constant_s);
                at.theta = drying::theta_of(after, soil.critical_moisture);
            }
            run.since = now;
        });
        self.send_on(common, clean, job.hand);
    }
}
