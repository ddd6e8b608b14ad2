//! Guests, seen from the dish room: a lot that is soiled waits on the tables, or is on its way.

use super::common::Common;
use super::crew::Crew;
use super::diary::Happening;
use super::drop_off::DropOff;
use super::events::Event;
use super::index::LotId;
use super::line::Line;
use super::loading::Racking;
use super::streams::Purpose;
use crate::scenario::model::Style;

/// A lot is soiled as planned, unless it ran short and is late.
pub(super) fn soiled_in_time(
    common: &mut Common<'_>,
    tables: &mut Line,
    (drop_off, racking): (&mut DropOff, &mut Racking),
    crew: &Crew,
    lot: LotId,
) {
    if common.flow.lots[lot].short == 0 {
        soiled(common, tables, (drop_off, racking), crew, lot);
    }
}

/// A lot is soiled: its drying clock starts, on the table.
pub(super) fn soiled(
    common: &mut Common<'_>,
    tables: &mut Line,
    (drop_off, racking): (&mut DropOff, &mut Racking),
    crew: &Crew,
    lot: LotId,
) {
    let (now, room) = (common.now, common.room);
    common.flow.soil(lot, now, &room.dries);
    let of = &common.flow.lots[lot];
    let (ware, pieces, key, departs) = (of.ware, of.count, of.key, of.departs.max(now));
    if common.flow.lots[lot].by_guests {
        // Those who waited for ware leave later than they had meant to.
        common.tally.guest_leaves(departs);
    }
    common.note(Happening::Soiled { ware, pieces });
    let delivered = Event::Delivered(lot);
    let guests = room.demand.guests.as_ref();
    match &room.clear_down {
        // They carry their trays themselves.
        _ if guests.is_some_and(|guests| guests.style == Style::Cafeteria) => {
            common.events.set(departs, delivered);
        }
        Some(clear) if clear.gathers() => {
            let pile = common.flow.take_lot(lot);
            tables.join(&mut common.flow, &mut common.events, pile, now);
        }
        Some(clear) => {
            let mut stream = common.streams.stream(Purpose::Trip, key, 0);
            let trip = clear.trip.draw(&mut stream);
            common.events.set(now + trip, delivered);
        }
        None => drop_off.delivered(common, crew, racking, lot),
    }
}
