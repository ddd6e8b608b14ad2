//! Lots: pieces of one ware that are used together, by a party or a stream.

use super::pieces::Run;
use crate::room::time::Time;

/// Pieces of one ware that are used together.
#[derive(Debug, Clone)]
pub struct Lot {
    /// Index of the ware.
    pub ware: usize,
    /// Its first piece; the others follow.
    pub first: u32,
    /// Pieces.
    pub count: u32,
    /// Those of its pieces that lie in no pile yet.
    pub(super) run: Run,
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
    pub(super) const fn new(ware: usize, first: u32, count: u32, key: u64, eats: Time) -> Self {
        Self {
            ware,
            first,
            count,
            run: Run::coming(first, count),
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
}
