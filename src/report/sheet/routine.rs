//! Set-up, close-down and faults on the sheet.

use super::{columns, heads_of, number, row_of};
use crate::report::layout::{Page, bold, line, printable, shortened, wrapped};
use crate::report::number::text;
use crate::report::tables_csv::clock;
use crate::study::sheet::routine::{Available, FaultFigures, Routine, SetUp, TaskList};

pub(super) fn routine(out: &mut Page, routine: &Routine) {
    if routine.set_up.is_some() || routine.close_down.is_some() {
        line(out, "");
        line(out, &bold("Before opening and after closing"));
    }
    if let Some(set_up) = &routine.set_up {
        wrapped(out, &before(set_up), "  ", "  ");
    }
    if let Some(close_down) = &routine.close_down {
        let sentence = format!(
            "{} after the last ware is past inspection.",
            tasks("Close-down", close_down)
        );
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
    format!(
        "{what}: {} {}, {} min of hands, {} min with all the hands they can use,",
        list.tasks,
        if list.tasks == 1 { "task" } else { "tasks" },
        number(list.hands_min, 1),
        number(list.takes_min, 1)
    )
}

fn before(set_up: &SetUp) -> String {
    let list = tasks("Set-up", &set_up.list);
    match (set_up.begins_s, set_up.ready_s, set_up.ready_min_after_open) {
        (Some(begins), Some(ready), Some(after)) => {
            let side = if after > 0.0 { "after" } else { "before" };
            format!(
                "{list} from {} on; racks may enter at {} at the earliest, {} min {side} opening.",
                clock(begins),
                clock(ready),
                number(after.abs(), 0)
            )
        }
        _ => format!("{list} and nobody to do them."),
    }
}

/// Width of the names of faults: longer than those of other rows.
const NAME: usize = 34;

fn faults(out: &mut Page, faults: &[FaultFigures]) {
    let columns = columns(NAME + 2, 5);
    let upper = ["every", "noticed", "to mend", "stands", "spoils"];
    let lower = ["h running", "min", "min", "min", "the wash"];
    heads_of(out, &columns, "What goes wrong", &upper, &lower);
    let several = faults
        .iter()
        .any(|fault| fault.machine != faults[0].machine);
    for fault in faults {
        let cells = [
            number(fault.every_h, if fault.every_h < 10.0 { 2 } else { 0 }),
            text(fault.noticed_min, 1),
            number(fault.mend_min, 1),
            number(fault.stands_min, 1),
        ];
        let [every, noticed, mend, stands] = &cells;
        let spoils = if fault.spoils { "yes" } else { "" };
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
    format!(
        "{}: while there is work and somebody free to mend, faults leave it {:.1} % of the time, {:.0} \
         of the longest racks per hour.",
        available.machine,
        100.0 * available.share,
        available.racks_per_hour
    )
}
