//! The fields of dish machines: what conveyor and hood share, tunnel and zones, cycles.

use super::{
    COMMON, CORNER, FLOW, Field, INVENTED, Kind, Unset, above, length, may, minutes, need, places,
    quantity, row, seconds, varying_s, within,
};
use crate::scenario::units::Dimension;

const LANDING: &str = "Minnesota Department of Health, plan-review letters 2000 to 2014: 3 racks (60 in) behind hot-water machines, 5 (100 in) behind chemical ones";
const DRAIN: &str = "common practice, no source; cooler ware dries slower, in the proportion of the landings that plan review asks for";
const LANE: &str = "an equipment dealer's guide: a feed area of at least one rack";
const LOAD_TIME: &str =
    "calculation note of the NSF/ANSI 3 listings: 5 s for a straight-through door machine";
const CONTACT: &str = "a conveyor without `speed`: 90 s, single-tank practice after DIN 10511 and 10512 (a trade lexicon, 2023)";

/// What a zone may be.
const ZONES: &[&str] = &["pre-wash", "wash", "rinse", "final-rinse", "blow-dry"];
const FILL: &str =
    "common practice, no source: a machine of this class fills in four to five minutes";
const LEVEL: &str =
    "common practice, no source: a wash tank under two-thirds full does not wash properly";
const IDLE: &str = "ENERGY STAR 2.0 for a conveyor with one tank, from memory: 1.5 kW idle";
const HOOD_IDLE: &str = "ENERGY STAR 2.0 for a door machine, from memory: 0.7 kW idle";
const RINSE: &str = "EPA WaterSense at Work 2012, p. 143: rinse only with a rack present";
const SUPPLY: &str = "ASTM F1696-96, definition of a booster: 140 °F to 180 °F";
/// Heaters, pumps, boosters.
const POWER: Kind = Kind::Quantity(quantity(Dimension::Power, "kW", above(0.0, 500.0)));
/// Detergent and the like.
const DOSE: Kind = Kind::Quantity(quantity(Dimension::Dose, "g/L", within(0.0, 50.0)));
/// Water in a machine.
const WATER: Kind = Kind::Quantity(quantity(Dimension::Temperature, "°C", within(5.0, 99.0)));

/// The rows.
#[rustfmt::skip]
pub const FIELDS: &[Field] = &[
    row("machine", "dish machines, side by side", Kind::Rows(true, 16), Unset::Empty, "none"),
    need("machine[].name", "name of the machine", Kind::Name),
    need("machine[].kind", "what it is: racks ride through a tunnel, or one rack a cycle under a hood", Kind::Choice(&["rack-conveyor", "hood"])),
    row("machine[].lane", "room for filled racks before it: how many, or a length", places(0, 1_000), Unset::Whole(1), LANE),
    row("machine[].landing", "room for washed racks after it: how many, or a length", places(1, 1_000), Unset::Worked("60 in after hot water, 100 in after a chemical"), LANDING),
    row("machine[].drain", "time a rack drains on the landing before it may be unloaded", seconds(0.0, 3_600.0), Unset::Worked("30 s after hot water, 50 s after a chemical"), DRAIN),
    row("machine[].position", "where it is unloaded", Kind::Position, Unset::Empty, CORNER),
    row("machine[].contact_time", "contact time of a normal wash: longer washes better, shorter worse", seconds(1.0, 3_600.0), Unset::Worked("the contact times of its zones together; without any, time in the wet zones; of a hood, its mean cycle; of a conveyor without `speed`, 90 s"), CONTACT),
    row("machine[].wash_factor", "further multiplier of the wash, 1 = normal", Kind::Number(above(0.0, 10.0)), Unset::Number(1.0), "a normal wash"),
    row("machine[].sanitising", "what makes the ware safe: the heat of the final rinse, or a chemical in it", Kind::Choice(&["hot-water", "chemical"]), Unset::Text("hot-water"), COMMON),
    need("machine[].tunnel", "length of the tunnel, all zones together", length("m", 0.1, 30.0)).only("rack-conveyor"),
    row("machine[].speed", "belt speed", Kind::Quantity(quantity(Dimension::Speed, "m/min", within(0.05, 5.0))), Unset::Worked("the fastest that keeps every contact time"), "most: EN 14957 is for conveyors up to 5 m/min").only("rack-conveyor"),
    may("machine[].idle_after", "pumps stop after this long without a rack; left out, they run on", seconds(0.0, 86_400.0)).only("rack-conveyor"),
    row("machine[].restart", "time to start again from idle", seconds(0.0, 3_600.0), Unset::Text("5 s"), INVENTED).only("rack-conveyor"),
    row("machine[].zones", "zones of the tunnel, in the order in which racks meet them (a variant adds new ones at the end); left out, all of it is one wash", Kind::Rows(true, 12), Unset::Empty, "one wash").only("rack-conveyor"),
    need("machine[].zones[].name", "name of the zone", Kind::Name),
    need("machine[].zones[].kind", "what it does", Kind::Choice(ZONES)),
    need("machine[].zones[].length", "its length", length("m", 0.05, 30.0)),
    may("machine[].zones[].contact_time", "contact time that it has to keep", seconds(1.0, 3_600.0)),
    may("machine[].zones[].temperature", "set point of its water", WATER),
    may("machine[].zones[].minimum", "temperature that its water has to keep", WATER),
    may("machine[].zones[].tank", "water in its tank; left out, it has none", Kind::Quantity(quantity(Dimension::Volume, "L", above(0.0, 2_000.0)))),
    row("machine[].zones[].catches", "share of the soil of the racks that stays in the tank of a pre-wash; the rest is carried on to the wash", Kind::Share(within(0.0, 1.0)), Unset::Number(0.7), "assumption, no source"),
    may("machine[].zones[].heater", "power that heats its tank; left out, only what flows in does, and it starts as warm as its supply", POWER),
    row("machine[].zones[].idle_loss", "heat that its tank loses to the room at its set point", Kind::Quantity(quantity(Dimension::Power, "kW", within(0.0, 50.0))), Unset::Text("1.5 kW"), IDLE),
    may("machine[].zones[].pump", "power of its pump, or of its fan; left out, it is not counted", POWER),
    may("machine[].zones[].flow", "fresh water of a final rinse; it overflows through the tanks before it", FLOW),
    row("machine[].rinse_runs", "when the final rinse runs: only while a rack passes, or always with the pumps", Kind::Choice(&["with-rack", "always"]), Unset::Text("with-rack"), RINSE).only("rack-conveyor"),
    row("machine[].when_cold", "what happens when a rack comes to a final rinse that has fallen below its minimum: it is counted, or the belt is held until the booster is back at its set point (it may still fall below while a rack passes)", Kind::Choice(&["count", "hold"]), Unset::Text("count"), COMMON).only("rack-conveyor"),
    may("machine[].booster", "what heats the final rinse to its set point; left out, it comes as it is supplied", Kind::Table),
    need("machine[].booster.power", "its power", POWER),
    row("machine[].booster.holds", "water in it", Kind::Quantity(quantity(Dimension::Volume, "L", above(0.0, 500.0))), Unset::Text("20 L"), INVENTED),
    row("machine[].booster.idle_loss", "heat that it loses to the room at its set point", Kind::Quantity(quantity(Dimension::Power, "kW", within(0.0, 50.0))), Unset::Text("0 kW"), "nothing: it is metered apart (ASTM F1920, scope), and no figure was at hand"),
    row("machine[].supply", "temperature of the fresh water that it is supplied with", WATER, Unset::Text("140 °F"), SUPPLY),
    row("machine[].detergent", "detergent that a litre of fresh water is given; a conveyor without a tank takes none", DOSE, Unset::Text("2 g/L"), COMMON),
    row("machine[].rinse_aid", "rinse aid that a litre of final rinse is given", Kind::Quantity(quantity(Dimension::Part, "mL/L", within(0.0, 10.0))), Unset::Text("0.3 mL/L"), COMMON),
    may("machine[].soil_halves_wash", "soil in the water of the wash at which it washes half as well; left out, dirty water washes as clean water", Kind::Quantity(quantity(Dimension::Dose, "g/L", above(0.0, 1_000.0)))),
    may("machine[].cold_halves_wash", "how much colder than its set point the water of the wash is where it washes half as well; left out, its temperature does not matter", Kind::Quantity(quantity(Dimension::Warmth, "K", above(0.0, 100.0)))),
    may("machine[].water_change", "when its tanks are emptied and filled again; from when it is due no rack enters, and it begins once those inside are out, in a lull at once; after closing only for a rack that wants to enter", Kind::Table).only("rack-conveyor"),
    may("machine[].water_change.every", "so long after the last change, or after the start, whether racks come or not", minutes(1.0, 1_440.0)),
    may("machine[].water_change.at_soil", "when the water that racks meet first has so much soil, that of the last rack included", Kind::Quantity(quantity(Dimension::Dose, "g/L", above(0.0, 1_000.0)))),
    may("machine[].water_change.by_hand", "hands on before the water runs out, by somebody with the duty `tend`: racks are washed until they are done, and nobody begins after closing; left out, it takes nobody", varying_s(0.0, 7_200.0)),
    row("machine[].water_change.drain", "to let it run out", minutes(0.0, 120.0), Unset::Text("3 min"), COMMON),
    row("machine[].water_change.flow", "of the water that fills it", FLOW, Unset::Text("18 L/min"), FILL),
    row("machine[].least_level", "share of the water of its tanks below which their heat is cut and the wash is poor, in proportion", Kind::Number(above(0.0, 1.0)), Unset::Number(0.67), LEVEL).only("rack-conveyor"),
    need("machine[].cycle", "washing and rinsing, hood shut; it lasts at least as long as the rinse", varying_s(1.0, 3_600.0)).only("hood"),
    row("machine[].load_time", "to change racks and shut the hood", seconds(0.0, 600.0), Unset::Text("5 s"), LOAD_TIME).only("hood"),
    may("machine[].rinse", "final rinse of a hood, at the end of each cycle; left out, its water is not counted", Kind::Table).only("hood"),
    need("machine[].rinse.water", "fresh water a cycle", Kind::Quantity(quantity(Dimension::Volume, "L", above(0.0, 50.0)))),
    row("machine[].rinse.time", "how long it runs, at the end of the cycle", seconds(1.0, 600.0), Unset::Text("10 s"), COMMON),
    may("machine[].rinse.temperature", "set point of its water", WATER),
    may("machine[].rinse.minimum", "temperature that its water has to keep", WATER),
    may("machine[].tank", "tank of a hood; left out, each cycle has only its fresh water", Kind::Table).only("hood"),
    need("machine[].tank.holds", "water in it", Kind::Quantity(quantity(Dimension::Volume, "L", above(0.0, 500.0)))),
    need("machine[].tank.temperature", "set point of its water", WATER),
    may("machine[].tank.minimum", "temperature that its water has to keep", WATER),
    may("machine[].tank.heater", "power that heats it; left out, only the rinse does, and it starts as warm as its supply", POWER),
    row("machine[].tank.idle_loss", "heat that it loses to the room at its set point", Kind::Quantity(quantity(Dimension::Power, "kW", within(0.0, 50.0))), Unset::Text("700 W"), HOOD_IDLE),
    may("machine[].tank.pump", "power of its pump, which runs as long as the cycle; left out, it is not counted", POWER),
    row("machine[].attended", "whether changing racks needs an operator with the duty `hood`", Kind::Flag, Unset::Flag(true), COMMON).only("hood"),
    row("machine[].operator_position", "where the operator of the hood stands", Kind::Position, Unset::Empty, CORNER).only("hood"),
];
