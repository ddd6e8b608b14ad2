//! What a finding is about, as a value of each evening: what a change has to better.

use crate::room::Room;
use crate::scenario::model::Duty;
use crate::service::measure::{Measure, MeasureInfo, OperatorMeasure, StationMeasure, WareMeasure};
use crate::service::obstacle::Obstacle;
use crate::service::outcome::Outcome;
use crate::study::binding::{Binding, MIN_WAIT_MIN};
use crate::study::evening::{Finding, Severity};
use crate::study::findings::{
    BUSY_LIMIT, DRIED_ON_WARNING, FLOOR_WARNING_TUBS, NEAR_LIMIT_SHARE, NO_TUB_WARNING_MIN,
    OVERTIME_WARNING_MIN, STOPPED_NOTE_MIN, STOPPED_WARNING_MIN,
};
use crate::study::store::enough_min;
use crate::words::advice::{BUSIEST, TRIPS, UNFINISHED};

/// Of a trouble that strikes on fewer evenings nothing can be said.
pub(super) const MIN_STRUCK: usize = 4;
/// Half of the evenings with a trouble are for the screening, half for the estimate: against one that struck on fewer in all
/// the run nothing is tried.
pub(super) const MIN_STRUCK_IN_ALL: usize = 2 * MIN_STRUCK;

/// Where a value is read.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Read {
    Evening(Measure),
    Ware(usize, WareMeasure),
    Station(Duty, StationMeasure),
    Busiest,
    Unfinished,
    Trips,
}

/// What a finding is about.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Aim {
    /// Index of the finding.
    pub finding: usize,
    /// Its code.
    pub code: &'static str,
    /// What the value is.
    pub info: &'static MeasureInfo,
    /// The ware or the station that it is of.
    pub of: Option<String>,
    /// The same ware by its index in the room.
    pub ware: Option<usize>,
    /// The station, if it is of one.
    pub duty: Option<Duty>,
    /// What work there waits for.
    pub obstacle: Option<Obstacle>,
    /// A mean up to this is enough (from this, where more is better).
    pub enough: f64,
    /// Whether more of it is better.
    pub more: bool,
    /// On how many evenings of the run it is trouble, of how many.
    pub struck: [usize; 2],
    read: Read,
}

impl Aim {
    /// What a finding is about; nothing if no change of the evening could better it, or if it is a note.
    pub fn of(
        (index, finding): (usize, &Finding),
        room: &Room,
        binding: Option<&Binding>,
        outcomes: &[(u64, Outcome)],
    ) -> Option<Self> {
        if finding.severity == Severity::Note {
            return None;
        }
        let ware = || {
            room.wares
                .iter()
                .position(|ware| Some(&ware.name) == finding.of.as_ref())
        };
        let station = || {
            Duty::ALL
                .into_iter()
                .find(|duty| Some(duty.name()) == finding.of.as_deref())
        };
        let evening = |measure| Some(Read::Evening(measure));
        let (read, enough) = match finding.code {
            "unfinished" => (Some(Read::Unfinished), 0.0),
            "ware-short" => (
                ware().map(|at| Read::Ware(at, WareMeasure::ShortCovers)),
                0.0,
            ),
            "ware-near-limit" => {
                let least =
                    |at: usize| NEAR_LIMIT_SHARE * f64::from(room.wares[at].owned.unwrap_or(0));
                let at = ware()?;
                (Some(Read::Ware(at, WareMeasure::CleanLeast)), least(at))
            }
            "binds" => (station().map(held_up), MIN_WAIT_MIN),
            "dried-on" => (evening(Measure::DriedOnShare), DRIED_ON_WARNING),
            "floor-tubs" => (evening(Measure::FloorTubsMax), FLOOR_WARNING_TUBS),
            "no-tub" => (evening(Measure::NoTub), NO_TUB_WARNING_MIN),
            "trips-wait" => (Some(Read::Trips), 1.0),
            "overtime" => (evening(Measure::Overtime), OVERTIME_WARNING_MIN),
            "rules-broken" => (evening(Measure::RulesBroken), 0.0),
            "machine-stopped" => (evening(Measure::MachineStopped), STOPPED_WARNING_MIN),
            "machine-held" => (evening(Measure::MachineHeld), STOPPED_NOTE_MIN),
            "final-rinse-cold" => (evening(Measure::ColdRinseRacks), 0.0),
            "water-old" => (evening(Measure::OldWaterRacks), 0.0),
            "wash-cold" => (evening(Measure::ColdWashRacks), 0.0),
            "stretched" => (Some(Read::Busiest), BUSY_LIMIT),
            "opened-unready" => (evening(Measure::MachineReady), 0.0),
            "faults" => (evening(Measure::MachineDown), 0.0),
            "racks-in-store" => (
                Some(Read::Station(Duty::Load, StationMeasure::NoRack)),
                enough_min(room),
            ),
            "nobody-to-tend" => (
                Some(Read::Station(Duty::Tend, StationMeasure::NoPerson)),
                0.0,
            ),
            _ => return None,
        };
        let read = read?;
        let is_station = matches!(read, Read::Station(..));
        let is_ware = matches!(read, Read::Ware(..));
        let mut aim = Self {
            finding: index,
            code: finding.code,
            info: info(read),
            of: finding.of.clone().filter(|_| is_ware || is_station),
            ware: ware().filter(|_| is_ware),
            duty: station(),
            obstacle: binding
                .map(|binding| binding.obstacle)
                .filter(|_| finding.code == "binds"),
            enough,
            more: finding.code == "ware-near-limit",
            struck: [0, outcomes.len()],
            read,
        };
        let struck = outcomes
            .iter()
            .filter(|(_, one)| aim.strikes(aim.value(one)));
        aim.struck[0] = struck.count();
        Some(aim)
    }

    /// Whether it strikes often enough to try something against it.
    pub const fn is_often_enough(&self) -> bool {
        self.struck[0] >= MIN_STRUCK_IN_ALL
    }

    /// Its value of an evening.
    pub fn value(&self, outcome: &Outcome) -> Option<f64> {
        match self.read {
            Read::Evening(measure) => outcome.get(measure),
            Read::Ware(ware, measure) => outcome.wares.get(ware)?[measure as usize],
            Read::Station(duty, measure) => outcome.stations[duty as usize][measure as usize],
            Read::Busiest => {
                let busy = |of: &[Option<f64>]| of[OperatorMeasure::BusyShare as usize];
                let all = outcome.operators.iter().filter_map(|of| busy(of));
                all.max_by(f64::total_cmp)
            }
            Read::Unfinished => Some(f64::from(u8::from(!outcome.finished))),
            Read::Trips => Some(f64::from(outcome.trips_waiting_most)),
        }
    }

    /// Whether it is about safe ware: that is bought at the price of a wait or of money.
    pub fn is_safety(&self) -> bool {
        ["final-rinse-cold", "wash-cold", "water-old"].contains(&self.code)
    }

    /// Whether it is about evenings that were cut off. All that was counted of these is too small.
    pub fn is_cut_off(&self) -> bool {
        self.read == Read::Unfinished
    }

    /// Whether a value of an evening is trouble.
    pub fn strikes(&self, value: Option<f64>) -> bool {
        value.is_some_and(|value| !self.is_met(value))
    }

    /// Whether a mean is good enough.
    pub fn is_met(&self, mean: f64) -> bool {
        if self.more {
            mean >= self.enough
        } else {
            mean <= self.enough
        }
    }
}

/// What waits while a station holds up the line.
const fn held_up(duty: Duty) -> Read {
    match duty {
        Duty::Scrape | Duty::PreRinse | Duty::Soak | Duty::Load | Duty::Hood => {
            Read::Evening(Measure::WaitMean)
        }
        Duty::PutAway => Read::Evening(Measure::ShortCovers),
        _ => Read::Station(duty, StationMeasure::QueueWaitMean),
    }
}

const fn info(read: Read) -> &'static MeasureInfo {
    match read {
        Read::Evening(measure) => measure.info(),
        Read::Ware(_, measure) => measure.info(),
        Read::Station(_, measure) => measure.info(),
        Read::Busiest => &BUSIEST,
        Read::Unfinished => &UNFINISHED,
        Read::Trips => &TRIPS,
    }
}
