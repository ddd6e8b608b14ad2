//! Soak sinks: filled, left for their time, emptied.

use super::Service;
use super::crew::Job;
use super::diary::Happening;
use super::events::Event;
use super::part_loads::PartLoad;
use super::pieces::{Queue, Zone};
use crate::physics::{drying, wetting};
use crate::room::Room;
use crate::room::plan::Spot;
use crate::scenario::model::Duty;

/// What a sink is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Phase {
    Empty,
    /// Somebody is putting ware in.
    Filling,
    Soaking,
    Ready,
    /// Somebody is taking ware out.
    Emptying,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Sink {
    pub phase: Phase,
    pub queue: Queue,
}

const EMPTY: Sink = Sink {
    phase: Phase::Empty,
    queue: Queue::new(),
};

/// The sinks and what waits for them.
#[derive(Debug)]
pub struct SoakState {
    pub(super) waiting: Queue,
    pub(super) sinks: Vec<Sink>,
}

impl SoakState {
    pub(super) fn new(room: &Room) -> Self {
        let sinks = room.soak.as_ref().map_or(0, |soak| soak.sinks) as usize;
        Self {
            waiting: Queue::default(),
            sinks: vec![EMPTY; sinks],
        }
    }

    pub(super) fn begin(&mut self) {
        self.waiting = Queue::default();
        self.sinks.fill(EMPTY);
    }

    fn sink_in(&self, phase: Phase) -> Option<usize> {
        self.sinks.iter().position(|sink| sink.phase == phase)
    }

    /// A sink that nothing is in.
    pub(super) fn has_free_sink(&self) -> bool {
        self.sink_in(Phase::Empty).is_some()
    }

    /// Pieces in sinks whose time is up.
    pub(super) fn pieces_ready(&self) -> u32 {
        let ready = self.sinks.iter().filter(|sink| sink.phase == Phase::Ready);
        ready.map(|sink| sink.queue.len()).sum()
    }

    /// A sink whose time is up.
    pub(super) fn has_ready_sink(&self) -> bool {
        self.sink_in(Phase::Ready).is_some()
    }
}

impl Service<'_> {
    pub(super) fn join_soak(&mut self, piece: u32) {
        self.soak.waiting.push(&mut self.pieces, piece);
        self.tally.line_grows(Duty::Soak, 1, self.now);
        self.part_load_joined(PartLoad::Sink, 1);
    }

    /// Whether a sink can be emptied or filled now, people apart.
    pub(super) fn soak_ready(&self) -> bool {
        (self.soak.has_ready_sink() && self.racking.table_room() > 0)
            || (self.soak.has_free_sink() && self.enough_to_soak())
    }

    /// Whether a sink's load waits, or what waits has waited long enough.
    pub(super) fn enough_to_soak(&self) -> bool {
        let waiting = &self.soak.waiting;
        self.room.soak.as_ref().is_some_and(|soak| {
            waiting.len() >= soak.enough
                || self.head_waited(waiting, soak.wait_at_most)
                || (!waiting.is_empty() && self.census.before(Zone::ToSoak) == 0)
        })
    }

    /// Empties a sink whose time is up, or else fills one.
    pub(super) fn take_to_soak(&mut self) -> Job {
        let room_left = self.racking.table_room();
        match self.soak.sink_in(Phase::Ready) {
            Some(sink) if room_left > 0 => self.take_out(sink, room_left),
            _ => self.put_in(),
        }
    }

    fn take_out(&mut self, sink: usize, most: u32) -> Job {
        let mut job = Job {
            spot: Spot::of_duty(Duty::Soak),
            ..Job::default()
        };
        while job.hand.len() < most {
            let Some(piece) = self.soak.sinks[sink].queue.pop(&self.pieces) else {
                break;
            };
            job.hand.push(&mut self.pieces, piece);
        }
        self.soak.sinks[sink].phase = Phase::Emptying;
        job.thing = sink;
        job.kept = job.hand.len();
        self.racking.kept += job.kept;
        job.more_s = f64::from(job.kept) * self.room.soak.as_ref().map_or(0.0, |s| s.take_out_s);
        job
    }

    fn put_in(&mut self) -> Job {
        let (holds, put_in_s) = self
            .room
            .soak
            .as_ref()
            .map_or((1, 0.0), |soak| (soak.holds, soak.put_in_s));
        let sink = self.soak.sink_in(Phase::Empty).unwrap_or(0);
        self.soak.sinks[sink].phase = Phase::Filling;
        self.tally.sinks_filled += 1;
        let mut waiting = self.soak.waiting;
        let hand = self.take_up(&mut waiting, holds, Duty::Soak);
        self.soak.waiting = waiting;
        self.census.moved(hand.len(), Zone::ToSoak, Zone::Soaking);
        self.part_load_taken(PartLoad::Sink);
        let more_s = f64::from(hand.len()) * put_in_s;
        Job {
            hand,
            thing: sink,
            more_s,
            spot: Spot::of_duty(Duty::Soak),
            ..Job::default()
        }
    }

    /// A sink has been filled or emptied.
    pub(super) fn soak_handled(&mut self, job: Job) {
        if self.soak.sinks[job.thing].phase == Phase::Filling {
            self.start_soak(job);
        } else {
            self.finish_soak(job);
        }
    }

    fn start_soak(&mut self, mut job: Job) {
        let pieces = job.hand.len();
        while let Some(piece) = job.hand.pop(&self.pieces) {
            self.count_dried_until(piece, self.now);
            let now = self.now;
            let at = &mut self.pieces[piece as usize];
            // Under water nothing dries: the state is held from here to the taking out.
            at.theta = at.theta_at(now);
            at.since = now;
            at.soaked = true;
            self.soak.sinks[job.thing]
                .queue
                .push(&mut self.pieces, piece);
        }
        self.soak.sinks[job.thing].phase = Phase::Soaking;
        if let Some(soak) = &self.room.soak {
            self.events
                .set(self.now + soak.time, Event::Soaked(job.thing as u32));
        }
        self.note(Happening::SoakStarts { pieces });
    }

    /// A sink's time is up.
    pub(super) fn soaked(&mut self, sink: usize) {
        self.soak.sinks[sink].phase = Phase::Ready;
    }

    fn finish_soak(&mut self, mut job: Job) {
        self.racking.kept -= job.kept;
        let emptied = self.soak.sinks[job.thing].queue.is_empty();
        self.soak.sinks[job.thing].phase = if emptied { Phase::Empty } else { Phase::Ready };
        self.note(Happening::SoakEnds {
            pieces: job.hand.len(),
        });
        while let Some(piece) = job.hand.pop(&self.pieces) {
            let now = self.now;
            let at = &mut self.pieces[piece as usize];
            let soil = &self.room.soils[at.soil as usize];
            let before = drying::dryness(at.theta, soil.critical_moisture);
            let soaked_s = (now - at.since).s();
            let after = wetting::soaked(before, soaked_s, soil.soak_time_constant_s);
            at.theta = drying::theta_of(after, soil.critical_moisture);
            at.since = now;
            self.send_on(piece, Zone::Soaking);
        }
    }
}
