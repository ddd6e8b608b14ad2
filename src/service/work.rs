//! What the work of a station is: the engine takes it up by this, and the hand sheet multiplies it out.
//!
//! A station's file has its own, named `WORK`, and its row in [`stations`](super::stations) hands it on. The seconds
//! and loads here are those that the station itself uses, so that sheet and evening cannot differ in them. Nothing
//! here knows which stations there are, or anything of an evening.

use crate::room::Room;
use crate::room::law::RandomTime;
use crate::room::stations::Machine;
use crate::room::time::Time;
use crate::room::ware::Ware;

/// The work of a station.
#[derive(Debug, Clone, Copy)]
pub struct Work {
    /// What comes to it.
    pub comes: Comes,
    /// Which ware does.
    pub takes: fn(&Ware) -> bool,
    /// How many may be at it at once, and what says so.
    pub places: Places,
    /// What a unit of work takes when it is full.
    pub full: Full,
    /// When a unit of work starts that is not full; `None` if it takes whatever is there.
    pub part_full: fn(&Room) -> Option<PartFull>,
    /// The random time of a unit, besides that of its pieces.
    pub unit_time: fn(&Room) -> Option<&RandomTime>,
    /// Mean work at a piece, for each unit of work that it is part of.
    pub seconds: &'static [Seconds],
}

/// What comes to a station, and how often.
#[derive(Debug, Clone, Copy)]
pub enum Comes {
    /// Pieces that guests have used, from the tables.
    FromTables,
    /// Pieces, each time before they are washed.
    Soiled,
    /// Of those, what is soaked.
    ToSoak,
    /// Of those, what is washed by hand, once.
    ToPotSink,
    /// Racks, at the machines where somebody has to change them, which takes so long.
    AtMachines(fn(&Machine) -> Option<Time>),
    /// Racks with their pieces, each time they are washed.
    Washed,
    /// Clean pieces, a rack's worth at a time, once.
    Clean,
    /// No ware: tasks of a list.
    Tasks,
    /// No ware: faults, and changes of water.
    Troubles,
}

/// How many may be at it at once.
#[derive(Debug, Clone, Copy)]
pub enum Places {
    /// All who are there.
    Anybody,
    /// So many people.
    People(fn(&Room) -> u32),
    /// One for each loading station: a full rack keeps its own until it has moved on.
    Racks(fn(&Room) -> u32),
    /// One for each sink: ware stays there by itself for so long.
    Sinks(fn(&Room) -> u32, fn(&Room) -> Time),
    /// One for each machine that needs somebody.
    Machines(fn(&Room) -> u32),
}

/// What a unit of work takes when it is full.
#[derive(Debug, Clone, Copy)]
pub enum Full {
    /// So many pieces. Work is counted by the piece.
    Pieces(fn(&Room) -> u32),
    /// A tub of so many pieces. Work is counted by the trip.
    Trip(fn(&Room) -> u32),
    /// A rack.
    Rack,
    /// A task or a trouble.
    One,
}

/// When a unit of work starts that is not full.
#[derive(Debug, Clone, Copy)]
pub struct PartFull {
    /// With so many pieces at once.
    pub enough: u32,
    /// With fewer when the oldest of them has waited this long.
    pub wait_at_most: Time,
}

/// Mean work at a piece, s.
#[derive(Debug, Clone, Copy)]
pub enum Seconds {
    /// By its ware.
    OfWare(fn(&Ware) -> f64),
    /// The same for all.
    Same(fn(&Room) -> f64),
}

impl Work {
    /// Work that has only what it must have.
    pub(super) const fn new(comes: Comes) -> Self {
        Self {
            comes,
            takes: |_| true,
            places: Places::Anybody,
            full: Full::One,
            part_full: |_| None,
            unit_time: |_| None,
            seconds: &[],
        }
    }
}

impl Places {
    /// How many may be at it at once.
    #[must_use]
    pub fn count(self, room: &Room) -> u32 {
        match self {
            Self::Anybody => room.crew.len() as u32,
            Self::People(count)
            | Self::Racks(count)
            | Self::Sinks(count, _)
            | Self::Machines(count) => count(room),
        }
    }

    /// People who may be at it at once; `None` where racks, sinks or machines say so by themselves.
    pub(super) fn people(self, room: &Room) -> Option<u32> {
        match self {
            Self::People(count) => Some(count(room)),
            Self::Anybody | Self::Racks(_) | Self::Sinks(..) | Self::Machines(_) => None,
        }
    }
}

impl Full {
    /// Pieces of a full unit of work; 1 where it is counted otherwise.
    #[must_use]
    pub fn pieces(self, room: &Room) -> u32 {
        match self {
            Self::Pieces(count) | Self::Trip(count) => count(room),
            Self::Rack | Self::One => 1,
        }
    }
}

impl Seconds {
    /// Of a piece of a ware.
    #[must_use]
    pub fn of(self, room: &Room, ware: &Ware) -> f64 {
        match self {
            Self::OfWare(seconds) => seconds(ware),
            Self::Same(seconds) => seconds(room),
        }
    }
}
