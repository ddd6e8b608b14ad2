//! Randomness: one stream for each purpose and thing.
//!
//! Two services with the same seed and replication draw the same guests, soil and luck whatever
//! their crews and machines, because a stream is keyed by what it is for, not by when it is used.
//! Keys are hashed with `SipHash` 1-3 (Aumasson and Bernstein 2012) under (seed, replication); streams
//! are xoshiro256++ (Blackman and Vigna 2019), seeded from the key through `SplitMix64`. Both are
//! named, published and the same on every platform.
//!
//! - A draw never depends on when it is asked for. Where other draws of the same stream follow, it is made even
//!   when it is not used (`place` in `service/demand.rs`).
//! - A row's name is its key ([`name_key`](crate::room::name_key)): rename a row and its draws change; add or remove
//!   another and they do not.
//! - Working times are one stream per duty, in the order units are taken up. So a change of crew pairs guests and
//!   luck, but not the length of each unit of work. `tests/pairing.rs` shows that this costs nothing that could be
//!   measured.

use crate::scenario::model::Duty;
use rand::SeedableRng;
use rand_xoshiro::Xoshiro256PlusPlus;

/// A stream of random numbers.
pub type Stream = Xoshiro256PlusPlus;

/// What a stream is for. The numbers are part of every result: never change one, add at the end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u64)]
pub enum Purpose {
    /// How many parties an interval brings. Thing: the seating, by its time of day.
    PartyCount = 1,
    /// A party: when, how many, how long. Thing: the seating or log, part: its number; then the party's own key.
    Party = 2,
    /// A use of ware by a party; also the key under which its pieces are known, that of the lot. Thing: the party,
    /// part: the menu row, or the line of a log. Of a stream of soiled ware: its own next draw.
    Use = 3,
    /// Film thickness of the pieces of a use. Thing: the lot.
    Film = 4,
    /// The trip from the tables. Thing: the lot.
    Trip = 5,
    /// Whether a piece comes out clean. Thing: the lot, part: the piece and how often it has been washed.
    Luck = 6,
    /// Arrivals of a stream of soiled ware. Thing: its row, or the backlog's.
    Arrivals = 7,
    /// Working times. Thing: the duty.
    Work = 8,
    /// Cycles of a hood. Thing: the hood, part: the number of the cycle.
    Cycle = 9,
    /// A whole seating eating in step. Thing: the seating, by its time of day.
    Wave = 10,
    /// Whether inspection catches a dirty piece. Thing and part as for luck.
    Eye = 11,
    /// Running time between two strikes of a fault. Thing: the fault of a machine, part: how often it has struck.
    Fault = 12,
    /// The mending of a fault. Thing and part as for its strikes.
    Mend = 13,
    /// A task of the set-up or the close-down. Thing: the task.
    Task = 14,
    /// The hands of a change of water. Thing: the machine, part: the number of the change.
    Change = 15,
    /// Whether an operator comes, and how late. Thing: the row of the roster, part: the number in it.
    Coming = 16,
    /// A party that is booked. Thing: its row; then the party's own key.
    Booking = 17,
    /// How busy an evening is beyond chance.
    Busyness = 18,
    /// The pace of somebody's day. Thing: the row of the roster, part: the number in it.
    Pace = 19,
    /// Moving racks by hand. Thing: 0 to a dolly, 1 to the store.
    Move = 20,
}

/// The number of a duty among the working times: a part of every result, so one that came later has a later number,
/// wherever it stands among the duties.
#[must_use]
pub const fn work_of(duty: Duty) -> u64 {
    match duty {
        Duty::ClearDown => 0,
        Duty::Scrape => 1,
        Duty::PreRinse => 2,
        Duty::Soak => 3,
        Duty::Load => 4,
        Duty::Hood => 5,
        Duty::Unload => 6,
        Duty::PutAway => 7,
        Duty::SetUp => 8,
        Duty::Tend => 9,
        Duty::CloseDown => 10,
        Duty::WashPots => 11,
    }
}

/// The source of all streams of one replication: the state of the hash under its two keys.
#[derive(Debug, Clone, Copy)]
pub struct Streams {
    start: [u64; 4],
}

impl Streams {
    /// Streams of one replication of one seed.
    #[must_use]
    pub fn new(seed: u64, replication: u64) -> Self {
        let start = [
            seed ^ 0x736f_6d65_7073_6575,
            replication ^ 0x646f_7261_6e64_6f6d,
            seed ^ 0x6c79_6765_6e65_7261,
            replication ^ 0x7465_6462_7974_6573,
        ];
        Self { start }
    }

    /// The key of a thing: `SipHash` 1-3 of three words. A hash of any number of bytes, such as the one that this is
    /// held to below, takes three times as long, and thousands are wanted each evening.
    #[must_use]
    pub fn key(&self, purpose: Purpose, thing: u64, part: u64) -> u64 {
        // The last word is the length, in the highest byte.
        const LENGTH: u64 = 24 << 56;
        let mut state = self.start;
        for word in [purpose as u64, thing, part, LENGTH] {
            state[3] ^= word;
            state = sip_round(state);
            state[0] ^= word;
        }
        state[2] ^= 0xff;
        for _ in 0..3 {
            state = sip_round(state);
        }
        state[0] ^ state[1] ^ state[2] ^ state[3]
    }

    /// One number for a thing, uniform on 0 to 1: the key itself is as random as a stream's first.
    #[must_use]
    pub fn uniform(&self, purpose: Purpose, thing: u64, part: u64) -> f64 {
        (self.key(purpose, thing, part) >> 11) as f64 * (1.0 / (1_u64 << 53) as f64)
    }

    /// The stream of a thing, from its beginning.
    #[must_use]
    pub fn stream(&self, purpose: Purpose, thing: u64, part: u64) -> Stream {
        Stream::seed_from_u64(self.key(purpose, thing, part))
    }
}

/// One round of `SipHash`, as published.
#[inline]
const fn sip_round([mut a, mut b, mut c, mut d]: [u64; 4]) -> [u64; 4] {
    a = a.wrapping_add(b);
    c = c.wrapping_add(d);
    b = b.rotate_left(13) ^ a;
    d = d.rotate_left(16) ^ c;
    a = a.rotate_left(32);
    c = c.wrapping_add(b);
    a = a.wrapping_add(d);
    b = b.rotate_left(17) ^ c;
    d = d.rotate_left(21) ^ a;
    c = c.rotate_left(32);
    [a, b, c, d]
}

#[cfg(test)]
mod tests {
    use super::{Purpose, Streams};
    use rand::{Rng, RngExt, SeedableRng};
    use siphasher::sip::SipHasher13;

    /// Against a library's hash of the same bytes.
    #[test]
    fn keys_are_the_published_hash() {
        let mut stream = super::Stream::seed_from_u64(5);
        for _ in 0..1_000 {
            let [seed, replication, thing, part]: [u64; 4] = stream.random();
            for purpose in [Purpose::PartyCount, Purpose::Luck, Purpose::Change] {
                let words = [purpose as u64, thing, part];
                let bytes: Vec<u8> = words.iter().flat_map(|word| word.to_le_bytes()).collect();
                let expected = SipHasher13::new_with_keys(seed, replication).hash(&bytes);
                let streams = Streams::new(seed, replication);
                assert_eq!(streams.key(purpose, thing, part), expected);
            }
        }
    }

    #[test]
    fn neighbours_share_nothing() {
        let mut seen = std::collections::BTreeSet::new();
        for seed in 0..8 {
            for replication in 0..8 {
                let streams = Streams::new(seed, replication);
                for thing in 0..8 {
                    for purpose in [Purpose::Party, Purpose::Film] {
                        let mut stream = streams.stream(purpose, thing, 0);
                        for _ in 0..16 {
                            assert!(seen.insert(stream.next_u64()));
                        }
                    }
                }
            }
        }
    }

    /// The first values of a stream are part of every result: they may never change. Worked out apart,
    /// in another language, from the papers' own descriptions of the hash and the generators.
    #[test]
    fn values_are_stable() {
        let mut stream = Streams::new(1, 2).stream(Purpose::Party, 3, 4);
        let first = [stream.next_u64(), stream.next_u64()];
        assert_eq!(first, VALUES);
    }

    const VALUES: [u64; 2] = [7_752_578_936_843_718_194, 10_634_765_898_975_590_615];
}
