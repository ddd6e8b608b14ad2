//! What everybody in the trade knows, as behaviour of the rooms in `trade/`.
//!
//! None of it has a published figure, so none is held against one: an evening is held against the same
//! evening with one thing changed, guests, soil and luck the same, and the difference lies beyond its 99.9 %
//! interval. Beside each fact stands a room in which it must not come out: water that loosens nothing, ware
//! that does not dry, racks rated for what is heaped into them.
//!
//! That overloading is the *commonest* cause is a claim about how people work, which no room can show. What
//! a room shows is which cause costs most when all are there at amounts we think believable. In the pressed
//! evening, racks heaped half over, the far end of what is done, cost more than a belt a tenth too fast, more
//! than a wash a tenth too weak, and more than all drying. Heaped by a quarter they still cost more than belt
//! and wash. Against drying it depends on the wait: with an extra hand, when plates wait under three minutes
//! and nothing dries on, a quarter over costs more; with one hand about as much; in a busy evening, when they
//! wait 25 minutes, clearly less, and half over about as much. There the ranking ends, and a row says so.

use std::path::Path;
use std::sync::LazyLock;

use scullery::room::Room;
use scullery::scenario;
use scullery::service::Service;
use scullery::statistics::interval::Sample;
use scullery::statistics::paired::{paired, welch};

use super::ledger::{Row, Theirs, holds, on_the_page};
use super::played::{LEVEL, Played, half_width, play_changed};

/// The least of the facts is twice as far from nothing as its interval is wide.
const REPLICATIONS: u64 = 120;
const PRACTICE: &str = "common practice, no source";
const BY_HAND: &str = "common practice, no source; how many: geometric, by hand";

/// A quarter more guests.
const BUSY: &str = r#"
[guests]
seating = [
    { from = "17:00", to = "18:00", covers = 85 },
    { from = "18:00", to = "19:00", covers = 190 },
    { from = "19:00", to = "20:30", covers = 360 },
    { from = "20:30", to = "21:15", covers = 120 },
]
"#;
const EXTRA_HAND: &str = r#"
[[roster]]
name = "helper"
from = "18:30"
to = "22:00"
duties = ["scrape", "soak"]
"#;
const RINSER: &str = r#"
[[roster]]
name = "rinser"
from = "17:00"
to = "23:00"
duties = ["pre-rinse"]
"#;
const RINSE: &str = "[pre_rinse]\nwets = 0.3\n";
const NOTHING_DRIES: &str = "[air]\ndrying_multiplier = 0\n";
const RIGHT_BELT: &str = "[[machine]]\nname = \"conveyor\"\nspeed = \"5.5 ft/min\"\n";
const FULL_WASH: &str = "[[machine]]\nname = \"conveyor\"\nwash_factor = 1\n";
/// Published tests of dried soil: a direction, for each is of one machine, soil and criterion. An hour is what they dried for.
const DRIED_AN_HOUR: &str = "Lee and Pascall, Journal of Food Engineering, 2007; NSF study, SIM meeting 2013, paper 25402 (abstracts): direction only";
const HOUR: &str = "[[backlog]]\nname = \"banquet\"\nage = \"60 min\"\n";
const FRESH: &str = "[[backlog]]\nname = \"banquet\"\nage = \"0 min\"\n";
const NO_LOOK: &str = "[inspect]\ncatches = 0\n";
const UNSOAKED: &str = "[[ware]]\nname = \"cutlery\"\nsoak = \"never\"\n";

/// Racks filled so full; glasses have a compartment each.
fn racks(fill: f64) -> String {
    ["peg", "basket", "open"]
        .map(|kind| format!("[[rack]]\nname = \"{kind}\"\nfill = {fill}\n"))
        .concat()
}

fn evening(changes: &[&str]) -> Played {
    play_changed("trade/evening.toml", &changes.concat(), REPLICATIONS)
}

fn pressed(changes: &[&str]) -> Played {
    play_changed("trade/pressed.toml", &changes.concat(), REPLICATIONS)
}

fn wait(played: &Played) -> Vec<f64> {
    played.column("wait_mean_min")
}

/// How often a hundred pieces come out of a machine dirty: each time one is caught, and when it is sent out.
fn dirty(played: &Played) -> Vec<f64> {
    let caught = played.column("rewashed_share");
    let sent_out = played.column("sent_out_soiled_share");
    let both = caught.iter().zip(&sent_out);
    both.map(|(caught, sent_out)| 100.0 * (caught / (1.0 - caught) + sent_out))
        .collect()
}

fn row(what: &str, difference: f64, within: Option<f64>) -> Row {
    let within = within.expect("more than one replication");
    Row {
        theirs: Theirs::Above(0.0),
        ..Row::is(what, difference, within, 0.0, PRACTICE)
    }
}

/// One is more than the other, pair by pair.
fn above(what: &str, more: &[f64], less: &[f64]) -> Row {
    let pairs = paired(more, less).expect("as many of both");
    row(what, pairs.mean_difference, pairs.half_width(LEVEL))
}

/// Cutlery waits in a busy evening. Soaked, it waits longer before its first wash, and is cleaner.
fn cutlery(water: &str) -> Vec<Row> {
    let soaked = &evening(&[BUSY, water]);
    let not = &evening(&[BUSY, water, UNSOAKED]);
    // By ware nothing is written pair by pair.
    let more = |what, measure, unit, more: &Played, less: &Played| {
        let figure = format!("by_ware/cutlery/{measure}");
        let apart = welch(more.figure(&figure), less.figure(&figure)).expect("replications");
        let within = apart.half_width(LEVEL).map(|within| unit * within);
        row(what, unit * apart.mean_difference, within)
    };
    let (again, sent_out) = ("rewashed_share", "sent_out_soiled_share");
    vec![
        more(
            "cutlery washed again: unsoaked less soaked, %",
            again,
            100.0,
            not,
            soaked,
        ),
        more(
            "cutlery sent out dirty: unsoaked less soaked, %",
            sent_out,
            100.0,
            not,
            soaked,
        ),
        more(
            "wait of cutlery: soaked less unsoaked, min",
            "wait_mean_min",
            1.0,
            soaked,
            not,
        ),
    ]
}

/// Passes of a mountain of dishes through the machine, replication by replication: their mean a dish, and how
/// many of a hundred dishes had three or more, which no output of the program has.
fn passes(changes: &[&str]) -> (Vec<f64>, Vec<f64>) {
    let file = Path::new("tests/outside/trade/mountain.toml");
    let loaded = scenario::load_changed(file, &changes.concat()).expect("a good file");
    let room = Room::of(&loaded.scenario);
    let mut service = Service::new(&room);
    let one = |replication| {
        service.play(1, replication);
        assert!(service.finished(), "{replication}");
        let dishes = service.pieces();
        let a_dish = |count: u32| f64::from(count) / dishes.len() as f64;
        let all = dishes.iter().map(|dish| u32::from(dish.washes)).sum();
        let three = dishes.iter().map(|dish| u32::from(dish.washes > 2)).sum();
        (a_dish(all), 100.0 * a_dish(three))
    };
    (0..REPLICATIONS).map(one).unzip()
}

/// Dishes of the mountain sent out dirty, of a hundred.
fn sent_out(changes: &[&str]) -> Vec<f64> {
    let played = play_changed("trade/mountain.toml", &changes.concat(), REPLICATIONS);
    let shares = played.column("sent_out_soiled_share");
    shares.iter().map(|share| 100.0 * share).collect()
}

/// A mountain dried on over night against the same mountain fresh.
fn mountain(air: &str) -> Vec<Row> {
    let (dried, dried_three) = passes(&[air]);
    let (fresh, fresh_three) = passes(&[air, FRESH]);
    let is = |what, values: &[f64], theirs| {
        let sample = Sample::of(values).expect("values");
        Row::is(what, sample.mean, half_width(sample), theirs, BY_HAND)
    };
    // Of a hundred dried on, sixty come out of any pass dirty and ninety of a hundred of those are caught.
    let again = 0.6 * 0.9;
    let once = sent_out(&[air, NO_LOOK]);
    vec![
        above("passes a dish: dried on less fresh", &dried, &fresh),
        above(
            "dishes of three passes or more: dried on less fresh, %",
            &dried_three,
            &fresh_three,
        ),
        is("passes a dish, dried on", &dried, 1.0 / (1.0 - again)),
        is(
            "dishes of three passes or more, dried on, %",
            &dried_three,
            100.0 * again * again,
        ),
        above(
            "dried on, sent out dirty: after one pass less after all, %",
            &once,
            &sent_out(&[air]),
        ),
    ]
}

/// Soil that has dried for an hour is harder to wash off than fresh soil, and what one wash leaves of it a second takes.
fn an_hour(air: &str) -> Vec<Row> {
    let once = |age| sent_out(&[air, age, NO_LOOK]);
    let (hour, fresh) = (once(HOUR), once(FRESH));
    let again = sent_out(&[air, HOUR, "[inspect]\ncatches = 1\n"]);
    let said = |row: Row| Row {
        source: DRIED_AN_HOUR.to_owned(),
        ..row
    };
    vec![
        said(above(
            "dirty after one wash: an hour old less fresh, %",
            &hour,
            &fresh,
        )),
        said(above(
            "an hour old: dirty after one wash less after washing again, %",
            &hour,
            &again,
        )),
    ]
}

/// What racks as rated spare beyond what taking away another cause spares: what comes out dirty without that
/// cause less what does without overloading.
fn causes() -> Vec<Row> {
    let (rated, quarter) = (&racks(1.0), &racks(1.25));
    let (heaped, flat) = (pressed(&[]), pressed(&[rated]));
    let beyond = |what, without: &[&str], rated: &Played| {
        above(what, &dirty(&pressed(without)), &dirty(rated))
    };
    let helped = pressed(&[rated, EXTRA_HAND]);
    let busy = pressed(&[rated, BUSY]);
    vec![
        above(
            "half over less rated: dirty of 100",
            &dirty(&heaped),
            &dirty(&flat),
        ),
        above(
            "half over less rated: wait, min",
            &wait(&heaped),
            &wait(&flat),
        ),
        beyond(
            "half over: rated racks spare more than the right belt, dirty of 100",
            &[RIGHT_BELT],
            &flat,
        ),
        beyond("half over: more than a full wash", &[FULL_WASH], &flat),
        beyond("half over: more than no drying", &[NOTHING_DRIES], &flat),
        beyond(
            "a quarter over: more than the right belt",
            &[quarter, RIGHT_BELT],
            &flat,
        ),
        beyond(
            "a quarter over: more than a full wash",
            &[quarter, FULL_WASH],
            &flat,
        ),
        beyond(
            "a quarter over, an extra hand: more than no drying",
            &[quarter, EXTRA_HAND, NOTHING_DRIES],
            &helped,
        ),
        Row {
            theirs: Theirs::Below(0.0),
            ..beyond(
                "a quarter over, a busy evening: more than no drying",
                &[quarter, BUSY, NOTHING_DRIES],
                &busy,
            )
        },
    ]
}

/// Overloading alone, where nothing dries: up to rated, how full a rack is makes no odds.
fn fullness() -> Vec<Row> {
    let filled = |fill| dirty(&evening(&[&racks(fill), NOTHING_DRIES]));
    let (part, rated, over) = (filled(0.7), filled(1.0), filled(1.25));
    vec![
        Row {
            theirs: Theirs::Is(0.0),
            ..above(
                "nothing dries, rated less part-full: dirty of 100",
                &rated,
                &part,
            )
        },
        above(
            "nothing dries, a quarter over less rated: dirty of 100",
            &over,
            &rated,
        ),
    ]
}

/// Ware that waits longer, and ware that is pre-rinsed by somebody who does nothing else.
fn waiting(air: &str, rinse: &str) -> Vec<Row> {
    let busy = evening(&[BUSY, air]);
    let helped = evening(&[BUSY, air, EXTRA_HAND]);
    let rinsed = dirty(&evening(&[BUSY, air, RINSER, rinse]));
    vec![
        above(
            "busy less busy with an extra hand: wait, min",
            &wait(&busy),
            &wait(&helped),
        ),
        above(
            "busy less busy with an extra hand: dirty of 100",
            &dirty(&busy),
            &dirty(&helped),
        ),
        above(
            "busy less busy and pre-rinsed: dirty of 100",
            &dirty(&busy),
            &rinsed,
        ),
    ]
}

static CUTLERY: LazyLock<Vec<Row>> = LazyLock::new(|| cutlery(""));
static MOUNTAIN: LazyLock<Vec<Row>> = LazyLock::new(|| mountain(""));
static AN_HOUR: LazyLock<Vec<Row>> = LazyLock::new(|| an_hour(""));
static CAUSES: LazyLock<Vec<Row>> = LazyLock::new(causes);
static FULLNESS: LazyLock<Vec<Row>> = LazyLock::new(fullness);
static WAITING: LazyLock<Vec<Row>> = LazyLock::new(|| waiting("", RINSE));

#[test]
fn cutlery_soaked_first_comes_out_cleaner() {
    holds(&CUTLERY);
}

#[test]
fn dried_on_ware_needs_several_passes() {
    holds(&MOUNTAIN);
}

#[test]
fn an_hour_of_drying_is_harder_to_wash_off() {
    holds(&AN_HOUR);
    assert_eq!(agree(&an_hour(NOTHING_DRIES)), [false, true]);
}

#[test]
fn overloading_costs_most() {
    holds(&CAUSES);
}

#[test]
fn only_an_overloaded_rack_is_dirtier() {
    holds(&FULLNESS);
}

#[test]
fn waiting_harms_and_pre_rinsing_helps() {
    holds(&WAITING);
}

/// Whether each row agrees, in a room where the facts must not come out.
fn agree(rows: &[Row]) -> Vec<bool> {
    rows.iter().map(Row::agrees).collect()
}

#[test]
fn water_that_loosens_nothing_cleans_no_cutlery() {
    let hard = "[[soil]]\nname = \"sauce\"\nsoak_time_constant = \"24 h\"\n";
    assert_eq!(agree(&cutlery(hard)), [false, false, true]);
}

#[test]
fn an_old_mountain_that_does_not_dry_is_a_fresh_one() {
    assert_eq!(
        agree(&mountain(NOTHING_DRIES)),
        [false, false, false, false, true]
    );
}

/// As many pieces in each rack, and racks made for as many.
#[test]
fn racks_rated_for_what_is_heaped_into_them_are_no_cause() {
    let made_for: String = [
        ("plate", 27),
        ("side plate", 30),
        ("cutlery", 165),
        ("gratin dish", 12),
    ]
    .map(|(ware, pieces)| format!("[[ware]]\nname = \"{ware}\"\nper_rack = {pieces}\n"))
    .concat();
    let rated = dirty(&pressed(&[&racks(1.0)]));
    for cure in [RIGHT_BELT, FULL_WASH, NOTHING_DRIES] {
        let cured = dirty(&pressed(&[&racks(1.0), &made_for, cure]));
        assert!(!above(cure, &cured, &rated).agrees());
    }
}

#[test]
fn waiting_that_dries_nothing_and_water_that_wets_nothing_do_nothing() {
    assert_eq!(agree(&waiting(NOTHING_DRIES, RINSE)), [true, false, false]);
    assert_eq!(
        agree(&waiting("", "[pre_rinse]\nwets = 0\n")),
        [true, true, false]
    );
}

#[test]
fn the_page() {
    let facts = [&CUTLERY, &MOUNTAIN, &AN_HOUR, &CAUSES, &FULLNESS, &WAITING];
    let rows: Vec<Row> = facts.iter().flat_map(|rows| rows.iter().cloned()).collect();
    on_the_page("trade", "± 99.9 %", &rows);
}
