//! Where people stand, and how long they walk between two such spots.

use crate::room::time::Time;
use crate::scenario::model::{Duty, Position, Scenario};

/// A spot on the plan: an index into [`FloorPlan`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Spot(u16);

/// Walking times between spots.
#[derive(Debug, Clone)]
pub struct FloorPlan {
    spots: usize,
    /// Where hands are washed; none: on the way.
    pub hands: Option<Spot>,
    /// Where racks are parked.
    pub dollies: Spot,
    walks: Vec<Time>,
}

/// Spots of a machine: hood, landing, where its racks are filled, where its ware is put away.
const OF_A_MACHINE: usize = 4;

impl Spot {
    /// Where a duty is done; of all that is done at machines, at the first of them.
    #[must_use]
    pub const fn of_duty(duty: Duty) -> Self {
        Self(duty as u16)
    }

    /// Before the hood of a machine.
    #[must_use]
    pub fn of_hood(machine: usize) -> Self {
        Self((Duty::COUNT + OF_A_MACHINE * machine) as u16)
    }

    /// At the landing of a machine.
    #[must_use]
    pub fn of_landing(machine: usize) -> Self {
        Self((Duty::COUNT + OF_A_MACHINE * machine + 1) as u16)
    }

    /// Where racks for a machine are filled.
    #[must_use]
    pub fn of_loading(machine: usize) -> Self {
        Self((Duty::COUNT + OF_A_MACHINE * machine + 2) as u16)
    }

    /// Where what a machine washed is put away.
    #[must_use]
    pub fn of_store(machine: usize) -> Self {
        Self((Duty::COUNT + OF_A_MACHINE * machine + 3) as u16)
    }
}

impl FloorPlan {
    /// The plan of a scenario; without `walking` every walk takes no time.
    #[must_use]
    pub fn of(scenario: &Scenario) -> Self {
        let places = positions(scenario);
        let speed = scenario
            .walking
            .as_ref()
            .map(|walking| walking.speed_m_per_s);
        let walks = places
            .iter()
            .flat_map(|from| places.iter().map(move |to| walk(*from, *to, speed)))
            .collect();
        Self {
            spots: places.len(),
            hands: scenario
                .hands
                .position
                .map(|_| Spot((places.len() - 2) as u16)),
            dollies: Spot((places.len() - 1) as u16),
            walks,
        }
    }

    /// How long a walk takes.
    #[must_use]
    pub fn walk(&self, from: Spot, to: Spot) -> Time {
        self.walks[usize::from(from.0) * self.spots + usize::from(to.0)]
    }
}

fn walk(from: Position, to: Position, speed_m_per_s: Option<f64>) -> Time {
    let metres = libm::hypot(from.x_m - to.x_m, from.y_m - to.y_m);
    speed_m_per_s.map_or(Time::ZERO, |speed| Time::from_s(metres / speed))
}

/// Positions in the order of the spots: duties, then those of each machine, then where hands are washed, then the dollies.
fn positions(scenario: &Scenario) -> Vec<Position> {
    let landing = scenario.machine.first().map(|machine| machine.position);
    let hood = scenario.machine.first().map(hood_position);
    let of_duty = |duty| match duty {
        Duty::ClearDown => Some(scenario.drop_off.position),
        Duty::Scrape => scenario.scrape.as_ref().map(|bench| bench.position),
        Duty::PreRinse => scenario.pre_rinse.as_ref().map(|bench| bench.position),
        Duty::Soak => scenario.soak.as_ref().map(|soak| soak.position),
        Duty::WashPots => scenario.pot_sink.as_ref().map(|sink| sink.position),
        Duty::Load => scenario.loading.as_ref().map(|loading| loading.position),
        Duty::Hood => hood,
        Duty::Unload | Duty::SetUp | Duty::Tend | Duty::CloseDown => landing,
        Duty::PutAway => scenario.put_away.as_ref().map(|put_away| put_away.position),
    };
    let duties = Duty::ALL
        .iter()
        .map(|duty| of_duty(*duty).unwrap_or_default());
    let machines = scenario.machine.iter().flat_map(|machine| {
        let or = |own: Option<Position>, duty| own.or_else(|| of_duty(duty)).unwrap_or_default();
        [
            hood_position(machine),
            machine.position,
            or(machine.loading, Duty::Load),
            or(machine.store, Duty::PutAway),
        ]
    });
    let dollies = scenario.dollies.as_ref().map(|dollies| dollies.position);
    duties
        .chain(machines)
        .chain([scenario.hands.position, dollies].map(Option::unwrap_or_default))
        .collect()
}

fn hood_position(machine: &crate::scenario::model::Machine) -> Position {
    match machine.kind {
        crate::scenario::model::MachineKind::Hood { position, .. } => position,
        crate::scenario::model::MachineKind::RackConveyor { .. } => machine.position,
    }
}
