//! Which stations ware passes in a room, and whether anybody has to go for it.

use crate::room::Room;
use crate::scenario::model::{Duty, Style};
use crate::service::stations;
use crate::service::work::Work;

/// Stations that ware passes in a room, in the order it meets them.
pub(super) fn on_the_way(room: &Room) -> impl Iterator<Item = (Duty, &'static Work)> {
    let there = Duty::OF_WARE.iter().filter(|duty| room.has(**duty));
    there.map(|duty| (*duty, stations::work(*duty)))
}

/// Whether guests bring their ware to the drop-off, so that nobody goes for it.
pub(super) fn guests_carry(room: &Room) -> bool {
    let guests = room.demand.guests.as_ref();
    guests.is_some_and(|guests| guests.style == Style::Cafeteria)
}
