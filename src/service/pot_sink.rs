//! The pot sink: ware is scrubbed and rinsed piece by piece, lies in the sanitising compartment for its time, dries on the
//! drainboard, and is put away from there.
//!
//! Whoever takes up a piece keeps a place for it in the sanitising compartment: somebody who stood with a piece before a
//! full one might be the only one who could empty the drainboard. What is ready moves on by itself, lifted out in passing.
//! A piece that waits for its store keeps its place on the drainboard.

use super::common::Common;
use super::diary::Happening;
use super::events::Event;
use super::job::{Job, Next};
use super::line::Line;
use super::obstacle::Obstacle;
use super::pieces::{Pile, Zone};
use super::put_away::CleanSide;
use super::work::{Comes, Full, Places, Seconds, Work};
use crate::physics::drying;
use crate::room::Room;
use crate::room::stations::PotSink;
use crate::room::time::Time;
use crate::room::ware::Ware;
use crate::scenario::model::Duty;

pub(super) const WORK: Work = Work {
    places: Places::People(|room| room.pot_sink.as_ref().map_or(0, |sink| sink.places)),
    full: Full::Pieces(|_| 1),
    unit_time: |room| room.pot_sink.as_ref().map(|sink| &sink.per_unit),
    seconds: &[Seconds::OfWare(scrub_s), Seconds::Same(rinse_s)],
    takes: |ware| ware.at_pot_sink,
    ..Work::new(Comes::ToPotSink)
};

const fn scrub_s(ware: &Ware) -> f64 {
    ware.scrub_s
}

fn rinse_s(room: &Room) -> f64 {
    room.pot_sink.as_ref().map_or(0.0, |sink| sink.rinse_s)
}

/// The pot sink and what lies in it.
#[derive(Debug)]
pub(super) struct Pots {
    /// What waits to be scrubbed.
    pub line: Line,
    /// In the sanitising compartment, first come first.
    pub sanitising: Pile,
    /// Places there that are kept for what somebody scrubs.
    pub kept: u32,
    /// On the drainboard, still wet: by ware, first come first, for each dries as long as the next.
    pub drying: Vec<Pile>,
    /// When it was last filled.
    filled: Option<Time>,
    /// Pieces since.
    since_filled: u32,
}

impl Pots {
    pub fn new(room: &Room) -> Self {
        let wares = if room.pot_sink.is_some() {
            room.wares.len()
        } else {
            0
        };
        Self {
            line: Line::new(Duty::WashPots, Zone::ToPotSink, None),
            sanitising: Pile::new(Zone::Sanitising),
            kept: 0,
            drying: (0..wares).map(|_| Pile::new(Zone::OnDrainboard)).collect(),
            filled: None,
            since_filled: 0,
        }
    }

    pub fn begin(&mut self) {
        self.line.begin();
        self.sanitising = Pile::new(Zone::Sanitising);
        self.kept = 0;
        self.drying.fill_with(|| Pile::new(Zone::OnDrainboard));
        self.filled = None;
        self.since_filled = 0;
    }

    pub(super) fn next_pot(&self, common: &Common<'_>) -> Next {
        let holds = common.room.pot_sink.as_ref().map_or(0, |sink| sink.holds);
        if self.line.head().is_none() {
            Next::Nothing
        } else if self.sanitising.len() + self.kept < holds {
            Next::Ready
        } else {
            Next::Waits(Obstacle::Room)
        }
    }

    /// Takes a piece to scrub: it waits no longer from now on.
    pub(super) fn take_pot(&mut self, common: &mut Common<'_>) -> Job {
        let Some(sink) = &common.room.pot_sink else {
            return Job::default();
        };
        let (flow, events) = (&mut common.flow, &mut common.events);
        let hand = self.line.take_up(flow, events, 1, common.now);
        let hand = hand.moved_to(flow, Zone::Scrubbing);
        let wares = &common.room.wares;
        let scrub = hand.sum(flow, |run| scrub_s(&wares[run.ware as usize]));
        let slower = (sink.dried_takes - 1.0) * common.dryness_of_first(&hand);
        let fills_s = self.fills_s(common, sink);
        common.wash_by_hand(&hand);
        self.kept += 1;
        self.since_filled += 1;
        Job {
            hand,
            kept: 1,
            more_s: scrub * (1.0 + slower) + sink.rinse_s + fills_s,
            ..Job::default()
        }
    }

    /// How long it takes to fill the sink for the next piece, s, if it is due.
    fn fills_s(&mut self, common: &mut Common<'_>, sink: &PotSink) -> f64 {
        let is_old = |filled: Time| {
            let by_clock = sink.change_every;
            by_clock.is_some_and(|every| common.now - filled >= every)
        };
        let is_used = (sink.change_after).is_some_and(|pieces| self.since_filled >= pieces);
        if self.filled.is_some_and(|filled| !is_old(filled)) && !is_used {
            return 0.0;
        }
        self.filled = Some(common.now);
        self.since_filled = 0;
        common.tally.pot_sink_filled += 1;
        common.note(Happening::SinkFilled);
        sink.change_s
    }

    /// A piece is clean: it is put into its place in the sanitising compartment.
    pub(super) fn scrubbed(&mut self, common: &mut Common<'_>, job: Job) {
        self.kept -= job.kept;
        let now = common.now;
        let flow = &mut common.flow;
        job.hand.each(flow, |run, _| run.joined = now);
        self.sanitising.put(flow, job.hand);
    }

    /// What has lain long enough moves on, as far as there is room: to the drainboard, and dry to the line for the store.
    pub(super) fn move_on(&mut self, common: &mut Common<'_>, clean: &mut CleanSide) {
        let Some(sink) = &common.room.pot_sink else {
            return;
        };
        self.lift_dry(common, clean, sink);
        let now = common.now;
        while let Some(ready) = self.sanitised(common, sink) {
            if ready > now || !self.has_room(sink, clean) {
                break;
            }
            let pile = self.sanitising.take(&mut common.flow, 1);
            let pieces = pile.len();
            let mut ware = 0;
            pile.each(&mut common.flow, |run, _| {
                run.joined = now;
                ware = run.ware as usize;
            });
            self.drying[ware].put(&mut common.flow, pile);
            common.note(Happening::Sanitised { pieces });
            self.lift_dry(common, clean, sink);
        }
        clean.drainboard_is_full = !self.has_room(sink, clean);
        let due = self.sanitised(common, sink);
        set(common, Event::Sanitised, due);
        let due = self.dry(common, sink).map(|(at, _)| at);
        set(common, Event::PotsDry, due);
    }

    /// What is dry waits to be put away.
    fn lift_dry(&mut self, common: &mut Common<'_>, clean: &mut CleanSide, sink: &PotSink) {
        while let Some((at, ware)) = self.dry(common, sink) {
            if at > common.now {
                return;
            }
            let Some(pile) = self.drying[ware].take_run(&mut common.flow) else {
                return;
            };
            common.note(Happening::Dry { pieces: pile.len() });
            clean.join_clean(common, pile);
        }
    }

    /// When the first piece in the sanitising compartment has lain there long enough.
    fn sanitised(&self, common: &Common<'_>, sink: &PotSink) -> Option<Time> {
        let head = self.sanitising.head()?;
        Some(common.flow[head].joined + sink.contact)
    }

    /// When the first piece on the drainboard is dry, and its ware.
    fn dry(&self, common: &Common<'_>, sink: &PotSink) -> Option<(Time, usize)> {
        let piles = self.drying.iter().zip(&sink.dry_after).enumerate();
        let first = piles.filter_map(|(ware, (pile, takes))| {
            Some((common.flow[pile.head()?].joined + *takes, ware))
        });
        first.min()
    }

    /// Pieces on the drainboard, dry ones that wait for the store included.
    pub(super) fn on_drainboard(&self, clean: &CleanSide) -> u32 {
        let wet: u32 = self.drying.iter().map(Pile::len).sum();
        wet + clean.on_drainboard()
    }

    fn has_room(&self, sink: &PotSink, clean: &CleanSide) -> bool {
        (sink.drainboard).is_none_or(|places| self.on_drainboard(clean) < places)
    }
}

/// Sets a clock to a moment that is still to come; what is overdue waits for room, and nobody for it.
fn set(common: &mut Common<'_>, clock: Event, due: Option<Time>) {
    let due = due.filter(|due| *due > common.now);
    match due {
        Some(due) if common.events.due(clock) == Some(due) => {}
        Some(due) => common.events.set(due, clock),
        None => common.events.unset(clock),
    }
}

impl Common<'_> {
    /// How dry the first piece of a pile is by now; 0 where there is none.
    fn dryness_of_first(&self, pile: &Pile) -> f64 {
        let first = pile.head().and_then(|head| {
            let run = &self.flow[head];
            let critical = self.room.soils[run.soil as usize].critical_moisture;
            let piece = self.flow.pieces[run.range()].first()?;
            let theta = piece.theta_after(run.dried_s(self.now));
            Some(drying::dryness(theta, critical))
        });
        first.unwrap_or(0.0)
    }
}
