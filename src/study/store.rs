//! Racks that go to the store as they are: whether there are enough to hold what is owned, and what stood there while
//! ware waited for one.

use super::binding::MIN_SHARE;
use super::evening::{Evening, Finding, GroupKind, Severity};
use crate::room::Room;
use crate::scenario::model::Duty;
use crate::service::measure::StationMeasure;
use crate::service::series::SeriesKind;
use crate::words::findings::store as words;

/// Kinds of racks that cannot hold all that is owned and go round besides.
#[must_use]
pub fn planned(room: &Room) -> Vec<Finding> {
    let kinds = room.rack_kinds.iter().enumerate();
    let stored = kinds.filter(|(_, kind)| kind.stored.is_some());
    let few = stored.filter_map(|(index, kind)| {
        let wares = room.wares.iter().filter(|ware| ware.rack_kind == index);
        let racks = wares.map(|ware| {
            let owned = f64::from(ware.owned.unwrap_or(0));
            libm::ceil(owned * ware.rack_share / kind.fill - 1e-6)
        });
        let needed: f64 = racks.sum();
        (needed >= f64::from(kind.fleet)).then(|| {
            let said = words::too_few(&kind.name, kind.fleet, needed);
            Finding::new("racks-too-few-to-store", Severity::Warning, said)
                .of(&kind.name)
                .at(format!("rack[{}].fleet", kind.name))
        })
    });
    few.collect()
}

/// Minutes of an evening in which ware may wait for a rack.
#[must_use]
pub fn enough_min(room: &Room) -> f64 {
    let open_min = 60.0 * (room.hours.closes - room.hours.opens).h();
    (MIN_SHARE * open_min).max(1.0)
}

/// Ware waited for a rack while racks stood in the store.
#[must_use]
pub fn stood(room: &Room, evening: &Evening) -> Option<Finding> {
    let series = evening.series.iter();
    let mut stored = series.filter(|band| band.info.kind == SeriesKind::RacksStored);
    let most = stored
        .next()?
        .mean
        .iter()
        .flatten()
        .fold(0.0, |most: f64, one| most.max(*one));
    let groups = evening.groups.iter();
    let mut load =
        groups.filter(|group| group.kind == GroupKind::Station && group.name == Duty::Load.name());
    let minutes = load.next()?.measures[StationMeasure::NoRack as usize].mean?;
    if minutes < enough_min(room) || most < 1.0 {
        return None;
    }
    let kinds = room.rack_kinds.iter();
    let stored = kinds.filter(|kind| kind.stored.is_some());
    let owned: u32 = stored.map(|kind| kind.fleet).sum();
    let said = words::stood(minutes, most, owned);
    Some(Finding::new("racks-in-store", Severity::Warning, said).of(Duty::Load.name()))
}
