//! Set-up, close-down and faults on the sheet: when the machines are ready at the earliest, how long the
//! cleaning takes, and what faults leave of a running machine.
//!
//! Tasks take their mean times and with as many hands as they can use: the longest way through the
//! tasks that wait for each other. A task that is somebody's own may make it longer. The share of time that
//! faults leave is 1/(1 + sum of time standing over running time between) (Buzacott 1967, from memory):
//! clocks stand while the machine does.

use serde::Serialize;

use crate::physics::heat::{Load, fill_s};
use crate::room::Room;
use crate::room::crew::Operator;
use crate::room::faults::{Fault, When};
use crate::room::tasks::Task;
use crate::scenario::model::{Duty, TaskDoes};

/// A list of tasks.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TaskList {
    /// How many.
    pub tasks: usize,
    /// Hands on, all together, min.
    pub hands_min: f64,
    /// From its beginning to its end with all the hands it can use, min.
    pub takes_min: f64,
}

/// The set-up.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SetUp {
    /// Its tasks.
    #[serde(flatten)]
    pub list: TaskList,
    /// When somebody is there to begin, time of day, s; `None` if nobody with the duty ever is.
    pub begins_s: Option<f64>,
    /// When racks may enter at the earliest, time of day, s.
    pub ready_s: Option<f64>,
    /// The same after opening, min; below 0 before it.
    pub ready_min_after_open: Option<f64>,
}

/// A fault in the running of a machine.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FaultFigures {
    /// Name.
    pub name: String,
    /// The machine.
    pub machine: String,
    /// Running time between, h; `None` if it strikes at a time of day.
    pub every_h: Option<f64>,
    /// The time of day at which it strikes, s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_s: Option<f64>,
    /// Until it is noticed, on average, min; `None` where only dirty ware shows it.
    pub noticed_min: Option<f64>,
    /// To mend it, min; `None` where it passes by itself.
    pub mend_min: Option<f64>,
    /// For how long the machine stands each time, if somebody is free at once, min.
    pub stands_min: f64,
    /// Whether it spoils the wash meanwhile.
    pub spoils: bool,
}

/// What faults leave of a machine.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Available {
    /// The machine.
    pub machine: String,
    /// Share of the time, while there is work, in which no fault keeps it standing.
    pub share: f64,
    /// Rated racks per hour times that.
    pub racks_per_hour: f64,
}

/// Duties that are needed to the end and that nobody has who stays.
fn left_alone(room: &Room) -> Vec<Duty> {
    let stays = |duty: Duty| {
        let holds = |operator: &&Operator| operator.duties.iter().any(|d| d.duty == duty);
        let late = |operator: &Operator| operator.stays && operator.to >= room.hours.closes;
        room.crew.iter().filter(holds).any(late)
    };
    let needed = [Duty::Tend, Duty::CloseDown].into_iter();
    needed
        .filter(|duty| room.has(*duty) && !stays(*duty))
        .collect()
}

/// All of it; empty parts are not there.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Routine {
    /// The set-up, if any.
    pub set_up: Option<SetUp>,
    /// The close-down, if any.
    pub close_down: Option<TaskList>,
    /// Faults, row by row.
    pub faults: Vec<FaultFigures>,
    /// What they leave, machine by machine that has any.
    pub available: Vec<Available>,
    /// Duties that are needed to the end and that nobody has who stays until closing and after.
    pub left_alone: Vec<Duty>,
}

impl Routine {
    /// Of a room.
    #[must_use]
    pub fn of(room: &Room) -> Self {
        let machines = room.machines.iter().enumerate();
        let with_faults = machines.filter(|(index, _)| {
            let mut faults = room.faults.iter();
            faults.any(|fault| fault.machine == *index && fault.when.every_s().is_some())
        });
        Self {
            set_up: (!room.set_up.is_empty()).then(|| set_up(room)),
            close_down: (!room.close_down.is_empty()).then(|| list(room, &room.close_down)),
            left_alone: left_alone(room),
            faults: room
                .faults
                .iter()
                .map(|fault| figures(room, fault))
                .collect(),
            available: with_faults
                .map(|(index, machine)| {
                    let of_it = room.faults.iter().filter(|fault| fault.machine == index);
                    let lost: f64 = of_it
                        .map(|f| stands_s(f) / f.when.every_s().unwrap_or(f64::INFINITY))
                        .sum();
                    let share = 1.0 / (1.0 + lost);
                    Available {
                        machine: machine.name.clone(),
                        share,
                        racks_per_hour: machine.rated_racks_per_hour() * share,
                    }
                })
                .collect(),
        }
    }
}

fn set_up(room: &Room) -> SetUp {
    let may = |operator: &&Operator| operator.duties.iter().any(|d| d.duty == Duty::SetUp);
    let begins = room.crew.iter().filter(may).map(|operator| operator.from);
    let begins = begins.reduce(crate::room::time::Time::min_of);
    let waited: Vec<&Task> = room.set_up.iter().filter(|task| task.racks_wait).collect();
    let start_s = room.hours.start_s;
    let begun_s = begins.map_or(0.0, |begins| begins.s());
    let ready_s = waited
        .iter()
        .map(|task| done_s(room, &room.set_up, task, begun_s));
    let ready_s = ready_s.fold(begun_s, f64::max);
    SetUp {
        list: list(room, &room.set_up),
        begins_s: begins.map(|begins| start_s + begins.s()),
        ready_s: begins.map(|_| start_s + ready_s),
        ready_min_after_open: begins.map(|_| (ready_s - room.hours.opens.s()) / 60.0),
    }
}

/// From the beginning of a list to its end with all the hands it can use, s.
#[must_use]
pub fn takes_s(room: &Room, tasks: &[Task]) -> f64 {
    let done = tasks
        .iter()
        .map(|task| done_s(room, tasks, task, f64::NEG_INFINITY));
    done.fold(0.0, f64::max)
}

fn list(room: &Room, tasks: &[Task]) -> TaskList {
    let hands_s: f64 = tasks.iter().map(|task| task.takes.mean_s).sum();
    TaskList {
        tasks: tasks.len(),
        hands_min: hands_s / 60.0,
        takes_min: takes_s(room, tasks) / 60.0,
    }
}

/// When a task is done at the earliest, s; begun at `from_s` after the start, or when who may do it comes.
/// Without a beginning (-infinity) it counts from 0, whoever is there. Tasks do not wait in a circle.
fn done_s(room: &Room, tasks: &[Task], task: &Task, from_s: f64) -> f64 {
    let before = task.after.iter().filter_map(|&index| tasks.get(index));
    let done = before.map(|before| done_s(room, tasks, before, from_s));
    let comes_s = if from_s.is_finite() {
        from_s.max(comes_s(room, task))
    } else {
        0.0
    };
    done.fold(comes_s, f64::max) + task.takes.mean_s + by_itself_s(room, task)
}

/// When the first of those comes who may do a task of the set-up, s after the start.
fn comes_s(room: &Room, task: &Task) -> f64 {
    let may = |operator: &&Operator| {
        let theirs = task.by.is_none_or(|row| operator.row == row);
        theirs && operator.duties.iter().any(|d| d.duty == Duty::SetUp)
    };
    let comes = room
        .crew
        .iter()
        .filter(may)
        .map(|operator| operator.from.s());
    comes.reduce(f64::min).unwrap_or(0.0)
}

/// How long the machines go on by themselves, s.
fn by_itself_s(room: &Room, task: &Task) -> f64 {
    let waters = task
        .machines
        .iter()
        .filter_map(|&machine| room.machines[machine].water.as_ref());
    let each_s = waters.map(|water| match task.does {
        Some(TaskDoes::Fill) => {
            let volume_l: f64 = water.tanks.iter().map(|tank| tank.volume_l).sum();
            let supply = room.supply.as_ref();
            let supply_l_per_s = supply.map_or(f64::INFINITY, |supply| supply.flow_l_per_s);
            fill_s(volume_l, task.flow_l_per_s.min(supply_l_per_s)).unwrap_or(0.0)
        }
        Some(TaskDoes::Heat) => hot_s(water),
        _ => 0.0,
    });
    each_s.fold(0.0, f64::max)
}

/// From the supply to the set points, with losses, s; what heaters cannot reach is not waited for.
fn hot_s(water: &crate::room::water::Water) -> f64 {
    let supply_c = water.rinse.supply_c;
    let still = Load {
        room_c: water.room_c,
        flow_kg_per_s: 0.0,
        inlet_c: supply_c,
    };
    let booster = water.rinse.booster.iter().map(|(lump, of)| (*lump, *of));
    let tanks = water.tanks.iter().map(|tank| (tank.lump, tank.thermostat));
    let lumps = booster.chain(tanks).filter(|(_, of)| of.set_c > supply_c);
    let each_s =
        lumps.filter_map(|(lump, of)| lump.time_to_s(still, of.heater_w, supply_c, of.set_c));
    each_s.fold(0.0, f64::max)
}

/// Until a fault is noticed, on average, s: whatever comes first of its alarm and the next look, which
/// is as likely at any moment of its interval.
fn noticed_s(fault: &Fault) -> Option<f64> {
    let alarm_s = fault.alarm_after.map(|after| after.s());
    let look_s = fault.check_every.map(|every| every.s());
    match (alarm_s, look_s) {
        (Some(alarm), Some(look)) if alarm < look => Some(alarm - alarm * alarm / (2.0 * look)),
        (_, Some(look)) => Some(look / 2.0),
        (alarm, None) => alarm,
    }
}

/// For how long the machine stands each time, s.
fn stands_s(fault: &Fault) -> f64 {
    if let Some(lasts) = fault.lasts {
        return if fault.effect.stops { lasts.s() } else { 0.0 };
    }
    let mend_s = fault.mend.mean_s;
    let outside_s = fault.outside.as_ref().map_or(0.0, |of| of.mean_s);
    match (fault.effect.stops, fault.effect.mend_stops) {
        (true, _) => noticed_s(fault).unwrap_or(0.0) + mend_s + outside_s,
        (false, true) => mend_s,
        (false, false) => 0.0,
    }
}

fn figures(room: &Room, fault: &Fault) -> FaultFigures {
    let effect = fault.effect;
    let least = room.machines[fault.machine].least_level;
    FaultFigures {
        name: fault.name.clone(),
        machine: room.machines[fault.machine].name.clone(),
        every_h: fault.when.every_s().map(|s| s / 3600.0),
        at_s: match fault.when {
            When::At(at) => Some(room.hours.start_s + at.s()),
            When::Every(_) => None,
        },
        noticed_min: noticed_s(fault).map(|s| s / 60.0),
        mend_min: fault.lasts.is_none().then(|| fault.mend.mean_s / 60.0),
        stands_min: stands_s(fault) / 60.0,
        spoils: effect.wash < 1.0 || effect.heat < 1.0 || effect.level < least,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::room::law::{Law, RandomTime};
    use crate::scenario::load;

    fn routine(path: &str) -> (Room, Routine) {
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
        let room = Room::of(&load(&file).unwrap().scenario);
        let routine = Routine::of(&room);
        (room, routine)
    }

    /// The shipped routine by hand: strainers 120 s, drains 20 s, tap 20 s, 100 L at 18 L/min 333.3 s, switch 15 s,
    /// 100 L from 60 °C to 77.8 °C with 40 kW, losing up to 1.5 kW: 186 to 193 s, then 60 s to read.
    #[test]
    fn the_shipped_set_up_is_ready_after_a_quarter_of_an_hour() {
        let (room, routine) = routine("scenarios/friday-as-it-runs.toml");
        let set_up = routine.set_up.unwrap();
        assert_eq!(set_up.list.tasks, 8);
        let hands_s = 120.0 + 90.0 + 20.0 + 20.0 + 20.0 + 15.0 + 90.0 + 60.0;
        assert!((set_up.list.hands_min * 60.0 - hands_s).abs() < 1e-9);
        let water = room.machines[0].water.as_ref().unwrap();
        let heat_s =
            set_up.list.takes_min * 60.0 - (120.0 + 20.0 + 20.0 + 1000.0 / 3.0 + 15.0 + 60.0);
        let set_c = water.tanks[0].thermostat.set_c;
        let [lossless_s, slowest_s] =
            [40_000.0, 38_500.0].map(|w| 100.0 * 4186.0 * (set_c - 60.0) / w);
        assert!((lossless_s..slowest_s).contains(&heat_s), "{heat_s}");
        assert!(set_up.ready_min_after_open.unwrap() < -30.0);
    }

    /// The tap is the unloader's own, who comes at 17:00: the tanks are full after that, and the opening is cold. Where
    /// nobody stays, that is said.
    #[test]
    fn a_task_waits_for_whoever_may_do_it() {
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        let file = file.join("scenarios/friday-as-it-runs.toml");
        let changes = "[[set_up]]\nname = \"fill\"\nby = \"unloader\"\n[[roster]]\nname = \"unloader\"\n\
                       stays = false\nduties = [\"set-up\", \"tend\", \"unload\", \"put-away\"]\n";
        let loaded = crate::scenario::load_changed(&file, changes).unwrap();
        let routine = Routine::of(&Room::of(&loaded.scenario));
        let after = routine.set_up.unwrap().ready_min_after_open.unwrap();
        // From 17:00: 20 s on the tap, 1000/3 s to fill, 15 s, some 190 s to heat, 60 s to read: 618 s.
        assert!((10.0..11.0).contains(&after), "{after}");
        assert_eq!(routine.left_alone, [Duty::Tend]);
    }

    /// A fault that runs until an alarm of 30 min or a look each hour: the mean of the lesser is
    /// 30 − 30²/(2 × 60) = 22.5 min.
    #[test]
    fn whatever_comes_first_shows_it() {
        let (room, _) = routine("scenarios/friday-as-it-runs.toml");
        let mut fault = room.faults[3].clone();
        fault.alarm_after = Some(crate::room::time::Time::MINUTE * 30);
        fault.check_every = Some(crate::room::time::Time::HOUR);
        assert_eq!(noticed_s(&fault), Some(22.5 * 60.0));
        fault.alarm_after = Some(crate::room::time::Time::HOUR * 2);
        assert_eq!(noticed_s(&fault), Some(30.0 * 60.0));
        fault.check_every = None;
        assert_eq!(noticed_s(&fault), Some(7200.0));
    }

    /// Four faults of a worked example: (8 h, 10 min), (4 h, 2 min), (20 h, 30 min) and (2 h, 1 min) leave
    /// 1/(1 + 0.0625) = 0.941176 of a machine (recomputed).
    #[test]
    fn faults_leave_a_share_of_a_machine() {
        let (mut room, _) = routine("scenarios/friday-as-it-runs.toml");
        let one = room.faults[0].clone();
        let of = |every_h: f64, mend_min: f64| {
            let mut fault = one.clone();
            fault.when = When::Every(RandomTime {
                mean_s: every_h * 3600.0,
                law: Law::Fixed,
            });
            fault.mend.mean_s = mend_min * 60.0;
            fault.alarm_after = Some(crate::room::time::Time::ZERO);
            fault.effect.stops = true;
            fault
        };
        room.faults = vec![of(8.0, 10.0), of(4.0, 2.0), of(20.0, 30.0), of(2.0, 1.0)];
        let available = Routine::of(&room).available;
        assert!((available[0].share - 0.941_176).abs() < 5e-7);
    }
}
