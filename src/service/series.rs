//! What is sampled each minute of a service, and under which name it leaves the program.
//!
//! To add one: a `SeriesKind` here; its name and unit in `series_of`, its value in `Service::value` (`sample.rs`). Shares
//! have the unit `"1"`, which also tells `study/bands.rs` how to bin them.

use crate::scenario::model::Duty;

/// What one series counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SeriesKind {
    /// Soiled pieces between the tables and the drop-off.
    OnTables,
    /// Pieces at the drop-off and on the floor beside it.
    AtDropOff,
    /// Pieces waiting for or in the soak.
    InSoak,
    /// Scraped pieces waiting to be racked (pre-rinsed ones too).
    ToRack,
    /// Filled racks on stations and in lanes.
    RacksWaiting,
    /// Washed racks on landings.
    OnLanding,
    /// Clean pieces not yet put away.
    ToPutAway,
    /// All soiled pieces waiting, first time (drop-off to machine).
    SoiledWaiting,
    /// Tubs on the floor.
    FloorTubs,
    /// Of the pieces waiting for the first time, the share that is dried on.
    DriedOnShare,
    /// Mean probability, of pieces entering a machine within the minute, to come out dirty.
    ExpectedRewash,
    /// Clean stock of a ware (index into the room's wares).
    CleanStock(usize),
    /// Operators at a duty.
    AtDuty(Duty),
    /// Operators walking to their next work.
    Walking,
    /// Operators free.
    Free,
    /// Operators on a break.
    OnBreak,
    /// Share of machines running with a rack inside.
    MachinesRunning,
    /// Share of machines running empty (a conveyor, its starting again included).
    MachinesEmpty,
    /// Share of machines stopped by a full landing.
    MachinesStopped,
    /// Share of machines held because the final rinse is too cold.
    MachinesHeld,
    /// Share of machines whose water is being changed.
    MachinesRefilling,
    /// Share of machines holding a finished rack until somebody comes.
    MachinesWaiting,
    /// Share of machines idle: pumps off, or a hood without a rack.
    MachinesIdle,
    /// Share of machines that a fault, or its mending, keeps standing.
    MachinesDown,
    /// Share of machines that are not set up yet, or closed down.
    MachinesOff,
    /// Whether a fault (by index) is there.
    Fault(usize),
    /// What the final rinse of a machine (by index) would come at, or comes at.
    FinalRinse(usize),
    /// Temperature of the wash of a machine.
    Wash(usize),
    /// Soil in the water that racks of a machine meet first.
    TankSoil(usize),
}

/// Name and unit of a series.
#[derive(Debug, Clone, PartialEq)]
pub struct SeriesInfo {
    /// What it counts.
    pub kind: SeriesKind,
    /// As in `series.csv`, for example `soiled_waiting` or `clean_stock:plate`.
    pub name: String,
    /// Unit; `"1"` for shares.
    pub unit: &'static str,
    /// What it has to keep, if anything: the minimum of a temperature.
    pub least: Option<f64>,
}
