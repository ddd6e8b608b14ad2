//! Set-up, close-down and faults on the sheet.

use super::{columns, heads_of, number, row_of};
use crate::report::layout::{Page, bold, line, printable, shortened, wrapped};
use crate::report::number::text;
use crate::report::tables_csv::clock;
use crate::study::sheet::routine::{Available, FaultFigures, Routine, SetUp, TaskList};
use crate::words::sheet::routine as words;

pub(super) fn routine(out: &mut Page, routine: &Routine) {
    if routine.set_up.is_some() || routine.close_down.is_some() {
        line(out, "");
        line(out, &bold(words::HEADING));
    }
    if let Some(set_up) = &routine.set_up {
        wrapped(out, &before(set_up), "  ", "  ");
    }
    if let Some(close_down) = &routine.close_down {
        let sentence = words::closes(&tasks(words::CLOSE_DOWN, close_down));
        wrapped(out, &sentence, "  ", "  ");
    }
    if !routine.faults.is_empty() {
        faults(out, &routine.faults);
        for available in &routine.available {
            wrapped(out, &printable(&left(available)), "  ", "  ");
        }
    }
}

fn tasks(what: &str, list: &TaskList) -> String {
    let (hands, takes) = (number(list.hands_min, 1), number(list.takes_min, 1));
    words::tasks(what, list.tasks, &hands, &takes)
}

fn before(set_up: &SetUp) -> String {
    let list = tasks(words::SET_UP, &set_up.list);
    match (set_up.begins_s, set_up.ready_s, set_up.ready_min_after_open) {
        (Some(begins), Some(ready), Some(after)) => {
            let minutes = number(after.abs(), 0);
            let times = [&*clock(begins), &*clock(ready)];
            words::ready(&list, times, &minutes, after > 0.0)
        }
        _ => words::nobody(&list),
    }
}

/// Width of the names of faults: longer than those of other rows.
const NAME: usize = 34;

fn faults(out: &mut Page, faults: &[FaultFigures]) {
    let columns = columns(NAME + 2, 5);
    let heads = words::FAULTS;
    heads_of(out, &columns, heads.heading, &heads.upper, &heads.lower);
    let several = faults
        .iter()
        .any(|fault| fault.machine != faults[0].machine);
    for fault in faults {
        let cells = [
            match (fault.every_h, fault.at_s) {
                (Some(h), _) => number(h, if h < 10.0 { 2 } else { 0 }),
                (None, Some(at_s)) => words::at(&clock(at_s)),
                (None, None) => text(None, 0),
            },
            text(fault.noticed_min, 1),
            text(fault.mend_min, 1),
            number(fault.stands_min, 1),
        ];
        let [every, noticed, mend, stands] = &cells;
        let spoils = if fault.spoils { words::YES } else { "" };
        let name = if several {
            format!("{}: {}", fault.machine, fault.name)
        } else {
            fault.name.clone()
        };
        let name = shortened(&printable(&name), NAME);
        let name = format!("  {}", name.trim_end());
        row_of(
            out,
            &columns,
            &name,
            &[every, noticed, mend, stands, spoils],
        );
    }
}

fn left(available: &Available) -> String {
    words::left(
        &available.machine,
        available.share,
        available.racks_per_hour,
    )
}
