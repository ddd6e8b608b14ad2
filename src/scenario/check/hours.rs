//! The hours of the service, on which every time of day hangs.

use super::super::tree::Node;
use super::super::units;

/// Noon, where the opening is wrong or missing.
const NOON_S: f64 = 12.0 * 3600.0;

/// When the service opens and closes, as far as the file says it well.
#[derive(Debug, Clone, Copy)]
pub struct Hours {
    opens_s: f64,
    /// Only if it is after the opening.
    closes_s: Option<f64>,
    /// Whether it lasts as long as a service may. Its closing shows the same on the clock as the earliest
    /// moment of the evening does.
    is_longest: bool,
}

impl Hours {
    /// The hours of a scenario.
    pub fn of(root: &Node) -> Self {
        let service = root.table().and_then(|table| table.get("service"));
        let clock = |key| service.and_then(|entry| units::clock(entry.node.text_of(key)?));
        let opens_s = clock("opens").unwrap_or(NOON_S);
        let start_s = opens_s - units::BEFORE_OPENING_S;
        let closes = clock("closes").map(|clock| units::in_window(clock, opens_s));
        let mut hours = Self {
            opens_s,
            closes_s: None,
            is_longest: closes == Some(start_s),
        };
        let closes_s = clock("closes").map(|clock| hours.end(clock));
        hours.closes_s = closes_s.filter(|closes_s| *closes_s > opens_s);
        hours
    }

    /// The time of day that shows so on the clock.
    pub fn at(self, clock_s: f64) -> f64 {
        units::in_window(clock_s, self.opens_s)
    }

    /// The same of what cannot be at the very start of the evening.
    pub fn end(self, clock_s: f64) -> f64 {
        let start_s = self.opens_s - units::BEFORE_OPENING_S;
        match self.at(clock_s) {
            time_s if self.is_longest && time_s == start_s => time_s + units::DAY_S,
            time_s => time_s,
        }
    }

    /// How long after closing that is, s, and the closing; nothing before it.
    pub fn after_closing(self, time_s: f64) -> Option<(f64, f64)> {
        let closes_s = self.closes_s?;
        (time_s > closes_s).then_some((time_s - closes_s, closes_s))
    }
}
