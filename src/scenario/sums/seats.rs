//! Parties and seats that cannot be: a party larger than the house, and what comes outside the service.

use super::{Clash, Sums};
use crate::scenario::model::{Booking, Guests};
use crate::scenario::units::clock_text;

/// Reports what is impossible about booked parties and seats.
pub fn check(sums: &mut Sums<'_>) {
    let scenario = sums.scenario;
    for party in &scenario.party {
        booked(sums, party);
    }
    let Some(guests) = &scenario.guests else {
        return;
    };
    match guests.seats {
        Some(seats) => enough(sums, guests, seats),
        None => waits_for_nothing(sums, guests),
    }
}

fn path(party: &Booking, key: &str) -> String {
    format!("party[{}].{key}", party.name)
}

fn booked(sums: &mut Sums<'_>, party: &Booking) {
    let service = &sums.scenario.service;
    let (opens_s, closes_s) = (service.opens_s, service.closes_s);
    if sums.scenario.guests.is_none() && !sums.is_bad("guests") {
        let title = format!("\"{}\" comes to a room without guests", party.name);
        let clash = Clash::new(title, path(party, "name"), "there is no [guests]");
        sums.wrong(clash.help("add [guests], which says how guests are served, and a [[menu]]"));
    }
    if closes_s > opens_s && !(opens_s..=closes_s).contains(&party.at_s) {
        let hours = format!("from {} to {}", clock_text(opens_s), clock_text(closes_s));
        let title = format!("\"{}\" sits down outside the service", party.name);
        sums.wrong(
            Clash::new(title, path(party, "at"), "nobody is served then")
                .with("service.opens", "opening")
                .help(format!("the service is {hours}; give a time in between")),
        );
    }
}

fn waits_for_nothing(sums: &mut Sums<'_>, guests: &Guests) {
    if guests.seat_wait_at_most_s.is_some() && !sums.is_bad("guests.seats") {
        let clash = Clash::new(
            "guests wait for seats that are not counted",
            "guests.seat_wait_at_most",
            "everybody sits down at once",
        );
        sums.wrong(clash.help("add `seats`, the seats of the house, or leave this out"));
    }
}

/// Whoever comes can sit at all.
fn enough(sums: &mut Sums<'_>, guests: &Guests, seats: u32) {
    let sizes = guests.party_sizes.iter().enumerate();
    let sizes = sizes.filter(|(_, size)| size.weight > 0.0 && size.covers > seats);
    for (at, size) in sizes {
        let path = format!("guests.party_sizes[{at}].covers");
        too_large(sums, path, size.covers, seats);
    }
    if let Some(party) = guests.log.iter().max_by_key(|party| party.covers)
        && party.covers > seats
    {
        too_large(sums, "guests.log".to_string(), party.covers, seats);
    }
    for (at, seating) in guests.seating.iter().enumerate() {
        if seating.from_s == seating.to_s && seating.covers > f64::from(seats) {
            let path = format!("guests.seating[{at}].covers");
            let title = "more guests sit down at once than there are seats";
            let label = format!("{} at once", seating.covers);
            sums.wrong(
                Clash::new(title, path, label)
                    .with("guests.seats", format!("{seats} seats"))
                    .help("let them come in two seatings, or give `to` a later time"),
            );
        }
    }
    for party in &sums.scenario.party {
        if party.covers > seats {
            too_large(sums, path(party, "covers"), party.covers, seats);
        } else {
            together(sums, party, seats);
        }
    }
}

fn too_large(sums: &mut Sums<'_>, path: String, covers: u32, seats: u32) {
    let title = format!("a party of {covers} is larger than the house");
    sums.wrong(
        Clash::new(title, path, format!("{covers} sit down together"))
            .with("guests.seats", format!("{seats} seats"))
            .help(format!(
                "give at least {covers} seats, or let them come as smaller parties"
            )),
    );
}

/// Booked parties that sit when this one comes, by their mean times at the table.
fn together(sums: &mut Sums<'_>, party: &Booking, seats: u32) {
    let parties = sums.scenario.party.iter();
    let there = parties.filter(|other| {
        let until_s = other.at_s + other.stays.mean_s;
        other.at_s <= party.at_s && party.at_s < until_s
    });
    let all: Vec<&Booking> = there.collect();
    let covers: u64 = all.iter().map(|other| u64::from(other.covers)).sum();
    if covers <= u64::from(seats) {
        return;
    }
    let title = format!(
        "the parties that sit at {} are larger than the house",
        clock_text(party.at_s)
    );
    let mut clash = Clash::new(
        title,
        path(party, "covers"),
        format!("{covers} in all, with this one"),
    )
    .with("guests.seats", format!("{seats} seats"));
    for other in all.into_iter().filter(|other| other.name != party.name) {
        clash = clash.with(path(other, "covers"), "they still sit");
    }
    sums.wrong(clash.help(format!(
        "give at least {covers} seats, or book one of them later"
    )));
}
