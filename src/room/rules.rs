//! Rules of working hours as moments and lengths.

use super::time::Time;
use crate::scenario::model;

/// The roster is the same every day: the next shift begins a day after this one.
const DAY: Time = Time::from_ns(24 * Time::HOUR.ns());

/// Rules of working hours; what is not limited is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rules {
    /// Longest stretch without a break.
    pub stretch_at_most: Option<Time>,
    /// A shorter break ends no stretch.
    pub break_at_least: Time,
    /// Longest shift.
    pub shift_at_most: Option<Time>,
    /// Least rest before the same shift of the next day.
    pub rest_at_least: Option<Time>,
}

/// What somebody's hours were.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hours {
    /// Longest stretch without a break that counts.
    pub stretch: Time,
    /// From coming to leaving.
    pub shift: Time,
    /// From when the shift was to begin to leaving: what is left of a day is rest.
    pub since_start: Time,
}

impl Rules {
    /// Of a scenario; none if it has none.
    #[must_use]
    pub fn of(rules: &model::Rules) -> Self {
        Self {
            stretch_at_most: rules.stretch_at_most_s.map(Time::from_s),
            break_at_least: Time::from_s(rules.break_at_least_s.unwrap_or(0.0)),
            shift_at_most: rules.shift_at_most_s.map(Time::from_s),
            rest_at_least: rules.rest_at_least_s.map(Time::from_s),
        }
    }

    /// Whether such hours break one.
    #[must_use]
    pub fn are_broken(&self, hours: Hours) -> bool {
        let is_over = |most: Option<Time>, time| most.is_some_and(|most| time > most);
        is_over(self.stretch_at_most, hours.stretch)
            || is_over(self.shift_at_most, hours.shift)
            || is_over(self.rest_at_least.map(|rest| DAY - rest), hours.since_start)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each limit holds to the nanosecond, and what is as long as it may be is no breach.
    #[test]
    fn a_limit_is_broken_only_beyond_it() {
        let rules = Rules {
            stretch_at_most: Some(Time::HOUR * 6),
            break_at_least: Time::MINUTE * 20,
            shift_at_most: Some(Time::HOUR * 9),
            rest_at_least: Some(Time::HOUR * 14),
        };
        let kept = Hours {
            stretch: Time::HOUR * 6,
            shift: Time::HOUR * 9,
            since_start: Time::HOUR * 10,
        };
        assert!(!rules.are_broken(kept));
        let more = Time::from_ns(1);
        let too_long = [
            Hours {
                stretch: kept.stretch + more,
                ..kept
            },
            Hours {
                shift: kept.shift + more,
                ..kept
            },
            Hours {
                since_start: kept.since_start + more,
                ..kept
            },
        ];
        assert!(too_long.into_iter().all(|hours| rules.are_broken(hours)));
    }
}
