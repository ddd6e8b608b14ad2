//! The fields of set-up, close-down and faults of the machines.

use super::{
    COMMON, FLOW, Field, INVENTED, Kind, Unset, may, need, quantity, row, varying_s, within,
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

/// The rows.
#[rustfmt::skip]
pub const FIELDS: &[Field] = &[
    row("set_up", "what is done before the machines may wash, in the order in which it is taken up", Kind::Rows(true, 64), Unset::Empty, "nothing: they stand full and hot"),
    need("set_up[].name", "name of the task", Kind::Name),
    row("set_up[].takes", "hands on, by somebody with the duty `set-up`", varying_s(0.0, 14_400.0), Unset::Text("1 min"), COMMON),
    may("set_up[].by", "the only row of the roster that may do it; left out, whoever has the duty", Kind::Reference("roster")),
    row("set_up[].after", "tasks of the set-up that have to be done before", Kind::References("set_up"), Unset::Empty, "none"),
    may("set_up[].machine", "the machine it is about; left out, every rack conveyor, or where there is none every machine", Kind::Reference("machine")),
    may("set_up[].does", "what the machine does then by itself: its tanks fill, or they and the booster heat up; the task is done when that is", Kind::Choice(&["fill", "heat"])),
    row("set_up[].flow", "of the water that fills its tanks", FLOW, Unset::Text("18 L/min"), FILL),
    row("set_up[].racks_wait", "whether racks wait until it is done", Kind::Flag, Unset::Flag(true), COMMON),

    row("close_down", "what is done after the last rack, in the order in which it is taken up", Kind::Rows(true, 64), Unset::Empty, "nothing"),
    need("close_down[].name", "name of the task", Kind::Name),
    row("close_down[].takes", "hands on, by somebody with the duty `close-down`", varying_s(0.0, 14_400.0), Unset::Text("1 min"), COMMON),
    may("close_down[].by", "the only row of the roster that may do it; left out, whoever has the duty", Kind::Reference("roster")),
    row("close_down[].after", "tasks of the close-down that have to be done before", Kind::References("close_down"), Unset::Empty, "none"),
    may("close_down[].machine", "the machine it is about; left out, every rack conveyor, or where there is none every machine", Kind::Reference("machine")),
    may("close_down[].does", "what the machine does then by itself: its heaters go off, its pumps and belt go off, or its tanks run out", Kind::Choice(&["heat-off", "pumps-off", "drain"])),

    row("fault", "what goes wrong with the machines", Kind::Rows(true, 64), Unset::Empty, "nothing"),
    need("fault[].name", "name of the fault", Kind::Name),
    may("fault[].machine", "the machine; left out, every rack conveyor, or where there is none every machine", Kind::Reference("machine")),
    need("fault[].every", "mean time between, in hours of running: a standing machine does not wear", Kind::Quantity(quantity(Dimension::Time, "h", within(0.01, 2_000.0)))),
    row("fault[].strikes", "when it strikes: as likely in any running hour, or after exactly so many", Kind::Choice(&["at-random", "regularly"]), Unset::Text("at-random"), "the law of constant risk, without memory"),
    may("fault[].alarm_after", "an alarm, or the standing belt, tells it so long after it struck; left out, nothing does", SPAN),
    may("fault[].check_every", "an operator with the duty `tend`, if one is there, looks for it so often, in passing; left out, nobody does", Kind::Quantity(quantity(Dimension::Time, "min", within(1.0, 1_440.0)))),
    may("fault[].dirty_in_rack", "so many pieces of one rack that inspection sends back tell it; left out, they do not", Kind::Whole(1, 1_000)),
    row("fault[].mend", "hands on to mend it, by somebody with the duty `tend`", varying_s(1.0, 28_800.0), Unset::Text("5 min"), INVENTED),
    row("fault[].stops", "whether the machine stands from the moment it strikes", Kind::Flag, Unset::Flag(false), "it runs on"),
    row("fault[].mend_stops", "whether the machine stands while it is mended", Kind::Flag, Unset::Flag(true), STANDS),
    row("fault[].spray", "factor of the wash by the spray until it is mended", LEFT, FULL, "nothing is wrong with it"),
    row("fault[].detergent", "factor of the wash by the detergent until it is mended", LEFT, FULL, "nothing is wrong with it"),
    row("fault[].heat", "share of the power of heaters and booster that is left until it is mended", LEFT, FULL, "nothing is wrong with it"),
    row("fault[].level", "share of the water of the tanks that is left until it is mended; what is missing is filled up then", Kind::Share(within(0.05, 1.0)), FULL, "nothing is wrong with it"),
];
