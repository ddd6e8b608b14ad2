//! Findings of the hand-calculation sheet.

use super::{Said, said};
use crate::scenario::model::{Duty, Sanitising};
use crate::words::text::{counted, fahrenheit};

/// A duty that may be wanted when everybody who has it has gone.
pub fn nobody_stays(duty: Duty) -> Said {
    let wanted = match duty {
        Duty::Tend => "a fault after that is never mended",
        _ => "what is not done by then is never done",
    };
    said(
        format!(
            "nobody with the duty `{}` is there at closing and stays until all is done: {wanted}",
            duty.name()
        ),
        "give it to somebody with `stays = true` whose shift ends at closing or later",
    )
}

/// Machines that are not ready when the service opens.
pub fn opens_unready(begins: &str, ready: &str, late_min: f64) -> Said {
    said(
        format!(
            "setting up from {begins} on, racks may enter at {ready} at the earliest, {late_min:.0} min after opening"
        ),
        "begin earlier, with more hands, hotter supply or a stronger heater; no rack is washed before the water is \
         hot",
    )
}

/// Work that nobody is there for.
pub fn nobody_on_duty(sentence: &str) -> Said {
    said(
        sentence.to_owned(),
        "give the duty to somebody who is there in the peak",
    )
}

/// What binds is over its capacity; what that leaves behind, and when.
pub fn over_capacity(sentence: &str, left: Option<(&str, &str)>) -> Said {
    let left = left.map_or_else(String::new, |(pieces, at)| {
        format!(" That leaves about {pieces} pieces waiting at {at}.")
    });
    said(
        format!("{sentence}{left}"),
        "move or add people, places or racks there, or spread the peak; then look what binds next",
    )
}

/// What binds is near its capacity.
pub fn near_capacity(sentence: &str) -> Said {
    said(
        sentence.to_owned(),
        "variation makes queues above 70 to 80 %: simulate before trusting it",
    )
}

/// More that is over its capacity: what helps.
#[derive(Debug, Clone, Copy)]
pub enum Relief {
    /// For a landing.
    Landing,
    /// For racks.
    Racks,
    /// For a place or a machine.
    Place,
}

/// A place or a thing over its capacity besides the one that binds.
pub fn over_too(name: &str, unit: &str, [needed, can]: [f64; 2], relief: Relief) -> Said {
    said(
        format!("{name}: the peak needs {needed:.0} {unit} per hour, and {can:.0} can go through."),
        match relief {
            Relief::Landing => "a longer landing, a shorter drain or faster unloading",
            Relief::Racks => "more racks of this kind, or a quicker way back for them",
            Relief::Place => "it binds next once the first is relieved",
        },
    )
}

/// A tunnel that washes too short.
pub fn contact_short(machine: &str, has_s: f64, needs_s: f64) -> Said {
    said(
        format!(
            "{machine}: racks are washed for {has_s:.0} s; a normal wash needs {needs_s:.0} s."
        ),
        "a slower belt or a longer tunnel; slower means fewer racks per hour",
    )
}

/// A tunnel shorter than guidance asks for.
pub fn contact_below_guide(machine: &str, has_s: f64) -> Said {
    said(
        format!(
            "{machine}: {has_s:.0} s in the tunnel; German practice asks for 90 s in a single-tank machine (DIN \
             10511, 10512) and 120 s in a multi-tank conveyor (DIN 10510)."
        ),
        "guidance, not a limit: the data plate of the machine decides",
    )
}

/// A zone that racks are through too soon.
pub fn zone_short(machine: &str, zone: &str, has_s: f64, needs_s: f64) -> Said {
    said(
        format!(
            "{machine}: racks are {has_s:.0} s in the zone \"{zone}\", which has to last {needs_s:.0} s."
        ),
        "a slower belt or a longer zone; slower means fewer racks per hour",
    )
}

/// A landing shorter than plan reviews ask for.
pub fn landing_short(machine: &str, holds: u32, guide: u32, sanitising: Sanitising) -> Said {
    let (length, behind) = match sanitising {
        Sanitising::HotWater => ("60 in, 152 cm", "a hot-water machine"),
        Sanitising::Chemical => ("100 in, 254 cm", "a machine that sanitises with a chemical"),
    };
    said(
        format!(
            "{machine}: the clean landing holds {}; plan-review letters of the Minnesota Department of Health \
             ask for {guide} ({length}) behind {behind}.",
            counted(holds, "rack")
        ),
        "a longer clean table; when it is full the machine stands",
    )
}

/// What of a machine is cooled: a zone by its name, or the final rinse.
fn cooled((machine, zone): (&str, Option<&str>)) -> String {
    zone.map_or_else(
        || format!("the final rinse of {machine}"),
        |zone| format!("the zone {zone} of {machine}"),
    )
}

/// One full rack alone takes a tank, or the final rinse, below its minimum.
pub fn one_rack_cools(
    what: (&str, Option<&str>),
    (pieces, ware): (f64, &str),
    to_c: f64,
    least_c: f64,
) -> Said {
    said(
        format!(
            "one full rack alone, {pieces:.0} of {ware}, takes {} to {to_c:.1} °C ({:.0} °F). It has to keep {least_c:.1} °C \
             ({:.0} °F).",
            cooled(what),
            fahrenheit(to_c),
            fahrenheit(least_c)
        ),
        "a larger tank or booster, a stronger heater, or a higher set point within the machine's limits",
    )
}

/// Racks one right after the other take a tank below its minimum.
pub fn no_gap_cools(what: (&str, Option<&str>), to_c: f64, least_c: f64) -> Said {
    said(
        format!(
            "with no gap between racks {} comes to {to_c:.1} °C ({:.0} °F). It has to keep {least_c:.1} °C ({:.0} °F).",
            cooled(what),
            fahrenheit(to_c),
            fahrenheit(least_c)
        ),
        "a stronger heater, a higher set point within the machine's limits, or gaps between racks",
    )
}

/// A booster too weak for racks without a gap.
pub fn booster_weak(machine: &str, power_w: f64, comes_c: f64, needed_w: f64) -> Said {
    said(
        format!(
            "{machine}: with no gap between racks, the booster's {:.1} kW let the final rinse fall to \
             {comes_c:.1} °C ({:.0} °F); {:.1} kW would hold its set point.",
            power_w / 1e3,
            fahrenheit(comes_c),
            needed_w / 1e3
        ),
        "a stronger booster, warmer supply, or racks with gaps between",
    )
}

/// A booster with power enough, whose hot water is stirred with the cold that flows in.
pub fn booster_stirred(machine: &str, comes_c: f64) -> Said {
    said(
        format!(
            "{machine}: with no gap between racks, the final rinse falls to {comes_c:.1} °C ({:.0} °F) by its end: \
             the cold water that flows into the booster is stirred with the hot.",
            fahrenheit(comes_c)
        ),
        "a booster whose hot water is displaced, not stirred, a larger one, a higher set point, or racks with gaps between",
    )
}

/// A final rinse that comes too cold from the supply.
pub fn supply_cold(machine: &str, comes_c: f64, least_c: f64) -> Said {
    said(
        format!(
            "{machine}: without a booster the final rinse comes at {comes_c:.1} °C ({:.0} °F) and has to keep \
             {least_c:.1} °C ({:.0} °F).",
            fahrenheit(comes_c),
            fahrenheit(least_c)
        ),
        "a booster, or a warmer supply",
    )
}

/// Ware of which too little is owned.
pub fn par_short(ware: &str, most: f64, at: &str, owned: f64) -> Said {
    said(
        format!(
            "{ware}: {most:.0} pieces are away from the store at {at} even if nothing queues; {owned:.0} are \
             owned."
        ),
        "more pieces, or a quicker way back to the store",
    )
}

/// A short drop-off.
pub fn drop_off_short(tubs: u32, minutes: f64) -> Said {
    said(
        format!(
            "The drop-off holds {}, {minutes:.0} min of the deliveries of the busiest quarter of an hour.",
            counted(tubs, "tub")
        ),
        "room for more tubs, or somebody who scrapes all through the peak",
    )
}

/// Nobody there for a duty while ware comes.
pub fn nobody_there(duty: Duty, [from, to]: [&str; 2], people: f64) -> Said {
    said(
        format!(
            "Nobody who has the duty {} is there from {from} to {to}, while ware comes that keeps {people:.2} people \
             busy with it: it waits.",
            duty.name()
        ),
        "give the duty to somebody who is there then, or move a shift or a break",
    )
}

/// Soil that dries on before it can be washed.
pub fn dries_on_the_way(soil: &str, dry_min: f64) -> Said {
    said(
        format!(
            "{soil}: a mean film has dried on after {dry_min:.0} min, before it reaches the machine even if \
             nothing queues."
        ),
        "shorter ways, smaller loads to wait for, a soak or a pre-rinse",
    )
}
