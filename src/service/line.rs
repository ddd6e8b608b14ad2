//! Lines: wherever pieces, racks or calls wait for somebody, and the books of their waiting.
//!
//! **Whoever joins a line or is taken from it is in its books at once**: length, most, area under the curve and
//! waits are kept by `Line`, `RackLine` and `Calls` themselves, and nothing else can write them. Lengths times
//! time are summed in whole nanoseconds, so that Little's law holds to the last digit on every line.
//!
//! A duty may have several lines (a rack kind each, a landing each); they share one page of the books.

pub(super) mod books;
pub(super) mod racks;
#[cfg(test)]
mod tests;

use super::index::RunId;
pub use books::{Books, Lines};

use super::events::{Event, EventList, LongestWait};
use super::pieces::{Flow, Pile, Run, Zone};
use crate::room::time::Time;
use crate::scenario::model::Duty;

impl Flow {
    /// Pieces have come to the dish room: from now on they wait for their first wash.
    pub(super) fn reach_room(&mut self, pile: &Pile, now: Time) {
        pile.each(self, |run, _| run.reached = now);
        self.lines.soiled.grows(pile.len(), now);
    }

    /// So many pieces are washed for the first time now, that have waited so long together.
    pub(super) fn washed_first(&mut self, pieces: u32, waited_ns: i128, now: Time) {
        if pieces > 0 {
            self.lines.soiled.shrinks(pieces, waited_ns, now);
        }
    }
}

/// From when on a line that gathers loads is worth somebody's way.
///
/// Nothing else happens when the first piece has waited long enough, so people are called to look then: the line owns
/// a clock, which runs while something waits that is not a load and whose time is still to come.
#[derive(Debug, Clone, Copy)]
pub(super) struct Batch {
    /// Which of these clocks it owns.
    pub clock: LongestWait,
    /// What its pieces have to weigh together.
    pub enough: u64,
    /// Part-full once the first piece has waited this long.
    pub wait_at_most: Time,
}

/// Pieces in line for a duty, first come first.
#[derive(Debug)]
pub(super) struct Line {
    duty: Duty,
    pile: Pile,
    /// What its pieces weigh together: 1 each, or each its share of a rack.
    load: u64,
    batch: Option<Batch>,
}

impl Line {
    /// An empty line that waits there; without `batch` one piece is enough.
    pub const fn new(duty: Duty, zone: Zone, batch: Option<Batch>) -> Self {
        Self {
            duty,
            pile: Pile::new(zone),
            load: 0,
            batch,
        }
    }

    pub const fn begin(&mut self) {
        self.pile = Pile::new(self.pile.zone());
        self.load = 0;
    }

    /// How many wait.
    pub const fn len(&self) -> u32 {
        self.pile.len()
    }

    /// The first.
    pub const fn head(&self) -> Option<RunId> {
        self.pile.head()
    }

    /// The pieces in line, for a recount.
    pub(super) const fn pile(&self) -> &Pile {
        &self.pile
    }

    /// Pieces join, of that weight each.
    pub fn join_weighing(
        &mut self,
        flow: &mut Flow,
        events: &mut EventList,
        pile: Pile,
        weight: u64,
        now: Time,
    ) {
        if pile.is_empty() {
            return;
        }
        let are_first = self.pile.is_empty();
        pile.each(flow, |run, _| run.joined = now);
        flow.lines.join(self.duty, pile.len(), now);
        self.load += weight * u64::from(pile.len());
        self.pile.put(flow, pile);
        if let Some(batch) = self.batch {
            let clock = Event::WaitedLongest(batch.clock);
            if self.load >= batch.enough {
                events.unset(clock);
            } else if are_first {
                events.set(now + batch.wait_at_most, clock);
            }
        }
    }

    /// Pieces join.
    pub fn join(&mut self, flow: &mut Flow, events: &mut EventList, pile: Pile, now: Time) {
        self.join_weighing(flow, events, pile, 1, now);
    }

    /// Takes pieces from the front: of each run so many as are wanted, until it is not all of one, and what each of
    /// them weighs.
    pub fn take_while(
        &mut self,
        flow: &mut Flow,
        events: &mut EventList,
        now: Time,
        mut wanted: impl FnMut(&Run) -> (u32, u64),
    ) -> Pile {
        let (mut weighs, mut waited_ns) = (0, 0);
        let taken = self.pile.take_while(flow, |run| {
            let (count, weight) = wanted(run);
            weighs += weight * u64::from(count);
            waited_ns += i128::from((now - run.joined).ns()) * i128::from(count);
            count
        });
        if !taken.is_empty() {
            self.load -= weighs;
            flow.lines.leave(self.duty, taken.len(), waited_ns, now);
            self.watch(flow, events, now);
        }
        taken
    }

    /// Takes so many pieces from the front, or all.
    pub fn take_up(
        &mut self,
        flow: &mut Flow,
        events: &mut EventList,
        most: u32,
        now: Time,
    ) -> Pile {
        let mut left = most;
        self.take_while(flow, events, now, |run| {
            let count = run.count.min(left);
            left -= count;
            (count, 1)
        })
    }

    /// Takes so many pieces, or all: first of the runs that are wanted, then of the others. What stays keeps its order.
    pub fn take_first(
        &mut self,
        flow: &mut Flow,
        events: &mut EventList,
        most: u32,
        now: Time,
        wanted: impl Fn(&Run) -> bool,
    ) -> Pile {
        let zone = self.pile.zone();
        let [mut first, mut rest] = [Pile::new(zone), Pile::new(zone)];
        while let Some(run) = self.pile.take_run(flow) {
            let is_wanted = run.head().is_some_and(|head| wanted(&flow[head]));
            let to = if is_wanted { &mut first } else { &mut rest };
            to.put(flow, run);
        }
        let mut taken = first.take(flow, most);
        let others = rest.take(flow, most - taken.len());
        taken.put(flow, others);
        self.pile = in_order(flow, first, rest);
        let mut waited_ns = 0;
        taken.each(flow, |run, _| {
            waited_ns += i128::from((now - run.joined).ns()) * i128::from(run.count);
        });
        self.load -= u64::from(taken.len());
        flow.lines.leave(self.duty, taken.len(), waited_ns, now);
        self.watch(flow, events, now);
        taken
    }

    /// Whether a load waits, or what waits has waited long enough, or no more can come.
    pub fn is_due(&self, flow: &Flow, now: Time) -> bool {
        let Some(head) = self.pile.head() else {
            return false;
        };
        self.batch.is_none_or(|batch| {
            self.load >= batch.enough
                || now - flow[head].joined >= batch.wait_at_most
                || flow.census.before(self.pile.zone()) == 0
        })
    }

    /// Sets the clock to when the piece that is first now will have waited long enough, if that is still to come.
    fn watch(&self, flow: &Flow, events: &mut EventList, now: Time) {
        let Some(batch) = self.batch else {
            return;
        };
        let clock = Event::WaitedLongest(batch.clock);
        let head = self.pile.head().filter(|_| self.load < batch.enough);
        let due = head.map(|head| flow[head].joined + batch.wait_at_most);
        match due.filter(|due| *due > now) {
            Some(due) => events.set(due, clock),
            None => events.unset(clock),
        }
    }
}

/// Two piles as one, who joined first before who joined later.
fn in_order(flow: &mut Flow, mut first: Pile, mut rest: Pile) -> Pile {
    let mut all = Pile::new(first.zone());
    let joined = |flow: &Flow, pile: &Pile| pile.head().map(|head| flow[head].joined);
    loop {
        let [one, other] = [joined(flow, &first), joined(flow, &rest)];
        let earlier = match (one, other) {
            (Some(one), Some(other)) if one <= other => &mut first,
            (Some(_), None) => &mut first,
            _ => &mut rest,
        };
        let Some(run) = earlier.take_run(flow) else {
            return all;
        };
        all.put(flow, run);
    }
}

/// A table where ware waits: what lies on it, and what somebody has in hand for it.
#[derive(Debug)]
pub(super) struct Table {
    zone: Zone,
    holds: Option<u32>,
    /// Room kept for pieces in hand.
    kept: u32,
}

impl Table {
    /// An empty table that holds so many pieces, or any number.
    pub const fn new(zone: Zone, holds: Option<u32>) -> Self {
        Self {
            zone,
            holds,
            kept: 0,
        }
    }

    pub const fn begin(&mut self) {
        self.kept = 0;
    }

    /// Free places.
    pub fn room(&self, flow: &Flow) -> u32 {
        let taken = flow.census.of(self.zone) + self.kept;
        self.holds
            .map_or(u32::MAX, |holds| holds.saturating_sub(taken))
    }

    /// Keeps room for pieces in hand.
    pub const fn keep(&mut self, places: u32) {
        self.kept += places;
    }

    /// The pieces it was kept for are put down.
    pub const fn give_back(&mut self, places: u32) {
        self.kept -= places;
    }

    /// Room kept for pieces in hand.
    pub const fn kept(&self) -> u32 {
        self.kept
    }
}

/// What waits for somebody and is no ware: tasks, faults, changes of water.
#[derive(Debug, Clone, Copy)]
pub(super) struct Calls(pub Duty);

impl Calls {
    /// So many begin to wait.
    pub fn join(self, flow: &mut Flow, by: u32, now: Time) {
        flow.lines.join(self.0, by, now);
    }

    /// One that has waited since then is taken up.
    pub fn take(self, flow: &mut Flow, since: Time, now: Time) {
        let waited = now - since;
        flow.lines.leave(self.0, 1, i128::from(waited.ns()), now);
    }
}
