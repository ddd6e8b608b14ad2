//! Operators: when they come and go, what they have in hand, and how long it takes.
//!
//! Who comes late, or not at all, is drawn before the evening. A unit of work is never broken off: breaks and the end of
//! a shift wait for it.

use super::common::Common;
use super::diary::Happening;
use super::events::Event;
use super::help::Help;
use super::index::{OperatorId, indexes};
use super::job::{Job, Thing};
use super::streams::{Purpose, Stream, Streams, work_of};
use super::stretch::Stretch;
use crate::room::Room;
use crate::room::crew::{Operator, Tempo};
use crate::room::law::RandomTime;
use crate::room::plan::Spot;
use crate::room::rules::Hours;
use crate::room::time::Time;
use crate::scenario::model::Duty;

/// The crew fits into the bits of one word.
pub const MAX_OPERATORS: usize = 64;

/// What an operator is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing {
    /// Not come yet, or gone.
    Away,
    /// Free for work.
    Free,
    /// Walking to or doing a unit of work.
    Working,
    /// Standing with a tub before a full drop-off.
    Waiting,
    /// On a break.
    OnBreak,
}

/// One operator during a service.
#[derive(Debug)]
pub struct OperatorState {
    /// What they do.
    pub doing: Doing,
    /// The duty of the work in hand.
    pub duty: Duty,
    pub(super) job: Job,
    /// Where they stand, or are walking to.
    pub spot: Spot,
    /// When the unit of work was taken up, and when walking to it ends.
    pub(super) taken: Time,
    pub(super) arrives: Time,
    /// Since when they are here.
    pub(super) came: Time,
    /// Their pace of the day.
    pace: f64,
    /// They have handled soiled ware since they last washed their hands.
    soiled_hands: bool,
    left: Time,
    /// When their time ends: of help that was called late, after the shift.
    pub(super) ends: Time,
    stretch: Stretch,
    break_began: Time,
    /// Breaks that have fallen due, and of those how many are past: taken, or missed while away.
    breaks_due: usize,
    breaks_past: usize,
    shift_over: bool,
    /// They do not come.
    absent: bool,
    /// Time here, on breaks, at work or walking, walking, and after the shift.
    pub present: Time,
    pub(super) on_break: Time,
    pub(super) busy: Time,
    pub(super) walking: Time,
    pub(super) overtime: Time,
}

indexes!(OperatorId => OperatorState);

/// An operator's time in one service.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OperatorTimes {
    /// Here, breaks included.
    pub present: Time,
    /// On breaks.
    pub on_break: Time,
    /// At work or walking to it.
    pub busy: Time,
    /// Walking.
    pub walking: Time,
    /// After the end of the shift.
    pub overtime: Time,
}

impl OperatorState {
    const fn away(home: Spot, job: Job) -> Self {
        Self {
            doing: Doing::Away,
            duty: Duty::Scrape,
            job,
            spot: home,
            taken: Time::ZERO,
            arrives: Time::ZERO,
            came: Time::ZERO,
            pace: 1.0,
            soiled_hands: false,
            left: Time::ZERO,
            ends: Time::ZERO,
            stretch: Stretch::begins(Time::ZERO),
            break_began: Time::ZERO,
            breaks_due: 0,
            breaks_past: 0,
            shift_over: false,
            absent: false,
            present: Time::ZERO,
            on_break: Time::ZERO,
            busy: Time::ZERO,
            walking: Time::ZERO,
            overtime: Time::ZERO,
        }
    }

    /// Their pace by now: slower with each hour that they are there, where they tire.
    fn pace_at(&self, of: &Operator, now: Time) -> f64 {
        let slower = of.tempo.slower_per_h;
        if slower == 0.0 {
            return self.pace;
        }
        self.pace / (1.0 + slower * (now - self.came).h())
    }

    /// The hours of somebody who was to come at `from`, to be held against rules.
    pub(super) fn hours(&self, from: Time) -> Hours {
        Hours {
            stretch: self.stretch.longest(),
            shift: self.present,
            since_start: self.left - from,
        }
    }

    /// What they did with their time.
    #[must_use]
    pub const fn times(&self) -> OperatorTimes {
        OperatorTimes {
            present: self.present,
            on_break: self.on_break,
            busy: self.busy,
            walking: self.walking,
            overtime: self.overtime,
        }
    }
}

/// What does not vary draws nothing.
fn pace_of_the_day(operator: &Operator, streams: &Streams) -> f64 {
    let Tempo {
        key, number, day, ..
    } = &operator.tempo;
    if !day.varies() {
        return operator.pace;
    }
    operator.pace / day.draw(&mut streams.stream(Purpose::Pace, *key, *number))
}

fn moves(streams: &Streams) -> [Stream; 2] {
    [0, 1].map(|thing| streams.stream(Purpose::Move, thing, 0))
}

/// The crew during a service.
#[derive(Debug)]
pub struct Crew {
    /// In roster order.
    pub operators: Vec<OperatorState>,
    /// A bit for each operator who is free.
    pub(super) free: u64,
    pub(super) help: Help,
    at_work: [u32; Duty::COUNT],
    streams: [Stream; Duty::COUNT],
    /// Of moving racks to dollies, and to the store: nobody's work at other racks hangs on them.
    moves: [Stream; 2],
    /// Latest moment anybody left.
    pub(super) last_left: Option<Time>,
}

impl Crew {
    pub(super) fn new(room: &Room) -> Self {
        let streams = Streams::new(0, 0);
        let operators = room
            .crew
            .iter()
            .map(|op| OperatorState::away(op.home, Job::default()));
        Self {
            operators: operators.collect(),
            free: 0,
            help: Help::default(),
            at_work: [0; Duty::COUNT],
            streams: Duty::ALL.map(|duty| streams.stream(Purpose::Work, work_of(duty), 0)),
            moves: moves(&streams),
            last_left: None,
        }
    }

    fn begin(&mut self, room: &Room, streams: &Streams) {
        for (state, operator) in self.operators.iter_mut().zip(&room.crew) {
            *state = OperatorState::away(operator.home, Job::default());
            state.pace = pace_of_the_day(operator, streams);
        }
        self.free = 0;
        self.help = Help::default();
        self.at_work = [0; Duty::COUNT];
        for duty in Duty::ALL {
            self.streams[duty as usize] = streams.stream(Purpose::Work, work_of(duty), 0);
        }
        self.moves = moves(streams);
        self.last_left = None;
    }

    /// How many are at a duty, walking to it or doing it.
    #[must_use]
    pub const fn at_work(&self, duty: Duty) -> u32 {
        self.at_work[duty as usize]
    }

    pub(super) fn nobody_works(&self) -> bool {
        self.at_work.iter().all(|&count| count == 0)
    }

    pub(super) fn set_doing(&mut self, operator: OperatorId, doing: Doing) {
        self.operators[operator].doing = doing;
        let bit = 1 << operator.number();
        if doing == Doing::Free {
            self.free |= bit;
        } else {
            self.free &= !bit;
        }
    }
}

impl Crew {
    /// Writes shifts and breaks into the timetable.
    pub(super) fn plan_shifts(&mut self, common: &mut Common<'_>) {
        self.begin(common.room, &common.streams);
        for (index, operator) in common.room.crew.iter().enumerate() {
            let index = OperatorId::new(index);
            let from = self.comes_at(common, index).unwrap_or_else(|| {
                self.operators[index].absent = true;
                operator.from
            });
            common.events.plan(from, Event::ShiftBegins(index));
            common.events.plan(operator.to, Event::ShiftEnds(index));
            for (number, (at, _)) in operator.breaks.iter().enumerate() {
                common
                    .events
                    .plan(*at, Event::BreakDue(index, number as u32));
            }
        }
    }

    /// When an operator comes, if they do before their shift ends.
    fn comes_at(&self, common: &Common<'_>, operator: OperatorId) -> Option<Time> {
        let of = &common.room.crew[operator];
        let Some(coming) = &of.coming else {
            return Some(of.from);
        };
        let (key, number) = (coming.key, coming.number);
        let mut stream = common.streams.stream(Purpose::Coming, key, number);
        let at = of.from + coming.draw(&mut stream)?;
        (at < of.to).then_some(at)
    }

    /// Of those who were to come by a moment: how many did not, and how much later than they should the others came, min.
    pub(super) fn missing(&self, room: &Room, by: Time) -> (u32, f64) {
        let crew = room.crew.iter().zip(&self.operators);
        let expected = crew.filter(|(of, _)| of.coming.is_some() && of.call.is_none());
        expected.fold((0, 0.0), |(absent, late_min), (of, at)| {
            if at.absent {
                return (absent + u32::from(of.from <= by), late_min);
            }
            // Of who has not come by then nothing is known.
            let came = if at.came > of.from { at.came } else { of.from };
            (absent, late_min + (came - of.from).min())
        })
    }

    pub(super) fn shift_begins(&mut self, common: &mut Common<'_>, operator: OperatorId) {
        if self.operators[operator].absent {
            return common.note(Happening::Absent { operator });
        }
        if !self.help.waits(common.room, operator) {
            self.comes(common, operator);
        }
    }

    pub(super) fn comes(&mut self, common: &mut Common<'_>, operator: OperatorId) {
        let state = &mut self.operators[operator];
        state.came = common.now;
        state.ends = common.room.crew[operator].to;
        state.stretch = Stretch::begins(common.now);
        // Help that was called late comes when the shift of its row is over.
        state.shift_over = false;
        self.set_doing(operator, Doing::Free);
        common.note(Happening::Comes { operator });
    }

    /// A break is due. Who is at work, or still on an earlier break, takes it afterwards.
    pub(super) fn break_due(
        &mut self,
        common: &mut Common<'_>,
        operator: OperatorId,
        number: usize,
    ) {
        let state = &mut self.operators[operator];
        state.breaks_due = number + 1;
        match state.doing {
            Doing::Free => self.start_break(common, operator),
            Doing::Working | Doing::Waiting | Doing::OnBreak => {}
            Doing::Away => state.breaks_past = number + 1,
        }
    }

    /// Starts the first break that is due and not past.
    fn start_break(&mut self, common: &mut Common<'_>, operator: OperatorId) {
        let state = &mut self.operators[operator];
        let length = common.room.crew[operator].breaks[state.breaks_past].1;
        state.breaks_past += 1;
        state.break_began = common.now;
        self.set_doing(operator, Doing::OnBreak);
        common
            .events
            .set(common.now + length, Event::BreakEnds(operator));
        common.note(Happening::Break { operator });
    }

    pub(super) fn break_ends(&mut self, common: &mut Common<'_>, operator: OperatorId) {
        self.count_break(common, operator);
        self.free_again(common, operator);
    }

    /// Adds the break that ends now, or is cut off by going home, to the operator's time.
    fn count_break(&mut self, common: &Common<'_>, operator: OperatorId) {
        let state = &mut self.operators[operator];
        state.on_break += common.now - state.break_began;
        if let Some(rules) = &common.room.rules {
            let least = rules.break_at_least;
            state.stretch.broken(state.break_began, common.now, least);
        }
    }

    pub(super) fn shift_ends(&mut self, common: &mut Common<'_>, operator: OperatorId) {
        self.help.is_over(operator);
        // Who was called lately stays for as long as was said.
        if self.operators[operator].ends > common.now || common.room.crew[operator].stays {
            return;
        }
        self.goes_when_free(common, operator);
    }

    /// They go, as soon as what they have in hand is done.
    pub(super) fn goes_when_free(&mut self, common: &mut Common<'_>, operator: OperatorId) {
        self.operators[operator].shift_over = true;
        if matches!(self.operators[operator].doing, Doing::Free | Doing::OnBreak) {
            self.leave(common, operator);
        }
    }

    fn leave(&mut self, common: &mut Common<'_>, operator: OperatorId) {
        let shift_end = self.operators[operator].ends;
        match self.operators[operator].doing {
            Doing::Away => return,
            Doing::OnBreak => {
                self.count_break(common, operator);
                common.events.unset(Event::BreakEnds(operator));
            }
            Doing::Free | Doing::Working | Doing::Waiting => {}
        }
        let state = &mut self.operators[operator];
        state.present += common.now - state.came;
        state.left = common.now;
        state.stretch.ends(common.now);
        state.overtime += (common.now - shift_end.max(state.came)).max(Time::ZERO);
        self.set_doing(operator, Doing::Away);
        self.last_left = Some(common.now);
        common.note(Happening::Goes { operator });
    }

    /// The evening is over: whoever is still here goes; work in hand counts up to now.
    pub(super) fn everybody_leaves(&mut self, common: &mut Common<'_>) {
        for operator in OperatorId::all(self.operators.len()) {
            if matches!(
                self.operators[operator].doing,
                Doing::Working | Doing::Waiting
            ) {
                self.count_work(common, operator);
                self.at_work[self.operators[operator].duty as usize] -= 1;
            }
            self.leave(common, operator);
        }
    }

    /// An operator is done with what they had in hand.
    pub(super) fn release(&mut self, common: &mut Common<'_>, operator: OperatorId) {
        self.count_work(common, operator);
        self.at_work[self.operators[operator].duty as usize] -= 1;
        self.free_again(common, operator);
    }

    /// Adds the unit of work in hand, as far as it has come, to the operator's and the station's time.
    fn count_work(&mut self, common: &mut Common<'_>, operator: OperatorId) {
        let now = common.now;
        let state = &mut self.operators[operator];
        let arrived = state.arrives.min_of(now);
        state.busy += now - state.taken;
        state.walking += arrived - state.taken;
        common.tally.worked(state.duty, now - arrived);
    }

    fn free_again(&mut self, common: &mut Common<'_>, operator: OperatorId) {
        let state = &self.operators[operator];
        if state.shift_over {
            self.leave(common, operator);
        } else if state.breaks_past < state.breaks_due {
            self.start_break(common, operator);
        } else {
            self.set_doing(operator, Doing::Free);
        }
    }

    /// The walk to a unit of work, and how long they wash their hands on the way: after soiled ware, before clean.
    fn way(&mut self, room: &Room, operator: OperatorId, duty: Duty, spot: Spot) -> (Time, Time) {
        let state = &mut self.operators[operator];
        let is_soiled = state.soiled_hands;
        state.soiled_hands |= duty.bit() & Duty::SOILED != 0;
        match room.wash_hands {
            Some(washes) if is_soiled && duty.bit() & Duty::CLEAN != 0 => {
                state.soiled_hands = false;
                let walk = |from, to| room.plan.walk(from, to);
                let direct = walk(state.spot, spot);
                let by_sink = |sink| walk(state.spot, sink) + walk(sink, spot);
                (room.plan.hands.map_or(direct, by_sink), washes)
            }
            _ => (room.plan.walk(state.spot, spot), Time::ZERO),
        }
    }

    /// An operator walks to a unit of work and does it; `per_unit` is drawn besides what the job takes.
    pub(super) fn take_up(
        &mut self,
        common: &mut Common<'_>,
        operator: OperatorId,
        duty: Duty,
        job: Job,
        per_unit: Option<&RandomTime>,
    ) {
        let room = common.room;
        let spot = job.spot.unwrap_or_else(|| Spot::of_duty(duty));
        let (walk, washes) = self.way(room, operator, duty, spot);
        let work = match per_unit {
            Some(per_unit) => {
                let stream = match job.thing {
                    Thing::ToDolly(_) => &mut self.moves[0],
                    Thing::ToStore(..) => &mut self.moves[1],
                    _ => &mut self.streams[duty as usize],
                };
                per_unit.draw_unit(job.more_s, stream)
            }
            None => Time::from_s(job.more_s),
        };
        let pace = self.operators[operator].pace_at(&room.crew[operator], common.now);
        let work = if pace == 1.0 {
            work
        } else {
            Time::from_s(work.s() / pace)
        };
        let (now, pieces) = (common.now, job.hand.len());
        let state = &mut self.operators[operator];
        state.duty = duty;
        state.spot = spot;
        state.job = job;
        state.taken = now;
        state.arrives = now + walk;
        self.set_doing(operator, Doing::Working);
        self.at_work[duty as usize] += 1;
        if washes > Time::ZERO {
            common.note(Happening::WashesHands { operator });
        }
        let ends = Event::WorkEnds(operator);
        common.events.set(now + walk + washes + work, ends);
        common.note(Happening::Starts {
            operator,
            duty,
            pieces,
        });
    }

    /// A unit of work is done: what it was, and what is in hand.
    pub(super) fn hand_over(
        &mut self,
        common: &mut Common<'_>,
        operator: OperatorId,
    ) -> (Duty, Job) {
        let state = &mut self.operators[operator];
        let (duty, job) = (state.duty, std::mem::take(&mut state.job));
        common.tally.unit_done(duty);
        common.note(Happening::Ends {
            operator,
            duty,
            pieces: job.hand.len(),
        });
        (duty, job)
    }
}
