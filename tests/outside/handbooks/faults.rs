//! Faults that strike only while the machine runs: the share of time that is left of it, played and checked.

use super::sheet::sheet;
use crate::ledger::{self, Row, Theirs};
use crate::played::{LEVEL, play};

/// Evenings of 17 hours.
const EVENINGS: u64 = 400;
const EVENING_MIN: f64 = 17.0 * 60.0;

pub fn rows() -> Vec<Row> {
    let source = "1/(1 + Σ MTTR/MTBF), clocks that run only while the machine does (Buzacott 1967, from memory), \
                  recomputed";
    let down = play("handbooks/available.toml", EVENINGS).figure("measures/machine_down_min");
    let ours = 1.0 - down.mean / EVENING_MIN;
    let within = down.half_width(LEVEL).expect("many evenings") / EVENING_MIN;
    let what = "machine that fails and is mended, share of time it runs";
    let played = Row::is(format!("played: {what}"), ours, within, 0.941_176, source);
    let on_sheet = sheet("available.toml", "").figure("/routine/available/0/share");
    let checked = Row::is(
        format!("`check`: {what}"),
        on_sheet,
        5e-7,
        0.941_176,
        source,
    );
    let apart = Row {
        what: "wrong on purpose: clocks that run on while it stands".into(),
        ours: 0.941_176 - 0.939_968,
        within: 0.0,
        // Rounded up, as the table prints it.
        theirs: Theirs::Above((within * 1e5).ceil() / 1e5),
        source: "Π 1/(1 + MTTR/MTBF) = 0.939968, further away than chance takes ours".into(),
    };
    vec![played, checked, apart]
}

#[test]
fn faults_leave_what_is_left_of_a_machine() {
    ledger::holds(&rows());
}
