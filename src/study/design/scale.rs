//! Numbers in one another's scale.

use crate::scenario::amount::{self, Amount, Scale};

/// A number in the scale of another; nothing if they do not measure the same, or are times of day.
pub(super) fn in_scale_of(amount: Amount, like: Amount) -> Option<f64> {
    match (amount.scale, like.scale) {
        (Scale::Unit(a), Scale::Unit(b)) => {
            (a.dimension == b.dimension).then(|| tidy(b.from_si(amount.si())))
        }
        (Scale::Plain | Scale::Whole, Scale::Plain | Scale::Whole)
        | (Scale::Percent, Scale::Percent)
        | (Scale::Clock, Scale::Clock) => Some(amount.number),
        (Scale::Plain | Scale::Whole, Scale::Percent) => Some(amount.number * 100.0),
        (Scale::Percent, Scale::Plain | Scale::Whole) => Some(amount.number / 100.0),
        _ => None,
    }
}

/// A number without the dust of a division.
pub(super) fn tidy(number: f64) -> f64 {
    amount::rounded(number, 12)
}
