//! The fields of the clean side: unloading, inspection, putting away.

use super::{
    BATCH, COMMON, CORNER, Field, INVENTED, Kind, NO_EXTRA, UNIT, Unset, WORKERS, may, minutes,
    row, within,
};

/// The rows.
#[rustfmt::skip]
pub const FIELDS: &[Field] = &[
    may("unload", "unloading of the clean landings", Kind::Table),
    row("unload.places", "how many may work there at once", WORKERS, Unset::Whole(1), INVENTED),
    row("unload.per_unit", "time for each rack besides the seconds per piece; its variation is that of the whole", UNIT, Unset::Text("0 s"), NO_EXTRA),

    may("inspect", "inspection while unloading", Kind::Table),
    row("inspect.catches", "share of the dirty pieces that is caught and goes back", Kind::Share(within(0.0, 1.0)), Unset::Text("85 %"), "assumption, no source"),

    may("put_away", "carrying clean ware to the store", Kind::Table),
    row("put_away.places", "how many may do it at once", WORKERS, Unset::Whole(2), INVENTED),
    row("put_away.per_unit", "the carrying, there and back, besides the seconds per piece", UNIT, Unset::Text("0 s"), NO_EXTRA),
    row("put_away.batch", "pieces carried at once, at most", BATCH, Unset::Whole(40), COMMON),
    row("put_away.wait_at_most", "a part batch is carried when its oldest piece has waited this long", minutes(0.0, 240.0), Unset::Text("5 min"), COMMON),
    row("put_away.position", "where it starts", Kind::Position, Unset::Empty, CORNER),
];
