//! Printed figures of standards, handbooks and textbooks, and ours beside them.
//!
//! | file | figures of |
//! |---|---|
//! | [`air`] | vapour pressure and evaporation |
//! | [`drying`] | drying in two periods, films left to stand, soak and wash |
//! | [`faults`] | what faults leave of a machine, played |
//! | [`heat`] | tanks and boosters, soil in a tank, water of the final rinse |
//! | [`limits`] | what the Food Code and its neighbours flag and pass |
//! | [`machines`] | racks per hour, contact time, landings |
//! | [`rinse`] | rinse water and its heat, played |
//! | [`tanks`] | filling and heating of tanks and the soil in them, played |
//! | [`stock`] | racks that covers need, and par stock |
//!
//! Some are figures of a pure function; the others go in by the front door, as scenario files in
//! `handbooks/` that the program checks ([`sheet`]) or plays. Nothing that is looked at varies in those,
//! so one evening is enough. Allowed is half a unit of the last printed digit, or less, unless a row says
//! otherwise.
//! "Recomputed" means that the figure was worked out from the formula and the inputs of the source with
//! public libraries; "from memory" that the source itself was not at hand.

mod air;
mod drying;
mod faults;
mod heat;
mod limits;
mod machines;
mod rinse;
mod sheet;
mod stock;
mod tanks;

use crate::ledger::{self, Row, Theirs};
use crate::played::{self, Played};

const FOOT_M: f64 = 0.3048;
const INCH_M: f64 = 0.0254;
const HOUR_S: f64 = 3600.0;

/// Plays a scenario of this folder with something changed in it.
fn evening(file: &str, changes: &str) -> Played {
    played::play_changed(&format!("handbooks/{file}"), changes, 1)
}

/// The row in which ours is farthest from theirs for what is allowed; of equal ones the first. All of
/// them have to hold.
#[track_caller]
fn farthest(rows: &[Row]) -> Row {
    ledger::holds(rows);
    let farther = |a, b| if apart(b) > apart(a) { b } else { a };
    let mut row = rows.iter().reduce(farther).expect("a row").clone();
    row.what = format!("farthest of {}: {}", rows.len(), row.what);
    row
}

/// How far apart, as a share of what is allowed; where nothing is allowed, there is nothing.
fn apart(row: &Row) -> f64 {
    match row.theirs {
        Theirs::Is(theirs) if row.within > 0.0 => (row.ours - theirs).abs() / row.within,
        _ => 0.0,
    }
}

#[test]
fn the_farthest_is_the_farthest_for_what_is_allowed() {
    let row = |what: &str, ours, within| Row::is(what, ours, within, 1.0, "");
    let rows = [row("a", 1.3, 1.0), row("b", 0.8, 0.4), row("c", 1.0, 0.0)];
    let found = farthest(&rows);
    assert_eq!((found.what.as_str(), found.ours), ("farthest of 3: b", 0.8));
}

#[test]
#[should_panic(expected = "disagree")]
fn the_farthest_of_some_that_disagree_is_none() {
    farthest(&[
        Row::is("a", 1.0, 0.1, 1.0, ""),
        Row::is("b", f64::NAN, 0.1, 1.0, ""),
    ]);
}

#[test]
fn the_page() {
    let rows = [
        air::rows(),
        drying::rows(),
        machines::rows(),
        stock::rows(),
        tanks::rows(),
        heat::rows(),
        limits::rows(),
        rinse::rows(),
        faults::rows(),
    ];
    ledger::on_the_page("handbooks", "allowed", &rows.concat());
}
