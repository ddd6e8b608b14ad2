//! When an evening begins, opens, closes and is cut off.

use super::time::Time;

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
