//! The fields of the stations: drop-off, benches, soak, loading, machines, putting away.

use super::{
    COMMON, Field, INVENTED, Kind, MANY, Unset, above, length, may, minutes, need, places,
    quantity, row, seconds, varying_s, within,
};
use crate::scenario::units::Dimension;

const CORNER: &str = "the corner of the plan: no walking";
const NO_EXTRA: &str = "nothing besides the seconds per piece";
const TUB: &str = "a bus tub is 20 in by 15 in, a supplier's list of questions";
const LANDING: &str = "Minnesota Department of Health, plan-review letters 2000 to 2014: 3 racks (60 in) for hot-water machines";
const LANE: &str = "an equipment dealer's guide: a feed area of at least one rack";
const LOAD_TIME: &str =
    "calculation note of the NSF/ANSI 3 listings: 5 s for a straight-through door machine";
const CONTACT: &str = "a conveyor without `speed`: 90 s, single-tank practice after DIN 10511 and 10512 (a trade lexicon, 2023)";

/// How many may work at a bench.
const WORKERS: Kind = Kind::Whole(1, 64);
/// Time for each unit of work.
const UNIT: Kind = varying_s(0.0, 3_600.0);
/// Pieces taken up at once.
const BATCH: Kind = Kind::Whole(1, 10_000);

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
    row("scrape.position", "where it stands", Kind::Position, Unset::Empty, CORNER),

    may("pre_rinse", "pre-rinsing", Kind::Table),
    row("pre_rinse.places", "how many may work there at once", WORKERS, Unset::Whole(1), INVENTED),
    row("pre_rinse.per_unit", "time for each batch besides the seconds per piece; its variation is that of the whole", UNIT, Unset::Text("0 s"), NO_EXTRA),
    row("pre_rinse.batch", "pieces taken up at once, at most", BATCH, Unset::Whole(12), COMMON),
    may("pre_rinse.table", "pieces the table before it holds; left out, there is room for all", Kind::Whole(1, MANY)),
    row("pre_rinse.wets", "share of the dryness taken away", Kind::Share(within(0.0, 1.0)), Unset::Number(0.3), "assumption, no source"),
    row("pre_rinse.position", "where it stands", Kind::Position, Unset::Empty, CORNER),

    may("soak", "soak sinks", Kind::Table),
    row("soak.sinks", "how many sinks", WORKERS, Unset::Whole(1), INVENTED),
    row("soak.holds", "pieces one sink holds", Kind::Whole(1, 100_000), Unset::Whole(200), INVENTED),
    row("soak.time", "soak time", minutes(0.0, 1_440.0), Unset::Text("10 min"), COMMON),
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

    row("machine", "dish machines, side by side", Kind::Rows(true, 16), Unset::Empty, "none"),
    need("machine[].name", "name of the machine", Kind::Name),
    need("machine[].kind", "what it is: racks ride through a tunnel, or one rack a cycle under a hood", Kind::Choice(&["rack-conveyor", "hood"])),
    row("machine[].lane", "room for filled racks before it: how many, or a length", places(0, 1_000), Unset::Whole(1), LANE),
    row("machine[].landing", "room for washed racks after it: how many, or a length", places(1, 1_000), Unset::Text("60 in"), LANDING),
    row("machine[].drain", "time a rack drains on the landing before it may be unloaded", seconds(0.0, 3_600.0), Unset::Text("30 s"), COMMON),
    row("machine[].position", "where it is unloaded", Kind::Position, Unset::Empty, CORNER),
    row("machine[].contact_time", "contact time of a normal wash: longer washes better, shorter worse", seconds(1.0, 3_600.0), Unset::Worked("tunnel over speed; of a hood, its mean cycle; of a conveyor without `speed`, 90 s"), CONTACT),
    row("machine[].wash_factor", "further multiplier of the wash, 1 = normal", Kind::Number(above(0.0, 10.0)), Unset::Number(1.0), "a normal wash"),
    need("machine[].tunnel", "length of the tunnel, all zones together", length("m", 0.1, 30.0)).only("rack-conveyor"),
    row("machine[].speed", "belt speed", Kind::Quantity(quantity(Dimension::Speed, "m/min", within(0.05, 5.0))), Unset::Worked("tunnel over contact time"), "most: EN 14957 is for conveyors up to 5 m/min").only("rack-conveyor"),
    may("machine[].idle_after", "pumps stop after this long without a rack; left out, they run on", seconds(0.0, 86_400.0)).only("rack-conveyor"),
    row("machine[].restart", "time to start again from idle", seconds(0.0, 3_600.0), Unset::Text("5 s"), INVENTED).only("rack-conveyor"),
    need("machine[].cycle", "washing and rinsing, hood shut", varying_s(1.0, 3_600.0)).only("hood"),
    row("machine[].load_time", "to change racks and shut the hood", seconds(0.0, 600.0), Unset::Text("5 s"), LOAD_TIME).only("hood"),
    row("machine[].attended", "whether changing racks needs an operator with the duty `hood`", Kind::Flag, Unset::Flag(true), COMMON).only("hood"),
    row("machine[].operator_position", "where the operator of the hood stands", Kind::Position, Unset::Empty, CORNER).only("hood"),

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
