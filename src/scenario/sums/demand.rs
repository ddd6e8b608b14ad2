//! Hours, guests and soiled ware that cannot be.

use super::{Clash, Sums, at_work, seats};
use crate::scenario::model::{Guests, Scenario};
use crate::scenario::units::clock_text;

/// More pieces than any dish room sees in one service.
const MAX_PIECES: f64 = 200_000.0;

/// Reports what is impossible about the demand.
pub fn check(sums: &mut Sums<'_>) {
    hours(sums);
    if let Some(guests) = &sums.scenario.guests {
        which_guests(sums, guests);
        seating(sums, guests);
    }
    seats::check(sums);
    menu(sums);
    soiled(sums);
    deliveries(sums);
    amount(sums);
}

fn hours(sums: &mut Sums<'_>) {
    let hours = &sums.scenario.service;
    if hours.closes_s > hours.opens_s {
        return;
    }
    let same = hours.closes_s == hours.opens_s;
    let title = if same {
        "the service closes when it opens"
    } else {
        "the service closes before it opens"
    };
    sums.wrong(
        Clash::new(title, "service.closes", "closing")
            .with("service.opens", "opening")
            .help(
                "a service lasts at most 18 h; one that ends after midnight is written like 01:30",
            ),
    );
}

fn which_guests(sums: &mut Sums<'_>, guests: &Guests) {
    if sums.is_bad("guests.log") || sums.is_bad_inside("guests.seating") {
        return;
    }
    let clash = match (guests.seating.is_empty(), guests.log.is_empty()) {
        (true, true) if !sums.scenario.party.is_empty() => return,
        (true, true) => Clash::new(
            "guests come from nowhere",
            "guests",
            "no seating, no log and no [[party]]",
        )
        .help("give `seating`, the expected covers by interval, or `log`, a file from the till"),
        (false, false) => Clash::new("guests come twice", "guests.log", "a log")
            .with("guests.seating", "and a curve")
            .help("keep one of them; a variant takes the curve away with `seating = []`"),
        _ => return sizes(sums, guests),
    };
    sums.wrong(clash);
}

fn sizes(sums: &mut Sums<'_>, guests: &Guests) {
    if guests.seating.is_empty() {
        return;
    }
    if guests.party_sizes.is_empty() {
        let clash = Clash::new(
            "no party sizes",
            "guests.party_sizes",
            "needed with a seating curve",
        )
        .help("add `party_sizes = [{ covers = 2, weight = 1 }]`");
        return sums.wrong(clash);
    }
    let total: f64 = guests.party_sizes.iter().map(|size| size.weight).sum();
    if total <= 0.0 && !sums.is_bad_inside("guests.party_sizes") {
        let clash = Clash::new(
            "all weights are 0",
            "guests.party_sizes",
            "no size ever comes",
        )
        .help("give at least one size a weight above 0");
        sums.wrong(clash);
    }
}

fn seating(sums: &mut Sums<'_>, guests: &Guests) {
    let (opens_s, closes_s) = (
        sums.scenario.service.opens_s,
        sums.scenario.service.closes_s,
    );
    for (at, row) in guests.seating.iter().enumerate() {
        let path = |key: &str| format!("guests.seating[{at}].{key}");
        if row.to_s < row.from_s {
            sums.wrong(
                Clash::new("a seating ends before it starts", path("to"), "end")
                    .with(path("from"), "start")
                    .help("let `to` be at or after `from`"),
            );
            continue;
        }
        if closes_s <= opens_s {
            continue;
        }
        let hours = format!("from {} to {}", clock_text(opens_s), clock_text(closes_s));
        if row.from_s < opens_s {
            sums.wrong(
                Clash::new(
                    "guests are seated before the opening",
                    path("from"),
                    "seated from",
                )
                .with("service.opens", "opening")
                .help(format!("guests are seated during the service, {hours}")),
            );
        }
        if row.to_s > closes_s {
            sums.wrong(
                Clash::new(
                    "guests are seated after closing",
                    path("to"),
                    "seated until",
                )
                .with("service.closes", "closing")
                .help(format!("guests are seated during the service, {hours}")),
            );
        }
    }
}

fn menu(sums: &mut Sums<'_>) {
    let scenario = sums.scenario;
    if scenario.guests.is_some() && scenario.menu.is_empty() {
        sums.wrong(
            Clash::new("guests use no ware", "guests", "but there is no menu")
                .with("menu", "")
                .help("add [[menu]] rows that say which ware each cover uses"),
        );
    }
    for row in &scenario.menu {
        let path = |key: &str| format!("menu[{}].{key}", row.name);
        if row.laid >= row.cleared {
            sums.wrong(
                Clash::new(
                    format!("\"{}\" is cleared before it is laid", row.name),
                    path("cleared"),
                    "cleared",
                )
                .with(path("laid"), "laid")
                .help("both are shares of the time at the table; let `cleared` be above `laid`"),
            );
        }
    }
}

fn soiled(sums: &mut Sums<'_>) {
    for row in &sums.scenario.soiled {
        let path = |key: &str| format!("soiled[{}].{key}", row.name);
        if row.from_s >= row.to_s {
            sums.wrong(
                Clash::new(format!("\"{}\" ends before it starts", row.name), path("to"), "end")
                    .with(path("from"), "start")
                    .help("let `to` be after `from`; both lie between 6 h before the opening and 18 h after it"),
            );
        }
    }
}

fn deliveries(sums: &mut Sums<'_>) {
    for row in &sums.scenario.delivery {
        let path = |key: &str| format!("delivery[{}].{key}", row.name);
        at_work(sums, row.at_s, &path("at"), &row.name);
        let mut wares = sums.scenario.ware.iter();
        if wares.any(|ware| ware.name == row.ware && ware.owned.is_none()) {
            let title = format!("\"{}\" brings ware that never runs out", row.name);
            sums.wrong(
                Clash::new(title, path("ware"), "there is always enough of it")
                    .with(format!("ware[{}].name", row.ware), "it has no `owned`")
                    .help(format!(
                        "say how much there is: `owned` for \"{}\"",
                        row.ware
                    )),
            );
        }
    }
}

fn amount(sums: &mut Sums<'_>) {
    let parts = [
        "guests",
        "party",
        "menu",
        "soiled",
        "soiled_log",
        "backlog",
        "delivery",
    ];
    if parts.iter().any(|part| sums.is_bad_inside(part)) {
        return;
    }
    let scenario = sums.scenario;
    let pieces = expected_pieces(scenario);
    let brought = brought(scenario);
    let all = pieces + brought;
    if all > MAX_PIECES {
        let largest = if brought > pieces {
            "delivery"
        } else if expected_covers(scenario) > 0.0 {
            "guests"
        } else {
            "soiled"
        };
        let title = format!("{all:.0} pieces are expected in one service");
        let clash = Clash::new(title, largest, "most of them from here").help(format!(
            "at most {MAX_PIECES} pieces; look for a number with too many digits"
        ));
        sums.wrong(clash);
    }
    let waits_for_menu = scenario.guests.is_some() && scenario.menu.is_empty();
    let no_guests_yet = scenario
        .guests
        .as_ref()
        .is_some_and(|g| g.seating.is_empty() && g.log.is_empty() && scenario.party.is_empty());
    if pieces <= 0.0 && !waits_for_menu && !no_guests_yet {
        let clash = Clash::new("there is nothing to wash", "title", "in this scenario")
            .help("add [guests] with a [[menu]], or [[soiled]] ware, or a [[backlog]]");
        sums.wrong(clash);
    }
}

/// Expected covers of the service.
fn expected_covers(scenario: &Scenario) -> f64 {
    scenario.guests.as_ref().map_or(0.0, |guests| {
        let seated: f64 = guests.seating.iter().map(|row| row.covers).sum();
        let logged: f64 = guests.log.iter().map(|party| f64::from(party.covers)).sum();
        let booked = scenario.party.iter().map(|party| f64::from(party.covers));
        seated + logged + booked.sum::<f64>()
    })
}

/// Expected pieces of the service.
fn expected_pieces(scenario: &Scenario) -> f64 {
    let per_cover: f64 = scenario.menu.iter().map(|row| row.per_cover).sum();
    let soiled: f64 = scenario.soiled.iter().map(|row| row.pieces).sum();
    let rows = scenario.soiled_log.iter().flat_map(|log| &log.rows);
    let logged: f64 = rows.map(|row| f64::from(row.pieces)).sum();
    let backlog: f64 = scenario
        .backlog
        .iter()
        .map(|row| f64::from(row.pieces))
        .sum();
    expected_covers(scenario) * per_cover + soiled + logged + backlog
}

/// Pieces that are brought clean.
fn brought(scenario: &Scenario) -> f64 {
    let rows = scenario.delivery.iter();
    rows.map(|row| f64::from(row.pieces)).sum()
}
