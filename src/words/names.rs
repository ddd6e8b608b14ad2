//! Duties, obstacles, phases of a machine and parts of the cost, as they are named in sentences, charts and the diary.

use crate::service::machine::Phase;
use crate::service::obstacle::Obstacle;

#[cfg(feature = "charts")]
use crate::room::money::CostPart;
#[cfg(feature = "charts")]
use crate::scenario::model::Duty;

/// What somebody at a duty is doing.
#[cfg(feature = "charts")]
#[must_use]
pub const fn doing(duty: Duty) -> &'static str {
    match duty {
        Duty::ClearDown => "Clearing down",
        Duty::Scrape => "Scraping",
        Duty::PreRinse => "Pre-rinsing",
        Duty::Soak => "Soaking",
        Duty::WashPots => "Washing pots",
        Duty::Load => "Loading",
        Duty::Hood => "At the hood",
        Duty::Unload => "Unloading",
        Duty::PutAway => "Putting away",
        Duty::SetUp => "Setting up",
        Duty::Tend => "Tending",
        Duty::CloseDown => "Closing down",
    }
}

/// What work waits for: "waits for ...".
#[must_use]
pub const fn waits_for(obstacle: Obstacle) -> &'static str {
    match obstacle {
        Obstacle::Person => "somebody free to do it",
        Obstacle::Place => "a free place",
        Obstacle::Rack => "an empty rack",
        Obstacle::Room => "room further on",
    }
}

/// What is lacking: "for lack of ...".
#[must_use]
pub const fn lack_of(obstacle: Obstacle) -> &'static str {
    match obstacle {
        Obstacle::Person => "hands",
        Obstacle::Place => "places",
        Obstacle::Rack => "racks",
        Obstacle::Room => "room",
    }
}

/// What a machine begins to do.
#[must_use]
pub const fn phase(phase: Phase) -> &'static str {
    match phase {
        Phase::Running => "machine runs",
        Phase::Stopped => "machine stands: the landing is full",
        Phase::Refilling => "machine stands: its water is changed",
        Phase::Held => "machine held: the wash or the final rinse is too cold",
        Phase::Finished => "hood waits for somebody: its rack is finished",
        Phase::Idle => "machine idle: pumps off",
        Phase::Starting => "machine starts again",
        Phase::Washing => "hood washes",
        Phase::Changing => "racks are changed",
        Phase::Down => "machine stands: a fault",
        Phase::Off => "machine off",
    }
}

/// A part of the cost.
#[cfg(feature = "charts")]
#[must_use]
pub const fn cost_part(part: CostPart) -> &'static str {
    match part {
        CostPart::Labour => "Labour",
        CostPart::Water => "Water",
        CostPart::Sewer => "Sewer",
        CostPart::Energy => "Energy",
        CostPart::Detergent => "Detergent",
        CostPart::RinseAid => "Rinse aid",
    }
}
