//! What is done to the machines before and after the service, and what goes wrong with them.

use super::TimeDistribution;
use super::keys::{keys, words};
use crate::scenario::field::{
    COMMON, FLOW, INVENTED, Kind, Unset, above, may, need, quantity, row, varying_s, within,
};
use crate::scenario::units::Dimension;

const FILL: &str =
    "common practice, no source: a machine of this class fills in four to five minutes";
const STANDS: &str = "power off and locked out before maintenance: common practice, no source";
/// A time from now to hours from now.
const SPAN: Kind = Kind::Quantity(quantity(Dimension::Time, "min", within(0.0, 1_440.0)));
/// A share of what there is when nothing is wrong.
const LEFT: Kind = Kind::Share(within(0.0, 1.0));
const FULL: Unset = Unset::Number(1.0);

words! {
    /// What a task makes a machine do, once the hands are done.
    pub enum TaskDoes {
        /// The tanks fill; until then they stand empty.
        Fill = "fill",
        /// Heaters and booster heat up to their set points.
        Heat = "heat",
        /// Heaters and booster are off from now on.
        HeatOff = "heat-off",
        /// Pumps and belt are off from now on.
        PumpsOff = "pumps-off",
        /// The tanks run out.
        Drain = "drain",
    }
}

keys! {
    /// A task of the set-up or the close-down.
    pub struct Task at "set_up[]." {
        name: String = need("name", "name of the task", Kind::Name),
        takes: TimeDistribution = row("takes", "hands-on time, by somebody with the duty `set-up`", varying_s(0.0, 14_400.0), Unset::Text("1 min"), COMMON),
        by: Option<String> = may("by", "the only row of the roster that may do it; left out, whoever has the duty", Kind::Reference("roster")),
        after: Vec<String> = row("after", "tasks of the set-up that have to be done before", Kind::References("set_up"), Unset::Empty, "none"),
        machine: Option<String> = may("machine", "the machine it is about; left out, every rack conveyor, or where there is none every machine", Kind::Reference("machine")),
        does: Option<TaskDoes> = may("does", "what the machine does then by itself: its tanks fill, or they and the booster heat up; the task is done when that is", Kind::Choice(&["fill", "heat"])),
        flow_l_per_s: f64 = row("flow", "of the water that fills its tanks", FLOW, Unset::Text("18 L/min"), FILL),
        racks_wait: bool = row("racks_wait", "whether racks wait until it is done", Kind::Flag, Unset::Flag(true), COMMON),
    }
}

keys! {
    /// A task of the close-down as a file has it.
    pub(super) struct Closing at "close_down[]." {
        name: String = need("name", "name of the task", Kind::Name),
        takes: TimeDistribution = row("takes", "hands-on time, by somebody with the duty `close-down`", varying_s(0.0, 14_400.0), Unset::Text("1 min"), COMMON),
        by: Option<String> = may("by", "the only row of the roster that may do it; left out, whoever has the duty", Kind::Reference("roster")),
        after: Vec<String> = row("after", "tasks of the close-down that have to be done before", Kind::References("close_down"), Unset::Empty, "none"),
        machine: Option<String> = may("machine", "the machine it is about; left out, every rack conveyor, or where there is none every machine", Kind::Reference("machine")),
        does: Option<TaskDoes> = may("does", "what the machine does then by itself: its heaters go off, its pumps and belt go off, or its tanks run out", Kind::Choice(&["heat-off", "pumps-off", "drain"])),
    }
}

impl From<Closing> for Task {
    /// It fills no tank, and no rack waits for it.
    fn from(closing: Closing) -> Self {
        Self {
            name: closing.name,
            takes: closing.takes,
            by: closing.by,
            after: closing.after,
            machine: closing.machine,
            does: closing.does,
            flow_l_per_s: 0.0,
            racks_wait: false,
        }
    }
}

words! {
    /// When a fault strikes.
    pub enum Strikes {
        /// As likely in any running hour.
        AtRandom = "at-random",
        /// After exactly so many running hours.
        Regularly = "regularly",
    }
}

keys! {
    /// Something that goes wrong with a machine.
    pub struct Fault at "fault[]." {
        name: String = need("name", "name of the fault", Kind::Name),
        machine: Option<String> = may("machine", "the machine; left out, every rack conveyor, or where there is none every machine", Kind::Reference("machine")),
        every_s: Option<f64> = may("every", "mean time between, in hours of running: a standing machine does not wear. A fault has this or `at`", Kind::Quantity(quantity(Dimension::Time, "h", within(0.01, 2_000.0)))),
        at_s: Option<f64> = may("at", "the time of day at which it strikes, once, whatever the machine does then: \"20:00\"", Kind::TimeOfDay),
        lasts_s: Option<f64> = may("lasts", "how long it lasts if it passes by itself, as a power cut does, and nobody notices or mends it; left out, it lasts until it is mended", Kind::Quantity(quantity(Dimension::Time, "min", above(0.0, 1_440.0)))),
        strikes: Strikes = row("strikes", "when it strikes, with `every`: as likely in any running hour, or after exactly so many", Kind::Choice(Strikes::WORDS), Unset::Text("at-random"), "the law of constant risk, without memory"),
        alarm_after_s: Option<f64> = may("alarm_after", "time until an alarm, or the stopped belt, shows it; left out, nothing does", SPAN),
        check_every_s: Option<f64> = may("check_every", "how often an operator with the duty `tend`, if one is there, looks for it in passing; left out, nobody does", Kind::Quantity(quantity(Dimension::Time, "min", within(1.0, 1_440.0)))),
        check_takes_s: f64 = row("check_takes", "how long each look takes somebody, whether there is anything to find or not; `check` does not count it", Kind::Quantity(quantity(Dimension::Time, "s", within(0.0, 1_800.0))), Unset::Text("0 s"), "in passing: it takes no time"),
        dirty_in_rack: Option<u32> = may("dirty_in_rack", "how many pieces of one rack, sent back by inspection, show it; left out, they do not", Kind::Whole(1, 1_000)),
        mend: TimeDistribution = row("mend", "hands-on time to repair it, by somebody with the duty `tend`", varying_s(1.0, 28_800.0), Unset::Text("5 min"), INVENTED),
        outside: Option<TimeDistribution> = may("outside", "from the call until somebody from outside, such as a licensed electrician, has repaired it; the crew only spends `mend` on it, to look and to call. Left out, the crew repairs it. The machine runs on meanwhile, unless the fault stops it", Kind::Time(quantity(Dimension::Time, "min", within(1.0, 1_440.0)))),
        stops: bool = row("stops", "whether the machine stands from the moment it strikes", Kind::Flag, Unset::Flag(false), "it runs on"),
        mend_stops: bool = row("mend_stops", "whether the machine stands while it is repaired", Kind::Flag, Unset::Flag(true), STANDS),
        spray: f64 = row("spray", "factor of the wash by the spray until it is repaired", LEFT, FULL, "nothing is wrong with it"),
        detergent: f64 = row("detergent", "factor of the wash by the detergent until it is repaired", LEFT, FULL, "nothing is wrong with it"),
        heat: f64 = row("heat", "share of the power of heaters and booster that is left until it is repaired", LEFT, FULL, "nothing is wrong with it"),
        level: f64 = row("level", "share of the water of the tanks that is left until it is repaired; what is missing is then filled up", Kind::Share(within(0.05, 1.0)), FULL, "nothing is wrong with it"),
    }
}
