//! The longest stretch that somebody is there without a break.

use crate::room::time::Time;

/// The stretch somebody is in, and the longest so far.
#[derive(Debug, Clone, Copy, Default)]
pub struct Stretch {
    began: Time,
    longest: Time,
}

impl Stretch {
    /// Of somebody who comes now.
    pub const fn begins(now: Time) -> Self {
        Self {
            began: now,
            longest: Time::ZERO,
        }
    }

    /// A break is over, from when to when; one shorter than `least` is as none.
    pub fn broken(&mut self, from: Time, to: Time, least: Time) {
        if to - from >= least {
            self.ends(from);
            self.began = to;
        }
    }

    /// Somebody goes, or goes on a break that counts.
    pub fn ends(&mut self, at: Time) {
        self.longest = self.longest.max(at - self.began);
    }

    /// The longest that has ended.
    pub const fn longest(self) -> Time {
        self.longest
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From 17:00; 10 minutes at 19:00 count for nothing, 20 at 20:00 do; gone at 24:30. By hand: 3 h, then 4 h 10.
    #[test]
    fn a_break_that_is_too_short_ends_no_stretch() {
        let at = |minutes: i64| Time::MINUTE * minutes;
        let least = at(20);
        let mut stretch = Stretch::begins(at(0));
        stretch.broken(at(120), at(130), least);
        stretch.broken(at(180), at(200), least);
        assert_eq!(stretch.longest(), at(180));
        stretch.ends(at(450));
        assert_eq!(stretch.longest(), at(250));
    }
}
