//! Racks that covers need, and how much ware a house has to own.

use super::sheet::sheet;
use super::{evening, farthest};
use crate::ledger::{self, Row, Theirs};
use crate::played::Played;

pub fn rows() -> Vec<Row> {
    let mut rows = racks_needed().to_vec();
    rows.extend(par_stock());
    rows.push(run_out());
    rows
}

#[test]
fn ware_lasts_as_long_as_the_trade_says() {
    ledger::holds(&rows());
}

/// 100 covers per hour × 7 pieces / 20 pieces per rack, for three hours.
fn racks_needed() -> [Row; 2] {
    let source =
        "two equipment dealers' guides: pieces per person × persons per hour / 20; worked out";
    let checked = sheet("covers.toml", "").figure("/peak/racks_all");
    let washed = evening("covers.toml", "").figure("measures/racks").mean;
    [
        Row::is(
            "`check`: racks/h for 100 covers/h of 7 pieces",
            checked,
            1e-9,
            35.0,
            source,
        ),
        Row::is(
            "played: racks for three hours of that",
            washed,
            0.0,
            105.0,
            source,
        ),
    ]
}

/// 100 seats, filled three times over, and a way round that takes less than a seating. With three cups a
/// seat a third is always at rest, with two it is just enough, with one the next seating waits.
fn par_stock() -> [Row; 5] {
    let source =
        "a hotel supplier's par stock and the 3:1 rule: one in use, one in wash, one at rest";
    let owned = |a_seat: u32| format!("[[ware]]\nname = \"cup\"\nowned = {}", 100 * a_seat);
    let way_round = sheet("seatings.toml", &owned(3)).figure("/pars/0/in_room_min");
    let three = evening("seatings.toml", &owned(3));
    let at_rest = three.figure("by_ware/cup/clean_stock_least").mean;
    let short = |evening: &Played| evening.figure("measures/short_covers").mean;
    let two = short(&evening("seatings.toml", &owned(2)));
    let one = short(&evening("seatings.toml", &owned(1)));
    let exactly = |what: &str, ours, theirs| Row::is(what, ours, 0.0, theirs, source);
    [
        Row {
            theirs: Theirs::Below(60.0),
            ..exactly(
                "`check`: way round for cups, seatings of 60 min, min",
                way_round,
                0.0,
            )
        },
        exactly("played: covers short, 3 cups a seat", short(&three), 0.0),
        exactly(
            "played: least cups at rest of them, 100 seats",
            at_rest,
            100.0,
        ),
        exactly("played: covers short, 2 cups a seat", two, 0.0),
        Row {
            theirs: Theirs::Above(0.0),
            ..exactly("played: covers short, 1 cup a seat", one, 0.0)
        },
    ]
}

/// 120 clean plates, four used a minute, and one, two or three coming back. A minute is allowed: whole
/// plates, and a look each minute.
fn run_out() -> Row {
    let rows = [1, 2, 3].map(|back| {
        let changes = format!("[[ware]]\nname = \"plate\"\nscrape = \"{} s\"", 60 / back);
        let what = format!("played: 120 plates, 4 used and {back} back a minute, last min");
        let theirs = 120.0 / (4.0 - f64::from(back));
        let source = "fluid limit: stock over use less return, worked out; within a minute";
        Row::is(
            what,
            f64::from(first_without(&changes)),
            1.0,
            theirs,
            source,
        )
    });
    farthest(&rows)
}

/// The first whole minute after noon without a clean plate. The stock falls from minute to minute.
fn first_without(changes: &str) -> u32 {
    let evening = evening("run-out.toml", changes);
    let has_some = |minute: &u32| {
        let clock = format!("{}:{:02}", 12 + minute / 60, minute % 60);
        let [plates, ..] = evening.at("clean_stock:plate", &clock);
        plates > 0.0
    };
    let minutes: Vec<u32> = (0..150).collect();
    minutes[minutes.partition_point(has_some)]
}
