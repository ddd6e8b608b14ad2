//! Random times: a mean, and a law of mean 1 that multiplies it.
//!
//! Splitting the two lets one draw vary a whole unit of work, whatever its pieces add to the mean.
//! Parameters from mean 1 and coefficient of variation c: lognormal sigma^2 = ln(1 + c^2),
//! mu = -sigma^2/2; gamma shape 1/c^2; symmetric triangular half-width c sqrt 6; uniform c sqrt 3.

use rand::{Rng, RngExt};
use rand_distr::{Distribution, Triangular, Uniform};

use crate::room::draws;
use crate::room::time::Time;
use crate::scenario::model::{Shape, TimeDistribution};

/// A law of mean 1 for positive factors.
#[derive(Debug, Clone)]
pub enum Law {
    /// Always 1.
    Fixed,
    /// Lognormal, with the standard deviation of its logarithm.
    Lognormal(f64),
    /// Gamma, with its shape.
    Gamma(f64),
    /// Exponential.
    Exponential,
    /// Triangular.
    Triangular(Triangular<f64>),
    /// Uniform.
    Uniform(Uniform<f64>),
    /// One of these factors, each as likely.
    Empirical(Vec<f64>),
    /// A quantile function, straight between these points.
    Table(Vec<f64>),
}

impl Law {
    /// The lognormal law of mean 1 with coefficient of variation `cv`.
    #[must_use]
    pub fn lognormal(cv: f64) -> Self {
        if cv <= 0.0 {
            return Self::Fixed;
        }
        Self::Lognormal(libm::sqrt(libm::log1p(cv * cv)))
    }

    /// The same lognormal law as a table of its quantile function, straight between `steps` + 1 points
    /// and scaled to mean 1; the last half step at either end is cut off. Where thousands of draws
    /// make one evening and the law itself is an assumption, a table is as true and ten times as fast.
    #[must_use]
    pub fn lognormal_table(cv: f64, steps: u32) -> Self {
        let Self::Lognormal(sigma) = Self::lognormal(cv) else {
            return Self::Fixed;
        };
        let count = f64::from(steps.max(1));
        let share = |point: u32| f64::from(point).clamp(0.5, count - 0.5) / count;
        let quantile = |point| libm::exp(sigma * draws::normal_quantile(share(point)));
        let mut points: Vec<f64> = (0..=steps.max(1)).map(quantile).collect();
        let mean = points
            .windows(2)
            .map(|ends| 0.5 * (ends[0] + ends[1]))
            .sum::<f64>()
            / count;
        points.iter_mut().for_each(|point| *point /= mean);
        Self::Table(points)
    }

    /// The law of a checked distribution. Parameters outside a law's range, which the check of the
    /// scenario refuses, fall back on no variation.
    #[must_use]
    pub fn of(times: &TimeDistribution) -> Self {
        let cv = times.cv;
        match times.shape {
            Shape::Exponential => Self::Exponential,
            Shape::Empirical if times.mean_s > 0.0 && !times.observations_s.is_empty() => {
                Self::Empirical(
                    times
                        .observations_s
                        .iter()
                        .map(|s| s / times.mean_s)
                        .collect(),
                )
            }
            _ if cv <= 0.0 => Self::Fixed,
            Shape::Fixed | Shape::Empirical => Self::Fixed,
            Shape::Lognormal => Self::lognormal(cv),
            Shape::Gamma => Self::Gamma(1.0 / (cv * cv)),
            Shape::Triangular => {
                let half = (cv * libm::sqrt(6.0)).min(1.0);
                Triangular::new(1.0 - half, 1.0 + half, 1.0).map_or(Self::Fixed, Self::Triangular)
            }
            Shape::Uniform => {
                let half = (cv * libm::sqrt(3.0)).min(1.0);
                Uniform::new_inclusive(1.0 - half, 1.0 + half).map_or(Self::Fixed, Self::Uniform)
            }
        }
    }

    /// Whether it ever gives anything but 1.
    #[must_use]
    pub const fn varies(&self) -> bool {
        !matches!(self, Self::Fixed)
    }

    /// Draws a factor of mean 1, never negative.
    pub fn draw<R: Rng + ?Sized>(&self, stream: &mut R) -> f64 {
        match self {
            Self::Fixed => 1.0,
            Self::Lognormal(sigma) => libm::exp(sigma * (draws::normal(stream) - 0.5 * sigma)),
            Self::Gamma(shape) => draws::gamma(*shape, stream) / shape,
            Self::Exponential => draws::exponential(stream),
            Self::Triangular(law) => law.sample(stream),
            Self::Uniform(law) => law.sample(stream),
            Self::Table(points) => {
                let place = stream.random::<f64>() * (points.len() - 1) as f64;
                // The draw is below 1: there is a point above.
                let below = (place as usize).min(points.len() - 2);
                points[below] + (place - below as f64) * (points[below + 1] - points[below])
            }
            Self::Empirical(factors) => {
                let count = factors.len() as u64;
                // The high half of a 64 by 64 bit product: every index as likely to within 2^-50.
                let index = ((u128::from(stream.next_u64()) * u128::from(count)) >> 64) as usize;
                factors[index]
            }
        }
    }
}

/// A random time.
#[derive(Debug, Clone)]
pub struct RandomTime {
    /// Mean, s.
    pub mean_s: f64,
    /// Variation around the mean.
    pub law: Law,
}

impl RandomTime {
    /// Made ready from what the scenario says.
    #[must_use]
    pub fn of(times: &TimeDistribution) -> Self {
        Self {
            mean_s: times.mean_s,
            law: Law::of(times),
        }
    }

    /// Draws a time.
    pub fn draw<R: Rng + ?Sized>(&self, stream: &mut R) -> Time {
        Time::from_s(self.mean_s * self.law.draw(stream))
    }

    /// Draws the time of a unit of work that takes `more_s` on average beside the mean.
    pub fn draw_unit<R: Rng + ?Sized>(&self, more_s: f64, stream: &mut R) -> Time {
        Time::from_s((self.mean_s + more_s) * self.law.draw(stream))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng;
    use rand_xoshiro::Xoshiro256PlusPlus;

    /// Mean 1 and the asked coefficient of variation, within 5 standard errors of 200,000 draws.
    #[test]
    fn laws_have_mean_one_and_their_variation() {
        let stream = &mut Xoshiro256PlusPlus::seed_from_u64(11);
        let times = |shape, cv| TimeDistribution {
            mean_s: 3.0,
            cv,
            shape,
            observations_s: Vec::new(),
        };
        let laws = [
            (Law::of(&times(Shape::Lognormal, 0.5)), 0.5),
            (Law::of(&times(Shape::Gamma, 0.5)), 0.5),
            (Law::of(&times(Shape::Exponential, 1.0)), 1.0),
            (Law::of(&times(Shape::Triangular, 0.4)), 0.4),
            (Law::of(&times(Shape::Uniform, 0.5)), 0.5),
            (Law::of(&times(Shape::Fixed, 0.0)), 0.0),
            // The cut ends take a little of the variation.
            (Law::lognormal_table(0.5, 1024), 0.498),
        ];
        for (law, cv) in laws {
            let draws: Vec<f64> = (0..200_000).map(|_| law.draw(stream)).collect();
            let mean = draws.iter().sum::<f64>() / 2e5;
            let sd = (draws.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / 2e5).sqrt();
            assert!(
                (mean - 1.0).abs() <= 5.0 * cv / 447.0,
                "{law:?}: mean {mean}"
            );
            assert!((sd - cv).abs() <= 0.02 * cv, "sd {sd}, not {cv}");
        }
    }
}
