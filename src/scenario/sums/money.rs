//! Wages that only some have: the cost of the crew would leave out the others. Names of money that fit no table.

use super::{Clash, Sums, names};
use crate::scenario::model::RosterRow;

/// Reports what is impossible about money.
pub fn check(sums: &mut Sums<'_>) {
    let scenario = sums.scenario;
    let Some(prices) = &scenario.prices else {
        return;
    };
    names::check(
        sums,
        "prices.currency",
        prices.currency.as_deref(),
        "\"crowns\"",
    );
    if prices.labour_per_h.is_some() || sums.is_bad("prices.labour") {
        return;
    }
    let there = || scenario.roster.iter().filter(|row| row.count > 0);
    let Some(paid) = there().find(|row| row.wage_per_h.is_some()) else {
        return;
    };
    for row in there().filter(|row| row.wage_per_h.is_none()) {
        unpaid(sums, row, paid);
    }
}

fn unpaid(sums: &mut Sums<'_>, row: &RosterRow, paid: &RosterRow) {
    let wage = format!("roster[{}].wage", paid.name);
    let title = format!("nothing says what an hour of \"{}\" costs", row.name);
    sums.wrong(
        Clash::new(title, format!("roster[{}]", row.name), "no wage")
            .with(wage, "others have one")
            .help("give this row a `wage`, or give `labour` in [prices] for all who have none"),
    );
}
