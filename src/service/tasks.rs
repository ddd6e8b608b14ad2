//! Set-up and close-down: lists of tasks, taken up in their order by whoever has the duty.
//!
//! A task waits for those it comes after. When the hands are done the machine may go on by itself
//! (tanks fill, water heats up); the task is done when that is. Racks wait for the tasks of the set-up
//! that say so. The close-down begins once the service has closed and all ware is past inspection.

use super::common::Common;
use super::diary::Happening;
use super::events::Event;
use super::index::{MachineId, OperatorId, TapId, TaskId, indexes};
use super::job::{Job, Next, Thing};
use super::line::Calls;
use super::loading::Racking;
use super::machine::{Machines, Phase};
use super::pieces::Zone;
use super::streams::Purpose;
use super::supply;
use crate::room::Room;
use crate::room::plan::Spot;
use crate::room::tasks::Task;
use crate::room::time::Time;
use crate::scenario::model::{Duty, TaskDoes};

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

indexes!(TaskId => TaskState);

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

impl Tasks {
    /// Both lists at the start of a replication.
    pub(super) fn begin_tasks(&mut self, common: &mut Common<'_>) {
        let Tasks {
            set_up,
            close_down,
            closing,
        } = self;
        for (states, list) in [
            (set_up, &common.room.set_up),
            (close_down, &common.room.close_down),
        ] {
            states.clear();
            states.resize(list.len(), TaskState::Waiting);
        }
        *closing = None;
        let count = common.room.set_up.len() as u32;
        Calls(Duty::SetUp).join(&mut common.flow, count, common.now);
    }

    /// The first task of a duty that a row of the roster could take up now; of any row, if none is named.
    fn next_task(&self, common: &Common<'_>, duty: Duty, row: Option<usize>) -> Option<TaskId> {
        if duty == Duty::CloseDown && self.closing.is_none() {
            return None;
        }
        let states = self.of(duty);
        let may = |task: &Task| {
            let theirs = row.is_none_or(|row| task.by.is_none_or(|by| by == row));
            theirs
                && task
                    .after
                    .iter()
                    .all(|&after| states[after] == TaskState::Done)
        };
        let tasks = list(common.room, duty).iter().zip(states);
        let mut tasks = tasks.enumerate();
        tasks.find_map(|(index, (task, state))| {
            (*state == TaskState::Waiting && may(task)).then_some(TaskId::new(index))
        })
    }

    pub(super) fn next_task_of(
        &self,
        common: &Common<'_>,
        duty: Duty,
        operator: Option<OperatorId>,
    ) -> Next {
        let row = operator.map(|operator| common.room.crew[operator].row);
        let task = self.next_task(common, duty, row);
        task.map_or(Next::Nothing, |task| {
            Next::ReadyAt(spot_of(&list(common.room, duty)[task]))
        })
    }

    /// Takes up the next task.
    pub(super) fn take_task(
        &mut self,
        common: &mut Common<'_>,
        duty: Duty,
        operator: OperatorId,
    ) -> Job {
        let row = common.room.crew[operator].row;
        let Some(index) = self.next_task(common, duty, Some(row)) else {
            return Job::default();
        };
        self.of_mut(duty)[index] = TaskState::InHand;
        let since = self.closing.filter(|_| duty == Duty::CloseDown);
        Calls(duty).take(&mut common.flow, since.unwrap_or(Time::ZERO), common.now);
        let task = &list(common.room, duty)[index];
        let part = u64::from(duty == Duty::CloseDown);
        let mut stream = common.streams.stream(Purpose::Task, task.key, part);
        Job {
            thing: Thing::Task(index),
            more_s: task.takes.draw(&mut stream).s(),
            spot: Some(spot_of(task)),
            ..Job::default()
        }
    }

    /// The hands are done: the machines go on by themselves, or the task is done.
    pub(super) fn task_handled(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machines: &mut Machines,
        duty: Duty,
        job: &Job,
    ) {
        let Thing::Task(index) = job.thing else {
            return;
        };
        self.of_mut(duty)[index] = TaskState::Running;
        let task = &list(common.room, duty)[index];
        if let (Some(TaskDoes::Fill), Some(supply)) = (task.does, &common.room.supply) {
            for (tap, &machine) in supply::of_task(supply, index).zip(&task.machines) {
                machines.fill_from(common, tap, MachineId::new(machine), task.flow_l_per_s);
            }
            return self.done_if_filled(common, racking, machines, index);
        }
        let mut done = common.now;
        for machine in task.machines.iter().copied().map(MachineId::new) {
            let takes = match task.does {
                None => Time::ZERO,
                Some(TaskDoes::Fill) => machines.fill_time(common, machine, task.flow_l_per_s),
                Some(TaskDoes::Heat) => machines.heat_on(common, racking, machine),
                Some(TaskDoes::HeatOff) => machines.heat_off(common, machine),
                Some(TaskDoes::PumpsOff) => machines.pumps_off(common, machine),
                Some(TaskDoes::Drain) => machines.drain_for_good(common, machine),
            };
            done = done.max(common.now + takes);
        }
        if done > common.now {
            let event = if duty == Duty::CloseDown {
                Event::CloseDownDone(index)
            } else {
                Event::SetUpDone(index)
            };
            common.events.set(done, event);
        } else {
            self.task_done(common, racking, machines, duty, index);
        }
    }

    /// One of the tanks of a task is full.
    pub(super) fn filled(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machines: &mut Machines,
        (tap, task): (TapId, TaskId),
    ) {
        common.close_tap(tap);
        self.done_if_filled(common, racking, machines, task);
    }

    fn done_if_filled(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machines: &mut Machines,
        task: TaskId,
    ) {
        let supply = common.room.supply.as_ref();
        let taps = supply.map(|supply| supply::of_task(supply, task));
        let fills = taps.is_some_and(|mut taps| taps.any(|tap| common.taps.all[tap].is_open));
        if !fills {
            self.task_done(common, racking, machines, Duty::SetUp, task);
        }
    }

    /// A task is done: what waits for it may begin, and a machine may be ready.
    pub(super) fn task_done(
        &mut self,
        common: &mut Common<'_>,
        racking: &mut Racking,
        machines: &mut Machines,
        duty: Duty,
        index: TaskId,
    ) {
        self.of_mut(duty)[index] = TaskState::Done;
        common.note(Happening::TaskDone { duty, task: index });
        if duty == Duty::CloseDown {
            return;
        }
        let task = &common.room.set_up[index];
        for machine in task.machines.iter().copied().map(MachineId::new) {
            if task.does == Some(TaskDoes::Fill) {
                machines.fill(common, machine);
            }
            if task.racks_wait && self.is_set_up(common, machine) {
                machines.ready(common, racking, machine);
            }
        }
    }

    /// Whether no task of the set-up keeps the racks of a machine waiting.
    fn is_set_up(&self, common: &Common<'_>, machine: MachineId) -> bool {
        let tasks = common.room.set_up.iter().zip(&self.set_up);
        let mut of_it =
            tasks.filter(|(task, _)| task.racks_wait && task.machines.contains(&machine.at()));
        of_it.all(|(_, state)| *state == TaskState::Done)
    }
}

impl Machines {
    /// Racks may enter from now on.
    fn ready(&mut self, common: &mut Common<'_>, racking: &mut Racking, machine: MachineId) {
        if self.states[machine].phase != Phase::Off {
            return;
        }
        self.states[machine].settle_belt(common.now);
        let rests = common.room.machines[machine].idles();
        let phase = if rests { Phase::Idle } else { Phase::Running };
        self.change_phase(common, machine, phase);
        common.tally.ready = Some(common.now);
        common.note(Happening::Ready { machine });
        if self.stands_at_once(common, machine) {
            return;
        }
        self.advance(common, racking, machine);
    }

    /// Pumps and belt go off for good.
    fn pumps_off(&mut self, common: &mut Common<'_>, machine: MachineId) -> Time {
        self.states[machine].settle_belt(common.now);
        self.change_phase(common, machine, Phase::Off);
        self.count_change(common, machine);
        self.stop_clocks(common, machine);
        Time::ZERO
    }
}

impl Tasks {
    /// The close-down begins once the service has closed and no ware can come back to be washed.
    pub(super) fn begin_close_down(&mut self, common: &mut Common<'_>, machines: &Machines) {
        let waits = !common.room.close_down.is_empty() && self.closing.is_none();
        if !waits || common.now < common.room.hours.closes {
            return;
        }
        let clean = [Zone::ToPutAway, Zone::PuttingAway, Zone::Out];
        let clean: u32 = clean.iter().map(|zone| common.flow.census.of(*zone)).sum();
        if clean == common.flow.census.total() && !machines.any_rinses(common) {
            self.closing = Some(common.now);
            let count = common.room.close_down.len() as u32;
            Calls(Duty::CloseDown).join(&mut common.flow, count, common.now);
        }
    }

    /// Whether nothing of the close-down is left to do.
    pub(super) fn is_closed_down(&self) -> bool {
        self.close_down
            .iter()
            .all(|state| *state == TaskState::Done)
    }

    /// Tasks of a duty that nobody has taken up.
    pub(super) fn tasks_waiting(&self, duty: Duty) -> u32 {
        if duty == Duty::CloseDown && self.closing.is_none() {
            return 0;
        }
        let states = self.of(duty).iter();
        states.filter(|state| **state == TaskState::Waiting).count() as u32
    }

    /// The names of the tasks of a duty that are not done.
    pub(super) fn tasks_left<'r>(
        &self,
        common: &Common<'r>,
        duty: Duty,
    ) -> impl Iterator<Item = &'r str> {
        let tasks = list(common.room, duty).iter().zip(self.of(duty));
        tasks
            .filter(|(_, state)| **state != TaskState::Done)
            .map(|(task, _)| task.name.as_str())
    }
}

const fn list(room: &Room, duty: Duty) -> &[Task] {
    if matches!(duty, Duty::SetUp) {
        room.set_up.as_slice()
    } else {
        room.close_down.as_slice()
    }
}

/// At the first of its machines.
fn spot_of(task: &Task) -> Spot {
    Spot::of_landing(task.machines.first().copied().unwrap_or(0))
}
