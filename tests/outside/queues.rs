//! Queues and networks with known answers: rooms that reduce to them, played as a user's would be.
//!
//! Each answer lies in the 99.9 % Student interval of the simulated mean, and that interval is narrower
//! than 1 % of the answer either way. Beside every room stands a wrong one, nearly the same, which must
//! not give the same answer. Times are scaled so that an evening holds tens of thousands of service times
//! and its empty start hardly shows: answers in service times do not change.

use std::sync::OnceLock;

use super::ledger::{self, Row};
use super::played::{Played, half_width, play, play_changed};

/// A room, and what is known of it.
struct Room {
    file: &'static str,
    /// Enough for half-widths under 1 %.
    replications: u64,
    /// Changes that make it a wrong room: the first answer must not be its answer.
    wrong: &'static str,
    answers: &'static [Answer],
}

/// A figure with a known value.
struct Answer {
    what: &'static str,
    /// Where it stands in the program's JSON document.
    figure: &'static str,
    /// What one of the figure is in the unit of `value`.
    unit: f64,
    value: f64,
    source: &'static str,
}

const fn answer(
    what: &'static str,
    figure: &'static str,
    unit: f64,
    value: f64,
    source: &'static str,
) -> Answer {
    Answer {
        what,
        figure,
        unit,
        value,
        source,
    }
}

const WAITING: &str = "by_station/scrape/queue_mean";
const WAIT: &str = "by_station/scrape/queue_wait_mean_min";
/// Minutes in service times of 2 s.
const IN_TWO_SECONDS: f64 = 30.0;
/// Length of the evenings that never run out of work, s: to closing and the six minutes until they are given up.
const SATURATED_S: f64 = 63_360.0;
/// Racks of such an evening as a share of the rate of one server of 2 s.
const OF_RATE: f64 = 2.0 / SATURATED_S;

const EMERGENCY_ROOM: &str = "Hillier and Lieberman, Introduction to Operations Research, emergency room (from memory, recomputed)";
const ERLANG: &str = "Erlang's C formula, recomputed";
const POLLACZEK: &str = "Pollaczek-Khinchine formula, recomputed";
const FINITE: &str = "Gross and Harris, Fundamentals of Queueing Theory, inspection station (from memory, recomputed)";
const BIRTH_DEATH: &str = "birth and death equations of M/M/1/K, recomputed";
const BLOCKING: &str = "Hillier and Boling 1967, balanced exponential lines (values of the exact Markov chain; printed table from memory)";
const CLOSED: &str = "balanced closed network of M stations and N racks: N/(N + M - 1) (product form, Gordon and Newell 1967, from memory)";
const REPAIR: &str = "Gross and Harris, machine repair, 2 for 5 machines (from memory, recomputed)";
const COBHAM: &str = "Cobham 1954, classes served without interruption, recomputed";
const JACKSON: &str = "open network in product form (Jackson 1957, from memory), recomputed";
const BATCHES: &str = "batch arrivals M^X/M/1, sizes of the open dataset `tips` (Bryant and Smith 1995): L = rho (1 + E[X^2]/E[X])/(2 (1 - rho))";

#[rustfmt::skip]
const ROOMS: &[Room] = &[
    Room { file: "m-m-1.toml", replications: 400, wrong: "[scrape]\nbatch = 2", answers: &[
        answer("M/M/1: pieces waiting", WAITING, 1.0, 4.0 / 3.0, EMERGENCY_ROOM),
        answer("M/M/1: mean wait, service times", WAIT, IN_TWO_SECONDS, 2.0, EMERGENCY_ROOM),
        answer("M/M/1: 95th percentile of the time in the room, s", "measures/wait_p95_min", 60.0, 17.974_394, "the time in an M/M/1 queue is exponential: 6 s x ln 20"),
    ] },
    Room { file: "m-m-2.toml", replications: 400, wrong: "[scrape]\nper_unit = { mean = \"2 s\", cv = 0.8, distribution = \"gamma\" }", answers: &[
        answer("M/M/2: pieces waiting", WAITING, 1.0, 1.0 / 12.0, EMERGENCY_ROOM),
        answer("M/M/2: mean wait, service times", WAIT, IN_TWO_SECONDS, 0.125, EMERGENCY_ROOM),
    ] },
    Room { file: "m-m-3.toml", replications: 250, wrong: "[[roster]]\nname = \"scraper\"\npace = 1.03", answers: &[
        answer("M/M/3: pieces waiting", WAITING, 1.0, 8.0 / 9.0, "Gross and Harris, Fundamentals of Queueing Theory, clinic (from memory, recomputed)"),
        answer("M/M/3: mean wait, service times", WAIT, IN_TWO_SECONDS, 4.0 / 9.0, "the same"),
    ] },
    Room { file: "m-m-5.toml", replications: 300, wrong: "[[soiled]]\nname = \"pieces\"\nat_a_time = 2", answers: &[
        answer("M/M/5: pieces waiting", WAITING, 1.0, 2.216_450, ERLANG),
        answer("M/M/5: mean wait, service times", WAIT, IN_TWO_SECONDS, 0.554_113, ERLANG),
    ] },
    Room { file: "m-d-1.toml", replications: 200, wrong: "[scrape]\nper_unit = { mean = \"2 s\", cv = 0.4, distribution = \"uniform\" }", answers: &[
        answer("M/D/1: pieces waiting", WAITING, 1.0, 0.45, "a textbook's car wash, 6 cars an hour and 10 that could be washed: Lq = 0.45"),
    ] },
    Room { file: "m-g-1-gamma.toml", replications: 400, wrong: "[scrape]\nper_unit = { mean = \"2 s\", cv = 0.7, distribution = \"gamma\" }", answers: &[
        answer("M/G/1, gamma of cv 1/2: mean wait, service times", WAIT, IN_TWO_SECONDS, 2.5, POLLACZEK),
    ] },
    Room { file: "m-g-1-uniform.toml", replications: 450, wrong: "[scrape]\nper_unit = \"2 s\"", answers: &[
        answer("M/G/1, uniform: mean wait, service times", WAIT, IN_TWO_SECONDS, 8.0 / 3.0, POLLACZEK),
    ] },
    Room { file: "m-g-1-lognormal.toml", replications: 2200, wrong: "[scrape]\nper_unit = { mean = \"2 s\", cv = 1.2, distribution = \"lognormal\" }", answers: &[
        answer("M/G/1, lognormal of cv 3/2: mean wait, service times", WAIT, IN_TWO_SECONDS, 6.5, POLLACZEK),
    ] },
    Room { file: "racks-at-a-conveyor.toml", replications: 140, wrong: "[[rack]]\nname = \"rack\"\nfootprint = \"0.104 m\"", answers: &[
        answer("150 racks/h at a conveyor of 216: mean wait, s", "measures/wait_mean_min", 600.0, 18.939_394, "M/D/1, Pollaczek-Khinchine formula, recomputed"),
    ] },
    Room { file: "racks-at-a-busy-conveyor.toml", replications: 420, wrong: "[[machine]]\nname = \"conveyor\"\nspeed = \"3.75 m/min\"", answers: &[
        answer("racks at a conveyor, load 0.8: mean wait, headways", "measures/wait_mean_min", 36.0, 2.0, POLLACZEK),
        answer("the same: 95th percentile of the wait, headways", "measures/wait_p95_min", 36.0, 6.6203, "Erlang's series for M/D/1, recomputed to 60 digits"),
    ] },
    Room { file: "racks-at-two-hoods.toml", replications: 220, wrong: "[[machine]]\nname = \"left hood\"\nlane = 1000\n[[machine]]\nname = \"right hood\"\nlane = 1000", answers: &[
        answer("M/D/2, racks at two hoods: mean wait, cycles", "measures/wait_mean_min", IN_TWO_SECONDS, 0.903_284, "M/D/c by its embedded chain, recomputed"),
    ] },
    Room { file: "m-m-1-room-for-5.toml", replications: 60, wrong: "[pre_rinse]\ntable = 5", answers: &[
        answer("M/M/1/5: pieces waiting", "by_station/pre-rinse/queue_mean", 1.0, 1.139_383, BIRTH_DEATH),
        answer("M/M/1/5: share of the time with room", "by_station/scrape/busy_share", 1.0, 0.911_181, BIRTH_DEATH),
    ] },
    Room { file: "m-m-3-room-for-7.toml", replications: 40, wrong: "[pre_rinse]\nplaces = 2\ntable = 5", answers: &[
        answer("M/M/3/7: pieces waiting", "by_station/pre-rinse/queue_mean", 1.0, 3.0920, FINITE),
        answer("M/M/3/7: share of the time with room", "by_station/scrape/busy_share", 1.0, 0.495_18, FINITE),
    ] },
    Room { file: "two-stations-no-room.toml", replications: 25, wrong: "[[machine]]\nname = \"hood\"\nlane = 1", answers: &[
        answer("two stations, no room between: rate", "measures/racks", OF_RATE, 2.0 / 3.0, BLOCKING),
    ] },
    Room { file: "two-stations-room-for-2.toml", replications: 25, wrong: "[[machine]]\nname = \"hood\"\nlane = 3", answers: &[
        answer("two stations, room for 2: rate", "measures/racks", OF_RATE, 0.8, BLOCKING),
    ] },
    Room { file: "three-stations-no-room.toml", replications: 25, wrong: "[[machine]]\nname = \"hood\"\nlanding = 2", answers: &[
        answer("three stations, no room between: rate", "measures/racks", OF_RATE, 22.0 / 39.0, BLOCKING),
    ] },
    Room { file: "three-stations-room-for-1.toml", replications: 25, wrong: "[[machine]]\nname = \"hood\"\nlanding = 1", answers: &[
        answer("three stations, room for 1: rate", "measures/racks", OF_RATE, 0.6705, BLOCKING),
    ] },
    Room { file: "three-stations-room-for-4.toml", replications: 25, wrong: "[[machine]]\nname = \"hood\"\nlane = 5\nlanding = 6", answers: &[
        answer("three stations, room for 4: rate", "measures/racks", OF_RATE, 0.8075, BLOCKING),
    ] },
    Room { file: "four-racks-go-round.toml", replications: 25, wrong: "[[rack]]\nname = \"rack\"\nfleet = 5", answers: &[
        answer("four racks round three stations: rate", "measures/racks", OF_RATE, 4.0 / 6.0, CLOSED),
    ] },
    Room { file: "ten-racks-go-round.toml", replications: 25, wrong: "[[rack]]\nname = \"rack\"\nfleet = 9", answers: &[
        answer("ten racks round three stations: rate", "measures/racks", OF_RATE, 10.0 / 12.0, CLOSED),
    ] },
    Room { file: "repair.toml", replications: 720, wrong: "[unload]\nplaces = 1", answers: &[
        answer("M/M/2//5: machines waiting", "by_station/unload/queue_mean", 1.0, 0.011_274, REPAIR),
        answer("M/M/2//5: wait, repair times", "by_station/unload/queue_wait_mean_min", IN_TWO_SECONDS, 0.024_858, REPAIR),
        answer("M/M/2//5: share of the time each mends", "by_station/unload/busy_share", 1.0, 0.226_76, REPAIR),
        answer("M/M/2//5: machines running", "measures/racks", 20.0 / SATURATED_S, 4.535_21, REPAIR),
    ] },
    Room { file: "clearing-first.toml", replications: 700, wrong: "[[roster]]\nname = \"steward\"\nduties = [\"scrape\", \"clear-down\"]", answers: &[
        answer("two classes: wait of the first, service times", "by_station/clear-down/queue_wait_mean_min", IN_TWO_SECONDS, 8.0 / 7.0, COBHAM),
        answer("two classes: time in the room of the second, service times", "by_ware/pot/wait_mean_min", IN_TWO_SECONDS, 40.0 / 7.0 + 1.0, COBHAM),
    ] },
    Room { file: "scraping-first.toml", replications: 980, wrong: "[[roster]]\nname = \"steward\"\nduties = [\"clear-down\", \"scrape\"]", answers: &[
        answer("the other way round: wait of the second, service times", "by_station/clear-down/queue_wait_mean_min", IN_TWO_SECONDS, 8.0, COBHAM),
        answer("the other way round: time in the room of the first, service times", "by_ware/pot/wait_mean_min", IN_TWO_SECONDS, 2.6, COBHAM),
    ] },
    Room { file: "dirty-go-round.toml", replications: 740, wrong: "[inspect]\ncatches = 0.45", answers: &[
        answer("rework loop: pieces waiting to be scraped", WAITING, 1.0, 20.0 / 7.0 - 20.0 / 27.0, JACKSON),
        answer("rework loop: racks waiting to be unloaded", "by_station/unload/queue_mean", 1.0, 40.0 / 11.0 - 40.0 / 51.0, JACKSON),
        answer("rework loop: share sent out soiled, p (1 - c)/(1 - p c)", "measures/sent_out_soiled_share", 1.0, 1.0 / 9.0, "geometric number of washes, p 0.2, c 0.5"),
    ] },
    Room { file: "parties.toml", replications: 690, wrong: "[guests]\nparty_sizes = [{ covers = 2, weight = 43 }, { covers = 3, weight = 57 }]", answers: &[
        answer("parties as batches: pieces in the room", "measures/soiled_waiting_mean", 1.0, 4.573_631, BATCHES),
        answer("parties as batches: pieces waiting", WAITING, 1.0, 3.873_631, BATCHES),
    ] },
];

/// Guests in the house at a time of the clock: M_t/G/infinity, Poisson with a known mean.
struct House {
    file: &'static str,
    /// A wrong one is played a fifth as often: its mean is 6 in 100 beside.
    replications: u64,
    wrong: &'static str,
    /// Settings owned: those away are the guests in the house.
    owned: f64,
    means: &'static [(&'static str, f64)],
    source: &'static str,
}

/// Of a wrong room: a quarter of those of the right one, but an interval of so few is wide whatever the room.
const FEWEST: u64 = 20;
const SETTINGS: &str = "clean_stock:setting";
const DINERS: &str = "a textbook's restaurant: five diners a minute from noon, 40 min each, Poisson with mean 200 (1 - e^-3) at two";
const WAVES: &str =
    "Eick, Massey and Whitt 1993, sinusoidal arrivals (formula from memory, recomputed two ways)";

#[rustfmt::skip]
/// The lunch is the first: its spread is known too.
const HOUSES: [House; 3] = [
    House { file: "lunch.toml", replications: 5_000, wrong: "[guests]\ndwell = \"40 min\"", owned: 230.0,
        means: &[("14:00", 190.043)], source: DINERS },
    House { file: "waves-exponential.toml", replications: 2_000, wrong: "[guests]\ndwell = \"60 min\"", owned: 200.0,
        means: &[("17:00", 103.012), ("16:00", 90.000), ("18:00", 113.254), ("20:00", 98.968)], source: WAVES },
    House { file: "waves-fixed.toml", replications: 2_000, wrong: "[guests]\ndwell = { mean = \"60 min\", cv = 1, distribution = \"exponential\" }", owned: 200.0,
        means: &[("17:00", 109.194), ("16:00", 90.806), ("18:00", 119.129)], source: WAVES },
];

/// Every answer, and the sum that a change of order must not change.
fn rows() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| {
        let mut rows: Vec<Row> = ROOMS.iter().flat_map(of_room).collect();
        rows.extend(conserved(&rows));
        let houses =
            HOUSES.map(|house| play(&format!("queues/{}", house.file), house.replications));
        let each = HOUSES.iter().zip(&houses);
        rows.extend(each.flat_map(|(house, played)| of_house(house, played)));
        rows.extend(spread_of_the_lunch(&houses[0]));
        rows
    })
}

fn of_room(room: &Room) -> Vec<Row> {
    let played = play(&format!("queues/{}", room.file), room.replications);
    let row = |answer: &Answer| compare(answer, played.figure(answer.figure));
    room.answers.iter().map(row).collect()
}

fn compare(answer: &Answer, figure: scullery::statistics::interval::Sample) -> Row {
    let ours = figure.mean * answer.unit;
    let within = half_width(figure) * answer.unit;
    Row::is(answer.what, ours, within, answer.value, answer.source)
}

/// Whoever is served first, the waits weighted by their shares of the load add up to the same: 3.2.
fn conserved(rows: &[Row]) -> Vec<Row> {
    let find = |what: &str| {
        let found = rows.iter().find(|row| row.what.starts_with(what));
        found.expect("a row of the two classes")
    };
    let sum = |what: &str, second: &Row, first: &Row| {
        let ours = 0.3 * second.ours + 0.5 * (first.ours - 1.0);
        let within = 0.3 * second.within + 0.5 * first.within;
        Row::is(
            what,
            ours,
            within,
            3.2,
            "conservation law (Kleinrock 1965, from memory)",
        )
    };
    vec![
        sum(
            "two classes: waits weighted by load",
            find("two classes: wait of the first"),
            find("two classes: time in the room of the second"),
        ),
        sum(
            "the other way round: waits weighted by load",
            find("the other way round: wait of the second"),
            find("the other way round: time in the room of the first"),
        ),
    ]
}

/// The interval is that of the mean of Poisson numbers, which these are.
fn of_house(house: &House, played: &Played) -> Vec<Row> {
    let title = house.file.trim_end_matches(".toml");
    let row = |&(clock, mean): &(&str, f64)| {
        let ours = house.owned - played.at(SETTINGS, clock)[0];
        let what = format!("guests in the house, {title}, at {clock}");
        Row::is(
            what,
            ours,
            poisson_half_width(mean, house.replications),
            mean,
            house.source,
        )
    };
    house.means.iter().map(row).collect()
}

fn poisson_half_width(mean: f64, replications: u64) -> f64 {
    let z = scullery::statistics::interval::normal(0.9995).expect("a probability");
    z * (mean / replications as f64).sqrt()
}

/// The number at two is Poisson: its deciles, recomputed, are 172 and 208. In 5,000 evenings the sample's
/// may lie one beside.
fn spread_of_the_lunch(played: &Played) -> Vec<Row> {
    let [_, p10, _, p90] = played.at(SETTINGS, "14:00");
    let row = |what: &str, ours, theirs| Row::is(what, ours, 1.0, theirs, DINERS);
    vec![
        row(
            "guests in the house, lunch, one evening in ten has fewer than",
            230.0 - p90,
            172.0,
        ),
        row(
            "guests in the house, lunch, one evening in ten has more than",
            230.0 - p10,
            208.0,
        ),
    ]
}

#[test]
fn known_answers_are_found() {
    ledger::holds(rows());
}

#[test]
fn intervals_are_narrow() {
    for row in rows() {
        let ledger::Theirs::Is(theirs) = row.theirs else {
            panic!("{row:?}")
        };
        assert!(row.within < 0.01 * theirs, "{row:?}");
    }
}

#[test]
fn a_wrong_room_is_found_out() {
    for room in ROOMS {
        let file = format!("queues/{}", room.file);
        let evenings = (room.replications / 4).max(FEWEST);
        let played = play_changed(&file, room.wrong, evenings);
        let first = &room.answers[0];
        let row = compare(first, played.figure(first.figure));
        assert!(!row.agrees(), "{}: {row:?}", room.file);
    }
    for house in HOUSES {
        let file = format!("queues/{}", house.file);
        let evenings = house.replications / 5;
        let played = play_changed(&file, house.wrong, evenings);
        let (clock, mean) = house.means[0];
        let ours = house.owned - played.at(SETTINGS, clock)[0];
        let row = Row::is(
            house.file,
            ours,
            poisson_half_width(mean, evenings),
            mean,
            "",
        );
        assert!(!row.agrees(), "{}: {row:?}", house.file);
    }
}

#[test]
fn the_page() {
    ledger::on_the_page("queues", "± 99.9 %", rows());
}
