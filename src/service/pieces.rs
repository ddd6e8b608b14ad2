//! Pieces of ware, the piles they lie in, and the zones they are counted in.
//!
//! A piece is an index into one array; a pile is a linked list through that array. A piece has one
//! `next`, so it cannot lie in two piles, and moving it allocates nothing.
//!
//! **A pile lies in a zone, and pieces change their zone only with a pile**: taken from one pile they are a pile of
//! their own, which stays where it was until another one takes it in, or the store. So the census needs nobody's care,
//! and pieces that do not differ move at once, however many. What waits in line lies in a pile too, but only its `Line`
//! may touch that one.

use super::index::{LotId, PieceId, indexes};
use super::line::books::Lines;
use crate::room::Room;
use crate::room::time::Time;

/// Ends a linked list.
const NONE: PieceId = PieceId::new(u32::MAX as usize);

/// One piece of ware.
#[derive(Debug, Clone, Copy)]
pub struct Piece {
    /// The piece behind it in its pile.
    next: PieceId,
    /// Index of the lot it was soiled in.
    pub lot: LotId,
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
    /// When it joined the line it stands in, or last stood in.
    pub joined: Time,
}

impl Piece {
    /// A soiled piece of a lot, before anybody has seen it.
    #[must_use]
    pub(super) const fn new(
        lot: LotId,
        ware: u16,
        soil: u16,
        drying_per_s: f64,
        since: Time,
    ) -> Self {
        Self {
            next: NONE,
            lot,
            ware,
            soil,
            washes: 0,
            soaked: false,
            dirty: true,
            theta: 0.0,
            drying_per_s,
            since,
            reached: Time::NEVER,
            joined: since,
        }
    }

    /// Dimensionless drying time at `now`.
    #[must_use]
    pub fn theta_at(&self, now: Time) -> f64 {
        self.theta + (now - self.since).s() * self.drying_per_s
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
    /// Counts pieces over from one zone to another.
    fn moved(&mut self, pieces: u32, from: Zone, to: Zone) {
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

indexes!(PieceId => Piece, LotId => Lot);

/// All ware of an evening: its pieces, where they are, and the books of what waits.
#[derive(Debug, Default)]
pub struct Flow {
    /// Every piece, those of a lot behind each other.
    pub(super) pieces: Vec<Piece>,
    /// Every lot.
    pub(super) lots: Vec<Lot>,
    pub(super) census: Census,
    pub(super) lines: Lines,
}

impl std::ops::Index<PieceId> for Flow {
    type Output = Piece;

    fn index(&self, piece: PieceId) -> &Piece {
        &self.pieces[piece]
    }
}

impl std::ops::IndexMut<PieceId> for Flow {
    fn index_mut(&mut self, piece: PieceId) -> &mut Piece {
        &mut self.pieces[piece]
    }
}

impl Flow {
    /// No ware yet.
    pub(super) fn begin(&mut self, room: &Room) {
        self.pieces.clear();
        self.lots.clear();
        self.census = Census::default();
        self.lines.begin(room);
    }

    /// One more piece is to come, behind the one before.
    pub(super) fn add(&mut self, piece: Piece) {
        let next = PieceId::new(self.pieces.len() + 1);
        self.pieces.push(Piece { next, ..piece });
        self.census.count[Zone::Coming as usize] += 1;
    }

    /// A lot is soiled on its table: it dries from now on.
    pub(super) fn soil(&mut self, lot: LotId, now: Time) {
        let lot = &mut self.lots[lot];
        for piece in &mut self.pieces[lot.range()] {
            piece.since = now;
        }
        lot.pile.carry(&mut self.census, Zone::OnTables);
    }

    /// The pieces of a lot leave the tables.
    pub(super) fn take_lot(&mut self, lot: LotId) -> Pile {
        std::mem::take(&mut self.lots[lot].pile)
    }

    /// Pieces are in the store, or out of the room.
    pub(super) fn leave(&mut self, pile: &Pile) {
        self.census.moved(pile.len, pile.zone, Zone::Out);
    }
}

/// Pieces of one ware that are used together.
#[derive(Debug)]
pub struct Lot {
    /// Index of the ware.
    pub ware: usize,
    /// Its first piece; the others follow.
    pub first: PieceId,
    /// Pieces.
    pub count: u32,
    /// Those of its pieces that have not come to a line yet.
    pub(super) pile: Pile,
    /// Names it to the random streams.
    pub key: u64,
    /// From laid to soiled.
    pub eats: Time,
    /// Whether guests soil it; otherwise it comes to the drop-off by itself.
    pub by_guests: bool,
    /// Whether it belongs to the clean stock: guests' ware, and what stood there at the start.
    pub from_stock: bool,
    /// When its party leaves.
    pub departs: Time,
    /// Pieces still to be laid.
    pub missing: u32,
    /// Pieces that make one cover short.
    pub pieces_per_cover: f64,
    /// When it asked for ware that was not there.
    pub asked: Time,
    /// Covers that wait.
    pub short: u32,
}

impl Lot {
    /// A lot whose pieces have just been added, one behind the other.
    pub(super) const fn new(ware: usize, first: PieceId, count: u32, key: u64, eats: Time) -> Self {
        Self {
            ware,
            first,
            count,
            pile: Pile::coming(first, count),
            key,
            eats,
            by_guests: false,
            from_stock: false,
            departs: Time::ZERO,
            missing: 0,
            pieces_per_cover: 1.0,
            asked: Time::ZERO,
            short: 0,
        }
    }

    /// Where its pieces lie among all.
    pub(super) const fn range(&self) -> std::ops::Range<usize> {
        let first = self.first.at();
        first..first + self.count as usize
    }

    /// Which of its pieces one is, from 0.
    pub(super) const fn place_of(&self, piece: PieceId) -> u32 {
        piece.number() - self.first.number()
    }
}

/// Pieces that lie one behind the other in a zone: in line, in somebody's hands, in a sink, in a rack.
#[derive(Debug)]
#[must_use]
pub(super) struct Pile {
    head: PieceId,
    tail: PieceId,
    len: u32,
    zone: Zone,
}

impl Default for Pile {
    fn default() -> Self {
        Self::new(Zone::Out)
    }
}

impl Pile {
    /// Nothing, there.
    pub const fn new(zone: Zone) -> Self {
        Self {
            head: NONE,
            tail: NONE,
            len: 0,
            zone,
        }
    }

    /// The pieces of a lot, one behind the other, still with the guests.
    pub const fn coming(first: PieceId, count: u32) -> Self {
        Self {
            head: first,
            tail: PieceId::new(first.at() + count as usize - 1),
            len: count,
            zone: Zone::Coming,
        }
    }

    /// How many.
    pub const fn len(&self) -> u32 {
        self.len
    }

    /// Whether nothing lies there.
    pub const fn is_empty(&self) -> bool {
        self.len == 0
    }

    /// Where it lies.
    pub const fn zone(&self) -> Zone {
        self.zone
    }

    /// The first.
    pub const fn head(&self) -> Option<PieceId> {
        if self.len == 0 { None } else { Some(self.head) }
    }

    /// The piece behind `piece`, which lies here.
    pub fn after(&self, piece: PieceId, flow: &Flow) -> Option<PieceId> {
        self.behind(piece, &flow[piece])
    }

    /// The same, for who has it in hand.
    pub fn behind(&self, piece: PieceId, at: &Piece) -> Option<PieceId> {
        (piece != self.tail).then_some(at.next)
    }

    /// All of another pile comes behind what lies here.
    pub fn put(&mut self, flow: &mut Flow, pile: Self) {
        if pile.len == 0 {
            return;
        }
        if pile.zone != self.zone {
            flow.census.moved(pile.len, pile.zone, self.zone);
        }
        if self.len == 0 {
            self.head = pile.head;
        } else {
            flow[self.tail].next = pile.head;
        }
        self.tail = pile.tail;
        self.len += pile.len;
    }

    /// Takes so many from the front, or all there are.
    pub fn take(&mut self, flow: &Flow, count: u32) -> Self {
        if count >= self.len {
            return std::mem::replace(self, Self::new(self.zone));
        }
        let mut last = self.head;
        for _ in 1..count {
            last = flow[last].next;
        }
        self.take_to(flow, last, count)
    }

    /// Takes the first pieces that are of one lot and alike soaked: they differ only in how dry and how
    /// clean each is.
    pub fn take_run(&mut self, flow: &Flow) -> Option<Self> {
        let head = self.head()?;
        if self.len == 1 {
            return Some(std::mem::replace(self, Self::new(self.zone)));
        }
        let run = |piece: &Piece| (piece.lot, piece.soaked);
        let first = run(&flow[head]);
        Some(self.take_while(flow, |piece| run(piece) == first))
    }

    /// Takes pieces from the front for as long as they are wanted.
    pub fn take_while(&mut self, flow: &Flow, mut wanted: impl FnMut(&Piece) -> bool) -> Self {
        let (mut count, mut last, mut next) = (0, self.head, self.head);
        while count < self.len {
            let piece = &flow[next];
            if !wanted(piece) {
                return self.take_to(flow, last, count);
            }
            count += 1;
            last = next;
            next = piece.next;
        }
        std::mem::replace(self, Self::new(self.zone))
    }

    /// Takes fewer than all, up to `last`.
    fn take_to(&mut self, flow: &Flow, last: PieceId, count: u32) -> Self {
        if count == 0 {
            return Self::new(self.zone);
        }
        let taken = Self {
            head: self.head,
            tail: last,
            len: count,
            zone: self.zone,
        };
        self.head = flow[last].next;
        self.len -= count;
        taken
    }

    /// All of it is somewhere else now.
    pub fn carry(&mut self, census: &mut Census, to: Zone) {
        census.moved(self.len, self.zone, to);
        self.zone = to;
    }

    /// The same, for a pile just taken.
    pub fn moved_to(mut self, flow: &mut Flow, to: Zone) -> Self {
        self.carry(&mut flow.census, to);
        self
    }

    /// Does something to each of its pieces, first to last.
    #[inline]
    pub fn each(&self, flow: &mut Flow, mut does: impl FnMut(&mut Piece)) {
        let mut next = self.head;
        for _ in 0..self.len {
            let piece = &mut flow[next];
            next = piece.next;
            does(piece);
        }
    }

    /// The pieces, first to last.
    pub fn iter<'p>(&self, flow: &'p Flow) -> impl Iterator<Item = PieceId> + use<'p> {
        let mut next = self.head;
        (0..self.len).map(move |_| {
            let piece = next;
            next = flow[piece].next;
            piece
        })
    }
}
