//! What is still in the room of an evening that did not end, a line for each place where something waits.

use crate::service::stations;
use crate::service::stuck::{Inside, Left};
use crate::service::work::Comes;
use crate::words::names::waits_for;
use crate::words::text::counted;

/// The lines.
#[must_use]
pub fn lines(left: &[Left]) -> Vec<String> {
    left.iter().map(line).collect()
}

fn line(left: &Left) -> String {
    match left {
        Left::Work(duty, count, obstacle) => {
            let (one, several, otherwise) = match stations::work(*duty).comes {
                Comes::FromTables
                | Comes::Soiled
                | Comes::ToSoak
                | Comes::ToPotSink
                | Comes::Clean => ("piece", "pieces", "a fuller load"),
                Comes::AtMachines(_) | Comes::Washed => ("rack", "racks", "a fuller load"),
                Comes::Tasks => ("task", "tasks", "other tasks"),
                Comes::Troubles => (
                    "fault or change of water",
                    "faults or changes of water",
                    "the machine",
                ),
            };
            let why = obstacle.map_or(otherwise, waits_for);
            let what = if *count == 1 { one } else { several };
            let wait = verb(*count, "wait");
            format!("{}: {count} {what} {wait} for {why}", duty.name())
        }
        Left::Tasks(duty, tasks) => format!("{}: not done: {}", duty.name(), tasks.join(", ")),
        Left::FullRacks(count) => {
            let racks = counted(*count, "full rack");
            let wait = verb(*count, "wait");
            format!("loading stations: {racks} {wait} for room in a lane")
        }
        Left::Inside(machine, count, why) => {
            let why = match why {
                Inside::Landing => "room on the landing",
                Inside::Person => "somebody to change racks",
                Inside::Mending => "a fault to be mended",
                Inside::Wash => "the end of the wash",
            };
            let racks = counted(*count, "rack");
            format!(
                "{machine}: {racks} inside {} for {why}",
                verb(*count, "wait")
            )
        }
        Left::OnLanding(machine, count) => {
            let racks = counted(*count, "rack");
            format!(
                "{machine}: {racks} {} on the landing",
                verb(*count, "stand")
            )
        }
        Left::Stored(count, all) => {
            format!(
                "store: {count} of {all} racks {} there with clean ware",
                verb(*count, "stand")
            )
        }
        Left::Parked(count) => {
            let racks = counted(*count, "rack");
            format!("dollies: {racks} {} parked", verb(*count, "stand"))
        }
        Left::InTrips(count) => {
            let (pieces, wait) = (pieces(*count), verb(*count, "wait"));
            format!("drop-off: {pieces} in hand {wait} for room")
        }
        Left::Missing(ware, count) => {
            let pieces = counted(*count, "clean piece");
            format!("tables: guests wait for {pieces} of {ware}")
        }
        Left::ToCome(count) => {
            format!("tables: {} {} not soiled yet", pieces(*count), are(*count))
        }
        Left::OnTheWay(count) => {
            let are = are(*count);
            format!(
                "tables: {} {are} on the way to the drop-off",
                pieces(*count)
            )
        }
        Left::AtDropOff(count) => {
            let wait = verb(*count, "wait");
            format!("drop-off: {} {wait} for room further on", pieces(*count))
        }
        Left::InHand(duty, count, true) => {
            format!("{}: {} in the sinks", duty.name(), pieces(*count))
        }
        Left::InHand(duty, count, false) => {
            format!("{}: {} in hand", duty.name(), pieces(*count))
        }
    }
}

fn pieces(count: u32) -> String {
    counted(count, "piece")
}

/// `1 rack waits`, `2 racks wait`.
fn verb(count: u32, several: &str) -> String {
    match count {
        1 => format!("{several}s"),
        _ => several.to_owned(),
    }
}

const fn are(count: u32) -> &'static str {
    if count == 1 { "is" } else { "are" }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::model::Duty;

    #[test]
    fn one_of_a_thing_is_one() {
        let of = |count| {
            lines(&[
                Left::FullRacks(count),
                Left::AtDropOff(count),
                Left::InTrips(count),
                Left::ToCome(count),
                Left::Work(Duty::Scrape, count, None),
                Left::OnLanding("hood".to_owned(), count),
                Left::Parked(count),
                Left::Stored(count, 4),
            ])
        };
        assert_eq!(
            of(1),
            [
                "loading stations: 1 full rack waits for room in a lane",
                "drop-off: 1 piece waits for room further on",
                "drop-off: 1 piece in hand waits for room",
                "tables: 1 piece is not soiled yet",
                "scrape: 1 piece waits for a fuller load",
                "hood: 1 rack stands on the landing",
                "dollies: 1 rack stands parked",
                "store: 1 of 4 racks stands there with clean ware",
            ]
        );
        assert_eq!(
            of(2)[0],
            "loading stations: 2 full racks wait for room in a lane"
        );
        assert_eq!(of(2)[3], "tables: 2 pieces are not soiled yet");
    }
}
