//! What is still in the room of an evening that did not end, a line for each place where something waits.

use crate::service::stations;
use crate::service::stuck::{Inside, Left};
use crate::service::work::Comes;
use crate::words::names::waits_for;

/// The lines.
#[must_use]
pub fn lines(left: &[Left]) -> Vec<String> {
    left.iter().map(line).collect()
}

fn line(left: &Left) -> String {
    match left {
        Left::Work(duty, count, obstacle) => {
            let (what, otherwise) = match stations::work(*duty).comes {
                Comes::FromTables | Comes::Soiled | Comes::ToSoak | Comes::Clean => {
                    ("pieces", "a fuller load")
                }
                Comes::AtMachines(_) | Comes::Washed => ("racks", "a fuller load"),
                Comes::Tasks => ("tasks", "other tasks"),
                Comes::Troubles => ("faults or changes of water", "the machine"),
            };
            let why = obstacle.map_or(otherwise, waits_for);
            format!("{}: {count} {what} wait for {why}", duty.name())
        }
        Left::Tasks(duty, tasks) => format!("{}: not done: {}", duty.name(), tasks.join(", ")),
        Left::FullRacks(count) => {
            format!("loading stations: {count} full racks wait for room in a lane")
        }
        Left::Inside(machine, count, why) => {
            let why = match why {
                Inside::Landing => "room on the landing",
                Inside::Person => "somebody to change racks",
                Inside::Mending => "a fault to be mended",
                Inside::Wash => "the end of the wash",
            };
            format!("{machine}: {count} racks inside wait for {why}")
        }
        Left::OnLanding(machine, count) => format!("{machine}: {count} racks stand on the landing"),
        Left::InTrips(pieces) => format!("drop-off: {pieces} pieces in hand wait for room"),
        Left::Missing(ware, pieces) => {
            format!("tables: guests wait for {pieces} clean pieces of {ware}")
        }
        Left::ToCome(pieces) => format!("tables: {pieces} pieces are not soiled yet"),
        Left::OnTheWay(pieces) => format!("tables: {pieces} pieces are on the way to the drop-off"),
        Left::AtDropOff(pieces) => format!("drop-off: {pieces} pieces wait for room further on"),
        Left::InHand(duty, pieces, true) => {
            format!("{}: {pieces} pieces in the sinks", duty.name())
        }
        Left::InHand(duty, pieces, false) => format!("{}: {pieces} pieces in hand", duty.name()),
    }
}
