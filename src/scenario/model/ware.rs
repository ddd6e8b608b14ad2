//! Soil, ware, racks, and the air they dry in.

use super::TimeDistribution;
use super::keys::{keys, words};
use crate::scenario::field::{
    COMMON, INVENTED, Kind, MANY, UNIT, Unset, above, between, length, mass, may, minutes, need,
    quantity, row, seconds, within,
};
use crate::scenario::units::Dimension;

const PIECE_TIME: &str = "common practice, no source (measure your own)";
const RACK: &str =
    "ENERGY STAR v2.0 draft 2 and EPA WaterSense at Work 2012 p. 141: a rack is 20 in square";
const DRYING: &str = "common practice, no source; the slow end of the published range";

/// Seconds a piece.
const PER_PIECE: Kind = seconds(0.0, 600.0);

keys! {
    /// A kind of soil.
    pub struct Soil at "soil[]." {
        name: String = need("name", "name of the soil", Kind::Name),
        film_m: f64 = row("film", "mean thickness of the wet film", length("um", 1.0, 5_000.0), Unset::Text("150 um"), INVENTED),
        film_cv: f64 = row("film_cv", "coefficient of variation of the film from piece to piece", Kind::Number(within(0.0, 3.0)), Unset::Number(0.5), INVENTED),
        critical_moisture: f64 = row("critical_moisture", "moisture, as a share of the start, below which a piece is dried on", Kind::Share(between(0.0, 1.0)), Unset::Number(0.4), "assumption, no source"),
        soak_time_constant_s: f64 = row("soak_time_constant", "time constant of soaking", seconds(1.0, 86_400.0), Unset::Text("5 min"), INVENTED),
        amount_kg: f64 = row("amount", "soil on a piece as it is cleared", mass("g", 0.0, 1_000.0), Unset::Text("5 g"), INVENTED),
        dirty_when_fresh: f64 = row("dirty_when_fresh", "share still dirty after one normal wash when fresh", Kind::Share(between(0.0, 1.0)), Unset::Text("2 %"), "assumption, no source"),
        dirty_when_dried: f64 = row("dirty_when_dried", "share still dirty after one normal wash when dried on", Kind::Share(between(0.0, 1.0)), Unset::Text("50 %"), "assumption, no source"),
    }
}

words! {
    /// Which ware is soaked.
    pub enum SoakPolicy {
        /// Never.
        Never = "never",
        /// Always.
        Always = "always",
        /// Only what has dried on when it is scraped.
        WhenDried = "when-dried",
    }
}

words! {
    /// What a piece is made of, by which it dries.
    pub enum Material {
        /// China, earthenware.
        China = "china",
        /// Glass.
        Glass = "glass",
        /// Metal: cutlery, pans.
        Metal = "metal",
        /// Plastic: trays, tumblers.
        Plastic = "plastic",
    }
}

words! {
    /// Where a ware is washed.
    pub enum WashedAt {
        /// In a rack, in a machine.
        Machine = "machine",
        /// By hand, at the pot sink.
        PotSink = "pot-sink",
    }
}

keys! {
    /// A kind of ware.
    pub struct Ware at "ware[]." {
        name: String = need("name", "name of the ware", Kind::Name),
        rack_kind: String = row("rack", "the rack kind it is washed in", Kind::Reference("rack"), Unset::Text(""), "none: it is not washed in a machine"),
        washed_at: WashedAt = row("washed_at", "where it is washed: in a machine, or by hand at the pot sink, where it needs no rack. It is scraped and soaked in either case, and pre-rinsed only for a machine", Kind::Choice(WashedAt::WORDS), Unset::Text("machine"), COMMON),
        per_rack: u32 = row("per_rack", "pieces that fill one rack", Kind::Whole(1, 10_000), Unset::Whole(20), "two equipment dealers' sizing guides: 20 pieces per rack"),
        owned: Option<u32> = may("owned", "pieces owned (par); left out, the stock never runs out and is not measured", Kind::Whole(1, MANY)),
        soak: SoakPolicy = row("soak", "whether it is soaked", Kind::Choice(SoakPolicy::WORDS), Unset::Text("never"), COMMON),
        material: Option<Material> = may("material", "what it is made of: with the temperature of the last water and the air of the room this says how long it takes to dry on the landing (assumptions: walls of a usual thickness, 0.05 mm of water left by a rinse with rinse aid, twice that without). Left out, nothing is known of it", Kind::Choice(Material::WORDS)),
        dries_in_s: Option<f64> = may("dries_in", "measured time on the landing until it is dry, instead of what follows from its material", minutes(0.0, 240.0)),
        weight_kg: f64 = row("weight", "weight of a piece, which a tank has to warm", mass("kg", 0.0, 50.0), Unset::Text("0.4 kg"), INVENTED),
        scrape_s: f64 = row("scrape", "time to scrape a piece", PER_PIECE, Unset::Text("2.5 s"), PIECE_TIME),
        pre_rinse_s: f64 = row("pre_rinse", "time to pre-rinse a piece", PER_PIECE, Unset::Text("1.5 s"), PIECE_TIME),
        scrub_s: f64 = row("scrub", "time to scrub a piece at the pot sink, while its soil is fresh", PER_PIECE, Unset::Text("40 s"), INVENTED),
        load_s: f64 = row("load", "time to put a piece into a rack", PER_PIECE, Unset::Text("1.5 s"), PIECE_TIME),
        unload_s: f64 = row("unload", "time to take a piece from a rack and stack it", PER_PIECE, Unset::Text("1.2 s"), PIECE_TIME),
        inspect_s: f64 = row("inspect", "time to inspect a piece", PER_PIECE, Unset::Text("0.3 s"), PIECE_TIME),
        put_away_s: f64 = row("put_away", "time to put a piece into its place in the store", PER_PIECE, Unset::Text("0.3 s"), PIECE_TIME),
    }
}

impl Ware {
    /// Whether it is washed by hand, at the pot sink.
    #[must_use]
    pub fn is_for_pot_sink(&self) -> bool {
        self.washed_at == WashedAt::PotSink
    }
}

keys! {
    /// A kind of rack.
    pub struct Rack at "rack[]." {
        name: String = need("name", "name of the rack kind", Kind::Name),
        fleet: u32 = need("fleet", "racks owned", Kind::Whole(1, 10_000)),
        footprint_m: f64 = row("footprint", "length along the conveyor", length("in", 4.0, 80.0), Unset::Text("20 in"), RACK),
        weight_kg: f64 = row("weight", "weight of an empty rack, which a tank has to warm", mass("kg", 0.0, 50.0), Unset::Text("2 kg"), INVENTED),
        fill: f64 = row("fill", "how full it is loaded, 1 = as rated; above 1 is overloaded and washes worse", Kind::Number(within(0.1, 2.0)), Unset::Number(1.0), "as rated"),
        full_enough: f64 = row("full_enough", "share of the fill from which a rack may leave without waiting for more, a decoy rack at the drop-off too", Kind::Share(above(0.0, 1.0)), Unset::Number(0.8), COMMON),
        stored_in_rack: bool = row("stored_in_rack", "whether a washed rack goes to the store as it is, such as one of glasses. Whoever unloads looks through it and carries it there. It is free again when guests have used what is in it, the rack that came first before the others. As the dish room starts, what is owned stands in racks, as far as they go. While no rack is free, what is washed is unpacked by hand. These rules are assumptions", Kind::Flag, Unset::Flag(false), "unpacked at the landing"),
        carry: TimeDistribution = row("carry", "time to carry a rack to the store and come back, where it is stored as it is; instead of `unload.per_unit`", UNIT, Unset::Text("20 s"), "assumption, no source"),
        wait_at_most_s: f64 = row("wait_at_most", "a rack leaves part-full when its oldest piece has waited this long for more of its kind; so does a decoy rack", minutes(0.0, 240.0), Unset::Text("4 min"), COMMON),
    }
}

words! {
    /// What temperature the wet film has.
    pub enum Surface {
        /// Air temperature: the fast end of the published range.
        Air = "air",
        /// Wet-bulb temperature: the slow end.
        WetBulb = "wet-bulb",
    }
}

keys! {
    /// Air around the waiting ware.
    pub struct Air at "air." {
        temperature_c: f64 = row("temperature", "dry-bulb temperature", Kind::Quantity(quantity(Dimension::Temperature, "°C", within(5.0, 50.0))), Unset::Text("24 °C"), COMMON),
        humidity: f64 = row("humidity", "relative humidity", Kind::Share(within(0.0, 1.0)), Unset::Text("50 %"), COMMON),
        speed_m_per_s: f64 = row("speed", "air speed over the ware", Kind::Quantity(quantity(Dimension::Speed, "m/s", within(0.0, 5.0))), Unset::Text("0.1 m/s"), COMMON),
        surface: Surface = row("surface", "temperature of the wet film: of the air (dries fast) or wet-bulb (dries slowly)", Kind::Choice(Surface::WORDS), Unset::Text("wet-bulb"), DRYING),
        drying_multiplier: f64 = row("drying_multiplier", "multiplier of the evaporation rate", Kind::Number(within(0.0, 20.0)), Unset::Number(1.0), "the formula as published"),
        on_tables: f64 = row("on_tables", "drying on the tables, over that of a film in the open", DRIES, Unset::Number(1.0), OPEN),
        in_tubs: f64 = row("in_tubs", "drying in a stack: on a trip, and in the tubs of the drop-off and on the floor beside it. The hand-calculation sheet leaves it out", DRIES, Unset::Number(1.0), OPEN),
        in_racks: f64 = row("in_racks", "drying in a full rack before its wash", DRIES, Unset::Number(1.0), OPEN),
    }
}

/// How much faster or slower a film dries somewhere.
const DRIES: Kind = Kind::Number(within(0.0, 5.0));
/// What stands behind the defaults of the above.
const OPEN: &str =
    "as in the open; a stack or a tub dries more slowly, and no source says by how much";
