//! The one clock of a simulated service: whole nanoseconds, so that sums are exact, simultaneous
//! means equal, and nothing drifts over an evening of conveyor steps.
//!
//! Moments count from the start of the evening: the earliest of opening, first shift, first guests and first soiled ware
//! ([`Hours`]). Outside the simulated path, times of day are seconds after midnight of the opening day.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Sub};

/// A moment (since the start of the simulated evening) or a length of time, in nanoseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Time(i64);

/// The longest time that is ever meant: 100 days. Longer draws are cut to it.
const MAX_S: f64 = 8.64e6;

impl Time {
    /// The start of the evening; no time at all.
    pub const ZERO: Self = Self(0);
    /// Later than anything.
    pub const NEVER: Self = Self(i64::MAX);
    /// One minute.
    pub const MINUTE: Self = Self(60_000_000_000);
    /// One hour.
    pub const HOUR: Self = Self(3_600_000_000_000);

    /// The nearest whole nanosecond to `seconds`, at most 100 days either way; 0 for NaN.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)] // clamped before the cast
    pub fn from_s(seconds: f64) -> Self {
        let ns = seconds.clamp(-MAX_S, MAX_S) * 1e9;
        Self((ns + 0.5_f64.copysign(ns)) as i64)
    }

    /// That many nanoseconds.
    #[must_use]
    pub const fn from_ns(nanoseconds: i64) -> Self {
        Self(nanoseconds)
    }

    /// Nanoseconds.
    #[must_use]
    pub const fn ns(self) -> i64 {
        self.0
    }

    /// Seconds.
    #[must_use]
    pub fn s(self) -> f64 {
        // Divided, not times 1e-9, which has no exact double: whole seconds come back whole.
        self.0 as f64 / 1e9
    }

    /// Minutes.
    #[must_use]
    pub fn min(self) -> f64 {
        self.0 as f64 / 60e9
    }

    /// Hours.
    #[must_use]
    pub fn h(self) -> f64 {
        self.0 as f64 / 3600e9
    }

    /// The first whole minute at or after this moment (never negative).
    #[must_use]
    #[allow(clippy::cast_sign_loss, clippy::cast_possible_truncation)] // not negative here
    pub fn minute_after(self) -> usize {
        (self.0.max(0) as u64).div_ceil(Self::MINUTE.0 as u64) as usize
    }

    /// The later of two.
    #[must_use]
    pub fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }

    /// The earlier of two.
    #[must_use]
    pub fn min_of(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }
}

impl Add for Time {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Time {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sub for Time {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Mul<i64> for Time {
    type Output = Self;
    fn mul(self, times: i64) -> Self {
        Self(self.0 * times)
    }
}

impl Sum for Time {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Add::add)
    }
}

/// When things begin and end. Moments count from the start, which is the earliest of opening, first
/// shift, first guests and first soiled ware.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hours {
    /// Time of day of the start, s after midnight of the opening day.
    pub start_s: f64,
    /// Opening.
    pub opens: Time,
    /// Closing.
    pub closes: Time,
    /// The evening ends here, finished or not.
    pub limit: Time,
}

impl Hours {
    /// The moment of a time of day.
    #[must_use]
    pub fn moment(&self, time_of_day_s: f64) -> Time {
        Time::from_s(time_of_day_s - self.start_s)
    }

    /// Minutes that a series has: from the start to the limit, both ends sampled.
    #[must_use]
    pub fn minutes(&self) -> usize {
        self.limit.minute_after() + 1
    }
}

#[cfg(test)]
mod tests {
    use super::Time;

    #[test]
    fn seconds_come_back() {
        for s in [0.0, 1.5, 16.666_666_667, -3.25, 86_400.0] {
            assert!((Time::from_s(s).s() - s).abs() < 1e-9);
        }
        assert_eq!(Time::from_s(f64::NAN), Time::ZERO);
        assert_eq!(Time::from_s(f64::INFINITY).h(), 2400.0);
    }

    #[test]
    fn minutes_are_those_at_or_after() {
        assert_eq!(Time::ZERO.minute_after(), 0);
        assert_eq!(Time::from_s(0.1).minute_after(), 1);
        assert_eq!(Time::from_s(60.0).minute_after(), 1);
        assert_eq!(Time::from_s(60.000_001).minute_after(), 2);
    }
}
