//! The fields of the crew.

use super::money::PRICE;
use super::{COMMON, DUTIES, Field, Kind, Unset, may, need, quantity, row, within};
use crate::scenario::units::Dimension;

/// The rows.
#[rustfmt::skip]
pub const FIELDS: &[Field] = &[
    may("walking", "walking between stations; left out, nobody walks", Kind::Table),
    row("walking.speed", "walking speed", Kind::Quantity(quantity(Dimension::Speed, "m/s", within(0.1, 5.0))), Unset::Text("1.2 m/s"), COMMON),

    row("roster", "the crew", Kind::Rows(true, 64), Unset::Empty, "nobody"),
    need("roster[].name", "role", Kind::Name),
    row("roster[].count", "how many", Kind::Whole(0, 64), Unset::Whole(1), "one"),
    need("roster[].from", "start of the shift", Kind::TimeOfDay),
    need("roster[].to", "end of the shift", Kind::TimeOfDay),
    row("roster[].stays", "whether they stay after the shift while the dish room is not finished", Kind::Flag, Unset::Flag(true), COMMON),
    row("roster[].breaks", "breaks, in order; the people of a row take them together, so give two rows to stagger them; one that falls due during work or another break is taken afterwards, in full", Kind::Rows(false, 20), Unset::Empty, "none"),
    need("roster[].breaks[].from", "start of the break", Kind::TimeOfDay),
    need("roster[].breaks[].to", "end of the break", Kind::TimeOfDay),
    row("roster[].pace", "work rate: 1.1 does in 10 minutes what takes 11", Kind::Number(within(0.2, 3.0)), Unset::Number(1.0), "the times as given"),
    may("roster[].home", "where they stand at first: the station of this duty; left out, that of their first duty", Kind::Choice(DUTIES)),
    may("roster[].wage", "money for an hour of one of them, breaks included; left out, prices.labour; counts only with [prices]", PRICE),
    need("roster[].duties", "duties, the most preferred first; a duty may carry a condition: { duty = \"load\", once_waiting = 60 }", Kind::Duties),
];
