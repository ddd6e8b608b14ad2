//! Rows of stations multiplied out: what comes to each in an hour, and the mean work at it.
//!
//! Nothing here knows the stations by name: all of it is asked of their [`Work`].

use super::peak::Load;
use super::stages::guests_carry;
use crate::room::Room;
use crate::room::ware::Ware;
use crate::scenario::model::SoakPolicy;
use crate::service::work::{Comes, Seconds, Work};

/// Pieces an hour that come to a station, by ware.
#[must_use]
pub(super) fn coming(room: &Room, load: &Load, work: &Work) -> Vec<f64> {
    let some = |pieces: &[f64], counts: &dyn Fn(usize) -> bool| {
        let wares = pieces.iter().enumerate();
        wares
            .map(|(ware, pieces)| if counts(ware) { *pieces } else { 0.0 })
            .collect()
    };
    let takes = |ware: usize| (work.takes)(&room.wares[ware]);
    match work.comes {
        // Kitchen ware comes to the drop-off by itself; only what the menu uses is carried.
        Comes::FromTables => some(&load.pieces, &|ware| {
            let mut menu = room.demand.menu.iter();
            !guests_carry(room) && menu.any(|row| row.ware == ware)
        }),
        Comes::Soiled | Comes::ToPotSink | Comes::AtMachines(_) | Comes::Washed => {
            some(&load.washed, &takes)
        }
        // What is soaked only when dried on is left out: all ware is taken as fresh.
        Comes::ToSoak => some(&load.washed, &|ware| {
            room.wares[ware].soak == SoakPolicy::Always
        }),
        Comes::Clean => some(&load.pieces, &|ware| !room.wares[ware].stored_in_rack),
        Comes::Tasks | Comes::Troubles => some(&load.pieces, &|_| false),
    }
}

/// The same, of all ware.
#[must_use]
pub(super) fn coming_all(room: &Room, load: &Load, work: &Work) -> f64 {
    coming(room, load, work).iter().sum()
}

/// Mean work at a piece that comes to a station, s, besides [`units_s`].
#[must_use]
pub(super) fn piece_s(room: &Room, load: &Load, work: &Work) -> f64 {
    let pieces = coming(room, load, work);
    let all: f64 = pieces.iter().sum();
    let mean = |seconds: &Seconds| match seconds {
        Seconds::Same(seconds) => seconds(room),
        Seconds::OfWare(_) if all <= 0.0 => 0.0,
        Seconds::OfWare(seconds) => times(room, &pieces, seconds) / all,
    };
    work.seconds.iter().map(mean).fold(0.0, |sum, s| sum + s)
}

/// Mean time of all units of work that a piece is part of, s, besides the pieces.
#[must_use]
pub(super) fn units_s(room: &Room, work: &Work) -> f64 {
    let unit_s = (work.unit_time)(room).map_or(0.0, |time| time.mean_s);
    work.seconds.len() as f64 * unit_s
}

/// Mean work at a full rack of the load, s; 0 where there is none.
#[must_use]
pub(super) fn rack_s(room: &Room, load: &Load, work: &Work) -> f64 {
    let racks = load.racks_all();
    if racks <= 0.0 {
        return 0.0;
    }
    let pieces = coming(room, load, work);
    units_s(room, work) + handled_s(room, &pieces, work) / racks
}

/// Mean work at a full rack of a kind, s.
#[must_use]
pub(super) fn rack_of_kind_s(room: &Room, load: &Load, work: &Work, kind: usize) -> f64 {
    let racks = load.racks[kind];
    let mut pieces = coming(room, load, work);
    for (some, ware) in pieces.iter_mut().zip(&room.wares) {
        if ware.rack_kind != kind {
            *some = 0.0;
        }
    }
    let handled_s = if racks > 0.0 {
        handled_s(room, &pieces, work) / racks
    } else {
        0.0
    };
    units_s(room, work) + handled_s
}

/// Work at so many pieces by ware, s, each as often as somebody has it in hand.
fn handled_s(room: &Room, pieces: &[f64], work: &Work) -> f64 {
    let of_ware = |ware: &Ware| {
        let all = work.seconds.iter().map(|seconds| seconds.of(room, ware));
        all.fold(0.0, |sum, s| sum + s)
    };
    times(room, pieces, of_ware)
}

/// Pieces by ware times a figure of the ware.
fn times(room: &Room, pieces: &[f64], figure: impl Fn(&Ware) -> f64) -> f64 {
    let wares = room.wares.iter().zip(pieces);
    wares.map(|(ware, some)| some * figure(ware)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::load;
    use crate::scenario::model::Duty;
    use crate::service::stations::tests::with_wiping;
    use crate::study::sheet::Sheet;
    use crate::study::sheet::stations::Station;

    /// Wiping stands where ware would have been pre-rinsed: 2 s a piece, two at a time, by whoever is there. It is known
    /// to the test that plays it, and to no line of the sheet.
    #[test]
    fn the_sheet_knows_a_station_by_its_row_alone() {
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/everything.toml");
        let mut scenario = load(&file).unwrap().scenario;
        // What is caught comes again, and more of it the longer the way.
        scenario.inspect = None;
        let room = Room::of(&scenario);
        let as_it_is = Sheet::of(&scenario, &room);
        let wiped = with_wiping(|| Sheet::of(&scenario, &room));
        let row = |sheet: &Sheet| -> Station {
            let mut rows = sheet.stations.iter();
            rows.find(|row| row.duty == Some(Duty::PreRinse))
                .unwrap()
                .clone()
        };
        let (before, after) = (row(&as_it_is), row(&wiped));
        assert_ne!(before.seconds_per_unit, 2.0);
        assert_eq!((after.unit, after.seconds_per_unit), ("pieces", 2.0));
        assert_eq!(after.units_per_hour, before.units_per_hour);
        // The sheet does not count on who is called in.
        let sure = room.crew.iter().filter(|one| one.call.is_none());
        assert_eq!(after.places as usize, sure.count());
        let people = |sheet: &Sheet| {
            let mut rows = sheet.labour.duties.iter();
            let row = rows.find(|row| row.duty == Duty::PreRinse).unwrap();
            row.people_needed
        };
        assert_eq!(people(&wiped), after.units_per_hour * 2.0 / 3600.0);
        // On its way a piece meets two of them instead of a batch at the old bench.
        let bench = room.pre_rinse.as_ref().unwrap();
        let batch_s = f64::from(bench.batch) * before.seconds_per_unit;
        let sooner_min = (batch_s - 2.0 * 2.0) / 60.0;
        let pairs = as_it_is.pars.iter().zip(&wiped.pars);
        let mut found = 0;
        for (before, after) in pairs {
            assert!(
                (before.in_room_min - after.in_room_min) / sooner_min > 0.999,
                "{}",
                before.ware
            );
            found += 1;
        }
        assert!(found > 0 && sooner_min.abs() > 0.05, "{sooner_min}");
    }
}
