//! A station for these tests alone, to show that three functions and a row are all it takes.

use std::cell::Cell;

use super::{ROWS, STATIONS, Station};
use crate::room::Room;
use crate::room::law::Law;
use crate::scenario::load;
use crate::scenario::model::Duty;
use crate::service::Service;
use crate::service::common::Common;
use crate::service::job::{Job, Next};
use crate::service::obstacle::Obstacle;
use crate::service::pieces::Zone;
use crate::service::put_away::CleanSide;
use crate::service::soiled_side::SoiledSide;
use crate::service::work::{Comes, Full, Seconds, Work};

/// Ware is wiped, two pieces at a time, 2 s each, where it would have been pre-rinsed: all but pots and what is sorted into racks.
const WORK: Work = Work {
    full: Full::Pieces(|_| 2),
    seconds: &[Seconds::Same(piece_s)],
    takes: |ware| !ware.at_pot_sink && !ware.is_sorted,
    ..Work::new(Comes::Soiled)
};

const fn piece_s(_: &Room) -> f64 {
    2.0
}

const WIPE: Station = Station {
    in_hand: Some(Zone::PreRinsing),
    ..Station::new(
        Duty::PreRinse,
        WORK,
        |at, _| next_to_wipe(&at.soiled, &at.common),
        |at, _| take_to_wipe(&mut at.soiled, &mut at.common),
        |at, _, job| wiped(&mut at.soiled, &mut at.common, &mut at.clean, job),
    )
};

fn next_to_wipe(soiled: &SoiledSide, common: &Common<'_>) -> Next {
    if soiled.to_pre_rinse.head().is_none() {
        Next::Nothing
    } else if soiled.racking.table.room(&common.flow) < 2 {
        Next::Waits(Obstacle::Room)
    } else {
        Next::Ready
    }
}

fn take_to_wipe(soiled: &mut SoiledSide, common: &mut Common<'_>) -> Job {
    let (flow, events) = (&mut common.flow, &mut common.events);
    let batch = WORK.full.pieces(common.room);
    let hand = soiled.to_pre_rinse.take_up(flow, events, batch, common.now);
    let hand = hand.moved_to(flow, Zone::PreRinsing);
    let kept = hand.len();
    soiled.racking.table.keep(kept);
    Job {
        hand,
        kept,
        more_s: piece_s(common.room) * f64::from(kept),
        ..Job::default()
    }
}

fn wiped(soiled: &mut SoiledSide, common: &mut Common<'_>, clean: &mut CleanSide, job: Job) {
    soiled.racking.table.give_back(job.kept);
    soiled.send_on(common, clean, job.hand);
}

thread_local! {
    /// What the services of a test are played with.
    pub(super) static TABLE: Cell<&'static [Station; Duty::COUNT]> = const { Cell::new(&STATIONS) };
}

/// What comes out where ware is wiped.
pub(crate) fn with_wiping<T>(of: impl FnOnce() -> T) -> T {
    TABLE.set(&WITH_WIPING);
    let found = of();
    TABLE.set(&STATIONS);
    found
}

static WITH_WIPING: [Station; Duty::COUNT] = {
    let mut rows = ROWS;
    rows[Duty::PreRinse as usize] = WIPE;
    rows
};

/// Dispatch, books, census, obstacles and the recount know it at once.
#[test]
fn a_station_is_three_functions_and_a_row() {
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/everything.toml");
    let mut room = Room::of(&load(&file).unwrap().scenario);
    for operator in &mut room.crew {
        operator.pace = 1.0;
        (operator.tempo.day, operator.tempo.slower_per_h) = (Law::Fixed, 0.0);
    }
    assert!(room.pre_rinse.is_some() && !room.crew.is_empty());
    let units = |service: &mut Service<'_>| {
        service.begin(3, 0);
        while service.step() {
            service.audit().unwrap();
        }
        assert!(service.finished(), "{:?}", service.stuck());
        let tally = service.tally();
        (
            tally.units[Duty::PreRinse as usize],
            tally.work[Duty::PreRinse as usize],
        )
    };
    let mut service = Service::new(&room);
    let pre_rinsed = units(&mut service);
    let wiped = with_wiping(|| units(&mut service));
    assert_ne!(pre_rinsed, wiped);
    // Everything that was wiped came past it, and took its 2 s a piece.
    let books = service.lines().at(Duty::PreRinse);
    let wiped_s: u64 = 2 * books.taken;
    assert!(wiped.0 >= books.taken.div_ceil(2) && books.taken > 100);
    assert_eq!(
        wiped.1.ns(),
        i64::try_from(wiped_s).unwrap() * 1_000_000_000
    );
}
