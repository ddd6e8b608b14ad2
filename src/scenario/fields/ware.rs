//! The fields of soil, ware, racks and the air they dry in.

use super::{
    COMMON, Field, INVENTED, Kind, MANY, Unset, above, between, length, mass, may, minutes, need,
    quantity, row, seconds, within,
};
use crate::scenario::units::Dimension;

const PIECE_TIME: &str = "common practice, no source (measure your own)";
const RACK: &str =
    "ENERGY STAR v2.0 draft 2 and EPA WaterSense at Work 2012 p. 141: a rack is 20 in square";
const DRYING: &str = "common practice, no source; the slow end of the published range";

/// Seconds a piece.
const PER_PIECE: Kind = seconds(0.0, 600.0);

/// The rows.
#[rustfmt::skip]
pub const FIELDS: &[Field] = &[
    row("soil", "kinds of soil", Kind::Rows(true, 100), Unset::Empty, "none"),
    need("soil[].name", "name of the soil", Kind::Name),
    row("soil[].film", "mean thickness of the wet film", length("um", 1.0, 5_000.0), Unset::Text("150 um"), INVENTED),
    row("soil[].film_cv", "coefficient of variation of the film from piece to piece", Kind::Number(within(0.0, 3.0)), Unset::Number(0.5), INVENTED),
    row("soil[].critical_moisture", "moisture, as a share of the start, below which a piece is dried on", Kind::Share(between(0.0, 1.0)), Unset::Number(0.4), "assumption, no source"),
    row("soil[].soak_time_constant", "time constant of soaking", seconds(1.0, 86_400.0), Unset::Text("5 min"), INVENTED),
    row("soil[].amount", "soil on a piece as it is cleared", mass("g", 0.0, 1_000.0), Unset::Text("5 g"), INVENTED),
    row("soil[].dirty_when_fresh", "share still dirty after one normal wash when fresh", Kind::Share(between(0.0, 1.0)), Unset::Text("2 %"), "assumption, no source"),
    row("soil[].dirty_when_dried", "share still dirty after one normal wash when dried on", Kind::Share(between(0.0, 1.0)), Unset::Text("50 %"), "assumption, no source"),

    row("ware", "kinds of ware", Kind::Rows(true, 200), Unset::Empty, "none"),
    need("ware[].name", "name of the ware", Kind::Name),
    row("ware[].rack", "the rack kind it is washed in", Kind::Reference("rack"), Unset::Text(""), "none: it is not washed in a machine"),
    row("ware[].per_rack", "pieces that fill one rack", Kind::Whole(1, 10_000), Unset::Whole(20), "two equipment dealers' sizing guides: 20 pieces a rack"),
    may("ware[].owned", "pieces owned (par); left out, the stock never runs out and is not measured", Kind::Whole(1, MANY)),
    row("ware[].soak", "whether it is soaked", Kind::Choice(&["never", "always", "when-dried"]), Unset::Text("never"), COMMON),
    row("ware[].weight", "weight of a piece, which a tank has to warm", mass("kg", 0.0, 50.0), Unset::Text("0.4 kg"), INVENTED),
    row("ware[].scrape", "to scrape, a piece", PER_PIECE, Unset::Text("2.5 s"), PIECE_TIME),
    row("ware[].pre_rinse", "to pre-rinse, a piece", PER_PIECE, Unset::Text("1.5 s"), PIECE_TIME),
    row("ware[].load", "to put into a rack, a piece", PER_PIECE, Unset::Text("1.5 s"), PIECE_TIME),
    row("ware[].unload", "to take from a rack and stack, a piece", PER_PIECE, Unset::Text("1.2 s"), PIECE_TIME),
    row("ware[].inspect", "to inspect, a piece", PER_PIECE, Unset::Text("0.3 s"), PIECE_TIME),
    row("ware[].put_away", "to put into its place in the store, a piece", PER_PIECE, Unset::Text("0.3 s"), PIECE_TIME),

    row("rack", "kinds of rack", Kind::Rows(true, 100), Unset::Empty, "none"),
    need("rack[].name", "name of the rack kind", Kind::Name),
    need("rack[].fleet", "racks owned", Kind::Whole(1, 10_000)),
    row("rack[].footprint", "length along the conveyor", length("in", 4.0, 80.0), Unset::Text("20 in"), RACK),
    row("rack[].weight", "weight of an empty rack, which a tank has to warm", mass("kg", 0.0, 50.0), Unset::Text("2 kg"), INVENTED),
    row("rack[].fill", "how full it is loaded, 1 = as rated; above 1 is overloaded and washes worse", Kind::Number(within(0.1, 2.0)), Unset::Number(1.0), "as rated"),
    row("rack[].full_enough", "share of the fill from which a rack may leave without waiting for more", Kind::Share(above(0.0, 1.0)), Unset::Number(0.8), COMMON),
    row("rack[].wait_at_most", "a rack leaves part-full when its oldest piece has waited this long", minutes(0.0, 240.0), Unset::Text("4 min"), COMMON),

    row("air", "air of the room, for drying", Kind::Table, Unset::Empty, ""),
    row("air.temperature", "dry-bulb temperature", Kind::Quantity(quantity(Dimension::Temperature, "°C", within(5.0, 50.0))), Unset::Text("24 °C"), COMMON),
    row("air.humidity", "relative humidity", Kind::Share(within(0.0, 1.0)), Unset::Text("50 %"), COMMON),
    row("air.speed", "air speed over the ware", Kind::Quantity(quantity(Dimension::Speed, "m/s", within(0.0, 5.0))), Unset::Text("0.1 m/s"), COMMON),
    row("air.surface", "temperature of the wet film: of the air (dries fast) or wet-bulb (dries slowly)", Kind::Choice(&["air", "wet-bulb"]), Unset::Text("wet-bulb"), DRYING),
    row("air.drying_multiplier", "multiplier of the evaporation rate", Kind::Number(within(0.0, 20.0)), Unset::Number(1.0), "the formula as published"),
];
