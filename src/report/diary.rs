//! The diary of one replication as CSV: a line for everything that happened, in order.

use crate::service::index::{FaultId, MachineId, OperatorId, RackId};
use std::io::{self, Write};

use super::columns::{self, Cell, Column, Holds, Rows};
use super::datapackage::Described;
use crate::room::Room;
use crate::scenario::model::Duty;
use crate::service::Service;
use crate::service::diary::{Entry, Happening};
use crate::words::names;

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
    let minute = Column::decimal("minute", "min", "minutes since the start of the evening");
    Described {
        name: "diary",
        about: "a row for everything that happened in one replication, in order",
        columns: [vec![minute], columns::fixed(&COLUMNS)].concat(),
        key: &[],
    }
}

/// A line in words; empty where a column has nothing to say.
#[derive(Default)]
struct Words {
    what: &'static str,
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
        let words = words(line, service);
        let pieces = words.pieces.map(u64::from);
        rows.row(&[
            Cell::Places(line.at.min(), 4),
            clock(service.room().hours.start_s + line.at.s()).into(),
            words.what.into(),
            words.who.into(),
            words.duty.into(),
            words.machine.into(),
            words.rack.into(),
            words.ware.into(),
            pieces.map_or(Cell::Empty, Cell::from),
            words.about.into(),
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

fn words(line: &Entry, service: &Service<'_>) -> Words {
    let room = service.room();
    let who = |operator: OperatorId| room.crew[operator].name.clone();
    let ware = |ware: usize| room.wares[ware].name.clone();
    let machine = |machine: MachineId| room.machines[machine].name.clone();
    let rack = |rack: RackId| rack_name(room, service, rack);
    let blank = Words::default();
    match line.what {
        Happening::Short { ware: w, pieces } => Words {
            what: "not there",
            ware: ware(w),
            pieces: Some(pieces),
            ..blank
        },
        Happening::Soiled { ware: w, pieces } => Words {
            what: "soiled",
            ware: ware(w),
            pieces: Some(pieces),
            ..blank
        },
        Happening::PutDown { pieces } => Words {
            what: "put down at the drop-off",
            pieces: Some(pieces),
            ..blank
        },
        Happening::SoakStarts { pieces } => Words {
            what: "soak starts",
            pieces: Some(pieces),
            ..blank
        },
        Happening::SoakEnds { pieces } => Words {
            what: "taken from the soak",
            pieces: Some(pieces),
            ..blank
        },
        Happening::Racked { rack: r, pieces } => Words {
            what: "rack filled",
            rack: rack(r),
            pieces: Some(pieces),
            ..blank
        },
        Happening::Enters {
            machine: m,
            rack: r,
            pieces,
        } => {
            let (machine, rack, pieces) = (machine(m), rack(r), Some(pieces));
            Words {
                what: "rack enters",
                machine,
                rack,
                pieces,
                ..blank
            }
        }
        Happening::Leaves {
            machine: m,
            rack: r,
            pieces,
        } => {
            let (machine, rack, pieces) = (machine(m), rack(r), Some(pieces));
            Words {
                what: "rack leaves",
                machine,
                rack,
                pieces,
                ..blank
            }
        }
        Happening::Phase { machine: m, phase } => Words {
            what: names::phase(phase),
            machine: machine(m),
            ..blank
        },
        Happening::Unloaded {
            rack: r, pieces, ..
        } => Words {
            what: "rack unloaded",
            rack: rack(r),
            pieces: Some(pieces),
            ..blank
        },
        Happening::Caught { rack: r, pieces } => Words {
            what: "caught dirty",
            rack: rack(r),
            pieces: Some(pieces),
            ..blank
        },
        Happening::Stored { pieces } => Words {
            what: "put away",
            pieces: Some(pieces),
            ..blank
        },
        Happening::Strikes { fault } => about_fault(room, "fault strikes", fault),
        Happening::Noticed { fault } => about_fault(room, "fault noticed", fault),
        Happening::Mended { fault } => about_fault(room, "fault mended", fault),
        Happening::TaskDone { duty, task } => {
            let closes = duty == Duty::CloseDown;
            let list = if closes {
                &room.close_down
            } else {
                &room.set_up
            };
            Words {
                what: "task done",
                about: list[task].name.clone(),
                duty: duty.name(),
                ..blank
            }
        }
        Happening::Ready { machine: m } => Words {
            what: "machine is set up",
            machine: machine(m),
            ..blank
        },
        Happening::Comes { operator } => Words {
            what: "comes",
            who: who(operator),
            ..blank
        },
        Happening::Goes { operator } => Words {
            what: "goes home",
            who: who(operator),
            ..blank
        },
        Happening::Break { operator } => Words {
            what: "break",
            who: who(operator),
            ..blank
        },
        Happening::Starts {
            operator,
            duty,
            pieces,
        } => {
            let (who, duty, pieces) = (who(operator), duty.name(), Some(pieces));
            Words {
                what: "takes up",
                who,
                duty,
                pieces,
                ..blank
            }
        }
        Happening::Ends {
            operator,
            duty,
            pieces,
        } => {
            let (who, duty, pieces) = (who(operator), duty.name(), Some(pieces));
            Words {
                what: "finishes",
                who,
                duty,
                pieces,
                ..blank
            }
        }
    }
}

fn about_fault(room: &Room, what: &'static str, fault: FaultId) -> Words {
    let fault = &room.faults[fault];
    Words {
        what,
        machine: room.machines[fault.machine].name.clone(),
        about: fault.name.clone(),
        ..Words::default()
    }
}

fn rack_name(room: &Room, service: &Service<'_>, rack: RackId) -> String {
    format!(
        "{} {}",
        room.rack_kinds[service.rack_kind(rack)].name,
        rack.number() + 1
    )
}
