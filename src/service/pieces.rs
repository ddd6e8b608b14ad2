//! Pieces of ware, the runs they go in, the piles those lie in, and the zones they are counted in.
//!
//! The pieces of a lot lie one behind the other in one array, and as long as they differ in nothing but how dry and
//! how clean each is they go as one **run**. A pile is a linked list of runs. A run has one `next`, so it cannot lie in
//! two piles; a run is only ever split, so every piece is in one run, and moving ware allocates nothing.
//!
//! **A pile lies in a zone, and pieces change their zone only with a pile**: taken from one pile they are a pile of
//! their own, which stays where it was until another one takes it in, or the store. So the census needs nobody's care.
//! What waits in line lies in a pile too, but only its `Line` may touch that one.

use super::index::{LotId, PieceId, RunId, indexes};
use super::line::books::Lines;
use crate::room::Room;
use crate::room::time::Time;
use crate::room::ware::Dries;

/// Ends a linked list.
const NONE: RunId = RunId::new(u32::MAX as usize);

/// One piece of ware: what it does not share with its run.
#[derive(Debug, Clone, Copy)]
pub struct Piece {
    /// Dimensionless drying time when that of its run was last worked out.
    pub theta: f64,
    /// Dimensionless drying time a second: the soil's rate over this piece's film.
    pub drying_per_s: f64,
    /// Index of the lot it was soiled in.
    pub lot: LotId,
    /// Washes so far.
    pub washes: u16,
    /// Whether it is still dirty after its last wash.
    pub dirty: bool,
}

impl Piece {
    /// A soiled piece of a lot, before anybody has seen it.
    #[must_use]
    pub(super) const fn new(lot: LotId, drying_per_s: f64) -> Self {
        Self {
            theta: 0.0,
            drying_per_s,
            lot,
            washes: 0,
            dirty: true,
        }
    }

    /// Dimensionless drying time so many seconds after it was last worked out.
    #[inline]
    #[must_use]
    pub fn theta_after(&self, s: f64) -> f64 {
        self.theta + s * self.drying_per_s
    }
}

/// Pieces of one lot, one behind the other, that have gone the same way so far.
#[derive(Debug, Clone, Copy)]
pub struct Run {
    /// The run behind it in its pile.
    next: RunId,
    /// Its first piece; the others follow.
    pub first: PieceId,
    /// Pieces.
    pub count: u32,
    /// Index of the lot.
    pub lot: LotId,
    /// Index of the ware.
    pub ware: u16,
    /// Index of the soil.
    pub soil: u16,
    /// Whether they have been soaked since their last wash.
    pub soaked: bool,
    /// Whether they have been washed before.
    pub washed: bool,
    /// Whether they are washed by hand: they need a place on the drainboard until they are put away.
    pub by_hand: bool,
    /// When the drying times of its pieces were true.
    pub since: Time,
    /// How fast they dry where they stand, over a film in the open.
    pub drying: f64,
    /// When it reached the drop-off; [`Time::NEVER`] before.
    pub reached: Time,
    /// When it joined the line it stands in, or last stood in.
    pub joined: Time,
    /// How long it has lain in a soak before its first wash, put in to taken out.
    pub soaked_for: Time,
}

impl Run {
    /// Where its pieces lie among all.
    #[inline]
    pub(super) const fn range(&self) -> std::ops::Range<usize> {
        let first = self.first.at();
        first..first + self.count as usize
    }

    /// For how long its pieces have dried since their drying times were worked out, s in the open.
    #[inline]
    pub(super) fn dried_s(&self, now: Time) -> f64 {
        (now - self.since).s() * self.drying
    }

    /// Whether it waits for its first wash, somewhere from the drop-off to a lane.
    pub(super) fn waits_for_first_wash(&self) -> bool {
        !self.washed && self.reached != Time::NEVER
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
    /// In an open rack beside the drop-off.
    InDecoy,
    /// In a filled rack on a station or in a lane.
    RackWaiting,
    InMachine,
    /// On a landing or a dolly, waiting, draining or being unloaded.
    OnLanding,
    ToPotSink,
    Scrubbing,
    /// In the sanitising compartment.
    Sanitising,
    /// There, and still wet.
    OnDrainboard,
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

indexes!(PieceId => Piece, RunId => Run, LotId => Lot);

/// All ware of an evening: its pieces, where they are, and the books of what waits.
#[derive(Debug, Default)]
pub struct Flow {
    /// Every piece, those of a lot behind each other.
    pub(super) pieces: Vec<Piece>,
    /// Every run.
    pub(super) runs: Vec<Run>,
    /// Every lot.
    pub(super) lots: Vec<Lot>,
    pub(super) census: Census,
    pub(super) lines: Lines,
}

impl std::ops::Index<RunId> for Flow {
    type Output = Run;

    #[inline]
    fn index(&self, run: RunId) -> &Run {
        &self.runs[run]
    }
}

impl std::ops::IndexMut<RunId> for Flow {
    #[inline]
    fn index_mut(&mut self, run: RunId) -> &mut Run {
        &mut self.runs[run]
    }
}

impl Flow {
    /// No ware yet.
    pub(super) fn begin(&mut self, room: &Room) {
        self.pieces.clear();
        self.runs.clear();
        self.lots.clear();
        self.census = Census::default();
        self.lines.begin(room);
    }

    /// The pieces just added, from `first` on, are a lot that is to come.
    pub(super) fn add_lot(&mut self, lot: Lot, soil: u16, since: Time) -> LotId {
        let id = LotId::new(self.lots.len());
        self.census.count[Zone::Coming as usize] += lot.count;
        self.runs.push(Run {
            next: NONE,
            first: lot.first,
            count: lot.count,
            lot: id,
            ware: lot.ware as u16,
            soil,
            soaked: false,
            washed: false,
            by_hand: false,
            since,
            drying: Dries::IN_THE_OPEN,
            reached: Time::NEVER,
            joined: since,
            soaked_for: Time::ZERO,
        });
        let pile = Pile {
            head: RunId::new(self.runs.len() - 1),
            tail: RunId::new(self.runs.len() - 1),
            len: lot.count,
            zone: Zone::Coming,
        };
        self.lots.push(Lot { pile, ..lot });
        id
    }

    /// The same of ware that is clean.
    pub(super) fn add_clean_lot(&mut self, lot: Lot, since: Time) -> LotId {
        let id = self.add_lot(lot, 0, since);
        let run = self.lots[id].pile.head;
        self.runs[run].washed = true;
        id
    }

    /// A lot is soiled on its table: it dries from now on.
    pub(super) fn soil(&mut self, lot: LotId, now: Time, dries: &Dries) {
        self.dries_from(lot, now);
        let run = self.lots[lot].pile.head;
        self.runs[run].drying = dries.on_tables;
        self.lots[lot].pile.carry(&mut self.census, Zone::OnTables);
    }

    /// A lot that has not come to a line yet is dry from that moment on, which may lie before the evening.
    pub(super) fn dries_from(&mut self, lot: LotId, since: Time) {
        let run = self.lots[lot].pile.head;
        self.runs[run].since = since;
    }

    /// The pieces of a lot leave the tables.
    pub(super) fn take_lot(&mut self, lot: LotId) -> Pile {
        std::mem::take(&mut self.lots[lot].pile)
    }

    /// Pieces are in the store, or out of the room.
    pub(super) fn leave(&mut self, pile: &Pile) {
        self.census.moved(pile.len, pile.zone, Zone::Out);
    }

    /// Cuts a run behind so many of its pieces: the others are a run of their own, behind it.
    fn split(&mut self, run: RunId, count: u32) {
        let behind = RunId::new(self.runs.len());
        let front = &mut self.runs[run];
        let rest = Run {
            first: PieceId::new(front.first.at() + count as usize),
            count: front.count - count,
            ..*front
        };
        front.count = count;
        front.next = behind;
        self.runs.push(rest);
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
            pile: Pile::new(Zone::Coming),
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

    /// Which of its pieces one is, from 0.
    pub(super) const fn place_of(&self, piece: PieceId) -> u32 {
        piece.number() - self.first.number()
    }
}

/// Runs that lie one behind the other in a zone: in line, in somebody's hands, in a sink, in a rack.
#[derive(Debug)]
#[must_use]
pub(super) struct Pile {
    head: RunId,
    tail: RunId,
    /// Pieces.
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

    /// How many pieces.
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

    /// The first run.
    pub const fn head(&self) -> Option<RunId> {
        if self.len == 0 { None } else { Some(self.head) }
    }

    /// The run behind `run`, which lies here.
    pub fn behind(&self, run: RunId, at: &Run) -> Option<RunId> {
        (run != self.tail).then_some(at.next)
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

    /// Takes so many pieces from the front, or all there are.
    pub fn take(&mut self, flow: &mut Flow, count: u32) -> Self {
        if count >= self.len {
            return std::mem::replace(self, Self::new(self.zone));
        }
        let mut left = count;
        self.take_while(flow, |run| {
            let taken = run.count.min(left);
            left -= taken;
            taken
        })
    }

    /// Takes the first run.
    pub fn take_run(&mut self, flow: &mut Flow) -> Option<Self> {
        let run = flow[self.head()?];
        Some(self.take_to(flow, self.head, run.count))
    }

    /// Takes pieces from the front: so many of each run as are wanted, until it is not all of one.
    pub fn take_while(&mut self, flow: &mut Flow, mut wanted: impl FnMut(&Run) -> u32) -> Self {
        let (mut count, mut last, mut next) = (0, NONE, self.head);
        while count < self.len {
            let run = &flow[next];
            let (of_it, all, behind) = (wanted(run), run.count, run.next);
            if of_it < all {
                if of_it > 0 {
                    if next == self.tail {
                        self.tail = RunId::new(flow.runs.len());
                    }
                    flow.split(next, of_it);
                    last = next;
                    count += of_it;
                }
                return self.take_to(flow, last, count);
            }
            count += all;
            last = next;
            next = behind;
        }
        std::mem::replace(self, Self::new(self.zone))
    }

    /// Takes so many pieces, up to the end of the run `last`.
    fn take_to(&mut self, flow: &Flow, last: RunId, count: u32) -> Self {
        if count == 0 {
            return Self::new(self.zone);
        }
        if count == self.len {
            return std::mem::replace(self, Self::new(self.zone));
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

    /// Does something to each of its runs and their pieces, first to last.
    #[inline]
    pub fn each(&self, flow: &mut Flow, mut does: impl FnMut(&mut Run, &mut [Piece])) {
        let (mut next, mut left) = (self.head, self.len);
        while left > 0 {
            let run = &mut flow.runs[next];
            left -= run.count;
            next = run.next;
            let pieces = run.range();
            does(run, &mut flow.pieces[pieces]);
        }
    }

    /// Its runs, first to last.
    #[inline]
    pub fn runs<'p>(&self, flow: &'p Flow) -> impl Iterator<Item = &'p Run> + use<'p> {
        let (mut next, mut left) = (self.head, self.len);
        std::iter::from_fn(move || {
            if left == 0 {
                return None;
            }
            let run = &flow[next];
            left -= run.count;
            next = run.next;
            Some(run)
        })
    }

    /// A sum over its pieces, of what each piece of a ware or a soil has. Added one after the other, so that no sum
    /// hangs on how pieces lie in runs.
    #[inline]
    pub fn sum(&self, flow: &Flow, of_a_piece: impl Fn(&Run) -> f64) -> f64 {
        let runs = self.runs(flow);
        runs.fold(0.0, |sum, run| add_each(sum, of_a_piece(run), run.count))
    }
}

/// The same number added so many times.
#[inline]
pub(super) fn add_each(sum: f64, number: f64, times: u32) -> f64 {
    (0..times).fold(sum, |sum, _| sum + number)
}
