//! The stations that ware passes besides the machines: clear-down, drop-off, benches, soak, loading,
//! unloading, inspection, putting away.

use super::keys::{keys, words};
use super::{Places, Position, TimeDistribution};
use crate::scenario::field::{
    BATCH, COMMON, CORNER, FLOW, INVENTED, Kind, MANY, NO_EXTRA, UNIT, Unset, WORKERS, above,
    length, may, minutes, need, places, quantity, row, seconds, within,
};
use crate::scenario::units::Dimension;

const TUB: &str = "a bus tub is 20 in by 15 in, a supplier's list of questions";

words! {
    /// Who brings soiled ware to the drop-off.
    pub enum Carrier {
        /// Operators of the roster with the duty `clear-down`.
        Crew = "crew",
        /// Floor staff outside the roster: each cleared course comes by itself after one trip.
        FloorStaff = "floor-staff",
    }
}

words! {
    /// What a trip does when the drop-off is full.
    pub enum WhenFull {
        /// Tubs are stood on the floor, and counted.
        Floor = "floor",
        /// The trip waits with its tubs.
        Wait = "wait",
    }
}

keys! {
    /// Clear-down.
    pub struct ClearDown at "clear_down." {
        by: Carrier = row("by", "who carries: operators with the duty `clear-down`, or floor staff outside the roster", Kind::Choice(Carrier::WORDS), Unset::Text("floor-staff"), COMMON),
        tub: u32 = row("tub", "pieces a tub or cart holds", Kind::Whole(1, 10_000), Unset::Whole(24), COMMON),
        trip: TimeDistribution = row("trip", "one trip from the tables to the drop-off; for the crew, there and back", UNIT, Unset::Lognormal("90 s", 0.4), INVENTED),
        wait_at_most_s: f64 = row("wait_at_most", "a crew trip, or with `fleet` any trip, starts when a tub is full or its oldest piece has waited this long", minutes(0.0, 240.0), Unset::Text("5 min"), INVENTED),
        fleet: Option<u32> = may("fleet", "tubs or carts that the house owns, wherever they stand. When none is free clearing stops, and ware dries on the tables. Floor staff then fill one from several tables before they walk. Left out, one is always free", Kind::Whole(1, 1_000)),
        when_full: WhenFull = row("when_full", "what happens when the drop-off is full: tubs on the floor, or the trip waits", Kind::Choice(WhenFull::WORDS), Unset::Text("floor"), COMMON),
    }
}

keys! {
    /// The soiled landing.
    pub struct DropOff at "drop_off." {
        tubs: Option<Places> = may("tubs", "room for tubs: how many, or a length of table; left out, there is room for all", places(1, 10_000)),
        tub_length_m: f64 = row("tub_length", "length one tub takes", length("in", 4.0, 80.0), Unset::Text("20 in"), TUB),
        decoy_racks: Vec<String> = row("decoy_racks", "kinds of racks that stand open beside it, as decoy racks: whoever brings ware of such a kind sorts it into them, and nobody scrapes it or loads it piece by piece. They take none of the table. One leaves by its `full_enough` and `wait_at_most`; ware for which no rack is free comes as all other does", Kind::References("rack"), Unset::Empty, "none"),
        decoy_takes_s: f64 = row("decoy_takes", "time to carry a decoy rack on to a loading station, for whoever has the duty `load`; it varies like `per_unit` there", seconds(0.0, 600.0), Unset::Text("10 s"), INVENTED),
        position: Position = row("position", "where it stands", Kind::Position, Unset::Empty, CORNER),
    }
}

keys! {
    /// A bench where people scrape.
    pub struct Bench at "scrape." {
        places: u32 = row("places", "how many may work there at once", WORKERS, Unset::Whole(1), INVENTED),
        per_unit: TimeDistribution = row("per_unit", "time for each batch besides the seconds per piece; its variation is that of the whole", UNIT, Unset::Text("0 s"), NO_EXTRA),
        batch: u32 = row("batch", "pieces taken up at once, at most", BATCH, Unset::Whole(12), COMMON),
        removes: f64 = row("removes", "share of the soil that scraping takes away", Kind::Share(within(0.0, 1.0)), Unset::Number(0.8), "assumption, no source"),
        dried_takes: f64 = row("dried_takes", "seconds per piece of ware that is quite dry, over those of fresh ware; what is half dry takes half as much more", Kind::Number(within(1.0, 20.0)), Unset::Number(1.0), "as long as fresh: no source says how much longer"),
        thins: f64 = row("thins", "share of the film that scraping takes away: what is left of it dries the faster", Kind::Share(within(0.0, 0.95)), Unset::Number(0.0), "none: no source says how much"),
        position: Position = row("position", "where it stands", Kind::Position, Unset::Empty, CORNER),
    }
}

keys! {
    /// Pre-rinsing.
    pub struct PreRinse at "pre_rinse." {
        places: u32 = row("places", "how many may work there at once", WORKERS, Unset::Whole(1), INVENTED),
        per_unit: TimeDistribution = row("per_unit", "time for each batch besides the seconds per piece; its variation is that of the whole", UNIT, Unset::Text("0 s"), NO_EXTRA),
        batch: u32 = row("batch", "pieces taken up at once, at most", BATCH, Unset::Whole(12), COMMON),
        table: Option<u32> = may("table", "pieces the table before it holds; left out, there is room for all", Kind::Whole(1, MANY)),
        wets: f64 = row("wets", "share of the dryness taken away", Kind::Share(within(0.0, 1.0)), Unset::Number(0.3), "assumption, no source"),
        removes: f64 = row("removes", "share of the soil that pre-rinsing takes away", Kind::Share(within(0.0, 1.0)), Unset::Number(0.6), "assumption, no source"),
        flow_l_per_s: Option<f64> = may("flow", "water of the spray while somebody pre-rinses; left out, it is not counted", FLOW),
        position: Position = row("position", "where it stands", Kind::Position, Unset::Empty, CORNER),
    }
}

keys! {
    /// Soak sinks.
    pub struct Soak at "soak." {
        sinks: u32 = row("sinks", "how many sinks", WORKERS, Unset::Whole(1), INVENTED),
        holds: u32 = row("holds", "pieces one sink holds", Kind::Whole(1, 100_000), Unset::Whole(200), INVENTED),
        time_s: f64 = row("time", "soak time", minutes(0.0, 1_440.0), Unset::Text("10 min"), COMMON),
        water_l: Option<f64> = may("water", "water that fills a sink each time; left out, it is not counted", Kind::Quantity(quantity(Dimension::Volume, "L", above(0.0, 1_000.0)))),
        put_in_s: f64 = row("put_in", "time to put a piece in", seconds(0.0, 60.0), Unset::Text("0.2 s"), INVENTED),
        take_out_s: f64 = row("take_out", "time to take a piece out", seconds(0.0, 60.0), Unset::Text("0.3 s"), INVENTED),
        per_unit: TimeDistribution = row("per_unit", "time for each putting in or taking out besides the seconds per piece", UNIT, Unset::Text("0 s"), NO_EXTRA),
        full_enough: f64 = row("full_enough", "share of `holds` from which a sink is started", Kind::Share(above(0.0, 1.0)), Unset::Number(0.5), INVENTED),
        wait_at_most_s: f64 = row("wait_at_most", "a sink is started part-full when its oldest piece has waited this long", minutes(0.0, 240.0), Unset::Text("5 min"), INVENTED),
        position: Position = row("position", "where they stand", Kind::Position, Unset::Empty, CORNER),
    }
}

words! {
    /// What sanitises at a sink.
    pub enum SinkSanitiser {
        /// Hot water.
        HotWater = "hot-water",
        /// Chlorine.
        Chlorine = "chlorine",
        /// Iodine.
        Iodine = "iodine",
        /// A quaternary ammonium compound.
        Quat = "quat",
    }
}

/// Where the limits of a sink stand.
const SINK_WASH: &str = "Food Code 4-501.19: at least 110 °F, 43 °C (from memory)";
const SINK_CONTACT: &str =
    "Food Code 4-703.11: 30 s in hot water, iodine or quat; in chlorine 10 s are enough";

keys! {
    /// The pot sink: three compartments and a drainboard.
    pub struct PotSink at "pot_sink." {
        places: u32 = row("places", "how many may scrub there at once", WORKERS, Unset::Whole(1), INVENTED),
        per_unit: TimeDistribution = row("per_unit", "time for each piece besides the seconds of its ware and `rinse`; its variation is that of the whole", UNIT, Unset::Text("0 s"), NO_EXTRA),
        rinse_s: f64 = row("rinse", "time to rinse a piece and to put it into the sanitising compartment", seconds(0.0, 600.0), Unset::Text("5 s"), INVENTED),
        dried_takes: f64 = row("dried_takes", "seconds to scrub a piece that is quite dry, over those of a fresh one; what is half dry takes half as much more. Whoever scrubs goes on until it is clean, so nothing comes back: an assumption", Kind::Number(within(1.0, 20.0)), Unset::Number(1.0), "as long as fresh: no source says how much longer"),
        sanitises_by: SinkSanitiser = row("sanitises_by", "what sanitises in the third compartment. Water of 77 °C scalds, and chemicals burn and must not be mixed: use a basket, gloves and a test kit", Kind::Choice(SinkSanitiser::WORDS), Unset::Text("quat"), COMMON),
        contact_s: f64 = row("contact", "how long a piece lies in the sanitising compartment at least. Whoever scrubs keeps a place there for the piece in hand: while all are taken nobody begins another. What is ready is lifted out in passing", seconds(0.0, 3_600.0), Unset::Text("30 s"), SINK_CONTACT),
        holds: u32 = row("holds", "pieces that lie in the sanitising compartment at once", Kind::Whole(1, 1_000), Unset::Whole(6), INVENTED),
        drainboard: Option<u32> = may("drainboard", "pieces that the drainboard holds while they dry, and until somebody takes them to the store: while it is full they stay in the sanitising compartment. Left out, there is room for all", Kind::Whole(1, 10_000)),
        dries_in_s: f64 = row("dries_in", "time on the drainboard until a piece is dry, of ware of which neither `dries_in` nor `material` is known. It is not dried by hand (Food Code 4-901.11)", minutes(0.0, 240.0), Unset::Text("15 min"), INVENTED),
        wash_c: f64 = row("wash_temperature", "temperature of the wash and the rinse compartment", SINK_WATER, Unset::Text("110 °F"), SINK_WASH),
        sanitise_c: Option<f64> = row("sanitise_temperature", "temperature of the sanitising compartment", SINK_WATER, Unset::Worked("77 °C of hot water, 24 °C with a chemical"), "Food Code 4-501.111 and 4-501.114"),
        water_l: Option<f64> = may("water", "water that fills each of the three compartments; left out, neither water nor its heat nor detergent is counted", Kind::Quantity(quantity(Dimension::Volume, "L", above(0.0, 1_000.0)))),
        supply_c: f64 = row("supply", "temperature of the water it is supplied with. What heats it from there counts as energy; what the sink loses to the room does not: an assumption", SINK_WATER, Unset::Text("140 °F"), "assumption: the hot water of the house"),
        detergent_g_per_l: f64 = row("detergent", "detergent that a litre of the wash compartment is given", Kind::Quantity(quantity(Dimension::Dose, "g/L", within(0.0, 50.0))), Unset::Text("2 g/L"), COMMON),
        change_every_s: Option<f64> = may("change_every", "the water is changed for the first piece after it has stood so long; left out, not by the clock", minutes(1.0, 1_440.0)),
        change_after: Option<u32> = may("change_after", "the water is changed for the first piece after so many; left out, not by the piece", Kind::Whole(1, MANY)),
        change_s: f64 = row("change_takes", "how long whoever finds it due drains and fills the sink. The first filling, for the first piece, takes as long", minutes(0.0, 240.0), Unset::Text("5 min"), INVENTED),
        position: Position = row("position", "where it stands", Kind::Position, Unset::Empty, CORNER),
    }
}

/// Temperatures of water in a sink.
const SINK_WATER: Kind = Kind::Quantity(quantity(Dimension::Temperature, "°C", within(1.0, 100.0)));

impl PotSink {
    /// Temperature of the sanitising compartment, °C.
    #[must_use]
    pub fn sanitises_at_c(&self) -> f64 {
        let by = match self.sanitises_by {
            SinkSanitiser::HotWater => 77.0,
            SinkSanitiser::Chlorine | SinkSanitiser::Iodine | SinkSanitiser::Quat => 24.0,
        };
        self.sanitise_c.unwrap_or(by)
    }
}

keys! {
    /// Racking.
    pub struct Loading at "loading." {
        stations: u32 = row("stations", "loading stations; each fills one rack at a time and keeps it until it has moved on", WORKERS, Unset::Whole(1), COMMON),
        per_unit: TimeDistribution = row("per_unit", "time for each rack besides the seconds per piece; its variation is that of the whole", UNIT, Unset::Text("0 s"), NO_EXTRA),
        table: Option<u32> = may("table", "pieces the table before the stations holds; left out, there is room for all", Kind::Whole(1, MANY)),
        position: Position = row("position", "where they stand", Kind::Position, Unset::Empty, CORNER),
    }
}

words! {
    /// How long washed ware is left on the landing.
    pub enum LeftUntil {
        /// Until its rack has drained.
        Drained = "drained",
        /// Until it is dry too.
        Dry = "dry",
    }
}

keys! {
    /// Unloading, at the landing of each machine; the unit is a rack.
    pub struct Unload at "unload." {
        places: u32 = row("places", "how many may work there at once", WORKERS, Unset::Whole(1), INVENTED),
        per_unit: TimeDistribution = row("per_unit", "time for each rack besides the seconds per piece; its variation is that of the whole", UNIT, Unset::Text("0 s"), NO_EXTRA),
        left_until: LeftUntil = row("left_until", "how long a rack is left on the landing: until it has drained, and what is wet is stacked wet and counted, or until all in it is dry. Ware must be dry before it is stacked (Food Code 4-901.11). Only ware with a `material`, or a time that it `dries_in`, is waited for and counted", Kind::Choice(LeftUntil::WORDS), Unset::Text("drained"), COMMON),
    }
}

keys! {
    /// Dollies for washed racks, off the landings.
    pub struct Dollies at "dollies." {
        places: u32 = need("places", "racks that they hold together", Kind::Whole(1, 1_000)),
        racks: Vec<String> = row("racks", "kinds of racks that are parked there", Kind::References("rack"), Unset::Empty, "all"),
        takes: TimeDistribution = row("takes", "time to move a rack from its landing to a dolly, the way back included", UNIT, Unset::Text("8 s"), "assumption, no source"),
        once_on_landing: Option<u32> = may("once_on_landing", "racks on a landing from which on one is moved, while another is in the machine; left out, when the landing is full, so that the machine would stand. Only ware that guests wait for is unloaded before that. Racks on dollies go on draining and drying. They are unloaded when nothing on a landing is ready, the one parked first before the others", Kind::Whole(1, 1_000)),
        position: Position = row("position", "where they stand", Kind::Position, Unset::Empty, CORNER),
    }
}

impl Dollies {
    /// Whether they take racks of a kind.
    #[must_use]
    pub fn take(&self, rack: &str) -> bool {
        self.racks.is_empty() || self.racks.iter().any(|name| name == rack)
    }
}

keys! {
    /// Inspection, by whoever unloads.
    pub struct Inspect at "inspect." {
        catches: f64 = row("catches", "share of the dirty pieces that is caught and goes back", Kind::Share(within(0.0, 1.0)), Unset::Text("85 %"), "assumption, no source"),
    }
}

keys! {
    /// Putting clean ware away.
    pub struct PutAway at "put_away." {
        places: u32 = row("places", "how many may do it at once", WORKERS, Unset::Whole(2), INVENTED),
        per_unit: TimeDistribution = row("per_unit", "the carrying, there and back, besides the seconds per piece", UNIT, Unset::Text("0 s"), NO_EXTRA),
        batch: u32 = row("batch", "pieces carried at once, at most", BATCH, Unset::Whole(40), COMMON),
        wait_at_most_s: f64 = row("wait_at_most", "a part batch is carried when its oldest piece has waited this long", minutes(0.0, 240.0), Unset::Text("5 min"), COMMON),
        position: Position = row("position", "where it starts", Kind::Position, Unset::Empty, CORNER),
    }
}

keys! {
    /// The water that the room is supplied with.
    pub struct Supply at "supply." {
        flow_l_per_s: f64 = need("flow", "the water that the room's supply gives. First fills and changes of water that run at the same time share it: each gets what it would take, or an equal share of what is left. It is an assumption that rinses, the spray and soak sinks come first and take nothing from it", Kind::Quantity(quantity(Dimension::Flow, "L/min", within(0.1, 1_000.0)))),
    }
}
