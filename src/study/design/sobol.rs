//! Points of Sobol's sequence, which fill a cube ever more evenly.
//!
//! Out: numbers from 0 to below 1, a row per point, up to [`MAX`] dimensions. Direction numbers: Joe and
//! Kuo, *SIAM Journal on Scientific Computing* 30, 2008, the file `new-joe-kuo-6.21201`; the points come in
//! the order of the Gray code (Antonov and Saleev 1979). Nothing is skipped and nothing is scrambled, so
//! the first point is the corner where every factor is at its first value. Balanced best at powers of two.

/// Dimensions there are direction numbers for.
pub const MAX: usize = 21;
const BITS: usize = 32;

/// Dimension by dimension from the second: degree and inner coefficients of the primitive polynomial, and
/// the first direction numbers.
#[rustfmt::skip]
const DIRECTIONS: [(usize, u32, &[u32]); MAX - 1] = [
    (1, 0, &[1]),
    (2, 1, &[1, 3]),
    (3, 1, &[1, 3, 1]),
    (3, 2, &[1, 1, 1]),
    (4, 1, &[1, 1, 3, 3]),
    (4, 4, &[1, 3, 5, 13]),
    (5, 2, &[1, 1, 5, 5, 17]),
    (5, 4, &[1, 1, 5, 5, 5]),
    (5, 7, &[1, 1, 7, 11, 19]),
    (5, 11, &[1, 1, 5, 1, 1]),
    (5, 13, &[1, 1, 1, 3, 11]),
    (5, 14, &[1, 3, 5, 5, 31]),
    (6, 1, &[1, 3, 3, 9, 7, 49]),
    (6, 13, &[1, 1, 1, 15, 21, 21]),
    (6, 16, &[1, 3, 1, 13, 27, 49]),
    (6, 19, &[1, 1, 1, 15, 7, 5]),
    (6, 22, &[1, 3, 1, 15, 13, 25]),
    (6, 25, &[1, 1, 5, 5, 19, 61]),
    (7, 1, &[1, 3, 7, 11, 23, 15, 103]),
    (7, 4, &[1, 3, 7, 13, 13, 15, 69]),
];

/// One dimension, counted from 0: a number for each point. Nothing beyond [`MAX`].
#[must_use]
pub fn sobol(points: usize, dimension: usize) -> Option<Vec<f64>> {
    let directions = directions(dimension)?;
    let mut numbers = Vec::with_capacity(points);
    let mut state = 0_u32;
    for point in 0..points {
        numbers.push(f64::from(state) / (1_u64 << BITS) as f64);
        state ^= directions.get(point.trailing_ones() as usize)?;
    }
    Some(numbers)
}

/// The direction numbers of a dimension, the leading bit first.
fn directions(dimension: usize) -> Option<[u32; BITS]> {
    let mut v = [0_u32; BITS];
    if dimension == 0 {
        for (bit, v) in v.iter_mut().enumerate() {
            *v = 1 << (BITS - 1 - bit);
        }
        return Some(v);
    }
    let (degree, inner, first) = *DIRECTIONS.get(dimension - 1)?;
    for bit in 0..BITS {
        v[bit] = if bit < degree {
            first[bit] << (BITS - 1 - bit)
        } else {
            let recurrence = |sum, back: usize| {
                let has = (inner >> (degree - 1 - back)) & 1;
                sum ^ (has * v[bit - back])
            };
            let start = v[bit - degree] ^ (v[bit - degree] >> degree);
            (1..degree).fold(start, recurrence)
        };
    }
    Some(v)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Held against scipy 1.16 (`scipy.stats.qmc.Sobol(21, scramble=False)`), which has the direction
    /// numbers of Joe and Kuo too: points 13, 63 and 1000, in 1024ths.
    #[test]
    fn points_are_those_of_another_program() {
        let theirs: [(usize, [u32; MAX]); 3] = [
            (
                13,
                [
                    832, 704, 832, 64, 448, 960, 576, 576, 576, 448, 832, 960, 64, 832, 192, 576,
                    192, 704, 576, 960, 576,
                ],
            ),
            (
                63,
                [
                    16, 816, 368, 464, 880, 144, 592, 144, 848, 592, 432, 688, 560, 784, 336, 784,
                    80, 400, 976, 240, 240,
                ],
            ),
            (
                1000,
                [
                    225, 99, 531, 693, 287, 929, 47, 921, 513, 71, 87, 261, 165, 393, 147, 379,
                    737, 353, 1015, 743, 535,
                ],
            ),
        ];
        for (point, row) in theirs {
            let ours: Vec<u32> = (0..MAX)
                .map(|dimension| (sobol(1001, dimension).unwrap()[point] * 1024.0) as u32)
                .collect();
            assert_eq!(ours, row, "point {point}");
        }
    }

    /// Each dimension meets every one of 2^k strata once in its first 2^k points (a property of every
    /// (t, s)-sequence in base 2 one dimension at a time).
    #[test]
    fn each_dimension_alone_is_even() {
        for dimension in 0..MAX {
            for points in [2_usize, 16, 256, 4096] {
                let numbers = sobol(points, dimension).unwrap();
                let mut strata: Vec<usize> = numbers
                    .iter()
                    .map(|u| (u * points as f64) as usize)
                    .collect();
                strata.sort_unstable();
                assert_eq!(strata, (0..points).collect::<Vec<_>>(), "{dimension}");
            }
        }
        assert!(sobol(4, MAX).is_none());
    }
}
