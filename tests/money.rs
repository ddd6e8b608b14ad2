//! What evenings cost, worked out by hand to the cent.
//!
//! Noon is the start. People with nothing to do are paid like all others, so most rooms here are empty
//! ones: what matters is when somebody comes, goes and breaks.

mod common;

use common::*;
use scullery::room::money::CostPart;
use scullery::scenario::model::*;
use scullery::service::measure::{CostMeasure, Measure, OperatorMeasure};
use scullery::service::outcome::Outcome;

const MINUTE: f64 = 60.0;

/// To the cent, and far closer: what is compared are sums of a few products.
fn money(value: Option<f64>, by_hand: f64) {
    let value = value.expect("a cost");
    assert!((value - by_hand).abs() < 1e-9, "{value}, by hand {by_hand}");
}

fn of_part(outcome: &Outcome, part: CostPart, measure: CostMeasure) -> Option<f64> {
    outcome.costs[part as usize][measure as usize]
}

fn of_operator(outcome: &Outcome, operator: usize) -> Option<f64> {
    outcome.operators[operator][OperatorMeasure::Cost as usize]
}

/// Somebody with a shift, min after noon.
fn shift(name: &str, from_min: f64, to_min: f64, stays: bool, wage: Option<f64>) -> RosterRow {
    RosterRow {
        from_s: NOON + from_min * MINUTE,
        to_s: NOON + to_min * MINUTE,
        stays,
        wage_per_h: wage,
        ..person(name, &[Duty::Scrape])
    }
}

/// A lot of 30 pieces at 13:55, scraped one after the other, 60 s each: the last is done at 14:25.
fn late_lot() -> Scenario {
    let mut room = empty();
    room.ware = vec![ware("plate", "peg", 1)];
    room.soiled_log = Some(logged("plate", &[(115.0 * MINUTE, 30)]));
    room.scrape = Some(bench(1, 60.0, 1));
    room.prices = Some(labour_at(12.0));
    room
}

/// Closing is at 14:00, the last plate is scraped at 14:25.
///
/// | | there | of it after the shift | an hour | cost |
/// |---|---|---|---|---|
/// | stays, break 13:00 to 13:15 | 12:00 to 14:25, 145 min | 25 min | 12 | 120/60 × 12 + 25/60 × 18 = 31.50 |
/// | goes at 13:30 | 12:00 to 13:30, 90 min | 0 | 9.60 | 90/60 × 9.60 = 14.40 |
/// | comes at 13:00, shift to 15:00 | 13:00 to 14:25, 85 min | 0 | 12 | 85/60 × 12 = 17.00 |
#[test]
fn a_crew_with_overtime_and_a_break() {
    let mut room = late_lot();
    room.roster = vec![
        RosterRow {
            breaks: vec![Break {
                from_s: NOON + 60.0 * MINUTE,
                to_s: NOON + 75.0 * MINUTE,
            }],
            ..shift("stays", 0.0, 120.0, true, None)
        },
        shift("goes", 0.0, 90.0, false, Some(9.6)),
        shift("late", 60.0, 180.0, true, None),
    ];
    let outcome = outcome(&room);
    assert!(outcome.finished);
    assert_eq!(outcome.get(Measure::Overtime), Some(25.0));
    for (operator, by_hand) in [31.5, 14.4, 17.0].into_iter().enumerate() {
        money(of_operator(&outcome, operator), by_hand);
    }
    money(outcome.get(Measure::Cost), 62.9);
    money(of_part(&outcome, CostPart::Labour, CostMeasure::Cost), 62.9);
    money(of_part(&outcome, CostPart::Labour, CostMeasure::Share), 1.0);
}

/// A unit of work of 20 min taken up at 13:25 is not broken off at the end of the shift, 13:30.
#[test]
fn work_in_hand_at_the_end_of_a_shift_is_overtime() {
    let mut room = empty();
    room.ware = vec![ware("plate", "peg", 1)];
    room.soiled_log = Some(logged("plate", &[(85.0 * MINUTE, 1)]));
    room.scrape = Some(bench(1, 20.0 * MINUTE, 1));
    room.prices = Some(labour_at(12.0));
    room.roster = vec![shift("goes", 0.0, 90.0, false, None)];
    // 90 min at 12 an hour, 15 min at 18.
    money(outcome(&room).get(Measure::Cost), 18.0 + 4.5);
    let mut tame = room.clone();
    tame.prices.as_mut().expect("prices").overtime_factor = 0.0;
    money(outcome(&tame).get(Measure::Cost), 18.0);
}

/// Nobody scrapes, so the evening is given up 6 h after closing, and whoever stays is paid till then.
#[test]
fn an_evening_given_up_costs_what_it_cost_until_then() {
    let mut room = late_lot();
    room.roster = vec![RosterRow {
        duties: vec![always(Duty::Unload)],
        ..shift("stays", 0.0, 120.0, true, None)
    }];
    let outcome = outcome(&room);
    assert!(!outcome.finished);
    money(outcome.get(Measure::Cost), 2.0 * 12.0 + 6.0 * 18.0);
}

/// Four covers and two racks: 2 h at 12 are 24, so 6 a cover and 12 a rack.
#[test]
fn a_cover_and_a_rack_have_their_part() {
    let mut room = empty();
    room.guests = Some(parties(Style::Table, &[(600.0, 4, 3_000.0)]));
    room.menu = vec![course("plate", 1.0, 0.1, 0.8)];
    room.ware = vec![ware("plate", "peg", 2)];
    room.rack = vec![rack("peg", 2)];
    room.loading = Some(loading(1, 1.0));
    room.machine = vec![conveyor(2, 2, 1.0)];
    room.unload = Some(unload(1, 1.0));
    room.prices = Some(labour_at(12.0));
    room.roster = vec![person("all", &[Duty::Load, Duty::Unload])];
    let outcome = outcome(&room);
    assert_eq!(outcome.get(Measure::Racks), Some(2.0));
    money(outcome.get(Measure::CostPerCover), 6.0);
    money(outcome.get(Measure::CostPerRack), 12.0);
    money(
        of_part(&outcome, CostPart::Labour, CostMeasure::CostPerCover),
        6.0,
    );
    money(
        of_part(&outcome, CostPart::Labour, CostMeasure::CostPerRack),
        12.0,
    );
}

fn has_no_cost(outcome: &Outcome) -> bool {
    let whole = [Measure::Cost, Measure::CostPerCover, Measure::CostPerRack];
    let whole = whole.iter().all(|measure| outcome.get(*measure).is_none());
    whole && outcome.costs.iter().flatten().all(Option::is_none)
}

#[test]
fn without_prices_nothing_costs_anything() {
    let mut room = late_lot();
    room.roster = vec![shift("paid", 0.0, 120.0, true, Some(20.0))];
    room.prices = None;
    let outcome = outcome(&room);
    assert!(has_no_cost(&outcome));
    assert_eq!(
        of_operator(&outcome, 0),
        None,
        "a wage counts with [prices] only"
    );
}

/// Water has a price here and nobody measures it; labour has none.
#[test]
fn a_part_without_a_quantity_or_a_price_does_not_exist() {
    let mut room = late_lot();
    room.roster = vec![person("scraper", &[Duty::Scrape])];
    let mut prices = labour_at(12.0);
    (prices.labour_per_h, prices.water_per_m3) = (None, Some(3.0));
    room.prices = Some(prices);
    assert!(has_no_cost(&outcome(&room)));
    let mut nobody = empty();
    nobody.prices = Some(labour_at(12.0));
    assert!(
        has_no_cost(&outcome(&nobody)),
        "no crew, no labour, never 0"
    );
}

/// An hour of one of two has no price: the labour of both is not known.
#[test]
fn labour_is_that_of_the_whole_crew() {
    let mut room = late_lot();
    room.prices.as_mut().expect("prices").labour_per_h = None;
    room.roster = vec![
        shift("paid", 0.0, 120.0, true, Some(12.0)),
        shift("unpaid", 0.0, 120.0, true, None),
    ];
    let outcome = outcome(&room);
    assert!(has_no_cost(&outcome));
    assert!(of_operator(&outcome, 0).is_some() && of_operator(&outcome, 1).is_none());
}

/// Where there are no guests there are no covers to share the cost, and without a machine no racks.
#[test]
fn nothing_is_shared_among_covers_and_racks_that_are_not_there() {
    let mut room = late_lot();
    room.roster = vec![person("scraper", &[Duty::Scrape])];
    let outcome = outcome(&room);
    money(outcome.get(Measure::Cost), 2.0 * 12.0 + 25.0 / 60.0 * 18.0);
    assert_eq!(outcome.get(Measure::CostPerCover), None);
    assert_eq!(outcome.get(Measure::CostPerRack), None);
}

/// All other measures have the same bits with prices and without.
#[test]
fn prices_change_no_other_measure() {
    let mut with = late_lot();
    with.roster = vec![shift("scraper", 0.0, 100.0, true, Some(11.0))];
    let mut without = with.clone();
    without.prices = None;
    let (mut with, without) = (outcome(&with), outcome(&without));
    assert!(!has_no_cost(&with));
    for measure in [Measure::Cost, Measure::CostPerCover, Measure::CostPerRack] {
        with.measures[measure as usize] = None;
    }
    with.costs = without.costs;
    for values in &mut with.operators {
        values[OperatorMeasure::Cost as usize] = None;
    }
    assert_eq!(with, without);
}
