//! Lines by hand.

use super::*;
use crate::room::Room;
use crate::scenario::load;
use crate::service::index::{LotId, PieceId};
use crate::service::pieces::{Lot, Piece};

fn room() -> Room {
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let loaded = load(&file.join("tests/two-people.toml")).unwrap();
    Room::of(&loaded.scenario)
}

fn at(s: f64) -> Time {
    Time::from_s(s)
}

/// Three pieces a load, or 60 s.
fn line() -> Line {
    let batch = Batch {
        clock: crate::service::events::LongestWait::SINK,
        enough: 3,
        wait_at_most: at(60.0),
    };
    Line::new(Duty::Soak, Zone::ToSoak, Some(batch))
}

fn flow_of(pieces: u32) -> (Flow, Pile) {
    let mut flow = Flow::default();
    for _ in 0..pieces {
        flow.pieces.push(Piece::new(LotId::new(0), 0.0));
    }
    let lot = Lot::new(0, PieceId::new(0), pieces, 0, Time::ZERO);
    let lot = flow.add_lot(lot, 0, Time::ZERO);
    let pile = flow.take_lot(lot);
    (flow, pile)
}

#[test]
fn a_move_of_ware_is_in_all_books_at_once() {
    let room = room();
    let mut events = EventList::new(&room);
    let (mut flow, mut run) = flow_of(4);
    let mut line = line();
    for s in [0.0, 10.0, 20.0, 20.0] {
        let piece = run.take(&mut flow, 1);
        line.join(&mut flow, &mut events, piece, at(s));
    }
    assert_eq!(flow.census.of(Zone::Coming), 0);
    assert_eq!(flow.census.of(Zone::ToSoak), 4);
    let hand = line.take_up(&mut flow, &mut events, 3, at(30.0));
    let hand = hand.moved_to(&mut flow, Zone::Soaking);
    assert_eq!((hand.len(), line.len()), (3, 1));
    assert_eq!(flow.census.of(Zone::ToSoak), 1);
    assert_eq!(flow.census.of(Zone::Soaking), 3);
    let books = flow.lines.at(Duty::Soak);
    assert_eq!((books.len, books.most, books.taken), (1, 4, 3));
    // Waited 30, 20 and 10 s; and the area under the curve is that of those and 10 s of the fourth.
    assert_eq!(books.waited_ns, i128::from(at(60.0).ns()));
    assert_eq!(books.area_ns, i128::from(at(70.0).ns()));
}

#[test]
fn the_clock_is_that_of_the_first_piece_of_a_part_load() {
    let room = room();
    let mut events = EventList::new(&room);
    let clock = Event::WaitedLongest(crate::service::events::LongestWait::SINK);
    // One is still with the guests: something may come yet.
    let (mut flow, mut run) = flow_of(5);
    let mut line = line();
    let mut join = |line: &mut Line, flow: &mut Flow, events: &mut EventList, s| {
        let piece = run.take(flow, 1);
        line.join(flow, events, piece, at(s));
    };
    join(&mut line, &mut flow, &mut events, 0.0);
    join(&mut line, &mut flow, &mut events, 5.0);
    assert_eq!(events.due(clock), Some(at(60.0)));
    assert!(!line.is_due(&flow, at(59.0)));
    assert!(line.is_due(&flow, at(60.0)));
    join(&mut line, &mut flow, &mut events, 10.0);
    assert_eq!(events.due(clock), None, "a load needs no clock");
    assert!(line.is_due(&flow, at(10.0)));
    join(&mut line, &mut flow, &mut events, 12.0);
    let hand = line.take_up(&mut flow, &mut events, 3, at(15.0));
    assert_eq!(hand.len(), 3);
    assert_eq!(events.due(clock), Some(at(72.0)));
    let _ = line.take_up(&mut flow, &mut events, 3, at(20.0));
    assert_eq!(events.due(clock), None, "nothing waits");
}

#[test]
fn room_on_a_table_is_kept_for_what_is_in_hand() {
    let room = room();
    let mut events = EventList::new(&room);
    let (mut flow, mut run) = flow_of(2);
    let mut table = Table::new(Zone::ToSoak, Some(5));
    let piece = run.take(&mut flow, 1);
    line().join(&mut flow, &mut events, piece, Time::ZERO);
    table.keep(3);
    assert_eq!(table.room(&flow), 1);
    table.give_back(3);
    assert_eq!(table.room(&flow), 4);
    assert_eq!(Table::new(Zone::ToSoak, None).room(&flow), u32::MAX);
}
