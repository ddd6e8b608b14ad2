//! Tanks by the front door: how long they fill and heat, and the soil that racks leave in them.

use super::sheet::sheet;
use super::{evening, farthest};
use crate::ledger::{self, Row, Theirs};

pub fn rows() -> Vec<Row> {
    let mut rows = fill().to_vec();
    rows.extend(heat_up());
    rows.extend(soil());
    rows
}

#[test]
fn tanks_fill_heat_and_foul_as_worked_out() {
    ledger::holds(&rows());
}

/// Racks of 20 in, five a minute; a wash with these keys and 2.65 L per rack of final rinse behind it. `more` stands
/// among the keys of the machine.
fn washed(wash: &str, more: &str) -> String {
    format!(
        "[[soil]]\nname = \"soil\"\namount = \"10 g\"\n[[machine]]\nname = \"conveyor\"\nspeed = \"2.54 m/min\"\n\
         {more}\nzones = [{{ name = \"wash\", kind = \"wash\", length = \"20 in\", idle_loss = \"0 kW\", {wash} }},\n\
         {{ name = \"rinse\", kind = \"final-rinse\", length = \"20 in\", flow = \"13.25 L/min\" }}]\n"
    )
}

/// One change of water in a lull, with nothing to run out: minutes that it takes.
fn change_min(wash: &str, more: &str) -> f64 {
    let change = format!("water_change = {{ every = \"60 min\", drain = \"0 min\" }}\n{more}");
    let lull = "[service]\ncloses = \"14:00\"\n[[backlog]]\nname = \"racks\"\npieces = 1\n";
    let played = evening("belt.toml", &(washed(wash, &change) + lull));
    played.figure("measures/water_change_min").mean
}

/// The tank of a single-tank conveyor of the shipped scenarios, at the flow that nobody gave.
fn fill() -> [Row; 2] {
    let ours = change_min("tank = \"80 L\"", "");
    let source =
        "common practice, no source: a machine of this class fills in four to five minutes";
    let row = |theirs| Row {
        theirs,
        ..Row::is("played: 80 L fill in, min", ours, 0.0, 0.0, source)
    };
    [row(Theirs::Above(4.0)), row(Theirs::Below(5.0))]
}

/// 83 L and 15 kW, without losses: from the supply to the set point.
fn heat_up() -> [Row; 2] {
    let source = "83 L × 4.186 kJ/(kg K)/15 kW, worked out";
    let (mut played, mut checked) = (Vec::new(), Vec::new());
    for (from_c, to_c, minutes) in [(60, 71, 4.246), (43, 66, 8.879), (15, 66, 19.688)] {
        let wash = format!("tank = \"83 L\", heater = \"15 kW\", temperature = \"{to_c} °C\"");
        let supply = format!("supply = \"{from_c} °C\"");
        let what = format!("83 L, 15 kW, {from_c} to {to_c} °C, min");
        // Filled at 18 L per minute, then heated.
        let ours = change_min(&wash, &supply) - 83.0 / 18.0;
        played.push(Row::is(
            format!("played: {what}"),
            ours,
            5e-4,
            minutes,
            source,
        ));
        let ours = sheet("belt.toml", &washed(&wash, &supply)).figure("/water/0/heat_up_min");
        checked.push(Row::is(
            format!("`check`: {what}"),
            ours,
            5e-4,
            minutes,
            source,
        ));
    }
    [farthest(&played), farthest(&checked)]
}

/// 83 L, 10 g and 2.65 L per rack: after so many racks, in the end, and again after a change of water. Soil comes by
/// the rack, 10 g into 83 L, so it may be that far from soil that comes evenly.
fn soil() -> [Row; 3] {
    let source = "3.7736 (1 − exp(−n 2.65/83)) g/L, mass balance of a stirred tank, worked out; within the soil of \
                  one rack";
    let row = |what: String, ours: f64, theirs| Row::is(what, ours, 10.0 / 83.0, theirs, source);
    let after = |changes: &str, times: &[(&str, u32, f64)], when: &str| {
        let played = evening("belt.toml", &washed("tank = \"83 L\"", changes));
        let rows = times.iter().map(|(clock, racks, theirs)| {
            let [ours, ..] = played.at("tank_soil:conveyor", clock);
            row(
                format!("played: tank soil {racks} racks {when}, g/L"),
                ours,
                *theirs,
            )
        });
        rows.collect::<Vec<_>>()
    };
    let first = [
        ("12:02", 10, 1.0314),
        ("12:10", 50, 3.0090),
        ("12:20", 100, 3.6186),
        ("12:40", 200, 3.7672),
    ];
    let opened = after("", &first, "after a fill");
    let end = after("", &[("13:15", 375, 3.7736)], "after a fill, its end");
    // Due at 12:30; the last rack is out at 12:30:27.6, then 42.6 s to drain and 49.8 s to fill: full at 12:32.
    let change = "water_change = { every = \"30 min\", drain = \"42.6 s\", flow = \"100 L/min\" }";
    let again = [
        ("12:34", 10, 1.0314),
        ("12:42", 50, 3.0090),
        ("12:52", 100, 3.6186),
    ];
    let changed = after(change, &again, "after a change");
    [farthest(&opened), end[0].clone(), farthest(&changed)]
}
