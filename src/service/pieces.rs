//! Pieces of ware, the queues they stand in, and the zones they are counted in.
//!
//! A piece is an index into one array; a queue is a linked list through that array. A piece has one
//! `next`, so it cannot stand in two queues, and moving it allocates nothing.

use crate::room::time::Time;

/// Ends a linked list.
pub const NONE: u32 = u32::MAX;

/// One piece of ware.
#[derive(Debug, Clone, Copy)]
pub struct Piece {
    /// The piece behind it in its queue.
    pub next: u32,
    /// Index of the lot it was soiled in.
    pub lot: u32,
    /// Index of its ware.
    pub ware: u16,
    /// Index of its soil.
    pub soil: u16,
    /// Washes so far.
    pub washes: u16,
    /// Whether it has been soaked since its last wash.
    pub soaked: bool,
    /// Whether it is still dirty after its last wash.
    pub dirty: bool,
    /// Dimensionless drying time at `since`.
    pub theta: f64,
    /// Dimensionless drying time a second: the soil's rate over this piece's film.
    pub drying_per_s: f64,
    /// When `theta` was true.
    pub since: Time,
    /// When it reached the drop-off; [`Time::NEVER`] before.
    pub reached: Time,
    /// When it joined the queue it stands in.
    pub joined: Time,
}

impl Piece {
    /// Dimensionless drying time at `now`.
    #[must_use]
    pub fn theta_at(&self, now: Time) -> f64 {
        self.theta + (now - self.since).s() * self.drying_per_s
    }
}

/// Pieces standing one behind the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Queue {
    head: u32,
    tail: u32,
    len: u32,
}

impl Queue {
    /// Nobody.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            head: NONE,
            tail: NONE,
            len: 0,
        }
    }
}

impl Default for Queue {
    fn default() -> Self {
        Self {
            head: NONE,
            tail: NONE,
            len: 0,
        }
    }
}

impl Queue {
    /// How many.
    #[must_use]
    pub const fn len(&self) -> u32 {
        self.len
    }

    /// Whether nobody stands there.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.len == 0
    }

    /// The first.
    #[must_use]
    pub const fn head(&self) -> Option<u32> {
        if self.len == 0 { None } else { Some(self.head) }
    }

    /// The piece behind `piece`, which stands in this queue.
    #[must_use]
    pub fn after(&self, piece: u32, pieces: &[Piece]) -> Option<u32> {
        if piece == self.tail {
            None
        } else {
            Some(pieces[piece as usize].next)
        }
    }

    /// Puts a piece at the end.
    pub fn push(&mut self, pieces: &mut [Piece], piece: u32) {
        pieces[piece as usize].next = NONE;
        if self.len == 0 {
            self.head = piece;
        } else {
            pieces[self.tail as usize].next = piece;
        }
        self.tail = piece;
        self.len += 1;
    }

    /// Takes the first.
    pub fn pop(&mut self, pieces: &[Piece]) -> Option<u32> {
        let head = self.head()?;
        self.head = pieces[head as usize].next;
        self.len -= 1;
        Some(head)
    }

    /// The pieces, first to last.
    pub fn iter<'p>(&self, pieces: &'p [Piece]) -> impl Iterator<Item = u32> + use<'p> {
        let mut next = self.head;
        (0..self.len).map(move |_| {
            let piece = next;
            next = pieces[piece as usize].next;
            piece
        })
    }
}

/// Where a piece is. The order is that in which ware meets them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)] // each says itself, or stands in the comment
pub enum Zone {
    /// Still with the guests, or not there yet.
    Coming,
    OnTables,
    /// Carried, or waiting with its trip for room at the drop-off.
    OnTrip,
    /// There or on the floor beside it; dirty pieces that came back too.
    DropOff,
    Scraping,
    ToPreRinse,
    PreRinsing,
    ToSoak,
    /// Being put in, soaking, or being taken out.
    Soaking,
    ToRack,
    Racking,
    /// In a filled rack on a station or in a lane.
    RackWaiting,
    InMachine,
    /// On a landing, waiting, draining or being unloaded.
    OnLanding,
    ToPutAway,
    PuttingAway,
    /// In the store, or out of the room.
    Out,
}

/// How many zones there are.
pub const ZONES: usize = Zone::Out as usize + 1;

/// Pieces by zone.
#[derive(Debug, Clone, Default)]
pub struct Census {
    count: [u32; ZONES],
}

impl Census {
    /// All pieces are still to come.
    pub fn begin(&mut self, pieces: u32) {
        self.count = [0; ZONES];
        self.count[Zone::Coming as usize] = pieces;
    }

    /// Counts pieces over from one zone to another.
    pub fn moved(&mut self, pieces: u32, from: Zone, to: Zone) {
        debug_assert!(self.count[from as usize] >= pieces, "{from:?} -> {to:?}");
        self.count[from as usize] -= pieces;
        self.count[to as usize] += pieces;
    }

    /// Pieces in a zone.
    #[must_use]
    pub const fn of(&self, zone: Zone) -> u32 {
        self.count[zone as usize]
    }

    /// Pieces that are not there yet, or nearer the tables than `zone`.
    #[must_use]
    pub fn before(&self, zone: Zone) -> u32 {
        self.count[..zone as usize].iter().sum()
    }

    /// All pieces of the evening.
    #[must_use]
    pub fn total(&self) -> u32 {
        self.count.iter().sum()
    }
}
