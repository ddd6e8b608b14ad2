//! The fields of money. Prices have no currency: whatever a file gives them in, costs come out in.

use super::{COMMON, Field, Kind, Unset, may, row, within};

/// No price is higher, in the smallest coin there is.
const DEAREST: f64 = 1e9;
/// A price.
pub(super) const PRICE: Kind = Kind::Number(within(0.0, DEAREST));

/// The rows.
#[rustfmt::skip]
pub const FIELDS: &[Field] = &[
    may("prices", "what things cost, in money without a currency; left out, nothing is reckoned in money; a price that is left out, or whose quantity is not measured, takes no part in the cost", Kind::Table),
    may("prices.labour", "an hour paid, breaks included, of whoever has no wage of their own", PRICE),
    row("prices.overtime", "how many times the wage an hour after the end of a shift costs", Kind::Number(within(0.0, 10.0)), Unset::Number(1.5), COMMON),
    may("prices.water", "a cubic metre of fresh water", PRICE),
    may("prices.sewer", "letting a cubic metre of used water into the sewer; all that is used goes there", PRICE),
    may("prices.energy", "a kilowatt-hour", PRICE),
    may("prices.detergent", "a kilogram of detergent", PRICE),
    may("prices.rinse_aid", "a litre of rinse aid", PRICE),
];
