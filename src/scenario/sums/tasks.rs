//! Tasks and faults that cannot be: tasks that wait for each other, tasks nobody may do, faults that
//! nobody ever notices.

use super::{Clash, Sums, at_work};
use crate::scenario::model::{Duty, Fault, Task, TaskDoes};

/// Reports what is impossible before opening, after closing and in trouble.
pub fn check(sums: &mut Sums<'_>) {
    let scenario = sums.scenario;
    for (list, tasks, duty) in [
        ("set_up", &scenario.set_up, Duty::SetUp),
        ("close_down", &scenario.close_down, Duty::CloseDown),
    ] {
        if sums.is_bad_inside(list) {
            continue;
        }
        circle(sums, list, tasks);
        for task in tasks {
            whose(sums, list, task, duty);
        }
    }
    if !sums.is_bad_inside("set_up") {
        scenario.set_up.iter().for_each(|task| dry_heat(sums, task));
    }
    for fault in &scenario.fault {
        strikes(sums, fault);
        noticed(sums, fault);
        passes(sums, fault);
        harmless(sums, fault);
    }
}

fn path(list: &str, task: &Task, key: &str) -> String {
    format!("{list}[{}].{key}", task.name)
}

/// Tasks that wait for each other.
fn circle(sums: &mut Sums<'_>, list: &str, tasks: &[Task]) {
    let Some(around) = tasks.iter().find_map(|task| way_back(tasks, task)) else {
        return;
    };
    let Some(first) = around.first() else { return };
    let names: Vec<&str> = around.iter().map(|task| task.name.as_str()).collect();
    let title = format!("tasks of `{list}` wait for each other in a circle");
    let way = format!("{} -> {}", names.join(" -> "), first.name);
    sums.wrong(
        Clash::new(title, path(list, first, "after"), "it waits for itself")
            .help(format!("the circle is {way}; each waits for the next"))
            .help("take one name out of an `after`"),
    );
}

/// The tasks on the way from a task to itself, if it waits for itself.
fn way_back<'t>(tasks: &'t [Task], from: &'t Task) -> Option<Vec<&'t Task>> {
    let mut seen: Vec<&str> = Vec::new();
    let mut way = vec![from];
    // Depth first: `way` is the way to the task looked at.
    while let Some(last) = way.last() {
        if last.after.contains(&from.name) {
            return Some(way);
        }
        let next = tasks
            .iter()
            .find(|task| last.after.contains(&task.name) && !seen.contains(&task.name.as_str()));
        match next {
            Some(next) => {
                seen.push(&next.name);
                way.push(next);
            }
            None => {
                way.pop();
            }
        }
    }
    None
}

/// A task that only a row without its duty may do.
fn whose(sums: &mut Sums<'_>, list: &str, task: &Task, duty: Duty) {
    let Some(by) = &task.by else { return };
    let Some(row) = sums.scenario.roster.iter().find(|row| row.name == *by) else {
        return;
    };
    if row.count > 0 && row.absent < 1.0 && row.duties.iter().any(|entry| entry.duty == duty) {
        return;
    }
    let title = format!("only \"{by}\" may do \"{}\", and never does", task.name);
    let name = duty.name();
    let label = format!("no operator with the duty `{name}`");
    sums.wrong(
        Clash::new(title, path(list, task, "by"), label)
            .with(format!("roster[{by}].duties"), "their duties")
            .help(format!(
                "add \"{name}\" to their `duties`, or leave `by` out"
            )),
    );
}

/// Heat in an empty tank, or racks in one.
fn dry_heat(sums: &mut Sums<'_>, task: &Task) {
    let tasks = &sums.scenario.set_up;
    let fills = |other: &&Task| {
        let same = match (&task.machine, &other.machine) {
            (Some(a), Some(b)) => a == b,
            _ => true,
        };
        other.does == Some(TaskDoes::Fill) && same
    };
    if task.does == Some(TaskDoes::Fill) && !task.racks_wait {
        let title = format!("racks do not wait for \"{}\"", task.name);
        sums.wrong(
            Clash::new(
                title,
                path("set_up", task, "racks_wait"),
                "they would be washed without water",
            )
            .help("leave `racks_wait` out"),
        );
    }
    if task.does != Some(TaskDoes::Heat) {
        return;
    }
    for fill in tasks.iter().filter(fills) {
        if !comes_after(tasks, task, &fill.name) {
            let title = format!("\"{}\" may heat an empty tank", task.name);
            sums.wrong(
                Clash::new(title, path("set_up", task, "does"), "heat")
                    .with(path("set_up", fill, "does"), "the tanks are filled here")
                    .help(format!("let it wait: after = [\"{}\"]", fill.name)),
            );
        }
    }
}

/// Whether a task waits for another, directly or through others.
fn comes_after(tasks: &[Task], task: &Task, other: &str) -> bool {
    let mut waits_for: Vec<&str> = task.after.iter().map(String::as_str).collect();
    let mut at = 0;
    while let Some(name) = waits_for.get(at).copied() {
        if name == other {
            return true;
        }
        let next = tasks.iter().find(|task| task.name == name);
        for name in next.into_iter().flat_map(|task| &task.after) {
            if !waits_for.contains(&name.as_str()) {
                waits_for.push(name);
            }
        }
        at += 1;
    }
    false
}

/// When a fault strikes: by the running of its machine or at a time of day, while the dish room is at work.
fn strikes(sums: &mut Sums<'_>, fault: &Fault) {
    let path = |key: &str| format!("fault[{}].{key}", fault.name);
    match (fault.every_s, fault.at_s) {
        (None, None) if sums.is_bad(&path("every")) || sums.is_bad(&path("at")) => {}
        (None, None) => sums.wrong(
            Clash::new(
                format!("\"{}\" never strikes", fault.name),
                path("name"),
                "neither `every` nor `at`",
            )
            .help("give `every`, the hours of running between, or `at`, a time of day"),
        ),
        (Some(_), Some(_)) => sums.wrong(
            Clash::new(
                format!("\"{}\" strikes in two ways", fault.name),
                path("at"),
                "at a time of day",
            )
            .with(path("every"), "and by hours of running")
            .help("keep one of them; for both, write a second row of another name"),
        ),
        (None, Some(at_s)) => at_work(sums, at_s, &path("at"), &fault.name),
        (Some(_), None) => {}
    }
}

/// A fault that passes by itself is neither noticed nor mended.
fn passes(sums: &mut Sums<'_>, fault: &Fault) {
    let shows = [
        ("alarm_after", fault.alarm_after_s.is_some()),
        ("check_every", fault.check_every_s.is_some()),
        ("dirty_in_rack", fault.dirty_in_rack.is_some()),
        ("outside", fault.outside.is_some()),
    ];
    let Some((key, _)) = shows.into_iter().find(|(_, given)| *given) else {
        return;
    };
    if fault.lasts_s.is_none() {
        return;
    }
    let path = |key: &str| format!("fault[{}].{key}", fault.name);
    sums.wrong(
        Clash::new(
            format!("\"{}\" passes by itself", fault.name),
            path(key),
            "nobody notices or repairs it",
        )
        .with(path("lasts"), "it is over after this")
        .help(format!("leave `{key}` out, or `lasts`")),
    );
}

/// A fault that nobody ever notices is never mended.
fn noticed(sums: &mut Sums<'_>, fault: &Fault) {
    if fault.check_takes_s > 0.0 && fault.check_every_s.is_none() {
        let path = format!("fault[{}].check_takes", fault.name);
        let title = format!("nobody looks for \"{}\"", fault.name);
        let clash = Clash::new(title, path, "how long a look takes");
        sums.wrong(clash.help("write how often somebody looks, such as check_every = \"2 h\""));
    }
    if fault.lasts_s.is_some() {
        return;
    }
    let inspected = sums.scenario.inspect.is_some() && fault.dirty_in_rack.is_some();
    if inspected || fault.alarm_after_s.is_some() || fault.check_every_s.is_some() {
        return;
    }
    let title = format!("nobody would ever notice \"{}\"", fault.name);
    let (path, label) = match fault.dirty_in_rack {
        Some(_) => ("dirty_in_rack", "nobody inspects in this room"),
        None => ("name", "nothing shows it"),
    };
    sums.wrong(
        Clash::new(title, format!("fault[{}].{path}", fault.name), label)
            .help("give `alarm_after`, `check_every` or, with [inspect], `dirty_in_rack`"),
    );
}

/// A fault that does nothing.
fn harmless(sums: &mut Sums<'_>, fault: &Fault) {
    let whole = [fault.spray, fault.detergent, fault.heat, fault.level];
    let mend_stops = fault.mend_stops && fault.lasts_s.is_none();
    if fault.stops || mend_stops || whole.iter().any(|share| *share < 1.0) {
        return;
    }
    let title = format!("\"{}\" does no harm", fault.name);
    sums.wrong(
        Clash::new(
            title,
            format!("fault[{}].name", fault.name),
            "what does it do?",
        )
        .help("give `stops = true`, or `spray`, `detergent`, `heat` or `level` below 1"),
    );
}
