//! Points of a latin hypercube: in each dimension every one of `points` equal strata is met once.
//!
//! Out: numbers from 0 to below 1, a row per point. Each dimension is a permutation of the strata with a
//! place drawn within each, from a stream keyed by seed and name, so that one more factor leaves the
//! others where they are. Source: McKay, Beckman and Conover, *Technometrics* 21, 1979 (from memory).

use rand::{Rng, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;
use siphasher::sip::SipHasher13;

/// One dimension: a number for each point.
#[must_use]
pub fn latin(points: usize, seed: u64, name: &str) -> Vec<f64> {
    let key = SipHasher13::new_with_keys(seed, 0x006c_6174_696e).hash(name.as_bytes());
    let mut stream = Xoshiro256PlusPlus::seed_from_u64(key);
    let mut strata: Vec<(u64, usize)> = (0..points).map(|at| (stream.next_u64(), at)).collect();
    // Sorted by random keys: every order of the strata is as likely as any other.
    strata.sort_unstable();
    let place = |(_, stratum): (u64, usize)| {
        let within = (stream.next_u64() >> 11) as f64 * (1.0 / (1_u64 << 53) as f64);
        // The sum may round up to the next stratum, and at the very end to 1.
        ((stratum as f64 + within) / points as f64).min(1.0 - f64::EPSILON)
    };
    strata.into_iter().map(place).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_stratum_is_met_once_and_names_differ() {
        for points in [1, 7, 64, 1000] {
            let numbers = latin(points, 5, "tunnel");
            let mut strata: Vec<usize> = numbers
                .iter()
                .map(|u| (u * points as f64) as usize)
                .collect();
            strata.sort_unstable();
            assert_eq!(strata, (0..points).collect::<Vec<_>>());
        }
        assert_ne!(latin(64, 5, "tunnel"), latin(64, 5, "loaders"));
        assert_ne!(latin(64, 5, "tunnel"), latin(64, 6, "tunnel"));
    }
}
