//! The hand-calculation sheet: headings and heads, notes under them, what is assumed, what to be careful about.
//!
//! Figures come as text: how many digits and which units they have is decided where they are laid out.

use crate::scenario::model::Sanitising;
use crate::words::findings::limits::CAUTION;
use crate::words::text::counted;

/// What the sheet is.
pub const FROM_MEANS: &str = "Calculated from means, before anything is simulated.";

/// Heading of the assumptions.
pub const ASSUMED: &str = "What is assumed";
/// Heading of the cautions.
pub const BE_CAREFUL: &str = "Be careful";

/// What a reader should know before using a figure of the sheet.
pub const CAUTIONS: &[&str] = &[
    "These are planning figures from means alone: they leave out the waiting that variation causes. A \
     station at 70 to 80 % of its capacity here is full enough; the simulation shows why.",
    "The machine's data plate and manual, the local food and building code, and the judgement of \
     licensed designers and installers come first.",
    "Racks come out of a hot-water machine at scalding temperatures: leave room for them to drain and \
     cool, and protect hands. Water of 60 °C (140 °F) burns skin in 3 to 5 seconds (a table after Moritz \
     and Henriques 1947). A final rinse is far hotter.",
    "Never reach into a running machine: switch it off and lock it out before it is opened, cleared or \
     repaired. Detergents and sanitisers burn, and some give off poisonous gas when mixed: wear gloves \
     and goggles, and mix nothing. Wet floors are slippery.",
    "Temperatures are looked at with a thermometer or an indicator, a chemical with a test kit (Food Code \
     4-302.13, 4-302.14; from memory). A display is no proof.",
    CAUTION,
];

/// What the figures assume, in the order of the sheet.
pub const ASSUMPTIONS: &[&str] = &[
    "The peak is the busiest 60 minutes of ware expected at the drop-off. It is the seating (or log) \
     moved by the mean dwell of each party size, the course being cleared, and the mean trip. The spread \
     of the dwell is ignored.",
    "Pieces that come out dirty and are caught go round again: 1/(1 − p·c) passes per piece. Here \
     p is for soil that has dried on its way through the room and for the mean wait of the backlog.",
    "What ‹an evening› takes is worked out for the racks that are sent, part-full ones included. They come evenly from the first ware to the \
     last, or until the backlog is gone. Tanks stand full and hot from start to end, and their heat is \
     evened out between racks. Nothing stands still for a full landing or a cold rinse, and a change of \
     water keeps nobody later unless there is a backlog. Machines that are alike take as many racks each; what unlike ones take is not worked out.",
    "What the ‹evening› takes leaves out the cost of faults. It includes the crew's time for the \
     close-down, which begins when all is put away; heat and pumps go off as it begins.",
    "Batches, sinks and carries are full. The conditions of duties are ignored. Walking is ignored too, but for what \
     is left over of duties that people share: there they go once to another place and back for each rack.",
    "The roster counts shifts as written, breaks included. The ‹evening› and the simulation pay for the \
     time that people are there. Whoever stays is paid until the room is finished, with overtime after \
     the shift, and goes home early if all is done by closing. Whoever does not stay goes at \
     the end of the shift; in the simulation, when the unit of work in hand is done.",
];

/// Heading of a table with its heads, in two lines.
#[derive(Debug, Clone, Copy)]
pub struct Heads<const N: usize> {
    /// The heading.
    pub heading: &'static str,
    /// The first line.
    pub upper: [&'static str; N],
    /// The second.
    pub lower: [&'static str; N],
}

/// A share of nothing.
pub const NONE: &str = "none";
/// The sum of a table.
pub const ALL: &str = "all";

/// The peak.
pub mod peak {
    /// Heading, with the hours.
    #[must_use]
    pub fn heading(from: &str, to: &str) -> String {
        format!("The peak {from}–{to}")
    }

    /// Heads.
    pub const HEADS: [&str; 2] = ["in the hour", "‹evening›"];
    /// How many racks are sent.
    pub const STEPS: super::Heads<6> = super::Heads {
        heading: "Racks",
        upper: [
            "full",
            "or after",
            "in hour",
            "in hour",
            "‹evening›",
            "‹evening›",
        ],
        lower: ["enough", "min", "if full", "sent", "if full", "sent"],
    };
    /// Under them.
    pub const STEPS_NOTE: &str = "Half hour by half hour: what comes gathers until it is full enough, or as long as it may \
        wait. The next lot begins the next rack. That makes one rack in each wait and the gap to \
        the next lot, and never fewer than full ones. What crew and sinks gather comes in fewer, larger lots. Where \
        machines cannot take so many, racks wait and are fuller.";
    /// Rows.
    pub const COVERS: &str = "covers";
    /// All ware.
    pub const PIECES: &str = "all pieces";
    /// All racks.
    pub const RACKS: &str = "all racks";

    /// Racks of a kind.
    #[must_use]
    pub fn racks(kind: &str) -> String {
        format!("{kind} racks")
    }

    /// Racks if each were full, in the hour and in the evening, and passes of a piece.
    #[must_use]
    pub fn note(if_full: [f64; 2], passes: f64) -> String {
        let [hour, evening] = if_full;
        format!(
            "Racks as they are sent: each leaves when it is full enough, or when its first piece has waited as long \
             as it may. If all were full, there would be {hour:.0} in the hour and {evening:.0} in the ‹evening›. A \
             piece is washed {passes:.2} times on average, with soil as dry as it is by then."
        )
    }
}

/// Stations.
pub const STATIONS: Heads<7> = Heads {
    heading: "Stations in the peak",
    upper: [
        "needed", "unit", "per unit", "places", "people", "can do", "used",
    ],
    lower: ["per hour", "", "s", "", "there", "per hour", ""],
};
/// Under the stations.
pub const STATIONS_NOTE: &str = "Can do: every place staffed at pace 1. Places in brackets are machines, landing \
    places, sinks, room for pieces or racks owned; each unit occupies one of them that long.";

/// People.
pub const PEOPLE: Heads<3> = Heads {
    heading: "People in the peak",
    upper: ["needed", "share", "hold duty"],
    lower: ["people", "", "people"],
};
/// People by the half hour.
pub mod cover {
    /// Heading.
    pub const HEADING: &str = "Needed/there";
    /// Width of the hours.
    pub const WIDTH: usize = 16;
    /// Under the table.
    pub const NOTE: &str = "People needed for the ware that comes in that half hour over people there who have the duty, \
        without breaks. None: nobody is there who has it, and its work waits.";

    /// The name of a row.
    #[must_use]
    pub fn hours(from: &str, to: &str) -> String {
        format!("  {from}–{to}")
    }

    /// Needed over there.
    #[must_use]
    pub fn of(needed: &str, there: &str) -> String {
        format!("{needed}/{there}")
    }
}

/// The row of all their duties.
pub const ALL_DUTIES: &str = "all duties";

/// Hours of each operator, and of all.
#[must_use]
pub fn hours_each(operators: &[String], all: f64) -> String {
    format!(
        "Hours each can work in the peak hour, without breaks, times pace: {}; all {all:.2}.",
        operators.join(", ")
    )
}

/// The duties that are tightest.
#[must_use]
pub fn tightest(duties: &[&str], needed: f64, there: f64, share: &str) -> String {
    format!(
        "Tightest: {}, with {needed:.2} people needed and {there:.2} who may do it ({share}).",
        duties.join(" + ")
    )
}

/// The roster; the last two columns where there are prices.
pub const ROSTER: Heads<5> = Heads {
    heading: "The roster",
    upper: ["people", "h each", "h total", "per hour", "cost"],
    lower: ["", "", "", "‹money›", "‹money›"],
};

/// What waits at what binds: at the end of the peak, at most and when, and when it is gone.
#[must_use]
pub fn backlog(at: &str, end: &str, [most, most_at]: [&str; 2], gone_at: &str) -> String {
    format!(
        "At the capacity of {at}, about {end} pieces wait when the peak ends, {most} at most ({most_at}), none \
         from {gone_at} on."
    )
}

/// What the evening takes.
pub mod spent {
    /// Heading, with the end.
    #[must_use]
    pub fn heading(ends: &str) -> String {
        format!("The ‹evening› to {ends}")
    }

    /// Heads; the second where there are prices.
    pub const UPPER: [&str; 2] = ["takes", "cost"];
    /// Their second line.
    pub const LOWER: [&str; 2] = ["", "‹money›"];

    /// Rows.
    pub const LABOUR: &str = "labour";
    /// Within the row above.
    pub const OVERTIME: &str = "  of it overtime";
    /// Fresh water.
    pub const WATER: &str = "water";
    /// Used water.
    pub const SEWER: &str = "sewer";
    /// Energy.
    pub const ENERGY: &str = "energy";
    /// Within the energy.
    pub const TANKS: &str = "  heat of the tanks";
    /// Within the energy.
    pub const BOOSTER: &str = "  booster";
    /// Within the energy.
    pub const PUMPS: &str = "  pumps";
    /// Within the energy.
    pub const DRYER: &str = "  dryer";
    /// Within the energy.
    pub const POT_SINK: &str = "  heat of the pot sink";
    /// Detergent.
    pub const DETERGENT: &str = "detergent";
    /// Rinse aid.
    pub const RINSE_AID: &str = "rinse aid";
}

/// Machines.
pub const MACHINES: Heads<6> = Heads {
    heading: "Machines",
    upper: ["rated", "speed", "headway", "inside", "washed", "needs"],
    lower: ["racks/h", "", "s", "s", "s", "s"],
};
/// Under the machines.
pub const MACHINES_NOTE: &str = "Rated after the NSF/ANSI 3 calculation. German practice (DIN 10510 to 10512): 90 s \
    in a single-tank machine, 120 s in a multi-tank conveyor.";

/// Zones.
pub const ZONES: Heads<6> = Heads {
    heading: "Zones",
    upper: ["kind", "length", "inside", "needs", "set to", "at least"],
    lower: ["", "", "s", "s", "", ""],
};

/// What racks cool, with the note below it.
pub mod cooling {
    /// The table.
    pub const TABLE: super::Heads<4> = super::Heads {
        heading: "What racks cool",
        upper: ["set to", "at least", "one rack", "no gap"],
        lower: ["", "", "", ""],
    };

    /// The final rinse, where zones have names.
    pub const FINAL_RINSE: &str = "final rinse";

    /// What the columns are, with the heaviest rack.
    #[must_use]
    pub fn note(pieces: &str, ware: &str) -> String {
        format!(
            "The lowest temperature as a rack comes to a tank or leaves it, and of the final rinse while it passes. One \
             rack: full, the heaviest ({pieces} of {ware}), with everything at its set point before. No gap: full racks \
             in the mix of the ‹evening›, one right after the other, without end."
        )
    }
}

/// Water.
pub mod water {
    /// Heading.
    pub const HEADING: &str = "Water";

    /// What a rack takes, of a machine.
    #[must_use]
    pub fn per_rack(machine: &str, rack: &str, is_played: bool) -> String {
        let gap = if is_played {
            ""
        } else {
            ", with no gap between racks"
        };
        format!("{machine}: {rack} per rack{gap}")
    }

    /// What the evening takes: fresh water, what of it fills the tanks and how often, detergent.
    #[must_use]
    pub fn in_evening(fresh: &str, fill: &str, changes: f64, detergent: &str) -> String {
        let fills = match changes {
            1.0 => " and refill it once".to_owned(),
            changes if changes > 1.0 => format!(" and refill it {changes:.0} times"),
            _ => String::new(),
        };
        format!(
            ", {fresh} in the ‹evening› with the {fill} that fill it{fills}, {detergent} of detergent"
        )
    }

    /// Whether a booster holds its set point with no gap between racks.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Booster {
        /// It does.
        Holds,
        /// Its heater is too small.
        Weak,
        /// Its heater is large enough, but within a rinse cold water mixes with the hot.
        Stirred,
    }

    /// What the booster needs for its set point, and what it has; heat in the evening, if that is known.
    #[must_use]
    pub fn booster(
        [needs_kw, for_c]: [&str; 2],
        [has_kw, comes_c]: [&str; 2],
        how: Booster,
        kwh: Option<&str>,
    ) -> String {
        let has = match how {
            Booster::Holds => format!("; it has {has_kw}."),
            Booster::Weak => format!("; it has {has_kw}, which holds {comes_c}."),
            Booster::Stirred => format!(
                ", and has {has_kw}. The end of a rinse is still at {comes_c}: the cold water that flows in during \
                 the rinse is stirred with the hot."
            ),
        };
        let takes = kwh.map_or_else(String::new, |kwh| {
            format!(" It takes {kwh} kWh in the ‹evening›.")
        });
        format!(
            " With no gap between racks the booster needs {needs_kw} kW to hold {for_c}{has}{takes}"
        )
    }

    /// Where heat of the tanks goes.
    #[derive(Debug, Clone, Copy)]
    pub enum Heat {
        /// Filling them.
        Fill,
        /// Changes of water.
        Refill,
        /// The room.
        Lost,
        /// Ware and racks.
        Ware,
        /// A rinse colder than they are.
        ColderRinse,
        /// From a rinse hotter than they are.
        Rinse,
    }

    /// A part of the heat of the tanks, kWh.
    #[must_use]
    pub fn heat(kwh: &str, where_to: Heat) -> String {
        match where_to {
            Heat::Fill => format!("{kwh} to fill them"),
            Heat::Refill => format!("{kwh} to refill them"),
            Heat::Lost => format!("{kwh} lost to the room"),
            Heat::Ware => format!("{kwh} into ware and racks"),
            Heat::ColderRinse => format!("and {kwh} into colder rinse"),
            Heat::Rinse => format!("less {kwh} that the rinse brings"),
        }
    }

    /// What the tanks take, and its parts.
    #[must_use]
    pub fn tanks(kwh: &str, parts: &[String]) -> String {
        format!(" Its tanks take {kwh} kWh: {}.", parts.join(", "))
    }

    /// How long tanks heat up.
    #[must_use]
    pub fn heat_up(minutes: &str) -> String {
        format!(" Its tanks are hot after {minutes} min.")
    }

    /// How long a change of water takes.
    #[must_use]
    pub fn change(minutes: &str) -> String {
        format!(" A change of water takes {minutes} min.")
    }

    /// What soil is left.
    #[must_use]
    pub fn soil(soil: &str) -> String {
        format!(" By the end of the ‹evening› there are {soil} of soil in it.")
    }
}

/// Set-up, close-down and faults.
pub mod routine {
    /// Heading of set-up and close-down.
    pub const HEADING: &str = "Before opening and after closing";
    /// Their names.
    pub const SET_UP: &str = "Set-up";
    /// Close-down.
    pub const CLOSE_DOWN: &str = "Close-down";

    /// Tasks, min of hands, min with all the hands they can use.
    #[must_use]
    pub fn tasks(what: &str, count: usize, hands_min: &str, takes_min: &str) -> String {
        let noun = if count == 1 { "task" } else { "tasks" };
        format!(
            "{what}: {count} {noun}, {hands_min} min of hands, {takes_min} min with all the hands they can use,"
        )
    }

    /// When racks may enter: from when on it is done, until when, and how long before or after opening.
    #[must_use]
    pub fn ready(tasks: &str, [begins, ready]: [&str; 2], minutes: &str, is_after: bool) -> String {
        let side = if is_after { "after" } else { "before" };
        format!(
            "{tasks} from {begins} on; racks may enter at {ready} at the earliest, {minutes} min {side} opening."
        )
    }

    /// A set-up that nobody does.
    #[must_use]
    pub fn nobody(tasks: &str) -> String {
        format!("{tasks} and nobody to do them.")
    }

    /// When the close-down begins.
    #[must_use]
    pub fn closes(tasks: &str) -> String {
        format!("{tasks} after the last ware is past inspection.")
    }

    /// Faults.
    pub const FAULTS: super::Heads<5> = super::Heads {
        heading: "What goes wrong",
        upper: ["every", "noticed", "to mend", "stands", "spoils"],
        lower: ["h running", "min", "min", "min", "the wash"],
    };
    /// A fault that strikes at a time of day.
    #[must_use]
    pub fn at(clock: &str) -> String {
        format!("at {clock}")
    }

    /// A fault that spoils the wash.
    pub const YES: &str = "yes";

    /// What faults leave of a machine.
    #[must_use]
    pub fn left(machine: &str, share: f64, racks_per_hour: f64) -> String {
        format!(
            "{machine}: while there is work and somebody free to mend, faults leave it {:.1} % of the time, \
             {racks_per_hour:.0} of the longest racks per hour.",
            100.0 * share
        )
    }
}

/// Ware away from the store.
pub const PARS: Heads<6> = Heads {
    heading: "Ware away from store",
    upper: ["used", "away", "in room", "steady", "most", "owned"],
    lower: ["per hour", "min", "min", "pieces", "pieces", "pieces"],
};
/// Under that.
pub const PARS_NOTE: &str = "If nothing queues. Steady: used per hour times hours away (Little's law), if it is back \
    within the hour. Most: added up along the ‹evening›.";

/// Lengths.
pub mod lengths {
    use super::{Sanitising, counted};

    /// Heading.
    pub const HEADING: &str = "Lengths";

    /// What the drop-off holds; `length` with its brackets or empty.
    #[must_use]
    pub fn drop_off(length: &str, tubs: u32, coming: &str, minutes: f64) -> String {
        format!(
            "Drop-off{length}: {}. The busiest 15 minutes bring {coming}: it holds {minutes:.0} minutes of that \
             if nobody scrapes.",
            counted(tubs, "tub")
        )
    }

    /// A number of racks that something holds, and how many a guide asks for.
    pub type Holds = (u32, u32);

    /// Lane and landing of a machine; `length` of the landing with its brackets or empty.
    #[must_use]
    pub fn landing(
        machine: &str,
        lane: Holds,
        (length, landing, guide_length): (&str, Holds, &str),
        sanitising: Sanitising,
        (stays_s, through): (f64, &str),
    ) -> String {
        let behind = match sanitising {
            Sanitising::HotWater => "a hot-water machine",
            Sanitising::Chemical => "a chemical rinse",
        };
        format!(
            "{machine}: the lane holds {} (guide: {}). The landing{length} holds {} (guide: {}, {guide_length}, \
             behind {behind}); each stays {stays_s:.0} s, so {through} per hour can pass over it.",
            counted(lane.0, "rack"),
            lane.1,
            landing.0,
            landing.1,
        )
    }
}

/// Drying on.
pub mod drying {
    /// Heading.
    pub const HEADING: &str = "Dried on after, min";
    /// Heads.
    pub const HEADS: [&str; 5] = ["as set", "wet bulb", "air temp.", "on its way", "may wait"];

    /// Under that: what the scenario takes as the temperature of the film, and how many times the published rate.
    #[must_use]
    pub fn note(at_wet_bulb: bool, multiplier: f64) -> String {
        let at = if at_wet_bulb {
            "wet bulb"
        } else {
            "air temperature"
        };
        format!(
            "A film of mean thickness. As set: at {at}, {multiplier} times the published rate. The two columns after it \
             are the ends of the published rates, which differ threefold: once as fast as published. May wait: what \
             is left, as set, when nothing queues."
        )
    }
}
