//! Rules of working hours, of the user's own.

use super::keys::keys;
use crate::scenario::field::{Bounds, Kind, above, may, quantity};
use crate::scenario::units::Dimension;

const DAY: Bounds = above(0.0, 24.0);
const HOURS: Kind = Kind::Quantity(quantity(Dimension::Time, "h", DAY));
const MINUTES: Kind = Kind::Quantity(quantity(Dimension::Time, "min", above(0.0, 480.0)));

keys! {
    /// Rules of working hours. They change nothing that happens: who breaks one is counted, and `check` looks for a
    /// roster that cannot keep them. The law, the contract and whoever knows them come first.
    pub struct Rules at "rules." {
        stretch_at_most_s: Option<f64> = may("stretch_at_most", "longest stretch of the shift without a break; left out, no limit. Library files with examples: rules-six-hours.toml, rules-five-hours.toml. No legal advice", HOURS),
        break_at_least_s: Option<f64> = may("break_at_least", "a shorter break does not end a stretch; left out, any break does", MINUTES),
        shift_at_most_s: Option<f64> = may("shift_at_most", "longest shift, from coming to leaving, breaks included; left out, no limit", HOURS),
        rest_at_least_s: Option<f64> = may("rest_at_least", "rest before the next shift, which is taken to begin a day after this one (an assumption); left out, no limit", HOURS),
    }
}
