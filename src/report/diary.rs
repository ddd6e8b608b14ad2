//! The diary of one replication as CSV: a line for everything that happened, in order.

use crate::service::index::{MachineId, OperatorId, RackId};
use std::io::{self, Write};

use super::columns::{self, Cell, Column, Holds, Rows};
use super::datapackage::Described;
use crate::room::Room;
use crate::scenario::model::Duty;
use crate::service::Service;
use crate::service::diary::Happening;
use crate::words::diary::what;

/// Columns after the minute.
const COLUMNS: [(&str, Holds, &str); 9] = [
    (
        "clock",
        Holds::Text,
        "time of day; past midnight it begins again",
    ),
    ("what", Holds::Text, "what happened"),
    ("who", Holds::Text, "operator"),
    ("duty", Holds::Text, "duty that is taken up or finished"),
    ("machine", Holds::Text, "machine"),
    ("rack", Holds::Text, "kind and number of the rack"),
    ("ware", Holds::Text, "ware"),
    ("pieces", Holds::Whole, "pieces of ware"),
    ("about", Holds::Text, "fault or task"),
];

/// `diary.csv`.
#[must_use]
pub fn described() -> Described {
    let minute = Column::decimal("minute", "min", "minutes since the start of the ‹evening›");
    Described {
        name: "diary",
        about: "a row for everything that happened in one replication, in order".into(),
        columns: [vec![minute], columns::fixed(&COLUMNS)].concat(),
        key: &[],
    }
}

/// What a line is about; empty where a column has nothing to say.
#[derive(Default)]
struct About {
    who: String,
    duty: &'static str,
    machine: String,
    rack: String,
    ware: String,
    pieces: Option<u32>,
    /// The fault or the task.
    about: String,
}

/// Writes the diary of the service just played.
///
/// # Errors
/// What the writer says.
pub fn write(service: &Service<'_>, to: &mut dyn Write) -> io::Result<()> {
    let columns = described().columns;
    let mut rows = Rows::new(&columns, to)?;
    for line in service.diary() {
        let of = about(&line.what, service);
        let pieces = of.pieces.map(u64::from);
        rows.row(&[
            Cell::Places(line.at.min(), 4),
            clock(service.room().hours.start_s + line.at.s()).into(),
            what(&line.what).into(),
            of.who.into(),
            of.duty.into(),
            of.machine.into(),
            of.rack.into(),
            of.ware.into(),
            pieces.map_or(Cell::Empty, Cell::from),
            of.about.into(),
        ])?;
    }
    rows.end()
}

/// `HH:MM:SS.mmm`; past midnight it begins again.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a time of day in milliseconds
fn clock(seconds: f64) -> String {
    let ms = (libm::round(seconds * 1000.0) as i64).rem_euclid(86_400_000);
    let (s, ms) = (ms / 1000, ms % 1000);
    format!("{:02}:{:02}:{:02}.{ms:03}", s / 3600, s / 60 % 60, s % 60)
}

fn about(what: &Happening, service: &Service<'_>) -> About {
    let room = service.room();
    let who = |operator: OperatorId| room.crew[operator].name.clone();
    let ware = |ware: usize| room.wares[ware].name.clone();
    let machine = |machine: MachineId| room.machines[machine].name.clone();
    let rack = |rack: RackId| rack_name(room, service, rack);
    let blank = About::default();
    match *what {
        Happening::Short { ware: w, pieces } | Happening::Soiled { ware: w, pieces } => About {
            ware: ware(w),
            pieces: Some(pieces),
            ..blank
        },
        Happening::PutDown { pieces }
        | Happening::SoakStarts { pieces }
        | Happening::SoakEnds { pieces }
        | Happening::Sanitised { pieces }
        | Happening::Dry { pieces }
        | Happening::Brought { pieces }
        | Happening::Stored { pieces } => About {
            pieces: Some(pieces),
            ..blank
        },
        Happening::Racked { rack: r, pieces }
        | Happening::Sorted { rack: r, pieces }
        | Happening::Caught { rack: r, pieces }
        | Happening::Parked { rack: r, pieces }
        | Happening::RackStored { rack: r, pieces }
        | Happening::Unloaded {
            rack: r, pieces, ..
        } => About {
            rack: rack(r),
            pieces: Some(pieces),
            ..blank
        },
        Happening::RackEmpty { rack: r } => About {
            rack: rack(r),
            ..blank
        },
        Happening::Enters {
            machine: m,
            rack: r,
            pieces,
        }
        | Happening::Leaves {
            machine: m,
            rack: r,
            pieces,
        } => About {
            machine: machine(m),
            rack: rack(r),
            pieces: Some(pieces),
            ..blank
        },
        Happening::SinkFilled => blank,
        Happening::Phase { machine: m, .. } | Happening::Ready { machine: m } => About {
            machine: machine(m),
            ..blank
        },
        Happening::Strikes { fault }
        | Happening::Noticed { fault }
        | Happening::Mended { fault }
        | Happening::Passes { fault } => {
            let fault = &room.faults[fault];
            About {
                machine: room.machines[fault.machine].name.clone(),
                about: fault.name.clone(),
                ..blank
            }
        }
        Happening::TaskDone { duty, task } => {
            let list = match duty {
                Duty::CloseDown => &room.close_down,
                _ => &room.set_up,
            };
            About {
                about: list[task].name.clone(),
                duty: duty.name(),
                ..blank
            }
        }
        Happening::Comes { operator }
        | Happening::Absent { operator }
        | Happening::Called { operator }
        | Happening::WashesHands { operator }
        | Happening::Goes { operator }
        | Happening::Break { operator } => About {
            who: who(operator),
            ..blank
        },
        Happening::Starts {
            operator,
            duty,
            pieces,
        }
        | Happening::Ends {
            operator,
            duty,
            pieces,
        } => About {
            who: who(operator),
            duty: duty.name(),
            pieces: Some(pieces),
            ..blank
        },
    }
}

fn rack_name(room: &Room, service: &Service<'_>, rack: RackId) -> String {
    format!(
        "{} {}",
        room.rack_kinds[service.rack_kind(rack)].name,
        rack.number() + 1
    )
}
