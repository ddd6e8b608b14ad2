//! Random variates that need a transcendental function, on `libm` alone.
//!
//! `rand_distr` serves the others. Its normal, exponential, gamma and Poisson draws call the platform's
//! `exp` and `ln` as soon as any crate of the program switches on the standard library's mathematics,
//! and those differ in their last bits from platform to platform; a seed must give the same evening
//! everywhere. Sources: normal, Wichura 1988 (Applied Statistics 37, AS 241, PPND16); gamma, Marsaglia
//! and Tsang 2000 (ACM TOMS 26); exponential by inversion; Poisson by products of uniforms, Knuth 1969 (vol. 2, 3.4.1).

// Coefficients stand as printed.
#![allow(clippy::excessive_precision)]

use rand::{Rng, RngExt};

/// A standard exponential variate.
pub fn exponential<R: Rng + ?Sized>(stream: &mut R) -> f64 {
    let drawn: f64 = stream.random();
    // 1 - drawn is exact and never 0.
    -libm::log(1.0 - drawn)
}

/// A standard normal variate, by inversion: one number of the stream each.
pub fn normal<R: Rng + ?Sized>(stream: &mut R) -> f64 {
    // The middle of one of 2^53 equal strips: never 0 or 1.
    let drawn = ((stream.next_u64() >> 11) as f64 + 0.5) * (1.0 / (1_u64 << 53) as f64);
    normal_quantile(drawn)
}

/// A gamma variate of mean `shape` (scale 1).
pub fn gamma<R: Rng + ?Sized>(shape: f64, stream: &mut R) -> f64 {
    if shape < 1.0 {
        let drawn: f64 = stream.random();
        let boosted = gamma(shape + 1.0, stream);
        return boosted * libm::pow(1.0 - drawn, 1.0 / shape);
    }
    let d = shape - 1.0 / 3.0;
    let c = 1.0 / libm::sqrt(9.0 * d);
    loop {
        let x = normal(stream);
        let v = 1.0 + c * x;
        if v <= 0.0 {
            continue;
        }
        let v = v * v * v;
        let drawn: f64 = 1.0 - stream.random::<f64>();
        if libm::log(drawn) < 0.5 * x * x + d - d * v + d * libm::log(v) {
            return d * v;
        }
    }
}

/// A Poisson variate: how many uniform factors keep a product above exp(-mean) (Knuth 1969), taken in
/// stretches whose exponentials are far from underflow.
pub fn poisson<R: Rng + ?Sized>(mean: f64, stream: &mut R) -> u64 {
    const STRETCH: f64 = 500.0;
    let mut count = 0;
    let mut left = mean;
    while left > 0.0 {
        let limit = libm::exp(-left.min(STRETCH));
        let mut product: f64 = 1.0 - stream.random::<f64>();
        while product > limit {
            count += 1;
            product *= 1.0 - stream.random::<f64>();
        }
        left -= STRETCH;
    }
    count
}

/// Quantile of the standard normal distribution at `p`, 0 < p < 1, to about 1 part in 10^16.
#[must_use]
pub fn normal_quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return q * polynomial(&A, r) / polynomial(&B, r);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    let r = libm::sqrt(-libm::log(tail));
    let z = if r <= 5.0 {
        polynomial(&C, r - 1.6) / polynomial(&D, r - 1.6)
    } else {
        polynomial(&E, r - 5.0) / polynomial(&F, r - 5.0)
    };
    if q < 0.0 { -z } else { z }
}

fn polynomial(coefficients: &[f64; 8], x: f64) -> f64 {
    coefficients
        .iter()
        .rev()
        .fold(0.0, |sum, coefficient| sum * x + coefficient)
}

const A: [f64; 8] = [
    3.387_132_872_796_366_608,
    1.331_416_678_917_843_774_5e2,
    1.971_590_950_306_551_442_7e3,
    1.373_169_376_550_946_112_5e4,
    4.592_195_393_154_987_145_7e4,
    6.726_577_092_700_870_085_3e4,
    3.343_057_558_358_812_810_5e4,
    2.509_080_928_730_122_672_7e3,
];
const B: [f64; 8] = [
    1.0,
    4.231_333_070_160_091_125_2e1,
    6.871_870_074_920_579_083e2,
    5.394_196_021_424_751_107_7e3,
    2.121_379_430_158_659_586_7e4,
    3.930_789_580_009_271_061e4,
    2.872_908_573_572_194_267_4e4,
    5.226_495_278_852_854_561e3,
];
const C: [f64; 8] = [
    1.423_437_110_749_683_577_34,
    4.630_337_846_156_545_295_9,
    5.769_497_221_460_691_405_5,
    3.647_848_324_763_204_605_04,
    1.270_458_252_452_368_382_58,
    2.417_807_251_774_506_117_7e-1,
    2.272_384_498_926_918_458_33e-2,
    7.745_450_142_783_414_076_4e-4,
];
const D: [f64; 8] = [
    1.0,
    2.053_191_626_637_758_821_87,
    1.676_384_830_183_803_849_4,
    6.897_673_349_851_000_045_5e-1,
    1.481_039_764_274_800_745_9e-1,
    1.519_866_656_361_645_719_66e-2,
    5.475_938_084_995_344_946e-4,
    1.050_750_071_644_416_843_24e-9,
];
const E: [f64; 8] = [
    6.657_904_643_501_103_777_2,
    5.463_784_911_164_114_369_9,
    1.784_826_539_917_291_335_8,
    2.965_605_718_285_048_912_3e-1,
    2.653_218_952_657_612_309_3e-2,
    1.242_660_947_388_078_438_6e-3,
    2.711_555_568_743_487_578_15e-5,
    2.010_334_399_292_288_132_65e-7,
];
const F: [f64; 8] = [
    1.0,
    5.998_322_065_558_879_376_9e-1,
    1.369_298_809_227_358_053_1e-1,
    1.487_536_129_085_061_485_25e-2,
    7.868_691_311_456_132_591e-4,
    1.846_318_317_510_054_681_8e-5,
    1.421_511_758_316_445_888_7e-7,
    2.044_263_103_389_939_785_64e-15,
];

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng;
    use rand_xoshiro::Xoshiro256PlusPlus;
    use statrs::distribution::{ContinuousCDF, Normal};

    /// Against statrs, which computes it another way.
    #[test]
    fn normal_quantiles_agree_with_a_library() {
        let normal = Normal::standard();
        for step in 1..4000 {
            let p = f64::from(step) / 4000.0;
            assert!(
                (normal_quantile(p) - normal.inverse_cdf(p)).abs() < 1e-8,
                "{p}"
            );
        }
        // Printed in any table: 0.975 and 0.9995; and far out, by the library's distribution function.
        assert!((normal_quantile(0.975) - 1.959_963_984_540_054).abs() < 1e-15);
        for p in [1e-4, 1e-8, 1e-12] {
            assert!(
                (normal.cdf(normal_quantile(p)) / p - 1.0).abs() < 1e-8,
                "{p}"
            );
        }
    }

    /// Mean and variance of `n` draws within 5 standard errors.
    fn moments(mean: f64, variance: f64, kurtosis: f64, mut draw: impl FnMut() -> f64) {
        let n = 200_000.0;
        let values: Vec<f64> = (0..200_000).map(|_| draw()).collect();
        let m = values.iter().sum::<f64>() / n;
        let v = values.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / n;
        assert!(
            (m - mean).abs() < 5.0 * (variance / n).sqrt(),
            "mean {m}, not {mean}"
        );
        let error = variance * ((kurtosis - 1.0) / n).sqrt();
        assert!(
            (v - variance).abs() < 5.0 * error,
            "variance {v}, not {variance}"
        );
    }

    #[test]
    fn moments_are_right() {
        let stream = &mut Xoshiro256PlusPlus::seed_from_u64(7);
        moments(0.0, 1.0, 3.0, || normal(stream));
        moments(1.0, 1.0, 9.0, || exponential(stream));
        for shape in [0.3, 1.0, 4.0, 16.0] {
            moments(shape, shape, 3.0 + 6.0 / shape, || gamma(shape, stream));
        }
        for mean in [0.2, 3.0, 70.0, 1234.5] {
            moments(mean, mean, 3.0 + 1.0 / mean, || {
                poisson(mean, stream) as f64
            });
        }
    }
}
