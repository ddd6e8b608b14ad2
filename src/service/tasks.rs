//! Set-up and close-down: lists of tasks, taken up in their order by whoever has the duty.
//!
//! A task waits for those it comes after. When the hands are done the machine may go on by itself
//! (tanks fill, water heats up); the task is done when that is. Racks wait for the tasks of the set-up
//! that say so. The close-down begins once the service has closed and all ware is past inspection.

use super::Service;
use super::crew::{Job, Thing};
use super::diary::Happening;
use super::events::Event;
use super::line::Calls;
use super::machine::Phase;
use super::pieces::Zone;
use super::station::{Next, Station, Unit};
use super::streams::Purpose;
use crate::room::plan::Spot;
use crate::room::tasks::Task;
use crate::room::time::Time;
use crate::scenario::model::{Duty, TaskDoes};

pub(super) const SET_UP: Station = Station {
    personal: true,
    ..Station::new(
        Duty::SetUp,
        Unit::Tasks,
        |service, operator| service.next_task_of(Duty::SetUp, operator),
        |service, operator| service.take_task(Duty::SetUp, operator),
        |service, _, job| service.task_handled(Duty::SetUp, &job),
    )
};

pub(super) const CLOSE_DOWN: Station = Station {
    personal: true,
    ..Station::new(
        Duty::CloseDown,
        Unit::Tasks,
        |service, operator| service.next_task_of(Duty::CloseDown, operator),
        |service, operator| service.take_task(Duty::CloseDown, operator),
        |service, _, job| service.task_handled(Duty::CloseDown, &job),
    )
};

/// How far a task is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TaskState {
    /// Nobody has taken it up.
    #[default]
    Waiting,
    /// In somebody's hands.
    InHand,
    /// The machine goes on by itself.
    Running,
    /// Done.
    Done,
}

/// The two lists during a service.
#[derive(Debug, Default)]
pub struct Tasks {
    set_up: Vec<TaskState>,
    close_down: Vec<TaskState>,
    /// The close-down has begun, and when.
    closing: Option<Time>,
}

impl Tasks {
    const fn of(&self, duty: Duty) -> &Vec<TaskState> {
        if matches!(duty, Duty::SetUp) {
            &self.set_up
        } else {
            &self.close_down
        }
    }

    const fn of_mut(&mut self, duty: Duty) -> &mut Vec<TaskState> {
        if matches!(duty, Duty::SetUp) {
            &mut self.set_up
        } else {
            &mut self.close_down
        }
    }
}

impl Service<'_> {
    /// Both lists at the start of a replication.
    pub(super) fn begin_tasks(&mut self) {
        let Tasks {
            set_up,
            close_down,
            closing,
        } = &mut self.tasks;
        for (states, list) in [
            (set_up, &self.room.set_up),
            (close_down, &self.room.close_down),
        ] {
            states.clear();
            states.resize(list.len(), TaskState::Waiting);
        }
        *closing = None;
        let count = self.room.set_up.len() as u32;
        Calls(Duty::SetUp).join(&mut self.flow, count, self.now);
    }

    const fn list(&self, duty: Duty) -> &[Task] {
        if matches!(duty, Duty::SetUp) {
            self.room.set_up.as_slice()
        } else {
            self.room.close_down.as_slice()
        }
    }

    /// The first task of a duty that a row of the roster could take up now; of any row, if none is named.
    fn next_task(&self, duty: Duty, row: Option<usize>) -> Option<usize> {
        if duty == Duty::CloseDown && self.tasks.closing.is_none() {
            return None;
        }
        let states = self.tasks.of(duty);
        let may = |task: &Task| {
            let theirs = row.is_none_or(|row| task.by.is_none_or(|by| by == row));
            theirs
                && task
                    .after
                    .iter()
                    .all(|&after| states[after] == TaskState::Done)
        };
        let tasks = self.list(duty).iter().zip(states);
        let mut tasks = tasks.enumerate();
        tasks.find_map(|(index, (task, state))| {
            (*state == TaskState::Waiting && may(task)).then_some(index)
        })
    }

    fn next_task_of(&self, duty: Duty, operator: Option<usize>) -> Next {
        let row = operator.map(|operator| self.room.crew[operator].row);
        let task = self.next_task(duty, row);
        task.map_or(Next::Nothing, |task| {
            Next::Ready(spot_of(&self.list(duty)[task]))
        })
    }

    /// Takes up the next task.
    fn take_task(&mut self, duty: Duty, operator: usize) -> Job {
        let row = self.room.crew[operator].row;
        let Some(index) = self.next_task(duty, Some(row)) else {
            return Job::default();
        };
        self.tasks.of_mut(duty)[index] = TaskState::InHand;
        let since = self.tasks.closing.filter(|_| duty == Duty::CloseDown);
        Calls(duty).take(&mut self.flow, since.unwrap_or(Time::ZERO), self.now);
        let task = &self.list(duty)[index];
        let part = u64::from(duty == Duty::CloseDown);
        let mut stream = self.streams.stream(Purpose::Task, task.key, part);
        Job {
            thing: Thing::Task(index),
            more_s: task.takes.draw(&mut stream).s(),
            spot: spot_of(task),
            ..Job::default()
        }
    }

    /// The hands are done: the machines go on by themselves, or the task is done.
    fn task_handled(&mut self, duty: Duty, job: &Job) {
        let Thing::Task(index) = job.thing else {
            return;
        };
        self.tasks.of_mut(duty)[index] = TaskState::Running;
        let room = self.room;
        let list = if duty == Duty::SetUp {
            &room.set_up
        } else {
            &room.close_down
        };
        let task = &list[index];
        let takes = |service: &mut Self, machine: usize| match task.does {
            None => Time::ZERO,
            Some(TaskDoes::Fill) => service.fill_time(machine, task.flow_l_per_s),
            Some(TaskDoes::Heat) => service.heat_on(machine),
            Some(TaskDoes::HeatOff) => service.heat_off(machine),
            Some(TaskDoes::PumpsOff) => service.pumps_off(machine),
            Some(TaskDoes::Drain) => service.drain_for_good(machine),
        };
        let mut done = self.now;
        for &machine in &task.machines {
            done = done.max(self.now + takes(self, machine));
        }
        if done > self.now {
            let index = index as u32;
            let event = if duty == Duty::CloseDown {
                Event::CloseDownDone(index)
            } else {
                Event::SetUpDone(index)
            };
            self.events.set(done, event);
        } else {
            self.task_done(duty, index);
        }
    }

    /// A task is done: what waits for it may begin, and a machine may be ready.
    pub(super) fn task_done(&mut self, duty: Duty, index: usize) {
        self.tasks.of_mut(duty)[index] = TaskState::Done;
        self.note(Happening::TaskDone {
            duty,
            task: index as u32,
        });
        if duty == Duty::CloseDown {
            return;
        }
        let task = &self.room.set_up[index];
        for &machine in &task.machines {
            if task.does == Some(TaskDoes::Fill) {
                self.fill(machine);
            }
            if task.racks_wait && self.is_set_up(machine) {
                self.ready(machine);
            }
        }
    }

    /// Whether no task of the set-up keeps the racks of a machine waiting.
    fn is_set_up(&self, machine: usize) -> bool {
        let tasks = self.room.set_up.iter().zip(&self.tasks.set_up);
        let mut of_it =
            tasks.filter(|(task, _)| task.racks_wait && task.machines.contains(&machine));
        of_it.all(|(_, state)| *state == TaskState::Done)
    }

    /// Racks may enter from now on.
    fn ready(&mut self, machine: usize) {
        if self.machines[machine].phase != Phase::Off {
            return;
        }
        self.settle_belt(machine);
        let rests = self.room.machines[machine].idles();
        let phase = if rests { Phase::Idle } else { Phase::Running };
        self.change_phase(machine, phase);
        self.tally.ready = Some(self.now);
        self.note(Happening::Ready {
            machine: machine as u32,
        });
        self.advance(machine);
    }

    /// Pumps and belt go off for good.
    fn pumps_off(&mut self, machine: usize) -> Time {
        self.settle_belt(machine);
        self.change_phase(machine, Phase::Off);
        self.count_change(machine);
        self.stop_clocks(machine);
        Time::ZERO
    }

    /// The close-down begins once the service has closed and no ware can come back to be washed.
    pub(super) fn begin_close_down(&mut self) {
        let waits = !self.room.close_down.is_empty() && self.tasks.closing.is_none();
        if !waits || self.now < self.room.hours.closes {
            return;
        }
        let clean = [Zone::ToPutAway, Zone::PuttingAway, Zone::Out];
        let clean: u32 = clean.iter().map(|zone| self.flow.census.of(*zone)).sum();
        if clean == self.flow.census.total() && !self.any_rinses() {
            self.tasks.closing = Some(self.now);
            let count = self.room.close_down.len() as u32;
            Calls(Duty::CloseDown).join(&mut self.flow, count, self.now);
        }
    }

    /// Whether nothing of the close-down is left to do.
    pub(super) fn is_closed_down(&self) -> bool {
        self.tasks
            .close_down
            .iter()
            .all(|state| *state == TaskState::Done)
    }

    /// Tasks of a duty that nobody has taken up.
    pub(super) fn tasks_waiting(&self, duty: Duty) -> u32 {
        if duty == Duty::CloseDown && self.tasks.closing.is_none() {
            return 0;
        }
        let states = self.tasks.of(duty).iter();
        states.filter(|state| **state == TaskState::Waiting).count() as u32
    }

    /// The names of the tasks of a duty that are not done.
    pub(super) fn tasks_left(&self, duty: Duty) -> impl Iterator<Item = &str> {
        let tasks = self.list(duty).iter().zip(self.tasks.of(duty));
        tasks
            .filter(|(_, state)| **state != TaskState::Done)
            .map(|(task, _)| task.name.as_str())
    }
}

/// At the first of its machines.
fn spot_of(task: &Task) -> Spot {
    Spot::of_landing(task.machines.first().copied().unwrap_or(0))
}
