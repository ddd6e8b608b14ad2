//! Which points belong to which part: a fixed share, near equal, mixed over all factors.
//!
//! Points are dealt out in rows of as many as there are parts; each row is shifted by one against the row
//! before, so that a part does not always get the same level of the fastest factor.

/// One part of so many.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Share {
    /// Which, from 1.
    pub part: u64,
    /// Of how many.
    pub of: u64,
}

impl Share {
    /// All of it.
    pub const WHOLE: Self = Self { part: 1, of: 1 };

    /// Its points, of so many in all, in order.
    pub fn points(self, all: u64) -> impl Iterator<Item = u64> + Clone + Send + Sync {
        let Self { part, of } = self;
        let of = of.max(1);
        (0..all.div_ceil(of))
            .map(move |row| row * of + (part - 1 + of - row % of) % of)
            .filter(move |point| *point < all)
    }
}

/// The part of so many that has a point, from 1.
#[must_use]
pub const fn part_of(point: u64, of: u64) -> u64 {
    let row = point / of;
    (point % of + row % of) % of + 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_point_is_in_one_part() {
        for (all, of) in [(0, 3), (1, 1), (36, 7), (100, 64), (5, 9), (1000, 10)] {
            let mut seen = Vec::new();
            for part in 1..=of {
                let points: Vec<u64> = Share { part, of }.points(all).collect();
                assert!(points.is_sorted());
                assert!(points.iter().all(|point| part_of(*point, of) == part));
                let least = all / of;
                assert!((least..=least + 1).contains(&(points.len() as u64)));
                seen.extend(points);
            }
            seen.sort_unstable();
            assert_eq!(seen, (0..all).collect::<Vec<_>>());
        }
    }

    #[test]
    fn a_part_meets_every_level_of_the_fastest_factor() {
        let levels: std::collections::BTreeSet<u64> = Share { part: 3, of: 64 }
            .points(1024)
            .map(|point| point % 4)
            .collect();
        assert_eq!(levels.len(), 4);
    }
}
