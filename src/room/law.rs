//! Random times: a mean, and a law of mean 1 that multiplies it.
//!
//! Splitting the two lets one draw vary a whole unit of work, whatever its pieces add to the mean.
//! Parameters from mean 1 and coefficient of variation c: lognormal sigma^2 = ln(1 + c^2),
//! mu = -sigma^2/2; gamma shape 1/c^2; symmetric triangular half-width c sqrt 6; uniform c sqrt 3.

use rand::Rng;
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

    /// Draws a factor of mean 1, never negative.
    pub fn draw<R: Rng + ?Sized>(&self, stream: &mut R) -> f64 {
        match self {
            Self::Fixed => 1.0,
            Self::Lognormal(sigma) => libm::exp(sigma * (draws::normal(stream) - 0.5 * sigma)),
            Self::Gamma(shape) => draws::gamma(*shape, stream) / shape,
            Self::Exponential => draws::exponential(stream),
            Self::Triangular(law) => law.sample(stream),
            Self::Uniform(law) => law.sample(stream),
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
    /// Its variation.
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
