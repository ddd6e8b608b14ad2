//! The measures of one service, read from its books.

use super::common::Common;
use super::crew::{OperatorState, OperatorTimes};
use super::index::{OperatorId, RunId};
use super::machine::{MachineTime, Use};
use super::measure::{
    COST_MEASURE_COUNT, MEASURE_COUNT, Measure, OPERATOR_MEASURE_COUNT, OperatorMeasure,
    STATION_MEASURE_COUNT, StationMeasure, WARE_MEASURE_COUNT, WareMeasure,
};
use super::tally::WareTally;
use super::{Service, stations};
use crate::room::Room;
use crate::room::money::CostPart;
use crate::room::time::Time;
use crate::scenario::model::Duty;

/// Values of one service. A slot without a value is a measure of a part that is not there.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// By [`Measure`].
    pub measures: [Option<f64>; MEASURE_COUNT],
    /// By ware.
    pub wares: Vec<[Option<f64>; WARE_MEASURE_COUNT]>,
    /// By operator.
    pub operators: Vec<[Option<f64>; OPERATOR_MEASURE_COUNT]>,
    /// By duty.
    pub stations: [[Option<f64>; STATION_MEASURE_COUNT]; Duty::COUNT],
    /// By part of the cost.
    pub costs: [[Option<f64>; COST_MEASURE_COUNT]; CostPart::COUNT],
    /// Most pieces in the hands of trips that waited for room on the drop-off.
    pub trips_waiting_most: u32,
    /// People of the roster who were to come before its end and did not; nobody who is called in.
    pub absences: u32,
    /// How much later than the start of their shifts the others came, min, all together.
    pub late_min: f64,
    /// Whether it ended by itself.
    pub finished: bool,
    /// End of the evening, min after the start.
    pub end_min: f64,
}

impl Outcome {
    /// Room for the values of a service in this room.
    #[must_use]
    pub fn new(room: &Room) -> Self {
        Self {
            measures: [None; MEASURE_COUNT],
            wares: vec![[None; WARE_MEASURE_COUNT]; room.wares.len()],
            operators: vec![[None; OPERATOR_MEASURE_COUNT]; room.crew.len()],
            stations: [[None; STATION_MEASURE_COUNT]; Duty::COUNT],
            costs: [[None; COST_MEASURE_COUNT]; CostPart::COUNT],
            trips_waiting_most: 0,
            absences: 0,
            late_min: 0.0,
            finished: false,
            end_min: 0.0,
        }
    }

    /// The value of a measure.
    #[must_use]
    pub const fn get(&self, measure: Measure) -> Option<f64> {
        self.measures[measure as usize]
    }
}

/// A share, if there is anything to share.
pub(super) fn share(part: f64, whole: f64) -> Option<f64> {
    (whole > 0.0).then(|| part / whole)
}

fn minutes(ns: i128) -> f64 {
    ns as f64 / 60e9
}

impl Service<'_> {
    /// Reads the books of the service just played.
    pub fn outcome(&self, into: &mut Outcome) {
        into.finished = self.finished;
        into.end_min = self.common.tally.end.min();
        into.trips_waiting_most = self.common.tally.trips_waiting_most;
        (into.absences, into.late_min) = self.crew.missing(self.common.room, self.common.tally.end);
        into.measures = [None; MEASURE_COUNT];
        let mut set = |measure: Measure, value: Option<f64>| {
            into.measures[measure as usize] = value.filter(|value| value.is_finite());
        };
        self.ware_flow(&mut set);
        self.waiting(&mut set);
        self.machine_measures(&mut set);
        self.crew_measures(&mut set);
        self.last_in(&mut set);
        self.utilities(&mut set);
        set(Measure::FinishedShare, Some(f64::from(self.finished)));
        // Last, for it reads the others.
        self.cost_measures(into);
        for (ware, values) in into.wares.iter_mut().enumerate() {
            *values = self.of_ware(ware);
        }
        for (operator, values) in into.operators.iter_mut().enumerate() {
            *values = self.of_operator(OperatorId::new(operator));
        }
        for (duty, values) in Duty::ALL.iter().zip(&mut into.stations) {
            *values = self.of_station(*duty);
        }
    }

    fn washes(&self) -> bool {
        !self.common.room.machines.is_empty()
    }

    fn ware_flow(&self, set: &mut impl FnMut(Measure, Option<f64>)) {
        let sum = |count: fn(&WareTally) -> u64| {
            self.common.tally.wares.iter().map(count).sum::<u64>() as f64
        };
        let first = sum(|ware| ware.first);
        let inspected = sum(|ware| ware.inspected);
        let caught = sum(|ware| ware.caught);
        let guests = self.common.room.demand.guests.is_some();
        let owned = guests
            && self
                .common
                .room
                .wares
                .iter()
                .any(|ware| ware.owned.is_some());
        set(
            Measure::Covers,
            guests.then_some(self.common.tally.covers as f64),
        );
        let guests = self.common.room.demand.guests.as_ref();
        let seats = guests.and_then(|guests| guests.seats);
        let tally = &self.common.tally;
        let turned_away = tally.turned_away as f64;
        set(Measure::TurnedAway, seats.map(|_| turned_away));
        let seat_wait = tally.seat_wait_mean_min();
        set(Measure::SeatWaitMean, seat_wait.filter(|_| seats.is_some()));
        set(Measure::Pieces, Some(first));
        set(
            Measure::Racks,
            self.washes()
                .then_some(self.common.tally.entries.len() as f64),
        );
        let inspects = self.common.room.inspect_catches.is_some();
        set(
            Measure::RewashedShare,
            share(caught, inspected).filter(|_| inspects),
        );
        let sent = sum(|ware| ware.sent_out_dirty);
        set(Measure::SentOutSoiledShare, share(sent, inspected - caught));
        set(Measure::DriedOnShare, share(sum(|ware| ware.dried), first));
        let tally = &self.common.tally;
        let (wet, known) = (tally.unloaded_wet as f64, tally.unloaded as f64);
        set(Measure::WetWhenUnloadedShare, share(wet, known));
        set(
            Measure::ShortCovers,
            owned.then(|| sum(|ware| ware.short_covers)),
        );
        set(
            Measure::ShortWaitMean,
            self.common.tally.short_wait_mean_min().filter(|_| owned),
        );
    }

    fn waiting(&self, set: &mut impl FnMut(Measure, Option<f64>)) {
        let soiled = self.common.flow.lines.soiled();
        // The books of what waits know nothing of the soak: Little's law holds for both together.
        let soaked_ns = self.common.tally.soaked_ns;
        set(
            Measure::WaitMean,
            share(minutes(soiled.waited_ns - soaked_ns), soiled.taken as f64),
        );
        let soak = share(minutes(soaked_ns), soiled.taken as f64);
        set(
            Measure::SoakMean,
            soak.filter(|_| self.common.room.soak.is_some()),
        );
        set(
            Measure::SoiledWaitingMean,
            share(soiled.area_ns as f64, self.common.tally.end.ns() as f64),
        );
        set(Measure::SoiledWaitingMax, Some(f64::from(soiled.most)));
        let racks = f64::from(self.common.flow.lines.racks_waiting().most);
        set(Measure::RacksWaitingMax, self.washes().then_some(racks));
        let floor = f64::from(self.common.tally.floor_tubs_most);
        set(
            Measure::FloorTubsMax,
            self.common.room.drop_off_tubs.map(|_| floor),
        );
        let clear = self.common.room.clear_down.as_ref();
        let has_fleet = clear.is_some_and(|clear| clear.fleet.is_some());
        let no_tub = self.common.tally.no_tub.min();
        set(Measure::NoTub, has_fleet.then_some(no_tub));
        set(Measure::WaitP95, self.common.tally.wait_p95_min);
    }

    fn machine_measures(&self, set: &mut impl FnMut(Measure, Option<f64>)) {
        if !self.washes() {
            return;
        }
        let closes = self.common.room.hours.closes;
        let running: Time = self
            .machines
            .states
            .iter()
            .map(|machine| machine.time.of(Use::Running))
            .sum();
        let stopped: Time = self
            .machines
            .states
            .iter()
            .map(|machine| machine.time.of(Use::Stopped))
            .sum();
        let count = self.machines.states.len() as f64;
        let first = self.common.tally.entries.first().copied();
        let left = self.common.tally.last_exit > Time::ZERO;
        // Of an evening cut short, with racks still inside, to its end.
        let last = if self.finished {
            self.common.tally.last_exit
        } else {
            self.common.tally.end
        };
        let span = first.map(|first| (last - first).s() * count);
        set(
            Measure::MachineRunningShare,
            span.and_then(|span| share(running.s(), span)),
        );
        set(Measure::MachineStopped, Some(stopped.min()));
        let held: Time = self
            .machines
            .states
            .iter()
            .map(|state| {
                let cycles = state.water.as_ref().map(|water| water.books.held);
                state.time.of(Use::Held) + cycles.unwrap_or_default()
            })
            .sum();
        let may_be_held = self
            .common
            .room
            .machines
            .iter()
            .any(|machine| machine.may_be_held());
        set(Measure::MachineHeld, may_be_held.then(|| held.min()));
        let waters = self
            .machines
            .states
            .iter()
            .filter_map(|state| state.water.as_ref());
        let changing: Time = waters.map(|at| at.books.changing).sum();
        let changes = self
            .common
            .room
            .machines
            .iter()
            .any(|machine| machine.changes_water());
        set(Measure::WaterChange, changes.then(|| changing.min()));
        self.trouble(set);
        set(
            Measure::RacksPerHourPeak,
            Some(f64::from(busiest_hour(&self.common.tally.entries))),
        );
        set(
            Measure::LastRackAfterClose,
            left.then(|| (self.common.tally.last_exit - closes).min()),
        );
    }

    /// When the last guests left, and the last ware came.
    fn last_in(&self, set: &mut impl FnMut(Measure, Option<f64>)) {
        let closes = self.common.room.hours.closes;
        let after_closing = |at: Option<Time>| at.map(|at| (at - closes).min());
        let tally = &self.common.tally;
        set(
            Measure::LastGuestAfterClose,
            after_closing(tally.last_guest),
        );
        set(Measure::LastWareAfterClose, after_closing(tally.last_ware));
    }

    /// What went wrong, and when the machines were ready.
    fn trouble(&self, set: &mut impl FnMut(Measure, Option<f64>)) {
        let goes_wrong = !self.common.room.faults.is_empty();
        let down: Time = self
            .machines
            .states
            .iter()
            .map(|state| state.time.of(Use::Down))
            .sum();
        set(Measure::MachineDown, goes_wrong.then(|| down.min()));
        let faults = self.common.tally.faults as f64;
        set(Measure::Faults, goes_wrong.then_some(faults));
        let in_fault = self.common.tally.racks_in_fault as f64;
        set(Measure::RacksInFault, goes_wrong.then_some(in_fault));
        let ready = self.common.tally.ready;
        let after_opening = ready.map(|ready| (ready - self.common.room.hours.opens).min());
        set(Measure::MachineReady, after_opening);
    }

    fn crew_measures(&self, set: &mut impl FnMut(Measure, Option<f64>)) {
        let crew = &self.crew.operators;
        if crew.is_empty() {
            return;
        }
        let present: Time = crew.iter().map(|state| state.present).sum();
        let on_break: Time = crew.iter().map(|state| state.on_break).sum();
        let busy: Time = crew.iter().map(|state| state.busy).sum();
        let walking: Time = crew.iter().map(|state| state.walking).sum();
        let overtime: Time = crew.iter().map(|state| state.overtime).sum();
        let at_hand = (present - on_break).s();
        set(Measure::CrewBusyShare, share(busy.s(), at_hand));
        set(Measure::WalkingShare, share(walking.s(), at_hand));
        set(Measure::Overtime, Some(overtime.min()));
        set(Measure::LabourHours, Some(present.h()));
        let out = self
            .crew
            .last_left
            .map(|left| (left - self.common.room.hours.closes).min());
        set(Measure::CrewOutAfterClose, out);
        let mut broken = OperatorId::all(crew.len()).map(|operator| self.breaks_rules(operator));
        let any = self
            .common
            .room
            .rules
            .map(|_| broken.any(|broken| broken == Some(true)));
        set(Measure::RulesBroken, any.map(f64::from));
    }

    /// Whether the hours of somebody who was there broke a rule; nothing where there is none.
    fn breaks_rules(&self, operator: OperatorId) -> Option<bool> {
        let rules = self.common.room.rules?;
        let state = &self.crew.operators[operator];
        let of = &self.common.room.crew[operator];
        // The same call is not expected the next day: the same shift is.
        let from = of.call.map_or(of.from, |_| state.came);
        let hours = state.hours(from);
        Some(state.present > Time::ZERO && rules.are_broken(hours))
    }

    fn of_ware(&self, ware: usize) -> [Option<f64>; WARE_MEASURE_COUNT] {
        let tally = &self.common.tally.wares[ware];
        let first = tally.first as f64;
        let inspected = tally.inspected as f64;
        let caught = tally.caught as f64;
        let owned = self.common.room.wares[ware].owned;
        let guests = self.common.room.demand.guests.is_some();
        let mut values = [None; WARE_MEASURE_COUNT];
        let mut set = |measure: WareMeasure, value| values[measure as usize] = value;
        set(WareMeasure::Pieces, Some(first));
        let inspects = self.common.room.inspect_catches.is_some();
        set(
            WareMeasure::RewashedShare,
            share(caught, inspected).filter(|_| inspects),
        );
        let sent = tally.sent_out_dirty as f64;
        set(
            WareMeasure::SentOutSoiledShare,
            share(sent, inspected - caught),
        );
        set(WareMeasure::DriedOnShare, share(tally.dried as f64, first));
        set(
            WareMeasure::WaitMean,
            share(minutes(tally.waited_ns), first),
        );
        let short = tally.short_covers as f64;
        set(
            WareMeasure::ShortCovers,
            owned.filter(|_| guests).map(|_| short),
        );
        let lying = share(tally.lying_when_short as f64, short);
        set(
            WareMeasure::CleanLying,
            lying.filter(|_| owned.is_some() && guests),
        );
        set(
            WareMeasure::CleanLeast,
            owned.map(|_| f64::from(tally.least_clean)),
        );
        values
    }

    fn of_operator(&self, operator: OperatorId) -> [Option<f64>; OPERATOR_MEASURE_COUNT] {
        let state = &self.crew.operators[operator];
        let at_hand = (state.present - state.on_break).s();
        let mut values = [None; OPERATOR_MEASURE_COUNT];
        let mut set = |measure: OperatorMeasure, value| values[measure as usize] = value;
        set(OperatorMeasure::BusyShare, share(state.busy.s(), at_hand));
        set(
            OperatorMeasure::WalkingShare,
            share(state.walking.s(), at_hand),
        );
        set(OperatorMeasure::Overtime, Some(state.overtime.min()));
        set(OperatorMeasure::Present, Some(state.present.h()));
        let rules = self.common.room.rules;
        let stretch = state.hours(Time::ZERO).stretch.h();
        set(OperatorMeasure::Stretch, rules.map(|_| stretch));
        let broken = self.breaks_rules(operator).map(f64::from);
        set(OperatorMeasure::RulesBroken, broken);
        set(OperatorMeasure::Cost, self.pay_of(operator));
        values
    }

    fn of_station(&self, duty: Duty) -> [Option<f64>; STATION_MEASURE_COUNT] {
        let mut values = [None; STATION_MEASURE_COUNT];
        if !self.common.room.has(duty) {
            return values;
        }
        let line = self.common.flow.lines.at(duty);
        let evening = self.common.tally.end.ns() as f64;
        let places = f64::from(stations::work(duty).places.count(self.common.room));
        let mut set = |measure: StationMeasure, value| values[measure as usize] = value;
        set(
            StationMeasure::Units,
            Some(self.common.tally.units[duty as usize] as f64),
        );
        let work = self.common.tally.work[duty as usize].ns() as f64;
        set(StationMeasure::BusyShare, share(work, evening * places));
        set(
            StationMeasure::QueueMean,
            share(line.area_ns as f64, evening),
        );
        set(StationMeasure::QueueMax, Some(f64::from(line.most)));
        set(
            StationMeasure::QueueWaitMean,
            share(minutes(line.waited_ns), line.taken as f64),
        );
        let waits = &self.common.tally.obstacles[duty as usize];
        let reasons = [
            StationMeasure::NoPerson,
            StationMeasure::NoPlace,
            StationMeasure::NoRack,
            StationMeasure::NoRoom,
        ];
        for (reason, minutes) in reasons.into_iter().zip(waits) {
            set(reason, Some(f64::from(*minutes)));
        }
        values
    }

    /// What each operator did with their time, in roster order.
    pub fn operator_times(&self) -> impl Iterator<Item = (&str, OperatorTimes)> {
        let names = self
            .common
            .room
            .crew
            .iter()
            .map(|operator| operator.name.as_str());
        names.zip(self.crew.operators.iter().map(OperatorState::times))
    }

    /// The machines as they are now, in the scenario's order.
    #[must_use]
    pub fn machines(&self) -> &[super::machine::MachineState] {
        &self.machines.states
    }

    /// What each machine did with its time, in the scenario's order.
    pub fn machine_times(&self) -> impl Iterator<Item = MachineTime> {
        self.machines.states.iter().map(|machine| machine.time)
    }

    /// The books of the service.
    #[must_use]
    pub const fn tally(&self) -> &super::tally::Tally {
        &self.common.tally
    }
}

impl Common<'_> {
    /// An evening that did not end: the dried-on minutes of what still waits count too.
    pub(super) fn count_what_still_waits(&mut self) {
        for run in RunId::all(self.flow.runs.len()) {
            // Soiled, at the drop-off or later, not washed yet.
            if self.flow[run].waits_for_first_wash() {
                // To the mark after the end: it still waits there.
                self.count_run_dried_until(run, self.now + Time::MINUTE);
            }
        }
    }
}

/// Most entries in any sliding hour.
fn busiest_hour(entries: &[Time]) -> u32 {
    let mut first = 0;
    let mut most = 0;
    for (index, &at) in entries.iter().enumerate() {
        while at - entries[first] >= Time::HOUR {
            first += 1;
        }
        most = most.max(index - first + 1);
    }
    most as u32
}
