//! One simulated service, event by event.
//!
//! A [`Service`] owns everything that changes during an evening and borrows the [`Room`] it plays in.
//! Each station is a file beside this one and a row in [`station`]. **`service` reads no file, no clock of
//! the machine and no environment**; what varies comes from [`streams`] alone. One service after another in
//! the same `Service` reuses its memory: once warm, nothing is allocated.
//!
//! Reading order: [`events`], [`streams`], [`pieces`] and [`mod@line`], which all others speak of; then as ware
//! goes: [`demand`], [`dining`], [`clear_down`], [`drop_off`], [`scrape`], [`pre_rinse`], [`soak`] and what
//! they share, [`soiled_side`]; [`loading`], [`machine`] with [`conveyor`] and [`hood`], [`water`],
//! [`water_change`] and [`tanks`], [`washing`], [`landing`], [`put_away`]; what is done to machines and goes
//! wrong with them: [`tasks`], [`faults`]; then who does it: [`station`], [`dispatch`] and [`crew`]; then
//! what is known of it: [`tally`], [`obstacle`], [`measure`], [`utilities`], [`cost`] and [`outcome`],
//! [`series`] and [`sample`], [`diary`]. [`audit`] recounts everything, for tests.

pub mod audit;
pub mod clear_down;
pub mod conveyor;
pub mod cost;
pub mod crew;
pub mod demand;
pub mod diary;
pub mod dining;
pub mod dispatch;
pub mod drop_off;
pub mod events;
pub mod faults;
pub mod hood;
pub mod landing;
pub mod line;
pub mod loading;
pub mod machine;
pub mod measure;
pub mod obstacle;
pub mod outcome;
pub mod pieces;
pub mod pre_rinse;
pub mod put_away;
pub mod sample;
pub mod scrape;
pub mod series;
pub mod soak;
pub mod soiled_side;
pub mod station;
pub mod streams;
pub mod tally;
pub mod tanks;
pub mod tasks;
pub mod utilities;
pub mod washing;
pub mod water;
pub mod water_change;

use crate::room::Room;
use crate::room::time::Time;
use crate::scenario::model::Duty;
use crew::Crew;
use diary::Line as DiaryLine;
use dining::Dining;
use drop_off::DropOff;
use events::{Event, EventList};
use faults::FaultState;
use line::{Batch, Line, Lines, Table};
use loading::Racking;
use machine::MachineState;
use pieces::{Flow, Zone};
use sample::Samples;
use soak::SoakState;
use streams::Streams;
use tally::Tally;
use tasks::Tasks;

/// One evening being played.
#[derive(Debug)]
pub struct Service<'r> {
    room: &'r Room,
    now: Time,
    events: EventList,
    streams: Streams,
    flow: Flow,
    dining: Dining,
    drop_off: DropOff,
    /// Scraped pieces before the pre-rinse.
    to_pre_rinse: Line,
    pre_rinse_table: Table,
    soak: SoakState,
    racking: Racking,
    machines: Vec<MachineState>,
    faults: Vec<FaultState>,
    tasks: Tasks,
    to_put_away: Line,
    crew: Crew,
    tally: Tally,
    samples: Samples,
    finished: bool,
    diary: Option<Vec<DiaryLine>>,
}

impl<'r> Service<'r> {
    /// A service in this room, nothing played yet.
    #[must_use]
    pub fn new(room: &'r Room) -> Self {
        Self {
            room,
            now: Time::ZERO,
            events: EventList::new(room),
            streams: Streams::new(0, 0),
            flow: Flow::default(),
            dining: Dining::new(room),
            drop_off: DropOff::new(),
            to_pre_rinse: Line::new(Duty::PreRinse, Zone::ToPreRinse, None),
            pre_rinse_table: Table::new(
                Duty::PreRinse,
                room.pre_rinse.as_ref().and_then(|bench| bench.table),
            ),
            soak: SoakState::new(room),
            racking: Racking::new(room),
            machines: room
                .machines
                .iter()
                .map(|_| MachineState::default())
                .collect(),
            faults: Vec::new(),
            tasks: Tasks::default(),
            to_put_away: Line::new(
                Duty::PutAway,
                Zone::ToPutAway,
                room.put_away.as_ref().map(|put_away| Batch {
                    clock: Batch::CARRY,
                    enough: u64::from(put_away.batch),
                    wait_at_most: put_away.wait_at_most,
                }),
            ),
            crew: Crew::new(room),
            tally: Tally::new(room),
            samples: Samples::new(room),
            finished: false,
            diary: None,
        }
    }

    /// The room it plays in.
    #[must_use]
    pub const fn room(&self) -> &'r Room {
        self.room
    }

    /// The moment of the event just played; after the evening, its end.
    #[must_use]
    pub const fn now(&self) -> Time {
        self.now
    }

    /// Whether the evening ended by itself, rather than at its limit or with work nobody can do.
    #[must_use]
    pub const fn finished(&self) -> bool {
        self.finished
    }

    /// Events played so far this evening.
    #[must_use]
    pub const fn events(&self) -> u64 {
        self.tally.events
    }

    /// The books of what waited.
    #[must_use]
    pub const fn lines(&self) -> &Lines {
        &self.flow.lines
    }

    /// Keeps a diary from the next [`Self::begin`] on.
    pub fn keep_diary(&mut self) {
        self.diary = Some(Vec::new());
    }

    /// The diary so far.
    #[must_use]
    pub fn diary(&self) -> &[DiaryLine] {
        self.diary.as_deref().unwrap_or_default()
    }

    /// Plays one whole replication; the outcome can be read afterwards.
    pub fn play(&mut self, seed: u64, replication: u64) {
        self.begin(seed, replication);
        while self.step() {}
    }

    /// Sets everything to the start of a replication.
    pub fn begin(&mut self, seed: u64, replication: u64) {
        self.now = Time::ZERO;
        self.finished = false;
        self.streams = Streams::new(seed, replication);
        self.events.clear();
        self.flow.begin(self.room);
        self.drop_off.begin();
        self.to_pre_rinse.begin();
        self.pre_rinse_table.begin();
        self.soak.begin();
        self.racking.begin(self.room);
        for (state, machine) in self.machines.iter_mut().zip(&self.room.machines) {
            state.begin(machine);
        }
        self.to_put_away.begin();
        self.tally.begin(self.room);
        self.samples.begin();
        if let Some(diary) = &mut self.diary {
            diary.clear();
        }
        self.generate_demand();
        self.plan_shifts();
        self.begin_tasks();
        self.events.plan(self.room.hours.closes, Event::Closes);
        self.events.open();
        self.begin_faults();
        self.begin_water_changes();
    }

    /// Plays the next event. False when the evening is over: finished, at its limit, or stuck; its
    /// books are closed then.
    pub fn step(&mut self) -> bool {
        let limit = self.room.hours.limit;
        let Some((at, event)) = self.events.pop().filter(|(at, _)| *at <= limit) else {
            // Nothing more can happen, or not in time: the evening stands as it is to its limit.
            self.sample_until(limit);
            self.now = limit;
            self.end();
            return false;
        };
        self.sample_until(at);
        self.now = at;
        self.tally.events += 1;
        self.happen(event);
        self.settle();
        if self.events.next_at() != Some(at) {
            self.begin_close_down();
            self.dispatch();
            if self.is_finished() {
                self.finished = true;
                self.end();
                return false;
            }
        }
        true
    }

    fn happen(&mut self, event: Event) {
        match event {
            Event::WorkEnds(operator) => self.work_ends(operator as usize),
            Event::Conveyor(machine) => self.conveyor_due(machine as usize),
            Event::HoodEnds(machine) => self.hood_ends(machine as usize),
            Event::Soaked(sink) => self.soaked(sink as usize),
            Event::Laid(lot) => self.laid(lot as usize),
            Event::Soiled(lot) => self.soiled_in_time(lot as usize),
            Event::SoiledLate(lot) => self.soiled(lot as usize),
            Event::Delivered(lot) => self.delivered(lot as usize),
            Event::Idle(machine) => self.idle_due(machine as usize),
            Event::ShiftBegins(operator) => self.shift_begins(operator as usize),
            Event::BreakDue(operator, number) => self.break_due(operator as usize, number as usize),
            Event::BreakEnds(operator) => self.break_ends(operator as usize),
            Event::ShiftEnds(operator) => self.shift_ends(operator as usize),
            Event::Fault(machine) => self.fault_due(machine as usize),
            Event::Noticed(fault) => self.notice(fault as usize),
            Event::Looked(fault) => self.look_due(fault as usize),
            Event::SetUpDone(task) => self.task_done(Duty::SetUp, task as usize),
            Event::CloseDownDone(task) => self.task_done(Duty::CloseDown, task as usize),
            Event::WaterDue(machine) => self.water_due(machine as usize),
            // Somebody, or ware that moves by itself, may have something to do now.
            Event::Closes | Event::WaitedLongest(_) | Event::Drained(_) => {}
        }
    }

    /// What moves by itself has moved, before anybody looks around: so no part of the room calls back to one that
    /// ware has passed.
    pub(super) fn settle(&mut self) {
        self.unload_by_itself();
        self.let_trips_in();
        self.draw_down();
    }

    /// Closed, every piece out, all closed down, nobody at work, no rack half rinsed.
    fn is_finished(&self) -> bool {
        self.now >= self.room.hours.closes
            && self.flow.census.of(Zone::Out) == self.flow.census.total()
            && self.crew.nobody_works()
            && self.is_closed_down()
            && !self.any_rinses()
    }

    /// Closes the books at the end of the evening.
    fn end(&mut self) {
        if !self.finished {
            self.count_what_still_waits();
        }
        self.everybody_leaves();
        for machine in 0..self.machines.len() {
            self.switch_off(machine);
        }
        self.flow.lines.end(self.now);
        self.tally.end(self.now);
        self.finish_samples();
    }
}
