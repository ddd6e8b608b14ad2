//! The fields of the soiled side: clear-down, drop-off, benches, soak, loading.

use super::{
    BATCH, COMMON, CORNER, FLOW, Field, INVENTED, Kind, MANY, NO_EXTRA, UNIT, Unset, WORKERS,
    above, length, may, minutes, places, quantity, row, seconds, within,
};
use crate::scenario::units::Dimension;

const TUB: &str = "a bus tub is 20 in by 15 in, a supplier's list of questions";

/// The rows.
#[rustfmt::skip]
pub const FIELDS: &[Field] = &[
    may("clear_down", "how soiled ware comes from the tables", Kind::Table),
    row("clear_down.by", "who carries: operators with the duty `clear-down`, or floor staff outside the roster", Kind::Choice(&["crew", "floor-staff"]), Unset::Text("floor-staff"), COMMON),
    row("clear_down.tub", "pieces a tub or cart holds", Kind::Whole(1, 10_000), Unset::Whole(24), COMMON),
    row("clear_down.trip", "one trip from the tables to the drop-off; for the crew, there and back", UNIT, Unset::Lognormal("90 s", 0.4), INVENTED),
    row("clear_down.wait_at_most", "a crew trip starts when a tub is full or its oldest piece has waited this long", minutes(0.0, 240.0), Unset::Text("5 min"), INVENTED),
    row("clear_down.when_full", "what happens when the drop-off is full: tubs on the floor, or the trip waits", Kind::Choice(&["floor", "wait"]), Unset::Text("floor"), COMMON),

    row("drop_off", "the soiled landing", Kind::Table, Unset::Empty, ""),
    may("drop_off.tubs", "room for tubs: how many, or a length of table; left out, there is room for all", places(1, 10_000)),
    row("drop_off.tub_length", "length one tub takes", length("in", 4.0, 80.0), Unset::Text("20 in"), TUB),
    row("drop_off.position", "where it stands", Kind::Position, Unset::Empty, CORNER),

    may("scrape", "scraping", Kind::Table),
    row("scrape.places", "how many may work there at once", WORKERS, Unset::Whole(1), INVENTED),
    row("scrape.per_unit", "time for each batch besides the seconds per piece; its variation is that of the whole", UNIT, Unset::Text("0 s"), NO_EXTRA),
    row("scrape.batch", "pieces taken up at once, at most", BATCH, Unset::Whole(12), COMMON),
    row("scrape.removes", "share of the soil that scraping takes away", Kind::Share(within(0.0, 1.0)), Unset::Number(0.8), "assumption, no source"),
    row("scrape.position", "where it stands", Kind::Position, Unset::Empty, CORNER),

    may("pre_rinse", "pre-rinsing", Kind::Table),
    row("pre_rinse.places", "how many may work there at once", WORKERS, Unset::Whole(1), INVENTED),
    row("pre_rinse.per_unit", "time for each batch besides the seconds per piece; its variation is that of the whole", UNIT, Unset::Text("0 s"), NO_EXTRA),
    row("pre_rinse.batch", "pieces taken up at once, at most", BATCH, Unset::Whole(12), COMMON),
    may("pre_rinse.table", "pieces the table before it holds; left out, there is room for all", Kind::Whole(1, MANY)),
    row("pre_rinse.wets", "share of the dryness taken away", Kind::Share(within(0.0, 1.0)), Unset::Number(0.3), "assumption, no source"),
    row("pre_rinse.removes", "share of the soil that pre-rinsing takes away", Kind::Share(within(0.0, 1.0)), Unset::Number(0.6), "assumption, no source"),
    may("pre_rinse.flow", "water of the spray while somebody pre-rinses; left out, it is not counted", FLOW),
    row("pre_rinse.position", "where it stands", Kind::Position, Unset::Empty, CORNER),

    may("soak", "soak sinks", Kind::Table),
    row("soak.sinks", "how many sinks", WORKERS, Unset::Whole(1), INVENTED),
    row("soak.holds", "pieces one sink holds", Kind::Whole(1, 100_000), Unset::Whole(200), INVENTED),
    row("soak.time", "soak time", minutes(0.0, 1_440.0), Unset::Text("10 min"), COMMON),
    may("soak.water", "water that fills a sink each time; left out, it is not counted", Kind::Quantity(quantity(Dimension::Volume, "L", above(0.0, 1_000.0)))),
    row("soak.put_in", "to put in, a piece", seconds(0.0, 60.0), Unset::Text("0.2 s"), INVENTED),
    row("soak.take_out", "to take out, a piece", seconds(0.0, 60.0), Unset::Text("0.3 s"), INVENTED),
    row("soak.per_unit", "time for each putting in or taking out besides the seconds per piece", UNIT, Unset::Text("0 s"), NO_EXTRA),
    row("soak.full_enough", "share of `holds` from which a sink is started", Kind::Share(above(0.0, 1.0)), Unset::Number(0.5), INVENTED),
    row("soak.wait_at_most", "a sink is started part-full when its oldest piece has waited this long", minutes(0.0, 240.0), Unset::Text("5 min"), INVENTED),
    row("soak.position", "where they stand", Kind::Position, Unset::Empty, CORNER),

    may("loading", "racking", Kind::Table),
    row("loading.stations", "loading stations; each fills one rack at a time and keeps it until it has moved on", WORKERS, Unset::Whole(1), COMMON),
    row("loading.per_unit", "time for each rack besides the seconds per piece; its variation is that of the whole", UNIT, Unset::Text("0 s"), NO_EXTRA),
    may("loading.table", "pieces the table before the stations holds; left out, there is room for all", Kind::Whole(1, MANY)),
    row("loading.position", "where they stand", Kind::Position, Unset::Empty, CORNER),
];
