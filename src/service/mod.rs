//! One simulated service, event by event.
//!
//! A [`Service`] owns everything that changes during an evening and borrows the [`Room`] it plays in.
//! Each station is a file beside this one and a row in `stations`. **`service` reads no file, no clock of
//! the machine and no environment**; what varies comes from [`streams`] alone. One service after another in
//! the same `Service` reuses its memory: once warm, nothing is allocated.
//!
//! **Nobody but the event loop has the whole service in hand**: it is this file, [`dispatch`], and the rows of
//! `stations`. All others are given `Common` and the parts that they may move. What reads a service when it is
//! over, or at a minute mark, reads all of it and writes nothing.
//!
//! Reading order: [`index`], [`events`], [`streams`], [`pieces`] and [`mod@line`], which all others speak of, and
//! `common`, where they are together; then as ware goes: [`demand`] and `seats`, [`dining`], [`clear_down`], [`drop_off`] with its `decoys` and `sorting`,
//! [`scrape`], [`pre_rinse`], `sinks` and [`soak`], [`pot_sink`] and what they share, [`soiled_side`]; [`loading`], [`machine`] and
//! `passage` with [`conveyor`], its `belt`, and [`hood`], [`water`], [`water_change`] with its `supply` and `taps`, and [`tanks`], [`washing`],
//! [`landing`] and `dollies`, [`put_away`] and `stock`; what is done to machines and goes wrong with them: [`tasks`], [`faults`], `look`;
//! then who does it: `job`, [`work`] and [`stations`], [`dispatch`] and [`crew`] with its `stretch`, `help` and how it is `called`; then what is known of it: [`tally`], [`obstacle`]
//! and `stuck`, [`measure`], [`utilities`], [`cost`] and [`outcome`], [`series`] and [`sample`], [`diary`]. [`audit`]
//! recounts everything, for tests.

pub mod audit;
mod belt;
mod called;
pub mod clear_down;
mod common;
pub mod conveyor;
pub mod cost;
pub mod crew;
mod decoys;
pub mod demand;
pub mod diary;
pub mod dining;
pub mod dispatch;
mod dollies;
pub mod drop_off;
pub mod events;
pub mod faults;
mod help;
pub mod hood;
pub mod index;
mod job;
pub mod landing;
pub mod line;
pub mod loading;
mod look;
pub mod machine;
pub mod measure;
pub mod obstacle;
pub mod outcome;
mod passage;
pub mod pieces;
pub mod pot_sink;
pub mod pre_rinse;
pub mod put_away;
pub mod sample;
pub mod scrape;
mod seats;
pub mod series;
mod sinks;
pub mod soak;
pub mod soiled_side;
mod sorting;
pub mod stations;
mod stock;
pub mod streams;
mod stretch;
pub mod stuck;
mod supply;
pub mod tally;
pub mod tanks;
mod taps;
pub mod tasks;
pub mod utilities;
pub mod washing;
pub mod water;
pub mod water_change;
pub mod work;

use crate::room::Room;
use crate::room::taps::Fills;
use crate::room::time::Time;
use crate::scenario::model::Duty;
use common::Common;
use crew::Crew;
use diary::Entry;
use events::Event;
use index::{MachineId, RackId, TaskId};
use line::{Line, Lines};
use machine::Machines;
use pieces::{Lot, Piece, Run, Zone};
use put_away::CleanSide;
use series::Samples;
use soiled_side::SoiledSide;
use tasks::Tasks;

/// One evening being played.
///
/// Only the event loop, here and in [`dispatch`], has all parts in hand. What happens is done by the part it happens to,
/// which is given `Common` and the parts that ware goes on to.
#[derive(Debug)]
pub struct Service<'r> {
    common: Common<'r>,
    /// Soiled ware that waits on the tables for a crew trip.
    tables: Line,
    soiled: SoiledSide,
    machines: Machines,
    clean: CleanSide,
    tasks: Tasks,
    crew: Crew,
    samples: Samples,
    /// Something happened at this moment that somebody might do something about.
    is_unsettled: bool,
    finished: bool,
}

impl<'r> Service<'r> {
    /// A service in this room, nothing played yet.
    #[must_use]
    pub fn new(room: &'r Room) -> Self {
        Self {
            common: Common::new(room),
            tables: clear_down::tables(room),
            soiled: SoiledSide::new(room),
            machines: Machines::new(room),
            clean: CleanSide::new(room),
            tasks: Tasks::default(),
            crew: Crew::new(room),
            samples: Samples::new(room),
            is_unsettled: false,
            finished: false,
        }
    }

    /// The room it plays in.
    #[must_use]
    pub const fn room(&self) -> &'r Room {
        self.common.room
    }

    /// The moment of the event just played; after the evening, its end.
    #[must_use]
    pub const fn now(&self) -> Time {
        self.common.now
    }

    /// Whether the evening ended by itself, rather than at its limit or with work nobody can do.
    #[must_use]
    pub const fn finished(&self) -> bool {
        self.finished
    }

    /// Events played so far this evening.
    #[must_use]
    pub const fn events(&self) -> u64 {
        self.common.tally.events
    }

    /// The books of what waited.
    #[must_use]
    pub const fn lines(&self) -> &Lines {
        &self.common.flow.lines
    }

    /// All pieces of the evening, drawn at its beginning.
    #[must_use]
    pub fn pieces(&self) -> &[Piece] {
        &self.common.flow.pieces
    }

    /// The runs they go in; at its beginning one for each lot.
    #[must_use]
    pub fn runs(&self) -> &[Run] {
        &self.common.flow.runs
    }

    /// All lots of the evening, drawn at its beginning.
    #[must_use]
    pub fn lots(&self) -> &[Lot] {
        &self.common.flow.lots
    }

    /// Index of a rack's kind.
    #[must_use]
    pub fn rack_kind(&self, rack: RackId) -> usize {
        self.soiled.racking.racks[rack].kind
    }

    /// Keeps a diary from the next [`Self::begin`] on.
    pub fn keep_diary(&mut self) {
        self.common.diary = Some(Vec::new());
    }

    /// The diary so far.
    #[must_use]
    pub fn diary(&self) -> &[Entry] {
        self.common.diary.as_deref().unwrap_or_default()
    }

    /// The samples of the service just played.
    #[must_use]
    pub const fn samples(&self) -> &Samples {
        &self.samples
    }

    /// Plays one whole replication; the outcome can be read afterwards.
    pub fn play(&mut self, seed: u64, replication: u64) {
        self.begin(seed, replication);
        while self.step() {}
    }

    /// Sets everything to the start of a replication.
    pub fn begin(&mut self, seed: u64, replication: u64) {
        let room = self.common.room;
        self.finished = false;
        self.is_unsettled = true;
        self.common.begin(seed, replication);
        self.tables.begin();
        self.soiled.begin(room);
        self.machines.begin(room);
        self.clean.begin(&mut self.common);
        let racking = &mut self.soiled.racking;
        self.clean.stand_in_racks(&mut self.common, racking);
        self.samples.begin();
        self.common.generate_demand();
        self.crew.plan_shifts(&mut self.common);
        self.tasks.begin_tasks(&mut self.common);
        self.common.events.plan(room.hours.closes, Event::Closes);
        self.machines.plan_faults_at(&mut self.common);
        self.common.events.open();
        self.machines.begin_faults(&mut self.common);
        self.machines.begin_water_changes(&mut self.common);
    }

    /// Plays the next event. False when the evening is over: finished, at its limit, or stuck; its
    /// books are closed then.
    pub fn step(&mut self) -> bool {
        let limit = self.common.room.hours.limit;
        let Some((at, event)) = self.common.events.pop().filter(|(at, _)| *at <= limit) else {
            // Nothing more can happen, or not in time: the evening stands as it is to its limit.
            self.sample_until(limit);
            self.common.now = limit;
            self.end();
            return false;
        };
        self.sample_until(at);
        self.common.now = at;
        self.common.tally.events += 1;
        self.happen(event);
        if !self.concerns_guests_alone(event) || !self.clean.stock.emptied.is_empty() {
            self.settle();
            self.is_unsettled = true;
        }
        if self.is_unsettled && self.common.events.next_at() != Some(at) {
            self.is_unsettled = false;
            if self.crew.help.looks() {
                self.crew.look_for_help(&mut self.common);
            }
            self.tasks
                .begin_close_down(&mut self.common, &self.machines);
            self.dispatch();
            if self.is_finished() {
                self.finished = true;
                self.end();
                return false;
            }
        }
        true
    }

    /// Whether nobody in the dish room can do anything about it, so that there is no need to look around: ware is laid,
    /// or is soiled and on its way.
    fn concerns_guests_alone(&self, event: Event) -> bool {
        match event {
            Event::Laid(_) => true,
            Event::Soiled(_) | Event::SoiledLate(_) => self.common.room.is_brought(),
            _ => false,
        }
    }

    fn happen(&mut self, event: Event) {
        let common = &mut self.common;
        let machines = &mut self.machines;
        let tables = &mut self.tables;
        let SoiledSide {
            drop_off,
            racking,
            soak,
            ..
        } = &mut self.soiled;
        match event {
            Event::WorkEnds(operator) => self.work_ends(operator),
            Event::Conveyor(machine) => machines.conveyor_due(common, racking, machine),
            Event::HoodEnds(machine) => machines.hood_ends(common, racking, machine),
            Event::HoodRinses(machine) => machines.hood_rinses(common, machine),
            Event::Soaked(sink) => soak.soaked(sink),
            Event::TubComes(tub) => drop_off.tub_comes(common, &self.crew, racking, tub),
            Event::CleanComes(lot) => self.clean.brought(common, lot),
            Event::Laid(lot) => self.clean.laid(common, lot),
            Event::Soiled(lot) => {
                let to = (drop_off, racking);
                dining::soiled_in_time(common, tables, to, &self.crew, lot);
            }
            Event::SoiledLate(lot) => {
                dining::soiled(common, tables, (drop_off, racking), &self.crew, lot);
            }
            Event::Delivered(lot) => drop_off.delivered(common, &self.crew, racking, lot),
            Event::Idle(machine) => machines.idle_due(common, racking, machine),
            Event::ShiftBegins(operator) => self.crew.shift_begins(common, operator),
            Event::BreakDue(operator, number) => {
                self.crew.break_due(common, operator, number as usize);
            }
            Event::BreakEnds(operator) => self.crew.break_ends(common, operator),
            Event::ShiftEnds(operator) => self.crew.shift_ends(common, operator),
            Event::HelpComes(operator) => self.crew.help_comes(common, operator),
            Event::HelpMayGo(operator) => self.crew.help_may_go(common, operator),
            Event::Fault(machine) => machines.fault_due(common, racking, machine),
            Event::FaultAt(fault) => machines.fault_at(common, racking, fault),
            Event::Passes(fault) => machines.passes(common, racking, fault),
            Event::Noticed(fault) => machines.notice(common, fault),
            Event::Looked(fault) => machines.look_due(common, &self.crew, fault),
            Event::SetUpDone(task) => {
                let tasks = &mut self.tasks;
                tasks.task_done(common, racking, machines, Duty::SetUp, task);
            }
            Event::CloseDownDone(task) => {
                let tasks = &mut self.tasks;
                tasks.task_done(common, racking, machines, Duty::CloseDown, task);
            }
            Event::Filled(tap) => match common.fills(tap) {
                Some(Fills::Change(machine)) => {
                    machines.change_is_filled(common, MachineId::new(machine));
                }
                Some(Fills::Task(task)) => {
                    let of = (tap, TaskId::new(task));
                    self.tasks.filled(common, racking, machines, of);
                }
                None => {}
            },
            Event::WaterDue(machine) => machines.water_due(common, racking, machine),
            // Somebody, or ware that moves by itself, may have something to do now.
            Event::Drained(machine) => machines.drained(common, racking, machine),
            Event::Closes | Event::WaitedLongest(_) | Event::Sanitised | Event::PotsDry => {}
        }
    }

    /// What moves by itself has moved, before anybody looks around: so no part of the room calls back to one that
    /// ware has passed.
    #[inline]
    pub(super) fn settle(&mut self) {
        let common = &mut self.common;
        if common.room.unload.is_none() {
            self.machines
                .unload_by_itself(common, &mut self.soiled, &mut self.clean);
        }
        if !self.soiled.drop_off.trips.is_empty() {
            self.soiled.drop_off.let_trips_in(common, &mut self.crew);
        }
        if common.room.scrape.is_none() {
            self.soiled
                .draw_down(common, &mut self.clean, &mut self.crew);
        }
        let drop_off = &mut self.soiled.drop_off;
        if self.tables.len() > 0 {
            clear_down::send_tubs(common, &mut self.tables, drop_off, &self.crew);
        }
        if common.room.settles_more {
            self.settle_more();
        }
    }

    /// What few rooms have: racks that come back empty from the store, a pot sink, a fleet of tubs.
    fn settle_more(&mut self) {
        let common = &mut self.common;
        let emptied = &mut self.clean.stock.emptied;
        if !emptied.is_empty() {
            self.soiled.racking.take_back(common, emptied);
        }
        if common.room.pot_sink.is_some() {
            self.soiled.pots.move_on(common, &mut self.clean);
        }
        let drop_off = &mut self.soiled.drop_off;
        clear_down::look_for_tubs(common, &self.tables, drop_off, &self.crew);
    }

    /// Samples every minute mark before `at` that has not been sampled yet.
    #[inline]
    fn sample_until(&mut self, at: Time) {
        while self.samples.due() < at {
            self.sample();
        }
    }

    #[cold]
    fn sample(&mut self) {
        for duty in Duty::ALL {
            if duty.bit() & self.common.flow.lines.wanted() == 0 {
                continue;
            }
            if let Some(obstacle) = self.obstacle(duty) {
                self.common.tally.obstacle(duty, obstacle);
            }
        }
        // After the evening nothing is used any more.
        let over = self.common.tally.end > Time::ZERO;
        let mark = if over {
            self.common.tally.end
        } else {
            self.samples.due()
        };
        self.machines.settle_all_to(&self.common, mark);
        let mut samples = std::mem::take(&mut self.samples);
        let counts = self.counts_at(samples.due());
        samples.mark(|kind| self.value(kind, &counts));
        self.samples = samples;
    }

    /// Closed, every piece out, all closed down, nobody at work, no rack half rinsed.
    fn is_finished(&self) -> bool {
        let census = &self.common.flow.census;
        self.common.now >= self.common.room.hours.closes
            && census.of(Zone::Out) == census.total()
            && self.crew.nobody_works()
            && self.tasks.is_closed_down()
            && !self.machines.any_rinses(&self.common)
    }

    /// Closes the books at the end of the evening.
    fn end(&mut self) {
        let common = &mut self.common;
        if !self.finished {
            common.count_what_still_waits();
        }
        self.crew.everybody_leaves(common);
        self.machines.switch_off(common, self.finished);
        common.flow.lines.end(common.now);
        common.tally.end(common.now);
        self.sample_until(self.common.now + Time::MINUTE);
        self.samples.finish(&self.common.tally);
    }
}
